//! The stand: on a pole or hanging, how high, how wide, what can tip.

use super::{cautions, scenes};
use crate::form::Form;
use crate::form::totals::{TILT_CAREFUL_DEG, Totals};
use crate::say::page::Block;
use crate::text;
use crate::text::{Text, bench, strong, tape};
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

pub(super) fn stand(form: &Form, t: &Totals) -> Vec<Block> {
    let mut out = vec![scenes::stand(form.stack.pole.is_some())];
    out.push(Block::Paragraph(match t.stand {
        None if form.workshop.scale < 1.0 => {
            "At this scale it stands on a table, or on a stand as high as you like.".into()
        }
        Some(stand) => text![
            "The underside of layer 1 goes ",
            strong(tape(stand)),
            " above the floor: then the waist is as high as the person's. Under it lies the base board, ",
            bench(form.workshop.base, 0),
            "."
        ],
        None => {
            "Set the waist of the form as high as the person's; the sheet does not say how high that is.".into()
        }
    }));
    out.extend(pole(form, t).map(Block::Paragraph));
    out.push(Block::Paragraph(foot(form, t)));
    out.push(Block::Paragraph(hung(t)));
    out.push(cautions::at_the_hook());
    let heavy = t.layer_weight + t.dowel_weight;
    let heavy = (heavy > HEAVY_KG).then(|| {
        strong(text![
            "With its dowels it weighs about ",
            text::weight(heavy, 0),
            ": two people lift it."
        ])
    });
    out.push(Block::Caution(vec![text![
        "A coat or a skirt loads one side: keep weight low in the base, lock castors, and try the tilt with the \
         heaviest garment on before you leave it alone. ",
        heavy
    ]]));
    out
}

/// How it goes on its pole, or what takes the place of one.
fn pole(form: &Form, t: &Totals) -> Option<Text> {
    let Some(pole) = form.stack.pole else {
        return Some(
            "This form has no pole (`[pole]` in the workshop file gives it one): the base board alone carries it. \
             Before the board is glued on, bolt a flange for the tube of your stand to its middle, bolt heads and large \
             washers on its upper side, and cut room for them into layer 1, and into as many more as they are high, \
             before those are glued; screws alone pull out. Glue the board over its whole face. If you are not sure of \
             the joint, ask somebody who builds stands or furniture."
                .into(),
        );
    };
    let from = if t.stand.is_some() {
        "the floor"
    } else {
        "the underside of the base board"
    };
    Some(text![
        "On a pole: it is ",
        strong(tape(t.pole_length?)),
        " long from ",
        from,
        " to the top of layer ",
        pole.last_layer,
        ", and what the foot takes of it. Under the board screw a collar or flange that slides on the pole of ",
        bench(pole.diameter, 1),
        " (lay yours on the small crosses before you drill), tighten it, and pin it through the pole so that the form can \
         neither sink nor turn."
    ])
}

/// Whether the base board is foot enough, on a table.
pub(super) fn stands_on_its_board(t: &Totals) -> bool {
    t.stand.is_none() && t.board_reach >= t.base_radius.max(t.base_radius_careful)
}

/// How far the foot must reach.
fn foot(form: &Form, t: &Totals) -> Text {
    if stands_on_its_board(t) {
        return text![
            "The base board reaches ",
            strong(tape(t.board_reach)),
            " from ",
            middle(form),
            " where it reaches least, and ",
            tape(t.base_radius_careful),
            " would do for a tilt of ",
            units::fixed(TILT_CAREFUL_DEG, 0),
            " degrees: on a table the form stands on its board. On a stand, the foot must reach no less than the board, \
             and no less than ",
            tape(t.base_radius_careful),
            " with 0.27 times the height of the stand added to it."
        ];
    }
    let careful = (t.base_radius_careful > t.base_radius).then(|| {
        text![
            ", ",
            tape(t.base_radius_careful),
            " for ",
            units::fixed(TILT_CAREFUL_DEG, 0),
            " degrees, with children or pets about"
        ]
    });
    let on_a_stand = " On a stand, add 0.18 times its height for 10 degrees, 0.27 times for 15.";
    text![
        "The foot must reach ",
        strong(tape(t.base_radius)),
        " from ",
        middle(form),
        " on every side to stand a tilt of ",
        units::fixed(form.workshop.tilt, 0),
        " degrees",
        careful,
        ". The foot's own weight is not counted: a heavy one only helps.",
        t.stand.is_none().then_some(on_a_stand),
        " Legs in a star are longer: 2.0 times with three, 1.4 with four, 1.24 with five."
    ]
}

/// How it hangs.
fn hung(t: &Totals) -> Text {
    let lean = units::degrees(t.hang_lean);
    let mend = ": move the eye until it hangs plumb, or weight the light side of the hem";
    text![
        "Hanging: a screw eye through the neck cap and a plate of the same wood under it, as wide as the top layer has room \
         for: cut that room into the top layer and fix eye, cap and plate together before the cap is glued on. A swivel \
         hook holds the eye. From the middle of the cap \
         it leans by ",
        units::fixed(lean, 1),
        " degrees",
        (lean > PLUMB_DEG).then_some(mend),
        ". Hook and ceiling must hold its weight with a garment on, three times over."
    ]
}
