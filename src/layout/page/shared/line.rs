//! The lines of templates, whole or by half, and whether two of them can be told apart.

use crate::geom::Outline;
use crate::geom::Point2;
use crate::geom::outline::nearest_on_segment;
use crate::layout::bounds;
use crate::layout::page::frame::Frame;
use crate::layout::page::shared::fold::FoldedOpenings;
use crate::stack::Piece;
use crate::tolerance::FOLD_TOLERANCE_MM;
use crate::tolerance::TRACED_LINES_TOLERANCE_MM;
use crate::workshop::Paper;

/// Share of a line that may run closer than [`TRACED_LINES_TOLERANCE_MM`] to another line of its
/// template: what a few crossings take. Our choice.
const CLOSE_SHARE: f64 = 0.08;
/// From one point to the next at which two lines are compared, mm.
const COMPARED: f64 = 4.0;
/// How closely lines are followed while they are compared, mm.
const FOLLOWED: f64 = 0.2;

/// A line to trace.
pub(super) struct TracedLine {
    /// Which of the listed pieces.
    pub(super) of: usize,
    /// The right half from back to front, or the whole outline.
    pub(super) path: Vec<Point2>,
    /// Whether it is a half.
    pub(super) half: bool,
    /// Whether it is too large for one page.
    pub(super) large: bool,
    /// Openings besides round holes, which go with a whole outline.
    pub(super) openings: Vec<Vec<Point2>>,
    /// The same on the fold, with a half.
    pub(super) sides: FoldedOpenings,
    /// All of it with fewer corners, and points along it, for comparing.
    pub(super) coarse: Vec<Vec<Point2>>,
    pub(super) points: Vec<Point2>,
}

impl TracedLine {
    /// Openings of a whole outline, the first point once more at the end.
    pub(super) fn closed_openings(&self) -> Vec<Vec<Point2>> {
        let closed = |o: &Vec<Point2>| o.iter().chain(o.first()).copied().collect();
        self.openings.iter().map(closed).collect()
    }

    /// Whether it has openings besides round holes.
    pub(super) fn is_ring(&self) -> bool {
        !self.openings.is_empty() || self.sides.all().next().is_some()
    }
}

pub(super) fn line(of: usize, piece: &Piece, paper: &Paper, frame: &Frame) -> Option<TracedLine> {
    let openings: Vec<Vec<Point2>> = piece.openings().map(|h| h.points.clone()).collect();
    let folded = paper.fold.then(|| half(&piece.outline)).flatten();
    let is_half = folded.is_some();
    let (openings, sides) = if is_half {
        (Vec::new(), FoldedOpenings::of(piece.openings()))
    } else {
        (openings, FoldedOpenings::default())
    };
    if !is_half && paper.outlines <= 1 {
        return None;
    }
    let path = folded.unwrap_or_else(|| piece.outline.points.clone());
    let (low, high) = bounds(&path)?;
    let (across, up) = (high.x - low.x, high.y - low.y);
    let (w, h) = frame.window();
    let fits = (across <= w && up <= h) || (across <= h && up <= w);
    let closed = |path: &[Point2]| {
        let mut coarse = simplified(path, true);
        coarse.push(coarse[0]);
        coarse
    };
    let mut coarse = vec![if is_half {
        simplified(&path, false)
    } else {
        closed(&path)
    }];
    coarse.extend(openings.iter().map(|o| closed(o)));
    coarse.extend(sides.all().cloned());
    let points = coarse.iter().flat_map(|path| walked(path)).collect();
    Some(TracedLine {
        of,
        half: is_half,
        large: !fits,
        openings,
        sides,
        coarse,
        points,
        path,
    })
}

/// A path with fewer corners.
fn simplified(path: &[Point2], closed: bool) -> Vec<Point2> {
    let whole = Outline {
        points: path.to_vec(),
    };
    if closed {
        return whole.simplified(FOLLOWED).points;
    }
    // The ends of a half are its ends still when it is closed by the fold.
    let mut points = whole.simplified(FOLLOWED).points;
    let first = (0..points.len())
        .min_by(|&a, &b| {
            let away = |k: usize| (points[k] - path[0]).norm();
            away(a).total_cmp(&away(b))
        })
        .unwrap_or(0);
    points.rotate_left(first);
    points
}

/// Points along a path.
pub(super) fn walked(path: &[Point2]) -> Vec<Point2> {
    let mut out = Vec::new();
    for pair in path.windows(2) {
        let d = pair[1] - pair[0];
        let mut s = 0.0;
        while s < d.norm() {
            out.push(pair[0] + d * (s / d.norm()));
            s += COMPARED;
        }
    }
    out
}

