//! What a tape would read on the surface itself, as the fit needs it: smooth in the parameters and
//! cheap. The check of the finished solid has its own code and shares nothing with this.

use std::f64::consts::FRAC_PI_2;

use crate::geom::Point2;
use crate::measure::{Kind, Level, Measure, Side};
use crate::torso::body::Halves;
use crate::torso::param::Param;
use crate::torso::surface::{SectionRow, Surface};

mod all;
mod curves;
mod half;
mod taut;
#[cfg(test)]
mod tests;

pub(crate) use all::{read_all, read_all_and_hints};
pub(crate) use curves::{bust_direction, neck_base_height, rim_angle};
pub(crate) use half::Hints;
use half::{HalfReader, bridge_middle};
use taut::{closed_length, peak, taut, taut_envelope, taut_length, taut_ring};

/// Reads a body, remembering what several measurements share.
pub(crate) struct SurfaceReader<'a> {
    body: &'a Halves,
    /// The right half, and the left where it differs.
    halves: Vec<HalfReader<'a>>,
}

impl<'a> SurfaceReader<'a> {
    pub(crate) fn new(body: &'a Halves) -> Self {
        Self {
            body,
            halves: body.halves().iter().map(HalfReader::new).collect(),
        }
    }

    /// A reader of a body that differs a little from the one where `near` was found.
    pub(crate) fn near(body: &'a Halves, near: &'a [Hints]) -> Self {
        let halves = body.halves().iter().zip(near);
        Self {
            body,
            halves: halves.map(|(s, n)| HalfReader::near(s, n)).collect(),
        }
    }

    /// Where curves were found, for readers of bodies that differ a little.
    pub(crate) fn hints(&self) -> Vec<Hints> {
        self.halves.iter().map(HalfReader::hints).collect()
    }

    fn is_even(&self) -> bool {
        self.halves.len() == 1
    }

    /// A ring of both halves, counter-clockwise from the back; `x` to the right.
    fn ring(right: &[Point2], left: &[Point2]) -> Vec<Point2> {
        let last = left.len() - 1;
        let across = left[1..last].iter().rev().map(|p| Point2::new(-p.x, p.y));
        right.iter().copied().chain(across).collect()
    }

    /// Length of a tape round two halves of a section.
    fn round(mut halves: Vec<Vec<Point2>>) -> f64 {
        if halves.len() == 1 {
            bridge_middle(&mut halves[0]);
            return 2.0 * taut_length(&halves[0], true);
        }
        closed_length(&Self::ring(&halves[0], &halves[1]))
    }

    fn sections(&mut self, level: Level) -> Vec<Vec<Point2>> {
        let z = self.body.level(level);
        self.halves
            .iter_mut()
            .map(|h| h.section(z).to_vec())
            .collect()
    }

    fn girth(&mut self, level: Level) -> f64 {
        Self::round(self.sections(level))
    }

    fn breadth_of(halves: &[Vec<Point2>]) -> f64 {
        let out = |h: &Vec<Point2>| peak(h.iter().map(|p| p.x));
        out(&halves[0]) + out(&halves[halves.len() - 1])
    }

    fn depth(&mut self, level: Level) -> f64 {
        let halves = self.sections(level);
        let most = |sign: f64| {
            halves
                .iter()
                .map(|h| peak(h.iter().map(|p| sign * p.y)))
                .fold(f64::NEG_INFINITY, f64::max)
        };
        most(1.0) + most(-1.0)
    }

    /// Front arc: from the side line (straight out from the pole) round the front to the other one,
    /// or the half of it on one side.
    fn front_arc(&mut self, level: Level, side: Side) -> f64 {
        let pole = self.body.pole(self.body.level(level));
        let mut halves = self.sections(level);
        if self.is_even() {
            bridge_middle(&mut halves[0]);
            let half = &halves[0];
            let hull = taut(half);
            let whole: f64 = hull
                .windows(2)
                .map(|w| (half[w[1]] - half[w[0]]).norm())
                .sum();
            let part = front_part(hull.windows(2).map(|w| (half[w[0]], half[w[1]])), pole);
            // The same correction of chords to arcs as the whole girth gets.
            let part = (part.0 + part.1) * taut_length(half, true) / whole;
            return if side == Side::Both { 2.0 * part } else { part };
        }
        let ring = Self::ring(&halves[0], &halves[1]);
        let hull = taut_ring(&ring);
        let edges = || {
            hull.iter()
                .zip(hull.iter().cycle().skip(1))
                .map(|(a, b)| (*a, *b))
        };
        let whole: f64 = edges().map(|(a, b)| (b - a).norm()).sum();
        let (right, left) = front_part(edges(), pole);
        let arc = closed_length(&ring) / whole;
        arc * match side {
            Side::Right => right,
            Side::Left => left,
            Side::Both => right + left,
        }
    }

