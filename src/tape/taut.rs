//! A taut tape: the convex hull of what it goes round, the upper hull of what it goes over.

use crate::geom::{Point2, Vector2};
use crate::tolerance::SAME_POINT_EPS_MM;

/// Convex hull, counter-clockwise, without points on its edges (Andrew's monotone chain, 1979). Of
/// fewer than three points, or points on one line, only the ends remain.
#[must_use]
pub fn hull(points: &[Point2]) -> Vec<Point2> {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    sorted.dedup();
    if sorted.len() < 3 {
        return sorted;
    }
    let mut lower = chain(sorted.iter().copied());
    let mut upper = chain(sorted.iter().rev().copied());
    lower.pop();
    upper.pop();
    lower.append(&mut upper);
    lower
}

/// The chain of left turns through points in order.
fn chain(points: impl Iterator<Item = Point2>) -> Vec<Point2> {
    let mut kept: Vec<Point2> = Vec::new();
    for p in points {
        while let [.., a, b] = kept[..]
            && (b - a).perp(&(p - b)) <= 0.0
        {
            kept.pop();
        }
        kept.push(p);
    }
    kept
}

/// Length of a closed polygon, mm.
#[must_use]
pub fn perimeter(points: &[Point2]) -> f64 {
    points
        .iter()
        .zip(points.iter().cycle().skip(1))
        .map(|(a, b)| (b - a).norm())
        .sum()
}

/// What a tape reads round these points, mm: the perimeter of their convex hull.
#[must_use]
pub fn girth(points: &[Point2]) -> f64 {
    perimeter(&hull(points))
}

/// Length, mm, of a tape pulled taut over points `(s, height)` from the one with the smallest `s` to
/// the one with the largest: `s` runs along the path, `height` is outward. It bridges hollows, so it
/// is the upper concave envelope. The path starts and ends at the first and last of `ends`, whatever
/// lies above them.
#[must_use]
pub fn over(points: &[Point2], ends: [Point2; 2]) -> f64 {
    let [start, end] = ends;
    let mut between: Vec<Point2> = points
        .iter()
        .copied()
        // Where the path begins and ends is given: what lies there beside it is not on the way.
        .filter(|p| p.x > start.x + SAME_POINT_EPS_MM && p.x < end.x - SAME_POINT_EPS_MM)
        .collect();
    between.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    let path = std::iter::once(start)
        .chain(between)
        .chain(std::iter::once(end));
    // Left turns walking backwards are right turns walking forwards.
    let mirrored = chain(path.map(|p| Point2::new(p.x, -p.y)));
    mirrored.windows(2).map(|w| (w[1] - w[0]).norm()).sum()
}

/// Where a ray from `from` last leaves a closed polygon: the number of the edge (from its corner of
/// that number to the next) and the point. Nothing when it misses.
#[must_use]
pub fn leaves(points: &[Point2], from: Point2, direction: Vector2) -> Option<(usize, Point2)> {
    let mut best: Option<(f64, usize, Point2)> = None;
    for (i, a) in points.iter().enumerate() {
        let b = points[(i + 1) % points.len()];
        // Side of the ray on which each end lies; an end on the ray counts as left of it, so a ray
        // through a corner meets one edge and not both or none.
        let (ha, hb) = (direction.perp(&(a - from)), direction.perp(&(b - from)));
        if (ha >= 0.0) == (hb >= 0.0) {
            continue;
        }
        let p = a + (b - a) * (ha / (ha - hb));
        let along = direction.dot(&(p - from));
        if along >= 0.0 && best.is_none_or(|b| along > b.0) {
            best = Some((along, i, p));
        }
    }
    best.map(|(_, i, p)| (i, p))
}

/// The part of a closed polygon from one of its points to another, in the polygon's own sense. Each
/// is given by the number of its edge and the point itself.
#[must_use]
pub fn part(points: &[Point2], from: (usize, Point2), to: (usize, Point2)) -> Vec<Point2> {
    let mut path = vec![from.1];
    let n = points.len();
    // On one and the same edge, it is all round when `to` lies before `from`.
    let ahead = |p: &Point2| (p - points[from.0]).norm_squared();
    let mut steps = (to.0 + n - from.0) % n;
    if steps == 0 && ahead(&to.1) < ahead(&from.1) {
        steps = n;
    }
    path.extend((1..=steps).map(|k| points[(from.0 + k) % n]));
    path.push(to.1);
    path
}

/// Length of an open path, mm.
#[must_use]
pub fn length(path: &[Point2]) -> f64 {
    path.windows(2).map(|w| (w[1] - w[0]).norm()).sum()
}

/// Extent of points along `x` and along `y`, mm, as between straight edges; nothing without points.
#[must_use]
pub fn extent(points: &[Point2]) -> Option<(f64, f64)> {
    let first = *points.first()?;
    let (lo, hi) = points
        .iter()
        .fold((first, first), |(lo, hi), p| (lo.inf(p), hi.sup(p)));
    Some((hi.x - lo.x, hi.y - lo.y))
}
