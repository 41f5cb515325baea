//! The fit: the most probable body that gives the readings.

use std::sync::atomic::AtomicUsize;

use crate::error::{Error, Finding, Severity};
use crate::measure::{Kind, Measure, Side};
use crate::sheet::{Abdomen, Given, Origin, Sheet, Target};
use crate::tolerance;
use crate::torso::Torso;
use crate::torso::advice::{self, Advice};
use crate::torso::amend::Swelling;
use crate::torso::doubt;
use crate::torso::doubt::{Opposed, Questions, Soft};
use crate::torso::expect::{Of, expectations};
use crate::torso::forced_order::{cannot, far_off, kept_in_order};
use crate::torso::main_measures::Core;
use crate::torso::param::{COUNT, Param};
use crate::torso::prior::Prior;
use crate::torso::problem::{Problem, Row, What};
use crate::torso::refit::Known;
use crate::torso::scatter::scatter;
use crate::torso::shape_words;
use crate::torso::solve::{Ending, Solved, solve, solve_again};
use crate::torso::style::Build;

/// Half-width of a 95 % interval over the standard deviation of a normal distribution.
pub(super) const TWO_SIDED_95: f64 = 1.96;
/// Standard deviations of a reading whose sheet does not say how sure it is.
pub(super) const READ_SD_MM: f64 = 0.3;
const WALL_SD_MM: f64 = 3.0;
const SLOPE_SD_RAD: f64 = 0.2 * std::f64::consts::PI / 180.0;

/// Where the form ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ends {
    /// Hem below the hip level, mm; absent: 0.055 of stature.
    pub hem_below_hip: Option<f64>,
    /// Neck top above the neck girth level, mm.
    pub neck_above_girth: f64,
}

impl Default for Ends {
    /// Hem at 0.055 of stature below the hip, neck top 10 mm above the neck girth level.
    fn default() -> Self {
        Self {
            hem_below_hip: None,
            neck_above_girth: 10.0,
        }
    }
}

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

/// Standard deviation of a given reading.
fn given_sd(measure: Measure, within: Option<f64>) -> f64 {
    if let Some(w) = within {
        return (w / TWO_SIDED_95).max(0.05 * READ_SD_MM);
    }
    match measure.kind() {
        Kind::Wall | Kind::Plumb => WALL_SD_MM,
        Kind::Slope => SLOPE_SD_RAD,
        _ => READ_SD_MM,
    }
}

/// The least squares problem that a sheet poses.
pub(super) struct Posed {
    pub(super) problem: Problem,
    /// How many of its rows, the first ones, were given.
    pub(super) given: usize,
    pub(super) core: Core,
    pub(super) build: Build,
}

/// Poses the problem of `sheet`; `soften` multiplies the spread of what was given: 1 to fit, more to
/// find out what pulls against what.
pub(super) fn pose(sheet: &Sheet, ends: Ends, soften: f64) -> Posed {
    let build = Build {
        figure: sheet.figure,
        pregnant: sheet.shape.abdomen == Some(Abdomen::Pregnant),
        supported: sheet.supported,
        lopsided: is_lopsided(sheet),
    };
    let core = Core::from_sheet(sheet, build);
    let mut prior = Prior::new(&core, build);
    if let Some(hem) = ends.hem_below_hip {
        prior.style.hem_below_hip = hem;
    }
    prior.style.neck_above_girth = ends.neck_above_girth;
    shape_words::apply(&sheet.shape, &mut prior);
    let scale = prior.style.scale;
    prior.style.swellings = sheet
        .amends
        .iter()
        .flat_map(|a| Swelling::of(a, scale))
        .collect();

    let mut rows: Vec<Row> = sheet
        .given
        .iter()
        .map(|g| Row {
            measure: g.measure,
            side: g.side,
            target: g.value,
            sd: soften * given_sd(g.measure, g.within),
        })
        .collect();
    rows.retain(|r| !evidence_only(r.measure));
    let given = rows.len();
    // To judge what was read, what surveys expect of it must stand beside it.
    let of = if soften > 1.0 {
        Of::Everything
    } else {
        Of::Missing
    };
    let soft = expectations(sheet, &core, build.pregnant, of);
    rows.extend(soft.iter().map(|e| Row {
        measure: e.measure,
        side: Side::Both,
        target: e.value,
        sd: e.sd,
    }));
    let low = (0..COUNT).map(|i| bound(&prior, prior.low[i], i)).collect();
    let high = (0..COUNT)
        .map(|i| bound(&prior, prior.high[i], i))
        .collect();
    let wanted = wanted(sheet);
    let problem = Problem {
        prior,
        rows,
        low,
        high,
        wanted,
        apart: None,
        bodies: AtomicUsize::new(0),
    };
    Posed {
        problem,
        given,
        core,
        build,
    }
}

/// Whether left and right are told apart anywhere.
fn is_lopsided(sheet: &Sheet) -> bool {
    sheet
        .given
        .iter()
        .any(|g| g.side != Side::Both || g.measure.kind() == Kind::Plumb)
        || sheet.amends.iter().any(|a| a.towards.is_one_sided())
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
        ..
    } = pose(sheet, ends, 1.0);
    let mut start = earlier.and_then(|k| k.start(&problem));
    let mut solved = solve(&problem, start.as_ref());
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
            let (lower, upper) = (lower.name(), upper.name());
            let why = format!("the readings put the {lower} level at or above the {upper} level");
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
    if let Some(why) = far_off(&problem.rows[..given], &solved, sheet) {
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
    let floor = knows_floor(sheet).then(|| {
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
        torso: Torso::new(body, floor),
        targets,
        ending: solved.ending,
        iterations: solved.iterations,
        bodies: problem.bodies() + questions.bodies(),
        worst_misfit,
        sum: solved.sum,
        unsure,
        next,
        opposed,
        findings,
    })
}

