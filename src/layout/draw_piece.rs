//! A piece as strokes and words, turned and shifted to where it lies.

use crate::units::Unit;
use std::f64::consts::FRAC_PI_2;

use crate::drawing::Anchor;
use crate::drawing::Item;
use crate::drawing::Pen;
use crate::error::Error;
use crate::face;
use crate::geom::Outline;
use crate::geom::Point2;
use crate::geom::Vector2;
use crate::geom::offset::Region;
use crate::geom::offset::offset;
use crate::geom::offset::stretches_inside;
use crate::layout::Pose;
use crate::layout::bounds;
use crate::layout::caption::captions;
use crate::layout::convex;
use crate::layout::facts::LayoutFact;
pub(crate) use crate::layout::letters::SMALLEST_LETTER;
use crate::layout::letters::around;
use crate::stack::Hole;
use crate::stack::Inscription;
use crate::stack::Mark;
use crate::stack::Piece;

/// Length of the two strokes of an arrow head, mm.
const ARROW_HEAD: f64 = 5.0;

/// The strokes that are cut, openings first. Half the kerf is added round the outline and taken
/// off inside the openings, so that what is left is the piece.
///
/// # Errors
/// [`Error::Layout`] when an opening is narrower than the kerf.
pub(crate) fn cuts(piece: &Piece, pose: &Pose, kerf: f64) -> Result<Vec<Item>, Error> {
    let mut items = Vec::new();
    let half = kerf / 2.0;
    for hole in &piece.holes {
        match hole {
            Hole::Round { at, diameter, .. } => {
                let radius = diameter / 2.0 - half;
                if radius <= 0.0 {
                    return Err(narrow(piece, hole, kerf));
                }
                items.push(Item::Circle {
                    pen: Pen::CutInside,
                    centre: pose.apply(*at),
                    radius,
                });
            }
            Hole::Opening(outline) => {
                let rings = moved(outline, -half);
                if rings.is_empty() {
                    return Err(narrow(piece, hole, kerf));
                }
                let rings = rings.iter();
                items.extend(rings.map(|ring| path(Pen::CutInside, &ring.points, pose)));
            }
        }
    }
    for (k, ring) in moved(&piece.outline, half).iter().enumerate() {
        let pen = if k == 0 { Pen::Cut } else { Pen::CutInside };
        items.push(path(pen, &ring.points, pose));
    }
    Ok(items)
}

fn narrow(piece: &Piece, hole: &Hole, kerf: f64) -> Error {
    let diameter = match hole {
        Hole::Round { diameter, .. } => Some(*diameter),
        Hole::Opening(_) => None,
    };
    Error::layout(LayoutFact::NarrowOpening {
        piece: piece.id.to_string(),
        diameter,
        kerf,
    })
}

fn path(pen: Pen, points: &[Point2], pose: &Pose) -> Item {
    Item::Path {
        pen,
        points: points.iter().map(|&p| pose.apply(p)).collect(),
        closed: true,
    }
}

/// An outline moved outwards by a distance, inwards when it is negative: outer rings first.
fn moved(outline: &Outline, distance: f64) -> Vec<Outline> {
    if distance.total_cmp(&0.0).is_eq() {
        return vec![outline.clone()];
    }
    let shapes = offset(&[Region::solid(outline.clone())], distance);
    let (outer, inner): (Vec<Outline>, Vec<Vec<Outline>>) =
        shapes.into_iter().map(|r| (r.outer, r.holes)).unzip();
    outer
        .into_iter()
        .chain(inner.into_iter().flatten())
        .collect()
}

/// The strokes and words that are drawn on the piece, with the letter of its dowel and the diameter
/// beside every round hole ([`captions`]) in `unit`. A piece without any words gets its name.
///
/// # Errors
/// [`Error::Format`] when the face of the words cannot be read.
pub(crate) fn marks(piece: &Piece, pose: &Pose, unit: Unit) -> Result<Vec<Item>, Error> {
    let mut items = Vec::new();
    for mark in &piece.marks {
        match mark {
            Mark::Line(points) => items.push(Item::Path {
                pen: Pen::Mark,
                points: points.iter().map(|&p| pose.apply(p)).collect(),
                closed: false,
            }),
            Mark::Above(outline) => items.extend(above(&outline.points, piece, pose)),
            Mark::Text(words) => items.push(written(words, pose)),
            Mark::Arrow(tail, tip) => items.extend(arrow(*tail, *tip, pose)),
        }
    }
    let mut taken = boxes(piece)?;
    let named = |m: &Mark| matches!(m, Mark::Text(_));
    if !piece.marks.iter().any(named)
        && let Some(name) = name_place(piece)?
    {
        taken.push(word_box(&name)?);
        items.push(written(&name, pose));
    }
    for (at, words) in captions(piece, &mut taken, unit)? {
        items.push(written(&Inscription::new(at, SMALLEST_LETTER, words), pose));
    }
    Ok(items)
}

