//! The head of the sheet: whose it is, in which unit, and what the waist is.

use std::path::{Path, PathBuf};

use layfigure::Severity;
use layfigure::fact::told;
use layfigure::measure::MEASURING_A_CHILD;
use layfigure::sheet::Figure;
use layfigure::sheet::entry;
use layfigure::sheet::entry::{Draft, Head};
use layfigure::text;
use layfigure::units::Unit;

use super::ask::{Heard, Interview, Next, Topic};
use super::talk::{sentence, tell};
use super::{Enter, Question};
use crate::Stop;
use crate::input;
use crate::save;
use crate::say;

static QUESTIONS: [Question; 6] = [
    Question {
        key: Head::Name,
        title: "name",
        prompt: "name",
        tell: "What is the form called? The name is printed on its pieces and names the file.",
        help: "A role or a nickname will do: letters, digits and spaces. The answers are kept in a \
               file of that name in this folder. Or leave with `done` and type `layfigure new` and a \
               file's name to go on with that file.",
        choice: &[],
        enter: Enter::Asks,
    },
    Question {
        key: Head::Figure,
        title: "figure",
        prompt: "woman, man, child or between",
        tell: "Whose figure is it? It decides what to expect of what is not measured.",
        help: "What you leave out is estimated from surveys of women, of men or of children: take \
               the one whose build is nearest, or `between` for half of a woman and half of a man (the file takes \
               other shares). The form is made to what is measured in any case.",
        choice: &[
            ("woman", "woman"),
            ("man", "man"),
            ("child", "child"),
            ("between", "{ woman = 0.5, man = 0.5 }"),
        ],
        enter: Enter::Asks,
    },
    Question {
        key: Head::Unit,
        title: "unit",
        prompt: "cm, mm or in",
        tell: "In which unit does the tape read? A single reading may carry another one: `38 in`.",
        help: "A bare number is read in this unit. cm: centimetres, 96.5; mm: millimetres, 965; in: \
               inches, 37 7/8 or 37.875.",
        choice: &[("cm", "cm"), ("mm", "mm"), ("in", "in"), ("inches", "in")],
        enter: Enter::Asks,
    },
    Question {
        key: Head::Waist,
        title: "waist",
        prompt: "natural, iso or navel",
        tell: "Which waist is measured? natural: where an elastic settles; iso: half-way from the \
               lowest rib to the top of the hip bone; navel: at the navel.",
        help: "The natural waist is what dressmakers mean, and the easiest to find: tie a narrow \
               elastic round the middle and bend sideways. Take one of the others only if all waist \
               readings were taken there.",
        choice: &[("natural", "natural"), ("iso", "iso"), ("navel", "navel")],
        enter: Enter::Means("natural"),
    },
    Question {
        key: Head::Worn,
        title: "worn at the bust",
        prompt: "bra, binder, breast form or none",
        tell: "What is worn at the bust, under the tape as under the clothes?",
        help: "bra: it holds the bust up; binder: it makes the chest flat; breast form: the form has that bust; \
               none: nothing that shapes it, and a bust may then hang lower than its root. Enter: a bra on a \
               woman, none on others. A flat chest is asked about among the words of the shape.",
        choice: &[
            ("bra", "bra"),
            ("binder", "binder"),
            ("breast form", "breast form"),
            ("none", "none"),
        ],
        enter: Enter::LeavesOut,
    },
    Question {
        key: Head::Taken,
        title: "date",
        prompt: "date and who, as 14 March 2026 by Ada",
        tell: "When is it measured, and by whom? Figures change: measure again after half a year.",
        help: "The day on which the tape was read, or `by` and the name of who read it, or both. The day is printed in \
               the guide, and orders the sheets of one person over time. Where a second person measures the same body \
               into another sheet, `layfigure new BOTH --merge FIRST SECOND` makes one of the two.",
        choice: &[],
        enter: Enter::LeavesOut,
    },
];

/// Writes what was said on the command line, where the sheet does not say it itself; where it says
/// something else it stays, and `new` says so.
pub(super) fn begin(
    draft: &mut Draft,
    figure: Option<Figure>,
    unit: Option<Unit>,
) -> Result<(), Stop> {
    for (key, option, word) in [
        (Head::Unit, "--unit", unit.map(Unit::name)),
        (Head::Figure, "--figure", figure.map(Figure::name)),
    ] {
        match (draft.head(key), word) {
            (None, Some(word)) => draft.set_head(key, word),
            (Some(kept), Some(word)) if kept != word => {
                let typed = text::typed(format!("{option} {word}"));
                let stays = format!("{} says {kept}, and that stays: ", draft.file());
                tell(text![stays, typed, " is for a new sheet."])?;
            }
            _ => {}
        }
    }
    Ok(())
}

