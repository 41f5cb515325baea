//! What one half of a body tells a tape. `x` points out to the half's own side; where the halves are
//! alike, one of them tells all.

use std::f64::consts::{FRAC_PI_2, PI};
use std::sync::LazyLock;

use crate::geom::{Point2, Point3, Vector3};
use crate::measure::Level;
use crate::torso::param::Param;
use crate::torso::profile::smin;
use crate::torso::surface::{Heading, SectionRow, SideLevels, Surface};

use super::curves::{Near, base_gap, front_root, neck_base_root, rim_gap, rim_root};
use super::taut::{peak, peak_at, space_length, taut_envelope, taut_length};

/// Directions per half section: 2 degrees apart, both ends included.
const DIRECTIONS: usize = 91;
/// Directions in which the neck base line is followed: few behind, many beside the front of the neck,
/// where the line falls steeply.
const BASE_DIRECTIONS: usize = 37;
/// The one straight to the side.
const BASE_SIDE: usize = 12;
/// Heights at which the rim of an arm plate is looked for.
const RIM_HEIGHTS: usize = 32;

/// The direction `i` of the neck base line, radians.
fn base_direction(i: usize) -> f64 {
    let beyond = |from: usize| (i - from) as f64;
    let degrees = if i <= BASE_SIDE {
        -90.0 + 7.5 * i as f64
    } else if i <= 2 * BASE_SIDE {
        2.5 * beyond(BASE_SIDE)
    } else {
        30.0 + 5.0 * beyond(2 * BASE_SIDE)
    };
    degrees.to_radians()
}

fn direction(i: usize, n: usize) -> f64 {
    -FRAC_PI_2 + PI * i as f64 / (n - 1) as f64
}

/// The directions of a half section, from the back round to the front.
static HEADINGS: LazyLock<[Heading; DIRECTIONS]> =
    LazyLock::new(|| std::array::from_fn(|i| Heading::new(direction(i, DIRECTIONS))));

/// The directions of the neck base line.
static BASE_HEADINGS: LazyLock<[Heading; BASE_DIRECTIONS]> =
    LazyLock::new(|| std::array::from_fn(|i| Heading::new(base_direction(i))));

/// Moves both ends of half a symmetric ring out to where its hull crosses the middle: level with the
/// outermost point beside it.
pub(super) fn bridge_middle(half: &mut [Point2]) {
    let last = half.len() - 1;
    half[0].y = -peak(half.iter().map(|p| -p.y));
    half[last].y = peak(half.iter().map(|p| p.y));
}

/// Half of a horizontal section about the pole, from the back round to the front.
fn half_surface(s: &Surface, row: &SectionRow) -> Vec<Point2> {
    let middle = |i: usize| i == 0 || i + 1 == DIRECTIONS;
    let headings = HEADINGS.iter().enumerate();
    headings
        .map(|(i, to)| {
            let (x, y) = s.place_over(row, to);
            Point2::new(if middle(i) { 0.0 } else { x }, row.pole + y)
        })
        .collect()
}

/// Within how much of each other seat and shoulder blades both touch a wall, mm: flesh gives a little, at most a
/// sixth of this. Our choice, a fifth of what a wall gap is read to; without it a gap has a corner where the wall goes
/// over from one to the other, where a fit comes to rest.
const BOTH_TOUCH_MM: f64 = 6.0;

/// How far roots are followed: heights of the neck base line, mm, directions of a rim and of a place in
/// front, radians.
const BASE_REACH: f64 = 5.0;
const RIM_REACH: f64 = 0.02;
const FRONT_REACH: f64 = 0.05;

/// How far out to the side the place over a direction is, from the pole.
fn out_over(s: &Surface, row: &SectionRow, theta: f64) -> f64 {
    s.place_over(row, &Heading::new(theta)).0
}

