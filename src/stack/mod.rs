//! The stack: flat layers of the measured thickness, the rods that hold them, and their marks.

pub mod core;
pub mod dowel;
pub mod hollow;
pub mod layers;
pub mod mark;
mod rays;
mod room;
pub mod slice;
pub mod unlike;

use crate::error::Error;
use crate::error::Finding;
use crate::geom::Outline;
use crate::geom::Point2;
use crate::geom::offset::Region;
use crate::geom::offset::offset;
use crate::measure::Level;
use crate::mesh::Mesh;
use crate::tolerance::OUTLINE_ACCURACY_MM;
use crate::workshop::Workshop;

/// One flat piece to cut.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Unique name: `L012`, or `L012b` for a second loop of the same layer.
    pub id: String,
    /// What is left after cutting (before kerf), in the form's own axes, mm.
    pub outline: Outline,
    /// Openings: dowel and pole holes as polygons, lightening holes, mm, as left after cutting.
    pub holes: Vec<Outline>,
    /// Round holes among the openings: centre and diameter, for drawing and drilling.
    pub rounds: Vec<(Point2, f64)>,
    /// Lines and words to draw on the upper face.
    pub marks: Vec<Mark>,
    /// Net area, mm².
    pub area: f64,
}

/// Something drawn on a piece, in the form's own axes.
#[derive(Clone, Debug, PartialEq)]
pub enum Mark {
    /// A line: centre front, centre back, side lines, the slanting edge mark.
    Line(Vec<Point2>),
    /// Outline of the layer above, drawn dashed, closed.
    Above(Outline),
    /// Words: where (centre of the text), height of the letters in mm, the words.
    Text(Point2, f64, String),
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
    /// The pieces, largest first.
    pub pieces: Vec<Piece>,
    /// Levels that lie in it.
    pub levels: Vec<Level>,
    /// Largest horizontal step from this layer to the next, mm.
    pub step: f64,
}

/// A rod.
#[derive(Clone, Debug, PartialEq)]
pub struct Dowel {
    /// Name: `A`, `B`, ...
    pub name: String,
    /// Where it stands.
    pub at: Point2,
    /// Rod diameter, mm.
    pub diameter: f64,
    /// Hole diameter, mm.
    pub hole: f64,
    /// Lowest layer it crosses (index).
    pub first_layer: usize,
    /// Highest layer it crosses (index).
    pub last_layer: usize,
    /// Length to cut, mm.
    pub length: f64,
}

/// The whole stack.
#[derive(Clone, Debug, PartialEq)]
pub struct Stack {
    /// From the lowest up.
    pub layers: Vec<Layer>,
    /// The rods.
    pub dowels: Vec<Dowel>,
    /// Pole: where, rod diameter, first and last layer it passes through.
    pub pole: Option<(Point2, f64, usize, usize)>,
    /// Outline of the base board.
    pub base: Outline,
    /// Outline of the neck cap plate.
    pub cap: Outline,
    /// Thickness of padding and cover taken off along the normal, mm.
    pub padding: f64,
    /// Height of one layer with its glue line, mm.
    pub pitch: f64,
    /// Scale of the form: 1 or 0.5.
    pub scale: f64,
}

