//! Printing: results to standard output, everything else to standard error.

use std::io;
use std::io::{IsTerminal, Write};
use std::path::Path;
use std::time::Duration;

use indicatif::{ProgressBar, ProgressStyle};
use layfigure::fact::Fact;
use layfigure::text::Reader;
use layfigure::{Error, Finding, Severity};

use crate::Outcome;
use crate::facts::{FileFact, Joined, OfFile, as_typed};
use crate::messages;
use crate::unwritten::{State, Unwritten};

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
            trouble(&joined(&of_system(path, source), None));
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
            trouble(&joined(&of_system(path, source), Some(&e.state)));
            Outcome::Trouble
        }
        other => error(other, e.state == State::Nothing),
    }
}

/// What is said when standard output takes no more.
pub(crate) fn of_output(e: &io::Error) -> String {
    let why = match e.kind() {
        io::ErrorKind::StorageFull => "the disk is full; make room and try again".to_owned(),
        _ => e.to_string(),
    };
    format!("cannot write to standard output: {why}")
}

/// Everything that an error says.
pub(crate) fn told(e: &Error) -> Vec<Finding> {
    match e {
        Error::Io { path, source } => {
            let fact = Joined(of_system(path, source));
            vec![Finding::of(Severity::Refusal, fact)]
        }
        other => other.findings().to_vec(),
    }
}

/// What is wrong, how things stand, and what to do about it.
fn joined(fact: &FileFact, state: Option<&State>) -> String {
    let reader = Reader::default();
    let mut text = fact.message().plain(reader);
    if let Some(state) = state {
        text.push_str(&format!("; {state}"));
    }
    let hint = fact.hint();
    if !hint.is_empty() {
        text.push_str(&format!(": {}", hint.plain(reader)));
    }
    text
}

/// What the system said about a file.
fn of_system(path: &Path, source: &io::Error) -> FileFact {
    if let Some(known) = source.get_ref().and_then(|e| e.downcast_ref::<OfFile>()) {
        return known.0.clone();
    }
    let path = as_typed(path);
    match source.kind() {
        io::ErrorKind::NotFound => FileFact::NotThere { path },
        io::ErrorKind::PermissionDenied => FileFact::Shut { path },
        io::ErrorKind::ReadOnlyFilesystem => FileFact::DiskReadOnly { path },
        io::ErrorKind::IsADirectory => FileFact::IsFolder { path },
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => FileFact::DiskFull { path },
        io::ErrorKind::FileTooLarge => FileFact::TooLargeForDisk { path },
        io::ErrorKind::ResourceBusy => FileFact::InUseByAnother { path },
        io::ErrorKind::InvalidFilename => FileFact::NameNotAllowed { path },
        io::ErrorKind::OutOfMemory => FileFact::NoMemory { path },
        _ => {
            let said = source.to_string();
            FileFact::Other { path, said }
        }
    }
}

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
