//! The girth check as text for a terminal, 80 columns wide.

use comfy_table::{Cell, CellAlignment, ContentArrangement, LineStyle, Row, Table, TableStyle};

use crate::report::totals;
use crate::report::words;
use crate::report::{Checked, Form};
use crate::sheet::Origin;
use crate::tape::{Reading, Verdict};
use crate::units;

/// Columns of the terminal that every table keeps to.
const COLUMNS: u16 = 80;
/// No frame, one rule under the heading.
const RULED: TableStyle = TableStyle::new().header_separator(LineStyle::new('-', '-', '-', '-'));

/// The girth check of one sheet: what was asked, what the solid measures, and the values that
/// nobody measured, with their plus-or-minus. The findings are not in it.
#[must_use]
pub fn check(checked: &Checked) -> String {
    let unit = checked.unit;
    let mut out = String::new();
    let (given, estimated): (Vec<&Reading>, Vec<&Reading>) = checked
        .readings
        .iter()
        .partition(|r| r.target.origin == Origin::Given);
    let missed = given
        .iter()
        .filter(|r| r.verdict == Verdict::Missed)
        .count();
    let read = given.iter().filter(|r| r.solid.is_some()).count();

    out.push_str(&format!(
        "{}: girth check of the solid, in {}\n\n",
        checked.sheet.name,
        words::unit_words(unit)
    ));
    let rows = given.iter().map(|r| {
        vec![
            words::title(r),
            words::value(r, r.target.value, unit),
            r.target
                .within
                .map_or_else(String::new, |w| words::plus_minus(r, w, unit)),
            words::value_or_dash(r, r.solid, unit),
            words::difference(r, r.solid, unit),
            words::verdict(r).to_owned(),
        ]
    });
    out.push_str(&table(
        &[
            "measurement",
            "asked",
            "within",
            "solid",
            "difference",
            "verdict",
        ],
        rows,
        &[1, 2, 3, 4],
    ));
    for r in given.iter().filter(|r| r.solid.is_none()) {
        if let Some(reason) = r.reason {
            out.push_str(&format!("  {}: {reason}\n", words::title(r)));
        }
    }
    out.push('\n');
    out.push_str(&if missed == 0 {
        format!("all {} met\n", words::count(read, "reading"))
    } else {
        format!(
            "{missed} of {} missed: the sheet pulls against itself; see the warnings\n",
            words::count(read, "reading")
        )
    });

    if !estimated.is_empty() {
        out.push_str("\nestimated (nobody measured it; 19 bodies in 20 lie within the ±)\n\n");
        let rows = estimated.iter().map(|r| {
            vec![
                words::title(r),
                words::value(r, r.target.value, unit),
                words::plus_minus(r, r.target.plus_minus, unit),
                words::value_or_dash(r, r.solid, unit),
            ]
        });
        out.push_str(&table(
            &["measurement", "estimate", "±", "solid"],
            rows,
            &[1, 2, 3],
        ));
    }
    out
}

/// What `build` says of a form: its girth check in short, and what it takes to make it.
#[must_use]
pub fn built(form: &Form) -> String {
    let unit = form.checked.unit;
    let t = totals::totals(form);
    let mut out = format!(
        "{}: {} of {}, {} on {}, {}\n",
        form.checked.sheet.name,
        words::count(t.layers, "layer"),
        form.workshop.layer.material,
        words::count(t.pieces, "piece"),
        words::count(t.boards, "board"),
        words::count(form.pages.len(), "page"),
    );
    if let Some(tight) = words::tightness(form) {
        out.push_str(&format!("{tight}\n"));
    }
    out.push_str(&format!("{}\n", words::pages(form)));
    out.push_str(&format!(
        "it stands {} tall without its stand and its layers weigh {} kg\n\n",
        unit.show(t.height),
        units::fixed(t.layer_weight, 1)
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
                words::verdict(r).to_owned(),
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
