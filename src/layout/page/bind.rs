//! The pages of leaves, drawn.

use crate::units::Unit;
use rayon::prelude::*;

use crate::drawing::Drawing;
use crate::drawing::Group;
use crate::drawing::Item;
use crate::error::Error;
use crate::geom::Point2;
use crate::geom::Vector2;
use crate::layout::Pose;
use crate::layout::bounds;
use crate::layout::draw_piece;
use crate::layout::page::fitted::Entries;
use crate::layout::page::frame::Frame;
use crate::layout::page::frame::PageFoot;
use crate::layout::page::frame::PageSet;
use crate::layout::page::leaf::OnPage;
use crate::layout::page::leaf::PageLeaf;
use crate::layout::page::listed::Listed;
use crate::layout::page::template::laid::Laid;
use crate::layout::page::tile;
use crate::layout::page::tile::PageSpread;
use crate::stack::PieceId;
use crate::tolerance::SAME_POINT_EPS_MM;

/// Strokes are taken for boxes in stretches of this length at most, mm.
const STRETCH: f64 = 6.0;

/// `p. 4`, or `p. 4-6`.
pub(super) fn numbered(first: usize, size: usize) -> String {
    if size == 1 {
        format!("p. {first}")
    } else {
        format!("p. {first}-{}", first + size - 1)
    }
}

