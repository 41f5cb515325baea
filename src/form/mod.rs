//! Values on the way from a sheet to a form: what was checked, the form with its boards and pages, and
//! what it takes to make one. The words for it are in another room.

pub mod any_solid;
pub mod bands;
mod build;
pub mod cloth_cover;
pub mod cost;
mod facts;
pub mod hours;
pub mod levels;
pub mod plan;
pub mod silhouette;
pub mod totals;
pub mod trial;

use crate::drawing::Drawing;
use crate::error::Finding;
use crate::layout::Board;
use crate::layout::offcut::Offcut;
use crate::layout::page;
use crate::layout::split::CutOut;
use crate::mesh::Mesh;
use crate::sheet::Sheet;
use crate::stack::Stack;
use crate::tape::{Reading, Verdict};
use crate::text::Reader;
use crate::torso::Fit;
use crate::units::Unit;
use crate::workshop::Workshop;

pub use build::{build, check, proof, rebuild, stacked};
pub use facts::{Edge, FormFact, Off, PlanFact, Shared, SolidFact};

/// One sheet, fitted and read with the tape.
#[derive(Clone, Debug)]
pub struct Checked {
    /// The sheet.
    pub sheet: Sheet,
    /// The unit in which reports print.
    pub unit: Unit,
    /// The fit.
    pub fit: Fit,
    /// The outer solid, life size.
    pub mesh: Mesh,
    /// What the tape reads on it, and later on the stack.
    pub readings: Vec<Reading>,
    /// Every warning and note, of the files, the fit and the stack.
    pub findings: Vec<Finding>,
}

impl Checked {
    /// Whether every reading that somebody asked for is met on the solid.
    #[must_use]
    pub fn is_met(&self) -> bool {
        self.readings.iter().all(|r| r.verdict != Verdict::Missed)
    }

    /// Whom it is told.
    #[must_use]
    pub fn reader(&self) -> Reader {
        Reader::of(self.unit).about(self.sheet.figure)
    }
}

/// A step of a build, told to anyone who waits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stage {
    /// The solid is cut into layers, their outlines corrected, dowels and marks found.
    Cutting,
    /// The tape reads the stack as it will be built.
    Reading,
    /// The pieces are laid on boards and pages.
    Laying,
}

/// One form, ready to be cut.
#[derive(Clone, Debug)]
pub struct Form {
    /// The sheet, the life-size solid and its readings, `built` among them.
    pub checked: Checked,
    /// The room.
    pub workshop: Workshop,
    /// The outer solid in the size of the form as it is made.
    pub solid: Mesh,
    /// The solid that the layers are cut to: padding and cover taken off.
    pub core: Mesh,
    /// The layers.
    pub stack: Stack,
    /// Area of the outside of the padded form ([`Stack::padded_area`]), mm².
    pub padded_area: f64,
    /// What is cut out of stock: the pieces, those that are larger than it in parts.
    pub cut: Vec<CutOut>,
    /// The same on their stock.
    pub boards: Vec<Board>,
    /// The largest rectangle left of each board.
    pub offcuts: Vec<Option<Offcut>>,
    /// The templates for the person's paper.
    pub pages: Vec<Drawing>,
    /// The proof set: card templates to hold against the person before anything is cut.
    pub proof: Vec<Drawing>,
    /// How many pages there would be, drawn in other ways.
    pub page_counts: Vec<page::Count>,
}