/// Roots found on a surface, as far as they were looked for: numbers, or not a number where there is
/// none.
#[derive(Debug, Default)]
struct Found {
    base: Vec<f64>,
    rim: Vec<f64>,
    across: [Option<f64>; 2],
    /// With `x` and height of the place.
    front: Vec<Option<(f64, f64, f64)>>,
}

/// Where curves were found on a surface that differs a little: roots are followed from there instead
/// of being looked for.
#[derive(Clone, Debug, Default)]
pub(crate) struct Hints {
    base: Vec<Option<Near>>,
    rim: Vec<Option<Near>>,
    across: [Option<Near>; 2],
    front: Vec<Option<Near>>,
}

impl Hints {
    /// These, and those of `other` for what was not looked for here.
    pub(super) fn and(self, other: Self) -> Self {
        let first = |a: Vec<_>, b: Vec<_>| if a.is_empty() { b } else { a };
        let [back, front] = self.across;
        Self {
            base: first(self.base, other.base),
            rim: first(self.rim, other.rim),
            across: [back.or(other.across[0]), front.or(other.across[1])],
            front: first(self.front, other.front),
        }
    }
}

/// Reads a surface, remembering landmarks that several measurements share.
pub(super) struct HalfReader<'a> {
    s: &'a Surface,
    sections: Vec<(u64, Vec<Point2>)>,
    neck_base: Option<Vec<(f64, Point3)>>,
    bust_point: Option<Point3>,
    rearmost: Option<[f64; 3]>,
    /// Roots of a neighbouring surface, where they are known.
    near: Option<&'a Hints>,
    found: Found,
}

impl<'a> HalfReader<'a> {
    pub(super) fn new(s: &'a Surface) -> Self {
        Self {
            s,
            sections: Vec::new(),
            neck_base: None,
            bust_point: None,
            rearmost: None,
            near: None,
            found: Found::default(),
        }
    }

    /// A reader of a surface that differs a little from the one where `near` was found.
    pub(super) fn near(s: &'a Surface, near: &'a Hints) -> Self {
        Self {
            near: Some(near),
            ..Self::new(s)
        }
    }

    /// What is known of the curves for the sake of surfaces that differ a little.
    pub(super) fn hints(&self) -> Hints {
        let s = self.s;
        let base = BASE_HEADINGS.iter().zip(&self.found.base);
        let rim = self.found.rim.iter().enumerate();
        let across = s.row(s.level(Level::MidArmscye));
        Hints {
            base: base
                .map(|(to, z)| Near::new(|z| base_gap(s, to, z), *z, BASE_REACH))
                .collect(),
            rim: rim
                .map(|(i, theta)| {
                    let row = s.row(self.rim_height(i % RIM_HEIGHTS));
                    Near::new(|theta| rim_gap(s, &row, theta), *theta, RIM_REACH)
                })
                .collect(),
            across: self
                .found
                .across
                .map(|theta| Near::new(|theta| rim_gap(s, &across, theta), theta?, RIM_REACH)),
            front: self
                .found
                .front
                .iter()
                .map(|place| {
                    let (x, z, theta) = (*place)?;
                    let row = s.row(z);
                    Near::new(|theta| out_over(s, &row, theta) - x, theta, FRONT_REACH)
                })
                .collect(),
        }
    }

    /// Direction of the rim in `row`, and the root behind it if there is one (else not a number).
    fn rim_at(&self, row: &SectionRow, sign: f64, near: Option<Near>) -> (f64, f64) {
        let s = self.s;
        let followed = near.and_then(|n| n.follow(|theta| rim_gap(s, row, theta), RIM_REACH));
        if let Some(theta) = followed {
            return (theta, theta);
        }
        let (theta, found) = rim_root(|theta| rim_gap(s, row, theta), sign);
        (if found.is_nan() { theta } else { found }, found)
    }

    /// Height `j` of those at which the rim is looked for.
    fn rim_height(&self, j: usize) -> f64 {
        let (low, high) = (self.s.own.armpit, self.s.own.shoulder);
        let t = PI * (j + 1) as f64 / (RIM_HEIGHTS + 1) as f64;
        low + (high - low) * 0.5 * (1.0 - libm::cos(t))
    }

