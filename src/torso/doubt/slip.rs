//! Slips of the pen that would explain what pulls against each other.
//!
//! Each is weighed as everything else is: by how well the sheet would go together with it mended. A
//! value that lies at `z` standard deviations from what the others expect adds `z` squared to how they
//! go together themselves; two lines in each other's place and another waist are fitted.

use rayon::prelude::*;

use crate::measure::{Kind, Measure, Side};
use crate::sheet::{Given, Sheet, WaistKind};
use crate::torso::core::Core;
use crate::torso::doubt::{SOFTER, Suspect};
use crate::torso::fit::READ_SD_MM;
use crate::units::{MM_PER_CM, MM_PER_INCH};

/// A repair explains what pulls when with it the sheet goes together about as well as without the
/// reading: two standard deviations of one reading, squared.
const EXPLAINS: f64 = 4.0;
/// Repairs that are said.
const MOST_SAID: usize = 2;

/// A slip that would explain it.
pub(super) struct Repair {
    /// What to ask the person.
    pub(super) words: String,
    /// The two lines that stand in each other's place.
    pub(super) swapped: Option<(Measure, Measure)>,
    /// How badly the sheet goes together with it mended.
    sum: f64,
}

/// The slips that would explain `suspects`, the likeliest first; `weigh` says how badly a sheet goes
/// together, `least` how badly this one does without the reading that it goes best without. Only
/// readings that are `named` have slips of their own.
pub(super) fn repairs(
    sheet: &Sheet,
    core: &Core,
    suspects: &[Suspect],
    named: &dyn Fn(&Suspect) -> bool,
    least: f64,
    weigh: &(dyn Fn(&Sheet) -> f64 + Sync),
) -> Vec<Repair> {
    let mut all: Vec<Repair> = Vec::new();
    for suspect in suspects.iter().filter(|s| named(s)) {
        all.extend(of_one(sheet, suspect));
        all.extend(lower(sheet, core, suspect));
    }
    all.extend(swaps(sheet, suspects, weigh));
    let of_waist = suspects.iter().any(|s| WAIST.contains(&s.measure));
    all.extend(of_waist.then(|| waists(sheet, weigh)).into_iter().flatten());
    all.retain(|r| r.sum < least + EXPLAINS);
    all.sort_by(|a, b| a.sum.total_cmp(&b.sum).then(a.words.cmp(&b.words)));
    all.truncate(MOST_SAID);
    all
}

/// Another unit, a slipped point, a digit: in one reading. Of each kind the likeliest.
fn of_one(sheet: &Sheet, s: &Suspect) -> Vec<Repair> {
    if s.measure.kind() == Kind::Slope {
        return Vec::new();
    }
    let (value, sd) = s.expected;
    let sd = sd.hypot(SOFTER * READ_SD_MM);
    let sum = |v: f64| s.left + ((v - value) / sd).powi(2);
    let key = s.measure.key();
    let inch = MM_PER_INCH / MM_PER_CM;
    let mut all: Vec<Repair> = [
        (inch, "is it inches written as centimetres"),
        (1.0 / inch, "is it centimetres written as inches"),
        (10.0, "did a decimal point slip"),
        (0.1, "did a decimal point slip"),
    ]
    .map(|(factor, what)| Repair {
        words: format!(
            "{what}? `{key}` would be {}",
            sheet.unit.show(s.given * factor)
        ),
        swapped: None,
        sum: sum(s.given * factor),
    })
    .into();
    let digit = digits(s.given, sheet)
        .into_iter()
        .min_by(|a, b| sum(*a).total_cmp(&sum(*b)));
    all.extend(digit.map(|v| Repair {
        words: format!(
            "is a digit of `{key}` wrong? {} would fit",
            sheet.unit.show(v)
        ),
        swapped: None,
        sum: sum(v),
    }));
    all
}

