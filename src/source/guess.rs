//! What was probably meant by a word that is not known.

use crate::fact::{AsField, Field};
use crate::text;
use crate::text::{Text, key, listed, quoted};
use crate::units::{Alike, alike};

/// How the words of a list stand in a message.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Quoting {
    /// Keys, in backticks.
    Keys,
    /// Words that a file has in quotes.
    Quotes,
}

impl Quoting {
    /// A word with its marks.
    pub(crate) fn round(self, word: &str) -> Text {
        match self {
            Self::Keys => key(word),
            Self::Quotes => quoted(word),
        }
    }
}

/// What was probably meant.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Guess {
    /// A word that is known; and the sign by which the two differ where nobody sees it.
    Near(String, Option<Alike>, Quoting),
    /// Any of those that are known.
    OneOf(Vec<String>, Quoting),
}

impl Guess {
    /// What of `known` was meant by `typed`.
    pub(crate) fn of(typed: &str, known: &[&str], marks: Quoting) -> Self {
        match nearest(typed, known) {
            Some(near) => Self::near(typed, near, marks),
            None => Self::OneOf(known.iter().map(|k| (*k).to_owned()).collect(), marks),
        }
    }

    /// That `near` was meant by `typed`.
    pub(crate) fn near(typed: &str, near: &str, marks: Quoting) -> Self {
        let unlike = alike::plainly(typed).map(|(_, alike)| alike);
        Self::Near(near.to_owned(), unlike, marks)
    }
}

impl AsField for Guess {
    fn field(&self) -> Field {
        match self {
            Self::Near(near, ..) => near.field(),
            Self::OneOf(known, _) => known.field(),
        }
    }
}

impl From<&Guess> for Text {
    fn from(guess: &Guess) -> Self {
        match guess {
            Guess::Near(near, unlike, marks) => text![
                "did you mean ",
                marks.round(near),
                "?",
                unlike.map(|alike| text![" this one is written with ", alike])
            ],
            Guess::OneOf(known, marks) => {
                text![
                    "write one of ",
                    one_of(known.iter().map(String::as_str), *marks)
                ]
            }
        }
    }
}

/// `a`, `b` or `c`.
pub(crate) fn one_of<'w>(words: impl IntoIterator<Item = &'w str>, marks: Quoting) -> Text {
    listed(words.into_iter().map(|word| marks.round(word)), "or")
}

/// Words in plain small letters, to be looked for in a list.
pub(crate) fn plainly(typed: &str) -> String {
    let plain = alike::plainly(typed).map_or_else(|| typed.to_owned(), |(plain, _)| plain);
    plain.trim().to_lowercase()
}

/// The one of `known` that somebody probably meant by `typed`.
pub(crate) fn nearest<'k>(typed: &str, known: &[&'k str]) -> Option<&'k str> {
    let typed = plainly(typed).replace(['-', ' '], "_");
    let slips = typed.chars().count() / 3;
    known
        .iter()
        .map(|k| (strsim::damerau_levenshtein(&typed, &k.to_lowercase()), *k))
        .filter(|(distance, _)| *distance <= slips.max(1))
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, k)| k)
}
