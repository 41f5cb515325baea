//! How long the work takes.

use maud::{Markup, html};

use crate::form::Form;
use crate::form::hours;
use crate::form::hours::Amounts;
use crate::form::totals::Totals;
use crate::text;
use crate::units;
use crate::units::Unit;

fn span(minutes_low: f64, minutes_high: f64) -> String {
    let shown = |m: f64| units::fixed(m / 60.0, if m < 570.0 { 1 } else { 0 });
    format!("{} to {} h", shown(minutes_low), shown(minutes_high))
}

/// Rough times; every speed is from memory of the trade.
pub(super) fn time(form: &Form, t: &Totals) -> Markup {
    let h = hours::hours(
        &form.stack.materials_of(&form.workshop),
        Amounts {
            cut_length: t.cut_length,
            pieces: t.pieces,
            pages: form.pages.len(),
            proof: form.proof.len(),
            layers: form.stack.layers_to_cut().len(),
        },
    );
    let tool = h.tool.name;
    let (slow, fast) = h.tool.speed;
    let unit = form.checked.unit;
    let laser = match unit {
        Unit::Cm | Unit::Mm => "10 to 20 mm",
        Unit::In => "3/8 to 3/4 in",
    };
    let mut rows = Vec::new();
    if !form.proof.is_empty() {
        rows.push((
            format!(
                "pasting {} of the proof on card and cutting them, 3 to 5 minutes each",
                text::count(form.proof.len(), "page")
            ),
            h.proof,
        ));
    }
    rows.extend([(
        format!(
            "cutting {} by {tool}, {} to {} a minute",
            unit.run(t.cut_length, 1),
            unit.run_bare(slow * 1000.0, 1),
            unit.run(fast * 1000.0, 1)
        ),
        h.cutting,
    )]);
    rows.extend(h.laser.map(|took| {
        let what = format!("or by laser, {laser} a second, {} boards", t.boards);
        (what, took)
    }));
    rows.extend([
        (
            format!(
                "joining {} by hand, 1 to 2 minutes a page",
                text::count(form.pages.len(), "page")
            ),
            h.joining,
        ),
        (
            format!(
                "marking {}, 2 to 3 minutes each",
                text::count(t.pieces, "piece")
            ),
            h.marking,
        ),
        (
            format!(
                "stacking and gluing {}, 1 to 3 minutes each",
                text::count(form.stack.layers_to_cut().len(), "layer")
            ),
            h.gluing,
        ),
        ("padding and covering".to_owned(), h.covering),
    ]);
    let mut all = vec![("all of it by hand", h.by_hand())];
    all.extend(
        h.by_machine()
            .map(|took| ("all of it with a laser that cuts and marks", took)),
    );
    html! {
        div class="wide" { table {
            caption { "Speeds are from memory of the trade and for practised hands" }
            thead { tr { th scope="col" { "Work" } th scope="col" class="n" { "Time" } } }
            tbody {
                @for (what, (low, high)) in rows {
                    tr { th scope="row" { (what) } td class="n" { (span(low, high)) } }
                }
                @for (what, (least, most)) in all {
                    tr { th scope="row" { strong { (what) ", glue drying not counted" } }
                        td class="n" { strong { (span(least, most)) } } }
                }
            }
        } }
        p { "Spread it over several days: glue needs its time and a tired hand slips." }
    }
}
