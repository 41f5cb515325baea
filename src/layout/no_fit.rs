//! Where one piece may not lie when another lies at the origin, on a grid.
//!
//! For convex shapes the forbidden offsets of `b` against `a` are the points inside `a + (-b)`
//! (the no-fit polygon; Adamowicz and Albano, Computer-Aided Design 8, 1976); for pieces covered by several
//! convex shapes they are the union over all pairs. Only grid points matter, so each grid row holds
//! a few spans, exact to the last grid point: nothing is lost to a raster of the pieces themselves.

use crate::geom::Point2;
use crate::layout::convex;
use crate::tolerance::SAME_POINT_EPS_MM;

/// A piece turned one way, its lower left bounding corner at the origin.
#[derive(Clone, Debug)]
pub(crate) struct Variant {
    /// Index of the piece.
    pub(crate) piece: usize,
    /// Turn, degrees.
    pub(crate) turn_deg: f64,
    /// Lower left bounding corner of the turned piece before it was moved to the origin.
    pub(crate) corner: Point2,
    /// Breadth and height of the turned piece.
    pub(crate) size: (f64, f64),
    /// What stands in for it where nothing lies in its openings.
    filled: Stand,
    /// What stands in for it where something may lie in an opening, and the breadth and height of
    /// the largest opening.
    open: Option<(Stand, (f64, f64))>,
}

/// Convex shapes that cover a turned piece.
#[derive(Clone, Debug)]
struct Stand {
    /// Grown by the distance to keep.
    grown: Vec<Vec<Point2>>,
    /// Turned by half a turn about the origin.
    reversed: Vec<Vec<Point2>>,
}

impl Stand {
    fn new(parts: &[Vec<Point2>], low: Point2, disc: &[Point2]) -> Self {
        let moved: Vec<Vec<Point2>> = parts
            .iter()
            .map(|part| {
                let part: Vec<Point2> = part
                    .iter()
                    .map(|p| Point2::new(p.x - low.x, p.y - low.y))
                    .collect();
                convex::hull(&part)
            })
            .collect();
        Self {
            grown: moved.iter().map(|p| convex::sum(p, disc)).collect(),
            reversed: moved
                .iter()
                .map(|part| {
                    let part: Vec<Point2> = part.iter().map(|p| Point2::new(-p.x, -p.y)).collect();
                    convex::hull(&part)
                })
                .collect(),
        }
    }
}

/// A turned piece before it is made a [`Variant`].
pub(crate) struct Turned<'a> {
    /// The outline.
    pub(crate) outline: &'a [Point2],
    /// Convex shapes that cover it with its openings filled.
    pub(crate) filled: &'a [Vec<Point2>],
    /// Convex shapes that cover it with its large openings left free, and the largest opening;
    /// none when no opening is large.
    pub(crate) open: Option<(&'a [Vec<Point2>], &'a [Point2])>,
}

impl Variant {
    /// A piece in a turn; `disc` is what it is grown by.
    pub(crate) fn new(piece: usize, turn_deg: f64, turned: &Turned<'_>, disc: &[Point2]) -> Self {
        let across = |points: &[Point2]| {
            crate::layout::bounds(points).map_or((Point2::origin(), (0.0, 0.0)), |(low, high)| {
                (low, (high.x - low.x, high.y - low.y))
            })
        };
        let (low, size) = across(turned.outline);
        Self {
            piece,
            turn_deg,
            corner: low,
            size,
            filled: Stand::new(turned.filled, low, disc),
            open: turned
                .open
                .map(|(parts, hole)| (Stand::new(parts, low, disc), across(hole).1)),
        }
    }

    /// What stands in for it beside `other`: with openings only when the other could lie in one.
    fn beside(&self, other: &Self) -> &Stand {
        match &self.open {
            Some((stand, _)) if self.opens_to(other) => stand,
            _ => &self.filled,
        }
    }

    /// Whether `other` could lie in an opening.
    pub(crate) fn opens_to(&self, other: &Self) -> bool {
        self.open
            .as_ref()
            .is_some_and(|(_, hole)| other.size.0 < hole.0 && other.size.1 < hole.1)
    }

