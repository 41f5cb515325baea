//! Rings instead of full layers: openings that save stock and weight.

use super::{Dowel, Hole, Layer, Pole};
use crate::geom::offset::{Region, difference, intersection, offset};
use crate::geom::{Outline, Point2, Vector2};
use crate::tolerance::{ARC_ACCURACY_MM, FOLD_TOLERANCE_MM, OUTLINE_ACCURACY_MM};

/// Openings smaller than this save nothing, mm². Our choice.
const LEAST_OPENING_MM2: f64 = 2500.0;

/// Opens every layer but the lowest and the topmost one, which carry base board and cap.
///
/// An opening stays `wall` mm inside the layer's own outline and those of its neighbours, so that
/// glued rings lie on each other all round. Dowels and pole keep `edge` mm of matter round their
/// holes; a web as wide as the wall runs from side to side through the pole's, and from each dowel's the
/// shortest way to the edge, so that no hole stands on an island. Of a layer that is the same on both sides the
/// opening is too, webs and all: then it can be traced by half.
pub(crate) fn open(
    layers: &mut [Layer],
    wall: f64,
    edge: f64,
    dowels: &[Dowel],
    pole: Option<Pole>,
) {
    let outlines: Vec<Outline> = layers.iter().map(|l| l.pieces[0].outline.clone()).collect();
    let count = layers.len();
    for (i, layer) in layers.iter_mut().enumerate() {
        if i == 0 || i + 1 == count {
            continue;
        }
        let whole = |k: usize| [Region::solid(outlines[k].clone())];
        let common = intersection(&intersection(&whole(i), &whole(i - 1)), &whole(i + 1));
        let mut opening = offset(&common, -wall);
        let holes = dowels
            .iter()
            .filter(|d| (d.first_layer..=d.last_layer).contains(&layer.index))
            .map(|d| (d.at, d.hole, false));
        let through = pole
            .iter()
            .filter(|p| p.passes(layer.index))
            .map(|p| (p.at, p.diameter, true));
        let Some((low, high)) = outlines[i].bounds() else {
            continue;
        };
        for (at, diameter, both_ways) in holes.chain(through) {
            let pad = Outline::circle(at, diameter / 2.0 + edge, ARC_ACCURACY_MM);
            opening = difference(&opening, &[Region::solid(pad)]);
            let ends = if both_ways {
                Some((Point2::new(low.x, at.y), Point2::new(high.x, at.y)))
            } else {
                outlines[i].nearest(at).map(|(edge, _)| (at, edge))
            };
            if let Some((from, to)) = ends {
                opening = difference(&opening, &[Region::solid(web(from, to, wall))]);
            }
        }
        if is_even(&outlines[i]) {
            opening = intersection(&opening, &turned_over(&opening));
        }
        let piece = &mut layer.pieces[0];
        for region in opening {
            let hole = region
                .outer
                .simplified(OUTLINE_ACCURACY_MM)
                .counter_clockwise();
            if region.holes.is_empty() && hole.area() >= LEAST_OPENING_MM2 {
                piece.area -= hole.area();
                piece.holes.push(Hole::Opening(hole));
            }
        }
    }
}

/// Whether an outline is the same on both sides.
fn is_even(outline: &Outline) -> bool {
    let over = |p: &Point2| outline.distance(Point2::new(-p.x, p.y));
    outline.points.iter().all(|p| over(p) <= FOLD_TOLERANCE_MM)
}

/// What it is with left and right exchanged.
fn turned_over(regions: &[Region]) -> Vec<Region> {
    let over = |o: &Outline| Outline {
        points: o
            .points
            .iter()
            .rev()
            .map(|p| Point2::new(-p.x, p.y))
            .collect(),
    };
    let turned = |r: &Region| Region {
        outer: over(&r.outer),
        holes: r.holes.iter().map(over).collect(),
    };
    regions.iter().map(turned).collect()
}

/// A bar of the given width along a line.
fn web(from: Point2, to: Point2, width: f64) -> Outline {
    let along = to - from;
    let side = Vector2::new(-along.y, along.x) * (width / 2.0 / along.norm());
    Outline::new(vec![from - side, to - side, to + side, from + side])
}
