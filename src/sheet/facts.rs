//! What can be wrong with how a sheet is written.

use crate::fact::{AsField, Field};
use crate::facts;
use crate::measure::{Figure, Level, Measure};
use crate::sheet::shown::{Shown, range};
use crate::source::{Guess, Quoting, Sort, one_of};
use crate::text;
use crate::text::{Part, Text, key, listed, typed};
use crate::units;
use crate::units::Unit;

facts! {
    /// What can be wrong with how a sheet is written.
    pub(super) enum SheetFact {
        /// No unit in the head.
        NoUnit => "the sheet does not say its unit",
            "write `unit = \"cm\"`, \"mm\" or \"in\" above the first table: it is what a bare number \
             means";
        /// No figure in the head.
        NoFigure => "the sheet does not say whose figure it is",
            "write `figure = \"woman\"`, \"man\" or \"child\" above the first table: it says what to expect \
             where nothing was measured";
        /// A share of somebody who is no figure.
        UnknownShare { key: String, guess: Guess }
            => text!["`figure` has a share for ", text::key(key), ", and there is no such figure"],
            guess;
        /// What nobody can take of somebody who sits.
        OfNobodySeated { measure: Measure }
            => text![*measure, " cannot be taken of somebody who sits, and the sheet says ", typed("posture = \"seated\"")],
            "leave it out; heights are above the seat, and there are no gaps to a wall";
        /// Shares that are not all of a body.
        NoShares { sum: f64 }
            => text!["the shares of `figure` add up to ", units::trimmed(*sum, 3)],
            "together they are 1, and none is below 0: `figure = { woman = 0.5, man = 0.5 }`";
        /// `taken` is not a day.
        NoDate => "`taken` is not a date", "write year, month and day: `taken = 2026-03-14`";
        /// A girth that nothing can stand in for.
        Missing { measure: Measure } => text![*measure, " is missing"],
            text!["write ", example(*measure), " below `[girth]`: ", measure.info().how.of(Figure::Woman)];
        /// Neither back length nor stature.
        NoLength => text![
            "neither ",
            Measure::LengthBackWaist,
            " nor ",
            Measure::HeightStature,
            " is given"
        ], "write `back_waist = ...` below `[length]`, or `stature = ...` below `[height]`: one of them \
            says how long the body is";

        /// A table or key above the first table that no sheet has.
        UnknownTop { key: String, table: bool, meant: Meant } => text![
            typed(key.clone()),
            " is not ",
            if *table { "a table" } else { "a key" },
            " of a measurement sheet"
        ], meant;
        /// A key of a table of measurements that no sheet has.
        UnknownMeasure { table: String, key: String, meant: Meant } => text![
            typed(format!("{table}.{key}")),
            " is not a measurement of the sheet"
        ], meant;
        /// A key below `[shape]` that no sheet has.
        UnknownShape { key: String, guess: Guess }
            => text![typed(format!("shape.{key}")), " is not a key of the sheet"], guess;
        /// One measurement by both of its names.
        BustAndChest { table: String } => text![
            typed(format!("{table}.chest")),
            " and ",
            key(&format!("{table}.bust")),
            " are the same measurement"
        ], "keep one of the two";
        /// A key of one reading that no reading has.
        UnknownPart { key: String, part: String, form: Written }
            => text![typed(format!("{key}.{part}")), " is not a key"],
            text!["write ", *form];
        /// A reading without its value.
        NoReading { key: String, form: Written } => text![text::key(key), " has no value"],
            text!["write ", *form, ", or a number alone"];
        /// Left and right of what has no sides.
        NoSides { key: String } => text![text::key(key), " has no left and right"],
            "write one value for the whole body";
        /// Less than nothing, or nothing.
        NotAboveZero { key: String, zero: bool, usual: [Shown; 2] } => text![
            text::key(key),
            if *zero { " is zero" } else { " is negative" }
        ], text!["write what was read (", range(*usual), " is usual), or leave the line out"];
        /// Smaller or larger than could be shown.
        BeyondAnyBody { key: String, written: String, smaller: bool, usual: [Shown; 2] } => text![
            text::key(key),
            " (",
            written,
            ") is far ",
            if *smaller { "smaller" } else { "larger" },
            " than any body"
        ], text!["write what was read (", range(*usual), " is usual), or leave the line out"];
        /// The half-width of a slope as a length.
        LengthOfSlope { key: String }
            => text![text::key(key), " is a length, but the slope is in degrees"],
            "write it in degrees too";
        /// A half-width of nothing or less.
        NoHalfWidth { key: String } => text![text::key(key), " must be more than zero"],
            half_width(false);
        /// A half-width finer than any reading.
        FineHalfWidth { key: String, written: String } => text![
            text::key(key),
            " (",
            written,
            ") is finer than anything can be read"
        ], half_width(false);
        /// A half-width larger than any body has there.
        WideHalfWidth { key: String, written: String } => text![
            text::key(key),
            " (",
            written,
            ") is more than any body has there"
        ], half_width(true);

        /// Amendments that are not a list of tables.
        NoAmends { is: Sort } => text!["`shape.amend` is ", *is, ", not a list of tables"],
            "write `[[shape.amend]]` on a line of its own and `level`, `towards`, `by` below";
        /// More amendments than a fitter types.
        ManyAmends { count: usize, most: usize } => text![
            "`[[shape.amend]]` stands ",
            *count,
            " times: ",
            *most,
            " are possible"
        ], "amend what a fitter sees, and measure the rest: breadths, depths and girths of more levels";
        /// A key that no amendment has.
        UnknownOfAmend { key: String, guess: Guess }
            => text![typed(format!("shape.amend.{key}")), " is not a key"], guess;
        /// An amendment without one of its keys.
        AmendLacks { key: String } => text!["`shape.amend` has no ", typed(key.clone())],
            "write `level = \"hip\"`, `towards = \"left\"` and `by = 1.0` (out) or `-1.0` (in)";
        /// A length of an amendment past what is possible.
        AmendOutOfRange { key: String, is: (f64, Unit), low: f64, high: f64 } => text![
            typed(key.clone()),
            " (",
            Part::Length(is.0, is.1),
            ") is out of range"
        ], text![
            Part::Length(*low, is.1),
            " to ",
            Part::Length(*high, is.1),
            " is possible; a larger change is a matter of measurements"
        ];
        /// A form changed by hand says so.
        Amended { level: Level, towards: &'static str, by: (f64, Unit) } => text![
            "amended by hand: ",
            moved(*by),
            " at the ",
            level.name(),
            ", ",
            *towards,
            "; what the sheet gives is kept"
        ], "to take it back, delete its table";
        /// Amendments that lie over one another add up to more than one may be.
        AmendsAddUp {
            lines: Vec<usize>,
            sum: (f64, Unit),
            above: bool,
            level: Level,
            towards: &'static str,
            most: f64,
        } => text![
            "the amendments of lines ",
            listed(lines.iter().map(|line| (*line).into()), "and"),
            " add up to ",
            moved(*sum),
            if *above { " above the " } else { " at the " },
            level.name(),
            ", towards the ",
            *towards
        ], text![
            Part::Length(*most, sum.1),
            " is possible at one spot; a larger change is a matter of measurements"
        ];

        /// A workshop file where a sheet was named.
        OfAWorkshop => "this is a workshop file: it holds materials and machines, not a body",
            "give `layfigure new` another name; a workshop file is named with `--workshop`";
        /// A file of which no sheet can be made.
        NoSheet => "`layfigure new` cannot go on with this file: it is not a readable measurement sheet",
            "mend it in a text editor, or begin a new one under another name";
    }
}

