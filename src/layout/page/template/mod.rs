//! A template: lines that lie one inside the next, outermost first, and the holes of their layers.

mod canvas;
mod draw;
mod edge;
mod edge_line;
mod fold;
mod front;
pub(in crate::layout::page) mod hole;
mod hole_mark;
pub(in crate::layout::page) mod laid;
mod leader;
mod legend;
pub(in crate::layout::page) mod line;
mod number;
mod opening;

use crate::geom::Outline;
use crate::geom::Point2;
use crate::geom::Vector2;
use crate::geom::hull::hull;
use crate::layout::page::template::hole::SharedHole;
use crate::layout::page::template::line::TracedLine;
use crate::stack::Hole;
use crate::stack::Piece;
use crate::stack::PieceId;
use crate::units::Unit;

/// Inside a line that is narrower than this there may be no room for words, mm (our choice: the neck of a small
/// form, with its dowels).
const SMALL: f64 = 60.0;
/// On a half that is larger than this there is room for all words, mm². Our choice.
const CROWDED: f64 = 12_000.0;
/// Room for words on its right, three lines that run up, and in front of it and behind, mm.
const BESIDE: f64 = 13.0;
const OVER: f64 = 5.5;
/// More than that is kept clear of neighbours, mm, so that nobody reads words as a neighbour's.
const NEIGHBOUR: f64 = 13.0;

/// Lines of one or more pieces, in their own axes.
#[derive(Clone, Debug)]
pub(in crate::layout::page) struct Template {
    /// The outermost first; there is one at least.
    lines: Vec<TracedLine>,
    holes: Vec<SharedHole>,
    /// How many layers the form has.
    layers: usize,
    /// Whether its words stand outside, tied to it by leaders: inside a very small one is no room for them.
    words_outside: bool,
}

impl Template {
    /// A template of lines, the outermost first, of a form of so many layers; its holes have their diameters in
    /// `unit`.
    pub(in crate::layout::page) fn new(lines: Vec<TracedLine>, layers: usize, unit: Unit) -> Self {
        let drawn: Vec<_> = lines
            .iter()
            .map(|l| (l.holes.as_slice(), l.called.as_str()))
            .collect();
        let holes = hole::shared(&drawn, unit);
        let mut template = Self {
            lines,
            holes,
            layers,
            words_outside: false,
        };
        template.words_outside = template.is_small() && !template.has_room_inside();
        template
    }

    /// Whether there may be no room for words inside it.
    fn is_small(&self) -> bool {
        let (low, high) = self.lines[0].bounds;
        let size = high - low;
        size.x.min(size.y) < SMALL
    }

    /// Which of the listed pieces it is for, where it is that piece's half alone and has no room for words that nobody
    /// can do without.
    pub(in crate::layout::page) fn is_crowded_half(&self) -> Option<usize> {
        let [line] = self.lines.as_slice() else {
            return None;
        };
        let crowded = line.half && line.region().area() < CROWDED && !self.has_room_inside();
        crowded.then_some(line.of)
    }

    /// The pieces that it is for, each with a line of its own.
    pub(in crate::layout::page) fn pieces(&self) -> impl Iterator<Item = PieceId> {
        self.lines.iter().map(|l| l.id)
    }

    /// How many layers are on it.
    pub(in crate::layout::page) fn count(&self) -> usize {
        self.lines.len()
    }

    /// Whether it shows the right half.
    pub(in crate::layout::page) fn is_half(&self) -> bool {
        self.lines.iter().any(|l| l.half)
    }

    /// The room of its words: the outermost line, and round one that has them outside what they take there.
    fn room(&self) -> Outline {
        self.wider(0.0)
    }

    /// What it takes of a page: words outside lie nearer to it than to its neighbours.
    fn outline(&self) -> Outline {
        self.wider(NEIGHBOUR)
    }

    /// The outermost line, and round one that has its words outside the room that they take there and so much `more`.
    fn wider(&self, more: f64) -> Outline {
        let outer = &self.lines[0];
        let (low, high) = outer.bounds;
        if !self.words_outside {
            return outer.region();
        }
        let (right, up) = (BESIDE + more, OVER + more);
        let beside = Vector2::new(right, 0.0);
        let over = Vector2::new(0.0, up);
        let mut points = outer.path.clone();
        points.extend([low - over, high + over, high + beside, high + over + beside]);
        let across = |x: f64, y: f64| Point2::new(x, y);
        points.extend([
            across(low.x, high.y + up),
            across(high.x + right, low.y),
            across(high.x, low.y - up),
        ]);
        hull(&points)
    }

    /// What has to find room on the pages: the outline and all holes, under the name of the outermost
    /// piece.
    pub(in crate::layout::page) fn piece(&self) -> Piece {
        let outer = &self.lines[0];
        let round = |h: &SharedHole| Hole::round(h.hole.at, h.hole.diameter);
        let outline = self.outline();
        Piece {
            id: outer.id,
            area: outline.area(),
            outline,
            holes: self.holes.iter().map(round).collect(),
            marks: Vec::new(),
        }
    }
}
