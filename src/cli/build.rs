//! `build`: the whole job into one folder.

use std::path::{Path, PathBuf};

use layfigure::Error;
use layfigure::form;
use layfigure::form::Checked;
use layfigure::form::Form;
use layfigure::form::Stage;
use layfigure::imprint;
use layfigure::say::{NUMBERS, TEMPLATES, built, folder, layers};
use layfigure::sheet;
use layfigure::stack::Pile;
use layfigure::text;
use layfigure::units::Unit;
use layfigure::workshop::{Paper, PaperSize, Workshop};

use crate::Outcome;
use crate::Stop;
use crate::args::BuildArgs;
use crate::earlier::Earlier;
use crate::facts::{FolderFact, ProgramFact, as_typed};
use crate::halt;
use crate::input;
use crate::save;
use crate::say;
use crate::unwritten::State;

pub(crate) fn run(args: &BuildArgs) -> Result<Outcome, Stop> {
    let quiet = args.common.quiet;
    if args.sheet.len() > 1 {
        return Err(Error::request(ProgramFact::OneForm).into());
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
            input::TextFile {
                name: sheet::EXAMPLE_FILE.into(),
                text: sheet::EXAMPLE.into(),
            }
        }
    };
    let sheet = sheet::read(&file.text, &file.name)?;
    let sheet_unit = sheet.unit;
    let mut workshop = input::workshop(args.common.workshop.as_deref(), sheet_unit)?;
    paper(args, sheet.unit, &mut workshop.paper)?;
    let dir = args.output.clone().unwrap_or_else(|| {
        let mut name = save::sanitized(&sheet.name);
        // What was built for the whole form stays: its pile is standing on the table.
        if let Some(layer) = args.restart_at {
            name.push_str(&format!("-from-{layer}"));
        }
        if let Some(first) = args.layers.first() {
            name.push_str(&match args.layers.len() {
                1 => format!("-layer-{first}"),
                _ => format!("-layers-{first}-and-{}-more", args.layers.len() - 1),
            });
        }
        PathBuf::from("out").join(name)
    });
    let earlier = Earlier::read(&dir);
    if !args.force
        && let Some(earlier) = &earlier
    {
        if args.output.is_none() {
            earlier.is_of(&sheet, &dir)?;
        }
        earlier.is_of_this_version(&dir)?;
    }
    let state = save::ready(&dir, args.force)?;
    halt::say_then(&format!("stopped; {state}"));
    if matches!(state, State::Half(_)) && !quiet {
        say::note(&save::mended(&dir));
    }

    let progress = say::Progress::new(quiet);
    progress.step("fitting the body");
    let checked = form::check(sheet, &workshop, args.common.unit.map(Into::into))?;
    let whole = args.pile.clone().unwrap_or_else(|| {
        let name = save::sanitized(&checked.sheet.name);
        Path::new("out").join(name)
    });
    // A template by itself may be of any body, if somebody says so.
    let joins = args.restart_at.is_some() || (!args.layers.is_empty() && !args.force);
    let pile = if joins {
        pile_is_of(&whole, &checked, &workshop, args, quiet)?
    } else {
        None
    };
    let measured = args
        .restart_at
        .zip(args.height.map(|height| height.in_mm(sheet_unit)))
        .map(|(restart_at, height)| Pile { restart_at, height });
    let form = form::rebuild(checked, workshop, args.tries, measured, &mut |stage| {
        progress.step(match stage {
            Stage::Cutting => "cutting the layers",
            Stage::Reading => "reading the tape on the layers",
            Stage::Laying => "laying the pieces on boards and pages",
        });
    })?;
    if let Some(earlier) = &pile {
        earlier.is_in_order(&form, &whole, args.force)?;
        if !args.force {
            let below = args.restart_at.unwrap_or(usize::MAX);
            earlier.has_dowels(&form.stack.dowels, below, &whole)?;
        }
    }
    if !args.layers.is_empty() {
        return spoilt(args, &form, &dir, progress);
    }
    progress.step("drawing boards, pages, pictures and the guide");
    let files = folder(&form)?;
    progress.step(&format!("writing {}", dir.display()));
    save::write(&dir, &files, args.force)?;
    drop(progress);

    say::findings(&form.checked.findings, quiet);
    if args.common.json {
        let numbers = files.iter().find(|(name, _)| name == NUMBERS);
        say::bytes(numbers.map_or(&[][..], |(_, bytes)| bytes))?;
    } else {
        say::text(&built::text(&form))?;
        say::text(&format!(
            "\n{} in {}: open guide.html first\n",
            text::count(files.len(), "file"),
            dir.display()
        ))?;
    }
    Ok(if form.checked.is_met() {
        Outcome::Done
    } else {
        Outcome::Refused
    })
}

