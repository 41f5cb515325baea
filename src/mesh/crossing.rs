//! Whether a surface passes through itself, and at which heights.
//!
//! Two triangles cross where an edge of one pierces the other. Boxes round groups of triangles, one
//! tree of them, keep the pairs few.

use rayon::prelude::*;

use super::{Mesh, Spread};
use crate::geom::{Point3, Vector3};
use crate::tolerance::CROSSING_EPS_MM;

/// Triangles in the smallest boxes. Our choice: a handful is quicker to try than to split.
const LEAF: usize = 8;
/// Most triangles looked at between two looks at the budget, and how many at first.
const BATCH: usize = 1 << 14;
const FIRST_BATCH: usize = 8;
/// Pairs in neighbouring boxes after which the search is given up, and as many again for every
/// triangle. Our choice: some seconds of work, and several times what a body needs (33 for every
/// triangle of our own solids).
const MOST_PAIRS: usize = 50_000_000;
const MOST_PAIRS_EACH: usize = 100;
/// Crossings after which the search is given up: the solid is a tangle.
const MOST_CROSSINGS: usize = 1_000_000;
/// Heights kept singly for one triangle before they are joined. Our choice: a few kilobytes.
const MOST_SINGLE: usize = 1024;

/// Where a surface passes through itself.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Crossings {
    /// Pairs of triangles that cross, and the heights between which they do.
    pub pairs: Spread,
    /// Heights between which a level cut passes through a crossing, rising, joined where they
    /// overlap.
    pub heights: Vec<(f64, f64)>,
    /// Whether every pair was looked at; a tangle is given up.
    pub complete: bool,
}

impl Crossings {
    /// Whether a level cut at `z` crosses itself or another part of the cut.
    #[must_use]
    pub fn at(&self, z: f64) -> bool {
        let after = self.heights.partition_point(|h| h.0 <= z);
        after > 0 && self.heights[after - 1].1 >= z
    }
}

impl Mesh {
    /// Looks for triangles that pass through each other by more than [`CROSSING_EPS_MM`]. Triangles
    /// that only touch, or lie flat on each other, do not count.
    #[must_use]
    pub fn crossings(&self) -> Crossings {
        let tree = Tree::new(self);
        let mut out = Crossings {
            complete: true,
            ..Crossings::default()
        };
        let most = MOST_PAIRS + MOST_PAIRS_EACH * self.triangles.len();
        let (mut visits, mut at, mut batch) = (0, 0, FIRST_BATCH);
        while at < self.triangles.len() {
            let end = (at + batch).min(self.triangles.len());
            let found: Vec<Found> = (at..end)
                .into_par_iter()
                .map(|t| tree.crossings_of(t as u32))
                .collect();
            let worst = |of: fn(&Found) -> usize| found.iter().map(of).max().unwrap_or(0).max(1);
            let (worst_look, worst_pairs) = (worst(|f| f.looked), worst(|f| f.pairs.count));
            for f in found {
                visits += f.looked;
                out.pairs.join(&f.pairs);
                out.heights.extend(f.heights);
            }
            at = end;
            let given_up = visits > most || out.pairs.count > MOST_CROSSINGS;
            if given_up && at < self.triangles.len() {
                out.complete = false;
                break;
            }
            // In a tangle one triangle meets all others: few of them at a time then.
            let looks = most.saturating_sub(visits) / worst_look;
            let pairs = MOST_CROSSINGS.saturating_sub(out.pairs.count) / worst_pairs;
            batch = looks.min(pairs).clamp(1, BATCH);
        }
        out.heights = joined(out.heights);
        out
    }
}

/// Ranges joined where they overlap, rising.
fn joined(mut ranges: Vec<(f64, f64)>) -> Vec<(f64, f64)> {
    ranges.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let mut out: Vec<(f64, f64)> = Vec::new();
    for r in ranges {
        match out.last_mut() {
            Some(last) if r.0 <= last.1 => last.1 = last.1.max(r.1),
            _ => out.push(r),
        }
    }
    out
}

#[derive(Clone, Copy, Debug)]
struct Bounds {
    low: Point3,
    high: Point3,
}

impl Bounds {
    fn overlaps(&self, other: &Self) -> bool {
        (0..3).all(|k| self.low[k] <= other.high[k] && other.low[k] <= self.high[k])
    }

    fn join(&self, other: &Self) -> Self {
        Self {
            low: self.low.inf(&other.low),
            high: self.high.sup(&other.high),
        }
    }
}

/// What one triangle crosses.
#[derive(Default)]
struct Found {
    /// Triangles in boxes that were met.
    looked: usize,
    pairs: Spread,
    /// Heights of the crossings, joined.
    heights: Vec<(f64, f64)>,
}

/// A box, and either the range of its triangles or its second child (the first follows it).
struct Node {
    bounds: Bounds,
    from: u32,
    /// End of the range; 0 for a box with children, whose second one is number `from`.
    to: u32,
}

struct Tree<'a> {
    mesh: &'a Mesh,
    /// Of every triangle.
    bounds: Vec<Bounds>,
    /// Triangles in the order of the boxes.
    order: Vec<u32>,
    nodes: Vec<Node>,
}

