//! The tables of a workshop file, and what was probably meant by one that it does not have.

use toml::de::DeTable;
use toml::de::DeValue;

use crate::source;
use crate::source::{Source, Value};
use crate::workshop::facts::{Belongs, WorkshopFact, refuse};
use crate::workshop::keys;
use crate::workshop::keys::{TABLES, TOP_KEYS};

/// Tables and keys of a measurement sheet, which somebody may put into a workshop file.
const OF_A_BODY: [&str; 13] = [
    "girth",
    "arc",
    "length",
    "breadth",
    "depth",
    "height",
    "slope",
    "wall",
    "shape",
    "figure",
    "waist",
    "supported",
    "taken",
];

/// Refuses every table and key at the top that a workshop does not have.
pub(super) fn unknown(source: &mut Source<'_>, top: &DeTable<'_>) {
    for (key, value) in top {
        let name = key.get_ref().as_ref();
        if keys::table(name).is_some() || TOP_KEYS.contains(&name) {
            continue;
        }
        let belongs = if OF_A_BODY.contains(&name) {
            Belongs::Sheet
        } else if let Some(table) = keys::table_with(name) {
            Belongs::Below(table.name)
        } else {
            let names = TABLES.iter().map(|table| table.name);
            Belongs::OneOf(names.chain(TOP_KEYS).collect())
        };
        let fact = WorkshopFact::NoSuchTable {
            typed: name.to_owned(),
            table: matches!(value.get_ref(), DeValue::Table(_) | DeValue::Array(_)),
            belongs,
        };
        refuse(source, key.span(), fact);
    }
}

/// The tables of this name: `[name]` once, or any number of `[[name]]`.
pub(super) fn all<'t, 'a>(
    source: &mut Source<'a>,
    top: &'t DeTable<'a>,
    name: &'static str,
) -> Vec<&'t DeTable<'a>> {
    let (Some(value), Some(known)) = (top.get(name), keys::table(name)) else {
        return Vec::new();
    };
    let found: Vec<&DeTable<'a>> = match value.get_ref() {
        DeValue::Array(all) => all
            .iter()
            .filter_map(|value| source.table(name, value))
            .collect(),
        _ => source.table(name, value).into_iter().collect(),
    };
    if known.most > 1 && found.len() > known.most {
        let fact = WorkshopFact::TooManyTables {
            table: name,
            times: found.len(),
            most: known.most,
        };
        refuse(source, value.span(), fact);
        return Vec::new();
    }
    let names: Vec<&'static str> = known.keys.iter().map(|row| row.key).collect();
    for table in &found {
        for (key, _) in *table {
            let typed = key.get_ref().as_ref();
            if known.has(typed) {
                continue;
            }
            let belongs = if source::nearest(typed, &names).is_some() {
                Belongs::OneOf(names.clone())
            } else if let Some(table) = keys::table_with(typed) {
                Belongs::Below(table.name)
            } else if TOP_KEYS.contains(&typed) {
                Belongs::Top
            } else {
                Belongs::OneOf(names.clone())
            };
            let fact = WorkshopFact::NoSuchKey {
                table: name,
                typed: typed.to_owned(),
                belongs,
            };
            refuse(source, key.span(), fact);
        }
    }
    found
}

/// The one table of this name.
pub(super) fn one<'t, 'a>(
    source: &mut Source<'a>,
    top: &'t DeTable<'a>,
    name: &'static str,
) -> Option<&'t DeTable<'a>> {
    let all = all(source, top, name);
    if all.len() > 1 {
        let at = top.get(name).map_or(0..0, Value::span);
        refuse(source, at, WorkshopFact::TableAgain { table: name });
    }
    all.into_iter().next()
}
