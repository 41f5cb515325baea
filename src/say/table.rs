//! A table as a value: its columns, and its rows with what each weighs. One writer sets it for a
//! terminal, one as HTML.

use std::ops::Range;

/// A table.
#[derive(Clone, Debug, Default)]
pub(super) struct Table {
    /// What it shows; a terminal says it in a line of its own where it must be said.
    pub(super) caption: String,
    /// Its columns.
    pub(super) columns: Vec<Column>,
    /// Its rows: the first cell says what the row is of.
    pub(super) rows: Vec<Row>,
    /// Where there is no room for all of its columns it may be parted, so many of them together and the
    /// first beside each; nothing where its words are broken instead.
    pub(super) together: Option<usize>,
}

/// A column.
#[derive(Clone, Debug)]
pub(super) struct Column {
    /// What stands above it, in lines; the last ones of a table stand beside each other.
    pub(super) head: String,
    /// Whether it holds numbers, which stand below one another by their ends.
    pub(super) is_number: bool,
}

/// A row.
#[derive(Clone, Debug)]
pub(super) struct Row {
    /// As many as there are columns.
    pub(super) cells: Vec<String>,
    /// How much it deserves the eye.
    pub(super) weight: Weight,
}

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

impl Row {
    /// A row of such a weight.
    pub(super) const fn new(cells: Vec<String>, weight: Weight) -> Self {
        Self { cells, weight }
    }
}

impl From<Vec<String>> for Row {
    fn from(cells: Vec<String>) -> Self {
        Self::new(cells, Weight::Plain)
    }
}

impl Table {
    /// A table without a caption: what stands above its columns, which of them hold numbers, and its
    /// rows.
    pub(super) fn new<R: Into<Row>>(
        heads: &[&str],
        numbers: &[usize],
        rows: impl IntoIterator<Item = R>,
    ) -> Self {
        let column = |(i, head): (usize, &&str)| Column {
            head: (*head).to_owned(),
            is_number: numbers.contains(&i),
        };
        Self {
            caption: String::new(),
            together: None,
            columns: heads.iter().enumerate().map(column).collect(),
            rows: rows.into_iter().map(Into::into).collect(),
        }
    }

    /// The first column beside these.
    pub(super) fn of_columns(&self, these: &Range<usize>) -> Self {
        let kept = || std::iter::once(0).chain(these.clone());
        let row = |row: &Row| {
            let cells = kept().filter_map(|i| row.cells.get(i).cloned());
            Row::new(cells.collect(), row.weight)
        };
        Self {
            caption: self.caption.clone(),
            columns: kept()
                .filter_map(|i| self.columns.get(i).cloned())
                .collect(),
            rows: self.rows.iter().map(row).collect(),
            together: None,
        }
    }

    /// The same under a caption.
    pub(super) fn under(self, caption: impl Into<String>) -> Self {
        Self {
            caption: caption.into(),
            ..self
        }
    }
}
