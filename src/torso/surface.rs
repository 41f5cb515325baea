//! The surface: the curves over height that shape parameters ask for.

use crate::measure::Level;
use crate::torso::param::{COUNT, Param, Values, of_side};
use crate::torso::profile::{CurveTable, LevelCurve, smax, smin};
use crate::torso::style::Style;

use standing::Prominences;

mod mound;
mod row;
mod standing;

pub(crate) use row::{Heading, SectionRow};

/// Least distance of the keys below the hip from it, mm, wherever the form ends: nearer ones would bend the
/// seat. Our choice.
const BELOW_HIP_MM: f64 = 20.0;

/// Levels of one side, where it differs from the other.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SideLevels {
    pub(crate) bust: f64,
    pub(crate) armpit: f64,
    pub(crate) mid: f64,
    pub(crate) shoulder: f64,
    pub(crate) side_neck: f64,
}

/// What one side shows of the other: prominences that reach over the middle.
#[derive(Clone, Copy, Debug)]
struct Shown {
    breast: f64,
    /// Half distance of the bust points.
    point: f64,
    bust: f64,
    blade: f64,
    mid: f64,
}

/// From the armpit down to where the half breadth is that of the ribs, mm at scale 1, at the least. By eye.
const FROM_ARMPIT: f64 = 55.0;

/// The surface of one half of a body, mirrored where both halves are alike. Its `x` points out to
/// its own side.
#[derive(Clone, Debug)]
pub(crate) struct Surface {
    pub(crate) p: Values,
    pub(crate) style: Style,
    /// Levels of this side.
    pub(crate) own: SideLevels,
    standing: Prominences,
    /// 1 for the right half, or for both where they are alike; -1 for the left.
    sign: f64,
    /// Sideways shift of the pole, towards this side.
    sway: Option<LevelCurve>,
    levels: [f64; Level::ALL.len()],
    back: CurveTable,
    front: CurveTable,
    pole: CurveTable,
    square: CurveTable,
    /// By how much the back of a section is squarer than its front.
    uneven: CurveTable,
    half: LevelCurve,
    /// Half distance of the plate at the armpit, its growth per mm of height.
    pub(crate) plate_low: f64,
    pub(crate) plate_growth: f64,
    tan_back: f64,
    tan_front: f64,
    y_nape: f64,
    y_front_neck: f64,
    neck_taper: f64,
}

impl Surface {
    /// The surface of a body whose halves are alike.
    pub(crate) fn new(p: &Values, style: &Style) -> Self {
        Self::half_of(p, p, p, 0.0, style)
    }

    /// One half of a body: `sign` 1 for the right, -1 for the left.
    pub(crate) fn side(p: &Values, sign: f64, style: &Style) -> Self {
        Self::half_of(p, &of_side(p, sign), &of_side(p, -sign), sign, style)
    }

