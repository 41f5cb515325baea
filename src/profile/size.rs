//! One size of a profile: tabulated, or between the tabulated ones.
//!
//! Between two sizes every measurement is taken to change evenly with the main measurement, and
//! between two columns evenly with what runs across them (bilinear interpolation). Beyond the first
//! and last size nothing is offered; beyond the first and last column the straight line is followed
//! as far as the profile allows.
//!
//! # Why interpolate sizes in a straight line, not with a curve?
//! It can be checked with a pencil, it never leaves the range of its neighbours, and leaving a size
//! out it comes back within 3 mm.
//!
//! # Why are sizes not extrapolated?
//! Eleven records stand behind the last one already.

use crate::error::Error;
use crate::measure::{Kind, Measure};
use crate::profile::facts::{NoSize, Offer, SizeFact, request};
use crate::profile::{How, Profile};
use crate::sheet::{Figure, WaistKind};
use crate::units;
use crate::units::Unit;

/// One measurement of a size.
#[derive(Clone, Debug, PartialEq)]
pub struct SizeValue {
    /// What is measured.
    pub measure: Measure,
    /// mm or radians.
    pub value: f64,
    /// 95 % half-width, mm or radians; absent: as a reading.
    pub within: Option<f64>,
    /// How it came about.
    pub how: How,
    /// Its name in the source.
    pub from: String,
    /// What to know of it.
    pub note: String,
}

/// One size.
#[derive(Clone, Debug, PartialEq)]
pub struct Size {
    /// The system it belongs to.
    pub system: String,
    /// Its name, as typed after the colon.
    pub name: String,
    /// Whose figure it is.
    pub figure: Figure,
    /// Which level its waist is.
    pub waist: WaistKind,
    /// The unit of its profile.
    pub unit: Unit,
    /// Where its numbers come from.
    pub source: String,
    /// What to be careful about.
    pub caution: String,
    /// How it lies between tabulated sizes, in words; nothing for a tabulated one.
    pub between: Option<String>,
    /// People behind it, if the profile says: of the tabulated size, or the fewest of those it lies
    /// between.
    pub people: Option<f64>,
    /// What it measures, in the order of [`Measure::ALL`].
    pub values: Vec<SizeValue>,
}

impl Size {
    /// Its name with that of its system: `women:92-tall`.
    #[must_use]
    pub fn full_name(&self) -> String {
        format!("{}:{}", self.system, self.name)
    }

    /// The value of `measure`.
    #[must_use]
    pub fn value(&self, measure: Measure) -> Option<f64> {
        self.values
            .iter()
            .find(|v| v.measure == measure)
            .map(|v| v.value)
    }
}

/// A place along a list: its entry, and how far it is on the way to the next (0 to 1; outside that
/// beyond the ends).
#[derive(Clone, Copy, Debug, PartialEq)]
struct Place {
    from: usize,
    to: usize,
    part: f64,
}

impl Place {
    const fn at(i: usize) -> Self {
        Self {
            from: i,
            to: i,
            part: 0.0,
        }
    }

    const fn is_exact(&self) -> bool {
        self.from == self.to
    }

    fn mix(&self, low: f64, high: f64) -> f64 {
        if self.is_exact() {
            low
        } else {
            low + (high - low) * self.part
        }
    }
}

/// Where the typed column lies.
enum Across {
    Column(usize),
    Between(Place, f64),
}

impl Profile {
    /// The size of this name: `92-tall`, `92` (the usual column), or between the tabulated ones
    /// `93.5-168` or `93.5-tall`; a bare number is in the profile's unit, others carry their own.
    ///
    /// # Errors
    /// [`Error::Request`] when there is no such size, with what there is.
    pub fn size(&self, name: &str) -> Result<Size, Error> {
        self.look_up(name).map_err(request)
    }

    /// As [`size`](Self::size), or why there is none.
    pub(super) fn look_up(&self, name: &str) -> Result<Size, SizeFact> {
        let name = name.trim().to_lowercase();
        let (row, column) = match name.split_once('-') {
            Some((row, column)) => (row.trim(), Some(column.trim())),
            None => (name.as_str(), None),
        };
        if row.is_empty() {
            return Err(self.refuse(NoSize::Unnamed));
        }
        let across = self.across_of(column)?;
        match self.names.iter().position(|n| n == row) {
            Some(i) => self.tabulated(i, &across),
            None => {
                let value = units::parse_length(row, self.unit)
                    .map_err(|_| self.refuse(NoSize::Row(units::clip(row))))?;
                self.between(value, &across)
            }
        }
    }

