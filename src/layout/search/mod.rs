//! Which piece lies where: first fit by falling area, then many small repacking tries.
//!
//! A try lifts the pieces off a few boards (or out of a band of a roll), lays them again in a
//! shuffled order and keeps the result when it is no worse: ruin and recreate (Schrimpf et al., J.
//! Computational Physics 159, 2000). Tries run in parallel chains that meet at fixed points, with
//! seeds of their own, so the number of processor cores does not change the result.

mod apart;
mod boards;
mod depth;
mod roll;

use std::borrow::Cow;
use std::sync::OnceLock;

use rayon::prelude::*;

use crate::geom::Point2;
use crate::layout::no_fit::Forbidden;
use crate::layout::no_fit::Variant;
use crate::layout::window::Window;
use crate::tolerance::NEST_DENT_ACCURACY_MM;
use crate::tolerance::NEST_OUTLINE_ACCURACY_MM;
use crate::tolerance::SAME_POINT_EPS_MM;

/// Chains that search side by side. More than any usual number of cores would need, so that the
/// result does not depend on them.
const CHAINS: usize = 4;

/// Tries a chain makes before the chains compare.
const STRIDE: usize = 40;

/// Pairs of turned pieces whose forbidden places are remembered; more are found again each time.
/// One takes about 3 kB.
const REMEMBERED_PAIRS: usize = 250_000;

/// One turned piece at a grid position.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Lie {
    pub(crate) variant: usize,
    pub(crate) column: i32,
    pub(crate) row: i32,
}

/// What is to be laid where.
pub(crate) struct Instance {
    /// Step of the grid, mm.
    pub(crate) grid: f64,
    /// Free width of a board, mm.
    pub(crate) width: f64,
    /// Free length of a board, mm.
    pub(crate) length: f64,
    /// Distance to keep between two pieces, mm.
    gap: f64,
    /// Two pieces at least this far apart never meet, mm.
    keep: f64,
    /// Whether the used length counts rather than the number of boards.
    pub(crate) roll: bool,
    /// All pieces in all turns.
    pub(crate) variants: Vec<Variant>,
    /// The variants of each piece.
    pub(crate) turns: Vec<Vec<usize>>,
    /// Area of each piece, mm².
    pub(crate) areas: Vec<f64>,
    pairs: Vec<OnceLock<Forbidden>>,
}

/// Where a new piece goes: the position of its far corner weighs `along` in the width and `up` in
/// the length.
#[derive(Clone, Copy, Debug)]
struct Rule {
    along: f64,
    up: f64,
}

/// The first rules tried: from the foot, from the corner, from the side.
const RULES: [Rule; 4] = [
    Rule {
        along: 0.0,
        up: 1.0,
    },
    Rule {
        along: 0.4,
        up: 1.0,
    },
    Rule {
        along: 1.0,
        up: 1.0,
    },
    Rule {
        along: 1.0,
        up: 0.2,
    },
];

/// One layout with its worth: less is better.
#[derive(Clone, Debug)]
struct SearchState {
    bins: Vec<Vec<Lie>>,
    value: f64,
}

/// The numbers of the mixing function SplitMix64 (Steele, Lea, Flood: Fast splittable
/// pseudorandom number generators, 2014).
struct Seeded(u64);

impl Seeded {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// Evenly from 0 to 1.
    fn unit(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Evenly from the whole numbers under `n`; 0 when there are none.
    fn below(&mut self, n: usize) -> usize {
        usize::try_from(self.next() % (n.max(1) as u64)).unwrap_or(0)
    }
}

impl Instance {
    /// What is to be laid, on a grid of `grid` mm.
    pub(crate) fn new(
        grid: f64,
        (width, length): (f64, f64),
        keep: f64,
        roll: bool,
        variants: Vec<Variant>,
        areas: Vec<f64>,
    ) -> Self {
        let mut turns = vec![Vec::new(); areas.len()];
        for (k, variant) in variants.iter().enumerate() {
            turns[variant.piece].push(k);
        }
        let n = variants.len();
        let pairs = n * (n + 1) / 2;
        let remembered = if pairs <= REMEMBERED_PAIRS { pairs } else { 0 };
        Self {
            grid,
            width,
            length,
            gap: keep,
            // The shapes that stand in for the pieces are a little larger.
            keep: keep + 2.0 * (NEST_DENT_ACCURACY_MM + NEST_OUTLINE_ACCURACY_MM) + grid,
            roll,
            variants,
            turns,
            areas,
            pairs: std::iter::repeat_with(OnceLock::new)
                .take(remembered)
                .collect(),
        }
    }

