//! What a fitter adds or takes by hand: a smooth swelling or dent on the trunk. The fit knows it, so
//! every reading is still met: what is added here is taken off elsewhere on the same level.

use crate::measure::Level;
use crate::sheet::Amend;
use crate::sheet::degrees_apart;
use crate::sheet::left_beside;

/// A swelling (or dent) in one direction.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Swelling {
    level: Level,
    /// Degrees from straight front, to the wearer's right.
    centre: f64,
    /// Half width, degrees.
    width: f64,
    /// How far it reaches up and down, mm.
    reach: f64,
    /// mm outward.
    by: f64,
}

/// What one height sees of a swelling.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SwellingRow {
    centre: f64,
    width: f64,
    /// Square of the distance in height, over the reach.
    rho2: f64,
    by: f64,
}

impl Swelling {
    /// Every swelling that `amend` asks for; `scale` is the body's.
    pub(crate) fn of(amend: &Amend, scale: f64) -> impl Iterator<Item = Self> + '_ {
        let width = amend.half_width(scale);
        amend.towards.degrees().iter().map(move |centre| Self {
            level: amend.level,
            centre: *centre,
            width,
            reach: amend.reach,
            by: amend.by,
        })
    }

    pub(crate) fn level(&self) -> Level {
        self.level
    }

    /// What is seen of it `dz` mm above its level, by the half body whose side `sign` names (1 for
    /// the right and for bodies whose halves are alike).
    pub(crate) fn row(&self, dz: f64, sign: f64) -> Option<SwellingRow> {
        let v = dz / self.reach;
        let rho2 = v * v;
        (rho2 < 1.0).then_some(SwellingRow {
            centre: sign * self.centre,
            width: self.width,
            rho2,
            by: self.by,
        })
    }
}

impl SwellingRow {
    /// Millimetres added at `beta` degrees from straight front.
    pub(crate) fn at(&self, beta: f64) -> f64 {
        let v = degrees_apart(beta, self.centre) / self.width;
        self.by * left_beside(v * v + self.rho2)
    }
}
