//! A form in numbers: `form.json`, and the object that `check --json` prints of a sheet.
//!
//! The structs are the file: names and order of their fields are promised. Lengths are mm, areas mm², weights
//! kg, angles degrees.

mod checked;
mod made;

use serde::Serialize;
use serde_json::Value;

use self::checked::{JsonHead, Shared};
use self::made::{
    BoardLine, DowelLine, LayerLine, Pages, PartLine, PoleLine, Room, RunLine, Sums, WedgeLine,
};
use crate::error::Error;
use crate::form::totals;
use crate::form::{Checked, Form};
use crate::say::json;
use crate::say::json::Rounded;
use crate::stack;
use crate::stack::play;
use crate::workshop::Workshop;

/// What the file's axes are, for somebody who reads it without this program.
const AXES: &str =
    "mm; x to the wearer's right, y to the front, z up; z = 0 at the underside of layer 1";

/// `form.json`.
#[derive(Serialize)]
struct Whole<'a> {
    #[serde(flatten)]
    sheet: Of<'a>,
    first_to_cut: usize,
    layers: Vec<LayerLine<'a>>,
    wedges: Vec<WedgeLine>,
    dowels: Vec<DowelLine<'a>>,
    pole: Option<PoleLine>,
    play: Vec<RunLine>,
    parts: Vec<PartLine>,
    boards: Vec<BoardLine>,
    pages: Pages<'a>,
    totals: Sums,
    workshop: Room<'a>,
}

/// What `form.json` and `check --json` share.
#[derive(Serialize)]
struct Of<'a> {
    #[serde(flatten)]
    heading: JsonHead<'a>,
    scale: Rounded,
    axes: &'static str,
    #[serde(flatten)]
    shared: Shared,
}

/// The whole of `form.json`.
///
/// # Errors
/// [`Error::Format`] if the values cannot be written as JSON.
pub fn form(form: &Form) -> Result<String, Error> {
    let zero = totals::underside(form);
    let stack = &form.stack;
    let parts = form.cut.iter().map(|c| &c.piece);
    let boards = form.boards.iter().zip(&form.offcuts);
    let whole = Whole {
        sheet: Of {
            heading: JsonHead::new(&form.checked),
            scale: json::number(stack.scale),
            axes: AXES,
            shared: Shared::new(&form.checked, &form.solid, zero, true),
        },
        first_to_cut: stack.first_to_cut,
        layers: stack
            .layers
            .iter()
            .map(|l| LayerLine::new(l, &form.workshop, zero))
            .collect(),
        wedges: stack.wedges.iter().map(WedgeLine::new).collect(),
        dowels: stack.dowels.iter().map(DowelLine::new).collect(),
        pole: stack.pole.map(|p| PoleLine::new(&p)),
        play: play::held(stack, form.workshop.dowel.clearance)
            .iter()
            .map(RunLine::new)
            .collect(),
        parts: parts
            .filter(|p| p.id.part.is_some())
            .map(PartLine::new)
            .collect(),
        boards: boards
            .map(|(b, left)| BoardLine::new(b, left.as_ref(), form.checked.unit))
            .collect(),
        pages: Pages::new(form),
        totals: Sums::new(form),
        workshop: Room::new(form),
    };
    json::text(&json::value(&whole)?)
}

/// What `check --json` prints for one sheet. Heights are as `build` would give them with the same
/// workshop.
///
/// # Errors
/// [`Error::Stack`] when the workshop's layers are too thick or too thin to make a form of it.
pub fn check(checked: &Checked, workshop: &Workshop) -> Result<Value, Error> {
    let solid = stack::enlarged(&checked.mesh, workshop.scale);
    let zero = stack::underside(&checked.mesh, workshop)?;
    json::value(&Of {
        heading: JsonHead::new(checked),
        scale: json::number(workshop.scale),
        axes: AXES,
        shared: Shared::new(checked, &solid, zero, false),
    })
}
