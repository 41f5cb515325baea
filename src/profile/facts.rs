//! What can be wrong with a size profile, and with the name of a size.

use crate::error::Error;
use crate::fact::{AsField, Field};
use crate::facts;
use crate::measure::{Figure, Measure};
use crate::source::{Guess, Quoting, one_of};
use crate::text;
use crate::text::{Part, Text, key, quoted, typed};
use crate::units;
use crate::units::Unit;

facts! {
    /// What can be wrong with a size profile.
    pub(super) enum ProfileFact {
        /// Nothing in it is one.
        NoProfile { file: String } => text![typed(file.clone()), " is not a size profile"],
            "see README.md in measurement-profiles for how one is written";
        /// What every profile says and this one does not.
        Lacks { what: Lack } => text!["the size profile does not say ", what.words()[0]],
            what.words()[1];
        /// A name that no command could have.
        NoName { key: String, written: String }
            => text![typed(key.clone()), " ", quoted(written), " cannot be typed as a name"],
            "use lower-case letters and digits; in the name of a system also `-`";
        /// A name that stands twice.
        NameTwice { key: String, name: String }
            => text![typed(key.clone()), " has ", quoted(name), " twice"],
            "give each its own name";
        /// A list without names.
        NoNames { key: String } => text![typed(key.clone()), " is empty"], "name at least one";
        /// A key that no profile has.
        UnknownKey { key: String, guess: Guess }
            => text![typed(key.clone()), " is not a key of a size profile"], guess;
        /// A key of one of its tables that no profile has.
        UnknownPart { table: String, key: String, guess: Guess }
            => text![typed(format!("{table}.{key}")), " is not a key"], guess;
        /// A key that is not a measurement.
        UnknownMeasure { key: String } => text![typed(key.clone()), " is not a measurement"],
            "write a key of a measurement sheet";
        /// A word that names no measurement.
        NoMeasure { key: String, written: String, guess: Option<Guess> }
            => text![typed(key.clone()), " ", quoted(written), " is not a measurement"],
            guess.as_ref().map_or_else(
                || "write the key of a measurement, like \"girth.bust\"".into(),
                Text::from,
            );
        /// No size has what the sizes follow.
        NoMain { main: Measure } => text!["no size has its main measurement, ", *main],
            "write its values, or name another with `main`";
        /// Sizes out of their order.
        NotRising { main: Measure } => text![*main, " does not rise from size to size"],
            "put the sizes in the order of their main measurement";
        /// A size with values but without the main one.
        SizeLacksMain { size: String, main: Measure }
            => text!["size ", typed(size.clone()), " has values but no ", *main],
            "every size needs its main measurement";
        /// What should run across does not.
        NotAcross { measure: Measure }
            => text![*measure, " does not run from column to column in every size"],
            "give it for every size, rising from column to column, or leave `across` out";
        /// More columns than a profile holds.
        ManyColumns { count: usize, most: usize }
            => text!["`size.columns` names ", *count, " columns: ", *most, " are possible"],
            "split the profile in two";
        /// Two values that are no range.
        NoReach => "`size.reach` is not a range",
            "write the least and the greatest value: `reach = [150, 178]`";
        /// A list longer than a profile holds.
        LongList { key: String, most: usize }
            => text![text::key(key), " holds more than ", *most, " entries"],
            "split the profile in two";
        /// A value past everything.
        BeyondAnyBody { key: String, written: String }
            => text![text::key(key), " holds ", written, ", which cannot be a measurement"],
            "write what was measured, or \"-\" where nothing was";
        /// A value of nothing or less.
        NotAboveZero { key: String }
            => text![text::key(key), " holds a value that is not above zero"],
            "write what was measured, or \"-\" where nothing was";
        /// Another number of values than of sizes.
        ValuesForSizes { key: String, values: usize, sizes: usize }
            => text![text::key(key), " has ", *values, " values for ", *sizes, " sizes"],
            "write one value for each size, and \"-\" where there is none";
        /// Another number of lists than of columns.
        ListsForColumns { key: String, lists: usize, columns: usize }
            => text![text::key(key), " has ", *lists, " lists for ", *columns, " columns"],
            "write one list for each column of sizes";
        /// A measurement without its values.
        NoValues { key: String } => text![text::key(key), " has no `values`"],
            "write one value for each size: `values = [88, 92, 96]`";
    }
}

/// A key that a table of a profile does not have.
pub(super) fn unknown_part(table: &str, key: &str, known: &[&str]) -> ProfileFact {
    ProfileFact::UnknownPart {
        table: table.to_owned(),
        key: units::clip(key),
        guess: Guess::of(key, known, Quoting::Keys),
    }
}

/// What a profile may fail to say.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Lack {
    Name,
    Unit,
    Figure,
    Waist,
    Source,
    Sizes,
    Main,
    Names,
}

