//! One measurement as a sheet writes it: a number, words with a unit, a value with its half-width,
//! or left and right apart.

use toml::de::DeTable;

use crate::measure::Kind;
use crate::measure::Measure;
use crate::measure::Side;
use crate::sheet::Given;
use crate::sheet::check;
use crate::sheet::keys;
use crate::sheet::plausible;
use crate::source::Source;
use crate::source::Value;
use crate::tolerance::BEYOND_MM;
use crate::tolerance::LEAST_READING_MM;
use crate::units;
use crate::units::AngleOrLength;
use crate::units::Unit;

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
                source.refuse(
                    key.span(),
                    format!("`{table}.chest` and `{table}.bust` are the same measurement"),
                    "keep one of the two",
                );
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
            self.keep(source, self.key, Side::Both, &at, value, None, given);
            return;
        };
        let two_sided = table.contains_key("left") || table.contains_key("right");
        let known: &[&str] = if two_sided {
            &["left", "right", "within"]
        } else {
            &["value", "within"]
        };
        for (key, _) in table {
            if !known.contains(&key.get_ref().as_ref()) {
                source.refuse(
                    key.span(),
                    format!("`{}.{}` is not a key", self.key, units::clip(key.get_ref())),
                    if two_sided {
                        "write `{ left = 13.0, right = 13.4 }`".to_owned()
                    } else {
                        "write `{ value = 78, within = 1.0 }`".to_owned()
                    },
                );
            }
        }
        let shared = table.get("within");
        if two_sided {
            if !self.measure.info().paired {
                source.refuse(
                    value.span(),
                    format!("`{}` has no left and right", self.key),
                    "write one value for the whole body",
                );
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
            self.keep(source, self.key, Side::Both, &at, inner, shared, given);
        } else {
            source.refuse(
                value.span(),
                format!("`{}` has no value", self.key),
                "write `{ value = 78, within = 1.0 }`, or a number alone",
            );
        }
    }

    fn one_side<'a>(
        &self,
        source: &mut Source<'a>,
        key: &str,
        side: Side,
        value: &Value<'a>,
        shared: Option<&Value<'a>>,
        given: &mut Vec<Given>,
    ) {
        let Some(table) = value.get_ref().as_table() else {
            self.keep(source, key, side, &value.span(), value, shared, given);
            return;
        };
        for (inner, _) in table {
            if !["value", "within"].contains(&inner.get_ref().as_ref()) {
                source.refuse(
                    inner.span(),
                    format!("`{key}.{}` is not a key", units::clip(inner.get_ref())),
                    "write `{ value = 13.0, within = 0.5 }`",
                );
            }
        }
        match table.get("value") {
            Some(inner) => {
                let within = table.get("within").or(shared);
                self.keep(source, key, side, &value.span(), inner, within, given);
            }
            None => source.refuse(
                value.span(),
                format!("`{key}` has no value"),
                "write `{ value = 13.0, within = 0.5 }`, or a number alone",
            ),
        }
    }

    /// Reads the number, checks what holds for any number, and keeps it.
    #[allow(
        clippy::too_many_arguments,
        reason = "one call site per form of writing"
    )]
    fn keep<'a>(
        &self,
        source: &mut Source<'a>,
        key: &str,
        side: Side,
        at: &std::ops::Range<usize>,
        value: &Value<'a>,
        within: Option<&Value<'a>>,
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
            let what = if number < 0.0 { "negative" } else { "zero" };
            let [low, high] = measure.info().women;
            source.refuse(
                value.span(),
                format!("`{key}` is {what}"),
                format!(
                    "write what was read ({} is usual), or leave the line out",
                    check::show_range(measure, [low, high], self.unit)
                ),
            );
            return;
        }
        // What would be shown as nothing, or by a row of noughts, is shown as it was typed.
        let beyond = number.abs() >= BEYOND_MM;
        let nothing = number < LEAST_READING_MM && !signed && !may_be_zero;
        if beyond || nothing {
            let [low, high] = measure.info().women;
            source.refuse(
                value.span(),
                format!(
                    "`{key}` ({}) is far {} than any body",
                    source.typed(value),
                    if number < LEAST_READING_MM {
                        "smaller"
                    } else {
                        "larger"
                    }
                ),
                format!(
                    "write what was read ({} is usual), or leave the line out",
                    check::show_range(measure, [low, high], self.unit)
                ),
            );
            return;
        }
        let within = match within {
            Some(value) => {
                let key = format!("{}.within", self.key);
                let Some(w) = self.half_width(source, &key, measure, value) else {
                    return;
                };
                Some(w)
            }
            None => None,
        };
        given.push(Given {
            measure,
            side,
            value: number,
            within,
            place: source.place(at),
        });
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
                    source.refuse(
                        value.span(),
                        format!("`{key}` is a length, but the slope is in degrees"),
                        "write it in degrees too",
                    );
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
        let (what, hint) = if half <= 0.0 {
            ("must be more than zero".to_owned(), "")
        } else if size < LEAST_READING_MM {
            (
                format!(
                    "({}) is finer than anything can be read",
                    source.typed(value)
                ),
                "",
            )
        } else if half > most {
            (
                format!("({}) is more than any body has there", source.typed(value)),
                " and in the same unit",
            )
        } else {
            return Some(half);
        };
        source.refuse(
            value.span(),
            format!("`{key}` {what}"),
            format!(
                "write how far off the reading may be, 19 times out of 20{hint}, or leave it out"
            ),
        );
        None
    }
}
