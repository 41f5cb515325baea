//! What to measure next: the measurements not yet taken that would most reduce what the form does
//! not know.
//!
//! The fit leaves a normal distribution of the shape parameters. A reading with gradient `g` and
//! spread `s` would take `C g g' C / (g' C g + s^2)` off their covariance `C` (the update of a
//! conditional normal distribution, Kalman 1960); `D` of that is what the surface becomes surer by,
//! `D` being the derivative of the distance of surface points from the pole.

use std::f64::consts::{FRAC_PI_2, PI};

use nalgebra::{DMatrix, DVector};
use rayon::prelude::*;

use crate::measure::{Kind, Level, Measure};
use crate::sheet::{Given, Sheet};
use crate::torso::main_measures::Core;
use crate::torso::param::COUNT;
use crate::torso::pose::TWO_SIDED_95;
use crate::torso::problem::{Problem, What};
use crate::torso::solve::Solved;
use crate::torso::style::Build;

/// How many measurements are proposed at most.
const MOST: usize = 3;
/// A proposal must make the surface surer by this share, or it is not worth a tape. Our choice.
const WORTH: f64 = 0.02;
/// Heights and directions (of half the body) at which the surface is judged.
const HEIGHTS: usize = 24;
const DIRECTIONS: usize = 13;
/// Step of the differences, in standard deviations of a parameter.
const STEP: f64 = 1e-3;

/// A measurement worth taking.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Advice {
    /// What to measure.
    pub measure: Measure,
    /// Root mean square plus-or-minus of the surface once it is taken as well as those before it, mm.
    pub unsure: f64,
}

/// Readings to take a second time at most.
const MOST_AGAIN: usize = 2;

/// The main readings of which the others know least, that nobody said how sure they are of: a slip in one of these
/// is the last to show.
pub(super) fn again(sheet: &Sheet, build: Build) -> Vec<Measure> {
    let once = |g: &&Given| Core::holds(g.measure) && g.within.is_none() && !g.sure;
    let mut all: Vec<(Measure, f64)> = sheet
        .given
        .iter()
        .filter(once)
        .filter_map(|g| {
            let mut rest = sheet.clone();
            rest.given.retain(|other| other.measure != g.measure);
            let (_, sd) = Core::from_sheet(&rest, build).expected(g.measure)?;
            Some((g.measure, sd))
        })
        .collect();
    all.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    all.truncate(MOST_AGAIN);
    all.into_iter().map(|(measure, _)| measure).collect()
}

/// Root mean square plus-or-minus of the surface now, mm, and what to measure next. `d` is the
/// derivative of the surface.
pub(super) fn next(
    sheet: &Sheet,
    problem: &Problem,
    solved: &Solved,
    d: &DMatrix<f64>,
) -> (f64, Vec<Advice>) {
    let points = d.nrows() as f64;
    let mut c = solved.covariance.clone();
    // All that is asked of the points are sums of squares: `|D v|^2 = v' D'D v`.
    let square = d.transpose() * d;
    let unsure = |c: &DMatrix<f64>| {
        let sum = square.dot(c);
        TWO_SIDED_95 * (sum.max(0.0) / points).sqrt()
    };
    let now = unsure(&c);
    let mut left: Vec<(What, DVector<f64>, f64)> = Vec::new();
    for (i, m) in problem.wanted.iter().enumerate() {
        if takable(m.0, sheet) {
            let sd = repeat_sd(m.0);
            left.push((*m, solved.wanted.1.row(i).transpose(), sd));
        }
    }
    let mut all = Vec::new();
    let mut before = now;
    while all.len() < MOST {
        let mut best: Option<(usize, f64)> = None;
        for (i, (_, g, sd)) in left.iter().enumerate() {
            let cg = &c * g;
            let seen = g.dot(&cg) + sd * sd;
            let gain = cg.dot(&(&square * &cg)) / seen;
            if best.is_none_or(|b| gain > b.1) {
                best = Some((i, gain));
            }
        }
        let Some((i, _)) = best else { break };
        let (measure, g, sd) = left.swap_remove(i);
        let cg = &c * &g;
        let seen = g.dot(&cg) + sd * sd;
        c -= &cg * cg.transpose() / seen;
        let after = unsure(&c);
        if before - after < WORTH * now {
            break;
        }
        all.push(Advice {
            measure: measure.0,
            unsure: after,
        });
        before = after;
    }
    (now, all)
}

