//! Choices as columns of as few tables as keep to the terminal.

use crate::form::hours;
use crate::form::plan::{Choice, Estimate};
use crate::say::table::Table;
use crate::say::terminal;
use crate::units;
use crate::units::Unit;

/// A column of a table: its heading in lines, and its cells.
#[derive(Clone, Debug)]
pub(super) struct Column {
    head: Vec<String>,
    cells: Vec<String>,
}

impl Column {
    fn width(&self) -> usize {
        let all = self.head.iter().chain(&self.cells);
        all.map(|c| c.chars().count()).max().unwrap_or(0)
    }
}

/// Widest line of a material's name over a column.
const NAME: usize = 10;

/// What the rows are, and every choice as a column.
pub(super) fn columns(
    built: &[(&Choice, &Estimate)],
    currency: Option<&str>,
    unit: Unit,
) -> (Column, Vec<Column>) {
    let small = unit.bench_name();
    let labels = [
        "layers".to_owned(),
        format!("widest step, {small}"),
        "  below the armpits".to_owned(),
        format!("worst girth, {small} off"),
        "  corrected".to_owned(),
        "boards".to_owned(),
        "pages of templates".to_owned(),
        "  of the proof".to_owned(),
        format!("cut, {}", unit.run_name()),
        "by hand, hours".to_owned(),
        "by laser, hours".to_owned(),
        format!("layers weigh, {}", unit.weight_name()),
    ];
    let cost = currency.map(|c| format!("cost, {c}").trim_end_matches([',', ' ']).to_owned());
    let several = built
        .windows(2)
        .any(|pair| pair[0].0.material != pair[1].0.material);
    let rings = built.iter().any(|(c, _)| c.workshop.layer.hollow.is_some());
    let columns: Vec<Column> = built
        .iter()
        .map(|(choice, m)| {
            let layer = &choice.workshop.layer;
            let mut head = Vec::new();
            if several {
                head.extend(lines_of(&choice.material, NAME));
            }
            if rings {
                let full = layer.hollow.is_none();
                head.push(if full { "full" } else { "rings" }.to_owned());
            }
            head.push(thickness(layer.thickness, unit));
            let mut cells = vec![
                m.layers.to_string(),
                unit.rule_bare(m.step, 0),
                unit.rule_bare(m.trunk_step, 0),
                unit.bench_bare(m.girth.0, 1),
                unit.bench_bare(m.girth.1, 1),
                boards(m, unit),
                m.pages.to_string(),
                m.proof.to_string(),
                unit.run_bare(m.cut_length, 0),
                span(m.hours.by_hand()),
                m.hours
                    .by_machine()
                    .map_or_else(|| "no laser".to_owned(), span),
                unit.weight_bare(m.weight, 1),
            ];
            if cost.is_some() {
                cells.push(
                    m.cost
                        .map_or_else(|| "-".to_owned(), |c| units::fixed(c, 0)),
                );
            }
            Column { head, cells }
        })
        .collect();
    let label = Column {
        head: vec![format!("layer, {small}")],
        cells: labels.into_iter().chain(cost).collect(),
    };
    (label, columns)
}

/// A name in lines no wider than so many letters, if its words allow.
fn lines_of(name: &str, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in name.split(' ') {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

/// Parts the columns into the fewest tables that keep to the terminal, each a multiple of `by` columns
/// where that goes, so that what belongs together stands together.
pub(super) fn tables_of<'a>(label: &Column, columns: &'a [Column], by: usize) -> Vec<&'a [Column]> {
    let mut out = Vec::new();
    let mut rest = columns;
    while !rest.is_empty() {
        // Every column has a blank on both sides and a line to the next one.
        let mut wide = label.width() + 4;
        let fit = rest
            .iter()
            .take_while(|column| {
                wide += column.width() + 3;
                wide <= terminal::COLUMNS
            })
            .count();
        let fit = if fit < rest.len() { fit / by * by } else { fit };
        let (table, more) = rest.split_at(fit.max(1));
        out.push(table);
        rest = more;
    }
    out
}

/// Columns as a table, their headings standing on one line.
pub(super) fn side_by_side(label: &Column, columns: &[Column]) -> String {
    let deep = columns.iter().map(|c| c.head.len()).max().unwrap_or(1);
    let standing = |column: &Column| {
        let mut lines = vec![String::new(); deep.saturating_sub(column.head.len())];
        lines.extend(column.head.iter().cloned());
        lines.join("\n")
    };
    let heads: Vec<String> = std::iter::once(label)
        .chain(columns)
        .map(standing)
        .collect();
    let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
    let right: Vec<usize> = (1..heads.len()).collect();
    let rows = label.cells.iter().enumerate().map(|(i, what)| {
        let mut row = vec![what.clone()];
        row.extend(columns.iter().map(|c| c.cells[i].clone()));
        row
    });
    terminal::table(&Table::new(&heads, &right, rows), false)
}

/// A thickness with no more decimals than it needs: `5`, `4.8`, `1/4`.
pub(super) fn thickness(mm: f64, unit: Unit) -> String {
    match unit {
        Unit::Cm | Unit::Mm => units::trimmed(mm, 2),
        Unit::In => unit.bench_bare(mm, 2),
    }
}

/// Boards, or what is taken off a roll.
fn boards(m: &Estimate, unit: Unit) -> String {
    if m.roll > 0.0 {
        unit.run(m.roll, 1)
    } else {
        m.boards.to_string()
    }
}

fn span((least, most): hours::Span) -> String {
    format!(
        "{}-{}",
        units::fixed(least / 60.0, 0),
        units::fixed(most / 60.0, 0)
    )
}
