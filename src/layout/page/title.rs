//! What templates and their pages are called: the layers on them, the plates, the cards.

use crate::layout::page::Leaf;
use crate::layout::page::Listed;

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
        match self {
            Self::Layer(..) => format!("layer {}", self.beside_others()),
            Self::Layers(_) => format!("layers {}", self.beside_others()),
            Self::Other { brief, .. } => brief.clone(),
        }
    }

    /// In a list that says already that its numbers are layers: `12 (waist)`.
    fn beside_others(&self) -> String {
        match self {
            Self::Layer(layer, _, beside) => format!("{layer}{beside}"),
            Self::Layers(layers) => listed(layers),
            Self::Other { brief, .. } => brief.clone(),
        }
    }

    /// The layers, where it has nothing but their numbers.
    fn bare(&self) -> Option<&[usize]> {
        match self {
            Self::Layer(layer, _, beside) if beside.is_empty() => Some(std::slice::from_ref(layer)),
            Self::Layers(layers) => Some(layers),
            _ => None,
        }
    }

    /// Whether it is that of layers.
    fn is_of_layers(&self) -> bool {
        !matches!(self, Self::Other { .. })
    }
}

impl Listed<'_> {
    /// What stands on its page: `layer 12 of 120 (waist)`, `layers 3, 9 (half)`.
    pub(super) fn what(&self) -> String {
        match (&self.drawn, &self.title) {
            (Some(template), title) if template.half => format!("{} (half)", title.brief()),
            (Some(_), title) => title.brief(),
            (None, Title::Layer(layer, count, beside)) => {
                format!("layer {layer} of {count}{beside}")
            }
            (None, Title::Other { what, .. }) => what.clone(),
            (None, title) => title.brief(),
        }
    }
}

/// What a leaf is called, on its page and in the list.
pub(super) fn called(leaf: &Leaf, all: &[Listed<'_>]) -> (String, String) {
    let lies = match leaf {
        Leaf::Spread(k, _) => return (all[*k].what(), all[*k].title.brief()),
        Leaf::Whole(lies) => lies,
    };
    let mut indices: Vec<usize> = lies.iter().map(|l| l.0).collect();
    indices.sort_unstable();
    let on: Vec<&Listed<'_>> = indices.iter().map(|&k| &all[k]).collect();
    if let [one] = on.as_slice() {
        return (one.what(), one.title.brief());
    }
    // Layers that have nothing but their number are put together, the others stand by themselves.
    let (mut numbers, mut others): (Vec<usize>, Vec<String>) = (Vec::new(), Vec::new());
    for one in &on {
        match one.title.bare() {
            Some(layers) => numbers.extend(layers),
            None => others.push(one.title.beside_others()),
        }
    }
    let layers = !numbers.is_empty() || on[0].title.is_of_layers();
    let mut names = Vec::new();
    if !numbers.is_empty() {
        names.push(runs(numbers));
    }
    names.extend(others);
    let first = if layers { "layers " } else { "" };
    let both = format!("{first}{}", names.join(", "));
    (both.clone(), both)
}

fn listed(numbers: &[usize]) -> String {
    let names: Vec<String> = numbers.iter().map(ToString::to_string).collect();
    names.join(", ")
}

/// Numbers as people write them: `1–9, 12, 14, 15, 20`.
fn runs(mut numbers: Vec<usize>) -> String {
    numbers.sort_unstable();
    numbers.dedup();
    let in_a_row = |run: &[usize]| match run {
        [first, _, .., last] => format!("{first}–{last}"),
        few => listed(few),
    };
    numbers
        .chunk_by(|a, b| a + 1 == *b)
        .map(in_a_row)
        .collect::<Vec<_>>()
        .join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_in_a_row_are_put_together() {
        assert_eq!(runs(vec![4, 2, 3, 9, 12, 11, 1]), "1–4, 9, 11, 12");
        assert_eq!(runs(vec![7]), "7");
        assert_eq!(
            runs(vec![18, 56, 70, 77, 19, 71, 78, 82]),
            "18, 19, 56, 70, 71, 77, 78, 82"
        );
    }
}
