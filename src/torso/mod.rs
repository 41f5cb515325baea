//! The torso: elliptical-spline sections lofted over height, and its fit to a sheet.
//!
//! The surface is star-shaped about a pole that runs up through the body. At every height the
//! section is made of superelliptic quadrants (breadth, depth in front, depth behind, squareness),
//! with smooth local prominences added (blades, seat, abdomen, bust), cut by the flat plates of the
//! arms and joined to a leaning neck. Every one of these numbers is a shape-preserving spline over
//! height through a few keys, and the keys are the parameters that the fit moves.
//!
//! # Why does the form not simply scale a standard body?
//! A size has one posture and one balance of front and back. The fit asks instead which body is
//! most probable given the readings, so each reading moves what it speaks about and the rest
//! follows with its plus-or-minus.
//!
//! # How do left and right differ?
//! A parameter that has sides has a half-difference beside it, nothing in an even sheet; the moment
//! a reading tells the sides apart they are free, each with a spread. The surface is then two half
//! surfaces that share the line of centre front and centre back, and that line sways to the side by
//! the plumb readings. An even sheet never builds the second half.
//!
//! # How does a correction by hand keep the readings?
//! It is part of the surface before the fit looks at it, so the fit takes elsewhere on the level
//! what the correction adds.
//!
//! # What if the readings are of no body?
//! Where the fit leads out of the order that the levels of every body have, it is done again with
//! that order held (`torso/forced_order.rs`), and what the nearest body misses is named; three women of
//! the survey were refused before. Holding it from the first step was tried: it blocks ways that
//! lead back into the order, and two of 56 men ended at bodies that missed readings they can meet.
//! Where the nearest body misses a reading by more than a tenth of it and 5 cm, it is nobody's, and
//! the sheet is refused with the doubts beside the reason.

use std::f64::consts::{FRAC_PI_2, PI};

use crate::geom::{Point2, Point3};
use crate::measure::{Landmark, Level, Side};
use crate::sheet::Posture;

mod advice;
mod amend;
mod body;
mod doubt;
mod expect;
mod exposed_problem;
mod facts;
mod fit;
mod forced_order;
mod heights;
mod main_measures;
mod param;
mod pose;
mod posture;
mod prior;
mod problem;
mod profile;
mod reading;
mod refit;
mod scatter;
mod shape_words;
mod solve;
mod steps;
mod style;
mod surface;

pub use advice::Advice;
pub use doubt::Opposed;
pub use exposed_problem::ExposedProblem;
pub use facts::Against;
pub(crate) use facts::FitFact;
pub(crate) use fit::miss;
pub use fit::{Fit, fit, fit_to, refit_to};
pub use pose::Ends;
pub use solve::Ending;

use param::Param;
use reading::SurfaceReader;
use surface::Surface;

use body::Halves;

/// A body: a smooth closed surface but for its flat ends.
#[derive(Clone, Debug)]
pub struct Torso {
    body: Halves,
    floor: Option<(f64, f64)>,
    seat: Option<(f64, f64)>,
}

impl Torso {
    /// `ground` is what heights are counted from, where one was given: the floor, or the seat of somebody in this
    /// posture.
    fn new(body: Halves, ground: Option<(f64, f64)>, posture: Posture) -> Self {
        let (floor, seat) = match posture {
            Posture::Standing => (ground, None),
            Posture::Seated => (None, ground),
        };
        Self { body, floor, seat }
    }

    /// Height of a named level, mm; 0 is the natural waist.
    #[must_use]
    pub fn level(&self, level: Level) -> f64 {
        self.body.level(level)
    }

    /// Lowest and highest point of the form: hem and neck top, mm.
    #[must_use]
    pub fn range(&self) -> (f64, f64) {
        (self.level(Level::Hem), self.level(Level::NeckTop))
    }

    /// The pole at height `z`, mm.
    #[must_use]
    pub fn pole(&self, z: f64) -> Point2 {
        Point2::new(self.body.right().sway_at(z), self.body.pole(z))
    }

    /// The half that `theta` points into, and `theta` as that half counts it.
    fn half(&self, theta: f64) -> (&Surface, f64) {
        let (sin, cos) = libm::sincos(theta);
        let half = if cos >= 0.0 {
            self.body.right()
        } else {
            self.body.left()
        };
        (half, libm::atan2(sin, cos.abs()))
    }

    /// Distance from the pole to the surface in direction `theta` at height `z`, mm. `theta` in
    /// radians: 0 is the wearer's right, a quarter turn the front.
    #[must_use]
    pub fn radius(&self, theta: f64, z: f64) -> f64 {
        let (half, theta) = self.half(theta);
        half.radius(theta, z)
    }

    /// Distances in many directions at one height, mm: cheaper than one by one.
    #[must_use]
    pub fn radii(&self, thetas: &[f64], z: f64) -> Vec<f64> {
        let rows: Vec<_> = self.body.halves().iter().map(|s| s.row(z)).collect();
        let one = |theta: &f64| {
            let (half, folded) = self.half(*theta);
            let last = rows.len() - 1;
            half.radius_in(
                &rows[if libm::cos(*theta) < 0.0 { last } else { 0 }],
                folded,
            )
        };
        thetas.iter().map(one).collect()
    }

