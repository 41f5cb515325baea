//! Words whose sizes and keys are still values: a sentence is put together where something is found,
//! and written out where somebody reads it, in the unit that the reader knows.
//!
//! A [`Text`] is a list of [`Part`]s. [`text!`](crate::text!) puts one together; a writer asks
//! [`Text::runs`] and knows of each run how it looks and whether a line may break in it.

mod shown;

use std::borrow::Cow;

pub use shown::{ShownAs, bench, rule, run, tape, weight};

use crate::measure::{Figure, Level, Measure, Side};
use crate::units::{self, Unit};

/// Whom a text is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reader {
    /// The unit that this person reads a tape in.
    pub unit: Unit,
    /// Whose figure it is about: what its parts are called.
    pub figure: Figure,
    /// How measurements are spoken of.
    pub names: Names,
}

/// How measurements are spoken of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Names {
    /// By name, and by the key that a sheet has for them: bust girth `girth.bust`.
    Written,
    /// As in a conversation, in whole sentences: the bust girth.
    Spoken,
}

impl Reader {
    /// Somebody of whom no more than this is known.
    #[must_use]
    pub fn of(unit: Unit) -> Self {
        Self {
            unit,
            ..Self::default()
        }
    }

    /// The same, told about this figure.
    #[must_use]
    pub const fn about(self, figure: Figure) -> Self {
        Self { figure, ..self }
    }
}

impl Default for Reader {
    /// Somebody of whom nothing is known: sizes stand in millimetres alone, measurements by name and key.
    fn default() -> Self {
        Self {
            unit: Unit::Mm,
            figure: Figure::Woman,
            names: Names::Written,
        }
    }
}

