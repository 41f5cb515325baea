//! The least squares problem that a sheet poses, shown to other solvers: to check ours against them.

use nalgebra::DVector;

use crate::sheet::Sheet;
use crate::torso::param::COUNT;
use crate::torso::pose::{Ends, pose};
use crate::torso::problem::Problem;
use crate::torso::solve::solve;

/// What the fit of a sheet makes as small as it can: the sum of the squares of
/// [`misfits`](Self::misfits).
pub struct ExposedProblem {
    problem: Problem,
    /// Parameters that may move.
    free: Vec<usize>,
}

impl ExposedProblem {
    /// The problem of this sheet.
    #[must_use]
    pub fn new(sheet: &Sheet) -> Self {
        let problem = pose(sheet, Ends::default(), 1.0).problem;
        let free = (0..COUNT).filter(|i| problem.prior.sd[*i] > 0.0).collect();
        Self { problem, free }
    }

    /// Lowest and highest value of every parameter, in standard deviations of what is expected of
    /// it; a start of all zeros is the body that nothing is known of but the expectations.
    #[must_use]
    pub fn bounds(&self) -> Vec<[f64; 2]> {
        let bound = |i: &usize| [self.problem.low[*i], self.problem.high[*i]];
        self.free.iter().map(bound).collect()
    }

    /// Misfit of every reading and expectation over its spread, then the parameters themselves.
    /// There must be as many `parameters` as [`bounds`](Self::bounds).
    #[must_use]
    pub fn misfits(&self, parameters: &[f64]) -> Vec<f64> {
        let mut u = DVector::zeros(COUNT);
        for (i, v) in self.free.iter().zip(parameters) {
            u[*i] = *v;
        }
        let measures = self.problem.measures();
        let mut all: Vec<f64> = self
            .problem
            .misfit(&self.problem.read(&u, &measures))
            .iter()
            .copied()
            .collect();
        all.extend(parameters);
        all
    }

    /// Where the fit ends.
    #[must_use]
    pub fn solved(&self) -> Vec<f64> {
        let solved = solve(&self.problem, None);
        self.free.iter().map(|i| solved.u[*i]).collect()
    }
}
