//! What templates are called: the layers on them, the plates, the cards.

/// What a piece or a template is called.
#[derive(Clone, Debug)]
pub(super) enum Title {
    /// A piece of a layer: the number of the layer, how many there are, and what is said beside the
    /// number, which piece of it and the levels in it: ` (waist)`.
    Layer(usize, usize, String),
    /// Several layers.
    Layers(Vec<usize>),
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
        joined(&self.entries())
    }

    /// The same entry by entry, where it is a list.
    pub(super) fn entries(&self) -> Vec<String> {
        match self {
            Self::Layer(..) => vec![format!("layer {}", self.beside_others())],
            Self::Layers(layers) => of_layers(named(layers)),
            Self::Other { brief, .. } => vec![brief.clone()],
        }
    }

    /// In a list that says already that its numbers are layers: `12 (waist)`.
    pub(super) fn beside_others(&self) -> String {
        match self {
            Self::Layer(layer, _, beside) => format!("{layer}{beside}"),
            Self::Layers(layers) => joined(&named(layers)),
            Self::Other { brief, .. } => brief.clone(),
        }
    }

    /// The layers, where it has nothing but their numbers.
    pub(super) fn bare(&self) -> Option<&[usize]> {
        match self {
            Self::Layer(layer, _, beside) if beside.is_empty() => Some(std::slice::from_ref(layer)),
            Self::Layers(layers) => Some(layers),
            _ => None,
        }
    }

    /// Whether it is that of layers.
    pub(super) fn is_of_layers(&self) -> bool {
        !matches!(self, Self::Other { .. })
    }
}

/// A list in one line.
pub(super) fn joined(entries: &[String]) -> String {
    entries.join(", ")
}

/// A list that says in front that its entries are layers.
pub(super) fn of_layers(mut entries: Vec<String>) -> Vec<String> {
    if let Some(first) = entries.first_mut() {
        first.insert_str(0, "layers ");
    }
    entries
}

fn named(numbers: &[usize]) -> Vec<String> {
    numbers.iter().map(ToString::to_string).collect()
}

/// Numbers as people write them: `1–9`, `12`, `14`, `15`, `20`.
pub(super) fn runs(mut numbers: Vec<usize>) -> Vec<String> {
    numbers.sort_unstable();
    numbers.dedup();
    let in_a_row = |run: &[usize]| match run {
        [first, _, .., last] => vec![format!("{first}–{last}")],
        few => named(few),
    };
    let runs = numbers.chunk_by(|a, b| a + 1 == *b);
    runs.flat_map(in_a_row).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_in_a_row_are_put_together() {
        let runs = |numbers: &[usize]| joined(&runs(numbers.to_vec()));
        assert_eq!(runs(&[4, 2, 3, 9, 12, 11, 1]), "1–4, 9, 11, 12");
        assert_eq!(runs(&[7]), "7");
        assert_eq!(
            runs(&[18, 56, 70, 77, 19, 71, 78, 82]),
            "18, 19, 56, 70, 71, 77, 78, 82"
        );
        let both = Title::Layers(vec![3, 9]);
        assert_eq!(both.brief(), "layers 3, 9");
        assert_eq!(both.beside_others(), "3, 9");
    }
}
