//! Two bodies beside each other: what differs, by how much, whether a tape can tell, and what that
//! means for something cut for the one and worn by the other.
//!
//! No body is a norm for another here: A and B only say which came first on the command line.
//!
//! # What is noise in a comparison?
//! What two readings by one measurer may differ by 19 times in 20: 2.8 technical errors (ISO
//! 5725-6, from memory). The technical error is the usual difference of two tries in
//! `measure/table.rs` divided by the square root of 2 (Dahlberg). Estimates bring their
//! plus-or-minus in, added by squares.
//!
//! # Why is the map of a comparison measured level by level from the middles of the sections?
//! Laid on each other as they stand, a long body would differ from a short one everywhere, and a
//! stoop would count as size. Heights and posture have rows of their own in the table.

mod course;
mod cutting;
mod differences;
mod facts;
mod judged;
mod nearest;
mod pad;
mod shape;

use crate::error::{Error, Finding};
use crate::measure::{Figure, Kind, Measure};
use crate::mesh;
use crate::mesh::Mesh;
use crate::profile::Size;
use crate::sheet;
use crate::sheet::{Origin, Posture, Sheet, Target, WaistKind};
use crate::torso;
use crate::torso::Fit;
use crate::units::Unit;

pub use course::{Course, CourseRow, MOST_SHEETS, day_number, over_time, too_many};
pub use cutting::{Alteration, Ease, SEAM_GIVES, Seams, alterations};
pub use differences::{Difference, differences};
pub use facts::{CompareFact, SIDES};
pub use nearest::{AtLevel, Nearer, Nearest, Pick, Use, nearer, nearest};
pub use pad::{PadLayer, PadLevel, PadPlan, layers, pad_out};
pub use shape::{Matched, Spot, Standing};

/// One side of a comparison: a person, or a size.
#[derive(Clone, Debug)]
pub struct Body {
    /// What reports call it.
    pub name: String,
    /// When it was measured, as the sheet has it.
    pub taken: Option<String>,
    /// The unit of its sheet.
    pub unit: Unit,
    /// Whose figure it is.
    pub figure: Figure,
    /// Which level its waist is.
    pub waist: WaistKind,
    /// Whether it is a size: a table's values, and nobody's.
    pub is_size: bool,
    /// Every measurement known of it, given or estimated, in the order of [`Measure::ALL`].
    pub values: Vec<Target>,
    /// Its solid; a size with too few measurements has none.
    pub solid: Option<Mesh>,
    /// What its sheet and its fit have to say.
    pub findings: Vec<Finding>,
}

impl Body {
    /// The body of a sheet: its readings, and estimates for everything else.
    ///
    /// # Errors
    /// [`Error::Fit`] when no body can be made of the sheet.
    pub fn of_sheet(sheet: &Sheet) -> Result<Self, Error> {
        let fit = torso::fit(sheet)?;
        let solid = mesh::build(&fit.torso);
        Ok(Self {
            solid: Some(solid),
            ..Self::of_fit(sheet, fit)
        })
    }

    /// The same without its solid, for anyone who compares numbers alone.
    ///
    /// # Errors
    /// As [`Body::of_sheet`].
    pub fn in_numbers(sheet: &Sheet) -> Result<Self, Error> {
        Ok(Self::of_fit(sheet, torso::fit(sheet)?))
    }

    fn of_fit(sheet: &Sheet, fit: Fit) -> Self {
        let mut findings = sheet.findings.clone();
        findings.extend(fit.findings.iter().cloned());
        Self {
            name: sheet.name.clone(),
            taken: sheet.taken.clone(),
            unit: sheet.unit,
            figure: sheet.figure,
            waist: sheet.waist,
            is_size: false,
            solid: None,
            values: match sheet.posture {
                Posture::Standing => fit.targets,
                // Heights above a seat have nothing to be compared with.
                Posture::Seated => {
                    let mut values = fit.targets;
                    values.retain(|t| t.measure.kind() != Kind::Height);
                    values
                }
            },
            findings,
        }
    }

    /// The body of a size: that of its sheet, or, where the table holds too little for one, its
    /// values alone.
    ///
    /// # Errors
    /// [`Error::Sheet`] and [`Error::Fit`] when the table's values make no body.
    pub fn of_size(size: &Size) -> Result<Self, Error> {
        let name = size.full_name();
        if size.lacks().is_empty() {
            let sheet = sheet::read(&size.sheet(size.unit), &name)?;
            let mut body = Self::of_sheet(&sheet)?;
            body.name = name;
            body.is_size = true;
            // What a table does not say is no doubt about a person's sheet.
            body.findings.clear();
            return Ok(body);
        }
        let values = size.values.iter().map(|v| Target {
            measure: v.measure,
            side: crate::measure::Side::Both,
            value: v.value,
            origin: Origin::Given,
            plus_minus: v.within.unwrap_or(0.0),
            within: v.within,
        });
        Ok(Self {
            values: values.collect(),
            name,
            taken: None,
            unit: size.unit,
            figure: size.figure,
            waist: size.waist,
            is_size: true,
            solid: None,
            findings: Vec::new(),
        })
    }

    /// What is known of `measure`: the mean of left and right where both were given.
    #[must_use]
    pub fn value(&self, measure: Measure) -> Option<f64> {
        let (n, sum) = self
            .values
            .iter()
            .filter(|t| t.measure == measure)
            .fold((0.0, 0.0), |(n, sum), t| (n + 1.0, sum + t.value));
        (n > 0.0).then(|| sum / n)
    }

    /// Where `measure` comes from.
    #[must_use]
    pub fn origin(&self, measure: Measure) -> Option<Origin> {
        self.values
            .iter()
            .find(|t| t.measure == measure)
            .map(|t| t.origin)
    }
}
