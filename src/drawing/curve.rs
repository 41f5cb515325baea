//! A few arcs for many corners.
//!
//! An outline comes as a polygon whose corners lie on a smooth curve. A cutter that is sent
//! hundreds of short lines slows down at each, so the stretches between true corners are written as
//! circular arcs, which every machine knows. Each arc is measured against the polygon in both
//! directions before it is taken: they are nowhere further apart than [`CURVE_ACCURACY_MM`].
//!
//! # Why arcs in the cutting files?
//! A cutter slows down at every corner, and a layer has hundreds. Arcs are what every controller
//! knows; splines are not. `drawing/curve.rs` fits the fewest within 0.02 mm, measured in both
//! directions.

use crate::geom::outline::nearest_on_segment;
use crate::geom::{Point2, Vector2};
use crate::tolerance::{CURVE_ACCURACY_MM, SAME_POINT_EPS_MM};

/// Sides that meet at more than this make a true corner, radians (15 degrees): a polygon within
/// 0.02 mm of a circle of 5 mm radius turns by 10. Larger would round corners off, smaller would find
/// corners in small curves.
const CORNER: f64 = 15.0 * std::f64::consts::PI / 180.0;

/// Stretches of fewer corners are lines as they are.
const FEWEST: usize = 4;

/// Most sides of a polygon that one arc may replace, about (a power of two).
const LONGEST: usize = 128;

/// Share of [`CURVE_ACCURACY_MM`] by which an arc may miss the points it is fitted to; the rest is
/// for the height of a curve over the sides of its polygon. It decides what is tried, not what is
/// taken.
const PLAY: f64 = 0.6;

/// Share of [`CURVE_ACCURACY_MM`] that the points at which an arc is measured may be off: between
/// them it may stray a little more.
const TAKEN: f64 = 0.85;

/// Points on an arc at which it is measured, for each side of the polygon that it replaces.
const PROBES: usize = 4;

/// How many sides of one line may lie between two neighbouring points of another.
const AHEAD: usize = 60;

/// A path of straight lines and arcs: each vertex with the bulge of what leaves it, which is the
/// tangent of a quarter of its angle: 0 for a line, positive when it turns left. The last vertex of
/// an open path has none.
pub(crate) type Arcs = Vec<(Point2, f64)>;

/// A stretch of a path between two true corners.
struct Stretch {
    /// The corners of the polygon.
    corners: Vec<Point2>,
    /// The same, moved in by half of the height of the curve over the sides: an arc through these
    /// lies as far outside the sides as inside the corners. The ends of an open stretch stay.
    moved: Vec<Point2>,
}

/// The path as lines and arcs, none of which spans more than half a turn.
pub(crate) fn arcs(points: &[Point2], closed: bool) -> Arcs {
    let mut out = Arcs::new();
    let all = stretches(points, closed);
    for stretch in &all {
        let last = stretch.corners.len() - 1;
        let mut from = 0;
        while from < last {
            // As far as one arc goes, found by halves from the longest: what one more point
            // forbids, a longer arc may allow again.
            let (mut to, mut bulge) = (from + 1, 0.0);
            let mut step = if last + 1 < FEWEST { 0 } else { LONGEST };
            while step > 0 {
                let wanted = to + step;
                if wanted <= last
                    && let Some(b) = arc(stretch, from, wanted)
                {
                    (to, bulge) = (wanted, b);
                }
                step /= 2;
            }
            out.push((stretch.moved[from], bulge));
            from = to;
        }
    }
    if !closed && let Some(end) = all.last().and_then(|s| s.moved.last()) {
        out.push((*end, 0.0));
    }
    out
}

/// The angle from one direction to another, radians, positive to the left.
fn turn(a: Vector2, b: Vector2) -> f64 {
    libm::atan2(a.perp(&b), a.dot(&b))
}

/// Cuts a path at its true corners.
fn stretches(points: &[Point2], closed: bool) -> Vec<Stretch> {
    let same = |a: Point2, b: Point2| (a - b).norm() <= SAME_POINT_EPS_MM;
    let mut clean: Vec<Point2> = Vec::with_capacity(points.len());
    for &p in points {
        if clean.last().is_none_or(|&q| !same(p, q)) {
            clean.push(p);
        }
    }
    if closed && clean.len() > 1 && same(clean[0], clean[clean.len() - 1]) {
        clean.pop();
    }
    let n = clean.len();
    if n < 2 {
        return Vec::new();
    }
    let is_corner = |k: usize| {
        let (a, b, c) = (clean[(k + n - 1) % n], clean[k], clean[(k + 1) % n]);
        turn(b - a, c - b).abs() > CORNER
    };
    let mut cuts: Vec<usize> = if closed {
        (0..n).filter(|&k| is_corner(k)).collect()
    } else {
        std::iter::once(0)
            .chain((1..n - 1).filter(|&k| is_corner(k)))
            .chain(std::iter::once(n - 1))
            .collect()
    };
    let round = closed && cuts.is_empty();
    if round {
        cuts.push(0);
    }
    if closed {
        cuts.push(cuts[0] + n);
    }
    cuts.windows(2)
        .map(|pair| {
            let corners: Vec<Point2> = (pair[0]..=pair[1]).map(|k| clean[k % n]).collect();
            Stretch {
                moved: moved(&corners, round),
                corners,
            }
        })
        .collect()
}

