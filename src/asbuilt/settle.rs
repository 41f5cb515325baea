//! Outlines are moved until the stack as built has the girths of the solid.
//!
//! # Why are outlines corrected after the padding is put back?
//! A tape over a padded stack rides on the corners of the steps, and no layer has its middle just
//! at the bust. `asbuilt::settle` reads the girths as built and moves the few layers within the
//! tape's reach by a fraction of a millimetre, until they are those of the solid. Only for layers
//! cut in the middle: if you cut to the smaller face you fill the steps, and to the larger you sand
//! them off.
//!
//! # Why does no girth move an outline by more than 4 mm?
//! The tape round the neck base runs over stairs. To bring it right, layers of 25 to 30 mm had to
//! be drawn in by 6 to 10 mm, which bent the neck to an hourglass and took the shoulders with it;
//! and the stairs are feathered with scraps anyhow. The program reports what is left. Layers of up to 10 mm
//! stay within it.

use nalgebra::DMatrix;
use nalgebra::DVector;
use rayon::prelude::*;

use super::slope;
use super::{RAYS, mesh_where, spread};
use crate::geom::offset::offset;
use crate::geom::{Outline, Point2};
use crate::measure::{Kind, Level, Measure, Side};
use crate::mesh::Marks;
use crate::stack::core::pole_at;
use crate::stack::wedge;
use crate::stack::{Blank, Layer, Piece, Stack};
use crate::tape::{Reading, Tape};
use crate::tolerance::{
    ARC_ACCURACY_MM, BUILT_RING_ACCURACY_MM, CREASE_TOLERANCE_MM, MOST_MOVED_TOLERANCE_MM,
    OUTLINE_ACCURACY_MM, SETTLED_ACCURACY_MM,
};

/// Girths, and between which levels they are read: one height, but for the neck base.
fn girths() -> impl Iterator<Item = (Measure, Level, Level)> {
    let level = |level: Level| Some((level.girth()?, level, level));
    Level::ALL.into_iter().filter_map(level).chain([
        (Measure::GirthNeckBase, Level::FrontNeck, Level::Nape),
        (Measure::GirthNeck, Level::NeckGirth, Level::NeckGirth),
    ])
}

/// The level at which a girth is read; nothing for what is not a girth of one level.
#[must_use]
pub fn level_of(measure: Measure) -> Option<Level> {
    measure.level().filter(|_| measure.kind() == Kind::Girth)
}

/// A girth to be met as built.
struct Wanted {
    measure: Measure,
    /// Between which heights it is read, mm in the size of the form.
    low: f64,
    high: f64,
    /// mm in the size of the form.
    girth: f64,
}

/// A neck reaches at most this far before and behind its axis, mm: half the depth of a neck of
/// 540 mm girth (the ranges of the sheet) and some more.
const NECK_REACH: f64 = 100.0;

/// Most rounds of moving outlines and reading again.
const ROUNDS: usize = 12;

/// A layer that is moved takes its neighbours along, each less than the one before; the one this many
/// layers away stays. Our choice: a bump over five layers is not felt under padding.
const FADE: f64 = 3.0;

/// What a girth may stay off for the sake of smaller moves in one round, as a share: where two levels
/// ride on the same layers their girths share what is left. Our choice; smaller moves layers far for
/// what the next round would find to be nothing.
const RIDGE: f64 = 0.02;

/// A girth of which the layers that are still to be cut carry no more than this share is left as it is.
/// Our choice: what so little can do, the padding does better.
const LEAST_SHARE: f64 = 0.1;

/// Heights at which it is looked on what a tape rides that runs between two levels.
const LOOKS: usize = 7;

