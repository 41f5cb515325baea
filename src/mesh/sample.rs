//! A surface that is star-shaped about a pole at every height, and a row of points of it.

use std::f64::consts::{PI, TAU};

use crate::geom::{Point2, Point3, Vector2};

/// A surface given by its distance from a pole in every direction at every height.
#[derive(Clone, Copy)]
pub struct Sampled<'a> {
    /// Lowest and highest height, mm.
    pub range: (f64, f64),
    /// Distances from the pole, mm, > 0, at a height (mm) in several directions (radians, -pi to pi,
    /// 0 = +x, pi/2 = +y).
    pub radii: &'a (dyn Fn(f64, &[f64]) -> Vec<f64> + Sync),
    /// The pole at a height.
    pub pole: &'a (dyn Fn(f64) -> Point2 + Sync),
}

/// Directions as the surface takes them and as unit vectors.
pub(super) struct Directions {
    thetas: Vec<f64>,
    units: Vec<Vector2>,
}

impl Directions {
    pub(super) fn new(columns: impl Iterator<Item = f64> + Clone) -> Self {
        Self {
            thetas: columns.clone().map(wrapped).collect(),
            units: columns.map(unit).collect(),
        }
    }
}

/// One horizontal row of the grid.
pub(super) struct SampleRow {
    pub(super) z: f64,
    pub(super) pole: Point2,
    pub(super) points: Vec<Point3>,
}

impl SampleRow {
    pub(super) fn sample(surface: &Sampled<'_>, z: f64, directions: &Directions) -> Self {
        let pole = (surface.pole)(z);
        let points = (surface.radii)(z, &directions.thetas)
            .into_iter()
            .zip(&directions.units)
            .map(|(r, u)| {
                let p = pole + u * r;
                Point3::new(p.x, p.y, z)
            })
            .collect();
        Self { z, pole, points }
    }

    /// Largest distance of this row's points from the chords between the rows below and above.
    pub(super) fn strays_from(&self, below: &Self, above: &Self) -> f64 {
        self.points
            .iter()
            .zip(&below.points)
            .zip(&above.points)
            .map(|((p, a), b)| distance_to_chord(p, a, b))
            .fold(0.0, f64::max)
    }
}

/// Distance of `p` from the straight line between `a` and `b`.
pub(super) fn distance_to_chord(p: &Point3, a: &Point3, b: &Point3) -> f64 {
    let along = b - a;
    let t = ((p - a).dot(&along) / along.norm_squared()).clamp(0.0, 1.0);
    (p - (a + along * t)).norm()
}

/// The same direction within -pi to pi.
fn wrapped(theta: f64) -> f64 {
    if theta > PI { theta - TAU } else { theta }
}

/// Unit vector of a direction, exactly mirror-like about both axes.
fn unit(theta: f64) -> Vector2 {
    let quarter = (theta / (PI / 2.0)).round();
    let (s, c) = libm::sincos(theta - quarter * (PI / 2.0));
    match (quarter as i64).rem_euclid(4) {
        0 => Vector2::new(c, s),
        1 => Vector2::new(-s, c),
        2 => Vector2::new(-c, -s),
        _ => Vector2::new(s, -c),
    }
}
