//! Comparisons in numbers, as `compare --json` prints them: mm, square mm and degrees. The structs are the
//! objects: names and order of their fields are promised.

use serde::Serialize;
use serde_json::Value;

use super::course;
use crate::compare;
use crate::compare::{
    Alteration, AtLevel, Body, Course, CourseRow, Difference, Nearer, Nearest, PadLayer, PadLevel,
    PadPlan, Pick,
};
use crate::error::Error;
use crate::measure::{Figure, Measure};
use crate::say::amount::Amount;
use crate::say::compare::Pair;
use crate::say::json;
use crate::say::json::{KeyedNumbers, Rounded};
use crate::units::Unit;

/// A body that is compared.
#[derive(Serialize)]
struct BodyHead<'a> {
    name: &'a str,
    taken: Option<&'a str>,
    is_size: bool,
    has_solid: bool,
}

impl<'a> BodyHead<'a> {
    fn new(b: &'a Body) -> Self {
        Self {
            name: &b.name,
            taken: b.taken.as_deref(),
            is_size: b.is_size,
            has_solid: b.solid.is_some(),
        }
    }
}

/// One thing to alter.
#[derive(Serialize)]
struct AlterationLine {
    key: String,
    what: &'static str,
    by: Rounded,
    beyond_ease: Rounded,
    in_front: Option<Rounded>,
    estimated: bool,
}

impl AlterationLine {
    fn all(list: &[Alteration]) -> Vec<Self> {
        list.iter().map(Self::new).collect()
    }

    fn new(a: &Alteration) -> Self {
        Self {
            key: a.side.key_of(a.measure),
            what: a.what,
            by: json::value_of(a.measure, a.by),
            beyond_ease: json::value_of(a.measure, a.beyond),
            in_front: a.front.map(json::number),
            estimated: a.is_estimated,
        }
    }
}

/// Two bodies.
#[derive(Serialize)]
struct TwoBodies<'a> {
    format: u32,
    a: BodyHead<'a>,
    b: BodyHead<'a>,
    waists: Option<String>,
    same: bool,
    differences: Vec<DifferenceLine>,
    ease: EaseLine,
    alterations: Vec<AlterationLine>,
}

#[derive(Serialize)]
struct EaseLine {
    girth: Rounded,
    length: Rounded,
}

/// What differs.
#[derive(Serialize)]
struct DifferenceLine {
    key: String,
    name: &'static str,
    unit: &'static str,
    a: Rounded,
    a_origin: &'static str,
    b: Rounded,
    b_origin: &'static str,
    difference: Rounded,
    shown_cm: String,
    shown_in: String,
    percent: Option<Rounded>,
    noise_limit: Rounded,
    is_noise: bool,
}

impl DifferenceLine {
    fn new(d: &Difference, figure: Figure) -> Self {
        let value = |v| json::value_of(d.measure, v);
        let shown = |unit| Amount::signed(d.measure, d.apart, unit).to_string();
        Self {
            key: d.side.key_of(d.measure),
            name: d.measure.info().title.of(figure),
            unit: json::unit(d.measure),
            a: value(d.a.value),
            a_origin: json::origin(d.a.origin),
            b: value(d.b.value),
            b_origin: json::origin(d.b.origin),
            difference: value(d.apart),
            shown_cm: shown(Unit::Cm),
            shown_in: shown(Unit::In),
            percent: d.percent().map(json::number),
            noise_limit: value(d.limit),
            is_noise: d.is_noise(),
        }
    }
}

/// Two bodies.
///
/// # Errors
/// [`Error::Format`] if the values cannot be written as JSON.
pub fn bodies_json(pair: &Pair) -> Result<Value, Error> {
    let differences = pair.differences.iter();
    json::value(&TwoBodies {
        format: json::FORMAT,
        a: BodyHead::new(&pair.a),
        b: BodyHead::new(&pair.b),
        waists: pair.waists(),
        same: pair.is_same(),
        differences: differences
            .map(|d| DifferenceLine::new(d, pair.figure()))
            .collect(),
        ease: EaseLine {
            girth: json::number(pair.ease.girth),
            length: json::number(pair.ease.length),
        },
        alterations: AlterationLine::all(&pair.alterations),
    })
}

