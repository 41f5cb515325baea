//! What the program says of a sheet in which one reading is wrong.
//!
//! Each person's sheet is written once as measured and once with each kind of slip that happens at a
//! table (common practice, no source), in one reading, another one for the next person. Every warning
//! or refusal of reading and fitting the sheet counts as something said; it names the slip when it is
//! about the falsified reading or has it in its fields, and offers the repair when it has the right value
//! or the right kind of slip there.

use std::error::Error;

use layfigure::error::{Error as Refused, Finding, Severity};
use layfigure::fact::Field;
use layfigure::measure::Measure;
use layfigure::sheet;
use layfigure::torso::fit;
use rayon::prelude::*;

use crate::records::{Person, sheet_text};

/// What somebody with a tape takes of an adult.
const TAKEN: [Measure; 14] = [
    Measure::GirthNeck,
    Measure::GirthNeckBase,
    Measure::GirthUpperChest,
    Measure::GirthBust,
    Measure::GirthUnderbust,
    Measure::GirthWaist,
    Measure::GirthHip,
    Measure::LengthShoulder,
    Measure::LengthAcrossBack,
    Measure::LengthBackWaist,
    Measure::LengthFrontWaist,
    Measure::LengthSideNeckToBust,
    Measure::LengthBustPointWidth,
    Measure::HeightStature,
];

/// Lines of a sheet that are easily taken for each other.
const NEIGHBOURS: [(Measure, Measure); 7] = [
    (Measure::GirthBust, Measure::GirthUnderbust),
    (Measure::GirthWaist, Measure::GirthHip),
    (Measure::LengthBackWaist, Measure::LengthFrontWaist),
    (Measure::LengthShoulder, Measure::LengthBustPointWidth),
    (Measure::GirthBust, Measure::GirthHip),
    (Measure::GirthUnderbust, Measure::GirthWaist),
    (Measure::LengthSideNeckToBust, Measure::LengthFrontWaist),
];

/// A way to go wrong.
#[derive(Clone, Copy, PartialEq)]
pub(crate) enum Slip {
    None,
    FirstDigits,
    LastDigits,
    Off(f64),
    Inches,
    Swapped,
    NavelGirth,
    NavelAll,
}

pub(crate) const KINDS: [(Slip, &str); 11] = [
    (Slip::None, "as measured"),
    (Slip::FirstDigits, "first two digits swapped"),
    (Slip::LastDigits, "last two digits swapped"),
    (Slip::Off(100.0), "ten too many"),
    (Slip::Off(-100.0), "ten too few"),
    (Slip::Off(50.0), "five too many"),
    (Slip::Off(-20.0), "two too few"),
    (Slip::Inches, "inches written as centimetres"),
    (Slip::Swapped, "two lines swapped"),
    (Slip::NavelGirth, "waist girth taken at the navel"),
    (Slip::NavelAll, "waist and both lengths to it at the navel"),
];

/// `mm` as written in centimetres with one decimal, with digits `i` and `i + 1` swapped.
fn swapped(mm: f64, i: usize) -> Option<f64> {
    let mut digits = format!("{mm:.0}").into_bytes();
    (i + 1 < digits.len() && digits[i] != digits[i + 1]).then_some(())?;
    digits.swap(i, i + 1);
    String::from_utf8(digits).ok()?.parse().ok()
}

/// The sheet with a slip, and which readings are wrong; none where the slip changes nothing.
pub(crate) fn falsified(
    slip: Slip,
    i: usize,
    (person, at_navel): (&Person, &Person),
    (taken, neighbours): (&[Measure], &[(Measure, Measure)]),
) -> Option<(Person, Vec<Measure>)> {
    let mut wrong = person.clone();
    let measure = taken[i % taken.len()];
    let value = *person.get(&measure)?;
    let mut with = |v: f64| {
        wrong.insert(measure, v);
        vec![measure]
    };
    let which = match slip {
        Slip::None => Vec::new(),
        Slip::FirstDigits => with(swapped(value, 0)?),
        Slip::LastDigits => {
            let last = format!("{value:.0}").len().checked_sub(2)?;
            with(swapped(value, last)?)
        }
        Slip::Off(by) => with(value + by),
        Slip::Inches => {
            with((value / layfigure::units::MM_PER_INCH * layfigure::units::MM_PER_CM).round())
        }
        Slip::Swapped => {
            let (a, b) = neighbours[i % neighbours.len()];
            wrong.insert(a, *person.get(&b)?);
            wrong.insert(b, *person.get(&a)?);
            vec![a, b]
        }
        Slip::NavelGirth => {
            let m = Measure::GirthWaist;
            wrong.insert(m, *at_navel.get(&m)?);
            vec![m]
        }
        Slip::NavelAll => {
            let all = [
                Measure::GirthWaist,
                Measure::LengthBackWaist,
                Measure::LengthFrontWaist,
            ];
            for m in all {
                wrong.insert(m, *at_navel.get(&m)?);
            }
            all.to_vec()
        }
    };
    Some((wrong, which))
}

