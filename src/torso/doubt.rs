//! When readings pull against each other: which ones do, and what would settle it.
//!
//! A second, softer fit lets every reading give way by about as much as hands differ. The
//! standardised distance of each reading from what all the others and the surveys lead one to expect
//! (its studentised residual, Cook and Weisberg 1982, *Residuals and Influence in Regression*) ranks
//! the suspects; each of the first few is then left out in a fit of its own. Only a suspect whose
//! leaving out makes the rest agree much better is named, and what the others expect instead is said
//! with its plus-or-minus. A noisy derivative can make an innocent reading look odd, so nothing is
//! named without its own fit.

use std::collections::BTreeMap;

use nalgebra::DMatrix;

use crate::error::{Finding, Severity};
use crate::measure::{Kind, Measure, Side};
use crate::sheet::{Given, Sheet, WaistKind};
use crate::torso::core::Core;
use crate::torso::expect::{Of, expectations};
use crate::torso::fit::{Ends, Posed, READ_SD_MM, TWO_SIDED_95, called, pose, show};
use crate::torso::param::COUNT;
use crate::torso::problem::{LOOK_STEP, Problem, What};
use crate::torso::refit::Known;
use crate::torso::solve::{Solved, solve};
use crate::units::{MM_PER_CM, MM_PER_INCH};

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

/// A reading takes part in a miss when leaving it out would lessen it by this share. Our choice: a
/// quarter; smaller ones name half the sheet.
const TAKES_PART: f64 = 0.25;
/// Readings named as pulling against another one.
const MOST_OPPONENTS: usize = 3;

/// The readings that reading `i` of the first `given` rows pulls against, the strongest first: those
/// whose leaving out brings the form nearer to it. Suspects are those of the linear problem at the end
/// (Cook and Weisberg 1982, the effect of deleting one case: `h_ij r_j / (1 - h_jj)`); each is then left
/// out in a fit of its own, and only what that fit confirms is named.
///
/// What is missed in a fit without a reading is asked of it once: `without` keeps the misfits of the rest,
/// since in a sheet that contradicts itself badly many misses suspect the same few readings.
pub(super) fn opponents(
    sheet: &Sheet,
    ends: Ends,
    (problem, given): (&Problem, usize),
    solved: &Solved,
    i: usize,
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
            let mut rest = sheet.clone();
            rest.given.retain(|g| (g.measure, g.side) != what);
            let Posed { problem, .. } = pose(&rest, ends, 1.0);
            // From nothing: gaps to a wall have more than one way out, and a carried fit may take another.
            let solved = solve(&problem, None);
            let rows = problem.rows.iter().zip(&solved.read);
            rows.map(|(r, read)| ((r.measure, r.side), (read - r.target) / r.sd))
                .collect()
        });
        Some(1.0 - left.get(&this)?.abs() / off.abs())
    };
    let mut found: Vec<(What, f64)> = suspects
        .into_iter()
        .filter_map(|(what, _)| Some((what, lessened(what)?)))
        .filter(|(_, share)| *share >= TAKES_PART)
        .collect();
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
        .filter_map(|s| repair(sheet, s, likely))
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

/// A slip of the pen that would explain the reading.
fn repair(sheet: &Sheet, s: &Suspect, likely: &dyn Fn(Measure, f64) -> bool) -> Option<String> {
    if s.measure.kind() == Kind::Slope {
        return None;
    }
    let (value, sd) = s.expected;
    let fits = |v: f64| (v - value).abs() < TWO_SIDED_95 * sd.max(SOFTER * READ_SD_MM);
    let key = s.measure.key();
    let inch = MM_PER_INCH / MM_PER_CM;
    for (factor, what) in [
        (inch, "is it inches written as centimetres"),
        (1.0 / inch, "is it centimetres written as inches"),
        (10.0, "did a decimal point slip"),
        (0.1, "did a decimal point slip"),
    ] {
        if fits(s.given * factor) {
            return Some(format!(
                "{what}? `{key}` would be {}",
                sheet.unit.show(s.given * factor)
            ));
        }
    }
    for other in &sheet.given {
        let same_kind = other.measure.kind() == s.measure.kind();
        let both = fits(other.value) && likely(other.measure, s.given);
        if other.measure != s.measure && same_kind && both {
            return Some(format!("are `{key}` and `{}` swapped?", other.measure));
        }
    }
    let digit = slips(s.given, sheet).into_iter().find(|v| fits(*v));
    let digit = digit.map(|v| {
        format!(
            "is a digit of `{key}` wrong? {} would fit",
            sheet.unit.show(v)
        )
    });
    let level = matches!(s.measure, Measure::HeightWaist | Measure::LengthBackWaist);
    let waist = level || s.measure == Measure::GirthWaist;
    let lower = (waist && sheet.waist == WaistKind::Natural && s.given > value).then(|| {
        "was the waist taken lower than the natural one? say `waist = \"iso\"` or \
         `waist = \"navel\"`"
            .to_owned()
    });
    match (digit, lower) {
        // Where the waist was taken moves a level as easily as a digit does.
        (Some(digit), Some(lower)) if level => Some(format!("{lower}, or {digit}")),
        (digit, lower) => digit.or(lower),
    }
}

/// What the reading would be with two neighbouring digits swapped or one ten more or less, mm.
fn slips(mm: f64, sheet: &Sheet) -> Vec<f64> {
    let unit = sheet.unit.to_mm(1.0);
    let tenths = (mm / unit * 10.0).round();
    if !(1.0..1e6).contains(&tenths) {
        return Vec::new();
    }
    let digits: Vec<u8> = format!("{tenths}").into_bytes();
    let back = |d: &[u8]| {
        let text: String = d.iter().map(|b| char::from(*b)).collect();
        text.parse::<f64>().ok().map(|v| v / 10.0 * unit)
    };
    let mut all = Vec::new();
    for i in 0..digits.len().saturating_sub(1) {
        let mut d = digits.clone();
        d.swap(i, i + 1);
        all.extend(back(&d));
    }
    for ten in [-10.0, 10.0] {
        all.push(mm + ten * unit);
    }
    all
}
