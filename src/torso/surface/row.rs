//! One height of the surface: what its directions share, and how far out it is in each.

use std::f64::consts::FRAC_PI_2;

use crate::measure::Level;
use crate::torso::amend::SwellingRow;
use crate::torso::param::Param;
use crate::torso::profile::{smax, smin};

use super::Surface;
use super::standing::Mounds;

/// Steps in which the radius under a mound is found, at the most, and the length of a step after which there
/// is none, mm: each is about a fiftieth of the square of the one before it, the next would be a millionth of that.
const MOUND_STEPS: usize = 12;
const LAST_MOUND_STEP_MM: f64 = 1e-3;
/// A radius is never followed along a ray that nearly touches the surface: the slope of the depth counts
/// only as far as this.
const LEAST_TURN: f64 = 0.25;

/// A direction whose cosine is below this points straight ahead or behind.
const ON_THE_MIDDLE: f64 = 1e-12;

/// How far a neck column that does not show lies below the pole, mm: deeper than any that does, and a
/// number, so that roots can be looked for across it.
const SUNK: f64 = 1e3;

/// By how much the rounding of a plate's edge grows below the armpit, and how far below half of that is reached, mm at
/// scale 1: a plate runs out into the trunk without a ring round the body.
const EDGE_GROWS: f64 = 30.0;
const EDGE_HALF_GROWN: f64 = 60.0;

/// How far below the armpit a plate still shapes the trunk, mm at scale 1, and how fast it leaves the trunk: it
/// is out of it some 40 mm below, so that no crease runs down from the armpit.
const PLATE_FOOT: f64 = 150.0;
const PLATE_LEAVES: f64 = 70.0;

/// How far below its ring the neck column still leans, and over what length it sinks in, mm at scale 1.
const NECK_ROOT: f64 = 30.0;
const NECK_SINKS: f64 = 30.0;

/// A superellipse of exponent `n` met in a direction.
#[derive(Clone, Copy)]
struct Met {
    /// `(x^n + y^n)^(-1/n)`, where `x` and `y` are cosine and sine over the half axes.
    radius: f64,
    /// `x^n` over `y^n`, or the other way round: the smaller over the larger.
    share: f64,
    /// Whether `y` is the larger.
    steep: bool,
}

impl Met {
    /// `apart` is the logarithm of `y / x`: with one power less than it is written, and without a logarithm
    /// of what each direction knows of itself.
    fn new(x: f64, y: f64, apart: f64, n: f64) -> Self {
        let share = libm::exp(-n * apart.abs());
        Self {
            radius: libm::exp(-libm::log(1.0 + share) / n) / x.max(y),
            share,
            steep: apart > 0.0,
        }
    }

    /// Share of `y^n` in the sum.
    fn of_y(&self) -> f64 {
        let of_y = if self.steep { 1.0 } else { self.share };
        of_y / (1.0 + self.share)
    }

    /// The same where the half axis of `y` is longer by a `part` of itself, at most [`SMALL`] either way:
    /// by short series in place of the functions.
    fn longer(&self, part: f64, n: f64) -> Self {
        let ln = small_ln(part);
        let sign = if self.steep { 1.0 } else { -1.0 };
        let share = self.share * small_exp(sign * n * ln);
        let sum = small_ln((share - self.share) / (1.0 + self.share));
        let of_axis = if self.steep { ln } else { 0.0 };
        Self {
            radius: self.radius * small_exp(of_axis - sum / n),
            share,
            steep: self.steep,
        }
    }
}

/// Below this the series are good to the last digits of a millimetre.
const SMALL: f64 = 0.02;

/// `exp(x)` for `x` up to five times [`SMALL`].
fn small_exp(x: f64) -> f64 {
    const FRACTIONS: [f64; 5] = [1.0 / 3.0, 1.0 / 4.0, 1.0 / 5.0, 1.0 / 6.0, 1.0 / 7.0];
    let [third, fourth, fifth, sixth, seventh] = FRACTIONS.map(|f| f * x);
    let inner = 1.0 + fifth * (1.0 + sixth * (1.0 + seventh));
    1.0 + x * (1.0 + 0.5 * x * (1.0 + third * (1.0 + fourth * inner)))
}

