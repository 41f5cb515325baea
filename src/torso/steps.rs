//! Single steps of the fit, and the last ones to the very bottom.

use nalgebra::{DMatrix, DVector};

use crate::torso::param::COUNT;
use crate::torso::problem::{Problem, What};

/// Largest change of a parameter in one step, in standard deviations.
const LONGEST: f64 = 2.0;

/// A decrease of the sum below this, or below this share of a large sum, is the end. The sum is a
/// chi-square: a change of a twentieth makes no body more probable than another by more than 3 %, and
/// what it leaves of misfit, [`polish`] takes away.
pub(super) const ENOUGH: f64 = 0.02;

pub(super) const ENOUGH_SHARE: f64 = 1e-4;

/// A change of the sum by which nothing is polished any more: a hundredth of what ends the fit, less
/// than a hundredth of a millimetre of any reading.
const POLISHED: f64 = 5e-4;

/// What steps after the end may keep back of what they promised. The sum rises by one over one standard
/// deviation of what is unsure, so a hundredth is a tenth of one: less is seen on no body.
const KEPT: f64 = 0.01;

/// Most corrections of one step.
const CORRECTIONS: usize = 3;

/// Most steps after the end, and most rounds of them.
const POLISH: usize = 20;

/// Steps of a round that may fail.
const MOST_FAILED: usize = 4;

/// Goes to the very bottom: [`polish`], and where a step did not keep what it promised, the rows are looked at
/// anew for another round.
pub(super) fn settle(
    problem: &Problem,
    measures: &[What],
    mut j: DMatrix<f64>,
    (carried, rounds): (bool, usize),
    at: &mut At,
) {
    for round in 1..=rounds {
        if polish(problem, measures, &mut j, carried, at) || round == rounds {
            break;
        }
        j = problem.slope(&at.u, measures);
    }
}

/// Steps with next to no damping from the end, with the Jacobian carried along, while they make the sum
/// smaller; where one fails on a Jacobian of an earlier fit (`carried`), the rows that misled it are
/// differenced anew. Whether all kept what they promised, but for [`KEPT`].
fn polish(
    problem: &Problem,
    measures: &[What],
    j: &mut DMatrix<f64>,
    carried: bool,
    at: &mut At,
) -> bool {
    let mut damping = 0.0;
    let mut kept = true;
    let mut failed = 0;
    // Where readings contradict each other nothing is that exact.
    let share = ENOUGH_SHARE * at.sum;
    let (keeps, polished) = (KEPT.max(share), POLISHED.max(share * POLISHED / ENOUGH));
    for _ in 0..POLISH {
        let g = j.transpose() * &at.r + &at.u;
        let free = free(problem, &at.u, &g);
        let v = problem.inside(&at.u + damped_step(j, &g, &free, damping));
        let step = &v - &at.u;
        let linear = &at.r + &*j * &step;
        let promised = at.sum - (linear.norm_squared() + v.norm_squared());
        let next = At::after(problem, v, measures);
        let length = step.norm_squared();
        let error = &next.r - &linear;
        if length > 0.0 {
            *j += (&error / length) * step.transpose();
        }
        let next = if next.sum < at.sum {
            next
        } else {
            corrected(problem, j, next, at.sum, damping, measures)
        };
        let gained = at.sum - next.sum;
        kept &= promised - gained < keeps;
        if gained > 0.0 {
            *at = next;
            damping *= 0.1;
        } else {
            failed += 1;
            if carried {
                problem.renew_worst(&at.u, &error, j);
            }
            damping = (10.0 * damping).max(1e-2);
        }
        let spent = if gained > 0.0 { gained } else { promised };
        if spent < polished || failed > MOST_FAILED {
            break;
        }
    }
    kept
}

/// Corrects a step that ended at `tried` without coming below `goal`. A girth that is tightly held is
/// curved, so a long straight step misses it, and the sum rises although the rest of the step was good.
/// Smaller steps from `tried`, with the same Jacobian, bring the girth back and keep what the rest has
/// gained: second-order corrections (Fletcher 1982; in Nocedal and Wright, *Numerical Optimization*, section 15.6; from
/// memory).
pub(super) fn corrected(
    problem: &Problem,
    j: &DMatrix<f64>,
    tried: At,
    goal: f64,
    damping: f64,
    measures: &[What],
) -> At {
    let mut at = tried;
    for _ in 0..CORRECTIONS {
        let g = j.transpose() * &at.r + &at.u;
        let free = free(problem, &at.u, &g);
        let u = problem.inside(&at.u + damped_step(j, &g, &free, damping));
        let next = At::after(problem, u, measures);
        if next.sum >= at.sum || next.sum.is_nan() {
            break;
        }
        at = next;
        if at.sum < goal {
            break;
        }
    }
    at
}

/// Which parameters may move: those with a spread, unless a bound holds them.
pub(super) fn free(problem: &Problem, u: &DVector<f64>, g: &DVector<f64>) -> Vec<bool> {
    (0..COUNT)
        .map(|i| {
            problem.prior.sd[i] > 0.0
                && !(u[i] <= problem.low[i] && g[i] > 0.0)
                && !(u[i] >= problem.high[i] && g[i] < 0.0)
        })
        .collect()
}

/// A place reached: parameters, readings, weighted misfits, sum.
pub(super) struct At {
    pub(super) u: DVector<f64>,
    pub(super) read: Vec<f64>,
    pub(super) r: DVector<f64>,
    pub(super) sum: f64,
}

impl At {
    /// After a step. One that puts the levels of the body out of the order that they are held in is no
    /// step: its sum is infinite.
    pub(super) fn after(problem: &Problem, u: DVector<f64>, measures: &[What]) -> Self {
        let mut at = Self::new(problem, u, measures);
        if problem.apart.is_some() && !problem.in_order(&at.u) {
            at.sum = f64::INFINITY;
        }
        at
    }

    pub(super) fn new(problem: &Problem, u: DVector<f64>, measures: &[What]) -> Self {
        let read = problem.read(&u, measures);
        let r = problem.misfit(&read);
        let sum = r.norm_squared() + u.norm_squared();
        Self { u, read, r, sum }
    }
}

/// The step that minimises the linearised sum with damping, among the free parameters only.
pub(super) fn damped_step(
    j: &DMatrix<f64>,
    g: &DVector<f64>,
    free: &[bool],
    damping: f64,
) -> DVector<f64> {
    let mut a = j.transpose() * j;
    for i in 0..COUNT {
        a[(i, i)] += 1.0;
    }
    for i in 0..COUNT {
        a[(i, i)] *= 1.0 + damping;
    }
    let mut rhs = -g;
    for i in 0..COUNT {
        if !free[i] {
            for k in 0..COUNT {
                a[(i, k)] = 0.0;
                a[(k, i)] = 0.0;
            }
            a[(i, i)] = 1.0;
            rhs[i] = 0.0;
        }
    }
    let Some(c) = a.cholesky() else {
        return DVector::zeros(COUNT);
    };
    let step = c.solve(&rhs);
    // A body that lacks a reading tells no way to go.
    if step.iter().any(|s| !s.is_finite()) {
        return DVector::zeros(COUNT);
    }
    let longest = step.amax();
    if longest > LONGEST {
        step * (LONGEST / longest)
    } else {
        step
    }
}
