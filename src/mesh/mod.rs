//! The solid: closed triangles, with the named levels, points and curves that a tape needs.

mod axes;
mod build;
mod crossing;
mod faces;
mod facts;
mod faults;
mod lines;
mod loft;
pub mod obj;
mod properties;
mod refine;
mod sample;
mod section;
pub mod stl;
mod tree;
mod weld;

use std::collections::BTreeMap;

use crate::geom::Point3;
use crate::measure::{Figure, Landmark, Level};

pub use axes::Axis;
pub use build::build;
pub use crossing::Crossings;
pub use facts::MeshFact;
pub use loft::Grid;
pub use sample::Sampled;
pub use section::{Slicer, section, section_where};

/// Names on the solid, so that nothing after it need know how the surface was made.
#[derive(Clone, Debug, Default)]
pub struct Marks {
    /// Heights by name, mm, `z = 0` at the natural waist.
    pub levels: BTreeMap<Level, f64>,
    /// Points by name, lying on the solid.
    pub landmarks: BTreeMap<Landmark, Point3>,
    /// Rim of the arm plates, left then right: closed curves in the plane of each plate, lying on
    /// the solid, first point not repeated.
    pub rim: [Vec<Point3>; 2],
    /// Where neck and shoulders meet: closed curve, first point not repeated.
    pub neck_base: Vec<Point3>,
    /// Where the axis of the neck meets the plane of the neck girth.
    pub neck_centre: Point3,
    /// How far the axis of the neck leans forward from the vertical, radians. The plane of the neck
    /// girth is square to it: its normal is `(0, sin, cos)` of this angle.
    pub neck_lean: f64,
    /// The pole about which every horizontal section is star-shaped: points with z rising, straight
    /// between them.
    pub pole: Vec<Point3>,
    /// Height of the floor, and its 95 % half-width, where it is known.
    pub floor: Option<(f64, f64)>,
    /// The same of the seat, for somebody who sat: heights are counted from it.
    pub seat: Option<(f64, f64)>,
    /// The person's stature as given or estimated, mm.
    pub stature: f64,
    /// Whose figure it is: what its levels are called.
    pub figure: Figure,
}

impl Marks {
    /// What heights are counted from, the floor or a seat, with its 95 % half-width, where it is known.
    #[must_use]
    pub fn ground(&self) -> Option<(f64, f64)> {
        self.floor.or(self.seat)
    }
}

/// A closed triangle solid in mm, normals outward.
#[derive(Clone, Debug, Default)]
pub struct Mesh {
    /// The corners.
    pub vertices: Vec<Point3>,
    /// Corners of each triangle, counter-clockwise seen from outside.
    pub triangles: Vec<[u32; 3]>,
    /// The names on it.
    pub marks: Marks,
}

/// How many of something there are on a solid, and the heights between which they lie.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Spread {
    /// How many.
    pub count: usize,
    /// Lowest height, mm; 0 when there are none.
    pub low: f64,
    /// Highest height, mm; 0 when there are none.
    pub high: f64,
}

/// What is wrong with the edges of a mesh.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Faults {
    /// Edges with a triangle on one side only: they border holes.
    pub open: Spread,
    /// Edges with more than two triangles: bodies that touch along a line, or walls without
    /// thickness.
    pub crowded: Spread,
    /// Edges whose two triangles turn opposite ways: one of them is inside out.
    pub turned: Spread,
}

impl Faults {
    /// Whether there is none.
    #[must_use]
    pub const fn none(&self) -> bool {
        self.open.count == 0 && self.crowded.count == 0 && self.turned.count == 0
    }
}
