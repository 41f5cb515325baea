//! True-size pages for the person's printer.
//!
//! A piece stays whole on one page where it can, turned when that helps, and small pieces share a
//! page; the others are spread over the fewest pages, which overlap and carry lettered join marks.
//! Pages follow the layers from the lowest up. Every page has check bars of 100 mm and 4 in on both
//! axes; the first explains them and lists what is where.

mod card;
mod cover;
mod frame;
mod tile;

use crate::drawing::Drawing;
use crate::drawing::Group;
use crate::error::Error;
use crate::geom::Outline;
use crate::geom::Point2;
use crate::layout::Pose;
use crate::layout::bounds;
use crate::layout::ink;
use crate::layout::nest;
use crate::layout::page::card::lies;
use crate::layout::page::card::page_stock;
use crate::layout::page::cover::Cover;
use crate::layout::page::frame::Foot;
use crate::layout::page::frame::Frame;
use crate::layout::page::tile::Spread;
use crate::stack::Mark;
use crate::stack::Piece;
use crate::stack::Stack;
use crate::workshop::Workshop;

pub use card::cards;
pub use card::window;

/// Distance between two pieces on one page, mm (common practice, no source: room for scissors).
const APART: f64 = 5.0;

/// Share of a page that pieces usually fill, and share that they seldom do: where the search for
/// how many fit begins. They change how long it takes, not what it finds.
const USUALLY_FILLED: f64 = 0.66;
/// See [`USUALLY_FILLED`].
const SELDOM_FILLED: f64 = 0.8;

/// A piece with what it is called.
struct Listed<'a> {
    piece: std::borrow::Cow<'a, Piece>,
    /// On its page: `layer 12 of 120 (waist)`.
    what: String,
    /// In the list: `layer 12 (waist)`.
    brief: String,
    /// Index of its layer; 0 for a plate.
    layer: usize,
}

/// What one page, or one run of pages, holds.
enum Leaf {
    /// Whole pieces, each with its turn and the shift from the corner of the window.
    Whole(Vec<(usize, f64, f64, f64)>),
    /// One piece over several pages.
    Spread(usize, Spread),
}

impl Leaf {
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
    let listed = listed(stack);
    let leaves = leaves(&listed, &frame, paper.overlap)?;
    let entries = leaves.len();
    let cover = Cover::new(&frame, name, entries)?;
    let front = cover.count();
    let sizes: Vec<usize> = leaves.iter().map(Leaf::count).collect();
    let total = front + sizes.iter().sum::<usize>();
    let mut list: Vec<cover::Entry> = Vec::with_capacity(entries);
    let mut names: Vec<String> = Vec::with_capacity(entries);
    let mut first = front + 1;
    for (leaf, size) in leaves.iter().zip(&sizes) {
        let pages = if *size == 1 {
            format!("p. {first}")
        } else {
            format!("p. {first}-{}", first + size - 1)
        };
        let (what, brief) = called(leaf, &listed);
        names.push(what);
        list.push((brief, pages));
        first += size;
    }
    let subtitle = format!("true-size templates: {total} pages of {}", paper.name);
    let mut pages = Vec::with_capacity(total);
    for k in 0..front {
        let sink = if paper.roll {
            frame.high.y - frame.shortened(cover.height(k)).high.y
        } else {
            0.0
        };
        let mut items = cover.items(&frame, &subtitle, &list, k)?;
        for item in &mut items {
            item.lower(sink);
        }
        let frame = if paper.roll {
            frame.shortened(cover.height(k))
        } else {
            frame
        };
        items.extend(frame.furniture(&Foot {
            name,
            what: "how to print, list of pages".into(),
            place: String::new(),
            number: (k + 1, total),
        })?);
        pages.push(Drawing {
            width: frame.width,
            height: frame.height,
            title: "how to print, list of pages".into(),
            groups: vec![Group {
                id: "cover".into(),
                items,
                clip: None,
            }],
        });
    }
    bind(
        &leaves,
        &names,
        &listed,
        &frame,
        paper.roll,
        (name, total),
        &mut pages,
    )?;
    Ok(pages)
}

/// Adds the pages of all leaves, under the name of the form, `total` of them with those that are
/// there already.
fn bind(
    leaves: &[Leaf],
    names: &[String],
    listed: &[Listed<'_>],
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
            Leaf::Whole(lies) => pages.push(whole(lies, listed, frame, roll, &foot)?),
            Leaf::Spread(k, spread) => {
                pages.extend(spread_pages(&listed[*k].piece, spread, frame, &mut foot)?);
            }
        }
    }
    Ok(())
}

/// All pieces from the base board up.
fn listed(stack: &Stack) -> Vec<Listed<'_>> {
    let mut listed = Vec::new();
    // Below a pile that is there already the base board is there too.
    if stack.first_to_cut <= 1
        && let Some(base) = plate(&stack.base, "base board", stack)
    {
        listed.push(base);
    }
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
            });
        }
    }
    if let Some(cap) = plate(&stack.cap, "neck cap plate", stack) {
        listed.push(cap);
    }
    listed
}

