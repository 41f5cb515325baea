//! What the program says and draws of a checked sheet and of a form: for the terminal, for the guide and
//! for other programs.

mod amount;
pub mod any_solid;
mod as_built;
pub mod blank;
pub mod built;
pub mod check_long;
pub mod check_short;
pub mod compare;
mod folder;
pub mod guide;
mod html;
pub mod json;
pub mod materials;
pub mod numbers;
mod page;
mod picture;
pub mod plan;
pub mod room;
pub mod size_numbers;
pub mod sizes;
mod table;
pub mod terminal;
pub mod views;
pub mod words;

pub use folder::{NUMBERS, TEMPLATES, folder, layers};
