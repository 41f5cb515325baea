//! One height of the surface: what its directions share, and how far out it is in each.

use std::f64::consts::FRAC_PI_2;

use crate::measure::Level;
use crate::torso::amend::SwellingRow;
use crate::torso::param::Param;

use super::{Shown, Surface};

/// How far a neck column that does not show lies below the pole, mm: deeper than any that does, and a
/// number, so that roots can be looked for across it.
const SUNK: f64 = 1e3;

/// Smooth maximum, twice continuously differentiable; lifts `k / 6` where both are equal.
pub(crate) fn smax(p: f64, q: f64, k: f64) -> f64 {
    let h = ((k - (p - q).abs()) / k).max(0.0);
    p.max(q) + h * h * h * k / 6.0
}

/// Smooth minimum, the mirror image of [`smax`].
pub(crate) fn smin(p: f64, q: f64, k: f64) -> f64 {
    -smax(-p, -q, k)
}

/// A width that is `low` on the minus side and `high` on the plus side, smooth in between.
fn skew(s: f64, low: f64, high: f64) -> f64 {
    let l = 0.175 * (low + high);
    0.5 * (low + high) + 0.5 * (high - low) * s / (s * s + l * l).sqrt()
}

/// `x^2.5` for `x >= 0`.
fn pow_five_halves(x: f64) -> f64 {
    x * x * x.sqrt()
}

/// Radius of a superellipse of exponent `n` in a direction: `(x^n + y^n)^(-1/n)`, where `x` and `y`
/// are cosine and sine over the half axes and `apart` is the distance of their logarithms: with one
/// power less than it is written, and without a logarithm of what each direction knows of itself.
fn super_radius(x: f64, y: f64, apart: f64, n: f64) -> f64 {
    let share = libm::exp(-n * apart);
    libm::exp(-libm::log(1.0 + share) / n) / x.max(y)
}

/// A direction about the pole, folded to the half body's own side.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Heading {
    pub(crate) sin: f64,
    /// Not negative.
    pub(crate) cos: f64,
    /// -90 behind, 0 to the side, 90 in front.
    degrees: f64,
    /// Logarithm of sine over cosine, without their signs.
    ln_tan: f64,
}

impl Heading {
    /// The direction `theta`, radians.
    pub(crate) fn new(theta: f64) -> Self {
        let (sin, cos) = libm::sincos(theta);
        // Most callers stay on this side, where nothing is folded.
        let folded = if theta.abs() <= FRAC_PI_2 {
            theta
        } else {
            libm::atan2(sin, cos.abs())
        };
        Self {
            sin,
            cos: cos.abs(),
            degrees: folded.to_degrees(),
            ln_tan: libm::log((sin / cos).abs()),
        }
    }
}

/// A prominence as it is asked for.
struct Bump {
    from_front: bool,
    height: f64,
    centre: f64,
    inner: f64,
    outer: f64,
    /// Height above its centre, mm, and reach below and above, mm at scale 1.
    dz: f64,
    low: f64,
    high: f64,
    fuller: bool,
}

/// What all directions at one height share.
#[derive(Clone, Debug)]
pub(crate) struct Row {
    /// y of the pole.
    pub(crate) pole: f64,
    half: f64,
    square: f64,
    front: f64,
    back: f64,
    /// Logarithms of half breadth over depth, in front and behind.
    ln_front: f64,
    ln_back: f64,
    /// Half distance of the arm plates on the pole, where there are any, and the rounding of their
    /// edge: it softens below the armpit, where the plate runs out into the trunk.
    plate: Option<f64>,
    edge: f64,
    /// Neck column: half breadth, half depth, centre from the pole, sink; none where it has sunk so deep
    /// that nothing of it shows.
    neck: Option<(f64, f64, f64, f64)>,
    /// This side's breast, and the other's.
    breasts: [Option<BreastRow>; 2],
    swellings: Vec<SwellingRow>,
    /// Prominences that have constant widths: (height, centre, inner width, outer width, rho0^2).
    bumps: [Option<BumpRow>; 5],
}

#[derive(Clone, Copy, Debug)]
struct BumpRow {
    /// Measured from the front (true) or the back.
    from_front: bool,
    height: f64,
    centre: f64,
    inner: f64,
    outer: f64,
    rho2: f64,
    /// Nearly a ball rather than a bell.
    fuller: bool,
}

#[derive(Clone, Copy, Debug)]
struct BreastRow {
    height: f64,
    centre: f64,
    inner: f64,
    outer: f64,
    rho2: f64,
    power: f64,
}

/// Radii of the parts that make up the surface, before they are blended.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Parts {
    /// Trunk with its prominences, without breasts.
    pub(crate) trunk: f64,
    /// Arm plate; infinite where there is none.
    pub(crate) plate: f64,
    /// Neck column; zero or less where there is none.
    pub(crate) neck: f64,
    /// What the breasts add.
    pub(crate) breast: f64,
}

