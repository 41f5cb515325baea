//! Convex shapes, and covering an outline with a few of them.

use crate::geom::Outline;
use crate::geom::Point2;
use crate::geom::offset::Region;
use crate::geom::offset::intersection;
use crate::tolerance::NEST_DENT_ACCURACY_MM;
use crate::tolerance::NEST_OUTLINE_ACCURACY_MM;
use crate::tolerance::SAME_POINT_EPS_MM;

/// How many wedges a ring is cut into before it is covered: each then spans 30 degrees.
const WEDGES: usize = 12;

/// Splits deeper than this end in a hull: it only makes the cover coarser.
const DEEPEST_SPLIT: usize = 12;

/// Twice the signed area of the triangle `o a b`.
fn cross(o: Point2, a: Point2, b: Point2) -> f64 {
    (a.x - o.x) * (b.y - o.y) - (a.y - o.y) * (b.x - o.x)
}

/// The convex hull, counter-clockwise from the lowest point (the leftmost of several), no three
/// corners in line. Andrew's monotone chain (Information Processing Letters 9, 1979).
pub(crate) fn hull(points: &[Point2]) -> Vec<Point2> {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a.y.total_cmp(&b.y).then(a.x.total_cmp(&b.x)));
    sorted.dedup();
    if sorted.len() < 3 {
        return sorted;
    }
    let half = |points: &mut dyn Iterator<Item = Point2>| {
        let mut chain: Vec<Point2> = Vec::new();
        for p in points {
            while chain.len() >= 2
                && cross(chain[chain.len() - 2], chain[chain.len() - 1], p) <= 0.0
            {
                chain.pop();
            }
            chain.push(p);
        }
        chain.pop();
        chain
    };
    let mut right = half(&mut sorted.iter().copied());
    right.extend(half(&mut sorted.iter().rev().copied()));
    right
}

/// All sums of a point of `a` and a point of `b`; both convex as [`hull`] gives them, and so is
/// the sum. Edges are merged by direction (de Berg et al., Computational Geometry, section 13.3).
pub(crate) fn sum(a: &[Point2], b: &[Point2]) -> Vec<Point2> {
    let (n, m) = (a.len(), b.len());
    let mut out = Vec::with_capacity(n + m);
    let (mut i, mut j) = (0, 0);
    let (mut p, mut q) = (a[0], b[0]);
    while i < n || j < m {
        out.push(Point2::new(p.x + q.x, p.y + q.y));
        let p2 = if i + 1 < n { a[i + 1] } else { a[0] };
        let q2 = if j + 1 < m { b[j + 1] } else { b[0] };
        let turn = if i == n {
            -1.0
        } else if j == m {
            1.0
        } else {
            (p2.x - p.x) * (q2.y - q.y) - (p2.y - p.y) * (q2.x - q.x)
        };
        if turn >= 0.0 {
            i += 1;
            p = p2;
        }
        if turn <= 0.0 {
            j += 1;
            q = q2;
        }
    }
    out
}

/// A regular polygon around a disc: no point of the disc is outside it, and with a multiple of four
/// corners it is just as far as the disc along both axes.
pub(crate) fn disc(radius: f64, corners: usize) -> Vec<Point2> {
    let step = std::f64::consts::TAU / corners as f64;
    let out = radius / libm::cos(step / 2.0);
    let points: Vec<Point2> = (0..corners)
        .map(|k| {
            let (sin, cos) = libm::sincos(step * (k as f64 + 0.5));
            Point2::new(out * cos, out * sin)
        })
        .collect();
    hull(&points)
}

/// Convex shapes that together cover the outline less the holes, and stand over it by no more than
/// [`NEST_DENT_ACCURACY_MM`] in its dents (more where a split fails: always a cover, never less).
pub(crate) fn cover(outline: &[Point2], holes: &[&[Point2]]) -> Vec<Vec<Point2>> {
    let mut parts = Vec::new();
    if holes.is_empty() {
        split(outline, 0, &mut parts);
        return parts;
    }
    let ring = |points: &[Point2]| Outline {
        points: points.to_vec(),
    };
    let whole = Region {
        outer: ring(outline),
        holes: holes.iter().map(|h| ring(h)).collect(),
    };
    // Wedges round the middle of the first (largest) hole leave parts without holes, unless there
    // are several holes: those parts are covered by their hull.
    let n = holes[0].len() as f64;
    let cx = holes[0].iter().map(|p| p.x).sum::<f64>() / n;
    let cy = holes[0].iter().map(|p| p.y).sum::<f64>() / n;
    let reach = 2.0
        * outline
            .iter()
            .map(|p| (p.x - cx).abs().max((p.y - cy).abs()))
            .fold(0.0, f64::max);
    let step = std::f64::consts::TAU / WEDGES as f64;
    for k in 0..WEDGES {
        let corner = |k: usize| {
            let (sin, cos) = libm::sincos(step * k as f64);
            Point2::new(cx + reach * cos, cy + reach * sin)
        };
        let wedge = Region::solid(ring(&[Point2::new(cx, cy), corner(k), corner(k + 1)]));
        for part in intersection(std::slice::from_ref(&whole), &[wedge]) {
            split(&part.outer.points, 0, &mut parts);
        }
    }
    parts
}

