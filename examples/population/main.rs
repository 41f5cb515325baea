//! Fits every fifth person of a survey and prints how well the fit predicts what it was not told.
//!
//! `cargo run --release --example population -- FIGURE FILE [MOST] [others|few|all|slips|alarms|solids|navel|navel-others]` with FIGURE
//! `woman`, `man` or `child` and FILE the survey's individual records as CSV (1988 US Army survey or Snyder
//! et al. 1977; column names end in `_mm`). The records are not part of this project. Every fifth record
//! was kept out of everything that the expectations were computed from.
//!
//! With `others` (or `navel-others`) at the end the four fifths themselves are fitted: what was calibrated was
//! calibrated on them, never on the fifth. With `few` the last set, all readings of a person at once, is left out: most
//! of the time goes into what of them pulls against what; with `all` only that set is fitted. With `slips`
//! one reading of each adult is falsified as happens at a table, and what the program says of it is counted
//! instead (`slips.rs`). With `solids` MOST bodies are drawn and read on their triangles (`solids.rs`).
//!
//! The last column is the spread of the prediction over what a straight line through the other four
//! fifths leaves on the same people: 1 is as good as a regression made for that one measure.
//!
//! Without arguments it prints how to call it.

#![allow(
    clippy::disallowed_methods,
    reason = "what is only compared needs no portable last digit"
)]

use std::collections::{BTreeMap, BTreeSet};
use std::error::Error;

use layfigure::measure::Measure;
use layfigure::sheet::{self, Origin};
use layfigure::torso::{Ending, fit};
use nalgebra::{DMatrix, DVector};
use rayon::prelude::*;

mod alarms;
mod records;
mod slips;
mod solids;

use records::{ADULT, CHILD, Person, people, sheet_text};

/// What straight lines do: each measure regressed on `keys` over the four fifths, and the standard
/// deviation of what is left on the fifth.
fn lines(others: &[Person], people: &[Person], keys: &[Measure]) -> BTreeMap<Measure, f64> {
    let row = |p: &Person| -> Option<Vec<f64>> {
        let mut row = vec![1.0];
        for k in keys {
            row.push(*p.get(k)?);
        }
        Some(row)
    };
    let measures: BTreeSet<Measure> = people.iter().flat_map(BTreeMap::keys).copied().collect();
    let mut all = BTreeMap::new();
    for m in measures.into_iter().filter(|m| !keys.contains(m)) {
        let known = |of: &[Person]| -> Vec<(Vec<f64>, f64)> {
            of.iter()
                .filter_map(|p| Some((row(p)?, *p.get(&m)?)))
                .collect()
        };
        let (fitted, held) = (known(others), known(people));
        let a = DMatrix::from_fn(fitted.len(), keys.len() + 1, |i, j| fitted[i].0[j]);
        let b = DVector::from_fn(fitted.len(), |i, _| fitted[i].1);
        let Some(normal) = (a.transpose() * &a).cholesky() else {
            continue;
        };
        let slope = normal.solve(&(a.transpose() * b));
        let left: Vec<f64> = held
            .iter()
            .map(|(x, y)| y - x.iter().zip(&slope).map(|(u, s)| u * s).sum::<f64>())
            .collect();
        let n = left.len() as f64;
        let bias = left.iter().sum::<f64>() / n;
        let sd = (left.iter().map(|l| (l - bias).powi(2)).sum::<f64>() / n).sqrt();
        all.insert(m, sd);
    }
    all
}

/// Half-width of a 95 % interval over the standard deviation of a normal distribution.
const TWO_SIDED_95: f64 = 1.96;

#[derive(Default, Clone)]
struct Tally {
    /// What was said of those that were refused, and of how many.
    refused: BTreeMap<String, usize>,
    fits: usize,
    converged: usize,
    misfit: Vec<f64>,
    /// Per measure: predicted less measured, and the plus-or-minus.
    off: BTreeMap<Measure, Vec<(f64, f64)>>,
}

