//! The fit: the most probable body that gives the readings.

use crate::error::{Error, Finding, Severity};
use crate::measure::{Kind, Measure, Side};
use crate::sheet::{Given, Origin, Posture, Sheet, Target};
use crate::tolerance;
use crate::torso::Torso;
use crate::torso::advice::{self, Advice};
use crate::torso::doubt;
use crate::torso::doubt::{Opposed, Questions, Soft};
use crate::torso::facts::FitFact;
use crate::torso::forced_order::{cannot, far_off, kept_in_order, worst_misfit};
use crate::torso::main_measures::Core;
use crate::torso::param::Param;
use crate::torso::pose::{Ends, Posed, TWO_SIDED_95, given_sd, knows_ground, pose};
use crate::torso::problem::{Problem, ProblemRow};
use crate::torso::refit::Known;
use crate::torso::scatter::{manner, scatter};
use crate::torso::solve::{Ending, Solved, solve, solve_again, solve_further};

/// A fitted body.
#[derive(Clone, Debug)]
pub struct Fit {
    /// The body.
    pub torso: Torso,
    /// What it is meant to measure: everything given, and everything else predicted.
    pub targets: Vec<Target>,
    /// How the fit ended.
    pub ending: Ending,
    /// Accepted steps.
    pub iterations: usize,
    /// Bodies that were read on the way, for the fit and for every question about the sheet: all the work that
    /// there was, the same on every machine.
    pub bodies: usize,
    /// Largest difference between what was given and what the surface has, mm (angles left out).
    pub worst_misfit: f64,
    /// Sum of squares at the end: about the number of readings that disagree with expectation.
    pub sum: f64,
    /// Root mean square plus-or-minus of the surface, mm: how far off it may be, level for level and
    /// all round, with a chance of one in twenty.
    pub unsure: f64,
    /// What to measure next, the most telling first.
    pub next: Vec<Advice>,
    /// Main readings to take a second time: where a slip shows last.
    pub again: Vec<Measure>,
    /// What every given reading pulls against, as far as it is off.
    pub opposed: Vec<Opposed>,
    /// What the fit has to say.
    pub findings: Vec<Finding>,
    known: Known,
}

impl Fit {
    /// What a given reading pulls against.
    #[must_use]
    pub fn against(&self, measure: Measure, side: Side) -> Option<&Opposed> {
        let here = |o: &&Opposed| o.measure == measure && o.side == side;
        self.opposed.iter().find(here)
    }
}

/// Fits a body to `sheet`, ending where forms usually end.
///
/// # Errors
/// As [`fit_to`].
pub fn fit(sheet: &Sheet) -> Result<Fit, Error> {
    fit_to(sheet, Ends::default())
}

/// Fits a body to `sheet`, ending at `ends`.
///
/// # Errors
/// [`Error::Fit`] when no body comes near the readings: the nearest one misses one of them by more than
/// [`NO_BODY_TOLERANCE`](tolerance::NO_BODY_TOLERANCE) and
/// [`NO_BODY_TOLERANCE_MM`](tolerance::NO_BODY_TOLERANCE_MM), or has its levels out of their order.
pub fn fit_to(sheet: &Sheet, ends: Ends) -> Result<Fit, Error> {
    fit_after(sheet, ends, None)
}

/// Fits a body to `sheet` that differs little from the sheet of `earlier`, ending at `ends`: with one
/// changed reading in a small part of the time of a fit from nothing. Where the sheets differ so much
/// that the earlier fit is no help (another figure, sides told apart, readings of another kind), this
/// is [`fit_to`].
///
/// The readings are met as a fit from nothing meets them. How unsure the rest is follows from the
/// derivatives of the earlier fit, and is right to about a tenth.
///
/// # Errors
/// As [`fit_to`].
pub fn refit_to(earlier: &Fit, sheet: &Sheet, ends: Ends) -> Result<Fit, Error> {
    fit_after(sheet, ends, Some(&earlier.known))
}