impl Surface {
    /// Everything that directions at height `z` share.
    pub(crate) fn row(&self, z: f64) -> Row {
        let st = &self.style;
        let sc = st.scale;
        let c = self.pole.at(z);
        let floor = 8.0 * sc;
        let armpit = self.own.armpit;
        let half = self.half_at(z).max(6.0 * sc);
        let below = armpit - z;
        let plate = if below <= 0.0 {
            Some(self.plate_low - below * self.plate_growth)
        } else if below < 160.0 * sc {
            Some(half + self.recede * below + below * below / (120.0 * sc))
        } else {
            None
        };
        let front_neck = self.level(Level::FrontNeck);
        let zq = z.max(front_neck - 40.0 * sc);
        let a_neck =
            self.get(Param::NeckBaseHalf) + (zq - self.level(Level::SideNeck)) * self.neck_taper;
        let (nb, nf) = (self.neck_back(zq), self.neck_front(zq));
        let under = (front_neck - z).max(0.0);
        let (d_neck, ahead) = (0.5 * (nf - nb), 0.5 * (nf + nb) - c);
        let sink = under * under / (25.0 * sc);
        let out_to = ahead.abs() + a_neck.max(d_neck);
        let shows = sink < out_to + st.neck_fillet * sc;
        let neck = shows.then_some((a_neck, d_neck, ahead, sink));

        let ab = st.abdomen;
        let z_seat = self.level(Level::Hip) + 8.0 * sc;
        let bump = |b: Bump| {
            if b.height <= 0.0 || b.dz.abs() >= b.low.max(b.high) * sc {
                return None;
            }
            let v = b.dz / skew(b.dz, b.low * sc, b.high * sc);
            let rho2 = v * v;
            (rho2 < 1.0).then_some(BumpRow {
                from_front: b.from_front,
                height: b.height,
                centre: b.centre,
                inner: b.inner,
                outer: b.outer,
                rho2,
                fuller: b.fuller,
            })
        };
        // This side's own, and the other side's mirror image; a lone one on the centre counts once.
        let blade = |k: usize| Bump {
            from_front: false,
            height: self.shown[k].blade,
            centre: if k == 0 { 32.0 } else { -32.0 },
            inner: 46.0,
            outer: 44.0,
            dz: z - (self.shown[k].mid - 8.0 * sc),
            low: 120.0,
            high: 85.0,
            fuller: false,
        };
        let seat = |centre: f64| Bump {
            from_front: false,
            height: self.get(Param::Buttock),
            centre,
            inner: 33.0,
            outer: 40.0,
            dz: z - z_seat,
            low: 115.0,
            high: 120.0,
            fuller: false,
        };
        let abdomen = Bump {
            from_front: true,
            height: self.get(Param::Abdomen),
            centre: 0.0,
            inner: ab.width,
            outer: ab.width,
            dz: z - st.abdomen_level * sc,
            low: ab.low,
            high: ab.high,
            fuller: ab.fuller,
        };
        let bumps = [blade(0), blade(1), seat(27.0), seat(-27.0), abdomen].map(bump);
        let breasts = [0, 1].map(|k| self.breast_row(z, &self.shown[k]));
        let front = smax(self.front.at(z) - c, floor, floor);
        let back = smax(c - self.back.at(z), floor, floor);
        Row {
            pole: c,
            half,
            square: self.square.at(z),
            front,
            back,
            ln_front: libm::log(half / front),
            ln_back: libm::log(half / back),
            plate,
            edge: sc * (st.plate_round + (0.5 * below.max(0.0) / sc).min(30.0)),
            neck,
            breasts,
            bumps,
            swellings: st
                .swellings
                .iter()
                .filter_map(|s| s.row(z - self.level(s.level()), self.sign))
                .collect(),
        }
    }

    /// What a breast adds at height `z`.
    fn breast_row(&self, z: f64, of: &Shown) -> Option<BreastRow> {
        if of.breast <= 0.0 {
            return None;
        }
        let b = &self.style.breast;
        let dz = z - of.bust;
        let low = b.low * self.get(Param::UnderbustDrop);
        let high = b.high * self.style.scale;
        if dz.abs() >= low.max(high) {
            return None;
        }
        let v = dz / skew(dz, low, high);
        let rho2 = v * v;
        if rho2 >= 1.0 {
            return None;
        }
        let t = (dz / (1.7 * (of.armpit - of.bust))).clamp(0.0, 1.0);
        let s = t * t * t * (10.0 - 15.0 * t + 6.0 * t * t);
        Some(BreastRow {
            height: of.breast,
            centre: of.angle + b.drift * dz / self.style.scale,
            inner: b.inner,
            outer: b.outer * (1.0 - b.narrowing * s),
            rho2,
            power: 0.5 * (b.power_low + b.power_high)
                + 0.5 * (b.power_high - b.power_low) * dz / (dz * dz + low * low).sqrt(),
        })
    }

