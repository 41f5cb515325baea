//! The core: the solid less padding and cover, taken off along the surface normal.
//!
//! A point belongs to the core when a ball of radius `t` about it lies in the solid (the erosion of
//! Serra, *Image Analysis and Mathematical Morphology*, 1982). Cut at height `z` that is exactly
//!
//! `core(z) = ⋂ over |ζ| ≤ t of inset(section(z + ζ), √(t² − ζ²))`
//!
//! with plane insets of the sections. Written with `ζ = t sin φ`, the section at `φ` matters only if
//! somewhere near that height the surface leans by `φ` (its outward normal stands at elevation `φ`
//! above the horizontal): the ball touches there. So the leans that occur are noted once per solid,
//! and only those `φ` are cut. Between two neighbouring `φ` the core comes out too large by at most
//! `t (1 − cos(Δφ / 2))`, which sets the step `Δφ`; in a sharp hollow crease, where the sides lean by
//! `α`, by up to `t (Δφ / 6) tan α` more (three sections are cut there where elsewhere one is). The
//! flat ends carry no padding: beyond them the solid is taken to go straight on.

use rayon::prelude::*;

use super::facts::StackFact;
use super::rays::Fan;
use super::slice::ClosedSlicer;
use crate::error::Error;
use crate::geom::offset::{Region, intersection, offset};
use crate::geom::{Outline, Point2, Point3, Vector2, Vector3};
use crate::mesh::{Marks, Mesh};
use crate::tolerance::{
    CORE_RING_ACCURACY_MM, END_SECTION_EPS_MM, EROSION_ACCURACY_MM, SECTION_ACCURACY_MM,
};

/// Height of the cells in which leans are noted, mm.
const CELL: f64 = 0.5;

/// Whether a surface has a lean somewhere.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Lean {
    Absent,
    /// On a smooth part.
    Smooth,
    /// In a crease, where the lean jumps.
    Crease,
}

/// A solid from which a thickness is taken off.
pub struct Eroder<'a> {
    slicer: &'a ClosedSlicer<'a>,
    thickness: f64,
    /// Elevations, from -90 to 90 degrees in equal steps, the middle one 0.
    leans: Vec<f64>,
    /// For each elevation, the cells of height in which the surface has it.
    present: Vec<Vec<Lean>>,
    fan: Fan,
}

impl<'a> Eroder<'a> {
    /// Notes the leans of the solid; `thickness` (mm, not negative) is what will be taken off.
    #[must_use]
    pub fn new(slicer: &'a ClosedSlicer<'a>, thickness: f64) -> Self {
        use std::f64::consts::FRAC_PI_2;
        let step = if thickness > 0.0 {
            2.0 * libm::acos((1.0 - EROSION_ACCURACY_MM / thickness).max(0.0))
        } else {
            FRAC_PI_2
        };
        let half = (FRAC_PI_2 / step).ceil().clamp(1.0, 90.0) as usize;
        let leans: Vec<f64> = (0..=2 * half)
            .map(|k| FRAC_PI_2 * (k as f64 / half as f64 - 1.0))
            .collect();
        let mut out = Self {
            slicer,
            thickness,
            leans,
            present: Vec::new(),
            fan: Fan::new(),
        };
        out.note_leans();
        out
    }

    fn cell(&self, z: f64) -> usize {
        let cells = self.cells();
        let f = (z - self.slicer.low()) / CELL;
        (f.max(0.0) as usize).min(cells - 1)
    }

    fn cells(&self) -> usize {
        ((self.slicer.high() - self.slicer.low()) / CELL)
            .ceil()
            .max(1.0) as usize
            + 1
    }

