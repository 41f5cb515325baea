//! A piece larger than any stock, or than the bed of the machine, in parts that hook into one
//! another.
//!
//! The seam runs straight through the piece, off the holes, with keys shaped like dovetails: they
//! hold the parts in line and together without clamps. In every other layer it runs on the other
//! side of the middle, so that no two seams lie on one another and every layer bridges the next.
//!
//! # Why is a piece parted only when it is laid?
//! The tape reads the stack as it will stand, seams or not. So parts are made where boards are
//! (`layout/split.rs`), and `form.json` lists them beside the boards; the outside check puts them
//! together again.
//!
//! # Why dovetails?
//! A straight seam slips along itself while the glue is wet. Keys hold it in both directions
//! without clamps, and a cutter makes them as easily as a straight line. In the wall of a ring they
//! are as much smaller as the wall is narrower.

use crate::error::Error;
use crate::face;
use crate::geom::Outline;
use crate::geom::Point2;
use crate::geom::Vector2;
use crate::geom::offset::Region;
use crate::geom::offset::intersection;
use crate::layout::convex;
use crate::layout::facts::LayoutFact;
use crate::layout::nest;
use crate::stack::Hole;
use crate::stack::Inscription;
use crate::stack::Mark;
use crate::stack::Piece;
use crate::stack::Stack;
use crate::workshop::Stock;
use crate::workshop::Workshop;

/// Distances of a seam from the middle that are tried, mm: the least staggers neighbours by twice as
/// much, which is more than a key is deep on either side.
const FROM_MIDDLE: (f64, f64) = (25.0, 160.0);
/// From one to the next, mm.
const STEP: f64 = 5.0;
/// Least distance of a seam from a hole, with the key between them, mm.
const OFF_HOLE: f64 = 8.0;
/// Half the width of a key at its neck and at its head, and how deep it goes, mm (common practice of
/// joiners, no source: slopes between 1 in 3 and 1 in 2 in soft board).
const KEY: (f64, f64, f64) = (9.0, 14.0, 12.0);
/// A wall narrower than four heads of a key has a smaller key, down to this share of it: what holds
/// in the least wall of a ring that boards can have (our choice).
const LEAST_KEY: f64 = 0.35;
/// Stocks so many times larger, in steps, are tried to say what would do.
const LARGER: (f64, i32) = (0.05, 60);
/// A seam longer than this has two keys, mm.
const TWO_KEYS: f64 = 120.0;
/// A part may have to be parted again, so many times over.
const DEEPEST: usize = 3;
/// Parts smaller than this are crumbs of the seam, mm².
const CRUMB: f64 = 1.0;
/// Height of the words on a part, mm.
const LETTER: f64 = 4.0;

/// What is cut out of stock: a whole piece, or a part of one that is larger than its stock.
#[derive(Clone, Debug, PartialEq)]
pub struct CutOut {
    /// Number of its material in the workshop.
    pub material: usize,
    /// The piece or part.
    pub piece: Piece,
}

/// All that is still to be cut, pieces that are larger than the stock of their material in parts.
///
/// # Errors
/// [`Error::Layout`] when a piece cannot be parted.
pub fn cut_outs(stack: &Stack, workshop: &Workshop) -> Result<Vec<CutOut>, Error> {
    let mut out = Vec::new();
    for (material, piece) in stack.to_cut() {
        let numbers = workshop.stock_for(material);
        let stocks: Vec<Stock> = numbers.iter().map(|i| workshop.stock[*i].clone()).collect();
        let mut parts = parts(piece, &stocks)?;
        if parts.is_empty() {
            parts.push(piece.clone());
        }
        let parts = parts.into_iter();
        out.extend(parts.map(|piece| CutOut { material, piece }));
    }
    Ok(out)
}

/// The parts of a piece; none when it fits on one of the stocks whole.
///
/// # Errors
/// [`Error::Layout`] when no seam leaves parts that fit.
pub fn parts(piece: &Piece, stocks: &[Stock]) -> Result<Vec<Piece>, Error> {
    if stocks.is_empty() || fits(piece, stocks) {
        return Ok(Vec::new());
    }
    let found = parted(piece, stocks, DEEPEST).ok_or_else(|| {
        let (low, high) = piece
            .outline
            .bounds()
            .unwrap_or((Point2::origin(), Point2::origin()));
        Error::layout(LayoutFact::NoSeam {
            piece: piece.id.to_string(),
            size: [high.x - low.x, high.y - low.y],
            would_do: larger(piece, stocks).map(Into::into),
        })
    })?;
    let count = found.len();
    found
        .into_iter()
        .enumerate()
        .map(|(k, part)| labelled(part, piece, k + 1, count))
        .collect()
}

