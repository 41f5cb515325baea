//! The head of the sheet: whose it is, in which unit, and what the waist is.

use std::path::{Path, PathBuf};

use layfigure::sheet::Figure;
use layfigure::sheet::entry::{Draft, Head};
use layfigure::units::Unit;

use super::talk::{Reply, Talk, tell};
use crate::Stop;
use crate::folder;
use crate::input;
use crate::save;

/// One question of the head.
struct Question {
    key: Head,
    prompt: &'static str,
    tell: &'static str,
    /// Words to choose from, each with what it writes; free words when there are none.
    choice: &'static [(&'static str, &'static str)],
    /// Whether it may be left out with Enter.
    may_skip: bool,
}

const QUESTIONS: [Question; 5] = [
    Question {
        key: Head::Figure,
        prompt: "woman, man or child",
        tell: "Whose figure is it? It decides what to expect of what is not measured.",
        choice: &[("woman", "woman"), ("man", "man"), ("child", "child")],
        may_skip: false,
    },
    Question {
        key: Head::Unit,
        prompt: "cm, mm or in",
        tell: "In which unit does the tape read? A single reading may carry another one: 38 in.",
        choice: &[("cm", "cm"), ("mm", "mm"), ("in", "in"), ("inches", "in")],
        may_skip: false,
    },
    Question {
        key: Head::Waist,
        prompt: "natural, iso or navel (Enter: natural)",
        tell: "Which waist is measured? natural: where an elastic settles; iso: half-way from the \
               lowest rib to the top of the hip bone; navel: at the navel.",
        choice: &[("natural", "natural"), ("iso", "iso"), ("navel", "navel")],
        may_skip: true,
    },
    Question {
        key: Head::Supported,
        prompt: "yes or no (Enter: yes)",
        tell: "Is the bust measured as dressed in a bra?",
        choice: &[("yes", "true"), ("no", "false")],
        may_skip: true,
    },
    Question {
        key: Head::Taken,
        prompt: "date as 2026-03-14 (Enter: leave it out)",
        tell: "When is it measured? Figures change: measure again after half a year.",
        choice: &[],
        may_skip: true,
    },
];

/// The sheet to fill in: the file that was named, or one named after the form. Nothing if the person
/// stops before there is one.
pub(super) fn open(talk: &mut Talk, file: Option<&Path>) -> Result<Option<(PathBuf, Draft)>, Stop> {
    if let Some(path) = file {
        return Ok(Some((path.to_path_buf(), existing(path)?)));
    }
    tell("What is the form called? The name is printed on its pieces and names the file.")?;
    loop {
        let name = match talk.ask("name", "", &[])? {
            Reply::End => return Ok(None),
            Reply::Line(line) if line.is_empty() => {
                tell("A name is needed: a role or a nickname will do.")?;
                continue;
            }
            Reply::Line(line) => line,
        };
        let path = PathBuf::from(format!("{}.toml", folder::sanitized(&name)));
        if !path.exists() {
            let mut draft = Draft::blank(&path.display().to_string());
            draft.set_head(Head::Name, &name);
            if let Some(said) = refused(&draft) {
                tell(&said)?;
                continue;
            }
            return Ok(Some((path, draft)));
        }
        tell(&format!("{} is there already.", path.display()))?;
        match talk.ask("go on with it, yes or no", "", &["yes", "no"])? {
            Reply::End => return Ok(None),
            Reply::Line(line) if line.to_lowercase().starts_with('y') => {
                let draft = existing(&path)?;
                return Ok(Some((path, draft)));
            }
            Reply::Line(_) => tell("Then give another name.")?,
        }
    }
}

fn existing(path: &Path) -> Result<Draft, Stop> {
    let name = path.display().to_string();
    if !path.exists() {
        return Ok(Draft::blank(&name));
    }
    let file = input::read(path)?;
    if file.text.trim().is_empty() {
        return Ok(Draft::blank(&name));
    }
    Ok(Draft::open(&file.text, &file.name)?)
}

/// Why the head as it stands would be refused.
fn refused(draft: &Draft) -> Option<String> {
    let about_head = |f: &layfigure::Finding| {
        f.severity == layfigure::Severity::Refusal && f.measure.is_none() && f.place.is_some()
    };
    let found = draft.findings().into_iter().find(about_head)?;
    Some(format!("{}: {}.", found.message, found.hint))
}

/// Asks what the head lacks, keeping every answer. Whether the person wants to go on.
pub(super) fn fill(
    talk: &mut Talk,
    path: &Path,
    draft: &mut Draft,
    figure: Option<Figure>,
    unit: Option<Unit>,
) -> Result<bool, Stop> {
    if let (None, Some(unit)) = (draft.head(Head::Unit), unit) {
        draft.set_head(Head::Unit, unit.name());
    }
    if let (None, Some(figure)) = (draft.head(Head::Figure), figure) {
        draft.set_head(Head::Figure, figure.name());
    }
    let asked: Vec<&Question> = QUESTIONS
        .iter()
        .filter(|q| draft.head(q.key).is_none())
        // On going on, what was left out once is not asked again.
        .filter(|q| draft.count() == 0 || !q.may_skip)
        .collect();
    let mut i = 0;
    while let Some(q) = asked.get(i) {
        if q.key == Head::Supported && draft.figure() != Some(Figure::Woman) {
            i += 1;
            continue;
        }
        tell(q.tell)?;
        let mut known: Vec<&str> = q.choice.iter().map(|c| c.0).collect();
        known.push("back");
        let line = match talk.ask(q.prompt, "", &known)? {
            Reply::End => return Ok(false),
            Reply::Line(line) => line,
        };
        let typed = line.to_lowercase();
        if typed == "back" {
            i = i.saturating_sub(1);
            if asked[i].key == Head::Supported && draft.figure() != Some(Figure::Woman) {
                i = i.saturating_sub(1);
            }
            continue;
        }
        if typed.is_empty() && q.may_skip {
            draft.clear_head(q.key);
            i += 1;
            continue;
        }
        let before = draft.clone();
        if q.choice.is_empty() {
            draft.set_head(q.key, &line);
        } else {
            let fits = |c: &&(&str, &str)| !typed.is_empty() && c.0.starts_with(&typed);
            let Some((_, word)) = q.choice.iter().find(fits) else {
                tell(&format!("Please type {}.", q.prompt))?;
                continue;
            };
            draft.set_head(q.key, word);
        }
        if let Some(said) = refused(draft) {
            tell(&said)?;
            *draft = before;
            continue;
        }
        save::whole(path, draft.text().as_bytes())?;
        i += 1;
    }
    Ok(true)
}
