//! The first pages: how to prove the scale, what the lines mean, which piece is on which page.

use crate::drawing::Anchor;
use crate::drawing::Drawing;
use crate::drawing::Group;
use crate::drawing::Item;
use crate::drawing::Pen;
use crate::error::Error;
use crate::face;
use crate::geom::Point2;
use crate::layout::draw_piece::SMALLEST_LETTER;
use crate::layout::page::advice::About;
use crate::layout::page::fitted::Entries;
use crate::layout::page::fitted::fitted;
use crate::layout::page::fitted::wrapped;
use crate::layout::page::frame::Frame;
use crate::layout::page::frame::LINE;
use crate::layout::page::frame::PageFoot;
use crate::layout::page::frame::PageSet;
use crate::layout::page::trimming::PICTURE;
use crate::layout::page::trimming::trimming;

/// Height of ordinary letters, mm.
const LETTER: f64 = 2.5;
/// Width of one column of the list of pages, mm: of single layers, and of several at once.
const COLUMNS: (f64, f64) = (56.0, 59.0);
/// Room for the page numbers in a column, mm.
const NUMBERS: f64 = 19.0;
/// Length of a sample of a line with its gap, mm.
const SAMPLE: f64 = 29.0;

/// How far the further lines of one entry are set in, mm.
const SET_IN: f64 = 4.0;

/// A line of the list of pages.
struct ListLine {
    words: String,
    /// Which entry begins here; nothing where the line above goes on.
    entry: Option<usize>,
}

/// The lines of the list for entries of these `names`: one each, or as many as a long name takes.
fn lines(names: &[Entries], width: f64) -> Result<Vec<ListLine>, Error> {
    let mut all = Vec::with_capacity(names.len());
    for (entry, name) in names.iter().enumerate() {
        let words = name.words();
        let parts = if face::text_width(&words, SMALLEST_LETTER)? <= width {
            vec![words]
        } else {
            let lines = name.lines(LETTER, width - SET_IN)?;
            lines.iter().map(Entries::line).collect()
        };
        all.extend(parts.into_iter().enumerate().map(|(k, words)| ListLine {
            words,
            entry: (k == 0).then_some(entry),
        }));
    }
    Ok(all)
}

/// Title, advice and legend, and the list laid out under them.
pub(super) struct FrontMatter {
    head: Vec<Item>,
    title: Item,
    list: Vec<ListLine>,
    /// For each page: lines before it, lines in a column, columns, height down to the list.
    shares: Vec<(usize, usize, usize, f64)>,
}

impl FrontMatter {
    /// Lays out the first pages for a list of entries with these `names`.
    pub(super) fn new(
        frame: &Frame,
        title: &str,
        names: &[Entries],
        about: About,
    ) -> Result<Self, Error> {
        let (width, height) = frame.window();
        let width = width - 4.0;
        let x = frame.low.x + 2.0;
        let (words, size) = fitted(title, 6.0, width)?;
        let title = Item::words(
            Point2::new(x, frame.high.y - 7.0),
            size,
            Anchor::Start,
            words,
        );
        // The line under the title is left free: what it says depends on how many pages there are.
        let mut y = frame.high.y - 7.0 - LINE * 2.5;
        let mut head = Vec::new();
        for (k, advice) in about.advice().iter().enumerate() {
            let mut number = Some(format!("{}.", k + 1));
            for line in wrapped(advice, LETTER, width - 6.0)? {
                y -= LINE * 0.95;
                if let Some(number) = number.take() {
                    head.push(Item::words(
                        Point2::new(x, y),
                        LETTER,
                        Anchor::Start,
                        number,
                    ));
                }
                head.push(Item::words(
                    Point2::new(x + 6.0, y),
                    LETTER,
                    Anchor::Start,
                    line,
                ));
            }
        }
        y -= LINE * 0.7;
        legend(&mut head, x, &mut y, width, about)?;
        let above = frame.high.y - y + LINE * 2.5;
        let again = 14.0 + LINE;
        let column = if about.has_long_names() {
            COLUMNS.1
        } else {
            COLUMNS.0
        };
        let columns = (1..=12)
            .take_while(|&n| n as f64 * column <= width)
            .last()
            .unwrap_or(1);
        let list = lines(names, width / columns as f64 - NUMBERS - 5.0)?;
        let mut shares = Vec::new();
        let mut before = 0;
        while shares.is_empty() || before < list.len() {
            let top = if shares.is_empty() { above } else { again };
            let deepest = (1..=10_000)
                .take_while(|&n| n as f64 * LINE <= height - top)
                .last()
                .unwrap_or(usize::from(!shares.is_empty()));
            let here = (list.len() - before).min(deepest * columns);
            shares.push((before, here.div_ceil(columns), columns, top));
            before += here;
        }
        Ok(Self {
            head,
            title,
            list,
            shares,
        })
    }

    /// How many pages there are.
    pub(super) fn count(&self) -> usize {
        self.shares.len()
    }

    /// Height that one of them needs, mm.
    fn height(&self, page: usize) -> f64 {
        let (_, deep, _, top) = self.shares[page];
        top + deep as f64 * LINE
    }