/// The size of a stock, as little larger as halving the steps finds, on which the piece fits whole or
/// in two parts.
fn larger(piece: &Piece, stocks: &[Stock]) -> Option<(f64, f64)> {
    let stock = stocks.first()?;
    let grown = |k: i32| {
        let by = 1.0 + LARGER.0 * f64::from(k);
        let up = |mm: f64| (mm * by / 10.0).ceil() * 10.0;
        Stock {
            width: up(stock.width),
            length: if stock.roll {
                stock.length
            } else {
                up(stock.length)
            },
            ..stock.clone()
        }
    };
    let holds = |k: i32| parted(piece, &[grown(k)], 1).is_some();
    let (mut less, mut enough) = (0, LARGER.1);
    if !holds(enough) {
        return None;
    }
    while enough - less > 1 {
        let between = i32::midpoint(less, enough);
        if holds(between) {
            enough = between;
        } else {
            less = between;
        }
    }
    Some((grown(enough).width, grown(enough).length))
}

fn fits(piece: &Piece, stocks: &[Stock]) -> bool {
    stocks.iter().any(|s| nest::fits(piece, s))
}

/// Parts that fit, unnamed and unmarked: the first seam that leaves such.
fn parted(piece: &Piece, stocks: &[Stock], deepest: usize) -> Option<Vec<Piece>> {
    if fits(piece, stocks) {
        return Some(vec![piece.clone()]);
    }
    if deepest == 0 {
        return None;
    }
    let (low, high) = piece.outline.bounds()?;
    let side = if piece.id.is_odd() { 1.0 } else { -1.0 };
    // Across the longer side first.
    let upright = high.x - low.x >= high.y - low.y;
    for upright in [upright, !upright] {
        let middle = if upright {
            (low.x + high.x) / 2.0
        } else {
            (low.y + high.y) / 2.0
        };
        let mut away = FROM_MIDDLE.0;
        while away <= FROM_MIDDLE.1 {
            if let Some(halves) = seam(piece, upright, middle + side * away) {
                let done: Option<Vec<Vec<Piece>>> = halves
                    .iter()
                    .map(|half| parted(half, stocks, deepest - 1))
                    .collect();
                if let Some(done) = done {
                    return Some(done.concat());
                }
            }
            away += STEP;
        }
    }
    None
}

