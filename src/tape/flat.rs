//! A tape along the body, laid flat: how long it is, and where it lies on the solid.

use super::taut;
use crate::geom::{Point2, Point3, Vector2};

/// Which way a path faces.
#[derive(Clone, Copy)]
pub(super) enum Outward {
    Front,
    Back,
}

impl Outward {
    pub(super) const fn sign(self) -> f64 {
        match self {
            Self::Front => 1.0,
            Self::Back => -1.0,
        }
    }
}

/// A straight part of a path, seen from the front.
#[derive(Clone, Copy)]
struct Leg {
    /// How far along the path it begins, mm.
    begins: f64,
    /// Where it begins, as (x, z).
    from: Point2,
    /// Where it leads, as (x, z); of length 1.
    along: Vector2,
}

/// A path in planes along the front-to-back direction, laid flat.
pub(super) struct Flat {
    facing: Outward,
    /// What the tape may touch: how far along, and outward `y`.
    points: Vec<Point2>,
    /// Where it begins and ends.
    ends: [Point2; 2],
    legs: Vec<Leg>,
}

impl Flat {
    /// A path between two points given as (x, z), over `points` from `ends` to `ends`: (how far along, outward
    /// `y`).
    pub(super) fn new(
        facing: Outward,
        [from, to]: [Point2; 2],
        points: Vec<Point2>,
        ends: [Point2; 2],
    ) -> Self {
        let legs = vec![Leg {
            begins: 0.0,
            from,
            along: (to - from).normalize(),
        }];
        Self {
            facing,
            points,
            ends,
            legs,
        }
    }

    /// The same path, led on straight down for `length` over `points` to the outward `y` of its end.
    pub(super) fn on_down(mut self, points: &[Point2], length: f64, y: f64) -> Self {
        let [start, end] = self.ends;
        let from = self.place(end).xz();
        self.points.push(end);
        self.points
            .extend(points.iter().map(|p| Point2::new(p.x + end.x, p.y)));
        self.legs.push(Leg {
            begins: end.x,
            from,
            along: -Vector2::y(),
        });
        self.ends = [start, Point2::new(end.x + length, y)];
        self
    }

    /// How long the tape is, mm.
    pub(super) fn length(&self) -> f64 {
        taut::over(&self.points, self.ends)
    }

    /// Where it touches the solid, from its begin to its end.
    pub(super) fn thread(&self) -> Vec<Point3> {
        let way = taut::way(&self.points, self.ends);
        way.into_iter().map(|p| self.place(p)).collect()
    }

    fn place(&self, p: Point2) -> Point3 {
        let leg = self.legs.iter().rev().find(|l| l.begins <= p.x);
        let leg = leg.unwrap_or(&self.legs[0]);
        let at = leg.from + leg.along * (p.x - leg.begins);
        Point3::new(at.x, p.y * self.facing.sign(), at.y)
    }
}
