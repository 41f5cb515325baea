//! True-size pages for the person's printer.
//!
//! Layers share templates, one inside the next, or stand by half on the fold, as the paper of the
//! workshop asks. A template stays whole on one page where it can, turned when that helps, and as
//! many as go together share a page; the others are spread over the fewest pages, which overlap and
//! carry lettered join marks. Pages follow the layers from the lowest up. Every page has check bars
//! on both axes, in millimetres and inches; the first explains them and lists what is where.

mod advice;
mod bind;
mod card;
mod contents;
mod fitted;
mod frame;
mod front_matter;
mod leaf;
mod listed;
mod page_count;
mod page_titles;
mod plate;
mod sample;
mod shared;
mod template;
mod tile;
mod trimming;

use crate::drawing::Drawing;
use crate::error::Error;
use crate::layout::page::bind::bind;
use crate::layout::page::contents::Contents;
use crate::layout::page::fitted::Entries;
use crate::layout::page::frame::Frame;
use crate::layout::page::frame::PageSet;
use crate::layout::page::frame::Whose;
use crate::layout::page::front_matter::FrontMatter;
use crate::layout::page::leaf::PageLeaf;
use crate::layout::page::leaf::called;
use crate::layout::page::leaf::leaves;
use crate::layout::page::listed::Listed;
use crate::layout::page::listed::listed;
use crate::layout::page::page_count::about;
use crate::stack::Stack;
use crate::workshop::Workshop;

pub use advice::HeightsFrom;
pub use card::cards;
pub use card::window;

pub use page_count::Count;
pub use page_count::count;
pub use page_count::counts;

/// True-size pages of every piece, the base board and the cap plate, for the paper of the workshop.
/// `name` is that of the form.
///
/// # Errors
/// [`Error::Layout`] when the paper is too small for the check bars.
pub fn pages(stack: &Stack, workshop: &Workshop, name: &str) -> Result<Vec<Drawing>, Error> {
    drawn(listed(stack, workshop)?, stack, workshop, name)
}

/// The same of some layers alone, by their numbers.
///
/// # Errors
/// As for [`pages`].
pub fn pages_of(
    layers: &[usize],
    stack: &Stack,
    workshop: &Workshop,
    name: &str,
) -> Result<Vec<Drawing>, Error> {
    let mut some = listed(stack, workshop)?;
    some.retain(|l| l.layer().is_some_and(|layer| layers.contains(&layer)));
    drawn(some, stack, workshop, name)
}

fn drawn(
    all: Vec<Listed<'_>>,
    stack: &Stack,
    workshop: &Workshop,
    name: &str,
) -> Result<Vec<Drawing>, Error> {
    let paper = &workshop.paper;
    let frame = Frame::new(paper)?;
    let titles = listed::titles(&all);
    let listed = shared::templates(all, stack, paper, &frame);
    let leaves = leaves(&listed, &frame, paper)?;
    let names: Vec<Entries> = leaves.iter().map(|leaf| called(leaf, &listed)).collect();
    let contents = Contents::new(&titles, &leaves, &listed);
    let cover = FrontMatter::new(&frame, name, &contents.names(), about(paper, &listed))?;
    let front = cover.count();
    let sizes: Vec<usize> = leaves.iter().map(PageLeaf::count).collect();
    let total = front + sizes.iter().sum::<usize>();
    let numbers = contents.numbers(front + 1, &sizes);
    let whose = Whose {
        name,
        body: &stack.body,
        half_scale: stack.scale < 1.0,
        again_from: (stack.first_to_cut > 1).then_some(stack.first_to_cut),
    };
    let from = match stack.first_to_cut {
        0 | 1 => String::new(),
        first => format!(", on from layer {first}"),
    };
    let subtitle = format!("true-size templates{from}: {total} pages of {}", paper.name);
    let what = Entries::joined(["how to print", "list of pages"].map(str::to_owned), ",");
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
