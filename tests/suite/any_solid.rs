//! `tape`: solids in closed form, written by hand in several formats, units and
//! postures, measured by the program; and solids that are none.

use std::f64::consts::{PI, TAU};
use std::fs;
use std::path::{Path, PathBuf};

use layfigure::geom::{Point2, Point3, Vector3};
use layfigure::mesh::{Axis, Mesh};
use layfigure::workshop::Workshop;
use serde_json::Value;

use crate::program::{Run, program};
use crate::solid::{loft, torus};

/// Chords are shorter than arcs: girths of shapes made with some hundred sides fall short by less
/// than this part, (pi/n)²/6.
const CHORDS: f64 = 5e-5;

pub(crate) fn tape(folder: &Path, args: &[&str]) -> Run {
    program(folder).arg("tape").args(args).run()
}

/// What `--json` prints.
pub(crate) fn read(folder: &Path, args: &[&str]) -> Value {
    tape(folder, &[args, &["--json"]].concat()).success().json()
}

fn column(value: &Value, name: &str) -> Vec<f64> {
    let rows = value["rounds"].as_array().unwrap().iter();
    rows.map(|r| r[name].as_f64().unwrap()).collect()
}

fn assert_close(found: f64, wanted: f64, what: &str) {
    assert!(
        (found - wanted).abs() <= CHORDS * wanted + 1e-3,
        "{what}: {found}, not {wanted}"
    );
}

/// The bytes of a binary STL file without normals, by the format's definition (from memory): a free
/// head of 80 bytes, the count, then normal, three corners and two spare bytes for each triangle, all
/// little-endian.
pub(crate) fn stl_bytes(mesh: &Mesh) -> Vec<u8> {
    let mut bytes = vec![0; 80];
    bytes.extend((mesh.triangles.len() as u32).to_le_bytes());
    for t in 0..mesh.triangles.len() {
        bytes.extend([0; 12]);
        for p in mesh.corners(t) {
            for v in [p.x, p.y, p.z] {
                bytes.extend((v as f32).to_le_bytes());
            }
        }
        bytes.extend([0; 2]);
    }
    bytes
}

pub(crate) fn binary_stl(mesh: &Mesh, path: &Path) {
    fs::write(path, stl_bytes(mesh)).unwrap();
}

pub(crate) fn text_stl(mesh: &Mesh, path: &Path) {
    let mut text = String::from("solid by hand\n");
    for t in 0..mesh.triangles.len() {
        text.push_str("facet normal 0 0 0\nouter loop\n");
        for p in mesh.corners(t) {
            text.push_str(&format!(
                "vertex {} {} {}\n",
                p.x as f32, p.y as f32, p.z as f32
            ));
        }
        text.push_str("endloop\nendfacet\n");
    }
    text.push_str("endsolid by hand\n");
    fs::write(path, text).unwrap();
}

/// Every triangle with corners of its own, as some programs write them.
fn loose_obj(mesh: &Mesh, path: &Path) {
    let mut text = String::from("# by hand\no thing\n");
    for t in 0..mesh.triangles.len() {
        for p in mesh.corners(t) {
            text.push_str(&format!("v {} {} {}\n", p.x, p.y, p.z));
        }
        text.push_str("f -3/1 -2/1 -1/1\n");
    }
    fs::write(path, text).unwrap();
}

pub(crate) fn moved(mut mesh: Mesh, by: Vector3) -> Mesh {
    mesh.vertices.iter_mut().for_each(|v| *v += by);
    mesh
}

pub(crate) fn together(parts: &[Mesh]) -> Mesh {
    let mut all = Mesh::default();
    for part in parts {
        let shift = all.vertices.len() as u32;
        all.vertices.extend(&part.vertices);
        all.triangles
            .extend(part.triangles.iter().map(|t| t.map(|v| v + shift)));
    }
    all
}

