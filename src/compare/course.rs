//! Several dated sheets of one person: what was measured, date by date.

use crate::compare::Body;
use crate::compare::cutting::{Alteration, Ease, alterations};
use crate::compare::differences::{Difference, hangs_on_waist, limit, of_side, sides};
use crate::compare::facts::CompareFact;
use crate::error::{Error, Finding, Severity};
use crate::measure::{Figure, Measure, Side};
use crate::sheet::{Origin, Target};

/// At most this many sheets of one person are held beside each other. Our choice: a sheet a week for ten
/// years.
pub const MOST_SHEETS: usize = 520;

/// One measurement at every date.
#[derive(Clone, Debug, PartialEq)]
pub struct CourseRow {
    /// What is measured.
    pub measure: Measure,
    /// On which side.
    pub side: Side,
    /// The reading at each date; nothing where none was taken.
    pub values: Vec<Option<Target>>,
    /// The last reading less the first, mm or radians.
    pub apart: f64,
    /// A difference up to this is what measuring twice can account for: mm or radians.
    pub limit: f64,
}

impl CourseRow {
    /// Whether the change is no more than measuring can account for.
    #[must_use]
    pub fn is_noise(&self) -> bool {
        self.apart.abs() <= self.limit
    }
}

/// A person over time.
#[derive(Clone, Debug)]
pub struct Course {
    /// Name on the last sheet.
    pub name: String,
    /// Whose figure it is, by all sheets.
    pub figure: Figure,
    /// The dates, rising.
    pub dates: Vec<String>,
    /// Days since the first date.
    pub days: Vec<i64>,
    /// Everything read at two dates at least, in the order of [`Measure::ALL`].
    pub rows: Vec<CourseRow>,
    /// What to alter at which date (its place in the list of dates), on something that fitted at the first reading and
    /// was altered ever since.
    pub altered: Vec<(usize, Vec<Alteration>)>,
    /// How much may differ before anything is altered.
    pub ease: Ease,
    /// What is to know; never a refusal.
    pub findings: Vec<Finding>,
}

/// What to alter at each date. Each reading is held beside the one that the garment was last brought to, so that small
/// changes which go on add up to one that is altered.
fn altered(
    rows: &[CourseRow],
    dates: usize,
    ease: Ease,
    figure: Figure,
) -> Vec<(usize, Vec<Alteration>)> {
    let mut fits: Vec<Option<&Target>> = vec![None; rows.len()];
    let mut out = Vec::new();
    for date in 0..dates {
        let mut now = Vec::new();
        for (row, fits) in rows.iter().zip(&mut fits) {
            let Some(read) = row.values.get(date).and_then(Option::as_ref) else {
                continue;
            };
            let before = *fits.get_or_insert(read);
            now.push(Difference {
                measure: row.measure,
                side: row.side,
                apart: read.value - before.value,
                limit: limit(before, read),
                a: before.clone(),
                b: read.clone(),
            });
        }
        let list = alterations(&now, ease, figure);
        for (row, fits) in rows.iter().zip(&mut fits) {
            let is_altered = |a: &Alteration| a.measure == row.measure && a.side == row.side;
            if list.iter().any(is_altered) {
                *fits = row.values[date].as_ref();
            }
        }
        if !list.is_empty() {
            out.push((date, list));
        }
    }
    out
}

/// The days from 1970-01-01 to an ISO 8601 date of the Gregorian calendar: 365 to the year, a day for
/// every leap year before it, and the months counted from March, so that a leap day comes last.
#[must_use]
pub fn day_number(date: &str) -> Option<i64> {
    let mut parts = date.get(..10)?.split('-').map(str::parse::<i64>);
    let (year, month, day) = (
        parts.next()?.ok()?,
        parts.next()?.ok()?,
        parts.next()?.ok()?,
    );
    if !(1..=12).contains(&month) || !(1..=31).contains(&day) {
        return None;
    }
    let (year, month) = if month > 2 {
        (year, month - 3)
    } else {
        (year - 1, month + 9)
    };
    // Days before a month that is counted from March: 31, 30, 31, 30, 31 and again.
    let before = (153 * month + 2) / 5;
    let leap = year.div_euclid(4) - year.div_euclid(100) + year.div_euclid(400);
    Some(365 * year + leap + before + day - DAYS_TO_1970)
}

