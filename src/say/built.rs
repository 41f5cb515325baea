//! What `build` says of a form on the terminal.

use crate::form::Form;
use crate::form::totals;
use crate::say::as_built;
use crate::say::table::Table;
use crate::say::terminal;
use crate::say::words;
use crate::sheet::Origin;
use crate::text;

/// What `build` says of a form: its girth check in short, and what it takes to make it.
#[must_use]
pub fn text(form: &Form) -> String {
    let unit = form.checked.unit;
    let t = totals::totals(form);
    let first = form.stack.first_to_cut;
    let layers = if first > 1 {
        format!("layers {first} to {}", t.layers)
    } else {
        text::count(t.layers, "layer")
    };
    let mut out = format!(
        "{}: {layers} of {}, {} on {}, {}\n",
        form.checked.sheet.name,
        form.workshop.layer.material,
        words::pieces(&t),
        text::count(t.boards, "board"),
        text::count(form.pages.len(), "page"),
    );
    if let Some(tight) = words::tightness(form) {
        out.push_str(&format!("{tight}\n"));
    }
    if let Some(left) = words::offcuts(form) {
        out.push_str(&terminal::paragraph(left, 2));
    }
    out.push_str(&terminal::paragraph(words::pages(form), 2));
    out.push_str(&format!(
        "it stands {} tall without its stand and its layers weigh {}\n\n",
        unit.show(t.height),
        unit.weight(t.layer_weight, 1)
    ));
    let rows = form
        .checked
        .readings
        .iter()
        .filter(|r| r.target.origin == Origin::Given && r.solid.is_some())
        .map(|r| {
            let verdict = words::verdict_within(r, unit) + as_built::verdict_suffix(r);
            as_built::row(r, verdict, unit)
        });
    out.push_str(&terminal::table(
        &Table::new(
            &[
                "measurement",
                "asked",
                "solid",
                "diff.",
                "as built",
                "diff.",
                "verdict",
            ],
            &[1, 2, 3, 4, 5],
            rows,
        ),
        false,
    ));
    out.push_str(&format!("lengths in {}\n", words::unit_words(unit)));
    let given = form.checked.readings.iter();
    if let Some(meaning) = as_built::meaning(given.filter(|r| r.target.origin == Origin::Given)) {
        out.push_str(&terminal::paragraph(&meaning, 2));
    }
    if let Some(counted) = words::wedges_counted(form) {
        out.push_str(&terminal::paragraph(&counted, 2));
    }
    out
}
