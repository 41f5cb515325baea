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
use crate::stack::mark::PILE_CHECK;
use crate::text;
use crate::units::Unit;

/// The diameters of all dowels, as they are sold: `8 mm`, `5 mm`.
pub(super) fn diameters(form: &Form) -> String {
    let mut all: Vec<String> = Vec::new();
    for d in &form.stack.dowels {
        let name = dowel_size::size_name(d.diameter);
        if !all.contains(&name) {
            all.push(name);
        }
    }
    all.join(", ")
}

/// How many rods to buy, as they are sold: `3 rods of 36 in`, with their diameter where there are several. Each dowel is sawn out of one rod, the longest
/// first, out of the first rod that has it left.
pub(super) fn rods(form: &Form) -> String {
    let unit = form.checked.unit;
    let mut sizes: Vec<(String, Vec<f64>)> = Vec::new();
    for d in &form.stack.dowels {
        let name = dowel_size::size_name(d.diameter);
        match sizes.iter_mut().find(|(of, _)| *of == name) {
            Some((_, lengths)) => lengths.push(d.length),
            None => sizes.push((name, vec![d.length])),
        }
    }
    let several = sizes.len() > 1;
    let parts = sizes.into_iter().map(|(name, mut lengths)| {
        lengths.sort_by(|a, b| b.total_cmp(a));
        let longest = lengths.first().copied().unwrap_or_default();
        let sold = sold_long(unit);
        let rod = sold
            .into_iter()
            .find(|rod| *rod >= longest)
            .unwrap_or(sold[1]);
        let mut left: Vec<f64> = Vec::new();
        for length in lengths {
            let sawn = length + SAW_CUT;
            match left.iter_mut().find(|left| **left >= sawn) {
                Some(left) => *left -= sawn,
                None => left.push(rod - sawn),
            }
        }
        let of = if several {
            format!(", {name} thick")
        } else {
            String::new()
        };
        format!(
            "{} of {}{of}",
            text::count(left.len(), "rod"),
            unit.rule(rod, 0)
        )
    });
    parts.collect::<Vec<String>>().join("; ")
}

/// How long rods are sold, mm (common practice, no source): 1 m and 2 m, or 36 in and 72 in.
const fn sold_long(unit: Unit) -> [f64; 2] {
    match unit {
        Unit::Cm | Unit::Mm => [1000.0, 2000.0],
        Unit::In => [unit.to_mm(36.0), unit.to_mm(72.0)],
    }
}

/// What a saw takes away, mm (common practice, no source).
const SAW_CUT: f64 = 2.0;

/// Where the dowels stand and how much play they leave.
pub(super) fn dowels(form: &Form) -> Markup {
    let stack = &form.stack;
    let one = stack.dowels.windows(2).all(|d| {
        d[0].diameter.total_cmp(&d[1].diameter).is_eq() && d[0].hole.total_cmp(&d[1].hole).is_eq()
    });
    let unit = form.checked.unit;
    html! {
        div class="wide" { table {
            caption {
                "Dowels"
                @if let Some(d) = stack.dowels.first().filter(|_| one) {
                    " of " (dowel_size::size_name(d.diameter)) " in holes of " (unit.bench(d.hole, 1))
                }
                @if stack.piled().is_empty() { ", each cut to its length" }
                ", in " (unit.bench_plural()) "; their letters stand at the holes"
            }
            thead { tr {
                th scope="col" { "Dowel" }
                @if !one {
                    th scope="col" { "Sold as" }
                    th scope="col" class="n" { "Hole" }
                }
                th scope="col" class="n" { "Length" }
                th scope="col" { "Layers" }

            } }
            tbody { @for d in &stack.dowels { tr {
                th scope="row" { (d.name) }
                @if !one {
                    td { (dowel_size::size_name(d.diameter)) }
                    td class="n" { (unit.bench_bare(d.hole, 1)) }
                }
                td class="n" { (unit.rule_bare(d.length, 0)) }
                td { (d.first_layer) "–" (d.last_layer) }

            } } }
        } }
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
                ", pile them dry and measure the pile (step 5): if it is off, the rest can still be made for it. \
                 Leave pieces of later layers in their board."
            }
        }
    }
}

/// The heights of the pile every ten layers, with room to write, and what to do when they are off.
pub(super) fn pile(form: &Form) -> Markup {
    let zero = totals::underside(form);
    let unit = form.checked.unit;
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
            Unit::Cm | Unit::Mm => unit.fine_bare(height),
            Unit::In => format!("\"{}\"", unit.fine(height)),
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
            caption { "Pile check, in " (unit.bench_plural()) ", as on the pieces: press lightly, measure in the middle and \
                at two edges" }
            thead { tr {
                th scope="col" class="n" { "After layer" }
                th scope="col" class="n" { "Must be" }
                th scope="col" { "Read" }
            } }
            tbody { @for layer in &checks { tr {
                th scope="row" class="n" { (layer.index) }
                td class="n" { (unit.fine_bare(layer.top - zero)) }
                td class="blank" {}
            } } }
        } }
        p {
            "If a height is off and no layer is missing, cut no more, and make the rest for the pile you have. "
            @if let Some((layer, height)) = example {
                "After layer " (layer) ", for instance: "
                (html::typed(format!("layfigure build {sheet}--restart-at {} --height {height}", layer + 1)))
                " (the height you read), "
            }
            "with the same " (html::typed("--workshop")) "; it goes into a folder of its own."
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
                ") fill the wide steps: glue each on the layer that it names, against the edge of the layer above, \
                 and pare it from that edge's top straight down to its outer edge; padding goes over it."
            }
        } @else if let Some(layer) = wide {
            p {
                "The widest ledge is " (unit.rule(layer.step, 0)) ", on layer " (layer.index)
                ": fill it with scraps of batting, or build again with " code { "wedges = \"" (least) "\"" } " under "
                code { "[form]" } " of the workshop file."
            }
        }
    }
}
