//! Thicknesses and materials side by side, before anything is cut.
//!
//! Every choice is built in full, layers, rods, boards and pages, and read with the tape, so its
//! numbers are those that `build` would give.
//!
//! # Why does the plan build every choice in full?
//! Formulas for boards and pages are wrong by a third; a build takes a second. Its numbers are
//! those that `build` gives, and a test holds them to it.

mod columns;

use rayon::prelude::*;
use serde_json::Value;
use serde_json::json;

use crate::asbuilt;
use crate::error::Error;
use crate::layout::split;
use crate::measure::Kind;
use crate::measure::Measure;
use crate::report::Checked;
use crate::report::cost;
use crate::report::facts::PlanFact;
use crate::report::hours;
use crate::report::hours::Amounts;
use crate::report::hours::Hours;
use crate::report::json;
use crate::report::materials;
use crate::report::pipeline;
use crate::report::words;
use crate::stack;
use crate::stack::Stack;
use crate::tape::Reading;
use crate::units;
use crate::units::Unit;
use crate::workshop::Cut;
use crate::workshop::LayerStock;
use crate::workshop::Workshop;
use crate::workshop::material;
use crate::workshop::material::Material;

/// A usual thickness that differs from the workshop's by less than this share is the same choice.
const SAME_THICKNESS: f64 = 0.15;

/// What follows the name of a material that is cut as rings.
const RINGS: &str = ", rings";

/// One choice: a room to build in, and what to call it.
#[derive(Clone, Debug)]
pub struct Choice {
    /// Material, thickness in mm and whether it is hollow, in words.
    pub name: String,
    /// The room.
    pub workshop: Workshop,
}

/// What one choice takes.
#[derive(Clone, Debug)]
pub struct Made {
    /// Number of layers.
    pub layers: usize,
    /// Widest ledge from one layer to the next, mm.
    pub step: f64,
    /// Widest ledge below the armpit, where the trunk's girths are, mm.
    pub trunk_step: f64,
    /// Worst difference of a girth as built from the solid's, mm: layers as sliced, and with their
    /// outlines corrected.
    pub girth: (f64, f64),
    /// Boards, or for a roll the length it takes, mm.
    pub boards: usize,
    /// Length taken off rolls, mm.
    pub roll: f64,
    /// Pages of templates.
    pub pages: usize,
    /// Pages of the proof, the same for all choices.
    pub proof: usize,
    /// Length of all cuts, mm.
    pub cut_length: f64,
    /// Weight of the layers, kg.
    pub weight: f64,
    /// How long it takes.
    pub hours: Hours,
    /// What it costs, where the file gives a price.
    pub cost: Option<f64>,
}

/// At most this many choices are built. Our choice: every material that is known by name, in full layers
/// and in rings, and some minutes of work.
pub const MOST_CHOICES: usize = 200;

