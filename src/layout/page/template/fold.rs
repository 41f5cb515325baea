//! What a half template shows of openings: on the fold, what both sides have once, and what one side
//! alone has by itself.

use crate::geom::Outline;
use crate::geom::Point2;
use crate::geom::outline::nearest_on_segment;
use crate::tolerance::FOLD_TOLERANCE_MM;

/// From one point to the next at which the sides are compared, mm. Our choice: a line that belongs to
/// one side begins and ends this exactly.
const COMPARED: f64 = 1.0;

/// Lines of openings on the right of the fold.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct FoldedOpenings {
    /// The same on both sides.
    pub(super) both: Vec<Vec<Point2>>,
    /// Of the right half alone.
    pub(super) right: Vec<Vec<Point2>>,
    /// Of the left half alone, where they come when the template is turned over.
    pub(super) left: Vec<Vec<Point2>>,
}

impl FoldedOpenings {
    /// Openings laid on the fold.
    pub(super) fn of<'a>(openings: impl Iterator<Item = &'a Outline>) -> Self {
        let (mut right, mut left) = (Vec::new(), Vec::new());
        for opening in openings {
            right.extend(stretches(&opening.points));
            let over: Vec<Point2> = opening
                .points
                .iter()
                .map(|p| Point2::new(-p.x, p.y))
                .collect();
            left.extend(stretches(&over));
        }
        let (both, right_alone) = parted(&right, &left);
        let (_, left_alone) = parted(&left, &right);
        Self {
            both,
            right: right_alone,
            left: left_alone,
        }
    }
}

/// The stretches of a closed line on the right of the fold.
fn stretches(ring: &[Point2]) -> Vec<Vec<Point2>> {
    let n = ring.len();
    if ring.iter().all(|p| p.x >= 0.0) {
        let mut closed = ring.to_vec();
        closed.extend(ring.first());
        return vec![closed];
    }
    // Begin where the line comes over the fold.
    let Some(first) = (0..n).find(|&k| ring[k].x < 0.0 && ring[(k + 1) % n].x >= 0.0) else {
        return Vec::new();
    };
    let on_fold = |p: Point2, q: Point2| Point2::new(0.0, p.y + (q.y - p.y) * (-p.x) / (q.x - p.x));
    let mut out: Vec<Vec<Point2>> = Vec::new();
    for k in (0..n).map(|k| (first + k) % n) {
        let (p, q) = (ring[k], ring[(k + 1) % n]);
        match (p.x >= 0.0, q.x >= 0.0) {
            (false, true) => out.push(vec![on_fold(p, q), q]),
            (true, true) => out.last_mut().into_iter().for_each(|part| part.push(q)),
            (true, false) => out
                .last_mut()
                .into_iter()
                .for_each(|part| part.push(on_fold(p, q))),
            (false, false) => {}
        }
    }
    out
}

/// What of some lines runs along others, and what does not.
fn parted(lines: &[Vec<Point2>], others: &[Vec<Point2>]) -> (Vec<Vec<Point2>>, Vec<Vec<Point2>>) {
    let is_same = |p: Point2| {
        others.iter().flat_map(|o| o.windows(2)).any(|s| {
            let beside = p.x < s[0].x.min(s[1].x) - FOLD_TOLERANCE_MM
                || p.x > s[0].x.max(s[1].x) + FOLD_TOLERANCE_MM;
            !beside && (nearest_on_segment(p, s[0], s[1]) - p).norm() <= FOLD_TOLERANCE_MM
        })
    };
    let (mut same, mut alone) = (Vec::new(), Vec::new());
    for line in lines {
        let points = walked(line);
        let mut run: Vec<Point2> = Vec::new();
        let mut kind = None;
        for pair in points.windows(2) {
            let here = is_same(pair[0]) && is_same(pair[1]);
            if kind != Some(here) {
                put(&mut same, &mut alone, kind, &mut run);
                kind = Some(here);
                run.push(pair[0]);
            }
            run.push(pair[1]);
        }
        put(&mut same, &mut alone, kind, &mut run);
    }
    (same, alone)
}