    /// The point of the surface in direction `theta` at height `z`.
    #[must_use]
    pub fn point(&self, theta: f64, z: f64) -> Point3 {
        let r = self.radius(theta, z);
        let pole = self.pole(z);
        Point3::new(
            pole.x + r * libm::cos(theta),
            pole.y + r * libm::sin(theta),
            z,
        )
    }

    /// Where a landmark lies: direction (radians) and height (mm).
    #[must_use]
    pub fn landmark(&self, landmark: Landmark) -> (f64, f64) {
        let (right, left) = (self.body.right(), self.body.left());
        let base = |s: &Surface, theta: f64| reading::neck_base_height(s, theta);
        let bust = reading::bust_direction;
        match landmark {
            Landmark::Nape => (-FRAC_PI_2, base(right, -FRAC_PI_2)),
            Landmark::FrontNeck => (FRAC_PI_2, base(right, FRAC_PI_2)),
            Landmark::SideNeckRight => (0.0, base(right, 0.0)),
            Landmark::SideNeckLeft => (PI, base(left, 0.0)),
            Landmark::ShoulderRight => (0.0, right.own.shoulder),
            Landmark::ShoulderLeft => (PI, left.own.shoulder),
            Landmark::BustRight => (bust(right), right.own.bust),
            Landmark::BustLeft => (PI - bust(left), left.own.bust),
            Landmark::ArmpitRight => (0.0, right.own.armpit),
            Landmark::ArmpitLeft => (PI, left.own.armpit),
            Landmark::HipRight => (0.0, right.get(Param::HipLevel)),
            Landmark::HipLeft => (PI, left.get(Param::HipLevel)),
        }
    }

    /// The rim of an arm plate as directions and heights, closed, the first not repeated: from the
    /// armpit up the front to the shoulder point and down the back. [`Side::Both`] gives the right.
    #[must_use]
    pub fn rim(&self, side: Side) -> Vec<(f64, f64)> {
        let s = if side == Side::Left {
            self.body.left()
        } else {
            self.body.right()
        };
        let (low, high) = (s.own.armpit, s.own.shoulder);
        let n = RIM_POINTS;
        let height =
            |j: usize| low + (high - low) * 0.5 * (1.0 - libm::cos(PI * j as f64 / n as f64));
        let branch = |sign: f64, j: usize| {
            let z = height(j);
            (reading::rim_angle(s, &s.row(z), sign), z)
        };
        let mut ring = vec![(0.0, low)];
        ring.extend((1..n).map(|j| branch(1.0, j)));
        ring.push((0.0, high));
        ring.extend((1..n).rev().map(|j| branch(-1.0, j)));
        if side == Side::Left {
            ring.iter_mut().for_each(|q| q.0 = PI - q.0);
        }
        ring
    }

    /// The neck base line as directions and heights, closed, the first not repeated; directions
    /// rise from straight back.
    #[must_use]
    pub fn neck_base(&self) -> Vec<(f64, f64)> {
        let n = NECK_BASE_POINTS;
        (0..n)
            .map(|i| {
                let theta = -FRAC_PI_2 + 2.0 * PI * i as f64 / n as f64;
                let (half, folded) = self.half(theta);
                (theta, reading::neck_base_height(half, folded))
            })
            .collect()
    }

    /// How far the axis of the neck leans forward, radians.
    #[must_use]
    pub fn neck_lean(&self) -> f64 {
        libm::atan(self.body.right().neck_tan())
    }

    /// Where the axis of the neck meets the plane of the neck girth.
    #[must_use]
    pub fn neck_centre(&self) -> Point3 {
        let z = self.level(Level::NeckGirth);
        let y = 0.5 * (self.body.right().neck_back(z) + self.body.right().neck_front(z));
        Point3::new(self.body.right().sway_at(z), y, z)
    }

    /// Height of the floor and its 95 % half-width, mm, where a height was given.
    #[must_use]
    pub fn floor(&self) -> Option<(f64, f64)> {
        self.floor
    }

    /// Height of the seat and its 95 % half-width, mm, where somebody sat and a height was given.
    #[must_use]
    pub fn seat(&self) -> Option<(f64, f64)> {
        self.seat
    }

    /// Stature that the proportions were taken from, mm.
    #[must_use]
    pub fn stature(&self) -> f64 {
        self.body.right().style.stature
    }

    /// What a tape reads on the surface itself, mm or radians: the fit's own reading, for tests and
    /// for comparing; the check of the solid never uses it.
    #[must_use]
    pub fn own_reading(&self, measure: crate::measure::Measure, side: Side) -> Option<f64> {
        SurfaceReader::new(&self.body).read(measure, side)
    }
}

/// Heights of a rim on each branch, and directions of the neck base line: chords of 2 mm or less.
const RIM_POINTS: usize = 120;
const NECK_BASE_POINTS: usize = 240;
