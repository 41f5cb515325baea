//! A map of where words may stand on a piece or a template.

use std::ops::Range;

use crate::geom::{Outline, Point2, Vector2};

/// How closely a map tells what is free.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Detail {
    /// Side of a cell, mm.
    cell: f64,
    /// Room kept between words and lines, mm.
    off_line: f64,
    /// Whether a box that ends between two cells takes the further one too.
    closed: bool,
}

/// For templates, on which lines lie close together.
pub(crate) const FINE: Detail = Detail {
    cell: 1.0,
    off_line: 0.8,
    closed: true,
};

/// For small templates, inside which all words have to find room.
pub(crate) const FINEST: Detail = Detail {
    cell: 0.5,
    off_line: 0.5,
    closed: true,
};

/// For pieces, on which words are many and lines are few.
pub(crate) const COARSE: Detail = Detail {
    cell: 2.0,
    off_line: 0.5,
    closed: false,
};

/// Rows and columns of a box.
struct Cells {
    columns: Range<usize>,
    rows: Range<usize>,
}

/// Cells of a rectangle, taken or not.
#[derive(Clone)]
pub(crate) struct FreeRoom {
    detail: Detail,
    low: Point2,
    columns: usize,
    rows: usize,
    taken: Vec<bool>,
}

impl FreeRoom {
    /// What lies inside an outline, in this detail.
    pub(crate) fn inside(outline: &Outline, detail: Detail) -> Self {
        Self::between(outline, &[outline], detail)
    }

    /// What lies inside the first of some rings, off the others, which lie in it, and clear of all of
    /// them.
    pub(crate) fn on(rings: &[&Outline]) -> Self {
        let empty = Outline::default();
        let outline = rings.first().copied().unwrap_or(&empty);
        let mut free = Self::between(outline, rings, FINE);
        for ring in rings {
            free.take_ring(ring);
        }
        free
    }

    /// What lies inside an odd number of the rings, on a map as large as the outline.
    pub(crate) fn between(outline: &Outline, rings: &[&Outline], detail: Detail) -> Self {
        let (low, high) = outline
            .bounds()
            .unwrap_or((Point2::origin(), Point2::origin()));
        let cells = |length: f64| (length / detail.cell).ceil().max(1.0) as usize;
        let (columns, rows) = (cells(high.x - low.x), cells(high.y - low.y));
        let mut free = Self {
            detail,
            low,
            columns,
            rows,
            taken: vec![true; columns * rows],
        };
        for row in 0..rows {
            let y = free.middle(row, 0).y;
            let mut crossings: Vec<f64> = rings
                .iter()
                .flat_map(|ring| ring.sides())
                .filter(|(p, q)| (p.y > y) != (q.y > y))
                .map(|(p, q)| p.x + (y - p.y) / (q.y - p.y) * (q.x - p.x))
                .collect();
            crossings.sort_by(f64::total_cmp);
            let mut passed = 0;
            for column in 0..columns {
                let x = free.middle(row, column).x;
                while crossings.get(passed).is_some_and(|&c| c <= x) {
                    passed += 1;
                }
                free.taken[row * columns + column] = passed % 2 == 0;
            }
        }
        free
    }

    /// The same map with nothing taken.
    pub(crate) fn emptied(&self) -> Self {
        Self {
            taken: vec![false; self.taken.len()],
            ..self.clone()
        }
    }

    /// What is free on both of two maps of one size.
    pub(crate) fn both(&self, other: &Self) -> Self {
        let taken = self.taken.iter().zip(&other.taken);
        Self {
            taken: taken.map(|(a, b)| *a || *b).collect(),
            ..self.clone()
        }
    }

    /// Middle of a cell.
    fn middle(&self, row: usize, column: usize) -> Point2 {
        self.low + Vector2::new(column as f64 + 0.5, row as f64 + 0.5) * self.detail.cell
    }

