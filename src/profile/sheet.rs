//! A size written as a measurement sheet, to build from or to edit.

use crate::measure::Measure;
use crate::profile::Size;
use crate::profile::size::written;
use crate::units::Unit;

/// Columns of a comment.
const WIDTH: usize = 96;

impl Size {
    /// The measurements without which no form can be made of it, and that it lacks.
    #[must_use]
    pub fn lacks(&self) -> Vec<Measure> {
        Measure::lacking(|m| self.value(m).is_some())
    }

    /// The size as the text of a sheet in `unit`. Where it lacks what every sheet needs, the line
    /// stands there to be filled in.
    #[must_use]
    pub fn sheet(&self, unit: Unit) -> String {
        let mut out = String::new();
        let mut note = |text: &str| comment(&mut out, text);
        note(&format!(
            "The size {} as a measurement sheet, to be edited. From: {}.",
            self.full_name(),
            self.source
        ));
        if let Some(between) = &self.between {
            note(&format!(
                "It lies {between}: every value changes evenly from one tabulated size to the next."
            ));
        }
        if !self.caution.is_empty() {
            note(&format!("Caution: {}.", self.caution));
        }
        out.push_str(&format!(
            "\nname   = \"{} {}\"\nunit   = \"{}\"\nfigure = \"{}\"\nwaist  = \"{}\"\n",
            self.system,
            self.name,
            unit.name(),
            self.figure.name(),
            self.waist.name()
        ));
        let lacks = self.lacks();
        let mut table = "";
        for measure in Measure::ALL {
            let value = self.values.iter().find(|v| v.measure == measure);
            if value.is_none() && !lacks.contains(&measure) {
                continue;
            }
            let (header, key) = measure.table_and_key();
            if header != table {
                table = header;
                out.push_str(&format!("\n[{header}]\n"));
            }
            let Some(v) = value else {
                out.push_str(&format!("#{key} =   # OBLIGATORY, not in this table\n"));
                continue;
            };
            let number = written(measure, v.value, unit);
            let line = match v.within {
                Some(w) => format!(
                    "{key} = {{ value = {number}, within = {} }}",
                    written(measure, w, unit)
                ),
                None => format!("{key} = {number}"),
            };
            let mut why = format!("{}: {}", v.how.name(), v.from);
            if !v.note.is_empty() {
                why.push_str("; ");
                why.push_str(&v.note);
            }
            out.push_str(&format!("{line}   # {why}\n"));
        }
        out
    }
}

/// Lines of a comment.
fn comment(out: &mut String, text: &str) {
    let mut line = String::from("#");
    for word in text.split_whitespace() {
        if line.len() + word.len() >= WIDTH {
            out.push_str(&line);
            out.push('\n');
            line = String::from("#");
        }
        line.push(' ');
        line.push_str(word);
    }
    out.push_str(&line);
    out.push('\n');
}
