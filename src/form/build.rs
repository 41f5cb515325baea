//! From values to values: a sheet to its girth check, and that to a form.

use crate::asbuilt;
use crate::drawing::Drawing;
use crate::drawing::missing_glyphs;
use crate::error::{Error, Finding, Severity};
use crate::form::{Checked, Form, Stage};
use crate::layout::Board;
use crate::layout::nest;
use crate::layout::offcut;
use crate::layout::page;
use crate::layout::split;
use crate::measure::{Kind, Measure};
use crate::mesh;
use crate::sheet::Sheet;
use crate::stack;
use crate::stack::Blank;
use crate::stack::Piece;
use crate::stack::Pile;
use crate::stack::Stack;
use crate::stack::proof;
use crate::tape;
use crate::tape::{Reading, Verdict};
use crate::text;
use crate::tolerance::BUILT_TOLERANCE_MM;
use crate::tolerance::CREASE_TOLERANCE_MM;
use crate::tolerance::PINNED_MM;
use crate::torso;
use crate::torso::{Ends, Fit};
use crate::units::Unit;
use crate::workshop::Cut;
use crate::workshop::Stock;
use crate::workshop::Workshop;
use crate::workshop::material;
use crate::workshop::material::Pins;

/// Fits a body to `sheet`, makes it a solid and reads the tape on it. Reports print in `unit`, or in
/// the sheet's own.
///
/// # Errors
/// [`Error::Fit`] when no body can be made of the sheet.
pub fn check(sheet: Sheet, workshop: &Workshop, unit: Option<Unit>) -> Result<Checked, Error> {
    let ends = Ends {
        hem_below_hip: workshop.hem_below_hip,
        neck_above_girth: workshop.neck_above_girth,
    };
    let fit = torso::fit_to(&sheet, ends)?;
    let mesh = mesh::build(&fit.torso);
    let readings = tape::check(&mesh, &fit.targets);
    let mut findings = sheet.findings.clone();
    findings.extend(workshop.findings.iter().cloned());
    findings.extend(fit.findings.iter().cloned());
    findings.extend(untold_misses(&sheet, &fit, &readings));
    Ok(Checked {
        unit: unit.unwrap_or(sheet.unit),
        sheet,
        fit,
        mesh,
        readings,
        findings,
    })
}

/// A reading may be met by a hair on the surface and missed on the solid: the fit says nothing of it.
fn untold_misses(sheet: &Sheet, fit: &Fit, readings: &[Reading]) -> Vec<Finding> {
    readings
        .iter()
        .filter(|r| r.verdict == Verdict::Missed)
        .filter(|r| {
            !fit.findings
                .iter()
                .any(|f| f.measure == Some(r.target.measure))
        })
        .filter_map(|r| {
            let against = fit.against(r.target.measure, r.target.side)?;
            Some(torso::miss(sheet, r.target.value, r.solid?, against))
        })
        .collect()
}

/// A form to pin into needs something to pin into.
fn holds_no_pin(workshop: &Workshop, unit: Unit) -> Option<Finding> {
    let name = &workshop.layer.material;
    let none = material::named(name).is_some_and(|m| m.pins == Pins::No);
    (none && workshop.padding.batting < PINNED_MM).then(|| {
        Finding::new(
            Severity::Note,
            format!(
                "{name} holds no pin, and {} of batting is too thin to hold one",
                unit.bench(workshop.padding.batting, 1)
            ),
            format!(
                "if you pin into the form, write `batting` of {} or more under `[padding]`",
                unit.rule(PINNED_MM, 0)
            ),
        )
    })
}

/// Cuts the solid into layers, reads the tape on them as they will be built, and lays the pieces on
/// stock and paper; `tries` is how many repackings of the boards to look at.
///
/// # Errors
/// [`Error::Stack`] when the solid cannot be cut as the workshop asks, [`Error::Layout`] when a
/// piece fits on no stock or page.
pub fn build(checked: Checked, workshop: Workshop, tries: usize) -> Result<Form, Error> {
    rebuild(checked, workshop, tries, None, &mut |_| {})
}

/// The same; with a `pile` only the layers above it are cut, anew, to bring them to their right
/// heights, and only they lie on boards and pages. `told` hears of every step as it begins.
///
/// # Errors
/// As for [`build`], and [`Error::Stack`] when the pile cannot be one of this form.
pub fn rebuild(
    checked: Checked,
    workshop: Workshop,
    tries: usize,
    pile: Option<Pile>,
    told: &mut dyn FnMut(Stage),
) -> Result<Form, Error> {
    let unit = checked.unit;
    // Stack and layout know millimetres alone.
    let mut form = assemble(checked, workshop, tries, pile, told).map_err(|e| match e {
        Error::Stack(text) => Error::Stack(unit.beside_mm(&text)),
        Error::Layout(text) => Error::Layout(unit.beside_mm(&text)),
        other => other,
    })?;
    for finding in &mut form.checked.findings {
        finding.reader.unit = unit;
    }
    Ok(form)
}

