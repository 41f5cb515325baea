//! What a missed reading pulls against.

use std::collections::BTreeMap;

use crate::measure::{Measure, Side};
use crate::sheet::Sheet;
use crate::torso::fit::{Ends, Posed, called, pose};
use crate::torso::problem::{Problem, What};
use crate::torso::solve::{Solved, solve};

/// A reading takes part in a miss when leaving it out would lessen it by this share. Our choice: a
/// quarter; smaller ones name half the sheet.
const TAKES_PART: f64 = 0.25;
/// One of the readings that the whole sheet is doubted for explains a miss by itself when the miss is
/// lessened by this share without it. Our choice.
const EXPLAINS: f64 = 0.5;
/// Readings named as pulling against another one.
const MOST_OPPONENTS: usize = 3;

/// The readings that reading `i` of the first `given` rows pulls against, the strongest first: those
/// whose leaving out brings the form nearer to it. Suspects are those of the linear problem at the end
/// (Cook and Weisberg 1982, the effect of deleting one case: `h_ij r_j / (1 - h_jj)`); each is then left
/// out in a fit of its own, and only what that fit confirms is named.
///
/// The readings `doubted` in the whole sheet are asked first, and where they explain the miss nothing else
/// is.
///
/// What is missed in a fit without a reading is asked of it once: `without` keeps the misfits of the rest,
/// since in a sheet that contradicts itself badly many misses suspect the same few readings.
pub(in crate::torso) fn opponents(
    sheet: &Sheet,
    ends: Ends,
    (problem, given): (&Problem, usize),
    solved: &Solved,
    i: usize,
    doubted: &[What],
    without: &mut BTreeMap<What, BTreeMap<What, f64>>,
) -> Vec<What> {
    let residual = |k: usize| (solved.read[k] - problem.rows[k].target) / problem.rows[k].sd;
    let here = solved.jacobian.row(i) * &solved.covariance;
    let off = residual(i);
    let mut suspects: Vec<(What, f64)> = (0..given)
        .filter(|j| *j != i)
        .map(|j| {
            let row = solved.jacobian.row(j);
            let across = (&here * row.transpose())[(0, 0)];
            let own = (row * &solved.covariance * row.transpose())[(0, 0)];
            let change = across * residual(j) / (1.0 - own).max(1e-6);
            let what = (problem.rows[j].measure, problem.rows[j].side);
            (what, -change / off)
        })
        .filter(|(_, share)| *share >= TAKES_PART)
        .collect();
    suspects.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    suspects.truncate(MOST_OPPONENTS);
    let this = (problem.rows[i].measure, problem.rows[i].side);
    let mut lessened = |what: What| -> Option<f64> {
        let left = without.entry(what).or_insert_with(|| {
            let Posed { problem, .. } = pose(&super::without(sheet, what), ends, 1.0);
            // From nothing: gaps to a wall have more than one way out, and a carried fit may take another.
            let solved = solve(&problem, None);
            let rows = problem.rows.iter().zip(&solved.read);
            rows.map(|(r, read)| ((r.measure, r.side), (read - r.target) / r.sd))
                .collect()
        });
        Some(1.0 - left.get(&this)?.abs() / off.abs())
    };
    let mut part = |of: &mut dyn Iterator<Item = What>, least: f64| -> Vec<(What, f64)> {
        of.filter_map(|what| Some((what, lessened(what)?)))
            .filter(|(_, share)| *share >= least)
            .collect()
    };
    let mut found = part(
        &mut doubted.iter().copied().filter(|what| *what != this),
        EXPLAINS,
    );
    if found.is_empty() {
        found = part(&mut suspects.into_iter().map(|s| s.0), TAKES_PART);
    }
    found.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    found.into_iter().map(|(what, _)| what).collect()
}

/// A given reading and the readings that it pulls against.
#[derive(Clone, Debug)]
pub struct Opposed {
    /// The reading.
    pub measure: Measure,
    /// Its side.
    pub side: Side,
    /// Those against it, the strongest first; none where only what surveys know of bodies is.
    pub opponents: Vec<(Measure, Side)>,
}

impl Opposed {
    /// The opponents by their keys: "`wall.waist` and `girth.hip`".
    #[must_use]
    pub fn named(&self) -> String {
        let names: Vec<String> = self.opponents.iter().map(|(m, s)| called(*m, *s)).collect();
        match names.split_last() {
            Some((last, [])) => last.clone(),
            Some((last, rest)) => format!("{} and {last}", rest.join(", ")),
            None => "what the surveys know of bodies".to_owned(),
        }
    }

    /// What to do about a miss.
    #[must_use]
    pub fn advice(&self) -> String {
        let one = self.opponents.len() < 2;
        let pulls = if one { "pulls" } else { "pull" };
        let which = match self.opponents.len() {
            0 => "no other reading does: measure it again, and leave it if it is right".to_owned(),
            1 => "measure both again, or say how sure each is with `within`".to_owned(),
            _ => "measure it and these again, or say how sure each is with `within`".to_owned(),
        };
        format!("{} {pulls} against it; {which}", self.named())
    }
}