/// Writes the templates of some layers alone.
fn spoilt(
    args: &BuildArgs,
    form: &Form,
    dir: &Path,
    progress: say::Progress,
) -> Result<Outcome, Stop> {
    let (first, last) = (form.stack.first_to_cut, form.stack.layers.len());
    if let Some(&layer) = args.layers.iter().find(|l| !(first..=last).contains(l)) {
        return Err(Error::request(ProgramFact::NoSuchLayer { layer, first, last }).into());
    }
    let (bytes, pages) = layers(form, &args.layers)?;
    progress.step(&format!("writing {}", dir.display()));
    save::write(dir, &[(TEMPLATES.to_owned(), bytes)], args.force)?;
    drop(progress);
    let numbers: Vec<String> = args.layers.iter().map(ToString::to_string).collect();
    let which = if args.layers.len() == 1 {
        "layer"
    } else {
        "layers"
    };
    say::text(&format!(
        "{which} {} of {last}: {} in {}\n",
        numbers.join(", "),
        text::count(pages, "page"),
        dir.join(TEMPLATES).display()
    ))?;
    Ok(Outcome::Done)
}

/// The form that a pile was cut from, by its folder `whole`; refused where it is of another body or was
/// cut in another workshop. Where that folder is not there, a note says what to compare.
fn pile_is_of(
    whole: &Path,
    checked: &Checked,
    workshop: &Workshop,
    args: &BuildArgs,
    quiet: bool,
) -> Result<Option<Earlier>, Error> {
    let body = imprint::of_shape(&checked.mesh.vertices);
    match (Earlier::read(whole), &args.pile) {
        (Some(earlier), _) => match &earlier.body {
            Some(pile) if *pile == body => {
                earlier.is_of_workshop(workshop, whole, args.force)?;
                Ok(Some(earlier))
            }
            Some(pile) => {
                let (path, pile) = (as_typed(whole), pile.clone());
                Err(Error::request(if args.restart_at.is_some() {
                    FolderFact::PileOfAnotherBody { path, pile, body }
                } else {
                    FolderFact::LayersOfAnotherBody { path, pile, body }
                }))
            }
            None if args.force => Ok(None),
            None => Err(Error::request(FolderFact::PileOfEarlierVersion {
                path: as_typed(whole),
                this: imprint::PROGRAM,
            })),
        },
        (None, Some(folder)) => Err(Error::request(FolderFact::NoForm {
            path: as_typed(folder),
        })),
        (None, None) => {
            if !quiet {
                say::note(&format!(
                    "the folder that the pile was cut from is not `{}`: make sure that the foot of its pages \
                     names the body {body}, or name that folder with `--pile`",
                    whole.display()
                ));
            }
            Ok(None)
        }
    }
}

/// What was typed about the paper goes before what the workshop file says.
fn paper(args: &BuildArgs, unit: Unit, paper: &mut Paper) -> Result<(), Stop> {
    if let Some(size) = &args.common.paper {
        PaperSize::of(size, unit)?.lay_into(paper);
    }
    if let Some(outlines) = args.outlines {
        paper.outlines = usize::from(outlines);
    }
    paper.fold &= !args.whole;
    if let Some(printed) = &args.printed {
        let measured = paper.measured(printed).map_err(|why| {
            let printed = printed.clone();
            Error::request(ProgramFact::NotPrinted { printed, why })
        })?;
        paper.printed = Some(measured);
    }
    Ok(())
}
