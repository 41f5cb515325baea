//! The words of a sheet for what nobody measured.

use toml::de::DeTable;

use crate::sheet::Abdomen;
use crate::sheet::Amount;
use crate::sheet::Back;
use crate::sheet::Place3;
use crate::sheet::Shape;
use crate::sheet::Shoulders;
use crate::source;
use crate::source::Source;
use crate::units;

/// Reads the table `[shape]`.
pub(super) fn read_shape<'a>(source: &mut Source<'a>, table: &DeTable<'a>) -> Shape {
    const KNOWN: [&str; 6] = ["abdomen", "seat", "blades", "bust", "shoulders", "back"];
    const AMOUNTS: [(&str, Amount); 3] = [
        ("flat", Amount::Flat),
        ("average", Amount::Average),
        ("full", Amount::Full),
    ];
    let mut shape = Shape::default();
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
                        ("high", Place3::High),
                        ("average", Place3::Average),
                        ("low", Place3::Low),
                    ],
                );
            }
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
                format!("`shape.{}` is not a key of the sheet", units::clip(other)),
                source::did_you_mean(other, &KNOWN, '`'),
            ),
        }
    }
    shape
}
