//! What is for judging the form rather than for building it: how far layers can move, where its weight lies.

use maud::{Markup, html};

use super::stand;
use crate::form::Form;
use crate::form::totals::Totals;
use crate::stack::play;
use crate::units;

/// How far a layer can move on its dowels, and the middle of the weight.
pub(super) fn built(form: &Form, t: &Totals) -> Markup {
    let held = play::held(&form.stack, form.workshop.dowel.clearance);
    let unit = form.checked.unit;
    html! {
        @if let Some(worst) = held.iter().max_by(|a, b| a.play.edge.total_cmp(&b.play.edge)) {
            p {
                "Play: how far a layer can still turn in holes " (unit.bench(form.workshop.dowel.clearance, 2))
                " wider than the dowels: most of all layers " (worst.first) "–" (worst.last) ", by "
                (units::fixed(units::degrees(worst.play.twist), 2)) " degrees either way, "
                (unit.bench(worst.play.edge, 1)) " at the edge."
            }
        }
        p {
            "The middle of the weight is about " (unit.show(t.stand.unwrap_or(0.0) + t.centre))
            @if t.stand.is_some() { " above the floor" } @else { " above what the form stands on" }
            " and " (unit.rule(t.off_pole, 0)) " off " (stand::middle(form)) "."
        }
    }
}
