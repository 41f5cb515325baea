//! Printing: results to standard output, everything else to standard error.

use std::io;
use std::io::{IsTerminal, Write};
use std::path::Path;
use std::time::Duration;

use indicatif::{ProgressBar, ProgressStyle};
use layfigure::{Error, Finding, Severity};

use crate::Outcome;
use crate::messages;

/// Bytes to standard output.
pub(crate) fn bytes(bytes: &[u8]) -> io::Result<()> {
    let mut out = io::stdout().lock();
    out.write_all(bytes)?;
    out.flush()
}

/// Text to standard output, its colours left out where nobody sees them.
pub(crate) fn text(text: &str) -> io::Result<()> {
    let mut out = anstream::AutoStream::auto(io::stdout()).lock();
    out.write_all(text.as_bytes())?;
    out.flush()
}

/// A line to standard error; a closed one has nobody to tell.
pub(crate) fn note(text: &str) {
    let _ = writeln!(anstream::stderr().lock(), "{text}");
}

/// What went wrong with the system, to standard error.
pub(crate) fn trouble(text: &str) {
    let bold = anstyle::Style::new().bold();
    note(&format!("{bold}error:{bold:#} {text}"));
}

/// Findings to standard error, refusals last, where they are seen.
pub(crate) fn findings(list: &[Finding], quiet: bool) {
    shown(list, quiet, messages::render);
}

/// The same where the screen is to hold more: in as few lines as they take.
pub(crate) fn findings_in_short(list: &[Finding], quiet: bool) {
    shown(list, quiet, messages::render_in_short);
}

fn shown(list: &[Finding], quiet: bool, render: fn(&[Finding], bool) -> String) {
    let mut sorted: Vec<Finding> = list
        .iter()
        .filter(|f| !quiet || f.severity == Severity::Refusal)
        .cloned()
        .collect();
    sorted.sort_by_key(|f| f.severity);
    // The stream takes the colours out where nobody sees them.
    let _ = write!(anstream::stderr().lock(), "{}", render(&sorted, true));
}

/// Prints an error and says how the program ends because of it; and, where it would have written
/// something, that it did not.
pub(crate) fn error(e: &Error, writes: bool) -> Outcome {
    let nothing = if writes { "; nothing was written" } else { "" };
    match e {
        Error::Sheet(list)
        | Error::Fit(list)
        | Error::Workshop(list)
        | Error::Profile(list)
        | Error::Comparison(list) => {
            findings(list, false);
            let n = list
                .iter()
                .filter(|f| f.severity == Severity::Refusal)
                .count();
            let reasons = if n == 1 { "reason" } else { "reasons" };
            trouble(&format!("{e} for {n} {reasons}{nothing}"));
            Outcome::Refused
        }
        Error::Io { path, source } => {
            trouble(&of_system(path, source));
            Outcome::Trouble
        }
        Error::Request(_) => {
            trouble(&e.to_string());
            Outcome::Trouble
        }
        Error::Stack(_) | Error::Layout(_) | Error::Format(_) => {
            trouble(&format!("{e}{nothing}"));
            Outcome::Refused
        }
    }
}

/// What the system said about a file, in words that say what to do.
fn of_system(path: &Path, source: &io::Error) -> String {
    let path = path.display();
    match source.kind() {
        io::ErrorKind::NotFound => format!(
            "there is no file or folder `{path}`: check how it is written, and that the terminal is \
             in the folder from which it is named (`layfigure new` begins a sheet)"
        ),
        io::ErrorKind::PermissionDenied => format!(
            "`{path}` is not open to you: choose another folder, or change who may read and write it"
        ),
        io::ErrorKind::IsADirectory => {
            format!("`{path}` is a folder: name a file in it")
        }
        io::ErrorKind::StorageFull => {
            format!("`{path}` cannot be written: the disk is full; make room and try again")
        }
        _ => {
            // The number of the system's error tells nobody at the table anything.
            let said = source.to_string();
            let said = said.split(" (os error").next().unwrap_or_default();
            format!("{path}: {said}")
        }
    }
}

/// A line that says what is being done, only where somebody watches.
pub(crate) struct Progress(Option<ProgressBar>);

impl Progress {
    pub(crate) fn new(quiet: bool) -> Self {
        if quiet || !io::stderr().is_terminal() {
            return Self(None);
        }
        let bar = ProgressBar::new_spinner();
        if let Ok(style) = ProgressStyle::with_template("{spinner} {msg}") {
            bar.set_style(style);
        }
        bar.enable_steady_tick(Duration::from_millis(120));
        Self(Some(bar))
    }

    pub(crate) fn step(&self, words: &str) {
        if let Some(bar) = &self.0 {
            bar.set_message(words.to_owned());
        }
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if let Some(bar) = &self.0 {
            bar.finish_and_clear();
        }
    }
}
