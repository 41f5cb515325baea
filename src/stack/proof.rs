//! The proof set: card templates of the finished surface, to hold against the person before a
//! hundred pieces are cut.
//!
//! At every level that matters a band of card follows the section from outside, in quarters that
//! meet on the centre and side lines (or in halves, where the page takes them whole); the profiles
//! of the centre back, the centre front and the side, and the line of the shoulder, are cut from
//! cards with a straight plumb edge. All of it is life size, whatever the scale of the form.
//!
//! # Why are the proof cards life size at half scale too?
//! They are held against the person, and prove the sheet, not the form.

use crate::units::Unit;
use std::f64::consts::FRAC_PI_2;
use std::f64::consts::FRAC_PI_4;
use std::f64::consts::PI;

use super::core::pole_at;
use super::slice::ClosedSlicer;
use super::writing::Writing;
use super::{Mark, Piece};
use crate::error::Error;
use crate::geom::offset::{Region, difference, intersection, offset};
use crate::geom::{Outline, Point2, Vector2};
use crate::measure::Level;
use crate::mesh::{Marks, Mesh};
use crate::tolerance::{LEVEL_ACCURACY_MM, SECTION_ACCURACY_MM};

/// Width of the band of card outside the body, mm: stiff enough to hold, narrow enough for the page.
/// Our choice.
const BAND: f64 = 20.0;

/// Heights of a profile are this far apart, mm.
const PROFILE_STEP: f64 = 2.0;

/// Length of the ticks at levels, mm.
const TICK: f64 = 6.0;

/// Words at the ends of the shoulder card stand so far from them, mm.
const END: f64 = 6.0;

/// Least width of a profile card, mm: a tick and the longest name of a level with its height stand beside each other.
/// Our choice.
const PROFILE_BAND: f64 = 40.0;

/// From one place for the words of a band to the next, radians.
const BAND_STEP: f64 = 0.02;

/// The levels that matter, from the lowest up.
const LEVELS: [Level; 8] = [
    Level::Hip,
    Level::TopHip,
    Level::Abdomen,
    Level::Waist,
    Level::Underbust,
    Level::Bust,
    Level::Armpit,
    Level::NeckGirth,
];

/// One card of the proof set.
#[derive(Clone, Debug, PartialEq)]
pub struct Card {
    /// The card; what fits the body is its inner edge.
    pub piece: Piece,
    /// What it is: `waist, front: right, and turned over left`.
    pub what: String,
    /// The same in a list: `waist front`.
    pub brief: String,
}

/// Which half of a section a card is, where one for all of it would be larger than the page.
#[derive(Clone, Copy, PartialEq, Eq)]
enum End {
    Front,
    Back,
}

impl End {
    const fn name(self) -> &'static str {
        match self {
            Self::Front => "front",
            Self::Back => "back",
        }
    }
}

/// Which sides of the body a card is for.
#[derive(Clone, Copy)]
enum CardSide {
    Both,
    Right,
    Left,
}

impl CardSide {
    const fn name(self) -> &'static str {
        match self {
            Self::Both => "right, and turned over left",
            Self::Right => "right",
            Self::Left => "left",
        }
    }
}

/// All cards of a life-size solid, for pages whose window is so wide and high, mm; heights on them in `unit`.
///
/// # Errors
/// [`Error::Stack`] when the solid is not closed, [`Error::Format`] when the face of the words cannot
/// be read.
pub fn cards(solid: &Mesh, window: (f64, f64), unit: Unit) -> Result<Vec<Card>, Error> {
    let slicer = ClosedSlicer::new(solid)?;
    let mut out = Vec::new();
    for level in LEVELS {
        if let Some(z) = solid.marks.levels.get(&level) {
            sections(&slicer, level, *z, (window, unit), &mut out)?;
        }
    }
    profiles(&slicer, unit, &mut out)?;
    Ok(out)
}

