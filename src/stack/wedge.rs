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

use rayon::prelude::*;

use super::{CutFor, Inscription, Layer, Mark, Piece, PieceId};
use crate::error::Error;
use crate::geom::offset::{Region, difference, intersection, offset};
use crate::geom::{Outline, Point2};
use crate::lettering::sized::SizedWords;
use crate::tolerance::OUTLINE_ACCURACY_MM;

/// Wedges smaller than this are not worth cutting, mm². Our choice.
const LEAST_MM2: f64 = 400.0;

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

/// Writes on a wedge what it is.
fn say(piece: &mut Piece, on: usize) -> Result<(), Error> {
    let mut room = SizedWords::new(&piece.region())?;
    let near = widest(piece);
    let id = piece.id.to_string();
    let said = [
        ([format!("{id} UP"), id], 5.0),
        (
            [
                format!("wedge on {on}, {}", whereabouts(piece)),
                whereabouts(piece).to_owned(),
            ],
            3.5,
        ),
    ];
    for (choices, height) in said {
        for words in choices {
            if let Some((at, h)) = room.place(&words, height, 2.2, near) {
                piece.marks.push(Mark::Text(Inscription::new(at, h, words)));
                break;
            }
        }
    }
    Ok(())
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

/// The corner of the outline that is farthest from the middle: a wedge is a crescent or a ring, whose
/// middle lies outside it.
fn widest(piece: &Piece) -> Point2 {
    let middle = piece.outline.centroid();
    if piece.outline.contains(middle) && !piece.openings().any(|h| h.contains(middle)) {
        return middle;
    }
    piece
        .outline
        .points
        .iter()
        .copied()
        .max_by(|a, b| (a - middle).norm().total_cmp(&(b - middle).norm()))
        .unwrap_or(middle)
}
