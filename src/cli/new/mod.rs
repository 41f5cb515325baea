//! `new`: a measurement sheet, asked for on the terminal, blank to fill in, or blank on paper.

mod ask;
mod head;
mod more;
mod talk;

use layfigure::sheet;

use crate::Outcome;
use crate::Stop;
use crate::args::New;
use crate::save;
use crate::say;

pub(crate) fn run(args: &New) -> Result<Outcome, Stop> {
    if args.blank {
        return blank(args);
    }
    ask::run(
        args.file.as_deref(),
        args.figure.map(Into::into),
        args.unit.map(Into::into),
    )
}

/// The commented blank: into a file, or to standard output.
fn blank(args: &New) -> Result<Outcome, Stop> {
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