/// The outer boundary at a height and its middle.
fn section(slicer: &ClosedSlicer<'_>, z: f64) -> Option<(Outline, Point2)> {
    let region = slicer.section(z).into_iter().next()?;
    let centre = pole_at(&slicer.mesh().marks.pole, z);
    region
        .outer
        .contains(centre)
        .then_some((region.outer, centre))
}

/// Whether the left of a section is the mirror image of its right.
fn is_even(outline: &Outline, centre: Point2) -> bool {
    let sides = outline.banded();
    outline.points.iter().all(|p| {
        let mirrored = Point2::new(2.0 * centre.x - p.x, p.y);
        sides.distance(mirrored) <= LEVEL_ACCURACY_MM
    })
}

fn sections(
    slicer: &ClosedSlicer<'_>,
    level: Level,
    z: f64,
    (window, unit): ((f64, f64), Unit),
    out: &mut Vec<Card>,
) -> Result<(), Error> {
    let Some((outline, centre)) = section(slicer, z) else {
        return Ok(());
    };
    let Some((low, high)) = outline.bounds() else {
        return Ok(());
    };
    let body = [Region::solid(outline.clone())];
    let band = difference(&offset(&body, BAND), &body);
    let far = Vector2::new(high.x - low.x, high.y - low.y) + Vector2::new(BAND, BAND) * 2.0;
    let sides: &[(f64, CardSide)] = if is_even(&outline, centre) {
        &[(1.0, CardSide::Both)]
    } else {
        &[(1.0, CardSide::Right), (-1.0, CardSide::Left)]
    };
    let name = level.called(slicer.mesh().marks.figure);
    let height = height(&slicer.mesh().marks, z, unit);
    for (side, which) in sides {
        let part = |front: f64, back: f64| {
            let to = centre.x + side * far.x;
            let bound = rectangle(
                Point2::new(centre.x, centre.y - back * far.y),
                Point2::new(to, centre.y + front * far.y),
            );
            largest(intersection(&band, &[Region::solid(bound)]))
        };
        let half = part(1.0, 1.0).filter(|o| fits(o, window));
        let parts = match half {
            Some(half) => vec![(half, None)],
            None => [(part(1.0, 0.0), End::Front), (part(0.0, 1.0), End::Back)]
                .into_iter()
                .filter_map(|(outline, half)| Some((outline?, Some(half))))
                .collect(),
        };
        for (card, half) in parts {
            let words: Vec<&str> = std::iter::once(name).chain(half.map(End::name)).collect();
            let (short, long) = (words.join(" "), words.join(", "));
            let (what, brief) = match which {
                CardSide::Both => (format!("{long}: {}", which.name()), short),
                CardSide::Right | CardSide::Left => (
                    format!("{long}, {}", which.name()),
                    format!("{short} {}", which.name()),
                ),
            };
            let mut card = Writing::new(out.len(), card)?;
            // Words beside the middle lines, and above or below the end of the side line.
            let middle = Vector2::new(side * 14.0, 0.0);
            let of_side = if half == Some(End::Back) { -6.0 } else { 6.0 };
            for (angle, line, beside) in [
                (FRAC_PI_2, "CENTRE FRONT", middle),
                (-FRAC_PI_2, "CENTRE BACK", middle),
                (
                    if *side > 0.0 { 0.0 } else { PI },
                    "SIDE",
                    Vector2::new(0.0, of_side),
                ),
            ] {
                let e = Vector2::new(libm::cos(angle), libm::sin(angle));
                let Some(r) = outline.ray(centre, angle) else {
                    continue;
                };
                // Its ends lie on the lines; words beside them say on which.
                let end = centre + e * (r + BAND / 2.0);
                if card.piece.outline.distance(end) <= LEVEL_ACCURACY_MM {
                    card.say(line, 2.5, end + beside);
                }
            }
            let end = half.map_or_else(String::new, |half| format!(" {}", half.name()));
            let title = format!("{}{end}", name.to_uppercase());
            card.block_along(
                &[
                    (title.as_str(), 4.5),
                    (which.name(), 2.5),
                    (height.as_str(), 2.5),
                ],
                &along_band(&outline, centre, *side, half),
            );
            out.push(Card {
                piece: card.piece,
                what,
                brief,
            });
        }
    }
    Ok(())
}

