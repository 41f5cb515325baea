//! What stands on every page: check bars on both axes and the diagonal, what it is, where it
//! belongs.

use crate::drawing::Anchor;
use crate::drawing::Item;
use crate::drawing::Pen;
use crate::error::Error;
use crate::face;
use crate::geom::Point2;
use crate::imprint::PROGRAM;
use crate::layout::draw_piece::SMALLEST_LETTER;
use crate::layout::facts::LayoutFact;
use crate::layout::page::fitted::Entries;
use crate::layout::page::fitted::fitted;
use crate::units::Unit;
use crate::workshop::{INCH_BAR, Paper};

/// Half the length of the strokes of a corner cross, mm.
const CORNER: f64 = 1.5;
/// Room beyond a bar for its words, mm.
const BAR_WORDS: f64 = 15.0;
/// Room above those for how to print, mm: the shortest words of [`Frame::advice`].
const ADVICE: f64 = 32.0;
/// Width of the strip at the left, mm.
const LEFT: f64 = 8.0;
/// Height of the strip at the foot, mm.
const FOOT: f64 = 12.5;
/// Least room for the words in the foot beside the bars, mm.
const FOOT_WORDS: f64 = 40.0;
/// Side of the little map in the foot, mm.
const MAP: f64 = 13.0;
/// From one line of words to the next, mm.
pub(super) const LINE: f64 = 4.2;

/// The paper and the window in which pieces are drawn.
#[derive(Clone, Copy, Debug)]
pub(super) struct Frame {
    pub(super) width: f64,
    pub(super) height: f64,
    pub(super) margin: f64,
    /// Lower left corner of the window.
    pub(super) low: Point2,
    /// Upper right corner of the window.
    pub(super) high: Point2,
    /// Whether the words of the foot stand above the bars rather than beside them.
    narrow: bool,
    /// Lengths of the metric bars along the page and across it.
    bars: (f64, f64),
    /// What its words are written in.
    pub(super) unit: Unit,
}

/// Whose pages they are.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Whose<'a> {
    /// Name of the form.
    pub(super) name: &'a str,
    /// Imprint of the body; empty where none is known.
    pub(super) body: &'a str,
    /// Whether what is drawn is half as large as the body.
    pub(super) half_scale: bool,
    /// The first layer that is cut again for a pile; nothing where all are cut.
    pub(super) again_from: Option<usize>,
}

/// What all pages of a file have in common.
#[derive(Clone, Copy, Debug)]
pub(super) struct PageSet<'a> {
    pub(super) frame: &'a Frame,
    /// Whether they are cut off a roll.
    pub(super) roll: bool,
    pub(super) whose: Whose<'a>,
    /// How many there are.
    pub(super) total: usize,
}

/// What the foot of a page says.
#[derive(Clone, Debug, Default)]
pub(super) struct PageFoot<'a> {
    /// Whose page it is.
    pub(super) whose: Whose<'a>,
    /// What is on the page.
    pub(super) what: Entries,
    /// Row and column, when a piece lies over several pages.
    pub(super) place: String,
    /// This page, counted from 1, and how many there are.
    pub(super) number: (usize, usize),
}

impl Frame {
    /// The frame of a page.
    pub(super) fn new(paper: &Paper) -> Result<Self, Error> {
        let bars = paper.bars();
        // What a printer makes longer or shorter comes out at true size on a page that is counted
        // shorter or longer by as much.
        let printing = paper.printing();
        let (width, height) = (paper.width * printing.1, paper.height * printing.0);
        let across = width - 2.0 * paper.margin;
        let narrow = across < LEFT + bars.1 * INCH_BAR + BAR_WORDS + FOOT_WORDS + MAP;
        let foot = if narrow { FOOT + 3.0 * LINE } else { FOOT };
        let up = height - 2.0 * paper.margin;
        if !(across >= LEFT + bars.1 * INCH_BAR + BAR_WORDS
            && up >= foot + bars.0 * INCH_BAR + BAR_WORDS)
        {
            return Err(Error::layout(LayoutFact::PaperTooSmall {
                paper: paper.name.clone(),
                size: [paper.width, paper.height],
                margin: paper.margin,
                bars: bars.into(),
            }));
        }
        Ok(Self {
            width,
            height,
            margin: paper.margin,
            low: Point2::new(paper.margin + LEFT, paper.margin + foot),
            high: Point2::new(width - paper.margin, height - paper.margin),
            narrow,
            bars,
            unit: paper.unit,
        })
    }

    /// Breadth and height of the window.
    pub(super) fn window(&self) -> (f64, f64) {
        (self.high.x - self.low.x, self.high.y - self.low.y)
    }

    /// The same frame with a window just `height` high, for pages cut off a roll.
    pub(super) fn shortened(&self, height: f64) -> Self {
        let least = self.bars.0 * INCH_BAR + BAR_WORDS + ADVICE + 3.0 * CORNER;
        let high = self.low.y + height.max(least);
        Self {
            height: high + self.margin,
            high: Point2::new(self.high.x, high),
            ..*self
        }
    }