    /// What stands in for it, turned by half a turn about its lower left corner: with its openings
    /// filled, and with the large ones open where it has some.
    pub(crate) fn reversed(&self) -> (&[Vec<Point2>], Option<&[Vec<Point2>]>) {
        let open = self
            .open
            .as_ref()
            .map(|(stand, _)| stand.reversed.as_slice());
        (&self.filled.reversed, open)
    }
}

/// Forbidden grid offsets, row by row.
#[derive(Clone, Debug, Default)]
pub(crate) struct Forbidden {
    /// Row of the first entry of `starts`.
    first: i32,
    /// Where the spans of each row begin; one more than there are rows.
    starts: Vec<u32>,
    /// First and last forbidden column.
    spans: Vec<(i16, i16)>,
}

impl Forbidden {
    /// Offsets, in steps of `grid`, at which `moving` comes too near to `fixed` at the origin.
    pub(crate) fn new(fixed: &Variant, moving: &Variant, grid: f64) -> Self {
        let (fixed, moving) = (fixed.beside(moving), moving.beside(fixed));
        let mut layers: Vec<Rows> = Vec::with_capacity(fixed.grown.len() * moving.reversed.len());
        for a in &fixed.grown {
            for b in &moving.reversed {
                layers.push(Rows::new(&convex::sum(a, b), grid));
            }
        }
        layers.retain(|l| !l.spans.is_empty());
        let first = layers.iter().map(|l| l.first).min().unwrap_or(0);
        let end = layers.iter().map(Rows::end).max().unwrap_or(0);
        let mut out = Self {
            first,
            starts: vec![0],
            spans: Vec::new(),
        };
        let mut row_spans: Vec<(i16, i16)> = Vec::new();
        for row in first..end {
            row_spans.clear();
            row_spans.extend(layers.iter().filter_map(|l| l.at(row)));
            row_spans.sort_unstable();
            let start = out.spans.len();
            for &(from, to) in &row_spans {
                match out.spans[start..].last_mut() {
                    Some(last) if from <= last.1.saturating_add(1) => last.1 = last.1.max(to),
                    _ => out.spans.push((from, to)),
                }
            }
            out.starts.push(u32::try_from(out.spans.len()).unwrap_or(0));
        }
        out
    }

    /// Blocks what is forbidden when the fixed piece lies at `(column, row)`; with `reversed`, what
    /// is forbidden to the fixed piece when the moving one lies there.
    pub(crate) fn block(&self, at: (i32, i32), reversed: bool, window: &mut Window) {
        let rows = i32::try_from(self.starts.len()).unwrap_or(i32::MAX) - 1;
        // Entries whose row the window has.
        let (low, high) = (window.first_row, window.first_row + window.rows);
        let (from, to) = if reversed {
            (at.1 - self.first - high + 1, at.1 - self.first - low + 1)
        } else {
            (low - at.1 - self.first, high - at.1 - self.first)
        };
        for k in from.max(0)..to.min(rows) {
            let offset = self.first + k;
            let row = if reversed {
                at.1 - offset
            } else {
                at.1 + offset
            };
            let k = usize::try_from(k).unwrap_or(0);
            let Some(line) = window.row_mut(row) else {
                continue;
            };
            let (line, columns) = line;
            for &(from, to) in &self.spans[self.starts[k] as usize..self.starts[k + 1] as usize] {
                let (from, to) = if reversed {
                    (at.0 - i32::from(to), at.0 - i32::from(from))
                } else {
                    (at.0 + i32::from(from), at.0 + i32::from(to))
                };
                set(line, from.max(0), to.min(columns - 1));
            }
        }
    }
}

