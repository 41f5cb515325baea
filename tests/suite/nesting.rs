//! Nested boards, checked with clipper2, which shares no code with the search.

use clipper2_rust as clipper;
use layfigure::geom::{Outline, Point2};
use layfigure::layout::{Board, nest};
use layfigure::stack::Hole;
use layfigure::stack::Piece;
use layfigure::stack::PieceId;
use layfigure::workshop::Stock;
use proptest::prelude::*;

use crate::draws::drawn;

use crate::toy;

fn stock(width: f64, length: f64) -> Stock {
    Stock {
        width,
        length,
        roll: false,
        margin: 2.0,
        gap: 4.0,
        kerf: 0.0,
        turns: vec![0.0, 90.0, 180.0, 270.0],
        crossed: false,
        count: None,
        in_order: false,
        of: None,
        price: None,
    }
}

fn path(points: impl Iterator<Item = Point2>) -> clipper::PathD {
    points.map(|p| clipper::PointD { x: p.x, y: p.y }).collect()
}

/// Every piece once, inside the margins, in an allowed turn, and none nearer to another than gap
/// and kerf: with each grown by half of that, no two share any area.
fn check(boards: &[Board], pieces: &[&Piece], stock: &Stock) {
    let keep = stock.gap + stock.kerf;
    // The circles of the growing are polygons true to this, mm.
    let arc = 0.002;
    let mut seen: Vec<PieceId> = Vec::new();
    for board in boards {
        assert!(board.length <= stock.length + 1e-9);
        let mut grown: Vec<(PieceId, clipper::PathsD)> = Vec::new();
        let mut area = 0.0;
        for placed in &board.placed {
            assert!(
                stock
                    .turns
                    .iter()
                    .any(|t| (t - placed.turn_deg).abs() < 1e-12)
            );
            let piece = pieces.iter().find(|p| p.id == placed.piece).unwrap();
            seen.push(placed.piece);
            area += piece.area;
            // Written out here, not asked of the program: turn about the axis, then shift.
            let (sin, cos) = placed.turn_deg.to_radians().sin_cos();
            let lay = |p: &Point2| {
                Point2::new(
                    p.x * cos - p.y * sin + placed.x,
                    p.x * sin + p.y * cos + placed.y,
                )
            };
            for p in piece.outline.points.iter().map(lay) {
                let edge = stock.margin - 1e-6;
                assert!(
                    p.x >= edge
                        && p.y >= edge
                        && p.x <= board.width - edge
                        && p.y <= board.length - edge,
                    "{} leaves the board at {p}",
                    placed.piece
                );
            }
            let mut paths = vec![path(piece.outline.points.iter().map(lay))];
            paths.extend(
                piece
                    .holes
                    .iter()
                    .map(|h| path(h.ring().points.iter().rev().map(lay))),
            );
            grown.push((
                placed.piece,
                clipper::inflate_paths_d(
                    &paths,
                    keep / 2.0 - arc,
                    clipper::JoinType::Round,
                    clipper::EndType::Polygon,
                    2.0,
                    5,
                    arc / 2.0,
                ),
            ));
        }
        assert!((area - board.used_area).abs() < 1e-6 * area);
        for (k, (name, a)) in grown.iter().enumerate() {
            for (other, b) in &grown[..k] {
                let both = clipper::intersect_d(a, b, clipper::FillRule::NonZero, 5);
                let shared: f64 = both.iter().map(clipper::area).sum();
                assert!(
                    shared.abs() < 1e-4,
                    "{name} and {other} are too near: {shared} mm² shared"
                );
            }
        }
    }
    seen.sort_unstable();
    let mut asked: Vec<PieceId> = pieces.iter().map(|p| p.id).collect();
    asked.sort_unstable();
    assert_eq!(seen, asked);
}

#[test]
fn forty_layers_keep_their_distances_and_waste_little() {
    let pieces = toy::pieces(40);
    let all: Vec<&Piece> = pieces.iter().collect();
    let stock = stock(1000.0, 600.0);
    let boards = nest::nest(&all, std::slice::from_ref(&stock), 200).unwrap();
    check(&boards, &all, &stock);
    let bound = nest::area_bound(&all, &stock);
    assert!(boards.len() as f64 >= bound);
    let area: f64 = pieces.iter().map(|p| p.area).sum();
    let density = area / (boards.len() as f64 * 600_000.0);
    assert!(density > 0.62, "{} boards, {density}", boards.len());
}

