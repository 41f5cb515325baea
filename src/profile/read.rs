//! From the text of a size profile to a [`Profile`], or to every reason why not.

use toml::de::DeTable;

use crate::error::{Error, Finding, Severity};
use crate::measure::Measure;
use crate::profile::facts::{Lack, ProfileFact, unknown_part};
use crate::profile::values::{LONGEST_WORDS, MOST_COLUMNS, OneColumn, entries, grid, numbers};
use crate::profile::{Column, Profile};
use crate::sheet::{Figure, WaistKind};
use crate::source;
use crate::source::{Guess, Quoting, Source, Value};
use crate::units;
use crate::units::Unit;

/// Longest name of a system or a size (characters).
const LONGEST_NAME: usize = 24;

const HEAD: [&str; 9] = [
    "system", "title", "figure", "waist", "unit", "source", "terms", "made", "caution",
];
const SIZE: [&str; 7] = [
    "main", "names", "columns", "usual", "across", "reach", "people",
];

/// Reads a size profile. `file` is its name for messages.
///
/// # Errors
/// [`Error::Profile`] with every reason, in the order of the lines.
pub fn read(text: &str, file: &str) -> Result<Profile, Error> {
    let (mut source, top) = Source::open(text, file);
    let profile = profile(&mut source, &top);
    let broken = source.broken;
    let mut findings = source.into_findings();
    if profile.is_none() && findings.is_empty() {
        let file = file.to_owned();
        let fact = ProfileFact::NoProfile { file };
        findings.push(Finding::of(Severity::Refusal, fact));
    }
    match profile {
        Some(p) if !broken && findings.iter().all(|f| f.severity != Severity::Refusal) => Ok(p),
        _ => Err(Error::Profile(findings)),
    }
}

fn missing(source: &mut Source<'_>, what: Lack) {
    if !source.broken {
        let fact = ProfileFact::Lacks { what };
        source.push(Finding::of(Severity::Refusal, fact));
    }
}

/// Words of the head, printable and not too long; nothing when the key is absent.
fn words<'a>(source: &mut Source<'a>, top: &DeTable<'a>, key: &str) -> Option<String> {
    top.get(key)
        .and_then(|v| source.name(key, v, LONGEST_WORDS))
}

/// A name that can be typed in a command: lower-case letters, digits and what `more` allows.
fn plain<'a>(source: &mut Source<'a>, key: &str, value: &Value<'a>, more: &str) -> Option<String> {
    let name = source.name(key, value, LONGEST_NAME)?;
    let fits =
        |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '.' || more.contains(c);
    if name.chars().all(fits) && !name.starts_with('-') {
        return Some(name);
    }
    let fact = ProfileFact::NoName {
        key: key.to_owned(),
        written: units::clip(&name),
    };
    source.refuse(value.span(), fact);
    None
}

