//! All that a writer knows: strokes, circles and words on a page in mm.

use crate::geom::Point2;

/// What a stroke is for; writers give each its own line style and layer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Pen {
    /// Cut through.
    Cut,
    /// Draw, score or engrave; never cut.
    Mark,
    /// A dashed mark.
    Dashed,
    /// Hair line for frames, map and check bars.
    Fine,
}

/// Which point of a text stands at its position.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// Left end of the base line.
    Start,
    /// Middle of the base line.
    Middle,
    /// Right end of the base line.
    End,
}

/// One thing drawn. Coordinates in mm, origin lower left, y up.
#[derive(Clone, Debug, PartialEq)]
pub enum Item {
    /// A line through points.
    Path {
        /// What it is for.
        pen: Pen,
        /// The points.
        points: Vec<Point2>,
        /// Whether the last point joins the first.
        closed: bool,
    },
    /// A circle.
    Circle {
        /// What it is for.
        pen: Pen,
        /// Centre.
        centre: Point2,
        /// Radius, mm.
        radius: f64,
    },
    /// Words.
    Text {
        /// Where the anchor stands.
        at: Point2,
        /// Height of a capital letter, mm.
        size: f64,
        /// Turn counter-clockwise, radians.
        turn: f64,
        /// Which point of the words stands there.
        anchor: Anchor,
        /// The words.
        words: String,
    },
}

/// Things that belong together, under one name.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Group {
    /// Name, unique in the drawing: becomes an id in SVG.
    pub id: String,
    /// What it holds.
    pub items: Vec<Item>,
}

/// A page or a board, in mm, origin lower left, y up.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drawing {
    /// Width, mm.
    pub width: f64,
    /// Height, mm.
    pub height: f64,
    /// Title for readers and screen readers.
    pub title: String,
    /// What is on it.
    pub groups: Vec<Group>,
}
