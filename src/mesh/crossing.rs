//! Whether a surface passes through itself, and at which heights.
//!
//! Two triangles cross where an edge of one pierces the other. Boxes round groups of triangles, one
//! tree of them, keep the pairs few.

use rayon::prelude::*;

use super::tree::{Boxed, Leaf, Tree};
use super::{Mesh, Spread};
use crate::geom::{Point3, Vector3};
use crate::tolerance::CROSSING_EPS_MM;

/// Most boxes searched between two looks at the budget, and how many at first.
const BATCH: usize = 1 << 12;
const FIRST_BATCH: usize = 4;
/// Work after which the search is given up, and as much again for every triangle: pairs of boxes of
/// triangles that are compared count one, pairs of triangles [`TRIED`]. Our choice: some seconds of
/// work, and several times what a body needs (80 for every triangle, whether two hundred thousand or
/// five million).
const MOST_WORK: usize = 100_000_000;
const MOST_WORK_EACH: usize = 300;
/// What trying whether two triangles cross costs, in pairs of boxes. Measured.
const TRIED: usize = 8;
/// Crossings after which the search is given up: the solid is a tangle.
const MOST_CROSSINGS: usize = 1_000_000;
/// Heights kept singly before they are joined. Our choice: a few kilobytes.
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
    /// Triangles that were not held against all others because the search was given up, and the
    /// heights between which they lie.
    pub unsearched: Spread,
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
        let most = MOST_WORK + MOST_WORK_EACH * self.triangles.len();
        let (mut work, mut at, mut batch) = (0, 0, FIRST_BATCH);
        while at < tree.leaves() {
            let end = (at + batch).min(tree.leaves());
            let found: Vec<Found> = (at..end)
                .into_par_iter()
                .map(|leaf| Found::from(self, &tree, leaf))
                .collect();
            let worst = |of: fn(&Found) -> usize| found.iter().map(of).max().unwrap_or(0).max(1);
            let (worst_work, worst_pairs) = (worst(|f| f.work), worst(|f| f.pairs.count));
            for f in found {
                work += f.work;
                out.pairs.join(&f.pairs);
                out.heights.extend(f.heights);
            }
            at = end;
            if (work > most || out.pairs.count > MOST_CROSSINGS) && at < tree.leaves() {
                out.complete = false;
                break;
            }
            // In a tangle one triangle meets all others: few of them at a time then.
            let works = most.saturating_sub(work) / worst_work;
            let pairs = MOST_CROSSINGS.saturating_sub(out.pairs.count) / worst_pairs;
            batch = works.min(pairs).clamp(1, BATCH);
        }
        for leaf in at..tree.leaves() {
            for t in tree.leaf(leaf).triangles {
                out.unsearched.add(t.bounds.heights());
            }
        }
        out.heights = joined(out.heights);
        out
    }

    /// Heights between which two triangles cross.
    fn crossing(&self, s: u32, t: u32) -> Option<(f64, f64)> {
        let [a, b] = [s, t].map(|i| self.triangles[i as usize]);
        let shared = a.map(|v| b.contains(&v));
        if shared.iter().filter(|s| **s).count() > 1 {
            return None;
        }
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for (edges, face) in [(a, b), (b, a)] {
            let corners = face.map(|v| self.vertices[v as usize]);
            let ends = edges.map(|v| self.vertices[v as usize]);
            if on_one_side(ends, corners) {
                return None;
            }
            for i in 0..3 {
                let j = (i + 1) % 3;
                if face.contains(&edges[i]) || face.contains(&edges[j]) {
                    continue;
                }
                if let Some(p) = pierced([ends[i], ends[j]], corners) {
                    (low, high) = (low.min(p.z), high.max(p.z));
                }
            }
        }
        if low > high {
            return None;
        }
        // From the corner that both have, the crossing begins.
        for (v, _) in a.iter().zip(shared).filter(|(_, shared)| *shared) {
            let z = self.vertices[*v as usize].z;
            (low, high) = (low.min(z), high.max(z));
        }
        Some((low, high))
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

/// What the triangles of one smallest box cross.
#[derive(Default)]
struct Found {
    work: usize,
    pairs: Spread,
    /// Heights of the crossings, joined.
    heights: Vec<(f64, f64)>,
}

impl Found {
    /// The crossings among the triangles of a box, and with those of later boxes.
    fn from(mesh: &Mesh, tree: &Tree, leaf: usize) -> Self {
        let mut found = Self::default();
        let own = tree.leaf(leaf);
        for i in 1..own.triangles.len() {
            let (others, one) = own.triangles.split_at(i);
            let among = Leaf {
                triangles: others,
                ..own
            };
            found.add(mesh, &one[..1], among);
        }
        tree.later_overlaps(leaf, |other| found.add(mesh, own.triangles, other));
        found.heights = joined(found.heights);
        found
    }

    fn add(&mut self, mesh: &Mesh, own: &[Boxed], others: Leaf<'_>) {
        for a in own {
            self.work += 1;
            if !a.bounds.overlaps(&others.bounds) {
                continue;
            }
            self.work += others.triangles.len();
            for b in others.triangles {
                if !a.bounds.overlaps(&b.bounds) {
                    continue;
                }
                self.work += TRIED;
                if let Some((low, high)) = mesh.crossing(a.triangle, b.triangle) {
                    self.pairs.add([low, high]);
                    self.heights.push((low, high));
                }
            }
        }
        if self.heights.len() > MOST_SINGLE {
            self.heights = joined(std::mem::take(&mut self.heights));
        }
    }
}

/// Whether three corners lie plainly on one side of a triangle's plane, so that none of their edges
/// passes through it.
fn on_one_side(ends: [Point3; 3], [a, b, c]: [Point3; 3]) -> bool {
    let normal = (b - a).cross(&(c - a));
    let side = ends.map(|p| normal.dot(&(p - a)));
    side.iter().all(|s| *s > 0.0) || side.iter().all(|s| *s < 0.0)
}

/// Where a segment passes through a triangle, its ends plainly on either side. A triangle that is
/// narrower than [`CROSSING_EPS_MM`] has no side: where it faces is a matter of rounding.
fn pierced([from, to]: [Point3; 2], [a, b, c]: [Point3; 3]) -> Option<Point3> {
    let normal = (b - a).cross(&(c - a));
    let longest = [b - a, c - b, a - c].map(|side| side.norm_squared());
    let longest = longest[0].max(longest[1]).max(longest[2]);
    if normal.norm_squared() <= CROSSING_EPS_MM * CROSSING_EPS_MM * longest {
        return None;
    }
    let normal = normal.try_normalize(0.0)?;
    let (above, below) = (normal.dot(&(from - a)), normal.dot(&(to - a)));
    if above.abs().min(below.abs()) <= CROSSING_EPS_MM || (above > 0.0) == (below > 0.0) {
        return None;
    }
    let p = from + (to - from) * (above / (above - below));
    let left = |u: Point3, v: Point3| -> f64 { normal.dot(&Vector3::cross(&(v - u), &(p - u))) };
    (left(a, b) >= 0.0 && left(b, c) >= 0.0 && left(c, a) >= 0.0).then_some(p)
}
