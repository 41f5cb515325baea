//! Starting where an earlier fit ended.
//!
//! One changed reading moves a body a little, so what the earlier fit found out holds nearly: its
//! end is the start, and its derivatives, carried over to the new expectations, are the first
//! Jacobian. Parameters are `mean + spread u`, so the same body stands at
//! `u' = spread'^-1 (mean + spread u - mean')`, and a derivative by `u` becomes one by `u'` through
//! `spread^-1 spread'`.

use std::collections::BTreeMap;

use nalgebra::{DMatrix, DVector};

use crate::torso::param::COUNT;
use crate::torso::problem::{Problem, What};
use crate::torso::solve::{Solved, Start};

/// What a fit knows at its end.
#[derive(Clone, Debug)]
pub(super) struct Known {
    u: DVector<f64>,
    mean: DVector<f64>,
    spread: DMatrix<f64>,
    /// Derivatives by the whitened parameters: of readings, a row each, and of the surface.
    whats: BTreeMap<What, usize>,
    readings: DMatrix<f64>,
    surface: DMatrix<f64>,
}

impl Known {
    /// What is known at the end of `problem`; `surface` is the derivative of surface points.
    pub(super) fn new(problem: &Problem, solved: &Solved, surface: DMatrix<f64>) -> Self {
        let whats = problem.everything();
        let rows = problem.rows.len();
        let readings = DMatrix::from_fn(whats.len(), COUNT, |i, j| {
            if i < rows {
                solved.jacobian[(i, j)] * problem.rows[i].sd
            } else {
                solved.wanted.1[(i - rows, j)]
            }
        });
        Self {
            u: solved.u.clone(),
            mean: DVector::from_row_slice(&problem.prior.mean),
            spread: problem.prior.spread.clone(),
            whats: whats.into_iter().enumerate().map(|(i, w)| (w, i)).collect(),
            readings,
            surface,
        }
    }

    /// A start for `problem`; `None` where it asks for readings that the earlier one did not know,
    /// or other parameters may move.
    pub(super) fn start(&self, problem: &Problem) -> Option<Start> {
        let free: Vec<usize> = (0..COUNT).filter(|i| problem.prior.sd[*i] > 0.0).collect();
        let was = (0..COUNT).filter(|i| self.spread[(*i, *i)] > 0.0);
        if !was.eq(free.iter().copied()) {
            return None;
        }
        let part = |m: &DMatrix<f64>| m.select_rows(&free).select_columns(&free);
        let mean = DVector::from_row_slice(&problem.prior.mean);
        let (old, new) = (part(&self.spread), part(&problem.prior.spread));
        let shift = (&self.mean - &mean).select_rows(&free);
        let there = new
            .clone()
            .lu()
            .solve(&(&old * self.u.select_rows(&free) + shift))?;
        let mut u = DVector::zeros(COUNT);
        for (k, i) in free.iter().enumerate() {
            u[*i] = there[k].clamp(problem.low[*i], problem.high[*i]);
        }
        let turn = old.lu().solve(&new)?;
        let carried = |d: &DMatrix<f64>| {
            let moved = d.select_columns(&free) * &turn;
            let mut all = DMatrix::zeros(d.nrows(), COUNT);
            for (k, i) in free.iter().enumerate() {
                all.set_column(*i, &moved.column(k));
            }
            all
        };
        let readings = carried(&self.readings);
        let of = |whats: &[What]| -> Option<DMatrix<f64>> {
            let at: Option<Vec<usize>> = whats.iter().map(|w| self.whats.get(w).copied()).collect();
            Some(readings.select_rows(&at?))
        };
        Some(Start {
            u,
            rows: of(&problem.measures())?,
            wanted: of(&problem.wanted)?,
            surface: carried(&self.surface),
        })
    }
}
