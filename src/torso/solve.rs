//! Least squares over the shape parameters.
//!
//! Minimises the sum of squared misfits of everything read (each over its own spread), of everything
//! surveys lead one to expect, and of the distance of the shape parameters from their prior, by
//! damped Gauss-Newton steps (Levenberg 1944, Marquardt 1963) with box bounds. The Jacobian is
//! differenced once and then carried along by rank-one updates (Broyden 1965), renewed when they no
//! longer predict: a full evaluation of all readings is fifty times cheaper than a Jacobian.

use nalgebra::{DMatrix, DVector};
use rayon::prelude::*;

use crate::measure::Measure;
use crate::torso::param::{COUNT, Values};
use crate::torso::prior::Prior;
use crate::torso::reading::{Hints, Reader};
use crate::torso::surface::Surface;

/// Step of the differences, in standard deviations of a parameter.
const STEP: f64 = 1e-3;
/// Largest change of a parameter in one step, in standard deviations.
const LONGEST: f64 = 2.0;
const MOST_ITERATIONS: usize = 150;
/// A decrease of the sum below this, or below this share of a large sum, is the end.
const ENOUGH: f64 = 1e-3;
const ENOUGH_SHARE: f64 = 1e-5;

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

/// One row of the least squares problem.
pub(super) struct Row {
    pub(super) measure: Measure,
    pub(super) target: f64,
    pub(super) sd: f64,
}

pub(super) struct Problem {
    pub(super) prior: Prior,
    pub(super) rows: Vec<Row>,
    pub(super) low: Vec<f64>,
    pub(super) high: Vec<f64>,
}

impl Problem {
    fn values(&self, u: &DVector<f64>) -> Values {
        let shift = &self.prior.spread * u;
        std::array::from_fn(|i| {
            (self.prior.mean[i] + shift[i]).clamp(self.prior.low[i], self.prior.high[i])
        })
    }

    pub(super) fn surface(&self, u: &DVector<f64>) -> Surface {
        Surface::new(&self.values(u), &self.prior.style)
    }

    /// Readings of `measures` at `u`; a measure that the form lacks gives NaN.
    pub(super) fn read(&self, u: &DVector<f64>, measures: &[Measure]) -> Vec<f64> {
        let surface = self.surface(u);
        let mut reader = Reader::new(&surface);
        measures
            .iter()
            .map(|m| reader.read(*m).unwrap_or(f64::NAN))
            .collect()
    }

    /// The same, and where the curves behind them were found.
    fn read_found(&self, u: &DVector<f64>, measures: &[Measure]) -> (Vec<f64>, Hints) {
        let surface = self.surface(u);
        let mut reader = Reader::new(&surface);
        let read = measures
            .iter()
            .map(|m| reader.read(*m).unwrap_or(f64::NAN))
            .collect();
        (read, reader.found)
    }

    /// Derivatives of `measures` by every whitened parameter, one column each.
    pub(super) fn derivative(&self, u: &DVector<f64>, measures: &[Measure]) -> DMatrix<f64> {
        let (here, hints) = self.read_found(u, measures);
        let columns: Vec<Vec<f64>> = (0..COUNT)
            .into_par_iter()
            .map(|j| {
                if self.prior.sd[j] <= 0.0 {
                    return vec![0.0; measures.len()];
                }
                let step = if u[j] + STEP <= self.high[j] {
                    STEP
                } else {
                    -STEP
                };
                let mut v = u.clone();
                v[j] += step;
                let surface = self.surface(&v);
                let mut reader = Reader::near(&surface, &hints);
                let there = measures.iter().map(|m| reader.read(*m).unwrap_or(f64::NAN));
                there.zip(&here).map(|(a, b)| (a - b) / step).collect()
            })
            .collect();
        DMatrix::from_fn(measures.len(), COUNT, |i, j| columns[j][i])
    }

    fn misfit(&self, read: &[f64]) -> DVector<f64> {
        DVector::from_fn(self.rows.len(), |i, _| {
            (read[i] - self.rows[i].target) / self.rows[i].sd
        })
    }
}

