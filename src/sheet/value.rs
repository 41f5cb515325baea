//! One measurement as a sheet writes it: a number, words with a unit, a value with its half-width,
//! or left and right apart.

use toml::de::DeTable;

use crate::measure::{Kind, Measure, Side};
use crate::sheet::Given;
use crate::sheet::facts::{SheetFact, Written};
use crate::sheet::keys;
use crate::sheet::plausible;
use crate::sheet::shown::Shown;
use crate::source::{Source, Value};
use crate::tolerance::{BEYOND_MM, LEAST_READING_MM};
use crate::units;
use crate::units::{AngleOrLength, Unit};

/// Reads every measurement of one table.
pub(super) fn read_table<'a>(
    source: &mut Source<'a>,
    table: &str,
    values: &DeTable<'a>,
    unit: Unit,
    given: &mut Vec<Given>,
) {
    for (key, value) in values {
        let typed = key.get_ref().as_ref();
        let name = if typed == "chest" && keys::keys_of(table).contains(&"bust") {
            if values.contains_key("bust") {
                let table = table.to_owned();
                source.refuse(key.span(), SheetFact::BustAndChest { table });
                continue;
            }
            "bust"
        } else {
            typed
        };
        let dotted = format!("{table}.{name}");
        match Measure::from_key(&dotted).filter(|m| m.is_sheet_key()) {
            Some(measure) => {
                let typed = format!("{table}.{typed}");
                let reader = One {
                    measure,
                    key: &typed,
                    unit,
                };
                reader.read(source, key.span(), value, given);
            }
            None => keys::unknown_key(source, table, key, value),
        }
    }
}

/// What may stand beside a value.
#[derive(Clone, Copy, Default)]
struct Beside<'v, 'a> {
    within: Option<&'v Value<'a>>,
    sure: Option<&'v Value<'a>>,
}

impl<'v, 'a> Beside<'v, 'a> {
    fn of(table: &'v DeTable<'a>) -> Self {
        Self {
            within: table.get("within"),
            sure: table.get("sure"),
        }
    }
}

/// One measurement being read.
struct One<'k> {
    measure: Measure,
    /// The dotted key as typed.
    key: &'k str,
    unit: Unit,
}