/// `ln(1 + x)` for `x` up to three times [`SMALL`].
fn small_ln(x: f64) -> f64 {
    let inner = 1.0 / 5.0 - x * (1.0 / 6.0 - x * (1.0 / 7.0 - x * (1.0 / 8.0 - x * (1.0 / 9.0))));
    x * (1.0 - x * (0.5 - x * (1.0 / 3.0 - x * (0.25 - x * inner))))
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

/// What all directions at one height share.
#[derive(Clone, Debug)]
pub(crate) struct SectionRow {
    /// y of the pole.
    pub(crate) pole: f64,
    half: f64,
    front: Quarter,
    back: Quarter,
    /// Half distance of the arm plates on the pole, where there are any, and the rounding of their
    /// edge: it softens below the armpit, where the plate runs out into the trunk.
    plate: Option<f64>,
    edge: f64,
    /// Its height, for the neck column; none where that has sunk so deep that nothing of it shows.
    neck: Option<f64>,
    swellings: Vec<SwellingRow>,
}

/// The front or the back of a half section.
#[derive(Clone, Debug)]
struct Quarter {
    /// From the pole, without what stands on it.
    depth: f64,
    /// Logarithm of half breadth over depth.
    ln: f64,
    /// Exponent of the superellipse.
    square: f64,
    mounds: Mounds,
}

/// Radii of the parts that make up the surface, before they are blended.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Parts {
    /// Trunk with what stands on it.
    pub(crate) trunk: f64,
    /// Arm plate; infinite where there is none.
    pub(crate) plate: f64,
    /// Neck column; zero or less where there is none.
    pub(crate) neck: f64,
}

impl Surface {
    /// Everything that directions at height `z` share.
    pub(crate) fn row(&self, z: f64) -> SectionRow {
        let st = &self.style;
        let sc = st.scale;
        let c = self.pole.at(z);
        let floor = 8.0 * sc;
        let armpit = self.own.armpit;
        let half = self.half_at(z).max(6.0 * sc) + self.standing.wider(z);
        let below = (armpit - z).max(0.0);
        let edge = {
            let grown = below / (EDGE_HALF_GROWN * sc);
            sc * (st.plate_round + EDGE_GROWS * grown * grown / (1.0 + grown * grown))
        };
        let plate = (below < PLATE_FOOT * sc).then(|| {
            let out = self.plate_low - (armpit - z) * self.plate_growth;
            // Where plate and trunk are as far out, the rounding takes a sixth of its length off both.
            out + below * below / (PLATE_LEAVES * sc) + edge / 6.0
        });
        // Of the ring of the neck base the front lies lowest.
        let under = (self.level(Level::FrontNeck) - z).max(0.0);
        let (back, front) = (self.neck_back(z), self.neck_front(z));
        let out_to = (0.5 * (front + back) - c).abs()
            + self.get(Param::NeckBaseHalf).max(0.5 * (front - back));
        let shows = self.neck_sink(under) < out_to + st.neck_fillet * sc;
        let neck = shows.then_some(z);
        let quarter = |depth: f64, square: f64, mounds: Mounds| Quarter {
            depth,
            ln: libm::log(half / depth),
            square,
            mounds,
        };
        let (square, uneven) = (self.square.at(z), 0.5 * self.uneven.at(z));
        let front = smax(self.front.at(z) - c, floor, floor);
        let back = smax(c - self.back.at(z), floor, floor);
        SectionRow {
            pole: c,
            half,
            front: quarter(front, square - uneven, self.standing.in_front(z)),
            back: quarter(back, square + uneven, self.standing.behind(z)),
            plate,
            edge,
            neck,
            swellings: st
                .swellings
                .iter()
                .filter_map(|s| s.row(z - self.level(s.level()), self.sign))
                .collect(),
        }
    }

    /// The parts in direction `theta` (radians) of `row`.
    pub(crate) fn parts(&self, row: &SectionRow, theta: f64) -> Parts {
        self.parts_towards(row, &Heading::new(theta))
    }

    /// The parts in direction `to` of `row`.
    pub(crate) fn parts_towards(&self, row: &SectionRow, to: &Heading) -> Parts {
        let mut trunk = row.quarter(to).radius(row.half, to);
        for s in &row.swellings {
            trunk += s.at(90.0 - to.degrees);
        }
        self.parts_beside(row, trunk, (to.sin, to.cos))
    }

    /// The parts over the place where direction `to` meets the bare section: as far out to the side as that, so
    /// that nothing need be solved for what stands on it. With sine and cosine of the direction in which they
    /// lie; where a hand has added or taken something, that is `to` itself.
    pub(crate) fn parts_over(&self, row: &SectionRow, to: &Heading) -> (Parts, (f64, f64)) {
        if !row.swellings.is_empty() {
            return (self.parts_towards(row, to), (to.sin, to.cos));
        }
        let (trunk, direction) = row.quarter(to).over(row.half, to);
        (self.parts_beside(row, trunk, direction), direction)
    }

