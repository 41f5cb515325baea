//! `new --workshop`: a room asked for question by question, with what each choice costs; or its blank file.

use std::io;
use std::io::{BufRead, IsTerminal};
use std::path::{Path, PathBuf};

use layfigure::error::{Finding, Severity};
use layfigure::form;
use layfigure::form::Checked;
use layfigure::form::trial::Trial;
use layfigure::say::room;
use layfigure::say::terminal;
use layfigure::sheet;
use layfigure::sheet::Figure;
use layfigure::text;
use layfigure::text::{Part, Reader};
use layfigure::units::Unit;
use layfigure::workshop;
use layfigure::workshop::Workshop;
use layfigure::workshop::entry::{Asked, Question, RoomDraft, RoomFact, questions};

use super::as_toml;
use super::talk::{Reply, Talk, sentence, tell, title};
use crate::Outcome;
use crate::Stop;
use crate::args::New;
use crate::facts::FileKind;
use crate::halt;
use crate::input;
use crate::save;
use crate::say;

/// Words that are understood at every prompt.
const COMMANDS: [&str; 6] = ["back", "skip", "none", "list", "done", "help"];
/// The file of a room that nobody names otherwise.
const USUAL_FILE: &str = "workshop.toml";

pub(super) fn run(args: &New) -> Result<Outcome, Stop> {
    let unit: Option<Unit> = args.unit.map(Into::into);
    let file = args.file.as_deref().map(as_toml);
    if args.blank || !is_asked(file.is_some())? {
        return blank(file.as_deref(), unit);
    }
    let mut talk = Conversation::new(file)?;
    if let Some(unit) = unit {
        talk.begin(unit)?;
    }
    talk.all()?;
    talk.end()
}

/// Whether somebody answers: at a terminal, or with lines that come down a pipe. Anyone who sends the blank file on to
/// somewhere, or starts the program where nobody types, gets the blank.
fn is_asked(named: bool) -> Result<bool, Stop> {
    if !named && !io::stdout().is_terminal() {
        return Ok(false);
    }
    Ok(io::stdin().is_terminal() || !io::stdin().lock().fill_buf()?.is_empty())
}

/// The commented blank: into a file, or to standard output.
fn blank(file: Option<&Path>, unit: Option<Unit>) -> Result<Outcome, Stop> {
    let text = workshop::blank(unit.unwrap_or(Unit::Mm));
    let Some(path) = file else {
        say::text(&text)?;
        return Ok(Outcome::Done);
    };
    save::fresh(path, text.as_bytes())?;
    say::note(&format!(
        "{} is a blank workshop file: change in a text editor what is different in your room, and give it \
         to `build`, `check` and `plan` with `--workshop {}`",
        path.display(),
        path.display()
    ));
    Ok(Outcome::Done)
}

/// What was typed, the words that are understood everywhere told from the rest.
enum Heard {
    Words(String),
    /// Enter, or `skip`.
    Leave,
    Back,
    /// Take the answer away.
    Away,
    End,
}

/// What to do after a question.
enum Next {
    On,
    Back,
    End,
}

struct Conversation {
    talk: Talk,
    path: Option<PathBuf>,
    draft: RoomDraft,
    /// The body that choices are tried on.
    body: Checked,
    /// That body in the room as it was when it was tried last.
    tried: Option<(Workshop, Trial)>,
}

impl Conversation {
    fn new(path: Option<PathBuf>) -> Result<Self, Stop> {
        let draft = match &path {
            Some(path) => existing(path)?,
            None => RoomDraft::blank(USUAL_FILE),
        };
        let progress = say::Progress::new(false);
        progress.step("fitting the example");
        let sheet = sheet::read(sheet::example(Figure::Woman), "an example sheet")?;
        let body = form::check(sheet, &Workshop::default(), None)?;
        drop(progress);
        Ok(Self {
            talk: Talk::new()?,
            path,
            draft,
            body,
            tried: None,
        })
    }

    /// Takes the unit of the command line, where the file does not say another.
    fn begin(&mut self, unit: Unit) -> Result<(), Stop> {
        match self.draft.given(Asked::Unit) {
            Some(kept) if kept != unit.name() => tell(format!(
                "{} says {kept}, and that stays: `--unit` is for a new file.",
                self.draft.file()
            )),
            Some(_) => Ok(()),
            None => {
                if let Err(found) = self.draft.put(Asked::Unit, unit.name()) {
                    self.warn(&found)?;
                }
                Ok(())
            }
        }
    }

