//! The shape parameters of a torso: one number each, in mm unless said otherwise.

/// How many parameters a torso has.
pub(crate) const COUNT: usize = Param::ALL.len();

/// A value for every parameter.
pub(crate) type Values = [f64; COUNT];

macro_rules! params {
    ($($(#[$doc:meta])* $name:ident),* $(,)?) => {
        /// A shape parameter.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub(crate) enum Param { $($(#[$doc])* $name),* }

        impl Param {
            /// Every parameter, in the order of [`Values`].
            pub(crate) const ALL: [Self; [$(Self::$name),*].len()] = [$(Self::$name),*];

            /// The parameter that tables call so.
            pub(crate) fn from_name(name: &str) -> Option<Self> {
                [$((stringify!($name), Self::$name)),*]
                    .into_iter()
                    .find_map(|(own, param)| (own == name).then_some(param))
            }
        }
    };
}

params! {
    /// Height of the hip level (negative).
    HipLevel,
    /// Bust level less underbust level.
    UnderbustDrop,
    /// Nape less bust level.
    BustDrop,
    /// Nape less armpit level (bottom of the arm plate).
    ArmpitDrop,
    /// Height of the nape.
    Nape,
    /// Side neck point less nape.
    SideNeckRise,
    /// Nape less front neck point.
    FrontNeckDrop,
    /// Length of the shoulder line before the neck fillet.
    Shoulder,
    /// Slope of the shoulder line, degrees.
    Slope,
    /// Half breadth of the neck at the side neck point.
    NeckBaseHalf,
    /// Horizontal depth from nape to front neck point.
    NeckBaseDepth,
    /// Half breadth of the neck at the neck girth level.
    NeckHalf,
    /// Lean of the neck's back line, degrees.
    LeanBack,
    /// Lean of the neck's front line, degrees.
    LeanFront,
    /// Breadth at the hem over breadth at the hip.
    HemBreadth,
    /// Depth at the hem over depth at the hip.
    HemDepth,
    /// Half breadth at the hip.
    HipHalf,
    /// Half breadth at the top hip.
    TopHipHalf,
    /// Half breadth at the waist.
    WaistHalf,
    /// Half breadth at the underbust.
    UnderbustHalf,
    /// Half breadth at the bust level, breasts left out.
    BustHalf,
    /// How far the arm plate stands out beyond where it is expected.
    PlateOut,
    /// Turn of the arm plate about the vertical (tangent): back edge further out.
    PlateTurn,
    /// Virtual arm root beyond the plate at mid armscye.
    ArmRoot,
    /// Depth at the hip on the centre line, without the buttocks.
    HipDepth,
    /// Depth at the top hip.
    TopHipDepth,
    /// Depth at the waist.
    WaistDepth,
    /// Depth at the underbust.
    UnderbustDepth,
    /// Depth at the bust level on the centre line.
    BustDepth,
    /// Depth at mid armscye.
    ChestDepth,
    /// Back line at the hip less back line at the waist (negative is further back).
    BackHip,
    /// The same at the top hip.
    BackTopHip,
    /// The same at the underbust.
    BackUnderbust,
    /// The same at the bust.
    BackBust,
    /// The same at mid armscye.
    BackChest,
    /// The same at the nape.
    BackNape,
    /// Shoulder point in front of the nape.
    ShoulderForward,
    /// Squareness of the section at the hip (exponent; 2 is an ellipse).
    HipSquare,
    /// Squareness at the top hip.
    TopHipSquare,
    /// Squareness at the waist.
    WaistSquare,
    /// Squareness at the underbust.
    UnderbustSquare,
    /// Squareness at the bust.
    BustSquare,
    /// Squareness at mid armscye.
    ChestSquare,
    /// How far the breasts stand out.
    Breast,
    /// Half distance of the bust points.
    BustPointHalf,
    /// How far the shoulder blades stand out.
    Blade,
    /// How far the buttocks stand out.
    Buttock,
    /// How far the abdomen stands out.
    Abdomen,
    /// Natural waist above the level that the sheet calls waist.
    WaistTapeDrop,
    /// Height of the natural waist above the floor.
    WaistHeight,
    /// Half of right less left: the length of the shoulder line.
    ShoulderSkew,
    /// The same of its slope, degrees.
    SlopeSkew,
    /// The same of the height of the side neck point.
    SideNeckSkew,
    /// The same of the height of the armpit.
    ArmpitSkew,
    /// The same of the height of the bust point.
    BustSkew,
    /// The same of how far a breast stands out.
    BreastSkew,
    /// The same of how far a bust point lies from the middle.
    BustPointSkew,
    /// The same of half the breadth at the hip.
    HipSkew,
    /// The same of half the breadth at the top hip.
    TopHipSkew,
    /// The same of the height of the hip level at the side.
    HipLevelSkew,
    /// The same of how far a shoulder blade stands out.
    BladeSkew,
    /// Sideways shift of the middle at the hip from that at the waist, to the right.
    SwayHip,
    /// The same at the bust.
    SwayBust,
    /// The same at the nape.
    SwayNape,
}

/// Parameters that may differ from side to side, each with its half-difference.
pub(crate) const SKEWS: [(Param, Param); 11] = [
    (Param::Shoulder, Param::ShoulderSkew),
    (Param::Slope, Param::SlopeSkew),
    (Param::SideNeckRise, Param::SideNeckSkew),
    // A higher armpit or bust is less far below the nape.
    (Param::ArmpitDrop, Param::ArmpitSkew),
    (Param::BustDrop, Param::BustSkew),
    (Param::Breast, Param::BreastSkew),
    (Param::BustPointHalf, Param::BustPointSkew),
    (Param::HipHalf, Param::HipSkew),
    (Param::TopHipHalf, Param::TopHipSkew),
    (Param::HipLevel, Param::HipLevelSkew),
    (Param::Blade, Param::BladeSkew),
];

/// The values of one side: 1 is the right, -1 the left.
pub(crate) fn of_side(mean: &Values, sign: f64) -> Values {
    let mut own = *mean;
    for (param, skew) in SKEWS {
        let down = matches!(param, Param::ArmpitDrop | Param::BustDrop);
        let by = if down { -sign } else { sign } * mean[skew as usize];
        own[param as usize] += by;
        if matches!(param, Param::Breast | Param::Blade) {
            own[param as usize] = own[param as usize].max(0.0);
        }
    }
    own
}

/// Hard bounds: nobody is outside them, and the surface stays sound inside them.
pub(crate) fn bounds() -> (Values, Values) {
    let mut low = [f64::NEG_INFINITY; COUNT];
    let mut high = [f64::INFINITY; COUNT];
    let mut set = |q: Param, a: f64, b: f64| {
        low[q as usize] = a;
        high[q as usize] = b;
    };
    for q in [
        Param::HipSquare,
        Param::TopHipSquare,
        Param::WaistSquare,
        Param::UnderbustSquare,
        Param::BustSquare,
        Param::ChestSquare,
    ] {
        set(q, 1.7, 5.0);
    }
    for q in [Param::Breast, Param::Blade, Param::Buttock, Param::Abdomen] {
        set(q, 0.0, f64::INFINITY);
    }
    set(Param::BustPointHalf, 25.0, 260.0);
    set(Param::ArmRoot, 4.0, f64::INFINITY);
    set(Param::LeanBack, 0.0, 24.0);
    set(Param::Slope, 8.0, 40.0);
    (low, high)
}
