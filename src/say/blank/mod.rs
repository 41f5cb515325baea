//! A measurement sheet on paper, to fill in by pen: what a helper takes in one sitting, each with a
//! drawing of where the tape runs.

mod sketch;

use crate::drawing::{Anchor, Drawing, Group, Item, Pen};
use crate::error::Error;
use crate::face;
use crate::geom::Point2;
use crate::measure::{MEASURING_A_CHILD, Measure};
use crate::mesh::Mesh;
use crate::sheet::entry;
use crate::sheet::entry::{Depth, Need};
use crate::sheet::{Figure, WaistKind};
use crate::units::Unit;

/// Edge that printers leave blank, mm (common practice, no source).
const MARGIN: f64 = 11.0;
/// Height of capitals of names, mm.
const NAME: f64 = 2.6;
/// Height of capitals of explanations, mm: about 8 point.
const SMALL: f64 = 1.95;
/// From base line to base line of explanations, mm.
const LINE: f64 = 3.5;
/// Measurements beside each other.
const COLUMNS: usize = 2;
/// Blank between the two columns, mm.
const GUTTER: f64 = 5.0;
/// Width of the drawing, mm.
const DRAWING: f64 = 26.0;
/// Height of a box to write in, mm; where left and right have one each they are a little lower.
const BOX: f64 = 8.5;
const BOX_OF_SIDE: f64 = 7.2;
/// Blank between boxes, mm.
const GAP: f64 = 1.2;
/// Room for the names of the sides, mm.
const SIDE: f64 = 9.0;

/// Sides of the paper, mm: ISO 216 A4, or ASME Y14.1 A where readings are in inches; and the height
/// of a measurement that fills two of them.
const fn paper(unit: Unit) -> (f64, f64, f64) {
    match unit {
        Unit::In => (215.9, 279.4, 34.4),
        Unit::Cm | Unit::Mm => (210.0, 297.0, 37.6),
    }
}

/// Pages that fill from the top.
struct Pages {
    done: Vec<Drawing>,
    items: Vec<Item>,
    width: f64,
    height: f64,
    y: f64,
    row: f64,
    title: String,
}

impl Pages {
    fn right(&self) -> f64 {
        self.width - MARGIN
    }

    /// Makes sure that `room` mm are free below.
    fn need(&mut self, room: f64) {
        if self.y - room < MARGIN + LINE {
            self.turn();
        }
    }

    fn turn(&mut self) {
        let page = self.done.len() + 1;
        let mut items = std::mem::take(&mut self.items);
        items.push(Item::words(
            Point2::new(self.right(), MARGIN - 3.0),
            SMALL,
            Anchor::End,
            format!("page {page}"),
        ));
        // Pages of two people on one table are told apart.
        if page > 1 {
            let foot = MARGIN - 3.0;
            items.push(Item::words(
                Point2::new(MARGIN, foot),
                SMALL,
                Anchor::Start,
                "name",
            ));
            let (from, to) = (
                Point2::new(MARGIN + 10.0, foot),
                Point2::new(MARGIN + 90.0, foot),
            );
            items.push(Item::path(Pen::Mark, vec![from, to], false));
        }
        self.done.push(Drawing {
            width: self.width,
            height: self.height,
            title: self.title.clone(),
            groups: vec![Group {
                id: format!("page-{page}"),
                items,
                clip: None,
            }],
        });
        self.y = self.height - MARGIN;
    }

    fn words(&mut self, x: f64, size: f64, text: impl Into<String>) {
        let at = Point2::new(x, self.y);
        self.items.push(Item::words(at, size, Anchor::Start, text));
    }

    /// Words in lines of `width`, the first base line at the present height; ends one line lower.
    fn paragraph(&mut self, x: f64, width: f64, text: &str) -> Result<(), Error> {
        for line in broken(text, width, SMALL)? {
            self.words(x, SMALL, line);
            self.y -= LINE;
        }
        Ok(())
    }

    fn line(&mut self, a: Point2, b: Point2, pen: Pen) {
        self.items.push(Item::path(pen, vec![a, b], false));
    }
}

