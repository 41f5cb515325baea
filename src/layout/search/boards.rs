//! Tries on boards: repack some, exchange two pieces, move one.

use crate::layout::search::Instance;
use crate::layout::search::Lie;
use crate::layout::search::Rule;
use crate::layout::search::SearchState;
use crate::layout::search::Seeded;
use crate::layout::window::Window;

/// Exchanges looked at in one try.
const SWAPS: usize = 12;

impl Instance {
    /// Lifts all or some of the pieces off some boards and lays them again.
    pub(super) fn retry_boards(
        &self,
        state: &SearchState,
        seeded: &mut Seeded,
        window: &mut Window,
    ) -> Option<Vec<Vec<Lie>>> {
        let n = state.bins.len();
        let many = (1 + seeded.below(4)).min(n);
        let mut chosen: Vec<usize> = Vec::new();
        // Half of the tries go at the emptiest board, to be rid of it.
        if seeded.unit() < 0.5 {
            let area = |k: usize| state.bins[k].iter().map(|l| self.area(l)).sum::<f64>();
            chosen.extend((0..n).min_by(|&a, &b| area(a).total_cmp(&area(b))));
        }
        while chosen.len() < many {
            let k = seeded.below(n);
            if !chosen.contains(&k) {
                chosen.push(k);
            }
        }
        let share = if seeded.unit() < 0.5 {
            1.0
        } else {
            0.2 + 0.6 * seeded.unit()
        };
        let mut pieces = Vec::new();
        let mut kept = vec![Vec::new(); many];
        for (stay, &k) in kept.iter_mut().zip(&chosen) {
            for lie in &state.bins[k] {
                if seeded.unit() < share {
                    pieces.push(self.variants[lie.variant].piece);
                } else {
                    stay.push(*lie);
                }
            }
        }
        // Fuller boards are filled up first; empty ones are opened only when need be.
        kept.reverse();
        kept.retain(|b| !b.is_empty());
        let order = self.shuffled(pieces, seeded);
        let rules: Vec<Rule> = (0..many).map(|_| Self::rule(seeded)).collect();
        let packed = self.first_fit(kept, &order, &rules, many, window)?;
        let mut bins: Vec<Vec<Lie>> = state
            .bins
            .iter()
            .enumerate()
            .filter(|(k, _)| !chosen.contains(k))
            .map(|(_, b)| b.clone())
            .collect();
        bins.extend(packed);
        Some(bins)
    }

    /// Exchanges a piece with a smaller one of a fuller board; nothing else moves.
    pub(super) fn retry_swap(
        &self,
        state: &SearchState,
        seeded: &mut Seeded,
        window: &mut Window,
    ) -> Option<Vec<Vec<Lie>>> {
        let n = state.bins.len();
        let used = |k: usize| state.bins[k].iter().map(|l| self.area(l)).sum::<f64>();
        for _ in 0..SWAPS {
            let (x, y) = (seeded.below(n), seeded.below(n));
            if x == y {
                continue;
            }
            let (from, to) = if used(x) < used(y) { (x, y) } else { (y, x) };
            let (i, j) = (
                seeded.below(state.bins[from].len()),
                seeded.below(state.bins[to].len()),
            );
            let (large, small) = (state.bins[from][i], state.bins[to][j]);
            let gain = self.area(&large) - self.area(&small);
            if gain <= 0.0 || gain > 0.5 * self.area(&small) {
                continue;
            }
            let without = |bin: &[Lie], k: usize| {
                let mut rest = bin.to_vec();
                rest.remove(k);
                rest
            };
            let mut full = without(&state.bins[to], j);
            let piece = self.variants[large.variant].piece;
            let rule = Self::rule(seeded);
            let Some(lie) = self.place(&full, piece, rule, (0, self.length), window) else {
                continue;
            };
            full.push(lie);
            let mut other = without(&state.bins[from], i);
            let piece = self.variants[small.variant].piece;
            let Some(lie) = self.place(&other, piece, rule, (0, self.length), window) else {
                continue;
            };
            other.push(lie);
            let mut bins = state.bins.clone();
            bins[to] = full;
            bins[from] = other;
            return Some(bins);
        }
        None
    }

    /// Moves pieces of the emptiest board onto the others where they fit as they lie.
    pub(super) fn retry_move(
        &self,
        state: &SearchState,
        seeded: &mut Seeded,
        window: &mut Window,
    ) -> Option<Vec<Vec<Lie>>> {
        let n = state.bins.len();
        let area = |k: usize| state.bins[k].iter().map(|l| self.area(l)).sum::<f64>();
        let from = (0..n).min_by(|&a, &b| area(a).total_cmp(&area(b)))?;
        let i = seeded.below(state.bins[from].len());
        let piece = self.variants[state.bins[from][i].variant].piece;
        let first = seeded.below(n);
        for step in 0..n.min(6) {
            let to = (first + step) % n;
            if to == from {
                continue;
            }
            let rule = Self::rule(seeded);
            if let Some(lie) = self.place(&state.bins[to], piece, rule, (0, self.length), window) {
                let mut bins = state.bins.clone();
                bins[to].push(lie);
                bins[from].remove(i);
                bins.retain(|b| !b.is_empty());
                return Some(bins);
            }
        }
        None
    }
}
