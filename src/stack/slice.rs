//! Horizontal cuts through a closed triangle solid. (The tape cuts with its own code.)

use super::facts::StackFact;
use crate::error::Error;
use crate::geom::offset::Region;
use crate::geom::{Outline, Point2, Point3};
use crate::mesh::Mesh;
use crate::tolerance::{END_SECTION_EPS_MM, SAME_POINT_EPS_MM, SECTION_ACCURACY_MM};

/// Number of slabs of height in which triangles are looked up.
const SLABS: usize = 1024;

/// A solid made ready for many horizontal cuts: who borders on whom, and which triangles stand at
/// which height.
pub struct ClosedSlicer<'a> {
    mesh: &'a Mesh,
    /// For each triangle the neighbour across the side from corner `k` to corner `k + 1`.
    neighbours: Vec<[u32; 3]>,
    /// Where each slab's triangles begin in `members`.
    starts: Vec<u32>,
    members: Vec<u32>,
    low: f64,
    high: f64,
}

impl<'a> ClosedSlicer<'a> {
    /// Makes a solid ready.
    ///
    /// # Errors
    /// [`Error::Stack`] when it has no height or is not closed: every side of every triangle must
    /// be shared by exactly one other triangle that runs along it the other way.
    pub fn new(mesh: &'a Mesh) -> Result<Self, Error> {
        let heights = mesh.vertices.iter().map(|v| v.z);
        let low = heights.clone().fold(f64::INFINITY, f64::min);
        let high = heights.fold(f64::NEG_INFINITY, f64::max);
        if !(high - low).is_finite() || high - low <= 2.0 * END_SECTION_EPS_MM {
            return Err(Error::stack(StackFact::NoHeight));
        }
        let neighbours = neighbours(mesh)?;
        let slab = |z: f64| slab_of(z, low, high);
        let span = |t: &[u32; 3]| {
            let z = t.map(|v| mesh.vertices[v as usize].z);
            let (a, b) = (z[0].min(z[1]).min(z[2]), z[0].max(z[1]).max(z[2]));
            (slab(a), slab(b))
        };
        let mut starts = vec![0_u32; SLABS + 1];
        for t in &mesh.triangles {
            let (a, b) = span(t);
            for s in a..=b {
                starts[s + 1] += 1;
            }
        }
        for s in 0..SLABS {
            starts[s + 1] += starts[s];
        }
        let mut next = starts.clone();
        let mut members = vec![0_u32; starts[SLABS] as usize];
        for (i, t) in mesh.triangles.iter().enumerate() {
            let (a, b) = span(t);
            for s in &mut next[a..=b] {
                members[*s as usize] = i as u32;
                *s += 1;
            }
        }
        Ok(Self {
            mesh,
            neighbours,
            starts,
            members,
            low,
            high,
        })
    }

    /// Lowest height of the solid, mm.
    #[must_use]
    pub const fn low(&self) -> f64 {
        self.low
    }

    /// Greatest height of the solid, mm.
    #[must_use]
    pub const fn high(&self) -> f64 {
        self.high
    }