/// See [`Stretch::moved`].
fn moved(corners: &[Point2], round: bool) -> Vec<Point2> {
    let n = corners.len();
    let mut out = corners.to_vec();
    if n < FEWEST {
        return out;
    }
    let inner = if round { 0..n } else { 1..n - 1 };
    for k in inner {
        // A round stretch repeats its first corner at the end.
        let m = n - 1;
        let (before, after) = if round {
            (corners[(k + m - 1) % m], corners[(k + 1) % m])
        } else {
            (corners[k - 1], corners[k + 1])
        };
        let (u, v) = (corners[k] - before, after - corners[k]);
        // The middle of a side of length s that turns by t at each end stands s t / 8 inside.
        let height = turn(u, v) * (u.norm() + v.norm()) / 16.0;
        // A long side beside a short one, or a corner of a line that is not a curve at all, would
        // otherwise be moved out of all bounds.
        let most = CURVE_ACCURACY_MM * PLAY;
        let along = u.normalize() + v.normalize();
        out[k] = corners[k]
            + Vector2::new(-along.y, along.x).normalize() * (height / 2.0).clamp(-most, most);
    }
    out
}

/// The bulge of the arc from one point of a stretch to another; nothing when it strays too far.
fn arc(stretch: &Stretch, from: usize, to: usize) -> Option<f64> {
    let (a, b) = (stretch.moved[from], stretch.moved[to]);
    let length = (b - a).norm();
    // Seen from a point of an arc, its chord spans pi less half of its angle. A point that may lie
    // off the arc by some play turns that angle the more the nearer it is to an end.
    let (mut low, mut high) = (f64::NEG_INFINITY, f64::INFINITY);
    for &p in &stretch.moved[from + 1..to] {
        let (u, v) = (p - a, b - p);
        let angle = turn(u, v);
        let play = CURVE_ACCURACY_MM * PLAY * length / (u.norm() * v.norm());
        low = low.max(angle - play);
        high = high.min(angle + play);
    }
    let bulge = libm::tan(f64::midpoint(low, high) / 2.0);
    if low > high || !bulge.is_finite() || bulge.abs() >= 1.0 {
        return None;
    }
    let line = flattened(a, b, bulge, PROBES * (to - from));
    let corners = &stretch.corners[from..=to];
    (follows(&line, corners) && follows(corners, &line)).then_some(bulge)
}

/// Whether every point of `line`, walked from one end to the other, lies on the way along `other`.
fn follows(line: &[Point2], other: &[Point2]) -> bool {
    let mut k = 0;
    line.iter().all(|&p| {
        let found = (k..other.len() - 1).take(AHEAD).find(|&j| {
            (nearest_on_segment(p, other[j], other[j + 1]) - p).norm() <= TAKEN * CURVE_ACCURACY_MM
        });
        k = found.unwrap_or(k);
        found.is_some()
    })
}

/// Points along an arc, both ends among them; along a line when the bulge is 0.
pub(crate) fn flattened(a: Point2, b: Point2, bulge: f64, sides: usize) -> Vec<Point2> {
    let sides = sides.max(1);
    let chord = b - a;
    let half = 2.0 * libm::atan(bulge);
    let share = |k: usize| k as f64 / sides as f64;
    if half.abs() < SAME_POINT_EPS_MM {
        return (0..=sides).map(|k| a + chord * share(k)).collect();
    }
    // The centre lies left of the chord when the arc turns left.
    let centre = a + chord / 2.0 + Vector2::new(-chord.y, chord.x) * (0.5 / libm::tan(half));
    let spoke = a - centre;
    (0..=sides)
        .map(|k| {
            let (sin, cos) = libm::sincos(2.0 * half * share(k));
            centre + Vector2::new(spoke.x * cos - spoke.y * sin, spoke.x * sin + spoke.y * cos)
        })
        .collect()
}

/// The radius of an arc from `a` to `b`, mm.
pub(crate) fn radius(a: Point2, b: Point2, bulge: f64) -> f64 {
    // Half the chord over the sine of half the angle.
    (b - a).norm() * (1.0 + bulge * bulge) / (4.0 * bulge.abs())
}

