//! The triangle solid: closed, close to its surface, its properties and cuts against sums over triangles.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use approx::assert_relative_eq;
use layfigure::Error;
use layfigure::geom::{self, Outline, Point2, Point3, Vector3};
use layfigure::mesh::{self, Grid, Mesh, Sampled, Slicer, obj, stl};
use layfigure::tape::taut;
use layfigure::tolerance::MESH_ACCURACY_MM;
use proptest::prelude::*;

use crate::any_solid::stl_bytes;
use crate::closeness::Triangles;
use crate::draws::drawn;

use crate::figure;

/// A straight loft whose radius is given, about an upright pole at the origin.
pub(crate) fn loft(
    range: (f64, f64),
    radius: &(dyn Fn(f64, f64) -> f64 + Sync),
    levels: &[f64],
) -> Grid {
    let pole = |_: f64| Point2::origin();
    let radii = |z: f64, thetas: &[f64]| thetas.iter().map(|t| radius(*t, z)).collect();
    Grid::refined(
        &Sampled {
            range,
            radii: &radii,
            pole: &pole,
        },
        levels,
        &[],
        MESH_ACCURACY_MM,
    )
}

/// Distance from the centre of an ellipse to its edge.
pub(crate) fn ellipse(a: f64, b: f64, theta: f64) -> f64 {
    a * b / (b * theta.cos()).hypot(a * theta.sin())
}

fn figure_grid() -> Grid {
    let surface = Sampled {
        range: figure::RANGE,
        radii: &figure::radii,
        pole: &figure::pole,
    };
    Grid::refined(&surface, &figure::GIRTHS, &figure::LEVELS, MESH_ACCURACY_MM)
}

fn assert_solid(mesh: &Mesh) {
    assert!(mesh.is_watertight());
    assert!(mesh.is_winding_consistent());
    assert!(mesh.volume() > 0.0);
    let smallest = (0..mesh.triangles.len())
        .map(|t| {
            let [a, b, c] = mesh.corners(t);
            (b - a).cross(&(c - a)).norm() / 2.0
        })
        .fold(f64::INFINITY, f64::min);
    assert!(smallest > 1e-4, "a triangle of only {smallest} mm2");
}

fn doubled_area(o: &Outline) -> f64 {
    geom::doubled_area(&o.points)
}

/// A torus as a plain grid of triangles.
pub(crate) fn torus(big: f64, small: f64, n: u32) -> Mesh {
    let mut mesh = Mesh::default();
    for i in 0..n {
        for j in 0..n {
            let (u, v) = (
                TAU * f64::from(i) / f64::from(n),
                TAU * f64::from(j) / f64::from(n),
            );
            let r = big + small * v.cos();
            mesh.vertices
                .push(Point3::new(r * u.cos(), r * u.sin(), small * v.sin()));
            let at = |i: u32, j: u32| (i % n) * n + j % n;
            let [a, b, c, d] = [at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)];
            mesh.triangles.extend([[a, b, c], [a, c, d]]);
        }
    }
    mesh
}

/// Circular frustum: pi h/3 (r1² + r1 r2 + r2²) and pi (r1 + r2) s (any handbook of mathematics).
#[test]
fn a_frustum_has_its_volume_area_and_girths() {
    let grid = loft((0.0, 200.0), &|_, z| 150.0 - z / 4.0, &[77.0]);
    let mesh = grid.mesh();
    assert_solid(&mesh);
    assert!(mesh.volume() < 9948376.73637);
    assert_relative_eq!(mesh.volume(), 9948376.73637, max_relative = 2e-4);
    let area = 161913.979293 + PI * (150.0 * 150.0 + 100.0 * 100.0);
    assert_relative_eq!(mesh.area(), area, max_relative = 2e-4);
    let (lo, hi) = mesh.bounds().unwrap();
    assert_eq!((lo.x, lo.y, hi.z), (-150.0, -150.0, 200.0));
    for quarter in [0.0, FRAC_PI_2, PI, 1.5 * PI] {
        assert!(grid.columns().contains(&quarter));
    }
    assert!(grid.rows().contains(&77.0));
    let slicer = Slicer::new(&mesh);
    for z in [0.0, 77.0, 123.4, 200.0] {
        let cut = slicer.at(z);
        assert_eq!(cut.len(), 1, "at {z}");
        let expected = TAU * (150.0 - z / 4.0);
        assert!((taut::girth(&cut[0].points) - expected).abs() < 0.05);
        assert!(doubled_area(&cut[0]) > 0.0);
    }
    assert!(slicer.at(-0.001).is_empty() && slicer.at(200.001).is_empty());
}

