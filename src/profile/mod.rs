//! Size profiles: tables of body measurements, one system to a file, with the source of every
//! number, and the sizes in them or between them.

use crate::error::Error;
use crate::measure::Measure;
use crate::profile::facts::{SizeFact, request};
use crate::sheet::{Figure, WaistKind};
use crate::source::{Guess, Quoting};
use crate::units::Unit;

mod facts;
mod read;
mod sheet;
mod size;
mod values;

pub use read::read;
pub use size::{Size, SizeValue};

/// The files that come with the program: name and text.
const BUILT_IN: [(&str, &str); 9] = [
    (
        "women.toml",
        include_str!("../../measurement-profiles/women.toml"),
    ),
    (
        "women-plus.toml",
        include_str!("../../measurement-profiles/women-plus.toml"),
    ),
    (
        "men.toml",
        include_str!("../../measurement-profiles/men.toml"),
    ),
    (
        "men-plus.toml",
        include_str!("../../measurement-profiles/men-plus.toml"),
    ),
    (
        "children.toml",
        include_str!("../../measurement-profiles/children.toml"),
    ),
    (
        "women-gost.toml",
        include_str!("../../measurement-profiles/women-gost.toml"),
    ),
    (
        "women-jis.toml",
        include_str!("../../measurement-profiles/women-jis.toml"),
    ),
    (
        "women-german.toml",
        include_str!("../../measurement-profiles/women-german.toml"),
    ),
    (
        "men-gost.toml",
        include_str!("../../measurement-profiles/men-gost.toml"),
    ),
];

/// How a value of a size came about.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum How {
    /// An average of what was measured on people.
    Measured,
    /// Worked out from other numbers by a rule.
    Computed,
    /// Printed in a table; how it was got is not known.
    Published,
}

impl How {
    /// Its name in files and reports.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Measured => "measured",
            Self::Computed => "computed",
            Self::Published => "published",
        }
    }
}

/// One measurement of every size.
#[derive(Clone, Debug, PartialEq)]
pub struct Column {
    /// What is measured.
    pub measure: Measure,
    /// Its name in the source.
    pub from: String,
    /// How its values came about.
    pub how: How,
    /// How closely it can be compared with this program's measurement of the same name: 95 %
    /// half-width, mm or radians; absent: as a reading.
    pub within: Option<f64>,
    /// What to know of it.
    pub note: String,
    /// mm or radians: a list for each column of sizes, in the order of the names; gaps are `None`.
    pub values: Vec<Vec<Option<f64>>>,
}

/// A system of sizes.
#[derive(Clone, Debug, PartialEq)]
pub struct Profile {
    /// Its name, as typed before the colon.
    pub system: String,
    /// What it holds, in words.
    pub title: String,
    /// Whose figure it is.
    pub figure: Figure,
    /// Which level its waist is.
    pub waist: WaistKind,
    /// The unit its file is written in, and that of bare numbers in the name of a size.
    pub unit: Unit,
    /// Where its numbers come from.
    pub source: String,
    /// Under what terms.
    pub terms: String,
    /// How they were made of what the source holds.
    pub made: String,
    /// What to be careful about.
    pub caution: String,
    /// The measurement that runs along the names.
    pub main: Measure,
    /// Names of the sizes, in the order of the main measurement.
    pub names: Vec<String>,
    /// Names of the columns of sizes (`short`, `regular`, `tall`); empty when there is one.
    pub columns: Vec<String>,
    /// The column meant when none is named.
    pub usual: usize,
    /// The measurement that runs along the columns, with the range within which their straight line
    /// may be followed, mm; absent when columns cannot be interpolated.
    pub across: Option<(Measure, [f64; 2])>,
    /// People behind each size, in lists like [`Column::values`]; empty when not known.
    pub people: Vec<Vec<Option<f64>>>,
    /// What each size measures, in the order of [`Measure::ALL`].
    pub measures: Vec<Column>,
}

impl Profile {
    /// What is known of `measure` in this system.
    #[must_use]
    pub fn column(&self, measure: Measure) -> Option<&Column> {
        self.measures.iter().find(|c| c.measure == measure)
    }

    /// How many columns of sizes there are, at least one.
    #[must_use]
    pub fn width(&self) -> usize {
        self.columns.len().max(1)
    }

