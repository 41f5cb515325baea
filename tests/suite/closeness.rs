//! How far points are from a solid's triangles: the triangles near a point looked up in boxes, the
//! nearest place of each by the condition that defines it.

use std::collections::HashMap;

use layfigure::geom::Point3;
use layfigure::geom::triangle::nearest;
use layfigure::mesh::Mesh;

/// Edge of the boxes, mm. A point further than this from every triangle is only known to be far.
const BOX_MM: f64 = 6.0;

/// Whether `q` is the place of a triangle nearest to `p`: it is one of the triangle's own points, and no
/// corner lies beyond the plane through `q` across the way to `p` (the projection theorem of convex
/// sets). Returns how much of either is missing, mm and mm².
pub(crate) fn misses(p: Point3, q: Point3, corners: [Point3; 3]) -> (f64, f64) {
    let [a, b, c] = corners;
    // Areas of the three parts that `q` makes of the triangle add up to it.
    let area = |a: Point3, b: Point3, c: Point3| (b - a).cross(&(c - a)).norm();
    let whole = area(a, b, c);
    let parts = area(q, a, b) + area(q, b, c) + area(q, c, a);
    let longest = [(a, b), (b, c), (c, a)]
        .map(|(a, b)| (b - a).norm())
        .into_iter()
        .fold(1e-12, f64::max);
    let outside = (parts - whole) / longest;
    let beyond = corners.map(|v| (p - q).dot(&(v - q)));
    (outside, beyond.into_iter().fold(0.0, f64::max))
}

/// Triangles by the boxes that they reach into.
pub(crate) struct Triangles<'a> {
    mesh: &'a Mesh,
    boxes: HashMap<[i32; 3], Vec<usize>>,
}

fn place(p: Point3) -> [i32; 3] {
    [p.x, p.y, p.z].map(|v| (v / BOX_MM).floor() as i32)
}

impl<'a> Triangles<'a> {
    pub(crate) fn of(mesh: &'a Mesh) -> Self {
        let mut boxes: HashMap<[i32; 3], Vec<usize>> = HashMap::new();
        for t in 0..mesh.triangles.len() {
            let [a, b, c] = mesh.corners(t);
            let low = place(a.inf(&b).inf(&c));
            let high = place(a.sup(&b).sup(&c));
            for x in low[0]..=high[0] {
                for y in low[1]..=high[1] {
                    for z in low[2]..=high[2] {
                        boxes.entry([x, y, z]).or_default().push(t);
                    }
                }
            }
        }
        Self { mesh, boxes }
    }

    /// Distance of a point from the nearest triangle, mm; infinite where that is further than `reach`,
    /// which is less than a box.
    pub(crate) fn distance(&self, p: Point3, reach: f64) -> f64 {
        assert!(reach < BOX_MM);
        let by = layfigure::geom::Vector3::new(reach, reach, reach);
        let (low, high) = (place(p - by), place(p + by));
        let mut least = f64::INFINITY;
        for x in low[0]..=high[0] {
            for y in low[1]..=high[1] {
                for z in low[2]..=high[2] {
                    for t in self.boxes.get(&[x, y, z]).into_iter().flatten() {
                        let q = nearest(p, self.mesh.corners(*t));
                        least = least.min((p - q).norm());
                    }
                }
            }
        }
        if least <= reach { least } else { f64::INFINITY }
    }
}
