//! `profiles`: the size profiles, their sizes, and a size as a sheet to edit.

use std::path::Path;

use layfigure::Error;
use layfigure::profile;
use layfigure::say::{json, size_numbers, sizes};

use crate::Outcome;
use crate::Stop;
use crate::args::Profiles;
use crate::facts::ProgramFact;
use crate::input;
use crate::save;
use crate::say;

pub(crate) fn run(args: &Profiles) -> Result<Outcome, Stop> {
    let all = input::profiles(args.profiles.as_deref())?;
    let unit = args.unit.map(Into::into);
    let Some(name) = &args.name else {
        if args.json {
            say::text(&json::text(&size_numbers::systems(&all)?)?)?;
        } else {
            say::text(&sizes::systems(&all))?;
        }
        return Ok(Outcome::Done);
    };
    if !name.contains(':') {
        let found = profile::find(&all, name).ok_or_else(|| profile::unknown(&all, name))?;
        if args.export.is_some() {
            return Err(Error::request(ProgramFact::WholeSystemAsSheet {
                system: name.clone(),
                size: found.name_of(0, found.usual),
            })
            .into());
        }
        if args.json {
            say::text(&json::text(&size_numbers::system(found)?)?)?;
        } else {
            say::text(&sizes::system(found, unit.unwrap_or(found.unit)))?;
        }
        return Ok(Outcome::Done);
    }
    let size = profile::size(&all, name)?;
    match &args.export {
        Some(path) => {
            let text = size.sheet(unit.unwrap_or(size.unit));
            if path == Path::new("-") {
                say::text(&text)?;
            } else {
                save::fresh_unless(args.force, path, text.as_bytes())?;
                say::text(&format!(
                    "{} as a sheet in {}\n",
                    size.full_name(),
                    path.display()
                ))?;
            }
        }
        None if args.json => say::text(&json::text(&size_numbers::size(&size)?)?)?,
        None => say::text(&sizes::size(&size))?,
    }
    Ok(Outcome::Done)
}
