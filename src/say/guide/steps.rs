//! The work itself: every step with its cautions.

use super::cautions;
use super::check;
use super::cover_step;
use super::dowels;
use super::kinds;
use super::runs::runs;
use super::scenes;
use super::stand;
use crate::form::Form;
use crate::form::totals;
use crate::form::totals::Totals;
use crate::say::amount::{Amount, AmountScale};
use crate::say::page::Block;
use crate::say::table::{Cell, Table, cells};
use crate::text;
use crate::text::{Text, bench, rule, strong, tape, typed};
use crate::tolerance::STACK_HEIGHT_TOLERANCE_MM;
use crate::units::{MM_PER_INCH, Unit};
use crate::workshop::INCH_BAR;

/// Everything from the first sheet to the last check, in the order of the work.
pub(super) fn steps(form: &Form, t: &Totals) -> Vec<Block> {
    let parts = [
        measure(form, t),
        print(form),
        prove(form),
        cut(form, t),
        stack(form),
        glue(form),
        [Block::Step("7. Stand".into())]
            .into_iter()
            .chain(stand::stand(form, t))
            .collect(),
        finish(form),
    ];
    parts.into_iter().flatten().collect()
}

/// Stock and padding, before anything is drawn on.
fn measure(form: &Form, t: &Totals) -> Vec<Block> {
    let mut out = vec![Block::Step("1. Measure stock and padding".into())];
    if let Some(last) = form.stack.piled().last() {
        out.push(Block::Paragraph(text![
            "Pile ten pieces of the new stock, press lightly: they must be as high as ten of layers 1 to ",
            last.index,
            ", without glue. If not, look for stock that is."
        ]));
    } else {
        out.extend(measured(form, t));
    }
    out.push(Block::Paragraph(kinds::flat(form).into()));
    out
}

/// How stock and padding are measured, and where that is written.
fn measured(form: &Form, t: &Totals) -> [Block; 2] {
    let w = &form.workshop;
    let unit = form.checked.unit;
    // What a pile can be read to.
    let off = match unit {
        Unit::Cm | Unit::Mm => 1.0,
        Unit::In => unit.to_mm(1.0 / 16.0),
    };
    let both = w.padding.thickness();
    let piles = form.stack.materials().into_iter().map(|i| {
        let sheet = w.material(i);
        text![rule(10.0 * sheet.thickness, 1), " of ", &sheet.material]
    });
    // As a pile of this stock could measure, with its unit: the file may have another.
    let example = unit.rule(10.0 * w.layer.thickness + off, 1);
    [
        Block::Paragraph(text![
            "The layers are drawn for both. Pile ten sheets, or ten offcuts of them, press lightly: they must be ",
            Text::joined(piles, ", "),
            ". ",
            bench(off, 0),
            " more or less makes the form ",
            tape(off * t.layers as f64 / 10.0),
            " too tall or short. Tape a tin bare, then with batting and cover stretched over it: that must be ",
            tape(both * std::f64::consts::TAU),
            " more (",
            bench(both, 1),
            " thick)."
        ]),
        Block::Paragraph(text![
            "If either is off, write what you read into the workshop file, a text file about your stock and tools (",
            typed("layfigure new --workshop room"),
            " makes one): ",
            typed(format!("ten_stacked = \"{example}\"")),
            " under `[[layer]]`, `wrap_bare` and `wrap_padded` under `[padding]`. Build again with ",
            typed("--workshop room.toml"),
            "."
        ]),
    ]
}

