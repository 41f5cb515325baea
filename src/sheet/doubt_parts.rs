//! What a doubt about readings may hold besides values: why, which side slipped, what may be meant.

use crate::fact::{AsField, Field};
use crate::sheet::shown::{Named, Shown, bare};
use crate::text;
use crate::text::{Text, typed};

/// Why a reading is less than another one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Since {
    /// It leads to the bust point on the way to the waist.
    OverBustPoint,
    /// The bust points lie in the breadth of the bust.
    WithinBreadth,
    /// A shoulder falls less than it is long.
    ShoulderFalls,
    /// It begins lower.
    BelowSideNeck,
    /// The armpits lie above the waist.
    AboveWaist,
    /// The arc runs over both bust points.
    BothBustPoints,
    /// Across the back is half of the way round, or less.
    HalfRoundBack,
    /// The same across the front.
    HalfRoundFront,
}

impl Since {
    pub(super) const fn words(self) -> &'static str {
        match self {
            Self::OverBustPoint => {
                "the way to the waist leads over the bust point: are the two swapped?"
            }
            Self::WithinBreadth => "the bust points lie within the breadth of the bust",
            Self::ShoulderFalls => "the shoulder falls less than it is long: read both again",
            Self::BelowSideNeck => {
                "the front waist length begins in the hollow of the throat, lower than the side neck, and \
                 runs straight down: are the two swapped?"
            }
            Self::AboveWaist => "the armpits lie above the waist: are the two swapped?",
            Self::BothBustPoints => "the front arc runs over both bust points: read both again",
            Self::HalfRoundBack => "across the back is less than half-way round",
            Self::HalfRoundFront => "across the front is less than half-way round",
        }
    }
}

impl AsField for Since {
    fn field(&self) -> Field {
        format!("{self:?}").field()
    }
}

/// Two digits swapped on one side, and the value (mm) that would go with the other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum SideSlip {
    /// On the left.
    Left(f64),
    /// On the right.
    Right(f64),
    /// On either side.
    Either,
}

impl AsField for SideSlip {
    fn field(&self) -> Field {
        match self {
            Self::Left(fits) => ("left", *fits).field(),
            Self::Right(fits) => ("right", *fits).field(),
            Self::Either => Field::Word("either".into()),
        }
    }
}

/// The front part of a girth as it was given.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Front {
    /// As one arc.
    Whole(Named),
    /// As left and right.
    Halves(Shown, Shown),
}

impl AsField for Front {
    fn field(&self) -> Field {
        match self {
            Self::Whole(named) => named.field(),
            Self::Halves(left, right) => [*left, *right].field(),
        }
    }
}

impl From<Front> for Text {
    fn from(front: Front) -> Self {
        match front {
            Front::Whole(named) => named.into(),
            Front::Halves(left, right) => text![
                left.measure,
                ", ",
                left,
                " on the left and ",
                right,
                " on the right,"
            ],
        }
    }
}

/// What may have been given instead of the front of a girth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum FrontMeant {
    /// The whole front for each half of it: as one value.
    WholeTwice(Shown),
    /// Something else as two halves.
    NoHalves,
    /// One half for the whole.
    Half(Shown),
    /// Something else as one arc.
    NoWhole,
}

impl AsField for FrontMeant {
    fn field(&self) -> Field {
        match self {
            Self::WholeTwice(shown) => ("whole twice", shown.value).field(),
            Self::Half(shown) => ("half", shown.value).field(),
            Self::NoHalves | Self::NoWhole => Field::Nothing,
        }
    }
}

impl From<&FrontMeant> for Text {
    fn from(meant: &FrontMeant) -> Self {
        match meant {
            FrontMeant::WholeTwice(shown) => text![
                "is each of them the whole front? then give one value, without left and right: ",
                line(*shown)
            ],
            FrontMeant::NoHalves => {
                "left and right run each from the centre front to its side line: together they are usually \
                 a little more than half of the girth"
                    .into()
            }
            FrontMeant::Half(shown) => {
                let (_, name) = shown.measure.table_and_key();
                let one = bare(shown.value, shown.unit);
                text![
                    "is it one side of the front? write the whole, from side line to side line, or ",
                    typed(format!("{name} = {{ left = {one}, right = {one} }}"))
                ]
            }
            FrontMeant::NoWhole => {
                "the arc is the front part of the girth, from side line to side line: usually a little \
                 more than half"
                    .into()
            }
        }
    }
}

/// How two values are set against each other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum SetAgainst {
    /// Their difference, mm.
    Less,
    /// Their quotient.
    Over,
}

impl SetAgainst {
    pub(super) fn of(self, a: f64, b: f64) -> f64 {
        match self {
            Self::Less => a - b,
            Self::Over => a / b,
        }
    }
}

impl AsField for SetAgainst {
    fn field(&self) -> Field {
        match self {
            Self::Less => "less".field(),
            Self::Over => "over".field(),
        }
    }
}

/// A value as the line of a sheet.
pub(super) fn line(shown: Shown) -> Text {
    let (_, name) = shown.measure.table_and_key();
    typed(format!("{name} = {}", bare(shown.value, shown.unit)))
}
