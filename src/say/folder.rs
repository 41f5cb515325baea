//! The files of a form's folder: their names and their bytes.

use rayon::prelude::*;

use crate::drawing::{Drawing, dxf, pdf, svg};
use crate::error::Error;
use crate::form::Form;
use crate::form::levels;
use crate::form::totals;
use crate::layout::board::board_drawing;
use crate::layout::page;
use crate::mesh::Mesh;
use crate::mesh::stl;
use crate::render;
use crate::say::guide;
use crate::say::numbers;
use crate::say::views;
use crate::stack::Piece;

/// Name, in the folder, of everything in numbers.
pub const NUMBERS: &str = "form.json";

/// Name, in the folder, of the templates.
pub const TEMPLATES: &str = "templates.pdf";

/// Pages for the person's printer, which makes things longer or shorter than true.
fn printed(form: &Form, pages: &[Drawing]) -> Result<Vec<u8>, Error> {
    let printing = form.workshop.paper.printing();
    let stretch = (1.0 / printing.1, 1.0 / printing.0);
    pdf::write_stretched(pages, &form.checked.sheet.name, stretch)
}

/// The templates of some layers alone, by their numbers, as a file; and how many pages they take.
///
/// # Errors
/// As for [`folder`].
pub fn layers(form: &Form, layers: &[usize]) -> Result<(Vec<u8>, usize), Error> {
    let name = &form.checked.sheet.name;
    let pages = page::pages_of(layers, &form.stack, &form.workshop, name)?;
    Ok((printed(form, &pages)?, pages.len()))
}

/// The solid with its lowest layer's underside at height 0, as files have it.
fn grounded(mesh: &Mesh, zero: f64) -> Mesh {
    let mut out = mesh.clone();
    for p in &mut out.vertices {
        p.z -= zero;
    }
    out
}

/// Every file of the folder: its name with `/`, and its bytes. The same form gives the same bytes.
///
/// # Errors
/// [`Error::Layout`] and [`Error::Format`] when a drawing cannot be made or written.
pub fn folder(form: &Form) -> Result<Vec<(String, Vec<u8>)>, Error> {
    let name = &form.checked.sheet.name;
    let unit = form.checked.unit;
    let zero = totals::underside(form);
    let outlines = || svg::write(&views::views(&form.solid, zero, name, unit));
    let (drawn, written) = rayon::join(
        || -> Result<Vec<(String, Vec<u8>)>, Error> {
            let cuts = levels::cuts(&form.solid);
            let sections = svg::write(&views::sections(&cuts, name, unit))?;
            let pictures = render::views(&form.solid)?;
            let mut out = vec![(
                "guide.html".to_owned(),
                guide::page(form, &pictures, &cuts).into_bytes(),
            )];
            for view in pictures {
                out.push((format!("pictures/{}.png", view.name), view.png));
            }
            out.push(("pictures/views.svg".into(), outlines()?.into_bytes()));
            out.push(("pictures/sections.svg".into(), sections.into_bytes()));
            out.push((
                "solid/outer.stl".into(),
                stl::binary(&grounded(&form.solid, zero)),
            ));
            out.push((
                "solid/core.stl".into(),
                stl::binary(&grounded(&form.core, zero)),
            ));
            out.push((NUMBERS.into(), numbers::form(form)?.into_bytes()));
            Ok(out)
        },
        || -> Result<Vec<(String, Vec<u8>)>, Error> {
            let mut out = boards(form)?;
            for (file, pages) in [("proof.pdf", &form.proof), (TEMPLATES, &form.pages)] {
                if pages.is_empty() {
                    continue;
                }
                out.push((file.into(), printed(form, pages)?));
            }
            Ok(out)
        },
    );
    let mut out = drawn?;
    out.extend(written?);
    out.sort_by(|a, b| a.0.cmp(&b.0));
    Ok(out)
}

/// Every board as SVG and DXF.
fn boards(form: &Form) -> Result<Vec<(String, Vec<u8>)>, Error> {
    let pieces: Vec<&Piece> = form.cut.iter().map(|c| &c.piece).collect();
    let digits = form.boards.len().to_string().len().max(2);
    let drawn: Vec<[(String, Vec<u8>); 2]> = form
        .boards
        .par_iter()
        .enumerate()
        .map(|(i, board)| {
            let drawing = board_drawing(board, &pieces, &form.workshop)?;
            let name = format!("boards/board-{:0digits$}", i + 1);
            Ok([
                (format!("{name}.svg"), svg::write(&drawing)?.into_bytes()),
                (format!("{name}.dxf"), dxf::write(&drawing)?.into_bytes()),
            ])
        })
        .collect::<Result<_, Error>>()?;
    Ok(drawn.into_iter().flatten().collect())
}