    fn point(&self, theta: f64, z: f64) -> Point3 {
        self.point_in(&self.s.row(z), theta, z)
    }

    /// The same over direction `theta` of the row at `z`.
    fn point_in(&self, row: &SectionRow, theta: f64, z: f64) -> Point3 {
        let (x, y) = self.s.place_over(row, &Heading::new(theta));
        Point3::new(x + self.s.sway_at(z), row.pole + y, z)
    }

    /// Half of the section at `z`.
    pub(super) fn section(&mut self, z: f64) -> &[Point2] {
        let key = z.to_bits();
        let at = self.sections.iter().position(|(k, _)| *k == key);
        let at = at.unwrap_or_else(|| {
            let row = self.s.row(z);
            self.sections.push((key, half_surface(self.s, &row)));
            self.sections.len() - 1
        });
        &self.sections[at].1
    }

    /// The neck base line: `(theta, point)` from back to front.
    fn neck_base(&mut self) -> &[(f64, Point3)] {
        if self.neck_base.is_none() {
            let s = self.s;
            let line = BASE_HEADINGS
                .iter()
                .enumerate()
                .map(|(i, to)| {
                    let near = self.near.and_then(|n| n.base.get(i).copied().flatten());
                    let followed = near.and_then(|n| n.follow(|z| base_gap(s, to, z), BASE_REACH));
                    let (z, root) = followed.map_or_else(
                        || {
                            let (z, root) = neck_base_root(s, to);
                            (if root.is_nan() { z } else { root }, root)
                        },
                        |z| (z, z),
                    );
                    self.found.base.push(root);
                    let row = s.row(z);
                    let r = s.radius_towards(&row, to);
                    let (x, y) = (r * to.cos + s.sway_at(z), row.pole + r * to.sin);
                    (base_direction(i), Point3::new(x, y, z))
                })
                .collect();
            self.neck_base = Some(line);
        }
        self.neck_base.as_deref().unwrap_or_default()
    }

    pub(super) fn nape(&mut self) -> Point3 {
        self.neck_base()[0].1
    }

    pub(super) fn side_neck(&mut self) -> Point3 {
        self.neck_base()[BASE_SIDE].1
    }

    pub(super) fn front_neck(&mut self) -> Point3 {
        self.neck_base()[BASE_DIRECTIONS - 1].1
    }

    pub(super) fn shoulder_point(&self) -> Point3 {
        self.point(0.0, self.s.own.shoulder)
    }

    pub(super) fn bust_point(&mut self) -> Point3 {
        if let Some(p) = self.bust_point {
            return p;
        }
        let s = self.s;
        let row = s.row(s.own.bust);
        let point = s.get(Param::BustPointHalf);
        let theta = front_root(|theta| out_over(s, &row, theta) - point, point);
        let p = self.point_in(&row, theta, s.own.bust);
        self.bust_point = Some(p);
        p
    }

    /// Rim of the arm plate: front and back branch, from the armpit up.
    fn rim(&mut self) -> [Vec<Point3>; 2] {
        let s = self.s;
        let rows: Vec<(f64, SectionRow)> = (0..RIM_HEIGHTS)
            .map(|j| (self.rim_height(j), s.row(self.rim_height(j))))
            .collect();
        let mut found = Vec::with_capacity(2 * RIM_HEIGHTS);
        let branches = [1.0, -1.0].map(|sign| {
            rows.iter()
                .map(|(z, row)| {
                    let near = self.near.and_then(|n| n.rim.get(found.len()).copied());
                    let (theta, root) = self.rim_at(row, sign, near.flatten());
                    found.push(root);
                    self.point_in(row, theta, *z)
                })
                .collect()
        });
        self.found.rim = found;
        branches
    }

