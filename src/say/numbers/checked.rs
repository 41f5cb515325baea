//! A checked sheet in numbers: who it is of, every measurement, what was found, how the fit went.

use serde::Serialize;
use serde_json::Value;

use crate::form::Checked;
use crate::imprint;
use crate::measure::Kind;
use crate::mesh::Mesh;
use crate::say::json;
use crate::say::json::{KeyedNumbers, Rounded};
use crate::say::words;
use crate::sheet::{Sheet, Target};
use crate::tape::{Reading, Verdict};

/// What stands at the top of the file.
#[derive(Serialize)]
pub(super) struct JsonHead<'a> {
    format: u32,
    program: &'static str,
    body: String,
    name: &'a str,
    sheet: &'a str,
    taken: Option<&'a str>,
    taken_by: Option<&'a str>,
    sheet_unit: &'static str,
}

impl<'a> JsonHead<'a> {
    pub(super) fn new(checked: &'a Checked) -> Self {
        let sheet = &checked.sheet;
        Self {
            format: json::FORMAT,
            program: imprint::PROGRAM,
            body: imprint::of_shape(&checked.mesh.vertices),
            name: &sheet.name,
            sheet: words::file_name(&sheet.file),
            taken: sheet.taken.as_deref(),
            taken_by: sheet.taken_by.as_deref(),
            sheet_unit: sheet.unit.name(),
        }
    }
}

/// The body, as fitted and as read.
#[derive(Serialize)]
pub(super) struct Shared {
    measures: Vec<MeasureLine>,
    findings: Value,
    levels: KeyedNumbers,
    floor_z: Option<Ground>,
    #[serde(skip_serializing_if = "Option::is_none")]
    seat_z: Option<Ground>,
    unsure: Rounded,
    next: Vec<NextLine>,
    again: Vec<&'static str>,
    fit: FitLine,
}

impl Shared {
    /// `zero` is the height, in the program's axes, that the file calls 0.
    pub(super) fn new(checked: &Checked, mesh: &Mesh, zero: f64, with_built: bool) -> Self {
        let (fit, marks) = (&checked.fit, &mesh.marks);
        let levels = marks.levels.iter();
        let levels = levels.map(|(l, z)| (json::level_key(*l), json::number(z - zero)));
        let ground = |at| Ground::new(at, &checked.sheet, zero);
        Self {
            measures: checked
                .readings
                .iter()
                .map(|r| MeasureLine::new(r, with_built))
                .collect(),
            findings: json::findings(&checked.findings),
            levels: KeyedNumbers(levels.collect()),
            floor_z: marks.floor.map(ground),
            seat_z: marks.seat.map(ground),
            unsure: json::number(fit.unsure),
            next: fit
                .next
                .iter()
                .map(|a| NextLine {
                    key: a.measure.key(),
                    name: a.measure.info().title.of(checked.sheet.figure),
                    unsure: json::number(a.unsure),
                })
                .collect(),
            again: fit.again.iter().map(|m| m.key()).collect(),
            fit: FitLine {
                ending: fit.ending.name(),
                iterations: fit.iterations,
                worst_misfit: json::number(fit.worst_misfit),
            },
        }
    }
}

/// A measurement: asked, and read; as built only where a form has been built.
#[derive(Serialize)]
struct MeasureLine {
    key: String,
    name: &'static str,
    unit: &'static str,
    asked: Rounded,
    origin: &'static str,
    plus_minus: Rounded,
    solid: Option<Rounded>,
    #[serde(skip_serializing_if = "Option::is_none")]
    built: Option<Option<Rounded>>,
    difference: Option<Rounded>,
    #[serde(skip_serializing_if = "Option::is_none")]
    built_difference: Option<Option<Rounded>>,
    tolerance: Rounded,
    within_tolerance: Option<bool>,
    verdict: &'static str,
    reason: Option<&'static str>,
}

impl MeasureLine {
    fn new(r: &Reading, with_built: bool) -> Self {
        let Target {
            measure,
            side,
            value,
            ..
        } = r.target;
        let shown = |v: f64| json::value_of(measure, v);
        let apart = |v: Option<f64>| v.map(|v| shown(v - value));
        Self {
            key: side.key_of(measure),
            name: measure.info().title.of(r.figure),
            unit: json::unit(measure),
            asked: shown(value),
            origin: json::origin(r.target.origin),
            plus_minus: shown(r.target.plus_minus),
            solid: r.solid.map(shown),
            built: with_built.then(|| r.built.map(shown)),
            difference: apart(r.solid),
            built_difference: with_built.then(|| apart(r.built)),
            tolerance: shown(r.tolerance),
            within_tolerance: r.solid.map(|s| (s - value).abs() <= r.tolerance),
            verdict: match r.verdict {
                Verdict::Met => "met",
                Verdict::Missed => "missed",
                Verdict::Estimated => "estimated",
                Verdict::NotOnForm => "not on the form",
            },
            reason: r.reason,
        }
    }
}

/// Where the floor is, or a seat: what heights are counted from.
#[derive(Serialize)]
struct Ground {
    value: Rounded,
    origin: &'static str,
    plus_minus: Rounded,
}

impl Ground {
    fn new((z, plus_minus): (f64, f64), sheet: &Sheet, zero: f64) -> Self {
        let given = sheet.given.iter().any(|g| g.measure.kind() == Kind::Height);
        Self {
            value: json::number(z - zero),
            origin: if given { "given" } else { "estimated" },
            plus_minus: json::number(plus_minus),
        }
    }
}

/// What to measure next, and how unsure the surface is with it.
#[derive(Serialize)]
struct NextLine {
    key: &'static str,
    name: &'static str,
    unsure: Rounded,
}

/// How the fit went.
#[derive(Serialize)]
struct FitLine {
    ending: &'static str,
    iterations: usize,
    worst_misfit: Rounded,
}
