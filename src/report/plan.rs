//! Thicknesses and materials side by side, before anything is cut.
//!
//! Every choice is built in full, layers, rods, boards and pages, and read with the tape, so its
//! numbers are those that `build` would give.

use rayon::prelude::*;
use serde_json::Value;
use serde_json::json;

use crate::asbuilt;
use crate::error::Error;
use crate::measure::Kind;
use crate::measure::Measure;
use crate::report::Checked;
use crate::report::cost;
use crate::report::hours;
use crate::report::hours::Hours;
use crate::report::json;
use crate::report::materials;
use crate::report::pipeline;
use crate::report::tables;
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
    /// Pages of paper.
    pub pages: usize,
    /// Length of all cuts, mm.
    pub cut_length: f64,
    /// Weight of the layers, kg.
    pub weight: f64,
    /// How long it takes.
    pub hours: Hours,
    /// What it costs, where the file gives a price.
    pub cost: Option<f64>,
}

/// The choices for a workshop: the materials that it names, hollow and solid where it asks for
/// rings; when it names one only, also the other thicknesses that is sold in. `thicknesses` (mm) and
/// `materials` (names) replace those.
///
/// # Errors
/// [`Error::Request`] when a material is not known.
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
                Error::Request(format!(
                    "no material is known by the name `{}`: {} are; or name it in a workshop file, \
                     with its `density`",
                    units::clip(name),
                    names.join(", ")
                ))
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
    Ok(out)
}