/// Whether two lines can be told apart on one template.
pub(super) fn apart(a: &TracedLine, b: &TracedLine) -> bool {
    if a.half != b.half {
        return false;
    }
    let close = |points: &[Point2], paths: &[Vec<Point2>]| {
        let near = points
            .iter()
            .filter(|&&p| to_paths(p, paths) < TRACED_LINES_TOLERANCE_MM)
            .count();
        near as f64 / points.len().max(1) as f64
    };
    close(&a.points, &b.coarse) <= CLOSE_SHARE && close(&b.points, &a.coarse) <= CLOSE_SHARE
}

/// Distance from a point to the nearest of some paths.
pub(super) fn to_paths(p: Point2, paths: &[Vec<Point2>]) -> f64 {
    paths
        .iter()
        .flat_map(|path| path.windows(2))
        .map(|s| (nearest_on_segment(p, s[0], s[1]) - p).norm())
        .fold(f64::INFINITY, f64::min)
}

/// The right half of an outline that is the same on both sides, from the fold at the back to the
/// fold at the front; nothing when it is not, or meets the fold more than twice.
fn half(outline: &Outline) -> Option<Vec<Point2>> {
    let n = outline.points.len();
    let crossed = |k: usize, outward: bool| {
        let (p, q) = (outline.points[k], outline.points[(k + 1) % n]);
        let goes = if outward {
            p.x < 0.0 && q.x >= 0.0
        } else {
            p.x >= 0.0 && q.x < 0.0
        };
        goes.then(|| Point2::new(0.0, p.y + (q.y - p.y) * (-p.x) / (q.x - p.x)))
    };
    let outward: Vec<(usize, Point2)> = (0..n)
        .filter_map(|k| crossed(k, true).map(|p| (k, p)))
        .collect();
    let inward: Vec<(usize, Point2)> = (0..n)
        .filter_map(|k| crossed(k, false).map(|p| (k, p)))
        .collect();
    let ([(from, start)], [(to, end)]) = (outward.as_slice(), inward.as_slice()) else {
        return None;
    };
    let same = outline
        .points
        .iter()
        .all(|p| outline.distance(Point2::new(-p.x, p.y)) <= FOLD_TOLERANCE_MM);
    if !same {
        return None;
    }
    let mut path = vec![*start];
    let mut k = (from + 1) % n;
    loop {
        let p = outline.points[k];
        if p.x > 0.0 {
            path.push(p);
        }
        if k == *to {
            break;
        }
        k = (k + 1) % n;
    }
    path.push(*end);
    Some(path)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stack::PieceId;

    fn oval(a: f64, b: f64, lean: f64) -> Outline {
        Outline {
            points: (0..200)
                .map(|k| {
                    let (s, c) = libm::sincos(f64::from(k) * std::f64::consts::TAU / 200.0);
                    Point2::new(a * c + lean * s.max(0.0), b * s + 5.0)
                })
                .collect(),
        }
    }

    #[test]
    fn only_what_is_the_same_on_both_sides_is_folded() {
        let half = half(&oval(150.0, 100.0, 0.0)).unwrap();
        let (first, last) = (half[0], half[half.len() - 1]);
        assert!(first.x.abs() < 1e-9 && (first.y + 95.0).abs() < 0.1);
        assert!(last.x.abs() < 1e-9 && (last.y - 105.0).abs() < 0.1);
        assert!(half.iter().all(|p| p.x >= 0.0));
        let length: f64 = half.windows(2).map(|s| (s[1] - s[0]).norm()).sum();
        let whole = oval(150.0, 100.0, 0.0).perimeter();
        assert!((2.0 * length - whole).abs() < 0.1);
        assert!(super::half(&oval(150.0, 100.0, 2.0)).is_none());
    }

    #[test]
    fn lines_that_run_along_one_another_are_kept_apart() {
        let frame = Frame::new(&crate::workshop::Workshop::default().paper).unwrap();
        let paper = crate::workshop::Workshop::default().paper;
        let line = |a: f64, b: f64| {
            let piece = Piece::blank(PieceId::layer(1), oval(a, b, 0.0), vec![]);
            line(0, &piece, &paper, &frame).unwrap()
        };
        let first = line(150.0, 100.0);
        assert!(first.half && !first.large);
        assert!(!apart(&first, &line(150.5, 100.5)));
        assert!(apart(&first, &line(146.0, 96.0)));
        // Crossing steeply is well enough.
        assert!(apart(&first, &line(170.0, 80.0)));
        assert!(line(190.0, 130.0).large);
    }
}
