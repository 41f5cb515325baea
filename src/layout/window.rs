//! Grid points that are blocked, row by row, and the best of those that are left.

use crate::geom::Point2;
use crate::tolerance::SAME_POINT_EPS_MM;

/// Rows that are blocked together where a pair's furthest corners show that all of them are forbidden.
const ROWS_AT_ONCE: usize = 4;

/// What is forbidden by less than this is not shown by the furthest corners, mm. Our choice: far above rounding, far
/// below the grid.
const SHOWN_MM: f64 = 1000.0 * SAME_POINT_EPS_MM;

/// Sets bits `from` to `to`, both included; nothing when `to < from`.
#[allow(
    clippy::cast_sign_loss,
    reason = "from is at least 0 and to at least from"
)]
pub(super) fn set(line: &mut [u64], from: i32, to: i32) {
    if to < from {
        return;
    }
    let (from, to) = (from as usize, to as usize);
    let (a, b) = (from / 64, to / 64);
    let low = u64::MAX << (from % 64);
    let high = u64::MAX >> (63 - to % 64);
    if a == b {
        line[a] |= low & high;
    } else {
        line[a] |= low;
        for word in &mut line[a + 1..b] {
            *word = u64::MAX;
        }
        line[b] |= high;
    }
}

/// Grid points strictly inside a convex outline: one span for each row, empty where the first
/// column is beyond the last.
pub(super) struct Rows {
    pub(super) first: i32,
    pub(super) spans: Vec<(i16, i16)>,
}

impl Rows {
    #[allow(
        clippy::cast_possible_truncation,
        reason = "boards are far smaller than 32767 grid steps"
    )]
    pub(super) fn new(outline: &[Point2], grid: f64) -> Self {
        let n = outline.len();
        let top = (0..n)
            .max_by(|&a, &b| outline[a].y.total_cmp(&outline[b].y))
            .unwrap_or(0);
        if n < 3 || top == 0 {
            return Self {
                first: 0,
                spans: Vec::new(),
            };
        }
        let first = floor((outline[0].y + SAME_POINT_EPS_MM) / grid) + 1;
        let last = -floor((SAME_POINT_EPS_MM - outline[top].y) / grid) - 1;
        let rows = usize::try_from(last - first + 1).unwrap_or(0);
        let mut spans = vec![(0, 0); rows];
        // Grids are powers of two, so that this is as exact as to divide.
        let steps = 1.0 / grid;
        let right = outline[..=top].iter().copied();
        along(right, (first, last), grid, &mut spans, |span, x| {
            span.1 = (-floor((SAME_POINT_EPS_MM - x) * steps) - 1) as i16;
        });
        let left = outline[top..].iter().rev().copied();
        let left = std::iter::once(outline[0]).chain(left);
        along(left, (first, last), grid, &mut spans, |span, x| {
            span.0 = (floor((x + SAME_POINT_EPS_MM) * steps) + 1) as i16;
        });
        Self { first, spans }
    }

    pub(super) fn end(&self) -> i32 {
        self.first + i32::try_from(self.spans.len()).unwrap_or(0)
    }

    pub(super) fn at(&self, row: i32) -> Option<(i16, i16)> {
        let k = usize::try_from(row - self.first).ok()?;
        self.spans.get(k).copied().filter(|(from, to)| from <= to)
    }
}

/// The next whole number down, without the call that `f64::floor` is on older processors.
#[allow(
    clippy::cast_possible_truncation,
    reason = "boards are far smaller than 2^31 grid steps"
)]
pub(super) fn floor(value: f64) -> i32 {
    let whole = value as i32;
    whole - i32::from(f64::from(whole) > value)
}

/// Whether a point lies strictly inside a convex outline that begins at its lowest corner.
pub(super) fn is_inside(outline: &[Point2], p: Point2) -> bool {
    let Some(lowest) = outline.first() else {
        return false;
    };
    let top = outline.iter().map(|q| q.y).fold(lowest.y, f64::max);
    if p.y <= lowest.y + SAME_POINT_EPS_MM || p.y >= top - SAME_POINT_EPS_MM {
        return false;
    }
    // Where its height is on a side between a corner below and one that is not.
    let mut left = f64::INFINITY;
    let mut right = f64::NEG_INFINITY;
    for (k, a) in outline.iter().enumerate() {
        let b = outline[(k + 1) % outline.len()];
        if (a.y < p.y) != (b.y < p.y) {
            let x = a.x + (b.x - a.x) * ((p.y - a.y) / (b.y - a.y));
            left = left.min(x);
            right = right.max(x);
        }
    }
    p.x > left + SAME_POINT_EPS_MM && p.x < right - SAME_POINT_EPS_MM
}

/// Goes up one side of a convex outline, from its lowest corner to the topmost, and says where it is in every row.
pub(super) fn along(
    mut corners: impl Iterator<Item = Point2>,
    (first, last): (i32, i32),
    grid: f64,
    spans: &mut [(i16, i16)],
    mut put: impl FnMut(&mut (i16, i16), f64),
) {
    let Some(mut from) = corners.next() else {
        return;
    };
    let mut corners = corners.peekable();
    let steps = 1.0 / grid;
    let mut rest = spans;
    let mut y = f64::from(first) * grid;
    let mut row = first;
    while let Some(to) = corners.next() {
        // The last side goes on to the last row.
        let end = if corners.peek().is_some() {
            floor(to.y * steps).min(last)
        } else {
            last
        };
        if end >= row {
            let rise = to.y - from.y;
            let (at, slope) = if rise <= SAME_POINT_EPS_MM {
                (to, 0.0)
            } else {
                (from, (to.x - from.x) / rise)
            };
            let (own, further) = rest.split_at_mut(usize::try_from(end + 1 - row).unwrap_or(0));
            for span in own {
                put(span, at.x + slope * (y - at.y));
                y += grid;
            }
            rest = further;
            row = end + 1;
        }
        from = to;
    }
}

