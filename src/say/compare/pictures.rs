//! Pictures of a comparison: outlines and sections laid on each other, shaded views side by side, and
//! where the one surface stands outside the other. A is drawn with a full line, B with dashes, so
//! that nothing hangs on colour.
//!
//! # Why squares and rings on the map?
//! They stay apart in a photocopy.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use maud::{Markup, html};

use crate::compare::Matched;
use crate::compare::Spot;
use crate::compare::Standing;
use crate::error::Error;
use crate::form::silhouette::{around, extent, silhouette};
use crate::geom::Outline;
use crate::geom::Point2;
use crate::measure::Level;
use crate::mesh::Mesh;
use crate::mesh::Slicer;
use crate::render;
use crate::say::views;
use crate::units;
use crate::units::MM_PER_CM;
use crate::units::Unit;

/// Pixels to a millimetre of the body in outlines.
const PER_MM: f64 = 0.5;
/// Pixels to a millimetre of the body in maps.
const MAP_PER_MM: f64 = 0.72;
/// Pixels to a millimetre of the body in sections.
const SECTION_PER_MM: f64 = 0.6;
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

/// What is drawn of a level, and its name.
const NAMED: [(Level, &str); 7] = [
    (Level::NeckGirth, "neck"),
    (Level::ShoulderPoint, "shoulder"),
    (Level::Armpit, "armpit"),
    (Level::Bust, "bust"),
    (Level::Underbust, "underbust"),
    (Level::Waist, "waist"),
    (Level::Hip, "hip"),
];

fn px(v: f64) -> String {
    units::fixed(v, 1)
}