/// A ball as rings of equal angles, its poles single corners.
pub(crate) fn ball(radius: f64, n: u32) -> Mesh {
    let mut mesh = Mesh::default();
    let rings = n / 2;
    mesh.vertices.push(Point3::new(0.0, 0.0, -radius));
    for i in 1..rings {
        let tilt = PI * f64::from(i) / f64::from(rings) - PI / 2.0;
        for j in 0..n {
            let a = TAU * f64::from(j) / f64::from(n);
            mesh.vertices.push(Point3::new(
                radius * tilt.cos() * a.cos(),
                radius * tilt.cos() * a.sin(),
                radius * tilt.sin(),
            ));
        }
    }
    mesh.vertices.push(Point3::new(0.0, 0.0, radius));
    let at = |i: u32, j: u32| 1 + (i - 1) * n + j % n;
    let top = 1 + (rings - 1) * n;
    for j in 0..n {
        mesh.triangles.push([0, at(1, j + 1), at(1, j)]);
        mesh.triangles
            .push([top, at(rings - 1, j), at(rings - 1, j + 1)]);
        for i in 1..rings - 1 {
            let [a, b, c, d] = [at(i, j), at(i, j + 1), at(i + 1, j + 1), at(i + 1, j)];
            mesh.triangles.extend([[a, b, c], [a, c, d]]);
        }
    }
    mesh
}

pub(crate) fn cylinder(radius: f64, height: f64) -> Mesh {
    let columns: Vec<f64> = (0..360).map(|i| TAU * f64::from(i) / 360.0).collect();
    let pole = |_: f64| Point2::origin();
    let radii = move |_: f64, t: &[f64]| vec![radius; t.len()];
    layfigure::mesh::Grid::new(
        &layfigure::mesh::Sampled {
            range: (0.0, height),
            radii: &radii,
            pole: &pole,
        },
        &[0.0, height / 3.0, height],
        &columns,
    )
    .mesh()
}

/// Cylinder 2 pi r, cone 2 pi r (1 - z/h), sphere 2 pi sqrt(R² - z²), torus 2 pi (R + sqrt(r² - z²)),
/// any handbook of mathematics; each in another format.
#[test]
fn closed_forms_are_read_in_every_format() {
    let dir = tempfile::tempdir().unwrap();
    let path = |name: &str| -> PathBuf { dir.path().join(name) };

    binary_stl(&cylinder(140.0, 600.0), &path("cylinder.stl"));
    let value = read(dir.path(), &["cylinder.stl", "--at", "0", "12.3", "59"]);
    for girth in column(&value, "girth") {
        assert_close(girth, TAU * 140.0, "cylinder");
    }
    for (name, wanted) in [
        ("breadth", 280.0),
        ("depth", 280.0),
        ("all_round", TAU * 140.0),
    ] {
        assert_close(column(&value, name)[1], wanted, name);
    }
    assert_eq!(
        column(&value, "height"),
        [0.0, 123.0, 590.0],
        "typed in centimetres"
    );
    let volume = value["volume"].as_f64().unwrap();
    assert!((volume / (PI * 140.0 * 140.0 * 600.0) - 1.0).abs() < 1e-4);

    // A cone that ends a hair below its tip; in inches, text.
    let cone = loft((0.0, 1999.0), &|_, z| 0.25 * (2000.0 - z), &[500.0, 1300.0]).mesh();
    let mut inches = cone;
    inches.vertices.iter_mut().for_each(|v| *v /= 25.4);
    text_stl(&inches, &path("cone.stl"));
    let value = read(
        dir.path(),
        &[
            "cone.stl",
            "--solid-unit",
            "in",
            "--unit",
            "mm",
            "--at",
            "500",
            "--at",
            "1300",
        ],
    );
    for (girth, z) in column(&value, "girth").into_iter().zip([500.0, 1300.0]) {
        let wanted = TAU * 0.25 * (2000.0 - z);
        assert!(
            (girth - wanted).abs() < 0.06,
            "cone at {z}: {girth}, not {wanted}"
        );
    }

    // A ball in metres, corners written again and again.
    let mut metres = ball(300.0, 720);
    metres.vertices.iter_mut().for_each(|v| *v /= 1000.0);
    loose_obj(&metres, &path("ball.OBJ"));
    let value = read(
        dir.path(),
        &[
            "ball.OBJ",
            "--solid-unit",
            "m",
            "--at=-20",
            "--at",
            "0",
            "--at",
            "10.5 in",
        ],
    );
    for (girth, z) in column(&value, "girth")
        .into_iter()
        .zip([-200.0, 0.0, 266.7])
    {
        let wanted = TAU * (300.0f64 * 300.0 - z * z).sqrt();
        // Between two rings a ball of chords is thinner than the ball.
        assert!(
            (girth / wanted - 1.0).abs() < 2e-4,
            "ball at {z}: {girth}, not {wanted}"
        );
    }

    // A ring lying flat: the tape goes round its outside, the hole does not count. A format that its
    // name does not tell.
    binary_stl(&torus(300.0, 80.0, 720), &path("ring.solid"));
    let value = read(dir.path(), &["ring.solid", "--at", "-3", "0", "7.9"]);
    for (row, z) in value["rounds"]
        .as_array()
        .unwrap()
        .iter()
        .zip([-30.0, 0.0, 79.0])
    {
        let wanted = TAU * (300.0 + (80.0f64 * 80.0 - z * z).sqrt());
        let girth = row["girth"].as_f64().unwrap();
        assert!(
            (girth / wanted - 1.0).abs() < 1e-4,
            "ring at {z}: {girth}, not {wanted}"
        );
        assert_eq!(row["parts"].as_array().unwrap().len(), 1);
    }
}

