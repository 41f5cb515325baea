//! What `help` and `list` say, and how the conversation closes: the fit, and what to measure next.

use layfigure::measure::Measure;
use layfigure::report;
use layfigure::sheet;
use layfigure::sheet::entry;
use layfigure::workshop::Workshop;

use super::ask::{Interview, Step, step, warn};
use super::talk::{Reply, sentence, tell, title};
use crate::Stop;
use crate::say;

impl Interview {
    pub(super) fn help(&self, m: Option<Measure>) -> Result<(), Stop> {
        if let Some(m) = m {
            let info = m.info();
            sentence(&format!("usual mistake: {}", info.mistake))?;
            sentence(&format!(
                "expected: {}",
                entry::expected(m, self.figure, self.unit)
            ))?;
            if let Some(term) = info.term {
                sentence(&format!("ISO 8559-1 calls it {term}"))?;
            }
            if !info.on_form {
                tell("The form has no such part; the reading helps to estimate the rest.")?;
            }
            tell("Readings: 96.5, or with a unit 38 in, 37 7/8 in; two of them: 96.5 and 97.")?;
            if info.paired {
                tell("Where the sides differ: left 13.0 right 13.4 (the wearer's own sides).")?;
            }
        }
        tell(
            "Enter leaves a question out (or leaves what is kept), `back` goes back, `go 12` goes to \
             a question, `none` takes an answer away, `list` shows everything, `done` ends.",
        )
    }

    pub(super) fn list(&self, steps: &[Step]) -> Result<(), Stop> {
        let mut out = String::new();
        for (i, step) in steps.iter().enumerate() {
            let name = match step {
                Step::Reading(_, m) => entry::name(*m, self.figure),
                Step::Word(w) => format!("shape: {}", w.key),
            };
            let stands = self.stands(step).unwrap_or_else(|| "–".to_owned());
            out.push_str(&format!("  {:>2}  {name:<36} {stands}\n", i + 1));
        }
        say::text(&out)?;
        Ok(())
    }

    /// Fits the body and proposes what to measure yet, until the person has had enough.
    pub(super) fn closing(&mut self) -> Result<(), Stop> {
        loop {
            let Ok(sheet) = sheet::read(&self.draft.text(), self.draft.file()) else {
                return Ok(());
            };
            let progress = say::Progress::new(false);
            progress.step("fitting the body");
            let checked = report::check(sheet, &Workshop::default(), None);
            drop(progress);
            let checked = match checked {
                Ok(checked) => checked,
                Err(e) => {
                    say::trouble(&e.to_string());
                    return Ok(());
                }
            };
            title("- how it looks -")?;
            warn(&checked.findings)?;
            let next: Vec<Measure> = checked.fit.next.iter().map(|a| a.measure).collect();
            tell(&format!(
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
                tell(&format!("{} {name}: then {after}", i + 1))?;
            }
            let line =
                match self
                    .talk
                    .ask("type its number to measure it now (Enter: end)", "", &[])?
                {
                    Reply::End => return Ok(()),
                    Reply::Line(line) => line,
                };
            let chosen = line
                .parse::<usize>()
                .ok()
                .and_then(|n| next.get(n.checked_sub(1)?));
            let Some(step) = chosen.and_then(|m| step(*m)) else {
                return Ok(());
            };
            if !self.walk(&[step], 0)? {
                return Ok(());
            }
        }
    }
}
