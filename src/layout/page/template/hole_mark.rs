//! How the holes of a template are drawn and named: a circle with a cross to prick through, and beside it what goes
//! through it.

use std::collections::BTreeSet;

use crate::drawing::Item;
use crate::drawing::Pen;
use crate::error::Error;
use crate::face;
use crate::geom::Point2;
use crate::geom::Vector2;
use crate::layout::draw_piece::SMALLEST_LETTER;
use crate::layout::page::template::Template;
use crate::layout::page::template::canvas::Canvas;
use crate::layout::page::template::canvas::Wanted;
use crate::layout::page::template::hole::FoldSide;
use crate::layout::page::template::hole::HoleName;
use crate::layout::page::template::hole::SharedHole;
use crate::layout::page::template::laid::Laid;
use crate::layout::page::template::leader::LeaderOrigin;
use crate::layout::page::template::leader::led;
use crate::tolerance::FOLD_TOLERANCE_MM;

/// How far the strokes of a cross stand over its hole, mm.
const OVER: f64 = 3.0;
/// The same on a small template, where words need the room, mm.
const OVER_SMALL: f64 = 1.0;
/// They end so far before a line, mm.
const BEFORE: f64 = 0.6;
/// A name with its diameter is written within this of its hole, mm; further off a short one is clearer. Our
/// choice.
const LONG: f64 = 25.0;
/// No name stands further off than this from its hole, mm: a hand's breadth (common practice, no source).
const FAR: f64 = 95.0;
/// By so much a name is nearer to its own hole than to any other, mm. Our choice.
const NEARER: f64 = 3.0;
/// By so much a hole is nearer to its own name than to any other, mm. Our choice.
const CLEARLY: f64 = 0.5;
/// So often names are set anew, those that went astray first. Our choice.
const ROUNDS: usize = 4;

/// The circle and the cross of a hole; one of the left half is dashed, and its cross lies on its
/// side. On the fold there is half of both.
pub(super) fn draw(hole: &SharedHole, template: &Template, canvas: &mut Canvas) {
    let (c, r) = (hole.at(), hole.hole.diameter / 2.0);
    let half = template.is_half();
    let clear = template
        .lines
        .iter()
        .map(|l| l.outline.distance(c))
        .fold(f64::INFINITY, f64::min);
    let next = template
        .holes
        .iter()
        .filter(|h| (h.at() - c).norm() > 0.0)
        .map(|h| (h.at() - c).norm() - r - h.hole.diameter / 2.0)
        .fold(f64::INFINITY, f64::min);
    let over = if template.is_small() {
        OVER_SMALL
    } else {
        OVER
    };
    let arm = r + over.min(clear - r - BEFORE).min(next / 4.0).max(0.0);
    let left = hole.hole.side == FoldSide::Left;
    let pen = if left { Pen::Dashed } else { Pen::Mark };
    if half && c.x.abs() <= FOLD_TOLERANCE_MM {
        let points = (0..=36)
            .map(|k| {
                let (sin, cos) = libm::sincos((f64::from(k) / 36.0 - 0.5) * std::f64::consts::PI);
                Point2::new(0.0, c.y) + Vector2::new(cos.max(0.0), sin) * r
            })
            .collect::<Vec<_>>();
        canvas.items.push(Item::path(pen, points, false));
        for (from, to) in [((0.0, -arm), (0.0, arm)), ((0.0, 0.0), (arm, 0.0))] {
            let ends = [from, to].map(|(x, y)| Point2::new(x, c.y + y));
            canvas.stroke(Pen::Mark, &ends);
        }
    } else {
        canvas.items.push(Item::Circle {
            pen,
            centre: c,
            radius: r,
        });
        let slant = if left {
            std::f64::consts::FRAC_1_SQRT_2
        } else {
            0.0
        };
        let straight = if left { slant } else { 1.0 };
        for d in [
            Vector2::new(straight, slant),
            Vector2::new(-slant, straight),
        ] {
            // Beyond the fold are the frame and other templates.
            let ends = [-d, d].map(|d| {
                let reach = if half && d.x < 0.0 {
                    arm.min(-c.x / d.x)
                } else {
                    arm
                };
                c + d * reach
            });
            canvas.stroke(Pen::Mark, &ends);
        }
    }
    canvas.keep_off(hole.reach(arm - r + 0.5));
}