/// Puts a finished run where it belongs, with no more corners than it needs.
fn put(
    same: &mut Vec<Vec<Point2>>,
    alone: &mut Vec<Vec<Point2>>,
    kind: Option<bool>,
    run: &mut Vec<Point2>,
) {
    let run = std::mem::take(run);
    match kind {
        Some(true) => same.push(run),
        Some(false) => alone.push(run),
        None => {}
    }
}

/// A line with corners at most [`COMPARED`] apart.
fn walked(line: &[Point2]) -> Vec<Point2> {
    let mut out = Vec::new();
    for pair in line.windows(2) {
        let d = pair[1] - pair[0];
        let steps = (d.norm() / COMPARED).ceil().max(1.0) as usize;
        out.extend((0..steps).map(|k| pair[0] + d * (k as f64 / steps as f64)));
    }
    out.extend(line.last());
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn outline(points: &[(f64, f64)]) -> Outline {
        Outline::new(points.iter().map(|&(x, y)| Point2::new(x, y)).collect())
    }

    fn length(lines: &[Vec<Point2>]) -> f64 {
        lines
            .iter()
            .flat_map(|l| l.windows(2))
            .map(|s| (s[1] - s[0]).norm())
            .sum()
    }

    #[test]
    fn what_is_the_same_on_both_sides_is_drawn_once() {
        let even = [outline(&[
            (-40.0, 0.0),
            (40.0, 0.0),
            (40.0, 30.0),
            (-40.0, 30.0),
        ])];
        let sides = FoldedOpenings::of(even.iter());
        assert!(sides.right.is_empty() && sides.left.is_empty());
        assert!((length(&sides.both) - 110.0).abs() < 1e-9);
    }

    #[test]
    fn what_one_side_has_alone_is_told_apart() {
        // A bay of 10 x 8 mm cut into the lower rim on the right, another on the left, elsewhere.
        let uneven = [outline(&[
            (-40.0, 0.0),
            (-35.0, 0.0),
            (-35.0, 8.0),
            (-25.0, 8.0),
            (-25.0, 0.0),
            (10.0, 0.0),
            (10.0, 8.0),
            (20.0, 8.0),
            (20.0, 0.0),
            (40.0, 0.0),
            (40.0, 30.0),
            (-40.0, 30.0),
        ])];
        let sides = FoldedOpenings::of(uneven.iter());
        // Each side alone: its own bay (8 + 10 + 8), and the rim where the other has one (10).
        for alone in [&sides.right, &sides.left] {
            assert!(
                (length(alone) - 36.0).abs() < 4.0 * COMPARED,
                "{}",
                length(alone)
            );
        }
        assert!((length(&sides.both) - (110.0 - 20.0)).abs() < 4.0 * COMPARED);
        let bay = |lines: &[Vec<Point2>], from: f64, to: f64| {
            lines
                .iter()
                .flatten()
                .any(|p| (p.y - 8.0).abs() < 1e-9 && p.x > from && p.x < to)
        };
        assert!(bay(&sides.right, 11.0, 19.0) && !bay(&sides.right, 25.0, 35.0));
        assert!(bay(&sides.left, 26.0, 34.0) && !bay(&sides.left, 10.0, 20.0));
    }

    #[test]
    fn an_opening_beside_the_fold_belongs_to_its_side() {
        let one = [outline(&[
            (10.0, 0.0),
            (30.0, 0.0),
            (30.0, 20.0),
            (10.0, 20.0),
        ])];
        let sides = FoldedOpenings::of(one.iter());
        assert!((length(&sides.right) - 80.0).abs() < 1e-9);
        assert!(sides.both.is_empty() && sides.left.is_empty());
    }
}
