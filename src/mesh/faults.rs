//! What keeps triangles from other programs from being a solid: holes, edges with too many
//! neighbours, neighbours that turn opposite ways.
//!
//! # Why is a solid with holes refused, but one that crosses itself read elsewhere?
//! Through a hole every cut may leak; a crossing spoils only the heights it reaches, and scans
//! often have one in an armpit. Triangles cross when an edge pierces a face; a tree of boxes finds
//! the pairs.

use super::properties::sides;
use super::{Faults, Mesh, Spread};

impl Mesh {
    /// Every fault of the edges. A mesh without triangles has none, and is not a solid either.
    ///
    /// # Panics
    /// If a triangle names a corner that is not there.
    #[must_use]
    pub fn faults(&self) -> Faults {
        // Every edge is kept at its lower-numbered corner: first room for this many, then the other
        // corner, doubled, and one more where the triangle walks the edge from the lower one.
        let edges = || self.triangles.iter().flat_map(|t| sides(*t));
        let mut ends: Vec<u32> = vec![0; self.vertices.len() + 1];
        for (a, b) in edges() {
            ends[a.min(b) as usize + 1] += 1;
        }
        for i in 1..ends.len() {
            ends[i] += ends[i - 1];
        }
        let mut others: Vec<u32> = vec![0; self.triangles.len() * 3];
        for (a, b) in edges() {
            let end = &mut ends[a.min(b) as usize];
            others[*end as usize] = a.max(b) << 1 | u32::from(a < b);
            *end += 1;
        }
        let mut faults = Faults::default();
        let mut from = 0;
        for (low, end) in ends[..self.vertices.len()].iter().enumerate() {
            let here = &mut others[from..*end as usize];
            from = *end as usize;
            here.sort_unstable();
            for same in here.chunk_by(|a, b| a >> 1 == b >> 1) {
                let spread = match same {
                    [_] => &mut faults.open,
                    [a, b] if a != b => continue,
                    [_, _] => &mut faults.turned,
                    _ => &mut faults.crowded,
                };
                let high = (same[0] >> 1) as usize;
                spread.add([low, high].map(|v| self.vertices[v].z));
            }
        }
        faults
    }

    /// The same triangles seen from the other side.
    pub fn turn_inside_out(&mut self) {
        for t in &mut self.triangles {
            t.swap(1, 2);
        }
    }
}

impl Spread {
    /// One more, between these two heights.
    pub(super) fn add(&mut self, [a, b]: [f64; 2]) {
        if self.count == 0 {
            (self.low, self.high) = (a, a);
        }
        self.count += 1;
        self.low = self.low.min(a).min(b);
        self.high = self.high.max(a).max(b);
    }

    /// These and those.
    pub(super) fn join(&mut self, other: &Self) {
        if other.count > 0 {
            self.add([other.low, other.high]);
            self.count += other.count - 1;
        }
    }
}
