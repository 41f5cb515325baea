//! A TOML text that a person wrote: its values with their places, and what is wrong with them.
//!
//! Shared by the reading of sheets and of workshop files. Nothing here stops at the first mistake:
//! every finding is kept, in the order of the lines.

use std::collections::BTreeSet;
use std::ops::Range;

use serde_spanned::Spanned;
use toml::de::DeTable;
use toml::de::DeValue;

use crate::error::{Finding, Place, Severity};
use crate::fact::Fact;
use crate::tolerance::BEYOND_MM;
use crate::units;
use crate::units::Unit;

pub(crate) mod edit;
mod facts;
mod guess;
mod misread;
mod syntax;

pub(crate) use facts::{Sort, SourceFact};
pub(crate) use guess::{Guess, Quoting, nearest, one_of, plainly};

/// A file longer than this was not typed by anybody (bytes).
const LONGEST_FILE: usize = 1 << 20;
/// A line longer than this is cut in messages (bytes).
const LONGEST_LINE: usize = 160;
/// At most this many findings are kept, and then a line says that there are more: a file with more
/// mistakes is not a sheet.
const MOST_FINDINGS: usize = 200;

/// A value with the place where it stands.
pub(crate) type Value<'a> = Spanned<DeValue<'a>>;

/// The text, its lines and the findings so far.
pub(crate) struct Source<'a> {
    file: String,
    text: &'a str,
    /// Where each line begins.
    starts: Vec<usize>,
    findings: Vec<Finding>,
    /// The gravest of those that were not kept.
    more: Option<Severity>,
    /// Whether some line could not be read as TOML: then nothing is called missing.
    pub(crate) broken: bool,
    /// Those lines, counted from 1: nothing else is said about them.
    broken_lines: BTreeSet<usize>,
}

impl<'a> Source<'a> {
    /// Reads the TOML as far as it can be read.
    pub(crate) fn open(text: &'a str, file: &str) -> (Self, DeTable<'a>) {
        let starts = std::iter::once(0)
            .chain(text.match_indices('\n').map(|(i, _)| i + 1))
            .collect();
        let mut source = Self {
            file: file.to_owned(),
            text,
            starts,
            findings: Vec::new(),
            more: None,
            broken: false,
            broken_lines: BTreeSet::new(),
        };
        if text.len() > LONGEST_FILE {
            source.broken = true;
            let kib = LONGEST_FILE / 1024;
            let finding = Finding::of(Severity::Refusal, SourceFact::FileTooLarge { kib });
            source.findings.push(finding);
            return (source, DeTable::new());
        }
        let (table, errors) = DeTable::parse_recoverable(text);
        let mut lines = BTreeSet::new();
        for error in &errors {
            let at = error.span().unwrap_or(0..0);
            // One slip often breaks the rest of its line: one message a line.
            if lines.insert(source.line_of(at.start) + 1) {
                source.syntax(at);
            }
        }
        source.broken = !errors.is_empty();
        source.broken_lines = lines;
        (source, table.into_inner())
    }

    /// Says in plain words why a line is not TOML.
    fn syntax(&mut self, at: Range<usize>) {
        let line = self.line_of(at.start);
        let above = self.text.get(..self.starts[line]).unwrap_or_default();
        self.refuse(at, syntax::explained(above, self.line_text(line)));
    }

    fn line_of(&self, at: usize) -> usize {
        self.starts.partition_point(|&s| s <= at).saturating_sub(1)
    }

