//! The lines of templates, whole or by half, with all that is drawn for each.

use crate::geom::Outline;
use crate::geom::Point2;
use crate::layout::bounds;
use crate::layout::page::template::edge_line;
use crate::layout::page::template::fold::folded;
use crate::layout::page::template::hole;
use crate::layout::page::template::hole::DrawnHole;
use crate::stack::Inscription;
use crate::stack::Mark;
use crate::stack::Piece;
use crate::stack::PieceId;
use crate::stack::Tells;
use crate::tolerance::FOLD_TOLERANCE_MM;

/// Halves narrower than this are drawn whole, mm: on them is no room for the words that say which half they are. Our
/// choice: the words are 15 mm long in the smallest letters, and holes take some.
const LEAST_HALF: f64 = 25.0;

/// A line to trace.
#[derive(Clone, Debug)]
pub(in crate::layout::page) struct TracedLine {
    /// Which of the listed pieces.
    pub(in crate::layout::page) of: usize,
    pub(in crate::layout::page) id: PieceId,
    /// The number of its layer, or what else it is called.
    pub(in crate::layout::page) called: String,
    /// Whether it is the right half.
    pub(in crate::layout::page) half: bool,
    /// The right half from back to front, or the whole outline.
    pub(in crate::layout::page) path: Vec<Point2>,
    /// All of the outline.
    pub(in crate::layout::page) outline: Outline,
    /// The box round the path.
    pub(in crate::layout::page) bounds: (Point2, Point2),
    /// Openings besides round holes, whole, and the lines that are drawn of them.
    pub(super) openings: Vec<Outline>,
    pub(super) cut_out: Vec<Vec<Point2>>,
    pub(in crate::layout::page) holes: Vec<DrawnHole>,
    /// What is drawn and said on the piece itself.
    pub(super) marks: Vec<Mark>,
}

impl TracedLine {
    /// The line of a piece that is `called` so, by half where that goes and is wanted (`fold`); nothing of a
    /// piece without an outline.
    pub(in crate::layout::page) fn of(
        of: usize,
        piece: &Piece,
        called: String,
        fold: bool,
    ) -> Option<Self> {
        let half_openings = folded(piece.openings());
        let folded = Some(&piece.outline)
            .filter(|_| fold && half_openings.is_some())
            .filter(|_| hole::can_be_folded(piece))
            .filter(|outline| edge_line::can_be_folded(&piece.marks, outline))
            .and_then(half)
            .filter(|path| bounds(path).is_some_and(|(low, high)| high.x - low.x >= LEAST_HALF));
        let is_half = folded.is_some();
        let path = folded.unwrap_or_else(|| piece.outline.points.clone());
        Some(Self {
            of,
            id: piece.id,
            called,
            half: is_half,
            bounds: bounds(&path)?,
            path,
            outline: piece.outline.clone(),
            openings: piece.openings().cloned().collect(),
            cut_out: half_openings.filter(|_| is_half).unwrap_or_else(|| {
                let closed =
                    |o: &Outline| o.points.iter().chain(o.points.first()).copied().collect();
                piece.openings().map(closed).collect()
            }),
            holes: hole::drawn(piece, is_half),
            marks: piece.marks.clone(),
        })
    }

    /// Whether it shares its template with no other: a ring has a second line, a plate marks of its own inside.
    pub(in crate::layout::page) fn is_alone(&self) -> bool {
        !self.openings.is_empty() || self.id.of_layer().is_none()
    }

    /// What lies inside it: a half is closed by the fold.
    pub(in crate::layout::page) fn region(&self) -> Outline {
        Outline {
            points: self.path.clone(),
        }
    }

    /// The path as a stroke, the first point of a whole one once more at its end.
    pub(super) fn stroke(&self) -> Vec<Point2> {
        let mut path = self.path.clone();
        if !self.half {
            path.extend(self.path.first());
        }
        path
    }

    /// How far back and how far to the front it goes.
    pub(super) fn ends(&self) -> (f64, f64) {
        (self.bounds.0.y, self.bounds.1.y)
    }

    /// Where a half meets the fold, at the back and in front.
    pub(super) fn ends_on_fold(&self) -> [Point2; 2] {
        let (first, last) = (self.path.first(), self.path.last());
        [first, last].map(|p| p.copied().unwrap_or_default())
    }

    /// The words of the piece that are its own.
    pub(super) fn own_words(&self) -> impl Iterator<Item = &Inscription> {
        self.marks.iter().filter_map(|m| match m {
            Mark::Text(words) if words.tells == Tells::Own => Some(words),
            _ => None,
        })
    }
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
    let sides = outline.banded();
    let same = outline
        .points
        .iter()
        .all(|p| sides.distance(Point2::new(-p.x, p.y)) <= FOLD_TOLERANCE_MM);
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

    fn oval(a: f64, b: f64, lean: f64) -> Outline {
        let corner = |k: i32| {
            let (s, c) = libm::sincos(f64::from(k) * std::f64::consts::TAU / 200.0);
            Point2::new(a * c + lean * s.max(0.0), b * s + 5.0)
        };
        Outline::new((0..200).map(corner).collect())
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
}
