//! What a fit can have to say of a sheet.

use crate::error::Finding;
use crate::fact::{AsField, Field};
use crate::facts;
use crate::measure::{Kind, Level, Measure, Side};
use crate::sheet::Slip;
use crate::text;
use crate::text::{Part, Text, listed, mm1};
use crate::units::Unit;

facts! {
    /// What a fit can have to say of a sheet.
    pub(crate) enum FitFact {
        /// A reading that the form does not get.
        Missed { measure: Measure, side: Side, asked: f64, found: f64, unit: Unit, against: Against } => text![
            called(*measure, *side),
            " was read as ",
            shown(*measure, *asked, *unit),
            " but the form gets ",
            got(*measure, *asked, *found, *unit)
        ], against.advice();
        /// A reading that the form does not get, by no more than hands differ in.
        Between { measure: Measure, side: Side, asked: f64, found: f64, unit: Unit, against: Against } => text![
            called(*measure, *side),
            " was read as ",
            shown(*measure, *asked, *unit),
            " and the form gets ",
            got(*measure, *asked, *found, *unit),
            ": hands differ by as much"
        ], against.between();
        /// Nobody measured how the body is held.
        UnknownPosture => "how the body holds itself was not measured: the side view is average", text![
            "heels and seat against a wall, measure ",
            Measure::WallNape,
            " and ",
            Measure::WallWaist
        ];
        /// Readings that put a level where it cannot be; whether some of them are `doubted`.
        LevelsCross { lower: Level, upper: Level, doubted: bool } => text![
            "the readings put the ",
            lower.name(),
            " level at or above the ",
            upper.name(),
            " level"
        ], mend(*doubted);
        /// A reading that the nearest body is far from; whether some are `doubted`.
        NoBody { measure: Measure, side: Side, asked: f64, found: f64, unit: Unit, doubted: bool } => text![
            "no body comes near these readings: ",
            called(*measure, *side),
            " was read as ",
            shown(*measure, *asked, *unit),
            ", and the nearest form gets ",
            shown(*measure, *found, *unit)
        ], mend(*doubted);
        /// Two readings that stand in each other's place.
        Exchanged { one: (Measure, f64), other: (Measure, f64), unit: Unit, slips: Vec<Slip> } => text![
            named(*one, *unit),
            " and ",
            named(*other, *unit),
            " pull against the rest, and would go with it the other way round"
        ], settle(slips, true);
        /// Readings at the waist that go together with each other, and not with the rest.
        AnotherWaist { readings: Vec<(Measure, f64)>, unit: Unit, slips: Vec<Slip> } => text![
            listed(readings.iter().map(|r| named(*r, *unit)), "and"),
            " pull against the rest, and would go with it at another waist"
        ], settle(slips, true);
        /// Readings that pull against the rest, or against each other.
        Pulling { readings: Vec<Doubted>, unit: Unit, slips: Vec<Slip> } => {
            let mut lines = readings.iter().map(|d| d.text(*unit));
            if readings.len() == 1 {
                text![lines.next(), ": it pulls against the rest"]
            } else {
                text![
                    "these readings pull against each other: ",
                    Text::joined(lines, "; ")
                ]
            }
        }, settle(slips, readings.len() > 1);
    }
}

impl FitFact {
    /// The reading that a finding says is missed, if it says so.
    pub(crate) fn missed(finding: &Finding) -> Option<(Measure, Side)> {
        match finding.as_fact() {
            Some(Self::Missed { measure, side, .. } | Self::Between { measure, side, .. }) => {
                Some((*measure, *side))
            }
            _ => None,
        }
    }
}

/// A measurement, and the side where one is meant.
fn called(measure: Measure, side: Side) -> Text {
    text![
        measure,
        match side {
            Side::Both => "",
            Side::Left => " on the left",
            Side::Right => " on the right",
        }
    ]
}

/// A value in the sheet's unit, or in degrees.
fn shown(measure: Measure, value: f64, unit: Unit) -> Text {
    if measure.kind() == Kind::Slope {
        format!("{:.1} degrees", value.to_degrees()).into()
    } else {
        Part::Length(value, unit).into()
    }
}

fn named((measure, value): (Measure, f64), unit: Unit) -> Text {
    text![measure, " (", shown(measure, value, unit), ")"]
}

