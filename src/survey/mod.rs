//! Numbers that come from people: what surveys found, and what was set by eye or from memory.
//!
//! Each table is a CSV file beside this one: lines that begin with `#` say what it holds, then comes a
//! row of column names, then the rows. Cells hold neither quotes nor commas. Every row names its unit and
//! its source, and `sources.csv` says what each source is. The files are part of the program; a test reads
//! every row of every file, so a cell that cannot be read never leaves the workshop.

use std::sync::LazyLock;

use crate::measure::Measure;

mod averages;
mod line;

pub use averages::Averages;
pub(crate) use line::Line;
pub(crate) use line::On;

/// One table: its name, its columns, its rows.
pub(crate) struct SurveyTable {
    name: &'static str,
    columns: Vec<&'static str>,
    rows: Vec<Vec<&'static str>>,
}

/// One row of a table.
#[derive(Clone, Copy)]
pub(crate) struct Row<'a> {
    table: &'a SurveyTable,
    cells: &'a [&'static str],
}

impl SurveyTable {
    fn new(name: &'static str, text: &'static str) -> Self {
        let mut lines = text
            .lines()
            .filter(|l| !l.starts_with('#') && !l.is_empty())
            .map(|l| l.split(',').collect::<Vec<_>>());
        Self {
            name,
            columns: lines.next().unwrap_or_default(),
            rows: lines.collect(),
        }
    }

    /// Its rows, from the top.
    pub(crate) fn rows(&self) -> impl Iterator<Item = Row<'_>> {
        self.rows.iter().map(|cells| Row { table: self, cells })
    }
}

impl<'a> Row<'a> {
    /// The words of a cell, which may be empty.
    pub(crate) fn text(self, column: &str) -> &'static str {
        let at = self.table.columns.iter().position(|c| *c == column);
        match at.and_then(|at| self.cells.get(at)) {
            Some(cell) => cell,
            None => self.wrong(column, "is not there"),
        }
    }

    /// The number of a cell; `None` where it is empty.
    pub(crate) fn may(self, column: &str) -> Option<f64> {
        let text = self.text(column);
        if text.is_empty() {
            return None;
        }
        match text.parse::<f64>() {
            Ok(number) if number.is_finite() => Some(number),
            _ => self.wrong(column, "is no number"),
        }
    }

    /// The number of a cell that may not be empty.
    pub(crate) fn number(self, column: &str) -> f64 {
        match self.may(column) {
            Some(number) => number,
            None => self.wrong(column, "is empty"),
        }
    }

    /// The numbers of two cells, the lower first; `None` where both are empty.
    pub(crate) fn range(self, low: &str, high: &str) -> Option<[f64; 2]> {
        match (self.may(low), self.may(high)) {
            (None, None) => None,
            (Some(a), Some(b)) if a < b => Some([a, b]),
            _ => self.wrong(low, "is not the lower end of a range"),
        }
    }

    /// The measurement whose key a cell holds.
    pub(crate) fn measure(self, column: &str) -> Measure {
        match Measure::from_key(self.text(column)) {
            Some(measure) => measure,
            None => self.wrong(column, "is no measurement"),
        }
    }

    /// The words for its source.
    pub(crate) fn source(self) -> &'static str {
        let key = self.text("source");
        match SOURCES.rows().find(|row| row.text("key") == key) {
            Some(row) => row.text("words"),
            None => self.wrong("source", "is not in `sources.csv`"),
        }
    }

    /// Stops: the tables are part of the program, so that only the person who changes one can see this.
    #[allow(
        clippy::panic,
        reason = "a table that cannot be read is a mistake in the program, which a test finds"
    )]
    pub(crate) fn wrong(self, column: &str, why: &str) -> ! {
        panic!(
            "{}: `{column}` {why}: {}",
            self.table.name,
            self.cells.join(",")
        )
    }
}

macro_rules! tables {
    ($($(#[$doc:meta])* $name:ident = $file:literal;)*) => {
        $(
            $(#[$doc])*
            pub(crate) static $name: LazyLock<SurveyTable> =
                LazyLock::new(|| SurveyTable::new($file, include_str!($file)));
        )*

        /// Every table.
        #[cfg(test)]
        fn all() -> Vec<&'static SurveyTable> {
            vec![$(&*$name),*]
        }
    };
}

tables! {
    /// What each word of the column `source` means.
    SOURCES = "sources.csv";
    /// Means and covariances of the main measures.
    JOINT = "joint.csv";
    /// Stature, waist height and the drop of the waist from other measures.
    HEIGHTS = "heights.csv";
    /// What to expect of a measure that was not taken.
    EXPECTATIONS = "expectations.csv";
    /// What to expect of a measure when another one, which the form itself does not have, was taken.
    HINTS = "hints.csv";
    /// What a prediction is unsure of beside the shape.
    SCATTER = "scatter.csv";
    /// How differently hands take a reading.
    MANNER = "manner.csv";
    /// Heights of levels and of the points of the neck.
    LEVELS = "levels.csv";
    /// Breadths, depths and prominences.
    SHAPE = "shape.csv";
    /// How much wider a parameter may lie than was first thought.
    WIDENING = "widening.csv";
    /// How much left and right of one body differ.
    SIDES = "sides.csv";
    /// Two measures against each other.
    PROPORTIONS = "proportions.csv";
    /// A measure from others, to see whether it goes oddly with them.
    USUAL = "usual.csv";
    /// Girth over the ellipse of breadth and depth.
    FULLNESS = "fullness.csv";
}

#[cfg(test)]
mod tests;
