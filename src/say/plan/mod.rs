//! Thicknesses and materials side by side: as text, and as JSON.

pub(super) mod columns;

use serde_json::Value;
use serde_json::json;

use crate::error::Error;
use crate::form::Checked;
use crate::form::hours;
use crate::form::plan::{Choice, Estimate};
use crate::say::json;
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

/// The plan as JSON, mm, kg and minutes.
#[must_use]
pub fn json(checked: &Checked, choices: &[Choice], made: &[Result<Estimate, Error>]) -> Value {
    let number = json::number;
    let span = |s: hours::Span| json!([number(s.0), number(s.1)]);
    let list = choices.iter().zip(made).map(|(c, m)| {
        let layer = &c.workshop.layer;
        let mut value = json!({
            "name": name(c),
            "material": layer.material,
            "thickness": number(layer.thickness),
            "density": number(layer.density),
            "hollow": layer.hollow.map(json::number),
        });
        let more = match m {
            Err(why) => json!({ "refused": why.to_string() }),
            Ok(m) => json!({
                "layers": m.layers,
                "step": number(m.step),
                "trunk_step": number(m.trunk_step),
                "girth_as_sliced": number(m.girth.0),
                "girth_corrected": number(m.girth.1),
                "boards": m.boards,
                "roll_length": number(m.roll),
                "pages": m.pages,
                "proof_pages": m.proof,
                "cut_length": number(m.cut_length),
                "weight": number(m.weight),
                "minutes_by_hand": span(m.hours.by_hand()),
                "minutes_by_machine": m.hours.by_machine().map(span),
                "cost": m.cost.map(json::number),
                "currency": c.workshop.prices.currency,
            }),
        };
        if let (Some(value), Value::Object(more)) = (value.as_object_mut(), more) {
            value.extend(more);
        }
        value
    });
    json!({
        "format": json::FORMAT,
        "name": checked.sheet.name,
        "choices": list.collect::<Value>(),
    })
}
