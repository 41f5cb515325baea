//! `build`: the whole job into one folder.

use std::path::PathBuf;

use layfigure::Error;
use layfigure::report;
use layfigure::report::tables;
use layfigure::sheet;
use layfigure::stack::Pile;
use layfigure::workshop::Paper;

use crate::Outcome;
use crate::Stop;
use crate::args::Build;
use crate::folder;
use crate::input;
use crate::say;

pub(crate) fn run(args: &Build) -> Result<Outcome, Stop> {
    let quiet = args.common.quiet;
    let mut workshop = input::workshop(args.common.workshop.as_deref())?;
    paper(args, &mut workshop.paper)?;
    let file = match &args.sheet {
        Some(path) => {
            let profiles = input::profiles(args.common.profiles.as_deref())?;
            input::sheet(path, &profiles)?
        }
        None => {
            if !quiet {
                say::note(
                    "no sheet was named: building the contralto, the example that comes with the \
                     program",
                );
            }
            input::Text {
                name: sheet::EXAMPLE_FILE.into(),
                text: sheet::EXAMPLE.into(),
            }
        }
    };
    let sheet = sheet::read(&file.text, &file.name)?;
    let dir = args.output.clone().unwrap_or_else(|| {
        let mut name = folder::sanitized(&sheet.name);
        // What was built for the whole form stays: its pile is standing on the table.
        if let Some(layer) = args.restart_at {
            name.push_str(&format!("-from-{layer}"));
        }
        PathBuf::from("out").join(name)
    });

    let progress = say::Progress::new(quiet);
    progress.step("fitting the body");
    let checked = report::check(sheet, &workshop, args.common.unit.map(Into::into))?;
    progress.step("cutting layers, laying them out, drawing");
    let pile = args
        .restart_at
        .zip(args.height)
        .map(|(restart_at, height)| Pile { restart_at, height });
    let form = report::rebuild(checked, workshop, args.tries, pile)?;
    let files = report::folder(&form)?;
    progress.step("writing");
    folder::write(&dir, &files, args.force)?;
    drop(progress);

    say::findings(&form.checked.findings, quiet);
    if args.common.json {
        let numbers = files.iter().find(|(name, _)| name == report::NUMBERS);
        say::bytes(numbers.map_or(&[][..], |(_, bytes)| bytes))?;
    } else {
        say::text(&tables::built(&form))?;
        say::text(&format!(
            "\n{} in {}: open guide.html first\n",
            report::words::count(files.len(), "file"),
            dir.display()
        ))?;
    }
    Ok(if form.checked.is_met() {
        Outcome::Done
    } else {
        Outcome::Refused
    })
}

/// What was typed about the paper goes before what the workshop file says.
fn paper(args: &Build, paper: &mut Paper) -> Result<(), Stop> {
    if let Some(outlines) = args.outlines {
        paper.outlines = usize::from(outlines);
    }
    paper.fold &= !args.whole;
    if let Some(printed) = &args.printed {
        let measured = paper.measured(printed).map_err(|why| {
            Error::Request(format!("`--printed {printed}` cannot be used: {why}"))
        })?;
        paper.printed = Some(measured);
    }
    Ok(())
}
