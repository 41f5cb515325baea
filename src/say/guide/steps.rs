//! The work itself: what to buy, how long it takes, and every step with its cautions.

use maud::{Markup, html};

use super::cautions;
use super::check;
use super::cover_step;
use super::dowels;
use super::kinds;
use super::restart;
use super::runs::runs;
use super::scenes;
use super::stand;
use crate::form::Form;
use crate::form::cost;
use crate::form::cost::{CLOTH_SPARE, SPARE};
use crate::form::totals;
use crate::form::totals::Totals;
use crate::layout::Board;
use crate::say::html;
use crate::say::materials;
use crate::say::words;
use crate::text;
use crate::text::Reader;
use crate::tolerance::STACK_HEIGHT_TOLERANCE_MM;
use crate::units;
use crate::units::Unit;
use crate::workshop::INCH_BAR;

/// `1000 x 600 mm`.
fn size(width: f64, length: f64, unit: Unit) -> String {
    format!("{} × {}", unit.rule_bare(width, 0), unit.rule(length, 0))
}

/// What is bought of every stock and material, with its spare.
fn bought(form: &Form) -> Vec<String> {
    let w = &form.workshop;
    let unit = form.checked.unit;
    let material = |board: &Board| {
        let first = board.placed.first().map(|p| p.piece);
        let mut cut = form.cut.iter();
        cut.find(|c| first == Some(c.piece.id))
            .map_or(0, |c| c.material)
    };
    let mut kinds: Vec<(usize, usize)> =
        form.boards.iter().map(|b| (material(b), b.stock)).collect();
    kinds.sort_unstable();
    kinds.dedup();
    kinds
        .into_iter()
        .filter_map(|(of, stock)| {
            let s = w.stock.get(stock)?;
            let boards: Vec<&Board> = form
                .boards
                .iter()
                .filter(|b| b.stock == stock && material(b) == of)
                .collect();
            let sheet = w.material(of);
            let traits = materials::traits(&sheet.material);
            let amount = if s.roll {
                let length: f64 = boards.iter().map(|b| b.length).sum();
                format!(
                    "{} off a roll {} wide: the layout takes {}, the rest is spare",
                    unit.run(length * SPARE, 1),
                    unit.show(s.width),
                    unit.run(length, 1)
                )
            } else {
                format!(
                    "{} of {}: the layout takes {}, the rest is spare",
                    text::count(cost::bought(boards.len()), "board"),
                    size(s.width, s.length, unit),
                    boards.len()
                )
            };
            Some(format!(
                "{}, measured thickness {}{traits}: {amount}",
                sheet.material,
                unit.bench(sheet.thickness, 2)
            ))
        })
        .collect()
}

/// Diameters of all round holes: `8.3 mm, 25.3 mm`.
fn holes(form: &Form) -> String {
    let mut all: Vec<String> = Vec::new();
    let mut rounds: Vec<f64> = form
        .stack
        .pieces()
        .flat_map(|p| p.rounds().map(|r| r.1))
        .collect();
    rounds.sort_by(f64::total_cmp);
    for diameter in rounds {
        let shown = form.checked.unit.bench(diameter, 1);
        if all.last() != Some(&shown) {
            all.push(shown);
        }
    }
    all.join(", ")
}

/// A list to tick off.
pub(super) fn shopping(form: &Form, t: &Totals) -> Markup {
    let w = &form.workshop;
    let unit = form.checked.unit;
    let glue = kinds::glue(form);
    let stock = bought(form);
    if !form.stack.piled().is_empty() {
        return html! {
            (restart::shopping(form, &stock, &glue))
            (offcuts(form))
            (dowels::openings(form, t))
        };
    }
    let cost = cost::cost(w, &form.boards, t.dowel_length, t.batting_area);
    html! {
        ul class="ticks" {
            @for line in stock { li class="tick" { (line) } }
            li class="tick" {
                "Dowels of " (dowels::diameters(form)) ", " (unit.run(t.dowel_length, 1)) " in all: " (dowels::rods(form))
                ", and one as spare"
            }
            @if let Some(pole) = form.stack.pole {
                li class="tick" {
                    "Pole, " (unit.bench(pole.diameter, 1)) " dia., "
                    (unit.show(t.pole_length.unwrap_or(t.height)))
                    " long and what the foot takes of it; measure it, names of pipe sizes are not diameters"
                }
            }
            li class="tick" { "Glue: " (glue) }
            li class="tick" {
                "Batting that is " (unit.bench(w.padding.batting, 1))
                " thick under the cover: " (unit.cloth(t.batting_area * CLOTH_SPARE, 1))
            }
            li class="tick" {
                (cover_step::to_buy(form))
            }
            li class="tick" {
                "Base board, " (unit.bench(w.base, 0)) " thick, of plywood or the like, by its template"
            }
            li class="tick" {
                "Cap plate for the neck, by its template: plywood or hardboard of "
                (unit.rule_bare(4.0, 0)) "–" (unit.rule(6.0, 0)) "; two glued layers are enough if the form does not hang \
                 (common practice, no source)"
            }
            li class="tick" {
                "Stand with a foot reaching " (unit.show(t.base_radius)) " on every side"
                @if t.base_radius_careful > t.base_radius {
                    ", " (unit.show(t.base_radius_careful)) " with children or pets"
                }
                "; or a screw eye and a swivel hook to hang it"
            }
            @if !form.pages.is_empty() {
                li class="tick" {
                    (text::count(form.pages.len(), "page")) " of " (w.paper.name)
                    ", to cut by hand"
                }
            }
            @if !form.proof.is_empty() {
                li class="tick" {
                    "Card and paste for " (text::count(form.proof.len(), "page")) " of the proof"
                }
            }
            li class="tick" {
                "To make round holes: a punch or drill bit for " (holes(form)) "; a saw for the dowels"
            }
            @if form.stack.pole.is_some() {
                li class="tick" { "A collar or flange that slides on the pole, screws, a pin" }
            }
            li class="tick" { "Blades, cutting mat, steel rule, tape measure, masking tape, pencil, weights, pins, thread, long needle" }
        }
        @if let Some(sum) = cost.sum() {
            p {
                @let (within, without) = cost.counted();
                "At the prices of the workshop file " (within) ", with their spare, come to about "
                strong { (units::fixed(sum, 0)) " " (cost.currency) }
                ". Not in it: " (without) "."
            }
        }
        (offcuts(form))
        (dowels::openings(form, t))
    }
}

