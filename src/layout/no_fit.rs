//! Where one piece may not lie when another lies at the origin, on a grid.
//!
//! For convex shapes the forbidden offsets of `b` against `a` are the points inside `a + (-b)`
//! (the no-fit polygon; Adamowicz and Albano, Computer-Aided Design 8, 1976); for pieces covered by several
//! convex shapes they are the union over all pairs. Only grid points matter, so each grid row holds
//! a few spans, exact to the last grid point: nothing is lost to a raster of the pieces themselves.

use crate::geom::Point2;
use crate::geom::Vector2;
use crate::layout::convex;
use crate::layout::window::Rows;
use crate::layout::window::Window;
use crate::layout::window::is_inside;
use crate::layout::window::set;
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
    parts: Vec<Part>,
}

/// One of them.
#[derive(Clone, Debug)]
struct Part {
    /// Grown by the distance to keep.
    grown: Vec<Point2>,
    /// Turned by half a turn about the origin.
    reversed: Vec<Point2>,
    /// The corners of both that lie furthest in each of the [`DIRECTIONS`].
    grown_ends: [Point2; DIRECTIONS.len()],
    reversed_ends: [Point2; DIRECTIONS.len()],
}

/// Directions in which a pair is looked at before its rows are made, counter-clockwise: about every 11 degrees, but
/// none need be exact.
const DIRECTIONS: [(f64, f64); 32] = {
    let quarter = [
        (1.0, 0.0),
        (0.98, 0.2),
        (0.92, 0.38),
        (0.83, 0.56),
        (0.71, 0.71),
        (0.56, 0.83),
        (0.38, 0.92),
        (0.2, 0.98),
    ];
    let mut all = [(0.0, 0.0); 32];
    let mut k = 0;
    while k < quarter.len() {
        let (x, y) = quarter[k];
        (all[k], all[k + 8]) = ((x, y), (-y, x));
        (all[k + 16], all[k + 24]) = ((-x, -y), (y, -x));
        k += 1;
    }
    all
};

/// The furthest corners of an outline.
fn ends(outline: &[Point2]) -> [Point2; DIRECTIONS.len()] {
    DIRECTIONS.map(|(x, y)| {
        let far = |p: &Point2| p.x * x + p.y * y;
        let furthest = outline.iter().max_by(|a, b| far(a).total_cmp(&far(b)));
        furthest.copied().unwrap_or_else(Point2::origin)
    })
}

impl Stand {
    fn new(parts: &[Vec<Point2>], low: Point2, disc: &[Point2]) -> Self {
        let hull = |part: &[Point2], way: f64| {
            let moved: Vec<Point2> = part
                .iter()
                .map(|p| Point2::new(way * (p.x - low.x), way * (p.y - low.y)))
                .collect();
            convex::hull(&moved)
        };
        let parts = parts.iter().map(|part| {
            let grown = convex::sum(&hull(part, 1.0), disc);
            let reversed = hull(part, -1.0);
            Part {
                grown_ends: ends(&grown),
                reversed_ends: ends(&reversed),
                grown,
                reversed,
            }
        });
        Self {
            parts: parts.collect(),
        }
    }

    fn reversed(&self) -> Vec<&[Point2]> {
        self.parts.iter().map(|p| p.reversed.as_slice()).collect()
    }
}

impl Part {
    /// Whether an offset of another one is forbidden.
    fn forbids(&self, other: &Self, at: Point2) -> bool {
        // Of most the furthest corners tell.
        let mut inside = true;
        let mut from = self.end(other, 0);
        for (k, (x, y)) in DIRECTIONS.iter().enumerate() {
            let off = at - from;
            if off.x * x + off.y * y > SAME_POINT_EPS_MM {
                return false;
            }
            let to = self.end(other, k + 1);
            inside = inside && is_left(from, to, off);
            from = to;
        }
        inside || is_inside(&convex::sum(&self.grown, &other.reversed), at)
    }

    /// The corner of the sum of both that lies furthest in a direction.
    fn end(&self, other: &Self, direction: usize) -> Point2 {
        let k = direction % DIRECTIONS.len();
        self.grown_ends[k] + other.reversed_ends[k].coords
    }

    /// Blocks what the furthest corners show to be forbidden to another one when this one lies at `at`; with
    /// `reversed`, to this one when the other lies there.
    fn block(&self, other: &Self, at: (i32, i32), reversed: bool, grid: f64, window: &mut Window) {
        let here = Vector2::new(f64::from(at.0), f64::from(at.1)) * grid;
        let way = if reversed { -1.0 } else { 1.0 };
        let corners: [Point2; DIRECTIONS.len()] =
            std::array::from_fn(|k| Point2::from(here + self.end(other, k).coords * way));
        window.block_inside(&corners, grid);
    }

