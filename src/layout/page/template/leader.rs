//! Leaders: thin strokes from words to what they name, where there is no room for them beside it.

use crate::drawing::Pen;
use crate::error::Error;
use crate::face;
use crate::geom::Point2;
use crate::geom::Vector2;
use crate::geom::outline::nearest_on_segment;
use crate::geom::outline::share_in_rectangle;
use crate::layout::draw_piece::SMALLEST_LETTER;
use crate::layout::page::template::Template;
use crate::layout::page::template::canvas::Canvas;
use crate::layout::page::template::number::contains;

/// Lengths and turns of leaders that are tried, and their room to holes and words, mm.
const LEADERS: i32 = 45;
const TURNS: i32 = 48;
const LED: f64 = 0.6;
/// Room round words at a leader, mm.
const ROOM: f64 = 0.8;

/// Where a leader begins: so far from a point, in any direction.
#[derive(Clone, Copy)]
pub(super) struct LeaderOrigin {
    pub(super) at: Point2,
    pub(super) radius: f64,
}

/// Writes words in the smallest letters where they `may` stand and there is room for them and for a leader to them,
/// which runs through no other hole and no words. Gives their middle and half their size.
pub(super) fn led(
    from: LeaderOrigin,
    words: &str,
    template: &Template,
    may: impl Fn(Point2, Vector2) -> bool,
    canvas: &mut Canvas,
) -> Result<Option<(Point2, Vector2)>, Error> {
    let LeaderOrigin { at, radius } = from;
    let half = Vector2::new(face::text_width(words, SMALLEST_LETTER)?, SMALLEST_LETTER) / 2.0;
    // Level words first, then upright ones.
    let tries = (0..LEADERS).flat_map(|out| [false, true].map(|upright| (out, upright)));
    for (out, upright) in tries {
        let half = if upright {
            Vector2::new(half.y, half.x)
        } else {
            half
        };
        let room = half + Vector2::repeat(ROOM);
        for turn in 0..TURNS {
            let angle = f64::from(turn) * std::f64::consts::TAU / f64::from(TURNS);
            let (sin, cos) = libm::sincos(angle);
            let way = Vector2::new(cos, sin);
            let place = at + way * (radius + 4.0 + 2.0 * f64::from(out));
            // Where the leader meets the box of the words.
            let off = half + Vector2::repeat(LED);
            let beside = (off.x / cos.abs().max(1e-9)).min(off.y / sin.abs().max(1e-9));
            let ends = [at + way * radius, place - way * beside];
            if may(place, half)
                && canvas.free.is_free(place - room, place + room)
                && is_clear(at, ends, template, canvas)
            {
                let along = if upright {
                    std::f64::consts::FRAC_PI_2
                } else {
                    0.0
                };
                canvas.write(place, along, SMALLEST_LETTER, words)?;
                canvas.stroke(Pen::Fine, &ends);
                return Ok(Some((place, half)));
            }
        }
    }
    Ok(None)
}

/// Whether a leader from a point runs through no hole but one round that point, and no words.
pub(super) fn is_clear(
    at: Point2,
    [from, to]: [Point2; 2],
    template: &Template,
    canvas: &Canvas,
) -> bool {
    template.holes.iter().all(|other| {
        let near = nearest_on_segment(other.at(), from, to);
        let own = (other.at() - at).norm() < LED;
        own || (near - other.at()).norm() > other.hole.diameter / 2.0 + LED
    }) && canvas
        .boxes
        .iter()
        .all(|corners| contains(corners, at) || !meets(corners, from, to))
}

/// Whether a stroke meets a box, whose corners run counter-clockwise.
fn meets(corners: &[Point2; 4], from: Point2, to: Point2) -> bool {
    // In the axes of the box.
    let [a, b, _, d] = *corners;
    let (along, up) = (b - a, d - a);
    let own = |p: Point2| Point2::new((p - a).dot(&along), (p - a).dot(&up));
    let high = Point2::new(along.norm_squared(), up.norm_squared());
    share_in_rectangle(own(from), own(to), Point2::origin(), high).is_some()
}