/// What the form gets; where that reads as what was asked, by how many millimetres it is off.
fn got(measure: Measure, asked: f64, found: f64, unit: Unit) -> Text {
    let alike = unit.show(asked) == unit.show(found);
    if alike && measure.kind() != Kind::Slope {
        let off = found - asked;
        return text![mm1(off.abs()), if off > 0.0 { " more" } else { " less" }];
    }
    shown(measure, found, unit)
}

const fn mend(doubted: bool) -> &'static str {
    if doubted {
        "mend what is named above first"
    } else {
        "read the lengths and heights of this sheet again, those named first"
    }
}

/// What to do about readings that pull: look for the slips, else measure again.
fn settle(slips: &[Slip], several: bool) -> Text {
    let Some(last) = slips.last() else {
        return text![
            "measure ",
            if several {
                "these again, or say how sure each is"
            } else {
                "it again, or say how sure it is"
            },
            " with `within`"
        ];
    };
    text![
        Text::joined(slips.iter().map(|s| Text::from(*s)), ", or "),
        match last {
            // It ends in a question.
            Slip::Exchanged(..) => Part::IfNot,
            _ => Part::Words("; else ".into()),
        },
        "measure again"
    ]
}

/// A reading that pulls against the rest.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Doubted {
    pub(crate) measure: Measure,
    pub(crate) side: Side,
    /// What was read, mm or radians.
    pub(crate) given: f64,
    /// What the others expect, and its 95 % half-width.
    pub(crate) expected: (f64, f64),
}

impl Doubted {
    fn text(&self, unit: Unit) -> Text {
        let (value, within) = self.expected;
        let spread = if self.measure.kind() == Kind::Slope {
            format!("{:.1}", within.to_degrees())
        } else {
            unit.show_half_width(within)
        };
        text![
            called(self.measure, self.side),
            " was read as ",
            shown(self.measure, self.given, unit),
            " where the others expect ",
            shown(self.measure, value, unit),
            " ± ",
            spread
        ]
    }
}

impl AsField for Doubted {
    fn field(&self) -> Field {
        Field::List(vec![
            self.measure.field(),
            self.side.field(),
            self.given.field(),
            self.expected.field(),
        ])
    }
}

/// What a missed reading pulls against.
#[derive(Clone, Debug, PartialEq)]
pub enum Against {
    /// Other readings, the strongest first.
    Readings(Vec<(Measure, Side)>),
    /// No reading: only what surveys know of bodies.
    Surveys,
    /// Nobody knows: other questions were weightier, or the answer was too long in coming.
    Unasked,
}

impl Against {
    /// The readings of it, the strongest first.
    pub(crate) fn readings(&self) -> &[(Measure, Side)] {
        match self {
            Self::Readings(all) => all,
            Self::Surveys | Self::Unasked => &[],
        }
    }

    /// What is against a reading: "`wall.waist` and `girth.hip`".
    fn named(&self) -> Text {
        if self.readings().is_empty() {
            return "what the surveys expect of a body".into();
        }
        listed(self.readings().iter().map(|(m, s)| called(*m, *s)), "and")
    }

    /// What a reading pulls against, in one line.
    pub(crate) fn told(&self) -> Text {
        match self {
            Self::Unasked => "correct the other readings first, then check again".into(),
            _ => text!["it pulls against ", self.named()],
        }
    }

    /// What to do about a miss that is no larger than what hands differ in.
    fn between(&self) -> Text {
        let all = self.readings();
        if all.is_empty() {
            return "leave it, or measure it again and say how sure it is with `within`".into();
        }
        text![
            "it and ",
            self.named(),
            " do not quite go together, and the form lies between; if you are surer of one of them, say so \
             with `within`"
        ]
    }

    /// What to do about a miss.
    pub(crate) fn advice(&self) -> Text {
        if *self == Self::Unasked {
            return "too much is missed to ask what each reading pulls against: mend the others first, \
                    then check again"
                .into();
        }
        let count = self.readings().len();
        text![
            self.named(),
            if count < 2 { " pulls" } else { " pull" },
            " against it; ",
            match count {
                0 => "no other reading does: measure it again, and leave it if it is right",
                1 => "measure both again, or say how sure each is with `within`",
                _ => "measure it and these again, or say how sure each is with `within`",
            }
        ]
    }
}

impl AsField for Against {
    fn field(&self) -> Field {
        match self {
            Self::Surveys => Field::Word("surveys".into()),
            Self::Unasked => Field::Nothing,
            Self::Readings(all) => all.field(),
        }
    }
}