/// Two sides of a seam at `at`; nothing when it comes too near to a hole or leaves nothing on one
/// side.
fn seam(piece: &Piece, upright: bool, at: f64) -> Option<[Piece; 2]> {
    let along = |p: Point2| if upright { p.y } else { p.x };
    let across = |p: Point2| if upright { p.x } else { p.y };
    let point = |across: f64, along: f64| {
        if upright {
            Point2::new(across, along)
        } else {
            Point2::new(along, across)
        }
    };
    let near = piece.rounds().any(|(c, d)| {
        let away = across(c) - at;
        let reach = d / 2.0 + OFF_HOLE;
        away > -reach && away < reach + KEY.2
    });
    if near {
        return None;
    }
    // Where the seam crosses the outline, and where openings leave wall to cut through.
    let rings = piece.rings();
    let mut crossings: Vec<f64> = rings
        .iter()
        .flat_map(|ring| ring.sides())
        .filter(|&(p, q)| (across(p) > at) != (across(q) > at))
        .map(|(p, q)| {
            let t = (at - across(p)) / (across(q) - across(p));
            along(p) + t * (along(q) - along(p))
        })
        .collect();
    crossings.sort_by(f64::total_cmp);
    // Where each key stands, and its size as a share of a whole one.
    let mut keys: Vec<(f64, f64)> = Vec::new();
    for wall in crossings.chunks_exact(2) {
        let (from, to) = (wall[0], wall[1]);
        let share = ((to - from) / (4.0 * KEY.1)).min(1.0);
        if to - from >= TWO_KEYS {
            keys.extend([0.25, 0.75].map(|along| (from + (to - from) * along, 1.0)));
        } else if share >= LEAST_KEY {
            keys.push((f64::midpoint(from, to), share));
        }
    }
    if keys.is_empty() {
        // Nothing would hold the parts in line.
        return None;
    }
    let (low, high) = piece.outline.bounds()?;
    let far = (high - low).norm() + 1.0;
    let mut line = vec![point(at, along(low) - far)];
    for (key, share) in keys {
        let (neck, head, deep) = (KEY.0 * share, KEY.1 * share, KEY.2 * share);
        line.extend([
            point(at, key - neck),
            point(at + deep, key - head),
            point(at + deep, key + head),
            point(at, key + neck),
        ]);
    }
    line.push(point(at, along(high) + far));
    let whole = [Region {
        outer: piece.outline.clone(),
        holes: piece.openings().cloned().collect(),
    }];
    let sides = [-far, far].map(|beyond| {
        let mut ring = line.clone();
        ring.push(point(at + 2.0 * beyond, along(high) + far));
        ring.push(point(at + 2.0 * beyond, along(low) - far));
        let mut cut = intersection(
            &whole,
            &[Region::solid(Outline { points: ring }.counter_clockwise())],
        );
        cut.retain(|r| r.area() > CRUMB);
        cut
    });
    // One piece each: what falls apart would be lost.
    let ([a], [b]) = (sides[0].as_slice(), sides[1].as_slice()) else {
        return None;
    };
    Some([a, b].map(|region| {
        let mut part = Piece::blank(piece.id, region.outer.clone(), region.holes.clone());
        for hole in &piece.holes {
            if let Hole::Round { at, .. } = hole
                && convex::inside(&region.outer.points, *at)
            {
                part.area -= hole.ring().area();
                part.holes.push(hole.clone());
            }
        }
        part
    }))
}

