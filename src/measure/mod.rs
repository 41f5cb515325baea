//! The words of the trade: which measurements, levels and landmarks there are. No values.

use std::fmt;

mod info;

pub use info::Info;
pub use info::MEASURING_A_CHILD;
pub use info::Seen;
pub use info::Who;

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

/// A measurement that a sheet may hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Measure {
    /// `girth.neck`: neck girth.
    GirthNeck,
    /// `girth.neck_base`: neck base girth.
    GirthNeckBase,
    /// `girth.shoulder`: shoulder girth.
    GirthShoulder,
    /// `girth.upper_chest`: upper chest girth.
    GirthUpperChest,
    /// `girth.bust`: bust girth.
    GirthBust,
    /// `girth.underbust`: underbust girth.
    GirthUnderbust,
    /// `girth.waist`: waist girth.
    GirthWaist,
    /// `girth.abdomen`: abdomen girth.
    GirthAbdomen,
    /// `girth.top_hip`: top hip girth.
    GirthTopHip,
    /// `girth.hip`: hip girth.
    GirthHip,
    /// `girth.thigh`: thigh girth.
    GirthThigh,
    /// `girth.armscye`: armscye girth.
    GirthArmscye,
    /// `girth.upper_arm`: upper arm girth.
    GirthUpperArm,
    /// `arc.front_bust`: front bust arc.
    ArcFrontBust,
    /// `arc.front_waist`: front waist arc.
    ArcFrontWaist,
    /// `arc.front_hip`: front hip arc.
    ArcFrontHip,
    /// `length.shoulder`: shoulder length.
    LengthShoulder,
    /// `length.back_waist`: back waist length.
    LengthBackWaist,
    /// `length.front_waist`: front waist length.
    LengthFrontWaist,
    /// `length.side_neck_to_bust`: side neck to bust point.
    LengthSideNeckToBust,
    /// `length.side_neck_to_waist`: side neck to waist over the bust point.
    LengthSideNeckToWaist,
    /// `length.across_back`: across back.
    LengthAcrossBack,
    /// `length.across_front`: across front.
    LengthAcrossFront,
    /// `length.bust_point_width`: bust point width.
    LengthBustPointWidth,
    /// `length.waist_to_hip`: waist to hip at the side.
    LengthWaistToHip,
    /// `length.scye_depth`: scye depth.
    LengthScyeDepth,
    /// `breadth.neck`: neck breadth.
    BreadthNeck,
    /// `breadth.biacromial`: biacromial breadth.
    BreadthBiacromial,
    /// `breadth.bust`: bust breadth.
    BreadthBust,
    /// `breadth.underbust`: underbust breadth.
    BreadthUnderbust,
    /// `breadth.waist`: waist breadth.
    BreadthWaist,
    /// `breadth.top_hip`: top hip breadth.
    BreadthTopHip,
    /// `breadth.hip`: hip breadth.
    BreadthHip,
    /// `depth.bust`: bust depth.
    DepthBust,
    /// `depth.underbust`: underbust depth.
    DepthUnderbust,
    /// `depth.waist`: waist depth.
    DepthWaist,
    /// `depth.top_hip`: top hip depth.
    DepthTopHip,
    /// `depth.hip`: hip depth.
    DepthHip,
    /// `height.stature`: stature.
    HeightStature,
    /// `height.nape`: nape height.
    HeightNape,
    /// `height.side_neck`: side neck height.
    HeightSideNeck,
    /// `height.shoulder`: shoulder point height.
    HeightShoulder,
    /// `height.armpit`: armpit height.
    HeightArmpit,
    /// `height.bust`: bust height.
    HeightBust,
    /// `height.underbust`: underbust height.
    HeightUnderbust,
    /// `height.waist`: waist height.
    HeightWaist,
    /// `height.top_hip`: top hip height.
    HeightTopHip,
    /// `height.hip`: hip height.
    HeightHip,
    /// `height.crotch`: crotch height.
    HeightCrotch,
    /// `slope.shoulder`: shoulder slope.
    SlopeShoulder,
    /// `slope.shoulder_drop`: shoulder drop.
    ShoulderDrop,
    /// `wall.nape`: gap from the wall to the nape.
    WallNape,
    /// `wall.blade`: gap from the wall to the shoulder blades.
    WallBlade,
    /// `wall.waist`: gap from the wall to the waist hollow.
    WallWaist,
    /// `wall.seat`: gap from the wall to the seat.
    WallSeat,
    /// `plumb.waist`: middle of the waist beside a plumb line from the nape.
    PlumbWaist,
    /// `plumb.seat`: middle of the seat beside a plumb line from the nape.
    PlumbSeat,
}