    /// `mean` makes what both halves share, `own` this side, `other` what it shows of the other.
    #[allow(
        clippy::too_many_lines,
        reason = "one row per key of each profile: a table in code"
    )]
    fn half_of(mean: &Values, own: &Values, other: &Values, sign: f64, style: &Style) -> Self {
        let g = |q: Param| mean[q as usize];
        let o = |q: Param| own[q as usize];
        let sc = style.scale;
        let tall = style.stature;
        let hip = g(Param::HipLevel);
        let top = 0.5 * hip;
        let nape = g(Param::Nape);
        let bust = nape - g(Param::BustDrop);
        let armpit = nape - g(Param::ArmpitDrop);
        let underbust = bust - g(Param::UnderbustDrop);
        let side_neck = nape + g(Param::SideNeckRise);
        let front_neck = nape - g(Param::FrontNeckDrop);
        let slope = g(Param::Slope).to_radians();
        let shoulder = side_neck - g(Param::Shoulder) * libm::sin(slope);
        let mid = 0.5 * (armpit + shoulder);
        let side = side_levels(own);
        let own_slope = o(Param::Slope).to_radians();
        let own_half = g(Param::NeckBaseHalf) + o(Param::Shoulder) * libm::cos(own_slope);
        let plate_low = smax(
            own_half - 0.021 * tall,
            g(Param::BustHalf) - 0.002 * tall,
            0.03 * tall,
        ) + g(Param::PlateOut);
        let hem = hip - style.hem_below_hip;
        // A form may end at the hip itself: the keys that shape what is below it lie lower then.
        let below = style.hem_below_hip.max(BELOW_HIP_MM);
        let low_key = hip - below;
        let neck = nape + 0.030 * tall;

        // Back and front line on the centre, without prominences.
        let back_waist = -0.5 * g(Param::WaistDepth);
        let back = |q: Param| back_waist + g(q);
        let (b_hip, b_top, b_ub, b_bu, b_ch, b_nape) = (
            back(Param::BackHip),
            back(Param::BackTopHip),
            back(Param::BackUnderbust),
            back(Param::BackBust),
            back(Param::BackChest),
            back(Param::BackNape),
        );
        let f_hip = b_hip + g(Param::HipDepth);
        let f_top = b_top + g(Param::TopHipDepth);
        let f_waist = back_waist + g(Param::WaistDepth);
        let f_ub = b_ub + g(Param::UnderbustDepth);
        let f_bu = b_bu + g(Param::BustDepth);
        let f_ch = b_ch + g(Param::ChestDepth);
        let f_neck = b_nape + g(Param::NeckBaseDepth);
        let tan_back = libm::tan(g(Param::LeanBack).to_radians());
        let tan_front = libm::tan(g(Param::LeanFront).to_radians());

        // The neck girth leans forward with the neck: the form ends above its highest point.
        let y_neck_back = b_nape + (neck - nape) * tan_back;
        let y_neck_front = f_neck + (neck - front_neck) * tan_front;
        let lean = 0.5 * (tan_back + tan_front);
        let neck_top = neck + 0.5 * (y_neck_front - y_neck_back) * lean + style.neck_above_girth;

        let mid_hip = 0.5 * (b_hip + f_hip);
        let hem_depth = g(Param::HipDepth) * g(Param::HemDepth);
        let hem_shift = 3.0 * sc;
        let run = 40.0 * sc;
        let run_back = smax(1.35 * (b_nape - b_ch) / (nape - mid), tan_back + 0.45, 0.2);
        let run_front = smin(1.35 * (f_neck - f_ch) / (front_neck - mid), -0.7, 0.2);
        let y_back = LevelCurve::new(&[
            (low_key, mid_hip - 0.5 * hem_depth + hem_shift),
            (hip, b_hip),
            (top, b_top),
            (0.0, back_waist),
            (underbust, b_ub),
            (bust, b_bu),
            (mid, b_ch),
            (nape, b_nape),
            (nape + run, b_nape + run * run_back),
        ]);
        let y_front = LevelCurve::new(&[
            (low_key, mid_hip + 0.5 * hem_depth + hem_shift),
            (hip, f_hip),
            (top, f_top),
            (0.0, f_waist),
            (underbust, f_ub),
            (bust, f_bu),
            (mid, f_ch),
            (front_neck, f_neck),
            (front_neck + run, f_neck + run * run_front),
        ]);
        let axis =
            |z: f64| 0.5 * (b_nape + (z - nape) * tan_back + f_neck + (z - front_neck) * tan_front);
        let c_shoulder = b_nape + g(Param::ShoulderForward);
        let far = neck_top.max(neck + 0.022 * tall) + 30.0 * sc;
        let pole = LevelCurve::new(&[
            (low_key, mid_hip + hem_shift),
            (hip, mid_hip),
            (top, 0.5 * (b_top + f_top)),
            (0.0, 0.5 * (back_waist + f_waist)),
            (underbust, 0.5 * (b_ub + f_ub)),
            (bust, 0.5 * (b_bu + f_bu)),
            (mid, 0.25 * (b_ch + f_ch) + 0.5 * c_shoulder),
            (shoulder, c_shoulder),
            (side_neck, b_nape + 0.42 * g(Param::NeckBaseDepth)),
            (neck, axis(neck)),
            (far, axis(far)),
        ]);
        let plate_growth = (own_half - plate_low) / (side.shoulder - side.armpit);
        let line = |z: f64| g(Param::NeckBaseHalf) + (side.side_neck - z) / libm::tan(own_slope);
        let between = 0.5 * (side.shoulder + side.side_neck);
        let base = g(Param::NeckBaseHalf);
        let own_hip = o(Param::HipLevel);
        // Where the armpit lies close above the bust the ribs begin lower: else there is a step under the arm.
        let near = 12.0 * sc;
        let ribs = smax(
            smin(bust, side.armpit - FROM_ARMPIT * sc, near),
            bust - 0.6 * g(Param::UnderbustDrop),
            near,
        );
        let half = LevelCurve::new(&[
            (
                low_key.min(own_hip - 0.5 * below),
                o(Param::HipHalf) * g(Param::HemBreadth),
            ),
            (own_hip, o(Param::HipHalf)),
            (0.5 * own_hip, o(Param::TopHipHalf)),
            (0.0, g(Param::WaistHalf)),
            (underbust, g(Param::UnderbustHalf)),
            (ribs, g(Param::BustHalf)),
            (side.armpit, plate_low),
            (
                side.mid,
                plate_low + plate_growth * (side.mid - side.armpit) + g(Param::ArmRoot),
            ),
            (side.shoulder, own_half),
            (between, line(between)),
            (side.side_neck, base),
            (side.side_neck + 20.0 * sc, base - 24.0 * sc),
            (side.side_neck + 60.0 * sc, base - 50.0 * sc),
        ]);
        let square = LevelCurve::new(&[
            (low_key, g(Param::HipSquare)),
            (hip, g(Param::HipSquare)),
            (top, g(Param::TopHipSquare)),
            (0.0, g(Param::WaistSquare)),
            (underbust, g(Param::UnderbustSquare)),
            (bust, g(Param::BustSquare)),
            (mid, g(Param::ChestSquare)),
            (shoulder, 2.5),
            (side_neck, 2.4),
            (far - 30.0 * sc, 2.4),
        ]);
        // There is muscle behind the arm, and the ribs are rounder in front.
        let uneven = LevelCurve::new(&[
            (low_key, 0.3),
            (hip, 0.35),
            (top, 0.1),
            (0.0, 0.1),
            (underbust, 0.2),
            (bust, 0.25),
            (mid, 0.3),
            (shoulder, 0.0),
            (far - 30.0 * sc, 0.0),
        ]);
        let (low, high) = (hem - 5.0, neck_top.max(neck + 0.022 * tall) + 5.0);
        let sigma = style.blur * sc;
        let table = |q: &LevelCurve| CurveTable::new(q, low, high, sigma);

        let mut levels = [0.0; Level::ALL.len()];
        for l in Level::ALL {
            levels[l as usize] = match l {
                Level::Hem => hem,
                Level::Hip => hip,
                Level::TopHip => top,
                Level::Abdomen => style.abdomen_level * sc,
                Level::WaistTape => -g(Param::WaistTapeDrop),
                Level::Waist => 0.0,
                Level::Underbust => underbust,
                Level::Bust => bust,
                Level::Armpit => armpit,
                Level::MidArmscye => mid,
                Level::ShoulderPoint => shoulder,
                Level::FrontNeck => front_neck,
                Level::SideNeck => side_neck,
                Level::Nape => nape,
                Level::NeckGirth => neck,
                Level::NeckTop => neck_top,
            };
        }
        Self {
            p: *own,
            style: style.clone(),
            own: side,
            standing: Prominences::new(own, style, &[own, other].map(shown), (hip, hem, underbust)),
            sign: if sign < 0.0 { -1.0 } else { 1.0 },
            sway: sway(mean, sign, hip, bust, nape),
            levels,
            back: table(&y_back),
            front: table(&y_front),
            pole: table(&pole),
            square: table(&square),
            uneven: table(&uneven),
            half,
            plate_low,
            plate_growth,
            tan_back,
            tan_front,
            y_nape: b_nape,
            y_front_neck: f_neck,
            neck_taper: (g(Param::NeckHalf) - base) / (neck - side_neck),
        }
    }

    pub(crate) fn get(&self, q: Param) -> f64 {
        self.p[q as usize]
    }

    pub(crate) fn level(&self, l: Level) -> f64 {
        self.levels[l as usize]
    }

    fn half_at(&self, z: f64) -> f64 {
        let armpit = self.own.armpit;
        let bust = self.level(Level::Bust);
        let sc = self.style.scale;
        // What is further out above the armpit belongs to the arm: little of it is seen at the bust.
        let below = (armpit - z) / (armpit - bust + 20.0 * sc) - 0.1;
        let share = smin(smax(below, 0.5, 0.2), 1.0, 0.2);
        self.half.blurred(z, self.style.blur * sc * share)
    }

    /// Sideways shift of the pole at height `z`, towards this side, mm.
    pub(crate) fn sway_at(&self, z: f64) -> f64 {
        self.sway.as_ref().map_or(0.0, |s| {
            s.blurred(z, 2.0 * self.style.blur * self.style.scale)
        })
    }

    pub(crate) fn pole_at(&self, z: f64) -> f64 {
        self.pole.at(z)
    }

    /// Back line of the neck column.
    pub(crate) fn neck_back(&self, z: f64) -> f64 {
        self.y_nape + (z - self.level(Level::Nape)) * self.tan_back
    }

    /// Front line of the neck column.
    pub(crate) fn neck_front(&self, z: f64) -> f64 {
        self.y_front_neck + (z - self.level(Level::FrontNeck)) * self.tan_front
    }

    /// Tangent of the lean of the neck axis.
    pub(crate) fn neck_tan(&self) -> f64 {
        0.5 * (self.tan_back + self.tan_front)
    }
}

