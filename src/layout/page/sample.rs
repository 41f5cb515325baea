//! What lines and marks of the pages mean: a sample of each with its words.

use crate::drawing::Item;
use crate::drawing::Pen;
use crate::geom::Point2;
use crate::layout::page::trimming::PICTURE;
use crate::layout::page::trimming::trimming;

/// Width of a sample, mm.
pub(super) const WIDE: f64 = 25.0;
/// Diameter of the hole of a sample, and how far its cross stands over it, mm.
const HOLE: (f64, f64) = (4.0, 1.5);
/// Stem and half the bar of the edge mark of a sample, mm, and where a second one stands beside the first.
const EDGE_MARK: (f64, f64, f64) = (4.5, 2.2, 6.0);

/// A line or a mark with what it means.
pub(super) struct Sample {
    /// Round the origin.
    pub(super) strokes: Vec<Item>,
    /// How high they are, mm.
    pub(super) high: f64,
    pub(super) words: String,
}

impl Sample {
    /// A straight line.
    pub(super) fn line(pen: Pen, words: impl Into<String>) -> Self {
        let ends = [-1.0, 1.0].map(|side| Point2::new(side * WIDE / 2.0, 0.0));
        Self {
            strokes: vec![Item::path(pen, ends, false)],
            high: 0.0,
            words: words.into(),
        }
    }

    /// How a template of several lines is trimmed, round or by half.
    pub(super) fn trimming(half: bool, words: impl Into<String>) -> Self {
        let scale = (WIDE / PICTURE.0).min(1.0);
        let put = |p: &Point2| {
            Point2::new(
                (p.x - PICTURE.0 / 2.0) * scale,
                (p.y - PICTURE.1 / 2.0) * scale,
            )
        };
        let path = |path: Vec<Point2>| {
            let path: Vec<Point2> = path.iter().map(put).collect();
            Item::path(Pen::Mark, path, false)
        };
        Self {
            strokes: trimming(half).into_iter().map(path).collect(),
            high: PICTURE.1 * scale + 2.0,
            words: words.into(),
        }
    }

    /// A hole with its cross.
    pub(super) fn hole(words: impl Into<String>) -> Self {
        let (r, arm) = (HOLE.0 / 2.0, HOLE.0 / 2.0 + HOLE.1);
        let mut strokes = vec![Item::Circle {
            pen: Pen::Mark,
            centre: Point2::origin(),
            radius: r,
        }];
        for (x, y) in [(arm, 0.0), (0.0, arm)] {
            let ends = [Point2::new(-x, -y), Point2::new(x, y)];
            strokes.push(Item::path(Pen::Mark, ends, false));
        }
        Self {
            strokes,
            high: 2.0 * arm,
            words: words.into(),
        }
    }

    /// An edge mark on its line, and one of the left half beside it where there are `halves`.
    pub(super) fn edge_mark(halves: bool, words: impl Into<String>) -> Self {
        let (stem, bar, beside) = EDGE_MARK;
        let (foot, end) = (-stem / 2.0, stem / 2.0);
        let edge = [-1.0, 1.0].map(|side| Point2::new(side * WIDE / 2.0, foot));
        let mut strokes = vec![Item::path(Pen::Cut, edge, false)];
        let marks = if halves {
            vec![(Pen::Mark, -beside), (Pen::Dashed, beside)]
        } else {
            vec![(Pen::Mark, 0.0)]
        };
        for (pen, x) in marks {
            strokes.push(Item::path(
                pen,
                [Point2::new(x, foot), Point2::new(x, end)],
                false,
            ));
            strokes.push(Item::path(
                pen,
                [Point2::new(x - bar, end), Point2::new(x + bar, end)],
                false,
            ));
        }
        Self {
            strokes,
            high: stem + 1.0,
            words: words.into(),
        }
    }

    /// A mark at which two pages are joined.
    pub(super) fn join_mark(words: impl Into<String>) -> Self {
        Self {
            strokes: join_mark(Point2::origin()),
            high: 8.0,
            words: words.into(),
        }
    }
}

/// A join mark: a cross in a diamond.
pub(super) fn join_mark(at: Point2) -> Vec<Item> {
    let mut items: Vec<Item> = [(4.0, 0.0), (0.0, 4.0)]
        .iter()
        .map(|&(dx, dy)| {
            let ends = vec![
                Point2::new(at.x - dx, at.y - dy),
                Point2::new(at.x + dx, at.y + dy),
            ];
            Item::path(Pen::Mark, ends, false)
        })
        .collect();
    let diamond = [(2.0, 0.0), (0.0, 2.0), (-2.0, 0.0), (0.0, -2.0)]
        .map(|(dx, dy)| Point2::new(at.x + dx, at.y + dy));
    items.push(Item::path(Pen::Mark, diamond, true));
    items
}
