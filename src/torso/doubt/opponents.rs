//! What a missed reading pulls against.

use std::collections::BTreeMap;

use rayon::prelude::*;

use crate::measure::{Measure, Side};
use crate::sheet::Sheet;
use crate::text::Text;
use crate::torso::doubt::{Questions, none};
use crate::torso::facts::Against;
use crate::torso::pose::{Posed, pose};
use crate::torso::problem::{Problem, What};
use crate::torso::refit::Known;
use crate::torso::solve::{Ending, Solved, weigh};

/// A reading takes part in a miss when leaving it out would lessen it by this share. Our choice: a
/// quarter; smaller ones name half the sheet.
const TAKES_PART: f64 = 0.25;
/// One of the readings that the whole sheet is doubted for explains a miss by itself when the miss is
/// lessened by this share without it. Our choice.
const EXPLAINS: f64 = 0.5;
/// Readings named as pulling against another one.
const MOST_OPPONENTS: usize = 3;
/// Readings that are left out in a fit of their own, in all: a sheet that contradicts itself badly suspects
/// half of its readings, and says enough when the weightiest are asked. Our choice.
const MOST_ASKED: usize = 3;
/// Bodies that each of those fits reads at most.
const BODIES_ASKED: usize = 250;

/// The fit whose misses are to be explained.
#[derive(Clone, Copy)]
pub(in crate::torso) struct Missed<'a> {
    pub(in crate::torso) sheet: &'a Sheet,
    pub(in crate::torso) questions: &'a Questions,
    pub(in crate::torso) problem: &'a Problem,
    /// How many of its rows, the first ones, were given.
    pub(in crate::torso) given: usize,
    pub(in crate::torso) solved: &'a Solved,
}

/// A fit without one reading.
struct Left {
    /// Misfits of the rest, over their spreads.
    off: BTreeMap<What, f64>,
    /// Whether it came to its end: what it does not lessen then has other reasons.
    ended: bool,
}

/// What the fits without one reading each say; nothing of one that lost its way, which says nothing.
type Without = BTreeMap<What, Option<Left>>;

impl Missed<'_> {
    fn what(&self, i: usize) -> What {
        (self.problem.rows[i].measure, self.problem.rows[i].side)
    }

    /// Misfit of row `i` over its spread.
    fn off(&self, i: usize) -> f64 {
        let row = &self.problem.rows[i];
        (self.solved.read[i] - row.target) / row.sd
    }

    /// The readings whose leaving out would lessen the miss of reading `i` most, and by what share, by the
    /// linear problem at the end (Cook and Weisberg 1982, the effect of deleting one case:
    /// `h_ij r_j / (1 - h_jj)`).
    fn suspects(&self, i: usize) -> Vec<(What, f64)> {
        let Solved {
            jacobian,
            covariance,
            ..
        } = self.solved;
        let here = jacobian.row(i) * covariance;
        let off = self.off(i);
        let mut suspects: Vec<(What, f64)> = (0..self.given)
            .filter(|j| *j != i)
            .map(|j| {
                let row = jacobian.row(j);
                let across = (&here * row.transpose())[(0, 0)];
                let own = (row * covariance * row.transpose())[(0, 0)];
                let change = across * self.off(j) / (1.0 - own).max(1e-6);
                (self.what(j), -change / off)
            })
            .filter(|(_, share)| *share >= TAKES_PART)
            .collect();
        suspects.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        suspects.truncate(MOST_OPPONENTS);
        suspects
    }

    /// Leaves out each of `asked` in a fit of its own, from the end of this one.
    fn leave_out(&self, asked: &[What], without: &mut Without) {
        // A firm fit that fell apart is no place to start from.
        let known = self.solved.sum.is_finite();
        let known = known.then(|| Known::new(self.problem, self.solved, none()));
        let fits: Vec<_> = asked
            .par_iter()
            .map(|what| {
                let rest = super::without(self.sheet, *what);
                let Posed { problem, .. } = pose(&rest, self.questions.ends, 1.0);
                let start = known.as_ref().and_then(|k| k.start(&problem));
                let solved = weigh(&problem, start.as_ref(), BODIES_ASKED);
                self.questions.answered(&problem);
                // Without a reading the rest goes together no worse, or the fit has lost its way.
                (solved.sum < self.solved.sum).then(|| Left {
                    off: problem
                        .rows
                        .iter()
                        .zip(&solved.read)
                        .map(|(r, read)| ((r.measure, r.side), (read - r.target) / r.sd))
                        .collect(),
                    ended: solved.ending == Ending::Converged,
                })
            })
            .collect();
        without.extend(asked.iter().copied().zip(fits));
    }

    /// Those of `these` without which the miss of reading `i` is less by at least the share `least`, the
    /// strongest first; only readings that were asked.
    fn part(&self, i: usize, these: &[What], least: f64, without: &Without) -> Vec<What> {
        let this = self.what(i);
        let lessened = |what: &What| {
            let left = without.get(what)?.as_ref()?.off.get(&this)?;
            Some(1.0 - left.abs() / self.off(i).abs())
        };
        let mut found: Vec<(What, f64)> = these
            .iter()
            .filter(|what| **what != this)
            .filter_map(|what| Some((*what, lessened(what)?)))
            .filter(|(_, share)| *share >= least)
            .collect();
        found.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        found.into_iter().map(|(what, _)| what).collect()
    }
}

