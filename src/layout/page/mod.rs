//! True-size pages for the person's printer.
//!
//! Layers share templates, drawn over one another or by half on the fold, as the paper of the
//! workshop asks. A template stays whole on one page where it can, turned when that helps, and as
//! many as go together share a page; the others are spread over the fewest pages, which overlap and
//! carry lettered join marks. Pages follow the layers from the lowest up. Every page has check bars
//! on both axes, in millimetres and inches; the first explains them and lists what is where.

mod advice;
mod card;
mod contents;
mod count;
mod cover;
mod frame;
mod plate;
mod shared;
mod template;
mod tile;

use std::collections::BTreeMap;

use rayon::prelude::*;

use crate::drawing::Drawing;
use crate::drawing::Group;
use crate::error::Error;
use crate::geom::Point2;
use crate::layout::Pose;
use crate::layout::bounds;
use crate::layout::facts::LayoutFact;
use crate::layout::ink;
use crate::layout::nest;
use crate::layout::page::advice::About;
use crate::layout::page::advice::Holds;
use crate::layout::page::card::lies;
use crate::layout::page::card::page_stock;
use crate::layout::page::contents::called;
use crate::layout::page::cover::Cover;
use crate::layout::page::frame::Foot;
use crate::layout::page::frame::Frame;
use crate::layout::page::plate::Plate;
use crate::layout::page::plate::plate;
use crate::layout::page::template::Template;
use crate::layout::page::tile::Spread;
use crate::stack::Piece;
use crate::stack::Stack;
use crate::workshop::Paper;
use crate::workshop::Stock;
use crate::workshop::Workshop;

pub use card::cards;
pub use card::window;

pub use count::Count;
pub use count::counts;

/// Distance between two pieces on one page, mm (common practice, no source: room for scissors).
const APART: f64 = 5.0;

/// Repackings tried for the templates that share pages: they are few.
const TRIES: usize = 200;

/// A piece with what it is called.
struct Listed<'a> {
    piece: std::borrow::Cow<'a, Piece>,
    /// On its page: `layer 12 of 120 (waist)`.
    what: String,
    /// In the list: `layer 12 (waist)`.
    brief: String,
    /// Index of its layer; 0 for a plate.
    layer: usize,
    /// How it is drawn where it is not drawn as a piece.
    drawn: Option<Template>,
}

/// What one page, or one run of pages, holds.
enum Leaf {
    /// Whole pieces, each with its turn and the shift from the corner of the window.
    Whole(Vec<(usize, f64, f64, f64)>),
    /// One piece over several pages.
    Spread(usize, Spread),
}