/// One material alone; `of` is its number in the file, when it is one of the file's.
fn choice(workshop: &Workshop, layer: LayerStock, of: Option<usize>) -> Choice {
    let mut alone = workshop.clone();
    if let Some(of) = of {
        let own = workshop.stock_for(of);
        if !own.is_empty() {
            alone.stock = own.iter().map(|i| workshop.stock[*i].clone()).collect();
            alone.prices.stock = own
                .iter()
                .map(|i| workshop.prices.stock.get(*i).copied().flatten())
                .collect();
        }
    } else {
        // Nobody said what a board of it costs.
        alone.prices.stock = vec![None; alone.stock.len()];
    }
    alone.stock_of = vec![None; alone.stock.len()];
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
/// many repackings of the boards to look at.
#[must_use]
pub fn plan(checked: &Checked, choices: &[Choice], tries: usize) -> Vec<Result<Made, Error>> {
    choices
        .par_iter()
        .map(|choice| made(checked, &choice.workshop, tries))
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

fn made(checked: &Checked, workshop: &Workshop, tries: usize) -> Result<Made, Error> {
    let name = &checked.sheet.name;
    let plain = stack::blank(&checked.mesh, workshop)?;
    let as_sliced = worst(checked, &plain.stack);
    let (stack, _) = pipeline::stacked(checked, workshop, None)?;
    let corrected = worst(checked, &stack);
    let boards = pipeline::nested(&stack, workshop, tries)?;
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
        hours: hours::hours(
            &workshop.layer.material,
            stack.cut_length(),
            stack.piece_count(),
            pages.len(),
            stack.layers.len(),
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
    let mut from = 0;
    while let Some(head) = choices.get(from) {
        let to = from
            + choices[from..]
                .iter()
                .take_while(|c| family(c) == family(head))
                .count();
        out.push_str(&format!(
            "\n{}{}\n",
            family(head),
            materials::traits(&head.workshop.layer.material)
        ));
        let built: Vec<(&Choice, &Made)> = (from..to)
            .filter_map(|i| Some((&choices[i], made.get(i)?.as_ref().ok()?)))
            .collect();
        for side_by_side in built.chunks(MOST_COLUMNS) {
            out.push_str(&columns(
                side_by_side,
                priced.then_some(currency),
                checked.unit,
            ));
        }
        for (choice, made) in choices.iter().zip(made).take(to).skip(from) {
            if let Err(why) = made {
                let layer = thickness(choice.workshop.layer.thickness, checked.unit);
                let name = checked.unit.bench_name();
                out.push_str(&format!("{layer} {name}: cannot be built: {why}\n"));
            }
        }
        from = to;
    }
    out.push_str(
        "\ncorrected: `build` moves the outlines a little until the girths are right. Hours are from\n\
         least to most, padding and cover with them, drying not; speeds are from memory of the\n\
         trade.",
    );
    if choices.iter().any(|c| c.workshop.layer.cut != Cut::Middle) {
        out.push_str(
            "\nLayers cut inside or outside are not corrected: their steps are filled or sanded off.",
        );
    }
    if priced {
        out.push_str(
            "\nCost: stock, dowels and batting with their spare, as far as the workshop gives a price;\n\
             glue, cover, base, cap, pole, stand and paper are not in it.",
        );
    }
    out.push('\n');
    out
}

/// Choices in one table: more do not fit 80 columns.
const MOST_COLUMNS: usize = 6;

/// What is added to the name of a material that is cut as rings.
const RINGS: &str = ", rings";

/// Rings and full layers of one material stand in one table: that is the choice.
fn family(choice: &Choice) -> &str {
    let name = choice.name.as_str();
    name.strip_suffix(RINGS).unwrap_or(name)
}

/// Choices of one material as columns.
fn columns(side_by_side: &[(&Choice, &Made)], currency: Option<&str>, unit: Unit) -> String {
    let small = unit.bench_name();
    type Shown<'a> = Box<dyn Fn(&Choice, &Made) -> String + 'a>;
    let mut rows: Vec<(String, Shown<'_>)> = vec![
        ("layers".into(), Box::new(|_, m| m.layers.to_string())),
        (
            format!("widest step, {small}"),
            Box::new(move |_, m| unit.rule_bare(m.step, 0)),
        ),
        (
            "  below the armpits".into(),
            Box::new(move |_, m| unit.rule_bare(m.trunk_step, 0)),
        ),
        (
            format!("worst girth, {small} off"),
            Box::new(move |_, m| unit.bench_bare(m.girth.0, 1)),
        ),
        (
            "  corrected".into(),
            Box::new(move |_, m| unit.bench_bare(m.girth.1, 1)),
        ),
        ("boards".into(), Box::new(move |_, m| boards(m, unit))),
        ("pages".into(), Box::new(|_, m| m.pages.to_string())),
        (
            format!("cut, {}", unit.run_name()),
            Box::new(move |_, m| unit.run_bare(m.cut_length, 0)),
        ),
        (
            "by hand, hours".into(),
            Box::new(|_, m| span(m.hours.by_hand())),
        ),
        (
            "by machine, hours".into(),
            Box::new(|_, m| span(m.hours.by_machine())),
        ),
        (
            format!("layers weigh, {}", unit.weight_name()),
            Box::new(move |_, m| unit.weight_bare(m.weight, 1)),
        ),
    ];
    if let Some(currency) = currency {
        rows.push((
            format!("cost, {currency}")
                .trim_end_matches([',', ' '])
                .to_owned(),
            Box::new(|_, m| {
                m.cost
                    .map_or_else(|| "-".to_owned(), |c| units::fixed(c, 0))
            }),
        ));
    }
    if side_by_side
        .iter()
        .any(|(c, _)| c.workshop.layer.hollow.is_some())
    {
        let wall = move |c: &Choice, _: &Made| {
            let wall = c.workshop.layer.hollow;
            wall.map_or_else(|| "full".to_owned(), |w| unit.rule_bare(w, 0))
        };
        rows.insert(0, (format!("wall of rings, {small}"), Box::new(wall)));
    }
    let mut heads = vec![format!("layer, {small}")];
    heads.extend(
        side_by_side
            .iter()
            .map(|(c, _)| thickness(c.workshop.layer.thickness, unit)),
    );
    let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
    let right: Vec<usize> = (1..heads.len()).collect();
    let rows = rows.into_iter().map(|(what, shown)| {
        let mut row = vec![what];
        row.extend(side_by_side.iter().map(|(c, m)| shown(c, m)));
        row
    });
    tables::table(&heads, rows, &right)
}

/// Boards, or what is taken off a roll.
fn boards(m: &Made, unit: Unit) -> String {
    if m.roll > 0.0 {
        unit.run(m.roll, 1)
    } else {
        m.boards.to_string()
    }
}

pub(super) fn short(value: f64) -> String {
    let text = units::fixed(value, 2);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A thickness with no more decimals than it needs: `5`, `4.8`, `1/4`.
fn thickness(mm: f64, unit: Unit) -> String {
    match unit {
        Unit::Cm | Unit::Mm => short(mm),
        Unit::In => unit.bench_bare(mm, 2),
    }
}

fn span((least, most): hours::Span) -> String {
    format!(
        "{}-{}",
        units::fixed(least / 60.0, 0),
        units::fixed(most / 60.0, 0)
    )
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
                "cut_length": number(m.cut_length),
                "weight": number(m.weight),
                "minutes_by_hand": span(m.hours.by_hand()),
                "minutes_by_machine": span(m.hours.by_machine()),
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