/// The sheet in a file; a blank one where there is none yet.
pub(super) fn existing(path: &Path) -> Result<Draft, Stop> {
    let name = path.display().to_string();
    if !path.exists() {
        return Ok(Draft::blank(&name));
    }
    let file = input::read(path, crate::facts::FileKind::Sheet)?;
    if file.text.trim().is_empty() {
        return Ok(Draft::blank(&name));
    }
    Ok(Draft::open(&file.text, &file.name)?)
}

/// Why the head as it stands would be refused.
fn refused(draft: &Draft) -> Option<String> {
    let about_head = |f: &layfigure::Finding| {
        f.severity == Severity::Refusal && f.measure.is_none() && f.place.is_some()
    };
    let found = draft.findings().into_iter().find(about_head)?;
    Some(format!("{}: {}", found.message(), found.hint()))
}

impl Interview {
    /// Asks what the head lacks, keeping every answer; from the last question on where the person
    /// comes back from what follows. Whether the person wants to go on.
    pub(super) fn head(&mut self, from_the_end: bool) -> Result<bool, Stop> {
        self.steps.clear();
        let last = QUESTIONS.len() - 1;
        let mut at = if from_the_end {
            Some(last)
        } else {
            (0..=last).find(|i| self.is_open(&QUESTIONS[*i]))
        };
        while let Some(i) = at {
            match self.question(&QUESTIONS[i])? {
                Next::On => at = (i + 1..=last).find(|i| self.is_open(&QUESTIONS[*i])),
                Next::Back => match (0..i).rev().find(|i| self.concerns(&QUESTIONS[*i])) {
                    Some(before) => at = Some(before),
                    None => tell("This is the first question.")?,
                },
                Next::Go(_) => {}
                Next::End => return Ok(false),
            }
        }
        Ok(true)
    }

    /// Whether a question is still to be asked.
    fn is_open(&self, q: &Question) -> bool {
        self.concerns(q)
            && match q.key {
                // A sheet that was named needs no other name.
                Head::Name => self.path().is_none(),
                _ => {
                    // On going on, what was left out once is not asked again.
                    self.said(q).is_none() && (self.draft.count() == 0 || !q.may_skip())
                }
            }
    }

    /// Whether a question is one for this sheet at all.
    fn concerns(&self, q: &Question) -> bool {
        match q.key {
            Head::Name => self.asks_name,
            _ => true,
        }
    }

    /// The answers of the head, for a list.
    pub(super) fn head_lines(&self) -> Vec<(&'static str, Option<String>)> {
        let asked = QUESTIONS.iter().filter(|q| self.concerns(q));
        let meant = |q: &Question| match q.enter {
            Enter::Means(word) => Some(word.to_owned()),
            Enter::Asks | Enter::LeavesOut => None,
        };
        asked
            .map(|q| (q.title, self.said(q).or_else(|| meant(q))))
            .collect()
    }

    /// What the head answers, in the words of the question.
    fn said(&self, q: &Question) -> Option<String> {
        if q.key == Head::Taken {
            let by = self.draft.head(Head::TakenBy).map(|by| format!("by {by}"));
            let said: Vec<String> = self.draft.head(Head::Taken).into_iter().chain(by).collect();
            return (!said.is_empty()).then(|| said.join(" "));
        }
        let stands = self.draft.head(q.key)?;
        let word = q.choice.iter().find(|c| c.1 == stands);
        Some(word.map_or(stands, |c| c.0.to_owned()))
    }

