//! The holes of a template: each once, with the dowel that goes through it and the lines that have it.

use crate::drawing::Item;
use crate::drawing::Pen;
use crate::geom::Point2;
use crate::geom::Vector2;
use crate::layout::page::listed::Listed;
use crate::layout::page::shared::canvas::Canvas;
use crate::layout::page::shared::line::TracedLine;
use crate::stack::Hole;
use crate::stack::Through;
use crate::tolerance::FOLD_TOLERANCE_MM;

/// How far the strokes of a cross stand over its hole, mm.
pub(super) const OVER: f64 = 3.0;
/// The letters of a hole stand this far from the end of its cross, mm. Our choice: as near as they
/// can be read.
const NAME: f64 = 1.5;
/// How far out of the middle of a hole the room for its letters is looked for, as a share of where they
/// would stand with all the room they like: further out, and they wander off on a crowded template.
const BIAS: f64 = 0.6;
/// Holes this near to one another are one, mm.
const SAME: f64 = 0.05;

/// A hole of some of the lines.
pub(super) struct SharedHole {
    pub(super) at: Point2,
    pub(super) diameter: f64,
    /// Which lines of the template have it.
    of: Vec<usize>,
    pub(super) words: String,
    /// Which layers it is for, if not for all, for a place with little room.
    pub(super) only: String,
    /// Letters of the dowels through it, to stand beside it; none for the pole.
    pub(super) name: String,
    /// Whether it is on the left of a template that shows the right half: then it is drawn where it
    /// will be when the template is turned over.
    left: bool,
    /// Whether it belongs to the right half alone and is not on the fold.
    right: bool,
}

impl SharedHole {
    /// The box of its cross.
    pub(super) fn reach(&self) -> (Point2, Point2) {
        let reach = Vector2::repeat(self.diameter / 2.0 + OVER);
        (self.at - reach, self.at + reach)
    }
}

/// A point of the left half where it comes when the template is turned over.
pub(super) fn over(p: Point2) -> Point2 {
    Point2::new(-p.x, p.y)
}

