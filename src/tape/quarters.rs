//! The tape round a level in four parts, from centre line to side line, and where these lines lie.

use super::Tape;
use super::taut;
use crate::geom::{Point2, Vector2};
use crate::measure::Side;

/// The tape round one level in four parts. Centre lines lie straight before and behind the pole,
/// side lines straight to its sides, as for the front arcs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Quarters {
    /// From centre front to the side lines, left and right, mm.
    pub front: [f64; 2],
    /// From centre back to the side lines, left and right, mm.
    pub back: [f64; 2],
    /// Where the tape crosses centre front and centre back.
    pub centre: [Point2; 2],
    /// Where it crosses the side lines, left and right.
    pub side: [Point2; 2],
}

impl Quarters {
    /// All round, mm.
    #[must_use]
    pub fn girth(&self) -> f64 {
        self.front.iter().chain(&self.back).sum()
    }
}

impl Tape<'_> {
    /// The tape round the trunk at height `z`, mm; nothing where the solid has no pole or is not met.
    #[must_use]
    pub fn quarters(&self, z: f64) -> Option<Quarters> {
        let (tape, pole) = (taut::hull(&self.trunk(z)?), self.pole(z)?);
        let at = |towards: Vector2| taut::leaves(&tape, pole, towards);
        let (plus, minus) = (at(Vector2::x())?, at(-Vector2::x())?);
        let (front, back) = (at(Vector2::y())?, at(-Vector2::y())?);
        let arc = |a, b| taut::length(&taut::part(&tape, a, b));
        // Counter-clockwise: over the front from the side at `+x` to the other, home over the back.
        let front_arcs = [arc(plus, front), arc(front, minus)];
        let back_arcs = [arc(back, plus), arc(minus, back)];
        let left_first = |[plus, minus]: [f64; 2]| {
            if self.sideways(Side::Left).x > 0.0 {
                [plus, minus]
            } else {
                [minus, plus]
            }
        };
        let side = if self.sideways(Side::Left).x > 0.0 {
            [plus.1, minus.1]
        } else {
            [minus.1, plus.1]
        };
        Some(Quarters {
            front: left_first(front_arcs),
            back: left_first(back_arcs),
            centre: [front.1, back.1],
            side,
        })
    }

    /// Where the tape round the trunk at height `z` crosses the plane `x`, in front and behind.
    #[must_use]
    pub fn beside(&self, z: f64, x: f64) -> Option<[Point2; 2]> {
        let (tape, pole) = (taut::hull(&self.trunk(z)?), self.pole(z)?);
        let from = Point2::new(x, pole.y);
        let at = |towards: Vector2| taut::leaves(&tape, from, towards).map(|l| l.1);
        Some([at(Vector2::y())?, at(-Vector2::y())?])
    }
}