#[test]
fn more_tries_never_give_more_boards() {
    let pieces = toy::pieces(30);
    let all: Vec<&Piece> = pieces.iter().collect();
    let stock = stock(900.0, 500.0);
    let few = nest::nest(&all, std::slice::from_ref(&stock), 0).unwrap();
    let many = nest::nest(&all, std::slice::from_ref(&stock), 400).unwrap();
    assert!(many.len() <= few.len());
    check(&many, &all, &stock);
}

#[test]
fn a_roll_is_used_to_little_more_than_its_area() {
    let pieces = toy::pieces(30);
    let all: Vec<&Piece> = pieces.iter().collect();
    let mut roll = stock(1000.0, 20_000.0);
    roll.roll = true;
    roll.kerf = 0.5;
    let boards = nest::nest(&all, std::slice::from_ref(&roll), 100).unwrap();
    assert_eq!(boards.len(), 1);
    check(&boards, &all, &roll);
    let bound = nest::area_bound(&all, &roll);
    assert!(boards[0].length >= bound);
    assert!(
        boards[0].length < 1.4 * bound,
        "{} {bound}",
        boards[0].length
    );
    // Cut off at 1.5 m, several lengths are needed.
    roll.length = 1500.0;
    let boards = nest::nest(&all, std::slice::from_ref(&roll), 20).unwrap();
    assert!(boards.len() > 1);
    check(&boards, &all, &roll);
}

#[test]
fn rectangles_that_fill_a_board_exactly_do() {
    // 3 by 2 rectangles of 100 x 80 with gaps of 4: known beforehand.
    let rectangle = |k: usize| {
        let points = [(0.0, 0.0), (100.0, 0.0), (100.0, 80.0), (0.0, 80.0)]
            .map(|(x, y)| Point2::new(x - 50.0, y - 40.0));
        Piece::blank(PieceId::layer(k + 1), Outline::new(points.to_vec()), vec![])
    };
    let pieces: Vec<Piece> = (0..6).map(rectangle).collect();
    let all: Vec<&Piece> = pieces.iter().collect();
    let stock = stock(2.0 * 2.0 + 308.0, 2.0 * 2.0 + 164.0);
    let boards = nest::nest(&all, std::slice::from_ref(&stock), 0).unwrap();
    assert_eq!(boards.len(), 1);
    check(&boards, &all, &stock);
}

#[test]
fn grain_that_locks_the_turn_is_kept() {
    let pieces = toy::pieces(10);
    let all: Vec<&Piece> = pieces.iter().collect();
    let mut one_way = stock(1000.0, 600.0);
    one_way.turns = vec![0.0];
    let boards = nest::nest(&all, std::slice::from_ref(&one_way), 40).unwrap();
    check(&boards, &all, &one_way);
}

#[test]
fn the_area_bound_counts_what_openings_hold() {
    // Squares in the openings of square frames, known beforehand: with a gap of 4 mm a frame of 200
    // with an opening of 150 takes 204² - 146², and a square of 120 takes 124².
    let square = |side: f64| {
        let h = side / 2.0;
        Outline::new(
            [(-h, -h), (h, -h), (h, h), (-h, h)]
                .map(|(x, y)| Point2::new(x, y))
                .to_vec(),
        )
    };
    let piece = |layer: usize, side: f64, holes: Vec<Outline>| {
        Piece::blank(PieceId::layer(layer), square(side), holes)
    };
    let mut pieces: Vec<Piece> = Vec::new();
    for k in 0..6 {
        pieces.push(piece(2 * k + 1, 200.0, vec![square(150.0)]));
        pieces.push(piece(2 * k + 2, 120.0, vec![]));
    }
    let all: Vec<&Piece> = pieces.iter().collect();
    let mut roll = stock(620.0, 5000.0);
    roll.roll = true;
    let bound = nest::area_bound(&all, &roll);
    let each =
        200.0 * 200.0 + 4.0 * 200.0 * 2.0 - 146.0 * 146.0 + 120.0 * 120.0 + 4.0 * 120.0 * 2.0;
    let width = roll.width - 2.0 * roll.margin + roll.gap;
    assert!((bound - 6.0 * each / width).abs() < 1e-6, "{bound}");
    let boards = nest::nest(&all, std::slice::from_ref(&roll), 40).unwrap();
    check(&boards, &all, &roll);
    assert!(boards[0].length >= bound);
    // Frames filled with solid squares are laid on less than their outlines alone would take.
    let filled: f64 = 6.0 * (204.0 * 204.0 + 124.0 * 124.0) / width;
    assert!(boards[0].length < filled, "{} {filled}", boards[0].length);
    // Openings that hold nothing are as good as solid.
    let frames: Vec<&Piece> = pieces.iter().step_by(2).collect();
    let solid = 6.0 * (200.0 * 200.0 + 4.0 * 200.0 * 2.0) / width;
    assert!((nest::area_bound(&frames, &roll) - solid).abs() < 1e-6);
}

