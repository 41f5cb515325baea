//! From the text of a sheet to a [`Sheet`], or to every reason why not.

use serde_spanned::Spanned;
use toml::de::DeTable;
use toml::de::DeValue;

use crate::error::Error;
use crate::error::Finding;
use crate::error::Place;
use crate::error::Severity;
use crate::measure::Measure;
use crate::measure::Side;
use crate::sheet::Abdomen;
use crate::sheet::Amount;
use crate::sheet::Back;
use crate::sheet::Figure;
use crate::sheet::Given;
use crate::sheet::Place3;
use crate::sheet::Shape;
use crate::sheet::Sheet;
use crate::sheet::Shoulders;
use crate::sheet::WaistKind;
use crate::sheet::check;
use crate::sheet::plausible;
use crate::source;
use crate::source::Source;
use crate::source::Value;
use crate::units;
use crate::units::AngleOrLength;
use crate::units::Unit;

/// Longest name that fits on a piece and in a title (characters).
const LONGEST_NAME: usize = 80;

/// Keys that stand above the first table.
const TOP_KEYS: [&str; 6] = ["name", "taken", "unit", "figure", "waist", "supported"];
/// Tables of measurements.
const TABLES: [&str; 8] = [
    "girth", "arc", "length", "breadth", "depth", "height", "slope", "wall",
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

/// Reads a measurement sheet. `file` is its name as the person typed it: it is printed in messages
/// and gives the form its name where the sheet has none.
///
/// # Errors
/// [`Error::Sheet`] with every reason for refusing, and every warning, in the order of the lines.
pub fn read(text: &str, file: &str) -> Result<Sheet, Error> {
    let (mut source, top) = Source::open(text, file);
    let head = Head::read(&mut source, &top, file);
    let mut given = Vec::new();
    let mut shape = Shape::default();
    for (key, value) in &top {
        let name = key.get_ref().as_ref();
        if TOP_KEYS.contains(&name) {
            continue;
        }
        if name == "shape" {
            if let Some(table) = source.table("shape", value) {
                shape = read_shape(&mut source, table);
            }
        } else if TABLES.contains(&name) {
            if let Some(table) = source.table(name, value) {
                // Without a unit the numbers cannot be judged, but they can be read.
                let unit = head.unit.unwrap_or(Unit::Mm);
                read_table(&mut source, name, table, unit, &mut given);
            }
        } else {
            unknown_top_key(&mut source, key, value);
        }
    }
    let order = |g: &Given| (g.measure, g.side != Side::Left, g.side);
    given.sort_by_key(order);
    if !source.broken {
        missing(&mut source, &top, &given);
    }
    if let (Some(unit), Some(figure)) = (head.unit, head.figure) {
        let facts = check::Facts {
            given: &given,
            unit,
            figure,
            waist: head.waist,
            supported: head.supported,
            shape,
        };
        let mut found = plausible::magnitudes(&facts, head.unit_place.as_ref());
        // What was spoken of once is not spoken of again.
        let doubted = |found: &[Finding]| -> Vec<Measure> {
            let unit = found.iter().any(|f| f.measure.is_none());
            if unit {
                Measure::ALL.to_vec()
            } else {
                found.iter().filter_map(|f| f.measure).collect()
            }
        };
        let wild = doubted(&found);
        found.extend(
            check::impossible(&facts)
                .into_iter()
                .filter(|f| f.measure.is_none_or(|m| !wild.contains(&m))),
        );
        let wild = doubted(&found);
        found.extend(plausible::proportions(&facts, &wild));
        for finding in found {
            source.push(finding);
        }
    }
    let findings = source.into_findings();
    match (head.unit, head.figure) {
        (Some(unit), Some(figure)) if findings.iter().all(|f| f.severity != Severity::Refusal) => {
            Ok(Sheet {
                name: head.name,
                file: file.to_owned(),
                taken: head.taken,
                unit,
                figure,
                waist: head.waist,
                supported: head.supported,
                given,
                shape,
                findings,
            })
        }
        _ => Err(Error::Sheet(findings)),
    }
}

/// What stands above the first table.
struct Head {
    name: String,
    taken: Option<String>,
    unit: Option<Unit>,
    unit_place: Option<Place>,
    figure: Option<Figure>,
    waist: WaistKind,
    supported: bool,
}

impl Head {
    fn read<'a>(source: &mut Source<'a>, top: &DeTable<'a>, file: &str) -> Self {
        let name = match top.get("name") {
            Some(value) => source.name("name", value, LONGEST_NAME),
            None => None,
        };
        let taken = match top.get("taken") {
            Some(value) => read_date(source, value),
            None => None,
        };
        let unit = match top.get("unit") {
            Some(value) => source.choice("unit", value, &Unit::ALL.map(|u| (u.name(), u))),
            None => {
                obligatory(
                    source,
                    "the sheet does not say its unit",
                    "write `unit = \"cm\"`, \"mm\" or \"in\" above the first table: it is what a \
                     bare number means",
                );
                None
            }
        };
        let figure = match top.get("figure") {
            Some(value) => source.choice(
                "figure",
                value,
                &[
                    ("woman", Figure::Woman),
                    ("man", Figure::Man),
                    ("child", Figure::Child),
                ],
            ),
            None => {
                obligatory(
                    source,
                    "the sheet does not say whose figure it is",
                    "write `figure = \"woman\"`, \"man\" or \"child\" above the first table: it \
                     says what to expect of what was not measured",
                );
                None
            }
        };
        let waist = top.get("waist").and_then(|value| {
            source.choice(
                "waist",
                value,
                &[
                    ("natural", WaistKind::Natural),
                    ("iso", WaistKind::Iso),
                    ("navel", WaistKind::Navel),
                ],
            )
        });
        let supported = top
            .get("supported")
            .and_then(|value| source.truth("supported", value));
        Self {
            name: name.unwrap_or_else(|| name_of_file(file)),
            taken,
            unit,
            unit_place: top.get("unit").map(|value| source.place(&value.span())),
            figure,
            waist: waist.unwrap_or(WaistKind::Natural),
            supported: supported.unwrap_or(true),
        }
    }
}