/// A name that is written: of which hole, and where.
struct Written {
    hole: usize,
    words: HoleWords,
}

impl Written {
    fn distance(&self, p: Point2) -> f64 {
        beyond(p - self.words.at, self.words.half)
    }
}

/// How far a point so far from the middle of a box, of which this is half the size, is from the box.
fn beyond(d: Vector2, half: Vector2) -> f64 {
    Vector2::new(d.x.abs() - half.x, d.y.abs() - half.y)
        .sup(&Vector2::zeros())
        .norm()
}

/// Writes the names of all holes, with their diameters where that is wanted (`long`), each nearest to its own and
/// inside every line that has it: what is trimmed away names nothing. Where there is no room for one a leader goes to
/// it. Says how many names have no diameter, and how many holes are nearer to another's name than to their own.
pub(super) fn names(
    template: &Template,
    laid: &Laid,
    long: bool,
    canvas: &mut Canvas,
) -> Result<usize, Error> {
    // A hole whose name stands no longer nearest to it comes first in the next round.
    let mut order: Vec<usize> = (0..template.holes.len()).collect();
    let mut best: Option<(usize, Canvas)> = None;
    let mut strays = BTreeSet::new();
    for round in 1..=ROUNDS {
        let mut tried = canvas.clone();
        let mut written: Vec<Written> = Vec::new();
        let mut bare = 0;
        for &k in &order {
            let hole = &template.holes[k];
            for name in &hole.names {
                // What never came to rest beside its hole has a leader in the end.
                let lead = round == ROUNDS && strays.contains(&k);
                let found = put((hole, name, long, lead), template, laid, &mut tried)?;
                bare += usize::from(found.as_ref().is_none_or(|words| !words.has_diameter));
                written.extend(found.map(|words| Written { hole: k, words }));
            }
        }
        let (wrong, right): (Vec<usize>, Vec<usize>) = order
            .iter()
            .partition(|&&k| is_astray(k, &template.holes[k], &written));
        let missing = bare + wrong.len();
        if best.as_ref().is_none_or(|(least, _)| missing < *least) {
            best = Some((missing, tried));
        }
        if wrong.is_empty() {
            break;
        }
        strays.extend(wrong.iter().copied());
        order = wrong.into_iter().chain(right).collect();
    }
    let Some((missing, named)) = best else {
        return Ok(0);
    };
    *canvas = named;
    Ok(missing)
}

/// Whether a hole is nearer to another's name than to its own, or has none.
fn is_astray(k: usize, hole: &SharedHole, written: &[Written]) -> bool {
    let nearest = |own: bool| {
        written
            .iter()
            .filter(|w| (w.hole == k) == own)
            .map(|w| w.distance(hole.at()))
            .fold(f64::INFINITY, f64::min)
    };
    // What a leader ties to its hole is not taken for another's.
    let led = written.iter().any(|w| w.hole == k && w.words.is_led);
    !led && (nearest(true) > FAR || nearest(true) + CLEARLY > nearest(false))
}

/// The words of a hole as they are written: their middle, half their size, and whether they have a diameter and a leader.
struct HoleWords {
    at: Point2,
    half: Vector2,
    has_diameter: bool,
    is_led: bool,
}

