//! `new`: a measurement sheet, asked for on the terminal, blank to fill in, or blank on paper; a blank
//! workshop file.

mod ask;
mod head;
mod more;
mod reading;
mod talk;

use std::path::Path;

use layfigure::drawing::pdf;
use layfigure::form;
use layfigure::say::blank;
use layfigure::sheet;
use layfigure::sheet::Figure;
use layfigure::text;
use layfigure::units::Unit;
use layfigure::workshop;
use layfigure::workshop::Workshop;

use crate::Outcome;
use crate::Stop;
use crate::args::New;
use crate::save;
use crate::say;

pub(crate) fn run(args: &New) -> Result<Outcome, Stop> {
    if args.blank {
        return template(args);
    }
    if args.workshop {
        return room(args);
    }
    if let Some(path) = &args.print {
        return print(args, path);
    }
    ask::run(
        args.file.as_deref(),
        args.figure.map(Into::into),
        args.unit.map(Into::into),
    )
}

/// The commented blank: into a file, or to standard output.
fn template(args: &New) -> Result<Outcome, Stop> {
    let text = sheet::template(args.figure.map(Into::into), args.unit.map(Into::into));
    let Some(path) = &args.file else {
        say::text(&text)?;
        return Ok(Outcome::Done);
    };
    save::fresh(path, text.as_bytes())?;
    say::note(&format!(
        "{} is a blank sheet: fill it in with a text editor, or with `layfigure new {}`",
        path.display(),
        path.display()
    ));
    Ok(Outcome::Done)
}

/// The commented blank of a workshop: into a file, or to standard output.
fn room(args: &New) -> Result<Outcome, Stop> {
    let text = workshop::blank(args.unit.map_or(Unit::Mm, Into::into));
    let Some(path) = &args.file else {
        say::text(&text)?;
        return Ok(Outcome::Done);
    };
    save::fresh(path, text.as_bytes())?;
    say::note(&format!(
        "{} is a blank workshop file: change in a text editor what is different in your room, and give it \
         to `build`, `check` and `plan` with `--workshop {}`",
        path.display(),
        path.display()
    ));
    Ok(Outcome::Done)
}

/// The blank on paper: into a file, or to standard output.
fn print(args: &New, path: &Path) -> Result<Outcome, Stop> {
    let figure = args.figure.map_or(Figure::Woman, Into::into);
    let unit = args.unit.map_or(Unit::Cm, Into::into);
    let progress = say::Progress::new(false);
    progress.step("drawing");
    let sheet = sheet::read(sheet::example(figure), "an example sheet")?;
    let body = form::check(sheet, &Workshop::default(), Some(unit))?;
    let pages = blank::pages(figure, unit, &body.mesh)?;
    let bytes = pdf::write(&pages, "measurement sheet")?;
    drop(progress);
    if path == Path::new("-") {
        say::bytes(&bytes)?;
        return Ok(Outcome::Done);
    }
    save::fresh(path, &bytes)?;
    say::note(&format!(
        "{}: {} to print and fill in by pen, then type it in with `layfigure new`",
        path.display(),
        text::count(pages.len(), "page")
    ));
    Ok(Outcome::Done)
}
