//! What differs between two bodies, and whether a tape can tell.

use crate::compare::Body;
use crate::measure::{Kind, Level, Measure, Side};
use crate::sheet::{Origin, Target, WaistKind};
use crate::tape::Tape;
use crate::tolerance::WAIST_MOVED_TOLERANCE_MM;

/// One measurement of both bodies.
#[derive(Clone, Debug, PartialEq)]
pub struct Difference {
    /// What is measured.
    pub measure: Measure,
    /// On which side: [`Side::Both`] unless one of the bodies has left and right apart.
    pub side: Side,
    /// The first body's.
    pub a: Target,
    /// The second body's.
    pub b: Target,
    /// B less A, mm or radians.
    pub apart: f64,
    /// A difference up to this is what measuring twice, or estimating, can account for: mm or
    /// radians.
    pub limit: f64,
}

impl Difference {
    /// Whether it is no more than measuring or estimating can account for.
    #[must_use]
    pub fn is_noise(&self) -> bool {
        self.apart.abs() <= self.limit
    }

    /// In percent of A; nothing for angles and for gaps to a wall, which start at no natural zero.
    #[must_use]
    pub fn percent(&self) -> Option<f64> {
        let relative = !matches!(self.measure.kind(), Kind::Slope | Kind::Wall);
        (relative && self.a.value > 0.0).then(|| 100.0 * self.apart / self.a.value)
    }

    /// Whether either value was estimated.
    #[must_use]
    pub fn is_estimated(&self) -> bool {
        self.a.origin == Origin::Estimated || self.b.origin == Origin::Estimated
    }

    /// How many times what measuring can account for: the weight in the order of a report.
    fn weight(&self) -> f64 {
        if self.limit > 0.0 {
            self.apart.abs() / self.limit
        } else if self.apart == 0.0 {
            0.0
        } else {
            f64::INFINITY
        }
    }
}

/// The part of the limit that one value brings in: limits of two values add up by their squares.
fn own_limit(t: &Target) -> f64 {
    match (t.origin, t.within) {
        (Origin::Given, None) => t.measure.readings_limit() / std::f64::consts::SQRT_2,
        _ => t.within.unwrap_or(t.plus_minus),
    }
}

/// A difference of these two up to this is what measuring or estimating can account for.
pub(super) fn limit(a: &Target, b: &Target) -> f64 {
    libm::hypot(own_limit(a), own_limit(b))
}

/// On which sides one measurement is looked at: left and right where any of the bodies has them.
pub(super) fn sides<'a>(mut lists: impl Iterator<Item = &'a [Target]>) -> &'static [Side] {
    if lists.all(|list| list.iter().all(|t| t.side == Side::Both)) {
        &[Side::Both]
    } else {
        &[Side::Left, Side::Right]
    }
}

/// The value on one side: that of the whole body where the sides were not told apart.
pub(super) fn of_side(list: &[Target], side: Side) -> Option<Target> {
    list.iter()
        .find(|t| t.side == side)
        .or_else(|| list.iter().find(|t| t.side == Side::Both))
        .cloned()
}

/// Everything that both bodies have, what matters most first: first what a tape can tell, and there
/// what was measured on both; among equals by how many times the limit it differs.
#[must_use]
pub fn differences(a: &Body, b: &Body) -> Vec<Difference> {
    let (av, bv) = if a.waist == b.waist {
        (a.values.clone(), b.values.clone())
    } else {
        (at_natural_waist(a), at_natural_waist(b))
    };
    let mut out = Vec::new();
    for measure in Measure::ALL {
        let of = |list: &[Target]| -> Vec<Target> {
            list.iter()
                .filter(|t| t.measure == measure)
                .cloned()
                .collect()
        };
        let (at, bt) = (of(&av), of(&bv));
        for side in sides([at.as_slice(), bt.as_slice()].into_iter()) {
            let (Some(a), Some(b)) = (of_side(&at, *side), of_side(&bt, *side)) else {
                continue;
            };
            out.push(Difference {
                measure,
                side: *side,
                apart: b.value - a.value,
                limit: limit(&a, &b),
                a,
                b,
            });
        }
    }
    out.sort_by(|x, y| {
        let key = |d: &Difference| (d.is_noise(), d.is_estimated());
        key(x)
            .cmp(&key(y))
            .then(y.weight().total_cmp(&x.weight()))
            .then(x.measure.cmp(&y.measure))
            .then(x.side.cmp(&y.side))
    });
    out
}

/// Measurements that begin or end at the waist that the sheet names.
pub(super) const fn hangs_on_waist(measure: Measure) -> bool {
    matches!(
        measure,
        Measure::GirthWaist
            | Measure::ArcFrontWaist
            | Measure::LengthBackWaist
            | Measure::LengthFrontWaist
            | Measure::LengthSideNeckToWaist
            | Measure::LengthWaistToHip
            | Measure::BreadthWaist
            | Measure::DepthWaist
            | Measure::HeightWaist
    )
}

/// The values of a body with its waist at the natural one: what hangs on another waist is read
/// again off the solid and counts as estimated; without a solid it is left out.
fn at_natural_waist(body: &Body) -> Vec<Target> {
    if body.waist == WaistKind::Natural {
        return body.values.clone();
    }
    let moved = body.solid.as_ref().and_then(|mesh| {
        let natural = *mesh.marks.levels.get(&Level::Waist)?;
        let mut mesh = mesh.clone();
        mesh.marks.levels.insert(Level::WaistTape, natural);
        Some(mesh)
    });
    let tape = moved.as_ref().map(Tape::new);
    body.values
        .iter()
        .filter_map(|t| {
            if !hangs_on_waist(t.measure) {
                return Some(t.clone());
            }
            let value = tape.as_ref()?.read(t.measure, t.side)?;
            Some(Target {
                value,
                origin: Origin::Estimated,
                plus_minus: t.plus_minus.max(WAIST_MOVED_TOLERANCE_MM),
                within: None,
                ..t.clone()
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_limit_is_2_8_technical_errors() {
        // Two tries that usually differ by 10 mm have a technical error of 7.07 mm.
        assert!((Measure::GirthBust.readings_limit() - 2.8 * 7.071_068).abs() < 1e-4);
        let t = Target {
            measure: Measure::GirthBust,
            side: Side::Both,
            value: 900.0,
            origin: Origin::Given,
            plus_minus: 0.0,
            within: None,
        };
        let two = libm::hypot(own_limit(&t), own_limit(&t));
        assert!((two - Measure::GirthBust.readings_limit()).abs() < 1e-9);
    }
}