fn obligatory(source: &mut Source<'_>, message: &str, hint: &str) {
    if !source.broken {
        source.push(Finding::new(Severity::Refusal, message, hint));
    }
}

/// The file's name without its folder and ending, fit for printing.
fn name_of_file(file: &str) -> String {
    let last = file.rsplit(['/', '\\']).next().unwrap_or(file);
    let stem = last.rsplit_once('.').map_or(last, |(stem, _)| stem);
    let name: String = stem
        .chars()
        .filter(|c| !source::is_unprintable(*c))
        .take(LONGEST_NAME)
        .collect();
    if name.trim().is_empty() {
        "sheet".into()
    } else {
        name.trim().to_owned()
    }
}

fn read_date(source: &mut Source<'_>, value: &Value<'_>) -> Option<String> {
    let date = match value.get_ref() {
        DeValue::Datetime(when) => when.date,
        DeValue::String(words) => words
            .trim()
            .parse::<toml::value::Datetime>()
            .ok()
            .and_then(|when| when.date),
        _ => None,
    };
    if date.is_none() {
        source.refuse(
            value.span(),
            "`taken` is not a date",
            "write year, month and day: `taken = 2026-03-14`",
        );
    }
    date.map(|d| d.to_string())
}

fn unknown_top_key(
    source: &mut Source<'_>,
    key: &Spanned<std::borrow::Cow<'_, str>>,
    value: &Value<'_>,
) {
    let name = key.get_ref().as_ref();
    let places = tables_with(name);
    let hint = if value.get_ref().is_table() {
        match name {
            "widths" | "width" => "did you mean `[breadth]`?".to_owned(),
            "layer" | "stock" | "dowel" | "pole" | "base" | "padding" | "paper" | "form" => {
                "materials and machines belong in a workshop file; a sheet describes a body only"
                    .to_owned()
            }
            _ => {
                let mut known = TABLES.to_vec();
                known.push("shape");
                source::did_you_mean(name, &known, '`')
            }
        }
    } else if places.is_empty() {
        source::did_you_mean(name, &TOP_KEYS, '`')
    } else {
        format!("write it below {}", headers(&places))
    };
    let kind = if value.get_ref().is_table() {
        "a table"
    } else {
        "a key"
    };
    source.refuse(
        key.span(),
        format!(
            "`{}` is not {kind} of a measurement sheet",
            units::clip(name)
        ),
        hint,
    );
}

