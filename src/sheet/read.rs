//! From the text of a sheet to a [`Sheet`], or to every reason why not.

use toml::de::DeTable;
use toml::de::DeValue;

use crate::error::{Error, Finding, Place, Severity};
use crate::measure::{Measure, Side};
use crate::sheet::amend;
use crate::sheet::check;
use crate::sheet::facts::SheetFact;
use crate::sheet::keys;
use crate::sheet::narrow_waist;
use crate::sheet::plausible;
use crate::sheet::shape;
use crate::sheet::sums;
use crate::sheet::value;
use crate::sheet::{Averages, Figure, Given, NOT_SEATED, Posture, Shape, Sheet, WaistKind, Worn};
use crate::source;
use crate::source::{Guess, Quoting, Source, Value};
use crate::units;
use crate::units::Unit;

/// Longest name that fits on a piece and in a title (characters).
const LONGEST_NAME: usize = 80;

/// Reads a measurement sheet. `file` is its name as the person typed it: it is printed in messages
/// and gives the form its name where the sheet has none.
///
/// # Errors
/// [`Error::Sheet`] with every reason for refusing, and every warning, in the order of the lines.
pub fn read(text: &str, file: &str) -> Result<Sheet, Error> {
    whole(text, file, true).map_err(Error::Sheet)
}

/// What [`read`] would say of a sheet that is not finished: every finding about what stands in it,
/// but nothing about what is still missing.
#[must_use]
pub fn look(text: &str, file: &str) -> Vec<Finding> {
    match whole(text, file, false) {
        Ok(sheet) => sheet.findings,
        Err(findings) => findings,
    }
}

/// A sheet that may lack values that a form needs.
///
/// # Errors
/// Every reason for refusing what stands in it.
pub(super) fn unfinished(text: &str, file: &str) -> Result<Sheet, Vec<Finding>> {
    whole(text, file, false)
}

/// Reads a sheet; one that is not `finished` may lack values that a form needs.
fn whole(text: &str, file: &str, finished: bool) -> Result<Sheet, Vec<Finding>> {
    let (mut source, top) = Source::open(text, file);
    let head = Head::read(&mut source, &top, file);
    let mut given = Vec::new();
    let mut shape = Shape::default();
    let mut amends = Vec::new();
    for (key, value) in &top {
        let name = key.get_ref().as_ref();
        if keys::TOP_KEYS.contains(&name) {
            continue;
        }
        if name == "shape" {
            if let Some(table) = source.table("shape", value) {
                let unit = head.unit.unwrap_or(Unit::Mm);
                (shape, amends) = shape::read_shape(&mut source, table, unit);
            }
        } else if keys::TABLES.contains(&name) {
            if let Some(table) = source.table(name, value) {
                // Without a unit the numbers cannot be judged, but they can be read.
                let unit = head.unit.unwrap_or(Unit::Mm);
                value::read_table(&mut source, name, table, unit, &mut given);
            }
        } else {
            keys::unknown_top_key(&mut source, key, value);
        }
    }
    given.retain(|g| !source.is_broken(g.place.line));
    if head.posture == Posture::Seated {
        for g in given.iter().filter(|g| NOT_SEATED.contains(&g.measure)) {
            let fact = SheetFact::OfNobodySeated { measure: g.measure };
            let finding = Finding::of(Severity::Refusal, fact).about(g.measure);
            source.push(finding.at(g.place.clone()));
        }
    }
    let stature = given.iter().find(|g| g.measure == Measure::HeightStature);
    amend::together(
        &mut source,
        &amends,
        stature.map(|g| g.value),
        head.unit.unwrap_or(Unit::Mm),
    );
    let order = |g: &Given| (g.measure, g.side != Side::Left, g.side);
    given.sort_by_key(order);
    if finished && !source.broken {
        missing(&mut source, &top, &given);
    }
    if let (Some(unit), Some(averages)) = (head.unit, head.averages) {
        let facts = check::Facts {
            given: &given,
            unit,
            averages,
            waist: head.waist,
            worn: head.worn,
            posture: head.posture,
            shape,
        };
        let found = judge(&facts, head.unit_place.as_ref());
        let alike = sums::alike(&facts).filter(|one| {
            let unlike = amends.iter().any(|a| a.towards.is_one_sided());
            !unlike && found.iter().all(|f| f.measure != one.measure)
        });
        for finding in found.into_iter().chain(alike) {
            source.push(finding);
        }
    }
    let findings = source.into_findings();
    match (head.unit, head.averages) {
        (Some(unit), Some(averages))
            if findings.iter().all(|f| f.severity != Severity::Refusal) =>
        {
            Ok(Sheet {
                name: head.name,
                file: file.to_owned(),
                taken: head.taken,
                taken_by: head.taken_by,
                unit,
                figure: averages.first(),
                averages,
                waist: head.waist,
                worn: head.worn,
                posture: head.posture,
                given,
                shape,
                amends,
                findings,
            })
        }
        _ => Err(findings),
    }
}