/// Two legs: the tape round both is 2 sqrt(d² - (r1 - r2)²) + r1 (pi + 2a) + r2 (pi - 2a),
/// sin a = (r1 - r2)/d (plane geometry).
#[test]
fn two_legs_are_two_parts() {
    let dir = tempfile::tempdir().unwrap();
    let legs = together(&[
        cylinder(90.0, 700.0),
        moved(cylinder(80.0, 700.0), Vector3::new(190.0, 0.0, 0.0)),
    ]);
    loose_obj(&legs, &dir.path().join("legs.obj"));
    let value = read(dir.path(), &["legs.obj", "--every", "10"]);
    assert_eq!(
        column(&value, "height").len(),
        8,
        "every 10 cm from 0 to 70"
    );
    let row = &value["rounds"][3];
    assert_close(
        row["girth"].as_f64().unwrap(),
        TAU * 90.0,
        "the thicker leg",
    );
    assert_close(
        row["parts"][1].as_f64().unwrap(),
        TAU * 80.0,
        "the other leg",
    );
    let (d, by): (f64, f64) = (190.0, 10.0);
    let a = (by / d).asin();
    let wanted = 2.0 * (d * d - by * by).sqrt() + 90.0 * (PI + 2.0 * a) + 80.0 * (PI - 2.0 * a);
    assert_close(row["all_round"].as_f64().unwrap(), wanted, "round both");

    let out = tape(dir.path(), &["legs.obj"]).success().output().clone();
    let text = String::from_utf8(out.stdout).unwrap();
    assert!(
        text.contains("all round") && text.contains("largest part"),
        "{text}"
    );
    assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
}

