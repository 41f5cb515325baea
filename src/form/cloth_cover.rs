//! The cover of a form: its pieces as a sewer drafts them, read off the finished surface, how it is
//! got on, and how much cloth to buy.
//!
//! A front, two backs that meet at centre back, a neck, and an oval for each arm plate and for the
//! neck's end. Widths are parts of the taut tape, since a cover bridges hollows as a tape does.

use crate::form::Form;
use crate::form::levels;
use crate::form::totals;
use crate::geom::{Point2, Point3};
use crate::measure::{Landmark, Level, Measure, Side};
use crate::tape::{Quarters, Tape};
use crate::units::{MM_PER_INCH, Unit};

/// By how much a knit cover is drafted narrower than the form: 5 to 10 per cent is usual (common
/// practice, no source). Lengths stay.
pub const SNUG: f64 = 0.07;
/// Allowance at seams, mm: 6 to 10 mm is usual for knits (common practice, no source).
pub const SEAM: f64 = 10.0;
/// Allowance at the centre back, where it is closed, mm (common practice, no source).
pub const SEAM_BACK: f64 = 20.0;
/// What goes under the base board, with a drawstring in it, mm (common practice, no source).
pub const TURN_UNDER: f64 = 50.0;
/// Left and right that differ by less are drafted alike, mm: a seam is not sewn closer.
const ALIKE: f64 = 2.0;
/// A front that narrows below the bust by less than this takes it at the side seam alone, mm (common
/// practice, no source).
const LEAST_WAIST_DART: f64 = 40.0;
/// A side seam that is longer in front by less than this is eased in, mm (common practice, no source).
const LEAST_DART: f64 = 15.0;
/// A cover that must stretch by more than this to go on is opened all the way: our choice, well below
/// what a jersey gives.
const EASY_STRETCH: f64 = 1.20;
/// The least a knit must stretch for this cover: twice what it is drafted narrower, since a pattern
/// takes no more than half of what the cloth can give (common practice, no source).
const LEAST_STRETCH: f64 = 1.0 / (1.0 - 2.0 * SNUG);
/// Knits shrink, and edges curl: more cloth by this (common practice, no source).
const SPARE: f64 = 1.05;
/// Distance between the heights at which the surface is followed, mm.
const STEP: f64 = 4.0;
/// How far inside the flat ends the first and last cut lie, mm.
const INSIDE: f64 = 0.5;

/// One level of the pattern, in the size of the form, mm. Pairs are left and right.
#[derive(Clone, Debug, PartialEq)]
pub struct PatternLevel {
    /// What it is called.
    pub name: String,
    /// Above the underside of layer 1.
    pub height: f64,
    /// On the form, from centre front to the side lines.
    pub front: [f64; 2],
    /// On the form, from centre back to the side lines.
    pub back: [f64; 2],
    /// Along the surface from the lower edge: at centre front and centre back.
    pub along: [f64; 2],
}

/// The pattern above the armholes, in the size of the form, mm. Pairs are left and right.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Top {
    /// Along the surface from the lower edge: centre front to the hollow of the throat, centre back
    /// to the nape.
    pub along: [f64; 2],
    /// Up the centre line of front and of back to the height of the side neck points: to the armpit,
    /// then along the surface straight up to them, mean of both sides.
    pub side_neck: [f64; 2],
    /// From the centre line to the side neck points.
    pub neck_width: [f64; 2],
    /// Shoulder length.
    pub shoulder: [f64; 2],
    /// How much lower the shoulder point lies than the side neck point.
    pub drop: [f64; 2],
    /// From armhole to armhole half-way up, in front and behind.
    pub across: [f64; 2],
    /// Where that is, along the surface from the lower edge, in front and behind.
    pub across_at: [f64; 2],
    /// The armhole, left and right, each in front and behind.
    pub armhole: [[f64; 2]; 2],
    /// Height and breadth of the arm plates.
    pub plate: [[f64; 2]; 2],
    /// Round the neck at its foot and at its upper end.
    pub neck: [f64; 2],
    /// Height of the neck along its slope: above the hollow of the throat, the nape, the side neck points.
    pub neck_height: [f64; 3],
}

