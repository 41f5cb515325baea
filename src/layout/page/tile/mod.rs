//! A piece too large for one page: over which pages it is spread, and how they are joined.

pub(super) mod join;
mod join_mark;

use crate::drawing::Item;
use crate::drawing::Pen;
use crate::geom::Outline;
use crate::geom::Point2;
use crate::geom::Vector2;
use crate::geom::offset::Region;
use crate::geom::offset::area;
use crate::geom::offset::intersection;
use crate::layout::Pose;
use crate::layout::bounds;
use crate::layout::page::frame::Frame;
use crate::stack::Piece;

/// Turns tried for a piece, degrees.
pub(super) const TURN_STEP: f64 = 5.0;

/// Less of a piece than this is not worth a page, mm² (the drawing beside it shows it anyway,
/// within the overlap).
const LEAST_SHARE: f64 = 1.0;

/// What is nearer to it than this is found with polygons, mm². Our choice: far more than they round to.
const SHARE_ACCURACY: f64 = 0.1;

/// Shifts tried in the slack of the pages, in each direction, to keep joins off the dowel holes.
const SHIFTS: usize = 17;

/// Rows and columns that may be added to keep joins off the holes.
const MORE_PAGES: usize = 3;

/// Clear distance wanted between a join and a hole, mm.
const OFF_HOLE: f64 = 5.0;

/// Clear distance wanted between a join and words, mm: half of a join mark.
const OFF_WORDS: f64 = 3.0;

/// Words on a join weigh so much more than words on the edge of a page, which are whole on the next.
const CROSSED: usize = 20;

/// So far off the middle of the overlap a join may lie where a line of the piece runs along it, mm, and so much of
/// the overlap is left beside it. Our choice.
const OFF_MIDDLE: f64 = 4.3;
const LEFT_OVER: f64 = 3.2;

/// How a piece is spread over pages.
#[derive(Clone, Debug)]
pub(super) struct PageSpread {
    /// Turn of the piece, degrees.
    pub(super) turn_deg: f64,
    /// Shift of the turned piece into the grid of pages, whose origin is the lower left corner of
    /// the window of the page at the lower left.
    shift: Point2,
    pub(super) columns: usize,
    pub(super) rows: usize,
    /// Column and row (0 is the lowest) of the pages that hold some of the piece, in reading order.
    pub(super) cells: Vec<(usize, usize)>,
    /// From one page to the next.
    step: (f64, f64),
    window: (f64, f64),
    overlap: f64,
    /// How far joins lie beyond the middle of the overlap, to the right and up, mm.
    off_middle: (f64, f64),
}

/// How many windows cover a length.
fn count(length: f64, window: f64, overlap: f64) -> usize {
    if length <= window {
        return 1;
    }
    let more = ((length - overlap) / (window - overlap)).ceil();
    (1..).find(|&n| n as f64 >= more).unwrap_or(1)
}

impl PageSpread {
    /// The spread over the fewest pages on which no join runs through a hole; of several, the one
    /// turned least. `words` are the boxes of the words on the piece, in its own axes. Where there
    /// is none, a join runs through a hole all the same: see [`PageSpread::cuts_a_hole`].
    pub(super) fn new(
        piece: &Piece,
        words: &[(Point2, Point2)],
        frame: &Frame,
        overlap: f64,
    ) -> Self {
        let mut all: Vec<(usize, f64, Self)> = Vec::new();
        let (w, h) = frame.window();
        // Small paper may not have room for the overlap asked for: never more than a third of it.
        let overlap = overlap.clamp(0.0, w.min(h) / 3.0);
        let mut k = 0.0;
        while k * TURN_STEP < 180.0 {
            let turn_deg = k * TURN_STEP;
            k += 1.0;
            let spread = Self::turned(&piece.outline, turn_deg, (w, h), overlap, 0);
            // Square to the page is easier to read; of two such, upright.
            let askew = if turn_deg.rem_euclid(90.0) > 0.0 {
                1000.0
            } else {
                0.0
            };
            let rank = turn_deg.min(180.0 - turn_deg) + askew;
            all.push((spread.cells.len(), rank, spread));
        }
        all.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
        let mut first = None;
        for (_, _, spread) in all {
            let settled = spread.settled(piece, words);
            if !settled.cuts_a_hole(piece) {
                return settled;
            }
            first.get_or_insert(settled);
        }
        // More pages leave more slack.
        for more in 1..=MORE_PAGES {
            let settled =
                Self::turned(&piece.outline, 0.0, (w, h), overlap, more).settled(piece, words);
            if !settled.cuts_a_hole(piece) {
                return settled;
            }
        }
        first.unwrap_or_else(|| Self::turned(&piece.outline, 0.0, (w, h), overlap, 0))
    }

