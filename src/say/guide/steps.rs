//! The work itself: what to buy, how long it takes, and every step with its cautions.

use maud::{Markup, html};

use super::cautions;
use super::check;
use super::cover_step;
use super::dowels;
use super::restart;
use super::runs::runs;
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
use crate::workshop::material;

/// A bar of 200 mm has one of 8 in beside it, a bar of 100 mm one of 4 in.
const MM_FOR_AN_INCH_OF_BAR: f64 = 25.0;

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
    let family = material::family(&w.layer.material);
    let stock = bought(form);
    if !form.stack.piled().is_empty() {
        return html! {
            (restart::shopping(form, &stock, family.glue))
            (offcuts(form))
            (dowels::openings(form, t))
        };
    }
    let cost = cost::cost(w, &form.boards, t.dowel_length, t.batting_area);
    html! {
        ul class="ticks" {
            @for line in stock { li class="tick" { (line) } }
            @for (diameter, length, names) in dowels::lengths(form) {
                li class="tick" {
                    (text::count(names.len(), "dowel")) " " (names.join(", ")) ", "
                    (unit.bench(diameter, 1)) " dia., " (unit.rule(length, 0)) " long"
                }
            }
            li class="tick" {
                "Dowels in all: " (unit.run(t.dowel_length * SPARE, 1)) ": the lengths above are "
                (unit.run(t.dowel_length, 1)) ", the rest is spare"
            }
            @if let Some(pole) = form.stack.pole {
                li class="tick" {
                    "Pole, " (unit.bench(pole.diameter, 1)) " dia., "
                    (unit.show(t.pole_length.unwrap_or(t.height)))
                    " long and what the foot takes of it, of wood, pipe or tube: enter the diameter you measure, names of pipe \
                     sizes are not their diameters"
                }
            }
            li class="tick" { "Glue: " (family.glue) }
            li class="tick" {
                "Batting that is " (unit.bench(w.padding.batting, 1))
                " thick when pulled tight under the cover: "
                (unit.cloth(t.batting_area * CLOTH_SPARE, 1)) " (the surface is "
                (unit.cloth(t.batting_area, 1)) ")"
            }
            li class="tick" {
                (cover_step::to_buy(form))
            }
            li class="tick" {
                "Base board, " (unit.bench(w.base, 0)) " thick: its outline is on the templates"
            }
            li class="tick" {
                "Cap plate for the neck, its outline on the templates too: plywood or hardboard of "
                (unit.rule(4.0, 0)) " to " (unit.rule(6.0, 0)) ", not of the layers' " (w.layer.material)
                "; where nothing hangs from it, two layers of " (w.layer.material)
                " glued on each other will do (common practice, no source). It lies on the last layer \
                 and comes on top of the form's height"
            }
            li class="tick" {
                "Stand with a foot reaching " (unit.show(t.base_radius))
                " from " (stand::middle(form)) " on every side"
                @if t.base_radius_careful > t.base_radius {
                    ", " (unit.show(t.base_radius_careful)) " where children or pets come by"
                }
                "; or, to hang it, a screw eye for its weight and a swivel hook"
            }
            @if !form.pages.is_empty() {
                li class="tick" {
                    (text::count(form.pages.len(), "page")) " of " (w.paper.name)
                    ", if you cut by hand after paper templates"
                    @if form.page_counts.len() > 1 {
                        " (" (html::set(&words::pages(form), Reader::default())) ")"
                    }
                }
            }
            @if !form.proof.is_empty() {
                li class="tick" {
                    "Card and paste for the " (text::count(form.proof.len(), "page")) " of the proof"
                }
            }
            li class="tick" {
                "To make round holes: a punch or drill bit for " (holes(form)) "; a saw for the dowels"
            }
            @if form.stack.pole.is_some() {
                li class="tick" { "A collar or flange that slides on the pole, its screws, and a pin \
                    through the pole" }
            }
            li class="tick" { "Blades, cutting mat, steel rule, masking tape, soft pencil, clamps or \
                weights, long pins, a flexible tape, strong thread and a long needle" }
            @if !form.pages.is_empty() {
                li class="tick" { "A tracing wheel, or carbon paper, where several layers share a \
                    template" }
            }
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
                "What the boards leave: " (left.plain(Reader::default())) ". They can go into the workshop file as a " code { "[[stock]]" } " with a "
                code { "count" } " above the others, to be used first for the next form."
            }
        }
    }
}

/// Everything from the printer to the stand.
pub(super) fn steps(form: &Form, t: &Totals) -> Markup {
    html! {
        (print_and_cut(form, t))
        (stack(form))
        (finish(form, t))
    }
}

