//! Where the named points of the body lie on the solid as built.

use super::{LayerRing, RAYS, STEP, THREAD};
use crate::geom::triangle::nearest;
use crate::geom::{Point2, Point3, Vector2};
use crate::stack::core::pole_at;
use crate::tolerance::SAME_POINT_EPS_MM;

/// Width of what is laid round the neck base to either side of a point, mm: as a chain or a tape on
/// edge it does not go down into a step, but lies on the edges of the steps within this distance
/// along it. Our choice: a little more than the widest step of a shoulder.
const LAID: f64 = 20.0;

/// Moves a closed curve on to the built surface as a chain lies: each point goes out from the solid
/// as far as the step edges near it do, not down between them.
pub(super) fn lay_over_steps(curve: &mut [Point3], pole: &[Point3], put: impl Fn(&mut Point3)) {
    let out = |p: &Point3| (p.xy() - pole_at(pole, p.z)).norm();
    let n = curve.len();
    let was: Vec<f64> = curve.iter().map(out).collect();
    let moved: Vec<f64> = curve
        .iter()
        .zip(&was)
        .map(|(p, r)| {
            let mut q = *p;
            put(&mut q);
            out(&q) - r
        })
        .collect();
    let window = |i: usize, values: &[f64], join: &dyn Fn(f64, f64) -> f64, start: f64| {
        let mut sum = (join(start, values[i]), 1.0);
        for back in [false, true] {
            let (mut k, mut far) = (i, 0.0);
            for _ in 1..n {
                let next = if back { (k + n - 1) % n } else { (k + 1) % n };
                far += (curve[next] - curve[k]).norm();
                if far > LAID {
                    break;
                }
                k = next;
                sum = (join(sum.0, values[k]), sum.1 + 1.0);
            }
        }
        sum
    };
    let edges: Vec<f64> = (0..n)
        .map(|i| window(i, &moved, &f64::max, f64::NEG_INFINITY).0)
        .collect();
    let smooth: Vec<f64> = (0..n)
        .map(|i| {
            let (sum, count) = window(i, &edges, &|a, b| a + b, 0.0);
            sum / count
        })
        .collect();
    for (i, p) in curve.iter_mut().enumerate() {
        let centre = pole_at(pole, p.z);
        let q = centre + (p.xy() - centre) * ((was[i] + smooth[i]) / was[i].max(THREAD));
        *p = Point3::new(q.x, q.y, p.z);
    }
}

/// A corner of the lofted rings: where ray `j` ends.
fn corner(ring: &LayerRing, j: usize) -> Point2 {
    let angle = STEP * (j % RAYS) as f64;
    ring.1 + Vector2::new(libm::cos(angle), libm::sin(angle)) * ring.2[j % RAYS]
}

/// The point of the lofted rings nearest to `p`, ledges included: on the very triangles of
/// [`loft`](crate::stack::core::loft). `p` itself where there are no two rings.
pub(super) fn nearest_on_surface(rings: &[LayerRing], p: Point3) -> Point3 {
    let at = |ring: &LayerRing, j| {
        let q = corner(ring, j);
        Point3::new(q.x, q.y, ring.0)
    };
    let mut best = (f64::INFINITY, p);
    for pair in rings.windows(2) {
        let (low, high) = (&pair[0], &pair[1]);
        if (low.0 - p.z).max(p.z - high.0) >= best.0 {
            continue;
        }
        for j in 0..RAYS {
            let (left, up) = (at(low, j), at(high, j + 1));
            for third in [at(high, j), at(low, j + 1)] {
                let q = nearest(p, [left, up, third]);
                let far = (q - p).norm();
                if far < best.0 {
                    best = (far, q);
                }
            }
        }
    }
    best.1
}

/// The point of the lofted rings on the ray from `centre` through `p`, at the height of `p`: on the
/// very triangles of [`loft`]. `None` above or below the rings.
pub(super) fn on_surface(rings: &[LayerRing], centre: Point2, p: Point3) -> Option<Point3> {
    let k = rings.partition_point(|r| r.0 <= p.z);
    if k == 0 || (k == rings.len() && rings[k - 1].0 < p.z) {
        return None;
    }
    // The ring at or below, and the one above it; at the very top the last two.
    let k = k.min(rings.len() - 1);
    let (low, high) = (&rings[k - 1], &rings[k]);
    let f = if high.0 > low.0 {
        ((p.z - low.0) / (high.0 - low.0)).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let e = (p.xy() - centre).try_normalize(SAME_POINT_EPS_MM)?;
    let mix = |a: Point2, b: Point2| a + (b - a) * f;
    let j = (libm::atan2(e.y, e.x).rem_euclid(std::f64::consts::TAU) / STEP) as usize;
    // The pole leans, so the ray may fall into a neighbouring cell.
    let mut best: Option<f64> = None;
    for j in [j + RAYS - 1, j, j + 1] {
        let left = mix(corner(low, j), corner(high, j));
        let right = mix(corner(low, j + 1), corner(high, j + 1));
        let middle = mix(corner(low, j), corner(high, j + 1));
        for (a, b) in [(left, middle), (middle, right)] {
            let (a, b) = (a - centre, b - centre);
            let (ca, cb) = (e.perp(&a), e.perp(&b));
            if ca <= 0.0 && cb >= 0.0 && cb - ca > 0.0 {
                let r = (a + (b - a) * (ca / (ca - cb))).dot(&e);
                if r > 0.0 && best.is_none_or(|most| r > most) {
                    best = Some(r);
                }
            }
        }
    }
    let q = centre + e * best?;
    Some(Point3::new(q.x, q.y, p.z))
}
