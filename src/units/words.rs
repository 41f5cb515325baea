//! Lengths and angles as a person types them.

use crate::units::alike::{is_bent_quote, plainly};
use crate::units::fractions::{fraction_sign, fraction_slip, parse_digits, point_before_fraction};
use crate::units::misread::{Misread, clip};
use crate::units::{MM_PER_INCH, Unit, radians};

/// Units that somebody may think of and that no sheet is written in, with their mm: only for
/// proposing the same length in a unit that is read. The foot is 12 inches, the yard three feet.
const OTHER_UNITS: [(&str, f64); 6] = [
    ("m", 1000.0),
    ("metre", 1000.0),
    ("ft", 12.0 * MM_PER_INCH),
    ("feet", 12.0 * MM_PER_INCH),
    ("'", 12.0 * MM_PER_INCH),
    ("yd", 36.0 * MM_PER_INCH),
];

/// A number with a unit is no larger than this: in millimetres the girth of the moon is a tenth of it.
const LARGEST: f64 = 1e11;

/// What words gave: a number, and the unit where one stands after it.
struct Words<'a> {
    number: f64,
    unit: &'a str,
}

/// Reads a length typed as words; without a unit of its own it is in `default`. Answers in mm.
///
/// # Errors
/// [`Misread`]: a decimal comma, an unknown unit, or no number at all.
pub fn parse_length(text: &str, default: Unit) -> Result<f64, Misread> {
    let words = parse_words(text)?;
    if words.unit.is_empty() {
        return Ok(default.to_mm(words.number));
    }
    match Unit::from_name(words.unit) {
        Some(unit) => Ok(unit.to_mm(words.number)),
        None => another_unit(&words).ok_or_else(|| unknown_unit(&words, default, false)),
    }
}

/// An angle or a length, for a value that may be either.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum AngleOrLength {
    /// Radians.
    Angle(f64),
    /// mm.
    Length(f64),
}

/// Reads words that are an angle (`21 deg`, `21°`, or a bare number of degrees) or a length with a
/// unit (`5.5 cm`).
///
/// # Errors
/// As [`parse_length`].
pub fn parse_angle_or_length(text: &str, default: Unit) -> Result<AngleOrLength, Misread> {
    let words = parse_words(text)?;
    match words.unit.to_lowercase().as_str() {
        "" | "deg" | "degree" | "degrees" | "°" => Ok(AngleOrLength::Angle(radians(words.number))),
        _ => match Unit::from_name(words.unit) {
            Some(unit) => Ok(AngleOrLength::Length(unit.to_mm(words.number))),
            None => Err(unknown_unit(&words, default, true)),
        },
    }
}

/// The length of words in a unit that no sheet is written in (`5 ft 5`, `1.65 m`), mm.
#[must_use]
pub fn in_another_unit(text: &str) -> Option<f64> {
    another_unit(&parse_words(text).ok()?)
}

fn another_unit(words: &Words<'_>) -> Option<f64> {
    let wanted = words.unit.to_lowercase();
    OTHER_UNITS
        .iter()
        .find(|(name, _)| *name == wanted.trim_end_matches('s') || *name == wanted)
        .map(|(_, size)| words.number * size)
        .or_else(|| feet_and_inches(words))
}

fn unknown_unit(words: &Words<'_>, default: Unit, angle: bool) -> Misread {
    Misread::UnknownUnit {
        unit: clip(words.unit),
        same: another_unit(words).map(|mm| (mm, default)),
        angle,
    }
}

fn parse_words(text: &str) -> Result<Words<'_>, Misread> {
    let trimmed = text.trim();
    let typed = || clip(trimmed);
    if let Some(why) = written_with(trimmed) {
        return Err(why);
    }
    if let Some(point) = decimal_comma(trimmed) {
        return Err(Misread::DecimalComma {
            typed: typed(),
            pointed: clip(&point),
        });
    }
    // The number ends at the first character that cannot be part of one.
    let end = trimmed
        .char_indices()
        .find(|&(_, c)| {
            !(c.is_ascii_digit()
                || c.is_whitespace()
                || ".+-−/⁄".contains(c)
                || fraction_sign(c).is_some())
        })
        .map_or(trimmed.len(), |(i, _)| i);
    let (number, unit) = trimmed.split_at(end);
    // A hyphen may join number and unit (`40-in`); it is not part of the number.
    let plain = number.replace(char::is_whitespace, " ");
    let number = plain.trim_end_matches([' ', '-']);
    let nothing = || Misread::NoNumber { typed: typed() };
    if trimmed.is_empty() {
        return Err(Misread::Nothing);
    }
    if number.is_empty() {
        return Err(nothing());
    }
    if has_power(unit) {
        return Err(Misread::PowerOfTen { typed: typed() });
    }
    if let Some(why) = point_before_fraction(number, unit.trim()) {
        return Err(why);
    }
    if let Some(why) = fraction_slip(number, unit.trim()) {
        return Err(why);
    }
    let value = parse_number(number).ok_or_else(nothing)?;
    if value.abs() > LARGEST {
        return Err(Misread::TooLarge { typed: typed() });
    }
    let unit = unit.trim();
    Ok(Words {
        number: value,
        unit,
    })
}

