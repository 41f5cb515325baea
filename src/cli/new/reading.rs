//! One question of the conversation: a measurement, read twice where it is not given up, or a word
//! for the shape.

use layfigure::fact;
use layfigure::measure::{Kind, Measure};
use layfigure::sheet::entry;
use layfigure::sheet::entry::{Answer, Need, ShapeWord, Try};
use layfigure::units;
use layfigure::units::Unit;

use super::ask::{Heard, Interview, Next, Topic, warn};
use super::talk::{sentence, tell, title};
use crate::Stop;

/// Readings of one measurement that are asked for at most.
const MOST_TRIES: usize = 3;

/// What a second reading brought.
enum Again {
    /// These readings, and what comes next.
    Kept(Answer, Next),
    /// The measurement is typed again.
    Anew,
    /// The measurement is taken away.
    Away,
}

/// A shoulder that slopes less than this is flatter than those of nearly everybody: what was typed may be the drop.
/// Our choice, from the range of the slope in the surveys.
const FLAT_DEG: f64 = 10.0;

/// Whether one bare number was typed for a slope, which is small for degrees.
fn is_flat(m: Measure, answer: &Answer) -> bool {
    let mut tries = answer.sides().flat_map(|(_, tries)| tries);
    let flat = |t: &Try| t.bare && t.value < units::radians(FLAT_DEG);
    m.kind() == Kind::Slope && answer.both.len() == 1 && tries.all(flat)
}

impl Interview {
    /// Asks for one measurement.
    pub(super) fn reading(&mut self, i: usize, m: Measure) -> Result<Next, Stop> {
        let prompt = self.introduce(i, m)?;
        // An answer that was doubted and is not kept yet.
        let mut doubted: Option<Answer> = None;
        loop {
            let heard = match &doubted {
                None => self.hear(&prompt, &[], Topic::Reading(m))?,
                Some(answer) => {
                    let shown = answer.shown(self.unit);
                    let ask = format!("k keeps {shown}, or type the right number");
                    self.hear(&ask, &["keep"], Topic::Doubt(m))?
                }
            };
            match (&heard, &doubted) {
                // Whoever looks at another answer first comes back to this one, or finds it doubted again.
                (Heard::Go(_), Some(answer)) => {
                    tell(format!("Kept: {}.", answer.shown(self.unit)))?;
                    self.draft.put(m, answer);
                    self.keep()?;
                }
                (Heard::End | Heard::Skip, Some(answer)) => {
                    tell(format!("Not kept: {}.", answer.shown(self.unit)))?;
                }
                _ => {}
            }
            let line = match (heard, &doubted) {
                (Heard::End, _) => return Ok(Next::End),
                (Heard::Back, None) => return Ok(Next::Back),
                // Anyone who mistyped goes back to the number, not to the question before it.
                (Heard::Back, Some(_)) => {
                    doubted = None;
                    continue;
                }
                (Heard::Go(to), _) => return Ok(Next::Go(to)),
                (Heard::Skip, _) | (Heard::Enter, None) => return Ok(Next::On),
                (Heard::Away, _) => {
                    self.draft.remove(m);
                    self.keep()?;
                    tell("Taken away.")?;
                    return Ok(Next::On);
                }
                (Heard::Enter, Some(_)) => {
                    tell("k keeps it, a number replaces it, `skip` leaves the question out.")?;
                    continue;
                }
                (Heard::Words(line), Some(answer)) => match line.to_lowercase().as_str() {
                    "k" | "keep" => {
                        let answer = answer.clone();
                        tell(format!("Kept: {}.", answer.shown(self.unit)))?;
                        self.draft.put(m, &answer);
                        self.keep()?;
                        return Ok(Next::On);
                    }
                    "yes" | "no" | "y" | "n" => {
                        tell(
                            "Yes and no could mean either here: k keeps it, a number replaces it.",
                        )?;
                        continue;
                    }
                    _ => line,
                },
                (Heard::Words(line), None) => line,
            };
            let mut answer = match entry::parse(&line, m, self.unit) {
                Ok(answer) => answer,
                Err(why) => {
                    sentence(fact::told(&why, ": "))?;
                    continue;
                }
            };
            if is_flat(m, &answer) {
                match self.degrees_or_drop(&line, m)? {
                    Ok(true) => {}
                    Ok(false) => {
                        match entry::parse(&format!("{line} {}", self.unit.name()), m, self.unit) {
                            Ok(drop) => answer = drop,
                            Err(why) => {
                                sentence(fact::told(&why, ": "))?;
                                continue;
                            }
                        }
                    }
                    Err(next) => return Ok(next),
                }
            }
            self.echo(&line, &answer)?;
            // What two readings far apart come to is nobody's girth: it need not be judged.
            let slip = answer.slip(m).is_some();
            let (impossible, found) = if slip {
                (false, Vec::new())
            } else {
                self.draft.judge(m, &answer)
            };
            warn(&found, self.figure)?;
            if impossible {
                doubted = None;
            } else if found.is_empty() {
                match self.again(m, answer)? {
                    Again::Kept(answer, next) => return self.take(m, &answer, next),
                    Again::Anew => doubted = None,
                    Again::Away => {
                        self.draft.remove(m);
                        self.keep()?;
                        tell("Taken away.")?;
                        return Ok(Next::On);
                    }
                }
            } else {
                doubted = Some(answer);
            }
        }
    }

