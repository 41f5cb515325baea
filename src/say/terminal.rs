//! What is said, written for a terminal: 80 columns wide, in bold what deserves the eye.

mod close;

use anstyle::Style;
use comfy_table::{Cell, CellAlignment, ContentArrangement, LineStyle, TableStyle};

use crate::say::page::{Block, Page, PageMark};
use crate::say::table::{Table, Weight};
use crate::text;
use crate::text::{Look, Reader, Text};

/// Columns of the terminal that text keeps to.
pub(super) const COLUMNS: usize = 80;
/// What deserves the eye.
pub(super) const BOLD: Style = Style::new().bold();

/// What stands between two places where a line may break.
#[derive(Default)]
struct Word {
    /// As it is written, with the codes of its style.
    written: String,
    /// What it takes of a line.
    columns: usize,
}

impl Word {
    fn push(&mut self, words: &str, style: Option<Style>) {
        self.columns += words.chars().count();
        match style {
            Some(style) => self.written.push_str(&format!("{style}{words}{style:#}")),
            None => self.written.push_str(words),
        }
    }
}

/// Words parted where a line may break: at the blanks, except within what stays together.
fn unbroken(words: &Text, reader: Reader, strong: Option<Style>) -> Vec<Word> {
    let mut all = vec![Word::default()];
    for run in words.runs(reader) {
        let style = strong.filter(|_| run.look == Look::Strong);
        let whole = run.unbroken;
        let words = run.plain();
        let parts = words.split(|c: char| !whole && c.is_whitespace());
        for (i, part) in parts.enumerate() {
            if i > 0 {
                all.push(Word::default());
            }
            if let Some(last) = all.last_mut().filter(|_| !part.is_empty()) {
                last.push(part, style);
            }
        }
    }
    all.retain(|word| word.columns > 0);
    all
}

/// Words broken at blanks into lines of at most 80 columns, the first set in by `first` blanks and
/// the others by `rest`. Ends with a line break.
#[must_use]
pub fn wrapped(words: &Text, reader: Reader, first: usize, rest: usize) -> String {
    marked(words, reader, first, rest, None)
}

/// The same with what deserves the eye in this style, which takes no room.
#[must_use]
pub fn marked(
    words: &Text,
    reader: Reader,
    first: usize,
    rest: usize,
    strong: Option<Style>,
) -> String {
    let mut out = " ".repeat(first);
    let mut columns = first;
    for (i, word) in unbroken(words, reader, strong).iter().enumerate() {
        if i > 0 && columns + 1 + word.columns > COLUMNS {
            out.push('\n');
            out.push_str(&" ".repeat(rest));
            columns = rest;
        } else if i > 0 {
            out.push(' ');
            columns += 1;
        }
        out.push_str(&word.written);
        columns += word.columns;
    }
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
    let set =
        |words: &Text, first, rest| marked(words, reader, first, rest, emphasis.then_some(BOLD));
    match block {
        Block::Place(place) => bold(place.name, emphasis) + "\n",
        Block::Heading(words) | Block::Step(words) => {
            bold(set(words, 0, 2).trim_end(), emphasis) + "\n"
        }
        Block::Paragraph(words) | Block::Note(words) => set(words, 0, 0),
        Block::Under(words) => set(words, 2, 2),
        Block::Caution(all) => {
            let one = |words: &Text| set(&text!["caution: ", words.clone()], 0, 2);
            all.iter().map(one).collect()
        }
        Block::List(mark, all) => {
            let item = |(i, one): (usize, &Text)| match mark {
                PageMark::Nothing => set(one, 0, 2),
                PageMark::SetIn => set(one, 2, 6),
                PageMark::Dash | PageMark::Box => set(&text!["- ", one.clone()], 0, 2),
                PageMark::Number => set(&text![i + 1, ". ", one.clone()], 0, 3),
            };
            all.iter().enumerate().map(item).collect()
        }
        Block::Table(of) if of.caption.is_empty() => parted(of, reader, emphasis),
        Block::Table(of) => {
            let caption = set(&of.caption, 0, 0);
            format!("{caption}\n{}", parted(of, reader, emphasis))
        }
        Block::Values(groups) => close::values(groups, reader),
        Block::Close(of) => close::table(of, reader),
        Block::Verdict(words) => bold(set(words, 0, 2).trim_end(), emphasis) + "\n",
        Block::Lines(lines) => lines.iter().map(|line| format!("{line}\n")).collect(),
        Block::Pictures(_, all) => all.iter().map(|(name, _)| set(name, 0, 2)).collect(),
    }
}

/// A table; where its columns may be parted, as the fewest that keep to the terminal, one below the other.
fn parted(of: &Table, reader: Reader, emphasis: bool) -> String {
    let Some((by, (label, rest))) = of.together.zip(of.heads.split_first()) else {
        return table(of, reader, emphasis);
    };
    let width = |i: usize, head: &str| {
        let cells = of.rows.iter().filter_map(|r| r.cells.get(i));
        let cells = cells.map(|cell| cell.words().plain(reader).chars().count());
        let lines = head.lines().map(|l| l.chars().count());
        lines.chain(cells).max().unwrap_or(0)
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
        tables.push(table(&of.of_columns(&these), reader, emphasis));
        at = these.end - 1;
    }
    tables.join("\n")
}

/// No frame, one rule under the heading.
const RULED: TableStyle = TableStyle::new().header_separator(LineStyle::new('-', '-', '-', '-'));

/// A plain table: a heading with a rule under it, two spaces between columns, no frame. Rows that weigh
/// are set in bold if `emphasis` says so.
fn table(table: &Table, reader: Reader, emphasis: bool) -> String {
    let numbers = table.numbers();
    let row = |cells: &mut dyn Iterator<Item = String>| -> comfy_table::Row {
        let aligned = numbers.iter().zip(cells).map(|(is_number, words)| {
            let cell = Cell::new(words);
            if *is_number {
                cell.set_alignment(CellAlignment::Right)
            } else {
                cell
            }
        });
        aligned.collect::<Vec<Cell>>().into()
    };
    let lines = |head: &String| head.lines().count().max(1);
    let deep = table.heads.iter().map(lines).max().unwrap_or(1);
    let standing = |head: &String| "\n".repeat(deep - lines(head)) + head;
    let mut set = comfy_table::Table::new();
    set.load_style(RULED)
        .set_content_arrangement(ContentArrangement::Dynamic)
        .set_width(COLUMNS as u16)
        .set_header(row(&mut table.heads.iter().map(standing)));
    for r in &table.rows {
        set.add_row(row(&mut r.cells.iter().map(|c| c.words().plain(reader))));
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
        format!("{BOLD}{text}{BOLD:#}")
    } else {
        text.to_owned()
    }
}
