//! The one error type of the crate, and [`Finding`], one thing said about somebody's input.

use std::any::Any;
use std::path::PathBuf;
use std::sync::Arc;

use crate::fact::Fact;
use crate::facts;
use crate::measure::Measure;
use crate::text;
use crate::text::{Reader, Text};

/// How grave a finding is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Worth knowing; nothing is wrong.
    Note,
    /// Unusual: the work goes on, the person should look.
    Warning,
    /// Impossible or unreadable: nothing is made.
    Refusal,
}

/// Where in a file a finding points.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Place {
    /// Name of the file as the person typed it.
    pub file: String,
    /// Line, counted from 1.
    pub line: usize,
    /// That line as it stands in the file.
    pub text: String,
    /// Which bytes of that line are meant.
    pub part: std::ops::Range<usize>,
}

/// One finding about a sheet, a workshop file, a fit or a stack: what is wrong, where, and what to do
/// next. What it says is a [`Fact`]; its words are for a person at a sewing table.
#[derive(Clone, Debug)]
pub struct Finding {
    /// How grave it is.
    pub severity: Severity,
    /// The measurement it is about, if it is about one.
    pub measure: Option<Measure>,
    /// What was found.
    pub fact: Arc<dyn Fact>,
    /// Where it stands, if it stands in a file.
    pub place: Option<Place>,
    /// The file that it is about, where several are looked at and it stands in no line of it.
    pub file: Option<String>,
    /// Whom it is told.
    pub reader: Reader,
}

impl PartialEq for Finding {
    fn eq(&self, other: &Self) -> bool {
        let said = |f: &Self| (f.severity, f.measure, f.fact.name(), f.reader);
        said(self) == said(other)
            && self.place == other.place
            && self.file == other.file
            && self.fact.fields() == other.fact.fields()
    }
}

impl Finding {
    /// A finding without a place.
    #[must_use]
    pub fn of(severity: Severity, fact: impl Fact + 'static) -> Self {
        Self {
            severity,
            measure: None,
            fact: Arc::new(fact),
            place: None,
            file: None,
            reader: Reader::default(),
        }
    }

    /// What was found, where it is one of the facts `F`.
    #[must_use]
    pub fn as_fact<F: Fact>(&self) -> Option<&F> {
        let fact: &dyn Any = self.fact.as_ref();
        fact.downcast_ref()
    }

    /// Whether it says what another one does, be it of another place or graver.
    #[must_use]
    pub fn says_as(&self, other: &Self) -> bool {
        self.fact.message() == other.fact.message()
    }

    /// The same finding, said about `measure`.
    #[must_use]
    pub fn about(mut self, measure: Measure) -> Self {
        self.measure = Some(measure);
        self
    }

    /// The same finding, pointing at `place`.
    #[must_use]
    pub fn at(mut self, place: Place) -> Self {
        self.place = Some(place);
        self
    }

    /// What is the matter, in one sentence without a full stop.
    #[must_use]
    pub fn told(&self) -> Text {
        let message = self.fact.message();
        match &self.file {
            Some(file) => text![file, ": ", message],
            None => message,
        }
    }

    /// The same in the words of its reader.
    #[must_use]
    pub fn message(&self) -> String {
        self.told().plain(self.reader)
    }

    /// What to do next; empty when nothing need be done.
    #[must_use]
    pub fn hint(&self) -> String {
        self.fact.hint().plain(self.reader)
    }
}

/// Everything that can stop the work.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// The sheet is refused; every reason is listed (with the warnings among them).
    #[error("the measurement sheet is refused")]
    Sheet(Vec<Finding>),
    /// The workshop file is refused; every reason is listed.
    #[error("the workshop file is refused")]
    Workshop(Vec<Finding>),
    /// The size profile is refused; every reason is listed.
    #[error("the size profile is refused")]
    Profile(Vec<Finding>),
    /// A form cannot be padded out to a body; every reason is listed.
    #[error("padding this form out is refused")]
    Comparison(Vec<Finding>),
    /// No body can be made from the sheet; what stands in the way, and everything else that is odd
    /// about the sheet.
    #[error("no body can be fitted")]
    Fit(Vec<Finding>),
    /// The solid cannot be cut into layers as the workshop asks.
    #[error("the stack cannot be made: {}", .0.message())]
    Stack(Box<Finding>),
    /// The pieces cannot be laid on the stock or the paper.
    #[error("the pieces cannot be laid out: {}", .0.message())]
    Layout(Box<Finding>),
    /// An outside file (a solid, a drawing) cannot be read or written as its format.
    #[error("{}", .0.message())]
    Format(Box<Finding>),
    /// A file could not be read or written. Only the program makes this one.
    #[error("{}: {source}", path.display())]
    Io {
        /// The file or folder.
        path: PathBuf,
        /// What the system said.
        source: std::io::Error,
    },
    /// The request itself cannot be met (for example a folder that would be overwritten).
    #[error("{}", .0.message())]
    Request(Box<Finding>),
}

/// What stops the work, alone.
fn refusal(fact: impl Fact + 'static) -> Box<Finding> {
    Box::new(Finding::of(Severity::Refusal, fact))
}

impl Error {
    /// An [`Error::Stack`] because of this.
    #[must_use]
    pub fn stack(fact: impl Fact + 'static) -> Self {
        Self::Stack(refusal(fact))
    }

    /// An [`Error::Layout`] because of this.
    #[must_use]
    pub fn layout(fact: impl Fact + 'static) -> Self {
        Self::Layout(refusal(fact))
    }

    /// An [`Error::Format`] because of this.
    #[must_use]
    pub fn format(fact: impl Fact + 'static) -> Self {
        Self::Format(refusal(fact))
    }

    /// An [`Error::Request`] because of this.
    #[must_use]
    pub fn request(fact: impl Fact + 'static) -> Self {
        Self::Request(refusal(fact))
    }

    /// What it says, of an input and of the work; nothing where the system refused a file.
    #[must_use]
    pub fn findings(&self) -> &[Finding] {
        match self {
            Self::Sheet(list)
            | Self::Workshop(list)
            | Self::Profile(list)
            | Self::Comparison(list)
            | Self::Fit(list) => list,
            Self::Stack(one) | Self::Layout(one) | Self::Format(one) | Self::Request(one) => {
                std::slice::from_ref(one)
            }
            Self::Io { .. } => &[],
        }
    }

    /// The same, told to this reader.
    #[must_use]
    pub fn told(mut self, reader: Reader) -> Self {
        match &mut self {
            Self::Sheet(list)
            | Self::Workshop(list)
            | Self::Profile(list)
            | Self::Comparison(list)
            | Self::Fit(list) => list.iter_mut().for_each(|f| f.reader = reader),
            Self::Stack(one) | Self::Layout(one) | Self::Format(one) | Self::Request(one) => {
                one.reader = reader;
            }
            Self::Io { .. } => {}
        }
        self
    }

    /// A solid is too much for this machine.
    pub(crate) fn no_memory() -> Self {
        Self::format(MachineFact::NoMemory)
    }
}

facts! {
    /// What this machine cannot do.
    pub enum MachineFact {
        /// A solid does not fit into what is left.
        NoMemory => "the solid takes more memory than there is: thin the mesh out in the program that made \
                     it, or close other programs and try again", "";
    }
}
