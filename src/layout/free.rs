//! A map of where words may stand on a piece or a template.

use crate::geom::Point2;
use crate::geom::Vector2;
use crate::layout::bounds;
use crate::stack::Piece;

/// Side of a cell, mm.
const CELL: f64 = 1.0;
/// Room kept between words and lines, mm.
const ROOM: f64 = 0.8;

/// Cells of a rectangle, taken or not.
pub(crate) struct Free {
    low: Point2,
    columns: usize,
    rows: usize,
    taken: Vec<bool>,
}

impl Free {
    /// The inside of an outline.
    pub(crate) fn inside(outline: &[Point2]) -> Self {
        Self::between(&[outline])
    }

    /// The matter of a piece: inside its outline, off its holes and clear of every cut.
    pub(crate) fn on(piece: &Piece) -> Self {
        let rings = piece.rings();
        let rings: Vec<&[Point2]> = rings.iter().map(|ring| ring.points.as_slice()).collect();
        let mut free = Self::between(&rings);
        for ring in rings {
            let mut closed = ring.to_vec();
            closed.extend(ring.first());
            free.take_line(&closed);
        }
        free
    }

    /// What lies inside the first of some rings and outside the others, which lie in it.
    fn between(rings: &[&[Point2]]) -> Self {
        let outline = rings.first().copied().unwrap_or_default();
        let (low, high) = bounds(outline).unwrap_or((Point2::origin(), Point2::origin()));
        let cells = |length: f64| {
            (1..100_000)
                .find(|&n| n as f64 * CELL >= length)
                .unwrap_or(1)
        };
        let (columns, rows) = (cells(high.x - low.x), cells(high.y - low.y));
        let mut free = Self {
            low,
            columns,
            rows,
            taken: vec![false; columns * rows],
        };
        for row in 0..rows {
            let y = low.y + (row as f64 + 0.5) * CELL;
            // Where the rings cross the middle of the row: inside from odd to even crossings.
            let mut crossings: Vec<f64> = rings
                .iter()
                .flat_map(|ring| {
                    (0..ring.len()).map(move |k| (ring[k], ring[(k + 1) % ring.len()]))
                })
                .filter(|(p, q)| (p.y > y) != (q.y > y))
                .map(|(p, q)| p.x + (y - p.y) / (q.y - p.y) * (q.x - p.x))
                .collect();
            crossings.sort_by(f64::total_cmp);
            let mut passed = 0;
            for column in 0..columns {
                let x = low.x + (column as f64 + 0.5) * CELL;
                while crossings.get(passed).is_some_and(|&c| c <= x) {
                    passed += 1;
                }
                free.taken[row * columns + column] = passed % 2 == 0;
            }
        }
        free
    }

    /// First and last cell along one axis that a stretch touches; nothing when it is beside it.
    fn span(from: f64, to: f64, low: f64, cells: usize) -> Option<(usize, usize)> {
        let first = ((from - low) / CELL).floor().max(0.0);
        let last = ((to - low) / CELL).floor().min(cells as f64 - 1.0);
        (first <= last).then_some((first as usize, last as usize))
    }

    /// Takes a rectangle.
    pub(crate) fn take(&mut self, low: Point2, high: Point2) {
        let across = Self::span(low.x, high.x, self.low.x, self.columns);
        let up = Self::span(low.y, high.y, self.low.y, self.rows);
        if let (Some((a, b)), Some((c, d))) = (across, up) {
            for row in c..=d {
                self.taken[row * self.columns + a..=row * self.columns + b].fill(true);
            }
        }
    }

    /// Takes the room of a line.
    pub(crate) fn take_line(&mut self, path: &[Point2]) {
        let room = Vector2::new(ROOM, ROOM);
        for pair in path.windows(2) {
            let d = pair[1] - pair[0];
            let steps = (1..100_000)
                .find(|&n| n as f64 * CELL >= d.norm())
                .unwrap_or(1);
            for k in 0..=steps {
                let p = pair[0] + d * (k as f64 / steps as f64);
                self.take(p - room, p + room);
            }
        }
    }

