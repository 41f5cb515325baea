//! Which lines share a template: chains in which each lies inside the one before, on the fewest pages.
//!
//! The outermost line of a chain decides how many pages the chain takes; the others cost nothing. So
//! lines are matched with lines that they lie inside, the costliest first: that leaves the cheapest outermost
//! lines there can be (a transversal matroid: Edmonds and Fulkerson 1965, *J. Res. NBS* 69B, 147). Chains
//! that are too long are cut where it costs least, and then exchange their ends as long as that saves
//! pages. With a longest chain the best cover is hard to find; this comes close, and always to the same.

/// Which lines may lie on a template together: for every two, which one the other lies inside.
pub(super) struct Inside {
    count: usize,
    /// By the outer and the inner line.
    goes: Vec<bool>,
}

impl Inside {
    /// The order of `count` lines; `row` says of one which others lie inside it.
    pub(super) fn new(count: usize, rows: Vec<Vec<bool>>) -> Self {
        let goes: Vec<bool> = rows.into_iter().flatten().collect();
        debug_assert_eq!(goes.len(), count * count);
        Self { count, goes }
    }

    fn has(&self, outer: usize, inner: usize) -> bool {
        self.goes[outer * self.count + inner]
    }

    /// Whether each of some lines lies inside all that come before it.
    fn holds(&self, chain: &[usize]) -> bool {
        chain
            .iter()
            .enumerate()
            .all(|(k, inner)| chain[..k].iter().all(|outer| self.has(*outer, *inner)))
    }
}

/// Puts all lines into chains of at most `most`, each outermost first. A chain costs what its first line
/// does.
pub(super) fn cover(inside: &Inside, costs: &[usize], most: usize) -> Vec<Vec<usize>> {
    let most = most.max(1);
    let mut chains: Vec<Vec<usize>> = matched(inside, costs)
        .into_iter()
        .flat_map(|long| cut(&long, inside, costs, most))
        .collect();
    while exchange(&mut chains, inside, costs, most) {}
    let worth = |chains: &[Vec<usize>]| -> (usize, std::cmp::Reverse<usize>) {
        let cost = chains.iter().map(|c| costs[c[0]]).sum();
        let lengths = chains.iter().map(|c| c.len().pow(2)).sum();
        (cost, std::cmp::Reverse(lengths))
    };
    // Where no exchange helps any more, a few chains are taken apart and begin again.
    let rounds = (EFFORT / chains.len().pow(2).max(1)).min(MOST_ROUNDS);
    let mut draw = Draw(SEED);
    let mut best = chains.clone();
    for _ in 0..rounds {
        let mut other = chains.clone();
        for _ in 0..APART.min(other.len()) {
            let apart = other.swap_remove(draw.below(other.len()));
            other.extend(apart.into_iter().map(|line| vec![line]));
        }
        while exchange(&mut other, inside, costs, most) {}
        // One that costs the same is another place to go on from.
        if worth(&other).0 <= worth(&chains).0 {
            chains = other;
        }
        if worth(&chains) < worth(&best) {
            best.clone_from(&chains);
        }
    }
    best.sort_unstable();
    best
}

/// Chains are taken apart so often, divided by the square of their number, and no more often than this.
const EFFORT: usize = 150_000;
const MOST_ROUNDS: usize = 200;
/// So many at a time.
const APART: usize = 3;
/// Where the draws begin: always the same.
const SEED: u64 = 1;

/// Draws that are the same on every machine (a linear congruence: Knuth, *TAOCP* 2, 3.3.4, MMIX).
struct Draw(u64);

impl Draw {
    fn below(&mut self, end: usize) -> usize {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % end.max(1)
    }
}

