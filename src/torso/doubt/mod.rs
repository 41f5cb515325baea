//! When readings pull against each other: which ones do, and what would settle it.
//!
//! A second, softer fit lets every reading give way by about as much as hands differ. The
//! standardised distance of each reading from what all the others and the surveys lead one to expect
//! (its studentised residual, Cook and Weisberg 1982, *Residuals and Influence in Regression*) ranks
//! the suspects; each of the first few is then left out in a fit of its own. Only a suspect whose
//! leaving out makes the rest agree much better is named, and what the others expect instead is said
//! with its plus-or-minus. A noisy derivative can make an innocent reading look odd, so nothing is
//! named without its own fit.

mod opponents;
mod slip;

use nalgebra::DMatrix;

pub use opponents::Opposed;
pub(super) use opponents::opponents;

use crate::error::{Finding, Severity};
use crate::measure::{Kind, Measure, Side};
use crate::sheet::{Given, Sheet};
use crate::torso::core::Core;
use crate::torso::expect::{Of, expectations};
use crate::torso::fit::{Ends, Posed, READ_SD_MM, TWO_SIDED_95, called, pose, show};
use crate::torso::param::COUNT;
use crate::torso::problem::{LOOK_STEP, Problem, What};
use crate::torso::refit::Known;
use crate::torso::solve::{Solved, solve};

/// What a hand tape repeats to over what a reading is trusted to: 3.6 mm, 2.4 degrees.
const SOFTER: f64 = 12.0;
/// Below this sum of squares a sheet agrees with itself and with the surveys: nothing is looked for.
/// Full sheets of real people give 5 to 25; falsified ones more.
const AT_EASE: f64 = 20.0;
/// A reading further than this many standard deviations from what its survey regression expects is
/// looked at, and so are main girths that lie as far from what goes together.
const ODD: f64 = 3.0;
/// Suspects that get a fit of their own.
const SUSPECTS: usize = 7;
/// A suspect is named when leaving it out lowers the sum by more than this: three standard
/// deviations of one reading, squared.
const NAMED: f64 = 9.0;
/// Suspects whose drop is at least this share of the best are named together.
const TOGETHER: f64 = 0.7;

/// One reading left out.
struct Suspect {
    measure: Measure,
    side: Side,
    drop: f64,
    given: f64,
    /// What the others expect, and the standard deviation of that.
    expected: (f64, f64),
}

/// Names the readings that pull against the rest, if any do.
pub(super) fn explain(
    sheet: &Sheet,
    ends: Ends,
    posed: &Problem,
    firm: &Solved,
    core: &Core,
    misfit: f64,
) -> Vec<Finding> {
    let expected = expectations(sheet, core, false, Of::Everything);
    let odd = expected.iter().any(|e| {
        sheet
            .value(e.measure)
            .is_some_and(|v| (v - e.value).abs() > ODD * e.sd)
    });
    let (surprise, n) = core.surprise;
    let apart = surprise > n as f64 + ODD * (2.0 * n as f64).sqrt();
    if firm.sum < AT_EASE && misfit < READ_SD_MM && !odd && !apart {
        return Vec::new();
    }
    let Posed { problem, given, .. } = pose(sheet, ends, SOFTER);
    // A firm fit that fell apart is no place to start from.
    let known = (misfit.is_finite()).then(|| Known::new(posed, firm, none()));
    let start = known.and_then(|k| k.start(&problem));
    let soft = solve(&problem, start.as_ref());
    if soft.sum < NAMED {
        return Vec::new();
    }
    let mut order: Vec<(What, f64)> = problem.rows[..given]
        .iter()
        .zip(&soft.read)
        .enumerate()
        .map(|(i, (row, read))| {
            let g = soft.jacobian.row(i).transpose();
            let leverage = (g.transpose() * &soft.covariance * &g)[(0, 0)];
            let r = (read - row.target) / row.sd;
            (
                (row.measure, row.side),
                (r / (1.0 - leverage).max(1e-6).sqrt()).abs(),
            )
        })
        .collect();
    order.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    let known = Known::new(&problem, &soft, none());
    let mut suspects: Vec<Suspect> = order
        .iter()
        .take(SUSPECTS)
        .filter_map(|(what, _)| leave_out(sheet, ends, *what, soft.sum, &known))
        .filter(|s| s.drop > NAMED)
        .collect();
    suspects.sort_by(|a, b| b.drop.total_cmp(&a.drop).then(a.measure.cmp(&b.measure)));
    let Some(best) = suspects.first() else {
        return Vec::new();
    };
    let floor = TOGETHER * best.drop;
    suspects.retain(|s| s.drop >= floor);
    // Whether a reading would be one of `measure` that surveys know; there is no telling of some.
    let likely = |measure: Measure, value: f64| {
        let of = expected.iter().filter(|e| e.measure == measure);
        of.clone().all(|e| (value - e.value).abs() < ODD * e.sd)
    };
    vec![say(sheet, &suspects, &likely)]
}

