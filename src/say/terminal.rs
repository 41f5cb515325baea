//! What is said, written for a terminal: 80 columns wide, in bold what deserves the eye.

use comfy_table::{Cell, CellAlignment, ContentArrangement, LineStyle, TableStyle};

use crate::say::page::{Block, Mark, Page};
use crate::say::table::{Column, Table, Weight};
use crate::text;
use crate::text::{Reader, Text};

/// Columns of the terminal that text keeps to.
pub(super) const COLUMNS: usize = 80;

/// Words parted where a line may break: at the blanks, except within what stays together.
fn unbroken(words: &Text, reader: Reader) -> Vec<String> {
    let mut all = vec![String::new()];
    let mut say = |i: usize, word: &str| match all.last_mut() {
        Some(last) if i == 0 => last.push_str(word),
        _ => all.push(word.to_owned()),
    };
    for run in words.runs(reader) {
        if run.unbroken {
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

/// What is said, in lines of a terminal, a blank one between its parts; headings and what is missed in
/// bold if `emphasis` says so.
pub(super) fn page(page: &Page, reader: Reader, emphasis: bool) -> String {
    let parts = page.iter().filter(|part| !part.is_empty()).map(|part| {
        let blocks = part.iter().map(|b| block(b, reader, emphasis));
        blocks.collect::<String>()
    });
    parts.collect::<Vec<String>>().join("\n")
}

fn block(block: &Block, reader: Reader, emphasis: bool) -> String {
    let set = |words: &Text, first, rest| wrapped(words, reader, first, rest);
    match block {
        Block::Heading(words) => bold(set(words, 0, 2).trim_end(), emphasis) + "\n",
        Block::Paragraph(words) | Block::Note(words) => set(words, 0, 0),
        Block::Under(words) => set(words, 2, 2),
        Block::Caution(words) => set(&text!["caution: ", words.clone()], 0, 2),
        Block::List(mark, all) => {
            let item = |(i, one): (usize, &Text)| match mark {
                Mark::Nothing => set(one, 0, 2),
                Mark::SetIn => set(one, 2, 6),
                Mark::Dash => set(&text!["- ", one.clone()], 0, 2),
                Mark::Number => set(&text![i + 1, ". ", one.clone()], 0, 3),
            };
            all.iter().enumerate().map(item).collect()
        }
        Block::Table(of) if of.caption.is_empty() => parted(of, emphasis),
        Block::Table(of) => {
            let caption = set(&of.caption.clone().into(), 0, 0);
            format!("{caption}\n{}", parted(of, emphasis))
        }
        Block::Lines(lines) => lines.iter().map(|line| format!("{line}\n")).collect(),
        Block::Pictures(_, all) => all.iter().map(|(name, _)| set(name, 0, 2)).collect(),
    }
}

/// A table; where its columns may be parted, as the fewest that keep to the terminal, one below the other.
fn parted(of: &Table, emphasis: bool) -> String {
    let Some((by, (label, rest))) = of.together.zip(of.columns.split_first()) else {
        return table(of, emphasis);
    };
    let width = |i: usize, column: &Column| {
        let cells = of.rows.iter().filter_map(|r| r.cells.get(i));
        let lines = column.head.lines().chain(cells.map(String::as_str));
        lines.map(|l| l.chars().count()).max().unwrap_or(0)
    };
    let mut tables = Vec::new();
    let mut at = 0;
    while at < rest.len() {
        // Every column has a blank on both sides and a line to the next one.
        let mut wide = width(0, label) + 4;
        let fit = (at..rest.len())
            .take_while(|i| {
                wide += width(i + 1, &rest[*i]) + 3;
                wide <= COLUMNS
            })
            .count();
        let fit = if at + fit < rest.len() {
            fit / by * by
        } else {
            fit
        };
        let these = at + 1..at + 1 + fit.max(1);
        tables.push(table(&of.of_columns(&these), emphasis));
        at = these.end - 1;
    }
    tables.join("\n")
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
    let lines = |c: &Column| c.head.lines().count().max(1);
    let deep = table.columns.iter().map(lines).max().unwrap_or(1);
    let standing = |c: &Column| "\n".repeat(deep - lines(c)) + &c.head;
    let heads: Vec<String> = table.columns.iter().map(standing).collect();
    let mut set = comfy_table::Table::new();
    set.load_style(RULED)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(COLUMNS as u16)
        .set_header(row(&mut heads.iter()));
    for r in &table.rows {
        set.add_row(row(&mut r.cells.iter()));
    }
    let mut out = String::new();
    // Where every row takes one line, its weight is that of its line; elsewhere words alone say it.
    let above = deep + 1;
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
