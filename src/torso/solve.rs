//! Least squares over the shape parameters.
//!
//! Minimises the sum of squared misfits of everything read (each over its own spread), of everything
//! surveys lead one to expect, and of the distance of the shape parameters from their prior, by
//! damped Gauss-Newton steps (Levenberg 1944, Marquardt 1963) with box bounds. The Jacobian is
//! differenced once and then carried along by rank-one updates (Broyden 1965), since an evaluation of all
//! readings is fifty times cheaper than a Jacobian; it is differenced anew where it promises nothing more,
//! and the rows that no longer predict at any time. A fit that follows another one starts with the Jacobian
//! of that.

use nalgebra::{DMatrix, DVector};

use crate::tolerance::LEVELS_APART_MM;
use crate::torso::param::COUNT;
use crate::torso::problem::{LOOK_STEP, Problem};
use crate::torso::steps::{At, ENOUGH, ENOUGH_SHARE, corrected, damped_step, free, settle};

const MOST_ITERATIONS: usize = 150;
/// Steps that may fail on a carried Jacobian before it is differenced anew.
const MOST_MISSED: usize = 3;
/// After so many steps a fit has come too far for the derivatives of an earlier one.
const FAR: usize = 4;
/// How far from where the rows were looked at they are not looked at again before the last look, in
/// standard deviations of what was not known before anything was read. Our choice.
const NEAR: f64 = 1.0;
const ROUNDS: usize = 3;

/// Bodies that a fit reads before it stops where it is. Sheets of people end before 500, in nine of ten before
/// 350; one whose readings are of nobody may wander ten times as long from corner to corner without coming
/// nearer, and is said to have run out of patience. Our choice, for half a second of one processor.
const MOST_BODIES: usize = 1250;
/// The same for a softer fit, whose way down has no narrow corners.
pub(super) const MOST_BODIES_SOFT: usize = 600;
/// The same for a second fit, together with the first one.
const MOST_BODIES_OF_TWO: usize = 1650;
/// The same where the levels are held in their order, which is tried from two starts.
const MOST_BODIES_IN_ORDER: usize = 450;

/// How far a fit goes.
#[derive(Clone, Copy)]
struct Effort {
    /// Rounds of steps after the end.
    rounds: usize,
    /// Bodies that may be read.
    bodies: usize,
}

/// To the very bottom.
const WHOLE: Effort = Effort {
    rounds: ROUNDS,
    bodies: MOST_BODIES,
};
/// How a fit came to its end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ending {
    /// The sum no longer decreases worth speaking of.
    Converged,
    /// No step makes the sum smaller, though it should.
    NoImprovement,
    /// The allowed number of steps ran out.
    OutOfPatience,
}

impl Ending {
    /// Its name in files and reports.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Converged => "converged",
            Self::NoImprovement => "no improvement",
            Self::OutOfPatience => "out of patience",
        }
    }
}

/// Where a fit starts that follows another one.
pub(super) struct Start {
    pub(super) u: DVector<f64>,
    /// Derivatives there of the rows and of what is wanted beside, as far as an earlier fit knows.
    pub(super) rows: DMatrix<f64>,
    pub(super) wanted: DMatrix<f64>,
    pub(super) surface: DMatrix<f64>,
}

pub(super) struct Solved {
    pub(super) u: DVector<f64>,
    pub(super) ending: Ending,
    pub(super) iterations: usize,
    pub(super) sum: f64,
    /// Readings of the rows at the end.
    pub(super) read: Vec<f64>,
    /// Weighted derivatives of the rows at the end.
    pub(super) jacobian: DMatrix<f64>,
    /// Inverse of the information matrix at the end, of whitened parameters.
    pub(super) covariance: DMatrix<f64>,
    /// Whether the derivatives are those of an earlier fit, carried along.
    pub(super) carried: bool,
    /// Readings of what was wanted beside, and their derivatives by the whitened parameters.
    pub(super) wanted: (Vec<f64>, DMatrix<f64>),
}

/// The last look, at the end: the derivatives of the rows, weighed, and of what is wanted beside them.
/// One look serves both, since most of the work is shared. What is known of spreads is known there: a
/// step that brought next to nothing may follow, and they move by as little.
fn look(problem: &Problem, u: &DVector<f64>) -> (DMatrix<f64>, DMatrix<f64>) {
    let rows = problem.rows.len();
    let measures = problem.everything();
    let d = problem.derivative(u, &measures, LOOK_STEP);
    let mut j = d.rows(0, rows).into_owned();
    problem.weigh(&mut j);
    (j, d.rows(rows, measures.len() - rows).into_owned())
}

