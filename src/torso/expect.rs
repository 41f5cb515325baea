//! What surveys lead one to expect of measurements that were not taken, given those that were.
//!
//! Each row enters the fit as a soft reading. The regressions were computed (Huber, robust) from
//! the individual records of the 1988 US Army survey (NATICK/TR-89/044; four records of five) and
//! of Snyder et al. 1977 (UM-HSRI-77-17; children under 1.70 m), all in mm. Men's armscye girth and side
//! neck to bust and children's bust breadth are least squares on the same records.

use crate::measure::{Kind, Measure};
use crate::sheet::{Figure, Sheet};
use crate::torso::core::Core;

/// Expectations overlap (several tell of the same part of the body), so each is trusted a little less
/// than its own spread says. Calibrated on the people kept out of every regression, so that nine to
/// ten of ten true values lie within the plus-or-minus.
const DOUBLE_COUNT: f64 = 1.25;
/// The same for heights of adults, which stand on one another: three of them tell of one.
const DOUBLE_COUNT_HEIGHT: f64 = 1.6;

/// What little else tells of on men: trusted as its own spread says. Calibrated on four of five men
/// (the one of five is left to judge it).
const ALONE_ON_MEN: [Measure; 4] = [
    Measure::GirthArmscye,
    Measure::LengthSideNeckToBust,
    Measure::LengthScyeDepth,
    Measure::BreadthBust,
];

/// One expectation.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Expected {
    pub(crate) measure: Measure,
    pub(crate) value: f64,
    pub(crate) sd: f64,
}

/// A core value that a regression uses.
#[derive(Clone, Copy, Debug)]
enum On {
    Tall,
    Bust,
    Waist,
    Hip,
    Underbust,
    Neck,
    Back,
}