    /// All parts in the direction of this sine and cosine, where the trunk is so far out.
    fn parts_beside(&self, row: &SectionRow, trunk: f64, direction: (f64, f64)) -> Parts {
        let plate = match row.plate {
            None => f64::INFINITY,
            Some(out) => {
                let den = direction.1 + self.get(Param::PlateTurn) * direction.0;
                if den > 0.02 { out / den } else { f64::INFINITY }
            }
        };
        let neck = row
            .neck
            .map_or(-SUNK, |z| self.neck(row.pole, z, direction));
        Parts { trunk, plate, neck }
    }

    /// Distance from the pole to the neck column at height `z` in the direction of this sine and cosine. Its base
    /// is a ring that falls from the nape to the pit of the neck; below the ring it sinks into the shoulders.
    fn neck(&self, pole: f64, z: f64, (sin, cos): (f64, f64)) -> f64 {
        let (nape, pit) = (self.level(Level::Nape), self.level(Level::FrontNeck));
        let ring = pit + (nape - pit) * 0.5 * (1.0 - sin);
        let sc = self.style.scale;
        let at = z.max(ring - NECK_ROOT * sc);
        let half =
            self.get(Param::NeckBaseHalf) + (at - self.level(Level::SideNeck)) * self.neck_taper;
        let (back, front) = (self.neck_back(at), self.neck_front(at));
        let (depth, ahead) = (0.5 * (front - back), 0.5 * (front + back) - pole);
        let sink = self.neck_sink((ring - z).max(0.0));
        let k = ahead / depth;
        let big_c = k * k - 1.0;
        if big_c >= 0.0 {
            return -sink;
        }
        let (ca, sd) = (cos / half, sin / depth);
        let big_a = ca * ca + sd * sd;
        let big_b = sin * ahead / (depth * depth);
        (big_b + (big_b * big_b - big_a * big_c).max(0.0).sqrt()) / big_a - sink
    }

    /// How far the neck column has sunk `under` mm below its ring.
    fn neck_sink(&self, under: f64) -> f64 {
        under * under / (NECK_SINKS * self.style.scale)
    }

    /// Distance from the pole in direction `theta` of `row`.
    pub(crate) fn radius_in(&self, row: &SectionRow, theta: f64) -> f64 {
        self.blend(&self.parts(row, theta), row.edge)
    }

    /// Distance from the pole in direction `to` of `row`.
    pub(crate) fn radius_towards(&self, row: &SectionRow, to: &Heading) -> f64 {
        self.blend(&self.parts_towards(row, to), row.edge)
    }

    /// The place of the surface over the one where direction `to` meets the bare section of `row`: how far
    /// from the pole it lies to the side and to the front. A walk round a section by such places reads half the
    /// surface for a third of the work.
    pub(crate) fn place_over(&self, row: &SectionRow, to: &Heading) -> (f64, f64) {
        let (parts, (sin, cos)) = self.parts_over(row, to);
        let r = self.blend(&parts, row.edge);
        (r * cos, r * sin)
    }

    /// How far behind the pole (`sign` -1) or in front of it (1) the surface of `row` is, `x` out to the side, where
    /// that can be said without looking for it: where nothing but the trunk shows.
    pub(crate) fn depth_at(&self, row: &SectionRow, x: f64, sign: f64) -> Option<f64> {
        let quarter = if sign < 0.0 { &row.back } else { &row.front };
        if !row.swellings.is_empty() || x < 0.0 || x >= row.half {
            return None;
        }
        let y = quarter.depth_at(x, row.half);
        let r = (x * x + y * y).sqrt();
        let parts = self.parts_beside(row, r, (sign * y / r, x / r));
        let fillet = self.style.neck_fillet * self.style.scale;
        let alone = r + row.edge <= parts.plate && parts.neck + fillet <= r;
        alone.then_some(y)
    }

    fn blend(&self, q: &Parts, edge: f64) -> f64 {
        let sc = self.style.scale;
        let clipped = if q.plate.is_finite() {
            smin(q.trunk, q.plate, edge)
        } else {
            q.trunk
        };
        smax(clipped, q.neck, self.style.neck_fillet * sc)
    }

    /// Distance from the pole in direction `theta` at height `z`.
    pub(crate) fn radius(&self, theta: f64, z: f64) -> f64 {
        self.radius_in(&self.row(z), theta)
    }
}

