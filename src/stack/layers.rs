//! The layers: the outline that each is cut to.

use rayon::prelude::*;

use super::core::{Eroder, too_thin};
use super::courses::LayerCourse;
use super::{CutFor, Layer, Piece, PieceId};
use crate::error::{Error, Finding, Severity};
use crate::geom::banded::Banded;
use crate::geom::offset::{Region, intersection, union};
use crate::geom::{Outline, Point2};
use crate::mesh::Marks;
use crate::stack::facts::StackFact;
use crate::tolerance::{OUTLINE_ACCURACY_MM, SAME_POINT_EPS_MM, SECTION_ACCURACY_MM};
use crate::workshop::Cut;

/// Loops smaller than this are not worth cutting, mm² at full scale.
const LEAST_LOOP_MM2: f64 = 400.0;

/// A top layer smaller than this is left to the padding and the cap, mm² at full scale.
const LEAST_TOP_MM2: f64 = 2000.0;

/// A ledge is wide when the surface recedes by this many layer heights from one layer to the next:
/// between the two numbers [`Cut::Middle`] goes over from the middle section to the smaller face.
/// Our choice, about one and a half: there padding no longer bridges the steps by itself.
const LEDGE: (f64, f64) = (1.25, 1.75);

/// Between which ledges, in heights of a layer, the smaller face takes the place of the middle: a wedge
/// runs from corner to corner, so where there will be one the corners have to lie on the surface.
fn wide(height: f64, wedges: Option<f64>) -> (f64, f64) {
    let least = wedges.map_or(LEDGE.1, |mm| (mm / height).min(LEDGE.1));
    (LEDGE.0 / LEDGE.1 * least, least)
}

/// Cuts every layer, in parallel; the order and the result do not hang on the number of threads.
///
/// `first` is the number of the lowest of them: 1, or more where layers below are piled already;
/// ledges wider than `wedges` mm are going to have wedges.
pub(crate) fn cut(
    eroder: &Eroder<'_>,
    courses: &[LayerCourse],
    first: usize,
    (cut, wedges): (Cut, Option<f64>),
    scale: f64,
    thickness: f64,
    findings: &mut Vec<Finding>,
) -> Result<Vec<Layer>, Error> {
    let shapes = shapes(eroder, courses, (cut, wedges), thickness);
    let least = LEAST_LOOP_MM2 * scale * scale;
    let mut layers: Vec<Layer> = Vec::with_capacity(shapes.len());
    let mut dropped: Vec<(usize, f64)> = Vec::new();
    for (index, (shape, course)) in (first..).zip(shapes.into_iter().zip(courses)) {
        let mut pieces = Vec::new();
        for region in shape {
            let area = region.area();
            if area < least {
                // Crumbs below a square millimetre are rounding, not matter.
                if area > 1.0 {
                    dropped.push((index, area));
                }
                continue;
            }
            pieces.push(piece(index, pieces.len(), &region));
        }
        if pieces.is_empty() {
            return Err(too_thin(course.at(0.5), thickness));
        }
        layers.push(Layer {
            index,
            bottom: course.bottom,
            top: course.top,
            material: course.material,
            pieces,
            levels: Vec::new(),
            step: 0.0,
        });
    }
    for (layer, area) in dropped {
        findings.push(Finding::of(
            Severity::Note,
            StackFact::LoopLeftOut { layer, area },
        ));
    }
    if let Some(top) = layers.last()
        && layers.len() > 4
        && top.pieces.iter().map(|p| p.area).sum::<f64>() < LEAST_TOP_MM2 * scale * scale
    {
        let area = top.pieces[0].area;
        findings.push(Finding::of(Severity::Note, StackFact::TopMerged { area }));
        layers.pop();
    }
    for layer in &layers {
        if layer.pieces.len() > 1 {
            let fact = StackFact::LayerInPieces {
                layer: layer.index,
                pieces: layer.pieces.len(),
            };
            findings.push(Finding::of(Severity::Warning, fact));
        }
    }
    Ok(layers)
}

/// Puts the names of the levels that lie in each layer, and its step to the next.
pub(crate) fn name_levels(layers: &mut [Layer], marks: &Marks) {
    let count = layers.len();
    for (i, layer) in layers.iter_mut().enumerate() {
        let (bottom, top) = (layer.bottom, layer.top);
        // A level on a face belongs to the layer above it; the topmost face to the last layer.
        let within = |z: f64| {
            (bottom <= z && z < top) || (i + 1 == count && z >= top && z < top + (top - bottom))
        };
        layer.levels = marks
            .levels
            .iter()
            .filter(|(_, z)| within(**z))
            .map(|(level, _)| *level)
            .collect();
    }
    let steps: Vec<f64> = layers
        .par_windows(2)
        .map(|pair| step(&pair[0], &pair[1]))
        .collect();
    for (layer, step) in layers.iter_mut().zip(steps) {
        layer.step = step;
    }
}

