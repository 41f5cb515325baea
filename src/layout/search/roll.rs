//! Tries on a roll: repack a band or a few neighbours, and let the pieces slide together.

use crate::layout::search::Instance;
use crate::layout::search::Lie;
use crate::layout::search::Rule;
use crate::layout::search::SearchState;
use crate::layout::search::Seeded;
use crate::layout::window::Window;

/// How far a piece may slide down at once when a roll is refined, mm.
const SLIDE: f64 = 12.0;

/// How far around its region a few pieces of a roll are laid again, mm.
const SLACK: f64 = 60.0;

impl Instance {
    /// Lifts the pieces out of a band of a roll, and those at its end, and lays them again.
    pub(super) fn retry_band(
        &self,
        state: &SearchState,
        seeded: &mut Seeded,
        window: &mut Window,
    ) -> Option<Vec<Vec<Lie>>> {
        let which = seeded.below(state.bins.len());
        let bin = &state.bins[which];
        let end = self.height(bin);
        let tallest = bin
            .iter()
            .map(|l| self.variants[l.variant].size.1)
            .fold(0.0, f64::max);
        let from = seeded.unit() * (end + tallest) - tallest;
        let to = from + tallest * (0.3 + 1.2 * seeded.unit());
        let last = end - tallest * 0.1 * seeded.unit() * seeded.unit();
        let lifted = |l: &Lie| {
            let foot = f64::from(l.row) * self.grid;
            let top = self.top(l);
            (top > from && foot < to) || top >= last
        };
        let mut kept: Vec<Lie> = bin.iter().filter(|l| !lifted(l)).copied().collect();
        let pieces: Vec<usize> = bin
            .iter()
            .filter(|l| lifted(l))
            .map(|l| self.variants[l.variant].piece)
            .collect();
        let rule = Self::rule(seeded);
        let low = floor_row((from - tallest).max(0.0), self.grid);
        let high = (to + 1.5 * tallest).min(end + 0.3 * tallest);
        for piece in self.shuffled(pieces, seeded) {
            let lie = self
                .place(&kept, piece, rule, (low, high), window)
                .or_else(|| self.place(&kept, piece, rule, (0, end), window))?;
            kept.push(lie);
        }
        self.settle(&mut kept, low, tallest, window);
        let mut bins = state.bins.clone();
        bins[which] = kept;
        Some(bins)
    }

    /// Lets the pieces of a roll slide down where they can, from the lowest up, each by at most the
    /// height of the tallest; those under the row `low` stay.
    pub(super) fn settle(&self, bin: &mut [Lie], low: i32, tallest: f64, window: &mut Window) {
        bin.sort_by_key(|l| (l.row, l.column, l.variant));
        let rule = Rule {
            along: 0.0,
            up: 1.0,
        };
        let deep = floor_row(tallest, self.grid);
        let mut rest: Vec<Lie> = bin.to_vec();
        for k in 0..bin.len() {
            let lie = bin[k];
            if lie.row < low {
                continue;
            }
            rest.copy_from_slice(bin);
            rest.swap_remove(k);
            let room = ((lie.row - deep).max(0), self.top(&lie));
            if let Some(lower) = self.place_turned(&rest, &[lie.variant], rule, room, window) {
                bin[k] = lower;
            }
            rest.push(lie);
        }
    }

    /// Lifts a few neighbours off a roll, with a piece from elsewhere or from its end, and lays them
    /// again in the same region, and the stranger there or in the room that it left.
    pub(super) fn retry_few(
        &self,
        state: &SearchState,
        seeded: &mut Seeded,
        window: &mut Window,
    ) -> Option<Vec<Vec<Lie>>> {
        let which = seeded.below(state.bins.len());
        let mut kept = state.bins[which].clone();
        let end = self.height(&kept);
        let middle = |l: &Lie| {
            let (w, h) = self.variants[l.variant].size;
            (
                f64::from(l.column) * self.grid + w / 2.0,
                f64::from(l.row) * self.grid + h / 2.0,
            )
        };
        let centre = middle(&kept[seeded.below(kept.len())]);
        kept.sort_by(|a, b| {
            let away = |l: &Lie| {
                let (x, y) = middle(l);
                libm::pow(x - centre.0, 2.0) + libm::pow(y - centre.1, 2.0)
            };
            away(b).total_cmp(&away(a)).then(a.variant.cmp(&b.variant))
        });
        let near = (1 + seeded.below(5)).min(kept.len());
        let mut lifted = kept.split_off(kept.len() - near);
        let foot = lifted.iter().map(|l| l.row).min().unwrap_or(0);
        let top = lifted.iter().map(|l| self.top(l)).fold(0.0, f64::max);
        let mut left = None;
        if !kept.is_empty() {
            let k = if seeded.unit() < 0.4 {
                (0..kept.len())
                    .max_by(|&a, &b| self.top(&kept[a]).total_cmp(&self.top(&kept[b])))?
            } else {
                seeded.below(kept.len())
            };
            let stranger = kept.swap_remove(k);
            lifted.push(stranger);
            left = Some((stranger.row, self.top(&stranger)));
        }
        let rule = Self::rule(seeded);
        let pieces = lifted
            .iter()
            .map(|l| self.variants[l.variant].piece)
            .collect();
        let slack = SLACK * seeded.unit();
        let room = |low: i32, high: f64| {
            (
                (low - floor_row(slack, self.grid)).max(0),
                (high + slack).min(end),
            )
        };
        for piece in self.shuffled(pieces, seeded) {
            let lie = self
                .place(&kept, piece, rule, room(foot, top), window)
                .or_else(|| {
                    let (low, high) = left?;
                    self.place(&kept, piece, rule, room(low, high), window)
                })?;
            kept.push(lie);
        }
        if seeded.unit() < 0.2 {
            self.settle(&mut kept, foot, SLACK, window);
        }
        let mut bins = state.bins.clone();
        bins[which] = kept;
        Some(bins)
    }

    /// The same layout on a finer grid, `finer` steps to one, the pieces of a roll slid down on it.
    pub(crate) fn refined(&self, bins: &[Vec<Lie>], finer: i32) -> Vec<Vec<Lie>> {
        let mut window = Window::default();
        bins.iter()
            .map(|bin| {
                let mut bin: Vec<Lie> = bin
                    .iter()
                    .map(|l| Lie {
                        column: l.column * finer,
                        row: l.row * finer,
                        ..*l
                    })
                    .collect();
                let mut height = f64::INFINITY;
                while self.height(&bin) < height {
                    height = self.height(&bin);
                    self.settle(&mut bin, 0, SLIDE, &mut window);
                }
                bin
            })
            .collect()
    }
}

/// The grid row at or under a height.
#[allow(
    clippy::cast_possible_truncation,
    reason = "boards are far shorter than 2^31 grid steps"
)]
fn floor_row(height: f64, grid: f64) -> i32 {
    (height / grid).floor() as i32
}
