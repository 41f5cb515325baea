//! When readings pull against each other: which ones do, and what would settle it.
//!
//! A second, softer fit lets every reading give way by about as much as hands differ. The
//! standardised distance of each reading from what all the others and the surveys lead one to expect
//! (its studentised residual, Cook and Weisberg 1982, *Residuals and Influence in Regression*) ranks
//! the suspects; each of the first few is then left out in a fit of its own. Only a suspect whose
//! leaving out makes the rest agree much better is named, and what the others expect instead is said
//! with its plus-or-minus. A noisy derivative can make an innocent reading look odd, so nothing is
//! named without its own fit.
//!
//! # What if readings contradict each other?
//! A second fit starts where a softer one ended: theirs are narrow valleys, and who walks into the
//! first of them from afar may never see a deeper one (of a woman with 49 readings 21 were missed,
//! now 5). Suspects, repairs and what a miss pulls against are each asked in a few fits of bounded
//! length, the weightiest first; a fit without a reading that lost its way says nothing.

mod opponents;
mod slip;

use std::sync::atomic::{AtomicUsize, Ordering};

use nalgebra::{DMatrix, DVector};
use rayon::prelude::*;

use crate::error::{Finding, Severity};
use crate::measure::{Measure, Side};
use crate::sheet::{Given, Sheet, Slip};
use crate::torso::expect::{Of, expectations};
use crate::torso::facts::{Doubted, FitFact};
use crate::torso::main_measures::Core;
use crate::torso::param::COUNT;
use crate::torso::pose::{Ends, Posed, READ_SD_MM, TWO_SIDED_95, pose};
use crate::torso::problem::{LOOK_STEP, Problem, What};
use crate::torso::refit::Known;
use crate::torso::solve::{MOST_BODIES_SOFT, Solved, weigh};
use crate::torso::style::Build;

pub use opponents::Opposed;
pub(super) use opponents::{Missed, opposed};

/// What a hand tape repeats to over what a reading is trusted to: 3.6 mm, 2.4 degrees.
pub(super) const SOFTER: f64 = 12.0;
/// Below this sum of squares a sheet agrees with itself and with the surveys: nothing is looked for.
/// Full sheets of real people give 5 to 25; falsified ones more.
const AT_EASE: f64 = 20.0;
/// A reading further than this many standard deviations from what its survey regression expects is
/// looked at, and so are main girths that lie as far from what goes together.
const ODD: f64 = 3.0;
/// Suspects that get a fit of their own, of those that lie further than this many standard deviations
/// from what the others expect.
const SUSPECTS: usize = 6;
/// And of main girths, stature and back length beside them, those that go together worst with the others.
const SUSPECTS_OF_BODY: usize = 3;
/// How far off a reading must look, in standard deviations, before a fit without it is tried (see
/// [`SUSPECTS`]). This first look is only a guess at what that fit will find, so it lets in far more than
/// [`NAMED`] then names.
const SUSPICIOUS: f64 = 1.0;
/// Bodies that all fits without a suspect read together at most: each gets its share.
const BODIES_LEFT_OUT: usize = 1000;
/// A suspect is named when leaving it out lowers the sum by more than this: three standard
/// deviations of one reading, squared.
const NAMED: f64 = 8.0;
/// Suspects whose drop is at least this share of the best are named together.
const TOGETHER: f64 = 0.7;

/// Main girths, stature and back length may be as unusual as bodies are: without a slip that would
/// explain one of them it is named only beyond this, four standard deviations squared.
const NAMED_OF_BODY: f64 = 15.0;
/// And with a slip that would explain it, beyond this: some digit explains nearly everything.
const NAMED_WITH_SLIP: f64 = 11.0;

/// A sheet fitted softly.
pub(super) struct Soft {
    problem: Problem,
    /// How many of its rows, the first ones, were given.
    given: usize,
    core: Core,
    build: Build,
    solved: Solved,
    /// How badly everything goes together: the sum of squares of the fit, and the squared distance of the
    /// main girths, stature and back length from what goes together in the surveys.
    sum: f64,
}

/// What questions about a sheet are asked with: where its form ends, and how many bodies were read for them.
pub(super) struct Questions {
    ends: Ends,
    bodies: AtomicUsize,
}

impl Questions {
    pub(super) fn new(ends: Ends) -> Self {
        Self {
            ends,
            bodies: AtomicUsize::new(0),
        }
    }

    /// Bodies that were read for all of them so far.
    pub(super) fn bodies(&self) -> usize {
        self.bodies.load(Ordering::Relaxed)
    }

    /// Counts the bodies that an answer took.
    fn answered(&self, problem: &Problem) {
        self.bodies.fetch_add(problem.bodies(), Ordering::Relaxed);
    }
}

impl Soft {
    /// The whole sheet, from what is most probable before anything was read.
    pub(super) fn whole(sheet: &Sheet, questions: &Questions) -> Self {
        Self::of(sheet, questions, None, MOST_BODIES_SOFT)
    }

    /// Where the fit ended.
    pub(super) fn end(&self) -> DVector<f64> {
        self.solved.u.clone()
    }

