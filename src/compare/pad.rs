//! From a smaller form to a body: how thick the padding is, in front, behind and at the sides.
//!
//! The form stands inside the body with its nape at the same height, moved forward or back so that
//! the padding is as even as the two shapes allow. Thickness is measured level, along rays
//! from the middle of the body's section. Padding only adds: a form that is larger or longer
//! somewhere is refused.
//!
//! # How does a form stand inside the body it is padded out to?
//! Napes level, moved forward or back until the squares of all thicknesses add up to the least,
//! places where it would stand out counting 25 times; thickness along level rays from the middle of
//! the body's section. Two sheets say nothing of how a form and a body stand in the room, and even
//! padding is what somebody would lay. Above the middle of the armhole the shoulders are too flat
//! for level rays.

use std::f64::consts::{PI, TAU};

use crate::compare::Body;
use crate::compare::facts::CompareFact;
use crate::compare::judged::judged;
use crate::compare::shape::{CutAt, Spot, crossing, cut};
use crate::error::{Error, Finding, Severity};
use crate::geom::{Outline, Point2, Point3};
use crate::measure::{Level, Measure};
use crate::mesh::{Mesh, Slicer};
use crate::sheet::WaistKind;
use crate::tape::taut;
use crate::tolerance::{
    FINISHED_BROAD_TOLERANCE_MM, FINISHED_NARROW_TOLERANCE_MM, PAD_STEP_ACCURACY_MM,
};
use crate::units::Unit;

/// Directions in which thickness is read at a height.
const RAYS: usize = 72;
/// Directions that are looked at to place the form inside the body.
const RAYS_TO_PLACE: usize = 24;
/// The form is moved forward and back by at most this, mm. Our choice: more than two upright people
/// differ by at the nape.
const MOST_FORWARD_MM: f64 = 60.0;
/// Steps of that, mm.
const FORWARD_STEP_MM: f64 = 2.0;
/// Batting bought beyond what the pieces cover, for cutting it out (common practice, no source).
const WASTE: f64 = 0.15;

/// The padding at one level of the body.
#[derive(Clone, Debug, PartialEq)]
pub struct PadLevel {
    /// The level.
    pub level: Level,
    /// How far below the nape, mm.
    pub below: f64,
    /// The tape round the bare form at this height, mm; nothing where the form does not reach.
    pub form: f64,
    /// The body's girth, mm.
    pub body: f64,
    /// Thickness if it were the same all round, mm: the difference of the girths by 2 pi.
    pub evenly: f64,
    /// Thickness in front, behind, to the right and to the left, mm.
    pub around: [f64; 4],
}

/// One layer of batting, the first lies on the form.
#[derive(Clone, Debug, PartialEq)]
pub struct PadLayer {
    /// What it covers, square mm.
    pub area: f64,
    /// From how far below the nape to how far, mm.
    pub reach: [f64; 2],
    /// Part of the front, the back, the right and the left side that it covers, 0 to 1.
    pub part: [f64; 4],
}

/// Everything about padding a form out to a body.
#[derive(Clone, Debug)]
pub struct PadPlan {
    /// The padding at each level, from the neck down.
    pub levels: Vec<PadLevel>,
    /// Layers of batting, from the form outward.
    pub layers: Vec<PadLayer>,
    /// Thickness of one layer under the cover, mm.
    pub batting: f64,
    /// Batting to buy, square mm: all layers and the waste of cutting them out.
    pub area: f64,
    /// The neck's padding, mm, the same all round; nothing where a girth is missing.
    pub neck: Option<f64>,
    /// Sections of the body and of the form inside it, at the levels.
    pub sections: Vec<(Level, [Outline; 2])>,
    /// Spots of the front and of the back with the thickness there.
    pub spots: [Vec<Spot>; 2],
    /// What else is to know; never a refusal.
    pub findings: Vec<Finding>,
}

/// How many layers a thickness takes: the nearest whole number, so that edges end where half a
/// layer would be left.
#[must_use]
pub fn layers(thickness: f64, batting: f64) -> usize {
    (thickness / batting + 0.5).floor().max(0.0) as usize
}

/// The two sections at one height of the body.
struct Ring {
    z: f64,
    body: CutAt,
    form: Outline,
}

