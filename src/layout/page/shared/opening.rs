//! The openings of a template: their lines, and for which layers they are to be cut.

use crate::drawing::Item;
use crate::drawing::Pen;
use crate::error::Error;
use crate::geom::Point2;
use crate::layout::letters::SMALLEST_LETTER;
use crate::layout::page::shared::canvas::Canvas;
use crate::layout::page::shared::canvas::PENS;
use crate::layout::page::shared::gap::interrupted;
use crate::layout::page::shared::gap::one_side;
use crate::layout::page::shared::line::TracedLine;

/// A shorter stretch of an opening goes without words, mm: it joins others that have them.
const WORTH_WORDS: f64 = 40.0;

/// What stands in an opening that other lines of the template do not have.
fn only(number: &str) -> String {
    format!("opening: only {number}")
}

/// Draws the openings of the lines, each with what it is called, and says in words which layer each
/// is of where others share the template: nobody must cut it through a layer that has none. Words
/// stand in a gap of the line, or else beside it; gives those lines for which there was no room.
///
/// The lines are `called` so; `drawn` are all lines of the template; words keep off the boxes in `labelled`, which grow.
pub(super) fn draw(
    group: &[TracedLine],
    called: &[String],
    (drawn, labelled): (&[Vec<Point2>], &mut Vec<(Point2, Point2)>),
    canvas: &mut Canvas,
) -> Result<Vec<usize>, Error> {
    for line in group {
        line.closed_openings()
            .iter()
            .for_each(|ring| canvas.free.take_line(ring));
        line.sides
            .all()
            .for_each(|path| canvas.free.take_line(path));
    }
    let mut unsaid = Vec::new();
    for (n, (line, number)) in group.iter().zip(called).enumerate() {
        let pen = PENS[n % PENS.len()];
        let shared = group.len() > 1;
        // Each path, as it is compared with others, its pen and its words.
        let mut paths: Vec<(Vec<Point2>, &[Point2], Pen, String)> = Vec::new();
        for (ring, coarse) in line.closed_openings().into_iter().zip(&line.coarse[1..]) {
            paths.push((ring, coarse, pen, only(number)));
        }
        for path in &line.sides.both {
            paths.push((path.clone(), path, pen, only(number)));
        }
        for (alone, pen, side) in [
            (&line.sides.right, pen, "RIGHT"),
            (&line.sides.left, Pen::Dashed, "LEFT"),
        ] {
            for path in alone {
                let said = if shared {
                    format!("{number} {side}")
                } else {
                    side.to_owned()
                };
                paths.push((path.clone(), path, pen, said));
            }
        }
        for (k, (path, coarse, pen, said)) in paths.into_iter().enumerate() {
            let whole = k < line.openings.len() + line.sides.both.len();
            let gap = if whole && !shared {
                None
            } else {
                one_side(coarse, &said, drawn, labelled)?
            };
            for part in interrupted(&path, gap.as_slice()) {
                canvas.items.push(Item::path(pen, part, false));
            }
            if let Some(gap) = gap {
                labelled.push(gap);
                canvas.write_in(gap, SMALLEST_LETTER, &said);
            } else if whole && shared && length(&path) >= WORTH_WORDS {
                let wanted = path[path.len() / 2];
                if !canvas.place(&said, SMALLEST_LETTER, wanted)? {
                    unsaid.push(n);
                }
            }
        }
    }
    Ok(unsaid)
}

fn length(path: &[Point2]) -> f64 {
    path.windows(2).map(|s| (s[1] - s[0]).norm()).sum()
}
