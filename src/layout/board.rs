//! A board as it is sent to the cutter.

use crate::drawing::Anchor;
use crate::drawing::Drawing;
use crate::drawing::Group;
use crate::drawing::Item;
use crate::drawing::Pen;
use crate::error::Error;
use crate::face;
use crate::geom::Point2;
use crate::geom::Vector2;
use crate::layout::Board;
use crate::layout::Pose;
use crate::layout::draw_piece;
use crate::layout::facts::LayoutFact;
use crate::stack::Piece;
use crate::units::Unit;
use crate::workshop::Workshop;

/// Lengths of the check bar, the first that finds room, mm.
fn check_bars(unit: Unit) -> [f64; 3] {
    match unit {
        Unit::Cm | Unit::Mm => [100.0, 50.0, 20.0],
        Unit::In => [4.0, 2.0, 1.0].map(|inches| unit.to_mm(inches)),
    }
}

/// Room for the words at the end of the bar in the margin, mm.
const BAR_WORDS: f64 = 30.0;

/// Narrowest margin that takes the check bar, mm.
const ROOM_FOR_BAR: f64 = 4.0;

/// Draws a board: every piece with the kerf given back, openings before outlines, the marks, and a
/// bar of 100 mm or 4 in to prove the scale by: in the lower margin, or on a piece with room for it where the
/// margin is too narrow (shorter where there is no such room).
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
        Error::layout(LayoutFact::NoSuchStock {
            number: board.stock + 1,
        })
    })?;
    let mut groups = Vec::with_capacity(board.placed.len() + 1);
    for placed in &board.placed {
        let piece = pieces
            .iter()
            .find(|p| p.id == placed.piece)
            .ok_or_else(|| {
                Error::layout(LayoutFact::NotInStack {
                    piece: placed.piece.to_string(),
                })
            })?;
        let pose = placed.pose();
        let mut items = draw_piece::cuts(piece, &pose, stock.kerf)?;
        items.extend(draw_piece::marks(piece, &pose, workshop.paper.unit)?);
        groups.push(Group {
            id: piece.id.to_string(),
            items,
            clip: None,
        });
    }
    let free = board.width - 2.0 * stock.margin - BAR_WORDS;
    let unit = workshop.paper.unit;
    let in_margin = check_bars(unit)
        .into_iter()
        .find(|&bar| stock.margin >= ROOM_FOR_BAR && bar < free);
    let items = match in_margin {
        Some(bar) => check_bar(stock.margin, bar, unit),
        None => bar_on_a_piece(board, pieces, unit)?,
    };
    groups.push(Group {
        id: "check-bar".into(),
        items,
        clip: None,
    });
    Ok(Drawing {
        width: board.width,
        height: board.length,
        title: format!(
            "{} x {}, {} pieces, kerf {} given back",
            unit.bench(board.width, 0),
            unit.bench(board.length, 0),
            board.placed.len(),
            unit.bench(stock.kerf, 2)
        ),
        groups,
    })
}

/// The bar, in the middle of the lower margin.
fn check_bar(margin: f64, bar: f64, unit: Unit) -> Vec<Item> {
    let y = margin / 2.0;
    let tick = margin / 4.0;
    let stroke = |a: (f64, f64), b: (f64, f64)| {
        Item::path(
            Pen::Mark,
            vec![Point2::new(a.0, a.1), Point2::new(b.0, b.1)],
            false,
        )
    };
    let (from, to) = (margin, margin + bar);
    vec![
        stroke((from, y), (to, y)),
        stroke((from, y - tick), (from, y + tick)),
        stroke((to, y - tick), (to, y + tick)),
        Item::words(
            Point2::new(to + 2.0, y - draw_piece::SMALLEST_LETTER / 2.0),
            draw_piece::SMALLEST_LETTER,
            Anchor::Start,
            unit.rule(bar, 0),
        ),
    ]
}

/// The bar on the largest piece that has room for it beside its marks; the words stand above it.
fn bar_on_a_piece(board: &Board, pieces: &[&Piece], unit: Unit) -> Result<Vec<Item>, Error> {
    let mut laid: Vec<(&Piece, Pose)> = board
        .placed
        .iter()
        .filter_map(|p| Some((*pieces.iter().find(|q| q.id == p.piece)?, p.pose())))
        .collect();
    laid.sort_by(|a, b| b.0.area.total_cmp(&a.0.area));
    for bar in check_bars(unit) {
        for (piece, pose) in &laid {
            let mut free = piece.free_room();
            for item in draw_piece::marks(piece, &Pose::new(0.0, 0.0, 0.0), unit)? {
                match item {
                    Item::Path { points, closed, .. } => {
                        let first = points.first().copied().filter(|_| closed);
                        let line: Vec<Point2> = points.into_iter().chain(first).collect();
                        free.take_line(&line);
                    }
                    Item::Text {
                        at, size, words, ..
                    } => {
                        let half = face::text_width(&words, size)? / 2.0 + 1.0;
                        let room = Vector2::new(half, size);
                        let middle = Point2::new(at.x, at.y + size / 2.0);
                        free.take(middle - room, middle + room);
                    }
                    Item::Circle { .. } => {}
                }
            }
            let tall = 2.0 * draw_piece::SMALLEST_LETTER + 2.0;
            let wanted = piece.outline.centroid();
            let Some(at) = free.place(Vector2::new(bar + 2.0, tall), wanted) else {
                continue;
            };
            let y = at.y - tall / 2.0 + 1.5;
            let (from, to) = (at.x - bar / 2.0, at.x + bar / 2.0);
            let stroke = |a: (f64, f64), b: (f64, f64)| {
                let ends = [Point2::new(a.0, a.1), Point2::new(b.0, b.1)];
                Item::path(Pen::Mark, ends, false)
            };
            let items = [
                stroke((from, y), (to, y)),
                stroke((from, y - 1.0), (from, y + 1.0)),
                stroke((to, y - 1.0), (to, y + 1.0)),
                Item::words(
                    Point2::new(at.x, y + 1.2),
                    draw_piece::SMALLEST_LETTER,
                    Anchor::Middle,
                    unit.rule(bar, 0),
                ),
            ];
            return Ok(items
                .iter()
                .map(|i| i.moved(|p| pose.apply(p), pose.turn()))
                .collect());
        }
    }
    Ok(Vec::new())
}
