//! How a template lies on its pages: what of it each shows, and what stands there already.

use crate::geom::Point2;
use crate::layout::page::tile::PageSpread;
use crate::layout::page::tile::join::Join;

/// The pages of a template, in its own axes.
#[derive(Clone, Debug, Default)]
pub(in crate::layout::page) struct Laid {
    spread: Option<PageSpread>,
    /// The joins between its pages.
    pub(super) lines: Vec<[Point2; 2]>,
    /// Corners of what stands on them: marks and their letters.
    pub(super) boxes: Vec<[Point2; 4]>,
}

impl Laid {
    /// On several pages, with their joins.
    pub(in crate::layout::page) fn over(spread: &PageSpread, joins: &[Join]) -> Self {
        Self {
            lines: joins
                .iter()
                .map(|j| j.ends().map(|p| spread.back(p)))
                .collect(),
            boxes: joins
                .iter()
                .flat_map(Join::boxes)
                .map(|corners| corners.map(|p| spread.back(p)))
                .collect(),
            spread: Some(spread.clone()),
        }
    }

    /// How many pages there are.
    pub(in crate::layout::page) fn count(&self) -> usize {
        self.spread.as_ref().map_or(1, |s| s.cells.len())
    }

    /// On which of the pages a point is, up to the joins; on none beside them.
    pub(in crate::layout::page) fn page_of(&self, p: Point2) -> Option<usize> {
        self.spread.as_ref().map_or(Some(0), |s| s.page_of(p))
    }
}
