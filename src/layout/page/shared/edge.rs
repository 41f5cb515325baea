//! Marks at the edges of the lines of a template: ticks of the centre and side lines, and the slanting
//! edge mark with the number of its layer.

use crate::drawing::Pen;
use crate::error::Error;
use crate::face;
use crate::geom::Point2;
use crate::geom::Vector2;
use crate::geom::outline::share_in_rectangle;
use crate::layout::bounds;
use crate::layout::letters::SMALLEST_LETTER;
use crate::layout::page::shared::canvas::Canvas;
use crate::layout::page::shared::hole::over;
use crate::stack::Mark;
use crate::stack::Piece;
use crate::tolerance::FOLD_TOLERANCE_MM;

/// A mark that begins this near to the outline is a mark of the edge, mm.
const AT_EDGE: f64 = 0.05;
/// Nearest that the number of an edge mark stands to its strokes, mm: the room of a stroke and a cell.
const NEAREST: f64 = 1.9;
/// How much further off it is looked for, mm, before a leader points to it. Our choice.
const FURTHER: [f64; 6] = [0.0, 1.0, 2.0, 3.5, 5.0, 7.0];
/// Lengths of leaders, to the middle of the number, mm, and how they turn from the way of the stem, in
/// radians: the short and straight ones first.
const LEADERS: [f64; 14] = [
    8.0, 10.0, 12.0, 15.0, 18.0, 22.0, 26.0, 30.0, 35.0, 40.0, 46.0, 53.0, 61.0, 70.0,
];
const TURNS: [f64; 15] = [
    0.0, 0.35, -0.35, 0.7, -0.7, 1.0, -1.0, 1.4, -1.4, 1.9, -1.9, 2.5, -2.5, 0.17, -0.17,
];

/// The number of a layer, to stand beside its edge mark.
pub(super) struct Label {
    /// PageFoot of the mark at the edge, its end inside, and the ends of its crossbar there.
    foot: Point2,
    end: Point2,
    bar: [Point2; 2],
    words: String,
}

impl Label {
    /// The box of the strokes of the mark.
    pub(super) fn reach(&self) -> (Point2, Point2) {
        let [c, d] = self.bar;
        bounds(&[self.foot, self.end, c, d]).unwrap_or((self.foot, self.end))
    }

    /// Writes the number where there is room: beyond the bar, beside its ends, beside the stem, at its foot. On a
    /// template that layers share (`shared`) a leader points to it where it stands further off: without
    /// it nobody knows whose mark it is. Leaders keep off the boxes of `words`, which grow.
    pub(super) fn draw(
        &self,
        shared: bool,
        words: &mut Vec<(Point2, Point2)>,
        canvas: &mut Canvas,
    ) -> Result<(), Error> {
        let width = face::text_width(&self.words, SMALLEST_LETTER)?;
        let room = Vector2::new(width / 2.0 + 0.5, SMALLEST_LETTER * 0.7);
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
                (self.foot, -inward),
            ] {
                let half = way.x.abs() * room.x + way.y.abs() * room.y;
                let at = from + way * (half + NEAREST + further);
                if canvas.free.is_free(at - room, at + room) {
                    canvas.free.take(at - room, at + room);
                    words.push((at - room, at + room));
                    canvas.write_loose(at, SMALLEST_LETTER, &self.words);
                    return Ok(());
                }
            }
        }
        if !shared {
            return Ok(());
        }
        let turn = libm::atan2(inward.y, inward.x);
        let places = || LEADERS.iter().flat_map(|out| TURNS.map(|by| (*out, by)));
        // A leader through other words reads badly, a mark without its number not at all.
        let tried = places()
            .map(|p| (p, false))
            .chain(places().map(|p| (p, true)));
        for ((out, by), crossing) in tried {
            let way = Vector2::new(libm::cos(turn + by), libm::sin(turn + by));
            let at = self.end + way * out;
            let near = Point2::new(
                self.end.x.clamp(at.x - room.x, at.x + room.x),
                self.end.y.clamp(at.y - room.y, at.y + room.y),
            );
            let through = |(low, high): &(Point2, Point2)| {
                share_in_rectangle(self.end, near, *low, *high).is_some()
            };
            if canvas.free.is_free(at - room, at + room) && (crossing || !words.iter().any(through))
            {
                canvas.free.take(at - room, at + room);
                words.push((at - room, at + room));
                canvas.stroke(Pen::Mark, [self.end, near]);
                canvas.write_loose(at, SMALLEST_LETTER, &self.words);
                return Ok(());
            }
        }
        Ok(())
    }
}

/// Draws the marks at the edge of a piece; of a plate (`inner`) all other lines too. The numbers of
/// its edge marks are given back, to be written where no line is.
pub(super) fn edge_marks(
    piece: &Piece,
    number: &str,
    (half, inner): (bool, bool),
    canvas: &mut Canvas,
) -> Vec<Label> {
    let mut labels = Vec::new();
    let lines: Vec<(Point2, Point2)> = piece
        .marks
        .iter()
        .filter_map(|m| match m {
            Mark::Line(points) if points.len() == 2 => Some((points[0], points[1])),
            _ => None,
        })
        .collect();
    for (k, &(a, b)) in lines.iter().enumerate() {
        if piece.outline.distance(a) > AT_EDGE || piece.outline.distance(b) <= AT_EDGE {
            if inner {
                // What a half does not show it shows on its other side.
                let right = |p: Point2| Point2::new(if half { p.x.max(0.0) } else { p.x }, p.y);
                let ends = [right(a), right(b)];
                if (ends[1] - ends[0]).norm() > AT_EDGE {
                    canvas.stroke(Pen::Mark, ends);
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
        let pen = if left { Pen::Dashed } else { Pen::Mark };
        canvas.stroke(pen, [put(a), put(b)]);
        if let Some(&(c, d)) = bar {
            canvas.stroke(pen, [put(c), put(d)]);
            labels.push(Label {
                foot: put(a),
                end: put(b),
                bar: [put(c), put(d)],
                words: if left {
                    format!("{number} LEFT")
                } else {
                    number.to_owned()
                },
            });
        }
    }
    labels
}