/// Whether a person can take `measure` with a tape, a rule or a wall, and the sheet could hold it.
fn takable(measure: Measure, sheet: &Sheet) -> bool {
    // A child keeps still for few readings, and has no bust point.
    let on_child = !matches!(
        measure,
        Measure::LengthBustPointWidth
            | Measure::LengthSideNeckToBust
            | Measure::LengthSideNeckToWaist
            | Measure::ArcFrontBust
    );
    // Heels and seat stand against the wall: that gap is nought by itself.
    !matches!(measure, Measure::ShoulderDrop | Measure::WallSeat)
        && measure.kind() != Kind::Plumb
        && (sheet.figure != crate::sheet::Figure::Child || on_child)
}

/// How well a reading repeats, as a standard deviation: mm, or radians.
fn repeat_sd(measure: Measure) -> f64 {
    let repeat = measure.info().repeat;
    let repeat = if measure.kind() == Kind::Slope {
        repeat.to_radians()
    } else {
        repeat
    };
    repeat / TWO_SIDED_95
}

/// Derivative of the distance of surface points from the pole by the whitened parameters; points
/// are taken at equal shares of each stretch between levels, so that they move with the body.
pub(super) fn surface_derivative(problem: &Problem, u: &DVector<f64>) -> DMatrix<f64> {
    const STRETCH: [Level; 5] = [
        Level::Hem,
        Level::Hip,
        Level::Waist,
        Level::Armpit,
        Level::ShoulderPoint,
    ];
    let radii = |u: &DVector<f64>| -> Vec<f64> {
        let body = problem.body(u);
        let s = body.right();
        let mut out = Vec::with_capacity(HEIGHTS * DIRECTIONS);
        let each = HEIGHTS / (STRETCH.len() - 1);
        for pair in STRETCH.windows(2) {
            let (a, b) = (s.level(pair[0]), s.level(pair[1]));
            for k in 0..each {
                let z = a + (b - a) * (k as f64 + 0.5) / each as f64;
                let row = s.row(z);
                for i in 0..DIRECTIONS {
                    let theta = -FRAC_PI_2 + PI * i as f64 / (DIRECTIONS - 1) as f64;
                    let r = s.radius_in(&row, theta);
                    // Straight behind and in front the place of the pole counts too.
                    out.push(r + row.pole * libm::sin(theta));
                }
            }
        }
        out
    };
    // A body moved as a whole is the same form: the common shift forward is taken out.
    let ahead: Vec<f64> = (0..HEIGHTS * DIRECTIONS)
        .map(|k| libm::sin(-FRAC_PI_2 + PI * (k % DIRECTIONS) as f64 / (DIRECTIONS - 1) as f64))
        .collect();
    let whole: f64 = ahead.iter().map(|a| a * a).sum();
    let here = radii(u);
    let columns: Vec<Vec<f64>> = (0..COUNT)
        .into_par_iter()
        .map(|j| {
            if problem.prior.sd[j] <= 0.0 {
                return vec![0.0; here.len()];
            }
            let step = if u[j] + STEP <= problem.high[j] {
                STEP
            } else {
                -STEP
            };
            let mut v = u.clone();
            v[j] += step;
            let d: Vec<f64> = radii(&v)
                .iter()
                .zip(&here)
                .map(|(a, b)| (a - b) / step)
                .collect();
            let shift = d.iter().zip(&ahead).map(|(x, a)| x * a).sum::<f64>() / whole;
            d.iter().zip(&ahead).map(|(x, a)| x - shift * a).collect()
        })
        .collect();
    DMatrix::from_fn(here.len(), COUNT, |i, j| columns[j][i])
}
