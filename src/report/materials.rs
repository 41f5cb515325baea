//! The table of materials, and what is said of one.

use crate::report::plan::short;
use crate::report::tables;
use crate::workshop::material;
use crate::workshop::material::Laser;
use crate::workshop::material::Pins;

/// ` (holds pins; laser: ask first)`, as far as the name of a material tells.
pub(super) fn traits(name: &str) -> String {
    material::named(name).map_or_else(String::new, |m| {
        format!(" ({}; {})", pins(m.pins), laser(m.laser))
    })
}

/// Whether a material holds a pin, in words.
#[must_use]
pub const fn pins(pins: Pins) -> &'static str {
    match pins {
        Pins::Hold => "holds pins",
        Pins::Weakly => "holds pins weakly",
        Pins::No => "holds no pin: the padding must",
    }
}

/// Whether a laser may cut it, in words.
#[must_use]
pub const fn laser(laser: Laser) -> &'static str {
    match laser {
        Laser::Usual => "laser usual",
        Laser::Ask => "laser only if its owner and the data sheet say so",
    }
}

/// The materials that are known, as text.
#[must_use]
pub fn table() -> String {
    let rows = material::KNOWN.iter().map(|m| {
        let list = |values: &[f64]| {
            values
                .iter()
                .map(|v| short(*v))
                .collect::<Vec<_>>()
                .join(" ")
        };
        let boards: Vec<String> = m
            .boards
            .iter()
            .map(|(w, l)| format!("{}x{}", short(*w), short(*l)))
            .collect();
        vec![
            m.name.to_owned(),
            list(m.thicknesses),
            boards.join(" "),
            short(m.density),
            match m.pins {
                Pins::Hold => "yes",
                Pins::Weakly => "weakly",
                Pins::No => "no",
            }
            .to_owned(),
            match m.laser {
                Laser::Usual => "usual",
                Laser::Ask => "ask first",
            }
            .to_owned(),
            m.source.to_owned(),
        ]
    });
    let mut out = tables::table(
        &[
            "material",
            "sold in mm",
            "boards in mm",
            "kg/m³",
            "pins",
            "laser",
            "density from",
        ],
        rows,
        &[3],
    );
    out.push_str(
        "sizes, pins and laser: from memory of the trade. ask first: only if the machine's owner\n\
         and the maker's data sheet both say so; never PVC, vinyl or an unknown plastic, and never\n\
         a running laser left alone\n",
    );
    out
}
