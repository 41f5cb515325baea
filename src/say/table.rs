//! Tables as text for a terminal, 80 columns wide.

use comfy_table::{Cell, CellAlignment, ContentArrangement, LineStyle, Row, Table, TableStyle};

/// Columns of the terminal that every table keeps to.
pub(super) const COLUMNS: u16 = 80;
/// No frame, one rule under the heading.
const RULED: TableStyle = TableStyle::new().header_separator(LineStyle::new('-', '-', '-', '-'));

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
