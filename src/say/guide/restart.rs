//! A guide for the rest of a form: what is there already is neither bought nor made again.

use crate::form::Form;
use crate::form::cost;
use crate::form::totals;
use crate::say::page::{Block, PageMark};
use crate::stack::{Dowel, Layer};
use crate::text;
use crate::text::{Text, bench, rule, strong};
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
pub(super) fn intro(form: &Form) -> Option<Block> {
    let last = form.stack.piled().last()?;
    let first = form.stack.layers_to_cut().first()?;
    Some(Block::Paragraph(text![
        strong(text!["Layers 1 to ", last.index, " are piled already"]),
        ", ",
        rule(last.top - totals::underside(form), 1),
        " high. This guide is for the ",
        text::many(form.stack.layers_to_cut().len(), "layer"),
        " above them: what it counts, buys and cuts is for these layers only. They are taken to be as high as those of the \
         pile turned out, ",
        bench(first.height(), 2),
        " each with the glue."
    ]))
}

/// What is bought for the layers that are cut anew (`stock`, `glue`), and what is there already.
pub(super) fn shopping(form: &Form, stock: Vec<Text>, glue: &str) -> Vec<Block> {
    let layers = &form.stack.layers;
    let dowels: Vec<(&Dowel, Still)> = form
        .stack
        .dowels
        .iter()
        .map(|d| (d, judged(d, layers)))
        .collect();
    let mut buy = stock;
    for (d, still) in &dowels {
        if let Still::Short(by) = still {
            buy.push(text![
                "Dowel ",
                &d.name,
                ", ",
                bench(d.diameter, 1),
                " dia., ",
                rule(d.length, 0),
                " long: the one of the first build would end ",
                rule(*by, 0),
                " too low"
            ]);
        }
    }
    buy.push(text![
        "Glue for ",
        text::many(form.stack.layers_to_cut().len(), "layer"),
        ": ",
        glue.to_owned()
    ]);
    if !form.pages.is_empty() {
        buy.push(text![
            text::many(form.pages.len(), "page"),
            " of ",
            &form.workshop.paper.name,
            ", if you cut by hand after paper templates"
        ]);
    }
    let mut out = vec![
        Block::List(PageMark::Box, buy),
        Block::Paragraph(there(form, &dowels)),
    ];
    let cost = cost::cost(&form.workshop, &form.boards, 0.0, 0.0);
    let short = dowels
        .iter()
        .any(|(_, still)| matches!(still, Still::Short(_)));
    out.extend(cost.stock.map(|stock| {
        Block::Paragraph(text![
            "At the prices of the workshop file the stock, with its spare, comes to about ",
            strong(format!("{} {}", units::fixed(stock, 0), cost.currency)),
            ". Not in it: ",
            short.then_some("dowels, "),
            "glue and paper."
        ])
    }));
    out
}

/// What the first build left, and what is cut off it.
fn there(form: &Form, dowels: &[(&Dowel, Still)]) -> Text {
    let still = dowels
        .iter()
        .filter(|(_, still)| !matches!(still, Still::Short(_)));
    let still: Vec<&str> = still.map(|(d, _)| d.name.as_str()).collect();
    let dowel = if still.len() == 1 {
        "dowel "
    } else {
        "dowels "
    };
    let still = (!still.is_empty()).then(|| text![dowel, still.join(", "), ", "]);
    let mut said = text![
        "There already, from the first build: ",
        still,
        form.stack.pole.is_some().then_some("the pole, "),
        "base board, neck cap plate, stand or hook, batting, cover and tools."
    ];
    for (d, still) in dowels {
        if let Still::Long(by) = still {
            said.push(text![
                " Cut ",
                rule(*by, 0),
                " off dowel ",
                &d.name,
                ", to ",
                rule(d.length, 0),
                "."
            ]);
        }
    }
    said.push(pole_stands_out(form).map(|by| {
        if by > 0.0 {
            text![
                " Cut ",
                rule(by, 1),
                " off the top of the pole; step 7 says how long it is then."
            ]
        } else {
            text![
                " The pole ends ",
                rule(-by, 1),
                " below the top of its last layer, which does no harm."
            ]
        }
    }));
    said.push(" The proof was held against the person before the first layer was cut.");
    said
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
