//! `Drawing`s to one PDF at true size.
//!
//! Each page has its own exact size; one matrix turns points into millimetres and everything after
//! it is written in mm. The viewer is asked not to scale when printing. The whole regular face of
//! Noto Sans is embedded (SIL Open Font License, `font/OFL.txt`), so that a name in any Latin,
//! Greek or Cyrillic spelling prints and can be searched. There is no date and no identifier that
//! changes: the same pages give the same bytes.
//!
//! # Why is the printer's error put into the file and not into the outlines?
//! Everything is laid out at true size on a page that is a little smaller or larger; one matrix in
//! the PDF undoes what the printer does. So bars, diagonals and outlines come out right together,
//! or none does.

use std::collections::BTreeMap;

use miniz_oxide::deflate::compress_to_vec_zlib;
use pdf_writer::Content;
use pdf_writer::Filter;
use pdf_writer::Finish;
use pdf_writer::Name;
use pdf_writer::Pdf;
use pdf_writer::Rect;
use pdf_writer::Ref;
use pdf_writer::Str;
use pdf_writer::TextStr;
use pdf_writer::types::CidFontType;
use pdf_writer::types::FontFlags;
use pdf_writer::types::LineCapStyle;
use pdf_writer::types::LineJoinStyle;
use pdf_writer::types::PageMode;
use pdf_writer::types::SystemInfo;
use pdf_writer::types::UnicodeCmap;

use crate::drawing::facts::DrawingFact;
use crate::drawing::{Anchor, Drawing, Item, Pen, rounded};
use crate::error::Error;
use crate::face::{CAP_HEIGHT, Face, printable};
use crate::geom::Point2;
use crate::tolerance::SAME_POINT_EPS_MM;
use crate::units::MM_PER_INCH;

/// Points in a millimetre: 72 to the inch (ISO 32000, default user space).
const POINTS_PER_MM: f64 = 72.0 / MM_PER_INCH;

/// Longest side of a page, points: 200 inches, the implementation limit of ISO 32000-1 annex C
/// (from memory).
const LONGEST_SIDE_PT: f64 = 14_400.0;

/// Arc of a quarter circle as a cubic: distance of the handle over the radius, `4/3 (sqrt 2 - 1)`.
const QUARTER_HANDLE: f64 = 0.552_284_749_830_793_4;

/// How hard pages and the face are squeezed, 0 to 10.
const SQUEEZE: u8 = 6;

/// Writes the pages as one document called `title`, with a bookmark for every run of pages that
/// have the same title.
///
/// Characters that the face lacks are printed as `?`; [`missing_glyphs`](super::missing_glyphs) lists them.
///
/// # Errors
/// [`Error::Format`] when there is no page, when a page has no size or is longer than a reader
/// takes, or when the face cannot be read.
pub fn write(pages: &[Drawing], title: &str) -> Result<Vec<u8>, Error> {
    write_stretched(pages, title, (1.0, 1.0))
}

/// The same with every page, its size too, stretched across and along: for a printer that is known
/// to shrink by as much.
///
/// # Errors
/// As for [`write()`].
pub fn write_stretched(
    pages: &[Drawing],
    title: &str,
    stretch: (f64, f64),
) -> Result<Vec<u8>, Error> {
    if pages.is_empty() {
        return Err(Error::format(DrawingFact::NoPage));
    }
    for page in pages {
        check_size(page, stretch)?;
    }
    let font = Face::open()?;
    let mut pdf = Pdf::new();
    let mut last = 0;
    let mut next = || {
        last += 1;
        Ref::new(last)
    };
    let catalog = next();
    let tree = next();
    let info = next();
    let face = next();
    let cid = next();
    let descriptor = next();
    let file = next();
    let to_unicode = next();
    let outline = next();
    let page_refs: Vec<Ref> = pages.iter().map(|_| next()).collect();

    let runs = runs(pages);
    let item_refs: Vec<Ref> = runs.iter().map(|_| next()).collect();
    let mut used: BTreeMap<u16, char> = BTreeMap::new();
    for (page, &page_ref) in pages.iter().zip(&page_refs) {
        let content = content(page, &font, &mut used, stretch);
        let content_ref = next();
        let squeezed = compress_to_vec_zlib(&content, SQUEEZE);
        pdf.stream(content_ref, &squeezed)
            .filter(Filter::FlateDecode);
        let mut dict = pdf.page(page_ref);
        dict.parent(tree)
            .media_box(Rect::new(
                0.0,
                0.0,
                points(page.width * stretch.0),
                points(page.height * stretch.1),
            ))
            .contents(content_ref);
        dict.resources().fonts().pair(Name(b"F"), face);
    }
    pdf.pages(tree)
        .kids(page_refs.iter().copied())
        .count(i32::try_from(pages.len()).unwrap_or(i32::MAX));

    let title = printable(title);
    pdf.document_info(info)
        .title(TextStr(&title))
        .producer(TextStr(env!("CARGO_PKG_NAME")));
    for (i, (&(first, name), &item_ref)) in runs.iter().zip(&item_refs).enumerate() {
        let name = printable(name);
        let mut item = pdf.outline_item(item_ref);
        item.title(TextStr(&name)).parent(outline);
        if i > 0 {
            item.prev(item_refs[i - 1]);
        }
        if let Some(&following) = item_refs.get(i + 1) {
            item.next(following);
        }
        item.dest().page(page_refs[first]).fit();
    }
    pdf.outline(outline)
        .first(item_refs[0])
        .last(item_refs[item_refs.len() - 1])
        .count(i32::try_from(item_refs.len()).unwrap_or(i32::MAX));
    {
        let mut dict = pdf.catalog(catalog);
        dict.pages(tree)
            .outlines(outline)
            .page_mode(PageMode::UseOutlines)
            .lang(TextStr("en"));
        let mut preferences = dict.viewer_preferences();
        preferences.display_doc_title(true);
        preferences.pair(Name(b"PrintScaling"), Name(b"None"));
    }
    embed(
        &mut pdf,
        &font,
        &used,
        [face, cid, descriptor, file, to_unicode],
    );
    Ok(pdf.finish())
}