/// Solves `problem` from what is most probable before anything was read, or from `start`.
pub(super) fn solve(problem: &Problem, start: Option<&Start>) -> Solved {
    solve_to(problem, start.into(), WHOLE)
}

/// Bodies of a fit whose way down had no narrow corners: those of nine in ten sheets of people.
const EASY_BODIES: usize = 350;
/// How often a fit that was not easy is gone on with from its end.
const FURTHER: usize = 2;

/// The same, and gone on with from its end, with derivatives looked at there, while that brings a better body: a way
/// through narrow corners may come to rest on a ledge. Nothing where it does not.
pub(super) fn solve_further(problem: &Problem, first: &Solved) -> Option<Solved> {
    let mut best: Option<Solved> = None;
    for _ in 0..FURTHER {
        if problem.bodies() <= EASY_BODIES {
            break;
        }
        let before = best.as_ref().unwrap_or(first);
        let end = Origin::End(before.u.clone(), before.jacobian.clone());
        let next = solve_to(problem, end, WHOLE);
        if next.sum > before.sum - ENOUGH {
            break;
        }
        best = Some(next);
    }
    best
}

/// The same from `u`, where a softer fit ended, for readings that contradict each other: theirs are narrow
/// valleys, and who walks into the first of them from afar may never see a deeper one. `None` where the first
/// fit has spent its patience in one: from another side it takes longer.
pub(super) fn solve_again(problem: &Problem, first: &Solved, u: DVector<f64>) -> Option<Solved> {
    let effort = Effort {
        rounds: ROUNDS,
        bodies: MOST_BODIES_OF_TWO.saturating_sub(problem.bodies()),
    };
    let ended = first.ending == Ending::Converged;
    ended.then(|| solve_to(problem, Origin::Body(u), effort))
}

/// The same from `u`, among bodies whose levels are in their order. A step out of it is none, which can end
/// short of the best body: for readings that lead out of the order without this.
pub(super) fn solve_in_order(problem: &mut Problem, u: DVector<f64>) -> Solved {
    problem.apart = Some(LEVELS_APART_MM);
    let effort = Effort {
        rounds: ROUNDS,
        bodies: MOST_BODIES_IN_ORDER,
    };
    solve_to(problem, Origin::Body(u), effort)
}

/// The same for a question about the sum: the derivatives are not looked at anew to come to the very bottom,
/// and no more than so many `bodies` are read on the way. With a start that is most of the work saved.
pub(super) fn weigh(problem: &Problem, start: Option<&Start>, bodies: usize) -> Solved {
    solve_to(problem, start.into(), Effort { rounds: 1, bodies })
}

/// Where a fit starts.
enum Origin<'a> {
    /// At what is most probable before anything was read.
    Probable,
    /// Where an earlier fit ended.
    Earlier(&'a Start),
    /// At a body.
    Body(DVector<f64>),
    /// Where a fit of the same problem ended, with the derivatives looked at there.
    End(DVector<f64>, DMatrix<f64>),
}

impl<'a> From<Option<&'a Start>> for Origin<'a> {
    fn from(start: Option<&'a Start>) -> Self {
        start.map_or(Self::Probable, Self::Earlier)
    }
}

