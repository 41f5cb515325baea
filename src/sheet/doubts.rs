//! What can be odd about readings, or impossible, before a form is made of them.

use crate::fact::{AsField, Field};
use crate::facts;
use crate::measure::Measure;
use crate::sheet::Figure;
use crate::sheet::shown::{Named, Shown, bare, range, read_as, written_as};
use crate::text;
use crate::text::{Part, Text, typed};
use crate::units;
use crate::units::Unit;

facts! {
    /// What can be odd about readings.
    pub(super) enum ReadingFact {
        /// A breadth or depth of more than half of its girth.
        OverHalf { extent: Named, girth: Named }
            => text![*extent, " is more than half of ", *girth],
            "a tape goes there and back again, so a girth is at least twice the breadth and twice the \
             depth: read both again";
        /// A girth that is too short or too long for its breadth and depth; `limit` is the least or the
        /// most that fits.
        DoesNotFit { girth: Named, breadth: Named, depth: Named, limit: Shown, flesh: bool } => text![
            *girth,
            " is ",
            if girth.shown.value < limit.value { "less than the least" } else { "more than the most" },
            " that fits round ",
            *breadth,
            " and ",
            *depth,
            ": ",
            *limit
        ], if *flesh {
            "read the breadth again over the flesh, not on the ribs, and the depth to the front of the \
             bust; or widen the readings with `within`"
        } else {
            "read the three again at the same level, or widen them with `within`"
        };
        /// A level that should lie below another one and does not.
        NotBelow { lower: Named, upper: Named } => text![*lower, " is not below ", *upper],
            "heights run from the floor up: are the two swapped, or one of them mistyped?";
        /// A length along the body that is shorter than the way straight down.
        ShorterThanStraight { length: Named, upper: Named, lower: Named } => text![
            *length,
            " is shorter than the way straight down from ",
            *upper,
            " to ",
            *lower
        ], "a tape along the body is never shorter than the straight line: read the three again";
        /// What is part of another reading and not less.
        NotLess { part: Named, whole: Named, since: Since }
            => text![*part, " is not less than ", *whole], since.words();

        /// Every value would be usual in another unit.
        OtherUnit { unit: Unit, said: Unit, figure: Figure } => text![
            "the values read as ",
            unit.plural(),
            ", but the sheet says ",
            typed(format!("unit = \"{}\"", said.name()))
        ], text![
            "read as ",
            unit.plural(),
            " every one is what to expect of ",
            one(*figure),
            ": write ",
            typed(format!("unit = \"{}\"", unit.name()))
        ];
        /// A reading so unsure that it says next to nothing.
        Vague { reading: Named, within: Shown } => text![
            *reading,
            " is given within ",
            *within,
            ", which says next to nothing"
        ], "`within` is how far off the reading may be, 19 times out of 20, in the same unit";
        /// A reading outside what is seen in people.
        Unexpected { reading: Named, low: bool, figure: Figure, usual: [Shown; 2], slip: Option<Slip> }
            => text![
                *reading,
                if *low { " is smaller" } else { " is larger" },
                " than expected of ",
                one(*figure),
                ": ",
                seen(*usual, *figure)
            ],
            slip.map_or_else(|| "read it again; leave it if it is right".into(), Text::from);
        /// A reading past every body that is known.
        FarFromAnyBody { reading: Named, low: bool, figure: Figure, usual: [Shown; 2], slip: Option<Slip> }
            => text![
                *reading,
                if *low { " is far smaller" } else { " is far larger" },
                " than any body"
            ],
            text![
                slip.map(|slip| text![slip, "; "]),
                "expected of ",
                one(*figure),
                ": ",
                seen(*usual, *figure),
                slip.is_none().then_some("; read it again")
            ];
        /// Two main girths that no one body has.
        NotTogether { reading: Named, less: bool, times: f64, other: Named, slip: Option<Slip> } => text![
            *reading,
            if *less { " is less than " } else { " is more than " },
            units::trimmed(*times, 2),
            " times ",
            *other,
            ": no body is known to have the two together"
        ], text![
            slip.map_or_else(|| "read both again".into(), Text::from),
            "; if both are right, say how far off they may be with `within`"
        ];
        /// A proportion that few people have.
        Proportion {
            a: Named,
            how: How,
            b: Named,
            value: f64,
            usual: [f64; 2],
            figure: Figure,
            survey: &'static str,
            slip: Option<Slip>,
        } => {
            let shown = |v: f64| match how {
                How::Less => Part::Length(v, a.shown.unit).into(),
                How::Over => Text::from(units::fixed(v, 3)),
            };
            let is = match how {
                How::Less => text![*a, " less ", *b, " is ", shown(*value)],
                How::Over => text![*a, " is ", shown(*value), " of ", *b],
            };
            text![
                is,
                "; 99 of 100 ",
                match figure {
                    Figure::Woman => "women",
                    Figure::Man => "men",
                    Figure::Child => "children",
                },
                " of the ",
                *survey,
                " lie between ",
                shown(usual[0]),
                " and ",
                shown(usual[1])
            ]
        }, slip.map_or_else(|| "read both again; leave them if they are right".into(), Text::from);
        /// Two readings in each other's place.
        Swapped { smaller: Named, larger: Named } => text![*smaller, " is not less than ", *larger],
            "are the two swapped?";
        /// A bust that waist and hip do not lead to.
        OddBust { bust: Named, waist: Named, hip: Named, usual: Shown, slip: Option<Slip> } => text![
            *bust,
            " goes oddly with ",
            *waist,
            " and ",
            *hip,
            ": from these the 2012 US Army survey leads to about ",
            *usual
        ], slip.map_or_else(|| "read the three again; leave them if they are right".into(), Text::from);
        /// A back length that the stature does not lead to.
        OddBack { back: Named, stature: Named, usual: Shown, navel: bool } => text![
            *back,
            " is unusual for ",
            *stature,
            ": about ",
            *usual,
            " is expected to ",
            if *navel { "the navel" } else { "the natural waist, where an elastic settles" }
        ], "read it again from the bony point of the nape, and check which waist the sheet names";
        /// A section fuller or hollower than people are; `odd` is what the girth leads least to.
        Fullness {
            girth: Named,
            ratio: f64,
            breadth: Named,
            depth: Named,
            usual: [f64; 2],
            odd: Measure,
            expected: Shown,
        } => text![
            *girth,
            " is ",
            units::fixed(*ratio, 3),
            " of the ellipse of ",
            *breadth,
            " and ",
            *depth,
            "; 98 of 100 people lie between ",
            units::fixed(usual[0], 2),
            " and ",
            units::fixed(usual[1], 2)
        ], text![
            *odd,
            " is the farthest from what the girth leads to, about ",
            *expected,
            ": read it again without pressing"
        ];

        /// The front of a girth that leaves nothing for its back.
        NothingBehind { front: Front, girth: Named, meant: FrontMeant }
            => text![*front, " leaves nothing of ", *girth, " for the back"], meant;
        /// The front of a girth that leaves little for its back.
        LittleBehind { front: Front, left: Shown, girth: Named, nobody: bool, meant: FrontMeant } => text![
            *front,
            " leaves ",
            *left,
            " of ",
            *girth,
            " for the back, ",
            seldom(*nobody)
        ], meant;
        /// The front of a girth that is a small part of it.
        LittleInFront { front: Front, share: f64, girth: Named, nobody: bool, meant: FrontMeant } => text![
            *front,
            " is ",
            units::fixed(*share, 2),
            " of ",
            *girth,
            ", ",
            seldom(*nobody),
            " in front"
        ], meant;
        /// One side of the front of a girth that is too large or too small a part of it.
        HalfInFront { half: Named, share: f64, girth: Named, nobody: bool, whole: bool } => text![
            *half,
            " is ",
            units::fixed(*share, 2),
            " of ",
            *girth,
            ", ",
            seldom(*nobody),
            " on one side of the front"
        ], if *whole {
            text![
                "is it the whole front? then give it without left and right: ",
                line(half.shown)
            ]
        } else {
            "left and right run each from the centre front to its side line: about a quarter of the girth"
                .into()
        };
        /// Left and right further apart than bodies are; `most` is what is seldom passed.
        SidesApart { left: Shown, right: Shown, most: f64, slip: Option<SideSlip> } => text![
            written_as(left.measure),
            " is ",
            *left,
            " on the left and ",
            *right,
            " on the right"
        ], slip.map_or_else(
            || text![
                "left and right are the wearer's own, and seldom more than ",
                left.with(*most),
                " apart; read both again, leave them if they are right"
            ],
            |slip| match slip {
                SideSlip::Either => "are two digits swapped on one side? read both again".into(),
                SideSlip::Left(fits) => digits_on("left", left.with(fits)),
                SideSlip::Right(fits) => digits_on("right", left.with(fits)),
            }
        );
        /// A length along the body that is much longer than the way straight down.
        LongWay { length: Named, longer: Shown, upper: Named, lower: Named, most: Shown } => text![
            *length,
            " is ",
            *longer,
            " longer than the way straight down from ",
            *upper,
            " to ",
            *lower
        ], text![
            "it was ",
            *most,
            " at the most on everybody in the 1988 and 2012 US Army surveys: read the three again; leave \
             them if they are right"
        ];
        /// Shoulder bones that do not go with the shoulders and the neck between them.
        OddShoulders {
            bones: Named,
            wide: bool,
            shoulder: Named,
            neck: Named,
            way: Shown,
            usual: [Shown; 2],
        } => text![
            *bones,
            if *wide { " is too wide" } else { " is too narrow" },
            " for the shoulders: twice ",
            *shoulder,
            " and half of ",
            *neck,
            " are ",
            *way
        ], text![
            "those are ",
            range(*usual),
            " more than the bones on everybody in the 1988 and 2012 US Army surveys: read the three again"
        ];
    }
}

