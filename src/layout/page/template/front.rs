//! Which edge of a template is which, which side is up, and what the fold is for.

use crate::drawing::Pen;
use crate::error::Error;
use crate::face;
use crate::geom::Outline;
use crate::geom::Point2;
use crate::geom::Vector2;
use crate::geom::banded::Banded;
use crate::geom::outline::nearest_on_segment;
use crate::layout::draw_piece::SMALLEST_LETTER;
use crate::layout::page::template::Template;
use crate::layout::page::template::canvas::Canvas;
use crate::layout::page::template::canvas::Manner;
use crate::layout::page::template::canvas::Wanted;
use crate::layout::page::template::laid::Laid;
use crate::layout::page::template::leader::LeaderOrigin;
use crate::layout::page::template::leader::is_clear;
use crate::layout::page::template::leader::led;
use crate::layout::page::template::line::TracedLine;

/// Heights of the letters, the best first, and where room is scarce, mm.
const LETTERS: [f64; 4] = [4.0, 3.0, 2.5, SMALLEST_LETTER];
const SMALL: [f64; 1] = [SMALLEST_LETTER];
/// A leader from words outside a small template ends so far inside its line, mm, and begins so far off them.
const REACHES: f64 = 1.5;
const OFF: f64 = 0.7;
/// FRONT and BACK stand so far inside the edge that they name, mm, where there is room.
const INSIDE: f64 = 9.0;
/// RIGHT and LEFT are left out nearer the middle than this share of the way to the side. Our choice.
const SIDE_SHARE: f64 = 0.3;

/// Where words of a template stand: inside its innermost line, where they are seen until the last layer is traced,
/// and off its openings; else wherever there is room.
pub(super) struct WithinTemplate<'a> {
    template: &'a Template,
    innermost: Banded,
    letters: &'static [f64],
    /// Whether shorter words are as good.
    tight: bool,
}

impl<'a> WithinTemplate<'a> {
    /// Of a template; with the smallest letters and the shortest words, where room is scarce.
    pub(super) fn of(template: &'a Template, manner: Manner) -> Self {
        let innermost = template.lines.last().map(TracedLine::region);
        let sides: Vec<_> = innermost.iter().flat_map(Outline::sides).collect();
        Self {
            template,
            innermost: Banded::new(&sides),
            letters: if manner == Manner::Ample {
                &LETTERS
            } else {
                &SMALL
            },
            tight: matches!(manner, Manner::Tight | Manner::Tightest),
        }
    }

    fn is_best(&self, p: Point2) -> bool {
        // Of one line that has all its words inside there is no other room.
        let [line] = self.template.lines.as_slice() else {
            return self.is_inside(p);
        };
        !self.template.words_outside && line.openings.is_empty() || self.is_inside(p)
    }

    fn is_inside(&self, p: Point2) -> bool {
        let over = Point2::new(-p.x, p.y);
        let open = self.template.lines.iter().any(|l| {
            l.openings
                .iter()
                .any(|o| o.contains(p) || l.half && o.contains(over))
        });
        !open && self.innermost.contains(p)
    }

    /// Lower and upper end, and the side, of the innermost line.
    fn ends(&self) -> (f64, f64, f64) {
        let last = self.template.lines.last();
        last.map_or((0.0, 0.0, 0.0), |l| {
            let (low, high) = l.ends();
            (low, high, l.bounds.1.x)
        })
    }

    /// The middle of what is seen of it, sideways.
    pub(super) fn middle(&self) -> Point2 {
        let (low, high, side) = self.ends();
        let x = if self.template.is_half() {
            side / 2.0
        } else {
            0.0
        };
        Point2::new(x, f64::midpoint(low, high))
    }

    /// Where words that say which way up it is stand best.
    fn upper(&self) -> Point2 {
        let (low, high, _) = self.ends();
        Point2::new(self.middle().x, low * 0.3 + high * 0.7)
    }

    /// Room for a block of this breadth and height inside the innermost line, near its middle; or anywhere
    /// (`else_anywhere`).
    pub(super) fn room(
        &self,
        (wide, high): (f64, f64),
        else_anywhere: bool,
        canvas: &Canvas,
    ) -> Option<Point2> {
        let size = Vector2::new(wide + 2.0, high + 1.0);
        let near = |may: &dyn Fn(Point2) -> bool| {
            let away = |d: Vector2| d.norm();
            canvas.free.nearest(size, self.middle(), away, may)
        };
        let best = near(&|p| self.is_best(p));
        best.or_else(|| near(&|_| true).filter(|_| else_anywhere))
    }

    /// Writes the first of some words that has room in some size; where they `may` stand. Says whether any had.
    pub(super) fn put(
        &self,
        texts: &[&str],
        near: Point2,
        may: impl Fn(Point2) -> bool,
        canvas: &mut Canvas,
    ) -> Result<bool, Error> {
        for best in [true, false] {
            for upright in [false, true] {
                for &size in self.letters {
                    for text in texts {
                        let wanted = Wanted {
                            text,
                            size,
                            near,
                            upright,
                        };
                        let found =
                            canvas.place(&wanted, |p| (!best || self.is_best(p)) && may(p))?;
                        if let Some(at) = found {
                            self.tie(&wanted, at, canvas)?;
                            return Ok(true);
                        }
                    }
                }
            }
        }
        Ok(false)
    }
}

/// A leader to a place begins so far from it, mm: beyond its mark.
const PLACE_ROOM: f64 = 6.0;

