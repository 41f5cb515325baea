//! Words on a card, in an order that can be read: one block, or one line below the other.

use super::{CutFor, Inscription, Mark, Piece, PieceId};
use crate::error::Error;
use crate::geom::{Outline, Point2, Vector2};
use crate::lettering::sized::SizedWords;

/// Smallest letters on a card, mm: those of a page (common practice, no source).
const SMALLEST: f64 = 2.2;

/// From line to line of a block, of the height of its letters.
const LEADING: f64 = 1.5;

/// Letters that find no room are made smaller by this much at a time.
const SMALLER: f64 = 0.85;

/// A line of a block: what it says, and how tall its letters are wished, mm.
pub(super) type BlockLine<'a> = (&'a str, f64);

/// A card with a map of where words have room on it.
pub(super) struct Writing {
    pub(super) piece: Piece,
    room: SizedWords,
}

impl Writing {
    /// The `nth` card of a set, from 0.
    ///
    /// # Errors
    /// [`Error::Format`] when the face of the words cannot be read.
    pub(super) fn new(nth: usize, outline: Outline) -> Result<Self, Error> {
        let piece = Piece::blank(PieceId::new(CutFor::Card, nth), outline, Vec::new());
        let room = SizedWords::new(&piece.region())?;
        Ok(Self { piece, room })
    }

    /// A piece that is written on, no nearer to its edge than `edge`, mm.
    ///
    /// # Errors
    /// [`Error::Format`] when the face of the words cannot be read.
    pub(super) fn on(piece: Piece, edge: f64) -> Result<Self, Error> {
        let room = SizedWords::inside(&piece.region(), edge)?;
        Ok(Self { piece, room })
    }

    /// Draws a stroke; words that come after it keep clear of it.
    pub(super) fn draw(&mut self, mark: Mark) {
        match &mark {
            Mark::Line(points) => self.room.take_line(points),
            Mark::Arrow(a, b) => self.room.take_line(&[*a, *b]),
            Mark::Above(_) | Mark::Text(_) => {}
        }
        self.piece.marks.push(mark);
    }

    /// Words as near to a place as there is room, as tall as wished or less.
    pub(super) fn say(&mut self, words: &str, height: f64, near: Point2) {
        if let Some((at, h)) = self.room.place(words, height, SMALLEST, near) {
            self.piece
                .marks
                .push(Mark::Text(Inscription::new(at, h, words)));
        }
    }

    /// The first of some words that have room at one of some places, there and nowhere else.
    pub(super) fn say_at(&mut self, words: [&str; 2], height: f64, places: &[Point2]) {
        for words in words {
            for h in heights(height) {
                let size = self.room.box_of(words, h);
                if let Some(at) = places.iter().find(|at| self.room.is_free(**at, size)) {
                    self.room.take(*at, size);
                    self.piece
                        .marks
                        .push(Mark::Text(Inscription::new(*at, h, words)));
                    return;
                }
            }
        }
    }

    /// Lines below one another as near to a place as there is room for all of them; where there is
    /// none, each by itself, but never beside or above one that stands before it.
    pub(super) fn block(&mut self, lines: &[BlockLine<'_>], near: Point2) {
        let tallest = lines.iter().map(|l| l.1).fold(SMALLEST, f64::max);
        for h in heights(tallest) {
            let lines = scaled(lines, h / tallest);
            let size = self.size(&lines);
            if let Some(at) = self.room.nearest(size, near) {
                self.put(&lines, at, 0.0);
                return;
            }
        }
        let mut below = f64::INFINITY;
        for (words, height) in lines {
            for h in heights(*height) {
                let size = self.room.box_of(words, h);
                let top = below - size.y / 2.0;
                let wanted = Point2::new(near.x, near.y.min(top));
                let found = self.room.nearest_below(size, wanted, top);
                if let Some(at) = found {
                    self.put(&[(*words, h)], at, 0.0);
                    below = at.y - size.y / 2.0;
                    break;
                }
            }
        }
    }

    /// A block at the first of some places where it is free, each with the direction of its lines,
    /// radians; where there is none, as [`Writing::block`] near the first of them.
    pub(super) fn block_along(&mut self, lines: &[BlockLine<'_>], places: &[(Point2, f64)]) {
        let tallest = lines.iter().map(|l| l.1).fold(SMALLEST, f64::max);
        for h in heights(tallest) {
            let lines = scaled(lines, h / tallest);
            let size = self.size(&lines);
            let free = |(at, turn): &&(Point2, f64)| self.room.is_free_turned(*at, size, *turn);
            if let Some((at, turn)) = places.iter().find(free) {
                self.put(&lines, *at, *turn);
                return;
            }
        }
        if let Some((first, _)) = places.first() {
            self.block(lines, *first);
        }
    }

    /// Words at the first of some places where they are free, each with their direction, radians, as tall as wished or
    /// less; whether there was room.
    pub(super) fn line_along(
        &mut self,
        words: &str,
        height: f64,
        places: &[(Point2, f64)],
    ) -> bool {
        for h in heights(height) {
            let size = self.size(&[(words, h)]);
            let free = |(at, turn): &&(Point2, f64)| self.room.is_free_turned(*at, size, *turn);
            if let Some((at, turn)) = places.iter().find(free) {
                self.put(&[(words, h)], *at, *turn);
                return true;
            }
        }
        false
    }

    /// Breadth and height of a block.
    fn size(&self, lines: &[BlockLine<'_>]) -> Vector2 {
        let wide = lines
            .iter()
            .map(|(words, h)| self.room.box_of(words, *h).x)
            .fold(0.0, f64::max);
        Vector2::new(wide, lines.iter().map(|l| l.1 * LEADING).sum())
    }

    fn put(&mut self, lines: &[BlockLine<'_>], middle: Point2, turn: f64) {
        let size = self.size(lines);
        self.room.take_turned(middle, size, turn);
        let (sin, cos) = libm::sincos(turn);
        let mut up = size.y / 2.0;
        for (words, h) in lines {
            up -= h * LEADING / 2.0;
            let at = middle + Vector2::new(-sin, cos) * up;
            up -= h * LEADING / 2.0;
            self.piece.marks.push(Mark::Text(Inscription {
                turn,
                ..Inscription::new(at, *h, *words)
            }));
        }
    }
}

/// Heights of letters from the one wished down to the smallest.
fn heights(wished: f64) -> Vec<f64> {
    let mut out = vec![wished.max(SMALLEST)];
    while let Some(h) = out.last().copied().filter(|h| *h > SMALLEST) {
        out.push((h * SMALLER).max(SMALLEST));
    }
    out
}

/// The same lines with smaller letters, none smaller than can be read.
fn scaled<'a>(lines: &[BlockLine<'a>], by: f64) -> Vec<BlockLine<'a>> {
    lines
        .iter()
        .map(|(words, h)| (*words, (h * by).max(SMALLEST)))
        .collect()
}
