//! Where on a body: named heights and named points.

use super::Figure;

/// A named height at which something is measured or marked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Level {
    /// Lower end of the form.
    Hem,
    /// Fullest girth of the seat.
    Hip,
    /// Half-way from waist to hip.
    TopHip,
    /// Fullest part of the abdomen.
    Abdomen,
    /// Where the sheet says its waist was taken (natural, ISO or navel).
    WaistTape,
    /// Natural waist: z = 0.
    Waist,
    /// Directly under the breasts.
    Underbust,
    /// Level of the bust points (men and children: of the nipples).
    Bust,
    /// Lowest point of the armhole.
    Armpit,
    /// Half-way from armpit to shoulder point.
    MidArmscye,
    /// Outer end of the shoulder.
    ShoulderPoint,
    /// Hollow of the throat.
    FrontNeck,
    /// Where neck and shoulder meet.
    SideNeck,
    /// Back neck point, the seventh neck vertebra.
    Nape,
    /// Where the axis of the neck meets the plane of the neck girth.
    NeckGirth,
    /// Upper end of the form.
    NeckTop,
}

impl Level {
    /// Every one, from the lowest up.
    pub const ALL: [Self; 16] = [
        Self::Hem,
        Self::Hip,
        Self::TopHip,
        Self::Abdomen,
        Self::WaistTape,
        Self::Waist,
        Self::Underbust,
        Self::Bust,
        Self::Armpit,
        Self::MidArmscye,
        Self::ShoulderPoint,
        Self::FrontNeck,
        Self::SideNeck,
        Self::Nape,
        Self::NeckGirth,
        Self::NeckTop,
    ];

    /// The levels of the trunk that a level tape goes round, from the armpits down.
    pub const TRUNK: [Self; 7] = [
        Self::Armpit,
        Self::Bust,
        Self::Underbust,
        Self::Waist,
        Self::Abdomen,
        Self::TopHip,
        Self::Hip,
    ];

    /// Its name on this figure: men and children have a chest.
    #[must_use]
    pub const fn called(self, figure: Figure) -> &'static str {
        match (self, figure) {
            (Self::Bust, Figure::Man | Figure::Child) => "chest",
            _ => self.name(),
        }
    }

    /// Its name in files, and on a woman's figure.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Hem => "hem",
            Self::Hip => "hip",
            Self::TopHip => "top hip",
            Self::Abdomen => "abdomen",
            Self::WaistTape => "waist tape",
            Self::Waist => "waist",
            Self::Underbust => "underbust",
            Self::Bust => "bust",
            Self::Armpit => "armpit",
            Self::MidArmscye => "mid armscye",
            Self::ShoulderPoint => "shoulder point",
            Self::FrontNeck => "front neck",
            Self::SideNeck => "side neck",
            Self::Nape => "nape",
            Self::NeckGirth => "neck girth",
            Self::NeckTop => "neck top",
        }
    }
}

/// A named point of the surface.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Landmark {
    /// Back neck point.
    Nape,
    /// Hollow of the throat.
    FrontNeck,
    /// Where neck and shoulder line meet, left.
    SideNeckLeft,
    /// Where neck and shoulder line meet, right.
    SideNeckRight,
    /// Outer end of the left shoulder.
    ShoulderLeft,
    /// Outer end of the right shoulder.
    ShoulderRight,
    /// Left bust point.
    BustLeft,
    /// Right bust point.
    BustRight,
    /// Lowest point of the left armhole.
    ArmpitLeft,
    /// Lowest point of the right armhole.
    ArmpitRight,
    /// Side of the hip, left: how far down the waist to hip length goes there.
    HipLeft,
    /// Side of the hip, right.
    HipRight,
}

impl Landmark {
    /// Every one, from the lowest up.
    pub const ALL: [Self; 12] = [
        Self::Nape,
        Self::FrontNeck,
        Self::SideNeckLeft,
        Self::SideNeckRight,
        Self::ShoulderLeft,
        Self::ShoulderRight,
        Self::BustLeft,
        Self::BustRight,
        Self::ArmpitLeft,
        Self::ArmpitRight,
        Self::HipLeft,
        Self::HipRight,
    ];

    /// Its name in files and reports.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Nape => "nape",
            Self::FrontNeck => "front neck point",
            Self::SideNeckLeft => "side neck point, left",
            Self::SideNeckRight => "side neck point, right",
            Self::ShoulderLeft => "shoulder point, left",
            Self::ShoulderRight => "shoulder point, right",
            Self::BustLeft => "bust point, left",
            Self::BustRight => "bust point, right",
            Self::ArmpitLeft => "armpit, left",
            Self::ArmpitRight => "armpit, right",
            Self::HipLeft => "hip, left",
            Self::HipRight => "hip, right",
        }
    }
}