/// What the boards leave that is worth keeping.
fn offcuts(form: &Form) -> Markup {
    html! {
        @if let Some(left) = words::offcuts(form) {
            p {
                "What the boards leave: " (left.plain(Reader::default())) "; the next form can use it (" code { "[[stock]]" } " with a " code { "count" } ")."
            }
        }
    }
}

/// Everything from the first sheet to the last check, in the order of the work.
pub(super) fn steps(form: &Form, t: &Totals) -> Markup {
    html! {
        (measure(form, t))
        (print(form))
        (prove(form))
        (cut(form, t))
        (stack(form))
        (glue(form))
        h3 { "7. Stand" }
        (stand::stand(form, t))
        (finish(form))
    }
}

/// Stock and padding, before anything is drawn on.
fn measure(form: &Form, t: &Totals) -> Markup {
    let w = &form.workshop;
    let unit = form.checked.unit;
    // What a pile can be read to.
    let off = match unit {
        Unit::Cm | Unit::Mm => 1.0,
        Unit::In => unit.to_mm(1.0 / 16.0),
    };
    // As a pile of this stock could measure, with its unit: the file may have another.
    let example = format!("\"{}\"", unit.rule(10.0 * w.layer.thickness + off, 1));
    let both = w.padding.thickness();
    html! {
        h3 { "1. Measure stock and padding" }
        @if let Some(last) = form.stack.piled().last() { p {
            "Pile ten pieces of the new stock, press lightly: they must be as high as ten of layers 1 to "
            (last.index) ", without glue. If not, look for stock that is."
        } } @else { p {
            "The layers are drawn for both. Pile ten sheets, or ten offcuts of them, press lightly: they must be "
            @for (k, i) in form.stack.materials().into_iter().enumerate() {
                @if k > 0 { ", " }
                @let sheet = w.material(i);
                (unit.rule(10.0 * sheet.thickness, 1)) " of " (sheet.material)
            }
            ". " (unit.bench(off, 0)) " more or less makes the form "
            (unit.show(off * t.layers as f64 / 10.0)) " too tall or short. Tape a tin bare, then with \
             batting and cover stretched over it: that must be "
            (unit.show(both * std::f64::consts::TAU)) " more (" (unit.bench(both, 1)) " thick)."
        }
        p {
            "If either is off, write what you read into a workshop file: " code { "ten_stacked = " (example) }
            " under " code { "[[layer]]" } ", " code { "wrap_bare" } " and " code { "wrap_padded" } " under "
            code { "[padding]" } ", and build again with " (html::typed("--workshop")) " and that file."
        } }
        p { (kinds::flat(form)) }
    }
}

/// The printer, proved.
fn print(form: &Form) -> Markup {
    let unit = form.checked.unit;
    let (along, across) = form.workshop.paper.bars();
    // On paper each bar has one of whole inches beside it.
    let bar = |mm: f64| match unit {
        Unit::Cm | Unit::Mm => unit.rule(mm, 0),
        Unit::In => unit.rule(mm * INCH_BAR, 0),
    };
    let near = |mm: f64| format!("{} {}", unit.drill_bare(mm * 0.005), unit.bench_name());
    let typed = match unit {
        Unit::Cm | Unit::Mm => "--printed 198.5x99.4",
        Unit::In => "--printed \"7 15/16 x 3 31/32 in\"",
    };
    html! {
        h3 { "2. Print and check the scale" }
        p {
            strong { "Print at 100 %, never “fit to page”." } " Print one page first. The bar of " (bar(along))
            " up its side must be right within " (near(along)) ", that of " (bar(across)) " along its foot within "
            (near(across)) ", and both diagonals, cross to cross, as the page says. "
            strong { "Cut nothing before both bars are right" } "; measure the last page too. If one is off, build again with "
            (html::typed(typed)) " (your two bars, up the side first). On a machine measure the bar of any file in " code { "boards" } "."
        }
        p {
            "Pages that belong together: cut the one with the lower number with scissors along its thin join line, lay it on that \
             of the other, letter on letter, and tape it; the whole may be out by " (unit.rule(1.5, 1)) "."
        }
    }
}

