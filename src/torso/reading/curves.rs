//! The two creases of the surface: the neck base line and the rims of the arm plates, as roots.

use crate::measure::Level;
use crate::torso::surface::{Row, Surface};

/// A root is followed until its bracket is this narrow, relative to where it started.
const ROOT_RELATIVE: f64 = 1e-11;

/// Root of `f` between `a` and `b`, where it changes sign: regula falsi with the Illinois step.
pub(super) fn root(mut f: impl FnMut(f64) -> f64, a: f64, fa: f64, b: f64, fb: f64) -> f64 {
    let (mut a, mut fa, mut b, mut fb) = (a, fa, b, fb);
    let stop = ROOT_RELATIVE * (b - a).abs();
    for _ in 0..60 {
        let c = if (fa - fb).abs() < f64::MIN_POSITIVE {
            0.5 * (a + b)
        } else {
            (a * fb - b * fa) / (fb - fa)
        };
        let fc = f(c);
        if fc == 0.0 {
            return c;
        }
        if (fc > 0.0) == (fb > 0.0) {
            fa *= 0.5;
        } else {
            a = b;
            fa = fb;
        }
        let moved = (c - b).abs();
        b = c;
        fb = fc;
        if moved < stop || (b - a).abs() < stop {
            break;
        }
    }
    b
}

/// Follows a root from `start` by secant steps; not a number where they do not settle within
/// `reach` of it.
pub(super) fn follow(mut f: impl FnMut(f64) -> f64, start: f64, reach: f64) -> f64 {
    let (mut a, mut b) = (start, start + 1e-4 * reach);
    let (mut fa, mut fb) = (f(a), f(b));
    for _ in 0..6 {
        if (fa - fb).abs() < f64::MIN_POSITIVE {
            break;
        }
        let c = b - fb * (b - a) / (fb - fa);
        if c.is_nan() || (c - start).abs() >= reach {
            return f64::NAN;
        }
        if (c - b).abs() < ROOT_RELATIVE * reach {
            return c;
        }
        (a, fa) = (b, fb);
        b = c;
        fb = f(b);
    }
    f64::NAN
}

/// By how much the trunk (cut by the arm plate) stands out beyond the neck column.
pub(super) fn base_gap(s: &Surface, theta: f64, z: f64) -> f64 {
    let q = s.parts(&s.row(z), theta);
    q.trunk.min(q.plate) - q.neck
}

/// Height of the neck base line in direction `theta`: where trunk (cut by the arm plate) and neck
/// column are equally far out, the highest such place near where it is expected.
pub(crate) fn neck_base_height(s: &Surface, theta: f64) -> f64 {
    let (z, found) = neck_base_root(s, theta);
    if found.is_nan() { z } else { found }
}

/// The same as a pair: where to take it, and the root if there is one (else not a number).
pub(super) fn neck_base_root(s: &Surface, theta: f64) -> (f64, f64) {
    let sin2 = theta.sin() * theta.sin();
    let end = if theta < 0.0 {
        s.level(Level::Nape)
    } else {
        s.level(Level::FrontNeck)
    };
    let expected = s.level(Level::SideNeck) * (1.0 - sin2) + end * sin2;
    // Beside the pit of the neck the line sags far below where it is expected.
    let (above, below) = (25.0 * s.style.scale, 65.0 * s.style.scale);
    let gap = |z: f64| base_gap(s, theta, z);
    let n = 18;
    let at = |i: usize| expected + above - (above + below) * i as f64 / n as f64;
    let (mut z0, mut g0) = (at(0), gap(at(0)));
    if g0 > 0.0 {
        return (z0, f64::NAN);
    }
    for i in 1..=n {
        let (z1, g1) = (at(i), gap(at(i)));
        if g1 > 0.0 {
            return (z0, root(gap, z0, g0, z1, g1));
        }
        (z0, g0) = (z1, g1);
    }
    (z0, f64::NAN)
}

/// Direction of the rim of the right arm plate in `row`: where trunk and plate are equally far out,
/// the outermost such place; `sign` is 1 for the front branch, -1 for the back.
pub(crate) fn rim_angle(s: &Surface, row: &Row, sign: f64) -> f64 {
    let (theta, found) = rim_root(s, row, sign);
    if found.is_nan() { theta } else { found }
}

/// The same as a pair: where to take it, and the root if there is one (else not a number).
pub(super) fn rim_root(s: &Surface, row: &Row, sign: f64) -> (f64, f64) {
    let gap = |theta: f64| {
        let q = s.parts(row, sign * theta);
        q.trunk - q.plate
    };
    let n = 12;
    let most = 88f64.to_radians();
    let at = |i: usize| most * (1.0 - i as f64 / n as f64);
    let (mut t0, mut g0) = (at(0), gap(at(0)));
    if g0 > 0.0 {
        return (sign * t0, f64::NAN);
    }
    for i in 1..=n {
        let (t1, g1) = (at(i), gap(at(i)));
        if g1 > 0.0 {
            return (0.0, sign * root(gap, t0, g0, t1, g1));
        }
        (t0, g0) = (t1, g1);
    }
    (sign * t0, f64::NAN)
}
