//! Tapes through samples of smooth curves: hulls, chords corrected to arcs, peaks between samples.

use crate::geom::{Point2, Point3, Vector2, Vector3};

/// Hull of a chain that runs counter-clockwise: the corners that a taut tape touches, in order.
/// The first and the last point are kept.
pub(super) fn taut(chain: &[Point2]) -> Vec<usize> {
    let mut hull: Vec<usize> = Vec::with_capacity(chain.len());
    for (i, q) in chain.iter().enumerate() {
        while hull.len() > 1 {
            let (a, b) = (chain[hull[hull.len() - 2]], chain[hull[hull.len() - 1]]);
            if (b - a).perp(&(q - a)) > 0.0 {
                break;
            }
            hull.pop();
        }
        hull.push(i);
    }
    hull
}

/// A turn well above this between neighbouring samples is a corner of the curve and not its bend,
/// radians. The foot of an armhole may be straight, with a corner at either end.
const CORNER_RAD: f64 = 0.5;

/// Below this tangent of a turn its series takes the place of the arc tangent, to 1e-9 of the turn.
const SMALL_TURN: f64 = 0.2;

/// Angle between neighbouring edges, radians: most are of a few degrees.
fn turn_between(a: Vector2, b: Vector2) -> f64 {
    let (sin, cos) = (a.perp(&b).abs(), a.dot(&b));
    let t = sin / cos;
    if cos > 0.0 && t < SMALL_TURN {
        let q = t * t;
        return t * (1.0 - q * (1.0 / 3.0 - q * (1.0 / 5.0 - q * (1.0 / 7.0 - q / 9.0))));
    }
    libm::atan2(sin, cos)
}

/// How much longer than its chord an arc is that turns by `turn` (radians): `1 + turn^2 / 24`, the
/// first terms of the series; fading to 1 at a corner, smoothly, for the fit's sake.
fn arc_over_chord(turn: f64) -> f64 {
    let square = (turn / CORNER_RAD) * (turn / CORNER_RAD);
    let corner = square * square;
    1.0 + turn * turn / 24.0 / (1.0 + corner)
}

/// Length of a taut chain through samples of a smooth curve. A chord between neighbouring samples
/// stands for an arc that turns by the mean of the turns at its ends: it is longer by
/// `turn^2 / 24` of itself (series of arc over chord); a chord that bridges a hollow is straight.
pub(super) fn taut_length(chain: &[Point2], closed_half: bool) -> f64 {
    let hull = taut(chain);
    let n = hull.len();
    if n < 2 {
        return 0.0;
    }
    let edge: Vec<_> = hull.windows(2).map(|w| chain[w[1]] - chain[w[0]]).collect();
    let turn = |i: usize| {
        // Turn at hull corner i; at the ends of a half section the mirror image goes on.
        if i == 0 || i + 1 == n {
            if !closed_half {
                return None;
            }
            let e = if i == 0 { edge[0] } else { edge[n - 2] };
            return Some(2.0 * libm::atan2(e.y, e.x.abs()).abs());
        }
        Some(turn_between(edge[i - 1], edge[i]))
    };
    let mut sum = 0.0;
    for i in 0..n - 1 {
        let chord = edge[i].norm();
        let mean = match (turn(i), turn(i + 1)) {
            (Some(a), Some(b)) => 0.5 * (a + b),
            (Some(a), None) | (None, Some(a)) => a,
            (None, None) => 0.0,
        };
        let smooth = hull[i + 1] == hull[i] + 1;
        sum += if smooth {
            chord * arc_over_chord(mean)
        } else {
            chord
        };
    }
    sum
}

/// Largest of a row of samples of a smooth curve: the top of the parabola through the largest
/// sample and its neighbours, so that it moves smoothly as the curve does.
pub(super) fn peak(values: impl Iterator<Item = f64>) -> f64 {
    let v: Vec<f64> = values.collect();
    let (k, beside) = top(&v);
    if beside == 0.0 {
        return v[k];
    }
    v[k] + 0.25 * (v[k + 1] - v[k - 1]) * beside
}