    /// The fewest pages that an outline can be spread over, holes or no holes.
    pub(super) fn fewest(outline: &Outline, frame: &Frame, overlap: f64) -> usize {
        let (w, h) = frame.window();
        let overlap = overlap.clamp(0.0, w.min(h) / 3.0);
        (0..180)
            .map(|k| f64::from(k) * TURN_STEP)
            .take_while(|turn| *turn < 180.0)
            .map(|turn| Self::turned(outline, turn, (w, h), overlap, 0).cells.len())
            .min()
            .unwrap_or(1)
    }

    /// Where a point of the grid is in the axes of the piece.
    pub(super) fn back(&self, p: Point2) -> Point2 {
        self.pose_in_grid().undone(p)
    }

    /// On which of the pages a point of the piece is, up to the joins; on none beside them.
    pub(super) fn page_of(&self, p: Point2) -> Option<usize> {
        let cell = self.cell_of(self.pose_in_grid().apply(p))?;
        self.cells.iter().position(|&c| c == cell)
    }

    /// The cell that has a point of the grid.
    fn cell_of(&self, p: Point2) -> Option<(usize, usize)> {
        self.cells.iter().copied().find(|&cell| {
            let (low, high) = self.share(cell);
            low.x <= p.x && p.x < high.x && low.y <= p.y && p.y < high.y
        })
    }

    /// Whether words in a box on the page of a cell stand there: where their middle is up to the joins, or where
    /// they are whole if they are not whole there.
    pub(super) fn has_words(
        &self,
        (low, high): (Point2, Point2),
        cell: (usize, usize),
        frame: &Frame,
    ) -> bool {
        let corner =
            |c: (usize, usize)| Vector2::new(c.0 as f64 * self.step.0, c.1 as f64 * self.step.1);
        let by = |c: (usize, usize)| corner(cell) - corner(c) - frame.low.coords;
        let shows = |c: (usize, usize)| {
            let (low, high) = (low + by(c), high + by(c));
            low.x >= 0.0 && low.y >= 0.0 && high.x <= self.window.0 && high.y <= self.window.1
        };
        let middle = low + (high - low) / 2.0 + corner(cell) - frame.low.coords;
        let home = self.cell_of(middle).filter(|c| shows(*c));
        match home {
            Some(home) => home == cell,
            None => shows(cell) || !self.cells.iter().any(|&c| c != cell && shows(c)),
        }
    }

    /// Whether a join runs through a round hole.
    pub(super) fn cuts_a_hole(&self, piece: &Piece) -> bool {
        self.hits(piece, &[], 0.0) > 0
    }

    /// On `more` rows and columns than it need be.
    fn turned(
        outline: &Outline,
        turn_deg: f64,
        window: (f64, f64),
        overlap: f64,
        more: usize,
    ) -> Self {
        let pose = Pose::new(turn_deg, 0.0, 0.0);
        let points: Vec<Point2> = outline.points.iter().map(|&p| pose.apply(p)).collect();
        let (low, high) = bounds(&points).unwrap_or((Point2::origin(), Point2::origin()));
        let (w, h) = (high.x - low.x, high.y - low.y);
        let step = (window.0 - overlap, window.1 - overlap);
        let columns = count(w, window.0, overlap) + more;
        let rows = count(h, window.1, overlap) + more;
        let slack = (
            (columns - 1) as f64 * step.0 + window.0 - w,
            (rows - 1) as f64 * step.1 + window.1 - h,
        );
        let mut spread = Self {
            turn_deg,
            shift: Point2::new(slack.0 / 2.0 - low.x, slack.1 / 2.0 - low.y),
            columns,
            rows,
            cells: Vec::new(),
            step,
            window,
            overlap,
            off_middle: (0.0, 0.0),
        };
        spread.cells = spread.used(outline);
        spread
    }

