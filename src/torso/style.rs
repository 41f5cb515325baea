//! What the surface takes as fixed: scale, and the build of each prominence.

use crate::torso::amend::Swelling;

/// How a breast is built.
#[derive(Clone, Copy, Debug)]
pub(crate) struct BreastStyle {
    /// Inner and outer angular width, degrees.
    pub(crate) inner: f64,
    pub(crate) outer: f64,
    /// Reach below the bust level, as a multiple of bust level less underbust level.
    pub(crate) low: f64,
    /// Reach above, mm at scale 1.
    pub(crate) high: f64,
    /// Steepness below and above.
    pub(crate) power_low: f64,
    pub(crate) power_high: f64,
    /// Exponent of the distance from the apex: 2 is round, more is blunter.
    pub(crate) round: f64,
    /// How far the upper slope turns towards the armpit, degrees per mm at scale 1.
    pub(crate) drift: f64,
    /// How much narrower the outer side gets towards the armpit.
    pub(crate) narrowing: f64,
    /// Exponent with which left and right are joined: 1 adds them, more takes the larger.
    pub(crate) join: f64,
}

/// How the abdomen is built.
#[derive(Clone, Copy, Debug)]
pub(crate) struct AbdomenStyle {
    /// Angular half width, degrees.
    pub(crate) width: f64,
    /// Reach below and above its level, mm at scale 1.
    pub(crate) low: f64,
    pub(crate) high: f64,
    /// Whether it is blunter (late pregnancy).
    pub(crate) fuller: bool,
}

/// Everything fixed before the fit.
#[derive(Clone, Debug)]
pub(crate) struct Style {
    /// Whether the halves are told apart.
    pub(crate) lopsided: bool,
    /// Stature that proportions are taken from, mm.
    pub(crate) stature: f64,
    /// Length scale of the torso: 1 for an average adult.
    pub(crate) scale: f64,
    /// Hem below the hip level, mm.
    pub(crate) hem_below_hip: f64,
    /// Neck top above the neck girth level, mm.
    pub(crate) neck_above_girth: f64,
    /// Level of the abdomen, mm at scale 1 (below the waist is negative).
    pub(crate) abdomen_level: f64,
    pub(crate) abdomen: AbdomenStyle,
    pub(crate) breast: BreastStyle,
    /// Standard deviation of the blur over height, mm at scale 1.
    pub(crate) blur: f64,
    /// Swellings and dents by hand.
    pub(crate) swellings: Vec<Swelling>,
    /// Rounding of the plate rim, and fillet of the neck, mm at scale 1.
    pub(crate) plate_round: f64,
    pub(crate) neck_fillet: f64,
}