/// A message with `#` for every number, so that like ones count together.
fn without_numbers(message: &str) -> String {
    let mut text = String::new();
    for c in message.chars() {
        let number = c.is_ascii_digit();
        if !(number && text.ends_with('#')) {
            text.push(if number { '#' } else { c });
        }
    }
    text.replace("#.#", "#")
}

fn study(people: &[Person], figure: (&str, &str), keys: &[Measure]) -> Tally {
    let each: Vec<Tally> = people
        .par_iter()
        .map(|person| {
            let mut t = Tally::default();
            let Ok(text) = sheet_text(person, figure, keys) else {
                return t;
            };
            let sheet = match sheet::read(&text, "record") {
                Ok(sheet) => sheet,
                Err(why) => {
                    t.refused.insert(without_numbers(&why.to_string()), 1);
                    return t;
                }
            };
            let fit = match fit(&sheet) {
                Ok(fit) => fit,
                Err(why) => {
                    t.refused.insert(without_numbers(&why.to_string()), 1);
                    return t;
                }
            };
            t.fits = 1;
            t.converged = usize::from(fit.ending == Ending::Converged);
            t.misfit.push(fit.worst_misfit);
            for target in &fit.targets {
                if target.origin == Origin::Estimated
                    && let Some(v) = person.get(&target.measure)
                {
                    t.off
                        .entry(target.measure)
                        .or_default()
                        .push((target.value - v, target.plus_minus));
                }
            }
            t
        })
        .collect();
    let mut sum = Tally::default();
    for t in each {
        for (why, n) in t.refused {
            *sum.refused.entry(why).or_default() += n;
        }
        sum.fits += t.fits;
        sum.converged += t.converged;
        sum.misfit.extend(t.misfit);
        for (m, v) in t.off {
            sum.off.entry(m).or_default().extend(v);
        }
    }
    sum
}

#[allow(clippy::print_stdout, reason = "an example prints")]
fn report(title: &str, t: &Tally, line: &BTreeMap<Measure, f64>) {
    let n = t.misfit.len().max(1) as f64;
    let worst = t.misfit.iter().copied().fold(0.0, f64::max);
    let rms = (t.misfit.iter().map(|m| m * m).sum::<f64>() / n).sqrt();
    let mut sorted = t.misfit.clone();
    sorted.sort_by(f64::total_cmp);
    let p95 = sorted.get(sorted.len() * 95 / 100).copied().unwrap_or(0.0);
    println!(
        "\n{title}: {} fits, {} refused, {} converged, worst given value off by: rms {rms:.2} \
         p95 {p95:.2} max {worst:.2} mm",
        t.fits,
        t.refused.values().sum::<usize>(),
        t.converged
    );
    for (why, n) in &t.refused {
        println!("  {n} refused: {why}");
    }
    println!(
        "{:34} {:>5} {:>7} {:>6} {:>6} {:>9} {:>6} {:>10}",
        "predicted", "n", "bias", "sd", "said", "covered %", "raw %", "of a line"
    );
    for (m, v) in &t.off {
        let n = v.len() as f64;
        let bias = v.iter().map(|o| o.0).sum::<f64>() / n;
        let sd = (v.iter().map(|o| (o.0 - bias).powi(2)).sum::<f64>() / n).sqrt();
        // Where the survey measures otherwise, a constant difference is not the prediction's fault.
        // Root mean square of the spreads that the fit says.
        let said = (v.iter().map(|o| (o.1 / TWO_SIDED_95).powi(2)).sum::<f64>() / n).sqrt();
        let covered = v.iter().filter(|o| (o.0 - bias).abs() <= o.1).count() as f64 / n;
        let raw = v.iter().filter(|o| o.0.abs() <= o.1).count() as f64 / n;
        println!(
            "{:34} {:>5} {bias:>7.1} {sd:>6.1} {said:>6.1} {:>9.1} {:>6.1} {:>10}",
            m.key(),
            v.len(),
            100.0 * covered,
            100.0 * raw,
            line.get(m)
                .map_or(String::new(), |s| format!("{:.2}", sd / s))
        );
    }
}