    /// The same with joins moved off holes and words where the slack allows, on no more pages.
    fn settled(self, piece: &Piece, words: &[(Point2, Point2)]) -> Self {
        let pose = Pose::new(self.turn_deg, 0.0, 0.0);
        let points: Vec<Point2> = piece
            .outline
            .points
            .iter()
            .map(|&p| pose.apply(p))
            .collect();
        let Some((low, high)) = bounds(&points) else {
            return self;
        };
        let slack = |n: usize, step: f64, window: f64, size: f64| {
            ((n - 1) as f64 * step + window - size).max(0.0)
        };
        let sx = slack(self.columns, self.step.0, self.window.0, high.x - low.x);
        let sy = slack(self.rows, self.step.1, self.window.1, high.y - low.y);
        let mut best: Option<(usize, f64, Self)> = None;
        for off_middle in self.offs() {
            // Joins lie in the middle unless something runs along them wherever the piece is shifted.
            if best.as_ref().is_some_and(|(hits, _, _)| *hits < CROSSED) {
                break;
            }
            for i in 0..SHIFTS {
                for j in 0..SHIFTS {
                    let part = |k: usize| k as f64 / (SHIFTS - 1) as f64;
                    let mut moved = self.clone();
                    moved.off_middle = off_middle;
                    moved.shift = Point2::new(part(i) * sx - low.x, part(j) * sy - low.y);
                    let hit = moved.hits(piece, words, OFF_HOLE);
                    let off = (part(i) - 0.5).abs() + (part(j) - 0.5).abs();
                    if best
                        .as_ref()
                        .is_some_and(|(hits, least, _)| (hit, off) >= (*hits, *least))
                    {
                        continue;
                    }
                    moved.cells = moved.used(&piece.outline);
                    if moved.cells.len() <= self.cells.len() {
                        best = Some((hit, off, moved));
                    }
                }
            }
        }
        best.map_or(self, |(_, _, spread)| spread)
    }

    /// Where joins may lie in the overlap: in the middle, then off it where there is room.
    fn offs(&self) -> Vec<(f64, f64)> {
        let most = (self.overlap / 2.0 - LEFT_OVER).min(OFF_MIDDLE);
        let mut offs = vec![(0.0, 0.0)];
        if most > 0.0 {
            let (across, up) = (self.columns > 1, self.rows > 1);
            offs.extend(
                [most, -most]
                    .map(|d| (d, 0.0))
                    .into_iter()
                    .filter(|_| across),
            );
            offs.extend([most, -most].map(|d| (0.0, d)).into_iter().filter(|_| up));
        }
        offs
    }

    /// How much of the overlap the page of a cell has beyond its join with another one, mm.
    pub(super) fn beyond(&self, cell: (usize, usize), other: (usize, usize)) -> f64 {
        let off = if other.0 == cell.0 {
            self.off_middle.1
        } else {
            self.off_middle.0
        };
        let onward = other.0 > cell.0 || other.1 > cell.1;
        self.overlap / 2.0 - if onward { off } else { -off }
    }

    /// How much joins run through: a hole counts for more than all words together, and words on a
    /// join for more than words on the edge of a page, which are whole on the next.
    fn hits(&self, piece: &Piece, words: &[(Point2, Point2)], off: f64) -> usize {
        let pose = self.pose_in_grid();
        let cut = |low: f64, high: f64, n: usize, (step, window): (f64, f64), beside: f64| {
            (1..n)
                .map(|k| (k - 1) as f64 * step + window - self.overlap / 2.0 + beside)
                .filter(|&join| low < join && join < high)
                .count()
        };
        // What lies on a line so far beside the middle of an overlap.
        let beside = |low: Point2, high: Point2, (x, y): (f64, f64)| {
            let across = (self.step.0, self.window.0);
            let up = (self.step.1, self.window.1);
            cut(low.x, high.x, self.columns, across, x) + cut(low.y, high.y, self.rows, up, y)
        };
        let crossed = |low: Point2, high: Point2| beside(low, high, self.off_middle);
        let holes: usize = piece
            .rounds()
            .map(|(at, diameter)| {
                let (at, reach) = (pose.apply(at), diameter / 2.0 + off);
                crossed(
                    Point2::new(at.x - reach, at.y - reach),
                    Point2::new(at.x + reach, at.y + reach),
                )
            })
            .sum();
        let words: usize = words
            .iter()
            .map(|each| {
                let (low, high) = turned_box(*each, &pose);
                let room = Vector2::repeat(OFF_WORDS);
                let edges = [-self.overlap / 2.0, self.overlap / 2.0];
                let cut: usize = edges
                    .iter()
                    .map(|&edge| beside(low, high, (edge, edge)))
                    .sum();
                CROSSED * crossed(low - room, high + room) + cut
            })
            .sum();
        holes * 10_000 + words
    }

