//! The list of pages: where each piece is, in the order of the layers.

use crate::layout::page::bind::numbered;
use crate::layout::page::fitted::Entries;
use crate::layout::page::leaf::PageLeaf;
use crate::layout::page::listed::Listed;
use crate::layout::page::page_titles::Title;
use crate::stack::PieceId;

/// A piece in the list.
struct Line {
    name: Entries,
    /// Which of the leaves has it.
    leaf: usize,
}

/// The list of pages, before it is known how many come before them.
pub(super) struct Contents(Vec<Line>);

impl Contents {
    /// Where the pieces are that have these `titles`, in their order, among leaves of templates.
    pub(super) fn new(
        titles: &[(PieceId, Title)],
        leaves: &[PageLeaf],
        templates: &[Listed<'_>],
    ) -> Self {
        let held = |leaf: &PageLeaf| -> Vec<PieceId> {
            leaf.pieces()
                .into_iter()
                .flat_map(|k| templates[k].pieces())
                .collect()
        };
        let held: Vec<Vec<PieceId>> = leaves.iter().map(held).collect();
        let line = |(id, title): &(PieceId, Title)| {
            let leaf = held.iter().position(|ids| ids.contains(id))?;
            let name = title.beside_others_shortly();
            Some(Line { name, leaf })
        };
        Self(titles.iter().filter_map(line).collect())
    }

    /// What the pieces are called.
    pub(super) fn names(&self) -> Vec<Entries> {
        self.0.iter().map(|line| line.name.clone()).collect()
    }

    /// On which pages they are, where the first of the leaves begins on page `first` and each has so many pages.
    pub(super) fn numbers(&self, first: usize, sizes: &[usize]) -> Vec<String> {
        let begins = |leaf: usize| first + sizes[..leaf].iter().sum::<usize>();
        let number = |line: &Line| numbered(begins(line.leaf), sizes[line.leaf]);
        self.0.iter().map(number).collect()
    }
}
