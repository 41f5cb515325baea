//! Numbers set closely, so that all of them stand on one screen: lists beside each other, and tables without
//! rules.

use super::COLUMNS;
use crate::say::page::Values;
use crate::say::table::{Cell, Table};
use crate::text::Reader;

/// How far lines are set in.
const INSET: usize = 2;
/// Blank between two lists beside each other, and where room is scarce.
const GAP: usize = 4;
const LEAST_GAP: usize = 2;

/// Columns that some text takes.
fn wide(text: &str) -> usize {
    text.chars().count()
}

fn widest<'a>(all: impl Iterator<Item = &'a str>) -> usize {
    all.map(wide).max().unwrap_or(0)
}

fn ended(lines: &[String]) -> String {
    let line = |l: &String| format!("{}\n", l.trim_end());
    lines.iter().map(line).collect()
}

/// Groups of names and their numbers, what each group is of before its first row.
pub(super) fn values(groups: &[Values], reader: Reader) -> String {
    let label = widest(groups.iter().map(|g| g.of));
    let first = if label == 0 { INSET } else { INSET + label + 2 };
    let group = |g: &Values| {
        let words = |row: &Vec<Cell>| row.iter().map(|c| c.words().plain(reader)).collect();
        let rows: Vec<Vec<String>> = g.rows.iter().map(words).collect();
        let mut lines = beside(&rows, COLUMNS - first);
        for (i, line) in lines.iter_mut().enumerate() {
            let of = if i == 0 { g.of } else { "" };
            *line = format!("{:INSET$}{of:<rest$}{line}", "", rest = first - INSET);
        }
        ended(&lines)
    };
    groups.iter().map(group).collect()
}

/// Rows in two lists beside each other, read downwards; in one where two do not fit.
fn beside(rows: &[Vec<String>], room: usize) -> Vec<String> {
    let (left, right) = rows.split_at(rows.len().div_ceil(2));
    let (left, right) = (list(left), list(right));
    let [first, second] = [&left, &right].map(|l| widest(l.iter().map(String::as_str)));
    let room = room.saturating_sub(first + second);
    if room < LEAST_GAP {
        return list(rows);
    }
    let width = first + room.min(GAP);
    let line = |(i, l): (usize, &String)| match right.get(i) {
        Some(right) => format!("{l:<width$}{right}"),
        None => l.clone(),
    };
    left.iter().enumerate().map(line).collect()
}

/// Rows of a name and numbers, the numbers below one another by their ends.
fn list(rows: &[Vec<String>]) -> Vec<String> {
    let columns = rows.first().map_or(0, Vec::len);
    let widths: Vec<usize> = (0..columns)
        .map(|c| widest(rows.iter().map(|r| r[c].as_str())))
        .collect();
    let row = |r: &Vec<String>| {
        let cells = r.iter().zip(&widths).enumerate();
        let cells = cells.map(|(i, (cell, width))| match i {
            0 => format!("{cell:<width$}"),
            _ => format!("  {cell:>width$}"),
        });
        cells.collect()
    };
    rows.iter().map(row).collect()
}

/// A table without a rule, as airy as fits.
pub(super) fn table(of: &Table, reader: Reader) -> String {
    let columns: Vec<Vec<String>> = (0..of.heads.len()).map(|i| column(of, i, reader)).collect();
    let set = |(inset, gap): (usize, usize)| -> Vec<String> {
        let mut lines = vec![" ".repeat(inset); of.rows.len() + 1];
        for (i, cells) in columns.iter().enumerate() {
            let width = widest(cells.iter().map(String::as_str));
            let gap = if i == 0 { 0 } else { gap };
            for (line, cell) in lines.iter_mut().zip(cells) {
                line.push_str(&format!("{:gap$}{cell:<width$}", ""));
            }
        }
        lines.iter().map(|l| l.trim_end().to_owned()).collect()
    };
    let fits = |lines: &Vec<String>| lines.iter().all(|l| wide(l) <= COLUMNS);
    let lines = [(INSET, 2), (INSET, 1)].into_iter().map(set).find(fits);
    ended(&lines.unwrap_or_else(|| set((0, 1))))
}

/// The head of a column and its cells; in those of values with their half-widths both stand below one
/// another.
fn column(of: &Table, i: usize, reader: Reader) -> Vec<String> {
    let pairs = of.rows.iter().filter_map(|r| match r.cells.get(i) {
        Some(Cell::Within(value, spread)) => Some((value.to_string(), spread.to_string())),
        _ => None,
    });
    let (values, spreads): (Vec<String>, Vec<String>) = pairs.unzip();
    let [value, spread] = [values, spreads].map(|all| widest(all.iter().map(String::as_str)));
    let cell = |cell: Option<&Cell>| match cell {
        Some(Cell::Within(v, s)) => format!("{:>value$} {:<spread$}", v.to_string(), s.to_string()),
        Some(other) => other.words().plain(reader),
        None => String::new(),
    };
    let head = std::iter::once(of.heads[i].clone());
    head.chain(of.rows.iter().map(|r| cell(r.cells.get(i))))
        .collect()
}