/// Where a card is held: above the floor or the seat where that is known, else from the natural waist.
fn height(marks: &Marks, z: f64, unit: Unit) -> String {
    let shown = |mm: f64| height_words(mm, unit);
    if let Some((seat, _)) = marks.seat {
        return format!("{} above the seat", shown(z - seat));
    }
    match marks.floor {
        Some((floor, _)) => format!("{} above the floor", shown(z - floor)),
        None if z.abs() < LEVEL_ACCURACY_MM => "at the natural waist".to_owned(),
        None if z > 0.0 => format!("{} above the waist", shown(z)),
        None => format!("{} below the waist", shown(-z)),
    }
}

/// The number of a height alone; in inches as on the tape, and as the guide has them.
fn height_words(mm: f64, unit: Unit) -> String {
    match unit {
        Unit::Cm | Unit::Mm => unit.rule(mm, 0),
        Unit::In => unit.show(mm),
    }
}

/// Places in the middle of the band with its direction there, from half-way between its ends
/// outwards.
fn along_band(body: &Outline, centre: Point2, side: f64, end: Option<End>) -> Vec<(Point2, f64)> {
    let (middle, reach) = match end {
        Some(End::Front) => (FRAC_PI_4, FRAC_PI_4),
        Some(End::Back) => (-FRAC_PI_4, FRAC_PI_4),
        None => (0.0, FRAC_PI_2),
    };
    // Angles are those of the right side; the left is its mirror image.
    let on_band = |angle: f64| {
        let angle = if side > 0.0 { angle } else { PI - angle };
        let e = Vector2::new(libm::cos(angle), libm::sin(angle));
        let p = centre + e * body.ray(centre, angle)?;
        let (at, nearest) = body.nearest(p)?;
        let n = body.points.len();
        let along = (body.points[(nearest + 1) % n] - body.points[nearest]).normalize();
        Some((at + Vector2::new(along.y, -along.x) * (BAND / 2.0), along))
    };
    let steps = (reach / BAND_STEP) as i32;
    (0..=steps)
        .flat_map(|k| [k, -k])
        .skip(1)
        .filter_map(|k| {
            let (at, along) = on_band(middle + f64::from(k) * BAND_STEP)?;
            // Seen from the person the band lies outside: words stand on their feet towards the body.
            Some((at, libm::atan2(-along.y, -along.x)))
        })
        .collect()
}

/// Places in the middle of the band over a shoulder with its direction there, from half-way outwards.
fn along_shoulder(curve: &[Point2]) -> Vec<(Point2, f64)> {
    let half = curve.len() / 2;
    (0..half)
        .flat_map(|k| [half + k, half - k])
        .filter_map(|k| {
            let (a, b) = (*curve.get(k)?, *curve.get(k + 1)?);
            // From left to right, so that up is away from the shoulder.
            let along = (b - a) * (b.x - a.x).signum();
            let along = along.try_normalize(f64::EPSILON)?;
            let up = Vector2::new(-along.y, along.x);
            let turn = libm::atan2(along.y, along.x);
            Some((nalgebra::center(&a, &b) + up * (BAND / 2.0), turn))
        })
        .collect()
}

fn rectangle(a: Point2, b: Point2) -> Outline {
    let (low, high) = (
        Point2::new(a.x.min(b.x), a.y.min(b.y)),
        Point2::new(a.x.max(b.x), a.y.max(b.y)),
    );
    Outline::new(vec![
        low,
        Point2::new(high.x, low.y),
        high,
        Point2::new(low.x, high.y),
    ])
}

fn largest(shapes: Vec<Region>) -> Option<Outline> {
    shapes
        .into_iter()
        .max_by(|a, b| a.area().total_cmp(&b.area()))
        .map(|r| r.outer.simplified(SECTION_ACCURACY_MM).counter_clockwise())
}

