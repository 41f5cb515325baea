//! A table as a value: its heads, and its rows with what each weighs; in the cells stand words and numbers.
//! Its writers word and align them: one sets it for a terminal, one as HTML.

use std::ops::Range;

use crate::say::amount::Amount;
use crate::text::{Part, Text};

/// A table.
#[derive(Clone, Debug, Default)]
pub(super) struct Table {
    /// What it shows; a terminal says it in a line of its own where it must be said.
    pub(super) caption: Text,
    /// What stands above its columns, in lines; the last ones of a table stand beside each other.
    pub(super) heads: Vec<String>,
    /// Its rows: the first cell says what the row is of.
    pub(super) rows: Vec<TableRow>,
    /// Where there is no room for all of its columns it may be parted, so many of them together and the
    /// first beside each; nothing where its words are broken instead.
    pub(super) together: Option<usize>,
    /// What becomes of it where there is little room.
    pub(super) setting: Setting,
}

/// How a table is set on a page.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Setting {
    /// It is pushed sideways on a screen that is too narrow for it.
    #[default]
    Pushed,
    /// The same, and all of it stays on one sheet of paper.
    Whole,
    /// Narrow enough for every screen.
    Narrow,
    /// Many columns to write in: rows take two lines on a narrow screen.
    Card,
    /// The same for a table of readings with their checks.
    Checks,
}

/// A row.
#[derive(Clone, Debug)]
pub(super) struct TableRow {
    /// As many as there are columns.
    pub(super) cells: Vec<Cell>,
    /// How much it deserves the eye.
    pub(super) weight: Weight,
}

/// What stands in a cell.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Cell {
    /// Words.
    Words(Text),
    /// A number.
    Amount(Amount),
    /// A number and its half-width.
    Within(Amount, Amount),
    /// What stands where other rows have a number: it is aligned as they are.
    Instead(Text),
    /// Two numbers, the second below the first where a page is written.
    Pair([Amount; 2]),
    /// Room to write in.
    Blank,
    /// The same with a number in small figures, where there is one, that says about what goes there.
    Hint(Option<Amount>),
    /// Things to tick off.
    Boxes(Vec<String>),
}

impl Cell {
    /// The words of it.
    pub(super) fn words(&self) -> Text {
        match self {
            Self::Words(words) => words.clone(),
            Self::Amount(amount) => amount.to_string().into(),
            Self::Within(value, spread) => format!("{value} {spread}").into(),
            Self::Instead(words) => words.clone(),
            Self::Pair([one, other]) => {
                crate::text![one.to_string(), Part::NextLine, other.to_string()]
            }
            Self::Blank | Self::Hint(None) => Text::new(),
            Self::Hint(Some(amount)) => amount.to_string().into(),
            Self::Boxes(all) => all.join(" ").into(),
        }
    }

    /// Whether it stands among numbers.
    const fn is_number(&self) -> bool {
        match self {
            Self::Amount(_) | Self::Within(..) | Self::Instead(_) | Self::Pair(_) => true,
            Self::Words(_) | Self::Blank | Self::Hint(_) | Self::Boxes(_) => false,
        }
    }

    /// An amount, or what stands in its place.
    pub(super) fn or(amount: Option<Amount>, instead: &'static str) -> Self {
        amount.map_or_else(|| Self::Instead(instead.into()), Self::Amount)
    }
}

impl<T: Into<Text>> From<T> for Cell {
    fn from(words: T) -> Self {
        Self::Words(words.into())
    }
}

impl From<Amount> for Cell {
    fn from(amount: Amount) -> Self {
        Self::Amount(amount)
    }
}

/// An amount, or a dash where there is none.
impl From<Option<Amount>> for Cell {
    fn from(amount: Option<Amount>) -> Self {
        Self::or(amount, "–")
    }
}

/// The cells of a row, of words and numbers.
macro_rules! cells {
    ($($cell:expr),* $(,)?) => { vec![$($crate::say::table::Cell::from($cell)),*] };
}
pub(super) use cells;

/// How much a row deserves the eye.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Weight {
    /// As any other.
    #[default]
    Plain,
    /// It is missed: look here first.
    Missed,
    /// It says nothing: within what measuring twice may bring about.
    Noise,
}

impl TableRow {
    /// A row of such a weight.
    pub(super) const fn new(cells: Vec<Cell>, weight: Weight) -> Self {
        Self { cells, weight }
    }
}

impl From<Vec<Cell>> for TableRow {
    fn from(cells: Vec<Cell>) -> Self {
        Self::new(cells, Weight::Plain)
    }
}

impl Table {
    /// A table without a caption: what stands above its columns, and its rows.
    pub(super) fn new<R: Into<TableRow>>(
        heads: &[&str],
        rows: impl IntoIterator<Item = R>,
    ) -> Self {
        Self {
            caption: Text::new(),
            setting: Setting::default(),
            together: None,
            heads: heads.iter().map(|head| (*head).to_owned()).collect(),
            rows: rows.into_iter().map(Into::into).collect(),
        }
    }

    /// Which columns hold numbers: these stand below one another by their ends.
    pub(super) fn numbers(&self) -> Vec<bool> {
        let is_number = |row: &TableRow, i: usize| {
            let cell = row.cells.get(i);
            cell.is_some_and(Cell::is_number)
        };
        let columns = 0..self.heads.len();
        columns
            .map(|i| self.rows.iter().any(|row| is_number(row, i)))
            .collect()
    }

    /// The first column beside these.
    pub(super) fn of_columns(&self, these: &Range<usize>) -> Self {
        let kept = || std::iter::once(0).chain(these.clone());
        let row = |row: &TableRow| {
            let cells = kept().filter_map(|i| row.cells.get(i).cloned());
            TableRow::new(cells.collect(), row.weight)
        };
        Self {
            caption: self.caption.clone(),
            heads: kept().filter_map(|i| self.heads.get(i).cloned()).collect(),
            rows: self.rows.iter().map(row).collect(),
            together: None,
            setting: self.setting,
        }
    }

    /// The same, set in this way.
    pub(super) fn set(self, setting: Setting) -> Self {
        Self { setting, ..self }
    }

    /// The same under a caption.
    pub(super) fn under(self, caption: impl Into<Text>) -> Self {
        Self {
            caption: caption.into(),
            ..self
        }
    }
}