/// A hard bound of parameter `i` in whitened units.
fn bound(prior: &Prior, at: f64, i: usize) -> f64 {
    if prior.sd[i] <= 0.0 || !at.is_finite() {
        return if at > 0.0 {
            f64::INFINITY
        } else {
            f64::NEG_INFINITY
        };
    }
    (at - prior.mean[i]) / prior.sd[i]
}

/// Measures that tell what to expect but that a form without arms, legs and head does not have.
pub(crate) fn evidence_only(measure: Measure) -> bool {
    matches!(
        measure,
        Measure::GirthShoulder
            | Measure::GirthThigh
            | Measure::GirthUpperArm
            | Measure::BreadthBiacromial
            | Measure::HeightStature
            | Measure::HeightCrotch
    )
}

/// Without wall gaps the side view is a guess, and the person should know.
fn posture_note(sheet: &Sheet) -> Option<Finding> {
    let seen = sheet.given.iter().any(|g| g.measure.kind() == Kind::Wall);
    (!seen && sheet.shape.back.is_none()).then(|| {
        Finding::new(
            Severity::Note,
            "how the body holds itself was not measured: the side view is average",
            "heels and seat against a wall, measure `wall.nape` and `wall.waist`",
        )
    })
}

/// Share of what is allowed beyond which a reading counts as nearly missed. Our choice.
const NEARLY_MISSED: f64 = 0.8;

/// How far the form may be off a given reading.
fn allowed(sheet: &Sheet, row: &Row) -> f64 {
    let here = |g: &&Given| g.measure == row.measure && g.side == row.side;
    let within = sheet.given.iter().find(here).and_then(|g| g.within);
    within.unwrap_or_else(|| tolerance::for_measure(row.measure))
}

/// The given rows that are off by more than this share of what is allowed.
fn missed(given: &[Row], solved: &Solved, sheet: &Sheet, share: f64) -> Vec<usize> {
    let rows = given.iter().zip(&solved.read).enumerate();
    rows.filter(|(_, (row, read))| (*read - row.target).abs() > share * allowed(sheet, row))
        .map(|(i, _)| i)
        .collect()
}

/// The largest misfit of a given value, mm; slopes do not count.
pub(super) fn worst_misfit(given: &[Row], solved: &Solved) -> f64 {
    given
        .iter()
        .zip(&solved.read)
        .filter(|(row, _)| row.measure.kind() != Kind::Slope)
        .map(|(row, read)| (read - row.target).abs())
        .fold(0.0, f64::max)
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
    let (measure, off) = (against.measure, found - asked);
    let (was, gets) = (show(measure, asked, sheet), show(measure, found, sheet));
    // A miss too small to show in the sheet's unit is said in mm.
    let gets = if gets == was && measure.kind() != Kind::Slope {
        let more = if off > 0.0 { "more" } else { "less" };
        format!("{:.1} mm {more}", off.abs())
    } else {
        gets
    };
    let name = called(measure, against.side);
    let message = format!("{name} was read as {was} but the form gets {gets}");
    Finding::new(Severity::Warning, message, against.advice()).about(measure)
}

/// The key of a measure, and the side where one is meant.
pub(super) fn called(measure: Measure, side: Side) -> String {
    match side {
        Side::Both => format!("`{measure}`"),
        Side::Left => format!("`{measure}` on the left"),
        Side::Right => format!("`{measure}` on the right"),
    }
}

/// A value in the sheet's unit, or in degrees.
pub(super) fn show(measure: Measure, value: f64, sheet: &Sheet) -> String {
    if measure.kind() == Kind::Slope {
        format!("{:.1} degrees", value.to_degrees())
    } else {
        sheet.unit.show(value)
    }
}

/// Whether the floor can be placed: some height was given.
fn knows_floor(sheet: &Sheet) -> bool {
    sheet.given.iter().any(|g| g.measure.kind() == Kind::Height)
}

/// Everything that the form has and the sheet does not give; side by side where the sheet tells
/// sides apart.
fn wanted(sheet: &Sheet) -> Vec<What> {
    let floor = knows_floor(sheet);
    let lopsided = is_lopsided(sheet);
    // Slope and drop are one thing, taken in two ways.
    let drop = sheet
        .given
        .iter()
        .any(|g| g.measure == Measure::ShoulderDrop);
    let mut all = Vec::new();
    for m in Measure::ALL {
        let shown = !evidence_only(m)
            && (floor || m.kind() != Kind::Height)
            && (lopsided || m.kind() != Kind::Plumb)
            && m != Measure::ShoulderDrop
            && !(m == Measure::SlopeShoulder && drop);
        if !shown {
            continue;
        }
        let given = |side: Side| sheet.given.iter().any(|g| g.measure == m && g.side == side);
        if lopsided && m.info().paired && m.kind() != Kind::Arc {
            for side in [Side::Left, Side::Right] {
                if !given(side) && !given(Side::Both) {
                    all.push((m, side));
                }
            }
        } else if !(given(Side::Both) || given(Side::Left) && given(Side::Right)) {
            all.push((m, Side::Both));
        }
    }
    all
}

/// What the form is meant to measure, in the order of [`Measure::ALL`].
fn targets(problem: &Problem, solved: &Solved, sheet: &Sheet, core: &Core) -> Vec<Target> {
    let knows_floor = knows_floor(sheet);
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
                scatter(sheet.figure, m),
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
