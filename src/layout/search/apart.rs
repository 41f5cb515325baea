//! Pressing the pieces of a roll into less of it and moving them apart again: what the last tries of
//! a long search are spent on.
//!
//! The roll is cut shorter than the pieces need, so that some overlap. Of those that do, one after
//! another goes where it overlaps least, by weights that grow for pairs which go on overlapping
//! (guided local search; Voudouris and Tsang, European J. Operational Research 113, 1999; on
//! irregular outlines Egeblad, Nielsen and Odgaard, same journal 183, 2007, and Umetani et al.,
//! International Transactions in Operational Research 16, 2009; all cited from memory).

use rayon::prelude::*;

use crate::layout::search::CHAINS;
use crate::layout::search::Instance;
use crate::layout::search::Lie;
use crate::layout::search::Seeded;
use crate::layout::search::depth::DeepSpot;
use crate::layout::search::depth::Yard;

/// Pieces laid again that count as one try: as long as a try of another kind takes.
const LAID_A_TRY: usize = 8;

/// Pieces a chain lays again before the chains compare.
const STRETCH: usize = 20_000;

/// Places looked at anywhere, and places near where the piece lies.
const FAR: usize = 8;
const NEAR: usize = 12;

/// Of all places looked at, those that are followed to the least overlap near them.
const FOLLOWED: usize = 2;

/// Rounds without a smaller overlap before the search goes back to the best, and how often it does.
const PATIENCE: usize = 50;
const RETURNS: usize = 3;

/// What weights grow by for the largest overlap and for the smallest, and shrink by for none.
const GROWTH: (f32, f32) = (2.0, 1.2);
const DECAY: f32 = 0.95;

/// Shares of its length by which a roll is shortened: the first, the least.
const FIRST_CUT: f64 = 0.001;
const LEAST_CUT: f64 = 0.0002;

/// Share of the short cuts before which two pieces change places.
const EXCHANGED: f64 = 0.7;

/// A search of one chain.
struct Walk {
    spots: Vec<DeepSpot>,
    weights: Vec<f32>,
    seeded: Seeded,
    /// Share of the length that the next cut takes.
    cut: f64,
    /// The length that is tried, when a stretch ended amid it, mm.
    trying: Option<f64>,
    /// Length, mm, and layout of the best without overlap.
    best: (f64, Vec<DeepSpot>),
    /// Pieces that may still be laid again in this stretch.
    left: usize,
}

impl Instance {
    /// Spends `tries` on using less of one roll than `bin` does; the grid should be fine.
    pub(crate) fn apart(&self, bin: &[Lie], tries: usize) -> Vec<Lie> {
        let yard = Yard::new(self);
        let mut spots = vec![None; self.areas.len()];
        for lie in bin {
            spots[self.variants[lie.variant].piece] = Some(DeepSpot {
                variant: lie.variant,
                x: lie.column,
                y: lie.row,
            });
        }
        let Some(spots) = spots.into_iter().collect::<Option<Vec<DeepSpot>>>() else {
            return bin.to_vec();
        };
        let start = (yard.length(&spots), spots);
        let mut best = start.clone();
        let mut walks: Vec<Walk> = (0..CHAINS)
            .map(|chain| Walk {
                spots: start.1.clone(),
                weights: vec![1.0; yard.pieces * yard.pieces],
                seeded: Seeded((chain as u64 + 1).wrapping_mul(0x9fb2_1c65_1e98_df25)),
                cut: FIRST_CUT,
                trying: None,
                best: start.clone(),
                left: 0,
            })
            .collect();
        let mut left = tries.saturating_mul(LAID_A_TRY).div_ceil(CHAINS);
        while left > 0 {
            let stretch = left.min(STRETCH);
            left -= stretch;
            walks.par_iter_mut().for_each(|walk| {
                walk.left = stretch;
                yard.press(walk);
            });
            for walk in &walks {
                if walk.best.0 < best.0 {
                    best.clone_from(&walk.best);
                }
            }
            // Who is behind goes on from the best.
            for walk in &mut walks {
                if walk.best.0 > best.0 {
                    walk.best.clone_from(&best);
                    walk.trying = None;
                }
            }
        }
        best.1
            .iter()
            .map(|spot| Lie {
                variant: spot.variant,
                column: spot.x,
                row: spot.y,
            })
            .collect()
    }
}

