//! The joins between the pages of one piece: lines, lettered marks, and which page lies beyond.

use crate::drawing::Anchor;
use crate::drawing::Item;
use crate::drawing::Pen;
use crate::geom::Outline;
use crate::geom::Point2;
use crate::geom::Vector2;
use crate::layout::bounds;
use crate::layout::draw_piece::SMALLEST_LETTER;
use crate::layout::page::frame::Frame;
use crate::layout::page::tile::PageSpread;
use crate::layout::page::tile::join_mark::JoinMark;
use crate::layout::page::tile::join_mark::places;
use crate::layout::page::tile::turned_box;

/// A join line is left out so far round words, mm.
const OFF_WORDS: f64 = 0.8;

/// Room wanted between a hint and all else, mm.
const HINT_ROOM: f64 = 6.0;

/// A hint is clear with this room, mm.
const HINT_CLEAR: f64 = 0.5;

/// How far this side of a join a hint stands that is not clear beyond it, mm: as near as may be.
const HINT_INSIDE: [f64; 6] = [4.0, 8.0, 12.0, 16.0, 24.0, 32.0];

/// Half the length of the longest hint, mm: `join AB: page 888`.
const HINT: f64 = 13.0;

/// One join between two pages.
#[derive(Clone, Debug)]
pub(in crate::layout::page) struct Join {
    /// Letter.
    pub(in crate::layout::page) letter: String,
    /// The two cells.
    pub(in crate::layout::page) between: [(usize, usize); 2],
    /// Ends of the join line in the grid.
    line: [Point2; 2],
    /// What is drawn of it: all but where words stand.
    drawn: Vec<[Point2; 2]>,
    marks: Vec<JoinMark>,
    /// Where the hint stands on the page of each of the two cells, in the grid.
    hints: Vec<Hint>,
}

/// Where the words stand that name the page beyond a join.
#[derive(Clone, Copy, Debug)]
struct Hint {
    at: Point2,
    upright: bool,
}

impl Join {
    /// The ends of the join line in the grid.
    pub(in crate::layout::page) fn ends(&self) -> [Point2; 2] {
        self.line
    }

    /// Corners of the join marks with their letters, and of the hints, in the grid.
    pub(in crate::layout::page) fn boxes(&self) -> impl Iterator<Item = [Point2; 4]> + '_ {
        let marks = self.marks.iter().flat_map(|m| {
            m.boxes().map(|(low, high)| {
                [
                    low,
                    Point2::new(high.x, low.y),
                    high,
                    Point2::new(low.x, high.y),
                ]
            })
        });
        let hints = self.hints.iter().map(|hint| {
            let half = half_of_hint(hint.upright);
            let (x, y) = (half.x, half.y);
            [(-x, -y), (x, -y), (x, y), (-x, y)].map(|(x, y)| hint.at + Vector2::new(x, y))
        });
        marks.chain(hints)
    }
}

impl PageSpread {
    /// The joins between neighbouring pages, lettered, for what is drawn in this outline. Join lines leave out the
    /// boxes of `words`, and marks and hints keep off those and the boxes of `strokes`, all in the axes of the piece.
    pub(in crate::layout::page) fn joins(
        &self,
        outline: &Outline,
        words: &[(Point2, Point2)],
        strokes: &[(Point2, Point2)],
    ) -> Vec<Join> {
        let pose = self.pose_in_grid();
        let outline: Vec<Point2> = outline.points.iter().map(|&p| pose.apply(p)).collect();
        let turned = |boxes: &[(Point2, Point2)]| -> Vec<(Point2, Point2)> {
            boxes.iter().map(|&each| turned_box(each, &pose)).collect()
        };
        let words = turned(words);
        let mut taken = words.clone();
        taken.extend(turned(strokes));
        let mut joins: Vec<Join> = Vec::new();
        for &(c, r) in &self.cells {
            let (low, high) = self.share((c, r));
            // To the right, and down (reading order).
            let right = ((c + 1, r), [Point2::new(high.x, low.y), high]);
            let down = r
                .checked_sub(1)
                .map(|under| ((c, under), [low, Point2::new(high.x, low.y)]));
            for (other, line) in std::iter::once(right).chain(down) {
                if !self.cells.contains(&other) {
                    continue;
                }
                joins.push(Join {
                    letter: letter(joins.len()),
                    between: [(c, r), other],
                    marks: places(&outline, line, [(c, r), other], &taken),
                    drawn: stretches_beside(line, &words),
                    line,
                    hints: Vec::new(),
                });
            }
        }
        // Hints keep off all marks, those of joins that cross theirs too.
        for join in &joins {
            taken.extend(join.boxes().filter_map(|corners| bounds(&corners)));
        }
        for join in &mut joins {
            let [one, two] = join.between;
            join.hints = [(one, two), (two, one)]
                .map(|(cell, other)| {
                    hint(join.line, self.beyond(cell, other), (cell, other), &taken)
                })
                .to_vec();
            // A hint inside one join may come near the next one.
            taken.extend(join.boxes().filter_map(|corners| bounds(&corners)));
        }
        joins
    }

