//! What is written beside the round holes of a piece: which rod goes through, and how wide they are.

use crate::error::Error;
use crate::face;
use crate::geom::Point2;
use crate::geom::Vector2;
use crate::layout::ink::SMALLEST_LETTER;
use crate::layout::ink::around;
use crate::layout::nest;
use crate::stack::Dowel;
use crate::stack::Piece;
use crate::stack::Stack;

/// How far beyond a hole its words begin, mm.
const BESIDE_HOLE: f64 = 1.5;
/// A hole this near to a rod's place is its own, mm.
const SAME_PLACE: f64 = 0.05;
/// Least distance of words from a cut, mm.
const OFF_CUT: f64 = 0.5;

/// The words of the round holes with their middles: letter and diameter, or the letter alone where
/// there is no room for both; nothing where there is none. Their boxes are added to those in `taken`.
///
/// # Errors
/// [`Error::Format`] when the face of the words cannot be read.
pub(super) fn captions(
    piece: &Piece,
    stack: Option<&Stack>,
    taken: &mut Vec<(Point2, Point2)>,
) -> Result<Vec<(Point2, String)>, Error> {
    let mut out = Vec::new();
    for &(centre, diameter) in &piece.rounds {
        let wide = format!("dia. {diameter:.1}");
        let choices = match rod(piece, centre, stack) {
            Some(name) => vec![format!("{name} {wide}"), name.to_owned()],
            None => vec![wide],
        };
        for words in choices {
            if let Some(at) = beside(piece, centre, diameter / 2.0, &words, taken)? {
                taken.push(around(at, SMALLEST_LETTER, &words)?);
                out.push((at, words));
                break;
            }
        }
    }
    Ok(out)
}

/// What a round hole of a piece is for: the letter of its rod, or the pole; nothing when it is
/// neither's.
fn rod<'a>(piece: &Piece, at: Point2, stack: Option<&'a Stack>) -> Option<&'a str> {
    let stack = stack?;
    let layer = nest::layer(piece);
    let here = |p: Point2, first: usize, last: usize| {
        (p - at).norm() < SAME_PLACE && (first..=last).contains(&layer)
    };
    let rod = |d: &&Dowel| here(d.at, d.first_layer, d.last_layer);
    let named = stack.dowels.iter().find(rod).map(|d| d.name.as_str());
    named.or_else(|| {
        let pole = stack
            .pole
            .filter(|&(p, _, first, last)| here(p, first, last));
        pole.map(|_| "pole")
    })
}

/// Middle of a place beside a hole where words lie inside the piece and on nothing else.
fn beside(
    piece: &Piece,
    centre: Point2,
    radius: f64,
    words: &str,
    taken: &[(Point2, Point2)],
) -> Result<Option<Point2>, Error> {
    let half = face::text_width(words, SMALLEST_LETTER)? / 2.0;
    let tall = SMALLEST_LETTER * 0.8;
    let x = radius + BESIDE_HOLE + half;
    let y = radius + BESIDE_HOLE + tall;
    let places = [
        (x, y * 0.5),
        (x, -y * 0.5),
        (-x, y * 0.5),
        (-x, -y * 0.5),
        (half + BESIDE_HOLE, -y),
        (half + BESIDE_HOLE, y),
        (-half - BESIDE_HOLE, -y),
        (-half - BESIDE_HOLE, y),
    ];
    for (dx, dy) in places {
        let at = Point2::new(centre.x + dx, centre.y + dy);
        let low = Point2::new(at.x - half, at.y - tall);
        let high = Point2::new(at.x + half, at.y + tall);
        let free = taken
            .iter()
            .all(|(a, b)| a.x > high.x || b.x < low.x || a.y > high.y || b.y < low.y);
        let room = Vector2::new(OFF_CUT, OFF_CUT);
        if free && piece.holds(low - room, high + room) {
            return Ok(Some(at));
        }
    }
    Ok(None)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Outline;

    fn stack(at: Point2) -> Stack {
        let rod = |name: &str, first_layer, last_layer| Dowel {
            name: name.into(),
            at,
            diameter: 8.0,
            hole: 8.3,
            first_layer,
            last_layer,
            length: 100.0,
            earlier: None,
        };
        Stack {
            layers: vec![],
            dowels: vec![rod("B", 1, 6), rod("D", 7, 9)],
            axis: Point2::origin(),
            wedges: vec![],
            pole: Some((Point2::new(-20.0, 0.0), 25.0, 1, 9)),
            base: Outline::default(),
            cap: Outline::default(),
            padding: 5.0,
            scale: 1.0,
            first_to_cut: 1,
        }
    }

    /// What is said beside the holes of a piece of layer 7 between two corners.
    fn said(low: (f64, f64), high: (f64, f64), rounds: Vec<(Point2, f64)>) -> Vec<String> {
        let corners = [low, (high.0, low.1), high, (low.0, high.1)];
        let piece = Piece {
            id: "L007".into(),
            outline: Outline::new(corners.map(|(x, y)| Point2::new(x, y)).to_vec()),
            holes: rounds
                .iter()
                .map(|&(at, d)| Outline::circle(at, d / 2.0, 0.01))
                .collect(),
            rounds,
            marks: vec![],
            area: 1.0,
        };
        let found = captions(
            &piece,
            Some(&stack(Point2::new(20.0, 0.0))),
            &mut Vec::new(),
        )
        .unwrap();
        for (at, words) in &found {
            let (low, high) = around(*at, SMALLEST_LETTER, words).unwrap();
            assert!(piece.holds(low, high), "{words}");
        }
        found.into_iter().map(|(_, words)| words).collect()
    }

    #[test]
    fn a_hole_says_which_rod_it_is_for() {
        let rod = (Point2::new(20.0, 0.0), 8.3);
        let pole = (Point2::new(-20.0, 0.0), 25.3);
        // Two rods stand in one place: this layer has the upper one.
        let wide = said((-70.0, -20.0), (70.0, 20.0), vec![pole, rod]);
        assert_eq!(wide, ["pole dia. 25.3", "D dia. 8.3"]);
        // A strip too narrow for the size has the letter, one too narrow for that nothing.
        assert_eq!(said((8.0, -7.0), (32.0, 7.0), vec![rod]), ["D"]);
        assert!(said((14.0, -6.0), (26.0, 6.0), vec![rod]).is_empty());
    }
}
