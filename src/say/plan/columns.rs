//! Choices as columns of a table.

use crate::form::hours;
use crate::form::plan::{Choice, Estimate};
use crate::say::amount::{Amount, AmountScale};
use crate::say::table::{Cell, Table, cells};
use crate::units;
use crate::units::Unit;

/// Widest line of a material's name over a column.
const NAME: usize = 10;

/// Every choice as a column.
pub(super) fn table(built: &[(&Choice, &Estimate)], currency: Option<&str>, unit: Unit) -> Table {
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
    let cost = currency.map(|currency| match currency {
        "" => "cost".to_owned(),
        named => format!("cost, {named}"),
    });
    let several = built
        .windows(2)
        .any(|pair| pair[0].0.material != pair[1].0.material);
    let rings = built.iter().any(|(c, _)| c.workshop.layer.hollow.is_some());
    let mut heads = vec![format!("layer, {small}")];
    let mut rows: Vec<Vec<Cell>> = labels
        .into_iter()
        .chain(cost.clone())
        .map(|l| cells![l])
        .collect();
    let rule = |mm: f64| Amount::new(mm, AmountScale::Rule(unit, 0));
    let fine = |mm: f64| Amount::new(mm, AmountScale::Rule(unit, 1));
    for (choice, m) in built {
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
        let mut cells = cells![
            Amount::count(m.layers),
            rule(m.step),
            rule(m.trunk_step),
            fine(m.girth.0),
            fine(m.girth.1),
            boards(m, unit),
            Amount::count(m.pages),
            Amount::count(m.proof),
            Amount::new(m.cut_length, AmountScale::Run(unit, 0)),
            span(m.hours.by_hand()),
            m.hours
                .by_machine()
                .map_or_else(|| "no laser".to_owned(), span),
            Amount::new(m.weight, AmountScale::Weight(unit, 1)),
        ];
        if cost.is_some() {
            let cost = m.cost.map(|c| Amount::new(c, AmountScale::Plain(0)));
            cells.push(Cell::or(cost, "-"));
        }
        heads.push(head.join("\n"));
        for (row, cell) in rows.iter_mut().zip(cells) {
            row.push(cell);
        }
    }
    let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
    Table::new(&heads, rows)
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

/// A thickness with no more decimals than it needs: `5`, `4.8`, `1/4`.
pub(in crate::say) fn thickness(mm: f64, unit: Unit) -> String {
    match unit {
        Unit::Cm | Unit::Mm => units::trimmed(mm, 2),
        Unit::In => unit.bench_bare(mm, 2),
    }
}

/// Boards, or what is taken off a roll.
fn boards(m: &Estimate, unit: Unit) -> Cell {
    if m.roll > 0.0 {
        unit.run(m.roll, 1).into()
    } else {
        Amount::count(m.boards).into()
    }
}

fn span((least, most): hours::Span) -> String {
    format!(
        "{}-{}",
        units::fixed(least / 60.0, 0),
        units::fixed(most / 60.0, 0)
    )
}
