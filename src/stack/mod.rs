//! The stack: flat layers of the measured thickness, the dowels that hold them, and their marks.
//!
//! # Why take padding off before cutting?
//! Whatever lies on the outside adds 2π times its thickness to every girth, whatever the shape.
//!
//! # Why prisms of the measured thickness?
//! That is what is cut. Nominal thickness lies by several per cent, which is centimetres over a
//! hundred layers.

pub mod asymmetry;
pub mod core;
mod courses;
pub mod dowel;
mod dowel_places;
mod dowel_room;
pub mod dowel_size;
mod facts;
pub mod hollow;
mod layers;
mod make;
pub mod mark;
mod piece;
pub mod play;
pub mod proof;
mod rays;
pub mod rods;
pub mod slice;
pub mod wedge;
mod writing;

use rayon::prelude::*;

use crate::geom::offset::{Region, offset};
use crate::geom::{Outline, Point2, Point3, Vector2};
use crate::measure::{Figure, Level};
use crate::mesh::Mesh;
use crate::workshop::Workshop;

use wedge::Wedge;

/// Rays along which the cover is measured from one layer to the next: chords of one degree are short
/// by less than 0.01 %.
const STRIPS: usize = 360;

pub use facts::StackFact;
pub use make::Blank;
pub use make::Pile;
pub use make::blank;
pub use make::build;
pub use make::core_mesh;
pub use make::finish;
pub use make::restarted;
pub use make::underside;
pub use piece::CutFor;
pub use piece::Hole;
pub use piece::Piece;
pub use piece::PieceId;
pub use piece::Through;

/// Whose words on a piece are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tells {
    /// Which way it lies, on every piece: FRONT, LEFT, RIGHT, THIS SIDE UP.
    Way,
    /// Which piece it is: lists call it by the same.
    Which,
    /// The form, on every piece.
    Form,
    /// What no other piece need say.
    Own,
}

/// Words on a piece.
#[derive(Clone, Debug, PartialEq)]
pub struct Inscription {
    /// Their middle.
    pub at: Point2,
    /// Height of the letters, mm.
    pub size: f64,
    /// The direction they run in, radians; 0 is along x.
    pub turn: f64,
    /// What they say.
    pub text: String,
    /// Whose they are.
    pub tells: Tells,
    /// What they are about, where that is a place on the piece.
    pub about: Option<Point2>,
}

impl Inscription {
    /// Level words of the piece's own.
    #[must_use]
    pub fn new(at: Point2, size: f64, text: impl Into<String>) -> Self {
        Self {
            at,
            size,
            turn: 0.0,
            text: text.into(),
            tells: Tells::Own,
            about: None,
        }
    }
}

/// Something drawn on a piece, in the form's own axes.
#[derive(Clone, Debug, PartialEq)]
pub enum Mark {
    /// A line: centre front, centre back, side lines, the slanting edge mark.
    Line(Vec<Point2>),
    /// Outline of the layer above, drawn dashed, closed.
    Above(Outline),
    /// Words.
    Text(Inscription),
    /// An arrow from tail to tip: the front.
    Arrow(Point2, Point2),
}

/// One layer.
#[derive(Clone, Debug, PartialEq)]
pub struct Layer {
    /// 1 is the lowest.
    pub index: usize,
    /// Underside, mm, `z = 0` at the natural waist.
    pub bottom: f64,
    /// Upper side, mm.
    pub top: f64,
    /// What it is cut from: number of a material of the workshop.
    pub material: usize,
    /// The pieces, largest first.
    pub pieces: Vec<Piece>,
    /// Levels that lie in it.
    pub levels: Vec<Level>,
    /// Largest horizontal step from this layer to the next, mm.
    pub step: f64,
}

impl Layer {
    /// Height with its glue line, mm.
    #[must_use]
    pub fn height(&self) -> f64 {
        self.top - self.bottom
    }

