//! Wedges as they are once pared: from the upper edge of the layer above straight down to their own
//! outer edge, which lies on the layer below.

use super::{RAYS, STEP};
use crate::geom::{Outline, Point2, Vector2};
use crate::stack::wedge::Wedge;
use crate::stack::{Layer, Piece, Stack};
use crate::tolerance::BUILT_RING_ACCURACY_MM;

/// Slices of a wedge reach this far under the edge of the layer beside it, so that no ray slips
/// between them, mm.
const UNDER: f64 = 1.0;

/// The wedges of a stack in level slices, each as a layer of its own between two rings of the solid;
/// every slice is as wide as the slope is at its upper face, so its upper corner lies on the slope. The
/// lowest has no height: the ground that the wedge stands on.
pub(super) fn slices(stack: &Stack) -> Vec<Layer> {
    stack
        .wedges
        .iter()
        .filter_map(|w| Some((w, stack.layers.get(w.on)?)))
        .flat_map(|(wedge, above)| {
            let n = (above.height() / BUILT_RING_ACCURACY_MM).ceil().max(1.0);
            (0..=n as usize).map(move |k| {
                let height = |k: usize| above.bottom + above.height() * k as f64 / n;
                Layer {
                    bottom: height(k.saturating_sub(1)),
                    top: height(k),
                    pieces: slice(wedge, above, k as f64 / n),
                    ..bare(above)
                }
            })
        })
        .collect()
}

fn bare(layer: &Layer) -> Layer {
    Layer {
        pieces: Vec::new(),
        levels: Vec::new(),
        ..*layer
    }
}

/// What of a wedge is left at this share of its height: along every ray from the middle of the layer
/// above the slope goes straight from its ground to that layer's edge.
fn slice(wedge: &Wedge, above: &Layer, share: f64) -> Vec<Piece> {
    let Some(layer) = above.pieces.first() else {
        return Vec::new();
    };
    let centre = layer.outline.centroid();
    // Where each ray enters and leaves what is left.
    let rays: Vec<Option<(f64, f64)>> = (0..RAYS)
        .map(|j| {
            let angle = STEP * j as f64;
            let ground = wedge.piece.outline.ray(centre, angle)?;
            let edges = above.pieces.iter();
            let edge = edges
                .filter_map(|p| p.outline.ray(centre, angle))
                .filter(|r| *r < ground)
                .fold(f64::NEG_INFINITY, f64::max);
            (edge > UNDER).then_some((edge - UNDER, ground + (edge - ground) * share))
        })
        .collect();
    let at = |j: usize, r: f64| -> Point2 {
        let angle = STEP * (j % RAYS) as f64;
        centre + Vector2::new(libm::cos(angle), libm::sin(angle)) * r
    };
    let piece = |points: Vec<Point2>| {
        let outline = Outline { points };
        Piece::blank(wedge.piece.id, outline, Vec::new())
    };
    let Some(gap) = rays.iter().position(Option::is_none) else {
        let outer = rays.iter().flatten().enumerate();
        return vec![piece(outer.map(|(j, (_, far))| at(j, *far)).collect())];
    };
    // Runs of rays that meet it, beginning after one that does not.
    let mut out = Vec::new();
    let mut run: Vec<(usize, f64, f64)> = Vec::new();
    for j in gap + 1..=gap + RAYS {
        if let Some((near, far)) = rays[j % RAYS] {
            run.push((j, near, far));
            continue;
        }
        if run.len() > 1 {
            let outer = run.iter().map(|&(j, _, far)| at(j, far));
            let inner = run.iter().rev().map(|&(j, near, _)| at(j, near));
            out.push(piece(outer.chain(inner).collect()));
        }
        run.clear();
    }
    out
}
