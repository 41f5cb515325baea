//! As built: the solid that the cut layers make once they are stacked, padded and covered, for the
//! tape to read again.
//!
//! It is made of the outlines as they are written, each a prism of its layer's height, and padding
//! and cover put back on as a ball of their thickness `t` rolled over the stack from inside (the
//! dilation of the stack by the ball). At height `z` a layer whose span of height lies `d` away from
//! `z` reaches `√(t² − d²)` beyond its outline. The solid is read along rays from the pole of the
//! sections; along each ray the reach is exact (segments moved out, arcs round corners), so all that
//! is rounded is what lies between rays (a chord of one degree: 0.01 mm at a radius of 170 mm) and
//! between rings (at most [`BUILT_RING_ACCURACY_MM`] apart; rings lie on every face). Without
//! padding the solid is the plain stack, ledges and all. The flat ends carry no padding. Wedges count
//! as they are once pared, in slices as high as the rings are apart.
//!
//! Padding is taken to keep its thickness and to lie on every step, which is what a ball rolled
//! over it does; batting stretched over a hollow lies further out. Where a ray meets the stack more
//! than once, the outermost point counts; where it misses the stack, the solid shrinks to a thread.
//!
//! # Why is the verdict on the solid and not on the stack?
//! The solid is the fit's promise; what the layers do to it depends on the material, is shown
//! beside it as built, and can be padded.

mod place;
mod settle;
mod slope;

pub use settle::level_of;
pub use settle::settle;

use place::lay_over_steps;
use place::nearest_on_surface;
use place::on_surface;
use std::sync::LazyLock;

use rayon::prelude::*;

use crate::geom::{Outline, Point2, Point3, Vector2};
use crate::measure::Landmark;
use crate::mesh::{Marks, Mesh};
use crate::stack;
use crate::stack::core::{loft, pole_at};
use crate::stack::{Layer, Stack};
use crate::tape::{Reading, Tape};
use crate::tolerance::{ARC_ACCURACY_MM, BUILT_RING_ACCURACY_MM, SAME_POINT_EPS_MM};

/// Rays per ring: one a degree.
const RAYS: usize = 360;
const STEP: f64 = std::f64::consts::TAU / RAYS as f64;

/// Directions of the rays, found once.
static DIRECTIONS: LazyLock<[Vector2; RAYS]> = LazyLock::new(|| {
    std::array::from_fn(|j| {
        let angle = STEP * j as f64;
        Vector2::new(libm::cos(angle), libm::sin(angle))
    })
});

/// Radius of the thread where a ray misses the stack, mm.
const THREAD: f64 = 1.0;

/// A ring of the solid: its height, the pole there, and how far each ray reaches.
type LayerRing = (f64, Point2, Vec<f64>);

/// A ring on its way: its height, and the layers that reach it with how far beyond their outlines.
type Reached<'a> = (f64, Vec<(&'a Layer, f64)>);

/// The as-built solid, in the size of the body (a half-scale form is enlarged to full size, so that
/// its readings compare with those of the person). `marks` are those of the solid that was sliced;
/// its landmarks and rims are moved along their rays on to the new surface, the neck base as a chain
/// would lie on the edges of the steps, and all else is kept.
#[must_use]
pub fn mesh(stack: &Stack, marks: &Marks) -> Mesh {
    mesh_where(stack, marks, |_| true)
}

/// The same of the heights that are wanted alone (in the size of the form): right there, and not to
/// be looked at elsewhere.
fn mesh_where(stack: &Stack, marks: &Marks, wanted: impl Fn(f64) -> bool) -> Mesh {
    let named = stack::enlarged(
        &Mesh {
            marks: marks.clone(),
            ..Mesh::default()
        },
        stack.scale,
    );
    let pole = &named.marks.pole;
    let slices = slope::slices(stack);
    let mut heights = rings(stack, &slices);
    let (bottom, top) = (stack.bottom(), stack.top());
    heights.retain(|(z, _)| wanted(*z) || *z <= bottom || *z >= top);
    let rings: Vec<LayerRing> = heights
        .into_par_iter()
        .map(|(z, reaching)| {
            let centre = pole_at(pole, z);
            (z, centre, radii(&reaching, centre))
        })
        .collect();
    let mut marks = named.marks.clone();
    let put = |p: &mut Point3| {
        if let Some(q) = on_surface(&rings, pole_at(pole, p.z), *p) {
            *p = q;
        }
    };
    for (landmark, p) in &mut marks.landmarks {
        match landmark {
            // On top of a shoulder one step is as wide as several layers are high: straight out from
            // the pole would end far from where a hand finds the bone.
            Landmark::ShoulderRight | Landmark::ShoulderLeft => *p = nearest_on_surface(&rings, *p),
            _ => put(p),
        }
    }
    marks.rim.iter_mut().flatten().for_each(put);
    lay_over_steps(&mut marks.neck_base, pole, put);
    stack::enlarged(&loft(&rings, marks), 1.0 / stack.scale)
}

/// Fills `built` of every reading from the as-built solid.
pub fn read(stack: &Stack, marks: &Marks, readings: &mut [Reading]) {
    let solid = mesh(stack, marks);
    let tape = Tape::new(&solid);
    readings.par_iter_mut().for_each(|reading| {
        reading.built = tape.read(reading.target.measure, reading.target.side);
    });
}