/// No derivative of the surface.
fn none() -> DMatrix<f64> {
    DMatrix::zeros(0, COUNT)
}

/// The sheet without one measure, fitted softly; `known` is the end of the soft fit of all.
fn leave_out(sheet: &Sheet, ends: Ends, what: What, before: f64, known: &Known) -> Option<Suspect> {
    let (measure, side) = what;
    let here = |g: &&Given| g.measure == measure && g.side == side;
    let given = sheet.given.iter().find(here)?.value;
    let mut rest = sheet.clone();
    rest.given
        .retain(|g| g.measure != measure || g.side != side);
    let Posed { problem, .. } = pose(&rest, ends, SOFTER);
    let solved = solve(&problem, known.start(&problem).as_ref());
    let i = problem.wanted.iter().position(|m| *m == what)?;
    // What is carried of it was found while it was held; here it is what the question is about.
    let g = problem
        .derivative(&solved.u, &[what], LOOK_STEP)
        .row(0)
        .transpose();
    let sd = (g.transpose() * &solved.covariance * &g)[(0, 0)]
        .max(0.0)
        .sqrt();
    Some(Suspect {
        measure,
        side,
        drop: before - solved.sum,
        given,
        expected: (solved.wanted.0[i], sd),
    })
}

fn say(sheet: &Sheet, suspects: &[Suspect], likely: &dyn Fn(Measure, f64) -> bool) -> Finding {
    let line = |s: &Suspect| {
        let (value, sd) = s.expected;
        let within = TWO_SIDED_95 * sd;
        let spread = if s.measure.kind() == Kind::Slope {
            format!("{:.1}", within.to_degrees())
        } else {
            sheet
                .unit
                .show_plus_minus(within)
                .trim_start_matches(['±', ' '])
                .to_owned()
        };
        format!(
            "{} was read as {} where the others expect {} ± {spread}",
            called(s.measure, s.side),
            show(s.measure, s.given, sheet),
            show(s.measure, value, sheet),
        )
    };
    let lines: Vec<String> = suspects.iter().map(line).collect();
    let message = if let [only] = lines.as_slice() {
        format!("{only}: it pulls against the rest")
    } else {
        format!(
            "these readings pull against each other: {}",
            lines.join("; ")
        )
    };
    let repairs: Vec<String> = suspects
        .iter()
        .filter_map(|s| slip::repair(sheet, s, likely))
        .take(2)
        .collect();
    let hint = if repairs.is_empty() {
        "measure these again, or say how sure each is with `within`".to_owned()
    } else {
        format!("{}; else measure again", repairs.join(", or "))
    };
    let place = sheet
        .given
        .iter()
        .find(|g| g.measure == suspects[0].measure);
    let finding = Finding::new(Severity::Warning, message, hint).about(suspects[0].measure);
    match place {
        Some(g) => finding.at(g.place.clone()),
        None => finding,
    }
}
