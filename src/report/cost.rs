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
    /// Dowels.
    pub dowels: Option<f64>,
    /// Batting with its spare.
    pub batting: Option<f64>,
}

/// What boards, rods of this length (mm) and batting for this area (mm²) cost.
#[must_use]
pub fn cost(workshop: &Workshop, boards: &[Board], rods: f64, area: f64) -> Cost {
    let prices = &workshop.prices;
    let of_stock = |i: usize| -> Option<f64> {
        let own: Vec<&Board> = boards.iter().filter(|b| b.stock == i).collect();
        if own.is_empty() {
            return Some(0.0);
        }
        let price = prices.stock.get(i).copied().flatten()?;
        let bought = if workshop.stock.get(i).is_some_and(|s| s.roll) {
            own.iter().map(|b| b.length).sum::<f64>() / MM_PER_M * SPARE
        } else {
            bought(own.len()) as f64
        };
        Some(price * bought)
    };
    Cost {
        currency: prices.currency.clone(),
        stock: (0..workshop.stock.len()).map(of_stock).sum(),
        dowels: prices.dowel.map(|p| p * rods / MM_PER_M),
        batting: prices.batting.map(|p| p * area * CLOTH_SPARE / MM2_PER_M2),
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
}
