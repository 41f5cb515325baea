//! All layers, to be ticked off as they are cut.

use crate::form::Form;
use crate::layout::Board;
use crate::measure::{Figure, Level};
use crate::say::page::Block;
use crate::say::table::{Cell, Setting, Table, cells};
use crate::stack::{Layer, PieceId};
use crate::text;
use crate::text::Text;

/// One line a board.
pub(super) fn layers(form: &Form) -> Vec<Block> {
    let figure = form.checked.sheet.figure;
    let named = form
        .stack
        .layers_to_cut()
        .iter()
        .filter(|l| !l.levels.is_empty());
    let named = named.map(|l| text![levels(l, figure), " ", l.index]);
    let piled = form.stack.piled().last();
    let piled = piled.map(|last| text!["Layers 1 to ", last.index, " are in the first guide. "]);
    let boards = form.boards.iter().enumerate().map(|(i, board)| {
        let on = on(board).into_iter().map(|id| called(form, id));
        cells![i + 1, Cell::Boxes(on.collect())]
    });
    let table = Table::new(&["Board", "Layers to cut"], boards).set(Setting::Narrow);
    vec![
        Block::Paragraph(text![
            piled,
            "Tick each layer when it is cut. Levels: ",
            Text::joined(named, ", "),
            "."
        ]),
        Block::Table(table),
    ]
}

/// What lies on a board, from the lowest layer up.
fn on(board: &Board) -> Vec<PieceId> {
    let mut all: Vec<PieceId> = board.placed.iter().map(|p| p.piece).collect();
    all.sort_unstable();
    all
}

/// A piece on a board: the number of its layer where that is all there is of it.
fn called(form: &Form, id: PieceId) -> String {
    let mut layers = form.stack.layers.iter();
    let alone = layers.find(|l| l.pieces.len() == 1 && l.pieces[0].id == id);
    alone.map_or_else(|| id.to_string(), |layer| layer.index.to_string())
}

/// Names of the levels in a layer; the waist that the tape meant is mostly the natural one.
fn levels(layer: &Layer, figure: Figure) -> String {
    let waist = layer.levels.contains(&Level::Waist);
    let shown = layer
        .levels
        .iter()
        .filter(|l| !(waist && **l == Level::WaistTape));
    shown
        .map(|l| l.called(figure))
        .collect::<Vec<_>>()
        .join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::Placed;
    use crate::stack::CutFor;

    #[test]
    fn a_board_lists_its_pieces_from_the_lowest_up() {
        let id = |layer, nth, part| PieceId {
            of: CutFor::Layer(layer),
            nth,
            part,
        };
        let placed = [
            id(12, 1, None),
            id(2, 0, None),
            id(12, 0, Some(2)),
            id(12, 0, Some(1)),
        ];
        let board = Board {
            stock: 0,
            width: 300.0,
            length: 300.0,
            placed: placed
                .iter()
                .map(|id| Placed {
                    piece: *id,
                    turn_deg: 0.0,
                    x: 0.0,
                    y: 0.0,
                })
                .collect(),
            used_area: 0.0,
        };
        let listed = [
            id(2, 0, None),
            id(12, 0, Some(1)),
            id(12, 0, Some(2)),
            id(12, 1, None),
        ];
        assert_eq!(on(&board), listed);
    }
}
