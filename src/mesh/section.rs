//! Cutting the solid: with any plane, with any surface given as a height function, and fast with
//! many horizontal planes.

use super::Mesh;
use super::properties::{key, sides};
use crate::geom;
use crate::geom::{Outline, Point2, Point3, Vector3};
use crate::tolerance::SAME_POINT_EPS_MM;

/// Closed curves in which the plane through `origin` with this `normal` cuts the solid,
/// counter-clockwise round material as seen against the normal (holes run clockwise), the first
/// point not repeated. On a solid that is not watertight, curves that do not close are left out: ask
/// [`Mesh::is_watertight`] first.
#[must_use]
pub fn section(mesh: &Mesh, origin: Point3, normal: Vector3) -> Vec<Vec<Point3>> {
    section_where(mesh, |p| (p - origin).dot(&normal))
}

/// Closed curves on the solid where `height` is zero; as [`section`], for a bent cut. `height` is
/// taken as linear along every edge.
#[must_use]
pub fn section_where(mesh: &Mesh, height: impl Fn(&Point3) -> f64) -> Vec<Vec<Point3>> {
    let heights: Vec<f64> = mesh.vertices.iter().map(height).collect();
    let lowest = heights.iter().copied().fold(f64::INFINITY, f64::min);
    let all = 0..mesh.triangles.len();
    trace(mesh, all, |v| heights[v as usize], lowest < 0.0)
}

/// Triangles that are passed over together. Our choice: few enough to look at, many enough to skip.
const RUN: usize = 256;

/// Horizontal cuts of one solid, each in a time that depends on what is cut, not on the whole.
#[derive(Clone, Debug)]
pub struct Slicer<'a> {
    mesh: &'a Mesh,
    /// Triangles by the height of their lowest corner.
    by_bottom: Vec<(f64, u32)>,
    /// The highest corner of every [`RUN`] of them: one tall triangle makes no cut look at all others.
    tops: Vec<f64>,
    lowest: f64,
}

impl<'a> Slicer<'a> {
    /// Sorts the triangles by height once.
    #[must_use]
    pub fn new(mesh: &'a Mesh) -> Self {
        let heights = |t: &[u32; 3]| t.map(|v| mesh.vertices[v as usize].z);
        let mut by_bottom: Vec<(f64, u32)> = (0u32..)
            .zip(&mesh.triangles)
            .map(|(i, t)| {
                let z = heights(t);
                (z[0].min(z[1]).min(z[2]), i)
            })
            .collect();
        by_bottom.sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        let top = |run: &[(f64, u32)]| {
            let corners = run
                .iter()
                .flat_map(|b| heights(&mesh.triangles[b.1 as usize]));
            corners.fold(f64::NEG_INFINITY, f64::max)
        };
        let tops = by_bottom.chunks(RUN).map(top).collect();
        let lowest = by_bottom.first().map_or(f64::INFINITY, |b| b.0);
        Self {
            mesh,
            by_bottom,
            tops,
            lowest,
        }
    }

    /// The solid that is sliced.
    #[must_use]
    pub const fn mesh(&self) -> &'a Mesh {
        self.mesh
    }

    /// Outlines of the solid at height `z`, counter-clockwise round material, largest first. At the
    /// very lowest and highest level this is the rim of the flat end.
    #[must_use]
    pub fn at(&self, z: f64) -> Vec<Outline> {
        let to = self.by_bottom.partition_point(|b| b.0 <= z);
        let near = self.by_bottom[..to]
            .chunks(RUN)
            .zip(&self.tops)
            .filter(|(_, top)| **top >= z - SAME_POINT_EPS_MM)
            .flat_map(|(run, _)| run.iter().map(|b| b.1 as usize));
        let loops = trace(
            self.mesh,
            near,
            |v| self.mesh.vertices[v as usize].z - z,
            self.lowest < z,
        );
        let mut outlines: Vec<(f64, Outline)> = loops
            .into_iter()
            .map(|l| {
                let points: Vec<Point2> = l.iter().map(Point3::xy).collect();
                (geom::doubled_area(&points), Outline { points })
            })
            .collect();
        outlines.sort_by(|a, b| b.0.abs().total_cmp(&a.0.abs()));
        outlines.into_iter().map(|o| o.1).collect()
    }
}

/// Follows the cut from triangle to triangle. A corner exactly on the cut counts as above it
/// (or, with `on_is_above` false, as below), so every triangle is crossed by none or two of its
/// edges, and the curve of a watertight solid always closes, whatever it passes through.
fn trace(
    mesh: &Mesh,
    triangles: impl Iterator<Item = usize>,
    height: impl Fn(u32) -> f64,
    on_is_above: bool,
) -> Vec<Vec<Point3>> {
    let is_above = |h: f64| if on_is_above { h >= 0.0 } else { h > 0.0 };
    // From the edge that the triangle's boundary descends through to the one it rises through:
    // that is counter-clockwise round material.
    let mut steps: Vec<(u64, u64)> = Vec::new();
    for t in triangles {
        let above = mesh.triangles[t].map(|v| is_above(height(v)));
        if above[0] == above[1] && above[1] == above[2] {
            continue;
        }
        let (mut start, mut end) = (None, None);
        for (a, b) in sides(mesh.triangles[t]) {
            match (is_above(height(a)), is_above(height(b))) {
                (true, false) => start = Some(key(a.min(b), a.max(b))),
                (false, true) => end = Some(key(a.min(b), a.max(b))),
                _ => {}
            }
        }
        if let (Some(start), Some(end)) = (start, end) {
            steps.push((start, end));
        }
    }
    steps.sort_unstable();
    let point = |edge: u64| {
        let (a, b) = ((edge >> 32) as u32, (edge & u64::from(u32::MAX)) as u32);
        let (ha, hb) = (height(a), height(b));
        let (pa, pb) = (mesh.vertices[a as usize], mesh.vertices[b as usize]);
        pa + (pb - pa) * (ha / (ha - hb))
    };
    let mut done = vec![false; steps.len()];
    let mut loops = Vec::new();
    for first in 0..steps.len() {
        let mut at = first;
        let mut points: Vec<Point3> = Vec::new();
        while !done[at] {
            done[at] = true;
            let p = point(steps[at].0);
            if points
                .last()
                .is_none_or(|q| (p - q).norm() > SAME_POINT_EPS_MM)
            {
                points.push(p);
            }
            match steps.binary_search_by(|s| s.0.cmp(&steps[at].1)) {
                Ok(next) => at = next,
                Err(_) => break,
            }
        }
        if points.len() > 2 && (points[0] - points[points.len() - 1]).norm() <= SAME_POINT_EPS_MM {
            points.pop();
        }
        if at == first && points.len() > 2 {
            loops.push(points);
        }
    }
    loops
}