    /// The size whose main measurement is `main` and which lies at `across` (mm) between the
    /// columns, or in the usual column.
    ///
    /// # Errors
    /// [`Error::Request`] when it lies outside what is tabulated.
    pub fn size_at(&self, main: f64, across: Option<f64>) -> Result<Size, Error> {
        let across = match (self.across, across) {
            (Some(_), Some(v)) => self.place_across(v).map_err(request)?,
            _ => Across::Column(self.usual),
        };
        self.between(main, &across).map_err(request)
    }

    /// The tabulated size in this row and column, if the column has it.
    #[must_use]
    pub fn tabulated_size(&self, row: usize, column: usize) -> Option<Size> {
        self.tabulated(row, &Across::Column(column)).ok()
    }

    /// Name of the tabulated size in this row and column.
    #[must_use]
    pub fn name_of(&self, row: usize, column: usize) -> String {
        let row = self.names.get(row).map_or("", String::as_str);
        match self.columns.get(column) {
            Some(column) => format!("{row}-{column}"),
            None => row.to_owned(),
        }
    }

    /// That there is no such size, with what there is.
    fn refuse(&self, why: NoSize) -> SizeFact {
        let mains = self.mains(self.usual);
        let mut seen = mains.iter().flatten();
        let alone = self.across.is_none() && self.names.first() == self.names.last();
        let between = match (seen.next(), seen.next()) {
            (Some(a), Some(b)) if !alone => {
                let number = units::fixed(self.unit.from_mm(f64::midpoint(*a, *b)), 1);
                let across = self.across.map_or_else(String::new, |(m, _)| {
                    let middle = self.across_at(m, self.usual, 0);
                    format!("-{}", units::fixed(self.unit.from_mm(middle), 0))
                });
                Some((format!("{number}{across}"), self.across.is_some()))
            }
            _ => None,
        };
        SizeFact::NoSize {
            system: self.system.clone(),
            why,
            offer: Box::new(Offer {
                rows: self.names.clone(),
                columns: self.columns.clone(),
                between,
            }),
            elsewhere: Vec::new(),
        }
    }

    /// The value that runs across, in one column.
    fn across_at(&self, measure: Measure, column: usize, row: usize) -> f64 {
        self.column(measure)
            .and_then(|c| c.values.get(column)?.get(row).copied().flatten())
            .unwrap_or(0.0)
    }

    fn across_of(&self, column: Option<&str>) -> Result<Across, SizeFact> {
        let Some(column) = column else {
            return Ok(Across::Column(self.usual));
        };
        if let Some(i) = self.columns.iter().position(|c| c == column) {
            return Ok(Across::Column(i));
        }
        match self.across {
            Some(_) => {
                let value = units::parse_length(column, self.unit)
                    .map_err(|_| self.refuse(NoSize::Column(units::clip(column))))?;
                self.place_across(value)
            }
            None => Err(self.refuse(NoSize::Column(units::clip(column)))),
        }
    }

    /// Between which columns `value` lies. Columns are told apart by their first size: what runs
    /// across is the same, or nearly, in every size of a column.
    fn place_across(&self, value: f64) -> Result<Across, SizeFact> {
        let Some((measure, reach)) = self.across else {
            return Ok(Across::Column(self.usual));
        };
        let at: Vec<f64> = (0..self.width())
            .map(|c| self.across_at(measure, c, 0))
            .collect();
        let (first, last) = (at[0], at[at.len() - 1]);
        let (low, high) = (reach[0].min(first), reach[1].max(last));
        if !(low..=high).contains(&value) {
            return Err(SizeFact::BeyondColumns {
                system: self.system.clone(),
                measure,
                unit: self.unit,
                low,
                high,
                asked: value,
                elsewhere: Vec::new(),
            });
        }
        let to = at
            .iter()
            .position(|a| *a >= value)
            .unwrap_or(at.len() - 1)
            .max(1);
        let part = (value - at[to - 1]) / (at[to] - at[to - 1]);
        let place = if part <= 0.0 && to == 1 && value >= first {
            Place::at(0)
        } else if (part - 1.0).abs() <= 0.0 {
            Place::at(to)
        } else {
            Place {
                from: to - 1,
                to,
                part,
            }
        };
        Ok(Across::Between(place, value))
    }

    fn tabulated(&self, row: usize, across: &Across) -> Result<Size, SizeFact> {
        match across {
            Across::Column(column) => {
                if self.mains(*column).get(row).copied().flatten().is_none() {
                    let name = self.name_of(row, *column);
                    return Err(self.refuse(NoSize::Both(name)));
                }
                Ok(self.make(
                    self.name_of(row, *column),
                    Place::at(*column),
                    &[Place::at(row); 2],
                    None,
                ))
            }
            Across::Between(place, value) => {
                let name = format!("{}-{}", self.names[row], bare(self.unit, *value));
                let between = self.between_words(&[Place::at(row); 2], *place);
                Ok(self.make(name, *place, &[Place::at(row); 2], between))
            }
        }
    }