/// Warnings and refusals, the refusals apart.
pub(crate) fn said(text: &str) -> (Vec<Finding>, bool) {
    let grave = |all: Vec<Finding>| -> Vec<Finding> {
        all.into_iter()
            .filter(|f| f.severity > Severity::Note)
            .collect()
    };
    let refusal = |why: Refused| grave(why.findings().to_vec());
    match sheet::read(text, "record") {
        Err(why) => (refusal(why), true),
        Ok(sheet) => match fit(&sheet) {
            Err(why) => (refusal(why), true),
            Ok(fit) => (grave([sheet.findings, fit.findings].concat()), false),
        },
    }
}

/// The fields of a finding, those within lists too.
fn fields(f: &Finding) -> Vec<Field> {
    fn all(field: Field, into: &mut Vec<Field>) {
        match field {
            Field::List(fields) => fields.into_iter().for_each(|f| all(f, into)),
            other => into.push(other),
        }
    }
    let mut into = Vec::new();
    for (_, field) in f.fact.fields() {
        all(field, &mut into);
    }
    into
}

/// Whether a field of a finding is one of these words.
fn has_word(f: &Finding, words: &[&str]) -> bool {
    let is = |field: &Field| matches!(field, Field::Word(w) if words.contains(&w.as_str()));
    fields(f).iter().any(is)
}

/// Whether a finding is about one of `which`, or has it in its fields.
pub(crate) fn is_about(f: &Finding, which: &[Measure]) -> bool {
    let is = |m: &Measure| f.measure == Some(*m) || has_word(f, &[m.key()]);
    which.iter().any(is)
}

/// Facts that ask whether two readings stand in each other's place, and the kinds of slip and the reasons
/// that do.
const ASK_OF_TWO: [&str; 3] = ["Swapped", "Exchanged", "NotBelow"];
const OF_TWO: [&str; 5] = [
    "swapped",
    "exchanged",
    "OverBustPoint",
    "BelowSideNeck",
    "AboveWaist",
];

/// Whether a finding offers to mend this slip; `right` are the right values (mm).
fn mends(f: &Finding, slip: Slip, right: &[f64]) -> bool {
    match slip {
        Slip::Inches => has_word(f, &["inches", "in"]),
        Slip::Swapped => ASK_OF_TWO.contains(&f.fact.name()) || has_word(f, &OF_TWO),
        Slip::NavelGirth | Slip::NavelAll => has_word(f, &["navel"]),
        _ => fields(f).iter().any(|field| {
            let is = |v: &f64| matches!(field, Field::Number(n) if (n - v).abs() < HALF_A_DIGIT);
            right.iter().any(is)
        }),
    }
}

/// Half of the last digit that is written of a reading, mm.
const HALF_A_DIGIT: f64 = 0.5;

#[derive(Default)]
struct Count {
    sheets: usize,
    refused: usize,
    named: usize,
    first: usize,
    repaired: usize,
    others: usize,
    silent: usize,
    findings: usize,
}

/// A person's place in the list, which readings are wrong, what was said, and whether the sheet was refused.
type Case = (usize, Vec<Measure>, Vec<Finding>, bool);

/// Prints, for each slip, what was said of how many sheets.
#[allow(clippy::print_stdout, reason = "an example prints")]
pub(crate) fn report(
    people: &[Person],
    at_navel: &[Person],
    figure: &str,
) -> Result<(), Box<dyn Error>> {
    println!(
        "{:42} {:>6} {:>8} {:>6} {:>6} {:>8} {:>7} {:>7} {:>6}",
        "slip", "sheets", "refused", "named", "first", "repaired", "others", "silent", "each"
    );
    for (slip, name) in KINDS {
        let each: Vec<Option<Case>> = people
            .par_iter()
            .zip(at_navel)
            .enumerate()
            .map(|(i, (person, navel))| {
                let (wrong, which) = falsified(slip, i, (person, navel), (&TAKEN, &NEIGHBOURS))?;
                let text = sheet_text(&wrong, (figure, "natural"), &TAKEN).ok()?;
                let (findings, refused) = said(&text);
                Some((i, which, findings, refused))
            })
            .collect();
        let mut c = Count::default();
        for (i, which, findings, refused) in each.into_iter().flatten() {
            let about = |f: &Finding| is_about(f, &which);
            let named = findings.iter().any(about);
            c.sheets += 1;
            c.refused += usize::from(refused);
            c.named += usize::from(named);
            c.first += usize::from(findings.first().is_some_and(about));
            c.others += usize::from(!named && !findings.is_empty());
            c.silent += usize::from(findings.is_empty());
            c.findings += findings.len();
            let right: Vec<f64> = which
                .iter()
                .filter_map(|m| people[i].get(m).copied())
                .collect();
            let mending = |f: &&Finding| about(f) && mends(f, slip, &right);
            c.repaired += usize::from(findings.iter().any(|f| mending(&f)));
        }
        println!(
            "{name:42} {:>6} {:>8} {:>6} {:>6} {:>8} {:>7} {:>7} {:>6.2}",
            c.sheets,
            c.refused,
            c.named,
            c.first,
            c.repaired,
            c.others,
            c.silent,
            c.findings as f64 / c.sheets.max(1) as f64
        );
    }
    Ok(())
}
