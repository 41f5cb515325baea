//! Whether the solid is the fit's: bodies that nobody had in mind, each read with the tape on its triangles and by
//! the fit itself.
//!
//! Three of four bodies are people of the records, every reading of whom is moved by a little (a smooth bootstrap of
//! what goes together in people; Silverman, Density Estimation, 1986, section 6.4), told with few readings, ten, or
//! all in turn. Every fourth has readings from anywhere in the ranges of the sheet, which mostly go together on no body.
//! A sheet is refused, or whatever the fit says that the form measures must be what the tape finds. The sheets for
//! which it is not are printed.

use std::collections::BTreeMap;

use layfigure::measure::{Kind, Measure};
use layfigure::tolerance;
use layfigure::{mesh, sheet, tape, torso};
use rayon::prelude::*;

use crate::alarms::{FEW, TEN};
use crate::records::{Person, sheet_text};

/// Standard deviation of what a reading is moved by, as a share of it.
const MOVED: f64 = 0.02;
/// How much further than [`tolerance::for_measure`] the two may lie apart: the triangles are chords of the surface, and
/// a reading of the fit is rounded off at no corner.
const APART: f64 = 2.0;
/// Sheets that are printed at most.
const PRINTED: usize = 20;

/// SplitMix64 (Steele, Lea, Flood 2014), so that every run draws the same bodies.
struct Drawn(u64);

impl Drawn {
    fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Standard normal (Box and Muller 1958).
    fn normal(&mut self) -> f64 {
        let radius = (-2.0 * self.unit().max(1e-300).ln()).sqrt();
        radius * (std::f64::consts::TAU * self.unit()).cos()
    }
}

/// A body and what is told of it.
fn drawn(k: usize, people: &[Person], figure: &str) -> (Person, Vec<Measure>) {
    let mut drawn = Drawn(k as u64);
    let of = &people[k / 4 % people.len()];
    let all: Vec<Measure> = of.keys().copied().collect();
    let keys = match k / 4 % 3 {
        0 => FEW.to_vec(),
        1 => TEN.to_vec(),
        _ => all,
    };
    let keys: Vec<Measure> = keys.into_iter().filter(|m| of.contains_key(m)).collect();
    let anywhere = k % 4 == 3;
    let value = |m: Measure, drawn: &mut Drawn| {
        let info = m.info();
        let [low, high] = if figure == "man" {
            info.men
        } else {
            info.women
        };
        if anywhere {
            low + (high - low) * drawn.unit()
        } else {
            of[&m] * (1.0 + MOVED * drawn.normal())
        }
    };
    let person = keys.iter().map(|m| (*m, value(*m, &mut drawn))).collect();
    (person, keys)
}

/// What became of a body.
enum Became {
    Refused,
    /// By how many times what is allowed the two readings lie apart at most, and where.
    Made(f64, Measure),
}

fn became(text: &str) -> Became {
    let Ok(sheet) = sheet::read(text, "body") else {
        return Became::Refused;
    };
    let Ok(fit) = torso::fit(&sheet) else {
        return Became::Refused;
    };
    let solid = mesh::build(&fit.torso);
    let mut worst = (0.0, Measure::GirthBust);
    for reading in tape::check(&solid, &fit.targets) {
        let (measure, side) = (reading.target.measure, reading.target.side);
        let (Some(found), Some(own)) = (reading.solid, fit.torso.own_reading(measure, side)) else {
            continue;
        };
        // Only the fit knows its floor.
        if measure.kind() == Kind::Height {
            continue;
        }
        let apart = (found - own).abs() / (APART * tolerance::for_measure(measure));
        if apart > worst.0 {
            worst = (apart, measure);
        }
    }
    Became::Made(worst.0, worst.1)
}

/// Draws so many bodies and prints where the solid is not the fit's.
#[allow(clippy::print_stdout, reason = "an example prints")]
pub(crate) fn report(people: &[Person], figure: &str, count: usize) {
    let texts: Vec<String> = (0..count)
        .map(|k| {
            let (person, keys) = drawn(k, people, figure);
            sheet_text(&person, (figure, "navel"), &keys).unwrap_or_default()
        })
        .collect();
    let all: Vec<Became> = texts.par_iter().map(|text| became(text)).collect();
    let mut worst: BTreeMap<Measure, (usize, f64)> = BTreeMap::new();
    let (mut refused, mut made) = (0, 0);
    let mut off: Vec<(f64, &str)> = Vec::new();
    for (one, text) in all.iter().zip(&texts) {
        match one {
            Became::Refused => refused += 1,
            Became::Made(apart, measure) => {
                made += 1;
                if *apart > 1.0 {
                    let entry = worst.entry(*measure).or_default();
                    *entry = (entry.0 + 1, entry.1.max(*apart));
                    off.push((*apart, text));
                }
            }
        }
    }
    println!(
        "{count} bodies: {refused} refused, {made} made, {} not the fit's",
        off.len()
    );
    for (measure, (count, apart)) in worst {
        println!("  {measure}: {count}, at most {apart:.1} times what is allowed");
    }
    off.sort_by(|a, b| b.0.total_cmp(&a.0));
    for (apart, text) in off.into_iter().take(PRINTED) {
        println!("\n# {apart:.2} times what is allowed\n{text}");
    }
}