/// How an obligatory girth is written.
fn example(measure: Measure) -> Text {
    let (_, name) = measure.table_and_key();
    let line = typed(format!("{name} = ..."));
    match measure {
        Measure::GirthBust => text![line, " (or `chest = ...`)"],
        _ => line,
    }
}

/// What a half-width is.
fn half_width(same_unit: bool) -> Text {
    text![
        "write how far off the reading may be, 19 times out of 20",
        same_unit.then_some(" and in the same unit"),
        ", or leave it out"
    ]
}

/// How far something is moved, and which way.
fn moved((by, unit): (f64, Unit)) -> Text {
    text![
        Part::Length(by.abs(), unit),
        if by < 0.0 { " in" } else { " out" }
    ]
}

/// How a reading of several values is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Written {
    /// Left and right.
    Sides,
    /// A value with its half-width.
    Value,
    /// The same, of one side.
    OneSide,
}

impl AsField for Written {
    fn field(&self) -> Field {
        format!("{self:?}").field()
    }
}

impl From<Written> for Text {
    fn from(form: Written) -> Self {
        typed(match form {
            Written::Sides => "{ left = 13.0, right = 13.4 }",
            Written::Value => "{ value = 78, within = 1.0 }",
            Written::OneSide => "{ value = 13.0, within = 0.5 }",
        })
    }
}

/// What was meant by a key that no sheet has.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Meant {
    /// Another one there.
    Other(Guess),
    /// What is called so here.
    Called(&'static str),
    /// What is called so here, below other tables.
    CalledBelow(&'static str, Vec<&'static str>),
    /// The drop of the shoulder.
    Drop,
    /// A key of the head.
    Head(String),
    /// The same below other tables.
    Below(Vec<&'static str>),
    /// The table of breadths.
    Breadth,
    /// A table of a workshop file.
    Workshop,
}

impl AsField for Meant {
    fn field(&self) -> Field {
        match self {
            Self::Other(guess) => guess.field(),
            Self::Called(name) | Self::CalledBelow(name, _) => name.field(),
            Self::Drop => Field::Word("shoulder".into()),
            Self::Head(key) => key.field(),
            Self::Below(tables) => tables.field(),
            Self::Breadth => Field::Word("breadth".into()),
            Self::Workshop => Field::Nothing,
        }
    }
}

impl From<&Meant> for Text {
    fn from(meant: &Meant) -> Self {
        let headers = |tables: &[&str]| {
            let headers: Vec<String> = tables.iter().map(|t| format!("[{t}]")).collect();
            one_of(headers.iter().map(String::as_str), Quoting::Keys)
        };
        match meant {
            Meant::Other(guess) => guess.into(),
            Meant::Called(name) => text!["here it is called ", typed(*name)],
            Meant::CalledBelow(name, tables) => {
                text![
                    "here it is called ",
                    typed(*name),
                    ", below ",
                    headers(tables)
                ]
            }
            Meant::Drop => {
                "write the drop as `shoulder = \"5.5 cm\"`: with a unit it is a drop, without \
                            it is degrees"
                    .into()
            }
            Meant::Head(key) => text![
                "move ",
                typed(key.clone()),
                " above the first table, to the head of the sheet"
            ],
            Meant::Below(tables) => text!["write it below ", headers(tables)],
            Meant::Breadth => "did you mean `[breadth]`?".into(),
            Meant::Workshop => {
                "materials and machines belong in a workshop file; a sheet describes a body only"
                    .into()
            }
        }
    }
}