    /// Bars, words and frame.
    pub(super) fn furniture(&self, foot: &PageFoot<'_>) -> Result<Vec<Item>, Error> {
        let mut items = self.bars();
        items.extend(self.corners());
        self.advice(&mut items)?;
        if !foot.whose.body.is_empty() {
            // Between the two bars, clear of the strokes at their ends.
            let at = Point2::new(self.margin + LEFT + 5.0, self.margin + 3.9);
            let mut of = format!("{PROGRAM}, body {}", foot.whose.body);
            if foot.whose.half_scale {
                of.push_str(", half scale");
            }
            if let Some(first) = foot.whose.again_from {
                of.push_str(&format!(", cut again from layer {first}"));
            }
            items.push(Item::words(at, SMALLEST_LETTER, Anchor::Start, of));
        }
        let (x, to, top) = if self.narrow {
            (
                self.margin + LEFT + 2.0 * CORNER,
                self.high.x - MAP - 2.0,
                self.low.y - SMALLEST_LETTER - 1.0,
            )
        } else {
            (
                self.margin + LEFT + self.bars.1 * INCH_BAR + BAR_WORDS,
                self.high.x - MAP - 2.0,
                self.margin + FOOT - SMALLEST_LETTER - 1.0,
            )
        };
        let number = format!("page {} of {}", foot.number.0, foot.number.1);
        let beside = face::text_width(&format!(", {number}"), SMALLEST_LETTER)?;
        let (name, _) = fitted(foot.whose.name, SMALLEST_LETTER, to - x - beside)?;
        let head = if name.is_empty() {
            number
        } else {
            format!("{name}, {number}")
        };
        let size = SMALLEST_LETTER + 0.3;
        let mut lines = vec![fitted(&head, size, to - x)?];
        // A long list takes the line of the place, where there is none.
        let what = foot.what.lines(SMALLEST_LETTER, to - x)?;
        if let ([first, rest @ ..], true) =
            (what.as_slice(), foot.place.is_empty() && what.len() > 1)
        {
            lines.push(fitted(&first.line(), size, to - x)?);
            lines.push(Entries::of_lines(rest).fitted(size, to - x)?);
        } else {
            lines.push(foot.what.fitted(size, to - x)?);
            lines.push(fitted(&foot.place, size, to - x)?);
        }
        for (k, (words, size)) in lines.into_iter().enumerate() {
            items.push(Item::words(
                Point2::new(x, top - k as f64 * LINE * 0.9),
                size,
                Anchor::Start,
                words,
            ));
        }
        Ok(items)
    }

    /// Lower left corner and side of the place for the little map.
    pub(super) fn map(&self) -> (Point2, f64) {
        let side = if self.narrow { MAP } else { FOOT - 1.0 };
        (
            Point2::new(self.high.x - MAP, self.low.y - side - 1.0),
            side,
        )
    }

    /// Upper right one of the crosses in the corners, the others level with it and with
    /// [`Frame::low`]; and the distance from corner to corner, mm.
    fn diagonal(&self) -> (Point2, f64) {
        let far = Point2::new(self.high.x - CORNER, self.high.y - CORNER);
        (far, (far - self.low).norm())
    }

    /// Crosses in the corners: both diagonals between them are the same on a page that is not
    /// drawn askew.
    fn corners(&self) -> Vec<Item> {
        let (far, _) = self.diagonal();
        let mut items = Vec::with_capacity(8);
        for x in [self.low.x, far.x] {
            for y in [self.low.y, far.y] {
                for (dx, dy) in [(CORNER, 0.0), (0.0, CORNER)] {
                    let ends = vec![Point2::new(x - dx, y - dy), Point2::new(x + dx, y + dy)];
                    items.push(Item::path(Pen::Mark, ends, false));
                }
            }
        }
        items
    }