    /// The same on a grid `times` finer.
    pub(crate) fn finer(self, times: i32) -> Self {
        Self {
            grid: self.grid / f64::from(times),
            // What was found on the coarse grid does not hold on this one, and few pairs are asked.
            pairs: Vec::new(),
            ..self
        }
    }

    /// Forbidden offsets of `moving` against `fixed`, and whether to read them reversed.
    fn forbidden(&self, fixed: usize, moving: usize) -> (Cow<'_, Forbidden>, bool) {
        let (a, b, reversed) = if fixed <= moving {
            (fixed, moving, false)
        } else {
            (moving, fixed, true)
        };
        let find = || Forbidden::new(&self.variants[a], &self.variants[b], self.grid);
        match self.pairs.get(b * (b + 1) / 2 + a) {
            Some(slot) => (Cow::Borrowed(slot.get_or_init(find)), reversed),
            None => (Cow::Owned(find()), reversed),
        }
    }

    /// Grid positions along a free way for something `size` long.
    #[allow(
        clippy::cast_possible_truncation,
        reason = "boards are far shorter than 2^31 grid steps"
    )]
    fn positions(&self, free: f64, size: f64) -> i32 {
        ((free - size + SAME_POINT_EPS_MM) / self.grid).floor() as i32 + 1
    }

    /// The best place for a piece beside what lies there, in rows from `low` and with its top no
    /// higher than `high` mm.
    fn place(
        &self,
        bin: &[Lie],
        piece: usize,
        rule: Rule,
        room: (i32, f64),
        window: &mut Window,
    ) -> Option<Lie> {
        self.place_turned(bin, &self.turns[piece], rule, room, window)
    }

    /// The same for some of the turns.
    fn place_turned(
        &self,
        bin: &[Lie],
        variants: &[usize],
        rule: Rule,
        (low, high): (i32, f64),
        window: &mut Window,
    ) -> Option<Lie> {
        let mut best: Option<(f64, Lie)> = None;
        let mut beside: Vec<Lie> = Vec::with_capacity(bin.len());
        for &v in variants {
            let (w, h) = self.variants[v].size;
            let columns = self.positions(self.width, w);
            let rows = self.positions(high, h) - low;
            if columns <= 0 || rows <= 0 {
                continue;
            }
            let bottom = f64::from(low) * self.grid - self.keep;
            beside.clear();
            beside.extend(bin.iter().filter(|lie| {
                self.top(lie) >= bottom && f64::from(lie.row) * self.grid <= high + self.keep
            }));
            let ends = ((0, low), (columns - 1, low + rows - 1));
            if beside.iter().any(|lie| self.forbids_all(lie, v, ends)) {
                continue;
            }
            // The best place is looked for first, and then whether any piece forbids it: of most pairs the
            // forbidden places are never asked.
            window.reset(columns, low, rows);
            beside.retain(|lie| self.block_at_once(lie, v, window));
            while let Some((score, column, row)) = window.best(rule.along, rule.up) {
                let score = score * self.grid + rule.along * w + rule.up * h;
                if best.is_some_and(|(least, _)| score >= least) {
                    break;
                }
                let in_way = |lie: &Lie| self.forbids(lie, v, (column, row));
                let Some(k) = beside.iter().position(in_way) else {
                    best = Some((
                        score,
                        Lie {
                            variant: v,
                            column,
                            row,
                        },
                    ));
                    break;
                };
                let lie = beside.swap_remove(k);
                let (forbidden, reversed) = self.forbidden(lie.variant, v);
                forbidden.block((lie.column, lie.row), reversed, window);
            }
        }
        best.map(|(_, lie)| lie)
    }

    /// Blocks what a lie forbids a variant as far as that is known or found quickly; says whether there may be more.
    fn block_at_once(&self, lie: &Lie, moving: usize, window: &mut Window) -> bool {
        let here = (lie.column, lie.row);
        let (fixed, other) = (lie.variant.min(moving), lie.variant.max(moving));
        let reversed = lie.variant > moving;
        let known = self.pairs.get(other * (other + 1) / 2 + fixed);
        if let Some(forbidden) = known.and_then(OnceLock::get) {
            forbidden.block(here, reversed, window);
            return false;
        }
        let (fixed, other) = (&self.variants[fixed], &self.variants[other]);
        fixed.block(other, here, reversed, self.grid, window);
        true
    }

    /// Whether a lie forbids a variant a place.
    fn forbids(&self, lie: &Lie, moving: usize, at: (i32, i32)) -> bool {
        let (fixed, other, from, to) = if lie.variant <= moving {
            (lie.variant, moving, (lie.column, lie.row), at)
        } else {
            (moving, lie.variant, at, (lie.column, lie.row))
        };
        self.variants[fixed].forbids(&self.variants[other], self.offset(from, to))
    }

    /// Whether it is seen at once that a lie forbids a variant all places from the first to the last of a box.
    fn forbids_all(&self, lie: &Lie, moving: usize, ends: ((i32, i32), (i32, i32))) -> bool {
        let here = (lie.column, lie.row);
        let (fixed, other, low, high) = if lie.variant <= moving {
            let (low, high) = (self.offset(here, ends.0), self.offset(here, ends.1));
            (lie.variant, moving, low, high)
        } else {
            let (low, high) = (self.offset(ends.1, here), self.offset(ends.0, here));
            (moving, lie.variant, low, high)
        };
        self.variants[fixed].forbids_all(&self.variants[other], (low, high))
    }

    /// How far one place lies from another, mm.
    fn offset(&self, from: (i32, i32), to: (i32, i32)) -> Point2 {
        Point2::new(
            f64::from(to.0 - from.0) * self.grid,
            f64::from(to.1 - from.1) * self.grid,
        )
    }

    fn area(&self, lie: &Lie) -> f64 {
        self.areas[self.variants[lie.variant].piece]
    }

    fn top(&self, lie: &Lie) -> f64 {
        f64::from(lie.row) * self.grid + self.variants[lie.variant].size.1
    }

    /// Highest point of what lies in a bin, mm above the free edge.
    pub(crate) fn height(&self, bin: &[Lie]) -> f64 {
        bin.iter().map(|l| self.top(l)).fold(0.0, f64::max)
    }

    /// Fewer boards, then fuller ones and one that is nearly empty; off a roll the length.
    fn value(&self, bins: &[Vec<Lie>]) -> f64 {
        if self.roll {
            let pieces: usize = bins.iter().map(Vec::len).sum();
            let tops: f64 = bins.iter().flatten().map(|l| self.top(l)).sum();
            let length: f64 = bins.iter().map(|b| self.height(b)).sum();
            length + tops / pieces.max(1) as f64 / 100.0
        } else {
            let whole = self.width * self.length;
            let full: f64 = bins
                .iter()
                .map(|b| b.iter().map(|l| self.area(l)).sum::<f64>() / whole)
                .map(|f| f * f)
                .sum();
            bins.len() as f64 - full / bins.len().max(1) as f64
        }
    }

    /// Lays pieces in order, each on the first board with room. Gives up when more than `most`
    /// boards are needed.
    fn first_fit(
        &self,
        mut bins: Vec<Vec<Lie>>,
        order: &[usize],
        rules: &[Rule],
        most: usize,
        window: &mut Window,
    ) -> Option<Vec<Vec<Lie>>> {
        let whole = self.width * self.length;
        let mut used: Vec<f64> = bins
            .iter()
            .map(|b| b.iter().map(|l| self.area(l)).sum())
            .collect();
        for &piece in order {
            let mut k = 0;
            loop {
                if k == bins.len() {
                    if k == most {
                        return None;
                    }
                    bins.push(Vec::new());
                    used.push(0.0);
                }
                let rule = rules[k % rules.len()];
                if used[k] + self.areas[piece] <= whole {
                    let place = self.place(&bins[k], piece, rule, (0, self.length), window);
                    if let Some(lie) = place {
                        bins[k].push(lie);
                        used[k] += self.areas[piece];
                        break;
                    }
                    if bins[k].is_empty() {
                        // It lies on no empty board: the caller has made sure that it does.
                        return None;
                    }
                }
                k += 1;
            }
        }
        Some(bins)
    }

    /// The best layout found with `tries` repackings; nothing when a piece fits on no board.
    pub(crate) fn solve(&self, tries: usize) -> Option<Vec<Vec<Lie>>> {
        let mut order: Vec<usize> = (0..self.areas.len()).collect();
        order.sort_by(|&a, &b| self.areas[b].total_cmp(&self.areas[a]).then(a.cmp(&b)));
        let starts: Vec<Option<SearchState>> = RULES
            .par_iter()
            .map(|&rule| {
                let mut window = Window::default();
                self.first_fit(Vec::new(), &order, &[rule], usize::MAX, &mut window)
                    .map(|bins| SearchState {
                        value: self.value(&bins),
                        bins,
                    })
            })
            .collect();
        let mut best = least(starts.into_iter().flatten())?;
        let rounds = tries.div_ceil(CHAINS * STRIDE);
        for round in 0..rounds {
            let left = tries - round * CHAINS * STRIDE;
            let each = STRIDE.min(left.div_ceil(CHAINS));
            let ends: Vec<SearchState> = (0..CHAINS)
                .into_par_iter()
                .map(|chain| {
                    let seed = (round * CHAINS + chain) as u64;
                    let seeded = Seeded(seed.wrapping_mul(0x2545_f491_4f6c_dd1d));
                    self.chain(best.clone(), seeded, each)
                })
                .collect();
            if let Some(end) = least(ends.into_iter())
                && end.value <= best.value
            {
                best = end;
            }
        }
        Some(best.bins)
    }

    /// One chain of tries. What is no worse is gone on with: equal layouts are walked through, which
    /// is how a search gets off a level stretch.
    fn chain(&self, mut state: SearchState, mut seeded: Seeded, tries: usize) -> SearchState {
        let mut window = Window::default();
        for _ in 0..tries {
            let tried = match (self.roll, seeded.below(12)) {
                (true, 0) => self.retry_band(&state, &mut seeded, &mut window),
                (true, _) => self.retry_few(&state, &mut seeded, &mut window),
                (false, 0..=3) => self.retry_boards(&state, &mut seeded, &mut window),
                (false, 4..=7) => self.retry_swap(&state, &mut seeded, &mut window),
                (false, _) => self.retry_move(&state, &mut seeded, &mut window),
            };
            if let Some(bins) = tried {
                let value = self.value(&bins);
                if value <= state.value {
                    state = SearchState { bins, value };
                }
            }
        }
        state
    }

    /// A random rule.
    fn rule(seeded: &mut Seeded) -> Rule {
        let lean = seeded.unit();
        Rule {
            along: lean,
            up: 1.0 - lean + 0.05,
        }
    }

    /// Pieces by falling area, each area stretched at random.
    fn shuffled(&self, mut pieces: Vec<usize>, seeded: &mut Seeded) -> Vec<usize> {
        pieces.sort_unstable();
        let spread = seeded.unit();
        let mut keyed: Vec<(f64, usize)> = pieces
            .into_iter()
            .map(|p| (self.areas[p] * (1.0 + spread * (seeded.unit() - 0.5)), p))
            .collect();
        keyed.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        keyed.into_iter().map(|(_, p)| p).collect()
    }
}

/// The state of least value, the first of several.
fn least(states: impl Iterator<Item = SearchState>) -> Option<SearchState> {
    states.reduce(|a, b| if b.value < a.value { b } else { a })
}
