//! What stands after a verdict where the form as it will be built is another matter than its solid.

use crate::form::bands;
use crate::form::bands::off_as_built;
use crate::measure::Kind;
use crate::say::table::{Cell, cells};
use crate::say::words;
use crate::tape::Reading;
use crate::tolerance::FINISHED_BROAD_TOLERANCE_MM;
use crate::units::Unit;

/// Why the form as it will be built is another matter than its solid.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Apart {
    /// Padding mends it.
    Padded,
    /// The steps of the layers leave it.
    Stepped,
}

impl Apart {
    /// The word after a verdict.
    const fn word(self) -> &'static str {
        match self {
            Self::Padded => "pad",
            Self::Stepped => "off",
        }
    }

    /// What that word means.
    const fn meaning(self) -> &'static str {
        match self {
            Self::Padded => {
                "as built it is off the sheet, and padding mends it, as the step “Pad” of the guide says"
            }
            Self::Stepped => {
                "as built it is off the sheet by more than a hand would be; the steps of the layers cause \
                 it, and thinner layers come nearer"
            }
        }
    }
}

fn apart(r: &Reading) -> Option<Apart> {
    let on_card = bands::ROWS.contains(&r.target.measure);
    let far = r.built.is_some_and(|built| {
        r.target.measure.kind() != Kind::Slope
            && (built - r.target.value).abs() > FINISHED_BROAD_TOLERANCE_MM
    });
    match (off_as_built(r), !on_card && far) {
        (true, _) => Some(Apart::Padded),
        (_, true) => Some(Apart::Stepped),
        _ => None,
    }
}

/// The verdict on the solid, and a word after it where the form as it will be built is another matter.
pub(super) fn verdict(r: &Reading, on_solid: String) -> String {
    match apart(r) {
        Some(apart) => format!("{on_solid}, {}", apart.word()),
        None => on_solid,
    }
}

/// What the words after a verdict mean, of those that some reading has.
pub(super) fn meaning<'a>(readings: impl Iterator<Item = &'a Reading>) -> Option<String> {
    let some: Vec<Apart> = readings.filter_map(apart).collect();
    let kinds = [Apart::Padded, Apart::Stepped].into_iter();
    let all: Vec<String> = kinds
        .filter(|kind| some.contains(kind))
        .map(|kind| format!("{}: {}", kind.word(), kind.meaning()))
        .collect();
    (!all.is_empty()).then(|| all.join("; "))
}

/// A reading on the solid and as built beside what was asked, and what is said of it.
pub(super) fn row(r: &Reading, verdict: String, unit: Unit) -> Vec<Cell> {
    cells![
        words::title(r),
        words::asked(r, unit),
        words::value(r, r.solid, unit),
        words::difference(r, r.solid, unit),
        words::value(r, r.built, unit),
        words::difference(r, r.built, unit),
        verdict,
    ]
}