/// Largest horizontal distance from a boundary point of one layer to the nearest boundary point of
/// the next, either way.
fn step(a: &Layer, b: &Layer) -> f64 {
    let one_way = |from: &Layer, to: &Layer| {
        let to: Vec<Banded> = to.pieces.iter().map(|q| q.outline.banded()).collect();
        let mut worst = 0.0_f64;
        for p in from.pieces.iter().flat_map(|p| &p.outline.points) {
            // Only a point that is further off than any before it counts.
            if to.iter().any(|q| q.is_near(*p, worst)) {
                continue;
            }
            let near = to
                .iter()
                .map(|q| q.distance(*p))
                .fold(f64::INFINITY, f64::min);
            worst = worst.max(near);
        }
        worst
    };
    one_way(a, b).max(one_way(b, a))
}

fn piece(index: usize, nth: usize, region: &Region) -> Piece {
    let outline = region
        .outer
        .simplified(OUTLINE_ACCURACY_MM)
        .counter_clockwise();
    let holes: Vec<Outline> = region
        .holes
        .iter()
        .map(|h| h.simplified(OUTLINE_ACCURACY_MM).counter_clockwise())
        .collect();
    Piece::blank(PieceId::new(CutFor::Layer(index), nth), outline, holes)
}

/// The shapes of all layers.
fn shapes(
    eroder: &Eroder<'_>,
    courses: &[LayerCourse],
    (cut, wedges): (Cut, Option<f64>),
    padding: f64,
) -> Vec<Vec<Region>> {
    let core = |i: usize, part: f64| eroder.core(courses[i].at(part));
    let faces = |i: usize| [core(i, 0.0), core(i, 0.5), core(i, 1.0)];
    let layers = (0..courses.len()).into_par_iter();
    match cut {
        Cut::Inside => layers
            .map(|i| {
                let [a, b, c] = faces(i);
                intersection(&intersection(&b, &a), &c)
            })
            .collect(),
        Cut::Outside => layers
            .map(|i| {
                let [a, b, c] = faces(i);
                union(&union(&b, &a), &c)
            })
            .collect(),
        Cut::Middle => {
            let middles: Vec<Vec<Region>> = layers.clone().map(|i| core(i, 0.5)).collect();
            let mut rides: Vec<Rides> = Vec::new();
            for course in courses {
                if !rides.iter().any(|r| r.is_for(course.height())) {
                    rides.push(Rides::new(course.height(), padding));
                }
            }
            layers
                .map(|i| {
                    let own = courses[i].height();
                    let Some(rides) = rides.iter().find(|r| r.is_for(own)) else {
                        return middles[i].clone();
                    };
                    let next: Vec<Neighbour<'_>> = [i.checked_sub(1), Some(i + 1)]
                        .into_iter()
                        .flatten()
                        .filter_map(|k| {
                            Some(Neighbour {
                                shapes: middles.get(k)?,
                                away: f64::midpoint(own, courses[k].height()),
                            })
                        })
                        .collect();
                    middle(&middles[i], &next, rides, wide(own, wedges), &|| {
                        let smaller = intersection(&middles[i], &core(i, 0.0));
                        intersection(&smaller, &core(i, 1.0))
                    })
                })
                .collect()
        }
    }
}

/// The middle section of the layer above or below, and how much higher or lower it lies, mm.
struct Neighbour<'a> {
    shapes: &'a [Region],
    away: f64,
}

/// How much larger, on average over a layer's height, padding that rides on the outer corners of
/// the steps makes a leaning wall than the smooth body: a layer cut in the middle is drawn in by as
/// much, so that the padded form is right on average.
///
/// A wall that recedes by `s` mm a mm is cut at half thickness into steps `s p` wide (pitch `p`).
/// Padding `t` was taken off sideways by `t √(1 + s²)`; put back as a ball it reaches, at `z` above
/// the layer's wider face, the larger of `t` and, from the m-th wider layer, `m s p + √(t² − d²)`
/// with `d = z + (m − 1) p`. The mean of that over `z` less what was taken off is tabulated over `s`.
struct Rides {
    table: Vec<f64>,
    pitch: f64,
}

