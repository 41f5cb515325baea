//! Files of solids as other programs write them: joined lines, faces with dents, large files; and what
//! is too much of them.

use std::fs;
use std::io::{BufReader, Cursor, Read, Seek, SeekFrom};

use layfigure::geom::{Point3, Vector3};
use layfigure::mesh::{Mesh, obj, stl};

use crate::program::program;

use crate::any_solid::{ball, binary_stl, cylinder, moved, read, tape, text_stl, together};

/// A prism over a polygon as OBJ: the cap of many corners, its corners from number `first` on, bent out
/// of its plane by `bend` at every other corner.
fn prism(polygon: &[[f64; 2]], first: usize, bend: f64, turn: &dyn Fn(Point3) -> Point3) -> String {
    let n = polygon.len();
    let mut text = String::new();
    for z in [0.0, 400.0] {
        for (i, [x, y]) in polygon.iter().enumerate() {
            let bent = if i % 2 == 0 { bend } else { -bend };
            let p = turn(Point3::new(*x, *y, z + bent));
            text.push_str(&format!("v {} {} {}\n", p.x, p.y, p.z));
        }
    }
    let cap = |from: usize, back: bool| {
        let word = |i: usize| {
            let i = (first + i) % n;
            let i = if back { n - 1 - i } else { i };
            format!(" {}", from + i + 1)
        };
        format!("f{}\n", (0..n).map(word).collect::<String>())
    };
    text.push_str(&cap(0, true));
    text.push_str(&cap(n, false));
    for i in 0..n {
        let j = (i + 1) % n;
        text.push_str(&format!(
            "f {} {} {} {}\n",
            i + 1,
            j + 1,
            n + j + 1,
            n + i + 1
        ));
    }
    text
}

/// Area by the shoelace formula (any handbook of mathematics).
fn area(polygon: &[[f64; 2]]) -> f64 {
    let next = polygon.iter().cycle().skip(1);
    let doubled: f64 = polygon
        .iter()
        .zip(next)
        .map(|(a, b)| a[0] * b[1] - a[1] * b[0])
        .sum();
    doubled / 2.0
}

const ELL: [[f64; 2]; 6] = [
    [0.0, 0.0],
    [300.0, 0.0],
    [300.0, 100.0],
    [100.0, 100.0],
    [100.0, 250.0],
    [0.0, 250.0],
];

/// The same with corners on its straight sides.
const ELL_SPLIT: [[f64; 2]; 11] = [
    [0.0, 0.0],
    [90.0, 0.0],
    [210.0, 0.0],
    [300.0, 0.0],
    [300.0, 100.0],
    [170.0, 100.0],
    [100.0, 100.0],
    [100.0, 190.0],
    [100.0, 250.0],
    [0.0, 250.0],
    [0.0, 120.0],
];

fn comb(teeth: usize) -> Vec<[f64; 2]> {
    let mut out = vec![[0.0, 0.0], [20.0 * teeth as f64, 0.0]];
    for i in (0..teeth).rev() {
        let x = 20.0 * i as f64;
        out.extend([[x + 12.0, 200.0], [x + 3.0, 190.0], [x, 30.0]]);
    }
    out
}

fn spiral() -> Vec<[f64; 2]> {
    let at = |i: usize, r: f64| {
        let a = 0.15 * i as f64;
        [(r + 4.0 * a) * a.cos(), (r + 4.0 * a) * a.sin()]
    };
    let outer = (0..150).map(|i| at(i, 60.0));
    let inner = (0..150).rev().map(|i| at(i, 45.0));
    outer.chain(inner).collect()
}

/// A square with a square hole, run to it and back along one line.
const HOLED: [[f64; 2]; 10] = [
    [0.0, 0.0],
    [300.0, 0.0],
    [300.0, 300.0],
    [0.0, 300.0],
    [0.0, 0.0],
    [100.0, 100.0],
    [100.0, 200.0],
    [200.0, 200.0],
    [200.0, 100.0],
    [100.0, 100.0],
];

