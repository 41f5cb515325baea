//! Units a person types and reads; no other file converts.
//!
//! A length may be typed as a bare number (in the unit of its file) or as words: `96.5 cm`,
//! `965mm`, `40.5 in`, `40 3/4 in`, `40-3/4"`, `40¾ in`.

pub(crate) mod alike;
mod fine;
mod fractions;
mod misread;
mod words;

pub use alike::Alike;
pub use alike::Lookalike;
pub use misread::Misread;
pub use misread::clip;
pub use words::AngleOrLength;
pub use words::decimal_comma;
pub use words::in_another_unit;
pub use words::parse_angle_or_length;
pub use words::parse_length;

/// Millimetres in an inch: exact by definition (international yard and pound agreement of 1959).
pub const MM_PER_INCH: f64 = 25.4;
/// Millimetres in a centimetre: exact (SI prefixes).
pub const MM_PER_CM: f64 = 10.0;
/// Degrees in half a turn: exact by definition.
pub const DEGREES_PER_HALF_TURN: f64 = 180.0;
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

    /// A length for reading beside another that stands next to it, so that what is shown differs by what lies
    /// between them and not by two roundings: `base` as it is shown, and on it the rounded difference.
    #[must_use]
    pub fn beside(self, mm: f64, base: f64) -> String {
        let step = match self {
            Self::Cm | Self::Mm => self.in_mm() / if self == Self::Cm { 10.0 } else { 1.0 },
            Self::In => MM_PER_INCH / f64::from(PARTS_OF_INCH),
        };
        let apart = ((mm - base) / step).round();
        if apart.abs() < 0.5 {
            return self.show_bare(base);
        }
        self.show_bare(((base / step).round() + apart) * step)
    }

    /// A difference for reading, with its sign: `+0.43 cm`, `-4.3 mm`, `+0.17 in`. One digit finer
    /// than a tape, since it is often less than the tape's finest mark; zero has no sign.
    #[must_use]
    pub fn show_difference(self, mm: f64) -> String {
        format!("{} {}", self.difference_bare(mm), self.name())
    }

    /// As [`show_difference`](Self::show_difference), without the unit.
    #[must_use]
    pub fn difference_bare(self, mm: f64) -> String {
        with_plus(match self {
            Self::Cm | Self::In => fixed(self.from_mm(mm), 2),
            Self::Mm => fixed(mm, 1),
        })
    }

    /// As [`show`](Self::show), with its sign: a difference as coarse as the tape that must make it up.
    #[must_use]
    pub fn show_signed(self, mm: f64) -> String {
        format!("{} {}", self.signed_bare(mm), self.name())
    }

    /// As [`show_signed`](Self::show_signed), without the unit.
    #[must_use]
    pub fn signed_bare(self, mm: f64) -> String {
        with_plus(self.show_bare(mm))
    }

    /// A half-width for reading: `± 0.4 cm`, `± 4 mm`, `± 1/8 in`.
    #[must_use]
    pub fn show_plus_minus(self, mm: f64) -> String {
        format!("± {}", self.show_half_width(mm))
    }

    /// As [`show_plus_minus`](Self::show_plus_minus), without the sign.
    #[must_use]
    pub fn show_half_width(self, mm: f64) -> String {
        format!("{} {}", self.spread_bare(mm), self.name())
    }

    /// A half-width without sign and unit: `0.4`, `1/8`.
    #[must_use]
    pub fn spread_bare(self, mm: f64) -> String {
        let shown = self.show_bare(mm.abs());
        // A half-width that would read 0 says less than its own digits.
        if self == Self::In && shown == "0" && mm != 0.0 {
            fixed(self.from_mm(mm.abs()), 2)
        } else {
            shown
        }
    }
}

/// From here on a number is written by its first digits and a power of ten. Our choice: no size that
/// is made or measured here comes near it, and eight digits are still read at a glance.
const TOO_LONG: f64 = 1e8;

/// A number with a fixed count of decimals, never `-0`; one of nine digits and more as `1.25e12`. A
/// value that is not finite is written as words that no format takes for a number.
#[must_use]
pub fn fixed(value: f64, decimals: usize) -> String {
    if !value.is_finite() {
        return "not a number".into();
    }
    if value.abs() >= TOO_LONG {
        let text = format!("{value:.2e}");
        let (digits, power) = text.split_once('e').unwrap_or((&text, "0"));
        let digits = digits.trim_end_matches('0').trim_end_matches('.');
        return format!("{digits}e{power}");
    }
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(rest) if is_nought(rest) => rest.to_owned(),
        _ => text,
    }
}

/// As [`fixed`], with its sign; what is written as zero has none.
#[must_use]
pub fn signed(value: f64, decimals: usize) -> String {
    with_plus(fixed(value, decimals))
}

/// Whether what is written is zero: its digits say so, whatever was rounded away.
fn is_nought(written: &str) -> bool {
    !written.contains(|c| ('1'..='9').contains(&c))
}

