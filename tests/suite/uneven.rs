//! Bodies whose left and right differ: every reading of either side is met on the solid and within a
//! step on the layers, outlines stay simple, and both halves meet without a step.

use layfigure::measure::{Kind, Measure, Side};
use layfigure::mesh::{self, Mesh};
use layfigure::sheet::{self, Origin};
use layfigure::torso::{Ending, Fit, fit};
use layfigure::{stack, tape, workshop};

/// What is added to the contralto's sheet, and what it stands for. Differences of this size are seen
/// by fitters of scoliotic and one-sided bodies (common practice, no source).
const UNEVEN: [(&str, &str); 6] = [
    (
        "a low right shoulder",
        "shoulder = { left = 21.0, right = 28.0 }",
    ),
    (
        "one shoulder longer",
        "length.shoulder = { left = 14.2, right = 15.6 }",
    ),
    (
        "a flat left side of the chest",
        "arc.front_bust = { left = 25.6, right = 29.4 }",
    ),
    (
        "a high left hip",
        "length.waist_to_hip = { left = 21.0, right = 24.0 }",
    ),
    ("a lean to the right", "plumb.seat = 2.5"),
    ("everything at once", "*"),
];

/// The contralto with the lines of `what` in place of her own.
fn uneven(what: &str) -> String {
    let mut text = crate::forms::CONTRALTO.to_owned();
    let mut set = |key: &str, value: &str| {
        let (table, name) = key.split_once('.').unwrap();
        let kept = text.lines().filter(|l| {
            let is_it = l.split('=').next().unwrap().trim() == name;
            !(is_it
                && (name != "shoulder"
                    || l.contains(if table == "slope" { "24.0" } else { "14.9" })))
        });
        text = kept.map(|l| format!("{l}\n")).collect();
        let head = format!("[{table}]");
        if let Some(at) = text.find(&head) {
            let line = at + text[at..].find('\n').unwrap() + 1;
            text.insert_str(line, &format!("{name} = {value}\n"));
        } else {
            text.push_str(&format!("{head}\n{name} = {value}\n"));
        }
    };
    for (_, line) in UNEVEN
        .iter()
        .filter(|u| u.1 != "*" && (what == "*" || u.1 == what))
    {
        let (key, value) = line.split_once(" = ").unwrap();
        let key = if key == "shoulder" {
            "slope.shoulder"
        } else {
            key
        };
        set(key, value);
    }
    text
}

fn solid(text: &str, name: &str) -> (Fit, Mesh) {
    let sheet = sheet::read(text, name).unwrap_or_else(|e| panic!("{name}: {e:?}\n{text}"));
    let fit = fit(&sheet).unwrap_or_else(|e| panic!("{name}: {e}"));
    let mesh = mesh::build(&fit.torso);
    (fit, mesh)
}

#[test]
fn every_reading_of_either_side_is_met() {
    for (name, what) in UNEVEN {
        let (fit, mesh) = solid(&uneven(what), name);
        assert_eq!(fit.ending, Ending::Converged, "{name}");
        let mut sided = 0;
        for r in tape::check(&mesh, &fit.targets) {
            if r.target.origin != Origin::Given {
                continue;
            }
            let Some(found) = r.solid else { continue };
            sided +=
                usize::from(r.target.side != Side::Both || r.target.measure.kind() == Kind::Plumb);
            assert!(
                (found - r.target.value).abs() <= r.tolerance,
                "{name}: {} {:?} asked {} found {found}",
                r.target.measure,
                r.target.side,
                r.target.value
            );
        }
        assert!(sided > 0, "{name} has no reading of a side");
        assert!(mesh.is_watertight(), "{name}");
    }
}

#[test]
fn the_halves_meet_without_a_step() {
    let (fit, _) = solid(&uneven("*"), "everything");
    let (low, high) = fit.torso.range();
    for j in 0..300 {
        let z = low + (high - low) * (f64::from(j) + 0.5) / 300.0;
        for middle in [std::f64::consts::FRAC_PI_2, -std::f64::consts::FRAC_PI_2] {
            let gap = fit.torso.radius(middle - 1e-7, z) - fit.torso.radius(middle + 1e-7, z);
            assert!(gap.abs() < 0.01, "a step of {gap} mm at {z}");
        }
    }
}

#[test]
fn an_uneven_body_can_be_cut_and_stacked() {
    let (fit, mesh) = solid(&uneven("*"), "everything");
    let workshop = workshop::Workshop::default();
    let (stack, _) = stack::build(&mesh, &workshop, "uneven").unwrap();
    for piece in stack.pieces() {
        assert!(piece.outline.is_simple(), "{}", piece.id);
    }
    let mut readings = tape::check(&mesh, &fit.targets);
    layfigure::asbuilt::read(&stack, &mesh.marks, &mut readings);
    for r in &readings {
        let (Some(solid), Some(built)) = (r.solid, r.built) else {
            continue;
        };
        let bound = match r.target.measure {
            Measure::GirthNeckBase => 7.0,
            _ => 4.0,
        };
        assert!(
            (built - solid).abs() < bound,
            "{} {:?}: solid {solid}, built {built}",
            r.target.measure,
            r.target.side
        );
    }
}

/// What is read on one side is not mirrored on the other.
#[test]
fn a_low_right_shoulder_is_low_on_the_right() {
    let (_, mesh) = solid(&uneven(UNEVEN[0].1), "low right");
    use layfigure::measure::Landmark as L;
    let z = |l: L| mesh.marks.landmarks[&l].z;
    assert!(z(L::ShoulderRight) < z(L::ShoulderLeft) - 10.0);
    assert!(mesh.marks.landmarks[&L::ShoulderRight].x > 0.0);
}