fn assemble(
    mut checked: Checked,
    workshop: Workshop,
    tries: usize,
    pile: Option<Pile>,
    told: &mut dyn FnMut(Stage),
) -> Result<Form, Error> {
    let name = checked.sheet.name.clone();
    told(Stage::Cutting);
    let (stack, found) = stacked(&checked, &workshop, pile)?;
    checked.findings.extend(found);
    told(Stage::Reading);
    asbuilt::read(&stack, &checked.mesh.marks, &mut checked.readings);
    if workshop.layer.cut == Cut::Middle {
        checked.findings.extend(off_as_built(&checked, &stack));
        checked.findings.extend(neck_base_off(&checked, &stack));
    }
    told(Stage::Laying);
    checked.findings.extend(parted(&stack, &workshop)?);
    checked
        .findings
        .extend(holds_no_pin(&workshop, checked.unit));
    let (boards, ((pages, page_counts), (core, proof))) = rayon::join(
        || nested(&stack, &workshop, tries),
        || {
            rayon::join(
                || {
                    rayon::join(
                        || page::pages(&stack, &workshop, &name),
                        || page::counts(&stack, &workshop),
                    )
                },
                || {
                    // Before layers are cut anew the body has been proved.
                    let proved = stack.first_to_cut > 1;
                    (
                        stack::core_mesh(&checked.mesh, &workshop),
                        if proved {
                            Ok(Vec::new())
                        } else {
                            proof(&checked, &workshop)
                        },
                    )
                },
            )
        },
    );
    let (boards, pages, page_counts) = (boards?, pages?, page_counts?);
    let cut = to_cut(&stack, &workshop, None)?;
    let pieces: Vec<&Piece> = cut.iter().collect();
    let offcuts = boards
        .iter()
        .map(|board| {
            let stock = workshop.stock.get(board.stock)?;
            offcut::largest(board, &pieces, stock.gap + stock.kerf)
        })
        .collect();
    let (core, proof) = (core?, proof?);
    let missing: String = missing_glyphs(&pages)?.into_iter().collect();
    if !missing.is_empty() {
        checked.findings.push(Finding::new(
            Severity::Note,
            format!("the templates cannot print `{missing}` of the name and show `?` instead"),
            "write `name` in Latin, Greek or Cyrillic letters if the pages must carry it",
        ));
    }
    let solid = stack::enlarged(&checked.mesh, workshop.scale);
    Ok(Form {
        checked,
        workshop,
        solid,
        core,
        stack,
        boards,
        offcuts,
        pages,
        proof,
        page_counts,
    })
}

/// Pages of the proof set: card templates of the life-size body, to hold against the person.
///
/// # Errors
/// [`Error::Layout`] when the paper is too small for the check bars.
pub fn proof(checked: &Checked, workshop: &Workshop) -> Result<Vec<Drawing>, Error> {
    let cards = proof::cards(&checked.mesh, page::window(&workshop.paper)?)?;
    let listed: Vec<(&Piece, &str)> = cards.iter().map(|c| (&c.piece, c.what.as_str())).collect();
    page::cards(
        &listed,
        &workshop.paper,
        &format!("{}: proof", checked.sheet.name),
        checked.mesh.marks.floor.is_some(),
    )
}

/// The finished stack of a checked sheet, its girths as built brought to those of the solid.
///
/// # Errors
/// [`Error::Stack`] when the solid cannot be cut as the workshop asks.
pub fn stacked(
    checked: &Checked,
    workshop: &Workshop,
    pile: Option<Pile>,
) -> Result<(Stack, Vec<Finding>), Error> {
    let name = &checked.sheet.name;
    let settled = |mut blank: Blank| {
        if workshop.layer.cut == Cut::Middle {
            let wedges = workshop.wedges;
            asbuilt::settle(&mut blank, &checked.mesh.marks, &checked.readings, wedges);
        }
        stack::finish(blank, workshop, name)
    };
    let (stack, mut found) = settled(stack::blank(&checked.mesh, workshop)?)?;
    let Some(pile) = pile else {
        return Ok((stack, found));
    };
    let blank = stack::restarted(&stack, &checked.mesh, workshop, pile)?;
    let (stack, more) = settled(blank)?;
    found.extend(more);
    Ok((stack, found))
}

/// What is said when girths as built are not those of the solid.
fn off_as_built(checked: &Checked, stack: &Stack) -> Option<Finding> {
    let off: Vec<(&Reading, f64)> = checked
        .readings
        .iter()
        .filter(|r| is_level(r))
        .filter_map(|r| Some((r, (r.built? - r.solid?) * stack.scale)))
        .filter(|(_, off)| off.abs() > BUILT_TOLERANCE_MM)
        .collect();
    if off.is_empty() {
        return None;
    }
    let said: Vec<String> = off
        .iter()
        .map(|(r, off)| {
            let off = match checked.unit {
                Unit::Cm | Unit::Mm => Unit::Mm.show_difference(*off),
                Unit::In => Unit::In.show_difference(*off),
            };
            format!("{} {off}", r.title())
        })
        .collect();
    // A layer has one outline: of two levels in it neither can have its own girth.
    let together: Vec<String> = stack
        .layers
        .iter()
        .filter_map(|layer| {
            let names: Vec<&str> = off
                .iter()
                .filter_map(|(r, _)| asbuilt::level_of(r.target.measure))
                .filter(|level| layer.levels.contains(level))
                .map(|level| level.name())
                .collect();
            (names.len() > 1)
                .then(|| format!("{} share layer {}", names.join(" and "), layer.index))
        })
        .collect();
    let why = if together.is_empty() {
        String::new()
    } else {
        format!(" ({}, which has one girth)", together.join("; "))
    };
    Some(Finding::new(
        Severity::Warning,
        format!(
            "as built, these girths are not those of the solid: {}{why}",
            said.join(", ")
        ),
        "thinner layers follow the body better (`layfigure plan` shows how much); or mend them with padding, as the guide says level by level",
    ))
}