    /// The join lines, marks and hints of one page. `page_of` gives the number of another page.
    pub(in crate::layout::page) fn join_items(
        &self,
        joins: &[Join],
        cell: (usize, usize),
        frame: &Frame,
        page_of: impl Fn((usize, usize)) -> usize,
    ) -> Vec<Item> {
        let to_page = |p: Point2| {
            Point2::new(
                p.x - cell.0 as f64 * self.step.0 + frame.low.x,
                p.y - cell.1 as f64 * self.step.1 + frame.low.y,
            )
        };
        let mut items = Vec::new();
        for join in joins {
            let Some(k) = join.between.iter().position(|&c| c == cell) else {
                continue;
            };
            let other = join.between[1 - k];
            for ends in &join.drawn {
                let ends = ends.map(to_page).to_vec();
                items.push(Item::path(Pen::Fine, ends, false));
            }
            for (n, &mark) in join.marks.iter().enumerate() {
                let named = format!("{}{}", join.letter, n + 1);
                items.extend(mark.items(k, named, to_page));
            }
            let Hint { at, upright } = join.hints[k];
            let half = SMALLEST_LETTER / 2.0;
            let off = if upright {
                Vector2::new(half, 0.0)
            } else {
                Vector2::new(0.0, -half)
            };
            items.push(Item::Text {
                at: to_page(at) + off,
                size: SMALLEST_LETTER,
                turn: if upright {
                    std::f64::consts::FRAC_PI_2
                } else {
                    0.0
                },
                anchor: Anchor::Middle,
                words: format!("join {}: page {}", join.letter, page_of(other)),
            });
        }
        items
    }
}

/// A line level or upright without what runs through some boxes.
fn stretches_beside([a, b]: [Point2; 2], boxes: &[(Point2, Point2)]) -> Vec<[Point2; 2]> {
    let d = b - a;
    let length = d.norm();
    if length <= 0.0 {
        return Vec::new();
    }
    let e = d / length;
    // Where each box begins and ends along the line.
    let mut gaps: Vec<(f64, f64)> = boxes
        .iter()
        .filter_map(|(low, high)| {
            let room = Vector2::repeat(OFF_WORDS);
            let (from, to) = ((low - room - a).dot(&e), (high + room - a).dot(&e));
            let across = Vector2::new(-e.y, e.x);
            let (under, over) = ((low - a).dot(&across), (high - a).dot(&across));
            (under * over < 0.0).then_some((from.min(to), from.max(to)))
        })
        .collect();
    gaps.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut out = Vec::new();
    let mut from = 0.0_f64;
    for (begin, end) in gaps.into_iter().chain([(length, length)]) {
        let to = begin.min(length);
        if to > from {
            out.push([a + e * from, a + e * to]);
        }
        from = from.max(end);
    }
    out
}

/// Half the breadth and height of a hint.
fn half_of_hint(upright: bool) -> Vector2 {
    if upright {
        Vector2::new(SMALLEST_LETTER, HINT)
    } else {
        Vector2::new(HINT, SMALLEST_LETTER)
    }
}

