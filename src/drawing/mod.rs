//! All that a writer knows: strokes, circles and words on a page in mm.
//!
//! A [`Drawing`] is laid out elsewhere; [`svg`], [`dxf`] and [`pdf`] turn it into text or bytes at
//! true size, and the same drawing always into the same bytes.

mod curve;
pub mod dxf;
mod facts;
mod missing;
pub mod pdf;
pub mod svg;

pub use facts::DrawingFact;
pub use missing::missing_glyphs;

use crate::geom::Point2;

/// Licence of the face that PDF files carry: anyone who passes on the program passes it on too.
pub const FONT_LICENCE: &str = include_str!("font/OFL.txt");

/// What a stroke is for; writers give each its own line style and layer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Pen {
    /// Cut through: the outline of a piece.
    Cut,
    /// Cut through: an opening, to be cut before the outline around it.
    CutInside,
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
    /// The rectangle it is seen through, lower left and upper right corner, mm; all of it when
    /// absent.
    pub clip: Option<(Point2, Point2)>,
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

impl Item {
    /// A line through points.
    #[must_use]
    pub fn path(pen: Pen, points: impl Into<Vec<Point2>>, closed: bool) -> Self {
        Self::Path {
            pen,
            points: points.into(),
            closed,
        }
    }

    /// Words on a level base line.
    #[must_use]
    pub fn words(at: Point2, size: f64, anchor: Anchor, words: impl Into<String>) -> Self {
        Self::Text {
            at,
            size,
            turn: 0.0,
            anchor,
            words: words.into(),
        }
    }

    /// Moves it down the page by `by` mm.
    pub fn lower(&mut self, by: f64) {
        match self {
            Self::Path { points, .. } => points.iter_mut().for_each(|p| p.y -= by),
            Self::Circle { centre, .. } => centre.y -= by,
            Self::Text { at, .. } => at.y -= by,
        }
    }

    /// The same turned and shifted by a pose, given as where points go and its turn in radians.
    #[must_use]
    pub fn moved(&self, to: impl Fn(Point2) -> Point2, by: f64) -> Self {
        match self {
            Self::Path {
                pen,
                points,
                closed,
            } => Self::Path {
                pen: *pen,
                points: points.iter().map(|&p| to(p)).collect(),
                closed: *closed,
            },
            Self::Circle {
                pen,
                centre,
                radius,
            } => Self::Circle {
                pen: *pen,
                centre: to(*centre),
                radius: *radius,
            },
            Self::Text {
                at,
                size,
                turn,
                anchor,
                words,
            } => Self::Text {
                at: to(*at),
                size: *size,
                turn: turn + by,
                anchor: *anchor,
                words: words.clone(),
            },
        }
    }

    /// Whether it is cut through.
    #[must_use]
    pub fn is_cut(&self) -> bool {
        match self {
            Self::Path { pen, .. } | Self::Circle { pen, .. } => {
                !matches!(pen, Pen::Mark | Pen::Dashed | Pen::Fine)
            }
            Self::Text { .. } => false,
        }
    }
}

/// A coordinate as the writers print it: a multiple of 0.001 mm, and never minus zero.
pub(crate) fn rounded(value: f64) -> f64 {
    let thousandths = (value * 1000.0).round();
    if thousandths == 0.0 {
        0.0
    } else {
        thousandths / 1000.0
    }
}