/// The same solid lying on each of its sides, told which axis is up and which in front.
#[test]
fn any_axis_may_be_up() {
    let dir = tempfile::tempdir().unwrap();
    let up = loft(
        (0.0, 400.0),
        &|t, z| crate::solid::ellipse(160.0, 100.0 + z / 10.0, t),
        &[],
    )
    .mesh();
    for (up_name, up_axis) in Axis::ALL {
        for (front_name, front_axis) in Axis::ALL {
            let mut copy = up.clone();
            let name = format!("lying{up_name}{front_name}.stl");
            if !copy.clone().stand(up_axis, front_axis, 1.0) {
                copy.vertices.truncate(0);
                binary_stl(&up, &dir.path().join(&name));
                tape(dir.path(), &[&name, "--up", up_name, "--front", front_name])
                    .code(2)
                    .says("lie along one axis");
                continue;
            }
            // Out of our posture into theirs.
            let right = front_axis.direction().cross(&up_axis.direction());
            for v in &mut copy.vertices {
                let p = *v;
                *v = Point3::from(
                    right * p.x + front_axis.direction() * p.y + up_axis.direction() * p.z,
                );
            }
            binary_stl(&copy, &dir.path().join(&name));
            let value = read(
                dir.path(),
                &[&name, "--up", up_name, "--front", front_name, "--at", "20"],
            );
            assert_close(column(&value, "breadth")[0], 320.0, &name);
            assert_close(column(&value, "depth")[0], 240.0, &name);
            assert!(value["volume"].as_f64().unwrap() > 0.0);
            assert_eq!(value["findings"].as_array().unwrap().len(), 0);
        }
    }
}

#[test]
fn what_is_no_solid_gets_a_clear_answer() {
    let dir = tempfile::tempdir().unwrap();
    let path = |name: &str| dir.path().join(name);
    let good = ball(200.0, 40);

    let mut open = good.clone();
    open.triangles.remove(70);
    binary_stl(&open, &path("open.stl"));
    tape(dir.path(), &["open.stl"])
        .code(1)
        .says("not closed: 3 edges border a hole, between heights");

    let mut turned = good.clone();
    turned.triangles[70].swap(0, 1);
    binary_stl(&turned, &path("turned.stl"));
    tape(dir.path(), &["turned.stl"])
        .code(1)
        .says("3 edges join two triangles, one of them inside out");

    // Two tents that share one edge.
    let tent = "v 0 0 0\nv 500 0 0\nv 0 500 0\nv 0 0 500\nv -500 0 0\nv 0 -500 0\n\
                f 1 3 2\nf 1 2 4\nf 1 4 3\nf 2 3 4\n\
                f 1 6 5\nf 1 5 4\nf 1 4 6\nf 5 6 4\n";
    fs::write(path("tents.obj"), tent).unwrap();
    tape(dir.path(), &["tents.obj"])
        .code(1)
        .says("1 edge has more than two triangles");

    // Inside out: read from the other side, and that is said.
    let mut inside_out = good.clone();
    inside_out.turn_inside_out();
    binary_stl(&inside_out, &path("inside.stl"));
    tape(dir.path(), &["inside.stl", "--at", "0"])
        .success()
        .says("inside out")
        .prints("125.5");

    for (name, bytes, words) in [
        ("empty.stl", &b""[..], "neither binary nor text STL"),
        (
            "none.stl",
            b"solid nothing\nendsolid nothing\n",
            "holds no triangles",
        ),
        ("none.obj", b"v 0 0 0\n", "holds no faces"),
        (
            "flat.obj",
            b"v 0 0 0\nv 1 0 0\nv 0 0 0\nf 1 2 3\n",
            "no triangle of it has an area",
        ),
        ("bad.obj", b"v 0 nan 0\n", "line 1: `v` needs three numbers"),
        (
            "far.obj",
            b"v 0 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 9\n",
            "line 4: `f` needs",
        ),
        ("letter.txt", b"Dear wardrobe,", "is text, but neither"),
    ] {
        fs::write(path(name), bytes).unwrap();
        let out = tape(dir.path(), &[name]).code(1).output().clone();
        let said = String::from_utf8(out.stderr).unwrap();
        assert!(
            said.contains(words) && !said.contains("panicked"),
            "{name}: {said}"
        );
        assert!(out.stdout.is_empty());
    }
    let mut short = fs::read(path("open.stl")).unwrap();
    short.truncate(short.len() - 10);
    fs::write(path("short.stl"), short).unwrap();
    tape(dir.path(), &["short.stl"]).code(1).says("cut short");
    tape(dir.path(), &["nowhere.stl"]).code(2);
}

