//! A form in numbers: `form.json`, and the object that `check --json` prints of a sheet.

use serde_json::{Map, Value, json};

use crate::error::Error;
use crate::form::totals;
use crate::form::totals::Totals;
use crate::form::{Checked, Form};
use crate::geom::Outline;
use crate::imprint;
use crate::layout::Board;
use crate::layout::offcut::Offcut;
use crate::measure::Kind;
use crate::mesh::Mesh;
use crate::say::json;
use crate::say::json::Rounded;
use crate::say::words;
use crate::sheet::{Sheet, Target};
use crate::stack;
use crate::stack::dowel_size;
use crate::stack::play;
use crate::stack::{Piece, Stack};
use crate::tape::{Reading, Verdict};
use crate::units;
use crate::units::Unit;
use crate::workshop::Workshop;

fn outline(o: &Outline) -> Vec<[Rounded; 2]> {
    o.points
        .iter()
        .map(|p| [json::number(p.x), json::number(p.y)])
        .collect()
}

fn holes(piece: &Piece) -> Vec<Vec<[Rounded; 2]>> {
    piece.holes.iter().map(|h| outline(&h.ring())).collect()
}

/// A reading; as built only where a form has been built.
fn measure(r: &Reading, with_built: bool) -> Value {
    let Target {
        measure,
        side,
        value,
        ..
    } = r.target;
    let shown = |v: f64| json::value_of(measure, v);
    let apart = |v: Option<f64>| v.map(|v| shown(v - value));
    let mut map = Map::new();
    let mut put = |key: &str, value: Value| map.insert(key.into(), value);
    put("key", json!(side.key_of(measure)));
    put("name", json!(measure.info().title.of(r.figure)));
    put("unit", json!(json::unit(measure)));
    put("asked", json!(shown(value)));
    put("origin", json!(json::origin(r.target.origin)));
    put("plus_minus", json!(shown(r.target.plus_minus)));
    put("solid", json!(r.solid.map(shown)));
    if with_built {
        put("built", json!(r.built.map(shown)));
    }
    put("difference", json!(apart(r.solid)));
    if with_built {
        put("built_difference", json!(apart(r.built)));
    }
    put("tolerance", json!(shown(r.tolerance)));
    let within = r.solid.map(|s| (s - value).abs() <= r.tolerance);
    put("within_tolerance", json!(within));
    let verdict = match r.verdict {
        Verdict::Met => "met",
        Verdict::Missed => "missed",
        Verdict::Estimated => "estimated",
        Verdict::NotOnForm => "not on the form",
    };
    put("verdict", json!(verdict));
    put("reason", json!(r.reason));
    Value::Object(map)
}

fn levels(mesh: &Mesh, zero: f64) -> Value {
    let mut map = Map::new();
    for (level, z) in &mesh.marks.levels {
        map.insert(json::level_key(*level), json!(json::number(z - zero)));
    }
    Value::Object(map)
}

/// Where the floor is, or a seat: what heights are counted from.
fn ground(at: Option<(f64, f64)>, sheet: &Sheet, zero: f64) -> Value {
    let given = sheet.given.iter().any(|g| g.measure.kind() == Kind::Height);
    at.map_or(Value::Null, |(z, plus_minus)| {
        json!({
            "value": json::number(z - zero),
            "origin": if given { "given" } else { "estimated" },
            "plus_minus": json::number(plus_minus),
        })
    })
}

/// Fields that `form.json` and `check --json` share. `zero` is the height, in the program's axes,
/// that the file calls 0.
fn shared(checked: &Checked, mesh: &Mesh, zero: f64, with_built: bool) -> Map<String, Value> {
    let mut map = Map::new();
    let measures = checked.readings.iter().map(|r| measure(r, with_built));
    map.insert("measures".into(), measures.collect());
    map.insert("findings".into(), json::findings(&checked.findings));
    map.insert("levels".into(), levels(mesh, zero));
    let marks = &mesh.marks;
    map.insert("floor_z".into(), ground(marks.floor, &checked.sheet, zero));
    if marks.seat.is_some() {
        map.insert("seat_z".into(), ground(marks.seat, &checked.sheet, zero));
    }
    map.insert("unsure".into(), json!(json::number(checked.fit.unsure)));
    let next = checked.fit.next.iter().map(|a| {
        json!({
            "key": a.measure.key(),
            "name": a.measure.info().title.of(checked.sheet.figure),
            "unsure": json::number(a.unsure),
        })
    });
    map.insert("next".into(), next.collect());
    let again = checked.fit.again.iter().map(|m| json!(m.key()));
    map.insert("again".into(), again.collect());
    map.insert(
        "fit".into(),
        json!({
            "ending": checked.fit.ending.name(),
            "iterations": checked.fit.iterations,
            "worst_misfit": json::number(checked.fit.worst_misfit),
        }),
    );
    map
}

