//! A prominence: breast, blade, seat, abdomen.
//!
//! # Why does it add to the depth and not to the radius?
//! What stands out of a body stands on its front or its back. Seen from straight in front it is a mound
//! on a plane: it adds to the depth of the half section there, and dies at the side with a vertical
//! tangent. So the breadth of a section is that of the trunk, whatever stands on it. (Added to the radius,
//! half of every millimetre went sideways where a large breast lies: a shelf past the ribs, knobs seen
//! from behind, notches in the outline under the arm.) Every constant here was set by eye on pictures.

use super::skew;

/// How soon a mound leans towards the armpit above its centre, mm: the lean sets in smoothly.
const LEAN_MM: f64 = 20.0;
/// The fullness beside a mound is held to this share of the half breadth: beyond it there is no trunk.
const FLANK_END: f64 = 1.1;

/// A mound as it is asked for. Lengths in mm.
#[derive(Clone, Copy, Debug)]
pub(super) struct Mound {
    /// What it adds to the depth at its centre.
    pub(super) height: f64,
    /// Its centre, out to the side.
    pub(super) aside: f64,
    /// Its reach towards the middle and away from it, below and above.
    pub(super) inner: f64,
    pub(super) outer: f64,
    pub(super) low: f64,
    pub(super) high: f64,
    /// How blunt its top is, below and above: 0 is round, 1 is nearly flat.
    pub(super) blunt: [f64; 2],
    /// How softly it begins, below and above: 0 like `x^1.5`, 1 like `x^2.5`.
    pub(super) soft: [f64; 2],
    /// How hollow its upper slope is: 0 as it begins, 1 by one power more.
    pub(super) hollow: f64,
    /// How far it leans out above its centre, mm per mm.
    pub(super) drift: f64,
    /// How much fuller it is beside its centre than its height alone: it undoes part of the fall of the
    /// section towards the side.
    pub(super) flank: f64,
}

impl Mound {
    /// What is seen of it `dz` mm above its centre; `mirrored` where it stands on the other side.
    pub(super) fn row(&self, dz: f64, mirrored: bool) -> Option<MoundRow> {
        if self.height <= 0.0 || dz >= self.high || -dz >= self.low {
            return None;
        }
        let v = dz / skew(dz, self.low, self.high);
        let far = v * v;
        if far >= 1.0 {
            return None;
        }
        let half_low = 0.5 * self.low;
        let up = 0.5 + 0.5 * dz / (dz * dz + half_low * half_low).sqrt();
        let between = |of: [f64; 2]| of[0] + (of[1] - of[0]) * up;
        let lean = 0.5 * self.drift * (dz + (dz * dz + LEAN_MM * LEAN_MM).sqrt());
        Some(MoundRow {
            height: self.height,
            centre: self.aside + lean,
            inner: self.inner,
            outer: self.outer,
            far,
            blunt: between(self.blunt),
            soft: between(self.soft),
            hollow: self.hollow * up,
            flank: self.flank,
            mirrored,
        })
    }

    /// Share of its height that is left `dz` mm above its centre, for what grows with it over its whole
    /// breadth.
    pub(super) fn share(&self, dz: f64) -> f64 {
        let v = dz / skew(dz, self.low, self.high);
        let left = (1.0 - v * v).max(0.0);
        left * left * left.sqrt()
    }
}

/// What one height sees of a mound.
#[derive(Clone, Copy, Debug)]
pub(super) struct MoundRow {
    height: f64,
    centre: f64,
    inner: f64,
    outer: f64,
    /// Square of the distance from its centre in height, over its reach.
    far: f64,
    blunt: f64,
    soft: f64,
    hollow: f64,
    flank: f64,
    mirrored: bool,
}

impl MoundRow {
    /// What it adds to the depth at `x` mm out to the side, where the half breadth is `half`, and how that
    /// changes with `x`.
    pub(super) fn at(&self, x: f64, half: f64) -> (f64, f64) {
        let sign = if self.mirrored { -1.0 } else { 1.0 };
        let s = sign * x - self.centre;
        if s >= self.outer || -s >= self.inner {
            return (0.0, 0.0);
        }
        let l = 0.175 * (self.inner + self.outer);
        let root2 = s * s + l * l;
        let root = root2.sqrt();
        let apart = 0.5 * (self.outer - self.inner);
        let width = 0.5 * (self.inner + self.outer) + apart * s / root;
        let u = s / width;
        let t = u * u + self.far;
        if t >= 1.0 {
            return (0.0, 0.0);
        }
        let widening = apart * l * l / (root2 * root);
        let dt = 2.0 * u * (width - s * widening) / (width * width);
        // Blunter than a bell: less of it is lost near the centre.
        let lost = t * (1.0 - self.blunt + self.blunt * t);
        let left = (1.0 - lost).max(0.0);
        let lost_dt = 1.0 - self.blunt + 2.0 * self.blunt * t;
        let sqrt = left.sqrt();
        let soft = sqrt * left * (1.0 - self.soft + self.soft * left);
        let soft_dleft = sqrt * (1.5 * (1.0 - self.soft) + 2.5 * self.soft * left);
        let hollow = 1.0 - self.hollow + self.hollow * left;
        let shape = soft * hollow;
        let shape_dleft = soft_dleft * hollow + soft * self.hollow;
        let share = (x / half).min(FLANK_END);
        let share2 = share * share;
        let fuller = 1.0 + self.flank * share2 * share2;
        let fuller_dx = if share < FLANK_END {
            4.0 * self.flank * share2 * share / half
        } else {
            0.0
        };
        let slope = -shape_dleft * lost_dt * dt * sign;
        (
            self.height * shape * fuller,
            self.height * (slope * fuller + shape * fuller_dx),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const MOUND: Mound = Mound {
        height: 80.0,
        aside: 110.0,
        inner: 145.0,
        outer: 60.0,
        low: 75.0,
        high: 130.0,
        blunt: [0.8, 0.4],
        soft: [0.7, 0.9],
        hollow: 0.6,
        drift: 0.1,
        flank: 0.3,
    };

    #[test]
    fn the_slope_is_that_of_the_height() {
        for (dz, mirrored) in [(0.0, false), (-40.0, false), (60.0, false), (10.0, true)] {
            let row = MOUND.row(dz, mirrored).unwrap();
            for i in 0..200 {
                let x = f64::from(i) + 0.37;
                let beside = |by: f64| row.at(x + by, 150.0).0;
                let slope = (beside(1e-4) - beside(-1e-4)) / 2e-4;
                let (_, found) = row.at(x, 150.0);
                assert!(
                    (slope - found).abs() < 1e-4,
                    "at {x}, {dz}: {slope} {found}"
                );
            }
        }
    }

    #[test]
    fn it_is_highest_at_its_centre_and_ends_where_it_should() {
        let height = |dz: f64, x: f64| MOUND.row(dz, false).map_or(0.0, |r| r.at(x, 1e6).0);
        // The lean begins a little below the centre.
        assert!((height(0.0, 111.0) - 80.0).abs() < 0.01);
        for (dz, x) in [(-76.0, 111.0), (131.0, 111.0), (0.0, 172.0), (0.0, -35.0)] {
            assert!(height(dz, x) == 0.0, "at {x}, {dz}");
        }
        for (dz, x) in [(-70.0, 111.0), (120.0, 111.0), (0.0, 165.0), (0.0, -20.0)] {
            assert!(height(dz, x) > 0.0, "at {x}, {dz}");
        }
    }
}
