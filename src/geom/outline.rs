//! Closed polygons: area, perimeter, what lies inside, orientation, and dropping needless corners.

use super::{Outline, Point2, Vector2};
use crate::tolerance::SAME_POINT_EPS_MM;

/// Twice the signed area of the triangle `a b c`, mm²: positive when it turns left.
#[must_use]
pub fn turn(a: Point2, b: Point2, c: Point2) -> f64 {
    (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)
}

/// From where to where, as shares of the way from `a` to `b`, a segment runs inside the rectangle
/// between two corners (Liang and Barsky 1984, *A new concept and method for line clipping*, ACM
/// Transactions on Graphics 3, 1-22; from memory); nothing beside it or along its edge.
#[must_use]
pub fn share_in_rectangle(a: Point2, b: Point2, low: Point2, high: Point2) -> Option<(f64, f64)> {
    let d = b - a;
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (p, v, l, h) in [(a.x, d.x, low.x, high.x), (a.y, d.y, low.y, high.y)] {
        if v == 0.0 {
            if p <= l || p >= h {
                return None;
            }
            continue;
        }
        let (s, t) = ((l - p) / v, (h - p) / v);
        from = from.max(s.min(t));
        to = to.min(s.max(t));
    }
    (from < to).then_some((from, to))
}

/// The point of the segment `a b` nearest to `p`.
#[must_use]
pub fn nearest_on_segment(p: Point2, a: Point2, b: Point2) -> Point2 {
    let d = b - a;
    let length2 = d.norm_squared();
    if length2 <= 0.0 {
        return a;
    }
    a + d * ((p - a).dot(&d) / length2).clamp(0.0, 1.0)
}

impl Outline {
    /// An outline of these corners, as they come.
    #[must_use]
    pub const fn new(points: Vec<Point2>) -> Self {
        Self { points }
    }

    /// A regular polygon inscribed in a circle, its chords no further than `accuracy` (mm) from it.
    #[must_use]
    pub fn circle(centre: Point2, radius: f64, accuracy: f64) -> Self {
        let half = libm::acos((1.0 - accuracy / radius).clamp(-1.0, 1.0));
        let n = ((std::f64::consts::PI / half).ceil()).clamp(8.0, 720.0) as usize;
        let points = (0..n)
            .map(|i| {
                let angle = std::f64::consts::TAU * i as f64 / n as f64;
                centre + Vector2::new(libm::cos(angle), libm::sin(angle)) * radius
            })
            .collect();
        Self { points }
    }

