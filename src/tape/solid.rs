//! The tape on any closed solid, with or without marks.

use rayon::prelude::*;

use super::taut;
use crate::geom;
use crate::geom::{Outline, Point2};
use crate::mesh::{Mesh, Slicer};

/// What a tape and a pair of straight edges read at one height.
#[derive(Clone, Debug, PartialEq)]
pub struct GirthRound {
    /// Height of the cut, in the solid's own coordinates, mm.
    pub height: f64,
    /// Round the largest part that is cut there (a torso rather than an arm), mm.
    pub girth: f64,
    /// Extent of that part along `x`, mm.
    pub breadth: f64,
    /// Extent of that part along `y`, mm.
    pub depth: f64,
    /// Round every part taken singly, largest part first, mm; holes left out.
    pub parts: Vec<f64>,
    /// Round all parts together, as round two legs, mm.
    pub together: f64,
    /// Whether a part lies inside another one's material: two bodies overlap, and what a tape would
    /// read is not plain.
    pub overlap: bool,
    /// Whether the cut falls into so many parts that no more than their number was looked at.
    pub scattered: bool,
}

/// A cut into more outlines than this is of no body. Our choice: a body has a dozen, a scan with all
/// its crumbs some hundreds; holding each outline against all others takes the square of their number.
const MOST_OUTLINES: usize = 1000;

/// Reads the tape at these heights; nothing where the solid is not met. The solid should be
/// watertight ([`Mesh::is_watertight`]) and stand upright along `z`.
#[must_use]
pub fn rounds(mesh: &Mesh, heights: &[f64]) -> Vec<Option<GirthRound>> {
    let slicer = Slicer::new(mesh);
    heights.par_iter().map(|z| round(&slicer, *z)).collect()
}

fn round(slicer: &Slicer<'_>, height: f64) -> Option<GirthRound> {
    let outlines = slicer.at(height);
    if outlines.len() > MOST_OUTLINES {
        return Some(GirthRound {
            height,
            girth: 0.0,
            breadth: 0.0,
            depth: 0.0,
            parts: Vec::new(),
            together: 0.0,
            overlap: false,
            scattered: true,
        });
    }
    let overlap = overlaps(&outlines);
    let material: Vec<Vec<_>> = outlines
        .into_iter()
        .map(|o| o.points)
        .filter(|p| geom::doubled_area(p) > 0.0)
        .collect();
    let trunk = material.first()?;
    let (breadth, depth) = taut::extent(trunk)?;
    Some(GirthRound {
        height,
        girth: taut::girth(trunk),
        breadth,
        depth,
        parts: material.iter().map(|p| taut::girth(p)).collect(),
        together: taut::girth(&material.concat()),
        overlap,
        scattered: false,
    })
}

/// Whether some outline does not divide material from air: every part begins in air and every hole
/// in material.
fn overlaps(outlines: &[Outline]) -> bool {
    let sides: Vec<(bool, (Point2, Point2))> = outlines
        .iter()
        .filter_map(|o| Some((geom::doubled_area(&o.points) > 0.0, o.bounds()?)))
        .collect();
    outlines
        .iter()
        .zip(&sides)
        .enumerate()
        .any(|(i, (o, own))| {
            let Some(p) = o.points.first() else {
                return false;
            };
            let others = outlines.iter().zip(&sides).enumerate();
            let layers: i64 = others
                .filter(|(j, (_, (_, (low, high))))| {
                    i != *j && low.x <= p.x && low.y <= p.y && p.x <= high.x && p.y <= high.y
                })
                .filter(|(_, (o, _))| o.contains(*p))
                .map(|(_, (_, (part, _)))| if *part { 1 } else { -1 })
                .sum();
            layers != i64::from(!own.0)
        })
}
