//! Units a person types and reads; no other file converts.
//!
//! A length may be typed as a bare number (in the unit of its file) or as words: `96.5 cm`,
//! `965mm`, `40.5 in`, `40 3/4 in`, `40-3/4"`, `40¾ in`.

/// Millimetres in an inch: exact by definition (international yard and pound agreement of 1959).
pub const MM_PER_INCH: f64 = 25.4;
/// Millimetres in a centimetre: exact (SI prefixes).
pub const MM_PER_CM: f64 = 10.0;
/// Degrees in half a turn: exact by definition.
pub const DEGREES_PER_HALF_TURN: f64 = 180.0;
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
/// An inch tape is read to this part of an inch.
const PARTS_OF_INCH: u32 = 8;

/// A unit of length that a sheet may be written in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Unit {
    /// Centimetre.
    Cm,
    /// Millimetre.
    Mm,
    /// Inch.
    In,
}

impl Unit {
    /// Every one.
    pub const ALL: [Self; 3] = [Self::Cm, Self::Mm, Self::In];

    /// The name that a file gives it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Cm => "cm",
            Self::Mm => "mm",
            Self::In => "in",
        }
    }

    /// Its name in a sentence.
    #[must_use]
    pub const fn plural(self) -> &'static str {
        match self {
            Self::Cm => "centimetres",
            Self::Mm => "millimetres",
            Self::In => "inches",
        }
    }

    /// The unit with this name; capitals do not matter, and the inch has its usual signs.
    #[must_use]
    pub fn from_name(name: &str) -> Option<Self> {
        match name.trim().to_lowercase().as_str() {
            "cm" => Some(Self::Cm),
            "mm" => Some(Self::Mm),
            "in" | "inch" | "inches" | "\"" | "″" | "”" => Some(Self::In),
            _ => None,
        }
    }

    /// Millimetres in one of it.
    #[must_use]
    pub const fn in_mm(self) -> f64 {
        match self {
            Self::Cm => MM_PER_CM,
            Self::Mm => 1.0,
            Self::In => MM_PER_INCH,
        }
    }

    /// `value` of this unit in mm.
    #[must_use]
    pub const fn to_mm(self, value: f64) -> f64 {
        value * self.in_mm()
    }

    /// `mm` in this unit.
    #[must_use]
    pub const fn from_mm(self, mm: f64) -> f64 {
        mm / self.in_mm()
    }

    /// A length for reading: `96.5 cm`, `965 mm`, `37 7/8 in`. Centimetres to one decimal,
    /// millimetres whole, inches to the nearest eighth, as on a tape.
    #[must_use]
    pub fn show(self, mm: f64) -> String {
        format!("{} {}", self.show_bare(mm), self.name())
    }

    /// As [`show`](Self::show), without the unit.
    #[must_use]
    pub fn show_bare(self, mm: f64) -> String {
        match self {
            Self::Cm => fixed(self.from_mm(mm), 1),
            Self::Mm => fixed(mm, 0),
            Self::In => eighths(self.from_mm(mm)),
        }
    }

    /// A difference for reading, with its sign: `+0.43 cm`, `-4.3 mm`, `+0.17 in`. One digit finer
    /// than a tape, since it is often less than the tape's finest mark; zero has no sign.
    #[must_use]
    pub fn show_difference(self, mm: f64) -> String {
        let text = match self {
            Self::Cm | Self::In => fixed(self.from_mm(mm), 2),
            Self::Mm => fixed(mm, 1),
        };
        let plus = if text.starts_with('-') || !text.contains(|c| ('1'..='9').contains(&c)) {
            ""
        } else {
            "+"
        };
        format!("{plus}{text} {}", self.name())
    }

    /// A half-width for reading: `± 0.4 cm`, `± 4 mm`, `± 1/8 in`.
    #[must_use]
    pub fn show_plus_minus(self, mm: f64) -> String {
        let mm = mm.abs();
        match self {
            // A half-width that would read 0 says less than its own digits.
            Self::Cm | Self::Mm => format!("± {}", self.show(mm)),
            Self::In => {
                let shown = self.show_bare(mm);
                if shown == "0" && mm > 0.0 {
                    format!("± {} in", fixed(self.from_mm(mm), 2))
                } else {
                    format!("± {shown} in")
                }
            }
        }
    }
}