/// Writes a name, `long` with its diameter where there is room, `lead` rather at a leader than beside the hole.
fn put(
    (hole, name, long, lead): (&SharedHole, &HoleName, bool, bool),
    template: &Template,
    laid: &Laid,
    canvas: &mut Canvas,
) -> Result<Option<HoleWords>, Error> {
    let at = hole.at();
    // Of one line that has all its words inside there is no other room; what stands outside has a leader.
    let last = name
        .of
        .last()
        .filter(|_| template.count() > 1 || template.words_outside)
        .map(|&n| template.lines[n].region());
    let others: Vec<Point2> = template
        .holes
        .iter()
        .map(SharedHole::at)
        .filter(|p| (p - at).norm() > 0.0)
        .collect();
    let nearer = |p: Point2| {
        let own = (p - at).norm() + NEARER;
        others.iter().all(|o| (p - o).norm() > own)
    };
    let inside = |p: Point2| last.as_ref().is_none_or(|l| l.contains(p));
    let page = |p: Point2| laid.page_of(p) == laid.page_of(at);
    let size = |wanted: &Wanted<'_>| -> Result<Vector2, Error> {
        let half = face::text_width(wanted.text, wanted.size)? / 2.0;
        Ok(if wanted.upright {
            Vector2::new(wanted.size / 2.0, half)
        } else {
            Vector2::new(half, wanted.size / 2.0)
        })
    };
    // First where no other hole is so near that its own name might have no nearer place.
    for (n, (text, most, alone)) in [
        (&name.long, LONG, true),
        (&name.middling, LONG, true),
        (&name.long, LONG, false),
        (&name.middling, LONG, false),
        (&name.long, FAR, true),
        (&name.middling, FAR, false),
        (&name.short, LONG, true),
        (&name.short, FAR, false),
    ]
    .into_iter()
    .enumerate()
    {
        // Rather at a leader than where another hole has its only room, and than without its diameter.
        let way = match n {
            0 if lead => Some(true),
            2 => Some(true),
            6 => Some(false),
            _ => None,
        };
        if let Some(alone) = way
            && let Some((at, half)) =
                at_a_leader(hole, &name.middling, alone, template, laid, canvas)?
        {
            return Ok(Some(HoleWords {
                at,
                half,
                has_diameter: true,
                is_led: true,
            }));
        }
        if !long && *text == name.long && name.long != name.middling {
            continue;
        }
        for upright in [false, true] {
            let wanted = Wanted {
                text,
                size: SMALLEST_LETTER,
                near: at,
                upright,
            };
            let half = size(&wanted)?;
            let may = |p: Point2| {
                nearer(p) && inside(p) && page(p) && (!alone || off(hole, template, p, half))
            };
            if let Some((place, far)) = canvas.room(&wanted, may)?
                && far <= most
            {
                canvas.put(&wanted, place)?;
                return Ok(Some(HoleWords {
                    at: place,
                    half,
                    has_diameter: *text != name.short || name.short == name.middling,
                    is_led: false,
                }));
            }
        }
    }
    let written = at_a_leader(hole, &name.short, false, template, laid, canvas)?;
    Ok(written.map(|(at, half)| HoleWords {
        at,
        half,
        has_diameter: false,
        is_led: true,
    }))
}

/// Writes a name with a leader to it on the page of its hole, where it is not taken for the name of another hole that it
/// lies beside (`alone`).
fn at_a_leader(
    hole: &SharedHole,
    name: &str,
    alone: bool,
    template: &Template,
    laid: &Laid,
    canvas: &mut Canvas,
) -> Result<Option<(Point2, Vector2)>, Error> {
    let from = LeaderOrigin {
        at: hole.at(),
        radius: hole.hole.diameter / 2.0,
    };
    let page = laid.page_of(hole.at());
    let may = |p: Point2, half: Vector2| {
        laid.page_of(p) == page && (!alone || off(hole, template, p, half))
    };
    led(from, name, template, may, canvas)
}

/// Whether the words of a hole in a box round `p` leave every other hole room for its own beside it.
fn off(hole: &SharedHole, template: &Template, p: Point2, half: Vector2) -> bool {
    template.holes.iter().all(|h| {
        (h.at() - hole.at()).norm() <= 0.0
            || beyond(h.at() - p, half) > h.hole.diameter / 2.0 + OVER + 2.0 * SMALLEST_LETTER
    })
}