/// Moves the outlines of the layers round every girth level in or out until the girths as built are
/// those of the solid, within [`SETTLED_ACCURACY_MM`] (the neck base half of
/// [`CREASE_TOLERANCE_MM`]): a tape over padded steps rides on their
/// corners, and no layer has its middle just at the level. `marks` are those of the solid that was
/// sliced, `readings` those read off it. Layers that are piled already are left as they are.
///
/// A tape that rides on one layer all round becomes 2π longer for every millimetre that layer goes
/// out; where several layers carry it, each counts by its share of the round. With these shares `S`
/// and the fading moves `K` the least moves that change the girths by what they are off are
/// `K Sᵀ (S K Sᵀ)⁻¹ off / 2π`; as the shares change with the moves, this is done in rounds, and the
/// best round counts. No girth moves an outline by more than [`MOST_MOVED_TOLERANCE_MM`]: one that asks
/// for more is left off by the rest. Where two levels lie in one thick layer that cannot help both: then what is left
/// is shared between them.
///
/// It is for layers cut in the middle: one who cuts to the smaller or the larger face means to fill or
/// to sand off the rest.
///
/// With `wedges` ledges wider than so many mm are read with the wedges that they will get.
pub fn settle(blank: &mut Blank, marks: &Marks, readings: &[Reading], wedges: Option<f64>) {
    let stack = &mut blank.stack;
    settled(stack, marks, readings, wedges);
    // They are cut for the layers as they are in the end.
    stack.wedges.clear();
}

fn settled(stack: &mut Stack, marks: &Marks, readings: &[Reading], wedges: Option<f64>) {
    use std::f64::consts::TAU;
    let first = stack.first_to_cut;
    let wanted = wanted(marks, readings, stack.scale);
    let as_cut: Vec<Layer> = stack.layers.clone();
    // How far every layer (a row) has gone in for the sake of every girth (a column), and which of
    // these went as far as they may.
    let mut inwards = DMatrix::<f64>::zeros(as_cut.len(), wanted.len());
    let mut given_up = vec![false; wanted.len()];
    let mut best: Option<(f64, Vec<Layer>)> = None;
    for _ in 0..ROUNDS {
        if let Some(least) = wedges {
            stack.wedges = wedge::unnamed(&stack.layers, least, first);
        }
        let mut off = off(stack, marks, &wanted);
        for (off, _) in off.iter_mut().zip(&given_up).filter(|(_, up)| **up) {
            *off = 0.0;
        }
        let shares = shares(stack, marks, &wanted);
        // In what each may be off: the neck base is a chain in a crease, which no tape finds twice.
        // What rides on layers that are piled already stays as it is.
        let rest: Vec<f64> = wanted
            .iter()
            .zip(&off)
            .zip(shares.row_iter())
            .filter(|(_, row)| row.iter().skip(first.saturating_sub(1)).sum::<f64>() > LEAST_SHARE)
            .map(|((w, off), _)| {
                let within = if w.measure == Measure::GirthNeckBase {
                    CREASE_TOLERANCE_MM / 2.0
                } else {
                    SETTLED_ACCURACY_MM
                };
                off.abs() / within
            })
            .collect();
        let far: f64 = rest.iter().map(|r| r * r).sum();
        if best.as_ref().is_none_or(|(least, _)| far < *least) {
            best = Some((far, stack.layers.clone()));
        }
        if rest.iter().all(|r| *r <= 1.0) {
            break;
        }
        inwards += moves(&shares, &as_cut, first)
            * DMatrix::from_diagonal(&(DVector::from_vec(off) / TAU));
        // What two levels in one layer ask for may be far and cancel out: that moves nothing.
        let all = inwards.column_sum();
        for (mut own, up) in inwards.column_iter_mut().zip(&mut given_up) {
            let moved = own.iter().zip(&all).map(|(o, all)| o.abs().min(all.abs()));
            if moved.fold(0.0, f64::max) > MOST_MOVED_TOLERANCE_MM {
                own *= MOST_MOVED_TOLERANCE_MM / own.amax();
                *up = true;
            }
        }
        let by = inwards.column_sum();
        stack.layers = as_cut
            .par_iter()
            .zip(by.as_slice())
            .map(|(layer, by)| moved_in(layer, *by))
            .collect();
    }
    if let Some((_, layers)) = best {
        stack.layers = layers;
    }
}

/// The girths of the solid, and where they are read.
fn wanted(marks: &Marks, readings: &[Reading], scale: f64) -> Vec<Wanted> {
    let mut wanted = Vec::new();
    for (measure, low, high) in girths() {
        let height = |level| marks.levels.get(&level).map(|z| z * scale);
        let reading = readings.iter().find(|r| r.target.measure == measure);
        if let (Some(low), Some(high), Some(girth)) =
            (height(low), height(high), reading.and_then(|r| r.solid))
        {
            // The plane of the neck girth leans.
            let leaning = if measure == Measure::GirthNeck {
                NECK_REACH * scale * libm::sin(marks.neck_lean).abs()
            } else {
                0.0
            };
            wanted.push(Wanted {
                measure,
                low: low.min(high) - leaning,
                high: high.max(low) + leaning,
                girth: girth * scale,
            });
        }
    }
    wanted
}

