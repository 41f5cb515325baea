//! What a difference means at the cutting table: for something cut for A and worn by B.

use crate::compare::Difference;
use crate::measure::{Figure, Kind, Measure, Side};

/// How much a difference may be before anything is altered. Our defaults, 1 cm on a girth and 0.6 cm
/// on a length, are common practice, no source.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ease {
    /// For girths, mm.
    pub girth: f64,
    /// For lengths, breadths and gaps, mm.
    pub length: f64,
}

impl Default for Ease {
    fn default() -> Self {
        Self {
            girth: 10.0,
            length: 6.0,
        }
    }
}

/// Shoulders that differ by less than this slope alike: 2 degrees (common practice, no source).
const SLOPE_EASE_RAD: f64 = 2.0 * std::f64::consts::PI / 180.0;

/// What one side seam, or one dart, of a finished garment can be let out, mm: 1.5 cm are left at each of its two
/// edges, and half a centimetre must stay (common practice, no source).
pub const SEAM_GIVES: f64 = 20.0;
/// Side seams of a usual block, and its darts at the waist, front and back (common practice, no source).
const SIDE_SEAMS: usize = 2;
const WAIST_DARTS: usize = 4;

/// How a girth is altered in the seams of a usual block.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seams {
    /// How many seams and darts share it.
    pub places: usize,
    /// Whether darts are among them.
    pub darts: bool,
    /// How much each takes, mm.
    pub each: f64,
    /// Whether they can give as much.
    pub enough: bool,
}

impl Seams {
    /// The seams that a girth is altered in by so much, mm, let out or taken in; nothing for what no side seam
    /// crosses.
    fn of(measure: Measure, by: f64, out: bool) -> Option<Self> {
        let places = match measure {
            Measure::GirthWaist => SIDE_SEAMS + WAIST_DARTS,
            Measure::GirthUpperChest
            | Measure::GirthBust
            | Measure::GirthUnderbust
            | Measure::GirthAbdomen
            | Measure::GirthTopHip
            | Measure::GirthHip => SIDE_SEAMS,
            _ => return None,
        };
        let each = by / places as f64;
        Some(Self {
            places,
            darts: places > SIDE_SEAMS,
            each,
            enough: !out || each <= SEAM_GIVES,
        })
    }

    /// What they give together, mm.
    #[must_use]
    pub fn give(&self) -> f64 {
        self.places as f64 * SEAM_GIVES
    }
}

/// One thing to alter.
#[derive(Clone, Debug, PartialEq)]
pub struct Alteration {
    /// The measurement that differs.
    pub measure: Measure,
    /// On which side.
    pub side: Side,
    /// What to do, in words without an amount.
    pub what: &'static str,
    /// B less A, without its sign: mm or radians.
    pub by: f64,
    /// The same beyond the ease: mm or radians.
    pub beyond: f64,
    /// How much of `by` lies in front, from side line to side line, where that is known: mm, below
    /// zero where the front goes the other way.
    pub front: Option<f64>,
    /// In which seams, where it is a girth of the trunk.
    pub seams: Option<Seams>,
    /// Whether an estimate is behind it.
    pub is_estimated: bool,
}

/// What to do where B has more, and where B has less.
const fn words(measure: Measure, figure: Figure) -> Option<[&'static str; 2]> {
    if let (Figure::Man | Figure::Child, Some(words)) = (figure, of_chest(measure)) {
        return Some(words);
    }
    Some(match measure {
        Measure::GirthNeck => ["let out the collar", "take in the collar"],
        Measure::GirthNeckBase => ["let out the neck line", "take in the neck line"],
        Measure::GirthUpperChest => ["let out at the upper chest", "take in at the upper chest"],
        Measure::GirthBust => ["let out at the bust", "take in at the bust"],
        Measure::GirthUnderbust => ["let out below the bust", "take in below the bust"],
        Measure::GirthWaist => ["let out at the waist", "take in at the waist"],
        Measure::GirthAbdomen => ["let out at the abdomen", "take in at the abdomen"],
        Measure::GirthTopHip => ["let out at the top hip", "take in at the top hip"],
        Measure::GirthHip => ["let out at the hip", "take in at the hip"],
        Measure::GirthThigh => ["let out at the thigh", "take in at the thigh"],
        Measure::GirthArmscye => ["let out the armhole", "take in the armhole"],
        Measure::GirthUpperArm => ["let out the sleeve", "take in the sleeve"],
        Measure::LengthShoulder => ["lengthen the shoulder seam", "shorten the shoulder seam"],
        Measure::LengthBackWaist => [
            "lengthen the back between nape and waist",
            "shorten the back between nape and waist",
        ],
        Measure::LengthFrontWaist => [
            "lengthen the centre front above the waist",
            "shorten the centre front above the waist",
        ],
        Measure::LengthSideNeckToBust => ["lower the bust point", "raise the bust point"],
        Measure::LengthSideNeckToWaist => [
            "lengthen the front from side neck to waist over the bust",
            "shorten the front from side neck to waist over the bust",
        ],
        Measure::LengthAcrossBack => [
            "let out the back between the armholes",
            "take in the back between the armholes",
        ],
        Measure::LengthAcrossFront => [
            "let out the front between the armholes",
            "take in the front between the armholes",
        ],
        Measure::LengthBustPointWidth => [
            "move the bust points apart",
            "move the bust points together",
        ],
        Measure::LengthWaistToHip => [
            "lengthen between waist and hip",
            "shorten between waist and hip",
        ],
        Measure::LengthScyeDepth => ["lower the armhole", "raise the armhole"],
        Measure::HeightWaist => ["lengthen below the waist", "shorten below the waist"],
        Measure::SlopeShoulder => [
            "slope the shoulder seam more",
            "slope the shoulder seam less",
        ],
        Measure::WallNape => [
            "lengthen the upper back, for a nape further forward",
            "shorten the upper back, for a nape further back",
        ],
        _ => return None,
    })
}

