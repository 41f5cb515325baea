//! What a page is called: the layers on it, and the plates.

use crate::layout::page::Leaf;
use crate::layout::page::Listed;

/// What a leaf is called, on its page and in the list.
pub(super) fn called(leaf: &Leaf, listed: &[Listed<'_>]) -> (String, String) {
    let lies = match leaf {
        Leaf::Spread(k, _) => return (listed[*k].what.clone(), listed[*k].brief.clone()),
        Leaf::Whole(lies) => lies,
    };
    let mut indices: Vec<usize> = lies.iter().map(|l| l.0).collect();
    indices.sort_unstable();
    let on: Vec<&Listed<'_>> = indices.iter().map(|&k| &listed[k]).collect();
    if let [one] = on.as_slice() {
        return (one.what.clone(), one.brief.clone());
    }
    // Layers that have nothing but their number are put together, the others stand by themselves.
    let (mut numbers, mut others): (Vec<usize>, Vec<&str>) = (Vec::new(), Vec::new());
    for one in &on {
        let layers = match &one.drawn {
            Some(template) => template.layers.clone(),
            None => vec![one.layer],
        };
        let names: Vec<String> = layers.iter().map(ToString::to_string).collect();
        let said = one
            .brief
            .strip_prefix("layers ")
            .or_else(|| one.brief.strip_prefix("layer "))
            .unwrap_or(&one.brief);
        if one.layer > 0 && said == names.join(", ") {
            numbers.extend(layers);
        } else {
            others.push(said);
        }
    }
    let mut names = Vec::new();
    if !numbers.is_empty() {
        names.push(runs(numbers));
    }
    let layers = !names.is_empty() || on[0].layer > 0;
    names.extend(others.iter().map(|&o| o.to_owned()));
    let first = if layers { "layers " } else { "" };
    let both = format!("{first}{}", names.join(", "));
    (both.clone(), both)
}

/// Numbers as people write them: `1–9, 12, 14, 15, 20`.
fn runs(mut numbers: Vec<usize>) -> String {
    numbers.sort_unstable();
    numbers.dedup();
    let in_a_row = |run: &[usize]| match run {
        [first, _, .., last] => format!("{first}–{last}"),
        few => few
            .iter()
            .map(ToString::to_string)
            .collect::<Vec<_>>()
            .join(", "),
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
