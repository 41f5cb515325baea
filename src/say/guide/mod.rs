//! `guide.html`: one page that takes somebody from a stack of sheet material to a finished form.
//!
//! # Why one page of HTML for the guide?
//! It opens on everything, needs no network and prints.

mod card;
mod cautions;
mod check;
mod cover_step;
mod dowels;
mod judge;
mod kinds;
mod layers;
mod pictures;
mod restart;
mod runs;
mod scenes;
mod shop;
mod stand;
mod steps;
mod time;

use crate::form::Form;
use crate::form::levels::Section;
use crate::form::totals;
use crate::imprint;
use crate::render::View;
use crate::say::html;
use crate::say::page::{Block, Page};
use crate::say::words;
use crate::sheet::{EXAMPLE_FILE, Origin};
use crate::text;
use crate::text::{PagePart, Text, bench, strong, tape, typed};
use crate::units::Unit;
use crate::workshop::material;
use crate::workshop::material::Pins;

/// The parts of the page that lead on.
const FORM: PagePart = place("form", "The form");
const BUY: PagePart = place("buy", "What to buy");
const TIME: PagePart = place("time", "How long it takes");
const STEPS: PagePart = place("steps", "Step by step");
const LAYERS: PagePart = place("layers", "Layer by layer");
const CARD: PagePart = place("card", "Check card");
const JUDGE: PagePart = place("judge", "Judging the form");
const ABOUT: PagePart = place("about", "How far to trust it");

const fn place(anchor: &'static str, name: &'static str) -> PagePart {
    PagePart { anchor, name }
}

/// The whole page. `pictures` are the shaded views, `sections` those at every level.
#[must_use]
pub fn page(form: &Form, pictures: &[View], sections: &[Section]) -> String {
    let sums = totals::totals(form);
    let mut judged = vec![check::findings(form)];
    judged.extend(check::table(form));
    judged.extend(judge::built(form, &sums));
    judged.extend(pictures::sections(sections, form.checked.unit));
    let shape = vec![
        check::verdict(form),
        pictures::views(form, pictures),
        Block::Under("Heights are above the underside of layer 1.".into()),
    ];
    let parts = [
        (FORM, shape),
        (BUY, shop::shopping(form, &sums)),
        (TIME, time::time(form, &sums)),
        (STEPS, steps::steps(form, &sums)),
        (LAYERS, layers::layers(form)),
        (CARD, card::card(form)),
        (JUDGE, judged),
        (ABOUT, about(form)),
    ];
    let mut page: Page = vec![what(form, &sums)];
    for (of, blocks) in parts {
        page.push(vec![Block::Place(of)]);
        page.push(blocks);
    }
    let name = &form.checked.sheet.name;
    let title = match form.stack.first_to_cut {
        0 | 1 => format!("{name}: building the form"),
        first => format!("{name}: building the form on from layer {first}"),
    };
    html::document(&title, &page, form.checked.reader())
}

/// What is built, above all parts.
fn what(form: &Form, t: &totals::Totals) -> Vec<Block> {
    let sheet = &form.checked.sheet;
    let layer = &form.workshop.layer;
    let pinned = material::named(&layer.material).is_none_or(|m| m.pins != Pins::No);
    let file = words::file_name(&sheet.file);
    let of_sheet = (file != EXAMPLE_FILE).then_some("the measurement sheet ");
    let taken = words::taken(sheet.taken.as_deref(), sheet.taken_by.as_deref());
    let mut out = Vec::new();
    if form.stack.scale < 0.75 {
        out.push(Block::Paragraph(text![
            strong("HALF SCALE."),
            " Every length of the body is halved; thickness, dowels, padding and cover are not."
        ]));
    }
    out.push(Block::Paragraph(text![
        "A stand-in form",
        pinned.then_some(" to pin into"),
        ", made from ",
        of_sheet,
        typed(file.to_owned()),
        taken.map(|taken| text![", measured ", taken]),
        ": ",
        text::many(t.layers, "flat layer"),
        " of ",
        &layer.material,
        ", ",
        bench(layer.thickness, 2),
        " thick, stacked on ",
        text::many(form.stack.dowels.len(), "dowel"),
        form.stack.pole.is_some().then_some(" and a pole"),
        ", then padded and covered. It stands ",
        tape(t.height),
        " tall without its stand and its layers weigh about ",
        text::weight(t.layer_weight, 1),
        "."
    ]));
    out.extend(restart::intro(form));
    out.push(Block::Paragraph(text![
        "Layers are smaller than the body by ",
        bench(form.stack.padding, 1),
        " all round, which padding and cover give back."
    ]));
    out
}

fn about(form: &Form) -> Vec<Block> {
    let (far, differ) = match form.checked.unit {
        Unit::Cm | Unit::Mm => ("1 m", "1 cm"),
        Unit::In => ("3 ft", "3/8 in"),
    };
    let mut readings = form.checked.readings.iter();
    let guessed = readings.any(|r| r.target.origin == Origin::Estimated);
    let replaced = " Each value that you measure replaces an estimate.";
    let told: [Text; 3] = [
        text![
            "The check shows that the shape meets the sheet, not that the sheet meets the body: two people measuring it \
             differ by about ",
            text::together(differ),
            " in a girth (common practice, no source).",
            guessed.then_some(replaced)
        ],
        text![
            "Cautions are reminders: the maker's data sheets, local rules and people trained on the machine come first. \
             Foam, batting and board burn fast: keep the form at least ",
            text::together(far),
            " from heaters, put no lamp inside it and do not stand it in a way out."
        ],
        text![
            "Made by ",
            imprint::PROGRAM,
            " of the body ",
            typed(imprint::of_shape(&form.checked.mesh.vertices)),
            ": boards and pages of another body do not go with this guide."
        ],
    ];
    told.into_iter().map(Block::Paragraph).collect()
}