/// The choices for a workshop: the materials that it names, hollow and solid where it asks for
/// rings; when it names one only, also the other thicknesses that is sold in. `thicknesses` (mm) and
/// `materials` (names) replace those.
///
/// # Errors
/// [`Error::Request`] when a material is not known, or there are more than [`MOST_CHOICES`].
pub fn choices(
    workshop: &Workshop,
    thicknesses: &[f64],
    materials: &[String],
) -> Result<Vec<Choice>, Error> {
    let mut out = Vec::new();
    let mut add = |layer: LayerStock, of: Option<usize>| {
        let solid = LayerStock {
            hollow: None,
            ..layer.clone()
        };
        let rings = layer.hollow.is_some().then_some(layer);
        for layer in std::iter::once(solid).chain(rings) {
            out.push(choice(workshop, layer, of));
        }
    };
    let known = materials
        .iter()
        .map(|name| {
            material::named(name).ok_or_else(|| {
                let names: Vec<&str> = material::KNOWN.iter().map(|m| m.name).collect();
                Error::request(PlanFact::NoSuchMaterial {
                    name: units::clip(name),
                    known: names,
                })
            })
        })
        .collect::<Result<Vec<&Material>, Error>>()?;
    let named = workshop.other_layers.len() + 1;
    for known in &known {
        let sold = known.thicknesses;
        for thickness in if thicknesses.is_empty() {
            sold
        } else {
            thicknesses
        } {
            let layer = LayerStock {
                material: known.name.into(),
                thickness: *thickness,
                density: known.density,
                ..workshop.layer.clone()
            };
            add(layer, None);
        }
    }
    if known.is_empty() {
        let of_first = |thickness: f64| LayerStock {
            thickness,
            ..workshop.layer.clone()
        };
        if !thicknesses.is_empty() {
            thicknesses.iter().for_each(|t| add(of_first(*t), None));
        } else {
            (0..named).for_each(|i| add(workshop.material(i).clone(), Some(i)));
            if named == 1 {
                let own = workshop.layer.thickness;
                let sold =
                    material::named(&workshop.layer.material).map_or(&[][..], |m| m.thicknesses);
                sold.iter()
                    .filter(|t| (*t / own - 1.0).abs() > SAME_THICKNESS)
                    .for_each(|t| add(of_first(*t), None));
            }
            if workshop.materials_used().len() > 1 {
                out.push(Choice {
                    name: "mixed, as `form.step` asks".into(),
                    workshop: workshop.clone(),
                });
            }
        }
    }
    if out.len() > MOST_CHOICES {
        return Err(Error::request(PlanFact::TooManyChoices {
            choices: out.len(),
            most: MOST_CHOICES,
        }));
    }
    Ok(out)
}

/// One material alone; `of` is its number in the file, when it is one of the file's.
fn choice(workshop: &Workshop, layer: LayerStock, of: Option<usize>) -> Choice {
    let mut alone = workshop.clone();
    if let Some(of) = of {
        let own = workshop.stock_for(of);
        if !own.is_empty() {
            alone.stock = own.iter().map(|i| workshop.stock[*i].clone()).collect();
        }
    }
    for stock in &mut alone.stock {
        stock.of = None;
        if of.is_none() {
            // Nobody said what a board of it costs.
            stock.price = None;
        }
    }
    alone.other_layers = Vec::new();
    alone.step = None;
    let name = format!("{}{}", layer.material, layer.hollow.map_or("", |_| RINGS));
    alone.layer = layer;
    Choice {
        name,
        workshop: alone,
    }
}

/// What every choice takes, or why it cannot be made, in the order of the choices. `tries` is how
/// many repackings of the boards to look at; `done` hears when one of them is made out.
#[must_use]
pub fn plan(
    checked: &Checked,
    choices: &[Choice],
    tries: usize,
    done: &(dyn Fn() + Sync),
) -> Vec<Result<Made, Error>> {
    // The cards are those of the body, whatever it is built of.
    let pages = |choice: &Choice| Ok(pipeline::proof(checked, &choice.workshop)?.len());
    let proof: Option<usize> = choices.first().and_then(|first| pages(first).ok());
    choices
        .par_iter()
        .map(|choice| {
            let made = proof
                .map_or_else(|| pages(choice), Ok)
                .and_then(|proof| made(checked, &choice.workshop, tries, proof));
            done();
            made
        })
        .collect()
}

/// Girths that a level tape reads: the others follow creases.
pub(super) fn is_level(r: &Reading) -> bool {
    r.target.measure.kind() == Kind::Girth
        && !matches!(
            r.target.measure,
            Measure::GirthNeckBase | Measure::GirthArmscye
        )
}

fn worst(checked: &Checked, stack: &Stack) -> f64 {
    let mut readings: Vec<Reading> = checked
        .readings
        .iter()
        .filter(|r| is_level(r))
        .cloned()
        .collect();
    asbuilt::read(stack, &checked.mesh.marks, &mut readings);
    readings
        .iter()
        .filter_map(|r| Some((r.built? - r.solid?).abs() * stack.scale))
        .fold(0.0, f64::max)
}

