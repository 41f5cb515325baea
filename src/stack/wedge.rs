//! Wedges for the shoulders: pieces that lie on a wide ledge beside the layer above and are bevelled
//! from its upper edge down to the edge of the layer below, so that no stair is left to pad.
//!
//! On wide ledges a layer cut in the middle goes over to its smaller face, so the upper corners of
//! the steps lie on the surface, and a wedge between two of them fills the notch and no more.
//!
//! # Why are wedges no pieces of a layer?
//! They are pared to a slope after gluing, so no outline of theirs is what is built: boards and
//! pages hold them, and as built reads them in slices of that slope. A wedge runs from corner to
//! corner, so layers go to their smaller face wherever one will lie.

use std::f64::consts::{FRAC_PI_2, PI};

use rayon::prelude::*;

use super::writing::Writing;
use super::{CutFor, Layer, Piece, PieceId};
use crate::error::Error;
use crate::geom::offset::{Region, difference, intersection, offset};
use crate::geom::{Outline, Point2, Vector2};
use crate::tolerance::OUTLINE_ACCURACY_MM;

/// Wedges smaller than this are not worth cutting, mm². Our choice.
const LEAST_MM2: f64 = 400.0;

/// Height of the words on a wedge where there is room, mm. Our choice.
const LETTERS: f64 = 5.0;
/// They stand so far inside its edge, mm: nearer than on a layer, for a wedge is narrow and its edge is pared away.
const EDGE: f64 = 0.8;
/// From one place for words to the next along the edge, mm. Our choice.
const PLACES: f64 = 3.0;
/// Rows of places from the edge inwards, one a millimetre. Our choice.
const DEPTHS: u8 = 30;

/// A wedge.
#[derive(Clone, Debug, PartialEq)]
pub struct Wedge {
    /// The layer it lies on (index); it is as thick as the next.
    pub on: usize,
    /// What is cut, before it is bevelled.
    pub piece: Piece,
}

/// The wedges of a stack: on every ledge wider than `least` mm, where it is that wide; from layer
/// number `first` up.
///
/// # Errors
/// [`Error::Format`] when the face of the words cannot be read.
pub(crate) fn wedges(layers: &[Layer], least: f64, first: usize) -> Result<Vec<Wedge>, Error> {
    let mut out = Vec::new();
    for (on, parts) in shapes(layers, least, first) {
        for (nth, part) in parts.iter().enumerate() {
            let mut piece = bare(on, nth, part);
            say(&mut piece, on)?;
            out.push(Wedge { on, piece });
        }
    }
    Ok(out)
}

/// The same without words.
pub(crate) fn unnamed(layers: &[Layer], least: f64, first: usize) -> Vec<Wedge> {
    let mut out = Vec::new();
    for (on, parts) in shapes(layers, least, first) {
        let pieces = parts.iter().enumerate();
        out.extend(pieces.map(|(nth, part)| Wedge {
            on,
            piece: bare(on, nth, part),
        }));
    }
    out
}

/// The parts of every ledge that get a wedge, the largest first, with the layer that they lie on.
fn shapes(layers: &[Layer], least: f64, first: usize) -> Vec<(usize, Vec<Region>)> {
    layers
        .par_windows(2)
        .filter(|pair| pair[1].index >= first)
        .map(|pair| {
            let (below, above) = (&pair[0], &pair[1]);
            let whole = |l: &Layer| -> Vec<Region> {
                l.pieces
                    .iter()
                    .map(|p| Region::solid(p.outline.clone()))
                    .collect()
            };
            let ledge = difference(&whole(below), &whole(above));
            // What is narrower than `least` falls away when the ledge is thinned and thickened again.
            let wide = offset(&offset(&ledge, -least / 2.0), least / 2.0);
            let mut parts = intersection(&wide, &ledge);
            parts.retain(|r| r.area() >= LEAST_MM2);
            parts.sort_by(|a, b| b.area().total_cmp(&a.area()));
            (below.index, parts)
        })
        .collect()
}

/// A wedge without words.
fn bare(on: usize, nth: usize, region: &Region) -> Piece {
    let clean = |o: &Outline| o.simplified(OUTLINE_ACCURACY_MM).counter_clockwise();
    Piece::blank(
        PieceId::new(CutFor::Wedge(on), nth),
        clean(&region.outer),
        region.holes.iter().map(clean).collect(),
    )
}

/// Writes on a wedge what it is: its name, which side is up and which side of the body it is for, together along it
/// where there is room, else one after the other.
fn say(piece: &mut Piece, on: usize) -> Result<(), Error> {
    let (id, side) = (piece.id.to_string(), whereabouts(piece));
    let places = along(piece);
    let mut writing = Writing::on(piece.clone(), EDGE)?;
    let whole = [
        format!("{id} UP, wedge on {on}, {side}"),
        format!("{id} UP, {side}"),
    ];
    if !whole
        .iter()
        .any(|words| writing.line_along(words, LETTERS, &places))
    {
        let named = [format!("{id} UP"), id];
        let _ = named
            .iter()
            .any(|words| writing.line_along(words, LETTERS, &places));
        writing.line_along(side, LETTERS, &places);
    }
    *piece = writing.piece;
    Ok(())
}

/// Places on a wedge with the direction of its edge there, radians, readable from the front: rows of them further and
/// further in from the edge.
fn along(piece: &Piece) -> Vec<(Point2, f64)> {
    let points = &piece.outline.points;
    let mut out = Vec::new();
    for depth in 1..=DEPTHS {
        for (a, b) in points.iter().zip(points.iter().cycle().skip(1)) {
            let edge = b - a;
            let Some(along) = edge.try_normalize(f64::EPSILON) else {
                continue;
            };
            // Outlines run counter-clockwise: inside is on the left.
            let inwards = Vector2::new(-along.y, along.x) * f64::from(depth);
            let mut turn = libm::atan2(along.y, along.x);
            if turn.abs() > FRAC_PI_2 {
                turn -= PI.copysign(turn);
            }
            let count = (edge.norm() / PLACES).ceil().max(1.0) as usize;
            out.extend((0..count).map(|k| {
                let share = (k as f64 + 0.5) / count as f64;
                (a + edge * share + inwards, turn)
            }));
        }
    }
    out
}

/// Which side of the body it lies on.
fn whereabouts(piece: &Piece) -> &'static str {
    let all = |is: fn(&Point2) -> bool| piece.outline.points.iter().all(is);
    let middle = piece.outline.centroid();
    match (all(|p| p.x > 0.0), all(|p| p.x < 0.0)) {
        (true, _) => "right",
        (_, true) => "left",
        _ if middle.y > 0.0 => "front",
        _ => "back",
    }
}
