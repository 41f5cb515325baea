//! `plan`: thicknesses and materials side by side, nothing written.

use std::sync::atomic::{AtomicUsize, Ordering};

use layfigure::form;
use layfigure::say::{json, materials, plan};
use layfigure::sheet;
use layfigure::units::Unit;
use layfigure::workshop::PaperSize;

use crate::Outcome;
use crate::Stop;
use crate::args::Plan;
use crate::input;
use crate::say;

pub(crate) fn run(args: &Plan) -> Result<Outcome, Stop> {
    let Some(path) = &args.sheet else {
        say::text(&materials::table(
            args.common.unit.map_or(Unit::Cm, Into::into),
        ))?;
        return Ok(Outcome::Done);
    };
    let quiet = args.common.quiet;
    let profiles = input::profiles(args.common.profiles.as_deref())?;
    let file = input::sheet(path, &profiles)?;
    let sheet = sheet::read(&file.text, &file.name)?;
    let mut workshop = input::workshop(args.common.workshop.as_deref(), sheet.unit)?;
    if let Some(size) = &args.common.paper {
        PaperSize::of(size, sheet.unit)?.lay_into(&mut workshop.paper);
    }
    let choices = form::plan::choices(&workshop, &args.thickness, &args.material)?;
    let progress = say::Progress::new(quiet);
    progress.step("fitting the body");
    let checked = form::check(sheet, &workshop, args.common.unit.map(Into::into))?;
    let done = AtomicUsize::new(0);
    let said = |done: usize| {
        progress.step(&format!("building {} ways, {done} done", choices.len()));
    };
    said(0);
    let made = form::plan::plan(&checked, &choices, args.tries, &|| {
        said(done.fetch_add(1, Ordering::Relaxed) + 1);
    });
    drop(progress);
    say::findings(&checked.findings, quiet);
    if args.common.json {
        say::text(&json::text(&plan::json(&checked, &choices, &made)?)?)?;
    } else {
        say::text(&plan::text(&checked, &choices, &made))?;
    }
    Ok(if made.iter().any(Result::is_ok) {
        Outcome::Done
    } else {
        Outcome::Refused
    })
}
