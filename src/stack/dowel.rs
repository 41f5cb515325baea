//! Where the dowels stand: inside every layer they cross, as far apart as the body allows, and so
//! unlike in place that a piece that is turned or flipped will not thread.
//!
//! A body narrows upwards, so one line cannot serve the hip and the neck: the dowels stand in sets,
//! each set crossing a run of layers, each run sharing at least [`OVERLAP`] layers with the next.
//!
//! Two holes alone can always be turned half round about the point midway between them, or flipped
//! about the line through them, and thread again. So every layer gets at least three holes (dowels,
//! or dowels and pole) of a triangle with three clearly different sides: no turn and no flip but none
//! at all brings it on to itself.
//!
//! # Why do thinner dowels come before a thinner wall?
//! A hole that breaks out holds nothing; three holes that do not show a turned piece still hold,
//! and the program says so. Walls under 4 mm are for where nothing else fits.

use std::ops::Range;

use super::dowel_places::{Want, choose, tidy};
use super::dowel_room::{DowelRooms, widest};
use super::dowel_size::{size_name, standard_sizes};
use super::{Dowel, Hole, Layer, Pole, Through};
use crate::error::{Error, Finding, Severity};
use crate::geom::offset::{Region, intersection};
use crate::geom::{Point2, Vector2};
use crate::stack::facts::StackFact;
use crate::tolerance::{LAST_WALL_TOLERANCE_MM, LEAST_WALL_TOLERANCE_MM, SAME_DOWEL_TOLERANCE_MM};
use crate::workshop::Dowelling;

/// Layers that two neighbouring sets share at least.
pub const OVERLAP: usize = 4;

/// A set of dowels on its way to becoming [`Dowel`]s.
struct Set {
    at: Vec<Point2>,
    first: usize,
    last: usize,
    diameter: f64,
    wall: f64,
    unlike: bool,
}

impl Set {
    /// Whether it has thinner dowels or walls than were wished.
    fn is_less_than(&self, dowelling: &Dowelling) -> bool {
        self.wall < dowelling.edge || self.diameter < dowelling.diameter
    }
}

/// How good sets are by the worst of them: whether all show a turned piece, then the thinnest dowel, then
/// the thinnest wall, in hundredths of a millimetre.
fn quality(sets: &[Set]) -> (bool, u64, u64) {
    let least = |of: fn(&Set) -> f64| {
        let least = sets.iter().map(of).fold(f64::INFINITY, f64::min);
        (least * 100.0).round() as u64
    };
    (
        sets.iter().all(|s| s.unlike),
        least(|s| s.diameter),
        least(|s| s.wall),
    )
}

/// The same runs of layers with their dowels placed again from the highest down: in the wide layers that
/// a neck stands on, the dowels of the trunk can keep clear of those of the neck, but not the other way
/// round. Nothing when some run has no room for any.
fn from_above(
    runs: &[Set],
    rooms: &mut DowelRooms,
    dowelling: &Dowelling,
    pole: Option<Pole>,
) -> Option<Vec<Set>> {
    let mut out: Vec<Set> = Vec::new();
    for run in runs.iter().rev() {
        let layers = run.first - 1..run.last;
        let least = layers.len();
        let of = |sizes: &[(f64, f64)], rooms: &mut DowelRooms| {
            of_sizes(
                sizes,
                rooms,
                (dowelling, pole),
                0.0,
                (layers.clone(), least),
                &out,
            )
        };
        let set = match of(&sizes(dowelling), rooms) {
            Some(set) => set,
            None => of(&last_resort(dowelling), rooms)?,
        };
        out.push(set);
    }
    out.reverse();
    Some(out)
}

/// The pole goes this much further from the middle of the body to stand on the middle line. Our choice: far less than
/// makes the form lean.
const POLE_ON_MIDDLE_MM: f64 = 5.0;

