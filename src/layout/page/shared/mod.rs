//! Which layers share a template.
//!
//! Layers share a template when their outlines lie one inside the next. The maker cuts the paper at the
//! outermost line, traces round its edge, trims it down to the next line and traces again: nothing crosses, and
//! the order is forced. A layer that is the same on both sides is drawn by half, on the fold, as in
//! every pattern drawer; it is traced, turned over and traced again before the paper is trimmed.
//!
//! # Why may layers not share that are only told apart by their dashes?
//! They would take half the pages. But whoever follows the wrong one of four lines that cross ruins a
//! layer, and a layer costs more than a page.
//!
//! # Why is a ring alone, and a plate?
//! A ring has a second line all round, which is cut out before its outline; paper that is cut open shows no other
//! layer true. A plate has marks of its own inside.

mod chain;
mod nested;

use rayon::prelude::*;

use crate::layout::page::frame::Frame;
use crate::layout::page::leaf;
use crate::layout::page::listed::Listed;
use crate::layout::page::listed::number;
use crate::layout::page::page_titles::Title;
use crate::layout::page::shared::chain::Inside;
use crate::layout::page::shared::nested::NestingLine;
use crate::layout::page::shared::nested::lies_inside;
use crate::layout::page::template::Template;
use crate::layout::page::template::line::TracedLine;
use crate::stack::Stack;
use crate::workshop::Paper;

/// Puts listed pieces together on templates. Wedges stay as they are.
pub(super) fn templates<'a>(
    listed: Vec<Listed<'a>>,
    stack: &Stack,
    paper: &Paper,
    frame: &Frame,
) -> Vec<Listed<'a>> {
    let lines: Vec<TracedLine> = listed
        .par_iter()
        .enumerate()
        .filter_map(|(k, l)| TracedLine::of(k, &l.piece, number(l, stack), paper.fold))
        .filter(|l| !l.id.is_wedge())
        .collect();
    let chains = if paper.outlines > 1 {
        let costs: Vec<usize> = lines
            .par_iter()
            .map(|l| leaf::cost(&l.region(), frame, paper.overlap))
            .collect();
        let nesting: Vec<NestingLine<'_>> = lines.par_iter().map(NestingLine::of).collect();
        let rows = nesting
            .par_iter()
            .map(|outer| nesting.iter().map(|inner| lies_inside(outer, inner)))
            .map(Iterator::collect)
            .collect();
        let inside = Inside::new(lines.len(), rows);
        chain::cover(&inside, &costs, paper.outlines)
    } else {
        (0..lines.len()).map(|alone| vec![alone]).collect()
    };
    let mut out: Vec<(usize, Listed<'a>)> = Vec::new();
    let mut taken = vec![false; listed.len()];
    for chain in chains {
        let chain: Vec<TracedLine> = chain.iter().map(|&k| lines[k].clone()).collect();
        for line in &chain {
            taken[line.of] = true;
        }
        let lowest = chain.iter().map(|l| l.of).min().unwrap_or_default();
        let title = match chain.as_slice() {
            [one] => listed[one.of].title.clone(),
            several => Title::Layers(several.iter().map(|l| l.called.clone()).collect()),
        };
        let template = Template::new(chain, stack.layers.len(), paper.unit);
        // A half that has no room for its words is drawn whole.
        let whole = template
            .is_crowded_half()
            .and_then(|of| {
                let l = &listed[of];
                TracedLine::of(of, &l.piece, number(l, stack), false)
            })
            .map(|line| Template::new(vec![line], stack.layers.len(), paper.unit));
        let template = whole.unwrap_or(template);
        out.push((
            lowest,
            Listed {
                piece: std::borrow::Cow::Owned(template.piece()),
                title,
                drawn: Some(template),
            },
        ));
    }
    for (k, single) in listed.into_iter().enumerate() {
        if !taken[k] {
            out.push((k, single));
        }
    }
    out.sort_by_key(|(k, _)| *k);
    out.into_iter().map(|(_, l)| l).collect()
}
