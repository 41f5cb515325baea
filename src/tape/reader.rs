//! Every measurement as the trade takes it, read off triangles and marks alone.
//!
//! Horizontal measurements are read off the cut at their level; of several loops, only the one round
//! the pole, the trunk, counts. Lengths are taut paths in a stated cut (see each).

use super::taut;
use crate::geom;
use crate::geom::{Point2, Point3, Vector2, Vector3};
use crate::measure::{Kind, Landmark, Level, Measure, Side};
use crate::mesh;
use crate::mesh::{Mesh, Slicer};
use crate::tolerance::{BLADES_BELOW_BUST_MM, SAME_POINT_EPS_MM};

/// Above this share of the hip's depth below the waist the seat has not begun, for the wall gap.
const SEAT_BEGINS: f64 = 0.3;

/// A tape laid on one solid.
#[derive(Clone, Debug)]
pub struct Tape<'a> {
    mesh: &'a Mesh,
    slicer: Slicer<'a>,
}

/// Which way a path faces.
#[derive(Clone, Copy)]
enum Facing {
    Front,
    Back,
}

impl Facing {
    const fn sign(self) -> f64 {
        match self {
            Self::Front => 1.0,
            Self::Back => -1.0,
        }
    }
}

impl<'a> Tape<'a> {
    /// Takes hold of a solid.
    #[must_use]
    pub fn new(mesh: &'a Mesh) -> Self {
        Self {
            mesh,
            slicer: Slicer::new(mesh),
        }
    }

    /// One reading, mm or radians. `Both` of a paired measurement is the mean of left and right; a
    /// measurement that is not paired has no left and right. Nothing when the form has no such part
    /// or the solid lacks the marks for it.
    #[must_use]
    pub fn read(&self, measure: Measure, side: Side) -> Option<f64> {
        use Measure as M;
        let paired = |one: &dyn Fn(Side) -> Option<f64>| match side {
            Side::Both => Some(0.5 * (one(Side::Left)? + one(Side::Right)?)),
            side => one(side),
        };
        // Halves of one arc: left and right add up to the whole.
        if let (Kind::Arc, Some(level)) = (measure.kind(), measure.level()) {
            return self.front_arc(level, side);
        }
        match measure {
            M::GirthArmscye => return paired(&|s| self.armscye(s)),
            M::LengthShoulder => return paired(&|s| Some(self.shoulder_line(s)?.norm())),
            M::SlopeShoulder => {
                return paired(&|s| {
                    self.shoulder_line(s)
                        .map(|v| libm::atan2(-v.z, v.xy().norm()))
                });
            }
            M::ShoulderDrop => return paired(&|s| self.shoulder_line(s).map(|v| -v.z)),
            M::LengthSideNeckToBust => return paired(&|s| self.neck_to_bust(s)),
            M::LengthSideNeckToWaist => return paired(&|s| self.neck_over_bust_to_waist(s)),
            M::LengthWaistToHip => return paired(&|s| self.waist_to_hip(s)),
            M::HeightSideNeck => return paired(&|s| self.height(self.landmark(side_neck(s))?.z)),
            M::HeightShoulder => return paired(&|s| self.height(self.landmark(shoulder(s))?.z)),
            M::HeightArmpit => return paired(&|s| self.height(self.landmark(armpit(s))?.z)),
            M::WallBlade if side != Side::Both => return self.blade(side),
            M::HeightBust => return paired(&|s| self.height(self.landmark(bust(s))?.z)),
            _ => {}
        }
        if side != Side::Both {
            return None;
        }
        // What is read level at a level; the plane of the neck girth leans.
        if let (Some(level), true) = (measure.level(), measure != M::GirthNeck) {
            return match measure.kind() {
                Kind::Girth => self.girth(level),
                Kind::Breadth => self.extent(level).map(|e| e.0),
                Kind::Depth => self.extent(level).map(|e| e.1),
                Kind::Height => self.height(self.level(level)?),
                _ => None,
            };
        }
        match measure {
            M::GirthNeck => Some(taut::girth(&self.neck()?)),
            M::GirthNeckBase => closed_length(&self.mesh.marks.neck_base),
            M::LengthBackWaist => {
                self.down_centre(Facing::Back, Landmark::Nape, self.level(Level::WaistTape)?)
            }
            M::LengthFrontWaist => self.down_centre(
                Facing::Front,
                Landmark::FrontNeck,
                self.level(Level::WaistTape)?,
            ),
            M::LengthScyeDepth => {
                self.down_centre(Facing::Back, Landmark::Nape, self.level(Level::Armpit)?)
            }
            M::LengthAcrossBack => self.across(Facing::Back),
            M::LengthAcrossFront => self.across(Facing::Front),
            M::LengthBustPointWidth => Some(
                (self.landmark(Landmark::BustLeft)? - self.landmark(Landmark::BustRight)?).norm(),
            ),
            M::BreadthNeck => taut::extent(&self.neck()?).map(|e| e.0),
            M::HeightNape => self.height(self.landmark(Landmark::Nape)?.z),
            M::WallNape => Some(self.landmark(Landmark::Nape)?.y - self.wall()?),
            M::PlumbWaist => self.beside_nape(Level::WaistTape),
            M::PlumbSeat => self.beside_nape(Level::Hip),
            M::WallBlade => {
                let from = self.level(Level::Bust)? - BLADES_BELOW_BUST_MM;
                Some(self.rearmost(from, self.level(Level::ShoulderPoint)?)? - self.wall()?)
            }
            M::WallWaist => {
                let z = self.level(Level::WaistTape)?;
                Some(self.surface(-Vector2::y(), z)?.y - self.wall()?)
            }
            M::WallSeat => {
                let to = SEAT_BEGINS * self.level(Level::Hip)?;
                Some(self.rearmost(self.level(Level::Hem)?, to)? - self.wall()?)
            }
            // Evidence only (see `not_on_form`), or paired and answered above.
            _ => None,
        }
    }

