//! `build`: the whole job into one folder.

use std::fs;
use std::path::{Path, PathBuf};

use layfigure::Error;
use layfigure::report;
use layfigure::report::Stage;
use layfigure::report::tables;
use layfigure::sheet;
use layfigure::sheet::Sheet;
use layfigure::stack::Pile;
use layfigure::workshop::Paper;

use crate::Outcome;
use crate::Stop;
use crate::args::Build;
use crate::halt;
use crate::input;
use crate::save;
use crate::save::State;
use crate::say;

pub(crate) fn run(args: &Build) -> Result<Outcome, Stop> {
    let quiet = args.common.quiet;
    let mut workshop = input::workshop(args.common.workshop.as_deref())?;
    paper(args, &mut workshop.paper)?;
    if args.sheet.len() > 1 {
        return Err(Error::Request(
            "`build` makes one form at a time, each in a folder of its own: run it once for every \
             sheet (`check` takes many)"
                .to_owned(),
        )
        .into());
    }
    let file = match args.sheet.first() {
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
        let mut name = save::sanitized(&sheet.name);
        // What was built for the whole form stays: its pile is standing on the table.
        if let Some(layer) = args.restart_at {
            name.push_str(&format!("-from-{layer}"));
        }
        PathBuf::from("out").join(name)
    });
    if args.output.is_none() && !args.force {
        not_of_another(&dir, &sheet)?;
    }
    let state = save::ready(&dir, args.force)?;
    halt::say_then(&format!("stopped; {state}"));
    if matches!(state, State::Half(_)) && !quiet {
        say::note(&save::mended(&dir));
    }

    let progress = say::Progress::new(quiet);
    progress.step("fitting the body");
    let checked = report::check(sheet, &workshop, args.common.unit.map(Into::into))?;
    let pile = args
        .restart_at
        .zip(args.height)
        .map(|(restart_at, height)| Pile { restart_at, height });
    let form = report::rebuild(checked, workshop, args.tries, pile, &mut |stage| {
        progress.step(match stage {
            Stage::Cutting => "cutting the layers",
            Stage::Reading => "reading the tape on the layers",
            Stage::Laying => "laying the pieces on boards and pages",
        });
    })?;
    progress.step("drawing boards, pages, pictures and the guide");
    let files = report::folder(&form)?;
    progress.step(&format!("writing {}", dir.display()));
    save::write(&dir, &files, args.force)?;
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

/// Refuses a folder, named after the sheet's name, that holds the form of another sheet of that name:
/// nobody said that it may be replaced.
fn not_of_another(dir: &Path, sheet: &Sheet) -> Result<(), Error> {
    let Some(earlier) = fs::read(dir.join(report::NUMBERS))
        .ok()
        .and_then(|bytes| serde_json::from_slice::<serde_json::Value>(&bytes).ok())
        .and_then(|numbers| Some(numbers.get("sheet")?.as_str()?.to_owned()))
    else {
        return Ok(());
    };
    // The example is the same sheet, built in or named.
    let plain = |file: &str| match report::words::file_name(file) {
        sheet::EXAMPLE_FILE => "contralto.toml".to_owned(),
        other => other.to_owned(),
    };
    if plain(&earlier) == plain(&sheet.file) {
        return Ok(());
    }
    Err(Error::Request(format!(
        "`{}` holds the form of another sheet, `{}`, which has the same `name`, \"{}\": give this one \
         a name of its own, or a folder with `-o`; `--force` replaces what is there",
        dir.display(),
        report::words::file_name(&earlier),
        sheet.name
    )))
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