    /// The cells along one axis that a stretch touches, as far as they lie on the map.
    fn span(&self, from: f64, to: f64, low: f64, cells: usize) -> Range<usize> {
        let at = |mm: f64| (mm - low) / self.detail.cell;
        let first = at(from).floor().max(0.0) as usize;
        let end = if self.detail.closed {
            at(to).floor() + 1.0
        } else {
            at(to).ceil()
        };
        first.min(cells)..(end.max(0.0) as usize).min(cells)
    }

    /// The cells that a box touches.
    fn cells(&self, low: Point2, high: Point2) -> Cells {
        Cells {
            columns: self.span(low.x, high.x, self.low.x, self.columns),
            rows: self.span(low.y, high.y, self.low.y, self.rows),
        }
    }

    /// The upper corner of the map.
    fn end(&self) -> Point2 {
        self.low + Vector2::new(self.columns as f64, self.rows as f64) * self.detail.cell
    }

    /// Whether a box lies on the map.
    fn holds(&self, low: Point2, high: Point2) -> bool {
        let end = self.end();
        low.x >= self.low.x && low.y >= self.low.y && high.x <= end.x && high.y <= end.y
    }

    /// Takes a box.
    pub(crate) fn take(&mut self, low: Point2, high: Point2) {
        let Cells { columns, rows } = self.cells(low, high);
        if columns.is_empty() {
            return;
        }
        for row in rows {
            let start = row * self.columns;
            self.taken[start + columns.start..start + columns.end].fill(true);
        }
    }

    /// Takes the room of a line.
    pub(crate) fn take_line(&mut self, path: &[Point2]) {
        let room = Vector2::repeat(self.detail.off_line);
        // So close that no cell which a slanting line crosses is left out between two steps.
        let step = self.detail.cell.min(2.0 * self.detail.off_line);
        for pair in path.windows(2) {
            let d = pair[1] - pair[0];
            let steps = (d.norm() / step).ceil().max(1.0) as usize;
            for k in 0..=steps {
                let p = pair[0] + d * (k as f64 / steps as f64);
                self.take(p - room, p + room);
            }
        }
    }

    /// Takes the room of a closed line.
    pub(crate) fn take_ring(&mut self, ring: &Outline) {
        for (a, b) in ring.sides() {
            self.take_line(&[a, b]);
        }
    }

    /// Whether a box is free and on the map.
    pub(crate) fn is_free(&self, low: Point2, high: Point2) -> bool {
        let Cells { columns, mut rows } = self.cells(low, high);
        self.holds(low, high)
            && (columns.is_empty()
                || rows.all(|row| {
                    let start = row * self.columns;
                    let along = &self.taken[start + columns.start..start + columns.end];
                    along.iter().all(|taken| !taken)
                }))
    }

    /// How many cells are taken from the first one up to every row and column.
    fn sums(&self) -> Vec<u32> {
        let wide = self.columns + 1;
        let mut sums = vec![0; wide * (self.rows + 1)];
        for row in 0..self.rows {
            let mut along = 0;
            for column in 0..self.columns {
                along += u32::from(self.taken[row * self.columns + column]);
                sums[(row + 1) * wide + column + 1] = sums[row * wide + column + 1] + along;
            }
        }
        sums
    }