    fn between(&self, main: f64, across: &Across) -> Result<Size, SizeFact> {
        let (columns, mut name) = match across {
            Across::Column(c) => (Place::at(*c), String::new()),
            Across::Between(place, value) => (*place, format!("-{}", bare(self.unit, *value))),
        };
        if let (Across::Column(c), false) = (across, self.columns.is_empty()) {
            name = format!("-{}", self.columns[*c]);
        }
        let mut places = [Place::at(0); 2];
        for (place, column) in places.iter_mut().zip([columns.from, columns.to]) {
            let mains = self.mains(column);
            let seen: Vec<(usize, f64)> = mains
                .iter()
                .enumerate()
                .filter_map(|(i, m)| Some((i, (*m)?)))
                .collect();
            let (Some(first), Some(last)) = (seen.first(), seen.last()) else {
                return Err(self.refuse(NoSize::Empty));
            };
            if !(first.1..=last.1).contains(&main) {
                let range = [first.1, last.1];
                return Err(self.refuse(NoSize::Beyond(
                    self.main,
                    self.figure,
                    self.unit,
                    range,
                    main,
                )));
            }
            let k = seen.iter().position(|s| s.1 >= main).unwrap_or(0);
            *place = if (seen[k].1 - main).abs() <= 0.0 || k == 0 {
                Place::at(seen[k].0)
            } else {
                Place {
                    from: seen[k - 1].0,
                    to: seen[k].0,
                    part: (main - seen[k - 1].1) / (seen[k].1 - seen[k - 1].1),
                }
            };
        }
        let name = format!("{}{name}", bare(self.unit, main));
        let between = self.between_words(&places, columns);
        Ok(self.make(name, columns, &places, between))
    }

    /// Between which tabulated sizes, in words; nothing for a tabulated one.
    fn between_words(&self, rows: &[Place; 2], columns: Place) -> Option<String> {
        let mut parts = Vec::new();
        if !rows[0].is_exact() {
            parts.push(format!(
                "between {} and {}",
                self.names[rows[0].from], self.names[rows[0].to]
            ));
        }
        if !columns.is_exact() {
            let (a, b) = (&self.columns[columns.from], &self.columns[columns.to]);
            parts.push(if columns.part < 0.0 {
                format!("on the line from {b} to {a} and beyond")
            } else if columns.part > 1.0 {
                format!("on the line from {a} to {b} and beyond")
            } else {
                format!("between {a} and {b}")
            });
        }
        (!parts.is_empty()).then(|| parts.join(", "))
    }

    fn make(
        &self,
        name: String,
        columns: Place,
        rows: &[Place; 2],
        between: Option<String>,
    ) -> Size {
        let read = |grid: &[Vec<Option<f64>>], column: usize, row: Place| -> Option<f64> {
            let list = grid.get(column)?;
            Some(row.mix((*list.get(row.from)?)?, (*list.get(row.to)?)?))
        };
        let values = self
            .measures
            .iter()
            .filter_map(|c| {
                let low = read(&c.values, columns.from, rows[0])?;
                let high = read(&c.values, columns.to, rows[1])?;
                Some(SizeValue {
                    measure: c.measure,
                    value: columns.mix(low, high),
                    within: c.within,
                    how: c.how,
                    from: c.from.clone(),
                    note: c.note.clone(),
                })
            })
            .collect();
        let people = [(columns.from, rows[0]), (columns.to, rows[1])]
            .into_iter()
            .flat_map(|(c, r)| [(c, r.from), (c, r.to)])
            .filter_map(|(c, r)| *self.people.get(c)?.get(r)?)
            .reduce(f64::min);
        Size {
            system: self.system.clone(),
            name,
            figure: self.figure,
            waist: self.waist,
            unit: self.unit,
            source: self.source.clone(),
            caution: self.caution.clone(),
            between,
            people,
            values,
        }
    }
}

/// A length as the name of a size has it: the profile's unit, no digits for nothing.
fn bare(unit: Unit, mm: f64) -> String {
    units::trimmed(unit.from_mm(mm), 2)
}

/// A value as a sheet writes it: a bare number in `unit`, degrees for a slope.
pub(super) fn written(measure: Measure, value: f64, unit: Unit) -> String {
    if measure.kind() == Kind::Slope {
        return units::trimmed(units::degrees(value), 2);
    }
    // A tenth of a millimetre, in any unit.
    match unit {
        Unit::Cm => units::trimmed(unit.from_mm(value), 2),
        Unit::Mm => units::trimmed(value, 1),
        Unit::In => units::trimmed(unit.from_mm(value), 3),
    }
}