/// A plate outside the layer count; nothing when the stack has none.
fn plate<'a>(outline: &Outline, what: &str, stack: &Stack) -> Option<Listed<'a>> {
    let (low, high) = bounds(&outline.points)?;
    if outline.points.len() < 3 {
        return None;
    }
    let middle = Point2::new((low.x + high.x) / 2.0, (low.y + high.y) / 2.0);
    let mut marks = vec![Mark::Text(middle, 5.0, what.to_owned())];
    if let Some((at, diameter, ..)) = stack.pole {
        // Where the pole stands: drawn, not cut, because how it is fixed is the maker's choice.
        let arm = diameter / 2.0 + 5.0;
        let near = (at - middle).norm() < arm + 5.0;
        if near {
            marks[0] = Mark::Text(Point2::new(at.x, at.y - arm - 8.0), 5.0, what.to_owned());
        }
        for (dx, dy) in [(arm, 0.0), (0.0, arm)] {
            marks.push(Mark::Line(vec![
                Point2::new(at.x - dx, at.y - dy),
                Point2::new(at.x + dx, at.y + dy),
            ]));
        }
    }
    Some(Listed {
        piece: std::borrow::Cow::Owned(Piece {
            id: what.replace(' ', "-"),
            outline: outline.clone(),
            holes: vec![],
            rounds: vec![],
            marks,
            area: 0.0,
        }),
        what: what.to_owned(),
        brief: what.to_owned(),
        layer: 0,
    })
}

/// What a leaf is called, on its page and in the list.
fn called(leaf: &Leaf, listed: &[Listed<'_>]) -> (String, String) {
    let one = |k: usize| (listed[k].what.clone(), listed[k].brief.clone());
    match leaf {
        Leaf::Spread(k, _) => one(*k),
        Leaf::Whole(lies) => {
            let first = lies.iter().map(|l| l.0).min().unwrap_or(0);
            let last = lies.iter().map(|l| l.0).max().unwrap_or(0);
            if first == last {
                return one(first);
            }
            let name = |k: usize| match listed[k].layer {
                0 => listed[k].brief.clone(),
                layer => layer.to_string(),
            };
            let both = match listed[first].layer {
                0 => format!("{} to {}", name(first), name(last)),
                _ => format!("layers {} to {}", name(first), name(last)),
            };
            (both.clone(), both)
        }
    }
}

/// Spreads the pieces over pages in order.
fn leaves(listed: &[Listed<'_>], frame: &Frame, overlap: f64) -> Result<Vec<Leaf>, Error> {
    let mut leaves = Vec::new();
    let mut k = 0;
    while k < listed.len() {
        let piece = &listed[k].piece;
        if !quarter(piece, frame) {
            leaves.push(match askew(piece, frame) {
                Some(lie) => Leaf::Whole(vec![(k, lie.0, lie.1, lie.2)]),
                None => {
                    let words = ink::word_boxes(piece)?;
                    Leaf::Spread(k, Spread::new(piece, &words, frame, overlap))
                }
            });
            k += 1;
            continue;
        }
        let run = listed[k..]
            .iter()
            .take_while(|l| quarter(&l.piece, frame))
            .count();
        let (lies, taken) = most(&listed[k..k + run], k, frame)?;
        leaves.push(Leaf::Whole(lies));
        k += taken;
    }
    Ok(leaves)
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

/// As many of the pieces, in order, as share one page: each with its turn and shift.
#[allow(clippy::type_complexity, reason = "the pair is taken apart at once")]
fn most(
    run: &[Listed<'_>],
    offset: usize,
    frame: &Frame,
) -> Result<(Vec<(usize, f64, f64, f64)>, usize), Error> {
    let (w, h) = frame.window();
    let stock = page_stock(frame);
    let room = |n: usize| -> Result<Option<Vec<(usize, f64, f64, f64)>>, Error> {
        if n == 1 {
            let alone = [0.0, 90.0]
                .iter()
                .find_map(|&t| lie(&run[0].piece, t, frame));
            return Ok(alone.map(|(t, x, y)| vec![(offset, t, x, y)]));
        }
        let pieces: Vec<&Piece> = run[..n].iter().map(|l| l.piece.as_ref()).collect();
        if nest::area_bound(&pieces, &stock) > 1.0 {
            return Ok(None);
        }
        let boards = nest::nest(&pieces, std::slice::from_ref(&stock), 0)?;
        let [board] = boards.as_slice() else {
            return Ok(None);
        };
        Ok(Some(lies(board, &pieces, |k| offset + k)))
    };
    // The most that still fit: looked for first where that many ovals usually do, then by halving
    // between what fits and what its area alone forbids.
    let mut best = (room(1)?.unwrap_or_default(), 1);
    let filled = |share: f64| {
        let mut area = 0.0;
        run.iter()
            .take_while(|l| {
                area += l.piece.outline.area();
                area <= share * w * h
            })
            .count()
    };
    let mut beyond = (filled(1.0) + 1).max(2).min(run.len() + 1);
    for guess in [filled(USUALLY_FILLED), filled(SELDOM_FILLED)] {
        if guess > best.1 && guess < beyond {
            match room(guess)? {
                Some(lies) => best = (lies, guess),
                None => beyond = guess,
            }
        }
    }
    while beyond - best.1 > 1 {
        let middle = best.1 + (beyond - best.1) / 2;
        match room(middle)? {
            Some(lies) => best = (lies, middle),
            None => beyond = middle,
        }
    }
    Ok(best)
}

/// A page of whole pieces.
fn whole(
    lies: &[(usize, f64, f64, f64)],
    listed: &[Listed<'_>],
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
        let piece = &listed[k].piece;
        let pose = Pose::new(turn, x + frame.low.x, y - sink + frame.low.y);
        groups.push(piece_group(piece, &pose, None)?);
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
    piece: &Piece,
    spread: &Spread,
    frame: &Frame,
    foot: &mut Foot<'_>,
) -> Result<Vec<Drawing>, Error> {
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
        let groups = vec![
            piece_group(piece, &pose, Some((frame.low, frame.high)))?,
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
fn piece_group(piece: &Piece, pose: &Pose, clip: Option<(Point2, Point2)>) -> Result<Group, Error> {
    let mut items = ink::cuts(piece, pose, 0.0)?;
    items.extend(ink::marks(piece, pose)?);
    Ok(Group {
        id: piece.id.clone(),
        items,
        clip,
    })
}