impl Measure {
    /// Every measurement, in the order in which reports list them.
    pub const ALL: [Self; 57] = [
        Self::GirthNeck,
        Self::GirthNeckBase,
        Self::GirthShoulder,
        Self::GirthUpperChest,
        Self::GirthBust,
        Self::GirthUnderbust,
        Self::GirthWaist,
        Self::GirthAbdomen,
        Self::GirthTopHip,
        Self::GirthHip,
        Self::GirthThigh,
        Self::GirthArmscye,
        Self::GirthUpperArm,
        Self::ArcFrontBust,
        Self::ArcFrontWaist,
        Self::ArcFrontHip,
        Self::LengthShoulder,
        Self::LengthBackWaist,
        Self::LengthFrontWaist,
        Self::LengthSideNeckToBust,
        Self::LengthSideNeckToWaist,
        Self::LengthAcrossBack,
        Self::LengthAcrossFront,
        Self::LengthBustPointWidth,
        Self::LengthWaistToHip,
        Self::LengthScyeDepth,
        Self::BreadthNeck,
        Self::BreadthBiacromial,
        Self::BreadthBust,
        Self::BreadthUnderbust,
        Self::BreadthWaist,
        Self::BreadthTopHip,
        Self::BreadthHip,
        Self::DepthBust,
        Self::DepthUnderbust,
        Self::DepthWaist,
        Self::DepthTopHip,
        Self::DepthHip,
        Self::HeightStature,
        Self::HeightNape,
        Self::HeightSideNeck,
        Self::HeightShoulder,
        Self::HeightArmpit,
        Self::HeightBust,
        Self::HeightUnderbust,
        Self::HeightWaist,
        Self::HeightTopHip,
        Self::HeightHip,
        Self::HeightCrotch,
        Self::SlopeShoulder,
        Self::ShoulderDrop,
        Self::WallNape,
        Self::WallBlade,
        Self::WallWaist,
        Self::WallSeat,
        Self::PlumbWaist,
        Self::PlumbSeat,
    ];