struct Line(Measure, f64, &'static [(On, f64)], f64);

/// Women. Where the survey measures otherwise: `chest_circ_scye` is the girth at the armpit;
/// `scye_circ` the armscye girth; `interscye_midscye` the width across the back; `buttock_depth`
/// and `hip_breadth` are at the level of greatest seat prominence; the front waist length starts at
/// the hollow of the throat.
const WOMAN: &[Line] = &[
    Line(
        Measure::BreadthHip,
        -5.04,
        &[(On::Hip, 0.33482), (On::Tall, 0.01485)],
        9.0,
    ),
    Line(
        Measure::DepthHip,
        -37.25,
        &[(On::Hip, 0.17786), (On::Waist, 0.12704)],
        11.4,
    ),
    Line(
        Measure::BreadthBust,
        15.24,
        &[(On::Bust, 0.11251), (On::Underbust, 0.21075)],
        12.0,
    ),
    Line(
        Measure::DepthBust,
        -31.23,
        &[(On::Bust, 0.27673), (On::Waist, 0.02727)],
        9.1,
    ),
    Line(
        Measure::GirthNeckBase,
        40.47,
        &[(On::Neck, 0.94417), (On::Bust, 0.00838)],
        7.2,
    ),
    Line(
        Measure::LengthShoulder,
        47.31,
        &[(On::Tall, 0.05943), (On::Bust, 0.00055)],
        10.3,
    ),
    Line(
        Measure::LengthBustPointWidth,
        59.55,
        &[(On::Bust, 0.15159), (On::Underbust, -0.01562)],
        13.6,
    ),
    Line(
        Measure::LengthSideNeckToBust,
        -13.07,
        &[(On::Bust, 0.21656), (On::Tall, 0.05178)],
        16.8,
    ),
    Line(
        Measure::GirthArmscye,
        14.52,
        &[(On::Bust, 0.26344), (On::Tall, 0.07222)],
        14.1,
    ),
    Line(
        Measure::LengthScyeDepth,
        -10.85,
        &[
            (On::Tall, 0.02995),
            (On::Bust, 0.07004),
            (On::Back, 0.22905),
        ],
        11.2,
    ),
    Line(
        Measure::LengthAcrossBack,
        63.84,
        &[(On::Bust, 0.17829), (On::Tall, 0.09248)],
        20.1,
    ),
    Line(
        Measure::LengthFrontWaist,
        36.80,
        &[(On::Back, 0.70103), (On::Bust, 0.01921)],
        15.0,
    ),
    Line(
        Measure::GirthUpperChest,
        151.35,
        &[(On::Bust, 0.50445), (On::Underbust, 0.36168)],
        21.1,
    ),
    Line(Measure::HeightNape, -89.08, &[(On::Tall, 0.91887)], 10.2),
    Line(Measure::HeightSideNeck, -81.20, &[(On::Tall, 0.90685)], 9.1),
    Line(
        Measure::HeightArmpit,
        -6.0 - 109.20,
        &[(On::Tall, 0.84535), (On::Back, -0.09476)],
        13.1,
    ),
    Line(Measure::ShoulderDrop, 21.51, &[(On::Tall, 0.02539)], 11.0),
];

/// Men; the same remarks.
const MAN: &[Line] = &[
    Line(
        Measure::BreadthHip,
        7.15,
        &[(On::Hip, 0.27931), (On::Tall, 0.03417)],
        8.5,
    ),
    Line(
        Measure::DepthHip,
        -30.07,
        &[(On::Hip, 0.22294), (On::Waist, 0.07057)],
        9.5,
    ),
    Line(
        Measure::BreadthBust,
        -9.37,
        &[(On::Bust, 0.1555), (On::Underbust, 0.19083)],
        10.6,
    ),
    Line(
        Measure::DepthBust,
        -26.60,
        &[(On::Bust, 0.22175), (On::Waist, 0.05949)],
        9.4,
    ),
    Line(
        Measure::GirthNeckBase,
        45.67,
        &[(On::Neck, 0.93293), (On::Bust, 0.0088)],
        8.2,
    ),
    Line(
        Measure::LengthShoulder,
        66.93,
        &[(On::Tall, 0.0444), (On::Bust, 0.00581)],
        10.6,
    ),
    Line(
        Measure::LengthBustPointWidth,
        28.60,
        &[(On::Bust, 0.2048), (On::Underbust, -0.01656)],
        13.2,
    ),
    Line(
        Measure::LengthSideNeckToBust,
        10.60,
        &[
            (On::Bust, 0.08275),
            (On::Waist, 0.06144),
            (On::Hip, 0.03173),
            (On::Tall, 0.05518),
        ],
        12.4,
    ),
    Line(
        Measure::GirthArmscye,
        21.70,
        &[(On::Bust, 0.21752), (On::Hip, 0.11447), (On::Tall, 0.05433)],
        14.4,
    ),
    Line(
        Measure::LengthScyeDepth,
        6.51,
        &[
            (On::Tall, -0.00308),
            (On::Bust, 0.07596),
            (On::Back, 0.33095),
        ],
        11.9,
    ),
    Line(
        Measure::LengthAcrossBack,
        114.01,
        &[(On::Bust, 0.22387), (On::Tall, 0.04062)],
        21.4,
    ),
    Line(
        Measure::LengthFrontWaist,
        59.39,
        &[(On::Back, 0.6391), (On::Bust, 0.02297)],
        15.1,
    ),
    Line(
        Measure::GirthUpperChest,
        126.86,
        &[(On::Bust, 0.99893), (On::Underbust, -0.10169)],
        17.1,
    ),
    Line(Measure::HeightNape, -105.24, &[(On::Tall, 0.92526)], 10.9),
    Line(
        Measure::HeightSideNeck,
        -92.95,
        &[(On::Tall, 0.91258)],
        10.6,
    ),
    Line(
        Measure::HeightArmpit,
        -6.0 - 151.77,
        &[(On::Tall, 0.87463), (On::Back, -0.15344)],
        14.8,
    ),
    Line(Measure::ShoulderDrop, 51.01, &[(On::Tall, 0.00916)], 11.8),
];

/// Children; `BreadthBust` is the survey's chest breadth at the armpit, so its spread is widened.
const CHILD: &[Line] = &[
    Line(
        Measure::BreadthHip,
        -6.62,
        &[(On::Hip, 0.28886), (On::Tall, 0.03559)],
        7.7,
    ),
    Line(
        Measure::BreadthBust,
        11.77,
        &[(On::Bust, 0.14416), (On::Hip, 0.09918), (On::Tall, 0.02415)],
        11.0,
    ),
    Line(
        Measure::HeightArmpit,
        -4.0 - 123.14,
        &[(On::Tall, 0.87928), (On::Bust, -0.07969)],
        18.1,
    ),
    Line(
        Measure::HeightHip,
        -5.0 - 148.69,
        &[(On::Tall, 0.68449), (On::Hip, -0.1478)],
        21.4,
    ),
];

impl Core {
    /// A core value and its standard deviation.
    fn on(&self, what: On) -> (f64, f64) {
        let [tall, bust, waist, hip, underbust, back, neck] = self.sd;
        match what {
            On::Tall => (self.stature, tall),
            On::Bust => (self.bust, bust),
            On::Waist => (self.waist, waist),
            On::Hip => (self.hip, hip),
            On::Underbust => (self.underbust, underbust),
            On::Neck => (self.neck, neck),
            On::Back => (self.back, back),
        }
    }

    /// What a regression predicts: what its predictors are unsure of adds to its own spread.
    fn predict(&self, line: &Line, figure: Figure) -> Expected {
        let Line(measure, intercept, terms, own) = line;
        let overlap = if figure == Figure::Man && ALONE_ON_MEN.contains(measure) {
            1.0
        } else if measure.kind() == Kind::Height && figure != Figure::Child {
            DOUBLE_COUNT_HEIGHT
        } else {
            DOUBLE_COUNT
        };
        let mut value = *intercept;
        let mut sd = *own;
        for (on, b) in *terms {
            let (mean, spread) = self.on(*on);
            value += b * mean;
            sd = libm::hypot(sd, b * spread);
        }
        Expected {
            measure: *measure,
            value,
            sd: sd * overlap,
        }
    }
}

/// What to expect: what was not read, or what was read as well (to judge it).
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Of {
    Missing,
    Everything,
}

/// Expectations of everything that the sheet does not give, measures of arms, legs and bones
/// included where they tell something about the torso.
pub(crate) fn expectations(sheet: &Sheet, core: &Core, pregnant: bool, of: Of) -> Vec<Expected> {
    let table = match sheet.figure {
        Figure::Woman => WOMAN,
        Figure::Man => MAN,
        Figure::Child => CHILD,
    };
    let mut all: Vec<Expected> = table
        .iter()
        .map(|line| core.predict(line, sheet.figure))
        .collect();
    let [_, bust, _, hip, underbust, _, neck] = core.sd;
    // The tape round the top hip takes a pregnant abdomen along (from memory).
    let (top_hip, top_hip_sd) = if pregnant {
        (core.top_hip(true).max(0.99 * core.waist), 0.06)
    } else {
        (core.top_hip(false), 0.035)
    };
    for (measure, value, sd) in [
        (Measure::GirthBust, core.bust, bust),
        (Measure::GirthHip, core.hip, hip),
        (Measure::GirthUnderbust, core.underbust, underbust),
        (Measure::GirthNeck, core.neck, neck),
        (Measure::GirthTopHip, top_hip, top_hip_sd * top_hip),
    ] {
        all.push(Expected {
            measure,
            value,
            sd: sd.max(0.01 * value),
        });
    }
    let mut replace = |measure: Measure, value: f64, sd: f64| {
        all.retain(|e| e.measure != measure);
        all.push(Expected { measure, value, sd });
    };
    let man = sheet.figure == Figure::Man;
    if sheet.figure != Figure::Child {
        if let Some(b) = sheet.value(Measure::BreadthBiacromial) {
            let (a, s, t, sd) = if man {
                (-7.37, 0.42111, -0.00522, 8.3)
            } else {
                (-12.67, 0.45178, -0.00396, 7.7)
            };
            replace(Measure::LengthShoulder, a + s * b + t * core.stature, sd);
        } else if let Some(g) = sheet.value(Measure::GirthShoulder) {
            let (a, s, t, sd) = if man {
                (62.73, 0.15715, -0.09762, 9.8)
            } else {
                (62.60, 0.1629, -0.09398, 9.7)
            };
            replace(Measure::LengthShoulder, a + s * g + t * core.bust, sd);
        }
        if let Some(g) = sheet.value(Measure::GirthUpperArm) {
            let (a, s, t, sd) = if man {
                (121.42, 0.50719, 0.15556, 13.5)
            } else {
                (111.66, 0.56342, 0.10494, 12.4)
            };
            replace(Measure::GirthArmscye, a + s * g + t * core.bust, sd);
        }
        if let Some(g) = sheet.value(Measure::GirthThigh) {
            let (a, h, t, sd) = if man {
                (-21.58, 0.18988, 0.13973, 9.6)
            } else {
                (-13.84, 0.07954, 0.28192, 11.4)
            };
            replace(Measure::DepthHip, a + h * core.hip + t * g, sd);
            let (a, h, t, sd) = if man {
                (26.76, 0.44021, -0.19763, 8.1)
            } else {
                (-3.03, 0.48074, -0.2049, 8.1)
            };
            replace(Measure::BreadthHip, a + h * core.hip + t * g, sd);
        }
    }
    if of == Of::Missing {
        all.retain(|e| sheet.value(e.measure).is_none());
    }
    if sheet.value(Measure::SlopeShoulder).is_some() {
        all.retain(|e| e.measure != Measure::ShoulderDrop);
    }
    all
}
