//! What the material costs, as far as the workshop file gives prices.

use crate::layout::Board;
use crate::workshop::Workshop;

/// Stock bought for every piece of stock used: spare for spoiled cuts (common practice).
pub const SPARE: f64 = 1.15;
/// Batting and cloth bought for the surface they cover: overlaps and seams (common practice).
pub const CLOTH_SPARE: f64 = 1.3;
/// Millimetres in a metre.
const MM_PER_M: f64 = 1e3;
/// Square millimetres in a square metre.
const MM2_PER_M2: f64 = 1e6;

/// What is bought, each with its price where the file says one.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Cost {
    /// What it is counted in, as written; empty when not said.
    pub currency: String,
    /// Stock with its spare.
    pub stock: Option<f64>,
    /// Dowels with their spare.
    pub dowels: Option<f64>,
    /// Batting with its spare.
    pub batting: Option<f64>,
    /// Whether the form stands on a pole, which has no price.
    pub pole: bool,
}

/// What boards, dowels of this length (mm) and batting for this area (mm²) cost.
#[must_use]
pub fn cost(workshop: &Workshop, boards: &[Board], dowels: f64, area: f64) -> Cost {
    let prices = &workshop.prices;
    let of_stock = |i: usize| -> Option<f64> {
        let own: Vec<&Board> = boards.iter().filter(|b| b.stock == i).collect();
        if own.is_empty() {
            return Some(0.0);
        }
        let stock = workshop.stock.get(i)?;
        let price = stock.price?;
        let bought = if stock.roll {
            own.iter().map(|b| b.length).sum::<f64>() / MM_PER_M * SPARE
        } else {
            bought(own.len()) as f64
        };
        Some(price * bought)
    };
    Cost {
        currency: prices.currency.clone(),
        stock: (0..workshop.stock.len()).map(of_stock).sum(),
        dowels: prices.dowel.map(|p| p * dowels * SPARE / MM_PER_M),
        batting: prices.batting.map(|p| p * area * CLOTH_SPARE / MM2_PER_M2),
        pole: workshop.pole.is_some(),
    }
}

/// How many boards are bought where so many are used.
#[must_use]
pub fn bought(used: usize) -> usize {
    (used as f64 * SPARE).ceil() as usize
}

impl Cost {
    /// The sum of what has a price; nothing when the stock has none.
    #[must_use]
    pub fn sum(&self) -> Option<f64> {
        let rest = self.dowels.unwrap_or(0.0) + self.batting.unwrap_or(0.0);
        self.stock.map(|s| s + rest)
    }

    /// What the sum counts, and what of the shopping list it leaves out, in words.
    #[must_use]
    pub fn counted(&self) -> (String, String) {
        let priced = [
            (self.stock, "stock"),
            (self.dowels, "dowels"),
            (self.batting, "batting"),
        ];
        let (within, without): (Vec<_>, Vec<_>) =
            priced.into_iter().partition(|(p, _)| p.is_some());
        let names = |list: &[(Option<f64>, &'static str)]| -> Vec<&'static str> {
            list.iter().map(|(_, name)| *name).collect()
        };
        let mut out = names(&without);
        out.extend(["glue", "cover cloth", "base board and cap plate"]);
        if self.pole {
            out.push("pole");
        }
        out.extend(["stand", "paper", "tools"]);
        (listed(&names(&within)), listed(&out))
    }
}

/// `a, b and c`.
fn listed(names: &[&str]) -> String {
    match names {
        [first @ .., last] if !first.is_empty() => format!("{} and {last}", first.join(", ")),
        _ => names.concat(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_in_and_what_is_out_is_said() {
        let mut workshop = Workshop::default();
        workshop.stock[0].price = Some(8.0);
        workshop.prices.dowel = Some(2.0);
        let with = cost(&workshop, &[], 1000.0, 1e6);
        // One metre of dowels and 15 % spare (common practice).
        assert!((with.sum().unwrap() - 2.3).abs() < 1e-9);
        let (within, without) = with.counted();
        assert_eq!(within, "stock and dowels");
        assert_eq!(
            without,
            "batting, glue, cover cloth, base board and cap plate, pole, stand, paper and tools"
        );
        workshop.pole = None;
        workshop.prices.batting = Some(6.0);
        let with = cost(&workshop, &[], 0.0, 1e6);
        assert!((with.sum().unwrap() - 7.8).abs() < 1e-9);
        let (within, without) = with.counted();
        assert_eq!(within, "stock, dowels and batting");
        assert!(!without.contains("pole") && without.starts_with("glue"));
        // Without a price of the stock there is no sum.
        workshop.stock[0].price = None;
        let boards = [Board {
            stock: 0,
            width: 1000.0,
            length: 600.0,
            placed: vec![],
            used_area: 0.0,
        }];
        assert_eq!(cost(&workshop, &boards, 0.0, 1e6).sum(), None);
    }
}