/// How the cover is opened at the back.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Opening {
    /// From the upper end of the neck down, mm.
    pub length: f64,
    /// Where it is not open all the way: round of what is closed, as drafted, and the largest round
    /// that it must pass over, mm.
    pub over: Option<[f64; 2]>,
    /// To what a piece of cloth of length 1 must stretch.
    pub stretch: f64,
}

/// All that a sewer needs to draft it.
#[derive(Clone, Debug, PartialEq)]
pub struct Cover {
    /// From the lower edge to the armpits.
    pub rows: Vec<PatternLevel>,
    /// Above them.
    pub top: Top,
    /// How it is got on.
    pub opening: Opening,
}

impl Cover {
    /// Whether both sides may be drafted alike.
    #[must_use]
    pub fn even(&self) -> bool {
        let t = &self.top;
        let pairs = self.rows.iter().flat_map(|r| [r.front, r.back]);
        pairs
            .chain([t.neck_width, t.shoulder, t.drop])
            .all(|[l, r]| (l - r).abs() < ALIKE)
    }

    /// Side seams of front and back as drafted, left and right, mm.
    #[must_use]
    pub fn side_seams(&self) -> [[f64; 2]; 2] {
        let seam = |width: &dyn Fn(&PatternLevel) -> f64, centre: usize| -> f64 {
            let leg = |w: &[PatternLevel]| {
                let across = (width(&w[1]) - width(&w[0])) * (1.0 - SNUG);
                libm::hypot(across, w[1].along[centre] - w[0].along[centre])
            };
            self.rows.windows(2).map(leg).sum()
        };
        [0, 1].map(|side| [seam(&|r| r.front[side], 0), seam(&|r| r.back[side], 1)])
    }

    /// How much longer the front is at its side seam than the back, mean of both sides, where that is
    /// too much to ease in, mm.
    #[must_use]
    pub fn dart(&self) -> Option<f64> {
        let [left, right] = self.side_seams().map(|[front, back]| front - back);
        let more = f64::midpoint(left, right);
        (more >= LEAST_DART).then_some(more)
    }

    /// What each half of the front loses in a dart below the bust point, where it narrows from bust to
    /// waist by much: half of that, mm.
    #[must_use]
    pub fn waist_dart(&self) -> Option<f64> {
        // The two highest rows are bust and armpit.
        let upper = self.rows.iter().rev().take(2).map(front);
        let narrowest = self.rows.iter().map(front).fold(f64::MAX, f64::min);
        let narrows = (upper.fold(0.0, f64::max) - narrowest) * (1.0 - SNUG);
        (narrows >= LEAST_WAIST_DART).then_some(narrows / 2.0)
    }

    /// Width and length of the pieces with their allowances: front, two backs, neck, two ovals for the
    /// arms, one for the neck, mm.
    #[must_use]
    pub fn pieces(&self) -> Vec<[f64; 2]> {
        let t = &self.top;
        let widest =
            |of: &dyn Fn(&PatternLevel) -> f64| self.rows.iter().map(of).fold(0.0, f64::max);
        let snug = 1.0 - SNUG;
        let more = TURN_UNDER + SEAM;
        let front = widest(&|r| r.front[0]) + widest(&|r| r.front[1]);
        let neck = t.neck_height.iter().copied().fold(0.0, f64::max);
        let mut out = vec![[
            front * snug + 2.0 * SEAM,
            t.side_neck[0].max(t.along[0]) + more,
        ]];
        out.extend([0, 1].map(|side| {
            [
                widest(&|r| r.back[side]) * snug + SEAM + SEAM_BACK,
                t.side_neck[1].max(t.along[1]) + more,
            ]
        }));
        out.push([
            t.neck[0].max(t.neck[1]) * snug + 2.0 * SEAM_BACK,
            neck + 2.0 * SEAM,
        ]);
        out.extend(
            t.plate
                .map(|[high, wide]| [wide + 2.0 * SEAM, high + 2.0 * SEAM]),
        );
        out.push([t.neck[1] / std::f64::consts::PI + 2.0 * SEAM; 2]);
        out
    }