/// Two balls that overlap cross where their surfaces meet, and nowhere else; a ball inside another
/// without a wall between them overlaps too; with its inside turned out it is a hollow, and fine.
#[test]
fn crossings_and_overlaps_are_said_where_they_are() {
    let dir = tempfile::tempdir().unwrap();
    let path = |name: &str| dir.path().join(name);
    // Centres 260 apart in height: surfaces meet in a ring at height 130.
    let two = together(&[
        ball(200.0, 60),
        moved(ball(200.0, 60), Vector3::new(0.3, 0.2, 260.0)),
    ]);
    let found = two.crossings();
    assert!(found.complete && found.pairs.count > 50, "{found:?}");
    assert!(
        found.pairs.low > 120.0 && found.pairs.high < 140.0,
        "{found:?}"
    );
    assert!(found.at(130.0) && !found.at(0.0) && !found.at(200.0));
    binary_stl(&two, &path("two.stl"));
    let out = tape(dir.path(), &["two.stl", "--at", "0", "13", "30", "--json"])
        .code(1)
        .says("passes through itself")
        .output()
        .clone();
    let value: Value = serde_json::from_slice(&out.stdout).unwrap();
    let rows = value["rounds"].as_array().unwrap();
    assert!(rows[0]["girth"].is_number() && rows[2]["girth"].is_number());
    assert!(rows[1]["girth"].is_null());
    assert!(
        rows[1]["reason"]
            .as_str()
            .unwrap()
            .contains("passes through itself")
    );
    assert_eq!(
        value["crossings"].as_u64().unwrap() as usize,
        found.pairs.count
    );

    let mut inner = ball(100.0, 40);
    binary_stl(
        &together(&[ball(200.0, 60), inner.clone()]),
        &path("nested.stl"),
    );
    tape(dir.path(), &["nested.stl", "--at", "0", "15"])
        .code(1)
        .prints("one body lies inside another at this height: 0.0");
    inner.turn_inside_out();
    binary_stl(&together(&[ball(200.0, 60), inner]), &path("hollow.stl"));
    tape(dir.path(), &["hollow.stl", "--at", "0", "15"]).success();

    // The solids that the program makes do not cross.
    let checked = crate::forms::contralto_checked();
    assert!(checked.mesh.faults().none());
    let found = checked.mesh.crossings();
    assert!(
        found.complete && found.pairs.count == 0,
        "{:?}",
        found.pairs
    );
    let core = layfigure::stack::core_mesh(&checked.mesh, &Workshop::default()).unwrap();
    assert!(core.faults().none() && core.crossings().pairs.count == 0);
}

