//! From a solid to a stack: layers cut to their outlines ([`blank`]), then dowels, openings and marks
//! ([`finish`]); and the rest of a stack cut again on a pile that did not come out as high as it
//! should ([`restarted`]).
//!
//! # Why is a restart a whole new build?
//! The pile's pieces, dowels and marks are taken over from the very stack that they were cut from,
//! which the same sheet and workshop give again byte for byte; only the heights above the pile are
//! new.

use super::core;
use super::courses;
use super::courses::{LayerCourse, StockHeight};
use super::dowel;
use super::dowel_room::DowelRooms;
use super::facts::StackFact;
use super::hollow;
use super::layers;
use super::mark;
use super::slice::ClosedSlicer;
use super::wedge;
use super::{Dowel, Layer, Pole, Stack, enlarged};
use crate::error::{Error, Finding, Severity};
use crate::geom::offset::{Region, offset};
use crate::geom::{Outline, Point2};
use crate::imprint;
use crate::measure::Level;
use crate::mesh::Mesh;
use crate::tolerance::{LAST_WALL_TOLERANCE_MM, OUTLINE_ACCURACY_MM};
use crate::workshop::Workshop;
use crate::workshop::material;

/// A pile may be this much higher or lower than its layers should make it before somebody is asked
/// to look again: nominal thickness lies by several per cent (common practice, no source), not by
/// more.
const PILE_MAY_DIFFER: f64 = 0.15;

/// Fewest layers that are cut again on a pile.
const FEWEST_ANEW: usize = 4;

/// Layers cut to their outlines, not yet drilled and marked.
#[derive(Clone, Debug)]
pub struct Blank {
    /// The layers; dowels, base board and cap plate still missing.
    pub stack: Stack,
    solid: Mesh,
    findings: Vec<Finding>,
    kept: Option<Kept>,
}

/// What is there already when the rest of a stack is cut again.
#[derive(Clone, Debug)]
struct Kept {
    /// The stack as it was first cut, finished.
    stack: Stack,
    /// How many of its layers are piled.
    layers: usize,
}

/// A pile of layers that are there already.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pile {
    /// Number of the lowest layer that is cut again.
    pub restart_at: usize,
    /// Measured height of the layers below it, mm.
    pub height: f64,
}

/// Cuts a solid into layers as the workshop's material asks.
///
/// * `workshop.scale` scales the body first; thickness, kerf, dowels and padding keep their size. All
///   of the stack, heights too, is then in millimetres of the form as it is cut.
/// * Padding and cover are taken off along the surface normal ([`core`]).
/// * Layers of the measured thickness and the glue line are counted from the neck top down, of one
///   material or, where `workshop.step` says so, thinner where the surface leans.
///
/// # Errors
/// [`Error::Stack`] when the solid is not closed, or when nothing is left of it at some height.
pub fn blank(mesh: &Mesh, workshop: &Workshop) -> Result<Blank, Error> {
    let solid = enlarged(mesh, workshop.scale);
    let padding = workshop.padding.thickness();
    let mut findings = Vec::new();
    let cut = {
        let slicer = ClosedSlicer::new(&solid)?;
        let eroder = core::Eroder::new(&slicer, padding);
        let courses = heights(&slicer, &eroder, workshop)?;
        layers::cut(
            &eroder,
            &courses,
            1,
            (workshop.layer.cut, workshop.wedges),
            workshop.scale,
            padding,
            &mut findings,
        )?
    };
    Ok(Blank {
        stack: plain(cut, padding, workshop.scale, mesh),
        solid,
        findings,
        kept: None,
    })
}

fn plain(layers: Vec<Layer>, padding: f64, scale: f64, mesh: &Mesh) -> Stack {
    Stack {
        layers,
        dowels: Vec::new(),
        wedges: Vec::new(),
        pole: None,
        axis: Point2::origin(),
        base: Outline::default(),
        cap: Outline::default(),
        padding,
        scale,
        first_to_cut: 1,
        figure: mesh.marks.figure,
        body: imprint::of_shape(&mesh.vertices),
    }
}

/// Materials in use with the heights of their layers, the thickest first.
fn kinds(workshop: &Workshop, grown: f64) -> Vec<StockHeight> {
    workshop
        .materials_used()
        .into_iter()
        .map(|i| (i, workshop.material(i).pitch() * grown))
        .collect()
}

