//! Padding a form out to a body: for a terminal, in numbers, and as a page to work from.

use crate::compare::{Body, CompareFact, PadLayer, PadLevel, PadPlan, SIDES, layers};
use crate::error::Error;
use crate::say::amount::{Amount, AmountScale};
use crate::say::compare::pair::alone;
use crate::say::compare::pictures;
use crate::say::compare::pictures::{Drawn, Middles};
use crate::say::html;
use crate::say::page::{Beside, Block, PageMark};
use crate::say::table::{Table, cells};
use crate::say::terminal;
use crate::say::words;
use crate::text;
use crate::text::{Part, Reader, Text};
use crate::units;
use crate::units::Unit;

/// A layer that covers less of a side than this leaves it out of the list: scraps.
const PART_LEAST: f64 = 0.03;
/// A layer that covers more of a side than this covers all of it.
const PART_MOST: f64 = 0.97;

/// How it is done, step by step (common practice, no source).
fn steps(unit: Unit) -> [Text; 8] {
    let beyond = || match unit {
        Unit::Cm | Unit::Mm => text::together("3 cm"),
        Unit::In => text::together("1 1/4 in"),
    };
    [
        "Put the bare form on its stand at the body's height and tape round it at the levels below. If \
         it differs from its sheet, measure the form again first."
            .into(),
        "Mark the body's levels on the form with thread, measured down from the nape.".into(),
        text![
            "Cut each layer ",
            beyond(),
            " larger all round than its spots on the map; tear the edges, and feather them to nothing \
             over those ",
            beyond(),
            "."
        ],
        "Lay the smallest pieces first, on the form, and the largest last: then the outer layer \
         shows no edge."
            .into(),
        "Above the middle of the armhole let the padding run out towards shoulder seam and neck.".into(),
        "Hold each layer with long loose stitches or pins flat to the surface; pull nothing tight.".into(),
        "Tape after every layer with the cover pulled on by hand: batting sinks under a cover.".into(),
        "Stretch the cover over it, and tape at every level against the body's sheet.".into(),
    ]
}

/// Which sides a layer covers, in words.
fn covers(layer: &PadLayer) -> String {
    let parts: Vec<String> = SIDES
        .iter()
        .zip(layer.part)
        .filter(|(_, p)| *p >= PART_LEAST)
        .map(|(side, p)| {
            if p > PART_MOST {
                format!("all {side}")
            } else {
                format!("{} % {side}", units::fixed(100.0 * p, 0))
            }
        })
        .collect();
    if parts.is_empty() {
        "scraps".to_owned()
    } else {
        parts.join(", ")
    }
}

fn thickness(mm: f64, unit: Unit) -> Amount {
    let scale = match unit {
        Unit::Cm | Unit::Mm => AmountScale::Tape(unit),
        // A millimetre counts here.
        Unit::In => AmountScale::Rule(unit, 0),
    };
    Amount::new(mm, scale)
}

fn heading(form: &Body, body: &Body) -> String {
    format!("{} padded out to {}", form.name, body.name)
}

/// Words for the terminal.
#[must_use]
pub fn padding(form: &Body, body: &Body, p: &PadPlan, unit: Unit) -> String {
    let page = vec![
        vec![Block::Heading(heading(form, body).into())],
        vec![Block::Table(table(p, unit))],
        legend(p, unit),
        batting(p, unit),
        how(unit),
    ];
    let reader = Reader::of(unit).about(form.figure.with(body.figure));
    terminal::page(&page, reader, false)
}

/// What the columns of the levels mean.
fn legend(p: &PadPlan, unit: Unit) -> Vec<Block> {
    let mut said = vec![Block::Note(text![
        "in ",
        unit.plural(),
        "; below: below the nape; form: the tape round the bare form at that height; evenly: the \
         thickness if it were the same all round; the cover is part of every thickness; a layer of \
         batting is ",
        text::together(unit.rule(p.batting, 1)),
        " under it"
    ])];
    if let Some(neck) = p.neck.filter(|n| *n > 0.0) {
        let neck = text::length(neck, unit);
        said.push(Block::Note(text!["neck: ", neck, " all round"]));
    }
    said
}

