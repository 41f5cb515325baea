//! `check`: every finding and the girth check, nothing written.

use layfigure::Error;
use layfigure::report;
use layfigure::report::{json, tables};
use layfigure::sheet;

use crate::Outcome;
use crate::Stop;
use crate::args::Check;
use crate::input;
use crate::say;

pub(crate) fn run(args: &Check) -> Result<Outcome, Stop> {
    let workshop = input::workshop(args.common.workshop.as_deref())?;
    let unit = args.common.unit.map(Into::into);
    let quiet = args.common.quiet;
    let mut worst = Outcome::Done;
    let mut objects = Vec::new();
    for (i, path) in args.sheet.iter().enumerate() {
        let progress = say::Progress::new(quiet);
        progress.step(&format!("fitting {}", path.display()));
        let checked = input::read(path).and_then(|file| {
            let sheet = sheet::read(&file.text, &file.name)?;
            report::check(sheet, &workshop, unit)
        });
        drop(progress);
        match checked {
            Ok(checked) => {
                say::findings(&checked.findings, quiet);
                if !checked.is_met() {
                    worst = worst.max(Outcome::Refused);
                }
                if args.common.json {
                    objects.push(json::check(&checked, &workshop)?);
                } else {
                    if i > 0 {
                        say::text("\n")?;
                    }
                    say::text(&tables::check(&checked))?;
                }
            }
            Err(e) => {
                if let (true, Error::Sheet(list)) = (args.common.json, &e) {
                    objects.push(json::refused(&path.display().to_string(), list));
                }
                worst = worst.max(say::error(&e));
            }
        }
    }
    if args.common.json {
        let value = match <[_; 1]>::try_from(objects) {
            Ok([one]) if args.sheet.len() == 1 => one,
            Ok(one) => one.into_iter().collect(),
            Err(many) => many.into_iter().collect(),
        };
        let nothing = value.as_array().is_some_and(Vec::is_empty);
        if !(nothing && args.sheet.len() == 1) {
            say::text(&json::text(&value)?)?;
        }
    }
    Ok(worst)
}
