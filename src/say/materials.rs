//! The table of materials, and what is said of one.

use crate::say::amount::{Amount, AmountScale};
use crate::say::page::{Block, PageMark};
use crate::say::table::{Table, cells};
use crate::say::terminal;
use crate::text::Reader;
use crate::units;
use crate::units::Unit;
use crate::workshop::family::Laser;
use crate::workshop::material;
use crate::workshop::material::{Material, Pins};
use crate::workshop::sold;

/// ` (holds pins; laser usual)`, as far as the name of a material tells.
pub(super) fn traits(name: &str) -> String {
    let cut = laser(material::laser(name));
    match material::named(name) {
        Some(m) => format!(" ({}; {cut})", pins(m.pins)),
        None => format!(" ({cut})"),
    }
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
        Laser::Never => "no laser",
    }
}

/// Whether a material holds a pin, in a word.
pub(super) const fn holds(pins: Pins) -> &'static str {
    match pins {
        Pins::Hold => "yes",
        Pins::Weakly => "weakly",
        Pins::No => "no",
    }
}

/// Whether a laser may cut it, in a word or two.
pub(super) const fn in_short(laser: Laser) -> &'static str {
    match laser {
        Laser::Usual => "usual",
        Laser::Ask => "ask first",
        Laser::Never => "never",
    }
}

/// The materials that are known, as text. Sheet material is sold by the millimetre nearly everywhere:
/// somebody who measures in inches reads both.
#[must_use]
pub fn table(unit: Unit) -> String {
    let inches = unit == Unit::In;
    // What no laser may cut stands first where names are read, and last where somebody chooses.
    let mut known: Vec<&Material> = material::KNOWN.iter().collect();
    known.sort_by_key(|m| m.family.laser == Laser::Never);
    let rows = known.into_iter().map(|m| {
        let list = |show: &dyn Fn(f64) -> String| {
            let all: Vec<String> = m.thicknesses.iter().map(|v| show(*v)).collect();
            all.join(" ")
        };
        let side = |v: f64| {
            if inches {
                units::fixed(unit.from_mm(v), 0)
            } else {
                units::trimmed(v, 2)
            }
        };
        let boards: Vec<String> = m
            .boards
            .iter()
            .map(|(w, l)| format!("{}x{}", side(*w), side(*l)))
            .collect();
        let mut row = cells![m.name];
        if inches {
            let sold = sold::thicknesses(m.name, unit).into_iter();
            let sold: Vec<String> = sold.map(|v| unit.drill_bare(v).replace(' ', "-")).collect();
            row.push(sold.join(" ").into());
        }
        row.push(list(&|v| units::trimmed(v, 2)).into());
        let density = Amount::new(m.density, AmountScale::Density(unit));
        row.extend(cells![
            boards.join(" "),
            density,
            holds(m.pins),
            in_short(m.family.laser),
        ]);
        row
    });
    let density = unit.density_name();
    let heads: &[&str] = if inches {
        &[
            "material",
            "sold, in",
            "or by mm",
            "boards about in",
            density,
            "pins",
            "laser",
        ]
    } else {
        &[
            "material",
            "sold in mm",
            "boards in mm",
            density,
            "pins",
            "laser",
        ]
    };
    let table = Table::new(heads, rows);
    let mut sources: Vec<(&str, Vec<&str>)> = Vec::new();
    for m in material::KNOWN {
        match sources.iter_mut().find(|s| s.0 == m.source) {
            Some((_, of)) => of.push(m.name),
            None => sources.push((m.source, vec![m.name])),
        }
    }
    let density =
        |(source, of): (&str, Vec<&str>)| format!("density of {}: {source}", of.join(", ")).into();
    let said = vec![
        Block::Table(table),
        Block::List(PageMark::Nothing, sources.into_iter().map(density).collect()),
        Block::Note(
            "sizes, pins and laser: from memory of the trade. ask first: only if the machine's owner \
             and the maker's data sheet both say so; never PVC, vinyl or an unknown plastic, and never \
             a running laser left alone"
                .into(),
        ),
    ];
    terminal::page(&vec![said], Reader::of(unit), false)
}