/// Whether it fits a window as it stands or turned by a right angle.
fn fits(outline: &Outline, (width, height): (f64, f64)) -> bool {
    outline.bounds().is_some_and(|(low, high)| {
        let (w, h) = (high.x - low.x, high.y - low.y);
        (w <= width && h <= height) || (h <= width && w <= height)
    })
}

/// Profile cards: heights run up the card, the plumb edge stands outside the body.
fn profiles(slicer: &ClosedSlicer<'_>, unit: Unit, out: &mut Vec<Card>) -> Result<(), Error> {
    let marks = &slicer.mesh().marks;
    let level = |l: Level| marks.levels.get(&l).copied();
    let (Some(hem), Some(armpit)) = (level(Level::Hem), level(Level::Armpit)) else {
        return Ok(());
    };
    let nape = level(Level::Nape).unwrap_or(armpit);
    let throat = level(Level::FrontNeck).unwrap_or(armpit);
    // How far the body reaches in a direction from its middle: along the centre lines and, at the
    // sides, as far as the section goes.
    let centre_line = |z: f64, angle: f64| {
        let (outline, centre) = section(slicer, z)?;
        Some(centre.y + libm::sin(angle) * outline.ray(centre, angle)?)
    };
    let side = |z: f64, right: bool| {
        let (outline, _) = section(slicer, z)?;
        let (low, high) = outline.bounds()?;
        Some(if right { high.x } else { low.x })
    };
    let heights = |from: f64, to: f64| -> Vec<f64> {
        let n = ((to - from) / PROFILE_STEP).ceil().max(2.0) as usize;
        (0..=n)
            .map(|k| from + (to - from) * k as f64 / n as f64)
            .collect()
    };
    let even = LEVELS
        .iter()
        .filter_map(|l| level(*l))
        .all(|z| section(slicer, z).is_none_or(|(outline, centre)| is_even(&outline, centre)));
    type Reach<'a> = Box<dyn Fn(f64) -> Option<f64> + 'a>;
    let mut lines: Vec<(&str, f64, f64, f64, Reach<'_>)> = vec![
        (
            "centre back profile",
            hem,
            nape,
            -1.0,
            Box::new(move |z| centre_line(z, -FRAC_PI_2)),
        ),
        (
            "centre front profile",
            hem,
            throat,
            1.0,
            Box::new(move |z| centre_line(z, FRAC_PI_2)),
        ),
    ];
    let right = if even {
        "side profile"
    } else {
        "right side profile"
    };
    lines.push((right, hem, armpit, 1.0, Box::new(move |z| side(z, true))));
    if !even {
        lines.push((
            "left side profile",
            hem,
            armpit,
            -1.0,
            Box::new(move |z| side(z, false)),
        ));
    }
    for (what, from, to, outwards, reach) in lines {
        let curve: Vec<Point2> = heights(from, to)
            .into_iter()
            .filter_map(|z| Some(Point2::new(reach(z)?, z)))
            .collect();
        if curve.len() < 3 {
            continue;
        }
        let furthest = curve
            .iter()
            .map(|p| p.x * outwards)
            .fold(f64::NEG_INFINITY, f64::max);
        let edge = outwards * (furthest + PROFILE_BAND);
        let mut points = vec![Point2::new(edge, from)];
        points.push(Point2::new(edge, to));
        points.extend(curve.iter().rev());
        let outline = Outline::new(points)
            .counter_clockwise()
            .simplified(SECTION_ACCURACY_MM);
        let mut card = Writing::new(out.len(), outline)?;
        let on_curve = |z: f64| {
            let k = curve.partition_point(|p| p.y < z).min(curve.len() - 1);
            curve[k].x
        };
        let mut named: Vec<(Level, f64)> = LEVELS
            .iter()
            .filter_map(|l| Some((*l, level(*l)?)))
            .filter(|(_, z)| *z > from && *z < to)
            .collect();
        named.sort_by(|a, b| a.1.total_cmp(&b.1));
        for (_, z) in &named {
            let x = on_curve(*z);
            card.draw(Mark::Line(vec![
                Point2::new(x, *z),
                Point2::new(x + outwards * TICK, *z),
            ]));
        }
        let middle = Point2::new(
            edge - outwards * PROFILE_BAND / 2.0,
            from + (to - from) * 0.7,
        );
        card.draw(Mark::Arrow(
            Point2::new(edge - outwards * 3.0, middle.y - 20.0),
            Point2::new(edge - outwards * 3.0, middle.y + 20.0),
        ));
        // A name stands level with its tick: further up or down it would name another place.
        for (l, z) in named {
            let (tick, far) = (on_curve(z) + outwards * TICK, edge);
            let places: Vec<Point2> = (1..20)
                .map(|k| Point2::new(tick + (far - tick) * f64::from(k) / 20.0, z))
                .collect();
            let from = marks.seat.or(marks.floor).map_or(0.0, |(from, _)| from);
            let height = height_words(z - from, unit);
            let name = l.called(marks.figure);
            card.say_at([&format!("{name} {height}"), name], 3.0, &places);
        }
        let upper = what.to_uppercase();
        let mut lines: Vec<(&str, f64)> = upper.split(' ').map(|words| (words, 3.5)).collect();
        lines.push(("hangs plumb", 2.5));
        card.block(&lines, middle);
        out.push(Card {
            piece: card.piece,
            what: what.to_owned(),
            brief: what.to_owned(),
        });
    }
    if let (Some(from), Some(to)) = (level(Level::ShoulderPoint), level(Level::NeckGirth)) {
        for (right, which) in [(true, CardSide::Right), (false, CardSide::Left)] {
            if !even || right {
                let which = if even { CardSide::Both } else { which };
                let curve: Vec<Point2> = heights(from, to)
                    .into_iter()
                    .filter_map(|z| Some(Point2::new(side(z, right)?, z)))
                    .collect();
                out.extend(shoulder(&curve, which, out.len())?);
            }
        }
    }
    Ok(())
}