impl<'a> Tree<'a> {
    fn new(mesh: &'a Mesh) -> Self {
        let bounds: Vec<Bounds> = (0..mesh.triangles.len())
            .map(|t| {
                let [a, b, c] = mesh.corners(t);
                Bounds {
                    low: a.inf(&b).inf(&c),
                    high: a.sup(&b).sup(&c),
                }
            })
            .collect();
        let mut order: Vec<u32> = (0..mesh.triangles.len() as u32).collect();
        let mut nodes = Vec::new();
        if !order.is_empty() {
            split(&bounds, &mut order, 0, &mut nodes);
        }
        Self {
            mesh,
            bounds,
            order,
            nodes,
        }
    }

    /// The crossings of one triangle with those of a higher number.
    fn crossings_of(&self, t: u32) -> Found {
        let own = self.bounds[t as usize];
        let mut found = Found::default();
        let mut waiting: Vec<usize> = vec![0];
        while let Some(at) = waiting.pop() {
            let node = &self.nodes[at];
            if !node.bounds.overlaps(&own) {
                continue;
            }
            if node.to == 0 {
                waiting.push(node.from as usize);
                waiting.push(at + 1);
                continue;
            }
            for other in &self.order[node.from as usize..node.to as usize] {
                found.looked += 1;
                if *other > t
                    && self.bounds[*other as usize].overlaps(&own)
                    && let Some((low, high)) = self.crossing(t, *other)
                {
                    found.pairs.add([low, high]);
                    found.heights.push((low, high));
                }
            }
            if found.heights.len() > MOST_SINGLE {
                found.heights = joined(found.heights);
            }
        }
        found.heights = joined(found.heights);
        found
    }

    /// Heights between which two triangles cross.
    fn crossing(&self, s: u32, t: u32) -> Option<(f64, f64)> {
        let [a, b] = [s, t].map(|i| self.mesh.triangles[i as usize]);
        let shared = a.map(|v| b.contains(&v));
        if shared.iter().filter(|s| **s).count() > 1 {
            return None;
        }
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for (edges, face) in [(a, b), (b, a)] {
            let corners = face.map(|v| self.mesh.vertices[v as usize]);
            for (i, from) in edges.iter().enumerate() {
                let to = edges[(i + 1) % 3];
                if face.contains(from) || face.contains(&to) {
                    continue;
                }
                let ends = [*from, to].map(|v| self.mesh.vertices[v as usize]);
                if let Some(p) = pierced(ends, corners) {
                    (low, high) = (low.min(p.z), high.max(p.z));
                }
            }
        }
        if low > high {
            return None;
        }
        // From the corner that both have, the crossing begins.
        for (v, _) in a.iter().zip(shared).filter(|(_, shared)| *shared) {
            let z = self.mesh.vertices[*v as usize].z;
            (low, high) = (low.min(z), high.max(z));
        }
        Some((low, high))
    }
}

/// Splits the triangles `order` (which begin at number `first` of all) at their middle along the
/// longest side of the box of their centres, again and again.
fn split(bounds: &[Bounds], order: &mut [u32], first: usize, nodes: &mut Vec<Node>) {
    let of = |t: u32| bounds[t as usize];
    let mut whole = of(order[0]);
    for t in order.iter() {
        whole = whole.join(&of(*t));
    }
    let at = nodes.len();
    nodes.push(Node {
        bounds: whole,
        from: first as u32,
        to: (first + order.len()) as u32,
    });
    if order.len() <= LEAF {
        return;
    }
    let middle = |t: u32| of(t).low + (of(t).high - of(t).low) * 0.5;
    let (mut low, mut high) = (middle(order[0]), middle(order[0]));
    for t in order.iter() {
        low = low.inf(&middle(*t));
        high = high.sup(&middle(*t));
    }
    let axis = (high - low).imax();
    let half = order.len() / 2;
    order.select_nth_unstable_by(half, |a, b| {
        middle(*a)[axis].total_cmp(&middle(*b)[axis]).then(a.cmp(b))
    });
    let (left, right) = order.split_at_mut(half);
    split(bounds, left, first, nodes);
    let second = nodes.len() as u32;
    split(bounds, right, first + half, nodes);
    nodes[at].from = second;
    nodes[at].to = 0;
}

/// Where a segment passes through a triangle, its ends plainly on either side.
fn pierced([from, to]: [Point3; 2], [a, b, c]: [Point3; 3]) -> Option<Point3> {
    let normal = (b - a).cross(&(c - a)).try_normalize(0.0)?;
    let (above, below) = (normal.dot(&(from - a)), normal.dot(&(to - a)));
    if above.abs().min(below.abs()) <= CROSSING_EPS_MM || (above > 0.0) == (below > 0.0) {
        return None;
    }
    let p = from + (to - from) * (above / (above - below));
    let left = |u: Point3, v: Point3| -> f64 { normal.dot(&Vector3::cross(&(v - u), &(p - u))) };
    (left(a, b) >= 0.0 && left(b, c) >= 0.0 && left(c, a) >= 0.0).then_some(p)
}
