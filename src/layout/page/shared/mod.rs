//! Templates that several layers share, and half templates on the fold: the fewest pages.
//!
//! Layers are drawn over one another in the form's own axes, so one cross does for a dowel that passes
//! through all of them. Which ones share a template is chosen so that their lines can be told apart:
//! they may cross, but nowhere run along one another. A layer that is the same on both sides is
//! drawn by half, on the fold, as in every pattern drawer.
//!
//! # Why do layers share a template that are not neighbours?
//! Neighbours run along one another for most of their length, and nobody can follow one of four
//! lines 0.3 mm apart. Layers whose lines cross steeply, or keep their distance, can be told apart:
//! a line may come within 1.2 mm of another for 8 % of its length. All stand in the form's own
//! axes, so one cross does for a dowel through all of them.
//!
//! # Why may only two rings share a template?
//! Each has a second line all round, and its webs. What the left half of a ring has alone is dashed
//! on the fold, as its holes are; what both halves have is drawn once. Neighbours seldom share:
//! their webs stand on the same dowels and run along one another.

mod canvas;
mod draw;
mod edge;
mod fold;
mod gap;
mod hole;
mod legend;
mod line;
mod opening;

use crate::error::Error;
use crate::layout::page::frame::Frame;
use crate::layout::page::listed::Listed;
use crate::layout::page::shared::line::TracedLine;
use crate::layout::page::shared::line::apart;
use crate::layout::page::shared::line::line;
use crate::stack::Stack;
use crate::workshop::Paper;

/// Most layers with openings on one template: each has a second line all round. Our choice.
const MOST_RINGS: usize = 2;

/// Puts listed pieces together on templates. What is left alone stays as it is unless it can be
/// folded.
pub(super) fn templates<'a>(
    listed: Vec<Listed<'a>>,
    stack: &Stack,
    paper: &Paper,
    frame: &Frame,
) -> Result<Vec<Listed<'a>>, Error> {
    if paper.outlines <= 1 && !paper.fold {
        return Ok(listed);
    }
    let mut lines: Vec<TracedLine> = listed
        .iter()
        .enumerate()
        .filter_map(|(k, l)| line(k, &l.piece, paper, frame))
        .collect();
    // The large ones take several pages anyway: they share those first.
    lines.sort_by_key(|l| (!l.large, l.of));
    let mut groups: Vec<Vec<TracedLine>> = Vec::new();
    for line in lines {
        let mut homes: Vec<&mut Vec<TracedLine>> = groups
            .iter_mut()
            .filter(|g| {
                // Plates have marks of their own inside, and share with nothing.
                let layers = g
                    .iter()
                    .chain([&line])
                    .all(|l| listed[l.of].layer().is_some());
                let rings = g.iter().chain([&line]).filter(|l| l.is_ring()).count();
                layers
                    && g.len() < paper.outlines
                    && rings <= MOST_RINGS
                    && g.iter().all(|other| apart(&line, other))
            })
            .collect();
        // Layers with the same holes go together first: fewer marks to tell apart.
        let rounds = |l: &TracedLine| listed[l.of].piece.rounds();
        let alike = homes
            .iter()
            .position(|g| g.iter().all(|other| rounds(other).eq(rounds(&line))))
            .unwrap_or(0);
        match homes.get_mut(alike) {
            Some(group) => group.push(line),
            None => groups.push(vec![line]),
        }
    }
    let mut out: Vec<(usize, Listed<'a>)> = Vec::new();
    let mut taken = vec![false; listed.len()];
    for mut group in groups {
        if group.len() == 1 && !group[0].half {
            continue;
        }
        group.sort_by_key(|l| l.of);
        for line in &group {
            taken[line.of] = true;
        }
        out.push((group[0].of, draw::template(&group, &listed, stack)?));
    }
    for (k, single) in listed.into_iter().enumerate() {
        if !taken[k] {
            out.push((k, single));
        }
    }
    out.sort_by_key(|(k, _)| *k);
    Ok(out.into_iter().map(|(_, l)| l).collect())
}
