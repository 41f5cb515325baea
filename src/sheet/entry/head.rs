//! The head of a sheet as questions: whose it is, in which unit, which waist, what is worn, when it was taken.

use super::date;
use super::draft::{Draft, Head};
use super::facts::{DateFact, HeadFact};
use crate::error::{Finding, Severity};
use crate::fact;
use crate::fact::Fact as _;
use crate::sheet::{Figure, WaistKind, Worn};
use crate::text;
use crate::text::{Reader, Text};
use crate::units::Unit;

/// What half of a woman and half of a man is called, and how a sheet says it.
const BETWEEN: (&str, &str) = ("between", "{ woman = 0.5, man = 0.5 }");

/// One question of the head.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct HeadQuestion {
    /// What it is about.
    pub key: Head,
    /// What it is called in a list.
    pub title: &'static str,
    /// What is asked.
    pub tell: &'static str,
    /// What helps to answer it.
    pub help: &'static str,
    /// What leaving it out means where nothing was answered yet.
    pub without: Without,
    /// What to type where the words are free.
    form: &'static str,
}

/// What it means to leave a question out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Without {
    /// An answer is needed.
    Needed,
    /// This word.
    Means(&'static str),
    /// Nothing is known.
    NotKnown,
}

/// Why an answer is not taken.
#[derive(Debug)]
pub enum HeadProblem {
    /// What is the matter with its words.
    Answer(HeadFact),
    /// It is no date.
    Date(DateFact),
    /// The sheet would be refused with it.
    Found(Box<Finding>),
}

impl HeadProblem {
    /// What is the matter and what to do about it.
    #[must_use]
    pub fn told(&self) -> Text {
        match self {
            Self::Answer(fact) => fact.message(),
            Self::Date(fact) => fact::told(fact, ": ").into(),
            Self::Found(found) => text![found.message(), ": ", found.hint()],
        }
    }
}

/// All of them, in the order in which they are asked.
#[must_use]
pub const fn head_questions() -> &'static [HeadQuestion] {
    &QUESTIONS
}

impl HeadQuestion {
    /// Words to choose from, each with what it writes; free words when there are none.
    #[must_use]
    pub fn choices(&self) -> Vec<(&'static str, &'static str)> {
        let same = |word: &'static str| (word, word);
        match self.key {
            Head::Name | Head::Taken | Head::TakenBy => Vec::new(),
            Head::Figure => {
                let figures = Figure::NAMED.iter().map(|(word, _)| same(word));
                figures.chain([BETWEEN]).collect()
            }
            Head::Unit => Unit::ALL.map(|unit| same(unit.name())).into(),
            Head::Waist => WaistKind::NAMED.map(|(word, _)| same(word)).into(),
            Head::Worn => Worn::NAMED.map(|(word, _)| same(word)).into(),
        }
    }

    /// What to type: `cm, mm or in`.
    #[must_use]
    pub fn prompt(&self) -> String {
        let choices = self.choices();
        if choices.is_empty() {
            return self.form.to_owned();
        }
        let words = choices.into_iter().map(|c| c.0.into());
        text::listed(words, "or").plain(Reader::default())
    }

    /// Whether it may be left out.
    #[must_use]
    pub const fn may_skip(&self) -> bool {
        !matches!(self.without, Without::Needed)
    }

    /// Why it cannot be left out.
    #[must_use]
    pub const fn needed(&self) -> HeadFact {
        match self.key {
            Head::Name => HeadFact::NeedsName,
            _ => HeadFact::Needed,
        }
    }

    /// What the sheet answers, in the words of the question.
    #[must_use]
    pub fn said(&self, draft: &Draft) -> Option<String> {
        if self.key == Head::Taken {
            let by = draft.head(Head::TakenBy).map(|by| format!("by {by}"));
            let said: Vec<String> = draft.head(Head::Taken).into_iter().chain(by).collect();
            return (!said.is_empty()).then(|| said.join(" "));
        }
        let stands = draft.head(self.key)?;
        let choices = self.choices();
        let word = choices.iter().find(|c| c.1 == stands);
        Some(word.map_or(stands, |c| c.0.to_owned()))
    }

    /// Takes the answer away.
    pub fn leave_out(&self, draft: &mut Draft) {
        draft.clear_head(self.key);
        if self.key == Head::Taken {
            draft.clear_head(Head::TakenBy);
        }
    }

