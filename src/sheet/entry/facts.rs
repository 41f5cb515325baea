//! What can be the matter with an answer.

use crate::facts;
use crate::measure::Measure;
use crate::text;
use crate::units::Misread;

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
