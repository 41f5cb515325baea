//! Size profiles in numbers, as `profiles --json` prints them: mm and degrees. The structs are the objects:
//! names and order of their fields are promised.

use serde::Serialize;
use serde_json::Value;

use crate::error::Error;
use crate::profile::{Profile, Size, SizeValue};
use crate::say::json;
use crate::say::json::Rounded;

/// What a system is.
#[derive(Serialize)]
struct SystemHead<'a> {
    system: &'a str,
    title: &'a str,
    figure: &'static str,
    waist: &'static str,
    source: &'a str,
    terms: &'a str,
    made: &'a str,
    caution: &'a str,
    main: &'static str,
    across: Option<&'static str>,
    sizes: &'a [String],
    columns: &'a [String],
    makes_forms: bool,
}

impl<'a> SystemHead<'a> {
    fn new(p: &'a Profile) -> Self {
        Self {
            system: &p.system,
            title: &p.title,
            figure: p.figure.name(),
            waist: p.waist.name(),
            source: &p.source,
            terms: &p.terms,
            made: &p.made,
            caution: &p.caution,
            main: p.main.key(),
            across: p.across.map(|a| a.0.key()),
            sizes: &p.names,
            columns: &p.columns,
            makes_forms: p.makes_forms(),
        }
    }
}

/// Every system.
#[derive(Serialize)]
struct Systems<'a> {
    format: u32,
    systems: Vec<SystemHead<'a>>,
}

/// One system with every value of every size.
#[derive(Serialize)]
struct System<'a> {
    #[serde(flatten)]
    head: SystemHead<'a>,
    values: Vec<SizeNumbers<'a>>,
    format: u32,
}

/// One size.
#[derive(Serialize)]
struct SizeNumbers<'a> {
    system: &'a str,
    size: &'a str,
    waist: &'static str,
    between: Option<&'a str>,
    people: Option<f64>,
    lacks: Vec<&'static str>,
    values: Vec<ValueLine<'a>>,
}

impl<'a> SizeNumbers<'a> {
    fn new(s: &'a Size) -> Self {
        Self {
            system: &s.system,
            size: &s.name,
            waist: s.waist.name(),
            between: s.between.as_deref(),
            people: s.people,
            lacks: s.lacks().iter().map(|m| m.key()).collect(),
            values: s.values.iter().map(ValueLine::new).collect(),
        }
    }
}

/// One value of a size.
#[derive(Serialize)]
struct ValueLine<'a> {
    key: &'static str,
    value: Rounded,
    unit: &'static str,
    within: Option<Rounded>,
    how: &'static str,
    from: &'a str,
    note: Option<&'a str>,
}

impl<'a> ValueLine<'a> {
    fn new(v: &'a SizeValue) -> Self {
        let shown = |x: f64| json::value_of(v.measure, x);
        Self {
            key: v.measure.key(),
            value: shown(v.value),
            unit: json::unit(v.measure),
            within: v.within.map(shown),
            how: v.how.name(),
            from: &v.from,
            note: Some(v.note.as_str()).filter(|note| !note.is_empty()),
        }
    }
}

/// Every system in numbers.
///
/// # Errors
/// [`Error::Format`] if the values cannot be written as JSON.
pub fn systems(all: &[Profile]) -> Result<Value, Error> {
    json::value(&Systems {
        format: json::FORMAT,
        systems: all.iter().map(SystemHead::new).collect(),
    })
}

/// One system in numbers: every value of every size.
///
/// # Errors
/// As [`systems`].
pub fn system(p: &Profile) -> Result<Value, Error> {
    let columns = 0..p.width();
    let sizes: Vec<Size> = columns
        .flat_map(|column| {
            let rows = 0..p.names.len();
            rows.filter_map(move |row| p.tabulated_size(row, column))
        })
        .collect();
    json::value(&System {
        head: SystemHead::new(p),
        values: sizes.iter().map(SizeNumbers::new).collect(),
        format: json::FORMAT,
    })
}

/// One size in numbers.
///
/// # Errors
/// As [`systems`].
pub fn size(s: &Size) -> Result<Value, Error> {
    json::value(&SizeNumbers::new(s))
}