    /// The dotted key of the sheet, for example `girth.bust`.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::GirthNeck => "girth.neck",
            Self::GirthNeckBase => "girth.neck_base",
            Self::GirthShoulder => "girth.shoulder",
            Self::GirthUpperChest => "girth.upper_chest",
            Self::GirthBust => "girth.bust",
            Self::GirthUnderbust => "girth.underbust",
            Self::GirthWaist => "girth.waist",
            Self::GirthAbdomen => "girth.abdomen",
            Self::GirthTopHip => "girth.top_hip",
            Self::GirthHip => "girth.hip",
            Self::GirthThigh => "girth.thigh",
            Self::GirthArmscye => "girth.armscye",
            Self::GirthUpperArm => "girth.upper_arm",
            Self::ArcFrontBust => "arc.front_bust",
            Self::ArcFrontWaist => "arc.front_waist",
            Self::ArcFrontHip => "arc.front_hip",
            Self::LengthShoulder => "length.shoulder",
            Self::LengthBackWaist => "length.back_waist",
            Self::LengthFrontWaist => "length.front_waist",
            Self::LengthSideNeckToBust => "length.side_neck_to_bust",
            Self::LengthSideNeckToWaist => "length.side_neck_to_waist",
            Self::LengthAcrossBack => "length.across_back",
            Self::LengthAcrossFront => "length.across_front",
            Self::LengthBustPointWidth => "length.bust_point_width",
            Self::LengthWaistToHip => "length.waist_to_hip",
            Self::LengthScyeDepth => "length.scye_depth",
            Self::BreadthNeck => "breadth.neck",
            Self::BreadthBiacromial => "breadth.biacromial",
            Self::BreadthBust => "breadth.bust",
            Self::BreadthUnderbust => "breadth.underbust",
            Self::BreadthWaist => "breadth.waist",
            Self::BreadthTopHip => "breadth.top_hip",
            Self::BreadthHip => "breadth.hip",
            Self::DepthBust => "depth.bust",
            Self::DepthUnderbust => "depth.underbust",
            Self::DepthWaist => "depth.waist",
            Self::DepthTopHip => "depth.top_hip",
            Self::DepthHip => "depth.hip",
            Self::HeightStature => "height.stature",
            Self::HeightNape => "height.nape",
            Self::HeightSideNeck => "height.side_neck",
            Self::HeightShoulder => "height.shoulder",
            Self::HeightArmpit => "height.armpit",
            Self::HeightBust => "height.bust",
            Self::HeightUnderbust => "height.underbust",
            Self::HeightWaist => "height.waist",
            Self::HeightTopHip => "height.top_hip",
            Self::HeightHip => "height.hip",
            Self::HeightCrotch => "height.crotch",
            Self::SlopeShoulder => "slope.shoulder",
            Self::ShoulderDrop => "slope.shoulder_drop",
            Self::WallNape => "wall.nape",
            Self::WallBlade => "wall.blade",
            Self::WallWaist => "wall.waist",
            Self::WallSeat => "wall.seat",
            Self::PlumbWaist => "plumb.waist",
            Self::PlumbSeat => "plumb.seat",
        }
    }

    /// What sort of measurement it is.
    #[must_use]
    pub const fn kind(self) -> Kind {
        match self {
            Self::GirthNeck
            | Self::GirthNeckBase
            | Self::GirthShoulder
            | Self::GirthUpperChest
            | Self::GirthBust
            | Self::GirthUnderbust
            | Self::GirthWaist
            | Self::GirthAbdomen
            | Self::GirthTopHip
            | Self::GirthHip
            | Self::GirthThigh
            | Self::GirthArmscye
            | Self::GirthUpperArm => Kind::Girth,
            Self::ArcFrontBust | Self::ArcFrontWaist | Self::ArcFrontHip => Kind::Arc,
            Self::LengthShoulder
            | Self::LengthBackWaist
            | Self::LengthFrontWaist
            | Self::LengthSideNeckToBust
            | Self::LengthSideNeckToWaist
            | Self::LengthAcrossBack
            | Self::LengthAcrossFront
            | Self::LengthBustPointWidth
            | Self::LengthWaistToHip
            | Self::LengthScyeDepth
            | Self::ShoulderDrop => Kind::Length,
            Self::BreadthNeck
            | Self::BreadthBiacromial
            | Self::BreadthBust
            | Self::BreadthUnderbust
            | Self::BreadthWaist
            | Self::BreadthTopHip
            | Self::BreadthHip => Kind::Breadth,
            Self::DepthBust
            | Self::DepthUnderbust
            | Self::DepthWaist
            | Self::DepthTopHip
            | Self::DepthHip => Kind::Depth,
            Self::HeightStature
            | Self::HeightNape
            | Self::HeightSideNeck
            | Self::HeightShoulder
            | Self::HeightArmpit
            | Self::HeightBust
            | Self::HeightUnderbust
            | Self::HeightWaist
            | Self::HeightTopHip
            | Self::HeightHip
            | Self::HeightCrotch => Kind::Height,
            Self::SlopeShoulder => Kind::Slope,
            Self::WallNape | Self::WallBlade | Self::WallWaist | Self::WallSeat => Kind::Wall,
            Self::PlumbWaist | Self::PlumbSeat => Kind::Plumb,
        }
    }

    /// Its name in plain words.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::GirthNeck => "neck girth",
            Self::GirthNeckBase => "neck base girth",
            Self::GirthShoulder => "shoulder girth",
            Self::GirthUpperChest => "upper chest girth",
            Self::GirthBust => "bust girth",
            Self::GirthUnderbust => "underbust girth",
            Self::GirthWaist => "waist girth",
            Self::GirthAbdomen => "abdomen girth",
            Self::GirthTopHip => "top hip girth",
            Self::GirthHip => "hip girth",
            Self::GirthThigh => "thigh girth",
            Self::GirthArmscye => "armscye girth",
            Self::GirthUpperArm => "upper arm girth",
            Self::ArcFrontBust => "front bust arc",
            Self::ArcFrontWaist => "front waist arc",
            Self::ArcFrontHip => "front hip arc",
            Self::LengthShoulder => "shoulder length",
            Self::LengthBackWaist => "back waist length",
            Self::LengthFrontWaist => "front waist length",
            Self::LengthSideNeckToBust => "side neck to bust point",
            Self::LengthSideNeckToWaist => "side neck to waist over bust",
            Self::LengthAcrossBack => "across back",
            Self::LengthAcrossFront => "across front",
            Self::LengthBustPointWidth => "bust point width",
            Self::LengthWaistToHip => "waist to hip at the side",
            Self::LengthScyeDepth => "scye depth",
            Self::BreadthNeck => "neck breadth",
            Self::BreadthBiacromial => "biacromial breadth",
            Self::BreadthBust => "bust breadth",
            Self::BreadthUnderbust => "underbust breadth",
            Self::BreadthWaist => "waist breadth",
            Self::BreadthTopHip => "top hip breadth",
            Self::BreadthHip => "hip breadth",
            Self::DepthBust => "bust depth",
            Self::DepthUnderbust => "underbust depth",
            Self::DepthWaist => "waist depth",
            Self::DepthTopHip => "top hip depth",
            Self::DepthHip => "hip depth",
            Self::HeightStature => "stature",
            Self::HeightNape => "nape height",
            Self::HeightSideNeck => "side neck height",
            Self::HeightShoulder => "shoulder point height",
            Self::HeightArmpit => "armpit height",
            Self::HeightBust => "bust height",
            Self::HeightUnderbust => "underbust height",
            Self::HeightWaist => "waist height",
            Self::HeightTopHip => "top hip height",
            Self::HeightHip => "hip height",
            Self::HeightCrotch => "crotch height",
            Self::SlopeShoulder => "shoulder slope",
            Self::ShoulderDrop => "shoulder drop",
            Self::PlumbWaist => "waist beside the plumb line",
            Self::PlumbSeat => "seat beside the plumb line",
            Self::WallNape => "wall gap at the nape",
            Self::WallBlade => "wall gap at the blades",
            Self::WallWaist => "wall gap at the waist",
            Self::WallSeat => "wall gap at the seat",
        }
    }

    /// Its name below the name of its [`Kind`], as its key has it: `waist to hip`.
    #[must_use]
    pub fn short(self) -> String {
        self.table_and_key().1.replace('_', " ")
    }

    /// How it is taken, by whom, and what has been seen on people.
    #[must_use]
    pub const fn info(self) -> Info {
        info::info(self)
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

impl fmt::Display for Measure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.key())
    }
}

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

    /// The girth that a level tape reads there, where there is one.
    #[must_use]
    pub const fn girth(self) -> Option<Measure> {
        match self {
            Self::Hip => Some(Measure::GirthHip),
            Self::TopHip => Some(Measure::GirthTopHip),
            Self::Abdomen => Some(Measure::GirthAbdomen),
            Self::WaistTape => Some(Measure::GirthWaist),
            Self::Underbust => Some(Measure::GirthUnderbust),
            Self::Bust => Some(Measure::GirthBust),
            Self::Armpit => Some(Measure::GirthUpperChest),
            _ => None,
        }
    }

    /// Its name in files and reports.
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
