//! Words as tall as there is room for.

use crate::error::Error;
use crate::face::Face;
use crate::geom::offset::{Region, offset};
use crate::geom::{Outline, Point2, Vector2};
use crate::lettering::map::{COARSE, FreeRoom};

/// Words stay this far inside every cut, mm.
const INSIDE: f64 = 2.0;
/// From one point to the next at which a turned box is compared with the map, mm.
const COMPARED: f64 = 1.0;
/// Words take this much more than their letters, to each side, of the height of the letters.
const BESIDE: f64 = 0.15;

/// To keep off the dashed outline of the layer above, words shrink to this share of their height and go
/// this far from their place, mm. Our choice: a word that is struck through by a dashed line is read all
/// the same, one at the other end of the piece is not looked for.
const AVOID_SHARE: f64 = 0.6;
const AVOID_REACH: f64 = 40.0;

/// Where words have room on a piece, and how tall.
pub(crate) struct SizedWords {
    free: FreeRoom,
    /// Lines that words had better keep off.
    avoided: Option<FreeRoom>,
    face: Face,
}

impl SizedWords {
    /// On the matter of a piece, a little inside every cut.
    ///
    /// # Errors
    /// [`Error::Format`] when the face of the words cannot be read.
    pub(crate) fn new(matter: &Region) -> Result<Self, Error> {
        Self::inside(matter, INSIDE)
    }

    /// The same so far inside every cut, mm.
    ///
    /// # Errors
    /// As for [`SizedWords::new`].
    pub(crate) fn inside(matter: &Region, edge: f64) -> Result<Self, Error> {
        let inner = offset(std::slice::from_ref(matter), -edge);
        let rings: Vec<&Outline> = inner
            .iter()
            .flat_map(|r| std::iter::once(&r.outer).chain(&r.holes))
            .collect();
        Ok(Self {
            free: FreeRoom::between(&matter.outer, &rings, COARSE),
            avoided: None,
            face: Face::open()?,
        })
    }

    /// Whether a box is free.
    pub(crate) fn is_free(&self, at: Point2, size: Vector2) -> bool {
        self.free.is_free(at - size / 2.0, at + size / 2.0)
    }

    /// Takes a box.
    pub(crate) fn take(&mut self, at: Point2, size: Vector2) {
        self.free.take(at - size / 2.0, at + size / 2.0);
    }

    /// Takes a line.
    pub(crate) fn take_line(&mut self, points: &[Point2]) {
        self.free.take_line(points);
    }

    /// Words keep off a closed line where there is room enough besides.
    pub(crate) fn avoid_line(&mut self, line: &Outline) {
        let avoided = self.avoided.get_or_insert_with(|| self.free.emptied());
        avoided.take_ring(line);
    }

    /// Points of a turned box no further apart than [`COMPARED`], its corners among them.
    fn within(at: Point2, size: Vector2, turn: f64) -> Vec<Point2> {
        let (sin, cos) = libm::sincos(turn);
        let (u, v) = (Vector2::new(cos, sin), Vector2::new(-sin, cos));
        let steps = |length: f64| (length / COMPARED).ceil().max(1.0) as usize;
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

    /// Whether a turned box is free.
    pub(crate) fn is_free_turned(&self, at: Point2, size: Vector2, turn: f64) -> bool {
        let points = Self::within(at, size, turn);
        points.into_iter().all(|p| self.free.is_free(p, p))
    }

    /// Takes a turned box.
    pub(crate) fn take_turned(&mut self, at: Point2, size: Vector2, turn: f64) {
        for p in Self::within(at, size, turn) {
            self.free.take(p, p);
        }
    }

    /// What words of a height take up, mm.
    pub(crate) fn box_of(&self, text: &str, height: f64) -> Vector2 {
        let wide = (self.face.width(text, 1.0) + 2.0 * BESIDE) * height;
        Vector2::new(wide, height * 1.3)
    }

    /// The place nearest to `wanted` where a box of this size is free.
    pub(crate) fn nearest(&self, size: Vector2, wanted: Point2) -> Option<Point2> {
        self.nearest_below(size, wanted, f64::INFINITY)
    }

    /// The same with its middle no higher than `top`.
    pub(crate) fn nearest_below(&self, size: Vector2, wanted: Point2, top: f64) -> Option<Point2> {
        nearest_below(&self.free, size, wanted, top)
    }

    /// Puts a word near `wanted`, as tall as there is room for, and takes its room.
    pub(crate) fn place(
        &mut self,
        text: &str,
        height: f64,
        least: f64,
        wanted: Point2,
    ) -> Option<(Point2, f64)> {
        let aside = self.avoided.as_ref().and_then(|avoided| {
            let smaller = least.max(height * AVOID_SHARE);
            self.tallest(&self.free.both(avoided), text, (height, smaller), wanted)
        });
        let (at, h) = aside
            .filter(|(at, _)| (at - wanted).norm() < AVOID_REACH)
            .or_else(|| self.tallest(&self.free, text, (height, least), wanted))?;
        self.take(at, self.box_of(text, h));
        Some((at, h))
    }

    /// Where a word finds room near `wanted`, and how tall, between the height wished and the least.
    fn tallest(
        &self,
        free: &FreeRoom,
        text: &str,
        (height, least): (f64, f64),
        wanted: Point2,
    ) -> Option<(Point2, f64)> {
        let mut h = height;
        loop {
            let size = self.box_of(text, h);
            if let Some(at) = nearest_below(free, size, wanted, f64::INFINITY) {
                return Some((at, h));
            }
            if h <= least {
                return None;
            }
            h = (h * 0.8).max(least);
        }
    }
}

/// The place itself where it is free, else the nearest on the map, no higher than `top`.
fn nearest_below(free: &FreeRoom, size: Vector2, wanted: Point2, top: f64) -> Option<Point2> {
    if wanted.y <= top && free.is_free(wanted - size / 2.0, wanted + size / 2.0) {
        return Some(wanted);
    }
    // Sideways costs more than up and down: words stay in one column.
    let away = |d: Vector2| Vector2::new(1.5 * d.x, d.y).norm();
    free.nearest(size, wanted, away, |at| at.y <= top)
}
