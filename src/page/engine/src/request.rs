//! What the engine can be asked: the calls and their fields.

use layfigure::measure::Figure;
use layfigure::sheet::WaistKind;
use layfigure::units::Unit;
use serde::{Deserialize, Deserializer, de};

/// A request: its call, and what the call needs.
#[derive(Debug, Deserialize)]
#[serde(tag = "call", rename_all = "snake_case")]
pub(crate) enum Request {
    /// Which program this is.
    Version,
    /// What a sheet and a room can hold, in the words for this figure, waist and unit.
    Questions {
        #[serde(default, deserialize_with = "figure")]
        figure: Option<Figure>,
        #[serde(default, deserialize_with = "waist")]
        waist: Option<WaistKind>,
        #[serde(default, deserialize_with = "unit")]
        unit: Option<Unit>,
    },
    /// A sheet to begin with: that of the example of a figure.
    Example {
        #[serde(default, deserialize_with = "figure")]
        figure: Option<Figure>,
    },
    /// Writes, changes or takes away one line of a sheet.
    Set {
        sheet: PageFile,
        line: LineKey,
        /// What was typed; nothing takes the line away.
        words: Option<String>,
    },
    /// Looks at a sheet and makes its body.
    Check {
        sheet: PageFile,
        room: Option<PageFile>,
        #[serde(default, deserialize_with = "unit")]
        unit: Option<Unit>,
        /// Whether to begin from nothing, and not where the last body ended.
        #[serde(default)]
        fresh: bool,
    },
    /// The body as triangles.
    Solid,
    /// Where the tape lies for a measurement.
    Thread { measure: String },
    /// The questions about a room, and what stands in it.
    Room { room: PageFile },
    /// Answers one of them.
    SetRoom {
        room: PageFile,
        asked: String,
        /// What was typed; nothing takes the answer away.
        words: Option<String>,
    },
    /// What the choices of a question about a room cost for the body.
    Choices {
        room: Option<PageFile>,
        asked: String,
    },
    /// What a form of the body comes to in a room, found fast.
    Sum { room: Option<PageFile> },
    /// What a form of the body takes in a room.
    Cost { room: Option<PageFile> },
    /// The same for other thicknesses (mm) or materials.
    Plan {
        room: Option<PageFile>,
        #[serde(default)]
        thicknesses: Vec<f64>,
        #[serde(default)]
        materials: Vec<String>,
    },
    /// Makes the whole folder.
    Build {
        sheet: PageFile,
        room: Option<PageFile>,
        #[serde(default, deserialize_with = "unit")]
        unit: Option<Unit>,
    },
    /// One file of the folder that was made.
    File { name: String },
    /// Lets the files go.
    Forget,
    /// The systems of sizes.
    Systems,
    /// One system with its sizes.
    System { name: String },
    /// A size as a sheet.
    Size {
        name: String,
        #[serde(default, deserialize_with = "unit")]
        unit: Option<Unit>,
    },
    /// The sizes that come nearest to a body.
    Nearest { of: BodyOf, systems: Vec<String> },
    /// Two bodies beside each other.
    Compare {
        a: BodyOf,
        b: BodyOf,
        #[serde(default, deserialize_with = "unit")]
        unit: Option<Unit>,
    },
    /// One of the two as triangles, with how far it stands outside the other.
    ComparedSolid { which: Which },
    /// The comparison as a page of HTML.
    ComparedPage,
}

/// The text of a file, and the name that messages give it.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize)]
pub(crate) struct PageFile {
    pub(crate) file: String,
    pub(crate) text: String,
}

/// A line of a sheet, by its key.
#[derive(Debug, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum LineKey {
    /// `name`, `unit`.
    Head(String),
    /// `girth.bust`.
    Measure(String),
    /// `seat`.
    Shape(String),
}

/// A body to compare: of a sheet, or of a size.
#[derive(Debug, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum BodyOf {
    Sheet(PageFile),
    Size(String),
}

/// One of two bodies.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(crate) enum Which {
    A,
    B,
}

/// A word that must be one of some.
fn word<'de, D: Deserializer<'de>, T>(
    from: D,
    of: impl Fn(&str) -> Option<T>,
) -> Result<Option<T>, D::Error> {
    let word: Option<String> = Option::deserialize(from)?;
    word.map(|w| of(&w).ok_or_else(|| de::Error::custom(format!("no such word: {w}"))))
        .transpose()
}

fn figure<'de, D: Deserializer<'de>>(from: D) -> Result<Option<Figure>, D::Error> {
    word(from, Figure::of_name)
}

fn waist<'de, D: Deserializer<'de>>(from: D) -> Result<Option<WaistKind>, D::Error> {
    word(from, WaistKind::of_name)
}

fn unit<'de, D: Deserializer<'de>>(from: D) -> Result<Option<Unit>, D::Error> {
    word(from, Unit::from_name)
}