    /// The main measurement of each size of a column; a size that the column lacks has none.
    #[must_use]
    pub fn mains(&self, column: usize) -> Vec<Option<f64>> {
        self.column(self.main)
            .and_then(|c| c.values.get(column))
            .cloned()
            .unwrap_or_default()
    }

    /// Whether a form can be made of its sizes: the girths without which there is no sheet, and one
    /// length.
    #[must_use]
    pub fn makes_forms(&self) -> bool {
        let has = |m| self.column(m).is_some();
        has(Measure::GirthBust)
            && has(Measure::GirthWaist)
            && has(Measure::GirthHip)
            && (has(Measure::LengthBackWaist) || has(Measure::HeightStature))
    }
}

/// The size profiles that come with the program.
///
/// # Errors
/// [`Error::Profile`] when one of them cannot be read, which a test rules out.
pub fn built_in() -> Result<Vec<Profile>, Error> {
    BUILT_IN
        .iter()
        .map(|(name, text)| read(text, name))
        .collect()
}

/// Adds `more` to `all`; one of the same system takes the place of what was there.
pub fn add(all: &mut Vec<Profile>, more: Vec<Profile>) {
    for profile in more {
        match all.iter_mut().find(|p| p.system == profile.system) {
            Some(place) => *place = profile,
            None => all.push(profile),
        }
    }
}

/// The profile of this name.
#[must_use]
pub fn find<'a>(all: &'a [Profile], system: &str) -> Option<&'a Profile> {
    all.iter().find(|p| p.system == system)
}

/// The size that `name` (`SYSTEM:SIZE`) names.
///
/// # Errors
/// [`Error::Request`] when there is no such system or size; it lists what there is.
pub fn size(all: &[Profile], name: &str) -> Result<Size, Error> {
    let (system, size) = name.split_once(':').unwrap_or((name, ""));
    let profile = find(all, system).ok_or_else(|| unknown(all, system))?;
    profile.look_up(size).map_err(|mut why| {
        // Another table of the same figures may hold it: large sizes are one of their own.
        if let SizeFact::NoSize { elsewhere, .. } | SizeFact::BeyondColumns { elsewhere, .. } =
            &mut why
        {
            *elsewhere = all
                .iter()
                .filter(|p| p.system != system && p.figure == profile.figure && p.makes_forms())
                .filter(|p| p.main == profile.main && p.size(size).is_ok())
                .map(|p| format!("{}:{size}", p.system))
                .collect();
        }
        request(why)
    })
}

/// What to say when there is no such system.
#[must_use]
pub fn unknown(all: &[Profile], system: &str) -> Error {
    let names: Vec<&str> = all.iter().map(|p| p.system.as_str()).collect();
    request(SizeFact::UnknownSystem {
        system: crate::units::clip(system),
        guess: Guess::of(system, &names, Quoting::Keys),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_profile_that_comes_along_is_read_and_says_where_it_is_from() {
        let all = built_in().unwrap();
        assert_eq!(all.len(), BUILT_IN.len());
        for (profile, (file, _)) in all.iter().zip(BUILT_IN) {
            assert_eq!(format!("{}.toml", profile.system), file);
            for words in [
                &profile.title,
                &profile.source,
                &profile.terms,
                &profile.made,
                &profile.caution,
            ] {
                assert!(words.len() > 10, "{file}: {words}");
            }
            assert!(profile.measures.iter().all(|c| !c.from.is_empty()));
        }
    }

    #[test]
    fn a_size_that_another_system_has_is_named() {
        let all = built_in().unwrap();
        let said = |name: &str| size(&all, name).unwrap_err().to_string();
        assert!(
            said("women:112").ends_with("; another system has it: `women-plus:112`"),
            "{}",
            said("women:112")
        );
        assert!(!said("women:300").contains("another system"));
    }

    #[test]
    fn a_profile_of_ones_own_takes_the_place_of_one_that_comes_along() {
        let mut all = built_in().unwrap();
        let mut mine = all[0].clone();
        mine.title = "mine".into();
        let mut other = mine.clone();
        other.system = "chorus".into();
        let count = all.len();
        add(&mut all, vec![mine, other]);
        assert_eq!(all.len(), count + 1);
        assert_eq!(find(&all, "women").unwrap().title, "mine");
        assert!(find(&all, "chorus").is_some());
    }
}