impl Ring {
    /// Thickness in a direction with the form moved `forward`.
    fn thickness(&self, angle: f64, forward: f64) -> Option<f64> {
        let reach = self.body.outline.ray(self.body.middle, angle)?;
        let from = Point2::new(self.body.middle.x, self.body.middle.y - forward);
        // A form that does not reach this direction leaves all of it to the padding.
        Some(reach - self.form.ray(from, angle).unwrap_or(0.0))
    }

    /// By how much the tape round the body is longer than that round the form.
    fn larger(&self) -> f64 {
        taut::girth(&self.body.outline.points) - taut::girth(&self.form.points)
    }
}

fn level(mesh: &Mesh, level: Level) -> Result<f64, Error> {
    mesh.marks
        .levels
        .get(&level)
        .copied()
        .ok_or_else(|| Error::request(CompareFact::NoLevel { level }))
}

/// How the smaller `form` is padded out to `body`, with batting that is `batting` mm thick under the
/// cover. Messages are in `unit`.
///
/// # Errors
/// [`Error::Comparison`] with every reason when the form is larger somewhere, or longer in the
/// back (a longer shoulder is a finding); [`Error::Request`] when one of the two has no solid.
pub fn pad_out(form: &Body, body: &Body, batting: f64, unit: Unit) -> Result<PadPlan, Error> {
    let (Some(f), Some(b)) = (&form.solid, &body.solid) else {
        return Err(Error::request(CompareFact::TableIsNoForm));
    };
    let mut findings = judged(form, body, unit);
    let drop = level(f, Level::Nape)? - level(b, Level::Nape)?;
    let rings = rings(f, b, drop)?;
    findings.extend(larger_round(&rings, level(b, Level::Nape)?, unit));
    if findings.iter().any(|x| x.severity == Severity::Refusal) {
        return Err(Error::Comparison(findings));
    }
    let forward = placed(&rings);
    findings.extend(outside(&rings, forward, level(b, Level::Nape)?, unit));
    findings.extend(short(f, b, drop, unit)?);
    let nape = level(b, Level::Nape)?;
    let layers = layered(&rings, forward, nape, batting);
    let area = layers.iter().map(|l| l.area).sum::<f64>() * (1.0 + WASTE);
    let mut levels = Vec::new();
    let mut sections = Vec::new();
    let (cut_form, cut_body) = (Slicer::new(f), Slicer::new(b));
    for trunk in Level::TRUNK {
        let (l, girth) = match trunk {
            Level::Waist => (waist_level(body), Some(Measure::GirthWaist)),
            level => (level, level.girth()),
        };
        let value = girth.and_then(|girth| body.value(girth));
        let (Some(z), Some(value)) = (b.marks.levels.get(&l), value) else {
            continue;
        };
        let (Some(section), Some(inner)) = (cut(&cut_body, *z), cut(&cut_form, z + drop)) else {
            continue;
        };
        let ring = Ring {
            z: *z,
            body: section,
            form: inner.outline,
        };
        let of = |angle: f64| ring.thickness(angle, forward);
        let (Some(front), Some(back), Some(right), Some(left)) =
            (of(PI / 2.0), of(-PI / 2.0), of(0.0), of(PI))
        else {
            continue;
        };
        let bare = taut::girth(&ring.form.points);
        levels.push(PadLevel {
            level: l,
            below: nape - z,
            form: bare,
            body: value,
            evenly: (value - bare) / TAU,
            around: [front, back, right, left],
        });
        let moved = ring
            .form
            .points
            .iter()
            .map(|p| Point2::new(p.x, p.y + forward))
            .collect();
        sections.push((l, [ring.body.outline, Outline::new(moved)]));
    }
    let neck = |x: &Body| x.value(Measure::GirthNeck);
    Ok(PadPlan {
        levels,
        layers,
        batting,
        area,
        neck: neck(body).zip(neck(form)).map(|(b, f)| (b - f) / TAU),
        sections,
        spots: [true, false].map(|front| spots(&rings, forward, front)),
        findings,
    })
}

const fn waist_level(body: &Body) -> Level {
    match body.waist {
        WaistKind::Natural => Level::Waist,
        WaistKind::Iso | WaistKind::Navel => Level::WaistTape,
    }
}