/// A path through points.
fn path(points: impl IntoIterator<Item = (f64, f64)>, closed: bool) -> String {
    let mut d = String::new();
    for (i, (x, y)) in points.into_iter().enumerate() {
        d.push_str(if i == 0 { "M" } else { "L" });
        d.push_str(&format!("{} {}", px(x), px(y)));
    }
    if closed {
        d.push('Z');
    }
    d
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
pub(super) fn outlines(a: &Mesh, b: &Mesh, standing: Standing) -> Option<Markup> {
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
        path(
            points.map(|(across, h)| (place(across), row(h + raise))),
            true,
        )
    };
    let lines = |m: &Mesh, raise: f64| -> Vec<(f64, &'static str)> {
        NAMED
            .iter()
            .filter_map(|(l, n)| Some((row(m.marks.levels.get(l)? + raise), *n)))
            .collect()
    };
    let left = lines(a, 0.0);
    let right = lines(b, up);
    let spread = |list: &[(f64, &'static str)]| -> Vec<f64> {
        views::spread(&list.iter().map(|l| l.0).collect::<Vec<_>>(), LETTER * 1.25)
    };
    let (left_at, right_at) = (spread(&left), spread(&right));
    let front_right = EDGE + NAMES + front_width;
    Some(html! {
        svg xmlns="http://www.w3.org/2000/svg" role="img"
            aria-label="Front and side outlines of both laid on each other"
            viewBox=(format!("0 0 {width:.0} {height:.0}")) style=(format!("max-width:{width:.0}px")) {
            g font-family="Georgia, serif" font-size=(LETTER) fill="#000" {
                text x=(px(front(f64::midpoint(x.0, x.1)))) y=(px(EDGE + LETTER * 0.7)) text-anchor="middle" { "front" }
                text x=(px(side(f64::midpoint(y.0, y.1)))) y=(px(EDGE + LETTER * 0.7)) text-anchor="middle" { "side, front to the right" }
                @for ((_, name), at) in left.iter().zip(&left_at) {
                    text x=(px(EDGE)) y=(px(at + LETTER * 0.35)) { (name) " A" }
                }
                @for ((_, name), at) in right.iter().zip(&right_at) {
                    text x=(px(width - EDGE)) y=(px(at + LETTER * 0.35)) text-anchor="end" { (name) " B" }
                }
            }
            g stroke="#777" stroke-width="0.8" fill="none" {
                @for ((at, _), label) in left.iter().zip(&left_at) {
                    path d=(path([(EDGE + NAMES - LEAD, *label), (EDGE + NAMES - 10.0, *at), (front_right, *at)], false)) {}
                }
            }
            g stroke="#777" stroke-width="0.8" stroke-dasharray="3 3" fill="none" {
                @for ((at, _), label) in right.iter().zip(&right_at) {
                    path d=(path([(width - EDGE - NAMES + LEAD, *label), (width - EDGE - NAMES + 10.0, *at), (side_left, *at)], false)) {}
                }
            }
            g fill="none" stroke="#000" stroke-width="1.6" stroke-linejoin="round" {
                path d=(closed(&sa.z, &sa.x, 0.0, &front)) {}
                path d=(closed(&sa.z, &a_side, 0.0, &side)) {}
            }
            g fill="none" stroke="#000" stroke-width="1.6" stroke-dasharray="7 4" {
                path d=(closed(&sb.z, &sb.x, up, &front)) {}
                path d=(closed(&sb.z, &b_side, up, &side)) {}
            }
        }
    })
}

/// The largest section at a height.
fn section(slicer: &Slicer<'_>, z: f64) -> Option<Outline> {
    slicer
        .at(z)
        .into_iter()
        .max_by(|a, b| a.area().abs().total_cmp(&b.area().abs()))
}

/// Sections of both at every level, laid on each other by their middles, front upward.
pub(super) fn sections(a: &Mesh, b: &Mesh) -> Vec<(&'static str, Markup)> {
    let (ca, cb) = (Slicer::new(a), Slicer::new(b));
    let cells: Vec<(&'static str, [Outline; 2])> = Level::TRUNK
        .into_iter()
        .filter_map(|level| {
            let za = *a.marks.levels.get(&level)?;
            let zb = *b.marks.levels.get(&level)?;
            Some((level.name(), [section(&ca, za)?, section(&cb, zb)?]))
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
) -> Vec<(&'static str, Markup)> {
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
        path(
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
            let picture = html! {
                svg xmlns="http://www.w3.org/2000/svg" role="img"
                    aria-label=(format!("Sections of both at the {name}"))
                    viewBox=(format!("0 0 {w:.0} {h:.0}")) width=(format!("{w:.0}")) {
                    path d=(path([(w / 2.0, EDGE / 2.0), (w / 2.0, h - EDGE / 2.0)], false)) stroke="#999" stroke-width="0.7" {}
                    path d=(path([(EDGE / 2.0, h / 2.0), (w - EDGE / 2.0, h / 2.0)], false)) stroke="#999" stroke-width="0.7" {}
                    path d=(drawn(oa, ma)) fill="none" stroke="#000" stroke-width="1.5" {}
                    path d=(drawn(ob, mb)) fill="none" stroke="#000" stroke-width="1.5" stroke-dasharray="7 4" {}
                }
            };
            (*name, picture)
        })
        .collect()
}

/// Front, side and back of both, shaded, at one scale, their waists level.
pub(super) fn shaded(a: &Mesh, b: &Mesh) -> Result<Vec<(&'static str, Markup)>, Error> {
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
            let data = |png: &[u8]| format!("data:image/png;base64,{}", STANDARD.encode(png));
            let picture = html! {
                svg xmlns="http://www.w3.org/2000/svg" role="img"
                    aria-label=(format!("{} of A and B side by side", p.name))
                    viewBox=(format!("0 0 {width:.0} {height:.0}")) {
                    image href=(data(&p.png)) x="0" y=(px(ya + head)) width=(p.width) height=(p.height) {}
                    image href=(data(&q.png)) x=(px(p.width as f64 + 20.0)) y=(px(yb + head)) width=(q.width) height=(q.height) {}
                    path d=(path([(0.0, line + head), (width, line + head)], false)) stroke="#000" stroke-width="0.9" stroke-dasharray="5 3" {}
                    g font-family="Georgia, serif" font-size=(LETTER * 1.3) {
                        text x=(px(p.width as f64 / 2.0)) y=(px(LETTER * 1.2)) text-anchor="middle" { "A" }
                        text x=(px(p.width as f64 + 20.0 + q.width as f64 / 2.0)) y=(px(LETTER * 1.2)) text-anchor="middle" { "B" }
                    }
                }
            };
            (p.name, picture)
        })
        .collect())
}

/// One spot of a map: a filled square where B stands outside, an open ring where it stands inside,
/// a dot where it does neither, each as large as the distance asks.
fn spot(x: f64, y: f64, apart: f64, most: f64) -> Markup {
    let full = SPOT_STEP * MAP_PER_MM * 0.46;
    let part = ((apart.abs() - SPOT_LEAST) / (most - SPOT_LEAST)).clamp(0.0, 1.0);
    let half = full * (0.28 + 0.72 * part);
    html! {
        @if apart.abs() < SPOT_LEAST {
            circle cx=(px(x)) cy=(px(y)) r="0.8" fill="#000" {}
        } @else if apart > 0.0 {
            rect x=(px(x - half)) y=(px(y - half)) width=(px(2.0 * half)) height=(px(2.0 * half)) fill="#000" {}
        } @else {
            circle cx=(px(x)) cy=(px(y)) r=(px(half - 0.6)) fill="none" stroke="#000" stroke-width="1.2" {}
        }
    }
}

