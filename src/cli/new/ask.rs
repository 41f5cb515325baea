//! The conversation: the head, how much to ask, then measurement by measurement in the order of
//! taking, each answer looked at and kept at once. At every prompt the same words are understood.

use std::path::{Path, PathBuf};

use layfigure::error::{Finding, Severity};
use layfigure::measure::Measure;
use layfigure::say::terminal;
use layfigure::sheet;
use layfigure::sheet::entry;
use layfigure::sheet::entry::{Depth, Draft, HeadQuestion, Round, ShapeWord};
use layfigure::sheet::{Figure, NOT_SEATED};
use layfigure::text;
use layfigure::text::{Names, Part, Reader, Text};
use layfigure::units::Unit;

use super::talk::{Reply, Talk, sentence, tell, title};
use crate::Outcome;
use crate::Stop;
use crate::halt;
use crate::save;
use crate::say;

/// Words that are understood at every prompt.
const COMMANDS: [&str; 7] = ["back", "skip", "none", "list", "go", "done", "help"];

/// One numbered question.
#[derive(Clone, Copy)]
pub(super) enum Step {
    Reading(&'static Round, Measure),
    Word(&'static ShapeWord),
}

/// What a prompt is about: what `help` explains there.
#[derive(Clone, Copy)]
pub(super) enum Topic {
    Name,
    Head(&'static HeadQuestion),
    Depth,
    Reading(Measure),
    /// An answer of this measurement that was doubted.
    Doubt(Measure),
    Again,
    Word(&'static ShapeWord),
    Closing,
}

/// What was typed at a prompt, the words that are understood everywhere told from the rest.
pub(super) enum Heard {
    Words(String),
    Enter,
    Back,
    Skip,
    /// Take the answer away.
    Away,
    /// To the question at this place.
    Go(usize),
    End,
}

/// What to do after a question.
pub(super) enum Next {
    On,
    Back,
    Go(usize),
    End,
}

/// How a walk through questions ended.
enum Walked {
    Through,
    Back,
    End,
}

pub(super) struct Interview {
    talk: Talk,
    /// The file; nothing before the form has a name.
    path: Option<PathBuf>,
    /// Whether the conversation asks for the name, and names the file after it.
    pub(super) asks_name: bool,
    pub(super) draft: Draft,
    pub(super) figure: Figure,
    pub(super) unit: Unit,
    /// Whether somebody was told what ± means.
    pub(super) told_spread: bool,
    /// The numbered questions, once it is known how much is asked.
    pub(super) steps: Vec<Step>,
}

impl Interview {
    /// A conversation about `draft`, which stands in `file` where it has one. The figure and the unit hold
    /// until the head of the sheet says its own.
    pub(super) fn new(
        talk: Talk,
        file: Option<&Path>,
        draft: Draft,
        figure: Option<Figure>,
        unit: Option<Unit>,
    ) -> Self {
        Self {
            talk,
            path: file.map(Path::to_path_buf),
            asks_name: file.is_none(),
            draft,
            figure: figure.unwrap_or(Figure::Woman),
            unit: unit.unwrap_or(Unit::Cm),
            told_spread: false,
            steps: Vec::new(),
        }
    }

    /// All of it, from the head to the closing words.
    pub(super) fn all(&mut self) -> Result<(), Stop> {
        self.going_on()?;
        let mut from_the_end = false;
        loop {
            if !self.head(from_the_end)? {
                return Ok(());
            }
            from_the_end = true;
            let (Some(figure), Some(unit)) = (self.draft.figure(), self.draft.unit()) else {
                return Ok(());
            };
            (self.figure, self.unit) = (figure, unit);
            if self.draft.count() == 0 {
                self.keep()?;
            }
            match self.measurements()? {
                Walked::Back => {}
                Walked::Through => return self.closing(),
                Walked::End => return Ok(()),
            }
        }
    }

    /// Says what stands in a sheet that is gone on with.
    pub(super) fn going_on(&self) -> Result<(), Stop> {
        let given = self.draft.count();
        match &self.path {
            Some(path) if given > 0 => {
                say::text("\n")?;
                tell(format!(
                    "Going on with {}: {} in it.",
                    path.display(),
                    text::count(given, "measurement")
                ))
            }
            _ => Ok(()),
        }
    }

    /// How much to ask, then all of it; back from its first question comes here again.
    fn measurements(&mut self) -> Result<Walked, Stop> {
        let mut fresh = true;
        loop {
            let depth = match self.depth()? {
                Ok(depth) => depth,
                Err(Walked::Back) => return Ok(Walked::Back),
                Err(_) => return Ok(Walked::End),
            };
            let seated = self.draft.is_seated();
            self.steps = entry::asked(self.figure, depth)
                .into_iter()
                .filter(|(_, m)| !(seated && NOT_SEATED.contains(m)))
                .map(|(round, m)| Step::Reading(round, m))
                .collect();
            if depth > Depth::Few {
                self.steps
                    .extend(entry::shapes(self.figure).map(Step::Word));
            }
            // What was left out before the last answer is not asked again.
            let last = self.steps.iter().rposition(|s| self.stands(s).is_some());
            let whole = (0..self.steps.len()).collect();
            if let Some(i) = last.filter(|i| fresh && i + 1 < self.steps.len()) {
                self.before(i)?;
            }
            fresh = false;
            match self.walk(whole, last.map_or(0, |i| i + 1))? {
                Walked::Back => {}
                Walked::End => return Ok(Walked::End),
                Walked::Through => match self.rest()? {
                    Walked::Back => {}
                    other => return Ok(other),
                },
            }
        }
    }

    /// Says which answer stands before the question to go on with: it may be the slip for which
    /// somebody broke off.
    fn before(&self, i: usize) -> Result<(), Stop> {
        let given = self.stands(&self.steps[i]).unwrap_or_default();
        tell(format!(
            "Kept last: {}: {given}. `back` changes it.",
            self.called(i)
        ))
    }

    /// What a question is called.
    pub(super) fn called(&self, i: usize) -> String {
        match self.steps[i] {
            Step::Reading(_, m) => entry::name(m, self.figure),
            Step::Word(w) => w.title.to_owned(),
        }
    }

    /// The place of the question that `go` names, by its number or by the beginning of its name.
    fn place(&self, named: &str) -> Result<usize, Text> {
        let all = 0..self.steps.len();
        if self.steps.is_empty() {
            return Err(
                "`go` leads to a measurement: these come after the first questions.".into(),
            );
        }
        if let Ok(n) = named.parse::<usize>() {
            let at = n.checked_sub(1).filter(|i| all.contains(i));
            return at.ok_or_else(|| {
                text![
                    "`go` takes a number from 1 to ",
                    all.len(),
                    ", as in `list`."
                ]
            });
        }
        // The hip is its girth, for most.
        let girth = format!("{named} girth");
        if let Some(at) = all
            .clone()
            .find(|i| [named, &girth].contains(&&*self.called(*i)))
        {
            return Ok(at);
        }
        let fits: Vec<usize> = all
            .filter(|i| !named.is_empty() && self.called(*i).starts_with(named))
            .collect();
        match fits.as_slice() {
            [one] => Ok(*one),
            [] => Err(text![
                "`go` takes a number from 1 to ",
                self.steps.len(),
                " or a name, as in `list`: `go bust`."
            ]),
            many => {
                let named = many.iter().map(|i| {
                    let go = text::typed(format!("go {}", i + 1));
                    text![go, " for the ", self.called(*i)]
                });
                Err(text!["Which one? ", Text::joined(named, ", "), "."])
            }
        }
    }

    /// Asks once more for what no form can be made without.
    fn rest(&mut self) -> Result<Walked, Stop> {
        let missing = self.draft.missing();
        let open = |s: &Step| matches!(s, Step::Reading(_, m) if missing.contains(m));
        let queue: Vec<usize> = (0..self.steps.len())
            .filter(|i| open(&self.steps[*i]))
            .collect();
        if queue.is_empty() {
            return Ok(Walked::Through);
        }
        title("every form needs these")?;
        self.walk(queue, 0)
    }

    /// How much to ask.
    fn depth(&mut self) -> Result<Result<Depth, Walked>, Stop> {
        let count = |d| entry::asked(self.figure, d).len();
        let shapes = text::count(entry::shapes(self.figure).count(), "word");
        say::text("\n")?;
        tell(format!(
            "How much is measured? few: {} measurements, the four that every form needs and \
             those that tell most besides; usual: {}, which a helper takes in one sitting, and \
             {shapes} for the shape; all: {}, and the {shapes}.",
            count(Depth::Few),
            count(Depth::Usual),
            count(Depth::All)
        ))?;
        loop {
            let heard = self.hear(
                "few, usual or all (Enter: usual)",
                &["few", "usual", "all"],
                Topic::Depth,
            )?;
            let line = match heard {
                Heard::End => return Ok(Err(Walked::End)),
                Heard::Back => return Ok(Err(Walked::Back)),
                Heard::Enter | Heard::Skip => return Ok(Ok(Depth::Usual)),
                Heard::Words(line) => line.to_lowercase(),
                Heard::Away | Heard::Go(_) => String::new(),
            };
            let word = |w: &str| !line.is_empty() && w.starts_with(&line);
            return Ok(Ok(if word("usual") {
                Depth::Usual
            } else if word("few") {
                Depth::Few
            } else if word("all") {
                Depth::All
            } else {
                tell("Please type few, usual or all.")?;
                continue;
            }));
        }
    }

    /// Asks the questions at these places, from the `at`th of them on.
    fn walk(&mut self, mut queue: Vec<usize>, mut at: usize) -> Result<Walked, Stop> {
        let mut round = "";
        while let Some(&i) = queue.get(at) {
            let next = match self.steps[i] {
                Step::Reading(r, m) => {
                    if r.title != round {
                        title(&format!("- {} -", r.title))?;
                        sentence(entry::ready(r, self.draft.waist()))?;
                        round = r.title;
                    }
                    self.reading(i, m)?
                }
                Step::Word(w) => {
                    if round != "shape" {
                        title("- what a fitter sees -")?;
                        tell("Words for what you did not measure; Enter where you are not sure.")?;
                        round = "shape";
                    }
                    self.word(i, w)?
                }
            };
            match next {
                Next::On => at += 1,
                Next::Back if at == 0 => return Ok(Walked::Back),
                Next::Back => at -= 1,
                Next::Go(to) => {
                    queue = (0..self.steps.len()).collect();
                    at = to;
                }
                Next::End => return Ok(Walked::End),
            }
        }
        Ok(Walked::Through)
    }

    /// Asks for one measurement beyond those that were asked. Whether the person wants to go on.
    pub(super) fn one_more(&mut self, step: Step) -> Result<bool, Stop> {
        let same = |s: &Step| match (s, &step) {
            (Step::Reading(_, a), Step::Reading(_, b)) => a == b,
            (Step::Word(a), Step::Word(b)) => a == b,
            _ => false,
        };
        let at = self.steps.iter().position(same).unwrap_or_else(|| {
            self.steps.push(step);
            self.steps.len() - 1
        });
        Ok(!matches!(self.walk(vec![at], 0)?, Walked::End))
    }

    /// What stands in the sheet for a step.
    pub(super) fn stands(&self, step: &Step) -> Option<String> {
        match step {
            Step::Reading(_, m) => self.draft.given(*m),
            Step::Word(w) => self.draft.shape(w.key),
        }
    }

    pub(super) fn path(&self) -> Option<&Path> {
        self.path.as_deref()
    }

    /// Keeps the sheet in another file from now on.
    pub(super) fn move_to(&mut self, path: PathBuf, draft: Draft) {
        self.path = Some(path);
        self.draft = draft;
    }

    pub(super) fn keep(&self) -> Result<(), Stop> {
        if let Some(path) = &self.path {
            save::whole(path, self.draft.text().as_bytes())?;
            halt::say_then(&format!(
                "stopped; every answer is kept. Go on with it:  layfigure new {}",
                path.display()
            ));
        }
        Ok(())
    }

    /// Asks until something comes that the question itself must understand: `help` and `list`, and a
    /// `go` that leads nowhere, are answered here.
    pub(super) fn hear(
        &mut self,
        prompt: &str,
        known: &[&str],
        topic: Topic,
    ) -> Result<Heard, Stop> {
        let known: Vec<&str> = known.iter().chain(&COMMANDS).copied().collect();
        let mut waiting: Option<Reply> = None;
        loop {
            let reply = match waiting.take() {
                Some(reply) => reply,
                None => self.talk.ask(prompt, &known)?,
            };
            let line = match reply {
                Reply::End => return Ok(Heard::End),
                Reply::Line(line) => line,
            };
            // Somebody may type a word as it is printed, in its backticks.
            let lower = line.trim_matches('`').to_lowercase();
            return Ok(match lower.as_str() {
                "" => Heard::Enter,
                "back" | "<" => Heard::Back,
                "skip" => Heard::Skip,
                "none" => Heard::Away,
                "done" | "quit" | "exit" => Heard::End,
                "help" | "?" => {
                    self.help(topic)?;
                    continue;
                }
                "list" => {
                    waiting = self.list()?;
                    continue;
                }
                _ if lower == "go" || lower.starts_with("go ") => {
                    match self.place(lower[2..].trim()) {
                        Ok(at) => Heard::Go(at),
                        Err(why) => {
                            tell(why)?;
                            continue;
                        }
                    }
                }
                _ => Heard::Words(line),
            });
        }
    }

    /// Waits while a long list is read; what is typed instead of Enter.
    pub(super) fn pause(&mut self) -> Result<Option<Reply>, Stop> {
        match self.talk.ask("  Enter: the rest of the list", &COMMANDS)? {
            Reply::Line(line) if line.is_empty() => Ok(None),
            other => Ok(Some(other)),
        }
    }

    pub(super) fn rows(&mut self) -> Option<usize> {
        self.talk.rows()
    }

    /// The last words, and how the program ends: the sheet can be used, or it is not finished.
    pub(super) fn end(&self) -> Result<Outcome, Stop> {
        let Some(path) = self.path.as_ref().filter(|p| p.exists()) else {
            tell("Nothing was kept.")?;
            return Ok(Outcome::Refused);
        };
        let name = path.display();
        say::text("\n")?;
        match sheet::read(&self.draft.text(), self.draft.file()) {
            Ok(_) => {
                say::text(&format!(
                    "{name} holds {}.\n\
                     Look at it:     layfigure check {name}\n\
                     Make the form:  layfigure build {name}\n",
                    text::count(self.draft.count(), "measurement")
                ))?;
                Ok(Outcome::Done)
            }
            Err(_) => {
                let lacks = unfinished(&self.draft, self.figure);
                let lacks = text![name.to_string(), " is not finished: ", lacks, "."];
                let lacks = terminal::wrapped(&lacks, Reader::default(), 0, 2);
                say::text(&format!("{lacks}Go on with it:  layfigure new {name}\n"))?;
                Ok(Outcome::Refused)
            }
        }
    }
}

/// Why a sheet cannot be used yet.
fn unfinished(draft: &Draft, figure: Figure) -> Text {
    let missing = draft.missing().into_iter();
    let missing: Vec<String> = missing.map(|m| entry::name(m, figure)).collect();
    if missing.is_empty() {
        "it contradicts itself, `layfigure check` says where".into()
    } else {
        text!["it lacks ", missing.join(", ")]
    }
}

/// The question for a measurement.
pub(super) fn step(m: Measure) -> Option<Step> {
    let round = entry::ROUNDS.iter().find(|r| r.measures.contains(&m))?;
    Some(Step::Reading(round, m))
}

/// Says findings in the conversation, where a measurement has its name and not its key.
pub(super) fn warn(found: &[Finding], figure: Figure) -> Result<(), Stop> {
    for f in found {
        let mut f = f.clone();
        f.reader.figure = figure;
        f.reader.names = Names::Spoken;
        let message = f.told();
        let mut said = match f.severity {
            Severity::Refusal => text!["This cannot be: ", message, Part::End],
            Severity::Warning => text!["Is that right? ", text::sentence(message)],
            Severity::Note => text::sentence(message),
        };
        let hint = f.fact.hint();
        if !hint.is_empty() {
            said.push(text![" ", text::sentence(hint)]);
        }
        say::text(&terminal::wrapped(&said, f.reader, 2, 2))?;
    }
    Ok(())
}