    /// Net area of its pieces, mm².
    #[must_use]
    pub fn area(&self) -> f64 {
        self.pieces.iter().map(|p| p.area).sum()
    }
}

/// A dowel.
#[derive(Clone, Debug, PartialEq)]
pub struct Dowel {
    /// Name: `A`, `B`, ...
    pub name: String,
    /// Where it stands.
    pub at: Point2,
    /// Dowel diameter, mm.
    pub diameter: f64,
    /// Hole diameter, mm.
    pub hole: f64,
    /// Lowest layer it crosses (index).
    pub first_layer: usize,
    /// Highest layer it crosses (index).
    pub last_layer: usize,
    /// Length to cut, mm.
    pub length: f64,
    /// Length that was cut first, where it stands in a pile that is there already, mm.
    pub earlier: Option<f64>,
}

/// The pole.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pole {
    /// Where it stands.
    pub at: Point2,
    /// Its diameter, mm.
    pub diameter: f64,
    /// Lowest layer it passes through (index).
    pub first_layer: usize,
    /// Highest layer it passes through (index).
    pub last_layer: usize,
    /// Up to where it was cut first, where it stands in a pile that is there already, mm from the waist.
    pub earlier: Option<f64>,
}

impl Pole {
    /// Whether it passes through this layer.
    #[must_use]
    pub fn passes(&self, layer: usize) -> bool {
        (self.first_layer..=self.last_layer).contains(&layer)
    }
}

/// The whole stack.
#[derive(Clone, Debug, PartialEq)]
pub struct Stack {
    /// From the lowest up.
    pub layers: Vec<Layer>,
    /// The dowels.
    pub dowels: Vec<Dowel>,
    /// The pole, where there is one.
    pub pole: Option<Pole>,
    /// Where centre lines and side lines cross on the pieces that it lies in ([`mark::cross`]).
    pub axis: Point2,
    /// Wedges for wide ledges, where the workshop asks for them; not among the layers' pieces.
    pub wedges: Vec<Wedge>,
    /// Outline of the base board.
    pub base: Outline,
    /// Outline of the neck cap plate.
    pub cap: Outline,
    /// Thickness of padding and cover taken off along the normal, mm.
    pub padding: f64,
    /// Scale of the form: 1 or 0.5.
    pub scale: f64,
    /// Lowest layer that is still to be cut: 1, or more where a pile of layers is there already.
    pub first_to_cut: usize,
    /// Whose figure it is: what its levels are called.
    pub figure: Figure,
    /// The imprint of the body that it is cut from.
    pub body: String,
}

impl Stack {
    /// Numbers of the materials that layers are cut from, as [`Workshop::material`] counts them.
    #[must_use]
    pub fn materials(&self) -> Vec<usize> {
        let mut used: Vec<usize> = self.layers.iter().map(|l| l.material).collect();
        used.sort_unstable();
        used.dedup();
        used
    }

