//! How broad and how deep a solid is at every height: its outlines from the front and from the side.

use crate::mesh::Mesh;

/// Distance between the heights at which the outlines are traced, mm of the body.
const TRACE_STEP: f64 = 2.0;

/// Least and greatest `x` and `y` of the solid at heights `low`, `low + step`, ...
pub struct Silhouette {
    /// The heights, mm.
    pub z: Vec<f64>,
    /// Least and greatest x at each, mm.
    pub x: Vec<(f64, f64)>,
    /// Least and greatest y at each, mm.
    pub y: Vec<(f64, f64)>,
}

/// The silhouettes of a solid.
#[must_use]
pub fn silhouette(mesh: &Mesh) -> Silhouette {
    let (low, high) = mesh
        .vertices
        .iter()
        .map(|p| p.z)
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), z| {
            (l.min(z), h.max(z))
        });
    let count = ((high - low) / TRACE_STEP).ceil().max(1.0) as usize;
    let step = (high - low) / count as f64;
    let nothing = (f64::INFINITY, f64::NEG_INFINITY);
    let mut s = Silhouette {
        z: (0..=count).map(|i| low + step * i as f64).collect(),
        x: vec![nothing; count + 1],
        y: vec![nothing; count + 1],
    };
    for t in &mesh.triangles {
        for k in 0..3 {
            let (a, b) = (t[k], t[(k + 1) % 3]);
            let (a, b) = (mesh.vertices[a as usize], mesh.vertices[b as usize]);
            let (a, b) = if a.z <= b.z { (a, b) } else { (b, a) };
            let from = ((a.z - low) / step).ceil().max(0.0) as usize;
            let to = (((b.z - low) / step).floor() as usize).min(count);
            for i in from..=to {
                let rise = b.z - a.z;
                let ends = if rise > 0.0 {
                    let p = a + (b - a) * ((s.z[i] - a.z) / rise).clamp(0.0, 1.0);
                    [p, p]
                } else {
                    [a, b]
                };
                for p in ends {
                    s.x[i] = (s.x[i].0.min(p.x), s.x[i].1.max(p.x));
                    s.y[i] = (s.y[i].0.min(p.y), s.y[i].1.max(p.y));
                }
            }
        }
    }
    s
}

/// The closed line round an outline, up its far side and down its near one: how far across, and how
/// high. `widths` is what lies between the two at every height of `z`; heights that nothing reaches are
/// left out.
#[must_use]
pub fn around(z: &[f64], widths: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let rows = z.iter().zip(widths).filter(|(_, w)| w.0 <= w.1);
    let up = rows.clone().map(|(z, w)| (w.1, *z));
    up.chain(rows.rev().map(|(z, w)| (w.0, *z))).collect()
}

/// Least and greatest of all widths.
#[must_use]
pub fn extent(widths: &[(f64, f64)]) -> (f64, f64) {
    let all = widths.iter().filter(|w| w.0 <= w.1);
    all.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), w| {
        (l.min(w.0), h.max(w.1))
    })
}
