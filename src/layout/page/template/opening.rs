//! The openings of a template, which is then for one layer alone: their lines, and what falls out.

use crate::drawing::Pen;
use crate::error::Error;
use crate::geom::Outline;
use crate::geom::Point2;
use crate::layout::page::template::Template;
use crate::layout::page::template::canvas::Canvas;
use crate::layout::page::template::canvas::Wanted;

/// Heights of the letters, the best first, mm.
const LETTERS: [f64; 3] = [4.0, 3.0, 2.2];

/// Draws the lines of the openings.
pub(super) fn draw(template: &Template, canvas: &mut Canvas) {
    for path in template.lines.iter().flat_map(|l| &l.cut_out) {
        canvas.stroke(Pen::Cut, path);
    }
}

/// Says in every opening that it is one, where there is room.
pub(super) fn words(template: &Template, canvas: &mut Canvas) -> Result<(), Error> {
    for line in &template.lines {
        for opening in &line.openings {
            let near = middle(opening, line.half);
            let may = |p: Point2| opening.contains(p) && (!line.half || p.x > 0.0);
            for (size, upright) in LETTERS.iter().flat_map(|&s| [(s, false), (s, true)]) {
                let wanted = Wanted {
                    text: "cut out",
                    size,
                    near,
                    upright,
                };
                if canvas.place(&wanted, may)?.is_some() {
                    break;
                }
            }
        }
    }
    Ok(())
}

/// The middle of what is seen of an opening.
fn middle(opening: &Outline, half: bool) -> Point2 {
    let middle = opening.centroid();
    if half {
        let far = opening.points.iter().map(|p| p.x).fold(0.0, f64::max);
        Point2::new(far / 2.0, middle.y)
    } else {
        middle
    }
}
