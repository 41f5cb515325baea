//! A sheet while it is being filled in: what to ask in which order, what an answer means, and the
//! text that keeps the answers.

mod answer;
mod draft;
mod order;
#[cfg(test)]
mod tests;
mod written;

pub use answer::Answer;
pub use answer::Try;
pub use answer::parse;
pub use draft::Draft;
pub use draft::Head;
pub use order::Depth;
pub use order::ROUNDS;
pub use order::Round;
pub use order::ShapeWord;
pub use order::asked;
pub use order::expected;
pub use order::name;
pub use order::shapes;
