//! `new`: a measurement sheet or a workshop file, asked for on the terminal or blank to fill in; a sheet on paper.

mod ask;
mod head;
mod merge;
mod more;
mod reading;
mod room;
mod talk;

use std::path::{Path, PathBuf};

use layfigure::drawing::pdf;
use layfigure::form;
use layfigure::say::blank;
use layfigure::sheet;
use layfigure::sheet::Figure;
use layfigure::sheet::entry::Draft;
use layfigure::text;
use layfigure::units::Unit;
use layfigure::workshop::Workshop;

use ask::Interview;
use talk::Talk;

use crate::Outcome;
use crate::Stop;
use crate::args::New;
use crate::save;
use crate::say;

pub(crate) fn run(args: &New) -> Result<Outcome, Stop> {
    if args.workshop {
        return room::run(args);
    }
    if args.blank {
        return template(args);
    }
    if let ([first, second], Some(file)) = (args.merge.as_slice(), &args.file) {
        return merge::run([first, second], &as_toml(file));
    }
    if let Some(path) = &args.print {
        return print(args, path);
    }
    talk_through(
        args.file.as_deref().map(as_toml).as_deref(),
        args.figure.map(Into::into),
        args.unit.map(Into::into),
    )
}

/// The file of a sheet: a bare name gets its ending, unless a file has that very name.
fn as_toml(path: &Path) -> PathBuf {
    if path.extension().is_none() && path.file_name().is_some() && !path.exists() {
        path.with_extension("toml")
    } else {
        path.to_path_buf()
    }
}

/// Asks for a sheet on the terminal.
fn talk_through(
    file: Option<&Path>,
    figure: Option<Figure>,
    unit: Option<Unit>,
) -> Result<Outcome, Stop> {
    let talk = Talk::new()?;
    talk::tell(
        "Enter leaves a question out, `back` goes back, `help` says more, `list` shows everything, \
         `done` ends. Every answer is kept at once: stop whenever you like and go on later.",
    )?;
    let mut draft = match file {
        Some(path) => head::existing(path)?,
        None => Draft::blank(""),
    };
    head::begin(&mut draft, figure, unit)?;
    let mut interview = Interview::new(talk, file, draft, figure, unit);
    interview.all()?;
    interview.end()
}

/// The commented blank: into a file, or to standard output.
fn template(args: &New) -> Result<Outcome, Stop> {
    let text = sheet::template(args.figure.map(Into::into), args.unit.map(Into::into));
    let Some(path) = &args.file.as_deref().map(as_toml) else {
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