impl Rides {
    /// Entries for each unit of `s`, how far the table goes, and steps of `z`.
    const FINE: f64 = 50.0;
    const MOST: f64 = 4.0;
    const STEPS: usize = 64;

    fn new(pitch: f64, padding: f64) -> Self {
        let entries = (Self::FINE * Self::MOST) as usize + 1;
        let table = (0..entries)
            .map(|k| {
                let s = k as f64 / Self::FINE;
                let sum: f64 = (0..Self::STEPS)
                    .map(|j| {
                        let z = (j as f64 + 0.5) / Self::STEPS as f64 * pitch;
                        (1..)
                            .map(|m| (f64::from(m), z + f64::from(m - 1) * pitch))
                            .take_while(|(_, d)| *d < padding)
                            .map(|(m, d)| m * s * pitch + (padding * padding - d * d).sqrt())
                            .fold(padding, f64::max)
                    })
                    .sum();
                let excess = sum / Self::STEPS as f64 - padding * (1.0 + s * s).sqrt();
                excess.clamp(0.0, s * pitch / 2.0)
            })
            .collect();
        Self { table, pitch }
    }

    /// Whether this is the table for layers of this height.
    fn is_for(&self, pitch: f64) -> bool {
        (self.pitch - pitch).abs() < SAME_POINT_EPS_MM
    }

    /// How far to draw in where the wall recedes by `lean` mm a mm.
    fn draw_in(&self, lean: f64) -> f64 {
        let f = (lean * Self::FINE).clamp(0.0, (self.table.len() - 1) as f64);
        let k = (f as usize).min(self.table.len() - 2);
        self.table[k] + (self.table[k + 1] - self.table[k]) * (f - k as f64)
    }
}

/// The middle section, drawn in by what padding adds as it rides on the steps ([`Rides`]); on wide
/// ledges, between the two numbers of layer heights, the smaller face, with a smooth change along the
/// outline. `next` are the middle sections
/// of the neighbouring layers, `smaller` finds the smaller face.
fn middle(
    mid: &[Region],
    next: &[Neighbour<'_>],
    rides: &Rides,
    (wide_from, wide): (f64, f64),
    smaller: &dyn Fn() -> Vec<Region>,
) -> Vec<Region> {
    let pitch = rides.pitch;
    // Where the wall recedes towards a neighbour: the point of the neighbour's edge, how far it is,
    // and how far that is for each mm of height.
    let recedes = |p: Point2| {
        next.iter()
            .filter(|n| !n.shapes.iter().any(|r| r.contains(p)))
            .map(|n| {
                let (q, step) = to_nearest(n.shapes, p);
                (q, step, step / n.away)
            })
            .fold((p, 0.0, 0.0), |a, b| if b.2 > a.2 { b } else { a })
    };
    let widest = mid
        .iter()
        .flat_map(|r| &r.outer.points)
        .map(|p| recedes(*p).2)
        .fold(0.0, f64::max);
    let ledge = widest > wide_from;
    let small = if ledge { smaller() } else { Vec::new() };
    let (near, far) = (wide_from * pitch / 2.0, wide * pitch / 2.0);
    let drawn: Vec<Region> = mid
        .iter()
        .map(|region| {
            let outer = if ledge {
                region.outer.densified(pitch / 4.0)
            } else {
                region.outer.clone()
            };
            let points: Vec<Point2> = outer
                .points
                .iter()
                .map(|&p| {
                    let (q, step, lean) = recedes(p);
                    let mut to = p;
                    if step > SECTION_ACCURACY_MM {
                        to += (q - p) * (rides.draw_in(lean) / step);
                    }
                    if !small.is_empty() {
                        let (q, gap) = to_nearest(&small, p);
                        let f = ((gap - near) / (far - near)).clamp(0.0, 1.0);
                        to += (q - to) * (f * f * (3.0 - 2.0 * f));
                    }
                    to
                })
                .collect();
            let outer = Outline::new(points).simplified(SECTION_ACCURACY_MM);
            if outer.points.len() >= 3 && outer.is_simple() && outer.area() > 0.0 {
                Region {
                    outer,
                    holes: region.holes.clone(),
                }
            } else {
                region.clone()
            }
        })
        .collect();
    if small.is_empty() {
        return drawn;
    }
    // Whatever the easing did: never less than the smaller face, never more than the middle.
    intersection(&union(&drawn, &small), mid)
}

fn to_nearest(shapes: &[Region], p: Point2) -> (Point2, f64) {
    shapes
        .iter()
        .filter_map(|r| r.outer.nearest(p))
        .map(|(q, _)| (q, (q - p).norm()))
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .unwrap_or((p, 0.0))
}
