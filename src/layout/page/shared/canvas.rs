//! A template while it is drawn.

use crate::drawing::Anchor;
use crate::drawing::Item;
use crate::drawing::Pen;
use crate::error::Error;
use crate::face;
use crate::geom::Outline;
use crate::geom::Point2;
use crate::geom::Vector2;
use crate::lettering::map::FreeRoom;
use crate::stack::Inscription;

/// How the lines of a template are drawn, in order.
pub(super) const PENS: [Pen; 4] = [Pen::Cut, Pen::Second, Pen::Third, Pen::Fourth];

/// What is drawn on a template so far, and where it has room for words.
pub(super) struct Canvas {
    pub(super) items: Vec<Item>,
    /// The words, for joins of pages to keep off.
    pub(super) words: Vec<Inscription>,
    pub(super) free: FreeRoom,
}

impl Canvas {
    pub(super) fn new(outline: &Outline) -> Self {
        Self {
            items: Vec::new(),
            words: Vec::new(),
            free: FreeRoom::inside(outline),
        }
    }

    /// Draws a stroke that words keep off.
    pub(super) fn stroke(&mut self, pen: Pen, ends: [Point2; 2]) {
        self.free.take_line(&ends);
        self.items.push(Item::path(pen, ends, false));
    }

    /// Writes words with their middle at a point, whether there is room or not.
    pub(super) fn write(&mut self, at: Point2, size: f64, text: &str) {
        self.write_loose(at, size, text);
        self.words.push(Inscription::new(at, size, text));
    }

    /// The same of words that a join of pages may run through.
    pub(super) fn write_loose(&mut self, at: Point2, size: f64, text: &str) {
        self.items.push(Item::words(
            Point2::new(at.x, at.y - size / 2.0),
            size,
            Anchor::Middle,
            text,
        ));
    }

    /// Writes words in a gap of a line.
    pub(super) fn write_in(&mut self, (low, high): (Point2, Point2), size: f64, text: &str) {
        self.free.take(low, high);
        self.write(low + (high - low) / 2.0, size, text);
    }

    /// Writes words at the free place nearest to where they are wanted, and says whether there is one.
    pub(super) fn place(&mut self, text: &str, size: f64, wanted: Point2) -> Result<bool, Error> {
        let width = face::text_width(text, size)?;
        let place = self
            .free
            .place(Vector2::new(width + 2.0, size * 1.8), wanted);
        if let Some(at) = place {
            self.write(at, size, text);
        }
        Ok(place.is_some())
    }

    /// The boxes of the words.
    pub(super) fn written(&self) -> Result<Vec<(Point2, Point2)>, Error> {
        self.words
            .iter()
            .map(|w| {
                let half = Vector2::new(face::text_width(&w.text, w.size)?, w.size) / 2.0;
                Ok((w.at - half, w.at + half))
            })
            .collect()
    }
}
