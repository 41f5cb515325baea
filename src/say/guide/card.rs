//! The check card: what to measure on the finished form, where, and how close it must be.

use std::f64::consts::TAU;

use crate::form::Form;
use crate::form::bands;
use crate::form::totals;
use crate::measure::{Level, Side};
use crate::say::amount::{Amount, AmountScale};
use crate::say::page::Block;
use crate::say::table::{Cell, Setting, Table, cells};
use crate::sheet::Origin;
use crate::tape::Reading;
use crate::text;

/// The card as a table with blanks to fill in.
pub(super) fn card(form: &Form) -> Vec<Block> {
    let unit = form.checked.unit;
    let scale = form.stack.scale;
    let zero = totals::underside(form);
    let level = |l: Level| {
        let levels = &form.solid.marks.levels;
        let z = levels.get(&l).or_else(|| {
            // Without a waist of its own the sheet means the natural one.
            (l == Level::WaistTape)
                .then(|| levels.get(&Level::Waist))
                .flatten()
        })?;
        Some(z - zero)
    };
    let (cover, on) = (
        form.workshop.padding.cover,
        form.workshop.padding.thickness(),
    );
    let rows = bands::ROWS.into_iter().flat_map(|measure| {
        let readings = form.checked.readings.iter();
        readings
            .filter(move |r| r.target.measure == measure && r.solid.is_some())
            .filter_map(move |r| Some((r, measure.level(), bands::band(measure)?)))
    });
    let rows: Vec<(&Reading, Option<Level>, f64)> = rows.collect();
    let tape = |mm: f64| Amount::new(mm, AmountScale::Tape(unit));
    let rows = rows.into_iter().map(|(r, at, band)| {
        let target = r.target.value * scale;
        let guessed = r.target.side == Side::Both && r.target.origin == Origin::Estimated;
        let bare = |off: f64| Cell::Hint(at.map(|_| tape(target - TAU * off)));
        cells![
            text![r.title(), guessed.then_some(" (estimated)")],
            at.and_then(level).map(tape),
            tape(target),
            tape(target - band * scale),
            tape(target + band * scale),
            bare(on),
            bare(cover),
            Cell::Blank,
        ]
    });
    let heads = [
        "Measurement",
        "Height",
        "Target",
        "Right from",
        "to",
        "Bare stack",
        "Padded",
        "Covered",
    ];
    let half = (scale < 0.75).then_some(", HALF SCALE");
    let table = Table::new(&heads, rows).set(Setting::Card).under(text![
        &form.checked.sheet.name,
        ": check card, lengths in ",
        unit.plural(),
        half
    ]);
    vec![
        Block::Paragraph(
            "Measure with the tape that measured the body, at these heights above the underside of layer 1: \
             bare, padded, covered. The bands are for the covered form (common practice); the small figures \
             say about what a girth must be before padding and cover are on."
                .into(),
        ),
        Block::Table(table),
        Block::Paragraph("Date ________________   Measured by ________________________".into()),
    ]
}