/// Where the words stand that say which page lies beyond a join: beyond the line, in the strip that the page has
/// `beside` it (mm), along it, where they are farthest from what is `taken` and from its ends. Where they are clear nowhere there, this side of it.
fn hint(
    [a, b]: [Point2; 2],
    beside: f64,
    (cell, other): ((usize, usize), (usize, usize)),
    taken: &[(Point2, Point2)],
) -> Hint {
    let sign = |a: usize, b: usize| match b.cmp(&a) {
        std::cmp::Ordering::Greater => 1.0,
        std::cmp::Ordering::Less => -1.0,
        std::cmp::Ordering::Equal => 0.0,
    };
    let beyond = Vector2::new(sign(cell.0, other.0), sign(cell.1, other.1));
    let upright = cell.0 != other.0;
    let half = half_of_hint(upright);
    let mut best = (f64::NEG_INFINITY, a + (b - a) / 2.0);
    let long = (b - a).norm();
    for off in std::iter::once(beside / 2.0).chain(HINT_INSIDE.map(|inside| -inside)) {
        for k in 1..60 {
            let share = f64::from(k) / 60.0;
            // Past its ends is the edge of the paper or another join.
            let end = long * share.min(1.0 - share) - HINT;
            if end < 0.0 {
                continue;
            }
            let at = a + (b - a) * share + beyond * off;
            let apart = |(low, high): &(Point2, Point2)| {
                let dx = (low.x - at.x - half.x).max(at.x - half.x - high.x);
                let dy = (low.y - at.y - half.y).max(at.y - half.y - high.y);
                dx.max(dy)
            };
            let room = taken.iter().map(apart).fold(HINT_ROOM.min(end), f64::min);
            if room > best.0 {
                best = (room, at);
            }
        }
        if best.0 > HINT_CLEAR {
            break;
        }
    }
    Hint {
        at: best.1,
        upright,
    }
}

/// A, B, ... Z, AA, AB, ...
fn letter(k: usize) -> String {
    let last = char::from(b'A' + u8::try_from(k % 26).unwrap_or(0));
    if k < 26 {
        last.to_string()
    } else {
        letter(k / 26 - 1) + &last.to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn join_lines_leave_words_out() {
        let p = Point2::new;
        for (line, boxed, clear) in [
            (
                [p(0.0, 5.0), p(100.0, 5.0)],
                (p(40.0, 3.0), p(60.0, 6.0)),
                true,
            ),
            (
                [p(100.0, 5.0), p(0.0, 5.0)],
                (p(40.0, 3.0), p(60.0, 6.0)),
                true,
            ),
            (
                [p(5.0, 0.0), p(5.0, 100.0)],
                (p(3.0, 40.0), p(6.0, 60.0)),
                true,
            ),
            (
                [p(0.0, 9.0), p(100.0, 9.0)],
                (p(40.0, 3.0), p(60.0, 6.0)),
                false,
            ),
        ] {
            let drawn = stretches_beside(line, &[boxed]);
            let long: f64 = drawn.iter().map(|[a, b]| (b - a).norm()).sum();
            let left = if clear {
                100.0 - 20.0 - 2.0 * OFF_WORDS
            } else {
                100.0
            };
            approx::assert_relative_eq!(long, left, max_relative = 1e-12);
            assert_eq!(drawn.len(), if clear { 2 } else { 1 });
            for [a, b] in drawn {
                let (low, high) = bounds(&[a, b]).unwrap();
                let beside = low.x > boxed.1.x
                    || high.x < boxed.0.x
                    || low.y > boxed.1.y
                    || high.y < boxed.0.y;
                assert!(beside);
            }
        }
        // Words at the end of a line, and two that overlap.
        let boxes = [
            (p(-5.0, 4.0), p(10.0, 6.0)),
            (p(20.0, 4.0), p(40.0, 6.0)),
            (p(30.0, 4.0), p(50.0, 6.0)),
        ];
        let drawn = stretches_beside([p(0.0, 5.0), p(100.0, 5.0)], &boxes);
        let ends: Vec<(f64, f64)> = drawn.iter().map(|[a, b]| (a.x, b.x)).collect();
        assert_eq!(
            ends,
            [
                (10.0 + OFF_WORDS, 20.0 - OFF_WORDS),
                (50.0 + OFF_WORDS, 100.0)
            ]
        );
    }

    #[test]
    fn letters_go_on_after_z() {
        assert_eq!(letter(0), "A");
        assert_eq!(letter(25), "Z");
        assert_eq!(letter(26), "AA");
        assert_eq!(letter(27), "AB");
    }
}
