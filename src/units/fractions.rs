//! Fractions as somebody writes them by hand, and what is odd about those that cannot be meant.

use crate::units::{Misread, clip};

/// `44.1/2`, which somebody writes for 44 1/2.
pub(super) fn point_before_fraction(number: &str, unit: &str) -> Option<Misread> {
    let (whole, fraction) = number.split_once('.')?;
    let (above, below) = fraction.split_once(['/', '⁄'])?;
    let (top, bottom) = (parse_digits(above.trim())?, parse_digits(below.trim())?);
    parse_digits(whole.trim())?;
    (top < bottom).then(|| Misread::PointBeforeFraction {
        number: clip(number),
        meant: format!("{} {} {unit}", clip(whole), clip(fraction))
            .trim()
            .to_owned(),
    })
}

/// What is odd about a fraction that can be divided out, or could be, and was hardly meant so: `1/0`,
/// or `161/4` for 16 1/4.
pub(super) fn fraction_slip(number: &str, unit: &str) -> Option<Misread> {
    let (before, below) = number.split_once(['/', '⁄'])?;
    let below = below.trim();
    let above = before.rsplit([' ', '-']).next()?;
    let (top, bottom) = (parse_digits(above)?, parse_digits(below)?);
    let whole = &before[..before.len() - above.len()];
    let number = clip(number);
    if bottom <= 0.0 {
        return Some(Misread::ZeroBelow { number });
    }
    // One digit above the stroke is never two numbers run together.
    if top < bottom || above.len() < 2 || !whole.trim().is_empty() {
        return None;
    }
    // Every way to part them that leaves less than one above the stroke: 16 1/4, or 16 15/16 and
    // 161 5/16.
    let meant: Vec<String> = (1..above.len())
        .filter_map(|i| {
            let (inches, part) = above.split_at(i);
            let proper = parse_digits(part)? < bottom && !part.starts_with('0');
            proper.then(|| format!("{inches} {part}/{below} {unit}").trim().to_owned())
        })
        .collect();
    (!meant.is_empty()).then_some(Misread::RunTogether { number, meant })
}

/// The value of a fraction written as one sign (Unicode block "Number Forms" and Latin-1).
pub(super) fn fraction_sign(c: char) -> Option<f64> {
    let (top, bottom): (f64, f64) = match c {
        '¼' => (1.0, 4.0),
        '½' => (1.0, 2.0),
        '¾' => (3.0, 4.0),
        '⅛' => (1.0, 8.0),
        '⅜' => (3.0, 8.0),
        '⅝' => (5.0, 8.0),
        '⅞' => (7.0, 8.0),
        '⅓' => (1.0, 3.0),
        '⅔' => (2.0, 3.0),
        '⅕' => (1.0, 5.0),
        '⅖' => (2.0, 5.0),
        '⅗' => (3.0, 5.0),
        '⅘' => (4.0, 5.0),
        '⅙' => (1.0, 6.0),
        '⅚' => (5.0, 6.0),
        _ => return None,
    };
    Some(top / bottom)
}

/// A whole number of plain digits.
pub(super) fn parse_digits(text: &str) -> Option<f64> {
    (!text.is_empty() && text.bytes().all(|b| b.is_ascii_digit()))
        .then(|| text.parse().ok())
        .flatten()
}
