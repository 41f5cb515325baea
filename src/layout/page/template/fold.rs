//! The openings of a piece on half a template.

use crate::geom::Outline;
use crate::geom::Point2;
use crate::geom::outline::nearest_on_segment;
use crate::tolerance::FOLD_TOLERANCE_MM;

/// From one point to the next at which the sides are compared, mm. Our choice.
const COMPARED: f64 = 1.0;

/// The lines of openings on the right of the fold, where they are the same on its left; nothing where they are not: a
/// half that has to be cut out in two ways cannot be traced by turning it over.
pub(super) fn folded<'a>(openings: impl Iterator<Item = &'a Outline>) -> Option<Vec<Vec<Point2>>> {
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
    (runs_along(&right, &left) && runs_along(&left, &right)).then_some(right)
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

/// Whether all of some lines runs along others.
fn runs_along(lines: &[Vec<Point2>], others: &[Vec<Point2>]) -> bool {
    let is_same = |p: Point2| {
        others.iter().flat_map(|o| o.windows(2)).any(|s| {
            let beside = p.x < s[0].x.min(s[1].x) - FOLD_TOLERANCE_MM
                || p.x > s[0].x.max(s[1].x) + FOLD_TOLERANCE_MM;
            !beside && (nearest_on_segment(p, s[0], s[1]) - p).norm() <= FOLD_TOLERANCE_MM
        })
    };
    lines.iter().flat_map(|l| walked(l)).all(is_same)
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

    #[test]
    fn what_is_the_same_on_both_sides_is_drawn_once() {
        let even = [outline(&[
            (-40.0, 0.0),
            (40.0, 0.0),
            (40.0, 30.0),
            (-40.0, 30.0),
        ])];
        let right = folded(even.iter()).unwrap();
        let long: f64 = right
            .iter()
            .flat_map(|l| l.windows(2))
            .map(|s| (s[1] - s[0]).norm())
            .sum();
        assert!((long - 110.0).abs() < 1e-9);
        assert!(right.iter().flatten().all(|p| p.x >= 0.0));
    }

    #[test]
    fn what_one_side_has_alone_is_not_folded() {
        // A bay cut into the rim on the left, or not so deep on the right; an opening beside the fold.
        for (bay, deep) in [(-30.0, 8.0), (30.0, 8.0), (30.0, 1.0)] {
            let rim = [
                (bay - 5.0, 0.0),
                (bay - 5.0, deep),
                (bay + 5.0, deep),
                (bay + 5.0, 0.0),
            ];
            let corners = [(-40.0, 0.0)].into_iter().chain(rim).chain([
                (40.0, 0.0),
                (40.0, 30.0),
                (-40.0, 30.0),
            ]);
            let uneven = [outline(&corners.collect::<Vec<_>>())];
            assert!(folded(uneven.iter()).is_none(), "{bay} {deep}");
        }
        let one = [outline(&[
            (10.0, 0.0),
            (30.0, 0.0),
            (30.0, 20.0),
            (10.0, 20.0),
        ])];
        assert!(folded(one.iter()).is_none());
        let pair = [
            &one[0],
            &outline(&[(-10.0, 0.0), (-30.0, 0.0), (-30.0, 20.0), (-10.0, 20.0)]),
        ];
        assert_eq!(folded(pair.into_iter()).unwrap().len(), 1);
    }
}
