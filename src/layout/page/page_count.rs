//! How many pages the templates take, before any is printed.

use rayon::prelude::*;

use crate::error::Error;
use crate::layout::page::advice::About;
use crate::layout::page::advice::Holds;
use crate::layout::page::contents::Contents;
use crate::layout::page::frame::Frame;
use crate::layout::page::front_matter::FrontMatter;
use crate::layout::page::leaf::PageLeaf;
use crate::layout::page::leaf::leaves;
use crate::layout::page::listed::Listed;
use crate::layout::page::listed::listed;
use crate::layout::page::listed::titles;
use crate::layout::page::shared;
use crate::layout::page::template::Template;
use crate::stack::Stack;
use crate::workshop::Paper;
use crate::workshop::Workshop;

/// How many pages there are with as many layers on a template, folded or not.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Count {
    /// Most layers on a template.
    pub outlines: usize,
    /// Whether by half, on the fold, where that goes.
    pub fold: bool,
    /// Pages, the first ones with the list too.
    pub pages: usize,
}

/// The page counts of other ways to draw the templates than that of the workshop, from one whole
/// outline each to four on the fold, so that one can be chosen before printing.
///
/// # Errors
/// As for the pages themselves.
pub fn counts(stack: &Stack, workshop: &Workshop) -> Result<Vec<Count>, Error> {
    [
        (1, false),
        (1, true),
        (Paper::MOST_OUTLINES, false),
        (Paper::MOST_OUTLINES, true),
    ]
    .into_par_iter()
    .filter(|way| *way != (workshop.paper.outlines, workshop.paper.fold))
    .map(|(outlines, fold)| {
        let paper = Paper {
            outlines,
            fold,
            ..workshop.paper.clone()
        };
        Ok(Count {
            outlines,
            fold,
            pages: of_paper(stack, workshop, &paper, "")?,
        })
    })
    .collect()
}

/// How many pages there are, as the workshop asks for them, without drawing any: those of [`super::pages`].
///
/// # Errors
/// As for the pages themselves.
pub fn count(stack: &Stack, workshop: &Workshop, name: &str) -> Result<usize, Error> {
    of_paper(stack, workshop, &workshop.paper, name)
}

fn of_paper(stack: &Stack, workshop: &Workshop, paper: &Paper, name: &str) -> Result<usize, Error> {
    let frame = Frame::new(paper)?;
    let all = listed(stack, workshop)?;
    let titles = titles(&all);
    let listed = shared::templates(all, stack, paper, &frame);
    let leaves = leaves(&listed, &frame, paper)?;
    let names = Contents::new(&titles, &leaves, &listed).names();
    let front = FrontMatter::new(&frame, name, &names, about(paper, &listed))?.count();
    Ok(front + leaves.iter().map(PageLeaf::count).sum::<usize>())
}

/// What the first page has to explain.
pub(super) fn about(paper: &Paper, listed: &[Listed<'_>]) -> About {
    let drawn = || listed.iter().filter_map(|l| l.drawn.as_ref());
    About {
        bars: paper.bars(),
        unit: paper.unit,
        corrected: paper.printed.is_some(),
        example: paper.printed_example(),
        holds: Holds::Layers {
            shared: drawn().any(|t| t.count() > 1),
            halves: drawn().any(Template::is_half),
            hole: listed.iter().find_map(|l| l.piece.first_dowel_hole()),
        },
    }
}
