//! The tape: hulls, taut paths and every measure on shapes with a closed form.

use layfigure::geom::Point2;
use layfigure::tape::taut;

use crate::solid::{ellipse, loft};

#[test]
fn a_taut_tape_bridges_a_notch() {
    let p = |x: f64, y: f64| Point2::new(x, y);
    let over = taut::over(
        &[p(10.0, 0.0), p(10.0, -20.0), p(30.0, -20.0), p(30.0, 0.0)],
        [p(0.0, 0.0), p(40.0, 0.0)],
    );
    approx::assert_relative_eq!(over, 40.0);
}

/// Perimeter of an ellipse 4 a E(m), m = 1 - b²/a²: complete elliptic integral of the second kind,
/// Abramowitz & Stegun, Handbook of Mathematical Functions, 17.3.3; perimeters worked out from it to
/// 30 digits.
#[test]
fn girths_of_elliptic_cylinders() {
    for (a, b, perimeter) in [
        (100.0, 100.0, 628.318530718),
        (150.0, 100.0, 793.271979465),
        (200.0, 100.0, 968.844822055),
        (140.0, 110.0, 788.228150689),
        (170.0, 113.5, 899.507386403),
        (300.0, 100.0, 1336.48932206),
    ] {
        let mesh = loft((0.0, 60.0), &move |t, _| ellipse(a, b, t), &[25.0]).mesh();
        let round = layfigure::tape::rounds(&mesh, &[25.0, 31.7])[0]
            .clone()
            .unwrap();
        assert!(
            round.girth < perimeter && perimeter - round.girth < 0.05,
            "{a} {b}: {round:?}"
        );
        approx::assert_relative_eq!(round.breadth, 2.0 * a, max_relative = 1e-12);
        approx::assert_relative_eq!(round.depth, 2.0 * b, max_relative = 1e-12);
    }
}
