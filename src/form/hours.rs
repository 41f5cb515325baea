//! How long the work takes, in minutes from least to most.
//!
//! Every speed is from memory of the trade and for practised hands: knife 0.5 to 1 m a minute in
//! foam and card, jigsaw 0.3 to 0.5 in wood, laser 10 to 20 mm a second; 2 to 3 minutes to mark a
//! piece, 1 to 2 to join a page, 3 to 5 to paste a page of the proof on card and cut it, 1 to 3 to stack and glue a layer, 3 to 6 hours to pad and cover.

use crate::workshop::family::{Laser, Tool};
use crate::workshop::material;

/// Least and most, minutes.
pub type Span = (f64, f64);

/// Millimetres in a metre.
const MM_PER_M: f64 = 1e3;
/// Slowest and fastest laser, mm a minute.
const LASER: (f64, f64) = (600.0, 1200.0);

/// The kinds of work.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hours {
    /// The hand tool.
    pub tool: Tool,
    /// Cutting everything by hand.
    pub cutting: Span,
    /// Or by laser; absent where none may cut one of the materials.
    pub laser: Option<Span>,
    /// Pasting the pages of the proof on card and cutting them.
    pub proof: Span,
    /// Joining the pages of paper.
    pub joining: Span,
    /// Marking the pieces.
    pub marking: Span,
    /// Stacking and gluing.
    pub gluing: Span,
    /// Padding and covering.
    pub covering: Span,
}

/// How much there is of what takes time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Amounts {
    /// Length of all cuts, mm.
    pub cut_length: f64,
    /// Number of pieces.
    pub pieces: usize,
    /// Pages of templates.
    pub pages: usize,
    /// Pages of the proof.
    pub proof: usize,
    /// Number of layers.
    pub layers: usize,
}

/// What a form of these materials takes, of which the first is most of it.
#[must_use]
pub fn hours(materials: &[&str], amounts: Amounts) -> Hours {
    let Amounts {
        cut_length,
        pieces,
        pages,
        proof,
        layers,
    } = amounts;
    let tool = material::family(materials.first().copied().unwrap_or_default()).by_hand;
    let may = materials
        .iter()
        .all(|name| material::laser(name) != Laser::Never);
    let metres = cut_length / MM_PER_M;
    let times = |n: usize, least: f64, most: f64| (n as f64 * least, n as f64 * most);
    Hours {
        tool,
        cutting: (metres / tool.speed.1, metres / tool.speed.0),
        laser: may.then_some((cut_length / LASER.1, cut_length / LASER.0)),
        proof: times(proof, 3.0, 5.0),
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
            self.proof,
            self.cutting,
            self.joining,
            self.marking,
            self.gluing,
            self.covering,
        ])
    }

    /// All of it with a laser that cuts and marks, where one may.
    #[must_use]
    pub fn by_machine(&self) -> Option<Span> {
        Some(sum(&[self.proof, self.laser?, self.gluing, self.covering]))
    }
}

fn sum(spans: &[Span]) -> Span {
    spans.iter().fold((0.0, 0.0), |a, b| (a.0 + b.0, a.1 + b.1))
}