fn solve_to(problem: &Problem, from: Origin<'_>, effort: Effort) -> Solved {
    let begun = problem.bodies();
    let measures = problem.measures();
    let probable = || problem.inside(DVector::zeros(COUNT));
    let (u, looked, start) = match from {
        // Every step from a body whose levels are out of their order would be refused: such a start is of no use.
        Origin::Earlier(s) if problem.in_order(&s.u) => {
            let mut rows = s.rows.clone();
            problem.weigh(&mut rows);
            (s.u.clone(), Some(rows), Some(s))
        }
        Origin::Probable | Origin::Earlier(_) => (probable(), None, None),
        Origin::Body(u) => (u, None, None),
        Origin::End(u, rows) => (u, Some(rows), None),
    };
    let mut at = At::new(problem, u, &measures);
    let mut j = looked.unwrap_or_else(|| problem.slope(&at.u, &measures));
    let mut fresh = start.is_none();
    // Whether the Jacobian is still that of an earlier fit, carried along.
    let mut carried = start.is_some();
    let mut missed = 0;
    // Whether the rows that made a step fail were differenced anew since the last one that did not.
    let mut patched = false;
    // Where the rows were last differenced anew because a step promised, or gave, hardly any gain: that shows
    // whether the fit is at its end. Near the same place it is not done again.
    let mut seen: Option<DVector<f64>> = None;
    let near = |seen: &Option<DVector<f64>>, u: &DVector<f64>| {
        seen.as_ref().is_some_and(|s| (u - s).norm() < NEAR)
    };
    let mut damping: f64 = 1e-2;
    let mut iterations = 0;
    let mut ending = Ending::OutOfPatience;
    for _ in 0..4 * MOST_ITERATIONS {
        if iterations >= MOST_ITERATIONS || problem.bodies() - begun >= effort.bodies {
            break;
        }
        let g = j.transpose() * &at.r + &at.u;
        let free = free(problem, &at.u, &g);
        let step = damped_step(&j, &g, &free, damping);
        let v = problem.inside(&at.u + &step);
        let step = &v - &at.u;
        let linear = &at.r + &j * &step;
        let promised = at.sum - (linear.norm_squared() + v.norm_squared());
        let small = ENOUGH.max(ENOUGH_SHARE * at.sum);
        if promised < small {
            let known = carried && iterations < FAR;
            if fresh || known || near(&seen, &at.u) {
                ending = Ending::Converged;
                break;
            }
            j = problem.rows_seen(&at.u);
            seen = Some(at.u.clone());
            (fresh, carried, missed) = (true, false, 0);
            continue;
        }
        let mut next = At::after(problem, v, &measures);
        let (mut step, mut linear) = (step, linear);
        if next.sum >= at.sum {
            // What bends under a step can often be made good with the derivatives at hand.
            next = corrected(problem, &j, next, at.sum, damping, &measures);
            step = &next.u - &at.u;
            linear = &at.r + &j * &step;
        }
        let gained = at.sum - next.sum;
        if gained.is_finite() && gained > 0.0 {
            let length = step.norm_squared();
            let error = &next.r - &linear;
            if length > 0.0 {
                // Broyden's update: the least change that explains the step just seen.
                j += (&error / length) * step.transpose();
            }
            let honest = gained / promised;
            let spent = gained < small;
            at = next;
            iterations += 1;
            if spent && (fresh || near(&seen, &at.u)) {
                ending = Ending::Converged;
                break;
            }
            if honest > 0.5 {
                damping = (damping / 10.0).max(1e-9);
            }
            (fresh, patched) = (false, false);
            if !carried && spent {
                j = problem.rows_seen(&at.u);
                seen = Some(at.u.clone());
                (fresh, missed) = (true, 0);
            } else if honest < 0.3 {
                problem.renew_worst(&at.u, &error, &mut j);
                carried = false;
            }
        } else if (carried || seen.is_some()) && missed < MOST_MISSED && gained.is_finite() {
            // A step that failed still tells how the readings change along it.
            missed += 1;
            fresh = false;
            j += (&next.r - &linear) / step.norm_squared() * step.transpose();
            damping = (damping * 10.0).max(1e-2);
        } else if fresh {
            damping = (damping * 10.0).max(1e-4);
            if damping > 1e8 {
                ending = Ending::NoImprovement;
                break;
            }
        } else if !patched {
            problem.renew_worst(&at.u, &(&next.r - &linear), &mut j);
            (patched, carried) = (true, false);
        } else {
            j = problem.slope(&at.u, &measures);
            (fresh, carried) = (true, false);
        }
    }
    // The last steps are short, and what corners they met is no measure of spreads.
    let before = j.clone();
    let patient = ending != Ending::OutOfPatience;
    if patient {
        settle(problem, &measures, j, (carried, effort.rounds), &mut at);
    }
    let (rows, wanted) = match start {
        Some(start) if carried => (before, start.wanted.clone()),
        _ => look(problem, &at.u),
    };
    if patient && !carried {
        // The last look also tells what is left of the way to the very bottom.
        settle(
            problem,
            &measures,
            rows.clone(),
            (false, effort.rounds),
            &mut at,
        );
    }
    let wanted = (problem.read(&at.u, &problem.wanted), wanted);
    let mut information = rows.transpose() * &rows;
    for i in 0..COUNT {
        information[(i, i)] += 1.0;
    }
    // The identity of the prior makes it positive definite.
    let covariance = information
        .cholesky()
        .map_or_else(|| DMatrix::identity(COUNT, COUNT), |c| c.inverse());
    Solved {
        u: at.u,
        ending,
        iterations,
        sum: at.sum,
        read: at.read,
        jacobian: rows,
        covariance,
        carried,
        wanted,
    }
}
