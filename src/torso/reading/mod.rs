//! What a tape would read on the surface itself, as the fit needs it: smooth in the parameters and
//! cheap. The check of the finished solid has its own code and shares nothing with this.

use std::f64::consts::{FRAC_PI_2, PI};

use crate::geom::{Point2, Point3, Vector3};
use crate::measure::{Level, Measure};
use crate::torso::param::Param;
use crate::torso::surface::{Row, Surface};

mod curves;
mod taut;

use curves::{base_gap, follow, neck_base_root, rim_root, root};
pub(crate) use curves::{neck_base_height, rim_angle};
use taut::{peak, space_length, taut, taut_envelope, taut_length};

/// Directions per half section: 2 degrees apart, both ends included.
const DIRECTIONS: usize = 91;
/// Directions of the neck base line per half: 6 degrees apart.
const BASE_DIRECTIONS: usize = 31;
/// Heights at which the rim of an arm plate is looked for.
const RIM_HEIGHTS: usize = 24;
fn direction(i: usize, n: usize) -> f64 {
    -FRAC_PI_2 + PI * i as f64 / (n - 1) as f64
}

/// Right half of a horizontal section, from the back round to the front. Where the middle is a hollow
/// the end point moves out to where a tape crosses it: level with the outermost point beside it.
fn half_section(s: &Surface, row: &Row) -> Vec<Point2> {
    let mut half = half_surface(s, row);
    bridge_middle(&mut half);
    half
}

/// Moves both ends of half a symmetric ring out to where its hull crosses the middle.
fn bridge_middle(half: &mut [Point2]) {
    let last = half.len() - 1;
    half[0].y = -peak(half.iter().map(|p| -p.y));
    half[last].y = peak(half.iter().map(|p| p.y));
}

fn half_surface(s: &Surface, row: &Row) -> Vec<Point2> {
    (0..DIRECTIONS)
        .map(|i| {
            let theta = direction(i, DIRECTIONS);
            let r = s.radius_in(row, theta);
            let x = if i == 0 || i + 1 == DIRECTIONS {
                0.0
            } else {
                r * theta.cos()
            };
            Point2::new(x, row.pole + r * theta.sin())
        })
        .collect()
}

/// Where curves were found on a surface that differs a little: roots are followed from there instead
/// of being looked for.
#[derive(Clone, Debug, Default)]
pub(crate) struct Hints {
    base: Vec<f64>,
    rim: Vec<f64>,
    across: [Option<f64>; 2],
    front: Vec<f64>,
}

/// Reads a surface, remembering landmarks that several measurements share.
pub(crate) struct Reader<'a> {
    s: &'a Surface,
    sections: Vec<(u64, Vec<Point2>)>,
    neck_base: Option<Vec<(f64, Point3)>>,
    bust_point: Option<Point3>,
    wall: Option<[f64; 4]>,
    /// Roots of a neighbouring surface, where they are known.
    near: Option<&'a Hints>,
    /// Roots found here.
    pub(crate) found: Hints,
}

impl<'a> Reader<'a> {
    pub(crate) fn new(s: &'a Surface) -> Self {
        Self {
            s,
            sections: Vec::new(),
            neck_base: None,
            bust_point: None,
            wall: None,
            near: None,
            found: Hints::default(),
        }
    }

    /// A reader of a surface that differs a little from the one where `near` was found.
    pub(crate) fn near(s: &'a Surface, near: &'a Hints) -> Self {
        Self {
            near: Some(near),
            ..Self::new(s)
        }
    }

    /// Direction of the rim in `row`, and the root behind it if there is one (else not a number).
    fn rim_at(&self, row: &Row, sign: f64, hint: Option<f64>) -> (f64, f64) {
        let s = self.s;
        let search = || {
            let (theta, found) = rim_root(s, row, sign);
            (if found.is_nan() { theta } else { found }, found)
        };
        let Some(hint) = hint.filter(|h| !h.is_nan()) else {
            return search();
        };
        let gap = |theta: f64| {
            let q = s.parts(row, theta);
            q.trunk - q.plate
        };
        let theta = follow(gap, hint, 0.02);
        if theta.is_nan() {
            search()
        } else {
            (theta, theta)
        }
    }