/// A cap with a dent, told as one face from whichever corner on: the solid is closed, does not pass
/// through itself and holds what its polygon says.
#[test]
fn faces_with_dents_are_cut_up_without_folds() {
    let lying = |p: Point3| Point3::new(p.z, p.x, p.y);
    let aslant = |p: Point3| {
        nalgebra::Rotation3::new(Vector3::new(0.3, -0.8, 0.5)) * p + Vector3::new(900.0, -20.0, 7.0)
    };
    let plain = |p: Point3| p;
    let turns: [&dyn Fn(Point3) -> Point3; 3] = [&plain, &lying, &aslant];
    let shapes = [
        ELL.to_vec(),
        ELL_SPLIT.to_vec(),
        comb(40),
        spiral(),
        HOLED.to_vec(),
    ];
    for (s, shape) in shapes.iter().enumerate() {
        for first in (0..shape.len()).step_by(1 + shape.len() / 12) {
            for (t, turn) in turns.iter().enumerate() {
                // Corners in one line leave it either way when they are bent.
                for bend in if s == 1 || s == 2 {
                    &[0.0][..]
                } else {
                    &[0.0, 0.02]
                } {
                    let what = format!("shape {s} from {first}, turn {t}, bend {bend}");
                    let mesh = obj::read(&prism(shape, first, *bend, turn)).unwrap();
                    let faults = mesh.faults();
                    // The way to a hole is walked by four walls.
                    if s < 4 {
                        assert!(faults.none(), "{what}: {faults:?}");
                        assert_eq!(mesh.triangles.len(), 4 * shape.len() - 4, "{what}");
                    } else {
                        assert_eq!((faults.open.count, faults.turned.count), (0, 0), "{what}");
                    }
                    let wanted = area(shape) * 400.0;
                    // A bend of two hundredths lifts corners off the plane, no more.
                    let off = (mesh.volume() / wanted - 1.0).abs();
                    assert!(off < 1e-9 + bend * 1e-2, "{what}: {}", mesh.volume());
                    let crossings = mesh.crossings();
                    assert_eq!(crossings.pairs.count, 0, "{what}: {crossings:?}");
                }
            }
        }
    }
}

#[test]
fn a_solid_with_a_dented_cap_is_measured() {
    let dir = tempfile::tempdir().unwrap();
    let text = prism(&ELL, 4, 0.0, &|p| p);
    fs::write(dir.path().join("ell.obj"), text).unwrap();
    let value = read(dir.path(), &["ell.obj", "--at", "20"]);
    // Round the hull: the dent is bridged by its diagonal.
    let wanted = 300.0 + 100.0 + 200f64.hypot(150.0) + 100.0 + 250.0;
    let girth = value["rounds"][0]["girth"].as_f64().unwrap();
    assert!((girth - wanted).abs() < 1e-2, "{girth}, not {wanted}");
    assert_eq!(value["findings"].as_array().unwrap().len(), 0);
}

/// Faces that cannot be cut up without folds (a bow tie, corners all in one line or in one place) end
/// all the same, closed.
#[test]
fn faces_that_cross_themselves_come_to_an_end() {
    let bow = [[0.0, 0.0], [200.0, 150.0], [200.0, 0.0], [0.0, 100.0]];
    let star: Vec<[f64; 2]> = (0..7)
        .map(|i| {
            let a = std::f64::consts::TAU * f64::from(i * 3 % 7) / 7.0;
            [100.0 * a.cos(), 100.0 * a.sin()]
        })
        .collect();
    let line: Vec<[f64; 2]> = (0..9).map(|i| [f64::from(i * 5 % 9), 0.0]).collect();
    let mut noise = Vec::new();
    let mut state = 7_u32;
    for _ in 0..900 {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        noise.push([f64::from(state >> 16), f64::from(state & 0xffff)]);
    }
    for shape in [&bow[..], &star, &line, &noise] {
        let mesh = obj::read(&prism(shape, 1, 0.0, &|p| p)).unwrap();
        assert_eq!(mesh.faults().open.count, 0);
        assert_eq!(mesh.triangles.len(), 4 * shape.len() - 4);
    }
}

