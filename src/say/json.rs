//! Numbers as JSON: how they are rounded, what a finding is, and how the text is laid out.
//!
//! Millimetres, degrees, kilograms and square millimetres; three decimals. The format number at the
//! top of every file rises when a field changes its meaning or goes away, never when one is added.

use serde::{Serialize, Serializer};
use serde_json::{Value, json};

use crate::error::{Error, Finding, Severity};
use crate::fact::Field;
use crate::form::FormFact;
use crate::measure::{Kind, Level, Measure};
use crate::say::words;
use crate::sheet::Origin;
use crate::units;

/// Version of the format of `form.json` and of `check --json`.
pub const FORMAT: u32 = 1;

/// A number that is written with three decimals; what is not finite becomes null.
#[derive(Clone, Copy, Debug)]
pub(super) struct Rounded(f64);

impl Serialize for Rounded {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let rounded = (self.0 * 1000.0).round() / 1000.0;
        if rounded.is_finite() {
            // Adding zero turns -0 into 0.
            to.serialize_f64(rounded + 0.0)
        } else {
            to.serialize_none()
        }
    }
}

/// Numbers under keys that the values bring with them, in their order.
#[derive(Clone, Debug)]
pub(super) struct KeyedNumbers(pub(super) Vec<(String, Rounded)>);

impl Serialize for KeyedNumbers {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_map(self.0.iter().map(|(key, value)| (key, value)))
    }
}

/// A struct of such numbers as a value.
///
/// # Errors
/// [`Error::Format`] if it cannot be written as JSON.
pub(super) fn value(of: &impl Serialize) -> Result<Value, Error> {
    serde_json::to_value(of).map_err(|e| FormFact::no_numbers(&e))
}

/// A number of three decimals.
pub(super) const fn number(value: f64) -> Rounded {
    Rounded(value)
}

/// The unit in which a measurement's numbers are written.
pub(super) const fn unit(measure: Measure) -> &'static str {
    match measure.kind() {
        Kind::Slope => "degrees",
        _ => "mm",
    }
}

/// A value of a measurement (mm or radians) in that unit.
pub(super) fn value_of(measure: Measure, value: f64) -> Rounded {
    number(match measure.kind() {
        Kind::Slope => units::degrees(value),
        _ => value,
    })
}

/// Who says so, as a word.
pub(super) const fn origin(origin: Origin) -> &'static str {
    match origin {
        Origin::Given => "given",
        Origin::Estimated => "estimated",
    }
}

fn finding(f: &Finding) -> Value {
    json!({
        "severity": match f.severity {
            Severity::Note => "note",
            Severity::Warning => "warning",
            Severity::Refusal => "refusal",
        },
        "measure": f.measure.map(Measure::key),
        "message": f.message(),
        "hint": if f.hint().is_empty() { Value::Null } else { json!(f.hint()) },
        "file": f.place.as_ref().map(|p| words::file_name(&p.file)),
        "line": f.place.as_ref().map(|p| p.line),
        "fact": f.fact.name(),
        "fields": fields(f),
    })
}

/// What the sentence of a finding was made of: lengths in mm, angles in radians.
fn fields(f: &Finding) -> Value {
    let named = f.fact.fields().into_iter();
    Value::Object(
        named
            .map(|(name, f)| (name.to_owned(), field(&f)))
            .collect(),
    )
}

fn field(of: &Field) -> Value {
    match of {
        Field::Nothing => Value::Null,
        Field::Number(v) => json!(number(*v)),
        Field::Count(n) => json!(n),
        Field::Truth(b) => json!(b),
        Field::Word(w) => json!(w),
        Field::List(all) => all.iter().map(field).collect(),
    }
}

/// Findings as a JSON array, for a sheet that is refused.
#[must_use]
pub fn findings(list: &[Finding]) -> Value {
    Value::Array(list.iter().map(finding).collect())
}

/// Name of a level as a key: `top_hip`.
pub(super) fn level_key(level: Level) -> String {
    level.name().replace(' ', "_")
}

/// What `check --json` prints for a sheet that is refused.
#[must_use]
pub fn refused(file: &str, list: &[Finding]) -> Value {
    json!({
        "format": FORMAT,
        "file": file,
        "refused": true,
        "findings": findings(list),
    })
}

/// JSON on several lines, the numbers of a point on one.
///
/// # Errors
/// [`Error::Format`] if the values cannot be written as JSON.
pub fn text(value: &Value) -> Result<String, Error> {
    let mut out = String::new();
    write(value, 0, &mut out)?;
    out.push('\n');
    Ok(out)
}

/// The same text as one member of a list on several lines, without a line break at its end.
///
/// # Errors
/// As [`text`].
pub fn text_in_list(value: &Value) -> Result<String, Error> {
    let mut out = "  ".to_owned();
    write(value, 1, &mut out)?;
    Ok(out)
}

fn write(value: &Value, depth: usize, out: &mut String) -> Result<(), Error> {
    let inner = "  ".repeat(depth + 1);
    match value {
        Value::Object(map) if !map.is_empty() => {
            out.push_str("{\n");
            for (i, (key, v)) in map.iter().enumerate() {
                out.push_str(if i == 0 { "" } else { ",\n" });
                out.push_str(&inner);
                out.push_str(&compact(&json!(key))?);
                out.push_str(": ");
                write(v, depth + 1, out)?;
            }
            out.push('\n');
            out.push_str(&inner[2..]);
            out.push('}');
        }
        Value::Array(list) if list.iter().any(Value::is_object) || is_nested(list) => {
            out.push_str("[\n");
            for (i, v) in list.iter().enumerate() {
                out.push_str(if i == 0 { "" } else { ",\n" });
                out.push_str(&inner);
                write(v, depth + 1, out)?;
            }
            out.push('\n');
            out.push_str(&inner[2..]);
            out.push(']');
        }
        flat => out.push_str(&compact(flat)?),
    }
    Ok(())
}

/// A list of outlines, which are lists of points: one outline a line.
fn is_nested(list: &[Value]) -> bool {
    list.iter()
        .any(|v| v.as_array().is_some_and(|v| v.iter().any(Value::is_array)))
}

fn compact(value: &Value) -> Result<String, Error> {
    serde_json::to_string(value).map_err(|e| FormFact::no_numbers(&e))
}
