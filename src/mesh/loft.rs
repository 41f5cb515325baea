//! Triangulating a surface that is star-shaped about a pole at every height: a grid of rows
//! (heights) and columns (directions), close where the surface bends.

use std::f64::consts::{PI, TAU};

use rayon::prelude::*;

use super::{Marks, Mesh};
use crate::geom::{Point2, Point3, Vector2};
use crate::tolerance::{ROW_GAP_ACCURACY_MM, ROW_SAME_EPS_MM};

/// A surface given by its distance from a pole in every direction at every height.
#[derive(Clone, Copy)]
pub struct Surface<'a> {
    /// Lowest and highest height, mm.
    pub range: (f64, f64),
    /// Distances from the pole, mm, > 0, at a height (mm) in several directions (radians, -pi to pi,
    /// 0 = +x, pi/2 = +y).
    pub radii: &'a (dyn Fn(f64, &[f64]) -> Vec<f64> + Sync),
    /// The pole at a height.
    pub pole: &'a (dyn Fn(f64) -> Point2 + Sync),
}

/// Columns stand at whole numbers of this many parts of the full turn, so that halving an interval
/// and mirroring front-to-back or left-to-right are exact. A power of two: a part is 0.044 degrees,
/// 0.1 mm on the largest body.
const PARTS: u32 = 8192;
/// Columns before any refinement: 11.25 degrees apart.
const FIRST_COLUMNS: u32 = 128;
/// Rows before any refinement are at most this far apart, mm. Our choice: below the size of the
/// smallest form on a body (the roll of the arm plate's edge, about 10 mm), so that none can hide
/// between two rows.
const FIRST_ROW_GAP: f64 = 12.0;
/// Heights at which the columns are decided are at most this far apart, mm.
const PROBE_ROW_GAP: f64 = 8.0;

/// A gap between rows is halved once more where its middle strays from the chord by more than this
/// share of the accuracy; the middle stays, so a quarter of that is left.
const ROW_SHARE: f64 = 0.9;
/// The same for columns. Smaller, because every chord of a row shortens the girth there: a quarter of
/// a quarter of 0.3 mm leaves the girth of a metre short by 0.02 mm.
const COLUMN_SHARE: f64 = 1.0;

/// A surface sampled at rows and columns, and triangulated.
#[derive(Clone, Debug)]
pub struct Grid {
    /// Heights, rising, mm.
    rows: Vec<f64>,
    /// Directions, rising, radians from 0, the first not repeated.
    columns: Vec<f64>,
    poles: Vec<Point2>,
    /// Row after row.
    points: Vec<Point3>,
    /// Whether the cell's diagonal runs from lower right to upper left, seen from outside.
    falling: Vec<bool>,
}

impl Grid {
    /// Samples at the given heights (rising) and directions (rising within one turn, radians).
    #[must_use]
    pub fn new(surface: &Surface<'_>, rows: &[f64], columns: &[f64]) -> Self {
        let directions = Directions::new(columns.iter().copied());
        let sampled = rows
            .par_iter()
            .map(|&z| Row::sample(surface, z, &directions))
            .collect();
        Self::from_rows(sampled, columns.to_vec())
    }

