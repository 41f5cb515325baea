//! Tables as text for a terminal, 80 columns wide, and what `build` says of a form.

use comfy_table::{Cell, CellAlignment, ContentArrangement, LineStyle, Row, Table, TableStyle};

use crate::report::Form;
use crate::report::guide::{as_built, meaning};
use crate::report::totals;
use crate::report::words;
use crate::sheet::Origin;

/// Columns of the terminal that every table keeps to.
pub(super) const COLUMNS: u16 = 80;
/// No frame, one rule under the heading.
const RULED: TableStyle = TableStyle::new().header_separator(LineStyle::new('-', '-', '-', '-'));

/// What `build` says of a form: its girth check in short, and what it takes to make it.
#[must_use]
pub fn built(form: &Form) -> String {
    let unit = form.checked.unit;
    let t = totals::totals(form);
    let first = form.stack.first_to_cut;
    let layers = if first > 1 {
        format!("layers {first} to {}", t.layers)
    } else {
        words::count(t.layers, "layer")
    };
    let mut out = format!(
        "{}: {layers} of {}, {} on {}, {}\n",
        form.checked.sheet.name,
        form.workshop.layer.material,
        words::pieces(&t),
        words::count(t.boards, "board"),
        words::count(form.pages.len(), "page"),
    );
    if let Some(tight) = words::tightness(form) {
        out.push_str(&format!("{tight}\n"));
    }
    if let Some(left) = words::offcuts(form) {
        out.push_str(&words::paragraph(&left, 2));
    }
    out.push_str(&words::paragraph(&words::pages(form), 2));
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
            vec![
                words::title(r),
                words::value(r, r.target.value, unit),
                words::value_or_dash(r, r.solid, unit),
                words::difference(r, r.solid, unit),
                words::value_or_dash(r, r.built, unit),
                words::difference(r, r.built, unit),
                words::verdict_within(r, unit) + as_built(r),
            ]
        });
    out.push_str(&table(
        &[
            "measurement",
            "asked",
            "solid",
            "diff.",
            "as built",
            "diff.",
            "verdict",
        ],
        rows,
        &[1, 2, 3, 4, 5],
    ));
    out.push_str(&format!("lengths in {}\n", words::unit_words(unit)));
    let given = form.checked.readings.iter();
    if let Some(meaning) = meaning(given.filter(|r| r.target.origin == Origin::Given)) {
        out.push_str(&words::paragraph(&meaning, 2));
    }
    if let Some(counted) = words::wedges_counted(form) {
        out.push_str(&words::paragraph(&counted, 2));
    }
    out
}

/// A plain table: a heading with a rule under it, two spaces between columns, no frame.
pub(super) fn table<I>(heads: &[&str], rows: I, right: &[usize]) -> String
where
    I: IntoIterator<Item = Vec<String>>,
{
    let align = |i: usize, words: &str| {
        let cell = Cell::new(words);
        if right.contains(&i) {
            cell.set_alignment(CellAlignment::Right)
        } else {
            cell
        }
    };
    let row = |cells: Vec<String>| -> Row {
        cells
            .iter()
            .enumerate()
            .map(|(i, c)| align(i, c))
            .collect::<Vec<Cell>>()
            .into()
    };
    let mut table = Table::new();
    table
        .load_style(RULED)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(COLUMNS)
        .set_header(row(heads.iter().map(|h| (*h).to_owned()).collect()));
    for r in rows {
        table.add_row(row(r));
    }
    let mut out = String::new();
    for line in table.lines() {
        out.push_str(line.trim_end());
        out.push('\n');
    }
    out
}
