//! Paper sizes by name, upright, in mm.
//!
//! Sources: ISO 216 for the A and B series; ASME Y14.1 for Letter (ANSI A), Ledger (ANSI B) and
//! ANSI C to E; US architectural practice for Arch A to E1. Inch sizes are exact inches. All from
//! memory of these standards.

use crate::tolerance::PAPER_SAME_TOLERANCE_MM;
use crate::units;
use crate::units::{MM_PER_INCH, Unit, fixed};
use crate::workshop::Paper;
use crate::workshop::facts::Misprint;
use crate::workshop::keys;

/// One named size: width and height in mm.
type Size = (&'static str, f64, f64);

const fn inches(name: &'static str, width: f64, height: f64) -> Size {
    (name, width * MM_PER_INCH, height * MM_PER_INCH)
}

/// Every named size.
pub(super) const SIZES: [Size; 24] = [
    ("A0", 841.0, 1189.0),
    ("A1", 594.0, 841.0),
    ("A2", 420.0, 594.0),
    ("A3", 297.0, 420.0),
    ("A4", 210.0, 297.0),
    ("A5", 148.0, 210.0),
    ("B0", 1000.0, 1414.0),
    ("B1", 707.0, 1000.0),
    ("B2", 500.0, 707.0),
    ("B3", 353.0, 500.0),
    ("B4", 250.0, 353.0),
    ("B5", 176.0, 250.0),
    inches("Letter", 8.5, 11.0),
    inches("Legal", 8.5, 14.0),
    inches("Ledger", 11.0, 17.0),
    inches("ANSI C", 17.0, 22.0),
    inches("ANSI D", 22.0, 34.0),
    inches("ANSI E", 34.0, 44.0),
    inches("Arch A", 9.0, 12.0),
    inches("Arch B", 12.0, 18.0),
    inches("Arch C", 18.0, 24.0),
    inches("Arch D", 24.0, 36.0),
    inches("Arch E", 36.0, 48.0),
    inches("Arch E1", 30.0, 42.0),
];

/// Other names of the same sizes.
const ALSO_CALLED: [(&str, &str); 4] = [
    ("tabloid", "Ledger"),
    ("ansi a", "Letter"),
    ("ansi b", "Ledger"),
    ("us letter", "Letter"),
];

/// A paper size by its name, whatever its capitals and spaces: name, width and height in mm,
/// upright. Also `300 x 420 mm`, which takes the name of a known size where it is one.
#[must_use]
pub fn size(name: &str) -> Option<(String, f64, f64)> {
    let plain = |s: &str| s.to_lowercase().replace([' ', '-', '_'], "");
    let wanted = plain(name);
    let wanted = ALSO_CALLED
        .iter()
        .find(|(other, _)| plain(other) == wanted)
        .map_or(wanted, |(_, known)| plain(known));
    if let Some((name, w, h)) = SIZES.iter().find(|(name, ..)| plain(name) == wanted) {
        return Some(((*name).to_owned(), *w, *h));
    }
    by_measure(name)
}

/// Two sides and a unit: `11x17 in`, `300 × 420 mm`.
fn by_measure(text: &str) -> Option<(String, f64, f64)> {
    let text = text.trim().to_lowercase();
    let end = text.rfind(|c: char| c.is_ascii_digit() || c == '.')? + 1;
    let (sides, unit) = text.split_at_checked(end)?;
    let unit = match unit.trim() {
        "" => Unit::Mm,
        unit => Unit::from_name(unit)?,
    };
    let (a, b) = sides.split_once(['x', '×'])?;
    let side = |s: &str| {
        s.trim()
            .parse::<f64>()
            .ok()
            .map(|v| unit.to_mm(v))
            .filter(|v| v.is_finite() && *v > 0.0)
    };
    let (a, b) = (side(a)?, side(b)?);
    let (width, height) = (a.min(b), a.max(b));
    let known = SIZES.iter().find(|(_, w, h)| {
        (w - width).abs() < PAPER_SAME_TOLERANCE_MM && (h - height).abs() < PAPER_SAME_TOLERANCE_MM
    });
    Some(match known {
        Some((name, w, h)) => ((*name).to_owned(), *w, *h),
        None => (
            format!("{} x {} mm", fixed(width, 0), fixed(height, 0)),
            width,
            height,
        ),
    })
}

/// Length of the long check bar, mm: a steel rule of 300 mm reads it to a quarter of a per cent.
const LONG_BAR: f64 = 200.0;
/// Length of the short check bar, and of both on small paper, mm.
const SHORT_BAR: f64 = 100.0;
/// A bar of inches is this much longer than that of millimetres beside it: 4 inches beside 100 mm (exact by
/// definition).
pub const INCH_BAR: f64 = 101.6 / 100.0;
/// Longer side of the printed part that has room for the long bar, its words and the foot, mm.
const ROOM_FOR_LONG: f64 = 250.0;
/// A printer that is further off than this is set to scale, or something else was measured.
const MOST_OFF: f64 = 0.1;

impl Paper {
    /// Most outlines on one template: paper that is trimmed more often is worn.
    pub const MOST_OUTLINES: usize = keys::paper::OUTLINES.shown();

    /// Lengths of the check bars along the page and across it, mm.
    #[must_use]
    pub fn bars(&self) -> (f64, f64) {
        let long = self.height - 2.0 * self.margin >= ROOM_FOR_LONG;
        (if long { LONG_BAR } else { SHORT_BAR }, SHORT_BAR)
    }

    /// What the bars of a printer that is a little off could measure, as it is typed.
    #[must_use]
    pub fn printed_example(&self) -> &'static str {
        let long = self.bars().0 > SHORT_BAR;
        match (self.unit, long) {
            (Unit::Cm | Unit::Mm, true) => "198.5x99.4",
            (Unit::Cm | Unit::Mm, false) => "99.3x99.4",
            (Unit::In, true) => "7 15/16 x 3 31/32 in",
            (Unit::In, false) => "3 15/16 x 3 31/32 in",
        }
    }

    /// Reads what the check bars measured, along the page and across it: `198.5x99.4` in mm, or
    /// `7 15/16 x 3 31/32 in` off the bars of inches. What comes back is in mm, of the bars of millimetres.
    ///
    /// # Errors
    /// Why it cannot be.
    pub fn measured(&self, text: &str) -> Result<(f64, f64), Misprint> {
        let (along, across) = self.bars();
        let said = || Misprint::NotTwo {
            bars: [along, across],
        };
        let lower = text.trim().to_lowercase();
        let inches = ["inches", "inch", "in", "\""];
        let inches = inches.iter().find_map(|unit| lower.strip_suffix(unit));
        let plain = inches
            .or_else(|| lower.strip_suffix("mm"))
            .unwrap_or(&lower);
        let (a, b) = plain.split_once(['x', '×']).ok_or_else(said)?;
        let number = |s: &str| {
            let s = s.trim();
            match inches {
                // The bars of inches are a little longer than those of millimetres.
                Some(_) => units::parse_length(s, Unit::In).ok().map(|v| v / INCH_BAR),
                None => s.parse::<f64>().ok(),
            }
            .filter(|v| v.is_finite())
        };
        let (a, b) = (number(a).ok_or_else(said)?, number(b).ok_or_else(said)?);
        for (measured, bar) in [(a, along), (b, across)] {
            if (measured / bar - 1.0).abs() > MOST_OFF {
                return Err(Misprint::Off { bar, measured });
            }
        }
        Ok((a, b))
    }

    /// How much longer than true this printer makes things, along the page and across it.
    #[must_use]
    pub fn printing(&self) -> (f64, f64) {
        let (along, across) = self.bars();
        self.printed
            .map_or((1.0, 1.0), |(a, b)| (a / along, b / across))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::workshop::Workshop;
    use approx::assert_relative_eq;

    /// ISO 216: A0 has an area of 1 m² to within rounding, each size halves the one before, and
    /// its sides are as 1 to √2.
    #[test]
    fn iso_216_halves() {
        let side = |name: &str| size(name).unwrap();
        let (_, w, h) = side("a0");
        assert_relative_eq!(w * h, 1e6, max_relative = 1e-4);
        for pair in ["A0", "A1", "A2", "A3", "A4", "A5"].windows(2) {
            let (large, small) = (side(pair[0]), side(pair[1]));
            assert_relative_eq!((large.2 / 2.0).floor(), small.1, epsilon = 1e-9);
            assert_relative_eq!(large.1, small.2, epsilon = 1e-9);
            assert_relative_eq!(small.2 / small.1, 2.0_f64.sqrt(), max_relative = 5e-3);
        }
    }

    /// ASME Y14.1: each size doubles the one before.
    #[test]
    fn ansi_sizes_double() {
        let names = ["ANSI A", "ANSI B", "ANSI C", "ANSI D", "ANSI E"];
        let (name, width, height) = size("letter").unwrap();
        assert_eq!(name, "Letter");
        assert_relative_eq!(width, 215.9, epsilon = 1e-9);
        assert_relative_eq!(height, 279.4, epsilon = 1e-9);
        for pair in names.windows(2) {
            let (small, large) = (size(pair[0]).unwrap(), size(pair[1]).unwrap());
            assert_relative_eq!(large.1, small.2, epsilon = 1e-9);
            assert_relative_eq!(large.2, 2.0 * small.1, epsilon = 1e-9);
        }
    }

    #[test]
    fn measured_bars() {
        let mut paper = Workshop::default().paper;
        assert_eq!(paper.bars(), (200.0, 100.0));
        assert_eq!(paper.measured("198.5x99.4"), Ok((198.5, 99.4)));
        assert_eq!(paper.measured(" 198.5 × 99.4 mm"), Ok((198.5, 99.4)));
        // 8 and 4 in are the bars themselves: nothing to make up for.
        let (along, across) = paper.measured("8 x 4 in").unwrap();
        assert_relative_eq!(along, 200.0, epsilon = 1e-9);
        assert_relative_eq!(across, 100.0, epsilon = 1e-9);
        let (along, _) = paper.measured("7 15/16 x 3 31/32 in").unwrap();
        assert_relative_eq!(along / 200.0, 7.9375 / 8.0, epsilon = 1e-9);
        for bad in ["198.5", "99.4x198.5", "198.5xabc", "150x99", "NaNx99"] {
            assert!(paper.measured(bad).is_err(), "{bad}");
        }
        (paper.width, paper.height) = (148.0, 210.0);
        assert_eq!(paper.bars(), (100.0, 100.0));
        assert_eq!(paper.measured("99x99.4"), Ok((99.0, 99.4)));
    }

    #[test]
    fn sizes_by_their_sides() {
        assert_eq!(size("11x17 in").unwrap().0, "Ledger");
        assert_eq!(size("17 × 11 in").unwrap().0, "Ledger");
        assert_eq!(size("210x297").unwrap().0, "A4");
        assert_eq!(size("300 x 420 mm").unwrap().0, "300 x 420 mm");
        for bad in ["", "A9", "x", "10 x", "-3x5", "nan x 4 mm", "10x20 ell"] {
            assert_eq!(size(bad), None, "{bad}");
        }
    }
}
