//! What the program says of a workshop file.

use crate::error::{Finding, Severity};
use crate::fact::{AsField, Field};
use crate::facts;
use crate::source::{Guess, Quoting, Source, one_of};
use crate::text;
use crate::text::{Text, mm, typed as key};
use crate::units::{Unit, trimmed};

/// A number without needless noughts.
fn number(value: f64) -> String {
    trimmed(value, 3)
}

/// A length of a workshop: finer than a tape reads.
pub(super) fn show(unit: Unit, mm: f64) -> String {
    format!("{} {}", number(unit.from_mm(mm)), unit.name())
}

/// Refuses what stands at these bytes.
pub(super) fn refuse(source: &mut Source<'_>, at: std::ops::Range<usize>, fact: WorkshopFact) {
    say(source, Severity::Refusal, at, fact);
}

/// Says something of what stands at these bytes.
pub(super) fn say(
    source: &mut Source<'_>,
    severity: Severity,
    at: std::ops::Range<usize>,
    fact: WorkshopFact,
) {
    let place = source.place(&at);
    source.push(Finding::of(severity, fact).at(place));
}

/// Where something stands that a workshop does not have.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Belongs {
    /// In the sheet of a body.
    Sheet,
    /// Below this table.
    Below(&'static str),
    /// Above the first table.
    Top,
    /// Nowhere: these are the names that are there.
    OneOf(Vec<&'static str>),
}

impl AsField for Belongs {
    fn field(&self) -> Field {
        match self {
            Self::Sheet => "sheet".field(),
            Self::Below(table) => table.field(),
            Self::Top => "top".field(),
            Self::OneOf(names) => names.field(),
        }
    }
}

impl Belongs {
    fn hint(&self, typed: &str) -> Text {
        match self {
            Self::Sheet => "measurements of a body belong in a measurement sheet; a workshop file describes a room"
                .into(),
            Self::Below(table) => text!["write it below ", key(format!("[{table}]"))],
            Self::Top => text!["move ", key(typed.to_owned()), " above the first table"],
            Self::OneOf(names) => (&Guess::of(typed, names, Quoting::Keys)).into(),
        }
    }
}

/// Why what the check bars of a page measured cannot be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Misprint {
    /// It is not two lengths.
    NotTwo {
        /// The bars along the page and across it (mm).
        bars: [f64; 2],
    },
    /// No printer is so far off.
    Off {
        /// The bar (mm).
        bar: f64,
        /// What it measured (mm).
        measured: f64,
    },
}

impl AsField for Misprint {
    fn field(&self) -> Field {
        match self {
            Self::NotTwo { bars } => bars.field(),
            Self::Off { bar, measured } => (*bar, *measured).field(),
        }
    }
}

impl Misprint {
    /// The same for a person.
    #[must_use]
    pub fn words(&self) -> Text {
        match self {
            Self::NotTwo {
                bars: [along, across],
            } => text![
                "it takes two lengths with an ",
                key("x"),
                " between them, for the bar of ",
                mm(*along),
                " along the page and the bar of ",
                mm(*across),
                " across it (or those of inches, with ",
                key("in"),
                " at the end)"
            ],
            Self::Off { bar, measured } => text![
                "a bar of ",
                mm(*bar),
                " that measures ",
                trimmed(*measured, 1),
                " mm is off by more than a tenth; print at 100 % first"
            ],
        }
    }
}

/// A length out of its range.
fn out_of_range(
    value: f64,
    typed: Option<&String>,
    [low, high]: [f64; 2],
    unit: Unit,
) -> (Text, Text) {
    let what = if value < 0.0 {
        "negative".to_owned()
    } else {
        let shown = typed.cloned().unwrap_or_else(|| show(unit, value));
        format!(
            "{shown}, too {}",
            if value < low { "small" } else { "large" }
        )
    };
    let possible = format!("{} to {} is possible", show(unit, low), show(unit, high));
    let other = Unit::ALL
        .into_iter()
        .filter(|u| *u != unit)
        .find(|u| (low..=high).contains(&(value / unit.in_mm() * u.in_mm())));
    let hint = match other {
        Some(u) if value > 0.0 => format!(
            "{possible}; was it read in {}? write \"{} {}\"",
            u.plural(),
            number(unit.from_mm(value)),
            u.name()
        ),
        _ => possible,
    };
    (what.into(), hint.into())
}