impl One<'_> {
    fn read<'a>(
        &self,
        source: &mut Source<'a>,
        key_at: std::ops::Range<usize>,
        value: &Value<'a>,
        given: &mut Vec<Given>,
    ) {
        let Some(table) = value.get_ref().as_table() else {
            // Point at the whole of `bust = 96.5`.
            let at = key_at.start..value.span().end;
            let bare = (value, Beside::default());
            self.keep(source, self.key, Side::Both, &at, bare, given);
            return;
        };
        let two_sided = table.contains_key("left") || table.contains_key("right");
        let known: &[&str] = if two_sided {
            &["left", "right", "within", "sure"]
        } else {
            &["value", "within", "sure"]
        };
        for (key, _) in table {
            if !known.contains(&key.get_ref().as_ref()) {
                let form = if two_sided {
                    Written::Sides
                } else {
                    Written::Value
                };
                source.refuse(key.span(), unknown_part(self.key, key.get_ref(), form));
            }
        }
        let shared = Beside::of(table);
        if two_sided {
            if !self.measure.info().paired {
                let key = self.key.to_owned();
                source.refuse(value.span(), SheetFact::NoSides { key });
                return;
            }
            for (name, side) in [("left", Side::Left), ("right", Side::Right)] {
                if let Some(value) = table.get(name) {
                    let key = format!("{}.{name}", self.key);
                    self.one_side(source, &key, side, value, shared, given);
                }
            }
        } else if let Some(inner) = table.get("value") {
            let at = key_at.start..value.span().end;
            self.keep(source, self.key, Side::Both, &at, (inner, shared), given);
        } else {
            let fact = SheetFact::NoReading {
                key: self.key.to_owned(),
                form: Written::Value,
            };
            source.refuse(value.span(), fact);
        }
    }

    fn one_side<'a>(
        &self,
        source: &mut Source<'a>,
        key: &str,
        side: Side,
        value: &Value<'a>,
        shared: Beside<'_, 'a>,
        given: &mut Vec<Given>,
    ) {
        let Some(table) = value.get_ref().as_table() else {
            self.keep(source, key, side, &value.span(), (value, shared), given);
            return;
        };
        for (inner, _) in table {
            if !["value", "within", "sure"].contains(&inner.get_ref().as_ref()) {
                source.refuse(
                    inner.span(),
                    unknown_part(key, inner.get_ref(), Written::OneSide),
                );
            }
        }
        match table.get("value") {
            Some(inner) => {
                let own = Beside::of(table);
                let beside = Beside {
                    within: own.within.or(shared.within),
                    sure: own.sure.or(shared.sure),
                };
                self.keep(source, key, side, &value.span(), (inner, beside), given);
            }
            None => source.refuse(
                value.span(),
                SheetFact::NoReading {
                    key: key.to_owned(),
                    form: Written::OneSide,
                },
            ),
        }
    }

    /// Reads the number, checks what holds for any number, and keeps it.
    fn keep<'a>(
        &self,
        source: &mut Source<'a>,
        key: &str,
        side: Side,
        at: &std::ops::Range<usize>,
        (value, beside): (&Value<'a>, Beside<'_, 'a>),
        given: &mut Vec<Given>,
    ) {
        let Some((measure, number)) = self.number(source, key, value) else {
            return;
        };
        let may_be_zero = matches!(
            measure,
            Measure::WallNape
                | Measure::WallBlade
                | Measure::WallWaist
                | Measure::WallSeat
                | Measure::SlopeShoulder
                | Measure::ShoulderDrop
        );
        let signed = measure.kind() == Kind::Plumb;
        if !signed && (number < 0.0 || (number <= 0.0 && !may_be_zero)) {
            let fact = SheetFact::NotAboveZero {
                key: key.to_owned(),
                zero: number >= 0.0,
                usual: self.usual(measure),
            };
            source.refuse(value.span(), fact);
            return;
        }
        // What would be shown as nothing, or by a row of noughts, is shown as it was typed.
        let beyond = number.abs() >= BEYOND_MM;
        let nothing = number < LEAST_READING_MM && !signed && !may_be_zero;
        if beyond || nothing {
            let fact = SheetFact::BeyondAnyBody {
                key: key.to_owned(),
                written: source.typed(value),
                smaller: number < LEAST_READING_MM,
                usual: self.usual(measure),
            };
            source.refuse(value.span(), fact);
            return;
        }
        let within = match beside.within {
            Some(value) => {
                let key = format!("{}.within", self.key);
                let Some(w) = self.half_width(source, &key, measure, value) else {
                    return;
                };
                Some(w)
            }
            None => None,
        };
        let sure = match beside.sure {
            Some(value) => source
                .truth(&format!("{}.sure", self.key), value)
                .unwrap_or_default(),
            None => false,
        };
        given.push(Given {
            measure,
            side,
            value: number,
            within,
            sure,
            place: source.place(at),
        });
    }

    /// What is usual of a grown body.
    fn usual(&self, measure: Measure) -> [Shown; 2] {
        measure.info().women.map(|value| Shown {
            measure,
            value,
            unit: self.unit,
        })
    }

    /// A value, and which measurement it is of: a slope with a unit of length is a drop.
    fn number(
        &self,
        source: &mut Source<'_>,
        key: &str,
        value: &Value<'_>,
    ) -> Option<(Measure, f64)> {
        if self.measure != Measure::SlopeShoulder {
            return source
                .length(key, value, self.unit)
                .map(|mm| (self.measure, mm));
        }
        let Some(words) = value.get_ref().as_str() else {
            return source
                .number(key, value)
                .map(|deg| (self.measure, units::radians(deg)));
        };
        match units::parse_angle_or_length(words, self.unit) {
            Ok(AngleOrLength::Angle(radians)) => Some((self.measure, radians)),
            Ok(AngleOrLength::Length(mm)) => Some((Measure::ShoulderDrop, mm)),
            Err(why) => {
                source.misread(key, value, why);
                None
            }
        }
    }

    /// `within`, of the same sort as the value: above zero.
    fn half_width(
        &self,
        source: &mut Source<'_>,
        key: &str,
        measure: Measure,
        value: &Value<'_>,
    ) -> Option<f64> {
        let half = if measure == Measure::SlopeShoulder {
            match self.number(source, key, value) {
                Some((Measure::SlopeShoulder, half)) => Some(half),
                Some(_) => {
                    let key = key.to_owned();
                    source.refuse(value.span(), SheetFact::LengthOfSlope { key });
                    None
                }
                None => None,
            }
        } else {
            source.length(key, value, self.unit)
        }?;
        let most = plausible::believable(measure)[1];
        let size = if measure == Measure::SlopeShoulder {
            units::degrees(half)
        } else {
            half
        };
        let (key, written) = (key.to_owned(), source.typed(value));
        let fact = if half <= 0.0 {
            SheetFact::NoHalfWidth { key }
        } else if size < LEAST_READING_MM {
            SheetFact::FineHalfWidth { key, written }
        } else if half > most {
            SheetFact::WideHalfWidth { key, written }
        } else {
            return Some(half);
        };
        source.refuse(value.span(), fact);
        None
    }
}

/// A key that no reading has.
fn unknown_part(key: &str, part: &str, form: Written) -> SheetFact {
    SheetFact::UnknownPart {
        key: key.to_owned(),
        part: units::clip(part),
        form,
    }
}
