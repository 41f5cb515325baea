//! Heights of the layers: counted down from the neck top, all of one thickness, or thinner where
//! the surface leans so much that a thick layer would leave too wide a step.
//!
//! # Why count the layers from the neck down?
//! So that the remainder moves the hem, where nobody measures.
//!
//! # Why do thick and thin layers mix by their step?
//! A ledge is what one sees and pads, so the rule is in mm of ledge: counted down from the neck,
//! the thickest material whose layer recedes by no more than `form.step` between its faces. Two
//! such layers cut in the middle step by no more either.

use rayon::prelude::*;

use super::core::Eroder;
use super::facts::StackFact;
use crate::error::Error;
use crate::geom::offset::Region;
use crate::tolerance::ROOM_ACCURACY_MM;

/// Most layers of a form: a slip of the pen makes more, and nobody would pile them. The thinnest card that is
/// sold for it, of 1 mm, makes 800.
const MOST: usize = 1000;
/// Fewest layers of a form.
const FEWEST: usize = 4;

/// One layer to be: underside, upper side (mm) and number of its material.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct LayerCourse {
    pub(crate) bottom: f64,
    pub(crate) top: f64,
    pub(crate) material: usize,
}

impl LayerCourse {
    pub(crate) fn height(&self) -> f64 {
        self.top - self.bottom
    }

    /// Height at a part of the thickness: 0 is the underside, 1 the upper side.
    pub(crate) fn at(&self, part: f64) -> f64 {
        self.bottom + part * self.height()
    }
}

/// A material: its number, and the height of a layer of it with its glue line, mm.
pub(crate) type StockHeight = (usize, f64);

/// Layers of one thickness counted down from `high`; the lowest ends as near to `low` as whole
/// layers allow, so that the remainder (at most half a layer) moves the hem and no measured level.
pub(crate) fn even(
    low: f64,
    high: f64,
    (material, pitch): StockHeight,
) -> Result<Vec<LayerCourse>, Error> {
    let count = ((high - low) / pitch).round();
    if count < FEWEST as f64 {
        return Err(Error::stack(StackFact::TooFewLayers {
            height: high - low,
            pitch,
            layers: count as usize,
        }));
    }
    if count > MOST as f64 {
        return Err(Error::stack(StackFact::TooManyLayers {
            pitch,
            layers: count,
            most: MOST,
        }));
    }
    Ok(from_below(
        high - count * pitch,
        &vec![(material, pitch); count as usize],
    ))
}

/// Layers of these materials laid on each other from `bottom` up.
pub(crate) fn from_below(bottom: f64, kinds: &[StockHeight]) -> Vec<LayerCourse> {
    let same = kinds.windows(2).all(|k| k[0] == k[1]);
    let mut z = bottom;
    kinds
        .iter()
        .enumerate()
        .map(|(i, &(material, pitch))| {
            // Heights of equal layers are multiples, not sums: no rounding adds up.
            let (from, to) = if same {
                (bottom + pitch * i as f64, bottom + pitch * (i + 1) as f64)
            } else {
                (z, z + pitch)
            };
            z = to;
            LayerCourse {
                bottom: from,
                top: to,
                material,
            }
        })
        .collect()
}

/// The materials of the layers from the lowest up, so that no layer's faces recede from each other
/// by more than `step` mm: the thickest of `kinds` (given the thickest first) that keeps it, counted
/// down from `high`, and the thinnest where none does. Two layers cut in the middle then step by no
/// more than that either. The lowest ends as near to `low` as whole layers allow.
pub(crate) fn mixed(
    eroder: &Eroder<'_>,
    low: f64,
    high: f64,
    kinds: &[StockHeight],
    step: f64,
) -> Result<Vec<StockHeight>, Error> {
    let mut out: Vec<StockHeight> = Vec::new();
    let mut top = high;
    let mut upper = rough(eroder, top);
    loop {
        let left = top - low;
        let fitting: Vec<StockHeight> = kinds
            .iter()
            .copied()
            .filter(|(_, pitch)| left >= pitch / 2.0)
            .collect();
        let Some(thinnest) = fitting.last() else {
            break;
        };
        let lower: Vec<Vec<Region>> = fitting
            .par_iter()
            .map(|(_, pitch)| rough(eroder, top - pitch))
            .collect();
        let steep = lower.iter().position(|l| ledge(l, &upper) <= step);
        let chosen = steep.unwrap_or(fitting.len() - 1);
        let kind = *fitting.get(chosen).unwrap_or(thinnest);
        out.push(kind);
        if out.len() > MOST {
            return Err(Error::stack(StackFact::TooManyMixedLayers { most: MOST }));
        }
        top -= kind.1;
        upper = lower.into_iter().nth(chosen).unwrap_or_default();
    }
    if out.len() < FEWEST {
        return Err(Error::stack(StackFact::TooFewMixedLayers {
            height: high - low,
            layers: out.len(),
        }));
    }
    out.reverse();
    Ok(out)
}

/// A section of the core with few corners, good enough to tell how wide a ledge is.
fn rough(eroder: &Eroder<'_>, z: f64) -> Vec<Region> {
    eroder
        .core(z)
        .into_iter()
        .map(|r| Region::solid(r.outer.simplified(ROOM_ACCURACY_MM)))
        .collect()
}

/// Largest horizontal distance from a boundary point of one section to the nearest boundary point
/// of the other, either way; infinite where one of them is empty.
pub(crate) fn ledge(a: &[Region], b: &[Region]) -> f64 {
    let one_way = |from: &[Region], to: &[Region]| {
        let mut worst = 0.0_f64;
        for p in from.iter().flat_map(|r| &r.outer.points) {
            let near = to
                .iter()
                .map(|r| r.outer.distance(*p))
                .fold(f64::INFINITY, f64::min);
            worst = worst.max(near);
        }
        worst
    };
    if a.is_empty() || b.is_empty() {
        return f64::INFINITY;
    }
    one_way(a, b).max(one_way(b, a))
}
