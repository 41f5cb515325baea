//! Pictures of a comparison: outlines and sections laid on each other, shaded views side by side, and
//! where the one surface stands outside the other. A is drawn with a full line, B with dashes, so
//! that nothing hangs on colour.
//!
//! # Why squares and rings on the map?
//! They stay apart in a photocopy.

use svg::node::element::{Group, SVG};

use crate::compare::{Matched, Spot, Standing};
use crate::error::Error;
use crate::form::silhouette::{around, extent, silhouette};
use crate::geom::{Outline, Point2};
use crate::measure::{Figure, Level};
use crate::mesh::{Mesh, Slicer};
use crate::render;
use crate::say::picture;
use crate::say::picture::At;
use crate::say::views;
use crate::text::Text;
use crate::units::{MM_PER_CM, Unit};

/// Pixels to a millimetre of the body in outlines.
const PER_MM: f64 = 0.5;
/// Pixels to a millimetre of the body in maps.
const MAP_PER_MM: f64 = 0.72;
/// Pixels to a millimetre of the body in sections.
const SECTION_PER_MM: f64 = 0.6;
/// Dashes of the second of two.
const DASHES: &str = "7 4";
/// Blank edge, px.
const EDGE: f64 = 14.0;
/// Letters, px.
const LETTER: f64 = 14.0;
/// Room beside a picture for the names of levels, px; their lines begin so much nearer to the picture
/// than the longest of them ends in any face.
const NAMES: f64 = 136.0;
const LEAD: f64 = 30.0;
/// Spots of the map are this far apart, mm.
const SPOT_STEP: f64 = 22.0;
/// Below this a spot is a dot, mm: less than a layer of thin batting.
const SPOT_LEAST: f64 = 3.0;
/// A spot has its full size at the greatest distance on the map, rounded up to whole centimetres, and
/// at no less than this, mm: small differences look small.
const SPOT_MOST: f64 = 30.0;