/// Days of that count up to 1970-01-01, a date like any other: a test holds it.
const DAYS_TO_1970: i64 = 719_469;

/// What to say of more than [`MOST_SHEETS`] sheets.
#[must_use]
pub fn too_many(sheets: usize) -> Error {
    Error::request(CompareFact::TooManySheets {
        sheets,
        most: MOST_SHEETS,
    })
}

/// Puts the sheets of one person in the order of their dates and finds what changed.
///
/// # Errors
/// [`Error::Request`] when a sheet has no date, or two have the same, or there are more than
/// [`MOST_SHEETS`].
pub fn over_time(mut bodies: Vec<Body>, ease: Ease) -> Result<Course, Error> {
    if bodies.len() > MOST_SHEETS {
        return Err(too_many(bodies.len()));
    }
    let day = |b: &Body| {
        b.taken.as_deref().and_then(day_number).ok_or_else(|| {
            let name = b.name.clone();
            Error::request(CompareFact::NoDate { name })
        })
    };
    let mut first = i64::MAX;
    for b in &bodies {
        first = first.min(day(b)?);
    }
    bodies.sort_by_key(|b| b.taken.as_deref().and_then(day_number));
    let mut days = Vec::new();
    let mut dates: Vec<String> = Vec::new();
    for b in &bodies {
        let date = b.taken.clone().unwrap_or_default();
        if dates.last() == Some(&date) {
            return Err(Error::request(CompareFact::SameDate { date }));
        }
        days.push(day(b)? - first);
        dates.push(date);
    }
    let mut findings = Vec::new();
    if let (Some(last), Some(other)) = (
        bodies.last(),
        bodies
            .iter()
            .find(|b| Some(&b.name) != bodies.last().map(|l| &l.name)),
    ) {
        let names = [other.name.clone(), last.name.clone()];
        findings.push(Finding::of(Severity::Note, CompareFact::TwoNames { names }));
    }
    let one_waist = bodies.windows(2).all(|w| w[0].waist == w[1].waist);
    if !one_waist {
        findings.push(Finding::of(Severity::Note, CompareFact::TwoWaists));
    }
    let mut rows = Vec::new();
    for measure in Measure::ALL {
        if !one_waist && hangs_on_waist(measure) {
            continue;
        }
        let lists: Vec<Vec<Target>> = bodies
            .iter()
            .map(|b| {
                b.values
                    .iter()
                    .filter(|t| t.measure == measure && t.origin == Origin::Given)
                    .cloned()
                    .collect()
            })
            .collect();
        for side in sides(lists.iter().map(Vec::as_slice)) {
            let values: Vec<Option<Target>> =
                lists.iter().map(|list| of_side(list, *side)).collect();
            let mut seen = values.iter().flatten();
            let (Some(first), Some(last)) = (seen.next(), seen.next_back()) else {
                continue;
            };
            rows.push(CourseRow {
                measure,
                side: *side,
                apart: last.value - first.value,
                limit: limit(first, last),
                values,
            });
        }
    }
    let figures = bodies.iter().map(|b| b.figure);
    let figure = figures.reduce(Figure::with).unwrap_or_default();
    Ok(Course {
        name: bodies.last().map(|b| b.name.clone()).unwrap_or_default(),
        figure,
        altered: altered(&rows, dates.len(), ease, figure),
        ease,
        dates,
        days,
        rows,
        findings,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_those_of_the_calendar() {
        for (date, days) in [
            ("1970-01-01", 0),
            ("1969-12-31", -1),
            ("1970-03-01", 59),
            ("2000-02-29", 11_016),
            ("2000-03-01", 11_017),
            ("2026-03-14", 20_526),
            ("2100-03-01", 47_541),
        ] {
            assert_eq!(day_number(date), Some(days), "{date}");
        }
        for broken in ["2026", "2026-13-01", "2026-00-10", "yesterday!", ""] {
            assert_eq!(day_number(broken), None, "{broken}");
        }
    }
}
