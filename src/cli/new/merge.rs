//! `new FILE --merge FIRST SECOND`: two people's sheets of one body as one.

use std::path::{Path, PathBuf};

use layfigure::Error;
use layfigure::sheet::entry;
use layfigure::text;

use crate::Outcome;
use crate::Stop;
use crate::facts::FileKind;
use crate::input;
use crate::save;
use crate::say;

pub(super) fn run(halves: [&PathBuf; 2], file: &Path) -> Result<Outcome, Stop> {
    let [first, second] = halves.map(|path| input::read(path, FileKind::Sheet));
    let (first, second) = (first?, second?);
    let name = file.display().to_string();
    let merged = entry::merge(
        [&first.text, &first.name],
        [&second.text, &second.name],
        &name,
    );
    let merged = merged.map_err(Error::Sheet)?;
    save::fresh(file, merged.draft.text().as_bytes())?;
    say::findings(&merged.findings, false);
    say::text(&format!(
        "{name} holds {}, {} of them read by both.\nLook at it:     layfigure check {name}\n\
         Make the form:  layfigure build {name}\n",
        text::count(merged.draft.count(), "measurement"),
        merged.by_both
    ))?;
    Ok(Outcome::Done)
}