    /// Across the back (`sign` -1) or front (1), from rim to rim.
    fn across(&mut self, sign: f64) -> f64 {
        let mut chains: Vec<Vec<Point2>> = self.halves.iter_mut().map(|h| h.across(sign)).collect();
        // Counter-clockwise means from the rim to the front, and from the back to the rim.
        if self.is_even() {
            let chain = &mut chains[0];
            let last = chain.len() - 1;
            chain[last].y = sign * peak(chain.iter().map(|p| sign * p.y));
            if sign < 0.0 {
                chain.reverse();
            }
            // Half of a symmetric chain: its end on the middle is smooth, its rim is not.
            return 2.0 * taut_length(chain, false);
        }
        let left = chains.remove(1);
        let mut chain = chains.remove(0);
        let beyond = left.iter().rev().skip(1).map(|p| Point2::new(-p.x, p.y));
        chain.extend(beyond);
        if sign < 0.0 {
            chain.reverse();
        }
        taut_length(&chain, false)
    }

    /// The half that tells of `side`.
    fn half(&mut self, side: Side) -> &mut HalfReader<'a> {
        let last = self.halves.len() - 1;
        &mut self.halves[if side == Side::Left { last } else { 0 }]
    }

    /// A reading of one side, or the mean of both.
    fn paired(&mut self, side: Side, one: impl Fn(&mut HalfReader<'a>) -> f64) -> f64 {
        if side == Side::Both && !self.is_even() {
            return 0.5 * (one(self.half(Side::Right)) + one(self.half(Side::Left)));
        }
        one(self.half(side))
    }

    fn wall(&mut self) -> f64 {
        self.halves
            .iter_mut()
            .map(|h| h.rearmost()[2])
            .fold(f64::INFINITY, f64::min)
    }

    /// Middle of the breadth at a level, to the right of the nape.
    fn beside_nape(&mut self, level: Level) -> f64 {
        let halves = self.sections(level);
        let out = |h: &Vec<Point2>| peak(h.iter().map(|p| p.x));
        let middle = 0.5 * (out(&halves[0]) - out(&halves[halves.len() - 1]));
        let sway = |z: f64| self.body.right().sway_at(z);
        middle + sway(self.body.level(level)) - sway(self.body.level(Level::Nape))
    }

    /// The reading of `measure`, mm or radians; `None` where the form has no such part, or no such
    /// side of it.
    #[allow(
        clippy::too_many_lines,
        reason = "one line per measure: a table in code"
    )]
    pub(crate) fn read(&mut self, measure: Measure, side: Side) -> Option<f64> {
        use Measure as M;
        let body = self.body;
        let up = |z: f64| body.right().get(Param::WaistHeight) + z;
        let shoulder = |h: &mut HalfReader<'a>| h.shoulder_point() - h.side_neck();
        if let (Kind::Arc, Some(level)) = (measure.kind(), measure.level()) {
            return Some(self.front_arc(level, side));
        }
        match measure {
            M::GirthArmscye => return Some(self.paired(side, HalfReader::armscye)),
            M::LengthShoulder => return Some(self.paired(side, |h| shoulder(h).norm())),
            M::SlopeShoulder => {
                return Some(self.paired(side, |h| {
                    let v = shoulder(h);
                    libm::atan2(-v.z, libm::hypot(v.x, v.y))
                }));
            }
            M::ShoulderDrop => return Some(self.paired(side, |h| -shoulder(h).z)),
            M::LengthSideNeckToBust => return Some(self.paired(side, |h| h.over_bust(false))),
            M::LengthSideNeckToWaist => return Some(self.paired(side, |h| h.over_bust(true))),
            M::LengthWaistToHip => return Some(self.paired(side, |h| h.waist_to_hip())),
            M::HeightSideNeck => return Some(up(self.paired(side, |h| h.side_neck().z))),
            M::HeightShoulder => return Some(up(self.paired(side, |h| h.shoulder_point().z))),
            M::HeightArmpit => return Some(up(self.paired(side, |h| h.levels().armpit))),
            M::HeightBust => return Some(up(self.paired(side, |h| h.levels().bust))),
            M::WallBlade if side != Side::Both => {
                let wall = self.wall();
                return Some(self.half(side).rearmost()[1] - wall);
            }
            _ if side != Side::Both => return None,
            _ => {}
        }
        // What is read level at a level; the plane of the neck girth leans.
        if let (Some(level), true) = (measure.level(), measure != M::GirthNeck) {
            return match measure.kind() {
                Kind::Girth => Some(self.girth(level)),
                Kind::Breadth => Some(Self::breadth_of(&self.sections(level))),
                Kind::Depth => Some(self.depth(level)),
                Kind::Height => Some(up(body.level(level))),
                _ => None,
            };
        }
        Some(match measure {
            M::GirthNeck => Self::round(self.halves.iter().map(HalfReader::neck_half).collect()),
            M::BreadthNeck => {
                let halves: Vec<_> = self.halves.iter().map(HalfReader::neck_half).collect();
                Self::breadth_of(&halves)
            }
            M::GirthNeckBase => {
                let sum: f64 = self.halves.iter_mut().map(HalfReader::neck_base_half).sum();
                if self.is_even() { 2.0 * sum } else { sum }
            }
            M::LengthBackWaist => self.down(-FRAC_PI_2, Level::WaistTape, 41),
            M::LengthFrontWaist => self.down(FRAC_PI_2, Level::WaistTape, 41),
            M::LengthScyeDepth => self.down(-FRAC_PI_2, Level::Armpit, 21),
            M::LengthAcrossBack => self.across(-1.0),
            M::LengthAcrossFront => self.across(1.0),
            M::LengthBustPointWidth => {
                let right = self.half(Side::Right).bust_point();
                let left = self.half(Side::Left).bust_point();
                libm::hypot(
                    libm::hypot(right.x + left.x, right.y - left.y),
                    right.z - left.z,
                )
            }
            M::HeightNape => up(self.half(Side::Right).nape().z),
            M::WallNape => self.half(Side::Right).nape().y - self.wall(),
            M::WallWaist => {
                let z = body.level(Level::WaistTape);
                self.half(Side::Right).middle(-FRAC_PI_2, z).y - self.wall()
            }
            M::WallBlade | M::WallSeat => {
                let k = usize::from(measure == M::WallBlade);
                let most = |h: &mut HalfReader<'a>| h.rearmost()[k];
                self.halves
                    .iter_mut()
                    .map(most)
                    .fold(f64::INFINITY, f64::min)
                    - self.wall()
            }
            M::PlumbWaist => self.beside_nape(Level::WaistTape),
            M::PlumbSeat => self.beside_nape(Level::Hip),
            _ => return None,
        })
    }

    /// Taut down the middle of the back or front from the neck to a level, straight as seen from
    /// there.
    fn down(&mut self, theta: f64, to: Level, n: usize) -> f64 {
        let low = self.body.level(to);
        let half = self.half(Side::Right);
        let neck = if theta > 0.0 {
            half.front_neck()
        } else {
            half.nape()
        };
        let (right, left) = (self.body.right(), self.body.left());
        let (foot, top) = (right.sway_at(low), right.sway_at(neck.z));
        let length = libm::hypot(neck.z - low, top - foot);
        let chain: Vec<Point2> = (0..n)
            .rev()
            .map(|i| {
                let t = i as f64 / (n - 1) as f64;
                let z = low + (neck.z - low) * t;
                // Where the body sways, the straight line runs a little beside its middle.
                let beside = foot + (top - foot) * t - right.sway_at(z);
                let s = if beside < 0.0 { left } else { right };
                let row = s.row(z);
                let y = row.pole + theta.signum() * depth_beside(s, &row, theta, beside.abs());
                let y = if i + 1 == n { neck.y } else { y };
                // From the neck down, so that a chain seen from outside is counter-clockwise.
                Point2::new((1.0 - t) * length, if theta > 0.0 { y } else { -y })
            })
            .collect();
        taut_envelope(&chain)
    }
}

