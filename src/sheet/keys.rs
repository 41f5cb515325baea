//! The tables and keys of a sheet, and what was probably meant by one that it does not have.

use std::borrow::Cow;

use serde_spanned::Spanned;
use toml::de::DeTable;

use crate::measure::Measure;
use crate::sheet::facts::{Meant, SheetFact};
use crate::source;
use crate::source::{Guess, Quoting, Source, Value};
use crate::units;

/// Keys that stand above the first table.
pub(super) const TOP_KEYS: [&str; 9] = [
    "name",
    "taken",
    "taken_by",
    "unit",
    "figure",
    "waist",
    "worn",
    "posture",
    // `true` is a bra, `false` is none: sheets of earlier versions have it.
    "supported",
];
/// Tables of measurements.
pub(super) const TABLES: [&str; 9] = [
    "girth", "arc", "length", "breadth", "depth", "height", "slope", "wall", "plumb",
];
/// Words that people use for a key: what they say, and the key's name.
const ALSO_CALLED: [(&str, &str); 34] = [
    ("high_bust", "upper_chest"),
    ("over_bust", "upper_chest"),
    ("overbust", "upper_chest"),
    ("seat", "hip"),
    ("hips", "hip"),
    ("high_hip", "top_hip"),
    ("upper_hip", "top_hip"),
    ("belly", "abdomen"),
    ("stomach", "abdomen"),
    ("tummy", "abdomen"),
    ("bicep", "upper_arm"),
    ("biceps", "upper_arm"),
    ("arm", "upper_arm"),
    ("armhole", "armscye"),
    ("scye", "armscye"),
    ("collar", "neck"),
    ("nape_to_waist", "back_waist"),
    ("back_neck_to_waist", "back_waist"),
    ("back_length", "back_waist"),
    ("back", "back_waist"),
    ("front_length", "front_waist"),
    ("neck_to_waist", "back_waist"),
    ("shoulder_to_bust", "side_neck_to_bust"),
    ("neck_to_bust", "side_neck_to_bust"),
    ("shoulder_to_waist", "side_neck_to_waist"),
    ("cross_back", "across_back"),
    ("back_width", "across_back"),
    ("cross_front", "across_front"),
    ("chest_width", "across_front"),
    ("bust_span", "bust_point_width"),
    ("armscye_depth", "scye_depth"),
    ("body", "stature"),
    ("cervicale", "nape"),
    ("inside_leg", "crotch"),
];

pub(super) fn unknown_top_key(
    source: &mut Source<'_>,
    key: &Spanned<Cow<'_, str>>,
    value: &Value<'_>,
) {
    let name = key.get_ref().as_ref();
    let places = tables_with(name);
    let table = value.get_ref().is_table();
    let meant = if table {
        match name {
            "widths" | "width" => Meant::Breadth,
            "layer" | "stock" | "dowel" | "pole" | "base" | "padding" | "paper" | "form" => {
                Meant::Workshop
            }
            _ => {
                let mut known = TABLES.to_vec();
                known.push("shape");
                Meant::Other(Guess::of(name, &known, Quoting::Keys))
            }
        }
    } else if places.is_empty() {
        Meant::Other(Guess::of(name, &TOP_KEYS, Quoting::Keys))
    } else {
        Meant::Below(places)
    };
    let fact = SheetFact::UnknownTop {
        key: units::clip(name),
        table,
        meant,
    };
    source.refuse(key.span(), fact);
}

/// Tables of the sheet that have this key.
fn tables_with(key: &str) -> Vec<&'static str> {
    let key = if key == "chest" { "bust" } else { key };
    TABLES
        .into_iter()
        .filter(|table| keys_of(table).contains(&key))
        .collect()
}

/// The keys of one table.
pub(super) fn keys_of(table: &str) -> Vec<&'static str> {
    Measure::ALL
        .into_iter()
        .filter(|m| m.is_sheet_key())
        .map(Measure::table_and_key)
        .filter(|(t, _)| *t == table)
        .map(|(_, key)| key)
        .collect()
}

pub(super) fn unknown_key(
    source: &mut Source<'_>,
    table: &str,
    key: &Spanned<Cow<'_, str>>,
    value: &Value<'_>,
) {
    let typed = key.get_ref().as_ref();
    let normal = source::plainly(typed).replace(['-', ' '], "_");
    let known = keys_of(table);
    let elsewhere = tables_with(&normal);
    let also = ALSO_CALLED
        .iter()
        .find(|(word, _)| *word == normal)
        .map(|(_, name)| *name);
    let meant = if known.contains(&normal.as_str()) {
        Meant::Other(Guess::near(typed, &normal, Quoting::Keys))
    } else if let Some(name) = also.filter(|name| known.contains(name)) {
        Meant::Called(name)
    } else if table == "slope" && normal.contains("drop") {
        Meant::Drop
    } else if TOP_KEYS.contains(&normal.as_str()) && !value.get_ref().is_table() {
        Meant::Head(normal)
    } else if !elsewhere.is_empty() {
        Meant::Below(elsewhere)
    } else if let Some(near) = source::nearest(typed, &known) {
        Meant::Other(Guess::near(typed, near, Quoting::Keys))
    } else if let Some(name) = also {
        Meant::CalledBelow(name, tables_with(name))
    } else {
        Meant::Other(Guess::of(typed, &known, Quoting::Keys))
    };
    let fact = SheetFact::UnknownMeasure {
        table: table.to_owned(),
        key: units::clip(typed),
        meant,
    };
    source.refuse(key.span(), fact);
}

/// Whether this key of this table is written, by its name or by one that was taken for it.
pub(super) fn meant(top: &DeTable<'_>, table: &str, key: &str) -> bool {
    let known = keys_of(table);
    let like = |typed: &str| {
        typed == key
            || (key == "bust" && typed == "chest")
            || (!known.contains(&typed) && source::nearest(typed, &known) == Some(key))
            || ALSO_CALLED.contains(&(typed, key))
    };
    top.iter()
        .filter(|(name, _)| {
            let name = name.get_ref().as_ref();
            name == table
                || (!TABLES.contains(&name) && source::nearest(name, &TABLES) == Some(table))
        })
        .filter_map(|(_, value)| value.get_ref().as_table())
        .any(|t| t.iter().any(|(typed, _)| like(typed.get_ref())))
}

/// Whether this key of the head stands below some table, or is misspelt in the head.
pub(super) fn strayed(top: &DeTable<'_>, key: &str) -> bool {
    top.iter().any(|(name, value)| {
        let name = name.get_ref().as_ref();
        match value.get_ref().as_table() {
            Some(table) => table.contains_key(key),
            None => !TOP_KEYS.contains(&name) && source::nearest(name, &TOP_KEYS) == Some(key),
        }
    })
}