/// What every given reading pulls against, as far as it is off: nothing for those that are not `missed`.
///
/// Suspects are those of the linear problem at the end. The weightiest of them, over all misses, are then
/// left out in fits of their own, and only what such a fit confirms is named. The readings `doubted` in the
/// whole sheet are asked first, and where they explain a miss nothing else is asked about it.
pub(in crate::torso) fn opposed(
    fit: Missed<'_>,
    missed: &[usize],
    doubted: &[What],
) -> Vec<Opposed> {
    let mut without = Without::new();
    let doubted = &doubted[..doubted.len().min(MOST_ASKED)];
    if !missed.is_empty() {
        fit.leave_out(doubted, &mut without);
    }
    let mut against: BTreeMap<usize, Against> = BTreeMap::new();
    let mut open: Vec<(usize, Vec<(What, f64)>)> = Vec::new();
    for &i in missed {
        let found = fit.part(i, doubted, EXPLAINS, &without);
        if found.is_empty() {
            open.push((i, fit.suspects(i)));
        } else {
            against.insert(i, Against::Readings(found));
        }
    }
    // A reading weighs what it is suspected to explain, in standard deviations, over all misses.
    let mut weights: BTreeMap<What, f64> = BTreeMap::new();
    for (i, suspects) in &open {
        for (what, share) in suspects {
            *weights.entry(*what).or_default() += share.min(1.0) * fit.off(*i).abs();
        }
    }
    let mut order: Vec<(What, f64)> = weights
        .into_iter()
        .filter(|(what, _)| !without.contains_key(what))
        .collect();
    order.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    let asked: Vec<What> = order
        .into_iter()
        .map(|(what, _)| what)
        .take(MOST_ASKED - doubted.len())
        .collect();
    fit.leave_out(&asked, &mut without);
    for (i, suspects) in open {
        let suspects: Vec<What> = suspects.into_iter().map(|s| s.0).collect();
        let found = fit.part(i, &suspects, TAKES_PART, &without);
        let answered = |what: &What| matches!(without.get(what), Some(Some(left)) if left.ended);
        let is = match (found.is_empty(), suspects.iter().all(answered)) {
            (false, _) => Against::Readings(found),
            (true, true) => Against::Surveys,
            (true, false) => Against::Unasked,
        };
        against.insert(i, is);
    }
    (0..fit.given)
        .map(|i| Opposed {
            measure: fit.problem.rows[i].measure,
            side: fit.problem.rows[i].side,
            against: against.remove(&i).unwrap_or(Against::Surveys),
        })
        .collect()
}

/// A given reading and what it pulls against.
#[derive(Clone, Debug)]
pub struct Opposed {
    /// The reading.
    pub measure: Measure,
    /// Its side.
    pub side: Side,
    /// What is against it, if it is missed.
    pub against: Against,
}

impl Opposed {
    /// The readings against it, the strongest first.
    #[must_use]
    pub fn opponents(&self) -> &[(Measure, Side)] {
        self.against.readings()
    }

    /// What it pulls against, in one line.
    #[must_use]
    pub fn told(&self) -> Text {
        self.against.told()
    }
}
