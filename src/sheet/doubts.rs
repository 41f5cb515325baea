//! What can be odd about readings, or impossible, before a form is made of them.

use crate::facts;
use crate::measure::Measure;
use crate::sheet::doubt_parts::{Front, FrontMeant, SetAgainst, SideSlip, Since, line};
use crate::sheet::shown::{Named, Shown, range, written_as};
use crate::sheet::slip::Slip;
use crate::sheet::{Averages, Figure};
use crate::text;
use crate::text::{Part, Text, listed, typed};
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
        OtherUnit { unit: Unit, said: Unit } => text![
            "these look like ",
            unit.plural(),
            ", but the sheet says ",
            typed(format!("unit = \"{}\"", said.name()))
        ], text![
            "in ",
            unit.plural(),
            " every value would be usual in the survey chosen: write ",
            typed(format!("unit = \"{}\"", unit.name()))
        ];
        /// A reading so unsure that it says next to nothing.
        Vague { reading: Named, within: Shown } => text![
            *reading,
            " is given within ",
            *within,
            ", which is too uncertain to help"
        ], "`within` is how far off the reading may be, 19 times out of 20, in the same unit";
        /// A reading outside what is seen in people.
        Unexpected { reading: Named, low: bool, averages: Averages, usual: [Shown; 2], slip: Option<Slip> }
            => text![
                *reading,
                if *low { " is smaller" } else { " is larger" },
                " than in the survey chosen: ",
                seen(*usual, averages)
            ],
            slip.map_or_else(|| "read it again; leave it if it is right".into(), Text::from);
        /// A reading past every body that is known.
        FarFromAnyBody { reading: Named, low: bool, averages: Averages, usual: [Shown; 2], slip: Option<Slip> }
            => text![
                *reading,
                if *low { " is far smaller" } else { " is far larger" },
                " than any body"
            ],
            text![
                slip.map(|slip| text![slip, "; "]),
                "in the survey chosen: ",
                seen(*usual, averages),
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
            "; if both are right, add `within` to say how uncertain they are"
        ];
        /// A proportion that few people have.
        Proportion {
            a: Named,
            how: SetAgainst,
            b: Named,
            value: f64,
            usual: [f64; 2],
            averages: Averages,
            survey: &'static str,
            slip: Option<Slip>,
        } => {
            let shown = |v: f64| match how {
                SetAgainst::Less => Part::Length(v, a.shown.unit).into(),
                SetAgainst::Over => Text::from(units::fixed(v, 3)),
            };
            let is = match how {
                SetAgainst::Less => text![*a, " less ", *b, " is ", shown(*value)],
                SetAgainst::Over => text![*a, " is ", shown(*value), " of ", *b],
            };
            text![
                is,
                "; ",
                match averages.only() {
                    Some(Figure::Woman) => "998 of 1000 women",
                    Some(Figure::Man) => "998 of 1000 men",
                    Some(Figure::Child) => "99 of 100 children",
                    None => "nearly all people",
                },
                " of the ",
                *survey,
                " lie between ",
                shown(usual[0]),
                " and ",
                shown(usual[1])
            ]
        }, match slip {
            None => "read both again; leave them if they are right".into(),
            Some(Slip::Waist(_)) => text![
                *slip,
                "; else read both again, and leave them if they are right"
            ],
            Some(slip) => Text::from(*slip),
        };
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
            " times the ellipse of ",
            *breadth,
            " and ",
            *depth,
            "; 98 of 100 people lie between ",
            units::fixed(usual[0], 2),
            " and ",
            units::fixed(usual[1], 2)
        ], text![
            *odd,
            " lies farthest from what the girth suggests, about ",
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
        /// Left and right that differ by no more than hands do.
        SidesAlike { pairs: Vec<[Shown; 2]> } => text![
            "left and right differ by no more than two readings of one side do: ",
            listed(pairs.iter().map(|[l, r]| text![written_as(l.measure), " (", *l, " and ", *r, ")"]), "and")
        ], "give one value, and both halves are cut from the same templates; left and right apart take up to twice as \
            many pages again";
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
            " more than this breadth on everybody in the 1988 and 2012 US Army surveys: read the three again"
        ];
    }
}

/// A range with whose it is and where it was seen.
fn seen(usual: [Shown; 2], averages: &Averages) -> Text {
    let child = averages.parts().any(|(figure, _)| figure == Figure::Child);
    let seen = usual[0].measure.info().seen;
    text![
        range(usual),
        " (",
        averages.told(),
        ", ",
        seen.words(child),
        ")"
    ]
}

const fn seldom(nobody: bool) -> &'static str {
    if nobody {
        "which is not possible"
    } else {
        "which is rare"
    }
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
