//! What is drawn on each piece: centre and side lines, arrow, words, the layer above, hole centres,
//! and the slanting edge mark.
//!
//! Every word stands inside its piece and clear of holes, lines and other words; where there is no
//! room it gets smaller, and in the end is left out.

use crate::units::Unit;
use rayon::prelude::*;

use super::{Inscription, Layer, Mark, Piece, Tells};
use crate::error::Error;
use crate::geom::{Outline, Point2, Vector2};
use crate::lettering::sized::SizedWords;
use crate::measure::Figure;

/// Length of the ticks of centre and side lines, mm (common practice, no source).
pub const TICK: f64 = 15.0;
/// Length of the tick of the slanting edge mark, and half the width of its crossbar, mm.
const SLANT: (f64, f64) = (8.0, 2.5);
/// Where the slanting edge mark begins: at the right back, seen from above, radians.
const SLANT_START: f64 = -0.75 * std::f64::consts::PI;
/// The word FRONT is left out where it would stand further than this from the middle of its arrow,
/// mm. Our choice: a hand's breadth, within which one reads both together.
const FRONT_REACH: f64 = 45.0;
/// RIGHT and LEFT are left out nearer the middle than this share of the way to the side. Our choice.
const SIDE_SHARE: f64 = 0.3;

/// Height of the letters below which nobody reads a number on a piece, mm.
const SMALLEST_NUMBER: f64 = 2.0;

/// What all layers share.
pub(crate) struct Labels<'a> {
    /// What heights are written in.
    pub(crate) unit: Unit,
    pub(crate) name: &'a str,
    /// Whose figure it is.
    pub(crate) figure: Figure,
    /// Where the side lines and the centre lines cross.
    pub(crate) axis: Point2,
    /// Underside of the lowest layer, mm.
    pub(crate) bottom: f64,
    pub(crate) scale: f64,
    /// What each layer is cut from, where they are not all cut from one material; else empty.
    pub(crate) materials: Vec<String>,
    /// How far the slanting mark goes sideways with each layer, mm.
    pub(crate) arcs: Vec<f64>,
}

/// The pile is measured after so many layers (common practice, no source).
pub const PILE_CHECK: usize = 10;

/// Draws the marks on every piece.
///
/// # Errors
/// [`Error::Format`] when the face of the words cannot be read.
pub(crate) fn draw(layers: &mut [Layer], labels: &Labels<'_>) -> Result<(), Error> {
    let slants = slant(layers, labels.axis, &labels.arcs);
    let above: Vec<Option<Vec<Outline>>> = (0..layers.len())
        .map(|i| {
            layers
                .get(i + 1)
                .map(|l| l.pieces.iter().map(|p| p.outline.clone()).collect())
        })
        .collect();
    let count = layers.len();
    layers
        .par_iter_mut()
        .zip(slants)
        .zip(above)
        .try_for_each(|((layer, slant), above)| {
            let words = words(layer, count, labels);
            for (nth, piece) in layer.pieces.iter_mut().enumerate() {
                piece.marks = marks(piece, nth, &words, slant.as_ref(), above.as_deref(), labels)?;
            }
            Ok(())
        })
}

/// Words that are wanted on a piece.
struct WantedWords {
    /// Height of the letters, as wished and the least that can be read, mm.
    height: f64,
    least: f64,
    text: String,
    /// What is said where there is no room for all of that.
    short: Option<String>,
    tells: Tells,
}

impl WantedWords {
    fn new(height: f64, tells: Tells, text: impl Into<String>) -> Self {
        Self {
            height,
            least: 2.5,
            text: text.into(),
            short: None,
            tells,
        }
    }
}

