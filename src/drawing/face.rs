//! The embedded face of the PDF writer, and what layout asks of it: how wide words are.

use std::collections::BTreeSet;

use skrifa::FontRef;
use skrifa::MetadataProvider;
use skrifa::instance::LocationRef;
use skrifa::instance::Size;

use crate::drawing::Drawing;
use crate::drawing::Item;
use crate::drawing::printable;
use crate::error::Error;

/// Height of a capital letter over the size of the type, for the embedded face (1462 of 2048
/// units, its OS/2 table).
pub const CAP_HEIGHT: f64 = 1462.0 / 2048.0;

/// What is printed for a character the face does not have.
const SUBSTITUTE: char = '?';

/// Width of words in the embedded face, mm, when capitals are `size` mm high.
///
/// # Errors
/// [`Error::Format`] when the face cannot be read.
pub fn text_width(words: &str, size: f64) -> Result<f64, Error> {
    let font = Face::open()?;
    let units: f64 = font
        .glyphs(&printable(words))
        .iter()
        .map(|&(g, _)| font.advance(g))
        .sum();
    Ok(units / font.units * size / CAP_HEIGHT)
}

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

/// The embedded face and what is asked of it.
pub(crate) struct Face {
    map: skrifa::charmap::Charmap<'static>,
    widths: skrifa::metrics::GlyphMetrics<'static>,
    pub(crate) metrics: skrifa::metrics::Metrics,
    /// Units in the height of the type.
    pub(crate) units: f64,
}

impl Face {
    /// Opens the face.
    pub(crate) fn open() -> Result<Self, Error> {
        let font = FontRef::new(notosans::REGULAR_TTF)
            .map_err(|e| Error::Format(format!("the embedded face cannot be read: {e}")))?;
        let metrics = font.metrics(Size::unscaled(), LocationRef::default());
        Ok(Self {
            map: font.charmap(),
            widths: font.glyph_metrics(Size::unscaled(), LocationRef::default()),
            units: f64::from(metrics.units_per_em),
            metrics,
        })
    }

    /// The glyphs of words, each with the character it stands for.
    pub(crate) fn glyphs(&self, words: &str) -> Vec<(u16, char)> {
        words
            .chars()
            .filter_map(|c| {
                self.glyph(c)
                    .map(|g| (g, c))
                    .or_else(|| self.glyph(SUBSTITUTE).map(|g| (g, SUBSTITUTE)))
            })
            .collect()
    }

    /// Number of the glyph that stands for a character.
    fn glyph(&self, c: char) -> Option<u16> {
        self.map
            .map(c)
            .and_then(|g| u16::try_from(g.to_u32()).ok())
            .filter(|&g| g != 0)
    }

    /// Width of a glyph in font units.
    pub(crate) fn advance(&self, glyph: u16) -> f64 {
        f64::from(
            self.widths
                .advance_width(skrifa::GlyphId::new(u32::from(glyph)))
                .unwrap_or(0.0),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::Anchor;
    use crate::geom::Point2;

    #[test]
    fn the_constant_cap_height_is_that_of_the_face() {
        let face = Face::open().unwrap();
        let cap = f64::from(face.metrics.cap_height.unwrap());
        approx::assert_relative_eq!(cap / face.units, CAP_HEIGHT, max_relative = 1e-6);
    }

    #[test]
    fn widths_add_up_and_grow_with_the_size() {
        let narrow = text_width("ii", 3.0).unwrap();
        let wide = text_width("MM", 3.0).unwrap();
        assert!(narrow < wide);
        approx::assert_relative_eq!(
            text_width("MM", 6.0).unwrap(),
            2.0 * wide,
            max_relative = 1e-12
        );
        approx::assert_relative_eq!(
            text_width("iiMM", 3.0).unwrap(),
            narrow + wide,
            max_relative = 1e-12
        );
    }

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
                    "Łucja 10 × ½ 漢 \u{2300}",
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
