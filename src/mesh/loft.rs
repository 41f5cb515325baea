//! Triangulating a surface that is star-shaped about a pole at every height: a grid of rows
//! (heights) and columns (directions), close where the surface bends.

use std::f64::consts::{PI, TAU};

use rayon::prelude::*;

use super::sample::{Directions, SampleRow, Sampled};
use super::{Marks, Mesh, refine};
use crate::geom::{Point2, Point3};
use crate::tolerance::ROW_SAME_EPS_MM;

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
    pub fn new(surface: &Sampled<'_>, rows: &[f64], columns: &[f64]) -> Self {
        let directions = Directions::new(columns.iter().copied());
        let sampled = rows
            .par_iter()
            .map(|&z| SampleRow::sample(surface, z, &directions))
            .collect();
        Self::from_rows(sampled, columns.to_vec())
    }

    /// Chooses rows and columns so that the triangles stay within `accuracy` (mm) of the surface, as
    /// far as sampling can tell, and the girths at the heights `girths` within
    /// [`GIRTH_ACCURACY_MM`](crate::tolerance::GIRTH_ACCURACY_MM). There is a row at each of these
    /// and at each of the `levels`, if within the surface's range, and a column at every quarter
    /// turn. Columns lie mirror-like about the `y` direction.
    #[must_use]
    pub fn refined(surface: &Sampled<'_>, girths: &[f64], levels: &[f64], accuracy: f64) -> Self {
        let columns = refine::columns(surface, girths, accuracy);
        let rows = refine::rows(surface, &[girths, levels].concat(), &columns, accuracy);
        Self::from_rows(rows, columns)
    }

    fn from_rows(rows: Vec<SampleRow>, columns: Vec<f64>) -> Self {
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

/// Corners of a cell, counter-clockwise seen from outside, from the lower left.
fn corners(cell: usize, columns: usize) -> [u32; 4] {
    let (i, j) = (cell / columns, cell % columns);
    let next = (j + 1) % columns;
    let (low, high) = (i * columns, (i + 1) * columns);
    [low + j, low + next, high + next, high + j].map(|v| v as u32)
}
