//! Printing: results to standard output, everything else to standard error.

use std::io;
use std::io::{IsTerminal, Write};
use std::path::Path;
use std::time::Duration;

use indicatif::{ProgressBar, ProgressStyle};
use layfigure::{Error, Finding, Severity};

use crate::Outcome;
use crate::messages;
use crate::save::State;
use crate::save::Unwritten;

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
            trouble(&of_system(path, source).joined(None));
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

/// The same, and how the folder stands that was to be written.
pub(crate) fn unwritten(e: &Unwritten) -> Outcome {
    match &e.error {
        Error::Io { path, source } => {
            trouble(&of_system(path, source).joined(Some(&e.state)));
            Outcome::Trouble
        }
        other => error(other, e.state == State::Nothing),
    }
}

/// What is said when standard output takes no more.
pub(crate) fn of_output(e: &io::Error) -> String {
    let why = match e.kind() {
        io::ErrorKind::StorageFull => "the disk is full; make room and try again".to_owned(),
        _ => without_number(e),
    };
    format!("cannot write to standard output: {why}")
}

/// What the system said; its number tells nobody at the table anything.
fn without_number(e: &io::Error) -> String {
    let said = e.to_string();
    said.split(" (os error")
        .next()
        .unwrap_or_default()
        .to_owned()
}

/// An error in one sentence.
pub(crate) fn sentence(e: &Error) -> String {
    match e {
        Error::Io { path, source } => of_system(path, source).joined(None),
        other => other.to_string(),
    }
}

/// What is the matter with a file where the program knows better than the system: a whole sentence.
#[derive(Debug, thiserror::Error)]
#[error("{0}")]
pub(crate) struct Said(String);

impl Said {
    /// An error about `path` that says `words`.
    pub(crate) fn at(path: &Path, kind: io::ErrorKind, words: String) -> Error {
        Error::Io {
            path: path.to_path_buf(),
            source: io::Error::new(kind, Self(words)),
        }
    }
}

/// What is wrong, and what to do about it.
struct Advice {
    wrong: String,
    next: String,
}

impl Advice {
    fn joined(&self, state: Option<&State>) -> String {
        let mut text = self.wrong.clone();
        if let Some(state) = state {
            text.push_str(&format!("; {state}"));
        }
        if !self.next.is_empty() {
            text.push_str(&format!(": {}", self.next));
        }
        text
    }
}

/// What the system said about a file, in words that say what to do.
fn of_system(path: &Path, source: &io::Error) -> Advice {
    let path = path.display();
    let advice = |wrong: String, next: &str| Advice {
        wrong,
        next: next.to_owned(),
    };
    if let Some(said) = source.get_ref().and_then(|e| e.downcast_ref::<Said>()) {
        return advice(said.to_string(), "");
    }
    match source.kind() {
        io::ErrorKind::NotFound => advice(format!("there is no file or folder `{path}`"), LOOK),
        io::ErrorKind::PermissionDenied => advice(
            format!("`{path}` is not open to you"),
            "choose another folder, or change who may read and write it",
        ),
        io::ErrorKind::ReadOnlyFilesystem => advice(
            format!("`{path}` cannot be written, its disk can only be read"),
            "choose another folder",
        ),
        io::ErrorKind::IsADirectory => advice(format!("`{path}` is a folder"), "name a file in it"),
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => advice(
            format!("`{path}` cannot be written, the disk is full"),
            "make room and try again",
        ),
        io::ErrorKind::FileTooLarge => advice(
            format!("`{path}` cannot be written, files may not grow so large here"),
            "choose a folder on another disk, or ask whoever looks after this computer",
        ),
        io::ErrorKind::ResourceBusy => advice(
            format!("`{path}` is in use and cannot be replaced"),
            "close what uses it, or choose another folder",
        ),
        io::ErrorKind::InvalidFilename => advice(
            format!("`{path}` cannot be written, its name is too long or not allowed"),
            "choose a shorter name",
        ),
        io::ErrorKind::OutOfMemory => advice(
            format!("`{path}` does not fit into the memory that is left"),
            "close other programs, or take a smaller file",
        ),
        _ => {
            let said = without_number(source);
            advice(format!("{path}: {said}"), "")
        }
    }
}

/// What to do where something is not there.
pub(crate) const LOOK: &str = "check how it is written, and that the terminal is in the folder from which \
                               it is named";

/// A line that says what is being done, only where somebody watches: one that changes, or, on a
/// terminal that can only write on, one after another.
pub(crate) struct Progress(Watched);

enum Watched {
    Nobody,
    Line(ProgressBar),
    Paper,
}

impl Progress {
    pub(crate) fn new(quiet: bool) -> Self {
        if quiet || !io::stderr().is_terminal() {
            return Self(Watched::Nobody);
        }
        if std::env::var_os("TERM").is_some_and(|t| t == "dumb") {
            return Self(Watched::Paper);
        }
        let bar = ProgressBar::new_spinner();
        if let Ok(style) = ProgressStyle::with_template("{spinner} {msg}") {
            bar.set_style(style);
        }
        bar.enable_steady_tick(Duration::from_millis(120));
        Self(Watched::Line(bar))
    }

    pub(crate) fn step(&self, words: &str) {
        match &self.0 {
            Watched::Nobody => {}
            Watched::Line(bar) => bar.set_message(words.to_owned()),
            Watched::Paper => note(&format!("{words} ...")),
        }
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        if let Watched::Line(bar) = &self.0 {
            bar.finish_and_clear();
        }
    }
}
