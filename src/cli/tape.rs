//! `tape`: girths off any closed solid, nothing written.

use std::io::{BufRead, Read, Seek};
use std::path::Path;

use layfigure::form;
use layfigure::form::any_solid::{self, TapeHeight};
use layfigure::mesh::{Mesh, obj, stl};
use layfigure::say::{any_solid as said, json};
use layfigure::sheet;
use layfigure::text;
use layfigure::units;
use layfigure::units::Unit;
use layfigure::{Error, Finding, Severity};

use crate::Outcome;
use crate::Stop;
use crate::args::TapeArgs;
use crate::facts::{FileKind, FolderFact, NeitherFormat, ProgramFact, as_typed};
use crate::input;
use crate::save;
use crate::say;

/// Steps between heights when nobody says which, mm: a hand's breadth, round in its unit.
const fn usual_step(unit: Unit) -> f64 {
    match unit {
        Unit::Cm | Unit::Mm => 50.0,
        Unit::In => 2.0 * units::MM_PER_INCH,
    }
}

pub(crate) fn run(args: &TapeArgs) -> Result<Outcome, Stop> {
    let sheet = match &args.sheet {
        Some(path) => {
            let file = input::read(path, FileKind::Sheet)?;
            Some(sheet::read(&file.text, &file.name)?)
        }
        None => None,
    };
    let unit = args
        .unit
        .map(Into::into)
        .or_else(|| sheet.as_ref().map(|s| s.unit))
        .unwrap_or(Unit::Cm);
    // What was typed is looked at before the work begins.
    let heights = lengths(&args.at, "--at", unit)?;
    let step = match &args.every {
        Some(text) => lengths(std::slice::from_ref(text), "--every", unit)?[0],
        None => usual_step(unit),
    };
    if step <= 0.0 {
        return Err(Error::request(ProgramFact::NoStep).into());
    }
    let progress = say::Progress::new(args.quiet);
    progress.step(&format!("reading {}", args.solid.display()));
    let name = args.solid.display().to_string();
    let mut mesh = load(&args.solid)?;
    let front = args.front.map_or_else(|| args.up.0.usual_front(), |f| f.0);
    if !mesh.stand(args.up.0, front, args.solid_unit.in_mm()) {
        return Err(Error::request(ProgramFact::OneAxis).into());
    }
    progress.step("looking for holes and crossings");
    let mut solid = any_solid::solid(mesh, unit)?;
    if let Some(folder) = save::half_replaced(&args.solid) {
        let path = as_typed(&folder);
        let fact = FolderFact::HalfReplaced { path };
        solid.findings.push(Finding::of(Severity::Warning, fact));
    }
    let places = match sheet {
        Some(sheet) => {
            progress.step("fitting the body of the sheet");
            let workshop = input::workshop(args.workshop.as_deref(), sheet.unit)?;
            let checked = form::check(sheet, &workshop, Some(unit))?;
            solid.findings.extend(checked.findings.iter().cloned());
            any_solid::of_sheet(&checked, &solid.mesh, args.lowest.into(), workshop.scale)?
        }
        None if heights.is_empty() => any_solid::every(&solid.mesh, step)?,
        None => heights
            .into_iter()
            .map(|height| TapeHeight {
                height,
                ..TapeHeight::default()
            })
            .collect(),
    };
    progress.step(&format!("reading {}", text::count(places.len(), "height")));
    let rows = any_solid::read(&solid, &places)?;
    solid.findings.extend(any_solid::of_somebody_else(&rows));
    drop(progress);

    say::findings(&solid.findings, args.quiet);
    if args.json {
        say::text(&json::text(&said::numbers(&solid, &rows, &name)?)?)?;
    } else {
        say::text(&said::table(&solid, &rows, &name, unit))?;
    }
    // A height above or below the solid is an answer; one at which nothing can be read is not.
    if rows.iter().all(|r| r.round.is_some()) {
        return Ok(Outcome::Done);
    }
    let unread = rows.iter().filter(|r| r.round.is_none()).count();
    say::trouble(&format!(
        "nothing could be read at {} of {}",
        unread,
        text::count(rows.len(), "height")
    ));
    Ok(Outcome::Refused)
}

/// Lengths as somebody typed them.
fn lengths(typed: &[String], option: &str, unit: Unit) -> Result<Vec<f64>, Error> {
    typed
        .iter()
        .map(|text| {
            units::parse_length(text, unit).map_err(|why| {
                Error::request(ProgramFact::NoHeight {
                    option: option.to_owned(),
                    why,
                })
            })
        })
        .collect()
}

/// Whether this is text that has nothing of a solid: a measurement sheet, a page.
fn is_prose(file: &mut impl BufRead) -> bool {
    let mut begun = false;
    let mut line = Vec::new();
    loop {
        line.clear();
        match file.take(LONGEST_PROSE).read_until(b'\n', &mut line) {
            Ok(0) => return true,
            Ok(n) if n as u64 == LONGEST_PROSE => return false,
            Ok(_) => {}
            Err(_) => return false,
        }
        let Ok(text) = std::str::from_utf8(&line) else {
            return false;
        };
        let text = text.trim_start();
        let solid = !begun && text.starts_with("solid");
        begun |= !text.is_empty();
        if solid || text.starts_with("v ") || text.contains('\0') {
            return false;
        }
    }
}

/// A line of prose is shorter than this, bytes.
const LONGEST_PROSE: u64 = 1 << 20;

/// The triangles in a file: OBJ by its name, else STL by its content, else OBJ.
fn load(path: &Path) -> Result<Mesh, Error> {
    let mut file = input::solid(path)?;
    let named = |end: &str| {
        path.extension()
            .is_some_and(|e| e.eq_ignore_ascii_case(end))
    };
    let again = |source| Error::Io {
        path: path.to_path_buf(),
        source,
    };
    if named("obj") {
        return obj::read_from(file);
    }
    let e = match stl::read_from(&mut file) {
        Ok(mesh) => return Ok(mesh),
        Err(e) if named("stl") => return Err(e),
        Err(e) => e,
    };
    file.rewind().map_err(again)?;
    if is_prose(&mut file) {
        return Err(Error::format(ProgramFact::TextIsNoSolid {
            path: as_typed(path),
        }));
    }
    file.rewind().map_err(again)?;
    obj::read_from(file).map_err(|other| match (e, other) {
        (Error::Format(one), Error::Format(other)) => {
            let why = [one, other];
            Error::format(NeitherFormat { why })
        }
        (_, other) => other,
    })
}
