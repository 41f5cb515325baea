//! Where words have room on a piece.

use super::Piece;
use crate::error::Error;
use crate::face::Face;
use crate::geom::Outline;
use crate::geom::Point2;
use crate::geom::Vector2;
use crate::geom::offset::offset;

/// Cells of the map of free room, mm.
const CELL: f64 = 2.0;
/// Inscription take this much more than their letters, to each side, of the height of the letters.
const BESIDE: f64 = 0.15;

/// To keep off the dashed outline of the layer above, words shrink to this share of their height and go
/// this far from their place, mm. Our choice: a word that is struck through by a dashed line is read all
/// the same, one at the other end of the piece is not looked for.
const AVOID_SHARE: f64 = 0.6;
const AVOID_REACH: f64 = 40.0;

/// A map of the free room of a piece.
pub(crate) struct Room {
    low: Point2,
    width: usize,
    height: usize,
    taken: Vec<bool>,
    /// Cells of lines that words had better keep off.
    avoided: Vec<bool>,
    /// Whether they keep off them now.
    avoiding: bool,
    face: Face,
}

impl Room {
    /// The matter of a piece, a little inside every cut.
    ///
    /// # Errors
    /// [`Error::Format`] when the face of the words cannot be read.
    pub(crate) fn new(piece: &Piece) -> Result<Self, Error> {
        let (low, high) = piece
            .outline
            .bounds()
            .unwrap_or((Point2::origin(), Point2::origin()));
        let width = ((high.x - low.x) / CELL).ceil().max(1.0) as usize;
        let height = ((high.y - low.y) / CELL).ceil().max(1.0) as usize;
        let mut room = Self {
            low,
            width,
            height,
            taken: vec![true; width * height],
            avoided: Vec::new(),
            avoiding: false,
            face: Face::open()?,
        };
        for shape in offset(&[piece.region()], -CELL) {
            room.fill(&shape.outer, false);
            for hole in &shape.holes {
                room.fill(hole, true);
            }
        }
        Ok(room)
    }

