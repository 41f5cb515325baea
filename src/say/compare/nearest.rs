//! A body beside systems of sizes.

use crate::compare::{Body, Nearer, Nearest};
use crate::measure::{Measure, Side};
use crate::say::amount::{Amount, AmountScale};
use crate::say::compare::{apart_cells, apart_in, apart_names, apart_words, title, value};
use crate::say::page::{Block, Page, PageMark};
use crate::say::table::{Cell, Table, cells};
use crate::say::terminal;
use crate::text;
use crate::text::{Reader, Text};
use crate::units::Unit;

/// A body beside systems of sizes, for a terminal.
#[must_use]
pub fn sizes(body: &Body, nearest: &[Nearest], nearer: &[Vec<Nearer>], unit: Unit) -> String {
    let others = |i: usize| nearer.get(i).map_or(&[][..], Vec::as_slice);
    let mut page: Page = nearest
        .iter()
        .enumerate()
        .flat_map(|(i, n)| one(body, n, others(i), unit))
        .collect();
    let mut mains: Vec<String> = nearest
        .iter()
        .map(|n| title(n.main, Side::Both, n.figure))
        .collect();
    mains.dedup();
    let legend = format!(
        "lengths in {}; {}: the body less the size; between: the {} between the sizes that \
         goes with the same measurement; ~ estimated; sizes are measurements of bodies, not of \
         garments",
        unit.plural(),
        apart_names(unit),
        mains.join(" or ")
    );
    page.push(vec![Block::Note(legend.into())]);
    terminal::page(&page, Reader::of(unit), false)
}

/// The same beside one system.
fn one(body: &Body, n: &Nearest, nearer: &[Nearer], unit: Unit) -> Page {
    let what = format!("{} beside {}", body.name, n.system);
    let mut head = vec![Block::Heading(what.into())];
    if let Some((column, apart)) = &n.column {
        let apart = apart.map(|mm| {
            let apart = apart_words(Measure::HeightStature, mm, unit);
            text!["; stature ", apart, " from it"]
        });
        let column = text::typed(column.clone());
        head.push(Block::Note(text![
            "looked along the column ",
            column,
            apart
        ]));
    }
    if n.other_waist {
        head.push(Block::Note(
            "its waist is not the sheet's waist: waists are left out".into(),
        ));
    }
    let rows = n.levels.iter().map(|l| {
        let between = l.between.map(|mm| Amount::new(mm, AmountScale::Tape(unit)));
        let mut cells = cells![
            title(l.measure, Side::Both, n.figure),
            value(l.measure, l.value, l.origin, unit),
            &l.size,
        ];
        cells.extend(apart_cells(l.measure, l.apart, unit));
        cells.extend(cells![Cell::or(between, "beyond")]);
        cells
    });
    let mut heads = vec!["by", "body", "nearest"];
    heads.extend(apart_in(unit).iter().map(|unit| unit.name()));
    heads.push("between");
    let table = Table::new(&heads, rows);
    let picks = n.picks.iter().map(|p| {
        let apart = p.apart.iter().map(|(m, mm)| {
            text![
                title(*m, Side::Both, n.figure),
                " ",
                apart_words(*m, *mm, unit)
            ]
        });
        let size = format!(
            "for a {}, by the {}: {}:{}; there the body has ",
            p.for_a.name(),
            title(p.by, Side::Both, n.figure),
            n.system,
            p.size
        );
        text![size, Text::joined(apart, ", ")]
    });
    let mut picks: Vec<Text> = picks.collect();
    picks.extend(nearer.iter().map(|other| elsewhere(n, other, unit)));
    vec![
        head,
        vec![Block::Table(table)],
        vec![Block::List(PageMark::Nothing, picks)],
    ]
}

/// What another system has that is nearer.
fn elsewhere(n: &Nearest, other: &Nearer, unit: Unit) -> Text {
    let levels = other.levels.iter().map(|(measure, size, [apart, than])| {
        text![
            "at the ",
            title(*measure, Side::Both, n.figure),
            " ",
            text::typed(format!("{}:{size}", other.system)),
            ", where the body has ",
            apart_words(*measure, *apart, unit),
            " instead of ",
            apart_words(*measure, *than, unit)
        ]
    });
    text![
        "nearer than any size of ",
        n.system.clone(),
        ": ",
        Text::joined(levels, "; ")
    ]
}