    /// Millimetres and inches, along the foot and up the left side.
    fn bars(&self) -> Vec<Item> {
        let mut items = Vec::new();
        let foot = self.margin;
        let corner = Point2::new(self.margin + LEFT, self.low.y);
        for (more, level, out) in [
            (1.0, foot + 7.5, self.margin + 2.0),
            (INCH_BAR, foot + 2.5, self.margin + 6.0),
        ] {
            let words = |bar: f64| {
                if more > 1.0 {
                    format!("{:.0} in", bar / 25.0)
                } else {
                    format!("{bar:.0} mm")
                }
            };
            let length = self.bars.1 * more;
            let stroke = |a: Point2, b: Point2| Item::path(Pen::Mark, vec![a, b], false);
            let (x, y) = (corner.x, level);
            items.push(stroke(Point2::new(x, y), Point2::new(x + length, y)));
            for end in [x, x + length] {
                items.push(stroke(Point2::new(end, y - 1.5), Point2::new(end, y + 1.5)));
            }
            items.push(Item::words(
                Point2::new(x + length + 2.0, y - SMALLEST_LETTER / 2.0),
                SMALLEST_LETTER,
                Anchor::Start,
                words(self.bars.1),
            ));
            let length = self.bars.0 * more;
            let (x, y) = (out, corner.y);
            items.push(stroke(Point2::new(x, y), Point2::new(x, y + length)));
            for end in [y, y + length] {
                items.push(stroke(Point2::new(x - 1.5, end), Point2::new(x + 1.5, end)));
            }
            items.push(upright(
                Point2::new(x + SMALLEST_LETTER / 2.0, y + length + 2.0),
                SMALLEST_LETTER,
                words(self.bars.0),
            ));
        }
        items
    }

    /// How to print and check, up the left side.
    fn advice(&self, items: &mut Vec<Item>) -> Result<(), Error> {
        let from = self.low.y + self.bars.0 * INCH_BAR + BAR_WORDS + 2.0;
        // The cross in the corner stands out into the strip.
        let room = self.high.y - 3.0 * CORNER - from;
        let across = self.unit.fine(self.diagonal().1);
        let lines = [
            [
                "print at 100 %, measure the bars before cutting".to_owned(),
                "print at 100 %, measure first".to_owned(),
                "print at 100 %".to_owned(),
            ],
            [
                format!("corner cross to corner cross, both ways: {across}"),
                format!("corners, both ways: {across}"),
                format!("+ to +: {across}"),
            ],
        ];
        for (k, choices) in lines.iter().enumerate() {
            let mut words = &choices[choices.len() - 1];
            for choice in choices.iter().rev() {
                if face::text_width(choice, SMALLEST_LETTER)? <= room {
                    words = choice;
                }
            }
            items.push(upright(
                Point2::new(
                    self.margin + SMALLEST_LETTER + 0.8 + k as f64 * LINE * 0.9,
                    from,
                ),
                SMALLEST_LETTER,
                words.to_owned(),
            ));
        }
        Ok(())
    }
}

/// Words running up the page.
fn upright(at: Point2, size: f64, words: String) -> Item {
    Item::Text {
        at,
        size,
        turn: std::f64::consts::FRAC_PI_2,
        anchor: Anchor::Start,
        words,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Outline;

    /// The box of words, which stand level or upright.
    fn box_of(item: &Item) -> Option<(Point2, Point2, &str)> {
        let Item::Text {
            at,
            size,
            turn,
            words,
            ..
        } = item
        else {
            return None;
        };
        let long = face::text_width(words, *size).unwrap();
        let (low, high) = if *turn > 0.0 {
            (
                Point2::new(at.x - size, at.y),
                Point2::new(at.x, at.y + long),
            )
        } else {
            (*at, Point2::new(at.x + long, at.y + size))
        };
        Some((low, high, words))
    }

    #[test]
    fn words_of_the_frame_run_into_no_line_and_off_no_page() {
        for (width, height) in [
            (210.0, 297.0),
            (297.0, 210.0),
            (148.0, 210.0),
            (215.9, 279.4),
            (297.0, 420.0),
            (900.0, 1200.0),
        ] {
            for margin in [5.0, 10.0, 15.0] {
                let paper = Paper {
                    width,
                    height,
                    margin,
                    ..crate::workshop::Workshop::default().paper
                };
                let Ok(whole) = Frame::new(&paper) else {
                    continue;
                };
                // Off a roll a page is as short as what stands on it.
                for frame in [whole.shortened(20.0), whole] {
                    let foot = PageFoot {
                        whose: Whose {
                            name: "contralto",
                            body: "68ea83",
                            half_scale: true,
                            again_from: Some(12),
                        },
                        what: Entries::one("layer 12 of 120 (waist)"),
                        place: "row 1 of 2, column 2 of 2".into(),
                        number: (12, 120),
                    };
                    let items = frame.furniture(&foot).unwrap();
                    let words: Vec<_> = items.iter().filter_map(box_of).collect();
                    assert!(words.len() >= 7);
                    for (low, high, said) in &words {
                        assert!(low.x >= margin && low.y >= margin, "{width}: {said}");
                        assert!(high.x <= frame.width - margin && high.y <= frame.height - margin);
                        for item in &items {
                            if let Item::Path { points, .. } = item {
                                let line = Outline::new(points.clone());
                                assert!(!line.meets(*low, *high), "{width} {margin}: {said}");
                            }
                        }
                        for (a, b, other) in &words {
                            let apart =
                                a.x >= high.x || b.x <= low.x || a.y >= high.y || b.y <= low.y;
                            assert!(other == said || apart, "{width}: {said}, {other}");
                        }
                    }
                }
            }
        }
    }
}