/// The same for men and children, where it has words of its own.
const fn of_chest(measure: Measure) -> Option<[&'static str; 2]> {
    Some(match measure {
        Measure::GirthBust => ["let out at the chest", "take in at the chest"],
        Measure::GirthUnderbust => ["let out below the chest", "take in below the chest"],
        Measure::LengthSideNeckToBust => [
            "lower the fullest part of the chest",
            "raise the fullest part of the chest",
        ],
        Measure::LengthSideNeckToWaist => [
            "lengthen the front from side neck to waist over the chest",
            "shorten the front from side neck to waist over the chest",
        ],
        Measure::LengthBustPointWidth => [
            "move the fullest parts of the chest apart",
            "move the fullest parts of the chest together",
        ],
        _ => return None,
    })
}

/// The part of a girth that lies in front.
const fn front_of(measure: Measure) -> Option<Measure> {
    match measure {
        Measure::GirthBust => Some(Measure::ArcFrontBust),
        Measure::GirthWaist => Some(Measure::ArcFrontWaist),
        Measure::GirthHip => Some(Measure::ArcFrontHip),
        _ => None,
    }
}

/// What to alter, from the neck down as [`Measure::ALL`] has it: every difference that a tape can
/// tell and that is beyond the ease. `figure` is the one whose words are used.
#[must_use]
pub fn alterations(differences: &[Difference], ease: Ease, figure: Figure) -> Vec<Alteration> {
    let mut out: Vec<Alteration> = differences
        .iter()
        .filter(|d| !d.is_noise())
        .filter_map(|d| {
            let [more, less] = words(d.measure, figure)?;
            let free = match d.measure.kind() {
                Kind::Girth | Kind::Arc => ease.girth,
                Kind::Slope => SLOPE_EASE_RAD,
                _ => ease.length,
            };
            let by = d.apart.abs();
            let front = front_of(d.measure).and_then(|front| {
                let f = differences
                    .iter()
                    .find(|x| x.measure == front && x.side == d.side)?;
                // A guess about the front is no more than that: the seams are split evenly then.
                (!f.is_estimated()).then(|| f.apart * d.apart.signum())
            });
            (by > free).then_some(Alteration {
                measure: d.measure,
                side: d.side,
                what: if d.apart > 0.0 { more } else { less },
                by,
                beyond: by - free,
                front,
                seams: Seams::of(d.measure, by - free, d.apart > 0.0),
                is_estimated: d.is_estimated(),
            })
        })
        .collect();
    out.sort_by_key(|a| (a.measure, a.side));
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 60 mm at the hip are 30 at each side seam, more than 20; at the waist 10 at each of two seams and
    /// four darts. What is taken in needs no allowance.
    #[test]
    fn seams_share_what_is_altered() {
        let hip = Seams::of(Measure::GirthHip, 60.0, true).unwrap();
        assert!((hip.each - 30.0).abs() < 1e-12 && !hip.enough && !hip.darts);
        assert!((hip.give() - 40.0).abs() < 1e-12);
        let waist = Seams::of(Measure::GirthWaist, 60.0, true).unwrap();
        assert!((waist.each - 10.0).abs() < 1e-12 && waist.enough && waist.darts);
        assert!(Seams::of(Measure::GirthHip, 60.0, false).unwrap().enough);
        assert_eq!(Seams::of(Measure::LengthBackWaist, 60.0, true), None);
    }
}
