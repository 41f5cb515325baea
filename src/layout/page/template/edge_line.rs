//! The straight strokes of a piece that begin at its edge, and whether half a template can show them.

use crate::geom::Outline;
use crate::geom::Point2;
use crate::stack::Mark;

/// A mark that begins this near to the outline is a mark of the edge, mm.
pub(super) const AT_EDGE: f64 = 0.05;
/// A mark ends so far before the fold, mm, and no bar is shorter on either side of its stem.
pub(super) const FOLD_ROOM: f64 = 0.6;
const LEAST_BAR: f64 = 1.2;

/// Whether the edge marks of a piece can be drawn on half a template: none runs over the fold.
pub(super) fn can_be_folded(marks: &[Mark], outline: &Outline) -> bool {
    edge_lines(marks).windows(2).all(|pair| {
        let [(a, b), (c, d)] = [pair[0], pair[1]];
        let is_mark = is_bar(b, (c, d)) && outline.distance(a) <= AT_EDGE;
        let over = a.x * b.x < 0.0;
        let near = a.x.abs().min(b.x.abs());
        !is_mark || !over && near >= FOLD_ROOM + LEAST_BAR
    })
}

/// The straight strokes of a piece.
pub(super) fn edge_lines(marks: &[Mark]) -> Vec<(Point2, Point2)> {
    let lines = marks.iter().filter_map(|m| match m {
        Mark::Line(points) if points.len() == 2 => Some((points[0], points[1])),
        _ => None,
    });
    lines.collect()
}

/// Whether a stroke is the bar at the end of another one.
pub(super) fn is_bar(end: Point2, (c, d): (Point2, Point2)) -> bool {
    (c + (d - c) / 2.0 - end).norm() < AT_EDGE
}
