//! What `help` and `list` say, and how the conversation closes: the fit, and what to measure next.

use layfigure::form;
use layfigure::measure::{Kind, Measure};
use layfigure::say::terminal;
use layfigure::sheet;
use layfigure::sheet::entry;
use layfigure::text;
use layfigure::text::Reader;
use layfigure::workshop::Workshop;

use super::ask::{Heard, Interview, Step, Topic, step, warn};
use super::talk::{Reply, sentence, tell, title};
use crate::Stop;
use crate::say;

/// Columns of a list side by side, and how wide each is.
const COLUMNS: usize = 2;
const COLUMN: usize = 39;
/// Lines of the window that a list leaves for the prompt below it.
const PROMPT: usize = 3;

impl Interview {
    /// Explains the question that is open, then the words that are understood everywhere.
    pub(super) fn help(&self, topic: Topic) -> Result<(), Stop> {
        match topic {
            Topic::Name => tell(
                "k goes on with the sheet that is there; another name begins a sheet of its own.",
            )?,
            Topic::Head(q) => tell(q.help)?,
            Topic::Depth => tell(
                "Enter takes the usual ones. What is left out is estimated, with a plus-or-minus; \
                 more can be measured at any time, `layfigure new` and the name of the file asks on.",
            )?,
            Topic::Reading(m) => self.help_reading(m)?,
            Topic::Doubt(m) => {
                tell(
                    "The number is unusual: k keeps it as it was typed. Another number replaces it; \
                     `back` goes to the question before, if that is the one that is wrong.",
                )?;
                self.help_reading(m)?;
            }
            Topic::Again => tell(
                "Lay the tape again and type what it shows now. Two readings give their mean, and how \
                 far they differ says how sure it is. Enter: one is enough; `back` asks for the first \
                 one again.",
            )?,
            Topic::Word(w) => {
                for (word, means) in w.words(self.figure) {
                    tell(format!("{word}: {means}."))?;
                }
                tell("It moves the estimate a little; what is measured always wins.")?;
            }
            Topic::Closing => tell(
                "Each of these readings would make the shape that much surer. Type the number in \
                 front of one to measure it now, or Enter to end here.",
            )?,
        }
        tell(
            "Enter leaves a question out (or leaves what is kept), `back` goes back, `go 12` or `go \
             hip` goes to a measurement, `none` takes an answer away, `list` shows everything, `done` ends.",
        )
    }

    fn help_reading(&self, m: Measure) -> Result<(), Stop> {
        let info = m.info();
        sentence(format!("usual mistake: {}", entry::mistake(m, self.figure)))?;
        sentence(format!(
            "expected: {}",
            entry::expected(m, self.figure, self.unit)
        ))?;
        if let Some(term) = info.term {
            sentence(format!("ISO 8559-1 calls it {term}"))?;
        }
        if !info.on_form {
            tell("The form has no such part; the reading helps to estimate the rest.")?;
        }
        tell(if m.kind() == Kind::Slope {
            "Readings: 22 or 21.5 in degrees, or the drop with its unit: 5.5 cm, 2 1/8 in."
        } else {
            "Readings: 96.5, or with a unit 38 in, 37 7/8 in; two of them: 96.5 and 97."
        })?;
        if info.paired {
            tell("Where the sides differ: left 13.0 right 13.4 (the wearer's own sides).")?;
        }
        Ok(())
    }

