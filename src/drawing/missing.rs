//! Characters that drawings ask for and the embedded face does not have.

use std::collections::BTreeSet;

use crate::drawing::{Drawing, Item};
use crate::error::Error;
use crate::face::{Face, printable};

/// Characters of the drawings that the embedded face lacks, in order, each once. Say so to the
/// person: they are printed as `?`.
///
/// # Errors
/// [`Error::Format`] when the face cannot be read.
pub fn missing_glyphs(pages: &[Drawing]) -> Result<Vec<char>, Error> {
    let font = Face::open()?;
    let mut missing = BTreeSet::new();
    for item in pages.iter().flat_map(|p| &p.groups).flat_map(|g| &g.items) {
        if let Item::Text { words, .. } = item {
            missing.extend(
                printable(words)
                    .chars()
                    .filter(|&c| font.glyph(c).is_none()),
            );
        }
    }
    Ok(missing.into_iter().collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::Anchor;
    use crate::geom::Point2;

    #[test]
    fn characters_without_a_glyph_are_named() {
        let page = Drawing {
            width: 100.0,
            height: 100.0,
            title: String::new(),
            groups: vec![crate::drawing::Group {
                id: "a".into(),
                items: vec![Item::words(
                    Point2::new(0.0, 0.0),
                    3.0,
                    Anchor::Start,
                    "Głos Ł 10 × ½ 漢 \u{2300}",
                )],
                clip: None,
            }],
        };
        assert_eq!(
            missing_glyphs(std::slice::from_ref(&page)).unwrap(),
            vec!['\u{2300}', '漢']
        );
    }
}