#[allow(clippy::print_stdout, reason = "an example prints")]
fn main() -> Result<(), Box<dyn Error>> {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let [figure, file, rest @ ..] = args.as_slice() else {
        println!(
            "usage: population woman|man|child RECORDS.csv [MOST] [others|few|all|slips|alarms|solids|navel|navel-others]"
        );
        return Ok(());
    };
    let text = std::fs::read_to_string(file)?;
    let others = people(&text, figure, false, &[])?;
    let (rest, word) = match rest {
        [rest @ .., last]
            if [
                "others",
                "few",
                "all",
                "slips",
                "alarms",
                "solids",
                "navel",
                "navel-others",
            ]
            .contains(&last.as_str()) =>
        {
            (rest, last.as_str())
        }
        rest => (rest, ""),
    };
    if word == "solids" {
        let people = records::at_navel(&text, false)?;
        let people: Vec<Person> = people.into_iter().map(|p| p.0).collect();
        let count = rest.first().map_or(Ok(1000), |n| n.parse())?;
        solids::report(&people, figure, count);
        return Ok(());
    }
    if ["alarms", "navel", "navel-others"].contains(&word) {
        let others = records::at_navel(&text, false)?;
        let others: Vec<Person> = others.into_iter().map(|p| p.0).collect();
        let mut people = records::at_navel(&text, word != "navel-others")?;
        if let Some(most) = rest.first() {
            people.truncate(most.parse()?);
        }
        let (people, weights): (Vec<_>, Vec<_>) = people.into_iter().unzip();
        if word == "alarms" {
            alarms::report(&people, &weights, figure);
            return Ok(());
        }
        for (title, keys) in [("few", &alarms::FEW[..]), ("ten", &alarms::TEN[..])] {
            let told = study(&people, (figure, "navel"), keys);
            report(title, &told, &lines(&others, &people, keys));
        }
        return Ok(());
    }
    let left_out = word != "others";
    let mut people = people(&text, figure, left_out, &[])?;
    if let Some(most) = rest.first() {
        people.truncate(most.parse()?);
    }
    if word == "slips" {
        let mut at_navel = records::people(&text, figure, true, records::AT_NAVEL)?;
        at_navel.truncate(people.len());
        return slips::report(&people, &at_navel, figure);
    }
    if word == "all" {
        everything(&people, figure);
        return Ok(());
    }
    let three = [Measure::GirthBust, Measure::GirthWaist, Measure::GirthHip];
    let with = |m: Measure| -> Vec<Measure> { three.iter().copied().chain([m]).collect() };
    let tall = study(&people, (figure, "natural"), &with(Measure::HeightStature));
    report(
        "bust, waist, hip, stature",
        &tall,
        &lines(&others, &people, &with(Measure::HeightStature)),
    );
    if figure != "child" {
        let both = [with(Measure::HeightStature), vec![Measure::LengthBackWaist]].concat();
        report(
            "the same and back length",
            &study(&people, (figure, "natural"), &both),
            &lines(&others, &people, &both),
        );
        report(
            "bust, waist, hip, back length",
            &study(
                &people,
                (figure, "natural"),
                &with(Measure::LengthBackWaist),
            ),
            &lines(&others, &people, &with(Measure::LengthBackWaist)),
        );
    }
    if !word.is_empty() {
        return Ok(());
    }
    everything(&people, figure);
    Ok(())
}

/// All that was measured of each person at once.
fn everything(people: &[Person], figure: &str) {
    let columns = if figure == "child" { CHILD } else { ADULT };
    let all: Vec<Measure> = columns.iter().map(|c| c.1).collect();
    report(
        "everything",
        &study(people, (figure, "natural"), &all),
        &BTreeMap::new(),
    );
}
