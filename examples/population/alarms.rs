//! What the program says of true sheets, and of the same with one slip, where the waist is taken at the navel:
//! the way of the survey of 2012. Of both surveys every fifth record was kept out of all that is expected, and the
//! sheets are those.
//!
//! Sheets of few readings, of ten and of all. Of true ones it counts those that are warned, of everybody and
//! of the heaviest quarter (by weight), and those in which a slip is offered as the reason. In sheets of ten it
//! then plants slips, one in each, another reading for the next person, and counts those that are named.

use std::collections::BTreeMap;

use layfigure::error::Finding;
use layfigure::fact::Field;
use layfigure::measure::Measure;
use rayon::prelude::*;

use crate::records::{Person, sheet_text};
use crate::slips::{KINDS, Slip, falsified, is_about, said};

pub(crate) const FEW: [Measure; 4] = [
    Measure::GirthBust,
    Measure::GirthWaist,
    Measure::GirthHip,
    Measure::HeightStature,
];

pub(crate) const TEN: [Measure; 10] = [
    Measure::GirthBust,
    Measure::GirthWaist,
    Measure::GirthHip,
    Measure::HeightStature,
    Measure::GirthNeck,
    Measure::GirthThigh,
    Measure::LengthShoulder,
    Measure::LengthBackWaist,
    Measure::LengthAcrossBack,
    Measure::HeightArmpit,
];

/// Lines of a sheet that are easily taken for one another.
const NEIGHBOURS: [(Measure, Measure); 4] = [
    (Measure::GirthBust, Measure::GirthWaist),
    (Measure::GirthWaist, Measure::GirthHip),
    (Measure::LengthBackWaist, Measure::LengthAcrossBack),
    (Measure::GirthBust, Measure::GirthHip),
];

/// The findings of a sheet of `keys` of `person`.
fn findings(person: &Person, figure: &str, keys: &[Measure]) -> Vec<Finding> {
    let text = sheet_text(person, (figure, "navel"), keys).unwrap_or_default();
    said(&text).0
}

/// Whether a finding offers a slip that would explain it.
fn repairs(f: &Finding) -> bool {
    f.fact.fields().iter().any(|(name, value)| match value {
        Field::Nothing => false,
        Field::List(slips) => *name == "slips" && !slips.is_empty(),
        _ => *name == "slip",
    })
}

/// The slips that are planted.
const PLANTED: [Slip; 6] = [
    Slip::FirstDigits,
    Slip::Off(100.0),
    Slip::Off(-100.0),
    Slip::Off(50.0),
    Slip::Inches,
    Slip::Swapped,
];

/// Prints how often true sheets are warned, and how often planted slips are named. `weights` tell who is heavy, in any unit.
#[allow(clippy::print_stdout, reason = "an example prints")]
pub(crate) fn report(people: &[Person], weights: &[f64], figure: &str) {
    let all: Vec<Measure> = people
        .first()
        .map(|p| p.keys().copied().collect())
        .unwrap_or_default();
    let mut sorted = weights.to_vec();
    sorted.sort_by(f64::total_cmp);
    let heavy = sorted.get(sorted.len() * 3 / 4).copied().unwrap_or(0.0);
    println!(
        "{:16} {:>6} {:>9} {:>9} {:>9}  most often about",
        "true sheets", "sheets", "warned %", "heaviest", "repaired"
    );
    for (name, keys) in [("few", &FEW[..]), ("ten", &TEN[..]), ("all", &all[..])] {
        let each: Vec<Vec<Finding>> = people
            .par_iter()
            .map(|p| findings(p, figure, keys))
            .collect();
        let share = |of: &dyn Fn(usize) -> bool, which: &dyn Fn(usize) -> bool| {
            let among: Vec<usize> = (0..each.len()).filter(|i| which(*i)).collect();
            let hit = among.iter().filter(|i| of(**i)).count();
            100.0 * hit as f64 / among.len().max(1) as f64
        };
        let mut about: BTreeMap<(Measure, &str), usize> = BTreeMap::new();
        for f in each.iter().flatten() {
            if let Some(m) = f.measure {
                *about.entry((m, f.fact.name())).or_default() += 1;
            }
        }
        let mut about: Vec<_> = about.into_iter().collect();
        about.sort_by_key(|(what, n)| (std::cmp::Reverse(*n), *what));
        let about: Vec<String> = about
            .iter()
            .take(6)
            .map(|((m, fact), n)| format!("{m} {fact} {n}"))
            .collect();
        println!(
            "{name:16} {:>6} {:>9.1} {:>9.1} {:>9.1}  {}",
            each.len(),
            share(&|i| !each[i].is_empty(), &|_| true),
            share(&|i| !each[i].is_empty(), &|i| weights[i] >= heavy),
            share(&|i| each[i].iter().any(repairs), &|_| true),
            about.join(", ")
        );
    }
    println!(
        "{:32} {:>6} {:>8} {:>8} {:>8}",
        "slips, in ten", "sheets", "named %", "others", "silent"
    );
    let (mut sheets, mut names) = (0, 0);
    for (slip, name) in KINDS.iter().filter(|kind| PLANTED.contains(&kind.0)) {
        let each: Vec<(bool, bool)> = people
            .par_iter()
            .enumerate()
            .filter_map(|(i, p)| {
                let (wrong, which) = falsified(*slip, i, (p, p), (&TEN, &NEIGHBOURS))?;
                let found = findings(&wrong, figure, &TEN);
                Some((found.iter().any(|f| is_about(f, &which)), found.is_empty()))
            })
            .collect();
        let n = each.len();
        let named = each.iter().filter(|e| e.0).count();
        let silent = each.iter().filter(|e| e.1).count();
        (sheets, names) = (sheets + n, names + named);
        let part = |k: usize| 100.0 * k as f64 / n.max(1) as f64;
        println!(
            "{name:32} {n:>6} {:>8.0} {:>8.0} {:>8.0}",
            part(named),
            part(n - named - silent),
            part(silent)
        );
    }
    println!(
        "all slips: {:.1} % named",
        100.0 * names as f64 / f64::from(sheets.max(1) as u32)
    );
}