/// Torus 2 pi² R r² and 4 pi² R r; cut level, it shows a ring: an outline and a hole.
#[test]
fn a_torus_has_its_volume_area_and_hole() {
    let mesh = torus(100.0, 30.0, 400);
    assert_solid(&mesh);
    assert_relative_eq!(mesh.volume(), 1776528.7922, max_relative = 2e-4);
    assert_relative_eq!(mesh.area(), 118435.252813, max_relative = 2e-4);
    for z in [0.0, 12.0, -29.0] {
        let cut = Slicer::new(&mesh).at(z);
        assert_eq!(cut.len(), 2);
        let width = (30.0f64 * 30.0 - z * z).sqrt();
        assert_relative_eq!(
            doubled_area(&cut[0]),
            TAU * (100.0 + width).powi(2),
            max_relative = 1e-3
        );
        assert_relative_eq!(
            doubled_area(&cut[1]),
            -TAU * (100.0 - width).powi(2),
            max_relative = 1e-3
        );
    }
    // Upright through the middle: two circles.
    let upright = mesh::section(&mesh, Point3::origin(), Vector3::y());
    assert_eq!(upright.len(), 2);
}

/// A hole, a flipped triangle and an inside-out solid are all noticed.
#[test]
fn faults_are_noticed() {
    let good = torus(100.0, 30.0, 12);
    let mut open = good.clone();
    open.triangles.pop();
    assert!(!open.is_watertight() && !open.is_winding_consistent());
    let mut flipped = good.clone();
    flipped.triangles[5].swap(0, 1);
    assert!(flipped.is_watertight() && !flipped.is_winding_consistent());
    let mut inside_out = good;
    inside_out.triangles.iter_mut().for_each(|t| t.swap(0, 1));
    assert!(inside_out.is_winding_consistent() && inside_out.volume() < 0.0);
    assert!(!Mesh::default().is_watertight());
    assert!(Mesh::default().bounds().is_none());
}

/// Distance of the made-up figure's surface from its triangles, at points that beat against every
/// row and column.
#[test]
fn triangles_stay_close_to_the_surface() {
    let grid = figure_grid();
    let mesh = grid.mesh();
    assert_solid(&mesh);
    assert!(
        mesh.triangles.len() < 200_000,
        "{} triangles",
        mesh.triangles.len()
    );
    let other = Triangles::of(&mesh);
    let (low, high) = figure::RANGE;
    let mut worst = (0.0, 0.0, 0.0);
    for i in 0..900 {
        let z = low + (high - low) * (f64::from(i) + 0.37) / 900.0;
        let pole = figure::pole(z);
        for j in 0..500 {
            let theta = TAU * (f64::from(j) + 0.41) / 500.0 - PI;
            let r = figure::radius(theta, z);
            let point = Point3::new(pole.x + r * theta.cos(), pole.y + r * theta.sin(), z);
            let error = other.distance(point, 1.0);
            if error > worst.0 {
                worst = (error, theta, z);
            }
        }
    }
    assert!(
        worst.0 < MESH_ACCURACY_MM,
        "{} mm off at direction {}, height {}",
        worst.0,
        worst.1,
        worst.2
    );
}

/// Girths of the rows against girths of the surface itself, sampled ten times as finely.
#[test]
fn girths_of_the_rows_are_the_surfaces_own() {
    let mesh = figure_grid().mesh();
    let slicer = Slicer::new(&mesh);
    for z in figure::GIRTHS {
        let dense: Vec<Point2> = (0..7200)
            .map(|i| TAU * f64::from(i) / 7200.0 - PI)
            .map(|t| figure::pole(z) + geom::Vector2::new(t.cos(), t.sin()) * figure::radius(t, z))
            .collect();
        let short = taut::girth(&dense) - taut::girth(&slicer.at(z)[0].points);
        assert!(short.abs() < 0.05, "at {z}: {short}");
    }
}