/// The chains of the matching: every line, the costliest first, takes a place right inside another one
/// where there is one, for which others may have to move.
fn matched(inside: &Inside, costs: &[usize]) -> Vec<Vec<usize>> {
    let n = inside.count;
    // Which line lies right inside each, and which one each lies right inside.
    let mut inner: Vec<Option<usize>> = vec![None; n];
    let mut order: Vec<usize> = (0..n).collect();
    order.sort_by_key(|&k| (std::cmp::Reverse(costs[k]), k));
    for line in order {
        let mut tried = vec![false; n];
        take_place(line, inside, &mut inner, &mut tried);
    }
    let mut is_inner = vec![false; n];
    for k in inner.iter().flatten() {
        is_inner[*k] = true;
    }
    (0..n)
        .filter(|k| !is_inner[*k])
        .map(|first| std::iter::successors(Some(first), |k| inner[*k]).collect())
        .collect()
}

/// Finds a place for a line, and other places for those that have to make room.
fn take_place(
    line: usize,
    inside: &Inside,
    inner: &mut [Option<usize>],
    tried: &mut [bool],
) -> bool {
    for outer in 0..inside.count {
        if !inside.has(outer, line) || std::mem::replace(&mut tried[outer], true) {
            continue;
        }
        let free = match inner[outer] {
            None => true,
            Some(other) => take_place(other, inside, inner, tried),
        };
        if free {
            inner[outer] = Some(line);
            return true;
        }
    }
    false
}

/// Cuts a chain into such as may stand, where it costs least.
fn cut(long: &[usize], inside: &Inside, costs: &[usize], most: usize) -> Vec<Vec<usize>> {
    // The least cost of what begins at each line, and where its first chain ends.
    let mut best: Vec<(usize, usize)> = vec![(0, long.len()); long.len() + 1];
    for from in (0..long.len()).rev() {
        best[from] = (from + 1..=long.len().min(from + most))
            .filter(|&to| inside.holds(&long[from..to]))
            .map(|to| (costs[long[from]] + best[to].0, to))
            .min()
            .unwrap_or((usize::MAX, from + 1));
    }
    let mut out = Vec::new();
    let mut from = 0;
    while from < long.len() {
        let to = best[from].1;
        out.push(long[from..to].to_vec());
        from = to;
    }
    out
}

/// Lets the ends of two chains change places, or one line move into another chain, where that costs less;
/// or costs the same with chains less alike in length, of which the short ones go next. Says whether any did.
fn exchange(chains: &mut Vec<Vec<usize>>, inside: &Inside, costs: &[usize], most: usize) -> bool {
    let cost = |first: Option<&usize>| first.map_or(0, |k| costs[*k]);
    let unlike = |one: usize, two: usize| usize::MAX - one.pow(2) - two.pow(2);
    let mut changed = false;
    for a in 0..chains.len() {
        for b in 0..chains.len() {
            if a == b {
                continue;
            }
            let (one, two) = (&chains[a], &chains[b]);
            let (m, n) = (one.len(), two.len());
            let mut best = (cost(one.first()) + cost(two.first()), unlike(m, n));
            let mut better = None;
            // Most are no cheaper, which is seen from their first lines and lengths alone.
            let mut weigh = |firsts: [Option<&usize>; 2], (x, y): (usize, usize), how| {
                let after = (cost(firsts[0]) + cost(firsts[1]), unlike(x, y));
                if after < best && x.max(y) <= most {
                    let (one, two) = rearranged(one, two, how);
                    if inside.holds(&one) && inside.holds(&two) {
                        (best, better) = (after, Some((one, two)));
                    }
                }
            };
            for i in 0..=m {
                for j in 0..=n {
                    let heads = [
                        if i > 0 { one.first() } else { two.get(j) },
                        if j > 0 { two.first() } else { one.get(i) },
                    ];
                    weigh(heads, (i + n - j, j + m - i), Change::Ends(i, j));
                    if j < n {
                        let heads = [
                            if i > 0 { one.first() } else { two.get(j) },
                            if j > 0 { two.first() } else { two.get(1) },
                        ];
                        weigh(heads, (m + 1, n - 1), Change::Moves(i, j));
                    }
                }
            }
            if let Some((one, two)) = better {
                (chains[a], chains[b]) = (one, two);
                changed = true;
            }
        }
    }
    chains.retain(|chain| !chain.is_empty());
    changed
}

