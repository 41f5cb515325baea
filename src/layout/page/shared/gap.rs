//! Gaps in lines, for the words that say whose they are.

use crate::error::Error;
use crate::face;
use crate::geom::Outline;
use crate::geom::Point2;
use crate::geom::Vector2;
use crate::geom::outline::share_in_rectangle;
use crate::layout::letters::SMALLEST_LETTER;
use crate::layout::page::shared::line::TracedLine;
use crate::layout::page::shared::line::to_paths;
use crate::layout::page::shared::line::walked;
use crate::lettering::map::FreeRoom;

/// Height of the numbers in the lines, mm.
pub(super) const NUMBER: f64 = 3.0;
/// From one place to the next at which a number may interrupt its line, mm.
const STEP: f64 = 3.0;

/// A line that turns by more than this has a corner, radians (30 degrees). Our choice.
const SHARP: f64 = std::f64::consts::PI / 6.0;

/// Puts the number of a line into gaps of it, where no other line is near: in each third the place
/// with the most room, off `others`. Gives the gaps.
pub(super) fn numbers(
    group: &[TracedLine],
    n: usize,
    number: &str,
    (low, high): (Point2, Point2),
    others: &[Vec<(Point2, Point2)>],
    free: &FreeRoom,
) -> Result<Vec<(Point2, Point2)>, Error> {
    let line = &group[n];
    if line.half && group.len() == 1 {
        return Ok(Vec::new());
    }
    let room = Vector2::new(
        face::text_width(number, NUMBER)? / 2.0 + 0.8,
        NUMBER / 2.0 + 0.8,
    );
    let reach = room.norm() + 0.3;
    let length: f64 = line.path.windows(2).map(|s| (s[1] - s[0]).norm()).sum();
    let mut best: [Option<(f64, Point2)>; 3] = [None; 3];
    let mut walked = 0.0;
    let mut next = STEP;
    for pair in line.path.windows(2) {
        let d = pair[1] - pair[0];
        while next <= walked + d.norm() {
            let at = pair[0] + d * ((next - walked) / d.norm());
            let third = [1.0, 2.0, 3.0]
                .iter()
                .position(|k| next <= length * k / 3.0)
                .unwrap_or(2);
            next += STEP;
            let (a, b) = (at - room, at + room);
            let inside = a.x >= low.x && a.y >= low.y && b.x <= high.x && b.y <= high.y;
            let meets = others
                .iter()
                .flatten()
                .any(|(c, d)| a.x < d.x && c.x < b.x && a.y < d.y && c.y < b.y);
            if !inside || meets || (line.half && a.x < 6.0) {
                continue;
            }
            let clear = group
                .iter()
                .enumerate()
                .filter(|(k, _)| *k != n)
                .map(|(_, other)| to_paths(at, &other.coarse))
                .fold(20.0, f64::min);
            if clear < reach || best[third].is_some_and(|(most, _)| clear <= most) {
                continue;
            }
            // The outside of the template is not free, and half of the box may lie there.
            let inward = at + (Point2::new(0.0, (low.y + high.y) / 2.0) - at).normalize() * 6.0;
            let seen = Vector2::new(1.0, 1.0);
            if free.is_free(inward - seen, inward + seen) {
                best[third] = Some((clear, at));
            }
        }
        walked += d.norm();
    }
    // Two of the same line a little apart say no more than one.
    let mut gaps: Vec<(Point2, Point2)> = Vec::new();
    for (_, at) in best.into_iter().flatten() {
        let near = gaps
            .iter()
            .any(|(low, high)| (low + (high - low) / 2.0 - at).norm() < 4.0 * reach);
        if !near {
            gaps.push((at - room, at + room));
        }
    }
    Ok(gaps)
}

/// The gap, for words that say whose it is, in a line of an opening: where it is farthest from all
/// other lines and words; nothing where it is too short for any.
pub(super) fn one_side(
    path: &[Point2],
    said: &str,
    lines: &[Vec<Point2>],
    others: &[(Point2, Point2)],
) -> Result<Option<(Point2, Point2)>, Error> {
    let room = Vector2::new(
        face::text_width(said, SMALLEST_LETTER)? / 2.0 + 0.6,
        SMALLEST_LETTER / 2.0 + 0.6,
    );
    let length: f64 = path.windows(2).map(|s| (s[1] - s[0]).norm()).sum();
    if length < 3.0 * room.x {
        return Ok(None);
    }
    // A corner of an opening has to be seen.
    let corners: Vec<Point2> = path
        .windows(3)
        .filter(|p| (p[1] - p[0]).angle(&(p[2] - p[1])) > SHARP)
        .map(|p| p[1])
        .collect();
    let mut best: Option<(f64, Point2)> = None;
    for at in walked(path) {
        let (a, b) = (at - room, at + room);
        let cornered = corners
            .iter()
            .any(|c| a.x < c.x && c.x < b.x && a.y < c.y && c.y < b.y);
        if cornered {
            continue;
        }
        let meets = others
            .iter()
            .any(|(c, d)| a.x < d.x && c.x < b.x && a.y < d.y && c.y < b.y);
        let own = |line: &&Vec<Point2>| line.as_slice() != path;
        let crossed = lines
            .iter()
            .filter(own)
            .any(|l| Outline::new(l.clone()).meets(a, b));
        if meets || crossed || a.x < 0.5 {
            continue;
        }
        let clear = lines
            .iter()
            .filter(own)
            .map(|l| to_paths(at, std::slice::from_ref(l)))
            .fold(20.0, f64::min);
        if best.is_none_or(|(most, _)| clear > most) {
            best = Some((clear, at));
        }
    }
    Ok(best.map(|(_, at)| (at - room, at + room)))
}

/// The parts of a path that lie outside all of the rectangles.
pub(super) fn interrupted(path: &[Point2], gaps: &[(Point2, Point2)]) -> Vec<Vec<Point2>> {
    let mut parts: Vec<Vec<Point2>> = Vec::new();
    let mut open = false;
    for pair in path.windows(2) {
        let (a, d) = (pair[0], pair[1] - pair[0]);
        let mut inside: Vec<(f64, f64)> = gaps
            .iter()
            .filter_map(|(low, high)| share_in_rectangle(a, pair[1], *low, *high))
            .collect();
        inside.sort_by(|x, y| x.0.total_cmp(&y.0));
        let mut at = 0.0;
        for (from, to) in inside {
            if from > at {
                extend(&mut parts, &mut open, a + d * at, a + d * from);
            }
            open = false;
            at = to.max(at);
        }
        if at < 1.0 {
            extend(&mut parts, &mut open, a + d * at, pair[1]);
        }
    }
    parts
}

/// Goes on with the last part, or begins a new one.
fn extend(parts: &mut Vec<Vec<Point2>>, open: &mut bool, from: Point2, to: Point2) {
    match parts.last_mut() {
        Some(part) if *open => part.push(to),
        _ => parts.push(vec![from, to]),
    }
    *open = true;
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_interrupts_its_line() {
        let path = [
            Point2::new(0.0, 0.0),
            Point2::new(30.0, 0.0),
            Point2::new(30.0, 20.0),
        ];
        let gap = (Point2::new(10.0, -2.0), Point2::new(16.0, 2.0));
        let parts = interrupted(&path, &[gap]);
        assert_eq!(parts.len(), 2);
        assert_eq!(parts[0], vec![path[0], Point2::new(10.0, 0.0)]);
        assert_eq!(parts[1], vec![Point2::new(16.0, 0.0), path[1], path[2]]);
        assert_eq!(interrupted(&path, &[]), vec![path.to_vec()]);
    }
}