    /// The first pages of a set with their frames; `what` stands at their foot, `numbers` are the pages of each
    /// entry.
    pub(super) fn sheets(
        &self,
        set: &PageSet<'_>,
        what: &Entries,
        subtitle: &str,
        numbers: &[String],
    ) -> Result<Vec<Drawing>, Error> {
        let mut pages = Vec::with_capacity(self.count());
        for k in 0..self.count() {
            let mut items = self.items(set.frame, subtitle, numbers, k)?;
            // Off a roll a page is as long as it need be.
            let frame = if set.roll {
                let shortened = set.frame.shortened(self.height(k));
                let sink = set.frame.high.y - shortened.high.y;
                items.iter_mut().for_each(|item| item.lower(sink));
                shortened
            } else {
                *set.frame
            };
            items.extend(frame.furniture(&PageFoot {
                whose: set.whose,
                what: what.clone(),
                place: String::new(),
                number: (k + 1, set.total),
            })?);
            pages.push(Drawing {
                width: frame.width,
                height: frame.height,
                title: what.words(),
                groups: vec![Group {
                    id: "cover".into(),
                    items,
                    clip: None,
                }],
            });
        }
        Ok(pages)
    }

    /// The strokes and words of one page, without its frame. `subtitle` stands under the title.
    fn items(
        &self,
        frame: &Frame,
        subtitle: &str,
        numbers: &[String],
        page: usize,
    ) -> Result<Vec<Item>, Error> {
        let (before, deep, columns, top) = self.shares[page];
        let (width, _) = frame.window();
        let width = width - 4.0;
        let x = frame.low.x + 2.0;
        let mut items = vec![self.title.clone()];
        if page == 0 {
            let at = Point2::new(x, frame.high.y - 7.0 - LINE * 1.7);
            let (words, size) = fitted(subtitle, 3.0, width)?;
            items.push(Item::words(at, size, Anchor::Start, words));
            items.extend(self.head.iter().cloned());
        }
        let column = width / columns as f64;
        let top = frame.high.y - top;
        let here = self.list.iter().skip(before).take(deep * columns);
        for (k, line) in here.enumerate() {
            let left = x + (k / deep) as f64 * column;
            let y = top - (k % deep) as f64 * LINE;
            if let Some(entry) = line.entry {
                let (pages, size) = fitted(&numbers[entry], LETTER, NUMBERS)?;
                items.push(Item::words(
                    Point2::new(left + column - 4.0, y),
                    size,
                    Anchor::End,
                    pages,
                ));
            }
            let inset = if line.entry.is_some() { 0.0 } else { SET_IN };
            let (words, size) = fitted(&line.words, LETTER, column - NUMBERS - 5.0 - inset)?;
            items.push(Item::words(
                Point2::new(left + inset, y),
                size,
                Anchor::Start,
                words,
            ));
        }
        Ok(items)
    }
}

/// Samples of the lines with their meaning; `y` goes down as they are written.
fn legend(
    items: &mut Vec<Item>,
    x: f64,
    y: &mut f64,
    width: f64,
    about: About,
) -> Result<(), Error> {
    let say = |words: &str, y: &mut f64| -> Result<Vec<Item>, Error> {
        let mut said = Vec::new();
        for (k, line) in wrapped(words, LETTER, width - SAMPLE)?.iter().enumerate() {
            *y -= LINE * if k == 0 { 1.15 } else { 0.95 };
            said.push(Item::words(
                Point2::new(x + SAMPLE, *y),
                LETTER,
                Anchor::Start,
                line.as_str(),
            ));
        }
        Ok(said)
    };
    for (pen, words) in about.lines() {
        let middle = *y - LINE * 1.15 + LETTER / 2.0;
        items.push(Item::path(
            pen,
            vec![
                Point2::new(x, middle),
                Point2::new(x + SAMPLE - 4.0, middle),
            ],
            false,
        ));
        items.extend(say(words, y)?);
    }
    if let Some((half, words)) = about.trimming() {
        // The picture is higher than a line.
        let middle = *y - LINE * 0.4 - PICTURE.1 / 2.0;
        let scale = ((SAMPLE - 4.0) / PICTURE.0).min(1.0);
        for path in trimming(half) {
            let put =
                |p: &Point2| Point2::new(x + p.x * scale, middle + (p.y - PICTURE.1 / 2.0) * scale);
            let path: Vec<Point2> = path.iter().map(put).collect();
            items.push(Item::path(Pen::Mark, path, false));
        }
        *y = middle + LINE * 1.15 - LETTER / 2.0;
        items.extend(say(words, y)?);
        *y -= LINE * 0.5;
    }
    let at = Point2::new(x + (SAMPLE - 4.0) / 2.0, *y - LINE * 1.15 + LETTER / 2.0);
    items.extend(join_mark(at));
    items.extend(say(
        "join mark: the same letter and number on the page that is joined",
        y,
    )?);
    Ok(())
}

/// A join mark: a cross in a diamond.
pub(super) fn join_mark(at: Point2) -> Vec<Item> {
    let mut items: Vec<Item> = [(4.0, 0.0), (0.0, 4.0)]
        .iter()
        .map(|&(dx, dy)| {
            let ends = vec![
                Point2::new(at.x - dx, at.y - dy),
                Point2::new(at.x + dx, at.y + dy),
            ];
            Item::path(Pen::Mark, ends, false)
        })
        .collect();
    let diamond = [(2.0, 0.0), (0.0, 2.0), (-2.0, 0.0), (0.0, -2.0)]
        .map(|(dx, dy)| Point2::new(at.x + dx, at.y + dy));
    items.push(Item::path(Pen::Mark, diamond, true));
    items
}