    fn all(&mut self) -> Result<(), Stop> {
        tell(
            "Enter leaves a question out, `back` goes back, `help` says more, `list` shows everything, \
             `done` ends. Every answer is kept at once: stop whenever you like and go on later.",
        )?;
        if self.path.is_none() && !self.name()? {
            return Ok(());
        }
        let all = questions();
        // With the unit on the command line, or in the file, it is not asked again.
        let first = usize::from(self.draft.given(Asked::Unit).is_some());
        let mut at = first;
        let mut told = false;
        while let Some(q) = all.get(at) {
            if q.asked != Asked::Unit && !told {
                told = true;
                self.about_the_body()?;
            }
            match self.question(at, q)? {
                Next::On => at += 1,
                Next::Back if at == 0 => tell("This is the first question.")?,
                Next::Back => at -= 1,
                Next::End => return Ok(()),
            }
        }
        self.with_trial(room::sum)?.map_or(Ok(()), |sum| {
            title("- what it comes to -")?;
            tell(sum)
        })
    }

    /// Names the file. Whether the person wants to go on.
    fn name(&mut self) -> Result<bool, Stop> {
        say::text("\n")?;
        tell(
            "What is the room called? The answers are kept in a file of that name, in this folder.",
        )?;
        loop {
            let line = match self.hear(&format!("name (Enter: {USUAL_FILE})"), &[], None)? {
                Heard::End => return Ok(false),
                Heard::Words(line) => line,
                Heard::Leave => USUAL_FILE.trim_end_matches(".toml").to_owned(),
                Heard::Back | Heard::Away => {
                    tell("This is the first question.")?;
                    continue;
                }
            };
            let line = line.trim_end_matches(".toml");
            let path = PathBuf::from(format!("{}.toml", save::sanitized(line)));
            if path.exists() {
                tell(format!("{} is there already.", path.display()))?;
                match self.hear("k goes on with it; Enter: another name", &["keep"], None)? {
                    Heard::End => return Ok(false),
                    Heard::Words(word) if ["k", "keep"].contains(&word.to_lowercase().as_str()) => {
                        self.draft = existing(&path)?;
                    }
                    _ => continue,
                }
            } else {
                self.draft.rename(&path.display().to_string());
            }
            self.path = Some(path);
            return Ok(true);
        }
    }

    /// Says for whom the costs are found.
    fn about_the_body(&mut self) -> Result<(), Stop> {
        let said = self.with_trial(room::body)?;
        said.map_or(Ok(()), |said| {
            say::text("\n")?;
            tell(said)
        })
    }

    /// The body tried in the room as it stands; nothing where no form can be made in it.
    fn with_trial<T>(&mut self, then: impl FnOnce(&Trial, Unit) -> T) -> Result<Option<T>, Stop> {
        let (unit, room) = (self.draft.unit(), self.draft.room());
        let progress = say::Progress::new(false);
        progress.step("trying it");
        let tried = self.tried.take().filter(|(of, _)| *of == room);
        let tried = match tried {
            Some((_, trial)) => Ok(trial),
            None => {
                let mut body = self.body.clone();
                body.unit = unit;
                Trial::new(body, &room)
            }
        };
        match tried {
            Ok(trial) => {
                let made = then(&trial, unit);
                self.tried = Some((room, trial));
                Ok(Some(made))
            }
            Err(why) => {
                drop(progress);
                sentence(why.told(Reader::of(unit)).to_string())?;
                Ok(None)
            }
        }
    }

    fn question(&mut self, at: usize, q: &'static Question) -> Result<Next, Stop> {
        let unit = self.draft.unit();
        title(&format!(
            "[{} of {}] {}",
            at + 1,
            questions().len(),
            q.title
        ))?;
        tell(q.tell)?;
        if q.asked != Asked::Unit
            && let Some(costs) = self.with_trial(|trial, unit| room::costs(q.asked, trial, unit))?
        {
            say::text(&costs)?;
        }
        let enter = match self.draft.given(q.asked) {
            Some(kept) => format!("{kept}, kept"),
            None => q.without(unit),
        };
        let prompt = format!("{} (Enter: {enter})", q.prompt(unit));
        loop {
            match self.hear(&prompt, q.choice, Some(q))? {
                Heard::End => return Ok(Next::End),
                Heard::Back => return Ok(Next::Back),
                Heard::Leave => return Ok(Next::On),
                Heard::Away => {
                    self.draft.remove(q.asked);
                    self.keep()?;
                    return Ok(Next::On);
                }
                Heard::Words(line) => {
                    let before = self.draft.clone();
                    match self.draft.put(q.asked, &line) {
                        Ok(found) => {
                            self.warn(&found)?;
                            let doubted = |f: &Finding| {
                                matches!(f.as_fact(), Some(RoomFact::ThinSheets { .. }))
                            };
                            if found.iter().any(doubted) && !self.is_right()? {
                                self.draft = before;
                                continue;
                            }
                            self.keep()?;
                            return Ok(Next::On);
                        }
                        Err(found) => self.warn(&found)?,
                    }
                }
            }
        }
    }

