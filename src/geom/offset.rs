//! Outlines moved in and out, put together, cut from each other: the polygon engine is the `geo`
//! crate; this is the one file that knows it.

use geo::algorithm::buffer::{BufferStyle, LineJoin};
use geo::{BooleanOps, Buffer, Coord, LineString, MultiPolygon, Polygon};

use super::{Outline, Point2};
use crate::tolerance::{ARC_ACCURACY_MM, SAME_POINT_EPS_MM};

/// A flat shape: one outer boundary and the openings in it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Region {
    /// Outer boundary, counter-clockwise.
    pub outer: Outline,
    /// Openings, counter-clockwise too.
    pub holes: Vec<Outline>,
}

impl Region {
    /// A shape without openings.
    #[must_use]
    pub const fn solid(outer: Outline) -> Self {
        Self {
            outer,
            holes: Vec::new(),
        }
    }

    /// Area, mm², openings not counted.
    #[must_use]
    pub fn area(&self) -> f64 {
        self.outer.area().abs() - self.holes.iter().map(|h| h.area().abs()).sum::<f64>()
    }

    /// Whether `p` lies in the shape.
    #[must_use]
    pub fn contains(&self, p: Point2) -> bool {
        self.outer.contains(p) && !self.holes.iter().any(|h| h.contains(p))
    }

    /// Distance from `p` to the nearest boundary, outer or of an opening.
    #[must_use]
    pub fn distance(&self, p: Point2) -> f64 {
        self.holes
            .iter()
            .map(|h| h.distance(p))
            .fold(self.outer.distance(p), f64::min)
    }
}

/// All points further inside than `-distance` (when negative), or within `distance` of the shapes
/// (when positive), with round corners whose chord error is at most
/// [`ARC_ACCURACY_MM`]. Inwards, a shape may fall into several or vanish: whatever is left comes
/// back, largest first.
#[must_use]
pub fn offset(shapes: &[Region], distance: f64) -> Vec<Region> {
    let input = to_geo(shapes);
    if distance.abs() <= SAME_POINT_EPS_MM {
        return from_geo(&input);
    }
    // A chord over an angle leaves a sagitta of r angle^2 / 8. The engine rounds the number of
    // chords down, so a chord may span up to twice the angle that it is given.
    let ratio = (2.0 * ARC_ACCURACY_MM / distance.abs()).sqrt().min(0.5);
    let style = BufferStyle::new(distance).line_join(LineJoin::Round(ratio));
    from_geo(&input.buffer_with_style(style))
}

/// What lies in both.
#[must_use]
pub fn intersection(a: &[Region], b: &[Region]) -> Vec<Region> {
    from_geo(&to_geo(a).intersection(&to_geo(b)))
}

/// What lies in either.
#[must_use]
pub fn union(a: &[Region], b: &[Region]) -> Vec<Region> {
    from_geo(&to_geo(a).union(&to_geo(b)))
}

/// What lies in `a` but not in `b`.
#[must_use]
pub fn difference(a: &[Region], b: &[Region]) -> Vec<Region> {
    from_geo(&to_geo(a).difference(&to_geo(b)))
}

/// The stretches of a closed line that lie in the shapes.
#[must_use]
pub fn stretches_inside(line: &Outline, shapes: &[Region]) -> Vec<Vec<Point2>> {
    let lines = geo::MultiLineString::new(vec![ring(line)]);
    to_geo(shapes)
        .clip(&lines, false)
        .iter()
        .map(|part| part.coords().map(|c| Point2::new(c.x, c.y)).collect())
        .collect()
}

/// Total area of shapes that do not overlap, mm².
#[must_use]
pub fn area(shapes: &[Region]) -> f64 {
    shapes.iter().map(Region::area).sum()
}

fn ring(outline: &Outline) -> LineString<f64> {
    let mut coords: Vec<Coord<f64>> = outline
        .points
        .iter()
        .map(|p| Coord { x: p.x, y: p.y })
        .collect();
    if let Some(&first) = coords.first() {
        coords.push(first);
    }
    LineString::new(coords)
}