/// The outer solid of a build, measured at the levels of its own sheet, at full and at half scale,
/// and standing on a floor.
#[test]
fn a_form_has_the_girths_of_its_sheet() {
    let dir = tempfile::tempdir().unwrap();
    fs::write(dir.path().join("sheet.toml"), crate::forms::CONTRALTO).unwrap();
    fs::write(dir.path().join("half.toml"), "[form]\nscale = 0.5\n").unwrap();
    let checked = crate::forms::contralto_checked();
    let whole = moved(checked.mesh.clone(), Vector3::new(0.0, 0.0, 411.0));
    binary_stl(&whole, &dir.path().join("whole.stl"));
    let half = layfigure::stack::enlarged(&checked.mesh, 0.5);
    binary_stl(&half, &dir.path().join("half.stl"));
    // A foot below the hem, down to the floor.
    let (floor, _) = checked.mesh.marks.floor.unwrap();
    let foot = moved(cylinder(5.0, 20.0), Vector3::new(0.0, 0.0, floor));
    binary_stl(
        &together(&[checked.mesh.clone(), foot]),
        &dir.path().join("stand.stl"),
    );
    for args in [
        &["whole.stl", "--sheet", "sheet.toml"][..],
        &[
            "half.stl",
            "--sheet",
            "sheet.toml",
            "--workshop",
            "half.toml",
        ],
        &["stand.stl", "--sheet", "sheet.toml", "--lowest", "floor"],
    ] {
        let value = read(dir.path(), args);
        let rows = value["rounds"].as_array().unwrap();
        assert_eq!(rows.len(), 7, "{args:?}");
        let mut given = 0;
        for row in rows {
            let key = row["level"].as_str().unwrap();
            if row["origin"] == "given" {
                given += 1;
                assert!(
                    row["difference"].as_f64().unwrap().abs() < 0.5,
                    "{args:?} {key}: {row}"
                );
            }
        }
        assert!(given >= 3, "{args:?}: {given}");
    }
    let out = tape(dir.path(), &["whole.stl", "--sheet", "sheet.toml"]).success();
    let text = String::from_utf8(out.output().stdout.clone()).unwrap();
    assert!(
        text.contains("difference") && text.lines().all(|l| l.chars().count() <= 80),
        "{text}"
    );
    // Reading for another size than it is, that is said; as it is, nothing.
    let words = "girths differ from the sheet's";
    tape(dir.path(), &["half.stl", "--sheet", "sheet.toml"]).says(words);
    assert!(!String::from_utf8_lossy(&out.output().stderr).contains(words));
    // In the wrong unit, that is said.
    tape(
        dir.path(),
        &["whole.stl", "--solid-unit", "m", "--at", "100"],
    )
    .code(1)
    .says("which no body is");
}

#[test]
fn wrong_usage_of_the_tape() {
    let dir = tempfile::tempdir().unwrap();
    binary_stl(&cylinder(100.0, 500.0), &dir.path().join("c.stl"));
    for args in [
        &["c.stl", "--up", "w"][..],
        &["c.stl", "--at", "ten"],
        &["c.stl", "--every", "0"],
        &["c.stl", "--every=-5"],
        &["c.stl", "--every", "0.001 mm"],
        &["c.stl", "--at", "10", "--every", "5"],
        &["c.stl", "--lowest", "floor"],
        &[],
    ] {
        let out = tape(dir.path(), args).code(2).output().clone();
        assert!(!out.stderr.is_empty() && out.stdout.is_empty(), "{args:?}");
    }
    tape(dir.path(), &["c.stl", "--at", "10", "60"])
        .code(1)
        .prints("not met at this height: 60.0");
}

/// Bodies that all pass through each other: the search for crossings gives up within its budget
/// instead of looking at half a billion pairs, and says so.
#[test]
fn a_tangle_is_given_up() {
    let mut state = 1_u32;
    let mut dice = || {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        f64::from(state >> 8) / f64::from(1 << 24) * 1000.0
    };
    let mut tangle = Mesh::default();
    for first in (0..8000).map(|i| i * 4) {
        let corners: Vec<Point3> = (0..4)
            .map(|_| Point3::new(dice(), dice(), dice()))
            .collect();
        let volume = (corners[1] - corners[0])
            .cross(&(corners[2] - corners[0]))
            .dot(&(corners[3] - corners[0]));
        tangle.vertices.extend(corners);
        for t in [[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]] {
            let [a, b, c] = t.map(|v| v + first);
            tangle
                .triangles
                .push(if volume > 0.0 { [a, b, c] } else { [a, c, b] });
        }
    }
    assert!(tangle.faults().none());
    let crossings = tangle.crossings();
    assert!(!crossings.complete);
    let left = crossings.unsearched;
    assert!(left.count > 0 && left.count < tangle.triangles.len());
    assert!(left.low >= 0.0 && left.high <= 1000.0 && left.low < left.high);
    assert!(
        crossings.at(500.0) && crossings.pairs.count < 10_000_000,
        "{}",
        crossings.pairs.count
    );
}
