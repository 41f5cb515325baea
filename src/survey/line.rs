//! A regression line: what one number is expected to be, given others.

use crate::survey::Row;

/// What a line may hang on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum On {
    /// Stature.
    Stature,
    /// Bust girth.
    Bust,
    /// Waist girth.
    Waist,
    /// Hip girth.
    Hip,
    /// Underbust girth.
    Underbust,
    /// Neck girth.
    Neck,
    /// Back waist length.
    Back,
    /// The measurement that the row says it is told from.
    Reading,
}

impl On {
    fn from_word(word: &str) -> Option<Self> {
        Some(match word {
            "stature" => Self::Stature,
            "bust" => Self::Bust,
            "waist" => Self::Waist,
            "hip" => Self::Hip,
            "underbust" => Self::Underbust,
            "neck" => Self::Neck,
            "back" => Self::Back,
            "reading" => Self::Reading,
            _ => return None,
        })
    }
}

/// `moved + intercept + factor * value + ...`, added up in that order, and how far people lie from it.
#[derive(Clone, Debug)]
pub(crate) struct Line {
    base: f64,
    terms: Vec<(f64, On)>,
    sd: Spread,
    /// What else adds to the spread: a factor, and what is itself unsure.
    unsure: Vec<(f64, On)>,
}

/// A standard deviation: a number, or a share of a value.
#[derive(Clone, Copy, Debug)]
enum Spread {
    Number(f64),
    Share(f64, On),
}

/// `0.33482 hip + 0.01485 stature`.
fn terms(row: Row<'_>, column: &str) -> Vec<(f64, On)> {
    let text = row.text(column);
    let one = |term: &str| -> Option<(f64, On)> {
        let (factor, on) = term.split_once(' ')?;
        Some((factor.parse().ok()?, On::from_word(on)?))
    };
    if text.is_empty() {
        return Vec::new();
    }
    match text.split(" + ").map(one).collect() {
        Some(all) => all,
        None => row.wrong(column, "is no sum of `number name`"),
    }
}

impl Line {
    /// The line of a row: columns `moved`, `intercept`, `terms`, `sd` and, where the table has it, `unsure`;
    /// without that column everything it hangs on makes it unsure.
    pub(crate) fn of(row: Row<'_>, unsure: Option<&str>) -> Self {
        let hangs_on = terms(row, "terms");
        let sd = if row.text("sd").contains(' ') {
            match terms(row, "sd").as_slice() {
                [(share, on)] => Spread::Share(*share, *on),
                _ => row.wrong("sd", "is more than one term"),
            }
        } else {
            Spread::Number(row.number("sd"))
        };
        Self {
            base: row.may("moved").unwrap_or(0.0) + row.may("intercept").unwrap_or(0.0),
            unsure: unsure.map_or_else(|| hangs_on.clone(), |column| terms(row, column)),
            terms: hangs_on,
            sd,
        }
    }

    /// The line of the one row that there is.
    ///
    /// # Panics
    /// If there are none or several: a mistake in a table, which a test finds.
    pub(crate) fn only<'a>(mut rows: impl Iterator<Item = Row<'a>>) -> Self {
        match (rows.next(), rows.next()) {
            (Some(row), None) => Self::of(row, None),
            (Some(_), Some(second)) => second.wrong("source", "stands beside another row like it"),
            (None, _) => unreachable!("a table has a row for every question that is asked of it"),
        }
    }

    /// What it leads to.
    pub(crate) fn value(&self, of: impl Fn(On) -> f64) -> f64 {
        let mut sum = self.base;
        for (factor, on) in &self.terms {
            sum += factor * of(*on);
        }
        sum
    }

    /// How far people lie from it, as a standard deviation.
    pub(crate) fn own_sd(&self, of: impl Fn(On) -> f64) -> f64 {
        match self.sd {
            Spread::Number(sd) => sd,
            Spread::Share(share, on) => share * of(on),
        }
    }

    /// The same with what its terms are unsure of: `of` gives a value and its standard deviation.
    pub(crate) fn sd(&self, of: impl Fn(On) -> (f64, f64)) -> f64 {
        let mut sd = self.own_sd(|on| of(on).0);
        for (factor, on) in &self.unsure {
            sd = libm::hypot(sd, factor * of(*on).1);
        }
        sd
    }
}