fn print_and_cut(form: &Form, t: &Totals) -> Markup {
    let w = &form.workshop;
    let family = material::family(&w.layer.material);
    let unit = form.checked.unit;
    let (along, _) = w.paper.bars();
    let (outside, more) = match unit {
        Unit::Cm | Unit::Mm => ("1 mm", "6 mm"),
        Unit::In => ("1/32 in", "3/16 in"),
    };
    // Bars are drawn in mm, as machines want them.
    let bar = |mm: f64| match unit {
        Unit::Cm | Unit::Mm => format!("{mm} mm"),
        Unit::In => format!("{mm} mm ({})", unit.rule(mm, 0)),
    };
    // On paper each bar has one of whole inches beside it.
    let printed = |mm: f64| match unit {
        Unit::Cm | Unit::Mm => bar(mm),
        Unit::In => format!(
            "the bar of {} in",
            units::fixed(mm / MM_FOR_AN_INCH_OF_BAR, 0)
        ),
    };
    // What a pile can be read to.
    let off = match unit {
        Unit::Cm | Unit::Mm => 1.0,
        Unit::In => unit.to_mm(1.0 / 16.0),
    };
    // As a pile of this stock could measure, with its unit: the file may have another.
    let example = format!("\"{}\"", unit.rule(10.0 * w.layer.thickness + off, 1));
    html! {
        @if !form.proof.is_empty() { h3 { "0. Hold the proof against the person" } p {
            "Print " code { "proof.pdf" } " (" (text::count(form.proof.len(), "page"))
            "), check its bars, glue it on card and cut. Each card is life size and belongs to one \
             level: the inner edge must lie along the body all round, over the underwear the form is \
             to wear, from centre to side; the profiles hang plumb beside the centre back, the centre \
             front and the side. Light under an edge or a card that cannot come near shows what to \
             measure again, before the layers are cut."
            @if form.checked.unit == Unit::In {
                " Heights on cards and pieces are in millimetres, 25.4 to the inch."
            }
        }
        (cautions::at_the_proof(form)) }
        h3 { "1. Measure the stock" }
        @if let Some(last) = form.stack.piled().last() { p {
            "Pile ten pieces of the new stock, press lightly and measure: they must be as high as ten of \
             layers 1 to " (last.index) ", without glue. If not, look for stock that is."
        } } @else { p {
            "Pile ten pieces, press lightly and measure the pile: it must be "
            @for (k, i) in form.stack.materials().into_iter().enumerate() {
                @if k > 0 { ", " }
                @let sheet = w.material(i);
                (unit.rule(10.0 * sheet.thickness, 1)) " of " (sheet.material)
            }
            ". A difference of " (unit.bench(off, 0)) " in the pile makes the form "
            (unit.show(off * t.layers as f64 / 10.0))
            " too tall or too short: write what the ten measured into the workshop file, "
            code { "ten_stacked" } " under " code { "[[layer]]" } ", and run the program again with "
            (html::typed("--workshop")) " and that file (without one: a text file with the two lines "
            code { "[[layer]]" } " and " code { "ten_stacked = " (example) } " will do)."
        } }
        p { (family.flat) }
        h3 { "2. Print and check the scale" }
        p {
            strong { "Print at 100 %, never “fit to page”." } " Print one page of "
            code { "templates.pdf" } " first and measure both check bars with a steel rule: "
            (printed(along)) " up the side must read within " (unit.drill_bare(along * 0.005)) " " (unit.bench_name())
            " of that, " (printed(100.0)) " along the foot within " (unit.drill_bare(0.5)) " " (unit.bench_name()) ". Measure them again on the last page. " strong { "Cut nothing before both bars are right." }
            " On a machine, let it draw the bar of " (bar(100.0)) " that every file in " code { "boards" }
            " has, and measure that the same way."
        }
        p {
            "If a bar is off, write down what the two bars "
            @if unit == Unit::In { "of millimetres beside them measured, in millimetres, " } @else { "measured " }
            "and build again with "
            (html::typed("--printed 198.5x99.4")) " (your numbers, up the side first): the new pages make up \
             for the printer, and their bars must then be right. The crosses in the corners show \
             whether a page is drawn askew: its two diagonals, from cross to cross, must be as long as \
             the page says."
        }
        p { "Where a piece takes several pages, join them at the marks, from the middle outward; at "
            "the end the whole may be out by " (unit.rule(1.5, 1)) " at most." }
        h3 { "3. Cut" }
        @if w.paper.outlines > 1 {
            p {
                "A paper template with several lines is for several layers, one line inside the next. Cut the paper \
                 at the outermost line, trace round its edge"
                @if w.paper.fold { " (a half on both sides of the centre line)" }
                ", prick the holes and number the piece. Only then trim the paper down to the next line, and trace \
                 that on other stock. The list on the template names the layers from the outside in. For a layer that \
                 is spoilt build again with " (html::typed("--layers 41,44")) " (your numbers): it draws their \
                 templates alone."
            }
        }
        p {
            "Cut the openings first, then the outline, on the line, with the blade upright: "
            (outside) " outside the line all round adds " (more) " to a girth. The files in " code { "boards" }
            " already give back half the width of the cut on each side (kerf "
            (w.stock.first().map_or_else(String::new, |s| unit.bench(s.kerf, 2)))
            "); the paper templates do not need it."
        }
        (dowels::first_run(form))
        (cautions::at_the_cut(form))
        h3 { "4. Mark" }
        p {
            "Before a piece leaves the pattern write its number and FRONT on the face that is up, draw the "
            "centre and side lines out to the edge, and the small T on the edge: these Ts make the "
            "slanting line of the stack. (A machine draws all of it.) "
            "Every number counts from the lowest layer, 1 of " (t.layers) "."
            @if w.paper.outlines > 1 || w.paper.fold {
                " Half templates, and those of several layers, do not show the edge of the layer above: to true the \
                 stack by eye, lay the next piece on its dowels and draw round it. Built with "
                (html::typed("--outlines 1 --whole"))
                " every layer has a template of its own with that edge in dashes, as the files in "
                code { "boards" } " have it, on more pages."
            }
        }
    }
}