/// Stands the pole in the plan centre of the body, or as near to it as leaves `edge` of wall in
/// every layer, from the lowest layer up to layer number `upto`; lower if it cannot pass so high.
pub(crate) fn pole(
    layers: &[Layer],
    rooms: &mut DowelRooms,
    diameter: f64,
    dowelling: &Dowelling,
    upto: usize,
    findings: &mut Vec<Finding>,
) -> Option<Pole> {
    let radius = (diameter + dowelling.clearance) / 2.0;
    let upto = upto.min(layers.len());
    let mut room: Vec<Region> = Vec::new();
    let mut last = 0;
    for (i, (here, _)) in rooms.at(radius + dowelling.edge)[..upto].iter().enumerate() {
        let both = if i == 0 {
            here.clone()
        } else {
            intersection(&room, here)
        };
        if both.is_empty() {
            break;
        }
        room = both;
        last = i + 1;
    }
    if last < upto {
        let fact = StackFact::PoleEndsEarly {
            diameter,
            layer: last,
            wanted: upto,
        };
        findings.push(Finding::of(Severity::Warning, fact));
    }
    if last < OVERLAP {
        return None;
    }
    let (mut weight, mut sum) = (0.0, Vector2::zeros());
    for piece in layers.iter().flat_map(|l| &l.pieces) {
        weight += piece.area;
        sum += piece.outline.centroid().coords * piece.area;
    }
    let centre = Point2::from(sum / weight);
    let nearest = nearest_inside(&room, centre)?;
    let at = on_middle_line(&room, centre, nearest).unwrap_or(nearest);
    Some(Pole {
        at,
        diameter,
        first_layer: 1,
        last_layer: last,
        earlier: None,
    })
}

/// The point of the middle line in the shapes that is nearest to `centre`, on whole tenths of a millimetre, where it is
/// hardly further off than the `nearest` of all: there, layers that are the same on both sides can be drawn by half.
fn on_middle_line(room: &[Region], centre: Point2, nearest: Point2) -> Option<Point2> {
    let reach = (nearest - centre).norm() + POLE_ON_MIDDLE_MM;
    let steps = (reach / 0.1).ceil() as i32;
    (0..=steps)
        .flat_map(|k| [k, -k])
        .map(|k| tidy(Point2::new(0.0, centre.y + 0.1 * f64::from(k))))
        .find(|p| room.iter().any(|r| r.contains(*p)))
}

/// The point of the shapes nearest to `p`, on whole tenths of a millimetre where that stays inside.
fn nearest_inside(room: &[Region], p: Point2) -> Option<Point2> {
    let inside = |q: Point2| room.iter().any(|r| r.contains(q));
    let q = if inside(p) {
        p
    } else {
        room.iter()
            .filter_map(|r| r.outer.nearest(p))
            .map(|(q, _)| q)
            .min_by(|a, b| (a - p).norm().total_cmp(&(b - p).norm()))?
    };
    // The nearest point lies on the edge of the room: of the tenths round it, the nearest inside.
    let around = |x: i32, y: i32| tidy(q + Vector2::new(f64::from(x), f64::from(y)) * 0.1);
    let neat = (-2..=2)
        .flat_map(|x| (-2..=2).map(move |y| around(x, y)))
        .filter(|c| inside(*c))
        .min_by(|a, b| (a - p).norm().total_cmp(&(b - p).norm()));
    Some(neat.unwrap_or(q))
}

/// Places all dowels.
///
/// # Errors
/// [`Error::Stack`] when some layer has no room for any dowel, however thin.
pub(crate) fn place(
    layers: &[Layer],
    rooms: &mut DowelRooms,
    dowelling: &Dowelling,
    pole: Option<Pole>,
    findings: &mut Vec<Finding>,
) -> Result<Vec<Dowel>, Error> {
    let mut best: Option<Result<Vec<Set>, Error>> = None;
    // A set may narrow down to a share of the widest layer it crosses: the larger the share, the
    // steadier and the more sets. As few shares as give three sets at most.
    for share in [0.5, 0.4, 0.3, 0.2, 0.1, 0.0] {
        let found = sets(layers, rooms, dowelling, pole, share);
        let few = found.as_ref().is_ok_and(|s| s.len() <= 3);
        best = Some(found);
        if few {
            break;
        }
    }
    let mut best = best.transpose()?.unwrap_or_default();
    if best.iter().any(|s| s.is_less_than(dowelling))
        && let Some(other) = from_above(&best, rooms, dowelling, pole)
        && quality(&other) > quality(&best)
    {
        best = other;
    }
    let mut out: Vec<Dowel> = Vec::new();
    for set in &best {
        if set.is_less_than(dowelling) {
            findings.push(slight(set, out.len(), dowelling));
        }
        if !set.unlike {
            let fact = StackFact::HolesAlike {
                first: set.first,
                last: set.last,
            };
            findings.push(Finding::of(Severity::Warning, fact));
        }
        for &at in &set.at {
            let height = layers[set.last - 1].top - layers[set.first - 1].bottom;
            out.push(Dowel {
                name: name(out.len()),
                at,
                diameter: set.diameter,
                hole: set.diameter + dowelling.clearance,
                first_layer: set.first,
                last_layer: set.last,
                length: height,
                earlier: None,
            });
        }
    }
    Ok(out)
}