    /// Of the cells whose middle may be that of a box of a size, because the box is free there, the
    /// middle of the nearest; `away` measures from where it is wanted.
    pub(crate) fn nearest(
        &self,
        size: Vector2,
        wanted: Point2,
        away: impl Fn(Vector2) -> f64,
        may: impl Fn(Point2) -> bool,
    ) -> Option<Point2> {
        let half = size / 2.0;
        // What a box in each row and column touches, where it does not reach beyond the map: found once.
        let end = self.end();
        let rows: Vec<Option<Range<usize>>> = (0..self.rows)
            .map(|row| {
                let y = self.middle(row, 0).y;
                let (from, to) = (y - half.y, y + half.y);
                let holds = from >= self.low.y && to <= end.y;
                holds.then(|| self.span(from, to, self.low.y, self.rows))
            })
            .collect();
        let columns: Vec<Option<Range<usize>>> = (0..self.columns)
            .map(|column| {
                let x = self.middle(0, column).x;
                let (from, to) = (x - half.x, x + half.x);
                let holds = from >= self.low.x && to <= end.x;
                holds.then(|| self.span(from, to, self.low.x, self.columns))
            })
            .collect();
        let sums = self.sums();
        let taken_before = |row: usize, column: usize| sums[row * (self.columns + 1) + column];
        let mut best: Option<(f64, Point2)> = None;
        for (row, over) in rows.iter().enumerate() {
            let Some(over) = over else { continue };
            for (column, along) in columns.iter().enumerate() {
                let Some(along) = along else { continue };
                if self.taken[row * self.columns + column] {
                    continue;
                }
                let free = taken_before(over.end, along.end)
                    + taken_before(over.start, along.start)
                    == taken_before(over.start, along.end) + taken_before(over.end, along.start);
                if !free {
                    continue;
                }
                let at = self.middle(row, column);
                let far = away(at - wanted);
                // The dearest question last.
                if best.is_none_or(|(least, _)| far < least) && may(at) {
                    best = Some((far, at));
                }
            }
        }
        best.map(|(_, at)| at)
    }

    /// The middle of the free box of a size nearest to a point, which is taken.
    pub(crate) fn place(&mut self, size: Vector2, wanted: Point2) -> Option<Point2> {
        let at = self.nearest(size, wanted, |d| d.norm_squared(), |_| true)?;
        self.take(at - size / 2.0, at + size / 2.0);
        Some(at)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rectangle(low: (f64, f64), high: (f64, f64)) -> Outline {
        let corners = [low, (high.0, low.1), high, (low.0, high.1)];
        Outline::new(corners.map(|(x, y)| Point2::new(x, y)).to_vec())
    }

    #[test]
    fn words_stay_on_the_wall_of_a_ring() {
        let outline = rectangle((0.0, 0.0), (100.0, 100.0));
        let opening = rectangle((20.0, 20.0), (80.0, 80.0));
        let mut free = FreeRoom::on(&[&outline, &opening]);
        let size = Vector2::new(30.0, 6.0);
        let at = free.place(size, Point2::new(50.0, 50.0)).unwrap();
        let (low, high) = (at - size / 2.0, at + size / 2.0);
        assert!(outline.contains(low) && outline.contains(high), "{at}");
        assert!(!opening.contains(at) && !opening.meets(low, high), "{at}");
        // Wider than the wall and taller than it: nowhere.
        let large = Vector2::new(25.0, 25.0);
        assert!(free.place(large, Point2::origin()).is_none());
    }

    #[test]
    fn words_go_where_nothing_is() {
        let mut free = FreeRoom::inside(&rectangle((0.0, 0.0), (40.0, 30.0)), FINE);
        free.take_line(&[Point2::new(20.0, 0.0), Point2::new(20.0, 30.0)]);
        let size = Vector2::new(15.0, 6.0);
        let at = free.place(size, Point2::new(19.0, 15.0)).unwrap();
        assert!(at.x + 7.5 <= 20.0 - FINE.off_line && at.x > 8.0, "{at}");
        let next = free.place(size, Point2::new(19.0, 15.0)).unwrap();
        assert!((next.y - at.y).abs() >= 6.0 || (next.x - at.x).abs() >= 15.0);
        let wide = Vector2::new(25.0, 6.0);
        assert!(free.place(wide, Point2::origin()).is_none());
    }

    #[test]
    fn a_box_beside_the_map_takes_nothing_of_it() {
        for detail in [FINE, COARSE] {
            let outline = rectangle((0.0, 0.0), (40.0, 30.0));
            let mut free = FreeRoom::between(&outline, &[&outline], detail);
            for (x, y) in [(-9.0, 5.0), (55.0, 5.0), (5.0, -9.0), (5.0, 45.0)] {
                free.take(Point2::new(x, y), Point2::new(x + 4.0, y + 4.0));
            }
            assert!(free.taken.iter().all(|taken| !taken));
            assert!(!free.is_free(Point2::new(-1.0, 5.0), Point2::new(4.0, 9.0)));
        }
    }
}
