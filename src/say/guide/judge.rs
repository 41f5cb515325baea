//! What is for judging the form rather than for building it: how far layers can move, where its weight lies.

use super::stand;
use crate::form::Form;
use crate::form::totals::Totals;
use crate::say::page::Block;
use crate::stack::play;
use crate::text;
use crate::text::{bench, rule, tape};
use crate::units;

/// How far a layer can move on its dowels, and the middle of the weight.
pub(super) fn built(form: &Form, t: &Totals) -> Vec<Block> {
    let clearance = form.workshop.dowel.clearance;
    let held = play::held(&form.stack, clearance);
    let worst = held
        .iter()
        .max_by(|a, b| a.play.edge.total_cmp(&b.play.edge));
    let play = worst.map(|worst| {
        Block::Paragraph(text![
            "Play: how far a layer can still turn in holes ",
            bench(clearance, 2),
            " wider than the dowels: most of all layers ",
            worst.first,
            "–",
            worst.last,
            ", by ",
            text::together(format!(
                "{} degrees",
                units::fixed(units::degrees(worst.play.twist), 2)
            )),
            " either way, ",
            bench(worst.play.edge, 1),
            " at the edge."
        ])
    });
    let above = if t.stand.is_some() {
        " above the floor"
    } else {
        " above what the form stands on"
    };
    let weight = Block::Paragraph(text![
        "The middle of the weight is about ",
        tape(t.stand.unwrap_or(0.0) + t.centre),
        above,
        " and ",
        rule(t.off_pole, 0),
        " off ",
        stand::middle(form),
        "."
    ]);
    play.into_iter().chain([weight]).collect()
}
