//! Slips of the pen that would explain what pulls against each other.
//!
//! Each is weighed as everything else is: by how well the sheet would go together with it mended. A
//! value that lies at `z` standard deviations from what the others expect adds `z` squared to how they
//! go together themselves; two lines in each other's place and another waist are fitted.

use rayon::prelude::*;

use crate::measure::{Kind, Measure, Side};
use crate::sheet::{Given, Mistaken, Sheet, Shown, Slip, WaistKind, swapped_digits};
use crate::torso::doubt::{SOFTER, Suspect};
use crate::torso::main_measures::Core;
use crate::torso::pose::READ_SD_MM;

/// A repair explains what pulls when with it the sheet goes together about as well as without the
/// reading: two standard deviations of one reading, squared.
const EXPLAINS: f64 = 4.0;
/// Repairs that are said.
const MOST_SAID: usize = 2;
/// Pairs of lines that are fitted in each other's place, those first of which one would lie nearest to what
/// the others expect there. Our choice: the right pair is the first or second of them in all but odd sheets.
const MOST_SWAPS: usize = 4;
/// Bodies that the fits of all mended sheets read together at most: each gets its share.
const BODIES_MENDED: usize = 900;

/// A slip that would explain it.
pub(super) struct Repair {
    pub(super) slip: Slip,
    /// How badly the sheet goes together with it mended.
    sum: f64,
}

/// The sheet with one slip of several lines mended, to be fitted.
struct Mended {
    sheet: Sheet,
    slip: Slip,
}

/// The slips that would explain `suspects`, the likeliest first; `weigh` says how badly a sheet goes
/// together, by a fit that reads at most so many bodies, `least` how badly this one does without the reading that it goes best without. Only
/// readings that are `named` have slips of their own.
pub(super) fn repairs(
    sheet: &Sheet,
    core: &Core,
    suspects: &[Suspect],
    named: &dyn Fn(&Suspect) -> bool,
    least: f64,
    weigh: &(dyn Fn(&Sheet, usize) -> f64 + Sync),
) -> Vec<Repair> {
    let mut all: Vec<Repair> = Vec::new();
    for suspect in suspects.iter().filter(|s| named(s)) {
        all.extend(of_one(sheet, suspect));
        all.extend(lower(sheet, core, suspect));
    }
    let mut mended = swaps(sheet, suspects);
    if suspects.iter().any(|s| WAIST.contains(&s.measure)) {
        mended.extend(waists(sheet));
    }
    all.extend(weighed(mended, weigh));
    all.retain(|r| r.sum < least + EXPLAINS);
    all.sort_by(|a, b| a.sum.total_cmp(&b.sum));
    all.truncate(MOST_SAID);
    all
}

/// How well a sheet goes together with each slip mended.
fn weighed(mended: Vec<Mended>, weigh: &(dyn Fn(&Sheet, usize) -> f64 + Sync)) -> Vec<Repair> {
    let bodies = BODIES_MENDED / mended.len().max(1);
    let weighed = mended.into_par_iter().map(|m| Repair {
        slip: m.slip,
        sum: weigh(&m.sheet, bodies),
    });
    weighed.collect()
}

/// The waist that several readings may have been taken at instead of the sheet's, if the sheet with that waist
/// goes together better than `least`.
pub(super) fn another_waist(
    sheet: &Sheet,
    least: f64,
    weigh: &(dyn Fn(&Sheet, usize) -> f64 + Sync),
) -> Option<Repair> {
    // One reading alone is told by `lower`.
    at_waist(sheet).nth(1)?;
    if at_waist(sheet).any(|g| g.sure) {
        return None;
    }
    weighed(waists(sheet), weigh)
        .into_iter()
        .filter(|r| r.sum < least)
        .min_by(|a, b| a.sum.total_cmp(&b.sum))
}

/// What a sheet gives of the waist.
pub(super) fn at_waist(sheet: &Sheet) -> impl Iterator<Item = &Given> {
    sheet.given.iter().filter(|g| WAIST.contains(&g.measure))
}

