//! What a fitter sees and nobody measures: each word moves the prior by a stated amount. Readings
//! always win. Amounts in standard deviations of the parameter's prior (our choice: one and a half,
//! so that a word is heard but a tape overrules it).

use crate::sheet::{Abdomen, Back, BustForm, BustPlace, Fullness, Shape, Shoulders};
use crate::torso::param::Param;
use crate::torso::prior::Prior;

/// How far a word moves its parameter, in standard deviations.
const STRENGTH: f64 = 1.5;

/// Moves the prior by the words of the sheet.
pub(crate) fn apply(shape: &Shape, prior: &mut Prior) {
    let mut shift = |q: Param, by: f64| {
        let i = q as usize;
        let moved = prior.mean[i] + by * STRENGTH * prior.sd[i];
        prior.mean[i] = moved.clamp(prior.low[i], prior.high[i]);
    };
    match shape.abdomen {
        Some(Abdomen::Flat) => shift(Param::Abdomen, -1.0),
        Some(Abdomen::Full) => shift(Param::Abdomen, 2.0),
        Some(Abdomen::Average | Abdomen::Pregnant) | None => {}
    }
    let amount = |a: Option<Fullness>| match a {
        Some(Fullness::Flat) => -1.0,
        Some(Fullness::Full) => 1.0,
        Some(Fullness::Average) | None => 0.0,
    };
    shift(Param::Buttock, amount(shape.seat));
    shift(Param::Blade, amount(shape.blades));
    match shape.bust {
        // A high bust lies nearer to the nape.
        Some(BustPlace::High) => shift(Param::BustDrop, -0.7),
        Some(BustPlace::Low) => shift(Param::BustDrop, 0.7),
        Some(BustPlace::Average | BustPlace::Flat) | None => {}
    }
    let breast = &mut prior.style.breast;
    match shape.bust_form {
        // How the breast is built, set by eye: blunter and fuller above, or the reverse.
        Some(BustForm::Round) => {
            breast.blunt = breast.blunt.map(|b| b + 0.25);
            breast.soft[1] -= 0.4;
        }
        Some(BustForm::Pointed) => {
            breast.blunt = breast.blunt.map(|b| b - 0.3);
            breast.soft[0] = 1.0;
        }
        Some(BustForm::Average) | None => {}
    }
    let mut shift = |q: Param, by: f64| {
        let i = q as usize;
        let moved = prior.mean[i] + by * STRENGTH * prior.sd[i];
        prior.mean[i] = moved.clamp(prior.low[i], prior.high[i]);
    };
    match shape.shoulders {
        Some(Shoulders::Square) => shift(Param::Slope, -1.0),
        Some(Shoulders::Sloping) => shift(Param::Slope, 1.0),
        Some(Shoulders::Average) | None => {}
    }
    match shape.back {
        // A rounded back carries the nape forward and the blades back; an erect one less so.
        Some(Back::Rounded) => {
            shift(Param::BackNape, 1.0);
            shift(Param::BackChest, -0.7);
        }
        Some(Back::Erect) => {
            shift(Param::BackNape, -1.0);
            shift(Param::BackChest, 0.5);
        }
        Some(Back::Average) | None => {}
    }
}
