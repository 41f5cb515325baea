//! The tape: reads every measurement off the triangles, knowing nothing of how they were made.
//!
//! # Why read girths off convex hulls?
//! A tape bridges hollows.

mod quarters;
mod reader;
mod solid;
pub mod taut;

use rayon::prelude::*;

use crate::measure::{Figure, Kind, Measure, Side};
use crate::mesh::Mesh;
use crate::sheet::{Origin, Target};
use crate::tolerance;

pub use quarters::Quarters;
pub use reader::Tape;
pub use solid::{GirthRound, rounds};

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
    /// On whose figure: what it is called.
    pub figure: Figure,
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

impl Reading {
    /// Its name in plain words, with its side where it is one of a pair.
    #[must_use]
    pub fn title(&self) -> String {
        let title = self.target.measure.info().title;
        self.target.side.named(title.of(self.figure))
    }
}

/// One reading off the solid, mm or radians; nothing when the form has no such part or the solid
/// lacks the marks for it. [`Tape`] reads many off the same solid faster.
#[must_use]
pub fn read(mesh: &Mesh, measure: Measure, side: Side) -> Option<f64> {
    Tape::new(mesh).read(measure, side)
}

/// Reads every target off the solid and says whether it is met. Readings are in the order of the
/// targets; `built` is left empty.
#[must_use]
pub fn check(mesh: &Mesh, targets: &[Target]) -> Vec<Reading> {
    let tape = Tape::new(mesh);
    targets
        .par_iter()
        .map(|target| {
            let absent = not_on_form(target.measure);
            let solid = tape.read(target.measure, target.side);
            let tolerance = tolerance(target);
            let verdict = match (absent, target.origin, solid) {
                (Some(_), ..) => Verdict::NotOnForm,
                (None, Origin::Estimated, _) => Verdict::Estimated,
                (None, Origin::Given, Some(v)) if (v - target.value).abs() <= tolerance => {
                    Verdict::Met
                }
                (None, Origin::Given, _) => Verdict::Missed,
            };
            let reason = absent.or_else(|| solid.is_none().then(|| unread(mesh, target.measure)));
            Reading {
                figure: mesh.marks.figure,
                target: target.clone(),
                solid,
                built: None,
                tolerance,
                verdict,
                reason,
            }
        })
        .collect()
}

/// How far the solid may be from a target, mm or radians: the person's own `within` where one was
/// given.
#[must_use]
pub fn tolerance(target: &Target) -> f64 {
    target
        .within
        .unwrap_or_else(|| tolerance::for_measure(target.measure))
}

/// Why the form cannot be measured so at all, where it cannot.
const fn not_on_form(measure: Measure) -> Option<&'static str> {
    match measure {
        Measure::GirthShoulder => Some("it runs over the arms, which the form does not have"),
        Measure::BreadthBiacromial => {
            Some("it is taken on the bones of the shoulders, inside the form")
        }
        Measure::GirthThigh => Some("the form has no legs"),
        Measure::HeightCrotch => Some("the form is closed below and has no legs"),
        Measure::GirthUpperArm => Some("the form has no arms"),
        Measure::HeightStature => Some("the form has no head"),
        _ => None,
    }
}

/// Why nothing was read, where the form does have the part.
fn unread(mesh: &Mesh, measure: Measure) -> &'static str {
    if measure.kind() == Kind::Height && mesh.marks.ground().is_none() {
        "how high the form stands above the floor is not known"
    } else {
        "the solid has no marks for it, or it does not meet the solid"
    }
}