/// Everything that the values say about each other, but for warnings about what was measured again and is right.
fn judge(facts: &check::Facts<'_>, unit_place: Option<&Place>) -> Vec<Finding> {
    let sure = |m: Measure| facts.given.iter().any(|g| g.measure == m && g.sure);
    let mut found = all_odd(facts, unit_place);
    found.retain(|f| f.severity == Severity::Refusal || !f.measure.is_some_and(sure));
    found
}

/// Everything that the values say about each other, each said once.
fn all_odd(facts: &check::Facts<'_>, unit_place: Option<&Place>) -> Vec<Finding> {
    let mut found = plausible::magnitudes(facts, unit_place);
    let unit_doubted = found.iter().any(|f| f.measure.is_none());
    let refused = |found: &[Finding]| -> Vec<Measure> {
        found
            .iter()
            .filter(|f| f.severity == Severity::Refusal)
            .filter_map(|f| f.measure)
            .collect()
    };
    let wild = refused(&found);
    let arcs = sums::front_arcs(facts);
    // The finding about an arc beside its girth says more than its range does.
    found
        .retain(|f| f.severity == Severity::Refusal || arcs.iter().all(|a| a.measure != f.measure));
    found.extend(
        check::impossible(facts)
            .into_iter()
            .chain(arcs)
            .filter(|f| f.measure.is_none_or(|m| !wild.contains(&m))),
    );
    if unit_doubted {
        return found;
    }
    let mut apart = plausible::together(facts, &refused(&found));
    if apart.is_empty() {
        apart.extend(narrow_waist::narrow_waist(facts, &refused(&found)));
    }
    let at_odds: Vec<Measure> = apart.iter().filter_map(|f| f.measure).collect();
    // What is refused beside another need not also be called large or small.
    found.retain(|f| {
        f.severity == Severity::Refusal || f.measure.is_none_or(|m| !at_odds.contains(&m))
    });
    found.extend(apart);
    let (swapped, said) = plausible::swaps(facts, &refused(&found));
    // A pair that is swapped need not also be called too large and too small.
    found.retain(|f| {
        f.severity == Severity::Refusal || f.measure.is_none_or(|m| !swapped.contains(&m))
    });
    let mut doubted: Vec<Measure> = found.iter().filter_map(|f| f.measure).collect();
    doubted.extend(swapped);
    found.extend(said);
    found.extend(plausible::proportions(facts, &doubted));
    found
}

