//! Readings as a sheet writes them, and what a sheet has as a person reads it.

use toml_edit::InlineTable;
use toml_edit::Item;
use toml_edit::Value;

use super::answer;
use super::answer::{Answer, Settled, Try};
use crate::measure::Side;
use crate::units;
use crate::units::Unit;

/// A value without the blanks and comments around it.
pub(super) fn bare(value: &Value) -> String {
    let mut value = value.clone();
    value.decor_mut().clear();
    value.to_string()
}

/// A measurement as a person reads it; lengths in inches as fractions, as on a tape.
pub(super) fn shown(item: &Item, inches: bool) -> String {
    let words = |v: &Item| {
        let number = v.as_float().or_else(|| v.as_integer().map(|n| n as f64));
        if let Some(fraction) = number.filter(|_| inches).and_then(units::inch_fraction) {
            return fraction;
        }
        match v.as_str() {
            // A mean with a unit of its own is written in decimals too.
            Some(words) => words
                .strip_suffix(" in")
                .and_then(|n| units::inch_fraction(n.parse().ok()?))
                .map_or_else(|| words.to_owned(), |n| format!("{n} in")),
            None => v
                .as_value()
                .map_or_else(|| v.to_string(), bare)
                .trim()
                .to_owned(),
        }
    };
    let Some(table) = item.as_table_like() else {
        return words(item);
    };
    let mut all = String::new();
    for (key, v) in table.iter() {
        let (between, part) = match key {
            "value" => (", ", shown(v, inches)),
            "within" => (" ", format!("± {}", words(v))),
            side => (", ", format!("{side} {}", shown(v, inches))),
        };
        if !all.is_empty() {
            all.push_str(between);
        }
        all.push_str(&part);
    }
    all
}

/// Whether a measurement, or each side of it, is written with a unit of its own.
pub(super) fn names_its_unit(item: &Item) -> bool {
    match item.as_table_like() {
        Some(table) => table.iter().all(|(_, v)| names_its_unit(v)),
        None => item.is_str(),
    }
}

/// One side's readings as the sheet writes them.
pub(super) fn value(tries: &[Try], unit: Unit) -> Option<Value> {
    let angle = tries.iter().any(|t| t.angle);
    if let [one] = tries {
        return Some(typed(one, unit));
    }
    let drop = !angle && tries.iter().any(|t| !t.bare);
    Some(settled(answer::settled(tries)?, angle, drop, false, unit))
}

/// What readings came to, as a sheet writes it: an angle, the drop of a shoulder, or any other length.
pub(super) fn settled(of: Settled, angle: bool, drop: bool, sure: bool, unit: Unit) -> Value {
    let words = |v: f64| -> Value {
        // A drop of the shoulder is known from degrees by its unit.
        if drop {
            format!(
                "{} {}",
                units::fixed(unit.from_mm(v), decimals(unit)),
                unit.name()
            )
            .into()
        } else {
            number(v, angle, unit)
        }
    };
    if of.within.is_none() && !sure {
        return words(of.value);
    }
    let mut table = InlineTable::new();
    table.insert("value", words(of.value));
    if let Some(within) = of.within {
        table.insert("within", words(within));
    }
    if sure {
        table.insert("sure", true.into());
    }
    Value::InlineTable(table)
}

/// A single reading, as typed where a sheet can hold it so.
fn typed(one: &Try, unit: Unit) -> Value {
    if one.bare
        && let Ok(plain) = one.words.parse::<f64>()
        && let Ok(value) = one.words.parse::<Value>()
        && plain.is_finite()
    {
        return value;
    }
    if one.bare && !one.angle {
        return format!("{} {}", one.words, unit.name()).into();
    }
    one.words.as_str().into()
}

const fn decimals(unit: Unit) -> usize {
    match unit {
        Unit::Cm => 2,
        Unit::Mm => 1,
        // A sixteenth and its half are written whole: 0.0625.
        Unit::In => 4,
    }
}

/// A number in the sheet's unit, or in degrees, without needless zeros.
fn number(v: f64, angle: bool, unit: Unit) -> Value {
    let text = if angle {
        units::fixed(units::degrees(v), 2)
    } else {
        units::fixed(unit.from_mm(v), decimals(unit))
    };
    let short = text.trim_end_matches('0');
    let short = if short.ends_with('.') {
        format!("{short}0")
    } else {
        short.to_owned()
    };
    short.parse().unwrap_or_else(|_| text.into())
}

/// All readings in words, where there are several of a side.
pub(super) fn comment(answer: &Answer) -> String {
    if answer.is_single() {
        return String::new();
    }
    let sides: Vec<String> = answer
        .sides()
        .map(|(side, tries)| {
            let words: Vec<&str> = tries.iter().map(|t| t.words.as_str()).collect();
            let words = words.join(" and ");
            match side {
                Side::Both => words,
                Side::Left => format!("left {words}"),
                Side::Right => format!("right {words}"),
            }
        })
        .collect();
    format!("read {}", sides.join(", "))
}
