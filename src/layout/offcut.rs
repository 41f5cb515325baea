//! What is left of a board: the largest rectangle beside the pieces, to be kept for another time.

use crate::geom::Outline;
use crate::geom::Point2;
use crate::geom::Vector2;
use crate::layout::Board;
use crate::stack::Piece;
use crate::units::Unit;

/// Side of a cell of the map of what is left, mm: an off-cut is measured this coarsely, never too
/// large. Our choice.
const CELL: f64 = 5.0;

/// Sides of the smallest off-cut that is worth a place on the shelf, mm: it holds the layers of a
/// neck. Our choice: 300 x 200 mm, or 12 x 8 in for anyone who measures in inches.
#[must_use]
pub const fn worth_keeping(unit: Unit) -> (f64, f64) {
    match unit {
        Unit::Cm | Unit::Mm => (300.0, 200.0),
        Unit::In => (unit.to_mm(12.0), unit.to_mm(8.0)),
    }
}

/// A rectangle of a board that nothing lies on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Offcut {
    /// Lower left corner.
    pub low: Point2,
    /// Upper right corner.
    pub high: Point2,
}

impl Offcut {
    /// Longer and shorter side, mm.
    #[must_use]
    pub fn sides(&self) -> (f64, f64) {
        let (a, b) = (self.high.x - self.low.x, self.high.y - self.low.y);
        (a.max(b), a.min(b))
    }

    /// Whether it is as large as one that is [worth keeping](worth_keeping).
    #[must_use]
    pub fn is_worth_keeping(&self, unit: Unit) -> bool {
        let ((long, short), least) = (self.sides(), worth_keeping(unit));
        long >= least.0 && short >= least.1
    }
}

/// The largest rectangle of a board that keeps `off` mm from every piece on it, up to the edges of
/// the board and in openings too; nothing when there is none. Of two of one area the lower one.
#[must_use]
pub fn largest(board: &Board, pieces: &[&Piece], off: f64) -> Option<Offcut> {
    let cells = |length: f64| (length / CELL).floor().max(0.0) as usize;
    let (columns, rows) = (cells(board.width), cells(board.length));
    let mut taken = vec![false; columns * rows];
    for placed in &board.placed {
        let piece = pieces.iter().find(|p| p.id == placed.piece)?;
        let pose = placed.pose();
        let rings: Vec<Outline> = piece
            .rings()
            .iter()
            .map(|r| Outline::new(r.points.iter().map(|&p| pose.apply(p)).collect()))
            .collect();
        take(&rings, off, (columns, rows), &mut taken);
    }
    // For every row: how far each column is free downwards, and the largest rectangle under that
    // skyline, found with a stack of rising heights.
    let mut best: Option<(usize, [usize; 4])> = None;
    let mut free = vec![0_usize; columns + 1];
    for row in 0..rows {
        for (column, height) in free.iter_mut().take(columns).enumerate() {
            *height = if taken[row * columns + column] {
                0
            } else {
                *height + 1
            };
        }
        let mut rising: Vec<(usize, usize)> = Vec::new();
        for (column, &height) in free.iter().enumerate() {
            let mut from = column;
            while let Some(&(start, tall)) = rising.last() {
                if tall < height {
                    break;
                }
                rising.pop();
                from = start;
                let area = tall * (column - start);
                if area > 0 && best.is_none_or(|(most, _)| area > most) {
                    best = Some((area, [start, row + 1 - tall, column, row + 1]));
                }
            }
            rising.push((from, height));
        }
    }
    let (_, [left, bottom, right, top]) = best?;
    // The last cells end where the board does.
    let end = |cells: usize, all: usize, length: f64| {
        if cells == all {
            length
        } else {
            cells as f64 * CELL
        }
    };
    Some(Offcut {
        low: Point2::new(left as f64 * CELL, bottom as f64 * CELL),
        high: Point2::new(
            end(right, columns, board.width),
            end(top, rows, board.length),
        ),
    })
}

