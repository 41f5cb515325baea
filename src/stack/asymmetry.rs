//! Whether a piece could thread on its dowels turned or flipped, and whether its sides can be told apart on the fold.

use crate::geom::{Point2, Vector2};
use crate::tolerance::ARC_ACCURACY_MM;
use crate::tolerance::FOLD_TOLERANCE_MM;

/// Whether no turn and no flip of a piece brings its holes (centre, diameter) nearer than `margin`
/// (root mean square over the holes, mm) to its holes of the same diameters, but leaving it as it
/// is. For every way of matching holes the best-fitting turn, and the best-fitting flip, is found
/// in closed form (the plane case of Kabsch 1976, *Acta Cryst.* A32, 922).
#[must_use]
pub fn cannot_be_turned(holes: &[(Point2, f64)], margin: f64) -> bool {
    if holes.len() < 2 {
        return false;
    }
    let mut matching = Vec::with_capacity(holes.len());
    !alike(holes, margin, &mut matching)
}

fn alike(holes: &[(Point2, f64)], margin: f64, matching: &mut Vec<usize>) -> bool {
    let n = holes.len();
    let k = matching.len();
    if k == n {
        let same = matching.iter().enumerate().all(|(i, j)| i == *j);
        let turned = !same && misfit(holes, matching, false) < margin;
        return turned || misfit(holes, matching, true) < margin;
    }
    // A motion moves no hole further than margin * sqrt(n) off its match if it fits at all, so
    // distances between holes must agree within twice that.
    let slack = 2.0 * margin * (n as f64).sqrt();
    for j in 0..n {
        if matching.contains(&j) || (holes[j].1 - holes[k].1).abs() > ARC_ACCURACY_MM {
            continue;
        }
        let fits = matching.iter().enumerate().all(|(i, m)| {
            let here = (holes[i].0 - holes[k].0).norm();
            let there = (holes[*m].0 - holes[j].0).norm();
            (here - there).abs() <= slack
        });
        if fits {
            matching.push(j);
            if alike(holes, margin, matching) {
                return true;
            }
            matching.pop();
        }
    }
    false
}

/// Root mean square distance left when the holes are moved by the best turn (or flip) and shift on
/// to their matches.
fn misfit(holes: &[(Point2, f64)], matching: &[usize], flip: bool) -> f64 {
    let n = holes.len() as f64;
    let mean: Vector2 = holes.iter().map(|h| h.0.coords).sum::<Vector2>() / n;
    let (mut dot, mut cross, mut size) = (0.0, 0.0, 0.0);
    for (i, m) in matching.iter().enumerate() {
        let mut p = holes[i].0.coords - mean;
        let q = holes[*m].0.coords - mean;
        if flip {
            p.y = -p.y;
        }
        dot += p.dot(&q);
        cross += p.perp(&q);
        size += p.norm_squared() + q.norm_squared();
    }
    ((size - 2.0 * (dot * dot + cross * cross).sqrt()).max(0.0) / n).sqrt()
}

/// Whether holes (centre, diameter) can be told apart from one another and from `others` on half a template,
/// where those of the left side are drawn on the right: laid over the centre line, each lies on its twin or two
/// diameters clear of all, and none reaches over that line unless it stands on it.
pub(crate) fn clear_on_the_fold(holes: &[(Point2, f64)], others: &[(Point2, f64)]) -> bool {
    let on_fold = |p: Point2| p.x.abs() <= FOLD_TOLERANCE_MM;
    holes.iter().enumerate().all(|(k, (p, d))| {
        let over = Point2::new(-p.x, p.y);
        on_fold(*p)
            || holes[..=k].iter().chain(others).all(|(q, e)| {
                let apart = (over - q).norm();
                let twins = apart <= FOLD_TOLERANCE_MM && (d - e).abs() <= FOLD_TOLERANCE_MM;
                twins || on_fold(*q) || apart >= d + e
            })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn holes(xy: &[(f64, f64, f64)]) -> Vec<(Point2, f64)> {
        xy.iter()
            .map(|(x, y, d)| (Point2::new(*x, *y), *d))
            .collect()
    }

    #[test]
    fn holes_of_both_sides_do_not_run_into_one_another_on_the_fold() {
        let judge = |xy: &[(f64, f64, f64)]| clear_on_the_fold(&holes(xy), &[]);
        let pole = (0.0, -10.0, 25.0);
        assert!(judge(&[pole, (-80.0, 5.0, 8.0), (80.0, 5.0, 8.0)]));
        assert!(judge(&[pole, (-80.0, 5.0, 8.0), (80.0, 21.0, 8.0)]));
        assert!(!judge(&[pole, (-80.0, 5.0, 8.0), (80.0, 20.0, 8.0)]));
        assert!(!judge(&[pole, (-80.0, 5.0, 8.0), (80.0, 5.0, 10.0)]));
        // Its own twin: a hole that reaches over the fold.
        assert!(
            !judge(&[(7.0, 40.0, 8.0)]) && judge(&[(8.0, 40.0, 8.0)]) && judge(&[(0.1, 40.0, 8.0)])
        );
    }

    #[test]
    fn only_a_lopsided_triangle_is_unlike() {
        let judge = |xy: &[(f64, f64, f64)]| cannot_be_turned(&holes(xy), 3.0);
        // Two holes always thread again, half round or flipped, even of two sizes (flipped).
        assert!(!judge(&[(-90.0, 0.0, 8.0), (110.0, 20.0, 8.0)]));
        assert!(!judge(&[(-90.0, 0.0, 8.0), (110.0, 20.0, 25.0)]));
        // Three in a line: flipped. Two sides alike: flipped. Three sides alike: turned.
        assert!(!judge(&[
            (-90.0, 0.0, 8.0),
            (0.0, 1.0, 25.0),
            (110.0, 0.0, 8.0)
        ]));
        assert!(!judge(&[
            (-90.0, 30.0, 8.0),
            (0.0, 0.0, 25.0),
            (90.0, 30.0, 8.0)
        ]));
        assert!(!judge(&[
            (0.0, 0.0, 8.0),
            (50.0, 0.0, 8.0),
            (25.0, 43.3, 8.0)
        ]));
        // Lopsided: safe; of three sizes a triangle need only not be flat.
        assert!(judge(&[
            (-90.0, -30.0, 8.0),
            (0.0, 0.0, 25.0),
            (110.0, 20.0, 8.0)
        ]));
        assert!(judge(&[
            (0.0, 0.0, 6.0),
            (50.0, 0.0, 8.0),
            (25.0, 43.3, 10.0)
        ]));
        // Four on a parallelogram turn half round.
        assert!(!judge(&[
            (0.0, 0.0, 8.0),
            (90.0, 10.0, 8.0),
            (120.0, 60.0, 8.0),
            (30.0, 50.0, 8.0)
        ]));
    }
}
