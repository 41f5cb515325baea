//! What the choices of a room cost, for one body: said beside each question about it.

use serde_json::{Value, json};

use crate::form::cost::CLOTH_SPARE;
use crate::form::hours;
use crate::form::hours::{Hours, Span};
use crate::form::trial::Trial;
use crate::measure::Measure;
use crate::say::amount::{Amount, AmountScale};
use crate::say::json;
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
use crate::workshop::material::Material;
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
    let (table, words) = told(asked, trial, unit);
    let table = table.map(|table| {
        let page: Page = vec![vec![Block::Table(table)]];
        terminal::page(&page, Reader::of(unit), false)
    });
    let words =
        words.map(|words| terminal::wrapped(&words.into(), Reader::of(unit), 2, 2).to_string());
    table.into_iter().chain(words).collect()
}

/// The same as an object: the choices as rows, each with the answer that takes it, and what there is to say.
#[must_use]
pub fn costs_json(asked: Asked, trial: &Trial, unit: Unit) -> Value {
    let (table, words) = told(asked, trial, unit);
    let plain = |cell: &Cell| cell.words().plain(Reader::of(unit));
    let rows = table.iter().flat_map(|table| &table.rows);
    let rows = rows.zip(answers(asked, trial, unit)).map(|(row, answer)| {
        let cells: Vec<String> = row.cells.iter().map(plain).collect();
        json!({ "answer": answer, "cells": cells })
    });
    json!({
        "heads": table.as_ref().map_or(&[][..], |table| &table.heads),
        "rows": rows.collect::<Value>(),
        "words": words,
    })
}

/// What there is to say of a question: its choices as a table, and words.
fn told(asked: Asked, trial: &Trial, unit: Unit) -> (Option<Table>, Option<String>) {
    match asked {
        Asked::Unit => (None, None),
        Asked::Material => (Some(of_materials(trial, unit)), None),
        Asked::Thickness => (Some(of_thicknesses(trial, unit)), Some(true_girths(unit))),
        Asked::Board => (Some(of_boards(trial, unit)), None),
        Asked::Machine => (None, Some(of_machines(trial))),
        Asked::Paper => (Some(of_papers(trial, unit)), None),
        Asked::Padding => (None, Some(of_padding(trial, unit))),
        Asked::Pole => (None, Some(of_pole(trial))),
    }
}

/// What takes each row of the table of a question, in their order; it names its own unit.
fn answers(asked: Asked, trial: &Trial, unit: Unit) -> Vec<String> {
    let material = &trial.room().layer.material;
    match asked {
        Asked::Material => offered().map(|m| m.name.to_owned()).collect(),
        Asked::Thickness => {
            let all = sold::thicknesses(material, unit).into_iter();
            all.map(|t| format!("one {} mm", units::trimmed(t, 3)))
                .collect()
        }
        Asked::Board => {
            let all = sold::boards(material, unit).into_iter();
            all.map(|(width, length)| {
                format!(
                    "{} x {} mm",
                    units::trimmed(width, 3),
                    units::trimmed(length, 3)
                )
            })
            .collect()
        }
        Asked::Paper => papers(unit).iter().map(|&name| name.to_owned()).collect(),
        Asked::Unit | Asked::Machine | Asked::Padding | Asked::Pole => Vec::new(),
    }
}

/// Materials that anybody may cut.
fn offered() -> impl Iterator<Item = &'static Material> {
    let all = material::KNOWN.iter();
    all.filter(|m| m.family.laser != Laser::Never)
}

/// Papers that printers and copy shops have where one measures so.
const fn papers(unit: Unit) -> &'static [&'static str] {
    match unit {
        Unit::In => &["Letter", "Ledger", "Arch D", "roll 24 in"],
        Unit::Mm | Unit::Cm => &["A4", "A3", "A2", "roll 610 mm"],
    }
}

/// What it all comes to.
#[must_use]
pub fn sum(trial: &Trial, unit: Unit) -> String {
    worded(trial, &Sum::of(trial), unit)
}

/// The same as an object: numbers (hours from least to most, kg) and the words.
#[must_use]
pub fn sum_json(trial: &Trial, unit: Unit) -> Value {
    let sum = Sum::of(trial);
    let hours =
        |(least, most): Span| json!([json::number(least / 60.0), json::number(most / 60.0)]);
    json!({
        "layers": sum.layers,
        "boards": sum.boards,
        "pages": sum.pages,
        "hours_by_hand": hours(sum.hours.by_hand()),
        "hours_by_laser": sum.hours.by_machine().map(hours),
        "weight": json::number(sum.weight),
        "words": worded(trial, &sum, unit),
    })
}

/// What a form comes to in a room.
struct Sum {
    layers: usize,
    /// None where it is cut off a roll, or they are too small.
    boards: Option<usize>,
    pages: usize,
    hours: Hours,
    /// Of the layers, kg.
    weight: f64,
}

impl Sum {
    fn of(trial: &Trial) -> Self {
        let room = trial.room();
        let stock = &room.stock[0];
        let boards = (!stock.roll).then(|| trial.boards(&[(stock.width, stock.length)]));
        let boards = boards.and_then(|all| all.first().copied().flatten());
        let pages = trial.usual_pages();
        Self {
            layers: trial.stack.layers.len(),
            boards: boards.map(|(boards, _)| boards),
            pages,
            hours: trial.hours(pages),
            weight: trial.stack.weight(room),
        }
    }
}

fn worded(trial: &Trial, sum: &Sum, unit: Unit) -> String {
    let mut parts = vec![text::count(sum.layers, "layer")];
    parts.extend(sum.boards.map(|boards| text::count(boards, "board")));
    parts.push(format!("{} of templates", text::count(sum.pages, "page")));
    parts.push(format!("{} by hand", span(sum.hours.by_hand())));
    parts.extend(
        sum.hours
            .by_machine()
            .map(|laser| format!("{} with a laser", span(laser))),
    );
    parts.push(format!("layers that weigh {}", unit.weight(sum.weight, 1)));
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
    let rows = offered().map(|m| {
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
    let papers: Vec<(&str, Paper)> = papers(unit)
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