fn to_geo(shapes: &[Region]) -> MultiPolygon<f64> {
    MultiPolygon::new(
        shapes
            .iter()
            .filter(|s| s.outer.points.len() >= 3)
            .map(|s| Polygon::new(ring(&s.outer), s.holes.iter().map(ring).collect()))
            .collect(),
    )
}

fn outline(line: &LineString<f64>) -> Outline {
    let points = line.coords().map(|c| Point2::new(c.x, c.y)).collect();
    Outline { points }
        .without_repeats(SAME_POINT_EPS_MM)
        .counter_clockwise()
}

fn from_geo(shapes: &MultiPolygon<f64>) -> Vec<Region> {
    let mut out: Vec<Region> = shapes
        .iter()
        .map(|p| Region {
            outer: outline(p.exterior()),
            holes: p
                .interiors()
                .iter()
                .map(outline)
                .filter(|h| h.points.len() >= 3)
                .collect(),
        })
        .filter(|r| r.outer.points.len() >= 3)
        .collect();
    out.sort_by(|a, b| b.area().total_cmp(&a.area()));
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn rectangle(w: f64, h: f64) -> Region {
        Region::solid(Outline::new(vec![
            Point2::new(0.0, 0.0),
            Point2::new(w, 0.0),
            Point2::new(w, h),
            Point2::new(0.0, h),
        ]))
    }

    /// Steiner's formulas: a convex outline of perimeter U and area A, moved out by t, has
    /// perimeter U + 2 pi t and area A + U t + pi t^2.
    #[test]
    fn parallel_curve_of_a_rectangle() {
        let out = offset(&[rectangle(200.0, 100.0)], 8.0);
        assert_eq!(out.len(), 1);
        let pi = std::f64::consts::PI;
        assert_relative_eq!(out[0].outer.perimeter(), 600.0 + 16.0 * pi, epsilon = 0.05);
        assert_relative_eq!(out[0].area(), 20000.0 + 4800.0 + 64.0 * pi, epsilon = 0.4);
        let back = offset(&out, -8.0);
        assert_relative_eq!(back[0].area(), 20000.0, epsilon = 1.0);
    }

    #[test]
    fn a_waist_too_thin_falls_apart_and_vanishes() {
        let p = |x: f64, y: f64| Point2::new(x, y);
        let dumbbell = Region::solid(Outline::new(vec![
            p(0., 0.),
            p(40., 0.),
            p(40., 18.),
            p(60., 18.),
            p(60., 0.),
            p(100., 0.),
            p(100., 40.),
            p(60., 40.),
            p(60., 22.),
            p(40., 22.),
            p(40., 40.),
            p(0., 40.),
        ]));
        assert_eq!(offset(std::slice::from_ref(&dumbbell), -1.0).len(), 1);
        assert_eq!(offset(std::slice::from_ref(&dumbbell), -3.0).len(), 2);
        assert!(offset(&[dumbbell], -21.0).is_empty());
    }

    #[test]
    fn openings_survive() {
        let ring = difference(
            &[rectangle(100.0, 100.0)],
            &[Region::solid(Outline::circle(
                Point2::new(50.0, 50.0),
                20.0,
                0.001,
            ))],
        );
        assert_eq!(ring[0].holes.len(), 1);
        assert!(ring[0].outer.area() > 0.0 && ring[0].holes[0].area() > 0.0);
        let thinner = offset(&ring, -5.0);
        let pi = std::f64::consts::PI;
        assert_relative_eq!(thinner[0].area(), 8100.0 - 625.0 * pi, epsilon = 2.0);
        assert!(!thinner[0].contains(Point2::new(50.0, 50.0)));
        assert_relative_eq!(
            thinner[0].distance(Point2::new(50.0, 50.0)),
            25.0,
            epsilon = 0.02
        );
    }
}
