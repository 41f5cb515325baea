//! Which pieces lie together on a page, and how.

use rayon::prelude::*;

use crate::error::Error;
use crate::geom::Point2;
use crate::layout::Board;
use crate::layout::Pose;
use crate::layout::bounds;
use crate::layout::draw_piece;
use crate::layout::facts::LayoutFact;
use crate::layout::nest;
use crate::layout::page::frame::Frame;
use crate::layout::page::listed::Listed;
use crate::layout::page::page_titles::joined;
use crate::layout::page::page_titles::of_layers;
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

/// How a whole piece lies on a page.
#[derive(Clone, Copy, Debug)]
pub(super) struct Lie {
    /// Its place among all that is drawn.
    pub(super) of: usize,
    /// Its turn, degrees.
    pub(super) turn: f64,
    /// Its shift from the corner of the window, mm.
    pub(super) x: f64,
    pub(super) y: f64,
}

impl Lie {
    /// Its pose in a window whose corner stands here.
    pub(super) fn pose(&self, corner: Point2) -> Pose {
        Pose::new(self.turn, self.x + corner.x, self.y + corner.y)
    }
}

/// What one page, or one run of pages, holds.
pub(super) enum PageLeaf {
    /// Whole pieces.
    Whole(Vec<Lie>),
    /// One piece over several pages.
    Over(usize, PageSpread),
}

impl PageLeaf {
    /// The layers on it.
    pub(super) fn layers(&self, listed: &[Listed<'_>]) -> Vec<usize> {
        let on: Vec<usize> = match self {
            Self::Whole(lies) => lies.iter().map(|l| l.of).collect(),
            Self::Over(k, _) => vec![*k],
        };
        on.into_iter()
            .flat_map(|k| listed[k].pieces())
            .filter_map(|id| id.of_layer())
            .collect()
    }

    /// How many pages it takes.
    pub(super) fn count(&self) -> usize {
        match self {
            Self::Whole(_) => 1,
            Self::Over(_, spread) => spread.cells.len(),
        }
    }
}

/// What a leaf is called, on its page entry by entry, and in the list.
pub(super) fn called(leaf: &PageLeaf, all: &[Listed<'_>]) -> (Vec<String>, String) {
    let lies = match leaf {
        PageLeaf::Over(k, _) => return (all[*k].what(), all[*k].title.brief()),
        PageLeaf::Whole(lies) => lies,
    };
    let mut indices: Vec<usize> = lies.iter().map(|l| l.of).collect();
    indices.sort_unstable();
    let on: Vec<&Listed<'_>> = indices.iter().map(|&k| &all[k]).collect();
    if let [one] = on.as_slice() {
        return (one.what(), one.title.brief());
    }
    // Layers that have nothing but their number are put together, the others stand by themselves.
    let (mut numbers, mut others): (Vec<usize>, Vec<String>) = (Vec::new(), Vec::new());
    for one in &on {
        match one.title.bare() {
            Some(layers) => numbers.extend(layers),
            None => others.push(one.title.beside_others()),
        }
    }
    let layers = !numbers.is_empty() || on[0].title.is_of_layers();
    let mut names = runs(numbers);
    names.extend(others);
    if layers {
        names = of_layers(names);
    }
    let brief = joined(&names);
    (names, brief)
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
            if let Some(lie) = askew(k, piece, frame) {
                return Ok((k, PageLeaf::Whole(vec![lie])));
            }
            let words = draw_piece::word_boxes(piece)?;
            let spread = PageSpread::new(piece, &words, frame, paper.overlap);
            if spread.cuts_a_hole(piece) {
                return Err(Error::layout(LayoutFact::JoinThroughHole {
                    what: joined(&listed[k].what()),
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
            let first = lies.iter().map(|l| l.of).min().unwrap_or_default();
            // One alone stands in the middle.
            let lies = match lies.as_slice() {
                [one] if !paper.roll => middle(one.of, &listed[one.of].piece, one.turn, frame)
                    .map_or(lies.clone(), |lie| vec![lie]),
                _ => lies,
            };
            leaves.push((first, PageLeaf::Whole(lies)));
        }
    }
    leaves.sort_by_key(|(first, _)| *first);
    Ok(leaves.into_iter().map(|(_, leaf)| leaf).collect())
}

/// Whether a piece fits the window as it stands or turned by a right angle.
fn quarter(piece: &Piece, frame: &Frame) -> bool {
    [0.0, 90.0]
        .iter()
        .any(|&t| middle(0, piece, t, frame).is_some())
}

/// The lie of a piece in the middle of the window; nothing when it does not fit.
fn middle(of: usize, piece: &Piece, turn: f64, frame: &Frame) -> Option<Lie> {
    let pose = Pose::new(turn, 0.0, 0.0);
    let points: Vec<Point2> = piece
        .outline
        .points
        .iter()
        .map(|&p| pose.apply(p))
        .collect();
    let (low, high) = bounds(&points)?;
    let (w, h) = frame.window();
    let (dx, dy) = (w - (high.x - low.x), h - (high.y - low.y));
    (dx >= 0.0 && dy >= 0.0).then_some(Lie {
        of,
        turn,
        x: dx / 2.0 - low.x,
        y: dy / 2.0 - low.y,
    })
}

/// The first turn, in steps, at which a piece fits one page.
fn askew(of: usize, piece: &Piece, frame: &Frame) -> Option<Lie> {
    (0..180)
        .map(|k| f64::from(k) * tile::TURN_STEP)
        .take_while(|&t| t < 180.0)
        .find_map(|t| middle(of, piece, t, frame))
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
fn lies(board: &Board, pieces: &[&Piece], number: impl Fn(usize) -> usize) -> Vec<Lie> {
    board
        .placed
        .iter()
        .filter_map(|p| {
            let k = pieces.iter().position(|q| q.id == p.piece)?;
            Some(Lie {
                of: number(k),
                turn: p.turn_deg,
                x: p.x,
                y: p.y,
            })
        })
        .collect()
}
