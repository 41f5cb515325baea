//! One flat piece to cut: which it is, its outline and its holes, and what is drawn on it.

use std::borrow::Cow;
use std::fmt;

use super::Mark;
use crate::geom::offset::Region;
use crate::geom::{Outline, Point2};
use crate::lettering::map::FreeRoom;
use crate::tolerance::ARC_ACCURACY_MM;

/// What a piece is cut for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CutFor {
    /// A layer, by its number: 1 is the lowest.
    Layer(usize),
    /// A ledge, by the number of the layer that the wedge lies on.
    Wedge(usize),
    /// The board under layer 1.
    Base,
    /// The plate on the topmost layer.
    Cap,
    /// A card of the proof set.
    Card,
}

/// Which piece it is. Files and drawings have it as a word: `L012`, `L012b` for a second loop of the
/// same layer, `L012-2` for the second part of a piece larger than its stock, `W030a` for a wedge.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PieceId {
    /// What it is cut for.
    pub of: CutFor,
    /// Which of several for the same, counted from 0.
    pub nth: usize,
    /// Which part of a piece that is larger than its stock, counted from 1; none of a whole piece.
    pub part: Option<usize>,
}

impl PieceId {
    /// A whole piece.
    #[must_use]
    pub const fn new(of: CutFor, nth: usize) -> Self {
        Self {
            of,
            nth,
            part: None,
        }
    }

    /// The largest piece of a layer.
    #[must_use]
    pub const fn layer(index: usize) -> Self {
        Self::new(CutFor::Layer(index), 0)
    }

    /// The piece that a part was cut from; a whole piece itself.
    #[must_use]
    pub const fn whole(self) -> Self {
        Self::new(self.of, self.nth)
    }

    /// Number of the layer that it is a piece of; none for a wedge, a plate and a card.
    #[must_use]
    pub const fn of_layer(self) -> Option<usize> {
        match self.of {
            CutFor::Layer(index) => Some(index),
            _ => None,
        }
    }

    /// Whether it is a ledge under a layer.
    #[must_use]
    pub const fn is_wedge(self) -> bool {
        matches!(self.of, CutFor::Wedge(_))
    }

    /// Whether it is, or lies on, a layer of an odd number: neighbours take turns by it.
    #[must_use]
    pub const fn is_odd(self) -> bool {
        match self.of {
            CutFor::Layer(index) | CutFor::Wedge(index) => index % 2 == 1,
            CutFor::Base | CutFor::Cap | CutFor::Card => false,
        }
    }
}

impl fmt::Display for PieceId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let letter = char::from(b'a' + (self.nth % 26) as u8);
        match self.of {
            CutFor::Layer(index) if self.nth == 0 => write!(f, "L{index:03}")?,
            CutFor::Layer(index) => write!(f, "L{index:03}{letter}")?,
            CutFor::Wedge(on) => write!(f, "W{on:03}{letter}")?,
            CutFor::Base => f.write_str("base-board")?,
            CutFor::Cap => f.write_str("neck-cap-plate")?,
            CutFor::Card => write!(f, "P{:02}", self.nth + 1)?,
        }
        match self.part {
            Some(part) => write!(f, "-{part}"),
            None => Ok(()),
        }
    }
}

/// What goes through a round hole.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Through {
    /// A dowel, by its letter.
    Dowel(String),
    /// The pole.
    Pole,
}

/// A hole of a piece, as left after cutting.
#[derive(Clone, Debug, PartialEq)]
pub enum Hole {
    /// A round one, to be drilled or cut as a circle.
    Round {
        /// What goes through it in the stack; nothing where it is bored for something else.
        through: Option<Through>,
        /// Centre.
        at: Point2,
        /// mm.
        diameter: f64,
    },
    /// An opening of another kind: what makes a ring of a layer.
    Opening(Outline),
}

impl Hole {
    /// A round hole that says nothing of what goes through it.
    #[must_use]
    pub const fn round(at: Point2, diameter: f64) -> Self {
        Self::Round {
            through: None,
            at,
            diameter,
        }
    }

    /// Its edge, counter-clockwise: of a round one a polygon within [`ARC_ACCURACY_MM`] of the circle.
    #[must_use]
    pub fn ring(&self) -> Cow<'_, Outline> {
        match self {
            Self::Round { at, diameter, .. } => {
                Cow::Owned(Outline::circle(*at, diameter / 2.0, ARC_ACCURACY_MM))
            }
            Self::Opening(outline) => Cow::Borrowed(outline),
        }
    }
}

/// One flat piece to cut.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Which it is; no two of a form are the same.
    pub id: PieceId,
    /// What is left after cutting (before kerf), in the form's own axes, mm.
    pub outline: Outline,
    /// Openings and the holes of dowels and pole.
    pub holes: Vec<Hole>,
    /// Lines and words to draw on the upper face.
    pub marks: Vec<Mark>,
    /// Net area, mm².
    pub area: f64,
}

impl Piece {
    /// A piece with openings, nothing drilled and nothing drawn.
    #[must_use]
    pub fn blank(id: PieceId, outline: Outline, openings: Vec<Outline>) -> Self {
        Self {
            id,
            area: outline.area() - openings.iter().map(Outline::area).sum::<f64>(),
            outline,
            holes: openings.into_iter().map(Hole::Opening).collect(),
            marks: Vec::new(),
        }
    }