/// Whether what stands behind a number is the power of `1e3`.
fn has_power(unit: &str) -> bool {
    unit.strip_prefix(['e', 'E'])
        .map(|rest| rest.trim_start_matches(['+', '-']))
        .is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()))
}

/// Why a number or unit in signs that only look like ours is not read. Any space parts words, and quotes
/// stand for inches and feet.
fn written_with(text: &str) -> Option<Misread> {
    let text = text
        .replace(char::is_whitespace, " ")
        .replace(is_bent_quote, "\"");
    let (plain, alike) = plainly(&text)?;
    Some(Misread::Lookalike {
        typed: clip(text.trim()),
        alike,
        plain: clip(plain.trim()),
    })
}

/// The length of `5 ft 5` or `5' 5 1/2"`, mm, if that is what the words are.
fn feet_and_inches(words: &Words<'_>) -> Option<f64> {
    let rest = ["feet", "foot", "ft.", "ft", "'", "′", "’"]
        .iter()
        .find_map(|sign| words.unit.strip_prefix(sign))?;
    let inches = parse_words(rest).ok()?;
    let named = inches.unit.is_empty() || Unit::from_name(inches.unit) == Some(Unit::In);
    named.then_some((12.0 * words.number + inches.number) * MM_PER_INCH)
}

/// The text with its comma replaced by a point, where a comma stands between digits.
#[must_use]
pub fn decimal_comma(text: &str) -> Option<String> {
    let bytes = text.as_bytes();
    let at = (1..bytes.len().saturating_sub(1)).find(|&i| {
        bytes[i] == b',' && bytes[i - 1].is_ascii_digit() && bytes[i + 1].is_ascii_digit()
    })?;
    let mut out = text.to_owned();
    out.replace_range(at..=at, ".");
    Some(out)
}

