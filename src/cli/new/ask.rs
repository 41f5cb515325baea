//! The conversation: measurement by measurement in the order of taking, each answer looked at and
//! kept at once.

use std::path::{Path, PathBuf};

use layfigure::Severity;
use layfigure::error::Finding;
use layfigure::measure::{Kind, Measure};
use layfigure::report::words;
use layfigure::sheet;
use layfigure::sheet::Figure;
use layfigure::sheet::entry;
use layfigure::sheet::entry::{Answer, Depth, Draft, ROUNDS, Round, ShapeWord};
use layfigure::units;
use layfigure::units::Unit;

use super::head;
use super::talk::{Reply, Talk, closed, finished, sentence, tell, title};
use crate::Outcome;
use crate::Stop;
use crate::save;
use crate::say;

/// Words that are understood instead of a reading.
const COMMANDS: [&str; 7] = ["back", "skip", "none", "list", "go", "done", "help"];

/// One question.
#[derive(Clone, Copy)]
pub(super) enum Step {
    Reading(&'static Round, Measure),
    Word(&'static ShapeWord),
}

/// What to do after a question.
enum Next {
    On,
    Back,
    Go(usize),
    End,
}

pub(super) struct Interview {
    pub(super) talk: Talk,
    path: PathBuf,
    pub(super) draft: Draft,
    pub(super) figure: Figure,
    pub(super) unit: Unit,
}

pub(super) fn run(
    file: Option<&Path>,
    figure: Option<Figure>,
    unit: Option<Unit>,
) -> Result<Outcome, Stop> {
    let mut talk = Talk::new()?;
    tell(
        "Enter leaves a question out, `back` goes back, `help` says more, `list` shows everything, \
         `done` ends. Every answer is kept at once: stop whenever you like and go on later.",
    )?;
    say::text("\n")?;
    let Some((path, mut draft)) = head::open(&mut talk, file)? else {
        return Ok(Outcome::Refused);
    };
    let given = draft.count();
    if given > 0 {
        tell(&format!(
            "Going on with {}: {} in it.",
            path.display(),
            words::count(given, "measurement")
        ))?;
    }
    let whole = head::fill(&mut talk, &path, &mut draft, figure, unit)?;
    let (true, Some(figure), Some(unit)) = (whole, draft.figure(), draft.unit()) else {
        return end(&path, &draft);
    };
    if given == 0 {
        save::whole(&path, draft.text().as_bytes())?;
    }
    let mut interview = Interview {
        talk,
        path,
        draft,
        figure,
        unit,
    };
    interview.all()?;
    end(&interview.path, &interview.draft)
}

/// The last words, and how the program ends: the sheet can be used, or it is not finished.
fn end(path: &Path, draft: &Draft) -> Result<Outcome, Stop> {
    if !path.exists() {
        tell("Nothing was kept.")?;
        return Ok(Outcome::Refused);
    }
    let name = path.display();
    say::text("\n")?;
    match sheet::read(&draft.text(), draft.file()) {
        Ok(_) => {
            say::text(&format!(
                "{name} holds {}.\n\
                 Look at it:     layfigure check {name}\n\
                 Make the form:  layfigure build {name}\n",
                words::count(draft.count(), "measurement")
            ))?;
            Ok(Outcome::Done)
        }
        Err(_) => {
            say::text(&format!(
                "{name} is not finished: {}.\n\
                 Go on with it:  layfigure new {name}\n",
                unfinished(draft)
            ))?;
            Ok(Outcome::Refused)
        }
    }
}

/// Why a sheet cannot be used yet.
fn unfinished(draft: &Draft) -> String {
    let missing: Vec<&str> = draft.missing().iter().map(|m| m.title()).collect();
    if missing.is_empty() {
        "it contradicts itself, `layfigure check` says where".to_owned()
    } else {
        format!("it lacks {}", missing.join(", "))
    }
}

impl Interview {
    fn all(&mut self) -> Result<(), Stop> {
        let Some(depth) = self.depth()? else {
            return Ok(());
        };
        let mut steps: Vec<Step> = entry::asked(self.figure, depth)
            .into_iter()
            .map(|(round, m)| Step::Reading(round, m))
            .collect();
        if depth > Depth::Few {
            steps.extend(entry::shapes(self.figure).map(Step::Word));
        }
        // What was left out before the last answer is not asked again.
        let last = steps.iter().rposition(|s| self.stands(s).is_some());
        if !self.walk(&steps, last.map_or(0, |i| i + 1))? {
            return Ok(());
        }
        let missing: Vec<Step> = self.draft.missing().into_iter().filter_map(step).collect();
        if !missing.is_empty() {
            title("without these no form can be made")?;
            if !self.walk(&missing, 0)? {
                return Ok(());
            }
        }
        self.closing()
    }

    /// How much to ask.
    fn depth(&mut self) -> Result<Option<Depth>, Stop> {
        let count = |d| entry::asked(self.figure, d).len();
        tell(&format!(
            "How much is measured? few: {} measurements, the least a form needs; usual: {}, which a \
             helper takes in one sitting; all: {}.",
            count(Depth::Few),
            count(Depth::Usual),
            count(Depth::All)
        ))?;
        loop {
            let line = match self.talk.ask(
                "few, usual or all (Enter: usual)",
                "",
                &["few", "usual", "all"],
            )? {
                Reply::End => return Ok(None),
                Reply::Line(line) => line.to_lowercase(),
            };
            let word = |w: &str| w.starts_with(&line);
            return Ok(Some(if word("usual") {
                Depth::Usual
            } else if word("few") {
                Depth::Few
            } else if word("all") {
                Depth::All
            } else if ["done", "quit"].contains(&line.as_str()) {
                return Ok(None);
            } else if line == "back" {
                tell("What was answered before stands at the top of the sheet: change it there.")?;
                continue;
            } else {
                tell("Please type few, usual or all.")?;
                continue;
            }));
        }
    }

    /// Asks from step `i` on. Whether the person wants to go on afterwards.
    pub(super) fn walk(&mut self, steps: &[Step], mut i: usize) -> Result<bool, Stop> {
        let mut round = "";
        while let Some(step) = steps.get(i) {
            let next = match step {
                Step::Reading(r, m) => {
                    if r.title != round {
                        title(&format!("- {} -", r.title))?;
                        sentence(r.ready)?;
                        round = r.title;
                    }
                    self.reading(steps, i, *m)?
                }
                Step::Word(w) => {
                    if round != "shape" {
                        title("- what a fitter sees -")?;
                        tell("Words for what nobody measured; Enter where you are not sure.")?;
                        round = "shape";
                    }
                    self.word(steps, w)?
                }
            };
            match next {
                Next::On => i += 1,
                Next::Back if i == 0 => tell("This is the first question.")?,
                Next::Back => i -= 1,
                Next::Go(to) => i = to,
                Next::End => return Ok(false),
            }
        }
        Ok(true)
    }

    /// What stands in the sheet for a step.
    pub(super) fn stands(&self, step: &Step) -> Option<String> {
        match step {
            Step::Reading(_, m) => self.draft.given(*m),
            Step::Word(w) => self.draft.shape(w.key),
        }
    }

    fn keep(&self) -> Result<(), Stop> {
        save::whole(&self.path, self.draft.text().as_bytes())?;
        Ok(())
    }

    /// Asks for one measurement.
    fn reading(&mut self, steps: &[Step], i: usize, m: Measure) -> Result<Next, Stop> {
        let info = m.info();
        let name = entry::name(m, self.figure);
        title(&format!("[{} of {}] {name}", i + 1, steps.len()))?;
        sentence(info.definition)?;
        sentence(&format!("{}; {}", info.how, info.who.words()))?;
        if let Some(given) = self.draft.given(m) {
            tell(&format!(
                "Kept: {given}. Enter leaves it, `none` takes it away."
            ))?;
        }
        let unit = match m.kind() {
            Kind::Slope => "degrees, or the drop with its unit",
            _ => self.unit.name(),
        };
        let prompt = format!("{name}, {unit}");
        let mut typed = String::new();
        loop {
            let line = match self.talk.ask(&prompt, &typed, &COMMANDS)? {
                Reply::End => return Ok(Next::End),
                Reply::Line(line) => line,
            };
            if let Some(next) = self.command(&line, steps, Some(m))? {
                return Ok(next);
            }
            let lower = line.to_lowercase();
            if lower.is_empty() {
                return Ok(Next::On);
            }
            if lower == "none" {
                self.draft.remove(m);
                self.keep()?;
                tell("Taken away.")?;
                return Ok(Next::On);
            }
            if ["help", "?", "list"].contains(&lower.as_str()) || lower.starts_with("go ") {
                continue;
            }
            let answer = match entry::parse(&line, m, self.unit) {
                Ok(answer) => answer,
                Err(why) => {
                    tell(&format!("{}: {}.", why.message, why.hint))?;
                    // A reading is mended where it stands; what is none is typed anew.
                    let begun = line.starts_with(|c: char| c.is_ascii_digit());
                    let again = units::decimal_comma(&line).unwrap_or(line);
                    typed = if begun { again } else { String::new() };
                    continue;
                }
            };
            let (impossible, found) = self.draft.judge(m, &answer);
            warn(&found)?;
            if impossible {
                typed = line;
                continue;
            }
            let (answer, ended) = if found.is_empty() {
                self.again(m, answer)?
            } else {
                match self.insist(m)? {
                    Insisted::Keep => (Some(answer), false),
                    Insisted::Retype => (None, false),
                    Insisted::End => return Ok(Next::End),
                }
            };
            let Some(answer) = answer else {
                typed = line;
                continue;
            };
            self.draft.put(m, &answer);
            self.keep()?;
            if ended {
                return Ok(Next::End);
            }
            if !answer.is_single() || answer.sides().any(|(_, t)| t.iter().any(|t| !t.bare)) {
                tell(&format!(
                    "Kept: {} ({}).",
                    self.draft.given(m).unwrap_or_default(),
                    self.unit.plural()
                ))?;
            }
            return Ok(Next::On);
        }
    }

    /// After something odd was said: is it to be kept all the same?
    fn insist(&mut self, m: Measure) -> Result<Insisted, Stop> {
        let prompt = format!(
            "keep the {} as it is, yes or no",
            entry::name(m, self.figure)
        );
        loop {
            match self.talk.ask(&prompt, "", &["yes", "no"])? {
                Reply::End => return Ok(Insisted::End),
                Reply::Line(line) => match line.to_lowercase().chars().next() {
                    Some('y') => return Ok(Insisted::Keep),
                    Some('n') => return Ok(Insisted::Retype),
                    _ => tell("Please type yes or no; with no, you can type it again.")?,
                },
            }
        }
    }

    /// Asks for a second reading of what was read once, and for a third where the two are far apart.
    /// Nothing where it is to be typed anew; then whether the person wants to stop there.
    fn again(&mut self, m: Measure, first: Answer) -> Result<(Option<Answer>, bool), Stop> {
        let mut answer = first;
        let mut prompt = "  once more, tape off in between (Enter: once is enough)".to_owned();
        let mut tries = 1;
        loop {
            if let Some(apart) = answer.apart(m) {
                tell(&format!(
                    "The nearest two readings are {} apart; two tries of practised hands are within \
                     about {} (common practice).",
                    self.show(m, apart),
                    self.show(m, m.info().repeat)
                ))?;
                prompt = "  a third time, the middle one then counts (Enter: keep both)".to_owned();
            } else if !answer.is_single() || tries > 1 {
                return Ok((Some(answer), false));
            }
            if tries == 3 {
                return Ok((Some(answer), false));
            }
            let line = match self.talk.ask(&prompt, "", &[])? {
                Reply::End => return Ok((Some(answer), true)),
                Reply::Line(line) if line.is_empty() => return Ok((Some(answer), false)),
                Reply::Line(line) if line.eq_ignore_ascii_case("back") => return Ok((None, false)),
                Reply::Line(line) => line,
            };
            match entry::parse(&line, m, self.unit) {
                Ok(more) => match answer.joined(&more) {
                    Some(joined) => {
                        let (_, found) = self.draft.judge(m, &joined);
                        warn(&found)?;
                        if !found.is_empty() {
                            tell("The second reading brings this: type it again, or Enter.")?;
                            continue;
                        }
                        answer = joined;
                        tries += 1;
                    }
                    None => tell("Type left and right again, or neither: `left 13 right 13.4`.")?,
                },
                Err(why) => tell(&format!("{}: {}.", why.message, why.hint))?,
            }
        }
    }

    /// A difference or a repeat error as the person reads it.
    fn show(&self, m: Measure, v: f64) -> String {
        if m.kind() == Kind::Slope {
            units::show_degrees(v)
        } else {
            self.unit.show(v)
        }
    }

    /// Asks for one word of the shape.
    fn word(&mut self, steps: &[Step], w: &ShapeWord) -> Result<Next, Stop> {
        let choice = w.words.join(", ");
        let kept = self.draft.shape(w.key);
        let prompt = match &kept {
            Some(word) => format!("{} {choice} (Enter: {word})", w.question),
            None => format!("{} {choice}", w.question),
        };
        loop {
            let known: Vec<&str> = w.words.iter().chain(&COMMANDS).copied().collect();
            let line = match self.talk.ask(&prompt, "", &known)? {
                Reply::End => return Ok(Next::End),
                Reply::Line(line) => line.to_lowercase(),
            };
            if let Some(next) = self.command(&line, steps, None)? {
                return Ok(next);
            }
            if line == "none" {
                self.draft.set_shape(w.key, None);
            } else if line.is_empty() {
                return Ok(Next::On);
            } else if let Some(word) = w.words.iter().find(|x| x.starts_with(&line)) {
                self.draft.set_shape(w.key, Some(word));
            } else {
                if !["help", "?", "list"].contains(&line.as_str()) && !line.starts_with("go ") {
                    tell(&format!("Please type one of {choice}, or Enter."))?;
                }
                continue;
            }
            self.keep()?;
            return Ok(Next::On);
        }
    }

    /// Understands what is no reading. Nothing if the same question is to be asked again, or the
    /// line is an answer.
    fn command(
        &mut self,
        line: &str,
        steps: &[Step],
        m: Option<Measure>,
    ) -> Result<Option<Next>, Stop> {
        let line = line.to_lowercase();
        match line.as_str() {
            "back" | "<" => return Ok(Some(Next::Back)),
            "skip" => return Ok(Some(Next::On)),
            "done" | "quit" | "exit" => return Ok(Some(Next::End)),
            "help" | "?" => self.help(m)?,
            "list" => self.list(steps)?,
            _ => {
                if let Some(to) = line.strip_prefix("go ") {
                    match to.trim().parse::<usize>() {
                        Ok(n) if (1..=steps.len()).contains(&n) => {
                            return Ok(Some(Next::Go(n - 1)));
                        }
                        _ => tell(&format!(
                            "`go` takes a number from 1 to {}, as in `list`.",
                            steps.len()
                        ))?,
                    }
                }
            }
        }
        Ok(None)
    }
}

/// How somebody answered a doubt.
enum Insisted {
    Keep,
    Retype,
    End,
}

/// The question for a measurement.
pub(super) fn step(m: Measure) -> Option<Step> {
    let round = ROUNDS.iter().find(|r| r.measures.contains(&m))?;
    Some(Step::Reading(round, m))
}

/// Says findings in the conversation.
pub(super) fn warn(found: &[Finding]) -> Result<(), Stop> {
    for f in found {
        let grave = match f.severity {
            Severity::Refusal => "This cannot be: ",
            Severity::Warning => "Is that right? ",
            Severity::Note => "",
        };
        let said = if grave.is_empty() {
            finished(&f.message)
        } else {
            format!("{grave}{}", closed(&f.message))
        };
        tell(&format!("{said} {}", finished(&f.hint)))?;
    }
    Ok(())
}