    fn point(&self, theta: f64, z: f64) -> Point3 {
        let row = self.s.row(z);
        let r = self.s.radius_in(&row, theta);
        Point3::new(r * theta.cos(), row.pole + r * theta.sin(), z)
    }

    fn section(&mut self, z: f64) -> &[Point2] {
        let key = z.to_bits();
        let at = self.sections.iter().position(|(k, _)| *k == key);
        let at = at.unwrap_or_else(|| {
            let row = self.s.row(z);
            self.sections.push((key, half_section(self.s, &row)));
            self.sections.len() - 1
        });
        &self.sections[at].1
    }

    fn girth(&mut self, level: Level) -> f64 {
        let z = self.s.level(level);
        2.0 * taut_length(self.section(z), true)
    }

    fn breadth(&mut self, level: Level) -> f64 {
        let z = self.s.level(level);
        let half = self.section(z);
        2.0 * peak(half.iter().map(|p| p.x))
    }

    fn depth(&mut self, level: Level) -> f64 {
        let z = self.s.level(level);
        let half = self.section(z);
        peak(half.iter().map(|p| p.y)) + peak(half.iter().map(|p| -p.y))
    }

    /// Front arc: from the side line (straight out from the pole) round the front to the other one.
    fn front_arc(&mut self, level: Level) -> f64 {
        let z = self.s.level(level);
        let row = self.s.row(z);
        let pole = row.pole;
        let half = self.section(z);
        let hull = taut(half);
        // Walk the hull of the right half; what lies beyond the ray from the pole to the side counts.
        let mut sum = 0.0;
        for w in hull.windows(2) {
            let (a, b) = (half[w[0]], half[w[1]]);
            let chord = (b - a).norm();
            if a.y >= pole {
                sum += chord;
            } else if b.y > pole {
                sum += chord * (b.y - pole) / (b.y - a.y);
            }
        }
        // The same correction of chords to arcs as the whole girth gets.
        let whole: f64 = hull
            .windows(2)
            .map(|w| (half[w[1]] - half[w[0]]).norm())
            .sum();
        let arc = taut_length(half, true);
        2.0 * sum * arc / whole
    }

    /// The neck base line: `(theta, point)` from back to front on the right.
    pub(crate) fn neck_base(&mut self) -> &[(f64, Point3)] {
        if self.neck_base.is_none() {
            let s = self.s;
            let line = (0..BASE_DIRECTIONS)
                .map(|i| {
                    let theta = direction(i, BASE_DIRECTIONS);
                    let hint = self.near.and_then(|n| n.base.get(i).copied());
                    let mut z = f64::NAN;
                    if let Some(hint) = hint.filter(|h| !h.is_nan()) {
                        z = follow(|z| base_gap(s, theta, z), hint, 5.0);
                    }
                    let mut root = z;
                    if z.is_nan() {
                        (z, root) = neck_base_root(s, theta);
                        if !root.is_nan() {
                            z = root;
                        }
                    }
                    self.found.base.push(root);
                    (theta, self.point(theta, z))
                })
                .collect();
            self.neck_base = Some(line);
        }
        self.neck_base.as_deref().unwrap_or_default()
    }

    fn nape(&mut self) -> Point3 {
        self.neck_base()[0].1
    }

    fn side_neck(&mut self) -> Point3 {
        self.neck_base()[BASE_DIRECTIONS / 2].1
    }

    fn front_neck(&mut self) -> Point3 {
        self.neck_base()[BASE_DIRECTIONS - 1].1
    }

    fn shoulder_point(&self) -> Point3 {
        self.point(0.0, self.s.level(Level::ShoulderPoint))
    }

    pub(crate) fn bust_point(&mut self) -> Point3 {
        let s = self.s;
        *self.bust_point.get_or_insert_with(|| {
            let theta = FRAC_PI_2 - s.get(Param::BreastAngle).to_radians();
            let z = s.level(Level::Bust);
            let row = s.row(z);
            let r = s.radius_in(&row, theta);
            Point3::new(r * theta.cos(), row.pole + r * theta.sin(), z)
        })
    }