/// The whole of `form.json`.
///
/// # Errors
/// [`Error::Format`] if the values cannot be written as JSON.
pub fn form(form: &Form) -> Result<String, Error> {
    let zero = totals::underside(form);
    let sums = totals::totals(form);
    let mut map = heading(&form.checked);
    map.insert("scale".into(), json!(json::number(form.stack.scale)));
    map.insert("axes".into(), json!(AXES));
    map.extend(shared(&form.checked, &form.solid, zero, true));
    map.insert("first_to_cut".into(), json!(form.stack.first_to_cut));
    map.insert("layers".into(), layers(form, zero));
    map.insert("wedges".into(), wedges(&form.stack));
    map.insert("dowels".into(), dowels(&form.stack));
    map.insert("pole".into(), pole(&form.stack));
    map.insert("play".into(), plays(form));
    map.insert("parts".into(), parts(form));
    let boards = form.boards.iter().zip(&form.offcuts);
    let boards = boards.map(|(b, left)| board(b, left.as_ref(), form.checked.unit));
    map.insert("boards".into(), boards.collect());
    map.insert(
        "pages".into(),
        json!({
            "count": form.pages.len(),
            "paper": form.workshop.paper.name,
            "width": json::number(form.workshop.paper.width),
            "height": json::number(form.workshop.paper.height),
            "outlines": form.workshop.paper.outlines,
            "fold": form.workshop.paper.fold,
            "printed": form.workshop.paper.printed.map(|(a, b)| [json::number(a), json::number(b)]),
            "counts": form.page_counts.iter().map(|c| json!({
                "outlines": c.outlines,
                "fold": c.fold,
                "pages": c.pages,
            })).collect::<Vec<_>>(),
        }),
    );
    map.insert("totals".into(), sum(form, &sums));
    map.insert("workshop".into(), room(form));
    json::text(&Value::Object(map))
}

/// What `check --json` prints for one sheet. Heights are as `build` would give them with the same
/// workshop.
///
/// # Errors
/// [`Error::Stack`] when the workshop's layers are too thick or too thin to make a form of it.
pub fn check(checked: &Checked, workshop: &Workshop) -> Result<Value, Error> {
    let solid = stack::enlarged(&checked.mesh, workshop.scale);
    let zero = stack::underside(&checked.mesh, workshop)?;
    let mut map = heading(checked);
    map.insert("scale".into(), json!(json::number(workshop.scale)));
    map.insert("axes".into(), json!(AXES));
    map.extend(shared(checked, &solid, zero, false));
    Ok(Value::Object(map))
}

/// What the file's axes are, for whoever reads it without this program.
const AXES: &str =
    "mm; x to the wearer's right, y to the front, z up; z = 0 at the underside of layer 1";

fn heading(checked: &Checked) -> Map<String, Value> {
    let sheet = &checked.sheet;
    let mut map = Map::new();
    map.insert("format".into(), json!(json::FORMAT));
    map.insert("program".into(), json!(imprint::PROGRAM));
    map.insert(
        "body".into(),
        json!(imprint::of_shape(&checked.mesh.vertices)),
    );
    map.insert("name".into(), json!(sheet.name));
    map.insert("sheet".into(), json!(words::file_name(&sheet.file)));
    map.insert("taken".into(), json!(sheet.taken));
    map.insert("taken_by".into(), json!(sheet.taken_by));
    map.insert("sheet_unit".into(), json!(sheet.unit.name()));
    map
}

/// The parts of pieces that are larger than the stock.
fn parts(form: &Form) -> Value {
    form.cut
        .iter()
        .map(|c| &c.piece)
        .filter(|p| p.id.part.is_some())
        .map(|p| {
            json!({
                "id": p.id.to_string(),
                "of": p.id.whole().to_string(),
                "outline": outline(&p.outline),
                "holes": holes(p),
                "area": json::number(p.area),
            })
        })
        .collect()
}

fn layers(form: &Form, zero: f64) -> Value {
    let layers = form.stack.layers.iter().map(|l| {
        let material = form.workshop.material(l.material);
        let pieces = l.pieces.iter().map(|p| {
            json!({
                "id": p.id.to_string(),
                "outline": outline(&p.outline),
                "holes": holes(p),
                "area": json::number(p.area),
            })
        });
        json!({
            "index": l.index,
            "bottom": json::number(l.bottom - zero),
            "top": json::number(l.top - zero),
            "levels": l.levels.iter().map(|l| json::level_key(*l)).collect::<Vec<_>>(),
            "step": json::number(l.step),
            "material": material.material,
            "thickness": json::number(material.thickness),
            "density": json::number(material.density),
            "pieces": pieces.collect::<Value>(),
        })
    });
    layers.collect()
}

