//! Which line of a template is which layer.

use crate::drawing::Anchor;
use crate::drawing::Item;
use crate::error::Error;
use crate::face;
use crate::geom::Outline;
use crate::geom::Point2;
use crate::geom::Vector2;
use crate::layout::letters::SMALLEST_LETTER;
use crate::layout::page::listed::Listed;
use crate::layout::page::shared::canvas::Canvas;
use crate::layout::page::shared::canvas::PENS;
use crate::layout::page::shared::line::TracedLine;
use crate::layout::page::template::MOST_PAGES;
use crate::layout::page::template::layer_above;
use crate::stack::Inscription;
use crate::stack::Mark;
use crate::stack::Piece;
use crate::stack::Tells;

/// Heights of the letters of the list of lines, the best first, mm.
const LETTERS: [f64; 3] = [3.2, 2.7, SMALLEST_LETTER];
/// Length of a sample of a line, mm.
const SAMPLE: f64 = 16.0;

/// The words on a piece that are its own.
pub(super) fn own_words(piece: &Piece) -> impl Iterator<Item = &str> {
    piece.marks.iter().filter_map(|m| match m {
        Mark::Text(words) if words.tells == Tells::Own => Some(words.text.as_str()),
        _ => None,
    })
}

/// Which line is which of `count` layers: samples with words, in the template, or under it where there is no
/// room. Gives the corners of the place under it. In `above` go the numbers of those items that say on
/// which page the layer above is, each with that layer. The lines whose openings say nothing for
/// themselves (`unsaid`) say so here.
pub(super) fn legend(
    group: &[TracedLine],
    listed: &[Listed<'_>],
    count: usize,
    (outline, unsaid): (&Outline, &[usize]),
    canvas: &mut Canvas,
    above: &mut Vec<(usize, usize)>,
) -> Result<Option<[Point2; 4]>, Error> {
    let rows: Vec<(String, String)> = group
        .iter()
        .enumerate()
        .map(|(n, l)| {
            let one = &listed[l.of];
            let mut title = match one.layer() {
                None => one.title.brief(),
                Some(layer) => format!("{layer} of {count}"),
            };
            if unsaid.contains(&n) {
                title.push_str(", with openings of its own");
            }
            // A plate has its words where there is room, not in the list.
            let also: Vec<&str> = match one.layer() {
                None => Vec::new(),
                Some(_) => own_words(&one.piece).collect(),
            };
            (title, also.join(", "))
        })
        .collect();
    // The layer above, where it is drawn too.
    let next: Vec<Option<usize>> = group
        .iter()
        .map(|l| listed[l.of].layer().filter(|layer| *layer < count))
        .map(|layer| layer.map(|layer| layer + 1))
        .collect();
    let centre = outline.centroid();
    for (with, on) in [(true, true), (false, true), (false, false)] {
        for size in LETTERS {
            let small = SMALLEST_LETTER.max(size - 0.5);
            let (mut first, mut second, mut third) = (0.0_f64, 0.0_f64, 0.0_f64);
            for ((title, also), next) in rows.iter().zip(&next) {
                first = first.max(face::text_width(title, size)?);
                second = second.max(face::text_width(also, small)?);
                if let Some(next) = next {
                    third = third.max(face::text_width(&layer_above(*next, MOST_PAGES), small)?);
                }
            }
            let third = if on && third > 0.0 { third + 3.0 } else { 0.0 };
            let width = SAMPLE + 2.0 + first + third + if with { 3.0 + second } else { 0.0 };
            let line = size * 1.7;
            let block = Vector2::new(width + 2.0, line * rows.len() as f64 + 1.0);
            let (at, under) = match canvas.free.place(block, centre) {
                Some(at) => (at, None),
                None if !on && size <= SMALLEST_LETTER => {
                    let (low, _) = outline.bounds().unwrap_or((centre, centre));
                    let at = Point2::new(low.x + block.x / 2.0, low.y - 2.0 - block.y / 2.0);
                    let half = block / 2.0;
                    let corners = [
                        at - half,
                        at + half,
                        Point2::new(at.x - half.x, at.y + half.y),
                        Point2::new(at.x + half.x, at.y - half.y),
                    ];
                    (at, Some(corners))
                }
                None => continue,
            };
            let left = at.x - width / 2.0;
            for (n, (title, also)) in rows.iter().enumerate() {
                let y = at.y + block.y / 2.0 - 0.5 - line * (n as f64 + 0.5);
                canvas.items.push(Item::path(
                    PENS[n % PENS.len()],
                    [Point2::new(left, y), Point2::new(left + SAMPLE, y)],
                    false,
                ));
                let base = y - size / 2.0;
                let x = left + SAMPLE + 2.0;
                let mut put = |x: f64, size: f64, text: String| -> Result<usize, Error> {
                    let half = face::text_width(&text, size)? / 2.0;
                    let at = Point2::new(x, base);
                    let item = Item::words(at, size, Anchor::Start, text.as_str());
                    canvas.items.push(item);
                    let middle = Point2::new(x + half, y);
                    canvas.words.push(Inscription::new(middle, size, text));
                    Ok(canvas.items.len() - 1)
                };
                put(x, size, title.clone())?;
                if let Some(next) = next[n].filter(|_| on) {
                    let item = put(x + first + 3.0, small, layer_above(next, MOST_PAGES))?;
                    above.push((item, next));
                }
                if with && !also.is_empty() {
                    put(x + first + third + 3.0, small, also.clone())?;
                }
            }
            return Ok(under);
        }
    }
    Ok(None)
}
