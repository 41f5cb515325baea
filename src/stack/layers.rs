//! The layers: heights counted from the neck top down, and the outline each is cut to.

use rayon::prelude::*;

use super::core::Eroder;
use super::core::too_thin;
use super::{Layer, Piece};
use crate::error::Error;
use crate::error::Finding;
use crate::error::Severity;
use crate::geom::Outline;
use crate::geom::Point2;
use crate::geom::offset::Region;
use crate::geom::offset::intersection;
use crate::geom::offset::union;
use crate::mesh::Marks;
use crate::tolerance::OUTLINE_ACCURACY_MM;
use crate::tolerance::SECTION_ACCURACY_MM;
use crate::workshop::Cut;

/// Loops smaller than this are not worth cutting, mm² at full scale.
const LEAST_LOOP_MM2: f64 = 400.0;

/// A top layer smaller than this is left to the padding and the cap, mm² at full scale.
const LEAST_TOP_MM2: f64 = 2000.0;

/// A ledge is wide when the surface recedes by more than this many layer heights from one layer to
/// the next; from the lower number to the upper one [`Cut::Middle`] goes over to the smaller face.
/// Measured from middle to face, which is half of the way.
const LEDGE: (f64, f64) = (1.25, 1.75);

/// Heights of the layers and where they came from.
pub(crate) struct Heights {
    /// Underside of the lowest layer and height of each, mm.
    pub(crate) bottom: f64,
    pub(crate) pitch: f64,
    pub(crate) count: usize,
}

impl Heights {
    /// Layers of `pitch` counted down from `high`; the lowest ends as near to `low` as whole layers
    /// allow, so that the remainder (at most half a layer) moves the hem and no measured level.
    pub(crate) fn new(low: f64, high: f64, pitch: f64) -> Result<Self, Error> {
        let count = ((high - low) / pitch).round();
        if count < 4.0 {
            return Err(Error::Stack(format!(
                "a form {:.0} mm high in layers of {pitch:.2} mm has only {count:.0} layers; use thinner stock in `layer.thickness`",
                high - low
            )));
        }
        if count > 5000.0 {
            return Err(Error::Stack(format!(
                "layers of {pitch:.3} mm would make {count:.0} of them; check `layer.thickness` (a sheet of 6.35 mm is usual)"
            )));
        }
        Ok(Self {
            bottom: high - count * pitch,
            pitch,
            count: count as usize,
        })
    }

    pub(crate) fn bottom_of(&self, i: usize) -> f64 {
        self.bottom + self.pitch * i as f64
    }
}