/// Splits at the deepest dent until every part is nearly convex, then takes its hull.
fn split(points: &[Point2], depth: usize, parts: &mut Vec<Vec<Point2>>) {
    let outer = hull(points);
    if outer.len() < 3 {
        return;
    }
    let deepest = deepest_dent(points, &outer);
    if depth < DEEPEST_SPLIT
        && let Some((at, dent)) = deepest
        && dent > NEST_DENT_ACCURACY_MM
        && let Some(to) = partner(points, at)
    {
        let (a, b) = (at.min(to), at.max(to));
        let first: Vec<Point2> = points[a..=b].to_vec();
        let second: Vec<Point2> = points[b..].iter().chain(&points[..=a]).copied().collect();
        split(&first, depth + 1, parts);
        split(&second, depth + 1, parts);
        return;
    }
    parts.push(fewer(&outer));
}

/// A convex outline round a convex outline with fewer corners: a side goes where its neighbours,
/// made longer, meet no further out than [`NEST_OUTLINE_ACCURACY_MM`].
fn fewer(outline: &[Point2]) -> Vec<Point2> {
    let mut points = outline.to_vec();
    let mut k = 0;
    let mut kept = 0;
    while points.len() > 8 && kept < points.len() {
        let n = points.len();
        let (a, b) = (points[k % n], points[(k + 1) % n]);
        let (before, after) = (points[(k + n - 1) % n], points[(k + 2) % n]);
        let met = meet(before, a, after, b).filter(|p| {
            let out = -cross(a, b, *p) / (b - a).norm();
            out > -SAME_POINT_EPS_MM && out < NEST_OUTLINE_ACCURACY_MM
        });
        if let Some(p) = met {
            // Corner a becomes the meeting point, corner b goes.
            points[k % n] = p;
            points.remove((k + 1) % n);
            kept = 0;
            k %= points.len();
        } else {
            kept += 1;
        }
        k = (k + 1) % points.len();
    }
    hull(&points)
}

/// Where the line from `a` through `b` meets the line from `c` through `d`, beyond `b` and `d`.
fn meet(a: Point2, b: Point2, c: Point2, d: Point2) -> Option<Point2> {
    let (u, v) = (b - a, d - c);
    let turn = u.x * v.y - u.y * v.x;
    if turn.abs() < SAME_POINT_EPS_MM {
        return None;
    }
    let w = c - a;
    let s = (w.x * v.y - w.y * v.x) / turn;
    let t = (w.x * u.y - w.y * u.x) / turn;
    (s >= 1.0 && t >= 1.0).then(|| a + u * s)
}

/// The corner that lies deepest under the hull, and how deep.
fn deepest_dent(points: &[Point2], outer: &[Point2]) -> Option<(usize, f64)> {
    let mut deepest: Option<(usize, f64)> = None;
    for (k, &p) in points.iter().enumerate() {
        let under = (0..outer.len())
            .map(|i| {
                let (a, b) = (outer[i], outer[(i + 1) % outer.len()]);
                cross(a, b, p) / (b - a).norm()
            })
            .fold(f64::INFINITY, f64::min);
        if deepest.is_none_or(|(_, d)| under > d) {
            deepest = Some((k, under));
        }
    }
    deepest
}

/// The corner to cut to from a dent: the nearest that is seen from it through the inside, on a
/// line that halves the dent well enough.
fn partner(points: &[Point2], at: usize) -> Option<usize> {
    let n = points.len();
    let p = points[at];
    let before = points[(at + n - 1) % n];
    let after = points[(at + 1) % n];
    let inward = {
        // Against the hull: the mean direction of the two edges that meet in the dent, away from
        // them, points into the outline.
        let u = (before - p).normalize();
        let v = (after - p).normalize();
        let mean = -(u + v);
        if mean.norm() > SAME_POINT_EPS_MM {
            mean.normalize()
        } else {
            nalgebra::Vector2::new(-v.y, v.x)
        }
    };
    let mut order: Vec<(f64, usize)> = (0..n)
        .filter(|&k| k != at && k != (at + 1) % n && k != (at + n - 1) % n)
        .map(|k| {
            let d = points[k] - p;
            let length = d.norm();
            let along = d.dot(&inward) / length.max(SAME_POINT_EPS_MM);
            // A cut askew leaves most of the dent in one part: it counts as longer.
            (length / along.max(0.05), k)
        })
        .collect();
    order.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    order
        .into_iter()
        .map(|(_, k)| k)
        .find(|&k| sees(points, at, k))
}

