//! Thicknesses and materials side by side, before anything is cut.
//!
//! Every choice is built in full, layers, dowels and boards, its pages are counted, and it is read with the tape, so its
//! numbers are those that `build` would give.
//!
//! # Why does the plan build every choice in full?
//! Formulas for boards and pages are wrong by a third; a build takes a second. Its numbers are
//! those that `build` gives, and a test holds them to it.

use rayon::prelude::*;

use crate::asbuilt;
use crate::error::Error;
use crate::form::Checked;
use crate::form::build;
use crate::form::cost;
use crate::form::facts::PlanFact;
use crate::form::hours;
use crate::form::hours::{Amounts, Hours};
use crate::layout::page;
use crate::layout::split;
use crate::stack;
use crate::stack::Stack;
use crate::tape::Reading;
use crate::units;
use crate::workshop::material;
use crate::workshop::material::Material;
use crate::workshop::sold;
use crate::workshop::{LayerStock, Workshop};

/// A usual thickness that differs from the workshop's by less than this share is the same choice.
const SAME_THICKNESS: f64 = 0.15;

/// One choice: a room to build in, and what to call it.
#[derive(Clone, Debug)]
pub struct Choice {
    /// What it is made of, in words.
    pub material: String,
    /// Whether its layers are cut as rings.
    pub rings: bool,
    /// The room.
    pub workshop: Workshop,
}

/// What one choice takes.
#[derive(Clone, Debug)]
pub struct Estimate {
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
    let unit = workshop.paper.unit;
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
        let sold = sold::thicknesses(known.name, unit);
        for thickness in if thicknesses.is_empty() {
            &sold
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
                sold::thicknesses(&workshop.layer.material, unit)
                    .into_iter()
                    .filter(|t| (t / own - 1.0).abs() > SAME_THICKNESS)
                    .for_each(|t| add(of_first(t), None));
            }
            if workshop.materials_used().len() > 1 {
                out.push(Choice {
                    material: "mixed, as `form.step` asks".into(),
                    rings: false,
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
    alone.layer = layer;
    Choice {
        material: alone.layer.material.clone(),
        rings: alone.layer.hollow.is_some(),
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
) -> Vec<Result<Estimate, Error>> {
    // The cards are those of the body, whatever it is built of.
    let pages = |choice: &Choice| Ok(build::proof(checked, &choice.workshop)?.len());
    let proof: Option<usize> = choices.first().and_then(|first| pages(first).ok());
    choices
        .par_iter()
        .map(|choice| {
            let made = proof
                .map_or_else(|| pages(choice), Ok)
                .and_then(|proof| estimate(checked, &choice.workshop, tries, proof));
            done();
            made
        })
        .collect()
}

fn worst(checked: &Checked, stack: &Stack) -> f64 {
    let mut readings: Vec<Reading> = checked
        .readings
        .iter()
        .filter(|r| build::is_level(r))
        .cloned()
        .collect();
    asbuilt::read(stack, &checked.mesh.marks, &mut readings);
    readings
        .iter()
        .filter_map(|r| Some((r.built? - r.solid?).abs() * stack.scale))
        .fold(0.0, f64::max)
}

fn estimate(
    checked: &Checked,
    workshop: &Workshop,
    tries: usize,
    proof: usize,
) -> Result<Estimate, Error> {
    let name = &checked.sheet.name;
    let mut workshop = workshop.clone();
    workshop.paper.unit = checked.unit;
    let workshop = &workshop;
    let plain = stack::blank(&checked.mesh, workshop)?;
    let as_sliced = worst(checked, &plain.stack);
    let (stack, _) = build::stacked(checked, workshop, None)?;
    let corrected = worst(checked, &stack);
    let cut = split::cut_outs(&stack, workshop)?;
    let boards = build::nested(&cut, workshop, tries)?;
    let pages = page::count(&stack, workshop, name)?;
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
    let dowels: f64 = stack.dowels.iter().map(|d| d.length).sum();
    Ok(Estimate {
        layers: stack.layers.len(),
        step: widest(f64::INFINITY),
        trunk_step: widest(armpit),
        girth: (as_sliced, corrected),
        boards: boards.len(),
        roll: rolls.map(|b| b.length).sum(),
        pages,
        cut_length: stack.cut_length(),
        weight: stack.weight(workshop),
        proof,
        hours: hours::hours(
            &stack.materials_of(workshop),
            Amounts {
                cut_length: stack.cut_length(),
                pieces: stack.piece_count(),
                holes: stack.hole_count(),
                dowels: stack.dowels.len(),
                pages,
                proof,
                layers: stack.layers.len(),
                stands: 1,
            },
        ),
        cost: cost::cost(workshop, &boards, dowels, stack.padded_area()).sum(),
    })
}
