//! The dowels, how far layers can move on them, and how high the pile must be.

use maud::{Markup, html};

use crate::form::Form;
use crate::form::totals;
use crate::form::totals::Totals;
use crate::say::html;
use crate::say::words;
use crate::sheet;
use crate::stack::Layer;
use crate::stack::dowel_size;
use crate::stack::mark;
use crate::stack::mark::PILE_CHECK;
use crate::stack::play;
use crate::text;
use crate::tolerance::LEVEL_ACCURACY_MM;
use crate::units;
use crate::units::Unit;

/// Dowels of one diameter and length together: diameter, length and names.
pub(super) fn lengths(form: &Form) -> Vec<(f64, f64, Vec<&str>)> {
    let mut out: Vec<(f64, f64, Vec<&str>)> = Vec::new();
    for d in &form.stack.dowels {
        let same = out.iter_mut().find(|(diameter, length, _)| {
            (d.diameter - *diameter).abs() < LEVEL_ACCURACY_MM
                && (d.length - *length).abs() < LEVEL_ACCURACY_MM
        });
        match same {
            Some((_, _, names)) => names.push(&d.name),
            None => out.push((d.diameter, d.length, vec![&d.name])),
        }
    }
    out
}

/// Where the dowels stand and how much play they leave.
pub(super) fn dowels(form: &Form) -> Markup {
    let stack = &form.stack;
    let held = play::held(stack, form.workshop.dowel.clearance);
    let unit = form.checked.unit;
    let name = unit.bench_name();
    let place = |x: f64, y: f64| {
        format!(
            "{} {}, {} {}",
            unit.rule(x.abs(), 0),
            if x < 0.0 { "left" } else { "right" },
            unit.rule(y.abs(), 0),
            if y < 0.0 { "back" } else { "front" }
        )
    };
    // What one sees on the pieces that the dowel begins in.
    let origin = |first: usize| match (stack.pole, stack.layers.get(first - 1)) {
        (Some(pole), _) if pole.passes(first) => pole.at,
        (_, Some(layer)) => mark::cross(&layer.pieces[0].outline, stack.axis),
        _ => stack.axis,
    };
    html! {
        div class="wide" { table {
            caption {
                "Dowels"
                @if stack.piled().is_empty() { ": cut each to its length" }
                ". Drill by the circles on the templates; the places are for \
                 telling dowels apart, from "
                @if stack.pole.is_some() { "the middle of the pole and, above it, " }
                "where centre and side lines cross on the dowel's lowest layer, right and left the wearer's own"
            }
            thead { tr {
                th scope="col" { "Dowel" }
                th scope="col" { "Sold as" }
                th scope="col" class="n" { "Hole, " (name) }
                th scope="col" class="n" { "Length, " (name) }
                th scope="col" { "Layers" }
                th scope="col" { "Place" }
            } }
            tbody { @for d in &stack.dowels { tr {
                th scope="row" { (d.name) }
                td { (dowel_size::size_name(d.diameter)) }
                td class="n" { (unit.bench_bare(d.hole, 1)) }
                td class="n" { (unit.rule_bare(d.length, 0)) }
                td { (d.first_layer) " to " (d.last_layer) }
                @let from = d.at - origin(d.first_layer);
                td { (place(from.x, from.y)) }
            } } }
        } }
        @if !held.is_empty() {
            div class="wide" { table {
                caption {
                    "Play: how far a layer can still turn and slide, because its holes are "
                    (unit.bench(form.workshop.dowel.clearance, 2))
                    " wider than the dowels; push every layer the same way while the glue sets"
                }
                thead { tr {
                    th scope="col" { "Layers" }
                    th scope="col" { "Held by" }
                    th scope="col" class="n" { "Turn, degrees" }
                    th scope="col" class="n" { "Slide, " (name) }
                    th scope="col" class="n" { "At the edge, " (name) }
                } }
                tbody { @for run in &held { tr {
                    th scope="row" { (run.first) " to " (run.last) }
                    td { (run.dowels.join(" ")) }
                    td class="n" { "± " (units::fixed(units::degrees(run.play.twist), 2)) }
                    td class="n" { "± " (unit.bench_bare(run.play.shift, 2)) }
                    td class="n" { "± " (unit.bench_bare(run.play.edge, 1)) }
                } } }
            } }
        }
    }
}

/// How far to cut before the pile is measured: a wrong thickness then costs one run, not all boards.
pub(super) fn first_run(form: &Form) -> Markup {
    let layers = &form.stack.layers;
    let last = super::runs::runs(form)
        .first()
        .and_then(|run| Some(run.layers.last()?.index))
        .filter(|last| form.stack.first_to_cut == 1 && *last < layers.len());
    html! {
        @if let Some(last) = last {
            p {
                strong { "Cut layers 1 to " (last) " first" }
                ", pile them dry and measure the pile (step 5) before you cut the rest: if the stock is \
                 not as thick as you entered it, the rest can still be made for the pile you have. A board \
                 may hold pieces of later layers: leave them in it."
            }
        }
    }
}

