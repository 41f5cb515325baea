//! What templates are called: the layers on them, the plates, the cards.

/// What a piece or a template is called.
#[derive(Clone, Debug)]
pub(super) enum Title {
    /// A piece of a layer: the number of the layer, how many there are, which piece of it where there are
    /// several, and the levels in it: ` (waist)`.
    Layer(usize, usize, String, String),
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
    pub(super) fn brief(&self) -> String {
        match self {
            Self::Layer(..) => format!("layer {}", self.beside_others()),
            Self::Layers(_) => format!("layers {}", self.beside_others()),
            Self::Other { brief, .. } => brief.clone(),
        }
    }

    /// In a list that says already that its numbers are layers: `12 (waist)`.
    pub(super) fn beside_others(&self) -> String {
        match self {
            Self::Layer(layer, _, which, levels) => format!("{layer}{which}{levels}"),
            Self::Layers(layers) => layers.join(", "),
            Self::Other { brief, .. } => brief.clone(),
        }
    }

    /// The same at the foot of a page with others, where there is less room.
    pub(super) fn beside_others_shortly(&self) -> String {
        match self {
            Self::Layer(layer, _, which, _) => format!("{layer}{which}"),
            title => title.beside_others(),
        }
    }

    /// The layer, where its number says which piece it is.
    pub(super) fn bare(&self) -> Option<usize> {
        match self {
            Self::Layer(layer, _, which, _) if which.is_empty() => Some(*layer),
            _ => None,
        }
    }

    /// Whether it has levels to be named.
    pub(super) fn has_levels(&self) -> bool {
        matches!(self, Self::Layer(.., levels) if !levels.is_empty())
    }

    /// Whether it is that of layers.
    pub(super) fn is_of_layers(&self) -> bool {
        !matches!(self, Self::Other { .. })
    }
}

/// Numbers of layers that have a template each, as people write them: `1–9; 12; 14; 15; 20`. Commas stand between the
/// layers of one template.
pub(super) fn runs(mut numbers: Vec<usize>) -> String {
    numbers.sort_unstable();
    numbers.dedup();
    let in_a_row = |run: &[usize]| match run {
        [first, _, .., last] => format!("{first}–{last}"),
        few => few
            .iter()
            .map(ToString::to_string)
            .collect::<Vec<_>>()
            .join("; "),
    };
    numbers
        .chunk_by(|a, b| a + 1 == *b)
        .map(in_a_row)
        .collect::<Vec<_>>()
        .join("; ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_in_a_row_are_put_together() {
        assert_eq!(runs(vec![4, 2, 3, 9, 12, 11, 1]), "1–4; 9; 11; 12");
        assert_eq!(runs(vec![7]), "7");
        assert_eq!(
            runs(vec![18, 56, 70, 77, 19, 71, 78, 82]),
            "18; 19; 56; 70; 71; 77; 78; 82"
        );
    }
}
