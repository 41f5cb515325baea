//! In which thicknesses and boards a material is sold, where one measures in millimetres and in inches.

use crate::units::Unit;
use crate::workshop::keys::stock;
use crate::workshop::material;

/// Thicknesses that sheets are sold in by the inch, in 16ths (common practice, no source).
const SIXTEENTHS: [u32; 12] = [1, 2, 3, 4, 6, 8, 10, 12, 16, 20, 24, 32];
/// Boards that are sold by the inch, across and along (common practice, no source).
const INCH_BOARDS: [(f64, f64); 5] = [
    (20.0, 30.0),
    (24.0, 48.0),
    (32.0, 40.0),
    (48.0, 48.0),
    (48.0, 96.0),
];
/// Two sides of a board are taken for the same where they differ by less than this share. Our choice: 600 mm are
/// called 24 in, and 500 mm 20 in.
const SAME_SIDE: f64 = 0.09;

/// Thicknesses that the material of this name is sold in, mm, the thinnest first; none where it is unknown. By the
/// inch those nearest to what is sold by the millimetre.
#[must_use]
pub fn thicknesses(name: &str, unit: Unit) -> Vec<f64> {
    let metric = material::named(name).map_or(&[][..], |m| m.thicknesses);
    if unit != Unit::In {
        return metric.to_vec();
    }
    let inches = SIXTEENTHS.map(|n| unit.to_mm(f64::from(n) / 16.0));
    let mut sold: Vec<f64> = metric
        .iter()
        .filter_map(|mm| {
            let apart = |size: &f64| (size / mm).max(mm / size);
            inches
                .into_iter()
                .min_by(|a, b| apart(a).total_cmp(&apart(b)))
        })
        .collect();
    sold.dedup();
    sold
}

/// Boards that it is sold in, width and length in mm. By the inch those nearest to what is sold by the
/// millimetre; the usual board where it is unknown.
#[must_use]
pub fn boards(name: &str, unit: Unit) -> Vec<(f64, f64)> {
    let usual = (stock::WIDTH.shown(unit), stock::LENGTH.shown(unit));
    let metric = material::named(name).map_or(&[][..], |m| m.boards);
    let same = |a: f64, b: f64| (a / b - 1.0).abs() < SAME_SIDE;
    let mut sold = vec![usual];
    for (width, length) in metric {
        let (short, long) = (width.min(*length), width.max(*length));
        let by_inch = INCH_BOARDS
            .map(|(a, b)| (unit.to_mm(a), unit.to_mm(b)))
            .into_iter()
            .find(|(a, b)| same(short, *a) && same(long, *b));
        let board = match by_inch {
            Some((a, b)) if unit == Unit::In => (b, a),
            None if unit == Unit::In => continue,
            _ => (*width, *length),
        };
        let is_there = |s: &(f64, f64)| {
            same(s.0.min(s.1), board.0.min(board.1)) && same(s.0.max(s.1), board.0.max(board.1))
        };
        if !sold.iter().any(is_there) {
            sold.push(board);
        }
    }
    sold
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn where_inches_are_used_sheets_are_of_inches() {
        let by_inch = |name: &str| -> Vec<f64> {
            thicknesses(name, Unit::In)
                .into_iter()
                .map(|mm| mm / 25.4 * 16.0)
                .collect()
        };
        for (name, sixteenths) in [
            ("foam sheet", vec![2.0, 3.0, 4.0, 6.0, 12.0]),
            ("birch plywood", vec![2.0, 3.0, 4.0, 6.0, 8.0]),
            ("XPS board", vec![12.0, 16.0, 20.0, 24.0, 32.0]),
            ("wool", vec![]),
        ] {
            let found = by_inch(name);
            assert_eq!(found.len(), sixteenths.len(), "{name}: {found:?}");
            for (a, b) in found.iter().zip(&sixteenths) {
                assert!((a - b).abs() < 1e-9, "{name}: {found:?}");
            }
        }
        assert_eq!(
            thicknesses("foam sheet", Unit::Cm),
            [3.0, 5.0, 6.35, 10.0, 20.0]
        );
        for m in material::KNOWN {
            for unit in Unit::ALL {
                assert!(boards(m.name, unit).len() <= m.boards.len() + 1);
            }
        }
        let inches = |(a, b): &(f64, f64)| ((a / 25.4).round() as u32, (b / 25.4).round() as u32);
        let sold: Vec<_> = boards("plywood", Unit::In).iter().map(inches).collect();
        assert_eq!(sold, [(48, 24), (96, 48)]);
    }
}
