//! Solids of other programs stood upright: their axes turned into ours.

use super::Mesh;
use crate::geom::{Point3, Vector3};

/// A direction along an axis of a solid file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Axis {
    /// Along `x`.
    X,
    /// Along `y`.
    Y,
    /// Along `z`.
    Z,
    /// Against `x`.
    MinusX,
    /// Against `y`.
    MinusY,
    /// Against `z`.
    MinusZ,
}

impl Axis {
    /// Every one, with its name.
    pub const ALL: [(&'static str, Self); 6] = [
        ("x", Self::X),
        ("y", Self::Y),
        ("z", Self::Z),
        ("-x", Self::MinusX),
        ("-y", Self::MinusY),
        ("-z", Self::MinusZ),
    ];

    /// Its unit vector.
    #[must_use]
    pub fn direction(self) -> Vector3 {
        match self {
            Self::X => Vector3::x(),
            Self::Y => Vector3::y(),
            Self::Z => Vector3::z(),
            Self::MinusX => -Vector3::x(),
            Self::MinusY => -Vector3::y(),
            Self::MinusZ => -Vector3::z(),
        }
    }

    /// Where a figure faces if nobody says so: along `y` when `z` is up, as in our own files, and
    /// along `z` when `y` is up, as in most files of that kind (common practice, no source).
    #[must_use]
    pub const fn usual_front(self) -> Self {
        match self {
            Self::Y | Self::MinusY => Self::Z,
            _ => Self::Y,
        }
    }
}

impl Mesh {
    /// Turns the corners so that `up` becomes `z` and `front` becomes `y`, and makes them `scale`
    /// times as large. The names on the mesh are not turned. `false`, and nothing changed, when both
    /// lie along one axis.
    #[must_use]
    pub fn stand(&mut self, up: Axis, front: Axis, scale: f64) -> bool {
        let (up, front) = (up.direction(), front.direction());
        // The wearer's right is front cross up.
        let right = front.cross(&up);
        if right.norm_squared() <= 0.0 {
            return false;
        }
        for p in &mut self.vertices {
            let v = p.coords * scale;
            *p = Point3::new(right.dot(&v), front.dot(&v), up.dot(&v));
        }
        true
    }
}