    /// The parts in direction `theta` (radians) of `row`.
    pub(crate) fn parts(&self, row: &Row, theta: f64) -> Parts {
        self.parts_towards(row, &Heading::new(theta))
    }

    /// The parts in direction `to` of `row`.
    pub(crate) fn parts_towards(&self, row: &Row, to: &Heading) -> Parts {
        let (sin, cos, degrees) = (to.sin, to.cos, to.degrees);
        let (depth, ln) = if sin >= 0.0 {
            (row.front, row.ln_front)
        } else {
            (row.back, row.ln_back)
        };
        let apart = (to.ln_tan + ln).abs();
        let mut trunk = super_radius(cos / row.half, sin.abs() / depth, apart, row.square);
        for b in row.bumps.iter().flatten() {
            let u = if b.from_front {
                90.0 - degrees
            } else {
                degrees + 90.0
            };
            // A centre on the other side is the mirror image of that side's own.
            trunk += b.height
                * if b.centre < 0.0 {
                    self.bump(b, -u + b.centre)
                } else {
                    self.bump(b, u - b.centre)
                };
        }
        for s in &row.swellings {
            trunk += s.at(90.0 - degrees);
        }
        let plate = match row.plate {
            None => f64::INFINITY,
            Some(out) => {
                let den = cos + self.get(Param::PlateTurn) * sin;
                if den > 0.02 { out / den } else { f64::INFINITY }
            }
        };
        let neck = row.neck.map_or(-SUNK, |(a, d, y0, sink)| {
            let k = y0 / d;
            let big_c = k * k - 1.0;
            if big_c < 0.0 {
                let (ca, sd) = (cos / a, sin / d);
                let big_a = ca * ca + sd * sd;
                let big_b = sin * y0 / (d * d);
                (big_b + (big_b * big_b - big_a * big_c).max(0.0).sqrt()) / big_a - sink
            } else {
                -sink
            }
        });
        let breast = self.breast(&row.breasts, 90.0 - degrees);
        Parts {
            trunk,
            plate,
            neck,
            breast,
        }
    }

    fn bump(&self, b: &BumpRow, delta: f64) -> f64 {
        // The width is never more than the larger one.
        if delta.abs() >= b.inner.max(b.outer) {
            return 0.0;
        }
        let v = delta / skew(delta, b.inner, b.outer);
        let rho2 = v * v + b.rho2;
        if rho2 >= 1.0 {
            return 0.0;
        }
        if b.fuller {
            libm::pow(1.0 - libm::pow(rho2, 1.15), 2.4)
        } else {
            pow_five_halves(1.0 - rho2)
        }
    }

    /// What both breasts add at `beta` degrees from straight front, towards this side.
    fn breast(&self, of: &[Option<BreastRow>; 2], beta: f64) -> f64 {
        let one = |b: &Option<BreastRow>, beta: f64| {
            let Some(b) = b else { return 0.0 };
            let delta = beta - b.centre;
            if delta.abs() >= b.inner.max(b.outer) {
                return 0.0;
            }
            let v = delta / skew(delta, b.inner, b.outer);
            let rho2 = v * v + b.rho2;
            if rho2 >= 1.0 {
                return 0.0;
            }
            b.height
                * libm::pow(
                    1.0 - libm::pow(rho2, 0.5 * self.style.breast.round),
                    b.power,
                )
        };
        let (l, r) = (one(&of[0], beta), one(&of[1], -beta));
        let join = self.style.breast.join;
        if l > 0.0 && r > 0.0 {
            libm::pow(libm::pow(l, join) + libm::pow(r, join), 1.0 / join)
        } else {
            l + r
        }
    }

    /// Distance from the pole in direction `theta` of `row`.
    pub(crate) fn radius_in(&self, row: &Row, theta: f64) -> f64 {
        self.blend(&self.parts(row, theta), row.edge)
    }

    /// Distance from the pole in direction `to` of `row`.
    pub(crate) fn radius_towards(&self, row: &Row, to: &Heading) -> f64 {
        self.blend(&self.parts_towards(row, to), row.edge)
    }

    fn blend(&self, q: &Parts, edge: f64) -> f64 {
        let sc = self.style.scale;
        let clipped = if q.plate.is_finite() {
            smin(q.trunk, q.plate, edge)
        } else {
            q.trunk
        };
        smax(clipped + q.breast, q.neck, self.style.neck_fillet * sc)
    }

    /// Distance from the pole in direction `theta` at height `z`.
    pub(crate) fn radius(&self, theta: f64, z: f64) -> f64 {
        self.radius_in(&self.row(z), theta)
    }
}
