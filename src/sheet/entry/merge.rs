//! Two people's sheets of one body as one: what both read becomes a reading of two tries, as two readings of one
//! person do; what one of them read stays.
//!
//! # Why is a merged reading as wide as the two differ?
//! Nobody knows whose tape lay better. The mean lies within half the difference of both; where one of them was less sure
//! of a reading than that, it stays as unsure.

use super::answer::Settled;
use super::draft::{Draft, Head};
use super::facts::MergeFact;
use super::shapes::shapes;
use crate::error::{Finding, Severity};
use crate::measure::{Measure, Side};
use crate::sheet::read;
use crate::sheet::shown::written_as;
use crate::sheet::{Given, Sheet, WaistKind};
use crate::tolerance::{READINGS_AGREE_TOLERANCE_MM, READINGS_AGREE_TOLERANCE_RAD};
use crate::units;
use crate::units::Unit;

/// What two sheets came to.
#[derive(Debug)]
pub struct Merged {
    /// The sheet, with the head of the first.
    pub draft: Draft,
    /// How many measurements both had.
    pub by_both: usize,
    /// What differs by more than two tries do, and what else is to know.
    pub findings: Vec<Finding>,
}

/// One of the two.
struct Half {
    sheet: Sheet,
    /// Who read it, or what its file is called.
    who: String,
}

/// Merges two sheets of one body; each with the name of its file. The result is for `file`.
///
/// # Errors
/// Every reason for refusing one of them, or why they are not of one body.
pub fn merge(first: [&str; 2], second: [&str; 2], file: &str) -> Result<Merged, Vec<Finding>> {
    let half = |[text, name]: [&str; 2]| -> Result<Half, Vec<Finding>> {
        let sheet = read::unfinished(text, name)?;
        let stem = name.rsplit(['/', '\\']).next().unwrap_or(name);
        let who = sheet.taken_by.clone();
        let who = who.unwrap_or_else(|| stem.trim_end_matches(".toml").to_owned());
        Ok(Half { sheet, who })
    };
    let (a, b) = (half(first)?, half(second)?);
    let refused: Vec<Finding> = of_two_bodies(&a.sheet, &b.sheet)
        .into_iter()
        .map(|fact| Finding::of(Severity::Refusal, fact))
        .collect();
    if !refused.is_empty() {
        return Err(refused);
    }
    let mut draft = Draft::open(first[0], file).map_err(|e| e.findings().to_vec())?;
    let mut notes = head(&mut draft, &a, &b);
    let mut apart = Vec::new();
    let mut by_both = 0;
    for measure in Measure::ALL {
        let mut of = [&a, &b].map(|half| -> Vec<&Given> {
            let all = half.sheet.given.iter();
            all.filter(|g| g.measure == measure).collect()
        });
        if of[1].is_empty() {
            continue;
        }
        // The one in degrees and the other as a drop, at one key.
        if of[0].is_empty() && draft.given(written_as(measure)).is_some() {
            notes.push(MergeFact::OtherKind {
                measure: written_as(measure),
            });
            continue;
        }
        by_both += usize::from(!of[0].is_empty());
        let whole = of
            .each_ref()
            .map(|all| all.iter().any(|g| g.side == Side::Both));
        if !of[0].is_empty() && whole[0] != whole[1] {
            notes.push(MergeFact::OneHasSides { measure });
            of[usize::from(whole[1])].clear();
        }
        apart.extend(one(&mut draft, measure, &of, [&a.who, &b.who]));
    }
    notes.extend(shape(&mut draft, &b.sheet, second));
    let said = |severity| move |fact| Finding::of(severity, fact);
    let mut findings: Vec<Finding> = apart.into_iter().map(said(Severity::Warning)).collect();
    findings.extend(notes.into_iter().map(said(Severity::Note)));
    for finding in &mut findings {
        finding.reader.figure = a.sheet.figure;
        finding.reader.unit = a.sheet.unit;
    }
    Ok(Merged {
        draft,
        by_both,
        findings,
    })
}

/// Why they are not readings of the same.
fn of_two_bodies(a: &Sheet, b: &Sheet) -> Vec<MergeFact> {
    let has_waist = |sheet: &Sheet| sheet.given.iter().any(|g| g.measure == Measure::GirthWaist);
    let figure = (a.averages != b.averages).then_some(MergeFact::OtherFigure {
        figures: [a.averages, b.averages],
    });
    let waist =
        (a.waist != b.waist && has_waist(a) && has_waist(b)).then(|| MergeFact::OtherWaist {
            waists: [a.waist, b.waist].map(WaistKind::name),
        });
    // What is usual need not be written.
    let breasts = |sheet: &Sheet| sheet.shape.breasts(a.figure, sheet.worn);
    let worn = (breasts(a) != breasts(b)).then_some(MergeFact::OtherAtTheBust);
    let posture = (a.posture != b.posture).then_some(MergeFact::OtherPosture);
    [figure, waist, worn, posture]
        .into_iter()
        .flatten()
        .collect()
}