/// Refuses a page that no reader shows.
fn check_size(page: &Drawing, stretch: (f64, f64)) -> Result<(), Error> {
    let longest = LONGEST_SIDE_PT / POINTS_PER_MM;
    for side in [page.width * stretch.0, page.height * stretch.1] {
        if !(side > 0.0 && side <= longest + SAME_POINT_EPS_MM) {
            return Err(Error::format(DrawingFact::NoSuchPage {
                size: [page.width, page.height],
                longest,
            }));
        }
    }
    Ok(())
}

/// Where each run of pages with one title begins.
fn runs(pages: &[Drawing]) -> Vec<(usize, &str)> {
    let mut runs: Vec<(usize, &str)> = Vec::new();
    for (i, page) in pages.iter().enumerate() {
        if runs.last().is_none_or(|&(_, title)| title != page.title) {
            runs.push((i, &page.title));
        }
    }
    runs
}

/// Millimetres as points.
fn points(mm: f64) -> f32 {
    single(mm * POINTS_PER_MM)
}

/// A coordinate as the format's library takes it: 24 bits hold 0.001 mm up to 16 m.
#[allow(
    clippy::cast_possible_truncation,
    reason = "the library writes single precision; see above"
)]
fn single(value: f64) -> f32 {
    value as f32
}

/// A length in mm as it is written.
fn mm(value: f64) -> f32 {
    single(rounded(value))
}

/// The strokes and words of a page. Glyphs used are added to `used`.
fn content(
    page: &Drawing,
    font: &Face,
    used: &mut BTreeMap<u16, char>,
    stretch: (f64, f64),
) -> Vec<u8> {
    let mut content = Content::new();
    content.transform([
        single(POINTS_PER_MM * stretch.0),
        0.0,
        0.0,
        single(POINTS_PER_MM * stretch.1),
        0.0,
        0.0,
    ]);
    content.set_line_join(LineJoinStyle::RoundJoin);
    content.set_line_cap(LineCapStyle::ButtCap);
    for group in &page.groups {
        content.save_state();
        if let Some((low, high)) = group.clip {
            content.rect(mm(low.x), mm(low.y), mm(high.x - low.x), mm(high.y - low.y));
            content.clip_nonzero();
            content.end_path();
        }
        let mut current = None;
        for item in &group.items {
            stroke_or_words(&mut content, item, font, used, &mut current);
        }
        content.restore_state();
    }
    content.finish().to_vec()
}

/// One item. `current` is the pen that was last set.
fn stroke_or_words(
    content: &mut Content,
    item: &Item,
    font: &Face,
    used: &mut BTreeMap<u16, char>,
    current: &mut Option<Pen>,
) {
    match item {
        Item::Path {
            pen,
            points,
            closed,
        } => {
            let Some((first, rest)) = points.split_first() else {
                return;
            };
            set_pen(content, *pen, current);
            content.move_to(mm(first.x), mm(first.y));
            for p in rest {
                content.line_to(mm(p.x), mm(p.y));
            }
            if *closed {
                content.close_path();
            }
            content.stroke();
        }
        Item::Circle {
            pen,
            centre,
            radius,
        } => {
            set_pen(content, *pen, current);
            circle(content, *centre, *radius);
            content.stroke();
        }
        Item::Text {
            at,
            size,
            turn,
            anchor,
            words,
        } => {
            let glyphs = font.glyphs(&printable(words));
            let em = size / CAP_HEIGHT;
            let width: f64 =
                glyphs.iter().map(|&(g, _)| font.advance(g)).sum::<f64>() / font.units * em;
            let back = match anchor {
                Anchor::Start => 0.0,
                Anchor::Middle => width / 2.0,
                Anchor::End => width,
            };
            let (sin, cos) = libm::sincos(*turn);
            let mut bytes = Vec::with_capacity(glyphs.len() * 2);
            for (glyph, c) in glyphs {
                used.entry(glyph).or_insert(c);
                bytes.extend(glyph.to_be_bytes());
            }
            content.begin_text();
            content.set_font(Name(b"F"), mm(em));
            content.set_text_matrix([
                single(cos),
                single(sin),
                single(-sin),
                single(cos),
                mm(at.x - back * cos),
                mm(at.y - back * sin),
            ]);
            content.show(Str(&bytes));
            content.end_text();
        }
    }
}