    /// The sides, each from its first to its second corner, the closing one included.
    pub fn sides(&self) -> impl Iterator<Item = (Point2, Point2)> + '_ {
        let n = self.points.len();
        (0..n).map(move |i| (self.points[i], self.points[(i + 1) % n]))
    }

    /// Signed area, mm²: positive when counter-clockwise (shoelace formula).
    #[must_use]
    pub fn area(&self) -> f64 {
        let Some(&o) = self.points.first() else {
            return 0.0;
        };
        self.sides().map(|(a, b)| turn(o, a, b)).sum::<f64>() / 2.0
    }

    /// Length of all sides, mm.
    #[must_use]
    pub fn perimeter(&self) -> f64 {
        self.sides().map(|(a, b)| (b - a).norm()).sum()
    }

    /// Centre of the area; the mean of the corners when there is no area.
    #[must_use]
    pub fn centroid(&self) -> Point2 {
        let Some(&o) = self.points.first() else {
            return Point2::origin();
        };
        let mut weight = 0.0;
        let mut sum = Vector2::zeros();
        for (a, b) in self.sides() {
            let w = turn(o, a, b);
            weight += w;
            sum += ((a - o) + (b - o)) * (w / 3.0);
        }
        if weight.abs() > SAME_POINT_EPS_MM {
            o + sum / weight
        } else {
            let all: Vector2 = self.points.iter().map(|p| p.coords).sum();
            Point2::from(all / self.points.len() as f64)
        }
    }

    /// Lower left and upper right corner of the box round it; `None` when it has no points.
    #[must_use]
    pub fn bounds(&self) -> Option<(Point2, Point2)> {
        let first = *self.points.first()?;
        Some(self.points.iter().fold((first, first), |(lo, hi), p| {
            (
                Point2::new(lo.x.min(p.x), lo.y.min(p.y)),
                Point2::new(hi.x.max(p.x), hi.y.max(p.y)),
            )
        }))
    }

    /// Whether `p` lies inside (even-odd rule; a point on the boundary may fall either way).
    #[must_use]
    pub fn contains(&self, p: Point2) -> bool {
        let mut inside = false;
        for (a, b) in self.sides() {
            if (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x) {
                inside = !inside;
            }
        }
        inside
    }

    /// Whether the boundary runs through the rectangle between these two corners; along its edge it
    /// does not.
    #[must_use]
    pub fn meets(&self, low: Point2, high: Point2) -> bool {
        self.sides()
            .any(|(a, b)| share_in_rectangle(a, b, low, high).is_some())
    }

    /// Nearest point of the boundary to `p`, and the number of its side; `None` when it is empty.
    #[must_use]
    pub fn nearest(&self, p: Point2) -> Option<(Point2, usize)> {
        let mut best: Option<(f64, Point2, usize)> = None;
        for (i, (a, b)) in self.sides().enumerate() {
            let q = nearest_on_segment(p, a, b);
            let d = (q - p).norm_squared();
            if best.is_none_or(|(least, ..)| d < least) {
                best = Some((d, q, i));
            }
        }
        best.map(|(_, q, i)| (q, i))
    }

    /// Distance of `p` from the boundary, mm, inside or outside; infinite when it is empty.
    #[must_use]
    pub fn distance(&self, p: Point2) -> f64 {
        self.nearest(p)
            .map_or(f64::INFINITY, |(q, _)| (q - p).norm())
    }

    /// Whether it has at least three corners, no corner on the next one, and no two sides that
    /// touch or cross but at the corner they share.
    #[must_use]
    pub fn is_simple(&self) -> bool {
        let n = self.points.len();
        if n < 3
            || self
                .points
                .iter()
                .any(|p| !p.x.is_finite() || !p.y.is_finite())
        {
            return false;
        }
        if self
            .sides()
            .any(|(a, b)| (b - a).norm() <= SAME_POINT_EPS_MM)
        {
            return false;
        }
        // Sweep along x: only sides whose spans of x overlap are compared.
        let sides: Vec<(Point2, Point2)> = self.sides().collect();
        let mut order: Vec<usize> = (0..n).collect();
        order.sort_by(|&i, &j| {
            let left = |k: usize| sides[k].0.x.min(sides[k].1.x);
            left(i).total_cmp(&left(j)).then(i.cmp(&j))
        });
        for (k, &i) in order.iter().enumerate() {
            let right = sides[i].0.x.max(sides[i].1.x);
            for &j in &order[k + 1..] {
                if sides[j].0.x.min(sides[j].1.x) > right {
                    break;
                }
                let (lo, hi) = (i.min(j), i.max(j));
                if hi - lo == 1 || (lo == 0 && hi == n - 1) {
                    // Neighbours share a corner: they may not fold back on each other.
                    let (first, second) = if hi - lo == 1 { (lo, hi) } else { (hi, lo) };
                    let (a, b, c) = (sides[first].0, sides[first].1, sides[second].1);
                    if turn(a, b, c).abs() <= SAME_POINT_EPS_MM * (b - a).norm()
                        && (b - a).dot(&(c - b)) < 0.0
                    {
                        return false;
                    }
                } else if meet(sides[i], sides[j]) {
                    return false;
                }
            }
        }
        true
    }

    /// The same outline, counter-clockwise.
    #[must_use]
    pub fn counter_clockwise(mut self) -> Self {
        if self.area() < 0.0 {
            self.points.reverse();
        }
        self
    }

    /// The same outline without corners that repeat the one before (or the first, at the end).
    #[must_use]
    pub fn without_repeats(&self, distance: f64) -> Self {
        let mut points: Vec<Point2> = Vec::with_capacity(self.points.len());
        for &p in &self.points {
            if points.last().is_none_or(|q| (p - q).norm() > distance) {
                points.push(p);
            }
        }
        while points.len() > 1 && (points[0] - points[points.len() - 1]).norm() <= distance {
            points.pop();
        }
        Self { points }
    }

    /// The same outline with as few corners as keep every dropped corner within `accuracy` (mm) of
    /// the side that replaces it (Ramer 1972; Douglas and Peucker 1973), and so every point of
    /// either boundary within `accuracy` of the other. The two corners that split the ring are its
    /// leftmost one and the one furthest from it, so the result does not hang on where the ring
    /// began. If dropping corners would make sides cross, the outline is returned unchanged but for
    /// repeated corners.
    #[must_use]
    pub fn simplified(&self, accuracy: f64) -> Self {
        let clean = self.without_repeats(SAME_POINT_EPS_MM);
        let n = clean.points.len();
        if n < 4 {
            return clean;
        }
        let start = (0..n)
            .min_by(|&i, &j| {
                let (a, b) = (clean.points[i], clean.points[j]);
                a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y))
            })
            .unwrap_or(0);
        let mut ring: Vec<Point2> = clean.points[start..].to_vec();
        ring.extend_from_slice(&clean.points[..=start]);
        let far = (1..n)
            .max_by(|&i, &j| {
                (ring[i] - ring[0])
                    .norm_squared()
                    .total_cmp(&(ring[j] - ring[0]).norm_squared())
            })
            .unwrap_or(1);
        let mut keep = vec![false; n + 1];
        keep[0] = true;
        keep[far] = true;
        let mut work = vec![(0, far), (far, n)];
        while let Some((from, to)) = work.pop() {
            let worst = (from + 1..to)
                .map(|i| {
                    let q = nearest_on_segment(ring[i], ring[from], ring[to]);
                    ((ring[i] - q).norm_squared(), i)
                })
                .max_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1)));
            if let Some((d2, i)) = worst
                && d2 > accuracy * accuracy
            {
                keep[i] = true;
                work.push((from, i));
                work.push((i, to));
            }
        }
        let points: Vec<Point2> = (0..n).filter(|&i| keep[i]).map(|i| ring[i]).collect();
        let simple = Self { points };
        if simple.points.len() >= 3 && simple.is_simple() {
            simple
        } else {
            clean
        }
    }

    /// The same outline with corners put in so that no side is longer than `step` mm.
    #[must_use]
    pub fn densified(&self, step: f64) -> Self {
        let mut points = Vec::new();
        for (a, b) in self.sides() {
            let n = ((b - a).norm() / step).ceil().max(1.0) as usize;
            points.extend((0..n).map(|i| a + (b - a) * (i as f64 / n as f64)));
        }
        Self { points }
    }

    /// The outline enlarged about the origin.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        Self {
            points: self.points.iter().map(|p| p * factor).collect(),
        }
    }

    /// The outermost point in direction `angle` (radians) as seen from `from`: where the ray leaves
    /// the outline for the last time. `None` when the ray misses it.
    #[must_use]
    pub fn ray(&self, from: Point2, angle: f64) -> Option<f64> {
        let e = Vector2::new(libm::cos(angle), libm::sin(angle));
        let mut best: Option<f64> = None;
        for (a, b) in self.sides() {
            let (pa, pb) = (a - from, b - from);
            let (ca, cb) = (e.perp(&pa), e.perp(&pb));
            if (ca > 0.0) == (cb > 0.0) {
                continue;
            }
            let q = pa + (pb - pa) * (ca / (ca - cb));
            let r = q.dot(&e);
            if r >= 0.0 && best.is_none_or(|most| r > most) {
                best = Some(r);
            }
        }
        best
    }

    /// The point `arc` mm further round (counter-clockwise on a counter-clockwise outline) from the
    /// point `p` of side number `side`, and the number of its side.
    #[must_use]
    pub fn along(&self, p: Point2, side: usize, arc: f64) -> (Point2, usize) {
        let n = self.points.len();
        let total = self.perimeter();
        if n < 2 || total <= 0.0 {
            return (p, side);
        }
        let mut left = arc.rem_euclid(total);
        let (mut from, mut i) = (p, side % n);
        for _ in 0..=n {
            let to = self.points[(i + 1) % n];
            let length = (to - from).norm();
            if left <= length {
                let f = if length > 0.0 { left / length } else { 0.0 };
                return (from + (to - from) * f, i);
            }
            left -= length;
            from = to;
            i = (i + 1) % n;
        }
        (from, i)
    }
}