/// Whether the straight line between two corners runs through the inside.
fn sees(points: &[Point2], a: usize, b: usize) -> bool {
    let n = points.len();
    let (p, q) = (points[a], points[b]);
    for i in 0..n {
        let j = (i + 1) % n;
        if i == a || i == b || j == a || j == b {
            continue;
        }
        let (s, t) = (points[i], points[j]);
        let (d1, d2) = (cross(p, q, s), cross(p, q, t));
        let (d3, d4) = (cross(s, t, p), cross(s, t, q));
        if d1 * d2 <= 0.0 && d3 * d4 <= 0.0 {
            return false;
        }
    }
    let middle = Point2::new((p.x + q.x) / 2.0, (p.y + q.y) / 2.0);
    inside(points, middle)
}

/// Whether a point lies inside an outline (even-odd rule).
pub(crate) fn inside(points: &[Point2], p: Point2) -> bool {
    let mut within = false;
    let mut previous = match points.last() {
        Some(last) => *last,
        None => return false,
    };
    for &corner in points {
        if (corner.y > p.y) != (previous.y > p.y) {
            let x = corner.x + (p.y - corner.y) / (previous.y - corner.y) * (previous.x - corner.x);
            if p.x < x {
                within = !within;
            }
        }
        previous = corner;
    }
    within
}

#[cfg(test)]
mod tests {
    use super::*;

    fn area(points: &[Point2]) -> f64 {
        (0..points.len())
            .map(|i| {
                let (a, b) = (points[i], points[(i + 1) % points.len()]);
                (a.x * b.y - b.x * a.y) / 2.0
            })
            .sum()
    }

    fn points(list: &[(f64, f64)]) -> Vec<Point2> {
        list.iter().map(|&(x, y)| Point2::new(x, y)).collect()
    }

    #[test]
    fn the_sum_of_two_squares_is_the_square_of_their_sides() {
        let a = hull(&points(&[(0., 0.), (3., 0.), (3., 3.), (0., 3.)]));
        let b = hull(&points(&[(0., 0.), (2., 0.), (2., 2.), (0., 2.)]));
        let s = sum(&a, &b);
        assert_eq!(s.len(), 4);
        approx::assert_relative_eq!(area(&s), 25.0, max_relative = 1e-12);
    }

    #[test]
    fn the_sum_with_a_disc_follows_steiner() {
        // Steiner: area + perimeter r + pi r^2; the polygon round the disc is a little larger.
        let a = hull(&points(&[(0., 0.), (30., 0.), (30., 20.), (0., 20.)]));
        let s = sum(&a, &disc(4.0, 64));
        let exact = 600.0 + 100.0 * 4.0 + std::f64::consts::PI * 16.0;
        assert!(area(&s) >= exact);
        approx::assert_relative_eq!(area(&s), exact, max_relative = 1e-3);
    }

    #[test]
    fn a_letter_l_is_two_rectangles() {
        let l = points(&[
            (0., 0.),
            (40., 0.),
            (40., 10.),
            (10., 10.),
            (10., 40.),
            (0., 40.),
        ]);
        let parts = cover(&l, &[]);
        assert!(parts.len() >= 2);
        let total: f64 = parts.iter().map(|p| area(p)).sum();
        approx::assert_relative_eq!(total, area(&l), max_relative = 1e-9);
    }

    #[test]
    fn a_ring_is_covered_without_filling_its_hole() {
        let circle = |r: f64| -> Vec<Point2> {
            (0..96)
                .map(|k| {
                    let (s, c) = libm::sincos(f64::from(k) * std::f64::consts::TAU / 96.0);
                    Point2::new(r * c, r * s)
                })
                .collect()
        };
        let (outer, hole) = (circle(100.0), circle(60.0));
        let parts = cover(&outer, &[&hole]);
        assert!(parts.iter().all(|p| !inside(p, Point2::new(0.0, 0.0))));
        assert!(parts.iter().all(|p| !inside(p, Point2::new(50.0, 10.0))));
        for k in 0..360 {
            let (s, c) = libm::sincos((f64::from(k) + 0.37).to_radians());
            for r in [60.5, 80.0, 99.5] {
                let p = Point2::new(r * c, r * s);
                assert!(parts.iter().any(|part| inside(part, p)), "{k} {r}");
            }
        }
    }
}