    /// Chooses rows and columns so that the triangles stay within `accuracy` (mm) of the surface, as
    /// far as sampling can tell, and girths of the rows come out closer still. There is a row at every
    /// one of the `levels` within the surface's range, and a column at every quarter turn. Columns lie mirror-like about the `y` direction.
    #[must_use]
    pub fn refined(surface: &Surface<'_>, levels: &[f64], accuracy: f64) -> Self {
        let first = first_rows(surface.range, levels, FIRST_ROW_GAP);
        let columns = choose_columns(
            surface,
            &first_rows(surface.range, levels, PROBE_ROW_GAP),
            accuracy,
        );
        let directions = Directions::new(columns.iter().copied());
        let sample = |z: f64| Row::sample(surface, z, &directions);

        let mut rows: Vec<Row> = first.par_iter().map(|&z| sample(z)).collect();
        // Each round halves the intervals that strayed in the round before. The row in the middle
        // is kept in any case: it has been paid for, and it quarters what is left of the error.
        let mut open: Vec<bool> = vec![true; rows.len() - 1];
        while open.contains(&true) {
            let middles: Vec<Option<(Row, bool)>> = (0..open.len())
                .into_par_iter()
                .map(|i| {
                    let (below, above) = (&rows[i], &rows[i + 1]);
                    let gap = above.z - below.z;
                    (open[i] && gap > 2.0 * ROW_GAP_ACCURACY_MM).then(|| {
                        let middle = sample(0.5 * (below.z + above.z));
                        let strays = middle.strays_from(below, above) > accuracy * ROW_SHARE;
                        (middle, strays)
                    })
                })
                .collect();
            let mut finer = Vec::with_capacity(rows.len() * 2);
            let mut next_open = Vec::with_capacity(rows.len() * 2);
            let mut old = rows.into_iter();
            finer.extend(old.next());
            for (middle, above) in middles.into_iter().zip(old) {
                if let Some((middle, strays)) = middle {
                    finer.push(middle);
                    next_open.push(strays);
                    next_open.push(strays);
                } else {
                    next_open.push(false);
                }
                finer.push(above);
            }
            rows = finer;
            open = next_open;
        }
        Self::from_rows(rows, columns)
    }

    fn from_rows(rows: Vec<Row>, columns: Vec<f64>) -> Self {
        let n = columns.len();
        let heights: Vec<f64> = rows.iter().map(|r| r.z).collect();
        let poles = rows.iter().map(|r| r.pole).collect();
        let points: Vec<Point3> = rows.into_iter().flat_map(|r| r.points).collect();
        let cells = heights.len().saturating_sub(1) * n;
        let falling = (0..cells)
            .map(|cell| {
                let [a, b, e, d] = corners(cell, n).map(|v| points[v as usize]);
                let (rise, fall) = ((e - a).norm_squared(), (d - b).norm_squared());
                // The shorter diagonal; where they are equal, leaning towards the front on both
                // sides, so that a mirror-like body gets mirror-like triangles.
                let leans = columns[cell % n] < PI / 2.0 || columns[cell % n] >= 1.5 * PI;
                if (rise - fall).abs() <= ROW_SAME_EPS_MM * (rise + fall) {
                    !leans
                } else {
                    fall < rise
                }
            })
            .collect();
        Self {
            rows: heights,
            columns,
            poles,
            points,
            falling,
        }
    }

    /// Heights of the rows, rising, mm.
    #[must_use]
    pub fn rows(&self) -> &[f64] {
        &self.rows
    }

    /// Directions of the columns, rising from 0, radians.
    #[must_use]
    pub fn columns(&self) -> &[f64] {
        &self.columns
    }

    /// The point of the triangles that stands for direction `theta` (radians, any turn) at height
    /// `z` (held to the grid's range). Its height is exactly `z`.
    #[must_use]
    pub fn point(&self, theta: f64, z: f64) -> Point3 {
        let n = self.columns.len();
        let z = z.clamp(self.rows[0], self.rows[self.rows.len() - 1]);
        let i = self
            .rows
            .partition_point(|r| *r <= z)
            .clamp(1, self.rows.len() - 1)
            - 1;
        let u = (z - self.rows[i]) / (self.rows[i + 1] - self.rows[i]);
        let turn = theta.rem_euclid(TAU);
        let j = self
            .columns
            .partition_point(|c| *c <= turn)
            .saturating_sub(1);
        let (left, right) = (
            self.columns[j],
            self.columns.get(j + 1).copied().unwrap_or(TAU),
        );
        let v = ((turn - left) / (right - left)).clamp(0.0, 1.0);
        let cell = i * n + j;
        let [a, b, e, d] = corners(cell, n).map(|v| self.points[v as usize]);
        match (self.falling[cell], u, v) {
            (false, u, v) if u <= v => a + (b - a) * v + (e - b) * u,
            (false, u, v) => a + (d - a) * u + (e - d) * v,
            (true, u, v) if u + v <= 1.0 => a + (b - a) * v + (d - a) * u,
            (true, u, v) => e + (d - e) * (1.0 - v) + (b - e) * (1.0 - u),
        }
    }