/// Adds the pages of all leaves of a set to those that are there already; `names` are what each leaf is called.
pub(super) fn bind(
    leaves: &[PageLeaf],
    names: &[Entries],
    listed: &[Listed<'_>],
    set: &PageSet<'_>,
    pages: &mut Vec<Drawing>,
) -> Result<(), Error> {
    let mut first = pages.len() + 1;
    let mut begun: Vec<(&PageLeaf, PageFoot<'_>)> = Vec::with_capacity(leaves.len());
    for (leaf, what) in leaves.iter().zip(names) {
        let foot = PageFoot {
            whose: set.whose,
            what: what.clone(),
            place: String::new(),
            number: (first, set.total),
        };
        first += leaf.count();
        begun.push((leaf, foot));
    }
    let drawn: Vec<Vec<Drawing>> = begun
        .into_par_iter()
        .map(|(leaf, mut foot)| match leaf {
            PageLeaf::Whole(on_page) => Ok(vec![whole(on_page, listed, set, &foot)?]),
            PageLeaf::Over(k, spread) => spread_pages(&listed[*k], spread, set.frame, &mut foot),
        })
        .collect::<Result<_, Error>>()?;
    pages.extend(drawn.into_iter().flatten());
    Ok(())
}

/// A page of whole pieces.
fn whole(
    on_page: &[OnPage],
    listed: &[Listed<'_>],
    set: &PageSet<'_>,
    foot: &PageFoot<'_>,
) -> Result<Drawing, Error> {
    let mut top = 0.0_f64;
    let mut lowest = f64::INFINITY;
    for &OnPage { which, seat } in on_page {
        let pose = Pose::new(seat.turn, seat.shift.x, seat.shift.y);
        for &p in &listed[which].piece.outline.points {
            let y = pose.apply(p).y;
            top = top.max(y);
            lowest = lowest.min(y);
        }
    }
    // Off a roll a page is as long as it need be.
    let (frame, sink) = if set.roll && lowest.is_finite() {
        (set.frame.shortened(top - lowest), lowest)
    } else {
        (*set.frame, 0.0)
    };
    let mut groups = Vec::with_capacity(on_page.len() + 1);
    for &OnPage { which, seat } in on_page {
        let (x, y) = (
            seat.shift.x + frame.low.x,
            seat.shift.y - sink + frame.low.y,
        );
        let pose = Pose::new(seat.turn, x, y);
        let items = piece_items(&listed[which], &Laid::default(), &pose, frame.unit)?;
        // What of the left half is drawn over the fold may reach off the window.
        let items = items
            .into_iter()
            .filter_map(|item| in_window(item, frame.low, frame.high))
            .collect();
        groups.push(piece_group(&listed[which], items, None));
    }
    groups.push(Group {
        id: "page".into(),
        items: frame.furniture(foot)?,
        clip: None,
    });
    Ok(Drawing {
        width: frame.width,
        height: frame.height,
        title: foot.what.words(),
        groups,
    })
}

/// The pages of one piece.
fn spread_pages(
    listed: &Listed<'_>,
    spread: &PageSpread,
    frame: &Frame,
    foot: &mut PageFoot<'_>,
) -> Result<Vec<Drawing>, Error> {
    let piece = listed.piece.as_ref();
    let drawn = match &listed.drawn {
        Some(template) => template.strokes(),
        None => piece_items(
            listed,
            &Laid::default(),
            &Pose::new(0.0, 0.0, 0.0),
            frame.unit,
        )?,
    };
    let strokes: Vec<(Point2, Point2)> = drawn.iter().flat_map(stroke_boxes).collect();
    let joins = spread.joins(&piece.outline, &draw_piece::word_boxes(piece)?, &strokes);
    let laid = Laid::over(spread, &joins);
    let upright = Pose::new(0.0, 0.0, 0.0);
    let drawn = piece_items(listed, &laid, &upright, frame.unit)?;
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
        let mut items_here = Vec::with_capacity(drawn.len());
        for item in &drawn {
            let item = item.moved(|p| pose.apply(p), pose.turn());
            // Words stand on one page alone: on others they would meet its joins, or be cut by its edge.
            let here = match draw_piece::text_box(&item)? {
                Some(each) => spread.has_words(each, cell, frame),
                None => true,
            };
            if here {
                items_here.push(item);
            }
        }
        let window = Some((frame.low, frame.high));
        let groups = vec![
            piece_group(listed, items_here, window),
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
            title: foot.what.words(),
            groups,
        });
    }
    Ok(pages)
}

/// What is drawn of a piece that lies so. A template is cut along the line by hand, so no kerf is added.
fn piece_items(
    listed: &Listed<'_>,
    laid: &Laid,
    pose: &Pose,
    unit: Unit,
) -> Result<Vec<Item>, Error> {
    let piece = listed.piece.as_ref();
    match &listed.drawn {
        Some(template) => {
            let items = template.items(laid)?.into_iter();
            Ok(items
                .map(|item| item.moved(|p| pose.apply(p), pose.turn()))
                .collect())
        }
        None => {
            let mut items = draw_piece::cuts(piece, pose, 0.0)?;
            items.extend(draw_piece::marks(piece, pose, unit)?);
            Ok(items)
        }
    }
}

/// A single stroke as far as it lies in the window; everything else as it is.
fn in_window(item: Item, low: Point2, high: Point2) -> Option<Item> {
    let Item::Path {
        pen,
        points,
        closed: false,
    } = &item
    else {
        return Some(item);
    };
    let [a, b] = points.as_slice() else {
        return Some(item);
    };
    // Liang and Barsky (ACM Transactions on Graphics 3, 1984): each edge of the window leaves a part of the stroke.
    let d = b - a;
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (by, room) in [
        (-d.x, a.x - low.x),
        (d.x, high.x - a.x),
        (-d.y, a.y - low.y),
        (d.y, high.y - a.y),
    ] {
        if by < 0.0 {
            from = from.max(room / by);
        } else if by > 0.0 {
            to = to.min(room / by);
        } else if room < -SAME_POINT_EPS_MM {
            return None;
        }
    }
    let whole = from <= 0.0 && to >= 1.0;
    if whole {
        return Some(item);
    }
    (from < to).then(|| Item::path(*pen, vec![a + d * from, a + d * to], false))
}

fn piece_group(listed: &Listed<'_>, items: Vec<Item>, clip: Option<(Point2, Point2)>) -> Group {
    let ids: Vec<String> = listed.pieces().iter().map(PieceId::to_string).collect();
    Group {
        id: ids.join("-"),
        items,
        clip,
    }
}

/// The boxes of a stroke, a short stretch each.
fn stroke_boxes(item: &Item) -> Vec<(Point2, Point2)> {
    match item {
        Item::Path { points, closed, .. } => {
            let last = points.last().zip(points.first()).filter(|_| *closed);
            let sides = points.windows(2).map(|s| (s[0], s[1]));
            sides
                .chain(last.map(|(a, b)| (*a, *b)))
                .flat_map(|(a, b)| {
                    let parts = ((b - a).norm() / STRETCH).ceil().max(1.0) as usize;
                    let at = move |k: usize| a + (b - a) * (k as f64 / parts as f64);
                    (0..parts).filter_map(move |k| bounds(&[at(k), at(k + 1)]))
                })
                .collect()
        }
        Item::Circle { centre, radius, .. } => {
            let reach = Vector2::repeat(*radius);
            vec![(centre - reach, centre + reach)]
        }
        Item::Text { .. } => Vec::new(),
    }
}