/// Words of one layer, the most important first.
fn words(layer: &Layer, count: usize, labels: &Labels<'_>) -> Vec<WantedWords> {
    let levels: Vec<&str> = layer
        .levels
        .iter()
        .map(|l| l.called(labels.figure))
        .collect();
    let number = WantedWords {
        least: 3.0,
        short: Some(layer.index.to_string()),
        ..WantedWords::new(9.0, Tells::Which, format!("{} of {count}", layer.index))
    };
    let mut out = vec![number, WantedWords::new(5.0, Tells::Way, "THIS SIDE UP")];
    let mut own = |height, text: String| out.push(WantedWords::new(height, Tells::Own, text));
    if let Some(material) = labels.materials.get(layer.index - 1) {
        own(5.0, material.clone());
    }
    if !levels.is_empty() {
        own(5.0, levels.join(", "));
    }
    own(
        4.0,
        format!(
            "{} to {} up",
            labels.unit.fine_bare(layer.bottom - labels.bottom),
            labels.unit.fine(layer.top - labels.bottom)
        ),
    );
    if layer.index.is_multiple_of(PILE_CHECK) {
        let height = layer.top - labels.bottom;
        own(4.0, format!("CHECK PILE: {}", labels.unit.fine(height)));
    }
    if !labels.name.is_empty() {
        out.push(WantedWords::new(4.0, Tells::Form, labels.name));
    }
    if labels.scale < 1.0 {
        out.push(WantedWords::new(4.0, Tells::Own, "HALF SCALE"));
    }
    out
}

fn marks(
    piece: &Piece,
    nth: usize,
    words: &[WantedWords],
    slant: Option<&[Mark; 2]>,
    above: Option<&[Outline]>,
    labels: &Labels<'_>,
) -> Result<Vec<Mark>, Error> {
    use std::f64::consts::FRAC_PI_2;
    use std::f64::consts::PI;
    let mut out: Vec<Mark> = above
        .into_iter()
        .flatten()
        .cloned()
        .map(Mark::Above)
        .collect();
    let outline = &piece.outline;
    let mut room = SizedWords::new(&piece.region())?;
    for outline in above.into_iter().flatten() {
        room.avoid_line(outline);
    }
    let centre = outline.centroid();
    let axis = cross(outline, labels.axis);
    if outline.contains(axis) {
        for angle in [FRAC_PI_2, -FRAC_PI_2, 0.0, PI] {
            let Some(r) = outline.ray(axis, angle) else {
                continue;
            };
            let e = Vector2::new(libm::cos(angle), libm::sin(angle));
            let line = vec![axis + e * r, axis + e * (r - TICK.min(r / 3.0))];
            room.take_line(&line);
            out.push(Mark::Line(line));
        }
        if !piece.rounds().any(|(c, d)| (c - axis).norm() < d / 2.0) {
            push_cross(&mut out, &mut room, axis, 5.0);
        }
    }
    for (at, diameter) in piece.rounds() {
        push_cross(&mut out, &mut room, at, diameter / 2.0 + 4.0);
    }
    if nth == 0
        && let Some(slant) = slant
    {
        for mark in slant {
            if let Mark::Line(points) = mark {
                room.take_line(points);
            }
            out.push(mark.clone());
        }
    }
    let front = outline.ray(centre, FRAC_PI_2).unwrap_or(0.0);
    let name = (nth > 0).then(|| {
        let id = piece.id.to_string();
        WantedWords {
            short: Some(id.clone()),
            ..WantedWords::new(6.0, Tells::Own, id)
        }
    });
    // Words stack up below the middle and any hole there, the most important first.
    let mut y = piece
        .rounds()
        .filter(|(at, _)| (at.x - centre.x).abs() < 2.0 * TICK)
        .map(|(at, diameter)| at.y - diameter / 2.0 - 8.0)
        .fold(centre.y - front * 0.15, f64::min);
    // Without its number a piece is lost: it goes first, and alone where "of 120" is too long.
    let mut put = |room: &mut SizedWords, out: &mut Vec<Mark>, wanted: &WantedWords| {
        let choices = std::iter::once((&wanted.text, wanted.least));
        let short = wanted.short.iter().map(|text| (text, SMALLEST_NUMBER));
        for (text, least) in choices.chain(short) {
            let near = Point2::new(centre.x, y);
            if let Some((at, size)) = room.place(text, wanted.height, least, near) {
                y = (at.y - size * 1.5).min(y);
                out.push(Mark::Text(Inscription {
                    tells: wanted.tells,
                    ..Inscription::new(at, size, text)
                }));
                return;
            }
        }
    };
    let (first, others) = words.split_at(words.len().min(1));
    for wanted in name.iter().chain(first) {
        put(&mut room, &mut out, wanted);
    }
    push_arrow(&mut out, &mut room, centre, front);
    for wanted in others {
        put(&mut room, &mut out, wanted);
    }
    for (angle, text) in [(0.0, "RIGHT"), (PI, "LEFT")] {
        if let Some(r) = outline.ray(centre, angle) {
            let wanted = centre + Vector2::new(libm::cos(angle) * r * 0.78, 0.0);
            // On a crowded piece the only room left may lie in the middle or on the other side: no
            // word is better.
            if let Some((at, h)) = room.place(text, 5.0, 3.0, wanted)
                && (at.x - centre.x) * libm::cos(angle) > SIDE_SHARE * r
            {
                out.push(way(at, h, text));
            }
        }
    }
    Ok(out)
}