/// A written number with a plus before it, where it is above zero.
fn with_plus(written: String) -> String {
    if written.starts_with('-') || is_nought(&written) {
        written
    } else {
        format!("+{written}")
    }
}

/// A number of at most so many decimals, without the noughts at its end: `6.35`, `100`.
#[must_use]
pub fn trimmed(value: f64, decimals: usize) -> String {
    let text = fixed(value, decimals);
    if text.contains('.') && !text.contains('e') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
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

/// A difference of angles for reading, with its sign: `+1.5°`.
#[must_use]
pub fn show_degrees_difference(radians: f64) -> String {
    format!("{}°", signed(degrees(radians), 1))
}

/// Inches to the nearest eighth, the fraction in its lowest terms.
fn eighths(inches: f64) -> String {
    fraction(inches, PARTS_OF_INCH)
}

/// Inches as a tape shows them, `13 3/16`, where they are a whole number of 64ths; nothing where
/// they are none.
#[must_use]
pub fn inch_fraction(inches: f64) -> Option<String> {
    const FINEST: u32 = 64;
    /// Part of a 64th that a number with four decimals may be off.
    const ROUNDED: f64 = 0.01;
    let count = inches * f64::from(FINEST);
    (count.is_finite() && (count - count.round()).abs() < ROUNDED).then(|| fraction(inches, FINEST))
}

/// Whether inches to the nearest 64th are a whole number of them, or none.
pub(crate) fn is_whole_inch(inches: f64) -> bool {
    let parts = (inches * 64.0).round();
    (parts / 64.0).fract().abs() < 0.5 / 64.0
}

/// Inches to the nearest of this many parts, the fraction in its lowest terms.
fn fraction(inches: f64, parts: u32) -> String {
    if !inches.is_finite() || inches.abs() >= TOO_LONG {
        return fixed(inches, 0);
    }
    let parts = f64::from(parts);
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
        // Just over 44 3/16 in and just under it are one length, whichever way a half is rounded.
        let asked = 25.4 * 44.188;
        assert_eq!(Unit::In.show_bare(asked), "44 1/4");
        assert_eq!(Unit::In.beside(asked - 0.1, asked), "44 1/4");
        assert_eq!(Unit::In.beside(asked - 3.0, asked), "44 1/8");
        assert_eq!(Unit::Cm.beside(960.45, 960.5), Unit::Cm.show_bare(960.5));
        assert_eq!(Unit::Cm.beside(957.0, 960.0), "95.7");
        assert_eq!(Unit::Mm.beside(957.4, 960.0), "957");
        assert_eq!(inch_fraction(13.1875).as_deref(), Some("13 3/16"));
        assert_eq!(inch_fraction(0.0625).as_deref(), Some("1/16"));
        assert_eq!(inch_fraction(41.0).as_deref(), Some("41"));
        assert_eq!(inch_fraction(41.3), None);
        assert_eq!(inch_fraction(f64::NAN), None);
        assert_eq!(show_degrees(radians(21.5)), "21.5°");
        for (apart, shown) in [(1.5, "+1.5°"), (-1.5, "-1.5°"), (0.04, "0.0°")] {
            assert_eq!(show_degrees_difference(radians(apart)), shown);
        }
        assert_eq!(Unit::In.show_signed(25.4 * 1.5), "+1 1/2 in");
        assert_eq!(Unit::In.signed_bare(-0.1), "0");
        assert_eq!(signed(0.25, 1), "+0.2");
        assert_eq!(signed(f64::NAN, 1), "not a number");
        assert_eq!(mm(-0.000_01), "0.000");
        assert_eq!(mm(-12.345_6), "-12.346");
        assert_eq!(fixed(f64::NAN, 2), "not a number");
    }

    #[test]
    fn numbers_out_of_all_measure_stay_short() {
        for (value, shown) in [
            (1e308, "1e308"),
            (-1.257e12, "-1.26e12"),
            (1e8, "1e8"),
            (99_999_999.4, "99999999.4"),
            (1e-320, "0.0"),
        ] {
            assert_eq!(fixed(value, 1), shown);
        }
        for (value, shown) in [
            (6.350, "6.35"),
            (100.0, "100"),
            (0.0, "0"),
            (1e10, "1e10"),
            (1.5e10, "1.5e10"),
        ] {
            assert_eq!(trimmed(value, 3), shown);
        }
        for unit in Unit::ALL {
            for mm in [1e300, -1e300, 3e9, 1e25, f64::MAX, f64::MIN_POSITIVE] {
                let all = [
                    unit.show(mm),
                    unit.bench(mm, 1),
                    unit.rule(mm, 0),
                    unit.run(mm, 1),
                ];
                for shown in all {
                    assert!(shown.chars().count() <= 24, "{unit:?} {mm:e}: {shown}");
                }
            }
        }
    }

    proptest! {
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