/// Sets bits `from` to `to`, both included; nothing when `to < from`.
#[allow(
    clippy::cast_sign_loss,
    reason = "from is at least 0 and to at least from"
)]
fn set(line: &mut [u64], from: i32, to: i32) {
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
struct Rows {
    first: i32,
    spans: Vec<(i16, i16)>,
}

impl Rows {
    #[allow(
        clippy::cast_possible_truncation,
        reason = "boards are far smaller than 32767 grid steps"
    )]
    fn new(outline: &[Point2], grid: f64) -> Self {
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
        let mut right = Side::new(outline[0], outline[1]);
        let mut left = Side::new(outline[0], outline[n - 1]);
        let (mut r, mut l) = (1, n - 1);
        let spans = (first..=last)
            .map(|row| {
                let y = f64::from(row) * grid;
                while r < top && outline[r].y < y {
                    right = Side::new(outline[r], outline[r + 1]);
                    r += 1;
                }
                while l > top && outline[l].y < y {
                    left = Side::new(outline[l], outline[l - 1]);
                    l -= 1;
                }
                let from = floor((left.at(y) + SAME_POINT_EPS_MM) / grid) + 1;
                let to = -floor((SAME_POINT_EPS_MM - right.at(y)) / grid) - 1;
                (from as i16, to as i16)
            })
            .collect();
        Self { first, spans }
    }

    fn end(&self) -> i32 {
        self.first + i32::try_from(self.spans.len()).unwrap_or(0)
    }

    fn at(&self, row: i32) -> Option<(i16, i16)> {
        let k = usize::try_from(row - self.first).ok()?;
        self.spans.get(k).copied().filter(|(from, to)| from <= to)
    }
}

/// The next whole number down, without the call that `f64::floor` is on older processors.
#[allow(
    clippy::cast_possible_truncation,
    reason = "boards are far smaller than 2^31 grid steps"
)]
fn floor(value: f64) -> i32 {
    let whole = value as i32;
    whole - i32::from(f64::from(whole) > value)
}

/// One side of an outline as `x` over `y`.
struct Side {
    from: Point2,
    slope: f64,
}

impl Side {
    fn new(from: Point2, to: Point2) -> Self {
        let rise = to.y - from.y;
        let level = rise <= SAME_POINT_EPS_MM;
        Self {
            from: if level { to } else { from },
            slope: if level { 0.0 } else { (to.x - from.x) / rise },
        }
    }

    fn at(&self, y: f64) -> f64 {
        self.from.x + self.slope * (y - self.from.y)
    }
}

/// Grid positions on a board, a bit for each: set where a piece may not lie.
#[derive(Clone, Debug, Default)]
pub(crate) struct Window {
    columns: i32,
    first_row: i32,
    rows: i32,
    words: usize,
    bits: Vec<u64>,
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

    fn row_mut(&mut self, row: i32) -> Option<(&mut [u64], i32)> {
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

#[cfg(test)]
mod tests {
    use super::*;

    fn square(side: f64, disc: &[Point2]) -> Variant {
        let points = vec![
            Point2::new(0.0, 0.0),
            Point2::new(side, 0.0),
            Point2::new(side, side),
            Point2::new(0.0, side),
        ];
        let turned = Turned {
            outline: &points,
            filled: std::slice::from_ref(&points),
            open: None,
        };
        Variant::new(0, 0.0, &turned, disc)
    }

    #[test]
    fn squares_may_touch_the_gap_but_not_enter_it() {
        let disc = [
            Point2::new(-4.0, -4.0),
            Point2::new(4.0, -4.0),
            Point2::new(4.0, 4.0),
            Point2::new(-4.0, 4.0),
        ];
        let forbidden = Forbidden::new(&square(100.0, &disc), &square(50.0, &disc), 2.0);
        let mut window = Window::default();
        window.reset(200, 0, 1);
        forbidden.block((0, 0), false, &mut window);
        // 100 wide, gap 4: the first free place is 104 mm, 52 steps, to the right.
        assert_eq!(window.best(1.0, 1.0), Some((52.0, 52, 0)));
        window.reset(200, 0, 1);
        forbidden.block((100, 0), true, &mut window);
        // Against a 50 square at 200 mm, a 100 square lies free from 0 to 96 and again from 254.
        assert_eq!(window.best(1.0, 1.0), Some((0.0, 0, 0)));
        let blocked: Vec<i32> = (0..200)
            .filter(|&c| window.bits[usize::try_from(c / 64).unwrap()] >> (c % 64) & 1 == 1)
            .collect();
        assert_eq!((blocked[0], blocked[blocked.len() - 1]), (49, 126));
    }

    #[test]
    fn bits_are_set_across_words() {
        let mut line = [0_u64; 3];
        set(&mut line, 60, 130);
        let count: u32 = line.iter().map(|w| w.count_ones()).sum();
        assert_eq!(count, 71);
        assert_eq!(line[0].trailing_zeros(), 60);
        set(&mut line, 5, 4);
        assert_eq!(line.iter().map(|w| w.count_ones()).sum::<u32>(), 71);
    }
}