/// Where the same lies, in steps from the first sample.
pub(super) fn peak_at(v: &[f64]) -> f64 {
    let (k, beside) = top(v);
    k as f64 + beside
}

/// The largest sample, and how far from it the top of the parabola through it and its neighbours lies, in steps.
fn top(v: &[f64]) -> (usize, f64) {
    let mut k = 0;
    for i in 1..v.len() {
        if v[i] > v[k] {
            k = i;
        }
    }
    if k == 0 || k + 1 == v.len() {
        return (k, 0.0);
    }
    let (a, b, c) = (v[k - 1], v[k], v[k + 1]);
    let bend = a - 2.0 * b + c;
    (
        k,
        if bend < 0.0 {
            0.5 * (a - c) / bend
        } else {
            0.0
        },
    )
}

/// Length of a tape stretched over samples `(s, out)` with `s` rising: their upper concave envelope.
pub(super) fn taut_envelope(chain: &[Point2]) -> f64 {
    // Counter-clockwise about the body means `s` falling, so the chain is turned round.
    let turned: Vec<Point2> = chain.iter().rev().copied().collect();
    taut_length(&turned, false)
}

/// Angle between two directions in space, 0 to pi.
fn turn_of(a: &Vector3, b: &Vector3) -> f64 {
    libm::atan2(a.cross(b).norm(), a.dot(b))
}

/// Length of a smooth curve in space through samples, chords corrected to arcs.
pub(super) fn space_length(curve: &[(f64, Point3)]) -> f64 {
    let edge: Vec<_> = curve.windows(2).map(|w| w[1].1 - w[0].1).collect();
    let n = edge.len();
    (0..n)
        .map(|i| {
            let before = if i > 0 {
                turn_of(&edge[i - 1], &edge[i])
            } else {
                f64::NAN
            };
            let after = if i + 1 < n {
                turn_of(&edge[i], &edge[i + 1])
            } else {
                f64::NAN
            };
            let turn = match (before.is_nan(), after.is_nan()) {
                (true, _) => after,
                (_, true) => before,
                _ => 0.5 * (before + after),
            };
            edge[i].norm() * arc_over_chord(turn)
        })
        .sum()
}

/// Corners of the hull of a closed counter-clockwise ring that is star-shaped about a point inside.
pub(super) fn taut_ring(ring: &[Point2]) -> Vec<Point2> {
    let chain = from_outermost(ring);
    let mut hull: Vec<Point2> = taut(&chain).into_iter().map(|i| chain[i]).collect();
    hull.pop();
    hull
}

/// Length of a tape round a closed counter-clockwise ring of samples of a smooth curve.
pub(super) fn closed_length(ring: &[Point2]) -> f64 {
    let chain = from_outermost(ring);
    let hull = taut(&chain);
    let n = hull.len() - 1;
    let edge: Vec<_> = hull.windows(2).map(|w| chain[w[1]] - chain[w[0]]).collect();
    let turn = |i: usize| turn_between(edge[(i + n - 1) % n], edge[i % n]);
    (0..n)
        .map(|i| {
            let chord = edge[i].norm();
            let mean = 0.5 * (turn(i) + turn(i + 1));
            let smooth = hull[i + 1] == hull[i] + 1;
            if smooth {
                chord * (1.0 + mean * mean / 24.0)
            } else {
                chord
            }
        })
        .sum()
}

/// The ring from its outermost point to the right, which is a corner of its hull, back to it.
fn from_outermost(ring: &[Point2]) -> Vec<Point2> {
    let mut k = 0;
    for i in 1..ring.len() {
        if ring[i].x > ring[k].x {
            k = i;
        }
    }
    ring[k..].iter().chain(&ring[..=k]).copied().collect()
}
