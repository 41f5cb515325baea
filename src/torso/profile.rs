//! Curves over height: shape-preserving splines through keys, and their smooth (blurred) form; the smooth larger and
//! smaller of two values.

use std::sync::LazyLock;

use splines::{Interpolation, Key, Spline};

/// A curve `v(z)` through keys. Tangents are those of the natural C2 cubic spline, then limited so
/// that the curve is monotone between keys and never overshoots (Fritsch and Carlson 1980,
/// *Monotone piecewise cubic interpolation*, SIAM J. Numer. Anal. 17(2), box form of the limit).
/// Outside the keys it runs straight on.
#[derive(Clone, Debug)]
pub(crate) struct LevelCurve {
    spline: Spline<f64, f64>,
    /// The keys, each with the slope of the curve there.
    keys: Vec<(f64, f64, f64)>,
}

impl LevelCurve {
    /// Keys `(z, v)` with `z` strictly rising; at least two.
    pub(crate) fn new(keys: &[(f64, f64)]) -> Self {
        let n = keys.len();
        let slopes = limited_slopes(keys);
        let gap = |i: usize| keys[i + 1].0 - keys[i].0;
        let built = (0..n)
            .map(|i| {
                let (z, v) = keys[i];
                // The handles of a StrokeBezier key are ordinates at a third of the neighbouring
                // gaps, which makes each segment the cubic Hermite one.
                let before = if i > 0 { gap(i - 1) } else { gap(0) };
                let after = if i + 1 < n { gap(i) } else { gap(n - 2) };
                let handles = Interpolation::StrokeBezier(
                    v - slopes[i] * before / 3.0,
                    v + slopes[i] * after / 3.0,
                );
                Key::new(z, v, handles)
            })
            .collect();
        let keys = keys.iter().zip(slopes).map(|(k, m)| (k.0, k.1, m));
        Self {
            spline: Spline::from_vec(built),
            keys: keys.collect(),
        }
    }

    /// The value beyond the keys, where the curve runs straight on.
    fn beyond(&self, z: f64) -> Option<f64> {
        let (first, last) = (self.keys[0], self.keys[self.keys.len() - 1]);
        let end = match z {
            _ if z <= first.0 => first,
            _ if z >= last.0 => last,
            _ => return None,
        };
        Some(end.1 + (z - end.0) * end.2)
    }

    /// Values at `n` heights from `start` up, `step` apart: those of [`at`](Self::at), on a walk from key
    /// to key, which is ten times faster than to look for each anew.
    fn walk(&self, start: f64, step: f64, n: usize) -> impl Iterator<Item = f64> + '_ {
        let mut k = 0;
        (0..n).map(move |i| {
            let z = start + i as f64 * step;
            if let Some(v) = self.beyond(z) {
                return v;
            }
            while z > self.keys[k + 1].0 {
                k += 1;
            }
            let ((z0, v0, m0), (z1, v1, m1)) = (self.keys[k], self.keys[k + 1]);
            hermite(
                (z - z0) / (z1 - z0),
                (v0, v1),
                ((z1 - z0) * m0, (z1 - z0) * m1),
            )
        })
    }

    /// Value at height `z`.
    pub(crate) fn at(&self, z: f64) -> f64 {
        // A level that a body has not: what is read there is not a number either.
        if z.is_nan() {
            return z;
        }
        self.beyond(z)
            .or_else(|| self.spline.clamped_sample(z))
            .unwrap_or(f64::NAN)
    }

    /// Value at `z` blurred by a Gaussian of standard deviation `sigma`, mm: nine nodes over two
    /// standard deviations each way. Takes away the curvature jumps at the keys that raking light
    /// would show as rings.
    pub(crate) fn blurred(&self, z: f64, sigma: f64) -> f64 {
        if sigma <= 0.0 {
            return self.at(z);
        }
        if z.is_nan() {
            return z;
        }
        let around = self.walk(z + sigma * node(0), sigma * NODES_APART, NODES);
        around.zip(WEIGHTS.iter()).map(|(v, w)| v * w).sum()
    }
}

const NODES: usize = 9;
/// In standard deviations.
const NODES_APART: f64 = 0.5;

fn node(j: usize) -> f64 {
    -2.0 + NODES_APART * j as f64
}