impl Lack {
    /// What it does not say, and how to say it.
    const fn words(self) -> [&'static str; 2] {
        match self {
            Self::Name => ["its name", "write `system = \"chorus\"` at its head"],
            Self::Unit => [
                "its unit",
                "write `unit = \"cm\"`, \"mm\" or \"in\" at its head",
            ],
            Self::Figure => [
                "whose figure it is",
                "write `figure = \"woman\"`, \"man\" or \"child\" at its head",
            ],
            Self::Waist => [
                "which waist it means",
                "write `waist = \"natural\"`, \"iso\" or \"navel\" at its head",
            ],
            Self::Source => [
                "where its numbers come from",
                "write `source = \"measured in our wardrobe, 2026\"` at its head",
            ],
            Self::Sizes => [
                "what its sizes are called",
                "write a table `[size]` with `main = \"girth.bust\"` and `names = [\"S\", ...]`",
            ],
            Self::Main => [
                "which measurement its sizes follow",
                "write `main = \"girth.bust\"` below `[size]`",
            ],
            Self::Names => [
                "what its sizes are called",
                "write `names = [\"S\", \"M\", \"L\"]` below `[size]`",
            ],
        }
    }
}

impl AsField for Lack {
    fn field(&self) -> Field {
        format!("{self:?}").field()
    }
}

facts! {
    /// Why there is no size of a name.
    pub(super) enum SizeFact {
        /// No profile of this name.
        UnknownSystem { system: String, guess: Guess }
            => text!["there is no size profile ", typed(system.clone()), "; ", guess], "";
        /// No size of this name; those that are `elsewhere`.
        NoSize { system: String, why: NoSize, offer: Box<Offer>, elsewhere: Vec<String> } => text![
            why.text(system),
            "; sizes of ",
            typed(system.clone()),
            " are ",
            offer.text(system),
            another_has_it(elsewhere)
        ], "";
        /// No column so far out.
        BeyondColumns {
            system: String,
            measure: Measure,
            unit: Unit,
            low: f64,
            high: f64,
            asked: f64,
            elsewhere: Vec<String>,
        } => text![
            typed(system.clone()),
            " goes from ",
            Part::Length(*low, *unit),
            " to ",
            Part::Length(*high, *unit),
            " in ",
            measure.title(),
            ", not to ",
            Part::Length(*asked, *unit),
            "; take the nearest, write it as a sheet with ",
            typed(format!("layfigure profiles {system}:SIZE --export sheet.toml")),
            " and put in what was measured",
            another_has_it(elsewhere)
        ], "";
    }
}

/// The error of a size that is not there.
pub(super) fn request(fact: SizeFact) -> Error {
    Error::request(fact)
}

fn another_has_it(elsewhere: &[String]) -> Text {
    if elsewhere.is_empty() {
        return Text::new();
    }
    let names = elsewhere.iter().map(String::as_str);
    text!["; another system has it: ", one_of(names, Quoting::Keys)]
}

/// Why there is no such size.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum NoSize {
    /// None was named.
    Unnamed,
    /// No row of this name.
    Row(String),
    /// No column of this name.
    Column(String),
    /// This column lacks that row.
    Both(String),
    /// The column has no row at all.
    Empty,
    /// Beyond the first or the last row: the main measurement, whose it is, its unit, its least and most, and what
    /// was asked for (mm).
    Beyond(Measure, Figure, Unit, [f64; 2], f64),
}

impl NoSize {
    fn text(&self, system: &str) -> Text {
        let system = typed(system.to_owned());
        match self {
            Self::Unnamed => text![system, " needs a size"],
            Self::Row(name) => text!["there is no size ", typed(name.clone()), " in ", system],
            Self::Column(name) => text!["there is no column ", typed(name.clone()), " in ", system],
            Self::Both(name) => text![system, " has no size ", typed(name.clone())],
            Self::Empty => text![system, " has no size there"],
            Self::Beyond(main, figure, unit, [low, high], asked) => text![
                system,
                " goes from ",
                Part::Length(*low, *unit),
                " to ",
                Part::Length(*high, *unit),
                " in ",
                main.info().title.of(*figure),
                ", not to ",
                Part::Length(*asked, *unit)
            ],
        }
    }
}

impl AsField for NoSize {
    fn field(&self) -> Field {
        match self {
            Self::Unnamed | Self::Empty => Field::Nothing,
            Self::Row(name) | Self::Column(name) | Self::Both(name) => name.field(),
            Self::Beyond(main, _, _, range, asked) => {
                Field::List(vec![main.field(), range.field(), asked.field()])
            }
        }
    }
}

/// What sizes there are.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Offer {
    pub(super) rows: Vec<String>,
    pub(super) columns: Vec<String>,
    /// The name of one between the tabulated ones, and whether it names two measurements.
    pub(super) between: Option<(String, bool)>,
}

impl Offer {
    fn text(&self, system: &str) -> Text {
        let columns = self.columns.iter().map(String::as_str);
        let columns =
            (!self.columns.is_empty()).then(|| text![", each ", one_of(columns, Quoting::Keys)]);
        let between = self.between.as_ref().map(|(name, two)| {
            text![
                "; between them write the ",
                if *two {
                    "two measurements"
                } else {
                    "measurement"
                },
                ", like ",
                key(&format!("{system}:{name}"))
            ]
        });
        text![self.rows.join(", "), columns, between]
    }
}

impl AsField for Offer {
    fn field(&self) -> Field {
        let between = self.between.as_ref().map(|(name, _)| name.clone());
        Field::List(vec![
            self.rows.field(),
            self.columns.field(),
            between.field(),
        ])
    }
}