    /// Whether a bare number that is small for a slope means degrees; otherwise it is the drop. What comes
    /// next, where neither was said.
    fn degrees_or_drop(&mut self, line: &str, m: Measure) -> Result<Result<bool, Next>, Stop> {
        let unit = self.unit.name();
        let ask = format!("{line} degrees, or {line} {unit} of drop? degrees or {unit}");
        loop {
            match self.hear(&ask, &["degrees", unit], Topic::Reading(m))? {
                Heard::End => return Ok(Err(Next::End)),
                Heard::Back => return Ok(Err(Next::Back)),
                Heard::Go(to) => return Ok(Err(Next::Go(to))),
                Heard::Skip | Heard::Away => return Ok(Err(Next::On)),
                Heard::Enter => {}
                Heard::Words(words) => {
                    let words = words.to_lowercase();
                    if "degrees".starts_with(&words) {
                        return Ok(Ok(true));
                    }
                    if Unit::from_name(&words) == Some(self.unit) {
                        return Ok(Ok(false));
                    }
                }
            }
            tell(format!("Please type degrees or {unit}."))?;
        }
    }

    /// Says what the measurement is and how it is taken; the prompt.
    fn introduce(&self, i: usize, m: Measure) -> Result<String, Stop> {
        let name = entry::name(m, self.figure);
        let waist = self.draft.waist();
        title(&format!("[{} of {}] {name}", i + 1, self.steps.len()))?;
        match entry::needed(m) {
            Need::No => {}
            Need::Always => tell("Every form needs it.")?,
            Need::Unless(other) => tell(format!(
                "Every form needs it or the {}.",
                entry::name(other, self.figure)
            ))?,
        }
        sentence(entry::definition(m, self.figure, waist))?;
        let how = entry::how(m, self.figure, waist);
        sentence(format!("{how}; {}", m.info().who.words()))?;
        if let Some(given) = self.draft.given(m) {
            tell(format!(
                "Kept: {given}. Enter leaves it, `none` takes it away."
            ))?;
        }
        let unit = match m.kind() {
            Kind::Slope => "degrees, or the drop with its unit",
            _ => self.unit.name(),
        };
        Ok(format!("{name}, {unit}"))
    }

    /// Says how an answer was read, where that is not how it was typed: `39,5` or `5 ft 5`.
    fn echo(&self, line: &str, answer: &Answer) -> Result<(), Stop> {
        let mut tries = answer.sides().flat_map(|(_, tries)| tries);
        let unspaced = |s: &str| s.split_whitespace().collect::<String>();
        let typed = unspaced(line);
        if tries.any(|t| !typed.contains(&unspaced(&t.words))) {
            tell(format!("Read as {}.", answer.shown(self.unit)))?;
        }
        Ok(())
    }

    /// Writes an answer, and says what it came to where that is not what was typed.
    fn take(&mut self, m: Measure, answer: &Answer, next: Next) -> Result<Next, Stop> {
        self.draft.put(m, answer);
        self.keep()?;
        let typed = answer.sides().flat_map(|(_, tries)| tries).all(|t| t.bare);
        if !(answer.is_single() && typed) {
            let given = self.draft.given(m).unwrap_or_default();
            let unit = match m.kind() {
                Kind::Slope => "degrees",
                _ => self.unit.plural(),
            };
            if self.draft.names_its_unit(m) {
                tell(format!("Kept: {given}."))?;
            } else {
                tell(format!("Kept: {given} ({unit})."))?;
            }
            if answer.is_spread() && !self.told_spread {
                self.told_spread = true;
                tell("± is half of what the readings differ by: the form lies between them.")?;
            }
        }
        Ok(next)
    }