#[test]
fn rings_hold_smaller_pieces() {
    let opening = toy::section(130.0, 80.0, 0.0);
    let outline = toy::section(170.0, 120.0, 0.0);
    let ring = Piece::blank(PieceId::layer(1), outline, vec![opening]);
    let neck = Piece::blank(PieceId::layer(2), toy::section(50.0, 50.0, 0.0), vec![]);
    let all = [&ring, &neck];
    // No room beside the ring: both lie on one board only when one lies in the other.
    let stock = stock(350.0, 250.0);
    let boards = nest::nest(&all, std::slice::from_ref(&stock), 0).unwrap();
    assert_eq!(boards.len(), 1);
    check(&boards, &all, &stock);
}

#[test]
fn a_piece_too_large_is_named_and_second_stock_is_used() {
    let pieces = toy::pieces(20);
    let all: Vec<&Piece> = pieces.iter().collect();
    let small = stock(300.0, 200.0);
    let error = nest::nest(&all, std::slice::from_ref(&small), 0)
        .unwrap_err()
        .to_string();
    assert!(error.contains("`L001`"), "{error}");
    assert!(error.contains("340 x 236 mm"), "{error}");
    let large = stock(1000.0, 600.0);
    let both = [small.clone(), large.clone()];
    let boards = nest::nest(&all, &both, 0).unwrap();
    let (on_small, on_large): (Vec<Board>, Vec<Board>) =
        boards.into_iter().partition(|b| b.stock == 0);
    assert!(!on_small.is_empty() && !on_large.is_empty());
    let names = |boards: &[Board]| -> Vec<PieceId> {
        boards
            .iter()
            .flat_map(|b| b.placed.iter().map(|p| p.piece))
            .collect()
    };
    for (boards, stock) in [(&on_small, &small), (&on_large, &large)] {
        let names = names(boards);
        let these: Vec<&Piece> = all
            .iter()
            .filter(|p| names.contains(&p.id))
            .copied()
            .collect();
        check(boards, &these, stock);
    }
    assert!(nest::nest(&all, &[], 0).is_err());
}

/// A blob round the origin from harmonics of its radius: convex when they are small, dented when
/// they are large.
fn blob(id: usize, size: f64, waves: &[(f64, f64)]) -> Piece {
    let n = 72;
    let points: Vec<Point2> = (0..n)
        .map(|k| {
            let t = f64::from(k) * std::f64::consts::TAU / f64::from(n);
            let r = waves.iter().enumerate().fold(1.0, |r, (h, (a, phase))| {
                r + a * ((h + 2) as f64 * t + phase).cos()
            });
            Point2::new(size * r * t.cos() + 37.0, size * r * t.sin() - 11.0)
        })
        .collect();
    let outline = Outline { points };
    Piece::blank(PieceId::layer(id), outline, vec![])
}

proptest! {
    #![proptest_config(drawn(24))]

    #[test]
    fn random_blobs_never_overlap(
        shapes in prop::collection::vec(
            (15.0..90.0_f64, prop::collection::vec((0.0..0.16_f64, 0.0..6.3_f64), 3)),
            3..14,
        ),
        gap in 0.0..8.0_f64,
        kerf in 0.0..1.0_f64,
        turn in 1.0..89.0_f64,
    ) {
        let pieces: Vec<Piece> = shapes
            .iter()
            .enumerate()
            .map(|(k, (size, waves))| blob(k, *size, waves))
            .collect();
        let all: Vec<&Piece> = pieces.iter().collect();
        let mut stock = stock(420.0, 330.0);
        stock.gap = gap;
        stock.kerf = kerf;
        stock.turns = vec![0.0, turn, 180.0];
        let boards = nest::nest(&all, std::slice::from_ref(&stock), 20).unwrap();
        check(&boards, &all, &stock);
    }
}

/// Long searches of a roll end by pressing the pieces together: that keeps the distances too, saves
/// some length, and comes out the same on one thread as on several.
#[test]
fn a_long_search_presses_a_roll_shorter() {
    let pieces = toy::pieces(14);
    let all: Vec<&Piece> = pieces.iter().collect();
    let mut roll = stock(700.0, 20_000.0);
    roll.roll = true;
    roll.kerf = 0.3;
    let lay = |tries| nest::nest(&all, std::slice::from_ref(&roll), tries).unwrap();
    let long = lay(4600);
    check(&long, &all, &roll);
    let short = lay(200);
    assert!(
        long[0].length < short[0].length,
        "{} {}",
        long[0].length,
        short[0].length
    );
    let single = rayon::ThreadPoolBuilder::new()
        .num_threads(1)
        .build()
        .unwrap();
    assert_eq!(single.install(|| lay(4600)), long);
}

