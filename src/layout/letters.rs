//! How small letters get, and how much room words take.

use crate::error::Error;
use crate::face;
use crate::geom::Point2;

/// Smallest height of printed letters, mm (common practice, no source: about 9 point type).
pub(crate) const SMALLEST_LETTER: f64 = 2.2;

/// The box that words take up round their middle.
pub(crate) fn around(at: Point2, size: f64, words: &str) -> Result<(Point2, Point2), Error> {
    let half = face::text_width(words, size)? / 2.0;
    Ok((
        Point2::new(at.x - half, at.y - size * 0.8),
        Point2::new(at.x + half, at.y + size * 0.8),
    ))
}