impl SectionRow {
    /// The quarter that `to` points into.
    fn quarter(&self, to: &Heading) -> &Quarter {
        if to.sin >= 0.0 {
            &self.front
        } else {
            &self.back
        }
    }
}

impl Quarter {
    /// The bare section in direction `to`.
    fn met(&self, half: f64, to: &Heading) -> Met {
        let (x, y) = (to.cos / half, to.sin.abs() / self.depth);
        Met::new(x, y, to.ln_tan + self.ln, self.square)
    }

    /// How far from the pole the trunk is `x` mm out to the side, less than `half`.
    fn depth_at(&self, x: f64, half: f64) -> f64 {
        let n = self.square;
        let aside = libm::exp(n * libm::log(x / half));
        let flat = libm::exp(libm::log(1.0 - aside) / n);
        flat * (self.depth + self.more(x, half).0)
    }

    /// The place of the trunk over the one where direction `to` meets the bare section: its distance from the
    /// pole, and sine and cosine of the direction in which it lies.
    fn over(&self, half: f64, to: &Heading) -> (f64, (f64, f64)) {
        let own = (to.sin, to.cos);
        if to.cos < ON_THE_MIDDLE {
            return (self.depth + self.more(0.0, half).0, own);
        }
        let flat = self.met(half, to).radius;
        if self.mounds.iter().all(Option::is_none) {
            return (flat, own);
        }
        let x = flat * to.cos;
        let y = flat * to.sin * (1.0 + self.more(x, half).0 / self.depth);
        let r = (x * x + y * y).sqrt();
        (r, (y / r, x / r))
    }

    /// Distance from the pole to the trunk in direction `to`, where its half breadth is `half`.
    ///
    /// With `d(x)` the depth at `x` out to the side, the section is `(x / half)^n + (y / d(x))^n = 1`. On a
    /// ray that is an equation for the radius, solved by Newton's method.
    fn radius(&self, half: f64, to: &Heading) -> f64 {
        let (sin, x, n) = (to.sin.abs(), to.cos / half, self.square);
        if to.cos < ON_THE_MIDDLE {
            return self.depth + self.more(0.0, half).0;
        }
        let mut met = self.met(half, to);
        let flat = met.radius;
        if self.mounds.iter().all(Option::is_none) {
            return flat;
        }
        let (mut r, mut depth) = (flat, self.depth);
        for _ in 0..MOUND_STEPS {
            let (more, slope) = self.more(r * to.cos, half);
            if more <= 0.0 && r <= flat {
                return flat;
            }
            let part = (self.depth + more) / depth - 1.0;
            depth = self.depth + more;
            met = if part.abs() < SMALL {
                met.longer(part, n)
            } else {
                let ln = self.ln - libm::log(depth / self.depth);
                Met::new(x, sin / depth, to.ln_tan + ln, n)
            };
            let turn = met.of_y() * met.radius / depth * slope * to.cos;
            let step = (r - met.radius) / (1.0 - turn).max(LEAST_TURN);
            r = (r - step).max(0.5 * flat);
            if step.abs() < LAST_MOUND_STEP_MM {
                break;
            }
        }
        r
    }

    /// What all that stands on it adds at `x` mm out to the side, and how that changes with `x`.
    fn more(&self, x: f64, half: f64) -> (f64, f64) {
        let all = self.mounds.iter().flatten().map(|m| m.at(x, half));
        all.fold((0.0, 0.0), |sum, one| (sum.0 + one.0, sum.1 + one.1))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slightly_longer_axis_by_series_is_that_by_the_functions() {
        for n in [1.7, 2.0, 2.9, 5.0] {
            for degrees in [0.0, 1.0, 20.0, 44.0, 46.0, 80.0, 89.0, 90.0] {
                let to = Heading::new(f64::to_radians(degrees));
                let met = |depth: f64| {
                    let ln = libm::log(150.0 / depth);
                    Met::new(to.cos / 150.0, to.sin / depth, to.ln_tan + ln, n)
                };
                for part in [-0.0199, -1e-5, 0.0, 3e-3, 0.0199] {
                    let (near, there) = (met(120.0).longer(part, n), met(120.0 * (1.0 + part)));
                    assert!(
                        (near.radius - there.radius).abs() < 1e-8,
                        "{n} {degrees} {part}"
                    );
                    assert!(
                        (near.of_y() - there.of_y()).abs() < 1e-8,
                        "{n} {degrees} {part}"
                    );
                }
            }
        }
    }
}
