//! The quick way to the core: along rays.
//!
//! Nearly every section of a torso is star-shaped about the pole: each ray from it crosses the edge
//! once. Then the inset of a section, seen along a ray, ends where the ray first comes within reach
//! of the edge, and the intersection of insets is the least of those distances. That is exact on
//! every ray and much quicker than moving and intersecting polygons. What could lie behind the first
//! meeting with the edge (a part cut off by a narrow neck) is watched for: where there would be room
//! for one, the answer is `None` and the polygons decide.

use crate::geom::offset::Region;
use crate::geom::{Outline, Point2, Vector2};
use crate::tolerance::SAME_POINT_EPS_MM;

/// Rays of a section: two a degree (a chord error of 0.002 mm at a radius of 170 mm).
const RAYS: usize = 720;
const STEP: f64 = std::f64::consts::TAU / RAYS as f64;

/// Depth along a ray that a part behind the first meeting could have and be overlooked, mm. Our
/// choice: smaller than the least loop worth cutting (400 mm²) is wide.
const BEHIND: f64 = 8.0;

/// A corner is put back between two rays where the outline turns by more than this, radians.
const CORNER: f64 = 0.15;

/// Directions of the rays, made once.
pub(crate) struct Fan {
    directions: Vec<Vector2>,
}

impl Fan {
    pub(crate) fn new() -> Self {
        let directions = (0..RAYS)
            .map(|j| {
                let angle = STEP * j as f64;
                Vector2::new(libm::cos(angle), libm::sin(angle))
            })
            .collect();
        Self { directions }
    }

    /// Rays that nothing shortens yet.
    pub(crate) fn open() -> Vec<f64> {
        vec![f64::INFINITY; RAYS]
    }

    /// Shortens the rays from `centre` to where they come within `reach` of the section's edge.
    /// `None` when the section is not star-shaped about the centre, or when something might lie
    /// behind.
    pub(crate) fn shorten(
        &self,
        radii: &mut [f64],
        section: &[Region],
        centre: Point2,
        reach: f64,
    ) -> Option<()> {
        let [Region { outer, holes }] = section else {
            return None;
        };
        if !holes.is_empty() {
            return None;
        }
        let mut ends = Self::open();
        let mut meets = Self::open();
        for (a, b) in outer.sides() {
            let (a, b) = (a - centre, b - centre);
            let along = b - a;
            let length = along.norm();
            if length <= SAME_POINT_EPS_MM {
                continue;
            }
            // Seen from the centre, a star's edge always runs on to the left.
            let turn = libm::atan2(a.perp(&b), a.dot(&b));
            let out = Vector2::new(along.y, -along.x) / length;
            let height = a.dot(&out);
            if turn <= 0.0 || height <= reach {
                return None;
            }
            let side = Side {
                a,
                b,
                along: along / length,
                out,
                length,
                height,
            };
            let near = {
                let f = (-a.dot(&along) / (length * length)).clamp(0.0, 1.0);
                (a + along * f).norm()
            };
            let more = libm::asin(reach / near);
            let from = libm::atan2(a.y, a.x);
            let first = ((from - more) / STEP).floor() as i64;
            let last = ((from + turn + more) / STEP).ceil() as i64;
            for j in first..=last.min(first + RAYS as i64 - 1) {
                let j = j.rem_euclid(RAYS as i64) as usize;
                let e = self.directions[j];
                let slope = e.dot(&out);
                if slope > 0.0 {
                    let r = height / slope;
                    if side.holds(e * r) {
                        ends[j] = ends[j].min(r);
                    }
                }
                meets[j] = meets[j].min(side.enter(e, slope, reach));
            }
        }
        for ((radius, end), meet) in radii.iter_mut().zip(ends).zip(meets) {
            if !end.is_finite() || meet <= 0.0 || end - meet > 3.0 * reach + BEHIND {
                return None;
            }
            *radius = radius.min(meet);
        }
        Some(())
    }

    /// The outline through the ends of the rays, with the sharp corners that lie between rays.
    pub(crate) fn outline(&self, radii: &[f64], centre: Point2) -> Outline {
        let at = |j: usize| centre + self.directions[j % RAYS] * radii[j % RAYS];
        let mut points = Vec::with_capacity(RAYS);
        for j in 0..RAYS {
            let (p, q) = (at(j), at(j + 1));
            points.push(p);
            // The two sides, run on, meet in the corner.
            let (u, v) = (p - at(j + RAYS - 1), at(j + 2) - q);
            let sine = u.perp(&v);
            if sine > CORNER * u.norm() * v.norm() {
                let corner = p + u * ((q - p).perp(&v) / sine);
                let seen = corner - centre;
                let between = self.directions[j].perp(&seen) > 0.0
                    && seen.perp(&self.directions[(j + 1) % RAYS]) > 0.0;
                if between && (corner - p).norm() + (corner - q).norm() < 3.0 * (q - p).norm() {
                    points.push(corner);
                }
            }
        }
        Outline::new(points)
    }
}

/// One side of a section as seen from the centre of the rays.
struct Side {
    a: Vector2,
    b: Vector2,
    along: Vector2,
    out: Vector2,
    length: f64,
    /// Distance of its line from the centre.
    height: f64,
}

impl Side {
    /// Whether the foot of a point on the side's line lies within the side.
    fn holds(&self, p: Vector2) -> bool {
        let foot = (p - self.a).dot(&self.along);
        foot >= -SAME_POINT_EPS_MM && foot <= self.length + SAME_POINT_EPS_MM
    }

    /// Where a ray first comes within `reach` of the side; infinite when it never does.
    fn enter(&self, e: Vector2, slope: f64, reach: f64) -> f64 {
        let mut best = f64::INFINITY;
        if slope > 0.0 {
            let r = (self.height - reach) / slope;
            if self.holds(e * r + self.out * reach) {
                return r;
            }
        }
        for p in [self.a, self.b] {
            let off = p.perp(&e);
            if off.abs() <= reach {
                best = best.min(p.dot(&e) - (reach * reach - off * off).sqrt());
            }
        }
        best
    }
}
