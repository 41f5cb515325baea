//! Room for words: where on a shape nothing is cut, drawn or written yet.
//!
//! A [`map::FreeRoom`] is a raster of what is free; words go to the free place nearest to where they
//! are wanted. A [`sized::SizedWords`] makes them as tall as there is room for on the way.

pub(crate) mod map;
pub(crate) mod sized;
