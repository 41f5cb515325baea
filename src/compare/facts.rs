//! What a comparison has to say, and why two bodies cannot be compared.

use crate::facts;
use crate::measure::{Level, Measure, Side};
use crate::text;
use crate::text::{Part, Text, typed};
use crate::units::Unit;

/// Words for the four sides, in the order of [`PadLayer::part`](crate::compare::PadLayer::part).
pub const SIDES: [&str; 4] = ["in front", "behind", "on the right", "on the left"];

/// A length in the unit that is asked for.
const fn length(mm: f64, unit: Unit) -> Part {
    Part::Length(mm, unit)
}

/// A form that is larger than the body, or longer.
fn larger(measure: Measure, longer: bool, [form, body]: [f64; 2], unit: Unit) -> Text {
    text![
        "the form is ",
        if longer { "longer" } else { "larger" },
        " than the body in the ",
        Part::Title(measure, Side::Both),
        ": ",
        length(form, unit),
        " and ",
        length(body, unit)
    ]
}

facts! {
    /// What a comparison has to say, and why two bodies cannot be compared.
    pub enum CompareFact {
        /// A form that is larger than the body: padding does not make it smaller.
        FormLarger {
            /// Where.
            measure: Measure,
            /// Whether it is a length, not a girth.
            longer: bool,
            /// Form and body (mm).
            values: [f64; 2],
            /// The unit that is asked for.
            unit: Unit,
        } => larger(*measure, *longer, *values, *unit), "padding only adds: choose a smaller form";
        /// The same where one of the two was not measured.
        FormPerhapsLarger {
            /// Where.
            measure: Measure,
            /// Whether it is a length, not a girth.
            longer: bool,
            /// Form and body (mm).
            values: [f64; 2],
            /// The unit that is asked for.
            unit: Unit,
        } => larger(*measure, *longer, *values, *unit),
             "one of the two is an estimate: measure it before padding";
        /// A form whose shoulder is longer than the body's.
        ShoulderLonger {
            /// Form and body (mm).
            values: [f64; 2],
            /// By how much (mm).
            by: f64,
            /// The unit that is asked for.
            unit: Unit,
        } => larger(Measure::LengthShoulder, true, *values, *unit),
             text!["cut or shave ", length(*by, *unit),
                   " off the arm end of the form's shoulder, or mark the body's shoulder point on the cover and \
                    let the form stand out beyond it"];
        /// A form that is larger round at a height where no level is.
        LargerRound {
            /// How far below the nape (mm).
            below: f64,
            /// By how much (mm).
            by: f64,
            /// The unit that is asked for.
            unit: Unit,
        } => text![length(*below, *unit), " below the nape the form is ", length(*by, *unit),
                   " larger round than the body"],
             "padding only adds: choose a smaller form, or one whose waist and hip lie as the body's";
        /// A form that stands out of the body.
        StandsOut {
            /// How far below the nape (mm).
            below: f64,
            /// By how much (mm).
            by: f64,
            /// On which of the four sides, in the order of [`SIDES`].
            side: usize,
            /// The unit that is asked for.
            unit: Unit,
        } => text![length(*below, *unit), " below the nape the form stands ", length(*by, *unit),
                   " out of the body ", SIDES[*side]],
             "the shapes differ there though the girths do not: leave it bare, or measure breadth and depth of \
              both and look again";
        /// A form that ends above the body's hip.
        EndsAboveHip {
            /// By how much (mm).
            by: f64,
            /// The unit that is asked for.
            unit: Unit,
        } => text!["the form ends ", length(*by, *unit), " above the body's hip"],
             "lengthen it below before padding, with a ring of sheet material as wide as its end";
        /// A form without a level that padding needs.
        NoLevel {
            /// Which.
            level: Level,
        } => text!["a form without its ", Part::Level(*level), " cannot be padded out"], "";
        /// A table of girths is not a form.
        TableIsNoForm => "a table of girths makes no form: pad out from a sheet, or from a size that forms are \
                          made of", "";
        /// Form and body have nothing beside each other.
        NoCommonHeight => "with their napes level the form and the body share no height", "";
        /// A table of girths cannot be drawn.
        TableHasNoSurface => "a table of girths has no surface to draw", "";
        /// How high one of the two stands is not known.
        NoCommonFloor => text!["the two cannot stand on one floor: one sheet has no height above it; give a ",
                               typed("height.waist"), " or a stature, or align them at the waist"],
                         "";
        /// More sheets than are held beside each other.
        TooManySheets {
            /// How many.
            sheets: usize,
            /// The most.
            most: usize,
        } => text![*sheets, " sheets are more than the ", *most,
                   " that are held beside each other: leave some dates out, every second one for example"],
             "";
        /// A sheet without its date.
        NoDate {
            /// Whose.
            name: String,
        } => text![typed(name.clone()), " does not say when it was measured: write ",
                   typed("taken = 2026-03-14"), " in the sheet"],
             "";
        /// Two sheets of one date.
        SameDate {
            /// The date, as written.
            date: String,
        } => text!["two sheets were measured on ", date, ": change over time needs different dates"], "";
        /// Sheets with different names.
        TwoNames {
            /// The two.
            names: [String; 2],
        } => text!["the sheets carry two names, ", typed(names[0].clone()), " and ", typed(names[1].clone())],
             "nothing, if they are of one person";
        /// Sheets that mean different levels by the waist.
        TwoWaists => "the sheets mean different waists: what hangs on the waist is left out",
                     "measure at one waist from now on";
    }
}
