//! The two creases of the surface, the neck base line and the rims of the arm plates, and places in front, as
//! roots.

use std::f64::consts::FRAC_PI_2;

use crate::measure::Level;
use crate::torso::param::Param;
use crate::torso::surface::{Heading, SectionRow, Surface};

use super::taut::peak_at;

/// A root is looked for until its bracket is this narrow, relative to where it started.
const ROOT_RELATIVE: f64 = 1e-11;
/// A root is followed until a step is this short, relative to its reach: the next one, which would be
/// shorter by as much again, is not worth a look at the surface.
const SETTLED: f64 = 1e-6;

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

/// A place in front is looked for between straight ahead and this direction, radians; where the surface is not so
/// far out there, by steps, and as far as behind the ridge of a shoulder that lies behind the pole.
const FRONT_BESIDE: f64 = 0.2;
const FRONT_STEP: f64 = 0.1;
const FRONT_BEHIND: f64 = -0.8;

/// The direction of the place in front that lies `x` out to the side, where `off` says how much further out
/// the surface is. Where it is nowhere so far out, the direction of its outermost place: a tape beside the
/// surface touches it last there.
pub(super) fn front_root(off: impl Fn(f64) -> f64, x: f64) -> f64 {
    let there = off(FRONT_BESIDE);
    if there >= 0.0 {
        return root(off, FRAC_PI_2, -x, FRONT_BESIDE, there);
    }
    let steps = ((FRAC_PI_2 - FRONT_BEHIND) / FRONT_STEP).ceil() as usize;
    let mut seen = vec![-x];
    for i in 1..=steps {
        let (before, beside) = (front_step(i - 1), front_step(i));
        let there = off(beside);
        if there >= 0.0 {
            return root(off, before, seen[i - 1], beside, there);
        }
        seen.push(there);
    }
    let at = peak_at(&seen);
    let outermost = front_step(0) - FRONT_STEP * at;
    let there = off(outermost);
    if there >= 0.0 {
        // It is passed between two steps.
        let i = at as usize;
        return root(off, front_step(i), seen[i], outermost, there);
    }
    outermost
}

/// The direction of the bust point from the pole.
pub(crate) fn bust_direction(s: &Surface) -> f64 {
    let row = s.row(s.own.bust);
    let point = s.get(Param::BustPointHalf);
    front_root(
        |theta| s.radius_in(&row, theta) * libm::cos(theta) - point,
        point,
    )
}

/// The direction `i` steps from straight ahead.
fn front_step(i: usize) -> f64 {
    FRAC_PI_2 - FRONT_STEP * i as f64
}

/// A root and the slope of its function there, as a start for the root of a function that differs a
/// little.
#[derive(Clone, Copy, Debug)]
pub(super) struct Near {
    at: f64,
    slope: f64,
}

impl Near {
    /// The root `at` of `f`, whose slope is taken over a small part of `reach`; nothing where `at` is
    /// not a number.
    pub(super) fn new(f: impl Fn(f64) -> f64, at: f64, reach: f64) -> Option<Self> {
        if at.is_nan() {
            return None;
        }
        let step = 1e-4 * reach;
        let slope = (f(at + step) - f(at)) / step;
        Some(Self { at, slope })
    }

    /// Follows the root to that of `f`: the first step with the slope that is known, then secant steps.
    /// Nothing where they do not settle within `reach`. What is returned is nearer by far than the last
    /// step was long.
    pub(super) fn follow(&self, f: impl Fn(f64) -> f64, reach: f64) -> Option<f64> {
        let stop = SETTLED * reach;
        let (mut a, mut fa) = (self.at, f(self.at));
        let mut b = a - fa / self.slope;
        for _ in 0..6 {
            if b.is_nan() || (b - self.at).abs() >= reach {
                return None;
            }
            if (b - a).abs() < stop {
                return Some(b);
            }
            let fb = f(b);
            if (fa - fb).abs() < f64::MIN_POSITIVE {
                return (fb == 0.0).then_some(b);
            }
            let c = b - fb * (b - a) / (fb - fa);
            (a, fa, b) = (b, fb, c);
        }
        None
    }
}

/// By how much the trunk (cut by the arm plate) stands out beyond the neck column.
pub(super) fn base_gap(s: &Surface, to: &Heading, z: f64) -> f64 {
    let q = s.parts_towards(&s.row(z), to);
    q.trunk.min(q.plate) - q.neck
}

/// Height of the neck base line in direction `theta`: where trunk (cut by the arm plate) and neck
/// column are equally far out, the highest such place near where it is expected.
pub(crate) fn neck_base_height(s: &Surface, theta: f64) -> f64 {
    let (z, found) = neck_base_root(s, &Heading::new(theta));
    if found.is_nan() { z } else { found }
}

/// The same as a pair: where to take it, and the root if there is one (else not a number).
pub(super) fn neck_base_root(s: &Surface, to: &Heading) -> (f64, f64) {
    let sin2 = to.sin * to.sin;
    let end = if to.sin < 0.0 {
        s.level(Level::Nape)
    } else {
        s.level(Level::FrontNeck)
    };
    let expected = s.level(Level::SideNeck) * (1.0 - sin2) + end * sin2;
    // Beside the pit of the neck the line sags far below where it is expected.
    let (above, below) = (25.0 * s.style.scale, 65.0 * s.style.scale);
    let gap = |z: f64| base_gap(s, to, z);
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

/// By how much the trunk stands out beyond the arm plate at the place over a direction of `row`.
pub(super) fn rim_gap(s: &Surface, row: &SectionRow, theta: f64) -> f64 {
    let (q, _) = s.parts_over(row, &Heading::new(theta));
    q.trunk - q.plate
}

/// Direction of the rim of the right arm plate in `row`: where trunk and plate are equally far out,
/// the outermost such place; `sign` is 1 for the front branch, -1 for the back.
pub(crate) fn rim_angle(s: &Surface, row: &SectionRow, sign: f64) -> f64 {
    let gap = |theta: f64| {
        let q = s.parts(row, theta);
        q.trunk - q.plate
    };
    let (theta, found) = rim_root(gap, sign);
    if found.is_nan() { theta } else { found }
}

/// Where the rim of an arm plate lies, by which the trunk stands out beyond it by `gap`, as a pair: where to
/// take it, and the root if there is one (else not a number).
pub(super) fn rim_root(gap: impl Fn(f64) -> f64, sign: f64) -> (f64, f64) {
    let gap = |theta: f64| gap(sign * theta);
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
