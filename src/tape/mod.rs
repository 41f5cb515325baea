//! The tape: reads every measurement off the triangles, knowing nothing of how they were made.

use crate::sheet::Target;

/// What a reading says of the form.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Within tolerance of what was asked.
    Met,
    /// Out of tolerance.
    Missed,
    /// Nobody asked for it: it was estimated.
    Estimated,
    /// The form has no such part (no arms, no legs).
    NotOnForm,
}

/// One line of the girth check.
#[derive(Clone, Debug, PartialEq)]
pub struct Reading {
    /// What the form is meant to measure.
    pub target: Target,
    /// Read off the triangulated solid, mm or radians.
    pub solid: Option<f64>,
    /// Read off the stacked layers with padding and cover put back.
    pub built: Option<f64>,
    /// How far `solid` may be from the target, mm or radians.
    pub tolerance: f64,
    /// What it says.
    pub verdict: Verdict,
    /// Why there is no reading, where there is none.
    pub reason: Option<&'static str>,
}
