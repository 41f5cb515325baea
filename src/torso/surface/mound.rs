//! A prominence: breast, blade, seat, abdomen.
//!
//! # Why does it add to the depth and not to the radius?
//! What stands out of a body stands on its front or its back. Seen from straight in front it is a mound
//! on a plane: it adds to the depth of the half section there, and dies at the side with a vertical
//! tangent. So the breadth of a section is that of the trunk, whatever stands on it. (Added to the radius,
//! half of every millimetre went sideways where a large breast lies: a shelf past the ribs, knobs seen
//! from behind, notches in the outline under the arm.) Every constant here was set by eye on pictures.

/// How soon a mound leans towards the armpit above its centre, mm: the lean sets in smoothly.
const LEAN_MM: f64 = 20.0;
/// The fullness beside a mound is held to this share of the half breadth: beyond it there is no trunk.
const FLANK_END: f64 = 1.1;

/// Over what share of both reaches together a mound goes over from one to the other.
const OVER: f64 = 0.175;

/// How far a mound reaches either way from its centre: a width that goes over smoothly from one to the other, so
/// that a distance over it is -1 and 1 exactly at both ends. (A width that comes only near to them there cuts off
/// what is left of the mound: a step round its foot.)
#[derive(Clone, Copy, Debug)]
struct Reach {
    low: f64,
    high: f64,
    /// The width is `middle + apart * s / sqrt(s^2 + over^2)`.
    middle: f64,
    apart: f64,
    over: f64,
}

impl Reach {
    /// `low` towards minus, `high` towards plus, both above 0.
    fn new(low: f64, high: f64) -> Self {
        let over = OVER * (low + high);
        let turn = |s: f64| s / (s * s + over * over).sqrt();
        let apart = (high - low) / (turn(low) + turn(high));
        Self {
            low,
            high,
            middle: low + apart * turn(low),
            apart,
            over,
        }
    }

    /// Where `s` lies over the width there, -1 to 1, and how that changes with `s`; nothing beyond the ends.
    fn share(&self, s: f64) -> Option<(f64, f64)> {
        if s >= self.high || -s >= self.low {
            return None;
        }
        let root2 = s * s + self.over * self.over;
        let root = root2.sqrt();
        let width = self.middle + self.apart * s / root;
        let widening = self.apart * self.over * self.over / (root2 * root);
        Some((s / width, (width - s * widening) / (width * width)))
    }
}

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
        if self.height <= 0.0 {
            return None;
        }
        let (v, _) = Reach::new(self.low, self.high).share(dz)?;
        let half_low = 0.5 * self.low;
        let up = 0.5 + 0.5 * dz / (dz * dz + half_low * half_low).sqrt();
        let between = |of: [f64; 2]| of[0] + (of[1] - of[0]) * up;
        let lean = 0.5 * self.drift * (dz + (dz * dz + LEAN_MM * LEAN_MM).sqrt());
        Some(MoundRow {
            height: self.height,
            centre: self.aside + lean,
            reach: Reach::new(self.inner, self.outer),
            far: v * v,
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
        let Some((v, _)) = Reach::new(self.low, self.high).share(dz) else {
            return 0.0;
        };
        let left = 1.0 - v * v;
        left * left * left.sqrt()
    }
}

/// What one height sees of a mound.
#[derive(Clone, Copy, Debug)]
pub(super) struct MoundRow {
    height: f64,
    centre: f64,
    /// Towards the middle, and away from it.
    reach: Reach,
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
        let Some((u, du)) = self.reach.share(sign * x - self.centre) else {
            return (0.0, 0.0);
        };
        let t = u * u + self.far;
        if t >= 1.0 {
            return (0.0, 0.0);
        }
        let dt = 2.0 * u * du;
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

    /// However different its reaches are, it begins without a step, all round.
    #[test]
    fn it_begins_without_a_step() {
        for (low, high) in [(75.0, 130.0), (81.0, 178.0), (150.0, 60.0)] {
            let mound = Mound { low, high, ..MOUND };
            let height = |dz: f64, x: f64| mound.row(dz, false).map_or(0.0, |r| r.at(x, 1e6).0);
            for i in 0..80 {
                let x = -40.0 + 3.0 * f64::from(i);
                let column = |i: i32| height(-160.0 + 0.05 * f64::from(i), x);
                for i in 0..7000 {
                    let step = (column(i + 1) - column(i)).abs();
                    assert!(step < 0.3, "{step} mm within 0.05 mm at {x}, {i}");
                }
            }
        }
    }
}
