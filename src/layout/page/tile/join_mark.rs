//! The marks on a join: where they stand, and their letters.

use crate::drawing::Anchor;
use crate::drawing::Item;
use crate::geom::Point2;
use crate::geom::Vector2;
use crate::layout::draw_piece::SMALLEST_LETTER;
use crate::layout::page::sample;

/// On a chord shorter than this the join marks stand beside the piece, so far apart, mm: one alone would let the pages turn.
const TWO_MARKS: f64 = 60.0;
/// Where the first of them had best be on the chord, as a share of it, and how many places are tried for it.
const WANTED: f64 = 0.15;
const SHARES: i32 = 20;
/// They keep so far from the ends of the join line, mm.
const FROM_ENDS: f64 = 8.0;

/// Room wanted between a join mark with its letters and words, lines or holes, mm.
const MARK_ROOM: f64 = 3.0;

/// How far a join mark reaches to all sides, with room round it, mm.
const MARK: f64 = 4.5;
/// From the middle of the mark to the nearest corner of its letter, mm across and up.
const LETTER: (f64, f64) = (1.2, 1.6);
/// Height of the letters.
const LETTER_SIZE: f64 = SMALLEST_LETTER + 0.3;
/// Room for one with its number, `AB2`, mm.
const LETTER_ROOM: (f64, f64) = (6.5, 2.7);

/// A mark on a join, with its letter on each of the two pages.
#[derive(Clone, Copy, Debug)]
pub(super) struct JoinMark {
    /// In the grid.
    at: Point2,
    /// Which way from it the letter stands, across and up, on the page of each of the two cells.
    letters: [(f64, f64); 2],
}

impl JoinMark {
    /// The mark with its letter and number on the page of one of the two cells (`k`), whose axes are those of `to_page`.
    pub(super) fn items(
        &self,
        k: usize,
        named: String,
        to_page: impl Fn(Point2) -> Point2,
    ) -> Vec<Item> {
        let at = to_page(self.at);
        let mut items = sample::join_mark(at);
        let (across, up) = self.letters[k];
        let under = if up < 0.0 { LETTER_SIZE } else { 0.0 };
        items.push(Item::words(
            at + Vector2::new(across * LETTER.0, up * LETTER.1 - under),
            LETTER_SIZE,
            if across < 0.0 {
                Anchor::End
            } else {
                Anchor::Start
            },
            named,
        ));
        items
    }

    /// The box of the cross, and those of the letters.
    pub(super) fn boxes(&self) -> [(Point2, Point2); 3] {
        let reach = Vector2::repeat(MARK);
        let [one, two] = self.letters.map(|way| letter_box(self.at, way));
        [(self.at - reach, self.at + reach), one, two]
    }
}

/// The box of a letter that stands so from the mark at a point.
fn letter_box(at: Point2, (across, up): (f64, f64)) -> (Point2, Point2) {
    let near = at + Vector2::new(across * LETTER.0, up * LETTER.1);
    let far = near + Vector2::new(across * LETTER_ROOM.0, up * LETTER_ROOM.1);
    let (low, high) = (near.coords.inf(&far.coords), near.coords.sup(&far.coords));
    (low.into(), high.into())
}

/// Where the two join marks stand on a line: inside the piece where it is wide enough, well apart, off words and holes where there
/// is room.
pub(super) fn places(
    outline: &[Point2],
    [a, b]: [Point2; 2],
    between: [(usize, usize); 2],
    taken: &[(Point2, Point2)],
) -> Vec<JoinMark> {
    let upright = (b.x - a.x).abs() < (b.y - a.y).abs();
    let along = |p: Point2| if upright { p.y } else { p.x };
    let across = |p: Point2| if upright { p.x } else { p.y };
    let level = across(a);
    let (from, to) = (along(a).min(along(b)), along(a).max(along(b)));
    let mut cuts = Vec::new();
    for (k, &p) in outline.iter().enumerate() {
        let q = outline[(k + 1) % outline.len()];
        if (across(p) > level) != (across(q) > level) {
            let t = (level - across(p)) / (across(q) - across(p));
            cuts.push((along(p) + t * (along(q) - along(p))).clamp(from, to));
        }
    }
    let low = cuts.iter().copied().fold(f64::INFINITY, f64::min);
    let high = cuts.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let point = |s: f64| {
        if upright {
            Point2::new(level, s)
        } else {
            Point2::new(s, level)
        }
    };
    if high - low <= 0.0 {
        return vec![lettered(point((from + to) / 2.0), between, taken).1];
    }
    let (low, high) = if high - low < TWO_MARKS {
        let middle = f64::midpoint(low, high);
        (
            (middle - TWO_MARKS / 2.0).max(from + FROM_ENDS),
            (middle + TWO_MARKS / 2.0).min(to - FROM_ENDS),
        )
    } else {
        (low, high)
    };
    let length = high - low;
    // Shares of the chord, the wanted one first.
    let choose = |shares: &[f64]| {
        let mut best: Option<(f64, JoinMark)> = None;
        for share in shares {
            let (room, mark) = lettered(point(low + length * share), between, taken);
            if best.is_none_or(|(most, _)| room > most) {
                best = Some((room, mark));
            }
        }
        best.map(|(_, mark)| mark)
    };
    // From where each had best be both ways to the middle.
    let mut first: Vec<f64> = (0..=SHARES)
        .map(|k| f64::from(k) / f64::from(2 * SHARES))
        .collect();
    first.sort_by(|a, b| (a - WANTED).abs().total_cmp(&(b - WANTED).abs()));
    let second: Vec<f64> = first.iter().map(|share| 1.0 - share).collect();
    [choose(&first), choose(&second)]
        .into_iter()
        .flatten()
        .collect()
}

/// A mark at a point with its letters where there is most room, and how much that is, mm. On each page the letter stands
/// on the side of the join whose paper stays when it is cut there.
fn lettered(
    at: Point2,
    between: [(usize, usize); 2],
    taken: &[(Point2, Point2)],
) -> (f64, JoinMark) {
    let room = |(low, high): (Point2, Point2)| {
        let apart = |(a, b): &(Point2, Point2)| {
            (a.x - high.x)
                .max(low.x - b.x)
                .max(a.y - high.y)
                .max(low.y - b.y)
        };
        taken.iter().map(apart).fold(MARK_ROOM, f64::min)
    };
    let [one, two] = between;
    let found = [(one, two), (two, one)].map(|(cell, other)| {
        // Away from the other page; along the join either way, to the right and up first.
        let ways = if cell.0 == other.0 {
            let up = if other.1 > cell.1 { -1.0 } else { 1.0 };
            [(1.0, up), (-1.0, up)]
        } else {
            let across = if other.0 > cell.0 { -1.0 } else { 1.0 };
            [(across, 1.0), (across, -1.0)]
        };
        let rooms = ways.map(|way| (room(letter_box(at, way)), way));
        if rooms[1].0 > rooms[0].0 {
            rooms[1]
        } else {
            rooms[0]
        }
    });
    let reach = Vector2::repeat(MARK);
    let least = found
        .iter()
        .map(|f| f.0)
        .fold(room((at - reach, at + reach)), f64::min);
    let letters = found.map(|f| f.1);
    (least, JoinMark { at, letters })
}