/// Tables of the sheet that have this key.
fn tables_with(key: &str) -> Vec<&'static str> {
    let key = if key == "chest" { "bust" } else { key };
    TABLES
        .into_iter()
        .filter(|table| keys_of(table).contains(&key))
        .collect()
}

fn headers(tables: &[&str]) -> String {
    let with_brackets: Vec<String> = tables.iter().map(|t| format!("[{t}]")).collect();
    let words: Vec<&str> = with_brackets.iter().map(String::as_str).collect();
    source::list(&words, '`')
}

/// The keys of one table.
fn keys_of(table: &str) -> Vec<&'static str> {
    Measure::ALL
        .into_iter()
        .filter(|m| m.is_sheet_key())
        .map(Measure::table_and_key)
        .filter(|(t, _)| *t == table)
        .map(|(_, key)| key)
        .collect()
}

fn read_table<'a>(
    source: &mut Source<'a>,
    table: &str,
    values: &DeTable<'a>,
    unit: Unit,
    given: &mut Vec<Given>,
) {
    for (key, value) in values {
        let typed = key.get_ref().as_ref();
        let name = if typed == "chest" && keys_of(table).contains(&"bust") {
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
            None => unknown_key(source, table, key, value),
        }
    }
}

fn unknown_key(
    source: &mut Source<'_>,
    table: &str,
    key: &Spanned<std::borrow::Cow<'_, str>>,
    value: &Value<'_>,
) {
    let typed = key.get_ref().as_ref();
    let normal = typed.to_lowercase().replace(['-', ' '], "_");
    let known = keys_of(table);
    let elsewhere = tables_with(&normal);
    let also = ALSO_CALLED
        .iter()
        .find(|(word, _)| *word == normal)
        .map(|(_, name)| *name);
    let hint = if let Some(name) = also.filter(|name| known.contains(name)) {
        format!("here it is called `{name}`")
    } else if table == "slope" && normal.contains("drop") {
        "write the drop as `shoulder = \"5.5 cm\"`: with a unit it is a drop, without it is degrees"
            .to_owned()
    } else if TOP_KEYS.contains(&normal.as_str()) && !value.get_ref().is_table() {
        format!("move `{normal}` above the first table, to the head of the sheet")
    } else if !elsewhere.is_empty() {
        format!("write it below {}", headers(&elsewhere))
    } else if let Some(near) = source::nearest(typed, &known) {
        format!("did you mean `{near}`?")
    } else if let Some(name) = also {
        format!(
            "here it is called `{name}`, below {}",
            headers(&tables_with(name))
        )
    } else {
        source::did_you_mean(typed, &known, '`')
    };
    source.refuse(
        key.span(),
        format!(
            "`{table}.{}` is not a measurement of the sheet",
            units::clip(typed)
        ),
        hint,
    );
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
        if number < 0.0 || (number <= 0.0 && !may_be_zero) {
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
        if half > 0.0 {
            return Some(half);
        }
        source.refuse(
            value.span(),
            format!("`{key}` must be more than zero"),
            "write how far off the reading may be, 19 times out of 20, or leave it out",
        );
        None
    }
}