/// The outline of the layer above as far as it lies on the piece: beyond the edge it would be drawn
/// on a neighbour.
fn above(points: &[Point2], piece: &Piece, pose: &Pose) -> Vec<Item> {
    if points
        .iter()
        .all(|&p| convex::inside(&piece.outline.points, p))
    {
        return vec![path(Pen::Dashed, points, pose)];
    }
    let whole = Region::solid(piece.outline.clone());
    let line = Outline {
        points: points.to_vec(),
    };
    stretches_inside(&line, &[whole])
        .into_iter()
        .map(|part| Item::Path {
            pen: Pen::Dashed,
            points: part.into_iter().map(|p| pose.apply(p)).collect(),
            closed: false,
        })
        .collect()
}

/// Words as they stand on a piece that lies so.
fn written(words: &Inscription, pose: &Pose) -> Item {
    let (sin, cos) = libm::sincos(words.turn);
    let base = words.at + Vector2::new(sin, -cos) * (words.size / 2.0);
    Item::Text {
        at: pose.apply(base),
        size: words.size,
        turn: pose.turn() + words.turn,
        anchor: Anchor::Middle,
        words: words.text.clone(),
    }
}

/// A shaft with a head of two strokes.
fn arrow(tail: Point2, tip: Point2, pose: &Pose) -> Vec<Item> {
    let d = tail - tip;
    let length = d.norm();
    let mut items = vec![Item::path(
        Pen::Mark,
        vec![pose.apply(tail), pose.apply(tip)],
        false,
    )];
    if length > 0.0 {
        let head = ARROW_HEAD.min(length / 2.0);
        let (u, v) = (
            d * (head / length),
            Vector2::new(-d.y, d.x) * (head / length),
        );
        let barbs = vec![
            pose.apply(tip + u + v * 0.4),
            pose.apply(tip),
            pose.apply(tip + u - v * 0.4),
        ];
        items.push(Item::path(Pen::Mark, barbs, false));
    }
    items
}

/// The box round words, in whatever direction they run about their middle.
fn word_box(words: &Inscription) -> Result<(Point2, Point2), Error> {
    let (_, high) = around(Point2::origin(), words.size, &words.text)?;
    let (sin, cos) = libm::sincos(words.turn);
    let half = Vector2::new(
        high.x * cos.abs() + high.y * sin.abs(),
        high.x * sin.abs() + high.y * cos.abs(),
    );
    Ok((words.at - half, words.at + half))
}

/// The box round words however they are turned; nothing for strokes.
///
/// # Errors
/// [`Error::Format`] when the face of the words cannot be read.
pub(crate) fn text_box(item: &Item) -> Result<Option<(Point2, Point2)>, Error> {
    let Item::Text {
        at,
        size,
        turn,
        anchor,
        words,
    } = item
    else {
        return Ok(None);
    };
    let width = face::text_width(words, *size)?;
    let from = match anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => -width / 2.0,
        Anchor::End => -width,
    };
    let (sin, cos) = libm::sincos(*turn);
    let corners = [
        (from, -0.3 * size),
        (from + width, -0.3 * size),
        (from, *size),
        (from + width, *size),
    ];
    Ok(bounds(&corners.map(|(x, y)| {
        at + Vector2::new(x * cos - y * sin, x * sin + y * cos)
    })))
}

/// The boxes of the words of a piece, in its own axes.
///
/// # Errors
/// [`Error::Format`] when the face of the words cannot be read.
pub(crate) fn word_boxes(piece: &Piece) -> Result<Vec<(Point2, Point2)>, Error> {
    piece
        .marks
        .iter()
        .filter_map(|mark| match mark {
            Mark::Text(words) => Some(word_box(words)),
            _ => None,
        })
        .collect()
}

/// The boxes of all words and strokes of a piece.
fn boxes(piece: &Piece) -> Result<Vec<(Point2, Point2)>, Error> {
    let mut taken = Vec::new();
    for mark in &piece.marks {
        match mark {
            Mark::Text(words) => taken.push(word_box(words)?),
            Mark::Line(points) => taken.extend(points.windows(2).filter_map(bounds)),
            Mark::Arrow(tail, tip) => taken.extend(bounds(&[*tail, *tip])),
            Mark::Above(_) => {}
        }
    }
    for (centre, diameter) in piece.rounds() {
        let r = Vector2::new(diameter, diameter) / 2.0;
        taken.push((centre - r, centre + r));
    }
    Ok(taken)
}