/// How much too large each girth is as built, mm in the size of the form.
fn off(stack: &Stack, marks: &Marks, wanted: &[Wanted]) -> Vec<f64> {
    let near = |z: f64| {
        let beside = 2.0 * BUILT_RING_ACCURACY_MM;
        wanted
            .iter()
            .any(|w| (w.low - beside..=w.high + beside).contains(&z))
    };
    let solid = mesh_where(stack, marks, near);
    let tape = Tape::new(&solid);
    wanted
        .par_iter()
        .map(|w| {
            tape.read(w.measure, Side::Both)
                .map_or(0.0, |built| built * stack.scale - w.girth)
        })
        .collect()
}

/// For each girth (a row) which share of its round each layer (a column) carries.
fn shares(stack: &Stack, marks: &Marks, wanted: &[Wanted]) -> DMatrix<f64> {
    let slices = slope::slices(stack);
    let rows: Vec<Vec<f64>> = wanted
        .par_iter()
        .map(|w| {
            let mut row = vec![0.0; stack.layers.len()];
            for k in 0..LOOKS {
                let z = w.low + (w.high - w.low) * k as f64 / (LOOKS - 1) as f64;
                carried(stack, &slices, marks, z, &mut row);
            }
            let sum: f64 = row.iter().sum();
            row.iter().map(|n| n / sum.max(1.0)).collect()
        })
        .collect();
    DMatrix::from_fn(rows.len(), stack.layers.len(), |i, j| rows[i][j])
}

/// Adds to every layer the number of rays on which it, or a wedge beside it, lies outermost at a
/// height, padding and all.
fn carried(stack: &Stack, slices: &[Layer], marks: &Marks, z: f64, row: &mut [f64]) {
    let scale = stack.scale;
    let middle = pole_at(&marks.pole, z / scale);
    let centre = Point2::from(middle.coords * scale);
    let t = stack.padding;
    let mut outermost = vec![(0.0_f64, usize::MAX); RAYS];
    for layer in stack.layers.iter().chain(slices) {
        let away = (layer.bottom - z).max(z - layer.top).max(0.0);
        if away > 0.0 && away >= t {
            continue;
        }
        let mut reach = vec![0.0; RAYS];
        for piece in &layer.pieces {
            let beyond = (t * t - away * away).max(0.0).sqrt();
            spread(&mut reach, &piece.outline, beyond, centre);
        }
        for (most, r) in outermost.iter_mut().zip(reach) {
            if r > most.0 {
                *most = (r, layer.index - 1);
            }
        }
    }
    for (_, layer) in outermost {
        if let Some(count) = row.get_mut(layer) {
            *count += 1.0;
        }
    }
}

/// How far every layer (a row) goes in for a girth (a column) that is 2π mm too large.
fn moves(shares: &DMatrix<f64>, layers: &[Layer], first: usize) -> DMatrix<f64> {
    let count = layers.len();
    let fading = DMatrix::from_fn(count, count, |i, j| {
        if layers[i].index < first || layers[j].index < first {
            0.0
        } else {
            (1.0 - i.abs_diff(j) as f64 / FADE).max(0.0)
        }
    });
    let spread = &fading * shares.transpose();
    let mut normal = shares * &spread;
    for k in 0..normal.nrows() {
        normal[(k, k)] += RIDGE;
    }
    // A positive matrix with a ridge on it always has an inverse.
    normal.cholesky().map_or_else(
        || DMatrix::zeros(count, shares.nrows()),
        |c| spread * c.inverse(),
    )
}

/// A layer with every outline moved in by this much, mm; as it was where that would break a piece.
fn moved_in(layer: &Layer, by: f64) -> Layer {
    let mut out = layer.clone();
    if by.abs() <= ARC_ACCURACY_MM {
        return out;
    }
    for piece in &mut out.pieces {
        let shapes = offset(&[piece.region()], -by);
        if let [one] = shapes.as_slice()
            && one.holes.len() == piece.holes.len()
        {
            let clean = |o: &Outline| o.simplified(OUTLINE_ACCURACY_MM).counter_clockwise();
            let openings = one.holes.iter().map(clean).collect();
            *piece = Piece::blank(piece.id, clean(&one.outer), openings);
        }
    }
    out
}