/// A number with a fixed count of decimals, never `-0`. A value that is not finite is written as
/// words that no format takes for a number.
#[must_use]
pub fn fixed(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return "not a number".into();
    }
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(rest) if !rest.contains(|c: char| ('1'..='9').contains(&c)) => rest.to_owned(),
        _ => text,
    }
}

/// A coordinate or size in mm as every writer writes it: three decimals (a thousandth of a
/// millimetre, far finer than any machine cuts), never `-0`.
#[must_use]
pub fn mm(value: f64) -> String {
    fixed(value, 3)
}

/// Radians in degrees.
#[must_use]
pub const fn degrees(radians: f64) -> f64 {
    radians * (DEGREES_PER_HALF_TURN / std::f64::consts::PI)
}

/// Degrees in radians.
#[must_use]
pub const fn radians(degrees: f64) -> f64 {
    degrees * (std::f64::consts::PI / DEGREES_PER_HALF_TURN)
}

/// An angle for reading, from radians: `21.5°`.
#[must_use]
pub fn show_degrees(radians: f64) -> String {
    format!("{}°", fixed(degrees(radians), 1))
}

/// Inches to the nearest eighth, the fraction in its lowest terms.
fn eighths(inches: f64) -> String {
    if !inches.is_finite() {
        return fixed(inches, 0);
    }
    let parts = f64::from(PARTS_OF_INCH);
    let count = (inches.abs() * parts).round();
    let whole = (count / parts).floor();
    let mut top = count - whole * parts;
    let mut bottom = parts;
    while top > 0.0 && (top % 2.0).abs() < 0.5 {
        top /= 2.0;
        bottom /= 2.0;
    }
    let sign = if inches < 0.0 && count > 0.0 { "-" } else { "" };
    match (whole > 0.0, top > 0.0) {
        (true, true) => format!("{sign}{whole:.0} {top:.0}/{bottom:.0}"),
        (false, true) => format!("{sign}{top:.0}/{bottom:.0}"),
        _ => format!("{sign}{whole:.0}"),
    }
}

/// Why words are no length: what is the matter, and what to do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Misread {
    /// What is the matter.
    pub message: String,
    /// What to do.
    pub hint: String,
}

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
        None => Err(unknown_unit(&words, default)),
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
            None => {
                let mut finding = unknown_unit(&words, default);
                finding.hint.push_str(", or `deg` for an angle");
                Err(finding)
            }
        },
    }
}

fn unknown_unit(words: &Words<'_>, default: Unit) -> Misread {
    let known = "write `cm`, `mm` or `in` after the number";
    let wanted = words.unit.to_lowercase();
    let hint = OTHER_UNITS
        .iter()
        .find(|(name, _)| *name == wanted.trim_end_matches('s') || *name == wanted)
        .map_or_else(
            || known.to_owned(),
            |(_, size)| {
                let same = default.show(words.number * size);
                format!("{known}: this would be \"{same}\"")
            },
        );
    Misread {
        message: format!(
            "`{}` is no unit that a file is written in",
            clip(words.unit)
        ),
        hint,
    }
}

/// The beginning of some text, for a message.
#[must_use]
pub fn clip(text: &str) -> String {
    const LONGEST: usize = 40;
    let mut out: String = text
        .chars()
        .take(LONGEST)
        .map(|c| if c.is_control() { '\u{fffd}' } else { c })
        .collect();
    if text.chars().nth(LONGEST).is_some() {
        out.push('…');
    }
    out
}

fn parse_words(text: &str) -> Result<Words<'_>, Misread> {
    let refuse = |message: String, hint: &str| Misread {
        message,
        hint: hint.to_owned(),
    };
    let trimmed = text.trim();
    if let Some(point) = decimal_comma(trimmed) {
        return Err(refuse(
            format!("`{}` has a decimal comma", clip(trimmed)),
            &format!("use a point: \"{}\"", clip(&point)),
        ));
    }
    // The number ends at the first character that cannot be part of one.
    let end = trimmed
        .char_indices()
        .find(|&(_, c)| {
            !(c.is_ascii_digit() || " .+-−/⁄".contains(c) || fraction_sign(c).is_some())
        })
        .map_or(trimmed.len(), |(i, _)| i);
    let (number, unit) = trimmed.split_at(end);
    // A hyphen may join number and unit (`40-in`); it is no part of the number.
    let number = number.trim_end_matches([' ', '-']);
    let nothing = || {
        refuse(
            format!("`{}` does not begin with a number", clip(trimmed)),
            "write a number and a unit, for example \"96.5 cm\" or \"40 3/4 in\"",
        )
    };
    if number.is_empty() {
        return Err(nothing());
    }
    let value = parse_number(number).ok_or_else(nothing)?;
    if !value.is_finite() {
        return Err(refuse(
            format!("`{}` is not a finite number", clip(trimmed)),
            "write the number that the tape showed",
        ));
    }
    Ok(Words {
        number: value,
        unit: unit.trim(),
    })
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