/// The name of a piece: as tall as there is room for, near the widest place. On a piece too narrow for any
/// the name stands there all the same, along the piece: without it the piece is lost.
fn name_place(piece: &Piece) -> Result<Option<Inscription>, Error> {
    let Some(wanted) = roomy(piece) else {
        return Ok(None);
    };
    let name = piece.id.to_string();
    let mut free = piece.free_room();
    for size in [2.0, 1.5, 1.0].map(|s| s * SMALLEST_LETTER) {
        let (low, high) = around(wanted, size, &name)?;
        for upright in [false, true] {
            if let Some(at) = free.place(turned(high - low, upright), wanted) {
                let turn = if upright { FRAC_PI_2 } else { 0.0 };
                let words = Inscription {
                    turn,
                    ..Inscription::new(at, size, name)
                };
                return Ok(Some(words));
            }
        }
    }
    let (low, high) = around(wanted, SMALLEST_LETTER, &name)?;
    Ok(Some(Inscription {
        turn: along(piece, wanted, high - low),
        ..Inscription::new(wanted, SMALLEST_LETTER, name)
    }))
}

/// Directions that words along a narrow piece are tried in.
const DIRECTIONS: i32 = 24;

/// The direction in which words of a size round a point keep farthest from the edge.
fn along(piece: &Piece, at: Point2, size: Vector2) -> f64 {
    let inside = |p: Point2| {
        let off = piece
            .outline
            .nearest(p)
            .map_or(0.0, |(q, _)| (q - p).norm());
        if piece.outline.contains(p) { off } else { -off }
    };
    let room = |turn: f64| {
        let (sin, cos) = libm::sincos(turn);
        let (u, v) = (Vector2::new(cos, sin), Vector2::new(-sin, cos));
        [-0.5, -0.25, 0.0, 0.25, 0.5]
            .into_iter()
            .flat_map(|x| [-0.5, 0.5].map(|y| at + u * (x * size.x) + v * (y * size.y)))
            .map(inside)
            .fold(f64::INFINITY, f64::min)
    };
    // From just right of down to up: no word stands on its head.
    (1..=DIRECTIONS)
        .map(|k| (f64::from(k) / f64::from(DIRECTIONS) - 0.5) * std::f64::consts::PI)
        .max_by(|a, b| room(*a).total_cmp(&room(*b)))
        .unwrap_or(0.0)
}

/// Breadth and height of words, exchanged where they run up.
fn turned(size: Vector2, upright: bool) -> Vector2 {
    if upright {
        Vector2::new(size.y, size.x)
    } else {
        size
    }
}

