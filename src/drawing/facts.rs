//! Why a drawing cannot be written.

use crate::facts;
use crate::text;
use crate::text::{Part, mm0};

facts! {
    /// Why a drawing cannot be written.
    pub enum DrawingFact {
        /// A PDF without pages.
        NoPage => "a PDF needs at least one page", "";
        /// A page that no reader shows.
        NoSuchPage {
            /// Its width and height (mm).
            size: [f64; 2],
            /// The longest side that is shown (mm).
            longest: f64,
        } => text!["a PDF page of ", Part::Sizes(*size, 0, "x"),
                   " cannot be written: each side must be more than 0 and at most ", mm0(*longest),
                   "; choose shorter paper"],
             "";
    }
}