fn profile<'a>(source: &mut Source<'a>, top: &DeTable<'a>) -> Option<Profile> {
    let Some(system) = top.get("system") else {
        missing(source, Lack::Name);
        return None;
    };
    let system = plain(source, "system", system, "-");
    let unit = match top.get("unit") {
        Some(v) => source.choice("unit", v, &Unit::ALL.map(|u| (u.name(), u))),
        None => {
            missing(source, Lack::Unit);
            None
        }
    };
    let figure = match top.get("figure") {
        Some(v) => source.choice("figure", v, &Figure::NAMED),
        None => {
            missing(source, Lack::Figure);
            None
        }
    };
    let waist = match top.get("waist") {
        Some(v) => source.choice("waist", v, &WaistKind::NAMED),
        None => {
            missing(source, Lack::Waist);
            None
        }
    };
    let said = words(source, top, "source");
    if top.get("source").is_none() {
        missing(source, Lack::Source);
    }
    let texts = ["title", "terms", "made", "caution"].map(|key| words(source, top, key));
    let sizes = match top.get("size") {
        Some(v) => source.table("size", v),
        None => {
            missing(source, Lack::Sizes);
            None
        }
    };
    let names = sizes.and_then(|t| Names::read(source, t, unit.unwrap_or(Unit::Mm)));
    let rows = names.as_ref().map_or(0, |n| n.names.len());
    let width = names.as_ref().map_or(1, |n| n.columns.len().max(1));
    let mut measures = Vec::new();
    for (key, value) in top {
        let name = key.get_ref().as_ref();
        if HEAD.contains(&name) || name == "size" {
            continue;
        }
        let known = Measure::ALL.iter().any(|m| m.table_and_key().0 == name);
        match value.get_ref().as_table() {
            Some(table) if known => {
                for (key, value) in table {
                    let dotted = format!("{name}.{}", key.get_ref());
                    let dotted = if dotted == "girth.chest" {
                        "girth.bust".to_owned()
                    } else {
                        dotted
                    };
                    match Measure::from_key(&dotted).filter(|m| m.is_sheet_key()) {
                        Some(measure) => {
                            let reader = OneColumn {
                                measure,
                                rows,
                                width,
                                unit: unit.unwrap_or(Unit::Mm),
                            };
                            measures.extend(reader.read(source, value));
                        }
                        None => source.refuse(
                            key.span(),
                            ProfileFact::UnknownMeasure {
                                key: units::clip(&dotted),
                            },
                        ),
                    }
                }
            }
            _ => {
                let mut all = HEAD.to_vec();
                all.push("size");
                let fact = ProfileFact::UnknownKey {
                    key: units::clip(name),
                    guess: Guess::of(name, &all, Quoting::Keys),
                };
                source.refuse(key.span(), fact);
            }
        }
    }
    measures.sort_by_key(|c| c.measure);
    let names = names?;
    if rows > 0 {
        judge(source, &names, &measures);
    }
    let [title, terms, made, caution] = texts;
    let system = system?;
    Some(Profile {
        title: title.unwrap_or_else(|| format!("sizes of {system}")),
        system,
        figure: figure?,
        waist: waist?,
        unit: unit?,
        source: said?,
        terms: terms.unwrap_or_default(),
        made: made.unwrap_or_default(),
        caution: caution.unwrap_or_default(),
        main: names.main,
        names: names.names,
        columns: names.columns,
        usual: names.usual,
        across: names.across,
        people: names.people,
        measures,
    })
}

/// The main measurement must be there, and rise from size to size; so must what runs across.
fn judge<'a>(source: &mut Source<'a>, names: &Names, measures: &[Column]) {
    let mut refuse = |fact: ProfileFact| source.push(Finding::of(Severity::Refusal, fact));
    let Some(main) = measures.iter().find(|c| c.measure == names.main) else {
        refuse(ProfileFact::NoMain { main: names.main });
        return;
    };
    let rising = |list: &[f64]| list.windows(2).all(|w| w[0] < w[1]);
    for (column, list) in main.values.iter().enumerate() {
        let seen: Vec<f64> = list.iter().flatten().copied().collect();
        if !rising(&seen) {
            refuse(ProfileFact::NotRising { main: names.main });
            return;
        }
        // A size of this column without its main measurement must have nothing else.
        let ghosts = list.iter().enumerate().filter(|(_, v)| v.is_none());
        for (i, _) in ghosts {
            if measures.iter().any(|c| c.values[column][i].is_some()) {
                refuse(ProfileFact::SizeLacksMain {
                    size: names.names[i].clone(),
                    main: names.main,
                });
                return;
            }
        }
    }
    if let Some((measure, _)) = names.across {
        let whole = measures.iter().find(|c| c.measure == measure);
        let whole = whole.filter(|c| c.values.iter().flatten().all(Option::is_some));
        let fine = whole.is_some_and(|c| {
            (0..names.names.len()).all(|i| {
                let line: Vec<f64> = c.values.iter().filter_map(|l| l[i]).collect();
                line.len() > 1 && rising(&line)
            })
        });
        if !fine {
            refuse(ProfileFact::NotAcross { measure });
        }
    }
}