/// Words in lines no wider than `width` mm.
fn broken(text: &str, width: f64, size: f64) -> Result<Vec<String>, Error> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        if let Some(last) = lines.last_mut() {
            let longer = format!("{last} {word}");
            if face::text_width(&longer, size)? <= width {
                *last = longer;
                continue;
            }
        }
        lines.push(word.to_owned());
    }
    Ok(lines)
}

/// The pages, for a figure and a unit; `mesh` is a body of that figure to draw on.
///
/// # Errors
/// [`Error::Format`] when the letters cannot be measured.
pub fn pages(figure: Figure, unit: Unit, mesh: &Mesh) -> Result<Vec<Drawing>, Error> {
    let (width, height, row_height) = paper(unit);
    let mut p = Pages {
        done: Vec::new(),
        items: Vec::new(),
        width,
        height,
        y: height - MARGIN,
        row: row_height,
        title: format!("measurement sheet, {}", figure.name()),
    };
    head(&mut p, figure, unit)?;
    let body = sketch::Sketched::new(mesh);
    let asked = entry::asked(figure, Depth::Usual);
    let mut number = 0;
    for round in asked.chunk_by(|a, b| a.0.title == b.0.title) {
        let text = format!(
            "{}: {}",
            round[0].0.title,
            entry::ready(round[0].0, WaistKind::Natural)
        );
        let lines = broken(&text, width - 2.0 * MARGIN, SMALL)?;
        p.need(lines.len() as f64 * LINE + 3.0 + row_height);
        p.y -= LINE + 0.6;
        p.paragraph(MARGIN, width - 2.0 * MARGIN, &text)?;
        p.y += LINE - 1.6;
        for row in round.chunks(COLUMNS) {
            p.need(row_height);
            let (top, right) = (p.y, p.right());
            p.line(Point2::new(MARGIN, top), Point2::new(right, top), Pen::Fine);
            for (column, (_, measure)) in row.iter().enumerate() {
                number += 1;
                let cell = Cell::new(&p, column, top);
                cell.draw(&mut p, &body, number, *measure, figure, &asked)?;
            }
            p.y = top - row_height;
        }
    }
    shapes(&mut p, figure)?;
    p.turn();
    Ok(p.done)
}

/// Whose sheet it is, and how it is filled in.
fn head(p: &mut Pages, figure: Figure, unit: Unit) -> Result<(), Error> {
    let right = p.right();
    p.y -= 4.0;
    p.words(MARGIN, 3.6, format!("Measurement sheet: {}", figure.name()));
    p.y -= 9.0;
    let y = p.y;
    for (from, to, what) in [
        (0.0, 0.48, "name"),
        (0.5, 0.74, "date"),
        (0.76, 1.0, "taken by"),
    ] {
        let x = |part: f64| MARGIN + part * (right - MARGIN);
        p.words(x(from), SMALL, what);
        p.line(
            Point2::new(x(from) + 13.0, y - 0.8),
            Point2::new(x(to), y - 0.8),
            Pen::Mark,
        );
    }
    p.y -= 6.0;
    let mut rings = format!(
        "Readings in {}. Ring one: the waist is natural (where an elastic settles) / iso (half-way \
         from the lowest rib to the top of the hip bone) / navel",
        unit.plural()
    );
    if figure == Figure::Woman {
        rings.push_str("; the bust is in a bra: yes / no");
    }
    p.paragraph(MARGIN, right - MARGIN, &format!("{rings}."))?;
    p.y -= 0.8;
    p.paragraph(
        MARGIN,
        right - MARGIN,
        "Read twice, take the tape off in between, and write one reading in each box. Write what the \
         tape shows, not a round number. Left and right are the wearer's own; write one reading for \
         both at left. A form needs every reading marked NEEDED. Leave out any other that you cannot \
         take: it is estimated. `layfigure new` asks for the numbers in this order; `layfigure new \
         --blank` lists further measurements.",
    )?;
    if figure == Figure::Child {
        p.y -= 0.8;
        p.paragraph(MARGIN, right - MARGIN, MEASURING_A_CHILD)?;
    }
    p.y += LINE - 1.0;
    Ok(())
}

