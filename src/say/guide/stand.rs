//! The stand: on a pole or hanging, how high, how wide, what can tip.

use maud::{Markup, html};

use super::{cautions, scenes};
use crate::form::Form;
use crate::form::totals::{TILT_CAREFUL_DEG, Totals};
use crate::units;

/// Weight above which two people lift, kg (common practice, no source).
const HEAVY_KG: f64 = 10.0;

/// Lean of a hung form that nobody sees, degrees. Our choice.
const PLUMB_DEG: f64 = 1.0;

/// What the stand is measured from.
pub(super) const fn middle(form: &Form) -> &'static str {
    if form.stack.pole.is_some() {
        "the pole"
    } else {
        "the middle of the base board"
    }
}

pub(super) fn stand(form: &Form, t: &Totals) -> Markup {
    let w = &form.workshop;
    let unit = form.checked.unit;
    let middle = middle(form);
    html! {
        (scenes::stand(form.stack.pole.is_some()))
        @if let Some(stand) = t.stand {
            p {
                "The underside of layer 1 goes " strong { (unit.show(stand)) }
                " above the floor: then the waist is as high as the person's. Under it lies the base board, "
                (unit.bench(w.base, 0)) "."
            }
        } @else {
            p { "Set the waist of the form as high as the person's; the sheet does not say how high that is." }
        }
        @if let (Some(length), Some(pole)) = (t.pole_length, form.stack.pole) {
            p {
                "On a pole: it is " strong { (unit.show(length)) } " long from "
                @if t.stand.is_some() { "the floor" } @else { "the underside of the base board" }
                " to the top of layer " (pole.last_layer) ", and what the foot takes of it. Under the board screw a collar or \
                 flange that slides on the pole of " (unit.bench(pole.diameter, 1))
                " (lay yours on the small crosses before you drill), tighten it, and pin it through the pole so that the \
                 form can neither sink nor turn."
            }
        }
        @if form.stack.pole.is_none() {
            p {
                "This form has no pole (" code { "[pole]" } " in the workshop file gives it one): the base board alone \
                 carries it. Before the board is glued on, bolt a flange for the tube of your stand to its middle, bolt \
                 heads and large washers on its upper side; screws alone pull out. Glue the board over its whole \
                 face. If you are not sure of the joint, ask somebody who builds stands or furniture."
            }
        }
        p {
            "The foot must reach " strong { (unit.show(t.base_radius)) } " from " (middle)
            " on every side to stand a tilt of " (units::fixed(w.tilt, 0)) " degrees"
            @if t.base_radius_careful > t.base_radius {
                ", " (unit.show(t.base_radius_careful)) " for " (units::fixed(TILT_CAREFUL_DEG, 0))
                " degrees, with children or pets about"
            }
            ". The foot's own weight is not counted: a heavy one only helps."
            @if t.stand.is_none() {
                " On a stand, add 0.18 times its height for 10 degrees, 0.27 times for 15."
            }
            " Legs in a star are longer: 2.0 times with three, 1.4 with four, 1.24 with five."
        }
        p {
            "Hanging: a screw eye through the neck cap and a plate under it, on a swivel hook. From the middle of the cap \
             it leans by " (units::fixed(units::degrees(t.hang_lean), 1)) " degrees"
            @if units::degrees(t.hang_lean) > PLUMB_DEG {
                ": move the eye until it hangs plumb, or weight the light side of the hem"
            }
            ". Hook and ceiling must hold its weight with a garment on, three times over."
        }
        (cautions::at_the_hook())
        div class="caution" role="note" {
            p { "A coat or a skirt loads one side: keep weight low in the base, lock castors, and try the tilt with the \
                 heaviest garment on before you leave it alone. "
                @if t.layer_weight + t.dowel_weight > HEAVY_KG {
                    strong { "With its dowels it weighs about "
                        (unit.weight(t.layer_weight + t.dowel_weight, 0))
                        ": two people lift it." }
                } }
        }
    }
}