/// Points named on the grid lie on the triangles, at exactly their height.
#[test]
fn named_points_lie_on_the_triangles() {
    let grid = figure_grid();
    let mesh = grid.mesh();
    let other = Triangles::of(&mesh);
    for i in 0..400 {
        let (theta, z) = (
            f64::from(i) * 0.731 - 3.0,
            -280.0 + 735.0 * (f64::from(i) * 0.618).fract(),
        );
        let p = grid.point(theta, z);
        assert!(other.distance(p, 1.0) < 1e-9);
        assert!((p.z - z).abs() < 1e-9);
    }
}

/// The figure is mirror-like; so are its triangles.
#[test]
fn a_mirror_like_figure_has_mirror_like_triangles() {
    let mesh = figure_grid().mesh();
    let key = |x: f64, y: f64, z: f64| [x, y, z].map(|v| (v * 1e6).round() as i64);
    let mut faces: Vec<[[i64; 3]; 3]> = Vec::new();
    let mut images = faces.clone();
    for t in 0..mesh.triangles.len() {
        let corners = mesh.corners(t);
        let mut face = corners.map(|c| key(c.x, c.y, c.z));
        let mut image = corners.map(|c| key(-c.x, c.y, c.z));
        face.sort_unstable();
        image.sort_unstable();
        faces.push(face);
        images.push(image);
    }
    faces.sort_unstable();
    images.sort_unstable();
    let differ = faces.iter().zip(&images).filter(|(a, b)| a != b).count();
    assert!(
        differ * 1000 < faces.len(),
        "{differ} of {} triangles",
        faces.len()
    );
}

/// Volume by the divergence theorem, a sum over triangles about a far origin; and plane cuts in every
/// direction, each as long as the triangles' own chords: where two of a triangle's edges cross the plane,
/// by linear interpolation (analytic geometry).
#[test]
fn volume_and_cuts_are_sums_over_triangles() {
    let mesh = figure_grid().mesh();
    let all = || (0..mesh.triangles.len()).map(|t| mesh.corners(t));
    let origin = Point3::new(700.0, -300.0, 1100.0);
    let sixth: f64 = all()
        .map(|[a, b, c]| (a - origin).dot(&(b - origin).cross(&(c - origin))))
        .sum();
    assert_relative_eq!(mesh.volume(), sixth / 6.0, max_relative = 1e-9);
    for (normal, offset) in [
        ((0.0, 0.0, 1.0), 13.3),
        ((0.0, 0.0, 1.0), 359.9),
        ((1.0, 0.0, 0.0), 3.1),
        ((0.0, 1.0, 0.0), 11.0),
        ((0.0, 0.2, 0.98), 300.7),
        ((0.6, -0.5, 0.3), 20.0),
    ] {
        let normal = Vector3::new(normal.0, normal.1, normal.2).normalize();
        let ours: f64 = mesh::section(&mesh, Point3::from(normal * offset), normal)
            .iter()
            .map(|l| {
                l.iter()
                    .zip(l.iter().cycle().skip(1))
                    .map(|(a, b)| (b - a).norm())
                    .sum::<f64>()
            })
            .sum();
        let above = |p: &Point3| p.coords.dot(&normal) - offset;
        let theirs: f64 = all()
            .map(|[a, b, c]| {
                let ends: Vec<Point3> = [(a, b), (b, c), (c, a)]
                    .into_iter()
                    .filter(|(p, q)| (above(p) > 0.0) != (above(q) > 0.0))
                    .map(|(p, q)| p + (q - p) * (above(&p) / (above(&p) - above(&q))))
                    .collect();
                ends.windows(2).map(|e| (e[1] - e[0]).norm()).sum::<f64>()
            })
            .sum();
        assert!(theirs > 500.0, "{theirs}");
        assert_relative_eq!(ours, theirs, max_relative = 1e-6);
    }
}