    /// Middle of the breadth at a level, to the right of the nape.
    fn beside_nape(&self, level: Level) -> Option<f64> {
        let trunk = self.trunk(self.level(level)?)?;
        let side = |sign: f64| trunk.iter().map(|p| sign * p.x).fold(f64::MIN, f64::max);
        Some(0.5 * (side(1.0) - side(-1.0)) - self.landmark(Landmark::Nape)?.x)
    }

    fn level(&self, level: Level) -> Option<f64> {
        self.mesh.marks.levels.get(&level).copied()
    }

    fn landmark(&self, landmark: Landmark) -> Option<Point3> {
        self.mesh.marks.landmarks.get(&landmark).copied()
    }

    /// Above the floor, or the seat of somebody who sat, where that is known.
    fn height(&self, z: f64) -> Option<f64> {
        self.mesh.marks.ground().map(|(ground, _)| z - ground)
    }

    /// The pole at height `z`, held to its ends.
    pub(super) fn pole(&self, z: f64) -> Option<Point2> {
        let pole = &self.mesh.marks.pole;
        let i = pole.partition_point(|p| p.z <= z);
        let (Some(a), b) = (pole.get(i.saturating_sub(1)), pole.get(i)) else {
            return None;
        };
        Some(match b {
            Some(b) if i > 0 => (a + (b - a) * ((z - a.z) / (b.z - a.z))).xy(),
            _ => a.xy(),
        })
    }

    /// The direction straight to one side of the pole, as the marks of the solid name the sides.
    pub(super) fn sideways(&self, side: Side) -> Vector2 {
        let x = |landmark| self.landmark(landmark).map_or(0.0, |p| p.x);
        let left_is_x = x(Landmark::ShoulderLeft) >= x(Landmark::ShoulderRight);
        if (side == Side::Right) == left_is_x {
            -Vector2::x()
        } else {
            Vector2::x()
        }
    }

    /// Outline of the trunk at height `z`: the loop round the pole, or the largest where the solid
    /// has no pole.
    pub(super) fn trunk(&self, z: f64) -> Option<Vec<Point2>> {
        let mut loops = self.slicer.at(z).into_iter().map(|o| o.points);
        match self.pole(z) {
            // A ray leaves a loop round the pole both forwards and backwards.
            Some(p) => loops.find(|l| {
                let y = Vector2::y();
                taut::leaves(l, p, y).is_some() && taut::leaves(l, p, -y).is_some()
            }),
            None => loops.next(),
        }
    }

