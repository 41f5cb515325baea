//! The tables and keys of a workshop file, and what was probably meant by one that it does not have.

use toml::de::DeTable;
use toml::de::DeValue;

use crate::source;
use crate::source::Source;
use crate::source::Value;
use crate::units;

/// Tables of a workshop file and their keys.
pub(super) const TABLES: [(&str, &[&str]); 8] = [
    (
        "layer",
        &[
            "material",
            "thickness",
            "ten_stacked",
            "density",
            "cut",
            "hollow",
            "glue_line",
        ],
    ),
    (
        "stock",
        &[
            "width",
            "length",
            "roll",
            "margin",
            "gap",
            "kerf",
            "turn",
            "direction",
            "count",
            "order",
            "layer",
            "price",
        ],
    ),
    (
        "dowel",
        &["diameter", "clearance", "count", "edge", "price"],
    ),
    ("pole", &["diameter"]),
    ("base", &["thickness", "tilt"]),
    (
        "padding",
        &["batting", "cover", "wrap_bare", "wrap_padded", "price"],
    ),
    (
        "paper",
        &[
            "size", "margin", "overlap", "length", "outlines", "fold", "printed",
        ],
    ),
    ("form", &["from", "to", "scale", "step", "wedges"]),
];
/// Tables that may stand several times, and how often at the most. Our choice: nobody compares more
/// materials at once, and so many kinds of off-cuts are sorted before they are measured.
const MOST: [(&str, usize); 2] = [("layer", 20), ("stock", 100)];
/// Keys above the first table.
const TOP_KEYS: [&str; 2] = ["unit", "currency"];

/// Refuses every table and key at the top that a workshop does not have.
pub(super) fn unknown_tables(source: &mut Source<'_>, top: &DeTable<'_>) {
    let names: Vec<&str> = TABLES.iter().map(|(name, _)| *name).collect();
    for (key, value) in top {
        let name = key.get_ref().as_ref();
        if names.contains(&name) || TOP_KEYS.contains(&name) {
            continue;
        }
        let body = [
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
        let hint = if body.contains(&name) {
            "measurements of a body belong in a measurement sheet; a workshop file describes a room"
                .to_owned()
        } else if let Some((table, _)) = TABLES.iter().find(|(_, keys)| keys.contains(&name)) {
            format!("write it below `[{table}]`")
        } else {
            let known: Vec<&str> = names.iter().chain(&TOP_KEYS).copied().collect();
            source::did_you_mean(name, &known, '`')
        };
        let kind = match value.get_ref() {
            DeValue::Table(_) | DeValue::Array(_) => "a table",
            _ => "a key",
        };
        source.refuse(
            key.span(),
            format!("`{}` is not {kind} of a workshop file", units::clip(name)),
            hint,
        );
    }
}

/// The tables of this name: `[name]` once, or any number of `[[name]]`.
pub(super) fn tables<'t, 'a>(
    source: &mut Source<'a>,
    top: &'t DeTable<'a>,
    name: &'static str,
) -> Vec<&'t DeTable<'a>> {
    let Some(value) = top.get(name) else {
        return Vec::new();
    };
    let found: Vec<&DeTable<'a>> = match value.get_ref() {
        DeValue::Array(all) => all
            .iter()
            .filter_map(|value| source.table(name, value))
            .collect(),
        _ => source.table(name, value).into_iter().collect(),
    };
    let most = MOST.iter().find(|(table, _)| *table == name);
    if let Some((_, most)) = most.filter(|(_, most)| found.len() > *most) {
        source.refuse(
            value.span(),
            format!(
                "`[[{name}]]` stands {} times: {most} are possible",
                found.len()
            ),
            "keep those that this form may be cut from; other forms may have a file of their own",
        );
        return Vec::new();
    }
    let keys = TABLES
        .iter()
        .find(|(table, _)| *table == name)
        .map_or(&[][..], |(_, keys)| keys);
    for table in &found {
        for (key, _) in *table {
            let typed = key.get_ref().as_ref();
            if keys.contains(&typed) {
                continue;
            }
            let hint = match source::nearest(typed, keys) {
                Some(near) => source::meant(typed, near, '`'),
                None => match TABLES.iter().find(|(_, keys)| keys.contains(&typed)) {
                    Some((table, _)) => format!("write it below `[{table}]`"),
                    None if TOP_KEYS.contains(&typed) => {
                        format!("move `{typed}` above the first table")
                    }
                    None => source::did_you_mean(typed, keys, '`'),
                },
            };
            source.refuse(
                key.span(),
                format!(
                    "`{name}.{}` is not a key of a workshop file",
                    units::clip(typed)
                ),
                hint,
            );
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
    let all = tables(source, top, name);
    if all.len() > 1 {
        let at = top.get(name).map_or(0..0, Value::span);
        source.refuse(
            at,
            format!("`{name}` is written more than once"),
            format!("write `[{name}]` once, with single brackets"),
        );
    }
    all.into_iter().next()
}
