//! Where no body has the readings: the nearest one that may stand for it, or why there is none.

use nalgebra::DVector;

use crate::error::{Error, Finding, Severity};
use crate::measure::Kind;
use crate::sheet::Sheet;
use crate::tolerance::{KEPT_TOLERANCE_MM, NO_BODY_TOLERANCE, NO_BODY_TOLERANCE_MM};
use crate::torso::doubt::Doubt;
use crate::torso::facts::FitFact;
use crate::torso::param::COUNT;
use crate::torso::problem::{Problem, ProblemRow};
use crate::torso::solve::{Solved, solve_in_order};

/// A body with its levels in their order near readings that lead out of it, from what is most probable or from
/// the end of a softer fit (`softly`), whichever way ends better; `None` where it would miss one of the `given`
/// by more than [`KEPT_TOLERANCE_MM`].
pub(super) fn kept_in_order(
    problem: &mut Problem,
    given: usize,
    softly: Option<DVector<f64>>,
) -> Option<Solved> {
    // Both problems have the same parameters: only spreads of readings differ.
    let starts = [Some(DVector::zeros(COUNT)), softly];
    let mut best: Option<Solved> = None;
    for u in starts.into_iter().flatten() {
        if !problem.in_order(&u) {
            continue;
        }
        let tried = solve_in_order(problem, u);
        if best.as_ref().is_none_or(|b| tried.sum < b.sum) {
            best = Some(tried);
        }
    }
    best.filter(|s| worst_misfit(&problem.rows[..given], s) < KEPT_TOLERANCE_MM)
}

/// The reading that the body is furthest from, and what that has there, where that is far off.
pub(super) fn far_off<'r>(
    given: &'r [ProblemRow],
    solved: &Solved,
) -> Option<(&'r ProblemRow, f64)> {
    let along_body =
        |row: &ProblemRow| !matches!(row.measure.kind(), Kind::Slope | Kind::Wall | Kind::Plumb);
    let rows = given.iter().zip(&solved.read);
    let (row, read, _) = rows
        .filter(|(row, _)| along_body(row))
        .map(|(row, read)| (row, *read, (read - row.target).abs()))
        .filter(|(row, _, off)| *off > NO_BODY_TOLERANCE_MM.max(NO_BODY_TOLERANCE * row.target))
        .max_by(|a, b| (a.2 / a.0.target).total_cmp(&(b.2 / b.0.target)))?;
    Some((row, read))
}

/// The error of a body that is none, with the readings that seem to be at fault.
pub(super) fn cannot(sheet: &Sheet, why: FitFact, doubt: Option<Doubt>) -> Error {
    let mut all = sheet.findings.clone();
    all.extend(doubt.map(|d| d.finding));
    all.push(Finding::of(Severity::Refusal, why));
    Error::Fit(all)
}

/// The largest misfit of a given value, mm; slopes do not count.
pub(super) fn worst_misfit(given: &[ProblemRow], solved: &Solved) -> f64 {
    given
        .iter()
        .zip(&solved.read)
        .filter(|(row, _)| row.measure.kind() != Kind::Slope)
        .map(|(row, read)| (read - row.target).abs())
        .fold(0.0, f64::max)
}
