//! Sizes at the workbench, in the reader's unit: millimetres, or inches as a rule and a drill
//! have them; metres or feet, kilograms or pounds.

use crate::units::{MM_PER_INCH, Unit, fixed, fraction, inch_fraction, is_whole_inch};

/// Kilograms in a pound: exact by definition (international yard and pound agreement of 1959).
const KG_PER_POUND: f64 = 0.453_592_37;
/// Millimetres in a foot: twelve inches.
const MM_PER_FOOT: f64 = 12.0 * MM_PER_INCH;
const MM_PER_M: f64 = 1e3;
/// Square millimetres in a square metre, and in a square yard (three feet each way).
const MM2_PER_M2: f64 = 1e6;
const MM2_PER_YD2: f64 = 9.0 * MM_PER_FOOT * MM_PER_FOOT;
/// Millimetres in a yard: three feet.
const MM_PER_YARD: f64 = 3.0 * MM_PER_FOOT;
/// Cloth is cut to 5 cm and to an eighth of a yard (common practice, no source).
const STEPS_OF_METRE: f64 = 20.0;
const PARTS_OF_YARD: u32 = 8;
const EIGHTHS: f64 = 8.0;
/// Part of such a step that rounding of numbers may make.
const SAME: f64 = 1e-9;
/// Kilograms in a cubic metre for a pound in a cubic foot.
const KG_PER_M3: f64 = KG_PER_POUND / (MM_PER_FOOT * MM_PER_FOOT * MM_PER_FOOT) * 1e9;
/// Drills and sheets are sold to this part of an inch.
const PARTS_OF_DRILL: u32 = 64;
/// A size is called by its nearest 64th where that is off by no more than this share. Our choice.
const NEAR: f64 = 0.04;
/// The finest marks of a rule.
const PARTS_OF_FINE_RULE: u32 = 32;
/// A rule is read to this part of an inch.
const PARTS_OF_RULE: u32 = 16;

