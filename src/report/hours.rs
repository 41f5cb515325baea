//! How long the work takes, in minutes from least to most.
//!
//! Every speed is from memory of the trade and for practised hands: knife 0.5 to 1 m a minute in
//! foam and card, jigsaw 0.3 to 0.5 in wood, laser 10 to 20 mm a second; 2 to 3 minutes to mark a
//! piece, 1 to 2 to join a page, 1 to 3 to stack and glue a layer, 3 to 6 hours to pad and cover.

use crate::report::stuff::Stuff;

/// Least and most, minutes.
pub type Span = (f64, f64);

/// Millimetres in a metre.
const MM_PER_M: f64 = 1e3;
/// Slowest and fastest laser, mm a minute.
const LASER: (f64, f64) = (600.0, 1200.0);

/// The kinds of work.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hours {
    /// The hand tool, and its slowest and fastest, metres a minute.
    pub tool: (&'static str, f64, f64),
    /// Cutting everything by hand.
    pub cutting: Span,
    /// Or by laser.
    pub laser: Span,
    /// Joining the pages of paper.
    pub joining: Span,
    /// Marking the pieces.
    pub marking: Span,
    /// Stacking and gluing.
    pub gluing: Span,
    /// Padding and covering.
    pub covering: Span,
}

/// What a form of this material takes: length of all cuts (mm), pieces, pages and layers.
#[must_use]
pub fn hours(material: &str, cut_length: f64, pieces: usize, pages: usize, layers: usize) -> Hours {
    let tool = Stuff::named(material).by_hand();
    let metres = cut_length / MM_PER_M;
    let times = |n: usize, least: f64, most: f64| (n as f64 * least, n as f64 * most);
    Hours {
        tool,
        cutting: (metres / tool.2, metres / tool.1),
        laser: (cut_length / LASER.1, cut_length / LASER.0),
        joining: times(pages, 1.0, 2.0),
        marking: times(pieces, 2.0, 3.0),
        gluing: times(layers, 1.0, 3.0),
        covering: (180.0, 360.0),
    }
}

impl Hours {
    /// All of it by hand, from paper templates.
    #[must_use]
    pub fn by_hand(&self) -> Span {
        sum(&[
            self.cutting,
            self.joining,
            self.marking,
            self.gluing,
            self.covering,
        ])
    }

    /// All of it with a machine that cuts and marks.
    #[must_use]
    pub fn by_machine(&self) -> Span {
        sum(&[self.laser, self.gluing, self.covering])
    }
}

fn sum(spans: &[Span]) -> Span {
    spans.iter().fold((0.0, 0.0), |a, b| (a.0 + b.0, a.1 + b.1))
}