    /// Shows every question with its answer, as much at a time as the window holds. What was typed
    /// instead of reading on.
    pub(super) fn list(&mut self) -> Result<Option<Reply>, Stop> {
        let answer = |a: Option<String>| a.unwrap_or_else(|| "–".to_owned());
        let head: Vec<String> = self
            .head_lines()
            .into_iter()
            .map(|(title, a)| format!("{title}: {}", answer(a)))
            .collect();
        let mut lines: Vec<String> =
            terminal::wrapped(&head.join("; ").into(), Reader::default(), 2, 4)
                .lines()
                .map(str::to_owned)
                .collect();
        let cells: Vec<String> = self
            .steps
            .iter()
            .enumerate()
            .map(|(i, step)| {
                let name = self.called(i);
                format!("{:>3} {name}: {}", i + 1, answer(self.stands(step)))
            })
            .collect();
        if cells.is_empty() {
            let kept = text::count(self.draft.count(), "measurement");
            lines.push(format!("  the measurements come next; {kept} kept so far"));
        }
        // Down the columns, as one reads a list; what is too long for one has a line of its own.
        let rows = cells.len().div_ceil(COLUMNS);
        for row in 0..rows {
            let beside: Vec<&String> = cells.iter().skip(row).step_by(rows).collect();
            if beside.iter().all(|c| c.chars().count() < COLUMN) {
                let line: String = beside.iter().map(|c| format!("{c:<COLUMN$}")).collect();
                lines.push(line.trim_end().to_owned());
            } else {
                lines.extend(beside.into_iter().cloned());
            }
        }
        let room = self
            .rows()
            .map_or(lines.len(), |r| r.saturating_sub(PROMPT));
        let mut parts = lines.chunks(room.max(1)).peekable();
        while let Some(part) = parts.next() {
            say::text(&(part.join("\n") + "\n"))?;
            if parts.peek().is_some()
                && let Some(typed) = self.pause()?
            {
                return Ok(Some(typed));
            }
        }
        Ok(None)
    }

    /// Fits the body and proposes what to measure yet, until the person has had enough.
    pub(super) fn closing(&mut self) -> Result<(), Stop> {
        loop {
            let Ok(sheet) = sheet::read(&self.draft.text(), self.draft.file()) else {
                return Ok(());
            };
            let progress = say::Progress::new(false);
            progress.step("fitting the body");
            let checked = form::check(sheet, &Workshop::default(), None);
            drop(progress);
            let checked = match checked {
                Ok(checked) => checked,
                Err(e) => {
                    say::trouble(&e.to_string());
                    return Ok(());
                }
            };
            title("- how it looks -")?;
            warn(&checked.findings, self.figure)?;
            let next: Vec<Measure> = checked.fit.next.iter().map(|a| a.measure).collect();
            tell(format!(
                "The shape is known to {} all round.",
                self.unit.show_plus_minus(checked.fit.unsure)
            ))?;
            if next.is_empty() {
                return Ok(());
            }
            tell("What would tell most now:")?;
            for (i, a) in checked.fit.next.iter().enumerate() {
                let after = self.unit.show_plus_minus(a.unsure);
                let name = entry::name(a.measure, self.figure);
                tell(format!("{} {name}: then {after}", i + 1))?;
            }
            let Some(chosen) = self.choose(&next)? else {
                return Ok(());
            };
            if !self.one_more(chosen)? {
                return Ok(());
            }
        }
    }

    /// Which of these is measured now; nothing where the person has had enough.
    fn choose(&mut self, next: &[Measure]) -> Result<Option<Step>, Stop> {
        loop {
            let heard = self.hear(
                "type its number to measure it now (Enter: end)",
                &[],
                Topic::Closing,
            )?;
            match heard {
                Heard::End | Heard::Enter | Heard::Skip => return Ok(None),
                Heard::Go(i) => return Ok(self.steps.get(i).copied()),
                Heard::Back => return Ok(self.steps.last().copied()),
                Heard::Away => {}
                Heard::Words(line) => {
                    let place = line.parse::<usize>().ok().and_then(|n| n.checked_sub(1));
                    if let Some(step) = place.and_then(|i| next.get(i)).and_then(|m| step(*m)) {
                        return Ok(Some(step));
                    }
                }
            }
            tell(format!(
                "Please type a number from 1 to {}, or Enter to end.",
                next.len()
            ))?;
        }
    }
}
