//! One flat piece to cut: its outline, its holes, and which of those are round.

use super::Mark;
use crate::geom::Outline;
use crate::geom::Point2;

/// A hole that is larger than the circle it is compared with by no more than this factor in area is
/// that circle: polygons differ from their circle by far less, and an opening round a rod keeps a
/// wall round it. Our choice.
const ROUND: f64 = 1.5;

/// One flat piece to cut.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Unique name: `L012`, or `L012b` for a second loop of the same layer.
    pub id: String,
    /// What is left after cutting (before kerf), in the form's own axes, mm.
    pub outline: Outline,
    /// All holes: those of rods and pole as polygons, and lightening openings, mm, as left after
    /// cutting. [`Piece::round`] and [`Piece::openings`] tell them apart.
    pub holes: Vec<Outline>,
    /// Round holes for rods and pole: centre and diameter, for drawing and drilling.
    pub rounds: Vec<(Point2, f64)>,
    /// Lines and words to draw on the upper face.
    pub marks: Vec<Mark>,
    /// Net area, mm².
    pub area: f64,
}

impl Piece {
    /// The rod's or pole's hole, centre and diameter, that one of the holes is; nothing when it is
    /// an opening of another kind.
    #[must_use]
    pub fn round(&self, hole: &Outline) -> Option<(Point2, f64)> {
        self.rounds.iter().copied().find(|&(centre, diameter)| {
            let circle = std::f64::consts::PI * diameter * diameter / 4.0;
            hole.area().abs() < ROUND * circle && hole.contains(centre)
        })
    }

    /// The holes that are no round holes of rods or pole: what makes a ring of a layer.
    pub fn openings(&self) -> impl Iterator<Item = &Outline> {
        self.holes.iter().filter(|h| self.round(h).is_none())
    }

    /// Whether all of a rectangle, given by its lower left and upper right corner, lies on the piece:
    /// inside the outline and off every hole.
    #[must_use]
    pub fn holds(&self, low: Point2, high: Point2) -> bool {
        let middle = low + (high - low) / 2.0;
        let rings = || std::iter::once(&self.outline).chain(&self.holes);
        self.outline.contains(middle)
            && !self.holes.iter().any(|h| h.contains(middle))
            && !rings().any(|ring| ring.meets(low, high))
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

    /// A ring 10 mm wide with a web down the middle that holds a rod.
    fn ring() -> Piece {
        let rod = Point2::new(50.0, 20.0);
        Piece {
            id: "L002".into(),
            outline: square((0.0, 0.0), (100.0, 80.0)),
            holes: vec![
                square((10.0, 10.0), (35.0, 70.0)),
                square((65.0, 10.0), (90.0, 70.0)),
                Outline::circle(rod, 4.15, 0.02),
            ],
            rounds: vec![(rod, 8.3)],
            marks: vec![],
            area: 0.0,
        }
    }

    #[test]
    fn a_rod_hole_is_round_and_an_opening_is_not() {
        let piece = ring();
        assert_eq!(piece.round(&piece.holes[2]), Some(piece.rounds[0]));
        assert_eq!(piece.round(&piece.holes[0]), None);
        let openings: Vec<&Outline> = piece.openings().collect();
        assert_eq!(openings, [&piece.holes[0], &piece.holes[1]]);
        // An opening with a rod's centre in it, as if its wall had been left out, is no rod hole.
        let wide = square((40.0, 10.0), (60.0, 30.0));
        assert_eq!(piece.round(&wide), None);
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