/// Levels of the side whose values are `own`.
fn side_levels(own: &Values) -> SideLevels {
    let o = |q: Param| own[q as usize];
    let nape = o(Param::Nape);
    let side_neck = nape + o(Param::SideNeckRise);
    let armpit = nape - o(Param::ArmpitDrop);
    let shoulder = side_neck - o(Param::Shoulder) * libm::sin(o(Param::Slope).to_radians());
    SideLevels {
        bust: nape - o(Param::BustDrop),
        armpit,
        mid: 0.5 * (armpit + shoulder),
        shoulder,
        side_neck,
    }
}

fn shown(own: &Values) -> Shown {
    let at = side_levels(own);
    Shown {
        breast: own[Param::Breast as usize],
        point: own[Param::BustPointHalf as usize],
        bust: at.bust,
        blade: own[Param::Blade as usize],
        mid: at.mid,
    }
}

/// The sideways shift of the pole over height, towards the side that `sign` names.
fn sway(mean: &Values, sign: f64, hip: f64, bust: f64, nape: f64) -> Option<LevelCurve> {
    let g = |q: Param| sign * mean[q as usize];
    let keys = [
        (hip, g(Param::SwayHip)),
        (0.0, 0.0),
        (bust, g(Param::SwayBust)),
        (nape, g(Param::SwayNape)),
    ];
    keys.iter()
        .any(|k| k.1.abs() > 0.0)
        .then(|| LevelCurve::new(&keys))
}

const _: () = assert!(COUNT == 64);