/// Weights of the nodes: the normal density there, together one.
static WEIGHTS: LazyLock<[f64; NODES]> = LazyLock::new(|| {
    let w: [f64; NODES] = std::array::from_fn(|j| libm::exp(-0.5 * node(j) * node(j)));
    let sum: f64 = w.iter().sum();
    w.map(|x| x / sum)
});

/// Tangents of the natural spline through `keys`, limited to keep the curve monotone between them.
fn limited_slopes(keys: &[(f64, f64)]) -> Vec<f64> {
    let n = keys.len();
    let h: Vec<f64> = keys.windows(2).map(|k| k[1].0 - k[0].0).collect();
    let d: Vec<f64> = keys
        .windows(2)
        .map(|k| (k[1].1 - k[0].1) / (k[1].0 - k[0].0))
        .collect();
    // Tridiagonal system of the natural spline, solved by elimination (Thomas).
    let mut diag = vec![0.0; n];
    let mut upper = vec![0.0; n];
    let mut rhs = vec![0.0; n];
    diag[0] = 2.0;
    upper[0] = 1.0;
    rhs[0] = 3.0 * d[0];
    for i in 1..n {
        let (lower, main, up, right) = if i + 1 < n {
            let right = 3.0 * (h[i] * d[i - 1] + h[i - 1] * d[i]);
            (h[i], 2.0 * (h[i - 1] + h[i]), h[i - 1], right)
        } else {
            (1.0, 2.0, 0.0, 3.0 * d[n - 2])
        };
        let f = lower / diag[i - 1];
        diag[i] = main - f * upper[i - 1];
        upper[i] = up;
        rhs[i] = right - f * rhs[i - 1];
    }
    let mut m = vec![0.0; n];
    for i in (0..n).rev() {
        let next = if i + 1 < n { m[i + 1] } else { 0.0 };
        m[i] = (rhs[i] - upper[i] * next) / diag[i];
    }
    for i in 0..n {
        m[i] = limited(m[i], d[i.saturating_sub(1)], d[i.min(n - 2)]);
    }
    m
}

/// Smooth maximum, twice continuously differentiable; lifts `k / 6` where both are equal.
pub(crate) fn smax(p: f64, q: f64, k: f64) -> f64 {
    let h = ((k - (p - q).abs()) / k).max(0.0);
    p.max(q) + h * h * h * k / 6.0
}

/// Smooth minimum, the mirror image of [`smax`].
pub(crate) fn smin(p: f64, q: f64, k: f64) -> f64 {
    -smax(-p, -q, k)
}

/// Below this slope, mm per mm, a curve counts as level at a key. Our choice, by eye: nothing is seen of it.
const LEVEL: f64 = 0.01;
/// Over what share of the limit the limited slope goes over from the slope of the spline to it. Our choice.
const ROUNDED: f64 = 0.3;

/// The slope `m` at a key between pieces that rise by `left` and `right`, mm per mm, held to the limit of Fritsch and
/// Carlson and to their sign. The limit sets in softly: a corner in it would be a corner in how every reading
/// near the key changes with a level or a breadth, where a fit that steps along slopes comes to rest.
fn limited(m: f64, left: f64, right: f64) -> f64 {
    if left * right <= 0.0 {
        return 0.0;
    }
    let soft = |slope: f64| slope * slope / (slope + LEVEL);
    let (l, r) = (soft(left.abs()), soft(right.abs()));
    let most = 3.0 * smin(l, r, ROUNDED * (l + r));
    let k = ROUNDED * most;
    let sign = left.signum();
    sign * smin(smax(m * sign, 0.0, k), most, k)
}

/// A blurred profile, tabulated: cubic Hermite through equidistant nodes whose slopes are central
/// differences of fourth order.
#[derive(Clone, Debug)]
pub(crate) struct CurveTable {
    start: f64,
    step: f64,
    value: Vec<f64>,
    slope: Vec<f64>,
}