/// What is drawn of a level, and its name on this figure.
const fn named(figure: Figure) -> [(Level, &'static str); 7] {
    [
        (Level::NeckGirth, "neck"),
        (Level::ShoulderPoint, "shoulder"),
        (Level::Armpit, "armpit"),
        (Level::Bust, Level::Bust.called(figure)),
        (Level::Underbust, "underbust"),
        (Level::Waist, "waist"),
        (Level::Hip, "hip"),
    ]
}

/// By how much B is raised so that it stands on A's floor or has A's waist level, mm.
pub(super) fn raise(a: &Mesh, b: &Mesh, standing: Standing) -> Option<f64> {
    match standing {
        Standing::Waist => {
            let level = |m: &Mesh| m.marks.levels.get(&Level::Waist).copied();
            Some(level(a)? - level(b)?)
        }
        Standing::Floor => Some(a.marks.floor?.0 - b.marks.floor?.0),
    }
}

/// Front and side outlines of both.
pub(super) fn outlines(a: &Mesh, b: &Mesh, standing: Standing, figure: Figure) -> Option<SVG> {
    let up = raise(a, b, standing)?;
    let (sa, sb) = (silhouette(a), silhouette(b));
    let join = |p: (f64, f64), q: (f64, f64)| (p.0.min(q.0), p.1.max(q.1));
    // The waists of both lie on one plumb line, so that the side shows who leans where.
    let middle = |m: &Mesh| -> Option<f64> {
        let waist = *m.marks.levels.get(&Level::Waist)?;
        let cut = Slicer::new(m).at(waist).into_iter().next()?;
        let (low, high) = cut.bounds()?;
        Some(f64::midpoint(low.y, high.y))
    };
    let (ya, yb) = (middle(a)?, middle(b)?);
    let shifted = |w: &[(f64, f64)], by: f64| -> Vec<(f64, f64)> {
        w.iter().map(|p| (p.0 - by, p.1 - by)).collect()
    };
    let (a_side, b_side) = (shifted(&sa.y, ya), shifted(&sb.y, yb));
    let x = join(extent(&sa.x), extent(&sb.x));
    let y = join(extent(&a_side), extent(&b_side));
    let ends = |z: &[f64]| Some((*z.first()?, *z.last()?));
    let (za, zb) = (ends(&sa.z)?, ends(&sb.z)?);
    let z = (za.0.min(zb.0 + up), za.1.max(zb.1 + up));
    let top = EDGE + LETTER * 1.6;
    let row = |h: f64| top + (z.1 - h) * PER_MM;
    let front_width = (x.1 - x.0) * PER_MM;
    // The front is seen by somebody facing it: the wearer's right is on the left.
    let front = |v: f64| EDGE + NAMES + (x.1 - v) * PER_MM;
    let side_left = EDGE + NAMES + front_width + 50.0;
    let side = |v: f64| side_left + (v - y.0) * PER_MM;
    let width = side_left + (y.1 - y.0) * PER_MM + EDGE + NAMES;
    let height = row(z.0) + EDGE;
    let closed = |zs: &[f64], w: &[(f64, f64)], raise: f64, place: &dyn Fn(f64) -> f64| {
        let points = around(zs, w).into_iter();
        picture::path(
            points.map(|(across, h)| (place(across), row(h + raise))),
            true,
        )
    };
    let lines = |m: &Mesh, raise: f64| -> Vec<(f64, &'static str)> {
        named(figure)
            .into_iter()
            .filter_map(|(l, n)| Some((row(m.marks.levels.get(&l)? + raise), n)))
            .collect()
    };
    let left = lines(a, 0.0);
    let right = lines(b, up);
    let spread = |list: &[(f64, &'static str)]| -> Vec<f64> {
        views::spread(&list.iter().map(|l| l.0).collect::<Vec<_>>(), LETTER * 1.25)
    };
    let (left_at, right_at) = (spread(&left), spread(&right));
    let front_right = EDGE + NAMES + front_width;
    let head = EDGE + LETTER * 0.7;
    let mut letters = picture::lettering(LETTER)
        .add(picture::words(
            (front(f64::midpoint(x.0, x.1)), head),
            "middle",
            "front",
        ))
        .add(picture::words(
            (side(f64::midpoint(y.0, y.1)), head),
            "middle",
            "side, front to the right",
        ));
    let mut full = picture::strokes("#777", 0.8);
    for ((at, name), label) in left.iter().zip(&left_at) {
        let words = (EDGE, label + LETTER * 0.35);
        letters = letters.add(picture::words(words, "start", format!("{name} A")));
        full = full.add(picture::path(
            [
                (EDGE + NAMES - LEAD, *label),
                (EDGE + NAMES - 10.0, *at),
                (front_right, *at),
            ],
            false,
        ));
    }
    let mut dashed = picture::strokes("#777", 0.8).set("stroke-dasharray", "3 3");
    for ((at, name), label) in right.iter().zip(&right_at) {
        let words = (width - EDGE, label + LETTER * 0.35);
        letters = letters.add(picture::words(words, "end", format!("{name} B")));
        dashed = dashed.add(picture::path(
            [
                (width - EDGE - NAMES + LEAD, *label),
                (width - EDGE - NAMES + 10.0, *at),
                (side_left, *at),
            ],
            false,
        ));
    }
    let first = picture::strokes("#000", 1.6)
        .add(closed(&sa.z, &sa.x, 0.0, &front))
        .add(closed(&sa.z, &a_side, 0.0, &side));
    let second = picture::strokes("#000", 1.6)
        .set("stroke-dasharray", DASHES)
        .add(closed(&sb.z, &sb.x, up, &front))
        .add(closed(&sb.z, &b_side, up, &side));
    let shows = "Front and side outlines of both laid on each other";
    let picture = at_most(width, height, shows);
    Some(
        picture
            .add(letters)
            .add(full)
            .add(dashed)
            .add(first)
            .add(second),
    )
}

/// An empty picture that is shown no wider than it is.
fn at_most(width: f64, height: f64, shows: &str) -> SVG {
    picture::empty(width, height, shows).set("style", format!("max-width:{width:.0}px"))
}

/// The largest section at a height.
fn section(slicer: &Slicer<'_>, z: f64) -> Option<Outline> {
    slicer
        .at(z)
        .into_iter()
        .max_by(|a, b| a.area().abs().total_cmp(&b.area().abs()))
}

/// Sections of both at every level, laid on each other by their middles, front upward.
pub(super) fn sections(a: &Mesh, b: &Mesh, figure: Figure) -> Vec<(Text, SVG)> {
    let (ca, cb) = (Slicer::new(a), Slicer::new(b));
    let cells: Vec<(&'static str, [Outline; 2])> = Level::TRUNK
        .into_iter()
        .filter_map(|level| {
            let za = *a.marks.levels.get(&level)?;
            let zb = *b.marks.levels.get(&level)?;
            Some((level.called(figure), [section(&ca, za)?, section(&cb, zb)?]))
        })
        .collect();
    overlaid(&cells, Middles::Each)
}

/// How two sections are laid on each other.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Middles {
    /// The middle of the one on the middle of the other.
    Each,
    /// As they stand.
    First,
}

/// Pairs of sections at one scale, front upward: the first with a full line, the second with dashes.
pub(super) fn overlaid(
    cells: &[(&'static str, [Outline; 2])],
    middles: Middles,
) -> Vec<(Text, SVG)> {
    let size = |axis: usize| {
        cells
            .iter()
            .flat_map(|(_, o)| o)
            .filter_map(|o| o.bounds().map(|(l, h)| h[axis] - l[axis]))
            .fold(0.0, f64::max)
    };
    let (w, h) = (
        size(0) * SECTION_PER_MM + 2.0 * EDGE,
        size(1) * SECTION_PER_MM + 2.0 * EDGE,
    );
    let middle = |o: &Outline| {
        let (low, high) = o.bounds().unwrap_or_default();
        Point2::new(f64::midpoint(low.x, high.x), f64::midpoint(low.y, high.y))
    };
    let drawn = |o: &Outline, middle: Point2| {
        // Seen from above with the front upward: the wearer's right is on the right.
        picture::path(
            o.points.iter().map(|p| {
                let q = (p - middle) * SECTION_PER_MM;
                (w / 2.0 + q.x, h / 2.0 - q.y)
            }),
            true,
        )
    };
    cells
        .iter()
        .map(|(name, [oa, ob])| {
            let (ma, mb) = match middles {
                Middles::Each => (middle(oa), middle(ob)),
                Middles::First => (middle(oa), middle(oa)),
            };
            let axes = picture::strokes("#999", 0.7)
                .add(picture::path(
                    [(w / 2.0, EDGE / 2.0), (w / 2.0, h - EDGE / 2.0)],
                    false,
                ))
                .add(picture::path(
                    [(EDGE / 2.0, h / 2.0), (w - EDGE / 2.0, h / 2.0)],
                    false,
                ));
            let second = picture::strokes("#000", 1.5).set("stroke-dasharray", DASHES);
            let picture = picture::empty(w, h, format!("Sections of both at the {name}"))
                .set("width", picture::px(w))
                .add(axes)
                .add(picture::strokes("#000", 1.5).add(drawn(oa, ma)))
                .add(second.add(drawn(ob, mb)));
            ((*name).into(), picture)
        })
        .collect()
}

/// Front, side and back of both, shaded, at one scale, their waists level.
pub(super) fn shaded(a: &Mesh, b: &Mesh) -> Result<Vec<(Text, SVG)>, Error> {
    let scale = render::scale(a).max(render::scale(b));
    let (va, vb) = (render::views_at(a, scale)?, render::views_at(b, scale)?);
    let waist = |m: &Mesh| m.marks.levels.get(&Level::Waist).copied().unwrap_or(0.0);
    Ok(va
        .iter()
        .zip(&vb)
        .filter(|(p, _)| p.upright)
        .map(|(p, q)| {
            let (ra, rb) = (p.row(waist(a)), q.row(waist(b)));
            let line = ra.max(rb);
            let (ya, yb) = (line - ra, line - rb);
            let head = LETTER * 1.6;
            let width = (p.width + q.width) as f64 + 20.0;
            let height = (p.height as f64 + ya).max(q.height as f64 + yb) + head;
            let second = p.width as f64 + 20.0;
            let level = picture::path([(0.0, line + head), (width, line + head)], false);
            let name = |x: f64, letter| picture::words((x, LETTER * 1.2), "middle", letter);
            let shows = format!("{} of A and B side by side", p.name);
            let picture = picture::empty(width, height, shows)
                .add(picture::shaded(
                    &p.png,
                    (0.0, ya + head),
                    [p.width, p.height],
                ))
                .add(picture::shaded(
                    &q.png,
                    (second, yb + head),
                    [q.width, q.height],
                ))
                .add(
                    picture::strokes("#000", 0.9)
                        .set("stroke-dasharray", "5 3")
                        .add(level),
                )
                .add(
                    picture::lettering(LETTER * 1.3)
                        .add(name(p.width as f64 / 2.0, "A"))
                        .add(name(second + q.width as f64 / 2.0, "B")),
                );
            (p.name.into(), picture)
        })
        .collect())
}

/// One spot of a map: a filled square where B stands outside, an open ring where it stands inside,
/// a dot where it does neither, each as large as the distance asks.
fn spot(group: Group, at: At, apart: f64, most: f64) -> Group {
    let full = SPOT_STEP * MAP_PER_MM * 0.46;
    let part = ((apart.abs() - SPOT_LEAST) / (most - SPOT_LEAST)).clamp(0.0, 1.0);
    let half = full * (0.28 + 0.72 * part);
    if apart.abs() < SPOT_LEAST {
        group.add(picture::dot(at, 0.8))
    } else if apart > 0.0 {
        let corners = [(-half, -half), (half, -half), (half, half), (-half, half)];
        let square = corners.map(|(x, y)| (at.0 + x, at.1 + y));
        group.add(picture::path(square, true).set("fill", "#000"))
    } else {
        let ring = picture::dot(at, picture::px(half - 0.6));
        group.add(
            ring.set("fill", "none")
                .set("stroke", "#000")
                .set("stroke-width", 1.2),
        )
    }
}

/// What stands at the spots of a map.
pub(super) enum Drawn<'a> {
    /// How far the one surface stands outside the other, with a key in this unit.
    Apart(Unit),
    /// A word for each spot, and what the words are.
    Words(&'a dyn Fn(f64) -> String, &'a str),
}

/// Where B stands outside or inside A, seen from the front and from behind.
pub(super) fn map(matched: &Matched<'_>, b: &Mesh, unit: Unit, figure: Figure) -> SVG {
    let (low, high) = matched.range();
    let count = ((high - low) / SPOT_STEP).floor() as i32;
    let seen: [Vec<Spot>; 2] = [true, false].map(|front| {
        (0..=count)
            .flat_map(|i| matched.spots(high - SPOT_STEP * (f64::from(i) + 0.5), SPOT_STEP, front))
            .filter(|s| s.z > low)
            .collect()
    });
    let label = "Where B stands outside A and where inside, from the front and from behind";
    spotted(&seen, b, figure, label, &Drawn::Apart(unit))
}

/// Spots on the front and the back of `b`.
pub(super) fn spotted(
    seen: &[Vec<Spot>; 2],
    b: &Mesh,
    figure: Figure,
    label: &str,
    shown: &Drawn<'_>,
) -> SVG {
    let s = silhouette(b);
    let low = s.z.first().copied().unwrap_or_default();
    let high = s.z.last().copied().unwrap_or_default();
    let (low_x, high_x) = extent(&s.x);
    let widest = low_x.abs().max(high_x.abs());
    let half = widest * MAP_PER_MM;
    let top = EDGE + LETTER * 1.6;
    let row = |z: f64| top + (high - z) * MAP_PER_MM;
    let centres = [EDGE + half, EDGE + 3.0 * half + NAMES];
    let width = centres[1] + half + EDGE;
    let key_top = row(low) + 26.0;
    let height = key_top + 40.0;
    let levels: Vec<(f64, &str)> = named(figure)
        .into_iter()
        .filter_map(|(l, n)| Some((row(*b.marks.levels.get(&l)?), n)))
        .collect();
    let at = views::spread(
        &levels.iter().map(|l| l.0).collect::<Vec<_>>(),
        LETTER * 1.25,
    );
    let outline = |centre: f64, sign: f64| {
        let points = around(&s.z, &s.x).into_iter();
        picture::path(
            points.map(|(x, z)| (centre + sign * x * MAP_PER_MM, row(z))),
            true,
        )
    };
    let most = seen
        .iter()
        .flatten()
        .map(|s| (s.apart.abs() / MM_PER_CM).ceil() * MM_PER_CM)
        .fold(SPOT_MOST, f64::max);
    let third = most / 3.0;
    let key = |unit: Unit| {
        [
            (-most, format!("inside {}", unit.show(most))),
            (-third, format!("inside {}", unit.show(third))),
            (0.0, format!("less than {}", Unit::Mm.show(SPOT_LEAST))),
            (third, format!("outside {}", unit.show(third))),
            (most, format!("outside {}", unit.show(most))),
        ]
    };
    let above = EDGE + LETTER * 0.7;
    let mut letters = picture::lettering(LETTER)
        .add(picture::words(
            (centres[0], above),
            "middle",
            "from the front",
        ))
        .add(picture::words((centres[1], above), "middle", "from behind"));
    let mut lines = picture::strokes("#999", 0.7);
    let between = f64::midpoint(centres[0], centres[1]);
    let (left, right) = (centres[0] + half, centres[1] - half);
    for ((level, name), label) in levels.iter().zip(&at) {
        letters = letters.add(picture::words(
            (between, label + LETTER * 0.35),
            "middle",
            *name,
        ));
        let front = [(EDGE, *level), (left, *level), (left + 18.0, *label)];
        let back = [
            (width - EDGE, *level),
            (right, *level),
            (right - 18.0, *label),
        ];
        lines = lines
            .add(picture::path(front, false))
            .add(picture::path(back, false));
    }
    let mut outlines = picture::strokes("#000", 1.0);
    let mut spots = match shown {
        Drawn::Apart(_) => Group::new(),
        Drawn::Words(..) => picture::lettering(LETTER * 0.85),
    };
    // From the front the wearer's right is on the left; from behind on the right.
    for ((centre, sign), spotted) in centres.into_iter().zip([-1.0, 1.0]).zip(seen) {
        outlines = outlines.add(outline(centre, sign));
        for s in spotted {
            let at = (centre + sign * s.x * MAP_PER_MM, row(s.z));
            spots = match shown {
                Drawn::Apart(_) => spot(spots, at, s.apart, most),
                Drawn::Words(word, _) => {
                    let at = (at.0, at.1 + LETTER * 0.3);
                    spots.add(picture::words(at, "middle", word(s.apart)))
                }
            };
        }
    }
    let mut below = picture::lettering(LETTER * 0.9);
    match shown {
        Drawn::Apart(unit) => {
            for (i, (apart, words)) in key(*unit).into_iter().enumerate() {
                let x = EDGE + (width - 2.0 * EDGE) / 5.0 * (i as f64 + 0.5);
                below = spot(below, (x, key_top), apart, most);
                below = below.add(picture::words((x, key_top + 24.0), "middle", words));
            }
        }
        Drawn::Words(_, words) => {
            below = below.add(picture::words((width / 2.0, key_top), "middle", *words));
        }
    }
    at_most(width, height, label)
        .add(letters)
        .add(lines)
        .add(outlines)
        .add(spots)
        .add(below)
}
