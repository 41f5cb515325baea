//! Readings in words: what a measure is called, and a value in the unit of its sheet.

use crate::measure::{Kind, Measure, Side};
use crate::sheet::Sheet;

/// The key of a measure, and the side where one is meant.
pub(super) fn called(measure: Measure, side: Side) -> String {
    match side {
        Side::Both => format!("`{measure}`"),
        Side::Left => format!("`{measure}` on the left"),
        Side::Right => format!("`{measure}` on the right"),
    }
}

/// A value in the sheet's unit, or in degrees.
pub(super) fn show(measure: Measure, value: f64, sheet: &Sheet) -> String {
    if measure.kind() == Kind::Slope {
        format!("{:.1} degrees", value.to_degrees())
    } else {
        sheet.unit.show(value)
    }
}
