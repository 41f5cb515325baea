//! What the surface takes as fixed: scale, and the build of each prominence.

use crate::measure::{Kind, Measure, Side};
use crate::sheet::{Averages, Breasts, Figure, Shape, Sheet, Worn};
use crate::torso::amend::Swelling;

/// What is known of a body beside its measures.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Build {
    pub(crate) averages: Averages,
    pub(crate) pregnant: bool,
    /// What the sheet says of the bust.
    pub(crate) shape: Shape,
    pub(crate) worn: Option<Worn>,
    /// Where left and right may differ.
    pub(crate) sided: Sided,
}

/// Where readings tell left from right.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Sided {
    /// Shoulders, neck, blades, armscyes.
    pub(crate) shoulders: bool,
    /// Breasts and bust points.
    pub(crate) bust: bool,
    /// From the waist down.
    pub(crate) hips: bool,
    /// The line of the middle, against a plumb line or by what lies on either side of it.
    pub(crate) middle: bool,
    /// Something else: a swelling on one side.
    pub(crate) by_hand: bool,
}

impl Sided {
    /// Where the readings of a sheet tell.
    pub(crate) fn of(sheet: &Sheet) -> Self {
        use Measure as M;
        let mut sided = Self {
            by_hand: sheet.amends.iter().any(|a| a.towards.is_one_sided()),
            ..Self::default()
        };
        for g in &sheet.given {
            sided.middle |= g.measure.kind() == Kind::Plumb;
            if g.side == Side::Both {
                continue;
            }
            match g.measure {
                M::ArcFrontBust => (sided.bust, sided.middle) = (true, true),
                M::ArcFrontWaist | M::ArcFrontHip => (sided.hips, sided.middle) = (true, true),
                M::LengthWaistToHip => sided.hips = true,
                M::LengthSideNeckToBust | M::LengthSideNeckToWaist => {
                    (sided.shoulders, sided.bust) = (true, true);
                }
                M::HeightBust => sided.bust = true,
                // The form has neither arms nor legs.
                m if !m.info().on_form => {}
                _ => sided.shoulders = true,
            }
        }
        sided
    }

    /// Whether left and right may differ at all.
    pub(crate) const fn any(self) -> bool {
        self.shoulders || self.bust || self.hips || self.middle || self.by_hand
    }
}

impl Build {
    /// The breasts that a figure would have.
    pub(crate) fn breasts(&self, figure: Figure) -> Breasts {
        self.shape.breasts(figure, self.worn)
    }
}

/// The measures that the build of the prominences hangs on.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Proportions {
    /// mm.
    pub(crate) stature: f64,
    /// 1 for an average adult.
    pub(crate) scale: f64,
    /// 0 where the waist girth is 0.42 of stature, 1 where it is 0.67.
    pub(crate) waist_over: f64,
    /// How full a bust is: 0 for a usual one, 1 where it is 300 mm more than the underbust, never beyond 1.3.
    pub(crate) full_bust: f64,
    /// 0 where the waist is no larger than the ribs let it be, 1 where much of it hangs in front of them.
    pub(crate) over_ribs: f64,
}

/// How a breast is built, or what a man or a child has there.
#[derive(Clone, Copy, Debug)]
pub(crate) struct BreastStyle {
    /// Where its centre lies, out to the side: so many half distances of the bust points, and so much of
    /// the half breadth.
    pub(crate) beyond_point: f64,
    pub(crate) of_half: f64,
    /// Its centre above the bust level, mm.
    pub(crate) raised: f64,
    /// Reach towards the middle, as a multiple of where its centre lies, and away from it, as a multiple of
    /// what is left of the half breadth.
    pub(crate) inner: f64,
    pub(crate) outer: f64,
    /// Reach below: a multiple of bust level less underbust level, and mm at scale 1.
    pub(crate) low_of_fold: f64,
    pub(crate) low: f64,
    /// Reach above, mm at scale 1.
    pub(crate) high: f64,
    /// How blunt it is and how softly it begins, below and above, each 0 to 1.
    pub(crate) blunt: [f64; 2],
    pub(crate) soft: [f64; 2],
    /// How hollow the upper slope is, 0 to 1.
    pub(crate) hollow: f64,
    /// How far the upper slope leans towards the armpit, mm per mm.
    pub(crate) drift: f64,
}

