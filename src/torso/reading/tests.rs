//! Readings against second routes.

use std::f64::consts::{PI, TAU};

use approx::assert_relative_eq;

use super::curves::{base_gap, front_root};
use super::*;
use crate::sheet::read;
use crate::torso::fit;
use crate::torso::surface::Heading;
use crate::torso::surface::Surface;

fn example() -> crate::torso::Torso {
    fit(&read(
        include_str!("../../../tests/sheets/contralto.toml"),
        "example",
    )
    .unwrap())
    .unwrap()
    .torso
}

/// Perimeter of the hull by Cauchy's formula: the integral of the support function over all
/// directions. A second route to every girth, with ten times the samples.
fn cauchy(surface: &Surface, z: f64) -> f64 {
    let row = surface.row(z);
    let n = 3600;
    let ring: Vec<Point2> = (0..n)
        .map(|i| {
            let theta = TAU * f64::from(i) / f64::from(n);
            let folded = libm::atan2(libm::sin(theta), libm::cos(theta).abs());
            let r = surface.radius_in(&row, folded);
            Point2::new(r * libm::cos(theta), row.pole + r * libm::sin(theta))
        })
        .collect();
    let m = 2000;
    (0..m)
        .map(|k| {
            let (s, c) = libm::sincos(TAU * f64::from(k) / f64::from(m));
            ring.iter()
                .map(|p| p.x * c + p.y * s)
                .fold(f64::MIN, f64::max)
        })
        .sum::<f64>()
        * TAU
        / f64::from(m)
}

#[test]
fn girths_agree_with_cauchy() {
    let torso = example();
    let s = torso.body.right();
    for (measure, level) in [
        (Measure::GirthBust, Level::Bust),
        (Measure::GirthUnderbust, Level::Underbust),
        (Measure::GirthWaist, Level::WaistTape),
        (Measure::GirthAbdomen, Level::Abdomen),
        (Measure::GirthTopHip, Level::TopHip),
        (Measure::GirthHip, Level::Hip),
        (Measure::GirthUpperChest, Level::Armpit),
    ] {
        let quick = SurfaceReader::new(&torso.body)
            .read(measure, Side::Both)
            .unwrap();
        let slow = cauchy(s, s.level(level));
        assert!(
            (quick - slow).abs() < 0.05,
            "{measure}: {quick} against {slow}"
        );
    }
}

#[test]
fn a_chord_is_corrected_to_its_arc() {
    // A circle of radius 150 through a sample every 2 degrees.
    let half: Vec<Point2> = (0..91)
        .map(|i| {
            let t = -0.5 * PI + PI * f64::from(i) / 90.0;
            Point2::new(150.0 * libm::cos(t), 150.0 * libm::sin(t))
        })
        .collect();
    assert!((2.0 * taut_length(&half, true) - TAU * 150.0).abs() < 1e-4);
}

#[test]
fn curves_found_from_a_neighbour_are_the_same_curves() {
    let torso = example();
    let read = |r: &mut SurfaceReader<'_>| -> Vec<f64> {
        Measure::ALL
            .iter()
            .filter_map(|m| r.read(*m, Side::Both))
            .collect()
    };
    let mut first = SurfaceReader::new(&torso.body);
    let slow = read(&mut first);
    let found = first.hints();
    let quick = read(&mut SurfaceReader::near(&torso.body, &found));
    for (a, b) in slow.iter().zip(&quick) {
        assert!((a - b).abs() < 1e-6, "{a} against {b}");
    }
}

#[test]
fn trunk_and_plate_meet_on_the_rim_and_trunk_and_neck_on_the_neck_base() {
    let torso = example();
    let s = torso.body.right();
    for (theta, z) in torso.rim(Side::Right) {
        // The ends lie on the plate itself.
        if theta.abs() > 1e-9 {
            let q = s.parts(&s.row(z), theta);
            assert!((q.trunk - q.plate).abs() < 1e-6, "at {theta}, {z}");
        }
    }
    for i in 0..19 {
        let theta = -0.5 * PI + PI * f64::from(i) / 18.0;
        let z = neck_base_height(s, theta);
        assert!(
            base_gap(s, &Heading::new(theta), z).abs() < 1e-6,
            "at {theta}: {z}"
        );
    }
}

#[test]
fn the_surface_has_no_steps() {
    let torso = example();
    let (low, high) = torso.range();
    let mut worst: f64 = 0.0;
    for j in 0..200 {
        let z = low + (high - low) * (f64::from(j) + 0.5) / 200.0;
        for i in 0..360 {
            let theta = f64::from(i).to_radians();
            let here = torso.radius(theta, z);
            assert!(here > 10.0 && here < 500.0);
            worst = worst.max((torso.radius(theta + 1e-7, z) - here).abs());
            worst = worst.max((torso.radius(theta, z + 1e-5) - here).abs());
        }
    }
    assert!(worst < 0.01, "a jump of {worst} mm");
}

/// Every reading of an even body by the way of even bodies and by the way of uneven ones.
#[test]
fn an_even_body_reads_the_same_taken_as_two_halves() {
    let torso = example();
    let s = torso.body.right();
    let mut style = s.style.clone();
    style.lopsided = true;
    let two = Halves::new(&s.p, &style);
    assert_eq!(two.halves().len(), 2);
    for m in Measure::ALL {
        let one = SurfaceReader::new(&torso.body).read(m, Side::Both);
        let other = SurfaceReader::new(&two).read(m, Side::Both);
        match (one, other) {
            (Some(a), Some(b)) => assert!((a - b).abs() < 0.02, "{m}: {a} against {b}"),
            (a, b) => assert_eq!(a.is_some(), b.is_some(), "{m}"),
        }
    }
}

/// On a circle of 100 whose pole lies up to 40 in front of its middle: `r (cos, sin)` from the pole, where
/// `r = -d sin + sqrt(100^2 - d^2 cos^2)`.
#[test]
fn a_place_in_front_is_found_in_front_of_the_pole_and_behind() {
    for d in [-40.0, 0.0, 40.0] {
        let r = |theta: f64| {
            let (sin, cos) = libm::sincos(theta);
            -d * sin + (1e4 - d * d * cos * cos).sqrt()
        };
        for x in [0.0, 30.0, 95.0, 99.9] {
            let theta = front_root(|theta| r(theta) * libm::cos(theta) - x, x);
            let y = d + r(theta) * libm::sin(theta);
            assert_relative_eq!(r(theta) * libm::cos(theta), x, epsilon = 1e-6);
            assert_relative_eq!(y, (1e4 - x * x).sqrt(), epsilon = 1e-4);
        }
        // Beside the circle: its outermost place, to the parabola's third of a per cent.
        let theta = front_root(|theta| r(theta) * libm::cos(theta) - 130.0, 130.0);
        assert_relative_eq!(d + r(theta) * libm::sin(theta), 0.0, epsilon = 0.3);
    }
}