/// Sections of both, a step apart, from the lower end that both have up to the middle of the armhole:
/// above it the shoulders lie so flat that a level distance says nothing of a thickness.
fn rings(form: &Mesh, body: &Mesh, drop: f64) -> Result<Vec<Ring>, Error> {
    let low = level(body, Level::Hem)?.max(level(form, Level::Hem)? - drop);
    let high = level(body, Level::MidArmscye)?.min(level(form, Level::MidArmscye)? - drop);
    let count = ((high - low) / PAD_STEP_ACCURACY_MM).floor().max(0.0) as usize;
    let (f, b) = (Slicer::new(form), Slicer::new(body));
    let rings: Vec<Ring> = (0..=count)
        .filter_map(|i| {
            // The ends are flat: half a step inside.
            let z = low + PAD_STEP_ACCURACY_MM * (i as f64 + 0.5);
            (z < high).then_some(())?;
            Some(Ring {
                z,
                body: cut(&b, z)?,
                form: cut(&f, z + drop)?.outline,
            })
        })
        .collect();
    if rings.len() < 2 {
        return Err(Error::request(CompareFact::NoCommonHeight));
    }
    Ok(rings)
}

/// The height at which the form is most larger round than the body, if it is beyond what a finished
/// form may miss: its levels lie elsewhere than the body's.
fn larger_round(rings: &[Ring], nape: f64, unit: Unit) -> Option<Finding> {
    let worst = rings
        .iter()
        .min_by(|a, b| a.larger().total_cmp(&b.larger()))?;
    (worst.larger() < -FINISHED_BROAD_TOLERANCE_MM).then(|| {
        let fact = CompareFact::LargerRound {
            below: nape - worst.z,
            by: -worst.larger(),
            unit,
        };
        Finding::of(Severity::Refusal, fact)
    })
}

/// A place where the form stands out of the body weighs this many times as much as one where the
/// padding is as thick. Our choice: batting is easily laid thicker, and a form is not easily pared.
const OUTSIDE_WEIGHT: f64 = 25.0;

/// How far forward the form stands inside the body: where the squares of all thicknesses add up to
/// the least, so that the padding is as even as the two shapes allow.
fn placed(rings: &[Ring]) -> f64 {
    let steps = (MOST_FORWARD_MM / FORWARD_STEP_MM) as i32;
    let unevenness = |forward: f64| {
        rings
            .iter()
            .flat_map(|r| {
                (0..RAYS_TO_PLACE).filter_map(move |k| {
                    r.thickness(TAU * k as f64 / RAYS_TO_PLACE as f64, forward)
                })
            })
            .map(|t| {
                if t < 0.0 {
                    OUTSIDE_WEIGHT * t * t
                } else {
                    t * t
                }
            })
            .sum::<f64>()
    };
    let mut best = (f64::INFINITY, 0.0);
    for i in -steps..=steps {
        let forward = FORWARD_STEP_MM * f64::from(i);
        let found = unevenness(forward);
        // Of places that are as good, the one that moves least.
        if found < best.0 || (found <= best.0 && forward.abs() < f64::abs(best.1)) {
            best = (found, forward);
        }
    }
    best.1
}

/// Where the form stands furthest out of the body, if it is beyond what a finished form may miss.
fn outside(rings: &[Ring], forward: f64, nape: f64, unit: Unit) -> Option<Finding> {
    let worst = rings
        .iter()
        .flat_map(|r| {
            (0..RAYS).filter_map(move |k| {
                let angle = TAU * k as f64 / RAYS as f64;
                Some((r.thickness(angle, forward)?, r.z, angle))
            })
        })
        .min_by(|a, b| a.0.total_cmp(&b.0))?;
    (worst.0 < -FINISHED_NARROW_TOLERANCE_MM).then(|| {
        let fact = CompareFact::StandsOut {
            below: nape - worst.1,
            by: -worst.0,
            side: sector(worst.2),
            unit,
        };
        Finding::of(Severity::Warning, fact)
    })
}

/// Which of the four sides a direction lies on.
fn sector(angle: f64) -> usize {
    let turn = angle.rem_euclid(TAU) / (PI / 2.0);
    match (turn + 0.5).floor() as i64 % 4 {
        0 => 2,
        1 => 0,
        2 => 3,
        _ => 1,
    }
}

/// Where the body goes on below the form.
fn short(form: &Mesh, body: &Mesh, drop: f64, unit: Unit) -> Result<Option<Finding>, Error> {
    let lack = level(form, Level::Hem)? - drop - level(body, Level::Hip)?;
    let fact = CompareFact::EndsAboveHip { by: lack, unit };
    Ok((lack > 0.0).then(|| Finding::of(Severity::Warning, fact)))
}

