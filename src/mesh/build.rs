//! From the torso to its solid, with every name that a tape needs written on the triangles.

use super::{Grid, Mesh, Sampled};
use crate::geom::Point3;
use crate::measure::{Landmark, Level, Side};
use crate::tolerance::MESH_ACCURACY_MM;
use crate::torso::Torso;

/// Triangulates a torso within [`MESH_ACCURACY_MM`] and marks levels, landmarks and curves, all
/// lying on the triangles.
#[must_use]
pub fn build(torso: &Torso) -> Mesh {
    let levels: Vec<f64> = Level::ALL.iter().map(|l| torso.level(*l)).collect();
    let surface = Sampled {
        range: torso.range(),
        radii: &|z, thetas| torso.radii(thetas, z),
        pole: &|z| torso.pole(z),
    };
    // Levels at which a tape goes round.
    let girths: Vec<f64> = Level::ALL
        .into_iter()
        .filter(|l| l.girth().is_some())
        .map(|l| torso.level(l))
        .collect();
    let grid = Grid::refined(&surface, &girths, &levels, MESH_ACCURACY_MM);
    let mut mesh = grid.mesh();
    let on = |(theta, z): (f64, f64)| grid.point(theta, z);
    let curve = |points: Vec<(f64, f64)>| -> Vec<Point3> { points.into_iter().map(on).collect() };
    let marks = &mut mesh.marks;
    marks.levels = Level::ALL.into_iter().zip(levels).collect();
    marks.landmarks = Landmark::ALL
        .into_iter()
        .map(|l| (l, on(torso.landmark(l))))
        .collect();
    marks.rim = [Side::Left, Side::Right].map(|side| curve(torso.rim(side)));
    marks.neck_base = curve(torso.neck_base());
    marks.neck_centre = torso.neck_centre();
    marks.neck_lean = torso.neck_lean();
    marks.floor = torso.floor();
    marks.seat = torso.seat();
    marks.stature = torso.stature();
    mesh
}