    /// First and last column and row of a rectangle that lies on the map.
    #[allow(
        clippy::type_complexity,
        reason = "two pairs that are taken apart at once"
    )]
    fn cells(&self, low: Point2, high: Point2) -> Option<((usize, usize), (usize, usize))> {
        let inside = low.x >= self.low.x
            && low.y >= self.low.y
            && high.x <= self.low.x + self.columns as f64 * CELL
            && high.y <= self.low.y + self.rows as f64 * CELL;
        let across = Self::span(low.x, high.x, self.low.x, self.columns);
        let up = Self::span(low.y, high.y, self.low.y, self.rows);
        inside.then_some((across?, up?))
    }

    /// Whether a rectangle is free and inside.
    pub(crate) fn is_free(&self, low: Point2, high: Point2) -> bool {
        let Some(((a, b), (c, d))) = self.cells(low, high) else {
            return false;
        };
        (c..=d).all(|row| {
            !self.taken[row * self.columns + a..=row * self.columns + b]
                .iter()
                .any(|&t| t)
        })
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

    /// How many cells of a rectangle are taken; nothing when it reaches beyond the map.
    fn counted(&self, sums: &[u32], low: Point2, high: Point2) -> Option<u32> {
        let ((a, b), (c, d)) = self.cells(low, high)?;
        let at = |row: usize, column: usize| sums[row * (self.columns + 1) + column];
        Some(at(d + 1, b + 1) + at(c, a) - at(c, b + 1) - at(d + 1, a))
    }

    /// The middle of the free rectangle of a size nearest to a point, which is taken.
    pub(crate) fn place(&mut self, size: Vector2, wanted: Point2) -> Option<Point2> {
        let half = size / 2.0;
        let sums = self.sums();
        let mut best: Option<(f64, Point2)> = None;
        for row in 0..self.rows {
            for column in 0..self.columns {
                if self.taken[row * self.columns + column] {
                    continue;
                }
                let at = self.low + Vector2::new(column as f64 + 0.5, row as f64 + 0.5) * CELL;
                let away = (at - wanted).norm_squared();
                if best.is_none_or(|(least, _)| away < least)
                    && self.counted(&sums, at - half, at + half) == Some(0)
                {
                    best = Some((away, at));
                }
            }
        }
        let (_, at) = best?;
        self.take(at - half, at + half);
        Some(at)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Outline;
    use crate::stack::PieceId;

    #[test]
    fn words_stay_on_the_wall_of_a_ring() {
        let square = |a: f64, b: f64| {
            Outline::new(
                [(a, a), (b, a), (b, b), (a, b)]
                    .map(|(x, y)| Point2::new(x, y))
                    .to_vec(),
            )
        };
        let openings = vec![square(20.0, 80.0)];
        let piece = Piece::blank(PieceId::layer(2), square(0.0, 100.0), openings);
        let mut free = Free::on(&piece);
        let size = Vector2::new(30.0, 6.0);
        let at = free.place(size, Point2::new(50.0, 50.0)).unwrap();
        assert!(piece.holds(at - size / 2.0, at + size / 2.0), "{at}");
        // Wider than the wall and taller than it: nowhere.
        assert!(
            free.place(Vector2::new(25.0, 25.0), Point2::origin())
                .is_none()
        );
    }

    #[test]
    fn words_go_where_nothing_is() {
        let square: Vec<Point2> = [(0.0, 0.0), (40.0, 0.0), (40.0, 30.0), (0.0, 30.0)]
            .map(|(x, y)| Point2::new(x, y))
            .to_vec();
        let mut free = Free::inside(&square);
        free.take_line(&[Point2::new(20.0, 0.0), Point2::new(20.0, 30.0)]);
        let at = free
            .place(Vector2::new(15.0, 6.0), Point2::new(19.0, 15.0))
            .unwrap();
        assert!(at.x + 7.5 <= 20.0 - ROOM && at.x > 8.0, "{at}");
        let next = free
            .place(Vector2::new(15.0, 6.0), Point2::new(19.0, 15.0))
            .unwrap();
        assert!((next.y - at.y).abs() >= 6.0 || (next.x - at.x).abs() >= 15.0);
        assert!(
            free.place(Vector2::new(25.0, 6.0), Point2::origin())
                .is_none()
        );
    }
}