impl Stack {
    /// Number of pieces.
    #[must_use]
    pub fn piece_count(&self) -> usize {
        self.layers.iter().map(|l| l.pieces.len()).sum()
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

    /// Net area of all pieces, mm².
    #[must_use]
    pub fn area(&self) -> f64 {
        self.pieces().map(|p| p.area).sum()
    }

    /// Length of all cuts, outlines and holes, mm.
    #[must_use]
    pub fn cut_length(&self) -> f64 {
        self.pieces()
            .map(|p| p.outline.perimeter() + p.holes.iter().map(Outline::perimeter).sum::<f64>())
            .sum()
    }

    /// Volume of the stack with its glue lines, holes not counted, mm³.
    #[must_use]
    pub fn volume(&self) -> f64 {
        self.area() * self.pitch
    }

    /// Weight of the layers alone, kg, from the thickness and density of the workshop's stock.
    #[must_use]
    pub fn weight(&self, workshop: &Workshop) -> f64 {
        const CUBIC_MM_PER_CUBIC_M: f64 = 1e9;
        self.area() * workshop.layer.thickness / CUBIC_MM_PER_CUBIC_M * workshop.layer.density
    }

    /// Area of the outside of the padded form, ends not counted, mm²: what batting and cover must
    /// cover. The girths of the padded layers, each over its height, and the ledges between them.
    #[must_use]
    pub fn padded_area(&self) -> f64 {
        let round: f64 = self
            .layers
            .iter()
            .flat_map(|l| &l.pieces)
            .map(|p| p.outline.perimeter() + std::f64::consts::TAU * self.padding)
            .sum::<f64>()
            * self.pitch;
        let ledges: f64 = self
            .layers
            .windows(2)
            .map(|w| (gross(&w[0]) - gross(&w[1])).abs())
            .sum();
        round.hypot(ledges)
    }

    /// All pieces, from the lowest layer up.
    pub fn pieces(&self) -> impl Iterator<Item = &Piece> {
        self.layers.iter().flat_map(|l| &l.pieces)
    }
}

fn gross(layer: &Layer) -> f64 {
    layer.pieces.iter().map(|p| p.outline.area()).sum()
}

/// Slices a solid into layers as the workshop's material and machines ask.
///
/// * `workshop.scale` scales the body first; thickness, kerf, rods and padding keep their size. All
///   of the stack, heights too, is then in millimetres of the form as it is cut.
/// * Padding and cover are taken off along the surface normal ([`core`]).
/// * Layers of the measured thickness and the glue line are counted from the neck top down
///   ([`layers`]).
/// * Pole and rods are placed ([`dowel`]), rings opened when the workshop wants them ([`hollow`]),
///   and marks drawn ([`mark`]); `name` goes on every piece.
/// * The base board is the lowest outline, and the neck cap plate the topmost one, each with the
///   padding round it: the padding rests on the board and ends under the cap's edge.
///
/// # Errors
/// [`Error::Stack`] when the solid is not closed, when nothing is left of it at some height, or when
/// no rod fits.
pub fn build(mesh: &Mesh, workshop: &Workshop, name: &str) -> Result<(Stack, Vec<Finding>), Error> {
    let mut findings = Vec::new();
    let scaled;
    let solid = if is_full(workshop.scale) {
        mesh
    } else {
        scaled = enlarged(mesh, workshop.scale);
        &scaled
    };
    let padding = workshop.padding.batting + workshop.padding.cover;
    let pitch = workshop.layer.thickness + workshop.layer.glue_line;
    let slicer = slice::Slicer::new(solid)?;
    let eroder = core::Eroder::new(&slicer, padding);
    let heights = layers::Heights::new(slicer.low(), slicer.high(), pitch)?;
    let mut cut = layers::cut(
        &eroder,
        &heights,
        workshop.layer.cut,
        workshop.scale,
        padding,
        &mut findings,
    )?;
    layers::name_levels(&mut cut, &solid.marks);
    let mut rooms = room::Rooms::new(&cut);
    let pole = workshop.pole.and_then(|diameter| {
        let upto = highest_of_pole(&cut, solid);
        dowel::pole(
            &cut,
            &mut rooms,
            diameter,
            &workshop.dowel,
            upto,
            &mut findings,
        )
    });
    let dowels = dowel::place(&cut, &mut rooms, &workshop.dowel, pole, &mut findings)?;
    if let Some(wall) = workshop.layer.hollow {
        hollow::open(&mut cut, wall, workshop.dowel.edge, &dowels, pole);
    }
    dowel::drill(&mut cut, &dowels, pole, workshop.dowel.clearance);
    let axis = pole.map_or_else(|| plan_centre(&cut), |p| Point2::new(0.0, p.0.y));
    mark::draw(
        &mut cut,
        &mark::Labels {
            name,
            axis,
            bottom: heights.bottom,
            scale: workshop.scale,
        },
    );
    let plate = |layer: Option<&Layer>| {
        layer
            .map(|l| offset(&[Region::solid(l.pieces[0].outline.clone())], padding))
            .and_then(|r| r.into_iter().next())
            .map(|r| r.outer.simplified(OUTLINE_ACCURACY_MM))
            .unwrap_or_default()
    };
    let stack = Stack {
        base: plate(cut.first()),
        cap: plate(cut.last()),
        layers: cut,
        dowels,
        pole,
        padding,
        pitch,
        scale: workshop.scale,
    };
    Ok((stack, findings))
}

/// The core as a closed solid (see [`core`]), in the size of the form as it is cut.
///
/// # Errors
/// [`Error::Stack`] as for [`build`].
pub fn core_mesh(mesh: &Mesh, workshop: &Workshop) -> Result<Mesh, Error> {
    let scaled = enlarged(mesh, workshop.scale);
    let padding = workshop.padding.batting + workshop.padding.cover;
    let slicer = slice::Slicer::new(&scaled)?;
    core::core_solid(&core::Eroder::new(&slicer, padding))
}

fn is_full(scale: f64) -> bool {
    (scale - 1.0).abs() < f64::EPSILON
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
    if let Some((z, within)) = &mut marks.floor {
        *z *= scale;
        *within *= scale;
    }
    marks.stature *= scale;
    out
}

/// The layer the pole goes up to: the one in which the shoulder point lies, or two thirds of the
/// height on a solid without names.
fn highest_of_pole(layers: &[Layer], mesh: &Mesh) -> usize {
    match mesh.marks.levels.get(&Level::ShoulderPoint) {
        Some(z) => layers.iter().take_while(|l| l.bottom <= *z).count(),
        None => layers.len() * 2 / 3,
    }
}

fn plan_centre(layers: &[Layer]) -> Point2 {
    let first = layers.first().map(|l| l.pieces[0].outline.centroid());
    Point2::new(0.0, first.map_or(0.0, |p| p.y))
}