    /// Asks one question of the head.
    fn question(&mut self, q: &'static Question) -> Result<Next, Stop> {
        say::text("\n")?;
        tell(q.tell)?;
        let kept = self.said(q);
        let prompt = kept
            .as_ref()
            .map_or_else(|| q.asked(), |word| q.asked_with(word));
        let known: Vec<&str> = q.choice.iter().map(|c| c.0).collect();
        loop {
            let line = match self.hear(&prompt, &known, Topic::Head(q))? {
                Heard::End => return Ok(Next::End),
                Heard::Back => return Ok(Next::Back),
                Heard::Enter | Heard::Skip if kept.is_some() || q.may_skip() => {
                    return Ok(Next::On);
                }
                Heard::Away if q.may_skip() => {
                    self.draft.clear_head(q.key);
                    if q.key == Head::Taken {
                        self.draft.clear_head(Head::TakenBy);
                    }
                    self.keep()?;
                    return Ok(Next::On);
                }
                Heard::Enter | Heard::Skip | Heard::Away => {
                    tell(match q.key {
                        Head::Name => "A name is needed: a role or a nickname will do.",
                        _ => "This one cannot be left out: every number depends on it.",
                    })?;
                    continue;
                }
                Heard::Go(_) => continue,
                Heard::Words(line) => line,
            };
            match q.key {
                Head::Name => {
                    if let Some(next) = self.name(&line)? {
                        return Ok(next);
                    }
                }
                _ if self.answer(q, &line)? => return Ok(Next::On),
                _ => {}
            }
        }
    }

    /// Writes the answer of a question, unless something is the matter with it.
    fn answer(&mut self, q: &'static Question, line: &str) -> Result<bool, Stop> {
        let before = self.draft.clone();
        if q.choice.is_empty() {
            let taken = match entry::parse_taken(line) {
                Ok(taken) => taken,
                Err(why) => {
                    sentence(told(&why, ": "))?;
                    return Ok(false);
                }
            };
            let said = [(Head::Taken, taken.on), (Head::TakenBy, taken.by)];
            for (key, words) in said {
                if let Some(words) = words {
                    self.draft.set_head(key, &words);
                }
            }
        } else {
            let typed = line.to_lowercase();
            let mut fits: Vec<&str> = q
                .choice
                .iter()
                .filter(|c| c.0.starts_with(&typed))
                .map(|c| c.1)
                .collect();
            fits.dedup();
            let [word] = fits.as_slice() else {
                tell(format!("Please type {}.", q.asked()))?;
                return Ok(false);
            };
            let other = self.draft.head(q.key).is_some_and(|stands| stands != *word);
            if q.key == Head::Unit && other && self.draft.count() > 0 {
                tell(
                    "The readings that are kept are in the other unit: begin a new sheet, or give \
                     single readings their unit.",
                )?;
                return Ok(false);
            }
            self.draft.set_head(q.key, word);
        }
        if let Some(said) = refused(&self.draft) {
            sentence(&said)?;
            self.draft = before;
            return Ok(false);
        }
        self.keep()?;
        if q.key == Head::Figure && self.draft.head(Head::Figure).as_deref() == Some("child") {
            tell(MEASURING_A_CHILD)?;
        }
        Ok(true)
    }

    /// Names the form, and the file after it where there is none yet; nothing where the name is asked
    /// for again.
    fn name(&mut self, line: &str) -> Result<Option<Next>, Stop> {
        let mut named = self.draft.clone();
        named.set_head(Head::Name, line);
        let kept = self.path().filter(|p| p.exists()).map(Path::to_path_buf);
        let path = kept
            .clone()
            .unwrap_or_else(|| PathBuf::from(format!("{}.toml", save::sanitized(line))));
        if kept.is_none() && path.exists() {
            return self.there_already(&path);
        }
        named.rename(&path.display().to_string());
        if let Some(said) = refused(&named) {
            sentence(&said)?;
            return Ok(None);
        }
        self.move_to(path, named);
        if let Some(path) = kept {
            self.keep()?;
            tell(format!("The file is still called {}.", path.display()))?;
        }
        Ok(Some(Next::On))
    }

    /// A file of that name is there: is it gone on with?
    fn there_already(&mut self, path: &Path) -> Result<Option<Next>, Stop> {
        tell(format!("{} is there already.", path.display()))?;
        match self.hear("k goes on with it, or type another name", &[], Topic::Name)? {
            Heard::Words(line) if ["k", "keep"].contains(&line.to_lowercase().as_str()) => {
                let draft = existing(path)?;
                self.move_to(path.to_path_buf(), draft);
                self.going_on()?;
                Ok(Some(Next::On))
            }
            Heard::Words(line) => self.name(&line),
            Heard::End => Ok(Some(Next::End)),
            Heard::Back | Heard::Skip | Heard::Away | Heard::Enter | Heard::Go(_) => Ok(None),
        }
    }
}