/// The layers of batting: each covers every cell of the body's surface that is thick enough.
fn layered(rings: &[Ring], forward: f64, nape: f64, batting: f64) -> Vec<PadLayer> {
    let angle = |k: usize| TAU * k as f64 / RAYS as f64;
    let point = |r: &Ring, k: usize| -> Option<Point3> {
        let reach = r.body.outline.ray(r.body.middle, angle(k))?;
        let (s, c) = (libm::sin(angle(k)), libm::cos(angle(k)));
        Some(Point3::new(
            r.body.middle.x + reach * c,
            r.body.middle.y + reach * s,
            r.z,
        ))
    };
    let mut out: Vec<PadLayer> = Vec::new();
    let mut whole = [0.0; 4];
    for pair in rings.windows(2) {
        let (low, high) = (&pair[0], &pair[1]);
        for k in 0..RAYS {
            let next = (k + 1) % RAYS;
            let (Some(a), Some(b), Some(c), Some(d)) = (
                point(low, k),
                point(low, next),
                point(high, next),
                point(high, k),
            ) else {
                continue;
            };
            // Half the cross product of the diagonals is the area of a flat quadrilateral.
            let area = (c - a).cross(&(d - b)).norm() / 2.0;
            let side = sector(angle(k) + PI / RAYS as f64);
            whole[side] += area;
            let middle = angle(k) + PI / RAYS as f64;
            let thick = [low, high].map(|r| r.thickness(middle, forward));
            let [Some(t0), Some(t1)] = thick else {
                continue;
            };
            for n in 0..layers(f64::midpoint(t0, t1), batting) {
                if out.len() <= n {
                    out.push(PadLayer {
                        area: 0.0,
                        reach: [f64::INFINITY, f64::NEG_INFINITY],
                        part: [0.0; 4],
                    });
                }
                let layer = &mut out[n];
                layer.area += area;
                layer.part[side] += area;
                layer.reach[0] = layer.reach[0].min(nape - high.z);
                layer.reach[1] = layer.reach[1].max(nape - low.z);
            }
        }
    }
    for layer in &mut out {
        for (part, whole) in layer.part.iter_mut().zip(whole) {
            *part /= whole.max(f64::MIN_POSITIVE);
        }
    }
    out
}

/// Spots for a map are this far apart, mm.
const SPOT_STEP_MM: f64 = 26.0;

fn spots(rings: &[Ring], forward: f64, front: bool) -> Vec<Spot> {
    let every = (SPOT_STEP_MM / PAD_STEP_ACCURACY_MM).round() as usize;
    let mut out = Vec::new();
    for ring in rings.iter().rev().step_by(every.max(1)) {
        let Some((low, high)) = ring.body.outline.bounds() else {
            continue;
        };
        let most = ((high.x - low.x) / 2.0 / SPOT_STEP_MM).floor() as i32;
        for i in -most..=most {
            let x = ring.body.middle.x + SPOT_STEP_MM * f64::from(i);
            let Some(y) = crossing(&ring.body.outline, x, front) else {
                continue;
            };
            let from = Point2::new(x, y) - ring.body.middle;
            if let Some(apart) = ring.thickness(libm::atan2(from.y, from.x), forward) {
                out.push(Spot {
                    x,
                    z: ring.z,
                    apart,
                });
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::compare::SIDES;

    #[test]
    fn layers_end_where_half_of_one_is_left() {
        for (thickness, n) in [(-3.0, 0), (0.0, 0), (1.9, 0), (2.0, 1), (5.9, 1), (6.0, 2)] {
            assert_eq!(layers(thickness, 4.0), n, "{thickness}");
        }
    }

    #[test]
    fn sides_are_a_quarter_turn_each() {
        for (degrees, side) in [
            (0.0_f64, "on the right"),
            (44.0, "on the right"),
            (46.0, "in front"),
            (134.0, "in front"),
            (136.0, "on the left"),
            (-90.0, "behind"),
            (-46.0, "behind"),
            (-44.0, "on the right"),
        ] {
            assert_eq!(SIDES[sector(degrees.to_radians())], side, "{degrees}");
        }
    }
}