impl Unit {
    /// The unit of [`bench`](Self::bench): nobody measures thickness in centimetres.
    #[must_use]
    pub const fn bench_name(self) -> &'static str {
        match self {
            Self::Cm | Self::Mm => Self::Mm.name(),
            Self::In => Self::In.name(),
        }
    }

    /// The same in a sentence.
    #[must_use]
    pub const fn bench_plural(self) -> &'static str {
        match self {
            Self::Cm | Self::Mm => Self::Mm.plural(),
            Self::In => Self::In.plural(),
        }
    }

    /// A size at the workbench: `8.3 mm` with this many decimals; in inches `5/16 in` where it is a
    /// whole number of 64ths, above an inch to the nearest 16th, as a rule shows it, and else in
    /// thousandths, as callipers do, with the nearest 64th for anyone who has none: `0.327 in (21/64)`.
    #[must_use]
    pub fn bench(self, mm: f64, decimals: usize) -> String {
        let size = format!("{} {}", self.bench_bare(mm, decimals), self.bench_name());
        let inches = mm / MM_PER_INCH;
        let in_thousandths = inch_fraction(inches).is_none() && inches.abs() < 1.0;
        if self != Self::In || !in_thousandths {
            return size;
        }
        let parts = (inches * f64::from(PARTS_OF_DRILL)).round();
        let near = parts / f64::from(PARTS_OF_DRILL);
        // The width of a cut is not a number of 64ths, and a whole inch or none is no drill.
        if is_whole_inch(inches) || (near - inches).abs() > NEAR * inches.abs() {
            return size;
        }
        format!("{size} ({})", fraction(near, PARTS_OF_DRILL))
    }

    /// As [`bench`](Self::bench), without the unit.
    #[must_use]
    pub fn bench_bare(self, mm: f64, decimals: usize) -> String {
        match self {
            Self::Cm | Self::Mm => fixed(mm, decimals),
            Self::In => {
                let inches = mm / MM_PER_INCH;
                if let Some(exact) = inch_fraction(inches) {
                    exact
                } else if inches.abs() >= 1.0 {
                    fraction(inches, PARTS_OF_RULE)
                } else {
                    fixed(inches, 3)
                }
            }
        }
    }

    /// A small size as it is bought: `8.3` in mm with one decimal, `21/64` to the nearest 64th.
    #[must_use]
    pub fn drill_bare(self, mm: f64) -> String {
        match self {
            Self::Cm | Self::Mm => fixed(mm, 1),
            Self::In => fraction(mm / MM_PER_INCH, PARTS_OF_DRILL),
        }
    }

    /// A height of a pile or the diagonal of a page: `256.5 mm`, `10 3/32 in`, to the finest marks of a rule.
    #[must_use]
    pub fn fine(self, mm: f64) -> String {
        format!("{} {}", self.fine_bare(mm), self.bench_name())
    }

    /// As [`fine`](Self::fine), without the unit.
    #[must_use]
    pub fn fine_bare(self, mm: f64) -> String {
        match self {
            Self::Cm | Self::Mm => fixed(mm, 1),
            Self::In => fraction(mm / MM_PER_INCH, PARTS_OF_FINE_RULE),
        }
    }

    /// The unit of [`density_bare`](Self::density_bare).
    #[must_use]
    pub const fn density_name(self) -> &'static str {
        match self {
            Self::Cm | Self::Mm => "kg/m³",
            Self::In => "lb/ft³",
        }
    }

    /// A density, given in kg per cubic metre.
    #[must_use]
    pub fn density_bare(self, kg_per_m3: f64) -> String {
        match self {
            Self::Cm | Self::Mm => fixed(kg_per_m3, 0),
            Self::In => fixed(kg_per_m3 / KG_PER_M3, 1),
        }
    }

    /// A size to be read off a rule, whatever its size: `237 mm`, `9 5/16 in`.
    #[must_use]
    pub fn rule(self, mm: f64, decimals: usize) -> String {
        format!("{} {}", self.rule_bare(mm, decimals), self.bench_name())
    }

    /// As [`rule`](Self::rule), without the unit.
    #[must_use]
    pub fn rule_bare(self, mm: f64, decimals: usize) -> String {
        match self {
            Self::Cm | Self::Mm => fixed(mm, decimals),
            Self::In => fraction(mm / MM_PER_INCH, PARTS_OF_RULE),
        }
    }

    /// A long run: `12.3 m`, `40.4 ft`.
    #[must_use]
    pub fn run(self, mm: f64, decimals: usize) -> String {
        format!("{} {}", self.run_bare(mm, decimals), self.run_name())
    }

    /// The unit of [`run`](Self::run).
    #[must_use]
    pub const fn run_name(self) -> &'static str {
        match self {
            Self::Cm | Self::Mm => "m",
            Self::In => "ft",
        }
    }

    /// As [`run`](Self::run), without the unit.
    #[must_use]
    pub fn run_bare(self, mm: f64, decimals: usize) -> String {
        match self {
            Self::Cm | Self::Mm => fixed(mm / MM_PER_M, decimals),
            Self::In => fixed(mm / MM_PER_FOOT, decimals),
        }
    }

    /// An area of cloth: `1.2 m²`, `1.4 sq yd`.
    #[must_use]
    pub fn cloth(self, mm2: f64, decimals: usize) -> String {
        match self {
            Self::Cm | Self::Mm => format!("{} m²", fixed(mm2 / MM2_PER_M2, decimals)),
            Self::In => format!("{} sq yd", fixed(mm2 / MM2_PER_YD2, decimals)),
        }
    }

    /// A size in mm as it stands beside millimetres for anyone who reads this unit: in inches, to the nearest
    /// 64th below an inch and the nearest 16th above.
    #[must_use]
    pub fn beside_bare(self, mm: f64) -> String {
        if mm.abs() < MM_PER_INCH {
            self.drill_bare(mm)
        } else {
            self.rule_bare(mm, 0)
        }
    }

    /// A length of cloth as a shop cuts it, never less than asked: `1.35 m`, `1 1/2 yd`.
    #[must_use]
    pub fn off_the_bolt(self, mm: f64) -> String {
        match self {
            Self::Cm | Self::Mm => {
                let steps = (mm / MM_PER_M * STEPS_OF_METRE - SAME).ceil();
                format!("{} m", fixed(steps / STEPS_OF_METRE, 2))
            }
            Self::In => {
                let eighths = (mm / MM_PER_YARD * EIGHTHS - SAME).ceil();
                format!("{} yd", fraction(eighths / EIGHTHS, PARTS_OF_YARD))
            }
        }
    }

    /// The unit of [`weight`](Self::weight).
    #[must_use]
    pub const fn weight_name(self) -> &'static str {
        match self {
            Self::Cm | Self::Mm => "kg",
            Self::In => "lb",
        }
    }

    /// A weight in kg: `4.1 kg`, `9.0 lb`.
    #[must_use]
    pub fn weight(self, kg: f64, decimals: usize) -> String {
        format!("{} {}", self.weight_bare(kg, decimals), self.weight_name())
    }

    /// As [`weight`](Self::weight), without the unit.
    #[must_use]
    pub fn weight_bare(self, kg: f64, decimals: usize) -> String {
        match self {
            Self::Cm | Self::Mm => fixed(kg, decimals),
            Self::In => fixed(kg / KG_PER_POUND, decimals),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_at_the_bench_are_those_of_rules_drills_and_scales() {
        assert_eq!(Unit::Cm.bench(8.3, 1), "8.3 mm");
        assert_eq!(Unit::In.bench(7.9375, 1), "5/16 in");
        assert_eq!(Unit::In.bench(8.3, 1), "0.327 in (21/64)");
        assert_eq!(Unit::In.bench(0.2, 2), "0.008 in");
        assert_eq!(Unit::In.drill_bare(4.0), "5/32");
        assert_eq!(Unit::Cm.drill_bare(4.0), "4.0");
        // Water: 62.4 pounds to the cubic foot (from memory).
        assert_eq!(Unit::In.density_bare(1000.0), "62.4");
        assert_eq!(Unit::In.bench(237.3, 0), "9 5/16 in");
        assert_eq!(Unit::In.fine(256.5), "10 3/32 in");
        assert_eq!(Unit::Cm.fine(256.5), "256.5 mm");
        assert_eq!(Unit::In.rule(8.3, 0), "5/16 in");
        assert_eq!(Unit::Mm.rule(8.3, 0), "8 mm");
        // Twelve inches of 25.4 mm to the foot; a pound is 0.45359237 kg: agreement of 1959.
        assert_eq!(Unit::In.run(3048.0, 1), "10.0 ft");
        assert_eq!(Unit::Cm.run(3048.0, 1), "3.0 m");
        assert_eq!(Unit::In.weight(4.535_923_7, 1), "10.0 lb");
        assert_eq!(Unit::In.cloth(836_127.36, 1), "1.0 sq yd");
        assert_eq!(Unit::Mm.cloth(1_240_000.0, 1), "1.2 m²");
        assert_eq!(Unit::Cm.off_the_bolt(901.0), "0.95 m");
        assert_eq!(Unit::Cm.off_the_bolt(900.0), "0.90 m");
        // A yard is 914.4 mm.
        assert_eq!(Unit::In.off_the_bolt(914.5), "1 1/8 yd");
        assert_eq!(Unit::In.off_the_bolt(914.4), "1 yd");
    }
}
