//! What to expect of the shape before a single section is looked at: mean and spread of every
//! parameter, from stature and the main girths.

use nalgebra::DMatrix;

use crate::sheet::Figure;
use crate::torso::core::Core;
use crate::torso::param::{COUNT, Param, Values, bounds};
use crate::torso::posture::whitening;
use crate::torso::style::{AbdomenStyle, BreastStyle, Style};

/// Mean, spread and bounds of the parameters.
#[derive(Clone, Debug)]
pub(crate) struct Prior {
    pub(crate) mean: Values,
    pub(crate) sd: Values,
    pub(crate) low: Values,
    pub(crate) high: Values,
    /// Whitening: parameters are `mean + spread * u` with `u` standard normal.
    pub(crate) spread: DMatrix<f64>,
    pub(crate) style: Style,
}

/// What the prior needs to know beside the core values.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Build {
    pub(crate) figure: Figure,
    pub(crate) pregnant: bool,
    pub(crate) supported: bool,
    /// Whether left and right may differ: some reading tells them apart.
    pub(crate) lopsided: bool,
}

/// Parameters whose spread was first set by eye, on figures that looked like people, and then
/// widened until survey people kept out of every regression lay within the plus-or-minus.
const WIDER: [Param; 26] = [
    Param::NeckBaseDepth,
    Param::NeckHalf,
    Param::Shoulder,
    Param::Slope,
    Param::HipHalf,
    Param::TopHipHalf,
    Param::WaistHalf,
    Param::UnderbustHalf,
    Param::BustHalf,
    Param::PlateOut,
    Param::ArmRoot,
    Param::HipDepth,
    Param::TopHipDepth,
    Param::WaistDepth,
    Param::UnderbustDepth,
    Param::BustDepth,
    Param::ChestDepth,
    Param::HipSquare,
    Param::WaistSquare,
    Param::BustSquare,
    Param::ChestSquare,
    Param::Breast,
    Param::BreastAngle,
    Param::Buttock,
    Param::ArmpitDrop,
    Param::FrontNeckDrop,
];
const WIDENED: f64 = 2.0;
/// The same for the two levels that back length and heights share.
const WIDENED_LEVEL: f64 = 1.45;
const WIDENED_LEVEL_MEN: f64 = 1.35;
/// Further for the breadth at the bust of women and children, which girths tell least about.
const WIDENED_BREADTH: f64 = 1.5;

/// How much left and right of one body differ, as standard deviations of the half-difference, mm or
/// degrees at scale 1 (from memory; a reading of either side overrules them).
const SKEW_SPREAD: [(Param, f64); 14] = [
    (Param::ShoulderSkew, 3.0),
    (Param::SlopeSkew, 2.0),
    (Param::SideNeckSkew, 3.0),
    (Param::ArmpitSkew, 5.0),
    (Param::BustSkew, 6.0),
    (Param::BreastSkew, 10.0),
    (Param::BreastAngleSkew, 3.0),
    (Param::HipSkew, 5.0),
    (Param::TopHipSkew, 5.0),
    (Param::HipLevelSkew, 10.0),
    (Param::BladeSkew, 3.0),
    (Param::SwayHip, 8.0),
    (Param::SwayBust, 8.0),
    (Param::SwayNape, 10.0),
];