/// What is said when the neck base as built is not that of the solid: its tape runs over the steps of
/// neck and shoulders, which are feathered with scraps.
fn neck_base_off(checked: &Checked, stack: &Stack) -> Option<Finding> {
    let reading = checked
        .readings
        .iter()
        .find(|r| r.target.measure == Measure::GirthNeckBase)?;
    let off = (reading.built? - reading.solid?) * stack.scale;
    (off.abs() > CREASE_TOLERANCE_MM).then(|| {
        let off = match checked.unit {
            Unit::Cm | Unit::Mm => Unit::Mm.show_difference(off),
            Unit::In => Unit::In.show_difference(off),
        };
        Finding::new(
            Severity::Warning,
            format!(
                "as built, the neck base is {off} off the solid: the tape runs over steps that are too high for outlines to make up for"
            ),
            "feather the steps at neck and shoulders with scraps until the tape reads right, or add a thin `[[layer]]` and `form.step`, which puts thin layers there",
        )
    })
}

/// The pieces that are still to be cut, of one material or of all: those that are larger than the
/// stock of their material in parts.
///
/// # Errors
/// [`Error::Layout`] when a piece cannot be parted.
pub fn to_cut(
    stack: &Stack,
    workshop: &Workshop,
    material: Option<usize>,
) -> Result<Vec<Piece>, Error> {
    let mut out = Vec::new();
    for (of, piece) in stack.to_cut() {
        if material.is_some_and(|m| m != of) {
            continue;
        }
        let numbers = workshop.stock_for(of);
        let stocks: Vec<Stock> = numbers.iter().map(|i| workshop.stock[*i].clone()).collect();
        let parts = split::parts(piece, &stocks)?;
        if parts.is_empty() {
            out.push(piece.clone());
        } else {
            out.extend(parts);
        }
    }
    Ok(out)
}

/// What is said when pieces are larger than the stock.
fn parted(stack: &Stack, workshop: &Workshop) -> Result<Option<Finding>, Error> {
    let cut = to_cut(stack, workshop, None)?;
    let parts = cut
        .iter()
        .filter(|p| stack.to_cut().all(|(_, q)| q.id != p.id))
        .count();
    let whole = stack
        .to_cut()
        .map(|(_, piece)| piece)
        .filter(|p| cut.iter().all(|q| q.id != p.id))
        .count();
    Ok((parts > 0).then(|| {
        Finding::new(
            Severity::Note,
            format!(
                "{} larger than the stock: cut in {parts} parts that hook into one another, the seam on the other side of the middle in every other layer",
                text::count(whole, "piece") + if whole == 1 { " is" } else { " are" }
            ),
            "join the parts flat, glue them to the layers above and below, and let them dry under weights; on larger stock there is no seam",
        )
    }))
}

/// The pieces that are still to be cut, laid on the stock of their own material.
pub(super) fn nested(
    stack: &Stack,
    workshop: &Workshop,
    tries: usize,
) -> Result<Vec<Board>, Error> {
    let mut out = Vec::new();
    let mut materials: Vec<usize> = stack.to_cut().map(|(material, _)| material).collect();
    materials.sort_unstable();
    materials.dedup();
    for material in materials {
        let numbers = workshop.stock_for(material);
        let stocks: Vec<Stock> = numbers.iter().map(|i| workshop.stock[*i].clone()).collect();
        if stocks.is_empty() {
            return Err(Error::Layout(format!(
                "no `[[stock]]` is of `{}`, material number {}: add one with `layer = {}`, or leave `layer` out of a stock that comes in all of them",
                workshop.material(material).material,
                material + 1,
                material + 1
            )));
        }
        let cut = to_cut(stack, workshop, Some(material))?;
        let pieces: Vec<&Piece> = cut.iter().collect();
        for mut board in nest::nest(&pieces, &stocks, tries)? {
            board.stock = numbers.get(board.stock).copied().unwrap_or(board.stock);
            out.push(board);
        }
    }
    Ok(out)
}

/// Girths that a level tape reads: the others follow creases.
pub(super) fn is_level(r: &Reading) -> bool {
    r.target.measure.kind() == Kind::Girth
        && !matches!(
            r.target.measure,
            Measure::GirthNeckBase | Measure::GirthArmscye
        )
}