facts! {
    /// What the program says of a workshop file. Lengths are in mm; `unit` is that of the file.
    pub enum WorkshopFact {
        /// A table, or a key above the first, that no workshop has.
        NoSuchTable {
            /// What was typed.
            typed: String,
            /// Whether it is a table.
            table: bool,
            /// Where it belongs.
            belongs: Belongs,
        } => text![key(crate::units::clip(typed)), " is not ", if *table { "a table" } else { "a key" },
                   " of a workshop file"],
             belongs.hint(typed);
        /// A key that this table does not have.
        NoSuchKey {
            /// The table.
            table: &'static str,
            /// What was typed.
            typed: String,
            /// Where it belongs.
            belongs: Belongs,
        } => text![key(format!("{table}.{}", crate::units::clip(typed))), " is not a key of a workshop file"],
             belongs.hint(typed);
        /// A table that stands more often than anybody needs.
        TooManyTables {
            /// Which.
            table: &'static str,
            /// How often.
            times: usize,
            /// The most.
            most: usize,
        } => text![key(format!("[[{table}]]")), " stands ", *times, " times: ", *most, " are possible"],
             "keep those that this form may be cut from; other forms may have a file of their own";
        /// A table that may stand once stands again.
        TableAgain {
            /// Which.
            table: &'static str,
        } => text![key(*table), " is written more than once"],
             text!["write ", key(format!("[{table}]")), " once, with single brackets"];
        /// A length that cannot be.
        OutOfRange {
            /// The key, with its table.
            key: String,
            /// What it says.
            value: f64,
            /// How it was typed, where a size of that many digits would not show it.
            typed: Option<String>,
            /// The least and the most.
            range: [f64; 2],
            /// The unit of the file.
            unit: Unit,
        } => text![text::typed(key.clone()), " is ", out_of_range(*value, typed.as_ref(), *range, *unit).0],
             out_of_range(*value, typed.as_ref(), *range, *unit).1;
        /// A count that cannot be.
        NotCount {
            /// The key, with its table.
            key: String,
            /// What was typed.
            typed: String,
            /// The least and the most.
            range: [usize; 2],
        } => text![text::typed(key.clone()), " cannot be ", typed],
             match range {
                 [low, high] if low == high => text!["write ", *low, ", or leave the line out"],
                 [low, high] => text!["write a whole number, ", *low, " to ", *high],
             };
        /// A number that cannot be.
        NotNumber {
            /// The key, with its table.
            key: String,
            /// What was typed.
            typed: String,
            /// The least and the most.
            range: [f64; 2],
            /// What it counts.
            of: &'static str,
        } => text![text::typed(key.clone()), " cannot be ", typed],
             text![number(range[0]), " to ", number(range[1]), " ", *of, " is possible"];
        /// One dowel alone.
        OneDowel => text![key("dowel.count"), ": one dowel does not keep the layers from turning"],
                    "use two or more where every layer has room for them";
        /// A cut as wide as a hole.
        KerfSwallowsHole {
            /// Width of the cut.
            kerf: f64,
            /// Diameter of the hole.
            hole: f64,
        } => text![key("stock.kerf"), " (", mm(*kerf), ") is as wide as the hole of a dowel (", mm(*hole),
                   "): the cut would swallow it"],
             "the kerf of a knife is 0 to 0.2 mm, of a laser 0.1 to 0.4: enter it as measured, or use thicker \
              dowels";
        /// Of several materials one is built with.
        FirstIsBuilt {
            /// How many are named.
            named: usize,
            /// What the first is called.
            first: String,
        } => text!["the file names ", *named, " materials; the first, ", key(first.clone()), ", is used"],
             text!["move the one to build with to the top; ", key("plan"), " only compares the others, unless ",
                   key("form.step"), " asks for thinner layers where the surface leans"];
        /// Thinner layers are asked for and none is there.
        NoneThinner {
            /// What the first material is called.
            first: String,
        } => text![key("form.step"), " asks for thinner layers, but no ", key("[[layer]]"), " is thinner than ",
                   key(first.clone()), ", the first"],
             "name the thicker material first: it is used where the surface is steep";
        /// Layers of several materials in one form.
        Mixed {
            /// How many materials.
            materials: usize,
            /// The widest step.
            step: f64,
        } => text!["layers are cut from ", *materials,
                   " materials: thinner ones where a step would be wider than ", mm(*step)],
             text!["leave ", key("form.step"), " out to build with the first alone"];
        /// The thickness of batting in two ways.
        BattingTwice => text![key("padding.batting"), " and the wrap test say the same thing twice"],
                        text!["keep ", key("wrap_bare"), " and ", key("wrap_padded"),
                              ", which are measured, and leave ", key("batting"), " out"];
        /// A wrap test that gives no thickness.
        WrapGives {
            /// Batting and cover together.
            both: f64,
            /// The cover alone.
            cover: f64,
            /// The unit of the file.
            unit: Unit,
        } => text!["the wrap test gives ", show(*unit, *both), " of batting and cover together, and the cover alone is ",
                   show(*unit, *cover)],
             text!["wrap a tin or a pipe: ", key("wrap_bare"), " is its girth bare, ", key("wrap_padded"),
                   " with batting and cover stretched as on the form"];
        /// Half a wrap test.
        WrapNeedsBoth => text!["the wrap test needs both ", key("padding.wrap_bare"), " and ",
                               key("padding.wrap_padded")],
                         "tape a tin or a pipe bare, then with batting and cover stretched as on the form";
        /// The thickness of a sheet in two ways.
        ThicknessTwice => text![key("layer.thickness"), " and ", key("layer.ten_stacked"),
                                " say the same thing twice"],
                          text!["keep ", key("ten_stacked"),
                                ", the height of ten pieces piled up: it is the surer one"];
        /// A material of no known weight.
        NoDensity {
            /// What it is called.
            material: String,
            /// What is taken, kg per cubic metre.
            taken: f64,
        } => text!["no density is known for \"", material, "\": ", number(*taken), " kg per cubic metre is taken"],
             text!["write ", key("density = ..."), " below ", key("[layer]"), " if the weight matters"];
        /// A material that is known by a word of its name.
        TakenFor {
            /// What it is called.
            material: String,
            /// What it is taken for.
            known: &'static str,
            /// The weight of that, kg per cubic metre.
            density: f64,
        } => text!["\"", material, "\" is taken for ", *known, ", ", number(*density), " kg per cubic metre"],
             text!["if it is another, write its name as ", key("layfigure plan --materials"),
                   " lists it, or its ", key("density")];
        /// A margin that takes the whole board.
        MarginTooWide {
            /// The margin.
            margin: f64,
            /// Width and length of the board.
            board: [f64; 2],
            /// The unit of the file.
            unit: Unit,
        } => text![key("stock.margin"), " of ", show(*unit, *margin), " leaves nothing of a board ",
                   show(*unit, board[0]), " by ", show(*unit, board[1])],
             "the margin is the edge all round that nothing is cut from: 2 to 20 mm is usual";
        /// Turns that would put the grain across.
        TurnsAcrossGrain => text![key("stock.turn"), ": the stock has a direction, so only 0 and 180 are used"],
                            text!["write ", key("direction = \"none\""), " if grain or flutes do not matter"];
        /// A turn of a whole circle or more, or backwards.
        NotTurn {
            /// What was typed.
            typed: String,
            /// The same turn within one circle, degrees.
            same: f64,
        } => text![key("stock.turn"), " cannot be ", typed, " degrees"],
             text!["write degrees from 0 to less than 360: this turn is ", number(*same)];
        /// More turns than are tried.
        TooManyTurns {
            /// How many.
            turns: usize,
            /// The most.
            most: usize,
        } => text![key("stock.turn"), " names ", *turns, " turns: ", *most, " are possible"],
             text!["every 10 degrees will do, and every 90 nearly as well: ", key("[0, 90, 180, 270]")];
        /// Not even the turn in which a piece stands.
        NoTurn => text![key("stock.turn"), " is empty"],
                  text!["write ", key("[0]"), " if pieces may not be turned"];
        /// A scale that no form has.
        NotScale {
            /// What was typed.
            typed: String,
        } => text![key("form.scale"), " cannot be ", typed],
             "write 1 for a full-size form or 0.5 for a half-scale one";
        /// A roll of paper without its width.
        RollWithoutWidth => text![key("paper.size"), " does not say how wide the roll is"],
                            "common rolls are 610, 762, 914 and 1067 mm wide: \"roll 610 mm\"";
        /// A roll of paper that nobody makes.
        NoSuchRoll {
            /// Its width.
            width: f64,
            /// The unit of the file.
            unit: Unit,
        } => text!["a paper roll ", show(*unit, *width), " wide is not sold"],
             "common rolls are 610, 762, 914 and 1067 mm wide: \"roll 610 mm\"";
        /// Paper smaller or larger than any page.
        NoPage {
            /// Width and height.
            size: [f64; 2],
            /// The unit of the file.
            unit: Unit,
        } => text![key("paper.size"), " of ", show(*unit, size[0]), " by ", show(*unit, size[1]), " is not a page"],
             "100 to 2000 mm by up to 5000 mm is possible";
        /// Paper of no known name.
        NoSuchPaper {
            /// What was typed.
            typed: String,
            /// The names that are known.
            known: Vec<&'static str>,
        } => text![key("paper.size"), " \"", typed, "\" is not known"],
             text!["write ", one_of(known.iter().copied(), Quoting::Quotes), ", or \"roll 610 mm\", or two sides like \"300 x 420 mm\""];
        /// A longest page of paper that is not a roll.
        NoRoll => text![key("paper.length"), " only applies to rolls and is ignored"],
                  text!["delete the line, or write ", key("size = \"roll 610 mm\"")];
        /// Fewer lines on a template than usual, as asked by a file that may be older than their meaning.
        LinesNest {
            /// How many.
            most: usize,
        } => text![key("paper.outlines"), " = ", *most, ": up to so many layers share a template, each line inside the one \
                   before"],
             text!["write 4 for the fewest pages, or 1 for one line on each template"];
        /// Check bars that cannot have measured that.
        NotPrinted {
            /// What was typed.
            typed: String,
            /// Why not.
            why: Misprint,
        } => text![key("paper.printed"), " cannot be \"", typed, "\": ", why.words()],
             "write what the bars of a test page measured, along the page and across it: \"198.5x99.4\"";
        /// Borders as wide as the page.
        NothingOfPage {
            /// Width of the page.
            width: f64,
            /// The unit of the file.
            unit: Unit,
        } => text!["margin and overlap leave nothing of a page ", show(*unit, *width), " wide"],
             "a margin of 5 to 15 mm and an overlap of 10 to 20 mm are usual";
    }
}