    /// Sets all cells whose centre lies in the outline.
    fn fill(&mut self, outline: &Outline, value: bool) {
        for row in 0..self.height {
            let y = self.low.y + (row as f64 + 0.5) * CELL;
            let mut xs: Vec<f64> = outline
                .sides()
                .filter(|(a, b)| (a.y > y) != (b.y > y))
                .map(|(a, b)| a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x))
                .collect();
            xs.sort_by(f64::total_cmp);
            for pair in xs.chunks_exact(2) {
                let cell = |x: f64| ((x - self.low.x) / CELL - 0.5).ceil().max(0.0) as usize;
                let (from, to) = (cell(pair[0]).min(self.width), cell(pair[1]).min(self.width));
                if from < to {
                    self.taken[row * self.width + from..row * self.width + to].fill(value);
                }
            }
        }
    }

    fn cells(&self, at: Point2, size: Vector2) -> Option<(usize, usize, usize, usize)> {
        let a = (at - size / 2.0 - self.low) / CELL;
        let b = (at + size / 2.0 - self.low) / CELL;
        if a.x < 0.0 || a.y < 0.0 {
            return None;
        }
        let (x0, y0) = (a.x as usize, a.y as usize);
        let (x1, y1) = (b.x.ceil().max(0.0) as usize, b.y.ceil().max(0.0) as usize);
        (x1 <= self.width && y1 <= self.height).then_some((x0, y0, x1, y1))
    }

    /// Whether a box is free and inside.
    pub(crate) fn free(&self, at: Point2, size: Vector2) -> bool {
        self.cells(at, size).is_some_and(|(x0, y0, x1, y1)| {
            (y0..y1).all(|y| {
                let row = y * self.width + x0..y * self.width + x1;
                let clear = |cells: &[bool]| cells.iter().all(|t| !t);
                clear(&self.taken[row.clone()]) && (!self.avoiding || clear(&self.avoided[row]))
            })
        })
    }

    /// Takes the cells a box touches, as far as they lie on the map.
    pub(crate) fn take(&mut self, at: Point2, size: Vector2) {
        let a = (at - size / 2.0 - self.low) / CELL;
        let b = (at + size / 2.0 - self.low) / CELL;
        let clip = |v: f64, most: usize| (v.max(0.0) as usize).min(most);
        let (x0, x1) = (clip(a.x, self.width), clip(b.x.ceil(), self.width));
        let (y0, y1) = (clip(a.y, self.height), clip(b.y.ceil(), self.height));
        for y in y0..y1 {
            self.taken[y * self.width + x0..y * self.width + x1.max(x0)].fill(true);
        }
    }

    /// Points of a turned box no further apart than half a cell, its corners among them.
    fn within(at: Point2, size: Vector2, turn: f64) -> Vec<Point2> {
        let (sin, cos) = libm::sincos(turn);
        let (u, v) = (Vector2::new(cos, sin), Vector2::new(-sin, cos));
        let steps = |length: f64| (2.0 * length / CELL).ceil().max(1.0) as usize;
        let (n, m) = (steps(size.x), steps(size.y));
        let mut out = Vec::with_capacity((n + 1) * (m + 1));
        for i in 0..=n {
            for j in 0..=m {
                let x = (i as f64 / n as f64 - 0.5) * size.x;
                let y = (j as f64 / m as f64 - 0.5) * size.y;
                out.push(at + u * x + v * y);
            }
        }
        out
    }

    /// Whether a turned box is free and inside.
    pub(crate) fn free_turned(&self, at: Point2, size: Vector2, turn: f64) -> bool {
        Self::within(at, size, turn)
            .into_iter()
            .all(|p| self.free(p, Vector2::zeros()))
    }

    /// Takes a turned box.
    pub(crate) fn take_turned(&mut self, at: Point2, size: Vector2, turn: f64) {
        for p in Self::within(at, size, turn) {
            self.take(p, Vector2::zeros());
        }
    }

    /// What words of a height take up, mm.
    pub(crate) fn box_of(&self, text: &str, height: f64) -> Vector2 {
        Vector2::new(
            (self.face.width(text, 1.0) + 2.0 * BESIDE) * height,
            height * 1.3,
        )
    }

    /// Inscription keep off a closed line where there is room enough besides.
    pub(crate) fn avoid_line(&mut self, line: &Outline) {
        let mut avoided = std::mem::take(&mut self.avoided);
        avoided.resize(self.taken.len(), false);
        let taken = std::mem::replace(&mut self.taken, avoided);
        for (a, b) in line.sides() {
            self.take_line(&[a, b]);
        }
        self.avoided = std::mem::replace(&mut self.taken, taken);
    }

    pub(crate) fn take_line(&mut self, points: &[Point2]) {
        for pair in points.windows(2) {
            let n = ((pair[1] - pair[0]).norm() / CELL).ceil().max(1.0) as usize;
            for i in 0..=n {
                let p = pair[0] + (pair[1] - pair[0]) * (i as f64 / n as f64);
                self.take(p, Vector2::new(1.0, 1.0));
            }
        }
    }

    /// The place nearest to `wanted` where a box of this size is free, on the grid.
    pub(crate) fn nearest_free(&self, size: Vector2, wanted: Point2) -> Option<Point2> {
        self.nearest_free_below(size, wanted, f64::INFINITY)
    }

    /// The same with its middle no higher than `top`.
    pub(crate) fn nearest_free_below(
        &self,
        size: Vector2,
        wanted: Point2,
        top: f64,
    ) -> Option<Point2> {
        if wanted.y <= top && self.free(wanted, size) {
            return Some(wanted);
        }
        let mut best: Option<(f64, Point2)> = None;
        for row in 0..self.height {
            for column in 0..self.width {
                let at = self.low
                    + Vector2::new((column as f64 + 0.5) * CELL, (row as f64 + 0.5) * CELL);
                // Sideways costs more than up and down: words stay in one column.
                let d = Vector2::new(1.5 * (at.x - wanted.x), at.y - wanted.y).norm();
                let nearer = best.is_none_or(|(least, _)| d < least);
                if at.y <= top && nearer && self.free(at, size) {
                    best = Some((d, at));
                }
            }
        }
        best.map(|(_, p)| p)
    }

    /// Puts a word near `wanted`, as tall as there is room for, and takes its room.
    pub(crate) fn place_word(
        &mut self,
        text: &str,
        height: f64,
        least: f64,
        wanted: Point2,
    ) -> Option<(Point2, f64)> {
        if !self.avoided.is_empty() {
            self.avoiding = true;
            let smaller = least.max(height * AVOID_SHARE);
            let found = self.nearest_word(text, height, smaller, wanted);
            self.avoiding = false;
            if let Some((at, h)) = found.filter(|(at, _)| (at - wanted).norm() < AVOID_REACH) {
                self.take(at, self.box_of(text, h));
                return Some((at, h));
            }
        }
        let (at, h) = self.nearest_word(text, height, least, wanted)?;
        self.take(at, self.box_of(text, h));
        Some((at, h))
    }

    /// Where a word finds room near `wanted`, and how tall.
    fn nearest_word(
        &self,
        text: &str,
        height: f64,
        least: f64,
        wanted: Point2,
    ) -> Option<(Point2, f64)> {
        let mut h = height;
        loop {
            let size = self.box_of(text, h);
            if let Some(at) = self.nearest_free(size, wanted) {
                return Some((at, h));
            }
            if h <= least {
                return None;
            }
            h = (h * 0.8).max(least);
        }
    }
}
