//! Which pieces lie together on a page, and how.

use rayon::prelude::*;

use crate::error::Error;
use crate::geom::Outline;
use crate::geom::Point2;
use crate::geom::Vector2;
use crate::layout::Board;
use crate::layout::Pose;
use crate::layout::bounds;
use crate::layout::draw_piece;
use crate::layout::facts::LayoutFact;
use crate::layout::nest;
use crate::layout::page::fitted::Entries;
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
    /// Whole pieces.
    Whole(Vec<OnPage>),
    /// One piece over several pages.
    Over(usize, PageSpread),
}

/// A whole piece on a page.
#[derive(Clone, Copy, Debug)]
pub(super) struct OnPage {
    /// Which of the list it is.
    pub(super) which: usize,
    /// How it lies.
    pub(super) seat: Seat,
}

/// How a piece lies in the window of a page.
#[derive(Clone, Copy, Debug)]
pub(super) struct Seat {
    /// Its turn, degrees counter-clockwise.
    pub(super) turn: f64,
    /// Its shift, after the turn, from the lower left corner of the window, mm.
    pub(super) shift: Vector2,
}

impl PageLeaf {
    /// How many pages it takes.
    pub(super) fn count(&self) -> usize {
        match self {
            Self::Whole(_) => 1,
            Self::Over(_, spread) => spread.cells.len(),
        }
    }

    /// Which of the list it holds, in their order.
    pub(super) fn pieces(&self) -> Vec<usize> {
        match self {
            Self::Over(k, _) => vec![*k],
            Self::Whole(on_page) => {
                let mut indices: Vec<usize> = on_page.iter().map(|on| on.which).collect();
                indices.sort_unstable();
                indices
            }
        }
    }
}

/// What a leaf is called at the foot of its page: layers of one template outermost first, templates apart by
/// semicolons.
pub(super) fn called(leaf: &PageLeaf, all: &[Listed<'_>]) -> Entries {
    let on: Vec<&Listed<'_>> = leaf.pieces().iter().map(|&k| &all[k]).collect();
    if let [alone] = on.as_slice() {
        return alone.what();
    }
    several(&on)
}

/// What several pieces and templates are called together.
fn several(on: &[&Listed<'_>]) -> Entries {
    // Layers that have nothing but their number are put together, the others stand by themselves; what is no
    // layer comes last.
    let (mut numbers, mut layers, mut others) = (Vec::new(), Vec::new(), Vec::new());
    for one in on {
        let words = one.title.beside_others_shortly();
        match one.title.bare() {
            Some(layer) => numbers.push(layer),
            _ if one.title.is_of_layers() => layers.push(words),
            _ => others.push(words),
        }
    }
    let of_layers = Entries::in_a_row([runs(numbers)].into_iter().chain(layers), ";");
    Entries::in_a_row([of_layers.after("layers ")].into_iter().chain(others), ";")
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
            if let Some(seat) = askew(&piece.outline, frame) {
                return Ok((k, PageLeaf::Whole(vec![OnPage { which: k, seat }])));
            }
            // Words of templates come later, where no join is.
            let mut words = draw_piece::word_boxes(piece)?;
            if let Some(template) = &listed[k].drawn {
                words.extend(template.mark_boxes());
            }
            let spread = PageSpread::new(piece, &words, frame, paper.overlap);
            if spread.cuts_a_hole(piece) {
                return Err(Error::layout(LayoutFact::JoinThroughHole {
                    what: listed[k].what().words(),
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
            let mut on_page = on_page(&board, &pieces, |k| small[k]);
            let first = on_page.iter().map(|on| on.which).min().unwrap_or_default();
            // One alone stands in the middle.
            if let ([alone], false) = (on_page.as_mut_slice(), paper.roll)
                && let Some(seat) = seat(&listed[alone.which].piece.outline, alone.seat.turn, frame)
            {
                alone.seat = seat;
            }
            leaves.push((first, PageLeaf::Whole(on_page)));
        }
    }
    leaves.sort_by_key(|(first, _)| *first);
    Ok(leaves.into_iter().map(|(_, leaf)| leaf).collect())
}

/// What an outline costs, in thousandths of a page: of one that shares its page with others the share of the
/// window that its box takes.
pub(super) fn cost(outline: &Outline, frame: &Frame, overlap: f64) -> usize {
    let fits = |turn: f64| seat(outline, turn, frame).is_some();
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
        .any(|&t| seat(&piece.outline, t, frame).is_some())
}

/// How a piece turned by so many degrees lies in the middle of the window; nothing when it does not fit.
fn seat(outline: &Outline, turn: f64, frame: &Frame) -> Option<Seat> {
    let pose = Pose::new(turn, 0.0, 0.0);
    let points: Vec<Point2> = outline.points.iter().map(|&p| pose.apply(p)).collect();
    let (low, high) = bounds(&points)?;
    let (w, h) = frame.window();
    let (dx, dy) = (w - (high.x - low.x), h - (high.y - low.y));
    (dx >= 0.0 && dy >= 0.0).then_some(Seat {
        turn,
        shift: Vector2::new(dx / 2.0 - low.x, dy / 2.0 - low.y),
    })
}

/// The first turn, in steps, at which a piece fits one page.
fn askew(outline: &Outline, frame: &Frame) -> Option<Seat> {
    (0..180)
        .map(|k| f64::from(k) * tile::TURN_STEP)
        .take_while(|&t| t < 180.0)
        .find_map(|t| seat(outline, t, frame))
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
fn on_page(board: &Board, pieces: &[&Piece], number: impl Fn(usize) -> usize) -> Vec<OnPage> {
    let placed = board.placed.iter();
    placed
        .filter_map(|p| {
            let k = pieces.iter().position(|q| q.id == p.piece)?;
            Some(OnPage {
                which: number(k),
                seat: Seat {
                    turn: p.turn_deg,
                    shift: Vector2::new(p.x, p.y),
                },
            })
        })
        .collect()
}
