//! How long the work takes, in minutes from least to most.
//!
//! Every speed is from memory of the trade and for practised hands: knife 0.5 to 1 m a minute in
//! foam and card, jigsaw 0.3 to 0.5 in wood, laser 10 to 20 mm a second; 2 to 3 minutes to mark a
//! piece, 1 to 2 to join a page, 3 to 5 to paste a page of the proof on card and cut it, 2 to 4 to trace a piece and
//! trim its template, half a minute to one to make a hole, 5 to 10 minutes to saw and wax a dowel, 1 to 3 to stack and
//! glue a layer; 1 to 4 hours for base and stand, 1 to 3 to pad, 4 to 8 to draft, sew and put on the cover.

use crate::workshop::family::{Laser, Tool, UNKNOWN};
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
    /// Tracing the pieces and trimming the templates.
    pub tracing: Span,
    /// Marking the pieces.
    pub marking: Span,
    /// Making the holes.
    pub holes: Span,
    /// Sawing the dowels.
    pub dowels: Span,
    /// Stacking and gluing.
    pub gluing: Span,
    /// Making base board, cap plate and stand.
    pub stand: Span,
    /// Padding.
    pub padding: Span,
    /// Drafting, sewing and putting on the cover.
    pub covering: Span,
}

/// How much there is of what takes time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Amounts {
    /// Length of all cuts, mm.
    pub cut_length: f64,
    /// Number of pieces.
    pub pieces: usize,
    /// Number of round holes in them.
    pub holes: usize,
    /// Number of dowels.
    pub dowels: usize,
    /// Pages of templates.
    pub pages: usize,
    /// Pages of the proof.
    pub proof: usize,
    /// Number of layers.
    pub layers: usize,
    /// Number of stands.
    pub stands: usize,
}

/// What a form of these materials takes, all of it cut with the slowest of their tools.
#[must_use]
pub fn hours(materials: &[&str], amounts: Amounts) -> Hours {
    let Amounts {
        cut_length,
        pieces,
        holes,
        dowels,
        pages,
        proof,
        layers,
        stands,
    } = amounts;
    let tools = materials.iter().map(|name| material::family(name).by_hand);
    let tool = tools
        .min_by(|a, b| a.speed.0.total_cmp(&b.speed.0))
        .unwrap_or(UNKNOWN.by_hand);
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
        tracing: times(pieces, 2.0, 4.0),
        marking: times(pieces, 2.0, 3.0),
        holes: times(holes, 0.5, 1.0),
        dowels: times(dowels, 5.0, 10.0),
        gluing: times(layers, 1.0, 3.0),
        stand: times(stands, 60.0, 240.0),
        padding: (60.0, 180.0),
        covering: (240.0, 480.0),
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
            self.tracing,
            self.marking,
            self.holes,
            self.dowels,
            self.gluing,
            self.stand,
            self.padding,
            self.covering,
        ])
    }

    /// All of it with a laser that cuts and marks, where one may.
    #[must_use]
    pub fn by_machine(&self) -> Option<Span> {
        Some(sum(&[
            self.proof,
            self.laser?,
            self.dowels,
            self.gluing,
            self.stand,
            self.padding,
            self.covering,
        ]))
    }
}

fn sum(spans: &[Span]) -> Span {
    spans.iter().fold((0.0, 0.0), |a, b| (a.0 + b.0, a.1 + b.1))
}
