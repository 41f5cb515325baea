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
use crate::geom::outline::nearest_on_segment;
use crate::layout::draw_piece::SMALLEST_LETTER;
use crate::layout::page::template::Template;
use crate::layout::page::template::canvas::Canvas;
use crate::layout::page::template::edge_line::AT_EDGE;
use crate::layout::page::template::edge_line::FOLD_ROOM;
use crate::layout::page::template::edge_line::edge_lines;
use crate::layout::page::template::edge_line::is_bar;
use crate::layout::page::template::hole::over;
use crate::layout::page::template::laid::Laid;
use crate::layout::page::template::leader::LeaderOrigin;
use crate::layout::page::template::leader::led;
use crate::layout::page::template::line::TracedLine;
use crate::layout::page::template::number;
use crate::tolerance::FOLD_TOLERANCE_MM;

/// Marks end so far before the next line, mm: two thick lines and the paper between them.
const BEFORE: f64 = 0.8;
/// Room between the words of an edge mark and its strokes, mm, and how much further off they are looked for. Our
/// choice.
const NEAREST: f64 = 0.9;
const FURTHER: [f64; 5] = [0.0, 1.0, 2.0, 3.0, 4.5];
/// Along its line they stand at most so far from the mark, mm; further off they have a leader. Our choice.
const ALONG: f64 = 16.0;
/// A leader begins so far from the mark, mm.
const LEADER: f64 = 0.8;
/// Ticks of centre and side lines of small templates are no longer than this, mm: the words need the room.
const SHORT_TICK: f64 = 3.0;
/// A tick that lies nearer to its outline than 35 degrees (its cosine) is drawn square to it, no longer than this,
/// mm: where it meets the outline is what counts. Our choice.
const ALONG_OUTLINE: f64 = 0.82;
const SQUARE_TICK: f64 = 6.0;

/// The number of a layer and its half, to stand beside its edge mark.
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
    /// Writes it beside the mark, on the strip of its own line, level, upright or along the line; where there is no
    /// room, further inside with a leader to the mark. Says whether it is missing.
    pub(super) fn draw(
        &self,
        template: &Template,
        laid: &Laid,
        canvas: &mut Canvas,
    ) -> Result<bool, Error> {
        let half = Vector2::new(
            face::text_width(&self.words, SMALLEST_LETTER)? / 2.0,
            SMALLEST_LETTER / 2.0,
        );
        let page = laid.page_of(self.foot);
        let middle = self.foot + (self.end - self.foot) / 2.0;
        let mut best: Option<(f64, Point2, f64)> = None;
        for (at, turn) in self
            .beside(half)
            .into_iter()
            .chain(self.along(template, half))
        {
            let far = (at - middle).norm();
            let next = template.lines.get(self.of + 1);
            let own = next.is_none_or(|next| !next.outline.contains(at));
            if best.is_none_or(|(least, _, _)| far < least)
                && own
                && template.lines[self.of].region().contains(at)
                && laid.page_of(at) == page
                && number::room(template, self.of, (at, turn, half), laid, canvas)
                    .is_some_and(|room| room >= NEAREST)
            {
                best = Some((far, at, turn));
            }
        }
        if let Some((_, at, turn)) = best {
            canvas.write(at, turn, SMALLEST_LETTER, &self.words)?;
            return Ok(false);
        }
        let inward = (self.end - self.foot).normalize();
        let from = LeaderOrigin {
            at: self.end,
            radius: LEADER,
        };
        let may = |p: Point2, half: Vector2| {
            (p - self.end).dot(&inward) > half.y && laid.page_of(p) == page
        };
        Ok(led(from, &self.words, template, may, canvas)?.is_none())
    }

    /// Places beyond the bar, beside its ends and beside the stem, level and upright.
    fn beside(&self, half: Vector2) -> Vec<(Point2, f64)> {
        let inward = (self.end - self.foot).normalize();
        let [c, d] = self.bar;
        let along = (d - c).normalize();
        let stem = self.foot + (self.end - self.foot) / 2.0;
        let mut out = Vec::new();
        for turn in [0.0, std::f64::consts::FRAC_PI_2] {
            let reach = if turn > 0.0 {
                Vector2::new(half.y, half.x)
            } else {
                half
            };
            for further in FURTHER {
                for (from, way) in [
                    (self.end, inward),
                    (d, along),
                    (c, -along),
                    (stem, along),
                    (stem, -along),
                ] {
                    let room = way.x.abs() * reach.x + way.y.abs() * reach.y;
                    out.push((from + way * (room + NEAREST + further), turn));
                }
            }
        }
        out
    }

    /// Places along the line, beside the mark.
    fn along(&self, template: &Template, half: Vector2) -> Vec<(Point2, f64)> {
        let places = number::along(template, self.of).into_iter();
        places
            .filter(|(on, _, _)| (on - self.foot).norm() <= ALONG)
            .map(|(on, turn, inward)| (on + inward * (number::BESIDE + half.y), turn))
            .collect()
    }
}