fn heights(
    slicer: &ClosedSlicer<'_>,
    eroder: &core::Eroder<'_>,
    workshop: &Workshop,
) -> Result<Vec<LayerCourse>, Error> {
    let (low, high) = (slicer.low(), slicer.high());
    let kinds = kinds(workshop, 1.0);
    match (workshop.step, kinds.as_slice()) {
        (Some(step), [_, _, ..]) => {
            let order = courses::mixed(eroder, low, high, &kinds, step)?;
            let height: f64 = order.iter().map(|k| k.1).sum();
            Ok(courses::from_below(high - height, &order))
        }
        _ => courses::even(low, high, (0, workshop.layer.pitch())),
    }
}

/// The height of the underside of the lowest layer, mm, of the form that [`build`] would make.
///
/// # Errors
/// [`Error::Stack`] as for [`blank`].
pub fn underside(mesh: &Mesh, workshop: &Workshop) -> Result<f64, Error> {
    let solid = enlarged(mesh, workshop.scale);
    let slicer = ClosedSlicer::new(&solid)?;
    let padding = workshop.padding.thickness();
    let eroder = core::Eroder::new(&slicer, padding);
    let courses = heights(&slicer, &eroder, workshop)?;
    Ok(courses.first().map_or(0.0, |c| c.bottom))
}

/// Cuts the layers from number `pile.restart_at` up again, on a pile of the layers below it that is
/// `pile.height` mm high: they begin where the pile really ends, and are taken to be as thick as
/// those of the pile turned out. `stack` is the finished stack that the pile was cut from. The
/// remainder, at most half a layer, moves the neck top.
///
/// # Errors
/// [`Error::Stack`] when there is no such layer, when too few are left above it, or when the height
/// cannot be that of this pile.
pub fn restarted(
    stack: &Stack,
    mesh: &Mesh,
    workshop: &Workshop,
    pile: Pile,
) -> Result<Blank, Error> {
    let count = stack.layers.len();
    let piled = pile.restart_at.saturating_sub(1);
    if piled < 1 || piled + FEWEST_ANEW > count {
        return Err(Error::stack(StackFact::NoSuchRestart {
            layer: pile.restart_at,
            layers: count,
            last: (count + 1).saturating_sub(FEWEST_ANEW),
        }));
    }
    let bottom = stack.bottom();
    let meant = stack.layers[piled - 1].top - bottom;
    let grown = pile.height / meant;
    if !(1.0 - PILE_MAY_DIFFER..=1.0 + PILE_MAY_DIFFER).contains(&grown) {
        return Err(Error::stack(StackFact::NotThisPile {
            layers: piled,
            height: pile.height,
            meant,
        }));
    }
    let solid = enlarged(mesh, workshop.scale);
    let padding = workshop.padding.thickness();
    let mut findings = Vec::new();
    let mut layers: Vec<Layer> = stack.layers[..piled].to_vec();
    for layer in &mut layers {
        layer.bottom = bottom + (layer.bottom - bottom) * grown;
        layer.top = bottom + (layer.top - bottom) * grown;
    }
    {
        let slicer = ClosedSlicer::new(&solid)?;
        let eroder = core::Eroder::new(&slicer, padding);
        let from = bottom + pile.height;
        let high = slicer.high();
        let kinds = kinds(workshop, grown);
        let order = match (workshop.step, kinds.as_slice()) {
            (Some(step), [_, _, ..]) => courses::mixed(&eroder, from, high, &kinds, step)?,
            _ => {
                let pitch = workshop.layer.pitch() * grown;
                let n = ((high - from) / pitch).round().max(1.0) as usize;
                vec![(0, pitch); n]
            }
        };
        let mut courses = courses::from_below(from, &order);
        // The topmost layer of the pile is cut once more for its neighbour's sake, and put away.
        let below = &layers[piled - 1];
        courses.insert(
            0,
            LayerCourse {
                bottom: below.bottom,
                top: below.top,
                material: below.material,
            },
        );
        let mut anew = layers::cut(
            &eroder,
            &courses,
            piled,
            (workshop.layer.cut, workshop.wedges),
            workshop.scale,
            padding,
            &mut findings,
        )?;
        layers.extend(anew.drain(1..));
        let top = layers.last().map_or(high, |l| l.top);
        let fact = StackFact::CutAnew {
            piled,
            layers: layers.len(),
            height: pile.height,
            meant,
            higher: top - high,
        };
        findings.push(Finding::of(Severity::Note, fact));
    }
    let mut cut = plain(layers, padding, workshop.scale, mesh);
    cut.first_to_cut = piled + 1;
    Ok(Blank {
        stack: cut,
        solid,
        findings,
        kept: Some(Kept {
            stack: stack.clone(),
            layers: piled,
        }),
    })
}