fn fit_after(sheet: &Sheet, ends: Ends, earlier: Option<&Known>) -> Result<Fit, Error> {
    let Posed {
        mut problem,
        given,
        core,
        build,
    } = pose(sheet, ends, 1.0);
    let mut start = earlier.and_then(|k| k.start(&problem));
    let mut solved = solve(&problem, start.as_ref());
    if let Some(further) = solve_further(&problem, &solved) {
        (solved, start) = (further, None);
    }
    let questions = Questions::new(ends);
    let mut soft = None;
    let out_of_order = |solved: &Solved| problem.body(&solved.u).disorder(0.0);
    let disordered = out_of_order(&solved).is_some();
    if disordered || !missed(&problem.rows[..given], &solved, sheet, 1.0).is_empty() {
        let whole = Soft::whole(sheet, &questions);
        if !disordered
            && let Some(again) = solve_again(&problem, &solved, whole.end())
            && again.sum < solved.sum
            && out_of_order(&again).is_none()
        {
            (solved, start) = (again, None);
        }
        soft = Some(whole);
    }
    if let Some([lower, upper]) = out_of_order(&solved) {
        let softly = soft.as_ref().map(Soft::end);
        let Some(kept) = kept_in_order(&mut problem, given, softly) else {
            let firm = (&problem, &solved);
            let doubt = doubt::explain(sheet, &questions, firm, &core, f64::INFINITY, soft);
            let why = FitFact::LevelsCross {
                lower,
                upper,
                doubted: doubt.is_some(),
            };
            return Err(cannot(sheet, why, doubt));
        };
        (solved, start) = (kept, None);
    }

    let body = problem.body(&solved.u);
    let worst_misfit = worst_misfit(&problem.rows[..given], &solved);
    let doubt = doubt::explain(
        sheet,
        &questions,
        (&problem, &solved),
        &core,
        worst_misfit,
        soft,
    );
    if let Some((row, found)) = far_off(&problem.rows[..given], &solved) {
        let why = FitFact::NoBody {
            measure: row.measure,
            side: row.side,
            asked: row.target,
            found,
            unit: sheet.unit,
            doubted: doubt.is_some(),
        };
        return Err(cannot(sheet, why, doubt));
    }
    let doubted = doubt.as_ref().map_or(&[][..], |d| &d.readings);
    // What the surface meets by a hair may be missed on the solid.
    let missed = missed(&problem.rows[..given], &solved, sheet, NEARLY_MISSED);
    let whole = doubt::Missed {
        sheet,
        questions: &questions,
        problem: &problem,
        given,
        solved: &solved,
    };
    let opposed = doubt::opposed(whole, &missed, doubted);
    let mut findings = misfits(&problem, &opposed, &solved, sheet);
    let targets = targets(&problem, &solved, sheet, &core);
    let ground = knows_ground(sheet).then(|| {
        let sd = targets
            .iter()
            .find(|t| t.measure == Measure::HeightWaist)
            .map_or(0.0, |t| t.plus_minus);
        (-body.right().get(Param::WaistHeight), sd)
    });
    findings.extend(doubt.map(|d| d.finding));
    findings.extend(posture_note(sheet));
    let surface = start.filter(|_| solved.carried).map_or_else(
        || advice::surface_derivative(&problem, &solved.u),
        |s| s.surface,
    );
    let (unsure, next) = advice::next(sheet, &problem, &solved, &surface);
    Ok(Fit {
        known: Known::new(&problem, &solved, surface),
        torso: Torso::new(body, ground, sheet.posture),
        targets,
        ending: solved.ending,
        iterations: solved.iterations,
        bodies: problem.bodies() + questions.bodies(),
        worst_misfit,
        sum: solved.sum,
        unsure,
        next,
        again: advice::again(sheet, build),
        opposed,
        findings,
    })
}

/// Without wall gaps the side view is a guess, and of somebody who sat the seat is: the person should know.
fn posture_note(sheet: &Sheet) -> Option<Finding> {
    if sheet.posture == Posture::Seated {
        return Some(Finding::of(Severity::Note, FitFact::Seated));
    }
    let seen = sheet.given.iter().any(|g| g.measure.kind() == Kind::Wall);
    let unknown = !seen && sheet.shape.back.is_none();
    unknown.then(|| Finding::of(Severity::Note, FitFact::UnknownPosture))
}