    fn girth(&self, level: Level) -> Option<f64> {
        Some(taut::girth(&self.trunk(self.level(level)?)?))
    }

    fn extent(&self, level: Level) -> Option<(f64, f64)> {
        taut::extent(&self.trunk(self.level(level)?)?)
    }

    /// The surface straight in one direction from the pole at height `z`.
    fn surface(&self, towards: Vector2, z: f64) -> Option<Point2> {
        taut::leaves(&self.trunk(z)?, self.pole(z)?, towards).map(|l| l.1)
    }

    /// The part of the tape round a level that lies in front of the side lines. A side line is where
    /// the direction straight to the side from the pole meets the tape; centre front, straight to
    /// the front.
    fn front_arc(&self, level: Level, side: Side) -> Option<f64> {
        let z = self.level(level)?;
        let (tape, pole) = (taut::hull(&self.trunk(z)?), self.pole(z)?);
        let (from, to) = match (side, self.sideways(side)) {
            (Side::Both, _) => (Vector2::x(), -Vector2::x()),
            (_, out) if out.x > 0.0 => (out, Vector2::y()),
            (_, out) => (Vector2::y(), out),
        };
        let at = |towards| taut::leaves(&tape, pole, towards);
        Some(taut::length(&taut::part(&tape, at(from)?, at(to)?)))
    }

    /// The tape round the neck lies in the plane through the neck centre, square to the neck's axis:
    /// points in that plane, the first coordinate along `x`.
    fn neck(&self) -> Option<Vec<Point2>> {
        let marks = &self.mesh.marks;
        let (sin, cos) = libm::sincos(marks.neck_lean);
        let centre = marks.neck_centre;
        // The neck, not a shoulder that the plane may also meet.
        let above = self.level(Level::FrontNeck)?;
        mesh::section(self.mesh, centre, Vector3::new(0.0, sin, cos))
            .into_iter()
            .filter(|l| l.iter().all(|p| p.z > above))
            .map(|l| {
                let flat = |p: &Point3| {
                    let v = p - centre;
                    Point2::new(v.x, v.y * cos - v.z * sin)
                };
                l.iter().map(flat).collect::<Vec<_>>()
            })
            .max_by(|a, b| geom::doubled_area(a).total_cmp(&geom::doubled_area(b)))
    }

    /// Round the rim of an arm plate, in the plane that fits it best (Newell's normal).
    fn armscye(&self, side: Side) -> Option<f64> {
        let rim = self.rim(side)?;
        let next = rim.iter().cycle().skip(1);
        let normal: Vector3 = rim
            .iter()
            .zip(next)
            .map(|(a, b)| a.coords.cross(&b.coords))
            .sum();
        let normal = normal.try_normalize(SAME_POINT_EPS_MM)?;
        let along = normal
            .cross(&Vector3::z())
            .try_normalize(SAME_POINT_EPS_MM)?;
        let up = normal.cross(&along);
        let flat: Vec<Point2> = rim
            .iter()
            .map(|p| Point2::new(p.coords.dot(&along), p.coords.dot(&up)))
            .collect();
        Some(taut::girth(&flat))
    }

    fn rim(&self, side: Side) -> Option<&[Point3]> {
        let i = match side {
            Side::Left => 0,
            Side::Right => 1,
            Side::Both => return None,
        };
        Some(&self.mesh.marks.rim[i])
            .filter(|r| r.len() > 2)
            .map(Vec::as_slice)
    }

    /// From the side neck point to the shoulder point: the line between them is hollow, so a taut
    /// tape is straight.
    fn shoulder_line(&self, side: Side) -> Option<Vector3> {
        Some(self.landmark(shoulder(side))? - self.landmark(side_neck(side))?)
    }

    /// Taut down the centre from a landmark to a height, in the plane that holds both and the
    /// front-to-back direction (`x = 0` on an even body). It stays in that plane.
    fn down_centre(&self, facing: Facing, from: Landmark, z: f64) -> Option<f64> {
        let top = self.landmark(from)?;
        let foot = self.surface(Vector2::y() * facing.sign(), z)?;
        let path = self.strip(facing, [Point2::new(foot.x, z), Point2::new(top.x, top.z)]);
        let length = libm::hypot(top.z - z, top.x - foot.x);
        let ends = [
            Point2::new(0.0, foot.y * facing.sign()),
            Point2::new(length, top.y * facing.sign()),
        ];
        Some(taut::over(&path, ends))
    }