/// How the abdomen is built.
#[derive(Clone, Copy, Debug)]
pub(crate) struct AbdomenStyle {
    /// Its centre, mm at scale 1 (below the waist is negative).
    pub(crate) centre: f64,
    /// Its upper end above the underbust level, mm at scale 1.
    pub(crate) above_fold: f64,
    /// How blunt it is and how softly it begins, below and above, each 0 to 1.
    pub(crate) blunt: [f64; 2],
    pub(crate) soft: [f64; 2],
    /// How much fuller it is in the flanks.
    pub(crate) flank: f64,
    /// How much broader it makes each half, mm per mm that it stands out.
    pub(crate) widening: f64,
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
    /// Level at which the tape goes round the abdomen, mm at scale 1 (below the waist is negative).
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
    /// The style of a body. Every number was set by eye on rendered figures: no source.
    pub(crate) fn new(build: Build, look: Proportions) -> Self {
        Self {
            lopsided: build.sided.any(),
            stature: look.stature,
            scale: look.scale,
            hem_below_hip: 0.055 * look.stature,
            neck_above_girth: 10.0,
            abdomen_level: if build.pregnant { -85.0 } else { -95.0 },
            abdomen: AbdomenStyle::new(build, look),
            breast: BreastStyle::new(build, look),
            // Soft bodies turn more gently from level to level.
            blur: 22.0 * (1.0 + 0.9 * look.waist_over.max(0.0)),
            swellings: Vec::new(),
            plate_round: 13.0,
            neck_fillet: 60.0,
        }
    }
}

impl AbdomenStyle {
    fn new(build: Build, look: Proportions) -> Self {
        let waist_over = look.waist_over.clamp(0.0, 1.0);
        if build.pregnant {
            return Self {
                centre: -75.0,
                above_fold: 60.0,
                blunt: [0.35, 0.5],
                soft: [1.0, 0.9],
                flank: 0.7,
                widening: 0.10,
            };
        }
        // What is beyond the ribs at the waist hangs in front, full from under the fold on.
        let over = look.over_ribs;
        let mix = |usual: f64, over_ribs: f64| usual + (over_ribs - usual) * over;
        let above = build.averages.number(|figure| match figure {
            Figure::Man => 60.0,
            Figure::Woman | Figure::Child => 20.0 * (1.0 - waist_over),
        });
        Self {
            centre: -66.0 - 12.0 * waist_over,
            above_fold: mix(above, 90.0),
            blunt: [0.1, mix(0.15, 0.4)],
            soft: [0.9, 0.9],
            flank: 0.3,
            widening: mix(0.0, 0.2),
        }
    }
}

impl BreastStyle {
    /// In shares.
    fn new(build: Build, look: Proportions) -> Self {
        let of = |figure| Self::of_figure(figure, build, look);
        let averages = &build.averages;
        if let Some(figure) = averages.only() {
            return of(figure);
        }
        let number = |field: fn(&Self) -> f64| averages.number(|figure| field(&of(figure)));
        Self {
            beyond_point: number(|b| b.beyond_point),
            of_half: number(|b| b.of_half),
            raised: number(|b| b.raised),
            inner: number(|b| b.inner),
            outer: number(|b| b.outer),
            low_of_fold: number(|b| b.low_of_fold),
            low: number(|b| b.low),
            high: number(|b| b.high),
            blunt: [number(|b| b.blunt[0]), number(|b| b.blunt[1])],
            soft: [number(|b| b.soft[0]), number(|b| b.soft[1])],
            hollow: number(|b| b.hollow),
            drift: number(|b| b.drift),
        }
    }

    fn of_figure(figure: Figure, build: Build, look: Proportions) -> Self {
        if build.breasts(figure) == Breasts::Flat {
            return Self {
                beyond_point: 0.0,
                of_half: 0.5,
                raised: 8.0 * look.scale,
                inner: 1.24,
                outer: 1.25,
                low_of_fold: 0.0,
                low: 150.0,
                high: if figure == Figure::Man { 130.0 } else { 100.0 },
                blunt: [0.0; 2],
                soft: [1.0, 0.9],
                hollow: 0.0,
                drift: 0.1,
            };
        }
        // It begins softly below the collar bone, its upper slope a little hollow; a blunt point would be a shelf.
        let big = look.full_bust;
        let held = Self {
            beyond_point: 1.13,
            of_half: 0.0,
            raised: 0.0,
            inner: 1.36 - 0.05 * big,
            outer: 1.0 - 0.04 * big,
            low_of_fold: 1.18 + 0.12 * big,
            low: 0.0,
            high: 178.0,
            blunt: [0.35 - 0.05 * big, 0.15],
            soft: [0.85, 1.0],
            hollow: 0.8,
            drift: 0.04,
        };
        if build.breasts(figure) == Breasts::Held {
            return held;
        }
        // Without one it hangs: fuller below, further apart, and flat above.
        Self {
            inner: 1.25,
            outer: 1.3 - 0.12 * big,
            low_of_fold: 1.22 + 0.12 * big,
            blunt: [0.4, 0.1],
            soft: [0.6, 1.0],
            drift: 0.13,
            ..held
        }
    }
}
