//! A body: the surface of its right half, and of its left where that differs.

use crate::measure::Level;
use crate::torso::param::Values;
use crate::torso::style::Style;
use crate::torso::surface::Surface;

/// Both halves of a body. They share what lies on the middle, so they meet without a step.
#[derive(Clone, Debug)]
pub(crate) struct Body {
    /// The right half, and the left where it differs.
    halves: Vec<Surface>,
}

impl Body {
    pub(crate) fn new(p: &Values, style: &Style) -> Self {
        let halves = if style.lopsided {
            vec![Surface::side(p, 1.0, style), Surface::side(p, -1.0, style)]
        } else {
            vec![Surface::new(p, style)]
        };
        Self { halves }
    }

    /// The right half, then the left where it differs.
    pub(crate) fn halves(&self) -> &[Surface] {
        &self.halves
    }

    pub(crate) fn right(&self) -> &Surface {
        &self.halves[0]
    }

    pub(crate) fn left(&self) -> &Surface {
        &self.halves[self.halves.len() - 1]
    }

    pub(crate) fn level(&self, level: Level) -> f64 {
        self.right().level(level)
    }

    /// `y` of the pole.
    pub(crate) fn pole(&self, z: f64) -> f64 {
        self.right().pole_at(z)
    }
}