    /// `known` is where the fit starts, `bodies` how many it may read.
    fn of(sheet: &Sheet, questions: &Questions, known: Option<&Known>, bodies: usize) -> Self {
        let Posed {
            problem,
            given,
            core,
            build,
        } = pose(sheet, questions.ends, SOFTER);
        let start = known.and_then(|k| k.start(&problem));
        let solved = weigh(&problem, start.as_ref(), bodies);
        questions.answered(&problem);
        Self {
            sum: solved.sum + core.surprise.0,
            problem,
            given,
            core,
            build,
            solved,
        }
    }
}

/// One reading left out.
struct Suspect {
    measure: Measure,
    side: Side,
    drop: f64,
    given: f64,
    /// What the others expect, and the standard deviation of that.
    expected: (f64, f64),
    /// How badly the others go together.
    left: f64,
}

/// Readings that pull against the rest.
pub(super) struct Doubt {
    pub(super) readings: Vec<What>,
    pub(super) finding: Finding,
}

/// Names the readings that pull against the rest, if any do; `soft` is the soft fit of the sheet, where it was
/// needed before.
pub(super) fn explain(
    sheet: &Sheet,
    questions: &Questions,
    (posed, firm): (&Problem, &Solved),
    core: &Core,
    misfit: f64,
    soft: Option<Soft>,
) -> Option<Doubt> {
    let odd = expectations(sheet, core, false, Of::Everything)
        .iter()
        .any(|e| {
            sheet
                .value(e.measure)
                .is_some_and(|v| (v - e.value).abs() > ODD * e.sd)
        });
    let (surprise, n) = core.surprise;
    let apart = surprise > n as f64 + ODD * (2.0 * n as f64).sqrt();
    if firm.sum < AT_EASE && misfit < READ_SD_MM && !odd && !apart {
        return None;
    }
    let soft = soft.unwrap_or_else(|| {
        let known = Known::new(posed, firm, none());
        Soft::of(sheet, questions, Some(&known), MOST_BODIES_SOFT)
    });
    if soft.sum < NAMED {
        return None;
    }
    let known = Known::new(&soft.problem, &soft.solved, none());
    let asked = asked(sheet, &soft);
    let bodies = BODIES_LEFT_OUT / asked.len().max(1);
    let mut suspects: Vec<Suspect> = asked
        .into_par_iter()
        .filter_map(|what| leave_out(sheet, questions, what, soft.sum, (&known, bodies)))
        .collect();
    suspects.sort_by(|a, b| b.drop.total_cmp(&a.drop).then(a.measure.cmp(&b.measure)));
    let weigh = |other: &Sheet, bodies| Soft::of(other, questions, Some(&known), bodies).sum;
    named(sheet, &soft, suspects, &weigh).or_else(|| {
        // No one reading explains it; those of a whole level may, taken at another waist.
        let repair = slip::another_waist(sheet, soft.sum - NAMED_WITH_SLIP, &weigh)?;
        Some(another_waist(sheet, repair.slip))
    })
}

/// Names the suspects, the likeliest first, that without which the rest goes together so much better;
/// `weigh` is how badly a changed sheet does.
fn named(
    sheet: &Sheet,
    soft: &Soft,
    mut suspects: Vec<Suspect>,
    weigh: &(dyn Fn(&Sheet, usize) -> f64 + Sync),
) -> Option<Doubt> {
    let floor = TOGETHER * suspects.first()?.drop;
    let least = suspects.iter().map(|s| s.left).fold(soft.sum, f64::min);
    let named = |s: &Suspect| s.drop >= floor;
    let repairs = slip::repairs(sheet, &soft.core, &suspects, &named, least, weigh);
    let slips: Vec<Slip> = repairs.into_iter().map(|r| r.slip).collect();
    if let Some(Slip::Exchanged(one, other)) = slips.first().copied() {
        return Some(Doubt {
            readings: vec![(one, Side::Both), (other, Side::Both)],
            finding: say_exchanged(sheet, one, other, slips),
        });
    }
    suspects.retain(named);
    let least_of_body = if slips.is_empty() {
        NAMED_OF_BODY
    } else {
        NAMED_WITH_SLIP
    };
    suspects.retain(|s| !Core::holds(s.measure) || s.drop > least_of_body);
    (!suspects.is_empty()).then(|| Doubt {
        readings: suspects.iter().map(|s| (s.measure, s.side)).collect(),
        finding: say(sheet, &suspects, slips),
    })
}