    pub(super) fn armscye(&mut self) -> f64 {
        let s = self.s;
        let top = self.shoulder_point();
        let bottom = self.point(0.0, s.own.armpit);
        // Front up, back down. The rim is not quite plane: it is laid in the plane that fits it best,
        // counter-clockwise about that plane's normal (Newell's).
        let rim = self.rim();
        let mut ring: Vec<Point3> = Vec::with_capacity(2 * RIM_HEIGHTS + 3);
        ring.push(bottom);
        ring.extend(&rim[0]);
        ring.push(top);
        ring.extend(rim[1].iter().rev());
        ring.push(bottom);
        let normal: Vector3 = ring
            .windows(2)
            .map(|w| w[0].coords.cross(&w[1].coords))
            .sum();
        let u = normal.cross(&Vector3::z()).normalize();
        let v = normal.normalize().cross(&u);
        let flat: Vec<Point2> = ring
            .iter()
            .map(|p| Point2::new(p.coords.dot(&u), p.coords.dot(&v)))
            .collect();
        taut_length(&flat, false)
    }

    /// Half of the way across the back (`sign` -1) or front (1) at mid armscye: from the rim to the
    /// middle.
    pub(super) fn across(&mut self, sign: f64) -> Vec<Point2> {
        let s = self.s;
        let row = s.row(s.level(Level::MidArmscye));
        let k = usize::from(sign > 0.0);
        let (start, root) = self.rim_at(&row, sign, self.near.and_then(|n| n.across[k]));
        self.found.across[k] = Some(root);
        let end = sign * FRAC_PI_2;
        let n = 31;
        (0..n)
            .map(|i| {
                // Samples crowd at the rim, where the edge is rolled.
                let u = i as f64 / (n - 1) as f64;
                let theta = start + (end - start) * u * u;
                let (x, y) = s.place_over(&row, &Heading::new(theta));
                Point2::new(if i + 1 == n { 0.0 } else { x }, row.pole + y)
            })
            .collect()
    }

    /// `y` of the surface in front at `x`, `z`, of its outermost place where it is nowhere so far out; `i`
    /// numbers the places of one path.
    fn front_at(&mut self, x: f64, z: f64, i: usize) -> f64 {
        let s = self.s;
        let row = s.row(z);
        let x = x - s.sway_at(z);
        if self.found.front.len() <= i {
            self.found.front.resize(i + 1, None);
        }
        if let Some(y) = s.depth_at(&row, x, 1.0) {
            return row.pole + y;
        }
        let off = |theta: f64| out_over(s, &row, theta) - x;
        let near = self.near.and_then(|n| n.front.get(i).copied().flatten());
        let theta = near
            .and_then(|n| n.follow(off, FRONT_REACH))
            .unwrap_or_else(|| front_root(off, x));
        self.found.front[i] = Some((x, z, theta));
        row.pole + s.place_over(&row, &Heading::new(theta)).1
    }

    pub(super) fn over_bust(&mut self, on_to_waist: bool) -> f64 {
        let neck = self.side_neck();
        let bust = self.bust_point();
        let run = libm::hypot(bust.x - neck.x, bust.z - neck.z);
        let n = 31;
        let mut chain = Vec::with_capacity(48);
        for i in 0..n {
            let t = libm::pow(i as f64 / (n - 1) as f64, 1.8);
            let (x, z) = (
                neck.x + t * (bust.x - neck.x),
                neck.z + t * (bust.z - neck.z),
            );
            let y = match i {
                0 => neck.y,
                _ if i + 1 == n => bust.y,
                _ => self.front_at(x, z, i),
            };
            chain.push(Point2::new(t * run, y));
        }
        if on_to_waist {
            let end = self.s.level(Level::WaistTape);
            let m = 17;
            for i in 1..m {
                let z = bust.z + (end - bust.z) * i as f64 / (m - 1) as f64;
                let y = self.front_at(bust.x, z, n + i);
                chain.push(Point2::new(run + bust.z - z, y));
            }
        }
        taut_envelope(&chain)
    }

