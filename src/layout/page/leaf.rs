//! Which pieces lie together on a page, and how.

use rayon::prelude::*;

use crate::error::Error;
use crate::geom::Outline;
use crate::geom::Point2;
use crate::layout::Board;
use crate::layout::Pose;
use crate::layout::bounds;
use crate::layout::draw_piece;
use crate::layout::facts::LayoutFact;
use crate::layout::nest;
use crate::layout::page::frame::Frame;
use crate::layout::page::listed::Listed;
use crate::layout::page::page_titles::runs;
use crate::layout::page::tile;
use crate::layout::page::tile::PageSpread;
use crate::stack::Piece;
use crate::workshop::Paper;
use crate::workshop::Stock;

/// Distance between two pieces on one page, mm (common practice, no source: room for scissors).
const APART: f64 = 5.0;

/// Repackings tried for the templates that share pages: they are few.
const TRIES: usize = 200;

/// What one page, or one run of pages, holds.
pub(super) enum PageLeaf {
    /// Whole pieces, each with its turn and the shift from the corner of the window.
    Whole(Vec<(usize, f64, f64, f64)>),
    /// One piece over several pages.
    Over(usize, PageSpread),
}

impl PageLeaf {
    /// How many pages it takes.
    pub(super) fn count(&self) -> usize {
        match self {
            Self::Whole(_) => 1,
            Self::Over(_, spread) => spread.cells.len(),
        }
    }
}

