//! Laying pieces on boards: no two nearer than the gap and the kerf, none nearer to the edge than
//! the margin, on as few boards, or as little of a roll, as the tries find.

use rayon::prelude::*;

use crate::error::Error;
use crate::geom::Outline;
use crate::geom::Point2;
use crate::geom::hull::hull;
use crate::geom::offset;
use crate::geom::offset::offset;
use crate::layout::Board;
use crate::layout::Placed;
use crate::layout::Pose;
use crate::layout::bounds;
use crate::layout::clearance;
use crate::layout::clearance::LaidOutline;
use crate::layout::convex;
use crate::layout::facts::LayoutFact;
use crate::layout::no_fit::Turned;
use crate::layout::no_fit::Variant;
use crate::layout::search::Instance;
use crate::layout::search::Lie;
use crate::stack::Piece;
use crate::stack::PieceId;
use crate::tolerance::NEST_GAP_EPS_MM;
use crate::tolerance::NEST_GRID_ACCURACY_MM;
use crate::workshop::Stock;

/// Repackings tried when nobody asks for more: well under a second for the layers of one form on two
/// cores. A hundred times as many often save a board more.
pub const DEFAULT_TRIES: usize = 200;

/// Of the tries on a roll beyond so many, one in so many presses the pieces together instead of
/// repacking them.
const REPACKED: usize = 4000;
const PRESSED: usize = 3;

/// Pieces that cover less than this share of a roll lie on one length of it.
const ONE_LENGTH: f64 = 0.7;

/// Most repackings for each guess of how many neighbours go on one board.
const TRIES_IN_ORDER: usize = 80;

/// Corners of the polygon that stands for a circle of the distance to keep.
const DISC_CORNERS: usize = 24;

/// How many times finer the grid is on which the pieces of a roll are slid together in the end.
const REFINED: i32 = 8;

/// Grid steps in the shorter side of a board: small boards get a finer grid.
const STEPS_ACROSS: f64 = 200.0;

/// Lays all pieces on the first stock that they fit, in the order of `stocks`; what finds no room
/// on as many boards as there are of a stock goes on to the next. Boards come by their lowest piece.
///
/// `tries` is the number of repackings after the first layout: more may save a board or some length
/// and takes longer. The same call always gives the same boards, on any number of cores.
///
/// # Errors
/// [`Error::Layout`] when a piece fits on none of the stocks (the message names it with its size),
/// when there is no stock, or when a found layout does not keep its distances when measured.
pub fn nest(pieces: &[&Piece], stocks: &[Stock], tries: usize) -> Result<Vec<Board>, Error> {
    if stocks.is_empty() {
        return Err(Error::layout(LayoutFact::NoStock));
    }
    let mut waiting: Vec<&Piece> = pieces.to_vec();
    let mut boards = Vec::new();
    for (index, stock) in stocks.iter().enumerate() {
        let (fitting, rest): (Vec<&Piece>, Vec<&Piece>) =
            waiting.into_iter().partition(|p| fits(p, stock));
        waiting = rest;
        if fitting.is_empty() {
            continue;
        }
        let mut laid = if stock.in_order {
            in_order(&fitting, index, stock, tries)?
        } else {
            on_stock(&fitting, index, stock, tries)?
        };
        if let Some(count) = stock.count {
            // Of off-cuts those are used that take most; the rest goes on to the next stock.
            if !stock.in_order {
                laid.sort_by(|a, b| b.used_area.total_cmp(&a.used_area));
            }
            let left = laid.split_off(count.min(laid.len()));
            let back = |p: &&Piece| {
                left.iter()
                    .any(|b| b.placed.iter().any(|placed| placed.piece == p.id))
            };
            waiting.extend(fitting.into_iter().filter(back));
        }
        boards.extend(laid);
    }
    // Cut and stacked from the lowest layer up.
    let first = |board: &Board| {
        board
            .placed
            .iter()
            .filter_map(|p| pieces.iter().position(|q| q.id == p.piece))
            .min()
    };
    boards.sort_by_key(first);
    if let Some(piece) = waiting.iter().find(|p| stocks.iter().any(|s| fits(p, s))) {
        return Err(Error::layout(LayoutFact::StockRunsOut {
            left: waiting.len(),
            pieces: pieces.len(),
            piece: piece.id.to_string(),
        }));
    }
    if let Some(piece) = waiting.first() {
        let (w, h) = size(&piece.outline, 0.0);
        return Err(Error::layout(LayoutFact::FitsNoStock {
            piece: piece.id.to_string(),
            size: [w, h],
            free: stocks.iter().map(|s| free(s).into()).collect(),
        }));
    }
    Ok(boards)
}

