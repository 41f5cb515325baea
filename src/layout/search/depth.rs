//! How deep two laid pieces overlap: how far one must be moved to be free, the least over some
//! directions of the room that both take along it. Between two directions it says a little more than
//! there is, never less, so a layout without overlap keeps its distances.

use crate::geom::Point2;
use crate::layout::no_fit::Variant;
use crate::layout::search::Instance;
use crate::tolerance::NEST_DEPTH_EPS_MM;

/// Directions along which an overlap is measured; a multiple of [`COARSE`] and of four.
const DIRECTIONS: usize = 128;

/// Every so many directions are looked at first: most pairs are told apart by one of them.
const COARSE: usize = 8;

/// A convex part of a turned piece, as its reach in every direction.
struct Part {
    /// With the distance to keep.
    out: [f32; DIRECTIONS],
    /// Of the part turned by half a turn.
    back: [f32; DIRECTIONS],
}

/// Where a piece lies: how turned, and its lower left corner in grid steps.
#[derive(Clone, Copy, Debug)]
pub(super) struct DeepSpot {
    pub(super) variant: usize,
    pub(super) x: i32,
    pub(super) y: i32,
}

/// The pieces as their overlaps are measured.
pub(super) struct Yard<'a> {
    pub(super) instance: &'a Instance,
    cos: [f32; DIRECTIONS],
    sin: [f32; DIRECTIONS],
    /// For each variant, its parts with the openings filled, and with the large ones open.
    stands: Vec<(Vec<Part>, Vec<Part>)>,
    /// Breadth and height of each variant with the distance to keep, mm.
    reach: Vec<(f32, f32)>,
    /// How many pieces there are.
    pub(super) pieces: usize,
}

impl<'a> Yard<'a> {
    pub(super) fn new(instance: &'a Instance) -> Self {
        let (mut cos, mut sin) = ([0.0; DIRECTIONS], [0.0; DIRECTIONS]);
        let mut directions = Vec::with_capacity(DIRECTIONS);
        for k in 0..DIRECTIONS {
            let (s, c) = libm::sincos(std::f64::consts::TAU * k as f64 / DIRECTIONS as f64);
            directions.push((c, s));
            cos[k] = short(c);
            sin[k] = short(s);
        }
        let keep = instance.gap + NEST_DEPTH_EPS_MM;
        let parts = |turned: Vec<&[Point2]>| -> Vec<Part> {
            turned
                .iter()
                .map(|part| {
                    let mut both = Part {
                        out: [0.0; DIRECTIONS],
                        back: [0.0; DIRECTIONS],
                    };
                    for (k, (c, s)) in directions.iter().enumerate() {
                        let along = part.iter().map(|p| p.x * c + p.y * s);
                        let (least, most) = along
                            .fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| {
                                (a.min(v), b.max(v))
                            });
                        both.out[k] = short(keep - least);
                        both.back[k] = short(most);
                    }
                    both
                })
                .collect()
        };
        Self {
            instance,
            cos,
            sin,
            stands: instance
                .variants
                .iter()
                .map(|v| {
                    let (filled, open) = v.reversed();
                    (parts(filled), open.map(parts).unwrap_or_default())
                })
                .collect(),
            reach: instance
                .variants
                .iter()
                .map(|v| {
                    (
                        short(v.size.0 + instance.keep),
                        short(v.size.1 + instance.keep),
                    )
                })
                .collect(),
            pieces: instance.areas.len(),
        }
    }

    pub(super) fn variant(&self, spot: &DeepSpot) -> &Variant {
        &self.instance.variants[spot.variant]
    }

    /// How deep two pieces overlap, mm; 0 when they do not.
    pub(super) fn depth(&self, a: &DeepSpot, b: &DeepSpot) -> f32 {
        let grid = self.instance.grid;
        let dx = short(f64::from(b.x - a.x) * grid);
        let dy = short(f64::from(b.y - a.y) * grid);
        let (ra, rb) = (self.reach[a.variant], self.reach[b.variant]);
        if dx >= ra.0 || -dx >= rb.0 || dy >= ra.1 || -dy >= rb.1 {
            return 0.0;
        }
        let (va, vb) = (self.variant(a), self.variant(b));
        let stand = |of: &DeepSpot, open: bool| {
            let (filled, opened) = &self.stands[of.variant];
            if open { opened } else { filled }
        };
        let first = stand(a, va.opens_to(vb));
        let second = stand(b, vb.opens_to(va));
        let mut deepest: f32 = 0.0;
        for p in first {
            for q in second {
                deepest = deepest.max(self.part_depth(p, q, dx, dy, deepest));
            }
        }
        deepest
    }

    /// How deep two convex parts overlap, or at most `enough` when they do so by no more.
    fn part_depth(&self, a: &Part, b: &Part, dx: f32, dy: f32, enough: f32) -> f32 {
        for k in (0..DIRECTIONS).step_by(COARSE) {
            let free = a.out[k] + b.back[k] - dx * self.cos[k] - dy * self.sin[k];
            if free <= enough {
                return enough;
            }
        }
        let mut least = [f32::INFINITY; 8];
        for k in (0..DIRECTIONS).step_by(8) {
            for (lane, least) in least.iter_mut().enumerate() {
                let i = k + lane;
                let free = a.out[i] + b.back[i] - dx * self.cos[i] - dy * self.sin[i];
                if free < *least {
                    *least = free;
                }
            }
        }
        least.iter().fold(f32::INFINITY, |m, &v| m.min(v))
    }
}

/// In single precision: overlaps are found by the million, and are measured again in the end.
#[allow(
    clippy::cast_possible_truncation,
    reason = "what it loses is made up for by NEST_DEPTH_EPS_MM"
)]
fn short(value: f64) -> f32 {
    value as f32
}
