//! The check card: what to measure on the finished form, where, and how close it must be.

use std::f64::consts::TAU;

use maud::{Markup, html};

use crate::form::Form;
use crate::form::bands;
use crate::form::totals;
use crate::measure::{Level, Side};
use crate::tape::Reading;

/// The card as a table with blanks to fill in.
pub(super) fn card(form: &Form) -> Markup {
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
    html! {
        p {
            "Measure with the tape that measured the body, at these heights above the underside of layer 1: \
             bare, padded, covered. The bands are for the covered form (common practice); the small figures \
             say about what a girth must be before padding and cover are on."
        }
        table class="stack" {
            caption {
                (form.checked.sheet.name) ": check card, lengths in " (unit.plural())
                @if scale < 0.75 { ", HALF SCALE" }
            }
            thead { tr {
                th scope="col" { "Measurement" }
                th scope="col" class="n" { "Height" }
                th scope="col" class="n" { "Target" }
                th scope="col" class="n" { "Right from" }
                th scope="col" class="n" { "to" }
                th scope="col" { "Bare stack" }
                th scope="col" { "Padded" }
                th scope="col" { "Covered" }
            } }
            tbody { @for (r, at, band) in rows {
                @let target = r.target.value * scale;
                tr {
                    th scope="row" {
                        (r.title())
                        @if r.target.side == Side::Both
                            && r.target.origin == crate::sheet::Origin::Estimated { " (estimated)" }
                    }
                    td class="n" {
                        (at.and_then(level).map_or_else(|| "–".to_owned(), |z| unit.show_bare(z)))
                    }
                    td class="n" { (unit.show_bare(target)) }
                    td class="n" { (unit.show_bare(target - band * scale)) }
                    td class="n" { (unit.show_bare(target + band * scale)) }
                    @for off in [on, cover] { td class="blank hint" {
                        @if at.is_some() { (unit.show_bare(target - TAU * off)) }
                    } }
                    td class="blank" {}
                }
            } }
        }
        p { "Date ________________   Measured by ________________________" }
    }
}