    fn line_text(&self, line: usize) -> &'a str {
        let from = self.starts.get(line).copied().unwrap_or(self.text.len());
        let to = self.starts.get(line + 1).map_or(self.text.len(), |s| s - 1);
        self.text
            .get(from..to)
            .unwrap_or_default()
            .trim_end_matches('\r')
    }

    /// Line and part of the line of these bytes.
    pub(crate) fn place(&self, at: &Range<usize>) -> Place {
        let line = self.line_of(at.start);
        let full = self.line_text(line);
        let text = &full[..full.floor_char_boundary(LONGEST_LINE)];
        let begin = self.starts.get(line).copied().unwrap_or(0);
        let from = text.floor_char_boundary(at.start.saturating_sub(begin));
        let to = text.ceil_char_boundary(at.end.saturating_sub(begin).min(text.len()));
        let part = if from < to {
            from..to
        } else {
            text.len() - text.trim_start().len()..text.trim_end().len()
        };
        Place {
            file: self.file.clone(),
            line: line + 1,
            text: text.to_owned(),
            part: if part.start < part.end { part } else { 0..0 },
        }
    }

    /// Whether this line (counted from 1) could not be read as TOML.
    pub(crate) fn is_broken(&self, line: usize) -> bool {
        self.broken_lines.contains(&line)
    }

    /// Keeps a finding.
    pub(crate) fn push(&mut self, finding: Finding) {
        let place = finding.place.as_ref();
        if place.is_some_and(|p| self.is_broken(p.line)) {
            return;
        }
        if self.findings.len() >= MOST_FINDINGS {
            self.more = self.more.max(Some(finding.severity));
        } else if !self.findings.contains(&finding) {
            self.findings.push(finding);
        }
    }

    /// Refuses what stands at these bytes.
    pub(crate) fn refuse(&mut self, at: Range<usize>, fact: impl Fact) {
        let place = self.place(&at);
        self.push(Finding::of(Severity::Refusal, fact).at(place));
    }

    /// All findings, ordered by line; those without a line come first.
    pub(crate) fn into_findings(self) -> Vec<Finding> {
        let mut findings = self.findings;
        findings.sort_by_key(|f| f.place.as_ref().map(|p| (p.line, p.part.start)));
        if let Some(severity) = self.more {
            let told = MOST_FINDINGS;
            findings.push(Finding::of(severity, SourceFact::MoreToSay { told }));
        }
        findings
    }

    /// Refuses a value of another sort than is `wanted`.
    pub(crate) fn wrong_type(&mut self, key: &str, value: &Value<'_>, wanted: &'static str) {
        let key = key.to_owned();
        let is = Sort::of(value.get_ref());
        self.refuse(value.span(), SourceFact::WrongSort { key, is, wanted });
    }

    /// A table, or a refusal.
    pub(crate) fn table<'t>(&mut self, key: &str, value: &'t Value<'a>) -> Option<&'t DeTable<'a>> {
        let table = value.get_ref().as_table();
        if table.is_none() {
            let key = key.to_owned();
            let is = Sort::of(value.get_ref());
            self.refuse(value.span(), SourceFact::NoTable { key, is });
        }
        table
    }

    /// Words, or a refusal.
    pub(crate) fn words<'t>(&mut self, key: &str, value: &'t Value<'a>) -> Option<&'t str> {
        let words = value.get_ref().as_str();
        if words.is_none() {
            self.wrong_type(key, value, "words in quotes");
        }
        words
    }

    /// True or false, or a refusal.
    pub(crate) fn truth(&mut self, key: &str, value: &Value<'_>) -> Option<bool> {
        let truth = value.get_ref().as_bool();
        if truth.is_none() {
            self.wrong_type(key, value, "`true` or `false`");
        }
        truth
    }

    /// A value as it was typed, without its quotes, for a message.
    pub(crate) fn typed(&self, value: &Value<'_>) -> String {
        let text = self.text.get(value.span()).unwrap_or_default();
        units::clip(text.trim_matches(['"', '\'']).trim())
    }

    /// A bare finite number, or a refusal.
    pub(crate) fn number(&mut self, key: &str, value: &Value<'_>) -> Option<f64> {
        let number = match value.get_ref() {
            DeValue::Integer(n) => whole(n.as_str(), n.radix()),
            DeValue::Float(n) => n.as_str().parse::<f64>().ok(),
            _ => {
                self.wrong_type(key, value, "a number");
                return None;
            }
        };
        // Never minus nothing.
        let finite = number.filter(|n| n.is_finite()).map(|n| n + 0.0);
        if finite.is_none() {
            let (key, written) = (key.to_owned(), self.typed(value));
            self.refuse(value.span(), SourceFact::NoNumber { key, written });
        }
        finite
    }

    /// A length in mm: a bare number in `unit`, or words with their own unit; never longer than
    /// [`BEYOND_MM`], of which [`typed`](Self::typed) says more.
    pub(crate) fn length(&mut self, key: &str, value: &Value<'_>, unit: Unit) -> Option<f64> {
        let mm = match value.get_ref() {
            DeValue::String(words) => match units::parse_length(words, unit) {
                Ok(mm) => mm,
                Err(why) => {
                    self.misread(key, value, why);
                    return None;
                }
            },
            DeValue::Integer(_) | DeValue::Float(_) => unit.to_mm(self.number(key, value)?),
            _ => {
                self.wrong_type(key, value, "a number or words with a unit");
                return None;
            }
        };
        Some(mm.clamp(-BEYOND_MM, BEYOND_MM))
    }

    /// Keeps what the reading of units found, with its key and place.
    pub(crate) fn misread(&mut self, key: &str, value: &Value<'_>, why: units::Misread) {
        let key = key.to_owned();
        self.refuse(value.span(), SourceFact::Misread { key, why });
    }

    /// One of a few words, or a refusal that lists them.
    pub(crate) fn choice<T: Copy>(
        &mut self,
        key: &str,
        value: &Value<'a>,
        choices: &[(&str, T)],
    ) -> Option<T> {
        let words = self.words(key, value)?;
        let found = choices
            .iter()
            .find(|(name, _)| *name == words.trim().to_lowercase());
        if found.is_none() {
            let names: Vec<&str> = choices.iter().map(|(name, _)| *name).collect();
            let fact = SourceFact::NoChoice {
                key: key.to_owned(),
                written: units::clip(words),
                guess: Guess::of(words, &names, Quoting::Quotes),
            };
            self.refuse(value.span(), fact);
        }
        found.map(|(_, choice)| *choice)
    }

    /// A name for printing: no control characters, not empty, not too long.
    pub(crate) fn name(&mut self, key: &str, value: &Value<'a>, longest: usize) -> Option<String> {
        let words = self.words(key, value)?;
        let name = words.trim();
        let key = key.to_owned();
        let fact = if name.is_empty() {
            SourceFact::EmptyName { key }
        } else if name.chars().any(is_unprintable) {
            SourceFact::UnprintableName { key }
        } else if name.chars().count() > longest {
            SourceFact::LongName { key, longest }
        } else {
            return Some(name.to_owned());
        };
        self.refuse(value.span(), fact);
        None
    }
}

/// Control characters and the marks that turn or hide text.
pub(crate) fn is_unprintable(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
}

/// A whole number of any size by its digits, with a sign or not. Those that somebody reads off a tape are
/// far below 2^53, where `f64` is still exact.
fn whole(digits: &str, radix: u32) -> Option<f64> {
    let (sign, digits) = match digits.strip_prefix('-') {
        Some(rest) => (-1.0, rest),
        None => (1.0, digits.strip_prefix('+').unwrap_or(digits)),
    };
    let add = |sum: f64, c: char| Some(sum * f64::from(radix) + f64::from(c.to_digit(radix)?));
    let sum = digits.chars().filter(|c| *c != '_').try_fold(0.0, add)?;
    Some(sign * sum)
}