/// Another unit, a slipped point, a digit: in one reading. Of each kind the likeliest.
fn of_one(sheet: &Sheet, s: &Suspect) -> Vec<Repair> {
    if s.measure.kind() == Kind::Slope {
        return Vec::new();
    }
    let (value, sd) = s.expected;
    let sd = libm::hypot(sd, SOFTER * READ_SD_MM);
    let sum = |v: f64| s.left + libm::pow((v - value) / sd, 2.0);
    let read = Shown {
        measure: s.measure,
        value: s.given,
        unit: sheet.unit,
    };
    let repair = |slip: Slip, value: f64| Repair {
        slip,
        sum: sum(value),
    };
    let misread = Mistaken::all(sheet.unit).into_iter();
    let mut all: Vec<Repair> = misread
        .map(|m| repair(m.slip(read), s.given * m.factor))
        .collect();
    let ten = sheet.unit.to_mm(10.0);
    let tens = [s.given - ten, s.given + ten].map(|v| (Slip::Digit(read.with(v)), v));
    let digit = swapped_digits(s.given, sheet.unit)
        .into_iter()
        .map(|v| (Slip::Swapped(read.with(v)), v))
        .chain(tens)
        .min_by(|a, b| sum(a.1).total_cmp(&sum(b.1)));
    all.extend(digit.map(|(slip, v)| repair(slip, v)));
    all
}

/// A reading that alone was taken at a lower waist than the natural one.
fn lower(sheet: &Sheet, core: &Core, s: &Suspect) -> Option<Repair> {
    let (more, spread) = core.more_at_navel(s.measure, &sheet.averages)?;
    let (value, sd) = s.expected;
    let sd = libm::hypot(libm::hypot(sd, SOFTER * READ_SD_MM), spread);
    (sheet.waist == WaistKind::Natural).then(|| Repair {
        slip: Slip::LowerWaist(s.measure),
        sum: s.left + libm::pow((s.given - more - value) / sd, 2.0),
    })
}

/// A suspect and another reading of its kind, each in the other's line.
fn swaps(sheet: &Sheet, suspects: &[Suspect]) -> Vec<Mended> {
    let place = |m: Measure| {
        let here = |g: &Given| g.measure == m && g.side == Side::Both;
        sheet.given.iter().position(here)
    };
    let mut tried: Vec<((usize, usize), f64)> = Vec::new();
    for s in suspects {
        let Some(i) = place(s.measure) else { continue };
        let off = |v: f64| (v - s.expected.0).abs();
        for (j, other) in sheet.given.iter().enumerate() {
            let alike = other.measure.kind() == s.measure.kind() && other.side == Side::Both;
            if other.sure || i == j || !alike || off(other.value) >= off(s.given) {
                continue;
            }
            let pair = (i.min(j), i.max(j));
            let far = off(other.value) / libm::hypot(s.expected.1, SOFTER * READ_SD_MM);
            match tried.iter_mut().find(|t| t.0 == pair) {
                Some(known) => known.1 = known.1.min(far),
                None => tried.push((pair, far)),
            }
        }
    }
    tried.sort_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)));
    tried.truncate(MOST_SWAPS);
    let mend = |((i, j), _): ((usize, usize), f64)| {
        let mut other = sheet.clone();
        let (one, two) = (&sheet.given[i], &sheet.given[j]);
        (other.given[i].value, other.given[i].within) = (two.value, two.within);
        (other.given[j].value, other.given[j].within) = (one.value, one.within);
        Mended {
            sheet: other,
            slip: Slip::Exchanged(one.measure, two.measure),
        }
    };
    tried.into_iter().map(mend).collect()
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
fn waists(sheet: &Sheet) -> Vec<Mended> {
    [WaistKind::Natural, WaistKind::Iso, WaistKind::Navel]
        .into_iter()
        .filter(|kind| *kind != sheet.waist)
        .map(|kind| {
            let mut other = sheet.clone();
            other.waist = kind;
            Mended {
                sheet: other,
                slip: Slip::Waist(kind),
            }
        })
        .collect()
}
