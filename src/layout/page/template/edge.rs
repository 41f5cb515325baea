//! Marks at the edges of the lines of a template: ticks of the centre and side lines, and the slanting
//! edge mark with the number of its layer.
//!
//! Marks of a line end before the next line, so that they are trimmed away with their strip of paper and nobody
//! takes them for those of another layer.

use crate::drawing::Pen;
use crate::error::Error;
use crate::face;
use crate::geom::Point2;
use crate::geom::Vector2;
use crate::layout::draw_piece::SMALLEST_LETTER;
use crate::layout::page::template::Template;
use crate::layout::page::template::canvas::Canvas;
use crate::layout::page::template::hole::over;
use crate::layout::page::template::line::TracedLine;
use crate::stack::Mark;
use crate::tolerance::FOLD_TOLERANCE_MM;

/// A mark that begins this near to the outline is a mark of the edge, mm.
const AT_EDGE: f64 = 0.05;
/// Marks end so far before the next line, mm: two thick lines and the paper between them.
const BEFORE: f64 = 0.8;
/// Nearest that the number of an edge mark stands to its strokes, mm: the room of a stroke and a cell.
const NEAREST: f64 = 1.9;
/// How much further off it is looked for, mm. Our choice.
const FURTHER: [f64; 4] = [0.0, 1.0, 2.0, 3.5];

/// The number of a layer, to stand beside its edge mark where there is room: whose it is shows without it.
pub(super) struct Label {
    /// Where the mark begins at the edge, its end inside, and the ends of its crossbar there.
    foot: Point2,
    end: Point2,
    bar: [Point2; 2],
    words: String,
    /// Which line of the template it is of.
    of: usize,
}

impl Label {
    /// Writes it beyond the bar, beside its ends or beside the stem, on the strip of its own line.
    pub(super) fn draw(&self, template: &Template, canvas: &mut Canvas) -> Result<(), Error> {
        let width = face::text_width(&self.words, SMALLEST_LETTER)?;
        let room = Vector2::new(width / 2.0 + 0.5, SMALLEST_LETTER * 0.8);
        let inward = (self.end - self.foot).normalize();
        let [c, d] = self.bar;
        let along = (d - c).normalize();
        let stem = self.foot + (self.end - self.foot) / 2.0;
        for further in FURTHER {
            for (from, way) in [
                (self.end, inward),
                (d, along),
                (c, -along),
                (stem, along),
                (stem, -along),
            ] {
                let half = way.x.abs() * room.x + way.y.abs() * room.y;
                let at = from + way * (half + NEAREST + further);
                let next = template.lines.get(self.of + 1);
                let own = next.is_none_or(|next| !next.outline.contains(at));
                if own && canvas.free.is_free(at - room, at + room) {
                    return canvas.write(at, 0.0, SMALLEST_LETTER, &self.words);
                }
            }
        }
        Ok(())
    }
}

/// Draws the marks at the edge of a line, up to the next one; of a plate all other lines too. The numbers of its
/// edge marks are given back, to be written when all strokes are there.
pub(super) fn edge_marks(template: &Template, of: usize, canvas: &mut Canvas) -> Vec<Label> {
    let (line, next) = (&template.lines[of], template.lines.get(of + 1));
    let half = line.half;
    let plate = line.id.of_layer().is_none();
    let mut labels = Vec::new();
    let lines: Vec<(Point2, Point2)> = line
        .marks
        .iter()
        .filter_map(|m| match m {
            Mark::Line(points) if points.len() == 2 => Some((points[0], points[1])),
            _ => None,
        })
        .collect();
    for (k, &(a, b)) in lines.iter().enumerate() {
        if line.outline.distance(a) > AT_EDGE || line.outline.distance(b) <= AT_EDGE {
            if plate {
                // What a half does not show it shows on its other side.
                let right = |p: Point2| Point2::new(if half { p.x.max(0.0) } else { p.x }, p.y);
                let ends = [right(a), right(b)];
                if (ends[1] - ends[0]).norm() > AT_EDGE {
                    canvas.stroke(Pen::Mark, &ends);
                }
            }
            continue;
        }
        let bar = lines
            .get(k + 1)
            .filter(|(c, d)| (c + (d - c) / 2.0 - b).norm() < AT_EDGE);
        let left = half && a.x < -FOLD_TOLERANCE_MM;
        if half && bar.is_none() && a.x <= FOLD_TOLERANCE_MM {
            // The fold, and the twin of the tick on the right.
            continue;
        }
        let put = |p: Point2| if left { over(p) } else { p };
        let (foot, whole) = (put(a), put(b));
        let end = next.map_or(whole, |next| ended(foot, whole, next));
        let pen = if left { Pen::Dashed } else { Pen::Mark };
        canvas.stroke(pen, &[foot, end]);
        if let Some(&(c, d)) = bar {
            let bar = [c, d].map(|p| put(p) + (end - whole));
            canvas.stroke(pen, &bar);
            labels.push(Label {
                foot,
                end,
                bar,
                of,
                words: if left {
                    format!("{} LEFT", line.called)
                } else {
                    line.called.clone()
                },
            });
        }
    }
    labels
}

/// The end of a mark from `foot` to `end`, before the next line.
fn ended(foot: Point2, end: Point2, next: &TracedLine) -> Point2 {
    let (way, long) = ((end - foot).normalize(), (end - foot).norm());
    let room = next.outline.distance(end);
    if !next.outline.contains(end) && room >= BEFORE {
        return end;
    }
    // Where it meets the next line, if it does.
    let met = next
        .outline
        .sides()
        .filter_map(|(p, q)| {
            let side = q - p;
            let across = way.perp(&side);
            let (along, share) = (
                (p - foot).perp(&side) / across,
                (p - foot).perp(&way) / across,
            );
            (across.abs() > 0.0 && along > 0.0 && (0.0..=1.0).contains(&share)).then_some(along)
        })
        .fold(f64::INFINITY, f64::min);
    let most = if met.is_finite() { met } else { long + room };
    foot + way * (most - BEFORE).clamp(BEFORE / 2.0, long)
}
