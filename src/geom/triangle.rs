//! Triangles in space.

use super::Point3;

/// The point of the triangle `a`, `b`, `c` nearest to `p`, all in mm: found by the region (corner,
/// side or face) in which `p` lies over it (Ericson, *Real-Time Collision Detection*, 2005, section
/// 5.1.5). A triangle without area gives a point of one of its sides.
#[must_use]
pub fn nearest(p: Point3, [a, b, c]: [Point3; 3]) -> Point3 {
    let (ab, ac) = (b - a, c - a);
    let ap = p - a;
    let (d1, d2) = (ab.dot(&ap), ac.dot(&ap));
    if d1 <= 0.0 && d2 <= 0.0 {
        return a;
    }
    let bp = p - b;
    let (d3, d4) = (ab.dot(&bp), ac.dot(&bp));
    if d3 >= 0.0 && d4 <= d3 {
        return b;
    }
    // Over the side from a to b.
    let vc = d1 * d4 - d3 * d2;
    if vc <= 0.0 && d1 >= 0.0 && d3 <= 0.0 {
        return a + ab * (d1 / (d1 - d3));
    }
    let cp = p - c;
    let (d5, d6) = (ab.dot(&cp), ac.dot(&cp));
    if d6 >= 0.0 && d5 <= d6 {
        return c;
    }
    // Over the side from a to c.
    let vb = d5 * d2 - d1 * d6;
    if vb <= 0.0 && d2 >= 0.0 && d6 <= 0.0 {
        return a + ac * (d2 / (d2 - d6));
    }
    // Over the side from b to c.
    let va = d3 * d6 - d5 * d4;
    if va <= 0.0 && d4 - d3 >= 0.0 && d5 - d6 >= 0.0 {
        return b + (c - b) * ((d4 - d3) / ((d4 - d3) + (d5 - d6)));
    }
    let whole = va + vb + vc;
    a + ab * (vb / whole) + ac * (vc / whole)
}