/// What stands at the spots of a map.
pub(super) enum Shown<'a> {
    /// How far the one surface stands outside the other, with a key in this unit.
    Apart(Unit),
    /// A word for each spot, and what the words are.
    Words(&'a dyn Fn(f64) -> String, &'a str),
}

/// Where B stands outside or inside A, seen from the front and from behind.
pub(super) fn map(matched: &Matched<'_>, b: &Mesh, unit: Unit) -> Markup {
    let (low, high) = matched.range();
    let count = ((high - low) / SPOT_STEP).floor() as i32;
    let seen: [Vec<Spot>; 2] = [true, false].map(|front| {
        (0..=count)
            .flat_map(|i| matched.spots(high - SPOT_STEP * (f64::from(i) + 0.5), SPOT_STEP, front))
            .filter(|s| s.z > low)
            .collect()
    });
    let label = "Where B stands outside A and where inside, from the front and from behind";
    spotted(&seen, b, label, &Shown::Apart(unit))
}

/// Spots on the front and the back of `b`.
pub(super) fn spotted(seen: &[Vec<Spot>; 2], b: &Mesh, label: &str, shown: &Shown<'_>) -> Markup {
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
    let levels: Vec<(f64, &str)> = NAMED
        .iter()
        .filter_map(|(l, n)| Some((row(*b.marks.levels.get(l)?), *n)))
        .collect();
    let at = views::spread(
        &levels.iter().map(|l| l.0).collect::<Vec<_>>(),
        LETTER * 1.25,
    );
    let outline = |centre: f64, sign: f64| {
        let points = around(&s.z, &s.x).into_iter();
        path(
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
    let mark = |x: f64, y: f64, apart: f64| match shown {
        Shown::Apart(_) => spot(x, y, apart, most),
        Shown::Words(word, _) => html! {
            text x=(px(x)) y=(px(y + LETTER * 0.3)) font-family="Georgia, serif"
                font-size=(px(LETTER * 0.85)) text-anchor="middle" { (word(apart)) }
        },
    };
    let key = |unit: Unit| {
        [
            (-most, format!("inside {}", unit.show(most))),
            (-third, format!("inside {}", unit.show(third))),
            (0.0, format!("less than {}", Unit::Mm.show(SPOT_LEAST))),
            (third, format!("outside {}", unit.show(third))),
            (most, format!("outside {}", unit.show(most))),
        ]
    };
    html! {
        svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label=(label)
            viewBox=(format!("0 0 {width:.0} {height:.0}")) style=(format!("max-width:{width:.0}px")) {
            g font-family="Georgia, serif" font-size=(LETTER) fill="#000" {
                text x=(px(centres[0])) y=(px(EDGE + LETTER * 0.7)) text-anchor="middle" { "from the front" }
                text x=(px(centres[1])) y=(px(EDGE + LETTER * 0.7)) text-anchor="middle" { "from behind" }
                @for ((_, name), y) in levels.iter().zip(&at) {
                    text x=(px(f64::midpoint(centres[0], centres[1]))) y=(px(y + LETTER * 0.35)) text-anchor="middle" { (name) }
                }
            }
            g stroke="#999" stroke-width="0.7" fill="none" {
                @for ((level, _), label) in levels.iter().zip(&at) {
                    path d=(path([(EDGE, *level), (centres[0] + half, *level), (centres[0] + half + 18.0, *label)], false)) {}
                    path d=(path([(width - EDGE, *level), (centres[1] - half, *level), (centres[1] - half - 18.0, *label)], false)) {}
                }
            }
            @for (k, centre) in centres.iter().enumerate() {
                // From the front the wearer's right is on the left; from behind on the right.
                @let sign = if k == 0 { -1.0 } else { 1.0 };
                path d=(outline(*centre, sign)) fill="none" stroke="#000" stroke-width="1" {}
                @for s in &seen[k] {
                    (mark(centre + sign * s.x * MAP_PER_MM, row(s.z), s.apart))
                }
            }
            g font-family="Georgia, serif" font-size=(px(LETTER * 0.9)) {
                @match shown {
                    Shown::Apart(unit) => {
                        @for (i, (apart, words)) in key(*unit).iter().enumerate() {
                            @let x = EDGE + (width - 2.0 * EDGE) / 5.0 * (i as f64 + 0.5);
                            (spot(x, key_top, *apart, most))
                            text x=(px(x)) y=(px(key_top + 24.0)) text-anchor="middle" { (words) }
                        }
                    }
                    Shown::Words(_, words) => {
                        text x=(px(width / 2.0)) y=(px(key_top)) text-anchor="middle" { (words) }
                    }
                }
            }
        }
    }
}