/// Where one measurement stands on the page.
struct Cell {
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
}

impl Cell {
    fn new(p: &Pages, column: usize, top: f64) -> Self {
        let width = (p.right() - MARGIN - GUTTER) / COLUMNS as f64;
        let left = MARGIN + column as f64 * (width + GUTTER);
        Self {
            left,
            right: left + width,
            top,
            bottom: top - p.row,
        }
    }

    /// The drawing at left; name, words and boxes beside it.
    fn draw(
        &self,
        p: &mut Pages,
        body: &sketch::Sketched<'_>,
        number: usize,
        measure: Measure,
        figure: Figure,
        asked: &[(&entry::Round, Measure)],
    ) -> Result<(), Error> {
        let corner = Point2::new(self.left + 0.5, self.bottom + 0.9);
        if let Some(items) = body.draw(measure, corner, DRAWING - 1.0, p.row - 2.0) {
            p.items.extend(items);
        }
        let info = measure.info();
        let left = self.left + DRAWING + 2.0;
        p.y = self.top - NAME - 1.6;
        p.words(
            left,
            NAME,
            format!("{number}  {}", entry::name(measure, figure)),
        );
        let needed = match entry::needed(measure) {
            Need::No => String::new(),
            Need::Always => "NEEDED".to_owned(),
            Need::Unless(other) => match asked.iter().position(|(_, m)| *m == other) {
                Some(i) => format!("NEEDED, or {}", i + 1),
                None => "NEEDED".to_owned(),
            },
        };
        p.items.push(Item::words(
            Point2::new(self.right, p.y),
            SMALL,
            Anchor::End,
            needed,
        ));
        p.y -= LINE + 0.7;
        // The waist is ringed above: the words are those for the usual one.
        let how = entry::how(measure, figure, WaistKind::Natural);
        p.paragraph(
            left,
            self.right - left,
            &format!("{how}; {}.", info.who.words()),
        )?;
        let (sides, tall): (&[&str], f64) = if info.paired {
            (&["left", "right"], BOX_OF_SIDE)
        } else {
            (&[""], BOX)
        };
        let first = left + if info.paired { SIDE } else { 0.0 };
        let wide = (self.right - first - GAP) / 2.0;
        for (i, side) in sides.iter().rev().enumerate() {
            let low = self.bottom + GAP + i as f64 * (tall + GAP);
            for column in 0..2 {
                let x = first + f64::from(column) * (wide + GAP);
                let corners = [(0.0, 0.0), (wide, 0.0), (wide, tall), (0.0, tall)];
                let corners: Vec<Point2> = corners
                    .into_iter()
                    .map(|(dx, dy)| Point2::new(x + dx, low + dy))
                    .collect();
                p.items.push(Item::path(Pen::Mark, corners, true));
            }
            p.items.push(Item::words(
                Point2::new(first - 1.2, low + tall / 2.0 - SMALL / 2.0),
                SMALL,
                Anchor::End,
                *side,
            ));
        }
        Ok(())
    }
}

/// Words to ring.
fn shapes(p: &mut Pages, figure: Figure) -> Result<(), Error> {
    let asked: Vec<String> = entry::shapes(figure)
        .map(|s| format!("{}: {}", s.title, s.choice(figure).join(" / ")))
        .collect();
    p.need(5.0 * LINE);
    let right = p.right();
    p.line(Point2::new(MARGIN, p.y), Point2::new(right, p.y), Pen::Fine);
    p.y -= LINE + 1.0;
    p.words(
        MARGIN,
        SMALL,
        "What a fitter sees; ring one word each, or none:",
    );
    for pair in asked.chunks(2) {
        p.y -= LINE + 1.0;
        for (i, text) in pair.iter().enumerate() {
            let x = MARGIN + i as f64 * (right - MARGIN) / 2.0;
            p.words(x, SMALL, text.clone());
        }
    }
    Ok(())
}
