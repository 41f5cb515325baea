//! A sheet while it is being filled in: what to ask in which order, what an answer means, and the
//! text that keeps the answers.
//!
//! # Why does `new` keep its answers in the sheet itself?
//! There is nothing else to lose or to clean up, and a text editor can go on with it; `toml_edit`
//! leaves other people's comments alone. Two readings become their mean with `within` half their
//! difference, three the middle one: the form then lies between what was read, and the comment
//! keeps all of them.

mod answer;
mod blank;
mod date;
mod draft;
mod facts;
mod head;
mod merge;
mod order;
mod shapes;
mod spoken;
#[cfg(test)]
mod tests;
mod written;

pub use answer::Answer;
pub use answer::Try;
pub use answer::parse;
pub use blank::template;
pub use date::Taken;
pub use date::parse_date;
pub use date::parse_taken;
pub use draft::Draft;
pub use draft::Head;
pub use facts::AnswerFact;
pub use facts::DateFact;
pub use facts::HeadFact;
pub use facts::MergeFact;
pub use head::HeadProblem;
pub use head::HeadQuestion;
pub use head::Without;
pub use head::head_questions;
pub use merge::Merged;
pub use merge::merge;
pub use order::Depth;
pub use order::Need;
pub use order::ROUNDS;
pub use order::Round;
pub use order::asked;
pub use order::needed;
pub use shapes::ShapeWord;
pub use shapes::shapes;
pub use spoken::definition;
pub use spoken::expected;
pub use spoken::how;
pub use spoken::mistake;
pub use spoken::name;
pub use spoken::ready;
