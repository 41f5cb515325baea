//! How long the work takes.

use crate::form::Form;
use crate::form::hours;
use crate::form::hours::Amounts;
use crate::form::totals::Totals;
use crate::say::page::Block;
use crate::say::table::{Cell, Table, cells};
use crate::text;
use crate::units;
use crate::units::Unit;

fn span(minutes_low: f64, minutes_high: f64) -> String {
    let shown = |m: f64| units::fixed(m / 60.0, if m < 570.0 { 1 } else { 0 });
    format!("{}–{} h", shown(minutes_low), shown(minutes_high))
}

/// Rough times; every speed is from memory of the trade.
pub(super) fn time(form: &Form, t: &Totals) -> Vec<Block> {
    let h = hours::hours(
        &form.stack.materials_of(&form.workshop),
        Amounts {
            cut_length: t.cut_length,
            pieces: t.pieces,
            holes: form.stack.hole_count(),
            dowels: form.stack.dowels.len(),
            pages: form.pages.len(),
            proof: form.proof.len(),
            layers: form.stack.layers_to_cut().len(),
            stands: usize::from(form.stack.piled().is_empty()),
        },
    );
    let tool = h.tool.name;
    let (slow, fast) = h.tool.speed;
    let unit = form.checked.unit;
    let laser = match unit {
        Unit::Cm | Unit::Mm => "10–20 mm",
        Unit::In => "3/8–3/4 in",
    };
    let each = |what: &str, n: usize, thing: &str, minutes: &str| {
        format!("{what} {}, {minutes}", text::count(n, thing))
    };
    let layers = form.stack.layers_to_cut().len();
    let first = form.stack.piled().is_empty();
    let mut rows = Vec::new();
    if !form.proof.is_empty() {
        rows.push((
            each(
                "proof, pasting and cutting",
                form.proof.len(),
                "page",
                "3–5 min each",
            ),
            h.proof,
        ));
    }
    rows.extend([
        (
            each("joining", form.pages.len(), "page", "1–2 min"),
            h.joining,
        ),
        (
            each("tracing", t.pieces, "piece", "2–4 min with trimming"),
            h.tracing,
        ),
        (each("marking", t.pieces, "piece", "2–3 min"), h.marking),
        (
            format!(
                "cutting {} by {tool}, {}–{} a minute",
                unit.run(t.cut_length, 1),
                unit.run_bare(slow * 1000.0, 1),
                unit.run(fast * 1000.0, 1)
            ),
            h.cutting,
        ),
        (
            each("making", form.stack.hole_count(), "hole", "½–1 min"),
            h.holes,
        ),
    ]);
    rows.extend(h.laser.map(|took| {
        let what = format!("or by laser, {laser} a second, {} boards", t.boards);
        (what, took)
    }));
    rows.push((
        each("sawing", form.stack.dowels.len(), "dowel", "5–10 min"),
        h.dowels,
    ));
    rows.push((
        each("stacking and gluing", layers, "layer", "1–3 min"),
        h.gluing,
    ));
    if first {
        rows.push(("base board, cap plate and stand".to_owned(), h.stand));
    }
    rows.extend([
        ("padding".to_owned(), h.padding),
        ("cover: drafting, sewing, putting on".to_owned(), h.covering),
    ]);
    let mut all = vec![("all of it by hand", h.by_hand())];
    all.extend(
        h.by_machine()
            .map(|took| ("all of it with a laser that cuts and marks", took)),
    );
    let each = rows
        .into_iter()
        .map(|(what, (low, high))| cells![what, Cell::Instead(span(low, high).into())]);
    let in_all = all.into_iter().map(|(what, (least, most))| {
        cells![
            text::strong(text![what, ", drying not counted"]),
            Cell::Instead(text::strong(span(least, most)))
        ]
    });
    let table = Table::new(&["Work", "Time"], each.chain(in_all)).under(
        "From memory of the trade, for practised hands; a first form takes the longer times",
    );
    vec![
        Block::Table(table),
        Block::Paragraph("Spread it over days: glue needs its time and a tired hand slips.".into()),
    ]
}