/// The different holes of the lines, which are `called` so.
pub(super) fn holes(
    group: &[TracedLine],
    listed: &[Listed<'_>],
    called: &[String],
    half: bool,
) -> Vec<SharedHole> {
    let mut found: Vec<SharedHole> = Vec::new();
    for (n, line) in group.iter().enumerate() {
        for hole in &listed[line.of].piece.holes {
            let Hole::Round {
                through,
                at,
                diameter,
            } = hole
            else {
                continue;
            };
            let (at, diameter) = (*at, *diameter);
            let same = found.iter_mut().find(|h| {
                let there = if h.left { over(h.at) } else { h.at };
                (there - at).norm() < SAME && (h.diameter - diameter).abs() < SAME
            });
            if let Some(hole) = same {
                hole.of.push(n);
                continue;
            }
            let name = match through {
                Some(Through::Dowel(letter)) => letter.clone(),
                Some(Through::Pole) | None => String::new(),
            };
            let left = half && at.x < -FOLD_TOLERANCE_MM;
            found.push(SharedHole {
                at: if left { over(at) } else { at },
                diameter,
                of: vec![n],
                only: String::new(),
                words: name.clone(),
                name,
                left,
                right: half && at.x > FOLD_TOLERANCE_MM,
            });
        }
    }
    // Two that lie on one another when the template is turned over are one.
    let mut out: Vec<SharedHole> = Vec::new();
    for hole in found {
        let twin = out.iter_mut().find(|h| {
            h.left != hole.left
                && h.of == hole.of
                && (h.at - hole.at).norm() <= FOLD_TOLERANCE_MM
                && (h.diameter - hole.diameter).abs() < SAME
        });
        match twin {
            Some(twin) => {
                (twin.left, twin.right) = (false, false);
                twin.words = format!("{} and {}, both sides", twin.words, hole.words);
                twin.name = format!("{} {}", twin.name, hole.name);
            }
            None => out.push(hole),
        }
    }
    let count = group.len();
    for hole in &mut out {
        let mut words = format!("dia. {:.1}", hole.diameter);
        if !hole.words.is_empty() {
            words = format!("{} {words}", hole.words);
        }
        if hole.left {
            words.push_str(" LEFT");
        } else if hole.right {
            words.push_str(" RIGHT");
        }
        if hole.of.len() < count {
            let numbers: Vec<&str> = hole.of.iter().map(|&n| called[n].as_str()).collect();
            hole.only = format!("{} only", numbers.join(", "));
            words.push_str(&format!(" ({})", hole.only));
        }
        hole.words = words;
    }
    out
}

/// Where the letters of a hole are wanted: just beside its cross, away from the hole next to it.
pub(super) fn beside(hole: &SharedHole, all: &[SharedHole]) -> Point2 {
    let next = all
        .iter()
        .map(|h| hole.at - h.at)
        .filter(|d| d.norm() > SAME)
        .min_by(|a, b| a.norm().total_cmp(&b.norm()));
    let away = next.map_or(Vector2::new(1.0, 1.0), |d| d).normalize();
    hole.at + away * BIAS * (hole.diameter / 2.0 + OVER + NAME)
}

/// The circle and the cross of a hole; one of the left half is dashed, and its cross lies on its
/// side. On a `half` template the cross ends at the fold: beyond it are the frame and other templates.
pub(super) fn draw(hole: &SharedHole, half: bool, canvas: &mut Canvas) {
    let (c, r) = (hole.at, hole.diameter / 2.0);
    let arm = r + OVER;
    let pen = if hole.left { Pen::Dashed } else { Pen::Mark };
    if c.x.abs() <= FOLD_TOLERANCE_MM {
        // Across the fold the half of it is drawn that the template has.
        let points = (0..=36)
            .map(|k| {
                let (sin, cos) = libm::sincos((f64::from(k) / 36.0 - 0.5) * std::f64::consts::PI);
                c + Vector2::new(cos, sin) * r
            })
            .collect::<Vec<_>>();
        canvas.items.push(Item::path(pen, points, false));
        for (from, to) in [((0.0, -arm), (0.0, arm)), ((0.0, 0.0), (arm, 0.0))] {
            let ends = [from, to].map(|(x, y)| c + Vector2::new(x, y));
            canvas.items.push(Item::path(Pen::Mark, ends, false));
        }
    } else {
        canvas.items.push(Item::Circle {
            pen,
            centre: c,
            radius: r,
        });
        let slant = if hole.left {
            std::f64::consts::FRAC_1_SQRT_2
        } else {
            0.0
        };
        let straight = if hole.left { slant } else { 1.0 };
        for d in [
            Vector2::new(straight, slant),
            Vector2::new(-slant, straight),
        ] {
            let ends = [-d, d].map(|d| {
                let reach = if half && d.x < 0.0 {
                    arm.min(-c.x / d.x)
                } else {
                    arm
                };
                c + d * reach
            });
            canvas.items.push(Item::path(Pen::Mark, ends, false));
        }
    }
    let reach = Vector2::new(arm, arm) + Vector2::new(0.5, 0.5);
    canvas.free.take(c - reach, c + reach);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Outline;

    /// Ends of the strokes of a hole's cross.
    fn cross(x: f64, left: bool, half: bool) -> Vec<Point2> {
        let hole = SharedHole {
            at: Point2::new(x, 5.0),
            diameter: 3.3,
            of: vec![0],
            words: String::new(),
            only: String::new(),
            name: String::new(),
            left,
            right: false,
        };
        let corners = [(0.0, 0.0), (40.0, 0.0), (40.0, 30.0), (0.0, 30.0)];
        let outline = Outline::new(corners.map(|(x, y)| Point2::new(x, y)).to_vec());
        let mut canvas = Canvas::new(&outline);
        draw(&hole, half, &mut canvas);
        canvas
            .items
            .into_iter()
            .filter_map(|i| match i {
                Item::Path { points, .. } => Some(points),
                _ => None,
            })
            .flatten()
            .collect()
    }

    #[test]
    fn a_cross_ends_at_the_fold() {
        for left in [false, true] {
            let ends = cross(2.0, left, true);
            assert_eq!(ends.len(), 4);
            assert!(ends.iter().all(|p| p.x >= -1e-9), "{ends:?}");
            // The arms away from the fold are as long as ever.
            let far = ends.iter().filter(|p| {
                let arm = (*p - Point2::new(2.0, 5.0)).norm();
                (arm - (1.65 + OVER)).abs() < 1e-9
            });
            assert!(far.count() >= 2);
        }
        // A whole template has no fold.
        assert!(cross(2.0, false, false).iter().any(|p| p.x < -2.0));
    }
}
