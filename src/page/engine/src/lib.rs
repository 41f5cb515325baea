//! The engine of the page: the library behind calls that a browser can make.
//!
//! A request is an object of JSON with the name of a call, an answer is another with `ok`, and bytes where something
//! is too large for words. Nothing is worked out here: every call asks the library and passes its facts on.
//! `src/page/README.md` has the calls, one by one.
//!
//! [`Engine`] is plain safe Rust that any program can hold; `door.rs` opens it to a browser.

mod body;
pub mod door;
mod engine;
mod files;
mod lines;
mod pair;
mod questions;
mod reply;
mod request;
mod room;
#[cfg(test)]
mod tests;

pub use engine::Engine;
pub use reply::EngineReply;
