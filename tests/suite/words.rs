//! Where the words of a drawing stand: boxes as wide as the face is and as high as a capital, turned with
//! the words.

use layfigure::drawing::{Anchor, Item};
use layfigure::face;
use layfigure::geom::{Point2, Vector2};

/// Words of a drawing, mm.
pub(crate) struct Words<'a> {
    pub(crate) text: &'a str,
    /// Where the foot of their first letter begins, whatever they are anchored by.
    pub(crate) start: Point2,
    pub(crate) size: f64,
    pub(crate) width: f64,
    /// The way they are read, of length 1.
    pub(crate) along: Vector2,
}

/// The words among these items.
pub(crate) fn of<'a>(items: impl IntoIterator<Item = &'a Item>) -> Vec<Words<'a>> {
    let words = items.into_iter().filter_map(|item| match item {
        Item::Text {
            at,
            size,
            turn,
            anchor,
            words,
        } => {
            let width = face::text_width(words, *size).unwrap();
            let along = Vector2::new(turn.cos(), turn.sin());
            let back = match anchor {
                Anchor::Start => 0.0,
                Anchor::Middle => width / 2.0,
                Anchor::End => width,
            };
            Some(Words {
                text: words,
                start: at - along * back,
                size: *size,
                width,
                along,
            })
        }
        _ => None,
    });
    words.collect()
}

impl Words<'_> {
    /// Towards the upper side of the letters, of length 1.
    pub(crate) fn up(&self) -> Vector2 {
        Vector2::new(-self.along.y, self.along.x)
    }

    pub(crate) fn corners(&self) -> [Point2; 4] {
        let (right, up) = (self.along * self.width, self.up() * self.size);
        let a = self.start;
        [a, a + right, a + right + up, a + up]
    }

    pub(crate) fn middle(&self) -> Point2 {
        self.start + self.along * (self.width / 2.0) + self.up() * (self.size / 2.0)
    }

    /// Lowest and highest coordinates.
    pub(crate) fn bounds(&self) -> (Point2, Point2) {
        let c = self.corners();
        let low = c.into_iter().reduce(|a, b| a.inf(&b)).unwrap();
        (low, c.into_iter().reduce(|a, b| a.sup(&b)).unwrap())
    }

    /// Whether all of them lie between two corners.
    pub(crate) fn within(&self, low: Point2, high: Point2) -> bool {
        let (l, h) = self.bounds();
        l.x >= low.x && l.y >= low.y && h.x <= high.x && h.y <= high.y
    }

    /// Distance of a point from the box, mm; nothing inside it.
    pub(crate) fn distance(&self, p: Point2) -> f64 {
        let d = p - self.middle();
        let across = d.dot(&self.along).abs() - self.width / 2.0;
        let up = d.dot(&self.up()).abs() - self.size / 2.0;
        across.max(0.0).hypot(up.max(0.0))
    }

    /// Whether the boxes of two overlap: no side of either has the other beyond it (separating axes of
    /// convex figures).
    pub(crate) fn meets(&self, other: &Self) -> bool {
        let axes = [self.along, self.up(), other.along, other.up()];
        axes.iter().all(|axis| {
            let range = |w: &Self| {
                let on = w.corners().map(|p| p.coords.dot(axis));
                let low = on.into_iter().fold(f64::INFINITY, f64::min);
                (low, on.into_iter().fold(f64::NEG_INFINITY, f64::max))
            };
            let (a, b) = (range(self), range(other));
            a.1 > b.0 + 1e-9 && b.1 > a.0 + 1e-9
        })
    }
}

/// Pairs that overlap.
pub(crate) fn meetings<'a>(all: &'a [Words<'a>]) -> Vec<(&'a str, &'a str)> {
    let mut found = Vec::new();
    for (k, a) in all.iter().enumerate() {
        let before = all[..k].iter().filter(|b| a.meets(b));
        found.extend(before.map(|b| (a.text, b.text)));
    }
    found
}
