//! Where the tape lies, how unsure the surface is where, and where one body stands outside another: what is drawn
//! is what is read.

use std::f64::consts::{PI, TAU};

use layfigure::compare::Matched;
use layfigure::form;
use layfigure::form::trial::Trial;
use layfigure::geom::Point3;
use layfigure::measure::{Kind, Level, Measure, Side};
use layfigure::say::room;
use layfigure::tape::{Tape, Thread};
use layfigure::units::Unit;
use layfigure::workshop::Workshop;
use layfigure::workshop::entry::{Asked, RoomDraft};

use crate::forms::{Body, baritone, chorister, contralto, contralto_checked};

fn length(thread: &Thread) -> f64 {
    let steps = thread.points.windows(2);
    steps.map(|w| (w[1] - w[0]).norm()).sum()
}

/// Along every thread that lies on the solid there is as much tape as was read, by the points of the thread alone.
#[test]
fn a_thread_is_as_long_as_the_reading() {
    let mut drawn = 0;
    for Body { mesh, .. } in [contralto(), baritone(), chorister()] {
        let tape = Tape::new(mesh);
        for m in Measure::ALL {
            let sides: &[Side] = if m.info().paired {
                &[Side::Left, Side::Right]
            } else {
                &[Side::Both]
            };
            for side in sides {
                let read = tape.read(m, *side);
                let threads = tape.threads(m, *side);
                assert_eq!(read.is_some(), threads.len() == 1, "{m} {side:?}");
                let (Some(read), Some(thread)) = (read, threads.first()) else {
                    continue;
                };
                assert!((thread.seen_from.norm() - 1.0).abs() < 1e-9, "{m}");
                let drop = || {
                    let [a, b] = thread.points[..] else {
                        return f64::NAN;
                    };
                    a.z - b.z
                };
                let shown = match (m.kind(), m) {
                    (_, Measure::ShoulderDrop) => drop(),
                    (Kind::Slope, _) => libm::asin(drop() / length(thread)),
                    (Kind::Plumb, _) => {
                        thread.points[thread.points.len() - 1].x - thread.points[0].x
                    }
                    _ => length(thread),
                };
                let near = match (m.kind(), m) {
                    (Kind::Slope, _) => 1e-6,
                    // Read along the heights; the side line leans a little forward or back on the way.
                    (_, Measure::LengthWaistToHip) => 0.5,
                    _ => 1e-6,
                };
                assert!((shown - read).abs() < near, "{m} {side:?}: {shown} {read}");
                drawn += 1;
            }
        }
    }
    assert!(drawn > 150, "{drawn}");
}

/// The plus-or-minus at a place, taken together over the part that is judged, is that of the whole surface.
#[test]
fn the_surface_is_as_unsure_as_its_places_are() {
    for Body { fit, .. } in [contralto(), baritone(), chorister()] {
        let stretch = [
            Level::Hem,
            Level::Hip,
            Level::Waist,
            Level::Armpit,
            Level::ShoulderPoint,
        ];
        let (mut sum, mut n) = (0.0, 0.0);
        for pair in stretch.windows(2) {
            let (a, b) = (fit.torso.level(pair[0]), fit.torso.level(pair[1]));
            for k in 0..6 {
                let z = a + (b - a) * (f64::from(k) + 0.5) / 6.0;
                for i in 0..13 {
                    let theta = -PI / 2.0 + PI * f64::from(i) / 12.0;
                    let here = fit.unsure_at(theta, z);
                    let mirrored = fit.unsure_at(PI - theta, z);
                    assert!((here - mirrored).abs() < 1e-6, "{theta} {z}");
                    sum += here * here;
                    n += 1.0;
                }
            }
        }
        let whole = libm::sqrt(sum / n);
        assert!(
            (whole - fit.unsure).abs() < 0.01 * fit.unsure,
            "{whole} {}",
            fit.unsure
        );
        for (theta, z) in [(0.0, 1e6), (TAU, -1e6), (1.0, 0.0)] {
            assert!(fit.unsure_at(theta, z).is_finite());
        }
    }
}

/// At the points of the map, where one surface stands outside the other is what the map says.
#[test]
fn outside_is_what_the_map_shows() {
    let (a, b) = (&contralto().mesh, &baritone().mesh);
    let matched = Matched::new(a, b).unwrap();
    let own = Matched::new(a, a).unwrap().outside(&a.vertices);
    assert_eq!(own.len(), a.vertices.len());
    assert!(own.iter().flatten().all(|v| v.abs() < 1e-6));
    let mut seen = 0;
    for z in [-150.0, 0.0, 120.0, 250.0] {
        let row: Vec<Point3> = {
            let tape = Tape::new(b);
            let quarters = tape.quarters(z).unwrap();
            let ends = [quarters.centre[0], quarters.centre[1]];
            ends.map(|p| Point3::new(p.x, p.y, z)).into()
        };
        let spots = matched.spots(z, 1.0, true);
        let middle = spots.iter().min_by(|p, q| p.x.abs().total_cmp(&q.x.abs()));
        let front = matched.outside(&row)[0].unwrap();
        assert!((front - middle.unwrap().apart).abs() < 1.5, "{z}: {front}");
        seen += 1;
    }
    assert_eq!(seen, 4);
}

/// Whoever takes a choice from the table of what choices cost has an answer that the room understands.
#[test]
fn every_choice_that_is_offered_can_be_taken() {
    let trial = Trial::new(contralto_checked().clone(), &Workshop::default()).unwrap();
    for unit in [Unit::Mm, Unit::Cm, Unit::In] {
        let mut taken = 0;
        for asked in [
            Asked::Material,
            Asked::Thickness,
            Asked::Board,
            Asked::Paper,
        ] {
            let costs = room::costs_json(asked, &trial, unit);
            for row in costs["rows"].as_array().unwrap() {
                let mut draft = RoomDraft::blank("room.toml");
                draft.put(Asked::Unit, unit.name()).unwrap();
                let answer = row["answer"].as_str().unwrap();
                draft.put(asked, answer).unwrap();
                let columns = costs["heads"].as_array().unwrap().len();
                assert_eq!(row["cells"].as_array().unwrap().len(), columns);
                taken += 1;
            }
        }
        assert!(taken > 12, "{taken}");
    }
}

/// A body that follows a change of its sheet is the body of the changed sheet.
#[test]
fn a_body_checked_again_is_that_of_its_sheet() {
    let earlier = contralto_checked();
    let room = Workshop::default();
    let mut sheet = earlier.sheet.clone();
    let waist = |g: &&mut layfigure::sheet::Given| g.measure == Measure::GirthWaist;
    sheet.given.iter_mut().find(waist).unwrap().value += 15.0;
    let again = form::recheck(earlier, sheet.clone(), &room, None).unwrap();
    let fresh = form::check(sheet, &room, None).unwrap();
    assert_eq!(again.readings.len(), fresh.readings.len());
    for (a, b) in again.readings.iter().zip(&fresh.readings) {
        assert_eq!(a.verdict, b.verdict, "{}", a.title());
    }
}