    /// How much cloth of this width to buy, mm, spare with it: laid with every piece upright and its
    /// centre along the selvedge. Nothing when the front is wider than the cloth.
    #[must_use]
    pub fn length_of_cloth(&self, width: f64) -> Option<f64> {
        Some(laid(self.pieces(), width)? * SPARE)
    }
}

/// Usual widths of knits, mm, in the buyer's unit.
#[must_use]
pub const fn widths(unit: Unit) -> [f64; 2] {
    match unit {
        Unit::Cm | Unit::Mm => [1400.0, 1500.0],
        Unit::In => [54.0 * MM_PER_INCH, 60.0 * MM_PER_INCH],
    }
}

/// Length of a cloth that takes these pieces, the longest first: rows across the cloth, and in every
/// row columns, in which short pieces lie above one another.
fn laid(mut pieces: Vec<[f64; 2]>, width: f64) -> Option<f64> {
    /// A part of a row: its width and what of its length is taken.
    struct Column(f64, f64);
    pieces.sort_by(|a, b| b[1].total_cmp(&a[1]).then(b[0].total_cmp(&a[0])));
    let mut rows: Vec<(f64, Vec<Column>)> = Vec::new();
    for [wide, long] in pieces {
        if wide > width {
            return None;
        }
        let placed = rows.iter_mut().any(|(length, columns)| {
            if let Some(c) = columns
                .iter_mut()
                .find(|c| wide <= c.0 && c.1 + long <= *length)
            {
                c.1 += long;
                return true;
            }
            let taken: f64 = columns.iter().map(|c| c.0).sum();
            let fits = taken + wide <= width;
            if fits {
                columns.push(Column(wide, long));
            }
            fits
        });
        if !placed {
            rows.push((long, vec![Column(wide, long)]));
        }
    }
    Some(rows.iter().map(|r| r.0).sum())
}

/// A line up the middle of front or back: heights, and lengths along the surface to them.
struct Line(Vec<[f64; 2]>);

impl Line {
    fn along(points: &[Point3]) -> Self {
        let mut length = 0.0;
        let mut out = Vec::new();
        for (i, p) in points.iter().enumerate() {
            if i > 0 {
                length += (p - points[i - 1]).norm();
            }
            out.push([p.z, length]);
        }
        Self(out)
    }

    /// Length to height `z`; straight up beyond its ends.
    fn to(&self, z: f64) -> f64 {
        let i = self.0.partition_point(|p| p[0] <= z);
        match (i.checked_sub(1).and_then(|k| self.0.get(k)), self.0.get(i)) {
            (Some(a), Some(b)) => a[1] + (b[1] - a[1]) * (z - a[0]) / (b[0] - a[0]),
            (Some(a), None) => a[1] + z - a[0],
            _ => 0.0,
        }
    }
}

