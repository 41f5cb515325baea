//! What may have slipped where a reading does not go with others: the unit, the point, a digit, two
//! readings in each other's place, the waist.

use crate::fact::{AsField, Field};
use crate::measure::Measure;
use crate::sheet::WaistKind;
use crate::sheet::shown::{Shown, read_as};
use crate::text;
use crate::text::{Text, typed};
use crate::units::Unit;

/// A slip that would explain a reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Slip {
    /// Read in a unit, of which it had so many; what that would be.
    Unit(f64, Unit, Shown),
    /// The point slipped; what is right.
    Point(Shown),
    /// Two digits swapped; what is right.
    Swapped(Shown),
    /// One wrong digit; what is right.
    Digit(Shown),
    /// Two readings in each other's place.
    Exchanged(Measure, Measure),
    /// One reading at a lower waist than the natural one.
    LowerWaist(Measure),
    /// All readings at another waist than the sheet says.
    Waist(WaistKind),
}

impl AsField for Slip {
    fn field(&self) -> Field {
        let word = |w: &str| Field::Word(w.to_owned());
        let fits = |w: &str, is: &Shown| vec![word(w), is.measure.field(), is.field()];
        Field::List(match self {
            Self::Unit(_, unit, is) => {
                vec![word("unit"), unit.field(), is.measure.field(), is.field()]
            }
            Self::Point(is) => fits("point", is),
            Self::Swapped(is) => fits("digits", is),
            Self::Digit(is) => fits("digit", is),
            Self::Exchanged(a, b) => vec![word("exchanged"), a.field(), b.field()],
            Self::LowerWaist(m) => vec![word("lower waist"), m.field()],
            Self::Waist(kind) => vec![word("waist"), kind.name().field()],
        })
    }
}

impl From<Slip> for Text {
    fn from(slip: Slip) -> Self {
        match slip {
            Slip::Unit(count, unit, is) => text![
                "was it read in ",
                unit.plural(),
                "? \"",
                read_as(count, unit),
                "\" is ",
                is
            ],
            Slip::Point(is) => text!["has the point slipped? ", is, " would fit"],
            Slip::Swapped(is) => text![
                "are two digits of ",
                is.measure,
                " swapped? ",
                is,
                " would fit"
            ],
            Slip::Digit(is) => text!["is a digit of ", is.measure, " wrong? ", is, " would fit"],
            Slip::Exchanged(a, b) => text!["are ", a, " and ", b, " swapped?"],
            Slip::LowerWaist(m) => text![
                "was ",
                m,
                " taken at a lower waist? take it where an elastic settles"
            ],
            Slip::Waist(kind) => text![
                "was the waist taken ",
                match kind {
                    WaistKind::Natural => "where an elastic settles",
                    WaistKind::Iso => "between the lowest rib and the hip bone",
                    WaistKind::Navel => "at the navel",
                },
                "? say ",
                typed(format!("waist = \"{}\"", kind.name()))
            ],
        }
    }
}

/// Another unit, or another place of the point, in which a length may have been read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Mistaken {
    /// What is right is what was given times this.
    pub(crate) factor: f64,
    /// The unit it was perhaps read in; none for a slipped point.
    pub(crate) unit: Option<Unit>,
}

impl Mistaken {
    /// Every way to misread a length in a sheet of this unit.
    pub(crate) fn all(unit: Unit) -> Vec<Self> {
        let mut all: Vec<Self> = Unit::ALL
            .into_iter()
            .filter(|other| *other != unit)
            .map(|other| Self {
                factor: other.in_mm() / unit.in_mm(),
                unit: Some(other),
            })
            .collect();
        for factor in [10.0, 0.1] {
            // A slipped point may be the same as another unit: say it once.
            if all.iter().all(|m| (m.factor / factor - 1.0).abs() > 0.01) {
                all.push(Self { factor, unit: None });
            }
        }
        all
    }

    /// The slip that explains this reading, if it is one.
    pub(crate) fn slip(self, read: Shown) -> Slip {
        let right = read.with(read.value * self.factor);
        match self.unit {
            Some(unit) => Slip::Unit(read.unit.from_mm(read.value), unit, right),
            None => Slip::Point(right),
        }
    }
}

/// Numbers that differ by less were written alike: a unit and back leaves less of an error.
const SAME_NUMBER: f64 = 1e-6;

/// A length with each two neighbouring digits swapped, mm. Tenths are written as a digit; of inches the
/// whole ones are, and their fractions stay.
pub(crate) fn swapped_digits(mm: f64, unit: Unit) -> Vec<f64> {
    let unit_mm = unit.in_mm();
    let step = match unit {
        Unit::In => unit_mm,
        Unit::Cm | Unit::Mm => unit_mm / 10.0,
    };
    let steps = mm / step;
    let count = match unit {
        // Thirteen inches are not twelve and a hair less than one.
        Unit::In => (steps + SAME_NUMBER).floor(),
        Unit::Cm | Unit::Mm => steps.round(),
    };
    let rest = match unit {
        Unit::In => mm - count * step,
        Unit::Cm | Unit::Mm => 0.0,
    };
    if !(1.0..1e6).contains(&count) {
        return Vec::new();
    }
    let digits: Vec<char> = format!("{count}").chars().collect();
    (1..digits.len())
        .filter(|&i| digits[i - 1] != digits[i])
        .filter_map(|i| {
            let mut tried = digits.clone();
            tried.swap(i - 1, i);
            let count: f64 = tried.iter().collect::<String>().parse().ok()?;
            Some(count * step + rest)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::MM_PER_INCH;

    /// Digits of whole inches change places, a fraction stays; of centimetres the tenth is a digit.
    #[test]
    fn digits_are_those_that_were_written() {
        let close = |all: &[f64], wanted: &[f64]| {
            all.len() == wanted.len() && all.iter().zip(wanted).all(|(a, b)| (a - b).abs() < 1e-6)
        };
        assert!(close(&swapped_digits(768.0, Unit::Cm), &[678.0, 786.0]));
        let inches = |v: f64| v * MM_PER_INCH;
        assert!(close(
            &swapped_digits(inches(38.25), Unit::In),
            &[inches(83.25)]
        ));
        assert!(close(
            &swapped_digits(inches(13.0), Unit::In),
            &[inches(31.0)]
        ));
        // Two that are alike cannot be swapped.
        assert!(close(&swapped_digits(inches(33.5), Unit::In), &[]));
    }

    /// Of a slipped point and another unit that come to the same, the unit is said.
    #[test]
    fn each_misreading_is_tried_once() {
        let units = |unit| -> Vec<(i64, Option<Unit>)> {
            let one = |m: Mistaken| ((m.factor * 100.0).round() as i64, m.unit);
            Mistaken::all(unit).into_iter().map(one).collect()
        };
        assert_eq!(
            units(Unit::Cm),
            [(10, Some(Unit::Mm)), (254, Some(Unit::In)), (1000, None)]
        );
    }
}
