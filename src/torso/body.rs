//! A body: the surface of its right half, and of its left where that differs.

use crate::measure::Level;
use crate::torso::param::Values;
use crate::torso::style::Style;
use crate::torso::surface::Surface;

/// Levels from the bottom up, as they follow one another in every body. The hem is none of them: it lies where
/// the form is to end.
const ORDER: [Level; 8] = [
    Level::Hip,
    Level::TopHip,
    Level::Waist,
    Level::Underbust,
    Level::Bust,
    Level::Armpit,
    Level::ShoulderPoint,
    Level::SideNeck,
];

/// Both halves of a body. They share what lies on the middle, so they meet without a step.
#[derive(Clone, Debug)]
pub(crate) struct Halves {
    /// The right half, and the left where it differs.
    halves: Vec<Surface>,
}

impl Halves {
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

    /// Two neighbouring levels of which one does not lie more than `apart` mm above the other, the one that
    /// should be lower first. In every body levels have an order.
    pub(crate) fn disorder(&self, apart: f64) -> Option<[Level; 2]> {
        self.halves.iter().find_map(|half| {
            let wrong = |pair: &&[Level; 2]| half.level(pair[0]) + apart >= half.level(pair[1]);
            ORDER.array_windows().find(wrong).copied()
        })
    }

    /// `y` of the pole.
    pub(crate) fn pole(&self, z: f64) -> f64 {
        self.right().pole_at(z)
    }
}