impl CurveTable {
    /// Blurs `profile` by `sigma` mm everywhere and tabulates it over `low..high`.
    pub(crate) fn new(profile: &LevelCurve, low: f64, high: f64, sigma: f64) -> Self {
        // Half a standard deviation is also the distance of the blur's nodes, so one sampling of
        // the profile serves both.
        let step = NODES_APART * sigma;
        let half = NODES / 2;
        let n = ((high - low) / step).ceil() as usize + 3;
        let start = low - step;
        let origin = start - (half + 2) as f64 * step;
        let raw: Vec<f64> = profile.walk(origin, step, n + 2 * (half + 2)).collect();
        let smooth: Vec<f64> = raw
            .windows(NODES)
            .map(|r| r.iter().zip(WEIGHTS.iter()).map(|(v, k)| v * k).sum())
            .collect();
        let slope = smooth
            .windows(5)
            .map(|v| (8.0 * (v[3] - v[1]) - (v[4] - v[0])) / (12.0 * step))
            .collect();
        let value = smooth[2..smooth.len() - 2].to_vec();
        Self {
            start,
            step,
            value,
            slope,
        }
    }

    /// Value at `z`; straight on beyond the ends of the table.
    pub(crate) fn at(&self, z: f64) -> f64 {
        let s = (z - self.start) / self.step;
        let i = (s.max(0.0) as usize).min(self.value.len() - 2);
        let t = s - i as f64;
        let (v0, v1) = (self.value[i], self.value[i + 1]);
        let (m0, m1) = (self.slope[i] * self.step, self.slope[i + 1] * self.step);
        if t < 0.0 {
            return v0 + t * m0;
        }
        if t > 1.0 {
            return v1 + (t - 1.0) * m1;
        }
        hermite(t, (v0, v1), (m0, m1))
    }
}

/// The cubic through two values a step of 1 apart, with these slopes there.
fn hermite(t: f64, (v0, v1): (f64, f64), (m0, m1): (f64, f64)) -> f64 {
    v0 + t * (m0 + t * (3.0 * (v1 - v0) - 2.0 * m0 - m1 + t * (2.0 * (v0 - v1) + m0 + m1)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn monotone_between_keys_and_exact_at_them() {
        let keys = [(0.0, 0.0), (1.0, 0.1), (2.5, 3.0), (3.0, 3.0), (6.0, -2.0)];
        let p = LevelCurve::new(&keys);
        for w in keys.windows(2) {
            let (lo, hi) = (w[0].1.min(w[1].1), w[0].1.max(w[1].1));
            assert!((p.at(w[0].0) - w[0].1).abs() < 1e-12);
            let mut before = p.at(w[0].0);
            for i in 1..=100 {
                let v = p.at(w[0].0 + (w[1].0 - w[0].0) * i as f64 / 100.0);
                assert!(
                    v >= lo - 1e-12 && v <= hi + 1e-12,
                    "overshoot {v} outside {lo}..{hi}"
                );
                assert!(
                    (v - before) * (w[1].1 - w[0].1) >= -1e-12,
                    "turns back at {v}"
                );
                before = v;
            }
        }
    }

    #[test]
    fn a_cubic_is_reproduced_by_the_natural_spline_of_a_line() {
        let p = LevelCurve::new(&[(0.0, 1.0), (2.0, 5.0), (3.0, 7.0), (10.0, 21.0)]);
        for z in [-3.0, 0.3, 2.2, 5.0, 9.9, 14.0] {
            assert!((p.at(z) - (1.0 + 2.0 * z)).abs() < 1e-9);
        }
    }

    #[test]
    fn a_walk_reads_what_the_spline_has() {
        let p = LevelCurve::new(&[(0.0, 0.0), (40.0, 30.0), (90.0, 10.0), (150.0, 25.0)]);
        for (i, v) in p.walk(-20.0, 3.7, 60).enumerate() {
            let z = -20.0 + i as f64 * 3.7;
            assert!((v - p.at(z)).abs() < 1e-12, "at {z}");
        }
    }

    #[test]
    fn the_table_is_the_blur() {
        let p = LevelCurve::new(&[(0.0, 0.0), (40.0, 30.0), (90.0, 10.0), (150.0, 25.0)]);
        let t = CurveTable::new(&p, -5.0, 155.0, 11.0);
        for i in 0..160 {
            let z = i as f64;
            assert!((t.at(z) - p.blurred(z, 11.0)).abs() < 0.005, "at {z}");
        }
    }
}
