//! A stand-in form from a tape measure.
//!
//! A measurement *sheet* becomes a *torso*, the torso a closed triangle *mesh*, the mesh a *stack*
//! of flat layers, the stack pieces on *boards* and *pages*; the *tape* reads the mesh, and reads
//! it again off the stack as it will be built, and says whether it is right.
//!
//! # Conventions
//! Millimetres and radians everywhere inside. Right-handed axes: `x` to the wearer's right, `y` to
//! the front, `z` up; `z = 0` is the natural waist. Outlines are closed, counter-clockwise, and do
//! not repeat their first point. The library takes text and values and returns values, text or
//! bytes: only the program (`src/cli`) touches files, the terminal and the environment.

pub mod asbuilt;
pub mod compare;
pub mod drawing;
pub mod error;
pub mod face;
pub mod fact;
pub mod form;
pub mod geom;
pub mod imprint;
pub mod layout;
mod lettering;
pub mod measure;
pub mod mesh;
pub mod profile;
pub mod render;
pub mod say;
pub mod sheet;
mod source;
pub mod stack;
mod survey;
pub mod tape;
pub mod text;
pub mod tolerance;
pub mod torso;
pub mod units;
pub mod workshop;

pub use error::{Error, Finding, Severity};
