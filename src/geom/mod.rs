//! Plane and space vocabulary shared by every stage: points, outlines, hulls, splines, solving.

pub mod banded;
pub mod hull;
pub mod offset;
pub mod outline;
mod probe;
pub mod triangle;

/// A point of a horizontal section, or of any plane, in mm.
pub type Point2 = nalgebra::Point2<f64>;
/// A vector in a plane, in mm.
pub type Vector2 = nalgebra::Vector2<f64>;
/// A point in space, in mm: `x` to the wearer's right, `y` to the front, `z` up.
pub type Point3 = nalgebra::Point3<f64>;
/// A vector in space, in mm.
pub type Vector3 = nalgebra::Vector3<f64>;

/// A closed polygon in mm, counter-clockwise, its first point not repeated at the end.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Outline {
    /// The corners in order.
    pub points: Vec<Point2>,
}

/// Twice the signed area of a closed polygon, mm², positive for counter-clockwise.
#[must_use]
pub fn doubled_area(points: &[Point2]) -> f64 {
    let next = points.iter().cycle().skip(1);
    points
        .iter()
        .zip(next)
        .map(|(a, b)| a.x * b.y - a.y * b.x)
        .sum()
}
