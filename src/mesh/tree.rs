//! Boxes within boxes round the triangles of a mesh.
//!
//! In single precision, rounded outwards: half the memory, and a box may be too large but never too
//! small.

use rayon::prelude::*;

use super::Mesh;

/// Triangles in the smallest boxes. Our choice: measured; fewer take more memory, more take longer.
const LEAF: usize = 8;
/// From this many triangles on, both halves are split at the same time.
const SIDE_BY_SIDE: usize = 1 << 14;

#[derive(Clone, Copy, Debug)]
pub(super) struct Bounds {
    low: [f32; 3],
    high: [f32; 3],
}

impl Bounds {
    const NONE: Self = Self {
        low: [f32::INFINITY; 3],
        high: [f32::NEG_INFINITY; 3],
    };

    pub(super) fn overlaps(&self, other: &Self) -> bool {
        let apart = |k: usize| self.low[k] > other.high[k] || other.low[k] > self.high[k];
        !(apart(0) | apart(1) | apart(2))
    }

    fn join(&mut self, other: &Self) {
        for k in 0..3 {
            self.low[k] = self.low[k].min(other.low[k]);
            self.high[k] = self.high[k].max(other.high[k]);
        }
    }

    /// Twice the middle.
    fn middle(&self, axis: usize) -> f32 {
        self.low[axis] + self.high[axis]
    }

    /// Lowest and highest `z`.
    pub(super) fn heights(&self) -> [f64; 2] {
        [self.low[2], self.high[2]].map(f64::from)
    }
}

/// A triangle and the box round it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Boxed {
    pub(super) bounds: Bounds,
    pub(super) triangle: u32,
}

impl Boxed {
    fn new(mesh: &Mesh, triangle: u32) -> Self {
        let [a, b, c] = mesh.corners(triangle as usize);
        let (low, high) = (a.inf(&b).inf(&c), a.sup(&b).sup(&c));
        let (mut bounds, wide) = (Bounds::NONE, f64::from);
        for k in 0..3 {
            let (l, h) = (low[k] as f32, high[k] as f32);
            bounds.low[k] = if wide(l) > low[k] { l.next_down() } else { l };
            bounds.high[k] = if wide(h) < high[k] { h.next_up() } else { h };
        }
        Self { bounds, triangle }
    }
}

/// A box, and either the range of its triangles or its second child (the first follows it).
#[derive(Clone, Copy, Debug)]
struct Node {
    bounds: Bounds,
    from: u32,
    /// End of the range; 0 for a box with children, whose second one is number `from`.
    to: u32,
}

pub(super) struct Tree {
    triangles: Vec<Boxed>,
    nodes: Vec<Node>,
    /// The numbers of the smallest boxes, rising.
    leaves: Vec<u32>,
}

/// A smallest box.
#[derive(Clone, Copy)]
pub(super) struct Leaf<'a> {
    pub(super) bounds: Bounds,
    pub(super) triangles: &'a [Boxed],
}

impl Tree {
    pub(super) fn new(mesh: &Mesh) -> Self {
        let mut triangles: Vec<Boxed> = (0..mesh.triangles.len() as u32)
            .into_par_iter()
            .map(|t| Boxed::new(mesh, t))
            .collect();
        let empty = Node {
            bounds: Bounds::NONE,
            from: 0,
            to: 0,
        };
        let mut nodes = vec![empty; boxes(triangles.len())];
        if !triangles.is_empty() {
            split(&mut triangles, 0, &mut nodes, 0);
        }
        let leaves = (0..nodes.len() as u32)
            .filter(|n| nodes[*n as usize].to > 0)
            .collect();
        Self {
            triangles,
            nodes,
            leaves,
        }
    }

    /// How many smallest boxes there are.
    pub(super) fn leaves(&self) -> usize {
        self.leaves.len()
    }

    pub(super) fn leaf(&self, number: usize) -> Leaf<'_> {
        self.at(self.leaves[number] as usize)
    }

    fn at(&self, node: usize) -> Leaf<'_> {
        let node = &self.nodes[node];
        Leaf {
            bounds: node.bounds,
            triangles: &self.triangles[node.from as usize..node.to as usize],
        }
    }

    /// Calls `with` for every smallest box after number `leaf` that overlaps it.
    pub(super) fn later_overlaps<'a>(&'a self, leaf: usize, mut with: impl FnMut(Leaf<'a>)) {
        let own = self.leaves[leaf];
        let bounds = self.nodes[own as usize].bounds;
        // As deep as the tree can be, and no allocation.
        let mut waiting = [0u32; 64];
        let mut many = 1;
        while many > 0 {
            many -= 1;
            let at = waiting[many];
            let node = &self.nodes[at as usize];
            if !node.bounds.overlaps(&bounds) {
                continue;
            }
            if node.to > 0 {
                if at > own {
                    with(self.at(at as usize));
                }
                continue;
            }
            waiting[many] = node.from;
            many += 1;
            // The boxes of the first half lie before the second one.
            if node.from > own {
                waiting[many] = at + 1;
                many += 1;
            }
        }
    }
}

/// How many boxes a tree of this many triangles has.
fn boxes(triangles: usize) -> usize {
    both(triangles)[0]
}

/// The same for this many and for one more. Halves of either are a half, or a half and one more.
fn both(triangles: usize) -> [usize; 2] {
    if triangles <= LEAF {
        let small = usize::from(triangles > 0);
        let next = if triangles < LEAF { 1 } else { 3 };
        return [small, next];
    }
    let [half, next] = both(triangles / 2);
    if triangles.is_multiple_of(2) {
        [1 + 2 * half, 1 + half + next]
    } else {
        [1 + half + next, 1 + 2 * next]
    }
}

/// Splits the triangles `these` (which begin at number `first` of all) at their middle along the
/// longest side of the box of their centres, again and again. `nodes` begin at number `at` of all.
fn split(these: &mut [Boxed], first: usize, nodes: &mut [Node], at: usize) {
    let (mut whole, mut low, mut high) = (Bounds::NONE, [f32::INFINITY; 3], [f32::NEG_INFINITY; 3]);
    for t in these.iter() {
        whole.join(&t.bounds);
        for k in 0..3 {
            low[k] = low[k].min(t.bounds.middle(k));
            high[k] = high[k].max(t.bounds.middle(k));
        }
    }
    nodes[0] = Node {
        bounds: whole,
        from: first as u32,
        to: (first + these.len()) as u32,
    };
    if these.len() <= LEAF {
        return;
    }
    let side = |k: usize| high[k] - low[k];
    let axis = if side(0) >= side(1) && side(0) >= side(2) {
        0
    } else {
        1 + usize::from(side(2) > side(1))
    };
    let half = these.len() / 2;
    these.select_nth_unstable_by(half, |a, b| {
        let middles = [a, b].map(|t| t.bounds.middle(axis));
        middles[0]
            .total_cmp(&middles[1])
            .then(a.triangle.cmp(&b.triangle))
    });
    let (left, right) = these.split_at_mut(half);
    let second = 1 + boxes(half);
    nodes[0].from = (at + second) as u32;
    nodes[0].to = 0;
    let many = left.len() >= SIDE_BY_SIDE;
    let (one, two) = nodes[1..].split_at_mut(second - 1);
    let mut in_left = || split(left, first, one, at + 1);
    let mut in_right = || split(right, first + half, two, at + second);
    if many {
        rayon::join(in_left, in_right);
    } else {
        in_left();
        in_right();
    }
}