    /// Whether the furthest corners show that every offset of a box is forbidden.
    fn forbids_all(&self, other: &Self, (low, high): (Point2, Point2)) -> bool {
        let mut from = self.end(other, 0);
        (0..DIRECTIONS.len()).all(|k| {
            let to = self.end(other, k + 1);
            // The corner of the box that lies furthest to the right of this side.
            let furthest = Point2::new(
                if to.y < from.y { low.x } else { high.x },
                if to.x > from.x { low.y } else { high.y },
            );
            let left = is_left(from, to, furthest - from);
            from = to;
            left
        })
    }
}

/// Whether what lies `off` from the beginning of a side lies to the left of it, not on it.
fn is_left(from: Point2, to: Point2, off: Vector2) -> bool {
    let side = to - from;
    let least = 2.0 * SAME_POINT_EPS_MM * (side.x.abs() + side.y.abs());
    // Of a side without length everything does.
    side.x * off.y - side.y * off.x >= least
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
    pub(crate) fn reversed(&self) -> (Vec<&[Point2]>, Option<Vec<&[Point2]>>) {
        let open = self.open.as_ref().map(|(stand, _)| stand.reversed());
        (self.filled.reversed(), open)
    }

    /// Whether an offset of `moving` against this one at the origin is forbidden.
    pub(crate) fn forbids(&self, moving: &Self, at: Point2) -> bool {
        let (fixed, moving) = (self.beside(moving), moving.beside(self));
        let others = |a: &Part| moving.parts.iter().any(|b| a.forbids(b, at));
        fixed.parts.iter().any(others)
    }

    /// Blocks some of what is forbidden to `moving` when this one lies at `at`, found quickly; with `reversed`, what
    /// is forbidden to this one when the other lies there.
    pub(crate) fn block(
        &self,
        moving: &Self,
        at: (i32, i32),
        reversed: bool,
        grid: f64,
        window: &mut Window,
    ) {
        let (fixed, moving) = (self.beside(moving), moving.beside(self));
        for a in &fixed.parts {
            for b in &moving.parts {
                a.block(b, at, reversed, grid, window);
            }
        }
    }

    /// Whether it is seen at once that all offsets in a box are forbidden.
    pub(crate) fn forbids_all(&self, moving: &Self, offsets: (Point2, Point2)) -> bool {
        let (fixed, moving) = (self.beside(moving), moving.beside(self));
        let mut pairs = fixed
            .parts
            .iter()
            .flat_map(|a| moving.parts.iter().map(move |b| (a, b)));
        pairs.any(|(a, b)| a.forbids_all(b, offsets))
    }
}

/// Forbidden grid offsets, row by row.
#[derive(Clone, Debug, Default)]
pub(crate) struct Forbidden {
    /// Row of the first spans.
    first: i32,
    /// Number of rows.
    rows: i32,
    /// First and last forbidden column: one span for each row, empty where the first column is beyond the last...
    spans: Box<[(i16, i16)]>,
    /// ... or more or less where this says where the spans of each row begin; one more than there are rows.
    starts: Option<Box<[u32]>>,
}

impl Forbidden {
    /// Offsets, in steps of `grid`, at which `moving` comes too near to `fixed` at the origin.
    pub(crate) fn new(fixed: &Variant, moving: &Variant, grid: f64) -> Self {
        let (fixed, moving) = (fixed.beside(moving), moving.beside(fixed));
        let mut layers: Vec<Rows> = Vec::with_capacity(fixed.parts.len() * moving.parts.len());
        for a in &fixed.parts {
            for b in &moving.parts {
                layers.push(Rows::new(&convex::sum(&a.grown, &b.reversed), grid));
            }
        }
        layers.retain(|l| !l.spans.is_empty());
        let first = layers.iter().map(|l| l.first).min().unwrap_or(0);
        let end = layers.iter().map(Rows::end).max().unwrap_or(0);
        let mut out = Self {
            first,
            rows: end - first,
            ..Self::default()
        };
        if let [one] = layers.as_mut_slice() {
            out.spans = std::mem::take(&mut one.spans).into_boxed_slice();
            return out;
        }
        // Nearly always what several parts forbid in a row is one span.
        let rows = usize::try_from(end - first).unwrap_or(0);
        let mut spans: Vec<(i16, i16)> = vec![(i16::MAX, i16::MIN); rows];
        let mut apart: Vec<bool> = vec![false; rows];
        for layer in &layers {
            let skip = usize::try_from(layer.first - first).unwrap_or(0);
            let own = spans[skip..].iter_mut().zip(&mut apart[skip..]);
            for ((span, apart), &(from, to)) in own.zip(&layer.spans) {
                if from > to {
                    continue;
                }
                let touch = from <= span.1.saturating_add(1) && span.0 <= to.saturating_add(1);
                *apart |= span.0 <= span.1 && !touch;
                *span = (span.0.min(from), span.1.max(to));
            }
        }
        if !apart.contains(&true) {
            out.spans = spans.into_boxed_slice();
            return out;
        }
        let mut starts: Vec<u32> = Vec::with_capacity(rows + 1);
        let mut all: Vec<(i16, i16)> = Vec::with_capacity(2 * rows);
        let mut own: Vec<(i16, i16)> = Vec::new();
        for ((row, span), apart) in (first..end).zip(spans).zip(apart) {
            let start = all.len();
            starts.push(u32::try_from(start).unwrap_or(0));
            if !apart {
                all.push(span);
                continue;
            }
            own.clear();
            own.extend(layers.iter().filter_map(|l| l.at(row)));
            own.sort_unstable();
            for &(from, to) in &own {
                match all[start..].last_mut() {
                    Some(last) if from <= last.1.saturating_add(1) => last.1 = last.1.max(to),
                    _ => all.push((from, to)),
                }
            }
        }
        starts.push(u32::try_from(all.len()).unwrap_or(0));
        out.starts = Some(starts.into_boxed_slice());
        out.spans = all.into_boxed_slice();
        out
    }