    /// The sheet with this answer.
    ///
    /// # Errors
    /// [`HeadProblem`] when the words are no answer, or the sheet would be refused with it.
    pub fn answered(&self, draft: &Draft, line: &str) -> Result<Draft, HeadProblem> {
        let mut with = draft.clone();
        match self.key {
            Head::Name | Head::TakenBy => with.set_head(self.key, line),
            Head::Taken => {
                let taken = date::parse_taken(line).map_err(HeadProblem::Date)?;
                for (key, words) in [(Head::Taken, taken.on), (Head::TakenBy, taken.by)] {
                    if let Some(words) = words {
                        with.set_head(key, &words);
                    }
                }
            }
            Head::Unit | Head::Figure | Head::Waist | Head::Worn => {
                let word = self.chosen(line).map_err(HeadProblem::Answer)?;
                let other = draft.head(self.key).is_some_and(|stands| stands != word);
                if self.key == Head::Unit && other && draft.count() > 0 {
                    return Err(HeadProblem::Answer(HeadFact::OtherUnit));
                }
                with.set_head(self.key, word);
            }
        }
        match refusal(&with) {
            Some(found) => Err(HeadProblem::Found(Box::new(found))),
            None => Ok(with),
        }
    }

    /// What the only word that begins so writes.
    fn chosen(&self, line: &str) -> Result<&'static str, HeadFact> {
        let mut typed = line.to_lowercase();
        // Named in full it is a unit too.
        let inches = self.key == Head::Unit && Unit::In.plural().starts_with(&typed);
        if inches && !typed.is_empty() {
            Unit::In.name().clone_into(&mut typed);
        }
        let begins = |c: &(&str, &str)| c.0.starts_with(&typed);
        let fits: Vec<_> = self.choices().into_iter().filter(begins).collect();
        match fits.as_slice() {
            [(_, word)] => Ok(word),
            _ => Err(HeadFact::NoneOfThese {
                words: self.prompt(),
            }),
        }
    }
}

/// Why the head as it stands would be refused.
fn refusal(draft: &Draft) -> Option<Finding> {
    let about_head =
        |f: &Finding| f.severity == Severity::Refusal && f.measure.is_none() && f.place.is_some();
    draft.findings().into_iter().find(about_head)
}

const QUESTIONS: [HeadQuestion; 6] = [
    HeadQuestion {
        key: Head::Name,
        title: "name",
        form: "name",
        tell: "What is the form called? The name is printed on its pieces and names the file.",
        help: "A role or a nickname will do: letters, digits and spaces. The answers are kept in a \
               file of that name in this folder. Or leave with `done` and type `layfigure new` and a \
               file's name to go on with that file.",
        without: Without::Needed,
    },
    HeadQuestion {
        key: Head::Figure,
        title: "figure",
        form: "",
        tell: "Whose figure is it? It decides what to expect of what is not measured.",
        help: "What you leave out is estimated from surveys of women, of men or of children: take \
               the one whose build is nearest, or `between` for half of a woman and half of a man (the file takes \
               other shares). The form is made to what is measured in any case.",
        without: Without::Needed,
    },
    HeadQuestion {
        key: Head::Unit,
        title: "unit",
        form: "",
        tell: "In which unit does the tape read? A single reading may carry another one: `38 in`.",
        help: "A bare number is read in this unit. cm: centimetres, 96.5; mm: millimetres, 965; in: \
               inches, 37 7/8 or 37.875.",
        without: Without::Needed,
    },
    HeadQuestion {
        key: Head::Waist,
        title: "waist",
        form: "",
        tell: "Which waist is measured? natural: where an elastic settles; iso: half-way from the \
               lowest rib to the top of the hip bone; navel: at the navel.",
        help: "The natural waist is what dressmakers mean, and the easiest to find: tie a narrow \
               elastic round the middle and bend sideways. Take one of the others only if all waist \
               readings were taken there.",
        without: Without::Means(WaistKind::Natural.name()),
    },
    HeadQuestion {
        key: Head::Worn,
        title: "worn at the bust",
        form: "",
        tell: "What is worn at the bust, under the tape as under the clothes?",
        help: "bra: it holds the bust up; binder: it makes the chest flat; breast form: the form has that bust; \
               none: nothing that shapes it, and a bust may then hang lower than its root. Enter: a bra on a \
               woman, none on others. A flat chest is asked about among the words of the shape.",
        without: Without::NotKnown,
    },
    HeadQuestion {
        key: Head::Taken,
        title: "date",
        form: "date and who, as 14 March 2026 by Ada",
        tell: "When is it measured, and by whom? Figures change: measure again after half a year.",
        help: "The day on which the tape was read, or `by` and the name of who read it, or both. The day is printed in \
               the guide, and orders the sheets of one person over time. Where a second person measures the same body \
               into another sheet, `layfigure new BOTH --merge FIRST SECOND` makes one of the two.",
        without: Without::NotKnown,
    },
];