/// How two chains change.
#[derive(Clone, Copy)]
enum Change {
    /// What comes from these places on changes over.
    Ends(usize, usize),
    /// Into this place of the first chain goes the line at that place of the second.
    Moves(usize, usize),
}

fn rearranged(one: &[usize], two: &[usize], how: Change) -> (Vec<usize>, Vec<usize>) {
    match how {
        Change::Ends(i, j) => (
            [&one[..i], &two[j..]].concat(),
            [&two[..j], &one[i..]].concat(),
        ),
        Change::Moves(i, j) => (
            [&one[..i], &two[j..=j], &one[i..]].concat(),
            [&two[..j], &two[j + 1..]].concat(),
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Lines that are as wide as these, each inside every wider one, but not the pairs in `not`.
    fn nested(widths: &[usize], not: &[(usize, usize)]) -> Inside {
        let row = |outer: usize| {
            (0..widths.len())
                .map(|inner| widths[inner] < widths[outer] && !not.contains(&(outer, inner)))
                .collect()
        };
        Inside::new(widths.len(), (0..widths.len()).map(row).collect())
    }

    fn total(chains: &[Vec<usize>], costs: &[usize]) -> usize {
        chains.iter().map(|c| costs[c[0]]).sum()
    }

    /// The least cost of all covers, by trying each.
    fn least(inside: &Inside, costs: &[usize], most: usize) -> usize {
        fn put(
            k: usize,
            chains: &mut Vec<Vec<usize>>,
            rest: (&Inside, &[usize], usize),
            best: &mut usize,
        ) {
            let (inside, costs, most) = rest;
            if k == costs.len() {
                if chains.iter().all(|c| inside.holds(c)) {
                    *best = total(chains, costs).min(*best);
                }
                return;
            }
            for c in 0..=chains.len() {
                if c == chains.len() {
                    chains.push(vec![k]);
                } else if chains[c].len() < most {
                    chains[c].push(k);
                } else {
                    continue;
                }
                put(k + 1, chains, rest, best);
                chains[c].pop();
                chains.retain(|c| !c.is_empty());
            }
        }
        let mut best = usize::MAX;
        put(0, &mut Vec::new(), (inside, costs, most), &mut best);
        best
    }

    #[test]
    fn every_line_is_in_one_chain_of_those_that_go_together() {
        let widths = [90, 80, 70, 60, 50, 40, 30, 20, 10];
        let inside = nested(&widths, &[(0, 2), (1, 3), (0, 8)]);
        for most in 1..=4 {
            let chains = cover(&inside, &[1; 9], most);
            let mut all: Vec<usize> = chains.concat();
            all.sort_unstable();
            assert_eq!(all, (0..9).collect::<Vec<_>>());
            for chain in &chains {
                assert!(chain.len() <= most && inside.holds(chain), "{chain:?}");
            }
            assert_eq!(chains.len(), 9_usize.div_ceil(most));
        }
    }

    #[test]
    fn covers_are_as_cheap_as_the_cheapest() {
        // Widths fall, so that lines are tried in the order in which they nest.
        let widths = [99, 95, 90, 80, 70, 60, 50, 40];
        let mut seed = 7_u64;
        for round in 0..40 {
            let mut next = |below: usize| {
                seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
                (seed >> 33) as usize % below
            };
            let not: Vec<(usize, usize)> = (0..14).map(|_| (next(8), next(8))).collect();
            let mut costs: Vec<usize> = (0..8).map(|_| 1 + next(4)).collect();
            costs.sort_unstable_by(|a, b| b.cmp(a));
            let inside = nested(&widths, &not);
            for most in [2, 4] {
                let found = total(&cover(&inside, &costs, most), &costs);
                let best = least(&inside, &costs, most);
                assert!(found <= best + best / 10, "{round}: {found} for {best}");
            }
        }
    }
}
