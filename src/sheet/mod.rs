//! The measurement sheet: what somebody read off one body, each value known to be sure or not.

use crate::error::{Finding, Place};
use crate::measure::{Kind, Measure, Side};
use crate::units::Unit;

mod amend;
mod check;
mod doubt_parts;
mod doubts;
pub mod entry;
mod facts;
mod fullness;
mod keys;
mod narrow_waist;
mod plausible;
mod read;
mod rules;
mod shape;
mod shown;
mod slip;
mod sums;
mod value;

pub use crate::measure::Figure;
pub use crate::survey::Averages;
pub use amend::{Amend, Towards};
pub(crate) use amend::{degrees_apart, left_beside};
pub use entry::template;
pub(crate) use fullness::led_to;
pub use read::look;
pub use read::read;
pub(crate) use shown::Shown;
pub(crate) use slip::{Mistaken, Slip, swapped_digits};

/// The sheet that is built when none is named: a contralto of an invented lakeside opera company.
/// Nobody's figures: she is invented too.
pub const EXAMPLE: &str = include_str!("../../examples/contralto.toml");
/// What stands for the name of its file.
pub const EXAMPLE_FILE: &str = "the example sheet";

/// A sheet of this figure, of the same invented company.
#[must_use]
pub const fn example(figure: Figure) -> &'static str {
    match figure {
        Figure::Woman => EXAMPLE,
        Figure::Man => include_str!("../../examples/baritone.toml"),
        Figure::Child => include_str!("../../examples/chorister.toml"),
    }
}

/// A blank sheet with every key, how to take each measurement, and who is needed.
pub const TEMPLATE: &str = include_str!("../../measurement-profiles/template.toml");

/// Which level the person calls the waist.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum WaistKind {
    /// Where an elastic settles.
    Natural,
    /// Half-way between the lowest rib and the top of the hip bone.
    Iso,
    /// At the navel.
    Navel,
}

impl WaistKind {
    /// Every waist, with the word that a sheet has for it.
    pub const NAMED: [(&str, Self); 3] = [
        (Self::Natural.name(), Self::Natural),
        (Self::Iso.name(), Self::Iso),
        (Self::Navel.name(), Self::Navel),
    ];

    /// The waist of a sheet's word.
    pub fn of_name(name: &str) -> Option<Self> {
        let named = Self::NAMED.into_iter().find(|(word, _)| *word == name);
        named.map(|(_, waist)| waist)
    }

    /// The word that a sheet has for it.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Natural => "natural",
            Self::Iso => "iso",
            Self::Navel => "navel",
        }
    }
}

/// One value that somebody read.
#[derive(Clone, Debug, PartialEq)]
pub struct Given {
    /// What was measured.
    pub measure: Measure,
    /// On which side.
    pub side: Side,
    /// mm; radians for a slope.
    pub value: f64,
    /// How sure the reading is: 95 % half-width, mm or radians, if the sheet says.
    pub within: Option<f64>,
    /// Whether somebody measured it again and found it right (`sure = true`): no warning is about it.
    pub sure: bool,
    /// Where it stands in the sheet.
    pub place: Place,
}

/// A word for the abdomen, seat, shoulder blades and so on, where the sheet gives one.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Shape {
    /// `flat`, `average`, `full`, `pregnant`.
    pub abdomen: Option<Abdomen>,
    /// `flat`, `average`, `full`.
    pub seat: Option<Fullness>,
    /// `flat`, `average`, `full`: how far the shoulder blades stand out.
    pub blades: Option<Fullness>,
    /// `high`, `average`, `low`: where the bust sits; `flat`: that there is none.
    pub bust: Option<BustPlace>,
    /// `pointed`, `average`, `round`: the form of the bust.
    pub bust_form: Option<BustForm>,
    /// `square`, `average`, `sloping`.
    pub shoulders: Option<Shoulders>,
    /// `erect`, `average`, `rounded`.
    pub back: Option<Back>,
}

/// How full the abdomen is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Abdomen {
    /// Flat.
    Flat,
    /// Average.
    Average,
    /// Full.
    Full,
    /// Late pregnancy.
    Pregnant,
}

/// How far something stands out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fullness {
    /// Flat.
    Flat,
    /// Average.
    Average,
    /// Full.
    Full,
}

/// Where the bust sits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BustPlace {
    /// Higher than average.
    High,
    /// Average.
    Average,
    /// Lower than average.
    Low,
    /// There is none: a flat chest.
    Flat,
}

/// What is worn at the bust, under the tape as under the clothes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Worn {
    /// A bra: it holds the bust up.
    Bra,
    /// A binder, which makes the chest flat.
    Binder,
    /// A breast form, with what holds it.
    BreastForm,
    /// Nothing that shapes it.
    Nothing,
}

impl Worn {
    /// Each with the word that a sheet has for it.
    pub const NAMED: [(&str, Self); 4] = [
        ("bra", Self::Bra),
        ("binder", Self::Binder),
        ("breast form", Self::BreastForm),
        ("none", Self::Nothing),
    ];
}

/// How somebody holds still to be measured.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Posture {
    /// Standing: heights are above the floor.
    #[default]
    Standing,
    /// Sitting upright: heights are above the seat, and that of the head stands for the stature.
    Seated,
}