/// The layers of batting, and how much of it to buy.
fn batting(p: &PadPlan, unit: Unit) -> Vec<Block> {
    let cloth = |mm2: f64| text::together(unit.cloth(mm2, 2));
    let layer = |(i, l): (usize, &PadLayer)| {
        text![
            "layer ",
            i + 1,
            ": ",
            cloth(l.area),
            "; from ",
            text::length(l.reach[0], unit),
            " to ",
            text::length(l.reach[1], unit),
            " below the nape; ",
            covers(l)
        ]
    };
    vec![
        if p.layers.is_empty() {
            Block::Note("no spot is thick enough for a layer".into())
        } else {
            let layers = p.layers.iter().enumerate().map(layer);
            Block::List(PageMark::Nothing, layers.collect())
        },
        Block::Note(text![
            "batting to buy: ",
            cloth(p.area),
            ", with 15 % for cutting out"
        ]),
    ]
}

/// What to do, and what can hurt.
fn how(unit: Unit) -> Vec<Block> {
    let far = match unit {
        Unit::Cm | Unit::Mm => "1 m",
        Unit::In => "3 ft",
    };
    vec![
        Block::List(PageMark::Number, steps(unit).into()),
        Block::Caution(vec![text![
            "Pins and needles left in batting are found by fingers: count them. Batting burns fast: \
             keep the form at least ",
            text::together(far),
            " from heaters and lamps. The stand carries more weight than before: see that it does not \
             tip."
        ]]),
    ]
}

/// The same as a page: tables, the number of layers at every spot, sections.
///
/// # Errors
/// [`Error::Request`] when the body has no solid.
pub fn padding_page(form: &Body, body: &Body, p: &PadPlan, unit: Unit) -> Result<String, Error> {
    let solid = body
        .solid
        .as_ref()
        .ok_or_else(|| Error::request(CompareFact::TableHasNoSurface))?;
    let figure = form.figure.with(body.figure);
    let number = |thickness: f64| layers(thickness, p.batting).to_string();
    let key = format!("layers of {} batting at each spot", unit.rule(p.batting, 1));
    let cells: Vec<_> = p
        .sections
        .iter()
        .map(|(l, s)| (l.called(figure), s.clone()))
        .collect();
    let mut page = vec![vec![Block::Paragraph(text![
        "Full line: the body, ",
        &body.name,
        ". Dashed line: the bare form, ",
        &form.name,
        ", inside it, napes level."
    ])]];
    if !p.findings.is_empty() {
        page.push(vec![
            Block::Heading("what to look at first".into()),
            Block::List(PageMark::Dash, words::told(&p.findings)),
        ]);
    }
    page.push(vec![
        Block::Heading("thickness at every level".into()),
        Block::Table(table(p, unit)),
    ]);
    page.push(legend(p, unit));
    page.push(vec![Block::Heading("layers".into())]);
    page.push(batting(p, unit));
    let spots = pictures::spotted(&p.spots, solid, figure, &key, &Drawn::Words(&number, &key));
    page.push(vec![alone(spots)]);
    page.push(vec![
        Block::Heading("sections".into()),
        Block::Paragraph(
            "All at one scale, front upward; the gap between the lines is the padding.".into(),
        ),
        Block::Pictures(
            Beside::AtOneScale,
            pictures::overlaid(&cells, Middles::First),
        ),
    ]);
    page.push(vec![Block::Heading("step by step".into())]);
    page.push(how(unit));
    Ok(html::document(
        &heading(form, body),
        &page,
        Reader::of(unit).about(figure),
    ))
}

/// A row for each level: where it is, the girths, and the thickness evenly and on every side.
fn table(p: &PadPlan, unit: Unit) -> Table {
    let tape = |mm: f64| Amount::new(mm, AmountScale::Tape(unit));
    let row = |l: &PadLevel| {
        let mut row = cells![
            Part::Level(l.level),
            tape(l.below),
            tape(l.form),
            tape(l.body),
            thickness(l.evenly, unit),
        ];
        row.extend(l.around.map(|t| thickness(t, unit).into()));
        row
    };
    let heads = [
        "level", "below", "form", "body", "evenly", "front", "back", "right", "left",
    ];
    Table::new(&heads, p.levels.iter().map(row))
}