/// The readings that are left out to see whether the rest goes together better: the furthest from what
/// the others expect, and those that everything else is expected from, which cannot lie far from that.
fn asked(sheet: &Sheet, soft: &Soft) -> Vec<What> {
    let Soft {
        problem, solved, ..
    } = soft;
    let mut order: Vec<(What, f64)> = problem.rows[..soft.given]
        .iter()
        .zip(&solved.read)
        .enumerate()
        .map(|(i, (row, read))| {
            let g = solved.jacobian.row(i).transpose();
            let leverage = (g.transpose() * &solved.covariance * &g)[(0, 0)];
            let r = (read - row.target) / row.sd;
            (
                (row.measure, row.side),
                (r / (1.0 - leverage).max(1e-6).sqrt()).abs(),
            )
        })
        .collect();
    order.retain(|((measure, side), off)| *off > SUSPICIOUS && !is_sure(sheet, *measure, *side));
    order.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    let mut asked: Vec<What> = order.into_iter().map(|(what, _)| what).collect();
    asked.truncate(SUSPECTS);
    let of_body = sheet
        .given
        .iter()
        .filter(|g| Core::holds(g.measure) && !g.sure);
    let mut apart: Vec<(What, f64)> = of_body
        .map(|g| (g.measure, g.side))
        .filter(|what| !asked.contains(what))
        .map(|what| {
            let without = Core::from_sheet(&without(sheet, what), soft.build);
            (what, soft.core.surprise.0 - without.surprise.0)
        })
        .filter(|(_, apart)| *apart > SUSPICIOUS)
        .collect();
    apart.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    asked.extend(
        apart
            .into_iter()
            .take(SUSPECTS_OF_BODY)
            .map(|(what, _)| what),
    );
    asked
}

/// Whether the sheet says that a reading was measured again and is right.
fn is_sure(sheet: &Sheet, measure: Measure, side: Side) -> bool {
    let here = |g: &Given| (g.measure, g.side) == (measure, side);
    sheet.given.iter().any(|g| here(g) && g.sure)
}

/// No derivative of the surface.
fn none() -> DMatrix<f64> {
    DMatrix::zeros(0, COUNT)
}

/// The sheet without one reading.
fn without(sheet: &Sheet, what: What) -> Sheet {
    let mut rest = sheet.clone();
    rest.given.retain(|g| (g.measure, g.side) != what);
    rest
}

/// The sheet without one measure, fitted softly, if that lowers the sum worth naming; `known` is the end of the
/// soft fit of all.
fn leave_out(
    sheet: &Sheet,
    questions: &Questions,
    what: What,
    before: f64,
    (known, bodies): (&Known, usize),
) -> Option<Suspect> {
    let (measure, side) = what;
    let here = |g: &&Given| (g.measure, g.side) == what;
    let given = sheet.given.iter().find(here)?.value;
    let soft = Soft::of(&without(sheet, what), questions, Some(known), bodies);
    let drop = before - soft.sum;
    if drop <= NAMED {
        return None;
    }
    let expected = match soft.problem.wanted.iter().position(|m| *m == what) {
        Some(i) => {
            // What is carried of it was found while it was held; here it is what the question is about.
            let g = soft
                .problem
                .derivative(&soft.solved.u, &[what], LOOK_STEP)
                .row(0)
                .transpose();
            let spread = (g.transpose() * &soft.solved.covariance * &g)[(0, 0)];
            (soft.solved.wanted.0[i], spread.max(0.0).sqrt())
        }
        None => soft.core.expected(measure)?,
    };
    Some(Suspect {
        measure,
        side,
        drop,
        given,
        expected,
        left: soft.sum,
    })
}

/// Says that two readings stand in each other's place.
fn say_exchanged(sheet: &Sheet, one: Measure, other: Measure, slips: Vec<Slip>) -> Finding {
    let named = |m: Measure| (m, sheet.value(m).unwrap_or_default());
    let fact = FitFact::Exchanged {
        one: named(one),
        other: named(other),
        unit: sheet.unit,
        slips,
    };
    at_its_line(sheet, Finding::of(Severity::Warning, fact).about(one), one)
}

fn at_its_line(sheet: &Sheet, finding: Finding, measure: Measure) -> Finding {
    match sheet.given.iter().find(|g| g.measure == measure) {
        Some(g) => finding.at(g.place.clone()),
        None => finding,
    }
}

/// Says that all readings at the waist may be of another one.
fn another_waist(sheet: &Sheet, slip: Slip) -> Doubt {
    let at_waist: Vec<&Given> = slip::at_waist(sheet).collect();
    let first = at_waist[0].measure;
    let fact = FitFact::AnotherWaist {
        readings: at_waist.iter().map(|g| (g.measure, g.value)).collect(),
        unit: sheet.unit,
        slips: vec![slip],
    };
    let finding = Finding::of(Severity::Warning, fact).about(first);
    Doubt {
        readings: at_waist.iter().map(|g| (g.measure, g.side)).collect(),
        finding: at_its_line(sheet, finding, first),
    }
}

/// Says which readings pull.
fn say(sheet: &Sheet, suspects: &[Suspect], slips: Vec<Slip>) -> Finding {
    let doubted = |s: &Suspect| Doubted {
        measure: s.measure,
        side: s.side,
        given: s.given,
        expected: (s.expected.0, TWO_SIDED_95 * s.expected.1),
    };
    let fact = FitFact::Pulling {
        readings: suspects.iter().map(doubted).collect(),
        unit: sheet.unit,
        slips,
    };
    let first = suspects[0].measure;
    let finding = Finding::of(Severity::Warning, fact).about(first);
    at_its_line(sheet, finding, first)
}
