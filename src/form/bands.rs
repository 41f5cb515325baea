//! What is checked on the finished form, and how close it must be.

use crate::measure::Measure;
use crate::tape::Reading;
use crate::tolerance::finished;

/// What is checked on the finished form, from the bottom up.
pub const ROWS: [Measure; 13] = [
    Measure::GirthHip,
    Measure::GirthTopHip,
    Measure::GirthAbdomen,
    Measure::GirthWaist,
    Measure::GirthUnderbust,
    Measure::GirthBust,
    Measure::GirthUpperChest,
    Measure::GirthNeck,
    Measure::LengthBackWaist,
    Measure::LengthFrontWaist,
    Measure::LengthAcrossBack,
    Measure::LengthShoulder,
    Measure::LengthBustPointWidth,
];

/// How far the finished form may be off in a measure of [`ROWS`], mm; nothing for the others.
#[must_use]
pub fn band(measure: Measure) -> Option<f64> {
    let on_card = ROWS.contains(&measure);
    finished(measure).filter(|_| on_card)
}

/// Whether the form as it will be built is out of the band that the card gives this reading.
#[must_use]
pub fn off_as_built(r: &Reading) -> bool {
    match (band(r.target.measure), r.built) {
        (Some(band), Some(built)) => (built - r.target.value).abs() > band,
        _ => false,
    }
}