    /// From the side neck point taut to the bust point, in the plane that holds both and the
    /// front-to-back direction.
    fn neck_to_bust(&self, side: Side) -> Option<f64> {
        let (path, ends) = self.neck_to_bust_path(side)?;
        Some(taut::over(&path, ends))
    }

    /// The same, then straight down below the bust point to the waist, as one taut tape over both
    /// planes laid flat: it bridges the hollow under the bust.
    fn neck_over_bust_to_waist(&self, side: Side) -> Option<f64> {
        let (mut path, [start, apex]) = self.neck_to_bust_path(side)?;
        let bust = self.landmark(bust(side))?;
        let waist = self.level(Level::WaistTape)?;
        let below = self.strip(
            Facing::Front,
            [Point2::new(bust.x, bust.z), Point2::new(bust.x, waist)],
        );
        let length = bust.z - waist;
        // The lowest point of the strip: where it meets the waist.
        let foot = below
            .iter()
            .copied()
            .filter(|p| p.x >= length - SAME_POINT_EPS_MM);
        let foot = foot.max_by(|a, b| a.y.total_cmp(&b.y))?;
        path.push(apex);
        path.extend(below.iter().map(|p| Point2::new(p.x + apex.x, p.y)));
        Some(taut::over(
            &path,
            [start, Point2::new(apex.x + length, foot.y)],
        ))
    }

    fn neck_to_bust_path(&self, side: Side) -> Option<(Vec<Point2>, [Point2; 2])> {
        let (neck, bust) = (self.landmark(side_neck(side))?, self.landmark(bust(side))?);
        let (from, to) = (Point2::new(neck.x, neck.z), Point2::new(bust.x, bust.z));
        let path = self.strip(Facing::Front, [from, to]);
        Some((
            path,
            [
                Point2::new(0.0, neck.y),
                Point2::new((to - from).norm(), bust.y),
            ],
        ))
    }

    /// Where the plane through two points given as (x, z), and along the front-to-back direction,
    /// meets the front or back of the solid between them: (distance from the first, outward `y`).
    fn strip(&self, facing: Facing, [from, to]: [Point2; 2]) -> Vec<Point2> {
        let length = (to - from).norm();
        let along = (to - from) / length;
        let cut = mesh::section_where(self.mesh, |p| along.perp(&(Point2::new(p.x, p.z) - from)));
        let mut path = Vec::new();
        for curve in &cut {
            for (a, b) in curve.iter().zip(curve.iter().cycle().skip(1)) {
                let s = |p: &Point3| along.dot(&(Point2::new(p.x, p.z) - from));
                let (sa, sb) = (s(a), s(b));
                // The corner itself, and where the edge passes either end of the path.
                let passes = [0.0, length]
                    .into_iter()
                    .filter(|end| (sa < *end) != (sb < *end))
                    .map(|end| a + (b - a) * ((end - sa) / (sb - sa)));
                for p in passes.chain(std::iter::once(*a)) {
                    let s = s(&p);
                    let faces = self
                        .pole(p.z)
                        .is_some_and(|c| (p.y - c.y) * facing.sign() >= 0.0);
                    if faces && (-SAME_POINT_EPS_MM..=length + SAME_POINT_EPS_MM).contains(&s) {
                        path.push(Point2::new(s, p.y * facing.sign()));
                    }
                }
            }
        }
        path
    }

    /// Taut down the side line, which lies straight to the side of the pole, from waist to hip.
    fn waist_to_hip(&self, side: Side) -> Option<f64> {
        let waist = self.level(Level::WaistTape)?;
        let hip = match self.landmark(hip(side)) {
            Some(p) => p.z,
            None => self.level(Level::Hip)?,
        };
        let sideways = self.sideways(side);
        let out = |p: &Point3| self.pole(p.z).map_or(0.0, |c| (p.xy() - c).dot(&sideways));
        let line = mesh::section_where(self.mesh, |p| self.pole(p.z).map_or(0.0, |c| p.y - c.y));
        let path: Vec<Point2> = line
            .iter()
            .flatten()
            .filter(|p| out(p) > 0.0)
            .map(|p| Point2::new(p.z, out(p)))
            .collect();
        let end = |z| {
            let p = self.surface(sideways, z)?;
            Some(Point2::new(z, out(&Point3::new(p.x, p.y, z))))
        };
        Some(taut::over(&path, [end(hip)?, end(waist)?]))
    }

