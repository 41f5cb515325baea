//! `compare`: two bodies beside each other, a body beside systems of sizes, a form to be padded out, a
//! person over time.

use std::path::{Path, PathBuf};

use layfigure::Error;
use layfigure::compare::{self, Body, Ease};
use layfigure::profile::{self, Profile};
use layfigure::say::compare::{self as report, Pair};
use layfigure::say::json;
use layfigure::sheet;
use layfigure::sheet::Origin;
use layfigure::units::{self, Unit};
use rayon::prelude::*;

use crate::Outcome;
use crate::Stop;
use crate::args::Compare;
use crate::facts::{FileKind, ProgramFact};
use crate::input;
use crate::save;
use crate::say;

pub(crate) fn run(args: &Compare) -> Result<Outcome, Stop> {
    let profiles = input::profiles(args.profiles.as_deref())?;
    if args.over_time {
        return over_time(args, &profiles);
    }
    if args.pad_out {
        return pad_out(args, &profiles);
    }
    let systems: Vec<&Profile> = args
        .b
        .iter()
        .filter_map(|path| system(path, &profiles))
        .collect();
    let progress = say::Progress::new(args.quiet);
    progress.step("fitting the bodies");
    let a = body(&args.a, &profiles)?;
    let unit = args.unit.map_or(a.unit, Into::into);
    if !systems.is_empty() {
        if systems.len() < args.b.len() {
            return Err(Error::request(ProgramFact::SystemsAndBodies).into());
        }
        if args.page.is_some() {
            return Err(Error::request(ProgramFact::PageOfSystem).into());
        }
        let nearest: Vec<compare::Nearest> = systems
            .iter()
            .map(|p| {
                progress.step(&format!("looking through the sizes of {}", p.system));
                compare::nearest(&a, p)
            })
            .collect();
        let named = |n: &compare::Nearer| systems.iter().any(|p| p.system == n.system);
        let nearer: Vec<Vec<compare::Nearer>> = systems
            .iter()
            .map(|p| compare::nearer(&a, p, &profiles))
            .map(|all| all.into_iter().filter(|n| !named(n)).collect())
            .collect();
        drop(progress);
        if args.json {
            say::text(&json::text(&report::sizes_json(&a, &nearest, &nearer)?)?)?;
        } else {
            say::text(&report::sizes(&a, &nearest, &nearer, unit))?;
        }
        say::findings(&a.findings, args.quiet);
        return Ok(Outcome::Done);
    }
    let [b] = args.b.as_slice() else {
        return Err(Error::request(ProgramFact::TwoBodies).into());
    };
    let b = body(b, &profiles)?;
    let ease = ease(args, unit)?;
    progress.step("laying one body on the other");
    let pair = Pair::new(a, b, ease, unit, args.align.into());
    if let Some(path) = &args.page {
        progress.step("drawing the page");
        save::fresh_unless(args.force, path, report::page(&pair)?.as_bytes())?;
    }
    drop(progress);
    if args.json {
        say::text(&json::text(&report::bodies_json(&pair)?)?)?;
    } else {
        say::text(&report::bodies(&pair, args.all))?;
        told(args)?;
    }
    let findings: Vec<_> = [&pair.a, &pair.b]
        .iter()
        .flat_map(|b| b.findings.iter().cloned())
        .collect();
    say::findings(&findings, args.quiet);
    Ok(Outcome::Done)
}

/// Thickness of a layer of batting under the cover when nobody says, mm: as the workshop's padding
/// (common practice, no source).
const USUAL_BATTING: f64 = 4.0;

fn pad_out(args: &Compare, profiles: &[Profile]) -> Result<Outcome, Stop> {
    let [wearer] = args.b.as_slice() else {
        return Err(Error::request(ProgramFact::FormAndBody).into());
    };
    let progress = say::Progress::new(args.quiet);
    progress.step("fitting the form and the body");
    let form = body(&args.a, profiles)?;
    let wearer = body(wearer, profiles)?;
    let unit = args.unit.map_or(wearer.unit, Into::into);
    let batting = length(args.batting.as_deref(), "--batting", unit)?.unwrap_or(USUAL_BATTING);
    if batting < LEAST_BATTING {
        return Err(Error::request(ProgramFact::ThinBatting { batting, unit }).into());
    }
    progress.step("laying the padding round the form");
    let padding = compare::pad_out(&form, &wearer, batting, unit)?;
    if let Some(path) = &args.page {
        progress.step("drawing the page");
        let page = report::padding_page(&form, &wearer, &padding, unit)?;
        save::fresh_unless(args.force, path, page.as_bytes())?;
    }
    drop(progress);
    if args.json {
        say::text(&json::text(&report::padding_json(
            &form, &wearer, &padding,
        )?)?)?;
    } else {
        say::text(&report::padding(&form, &wearer, &padding, unit))?;
        told(args)?;
    }
    let mut findings = form.findings;
    findings.extend(wearer.findings);
    findings.extend(padding.findings);
    say::findings(&findings, args.quiet);
    Ok(Outcome::Done)
}

