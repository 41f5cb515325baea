//! A workshop file while it is being filled in: what to ask, what an answer means, and the text that
//! keeps the answers. Only what rooms differ in is asked; the blank file has every key.

mod draft;
mod facts;
mod questions;
#[cfg(test)]
mod tests;

pub use draft::RoomDraft;
pub use facts::RoomFact;
pub use questions::Asked;
pub use questions::Question;
pub use questions::questions;