/// The least number of boards of `stock`, or mm of a roll, that area alone allows: no layout can
/// do with less. Counts the gap as a band of half its width round every outline and inside every
/// opening; what is left of an opening counts as room where it could hold the smallest piece.
#[must_use]
pub fn area_bound(pieces: &[&Piece], stock: &Stock) -> f64 {
    let half = (stock.gap + stock.kerf) / 2.0;
    let (width, length) = free(stock);
    // A band of half the gap round a convex outline has at least perimeter times that (Steiner),
    // a dented one at least the band of the hull less its dents: the outline alone is counted there.
    let smallest = smallest(pieces);
    let total: f64 = pieces
        .iter()
        .map(|p| {
            let outer = hull(&p.outline.points);
            let dents = outer.area() - p.outline.area();
            let room: f64 = large_holes(p, smallest)
                .into_iter()
                .flat_map(|hole| {
                    let hole = Outline {
                        points: hole.to_vec(),
                    }
                    .counter_clockwise();
                    offset(&[offset::Region::solid(hole)], -half)
                })
                .map(|r| r.area())
                .sum();
            p.outline.area() + (outer.perimeter() * half - dents).max(0.0) - room
        })
        .sum();
    let (width, length) = (width + 2.0 * half, length + 2.0 * half);
    if stock.roll {
        total / width
    } else {
        (total / (width * length)).ceil()
    }
}

/// Clear edge that a finished piece keeps: the margin, and the kerf beyond it.
fn edge(stock: &Stock) -> f64 {
    stock.margin + stock.kerf
}

/// Width and length inside the margins.
fn free(stock: &Stock) -> (f64, f64) {
    (
        stock.width - 2.0 * edge(stock),
        stock.length - 2.0 * edge(stock),
    )
}

/// Breadth and height of an outline turned by `degrees`.
fn size(outline: &Outline, degrees: f64) -> (f64, f64) {
    bounds(&turned(&outline.points, degrees))
        .map_or((0.0, 0.0), |(low, high)| (high.x - low.x, high.y - low.y))
}

fn turned(points: &[Point2], degrees: f64) -> Vec<Point2> {
    let pose = Pose::new(degrees, 0.0, 0.0);
    points.iter().map(|&p| pose.apply(p)).collect()
}

/// The turns allowed for a piece; none given means as it stands.
fn turns(piece: &Piece, stock: &Stock) -> Vec<f64> {
    if stock.crossed {
        if piece.id.is_odd() {
            vec![0.0, 180.0]
        } else {
            vec![90.0, 270.0]
        }
    } else if stock.turns.is_empty() {
        vec![0.0]
    } else {
        stock.turns.clone()
    }
}

/// Lays neighbours together: as many in a row on each board as go on it.
fn in_order(
    pieces: &[&Piece],
    index: usize,
    stock: &Stock,
    tries: usize,
) -> Result<Vec<Board>, Error> {
    let mut boards = Vec::new();
    let mut rest = pieces;
    while !rest.is_empty() {
        // The most that go on one board, by halving between what does and what does not.
        let (mut most, mut beyond) = (0, rest.len() + 1);
        let mut best = None;
        let mut guess = 8.min(rest.len());
        while beyond - most > 1 {
            let mut laid = on_stock(&rest[..guess], index, stock, tries.min(TRIES_IN_ORDER))?;
            if laid.len() == 1 {
                best = laid.pop();
                most = guess;
            } else {
                beyond = guess;
            }
            guess = if beyond > rest.len() {
                (2 * most).min(rest.len())
            } else {
                most + (beyond - most) / 2
            };
            if most == rest.len() {
                break;
            }
        }
        let Some(board) = best else {
            return Err(Error::layout(LayoutFact::NotLaid));
        };
        boards.push(board);
        rest = &rest[most..];
    }
    Ok(boards)
}