pub(super) struct Solved {
    pub(super) u: DVector<f64>,
    pub(super) ending: Ending,
    pub(super) iterations: usize,
    pub(super) sum: f64,
    /// Readings of the rows at the end.
    pub(super) read: Vec<f64>,
    /// Inverse of the information matrix at the end, of whitened parameters.
    pub(super) covariance: DMatrix<f64>,
}

pub(super) fn solve(problem: &Problem) -> Solved {
    let measures: Vec<Measure> = problem.rows.iter().map(|r| r.measure).collect();
    let weigh = |d: DMatrix<f64>| {
        let mut j = d;
        for (i, row) in problem.rows.iter().enumerate() {
            let mut line = j.row_mut(i);
            line /= row.sd;
        }
        j
    };
    let mut u = DVector::from_fn(COUNT, |i, _| 0.0f64.clamp(problem.low[i], problem.high[i]));
    let mut read = problem.read(&u, &measures);
    let mut r = problem.misfit(&read);
    let mut sum = r.norm_squared() + u.norm_squared();
    let mut j = weigh(problem.derivative(&u, &measures));
    let mut fresh = true;
    let mut damping: f64 = 1e-2;
    let mut iterations = 0;
    let mut ending = Ending::OutOfPatience;
    for _ in 0..4 * MOST_ITERATIONS {
        if iterations >= MOST_ITERATIONS {
            break;
        }
        let g = j.transpose() * &r + &u;
        let free: Vec<bool> = (0..COUNT)
            .map(|i| {
                problem.prior.sd[i] > 0.0
                    && !(u[i] <= problem.low[i] && g[i] > 0.0)
                    && !(u[i] >= problem.high[i] && g[i] < 0.0)
            })
            .collect();
        let step = damped_step(&j, &g, &free, damping);
        let mut v = &u + &step;
        for i in 0..COUNT {
            v[i] = v[i].clamp(problem.low[i], problem.high[i]);
        }
        let step = &v - &u;
        let linear = &r + &j * &step;
        let promised = sum - (linear.norm_squared() + v.norm_squared());
        let read_v = problem.read(&v, &measures);
        let r_v = problem.misfit(&read_v);
        let sum_v = r_v.norm_squared() + v.norm_squared();
        let gained = sum - sum_v;
        let small = ENOUGH.max(ENOUGH_SHARE * sum);
        if promised < small && fresh {
            if gained > 0.0 {
                (u, read, sum) = (v, read_v, sum_v);
                iterations += 1;
            }
            ending = Ending::Converged;
            break;
        }
        if gained.is_finite() && gained > 0.0 {
            let length = step.norm_squared();
            if length > 0.0 {
                // Broyden's update: the least change that explains the step just seen.
                let gap = (&r_v - &linear) / length;
                j += gap * step.transpose();
            }
            let honest = gained / promised;
            let spent = fresh && gained < small;
            (u, read, r, sum) = (v, read_v, r_v, sum_v);
            iterations += 1;
            fresh = false;
            if spent {
                ending = Ending::Converged;
                break;
            }
            damping = if honest > 0.5 {
                (damping / 10.0).max(1e-9)
            } else {
                damping
            };
            if gained < small || honest < 0.3 {
                j = weigh(problem.derivative(&u, &measures));
                fresh = true;
            }
        } else if fresh {
            damping = (damping * 10.0).max(1e-4);
            if damping > 1e8 {
                ending = Ending::NoImprovement;
                break;
            }
        } else {
            j = weigh(problem.derivative(&u, &measures));
            fresh = true;
        }
    }
    if !fresh {
        j = weigh(problem.derivative(&u, &measures));
    }
    let mut information = j.transpose() * &j;
    for i in 0..COUNT {
        information[(i, i)] += 1.0;
    }
    // The identity of the prior makes it positive definite.
    let covariance = information
        .cholesky()
        .map_or_else(|| DMatrix::identity(COUNT, COUNT), |c| c.inverse());
    Solved {
        u,
        ending,
        iterations,
        sum,
        read,
        covariance,
    }
}

/// The step that minimises the linearised sum with damping, among the free parameters only.
fn damped_step(j: &DMatrix<f64>, g: &DVector<f64>, free: &[bool], damping: f64) -> DVector<f64> {
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
    let longest = step.amax();
    if longest > LONGEST {
        step * (LONGEST / longest)
    } else {
        step
    }
}
