//! The words of a sheet for what nobody measured.

use toml::de::DeTable;

use crate::sheet::amend;
use crate::sheet::facts::SheetFact;
use crate::sheet::{Abdomen, Amend, Back, BustForm, BustPlace, Fullness, Shape, Shoulders};
use crate::source::{Guess, Quoting, Source};
use crate::units;
use crate::units::Unit;

/// Reads the table `[shape]`.
pub(super) fn read_shape<'a>(
    source: &mut Source<'a>,
    table: &DeTable<'a>,
    unit: Unit,
) -> (Shape, Vec<Amend>) {
    const KNOWN: [&str; 8] = [
        "abdomen",
        "seat",
        "blades",
        "bust",
        "bust_form",
        "shoulders",
        "back",
        "amend",
    ];
    const AMOUNTS: [(&str, Fullness); 3] = [
        ("flat", Fullness::Flat),
        ("average", Fullness::Average),
        ("full", Fullness::Full),
    ];
    let mut shape = Shape::default();
    let mut amends = Vec::new();
    for (key, value) in table {
        match key.get_ref().as_ref() {
            "abdomen" => {
                shape.abdomen = source.choice(
                    "shape.abdomen",
                    value,
                    &[
                        ("flat", Abdomen::Flat),
                        ("average", Abdomen::Average),
                        ("full", Abdomen::Full),
                        ("pregnant", Abdomen::Pregnant),
                    ],
                );
            }
            "seat" => shape.seat = source.choice("shape.seat", value, &AMOUNTS),
            "blades" => shape.blades = source.choice("shape.blades", value, &AMOUNTS),
            "bust" => {
                shape.bust = source.choice(
                    "shape.bust",
                    value,
                    &[
                        ("high", BustPlace::High),
                        ("average", BustPlace::Average),
                        ("low", BustPlace::Low),
                        ("flat", BustPlace::Flat),
                    ],
                );
            }
            "bust_form" => {
                shape.bust_form = source.choice(
                    "shape.bust_form",
                    value,
                    &[
                        ("pointed", BustForm::Pointed),
                        ("average", BustForm::Average),
                        ("round", BustForm::Round),
                    ],
                );
            }
            "amend" => amends = amend::read(source, value, unit),
            "shoulders" => {
                shape.shoulders = source.choice(
                    "shape.shoulders",
                    value,
                    &[
                        ("square", Shoulders::Square),
                        ("average", Shoulders::Average),
                        ("sloping", Shoulders::Sloping),
                    ],
                );
            }
            "back" => {
                shape.back = source.choice(
                    "shape.back",
                    value,
                    &[
                        ("erect", Back::Erect),
                        ("average", Back::Average),
                        ("rounded", Back::Rounded),
                    ],
                );
            }
            other => source.refuse(
                key.span(),
                SheetFact::UnknownShape {
                    key: units::clip(other),
                    guess: Guess::of(other, &KNOWN, Quoting::Keys),
                },
            ),
        }
    }
    (shape, amends)
}