/// What the program says of a set of dowels that had to be thinner or nearer to the edge than was wished; the first is
/// dowel number `from`.
fn slight(set: &Set, from: usize, dowelling: &Dowelling) -> Finding {
    let (got, wished) = (set.diameter, dowelling.diameter);
    let fact = StackFact::SlightRods {
        first: set.first,
        last: set.last,
        rods: (from..from + set.at.len()).map(name).collect(),
        diameter: (size_name(got) != size_name(wished)).then_some((got, wished)),
        wall: (set.wall < dowelling.edge).then_some((set.wall, dowelling.edge)),
    };
    Finding::of(Severity::Warning, fact)
}

fn name(mut n: usize) -> String {
    let mut out = String::new();
    loop {
        out.insert(0, char::from(b'A' + (n % 26) as u8));
        if n < 26 {
            return out;
        }
        n = n / 26 - 1;
    }
}

/// Walls and diameters to try, the wished one first; none with less than the least wall.
fn sizes(dowelling: &Dowelling) -> Vec<(f64, f64)> {
    let least = LEAST_WALL_TOLERANCE_MM.min(dowelling.edge);
    let walls = [1.0, 0.75, 0.5].map(|f| (dowelling.edge * f).max(least));
    let mut out: Vec<(f64, f64)> = walls.map(|w| (w, dowelling.diameter)).to_vec();
    let thinner = standard_sizes(dowelling.inch);
    let thinner: Vec<f64> = thinner
        .into_iter()
        .filter(|d| *d < dowelling.diameter - SAME_DOWEL_TOLERANCE_MM)
        .collect();
    for d in &thinner {
        out.push((walls[2], *d));
        out.push((least, *d));
    }
    out
}

/// Walls and diameters of the last resort, the thinnest dowels first: they leave the most.
fn last_resort(dowelling: &Dowelling) -> Vec<(f64, f64)> {
    let mut thin = standard_sizes(dowelling.inch);
    thin.retain(|d| *d < dowelling.diameter - SAME_DOWEL_TOLERANCE_MM);
    thin.reverse();
    thin.push(dowelling.diameter);
    let wall = LAST_WALL_TOLERANCE_MM.min(dowelling.edge);
    thin.into_iter().map(|d| (wall, d)).collect()
}

/// Covers all layers with sets, from the lowest up.
fn sets(
    layers: &[Layer],
    rooms: &mut DowelRooms,
    dowelling: &Dowelling,
    pole: Option<Pole>,
    share: f64,
) -> Result<Vec<Set>, Error> {
    let mut out: Vec<Set> = Vec::new();
    let mut start = 0;
    loop {
        // The set that reaches the pole's end stops there, so that the pole is its third hole.
        let limit = match pole {
            Some(pole) if out.is_empty() => pole.last_layer,
            _ => layers.len(),
        };
        let set = run(rooms, dowelling, pole, share, start..limit, &out)?;
        let last = set.last;
        out.push(set);
        if last >= layers.len() {
            return Ok(out);
        }
        // The next set begins low enough to share layers, and always goes higher.
        start = last.saturating_sub(OVERLAP).max(start + 1);
    }
}

/// The longest run that one set can hold of these layers (counted from 0), from the lowest up. A wall
/// thinner than the least one is the last resort: dowels whose holes do not show a turned piece come
/// before it.
fn run(
    rooms: &mut DowelRooms,
    dowelling: &Dowelling,
    pole: Option<Pole>,
    share: f64,
    layers: Range<usize>,
    before: &[Set],
) -> Result<Set, Error> {
    // It must go beyond what the set before it holds already, and not end where the next one has to
    // begin.
    let least = (2 * OVERLAP).min(layers.len());
    for sizes in [sizes(dowelling), last_resort(dowelling)] {
        let found = of_sizes(
            &sizes,
            rooms,
            (dowelling, pole),
            share,
            (layers.clone(), least),
            before,
        );
        if let Some(set) = found {
            return Ok(set);
        }
    }
    Err(Error::stack(StackFact::NoRoomForRods {
        layer: layers.start + 1,
        wall: LAST_WALL_TOLERANCE_MM.min(dowelling.edge),
    }))
}

