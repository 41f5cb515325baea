//! How tight and how fast pieces are laid: boards, metres of a roll and seconds for rising numbers
//! of tries, beside what area alone allows. `cargo bench --bench nesting` runs it, `-- 1000 30000`
//! with these numbers of tries, `-- 1000 roll` on the roll alone; nothing is checked here.
//!
//! The pieces are the 120 layers of one form (`data/layers-120.txt`). `side_by_side.py` runs a general
//! strip packer beside it. Laying each piece left and low takes 14 boards; their bounding boxes 14
//! boards and 7.42 m.

#![allow(
    clippy::disallowed_methods,
    reason = "what is only compared needs no portable last digit"
)]
#![allow(clippy::print_stdout, reason = "a bench prints what it measured")]

use std::time::Instant;

use layfigure::geom::{Outline, Point2};
use layfigure::layout::nest;
use layfigure::stack::Piece;
use layfigure::stack::PieceId;
use layfigure::workshop::Stock;

fn main() {
    let asked: Vec<usize> = std::env::args()
        .filter_map(|word| word.parse().ok())
        .collect();
    let tries = if asked.is_empty() {
        vec![0, nest::DEFAULT_TRIES, 4000, 20_000, 50_000]
    } else {
        asked
    };
    let pieces = layers();
    let all: Vec<&Piece> = pieces.iter().collect();
    let kinds: &[bool] = if std::env::args().any(|word| word == "roll") {
        &[true]
    } else {
        &[false, true]
    };
    for &roll in kinds {
        let stock = stock(roll);
        let bound = nest::area_bound(&all, &stock);
        for &tries in &tries {
            let start = Instant::now();
            let boards = nest::nest(&all, std::slice::from_ref(&stock), tries)
                .expect("every layer fits the stock");
            let seconds = start.elapsed().as_secs_f64();
            if roll {
                let used: f64 = boards.iter().map(|b| b.length).sum();
                println!(
                    "roll of 1 m     {tries:>7} tries  {:>7.3} m  (area alone {:.3} m)  {seconds:>7.2} s",
                    used / 1000.0,
                    bound / 1000.0
                );
            } else {
                let emptiest = boards
                    .iter()
                    .map(|b| b.used_area / b.width / b.length)
                    .fold(f64::INFINITY, f64::min);
                println!(
                    "1000 x 600 mm   {tries:>7} tries  {:>3} boards, the emptiest {emptiest:.3} full  (area alone {bound})  {seconds:>7.2} s",
                    boards.len()
                );
            }
        }
    }
}

fn stock(roll: bool) -> Stock {
    Stock {
        width: 1000.0,
        length: if roll { 20_000.0 } else { 600.0 },
        roll,
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

fn layers() -> Vec<Piece> {
    include_str!("data/layers-120.txt")
        .lines()
        .filter(|line| !line.starts_with('#'))
        .enumerate()
        .map(|(k, line)| {
            let number = |word: &str| word.parse::<f64>().expect("a number");
            let points = line
                .split_whitespace()
                .map(|pair| {
                    let (x, y) = pair.split_once(',').expect("a pair");
                    Point2::new(number(x), number(y))
                })
                .collect();
            let outline = Outline { points };
            Piece::blank(PieceId::layer(k + 1), outline, vec![])
        })
        .collect()
}