/// A backslash at the end of a line goes on in the next one (the OBJ format's own rule, from memory);
/// in names and remarks it is what it is.
#[test]
fn lines_of_obj_files_may_be_joined() {
    let plain = prism(&ELL, 0, 0.0, &|p| p);
    let whole = obj::read(&plain).unwrap();
    let mut joined = String::from("# from C:\\forms\\\nmtllib C:\\forms\\\n");
    for (i, line) in plain.lines().enumerate() {
        let words: Vec<&str> = line.split(' ').collect();
        let (first, last) = words.split_at(1 + i % 3);
        let end = ["\n", " \n", "\r\n"][i % 3];
        joined.push_str(&format!(
            "{} \\{end}{}\r\n",
            first.join(" "),
            last.join(" ")
        ));
    }
    joined.push_str("f 1 2 \\");
    let e = obj::read(&joined).unwrap_err().to_string();
    assert!(e.contains("line 43: `f` needs three"), "{e}");
    let joined = joined.strip_suffix("f 1 2 \\").unwrap();
    let read = obj::read(joined).unwrap();
    assert_eq!(
        (&read.vertices, &read.triangles),
        (&whole.vertices, &whole.triangles)
    );
    // Several lines, one of them with nothing else on it, and a remark behind a face.
    let tent = "v 0 0 0\nv 9 0 \\\n\\\n0\nv 0 9 0\nv 0 0 9\n\
                f 1 3 2 # floor\nf\\\n1 2\\\n4\nf 1 4 3\nf 2 3 4\n";
    let mesh = obj::read(tent).unwrap();
    assert!(mesh.faults().none() && (mesh.volume() - 121.5).abs() < 1e-9);
}

/// Hands out a byte or a few at a time.
struct Slow(Cursor<Vec<u8>>, usize);

impl Read for Slow {
    fn read(&mut self, into: &mut [u8]) -> std::io::Result<usize> {
        self.1 = self.1 % 7 + 1;
        let most = self.1.min(into.len());
        self.0.read(&mut into[..most])
    }
}

impl Seek for Slow {
    fn seek(&mut self, to: SeekFrom) -> std::io::Result<u64> {
        self.0.seek(to)
    }
}

/// However a file comes in, and in whichever of the formats, the triangles are the same.
#[test]
fn files_are_read_piece_by_piece() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("a.stl");
    let solid = together(&[
        ball(200.0, 24),
        moved(ball(100.0, 24), Vector3::new(0.0, 0.0, 500.0)),
    ]);
    binary_stl(&solid, &path);
    let binary = fs::read(&path).unwrap();
    text_stl(&solid, &path);
    let text = fs::read(&path).unwrap();
    let first = stl::read(&binary).unwrap();
    assert_eq!(first.triangles.len(), solid.triangles.len());
    let mut as_obj = String::new();
    for t in 0..solid.triangles.len() {
        for p in solid.corners(t).map(|p| p.map(|v| f64::from(v as f32))) {
            as_obj.push_str(&format!("v {} {} {}\n", p.x, p.y, p.z));
        }
        as_obj.push_str("f -3 -2 -1\n");
    }
    let slow = |bytes: &[u8]| BufReader::with_capacity(5, Slow(Cursor::new(bytes.to_vec()), 0));
    for mesh in [
        stl::read(&text).unwrap(),
        stl::read_from(slow(&binary)).unwrap(),
        stl::read_from(slow(&text)).unwrap(),
        obj::read_from(slow(as_obj.as_bytes())).unwrap(),
    ] {
        assert!(mesh.vertices == first.vertices && mesh.triangles == first.triangles);
    }
    // Longer than any line of a file of a solid.
    let long = "v 0 0 0 ".repeat(3 << 20);
    let e = obj::read(&long).unwrap_err().to_string();
    assert!(e.contains("line 1 is longer than the 16 MiB"), "{e}");
}

#[cfg(unix)]
#[test]
fn a_solid_may_come_through_a_pipe() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("c.stl");
    binary_stl(&cylinder(100.0, 500.0), &path);
    program(dir.path())
        .args(["tape", "/dev/stdin", "--at", "20"])
        .typed(fs::read(&path).unwrap())
        .run()
        .success()
        .prints("62.8");
}