/// The printer, proved.
fn print(form: &Form) -> Vec<Block> {
    let unit = form.checked.unit;
    let (along, across) = form.workshop.paper.bars();
    // On paper each bar has one of whole inches beside it.
    let bar = |mm: f64| match unit {
        Unit::Cm | Unit::Mm => rule(mm, 0),
        Unit::In => rule(mm * INCH_BAR, 0),
    };
    let near = |mm: f64| {
        text::together(format!(
            "{} {}",
            unit.drill_bare(mm * 0.005),
            unit.bench_name()
        ))
    };
    let example = form.workshop.paper.printed_example();
    let example = match form.workshop.paper.unit {
        Unit::Cm | Unit::Mm => format!("--printed {example}"),
        Unit::In => format!("--printed \"{example}\""),
    };
    vec![
        Block::Step("2. Print and check the scale".into()),
        Block::Paragraph(text![
            strong(text![
                "Print ",
                (!form.pages.is_empty()).then_some("`templates.pdf` "),
                "at 100 %, never “fit to page”."
            ]),
            " Its first pages say what each line is. Print one page first. The bar of ",
            bar(along),
            " up its side must be right within ",
            near(along),
            ", that of ",
            bar(across),
            " along its foot within ",
            near(across),
            ", and both diagonals, cross to cross, as the page says. ",
            strong("Cut nothing before both bars are right"),
            "; measure the last page too. If one is off, build again with ",
            typed(example),
            " (your two bars, up the side first), or ask whoever made these files to. On a machine measure the bar of any file in `boards`."
        ]),
        Block::Paragraph(text![
            "Pages that belong together: cut one of them with scissors along its thin join line, lay it \
             on that of the other, letter on letter, and tape it; the whole may be out by ",
            rule(1.5, 1),
            "."
        ]),
    ]
}

/// The proof, before the first layer.
fn prove(form: &Form) -> Vec<Block> {
    if form.proof.is_empty() {
        return Vec::new();
    }
    vec![
        Block::Step("3. Hold the proof against the person".into()),
        cautions::at_the_proof(form),
        Block::Paragraph(text![
            "Glue `proof.pdf` (",
            text::many(form.proof.len(), "page"),
            if form.workshop.scale < 1.0 {
                "; it is life size, for the person, whatever the form's scale"
            } else {
                ""
            },
            ") on card and cut. Hold each at its level: the inner edge must lie along the body, over the underwear the form \
             is to wear; profiles hang plumb. Where light shows, or a card cannot come near, measure again, correct the \
             sheet and build again."
        ]),
    ]
}

/// From the line on paper to the piece.
fn cut(form: &Form, t: &Totals) -> Vec<Block> {
    let w = &form.workshop;
    let unit = form.checked.unit;
    let (outside, more) = match unit {
        Unit::Cm | Unit::Mm => ("1 mm", "6 mm"),
        Unit::In => ("1/32 in", "3/16 in"),
    };
    let shared = w.paper.outlines > 1;
    let to_cut = form.stack.layers_to_cut();
    let some = |share: usize| to_cut.get(to_cut.len() / share).map_or(1, |l| l.index);
    let spoilt = format!("--layers {},{}", some(3), some(2));
    let fold = " A half is traced twice. First prick both ends of every T, and what is called LEFT, through the paper, and \
                write its name on the back. Rule a centre line on the stock, lay the paper's straight edge on it, trace, \
                and mark the holes on that line and those called RIGHT. Turn the paper over along the line, trace, and \
                mark those called LEFT and no others.";
    let trim = "Only then trim the paper to its next line, and trace that on other stock. ";
    let mut out = vec![Block::Step("4. Trace and cut".into())];
    out.extend(dowels::first_run(form));
    out.push(Block::Paragraph(text![
        "For each template: cut the paper at its outermost line. Lay it on the stock, trace round its edge with a soft \
         pencil, and prick the middle of every hole.",
        w.paper.fold.then_some(fold),
        " On the upper face write the layer's number (1, the lowest, to ",
        t.layers,
        ") and FRONT; draw centre and side lines out to the edge, and the small T on it. ",
        shared.then_some(trim),
        "A machine draws all of it."
    ]));
    if shared {
        out.push(scenes::trimming(w.paper.fold));
    }
    let rings = form.stack.pieces().any(|p| p.openings().next().is_some());
    let inside = "What lies inside the inner line of a ring is no piece and falls out, unless a number is drawn in it: look \
                  before you throw it away. ";
    out.push(Block::Paragraph(text![
        rings.then_some(inside),
        "Make holes and openings first, then the outline, on the line, blade upright: ",
        text::together(outside),
        " outside it adds ",
        text::together(more),
        " to a girth. Files in `boards` give back half the cut (kerf ",
        w.stock.first().map(|s| bench(s.kerf, 2)),
        "). ",
        typed(spoilt),
        " draws templates for layers that were spoilt."
    ]));
    out.push(cautions::at_the_cut(form));
    out
}

