//! Whether one line lies inside another with room to trim the paper down from the one to the other.

use crate::geom::banded::Banded;
use crate::layout::page::template::hole::DrawnHole;
use crate::layout::page::template::line::TracedLine;
use crate::tolerance::PUNCH_TOLERANCE_MM;
use crate::tolerance::TRIM_TOLERANCE_MM;

/// A line with its sides by height: it is asked about by every other one.
pub(super) struct NestingLine<'a> {
    line: &'a TracedLine,
    outline: Banded,
    /// Halves end on the fold, which is no line of theirs.
    path: Banded,
}

impl<'a> NestingLine<'a> {
    pub(super) fn of(line: &'a TracedLine) -> Self {
        let last = line.path.last().zip(line.path.first());
        let last = last.filter(|_| !line.half).map(|(a, b)| (*a, *b));
        let sides = line.path.windows(2).map(|s| (s[0], s[1]));
        Self {
            line,
            outline: line.outline.banded(),
            path: Banded::new(&sides.chain(last).collect::<Vec<_>>()),
        }
    }
}

/// Whether the second of two lines may lie on a template inside the first: with room all round (of halves
/// but along the fold, which they share), the same holes inside the inner one, and no hole on either line.
pub(super) fn lies_inside(outer: &NestingLine<'_>, inner: &NestingLine<'_>) -> bool {
    outer.line.half == inner.line.half
        && !outer.line.is_alone()
        && !inner.line.is_alone()
        && boxes_nest(outer.line, inner.line)
        && holes_go(outer, inner)
        && is_inside(outer, inner)
        && is_clear(inner, outer)
        && is_clear(outer, inner)
}

/// Whether the box of the inner one leaves room: most pairs are told by this.
fn boxes_nest(outer: &TracedLine, inner: &TracedLine) -> bool {
    let ((a, b), (c, d)) = (outer.bounds, inner.bounds);
    let room = TRIM_TOLERANCE_MM;
    let left = outer.half || c.x - a.x >= room;
    left && c.y - a.y >= room && b.x - d.x >= room && b.y - d.y >= room
}

/// Whether both layers have the same holes inside the inner line, so that every hole on the paper belongs to the layer
/// that is traced; and whether those in the strip between the lines are clear of both.
fn holes_go(outer: &NestingLine<'_>, inner: &NestingLine<'_>) -> bool {
    let has = |line: &TracedLine, hole: &DrawnHole| line.holes.iter().any(|h| h.is_same(hole));
    let clear = |hole: &DrawnHole| {
        let room = hole.diameter / 2.0 + PUNCH_TOLERANCE_MM;
        !inner.path.is_near(hole.at, room)
    };
    inner.line.holes.iter().all(|h| has(outer.line, h))
        && outer
            .line
            .holes
            .iter()
            .all(|h| has(inner.line, h) || (!inner.outline.contains(h.at) && clear(h)))
}

/// Whether every corner of the inner outline lies inside the outer one, and none of the outer one inside the inner one.
fn is_inside(outer: &NestingLine<'_>, inner: &NestingLine<'_>) -> bool {
    let (own, others) = (&inner.line.outline.points, &outer.line.outline.points);
    own.iter().all(|p| outer.outline.contains(*p))
        && !others.iter().any(|p| inner.outline.contains(*p))
}

/// Whether every corner of a line is far enough from another.
fn is_clear(line: &NestingLine<'_>, other: &NestingLine<'_>) -> bool {
    let mut corners = line.line.path.iter();
    !corners.any(|p| other.path.is_near(*p, TRIM_TOLERANCE_MM))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Outline;
    use crate::geom::Point2;
    use crate::stack::Hole;
    use crate::stack::Piece;
    use crate::stack::PieceId;

    fn oval(a: f64, b: f64) -> Outline {
        let corner = |k: i32| {
            let (s, c) = libm::sincos(f64::from(k) * std::f64::consts::TAU / 200.0);
            Point2::new(a * c, b * s + 5.0)
        };
        Outline::new((0..200).map(corner).collect())
    }

    fn line(a: f64, b: f64, fold: bool, hole: Option<(f64, f64)>) -> TracedLine {
        let mut piece = Piece::blank(PieceId::layer(1), oval(a, b), vec![]);
        piece
            .holes
            .extend(hole.map(|(x, y)| Hole::round(Point2::new(x, y), 8.3)));
        TracedLine::of(0, &piece, "1".into(), fold).unwrap()
    }

    fn lies_inside(outer: &TracedLine, inner: &TracedLine) -> bool {
        super::lies_inside(&NestingLine::of(outer), &NestingLine::of(inner))
    }

    #[test]
    fn lines_need_room_all_round() {
        for fold in [false, true] {
            let outer = line(150.0, 100.0, fold, None);
            assert_eq!(outer.half, fold);
            assert!(lies_inside(&outer, &line(147.0, 97.0, fold, None)));
            assert!(!lies_inside(&outer, &line(149.0, 90.0, fold, None)));
            assert!(!lies_inside(&outer, &line(140.0, 99.0, fold, None)));
            assert!(!lies_inside(&outer, &line(170.0, 80.0, fold, None)));
            assert!(!lies_inside(&line(147.0, 97.0, fold, None), &outer));
        }
        assert!(!lies_inside(
            &line(150.0, 100.0, true, None),
            &line(120.0, 80.0, false, None)
        ));
    }

    #[test]
    fn a_hole_inside_a_line_is_one_of_its_layer() {
        for fold in [false, true] {
            let outer = |x: f64| line(150.0, 100.0, fold, Some((x, 5.0)));
            let inner = |hole| line(100.0, 70.0, fold, hole);
            assert!(lies_inside(&outer(80.0), &inner(Some((80.0, 5.0)))));
            assert!(!lies_inside(&outer(80.0), &inner(None)));
            assert!(!lies_inside(&outer(80.0), &inner(Some((60.0, 5.0)))));
            // In the strip between the lines, and too near the inner one.
            assert!(lies_inside(&outer(125.0), &inner(None)));
            assert!(lies_inside(&outer(-125.0), &inner(None)));
            assert!(!lies_inside(&outer(105.0), &inner(None)));
        }
        // On the fold the left one comes over on the right, but is another all the same.
        let outer = line(150.0, 100.0, true, Some((-80.0, 5.0)));
        let inner = line(100.0, 70.0, true, Some((80.0, 5.0)));
        assert!(!lies_inside(&outer, &inner));
    }
}