/// Takes the cells that a piece lies on, or comes nearer to than `off`.
fn take(rings: &[Outline], off: f64, (columns, rows): (usize, usize), taken: &mut [bool]) {
    let mut fill = |low: Point2, high: Point2| {
        let span = |from: f64, to: f64, all: usize| {
            let first = ((from / CELL).floor().max(0.0) as usize).min(all);
            (first, ((to / CELL).ceil().max(0.0) as usize).min(all))
        };
        let ((a, b), (c, d)) = (span(low.x, high.x, columns), span(low.y, high.y, rows));
        for row in c..d {
            taken[row * columns + a..row * columns + b.max(a)].fill(true);
        }
    };
    let room = Vector2::new(off, off);
    for (a, b) in rings.iter().flat_map(Outline::sides) {
        let steps = ((b - a).norm() / CELL).ceil().max(1.0) as usize;
        for k in 0..steps {
            let at = |k: usize| a + (b - a) * (k as f64 / steps as f64);
            let (p, q) = (at(k), at(k + 1));
            let low = Point2::new(p.x.min(q.x), p.y.min(q.y));
            let high = Point2::new(p.x.max(q.x), p.y.max(q.y));
            fill(low - room, high + room);
        }
    }
    for row in 0..rows {
        let y = (row as f64 + 0.5) * CELL;
        let mut crossings: Vec<f64> = rings
            .iter()
            .flat_map(Outline::sides)
            .filter(|(p, q)| (p.y > y) != (q.y > y))
            .map(|(p, q)| p.x + (y - p.y) / (q.y - p.y) * (q.x - p.x))
            .collect();
        crossings.sort_by(f64::total_cmp);
        for pair in crossings.chunks_exact(2) {
            fill(Point2::new(pair[0], y), Point2::new(pair[1], y));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::Placed;
    use crate::stack::PieceId;

    fn square(low: f64, high: f64) -> Outline {
        let corners = [(low, low), (high, low), (high, high), (low, high)];
        Outline::new(corners.map(|(x, y)| Point2::new(x, y)).to_vec())
    }

    fn board(length: f64, placed: &[(f64, f64)]) -> Board {
        Board {
            stock: 0,
            width: 1000.0,
            length,
            placed: placed
                .iter()
                .map(|&(x, y)| Placed {
                    piece: PieceId::layer(1),
                    turn_deg: 0.0,
                    x,
                    y,
                })
                .collect(),
            used_area: 0.0,
        }
    }

    #[test]
    fn the_largest_rectangle_beside_the_pieces_is_found() {
        let openings = vec![square(40.0, 160.0)];
        let piece = Piece::blank(PieceId::layer(1), square(0.0, 200.0), openings);
        // Two squares of 200 in the lower corners of 1000 x 602: above them 1000 x 398 less the
        // distance, between them 590 x 602.
        let found = largest(&board(602.0, &[(0.0, 0.0), (800.0, 0.0)]), &[&piece], 5.0).unwrap();
        assert_eq!(found.low, Point2::new(0.0, 205.0));
        assert_eq!(found.high, Point2::new(1000.0, 602.0));
        assert!(found.is_worth_keeping(Unit::Mm));
        // One in the middle of the width, the board no higher: beside it on the left.
        let found = largest(&board(200.0, &[(500.0, 0.0)]), &[&piece], 5.0).unwrap();
        assert_eq!(found.low, Point2::new(0.0, 0.0));
        assert_eq!(found.high, Point2::new(495.0, 200.0));
        // What is filled to the brim has only its opening left.
        let side_by_side: Vec<(f64, f64)> = (0..5).map(|k| (200.0 * f64::from(k), 0.0)).collect();
        let found = largest(&board(200.0, &side_by_side), &[&piece], 5.0).unwrap();
        assert_eq!(found.low, Point2::new(45.0, 45.0));
        assert_eq!(found.high, Point2::new(155.0, 155.0));
        assert!(!found.is_worth_keeping(Unit::Mm));
    }

    #[test]
    fn an_empty_board_is_all_left() {
        let found = largest(&board(400.0, &[]), &[], 5.0).unwrap();
        assert_eq!(found.sides(), (1000.0, 400.0));
    }
}