/// A point of the piece with room round it: the best of a coarse grid.
fn roomy(piece: &Piece) -> Option<Point2> {
    let (low, high) = bounds(&piece.outline.points)?;
    let holes: Vec<_> = piece.holes.iter().map(Hole::ring).collect();
    let mut best: Option<(f64, Point2)> = None;
    for i in 1..20 {
        for j in 1..20 {
            let p = Point2::new(
                low.x + (high.x - low.x) * f64::from(i) / 20.0,
                low.y + (high.y - low.y) * f64::from(j) / 20.0,
            );
            if !convex::inside(&piece.outline.points, p) {
                continue;
            }
            let corners = holes.iter().flat_map(|h| &h.points);
            let room = piece
                .outline
                .points
                .iter()
                .chain(corners)
                .map(|q| (q - p).norm())
                .fold(f64::INFINITY, f64::min);
            let open = holes.iter().any(|h| convex::inside(&h.points, p));
            if !open && best.is_none_or(|(most, _)| room > most) {
                best = Some((room, p));
            }
        }
    }
    best.map(|(_, p)| p)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stack::PieceId;

    fn circle(centre: Point2, radius: f64, corners: i32) -> Outline {
        Outline {
            points: (0..corners)
                .map(|k| {
                    let (s, c) =
                        libm::sincos(f64::from(k) * std::f64::consts::TAU / f64::from(corners));
                    Point2::new(centre.x + radius * c, centre.y + radius * s)
                })
                .collect(),
        }
    }

    fn disc() -> Piece {
        let outline = circle(Point2::origin(), 80.0, 90);
        let opening = circle(Point2::new(-30.0, 0.0), 20.0, 48);
        Piece {
            holes: vec![
                Hole::round(Point2::new(30.0, 5.0), 8.3),
                Hole::Opening(opening),
            ],
            ..Piece::blank(PieceId::layer(1), outline, vec![])
        }
    }

    #[test]
    fn the_kerf_is_given_back() {
        let items = cuts(&disc(), &Pose::new(90.0, 100.0, 200.0), 0.4).unwrap();
        assert_eq!(items.len(), 3);
        let Item::Circle { centre, radius, .. } = &items[0] else {
            panic!("the dowel hole is no circle");
        };
        approx::assert_relative_eq!(*radius, 3.95, max_relative = 1e-12);
        approx::assert_relative_eq!(centre.x, 95.0, max_relative = 1e-12);
        approx::assert_relative_eq!(centre.y, 230.0, max_relative = 1e-12);
        for (item, radius, middle) in [
            (&items[1], 19.8, Point2::new(100.0, 170.0)),
            (&items[2], 80.2, Point2::new(100.0, 200.0)),
        ] {
            let Item::Path { points, closed, .. } = item else {
                panic!("no path");
            };
            assert!(closed);
            for p in points {
                let r = (p - middle).norm();
                // Chords of the polygons stand under their circle by at most 0.1 mm.
                assert!((r - radius).abs() < 0.1, "{r} {radius}");
            }
        }
        assert!(cuts(&disc(), &Pose::new(0.0, 0.0, 0.0), 9.0).is_err());
    }

    #[test]
    fn the_layer_above_is_drawn_on_the_piece_only() {
        let mut piece = disc();
        piece.marks = vec![
            Mark::Above(circle(Point2::new(5.0, 0.0), 60.0, 90)),
            Mark::Above(circle(Point2::new(40.0, 0.0), 60.0, 90)),
        ];
        let items = marks(&piece, &Pose::new(0.0, 0.0, 0.0), Unit::Mm).unwrap();
        let dashed: Vec<(&Vec<Point2>, bool)> = items
            .iter()
            .filter_map(|i| match i {
                Item::Path {
                    pen: Pen::Dashed,
                    points,
                    closed,
                } => Some((points, *closed)),
                _ => None,
            })
            .collect();
        assert!(dashed.len() >= 2);
        assert!(dashed[0].1 && dashed[0].0.len() == 90);
        for (points, closed) in &dashed[1..] {
            assert!(!closed);
            assert!(
                points.iter().all(|p| p.coords.norm() < 80.001),
                "{points:?}"
            );
        }
    }

    #[test]
    fn every_piece_has_words_and_its_hole_a_diameter() {
        let items = marks(&disc(), &Pose::new(0.0, 0.0, 0.0), Unit::Mm).unwrap();
        let words: Vec<&str> = items
            .iter()
            .filter_map(|i| match i {
                Item::Text { words, .. } => Some(words.as_str()),
                _ => None,
            })
            .collect();
        assert_eq!(words, ["L001", "dia. 8.3"]);
    }

    /// Boxes of all words among items that are not turned.
    fn written(items: &[Item]) -> Vec<(Point2, Point2)> {
        items
            .iter()
            .filter_map(|i| match i {
                Item::Text {
                    at, size, words, ..
                } => {
                    let middle = Point2::new(at.x, at.y + size / 2.0);
                    Some(around(middle, *size, words).unwrap())
                }
                _ => None,
            })
            .collect()
    }

    #[test]
    fn words_beside_a_dowel_stay_on_its_web() {
        // A ring whose web is 30 mm wide: there is room above and below the hole, not beside it.
        let dowel = Point2::new(0.0, 0.0);
        let opening = |x: f64| {
            let square = [
                (x - 30.0, -50.0),
                (x + 30.0, -50.0),
                (x + 30.0, 50.0),
                (x - 30.0, 50.0),
            ];
            let corners = square.map(|(x, y)| Point2::new(x, y)).to_vec();
            Hole::Opening(Outline::new(corners))
        };
        let mut piece = Piece {
            outline: circle(Point2::origin(), 120.0, 180),
            holes: vec![opening(-45.0), opening(45.0), Hole::round(dowel, 8.3)],
            ..disc()
        };
        let items = marks(&piece, &Pose::new(0.0, 0.0, 0.0), Unit::Mm).unwrap();
        let boxes = written(&items);
        assert_eq!(boxes.len(), 2);
        for (low, high) in &boxes {
            assert!(piece.holds(*low, *high), "{low} {high}");
        }
        // On a web too narrow for it the diameter is left out, and the name stands on the rim.
        piece.holes = vec![opening(-36.0), opening(36.0), Hole::round(dowel, 8.3)];
        let items = marks(&piece, &Pose::new(0.0, 0.0, 0.0), Unit::Mm).unwrap();
        let boxes = written(&items);
        assert_eq!(boxes.len(), 1);
        assert!(piece.holds(boxes[0].0, boxes[0].1));
    }
}