    /// From rim to rim of the arm plates round the front or back, at the level half-way up the
    /// armhole: the tape bridges hollows, so it is the hull of that part of the section, less the
    /// straight line from rim to rim that closes it.
    fn across(&self, facing: Facing) -> Option<f64> {
        let z = self.level(Level::MidArmscye)?;
        let (section, pole) = (self.trunk(z)?, self.pole(z)?);
        let edge = |side| {
            let rim = self.rim(side)?;
            let next = rim.iter().cycle().skip(1);
            let crossings = rim.iter().zip(next).filter(|(a, b)| (a.z < z) != (b.z < z));
            let p = crossings
                .map(|(a, b)| a + (b - a) * ((z - a.z) / (b.z - a.z)))
                .max_by(|a, b| (a.y * facing.sign()).total_cmp(&(b.y * facing.sign())))?;
            taut::leaves(&section, pole, p.xy() - pole)
        };
        let (a, b) = (edge(Side::Left)?, edge(Side::Right)?);
        let (plus, minus) = if a.1.x > b.1.x { (a, b) } else { (b, a) };
        // Outlines run counter-clockwise: round the front from +x to -x, round the back onwards.
        let path = match facing {
            Facing::Front => taut::part(&section, plus, minus),
            Facing::Back => taut::part(&section, minus, plus),
        };
        Some(taut::girth(&path) - (a.1 - b.1).norm())
    }

    /// `y` of a wall that the body touches between hem and nape.
    fn wall(&self) -> Option<f64> {
        self.rearmost(self.level(Level::Hem)?, self.landmark(Landmark::Nape)?.z)
    }

    /// Gap from the wall to the shoulder blade of one side.
    fn blade(&self, side: Side) -> Option<f64> {
        let from = self.level(Level::Bust)? - BLADES_BELOW_BUST_MM;
        let to = self.level(Level::ShoulderPoint)?;
        let sideways = self.sideways(side);
        let here = |p: &Point3| {
            let middle = self.pole(p.z).unwrap_or_else(Point2::origin);
            (from..=to).contains(&p.z) && (p.xy() - middle).dot(&sideways) >= 0.0
        };
        let rear = self.mesh.vertices.iter().filter(|p| here(p)).map(|p| p.y);
        Some(rear.min_by(f64::total_cmp)? - self.wall()?)
    }

    /// Smallest `y` of the solid between two heights.
    fn rearmost(&self, from: f64, to: f64) -> Option<f64> {
        let inside = self
            .mesh
            .vertices
            .iter()
            .filter(|v| (from..=to).contains(&v.z))
            .map(|v| v.y);
        let ends = [from, to].into_iter().flat_map(|z| self.slicer.at(z));
        let ends = ends.flat_map(|o| o.points).map(|p| p.y);
        inside.chain(ends).min_by(f64::total_cmp)
    }
}

fn closed_length(points: &[Point3]) -> Option<f64> {
    let next = points.iter().cycle().skip(1);
    (points.len() > 2).then(|| points.iter().zip(next).map(|(a, b)| (b - a).norm()).sum())
}

const fn side_neck(side: Side) -> Landmark {
    if matches!(side, Side::Right) {
        Landmark::SideNeckRight
    } else {
        Landmark::SideNeckLeft
    }
}

const fn shoulder(side: Side) -> Landmark {
    if matches!(side, Side::Right) {
        Landmark::ShoulderRight
    } else {
        Landmark::ShoulderLeft
    }
}

const fn bust(side: Side) -> Landmark {
    if matches!(side, Side::Right) {
        Landmark::BustRight
    } else {
        Landmark::BustLeft
    }
}

const fn hip(side: Side) -> Landmark {
    if matches!(side, Side::Right) {
        Landmark::HipRight
    } else {
        Landmark::HipLeft
    }
}

const fn armpit(side: Side) -> Landmark {
    if matches!(side, Side::Right) {
        Landmark::ArmpitRight
    } else {
        Landmark::ArmpitLeft
    }
}