/// A part of a text.
#[derive(Clone, Debug, PartialEq)]
pub enum Part {
    /// Plain words.
    Words(Cow<'static, str>),
    /// A size at the workbench (mm, with so many decimals): `256.5 mm`; for anyone who reads inches in those, with
    /// the millimetres beside them, `10 1/8 in (256.5 mm)`.
    Size(f64, usize),
    /// The same without noughts at the end of its decimals, of which there are no more than three:
    /// `6.35 mm`.
    Trimmed(f64),
    /// Two sizes (mm, with so many decimals) and the word between them: `700 x 500 mm`.
    Sizes([f64; 2], usize, &'static str),
    /// The same without noughts at the end of their decimals, of which there are no more than three:
    /// `215.9 x 279.4 mm`.
    TrimmedSizes([f64; 2], &'static str),
    /// A length off a tape (mm) in the unit that the sheet was written in: `96.5 cm`.
    Length(f64, Unit),
    /// A difference of two lengths off a tape (mm), with its sign: `+0.4 cm`.
    Difference(f64, Unit),
    /// An angle (radians): `21.0°`.
    Angle(f64),
    /// What is typed as it stands, a key or a command: no line breaks in it.
    Typed(Cow<'static, str>),
    /// What deserves the eye, as the word before a warning: no line breaks in what is short.
    Strong(Text),
    /// A number in the unit that the reader knows.
    Shown(f64, ShownAs),
    /// A part of the same page, by its name.
    Place(PagePart),
    /// What follows stands on a line of its own, where the words stand in a cell or under a picture.
    NextLine,
    /// A number with its unit in finished words, or anything else that no line breaks in.
    Together(String),
    /// A measurement: its key as it is typed, or its name.
    Measure(Measure),
    /// The name of a measurement, with its side where it is one of a pair: `across back, left`.
    Title(Measure, Side),
    /// The name of a level.
    Level(Level),
    /// A sentence begins: what follows has a capital; what begins with no letter stays as it is.
    Begin,
    /// A sentence ends: with a full stop where no other mark stands there.
    End,
    /// Between a question and what to do where the answer is no.
    IfNot,
}

/// A part of a page that others lead to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PagePart {
    /// What its address ends in.
    pub anchor: &'static str,
    /// Its heading.
    pub name: &'static str,
}

/// Letters that stay on one line together at most.
const TOGETHER: usize = 40;

/// How words look beside others.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Look {
    /// As all do.
    Plain,
    /// What is typed as it stands: in backticks where there is one face.
    Typed,
    /// What deserves the eye.
    Strong,
    /// The name of a part of the same page, which it leads to.
    Place(&'static str),
    /// Between two lines: a blank, where they stand in one.
    NextLine,
}

/// A run of finished words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Run {
    /// The words.
    pub words: String,
    /// How they look.
    pub look: Look,
    /// Whether they stay on one line together.
    pub unbroken: bool,
}

impl Run {
    /// The words where there is one face.
    #[must_use]
    pub fn plain(self) -> String {
        match self.look {
            Look::Typed => format!("`{}`", self.words),
            Look::Plain | Look::Strong | Look::Place(_) | Look::NextLine => self.words,
        }
    }
}

/// A sentence, or part of one.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Text(Vec<Part>);

impl Text {
    /// Nothing said.
    #[must_use]
    pub const fn new() -> Self {
        Self(Vec::new())
    }

    /// Whether nothing is said.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        let blank = |part: &Part| matches!(part, Part::Words(w) if w.is_empty());
        self.0.iter().all(blank)
    }

    /// Whether this measurement is named in it.
    #[must_use]
    pub fn names(&self, measure: Measure) -> bool {
        self.0.contains(&Part::Measure(measure))
    }

    /// Says this too, with nothing between.
    pub fn push(&mut self, more: impl Into<Self>) {
        self.0.extend(more.into().0);
    }

    /// These one after the other, with `between` between them.
    #[must_use]
    pub fn joined(all: impl IntoIterator<Item = Self>, between: &'static str) -> Self {
        let mut text = Self::new();
        for (i, one) in all.into_iter().enumerate() {
            if i > 0 {
                text.push(between);
            }
            text.push(one);
        }
        text
    }

    /// The runs of words that this reader is given.
    #[must_use]
    pub fn runs(&self, reader: Reader) -> Vec<Run> {
        let mut runs: Vec<Run> = Vec::with_capacity(self.0.len());
        let mut begins = false;
        for part in &self.0 {
            let last = runs.last();
            match part {
                Part::Begin => begins = true,
                Part::End if last.is_some_and(|r| !r.words.ends_with(['?', '.', '!'])) => {
                    runs.push(Run {
                        words: ".".into(),
                        look: Look::Plain,
                        unbroken: false,
                    });
                }
                _ => {
                    let first = runs.len();
                    part.written(reader, &mut runs);
                    if let Some(first) = runs.get_mut(first).filter(|_| begins) {
                        if first.look != Look::Typed {
                            first.words = capital(&first.words);
                        }
                        begins = false;
                    }
                }
            }
        }
        runs
    }

    /// The words that this reader is given, in one piece.
    #[must_use]
    pub fn plain(&self, reader: Reader) -> String {
        self.runs(reader).into_iter().map(Run::plain).collect()
    }
}

impl Part {
    /// Puts its words behind these runs.
    fn written(&self, reader: Reader, runs: &mut Vec<Run>) {
        let inches = reader.unit == Unit::In;
        let mut put = |words: String, look: Look, together: bool| {
            let unbroken = together && words.chars().count() <= TOGETHER;
            if !words.is_empty() {
                runs.push(Run {
                    words,
                    look,
                    unbroken,
                });
            }
        };
        let mut run = |words: String, together: bool| put(words, Look::Plain, together);
        match self {
            Self::Words(words) => run(words.clone().into_owned(), false),
            Self::Size(mm, _) | Self::Trimmed(mm) => {
                let shown = match self {
                    Self::Size(mm, decimals) => units::fixed(*mm, *decimals),
                    _ => units::trimmed(*mm, 3),
                };
                if inches {
                    run(format!("{} in", Unit::In.beside_bare(*mm)), true);
                    run(" ".into(), false);
                    run(format!("({shown} mm)"), true);
                } else {
                    run(format!("{shown} mm"), true);
                }
            }
            Self::Sizes([a, b], _, between) | Self::TrimmedSizes([a, b], between) => {
                let short = |v: f64| match self {
                    Self::Sizes(_, decimals, _) => units::fixed(v, *decimals),
                    _ => units::trimmed(v, 3),
                };
                let both = |shown: &dyn Fn(f64) -> String, unit: &str| {
                    format!("{} {between} {} {unit}", shown(*a), shown(*b))
                };
                if inches {
                    run(both(&|v| Unit::In.beside_bare(v), "in"), true);
                    run(" ".into(), false);
                    run(format!("({})", both(&short, "mm")), true);
                } else {
                    run(both(&short, "mm"), true);
                }
            }
            Self::Length(mm, unit) => run(unit.show(*mm), true),
            Self::Difference(mm, unit) => run(unit.show_difference(*mm), true),
            Self::Angle(radians) => run(units::show_degrees(*radians), true),
            Self::Typed(words) => put(words.clone().into_owned(), Look::Typed, true),
            Self::Strong(words) => {
                // Plain words are one run, so that they stay together.
                let runs = words.runs(reader);
                for alike in runs.chunk_by(|a, b| a.look == Look::Plain && b.look == Look::Plain) {
                    let look = match alike[0].look {
                        Look::Plain => Look::Strong,
                        look => look,
                    };
                    put(
                        alike.iter().map(|run| run.words.as_str()).collect(),
                        look,
                        true,
                    );
                }
            }
            Self::Shown(value, how) => run(how.words(*value, reader.unit), true),
            Self::Place(place) => put(place.name.to_owned(), Look::Place(place.anchor), false),
            Self::NextLine => put(" ".to_owned(), Look::NextLine, false),
            Self::Together(words) => run(words.clone(), true),
            Self::Measure(measure) => match reader.names {
                Names::Written => {
                    let title = measure.info().title.of(reader.figure);
                    run(format!("{title} "), false);
                    put(measure.to_string(), Look::Typed, true);
                }
                Names::Spoken => {
                    let title = measure.info().title.of(reader.figure);
                    run(format!("the {title}"), false);
                }
            },
            Self::Title(measure, side) => {
                run(side.named(measure.info().title.of(reader.figure)), false);
            }
            Self::Level(level) => run(level.called(reader.figure).to_owned(), false),
            Self::IfNot => run(
                match reader.names {
                    Names::Written => "; else ",
                    Names::Spoken => " If not, ",
                }
                .into(),
                false,
            ),
            Self::Begin | Self::End => {}
        }
    }
}

impl From<&'static str> for Text {
    /// Words of the program; in pairs of backticks stands what is typed.
    fn from(words: &'static str) -> Self {
        let parts: Vec<&'static str> = words.split('`').collect();
        if parts.len().is_multiple_of(2) {
            return Part::Words(words.into()).into();
        }
        let part = |(i, part): (usize, &'static str)| match i % 2 {
            1 => Part::Typed(part.into()),
            _ => Part::Words(part.into()),
        };
        Self(parts.into_iter().enumerate().map(part).collect())
    }
}

impl From<String> for Text {
    fn from(words: String) -> Self {
        Part::Words(words.into()).into()
    }
}

impl From<&String> for Text {
    fn from(words: &String) -> Self {
        words.clone().into()
    }
}

impl From<Part> for Text {
    fn from(part: Part) -> Self {
        Self(vec![part])
    }
}

impl From<usize> for Text {
    fn from(count: usize) -> Self {
        count.to_string().into()
    }
}

impl From<Measure> for Text {
    fn from(measure: Measure) -> Self {
        Part::Measure(measure).into()
    }
}

impl<T: Into<Self>> From<Option<T>> for Text {
    /// Nothing where there is nothing.
    fn from(some: Option<T>) -> Self {
        some.map_or_else(Self::new, Into::into)
    }
}

/// Whole millimetres: `8 mm`.
#[must_use]
pub fn mm0(mm: f64) -> Text {
    Part::Size(mm, 0).into()
}

/// Millimetres to a tenth: `8.3 mm`.
#[must_use]
pub fn mm1(mm: f64) -> Text {
    Part::Size(mm, 1).into()
}

/// Millimetres in as few decimals as they need, three at most: `6.35 mm`.
#[must_use]
pub fn mm(mm: f64) -> Text {
    Part::Trimmed(mm).into()
}

/// Words that begin with a capital; nothing stays nothing, and so does what begins with no letter.
fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(char::to_uppercase);
    first.into_iter().flatten().chain(letters).collect()
}

/// A sentence of its own.
#[must_use]
pub fn sentence(words: impl Into<Text>) -> Text {
    crate::text![Part::Begin, words, Part::End]
}

/// So many of something: `1 edge`, `2 edges`.
#[must_use]
pub fn many(count: usize, one: &'static str) -> Text {
    let s = if count == 1 { "" } else { "s" };
    crate::text![count, " ", one, s]
}

/// What is typed as it stands, on one line.
#[must_use]
pub fn typed(words: impl Into<Cow<'static, str>>) -> Text {
    Part::Typed(words.into()).into()
}

/// What deserves the eye.
#[must_use]
pub fn strong(words: impl Into<Text>) -> Text {
    Part::Strong(words.into()).into()
}

/// Words that no line breaks in: a number and its unit.
#[must_use]
pub fn together(words: impl Into<String>) -> Text {
    Part::Together(words.into()).into()
}

/// A length off a tape in this unit.
#[must_use]
pub fn length(mm: f64, unit: Unit) -> Text {
    Part::Length(mm, unit).into()
}

/// A key of a file as it was written; where it is that of a measurement, that measurement.
#[must_use]
pub fn key(written: &str) -> Text {
    Measure::from_key(written).map_or_else(|| typed(written.to_owned()), Text::from)
}

/// What somebody wrote, in the quotes of a file.
#[must_use]
pub fn quoted(written: &str) -> Text {
    format!("\"{written}\"").into()
}

/// These in their order with commas, the last one after `and` or `or`.
#[must_use]
pub fn listed(all: impl IntoIterator<Item = Text>, last: &'static str) -> Text {
    let all: Vec<Text> = all.into_iter().collect();
    let count = all.len();
    let mut text = Text::new();
    for (i, one) in all.into_iter().enumerate() {
        if i > 0 && i + 1 == count {
            text.push(" ");
            text.push(last);
            text.push(" ");
        } else if i > 0 {
            text.push(", ");
        }
        text.push(one);
    }
    text
}

/// A [`Text`](crate::text::Text) of these parts, in their order: words, counts, measures, texts.
#[macro_export]
macro_rules! text {
    ($($part:expr),* $(,)?) => {{
        #[allow(unused_mut, reason = "a text may have no parts")]
        let mut text = $crate::text::Text::new();
        $(text.push($part);)*
        text
    }};
}

/// `1 layer`, `2 layers`.
#[must_use]
pub fn count(n: usize, one: &str) -> String {
    if n == 1 {
        format!("1 {one}")
    } else {
        format!("{n} {one}s")
    }
}

#[cfg(test)]
mod tests;
