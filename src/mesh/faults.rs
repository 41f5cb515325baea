//! What keeps triangles from other programs from being a solid: holes, edges with too many
//! neighbours, neighbours that turn opposite ways.

use super::properties::{key, sides};
use super::{Faults, Mesh, Spread};

impl Mesh {
    /// Every fault of the edges. A mesh without triangles has none, and is no solid either.
    #[must_use]
    pub fn faults(&self) -> Faults {
        // Undirected edge, and whether the triangle walks it from its lower-numbered corner.
        let mut edges: Vec<(u64, bool)> = self
            .triangles
            .iter()
            .flat_map(|t| sides(*t))
            .map(|(a, b)| (key(a.min(b), a.max(b)), a < b))
            .collect();
        edges.sort_unstable();
        let mut faults = Faults::default();
        for same in edges.chunk_by(|a, b| a.0 == b.0) {
            let spread = match same {
                [_] => &mut faults.open,
                [a, b] if a.1 != b.1 => continue,
                [_, _] => &mut faults.turned,
                _ => &mut faults.crowded,
            };
            spread.add(
                [same[0].0 >> 32, same[0].0 & u64::from(u32::MAX)]
                    .map(|v| self.vertices[v as usize].z),
            );
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