fn wedges(stack: &Stack) -> Value {
    let wedges = stack.wedges.iter().map(|w| {
        json!({
            "id": w.piece.id.to_string(),
            "on_layer": w.on,
            "outline": outline(&w.piece.outline),
            "holes": holes(&w.piece),
            "area": json::number(w.piece.area),
        })
    });
    wedges.collect()
}

fn dowels(stack: &Stack) -> Value {
    let dowels = stack.dowels.iter().map(|d| {
        json!({
            "name": d.name,
            "x": json::number(d.at.x),
            "y": json::number(d.at.y),
            "diameter": json::number(d.diameter),
            "hole": json::number(d.hole),
            "size": dowel_size::size_name(d.diameter),
            "first_layer": d.first_layer,
            "last_layer": d.last_layer,
            "length": json::number(d.length),
        })
    });
    dowels.collect()
}

/// How far layers on the same dowels can twist and shift.
fn plays(form: &Form) -> Value {
    let held = play::held(&form.stack, form.workshop.dowel.clearance);
    let runs = held.iter().map(|h| {
        json!({
            "first_layer": h.first,
            "last_layer": h.last,
            "rods": h.dowels,
            "twist": json::number(units::degrees(h.play.twist)),
            "shift": json::number(h.play.shift),
            "edge": json::number(h.play.edge),
        })
    });
    runs.collect()
}

fn pole(stack: &Stack) -> Value {
    stack.pole.map_or(Value::Null, |pole| {
        json!({
            "x": json::number(pole.at.x),
            "y": json::number(pole.at.y),
            "diameter": json::number(pole.diameter),
            "first_layer": pole.first_layer,
            "last_layer": pole.last_layer,
        })
    })
}

fn board(b: &Board, left: Option<&Offcut>, unit: Unit) -> Value {
    let pieces = b.placed.iter().map(|p| {
        json!({ "id": p.piece.to_string(), "x": json::number(p.x), "y": json::number(p.y), "turn": json::number(p.turn_deg) })
    });
    json!({
        "stock": b.stock + 1,
        "width": json::number(b.width),
        "length": json::number(b.length),
        "used_area": json::number(b.used_area),
        "offcut": left.map_or(Value::Null, |left| json!({
            "x": json::number(left.low.x),
            "y": json::number(left.low.y),
            "width": json::number(left.high.x - left.low.x),
            "length": json::number(left.high.y - left.low.y),
            "worth_keeping": left.is_worth_keeping(unit),
        })),
        "pieces": pieces.collect::<Value>(),
    })
}

fn sum(form: &Form, t: &Totals) -> Value {
    let dowels = form.stack.dowels.iter().map(|d| json::number(d.length));
    json!({
        "layers": t.layers,
        "pieces": t.pieces,
        "boards": t.boards,
        "board_area": json::number(t.board_area),
        "used_area": json::number(t.used_area),
        "cut_length": json::number(t.cut_length),
        "weight": json::number(t.layer_weight + t.dowel_weight),
        "layer_weight": json::number(t.layer_weight),
        "rod_weight": json::number(t.dowel_weight),
        "batting_area": json::number(t.batting_area),
        "dowel_lengths": dowels.collect::<Vec<_>>(),
        "dowel_length": json::number(t.dowel_length),
        "height": json::number(t.height),
        "centre_of_weight": json::number(t.centre),
        "stand_height": t.stand.map(json::number),
        "base_tilt": json::number(form.workshop.tilt),
        "base_radius": json::number(t.base_radius),
        "off_pole": json::number(t.off_pole),
        "pole_length": t.pole_length.map(json::number),
        "hang_lean": json::number(units::degrees(t.hang_lean)),
        "solid_weight": json::number(t.solid_weight),
        "pieces_in_openings": t.in_openings,
        "base_radius_15_degrees": json::number(t.base_radius_careful),
    })
}

/// The values of the workshop that an outside check needs.
fn room(form: &Form) -> Value {
    let w = &form.workshop;
    let stock = w.stock.iter().map(|s| {
        json!({
            "width": json::number(s.width),
            "length": json::number(s.length),
            "roll": s.roll,
            "margin": json::number(s.margin),
            "gap": json::number(s.gap),
            "kerf": json::number(s.kerf),
        })
    });
    json!({
        "material": w.layer.material,
        "thickness": json::number(w.layer.thickness),
        "pitch": json::number(w.layer.pitch()),
        "density": json::number(w.layer.density),
        "padding": json::number(form.stack.padding),
        "stock": stock.collect::<Value>(),
    })
}