    /// The solid itself.
    #[must_use]
    pub const fn mesh(&self) -> &'a Mesh {
        self.mesh
    }

    /// The section at height `z`, its outer boundaries counter-clockwise, simplified within
    /// [`SECTION_ACCURACY_MM`]. Beyond an end of the solid the section of that end is returned: the
    /// solid is taken to go straight on, which is how a flat end without padding behaves.
    ///
    /// Corners that lie in the plane count as above it, so a loop never breaks at a corner.
    #[must_use]
    pub fn section(&self, z: f64) -> Vec<Region> {
        let z = z.clamp(self.low + END_SECTION_EPS_MM, self.high);
        let mut outers = Vec::new();
        let mut openings = Vec::new();
        for ring in self.loops(z) {
            let area = ring.area();
            let simple = ring.simplified(SECTION_ACCURACY_MM).counter_clockwise();
            if simple.points.len() < 3 {
                continue;
            }
            if area > 0.0 {
                outers.push(Region::solid(simple));
            } else {
                openings.push(simple);
            }
        }
        outers.sort_by(|a, b| b.area().total_cmp(&a.area()));
        for hole in openings {
            // The smallest outer boundary round it owns it.
            if let Some(owner) = outers
                .iter_mut()
                .rev()
                .find(|r| hole.points.first().is_some_and(|p| r.outer.contains(*p)))
            {
                owner.holes.push(hole);
            }
        }
        outers
    }

    /// The closed loops in which the plane meets the solid, as cut: matter on the left hand, so
    /// outer boundaries run counter-clockwise and openings clockwise.
    #[must_use]
    pub fn loops(&self, z: f64) -> Vec<Outline> {
        let slab = slab_of(z, self.low, self.high);
        let members = &self.members[self.starts[slab] as usize..self.starts[slab + 1] as usize];
        let mut seen = vec![false; self.mesh.triangles.len()];
        let mut out = Vec::new();
        for &start in members {
            if seen[start as usize] || self.rising_side(start, z).is_none() {
                continue;
            }
            let mut points: Vec<Point2> = Vec::new();
            let mut at = start;
            while !seen[at as usize] {
                seen[at as usize] = true;
                let Some(k) = self.rising_side(at, z) else {
                    break;
                };
                let t = self.mesh.triangles[at as usize];
                let p = crossing(
                    self.mesh.vertices[t[k] as usize],
                    self.mesh.vertices[t[(k + 1) % 3] as usize],
                    z,
                );
                if points
                    .last()
                    .is_none_or(|q| (p - q).norm() > SAME_POINT_EPS_MM)
                {
                    points.push(p);
                }
                at = self.neighbours[at as usize][k];
            }
            let ring = Outline::new(points).without_repeats(SAME_POINT_EPS_MM);
            if ring.points.len() >= 3 {
                out.push(ring);
            }
        }
        out
    }

    /// The side of a triangle that goes up through the plane: seen from outside, a cut that keeps
    /// matter on its left leaves a counter-clockwise triangle there.
    fn rising_side(&self, triangle: u32, z: f64) -> Option<usize> {
        let above =
            self.mesh.triangles[triangle as usize].map(|v| self.mesh.vertices[v as usize].z >= z);
        (0..3).find(|&k| !above[k] && above[(k + 1) % 3])
    }
}

fn slab_of(z: f64, low: f64, high: f64) -> usize {
    let f = (z - low) / (high - low) * SLABS as f64;
    (f.max(0.0) as usize).min(SLABS - 1)
}

fn crossing(below: Point3, above: Point3, z: f64) -> Point2 {
    let f = (z - below.z) / (above.z - below.z);
    Point2::new(
        below.x + (above.x - below.x) * f,
        below.y + (above.y - below.y) * f,
    )
}

fn neighbours(mesh: &Mesh) -> Result<Vec<[u32; 3]>, Error> {
    let n = mesh.vertices.len();
    let mut sides: Vec<(u64, u32)> = Vec::with_capacity(mesh.triangles.len() * 3);
    for (i, t) in mesh.triangles.iter().enumerate() {
        for k in 0..3 {
            let (a, b) = (t[k], t[(k + 1) % 3]);
            if a as usize >= n || b as usize >= n || a == b {
                return Err(Error::stack(StackFact::BrokenTriangle { triangle: i + 1 }));
            }
            // The two runs along one side sort next to each other, told apart by the lowest bit.
            let key = (u64::from(a.min(b)) << 33) | (u64::from(a.max(b)) << 1) | u64::from(a > b);
            sides.push((key, (i * 3 + k) as u32));
        }
    }
    sides.sort_unstable();
    let mut out = vec![[0_u32; 3]; mesh.triangles.len()];
    let open = || Error::stack(StackFact::NotClosed);
    let mut pairs = sides.chunks_exact(2);
    for pair in pairs.by_ref() {
        let ((k0, s0), (k1, s1)) = (pair[0], pair[1]);
        if k0 + 1 != k1 || k0 & 1 != 0 {
            return Err(open());
        }
        out[(s0 / 3) as usize][(s0 % 3) as usize] = s1 / 3;
        out[(s1 / 3) as usize][(s1 % 3) as usize] = s0 / 3;
    }
    if !pairs.remainder().is_empty() {
        return Err(open());
    }
    Ok(out)
}
