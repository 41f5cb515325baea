//! The number of a line, written along it on its inner side where it is far from all other lines.

use crate::error::Error;
use crate::face;
use crate::geom::Point2;
use crate::geom::Vector2;
use crate::geom::outline::share_in_rectangle;
use crate::layout::page::template::Template;
use crate::layout::page::template::canvas::Canvas;
use crate::layout::page::template::laid::Laid;

/// Heights of the numbers, the best first, mm.
const SIZES: [f64; 3] = [3.5, 2.8, 2.2];
/// From one place to the next at which a number may stand, mm.
const STEP: f64 = 2.0;
/// A number stands this far inside its line, mm.
pub(super) const BESIDE: f64 = 1.2;
/// Twice as far it keeps off every other line, and this far off strokes, words and joins, mm.
const CLEAR: f64 = 0.6;
/// More room than this between a number and other lines makes it no clearer, mm. Our choice.
const ENOUGH: f64 = 8.0;

/// A place for a number: its middle, its turn and the room to other lines.
struct Place {
    at: Point2,
    turn: f64,
    room: f64,
}

/// Writes the number of every line once on each page of the template, where there is room.
pub(super) fn numbers(template: &Template, laid: &Laid, canvas: &mut Canvas) -> Result<(), Error> {
    if template.count() == 1 && laid.count() == 1 {
        return Ok(());
    }
    for n in 0..template.count() {
        // A plate is called by its name in its middle.
        if template.lines[n].id.of_layer().is_none() {
            continue;
        }
        let places = along(template, n);
        for page in 0..laid.count() {
            for size in SIZES {
                let half = Vector2::new(
                    face::text_width(&template.lines[n].called, size)? / 2.0,
                    size / 2.0,
                );
                let mut best: Option<Place> = None;
                for &(on_line, turn, inward) in &places {
                    let at = on_line + inward * (BESIDE + half.y);
                    if laid.page_of(at) != Some(page) {
                        continue;
                    }
                    let most = best.as_ref().map_or(2.0 * BESIDE, |b| b.room + CLEAR);
                    let Some(room) = room(template, n, (at, turn, half), laid, canvas) else {
                        continue;
                    };
                    if room >= most {
                        best = Some(Place { at, turn, room });
                    }
                }
                if let Some(Place { at, turn, .. }) = best {
                    canvas.write(at, turn, size, &template.lines[n].called)?;
                    break;
                }
            }
        }
    }
    Ok(())
}

/// Places along a line: the point on it, the turn at which words run along it and can be read, and the way
/// inwards.
pub(super) fn along(template: &Template, n: usize) -> Vec<(Point2, f64, Vector2)> {
    let mut out = Vec::new();
    let mut next = STEP;
    let mut walked = 0.0;
    for pair in template.lines[n].stroke().windows(2) {
        let d = pair[1] - pair[0];
        let long = d.norm();
        while next <= walked + long {
            let way = d / long;
            // Lines run counter-clockwise, so what is inside is on the left.
            let inward = Vector2::new(-way.y, way.x);
            let turn = libm::atan2(way.y, way.x);
            let upside_down = turn.abs() > std::f64::consts::FRAC_PI_2 + 1e-9;
            let turn = if upside_down {
                turn - turn.signum() * std::f64::consts::PI
            } else {
                turn
            };
            out.push((pair[0] + d * ((next - walked) / long), turn, inward));
            next += STEP;
        }
        walked += long;
    }
    out
}

/// How far words at a place are from other lines; nothing where they would meet something.
pub(super) fn room(
    template: &Template,
    n: usize,
    (at, turn, half): (Point2, f64, Vector2),
    laid: &Laid,
    canvas: &Canvas,
) -> Option<f64> {
    let (sin, cos) = libm::sincos(-turn);
    let reach = half.norm() + ENOUGH;
    // In the axes of the words.
    let to = |p: Point2| {
        let d = p - at;
        Point2::new(d.x * cos - d.y * sin, d.x * sin + d.y * cos)
    };
    let far = |a: Point2, b: Point2| {
        at.x < a.x.min(b.x) - reach
            || at.x > a.x.max(b.x) + reach
            || at.y < a.y.min(b.y) - reach
            || at.y > a.y.max(b.y) + reach
    };
    let meets = |a: Point2, b: Point2, room: f64| {
        let room = half + Vector2::repeat(room);
        let (low, high) = (Point2::from(-room), Point2::from(room));
        !far(a, b) && share_in_rectangle(to(a), to(b), low, high).is_some()
    };
    let closed = |corners: &[Point2; 4]| {
        let c = *corners;
        [(c[0], c[1]), (c[1], c[2]), (c[2], c[3]), (c[3], c[0])]
    };
    let crosses = |sides: &[[Point2; 2]]| sides.iter().any(|s| meets(s[0], s[1], CLEAR));
    let boxes = canvas.boxes.iter().chain(&laid.boxes).any(|corners| {
        let on = closed(corners).iter().any(|(a, b)| meets(*a, *b, CLEAR));
        on || corners.iter().any(|c| {
            let c = to(*c);
            c.x.abs() <= half.x && c.y.abs() <= half.y
        }) || contains(corners, at)
    });
    let own = template.lines[n].stroke();
    let touched = own.windows(2).any(|s| meets(s[0], s[1], BESIDE * 0.75));
    if boxes || crosses(&canvas.strokes) || crosses(&laid.lines) || touched {
        return None;
    }
    let mut least = ENOUGH;
    for (k, line) in template.lines.iter().enumerate() {
        if k == n {
            continue;
        }
        for s in line.stroke().windows(2).filter(|s| !far(s[0], s[1])) {
            // The smallest room, in tenths of a millimetre, at which the line is met.
            while least > 0.0 && meets(s[0], s[1], least) {
                least -= 0.1;
            }
        }
    }
    (least > 0.0).then_some(least)
}

/// Whether a point lies in a box, whose corners run counter-clockwise.
pub(super) fn contains(corners: &[Point2; 4], p: Point2) -> bool {
    (0..4).all(|k| {
        let (a, b) = (corners[k], corners[(k + 1) % 4]);
        (b - a).perp(&(p - a)) >= 0.0
    })
}
