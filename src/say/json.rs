//! Everything in numbers: `form.json`, and the object that `check --json` prints.
//!
//! Millimetres, degrees, kilograms and square millimetres; three decimals. The format number at the
//! top rises when a field changes its meaning or goes away, never when one is added.

use serde::{Serialize, Serializer};
use serde_json::{Map, Value, json};

use crate::error::{Error, Finding, Severity};
use crate::fact::Field;
use crate::form::FormFact;
use crate::form::totals;
use crate::form::totals::Totals;
use crate::form::{Checked, Form};
use crate::geom::Outline;
use crate::imprint;
use crate::layout::Board;
use crate::layout::offcut::Offcut;
use crate::measure::{Kind, Level, Measure};
use crate::mesh::Mesh;
use crate::say::words;
use crate::sheet::Origin;
use crate::sheet::Sheet;
use crate::sheet::Target;
use crate::stack;
use crate::stack::Piece;
use crate::stack::Stack;
use crate::stack::play;
use crate::stack::rod;
use crate::tape::{Reading, Verdict};
use crate::units;
use crate::workshop::Workshop;

/// Version of the format of `form.json` and of `check --json`.
pub const FORMAT: u32 = 1;

/// A number that is written with three decimals; what is not finite becomes null.
#[derive(Clone, Copy, Debug)]
pub(super) struct Rounded(f64);

impl Serialize for Rounded {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let rounded = (self.0 * 1000.0).round() / 1000.0;
        if rounded.is_finite() {
            // Adding zero turns -0 into 0.
            to.serialize_f64(rounded + 0.0)
        } else {
            to.serialize_none()
        }
    }
}

/// A number of three decimals.
pub(super) const fn number(value: f64) -> Rounded {
    Rounded(value)
}

fn outline(o: &Outline) -> Vec<[Rounded; 2]> {
    o.points
        .iter()
        .map(|p| [number(p.x), number(p.y)])
        .collect()
}

fn holes(piece: &Piece) -> Vec<Vec<[Rounded; 2]>> {
    piece.holes.iter().map(|h| outline(&h.ring())).collect()
}

/// The unit in which a measurement's numbers are written.
pub(super) const fn unit(measure: Measure) -> &'static str {
    match measure.kind() {
        Kind::Slope => "degrees",
        _ => "mm",
    }
}

/// A value of a measurement (mm or radians) in that unit.
pub(super) fn value_of(measure: Measure, value: f64) -> Rounded {
    number(match measure.kind() {
        Kind::Slope => units::degrees(value),
        _ => value,
    })
}

/// Who says so, as a word.
pub(super) const fn origin(origin: Origin) -> &'static str {
    match origin {
        Origin::Given => "given",
        Origin::Estimated => "estimated",
    }
}