    /// Rearmost `y` of the seat, of the shoulder blades, and of everything.
    pub(super) fn rearmost(&mut self) -> [f64; 3] {
        if let Some(w) = self.rearmost {
            return w;
        }
        let s = self.s;
        // How far back row `z` is, every 6 degrees from straight behind to 60 degrees beside it.
        let behind = |z: f64| -> Vec<f64> {
            let row = s.row(z);
            let headings = HEADINGS[..=30].iter().step_by(3);
            headings
                .map(|to| -(row.pole + s.place_over(&row, to).1))
                .collect()
        };
        let span = |a: f64, b: f64, n: usize| {
            let step = (b - a) / (n - 1) as f64;
            let rows: Vec<f64> = (0..n)
                .map(|i| peak(behind(a + i as f64 * step).into_iter()))
                .collect();
            // Between the samples it is looked at once more: their parabola alone would jump from one to the next.
            let z = a + peak_at(&rows) * step;
            let there = peak_at(&behind(z)) * 6.0;
            let to = Heading::new((there - 90.0).to_radians());
            let row = s.row(z);
            row.pole + s.place_over(&row, &to).1
        };
        let seat_top = 0.3 * s.level(Level::Hip);
        let blade_foot = s.level(Level::Bust) - 20.0;
        let shoulder = s.level(Level::ShoulderPoint);
        let seat = span(s.level(Level::Hem), seat_top, 18);
        let blade = span(blade_foot, shoulder, 14);
        let rest = span(seat_top, blade_foot, 8);
        let high = span(shoulder, s.level(Level::Nape), 6);
        let pressed = smin(seat, blade, BOTH_TOUCH_MM);
        let w = [seat, blade, pressed.min(rest).min(high)];
        self.rearmost = Some(w);
        w
    }

    /// Half of the section square to the neck, in its own plane.
    pub(super) fn neck_half(&self) -> Vec<Point2> {
        let s = self.s;
        let zn = s.level(Level::NeckGirth);
        let tan = s.neck_tan();
        let y0 = 0.5 * (s.neck_back(zn) + s.neck_front(zn));
        let cos = 1.0 / (1.0 + tan * tan).sqrt();
        let headings = HEADINGS.iter().enumerate().step_by(3);
        headings
            .map(|(i, to)| {
                let out = |z: f64| {
                    let row = s.row(z);
                    let r = s.radius_towards(&row, to);
                    (r * to.cos, row.pole + r * to.sin - y0)
                };
                // The plane leans: its height in a direction depends on how far out it is met. Two
                // looks tell where they lead (Aitken 1926).
                let next = |z: f64| zn - tan * out(z).1;
                let first = next(zn);
                let second = next(first);
                let (a, b) = (first - zn, second - first);
                let z = if (a - b).abs() > f64::MIN_POSITIVE {
                    second + b * b / (a - b)
                } else {
                    second
                };
                let (x, v) = out(z);
                let middle = i == 0 || i + 1 == DIRECTIONS;
                Point2::new(if middle { 0.0 } else { x }, v / cos)
            })
            .collect()
    }

    /// Length of the neck base line on this half.
    pub(super) fn neck_base_half(&mut self) -> f64 {
        space_length(self.neck_base())
    }

    /// From the waist to the hip down the side.
    pub(super) fn waist_to_hip(&self) -> f64 {
        let s = self.s;
        let (low, high) = (s.get(Param::HipLevel), s.level(Level::WaistTape));
        let n = 21;
        let chain: Vec<Point2> = (0..n)
            .map(|i| {
                let z = high + (low - high) * i as f64 / (n - 1) as f64;
                Point2::new(-z, s.radius(0.0, z))
            })
            .collect();
        taut_envelope(&chain)
    }

    /// Levels of this side.
    pub(super) fn levels(&self) -> SideLevels {
        self.s.own
    }

    /// Centre back or front at height `z`.
    pub(super) fn middle(&self, theta: f64, z: f64) -> Point3 {
        self.point(theta, z)
    }
}
