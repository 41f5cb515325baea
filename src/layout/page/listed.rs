//! What is drawn on the pages: the pieces from the base board up, each with what it is called.

use crate::error::Error;
use crate::layout::page::fitted::Entries;
use crate::layout::page::page_titles::Title;
use crate::layout::page::plate::Plate;
use crate::layout::page::plate::plate;
use crate::layout::page::template::Template;
use crate::stack::Piece;
use crate::stack::PieceId;
use crate::stack::Stack;
use crate::workshop::Workshop;

/// A piece with what it is called.
pub(super) struct Listed<'a> {
    /// Of several on one template, the outline round all of them under the name of the first.
    pub(super) piece: std::borrow::Cow<'a, Piece>,
    pub(super) title: Title,
    /// How it is drawn where it is not drawn as a piece.
    pub(super) drawn: Option<Template>,
}

impl Listed<'_> {
    /// The layer that it is a piece of; none for a plate, a wedge and a card.
    pub(super) fn layer(&self) -> Option<usize> {
        self.piece.id.of_layer()
    }

    /// The pieces that are drawn.
    pub(super) fn pieces(&self) -> Vec<PieceId> {
        match &self.drawn {
            Some(template) => template.pieces().collect(),
            None => vec![self.piece.id],
        }
    }

    /// What stands on its page: `layer 12 of 120 (waist)`, `layers 9, 3 (half)`.
    pub(super) fn what(&self) -> Entries {
        match &self.drawn {
            Some(template) if template.is_half() => self.title.what().before(" (half)"),
            _ => self.title.what(),
        }
    }
}

/// What the line of a piece is called on a template.
pub(super) fn number(listed: &Listed<'_>, stack: &Stack) -> String {
    let Some(layer) = listed.layer() else {
        return listed.title.brief().words();
    };
    let several = stack
        .layers
        .iter()
        .any(|l| l.index == layer && l.pieces.len() > 1);
    if several {
        listed.piece.id.to_string()
    } else {
        layer.to_string()
    }
}

/// The pieces of a list that is not put on templates yet, each with what it is called.
pub(super) fn titles(listed: &[Listed<'_>]) -> Vec<(PieceId, Title)> {
    let title = |l: &Listed<'_>| (l.piece.id, l.title.clone());
    listed.iter().map(title).collect()
}

/// All pieces from the base board up.
pub(super) fn listed<'a>(stack: &'a Stack, workshop: &Workshop) -> Result<Vec<Listed<'a>>, Error> {
    let mut listed = Vec::new();
    // Where a pile is there already the plates are there too.
    let anew = stack.piled().is_empty();
    let plate = |which: Plate| -> Result<Option<Listed<'a>>, Error> {
        if anew {
            let piece = plate(which, stack, workshop)?;
            Ok(piece.map(|piece| Listed {
                piece: std::borrow::Cow::Owned(piece),
                title: Title::other(which.name()),
                drawn: None,
            }))
        } else {
            Ok(None)
        }
    };
    listed.extend(plate(Plate::Base)?);
    let count = stack.layers.len();
    for layer in stack.layers_to_cut() {
        for (k, piece) in layer.pieces.iter().enumerate() {
            let levels = layer.levels.iter();
            listed.push(Listed {
                piece: std::borrow::Cow::Borrowed(piece),
                title: Title::Layer {
                    layer: layer.index,
                    count,
                    piece: (layer.pieces.len() > 1).then_some(k + 1),
                    levels: levels.map(|l| l.called(stack.figure)).collect(),
                },
                drawn: None,
            });
        }
    }
    for wedge in &stack.wedges {
        listed.push(Listed {
            piece: std::borrow::Cow::Borrowed(&wedge.piece),
            title: Title::Other {
                brief: wedge.piece.id.to_string(),
                what: format!("wedge {}", wedge.piece.id),
            },
            drawn: None,
        });
    }
    listed.extend(plate(Plate::Cap)?);
    Ok(listed)
}
