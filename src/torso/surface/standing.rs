//! What stands on the trunk of one half of a body: breasts, shoulder blades, seat and abdomen.

use crate::torso::param::{Param, Values};
use crate::torso::profile::smax;
use crate::torso::style::Style;

use super::Shown;
use super::mound::{Mound, MoundRow};

/// A mound and the height of its centre.
#[derive(Clone, Copy, Debug)]
struct At {
    mound: Mound,
    z: f64,
}

impl At {
    fn row(&self, z: f64, mirrored: bool) -> Option<MoundRow> {
        self.mound.row(z - self.z, mirrored)
    }
}

/// All of it. Of what stands on either side, this side's and the other's.
#[derive(Clone, Debug)]
pub(super) struct Prominences {
    breasts: [At; 2],
    blades: [At; 2],
    seat: At,
    abdomen: At,
    /// mm that the abdomen makes the half broader.
    wider: f64,
}

/// What stands on a quarter: this side's, and the other side's where it reaches over the middle.
pub(super) type Mounds = [Option<MoundRow>; 4];

impl Prominences {
    /// On a half whose values are `p`; `shown` is its own and the other's, `hip`, `hem` and `underbust` are levels.
    pub(super) fn new(
        p: &Values,
        style: &Style,
        shown: &[Shown; 2],
        (hip, hem, underbust): (f64, f64, f64),
    ) -> Self {
        let get = |q: Param| p[q as usize];
        let sc = style.scale;
        let height = get(Param::Abdomen);
        Self {
            breasts: shown.each_ref().map(|of| At {
                mound: breast(of, p, style),
                z: of.bust + style.breast.raised,
            }),
            blades: shown.each_ref().map(|of| At {
                mound: blade(of, get(Param::BustHalf), sc),
                z: of.mid - 12.0 * sc,
            }),
            seat: At {
                mound: seat(get(Param::Buttock), get(Param::HipHalf), sc),
                z: hip + 8.0 * sc,
            },
            abdomen: At {
                mound: abdomen(p, style, hem, underbust),
                z: style.abdomen.centre * sc,
            },
            wider: style.abdomen.widening * height,
        }
    }

    /// mm by which the half is broader at height `z`.
    pub(super) fn wider(&self, z: f64) -> f64 {
        self.wider * self.abdomen.mound.share(z - self.abdomen.z)
    }

    /// What stands on the front at height `z`. A lone one on the middle counts once.
    pub(super) fn in_front(&self, z: f64) -> Mounds {
        let [own, other] = &self.breasts;
        let abdomen = self.abdomen.row(z, false);
        [own.row(z, false), other.row(z, true), abdomen, None]
    }

    /// What stands on the back.
    pub(super) fn behind(&self, z: f64) -> Mounds {
        let [own, other] = &self.blades;
        let seat = |mirrored| self.seat.row(z, mirrored);
        [
            own.row(z, false),
            other.row(z, true),
            seat(false),
            seat(true),
        ]
    }
}

/// A side's breast, or what a man or a child has there.
fn breast(of: &Shown, p: &Values, style: &Style) -> Mound {
    let b = &style.breast;
    let sc = style.scale;
    let half = p[Param::BustHalf as usize];
    let aside = b.beyond_point * of.point + b.of_half * half;
    Mound {
        height: of.breast,
        aside,
        inner: b.inner * aside,
        outer: b.outer * smax(0.98 * half - aside, 0.55 * aside, 0.2 * half),
        low: b.low_of_fold * p[Param::UnderbustDrop as usize] + b.low * sc,
        high: b.high * sc,
        blunt: b.blunt,
        soft: b.soft,
        hollow: b.hollow,
        drift: b.drift,
        flank: 0.3,
    }
}

fn blade(of: &Shown, half: f64, sc: f64) -> Mound {
    Mound {
        height: of.blade,
        aside: 0.48 * half,
        inner: 0.55 * half,
        outer: 0.50 * half,
        low: 120.0 * sc,
        high: 85.0 * sc,
        blunt: [0.0; 2],
        soft: [1.0; 2],
        hollow: 0.0,
        drift: 0.0,
        flank: 0.5,
    }
}

fn seat(height: f64, half: f64, sc: f64) -> Mound {
    Mound {
        height,
        aside: 0.45 * half,
        inner: 0.55 * half,
        outer: 0.60 * half,
        low: 125.0 * sc,
        high: 125.0 * sc,
        blunt: [0.0; 2],
        soft: [0.8, 1.0],
        hollow: 0.0,
        drift: 0.0,
        flank: 0.5,
    }
}

/// The abdomen: from above the fold to the hem, and never ending before the side.
fn abdomen(p: &Values, style: &Style, hem: f64, underbust: f64) -> Mound {
    let get = |q: Param| p[q as usize];
    let a = &style.abdomen;
    let sc = style.scale;
    let z = a.centre * sc;
    let reach = 1.1 * get(Param::WaistHalf).max(get(Param::HipHalf));
    Mound {
        height: get(Param::Abdomen),
        aside: 0.0,
        inner: reach,
        outer: reach,
        low: 0.98 * (z - hem),
        high: underbust + a.above_fold * sc - z,
        blunt: a.blunt,
        soft: a.soft,
        hollow: 0.0,
        drift: 0.0,
        flank: a.flank,
    }
}