/// A reading; as built only where a form has been built.
fn measure(r: &Reading, with_built: bool) -> Value {
    let Target {
        measure,
        side,
        value,
        ..
    } = r.target;
    let shown = |v: f64| value_of(measure, v);
    let apart = |v: Option<f64>| v.map(|v| shown(v - value));
    let mut map = Map::new();
    let mut put = |key: &str, value: Value| map.insert(key.into(), value);
    put("key", json!(side.key_of(measure)));
    put("name", json!(measure.title()));
    put("unit", json!(unit(measure)));
    put("asked", json!(shown(value)));
    put("origin", json!(origin(r.target.origin)));
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

fn finding(f: &Finding) -> Value {
    json!({
        "severity": match f.severity {
            Severity::Note => "note",
            Severity::Warning => "warning",
            Severity::Refusal => "refusal",
        },
        "measure": f.measure.map(Measure::key),
        "message": f.message(),
        "hint": if f.hint().is_empty() { Value::Null } else { json!(f.hint()) },
        "file": f.place.as_ref().map(|p| words::file_name(&p.file)),
        "line": f.place.as_ref().map(|p| p.line),
        "fact": f.fact.name(),
        "fields": fields(f),
    })
}

/// What the sentence of a finding was made of: lengths in mm, angles in radians.
fn fields(f: &Finding) -> Value {
    let named = f.fact.fields().into_iter();
    Value::Object(
        named
            .map(|(name, f)| (name.to_owned(), field(&f)))
            .collect(),
    )
}

fn field(of: &Field) -> Value {
    match of {
        Field::Nothing => Value::Null,
        Field::Number(v) => json!(number(*v)),
        Field::Count(n) => json!(n),
        Field::Truth(b) => json!(b),
        Field::Word(w) => json!(w),
        Field::List(all) => all.iter().map(field).collect(),
    }
}

/// Findings as a JSON array, for a sheet that is refused.
#[must_use]
pub fn findings(list: &[Finding]) -> Value {
    Value::Array(list.iter().map(finding).collect())
}

/// Name of a level as a key: `top_hip`.
pub(super) fn level_key(level: Level) -> String {
    level.name().replace(' ', "_")
}

fn levels(mesh: &Mesh, zero: f64) -> Value {
    let mut map = Map::new();
    for (level, z) in &mesh.marks.levels {
        map.insert(level_key(*level), json!(number(z - zero)));
    }
    Value::Object(map)
}

fn floor(mesh: &Mesh, sheet: &Sheet, zero: f64) -> Value {
    let given = sheet.given.iter().any(|g| g.measure.kind() == Kind::Height);
    mesh.marks.floor.map_or(Value::Null, |(z, plus_minus)| {
        json!({
            "value": number(z - zero),
            "origin": if given { "given" } else { "estimated" },
            "plus_minus": number(plus_minus),
        })
    })
}

/// Fields that `form.json` and `check --json` share. `zero` is the height, in the program's axes,
/// that the file calls 0.
fn shared(checked: &Checked, mesh: &Mesh, zero: f64, with_built: bool) -> Map<String, Value> {
    let mut map = Map::new();
    let measures = checked.readings.iter().map(|r| measure(r, with_built));
    map.insert("measures".into(), measures.collect());
    map.insert("findings".into(), findings(&checked.findings));
    map.insert("levels".into(), levels(mesh, zero));
    map.insert("floor_z".into(), floor(mesh, &checked.sheet, zero));
    map.insert("unsure".into(), json!(number(checked.fit.unsure)));
    let next = checked.fit.next.iter().map(|a| {
        json!({
            "key": a.measure.key(),
            "name": a.measure.title(),
            "unsure": number(a.unsure),
        })
    });
    map.insert("next".into(), next.collect());
    map.insert(
        "fit".into(),
        json!({
            "ending": checked.fit.ending.name(),
            "iterations": checked.fit.iterations,
            "worst_misfit": number(checked.fit.worst_misfit),
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
    map.insert("scale".into(), json!(number(form.stack.scale)));
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
    map.insert("boards".into(), boards.map(board).collect());
    map.insert(
        "pages".into(),
        json!({
            "count": form.pages.len(),
            "paper": form.workshop.paper.name,
            "width": number(form.workshop.paper.width),
            "height": number(form.workshop.paper.height),
            "outlines": form.workshop.paper.outlines,
            "fold": form.workshop.paper.fold,
            "printed": form.workshop.paper.printed.map(|(a, b)| [number(a), number(b)]),
            "counts": form.page_counts.iter().map(|c| json!({
                "outlines": c.outlines,
                "fold": c.fold,
                "pages": c.pages,
            })).collect::<Vec<_>>(),
        }),
    );
    map.insert("totals".into(), sum(form, &sums));
    map.insert("workshop".into(), room(form));
    text(&Value::Object(map))
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
    map.insert("scale".into(), json!(number(workshop.scale)));
    map.insert("axes".into(), json!(AXES));
    map.extend(shared(checked, &solid, zero, false));
    Ok(Value::Object(map))
}

/// What `check --json` prints for a sheet that is refused.
#[must_use]
pub fn refused(file: &str, list: &[Finding]) -> Value {
    json!({
        "format": FORMAT,
        "file": file,
        "refused": true,
        "findings": findings(list),
    })
}

/// JSON on several lines, the numbers of a point on one.
///
/// # Errors
/// [`Error::Format`] if the values cannot be written as JSON.
pub fn text(value: &Value) -> Result<String, Error> {
    let mut out = String::new();
    write(value, 0, &mut out)?;
    out.push('\n');
    Ok(out)
}

/// The same text as one member of a list on several lines, without a line break at its end.
///
/// # Errors
/// As [`text`].
pub fn text_in_list(value: &Value) -> Result<String, Error> {
    let mut out = "  ".to_owned();
    write(value, 1, &mut out)?;
    Ok(out)
}

fn write(value: &Value, depth: usize, out: &mut String) -> Result<(), Error> {
    let inner = "  ".repeat(depth + 1);
    match value {
        Value::Object(map) if !map.is_empty() => {
            out.push_str("{\n");
            for (i, (key, v)) in map.iter().enumerate() {
                out.push_str(if i == 0 { "" } else { ",\n" });
                out.push_str(&inner);
                out.push_str(&compact(&json!(key))?);
                out.push_str(": ");
                write(v, depth + 1, out)?;
            }
            out.push('\n');
            out.push_str(&inner[2..]);
            out.push('}');
        }
        Value::Array(list) if list.iter().any(Value::is_object) || is_nested(list) => {
            out.push_str("[\n");
            for (i, v) in list.iter().enumerate() {
                out.push_str(if i == 0 { "" } else { ",\n" });
                out.push_str(&inner);
                write(v, depth + 1, out)?;
            }
            out.push('\n');
            out.push_str(&inner[2..]);
            out.push(']');
        }
        flat => out.push_str(&compact(flat)?),
    }
    Ok(())
}

/// A list of outlines, which are lists of points: one outline a line.
fn is_nested(list: &[Value]) -> bool {
    list.iter()
        .any(|v| v.as_array().is_some_and(|v| v.iter().any(Value::is_array)))
}

fn compact(value: &Value) -> Result<String, Error> {
    serde_json::to_string(value).map_err(|e| FormFact::no_numbers(&e))
}

/// What the file's axes are, for whoever reads it without this program.
const AXES: &str =
    "mm; x to the wearer's right, y to the front, z up; z = 0 at the underside of layer 1";

fn heading(checked: &Checked) -> Map<String, Value> {
    let sheet = &checked.sheet;
    let mut map = Map::new();
    map.insert("format".into(), json!(FORMAT));
    map.insert("program".into(), json!(imprint::PROGRAM));
    map.insert(
        "body".into(),
        json!(imprint::of_shape(&checked.mesh.vertices)),
    );
    map.insert("name".into(), json!(sheet.name));
    map.insert("sheet".into(), json!(words::file_name(&sheet.file)));
    map.insert("taken".into(), json!(sheet.taken));
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
                "area": number(p.area),
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
                "area": number(p.area),
            })
        });
        json!({
            "index": l.index,
            "bottom": number(l.bottom - zero),
            "top": number(l.top - zero),
            "levels": l.levels.iter().map(|l| level_key(*l)).collect::<Vec<_>>(),
            "step": number(l.step),
            "material": material.material,
            "thickness": number(material.thickness),
            "density": number(material.density),
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
            "area": number(w.piece.area),
        })
    });
    wedges.collect()
}

