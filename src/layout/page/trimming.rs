//! A small picture of how a template of several lines is used: with all of them, trimmed to the second, and to the
//! last.

use crate::geom::Point2;

/// Breadth and height of the picture, mm.
pub(super) const PICTURE: (f64, f64) = (34.0, 8.0);

/// Breadth and height of one paper in it, mm, and how much smaller the next line is all round.
const PAPER: (f64, f64) = (8.0, 8.0);
const STRIP: f64 = 1.2;
/// Corners of a round line.
const CORNERS: i32 = 24;

/// Its strokes, from the lower left corner: three papers, round or by half, with arrows between them.
pub(super) fn trimming(half: bool) -> Vec<Vec<Point2>> {
    let mut strokes = Vec::new();
    let step = (PICTURE.0 - PAPER.0) / 2.0;
    for (k, left) in [0.0, step, 2.0 * step].into_iter().enumerate() {
        for line in k..3 {
            strokes.push(round(left, line as f64 * STRIP, half));
        }
        if k < 2 {
            let middle = PAPER.1 / 2.0;
            let from = left + PAPER.0 + 1.2;
            let to = left + step - 1.2;
            strokes.push(vec![Point2::new(from, middle), Point2::new(to, middle)]);
            let barb = |up: f64| Point2::new(to - 0.8, middle + up);
            strokes.push(vec![barb(0.6), Point2::new(to, middle), barb(-0.6)]);
        }
    }
    strokes
}

/// A line so far inside the edge of a paper, round or by half.
fn round(left: f64, inside: f64, half: bool) -> Vec<Point2> {
    let (a, b) = if half {
        (PAPER.0 * 0.75 - inside, PAPER.1 / 2.0 - inside)
    } else {
        (PAPER.0 / 2.0 - inside, PAPER.1 / 2.0 - inside)
    };
    let centre = if half {
        left + PAPER.0 * 0.2
    } else {
        left + PAPER.0 / 2.0
    };
    let (from, turn) = if half { (-0.25, 0.5) } else { (0.0, 1.0) };
    let mut path: Vec<Point2> = (0..=CORNERS)
        .map(|k| {
            let share = from + turn * f64::from(k) / f64::from(CORNERS);
            let (sin, cos) = libm::sincos(share * std::f64::consts::TAU);
            Point2::new(
                centre + a * cos.max(if half { 0.0 } else { -1.0 }),
                PAPER.1 / 2.0 + b * sin,
            )
        })
        .collect();
    path.extend(path.first().copied());
    path
}