pub(crate) fn fits(piece: &Piece, stock: &Stock) -> bool {
    let (width, length) = free(stock);
    turns(piece, stock).iter().any(|&t| {
        let (w, h) = size(&piece.outline, t);
        w <= width + NEST_GAP_EPS_MM && h <= length + NEST_GAP_EPS_MM
    })
}

/// Area of the smallest outline, mm².
fn smallest(pieces: &[&Piece]) -> f64 {
    pieces
        .iter()
        .map(|p| p.outline.area())
        .fold(f64::INFINITY, f64::min)
}

/// Openings that could hold the smallest of the pieces; the others are as good as solid.
fn large_holes(piece: &Piece, smallest: f64) -> Vec<&[Point2]> {
    let mut holes: Vec<&Outline> = piece
        .openings()
        .filter(|h| h.area().abs() > smallest)
        .collect();
    holes.sort_by(|a, b| b.area().abs().total_cmp(&a.area().abs()));
    holes.into_iter().map(|h| h.points.as_slice()).collect()
}

/// Step of the grid for a board whose shorter free side is `side`: halved until there are enough of
/// them, so that whole millimetres stay on the grid.
fn grid(side: f64) -> f64 {
    let mut grid = NEST_GRID_ACCURACY_MM;
    while grid * STEPS_ACROSS > side && grid * 16.0 > NEST_GRID_ACCURACY_MM {
        grid /= 2.0;
    }
    grid
}

fn on_stock(
    pieces: &[&Piece],
    index: usize,
    stock: &Stock,
    tries: usize,
) -> Result<Vec<Board>, Error> {
    let keep = stock.gap + stock.kerf;
    let (width, length) = free(stock);
    // A long search of one length of a roll is made on a coarser grid: it is faster, and presses in
    // the end.
    let area: f64 = pieces.iter().map(|p| p.outline.area()).sum();
    let long = stock.roll && tries > REPACKED && area < ONE_LENGTH * width * length;
    let coarser = if long { 2 } else { 1 };
    let grid = grid(width.min(length)) * f64::from(coarser);
    let disc = if keep > 0.0 {
        convex::disc(keep, DISC_CORNERS)
    } else {
        vec![Point2::origin()]
    };
    let smallest = smallest(pieces);
    let variants: Vec<Variant> = pieces
        .par_iter()
        .enumerate()
        .flat_map_iter(|(k, piece)| {
            let holes = large_holes(piece, smallest);
            let filled = convex::cover(&piece.outline.points, &[]);
            let open = holes
                .first()
                .map(|hole| (convex::cover(&piece.outline.points, &holes), *hole));
            turns(piece, stock)
                .into_iter()
                .filter_map(|t| {
                    let all = |parts: &[Vec<Point2>]| -> Vec<Vec<Point2>> {
                        parts.iter().map(|p| turned(p, t)).collect()
                    };
                    let outline = turned(&piece.outline.points, t);
                    let filled = all(&filled);
                    let open = open
                        .as_ref()
                        .map(|(parts, hole)| (all(parts), turned(hole, t)));
                    let piece = Turned {
                        outline: &outline,
                        filled: &filled,
                        open: open
                            .as_ref()
                            .map(|(parts, hole)| (parts.as_slice(), hole.as_slice())),
                    };
                    let variant = Variant::new(k, t, &piece, &disc);
                    let fits = variant.size.0 <= width + NEST_GAP_EPS_MM
                        && variant.size.1 <= length + NEST_GAP_EPS_MM;
                    fits.then_some(variant)
                })
                .collect::<Vec<_>>()
        })
        .collect();
    let areas = pieces.iter().map(|p| p.outline.area()).collect();
    let instance = Instance::new(grid, (width, length), keep, stock.roll, variants, areas);
    let pressed = if long {
        (tries - REPACKED) / PRESSED
    } else {
        0
    };
    let bins = instance
        .solve(tries - pressed)
        .ok_or_else(|| Error::layout(LayoutFact::NotLaid))?;
    let (instance, bins) = if stock.roll {
        let fine = instance.finer(coarser * REFINED);
        let mut bins = fine.refined(&bins, coarser * REFINED);
        if let [bin] = bins.as_mut_slice()
            && pressed > 0
        {
            *bin = fine.apart(bin, pressed);
        }
        (fine, bins)
    } else {
        (instance, bins)
    };
    let boards: Vec<Board> = bins
        .iter()
        .map(|bin| to_board(bin, &instance, pieces, index, stock))
        .collect();
    boards
        .par_iter()
        .try_for_each(|board| measure(board, pieces, stock, smallest))?;
    Ok(boards)
}