fn parse_digits(text: &str) -> Option<f64> {
    (!text.is_empty() && text.bytes().all(|b| b.is_ascii_digit()))
        .then(|| text.parse().ok())
        .flatten()
}

/// The value of a fraction written as one sign (Unicode block "Number Forms" and Latin-1).
fn fraction_sign(c: char) -> Option<f64> {
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

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    #[test]
    fn inch_is_exactly_25_4_mm() {
        // International yard and pound agreement of 1959: 1 yd = 0.9144 m = 36 in.
        assert_relative_eq!(36.0 * MM_PER_INCH, 914.4, epsilon = 1e-12);
        assert_relative_eq!(parse_length("1 in", Unit::Cm).unwrap(), 25.4);
    }

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
        assert!(
            parse_length(&long, Unit::Cm)
                .unwrap_err()
                .message
                .contains("finite")
        );
    }

    #[test]
    fn another_unit_is_proposed_in_ours() {
        let finding = parse_length("1.65 m", Unit::Cm).unwrap_err();
        assert!(finding.hint.contains("\"165.0 cm\""), "{}", finding.hint);
        let finding = parse_length("5 feet", Unit::In).unwrap_err();
        assert!(finding.hint.contains("\"60 in\""), "{}", finding.hint);
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

    #[test]
    fn shown_as_a_person_reads_it() {
        assert_eq!(Unit::Cm.show(965.0), "96.5 cm");
        assert_eq!(Unit::Mm.show(965.4), "965 mm");
        assert_eq!(Unit::In.show(965.2), "38 in");
        assert_eq!(Unit::In.show(25.4 * 37.875), "37 7/8 in");
        assert_eq!(Unit::In.show(25.4 * 37.99), "38 in");
        assert_eq!(Unit::In.show(25.4 * 0.25), "1/4 in");
        assert_eq!(Unit::In.show(-25.4 * 1.5), "-1 1/2 in");
        assert_eq!(Unit::In.show(-0.1), "0 in");
        assert_eq!(Unit::Cm.show(-0.1), "0.0 cm");
        assert_eq!(Unit::Cm.show_difference(-0.01), "0.00 cm");
        assert_eq!(Unit::Cm.show_difference(4.3), "+0.43 cm");
        assert_eq!(Unit::Mm.show_difference(-4.3), "-4.3 mm");
        assert_eq!(Unit::In.show_plus_minus(0.5), "± 0.02 in");
        assert_eq!(show_degrees(radians(21.5)), "21.5°");
        assert_eq!(mm(-0.000_01), "0.000");
        assert_eq!(mm(-12.345_6), "-12.346");
        assert_eq!(fixed(f64::NAN, 2), "not a number");
    }

    proptest! {
        #[test]
        fn no_words_panic(words in ".*") {
            let _ = parse_length(&words, Unit::In);
            let _ = parse_angle_or_length(&words, Unit::Mm);
            let _ = clip(&words);
        }

        #[test]
        fn a_number_comes_back_in_every_unit(value in 0.001_f64..1e5) {
            for unit in Unit::ALL {
                let text = format!("{value} {}", unit.name());
                let read = parse_length(&text, Unit::Cm).unwrap();
                prop_assert!((unit.from_mm(read) - value).abs() <= 1e-12 * value);
            }
        }

        #[test]
        fn shown_inches_read_back_within_a_sixteenth(value in 0.0_f64..3000.0) {
            let read = parse_length(&Unit::In.show(value), Unit::Cm).unwrap();
            prop_assert!((read - value).abs() <= MM_PER_INCH / 16.0 + 1e-9);
        }

        #[test]
        fn fixed_is_never_minus_zero(value in -2.0_f64..2.0, decimals in 0_usize..6) {
            let text = fixed(value, decimals);
            let zero = text.parse::<f64>().unwrap().abs() <= 0.0;
            prop_assert!(!(zero && text.starts_with('-')));
        }
    }
}
