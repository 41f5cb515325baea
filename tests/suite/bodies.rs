//! Bodies fitted to sheets: the tape on the triangles against the fit's own formulas, two routes to
//! one number, and the triangles against the surface.

use std::f64::consts::{PI, TAU};

use layfigure::geom::Point3;
use layfigure::measure::{Kind, Landmark, Level, Measure, Side};
use layfigure::mesh::{self, Mesh};
use layfigure::tape;
use layfigure::tolerance::{
    CREASE_TOLERANCE_MM, GIRTH_ACCURACY_MM, MESH_ACCURACY_MM, TAPE_TOLERANCE_MM,
};
use layfigure::torso::{self, Fit};

use crate::closeness::Triangles;

/// Very different bodies from a few numbers each, mm.
const SHEETS: [(&str, &str); 6] = [
    (
        "woman",
        "bust = 920\nwaist = 720\nhip = 980\n[height]\nstature = 1660",
    ),
    (
        "woman",
        "bust = 1300\nwaist = 1150\nhip = 1350\nunderbust = 1130\n[height]\nstature = 1620",
    ),
    (
        "woman",
        "bust = 1000\nwaist = 1050\nhip = 1020\n[height]\nstature = 1650\n[shape]\nabdomen = \"pregnant\"",
    ),
    (
        "man",
        "bust = 1350\nwaist = 1400\nhip = 1300\n[height]\nstature = 1850",
    ),
    (
        "child",
        "bust = 540\nwaist = 520\nhip = 550\n[height]\nstature = 980",
    ),
    // The ridge of his shoulders lies behind the middle of the neck.
    (
        "man",
        "neck = 387\nneck_base = 442\nupper_chest = 940\nbust = 902\nunderbust = 832\nwaist = 766\n\
         hip = 918\n[length]\nback_waist = 366\nshoulder = 125\nfront_waist = 297\n\
         side_neck_to_bust = 242\nbust_point_width = 194\nacross_back = 368\n[height]\nstature = 1620",
    ),
];

fn body(figure: &str, numbers: &str) -> (Fit, Mesh) {
    let text = format!("name = \"x\"\nunit = \"mm\"\nfigure = \"{figure}\"\n[girth]\n{numbers}\n");
    let fit = torso::fit(&layfigure::sheet::read(&text, "x.toml").unwrap()).unwrap();
    let mesh = mesh::build(&fit.torso);
    (fit, mesh)
}

/// How far the reading of the solid may be from the fit's own: girths, breadths and depths lose only
/// what chords lose; lengths cross the fillet of the neck between rows and sample it differently.
fn allowed(measure: Measure) -> f64 {
    match (measure.kind(), measure) {
        // The foot of a wide armhole has corners, which few samples round off.
        (_, Measure::GirthNeckBase | Measure::GirthArmscye) => 0.75 * CREASE_TOLERANCE_MM,
        (_, Measure::GirthNeck) | (Kind::Length, _) => 0.5 * TAPE_TOLERANCE_MM,
        (Kind::Slope, _) => 1e-3,
        (Kind::Wall, _) => TAPE_TOLERANCE_MM,
        _ => GIRTH_ACCURACY_MM,
    }
}