/// `40`, `40.5`, `3/4`, `40 3/4`, `40-3/4`, `40¾`, `¾`, with a sign in front or not.
fn parse_number(text: &str) -> Option<f64> {
    let text = text.trim();
    let (sign, rest) = match text.strip_prefix(['-', '−']) {
        Some(rest) => (-1.0, rest),
        None => (1.0, text.strip_prefix('+').unwrap_or(text)),
    };
    let rest = rest.trim_start();
    if let Some((at, c)) = rest.char_indices().next_back()
        && let Some(part) = fraction_sign(c)
    {
        let whole = rest[..at].trim_end_matches([' ', '-']);
        let whole = if whole.is_empty() {
            0.0
        } else {
            parse_digits(whole)?
        };
        return Some(sign * (whole + part));
    }
    if let Some((before, bottom)) = rest.split_once(['/', '⁄']) {
        let before = before.trim_end();
        let (whole, top) = match before.rsplit_once([' ', '-']) {
            Some((whole, top)) => (
                parse_digits(whole.trim_end_matches([' ', '-']))?,
                parse_digits(top)?,
            ),
            None => (0.0, parse_digits(before)?),
        };
        let bottom = parse_digits(bottom.trim())?;
        return (bottom > 0.0).then(|| sign * (whole + top / bottom));
    }
    // A point is allowed only here: a fraction has whole parts.
    let mut points = 0;
    let plain = !rest.is_empty()
        && rest.starts_with(|c: char| c.is_ascii_digit() || c == '.')
        && rest.chars().all(|c| {
            points += usize::from(c == '.');
            c.is_ascii_digit() || c == '.'
        })
        && points <= 1;
    plain
        .then(|| rest.parse().ok())
        .flatten()
        .map(|v: f64| sign * v)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    #[test]
    fn words_are_read() {
        for (words, mm) in [
            ("96.5 cm", 965.0),
            ("965mm", 965.0),
            (" 965  mm ", 965.0),
            ("40 3/4 in", 1035.05),
            ("40-3/4\"", 1035.05),
            ("40 3/4″", 1035.05),
            ("40¾ in", 1035.05),
            ("40 ¾ in", 1035.05),
            ("40 3⁄4 inches", 1035.05),
            ("40.75 IN", 1035.05),
            ("1/2 in", 12.7),
            ("½\"", 12.7),
            (".5 in", 12.7),
            ("96.", 960.0),
            ("96", 960.0),
            ("+96 cm", 960.0),
            ("-2 cm", -20.0),
            ("−2 cm", -20.0),
            ("3/2 in", 38.1),
        ] {
            let got = parse_length(words, Unit::Cm);
            assert_relative_eq!(got.expect(words), mm, max_relative = 1e-14);
        }
    }

    /// A foot is 12 inches of 25.4 mm (agreement of 1959).
    #[test]
    fn feet_and_inches_are_read() {
        for (words, inches) in [
            ("5 ft 5", 65.0),
            ("5' 5 1/2\"", 65.5),
            ("5′5″", 65.0),
            ("6 feet 1 in", 73.0),
            ("6 ft", 72.0),
        ] {
            let got = parse_length(words, Unit::Cm).expect(words);
            assert_relative_eq!(got, inches * 25.4, max_relative = 1e-14);
        }
        let why = parse_length("5 ft 5 cm", Unit::In).expect_err("inches follow feet");
        assert!(
            matches!(why, Misread::UnknownUnit { same: None, .. }),
            "{why:?}"
        );
    }

    #[test]
    fn a_missing_space_and_a_zero_are_told() {
        for (words, may_mean) in [
            ("161/4", &["16 1/4"][..]),
            ("161/4 in", &["16 1/4 in"]),
            ("1615/16 in", &["16 15/16 in", "161 5/16 in"]),
            ("15/8", &["1 5/8"]),
        ] {
            match parse_length(words, Unit::In) {
                Err(Misread::RunTogether { meant, .. }) => assert_eq!(meant, may_mean, "{words}"),
                other => panic!("{words}: {other:?}"),
            }
        }
        match parse_length("44.1/2 in", Unit::In) {
            Err(Misread::PointBeforeFraction { meant, .. }) => assert_eq!(meant, "44 1/2 in"),
            other => panic!("{other:?}"),
        }
        for words in ["43 1/0", "1/0 in"] {
            let why = parse_length(words, Unit::In).expect_err(words);
            assert!(matches!(why, Misread::ZeroBelow { .. }), "{words}: {why:?}");
        }
        for words in ["1e300 in", "2.5E-3"] {
            let why = parse_length(words, Unit::In).expect_err(words);
            assert!(
                matches!(why, Misread::PowerOfTen { .. }),
                "{words}: {why:?}"
            );
        }
        assert_eq!(parse_length(" ", Unit::In), Err(Misread::Nothing));
    }

    #[test]
    fn words_that_are_no_length() {
        for words in [
            "",
            " ",
            "cm",
            "96 ell",
            "91,5 cm",
            "1.2.3 cm",
            "3/0 in",
            "1/2/3 in",
            "40 3/4 5 in",
            "--4 in",
            "1e3 cm",
            "nan",
            "inf cm",
            "0x10 mm",
            "4 0 cm",
            "1.5/2 in",
            "/ in",
            "- in",
        ] {
            assert!(parse_length(words, Unit::Cm).is_err(), "{words}");
        }
        let long = format!("{} mm", "9".repeat(400));
        assert!(matches!(
            parse_length(&long, Unit::Cm),
            Err(Misread::TooLarge { .. })
        ));
    }

    #[test]
    fn signs_that_only_look_like_ours_are_told() {
        for words in ["\u{ff19}\u{ff16} cm", "96 \u{441}m", "9\u{200b}6 cm"] {
            match parse_length(words, Unit::Cm) {
                Err(Misread::Lookalike { plain, .. }) => assert_eq!(plain, "96 cm", "{words}"),
                other => panic!("{words}: {other:?}"),
            }
        }
        // Any space parts the words, and other alphabets have units of their own.
        let spaced = parse_length("38\u{a0}3/4\u{202f}in", Unit::Cm).unwrap();
        assert_relative_eq!(spaced, 984.25, max_relative = 1e-14);
        let why = parse_length("96 \u{441}\u{43c}", Unit::Cm).unwrap_err();
        assert!(matches!(why, Misread::UnknownUnit { .. }), "{why:?}");
    }

    /// A metre is 1000 mm, a foot 12 inches of 25.4 mm.
    #[test]
    fn units_that_no_sheet_is_written_in_are_read() {
        for (words, unit, mm) in [("1.65 m", Unit::Cm, 1650.0), ("5 feet", Unit::In, 1524.0)] {
            assert_relative_eq!(parse_length(words, unit).unwrap(), mm, max_relative = 1e-14);
        }
        // A slope may be a drop: what would be odd there is asked about.
        assert!(matches!(
            parse_angle_or_length("5 ft", Unit::In),
            Err(Misread::UnknownUnit { same: Some(_), .. })
        ));
    }

    #[test]
    fn angles_and_drops_are_told_apart() {
        let read = |words| parse_angle_or_length(words, Unit::Cm).unwrap();
        assert_eq!(read("21 deg"), AngleOrLength::Angle(radians(21.0)));
        assert_eq!(read("21°"), AngleOrLength::Angle(radians(21.0)));
        assert_eq!(read("21"), AngleOrLength::Angle(radians(21.0)));
        assert_eq!(read("5.5 cm"), AngleOrLength::Length(55.0));
        assert!(parse_angle_or_length("21 turns", Unit::Cm).is_err());
    }

    proptest! {
        #[test]
        fn no_words_panic(words in ".*") {
            let _ = parse_length(&words, Unit::In);
            let _ = parse_angle_or_length(&words, Unit::Mm);
            let _ = clip(&words);
        }
    }
}