    /// Their names in `workshop`.
    #[must_use]
    pub fn materials_of<'w>(&self, workshop: &'w Workshop) -> Vec<&'w str> {
        let name = |i: usize| workshop.material(i).material.as_str();
        self.materials().into_iter().map(name).collect()
    }

    /// Number of pieces that are still to be cut, wedges with them.
    #[must_use]
    pub fn piece_count(&self) -> usize {
        self.to_cut().count()
    }

    /// Number of round holes in them.
    #[must_use]
    pub fn hole_count(&self) -> usize {
        self.to_cut().map(|(_, piece)| piece.rounds().count()).sum()
    }

    /// Layers of a pile that is there already, from the lowest up; mostly none.
    #[must_use]
    pub fn piled(&self) -> &[Layer] {
        let piled = self.first_to_cut.saturating_sub(1).min(self.layers.len());
        &self.layers[..piled]
    }

    /// Underside of the lowest layer, mm from the waist.
    #[must_use]
    pub fn bottom(&self) -> f64 {
        self.layers.first().map_or(0.0, |l| l.bottom)
    }

    /// Upper side of the topmost layer, mm from the waist.
    #[must_use]
    pub fn top(&self) -> f64 {
        self.layers.last().map_or(0.0, |l| l.top)
    }

    /// Net area of all pieces and wedges that are still to be cut, mm².
    #[must_use]
    pub fn area(&self) -> f64 {
        self.to_cut().map(|(_, p)| p.area).sum()
    }

    /// Length of all cuts that are still to be made, outlines and holes of pieces and wedges, mm.
    #[must_use]
    pub fn cut_length(&self) -> f64 {
        self.to_cut()
            .map(|(_, p)| {
                let holes = p.holes.iter().map(|h| h.ring().perimeter());
                p.outline.perimeter() + holes.sum::<f64>()
            })
            .sum()
    }

    /// Volume of the stack with its glue lines, holes not counted, mm³.
    #[must_use]
    pub fn volume(&self) -> f64 {
        self.layers.iter().map(|l| l.area() * l.height()).sum()
    }

    /// Weight of the layers alone, kg, from the thickness and density of the workshop's stock.
    #[must_use]
    pub fn weight(&self, workshop: &Workshop) -> f64 {
        const CUBIC_MM_PER_CUBIC_M: f64 = 1e9;
        self.layers
            .iter()
            .map(|l| {
                let material = workshop.material(l.material);
                l.area() * material.thickness / CUBIC_MM_PER_CUBIC_M * material.density
            })
            .sum()
    }

    /// Middle of the weight of the layers: in plan, and its height, mm.
    #[must_use]
    pub fn centre_of_weight(&self, workshop: &Workshop) -> (Point2, f64) {
        let (mut weight, mut plan, mut height) = (0.0, Vector2::zeros(), 0.0);
        for layer in &self.layers {
            let material = workshop.material(layer.material);
            let heavy = material.thickness * material.density;
            let middle = f64::midpoint(layer.bottom, layer.top);
            for piece in &layer.pieces {
                let mut add = |shape: &Outline, sign: f64| {
                    let own = sign * shape.area() * heavy;
                    weight += own;
                    plan += shape.centroid().coords * own;
                    height += middle * own;
                };
                add(&piece.outline, 1.0);
                piece.holes.iter().for_each(|h| add(&h.ring(), -1.0));
            }
        }
        if weight > 0.0 {
            (Point2::from(plan / weight), height / weight)
        } else {
            (Point2::origin(), 0.0)
        }
    }

    /// Area of the outside of the padded form, ends not counted, mm²: what batting and cover must
    /// cover. The cover is pulled tight, so it slopes from each layer to the next, over a wedge as over
    /// a bare ledge: from the middle of one layer straight to the middle of the next, each place of the
    /// one to the place of the other in the same direction; on a cone that is the cone.
    #[must_use]
    pub fn padded_area(&self) -> f64 {
        let padded: Vec<Option<Outline>> = self
            .layers
            .par_iter()
            .map(|layer| {
                let [piece] = layer.pieces.as_slice() else {
                    return None;
                };
                let grown = offset(&[Region::solid(piece.outline.clone())], self.padding);
                grown.into_iter().next().map(|r| r.outer)
            })
            .collect();
        let directions = core::evenly_round(STRIPS);
        let strips: Vec<f64> = (1..self.layers.len())
            .into_par_iter()
            .map(|k| {
                let (a, b) = (&self.layers[k - 1], &self.layers[k]);
                let rise = f64::midpoint(a.height(), b.height());
                let sloping = match (&padded[k - 1], &padded[k]) {
                    (Some(below), Some(above)) => strip(below, above, rise, &directions),
                    _ => None,
                };
                // Of several pieces side by side the slope is taken to be the same all round.
                sloping.unwrap_or_else(|| {
                    let girth = f64::midpoint(self.padded_girth(a), self.padded_girth(b));
                    libm::hypot(girth * rise, self.padded_gross(a) - self.padded_gross(b))
                })
            })
            .collect();
        let ends: f64 = [self.layers.first(), self.layers.last()]
            .into_iter()
            .flatten()
            .map(|l| self.padded_girth(l) * l.height() / 2.0)
            .sum();
        strips.iter().sum::<f64>() + ends
    }

    /// Girth of a layer with its padding on, mm (Steiner's formula; dents make it a little less).
    fn padded_girth(&self, layer: &Layer) -> f64 {
        layer
            .pieces
            .iter()
            .map(|p| p.outline.perimeter() + std::f64::consts::TAU * self.padding)
            .sum()
    }

    /// Area inside that girth, mm² (Steiner's formula).
    fn padded_gross(&self, layer: &Layer) -> f64 {
        let corners = std::f64::consts::PI * self.padding * self.padding;
        layer
            .pieces
            .iter()
            .map(|p| p.outline.area() + p.outline.perimeter() * self.padding + corners)
            .sum()
    }

    /// The layers that are still to be cut: all, unless a pile of them is there already.
    #[must_use]
    pub fn layers_to_cut(&self) -> &[Layer] {
        &self.layers[self.piled().len()..]
    }

    /// All that is cut from stock and still to be cut: pieces and wedges of these layers' materials.
    pub fn to_cut(&self) -> impl Iterator<Item = (usize, &Piece)> {
        let layers = self
            .layers_to_cut()
            .iter()
            .flat_map(|l| l.pieces.iter().map(|p| (l.material, p)));
        // A wedge is as thick as the layer beside it, the one above that which it lies on.
        let wedges = self.wedges.iter().filter_map(|w| {
            let beside = self.layers.get(w.on)?;
            Some((beside.material, &w.piece))
        });
        layers.chain(wedges)
    }

    /// All pieces of the layers, from the lowest layer up.
    pub fn pieces(&self) -> impl Iterator<Item = &Piece> {
        self.layers.iter().flat_map(|l| &l.pieces)
    }
}

