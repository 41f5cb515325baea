//! A guide for the rest of a form: what is there already is neither bought nor made again.

use maud::{Markup, html};

use crate::form::Form;
use crate::form::cost;
use crate::form::totals;
use crate::stack::{Dowel, Layer};
use crate::text;
use crate::tolerance::DOWEL_LENGTH_TOLERANCE_MM;
use crate::units;

/// Whether a dowel that was cut for the first form still does.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Still {
    /// It ends in its topmost layer.
    Does,
    /// It stands out by so many mm.
    Long(f64),
    /// It ends so many mm below the top of its topmost layer, which hangs loose.
    Short(f64),
}

fn judged(dowel: &Dowel, layers: &[Layer]) -> Still {
    let Some(earlier) = dowel.earlier else {
        return Still::Does;
    };
    let last = layers.get(dowel.last_layer.saturating_sub(1));
    let half = last.map_or(0.0, Layer::height) / 2.0;
    if earlier - dowel.length > DOWEL_LENGTH_TOLERANCE_MM {
        Still::Long(earlier - dowel.length)
    } else if dowel.length - earlier > half {
        Still::Short(dowel.length - earlier)
    } else {
        Still::Does
    }
}

/// What this guide is for.
pub(super) fn intro(form: &Form) -> Markup {
    let piled = form.stack.piled();
    let unit = form.checked.unit;
    html! {
        @if let (Some(last), Some(first)) = (piled.last(), form.stack.layers_to_cut().first()) {
            p {
                strong { "Layers 1 to " (last.index) " are piled already" } ", "
                (unit.rule(last.top - totals::underside(form), 1)) " high. This guide is for the "
                (text::count(form.stack.layers_to_cut().len(), "layer")) " above them: what it counts, "
                "buys and cuts is for these layers only. They are taken to be as high as those of the pile turned \
                 out, " (unit.bench(first.height(), 2)) " each with the glue."
            }
        }
    }
}

/// What is bought for the layers that are cut anew (`stock`, `glue`), and what is there already.
pub(super) fn shopping(form: &Form, stock: &[String], glue: &str) -> Markup {
    let unit = form.checked.unit;
    let layers = &form.stack.layers;
    let dowels: Vec<(&Dowel, Still)> = form
        .stack
        .dowels
        .iter()
        .map(|d| (d, judged(d, layers)))
        .collect();
    let names = |of: &dyn Fn(&Still) -> bool| -> Vec<&str> {
        let some = dowels.iter().filter(|(_, still)| of(still));
        some.map(|(d, _)| d.name.as_str()).collect()
    };
    let do_still = names(&|still| !matches!(still, Still::Short(_)));
    let cost = cost::cost(&form.workshop, &form.boards, 0.0, 0.0);
    html! {
        ul class="ticks" {
            @for line in stock { li class="tick" { (line) } }
            @for (d, still) in &dowels { @if let Still::Short(by) = still {
                li class="tick" {
                    "Dowel " (d.name) ", " (unit.bench(d.diameter, 1)) " dia., " (unit.rule(d.length, 0))
                    " long: the one of the first build would end " (unit.rule(*by, 0)) " too low"
                }
            } }
            li class="tick" { "Glue for " (text::count(form.stack.layers_to_cut().len(), "layer")) ": " (glue) }
            @if !form.pages.is_empty() {
                li class="tick" {
                    (text::count(form.pages.len(), "page")) " of " (form.workshop.paper.name)
                    ", if you cut by hand after paper templates"
                }
            }
        }
        p {
            "There already, from the first build: "
            @if !do_still.is_empty() {
                (if do_still.len() == 1 { "dowel " } else { "dowels " }) (do_still.join(", ")) ", "
            }
            @if form.stack.pole.is_some() { "the pole, " }
            "base board, neck cap plate, stand or hook, batting, cover and tools."
            @for (d, still) in &dowels { @if let Still::Long(by) = still {
                " Cut " (unit.rule(*by, 0)) " off dowel " (d.name) ", to " (unit.rule(d.length, 0)) "."
            } }
            @if let Some(by) = pole_stands_out(form) {
                @if by > 0.0 {
                    " Cut " (unit.rule(by, 1)) " off the top of the pole; step 7 says how long it is then."
                } @else {
                    " The pole ends " (unit.rule(-by, 1)) " below the top of its last layer, which does no harm."
                }
            }
            " The proof was held against the person before the first layer was cut."
        }
        @if let Some(stock) = cost.stock {
            p {
                "At the prices of the workshop file the stock, with its spare, comes to about "
                strong { (units::fixed(stock, 0)) " " (cost.currency) }
                ". Not in it: "
                @if !names(&|still| matches!(still, Still::Short(_))).is_empty() { "dowels, " }
                "glue and paper."
            }
        }
    }
}

/// By how much a pole that was cut for the first form stands out of its topmost layer, mm; nothing where it is as long
/// as it should be.
fn pole_stands_out(form: &Form) -> Option<f64> {
    let pole = form.stack.pole?;
    let top = form.stack.layers.get(pole.last_layer.checked_sub(1)?)?.top;
    let by = pole.earlier? - top;
    (by.abs() > DOWEL_LENGTH_TOLERANCE_MM).then_some(by)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Point2;

    #[test]
    fn dowels_that_were_cut_before_do_within_half_a_layer() {
        let layers: Vec<Layer> = (0..3)
            .map(|k| Layer {
                index: k + 1,
                bottom: 10.0 * k as f64,
                top: 10.0 * (k + 1) as f64,
                material: 0,
                pieces: vec![],
                levels: vec![],
                step: 0.0,
            })
            .collect();
        let dowel = |earlier| Dowel {
            name: "A".into(),
            at: Point2::origin(),
            diameter: 8.0,
            hole: 8.3,
            first_layer: 1,
            last_layer: 3,
            length: 30.0,
            earlier,
        };
        for (earlier, says) in [
            (None, Still::Does),
            (Some(30.9), Still::Does),
            (Some(25.5), Still::Does),
            (Some(24.0), Still::Short(6.0)),
            (Some(33.0), Still::Long(3.0)),
        ] {
            assert_eq!(judged(&dowel(earlier), &layers), says, "{earlier:?}");
        }
    }
}
