//! Slips of the pen that would explain what pulls against each other.
//!
//! Each is weighed as everything else is: by how well the sheet would go together with it mended. A
//! value that lies at `z` standard deviations from what the others expect adds `z` squared to how they
//! go together themselves; two lines in each other's place and another waist are fitted.

use rayon::prelude::*;

use crate::measure::{Kind, Measure, Side};
use crate::sheet::{Given, Sheet, WaistKind};
use crate::torso::doubt::{SOFTER, Suspect};
use crate::torso::facts::Slip;
use crate::torso::main_measures::Core;
use crate::torso::pose::READ_SD_MM;
use crate::units::{MM_PER_CM, MM_PER_INCH, Unit};

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
    let inch = MM_PER_INCH / MM_PER_CM;
    let slip = |slip: fn(Measure, f64, Unit) -> Slip, value: f64| Repair {
        slip: slip(s.measure, value, sheet.unit),
        sum: sum(value),
    };
    let mut all = vec![
        slip(Slip::Inches, s.given * inch),
        slip(Slip::Centimetres, s.given * (1.0 / inch)),
        slip(Slip::Point, s.given * 10.0),
        slip(Slip::Point, s.given * 0.1),
    ];
    let digit = digits(s.given, sheet)
        .into_iter()
        .min_by(|a, b| sum(*a).total_cmp(&sum(*b)));
    all.extend(digit.map(|v| slip(Slip::Digit, v)));
    all
}

/// A reading that alone was taken at a lower waist than the natural one.
fn lower(sheet: &Sheet, core: &Core, s: &Suspect) -> Option<Repair> {
    let (more, spread) = core.more_at_navel(s.measure, sheet.figure)?;
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

/// What the reading would be with two neighbouring digits swapped or one ten more or less, mm.
fn digits(mm: f64, sheet: &Sheet) -> Vec<f64> {
    let unit = sheet.unit.to_mm(1.0);
    // Tenths are written as a digit; of inches only the whole ones are, their fractions stay.
    let (step, rest) = match sheet.unit {
        Unit::In => (unit, mm.rem_euclid(unit)),
        Unit::Cm | Unit::Mm => (unit / 10.0, 0.0),
    };
    let count = ((mm - rest) / step).round();
    if !(1.0..1e6).contains(&count) {
        return Vec::new();
    }
    let digits: Vec<u8> = format!("{count}").into_bytes();
    let back = |d: &[u8]| {
        let text: String = d.iter().map(|b| char::from(*b)).collect();
        text.parse::<f64>().ok().map(|v| v * step + rest)
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

#[cfg(test)]
mod tests {
    use super::*;

    /// Digits of whole inches change places, a fraction stays; of centimetres the tenth is a digit.
    #[test]
    fn digits_are_those_that_were_written() {
        let mut sheet = crate::sheet::read(crate::sheet::EXAMPLE, "contralto.toml").unwrap();
        let close = |mm: f64, sheet: &Sheet, wanted: f64| {
            digits(mm, sheet).iter().any(|v| (v - wanted).abs() < 1e-6)
        };
        assert!(close(768.0, &sheet, 678.0) && close(768.0, &sheet, 786.0));
        assert!(close(768.0, &sheet, 868.0) && close(768.0, &sheet, 668.0));
        sheet.unit = Unit::In;
        let inches = |v: f64| v * MM_PER_INCH;
        assert!(close(inches(38.25), &sheet, inches(83.25)));
        assert!(close(inches(38.25), &sheet, inches(28.25)));
        assert_eq!(digits(inches(38.25), &sheet).len(), 3);
    }
}