    /// The pole at every row.
    #[must_use]
    pub fn pole(&self) -> Vec<Point3> {
        self.poles
            .iter()
            .zip(&self.rows)
            .map(|(p, z)| Point3::new(p.x, p.y, *z))
            .collect()
    }

    /// The closed solid: two triangles a cell, and a flat end below and above, fanned about the
    /// pole (each end is star-shaped about it).
    #[must_use]
    pub fn mesh(&self) -> Mesh {
        let n = self.columns.len();
        let mut vertices = self.points.clone();
        let mut triangles: Vec<[u32; 3]> = Vec::with_capacity(self.falling.len() * 2 + n * 2);
        for (cell, falling) in self.falling.iter().enumerate() {
            let [a, b, e, d] = corners(cell, n);
            if *falling {
                triangles.extend([[a, b, d], [b, e, d]]);
            } else {
                triangles.extend([[a, b, e], [a, e, d]]);
            }
        }
        let ends = self.pole();
        if let (Some(bottom), Some(top)) = (ends.first(), ends.last()) {
            let below = vertices.len() as u32;
            let last_row = below - n as u32;
            vertices.extend([*bottom, *top]);
            for j in 0..n as u32 {
                let next = (j + 1) % n as u32;
                triangles.push([below, next, j]);
                triangles.push([below + 1, last_row + j, last_row + next]);
            }
        }
        Mesh {
            vertices,
            triangles,
            marks: Marks {
                pole: ends,
                ..Marks::default()
            },
        }
    }
}

/// Directions as the surface takes them and as unit vectors.
struct Directions {
    thetas: Vec<f64>,
    units: Vec<Vector2>,
}

impl Directions {
    fn new(columns: impl Iterator<Item = f64> + Clone) -> Self {
        Self {
            thetas: columns.clone().map(wrapped).collect(),
            units: columns.map(unit).collect(),
        }
    }
}

/// One horizontal row of the grid.
struct Row {
    z: f64,
    pole: Point2,
    points: Vec<Point3>,
}

impl Row {
    fn sample(surface: &Surface<'_>, z: f64, directions: &Directions) -> Self {
        let pole = (surface.pole)(z);
        let points = (surface.radii)(z, &directions.thetas)
            .into_iter()
            .zip(&directions.units)
            .map(|(r, u)| {
                let p = pole + u * r;
                Point3::new(p.x, p.y, z)
            })
            .collect();
        Self { z, pole, points }
    }

    /// Largest distance of this row's points from the chords between the rows below and above.
    fn strays_from(&self, below: &Self, above: &Self) -> f64 {
        self.points
            .iter()
            .zip(&below.points)
            .zip(&above.points)
            .map(|((p, a), b)| distance_to_chord(p, a, b))
            .fold(0.0, f64::max)
    }
}

/// Distance of `p` from the straight line between `a` and `b`.
fn distance_to_chord(p: &Point3, a: &Point3, b: &Point3) -> f64 {
    let along = b - a;
    let t = ((p - a).dot(&along) / along.norm_squared()).clamp(0.0, 1.0);
    (p - (a + along * t)).norm()
}

/// Heights of both ends and of the levels between them, filled in so that no gap exceeds `gap`.
fn first_rows((low, high): (f64, f64), levels: &[f64], gap: f64) -> Vec<f64> {
    let mut named: Vec<f64> = levels
        .iter()
        .copied()
        .filter(|z| *z > low + ROW_SAME_EPS_MM && *z < high - ROW_SAME_EPS_MM)
        .collect();
    named.extend([low, high]);
    named.sort_by(f64::total_cmp);
    named.dedup_by(|a, b| *a - *b <= ROW_SAME_EPS_MM);
    let mut rows = vec![low];
    for pair in named.windows(2) {
        let n = ((pair[1] - pair[0]) / gap).ceil().max(1.0);
        let parts = n as usize;
        rows.extend((1..parts).map(|i| pair[0] + (pair[1] - pair[0]) * i as f64 / n));
        rows.push(pair[1]);
    }
    rows
}