/// Drills, opens and marks the layers; `name` goes on every piece.
///
/// * Pole and dowels are placed ([`dowel`]), or kept where a pile stands on them already; rings are
///   opened when the workshop wants them ([`hollow`]), and marks drawn ([`mark`]).
/// * The base board is the lowest outline, and the neck cap plate the topmost one, each with the
///   padding round it: the padding rests on the board and ends under the cap's edge.
///
/// # Errors
/// [`Error::Stack`] when no dowel fits, [`Error::Format`] when the face of the words cannot be read.
pub fn finish(
    blank: Blank,
    workshop: &Workshop,
    name: &str,
) -> Result<(Stack, Vec<Finding>), Error> {
    let Blank {
        mut stack,
        solid,
        mut findings,
        kept,
    } = blank;
    let bottom = stack.bottom();
    let cut = &mut stack.layers;
    layers::name_levels(cut, &solid.marks);
    let (pole, dowels) = match &kept {
        Some(kept) => carried(kept, cut, workshop, &mut findings),
        None => placed(cut, &solid, workshop, &mut findings)?,
    };
    if let Some(wall) = workshop.layer.hollow {
        findings.extend(weak_wall(&workshop.layer.material, wall));
        hollow::open(cut, wall, workshop.dowel.edge, &dowels, pole);
    }
    dowel::drill(cut, &dowels, pole, workshop.dowel.clearance);
    let axis = pole.map_or_else(|| plan_centre(cut), |p| Point2::new(0.0, p.at.y));
    let several = cut.windows(2).any(|l| l[0].material != l[1].material);
    let mut arcs: Vec<f64> = cut.iter().map(Layer::height).collect();
    if let Some(kept) = &kept {
        // The marks on the pile went as far sideways as its layers were meant to be high.
        for (arc, layer) in arcs.iter_mut().zip(&kept.stack.layers[..kept.layers]) {
            *arc = layer.height();
        }
    }
    let labels = mark::Labels {
        unit: workshop.paper.unit,
        name,
        figure: stack.figure,
        axis,
        bottom,
        scale: workshop.scale,
        materials: if several {
            let label = |l: &Layer| {
                let material = workshop.material(l.material);
                format!("{} {:.1} mm", material.material, material.thickness)
            };
            cut.iter().map(label).collect()
        } else {
            Vec::new()
        },
        arcs,
    };
    mark::draw(cut, &labels)?;
    let padding = stack.padding;
    let plate = |layer: Option<&Layer>| {
        layer
            .map(|l| offset(&[Region::solid(l.pieces[0].outline.clone())], padding))
            .and_then(|r| r.into_iter().next())
            .map(|r| r.outer.simplified(OUTLINE_ACCURACY_MM))
            .unwrap_or_default()
    };
    if let Some(kept) = &kept {
        for (layer, was) in cut.iter_mut().zip(&kept.stack.layers[..kept.layers]) {
            layer.pieces.clone_from(&was.pieces);
        }
    }
    stack.base = plate(cut.first());
    stack.cap = plate(cut.last());
    if let Some(least) = workshop.wedges {
        stack.wedges = wedge::wedges(&stack.layers, least, stack.first_to_cut)?;
    }
    stack.dowels = dowels;
    stack.pole = pole;
    stack.axis = axis;
    Ok((stack, findings))
}

/// What the program says of rings too narrow to be glued, leant on and pinned.
fn weak_wall(name: &str, wall: f64) -> Option<Finding> {
    let least = material::named(name)?.least_wall;
    (wall < least).then(|| {
        let material = name.to_owned();
        let fact = StackFact::WeakWall {
            material,
            wall,
            least,
        };
        Finding::of(Severity::Warning, fact)
    })
}

/// Slices a solid into layers as the workshop's material and machines ask: [`blank`], then
/// [`finish`].
///
/// # Errors
/// As for both.
pub fn build(mesh: &Mesh, workshop: &Workshop, name: &str) -> Result<(Stack, Vec<Finding>), Error> {
    finish(blank(mesh, workshop)?, workshop, name)
}

