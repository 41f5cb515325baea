//! What was made of a body, in numbers: layers, dowels, boards, pages and sums.

use serde::Serialize;

use crate::form::Form;
use crate::form::totals;
use crate::geom::{Outline, Point2};
use crate::layout::Board;
use crate::layout::offcut::Offcut;
use crate::say::json;
use crate::say::json::Rounded;
use crate::stack::dowel_size;
use crate::stack::play::Held;
use crate::stack::wedge::Wedge;
use crate::stack::{Dowel, Layer, Piece, Pole};
use crate::units;
use crate::units::Unit;
use crate::workshop::Workshop;

/// The points of an outline.
type Ring = Vec<[Rounded; 2]>;

fn ring(o: &Outline) -> Ring {
    let point = |p: &Point2| [json::number(p.x), json::number(p.y)];
    o.points.iter().map(point).collect()
}

/// What is cut: an outline with its holes.
#[derive(Serialize)]
struct Shape {
    outline: Ring,
    holes: Vec<Ring>,
    area: Rounded,
}

impl Shape {
    fn new(p: &Piece) -> Self {
        Self {
            outline: ring(&p.outline),
            holes: p.holes.iter().map(|h| ring(&h.ring())).collect(),
            area: json::number(p.area),
        }
    }
}

/// A layer.
#[derive(Serialize)]
pub(super) struct LayerLine<'a> {
    index: usize,
    bottom: Rounded,
    top: Rounded,
    levels: Vec<String>,
    step: Rounded,
    material: &'a str,
    thickness: Rounded,
    density: Rounded,
    pieces: Vec<PieceLine>,
}

/// A piece of it.
#[derive(Serialize)]
struct PieceLine {
    id: String,
    #[serde(flatten)]
    shape: Shape,
}

impl<'a> LayerLine<'a> {
    pub(super) fn new(l: &Layer, workshop: &'a Workshop, zero: f64) -> Self {
        let sheet = workshop.material(l.material);
        let piece = |p: &Piece| PieceLine {
            id: p.id.to_string(),
            shape: Shape::new(p),
        };
        Self {
            index: l.index,
            bottom: json::number(l.bottom - zero),
            top: json::number(l.top - zero),
            levels: l.levels.iter().map(|l| json::level_key(*l)).collect(),
            step: json::number(l.step),
            material: &sheet.material,
            thickness: json::number(sheet.thickness),
            density: json::number(sheet.density),
            pieces: l.pieces.iter().map(piece).collect(),
        }
    }
}

/// A wedge on a ledge.
#[derive(Serialize)]
pub(super) struct WedgeLine {
    id: String,
    on_layer: usize,
    #[serde(flatten)]
    shape: Shape,
}

impl WedgeLine {
    pub(super) fn new(w: &Wedge) -> Self {
        Self {
            id: w.piece.id.to_string(),
            on_layer: w.on,
            shape: Shape::new(&w.piece),
        }
    }
}

/// A part of a piece that is larger than the stock.
#[derive(Serialize)]
pub(super) struct PartLine {
    id: String,
    of: String,
    #[serde(flatten)]
    shape: Shape,
}

impl PartLine {
    pub(super) fn new(p: &Piece) -> Self {
        Self {
            id: p.id.to_string(),
            of: p.id.whole().to_string(),
            shape: Shape::new(p),
        }
    }
}

/// A dowel.
#[derive(Serialize)]
pub(super) struct DowelLine<'a> {
    name: &'a str,
    x: Rounded,
    y: Rounded,
    diameter: Rounded,
    hole: Rounded,
    size: String,
    first_layer: usize,
    last_layer: usize,
    length: Rounded,
}

impl<'a> DowelLine<'a> {
    pub(super) fn new(d: &'a Dowel) -> Self {
        Self {
            name: &d.name,
            x: json::number(d.at.x),
            y: json::number(d.at.y),
            diameter: json::number(d.diameter),
            hole: json::number(d.hole),
            size: dowel_size::size_name(d.diameter),
            first_layer: d.first_layer,
            last_layer: d.last_layer,
            length: json::number(d.length),
        }
    }
}

/// The pole.
#[derive(Serialize)]
pub(super) struct PoleLine {
    x: Rounded,
    y: Rounded,
    diameter: Rounded,
    first_layer: usize,
    last_layer: usize,
}

impl PoleLine {
    pub(super) fn new(pole: &Pole) -> Self {
        Self {
            x: json::number(pole.at.x),
            y: json::number(pole.at.y),
            diameter: json::number(pole.diameter),
            first_layer: pole.first_layer,
            last_layer: pole.last_layer,
        }
    }
}

/// How far layers on the same dowels can twist and shift.
#[derive(Serialize)]
pub(super) struct RunLine {
    first_layer: usize,
    last_layer: usize,
    rods: Vec<String>,
    twist: Rounded,
    shift: Rounded,
    edge: Rounded,
}

impl RunLine {
    pub(super) fn new(h: &Held) -> Self {
        Self {
            first_layer: h.first,
            last_layer: h.last,
            rods: h.dowels.clone(),
            twist: json::number(units::degrees(h.play.twist)),
            shift: json::number(h.play.shift),
            edge: json::number(h.play.edge),
        }
    }
}

/// A board with what lies on it.
#[derive(Serialize)]
pub(super) struct BoardLine {
    stock: usize,
    width: Rounded,
    length: Rounded,
    used_area: Rounded,
    offcut: Option<OffcutLine>,
    pieces: Vec<PlacedLine>,
}