const fn one(figure: Figure) -> &'static str {
    match figure {
        Figure::Woman => "a woman",
        Figure::Man => "a man",
        Figure::Child => "a child",
    }
}

/// A range with where it was seen.
fn seen(usual: [Shown; 2], figure: Figure) -> Text {
    let seen = usual[0].measure.info().seen;
    text![range(usual), " (", seen.words(figure == Figure::Child), ")"]
}

const fn seldom(nobody: bool) -> &'static str {
    if nobody {
        "which nobody has"
    } else {
        "which few have"
    }
}

/// A value as the line of a sheet.
fn line(shown: Shown) -> Text {
    let (_, name) = shown.measure.table_and_key();
    typed(format!("{name} = {}", bare(shown.value, shown.unit)))
}

fn digits_on(side: &'static str, fits: Shown) -> Text {
    text![
        "are two digits swapped on the ",
        side,
        "? ",
        fits,
        " would go with the other side; else read both again"
    ]
}

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
    const fn words(self) -> &'static str {
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

/// A slip that would explain a value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Slip {
    /// Read in a unit, of which it had so many; what that would be.
    Unit(f64, Unit, Shown),
    /// The point slipped.
    Point(Shown),
    /// Two digits swapped.
    Digits(Shown),
    /// Two digits swapped in one of several readings.
    DigitsOf(Shown),
    /// Two readings in each other's place.
    Fields(Measure, Measure),
    /// A waist at the navel.
    Navel,
}