fn placed(
    cut: &[Layer],
    solid: &Mesh,
    workshop: &Workshop,
    findings: &mut Vec<Finding>,
) -> Result<(Option<Pole>, Vec<Dowel>), Error> {
    let mut rooms = DowelRooms::new(cut);
    let pole = workshop.pole.and_then(|diameter| {
        let upto = highest_of_pole(cut, solid);
        dowel::pole(cut, &mut rooms, diameter, &workshop.dowel, upto, findings)
    });
    let dowels = dowel::place(cut, &mut rooms, &workshop.dowel, pole, findings)?;
    Ok((pole, dowels))
}

/// Pole and dowels of a stack whose upper layers were cut again: where they were, up to the height
/// that they reached.
fn carried(
    kept: &Kept,
    cut: &[Layer],
    workshop: &Workshop,
    findings: &mut Vec<Finding>,
) -> (Option<Pole>, Vec<Dowel>) {
    let old = &kept.stack;
    // The layer that ends, or begins, nearest to where the old one did.
    let moved = |index: usize, edge: &dyn Fn(&Layer) -> f64| {
        if index <= kept.layers {
            return index;
        }
        let z = old.layers.get(index - 1).map_or(0.0, edge);
        cut[kept.layers..]
            .iter()
            .min_by(|a, b| (edge(a) - z).abs().total_cmp(&(edge(b) - z).abs()))
            .map_or(index, |l| l.index)
    };
    let top = |index: usize| moved(index, &|l: &Layer| l.top);
    let bottom = |index: usize| moved(index, &|l: &Layer| l.bottom);
    // A dowel ends below the first layer cut again that leaves too little wall round it.
    let mut shortened: Vec<(Option<String>, usize)> = Vec::new();
    let mut reaches = |name: Option<&String>, at: Point2, hole: f64, first: usize, last: usize| {
        let holds = |layer: &&Layer| {
            let outline = &layer.pieces[0].outline;
            outline.contains(at) && outline.distance(at) - hole / 2.0 >= LAST_WALL_TOLERANCE_MM
        };
        let from = kept.layers.max(first - 1);
        let held = from + cut[from..last.max(from)].iter().take_while(holds).count();
        if held < last {
            shortened.push((name.cloned(), held));
        }
        held.max(first).min(last)
    };
    let clearance = workshop.dowel.clearance;
    let pole = old.pole.map(|pole| {
        let hole = pole.diameter + clearance;
        let top = top(pole.last_layer);
        Pole {
            last_layer: reaches(None, pole.at, hole, pole.first_layer, top),
            earlier: old.layers.get(pole.last_layer - 1).map(|layer| layer.top),
            ..pole
        }
    });
    let dowels: Vec<Dowel> = old
        .dowels
        .iter()
        .map(|d| {
            let first = bottom(d.first_layer);
            let last = top(d.last_layer).max(first);
            let last = reaches(Some(&d.name), d.at, d.hole, first, last);
            Dowel {
                first_layer: first,
                last_layer: last,
                length: cut[last - 1].top - cut[first - 1].bottom,
                earlier: Some(d.length),
                ..d.clone()
            }
        })
        .collect();
    if !shortened.is_empty() {
        findings.push(Finding::of(
            Severity::Warning,
            StackFact::RodsEndEarly { rods: shortened },
        ));
    }
    (pole, dowels)
}

/// The core as a closed solid (see [`core`]), in the size of the form as it is cut.
///
/// # Errors
/// [`Error::Stack`] as for [`build`].
pub fn core_mesh(mesh: &Mesh, workshop: &Workshop) -> Result<Mesh, Error> {
    let scaled = enlarged(mesh, workshop.scale);
    let padding = workshop.padding.thickness();
    let slicer = ClosedSlicer::new(&scaled)?;
    core::core_solid(&core::Eroder::new(&slicer, padding))
}

/// The layer the pole goes up to: the one in which the shoulder point lies, or two thirds of the
/// height on a solid without names.
fn highest_of_pole(layers: &[Layer], mesh: &Mesh) -> usize {
    match mesh.marks.levels.get(&Level::ShoulderPoint) {
        Some(z) => layers.iter().take_while(|l| l.bottom <= *z).count(),
        None => layers.len() * 2 / 3,
    }
}

fn plan_centre(layers: &[Layer]) -> Point2 {
    let first = layers.first().map(|l| l.pieces[0].outline.centroid());
    Point2::new(0.0, first.map_or(0.0, |p| p.y))
}
