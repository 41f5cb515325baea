//! What can be the matter with an answer.

use crate::facts;
use crate::measure::{Kind, Measure, Side};
use crate::sheet::Averages;
use crate::text;
use crate::text::{Part, Text};
use crate::units::{Misread, Unit};

facts! {
    /// Why an answer is not a reading.
    pub enum AnswerFact {
        /// Left and right of what has no sides.
        NoSides {
            /// What was asked for.
            measure: Measure,
        } => text!["the ", measure.title(), " has no left and right"],
            "type one reading, or two of them with `and` between";
        /// Readings with a side and without.
        SideLacking => "one of the readings has no side",
            "type `left 13.0 right 13.4`, or one reading for both sides";
        /// Nothing that is a reading.
        NoReading {
            /// What was typed.
            typed: String,
        } => text!["there is no reading in ", text::typed(typed.clone())],
            "type what the tape shows, for example 96.5";
        /// Two things that cannot be compared.
        AngleAndLength => "one reading is an angle and the other a length",
            "type both in degrees, or both as the drop with its unit";
        /// Two numbers with nothing between them.
        SeveralNumbers => "that is more than one number",
            "two readings have `and` between them: 96.5 and 97";
        /// Words that are no length.
        Misread {
            /// Why.
            why: Misread,
        } => why.message(), why.hint();
    }
}

facts! {
    /// Why an answer is none to a question of the head.
    pub enum HeadFact {
        /// None of the words to choose from, or more than one.
        NoneOfThese {
            /// The words.
            words: String,
        } => text!["please type ", words.clone()], "";
        /// Another unit than the readings have.
        OtherUnit => "the readings that are kept are in the other unit: begin a new sheet, or give single readings \
                      their unit", "";
        /// No name.
        NeedsName => "a name is needed: a role or a nickname will do", "";
        /// Left out, and it cannot be.
        Needed => "this one cannot be left out: every number depends on it", "";
    }
}

/// How a date is typed.
const EXAMPLE: &str = "type year, month and day, for example 2026-03-14 or 14 March 2026";

facts! {
    /// Why an answer is not a date.
    pub enum DateFact {
        /// A day that is another one tomorrow.
        NotWrittenOut {
            /// What was typed.
            typed: String,
        } => text![
            text::typed(typed.clone()),
            " has to be written out, so that the sheet can be read later"
        ], EXAMPLE;
        /// Nothing that is a date.
        NoDate {
            /// What was typed.
            typed: String,
        } => text![text::typed(typed.clone()), " is not a date"], EXAMPLE;
        /// A year of other digits, or long ago.
        NoYear {
            /// The year as typed.
            typed: String,
        } => text![text::typed(typed.clone()), " cannot be the year of the measurement"],
            "type the year with its four digits, for example 2026";
        /// A day and a month that may be either.
        TwoWays {
            /// What was typed.
            typed: String,
            /// The year.
            year: usize,
            /// One of them.
            first: usize,
            /// The other one.
            second: usize,
        } => text![text::typed(typed.clone()), " can be read in two ways"],
            format!("type {year}-{second:02}-{first:02} or {year}-{first:02}-{second:02}: year, month, day");
        /// A day that the month does not have.
        NoDay {
            /// What was typed.
            typed: String,
        } => text![text::typed(typed.clone()), " is not a day of the calendar"], EXAMPLE;
    }
}

/// A reading in its unit, or an angle.
fn read(measure: Measure, value: f64, unit: Unit) -> Text {
    if measure.kind() == Kind::Slope && measure != Measure::ShoulderDrop {
        Part::Angle(value).into()
    } else {
        text::length(value, unit)
    }
}

facts! {
    /// What is to know of two sheets that are merged.
    pub enum MergeFact {
        /// They are of different figures.
        OtherFigure {
            /// Of the first and of the second.
            figures: [Averages; 2],
        } => text![
            "the first sheet takes its averages from ",
            figures[0].told(),
            ", and the second from ",
            figures[1].told()
        ], "sheets of one body have one figure: mend the one that is wrong";
        /// Their waists are at different levels.
        OtherWaist {
            /// Of the first and of the second.
            waists: [&'static str; 2],
        } => text!["the waist of the first sheet is ", text::typed(waists[0]), ", of the second ", text::typed(waists[1])],
            "readings of two levels have no mean: take those of one of them again";
        /// One of them stood and the other sat.
        OtherPosture => "one sheet is of somebody who stands and the other of somebody who sits",
            "heights of both have no mean: take those of one of them again";
        /// Something else is worn at the bust, or nothing.
        OtherAtTheBust => "one sheet has another bust than the other: `worn` or the word for the bust differ",
            "readings of both have no mean: take those of one of them again";
        /// Two readings differ by more than two tries do.
        Apart {
            /// Of what.
            measure: Measure,
            /// On which side.
            side: Side,
            /// The first's and the second's, mm or radians.
            values: [f64; 2],
            /// Who read them.
            people: [String; 2],
            /// What two tries of practised hands are within, mm or radians.
            usual: f64,
            /// The unit that lengths are shown in.
            unit: Unit,
        } => text![Part::Title(*measure, *side), ": ", read(*measure, values[0], *unit), " (", people[0].clone(), ") and ",
                   read(*measure, values[1], *unit), " (", people[1].clone(), ") are ",
                   read(*measure, (values[0] - values[1]).abs(), *unit), " apart"],
            text!["two tries of practised hands are within about ", read(*measure, *usual, *unit),
                  " (common practice): take it once more together"];
        /// They were taken on different days.
        OtherDay {
            /// Of the first and of the second.
            dates: [String; 2],
        } => text!["the first sheet was taken on ", dates[0].clone(), ", the second on ", dates[1].clone(),
                   ": the later date stands"], "figures change: merge only what was taken within days";
        /// Only one of them tells left from right.
        OneHasSides {
            /// Of what.
            measure: Measure,
        } => text![*measure, ": only one of the two tells left from right, and that one stands"], "";
        /// One has an angle and the other a length.
        OtherKind {
            /// Of what.
            measure: Measure,
        } => text![*measure, ": one is in degrees and the other a drop: the first stands"], "";
        /// They have different words for the shape.
        OtherShape {
            /// The key.
            key: &'static str,
            /// Of the first and of the second.
            words: [String; 2],
        } => text![text::typed(format!("shape.{key}")), " is ", words[0].clone(), " for the one and ", words[1].clone(),
                   " for the other: the first stands"], "";
        /// Only the first one's corrections by hand were taken.
        AmendsOfFirst => text![text::typed("[[shape.amend]]"), " of the second sheet is left out"],
            "add what is lacking by hand";
    }
}