/// A part with its name, and with those marks of the piece that lie on it.
fn labelled(mut part: Piece, piece: &Piece, k: usize, count: usize) -> Result<Piece, Error> {
    part.id.part = Some(k);
    let outline = part.outline.points.clone();
    let on = |p: Point2| convex::inside(&outline, p);
    let mut free = part.free_room();
    let mut words: Vec<Inscription> = Vec::new();
    for mark in &piece.marks {
        match mark {
            Mark::Line(points) if points.len() == 2 => {
                let (a, b) = (points[0], points[1]);
                // Marks begin on the edge: half a millimetre in they are on one part or the other.
                let inner = a + (b - a) * 0.1;
                if on(inner) && on(b - (b - a) * 0.1) {
                    free.take_line(points);
                    part.marks.push(mark.clone());
                }
            }
            Mark::Arrow(a, b) if on(*a) && on(*b) => {
                free.take_line(&[*a, *b]);
                part.marks.push(mark.clone());
            }
            Mark::Above(_) => part.marks.push(mark.clone()),
            Mark::Text(said) if on(said.at) => words.push(said.clone()),
            _ => {}
        }
    }
    let centre = part.outline.centroid();
    let said = format!("{} part {k} of {count}", piece.id);
    words.insert(0, Inscription::new(centre, LETTER, said));
    for said in words {
        let size = said.size;
        let room = Vector2::new(face::text_width(&said.text, size)? + 2.0 * size, size * 1.8);
        if let Some(at) = free.place(room, said.at) {
            part.marks.push(Mark::Text(Inscription { at, ..said }));
        }
    }
    Ok(part)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::stack::PieceId;

    fn disc(layer: usize) -> Piece {
        let outline = Outline::circle(Point2::new(0.0, 10.0), 170.0, 0.05);
        let hole = |x: f64| Hole::round(Point2::new(x, 0.0), 8.0);
        let words = Inscription::new(Point2::new(0.0, 60.0), 9.0, "3 of 9");
        Piece {
            area: outline.area() - hole(0.0).ring().area() - hole(60.0).ring().area(),
            holes: vec![hole(0.0), hole(60.0)],
            marks: vec![Mark::Text(words)],
            ..Piece::blank(PieceId::layer(layer), outline, vec![])
        }
    }

    fn stock(width: f64, length: f64) -> Vec<Stock> {
        vec![Stock {
            width,
            length,
            ..Workshop::default().stock.remove(0)
        }]
    }

    #[test]
    fn parts_make_the_whole_and_hook_into_one_another() {
        let piece = disc(3);
        assert!(parts(&piece, &stock(600.0, 400.0)).unwrap().is_empty());
        let stocks = stock(400.0, 300.0);
        let found = parts(&piece, &stocks).unwrap();
        assert_eq!(found.len(), 2);
        let area: f64 = found.iter().map(|p| p.area).sum();
        assert!((area - piece.area).abs() < 0.01, "{area} {}", piece.area);
        let rounds: usize = found.iter().map(|p| p.rounds().count()).sum();
        assert_eq!(rounds, 2);
        for (k, part) in found.iter().enumerate() {
            assert!(fits(part, &stocks));
            assert_eq!(part.id.to_string(), format!("L003-{}", k + 1));
            assert_eq!(part.id.whole(), piece.id);
            let said = |m: &Mark| matches!(m, Mark::Text(w) if w.text.contains("part"));
            assert!(part.marks.iter().any(said));
        }
        // Drawn apart along x or y by 5 mm they would run into one another: the keys hold.
        let region = |p: &Piece, by: Vector2| Region {
            outer: Outline {
                points: p.outline.points.iter().map(|q| q + by).collect(),
            },
            holes: p.region().holes,
        };
        for by in [
            Vector2::new(5.0, 0.0),
            Vector2::new(-5.0, 0.0),
            Vector2::new(0.0, 5.0),
        ] {
            let meets = intersection(
                &[region(&found[0], Vector2::zeros())],
                &[region(&found[1], by)],
            );
            let overlap: f64 = meets.iter().map(Region::area).sum();
            assert!(overlap > 10.0, "{by} is free: {overlap}");
        }
    }

    #[test]
    fn seams_of_neighbours_are_staggered() {
        let stocks = stock(400.0, 300.0);
        let seam_of = |layer: usize| {
            let found = parts(&disc(layer), &stocks).unwrap();
            let (_, high) = found[0].outline.bounds().unwrap();
            high.x - KEY.2
        };
        assert!((seam_of(3) - seam_of(4)).abs() >= 2.0 * FROM_MIDDLE.0);
    }

    #[test]
    fn a_ring_is_parted_with_keys_as_wide_as_its_wall_allows() {
        // A ring 30 mm wide, 340 mm across, on stock of 300 x 400 mm.
        let outline = Outline::circle(Point2::origin(), 170.0, 0.05);
        let inner = Outline::circle(Point2::origin(), 140.0, 0.05);
        let ring = Piece {
            marks: disc(4).marks,
            ..Piece::blank(PieceId::layer(4), outline, vec![inner])
        };
        let small = stock(300.0, 300.0);
        assert!(
            parts(&ring, &small)
                .unwrap()
                .iter()
                .all(|p| fits(p, &small))
        );
        let stocks = stock(300.0, 400.0);
        let found = parts(&ring, &stocks).unwrap();
        assert!(found.len() == 2 && found.iter().all(|p| fits(p, &stocks)));
        let area: f64 = found.iter().map(|p| p.area).sum();
        assert!((area - ring.area).abs() < 0.01);
        // Keys: drawn apart across the seam the parts run into one another.
        let region = |p: &Piece, by: Vector2| Region {
            outer: Outline {
                points: p.outline.points.iter().map(|q| q + by).collect(),
            },
            holes: vec![],
        };
        for by in [Vector2::new(3.0, 0.0), Vector2::new(-3.0, 0.0)] {
            let meets = intersection(
                &[region(&found[0], Vector2::zeros())],
                &[region(&found[1], by)],
            );
            assert!(meets.iter().map(Region::area).sum::<f64>() > 5.0, "{by}");
        }
    }

    #[test]
    fn what_cannot_be_parted_is_said() {
        let error = parts(&disc(3), &stock(90.0, 60.0)).unwrap_err().to_string();
        assert!(error.contains("`L003` is 340 x 340 mm"), "{error}");
        // What it says would do does.
        let said = error.split("stock of ").nth(1).unwrap();
        let size: Vec<f64> = said
            .split(|c: char| !c.is_ascii_digit())
            .filter_map(|n| n.parse().ok())
            .collect();
        assert!(parts(&disc(3), &stock(size[0], size[1])).is_ok(), "{error}");
    }
}