#[test]
fn the_tape_agrees_with_the_fit() {
    let mut wrong = Vec::new();
    for (figure, numbers) in SHEETS {
        let (fit, mesh) = body(figure, numbers);
        assert!(mesh.is_watertight() && mesh.is_winding_consistent() && mesh.volume() > 0.0);
        assert!(
            mesh.triangles.len() < 235_000,
            "{} triangles",
            mesh.triangles.len()
        );
        let readings = tape::check(&mesh, &fit.targets);
        assert!(readings.iter().filter(|r| r.solid.is_some()).count() > 40);
        for r in &readings {
            let measure = r.target.measure;
            let (Some(solid), Some(own)) = (r.solid, fit.torso.own_reading(measure, r.target.side))
            else {
                continue;
            };
            if (solid - own).abs() > allowed(measure) {
                wrong.push(format!(
                    "{figure} {measure}: solid {solid:.3}, own {own:.3}"
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_triangles_stay_close_to_the_body() {
    for (figure, numbers) in SHEETS {
        let (fit, mesh) = body(figure, numbers);
        let solid = Triangles::of(&mesh);
        let off = |p: Point3| solid.distance(p, 1.0);
        let (low, high) = fit.torso.range();
        for i in 0..400 {
            let z = low + (high - low) * (f64::from(i) + 0.37) / 400.0;
            for j in 0..300 {
                let theta = TAU * (f64::from(j) + 0.41) / 300.0 - PI;
                let error = off(fit.torso.point(theta, z));
                assert!(
                    error < MESH_ACCURACY_MM,
                    "{figure}: {error} at {theta}, {z}"
                );
            }
        }
        // What is named lies on the triangles, and where the body has it.
        for landmark in Landmark::ALL {
            let p = mesh.marks.landmarks[&landmark];
            let (theta, z) = fit.torso.landmark(landmark);
            assert!(off(p) < 1e-9 && (p - fit.torso.point(theta, z)).norm() < MESH_ACCURACY_MM);
        }
        for curve in mesh.marks.rim.iter().chain([&mesh.marks.neck_base]) {
            assert!(curve.len() > 100 && curve.iter().all(|p| off(*p) < 1e-9));
        }
        for level in Level::ALL {
            assert!((mesh.marks.levels[&level] - fit.torso.level(level)).abs() < 1e-9);
        }
    }
}

/// A symmetric body reads the same left and right.
#[test]
fn left_and_right_of_an_even_body_are_alike() {
    let (_, mesh) = body(SHEETS[0].0, SHEETS[0].1);
    for measure in Measure::ALL {
        let read = |side| tape::read(&mesh, measure, side);
        if let (Some(left), Some(right)) = (read(Side::Left), read(Side::Right)) {
            assert!((left - right).abs() < 1e-6, "{measure}: {left} {right}");
        }
    }
}

/// Facing the front with the head up, the wearer's right is front cross up (the right-hand rule of
/// vector algebra): what is named right must lie there, on the solid and on every piece.
#[test]
fn right_is_front_cross_up() {
    use layfigure::geom::Vector3;
    use layfigure::stack::Inscription;
    use layfigure::stack::Mark;

    let mesh = &crate::forms::contralto().mesh;
    let at = |l: Landmark| mesh.marks.landmarks[&l].coords;
    let front = at(Landmark::FrontNeck) - at(Landmark::Nape);
    let front = Vector3::new(0.0, front.y, 0.0);
    assert!(front.y > 0.0, "the throat lies in front of the nape");
    let right = front.cross(&Vector3::z());
    for (r, l) in [
        (Landmark::ShoulderRight, Landmark::ShoulderLeft),
        (Landmark::BustRight, Landmark::BustLeft),
        (Landmark::SideNeckRight, Landmark::SideNeckLeft),
        (Landmark::ArmpitRight, Landmark::ArmpitLeft),
    ] {
        assert!(
            (at(r) - at(l)).dot(&right) > 0.0,
            "{} is on the wrong side",
            r.name()
        );
    }
    let (stack, _) = crate::forms::contralto_stack();
    let mut seen = 0;
    for mark in stack
        .layers
        .iter()
        .flat_map(|l| &l.pieces)
        .flat_map(|p| &p.marks)
    {
        if let Mark::Text(Inscription {
            at: where_,
            text: words,
            ..
        }) = mark
        {
            let side = if words == "RIGHT" { 1.0 } else { -1.0 };
            if words == "RIGHT" || words == "LEFT" {
                assert!(side * where_.x * right.x > 0.0, "{words} at {where_}");
                seen += 1;
            }
        }
    }
    assert!(seen > 100, "only {seen} pieces name their sides");
}