    /// Blocks what is forbidden when the fixed piece lies at `(column, row)`; with `reversed`, what
    /// is forbidden to the fixed piece when the moving one lies there.
    pub(crate) fn block(&self, at: (i32, i32), reversed: bool, window: &mut Window) {
        // Entries whose row the window has.
        let (low, high) = (window.first_row, window.first_row + window.rows);
        let (from, to) = if reversed {
            (at.1 - self.first - high + 1, at.1 - self.first - low + 1)
        } else {
            (low - at.1 - self.first, high - at.1 - self.first)
        };
        for k in from.max(0)..to.min(self.rows) {
            let offset = self.first + k;
            let row = if reversed {
                at.1 - offset
            } else {
                at.1 + offset
            };
            let k = usize::try_from(k).unwrap_or(0);
            let Some((line, columns)) = window.row_mut(row) else {
                continue;
            };
            let spans = match &self.starts {
                Some(starts) => &self.spans[starts[k] as usize..starts[k + 1] as usize],
                None => &self.spans[k..=k],
            };
            for &(from, to) in spans {
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

    /// Whatever is told early is told again by the rows, and a place is forbidden just where a row says so.
    #[test]
    fn what_is_seen_early_is_forbidden() {
        let oval = |a: f64, b: f64| -> Vec<Point2> {
            let corner = |k: i32| {
                let (s, c) = libm::sincos(f64::from(k) * std::f64::consts::TAU / 50.0);
                Point2::new(a + a * c, b + b * s)
            };
            (0..50).map(corner).collect()
        };
        let disc = convex::disc(4.0, 24);
        // One of two parts that lie apart.
        let (left, right) = (oval(30.0, 50.0), oval(40.0, 20.0));
        let right: Vec<Point2> = right.iter().map(|p| Point2::new(p.x + 90.0, p.y)).collect();
        let both = [left.clone(), right.clone()];
        let fixed = Turned {
            outline: &[left, right].concat(),
            filled: &both,
            open: None,
        };
        let fixed = Variant::new(0, 0.0, &fixed, &disc);
        let moving = oval(12.0, 17.0);
        let moving = Turned {
            outline: &moving,
            filled: std::slice::from_ref(&moving),
            open: None,
        };
        let moving = Variant::new(1, 0.0, &moving, &disc);
        let forbidden = Forbidden::new(&fixed, &moving, 2.0);
        for (at, reversed) in [((20, 15), false), ((60, 40), true)] {
            let mut exact = Window::default();
            exact.reset(130, -3, 97);
            let mut early = exact.clone();
            forbidden.block(at, reversed, &mut exact);
            fixed.block(&moving, at, reversed, 2.0, &mut early);
            let count = |w: &Window| w.bits.iter().map(|b| b.count_ones()).sum::<u32>();
            assert!(early.bits.iter().zip(&exact.bits).all(|(e, x)| e & !x == 0));
            assert!(
                count(&early) * 10 > count(&exact) * 8,
                "{} {}",
                count(&early),
                count(&exact)
            );
            for row in -3..94 {
                for column in 0..130 {
                    let k = usize::try_from(row + 3).unwrap() * exact.words;
                    let bit =
                        exact.bits[k + usize::try_from(column / 64).unwrap()] >> (column % 64);
                    let sign = if reversed { -2.0 } else { 2.0 };
                    let off = Point2::new(
                        f64::from(column - at.0) * sign,
                        f64::from(row - at.1) * sign,
                    );
                    assert_eq!(fixed.forbids(&moving, off), bit & 1 == 1, "{off}");
                    if fixed.forbids_all(&moving, (off, off)) {
                        assert_eq!(bit & 1, 1);
                    }
                }
            }
        }
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