/// A written solid is as the format defines it (from memory: a head of 80 bytes, the count, 50 bytes a
/// triangle) and read by ourselves the same solid; twice written, the same bytes. The outside checks read
/// it with trimesh.
#[test]
fn stl_is_as_the_format_has_it() {
    let mesh = figure_grid().mesh();
    let bytes = stl::binary(&mesh);
    assert_eq!(bytes, stl::binary(&figure_grid().mesh()));
    assert_eq!(bytes.len(), 84 + 50 * mesh.triangles.len());
    let count = u32::from_le_bytes(bytes[80..84].try_into().unwrap());
    assert_eq!(count as usize, mesh.triangles.len());
    for (t, facet) in bytes[84..].chunks(50).enumerate().step_by(997) {
        let number =
            |k: usize| f64::from(f32::from_le_bytes(facet[4 * k..][..4].try_into().unwrap()));
        let vector = |k: usize| Vector3::new(number(3 * k), number(3 * k + 1), number(3 * k + 2));
        let [stored, a, b, c] = [0, 1, 2, 3].map(vector);
        for (is, should) in [a, b, c].iter().zip(mesh.corners(t)) {
            assert!((is - should.coords).norm() < 1e-4);
        }
        let n = (b - a).cross(&(c - a)).normalize();
        assert!((n - stored).norm() < 1e-2);
    }
    let ours = stl::read(&bytes).unwrap();
    assert_eq!(ours.vertices.len(), mesh.vertices.len());
    assert!(ours.is_watertight() && ours.is_winding_consistent());
    assert_relative_eq!(ours.volume(), mesh.volume(), max_relative = 1e-6);
}

/// Binary files without normals and text files as the format has them.
#[test]
fn stl_of_others_is_read() {
    let mesh = torus(100.0, 30.0, 24);
    let mut bytes = stl_bytes(&mesh);
    let read = stl::read(&bytes).unwrap();
    assert!(read.is_watertight());
    assert_relative_eq!(read.volume(), mesh.volume(), max_relative = 1e-6);
    // The same bytes behind a free text that begins like a text file.
    bytes[..80].fill(b' ');
    bytes[..5].copy_from_slice(b"solid");
    assert_eq!(stl::read(&bytes).unwrap().triangles, read.triangles);

    let mut text = String::from("solid ring\n");
    for t in 0..mesh.triangles.len() {
        text += "  facet normal 0 0 0\n    outer loop\n";
        for p in mesh.corners(t) {
            let [x, y, z] = [p.x, p.y, p.z].map(|v| v as f32);
            text += &format!("      vertex {x} {y:e} {z}\n");
        }
        text += "    endloop\n  endfacet\n";
    }
    text += "endsolid ring\n";
    assert_eq!(
        stl::read(text.as_bytes()).unwrap().triangles,
        read.triangles
    );
}

/// A cube as OBJ files have it: four-cornered faces, texture numbers, counting backwards.
#[test]
fn obj_is_read() {
    let corners = "# a cube\nv 0 0 0\nv 10 0 0\nv 10 10 0\nv 0 10 0\nv 0 0 10\nv 10 0 10\nv 10 10 10\nv 0 10 10\nvn 0 0 1\n";
    let faces = "f 4 3 2 1\nf 5/1 6/2 7/3 8/4\nf 1//1 2//1 6//1 5//1\nf 2/1/1 3/2/1 7/3/1 6/4/1\nf -6 -5 -1 -2\nusemtl cloth\nf 4 1 5 8\n";
    let cube = obj::read(&format!("{corners}{faces}")).unwrap();
    assert!(cube.is_watertight() && cube.is_winding_consistent());
    assert_relative_eq!(cube.volume(), 1000.0);
    assert_relative_eq!(cube.area(), 600.0);
    for (text, words) in [
        ("v 1 2 x", "line 1: `v` needs three numbers"),
        ("v 1 2 3\nf 1 1", "line 2: `f` needs three"),
        ("v 1 2 3\nf 1 2 3", "line 2: `f` needs three"),
        ("v 1 2 3\nf -2 0 1", "line 2: `f` needs three"),
        ("hello", "no faces"),
    ] {
        let Err(Error::Format(message)) = obj::read(text) else {
            panic!("{text}: accepted")
        };
        let message = message.message();
        assert!(message.contains(words), "{message}");
    }
}