impl AsField for Slip {
    fn field(&self) -> Field {
        let word = |w: &str| Field::Word(w.to_owned());
        Field::List(match self {
            Self::Unit(_, unit, is) => vec![word("unit"), unit.field(), is.field()],
            Self::Point(is) => vec![word("point"), is.field()],
            Self::Digits(is) => vec![word("digits"), is.field()],
            Self::DigitsOf(is) => vec![word("digits"), is.measure.field(), is.field()],
            Self::Fields(a, b) => vec![word("swapped"), a.field(), b.field()],
            Self::Navel => vec![word("navel")],
        })
    }
}

impl From<Slip> for Text {
    fn from(slip: Slip) -> Self {
        match slip {
            Slip::Unit(count, unit, is) => text![
                "was it read in ",
                unit.plural(),
                "? \"",
                read_as(count, unit),
                "\" is ",
                is
            ],
            Slip::Point(is) => text!["has the point slipped? ", is, " would fit"],
            Slip::Digits(is) => text!["are two digits swapped? ", is, " would fit"],
            Slip::DigitsOf(is) => {
                text![
                    "are two digits swapped? ",
                    is.measure,
                    " = ",
                    is,
                    " would fit"
                ]
            }
            Slip::Fields(a, b) => text!["are ", a, " and ", b, " swapped?"],
            Slip::Navel => {
                "was the waist taken at the navel? say `waist = \"navel\"`; else read both \
                            again, and leave them if they are right"
                    .into()
            }
        }
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
pub(super) enum How {
    /// Their difference, mm.
    Less,
    /// Their quotient.
    Over,
}

impl How {
    pub(super) fn of(self, a: f64, b: f64) -> f64 {
        match self {
            Self::Less => a - b,
            Self::Over => a / b,
        }
    }
}

impl AsField for How {
    fn field(&self) -> Field {
        match self {
            Self::Less => "less".field(),
            Self::Over => "over".field(),
        }
    }
}