/// Batting thinner than this is a cloth, mm.
const LEAST_BATTING: f64 = 0.5;

/// Sheets in work at a time for every thread: enough that no thread waits for the slowest.
const SHEETS_PER_THREAD: usize = 4;

fn over_time(args: &Compare, profiles: &[Profile]) -> Result<Outcome, Stop> {
    let paths: Vec<&Path> = std::iter::once(&args.a)
        .chain(&args.b)
        .map(PathBuf::as_path)
        .collect();
    if paths.len() > compare::MOST_SHEETS {
        return Err(compare::too_many(paths.len()).into());
    }
    let progress = say::Progress::new(args.quiet);
    progress.step("fitting the bodies");
    let mut bodies = Vec::with_capacity(paths.len());
    for some in paths.chunks(SHEETS_PER_THREAD * rayon::current_num_threads().max(1)) {
        if !bodies.is_empty() {
            let (all, done) = (paths.len(), bodies.len());
            progress.step(&format!("fitting {all} bodies, {done} done"));
        }
        let fitted: Vec<Result<Body, Error>> = some
            .par_iter()
            .map(|path| in_numbers(path, profiles))
            .collect();
        // The first that is refused is told, whichever was fitted first.
        for body in fitted {
            bodies.push(body?);
        }
    }
    let unit = args
        .unit
        .map(Into::into)
        .or_else(|| bodies.first().map(|b| b.unit))
        .unwrap_or(Unit::Cm);
    progress.step("laying one body on another");
    let course = compare::over_time(bodies, ease(args, unit)?)?;
    if let Some(path) = &args.page {
        progress.step("drawing the page");
        let page = report::course_page(&course, unit);
        save::fresh_unless(args.force, path, page.as_bytes())?;
    }
    drop(progress);
    if args.json {
        say::text(&json::text(&report::course_json(&course)?)?)?;
    } else {
        say::text(&report::course(&course, unit))?;
        told(args)?;
    }
    say::findings(&course.findings, args.quiet);
    Ok(Outcome::Done)
}

/// How much a difference may be before anything is altered.
fn ease(args: &Compare, unit: Unit) -> Result<Ease, Error> {
    let usual = Ease::default();
    Ok(Ease {
        girth: length(args.ease.as_deref(), "--ease", unit)?.unwrap_or(usual.girth),
        length: length(args.ease_length.as_deref(), "--ease-length", unit)?.unwrap_or(usual.length),
    })
}

/// Says where the page is.
fn told(args: &Compare) -> std::io::Result<()> {
    match &args.page {
        Some(path) => say::text(&format!("\nthe page with pictures is {}\n", path.display())),
        None => Ok(()),
    }
}

/// The system of this name, unless a file has it.
fn system<'a>(path: &Path, profiles: &'a [Profile]) -> Option<&'a Profile> {
    let name = path.to_str()?;
    (!path.exists())
        .then(|| profile::find(profiles, name))
        .flatten()
}

/// What the readings over time need of a body: no solid, no estimates.
fn in_numbers(path: &Path, profiles: &[Profile]) -> Result<Body, Error> {
    let mut body = if input::is_size(path) || system(path, profiles).is_some() {
        body(path, profiles)?
    } else {
        let file = input::read(path, FileKind::Sheet)?;
        Body::in_numbers(&sheet::read(&file.text, &file.name)?)?
    };
    body.values.retain(|t| t.origin == Origin::Given);
    body.findings.clear();
    body.solid = None;
    Ok(body)
}

/// The body of a sheet or of a size.
fn body(path: &Path, profiles: &[Profile]) -> Result<Body, Error> {
    if input::is_size(path) {
        return Body::of_size(&profile::size(profiles, &path.to_string_lossy())?);
    }
    if let Some(p) = system(path, profiles) {
        return Err(Error::request(ProgramFact::WholeSystem {
            system: p.system.clone(),
            size: p.name_of(0, p.usual),
        }));
    }
    let file = input::read(path, FileKind::Sheet)?;
    Body::of_sheet(&sheet::read(&file.text, &file.name)?)
}

/// A length as typed.
fn length(text: Option<&str>, option: &'static str, unit: Unit) -> Result<Option<f64>, Error> {
    let Some(text) = text else { return Ok(None) };
    match units::parse_length(text, unit) {
        Ok(mm) if mm >= 0.0 => Ok(Some(mm)),
        _ => Err(Error::request(ProgramFact::NoLength {
            option,
            typed: units::clip(text),
        })),
    }
}
