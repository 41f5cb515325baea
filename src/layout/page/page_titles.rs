//! What templates are called: the layers on them, the plates, the cards.

use crate::layout::page::fitted::Entries;

/// What a piece or a template is called.
#[derive(Clone, Debug)]
pub(super) enum Title {
    /// A piece of a layer.
    Layer {
        /// Its number, the lowest being 1.
        layer: usize,
        /// How many layers there are.
        count: usize,
        /// Which piece of its layer, counted from 1, where there are several.
        piece: Option<usize>,
        /// What the levels in it are called.
        levels: Vec<&'static str>,
    },
    /// Several layers, the outermost line first, by what each is called.
    Layers(Vec<String>),
    /// Something else: a plate, a wedge, a card.
    Other {
        /// In the list.
        brief: String,
        /// On its page.
        what: String,
    },
}

impl Title {
    /// Of something that is called the same everywhere.
    pub(super) fn other(name: impl Into<String>) -> Self {
        let brief = name.into();
        let what = brief.clone();
        Self::Other { brief, what }
    }

    /// In the list: `layer 12 (waist)`.
    pub(super) fn brief(&self) -> Entries {
        match self {
            Self::Layer { .. } => self.beside_others().after("layer "),
            Self::Layers(_) => self.beside_others().after("layers "),
            Self::Other { brief, .. } => Entries::one(brief),
        }
    }

    /// On its page: `layer 12 of 120 (waist)`.
    pub(super) fn what(&self) -> Entries {
        match self {
            Self::Layer {
                layer,
                count,
                piece,
                levels,
            } => Entries::one(format!(
                "layer {layer} of {count}{}{}",
                which(*piece),
                listed(levels)
            )),
            Self::Layers(_) => self.brief(),
            Self::Other { what, .. } => Entries::one(what),
        }
    }

    /// In a list that says already that its numbers are layers: `12 (waist)`.
    pub(super) fn beside_others(&self) -> Entries {
        match self {
            Self::Layer {
                layer,
                piece,
                levels,
                ..
            } => Entries::one(format!("{layer}{}{}", which(*piece), listed(levels))),
            Self::Layers(layers) => Entries::joined(layers.iter().cloned(), ","),
            Self::Other { brief, .. } => Entries::one(brief),
        }
    }

    /// The same at the foot of a page with others, where there is less room.
    pub(super) fn beside_others_shortly(&self) -> Entries {
        match self {
            Self::Layer { layer, piece, .. } => Entries::one(format!("{layer}{}", which(*piece))),
            title => title.beside_others(),
        }
    }

    /// The layer, where its number says which piece it is.
    pub(super) const fn bare(&self) -> Option<usize> {
        match self {
            Self::Layer {
                layer, piece: None, ..
            } => Some(*layer),
            _ => None,
        }
    }

    /// Whether it is that of layers.
    pub(super) const fn is_of_layers(&self) -> bool {
        !matches!(self, Self::Other { .. })
    }
}

fn which(piece: Option<usize>) -> String {
    piece.map_or_else(String::new, |k| format!(" piece {k}"))
}

fn listed(levels: &[&str]) -> String {
    if levels.is_empty() {
        String::new()
    } else {
        format!(" ({})", levels.join(", "))
    }
}

/// Numbers of layers that have a template each, as people write them: `1–9; 12; 14; 15; 20`. Commas stand
/// between the layers of one template.
pub(super) fn runs(mut numbers: Vec<usize>) -> Entries {
    numbers.sort_unstable();
    numbers.dedup();
    let in_a_row = |run: &[usize]| match run {
        [first, _, .., last] => vec![format!("{first}–{last}")],
        few => few.iter().map(ToString::to_string).collect(),
    };
    Entries::joined(numbers.chunk_by(|a, b| a + 1 == *b).flat_map(in_a_row), ";")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_in_a_row_are_put_together() {
        let runs = |numbers| runs(numbers).words();
        assert_eq!(runs(vec![4, 2, 3, 9, 12, 11, 1]), "1–4; 9; 11; 12");
        assert_eq!(runs(vec![7]), "7");
        assert_eq!(
            runs(vec![18, 56, 70, 77, 19, 71, 78, 82]),
            "18; 19; 56; 70; 71; 77; 78; 82"
        );
    }
}