/// A reading that alone was taken at a lower waist than the natural one.
fn lower(sheet: &Sheet, core: &Core, s: &Suspect) -> Option<Repair> {
    let (more, spread) = core.more_at_navel(s.measure, sheet.figure)?;
    let (value, sd) = s.expected;
    let sd = sd.hypot(SOFTER * READ_SD_MM).hypot(spread);
    (sheet.waist == WaistKind::Natural).then(|| Repair {
        words: format!(
            "was `{}` taken at a lower waist? it is meant where an elastic settles",
            s.measure
        ),
        swapped: None,
        sum: s.left + ((s.given - more - value) / sd).powi(2),
    })
}

/// A suspect and another reading of its kind, each in the other's line.
fn swaps(
    sheet: &Sheet,
    suspects: &[Suspect],
    weigh: &(dyn Fn(&Sheet) -> f64 + Sync),
) -> Vec<Repair> {
    let place = |m: Measure| {
        let here = |g: &Given| g.measure == m && g.side == Side::Both;
        sheet.given.iter().position(here)
    };
    let mut tried: Vec<(usize, usize)> = Vec::new();
    for s in suspects {
        let Some(i) = place(s.measure) else { continue };
        let off = |v: f64| (v - s.expected.0).abs();
        for (j, other) in sheet.given.iter().enumerate() {
            let alike = other.measure.kind() == s.measure.kind() && other.side == Side::Both;
            let pair = (i.min(j), i.max(j));
            if i != j && alike && off(other.value) < off(s.given) && !tried.contains(&pair) {
                tried.push(pair);
            }
        }
    }
    let mend = |(i, j): (usize, usize)| {
        let mut other = sheet.clone();
        let (one, two) = (other.given[i].clone(), other.given[j].clone());
        (other.given[i].value, other.given[i].within) = (two.value, two.within);
        (other.given[j].value, other.given[j].within) = (one.value, one.within);
        Repair {
            words: format!("are `{}` and `{}` swapped?", one.measure, two.measure),
            swapped: Some((one.measure, two.measure)),
            sum: weigh(&other),
        }
    };
    tried.into_par_iter().map(mend).collect()
}

/// What is read at the waist or ends there.
const WAIST: [Measure; 6] = [
    Measure::GirthWaist,
    Measure::LengthBackWaist,
    Measure::LengthFrontWaist,
    Measure::LengthSideNeckToWaist,
    Measure::LengthWaistToHip,
    Measure::HeightWaist,
];

/// The waist at another level than the sheet says.
fn waists(sheet: &Sheet, weigh: &(dyn Fn(&Sheet) -> f64 + Sync)) -> Vec<Repair> {
    let kinds = [
        (WaistKind::Natural, "natural", "where an elastic settles"),
        (
            WaistKind::Iso,
            "iso",
            "between the lowest rib and the hip bone",
        ),
        (WaistKind::Navel, "navel", "at the navel"),
    ];
    let others = kinds.into_iter().filter(|(kind, ..)| *kind != sheet.waist);
    others
        .map(|(kind, word, place)| {
            let mut other = sheet.clone();
            other.waist = kind;
            Repair {
                words: format!("was the waist taken {place}? say `waist = \"{word}\"`"),
                swapped: None,
                sum: weigh(&other),
            }
        })
        .collect()
}

/// What the reading would be with two neighbouring digits swapped or one ten more or less, mm.
fn digits(mm: f64, sheet: &Sheet) -> Vec<f64> {
    let unit = sheet.unit.to_mm(1.0);
    let tenths = (mm / unit * 10.0).round();
    if !(1.0..1e6).contains(&tenths) {
        return Vec::new();
    }
    let digits: Vec<u8> = format!("{tenths}").into_bytes();
    let back = |d: &[u8]| {
        let text: String = d.iter().map(|b| char::from(*b)).collect();
        text.parse::<f64>().ok().map(|v| v / 10.0 * unit)
    };
    let mut all = Vec::new();
    for i in 0..digits.len().saturating_sub(1) {
        let mut d = digits.clone();
        d.swap(i, i + 1);
        all.extend(back(&d));
    }
    for ten in [-10.0, 10.0] {
        all.push(mm + ten * unit);
    }
    all
}