/// How sizes are called.
struct Names {
    main: Measure,
    names: Vec<String>,
    columns: Vec<String>,
    usual: usize,
    across: Option<(Measure, [f64; 2])>,
    people: Vec<Vec<Option<f64>>>,
}

impl Names {
    fn read<'a>(source: &mut Source<'a>, table: &DeTable<'a>, unit: Unit) -> Option<Self> {
        for (key, _) in table {
            if !SIZE.contains(&key.get_ref().as_ref()) {
                let fact = unknown_part("size", key.get_ref(), &SIZE);
                source.refuse(key.span(), fact);
            }
        }
        let main = match table.get("main") {
            Some(v) => measure(source, "size.main", v),
            None => {
                missing(source, Lack::Main);
                None
            }
        };
        let names = list_of_names(source, table, "names", "");
        if table.get("names").is_none() {
            missing(source, Lack::Names);
        }
        let columns = list_of_names(source, table, "columns", "").unwrap_or_default();
        if let Some(value) = table.get("columns")
            && columns.len() > MOST_COLUMNS
        {
            let (count, most) = (columns.len(), MOST_COLUMNS);
            source.refuse(value.span(), ProfileFact::ManyColumns { count, most });
            return None;
        }
        let usual = match table.get("usual") {
            Some(v) => {
                let choices: Vec<(&str, usize)> =
                    columns.iter().map(String::as_str).zip(0..).collect();
                source.choice("size.usual", v, &choices)?
            }
            None => 0,
        };
        let across = match table.get("across") {
            Some(v) => {
                let measure = measure(source, "size.across", v)?;
                let reach = match table.get("reach") {
                    Some(v) => {
                        let list = numbers(source, "size.reach", v, measure, unit, 2)?;
                        match list[..] {
                            [Some(low), Some(high)] if low < high => [low, high],
                            _ => {
                                source.refuse(v.span(), ProfileFact::NoReach);
                                return None;
                            }
                        }
                    }
                    // Between the columns and no further.
                    None => [f64::INFINITY, f64::NEG_INFINITY],
                };
                Some((measure, reach))
            }
            None => None,
        };
        let names = names?;
        let people = match table.get("people") {
            Some(v) => grid(
                source,
                "size.people",
                v,
                names.len(),
                columns.len().max(1),
                |source, key, v| source.number(key, v),
            )?,
            None => Vec::new(),
        };
        Some(Self {
            main: main?,
            names,
            columns,
            usual,
            across,
            people,
        })
    }
}

fn measure<'a>(source: &mut Source<'a>, key: &str, value: &Value<'a>) -> Option<Measure> {
    let words = source.words(key, value)?;
    let found = Measure::from_key(words).filter(|m| m.is_sheet_key());
    if found.is_none() {
        let keys: Vec<&str> = Measure::ALL.iter().map(|m| m.key()).collect();
        let near = source::nearest(words, &keys);
        let fact = ProfileFact::NoMeasure {
            key: key.to_owned(),
            written: units::clip(words),
            guess: near.map(|near| Guess::near(words, near, Quoting::Quotes)),
        };
        source.refuse(value.span(), fact);
    }
    found
}

fn list_of_names<'a>(
    source: &mut Source<'a>,
    table: &DeTable<'a>,
    key: &str,
    more: &str,
) -> Option<Vec<String>> {
    let value = table.get(key)?;
    let dotted = format!("size.{key}");
    let mut names: Vec<String> = Vec::new();
    for v in entries(source, &dotted, value)? {
        let name = plain(source, &dotted, v, more)?;
        if names.contains(&name) {
            let fact = ProfileFact::NameTwice {
                key: dotted.clone(),
                name: name.clone(),
            };
            source.refuse(v.span(), fact);
        }
        names.push(name);
    }
    if names.is_empty() {
        source.refuse(value.span(), ProfileFact::NoNames { key: dotted });
        return None;
    }
    Some(names)
}