fn made(checked: &Checked, workshop: &Workshop, tries: usize, proof: usize) -> Result<Made, Error> {
    let name = &checked.sheet.name;
    let plain = stack::blank(&checked.mesh, workshop)?;
    let as_sliced = worst(checked, &plain.stack);
    let (stack, _) = pipeline::stacked(checked, workshop, None)?;
    let corrected = worst(checked, &stack);
    let cut = split::cut_outs(&stack, workshop)?;
    let boards = pipeline::nested(&cut, workshop, tries)?;
    let pages = crate::layout::page::pages(&stack, workshop, name)?;
    let armpit = checked
        .mesh
        .marks
        .levels
        .get(&crate::measure::Level::Armpit)
        .map_or(f64::INFINITY, |z| z * stack.scale);
    let widest = |upto: f64| {
        let below = stack.layers.iter().filter(|l| l.top <= upto);
        below.map(|l| l.step).fold(0.0, f64::max)
    };
    let rolls = boards
        .iter()
        .filter(|b| workshop.stock.get(b.stock).is_some_and(|s| s.roll));
    let rods: f64 = stack.dowels.iter().map(|d| d.length).sum();
    Ok(Made {
        layers: stack.layers.len(),
        step: widest(f64::INFINITY),
        trunk_step: widest(armpit),
        girth: (as_sliced, corrected),
        boards: boards.len(),
        roll: rolls.map(|b| b.length).sum(),
        pages: pages.len(),
        cut_length: stack.cut_length(),
        weight: stack.weight(workshop),
        proof,
        hours: hours::hours(
            &stack.materials_of(workshop),
            Amounts {
                cut_length: stack.cut_length(),
                pieces: stack.piece_count(),
                pages: pages.len(),
                proof,
                layers: stack.layers.len(),
            },
        ),
        cost: cost::cost(workshop, &boards, rods, stack.padded_area()).sum(),
    })
}

/// The plan as text, 80 columns wide.
#[must_use]
pub fn text(checked: &Checked, choices: &[Choice], made: &[Result<Made, Error>]) -> String {
    let first = choices.first().map(|c| &c.workshop);
    let currency = first.map_or("", |w| w.prices.currency.as_str());
    let priced = made.iter().flatten().any(|m| m.cost.is_some());
    let mut out = format!(
        "{}: {} side by side, nothing is written\n",
        checked.sheet.name,
        words::count(choices.len(), "choice")
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
    let built: Vec<(&Choice, &Made)> = choices
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
            let layer = thickness(choice.workshop.layer.thickness, checked.unit);
            let name = checked.unit.bench_name();
            out.push_str(&format!(
                "\n{}, {layer} {name}: cannot be built: {why}\n",
                choice.name
            ));
        }
    }
    let mut notes = vec![
        "corrected: `build` moves the outlines a little until the girths are right. Hours are from \
         least to most, padding and cover with them, drying not; speeds are from memory of the trade.",
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
        out.push_str(&words::paragraph(note, 0));
    }
    out
}

pub(super) fn short(value: f64) -> String {
    units::trimmed(value, 2)
}

/// A thickness with no more decimals than it needs: `5`, `4.8`, `1/4`.
fn thickness(mm: f64, unit: Unit) -> String {
    match unit {
        Unit::Cm | Unit::Mm => short(mm),
        Unit::In => unit.bench_bare(mm, 2),
    }
}

/// The plan as JSON, mm, kg and minutes.
#[must_use]
pub fn json(checked: &Checked, choices: &[Choice], made: &[Result<Made, Error>]) -> Value {
    let number = json::number;
    let span = |s: hours::Span| json!([number(s.0), number(s.1)]);
    let list = choices.iter().zip(made).map(|(c, m)| {
        let layer = &c.workshop.layer;
        let mut value = json!({
            "name": c.name,
            "material": layer.material,
            "thickness": number(layer.thickness),
            "density": number(layer.density),
            "hollow": json::optional(layer.hollow),
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
                "cost": json::optional(m.cost),
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