impl Prior {
    /// Lengths in mm; ratios were set by eye on rendered figures and corrected towards the 1988 and
    /// 2012 US Army survey means unless a survey regression stands in [`crate::torso::survey`].
    #[allow(
        clippy::too_many_lines,
        reason = "one row per parameter: a table in code"
    )]
    pub(crate) fn new(core: &Core, build: Build) -> Self {
        let Core {
            stature: tall,
            bust,
            waist,
            hip,
            underbust,
            back: length,
            neck,
            sd: [stature_sd, _, _, hip_sd, _, back_sd, _],
            ..
        } = *core;
        let pick = |woman: f64, man: f64, child: f64| match build.figure {
            Figure::Woman => woman,
            Figure::Man => man,
            Figure::Child => child,
        };
        let woman = build.figure == Figure::Woman;
        let pregnant = build.pregnant;
        let sc = tall / pick(1649.0, 1755.0, 1649.0);
        // A pregnant abdomen is carried by its own prominence, not by the trunk's sections.
        let trunk_waist = if pregnant {
            waist.min(0.9 * bust)
        } else {
            waist
        };
        let cup = (bust - underbust).max(0.0);
        let fat = if pregnant {
            0.0
        } else {
            ((waist / tall - 0.42) / 0.25).clamp(-0.3, 1.2)
        };
        let top = core.top_hip(pregnant);

        let mut mean = [0.0; COUNT];
        let mut sd = [0.0; COUNT];
        let mut put = |q: Param, m: f64, s: f64| {
            mean[q as usize] = m;
            sd[q as usize] = s;
        };
        // Levels: 1988 US Army survey, heights as differences, regressed on stature, girths and back
        // length; children: Snyder et al. 1977 (levels of waist and seat), the rest by proportion.
        // The fullest girth of the seat lies a little below its greatest prominence (10 mm in
        // adults, judged on rendered figures).
        // Spread of a line on stature and back length: its own, and what those are unsure of.
        let with = |sd: f64, on_tall: f64, on_back: f64| {
            libm::hypot(libm::hypot(sd, on_tall * stature_sd), on_back * back_sd)
        };
        match build.figure {
            Figure::Woman => {
                let down = -26.86 + 0.18117 * tall - 0.36646 * length + 0.08766 * hip;
                put(
                    Param::HipLevel,
                    -(10.0 + down),
                    libm::hypot(with(20.2, 0.18117, 0.36646), 0.08766 * hip_sd),
                );
                let z = -2.84 + 0.8392 * length + 0.0283 * tall;
                put(Param::Nape, z, libm::hypot(8.3, 0.84 * back_sd));
                let down = -19.38 + 0.04891 * tall + 0.18496 * bust - 0.12483 * underbust
                    + 0.27637 * length;
                // The survey has no bust beyond 1200 mm: past the range it knows, a bust held by a
                // bra sinks less and less, and never to the waist.
                let usual = 0.143 * tall;
                let down = usual + soft_limit(down - usual, 0.022 * tall);
                put(
                    Param::BustDrop,
                    down.min(z - 0.068 * tall),
                    with(18.9, 0.04891, 0.27637),
                );
                put(
                    Param::ArmpitDrop,
                    6.0 + 0.07 + 0.0489 * tall + 0.03511 * bust + 0.17103 * length,
                    with(11.1, 0.0489, 0.17103),
                );
                put(
                    Param::SideNeckRise,
                    -(-12.29 - 0.01089 * tall + 0.11315 * length),
                    with(7.2, 0.01089, 0.11315),
                );
                put(
                    Param::FrontNeckDrop,
                    -31.75 + 0.0042 * tall + 0.05309 * neck + 0.23381 * length,
                    with(9.6, 0.0042, 0.23381),
                );
                put(Param::Shoulder, 0.090 * tall, 0.008 * tall);
                put(Param::Slope, 25.0, 4.5);
            }
            Figure::Man => {
                let down = -6.87 + 0.08992 * tall - 0.04646 * length + 0.10979 * hip;
                put(
                    Param::HipLevel,
                    -(10.0 + down),
                    libm::hypot(with(15.5, 0.08992, 0.04646), 0.10979 * hip_sd),
                );
                let z = -9.67 + 0.79277 * length + 0.0429 * tall;
                put(Param::Nape, z, libm::hypot(7.8, 0.79 * back_sd));
                put(
                    Param::BustDrop,
                    -31.55 + 0.03138 * tall + 0.05252 * bust + 0.4074 * length,
                    with(15.3, 0.03138, 0.4074),
                );
                put(
                    Param::ArmpitDrop,
                    6.0 + 23.22 + 0.03249 * tall + 0.04051 * bust + 0.18979 * length,
                    with(12.3, 0.03249, 0.18979),
                );
                put(
                    Param::SideNeckRise,
                    -(-20.39 - 0.0079 * tall + 0.10695 * length),
                    with(6.7, 0.0079, 0.10695),
                );
                put(
                    Param::FrontNeckDrop,
                    -36.72 - 0.01057 * tall + 0.02968 * neck + 0.30356 * length,
                    with(10.6, 0.01057, 0.30356),
                );
                put(Param::Shoulder, 0.090 * tall, 0.008 * tall);
                put(Param::Slope, 24.5, 4.5);
            }
            Figure::Child => {
                put(
                    Param::HipLevel,
                    -(5.0 - 8.4 + 0.1388 * tall),
                    with(19.7, 0.14, 0.0),
                );
                put(
                    Param::Nape,
                    0.985 * length,
                    libm::hypot(0.015 * length, back_sd),
                );
                put(Param::BustDrop, 0.128 * tall, 0.012 * tall);
                put(
                    Param::ArmpitDrop,
                    0.062 * tall + 0.083 * bust.min(0.66 * tall),
                    0.009 * tall,
                );
                put(Param::SideNeckRise, -0.006 * tall, 0.005 * tall);
                put(Param::FrontNeckDrop, 0.041 * tall, 0.006 * tall);
                put(Param::Shoulder, 0.074 * tall, 0.008 * tall);
                put(Param::Slope, 21.0, 4.5);
            }
        }
        let d_ub = if woman {
            0.042 * tall + 0.09 * (cup - 130.0)
        } else {
            0.036 * tall
        };
        // The fold lies between bust and waist, however short the distance.
        let above = mean[Param::Nape as usize] - mean[Param::BustDrop as usize];
        mean[Param::UnderbustDrop as usize] = d_ub.max(0.026 * tall).min(0.56 * above);
        sd[Param::UnderbustDrop as usize] = 0.006 * tall;
        let mut put = |q: Param, m: f64, s: f64| {
            mean[q as usize] = m;
            sd[q as usize] = s;
        };
        let round_neck = neck / std::f64::consts::TAU;
        // What the neck base is longer than the neck girth (survey, [`crate::torso::expect`]) is its
        // slope and the fillet to the shoulder, so that the column itself goes straight down into
        // the shoulders, leaning forward, instead of widening upwards.
        put(Param::NeckBaseHalf, 1.03 * round_neck, 0.002 * tall);
        put(
            Param::NeckBaseDepth,
            pick(0.245, 0.25, 0.29) * neck,
            0.025 * neck,
        );
        put(Param::NeckHalf, 1.03 * round_neck, 0.02 * round_neck);
        put(Param::LeanBack, pick(16.0, 16.0, 15.0), 3.0);
        put(Param::LeanFront, pick(16.0, 16.0, 8.0), 3.0);
        put(Param::HemBreadth, pick(0.975, 0.975, 0.97), 0.02);
        put(Param::HemDepth, pick(0.93, 0.93, 0.95), 0.03);
        put(Param::HipHalf, (0.1735 - 0.006 * fat) * hip, 0.006 * hip);
        put(Param::TopHipHalf, (0.171 - 0.004 * fat) * top, 0.006 * top);
        put(
            Param::WaistHalf,
            (pick(0.180, 0.176, 0.173) - 0.008 * fat) * trunk_waist,
            0.006 * trunk_waist,
        );
        put(
            Param::UnderbustHalf,
            (pick(0.175, 0.173, 0.170) - 0.004 * fat) * underbust,
            0.006 * underbust,
        );
        let bust_half = if woman {
            0.182 * underbust
        } else {
            pick(0.0, 0.169, 0.167) * bust
        };
        put(
            Param::BustHalf,
            bust_half - 0.004 * fat * bust,
            0.006 * bust,
        );
        put(Param::PlateOut, 0.0, 0.006 * tall);
        put(Param::PlateTurn, 0.10, 0.07);
        put(Param::ArmRoot, 0.032 * bust, 0.008 * bust);
        let seat = pick(14.0, 10.0, 8.0) * sc * hip / (0.58 * tall);
        put(
            Param::HipDepth,
            pick(0.232, 0.242, 0.248) * hip - 0.8 * seat,
            0.013 * hip,
        );
        put(Param::TopHipDepth, (0.243 + 0.02 * fat) * top, 0.016 * top);
        put(
            Param::WaistDepth,
            (pick(0.245, 0.250, 0.262) + 0.03 * fat) * trunk_waist,
            0.014 * trunk_waist,
        );
        put(
            Param::UnderbustDepth,
            (pick(0.239, 0.248, 0.252) + 0.035 * fat) * underbust,
            0.014 * underbust,
        );
        let bust_depth = if woman {
            0.249 * underbust
        } else {
            pick(0.0, 0.239, 0.249) * bust
        };
        put(
            Param::BustDepth,
            bust_depth + 0.012 * fat * bust,
            0.012 * bust,
        );
        let (chest, usual) = if woman {
            (underbust, 0.48 * tall)
        } else {
            (bust, pick(0.0, 0.57, 0.515) * tall)
        };
        put(
            Param::ChestDepth,
            pick(0.200, 0.192, 0.205) * usual + 0.13 * (chest - usual),
            0.012 * bust,
        );
        put(
            Param::BackHip,
            -pick(0.095, 0.085, 0.06) * (hip - trunk_waist) - pick(0.0, 4.0, 2.0) * sc,
            10.0 * sc,
        );
        put(Param::BackTopHip, -pick(14.0, 8.0, 6.0) * sc, 8.0 * sc);
        // The back line above the waist: a bow that the levels sit on, so that a short distance from
        // waist to bust does not make a step (set by eye on rendered figures).
        let bow = |z: f64| {
            let x = z / sc;
            -pick(1.0, 0.92, 0.66) * sc * (0.1935 * x - 0.0003 * x * x)
        };
        let z_bust = mean_of(&mean, Param::Nape) - mean_of(&mean, Param::BustDrop);
        let z_under = z_bust - mean_of(&mean, Param::UnderbustDrop);
        let z_chest =
            mean_of(&mean, Param::Nape) - 0.5 * (mean_of(&mean, Param::ArmpitDrop) + 0.035 * tall);
        let mut put = |q: Param, m: f64, s: f64| {
            mean[q as usize] = m;
            sd[q as usize] = s;
        };
        put(Param::BackUnderbust, bow(z_under), 8.0 * sc);
        put(Param::BackBust, bow(z_bust), 9.0 * sc);
        put(Param::BackChest, bow(z_chest), 10.0 * sc);
        put(
            Param::BackNape,
            pick(19.0, 20.0, 17.0) * sc - 0.03 * (underbust - 0.485 * tall),
            12.0 * sc,
        );
        put(
            Param::ShoulderForward,
            pick(0.118, 0.124, 0.125) * neck,
            0.05 * neck,
        );
        for (q, w, m, c) in [
            (Param::HipSquare, 2.85, 2.75, 2.5),
            (Param::TopHipSquare, 2.3, 2.3, 2.25),
            (Param::WaistSquare, 2.15, 2.2, 2.15),
            (Param::UnderbustSquare, 2.4, 2.6, 2.35),
            (Param::BustSquare, 3.0, 3.0, 2.8),
            (Param::ChestSquare, 2.6, 2.8, 2.45),
        ] {
            let spread = if q == Param::BustSquare { 0.4 } else { 0.2 };
            put(q, pick(w, m, c), spread);
        }
        put(
            Param::Breast,
            pick((0.36 * cup).max(8.0), 6.0 * sc, 1.0),
            pick(12.0 * sc, 4.0 * sc, 1.5),
        );
        put(Param::BreastAngle, pick(33.0, 38.0, 36.0), 4.0);
        put(Param::Blade, pick(7.0, 7.0, 5.0) * sc, 3.0 * sc);
        put(Param::Buttock, seat, 5.0 * sc);
        if pregnant {
            put(
                Param::Abdomen,
                0.75 * (waist - trunk_waist).max(0.0),
                40.0 * sc,
            );
        } else {
            put(
                Param::Abdomen,
                pick(5.0, 4.0, 7.0) * sc * (1.0 + 2.0 * fat.max(0.0)),
                5.0 * sc,
            );
        }
        put(Param::WaistTapeDrop, core.waist_drop.0, core.waist_drop.1);
        put(Param::WaistHeight, core.waist_height.0, core.waist_height.1);

        // A full breast in a bra is rounder at the tip and fuller above (set by eye).
        let ample = (0.01 * (cup / sc - 130.0)).clamp(0.0, 1.7) * pick(1.0, 0.0, 0.0);
        let style = Style {
            lopsided: build.lopsided,
            stature: tall,
            scale: sc,
            hem_below_hip: 0.055 * tall,
            neck_above_girth: 10.0,
            abdomen_level: if pregnant { -85.0 } else { -95.0 },
            abdomen: if pregnant {
                AbdomenStyle {
                    width: 96.0,
                    low: 225.0,
                    high: 215.0,
                    fuller: true,
                }
            } else {
                AbdomenStyle {
                    width: 62.0,
                    low: 115.0,
                    high: 110.0,
                    fuller: false,
                }
            },
            breast: if build.supported {
                BreastStyle {
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
                BreastStyle {
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
            },
            // Soft bodies turn more gently from level to level.
            blur: 11.0 * (1.0 + 1.4 * fat.max(0.0)),
            swellings: Vec::new(),
            plate_round: 10.0,
            neck_fillet: 22.0,
        };
        if pregnant {
            // What the tape finds at the waist is the abdomen, not the trunk behind it.
            for q in [Param::WaistHalf, Param::WaistDepth] {
                sd[q as usize] *= 0.4;
            }
        }
        if build.lopsided {
            for (q, spread) in SKEW_SPREAD {
                sd[q as usize] = spread * sc;
            }
        }
        for q in WIDER {
            sd[q as usize] *= WIDENED;
        }
        sd[Param::BustHalf as usize] *= pick(WIDENED_BREADTH, 1.0, WIDENED_BREADTH);
        for q in [Param::Nape, Param::WaistHeight] {
            sd[q as usize] *= pick(WIDENED_LEVEL, WIDENED_LEVEL_MEN, WIDENED_LEVEL);
        }
        let spread = whitening(&mean, &sd, tall, sc);
        let (low, high) = bounds();
        Self {
            mean,
            sd,
            low,
            high,
            spread,
            style,
        }
    }
}

fn mean_of(mean: &Values, q: Param) -> f64 {
    mean[q as usize]
}

/// A shift that runs straight near zero and levels off at `most` either way.
fn soft_limit(shift: f64, most: f64) -> f64 {
    most * libm::tanh(shift / most)
}
