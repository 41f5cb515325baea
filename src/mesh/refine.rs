//! Where the rows and columns of a lofted grid stand: close where the surface bends, and no closer.

use std::f64::consts::TAU;

use rayon::prelude::*;

use super::sample::{Directions, SampleRow, Sampled, distance_to_chord};
use crate::geom::Point3;
use crate::tolerance::{GIRTH_ACCURACY_MM, ROW_GAP_ACCURACY_MM, ROW_SAME_EPS_MM};

/// Columns stand at whole numbers of this many parts of the full turn, so that halving an interval
/// and mirroring left to right are exact. A power of two: a part is 0.044 degrees, 0.1 mm on the
/// largest body.
const PARTS: u32 = 8192;
/// Columns before any refinement, 2.8 degrees apart; every interval is halved at least once.
const FIRST_COLUMNS: u32 = 128;
/// Rows before any refinement are at most this far apart, mm, and every gap is halved at least once.
/// Our choice: half of it is below the size of the smallest form on a body (the roll of the arm
/// plate's edge, about 10 mm), so that none can hide between two rows.
const FIRST_ROW_GAP: f64 = 16.0;
/// Heights at which the columns are decided are at most this far apart, mm.
const PROBE_ROW_GAP: f64 = 8.0;

/// Heights of the rows, sampled. A gap whose middle strays from the chord by more than `accuracy`
/// is halved again; the middle row is kept in any case (it has been paid for), so what is left along
/// a column is a quarter of the accuracy, and as much along a row.
pub(super) fn rows(
    surface: &Sampled<'_>,
    levels: &[f64],
    columns: &[f64],
    accuracy: f64,
) -> Vec<SampleRow> {
    let directions = Directions::new(columns.iter().copied());
    let sample = |z: f64| SampleRow::sample(surface, z, &directions);
    let first = spaced(surface.range, levels, FIRST_ROW_GAP);
    let mut rows: Vec<SampleRow> = first.par_iter().map(|&z| sample(z)).collect();
    let mut open = vec![true; rows.len() - 1];
    while open.contains(&true) {
        let middles: Vec<Option<(SampleRow, bool)>> = (0..open.len())
            .into_par_iter()
            .map(|i| {
                let (below, above) = (&rows[i], &rows[i + 1]);
                (open[i] && above.z - below.z > 2.0 * ROW_GAP_ACCURACY_MM).then(|| {
                    let middle = sample(0.5 * (below.z + above.z));
                    let strays = middle.strays_from(below, above) > accuracy;
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
    rows
}

/// Heights of both ends and of the levels between them, filled in so that no gap exceeds `gap`.
fn spaced((low, high): (f64, f64), levels: &[f64], gap: f64) -> Vec<f64> {
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
        rows.extend((1..n as usize).map(|i| pair[0] + (pair[1] - pair[0]) * i as f64 / n));
        rows.push(pair[1]);
    }
    rows
}

/// A column and the interval from it to the next.
struct Column {
    part: u32,
    /// Where it meets the probe rows.
    points: Vec<Point3>,
    /// By how much the chord to the next column is shorter than the surface at each probe row whose
    /// girth counts; not known before its middle has been sampled once.
    short: Vec<f64>,
    /// Whether the interval is to be halved.
    open: bool,
}

/// Directions of the columns. An interval is halved like a gap between rows, and further where the
/// chords make a girth short, or cut off where a level is widest or deepest.
pub(super) fn columns(surface: &Sampled<'_>, girths: &[f64], accuracy: f64) -> Vec<f64> {
    let probes = spaced(surface.range, girths, PROBE_ROW_GAP);
    let counted: Vec<usize> = (0..probes.len())
        .filter(|&i| {
            girths
                .iter()
                .any(|z| (z - probes[i]).abs() <= ROW_SAME_EPS_MM)
        })
        .collect();
    let sample = |parts: &[u32]| -> Vec<Column> {
        let directions = Directions::new(parts.iter().map(|p| angle(*p)));
        let rows: Vec<SampleRow> = probes
            .par_iter()
            .map(|&z| SampleRow::sample(surface, z, &directions))
            .collect();
        let column = |(j, part): (usize, &u32)| Column {
            part: *part,
            points: rows.iter().map(|r| r.points[j]).collect(),
            short: vec![0.0; counted.len()],
            open: true,
        };
        parts.iter().enumerate().map(column).collect()
    };
    let first: Vec<u32> = (0..FIRST_COLUMNS)
        .map(|k| k * (PARTS / FIRST_COLUMNS))
        .collect();
    let mut columns = sample(&first);
    while columns.iter().any(|c| c.open) {
        let n = columns.len();
        let halved: Vec<usize> = (0..n).filter(|&i| columns[i].open).collect();
        let middle = |i: &usize| (columns[*i].part + right(&columns, *i)) / 2;
        let mut middles = sample(&halved.iter().map(middle).collect::<Vec<_>>());
        for (&i, middle) in halved.iter().zip(&mut middles) {
            let next = (i + 1) % n;
            let strays = |k: usize| {
                let (a, b) = (&columns[i].points[k], &columns[next].points[k]);
                distance_to_chord(&middle.points[k], a, b) > accuracy
            };
            middle.open = (0..probes.len()).any(strays);
            for (short, k) in middle.short.iter_mut().zip(&counted) {
                let (a, m) = (&columns[i].points[*k], &middle.points[*k]);
                let b = &columns[next].points[*k];
                // Halving a smooth arc takes away three quarters of what its chord is short; each
                // half keeps an eighth.
                let gained = (m - a).norm() + (b - m).norm() - (b - a).norm();
                // A tape bridges hollows, so only what bulges beyond the chord counts.
                let bulges = (b - a).xy().perp(&(m - a).xy()) < 0.0;
                *short = if bulges { gained / 6.0 } else { 0.0 };
            }
        }
        let mut finer: Vec<Column> = Vec::with_capacity(n + middles.len());
        let mut middles = halved.into_iter().zip(middles).peekable();
        for (i, mut column) in columns.into_iter().enumerate() {
            if let Some((_, middle)) = middles.next_if(|m| m.0 == i) {
                column.short.clone_from(&middle.short);
                column.open = middle.open;
                finer.extend([column, middle]);
            } else {
                finer.push(column);
            }
        }
        columns = finer;
        for level in 0..counted.len() {
            lengthen(&mut columns, level);
        }
        for k in &counted {
            widen(&mut columns, *k);
        }
        evened(&mut columns);
    }
    columns.into_iter().map(|c| angle(c.part)).collect()
}

/// Where the interval from a column ends.
fn right(columns: &[Column], i: usize) -> u32 {
    columns.get(i + 1).map_or(PARTS, |c| c.part)
}

/// Opens the intervals that shorten one level's girth most, until the rest may stay.
fn lengthen(columns: &mut [Column], level: usize) {
    let mut order: Vec<usize> = (0..columns.len()).collect();
    order.sort_by(|a, b| columns[*b].short[level].total_cmp(&columns[*a].short[level]));
    let mut short: f64 = columns.iter().map(|c| c.short[level]).sum();
    for i in order {
        if short <= GIRTH_ACCURACY_MM {
            break;
        }
        short -= 0.75 * columns[i].short[level];
        columns[i].open = true;
    }
}

/// Opens the intervals beside the outermost points of a probe row, to the right and left and before and
/// behind, where the surface between two columns may reach further out than both by more than half of
/// the girth accuracy: a breadth or depth loses at both its ends. The bend is that of the parabola
/// through three columns, over the way along their chords; at worst its top lies midway.
fn widen(columns: &mut [Column], k: usize) {
    let n = columns.len();
    for (axis, sign) in [(0, 1.0), (0, -1.0), (1, 1.0), (1, -1.0)] {
        let out = |c: &Column| sign * c.points[k][axis];
        let most = (0..n).max_by(|a, b| out(&columns[*a]).total_cmp(&out(&columns[*b])));
        let Some(b) = most else { return };
        let (a, c) = ((b + n - 1) % n, (b + 1) % n);
        let way = |i: usize, j: usize| (columns[j].points[k] - columns[i].points[k]).norm();
        let (u, v) = (way(a, b), way(b, c));
        if u <= 0.0 || v <= 0.0 {
            continue;
        }
        let rise = (out(&columns[b]) - out(&columns[a])) / u;
        let fall = (out(&columns[c]) - out(&columns[b])) / v;
        let bend = (rise - fall) / (u + v);
        let half = 0.5 * u.max(v);
        if bend * half * half > 0.5 * GIRTH_ACCURACY_MM {
            columns[a].open = true;
            columns[b].open = true;
        }
    }
}

/// Left and right alike: an interval is open if it or its mirror image is, and not too narrow.
fn evened(columns: &mut [Column]) {
    let n = columns.len();
    let open: Vec<bool> = columns.iter().map(|c| c.open).collect();
    for i in 0..n {
        let (from, to) = (columns[i].part, right(columns, i));
        // The image of an interval begins where the image of its end is.
        let image = (PARTS + PARTS / 2 - to) % PARTS;
        let twin = columns.binary_search_by(|c| c.part.cmp(&image));
        columns[i].open = to - from >= 2 && (open[i] || twin.is_ok_and(|t| open[t]));
    }
}

fn angle(part: u32) -> f64 {
    TAU * (f64::from(part) / f64::from(PARTS))
}
