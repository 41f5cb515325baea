//! The pages of leaves, drawn.

use crate::drawing::Drawing;
use crate::drawing::Group;
use crate::error::Error;
use crate::geom::Point2;
use crate::layout::Pose;
use crate::layout::draw_piece;
use crate::layout::page::frame::Frame;
use crate::layout::page::frame::PageFoot;
use crate::layout::page::frame::Whose;
use crate::layout::page::leaf::Lie;
use crate::layout::page::leaf::PageLeaf;
use crate::layout::page::listed::Listed;
use crate::layout::page::page_titles::joined;
use crate::layout::page::tile;
use crate::layout::page::tile::PageSpread;
use crate::stack::PieceId;

/// `p. 4`, or `p. 4-6`.
pub(super) fn numbered(first: usize, size: usize) -> String {
    if size == 1 {
        format!("p. {first}")
    } else {
        format!("p. {first}-{}", first + size - 1)
    }
}

/// Adds the pages of all leaves of a stack, under the name of the form, `total` of them with those that are
/// there already.
pub(super) fn bind(
    leaves: &[PageLeaf],
    names: &[Vec<String>],
    listed: &[Listed<'_>],
    frame: &Frame,
    roll: bool,
    (whose, total): (Whose<'_>, usize),
    pages: &mut Vec<Drawing>,
) -> Result<(), Error> {
    for (leaf, what) in leaves.iter().zip(names) {
        let mut foot = PageFoot {
            whose,
            what: what.clone(),
            place: Vec::new(),
            number: (pages.len() + 1, total),
        };
        match leaf {
            PageLeaf::Whole(lies) => pages.push(whole(lies, listed, frame, roll, &foot)?),
            PageLeaf::Over(k, spread) => {
                pages.extend(spread_pages(&listed[*k], spread, frame, &mut foot)?);
            }
        }
    }
    Ok(())
}

/// A page of whole pieces.
fn whole(
    lies: &[Lie],
    listed: &[Listed<'_>],
    frame: &Frame,
    roll: bool,
    foot: &PageFoot<'_>,
) -> Result<Drawing, Error> {
    let mut top = 0.0_f64;
    let mut lowest = f64::INFINITY;
    for lie in lies {
        let pose = lie.pose(Point2::origin());
        for &p in &listed[lie.of].piece.outline.points {
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
    for lie in lies {
        let sunk = Lie {
            y: lie.y - sink,
            ..*lie
        };
        let pose = sunk.pose(frame.low);
        groups.push(piece_group(&listed[lie.of], &pose, None)?);
    }
    groups.push(Group {
        id: "page".into(),
        items: frame.furniture(foot)?,
        clip: None,
    });
    Ok(Drawing {
        width: frame.width,
        height: frame.height,
        title: joined(&foot.what),
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
    let joins = spread.joins(piece, &draw_piece::word_boxes(piece)?);
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
        foot.place = vec![
            format!("row {} of {}", spread.rows - cell.1, spread.rows),
            format!("column {} of {}", cell.0 + 1, spread.columns),
        ];
        let mut items = frame.furniture(foot)?;
        items.extend(tile::map(spread, piece, cell, frame.map()));
        let mut drawn = piece_group(listed, &pose, Some((frame.low, frame.high)))?;
        // Words that the edge of the page would cut stand on the next one whole.
        let mut whole = Vec::with_capacity(drawn.items.len());
        for item in drawn.items {
            let words = draw_piece::text_box(&item)?;
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
            title: joined(&foot.what),
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
) -> Result<Group, Error> {
    let piece = listed.piece.as_ref();
    let items = match &listed.drawn {
        Some(template) => template
            .items
            .iter()
            .map(|item| item.moved(|p| pose.apply(p), pose.turn()))
            .collect(),
        None => {
            let mut items = draw_piece::cuts(piece, pose, 0.0)?;
            items.extend(draw_piece::marks(piece, pose)?);
            items
        }
    };
    let ids: Vec<String> = listed.pieces().iter().map(PieceId::to_string).collect();
    Ok(Group {
        id: ids.join("-"),
        items,
        clip,
    })
}
