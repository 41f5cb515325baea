//! What can be wrong with the text of any file that somebody wrote.

use toml::de::DeValue;

use crate::fact::{AsField, Field};
use crate::facts;
use crate::source::guess::Guess;
use crate::source::misread::written_with;
use crate::text;
use crate::text::{Text, quoted, typed};
use crate::units::{Alike, Misread};

facts! {
    /// What can be wrong with any file.
    pub(crate) enum SourceFact {
        /// Nobody typed so much.
        FileTooLarge { kib: usize } => text!["the file is larger than ", *kib, " KiB"],
            "a file of this kind is a page or two of text: check that it is the right one";
        /// More was found than is told.
        MoreToSay { told: usize }
            => text!["there is more to say of this file than ", *told, " things"],
            "see to those first, and look again";

        /// A value of another sort than is wanted.
        WrongSort { key: String, is: Sort, wanted: &'static str }
            => text![text::key(key), " is ", *is, ", not ", *wanted],
            match is {
                Sort::Table => "write the value after `=`".into(),
                _ => text!["write ", *wanted, " after `=`"],
            };
        /// A value where a table is wanted.
        NoTable { key: String, is: Sort } => text![text::key(key), " is ", *is, ", not a table"],
            text![
                "write ",
                typed(format!("[{key}]")),
                " on a line of its own and its values below"
            ];
        /// A number that is none: `nan`, `inf`.
        NoNumber { key: String, written: String }
            => text![text::key(key), " cannot be ", written],
            "write the number that was read, or leave the line out";
        /// Words that are no length.
        Misread { key: String, why: Misread } => text![text::key(key), ": ", why.message()],
            why.hint();
        /// A word that is not among those to choose from.
        NoChoice { key: String, written: String, guess: Guess }
            => text![text::key(key), " cannot be ", quoted(written)], guess;
        /// A name of no letters.
        EmptyName { key: String } => text![text::key(key), " is empty"],
            "write a name, or leave the line out";
        /// A name with signs that turn or hide text.
        UnprintableName { key: String }
            => text![text::key(key), " holds characters that cannot be printed"],
            "use letters, digits, spaces and marks on one line";
        /// A name longer than there is room for.
        LongName { key: String, longest: usize }
            => text![text::key(key), " is too long to print"],
            text!["use at most ", *longest, " characters"];

        /// A line with a decimal comma.
        CommaInLine { key: String, pointed: String }
            => text![text::key(key), " has a decimal comma"],
            text!["use a point: ", typed(pointed.clone())];
        /// A key that stands twice in its table.
        KeyTwice { key: String } => text![text::key(key), " is written twice"],
            "keep the line that is right and delete the other";
        /// A line with signs that only look like those of a file, and the same in plain ones.
        LookalikeLine { line: String, alike: Alike, plain: String }
            => written_with(line, *alike),
            text!["type the line again: ", typed(plain.clone())];
        /// A line that is neither a table nor a value; `said` by the reader of TOML.
        NoLine => "this line cannot be read",
            "write a table as `[girth]` and a value as `bust = 96.5`, one a line";
        /// Nothing stands behind the sign of equality.
        NoValue { key: String } => text![text::key(key), " has no value"],
            "write the value after `=`, or put a `#` in front of the line";
        /// A key with a sign that no key has.
        OddSign { key: String, sign: String }
            => text![text::key(key), " holds ", typed(sign.clone()), ", which no key has"],
            "keys are written with the letters a to z and `_`: copy them from the blank that \
             `layfigure new` prints";
        /// A value that begins like a number and is none.
        NoQuotedUnit { key: String, value: String }
            => text!["the value of ", text::key(key), " cannot be read"],
            text!["put a value with a unit or a fraction in quotes: ", quoted(value)];
        /// A number with more points than one.
        TwoPoints { key: String, value: String, decimal: String, fraction: Option<String> }
            => text!["the value of ", text::key(key), " has more than one point: ", value],
            text![
                "write one point, ",
                typed(format!("{} = {decimal}", key.rsplit('.').next().unwrap_or(key))),
                fraction.as_ref().map(|f| text![", or a fraction in quotes, ", quoted(f)])
            ];
        /// Quotes as an editor for letters bends them.
        BentQuotes { key: String, words: String } => text![
            "the quotes round ",
            text::key(key),
            " are not the plain ones that a file is written with"
        ], text![
            "type them as ",
            in_quotes(key, words),
            "; an editor for plain text does not bend them"
        ];
        /// Words without quotes.
        NoQuotes { key: String, words: String }
            => text!["the words after ", text::key(key), " stand without quotes"],
            text!["put them in quotes: ", in_quotes(key, words)];
        /// A quote that opens and does not close.
        OpenQuote { key: String, words: String }
            => text!["the quote that opens after ", text::key(key), " is not closed"],
            text!["close it at the end of the words: ", in_quotes(key, words)];
        /// Something stands beside the words; `said` by the reader of TOML.
        BesideQuotes { key: String, words: String }
            => text!["the value of ", text::key(key), " cannot be read"],
            text!["write it as ", in_quotes(key, words), ", and nothing else on the line"];
        /// Quotes within quotes of the same sort.
        QuotesWithin { key: String, words: String }
            => text!["there are quotes within the quotes of ", text::key(key)],
            text!["put the other kind round the words: ", in_quotes(key, words)];
    }
}

/// A line that has these words in quotes; a quote within them is kept apart by the other sort.
fn in_quotes(key: &str, words: &str) -> Text {
    typed(if words.contains('"') && !words.contains('\'') {
        format!("{key} = '{words}'")
    } else {
        format!("{key} = \"{}\"", words.replace('"', ""))
    })
}

/// What sort of value it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Sort {
    Words,
    Number,
    True,
    False,
    Date,
    List,
    Table,
}

impl Sort {
    /// That of a value.
    pub(crate) const fn of(value: &DeValue<'_>) -> Self {
        match value {
            DeValue::String(_) => Self::Words,
            DeValue::Integer(_) | DeValue::Float(_) => Self::Number,
            DeValue::Boolean(true) => Self::True,
            DeValue::Boolean(false) => Self::False,
            DeValue::Datetime(_) => Self::Date,
            DeValue::Array(_) => Self::List,
            DeValue::Table(_) => Self::Table,
        }
    }

    const fn words(self) -> &'static str {
        match self {
            Self::Words => "words",
            Self::Number => "a number",
            Self::True => "`true`",
            Self::False => "`false`",
            Self::Date => "a date",
            Self::List => "a list",
            Self::Table => "a table",
        }
    }
}

impl From<Sort> for Text {
    fn from(sort: Sort) -> Self {
        sort.words().into()
    }
}

impl AsField for Sort {
    fn field(&self) -> Field {
        self.words().field()
    }
}
