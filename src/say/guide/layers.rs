//! The table of all layers.

use maud::{Markup, html};

use crate::form::Form;
use crate::form::totals;
use crate::layout::Board;
use crate::measure::{Figure, Level};
use crate::stack::{Layer, PieceId};

/// One line a layer, from the lowest up.
pub(super) fn layers(form: &Form) -> Markup {
    let zero = totals::underside(form);
    let unit = form.checked.unit;
    html! {
        table class="small stack" {
            caption {
                @if let Some(last) = form.stack.piled().last() {
                    "Layers 1 to " (last.index) " are in the first guide. "
                }
                "Sizes in " (unit.bench_name()) ". Height is that of the layer's upper face above the underside of \
                       layer 1; step is the widest ledge to the next layer"
            }
            thead { tr {
                th scope="col" class="n" { "Layer" }
                th scope="col" class="n" { "Height" }
                th scope="col" { "Piece" }
                th scope="col" class="n" { "Across × through" }
                th scope="col" { "Board" }
                th scope="col" { "Dowels" }
                th scope="col" class="n" { "Step" }
                th scope="col" { "Level" }
                th scope="col" { "Cut" }
                th scope="col" { "Glued" }
            } }
            tbody { @for layer in form.stack.layers_to_cut() { @for piece in &layer.pieces { tr {
                th scope="row" class="n" { (layer.index) }
                td class="n" { (unit.rule_bare(layer.top - zero, 1)) }
                td { (piece.id) }
                td class="n" {
                    @if let Some((low, high)) = piece.outline.bounds() {
                        (unit.rule_bare(high.x - low.x, 0)) " × " (unit.rule_bare(high.y - low.y, 0))
                    }
                }
                td { (boards(&form.boards, piece.id)) }
                td { (dowels(form, layer)) }
                td class="n" { (unit.rule_bare(layer.step, 0)) }
                td { (levels(layer, form.checked.sheet.figure)) }
                td { "☐" }
                td { "☐" }
            } } } }
        }
    }
}

/// Numbers of the boards that a piece, or its parts, lie on; a dash where there are none.
fn boards(all: &[Board], id: PieceId) -> String {
    let on: Vec<String> = all
        .iter()
        .enumerate()
        .filter(|(_, b)| b.placed.iter().any(|p| p.piece.whole() == id))
        .map(|(i, _)| (i + 1).to_string())
        .collect();
    if on.is_empty() {
        "–".to_owned()
    } else {
        on.join(", ")
    }
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

/// Names of the dowels through a layer.
fn dowels(form: &Form, layer: &Layer) -> String {
    let through = form
        .stack
        .dowels
        .iter()
        .filter(|d| (d.first_layer..=d.last_layer).contains(&layer.index));
    through
        .map(|d| d.name.as_str())
        .collect::<Vec<_>>()
        .join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::layout::Placed;
    use crate::stack::CutFor;

    #[test]
    fn all_boards_of_a_parted_piece_are_named() {
        let id = |layer, nth, part| PieceId {
            of: CutFor::Layer(layer),
            nth,
            part,
        };
        let board = |pieces: &[PieceId]| Board {
            stock: 0,
            width: 300.0,
            length: 300.0,
            placed: pieces
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
        let all = [
            board(&[id(1, 0, Some(1)), id(2, 0, None)]),
            board(&[id(1, 0, Some(2)), id(12, 1, None)]),
            board(&[id(12, 0, Some(1)), id(12, 0, Some(2))]),
        ];
        for (layer, nth, on) in [
            (1, 0, "1, 2"),
            (2, 0, "1"),
            (12, 0, "3"),
            (12, 1, "2"),
            (3, 0, "–"),
        ] {
            assert_eq!(boards(&all, id(layer, nth, None)), on);
        }
    }
}
