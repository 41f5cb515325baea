//! `check`: every finding and the girth check, nothing written.
//!
//! Sheets are checked side by side, a few at a time, and their reports come out in the order in
//! which they were named, so a thousand sheets take no more memory than a few.

use std::path::Path;

use layfigure::form;
use layfigure::profile::Profile;
use layfigure::say::{check_long, check_short, json, numbers};
use layfigure::sheet;
use layfigure::units::Unit;
use layfigure::workshop::Workshop;
use layfigure::{Error, Finding};
use rayon::prelude::*;

use crate::Outcome;
use crate::Stop;
use crate::args::Check;
use crate::input;
use crate::say;

/// Sheets in work at a time for every thread: enough that no thread waits for the slowest.
const PER_THREAD: usize = 4;

/// What is to be said of one sheet.
enum Report {
    /// It was fitted: text to print, findings, whether every reading is met.
    Fitted(String, Vec<Finding>, bool),
    /// It stopped; with `--json`, text to print.
    Stopped(Error, Option<String>),
}

pub(crate) fn run(args: &Check) -> Result<Outcome, Stop> {
    // Without a file the room follows the unit of each sheet.
    let workshop = args
        .common
        .workshop
        .as_deref()
        .map(|path| input::workshop(Some(path), Unit::Mm))
        .transpose()?;
    let profiles = input::profiles(args.common.profiles.as_deref())?;
    let quiet = args.common.quiet;
    let many = args.sheet.len() > 1;
    let in_list = args.common.json && many;
    let mut worst = Outcome::Done;
    let mut printed = 0usize;
    let batch = PER_THREAD * rayon::current_num_threads();
    for (i, paths) in args.sheet.chunks(batch.max(1)).enumerate() {
        let progress = say::Progress::new(quiet);
        progress.step(&match paths {
            [path] => format!("fitting {}", path.display()),
            _ => format!("fitting {} sheets, {} done", args.sheet.len(), i * batch),
        });
        let reports: Vec<Report> = paths
            .par_iter()
            .map(|path| report(path, args, workshop.as_ref(), &profiles, in_list))
            .collect();
        drop(progress);
        for (path, report) in paths.iter().zip(reports) {
            let text = match report {
                Report::Fitted(text, mut findings, met) => {
                    if many {
                        name(&mut findings, path);
                    }
                    if args.all {
                        say::findings(&findings, quiet);
                    } else {
                        say::findings_in_short(&findings, quiet);
                    }
                    if !met {
                        worst = worst.max(Outcome::Refused);
                    }
                    Some(text)
                }
                Report::Stopped(e, text) => {
                    worst = worst.max(say::error(&e, false));
                    text
                }
            };
            let Some(text) = text else { continue };
            let before = match (in_list, printed) {
                (true, 0) => "[\n",
                (true, _) => ",\n",
                (false, 0) => "",
                (false, _) => "\n",
            };
            say::text(&format!("{before}{text}"))?;
            printed += 1;
        }
    }
    if in_list {
        say::text(if printed > 0 { "\n]\n" } else { "[]\n" })?;
    }
    Ok(worst)
}

/// Says of which sheet a finding is that points at no line of it.
fn name(findings: &mut [Finding], path: &Path) {
    for finding in findings.iter_mut().filter(|f| f.place.is_none()) {
        finding.file = Some(path.display().to_string());
    }
}

/// Reads, fits and measures one sheet; the body itself is let go.
fn report(
    path: &Path,
    args: &Check,
    workshop: Option<&Workshop>,
    profiles: &[Profile],
    in_list: bool,
) -> Report {
    let work = || -> Result<Report, Error> {
        let file = input::sheet(path, profiles)?;
        let sheet = sheet::read(&file.text, &file.name)?;
        let room;
        let workshop = match workshop {
            Some(workshop) => workshop,
            None => {
                room = Workshop::usual(sheet.unit);
                &room
            }
        };
        let checked = form::check(sheet, workshop, args.common.unit.map(Into::into))?;
        let text = if args.common.json {
            let value = numbers::check(&checked, workshop)?;
            if in_list {
                json::text_in_list(&value)?
            } else {
                json::text(&value)?
            }
        } else {
            let told = !args.common.quiet;
            if args.all {
                let mut text = check_long::check(&checked, true);
                if told {
                    text.push_str(&check_long::above(&checked.findings));
                }
                text
            } else {
                check_short::check(&checked, told, true)
            }
        };
        let met = checked.is_met();
        let findings = if args.all || args.common.json {
            checked.findings
        } else {
            check_short::gathered(&checked)
        };
        Ok(Report::Fitted(text, findings, met))
    };
    work().unwrap_or_else(|e| {
        let text = args.common.json.then(|| refused(path, &e, in_list));
        Report::Stopped(e, text.flatten())
    })
}

/// What `--json` prints for a sheet that stopped: among several, every sheet has its object; a
/// single file that cannot be read has none.
fn refused(path: &Path, e: &Error, in_list: bool) -> Option<String> {
    if matches!(e, Error::Io { .. }) && !in_list {
        return None;
    }
    let value = json::refused(&path.display().to_string(), &say::told(e));
    let text = if in_list {
        json::text_in_list(&value)
    } else {
        json::text(&value)
    };
    text.ok()
}
