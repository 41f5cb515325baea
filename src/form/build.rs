//! From values to values: a sheet to its girth check, and that to a form.

use crate::asbuilt;
use crate::drawing::{Drawing, missing_glyphs};
use crate::error::{Error, Finding, Severity};
use crate::form::facts::FormFact;
use crate::form::{Checked, Form, Stage};
use crate::imprint;
use crate::layout::nest;
use crate::layout::offcut;
use crate::layout::page;
use crate::layout::split;
use crate::layout::split::CutOut;
use crate::layout::{Board, LayoutFact};
use crate::measure::{Kind, Level, Measure};
use crate::mesh;
use crate::sheet::Sheet;
use crate::stack;
use crate::stack::proof;
use crate::stack::{Blank, Piece, PieceId, Pile, Stack};
use crate::tape;
use crate::tape::{Reading, Verdict};
use crate::text::Reader;
use crate::tolerance::{BUILT_TOLERANCE_MM, CREASE_TOLERANCE_MM, PINNED_MM};
use crate::torso;
use crate::torso::{Ends, Fit};
use crate::units::Unit;
use crate::workshop::material;
use crate::workshop::material::Pins;
use crate::workshop::{Cut, Paper, Stock, Workshop};

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
    let mut mesh = mesh::build(&fit.torso);
    mesh.marks.figure = sheet.figure;
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
        let fact = FormFact::HoldsNoPin {
            material: name.clone(),
            batting: workshop.padding.batting,
            least: PINNED_MM,
            unit,
        };
        Finding::of(Severity::Note, fact)
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

/// The same; with a `pile` only the layers above it are cut again, to bring them to their right
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
    let reader = Reader {
        unit: checked.unit,
        figure: checked.sheet.figure,
        ..Reader::default()
    };
    let mut form = assemble(checked, workshop, tries, pile, told).map_err(|e| e.told(reader))?;
    for finding in &mut form.checked.findings {
        finding.reader = reader;
    }
    Ok(form)
}

fn assemble(
    mut checked: Checked,
    mut workshop: Workshop,
    tries: usize,
    pile: Option<Pile>,
    told: &mut dyn FnMut(Stage),
) -> Result<Form, Error> {
    let name = checked.sheet.name.clone();
    workshop.paper.unit = checked.unit;
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
    let cut = split::cut_outs(&stack, &workshop)?;
    checked.findings.extend(parted(&cut));
    checked
        .findings
        .extend(holds_no_pin(&workshop, checked.unit));
    let (boards, ((pages, page_counts), (core, proof))) = rayon::join(
        || nested(&cut, &workshop, tries),
        || {
            rayon::join(
                || {
                    rayon::join(
                        || page::pages(&stack, &workshop, &name),
                        || page::counts(&stack, &workshop),
                    )
                },
                || {
                    // Before layers are cut again the body has been proved.
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
    let pieces: Vec<&Piece> = cut.iter().map(|c| &c.piece).collect();
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
        let letters = missing;
        let fact = FormFact::NoSuchLetters { letters };
        checked.findings.push(Finding::of(Severity::Note, fact));
    }
    let solid = stack::enlarged(&checked.mesh, workshop.scale);
    Ok(Form {
        checked,
        workshop,
        solid,
        core,
        padded_area: stack.padded_area(),
        stack,
        cut,
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
    let paper = Paper {
        unit: checked.unit,
        ..workshop.paper.clone()
    };
    let cards = proof::cards(&checked.mesh, page::window(&paper)?, checked.unit)?;
    page::cards(
        &cards,
        &paper,
        &format!("{}: proof", checked.sheet.name),
        &imprint::of_shape(&checked.mesh.vertices),
        match (checked.mesh.marks.floor, checked.mesh.marks.seat) {
            (_, Some(_)) => page::HeightsFrom::Seat,
            (Some(_), None) => page::HeightsFrom::Floor,
            (None, None) => page::HeightsFrom::Waist,
        },
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

/// What to say when girths as built differ from the solid's.
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
    // A layer has one outline: of two levels in it neither can have its own girth.
    let together = stack
        .layers
        .iter()
        .filter_map(|layer| {
            let levels: Vec<Level> = off
                .iter()
                .filter_map(|(r, _)| asbuilt::level_of(r.target.measure))
                .filter(|level| layer.levels.contains(level))
                .collect();
            (levels.len() > 1).then_some((levels, layer.index))
        })
        .collect();
    let girths = off
        .iter()
        .map(|(r, off)| ((r.target.measure, r.target.side), *off));
    let fact = FormFact::OffAsBuilt {
        girths: girths.collect(),
        together,
        unit: fine(checked.unit),
    };
    Some(Finding::of(Severity::Warning, fact))
}

/// The unit that differences of girths are shown in: millimetres, or inches for anyone who reads those.
const fn fine(unit: Unit) -> Unit {
    match unit {
        Unit::Cm | Unit::Mm => Unit::Mm,
        Unit::In => Unit::In,
    }
}

/// What to say when the neck base as built differs from the solid's: its tape runs over the steps of
/// neck and shoulders, which are feathered with scraps.
fn neck_base_off(checked: &Checked, stack: &Stack) -> Option<Finding> {
    let reading = checked
        .readings
        .iter()
        .find(|r| r.target.measure == Measure::GirthNeckBase)?;
    let off = (reading.built? - reading.solid?) * stack.scale;
    (off.abs() > CREASE_TOLERANCE_MM).then(|| {
        let unit = fine(checked.unit);
        Finding::of(Severity::Warning, FormFact::NeckBaseOff { off, unit })
    })
}

/// What to say when pieces are larger than the stock.
fn parted(cut: &[CutOut]) -> Option<Finding> {
    let ids = cut.iter().map(|c| c.piece.id);
    let mut whole: Vec<PieceId> = ids
        .filter(|id| id.part.is_some())
        .map(PieceId::whole)
        .collect();
    let parts = whole.len();
    whole.dedup();
    (parts > 0).then(|| {
        let pieces = whole.len();
        Finding::of(Severity::Note, FormFact::CutInParts { pieces, parts })
    })
}

/// The pieces that are still to be cut, laid on the stock of their own material.
pub(super) fn nested(
    cut: &[CutOut],
    workshop: &Workshop,
    tries: usize,
) -> Result<Vec<Board>, Error> {
    let mut out = Vec::new();
    let mut materials: Vec<usize> = cut.iter().map(|c| c.material).collect();
    materials.sort_unstable();
    materials.dedup();
    for material in materials {
        let numbers = workshop.stock_for(material);
        let stocks: Vec<Stock> = numbers.iter().map(|i| workshop.stock[*i].clone()).collect();
        if stocks.is_empty() {
            return Err(Error::layout(LayoutFact::NoStockOf {
                material: workshop.material(material).material.clone(),
                number: material + 1,
            }));
        }
        let own = cut.iter().filter(|c| c.material == material);
        let pieces: Vec<&Piece> = own.map(|c| &c.piece).collect();
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