/// How far from the pole the surface is `beside` mm from the middle, straight behind or in front (`theta`).
fn depth_beside(s: &Surface, row: &SectionRow, theta: f64, beside: f64) -> f64 {
    if let Some(depth) = s.depth_at(row, beside, theta.signum()) {
        return depth;
    }
    let mut r = s.radius_in(row, theta);
    let mut turn = 0.0;
    if beside > 0.0 {
        for _ in 0..4 {
            turn = libm::asin((beside / r).min(0.9));
            r = s.radius_in(row, theta - theta.signum() * turn);
        }
    }
    r * libm::cos(turn)
}

/// Lengths of the edges in front of the pole, right and left of the middle.
fn front_part(edges: impl Iterator<Item = (Point2, Point2)>, pole: f64) -> (f64, f64) {
    let mut parts = (0.0, 0.0);
    for (a, b) in edges {
        // What lies behind the side lines is cut off, and what crosses the middle is shared out.
        let clip = |p: Point2, q: Point2| {
            if p.y >= pole || q.y <= p.y {
                p
            } else {
                p + (q - p) * ((pole - p.y) / (q.y - p.y))
            }
        };
        if a.y < pole && b.y < pole {
            continue;
        }
        let (a, b) = (clip(a, b), clip(b, a));
        let whole = (b - a).norm();
        let right = if (a.x < 0.0) == (b.x < 0.0) {
            if a.x + b.x >= 0.0 { 1.0 } else { 0.0 }
        } else {
            a.x.max(b.x) / (a.x - b.x).abs()
        };
        parts.0 += whole * right;
        parts.1 += whole * (1.0 - right);
    }
    parts
}
