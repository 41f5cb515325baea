//! Why what somebody typed is no length, for a message.

use crate::units::Unit;
use crate::units::alike::Alike;

/// Why words are no length. What was typed stands there as a message has it, cut where it is long.
#[derive(Clone, Debug, PartialEq)]
pub enum Misread {
    /// Nothing was typed.
    Nothing,
    /// Signs that only look like those of a file.
    Lookalike {
        /// What was typed.
        typed: String,
        /// The first of those signs.
        alike: Alike,
        /// The same in plain signs.
        plain: String,
    },
    /// A comma where a point belongs.
    DecimalComma {
        /// What was typed.
        typed: String,
        /// The same with a point.
        pointed: String,
    },
    /// No number stands in front.
    NoNumber {
        /// What was typed.
        typed: String,
    },
    /// A power of ten: `1e3`.
    PowerOfTen {
        /// What was typed.
        typed: String,
    },
    /// Larger than anything that is measured.
    TooLarge {
        /// What was typed.
        typed: String,
    },
    /// `44.1/2`, which somebody writes for 44 1/2.
    PointBeforeFraction {
        /// The number as typed.
        number: String,
        /// What was meant, with its unit.
        meant: String,
    },
    /// A fraction of noughts.
    ZeroBelow {
        /// The number as typed.
        number: String,
    },
    /// `161/4`, which somebody writes for 16 1/4.
    RunTogether {
        /// The number as typed.
        number: String,
        /// What may have been meant, each with its unit.
        meant: Vec<String>,
    },
    /// A unit that no file is written in.
    UnknownUnit {
        /// The unit as typed.
        unit: String,
        /// The same length (mm), where it is known, and the unit to write it in.
        same: Option<(f64, Unit)>,
        /// Whether an angle would do too.
        angle: bool,
    },
}

/// The beginning of some text, for a message.
#[must_use]
pub fn clip(text: &str) -> String {
    const LONGEST: usize = 40;
    let mut out: String = text
        .chars()
        .take(LONGEST)
        .map(|c| if c.is_control() { '\u{fffd}' } else { c })
        .collect();
    if text.chars().nth(LONGEST).is_some() {
        out.push('…');
    }
    out
}
