//! What is checked on the finished form, and how close it must be.

use crate::measure::{Level, Measure};
use crate::tape::Reading;
use crate::tolerance::{
    FINISHED_BROAD_TOLERANCE_MM, FINISHED_NARROW_TOLERANCE_MM, FINISHED_SHOULDER_TOLERANCE_MM,
};

/// What is checked on the finished form, from the bottom up: at which level, and the band.
pub const ROWS: [(Measure, Option<Level>, f64); 13] = [
    (
        Measure::GirthHip,
        Some(Level::Hip),
        FINISHED_BROAD_TOLERANCE_MM,
    ),
    (
        Measure::GirthTopHip,
        Some(Level::TopHip),
        FINISHED_BROAD_TOLERANCE_MM,
    ),
    (
        Measure::GirthAbdomen,
        Some(Level::Abdomen),
        FINISHED_BROAD_TOLERANCE_MM,
    ),
    (
        Measure::GirthWaist,
        Some(Level::WaistTape),
        FINISHED_NARROW_TOLERANCE_MM,
    ),
    (
        Measure::GirthUnderbust,
        Some(Level::Underbust),
        FINISHED_NARROW_TOLERANCE_MM,
    ),
    (
        Measure::GirthBust,
        Some(Level::Bust),
        FINISHED_BROAD_TOLERANCE_MM,
    ),
    (
        Measure::GirthUpperChest,
        Some(Level::Armpit),
        FINISHED_BROAD_TOLERANCE_MM,
    ),
    (
        Measure::GirthNeck,
        Some(Level::NeckGirth),
        FINISHED_NARROW_TOLERANCE_MM,
    ),
    (Measure::LengthBackWaist, None, FINISHED_NARROW_TOLERANCE_MM),
    (
        Measure::LengthFrontWaist,
        None,
        FINISHED_NARROW_TOLERANCE_MM,
    ),
    (
        Measure::LengthAcrossBack,
        None,
        FINISHED_NARROW_TOLERANCE_MM,
    ),
    (
        Measure::LengthShoulder,
        None,
        FINISHED_SHOULDER_TOLERANCE_MM,
    ),
    (
        Measure::LengthBustPointWidth,
        None,
        FINISHED_NARROW_TOLERANCE_MM,
    ),
];

/// Whether the form as it will be built is out of the band that the card gives this reading.
#[must_use]
pub fn off_as_built(r: &Reading) -> bool {
    let band = ROWS.iter().find(|row| row.0 == r.target.measure);
    match (band, r.built) {
        (Some((_, _, band)), Some(built)) => (built - r.target.value).abs() > *band,
        _ => false,
    }
}
