//! A made-up figure in closed form: everything that is hard on a torso (arm plates with a rolled
//! edge, a shoulder slope nearly level, a fillet to a leaning neck, breasts, a hollow back) in a few
//! lines, with nothing taken from the program.

use layfigure::geom::Point2;

/// Lowest and highest height, mm.
pub(crate) const RANGE: (f64, f64) = (-280.0, 455.0);
/// Heights at which the girth counts, and further ones that have a name.
pub(crate) const GIRTHS: [f64; 6] = [-195.0, -97.5, 0.0, 100.0, 170.0, 215.0];
pub(crate) const LEVELS: [f64; 9] = [-195.0, -97.5, 0.0, 100.0, 170.0, 215.0, 275.0, 335.0, 380.0];

/// Cubic smooth maximum of width `k`.
fn smooth_max(p: f64, q: f64, k: f64) -> f64 {
    let h = (k - (p - q).abs()).max(0.0) / k;
    p.max(q) + k * h * h * h / 6.0
}

/// Smooth curve through (z, value): cosine steps between keys.
fn curve(keys: &[(f64, f64)], z: f64) -> f64 {
    let i = keys.partition_point(|k| k.0 <= z).clamp(1, keys.len() - 1);
    let (a, b) = (keys[i - 1], keys[i]);
    let t = ((z - a.0) / (b.0 - a.0)).clamp(0.0, 1.0);
    a.1 + (b.1 - a.1) * t * t * (3.0 - 2.0 * t)
}

pub(crate) fn pole(z: f64) -> Point2 {
    Point2::new(
        0.0,
        curve(
            &[
                (-280.0, 0.0),
                (0.0, 5.0),
                (200.0, -5.0),
                (330.0, -28.0),
                (455.0, 0.0),
            ],
            z,
        ),
    )
}

pub(crate) fn radius(theta: f64, z: f64) -> f64 {
    let (sin, cos) = theta.sin_cos();
    let (side, y) = (cos.abs(), sin);
    let breadth = if z < 335.0 {
        curve(
            &[
                (-280.0, 170.0),
                (-195.0, 174.0),
                (0.0, 131.0),
                (100.0, 141.0),
                (170.0, 147.0),
                (215.0, 178.0),
                (275.0, 205.0),
                (335.0, 181.0),
            ],
            z,
        )
    } else {
        // The shoulder line: 22 degrees below level, then away under the neck.
        (181.0 - (z - 335.0) / 22f64.to_radians().tan()).max(20.0)
    };
    let depth = curve(
        &[
            (-280.0, 108.0),
            (-195.0, 115.0),
            (0.0, 92.0),
            (100.0, 98.0),
            (200.0, 100.0),
            (275.0, 85.0),
            (395.0, 40.0),
            (455.0, 30.0),
        ],
        z,
    );
    let n = curve(&[(-280.0, 2.8), (0.0, 2.2), (170.0, 2.35), (335.0, 2.1)], z);
    let mut r = ((side / breadth).powf(n) + (y.abs() / depth).powf(n)).powf(-1.0 / n);
    // The arm plate: flat, leaning in, with a rolled edge.
    if z > 120.0 {
        let below = (215.0 - z).max(0.0);
        let x = 160.0 + (z - 215.0).max(0.0) * 0.17 + 0.2 * below + below * below / 60.0;
        let across = side + 0.1 * y;
        if across > 0.02 {
            r = -smooth_max(-r, -x / across, 10.0);
        }
    }
    for left in [1.0, -1.0] {
        let turned = (theta.sin().atan2(theta.cos() * left) - 57f64.to_radians()).to_degrees();
        let rho =
            (turned / 42.0).powi(2) + ((z - 170.0) / if z > 170.0 { 110.0 } else { 75.0 }).powi(2);
        r += 50.0 * (1.0 - rho.powf(1.25)).max(0.0).powf(2.6);
    }
    // The neck: an ellipse leaning forward.
    let (a, d) = (54.0, 52.0);
    let offset = (z - 380.0) * 0.2 + 2.0 - pole(z).y + curve(&[(330.0, -28.0), (455.0, -10.0)], z);
    let (aa, bb, cc) = (
        (side / a).powi(2) + (y / d).powi(2),
        y * offset / (d * d),
        (offset / d).powi(2) - 1.0,
    );
    let neck = if cc < 0.0 {
        (bb + (bb * bb - aa * cc).sqrt()) / aa
    } else {
        0.0
    };
    let sunk = (330.0 - z).max(0.0);
    smooth_max(r, neck - sunk * sunk / 25.0, 26.0)
}

pub(crate) fn radii(z: f64, thetas: &[f64]) -> Vec<f64> {
    thetas.iter().map(|t| radius(*t, z)).collect()
}
