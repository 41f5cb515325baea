//! A board as it is sent to the cutter.

use crate::drawing::Anchor;
use crate::drawing::Drawing;
use crate::drawing::Group;
use crate::drawing::Item;
use crate::drawing::Pen;
use crate::error::Error;
use crate::geom::Point2;
use crate::layout::Board;
use crate::layout::ink;
use crate::stack::Piece;
use crate::workshop::Workshop;

/// Length of the check bar, mm.
const CHECK_BAR: f64 = 100.0;

/// Narrowest margin that takes the check bar, mm.
const ROOM_FOR_BAR: f64 = 4.0;

/// Draws a board: every piece with the kerf given back, openings before outlines, the marks, and a
/// bar of 100 mm in the lower margin, where it is wide enough, to prove the scale by.
///
/// # Errors
/// [`Error::Layout`] when the board names a piece or a stock that is not there, or an opening is
/// narrower than the kerf.
pub fn board_drawing(
    board: &Board,
    pieces: &[&Piece],
    workshop: &Workshop,
) -> Result<Drawing, Error> {
    let stock = workshop.stock.get(board.stock).ok_or_else(|| {
        Error::Layout(format!(
            "a board was laid on stock number {}, which the workshop does not have",
            board.stock + 1
        ))
    })?;
    let mut groups = Vec::with_capacity(board.placed.len() + 1);
    for placed in &board.placed {
        let piece = pieces
            .iter()
            .find(|p| p.id == placed.piece)
            .ok_or_else(|| {
                Error::Layout(format!(
                    "piece `{}` lies on a board but is not in the stack",
                    placed.piece
                ))
            })?;
        let pose = placed.pose();
        let mut items = ink::cuts(piece, &pose, stock.kerf)?;
        items.extend(ink::marks(piece, &pose)?);
        groups.push(Group {
            id: piece.id.clone(),
            items,
            clip: None,
        });
    }
    if stock.margin >= ROOM_FOR_BAR && board.width > CHECK_BAR + 2.0 * stock.margin + 30.0 {
        groups.push(Group {
            id: "check-bar".into(),
            items: check_bar(stock.margin),
            clip: None,
        });
    }
    Ok(Drawing {
        width: board.width,
        height: board.length,
        title: format!(
            "{} mm x {} mm, {} pieces, kerf {} mm given back",
            board.width,
            board.length,
            board.placed.len(),
            stock.kerf
        ),
        groups,
    })
}

/// The bar, in the middle of the lower margin.
fn check_bar(margin: f64) -> Vec<Item> {
    let y = margin / 2.0;
    let tick = margin / 4.0;
    let stroke = |a: (f64, f64), b: (f64, f64)| {
        Item::path(
            Pen::Mark,
            vec![Point2::new(a.0, a.1), Point2::new(b.0, b.1)],
            false,
        )
    };
    let (from, to) = (margin, margin + CHECK_BAR);
    vec![
        stroke((from, y), (to, y)),
        stroke((from, y - tick), (from, y + tick)),
        stroke((to, y - tick), (to, y + tick)),
        Item::words(
            Point2::new(to + 2.0, y - ink::SMALLEST_LETTER / 2.0),
            ink::SMALLEST_LETTER,
            Anchor::Start,
            "100 mm",
        ),
    ]
}