    fn note_leans(&mut self) {
        let mesh = self.slicer.mesh();
        let (low, high) = (self.slicer.low(), self.slicer.high());
        let ends = |z: f64| z <= low + END_SECTION_EPS_MM || z >= high - END_SECTION_EPS_MM;
        // At a hollow edge or corner the ball may touch with any lean between those of the faces
        // that meet there, so each corner carries the range of its faces and hands it to them.
        let mut range = vec![(f64::INFINITY, f64::NEG_INFINITY); mesh.vertices.len()];
        let mut faces = Vec::with_capacity(mesh.triangles.len());
        for (i, t) in mesh.triangles.iter().enumerate() {
            let [a, b, c] = t.map(|v| mesh.vertices[v as usize]);
            let normal: Vector3 = (b - a).cross(&(c - a));
            let size = normal.norm();
            let flat_end = ends(a.z)
                && ends(b.z)
                && ends(c.z)
                && (a.z - b.z).abs() < CELL
                && (a.z - c.z).abs() < CELL;
            if size <= 0.0 || flat_end {
                continue;
            }
            let lean = libm::asin((normal.z / size).clamp(-1.0, 1.0));
            faces.push(i);
            for v in t {
                let r = &mut range[*v as usize];
                r.0 = r.0.min(lean);
                r.1 = r.1.max(lean);
            }
        }
        for (v, r) in mesh.vertices.iter().zip(&mut range) {
            if ends(v.z) {
                *r = (r.0.min(0.0), r.1.max(0.0));
            }
        }
        let last = self.leans.len() - 1;
        let step = self.leans[1] - self.leans[0];
        let bin = |lean: f64| {
            let f = (lean - self.leans[0]) / step + 0.5;
            (f.max(0.0) as usize).min(last)
        };
        let mut present = vec![vec![Lean::Absent; self.cells()]; self.leans.len()];
        for i in faces {
            let t = mesh.triangles[i];
            let z = t.map(|v| mesh.vertices[v as usize].z);
            let lean = t.map(|v| range[v as usize]);
            let first = bin(lean[0].0.min(lean[1].0).min(lean[2].0));
            let end = bin(lean[0].1.max(lean[1].1).max(lean[2].1));
            let from = self.cell(z[0].min(z[1]).min(z[2]));
            let to = self.cell(z[0].max(z[1]).max(z[2]));
            let kind = if end - first > 2 {
                Lean::Crease
            } else {
                Lean::Smooth
            };
            for cell in present[first..=end]
                .iter_mut()
                .flat_map(|r| &mut r[from..=to])
            {
                *cell = kind.max(*cell);
            }
        }
        self.present = present;
    }

    /// The section of the core at height `z`, largest part first; empty where the solid is thinner
    /// than twice the thickness. Small parts are not dropped here.
    #[must_use]
    pub fn core(&self, z: f64) -> Vec<Region> {
        if self.thickness <= 0.0 {
            return self.slicer.section(z);
        }
        let leans = self.leans_at(z);
        self.core_by_rays(z, &leans)
            .unwrap_or_else(|| self.core_by_polygons(z, &leans))
    }

    /// The leans whose sections bound the core at height `z`.
    fn leans_at(&self, z: f64) -> Vec<f64> {
        let t = self.thickness;
        let middle = self.leans.len() / 2;
        let step = self.leans[1] - self.leans[0];
        let (low, high) = (self.slicer.low(), self.slicer.high());
        let mut out = vec![0.0];
        for (k, (lean, row)) in self.leans.iter().zip(&self.present).enumerate() {
            let from = z + t * libm::sin(lean - step / 2.0);
            let to = z + t * libm::sin(lean + step / 2.0);
            if to < low || from > high {
                continue;
            }
            let here = row[self.cell(from)..=self.cell(to)].iter().max();
            let parts: &[f64] = match here {
                Some(Lean::Crease) => &[-1.0 / 3.0, 0.0, 1.0 / 3.0],
                // The upright one is there already.
                Some(Lean::Smooth) if k != middle => &[0.0],
                _ => &[],
            };
            out.extend(parts.iter().map(|part| lean + part * step));
        }
        out
    }

    /// The section that a lean refers to, and how far it is moved in.
    fn inset(&self, z: f64, lean: f64) -> (Vec<Region>, f64) {
        let t = self.thickness;
        let section = self.slicer.section(z + t * libm::sin(lean));
        (section, (t * libm::cos(lean)).max(0.0))
    }

    fn core_by_rays(&self, z: f64, leans: &[f64]) -> Option<Vec<Region>> {
        let pole = &self.slicer.mesh().marks.pole;
        if pole.is_empty() {
            return None;
        }
        let centre = pole_at(pole, z);
        let mut radii = Fan::open();
        for lean in leans {
            let (section, reach) = self.inset(z, *lean);
            self.fan.shorten(&mut radii, &section, centre, reach)?;
        }
        let outline = self.fan.outline(&radii, centre);
        let outline = outline.simplified(SECTION_ACCURACY_MM);
        outline.is_simple().then(|| vec![Region::solid(outline)])
    }

    fn core_by_polygons(&self, z: f64, leans: &[f64]) -> Vec<Region> {
        let mut left: Option<Vec<Region>> = None;
        for lean in leans {
            let (section, reach) = self.inset(z, *lean);
            let here = offset(&section, -reach);
            let both = match &left {
                Some(left) => intersection(left, &here),
                None => here,
            };
            if both.is_empty() {
                return both;
            }
            left = Some(both);
        }
        left.unwrap_or_default()
    }
}

