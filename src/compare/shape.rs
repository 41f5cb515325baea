//! Two solids laid on each other: heights matched level by level, and how far one surface stands
//! outside the other.

use crate::geom::{Outline, Point2};
use crate::measure::Level;
use crate::mesh::{Mesh, Slicer};

/// Levels at which heights of two bodies are matched, from the lowest up.
const ANCHORS: [Level; 9] = [
    Level::Hem,
    Level::Hip,
    Level::Waist,
    Level::Underbust,
    Level::Bust,
    Level::Armpit,
    Level::ShoulderPoint,
    Level::SideNeck,
    Level::NeckTop,
];
/// Anchors nearer than this on either body are one, mm. Our choice: a pencil line; nearer ones would
/// stretch a sliver of the one body over a hand's breadth of the other.
const ANCHOR_STEP_MM: f64 = 1.0;
/// The ends of a form are flat: the last sections are taken this far inside, mm. Our choice.
const INSIDE_MM: f64 = 0.5;

/// What two bodies are aligned at when they are laid on each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// The natural waists are level.
    Waist,
    /// Both stand on one floor.
    Floor,
}

/// One spot of the surface of B.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    /// Where it lies across, mm, to the wearer's right.
    pub x: f64,
    /// Its height on B, mm.
    pub z: f64,
    /// How far B stands outside A there, mm; below zero: inside.
    pub apart: f64,
}

/// Two solids with their heights matched.
pub struct Matched<'a> {
    a: Slicer<'a>,
    b: Slicer<'a>,
    anchors: Vec<(f64, f64)>,
}

/// A section and the middle of its breadth and depth.
pub(super) struct CutAt {
    pub(super) outline: Outline,
    pub(super) middle: Point2,
}

pub(super) fn cut(slicer: &Slicer<'_>, z: f64) -> Option<CutAt> {
    let outline = slicer
        .at(z)
        .into_iter()
        .max_by(|a, b| a.area().abs().total_cmp(&b.area().abs()))?;
    let (low, high) = outline.bounds()?;
    Some(CutAt {
        middle: Point2::new(f64::midpoint(low.x, high.x), f64::midpoint(low.y, high.y)),
        outline,
    })
}

impl<'a> Matched<'a> {
    /// Two solids of this program; nothing when one lacks the levels.
    #[must_use]
    pub fn new(a: &'a Mesh, b: &'a Mesh) -> Option<Self> {
        let mut anchors: Vec<(f64, f64)> = Vec::new();
        for level in ANCHORS {
            let (Some(x), Some(y)) = (a.marks.levels.get(&level), b.marks.levels.get(&level))
            else {
                continue;
            };
            if anchors
                .last()
                .is_none_or(|l| x - l.0 > ANCHOR_STEP_MM && y - l.1 > ANCHOR_STEP_MM)
            {
                anchors.push((*x, *y));
            }
        }
        (anchors.len() > 1).then(|| Self {
            a: Slicer::new(a),
            b: Slicer::new(b),
            anchors,
        })
    }

    /// Lowest and highest height on B.
    #[must_use]
    pub fn range(&self) -> (f64, f64) {
        let (first, last) = (self.anchors[0], self.anchors[self.anchors.len() - 1]);
        (first.1, last.1)
    }

    /// The height on A of what is at `z` on B: straight between the levels that both have.
    #[must_use]
    pub fn height_on_a(&self, z: f64) -> f64 {
        let k = self
            .anchors
            .partition_point(|p| p.1 <= z)
            .clamp(1, self.anchors.len() - 1);
        let ((a0, b0), (a1, b1)) = (self.anchors[k - 1], self.anchors[k]);
        a0 + (a1 - a0) * (z - b0) / (b1 - b0)
    }

    fn cuts(&self, z: f64) -> Option<(CutAt, CutAt)> {
        let (low, high) = self.range();
        let z = z.clamp(low + INSIDE_MM, high - INSIDE_MM);
        let on_a = self.height_on_a(z);
        let (first, last) = (self.anchors[0].0, self.anchors[self.anchors.len() - 1].0);
        Some((
            cut(&self.a, on_a.clamp(first + INSIDE_MM, last - INSIDE_MM))?,
            cut(&self.b, z)?,
        ))
    }

    /// Spots of the front (or back) of B at height `z`, `step` mm apart from the middle, each with
    /// how far B stands outside A. The sections lie on each other by the middles of their breadth and
    /// depth, so a body that stands or holds itself otherwise is not taken for a larger one; the
    /// distance is measured along the ray from there.
    #[must_use]
    pub fn spots(&self, z: f64, step: f64, front: bool) -> Vec<Spot> {
        let Some((a, b)) = self.cuts(z) else {
            return Vec::new();
        };
        let Some((low, high)) = b.outline.bounds() else {
            return Vec::new();
        };
        let most = ((high.x - low.x) / 2.0 / step).floor() as i32;
        (-most..=most)
            .filter_map(|i| {
                let x = b.middle.x + step * f64::from(i);
                let y = crossing(&b.outline, x, front)?;
                let from = Point2::new(x, y) - b.middle;
                let reach = a.outline.ray(a.middle, libm::atan2(from.y, from.x))?;
                Some(Spot {
                    x,
                    z,
                    apart: from.norm() - reach,
                })
            })
            .collect()
    }

    /// How far B stands outside A at height `z` of B: to the wearer's right, in front, to the left
    /// and behind, mm.
    #[must_use]
    pub fn round(&self, z: f64) -> Option<[f64; 4]> {
        let (a, b) = self.cuts(z)?;
        let quarter = std::f64::consts::FRAC_PI_2;
        let mut out = [0.0; 4];
        for (k, v) in out.iter_mut().enumerate() {
            let angle = quarter * k as f64;
            *v = b.outline.ray(b.middle, angle)? - a.outline.ray(a.middle, angle)?;
        }
        Some(out)
    }
}

/// The foremost (or rearmost) point of the outline across at `x`.
pub(super) fn crossing(outline: &Outline, x: f64, front: bool) -> Option<f64> {
    let ys = outline.sides().filter_map(|(p, q)| {
        if (p.x > x) == (q.x > x) {
            return None;
        }
        Some(p.y + (q.y - p.y) * (x - p.x) / (q.x - p.x))
    });
    if front {
        ys.reduce(f64::max)
    } else {
        ys.reduce(f64::min)
    }
}