fn read_shape<'a>(source: &mut Source<'a>, table: &DeTable<'a>) -> Shape {
    const KNOWN: [&str; 6] = ["abdomen", "seat", "blades", "bust", "shoulders", "back"];
    const AMOUNTS: [(&str, Amount); 3] = [
        ("flat", Amount::Flat),
        ("average", Amount::Average),
        ("full", Amount::Full),
    ];
    let mut shape = Shape::default();
    for (key, value) in table {
        match key.get_ref().as_ref() {
            "abdomen" => {
                shape.abdomen = source.choice(
                    "shape.abdomen",
                    value,
                    &[
                        ("flat", Abdomen::Flat),
                        ("average", Abdomen::Average),
                        ("full", Abdomen::Full),
                        ("pregnant", Abdomen::Pregnant),
                    ],
                );
            }
            "seat" => shape.seat = source.choice("shape.seat", value, &AMOUNTS),
            "blades" => shape.blades = source.choice("shape.blades", value, &AMOUNTS),
            "bust" => {
                shape.bust = source.choice(
                    "shape.bust",
                    value,
                    &[
                        ("high", Place3::High),
                        ("average", Place3::Average),
                        ("low", Place3::Low),
                    ],
                );
            }
            "shoulders" => {
                shape.shoulders = source.choice(
                    "shape.shoulders",
                    value,
                    &[
                        ("square", Shoulders::Square),
                        ("average", Shoulders::Average),
                        ("sloping", Shoulders::Sloping),
                    ],
                );
            }
            "back" => {
                shape.back = source.choice(
                    "shape.back",
                    value,
                    &[
                        ("erect", Back::Erect),
                        ("average", Back::Average),
                        ("rounded", Back::Rounded),
                    ],
                );
            }
            other => source.refuse(
                key.span(),
                format!("`shape.{}` is not a key of the sheet", units::clip(other)),
                source::did_you_mean(other, &KNOWN, '`'),
            ),
        }
    }
    shape
}

/// Refuses a sheet without the values that nothing else can stand in for.
fn missing(source: &mut Source<'_>, top: &DeTable<'_>, given: &[Given]) {
    // A value that was written and refused is not missing.
    let written = |measure: Measure| {
        let (table, key) = measure.table_and_key();
        let table = top.get(table).and_then(|t| t.get_ref().as_table());
        given.iter().any(|g| g.measure == measure)
            || table
                .is_some_and(|t| t.contains_key(key) || (key == "bust" && t.contains_key("chest")))
    };
    for (measure, example) in [
        (Measure::GirthBust, "`bust = ...` (or `chest = ...`)"),
        (Measure::GirthWaist, "`waist = ...`"),
        (Measure::GirthHip, "`hip = ...`"),
    ] {
        if !written(measure) {
            let finding = Finding::new(
                Severity::Refusal,
                format!("`{measure}` is missing"),
                format!("write {example} below `[girth]`: {}", measure.info().how),
            );
            source.push(finding.about(measure));
        }
    }
    if !written(Measure::LengthBackWaist) && !written(Measure::HeightStature) {
        let finding = Finding::new(
            Severity::Refusal,
            "neither `length.back_waist` nor `height.stature` is given",
            "write `back_waist = ...` below `[length]`, or `stature = ...` below `[height]`: one \
             of them says how long the body is",
        );
        source.push(finding.about(Measure::LengthBackWaist));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::EXAMPLE;

    #[test]
    fn the_example_is_read_without_a_word() {
        let sheet = read(EXAMPLE, "examples/contralto.toml").unwrap();
        assert_eq!(sheet.findings, []);
        assert_eq!(sheet.name, "contralto");
        assert_eq!(sheet.taken.as_deref(), Some("2026-03-14"));
        assert_eq!(sheet.value(Measure::GirthBust), Some(960.0));
        let waist = sheet
            .given
            .iter()
            .find(|g| g.measure == Measure::GirthWaist)
            .unwrap();
        assert_eq!(waist.within, Some(10.0));
        assert_eq!(waist.place.text.trim_start(), waist.place.text);
        assert!(waist.place.text.starts_with("waist     = { value"));
    }
}