/// What is not a solid is refused, with the reason.
#[test]
fn stl_that_is_broken_is_refused() {
    let says = |bytes: &[u8], words: &str| {
        let Err(Error::Format(message)) = stl::read(bytes) else {
            panic!("{words}: accepted")
        };
        let message = message.message();
        assert!(message.contains(words), "{message}");
    };
    let good = stl::binary(&torus(100.0, 30.0, 6));
    says(b"", "neither binary nor text");
    says(b"hello", "neither binary nor text");
    says(&good[..good.len() - 7], "cut short");
    says(&stl::binary(&Mesh::default()), "no triangles");
    says(
        b"solid x\nfacet\nouter loop\nvertex 1 2\nendloop\nendfacet\nendsolid",
        "line 4: `vertex` needs three numbers",
    );
    says(b"solid x\nvertex 1 2 nan\nendsolid", "line 2");
    says(b"solid x\nvertex 1 2 3\nendloop\nendsolid", "three corners");
    says(
        b"solid x\nvertex 1 2 3\nvertex 1 2 4\nvertex 1 3 3\nendloop",
        "cut short",
    );
    let mut endless = good;
    endless[84 + 12..84 + 16].copy_from_slice(&f32::NAN.to_le_bytes());
    says(&endless, "triangle 1");
    let mut huge = vec![0u8; 84];
    huge[80..84].copy_from_slice(&u32::MAX.to_le_bytes());
    says(&huge, "cut short");
}

proptest! {
    #![proptest_config(drawn(40))]

    /// Whatever star-shaped surface is lofted, with levels close together or on its ends, the solid
    /// is closed and holds every level.
    #[test]
    fn random_lofts_are_closed(
        waves in prop::collection::vec((0.0..15.0f64, 1..6u8, -0.03..0.03f64, 0.0..TAU), 1..5),
        levels in prop::collection::vec(-100.0..200.0f64, 0..8),
        lean in -0.5..0.5f64,
    ) {
        let radius = |t: f64, z: f64| {
            100.0 + waves.iter().map(|(a, n, k, p)| a * (f64::from(*n) * t + k * z + p).sin()).sum::<f64>()
        };
        let radii = |z: f64, thetas: &[f64]| thetas.iter().map(|t| radius(*t, z)).collect();
        let pole = |z: f64| Point2::new(lean * z, 10.0 * (z / 60.0).sin());
        let mut levels = levels;
        levels.extend([-100.0, 200.0, 50.0, 50.0 + 1e-7]);
        let grid = Grid::refined(&Sampled { range: (-100.0, 200.0), radii: &radii, pole: &pole }, &levels[..1], &levels, 0.3);
        assert_solid(&grid.mesh());
        for z in &levels {
            prop_assert!(grid.rows().iter().any(|r| (r - z).abs() < 1e-3));
        }
        let mesh = grid.mesh();
        let slicer = Slicer::new(&mesh);
        for z in levels.iter().chain(&[17.77]) {
            let cut = slicer.at(*z);
            prop_assert_eq!(cut.len(), 1);
            let loops = mesh::section(&mesh, Point3::new(0.0, 0.0, *z), Vector3::z());
            let flat: Vec<Point2> = loops[0].iter().map(|p| p.xy()).collect();
            prop_assert!((taut::perimeter(&flat) - taut::perimeter(&cut[0].points)).abs() < 1e-9);
        }
    }

    /// Reading never panics on bytes from anywhere, nor on a well-formed frame round them.
    #[test]
    fn any_bytes_can_be_offered(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        let _ = stl::read(&bytes);
        let _ = obj::read(&String::from_utf8_lossy(&bytes));
        let facets = bytes.len() / 50;
        let mut framed = vec![b' '; 80];
        framed.extend((facets as u32).to_le_bytes());
        framed.extend(&bytes[..facets * 50]);
        if let Ok(mesh) = stl::read(&framed) {
            prop_assert!(mesh.triangles.len() <= facets);
            let _ = (mesh.is_watertight(), mesh.volume(), Slicer::new(&mesh).at(0.0));
        }
    }
}
