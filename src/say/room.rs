//! What the choices of a room cost, for one body: said beside each question about it.

use crate::form::cost::CLOTH_SPARE;
use crate::form::hours;
use crate::form::hours::Span;
use crate::form::trial::Trial;
use crate::measure::Measure;
use crate::say::amount::{Amount, AmountScale};
use crate::say::materials;
use crate::say::page::{Block, Page};
use crate::say::plan::columns;
use crate::say::table::{Cell, Table, TableRow, cells};
use crate::say::terminal;
use crate::text;
use crate::text::Reader;
use crate::tolerance::SETTLED_LAYER_MM;
use crate::units;
use crate::units::Unit;
use crate::workshop::entry::Asked;
use crate::workshop::family::Laser;
use crate::workshop::material;
use crate::workshop::{Paper, PaperSize, sold};

/// `19 to 42 hours`.
pub(super) fn span((least, most): Span) -> String {
    let whole = |minutes: f64| units::fixed(minutes / 60.0, 0);
    match (whole(least), whole(most)) {
        (a, b) if a == b => format!("{a} hours"),
        (a, b) => format!("{a} to {b} hours"),
    }
}

/// For whom the costs are found.
#[must_use]
pub fn body(trial: &Trial, unit: Unit) -> String {
    let sheet = &trial.body().sheet;
    // Bodies are measured in centimetres, also where boards are in millimetres.
    let unit = if unit == Unit::Mm { Unit::Cm } else { unit };
    let girth = |m| sheet.value(m).map_or_else(String::new, |v| unit.show(v));
    let height = trial.stack.top() - trial.stack.bottom();
    format!(
        "What choices cost is worked out for the form of {}: bust {}, waist {}, hip {}, {} tall.",
        sheet.name,
        girth(Measure::GirthBust),
        girth(Measure::GirthWaist),
        girth(Measure::GirthHip),
        unit.show(height)
    )
}

/// What the choices of a question cost, in lines set in as the conversation is; none where nothing is known of it
/// beforehand.
#[must_use]
pub fn costs(asked: Asked, trial: &Trial, unit: Unit) -> String {
    let table = |table: Table| {
        let page: Page = vec![vec![Block::Table(table)]];
        terminal::page(&page, Reader::of(unit), false)
    };
    let said = |words: String| terminal::wrapped(&words.into(), Reader::of(unit), 2, 2);
    match asked {
        Asked::Unit => String::new(),
        Asked::Material => table(of_materials(trial, unit)),
        Asked::Thickness => table(of_thicknesses(trial, unit)) + &said(true_girths(unit)),
        Asked::Board => table(of_boards(trial, unit)),
        Asked::Machine => said(of_machines(trial)),
        Asked::Paper => table(of_papers(trial, unit)),
        Asked::Padding => said(of_padding(trial, unit)),
        Asked::Pole => said(of_pole(trial)),
    }
}

/// What it all comes to.
#[must_use]
pub fn sum(trial: &Trial, unit: Unit) -> String {
    let room = trial.room();
    let stock = &room.stock[0];
    let pages = trial.pages(std::slice::from_ref(&room.paper));
    let pages = pages.first().copied().flatten();
    let boards = (!stock.roll).then(|| trial.boards(&[(stock.width, stock.length)]));
    let boards = boards.and_then(|all| all.first().copied().flatten());
    let hours = trial.hours(pages.unwrap_or_default());
    let mut parts = vec![text::count(trial.stack.layers.len(), "layer")];
    parts.extend(boards.map(|(boards, _)| text::count(boards, "board")));
    parts.extend(pages.map(|pages| format!("{} of templates", text::count(pages, "page"))));
    parts.push(format!("{} by hand", span(hours.by_hand())));
    parts.extend(
        hours
            .by_machine()
            .map(|laser| format!("{} with a laser", span(laser))),
    );
    parts.push(format!(
        "layers that weigh {}",
        unit.weight(trial.stack.weight(room), 1)
    ));
    format!(
        "{} in this room: {}.",
        trial.body().sheet.name,
        parts.join(", ")
    )
}

/// Materials that anybody may cut, and what is known of each.
fn of_materials(trial: &Trial, unit: Unit) -> Table {
    let own = &trial.room().layer;
    let weight = trial.stack.weight(trial.room());
    let pages = trial.usual_pages();
    let known = material::KNOWN;
    let rows = known
        .iter()
        .filter(|m| m.family.laser != Laser::Never)
        .map(|m| {
            let hours = hours::hours(&[m.name], trial.amounts(pages));
            cells![
                m.name,
                materials::holds(m.pins),
                materials::in_short(m.family.laser),
                Amount::new(
                    weight * m.density / own.density,
                    AmountScale::Weight(unit, 1)
                ),
                span(hours.by_hand()),
            ]
        });
    let weigh = format!("layers weigh, {}", unit.weight_name());
    Table::new(
        &["material", "holds pins", "laser", &weigh, "all by hand"],
        rows,
    )
}