/// The rings from the lowest up, of the layers and the slices of wedges.
fn rings<'a>(stack: &'a Stack, slices: &'a [Layer]) -> Vec<Reached<'a>> {
    let t = stack.padding;
    if t <= SAME_POINT_EPS_MM {
        return stack
            .layers
            .iter()
            .flat_map(|l| {
                let beside: Vec<&Layer> = slices.iter().filter(|s| s.index == l.index).collect();
                let with = |z: f64| {
                    // At a height between two slices the slope is as wide as the lower one.
                    let below = |s: &&&Layer| (s.top - z).abs() < SAME_POINT_EPS_MM;
                    let here = beside.iter().filter(below).map(|s| (*s, 0.0));
                    let reaching: Vec<(&Layer, f64)> = here.chain([(l, 0.0)]).collect();
                    (z, reaching)
                };
                let mut tops: Vec<f64> = beside.iter().map(|s| s.top).chain([l.top]).collect();
                tops.sort_by(f64::total_cmp);
                tops.dedup_by(|a, b| (*a - *b).abs() < SAME_POINT_EPS_MM);
                std::iter::once(with(l.bottom))
                    .chain(tops.into_iter().map(with))
                    .collect::<Vec<_>>()
            })
            .collect();
    }
    heights(stack)
        .into_iter()
        .map(|z| {
            let reaching = stack
                .layers
                .iter()
                .chain(slices)
                .filter_map(|l| {
                    let d = (l.bottom - z).max(z - l.top).max(0.0);
                    (d < t).then(|| (l, (t * t - d * d).sqrt()))
                })
                .collect();
            (z, reaching)
        })
        .collect()
}

/// Heights of the rings: every face, evenly between them, and on the round edge that the padding has beside each
/// face, to both sides of its end.
fn heights(stack: &Stack) -> Vec<f64> {
    let (low, high) = (stack.bottom(), stack.top());
    let mut out = vec![high];
    for layer in &stack.layers {
        let height = layer.height();
        let n = (height / BUILT_RING_ACCURACY_MM).ceil().max(1.0);
        out.extend((0..n as usize).map(|k| layer.bottom + height * k as f64 / n));
        // Sines of 30 and 60 degrees, and both sides of where the padding of a layer ends: where the next one lies
        // further in than the padding is thick, the surface jumps there, and a slope from the ring before to the one
        // behind would fill the ledge.
        let t = stack.padding;
        let fine = (t < 2.0 * BUILT_RING_ACCURACY_MM).then_some(0.5 * t);
        let round = [0.866 * t, t - ARC_ACCURACY_MM, t + ARC_ACCURACY_MM];
        for face in [layer.bottom, layer.top] {
            for d in fine.into_iter().chain(round) {
                out.extend([face - d, face + d]);
            }
        }
    }
    out.retain(|z| (low..=high).contains(z));
    out.sort_by(f64::total_cmp);
    out.dedup_by(|a, b| (*a - *b).abs() < ARC_ACCURACY_MM);
    out
}

/// How far each ray from `centre` reaches.
fn radii(reaching: &[(&Layer, f64)], centre: Point2) -> Vec<f64> {
    let mut out = vec![THREAD; RAYS];
    for (layer, reach) in reaching {
        for piece in &layer.pieces {
            spread(&mut out, &piece.outline, *reach, centre);
        }
    }
    out
}

/// Raises the radii to where the outline, `reach` mm thicker, is left for the last time.
fn spread(radii: &mut [f64], outline: &Outline, reach: f64, centre: Point2) {
    for (a, b) in outline.sides() {
        let (a, b) = (a - centre, b - centre);
        let along = b - a;
        let length = along.norm();
        if length <= SAME_POINT_EPS_MM {
            continue;
        }
        let out = Vector2::new(along.y, -along.x) / length;
        let near = {
            let f = (-a.dot(&along) / (length * length)).clamp(0.0, 1.0);
            (a + along * f).norm()
        };
        let from = libm::atan2(a.y, a.x);
        let turn = libm::atan2(a.perp(&b), a.dot(&b));
        let more = if near > reach {
            libm::asin(reach / near)
        } else {
            std::f64::consts::PI
        };
        let first = ((from + turn.min(0.0) - more) / STEP).floor() as i64;
        let last = ((from + turn.max(0.0) + more) / STEP).ceil() as i64;
        let last = last.min(first + RAYS as i64 - 1);
        for j in first..=last {
            let j = j.rem_euclid(RAYS as i64) as usize;
            let e = DIRECTIONS[j];
            if let Some(r) = leaves(a, b, along / length, out, length, reach, e) {
                radii[j] = radii[j].max(r);
            }
        }
    }
}

/// Where the ray in direction `e` from the origin leaves all points within `reach` of the segment
/// from `a` to `b` (unit vector `along`, unit normal `out`).
fn leaves(
    a: Vector2,
    b: Vector2,
    along: Vector2,
    out: Vector2,
    length: f64,
    reach: f64,
    e: Vector2,
) -> Option<f64> {
    let mut best: Option<f64> = None;
    let mut consider = |r: f64| {
        if best.is_none_or(|most| r > most) {
            best = Some(r);
        }
    };
    for p in [a, b] {
        let off = p.perp(&e);
        if off.abs() <= reach {
            consider(p.dot(&e) + (reach * reach - off * off).sqrt());
        }
    }
    let slope = e.dot(&out);
    if slope.abs() > SAME_POINT_EPS_MM {
        for side in [reach, -reach] {
            let r = (a.dot(&out) + side) / slope;
            let foot = (e * r - a).dot(&along);
            // A ray through a corner must meet one side or the other, whatever the last digits say.
            if r > 0.0 && foot >= -SAME_POINT_EPS_MM && foot <= length + SAME_POINT_EPS_MM {
                consider(r);
            }
        }
    }
    best
}