/// A circle as four cubics (largest error of the radius 0.03 %: 1 um on a dowel hole).
fn circle(content: &mut Content, centre: Point2, radius: f64) {
    let (x, y, r, h) = (centre.x, centre.y, radius, radius * QUARTER_HANDLE);
    content.move_to(mm(x + r), mm(y));
    let mut arc = |a: (f64, f64), b: (f64, f64), c: (f64, f64)| {
        content.cubic_to(
            mm(x + a.0),
            mm(y + a.1),
            mm(x + b.0),
            mm(y + b.1),
            mm(x + c.0),
            mm(y + c.1),
        );
    };
    arc((r, h), (h, r), (0.0, r));
    arc((-h, r), (-r, h), (-r, 0.0));
    arc((-r, -h), (-h, -r), (0.0, -r));
    arc((h, -r), (r, -h), (r, 0.0));
    content.close_path();
}

/// Sets width, dashes and grey of a pen: told apart in black and white.
fn set_pen(content: &mut Content, pen: Pen, current: &mut Option<Pen>) {
    if *current == Some(pen) {
        return;
    }
    *current = Some(pen);
    let (width, grey) = match pen {
        Pen::Cut | Pen::CutInside => (0.5, 0.0),
        Pen::Mark => (0.18, 0.0),
        Pen::Dashed => (0.22, 0.0),
        Pen::Fine => (0.1, 0.45),
    };
    content.set_line_width(width);
    content.set_stroke_gray(grey);
    match pen {
        Pen::Dashed => content.set_dash_pattern([1.9, 1.0], 0.0),
        Pen::Cut | Pen::CutInside | Pen::Mark | Pen::Fine => content.set_dash_pattern([], 0.0),
    };
}

/// Writes the face: the whole of it, with the widths and Unicode names of the glyphs used.
fn embed(pdf: &mut Pdf, font: &Face, used: &BTreeMap<u16, char>, refs: [Ref; 5]) {
    let [face, cid, descriptor, file, to_unicode] = refs;
    let name = Name(b"NotoSans");
    let system = SystemInfo {
        registry: Str(b"Adobe"),
        ordering: Str(b"Identity"),
        supplement: 0,
    };
    pdf.type0_font(face)
        .base_font(name)
        .encoding_predefined(Name(b"Identity-H"))
        .descendant_font(cid)
        .to_unicode(to_unicode);
    let per_mille = |units: f64| single(units * 1000.0 / font.units);
    {
        let mut dict = pdf.cid_font(cid);
        dict.subtype(CidFontType::Type2)
            .base_font(name)
            .system_info(system)
            .font_descriptor(descriptor)
            .default_width(0.0)
            .cid_to_gid_map_predefined(Name(b"Identity"));
        let mut widths = dict.widths();
        for &glyph in used.keys() {
            widths.consecutive(glyph, [per_mille(font.advance(glyph))]);
        }
        widths.finish();
    }
    let bounds = font.metrics.bounds.unwrap_or_default();
    pdf.font_descriptor(descriptor)
        .name(name)
        .flags(FontFlags::NON_SYMBOLIC)
        .bbox(Rect::new(
            per_mille(f64::from(bounds.x_min)),
            per_mille(f64::from(bounds.y_min)),
            per_mille(f64::from(bounds.x_max)),
            per_mille(f64::from(bounds.y_max)),
        ))
        .italic_angle(0.0)
        .ascent(per_mille(f64::from(font.metrics.ascent)))
        .descent(per_mille(f64::from(font.metrics.descent)))
        .cap_height(single(CAP_HEIGHT * 1000.0))
        .stem_v(80.0)
        .font_file2(file);
    let whole = notosans::REGULAR_TTF;
    pdf.stream(file, &compress_to_vec_zlib(whole, SQUEEZE))
        .filter(Filter::FlateDecode)
        .pair(
            Name(b"Length1"),
            i32::try_from(whole.len()).unwrap_or(i32::MAX),
        );
    let mut map = UnicodeCmap::<u16>::new(Name(b"Custom"), system);
    for (&glyph, &c) in used {
        map.pair(glyph, c);
    }
    pdf.stream(to_unicode, &compress_to_vec_zlib(&map.finish(), SQUEEZE))
        .filter(Filter::FlateDecode);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pages_without_size_or_too_long_are_refused() {
        let page = |width| Drawing {
            width,
            height: 100.0,
            ..Default::default()
        };
        assert!(write(&[], "t").is_err());
        assert!(write(&[page(0.0)], "t").is_err());
        assert!(write(&[page(f64::NAN)], "t").is_err());
        assert!(write(&[page(5_081.0)], "t").is_err());
        assert!(write(&[page(5_080.0)], "t").is_ok());
    }
}
