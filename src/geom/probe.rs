//! What is asked of an outline in many directions or places at once.

use super::{Outline, Point2, Vector2};
use crate::tolerance::SAME_POINT_EPS_MM;

impl Outline {
    /// Area of what lies in the rectangle between two corners, mm², of an outline that does not cross itself.
    #[must_use]
    pub fn area_inside(&self, low: Point2, high: Point2) -> f64 {
        let tall = high.y - low.y;
        // What lies under a height in the rectangle, summed up from below it to that height.
        let sum = |y: f64| {
            let inside = (y - low.y).clamp(0.0, tall);
            inside * inside / 2.0 + (y - high.y).max(0.0) * tall
        };
        let mut area = 0.0;
        for (a, b) in self.sides() {
            let (from, to) = (a.x.clamp(low.x, high.x), b.x.clamp(low.x, high.x));
            if (to - from).abs() <= SAME_POINT_EPS_MM {
                continue;
            }
            let slope = (b.y - a.y) / (b.x - a.x);
            let (first, last) = (a.y + (from - a.x) * slope, a.y + (to - a.x) * slope);
            let mean = |y: f64| (y - low.y).clamp(0.0, tall);
            let within = |y: f64| y >= low.y && y <= high.y;
            let beside = first.max(last) <= low.y || first.min(last) >= high.y;
            // A side that runs over an edge of the rectangle lies partly in it.
            let height = if beside || (within(first) && within(last)) {
                mean(f64::midpoint(first, last))
            } else {
                (sum(last) - sum(first)) / (last - first)
            };
            area -= height * (to - from);
        }
        area.abs()
    }

    /// As [`Outline::ray`], in many directions at once: unit vectors evenly round, from 0 (towards +x) on.
    #[must_use]
    pub fn rays(&self, from: Point2, directions: &[Vector2]) -> Vec<Option<f64>> {
        let count = directions.len() as i64;
        let step = std::f64::consts::TAU / count as f64;
        let mut best: Vec<Option<f64>> = vec![None; directions.len()];
        for (a, b) in self.sides() {
            let (pa, pb) = (a - from, b - from);
            // The directions between both ends, and one more to each side. Of a side that runs close by, all.
            let turn = libm::atan2(pa.perp(&pb), pa.dot(&pb));
            let angle = libm::atan2(pa.y, pa.x);
            // From one of its ends every direction meets it.
            let at_an_end = pa.norm().min(pb.norm()) <= SAME_POINT_EPS_MM;
            let (first, last) = if turn.abs() < 3.0 && !at_an_end {
                let (low, high) = (angle.min(angle + turn), angle.max(angle + turn));
                let first = (low / step).floor() as i64 - 1;
                (
                    first,
                    ((high / step).ceil() as i64 + 1).min(first + count - 1),
                )
            } else {
                (0, count - 1)
            };
            for k in first..=last {
                let k = k.rem_euclid(count) as usize;
                let e = directions[k];
                let (ca, cb) = (e.perp(&pa), e.perp(&pb));
                if (ca > 0.0) == (cb > 0.0) {
                    continue;
                }
                let q = pa + (pb - pa) * (ca / (ca - cb));
                let r = q.dot(&e);
                if r >= 0.0 && best[k].is_none_or(|most| r > most) {
                    best[k] = Some(r);
                }
            }
        }
        best
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn square() -> Outline {
        Outline::new(
            [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]
                .map(|(x, y)| Point2::new(x, y))
                .to_vec(),
        )
    }

    #[test]
    fn all_rays_are_as_each() {
        let corner = |k: i32| {
            let (s, c) = libm::sincos(f64::from(k) * std::f64::consts::TAU / 37.0);
            let r = if k % 5 < 2 { 90.0 } else { 40.0 };
            Point2::new(r * c, r * s)
        };
        let outline = Outline::new((0..37).map(corner).collect());
        for count in [7, 360] {
            let angles =
                (0..count).map(|k| std::f64::consts::TAU * f64::from(k) / f64::from(count));
            let directions: Vec<Vector2> = angles
                .clone()
                .map(|angle| Vector2::new(libm::cos(angle), libm::sin(angle)))
                .collect();
            // Inside, near a side, on a corner, outside.
            for from in [
                Point2::new(3.0, -2.0),
                Point2::new(38.9, 1.0),
                outline.points[4],
                Point2::new(150.0, 20.0),
            ] {
                let one_by_one: Vec<Option<f64>> = angles
                    .clone()
                    .map(|angle| outline.ray(from, angle))
                    .collect();
                assert_eq!(outline.rays(from, &directions), one_by_one);
            }
        }
    }

    #[test]
    fn areas_in_rectangles() {
        let p = |x: f64, y: f64| Point2::new(x, y);
        let s = square();
        assert_relative_eq!(s.area_inside(p(-5.0, -5.0), p(20.0, 20.0)), 100.0);
        assert_relative_eq!(s.area_inside(p(2.0, 3.0), p(4.0, 7.0)), 8.0);
        assert_relative_eq!(s.area_inside(p(8.0, 8.0), p(20.0, 20.0)), 4.0);
        assert_relative_eq!(s.area_inside(p(11.0, 0.0), p(20.0, 20.0)), 0.0);
        // A tilted square of half-diagonal 10: a quarter, the tip, and the whole turned the other way round.
        let mut tilted = Outline::new(vec![p(10., 0.), p(0., 10.), p(-10., 0.), p(0., -10.)]);
        assert_relative_eq!(tilted.area_inside(p(0.0, 0.0), p(20.0, 20.0)), 50.0);
        assert_relative_eq!(tilted.area_inside(p(-20.0, 8.0), p(20.0, 20.0)), 4.0);
        assert_relative_eq!(tilted.area_inside(p(5.0, 1.0), p(20.0, 20.0)), 8.0);
        tilted.points.reverse();
        assert_relative_eq!(tilted.area_inside(p(-20.0, -20.0), p(20.0, 20.0)), 200.0);
    }
}