/// The cover of this form; nothing when its solid lacks the marks.
#[must_use]
pub fn cover(form: &Form) -> Option<Cover> {
    let solid = &form.solid;
    let tape = Tape::new(solid);
    let zero = totals::underside(form);
    let level = |l: Level| solid.marks.levels.get(&l).copied();
    let mark = |l: Landmark| solid.marks.landmarks.get(&l).copied();
    let low = zero.max(level(Level::Hem)?) + INSIDE;
    let armpit = level(Level::Armpit)?;
    let (throat, nape) = (mark(Landmark::FrontNeck)?, mark(Landmark::Nape)?);
    let high = throat.z.max(nape.z);

    let steps = ((high - low) / STEP).ceil().max(1.0) as usize;
    let heights = (0..=steps).map(|i| low + (high - low) * i as f64 / steps as f64);
    let followed: Vec<(f64, Quarters)> = heights
        .filter_map(|z| Some((z, tape.quarters(z)?)))
        .collect();
    let lines = [0, 1].map(|which: usize| {
        let points = followed.iter().map(|(z, q)| {
            let p = q.centre[which];
            Point3::new(p.x, p.y, *z)
        });
        Line::along(&points.collect::<Vec<_>>())
    });
    let mut levels = vec![(low, "lower edge".to_owned())];
    levels.extend(
        levels::merged(solid, levels::cut)
            .into_iter()
            .filter(|(z, _)| *z > low + STEP && *z <= armpit),
    );
    let rows: Option<Vec<PatternLevel>> = levels
        .into_iter()
        .map(|(z, name)| {
            let q = tape.quarters(z)?;
            Some(PatternLevel {
                name,
                height: if z - low < INSIDE { 0.0 } else { z - zero },
                front: q.front,
                back: q.back,
                along: [lines[0].to(z), lines[1].to(z)],
            })
        })
        .collect();
    let rows = rows?;
    let top = top(form, &tape, &lines)?;
    let widest = followed
        .iter()
        .filter(|(z, _)| *z > level(Level::Waist).unwrap_or(low))
        .map(|(_, q)| q.girth())
        .fold(0.0, f64::max);
    let whole = top.neck_height[1] + top.along[1];
    // Closed from the fullest part below the waist down, where that comes over the rest.
    let waist = level(Level::Waist).map_or(0.0, |z| z - zero);
    let below = rows.iter().enumerate().filter(|(_, r)| r.height < waist);
    let closed = below
        .max_by(|(_, a), (_, b)| round(a).total_cmp(&round(b)))
        .filter(|(_, r)| r.height > 0.0);
    let opening = closed
        .map(|(i, r)| {
            let narrowest = rows[..=i].iter().map(round).fold(f64::MAX, f64::min);
            (r.along[1], narrowest * (1.0 - SNUG))
        })
        .filter(|(_, girth)| widest <= girth * EASY_STRETCH)
        .map_or(
            Opening {
                length: whole,
                over: None,
                stretch: LEAST_STRETCH,
            },
            |(at, girth)| Opening {
                length: whole - at,
                over: Some([girth, widest]),
                stretch: LEAST_STRETCH.max(widest / girth),
            },
        );
    Some(Cover { rows, top, opening })
}

/// Half the front on the form, mean of both sides.
fn front(row: &PatternLevel) -> f64 {
    f64::midpoint(row.front[0], row.front[1])
}

fn round(row: &PatternLevel) -> f64 {
    row.front.iter().chain(&row.back).sum()
}

fn top(form: &Form, tape: &Tape<'_>, lines: &[Line; 2]) -> Option<Top> {
    let marks = &form.solid.marks;
    let mark = |l: Landmark| marks.landmarks.get(&l).copied();
    let read = |m: Measure, side: Side| tape.read(m, side);
    let both = |m: Measure| Some([read(m, Side::Left)?, read(m, Side::Right)?]);
    let (throat, nape) = (mark(Landmark::FrontNeck)?, mark(Landmark::Nape)?);
    let necks = [
        mark(Landmark::SideNeckLeft)?,
        mark(Landmark::SideNeckRight)?,
    ];
    let beside = f64::midpoint(necks[0].z, necks[1].z);
    let middle = *marks.levels.get(&Level::MidArmscye)?;
    let armpit = *marks.levels.get(&Level::Armpit)?;
    let end = *marks.levels.get(&Level::NeckTop)?;
    let sides = tape.quarters(armpit)?.side;
    let ends = [
        mark(Landmark::ShoulderLeft)?,
        mark(Landmark::ShoulderRight)?,
    ];
    let rims = [0, 1].map(|k| rim(&marks.rim[k], ends[k], sides[k]));
    let rims = [rims[0]?, rims[1]?];
    // Just below the flat end of the neck.
    let upper = tape.quarters(end - INSIDE)?.girth();
    Some(Top {
        along: [lines[0].to(throat.z), lines[1].to(nape.z)],
        side_neck: [0, 1].map(|which| {
            let up = necks.map(|neck| up_to(tape, neck, armpit, which));
            lines[which].to(armpit) + f64::midpoint(up[0], up[1])
        }),
        neck_width: necks.map(|p| (p.x - throat.x).abs()),
        shoulder: both(Measure::LengthShoulder)?,
        drop: both(Measure::ShoulderDrop)?,
        across: [
            read(Measure::LengthAcrossFront, Side::Both)?,
            read(Measure::LengthAcrossBack, Side::Both)?,
        ],
        across_at: [lines[0].to(middle), lines[1].to(middle)],
        armhole: rims.map(|r| r.0),
        plate: rims.map(|r| r.1),
        neck: [read(Measure::GirthNeckBase, Side::Both)?, upper],
        neck_height: [throat.z, nape.z, beside].map(|z| (end - z) / libm::cos(marks.neck_lean)),
    })
}

