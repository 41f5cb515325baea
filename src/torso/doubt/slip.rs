//! Slips of the pen that would explain a reading.

use crate::measure::{Kind, Measure};
use crate::sheet::{Sheet, WaistKind};
use crate::torso::doubt::{SOFTER, Suspect};
use crate::torso::fit::{READ_SD_MM, TWO_SIDED_95};
use crate::units::{MM_PER_CM, MM_PER_INCH};

/// A slip of the pen that would explain the reading.
pub(super) fn repair(
    sheet: &Sheet,
    s: &Suspect,
    likely: &dyn Fn(Measure, f64) -> bool,
) -> Option<String> {
    if s.measure.kind() == Kind::Slope {
        return None;
    }
    let (value, sd) = s.expected;
    let fits = |v: f64| (v - value).abs() < TWO_SIDED_95 * sd.max(SOFTER * READ_SD_MM);
    let key = s.measure.key();
    let inch = MM_PER_INCH / MM_PER_CM;
    for (factor, what) in [
        (inch, "is it inches written as centimetres"),
        (1.0 / inch, "is it centimetres written as inches"),
        (10.0, "did a decimal point slip"),
        (0.1, "did a decimal point slip"),
    ] {
        if fits(s.given * factor) {
            return Some(format!(
                "{what}? `{key}` would be {}",
                sheet.unit.show(s.given * factor)
            ));
        }
    }
    for other in &sheet.given {
        let same_kind = other.measure.kind() == s.measure.kind();
        let both = fits(other.value) && likely(other.measure, s.given);
        if other.measure != s.measure && same_kind && both {
            return Some(format!("are `{key}` and `{}` swapped?", other.measure));
        }
    }
    let digit = slips(s.given, sheet).into_iter().find(|v| fits(*v));
    let digit = digit.map(|v| {
        format!(
            "is a digit of `{key}` wrong? {} would fit",
            sheet.unit.show(v)
        )
    });
    let level = matches!(s.measure, Measure::HeightWaist | Measure::LengthBackWaist);
    let waist = level || s.measure == Measure::GirthWaist;
    let lower = (waist && sheet.waist == WaistKind::Natural && s.given > value).then(|| {
        "was the waist taken lower than the natural one? say `waist = \"iso\"` or \
         `waist = \"navel\"`"
            .to_owned()
    });
    match (digit, lower) {
        // Where the waist was taken moves a level as easily as a digit does.
        (Some(digit), Some(lower)) if level => Some(format!("{lower}, or {digit}")),
        (digit, lower) => digit.or(lower),
    }
}

/// What the reading would be with two neighbouring digits swapped or one ten more or less, mm.
fn slips(mm: f64, sheet: &Sheet) -> Vec<f64> {
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
