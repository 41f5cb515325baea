//! Where the tape lies when a measurement is read: a thread to draw on the solid.
//!
//! Every thread comes from what the reading itself is taken from (`reader.rs`), so that what is shown is what is
//! read.

use super::Tape;
use super::flat::Outward;
use super::reader::{armpit, bust, shoulder, side_neck};
use super::taut;
use crate::geom::{Point2, Point3, Vector2, Vector3};
use crate::measure::{Kind, Landmark, Level, Measure, Side};

/// A tape, a rule or a gap, as it lies.
#[derive(Clone, Debug, PartialEq)]
pub struct Thread {
    /// From one end to the other, mm, in the coordinates of the solid; a closed one ends where it begins. A taut
    /// tape touches the solid at these points and runs straight between them.
    pub points: Vec<Point3>,
    /// From where it is seen best: a level direction of length 1, outward.
    pub seen_from: Vector2,
    /// Whether it runs through the solid or beside it, as what is read with a rule does, not on it.
    pub through: bool,
}

impl Tape<'_> {
    /// Where the tape lies for a measurement: one thread, or one for each side of what is read on both. None where the
    /// form has no such part or the solid lacks the marks for it.
    #[must_use]
    pub fn threads(&self, measure: Measure, side: Side) -> Vec<Thread> {
        let sides = if measure.info().paired && side == Side::Both {
            vec![Side::Left, Side::Right]
        } else {
            vec![side]
        };
        let one = |side: Side| match (measure.kind(), measure.level()) {
            // Read once, it has no sides; its halves are of one arc.
            (Kind::Arc, Some(level)) => self.arc_thread(level, side),
            _ => self.thread(measure, side),
        };
        if measure.kind() == Kind::Arc && side == Side::Both {
            return one(Side::Both).into_iter().collect();
        }
        sides.into_iter().filter_map(one).collect()
    }

    fn thread(&self, measure: Measure, side: Side) -> Option<Thread> {
        use Measure as M;
        let out = || match side {
            Side::Both => Vector2::y(),
            side => self.sideways(side),
        };
        let half = |facing: Outward| (out() + Vector2::y() * facing.sign()).normalize();
        match measure {
            M::GirthNeck => self.neck_thread(),
            M::GirthNeckBase => {
                let points = closed(self.mesh().marks.neck_base.clone())?;
                Some(on(points, half(Outward::Front)))
            }
            M::GirthArmscye => {
                let ([along, up], flat) = self.armhole(side)?;
                let rim = self.rim(side)?;
                // All of the rim lies in one plane: its distance from the origin is that of any point.
                let square = along.cross(&up);
                let away = square * rim.first()?.coords.dot(&square);
                let place = |p: &Point2| Point3::from(along * p.x + up * p.y + away);
                let points = closed(taut::hull(&flat).iter().map(place).collect())?;
                Some(on(points, out()))
            }
            M::LengthShoulder | M::SlopeShoulder | M::ShoulderDrop => {
                let ends = [side_neck(side), shoulder(side)].map(|l| self.landmark(l));
                let [Some(a), Some(b)] = ends else {
                    return None;
                };
                Some(on(vec![a, b], half(Outward::Front)))
            }
            M::LengthSideNeckToBust => Some(on(self.neck_to_bust(side)?.thread(), Vector2::y())),
            M::LengthSideNeckToWaist => Some(on(
                self.neck_over_bust_to_waist(side)?.thread(),
                half(Outward::Front),
            )),
            M::LengthWaistToHip => {
                let (path, ends) = self.side_line(side)?;
                let sideways = self.sideways(side);
                let place = |p: Point2| {
                    let at = self.pole(p.x)? + sideways * p.y;
                    Some(Point3::new(at.x, at.y, p.x))
                };
                let points: Option<Vec<Point3>> =
                    taut::way(&path, ends).into_iter().map(place).collect();
                Some(on(points?, sideways))
            }
            M::LengthBackWaist | M::LengthScyeDepth => {
                Some(on(self.centre(measure)?.thread(), -Vector2::y()))
            }
            M::LengthFrontWaist => Some(on(self.centre(measure)?.thread(), Vector2::y())),
            M::LengthAcrossBack => self.across_thread(Outward::Back),
            M::LengthAcrossFront => self.across_thread(Outward::Front),
            M::LengthBustPointWidth => {
                let ends = [Landmark::BustLeft, Landmark::BustRight].map(|l| self.landmark(l));
                let [Some(a), Some(b)] = ends else {
                    return None;
                };
                Some(on(vec![a, b], Vector2::y()))
            }
            _ => self.level_thread(measure, side),
        }
    }

    /// What is read level at one height, above the ground or to a wall.
    fn level_thread(&self, measure: Measure, side: Side) -> Option<Thread> {
        use Measure as M;
        match (measure.kind(), measure.level()) {
            (Kind::Girth, Some(level)) => {
                let z = self.level(level)?;
                let hull = taut::hull(&self.trunk(z)?);
                let points = closed(hull.iter().map(|p| Point3::new(p.x, p.y, z)).collect())?;
                Some(on(points, Vector2::new(1.0, 2.0).normalize()))
            }
            (Kind::Breadth | Kind::Depth, _) if measure == M::BreadthNeck => {
                let flat = self.neck()?;
                let (low, high) = (lowest(&flat, |p| p.x)?, lowest(&flat, |p| -p.x)?);
                let points = [low, high].map(|p| self.on_neck(&p));
                Some(through(points.into(), Vector2::y()))
            }
            (Kind::Breadth, Some(level)) => self.straight(level, Vector2::x()),
            (Kind::Depth, Some(level)) => self.straight(level, Vector2::y()),
            (Kind::Height, _) => {
                let top = self.height_point(measure, side)?;
                let (ground, _) = self.mesh().marks.ground()?;
                let foot = Point3::new(top.x, top.y, ground);
                let seen_from = match side {
                    Side::Both => Vector2::y(),
                    side => self.sideways(side),
                };
                Some(through(vec![top, foot], seen_from))
            }
            (Kind::Wall, _) => {
                let from = self.wall_point(measure, side)?;
                let to = Point3::new(from.x, self.wall()?, from.z);
                Some(through(vec![from, to], Vector2::x()))
            }
            (Kind::Plumb, _) => {
                let level = match measure {
                    M::PlumbWaist => Level::WaistTape,
                    M::PlumbSeat => Level::Hip,
                    _ => return None,
                };
                let (z, nape) = (self.level(level)?, self.landmark(Landmark::Nape)?);
                let trunk = self.trunk(z)?;
                let (low, high) = (lowest(&trunk, |p| p.x)?.x, lowest(&trunk, |p| -p.x)?.x);
                let y = lowest(&trunk, |p| p.y)?.y;
                let line = [nape.x, f64::midpoint(low, high)].map(|x| Point3::new(x, y, z));
                let mut points = vec![nape, line[0]];
                points.push(line[1]);
                Some(through(points, -Vector2::y()))
            }
            _ => None,
        }
    }

    fn arc_thread(&self, level: Level, side: Side) -> Option<Thread> {
        let z = self.level(level)?;
        let arc = self.front_arc(level, side)?;
        let points = arc.iter().map(|p| Point3::new(p.x, p.y, z)).collect();
        Some(on(points, Vector2::y()))
    }

    fn neck_thread(&self) -> Option<Thread> {
        let hull = taut::hull(&self.neck()?);
        let points = closed(hull.iter().map(|p| self.on_neck(p)).collect())?;
        Some(on(points, Vector2::new(1.0, 2.0).normalize()))
    }

    /// A point of the plane of the neck girth on the solid.
    fn on_neck(&self, p: &Point2) -> Point3 {
        let marks = &self.mesh().marks;
        let (sin, cos) = libm::sincos(marks.neck_lean);
        marks.neck_centre + Vector3::new(p.x, p.y * cos, -p.y * sin)
    }

    /// The tape across: the hull of the section from rim to rim, without the line that closes it.
    fn across_thread(&self, facing: Outward) -> Option<Thread> {
        let z = self.level(Level::MidArmscye)?;
        let path = self.across_path(facing)?;
        let (first, last) = (*path.first()?, *path.last()?);
        let hull = taut::hull(&path);
        let of = |p: Point2| hull.iter().position(|h| *h == p);
        // The hull runs counter-clockwise, as the path does from its begin to its end.
        let (from, to) = (of(first)?, of(last)?);
        let steps = (to + hull.len() - from) % hull.len();
        let points = (0..=steps).map(|k| hull[(from + k) % hull.len()]);
        let points = points.map(|p| Point3::new(p.x, p.y, z)).collect();
        Some(on(points, Vector2::y() * facing.sign()))
    }

    /// Straight across or through at a level, in the middle of the other direction.
    fn straight(&self, level: Level, along: Vector2) -> Option<Thread> {
        let z = self.level(level)?;
        let trunk = self.trunk(z)?;
        let square = Vector2::new(along.y, along.x);
        let middle = |of: &Vector2| -> Option<[f64; 2]> {
            let low = lowest(&trunk, |p| p.coords.dot(of))?.coords.dot(of);
            let high = lowest(&trunk, |p| -p.coords.dot(of))?.coords.dot(of);
            Some([low, high])
        };
        let [low, high] = middle(&along)?;
        let [near, far] = middle(&square)?;
        let beside = square * f64::midpoint(near, far);
        let points = [low, high].map(|s| along * s + beside);
        let points = points.map(|p| Point3::new(p.x, p.y, z)).into();
        Some(through(points, square))
    }

    /// Up to where a height is read.
    fn height_point(&self, measure: Measure, side: Side) -> Option<Point3> {
        use Measure as M;
        let named = match measure {
            M::HeightNape => Some(Landmark::Nape),
            M::HeightSideNeck => Some(side_neck(side)),
            M::HeightShoulder => Some(shoulder(side)),
            M::HeightArmpit => Some(armpit(side)),
            M::HeightBust => Some(bust(side)),
            _ => None,
        };
        if let Some(landmark) = named {
            return self.landmark(landmark);
        }
        let z = self.level(measure.level()?)?;
        let p = self.surface(Vector2::y(), z)?;
        Some(Point3::new(p.x, p.y, z))
    }

    /// From where a gap to the wall is read.
    fn wall_point(&self, measure: Measure, side: Side) -> Option<Point3> {
        match measure {
            Measure::WallNape => self.landmark(Landmark::Nape),
            Measure::WallWaist => {
                let z = self.level(Level::WaistTape)?;
                let p = self.surface(-Vector2::y(), z)?;
                Some(Point3::new(p.x, p.y, z))
            }
            Measure::WallSeat => self.rearmost_point(self.seat_heights()?, side),
            Measure::WallBlade => self.rearmost_point(self.blade_heights()?, side),
            _ => None,
        }
    }

    /// The corner of the solid that lies furthest back between two heights, on one side of the pole where one is
    /// meant.
    fn rearmost_point(&self, (from, to): (f64, f64), side: Side) -> Option<Point3> {
        let sideways = self.sideways(side);
        let here = |p: &&Point3| {
            let middle = self.pole(p.z).unwrap_or_else(Point2::origin);
            let on_side = side == Side::Both || (p.xy() - middle).dot(&sideways) >= 0.0;
            (from..=to).contains(&p.z) && on_side
        };
        let all = self.mesh().vertices.iter().filter(here);
        all.min_by(|a, b| a.y.total_cmp(&b.y)).copied()
    }
}

const fn on(points: Vec<Point3>, seen_from: Vector2) -> Thread {
    Thread {
        points,
        seen_from,
        through: false,
    }
}

const fn through(points: Vec<Point3>, seen_from: Vector2) -> Thread {
    Thread {
        points,
        seen_from,
        through: true,
    }
}

/// The same, home again.
fn closed(mut points: Vec<Point3>) -> Option<Vec<Point3>> {
    let first = *points.first()?;
    points.push(first);
    Some(points)
}

fn lowest(points: &[Point2], by: impl Fn(&Point2) -> f64) -> Option<Point2> {
    points
        .iter()
        .copied()
        .min_by(|a, b| by(a).total_cmp(&by(b)))
}