    fn pose_in_grid(&self) -> Pose {
        Pose::new(self.turn_deg, self.shift.x, self.shift.y)
    }

    /// Where the piece lies on the page of a cell.
    pub(super) fn pose(&self, (column, row): (usize, usize), frame: &Frame) -> Pose {
        Pose::new(
            self.turn_deg,
            self.shift.x - column as f64 * self.step.0 + frame.low.x,
            self.shift.y - row as f64 * self.step.1 + frame.low.y,
        )
    }

    /// The share of a cell: its window up to the join lines.
    fn share(&self, (column, row): (usize, usize)) -> (Point2, Point2) {
        let half = self.overlap / 2.0;
        let span = |k: usize, n: usize, (step, window): (f64, f64), off: f64| {
            let from = k as f64 * step + if k > 0 { half + off } else { 0.0 };
            let to = k as f64 * step + window - if k + 1 < n { half - off } else { 0.0 };
            (from, to)
        };
        let off = self.off_middle;
        let (x0, x1) = span(column, self.columns, (self.step.0, self.window.0), off.0);
        let (y0, y1) = span(row, self.rows, (self.step.1, self.window.1), off.1);
        (Point2::new(x0, y0), Point2::new(x1, y1))
    }

    /// Cells that hold some of the piece: from the top row down, from left to right.
    fn used(&self, outline: &Outline) -> Vec<(usize, usize)> {
        let pose = self.pose_in_grid();
        let outer = Outline {
            points: outline.points.iter().map(|&p| pose.apply(p)).collect(),
        };
        let all = (0..self.rows)
            .rev()
            .flat_map(|r| (0..self.columns).map(move |c| (c, r)));
        if self.rows == 1 || self.columns == 1 {
            // In a single row or column every page holds some.
            return all.collect();
        }
        all.filter(|&cell| {
            let (low, high) = self.share(cell);
            let corners = [
                low,
                Point2::new(high.x, low.y),
                high,
                Point2::new(low.x, high.y),
            ];
            let held = outer.area_inside(low, high);
            if (held - LEAST_SHARE).abs() > SHARE_ACCURACY {
                return held > LEAST_SHARE;
            }
            // On the border the polygons decide, as they cut.
            let share = Region::solid(Outline {
                points: corners.to_vec(),
            });
            area(&intersection(&[Region::solid(outer.clone())], &[share])) > LEAST_SHARE
        })
        .collect()
    }
}

/// The box round a turned box.
fn turned_box((low, high): (Point2, Point2), pose: &Pose) -> (Point2, Point2) {
    let corners = [
        low,
        Point2::new(high.x, low.y),
        high,
        Point2::new(low.x, high.y),
    ]
    .map(|c| pose.apply(c));
    bounds(&corners).unwrap_or((low, high))
}

/// A little map of the pages of a piece, this one crossed.
pub(super) fn map(
    spread: &PageSpread,
    piece: &Piece,
    cell: (usize, usize),
    (corner, side): (Point2, f64),
) -> Vec<Item> {
    let whole = (
        (spread.columns - 1) as f64 * spread.step.0 + spread.window.0,
        (spread.rows - 1) as f64 * spread.step.1 + spread.window.1,
    );
    let scale = side / whole.0.max(whole.1);
    let small = |p: Point2| Point2::new(corner.x + p.x * scale, corner.y + p.y * scale);
    let mut items = Vec::new();
    for &each in &spread.cells {
        let (low, high) = spread.share(each);
        let square = [
            low,
            Point2::new(high.x, low.y),
            high,
            Point2::new(low.x, high.y),
        ]
        .map(small);
        items.push(Item::path(Pen::Fine, square, true));
        if each == cell {
            items.push(Item::path(Pen::Mark, vec![square[0], square[2]], false));
            items.push(Item::path(Pen::Mark, vec![square[1], square[3]], false));
        }
    }
    let pose = spread.pose_in_grid();
    let outline: Vec<Point2> = piece
        .outline
        .points
        .iter()
        .map(|&p| small(pose.apply(p)))
        .collect();
    items.push(Item::path(Pen::Mark, outline, true));
    items
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn windows_cover_a_length_with_their_overlap() {
        assert_eq!(count(180.0, 180.0, 15.0), 1);
        assert_eq!(count(181.0, 180.0, 15.0), 2);
        assert_eq!(count(345.0, 180.0, 15.0), 2);
        assert_eq!(count(345.1, 180.0, 15.0), 3);
    }
}
