//! The openings of a template, which is then for one layer alone: their lines, and of a half which side has them.

use crate::drawing::Pen;
use crate::error::Error;
use crate::geom::Point2;
use crate::layout::draw_piece::SMALLEST_LETTER;
use crate::layout::page::template::Template;
use crate::layout::page::template::canvas::Canvas;
use crate::layout::page::template::canvas::Wanted;

/// A shorter stretch of an opening goes without words, mm: it joins others that have them.
const WORTH_WORDS: f64 = 8.0;
/// Words stand within this of the stretch that they are about, mm. Our choice.
const BESIDE: f64 = 12.0;

/// Draws the openings of the lines: what both halves have once, what the left half has alone in dashes.
pub(super) fn draw(template: &Template, canvas: &mut Canvas) {
    for line in &template.lines {
        if !line.half {
            for opening in &line.openings {
                let closed: Vec<Point2> = opening
                    .points
                    .iter()
                    .chain(opening.points.first())
                    .copied()
                    .collect();
                canvas.stroke(Pen::Cut, &closed);
            }
        }
        let sides = &line.sides;
        for path in sides.both.iter().chain(&sides.right) {
            canvas.stroke(Pen::Cut, path);
        }
        for path in &sides.left {
            canvas.stroke(Pen::Dashed, path);
        }
    }
}

/// Says beside what one half has alone which half that is.
pub(super) fn sides(template: &Template, canvas: &mut Canvas) -> Result<(), Error> {
    for line in &template.lines {
        for (paths, text) in [(&line.sides.right, "RIGHT"), (&line.sides.left, "LEFT")] {
            for path in paths {
                let long: f64 = path.windows(2).map(|s| (s[1] - s[0]).norm()).sum();
                if long < WORTH_WORDS {
                    continue;
                }
                let wanted = |upright| Wanted {
                    text,
                    size: SMALLEST_LETTER,
                    near: path[path.len() / 2],
                    upright,
                };
                for upright in [false, true] {
                    let wanted = wanted(upright);
                    if let Some((at, far)) = canvas.room(&wanted, |_| true)?
                        && far <= BESIDE
                    {
                        canvas.put(&wanted, at)?;
                        break;
                    }
                }
            }
        }
    }
    Ok(())
}
