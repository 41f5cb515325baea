//! Thicknesses and materials side by side: as text, and as JSON.

pub(super) mod columns;

use serde::Serialize;
use serde_json::Value;

use crate::error::Error;
use crate::form::Checked;
use crate::form::hours::Span;
use crate::form::plan::{Choice, Estimate};
use crate::say::json;
use crate::say::json::Rounded;
use crate::say::materials;
use crate::say::page::{Block, Page, PageMark};
use crate::say::table::Table;
use crate::say::terminal;
use crate::text;
use crate::text::Reader;
use crate::workshop::Cut;

/// What a choice is called: its material, and whether it is cut as rings.
#[must_use]
pub fn name(choice: &Choice) -> String {
    let rings = if choice.rings { ", rings" } else { "" };
    format!("{}{rings}", choice.material)
}

/// The plan as text, 80 columns wide.
#[must_use]
pub fn text(checked: &Checked, choices: &[Choice], made: &[Result<Estimate, Error>]) -> String {
    let page = page(checked, choices, made);
    terminal::page(&page, Reader::of(checked.unit), false)
}

fn page(checked: &Checked, choices: &[Choice], made: &[Result<Estimate, Error>]) -> Page {
    let unit = checked.unit;
    let first = choices.first().map(|c| &c.workshop);
    let currency = first.map_or("", |w| w.prices.currency.as_str());
    let priced = made.iter().flatten().any(|m| m.cost.is_some());
    let what = format!(
        "{}: {} side by side, nothing is written",
        checked.sheet.name,
        text::count(choices.len(), "choice")
    );
    let mut materials: Vec<&str> = Vec::new();
    for choice in choices {
        let name = choice.workshop.layer.material.as_str();
        if !materials.contains(&name) {
            materials.push(name);
        }
    }
    let materials = materials.into_iter();
    let traits = materials.map(|name| format!("{name}{}", materials::traits(name)).into());
    let built: Vec<(&Choice, &Estimate)> = choices
        .iter()
        .zip(made)
        .filter_map(|(choice, made)| Some((choice, made.as_ref().ok()?)))
        .collect();
    let pairs = choices.iter().any(|c| c.workshop.layer.hollow.is_some());
    let mut page = vec![
        vec![Block::Heading(what.into())],
        vec![Block::List(PageMark::Nothing, traits.collect())],
    ];
    if !built.is_empty() {
        let table = columns::table(&built, priced.then_some(currency), unit);
        page.push(vec![Block::Table(Table {
            together: Some(if pairs { 2 } else { 1 }),
            ..table
        })]);
    }
    for (choice, made) in choices.iter().zip(made) {
        if let Err(why) = made {
            let layer = columns::thickness(choice.workshop.layer.thickness, unit);
            let layer = text::together(format!("{layer} {}", unit.bench_name()));
            let why = why.to_string();
            let not = text![name(choice), ", ", layer, ": cannot be built: ", why];
            page.push(vec![Block::List(PageMark::Nothing, vec![not])]);
        }
    }
    let mut notes = vec![Block::Paragraph(
        "corrected: `build` moves the outlines a little until the girths are right. Hours run from \
         least to most, with padding and cover but without drying; speeds are from memory of the trade."
            .into(),
    )];
    if choices.iter().any(|c| c.workshop.layer.cut != Cut::Middle) {
        notes.push(Block::Paragraph(
            "Layers cut inside or outside are not corrected: their steps are filled or sanded off."
                .into(),
        ));
    }
    if priced {
        notes.push(Block::Paragraph(
            "Cost: stock, dowels and batting with their spare, as far as the workshop gives a price; \
             glue, cover, base, cap, pole, stand and paper are not in it."
                .into(),
        ));
    }
    page.push(notes);
    page
}

/// The plan as JSON: mm, kg and minutes. Names and order of the fields are promised.
#[derive(Serialize)]
struct Numbers<'a> {
    format: u32,
    name: &'a str,
    choices: Vec<ChoiceLine<'a>>,
}

/// A choice, and what it takes or why it cannot be made.
#[derive(Serialize)]
struct ChoiceLine<'a> {
    name: String,
    material: &'a str,
    thickness: Rounded,
    density: Rounded,
    hollow: Option<Rounded>,
    #[serde(flatten)]
    takes: Takes<'a>,
}

#[derive(Serialize)]
#[serde(untagged)]
enum Takes<'a> {
    Refused { refused: String },
    Made(EstimateLine<'a>),
}

#[derive(Serialize)]
struct EstimateLine<'a> {
    layers: usize,
    step: Rounded,
    trunk_step: Rounded,
    girth_as_sliced: Rounded,
    girth_corrected: Rounded,
    boards: usize,
    roll_length: Rounded,
    pages: usize,
    proof_pages: usize,
    cut_length: Rounded,
    weight: Rounded,
    minutes_by_hand: [Rounded; 2],
    minutes_by_machine: Option<[Rounded; 2]>,
    cost: Option<Rounded>,
    currency: &'a str,
}

impl<'a> EstimateLine<'a> {
    fn new(m: &Estimate, currency: &'a str) -> Self {
        let span = |s: Span| [s.0, s.1].map(json::number);
        Self {
            layers: m.layers,
            step: json::number(m.step),
            trunk_step: json::number(m.trunk_step),
            girth_as_sliced: json::number(m.girth.0),
            girth_corrected: json::number(m.girth.1),
            boards: m.boards,
            roll_length: json::number(m.roll),
            pages: m.pages,
            proof_pages: m.proof,
            cut_length: json::number(m.cut_length),
            weight: json::number(m.weight),
            minutes_by_hand: span(m.hours.by_hand()),
            minutes_by_machine: m.hours.by_machine().map(span),
            cost: m.cost.map(json::number),
            currency,
        }
    }
}

/// The plan as JSON.
///
/// # Errors
/// [`Error::Format`] if the values cannot be written as JSON.
pub fn json(
    checked: &Checked,
    choices: &[Choice],
    made: &[Result<Estimate, Error>],
) -> Result<Value, Error> {
    let list = choices.iter().zip(made).map(|(c, m)| {
        let layer = &c.workshop.layer;
        ChoiceLine {
            name: name(c),
            material: &layer.material,
            thickness: json::number(layer.thickness),
            density: json::number(layer.density),
            hollow: layer.hollow.map(json::number),
            takes: match m {
                Err(why) => Takes::Refused {
                    refused: why.to_string(),
                },
                Ok(m) => Takes::Made(EstimateLine::new(m, &c.workshop.prices.currency)),
            },
        }
    });
    json::value(&Numbers {
        format: json::FORMAT,
        name: &checked.sheet.name,
        choices: list.collect(),
    })
}
