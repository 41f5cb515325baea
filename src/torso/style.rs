//! What the surface takes as fixed: scale, and the build of each prominence.

use crate::sheet::Figure;
use crate::torso::amend::Swelling;

/// What is known of a body beside its measures.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Build {
    pub(crate) figure: Figure,
    pub(crate) pregnant: bool,
    pub(crate) supported: bool,
    /// Whether left and right may differ: some reading tells them apart.
    pub(crate) lopsided: bool,
}

/// The measures that the build of the prominences hangs on.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Look {
    /// mm.
    pub(crate) stature: f64,
    /// 1 for an average adult.
    pub(crate) scale: f64,
    /// 0 where the waist girth is 0.42 of stature, 1 where it is 0.67.
    pub(crate) fat: f64,
    /// Bust girth less underbust girth, mm.
    pub(crate) cup: f64,
}

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

impl Style {
    /// The style of a body. Every number was set by eye on rendered figures.
    pub(crate) fn new(build: Build, look: Look) -> Self {
        Self {
            lopsided: build.lopsided,
            stature: look.stature,
            scale: look.scale,
            hem_below_hip: 0.055 * look.stature,
            neck_above_girth: 10.0,
            abdomen_level: if build.pregnant { -85.0 } else { -95.0 },
            abdomen: AbdomenStyle::new(build.pregnant),
            breast: BreastStyle::new(build, look),
            // Soft bodies turn more gently from level to level.
            blur: 11.0 * (1.0 + 1.4 * look.fat.max(0.0)),
            swellings: Vec::new(),
            plate_round: 10.0,
            neck_fillet: 22.0,
        }
    }
}

impl AbdomenStyle {
    const fn new(pregnant: bool) -> Self {
        if pregnant {
            Self {
                width: 96.0,
                low: 225.0,
                high: 215.0,
                fuller: true,
            }
        } else {
            Self {
                width: 62.0,
                low: 115.0,
                high: 110.0,
                fuller: false,
            }
        }
    }
}

impl BreastStyle {
    fn new(build: Build, look: Look) -> Self {
        let pick = |woman: f64, man: f64, child: f64| match build.figure {
            Figure::Woman => woman,
            Figure::Man => man,
            Figure::Child => child,
        };
        if build.supported {
            // A full breast in a bra is rounder at the tip and fuller above.
            let full = (0.01 * (look.cup / look.scale - 130.0)).clamp(0.0, 1.7);
            let ample = full * pick(1.0, 0.0, 0.0);
            Self {
                inner: 54.0,
                outer: 56.0,
                low: 1.15,
                high: pick(150.0, 120.0, 100.0),
                power_low: 1.7,
                power_high: 2.6 - 0.4 * ample,
                round: 2.25 + 0.3 * ample,
                drift: 0.05,
                narrowing: 0.30,
                join: 2.2,
            }
        } else {
            Self {
                inner: 44.0,
                outer: 58.0,
                low: 1.2,
                high: pick(145.0, 120.0, 100.0),
                power_low: 1.7,
                power_high: 2.7,
                round: 2.3,
                drift: 0.06,
                narrowing: 0.33,
                join: 1.5,
            }
        }
    }
}