/// Grid positions on a board, a bit for each: set where a piece may not lie.
#[derive(Clone, Debug, Default)]
pub(crate) struct Window {
    pub(super) columns: i32,
    pub(super) first_row: i32,
    pub(super) rows: i32,
    pub(super) words: usize,
    pub(super) bits: Vec<u64>,
    /// Room to work in: where an outline is at some heights.
    pub(super) spans: Vec<(f64, f64)>,
}

impl Window {
    /// Clears it for positions `0..columns` by `first_row..first_row + rows`.
    pub(crate) fn reset(&mut self, columns: i32, first_row: i32, rows: i32) {
        self.columns = columns;
        self.first_row = first_row;
        self.rows = rows;
        self.words = usize::try_from(columns).unwrap_or(0).div_ceil(64);
        self.bits.clear();
        self.bits
            .resize(self.words * usize::try_from(rows).unwrap_or(0), 0);
    }

    pub(super) fn row_mut(&mut self, row: i32) -> Option<(&mut [u64], i32)> {
        let k = row - self.first_row;
        if k < 0 || k >= self.rows {
            return None;
        }
        let k = usize::try_from(k).ok()?;
        Some((
            &mut self.bits[k * self.words..(k + 1) * self.words],
            self.columns,
        ))
    }

    /// Blocks rows a few at once that lie well inside a convex outline.
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "boards are far smaller than 2^31 grid steps, and what is cast is not negative"
    )]
    pub(super) fn block_inside(&mut self, corners: &[Point2], grid: f64) {
        let rows = usize::try_from(self.rows).unwrap_or(0);
        let heights = rows.div_ceil(ROWS_AT_ONCE) + 1;
        let (low, rise) = (f64::from(self.first_row) * grid, grid * ROWS_AT_ONCE as f64);
        let (bottom, top) = corners
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), p| {
                (a.min(p.y), b.max(p.y))
            });
        let first = ((bottom + SHOWN_MM - low) / rise).max(0.0).ceil() as usize;
        let end = ((top - SHOWN_MM - low) / rise).max(-1.0).floor() + 1.0;
        let end = (end as usize).min(heights);
        if end < first + 2 {
            return;
        }
        self.spans.clear();
        self.spans.resize(end, (f64::INFINITY, f64::NEG_INFINITY));
        for (k, &a) in corners.iter().enumerate() {
            let b = corners[(k + 1) % corners.len()];
            let up = b.y > a.y;
            let (lower, upper) = if up { (a, b) } else { (b, a) };
            let from = ((lower.y - low) / rise).max(0.0).ceil() as usize;
            let to = ((upper.y - low) / rise).max(-1.0).floor() + 1.0;
            let to = (to as usize).min(end);
            if from >= to {
                continue;
            }
            let slope = (b.x - a.x) / (b.y - a.y);
            for (k, span) in self.spans[from..to].iter_mut().enumerate() {
                let y = low + rise * (from + k) as f64;
                let x = a.x + slope * (y - a.y);
                // Counter-clockwise the right side goes up.
                if up {
                    span.1 = x;
                } else {
                    span.0 = x;
                }
            }
        }
        let last = f64::from(self.columns - 1);
        for k in first..end - 1 {
            let (one, two) = (self.spans[k], self.spans[k + 1]);
            let from = ((one.0.max(two.0) + SHOWN_MM) / grid).max(0.0).ceil();
            let to = ((one.1.min(two.1) - SHOWN_MM) / grid).min(last).floor();
            if from > to {
                continue;
            }
            for row in k * ROWS_AT_ONCE..((k + 1) * ROWS_AT_ONCE).min(rows) {
                let line = &mut self.bits[row * self.words..(row + 1) * self.words];
                set(line, from as i32, to as i32);
            }
        }
    }

    /// The free position with the least `along * column + up * row`, looking at the first free
    /// column of every row.
    pub(crate) fn best(&self, along: f64, up: f64) -> Option<(f64, i32, i32)> {
        let mut best: Option<(f64, i32, i32)> = None;
        for (k, line) in self.bits.chunks_exact(self.words.max(1)).enumerate() {
            let row = self.first_row + i32::try_from(k).unwrap_or(i32::MAX);
            let floor = f64::from(row) * up;
            if best.is_some_and(|(score, ..)| floor >= score) {
                break;
            }
            let Some(word) = line.iter().position(|&w| w != u64::MAX) else {
                continue;
            };
            let column = i32::try_from(word).unwrap_or(0) * 64
                + i32::try_from(line[word].trailing_ones()).unwrap_or(0);
            if column >= self.columns {
                continue;
            }
            let score = floor + f64::from(column) * along;
            if best.is_none_or(|(least, ..)| score < least) {
                best = Some((score, column, row));
            }
        }
        best
    }
}
