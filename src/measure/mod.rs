//! The words of the trade: which measurements, levels and landmarks there are. No values.

use std::fmt;

mod info;
mod place;
mod table;

pub use info::By;
pub use info::Info;
pub use info::MEASURING_A_CHILD;
pub use info::Seen;
pub use info::Who;
pub use info::Words;
pub use place::Landmark;
pub use place::Level;
pub use table::Measure;

/// What sort of measurement it is, which is also the table of the sheet it stands in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Kind {
    /// Round the body with a tape; it bridges hollows, so it is the perimeter of a convex hull.
    Girth,
    /// Part of a girth, from side line to side line round the front.
    Arc,
    /// Along the body from one landmark to another.
    Length,
    /// Straight across from side to side.
    Breadth,
    /// Straight through from front to back.
    Depth,
    /// From the floor up.
    Height,
    /// An angle below level, in radians inside, in degrees on paper.
    Slope,
    /// Horizontal gap to a wall touched by the rearmost point of the body.
    Wall,
    /// Sideways distance from a plumb line, to the wearer's right; less than nothing to the left.
    Plumb,
}

impl Kind {
    /// The name of its table in a sheet.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Girth => "girth",
            Self::Arc => "arc",
            Self::Length => "length",
            Self::Breadth => "breadth",
            Self::Depth => "depth",
            Self::Height => "height",
            Self::Slope => "slope",
            Self::Wall => "wall",
            Self::Plumb => "plumb",
        }
    }
}

/// Left and right are the wearer's own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Side {
    /// One value for the whole body, or the same on both sides.
    Both,
    /// The wearer's left.
    Left,
    /// The wearer's right.
    Right,
}

impl Side {
    /// The name of a measurement taken on this side: `across back, left`.
    #[must_use]
    pub fn named(self, name: &str) -> String {
        match self {
            Self::Both => name.to_owned(),
            Self::Left => format!("{name}, left"),
            Self::Right => format!("{name}, right"),
        }
    }

    /// The key of a measurement on this side: `length.shoulder.left`.
    #[must_use]
    pub fn key_of(self, measure: Measure) -> String {
        match self {
            Self::Both => measure.key().to_owned(),
            Self::Left => format!("{}.left", measure.key()),
            Self::Right => format!("{}.right", measure.key()),
        }
    }
}

/// Whose figure it is: which words fit it, and which expectations fill in what was not measured.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Figure {
    /// A woman's figure.
    #[default]
    Woman,
    /// A man's figure.
    Man,
    /// A child's figure.
    Child,
}

impl Figure {
    /// Every figure, with the word that a sheet has for it.
    pub const NAMED: [(&str, Self); 3] = [
        (Self::Woman.name(), Self::Woman),
        (Self::Man.name(), Self::Man),
        (Self::Child.name(), Self::Child),
    ];

    /// The figure of a sheet's word.
    pub fn of_name(name: &str) -> Option<Self> {
        let named = Self::NAMED.into_iter().find(|(word, _)| *word == name);
        named.map(|(_, figure)| figure)
    }

    /// The word that a sheet has for it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Woman => "woman",
            Self::Man => "man",
            Self::Child => "child",
        }
    }

    /// Whose words to use for two people: those for women where one of them is a woman.
    #[must_use]
    pub const fn with(self, other: Self) -> Self {
        match (self, other) {
            (Self::Woman, _) | (_, Self::Woman) => Self::Woman,
            (Self::Child, Self::Child) => Self::Child,
            _ => Self::Man,
        }
    }
}

impl Measure {
    /// The girths that give a figure its outline: no form without them.
    pub const MAIN_GIRTHS: [Self; 3] = [Self::GirthBust, Self::GirthWaist, Self::GirthHip];
    /// Of these one at least is needed.
    pub const MAIN_LENGTHS: [Self; 2] = [Self::LengthBackWaist, Self::HeightStature];

    /// What no form can be made without, of what is not there: the main girths, and a back length where there
    /// is no stature either.
    pub fn lacking(is_there: impl Fn(Self) -> bool) -> Vec<Self> {
        let girths = Self::MAIN_GIRTHS.into_iter().filter(|m| !is_there(*m));
        let mut lacking: Vec<Self> = girths.collect();
        if !Self::MAIN_LENGTHS.into_iter().any(is_there) {
            lacking.push(Self::LengthBackWaist);
        }
        lacking
    }

    /// How it is called and taken, by whom, and what has been seen on people.
    #[must_use]
    pub const fn info(self) -> &'static Info {
        &table::ROWS[self as usize]
    }

    /// The dotted key of the sheet, for example `girth.bust`.
    #[must_use]
    pub const fn key(self) -> &'static str {
        self.info().key
    }

    /// What sort of measurement it is.
    #[must_use]
    pub const fn kind(self) -> Kind {
        self.info().kind
    }

    /// The level at which it is read, where it is read at one.
    #[must_use]
    pub const fn level(self) -> Option<Level> {
        self.info().level
    }

    /// Its name in plain words, as on a woman's figure; [`Words::of`] has the names for others.
    #[must_use]
    pub const fn title(self) -> &'static str {
        self.info().title.of(Figure::Woman)
    }

    /// Its name on this figure below the name of its [`Kind`]: `waist to hip`.
    #[must_use]
    pub fn short(self, figure: Figure) -> String {
        match self.info().short {
            Some(words) => words.of(figure).to_owned(),
            None => self.table_and_key().1.replace('_', " "),
        }
    }

    /// Whether a sheet has a key for it: the shoulder drop is written as `slope.shoulder` with a
    /// unit of length.
    #[must_use]
    pub const fn is_sheet_key(self) -> bool {
        !matches!(self, Self::ShoulderDrop)
    }

    /// The table of the sheet and the key in it: `("girth", "bust")`.
    #[must_use]
    pub fn table_and_key(self) -> (&'static str, &'static str) {
        self.key().split_once('.').unwrap_or(("", self.key()))
    }

    /// The measurement with this dotted key.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|m| m.key() == key)
    }
}

impl Level {
    /// The girth that a level tape reads there, where there is one.
    #[must_use]
    pub fn girth(self) -> Option<Measure> {
        // The tape round the neck leans with the neck.
        let level = |m: &Measure| m.kind() == Kind::Girth && m.level() == Some(self);
        let found = Measure::ALL.into_iter().find(level);
        found.filter(|_| self != Self::NeckGirth)
    }
}

impl fmt::Display for Measure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.key())
    }
}
