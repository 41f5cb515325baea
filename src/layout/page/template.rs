//! A template that is drawn for several layers, or by half.

use std::collections::BTreeMap;

use crate::drawing::Item;
use crate::stack::PieceId;

/// A page number with as many digits as there may be: its room is kept before pages are counted.
pub(super) const MOST_PAGES: usize = 888;

/// Where the outline of the layer above is found.
pub(super) fn layer_above(layer: usize, page: usize) -> String {
    format!("{layer} above: p. {page}")
}

/// A drawing of one or more pieces, in their own axes.
pub(super) struct Template {
    pub(super) items: Vec<Item>,
    /// The pieces that it is for, each with a line of its own.
    pub(super) pieces: Vec<PieceId>,
    /// Whether it shows the right half.
    pub(super) half: bool,
    /// Numbers of those items that say where the layer above one of these is drawn, each with the
    /// number of that layer.
    pub(super) above: Vec<(usize, usize)>,
}

impl Template {
    /// Writes where the layers above are, now that pages are counted; of one that is on no page
    /// nothing is said.
    pub(super) fn name_pages(&mut self, page_of: &BTreeMap<usize, usize>) {
        for &(item, layer) in &self.above {
            if let Some(Item::Text { words, .. }) = self.items.get_mut(item) {
                *words = page_of
                    .get(&layer)
                    .map_or_else(String::new, |page| layer_above(layer, *page));
            }
        }
    }
}
