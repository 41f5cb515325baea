//! Pieces lying on boards and on pages.
//!
//! Nothing here knows about bodies: a piece is an outline with openings and marks. [`nest::nest`]
//! lays pieces on stock, [`board::board_drawing`] draws a board with the kerf given back to every
//! piece, [`page::pages`] puts the pieces on the person's paper at true size.

pub mod board;
mod caption;
mod clearance;
mod convex;
mod draw_piece;
mod facts;
mod letters;
pub mod nest;
mod no_fit;
pub mod offcut;
pub mod page;
mod search;
pub mod split;
mod window;

pub use facts::LayoutFact;

use crate::geom::Point2;
use crate::stack::PieceId;

/// One piece lying on a board: turned about the form's axis (the origin of the piece's own
/// coordinates), then shifted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placed {
    /// Which piece.
    pub piece: PieceId,
    /// Turn counter-clockwise, degrees.
    pub turn_deg: f64,
    /// Shift along the width of the board, mm.
    pub x: f64,
    /// Shift along the length of the board, mm.
    pub y: f64,
}

/// One piece of stock with the pieces that are cut from it. Origin lower left, `x` along the
/// width, `y` up along the length.
#[derive(Clone, Debug, PartialEq)]
pub struct Board {
    /// Which stock of the workshop it is, counted from 0.
    pub stock: usize,
    /// mm, along `x`.
    pub width: f64,
    /// mm, along `y`; off a roll, the length that is used, edges included.
    pub length: f64,
    /// What lies on it.
    pub placed: Vec<Placed>,
    /// Net area of the pieces on it, mm².
    pub used_area: f64,
}

/// Turning and shifting of a plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pose {
    sin: f64,
    cos: f64,
    turn: f64,
    x: f64,
    y: f64,
}

impl Pose {
    /// Turn counter-clockwise by `degrees` about the origin, then shift. Quarter turns are exact.
    #[must_use]
    pub fn new(degrees: f64, x: f64, y: f64) -> Self {
        let whole = degrees.rem_euclid(360.0);
        let quarter = (whole / 90.0).round();
        let (sin, cos) = if whole.total_cmp(&(quarter * 90.0)).is_eq() {
            match quarter.rem_euclid(4.0) {
                q if q < 0.5 => (0.0, 1.0),
                q if q < 1.5 => (1.0, 0.0),
                q if q < 2.5 => (0.0, -1.0),
                _ => (-1.0, 0.0),
            }
        } else {
            libm::sincos(whole.to_radians())
        };
        Self {
            sin,
            cos,
            turn: whole.to_radians(),
            x,
            y,
        }
    }

    /// Where a point goes.
    #[must_use]
    pub fn apply(&self, p: Point2) -> Point2 {
        Point2::new(
            p.x * self.cos - p.y * self.sin + self.x,
            p.x * self.sin + p.y * self.cos + self.y,
        )
    }

    /// Where a point comes from.
    #[must_use]
    pub fn undone(&self, p: Point2) -> Point2 {
        let (x, y) = (p.x - self.x, p.y - self.y);
        Point2::new(x * self.cos + y * self.sin, y * self.cos - x * self.sin)
    }

    /// The turn, radians, 0 to 2 pi.
    #[must_use]
    pub fn turn(&self) -> f64 {
        self.turn
    }
}

impl Placed {
    /// How the piece is turned and shifted.
    #[must_use]
    pub fn pose(&self) -> Pose {
        Pose::new(self.turn_deg, self.x, self.y)
    }
}

/// Smallest and largest coordinates of points; nothing for no points.
pub(crate) fn bounds(points: &[Point2]) -> Option<(Point2, Point2)> {
    let first = points.first()?;
    Some(points.iter().fold((*first, *first), |(low, high), p| {
        (
            Point2::new(low.x.min(p.x), low.y.min(p.y)),
            Point2::new(high.x.max(p.x), high.y.max(p.y)),
        )
    }))
}
