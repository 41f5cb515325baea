//! The convex hull of plane points, for laying out and for dowels. (The tape has its own.)

use geo::ConvexHull;

use super::{Outline, Point2};

/// Convex hull, counter-clockwise, corners only; empty when there are fewer than three points that
/// do not lie on one line.
#[must_use]
pub fn hull(points: &[Point2]) -> Outline {
    let all: geo::MultiPoint<f64> = points.iter().map(|p| geo::Point::new(p.x, p.y)).collect();
    let ring = all.convex_hull();
    let mut points: Vec<Point2> = ring
        .exterior()
        .coords()
        .map(|c| Point2::new(c.x, c.y))
        .collect();
    points.pop();
    if points.len() < 3 {
        points.clear();
    }
    Outline { points }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn a_dented_square_is_bridged() {
        let p = |x: f64, y: f64| Point2::new(x, y);
        let dented = [p(0., 0.), p(5., 3.), p(10., 0.), p(10., 10.), p(0., 10.)];
        let h = hull(&dented);
        assert_relative_eq!(h.perimeter(), 40.0);
        assert_relative_eq!(h.area(), 100.0);
        assert!(hull(&dented[..2]).points.is_empty());
    }
}
