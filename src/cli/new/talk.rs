//! Talking on the terminal: a question, a line of answer. A line editor does the typing; without a
//! terminal the lines are simply read, and the talk is a transcript.

use std::io;
use std::io::IsTerminal;

use rustyline::completion::Completer;
use rustyline::config::BellStyle;
use rustyline::error::ReadlineError;
use rustyline::highlight::Highlighter;
use rustyline::hint::Hinter;
use rustyline::history::MemHistory;
use rustyline::validate::Validator;
use rustyline::{Config, Context, Editor, Helper};

use layfigure::say::terminal;
use layfigure::text;
use layfigure::text::{Reader, Text};

use crate::Stop;
use crate::say;

/// What came back.
pub(super) enum Reply {
    /// A line without its end and the blanks around it.
    Line(String),
    /// The person wants to stop, or nothing more can be read.
    End,
}

/// The words that the tabulator completes now.
struct Words(Vec<String>);

impl Completer for Words {
    type Candidate = String;

    fn complete(
        &self,
        line: &str,
        pos: usize,
        _: &Context<'_>,
    ) -> rustyline::Result<(usize, Vec<String>)> {
        let start = line[..pos].rfind(' ').map_or(0, |i| i + 1);
        let typed = line[start..pos].to_lowercase();
        let fits = self.0.iter().filter(|w| w.starts_with(&typed));
        Ok((start, fits.cloned().collect()))
    }
}

impl Hinter for Words {
    type Hint = String;
}
impl Highlighter for Words {}
impl Validator for Words {}
impl Helper for Words {}

/// A conversation.
pub(super) struct Talk {
    editor: Editor<Words, MemHistory>,
    typed: bool,
}

impl Talk {
    pub(super) fn new() -> Result<Self, Stop> {
        let config = Config::builder()
            .bell_style(BellStyle::None)
            .auto_add_history(false)
            .build();
        let editor = Editor::with_history(config, MemHistory::new()).map_err(stop)?;
        Ok(Self {
            editor,
            typed: io::stdin().is_terminal(),
        })
    }

    /// Asks for one line; `known` are words that can be completed. The line is empty whenever it is
    /// asked for: nothing is to be rubbed out first.
    pub(super) fn ask(&mut self, prompt: &str, known: &[&str]) -> Result<Reply, Stop> {
        let known = known.iter().map(|w| (*w).to_owned()).collect();
        self.editor.set_helper(Some(Words(known)));
        let prompt = format!("{prompt}> ");
        let line = loop {
            match self.editor.readline(&prompt) {
                // The window changed its size.
                Err(ReadlineError::Signal(_)) => {}
                Err(ReadlineError::Io(e)) if e.kind() == io::ErrorKind::InvalidData => {
                    tell("Some of these letters are not text in UTF-8. Please type it again.")?;
                }
                other => break other,
            }
        };
        match line {
            Ok(line) => {
                if !self.typed {
                    say::text(&format!("{prompt}{line}\n"))?;
                }
                Ok(Reply::Line(line.trim().to_owned()))
            }
            Err(ReadlineError::Eof | ReadlineError::Interrupted) => Ok(Reply::End),
            Err(e) => Err(stop(e)),
        }
    }
}

impl Talk {
    /// Lines that the window shows at once; none where nobody watches.
    pub(super) fn rows(&mut self) -> Option<usize> {
        let rows = self.editor.dimensions().map(|(_, rows)| usize::from(rows));
        rows.filter(|_| self.typed)
    }
}

fn stop(e: ReadlineError) -> Stop {
    Stop::Error(layfigure::Error::Io {
        path: "the terminal".into(),
        source: match e {
            ReadlineError::Io(e) => e,
            other => io::Error::other(other.to_string()),
        },
    })
}

/// A heading.
pub(super) fn title(text: &str) -> Result<(), Stop> {
    let bold = anstyle::Style::new().bold();
    say::text(&format!("\n{bold}{text}{bold:#}\n"))?;
    Ok(())
}

/// A paragraph, set in by two blanks.
pub(super) fn tell(words: impl Into<Text>) -> Result<(), Stop> {
    say::text(&terminal::wrapped(&words.into(), Reader::default(), 2, 2))?;
    Ok(())
}

/// The same, beginning with a capital and ending with a mark.
pub(super) fn sentence(words: impl Into<Text>) -> Result<(), Stop> {
    tell(text::sentence(words))
}