/// The same with openings to lie in, with turns of any angle, and with no gap at all.
#[test]
fn pressed_pieces_lie_in_openings_and_askew() {
    let mut pieces: Vec<Piece> = (0..5)
        .map(|k| blob(k, 30.0 + 6.0 * k as f64, &[(0.1, k as f64), (0.05, 1.0)]))
        .collect();
    let mut ring = blob(5, 150.0, &[(0.05, 0.4)]);
    let hole = blob(6, 110.0, &[(0.05, 0.4)]).outline;
    ring.area -= hole.area();
    ring.holes.push(Hole::Opening(hole));
    pieces.push(ring);
    let all: Vec<&Piece> = pieces.iter().collect();
    for gap in [0.0, 5.0] {
        let mut roll = stock(360.0, 5000.0);
        roll.roll = true;
        roll.gap = gap;
        roll.turns = vec![0.0, 33.0, 180.0, 251.5];
        let boards = nest::nest(&all, std::slice::from_ref(&roll), 5000).unwrap();
        check(&boards, &all, &roll);
        // The blobs find room in the opening: no more of the roll is used than by the ring alone.
        let (_, ring) = all.split_at(5);
        let alone = nest::nest(ring, std::slice::from_ref(&roll), 40).unwrap();
        assert!(
            boards[0].length < alone[0].length + 60.0,
            "{} {}",
            boards[0].length,
            alone[0].length
        );
    }
}

/// Corrugated board is crossed as plies are: flutes of neighbouring layers at right angles.
#[test]
fn flutes_cross_in_every_other_layer() {
    let pieces = toy::pieces(12);
    let all: Vec<&Piece> = pieces.iter().collect();
    let stock = Stock {
        crossed: true,
        ..stock(1000.0, 600.0)
    };
    let boards = nest::nest(&all, &[stock], 40).unwrap();
    let mut seen = 0;
    for placed in boards.iter().flat_map(|b| &b.placed) {
        let layer = placed.piece.of_layer().unwrap();
        let quarter = (placed.turn_deg / 90.0).round() as usize % 2;
        assert_eq!(
            quarter,
            1 - layer % 2,
            "{} at {}",
            placed.piece,
            placed.turn_deg
        );
        seen += 1;
    }
    assert_eq!(seen, 12);
}

/// Off-cuts are used up first, fullest first, and no more of them than there are.
#[test]
fn off_cuts_are_used_before_whole_boards() {
    let pieces = toy::pieces(20);
    let all: Vec<&Piece> = pieces.iter().collect();
    let off_cut = Stock {
        count: Some(2),
        ..stock(400.0, 500.0)
    };
    let boards = nest::nest(&all, &[off_cut.clone(), stock(1000.0, 600.0)], 40).unwrap();
    let used: Vec<usize> = boards.iter().map(|b| b.stock).collect();
    assert_eq!(used.iter().filter(|s| **s == 0).count(), 2, "{used:?}");
    let laid: usize = boards.iter().map(|b| b.placed.len()).sum();
    assert_eq!(laid, 20);
    let plain = nest::nest(&all, &[stock(1000.0, 600.0)], 40).unwrap();
    assert!(boards.iter().filter(|b| b.stock == 1).count() <= plain.len());
    let error = nest::nest(&all, &[off_cut], 40).unwrap_err().to_string();
    assert!(
        error.contains("the stock runs out") && error.contains("`[[stock]]`"),
        "{error}"
    );
}

/// In order, each board holds a run of layers, and the next goes on where it ends.
#[test]
fn boards_in_the_order_of_the_layers() {
    let pieces = toy::pieces(20);
    let all: Vec<&Piece> = pieces.iter().collect();
    let stock = Stock {
        in_order: true,
        ..stock(1000.0, 600.0)
    };
    let boards = nest::nest(&all, std::slice::from_ref(&stock), 40).unwrap();
    let mut next = 1;
    for board in &boards {
        let mut layers: Vec<usize> = board
            .placed
            .iter()
            .map(|p| p.piece.of_layer().unwrap())
            .collect();
        layers.sort_unstable();
        for layer in layers {
            assert_eq!(layer, next);
            next += 1;
        }
    }
    assert_eq!(next, 21);
    let plain = Stock {
        in_order: false,
        ..stock
    };
    let fewest = nest::nest(&all, &[plain], 40).unwrap();
    assert!(boards.len() >= fewest.len() && boards.len() <= fewest.len() + 2);
}
