//! Thicknesses and materials side by side: as text, and as JSON.

mod columns;

use serde_json::Value;
use serde_json::json;

use crate::error::Error;
use crate::form::Checked;
use crate::form::hours;
use crate::form::plan::{Choice, Estimate};
use crate::say::json;
use crate::say::materials;
use crate::say::terminal;
use crate::text;
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
    let first = choices.first().map(|c| &c.workshop);
    let currency = first.map_or("", |w| w.prices.currency.as_str());
    let priced = made.iter().flatten().any(|m| m.cost.is_some());
    let mut out = format!(
        "{}: {} side by side, nothing is written\n",
        checked.sheet.name,
        text::count(choices.len(), "choice")
    );
    let mut materials: Vec<&str> = Vec::new();
    for choice in choices {
        let name = choice.workshop.layer.material.as_str();
        if !materials.contains(&name) {
            materials.push(name);
            out.push_str(&format!("\n{name}{}", materials::traits(name)));
        }
    }
    out.push('\n');
    let built: Vec<(&Choice, &Estimate)> = choices
        .iter()
        .zip(made)
        .filter_map(|(choice, made)| Some((choice, made.as_ref().ok()?)))
        .collect();
    let (label, columns) = columns::columns(&built, priced.then_some(currency), checked.unit);
    let pairs = choices.iter().any(|c| c.workshop.layer.hollow.is_some());
    for together in columns::tables_of(&label, &columns, if pairs { 2 } else { 1 }) {
        out.push('\n');
        out.push_str(&columns::side_by_side(&label, together));
    }
    for (choice, made) in choices.iter().zip(made) {
        if let Err(why) = made {
            let layer = columns::thickness(choice.workshop.layer.thickness, checked.unit);
            let small = checked.unit.bench_name();
            out.push_str(&format!(
                "\n{}, {layer} {small}: cannot be built: {why}\n",
                name(choice)
            ));
        }
    }
    let mut notes = vec![
        "corrected: `build` moves the outlines a little until the girths are right. Hours run from least to \
         most, with padding and cover but without drying; speeds are from memory of the trade.",
    ];
    if choices.iter().any(|c| c.workshop.layer.cut != Cut::Middle) {
        notes.push(
            "Layers cut inside or outside are not corrected: their steps are filled or sanded off.",
        );
    }
    if priced {
        notes.push(
            "Cost: stock, dowels and batting with their spare, as far as the workshop gives a price; \
             glue, cover, base, cap, pole, stand and paper are not in it.",
        );
    }
    out.push('\n');
    for note in notes {
        out.push_str(&terminal::paragraph(note, 0));
    }
    out
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
