//! The triangle solid: closed, close to its surface, its properties and cuts against parry.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use approx::assert_relative_eq;
use layfigure::geom::Point2;
use layfigure::mesh::{Grid, Mesh, Slicer, Surface};

/// A straight loft whose radius is given, about an upright pole at the origin.
pub(crate) fn loft(
    range: (f64, f64),
    radius: &(dyn Fn(f64, f64) -> f64 + Sync),
    levels: &[f64],
) -> Grid {
    let pole = |_: f64| Point2::origin();
    Grid::refined(
        &Surface {
            range,
            radius,
            pole: &pole,
        },
        levels,
        0.3,
    )
}

/// Distance from the centre of an ellipse to its edge.
pub(crate) fn ellipse(a: f64, b: f64, theta: f64) -> f64 {
    a * b / (b * theta.cos()).hypot(a * theta.sin())
}

pub(crate) fn assert_solid(mesh: &Mesh) {
    assert!(mesh.is_watertight());
    assert!(mesh.is_winding_consistent());
    assert!(mesh.volume() > 0.0);
}

/// /4/3 pi r^3 and so on: closed forms (any handbook of mathematics).
#[test]
fn frustum_has_its_volume_area_and_bounds() {
    let grid = loft((0.0, 200.0), &|_, z| 150.0 - z / 4.0, &[77.0]);
    let mesh = grid.mesh();
    assert_solid(&mesh);
    let (r1, r2, h): (f64, f64, f64) = (150.0, 100.0, 200.0);
    let volume = PI * h / 3.0 * (r1 * r1 + r1 * r2 + r2 * r2);
    assert_relative_eq!(mesh.volume(), volume, max_relative = 1e-3);
    assert!(mesh.volume() < volume);
    let area = PI * (r1 + r2) * h.hypot(r1 - r2) + PI * (r1 * r1 + r2 * r2);
    assert_relative_eq!(mesh.area(), area, max_relative = 1e-3);
    let (lo, hi) = mesh.bounds().unwrap();
    assert_relative_eq!(lo.x, -150.0);
    assert_relative_eq!(hi.z, 200.0);
    for quarter in [0.0, FRAC_PI_2, PI, 1.5 * PI] {
        assert!(grid.columns().contains(&quarter));
    }
    assert!(grid.rows().contains(&77.0));
    let cut = Slicer::new(&mesh).at(77.0);
    assert_eq!(cut.len(), 1);
    assert_relative_eq!(
        layfigure::tape::taut::girth(&cut[0].points),
        TAU * (150.0 - 77.0 / 4.0),
        max_relative = 1e-4
    );
}