fn stack(form: &Form) -> Markup {
    let unit = form.checked.unit;
    let zero = totals::underside(form);
    let family = material::family(&form.workshop.layer.material);
    html! {
        h3 { "5. Stack dry, run by run" }
        p {
            @if let Some(last) = form.stack.piled().last() {
                "The pile of layers 1 to " (last.index) " is the run below the first one here. "
            }
            "Thread the pieces on the dowels without glue, the lowest first, FRONT over FRONT and the "
            "written face up. The holes are spaced so that a piece turned round or turned over will "
            "not thread. The marks on the edge make one unbroken slanting line: a break in it is a "
            "missing, doubled or shifted piece."
        }
        (dowels::dowels(form))
        (cautions::at_the_dowels())
        p {
            "Measure the running height at the end of each run, from the underside of layer 1. It may "
            "differ by " (unit.rule(STACK_HEIGHT_TOLERANCE_MM, 0)) " for every " (unit.show(200.0)) " of height."
        }
        div class="wide" { table {
            caption { "Runs, to be glued one by one and then joined" }
            thead { tr {
                th scope="col" { "Run" }
                th scope="col" { "Layers" }
                th scope="col" class="n" { "Running height" }
                th scope="col" { "Read" }
            } }
            tbody { @for run in runs(form) {
                @if let (Some(first), Some(last)) = (run.layers.first(), run.layers.last()) { tr {
                    th scope="row" { (run.name) }
                    td { (first.index) " to " (last.index) }
                    td class="n" { (unit.rule(last.top - zero, 1)) }
                    td class="blank" {}
                } }
            } }
        } }
        (dowels::pile(form))
        h3 { "6. Glue" }
        p {
            "Glue: " (family.glue) ". "
            @if !form.stack.piled().is_empty() { "The pile is the first run: glued already, it stays as it is; still dry, it is glued like this. " }
            "Glue the first run on the dowels"
            @if form.stack.pole.is_some() { " and the pole" }
            ", whose upper parts are rubbed with candle wax first: glue stays a thumb's width away from their \
             holes, or no run comes off them again. Check its height and that it stands plumb, weight it and let it dry. Build every further \
             run on the run below it, on the same dowels, which stand up out of it: that lines it up; do \
             not glue its lowest layer yet. Its marks on the edge must go on where those of the run below \
             end, centre and side lines over centre and side lines. Glue it, check its height, let it dry, \
             and only then lift it off a finger's breadth, glue the joint and push it home. Glue the base board and the "
            "neck cap last. Now fill in “Bare stack” on the check card: under the padding it cannot be \
             measured any more."
        }
        div class="caution" role="note" {
            p { "Spray and contact adhesives give off vapour that burns and hugs the floor: open \
                 windows, no flame, spark or pilot light, read the label and the data sheet. Hot glue \
                 burns skin." }
        }
    }
}

fn finish(form: &Form, t: &Totals) -> Markup {
    let w = &form.workshop;
    html! {
        (dowels::wedges(form))
        h3 { "7. Pad" }
        p {
            "Find out how thick your batting is under the cover: tape a tin or a pipe bare, then with "
            "batting and cover stretched as on the form; the difference divided by 6.28 is the "
            "thickness of both. It must be "
            (form.checked.unit.bench(w.padding.thickness(), 1))
            "; add or peel off batting until it is. Then cover the stack evenly, edges butted and "
            "caught with long stitches, and feather the steps at the shoulders with scraps. Base and "
            "neck cap stay bare. Fill in “Padded” on the check card; what is too little is put right "
            "with batting now."
        }
        (check::padding(form))
        h3 { "8. Cover" }
        (cover_step::cover(form))
        h3 { "9. Stand" }
        (stand::stand(form, t))
        h3 { "10. Check" }
        p { "Fill in the last column of the check card below. Where a value is outside its band, add or \
             remove batting under the cover." }
    }
}