/// Writes who and when.
fn head(draft: &mut Draft, a: &Half, b: &Half) -> Vec<MergeFact> {
    draft.set_head(Head::TakenBy, &format!("{} and {}", a.who, b.who));
    let dates = [&a.sheet.taken, &b.sheet.taken];
    // Dates of this kind sort as their letters do.
    if let Some(later) = dates.into_iter().flatten().max() {
        draft.set_head(Head::Taken, later);
    }
    match dates.map(Clone::clone) {
        [Some(x), Some(y)] if x != y => vec![MergeFact::OtherDay { dates: [x, y] }],
        _ => Vec::new(),
    }
}

/// Writes one measurement; what to say where the two are too far apart.
fn one(
    draft: &mut Draft,
    measure: Measure,
    of: &[Vec<&Given>; 2],
    who: [&String; 2],
) -> Vec<MergeFact> {
    let unit = draft.unit().unwrap_or(Unit::Mm);
    let (mut sides, mut comments, mut apart) = (Vec::new(), Vec::new(), Vec::new());
    let mut sure = true;
    for side in [Side::Both, Side::Left, Side::Right] {
        let read: Vec<(&Given, &String)> = of
            .iter()
            .zip(who)
            .filter_map(|(all, who)| Some((*all.iter().find(|g| g.side == side)?, who)))
            .collect();
        let settled = match read.as_slice() {
            [] => continue,
            [(x, _)] => Settled {
                value: x.value,
                within: x.within,
            },
            [(x, one), (y, other), ..] => {
                let usual = measure.info().repeat;
                if (x.value - y.value).abs() > usual {
                    apart.push(MergeFact::Apart {
                        measure,
                        side,
                        values: [x.value, y.value],
                        people: [(*one).clone(), (*other).clone()],
                        usual,
                        unit,
                    });
                }
                between(x, y)
            }
        };
        // Two who are far apart are not sure together.
        sure &= read.iter().all(|(g, _)| g.sure) && apart.is_empty();
        let words: Vec<String> = read
            .iter()
            .map(|(g, who)| format!("{} ({who})", shown(g, unit)))
            .collect();
        let side_word = match side {
            Side::Both => "",
            Side::Left => "left ",
            Side::Right => "right ",
        };
        comments.push(format!("{side_word}{}", words.join(" and ")));
        sides.push((side, settled));
    }
    draft.put_settled(
        measure,
        &sides,
        sure,
        &format!("read {}", comments.join(", ")),
    );
    apart
}

/// The mean of two readings, within half their difference or what either was less sure of.
fn between(x: &Given, y: &Given) -> Settled {
    let least = if is_angle(x.measure) {
        READINGS_AGREE_TOLERANCE_RAD
    } else {
        READINGS_AGREE_TOLERANCE_MM
    };
    let own = x.within.into_iter().chain(y.within).fold(0.0, f64::max);
    let within = ((x.value - y.value).abs() / 2.0).max(own);
    Settled {
        value: f64::midpoint(x.value, y.value),
        within: (within >= least).then_some(within),
    }
}

fn is_angle(measure: Measure) -> bool {
    measure == Measure::SlopeShoulder
}

/// A reading in a comment: `96.5`, `96.5 ± 0.5`, `37 7/8`.
fn shown(g: &Given, unit: Unit) -> String {
    let number = |v: f64| {
        if is_angle(g.measure) {
            return units::trimmed(units::degrees(v), 2);
        }
        let number = unit.from_mm(v);
        let fraction = units::inch_fraction(number).filter(|_| unit == Unit::In);
        fraction.unwrap_or_else(|| units::trimmed(number, 2))
    };
    let within = g.within.map(|w| format!(" ± {}", number(w)));
    format!("{}{}", number(g.value), within.unwrap_or_default())
}

