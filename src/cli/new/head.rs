//! Asking for the head of the sheet, and finding its file.

use std::path::{Path, PathBuf};

use layfigure::fact::Fact as _;
use layfigure::measure::MEASURING_A_CHILD;
use layfigure::sheet::Figure;
use layfigure::sheet::entry;
use layfigure::sheet::entry::{Draft, Head, HeadQuestion, Without};
use layfigure::text;
use layfigure::units::Unit;

use super::ask::{Heard, Interview, Next, Topic};
use super::talk::{sentence, tell};
use crate::Stop;
use crate::input;
use crate::save;
use crate::say;

/// The prompt where Enter does this.
fn entered(q: &HeadQuestion, enter: &str) -> String {
    format!("{} (Enter: {enter})", q.prompt())
}

/// The prompt of a question that was not answered yet, with what Enter does.
fn asked(q: &HeadQuestion) -> String {
    match q.without {
        Without::Needed => q.prompt(),
        Without::Means(word) => entered(q, word),
        Without::NotKnown => entered(q, "leave it out"),
    }
}

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

impl Interview {
    /// Asks what the head lacks, keeping every answer; from the last question on where the person
    /// comes back from what follows. Whether the person wants to go on.
    pub(super) fn head(&mut self, from_the_end: bool) -> Result<bool, Stop> {
        self.steps.clear();
        let all = entry::head_questions();
        let last = all.len() - 1;
        let mut at = if from_the_end {
            Some(last)
        } else {
            (0..=last).find(|i| self.is_open(&all[*i]))
        };
        while let Some(i) = at {
            match self.question(&all[i])? {
                Next::On => at = (i + 1..=last).find(|i| self.is_open(&all[*i])),
                Next::Back => match (0..i).rev().find(|i| self.concerns(&all[*i])) {
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
    fn is_open(&self, q: &HeadQuestion) -> bool {
        self.concerns(q)
            && match q.key {
                // A sheet that was named needs no other name.
                Head::Name => self.path().is_none(),
                _ => {
                    // On going on, what was left out once is not asked again.
                    q.said(&self.draft).is_none() && (self.draft.count() == 0 || !q.may_skip())
                }
            }
    }

    /// Whether a question is one for this sheet at all.
    fn concerns(&self, q: &HeadQuestion) -> bool {
        match q.key {
            Head::Name => self.asks_name,
            _ => true,
        }
    }

    /// The answers of the head, for a list.
    pub(super) fn head_lines(&self) -> Vec<(&'static str, Option<String>)> {
        let asked = entry::head_questions().iter().filter(|q| self.concerns(q));
        let meant = |q: &HeadQuestion| match q.without {
            Without::Means(word) => Some(word.to_owned()),
            Without::Needed | Without::NotKnown => None,
        };
        asked
            .map(|q| (q.title, q.said(&self.draft).or_else(|| meant(q))))
            .collect()
    }

    /// Asks one question of the head.
    fn question(&mut self, q: &'static HeadQuestion) -> Result<Next, Stop> {
        say::text("\n")?;
        tell(q.tell)?;
        let kept = q.said(&self.draft);
        let prompt = kept
            .as_ref()
            .map_or_else(|| asked(q), |word| entered(q, word));
        let known: Vec<&str> = q.choices().iter().map(|c| c.0).collect();
        loop {
            let line = match self.hear(&prompt, &known, Topic::Head(q))? {
                Heard::End => return Ok(Next::End),
                Heard::Back => return Ok(Next::Back),
                Heard::Enter | Heard::Skip if kept.is_some() || q.may_skip() => {
                    return Ok(Next::On);
                }
                Heard::Away if q.may_skip() => {
                    q.leave_out(&mut self.draft);
                    self.keep()?;
                    return Ok(Next::On);
                }
                Heard::Enter | Heard::Skip | Heard::Away => {
                    sentence(q.needed().message())?;
                    continue;
                }
                Heard::Go(_) => continue,
                Heard::Words(line) => line,
            };
            match q.key {
                Head::Name => {
                    if let Some(next) = self.name(q, &line)? {
                        return Ok(next);
                    }
                }
                _ if self.answer(q, &line)? => return Ok(Next::On),
                _ => {}
            }
        }
    }

    /// Writes the answer of a question, unless something is the matter with it.
    fn answer(&mut self, q: &'static HeadQuestion, line: &str) -> Result<bool, Stop> {
        match q.answered(&self.draft, line) {
            Ok(with) => self.draft = with,
            Err(why) => {
                sentence(why.told())?;
                return Ok(false);
            }
        }
        self.keep()?;
        if q.key == Head::Figure
            && self.draft.head(Head::Figure).as_deref() == Some(Figure::Child.name())
        {
            tell(MEASURING_A_CHILD)?;
        }
        Ok(true)
    }

    /// Names the form, and the file after it where there is none yet; nothing where the name is asked
    /// for again.
    fn name(&mut self, q: &'static HeadQuestion, line: &str) -> Result<Option<Next>, Stop> {
        let kept = self.path().filter(|p| p.exists()).map(Path::to_path_buf);
        let path = kept
            .clone()
            .unwrap_or_else(|| PathBuf::from(format!("{}.toml", save::sanitized(line))));
        if kept.is_none() && path.exists() {
            return self.there_already(q, &path);
        }
        let mut named = match q.answered(&self.draft, line) {
            Ok(named) => named,
            Err(why) => {
                sentence(why.told())?;
                return Ok(None);
            }
        };
        named.rename(&path.display().to_string());
        self.move_to(path, named);
        if let Some(path) = kept {
            self.keep()?;
            tell(format!("The file is still called {}.", path.display()))?;
        }
        Ok(Some(Next::On))
    }

    /// A file of that name is there: is it gone on with?
    fn there_already(
        &mut self,
        q: &'static HeadQuestion,
        path: &Path,
    ) -> Result<Option<Next>, Stop> {
        tell(format!("{} is there already.", path.display()))?;
        match self.hear("k goes on with it, or type another name", &[], Topic::Name)? {
            Heard::Words(line) if ["k", "keep"].contains(&line.to_lowercase().as_str()) => {
                let draft = existing(path)?;
                self.move_to(path.to_path_buf(), draft);
                self.going_on()?;
                Ok(Some(Next::On))
            }
            Heard::Words(line) => self.name(q, &line),
            Heard::End => Ok(Some(Next::End)),
            Heard::Back | Heard::Skip | Heard::Away | Heard::Enter | Heard::Go(_) => Ok(None),
        }
    }
}