/// The middle of an arc from `a` to `b`, and the bulge of either half.
pub(crate) fn halved(a: Point2, b: Point2, bulge: f64) -> (Point2, f64) {
    let chord = b - a;
    // The height of an arc over its chord is half the chord times the bulge, to the right of the way
    // when it turns left.
    let up = Vector2::new(chord.y, -chord.x) * (bulge / 2.0);
    let half = bulge / (1.0 + (1.0 + bulge * bulge).sqrt());
    (a + chord / 2.0 + up, half)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Outline;

    #[test]
    fn halves_of_an_arc_are_the_arc() {
        // A quarter and a half of a circle of 10 mm round the origin, turning left and right.
        let at = |degrees: f64| {
            let (s, c) = libm::sincos(degrees.to_radians());
            Point2::new(10.0 * c, 10.0 * s)
        };
        for (from, to) in [(0.0_f64, 90.0), (20.0, 200.0), (100.0, 40.0), (0.0, -180.0)] {
            let angle: f64 = to - from;
            let bulge = libm::tan(angle.to_radians() / 4.0);
            let (middle, half) = halved(at(from), at(to), bulge);
            assert!(
                (middle - at(f64::midpoint(from, to))).norm() < 1e-12,
                "{from} {to}"
            );
            let wanted = libm::tan(angle.to_radians() / 8.0);
            assert!((half - wanted).abs() < 1e-12);
        }
    }

    /// The line that a path of arcs runs along.
    fn drawn(arcs: &Arcs) -> Outline {
        let n = arcs.len();
        let points = (0..n)
            .flat_map(|k| {
                let mut part = flattened(arcs[k].0, arcs[(k + 1) % n].0, arcs[k].1, 1000);
                part.pop();
                part
            })
            .collect();
        Outline { points }
    }

    fn apart(a: &Outline, b: &Outline) -> f64 {
        let one = |a: &Outline, b: &Outline| {
            a.densified(0.5)
                .points
                .iter()
                .map(|&p| b.distance(p))
                .fold(0.0, f64::max)
        };
        one(a, b).max(one(b, a))
    }

    #[test]
    fn a_circle_is_a_few_arcs_with_its_radius() {
        let circle = Outline::circle(Point2::new(30.0, -4.0), 80.0, 0.01);
        let arcs = arcs(&circle.points, true);
        assert!(circle.points.len() > 100);
        assert!(arcs.len() <= 8, "{}", arcs.len());
        for (k, &(a, bulge)) in arcs.iter().enumerate() {
            let b = arcs[(k + 1) % arcs.len()].0;
            if bulge == 0.0 {
                // One side is left over where the last arc meets the first.
                assert!((b - a).norm() < 6.0);
                continue;
            }
            assert!(bulge > 0.0);
            // Somewhere between the corners and the sides of the polygon.
            let r = radius(a, b, bulge);
            assert!((r - 79.995).abs() < 0.1, "{r}");
        }
        assert!(apart(&drawn(&arcs), &circle) <= CURVE_ACCURACY_MM + 1e-3);
    }

    #[test]
    fn an_oval_takes_few_arcs_and_stays_within_its_accuracy() {
        let points = (0..400)
            .map(|k| {
                let (s, c) = libm::sincos(f64::from(k) * std::f64::consts::TAU / 400.0);
                Point2::new(170.0 * c, 110.0 * s + 6.0 * c * c)
            })
            .collect();
        let oval = Outline { points };
        let arcs = arcs(&oval.points, true);
        assert!(arcs.len() < 60, "{}", arcs.len());
        assert!(apart(&drawn(&arcs), &oval) <= CURVE_ACCURACY_MM + 1e-3);
    }

    #[test]
    fn true_corners_stay_where_they_are() {
        // A square with one rounded corner of 20 mm.
        let mut points = vec![
            Point2::new(0.0, 0.0),
            Point2::new(100.0, 0.0),
            Point2::new(100.0, 80.0),
        ];
        points.extend((1..=30).map(|k| {
            let (s, c) = libm::sincos(f64::from(k) * std::f64::consts::FRAC_PI_2 / 30.0);
            Point2::new(80.0 + 20.0 * c, 80.0 + 20.0 * s)
        }));
        points.push(Point2::new(0.0, 100.0));
        let arcs = arcs(&points, true);
        for corner in [(0.0, 0.0), (100.0, 0.0), (0.0, 100.0)] {
            let corner = Point2::new(corner.0, corner.1);
            let nearest = arcs
                .iter()
                .map(|(p, _)| (p - corner).norm())
                .fold(f64::INFINITY, f64::min);
            assert!(nearest < 1e-9, "{corner} is off by {nearest}");
        }
        assert!(arcs.len() < 12, "{arcs:?}");
        assert!(apart(&drawn(&arcs), &Outline { points }) <= CURVE_ACCURACY_MM + 1e-3);
    }

    #[test]
    fn lines_stay_lines() {
        let open = [(0.0, 0.0), (10.0, 0.0), (10.0, 5.0)].map(|(x, y)| Point2::new(x, y));
        assert_eq!(arcs(&open, false), open.map(|p| (p, 0.0)).to_vec());
        assert!(arcs(&open[..1], false).is_empty());
    }
}
