//! Templates that several layers share, and half templates on the fold: the fewest pages.
//!
//! Layers are drawn over one another in the form's own axes, so one cross does for a rod that passes
//! through all of them. Which ones share a template is chosen so that their lines can be told apart:
//! they may cross, but nowhere run along one another. A layer that is the same on both sides is
//! drawn by half, on the fold, as in every pattern drawer.
//!
//! # Why do layers share a template that are not neighbours?
//! Neighbours run along one another for most of their length, and nobody can follow one of four
//! lines 0.3 mm apart. Layers whose lines cross steeply, or keep their distance, can be told apart:
//! a line may come within 1.2 mm of another for 8 % of its length. All stand in the form's own
//! axes, so one cross does for a rod through all of them.
//!
//! # Why may only two rings share a template?
//! Each has a second line all round, and its webs. What the left half of a ring has alone is dashed
//! on the fold, as its holes are; what both halves have is drawn once. Neighbours seldom share:
//! their webs stand on the same rods and run along one another.

mod draw;
mod edge;
mod fold;
mod gap;
mod hole;
mod legend;
mod opening;

use crate::error::Error;
use crate::geom::Outline;
use crate::geom::Point2;
use crate::layout::bounds;
use crate::layout::page::Listed;
use crate::layout::page::frame::Frame;
use crate::layout::page::shared::fold::Sides;
use crate::stack::Piece;
use crate::stack::Stack;
use crate::tolerance::FOLD_TOLERANCE_MM;
use crate::tolerance::TRACED_LINES_TOLERANCE_MM;
use crate::workshop::Paper;

pub(super) use legend::layer_above;

/// Share of a line that may run closer than [`TRACED_LINES_TOLERANCE_MM`] to another line of its
/// template: what a few crossings take. Our choice.
const CLOSE_SHARE: f64 = 0.08;
/// From one point to the next at which two lines are compared, mm.
const COMPARED: f64 = 4.0;
/// How closely lines are followed while they are compared, mm.
const FOLLOWED: f64 = 0.2;

/// Most layers with openings on one template: each has a second line all round. Our choice.
const MOST_RINGS: usize = 2;

/// A line to trace.
pub(super) struct Line {
    /// Which of the listed pieces.
    of: usize,
    /// The right half from back to front, or the whole outline.
    path: Vec<Point2>,
    /// Whether it is a half.
    half: bool,
    /// Whether it is too large for one page.
    large: bool,
    /// Openings besides round holes, which go with a whole outline.
    openings: Vec<Vec<Point2>>,
    /// The same on the fold, with a half.
    sides: Sides,
    /// All of it with fewer corners, and points along it, for comparing.
    coarse: Vec<Vec<Point2>>,
    points: Vec<Point2>,
}

/// Puts listed pieces together on templates. What is left alone stays as it is unless it can be
/// folded.
pub(super) fn templates<'a>(
    listed: Vec<Listed<'a>>,
    stack: &Stack,
    paper: &Paper,
    frame: &Frame,
) -> Result<Vec<Listed<'a>>, Error> {
    if paper.outlines <= 1 && !paper.fold {
        return Ok(listed);
    }
    let mut lines: Vec<Line> = listed
        .iter()
        .enumerate()
        .filter_map(|(k, l)| line(k, &l.piece, paper, frame))
        .collect();
    // The large ones take several pages anyway: they share those first.
    lines.sort_by_key(|l| (!l.large, l.of));
    let mut groups: Vec<Vec<Line>> = Vec::new();
    for line in lines {
        let mut homes: Vec<&mut Vec<Line>> = groups
            .iter_mut()
            .filter(|g| {
                // Plates have marks of their own inside, and share with nothing.
                let layers = g
                    .iter()
                    .chain([&line])
                    .all(|l| listed[l.of].layer().is_some());
                let rings = g.iter().chain([&line]).filter(|l| l.is_ring()).count();
                layers
                    && g.len() < paper.outlines
                    && rings <= MOST_RINGS
                    && g.iter().all(|other| apart(&line, other))
            })
            .collect();
        // Layers with the same holes go together first: fewer marks to tell apart.
        let rounds = |l: &Line| listed[l.of].piece.rounds();
        let alike = homes
            .iter()
            .position(|g| g.iter().all(|other| rounds(other).eq(rounds(&line))))
            .unwrap_or(0);
        match homes.get_mut(alike) {
            Some(group) => group.push(line),
            None => groups.push(vec![line]),
        }
    }
    let mut out: Vec<(usize, Listed<'a>)> = Vec::new();
    let mut taken = vec![false; listed.len()];
    for mut group in groups {
        if group.len() == 1 && !group[0].half {
            continue;
        }
        group.sort_by_key(|l| l.of);
        for line in &group {
            taken[line.of] = true;
        }
        out.push((group[0].of, draw::template(&group, &listed, stack)?));
    }
    for (k, single) in listed.into_iter().enumerate() {
        if !taken[k] {
            out.push((k, single));
        }
    }
    out.sort_by_key(|(k, _)| *k);
    Ok(out.into_iter().map(|(_, l)| l).collect())
}

impl Line {
    /// Openings of a whole outline, the first point once more at the end.
    fn closed_openings(&self) -> Vec<Vec<Point2>> {
        let closed = |o: &Vec<Point2>| o.iter().chain(o.first()).copied().collect();
        self.openings.iter().map(closed).collect()
    }

    /// Whether it has openings besides round holes.
    fn is_ring(&self) -> bool {
        !self.openings.is_empty() || self.sides.all().next().is_some()
    }
}

fn line(of: usize, piece: &Piece, paper: &Paper, frame: &Frame) -> Option<Line> {
    let openings: Vec<Vec<Point2>> = piece.openings().map(|h| h.points.clone()).collect();
    let folded = paper.fold.then(|| half(&piece.outline)).flatten();
    let is_half = folded.is_some();
    let (openings, sides) = if is_half {
        (Vec::new(), Sides::of(piece.openings()))
    } else {
        (openings, Sides::default())
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
    Some(Line {
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
fn walked(path: &[Point2]) -> Vec<Point2> {
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

/// What the line of a piece is called on a template.
fn number(listed: &Listed<'_>, stack: &Stack) -> String {
    let Some(layer) = listed.layer() else {
        return listed.title.brief();
    };
    let several = stack
        .layers
        .iter()
        .any(|l| l.index == layer && l.pieces.len() > 1);
    if several {
        listed.piece.id.to_string()
    } else {
        layer.to_string()
    }
}

/// Whether two lines can be told apart on one template.
fn apart(a: &Line, b: &Line) -> bool {
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
fn to_paths(p: Point2, paths: &[Vec<Point2>]) -> f64 {
    paths
        .iter()
        .flat_map(|path| path.windows(2))
        .map(|s| (crate::geom::outline::nearest_on_segment(p, s[0], s[1]) - p).norm())
        .fold(f64::INFINITY, f64::min)
}

/// The right half of an outline that is the same on both sides, from the fold at the back to the
/// fold at the front; nothing when it is not, or meets the fold more than twice.
pub(super) fn half(outline: &Outline) -> Option<Vec<Point2>> {
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
