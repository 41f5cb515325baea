//! The stack: flat layers of the measured thickness, the rods that hold them, and their marks.

use crate::geom::{Outline, Point2};
use crate::measure::Level;

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