    /// Centres and diameters of its round holes, mm.
    pub fn rounds(&self) -> impl Iterator<Item = (Point2, f64)> {
        self.holes.iter().filter_map(|hole| match hole {
            Hole::Round { at, diameter, .. } => Some((*at, *diameter)),
            Hole::Opening(_) => None,
        })
    }

    /// Diameter of a hole that a dowel goes through, where it has one, mm.
    #[must_use]
    pub fn first_dowel_hole(&self) -> Option<f64> {
        self.holes.iter().find_map(|hole| match hole {
            Hole::Round {
                through: Some(Through::Dowel(_)),
                diameter,
                ..
            } => Some(*diameter),
            _ => None,
        })
    }

    /// The holes that are not round holes of dowels or pole.
    pub fn openings(&self) -> impl Iterator<Item = &Outline> {
        self.holes.iter().filter_map(|hole| match hole {
            Hole::Round { .. } => None,
            Hole::Opening(outline) => Some(outline),
        })
    }

    /// The edges that are cut: the outline, then every hole.
    #[must_use]
    pub fn rings(&self) -> Vec<Cow<'_, Outline>> {
        let holes = self.holes.iter().map(Hole::ring);
        std::iter::once(Cow::Borrowed(&self.outline))
            .chain(holes)
            .collect()
    }

    /// Its matter.
    #[must_use]
    pub fn region(&self) -> Region {
        let holes = self.holes.iter().map(|h| h.ring().into_owned());
        Region {
            outer: self.outline.clone(),
            holes: holes.collect(),
        }
    }

    /// Where words have room on it.
    pub(crate) fn free_room(&self) -> FreeRoom {
        let rings = self.rings();
        let rings: Vec<&Outline> = rings.iter().map(|ring| &**ring).collect();
        FreeRoom::on(&rings)
    }

    /// Whether all of a rectangle, given by its lower left and upper right corner, lies on the piece:
    /// inside the outline and off every hole.
    #[must_use]
    pub fn holds(&self, low: Point2, high: Point2) -> bool {
        let middle = low + (high - low) / 2.0;
        let free = |hole: &Hole| {
            let ring = hole.ring();
            !ring.contains(middle) && !ring.meets(low, high)
        };
        self.outline.contains(middle)
            && !self.outline.meets(low, high)
            && self.holes.iter().all(free)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(low: (f64, f64), high: (f64, f64)) -> Outline {
        Outline::new(vec![
            Point2::new(low.0, low.1),
            Point2::new(high.0, low.1),
            Point2::new(high.0, high.1),
            Point2::new(low.0, high.1),
        ])
    }

    /// A ring 10 mm wide with a web down the middle that holds a dowel.
    fn ring() -> Piece {
        let openings = vec![
            square((10.0, 10.0), (35.0, 70.0)),
            square((65.0, 10.0), (90.0, 70.0)),
        ];
        let outline = square((0.0, 0.0), (100.0, 80.0));
        let mut piece = Piece::blank(PieceId::layer(2), outline, openings);
        piece.holes.push(Hole::round(Point2::new(50.0, 20.0), 8.3));
        piece
    }

    #[test]
    fn names_tell_pieces_apart() {
        let second = PieceId::new(CutFor::Layer(12), 1);
        let part = PieceId {
            part: Some(2),
            ..second
        };
        for (id, name) in [
            (PieceId::layer(12), "L012"),
            (second, "L012b"),
            (part, "L012b-2"),
            (PieceId::new(CutFor::Wedge(7), 0), "W007a"),
            (PieceId::new(CutFor::Card, 0), "P01"),
            (PieceId::new(CutFor::Cap, 0), "neck-cap-plate"),
        ] {
            assert_eq!(id.to_string(), name);
        }
        assert_eq!((part.whole(), second.whole()), (second, second));
    }

    #[test]
    fn the_polygon_of_a_round_hole_keeps_to_its_circle() {
        let piece = ring();
        let ring = piece.holes[2].ring();
        let circle = std::f64::consts::PI * 4.15 * 4.15;
        assert!(ring.area() <= circle && ring.area() > 0.99 * circle);
        let rounds: Vec<(Point2, f64)> = piece.rounds().collect();
        assert_eq!(rounds, [(Point2::new(50.0, 20.0), 8.3)]);
        assert_eq!(piece.openings().count(), 2);
        assert_eq!(piece.rings().len(), 4);
    }

    #[test]
    fn only_matter_holds_words() {
        let piece = ring();
        let holds = |x: f64, y: f64, w: f64, h: f64| {
            piece.holds(Point2::new(x, y), Point2::new(x + w, y + h))
        };
        assert!(holds(40.0, 40.0, 20.0, 5.0));
        assert!(holds(2.0, 2.0, 60.0, 6.0));
        // In an opening, over its edge, round all of a hole, over the outline, beyond it.
        assert!(!holds(15.0, 40.0, 10.0, 5.0));
        assert!(!holds(30.0, 40.0, 20.0, 5.0));
        assert!(!holds(45.0, 15.0, 10.0, 10.0));
        assert!(!holds(-5.0, 2.0, 20.0, 5.0));
        assert!(!holds(110.0, 2.0, 20.0, 5.0));
        // Both ends on matter and an opening between them.
        assert!(!holds(2.0, 30.0, 50.0, 4.0));
    }
}
