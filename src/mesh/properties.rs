//! Whole-solid properties: closedness, winding, extent, area, volume.

use super::Mesh;
use crate::geom::{Point3, Vector3};

impl Mesh {
    /// The three corners of a triangle, counter-clockwise seen from outside.
    ///
    /// # Panics
    /// If `triangle` is not an index into `triangles`.
    #[must_use]
    pub fn corners(&self, triangle: usize) -> [Point3; 3] {
        self.triangles[triangle].map(|v| self.vertices[v as usize])
    }

    /// Every edge belongs to exactly two triangles, and no triangle uses a corner twice: the
    /// surface encloses a volume without a hole. An empty mesh is not watertight.
    #[must_use]
    pub fn is_watertight(&self) -> bool {
        let mut edges: Vec<u64> = Vec::with_capacity(self.triangles.len() * 3);
        for t in &self.triangles {
            for (a, b) in sides(*t) {
                if a == b {
                    return false;
                }
                edges.push(key(a.min(b), a.max(b)));
            }
        }
        edges.sort_unstable();
        !edges.is_empty() && edges.chunk_by(|a, b| a == b).all(|same| same.len() == 2)
    }

    /// Neighbouring triangles turn the same way: every edge is walked once in each direction. Holds
    /// for a closed mesh only together with [`Mesh::is_watertight`]; that the normals point outward
    /// rather than inward shows in the sign of [`Mesh::volume`].
    #[must_use]
    pub fn is_winding_consistent(&self) -> bool {
        let mut edges: Vec<u64> = self
            .triangles
            .iter()
            .flat_map(|t| sides(*t))
            .map(|(a, b)| key(a, b))
            .collect();
        edges.sort_unstable();
        if edges.windows(2).any(|w| w[0] == w[1]) {
            return false;
        }
        edges
            .iter()
            .all(|e| edges.binary_search(&e.rotate_left(32)).is_ok())
    }

    /// Area of the surface, mm².
    #[must_use]
    pub fn area(&self) -> f64 {
        (0..self.triangles.len())
            .map(|t| self.doubled_normal(t).norm() / 2.0)
            .sum()
    }

    /// Enclosed volume, mm³, by the divergence theorem; negative when the normals point inward.
    #[must_use]
    pub fn volume(&self) -> f64 {
        // Taken about the first corner: far from the origin the terms would cancel badly.
        let Some(base) = self.vertices.first() else {
            return 0.0;
        };
        let six: f64 = (0..self.triangles.len())
            .map(|t| {
                let [a, b, c] = self.corners(t);
                (a - base).dot(&(b - base).cross(&(c - base)))
            })
            .sum();
        six / 6.0
    }

    /// Lowest and highest coordinate along each axis, or nothing for an empty mesh.
    #[must_use]
    pub fn bounds(&self) -> Option<(Point3, Point3)> {
        let first = *self.vertices.first()?;
        Some(
            self.vertices
                .iter()
                .fold((first, first), |(lo, hi), v| (lo.inf(v), hi.sup(v))),
        )
    }

    /// Outward normal of a triangle whose length is twice its area.
    pub(super) fn doubled_normal(&self, triangle: usize) -> Vector3 {
        let [a, b, c] = self.corners(triangle);
        (b - a).cross(&(c - a))
    }
}

/// The directed edges of a triangle.
pub(super) fn sides([a, b, c]: [u32; 3]) -> [(u32, u32); 3] {
    [(a, b), (b, c), (c, a)]
}

/// One number for an ordered pair of corners.
pub(super) fn key(a: u32, b: u32) -> u64 {
    u64::from(a) << 32 | u64::from(b)
}