/// Triangles of other triangles held against each other one by one: every edge of the one against the
/// face of the other, by the signs of the five volumes between them (any handbook of computational
/// geometry).
fn crosses(mesh: &Mesh, s: usize, t: usize) -> bool {
    let volume = |p: Point3, q: Point3, r: Point3, s: Point3| (q - p).cross(&(r - p)).dot(&(s - p));
    let (a, b) = (mesh.corners(s), mesh.corners(t));
    [(a, b), (b, a)].into_iter().any(|(edges, [p, q, r])| {
        (0..3).any(|i| {
            let (from, to) = (edges[i], edges[(i + 1) % 3]);
            let apart = volume(p, q, r, from) > 0.0;
            let side = |u, v| volume(from, to, u, v) > 0.0;
            let round = [side(p, q), side(q, r), side(r, p)];
            apart != (volume(p, q, r, to) > 0.0) && round[0] == round[1] && round[1] == round[2]
        })
    })
}

#[test]
fn crossings_are_those_of_all_pairs() {
    let mut state = 3_u32;
    let mut dice = |most: f64| {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        f64::from(state >> 8) / f64::from(1 << 24) * most
    };
    for (many, size) in [(3, 400.0), (90, 300.0), (400, 60.0), (700, 40.0)] {
        let mut mesh = Mesh::default();
        for i in 0..many {
            let middle = Vector3::new(dice(500.0), dice(500.0), dice(500.0));
            for _ in 0..3 {
                let corner = Point3::new(dice(size), dice(size), dice(size));
                mesh.vertices.push(corner + middle);
            }
            mesh.triangles.push([3 * i, 3 * i + 1, 3 * i + 2]);
        }
        let n = mesh.triangles.len();
        let pairs = (0..n).flat_map(|s| (0..s).map(move |t| (s, t)));
        let wanted = pairs.filter(|(s, t)| crosses(&mesh, *s, *t)).count();
        let found = mesh.crossings();
        assert!(found.complete && found.unsearched.count == 0);
        assert_eq!(found.pairs.count, wanted, "{many} of {size}");
        assert!(many == 3 || wanted > 10, "{wanted}");
    }
}

#[test]
fn too_many_heights_or_parts_are_said() {
    let dir = tempfile::tempdir().unwrap();
    binary_stl(&cylinder(100.0, 500.0), &dir.path().join("c.stl"));
    let heights: Vec<String> = (0..10_001).map(|i| (i % 50).to_string()).collect();
    let mut args = vec!["c.stl", "--at"];
    args.extend(heights.iter().map(String::as_str));
    tape(dir.path(), &args)
        .code(2)
        .says("10001 heights are more than the 10000");

    // A cut through a heap of crumbs.
    let crumb = ball(2.0, 6);
    let heap: Vec<Mesh> = (0..1001)
        .map(|i| {
            let (x, y) = (f64::from(i % 40), f64::from(i / 40));
            moved(crumb.clone(), Vector3::new(5.0 * x, 5.0 * y, 100.0))
        })
        .chain([cylinder(100.0, 95.0)])
        .collect();
    binary_stl(&together(&heap), &dir.path().join("heap.stl"));
    tape(dir.path(), &["heap.stl", "--at", "5", "10"])
        .code(1)
        .prints("more than a thousand parts at this height: 10.0");

    // Triangles as tall as the solid, cut again and again.
    let sides = 40_000;
    let columns: Vec<f64> = (0..sides)
        .map(|i| std::f64::consts::TAU * f64::from(i) / f64::from(sides))
        .collect();
    let radii = |_: f64, t: &[f64]| vec![200.0; t.len()];
    let tall = layfigure::mesh::Grid::new(
        &layfigure::mesh::Sampled {
            range: (0.0, 800.0),
            radii: &radii,
            pole: &|_| layfigure::geom::Point2::origin(),
        },
        &[0.0, 800.0],
        &columns,
    )
    .mesh();
    binary_stl(&tall, &dir.path().join("tall.stl"));
    tape(dir.path(), &["tall.stl", "--every", "0.1 mm"])
        .code(2)
        .says("takes too long: read fewer heights at a time");
}
