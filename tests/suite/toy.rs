//! Made-up layers in closed form for the tests of drawings and layouts: superellipses with a dent,
//! from a broad hem through a waist and a bust to a neck.

use layfigure::geom::{Outline, Point2, Point3};
use layfigure::measure::Level;
use layfigure::mesh::{Marks, Mesh};
use layfigure::stack::{Hole, Inscription, Layer, Mark, Piece, PieceId, Stack, Tells};

/// A superellipse with half axes `a` and `b`, dented at the front by `dent`.
pub(crate) fn section(a: f64, b: f64, dent: f64) -> Outline {
    let n = 288;
    Outline {
        points: (0..n)
            .map(|k| {
                let t = f64::from(k) * std::f64::consts::TAU / f64::from(n);
                let (s, c) = t.sin_cos();
                let power = |v: f64| v.signum() * v.abs().powf(2.0 / 2.5);
                let x = a * power(c);
                let y = b * power(s);
                let front = if s > 0.0 {
                    dent * (-(x / (0.25 * a)).powi(2)).exp()
                } else {
                    0.0
                };
                Point2::new(x, y - front)
            })
            .collect(),
    }
}

fn piece(k: usize, count: usize) -> Piece {
    let u = k as f64 / count as f64;
    let bell = |middle: f64, width: f64| (-((u - middle) / width).powi(2)).exp();
    let (a, b, dent) = if u < 0.85 {
        let waist = bell(0.4, 0.15);
        let bust = bell(0.65, 0.08);
        (
            170.0 - 40.0 * waist - 10.0 * u,
            118.0 - 28.0 * waist + 12.0 * bust,
            20.0 * bust,
        )
    } else {
        (60.0, 58.0, 0.0)
    };
    let outline = section(a, b, dent);
    let at = Point2::new(-0.5 * a, 0.0);
    let hole = Hole::round(at, 8.3);
    let area = outline.area() - hole.ring().area();
    Piece {
        id: PieceId::layer(k + 1),
        marks: vec![
            Mark::Line(vec![
                Point2::new(0.0, b - dent),
                Point2::new(0.0, b - dent - 15.0),
            ]),
            Mark::Arrow(Point2::new(0.0, b * 0.2), Point2::new(0.0, b * 0.6)),
            Mark::Text(Inscription {
                tells: Tells::Which,
                ..Inscription::new(
                    Point2::new(0.0, -b * 0.4),
                    5.0,
                    format!("{} of {count}", k + 1),
                )
            }),
        ],
        outline,
        holes: vec![hole],
        area,
    }
}

/// Pieces from the hem up.
pub(crate) fn pieces(count: usize) -> Vec<Piece> {
    (0..count).map(|k| piece(k, count)).collect()
}

/// The same as a stack without base and cap.
pub(crate) fn stack(count: usize) -> Stack {
    let pitch = 6.35;
    Stack {
        layers: pieces(count)
            .into_iter()
            .enumerate()
            .map(|(k, piece)| Layer {
                index: k + 1,
                bottom: k as f64 * pitch,
                top: (k + 1) as f64 * pitch,
                pieces: vec![piece],
                levels: vec![],
                material: 0,
                step: 0.0,
            })
            .collect(),
        dowels: vec![],
        axis: Point2::origin(),
        wedges: vec![],
        pole: None,
        base: Outline::default(),
        cap: Outline::default(),
        padding: 5.0,
        scale: 1.0,
        first_to_cut: 1,
        figure: layfigure::measure::Figure::Woman,
        body: String::new(),
    }
}

/// An upright tube from 0 to `rise` mm whose sections are ellipses with half axes `a` and `b`, their
/// middle at `y`, in `rings` rows; closed, with `levels`.
pub(crate) fn tube(
    [a, b]: [f64; 2],
    y: f64,
    rise: f64,
    rings: u32,
    levels: &[(Level, f64)],
) -> Mesh {
    let around = 720_u32;
    let mut mesh = Mesh::default();
    for r in 0..rings {
        let z = rise * f64::from(r) / f64::from(rings - 1);
        for k in 0..around {
            let t = std::f64::consts::TAU * f64::from(k) / f64::from(around);
            mesh.vertices
                .push(Point3::new(a * t.cos(), y + b * t.sin(), z));
        }
    }
    let next = |k: u32| (k + 1) % around;
    for r in 0..rings - 1 {
        for k in 0..around {
            let (i, j) = (r * around, (r + 1) * around);
            mesh.triangles.push([i + k, i + next(k), j + next(k)]);
            mesh.triangles.push([i + k, j + next(k), j + k]);
        }
    }
    let base = rings * around;
    mesh.vertices.push(Point3::new(0.0, y, 0.0));
    mesh.vertices.push(Point3::new(0.0, y, rise));
    for k in 0..around {
        let top = (rings - 1) * around;
        mesh.triangles.push([base, next(k), k]);
        mesh.triangles.push([base + 1, top + k, top + next(k)]);
    }
    mesh.marks = Marks {
        levels: levels.iter().copied().collect(),
        ..Marks::default()
    };
    mesh
}
