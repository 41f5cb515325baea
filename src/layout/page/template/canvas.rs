//! A template while it is drawn: what is on it so far, and where it has room for words.

use crate::drawing::Anchor;
use crate::drawing::Item;
use crate::drawing::Pen;
use crate::error::Error;
use crate::face;
use crate::geom::Outline;
use crate::geom::Point2;
use crate::geom::Vector2;
use crate::layout::bounds;
use crate::lettering::map::FreeRoom;

/// Words take this much more than their letters, mm along and as a share of their height across.
const AROUND: (f64, f64) = (2.0, 1.8);

/// What is drawn on a template so far, and where it has room for words.
#[derive(Clone)]
pub(super) struct Canvas {
    pub(super) items: Vec<Item>,
    /// Strokes besides the lines to cut, that words along a line keep off.
    pub(super) strokes: Vec<[Point2; 2]>,
    /// The corners of words that are written.
    pub(super) boxes: Vec<[Point2; 4]>,
    pub(super) free: FreeRoom,
}

/// Words that are to stand somewhere.
pub(super) struct Wanted<'a> {
    pub(super) text: &'a str,
    /// Height of a capital, mm.
    pub(super) size: f64,
    /// Where they had best be.
    pub(super) near: Point2,
    /// Whether they run up rather than across.
    pub(super) upright: bool,
}

impl Canvas {
    pub(super) fn new(outline: &Outline) -> Self {
        Self {
            items: Vec::new(),
            strokes: Vec::new(),
            boxes: Vec::new(),
            free: FreeRoom::inside(outline),
        }
    }

    /// Draws a stroke that words keep off.
    pub(super) fn stroke(&mut self, pen: Pen, path: &[Point2]) {
        self.strokes.extend(path.windows(2).map(|s| [s[0], s[1]]));
        self.free.take_line(path);
        self.items.push(Item::path(pen, path, false));
    }

    /// Keeps words off a box.
    pub(super) fn keep_off(&mut self, (low, high): (Point2, Point2)) {
        self.free.take(low, high);
        self.boxes.push([
            low,
            Point2::new(high.x, low.y),
            high,
            Point2::new(low.x, high.y),
        ]);
    }

    /// Writes words with their middle at a point, turned so far (radians), and keeps others off them.
    pub(super) fn write(
        &mut self,
        at: Point2,
        turn: f64,
        size: f64,
        text: &str,
    ) -> Result<(), Error> {
        let (sin, cos) = libm::sincos(turn);
        let (along, up) = (Vector2::new(cos, sin), Vector2::new(-sin, cos));
        let half = face::text_width(text, size)? / 2.0;
        let corners = [(-1.0, -0.8), (1.0, -0.8), (1.0, 0.7), (-1.0, 0.7)]
            .map(|(x, y)| at + along * (x * half) + up * (y * size));
        if let Some((low, high)) = bounds(&corners) {
            self.free.take(low, high);
        }
        self.boxes.push(corners);
        self.items.push(Item::Text {
            at: at - up * (size / 2.0),
            size,
            turn,
            anchor: Anchor::Middle,
            words: text.into(),
        });
        Ok(())
    }

    /// The free place for words nearest to where they are wanted, of those where they `may` stand, and how far
    /// it is from there to their box.
    pub(super) fn room(
        &self,
        wanted: &Wanted<'_>,
        may: impl Fn(Point2) -> bool,
    ) -> Result<Option<(Point2, f64)>, Error> {
        let long = face::text_width(wanted.text, wanted.size)?;
        let box_of = |long: f64, high: f64| {
            if wanted.upright {
                Vector2::new(high, long)
            } else {
                Vector2::new(long, high)
            }
        };
        let half = box_of(long, wanted.size) / 2.0;
        let away = |d: Vector2| {
            let beyond = Vector2::new(d.x.abs() - half.x, d.y.abs() - half.y);
            // Of places that touch it, the one nearest by its middle.
            beyond.sup(&Vector2::zeros()).norm() + d.norm() * 1e-3
        };
        let size = box_of(long + AROUND.0, wanted.size * AROUND.1);
        let found = self.free.nearest(size, wanted.near, away, may);
        Ok(found.map(|at| (at, away(at - wanted.near))))
    }

    /// Writes words at the free place nearest to where they are wanted, of those where they `may` stand, and says
    /// whether there is one.
    pub(super) fn place(
        &mut self,
        wanted: &Wanted<'_>,
        may: impl Fn(Point2) -> bool,
    ) -> Result<bool, Error> {
        let found = self.room(wanted, may)?;
        if let Some((at, _)) = found {
            self.put(wanted, at)?;
        }
        Ok(found.is_some())
    }

    /// Writes words where there is room for them.
    pub(super) fn put(&mut self, wanted: &Wanted<'_>, at: Point2) -> Result<(), Error> {
        let turn = if wanted.upright {
            std::f64::consts::FRAC_PI_2
        } else {
            0.0
        };
        self.write(at, turn, wanted.size, wanted.text)
    }
}
