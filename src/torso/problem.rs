//! The least squares problem that a sheet poses: what is read and how sure it is, and the derivatives of
//! readings by the shape parameters.

use std::sync::atomic::{AtomicUsize, Ordering};

use nalgebra::{DMatrix, DVector};
use rayon::prelude::*;

use crate::measure::{Measure, Side};
use crate::torso::body::Halves;
use crate::torso::param::{COUNT, Values};
use crate::torso::prior::Prior;
use crate::torso::reading::{SurfaceReader, read_all, read_all_and_hints};

/// Step of the differences, in standard deviations of a parameter.
const STEP: f64 = 1e-2;
/// The same in the last look, which says what is unsure: readings have corners (a hull that loses touch
/// of a hollow), and what matters there is how they change over a good part of what is unsure.
pub(super) const LOOK_STEP: f64 = 1e-1;
/// Share of the squared error of a prediction that the rows differenced anew must explain.
const BLAMED: f64 = 0.9;

/// A measure and the side of the body.
pub(super) type What = (Measure, Side);

/// One row of the least squares problem.
pub(super) struct ProblemRow {
    pub(super) measure: Measure,
    pub(super) side: Side,
    pub(super) target: f64,
    pub(super) sd: f64,
}

pub(super) struct Problem {
    pub(super) prior: Prior,
    pub(super) rows: Vec<ProblemRow>,
    pub(super) low: Vec<f64>,
    pub(super) high: Vec<f64>,
    /// Measures that nobody asked for but whose spread is wanted at the end.
    pub(super) wanted: Vec<What>,
    /// How far apart the levels of the body are held, mm, if they are held in their order.
    pub(super) apart: Option<f64>,
    /// Bodies that were read so far: what all the work of a fit is. Counted, never timed, so that a fit
    /// that stops for its sake stops at the same place on every machine.
    pub(super) bodies: AtomicUsize,
}

impl Problem {
    fn values(&self, u: &DVector<f64>) -> Values {
        let shift = &self.prior.spread * u;
        std::array::from_fn(|i| {
            (self.prior.mean[i] + shift[i]).clamp(self.prior.low[i], self.prior.high[i])
        })
    }

    /// What its rows are readings of.
    pub(super) fn measures(&self) -> Vec<What> {
        self.rows.iter().map(|r| (r.measure, r.side)).collect()
    }

    /// What its rows are readings of, then what is wanted beside.
    pub(super) fn everything(&self) -> Vec<What> {
        let mut all = self.measures();
        all.extend(&self.wanted);
        all
    }

    /// The nearest parameters within their bounds.
    pub(super) fn inside(&self, mut u: DVector<f64>) -> DVector<f64> {
        for i in 0..COUNT {
            u[i] = u[i].clamp(self.low[i], self.high[i]);
        }
        u
    }

    pub(super) fn body(&self, u: &DVector<f64>) -> Halves {
        Halves::new(&self.values(u), &self.prior.style)
    }

    /// Bodies that were read so far.
    pub(super) fn bodies(&self) -> usize {
        self.bodies.load(Ordering::Relaxed)
    }

    fn count(&self, bodies: usize) {
        self.bodies.fetch_add(bodies, Ordering::Relaxed);
    }

    /// Readings of `measures` at `u`; a measure that the form lacks gives NaN.
    pub(super) fn read(&self, u: &DVector<f64>, measures: &[What]) -> Vec<f64> {
        self.count(1);
        read_all(&self.body(u), measures)
    }

    /// Whether at `u` the levels of the body follow one another as they do in every body, as far apart as
    /// they are held.
    pub(super) fn in_order(&self, u: &DVector<f64>) -> bool {
        let apart = self.apart.unwrap_or_default();
        self.body(u).disorder(apart).is_none()
    }

    /// Derivatives of `measures` by every whitened parameter, one column each, as differences over `step`.
    pub(super) fn derivative(
        &self,
        u: &DVector<f64>,
        measures: &[What],
        step: f64,
    ) -> DMatrix<f64> {
        let free = self.prior.sd.iter().filter(|sd| **sd > 0.0).count();
        self.count(1 + free);
        let body = self.body(u);
        let (here, hints) = read_all_and_hints(&body, measures);
        let columns: Vec<Vec<f64>> = (0..COUNT)
            .into_par_iter()
            .map(|j| {
                if self.prior.sd[j] <= 0.0 {
                    return vec![0.0; measures.len()];
                }
                let step = if u[j] + step <= self.high[j] {
                    step
                } else {
                    -step
                };
                let mut v = u.clone();
                v[j] += step;
                let body = self.body(&v);
                let mut reader = SurfaceReader::near(&body, &hints);
                let there = measures
                    .iter()
                    .map(|m| reader.read(m.0, m.1).unwrap_or(f64::NAN));
                there.zip(&here).map(|(a, b)| (a - b) / step).collect()
            })
            .collect();
        DMatrix::from_fn(measures.len(), COUNT, |i, j| columns[j][i])
    }

    /// Derivative of the misfits alone.
    pub(super) fn slope(&self, u: &DVector<f64>, measures: &[What]) -> DMatrix<f64> {
        let mut j = self.derivative(u, measures, STEP);
        self.weigh(&mut j);
        j
    }

    /// The same over the step of a look.
    pub(super) fn rows_seen(&self, u: &DVector<f64>) -> DMatrix<f64> {
        let mut j = self.derivative(u, &self.measures(), LOOK_STEP);
        self.weigh(&mut j);
        j
    }

    /// Renews the rows of `j` whose `error` of prediction is largest: a few curved readings are most of
    /// it, and their rows alone cost a fraction of all.
    pub(super) fn renew_worst(&self, u: &DVector<f64>, error: &DVector<f64>, j: &mut DMatrix<f64>) {
        let mut order: Vec<usize> = (0..self.rows.len()).collect();
        order.sort_by(|&a, &b| error[b].abs().total_cmp(&error[a].abs()).then(a.cmp(&b)));
        let most = BLAMED * error.norm_squared();
        let mut sum = 0.0;
        let worst: Vec<usize> = order
            .into_iter()
            .take_while(|&i| {
                let before = sum;
                sum += error[i] * error[i];
                before < most
            })
            .collect();
        let measures: Vec<What> = worst
            .iter()
            .map(|&i| (self.rows[i].measure, self.rows[i].side))
            .collect();
        let d = self.derivative(u, &measures, STEP);
        for (k, &i) in worst.iter().enumerate() {
            j.set_row(i, &(d.row(k) / self.rows[i].sd));
        }
    }

    pub(super) fn weigh(&self, j: &mut DMatrix<f64>) {
        for (i, row) in self.rows.iter().enumerate() {
            let mut line = j.row_mut(i);
            line /= row.sd;
        }
    }

    pub(super) fn misfit(&self, read: &[f64]) -> DVector<f64> {
        DVector::from_fn(self.rows.len(), |i, _| {
            (read[i] - self.rows[i].target) / self.rows[i].sd
        })
    }
}
