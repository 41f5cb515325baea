//! Loose cards on pages, in no order.

use super::{APART, Leaf, Listed, bind, leaves, numbered};
use crate::drawing::Drawing;
use crate::error::Error;
use crate::layout::Board;
use crate::layout::page::advice::About;
use crate::layout::page::advice::Holds;
use crate::layout::page::cover::Cover;
use crate::layout::page::cover::Entry;
use crate::layout::page::frame::Frame;
use crate::stack::Piece;
use crate::workshop::Paper;
use crate::workshop::Stock;

/// True-size pages of loose cards: each piece with what it is called. The first says what they are for.
/// `name` stands at the foot of every page; `floor` says whether the cards are placed from the floor.
///
/// # Errors
/// [`Error::Layout`] when the paper is too small for the check bars.
pub fn cards(
    cards: &[(&Piece, &str)],
    paper: &Paper,
    name: &str,
    floor: bool,
) -> Result<Vec<Drawing>, Error> {
    let frame = Frame::new(paper)?;
    let listed: Vec<Listed<'_>> = cards
        .iter()
        .map(|(piece, what)| Listed {
            piece: std::borrow::Cow::Borrowed(*piece),
            what: (*what).to_owned(),
            // `hip, front: right, and turned over left` is the hip front in a list.
            brief: what.split(':').next().unwrap_or(what).replace(',', ""),
            layer: 0,
            drawn: None,
        })
        .collect();
    let leaves = leaves(&listed, &frame, paper)?;
    let names: Vec<String> = leaves
        .iter()
        .map(|leaf| match leaf {
            Leaf::Whole(lies) => {
                let mut on: Vec<usize> = lies.iter().map(|l| l.0).collect();
                on.sort_unstable();
                let mut words: Vec<&str> = on.iter().map(|k| listed[*k].brief.as_str()).collect();
                words.dedup();
                words.join(", ")
            }
            Leaf::Spread(k, _) => listed[*k].what.clone(),
        })
        .collect();
    let about = About {
        bars: paper.bars(),
        corrected: paper.printed.is_some(),
        holds: Holds::Cards { floor },
    };
    let cover = Cover::new(&frame, name, leaves.len(), about)?;
    let mut list: Vec<Entry> = Vec::with_capacity(leaves.len());
    let mut first = cover.count() + 1;
    for (leaf, what) in leaves.iter().zip(&names) {
        list.push((what.clone(), numbered(first, leaf.count())));
        first += leaf.count();
    }
    let total = first - 1;
    let subtitle = format!(
        "cards to hold against the person: {total} pages of {}",
        paper.name
    );
    let mut pages = cover.sheets(
        (&frame, paper.roll),
        &subtitle,
        &list,
        (name, "how to use the cards, list of pages", total),
    )?;
    bind(
        &leaves,
        &names,
        (&listed, None),
        &frame,
        paper.roll,
        (name, total),
        &mut pages,
    )?;
    Ok(pages)
}

/// Breadth and height of what a page of this paper shows, mm.
///
/// # Errors
/// [`Error::Layout`] when the paper is too small for the check bars.
pub fn window(paper: &Paper) -> Result<(f64, f64), Error> {
    Ok(Frame::new(paper)?.window())
}

/// The window of a page as a piece of stock.
pub(super) fn page_stock(frame: &Frame) -> Stock {
    let (width, length) = frame.window();
    Stock {
        width,
        length,
        roll: false,
        margin: 0.0,
        gap: APART,
        kerf: 0.0,
        turns: vec![0.0, 90.0, 180.0, 270.0],
        crossed: false,
        count: None,
        in_order: false,
        of: None,
        price: None,
    }
}

/// How pieces lie on a page, each under the number that `number` gives it.
pub(super) fn lies(
    board: &Board,
    pieces: &[&Piece],
    number: impl Fn(usize) -> usize,
) -> Vec<(usize, f64, f64, f64)> {
    board
        .placed
        .iter()
        .filter_map(|p| {
            let k = pieces.iter().position(|q| q.id == p.piece)?;
            Some((number(k), p.turn_deg, p.x, p.y))
        })
        .collect()
}