    /// Rim of the right arm plate: front and back branch, from the armpit up.
    fn rim(&mut self) -> [Vec<Point3>; 2] {
        let s = self.s;
        let (low, high) = (s.level(Level::Armpit), s.level(Level::ShoulderPoint));
        let mut branches = [Vec::new(), Vec::new()];
        for (k, sign) in [1.0, -1.0].into_iter().enumerate() {
            for j in 1..=RIM_HEIGHTS {
                let t = PI * j as f64 / (RIM_HEIGHTS + 1) as f64;
                let z = low + (high - low) * 0.5 * (1.0 - t.cos());
                let row = s.row(z);
                let hint = self
                    .near
                    .and_then(|n| n.rim.get(self.found.rim.len()).copied());
                let (theta, root) = self.rim_at(&row, sign, hint);
                self.found.rim.push(root);
                let r = s.radius_in(&row, theta);
                branches[k].push(Point3::new(r * theta.cos(), row.pole + r * theta.sin(), z));
            }
        }
        branches
    }

    fn armscye(&mut self) -> f64 {
        let s = self.s;
        let top = self.shoulder_point();
        let bottom = self.point(0.0, s.level(Level::Armpit));
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

    fn across(&mut self, sign: f64) -> f64 {
        let s = self.s;
        let row = s.row(s.level(Level::MidArmscye));
        let k = usize::from(sign > 0.0);
        let (start, root) = self.rim_at(&row, sign, self.near.and_then(|n| n.across[k]));
        self.found.across[k] = Some(root);
        let end = sign * FRAC_PI_2;
        let n = 31;
        let mut chain: Vec<Point2> = (0..n)
            .map(|i| {
                let u = 1.0 - i as f64 / (n - 1) as f64;
                // Samples crowd at the rim, where the edge is rolled.
                let theta = start + (end - start) * u * u;
                let r = s.radius_in(&row, theta);
                let x = if i == 0 { 0.0 } else { r * theta.cos() };
                Point2::new(x, row.pole + r * theta.sin())
            })
            .collect();
        chain[0].y = sign * peak(chain.iter().map(|p| sign * p.y));
        // Counter-clockwise means from the rim to the front, and from the back to the rim.
        if sign > 0.0 {
            chain.reverse();
        }
        // The chain is half of a symmetric one: its end on the centre is smooth, its rim is not.
        2.0 * taut_length(&chain, false)
    }

    /// `y` of the surface in front at `x`, `z`; `i` numbers the places of one path.
    fn front_at(&mut self, x: f64, z: f64, i: usize) -> f64 {
        let s = self.s;
        let row = s.row(z);
        let off = |theta: f64| s.radius_in(&row, theta) * theta.cos() - x;
        let mut theta = f64::NAN;
        if let Some(hint) = self.near.and_then(|n| n.front.get(i)) {
            theta = follow(off, *hint, 0.05);
        }
        if theta.is_nan() {
            let (a, b) = (FRAC_PI_2, 0.2);
            theta = root(off, a, -x, b, off(b));
        }
        if self.found.front.len() <= i {
            self.found.front.resize(i + 1, theta);
        }
        self.found.front[i] = theta;
        row.pole + s.radius_in(&row, theta) * theta.sin()
    }

    fn profile(&mut self, from: f64, to: f64, to_y: f64, n: usize, theta: f64) -> f64 {
        let s = self.s;
        let chain: Vec<Point2> = (0..n)
            .rev()
            .map(|i| {
                let z = from + (to - from) * i as f64 / (n - 1) as f64;
                let row = s.row(z);
                let y = row.pole + s.radius_in(&row, theta) * theta.sin();
                let y = if i + 1 == n { to_y } else { y };
                // Heights run downwards, so that a chain seen from outside is counter-clockwise.
                Point2::new(-z, if theta > 0.0 { y } else { -y })
            })
            .collect();
        taut_envelope(&chain)
    }

    fn over_bust(&mut self, on_to_waist: bool) -> f64 {
        let neck = self.side_neck();
        let bust = self.bust_point();
        let run = (bust.x - neck.x).hypot(bust.z - neck.z);
        let n = 23;
        let mut chain = Vec::with_capacity(48);
        for i in 0..n {
            let t = (i as f64 / (n - 1) as f64).powf(1.8);
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

    fn wall(&mut self) -> [f64; 4] {
        if let Some(w) = self.wall {
            return w;
        }
        let s = self.s;
        let rearmost = |z: f64| {
            let row = s.row(z);
            let y = |i: usize| {
                let theta = -FRAC_PI_2 + (i as f64 * 5.0).to_radians();
                row.pole + s.radius_in(&row, theta) * theta.sin()
            };
            (0..13).map(y).fold(f64::INFINITY, f64::min)
        };
        let span = |a: f64, b: f64, n: usize| {
            (0..n)
                .map(|i| rearmost(a + (b - a) * i as f64 / (n - 1) as f64))
                .fold(f64::INFINITY, f64::min)
        };
        let seat = span(s.level(Level::Hem), 0.3 * s.level(Level::Hip), 18);
        let blade = span(
            s.level(Level::Bust) - 20.0,
            s.level(Level::ShoulderPoint),
            14,
        );
        let rest = span(0.3 * s.level(Level::Hip), s.level(Level::Bust) - 20.0, 8);
        let high = span(s.level(Level::ShoulderPoint), s.level(Level::Nape), 6);
        let wall = seat.min(blade).min(rest).min(high);
        let waist = self.point(-FRAC_PI_2, s.level(Level::WaistTape)).y;
        let nape = self.nape().y;
        let w = [nape - wall, blade - wall, waist - wall, seat - wall];
        self.wall = Some(w);
        w
    }

    fn neck_girth(&mut self, breadth: bool) -> f64 {
        let s = self.s;
        let zn = s.level(Level::NeckGirth);
        let tan = s.neck_tan();
        let y0 = 0.5 * (s.neck_back(zn) + s.neck_front(zn));
        let cos = 1.0 / (1.0 + tan * tan).sqrt();
        let mut half: Vec<Point2> = (0..DIRECTIONS)
            .step_by(3)
            .map(|i| {
                let theta = direction(i, DIRECTIONS);
                let (sin, c) = theta.sin_cos();
                // The plane leans: its height in a direction depends on how far out it is met.
                let mut z = zn;
                let mut v = 0.0;
                let mut x = 0.0;
                for _ in 0..5 {
                    let row = s.row(z);
                    let r = s.radius_in(&row, theta);
                    x = r * c;
                    v = row.pole + r * sin - y0;
                    z = zn - tan * v;
                }
                let x = if i == 0 || i + 1 == DIRECTIONS {
                    0.0
                } else {
                    x
                };
                Point2::new(x, v / cos)
            })
            .collect();
        if breadth {
            return 2.0 * peak(half.iter().map(|p| p.x));
        }
        bridge_middle(&mut half);
        2.0 * taut_length(&half, true)
    }

    /// The reading of `measure`, mm or radians; `None` where the form has no such part.
    pub(crate) fn read(&mut self, measure: Measure) -> Option<f64> {
        let s = self.s;
        let up = |z: f64| s.get(Param::WaistHeight) + z;
        Some(match measure {
            Measure::GirthNeck => self.neck_girth(false),
            Measure::BreadthNeck => self.neck_girth(true),
            Measure::GirthNeckBase => 2.0 * space_length(self.neck_base()),
            Measure::GirthUpperChest => self.girth(Level::Armpit),
            Measure::GirthBust => self.girth(Level::Bust),
            Measure::GirthUnderbust => self.girth(Level::Underbust),
            Measure::GirthWaist => self.girth(Level::WaistTape),
            Measure::GirthAbdomen => self.girth(Level::Abdomen),
            Measure::GirthTopHip => self.girth(Level::TopHip),
            Measure::GirthHip => self.girth(Level::Hip),
            Measure::GirthArmscye => self.armscye(),
            Measure::ArcFrontBust => self.front_arc(Level::Bust),
            Measure::ArcFrontWaist => self.front_arc(Level::WaistTape),
            Measure::ArcFrontHip => self.front_arc(Level::Hip),
            Measure::LengthShoulder => (self.shoulder_point() - self.side_neck()).norm(),
            Measure::LengthBackWaist => {
                let nape = self.nape();
                self.profile(s.level(Level::WaistTape), nape.z, nape.y, 41, -FRAC_PI_2)
            }
            Measure::LengthFrontWaist => {
                let neck = self.front_neck();
                self.profile(s.level(Level::WaistTape), neck.z, neck.y, 41, FRAC_PI_2)
            }
            Measure::LengthSideNeckToBust => self.over_bust(false),
            Measure::LengthSideNeckToWaist => self.over_bust(true),
            Measure::LengthAcrossBack => self.across(-1.0),
            Measure::LengthAcrossFront => self.across(1.0),
            Measure::LengthBustPointWidth => 2.0 * self.bust_point().x,
            Measure::LengthWaistToHip => {
                let (low, high) = (s.level(Level::Hip), s.level(Level::WaistTape));
                let n = 21;
                let chain: Vec<Point2> = (0..n)
                    .map(|i| {
                        let z = high + (low - high) * i as f64 / (n - 1) as f64;
                        Point2::new(-z, s.radius(0.0, z))
                    })
                    .collect();
                taut_envelope(&chain)
            }
            Measure::LengthScyeDepth => {
                let nape = self.nape();
                self.profile(s.level(Level::Armpit), nape.z, nape.y, 21, -FRAC_PI_2)
            }
            Measure::BreadthBust => self.breadth(Level::Bust),
            Measure::BreadthUnderbust => self.breadth(Level::Underbust),
            Measure::BreadthWaist => self.breadth(Level::WaistTape),
            Measure::BreadthTopHip => self.breadth(Level::TopHip),
            Measure::BreadthHip => self.breadth(Level::Hip),
            Measure::DepthBust => self.depth(Level::Bust),
            Measure::DepthUnderbust => self.depth(Level::Underbust),
            Measure::DepthWaist => self.depth(Level::WaistTape),
            Measure::DepthTopHip => self.depth(Level::TopHip),
            Measure::DepthHip => self.depth(Level::Hip),
            Measure::HeightNape => up(self.nape().z),
            Measure::HeightSideNeck => up(self.side_neck().z),
            Measure::HeightShoulder => up(s.level(Level::ShoulderPoint)),
            Measure::HeightArmpit => up(s.level(Level::Armpit)),
            Measure::HeightBust => up(s.level(Level::Bust)),
            Measure::HeightUnderbust => up(s.level(Level::Underbust)),
            Measure::HeightWaist => up(s.level(Level::WaistTape)),
            Measure::HeightTopHip => up(s.level(Level::TopHip)),
            Measure::HeightHip => up(s.level(Level::Hip)),
            Measure::SlopeShoulder => {
                let (a, b) = (self.side_neck(), self.shoulder_point());
                (a.z - b.z).atan2((b.x - a.x).hypot(b.y - a.y))
            }
            Measure::ShoulderDrop => self.side_neck().z - self.shoulder_point().z,
            Measure::WallNape => self.wall()[0],
            Measure::WallBlade => self.wall()[1],
            Measure::WallWaist => self.wall()[2],
            Measure::WallSeat => self.wall()[3],
            Measure::GirthShoulder
            | Measure::GirthThigh
            | Measure::GirthUpperArm
            | Measure::BreadthBiacromial
            | Measure::HeightStature
            | Measure::HeightCrotch => return None,
        })
    }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::{PI, TAU};

    use super::*;
    use crate::sheet::{EXAMPLE, read};
    use crate::torso::fit;

    fn example() -> crate::torso::Torso {
        fit(&read(EXAMPLE, "example").unwrap()).unwrap().torso
    }

    /// Perimeter of the hull by Cauchy's formula: the integral of the support function over all
    /// directions. A second route to every girth, with ten times the samples.
    fn cauchy(surface: &Surface, z: f64) -> f64 {
        let row = surface.row(z);
        let n = 3600;
        let ring: Vec<Point2> = (0..n)
            .map(|i| {
                let theta = TAU * f64::from(i) / f64::from(n);
                let folded = theta.sin().atan2(theta.cos().abs());
                let r = surface.radius_in(&row, folded);
                Point2::new(r * theta.cos(), row.pole + r * theta.sin())
            })
            .collect();
        let m = 2000;
        (0..m)
            .map(|k| {
                let (s, c) = (TAU * f64::from(k) / f64::from(m)).sin_cos();
                ring.iter()
                    .map(|p| p.x * c + p.y * s)
                    .fold(f64::MIN, f64::max)
            })
            .sum::<f64>()
            * TAU
            / f64::from(m)
    }

    #[test]
    fn girths_agree_with_cauchy() {
        let torso = example();
        let s = &torso.surface;
        for (measure, level) in [
            (Measure::GirthBust, Level::Bust),
            (Measure::GirthUnderbust, Level::Underbust),
            (Measure::GirthWaist, Level::WaistTape),
            (Measure::GirthAbdomen, Level::Abdomen),
            (Measure::GirthTopHip, Level::TopHip),
            (Measure::GirthHip, Level::Hip),
            (Measure::GirthUpperChest, Level::Armpit),
        ] {
            let quick = Reader::new(s).read(measure).unwrap();
            let slow = cauchy(s, s.level(level));
            assert!(
                (quick - slow).abs() < 0.05,
                "{measure}: {quick} against {slow}"
            );
        }
    }

    #[test]
    fn a_chord_is_corrected_to_its_arc() {
        // A circle of radius 150 through a sample every 2 degrees.
        let half: Vec<Point2> = (0..91)
            .map(|i| {
                let t = direction(i, 91);
                Point2::new(150.0 * t.cos(), 150.0 * t.sin())
            })
            .collect();
        assert!((2.0 * taut_length(&half, true) - TAU * 150.0).abs() < 1e-4);
    }

    #[test]
    fn curves_found_from_a_neighbour_are_the_same_curves() {
        let torso = example();
        let s = &torso.surface;
        let mut first = Reader::new(s);
        let slow: Vec<f64> = Measure::ALL.iter().filter_map(|m| first.read(*m)).collect();
        let mut again = Reader::near(s, &first.found);
        let quick: Vec<f64> = Measure::ALL.iter().filter_map(|m| again.read(*m)).collect();
        for (a, b) in slow.iter().zip(&quick) {
            assert!((a - b).abs() < 1e-6, "{a} against {b}");
        }
    }

    #[test]
    fn trunk_and_plate_meet_on_the_rim_and_trunk_and_neck_on_the_neck_base() {
        let torso = example();
        let s = &torso.surface;
        for (theta, z) in torso.rim(crate::measure::Side::Right) {
            // The ends lie on the plate itself.
            if theta.abs() > 1e-9 {
                let q = s.parts(&s.row(z), theta);
                assert!((q.trunk - q.plate).abs() < 1e-6, "at {theta}, {z}");
            }
        }
        for i in 0..19 {
            let theta = -0.5 * PI + PI * f64::from(i) / 18.0;
            let z = neck_base_height(s, theta);
            assert!(base_gap(s, theta, z).abs() < 1e-6, "at {theta}: {z}");
        }
    }

    #[test]
    fn the_surface_has_no_steps() {
        let torso = example();
        let (low, high) = torso.range();
        let mut worst: f64 = 0.0;
        for j in 0..200 {
            let z = low + (high - low) * (f64::from(j) + 0.5) / 200.0;
            for i in 0..360 {
                let theta = f64::from(i).to_radians();
                let here = torso.radius(theta, z);
                assert!(here > 10.0 && here < 500.0);
                worst = worst.max((torso.radius(theta + 1e-7, z) - here).abs());
                worst = worst.max((torso.radius(theta, z + 1e-5) - here).abs());
            }
        }
        assert!(worst < 0.01, "a jump of {worst} mm");
    }
}