/// Takes over words for the shape that the first sheet lacks.
fn shape(draft: &mut Draft, b: &Sheet, second: [&str; 2]) -> Vec<MergeFact> {
    let mut notes = Vec::new();
    let Ok(other) = Draft::open(second[0], second[1]) else {
        return notes;
    };
    for word in shapes(b.figure) {
        match (draft.shape(word.key), other.shape(word.key)) {
            (None, Some(theirs)) => draft.set_shape(word.key, Some(&theirs)),
            (Some(ours), Some(theirs)) if ours != theirs => notes.push(MergeFact::OtherShape {
                key: word.key,
                words: [ours, theirs],
            }),
            _ => {}
        }
    }
    if !b.amends.is_empty() {
        notes.push(MergeFact::AmendsOfFirst);
    }
    notes
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet;
    use crate::sheet::entry::parse;

    fn merged(a: &str, b: &str) -> (String, Vec<String>) {
        let head = "unit = \"cm\"\nfigure = \"woman\"\n";
        let [a, b] = [a, b].map(|text| format!("{head}{text}"));
        let made = merge([&a, "ada.toml"], [&b, "by/ben.toml"], "both.toml").unwrap();
        let names = made.findings.iter().map(|f| f.fact.name().to_owned());
        (made.draft.text(), names.collect())
    }

    /// Two people's readings come to what two readings of one come to in `new`.
    #[test]
    fn two_people_are_two_readings() {
        for (m, a, b) in [
            (Measure::GirthBust, "96.5", "97"),
            (Measure::GirthWaist, "76.8", "76.84"),
            (Measure::SlopeShoulder, "21", "22.5"),
        ] {
            let (table, key) = m.table_and_key();
            let (text, found) = merged(
                &format!("[{table}]\n{key} = {a}\n"),
                &format!("[{table}]\n{key} = {b}\n"),
            );
            assert_eq!(found, [""; 0], "{text}");
            let mut alone = Draft::open("unit = \"cm\"\nfigure = \"woman\"\n", "x.toml").unwrap();
            alone.put(m, &parse(&format!("{a} and {b}"), m, Unit::Cm).unwrap());
            let line = |text: &str| {
                let line = text
                    .lines()
                    .find(|l| l.starts_with(&format!("{key} =")))
                    .unwrap()
                    .to_owned();
                line.split("  #").next().unwrap().to_owned()
            };
            assert_eq!(line(&text), line(&alone.text()));
            assert!(
                text.contains(&format!("# read {a} (ada) and {b} (ben)")),
                "{text}"
            );
        }
    }

    #[test]
    fn each_reading_stays_and_what_is_far_apart_is_said() {
        let (text, found) = merged(
            "taken_by = \"Ada\"\ntaken = 2026-03-14\n[girth]\nbust = 96  # mine\nhip = { value = 101, within = 1.5 }\n\
             [length]\nshoulder = { left = 13.0, right = 13.4 }\n[shape]\nseat = \"flat\"\n",
            "taken = 2026-03-16\n[girth]\nbust = 99.5\nhip = \"1.012 m\"\nneck = 36\n[length]\nshoulder = { left = 13.4, right = 13.4 }\n\
             [slope]\nshoulder = \"5 cm\"\n[shape]\nseat = \"full\"\nback = \"erect\"\n",
        );
        assert_eq!(found, ["Apart", "OtherDay", "OtherShape"]);
        for line in [
            "taken_by = \"Ada and ben\"",
            "taken = 2026-03-16",
            "bust = { value = 97.75, within = 1.75 }  # read 96 (Ada) and 99.5 (ben)",
            "hip = { value = 101.1, within = 1.5 }  # read 101 ± 1.5 (Ada) and 101.2 (ben)",
            "neck = 36.0  # read 36 (ben)",
            "shoulder = { left = { value = 13.2, within = 0.2 }, right = 13.4 }  # read left 13 (Ada) and 13.4 (ben), right 13.4 (Ada) and 13.4 (ben)",
            "shoulder = \"5.00 cm\"  # read 5 (ben)",
            "seat = \"flat\"",
            "back = \"erect\"",
        ] {
            assert!(text.lines().any(|l| l == line), "{line}\n{text}");
        }
        assert!(
            sheet::look(&text, "both.toml")
                .iter()
                .all(|f| f.severity < Severity::Refusal)
        );
    }

    #[test]
    fn sheets_of_two_bodies_are_not_merged() {
        let of = |a: &str, b: &str| {
            let found = merge([a, "a.toml"], [b, "b.toml"], "both.toml").expect_err("two bodies");
            found.iter().map(|f| f.fact.name()).collect::<Vec<_>>()
        };
        let woman = "unit = \"cm\"\nfigure = \"woman\"\n[girth]\nwaist = 70\n";
        assert_eq!(of(woman, &woman.replace("woman", "man")), ["OtherFigure"]);
        assert_eq!(
            of(woman, &format!("waist = \"navel\"\n{woman}")),
            ["OtherWaist"]
        );
        assert_eq!(
            of(woman, &format!("supported = false\n{woman}")),
            ["OtherAtTheBust"]
        );
        assert_eq!(of(woman, &woman.replace("70", "7,0")), ["CommaInLine"]);
    }
}
