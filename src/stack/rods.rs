//! Rods to buy: what dowels are sawn from.

use crate::units::Unit;

use super::Dowel;
use super::dowel_size::size_name;

/// What a saw takes away, mm (common practice, no source).
const SAW_CUT: f64 = 2.0;

/// Rods of one diameter.
#[derive(Clone, Debug, PartialEq)]
pub struct Rods {
    /// The diameter as they are sold by: `8 mm`, `3/8 in`.
    pub size: String,
    /// How long each is, mm.
    pub length: f64,
    /// How many are needed; none to spare.
    pub count: usize,
}

/// The rods that `dowels` are sawn from, a row for each diameter, in the order of the dowels. Each dowel is sawn out of
/// one rod, the longest first, out of the first rod that has it left.
#[must_use]
pub fn to_buy(dowels: &[Dowel], unit: Unit) -> Vec<Rods> {
    let mut sizes: Vec<(String, Vec<f64>)> = Vec::new();
    for d in dowels {
        let name = size_name(d.diameter);
        match sizes.iter_mut().find(|(of, _)| *of == name) {
            Some((_, lengths)) => lengths.push(d.length),
            None => sizes.push((name, vec![d.length])),
        }
    }
    let rods = sizes.into_iter().map(|(size, mut lengths)| {
        lengths.sort_by(|a, b| b.total_cmp(a));
        let longest = lengths.first().copied().unwrap_or_default();
        let sold = sold_long(unit);
        let rod = sold
            .into_iter()
            .find(|rod| *rod >= longest)
            .unwrap_or(sold[1]);
        let mut left: Vec<f64> = Vec::new();
        for length in lengths {
            let sawn = length + SAW_CUT;
            match left.iter_mut().find(|left| **left >= sawn) {
                Some(left) => *left -= sawn,
                None => left.push(rod - sawn),
            }
        }
        Rods {
            size,
            length: rod,
            count: left.len(),
        }
    });
    rods.collect()
}

/// How long rods are sold, mm (common practice, no source): 1 m and 2 m, or 36 in and 72 in.
const fn sold_long(unit: Unit) -> [f64; 2] {
    match unit {
        Unit::Cm | Unit::Mm => [1000.0, 2000.0],
        Unit::In => [unit.to_mm(36.0), unit.to_mm(72.0)],
    }
}
