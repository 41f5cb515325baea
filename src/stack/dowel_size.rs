//! Diameters that dowels are sold in.

use crate::text::{Part, Reader, Text};
use crate::tolerance::SAME_DOWEL_TOLERANCE_MM;
use crate::units::MM_PER_INCH;

/// Diameters that dowels are sold in where they are sold by the millimetre, mm, the thickest first
/// (common practice, no source).
const METRIC: [f64; 14] = [
    28.0, 25.0, 22.0, 20.0, 18.0, 16.0, 15.0, 12.0, 10.0, 8.0, 6.0, 5.0, 4.0, 3.0,
];

/// The same where they are sold by the inch: sixty-fourths (common practice, partly from memory).
const INCH_64THS: [u8; 9] = [64, 48, 40, 32, 24, 20, 16, 12, 8];

/// Millimetres in a sixty-fourth of an inch.
const MM_PER_64TH: f64 = MM_PER_INCH / 64.0;

/// Diameters that dowels are sold in, mm, the thickest first.
#[must_use]
pub fn standard_sizes(inch: bool) -> Vec<f64> {
    if inch {
        let mm = |n: &u8| f64::from(*n) * MM_PER_64TH;
        INCH_64THS.iter().map(mm).collect()
    } else {
        METRIC.to_vec()
    }
}

/// A diameter as it stands on the label of a dowel: `8 mm`, `5/16 in`, or, where it is none of the
/// sizes that dowels are sold in, what was measured: `9.9 mm`.
#[must_use]
pub fn size_name(diameter: f64) -> String {
    label(diameter).plain(Reader::default())
}

/// The same for a sentence: millimetres have their inches beside them for anyone who reads inches.
pub(crate) fn label(diameter: f64) -> Text {
    let same = |mm: f64| (mm - diameter).abs() < SAME_DOWEL_TOLERANCE_MM;
    if METRIC.into_iter().any(same) {
        return Part::Size(diameter, 0).into();
    }
    for n in INCH_64THS {
        if same(f64::from(n) * MM_PER_64TH) {
            let (mut over, mut under) = (n, 64);
            while over % 2 == 0 && under > 1 {
                over /= 2;
                under /= 2;
            }
            return if under == 1 {
                format!("{over} in")
            } else {
                format!("{over}/{under} in")
            }
            .into();
        }
    }
    Part::Size(diameter, 1).into()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// An inch is 25.4 mm exactly; labels are reduced fractions.
    #[test]
    fn labels_of_dowels() {
        for (mm, label) in [
            (8.0, "8 mm"),
            (7.94, "5/16 in"),
            (6.35, "1/4 in"),
            (9.525, "3/8 in"),
            (25.4, "1 in"),
            (19.05, "3/4 in"),
            (25.0, "25 mm"),
            (9.9, "9.9 mm"),
        ] {
            assert_eq!(size_name(mm), label);
        }
        for inch in [false, true] {
            assert!(standard_sizes(inch).windows(2).all(|w| w[0] > w[1]));
        }
    }
}
