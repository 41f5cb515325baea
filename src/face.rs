//! The face that words are drawn in, which PDF files embed: how wide words are, before they are laid
//! and however they are written.

use skrifa::FontRef;
use skrifa::MetadataProvider;
use skrifa::instance::LocationRef;
use skrifa::instance::Size;

use crate::error::Error;
use crate::facts;
use crate::text;

/// Height of a capital letter over the size of the type, for the embedded face (1462 of 2048
/// units, its OS/2 table).
pub const CAP_HEIGHT: f64 = 1462.0 / 2048.0;

/// What is printed for a character the face does not have.
const SUBSTITUTE: char = '?';

/// Words without the control characters that no drawing format can carry.
pub(crate) fn printable(words: &str) -> String {
    words
        .chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect()
}

facts! {
    /// What can be wrong with the face.
    pub enum FaceFact {
        /// It is none.
        Unreadable {
            /// What its reader said.
            said: String,
        } => text!["the embedded face cannot be read: ", said], "";
    }
}

/// Width of words in the embedded face, mm, when capitals are `size` mm high.
///
/// # Errors
/// [`Error::Format`] when the face cannot be read.
pub fn text_width(words: &str, size: f64) -> Result<f64, Error> {
    Ok(Face::open()?.width(words, size))
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
        let font = FontRef::new(notosans::REGULAR_TTF).map_err(|e| {
            Error::format(FaceFact::Unreadable {
                said: e.to_string(),
            })
        })?;
        let metrics = font.metrics(Size::unscaled(), LocationRef::default());
        Ok(Self {
            map: font.charmap(),
            widths: font.glyph_metrics(Size::unscaled(), LocationRef::default()),
            units: f64::from(metrics.units_per_em),
            metrics,
        })
    }

    /// Width of words, mm, when capitals are `size` mm high.
    pub(crate) fn width(&self, words: &str, size: f64) -> f64 {
        let units: f64 = self
            .glyphs(&printable(words))
            .iter()
            .map(|&(g, _)| self.advance(g))
            .sum();
        units / self.units * size / CAP_HEIGHT
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
    pub(crate) fn glyph(&self, c: char) -> Option<u16> {
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
}
