//! Sizes and weights that a writer shows in the unit that the reader knows.

use crate::text::{Part, Text};
use crate::units::Unit;

/// How a number is shown in the unit that somebody reads; decimals are those of metric units.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ShownAs {
    /// A length as a tape shows it, mm.
    Tape,
    /// By how much a length may be off, mm: `± 0.4 cm`.
    PlusMinus,
    /// A size at the workbench, mm.
    Bench(usize),
    /// A size as a rule shows it, mm.
    Rule(usize),
    /// A size off a board, as finely as a rule is read, mm.
    Fine,
    /// A long run, mm.
    Run(usize),
    /// A length of cloth as it is cut off the bolt, mm.
    OffTheBolt,
    /// An area of cloth or batting, mm².
    Cloth(usize),
    /// A weight, kg.
    Weight(usize),
}

impl ShownAs {
    pub(super) fn words(self, value: f64, unit: Unit) -> String {
        match self {
            Self::Tape => unit.show(value),
            Self::PlusMinus => unit.show_plus_minus(value),
            Self::Bench(decimals) => unit.bench(value, decimals),
            Self::Rule(decimals) => unit.rule(value, decimals),
            Self::Fine => unit.fine(value),
            Self::Run(decimals) => unit.run(value, decimals),
            Self::OffTheBolt => unit.off_the_bolt(value),
            Self::Cloth(decimals) => unit.cloth(value, decimals),
            Self::Weight(decimals) => unit.weight(value, decimals),
        }
    }
}

/// A length (mm) as a tape shows it.
#[must_use]
pub fn tape(mm: f64) -> Text {
    Part::Shown(mm, ShownAs::Tape).into()
}

/// A size (mm) at the workbench, with so many metric decimals.
#[must_use]
pub fn bench(mm: f64, decimals: usize) -> Text {
    Part::Shown(mm, ShownAs::Bench(decimals)).into()
}

/// A size (mm) as a rule shows it, with so many metric decimals.
#[must_use]
pub fn rule(mm: f64, decimals: usize) -> Text {
    Part::Shown(mm, ShownAs::Rule(decimals)).into()
}

/// A long run (mm), with so many metric decimals.
#[must_use]
pub fn run(mm: f64, decimals: usize) -> Text {
    Part::Shown(mm, ShownAs::Run(decimals)).into()
}

/// A weight (kg), with so many metric decimals.
#[must_use]
pub fn weight(kg: f64, decimals: usize) -> Text {
    Part::Shown(kg, ShownAs::Weight(decimals)).into()
}