/// What a leaf is called, on its page and in the list: layers of one template outermost first, templates apart by
/// semicolons.
pub(super) fn called(leaf: &PageLeaf, all: &[Listed<'_>]) -> (String, String) {
    let lies = match leaf {
        PageLeaf::Over(k, _) => return (all[*k].what(), all[*k].title.brief()),
        PageLeaf::Whole(lies) => lies,
    };
    let mut indices: Vec<usize> = lies.iter().map(|l| l.0).collect();
    indices.sort_unstable();
    let on: Vec<&Listed<'_>> = indices.iter().map(|&k| &all[k]).collect();
    if let [one] = on.as_slice() {
        return (one.what(), one.title.brief());
    }
    (several(&on, true), several(&on, false))
}

/// What several pieces and templates are called together, at the foot of their page (`shortly`) or in the list.
fn several(on: &[&Listed<'_>], shortly: bool) -> String {
    // Layers that have nothing but their number are put together, the others stand by themselves.
    let (mut numbers, mut others): (Vec<usize>, Vec<String>) = (Vec::new(), Vec::new());
    for one in on {
        match one.title.bare() {
            Some(layer) if shortly || !one.title.has_levels() => numbers.push(layer),
            _ if shortly => others.push(one.title.beside_others_shortly()),
            _ => others.push(one.title.beside_others()),
        }
    }
    let layers = on.iter().any(|l| l.title.is_of_layers());
    let mut names = Vec::new();
    if !numbers.is_empty() {
        names.push(runs(numbers));
    }
    // What is no layer comes last.
    others.sort_by_key(|name| !name.starts_with(|c: char| c.is_ascii_digit() || c == 'L'));
    names.extend(others);
    let first = if layers { "layers " } else { "" };
    format!("{first}{}", names.join("; "))
}

/// Spreads the templates over pages. Those that fit a page are laid on the fewest, together; pages
/// go by the lowest layer on them.
pub(super) fn leaves(
    listed: &[Listed<'_>],
    frame: &Frame,
    paper: &Paper,
) -> Result<Vec<PageLeaf>, Error> {
    let (small, large): (Vec<usize>, Vec<usize>) =
        (0..listed.len()).partition(|&k| quarter(&listed[k].piece, frame));
    let mut leaves: Vec<(usize, PageLeaf)> = large
        .into_par_iter()
        .map(|k| {
            let piece = &listed[k].piece;
            if let Some((turn, x, y)) = askew(&piece.outline, frame) {
                return Ok((k, PageLeaf::Whole(vec![(k, turn, x, y)])));
            }
            // Words of templates come later, where no join is.
            let words = draw_piece::word_boxes(piece)?;
            let spread = PageSpread::new(piece, &words, frame, paper.overlap);
            if spread.cuts_a_hole(piece) {
                return Err(Error::layout(LayoutFact::JoinThroughHole {
                    what: listed[k].what().to_string(),
                    paper: paper.name.clone(),
                }));
            }
            Ok((k, PageLeaf::Over(k, spread)))
        })
        .collect::<Result<_, Error>>()?;
    if !small.is_empty() {
        let stock = Stock {
            roll: paper.roll,
            ..page_stock(frame)
        };
        let pieces: Vec<&Piece> = small.iter().map(|&k| listed[k].piece.as_ref()).collect();
        for board in nest::nest(&pieces, &[stock], TRIES)? {
            let lies = lies(&board, &pieces, |k| small[k]);
            let first = lies.iter().map(|l| l.0).min().unwrap_or_default();
            // One alone stands in the middle.
            let lies = match lies.as_slice() {
                [(k, turn, ..)] if !paper.roll => lie(&listed[*k].piece.outline, *turn, frame)
                    .map_or(lies.clone(), |(t, x, y)| vec![(*k, t, x, y)]),
                _ => lies,
            };
            leaves.push((first, PageLeaf::Whole(lies)));
        }
    }
    leaves.sort_by_key(|(first, _)| *first);
    Ok(leaves.into_iter().map(|(_, leaf)| leaf).collect())
}

/// What an outline costs, in thousandths of a page: of one that shares its page with others the share of the
/// window that its box takes.
pub(super) fn cost(outline: &Outline, frame: &Frame, overlap: f64) -> usize {
    let fits = |turn: f64| lie(outline, turn, frame).is_some();
    if let Some((low, high)) = outline.bounds().filter(|_| fits(0.0) || fits(90.0)) {
        let (w, h) = frame.window();
        let share = (high.x - low.x + APART) * (high.y - low.y + APART) / (w * h);
        return (share.min(1.0) * 1000.0).round() as usize;
    }
    if askew(outline, frame).is_some() {
        return 1000;
    }
    1000 * PageSpread::fewest(outline, frame, overlap)
}

/// Whether a piece fits the window as it stands or turned by a right angle.
fn quarter(piece: &Piece, frame: &Frame) -> bool {
    [0.0, 90.0]
        .iter()
        .any(|&t| lie(&piece.outline, t, frame).is_some())
}

/// Turn and shift that put a piece in the middle of the window; nothing when it does not fit.
fn lie(outline: &Outline, turn: f64, frame: &Frame) -> Option<(f64, f64, f64)> {
    let pose = Pose::new(turn, 0.0, 0.0);
    let points: Vec<Point2> = outline.points.iter().map(|&p| pose.apply(p)).collect();
    let (low, high) = bounds(&points)?;
    let (w, h) = frame.window();
    let (dx, dy) = (w - (high.x - low.x), h - (high.y - low.y));
    (dx >= 0.0 && dy >= 0.0).then_some((turn, dx / 2.0 - low.x, dy / 2.0 - low.y))
}

/// The first turn, in steps, at which a piece fits one page.
fn askew(outline: &Outline, frame: &Frame) -> Option<(f64, f64, f64)> {
    (0..180)
        .map(|k| f64::from(k) * tile::TURN_STEP)
        .take_while(|&t| t < 180.0)
        .find_map(|t| lie(outline, t, frame))
}

/// The window of a page as a piece of stock.
fn page_stock(frame: &Frame) -> Stock {
    let (width, length) = frame.window();
    Stock {
        width,
        length,
        roll: false,
        margin: 0.0,
        gap: APART,
        kerf: 0.0,
        turns: vec![0.0, 90.0, 180.0, 270.0],
        crossed: false,
        count: None,
        in_order: false,
        of: None,
        price: None,
    }
}

/// How pieces lie on a page, each under the number that `number` gives it.
fn lies(
    board: &Board,
    pieces: &[&Piece],
    number: impl Fn(usize) -> usize,
) -> Vec<(usize, f64, f64, f64)> {
    board
        .placed
        .iter()
        .filter_map(|p| {
            let k = pieces.iter().position(|q| q.id == p.piece)?;
            Some((number(k), p.turn_deg, p.x, p.y))
        })
        .collect()
}