/// Cuts every layer, in parallel; the order and the result do not hang on the number of threads.
pub(crate) fn cut(
    eroder: &Eroder<'_>,
    heights: &Heights,
    cut: Cut,
    scale: f64,
    thickness: f64,
    findings: &mut Vec<Finding>,
) -> Result<Vec<Layer>, Error> {
    let shapes: Vec<Vec<Region>> = (0..heights.count)
        .into_par_iter()
        .map(|i| shape(eroder, heights.bottom_of(i), heights.pitch, cut))
        .collect();
    let least = LEAST_LOOP_MM2 * scale * scale;
    let mut layers: Vec<Layer> = Vec::with_capacity(shapes.len());
    let mut dropped: Vec<(usize, f64)> = Vec::new();
    for (i, shape) in shapes.into_iter().enumerate() {
        let bottom = heights.bottom_of(i);
        let mut pieces = Vec::new();
        for region in shape {
            let area = region.area();
            if area < least {
                // Crumbs below a square millimetre are rounding, not matter.
                if area > 1.0 {
                    dropped.push((i + 1, area));
                }
                continue;
            }
            pieces.push(piece(i + 1, pieces.len(), &region));
        }
        if pieces.is_empty() {
            return Err(too_thin(bottom + heights.pitch / 2.0, thickness));
        }
        layers.push(Layer {
            index: i + 1,
            bottom,
            top: bottom + heights.pitch,
            pieces,
            levels: Vec::new(),
            step: 0.0,
        });
    }
    for (layer, area) in dropped {
        findings.push(Finding::new(
            Severity::Note,
            format!(
                "a loop of {area:.0} mm² in layer {layer} is too small to cut and was left out"
            ),
            "let the padding fill it",
        ));
    }
    if let Some(top) = layers.last()
        && layers.len() > 4
        && top.pieces.iter().map(|p| p.area).sum::<f64>() < LEAST_TOP_MM2 * scale * scale
    {
        findings.push(Finding::new(
            Severity::Note,
            format!(
                "the top layer would be only {:.0} mm² and was merged into the one below",
                top.pieces[0].area
            ),
            "fill its height with padding under the neck cap",
        ));
        layers.pop();
    }
    for layer in &layers {
        if layer.pieces.len() > 1 {
            findings.push(Finding::new(
                Severity::Warning,
                format!(
                    "layer {} falls into {} separate pieces; only the largest is held by rods",
                    layer.index,
                    layer.pieces.len()
                ),
                "glue the smaller ones to the layers above and below by their dashed outlines",
            ));
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
    for i in 0..count.saturating_sub(1) {
        layers[i].step = step(&layers[i], &layers[i + 1]);
    }
}

/// Largest horizontal distance from a boundary point of one layer to the nearest boundary point of
/// the next, either way.
fn step(a: &Layer, b: &Layer) -> f64 {
    let one_way = |from: &Layer, to: &Layer| {
        let mut worst = 0.0_f64;
        for p in from.pieces.iter().flat_map(|p| &p.outline.points) {
            let near = to
                .pieces
                .iter()
                .map(|q| q.outline.distance(*p))
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
    let area = outline.area() - holes.iter().map(Outline::area).sum::<f64>();
    let letter = match nth {
        0 => String::new(),
        n => char::from(b'a' + (n % 26) as u8).to_string(),
    };
    Piece {
        id: format!("L{index:03}{letter}"),
        outline,
        holes,
        rounds: Vec::new(),
        marks: Vec::new(),
        area,
    }
}

/// The shape of the layer from `bottom` to `bottom + pitch`.
fn shape(eroder: &Eroder<'_>, bottom: f64, pitch: f64, cut: Cut) -> Vec<Region> {
    let (middle, top) = (bottom + pitch / 2.0, bottom + pitch);
    match cut {
        Cut::Middle => {
            let mid = eroder.core(middle);
            // Only where the surface leans far enough can there be a wide ledge.
            let lean = libm::atan(LEDGE.0);
            if eroder.steepest(bottom - pitch, top + pitch) < lean * 0.9 {
                return mid;
            }
            let small = intersection(&intersection(&mid, &eroder.core(bottom)), &eroder.core(top));
            ease(mid, &small, pitch)
        }
        Cut::Inside => intersection(
            &intersection(&eroder.core(middle), &eroder.core(bottom)),
            &eroder.core(top),
        ),
        Cut::Outside => union(
            &union(&eroder.core(middle), &eroder.core(bottom)),
            &eroder.core(top),
        ),
    }
}

/// The middle section where the smaller face is near, the smaller face where it is far, and a
/// smooth change between the two along the outline.
fn ease(mid: Vec<Region>, small: &[Region], pitch: f64) -> Vec<Region> {
    let (near, far) = (LEDGE.0 * pitch / 2.0, LEDGE.1 * pitch / 2.0);
    if small.is_empty() {
        return mid;
    }
    let widest = mid
        .iter()
        .flat_map(|r| &r.outer.points)
        .map(|p| to_nearest(small, *p).1)
        .fold(0.0, f64::max);
    if widest <= near {
        return mid;
    }
    let mut eased: Vec<Region> = Vec::new();
    for region in &mid {
        let points: Vec<Point2> = region
            .outer
            .densified(pitch / 4.0)
            .points
            .iter()
            .map(|&p| {
                let (q, gap) = to_nearest(small, p);
                let f = ((gap - near) / (far - near)).clamp(0.0, 1.0);
                p + (q - p) * (f * f * (3.0 - 2.0 * f))
            })
            .collect();
        let outer = Outline::new(points).simplified(SECTION_ACCURACY_MM);
        if outer.points.len() >= 3 && outer.is_simple() {
            eased.push(Region {
                outer,
                holes: region.holes.clone(),
            });
        }
    }
    // Whatever the easing did: never less than the smaller face, never more than the middle.
    intersection(&union(&eased, small), &mid)
}

fn to_nearest(shapes: &[Region], p: Point2) -> (Point2, f64) {
    shapes
        .iter()
        .filter_map(|r| r.outer.nearest(p))
        .map(|(q, _)| (q, (q - p).norm()))
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .unwrap_or((p, 0.0))
}