/// What stands above the first table.
struct Head {
    name: String,
    taken: Option<String>,
    taken_by: Option<String>,
    unit: Option<Unit>,
    unit_place: Option<Place>,
    averages: Option<Averages>,
    waist: WaistKind,
    worn: Option<Worn>,
    posture: Posture,
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
        let taken_by = top
            .get("taken_by")
            .and_then(|value| source.name("taken_by", value, LONGEST_NAME));
        let unit = match top.get("unit") {
            Some(value) => source.choice("unit", value, &Unit::ALL.map(|u| (u.name(), u))),
            None => {
                obligatory(source, top, "unit", SheetFact::NoUnit);
                None
            }
        };
        let averages = match top.get("figure") {
            Some(value) => read_averages(source, value),
            None => {
                obligatory(source, top, "figure", SheetFact::NoFigure);
                None
            }
        };
        let waist = top
            .get("waist")
            .and_then(|value| source.choice("waist", value, &WaistKind::NAMED));
        let worn = match (top.get("worn"), top.get("supported")) {
            (Some(value), _) => source.choice("worn", value, &Worn::NAMED),
            (None, Some(value)) => source
                .truth("supported", value)
                .map(|held| if held { Worn::Bra } else { Worn::Nothing }),
            (None, None) => None,
        };
        Self {
            name: name.unwrap_or_else(|| name_of_file(file)),
            taken,
            taken_by,
            unit,
            unit_place: top.get("unit").map(|value| source.place(&value.span())),
            averages,
            waist: waist.unwrap_or(WaistKind::Natural),
            worn,
            posture: top
                .get("posture")
                .and_then(|value| source.choice("posture", value, &Posture::NAMED))
                .unwrap_or_default(),
        }
    }
}

fn obligatory(source: &mut Source<'_>, top: &DeTable<'_>, key: &str, fact: SheetFact) {
    // Below a table by mistake, or misspelt: spoken of where it stands.
    if !source.broken && !keys::strayed(top, key) {
        source.push(Finding::of(Severity::Refusal, fact));
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
        source.refuse(value.span(), SheetFact::NoDate);
    }
    date.map(|d| d.to_string())
}

/// Whose averages to use: a word, or shares: `{ woman = 0.5, man = 0.5 }`.
fn read_averages<'a>(source: &mut Source<'a>, value: &Value<'a>) -> Option<Averages> {
    let Some(table) = value.get_ref().as_table() else {
        return source
            .choice("figure", value, &Figure::NAMED)
            .map(Averages::from);
    };
    let mut shares: Vec<(Figure, f64)> = Vec::new();
    for (key, value) in table {
        let name = key.get_ref().as_ref();
        let Some(figure) = Figure::of_name(name) else {
            let names = Figure::NAMED.map(|(name, _)| name);
            let fact = SheetFact::UnknownShare {
                key: units::clip(name),
                guess: Guess::of(name, &names, Quoting::Keys),
            };
            source.refuse(key.span(), fact);
            return None;
        };
        shares.push((figure, source.number(&format!("figure.{name}"), value)?));
    }
    let sum: f64 = shares.iter().map(|(_, share)| share).sum();
    let whole = (sum - 1.0).abs() <= SHARES_ADD_UP && shares.iter().all(|(_, share)| *share >= 0.0);
    if !whole {
        source.refuse(value.span(), SheetFact::NoShares { sum });
        return None;
    }
    let of = |figure| {
        shares
            .iter()
            .find(|(f, _)| *f == figure)
            .map_or(0.0, |(_, s)| *s)
    };
    Some(Averages::new(of))
}

/// So much may the shares of figures differ from 1 together: thirds are written with two digits. Our choice.
const SHARES_ADD_UP: f64 = 0.02;

/// Refuses a sheet without the values that nothing else can stand in for.
fn missing(source: &mut Source<'_>, top: &DeTable<'_>, given: &[Given]) {
    // A value that was written and refused, or misspelt and spoken of, is not missing.
    let written = |measure: Measure| {
        let (table, key) = measure.table_and_key();
        given.iter().any(|g| g.measure == measure) || keys::meant(top, table, key)
    };
    for measure in Measure::lacking(written) {
        let fact = if Measure::MAIN_GIRTHS.contains(&measure) {
            SheetFact::Missing { measure }
        } else {
            SheetFact::NoLength
        };
        source.push(Finding::of(Severity::Refusal, fact).about(measure));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const EXAMPLE: &str = include_str!("../../tests/sheets/contralto.toml");

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
