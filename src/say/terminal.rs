//! What is said, written for a terminal: 80 columns wide, in bold what deserves the eye.

use comfy_table::{Cell, CellAlignment, ContentArrangement, LineStyle, TableStyle};

use crate::say::table::{Table, Weight};
use crate::text::{Reader, Text};

/// Columns of the terminal that text keeps to.
pub(super) const COLUMNS: usize = 80;

/// What stays on one line together is at most this long.
const TOGETHER: usize = 40;

/// Words parted where a line may break: at the blanks, except within what stays together.
fn unbroken(words: &Text, reader: Reader) -> Vec<String> {
    let mut all = vec![String::new()];
    let mut say = |i: usize, word: &str| match all.last_mut() {
        Some(last) if i == 0 => last.push_str(word),
        _ => all.push(word.to_owned()),
    };
    for run in words.runs(reader) {
        if run.unbroken && run.words.chars().count() <= TOGETHER {
            say(0, &run.words);
        } else {
            let parts = run.words.split(char::is_whitespace).enumerate();
            parts.for_each(|(i, word)| say(i, word));
        }
    }
    all.retain(|word| !word.is_empty());
    all
}

/// Words broken at blanks into lines of at most 80 columns, the first set in by `first` blanks and
/// the others by `rest`. Ends with a line break.
#[must_use]
pub fn wrapped(words: &Text, reader: Reader, first: usize, rest: usize) -> String {
    let mut out = String::new();
    let mut line = " ".repeat(first);
    let mut empty = true;
    for word in unbroken(words, reader) {
        let long = line.chars().count() + usize::from(!empty) + word.chars().count();
        if !empty && long > COLUMNS {
            out.push_str(&line);
            out.push('\n');
            line = " ".repeat(rest);
            empty = true;
        }
        if !empty {
            line.push(' ');
        }
        line.push_str(&word);
        empty = false;
    }
    out.push_str(&line);
    out.push('\n');
    out
}

/// Words in lines of a terminal; the lines after the first are set in by `inset` spaces. Ends with a
/// line break.
#[must_use]
pub fn paragraph(words: impl Into<Text>, inset: usize) -> String {
    wrapped(&words.into(), Reader::default(), 0, inset)
}

/// No frame, one rule under the heading.
const RULED: TableStyle = TableStyle::new().header_separator(LineStyle::new('-', '-', '-', '-'));

/// A plain table: a heading with a rule under it, two spaces between columns, no frame. Rows that weigh
/// are set in bold if `emphasis` says so.
pub(super) fn table(table: &Table, emphasis: bool) -> String {
    let row = |cells: &mut dyn Iterator<Item = &String>| -> comfy_table::Row {
        let aligned = table.columns.iter().zip(cells).map(|(column, words)| {
            let cell = Cell::new(words);
            if column.is_number {
                cell.set_alignment(CellAlignment::Right)
            } else {
                cell
            }
        });
        aligned.collect::<Vec<Cell>>().into()
    };
    let mut set = comfy_table::Table::new();
    set.load_style(RULED)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(COLUMNS as u16)
        .set_header(row(&mut table.columns.iter().map(|c| &c.head)));
    for r in &table.rows {
        set.add_row(row(&mut r.cells.iter()));
    }
    let mut out = String::new();
    // Where every row takes one line, its weight is that of its line; elsewhere words alone say it.
    let deep = table.columns.iter().map(|c| c.head.lines().count());
    let above = deep.max().unwrap_or(0) + 1;
    let lines: Vec<String> = set.lines().collect();
    let even = lines.len() == above + table.rows.len();
    for (i, line) in lines.iter().enumerate() {
        let row = i.checked_sub(above).and_then(|i| table.rows.get(i));
        let weighs = even && row.is_some_and(|r| r.weight == Weight::Missed);
        out.push_str(&bold(line.trim_end(), emphasis && weighs));
        out.push('\n');
    }
    out
}

/// Text in bold, where `emphasis` asks for it.
pub(super) fn bold(text: &str, emphasis: bool) -> String {
    if emphasis {
        let style = anstyle::Style::new().bold();
        format!("{style}{text}{style:#}")
    } else {
        text.to_owned()
    }
}