/// Directions close enough together along the probe rows; decided in the same way as the rows.
fn choose_columns(surface: &Surface<'_>, probes: &[f64], accuracy: f64) -> Vec<f64> {
    // Columns as the points in which they meet the probe rows.
    let sample = |parts: &[u32]| -> Vec<(u32, Vec<Point3>)> {
        let directions = Directions::new(parts.iter().map(|p| angle(*p)));
        let rows: Vec<Row> = probes
            .par_iter()
            .map(|&z| Row::sample(surface, z, &directions))
            .collect();
        let column = |(j, part): (usize, &u32)| (*part, rows.iter().map(|r| r.points[j]).collect());
        parts.iter().enumerate().map(column).collect()
    };
    let first: Vec<u32> = (0..FIRST_COLUMNS)
        .map(|k| k * (PARTS / FIRST_COLUMNS))
        .collect();
    let mut columns = sample(&first);
    let mut open = vec![true; columns.len()];
    while open.contains(&true) {
        let n = columns.len();
        let right = |i: usize| if i + 1 < n { columns[i + 1].0 } else { PARTS };
        let halved: Vec<usize> = (0..n)
            .filter(|&i| open[i] && right(i) - columns[i].0 >= 2)
            .collect();
        let middles: Vec<u32> = halved
            .iter()
            .map(|&i| (columns[i].0 + right(i)) / 2)
            .collect();
        let middles = sample(&middles);
        let strays: Vec<u32> = halved
            .iter()
            .zip(&middles)
            .filter(|(i, (_, middle))| {
                let chords = columns[**i].1.iter().zip(&columns[(**i + 1) % n].1);
                middle
                    .iter()
                    .zip(chords)
                    .any(|(p, (a, b))| distance_to_chord(p, a, b) > accuracy * COLUMN_SHARE)
            })
            .map(|(_, (part, _))| *part)
            .collect();
        let mut finer = Vec::with_capacity(n * 2);
        let mut next_open = Vec::with_capacity(n * 2);
        let mut middles = halved.into_iter().zip(middles).peekable();
        for (i, column) in columns.into_iter().enumerate() {
            finer.push(column);
            if let Some((_, middle)) = middles.next_if(|m| m.0 == i) {
                // Left and right alike: an interval strays if it or its mirror image does.
                let image = (PARTS + PARTS / 2 - middle.0) % PARTS;
                let again = [middle.0, image]
                    .iter()
                    .any(|p| strays.binary_search(p).is_ok());
                next_open.extend([again, again]);
                finer.push(middle);
            } else {
                next_open.push(false);
            }
        }
        columns = finer;
        open = next_open;
    }
    columns.into_iter().map(|c| angle(c.0)).collect()
}

fn angle(part: u32) -> f64 {
    TAU * (f64::from(part) / f64::from(PARTS))
}

/// The same direction within -pi to pi.
fn wrapped(theta: f64) -> f64 {
    if theta > PI { theta - TAU } else { theta }
}

/// Unit vector of a direction, exactly mirror-like about both axes.
fn unit(theta: f64) -> Vector2 {
    let quarter = (theta / (PI / 2.0)).round();
    let (s, c) = (theta - quarter * (PI / 2.0)).sin_cos();
    match (quarter as i64).rem_euclid(4) {
        0 => Vector2::new(c, s),
        1 => Vector2::new(-s, c),
        2 => Vector2::new(-c, -s),
        _ => Vector2::new(s, -c),
    }
}

/// Corners of a cell, counter-clockwise seen from outside, from the lower left.
fn corners(cell: usize, columns: usize) -> [u32; 4] {
    let (i, j) = (cell / columns, cell % columns);
    let next = (j + 1) % columns;
    let (low, high) = (i * columns, (i + 1) * columns);
    [low + j, low + next, high + next, high + j].map(|v| v as u32)
}