/// A body beside systems of sizes.
#[derive(Serialize)]
struct BesideSizes<'a> {
    format: u32,
    body: BodyHead<'a>,
    systems: Vec<SystemLine<'a>>,
}

/// What is nearest in one system.
#[derive(Serialize)]
struct SystemLine<'a> {
    system: &'a str,
    column: Option<&'a str>,
    column_difference: Option<Rounded>,
    other_waist: bool,
    levels: Vec<SizeLine<'a>>,
    picks: Vec<PickLine<'a>>,
    nearer: Vec<NearerLine<'a>>,
}

/// The nearest size by one measurement.
#[derive(Serialize)]
struct SizeLine<'a> {
    key: &'static str,
    value: Rounded,
    origin: &'static str,
    size: &'a str,
    difference: Rounded,
    between: Option<Rounded>,
}

impl<'a> SizeLine<'a> {
    fn new(l: &'a AtLevel) -> Self {
        Self {
            key: l.measure.key(),
            value: json::number(l.value),
            origin: json::origin(l.origin),
            size: &l.size,
            difference: json::number(l.apart),
            between: l.between.map(json::number),
        }
    }
}

/// The single size for a use.
#[derive(Serialize)]
struct PickLine<'a> {
    #[serde(rename = "for")]
    for_a: &'static str,
    by: &'static str,
    size: &'a str,
    difference: KeyedNumbers,
}

impl<'a> PickLine<'a> {
    fn new(p: &'a Pick) -> Self {
        let apart = p.apart.iter();
        let apart = apart.map(|(m, mm)| (m.key().to_owned(), json::number(*mm)));
        Self {
            for_a: p.for_a.name(),
            by: p.by.key(),
            size: &p.size,
            difference: KeyedNumbers(apart.collect()),
        }
    }
}

/// Another system that comes nearer.
#[derive(Serialize)]
struct NearerLine<'a> {
    system: &'a str,
    levels: Vec<NearerSize<'a>>,
}

#[derive(Serialize)]
struct NearerSize<'a> {
    key: &'static str,
    size: &'a str,
    difference: Rounded,
    instead_of: Rounded,
}

impl<'a> NearerLine<'a> {
    fn new(n: &'a Nearer) -> Self {
        let level = |(measure, size, [apart, than]): &'a (Measure, String, [f64; 2])| NearerSize {
            key: measure.key(),
            size,
            difference: json::number(*apart),
            instead_of: json::number(*than),
        };
        Self {
            system: &n.system,
            levels: n.levels.iter().map(level).collect(),
        }
    }
}

/// A body beside systems of sizes.
///
/// # Errors
/// [`Error::Format`] if the values cannot be written as JSON.
pub fn sizes_json(b: &Body, nearest: &[Nearest], nearer: &[Vec<Nearer>]) -> Result<Value, Error> {
    let systems = nearest.iter().enumerate().map(|(i, n)| SystemLine {
        system: &n.system,
        column: n.column.as_ref().map(|c| c.0.as_str()),
        column_difference: n.column.as_ref().and_then(|c| c.1).map(json::number),
        other_waist: n.other_waist,
        levels: n.levels.iter().map(SizeLine::new).collect(),
        picks: n.picks.iter().map(PickLine::new).collect(),
        nearer: nearer
            .get(i)
            .into_iter()
            .flatten()
            .map(NearerLine::new)
            .collect(),
    });
    json::value(&BesideSizes {
        format: json::FORMAT,
        body: BodyHead::new(b),
        systems: systems.collect(),
    })
}

/// How a form is padded out to a body.
#[derive(Serialize)]
struct Padding<'a> {
    format: u32,
    form: &'a str,
    body: &'a str,
    batting: Rounded,
    neck: Option<Rounded>,
    levels: Vec<PadLine>,
    layers: Vec<BattingLine>,
    batting_area: Rounded,
    findings: Value,
}

/// Something on every side.
#[derive(Serialize)]
struct Around<T> {
    front: T,
    back: T,
    right: T,
    left: T,
}

