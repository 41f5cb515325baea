//! The least squares problem that a sheet poses: what was read, what is expected, and how sure each is.

use std::sync::atomic::AtomicUsize;

use crate::measure::{Kind, Measure, Side};
use crate::sheet::{Abdomen, Averages, Given, NOT_SEATED, Posture, Sheet};
use crate::torso::amend::Swelling;
use crate::torso::expect::{Of, expectations};
use crate::torso::main_measures::Core;
use crate::torso::param::COUNT;
use crate::torso::prior::Prior;
use crate::torso::problem::{Problem, ProblemRow, What};
use crate::torso::scatter::scatter;
use crate::torso::shape_words;
use crate::torso::style::{Build, Sided};

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

/// Standard deviation of a given reading.
pub(super) fn given_sd(measure: Measure, within: Option<f64>) -> f64 {
    if let Some(w) = within {
        return (w / TWO_SIDED_95).max(0.05 * READ_SD_MM);
    }
    match measure.kind() {
        Kind::Wall | Kind::Plumb => WALL_SD_MM,
        Kind::Slope => SLOPE_SD_RAD,
        _ => READ_SD_MM,
    }
}

/// Standard deviation of a reading in a fit that is `soften` times as soft; to find out what pulls, a
/// reading gives way by what hands differ in as well.
fn softened(averages: &Averages, given: &Given, soften: f64) -> f64 {
    let sd = soften * given_sd(given.measure, given.within);
    if soften > 1.0 && given.measure.kind() != Kind::Slope {
        libm::hypot(sd, scatter(averages, given.measure))
    } else {
        sd
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
        averages: sheet.averages,
        pregnant: sheet.shape.abdomen == Some(Abdomen::Pregnant),
        shape: sheet.shape,
        worn: sheet.worn,
        sided: Sided::of(sheet),
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

    let mut rows: Vec<ProblemRow> = sheet
        .given
        .iter()
        .map(|g| ProblemRow {
            measure: g.measure,
            side: g.side,
            target: g.value,
            sd: softened(&sheet.averages, g, soften),
        })
        .collect();
    // Arms, legs and height tell what to expect; the form has none of them to be read on.
    rows.retain(|r| r.measure.info().on_form);
    let given = rows.len();
    // To judge what was read, what surveys expect of it must stand beside it.
    let of = if soften > 1.0 {
        Of::Everything
    } else {
        Of::Missing
    };
    let soft = expectations(sheet, &core, build.pregnant, of);
    rows.extend(soft.iter().map(|e| ProblemRow {
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

/// Whether the floor, or the seat of somebody who sat, can be placed: some height was given.
pub(super) fn knows_ground(sheet: &Sheet) -> bool {
    sheet.given.iter().any(|g| g.measure.kind() == Kind::Height)
}

/// Everything that the form has and the sheet does not give; side by side where the sheet tells
/// sides apart.
fn wanted(sheet: &Sheet) -> Vec<What> {
    let ground = knows_ground(sheet);
    let seated = sheet.posture == Posture::Seated;
    let lopsided = Sided::of(sheet).any();
    // Slope and drop are one thing, taken in two ways.
    let drop = sheet
        .given
        .iter()
        .any(|g| g.measure == Measure::ShoulderDrop);
    let mut all = Vec::new();
    for m in Measure::ALL {
        let shown = m.info().on_form
            && (ground || m.kind() != Kind::Height)
            && !(seated && NOT_SEATED.contains(&m))
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