impl WithinTemplate<'_> {
    /// Draws a leader from words outside the template to its line.
    fn tie(&self, wanted: &Wanted<'_>, at: Point2, canvas: &mut Canvas) -> Result<(), Error> {
        let outer = self.template.lines[0].region();
        if outer.contains(at) {
            return Ok(());
        }
        let long = face::text_width(wanted.text, wanted.size)? / 2.0;
        let half = if wanted.upright {
            Vector2::new(wanted.size / 2.0, long)
        } else {
            Vector2::new(long, wanted.size / 2.0)
        };
        let mut feet: Vec<Point2> = outer
            .sides()
            .map(|(p, q)| nearest_on_segment(at, p, q))
            .collect();
        feet.sort_by(|p, q| (p - at).norm().total_cmp(&(q - at).norm()));
        let mut leaders = feet.into_iter().map(|foot| {
            let way = (foot - at).normalize();
            let off = half + Vector2::repeat(OFF);
            let beside = (off.x / way.x.abs().max(1e-9)).min(off.y / way.y.abs().max(1e-9));
            [at + way * beside, foot + way * REACHES]
        });
        let clear = |ends: &[Point2; 2]| is_clear(at, *ends, self.template, canvas);
        if let Some(ends) = leaders.find(clear) {
            canvas.stroke(Pen::Fine, &ends);
        }
        Ok(())
    }
}

/// Which end of a template.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum TemplateEnd {
    Front,
    Back,
}

/// FRONT or BACK, nearest to its edge: on the wrong half it would name the other. Says whether it is missing.
pub(super) fn end(
    which: TemplateEnd,
    inside: &WithinTemplate<'_>,
    canvas: &mut Canvas,
) -> Result<bool, Error> {
    let (low, high, _) = inside.ends();
    let middle = inside.middle();
    let x: f64 = if inside.template.is_half() { 14.0 } else { 0.0 };
    let (text, y, sign) = match which {
        TemplateEnd::Front => ("FRONT", high - INSIDE, 1.0),
        TemplateEnd::Back => ("BACK", low + INSIDE, -1.0),
    };
    // A quarter of the depth off the middle, or at least off it.
    let quarter = (high - low) / 4.0;
    let near = Point2::new(x.min(middle.x), y);
    for off in [quarter, quarter / 4.0] {
        let may = |p: Point2| (p.y - middle.y) * sign > off;
        if inside.put(&[text], near, may, canvas)? {
            return Ok(false);
        }
    }
    Ok(true)
}

/// Which way up. Says how many of the words that nobody can do without are missing.
pub(super) fn up(inside: &WithinTemplate<'_>, canvas: &mut Canvas) -> Result<usize, Error> {
    let near = inside.upper();
    let anywhere = |_: Point2| true;
    if inside.template.is_half() {
        let which = inside.put(&["RIGHT HALF"], near, anywhere, canvas)?;
        let first = inside.put(&["THIS SIDE UP"], near, anywhere, canvas)?;
        return Ok(usize::from(!which) + usize::from(!first));
    }
    let texts: &[&str] = if inside.tight {
        &["THIS SIDE UP", "UP"]
    } else {
        &["THIS SIDE UP"]
    };
    Ok(usize::from(!inside.put(texts, near, anywhere, canvas)?))
}

/// Which side of a whole template is which, where there is room.
pub(super) fn sides(inside: &WithinTemplate<'_>, canvas: &mut Canvas) -> Result<(), Error> {
    if inside.template.is_half() {
        return Ok(());
    }
    let (_, _, side) = inside.ends();
    for (text, sign) in [("RIGHT", 1.0), ("LEFT", -1.0)] {
        let near = Point2::new(sign * side * 0.8, inside.upper().y);
        let may = |p: Point2| p.x * sign > SIDE_SHARE * side;
        inside.put(&[text], near, may, canvas)?;
    }
    Ok(())
}

/// What plates say of themselves.
pub(super) fn plate(
    inside: &WithinTemplate<'_>,
    laid: &Laid,
    canvas: &mut Canvas,
) -> Result<(), Error> {
    let plates = inside
        .template
        .lines
        .iter()
        .filter(|l| l.id.of_layer().is_none());
    for line in plates {
        inside.put(&[&line.called], inside.middle(), |_| true, canvas)?;
        for own in line.own_words() {
            let led = match own.about {
                // What is about a place has a leader to it.
                Some(at) => {
                    let from = LeaderOrigin {
                        at,
                        radius: PLACE_ROOM,
                    };
                    let page = laid.page_of(at);
                    let may = |p: Point2, _: Vector2| laid.page_of(p) == page;
                    led(from, &own.text, inside.template, may, canvas)?.is_some()
                }
                None => false,
            };
            if !led {
                inside.put(&[&own.text], inside.middle(), |_| true, canvas)?;
            }
        }
    }
    Ok(())
}

/// What the fold is for, up beside it. Says whether it is not said to turn the template over.
pub(super) fn fold(inside: &WithinTemplate<'_>, canvas: &mut Canvas) -> Result<bool, Error> {
    let then = if inside.template.count() > 1 {
        ", then trim"
    } else {
        ""
    };
    let near = Point2::new(0.0, inside.middle().y);
    for text in [
        format!("centre line: trace, turn over along it, trace again{then}"),
        format!("trace, turn over, trace again{then}"),
        "turn over here".to_owned(),
    ] {
        let wanted = Wanted {
            text: &text,
            size: SMALLEST_LETTER,
            near,
            upright: true,
        };
        let found = canvas.place(&wanted, |p| p.x < 4.0 && inside.is_best(p))?;
        if found.is_some() {
            return Ok(false);
        }
    }
    Ok(true)
}
