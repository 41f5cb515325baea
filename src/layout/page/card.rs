//! Loose cards on pages, in no order.

use crate::drawing::Drawing;
use crate::error::Error;
use crate::layout::page::advice::About;
use crate::layout::page::advice::HeightsFrom;
use crate::layout::page::advice::Holds;
use crate::layout::page::bind::bind;
use crate::layout::page::bind::numbered;
use crate::layout::page::fitted::Entries;
use crate::layout::page::frame::Frame;
use crate::layout::page::frame::PageSet;
use crate::layout::page::frame::Whose;
use crate::layout::page::front_matter::FrontMatter;
use crate::layout::page::leaf::PageLeaf;
use crate::layout::page::leaf::leaves;
use crate::layout::page::listed::Listed;
use crate::layout::page::page_titles::Title;
use crate::stack::proof::Card;
use crate::workshop::Paper;

/// True-size pages of loose cards. The first says what they are for.
/// `name` and the imprint of the `body` stand at the foot of every page; `heights` says what the cards are placed from.
///
/// # Errors
/// [`Error::Layout`] when the paper is too small for the check bars.
pub fn cards(
    cards: &[Card],
    paper: &Paper,
    name: &str,
    body: &str,
    heights: HeightsFrom,
) -> Result<Vec<Drawing>, Error> {
    let frame = Frame::new(paper)?;
    let listed: Vec<Listed<'_>> = cards
        .iter()
        .map(|card| Listed {
            piece: std::borrow::Cow::Borrowed(&card.piece),
            title: Title::Other {
                brief: card.brief.clone(),
                what: card.what.clone(),
            },
            drawn: None,
        })
        .collect();
    let leaves = leaves(&listed, &frame, paper)?;
    let names: Vec<Entries> = leaves
        .iter()
        .map(|leaf| match leaf {
            PageLeaf::Whole(on_page) => {
                let mut on: Vec<usize> = on_page.iter().map(|on| on.which).collect();
                on.sort_unstable();
                let mut names: Vec<Entries> = on.iter().map(|k| listed[*k].title.brief()).collect();
                names.dedup();
                Entries::in_a_row(names, ",")
            }
            PageLeaf::Over(k, _) => listed[*k].what(),
        })
        .collect();
    let about = About {
        bars: paper.bars(),
        unit: paper.unit,
        corrected: paper.printed.is_some(),
        example: paper.printed_example(),
        holds: Holds::Cards { heights },
    };
    let cover = FrontMatter::new(&frame, name, &names, about)?;
    let mut numbers: Vec<String> = Vec::with_capacity(leaves.len());
    let mut first = cover.count() + 1;
    for leaf in &leaves {
        numbers.push(numbered(first, leaf.count()));
        first += leaf.count();
    }
    let total = first - 1;
    let whose = Whose {
        name,
        body,
        // Cards are held against the person.
        half_scale: false,
        again_from: None,
    };
    let subtitle = format!(
        "cards to hold against the person: {total} pages of {}",
        paper.name
    );
    let what = Entries::joined(
        ["how to use the cards", "list of pages"].map(str::to_owned),
        ",",
    );
    let set = PageSet {
        frame: &frame,
        roll: paper.roll,
        whose,
        total,
    };
    let mut pages = cover.sheets(&set, &what, &subtitle, &numbers)?;
    bind(&leaves, &names, &listed, &set, &mut pages)?;
    Ok(pages)
}

/// Breadth and height of what a page of this paper shows, mm.
///
/// # Errors
/// [`Error::Layout`] when the paper is too small for the check bars.
pub fn window(paper: &Paper) -> Result<(f64, f64), Error> {
    Ok(Frame::new(paper)?.window())
}
