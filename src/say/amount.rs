//! A number as a person reads it; the name of its unit stands elsewhere, above its column or in the heading.

use std::fmt;

use crate::measure::{Kind, Measure};
use crate::units;
use crate::units::Unit;

/// What a number is of, and how finely it is written. Lengths are in mm, angles in radians.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum AmountScale {
    /// Of anything, with so many decimals.
    Plain(usize),
    /// The same with its sign.
    Signed(usize),
    /// Of a length as a tape shows it.
    Tape(Unit),
    /// Of a length as a tape shows it beside this one.
    Beside(Unit, f64),
    /// Of a difference that a tape shows, with its sign.
    TapeSigned(Unit),
    /// Of a difference finer than a tape shows it, with its sign.
    Apart(Unit),
    /// Of a half-width.
    HalfWidth(Unit),
    /// Of an angle.
    Angle,
    /// Of a difference of angles, with its sign.
    AngleSigned,
    /// Of a size as a rule shows it, with so many decimals of a millimetre.
    Rule(Unit, usize),
    /// Of a size at the workbench, with so many decimals of a millimetre.
    Bench(Unit, usize),
    /// Of a size as finely as a rule is read.
    Fine(Unit),
    /// Of a size as a drill has it.
    Drill(Unit),
    /// Of a long run.
    Run(Unit, usize),
    /// Of a weight, in kg.
    Weight(Unit, usize),
    /// Of a density, in kg per cubic metre.
    Density(Unit),
}

/// A number.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Amount {
    value: f64,
    scale: AmountScale,
    /// What stands before it: that it is estimated, that it is a half-width.
    mark: &'static str,
}

impl Amount {
    pub(super) const fn new(value: f64, scale: AmountScale) -> Self {
        Self {
            value,
            scale,
            mark: "",
        }
    }

    /// So many.
    pub(super) const fn count(n: usize) -> Self {
        Self::new(n as f64, AmountScale::Plain(0))
    }

    /// What a measurement is.
    pub(super) const fn of(measure: Measure, value: f64, unit: Unit) -> Self {
        let scale = if is_angle(measure) {
            AmountScale::Angle
        } else {
            AmountScale::Tape(unit)
        };
        Self::new(value, scale)
    }

    /// The same beside another value of it.
    pub(super) const fn beside(measure: Measure, value: f64, base: f64, unit: Unit) -> Self {
        let scale = if is_angle(measure) {
            AmountScale::Angle
        } else {
            AmountScale::Beside(unit, base)
        };
        Self::new(value, scale)
    }

    /// By how much two of a measurement differ, with its sign, as a tape shows it.
    pub(super) const fn signed(measure: Measure, apart: f64, unit: Unit) -> Self {
        let scale = if is_angle(measure) {
            AmountScale::AngleSigned
        } else {
            AmountScale::TapeSigned(unit)
        };
        Self::new(apart, scale)
    }

    /// The same, more finely.
    pub(super) const fn apart(measure: Measure, apart: f64, unit: Unit) -> Self {
        let scale = if is_angle(measure) {
            AmountScale::AngleSigned
        } else {
            AmountScale::Apart(unit)
        };
        Self::new(apart, scale)
    }

    /// How far a measurement may be off.
    pub(super) const fn half_width(measure: Measure, value: f64, unit: Unit) -> Self {
        let scale = if is_angle(measure) {
            AmountScale::Angle
        } else {
            AmountScale::HalfWidth(unit)
        };
        Self::new(value, scale)
    }

    /// The same with this before it.
    pub(super) const fn marked(self, mark: &'static str) -> Self {
        Self { mark, ..self }
    }
}

/// Whether it is an angle, which no unit of length shows.
pub(super) const fn is_angle(measure: Measure) -> bool {
    matches!(measure.kind(), Kind::Slope)
}

impl fmt::Display for Amount {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let v = self.value;
        let written = match self.scale {
            AmountScale::Plain(decimals) => units::fixed(v, decimals),
            AmountScale::Signed(decimals) => units::signed(v, decimals),
            AmountScale::Tape(unit) => unit.show_bare(v),
            AmountScale::Beside(unit, base) => unit.beside(v, base),
            AmountScale::TapeSigned(unit) => unit.signed_bare(v),
            AmountScale::Apart(unit) => unit.difference_bare(v),
            AmountScale::HalfWidth(unit) => unit.spread_bare(v),
            AmountScale::Angle => units::show_degrees(v),
            AmountScale::AngleSigned => units::show_degrees_difference(v),
            AmountScale::Rule(unit, decimals) => unit.rule_bare(v, decimals),
            AmountScale::Bench(unit, decimals) => unit.bench_bare(v, decimals),
            AmountScale::Fine(unit) => unit.fine_bare(v),
            AmountScale::Drill(unit) => unit.drill_bare(v),
            AmountScale::Run(unit, decimals) => unit.run_bare(v, decimals),
            AmountScale::Weight(unit, decimals) => unit.weight_bare(v, decimals),
            AmountScale::Density(unit) => unit.density_bare(v),
        };
        f.pad(&format!("{}{written}", self.mark))
    }
}