/// The card that lies on a shoulder and against the neck, seen from behind: there the wearer's right is on the right.
fn shoulder(curve: &[Point2], which: CardSide, nth: usize) -> Result<Option<Card>, Error> {
    let (Some(first), Some(last)) = (curve.first(), curve.last()) else {
        return Ok(None);
    };
    let mut points = curve.to_vec();
    points.push(Point2::new(0.0, last.y));
    points.push(Point2::new(0.0, first.y));
    let body = [Region::solid(Outline::new(points).counter_clockwise())];
    let bound = rectangle(
        Point2::new(last.x, first.y),
        Point2::new(first.x + (first.x - last.x).signum() * BAND, last.y),
    );
    let band = difference(&offset(&body, BAND), &body);
    let Some(outline) = largest(intersection(&band, &[Region::solid(bound)])) else {
        return Ok(None);
    };
    let mut card = Writing::new(nth, outline)?;
    let (what, brief) = match which {
        CardSide::Both => ("shoulder line".to_owned(), "shoulder line".to_owned()),
        CardSide::Right | CardSide::Left => (
            format!("shoulder line, {}", which.name()),
            format!("shoulder line {}", which.name()),
        ),
    };
    let upper = what.to_uppercase();
    card.block_along(
        &[(upper.as_str(), 3.5), ("seen from behind", 2.5)],
        &along_shoulder(curve),
    );
    // It would fit the other way round as well.
    let out = (first.x - last.x).signum();
    for (end, words) in [
        (last + Vector2::new(out * BAND / 2.0, -END), "NECK"),
        (first + Vector2::new(-out * END, BAND / 2.0), "ARM"),
    ] {
        card.say(words, 2.5, end);
    }
    Ok(Some(Card {
        piece: card.piece,
        what,
        brief,
    }))
}
