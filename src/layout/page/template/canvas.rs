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
use crate::lettering::map::FINE;
use crate::lettering::map::FINEST;
use crate::lettering::map::FreeRoom;

/// Words take this much more than their letters, mm along and as a share of their height across.
const AROUND: (f64, f64) = (4.0, 1.8);
/// The same on a small template.
const CLOSE: (f64, f64) = (0.8, 1.4);
/// A number that is another one upside down has a bar under it, by this share of its height below it.
const BAR: f64 = 0.28;

/// How words are set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Manner {
    /// As large and as long as there is room for.
    Ample,
    /// In the smallest letters.
    Scarce,
    /// In the smallest letters, and no more of them than a small piece needs: its holes first.
    Tight,
    /// The same, its number and its front first.
    Tightest,
}

/// What is drawn on a template so far, and where it has room for words.
#[derive(Clone)]
pub(super) struct Canvas {
    pub(super) items: Vec<Item>,
    /// Strokes besides the lines to cut, that words along a line keep off.
    pub(super) strokes: Vec<[Point2; 2]>,
    /// The corners of words that are written.
    pub(super) boxes: Vec<[Point2; 4]>,
    pub(super) free: FreeRoom,
    around: (f64, f64),
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
    /// With room inside an outline, of a small one (`small`) that has no words outside it (`outside`) to the half
    /// millimetre.
    pub(super) fn new(outline: &Outline, small: bool, outside: bool) -> Self {
        Self {
            items: Vec::new(),
            strokes: Vec::new(),
            boxes: Vec::new(),
            free: FreeRoom::inside(outline, if small && !outside { FINEST } else { FINE }),
            around: if small { CLOSE } else { AROUND },
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
        let barred = is_another_upside_down(text);
        let under = if barred { -0.7 - BAR } else { -0.8 };
        let corners = [(-1.0, under), (1.0, under), (1.0, 0.7), (-1.0, 0.7)]
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
        if barred {
            let ends = [-1.0, 1.0].map(|x| at + along * (x * half) - up * (size * (0.5 + BAR)));
            self.items.push(Item::path(Pen::Mark, ends, false));
        }
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
        let size = box_of(long + self.around.0, wanted.size * self.around.1);
        let found = self.free.nearest(size, wanted.near, away, may);
        Ok(found.map(|at| (at, away(at - wanted.near))))
    }

    /// Writes words at the free place nearest to where they are wanted, of those where they `may` stand, and gives
    /// it.
    pub(super) fn place(
        &mut self,
        wanted: &Wanted<'_>,
        may: impl Fn(Point2) -> bool,
    ) -> Result<Option<Point2>, Error> {
        let found = self.room(wanted, may)?;
        if let Some((at, _)) = found {
            self.put(wanted, at)?;
        }
        Ok(found.map(|(at, _)| at))
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

/// Whether words are a number that is another one when it is read upside down: 6, 66, 89, 16.
fn is_another_upside_down(words: &str) -> bool {
    let turned: Option<String> = words
        .chars()
        .rev()
        .map(|c| match c {
            '0' | '1' | '8' => Some(c),
            '6' => Some('9'),
            '9' => Some('6'),
            _ => None,
        })
        .collect();
    turned.is_some_and(|turned| turned != words && !turned.starts_with('0'))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_that_are_others_upside_down_are_known() {
        for (words, another) in [
            ("6", true),
            ("9", true),
            ("66", true),
            ("89", true),
            ("16", true),
            ("8", false),
            ("69", false),
            ("60", false),
            ("67", false),
            ("6 of 90", false),
            ("A", false),
        ] {
            assert_eq!(is_another_upside_down(words), another, "{words}");
        }
    }
}