/// The solid with all that is named on it, enlarged about the origin.
#[must_use]
pub fn enlarged(mesh: &Mesh, scale: f64) -> Mesh {
    let mut out = mesh.clone();
    for v in &mut out.vertices {
        *v *= scale;
    }
    let marks = &mut out.marks;
    for z in marks.levels.values_mut() {
        *z *= scale;
    }
    for p in marks.landmarks.values_mut() {
        *p *= scale;
    }
    for p in marks.rim.iter_mut().flatten() {
        *p *= scale;
    }
    for p in marks.neck_base.iter_mut().chain(&mut marks.pole) {
        *p *= scale;
    }
    marks.neck_centre *= scale;
    for (z, within) in marks.floor.iter_mut().chain(&mut marks.seat) {
        *z *= scale;
        *within *= scale;
    }
    marks.stature *= scale;
    out
}

/// Area of what is stretched between two outlines, `rise` mm apart in height, along rays from the
/// middle of the upper one; nothing where a ray misses one of them.
fn strip(below: &Outline, above: &Outline, rise: f64, directions: &[Vector2]) -> Option<f64> {
    let centre = above.centroid();
    let ring = |outline: &Outline, z: f64| -> Option<Vec<Point3>> {
        let radii = outline.rays(centre, directions).into_iter();
        radii
            .zip(directions)
            .map(|(r, e)| r.map(|r| Point3::new(e.x * r, e.y * r, z)))
            .collect()
    };
    let (low, high) = (ring(below, 0.0)?, ring(above, rise)?);
    let n = low.len();
    let corners = (0..n).map(|k| (low[k], low[(k + 1) % n], high[k], high[(k + 1) % n]));
    let halves = |(a, b, c, d): (Point3, Point3, Point3, Point3)| {
        (b - a).cross(&(d - a)).norm() + (d - a).cross(&(c - a)).norm()
    };
    Some(corners.map(halves).sum::<f64>() / 2.0)
}