/// The proof, before the first layer.
fn prove(form: &Form) -> Markup {
    html! {
        @if !form.proof.is_empty() {
            h3 { "3. Hold the proof against the person" }
            (cautions::at_the_proof(form))
            p {
                "Glue " code { "proof.pdf" } " (" (text::count(form.proof.len(), "page"))
                ") on card and cut. Hold each at its level: the inner edge must lie along the body, over the underwear the form \
                 is to wear; profiles hang plumb. Where light shows, or a card cannot come near, measure again, \
                 correct the sheet and build again."
            }
        }
    }
}

/// From the line on paper to the piece.
fn cut(form: &Form, t: &Totals) -> Markup {
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
    html! {
        h3 { "4. Trace and cut" }
        (dowels::first_run(form))
        p {
            "For each template: cut the paper at its outermost line. Lay it on the stock, trace round its edge with \
             a soft pencil"
            @if w.paper.fold { ", turn a half over along a ruled centre line and trace again" }
            ". Prick the middle of every hole. On the upper face write the layer's number (1, the lowest, to "
            (t.layers) ") and FRONT; draw centre and side lines out to the edge, and the small T on it. "
            @if shared { "Only then trim the paper to its next line, and trace that on other stock. " }
            "A machine draws all of it."
        }
        @if shared { (scenes::trimming(w.paper.fold)) }
        p {
            "Make holes and openings first, then the outline, on the line, blade upright: " (outside)
            " outside it adds " (more) " to a girth. Files in " code { "boards" } " give back half the cut (kerf "
            (w.stock.first().map_or_else(String::new, |s| unit.bench(s.kerf, 2)))
            "). " (html::typed(spoilt)) " draws templates for layers that were spoilt."
        }
        (cautions::at_the_cut(form))
    }
}

fn stack(form: &Form) -> Markup {
    let unit = form.checked.unit;
    let zero = totals::underside(form);
    html! {
        h3 { "5. Stack dry, run by run" }
        p {
            @if let Some(last) = form.stack.piled().last() {
                "The pile of layers 1 to " (last.index) " is the run below the first one here. "
            }
            "Thread the pieces on the dowels"
            @if form.stack.pole.is_some() { " and the pole" }
            ", the lowest first, FRONT over FRONT, written face up; turned, a piece will not thread. Push a dowel that begins \
             higher up in when its first layer is on. A break in the slanting line is a missing, doubled or shifted piece."
        }
        div class="scenes" { (scenes::dowel()) (scenes::joint()) }
        (dowels::dowels(form))
        (cautions::at_the_dowels())
        div class="wide" { table {
            caption {
                "Runs: heights from the underside of layer 1, in " (unit.bench_plural()) ", right within "
                (unit.rule(STACK_HEIGHT_TOLERANCE_MM, 0)) " for every " (unit.show(200.0))
            }
            thead { tr {
                th scope="col" { "Run" }
                th scope="col" { "Layers" }
                th scope="col" class="n" { "Height" }
                th scope="col" { "Read" }
            } }
            tbody { @for run in runs(form) {
                @if let (Some(first), Some(last)) = (run.layers.first(), run.layers.last()) { tr {
                    th scope="row" { (run.name) }
                    td { (first.index) "–" (last.index) }
                    td class="n" { (unit.fine_bare(last.top - zero)) }
                    td class="blank" {}
                } }
            } }
        } }
        (dowels::pile(form))
    }
}

fn glue(form: &Form) -> Markup {
    html! {
        h3 { "6. Glue" }
        p {
            "Glue: " (kinds::glue(form)) ". "
            @if !form.stack.piled().is_empty() { "The pile is the first run: if it is still dry, glue it now, as it lies. " }
            "Wax the upper parts of the dowels"
            @if form.stack.pole.is_some() { " and the pole" }
            " with a candle and keep glue a thumb's width from their holes. Glue the first run that is not glued yet, every layer pushed the \
             same way, check height and plumb, weight it, let it dry. Build each further run on the run below, the marks \
             going on, its lowest layer not glued; once dry, lift it a finger's breadth, glue the joint and push it home. \
             Base board and neck cap come last. Fill in “Bare stack” on the check card."
        }
        (dowels::wedges(form))
        (cautions::at_the_glue())
    }
}

fn finish(form: &Form) -> Markup {
    html! {
        h3 { "8. Pad" }
        p {
            "Cover the stack evenly with batting, edges butted and caught with long stitches, shoulder steps feathered with \
             scraps; base and neck cap stay bare. Fill in “Padded” on the check card, and put right with batting what is \
             too little."
        }
        (check::padding(form))
        h3 { "9. Cover" }
        (cover_step::cover(form))
        h3 { "10. Check" }
        p { "Fill in the last column of the check card. Where a value is outside its band, add or remove batting." }
    }
}
