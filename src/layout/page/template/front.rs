//! Which edge of a template is which, which side is up, and what the fold is for.

use crate::error::Error;
use crate::geom::Outline;
use crate::geom::Point2;
use crate::geom::Vector2;
use crate::geom::banded::Banded;
use crate::layout::draw_piece::SMALLEST_LETTER;
use crate::layout::page::template::Template;
use crate::layout::page::template::canvas::Canvas;
use crate::layout::page::template::canvas::Wanted;
use crate::layout::page::template::line::TracedLine;

/// Heights of the letters, the best first, and where room is scarce, mm.
const LETTERS: [f64; 4] = [4.0, 3.0, 2.5, SMALLEST_LETTER];
const SMALL: [f64; 1] = [SMALLEST_LETTER];
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
}

impl<'a> WithinTemplate<'a> {
    /// Of a template; with the smallest letters, where room is scarce (`small`).
    pub(super) fn of(template: &'a Template, small: bool) -> Self {
        let innermost = template.lines.last().map(TracedLine::region);
        let sides: Vec<_> = innermost.iter().flat_map(Outline::sides).collect();
        Self {
            template,
            innermost: Banded::new(&sides),
            letters: if small { &SMALL } else { &LETTERS },
        }
    }

    fn is_best(&self, p: Point2) -> bool {
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
                        if canvas.place(&wanted, |p| (!best || self.is_best(p)) && may(p))? {
                            return Ok(true);
                        }
                    }
                }
            }
        }
        Ok(false)
    }
}

/// FRONT and BACK, each nearest to its edge: on the wrong half they would name the other. Says how many are missing.
pub(super) fn front_and_back(
    inside: &WithinTemplate<'_>,
    canvas: &mut Canvas,
) -> Result<usize, Error> {
    let (low, high, _) = inside.ends();
    let middle = inside.middle();
    let x: f64 = if inside.template.is_half() { 14.0 } else { 0.0 };
    let mut missing = 2;
    for (text, y, sign) in [("FRONT", high - INSIDE, 1.0), ("BACK", low + INSIDE, -1.0)] {
        // A quarter of the depth off the middle, or at least off it.
        let quarter = (high - low) / 4.0;
        let near = Point2::new(x.min(middle.x), y);
        for off in [quarter, quarter / 4.0] {
            let may = |p: Point2| (p.y - middle.y) * sign > off;
            if inside.put(&[text], near, may, canvas)? {
                missing -= 1;
                break;
            }
        }
    }
    Ok(missing)
}

/// Which side is which, and which way up. Says how many of the words that nobody can do without are missing.
pub(super) fn sides(inside: &WithinTemplate<'_>, canvas: &mut Canvas) -> Result<usize, Error> {
    let (low, high, side) = inside.ends();
    let middle = inside.middle();
    let up = Point2::new(middle.x, low * 0.3 + high * 0.7);
    let anywhere = |_: Point2| true;
    if inside.template.is_half() {
        let which = inside.put(&["RIGHT HALF"], up, anywhere, canvas)?;
        let texts = ["THIS SIDE UP FIRST", "THIS SIDE UP"];
        let first = inside.put(&texts, up, anywhere, canvas)?;
        return Ok(usize::from(!which) + usize::from(!first));
    }
    let first = inside.put(&["THIS SIDE UP"], up, anywhere, canvas)?;
    for (text, sign) in [("RIGHT", 1.0), ("LEFT", -1.0)] {
        let near = Point2::new(sign * side * 0.8, up.y);
        let may = |p: Point2| p.x * sign > SIDE_SHARE * side;
        inside.put(&[text], near, may, canvas)?;
    }
    Ok(usize::from(!first))
}

/// What plates say of themselves.
pub(super) fn plate(inside: &WithinTemplate<'_>, canvas: &mut Canvas) -> Result<(), Error> {
    let plates = inside
        .template
        .lines
        .iter()
        .filter(|l| l.id.of_layer().is_none());
    for line in plates {
        for own in line.own_words() {
            inside.put(&[own], inside.middle(), |_| true, canvas)?;
        }
    }
    Ok(())
}

/// What the fold is for, up beside it.
pub(super) fn fold(inside: &WithinTemplate<'_>, canvas: &mut Canvas) -> Result<(), Error> {
    let then = if inside.template.count() > 1 {
        ", then trim"
    } else {
        ""
    };
    let near = Point2::new(0.0, inside.middle().y);
    for text in [
        format!("centre line: trace, turn over along it, trace again{then}"),
        format!("trace, turn over, trace again{then}"),
        "centre line".to_owned(),
    ] {
        let wanted = Wanted {
            text: &text,
            size: SMALLEST_LETTER,
            near,
            upright: true,
        };
        if canvas.place(&wanted, |p| p.x < 4.0 && inside.is_best(p))? {
            break;
        }
    }
    Ok(())
}