fn dowels(stack: &Stack) -> Value {
    let dowels = stack.dowels.iter().map(|d| {
        json!({
            "name": d.name,
            "x": number(d.at.x),
            "y": number(d.at.y),
            "diameter": number(d.diameter),
            "hole": number(d.hole),
            "size": rod::size_name(d.diameter),
            "first_layer": d.first_layer,
            "last_layer": d.last_layer,
            "length": number(d.length),
        })
    });
    dowels.collect()
}

/// How far layers on the same rods can twist and shift.
fn plays(form: &Form) -> Value {
    let held = play::held(&form.stack, form.workshop.dowel.clearance);
    let runs = held.iter().map(|h| {
        json!({
            "first_layer": h.first,
            "last_layer": h.last,
            "rods": h.rods,
            "twist": number(units::degrees(h.play.twist)),
            "shift": number(h.play.shift),
            "edge": number(h.play.edge),
        })
    });
    runs.collect()
}

fn pole(stack: &Stack) -> Value {
    stack
        .pole
        .map_or(Value::Null, |(at, diameter, first, last)| {
            json!({
                "x": number(at.x),
                "y": number(at.y),
                "diameter": number(diameter),
                "first_layer": first,
                "last_layer": last,
            })
        })
}

fn board((b, left): (&Board, &Option<Offcut>)) -> Value {
    let pieces = b.placed.iter().map(|p| {
        json!({ "id": p.piece.to_string(), "x": number(p.x), "y": number(p.y), "turn": number(p.turn_deg) })
    });
    json!({
        "stock": b.stock + 1,
        "width": number(b.width),
        "length": number(b.length),
        "used_area": number(b.used_area),
        "offcut": left.map_or(Value::Null, |left| json!({
            "x": number(left.low.x),
            "y": number(left.low.y),
            "width": number(left.high.x - left.low.x),
            "length": number(left.high.y - left.low.y),
            "worth_keeping": left.is_worth_keeping(),
        })),
        "pieces": pieces.collect::<Value>(),
    })
}

fn sum(form: &Form, t: &Totals) -> Value {
    let dowels = form.stack.dowels.iter().map(|d| number(d.length));
    json!({
        "layers": t.layers,
        "pieces": t.pieces,
        "boards": t.boards,
        "board_area": number(t.board_area),
        "used_area": number(t.used_area),
        "cut_length": number(t.cut_length),
        "weight": number(t.layer_weight + t.rod_weight),
        "layer_weight": number(t.layer_weight),
        "rod_weight": number(t.rod_weight),
        "batting_area": number(t.batting_area),
        "dowel_lengths": dowels.collect::<Vec<_>>(),
        "dowel_length": number(t.dowel_length),
        "height": number(t.height),
        "centre_of_weight": number(t.centre),
        "stand_height": t.stand.map(number),
        "base_tilt": number(form.workshop.tilt),
        "base_radius": number(t.base_radius),
        "off_pole": number(t.off_pole),
        "pole_length": t.pole_length.map(number),
        "hang_lean": number(units::degrees(t.hang_lean)),
        "solid_weight": number(t.solid_weight),
        "pieces_in_openings": t.in_openings,
        "base_radius_15_degrees": number(t.base_radius_careful),
    })
}

/// The values of the workshop that an outside check needs.
fn room(form: &Form) -> Value {
    let w = &form.workshop;
    let stock = w.stock.iter().map(|s| {
        json!({
            "width": number(s.width),
            "length": number(s.length),
            "roll": s.roll,
            "margin": number(s.margin),
            "gap": number(s.gap),
            "kerf": number(s.kerf),
        })
    });
    json!({
        "material": w.layer.material,
        "thickness": number(w.layer.thickness),
        "pitch": number(w.layer.pitch()),
        "density": number(w.layer.density),
        "padding": number(form.stack.padding),
        "stock": stock.collect::<Value>(),
    })
}