impl Leaf {
    /// The layers on it.
    fn layers(&self, listed: &[Listed<'_>]) -> Vec<usize> {
        let on: Vec<usize> = match self {
            Self::Whole(lies) => lies.iter().map(|l| l.0).collect(),
            Self::Spread(k, _) => vec![*k],
        };
        on.into_iter()
            .flat_map(|k| match &listed[k].drawn {
                Some(template) => template.layers.clone(),
                None => vec![listed[k].layer],
            })
            .collect()
    }

    /// How many pages it takes.
    fn count(&self) -> usize {
        match self {
            Self::Whole(_) => 1,
            Self::Spread(_, spread) => spread.cells.len(),
        }
    }
}

/// True-size pages of every piece, the base board and the cap plate, for the paper of the workshop.
/// `name` is that of the form.
///
/// # Errors
/// [`Error::Layout`] when the paper is too small for the check bars.
pub fn pages(stack: &Stack, workshop: &Workshop, name: &str) -> Result<Vec<Drawing>, Error> {
    let paper = &workshop.paper;
    let frame = Frame::new(paper)?;
    let mut listed = shared::templates(listed(stack, workshop)?, stack, paper, &frame, name)?;
    let leaves = leaves(&listed, &frame, paper)?;
    let entries = leaves.len();
    let cover = Cover::new(&frame, name, entries, about(paper, &listed))?;
    let front = cover.count();
    let sizes: Vec<usize> = leaves.iter().map(Leaf::count).collect();
    let total = front + sizes.iter().sum::<usize>();
    let mut list: Vec<cover::Entry> = Vec::with_capacity(entries);
    let mut names: Vec<String> = Vec::with_capacity(entries);
    let mut page_of: BTreeMap<usize, usize> = BTreeMap::new();
    let mut first = front + 1;
    for (leaf, size) in leaves.iter().zip(&sizes) {
        let pages = numbered(first, *size);
        for layer in leaf.layers(&listed) {
            page_of.entry(layer).or_insert(first);
        }
        let (what, brief) = called(leaf, &listed);
        names.push(what);
        list.push((brief, pages));
        first += size;
    }
    for template in listed.iter_mut().filter_map(|l| l.drawn.as_mut()) {
        template.name_pages(&page_of);
    }
    let subtitle = format!("true-size templates: {total} pages of {}", paper.name);
    let mut pages = cover.sheets(
        (&frame, paper.roll),
        &subtitle,
        &list,
        (name, "how to print, list of pages", total),
    )?;
    bind(
        &leaves,
        &names,
        (&listed, Some(stack)),
        &frame,
        paper.roll,
        (name, total),
        &mut pages,
    )?;
    Ok(pages)
}

/// `p. 4`, or `p. 4-6`.
fn numbered(first: usize, size: usize) -> String {
    if size == 1 {
        format!("p. {first}")
    } else {
        format!("p. {first}-{}", first + size - 1)
    }
}

/// Adds the pages of all leaves of a stack, under the name of the form, `total` of them with those that are
/// there already.
fn bind(
    leaves: &[Leaf],
    names: &[String],
    (listed, stack): (&[Listed<'_>], Option<&Stack>),
    frame: &Frame,
    roll: bool,
    (name, total): (&str, usize),
    pages: &mut Vec<Drawing>,
) -> Result<(), Error> {
    for (leaf, what) in leaves.iter().zip(names) {
        let mut foot = Foot {
            name,
            what: what.clone(),
            place: String::new(),
            number: (pages.len() + 1, total),
        };
        match leaf {
            Leaf::Whole(lies) => pages.push(whole(lies, (listed, stack), frame, roll, &foot)?),
            Leaf::Spread(k, spread) => {
                pages.extend(spread_pages(
                    (&listed[*k], stack),
                    spread,
                    frame,
                    &mut foot,
                )?);
            }
        }
    }
    Ok(())
}

/// What the first page has to explain.
fn about(paper: &Paper, listed: &[Listed<'_>]) -> About {
    let drawn = || listed.iter().filter_map(|l| l.drawn.as_ref());
    About {
        bars: paper.bars(),
        corrected: paper.printed.is_some(),
        holds: Holds::Layers {
            shared: drawn().any(|t| t.lines > 1),
            halves: drawn().any(|t| t.half),
        },
    }
}

/// All pieces from the base board up.
fn listed<'a>(stack: &'a Stack, workshop: &Workshop) -> Result<Vec<Listed<'a>>, Error> {
    let mut listed = Vec::new();
    // Where a pile is there already the plates are there too.
    let anew = stack.piled().is_empty();
    let plate = |which: Plate| -> Result<Option<Listed<'a>>, Error> {
        if anew {
            plate(which, stack, workshop)
        } else {
            Ok(None)
        }
    };
    listed.extend(plate(Plate::Base)?);
    let count = stack.layers.len();
    for layer in stack.layers_to_cut() {
        for (k, piece) in layer.pieces.iter().enumerate() {
            let which = if layer.pieces.len() > 1 {
                format!(" piece {}", k + 1)
            } else {
                String::new()
            };
            let levels: Vec<&str> = layer.levels.iter().map(|l| l.name()).collect();
            let levels = if levels.is_empty() {
                String::new()
            } else {
                format!(" ({})", levels.join(", "))
            };
            listed.push(Listed {
                piece: std::borrow::Cow::Borrowed(piece),
                what: format!("layer {} of {count}{which}{levels}", layer.index),
                brief: format!("layer {}{which}{levels}", layer.index),
                layer: layer.index,
                drawn: None,
            });
        }
    }
    for wedge in &stack.wedges {
        let what = format!("wedge on layer {}", wedge.on);
        listed.push(Listed {
            piece: std::borrow::Cow::Borrowed(&wedge.piece),
            what: what.clone(),
            brief: what,
            layer: 0,
            drawn: None,
        });
    }
    listed.extend(plate(Plate::Cap)?);
    Ok(listed)
}

/// Spreads the templates over pages. Those that fit a page are laid on the fewest, together; pages
/// go by the lowest layer on them.
fn leaves(listed: &[Listed<'_>], frame: &Frame, paper: &Paper) -> Result<Vec<Leaf>, Error> {
    let (small, large): (Vec<usize>, Vec<usize>) =
        (0..listed.len()).partition(|&k| quarter(&listed[k].piece, frame));
    let mut leaves: Vec<(usize, Leaf)> = large
        .into_par_iter()
        .map(|k| {
            let piece = &listed[k].piece;
            if let Some((turn, x, y)) = askew(piece, frame) {
                return Ok((k, Leaf::Whole(vec![(k, turn, x, y)])));
            }
            let words = ink::word_boxes(piece)?;
            let spread = Spread::new(piece, &words, frame, paper.overlap);
            if spread.cuts_a_hole(piece) {
                return Err(Error::layout(LayoutFact::JoinThroughHole {
                    what: listed[k].what.to_string(),
                    paper: paper.name.clone(),
                }));
            }
            Ok((k, Leaf::Spread(k, spread)))
        })
        .collect::<Result<_, Error>>()?;
    if !small.is_empty() {
        let stock = Stock {
            roll: paper.roll,
            ..page_stock(frame)
        };
        let pieces: Vec<&Piece> = small.iter().map(|&k| listed[k].piece.as_ref()).collect();
        for board in nest::nest(&pieces, &[stock], TRIES)? {
            let lies = lies(&board, &pieces, |k| small[k]);
            let first = lies.iter().map(|l| l.0).min().unwrap_or_default();
            // One alone stands in the middle.
            let lies = match lies.as_slice() {
                [(k, turn, ..)] if !paper.roll => lie(&listed[*k].piece, *turn, frame)
                    .map_or(lies.clone(), |(t, x, y)| vec![(*k, t, x, y)]),
                _ => lies,
            };
            leaves.push((first, Leaf::Whole(lies)));
        }
    }
    leaves.sort_by_key(|(first, _)| *first);
    Ok(leaves.into_iter().map(|(_, leaf)| leaf).collect())
}

/// Whether a piece fits the window as it stands or turned by a right angle.
fn quarter(piece: &Piece, frame: &Frame) -> bool {
    [0.0, 90.0].iter().any(|&t| lie(piece, t, frame).is_some())
}

/// Turn and shift that put a piece in the middle of the window; nothing when it does not fit.
fn lie(piece: &Piece, turn: f64, frame: &Frame) -> Option<(f64, f64, f64)> {
    let pose = Pose::new(turn, 0.0, 0.0);
    let points: Vec<Point2> = piece
        .outline
        .points
        .iter()
        .map(|&p| pose.apply(p))
        .collect();
    let (low, high) = bounds(&points)?;
    let (w, h) = frame.window();
    let (dx, dy) = (w - (high.x - low.x), h - (high.y - low.y));
    (dx >= 0.0 && dy >= 0.0).then_some((turn, dx / 2.0 - low.x, dy / 2.0 - low.y))
}

/// The first turn, in steps, at which a piece fits one page.
fn askew(piece: &Piece, frame: &Frame) -> Option<(f64, f64, f64)> {
    (0..180)
        .map(|k| f64::from(k) * tile::TURN_STEP)
        .take_while(|&t| t < 180.0)
        .find_map(|t| lie(piece, t, frame))
}

/// A page of whole pieces.
fn whole(
    lies: &[(usize, f64, f64, f64)],
    (listed, stack): (&[Listed<'_>], Option<&Stack>),
    frame: &Frame,
    roll: bool,
    foot: &Foot<'_>,
) -> Result<Drawing, Error> {
    let mut top = 0.0_f64;
    let mut lowest = f64::INFINITY;
    for &(k, turn, x, y) in lies {
        let pose = Pose::new(turn, x, y);
        for &p in &listed[k].piece.outline.points {
            let y = pose.apply(p).y;
            top = top.max(y);
            lowest = lowest.min(y);
        }
    }
    // Off a roll a page is as long as it need be.
    let (frame, sink) = if roll && lowest.is_finite() {
        (frame.shortened(top - lowest), lowest)
    } else {
        (*frame, 0.0)
    };
    let mut groups = Vec::with_capacity(lies.len() + 1);
    for &(k, turn, x, y) in lies {
        let pose = Pose::new(turn, x + frame.low.x, y - sink + frame.low.y);
        groups.push(piece_group(&listed[k], &pose, None, stack)?);
    }
    groups.push(Group {
        id: "page".into(),
        items: frame.furniture(foot)?,
        clip: None,
    });
    Ok(Drawing {
        width: frame.width,
        height: frame.height,
        title: foot.what.clone(),
        groups,
    })
}

/// The pages of one piece.
fn spread_pages(
    (listed, stack): (&Listed<'_>, Option<&Stack>),
    spread: &Spread,
    frame: &Frame,
    foot: &mut Foot<'_>,
) -> Result<Vec<Drawing>, Error> {
    let piece = listed.piece.as_ref();
    let joins = spread.joins(piece, &ink::word_boxes(piece)?);
    let start = foot.number.0;
    let page_of = |cell: (usize, usize)| {
        start
            + spread
                .cells
                .iter()
                .position(|&c| c == cell)
                .unwrap_or_default()
    };
    let mut pages = Vec::with_capacity(spread.cells.len());
    for &cell in &spread.cells {
        let pose = spread.pose(cell, frame);
        foot.number.0 = page_of(cell);
        foot.place = format!(
            "row {} of {}, column {} of {}",
            spread.rows - cell.1,
            spread.rows,
            cell.0 + 1,
            spread.columns
        );
        let mut items = frame.furniture(foot)?;
        items.extend(tile::map(spread, piece, cell, frame.map()));
        let mut drawn = piece_group(listed, &pose, Some((frame.low, frame.high)), stack)?;
        // Words that the edge of the page would cut stand on the next one whole.
        let mut whole = Vec::with_capacity(drawn.items.len());
        for item in drawn.items {
            let words = ink::text_box(&item)?;
            if !words.is_some_and(|each| spread.is_whole_elsewhere(each, cell, frame)) {
                whole.push(item);
            }
        }
        drawn.items = whole;
        let groups = vec![
            drawn,
            Group {
                id: "joins".into(),
                items: spread.join_items(&joins, cell, frame, page_of),
                clip: Some((frame.low, frame.high)),
            },
            Group {
                id: "page".into(),
                items,
                clip: None,
            },
        ];
        pages.push(Drawing {
            width: frame.width,
            height: frame.height,
            title: foot.what.clone(),
            groups,
        });
    }
    Ok(pages)
}

/// A piece on a page. A template is cut along the line by hand, so no kerf is added.
fn piece_group(
    listed: &Listed<'_>,
    pose: &Pose,
    clip: Option<(Point2, Point2)>,
    stack: Option<&Stack>,
) -> Result<Group, Error> {
    let piece = listed.piece.as_ref();
    let items = match &listed.drawn {
        Some(template) => template
            .items
            .iter()
            .map(|item| item.moved(|p| pose.apply(p), pose.turn()))
            .collect(),
        None => {
            let mut items = ink::cuts(piece, pose, 0.0)?;
            items.extend(ink::marks(piece, pose, stack)?);
            items
        }
    };
    Ok(Group {
        id: piece.id.clone(),
        items,
        clip,
    })
}