/// The largest rectangle that is left of it.
#[derive(Serialize)]
struct OffcutLine {
    x: Rounded,
    y: Rounded,
    width: Rounded,
    length: Rounded,
    worth_keeping: bool,
}

/// Where a piece lies.
#[derive(Serialize)]
struct PlacedLine {
    id: String,
    x: Rounded,
    y: Rounded,
    turn: Rounded,
}

impl BoardLine {
    pub(super) fn new(b: &Board, left: Option<&Offcut>, unit: Unit) -> Self {
        Self {
            stock: b.stock + 1,
            width: json::number(b.width),
            length: json::number(b.length),
            used_area: json::number(b.used_area),
            offcut: left.map(|left| OffcutLine {
                x: json::number(left.low.x),
                y: json::number(left.low.y),
                width: json::number(left.high.x - left.low.x),
                length: json::number(left.high.y - left.low.y),
                worth_keeping: left.is_worth_keeping(unit),
            }),
            pieces: b
                .placed
                .iter()
                .map(|p| PlacedLine {
                    id: p.piece.to_string(),
                    x: json::number(p.x),
                    y: json::number(p.y),
                    turn: json::number(p.turn_deg),
                })
                .collect(),
        }
    }
}

/// The pages, and how many there would be with other templates.
#[derive(Serialize)]
pub(super) struct Pages<'a> {
    count: usize,
    paper: &'a str,
    width: Rounded,
    height: Rounded,
    outlines: usize,
    fold: bool,
    printed: Option<[Rounded; 2]>,
    counts: Vec<CountLine>,
}

#[derive(Serialize)]
struct CountLine {
    outlines: usize,
    fold: bool,
    pages: usize,
}

impl<'a> Pages<'a> {
    pub(super) fn new(form: &'a Form) -> Self {
        let paper = &form.workshop.paper;
        let counts = form.page_counts.iter().map(|c| CountLine {
            outlines: c.outlines,
            fold: c.fold,
            pages: c.pages,
        });
        Self {
            count: form.pages.len(),
            paper: &paper.name,
            width: json::number(paper.width),
            height: json::number(paper.height),
            outlines: paper.outlines,
            fold: paper.fold,
            printed: paper.printed.map(|(a, b)| [a, b].map(json::number)),
            counts: counts.collect(),
        }
    }
}

/// Sums of everything.
#[derive(Serialize)]
pub(super) struct Sums {
    layers: usize,
    pieces: usize,
    boards: usize,
    board_area: Rounded,
    used_area: Rounded,
    cut_length: Rounded,
    weight: Rounded,
    layer_weight: Rounded,
    rod_weight: Rounded,
    batting_area: Rounded,
    dowel_lengths: Vec<Rounded>,
    dowel_length: Rounded,
    height: Rounded,
    centre_of_weight: Rounded,
    stand_height: Option<Rounded>,
    base_tilt: Rounded,
    base_radius: Rounded,
    off_pole: Rounded,
    pole_length: Option<Rounded>,
    hang_lean: Rounded,
    solid_weight: Rounded,
    pieces_in_openings: usize,
    base_radius_15_degrees: Rounded,
}

impl Sums {
    pub(super) fn new(form: &Form) -> Self {
        let t = totals::totals(form);
        let dowels = form.stack.dowels.iter().map(|d| json::number(d.length));
        Self {
            layers: t.layers,
            pieces: t.pieces,
            boards: t.boards,
            board_area: json::number(t.board_area),
            used_area: json::number(t.used_area),
            cut_length: json::number(t.cut_length),
            weight: json::number(t.layer_weight + t.dowel_weight),
            layer_weight: json::number(t.layer_weight),
            rod_weight: json::number(t.dowel_weight),
            batting_area: json::number(t.batting_area),
            dowel_lengths: dowels.collect(),
            dowel_length: json::number(t.dowel_length),
            height: json::number(t.height),
            centre_of_weight: json::number(t.centre),
            stand_height: t.stand.map(json::number),
            base_tilt: json::number(form.workshop.tilt),
            base_radius: json::number(t.base_radius),
            off_pole: json::number(t.off_pole),
            pole_length: t.pole_length.map(json::number),
            hang_lean: json::number(units::degrees(t.hang_lean)),
            solid_weight: json::number(t.solid_weight),
            pieces_in_openings: t.in_openings,
            base_radius_15_degrees: json::number(t.base_radius_careful),
        }
    }
}

/// The values of the workshop that an outside check needs.
#[derive(Serialize)]
pub(super) struct Room<'a> {
    material: &'a str,
    thickness: Rounded,
    pitch: Rounded,
    density: Rounded,
    padding: Rounded,
    stock: Vec<StockLine>,
}

#[derive(Serialize)]
struct StockLine {
    width: Rounded,
    length: Rounded,
    roll: bool,
    margin: Rounded,
    gap: Rounded,
    kerf: Rounded,
}

impl<'a> Room<'a> {
    pub(super) fn new(form: &'a Form) -> Self {
        let w = &form.workshop;
        let stock = w.stock.iter().map(|s| StockLine {
            width: json::number(s.width),
            length: json::number(s.length),
            roll: s.roll,
            margin: json::number(s.margin),
            gap: json::number(s.gap),
            kerf: json::number(s.kerf),
        });
        Self {
            material: &w.layer.material,
            thickness: json::number(w.layer.thickness),
            pitch: json::number(w.layer.pitch()),
            density: json::number(w.layer.density),
            padding: json::number(form.stack.padding),
            stock: stock.collect(),
        }
    }
}