impl<T> From<[T; 4]> for Around<T> {
    fn from([front, back, right, left]: [T; 4]) -> Self {
        Self {
            front,
            back,
            right,
            left,
        }
    }
}

/// The padding at a level.
#[derive(Serialize)]
struct PadLine {
    level: String,
    below_nape: Rounded,
    form: Rounded,
    body: Rounded,
    evenly: Rounded,
    thickness: Around<Rounded>,
    layers: Around<usize>,
}

impl PadLine {
    fn new(l: &PadLevel, batting: f64) -> Self {
        Self {
            level: json::level_key(l.level),
            below_nape: json::number(l.below),
            form: json::number(l.form),
            body: json::number(l.body),
            evenly: json::number(l.evenly),
            thickness: l.around.map(json::number).into(),
            layers: l.around.map(|t| compare::layers(t, batting)).into(),
        }
    }
}

/// One layer of batting.
#[derive(Serialize)]
struct BattingLine {
    area: Rounded,
    from_below_nape: Rounded,
    to_below_nape: Rounded,
    covers: Around<Rounded>,
}

impl BattingLine {
    fn new(l: &PadLayer) -> Self {
        let [from, to] = l.reach.map(json::number);
        Self {
            area: json::number(l.area),
            from_below_nape: from,
            to_below_nape: to,
            covers: l.part.map(json::number).into(),
        }
    }
}

/// How a form is padded out to a body.
///
/// # Errors
/// [`Error::Format`] if the values cannot be written as JSON.
pub fn padding_json(form: &Body, body: &Body, p: &PadPlan) -> Result<Value, Error> {
    let levels = p.levels.iter().map(|l| PadLine::new(l, p.batting));
    json::value(&Padding {
        format: json::FORMAT,
        form: &form.name,
        body: &body.name,
        batting: json::number(p.batting),
        neck: p.neck.map(json::number),
        levels: levels.collect(),
        layers: p.layers.iter().map(BattingLine::new).collect(),
        batting_area: json::number(p.area),
        findings: json::findings(&p.findings),
    })
}

/// A person over time.
#[derive(Serialize)]
struct OverTime<'a> {
    format: u32,
    name: &'a str,
    altered: Vec<AlteredLine<'a>>,
    dates: &'a [String],
    days: &'a [i64],
    measures: Vec<CourseLine>,
    findings: Value,
}

/// What is altered on a date.
#[derive(Serialize)]
struct AlteredLine<'a> {
    date: &'a str,
    alterations: Vec<AlterationLine>,
}

/// A measurement at every date.
#[derive(Serialize)]
struct CourseLine {
    key: String,
    name: &'static str,
    unit: &'static str,
    values: Vec<Option<Rounded>>,
    difference: Rounded,
    noise_limit: Rounded,
    is_noise: bool,
    in_30_days: Option<Rounded>,
}

impl CourseLine {
    fn new(c: &Course, row: &CourseRow) -> Self {
        let value = |v| json::value_of(row.measure, v);
        let values = row.values.iter();
        Self {
            key: row.side.key_of(row.measure),
            name: row.measure.info().title.of(c.figure),
            unit: json::unit(row.measure),
            values: values.map(|t| t.as_ref().map(|t| value(t.value))).collect(),
            difference: value(row.apart),
            noise_limit: value(row.limit),
            is_noise: row.is_noise(),
            in_30_days: course::rate(c, row).map(value),
        }
    }
}

/// A person over time.
///
/// # Errors
/// [`Error::Format`] if the values cannot be written as JSON.
pub fn course_json(c: &Course) -> Result<Value, Error> {
    let altered = c.altered.iter().map(|(date, list)| AlteredLine {
        date: &c.dates[*date],
        alterations: AlterationLine::all(list),
    });
    json::value(&OverTime {
        format: json::FORMAT,
        name: &c.name,
        altered: altered.collect(),
        dates: &c.dates,
        days: &c.days,
        measures: c.rows.iter().map(|row| CourseLine::new(c, row)).collect(),
        findings: json::findings(&c.findings),
    })
}
