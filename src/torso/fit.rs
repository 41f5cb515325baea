//! The fit: the most probable body that gives the readings.
//!
//! Minimises the sum of squared misfits of everything read (each over its own spread), of everything
//! surveys lead one to expect, and of the distance of the shape parameters from their prior, by
//! damped Gauss-Newton steps (Levenberg 1944, Marquardt 1963) with box bounds. The Jacobian is
//! differenced once and then carried along by rank-one updates (Broyden 1965), renewed when they no
//! longer predict: a full evaluation of all readings is fifty times cheaper than a Jacobian.

use nalgebra::{DMatrix, DVector};
use rayon::prelude::*;

use crate::error::{Error, Finding, Severity};
use crate::measure::{Kind, Level, Measure, Side};
use crate::sheet::{Abdomen, Origin, Sheet, Target};
use crate::tolerance;
use crate::torso::Torso;
use crate::torso::core::Core;
use crate::torso::expect::expectations;
use crate::torso::param::{COUNT, Param, Values};
use crate::torso::prior::{Build, Prior};
use crate::torso::reading::{Hints, Reader};
use crate::torso::surface::Surface;
use crate::torso::words;

/// Half-width of a 95 % interval over the standard deviation of a normal distribution.
const TWO_SIDED_95: f64 = 1.96;
/// Standard deviations of a reading whose sheet does not say how sure it is.
const READ_SD_MM: f64 = 0.3;
const WALL_SD_MM: f64 = 3.0;
const SLOPE_SD_RAD: f64 = 0.2 * std::f64::consts::PI / 180.0;

/// Step of the differences, in standard deviations of a parameter.
const STEP: f64 = 1e-3;
/// Largest change of a parameter in one step, in standard deviations.
const LONGEST: f64 = 2.0;
const MOST_ITERATIONS: usize = 60;
/// A decrease of the sum below this, or below this share of a large sum, is the end.
const ENOUGH: f64 = 1e-4;
const ENOUGH_SHARE: f64 = 1e-6;

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

/// How a fit came to its end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ending {
    /// The sum no longer decreases worth speaking of.
    Converged,
    /// No step makes the sum smaller, though it should.
    NoImprovement,
    /// The allowed number of steps ran out.
    OutOfPatience,
}

impl Ending {
    /// Its name in files and reports.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Converged => "converged",
            Self::NoImprovement => "no improvement",
            Self::OutOfPatience => "out of patience",
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
    /// Largest difference between what was given and what the surface has, mm (angles left out).
    pub worst_misfit: f64,
    /// Sum of squares at the end: about the number of readings that disagree with expectation.
    pub sum: f64,
    /// What the fit has to say.
    pub findings: Vec<Finding>,
}

/// One row of the least squares problem.
struct Row {
    measure: Measure,
    target: f64,
    sd: f64,
}

struct Problem {
    prior: Prior,
    rows: Vec<Row>,
    low: Vec<f64>,
    high: Vec<f64>,
}

impl Problem {
    fn values(&self, u: &DVector<f64>) -> Values {
        let shift = &self.prior.spread * u;
        std::array::from_fn(|i| {
            (self.prior.mean[i] + shift[i]).clamp(self.prior.low[i], self.prior.high[i])
        })
    }

    fn surface(&self, u: &DVector<f64>) -> Surface {
        Surface::new(&self.values(u), &self.prior.style)
    }

    /// Readings of `measures` at `u`; a measure that the form lacks gives NaN.
    fn read(&self, u: &DVector<f64>, measures: &[Measure]) -> Vec<f64> {
        let surface = self.surface(u);
        let mut reader = Reader::new(&surface);
        measures
            .iter()
            .map(|m| reader.read(*m).unwrap_or(f64::NAN))
            .collect()
    }

    /// The same, and where the curves behind them were found.
    fn read_found(&self, u: &DVector<f64>, measures: &[Measure]) -> (Vec<f64>, Hints) {
        let surface = self.surface(u);
        let mut reader = Reader::new(&surface);
        let read = measures
            .iter()
            .map(|m| reader.read(*m).unwrap_or(f64::NAN))
            .collect();
        (read, reader.found)
    }

