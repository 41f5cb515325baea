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
    /// Direction of the bust points from straight front, degrees.
    BreastAngle,
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
}