/// The longest run of these layers, `least` of them or more, with the first of these walls and
/// diameters that serves; `standing` are sets that are placed already.
fn of_sizes(
    sizes: &[(f64, f64)],
    all_rooms: &mut DowelRooms,
    (dowelling, pole): (&Dowelling, Option<Pole>),
    share: f64,
    (layers, least): (Range<usize>, usize),
    standing: &[Set],
) -> Option<Set> {
    let Range { start, end: limit } = layers;
    let mut fallback: Option<Set> = None;
    for &(wall, diameter) in sizes {
        let reach = wall + (diameter + dowelling.clearance) / 2.0;
        // DowelRooms of the growing run; the last one that serves is used.
        let mut rooms: Vec<Vec<Region>> = Vec::new();
        let mut own_widest = 0.0_f64;
        for (here, own) in &all_rooms.at(reach)[start..limit] {
            own_widest = own_widest.max(*own);
            let both = match rooms.last() {
                Some(room) => intersection(room, here),
                None => here.clone(),
            };
            let wide = widest(&both);
            if both.is_empty() || (!rooms.is_empty() && wide < share * own_widest) {
                break;
            }
            rooms.push(both);
        }
        while rooms.len() >= least {
            let last = start + rooms.len();
            let held = pole.filter(|p| p.first_layer <= start + 1 && p.last_layer >= last);
            let fixed: Vec<(Point2, f64)> = held.iter().map(|p| (p.at, p.diameter)).collect();
            let count = dowelling.count.max(2).max(3 - fixed.len());
            let room = rooms.last().map_or(&[][..], Vec::as_slice);
            let spacing = diameter + dowelling.clearance + wall;
            // Holes of other dowels in the same layers, to keep clear of.
            let mut others: Vec<(Point2, f64)> = standing
                .iter()
                .filter(|s| s.last > start && s.first <= last)
                .flat_map(|s| s.at.iter().map(|p| (*p, s.diameter)))
                .collect();
            let beside = pole.filter(|p| p.last_layer > start);
            others.extend(beside.map(|p| (p.at, p.diameter)));
            let chosen = |count: usize| {
                let want = Want {
                    count,
                    diameter,
                    spacing,
                    clearance: dowelling.clearance,
                };
                choose(room, &fixed, &others, want)
            };
            // Where there is no room for enough, two still hold; they cannot tell a flipped piece.
            if let Some((at, unlike)) = chosen(count).or_else(|| chosen(2)) {
                let set = Set {
                    at,
                    first: start + 1,
                    last,
                    diameter,
                    wall,
                    unlike,
                };
                if unlike {
                    return Some(set);
                }
                if fallback.as_ref().is_none_or(|f| set.last > f.last) {
                    fallback = Some(set);
                }
            }
            // One layer less may leave room for a better set; try a few, then other sizes.
            let fewer = rooms.len().saturating_sub(OVERLAP.max(rooms.len() / 8));
            if fewer < least || rooms.len() == fewer {
                break;
            }
            rooms.truncate(fewer);
        }
    }
    fallback
}

/// Drills the holes of dowels and pole into the pieces they cross.
pub(crate) fn drill(layers: &mut [Layer], dowels: &[Dowel], pole: Option<Pole>, clearance: f64) {
    for layer in layers {
        let crossing = dowels
            .iter()
            .filter(|d| (d.first_layer..=d.last_layer).contains(&layer.index))
            .map(|d| (Through::Dowel(d.name.clone()), d.at, d.hole));
        let through = pole
            .iter()
            .filter(|p| p.passes(layer.index))
            .map(|p| (Through::Pole, p.at, p.diameter + clearance));
        let piece = &mut layer.pieces[0];
        for (through, at, diameter) in through.chain(crossing) {
            let hole = Hole::Round {
                through: Some(through),
                at,
                diameter,
            };
            piece.area -= hole.ring().area();
            piece.holes.push(hole);
        }
    }
}