/// The heights of the pile every ten layers, with room to write, and what to do when they are off.
pub(super) fn pile(form: &Form) -> Markup {
    let zero = totals::underside(form);
    let unit = form.checked.unit;
    // The words on the pieces are for machines and metric rooms too.
    let inches = unit == Unit::In;
    let checks: Vec<&Layer> = form
        .stack
        .layers
        .iter()
        .filter(|l| l.index.is_multiple_of(PILE_CHECK) && l.index >= form.stack.first_to_cut)
        .collect();
    // An example with numbers of this form, as the command takes them.
    let example = checks.get(checks.len() / 2).map(|l| {
        let height = l.top - zero;
        let typed = match unit {
            Unit::Cm | Unit::Mm => unit.rule_bare(height, 1),
            Unit::In => format!("\"{}\"", unit.rule(height, 1)),
        };
        (l.index, typed)
    });
    // The example is built where no sheet is named.
    let sheet = match words::file_name(&form.checked.sheet.file) {
        sheet::EXAMPLE_FILE => String::new(),
        name if name.contains(' ') => format!("\"{name}\" "),
        name => format!("{name} "),
    };
    html! {
        div class="wide" { table {
            caption { "Pile check: the same heights stand on the pieces"
                @if inches { ", in mm" }
                "; press lightly, measure in the middle and at two edges" }
            thead { tr {
                th scope="col" class="n" { "After layer" }
                th scope="col" class="n" { "Must be, " (unit.bench_name()) }
                @if inches { th scope="col" class="n" { "On the piece, mm" } }
                th scope="col" { "Read" }
            } }
            tbody { @for layer in &checks { tr {
                th scope="row" class="n" { (layer.index) }
                td class="n" { (unit.rule_bare(layer.top - zero, 1)) }
                @if inches { td class="n" { (Unit::Mm.rule_bare(layer.top - zero, 1)) } }
                td class="blank" {}
            } } }
        } }
        p {
            "When a height is off by more than that, count the layers. If they are all there, glue or "
            "stock is not as thick as you entered it: cut no more, and make the rest for the pile you have. "
            @if let Some((layer, height)) = example {
                "After layer " (layer) ", for instance: "
                (html::typed(format!("layfigure build {sheet}--restart-at {} --height {height}", layer + 1)))
                ", with the height you read in place of this one"
            }
            " with the same " (html::typed("--workshop")) " as before; it goes into a folder of its own. The pile stays as it is. Cut the layers above it "
            "again: the new ones end where the body ends."
        }
    }
}

/// What rings save.
pub(super) fn openings(form: &Form, t: &Totals) -> Markup {
    let unit = form.checked.unit;
    html! {
        @if t.solid_weight > t.layer_weight * 1.01 {
            p {
                "The layers are rings: they weigh " (unit.weight(t.layer_weight, 1))
                ", full layers would weigh " (unit.weight(t.solid_weight, 1)) ". "
                @if t.in_openings > 0 {
                    (text::count(t.in_openings, "piece")) " lie in openings of others on the boards. "
                }
                @if form.workshop.layer.hollow.is_some() {
                    code { "layfigure plan" } " shows rings and full layers side by side."
                }
            }
        }
    }
}

/// A ledge that is wider than this is more than batting fills well, mm: our choice, three layers of thin
/// batting.
const WIDE_LEDGE: f64 = 15.0;

/// How wedges are set, where there are any; that there could be some, where ledges are wide.
pub(super) fn wedges(form: &Form) -> Markup {
    let wedges = &form.stack.wedges;
    let unit = form.checked.unit;
    let layers = form.stack.layers.iter();
    let widest = layers.max_by(|a, b| a.step.total_cmp(&b.step));
    let wide = widest.filter(|l| l.step > WIDE_LEDGE && form.workshop.wedges.is_none());
    let least = match unit {
        Unit::Cm | Unit::Mm => "12 mm",
        Unit::In => "1/2 in",
    };
    html! {
        @if let (Some(first), Some(last)) = (wedges.first(), wedges.last()) {
            p {
                (text::count(wedges.len(), "wedge")) " (" (first.piece.id) " to " (last.piece.id)
                ") fill the wide steps: glue each on the layer that it names, against the edge of the \
                 layer above, then pare it from that edge's top straight down to its outer edge, as \
                 what is called as built takes them to be; the padding goes over them."
            }
        } @else if let Some(layer) = wide {
            p {
                "The widest ledge is " (unit.rule(layer.step, 0)) ", on layer " (layer.index)
                ". To have wedges cut for such ledges, write "
                code { "wedges = \"" (least) "\"" } " under " code { "[form]" }
                " in the workshop file and build again before cutting; scraps of batting fill them too."
            }
        }
    }
}
