//! What is written beside the round holes of a piece: which dowel goes through, and how wide they are.

use crate::error::Error;
use crate::face;
use crate::geom::Point2;
use crate::geom::Vector2;
use crate::layout::letters::SMALLEST_LETTER;
use crate::layout::letters::around;
use crate::stack::Hole;
use crate::stack::Piece;
use crate::stack::Through;
use crate::units::Unit;

/// How far beyond a hole its words begin, mm.
const BESIDE_HOLE: f64 = 1.5;
/// Least distance of words from a cut, mm.
const OFF_CUT: f64 = 0.5;

/// How wide a hole is: millimetres, or the nearest drill of an inch set.
pub(super) fn dia(diameter: f64, unit: Unit) -> String {
    format!("dia. {}", unit.drill_bare(diameter))
}

/// The words of the round holes with their middles: letter and diameter, or the letter alone where
/// there is no room for both; nothing where there is none. Their boxes are added to those in `taken`.
///
/// # Errors
/// [`Error::Format`] when the face of the words cannot be read.
pub(super) fn captions(
    piece: &Piece,
    taken: &mut Vec<(Point2, Point2)>,
    unit: Unit,
) -> Result<Vec<(Point2, String)>, Error> {
    let mut out = Vec::new();
    for hole in &piece.holes {
        let Hole::Round {
            through,
            at: centre,
            diameter,
        } = hole
        else {
            continue;
        };
        let wide = dia(*diameter, unit);
        let name = through.as_ref().map(|through| match through {
            Through::Dowel(letter) => letter.as_str(),
            Through::Pole => "pole",
        });
        let choices = match name {
            Some(name) => vec![format!("{name} {wide}"), name.to_owned()],
            None => vec![wide],
        };
        for words in choices {
            if let Some(at) = beside(piece, *centre, diameter / 2.0, &words, taken)? {
                taken.push(around(at, SMALLEST_LETTER, &words)?);
                out.push((at, words));
                break;
            }
        }
    }
    Ok(out)
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
    use crate::stack::PieceId;

    /// The words beside the holes of a piece between two corners.
    fn said(low: (f64, f64), high: (f64, f64), holes: &[&Hole]) -> Vec<String> {
        let corners = [low, (high.0, low.1), high, (low.0, high.1)];
        let outline = Outline::new(corners.map(|(x, y)| Point2::new(x, y)).to_vec());
        let mut piece = Piece::blank(PieceId::layer(7), outline, vec![]);
        piece.holes.extend(holes.iter().copied().cloned());
        let found = captions(&piece, &mut Vec::new(), Unit::Mm).unwrap();
        for (at, words) in &found {
            let (low, high) = around(*at, SMALLEST_LETTER, words).unwrap();
            assert!(piece.holds(low, high), "{words}");
        }
        found.into_iter().map(|(_, words)| words).collect()
    }

    #[test]
    fn a_hole_says_which_dowel_it_is_for() {
        let hole = |through, x: f64, diameter| Hole::Round {
            through: Some(through),
            at: Point2::new(x, 0.0),
            diameter,
        };
        let dowel = hole(Through::Dowel("D".into()), 20.0, 8.3);
        let pole = hole(Through::Pole, -20.0, 25.3);
        let wide = said((-70.0, -20.0), (70.0, 20.0), &[&pole, &dowel]);
        assert_eq!(wide, ["pole dia. 25.3", "D dia. 8.3"]);
        // A strip too narrow for the size has the letter, one too narrow for that nothing.
        assert_eq!(said((8.0, -7.0), (32.0, 7.0), &[&dowel]), ["D"]);
        assert!(said((14.0, -6.0), (26.0, 6.0), &[&dowel]).is_empty());
    }
}