/// Along the tape's surface from height `from` straight up to a point, in front (0) or behind (1).
fn up_to(tape: &Tape<'_>, point: Point3, from: f64, which: usize) -> f64 {
    let steps = ((point.z - from) / STEP).ceil().max(1.0) as usize;
    let heights = (0..steps).map(|i| from + (point.z - from) * i as f64 / steps as f64);
    let mut path: Vec<Point3> = heights
        .filter_map(|z| {
            let p = tape.beside(z, point.x)?[which];
            Some(Point3::new(p.x, p.y, z))
        })
        .collect();
    path.push(point);
    path.windows(2).map(|w| (w[1] - w[0]).norm()).sum()
}

/// The rim of an arm plate: its length in front and behind, from the end of the shoulder down to the side line, and its
/// height and breadth.
fn rim(points: &[Point3], shoulder: Point3, side: Point2) -> Option<([f64; 2], [f64; 2])> {
    let by = |far: &dyn Fn(&Point3) -> f64| {
        let all = points.iter().enumerate();
        all.min_by(|(_, a), (_, b)| far(a).total_cmp(&far(b)))
    };
    let (_, low) = by(&|p| p.z)?;
    let (_, high) = by(&|p| -p.z)?;
    let (highest, _) = by(&|p| (p - shoulder).norm())?;
    // The lowest point of a plate that leans need not be at the side.
    let middle = f64::midpoint(low.z, high.z);
    let (lowest, _) = by(&|p| {
        if p.z < middle {
            (p.y - side.y).abs()
        } else {
            f64::MAX
        }
    })?;
    let n = points.len();
    let part = |from: usize, to: usize| -> Vec<Point3> {
        (0..=(to + n - from) % n)
            .map(|k| points[(from + k) % n])
            .collect()
    };
    let parts = [part(lowest, highest), part(highest, lowest)];
    let length = |p: &[Point3]| p.windows(2).map(|w| (w[1] - w[0]).norm()).sum::<f64>();
    let forward = |p: &[Point3]| p.iter().map(|q| q.y).sum::<f64>() / p.len() as f64;
    let [a, b] = [length(&parts[0]), length(&parts[1])];
    let halves = if forward(&parts[0]) > forward(&parts[1]) {
        [a, b]
    } else {
        [b, a]
    };
    // A plate leans and turns a little: its breadth is the widest from rim to rim, level.
    let level = points
        .iter()
        .flat_map(|p| points.iter().map(move |q| (p, q)))
        .filter(|(p, q)| (p.z - q.z).abs() < STEP)
        .map(|(p, q)| (p - q).norm())
        .fold(0.0, f64::max);
    Some((halves, [(high - low).norm(), level]))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: three long pieces side by side, the small ones above one another in what is left.
    #[test]
    fn cloth_is_laid_in_rows_and_columns() {
        let long = [[600.0, 800.0], [300.0, 780.0], [300.0, 780.0]];
        let small = [[150.0, 300.0], [150.0, 300.0], [100.0, 100.0]];
        let all: Vec<[f64; 2]> = long.iter().chain(&small).copied().collect();
        // 1200 are taken, 200 are left: 300 + 300 + 100 in one column of 800.
        assert!((laid(all.clone(), 1400.0).unwrap() - 800.0).abs() < 1e-9);
        // Of 1300 there are 100 left: the two of 150 lie in a row of their own.
        assert!((laid(all.clone(), 1300.0).unwrap() - 1100.0).abs() < 1e-9);
        // Two long ones and then one.
        assert!((laid(all.clone(), 1000.0).unwrap() - 1580.0).abs() < 1e-9);
        assert_eq!(laid(all, 590.0), None);
    }
}