/// A closed solid lofted through star-shaped rings: `rings` holds, from the lowest up, the height,
/// the centre and the radii in equal steps of angle from 0 (towards +x), all of the same number.
/// Two rings of one height make a flat ledge. Flat ends.
#[must_use]
pub fn loft(rings: &[(f64, Point2, Vec<f64>)], marks: Marks) -> Mesh {
    let n = rings.first().map_or(0, |r| r.2.len());
    let step = std::f64::consts::TAU / n.max(1) as f64;
    let directions: Vec<(f64, f64)> = (0..n)
        .map(|j| {
            let angle = step * j as f64;
            (libm::cos(angle), libm::sin(angle))
        })
        .collect();
    let mut vertices = Vec::with_capacity(rings.len() * n + 2);
    for (z, centre, radii) in rings {
        vertices.extend(
            radii
                .iter()
                .zip(&directions)
                .map(|(r, (c, s))| Point3::new(centre.x + r * c, centre.y + r * s, *z)),
        );
    }
    let mut triangles = Vec::with_capacity(rings.len() * n * 2);
    let id = |ring: usize, j: usize| (ring * n + j % n) as u32;
    for ring in 1..rings.len() {
        for j in 0..n {
            let (a, b) = (id(ring - 1, j), id(ring - 1, j + 1));
            let (c, d) = (id(ring, j), id(ring, j + 1));
            triangles.push([a, b, d]);
            triangles.push([a, d, c]);
        }
    }
    if let (Some(first), Some(last)) = (rings.first(), rings.last()) {
        let bottom = vertices.len() as u32;
        vertices.push(Point3::new(first.1.x, first.1.y, first.0));
        vertices.push(Point3::new(last.1.x, last.1.y, last.0));
        for j in 0..n {
            triangles.push([bottom, id(0, j + 1), id(0, j)]);
            triangles.push([
                bottom + 1,
                id(rings.len() - 1, j),
                id(rings.len() - 1, j + 1),
            ]);
        }
    }
    Mesh {
        vertices,
        triangles,
        marks,
    }
}

/// The pole of the sections at height `z`: straight between its points, beyond its ends as at the
/// ends; the origin when there is none.
#[must_use]
pub fn pole_at(pole: &[Point3], z: f64) -> Point2 {
    let Some(first) = pole.first() else {
        return Point2::origin();
    };
    let k = pole.partition_point(|p| p.z <= z);
    if k == 0 {
        return first.xy();
    }
    if k == pole.len() {
        return pole[k - 1].xy();
    }
    let (a, b) = (pole[k - 1], pole[k]);
    let f = (z - a.z) / (b.z - a.z);
    a.xy() + (b.xy() - a.xy()) * f
}

/// Rays of the lofted core: one per degree.
const RAYS: usize = 360;

/// So many unit vectors evenly round, from 0 (towards +x) on.
pub(crate) fn evenly_round(count: usize) -> Vec<Vector2> {
    let angle = |j: usize| std::f64::consts::TAU * j as f64 / count as f64;
    (0..count)
        .map(|j| Vector2::new(libm::cos(angle(j)), libm::sin(angle(j))))
        .collect()
}

/// The core as a closed solid: its sections every [`CORE_RING_ACCURACY_MM`], each read along rays
/// from the pole of the sections (the outermost point where a ray meets the core's largest part).
///
/// # Errors
/// [`Error::Stack`] when the core has no section that the pole passes through at some height.
pub(crate) fn core_solid(eroder: &Eroder<'_>) -> Result<Mesh, Error> {
    let (low, high) = (eroder.slicer.low(), eroder.slicer.high());
    let marks = &eroder.slicer.mesh().marks;
    let n = ((high - low) / CORE_RING_ACCURACY_MM).ceil().max(1.0) as usize;
    let directions = evenly_round(RAYS);
    let rings: Result<Vec<_>, Error> = (0..=n)
        .into_par_iter()
        .map(|i| {
            let z = low + (high - low) * i as f64 / n as f64;
            let centre = pole_at(&marks.pole, z);
            let outline = eroder
                .core(z)
                .into_iter()
                .next()
                .map_or_else(Outline::default, |r| {
                    r.outer.simplified(SECTION_ACCURACY_MM)
                });
            let radii: Option<Vec<f64>> = outline.rays(centre, &directions).into_iter().collect();
            match radii {
                Some(radii) => Ok((z, centre, radii)),
                None => Err(too_thin(z, eroder.thickness)),
            }
        })
        .collect();
    Ok(loft(&rings?, marks.clone()))
}

/// The refusal when nothing is left of the solid at some height.
pub(crate) fn too_thin(z: f64, thickness: f64) -> Error {
    Error::stack(StackFact::NothingLeft {
        height: z,
        thickness,
    })
}