fn of_thicknesses(trial: &Trial, unit: Unit) -> Table {
    let one = format!("one sheet, {}", unit.bench_name());
    let all = trial.thicknesses(trial.usual_pages(), unit).into_iter();
    let rows = all.map(|c| {
        cells![
            columns::thickness(c.thickness, unit),
            Amount::count(c.layers),
            Amount::new(c.cut_length, AmountScale::Run(unit, 0)),
            span(c.hours.by_hand()),
        ]
    });
    let cut = format!("cut, {}", unit.run_name());
    let heads = [&one, "layers", &cut, "all by hand"];
    Table::new(&heads, rows)
}

fn true_girths(unit: Unit) -> String {
    format!(
        "Up to about {} `build` makes every girth come out true; thicker sheets leave wider steps, and some girths \
         miss.",
        unit.rule(SETTLED_LAYER_MM, 0)
    )
}

fn of_boards(trial: &Trial, unit: Unit) -> Table {
    let sizes = sold::boards(&trial.room().layer.material, unit);
    let found = trial.boards(&sizes);
    let side = |mm: f64| unit.rule_bare(mm, 0);
    let rows = sizes
        .iter()
        .zip(found)
        .map(|((width, length), found)| -> TableRow {
            let size = text::together(format!("{} x {}", side(*width), side(*length)));
            match found {
                Some((boards, parts)) => cells![size, Amount::count(boards), Amount::count(parts)],
                None => cells![
                    size,
                    Cell::Instead("too small".into()),
                    Cell::Instead("-".into())
                ],
            }
            .into()
        });
    let size = format!("board, {}", unit.bench_name());
    Table::new(&[&size, "boards", "parts of larger pieces"], rows)
}

fn of_machines(trial: &Trial) -> String {
    let hours = trial.hours(trial.usual_pages());
    let by_hand = format!("By hand ({}): {}. ", hours.tool.name, span(hours.by_hand()));
    let material = &trial.room().layer.material;
    let by_laser = match (hours.by_machine(), material::laser(material)) {
        (Some(laser), Laser::Usual) => format!("With a laser: {}.", span(laser)),
        (Some(laser), _) => format!(
            "With a laser: {}, but only if its owner and the data sheet of {material} both say so.",
            span(laser)
        ),
        (None, _) => format!("No laser may cut {material}."),
    };
    format!(
        "{by_hand}{by_laser} A cutter or a router saves the tracing and marking too; how fast one cuts, its maker says."
    )
}

fn of_papers(trial: &Trial, unit: Unit) -> Table {
    let names: &[&str] = if unit == Unit::In {
        &["Letter", "Ledger", "Arch D", "roll 24 in"]
    } else {
        &["A4", "A3", "A2", "roll 610 mm"]
    };
    let papers: Vec<(&str, Paper)> = names
        .iter()
        .filter_map(|name| {
            let mut paper = trial.room().paper.clone();
            PaperSize::of(name, unit).ok()?.lay_into(&mut paper);
            Some((*name, paper))
        })
        .collect();
    let sheets: Vec<Paper> = papers.iter().map(|(_, paper)| paper.clone()).collect();
    let pages = trial.pages(&sheets);
    let rows = papers
        .iter()
        .zip(pages)
        .map(|((name, _), pages)| -> TableRow {
            match pages {
                Some(pages) => {
                    let hours = trial.hours(pages);
                    cells![*name, Amount::count(pages), span(hours.by_hand())]
                }
                None => cells![
                    *name,
                    Cell::Instead("too small".into()),
                    Cell::Instead("-".into())
                ],
            }
            .into()
        });
    Table::new(&["paper", "pages of templates", "all by hand"], rows)
}

fn of_padding(trial: &Trial, unit: Unit) -> String {
    let area = trial.stack.padded_area() * CLOTH_SPARE;
    let hours = trial.hours(trial.usual_pages());
    format!(
        "A layer of batting and one of cover are {} each to buy, with their spare; to pad takes {}, the cover {}.",
        unit.cloth(area, 1),
        span(hours.padding),
        span(hours.covering)
    )
}

fn of_pole(trial: &Trial) -> String {
    let layers = trial.stack.layers.len();
    let hours = trial.hours(trial.usual_pages());
    format!(
        "A pole is one hole more in each of {}; base and stand take {}.",
        text::count(layers, "layer"),
        span(hours.stand)
    )
}