    /// Asks for a second reading of what was read once, and for a third where the two are far apart.
    fn again(&mut self, m: Measure, first: Answer) -> Result<Again, Stop> {
        let mut answer = first;
        let tool = if m.kind() == Kind::Slope {
            "gauge"
        } else {
            "tape"
        };
        let second = format!("  once more, {tool} off in between (Enter: once is enough)");
        let mut prompt = second.clone();
        // What stood before each further reading.
        let mut before: Vec<Answer> = Vec::new();
        let mut tries = 1;
        let mut told = false;
        // Readings that were doubted together and are not kept yet.
        let mut doubted: Option<Answer> = None;
        loop {
            let slip = answer.slip(m);
            if doubted.is_none() {
                if let Some(apart) = slip {
                    if !told {
                        tell(format!(
                            "{} are {} apart: one of them is a slip, or another measurement.",
                            answer.shown(self.unit),
                            self.show(m, apart)
                        ))?;
                    }
                    told = true;
                    "  a third time, the middle one then counts (k keeps both)"
                        .clone_into(&mut prompt);
                } else if let Some(apart) = self.apart(m, &answer) {
                    tell(format!(
                        "The nearest two readings are {} apart; two tries of practised hands are \
                         within about {} (common practice).",
                        self.show(m, apart),
                        self.show(m, m.info().repeat)
                    ))?;
                    "  a third time, the middle one then counts (Enter: keep both)"
                        .clone_into(&mut prompt);
                } else if !answer.is_single() || tries > 1 {
                    return Ok(Again::Kept(answer, Next::On));
                }
                if tries == MOST_TRIES {
                    return Ok(Again::Kept(answer, Next::On));
                }
            }
            let heard = match &doubted {
                None => self.hear(&prompt, &[], Topic::Again)?,
                Some(_) => {
                    let ask = "k keeps it too, or type it again (Enter: without)";
                    self.hear(ask, &["keep"], Topic::Doubt(m))?
                }
            };
            let line = match heard {
                Heard::End => return Ok(Again::Kept(answer, Next::End)),
                Heard::Enter if doubted.is_none() && slip.is_some() => {
                    tell("A third reading decides; k keeps both, `back` takes the second again.")?;
                    continue;
                }
                Heard::Enter | Heard::Skip => return Ok(Again::Kept(answer, Next::On)),
                Heard::Go(to) => return Ok(Again::Kept(answer, Next::Go(to))),
                // Anyone who mistyped the second goes back to the second: the first stays.
                Heard::Back if doubted.is_some() => {
                    doubted = None;
                    continue;
                }
                // Back from a third reading: the second is taken again, and the first stays.
                Heard::Back if !before.is_empty() => {
                    answer = before.pop().unwrap_or(answer);
                    tries = before.len() + 1;
                    told = false;
                    prompt.clone_from(&second);
                    continue;
                }
                Heard::Back => return Ok(Again::Anew),
                Heard::Away => return Ok(Again::Away),
                Heard::Words(line) => line,
            };
            if ["k", "keep"].contains(&line.to_lowercase().as_str()) {
                return Ok(Again::Kept(doubted.unwrap_or(answer), Next::On));
            }
            match entry::parse(&line, m, self.unit) {
                Ok(more) => match answer.joined(&more) {
                    Some(joined) => {
                        self.echo(&line, &more)?;
                        let (impossible, found) = if joined.slip(m).is_some() {
                            (false, Vec::new())
                        } else {
                            self.draft.judge(m, &joined)
                        };
                        warn(&found, self.figure)?;
                        if found.is_empty() {
                            before.push(std::mem::replace(&mut answer, joined));
                            tries += 1;
                            doubted = None;
                        } else {
                            doubted = (!impossible).then_some(joined);
                        }
                    }
                    None => tell("Type left and right again, or neither: `left 13 right 13.4`.")?,
                },
                Err(why) => sentence(fact::told(&why, ": "))?,
            }
        }
    }

    /// How far readings are too far apart, where it also reads as more than it should be.
    fn apart(&self, m: Measure, answer: &Answer) -> Option<f64> {
        let usual = self.show(m, m.info().repeat);
        answer.apart(m).filter(|gap| self.show(m, *gap) != usual)
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
    pub(super) fn word(&mut self, i: usize, w: &'static ShapeWord) -> Result<Next, Stop> {
        let words = w.choice(self.figure);
        let choice = words.join(", ");
        title(&format!("[{} of {}] {}", i + 1, self.steps.len(), w.title))?;
        let kept = match self.draft.shape(w.key) {
            Some(word) => format!(" (Enter: {word})"),
            None => String::new(),
        };
        let prompt = format!("{} {choice}{kept}", w.question);
        loop {
            let line = match self.hear(&prompt, &words, Topic::Word(w))? {
                Heard::End => return Ok(Next::End),
                Heard::Back => return Ok(Next::Back),
                Heard::Go(to) => return Ok(Next::Go(to)),
                Heard::Enter | Heard::Skip => return Ok(Next::On),
                Heard::Away => {
                    self.draft.set_shape(w.key, None);
                    self.keep()?;
                    return Ok(Next::On);
                }
                Heard::Words(line) => line.to_lowercase(),
            };
            let mut fits = words.iter().filter(|x| x.starts_with(&line));
            match (fits.next(), fits.next()) {
                (Some(word), None) => {
                    self.draft.set_shape(w.key, Some(word));
                    self.keep()?;
                    return Ok(Next::On);
                }
                _ => tell(format!("Please type one of {choice}, or Enter."))?,
            }
        }
    }
}
