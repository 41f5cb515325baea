//! Which places of a room the dowels of one set take.

use super::asymmetry::cannot_be_turned;
use super::asymmetry::clear_on_the_fold;
use crate::geom::Point2;
use crate::geom::offset::Region;
use crate::tolerance::UNLIKE_TOLERANCE_MM;

/// A set whose sides can be told apart on the fold may stand nearer together by this share of the widest one
/// there is room for. Our choice: a layer then twists on its dowels by a third more, half a millimetre at its
/// edge, and a template takes half the paper.
const CLEARER: f64 = 0.75;

/// So many of the pairs that are farthest apart are tried for three dowels, and of the others every so manieth.
const DENSELY: usize = 160;
const THINNED: usize = 8;

/// The same place on whole tenths of a millimetre.
pub(super) fn tidy(p: Point2) -> Point2 {
    p.map(|c| (c * 10.0).round() / 10.0 + 0.0)
}

/// What is looked for.
#[derive(Clone, Copy)]
pub(super) struct Want {
    pub(super) count: usize,
    pub(super) diameter: f64,
    pub(super) spacing: f64,
    pub(super) clearance: f64,
}

/// Chooses `count` places in the room, far apart, clear of the `others` and unlike together with
/// the `fixed` holes; the flag says whether they are unlike. Of those nearly as far apart as any, such as are
/// [`clear_on_the_fold`]. `None` when they would stand nearer than `spacing` to each other.
pub(super) fn choose(
    room: &[Region],
    fixed: &[(Point2, f64)],
    others: &[(Point2, f64)],
    want: Want,
) -> Option<(Vec<Point2>, bool)> {
    let Want {
        count,
        diameter,
        spacing,
        clearance,
    } = want;
    let inside = |q: Point2| room.iter().any(|r| r.contains(q));
    let clear = |q: Point2| {
        others
            .iter()
            .all(|(p, d)| (p - q).norm() >= spacing + (d - diameter) / 2.0)
    };
    let all: Vec<Point2> = room
        .iter()
        .flat_map(|r| {
            let step = (r.outer.perimeter() / 90.0).max(0.5);
            let mut places = r.outer.densified(step).points;
            // A hair inwards, and on tenths of a millimetre.
            let centre = r.outer.centroid();
            for p in &mut places {
                let pull = centre - *p;
                let neat = tidy(*p + pull * (0.15 / pull.norm().max(0.15)));
                if inside(neat) {
                    *p = neat;
                }
            }
            places
        })
        .filter(|p| clear(*p))
        .collect();
    // Every so manieth is enough: room for about a hundred candidates.
    let stride = all.len().div_ceil(110).max(1);
    let candidates: Vec<Point2> = all.into_iter().step_by(stride).collect();
    let mut pairs: Vec<(f64, usize, usize)> = Vec::new();
    for i in 0..candidates.len() {
        for j in i + 1..candidates.len() {
            let d = (candidates[i] - candidates[j]).norm();
            if d >= spacing {
                pairs.push((d, i, j));
            }
        }
    }
    pairs.sort_by(|a, b| b.0.total_cmp(&a.0).then((a.1, a.2).cmp(&(b.1, b.2))));
    let margin = UNLIKE_TOLERANCE_MM + clearance / 2.0;
    let unlike = |at: &[Point2]| {
        let mut holes: Vec<(Point2, f64)> = at.iter().map(|p| (*p, diameter)).collect();
        holes.extend_from_slice(fixed);
        cannot_be_turned(&holes, margin)
    };
    // Of those of other sets in the same layers too.
    let standing: Vec<(Point2, f64)> = fixed
        .iter()
        .chain(others)
        .map(|(p, d)| (*p, d + clearance))
        .collect();
    let foldable = |at: &[Point2]| {
        let own: Vec<(Point2, f64)> = at.iter().map(|p| (*p, diameter + clearance)).collect();
        clear_on_the_fold(&own, &standing)
    };
    let mut fallback: Option<Vec<Point2>> = None;
    let mut best: Option<(f64, Vec<Point2>)> = None;
    let mut clearest: Option<(f64, Vec<Point2>)> = None;
    // The farthest pairs are alike, so of the others some are enough.
    let tried = pairs
        .iter()
        .enumerate()
        .filter(|(k, _)| count == 2 || *k < DENSELY || k.is_multiple_of(THINNED))
        .map(|(_, pair)| *pair);
    for (d, i, j) in tried {
        let mut at = vec![candidates[i], candidates[j]];
        if count == 2 {
            if best.as_ref().is_some_and(|b| d < CLEARER * b.0) {
                break;
            }
            if unlike(&at) {
                if foldable(&at) {
                    return Some((at, true));
                }
                best.get_or_insert((d, at));
            } else {
                fallback.get_or_insert(at);
            }
            continue;
        }
        let enough = |found: &Option<(f64, Vec<Point2>)>, share: f64| {
            found.as_ref().is_some_and(|b| share * b.0 >= 2.0 * d)
        };
        if enough(&clearest, 1.0) || enough(&best, CLEARER) {
            break;
        }
        for &third in &candidates {
            let near = at
                .iter()
                .map(|p| (p - third).norm())
                .fold(f64::INFINITY, f64::min);
            let score = d + near;
            let more =
                |found: &Option<(f64, Vec<Point2>)>| found.as_ref().is_none_or(|b| b.0 < score);
            if near < spacing || !more(&best) && !more(&clearest) {
                continue;
            }
            at.push(third);
            let clearer = more(&clearest) && foldable(&at);
            if !clearer && !more(&best) {
                at.pop();
                continue;
            }
            if unlike(&at) {
                if clearer {
                    clearest = Some((score, at.clone()));
                }
                if more(&best) {
                    best = Some((score, at.clone()));
                }
            } else {
                fallback.get_or_insert_with(|| at.clone());
            }
            at.pop();
        }
    }
    let clearest = clearest.filter(|c| best.as_ref().is_none_or(|b| c.0 >= CLEARER * b.0));
    let (mut at, good) = match clearest.or(best) {
        Some((_, at)) => (at, true),
        None => (fallback?, false),
    };
    while at.len() < count {
        let next = candidates
            .iter()
            .map(|p| {
                let near = at
                    .iter()
                    .map(|q| (p - q).norm())
                    .fold(f64::INFINITY, f64::min);
                (near, *p)
            })
            .max_by(|a, b| a.0.total_cmp(&b.0))?;
        if next.0 < spacing {
            return None;
        }
        at.push(next.1);
    }
    let good = if at.len() > 3 || good {
        unlike(&at)
    } else {
        false
    };
    Some((at, good))
}
