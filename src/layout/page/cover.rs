//! The first pages: how to prove the scale, what the lines mean, which piece is on which page.

use crate::drawing::Anchor;
use crate::drawing::Item;
use crate::drawing::Pen;
use crate::error::Error;
use crate::geom::Point2;
use crate::layout::page::frame::Frame;
use crate::layout::page::frame::LINE;
use crate::layout::page::frame::fitted;
use crate::layout::page::frame::wrapped;

/// Height of ordinary letters, mm.
const LETTER: f64 = 2.5;
/// Width of one column of the list of pages, mm: of single layers, and of several at once.
const COLUMNS: (f64, f64) = (56.0, 84.0);
/// Room for the page numbers in a column, mm.
const NUMBERS: f64 = 19.0;
/// Length of a sample of a line with its gap, mm.
const SAMPLE: f64 = 29.0;

/// What the advice is about, besides what holds for all pages.
#[derive(Clone, Copy, Debug)]
pub(super) struct About {
    /// Lengths of the bars along the page and across it, mm.
    pub(super) bars: (f64, f64),
    /// Whether the pages are made for what the bars measured before.
    pub(super) corrected: bool,
    /// Whether several layers share a template.
    pub(super) shared: bool,
    /// Whether there are half templates.
    pub(super) halves: bool,
}

/// What to do before cutting, and what can hurt.
fn advice(about: About) -> Vec<String> {
    let (along, across) = about.bars;
    let band = |bar: f64| format!("{:.1} to {:.1} mm", bar * 0.995, bar * 1.005);
    let remedy = if about.corrected {
        "These pages make up for what the bars measured before; if they are not true now, measure a page printed without it again."
    } else {
        "If not, print this page alone, write both bars down and build again with what they measured, for instance --printed 198.5x99.4 (up the side x along the foot)."
    };
    let mut out = vec![
        "Print at 100 % (actual size), with no fit to page.".to_owned(),
        format!(
            "Lay a steel rule on the bars of every page: {along} mm up the side must be {}, {across} mm along the foot {}. From corner cross to corner cross it must be what the side says, both ways, within 1 mm. {remedy}",
            band(along),
            band(across)
        ),
    ];
    if about.shared {
        out.push("Layers share a template: each has its own line, named in its middle, and its number stands in the line. Lay the template on the stock and go over the line of one layer with a tracing wheel or over carbon paper, prick its crosses and holes through, and write the layer's number on the piece. Then trace the next layer on other stock, and tick it off. “Above” in the list of lines names the page with the layer that goes on it: to true a stack by eye, trace that outline onto the piece in pencil; built with --outlines 1 --whole, every piece has it on its own template.".to_owned());
    }
    if about.halves {
        out.push("A half template shows the right half. Rule the centre line on the stock, lay the template's centre line on it and trace; turn the template over along that line and trace the left half. Dashed circles, dashed lines and marks called LEFT belong to the left half alone: prick or trace them when the template is turned over; lines and circles called RIGHT belong to the right half alone: leave them out when it is turned over.".to_owned());
    }
    out.extend([
        "A template on several pages: cut one page along its thin join line, lay it on the join line of the other until the marks of one letter meet (A1 on A1, A2 on A2), and tape it.".to_owned(),
        "Cut the openings first, then the outline. Copy the marks onto the piece: they say how the pieces are stacked.".to_owned(),
        "Cut away from yourself, with a sharp blade, on a board; for hot tools, dust and fumes follow the maker's data sheet and the rules of your workshop, and ask somebody trained.".to_owned(),
    ]);
    out
}

/// What each line means.
fn lines(about: About) -> Vec<(Pen, &'static str)> {
    let mut out = vec![(
        Pen::Cut,
        if about.shared {
            "thick: cut; the first layer of a template, and openings"
        } else {
            "thick: cut (outline, and openings inside it)"
        },
    )];
    if about.shared {
        out.extend([
            (
                Pen::Second,
                "long dashes: cut; the second layer of a template",
            ),
            (
                Pen::Third,
                "dashes and dots: cut; the third layer of a template",
            ),
            (Pen::Fourth, "dots: cut; the fourth layer of a template"),
        ]);
    }
    out.push((
        Pen::Mark,
        "thin: draw on the piece (centre lines, crosses of the dowels, edge marks)",
    ));
    out.push((
        Pen::Dashed,
        if about.halves {
            "thin dashes: of the left half alone; on a whole piece the edge of the layer above"
        } else {
            "dashed: edge of the layer above, to glue it to"
        },
    ));
    out.push((Pen::Fine, "thin and grey: join line of two pages"));
    out
}

/// One line of the list: what, and which pages.
pub(super) type Entry = (String, String);

/// Title, advice and legend, and the list laid out under them.
pub(super) struct Cover {
    head: Vec<Item>,
    title: Item,
    /// For each page: entries before it, lines in a column, columns, height down to the list.
    shares: Vec<(usize, usize, usize, f64)>,
}

impl Cover {
    /// Lays out the first pages for a list of `entries` lines.
    pub(super) fn new(
        frame: &Frame,
        title: &str,
        entries: usize,
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
        for (k, advice) in advice(about).iter().enumerate() {
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
        let column = if about.shared { COLUMNS.1 } else { COLUMNS.0 };
        let columns = (1..=12)
            .take_while(|&n| n as f64 * column <= width)
            .last()
            .unwrap_or(1);
        let mut shares = Vec::new();
        let mut before = 0;
        while shares.is_empty() || before < entries {
            let top = if shares.is_empty() { above } else { again };
            let deepest = (1..=10_000)
                .take_while(|&n| n as f64 * LINE <= height - top)
                .last()
                .unwrap_or(usize::from(!shares.is_empty()));
            let here = (entries - before).min(deepest * columns);
            shares.push((before, here.div_ceil(columns), columns, top));
            before += here;
        }
        Ok(Self {
            head,
            title,
            shares,
        })
    }

    /// How many pages there are.
    pub(super) fn count(&self) -> usize {
        self.shares.len()
    }

    /// Height that one of them needs, mm.
    pub(super) fn height(&self, page: usize) -> f64 {
        let (_, deep, _, top) = self.shares[page];
        top + deep as f64 * LINE
    }

    /// The strokes and words of one page, without its frame. `subtitle` stands under the title.
    pub(super) fn items(
        &self,
        frame: &Frame,
        subtitle: &str,
        entries: &[Entry],
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
        for (k, (what, pages)) in entries.iter().skip(before).take(deep * columns).enumerate() {
            let left = x + (k / deep) as f64 * column;
            let y = top - (k % deep) as f64 * LINE;
            let (pages, size) = fitted(pages, LETTER, NUMBERS)?;
            items.push(Item::words(
                Point2::new(left + column - 4.0, y),
                size,
                Anchor::End,
                pages,
            ));
            let (what, size) = fitted(what, LETTER, column - NUMBERS - 5.0)?;
            items.push(Item::words(Point2::new(left, y), size, Anchor::Start, what));
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
    for (pen, words) in lines(about) {
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
