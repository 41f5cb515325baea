//! The lists of a size profile: one value for each size, in one column or several.

use toml::de::DeValue;

use crate::measure::{Kind, Measure};
use crate::profile::facts::{ProfileFact, unknown_part};
use crate::profile::{Column, How};
use crate::source::{Source, Value};
use crate::tolerance::BEYOND_MM;
use crate::units;
use crate::units::Unit;

/// Longest words that a report prints on a line or two (characters).
pub(super) const LONGEST_WORDS: usize = 400;
/// Most sizes in a column, and entries of any other list. Our choice, past every published table.
const MOST_SIZES: usize = 500;
/// Most columns of sizes: each holds every size again.
pub(super) const MOST_COLUMNS: usize = 50;
/// What stands for a value that a size lacks.
const GAP: &str = "-";
/// Keys of one measurement.
const COLUMN: [&str; 5] = ["from", "origin", "within", "note", "values"];

/// The entries of a list, or a refusal.
pub(super) fn entries<'t, 'a>(
    source: &mut Source<'a>,
    key: &str,
    value: &'t Value<'a>,
) -> Option<Vec<&'t Value<'a>>> {
    match value.get_ref() {
        DeValue::Array(list) if list.len() <= MOST_SIZES => Some(list.iter().collect()),
        DeValue::Array(_) => {
            let (key, most) = (key.to_owned(), MOST_SIZES);
            source.refuse(value.span(), ProfileFact::LongList { key, most });
            None
        }
        _ => {
            source.wrong_type(key, value, "a list in `[ ]`");
            None
        }
    }
}

/// Whether it stands for nothing.
fn is_gap(value: &Value<'_>) -> bool {
    value.get_ref().as_str().is_some_and(|w| w.trim() == GAP)
}

/// A value in mm or radians.
fn number<'a>(
    source: &mut Source<'a>,
    key: &str,
    value: &Value<'a>,
    measure: Measure,
    unit: Unit,
) -> Option<f64> {
    let found = if measure.kind() == Kind::Slope {
        source.number(key, value).map(units::radians)
    } else {
        source.length(key, value, unit)
    }?;
    if found.abs() >= BEYOND_MM {
        let (key, written) = (key.to_owned(), source.typed(value));
        source.refuse(value.span(), ProfileFact::BeyondAnyBody { key, written });
        return None;
    }
    if found <= 0.0 && measure.kind() != Kind::Wall {
        let key = key.to_owned();
        source.refuse(value.span(), ProfileFact::NotAboveZero { key });
        return None;
    }
    Some(found)
}

pub(super) fn numbers<'a>(
    source: &mut Source<'a>,
    key: &str,
    value: &Value<'a>,
    measure: Measure,
    unit: Unit,
    count: usize,
) -> Option<Vec<Option<f64>>> {
    let read =
        |source: &mut Source<'a>, key: &str, v: &Value<'a>| number(source, key, v, measure, unit);
    row(source, key, value, count, &read)
}

/// One list of values, `"-"` for a gap.
fn row<'a>(
    source: &mut Source<'a>,
    key: &str,
    value: &Value<'a>,
    count: usize,
    read: &impl Fn(&mut Source<'a>, &str, &Value<'a>) -> Option<f64>,
) -> Option<Vec<Option<f64>>> {
    let list = entries(source, key, value)?;
    if list.len() != count {
        let fact = ProfileFact::ValuesForSizes {
            key: key.to_owned(),
            values: list.len(),
            sizes: count,
        };
        source.refuse(value.span(), fact);
        return None;
    }
    let mut out = Vec::new();
    for v in list {
        out.push(if is_gap(v) {
            None
        } else {
            Some(read(source, key, v)?)
        });
    }
    Some(out)
}

/// A list of lists, one for each column; with one column a plain list will do, and a plain list is
/// the same in every column.
pub(super) fn grid<'a>(
    source: &mut Source<'a>,
    key: &str,
    value: &Value<'a>,
    rows: usize,
    width: usize,
    read: impl Fn(&mut Source<'a>, &str, &Value<'a>) -> Option<f64>,
) -> Option<Vec<Vec<Option<f64>>>> {
    let list = entries(source, key, value)?;
    let nested = list
        .iter()
        .any(|v| matches!(v.get_ref(), DeValue::Array(_)));
    if !nested {
        let one = row(source, key, value, rows, &read)?;
        return Some(vec![one; width]);
    }
    if list.len() != width {
        let fact = ProfileFact::ListsForColumns {
            key: key.to_owned(),
            lists: list.len(),
            columns: width,
        };
        source.refuse(value.span(), fact);
        return None;
    }
    list.into_iter()
        .map(|v| row(source, key, v, rows, &read))
        .collect()
}

/// One measurement being read.
pub(super) struct OneColumn {
    pub(super) measure: Measure,
    pub(super) rows: usize,
    pub(super) width: usize,
    pub(super) unit: Unit,
}

impl OneColumn {
    pub(super) fn read<'a>(&self, source: &mut Source<'a>, value: &Value<'a>) -> Option<Column> {
        let key = self.measure.key();
        let Some(table) = value.get_ref().as_table() else {
            return Some(Column {
                measure: self.measure,
                from: self.measure.title().to_owned(),
                how: How::Measured,
                within: None,
                note: String::new(),
                values: self.values(source, key, value)?,
            });
        };
        for (k, _) in table {
            if !COLUMN.contains(&k.get_ref().as_ref()) {
                source.refuse(k.span(), unknown_part(key, k.get_ref(), &COLUMN));
            }
        }
        let mut text = |name: &str| {
            let dotted = format!("{key}.{name}");
            table
                .get(name)
                .and_then(|v| source.name(&dotted, v, LONGEST_WORDS))
        };
        let (from, note) = (text("from"), text("note"));
        let how = match table.get("origin") {
            Some(v) => source.choice(
                &format!("{key}.origin"),
                v,
                &[How::Measured, How::Computed, How::Published].map(|h| (h.name(), h)),
            )?,
            None => How::Measured,
        };
        let within = match table.get("within") {
            Some(v) => Some(number(
                source,
                &format!("{key}.within"),
                v,
                self.measure,
                self.unit,
            )?),
            None => None,
        };
        let Some(values) = table.get("values") else {
            let key = key.to_owned();
            source.refuse(value.span(), ProfileFact::NoValues { key });
            return None;
        };
        Some(Column {
            measure: self.measure,
            from: from.unwrap_or_else(|| self.measure.title().to_owned()),
            how,
            within,
            note: note.unwrap_or_default(),
            values: self.values(source, &format!("{key}.values"), values)?,
        })
    }

    fn values<'a>(
        &self,
        source: &mut Source<'a>,
        key: &str,
        value: &Value<'a>,
    ) -> Option<Vec<Vec<Option<f64>>>> {
        grid(
            source,
            key,
            value,
            self.rows,
            self.width,
            |source, key, v| number(source, key, v, self.measure, self.unit),
        )
    }
}
