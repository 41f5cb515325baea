//! What a room would take for one body, found before its boards and pages are laid: cut, and its sums carried over
//! to other sheets.
//!
//! # Why may sums be carried over?
//! Layers of one solid are its sections: twice as thick they are half as many, with half the pieces, cuts and holes, and
//! about half the templates. The rest of the work (proof, dowels, stand, padding, cover) stays. A test holds it to the plan.

use rayon::prelude::*;

use crate::error::Error;
use crate::form::Checked;
use crate::form::Form;
use crate::form::build;
use crate::form::hours;
use crate::form::hours::{Amounts, Hours};
use crate::layout::page;
use crate::layout::split;
use crate::stack;
use crate::stack::Stack;
use crate::tolerance::{SETTLED_LAYER_MM, WORTH_SAVING};
use crate::units::Unit;
use crate::workshop::sold;
use crate::workshop::{LayerStock, Workshop};

/// A thickness and what it takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Carried {
    /// Of a sheet, mm.
    pub thickness: f64,
    /// Number of layers.
    pub layers: usize,
    /// Length of all cuts, mm.
    pub cut_length: f64,
    /// How long it takes.
    pub hours: Hours,
    /// What it takes of the hours by hand of the sheet that it is compared with, from least to most.
    pub share: f64,
}

/// A form of this body in this room, without its boards and pages.
pub struct Trial {
    body: Checked,
    /// The room.
    room: Workshop,
    /// The layers.
    pub stack: Stack,
    /// Pages of the proof.
    proof: usize,
    /// Pages of templates.
    paged: usize,
}

impl Trial {
    /// Cuts the body in this room.
    ///
    /// # Errors
    /// As for [`stack::build`] and [`build::proof`].
    pub fn new(body: Checked, room: &Workshop) -> Result<Self, Error> {
        let mut room = room.clone();
        room.paper.unit = body.unit;
        let (stack, _) = stack::build(&body.mesh, &room, &body.sheet.name)?;
        let proof = build::proof(&body, &room)?.len();
        let paged = page::count(&stack, &room, &body.sheet.name)?;
        Ok(Self {
            body,
            room,
            stack,
            proof,
            paged,
        })
    }

    /// What it is made in.
    #[must_use]
    pub const fn room(&self) -> &Workshop {
        &self.room
    }

    /// The body.
    #[must_use]
    pub const fn body(&self) -> &Checked {
        &self.body
    }

    /// Pages of templates on each of these papers.
    #[must_use]
    pub fn pages(&self, papers: &[crate::workshop::Paper]) -> Vec<Option<usize>> {
        papers
            .par_iter()
            .map(|paper| {
                let mut room = self.room.clone();
                room.paper = paper.clone();
                room.paper.unit = self.body.unit;
                page::count(&self.stack, &room, &self.body.sheet.name).ok()
            })
            .collect()
    }

    /// Boards and pieces that are cut in parts, of boards of each of these sizes (width and length, mm).
    #[must_use]
    pub fn boards(&self, sizes: &[(f64, f64)]) -> Vec<Option<(usize, usize)>> {
        sizes
            .par_iter()
            .map(|(width, length)| {
                let mut room = self.room.clone();
                room.stock.truncate(1);
                for stock in &mut room.stock {
                    (stock.width, stock.length, stock.roll) = (*width, *length, false);
                    (stock.count, stock.of) = (None, None);
                }
                let cut = split::cut_outs(&self.stack, &room).ok()?;
                let boards = build::nested(&cut, &room, 0).ok()?;
                let parts = cut.iter().filter(|c| c.piece.id.part.is_some()).count();
                Some((boards.len(), parts))
            })
            .collect()
    }

    /// How much there is of what takes time, with so many pages of templates.
    #[must_use]
    pub fn amounts(&self, pages: usize) -> Amounts {
        of_stack(&self.stack, pages, self.proof)
    }

    /// Pages of templates on the paper of its room.
    #[must_use]
    pub const fn usual_pages(&self) -> usize {
        self.paged
    }

    /// How long it takes with so many pages of templates.
    #[must_use]
    pub fn hours(&self, pages: usize) -> Hours {
        hours::hours(&self.stack.materials_of(&self.room), self.amounts(pages))
    }

    /// What other sheets of this material take: those that it is sold in where one measures in `unit`.
    #[must_use]
    pub fn thicknesses(&self, pages: usize, unit: Unit) -> Vec<Carried> {
        let own = &self.room.layer;
        let all = sold::thicknesses(&own.material, unit);
        let materials = self.stack.materials_of(&self.room);
        let amounts = self.amounts(pages);
        all.into_iter()
            .map(|thickness| carried(&materials, amounts, own, thickness))
            .collect()
    }
}

fn of_stack(stack: &Stack, pages: usize, proof: usize) -> Amounts {
    Amounts {
        cut_length: stack.cut_length(),
        pieces: stack.piece_count(),
        holes: stack.hole_count(),
        dowels: stack.dowels.len(),
        pages,
        proof,
        layers: stack.layers.len(),
        stands: 1,
    }
}

/// The sums of a form in layers of another thickness.
fn carried(materials: &[&str], amounts: Amounts, own: &LayerStock, thickness: f64) -> Carried {
    let ratio = own.pitch() / (thickness + own.glue_line);
    let fewer = |n: usize| (n as f64 * ratio).ceil() as usize;
    let then = Amounts {
        cut_length: amounts.cut_length * ratio,
        pieces: fewer(amounts.pieces),
        holes: fewer(amounts.holes),
        pages: fewer(amounts.pages),
        layers: fewer(amounts.layers),
        ..amounts
    };
    let [now, then_hours] = [amounts, then].map(|amounts| hours::hours(materials, amounts));
    let middle = |hours: &Hours| {
        let (least, most) = hours.by_hand();
        f64::midpoint(least, most)
    };
    Carried {
        thickness,
        layers: then.layers,
        cut_length: then.cut_length,
        share: middle(&then_hours) / middle(&now),
        hours: then_hours,
    }
}

/// How much there is of what takes time in a form.
#[must_use]
pub fn amounts(form: &Form) -> Amounts {
    of_stack(&form.stack, form.pages.len(), form.proof.len())
}

/// The thickest sheets of its material that would save a form much of its hours and still give true girths; nothing
/// where there are none, where several materials are cut, or where a part of it stands already.
#[must_use]
pub fn thicker(form: &Form) -> Option<Carried> {
    let stack = &form.stack;
    let own = &form.workshop.layer;
    if stack.first_to_cut > 1 || stack.materials().len() > 1 {
        return None;
    }
    let amounts = amounts(form);
    let materials = stack.materials_of(&form.workshop);
    sold::thicknesses(&own.material, form.checked.unit)
        .into_iter()
        .rev()
        .filter(|thickness| *thickness <= SETTLED_LAYER_MM * stack.scale)
        .map(|thickness| carried(&materials, amounts, own, thickness))
        .find(|then| then.share <= WORTH_SAVING)
}