/// A bin in mm.
fn to_board(
    bin: &[Lie],
    instance: &Instance,
    pieces: &[&Piece],
    index: usize,
    stock: &Stock,
) -> Board {
    let edge = edge(stock);
    let mut lies = bin.to_vec();
    lies.sort_by_key(|l| instance.variants[l.variant].piece);
    let placed: Vec<Placed> = lies
        .iter()
        .map(|l| {
            let variant = &instance.variants[l.variant];
            Placed {
                piece: pieces[variant.piece].id,
                turn_deg: variant.turn_deg,
                x: edge + f64::from(l.column) * instance.grid - variant.corner.x,
                y: edge + f64::from(l.row) * instance.grid - variant.corner.y,
            }
        })
        .collect();
    let used_area = lies
        .iter()
        .map(|l| pieces[instance.variants[l.variant].piece].area)
        .sum();
    Board {
        stock: index,
        width: stock.width,
        length: if stock.roll {
            (instance.height(bin) + 2.0 * edge).ceil().min(stock.length)
        } else {
            stock.length
        },
        placed,
        used_area,
    }
}

/// Measures a layout on the exact outlines.
fn measure(board: &Board, pieces: &[&Piece], stock: &Stock, smallest: f64) -> Result<(), Error> {
    let keep = stock.gap + stock.kerf;
    let mut regions: Vec<(PieceId, LaidOutline)> = Vec::new();
    for placed in &board.placed {
        let Some(piece) = pieces.iter().find(|p| p.id == placed.piece) else {
            return Err(Error::layout(LayoutFact::NeverAsked {
                piece: placed.piece.to_string(),
            }));
        };
        let pose = placed.pose();
        let lay = |points: &[Point2]| points.iter().map(|&p| pose.apply(p)).collect::<Vec<_>>();
        let outline = lay(&piece.outline.points);
        if let Some((low, high)) = bounds(&outline) {
            let least = low
                .x
                .min(low.y)
                .min(board.width - high.x)
                .min(board.length - high.y);
            if least < stock.margin - NEST_GAP_EPS_MM {
                return Err(Error::layout(LayoutFact::InMargin {
                    piece: placed.piece.to_string(),
                    apart: least,
                    margin: stock.margin,
                }));
            }
        }
        let holes = large_holes(piece, smallest).into_iter().map(lay).collect();
        regions.push((placed.piece, LaidOutline { outline, holes }));
    }
    for (i, (name, region)) in regions.iter().enumerate() {
        for (other, against) in &regions[..i] {
            let apart = clearance::distance(region, against, keep);
            if apart < keep - NEST_GAP_EPS_MM {
                return Err(Error::layout(LayoutFact::TooNear {
                    pieces: [name.to_string(), other.to_string()],
                    apart,
                    keep,
                }));
            }
        }
    }
    Ok(())
}