impl Yard<'_> {
    /// Used length, mm.
    fn length(&self, spots: &[DeepSpot]) -> f64 {
        spots
            .iter()
            .map(|s| f64::from(s.y) * self.instance.grid + self.variant(s).size.1)
            .fold(0.0, f64::max)
    }

    /// Weighted overlap of a piece at a spot with all others; stops where it is `enough`.
    fn overlap(&self, walk: &Walk, piece: usize, spot: &DeepSpot, enough: f32) -> f32 {
        let weights = &walk.weights[piece * self.pieces..(piece + 1) * self.pieces];
        let mut sum = 0.0;
        for (j, other) in walk.spots.iter().enumerate() {
            if j == piece {
                continue;
            }
            let depth = self.depth(spot, other);
            if depth > 0.0 {
                sum += weights[j] * depth;
                if sum >= enough {
                    return sum;
                }
            }
        }
        sum
    }

    /// Last column and row for a turned piece; none when it does not go in.
    fn last(&self, variant: usize, length: f64) -> Option<(i32, i32)> {
        let (w, h) = self.instance.variants[variant].size;
        let x = self.instance.positions(self.instance.width, w) - 1;
        let y = self.instance.positions(length, h) - 1;
        (x >= 0 && y >= 0).then_some((x, y))
    }

    /// Cuts the roll shorter and moves the pieces apart, again and again.
    fn press(&self, walk: &mut Walk) {
        while walk.left > 0 {
            let length = match walk.trying {
                Some(length) => length,
                None => {
                    let Some(length) = self.shorter(walk) else {
                        return;
                    };
                    walk.weights.fill(1.0);
                    walk.trying = Some(length);
                    length
                }
            };
            match self.separate(walk, length) {
                Some(true) => {
                    walk.best = (self.length(&walk.spots), walk.spots.clone());
                    walk.trying = None;
                }
                Some(false) => {
                    walk.cut = (walk.cut / 2.0).max(LEAST_CUT);
                    walk.trying = None;
                }
                None => {}
            }
        }
    }

    /// The best layout on less of the roll than it needs, and that length, mm.
    fn shorter(&self, walk: &mut Walk) -> Option<f64> {
        let (used, best) = walk.best.clone();
        walk.spots = best;
        let length = used * (1.0 - walk.cut);
        // What lies beyond some height comes down by what is cut off.
        let at = walk.seeded.unit() * used;
        let down = (self.instance.positions(used, length) - 1).max(1);
        for spot in &mut walk.spots {
            if f64::from(spot.y) * self.instance.grid > at {
                spot.y -= down;
            }
        }
        if walk.cut < FIRST_CUT && walk.seeded.unit() < EXCHANGED {
            self.exchange(walk);
        }
        for spot in &mut walk.spots {
            let (x, y) = self.last(spot.variant, length)?;
            spot.x = spot.x.clamp(0, x);
            spot.y = spot.y.clamp(0, y);
        }
        Some(length)
    }

    /// Two pieces change places, which leads a search out of where it is stuck.
    fn exchange(&self, walk: &mut Walk) {
        let (a, b) = (
            walk.seeded.below(self.pieces),
            walk.seeded.below(self.pieces),
        );
        let (p, q) = (walk.spots[a], walk.spots[b]);
        (walk.spots[a].x, walk.spots[a].y) = (q.x, q.y);
        (walk.spots[b].x, walk.spots[b].y) = (p.x, p.y);
    }

    /// Moves pieces apart within a length: whether that succeeded, nothing when the stretch is over.
    fn separate(&self, walk: &mut Walk, length: f64) -> Option<bool> {
        let mut least = (f32::INFINITY, walk.spots.clone());
        let (mut stale, mut returns) = (0, 0);
        loop {
            let pairs = self.overlapping(&walk.spots);
            if pairs.is_empty() {
                return Some(true);
            }
            if walk.left == 0 {
                return None;
            }
            let total: f32 = pairs.iter().map(|p| p.2).sum();
            if total < 0.98 * least.0 {
                least = (total, walk.spots.clone());
                stale = 0;
            } else {
                stale += 1;
            }
            if stale > PATIENCE {
                returns += 1;
                stale = 0;
                walk.spots.clone_from(&least.1);
                if returns == RETURNS {
                    return Some(false);
                }
                continue;
            }
            self.weigh(walk, &pairs);
            let mut moving: Vec<usize> = pairs.iter().flat_map(|p| [p.0, p.1]).collect();
            moving.sort_unstable();
            moving.dedup();
            for k in (1..moving.len()).rev() {
                moving.swap(k, walk.seeded.below(k + 1));
            }
            for piece in moving {
                let here = walk.spots[piece];
                let now = self.overlap(walk, piece, &here, f32::INFINITY);
                if now > 0.0 && walk.left > 0 {
                    walk.left -= 1;
                    walk.spots[piece] = self.least_overlap(walk, piece, now, length);
                }
            }
        }
    }

    /// All pairs that overlap, and how deep.
    fn overlapping(&self, spots: &[DeepSpot]) -> Vec<(usize, usize, f32)> {
        let mut pairs = Vec::new();
        for (i, a) in spots.iter().enumerate() {
            for (j, b) in spots[..i].iter().enumerate() {
                let depth = self.depth(a, b);
                if depth > 0.0 {
                    pairs.push((i, j, depth));
                }
            }
        }
        pairs
    }

    fn weigh(&self, walk: &mut Walk, pairs: &[(usize, usize, f32)]) {
        let most = pairs.iter().map(|p| p.2).fold(0.0, f32::max);
        for weight in &mut walk.weights {
            *weight = (*weight * DECAY).max(1.0);
        }
        for &(i, j, depth) in pairs {
            let growth = GROWTH.1 + (GROWTH.0 - GROWTH.1) * depth / most;
            for at in [i * self.pieces + j, j * self.pieces + i] {
                walk.weights[at] = walk.weights[at] / DECAY * growth;
            }
        }
    }

    /// The spot of least weighted overlap among samples, or where the piece lies.
    fn least_overlap(&self, walk: &mut Walk, piece: usize, now: f32, length: f64) -> DeepSpot {
        let here = walk.spots[piece];
        let turns = &self.instance.turns[piece];
        let mut found: Vec<(f32, DeepSpot)> = vec![(now, here)];
        let size = self.variant(&here).size;
        #[allow(
            clippy::cast_possible_truncation,
            reason = "pieces are far smaller than 2^31 grid steps"
        )]
        let near = (0.35 * size.0.min(size.1) / self.instance.grid) as i32;
        for k in 0..FAR + NEAR {
            let mut spot = here;
            if k < FAR || walk.seeded.below(3) == 0 {
                spot.variant = turns[walk.seeded.below(turns.len())];
            }
            let Some((x, y)) = self.last(spot.variant, length) else {
                continue;
            };
            if k < FAR {
                spot.x = between(&mut walk.seeded, 0, x);
                spot.y = between(&mut walk.seeded, 0, y);
            } else {
                spot.x = (here.x + between(&mut walk.seeded, -near, near)).clamp(0, x);
                spot.y = (here.y + between(&mut walk.seeded, -near, near)).clamp(0, y);
            }
            let enough = if found.len() > FOLLOWED {
                found[FOLLOWED].0
            } else {
                f32::INFINITY
            };
            let overlap = self.overlap(walk, piece, &spot, enough);
            if overlap < enough {
                let at = found.partition_point(|f| f.0 <= overlap);
                found.insert(at, (overlap, spot));
                found.truncate(FOLLOWED + 1);
            }
        }
        let mut best = (now, here);
        for (overlap, spot) in found {
            let end = self.followed(walk, piece, (overlap, spot), near / 4, length);
            if end.0 < best.0 {
                best = end;
            }
        }
        best.1
    }

    /// Steps from a spot to less overlap, by ever smaller steps.
    fn followed(
        &self,
        walk: &mut Walk,
        piece: usize,
        (mut overlap, mut spot): (f32, DeepSpot),
        step: i32,
        length: f64,
    ) -> (f32, DeepSpot) {
        let Some((x, y)) = self.last(spot.variant, length) else {
            return (overlap, spot);
        };
        let (mut dx, mut dy) = (step.max(1), step.max(1));
        while (dx > 0 || dy > 0) && overlap > 0.0 {
            // Along one axis, or both when a slope is followed.
            let (along, up) = match walk.seeded.below(4) {
                0 => (dx, 0),
                1 => (0, dy),
                2 => (dx, dy),
                _ => (dx, -dy),
            };
            let mut better = false;
            for way in [1, -1] {
                let next = DeepSpot {
                    x: (spot.x + way * along).clamp(0, x),
                    y: (spot.y + way * up).clamp(0, y),
                    ..spot
                };
                let there = self.overlap(walk, piece, &next, overlap);
                if there < overlap {
                    (overlap, spot, better) = (there, next, true);
                    break;
                }
            }
            if !better {
                if along != 0 {
                    dx /= 2;
                }
                if up != 0 {
                    dy /= 2;
                }
            }
        }
        (overlap, spot)
    }
}

/// A whole number from `low` to `high`, both included.
fn between(seeded: &mut Seeded, low: i32, high: i32) -> i32 {
    let many = usize::try_from(high - low + 1).unwrap_or(1);
    low + i32::try_from(seeded.below(many)).unwrap_or(0)
}