/// Where the centre lines and the side lines of a piece cross: in the axis of the form, or, where the
/// neck leans away from that, level with the piece's own middle.
#[must_use]
pub fn cross(outline: &Outline, axis: Point2) -> Point2 {
    if outline.contains(axis) {
        axis
    } else {
        Point2::new(axis.x, outline.centroid().y)
    }
}

/// Words that say which way a piece lies.
fn way(at: Point2, size: f64, text: &str) -> Mark {
    Mark::Text(Inscription {
        tells: Tells::Way,
        ..Inscription::new(at, size, text)
    })
}

fn push_cross(out: &mut Vec<Mark>, room: &mut SizedWords, at: Point2, arm: f64) {
    for d in [Vector2::new(arm, 0.0), Vector2::new(0.0, arm)] {
        let line = vec![at - d, at + d];
        room.take_line(&line);
        out.push(Mark::Line(line));
    }
}

/// An arrow to the front with its word, where there is room for both.
fn push_arrow(out: &mut Vec<Mark>, room: &mut SizedWords, centre: Point2, front: f64) {
    for length in [40.0, 28.0, 18.0, 10.0] {
        let size = Vector2::new(6.0, length);
        if length > front * 1.2 {
            continue;
        }
        let wanted = Point2::new(centre.x, centre.y + front * 0.55);
        if let Some(at) = room.nearest(size, wanted) {
            let half = Vector2::new(0.0, length / 2.0);
            room.take(at, size);
            out.push(Mark::Arrow(at - half, at + half));
            let beside = at + Vector2::new(16.0, 0.0);
            // Far from the arrow the word would name another edge: then it goes to the front edge
            // itself, on the wall of a ring, or nowhere.
            let edge = Point2::new(centre.x, centre.y + front * 0.92);
            for (named, wanted) in [(at, beside), (edge, edge)] {
                if let Some((p, h)) = room.place("FRONT", 6.0, 3.0, wanted)
                    && (p - named).norm() < FRONT_REACH
                    && p.y > centre.y
                {
                    out.push(way(p, h, "FRONT"));
                    break;
                }
            }
            return;
        }
    }
}

/// The slanting edge mark of every layer: a T at the edge. From each layer to the next it goes one
/// layer height sideways along the edge, counter-clockwise seen from above, beginning at the right
/// back, so that carried down the edges of a true stack it makes one line rising at 45 degrees. It
/// winds on round the form and never starts again. A piece left out, doubled, out of order, turned
/// or shifted breaks it.
fn slant(layers: &[Layer], axis: Point2, arcs: &[f64]) -> Vec<Option<[Mark; 2]>> {
    let mut at: Option<Point2> = None;
    layers
        .iter()
        .zip(arcs)
        .map(|(layer, arc)| {
            let outline = &layer.pieces[0].outline;
            let from = match at {
                Some(p) => outline.nearest(p)?,
                None => {
                    let r = outline.ray(axis, SLANT_START)?;
                    let e = Vector2::new(libm::cos(SLANT_START), libm::sin(SLANT_START));
                    outline.nearest(axis + e * r)?
                }
            };
            let arc = if at.is_some() { *arc } else { 0.0 };
            let (p, side) = outline.along(from.0, from.1, arc);
            at = Some(p);
            let n = outline.points.len();
            let along = (outline.points[(side + 1) % n] - outline.points[side]).normalize();
            let inwards = Vector2::new(-along.y, along.x);
            let end = p + inwards * SLANT.0;
            Some([
                Mark::Line(vec![p, end]),
                Mark::Line(vec![end - along * SLANT.1, end + along * SLANT.1]),
            ])
        })
        .collect()
}
