//! The shape parameters of a torso: one number each, in mm unless said otherwise.

/// How many parameters a torso has.
pub(crate) const COUNT: usize = Param::ALL.len();

/// A value for every parameter.
pub(crate) type Values = [f64; COUNT];

macro_rules! params {
    ($($(#[$doc:meta])* $name:ident $word:literal),* $(,)?) => {
        /// A shape parameter.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub(crate) enum Param { $($(#[$doc])* $name),* }

        impl Param {
            /// Every parameter, in the order of [`Values`].
            pub(crate) const ALL: [Self; [$(Self::$name),*].len()] = [$(Self::$name),*];

            /// What it is, in words for a report.
            pub(crate) const fn words(self) -> &'static str {
                match self { $(Self::$name => $word),* }
            }
        }
    };
}

params! {
    /// Height of the hip level (negative).
    HipLevel "level of the hip",
    /// Bust level less underbust level.
    UnderbustDrop "distance from bust to underbust",
    /// Nape less bust level.
    BustDrop "level of the bust",
    /// Nape less armpit level (bottom of the arm plate).
    ArmpitDrop "depth of the armhole",
    /// Height of the nape.
    Nape "level of the nape",
    /// Side neck point less nape.
    SideNeckRise "level of the side neck",
    /// Nape less front neck point.
    FrontNeckDrop "level of the front neck",
    /// Length of the shoulder line before the neck fillet.
    Shoulder "length of the shoulders",
    /// Slope of the shoulder line, degrees.
    Slope "slope of the shoulders",
    /// Half breadth of the neck at the side neck point.
    NeckBaseHalf "breadth of the neck base",
    /// Horizontal depth from nape to front neck point.
    NeckBaseDepth "depth of the neck base",
    /// Half breadth of the neck at the neck girth level.
    NeckHalf "breadth of the neck",
    /// Lean of the neck's back line, degrees.
    LeanBack "lean of the neck behind",
    /// Lean of the neck's front line, degrees.
    LeanFront "lean of the neck in front",
    /// Breadth at the hem over breadth at the hip.
    HemBreadth "breadth at the hem",
    /// Depth at the hem over depth at the hip.
    HemDepth "depth at the hem",
    /// Half breadth at the hip.
    HipHalf "breadth at the hip",
    /// Half breadth at the top hip.
    TopHipHalf "breadth at the top hip",
    /// Half breadth at the waist.
    WaistHalf "breadth at the waist",
    /// Half breadth at the underbust.
    UnderbustHalf "breadth at the underbust",
    /// Half breadth at the bust level, breasts left out.
    BustHalf "breadth at the bust",
    /// How far the arm plate stands out beyond where it is expected.
    PlateOut "place of the armholes",
    /// Turn of the arm plate about the vertical (tangent): back edge further out.
    PlateTurn "turn of the armholes",
    /// Virtual arm root beyond the plate at mid armscye.
    ArmRoot "size of the armholes",
    /// Depth at the hip on the centre line, without the buttocks.
    HipDepth "depth at the hip",
    /// Depth at the top hip.
    TopHipDepth "depth at the top hip",
    /// Depth at the waist.
    WaistDepth "depth at the waist",
    /// Depth at the underbust.
    UnderbustDepth "depth at the underbust",
    /// Depth at the bust level on the centre line.
    BustDepth "depth at the bust",
    /// Depth at mid armscye.
    ChestDepth "depth of the upper chest",
    /// Back line at the hip less back line at the waist (negative is further back).
    BackHip "back line at the hip",
    /// The same at the top hip.
    BackTopHip "back line at the top hip",
    /// The same at the underbust.
    BackUnderbust "back line at the underbust",
    /// The same at the bust.
    BackBust "back line at the bust",
    /// The same at mid armscye.
    BackChest "back line at the shoulder blades",
    /// The same at the nape.
    BackNape "back line at the nape",
    /// Shoulder point in front of the nape.
    ShoulderForward "how far forward the shoulders sit",
    /// Squareness of the section at the hip (exponent; 2 is an ellipse).
    HipSquare "squareness at the hip",
    /// Squareness at the top hip.
    TopHipSquare "squareness at the top hip",
    /// Squareness at the waist.
    WaistSquare "squareness at the waist",
    /// Squareness at the underbust.
    UnderbustSquare "squareness at the underbust",
    /// Squareness at the bust.
    BustSquare "squareness at the bust",
    /// Squareness at mid armscye.
    ChestSquare "squareness of the upper chest",
    /// How far the breasts stand out.
    Breast "prominence of the bust",
    /// Direction of the bust points from straight front, degrees.
    BreastAngle "direction of the bust points",
    /// How far the shoulder blades stand out.
    Blade "prominence of the shoulder blades",
    /// How far the buttocks stand out.
    Buttock "prominence of the seat",
    /// How far the abdomen stands out.
    Abdomen "prominence of the abdomen",
    /// Natural waist above the level that the sheet calls waist.
    WaistTapeDrop "level of the waist tape",
    /// Height of the natural waist above the floor.
    WaistHeight "height of the waist",
}
