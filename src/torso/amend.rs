//! What a fitter adds or takes by hand: a smooth swelling or dent on the trunk. The fit knows it, so
//! every reading is still met: what is added here is taken off elsewhere on the same level.

use crate::measure::Level;
use crate::sheet::Amend;

/// A mean body's distance from the pole: turns reach along the skin into an angle. Our choice.
const USUAL_RADIUS_MM: f64 = 150.0;
/// Half widths that keep the outline simple, degrees. Our choice.
const NARROWEST: f64 = 14.0;
const WIDEST: f64 = 75.0;

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
        let width = (amend.reach / (USUAL_RADIUS_MM * scale)).to_degrees();
        amend.towards.degrees().iter().map(move |centre| Self {
            level: amend.level,
            centre: *centre,
            width: width.clamp(NARROWEST, WIDEST),
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
        let apart = (beta - self.centre + 180.0).rem_euclid(360.0) - 180.0;
        let v = apart / self.width;
        let rho2 = v * v + self.rho2;
        if rho2 >= 1.0 {
            0.0
        } else {
            // Twice smooth at its edge.
            self.by * (1.0 - rho2) * (1.0 - rho2) * (1.0 - rho2).sqrt()
        }
    }
}
