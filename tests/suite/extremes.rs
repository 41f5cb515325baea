//! Bodies at the ends of what people are, the sheets of `examples/figures`: each is met on the
//! solid, has simple outlines at every height, and neither spike nor ledge. And what a fitter says
//! of a shape: words move what they speak of and a local correction leaves every reading as it is.

use geo::algorithm::Validation;
use layfigure::measure::{Level, Measure};
use layfigure::mesh;
use layfigure::sheet::{self, Origin};
use layfigure::tape;
use layfigure::torso::{Ending, Fit, fit};

/// Directions that an outline is looked at in.
const ROUND: u32 = 720;
/// A trunk that comes out faster than this is a ledge: mm for every mm of height. The steepest that
/// a body shows is the underside of a breast held by a bra, nearly level (our choice, after looking
/// at every figure); measured between heights 4 mm apart.
const LEDGE: f64 = 7.0;
/// An outline turns by less than this on any 10 mm, degrees: half round is a spike (our choice).
const SPIKE_DEGREES: f64 = 100.0;

fn fitted(text: &str, name: &str) -> Fit {
    let sheet = sheet::read(text, name).unwrap_or_else(|e| panic!("{name}: {e:?}\n{text}"));
    let fit = fit(&sheet).unwrap_or_else(|e| panic!("{name}: {e}"));
    assert_eq!(fit.ending, Ending::Converged, "{name}");
    fit
}

fn figures() -> Vec<(String, String)> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/examples/figures");
    let mut all: Vec<(String, String)> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .map(|path| {
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            (name, std::fs::read_to_string(path).unwrap())
        })
        .collect();
    all.sort();
    assert!(all.len() >= 12);
    all
}

fn met(fit: &Fit, name: &str) {
    let mesh = mesh::build(&fit.torso);
    assert!(mesh.is_watertight(), "{name}");
    for r in tape::check(&mesh, &fit.targets) {
        if r.target.origin == Origin::Given
            && let Some(found) = r.solid
        {
            assert!(
                (found - r.target.value).abs() <= r.tolerance,
                "{name}: {} asked {} found {found}",
                r.target.measure,
                r.target.value
            );
        }
    }
}

#[test]
fn every_extreme_is_met() {
    for (name, text) in figures() {
        met(&fitted(&text, &name), &name);
    }
}

fn outline(fit: &Fit, z: f64) -> Vec<[f64; 2]> {
    (0..ROUND)
        .map(|i| {
            let theta = std::f64::consts::TAU * f64::from(i) / f64::from(ROUND);
            let p = fit.torso.point(theta, z);
            [p.x, p.y]
        })
        .collect()
}

/// Largest turn of a closed line within `reach` mm of its length, radians.
fn sharpest(line: &[[f64; 2]], reach: f64) -> f64 {
    let n = line.len();
    let edge = |i: usize| {
        let (a, b) = (line[i % n], line[(i + 1) % n]);
        [b[0] - a[0], b[1] - a[1]]
    };
    let turn = |i: usize| {
        let (u, v) = (edge(i), edge(i + 1));
        (u[0] * v[1] - u[1] * v[0]).atan2(u[0] * v[0] + u[1] * v[1])
    };
    let mut most = 0.0f64;
    for start in 0..n {
        let (mut sum, mut length, mut i) = (0.0, 0.0, start);
        while length < reach {
            sum += turn(i);
            i += 1;
            length += edge(i)[0].hypot(edge(i)[1]);
            most = most.max(f64::abs(sum));
        }
    }
    most
}

