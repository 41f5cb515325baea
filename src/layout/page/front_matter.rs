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
use crate::layout::page::sample;
use crate::layout::page::sample::Sample;

/// Height of ordinary letters, mm.
const LETTER: f64 = 2.5;
/// Width of one column of the list of pages, mm: of layers, and of cards.
const COLUMNS: (f64, f64) = (36.0, 59.0);
/// Between a column of the list of pages and the next, mm.
const GUTTER: f64 = 5.0;
/// Room for the page numbers in a column, mm.
const NUMBERS: f64 = 19.0;
/// Width of a sample with the gap before its words, mm.
const SAMPLE: f64 = sample::WIDE + 4.0;

/// How far the further lines of one entry are set in, mm.
const SET_IN: f64 = 4.0;
/// From the top of a further page to its first line, mm.
const AGAIN: f64 = 14.0;
/// Room between the last line of a page and its frame, mm.
const BELOW: f64 = 2.0;

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
    /// Advice and legend, page by page.
    head: Vec<Vec<Item>>,
    title: Item,
    list: Vec<ListLine>,
    /// For each page: lines before it, lines in a column, columns, height down to the list.
    shares: Vec<(usize, usize, usize, f64)>,
}

/// Advice and legend while they are written, from the top of the first page down; what finds no room goes on the
/// next page.
struct FirstPages<'a> {
    frame: &'a Frame,
    pages: Vec<Vec<Item>>,
    /// Where the next line hangs.
    y: f64,
}

impl FirstPages<'_> {
    /// Goes on to the next page where there is less room than this down to the frame.
    fn turn_for(&mut self, room: f64) {
        let first = self.pages.last().is_none_or(Vec::is_empty);
        if self.y - room < self.frame.low.y + BELOW && !first {
            self.pages.push(Vec::new());
            self.y = self.frame.high.y - AGAIN + LINE;
        }
    }

    fn put(&mut self, items: impl IntoIterator<Item = Item>) {
        if let Some(page) = self.pages.last_mut() {
            page.extend(items);
        }
    }

    fn words(&mut self, x: f64, words: impl Into<String>) {
        let at = Point2::new(x, self.y);
        self.put([Item::words(at, LETTER, Anchor::Start, words)]);
    }
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
        let mut head = FirstPages {
            frame,
            pages: vec![Vec::new()],
            y: frame.high.y - 7.0 - LINE * 2.5,
        };
        for (k, advice) in about.advice().iter().enumerate() {
            let lines = wrapped(advice, LETTER, width - 6.0)?;
            head.turn_for(lines.len() as f64 * LINE * 0.95);
            for (n, line) in lines.into_iter().enumerate() {
                head.y -= LINE * 0.95;
                if n == 0 {
                    head.words(x, format!("{}.", k + 1));
                }
                head.words(x + 6.0, line);
            }
        }
        head.y -= LINE * 0.7;
        legend(&mut head, x, width, about)?;
        head.turn_for(LINE * 3.0);
        head.y -= LINE * 1.4;
        head.words(x, about.list_heading());
        let above = frame.high.y - head.y + LINE * 1.6;
        let column = if about.has_long_names() {
            COLUMNS.1
        } else {
            COLUMNS.0
        };
        let columns = (1..=12)
            .take_while(|&n| n as f64 * column <= width)
            .last()
            .unwrap_or(1);
        let list = lines(names, width / columns as f64 - NUMBERS - GUTTER)?;
        // Pages that the head fills have nothing of the list.
        let mut shares = vec![(0, 0, columns, height); head.pages.len() - 1];
        let mut before = 0;
        while shares.len() < head.pages.len() || before < list.len() {
            let top = if shares.len() < head.pages.len() {
                above
            } else {
                AGAIN + LINE
            };
            let deepest = (1..=10_000)
                .take_while(|&n| n as f64 * LINE <= height - top)
                .last()
                .unwrap_or(usize::from(shares.len() >= head.pages.len()));
            let here = (list.len() - before).min(deepest * columns);
            shares.push((before, here.div_ceil(columns), columns, top));
            before += here;
        }
        Ok(Self {
            head: head.pages,
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
        }
        items.extend(self.head.iter().skip(page).take(1).flatten().cloned());
        let column = width / columns as f64;
        let top = frame.high.y - top;
        let here = self.list.iter().skip(before).take(deep * columns);
        for (k, line) in here.enumerate() {
            let left = x + (k / deep) as f64 * column;
            let y = top - (k % deep) as f64 * LINE;
            let inset = if line.entry.is_some() { 0.0 } else { SET_IN };
            let (words, size) = fitted(&line.words, LETTER, column - NUMBERS - GUTTER - inset)?;
            if let Some(entry) = line.entry {
                let (pages, number_size) = fitted(&numbers[entry], LETTER, NUMBERS)?;
                let right = left + column - GUTTER;
                // A thin line leads from the name to its page: the next column stands near.
                let from = left + inset + face::text_width(&words, size)? + LETTER;
                let to = right - face::text_width(&pages, number_size)? - LETTER;
                if to > from {
                    let ends = [from, to].map(|x| Point2::new(x, y));
                    items.push(Item::path(Pen::Fine, ends.to_vec(), false));
                }
                items.push(Item::words(
                    Point2::new(right, y),
                    number_size,
                    Anchor::End,
                    pages,
                ));
            }
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

/// Samples of the lines and marks with their meaning.
fn legend(head: &mut FirstPages<'_>, x: f64, width: f64, about: About) -> Result<(), Error> {
    for Sample {
        strokes,
        high,
        words,
    } in about.samples()
    {
        let words = wrapped(&words, LETTER, width - SAMPLE)?;
        let lines = LINE * (1.15 + 0.95 * (words.len() - 1) as f64);
        // What is higher than a line has its words at its middle.
        let more = ((high - LINE) / 2.0).max(0.0);
        head.turn_for(lines + 2.0 * more);
        head.y -= more;
        let middle = head.y - LINE * 1.15 + LETTER / 2.0;
        let to = |p: Point2| Point2::new(p.x + x + sample::WIDE / 2.0, p.y + middle);
        head.put(strokes.iter().map(|item| item.moved(to, 0.0)));
        for (k, line) in words.into_iter().enumerate() {
            head.y -= LINE * if k == 0 { 1.15 } else { 0.95 };
            head.words(x + SAMPLE, line);
        }
        head.y -= more;
    }
    Ok(())
}