    /// Derivatives of `measures` by every whitened parameter, one column each.
    fn derivative(&self, u: &DVector<f64>, measures: &[Measure]) -> DMatrix<f64> {
        let (here, hints) = self.read_found(u, measures);
        let columns: Vec<Vec<f64>> = (0..COUNT)
            .into_par_iter()
            .map(|j| {
                if self.prior.sd[j] <= 0.0 {
                    return vec![0.0; measures.len()];
                }
                let step = if u[j] + STEP <= self.high[j] {
                    STEP
                } else {
                    -STEP
                };
                let mut v = u.clone();
                v[j] += step;
                let surface = self.surface(&v);
                let mut reader = Reader::near(&surface, &hints);
                let there = measures.iter().map(|m| reader.read(*m).unwrap_or(f64::NAN));
                there.zip(&here).map(|(a, b)| (a - b) / step).collect()
            })
            .collect();
        DMatrix::from_fn(measures.len(), COUNT, |i, j| columns[j][i])
    }

    fn misfit(&self, read: &[f64]) -> DVector<f64> {
        DVector::from_fn(self.rows.len(), |i, _| {
            (read[i] - self.rows[i].target) / self.rows[i].sd
        })
    }
}

/// Standard deviation of a given reading.
fn given_sd(measure: Measure, within: Option<f64>) -> f64 {
    if let Some(w) = within {
        return (w / TWO_SIDED_95).max(0.05 * READ_SD_MM);
    }
    match measure.kind() {
        Kind::Wall => WALL_SD_MM,
        Kind::Slope => SLOPE_SD_RAD,
        _ => READ_SD_MM,
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
/// [`Error::Fit`] when the readings put the levels of the body out of their order, so that no body
/// has them.
pub fn fit_to(sheet: &Sheet, ends: Ends) -> Result<Fit, Error> {
    let build = Build {
        figure: sheet.figure,
        pregnant: sheet.shape.abdomen == Some(Abdomen::Pregnant),
        supported: sheet.supported,
    };
    let core = Core::from_sheet(sheet, build);
    let mut prior = Prior::new(&core, build);
    if let Some(hem) = ends.hem_below_hip {
        prior.style.hem_below_hip = hem;
    }
    prior.style.neck_above_girth = ends.neck_above_girth;
    words::apply(&sheet.shape, &mut prior);

    let mut rows: Vec<Row> = Vec::new();
    for m in Measure::ALL {
        // Left and right of a symmetric body are met on average.
        let Some(value) = sheet.value(m) else {
            continue;
        };
        let within = sheet
            .given
            .iter()
            .filter(|g| g.measure == m)
            .find_map(|g| g.within);
        rows.push(Row {
            measure: m,
            target: value,
            sd: given_sd(m, within),
        });
    }
    rows.retain(|r| !evidence_only(r.measure));
    let given = rows.len();
    let soft = expectations(sheet, &core, build.pregnant);
    rows.extend(soft.iter().map(|e| Row {
        measure: e.measure,
        target: e.value,
        sd: e.sd,
    }));

    let low = (0..COUNT).map(|i| bound(&prior, prior.low[i], i)).collect();
    let high = (0..COUNT)
        .map(|i| bound(&prior, prior.high[i], i))
        .collect();
    let problem = Problem {
        prior,
        rows,
        low,
        high,
    };
    let solved = solve(&problem);

    let surface = problem.surface(&solved.u);
    in_order(&surface)?;
    let mut findings = Vec::new();
    let worst_misfit = misfits(&problem, given, &solved, sheet, &mut findings);
    let targets = targets(&problem, &solved, sheet, &core);
    let knows_floor = sheet.given.iter().any(|g| g.measure.kind() == Kind::Height);
    let floor = knows_floor.then(|| {
        let sd = targets
            .iter()
            .find(|t| t.measure == Measure::HeightWaist)
            .map_or(0.0, |t| t.plus_minus);
        (-surface.get(Param::WaistHeight), sd)
    });
    Ok(Fit {
        torso: Torso::new(surface, floor),
        targets,
        ending: solved.ending,
        iterations: solved.iterations,
        worst_misfit,
        sum: solved.sum,
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

struct Solved {
    u: DVector<f64>,
    ending: Ending,
    iterations: usize,
    sum: f64,
    /// Readings of the rows at the end.
    read: Vec<f64>,
    /// Inverse of the information matrix at the end, of whitened parameters.
    covariance: DMatrix<f64>,
}

fn solve(problem: &Problem) -> Solved {
    let measures: Vec<Measure> = problem.rows.iter().map(|r| r.measure).collect();
    let weigh = |d: DMatrix<f64>| {
        let mut j = d;
        for (i, row) in problem.rows.iter().enumerate() {
            let mut line = j.row_mut(i);
            line /= row.sd;
        }
        j
    };
    let mut u = DVector::from_fn(COUNT, |i, _| 0.0f64.clamp(problem.low[i], problem.high[i]));
    let mut read = problem.read(&u, &measures);
    let mut r = problem.misfit(&read);
    let mut sum = r.norm_squared() + u.norm_squared();
    let mut j = weigh(problem.derivative(&u, &measures));
    let mut fresh = true;
    let mut damping: f64 = 1e-2;
    let mut iterations = 0;
    let mut ending = Ending::OutOfPatience;
    for _ in 0..4 * MOST_ITERATIONS {
        if iterations >= MOST_ITERATIONS {
            break;
        }
        let g = j.transpose() * &r + &u;
        let free: Vec<bool> = (0..COUNT)
            .map(|i| {
                problem.prior.sd[i] > 0.0
                    && !(u[i] <= problem.low[i] && g[i] > 0.0)
                    && !(u[i] >= problem.high[i] && g[i] < 0.0)
            })
            .collect();
        let step = damped_step(&j, &g, &free, damping);
        let mut v = &u + &step;
        for i in 0..COUNT {
            v[i] = v[i].clamp(problem.low[i], problem.high[i]);
        }
        let step = &v - &u;
        let linear = &r + &j * &step;
        let promised = sum - (linear.norm_squared() + v.norm_squared());
        let read_v = problem.read(&v, &measures);
        let r_v = problem.misfit(&read_v);
        let sum_v = r_v.norm_squared() + v.norm_squared();
        let gained = sum - sum_v;
        let small = ENOUGH.max(ENOUGH_SHARE * sum);
        if promised < small && fresh {
            if gained > 0.0 {
                (u, read, sum) = (v, read_v, sum_v);
                iterations += 1;
            }
            ending = Ending::Converged;
            break;
        }
        if gained.is_finite() && gained > 0.0 {
            let length = step.norm_squared();
            if length > 0.0 {
                // Broyden's update: the least change that explains the step just seen.
                let gap = (&r_v - &linear) / length;
                j += gap * step.transpose();
            }
            let honest = gained / promised;
            (u, read, r, sum) = (v, read_v, r_v, sum_v);
            iterations += 1;
            fresh = false;
            damping = if honest > 0.5 {
                (damping / 10.0).max(1e-9)
            } else {
                damping
            };
            if gained < small || honest < 0.3 {
                j = weigh(problem.derivative(&u, &measures));
                fresh = true;
            }
        } else if fresh {
            damping = (damping * 10.0).max(1e-4);
            if damping > 1e8 {
                ending = Ending::NoImprovement;
                break;
            }
        } else {
            j = weigh(problem.derivative(&u, &measures));
            fresh = true;
        }
    }
    if !fresh {
        j = weigh(problem.derivative(&u, &measures));
    }
    let mut information = j.transpose() * &j;
    for i in 0..COUNT {
        information[(i, i)] += 1.0;
    }
    // The identity of the prior makes it positive definite.
    let covariance = information
        .cholesky()
        .map_or_else(|| DMatrix::identity(COUNT, COUNT), |c| c.inverse());
    Solved {
        u,
        ending,
        iterations,
        sum,
        read,
        covariance,
    }
}

/// The step that minimises the linearised sum with damping, among the free parameters only.
fn damped_step(j: &DMatrix<f64>, g: &DVector<f64>, free: &[bool], damping: f64) -> DVector<f64> {
    let mut a = j.transpose() * j;
    for i in 0..COUNT {
        a[(i, i)] += 1.0;
    }
    for i in 0..COUNT {
        a[(i, i)] *= 1.0 + damping;
    }
    let mut rhs = -g;
    for i in 0..COUNT {
        if !free[i] {
            for k in 0..COUNT {
                a[(i, k)] = 0.0;
                a[(k, i)] = 0.0;
            }
            a[(i, i)] = 1.0;
            rhs[i] = 0.0;
        }
    }
    let Some(c) = a.cholesky() else {
        return DVector::zeros(COUNT);
    };
    let step = c.solve(&rhs);
    let longest = step.amax();
    if longest > LONGEST {
        step * (LONGEST / longest)
    } else {
        step
    }
}

/// The levels must follow one another as they do in every body.
fn in_order(surface: &Surface) -> Result<(), Error> {
    const ORDER: [Level; 9] = [
        Level::Hem,
        Level::Hip,
        Level::TopHip,
        Level::Waist,
        Level::Underbust,
        Level::Bust,
        Level::Armpit,
        Level::ShoulderPoint,
        Level::SideNeck,
    ];
    for pair in ORDER.windows(2) {
        if surface.level(pair[0]) >= surface.level(pair[1]) {
            return Err(Error::Fit(format!(
                "the readings put the {} level at or above the {} level; check the lengths and \
                 heights between them",
                pair[0].name(),
                pair[1].name()
            )));
        }
    }
    Ok(())
}

/// Says which given values gave way; returns the largest misfit, mm.
fn misfits(
    problem: &Problem,
    given: usize,
    solved: &Solved,
    sheet: &Sheet,
    findings: &mut Vec<Finding>,
) -> f64 {
    let mut worst: f64 = 0.0;
    for (row, read) in problem.rows.iter().zip(&solved.read).take(given) {
        let off = read - row.target;
        if row.measure.kind() != Kind::Slope {
            worst = worst.max(off.abs());
        }
        let within = sheet
            .given
            .iter()
            .filter(|g| g.measure == row.measure)
            .find_map(|g| g.within);
        let allowed = within.unwrap_or_else(|| tolerance::for_measure(row.measure));
        if off.abs() > allowed {
            let (asked, found) = (
                show(row.measure, row.target, sheet),
                show(row.measure, *read, sheet),
            );
            findings.push(
                Finding::new(
                    Severity::Warning,
                    format!("`{}` was read as {asked} but the form gets {found}", row.measure),
                    "other readings pull against it: measure it and its neighbours again, or say how \
                     sure each is with `within`",
                )
                .about(row.measure),
            );
        }
        let sides: Vec<_> = sheet
            .given
            .iter()
            .filter(|g| g.measure == row.measure && g.side != Side::Both)
            .collect();
        if sides.len() == 2 && (sides[0].value - sides[1].value).abs() > allowed {
            findings.push(
                Finding::new(
                    Severity::Warning,
                    format!(
                        "`{}` differs from left to right; this form is symmetric and meets their mean, {}",
                        row.measure,
                        show(row.measure, row.target, sheet)
                    ),
                    "build the larger side and pad or take in the other by hand",
                )
                .about(row.measure),
            );
        }
    }
    worst
}

/// A value in the sheet's unit, or in degrees.
fn show(measure: Measure, value: f64, sheet: &Sheet) -> String {
    if measure.kind() == Kind::Slope {
        format!("{:.1} degrees", value.to_degrees())
    } else {
        sheet.unit.show(value)
    }
}

/// What the form is meant to measure, in the order of [`Measure::ALL`].
fn targets(problem: &Problem, solved: &Solved, sheet: &Sheet, core: &Core) -> Vec<Target> {
    let knows_floor = sheet.given.iter().any(|g| g.measure.kind() == Kind::Height);
    let asked = |m: Measure| sheet.given.iter().filter(move |g| g.measure == m);
    let wanted: Vec<Measure> = Measure::ALL
        .into_iter()
        .filter(|m| !evidence_only(*m) && asked(*m).next().is_none())
        .filter(|m| knows_floor || m.kind() != Kind::Height)
        .filter(|m| *m != Measure::ShoulderDrop)
        .collect();
    let here = problem.read(&solved.u, &wanted);
    let d = problem.derivative(&solved.u, &wanted);
    let mut all = Vec::new();
    for m in Measure::ALL {
        if let Some(i) = wanted.iter().position(|w| *w == m) {
            let g = d.row(i).transpose();
            let sd = (g.transpose() * &solved.covariance * &g)[(0, 0)]
                .max(0.0)
                .sqrt();
            all.push(Target {
                measure: m,
                side: Side::Both,
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