/// Whether two segments have a point in common.
fn meet((a, b): (Point2, Point2), (c, d): (Point2, Point2)) -> bool {
    if a.y.max(b.y) < c.y.min(d.y) || c.y.max(d.y) < a.y.min(b.y) {
        return false;
    }
    let (d1, d2) = (turn(c, d, a), turn(c, d, b));
    let (d3, d4) = (turn(a, b, c), turn(a, b, d));
    if d1 * d2 < 0.0 && d3 * d4 < 0.0 {
        return true;
    }
    [(a, c, d), (b, c, d), (c, a, b), (d, a, b)]
        .into_iter()
        .any(|(p, q, r)| (nearest_on_segment(p, q, r) - p).norm() <= SAME_POINT_EPS_MM)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn square() -> Outline {
        Outline::new(
            [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]
                .map(|(x, y)| Point2::new(x, y))
                .to_vec(),
        )
    }

    #[test]
    fn square_measures() {
        let s = square();
        assert_relative_eq!(s.area(), 100.0);
        assert_relative_eq!(s.perimeter(), 40.0);
        assert_relative_eq!(s.centroid(), Point2::new(5.0, 5.0));
        assert!(s.contains(Point2::new(1.0, 9.0)));
        assert!(!s.contains(Point2::new(-1.0, 9.0)));
        assert_relative_eq!(s.distance(Point2::new(5.0, 8.0)), 2.0);
        assert_relative_eq!(s.ray(Point2::new(5.0, 5.0), 0.0).unwrap(), 5.0);
        let (p, side) = s.along(Point2::new(5.0, 0.0), 0, 37.0);
        assert_relative_eq!(p, Point2::new(2.0, 0.0), epsilon = 1e-12);
        assert_eq!(side, 0);
        let turned = Outline::new(s.points.iter().rev().copied().collect());
        assert_relative_eq!(turned.area(), -100.0);
        assert_relative_eq!(turned.counter_clockwise().area(), 100.0);
    }

    #[test]
    fn crossing_and_touching_are_not_simple() {
        let p = |x: f64, y: f64| Point2::new(x, y);
        assert!(square().is_simple());
        let bow = Outline::new(vec![p(0., 0.), p(10., 10.), p(10., 0.), p(0., 10.)]);
        assert!(!bow.is_simple());
        let spike = Outline::new(vec![p(0., 0.), p(10., 0.), p(5., 0.), p(5., 9.)]);
        assert!(!spike.is_simple());
        let touching = Outline::new(vec![
            p(0., 0.),
            p(10., 0.),
            p(10., 10.),
            p(5., 0.),
            p(0., 10.),
        ]);
        assert!(!touching.is_simple());
        let repeated = Outline::new(vec![p(0., 0.), p(10., 0.), p(10., 0.), p(5., 9.)]);
        assert!(!repeated.is_simple());
    }

    #[test]
    fn simplify_keeps_its_bound_both_ways() {
        let fine = Outline::circle(Point2::new(3.0, -2.0), 120.0, 1e-4);
        let few = fine.simplified(0.02);
        assert!(few.points.len() * 2 < fine.points.len());
        for p in &fine.points {
            assert!(few.distance(*p) <= 0.02 + 1e-12);
        }
        for p in &few.densified(0.5).points {
            assert!(fine.distance(*p) <= 0.02 + 1e-12);
        }
        // It does not matter where the ring begins.
        let mut turned = fine.clone();
        turned.points.rotate_left(77);
        assert_eq!(turned.simplified(0.02), few);
    }
}
