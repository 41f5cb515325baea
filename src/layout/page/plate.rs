//! The plates at both ends of the stack, which are no layers.

use crate::geom::Outline;
use crate::geom::Point2;
use crate::layout::bounds;
use crate::layout::page::Listed;
use crate::stack::Mark;
use crate::stack::Piece;
use crate::stack::Stack;
use crate::tolerance::ARC_ACCURACY_MM;

/// What the base board is called.
pub(super) const BASE: &str = "base board";
/// The circle of a flange's screws is this much wider than its pole, mm: floor flanges for pipes of
/// 3/4 and 1 in have theirs on about 67 and 74 mm (from memory).
const FLANGE: f64 = 40.0;
/// Arm of the crosses at those screws, mm.
const SCREW_ARM: f64 = 3.0;

/// Two strokes through a point.
fn cross(at: Point2, arm: f64) -> [Mark; 2] {
    [(arm, 0.0), (0.0, arm)].map(|(dx, dy)| {
        Mark::Line(vec![
            Point2::new(at.x - dx, at.y - dy),
            Point2::new(at.x + dx, at.y + dy),
        ])
    })
}

/// A plate outside the layer count; nothing when the stack has none.
pub(super) fn plate<'a>(outline: &Outline, what: &str, stack: &Stack) -> Option<Listed<'a>> {
    let (low, high) = bounds(&outline.points)?;
    if outline.points.len() < 3 {
        return None;
    }
    let middle = Point2::new((low.x + high.x) / 2.0, (low.y + high.y) / 2.0);
    let mut marks = vec![Mark::Text(middle, 5.0, what.to_owned())];
    let mut rounds = Vec::new();
    if let Some((at, diameter, ..)) = stack.pole {
        let arm = diameter / 2.0 + 5.0;
        let near = (at - middle).norm() < arm + 5.0;
        if near {
            marks[0] = Mark::Text(Point2::new(at.x, at.y - arm - 8.0), 5.0, what.to_owned());
        }
        if what == BASE {
            let out = (diameter + FLANGE) / 2.0 * std::f64::consts::FRAC_1_SQRT_2;
            // The pole goes down to the foot, so it passes the board.
            let lowest = stack.layers.first().map(|l| &l.pieces[0].rounds);
            let drilled = lowest.and_then(|r| r.iter().find(|(c, _)| *c == at));
            rounds.push((at, drilled.map_or(diameter, |(_, d)| *d)));
            for (x, y) in [(out, out), (-out, out), (-out, -out), (out, -out)] {
                let screw = Point2::new(at.x + x, at.y + y);
                marks.extend(cross(screw, SCREW_ARM));
            }
        }
        marks.extend(cross(at, arm));
    }
    Some(Listed {
        piece: std::borrow::Cow::Owned(Piece {
            id: what.replace(' ', "-"),
            outline: outline.clone(),
            holes: rounds
                .iter()
                .map(|(c, d): &(Point2, f64)| Outline::circle(*c, d / 2.0, ARC_ACCURACY_MM))
                .collect(),
            rounds,
            marks,
            area: 0.0,
        }),
        what: what.to_owned(),
        brief: what.to_owned(),
        layer: 0,
        drawn: None,
    })
}