/// Share of what is allowed beyond which a reading counts as nearly missed. Our choice.
const NEARLY_MISSED: f64 = 0.8;

/// How far the form may be off a given reading.
fn allowed(sheet: &Sheet, row: &ProblemRow) -> f64 {
    let here = |g: &&Given| g.measure == row.measure && g.side == row.side;
    let within = sheet.given.iter().find(here).and_then(|g| g.within);
    within.unwrap_or_else(|| tolerance::for_measure(row.measure))
}

/// The given rows that are off by more than this share of what is allowed.
fn missed(given: &[ProblemRow], solved: &Solved, sheet: &Sheet, share: f64) -> Vec<usize> {
    let rows = given.iter().zip(&solved.read).enumerate();
    rows.filter(|(_, (row, read))| (*read - row.target).abs() > share * allowed(sheet, row))
        .map(|(i, _)| i)
        .collect()
}

/// Says which given values gave way.
fn misfits(problem: &Problem, opposed: &[Opposed], solved: &Solved, sheet: &Sheet) -> Vec<Finding> {
    let rows = problem.rows.iter().zip(&solved.read).zip(opposed);
    rows.filter(|((row, read), _)| (*read - row.target).abs() > allowed(sheet, row))
        .map(|((row, read), against)| miss(sheet, row.target, *read, against))
        .collect()
}

/// Says that a reading which was `asked` is missed, as the form gets `found`, and what stands against it.
pub(crate) fn miss(sheet: &Sheet, asked: f64, found: f64, against: &Opposed) -> Finding {
    let (measure, side, unit) = (against.measure, against.side, sheet.unit);
    let against = against.against.clone();
    let here = |g: &&Given| g.measure == measure && g.side == side;
    let said = sheet.given.iter().find(here).and_then(|g| g.within);
    // Who says how sure a reading is has told what hands differ in: two of them, or one that reads twice.
    let hands = libm::hypot(manner(&sheet.averages, measure), measure.technical_error());
    let by_hand = said.is_none() && (found - asked).abs() <= hands;
    let (severity, fact) = if by_hand {
        let fact = FitFact::Between {
            measure,
            side,
            asked,
            found,
            unit,
            against,
        };
        (Severity::Note, fact)
    } else {
        let fact = FitFact::Missed {
            measure,
            side,
            asked,
            found,
            unit,
            against,
        };
        (Severity::Warning, fact)
    };
    Finding::of(severity, fact).about(measure)
}

/// What the form is meant to measure, in the order of [`Measure::ALL`].
fn targets(problem: &Problem, solved: &Solved, sheet: &Sheet, core: &Core) -> Vec<Target> {
    let knows_floor = knows_ground(sheet) && sheet.posture == Posture::Standing;
    let asked = |m: Measure| sheet.given.iter().filter(move |g| g.measure == m);
    let wanted = &problem.wanted;
    let (here, d) = &solved.wanted;
    let mut all = Vec::new();
    for m in Measure::ALL {
        for (i, (_, side)) in wanted.iter().enumerate().filter(|(_, w)| w.0 == m) {
            let g = d.row(i).transpose();
            let sd = libm::hypot(
                (g.transpose() * &solved.covariance * &g)[(0, 0)]
                    .max(0.0)
                    .sqrt(),
                scatter(&sheet.averages, m),
            );
            all.push(Target {
                measure: m,
                side: *side,
                value: here[i],
                origin: Origin::Estimated,
                plus_minus: TWO_SIDED_95 * sd,
                within: None,
            });
        }
        for g in asked(m) {
            all.push(Target {
                measure: m,
                side: g.side,
                value: g.value,
                origin: Origin::Given,
                plus_minus: TWO_SIDED_95 * given_sd(m, g.within),
                within: g.within,
            });
        }
        if m == Measure::HeightStature && asked(m).next().is_none() && knows_floor {
            all.push(Target {
                measure: m,
                side: Side::Both,
                value: core.stature,
                origin: Origin::Estimated,
                plus_minus: TWO_SIDED_95 * core.sd[0],
                within: None,
            });
        }
    }
    all
}