fn stack(form: &Form) -> Vec<Block> {
    let unit = form.checked.unit;
    let zero = totals::underside(form);
    let below = form.stack.piled().last().map(|last| {
        text![
            "The pile of layers 1 to ",
            last.index,
            " is the run below the first one here. "
        ]
    });
    let runs = runs(form);
    let rows = runs.iter().filter_map(|run| {
        let (first, last) = (run.layers.first()?, run.layers.last()?);
        Some(cells![
            run.name,
            format!("{}–{}", first.index, last.index),
            Amount::new(last.top - zero, AmountScale::Fine(unit)),
            Cell::Blank
        ])
    });
    let table = Table::new(&["Run", "Layers", "Height", "Read"], rows).under(text![
        "Runs: heights from the underside of layer 1, in ",
        unit.bench_plural(),
        ", right within ",
        rule(STACK_HEIGHT_TOLERANCE_MM, 0),
        " for every ",
        tape(if unit == Unit::In {
            8.0 * MM_PER_INCH
        } else {
            200.0
        })
    ]);
    let mut out = vec![
        Block::Step("5. Stack dry, run by run".into()),
        Block::Paragraph(text![
            below,
            "Thread the pieces on the dowels",
            and_pole(form),
            ", the lowest first, FRONT over FRONT, written face up; turned, a piece will not thread. Push a dowel that \
             begins higher up in when its first layer is on. A break in the slanting line is a missing, doubled or shifted \
             piece."
        ]),
        scenes::run(),
        dowels::dowels(form),
        cautions::at_the_dowels(),
        Block::Table(table),
    ];
    out.extend(dowels::pile(form));
    out
}

/// Named beside the dowels, where there is one.
fn and_pole(form: &Form) -> Option<&'static str> {
    form.stack.pole.is_some().then_some(" and the pole")
}

fn glue(form: &Form) -> Vec<Block> {
    let dry = "The pile is the first run: if it is still dry, glue it now, as it lies. ";
    let mut out = vec![
        Block::Step("6. Glue".into()),
        Block::Paragraph(text![
            "Glue: ",
            kinds::glue(form),
            ". ",
            (!form.stack.piled().is_empty()).then_some(dry),
            "Wax the upper parts of the dowels",
            and_pole(form),
            " with a candle and keep glue a thumb's width from their holes, on small pieces as far as there is room. Glue the first run that is not glued yet, every \
             layer pushed the same way, check height and plumb, weight it, let it dry. Build each further run on the run \
             below, the marks going on, its lowest layer not glued; once dry, lift it a finger's breadth, glue the joint and \
             push it home. Base board and neck cap come last. Fill in “Bare stack” on the check card."
        ]),
    ];
    out.extend(dowels::wedges(form));
    out.push(cautions::at_the_glue());
    out
}

fn finish(form: &Form) -> Vec<Block> {
    let mut out = vec![
        Block::Step("8. Pad".into()),
        Block::Paragraph(
            "Cover the stack evenly with batting, edges butted and caught with long stitches, shoulder steps feathered \
             with scraps; base and neck cap stay bare. Fill in “Padded” on the check card, and put right with batting what \
             is too little."
                .into(),
        ),
    ];
    out.extend(check::padding(form));
    out.push(Block::Step("9. Cover".into()));
    out.extend(cover_step::cover(form));
    out.push(Block::Step("10. Check".into()));
    out.push(Block::Paragraph(
        "Fill in the last column of the check card. Where a value is outside its band, add or remove batting.".into(),
    ));
    out
}