/// Draws the marks at the edge of a line, up to the next one; of a plate all other lines too. The numbers of its
/// edge marks are given back, to be written when all strokes are there.
pub(super) fn edge_marks(template: &Template, of: usize, canvas: &mut Canvas) -> Vec<Label> {
    let (line, next) = (&template.lines[of], template.lines.get(of + 1));
    let half = line.half;
    let plate = line.id.of_layer().is_none();
    let mut labels = Vec::new();
    let lines = edge_lines(&line.marks);
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
        let bar = lines.get(k + 1).filter(|bar| is_bar(b, **bar));
        let left = half && a.x < -FOLD_TOLERANCE_MM;
        if half && bar.is_none() && a.x <= FOLD_TOLERANCE_MM {
            // The fold, and the twin of the tick on the right.
            continue;
        }
        let put = |p: Point2| if left { over(p) } else { p };
        let (foot, whole) = (put(a), put(b));
        let mut end = next.map_or(whole, |next| ended(foot, whole, next));
        if bar.is_none() {
            end = tick(line, foot, end, template.is_small());
            end = next.map_or(end, |next| ended(foot, end, next));
        }
        let pen = if left { Pen::Dashed } else { Pen::Mark };
        canvas.stroke(pen, &[foot, end]);
        if let Some(&(c, d)) = bar {
            let mut bar = [c, d].map(|p| put(p) + (end - whole));
            // What is drawn over the fold is cut away.
            let least = bar[0].x.min(bar[1].x);
            if half && least < FOLD_ROOM {
                let share = (end.x - FOLD_ROOM) / (end.x - least);
                bar = bar.map(|p| end + (p - end) * share);
            }
            canvas.stroke(pen, &bar);
            labels.push(Label {
                foot,
                end,
                bar,
                of,
                words: match (half, left) {
                    (false, _) => line.called.clone(),
                    (true, true) => format!("{} LEFT", line.called),
                    (true, false) => format!("{} RIGHT", line.called),
                },
            });
        }
    }
    labels
}

/// The end of a tick: of one that would run along its outline square to it.
fn tick(line: &TracedLine, foot: Point2, end: Point2, small: bool) -> Point2 {
    let (way, long) = ((end - foot).normalize(), (end - foot).norm());
    let most = if small { SHORT_TICK } else { long };
    let along = line
        .outline
        .sides()
        .map(|(p, q)| ((nearest_on_segment(foot, p, q) - foot).norm(), q - p))
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .and_then(|(_, side)| side.try_normalize(f64::EPSILON));
    match along {
        Some(along) if way.dot(&along).abs() > ALONG_OUTLINE => {
            // Outlines run counter-clockwise: what is inside is on the left.
            let square = Vector2::new(-along.y, along.x);
            foot + square * most.min(SQUARE_TICK)
        }
        _ => foot + way * most,
    }
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