#[test]
fn outlines_are_simple_without_spike_or_ledge() {
    for (name, text) in figures() {
        let fit = fitted(&text, &name);
        let (low, high) = fit.torso.range();
        let arms = fit.torso.level(Level::Armpit) - 15.0;
        let step = 4.0;
        let mut before: Option<Vec<[f64; 2]>> = None;
        let mut z = low;
        while z < high {
            let line = outline(&fit, z);
            let ring = geo::LineString::from(line.clone());
            let shape = geo::Polygon::new(ring, Vec::new());
            assert!(shape.is_valid(), "{name}: outline at {z} crosses itself");
            if z < arms {
                let sharp = sharpest(&line, 10.0).to_degrees();
                assert!(sharp < SPIKE_DEGREES, "{name}: turns {sharp} at {z}");
                if let Some(below) = &before {
                    let out = line
                        .iter()
                        .zip(below)
                        .map(|(a, b)| f64::hypot(a[0] - b[0], a[1] - b[1]) / step)
                        .fold(0.0, f64::max);
                    assert!(out < LEDGE, "{name}: comes out by {out} a mm at {z}");
                }
            }
            before = Some(line);
            z += step;
        }
    }
}

const SOPRANO: &str = "unit = \"cm\"\nfigure = \"woman\"\n[girth]\nbust = 92\nwaist = 72\nhip = 98\n\
                       [length]\nback_waist = 41\n[height]\nstature = 166\n";

fn amended(lines: &str) -> Fit {
    fitted(&format!("{SOPRANO}{lines}"), "amended.toml")
}

#[test]
fn an_amendment_keeps_every_reading() {
    // Degrees from straight front at which right and left are compared, and right less left, mm.
    for (towards, degrees, expected) in [
        ("left", 90.0, -10.0),
        ("right", 90.0, 10.0),
        ("front right", 45.0, 10.0),
        ("front left", 45.0, -10.0),
        ("back right", 135.0, 10.0),
        ("back left", 135.0, -10.0),
        ("sides", 90.0, 0.0),
        ("front sides", 45.0, 0.0),
        ("back sides", 135.0, 0.0),
        ("front", 45.0, 0.0),
        ("back", 135.0, 0.0),
    ] {
        let fit = amended(&format!(
            "[[shape.amend]]\nlevel = \"hip\"\ntowards = \"{towards}\"\nby = 1\n"
        ));
        met(&fit, towards);
        let z = fit.torso.level(Level::Hip);
        let at = |degrees: f64| fit.torso.radius((90.0 - degrees).to_radians(), z);
        let lopsided = at(degrees) - at(-degrees);
        assert!(
            (lopsided - expected).abs() < if expected.abs() > 0.0 { 4.0 } else { 1e-9 },
            "{towards}: right less left is {lopsided}"
        );
    }
}

#[test]
fn a_dent_goes_in() {
    let (plain, dent) = (
        amended(""),
        amended("[[shape.amend]]\nlevel = \"abdomen\"\ntowards = \"front\"\nby = -1.5\n"),
    );
    met(&dent, "dent");
    let front = |f: &Fit| {
        let z = f.torso.level(Level::Abdomen);
        let up = std::f64::consts::FRAC_PI_2;
        f.torso.point(up, z).y - f.torso.point(-up, z).y
    };
    let less = front(&plain) - front(&dent);
    assert!((4.0..16.0).contains(&less), "{less}");
}

/// Words about the bust change its form and no reading.
#[test]
fn the_bust_is_pointed_or_round() {
    let depth = |word: &str| {
        let fit = amended(&format!("[shape]\nbust_form = \"{word}\"\n"));
        met(&fit, word);
        // How much of the prominence is left two fingers above the bust points.
        let bust = fit.torso.level(Level::Bust);
        let up = 1.1;
        let at = |z: f64| fit.torso.point(up, z).y;
        let value = |m: Measure| fit.targets.iter().find(|t| t.measure == m).unwrap().value;
        (at(bust + 50.0) - at(bust), value(Measure::GirthBust))
    };
    let (pointed, a) = depth("pointed");
    let (average, b) = depth("average");
    let (round, c) = depth("round");
    assert!(
        pointed + 1.0 < average && average + 1.0 < round,
        "{pointed} {average} {round}"
    );
    assert!((a - b).abs() < 1e-9 && (b - c).abs() < 1e-9);
}