impl Posture {
    /// Each with the word that a sheet has for it.
    pub const NAMED: [(&str, Self); 2] = [("standing", Self::Standing), ("seated", Self::Seated)];
}

/// What nobody can take of somebody who sits: gaps to a wall, and the height of the seat itself.
pub const NOT_SEATED: [Measure; 5] = [
    Measure::WallNape,
    Measure::WallBlade,
    Measure::WallWaist,
    Measure::WallSeat,
    Measure::HeightCrotch,
];

/// The breasts of a form.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Breasts {
    /// Held up.
    Held,
    /// Hanging as they do.
    Hanging,
    /// None, or bound flat.
    Flat,
}

/// The form of the bust.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BustForm {
    /// Drawn to a point.
    Pointed,
    /// Average.
    Average,
    /// Blunt and full above.
    Round,
}

/// How the shoulders fall.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shoulders {
    /// Nearly level.
    Square,
    /// Average.
    Average,
    /// Steep.
    Sloping,
}

/// How the back is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Back {
    /// Held upright.
    Erect,
    /// Average.
    Average,
    /// Rounded, stooping.
    Rounded,
}

/// A measurement sheet that has passed every check of reading.
#[derive(Clone, Debug)]
pub struct Sheet {
    /// The name on the form.
    pub name: String,
    /// The file's name as the person typed it.
    pub file: String,
    /// Date on which the measurements were taken, as written (ISO 8601 date).
    pub taken: Option<String>,
    /// Who took them.
    pub taken_by: Option<String>,
    /// What a bare number means, and what reports print.
    pub unit: Unit,
    /// Whose words are used: the figure whose averages count most.
    pub figure: Figure,
    /// Whose averages fill what was not measured.
    pub averages: Averages,
    /// Which level is called the waist.
    pub waist: WaistKind,
    /// Whether the person stood or sat.
    pub posture: Posture,
    /// What is worn at the bust, where the sheet says: a bra on a woman, nothing on others.
    pub worn: Option<Worn>,
    /// Everything that was read, in the order of [`Measure::ALL`].
    pub given: Vec<Given>,
    /// What a fitter saw and nobody measured.
    pub shape: Shape,
    /// Local corrections by hand.
    pub amends: Vec<Amend>,
    /// Warnings and notes; never a refusal.
    pub findings: Vec<Finding>,
}

impl Shape {
    /// The breasts of this figure, with what is `worn` at the bust.
    #[must_use]
    pub fn breasts(&self, figure: Figure, worn: Option<Worn>) -> Breasts {
        let woman = figure == Figure::Woman;
        match worn {
            _ if self.bust == Some(BustPlace::Flat) => Breasts::Flat,
            Some(Worn::Binder) => Breasts::Flat,
            Some(Worn::Bra | Worn::BreastForm) => Breasts::Held,
            Some(Worn::Nothing) if woman => Breasts::Hanging,
            None if woman => Breasts::Held,
            Some(Worn::Nothing) | None => Breasts::Flat,
        }
    }
}

impl Shape {
    /// Whether the bust is another than the surveys of the figures with a share lead one to expect: a flat chest on a
    /// woman, a breast form on a man. Nothing that hangs on it is odd then.
    #[must_use]
    pub fn own_bust(&self, averages: &Averages, worn: Option<Worn>) -> bool {
        let is_flat = |shape: &Self, worn, figure| shape.breasts(figure, worn) == Breasts::Flat;
        let usual = Self::default();
        averages
            .parts()
            .any(|(f, _)| is_flat(&usual, None, f) != is_flat(self, worn, f))
    }
}

impl Sheet {
    /// Whether the bust is another than the surveys lead one to expect.
    #[must_use]
    pub fn own_bust(&self) -> bool {
        self.shape.own_bust(&self.averages, self.worn)
    }

    /// The value read for `measure` on the whole body: the mean of left and right where both were
    /// read, their sum where each is half of one arc. Half an arc alone tells nothing of the whole.
    #[must_use]
    pub fn value(&self, measure: Measure) -> Option<f64> {
        let mut sum = 0.0;
        let mut n = 0.0;
        for g in self.given.iter().filter(|g| g.measure == measure) {
            sum += g.value;
            n += 1.0;
        }
        if measure.kind() == Kind::Arc {
            let whole = self
                .given
                .iter()
                .any(|g| g.measure == measure && g.side == Side::Both);
            return (whole || n > 1.5).then_some(sum);
        }
        (n > 0.0).then(|| sum / n)
    }
}

/// Where a value of the form comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// Read by somebody and written in the sheet.
    Given,
    /// Predicted from everything else and from surveys.
    Estimated,
}

/// What the form is meant to measure, and how sure that is. The fit makes one for every
/// measurement, given or not.
#[derive(Clone, Debug, PartialEq)]
pub struct Target {
    /// What is measured.
    pub measure: Measure,
    /// On which side.
    pub side: Side,
    /// mm; radians for a slope.
    pub value: f64,
    /// Given or estimated.
    pub origin: Origin,
    /// 95 % half-width, mm or radians.
    pub plus_minus: f64,
    /// The person's own `within`, where one was given.
    pub within: Option<f64>,
}
