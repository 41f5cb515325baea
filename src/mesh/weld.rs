//! Joining corners: files of other programs write the same corner again for every triangle.

use super::Mesh;
use crate::geom::Point3;

impl Mesh {
    /// Joins corners at the very same place, drops corners that no triangle uses and triangles that
    /// shrink to a line. What remains keeps its order. The names on the mesh are kept as they are.
    #[must_use]
    pub fn welded(self) -> Self {
        // Adding zero makes the two zeros one.
        let bits = |i: u32| {
            let p: Point3 = self.vertices[i as usize];
            [p.x, p.y, p.z].map(|v| (v + 0.0).to_bits())
        };
        let mut order: Vec<u32> = (0..self.vertices.len() as u32).collect();
        order.sort_unstable_by_key(|i| (bits(*i), *i));
        let mut first = vec![0u32; self.vertices.len()];
        for same in order.chunk_by(|a, b| bits(*a) == bits(*b)) {
            for i in same {
                first[*i as usize] = same[0];
            }
        }
        // Numbered in the order of first appearance.
        let mut number = vec![u32::MAX; self.vertices.len()];
        let mut vertices = Vec::new();
        let mut triangles = Vec::with_capacity(self.triangles.len());
        for t in &self.triangles {
            let t = t.map(|v| first[v as usize]);
            if t[0] == t[1] || t[1] == t[2] || t[2] == t[0] {
                continue;
            }
            triangles.push(t.map(|v| {
                let slot = &mut number[v as usize];
                if *slot == u32::MAX {
                    *slot = vertices.len() as u32;
                    vertices.push(self.vertices[v as usize]);
                }
                *slot
            }));
        }
        Self {
            vertices,
            triangles,
            marks: self.marks,
        }
    }
}