    /// Whether an answer that was doubted is kept.
    fn is_right(&mut self) -> Result<bool, Stop> {
        let heard = self.hear("k keeps it (Enter: type it again)", &["keep"], None)?;
        Ok(
            matches!(heard, Heard::Words(word) if ["k", "keep"].contains(&word.to_lowercase().as_str())),
        )
    }

    /// Asks until something comes that the question itself must understand.
    fn hear(&mut self, prompt: &str, known: &[&str], q: Option<&Question>) -> Result<Heard, Stop> {
        let known: Vec<&str> = known.iter().chain(&COMMANDS).copied().collect();
        loop {
            let line = match self.talk.ask(prompt, &known)? {
                Reply::End => return Ok(Heard::End),
                Reply::Line(line) => line,
            };
            return Ok(match line.trim_matches('`').to_lowercase().as_str() {
                "" | "skip" => Heard::Leave,
                "back" | "<" => Heard::Back,
                "none" => Heard::Away,
                "done" | "quit" | "exit" => Heard::End,
                "help" | "?" => {
                    help(q)?;
                    continue;
                }
                "list" => {
                    self.list()?;
                    continue;
                }
                _ => Heard::Words(line),
            });
        }
    }

    /// Shows every question with its answer.
    fn list(&self) -> Result<(), Stop> {
        let unit = self.draft.unit();
        for (i, q) in questions().iter().enumerate() {
            let answer = self
                .draft
                .given(q.asked)
                .unwrap_or_else(|| format!("– ({} is taken)", q.without(unit)));
            say::text(&format!("  {} {}: {answer}\n", i + 1, q.title))?;
        }
        Ok(())
    }

    /// Says what the reading of the file says of an answer.
    fn warn(&self, found: &[Finding]) -> Result<(), Stop> {
        let reader = Reader::of(self.draft.unit());
        for f in found {
            let message = f.fact.message();
            let mut said = match f.severity {
                Severity::Refusal => text![Part::Begin, message, Part::End],
                Severity::Warning => text!["Is that right? ", text::sentence(message)],
                Severity::Note => text::sentence(message),
            };
            let hint = f.fact.hint();
            if !hint.is_empty() {
                said.push(text![" ", text::sentence(hint)]);
            }
            say::text(&terminal::wrapped(&said, reader, 2, 2))?;
        }
        Ok(())
    }

    fn keep(&self) -> Result<(), Stop> {
        if let Some(path) = &self.path {
            save::whole(path, self.draft.text().as_bytes())?;
            halt::say_then(&format!(
                "stopped; every answer is kept. Go on with it:  layfigure new --workshop {}",
                path.display()
            ));
        }
        Ok(())
    }

    /// The last words. A room without an answer is the usual one, and a file all the same.
    fn end(&self) -> Result<Outcome, Stop> {
        let Some(path) = &self.path else {
            tell("Nothing was kept.")?;
            return Ok(Outcome::Refused);
        };
        self.keep()?;
        let name = path.display();
        say::text(&format!(
            "\n{name} is a workshop file.\n\
             Compare sheets:  layfigure plan SHEET --workshop {name}\n\
             Make the form:   layfigure build SHEET --workshop {name}\n"
        ))?;
        Ok(Outcome::Done)
    }
}

/// The room in a file; a blank one where there is none yet.
fn existing(path: &Path) -> Result<RoomDraft, Stop> {
    let name = path.display().to_string();
    if !path.exists() {
        return Ok(RoomDraft::blank(&name));
    }
    let file = input::read(path, FileKind::Workshop)?;
    Ok(RoomDraft::open(&file.text, &file.name)?)
}

fn help(q: Option<&Question>) -> Result<(), Stop> {
    match q {
        Some(q) => tell(q.help)?,
        None => tell(
            "Letters, digits and spaces. One file serves for every body that is built in that room.",
        )?,
    }
    tell(
        "Enter leaves a question out (or leaves what is kept), `back` goes back, `none` takes an answer away, \
         `list` shows everything, `done` ends.",
    )
}
