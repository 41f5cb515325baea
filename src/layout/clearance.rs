//! Exact distances between laid pieces: what the search found is measured before it is believed.

use crate::geom::Point2;
use crate::layout::bounds;
use crate::layout::convex;

/// Least distance from a point to a segment.
fn to_segment(p: Point2, a: Point2, b: Point2) -> f64 {
    let d = b - a;
    let length2 = d.norm_squared();
    let t = if length2 > 0.0 {
        ((p - a).dot(&d) / length2).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (p - (a + d * t)).norm()
}

/// Whether two segments cross.
fn crosses(a: Point2, b: Point2, c: Point2, d: Point2) -> bool {
    let side =
        |o: Point2, p: Point2, q: Point2| (p.x - o.x) * (q.y - o.y) - (p.y - o.y) * (q.x - o.x);
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

/// A laid piece: its outline, and its openings that are large enough to hold another.
#[derive(Clone, Debug)]
pub(crate) struct LaidOutline {
    pub(crate) outline: Vec<Point2>,
    pub(crate) holes: Vec<Vec<Point2>>,
}

impl LaidOutline {
    fn rings(&self) -> impl Iterator<Item = &Vec<Point2>> {
        std::iter::once(&self.outline).chain(&self.holes)
    }

    fn contains(&self, p: Point2) -> bool {
        convex::inside(&self.outline, p) && !self.holes.iter().any(|h| convex::inside(h, p))
    }
}

/// Least distance between two pieces, 0 when they overlap; `enough` when they are at least that
/// far apart.
pub(crate) fn distance(a: &LaidOutline, b: &LaidOutline, enough: f64) -> f64 {
    let (Some(box_a), Some(box_b)) = (bounds(&a.outline), bounds(&b.outline)) else {
        return enough;
    };
    if box_a.0.x - box_b.1.x >= enough
        || box_b.0.x - box_a.1.x >= enough
        || box_a.0.y - box_b.1.y >= enough
        || box_b.0.y - box_a.1.y >= enough
    {
        return enough;
    }
    let mut least = enough;
    for ring in a.rings() {
        for (i, &p) in ring.iter().enumerate() {
            let q = ring[(i + 1) % ring.len()];
            let near = |r: Point2, s: Point2| {
                r.x.min(s.x) - p.x.max(q.x) < least
                    && p.x.min(q.x) - r.x.max(s.x) < least
                    && r.y.min(s.y) - p.y.max(q.y) < least
                    && p.y.min(q.y) - r.y.max(s.y) < least
            };
            let mut found = least;
            for other in b.rings() {
                for (j, &r) in other.iter().enumerate() {
                    let s = other[(j + 1) % other.len()];
                    if !near(r, s) {
                        continue;
                    }
                    if crosses(p, q, r, s) {
                        return 0.0;
                    }
                    found = found
                        .min(to_segment(p, r, s))
                        .min(to_segment(r, p, q))
                        .min(to_segment(q, r, s))
                        .min(to_segment(s, p, q));
                }
            }
            least = found;
        }
    }
    // No outlines cross: one may still lie whole inside the other.
    let within = |inner: &LaidOutline, outer: &LaidOutline| {
        inner.outline.first().is_some_and(|&p| outer.contains(p))
    };
    if within(a, b) || within(b, a) {
        return 0.0;
    }
    least
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(x: f64, y: f64, side: f64) -> Vec<Point2> {
        vec![
            Point2::new(x, y),
            Point2::new(x + side, y),
            Point2::new(x + side, y + side),
            Point2::new(x, y + side),
        ]
    }

    fn solid(outline: Vec<Point2>) -> LaidOutline {
        LaidOutline {
            outline,
            holes: vec![],
        }
    }

    #[test]
    fn distances_of_squares() {
        let a = solid(square(0.0, 0.0, 10.0));
        let apart = distance(&a, &solid(square(13.0, 14.0, 5.0)), 20.0);
        approx::assert_relative_eq!(apart, 5.0, max_relative = 1e-12);
        approx::assert_relative_eq!(distance(&a, &solid(square(100.0, 0.0, 5.0)), 20.0), 20.0);
        approx::assert_relative_eq!(distance(&a, &solid(square(5.0, 5.0, 50.0)), 20.0), 0.0);
        approx::assert_relative_eq!(distance(&a, &solid(square(2.0, 2.0, 3.0)), 20.0), 0.0);
    }

    #[test]
    fn a_piece_may_lie_in_the_opening_of_another() {
        let ring = LaidOutline {
            outline: square(0.0, 0.0, 100.0),
            holes: vec![square(10.0, 10.0, 80.0)],
        };
        let inner = solid(square(15.0, 20.0, 40.0));
        approx::assert_relative_eq!(distance(&ring, &inner, 20.0), 5.0, max_relative = 1e-12);
        approx::assert_relative_eq!(distance(&inner, &ring, 20.0), 5.0, max_relative = 1e-12);
    }
}
