//! Drawing a template: its lines with their numbers, the holes, the edge marks, and which line is
//! which layer.

use crate::drawing::Anchor;
use crate::drawing::Item;
use crate::drawing::Pen;
use crate::error::Error;
use crate::face;
use crate::geom::Outline;
use crate::geom::Point2;
use crate::geom::Vector2;
use crate::geom::hull::hull;
use crate::geom::offset::Region;
use crate::geom::offset::union;
use crate::layout::bounds;
use crate::layout::letters::SMALLEST_LETTER;
use crate::layout::page::listed::Listed;
use crate::layout::page::listed::number;
use crate::layout::page::page_titles::Title;
use crate::layout::page::shared::canvas::Canvas;
use crate::layout::page::shared::canvas::PENS;
use crate::layout::page::shared::edge::Label;
use crate::layout::page::shared::edge::edge_marks;
use crate::layout::page::shared::gap::NUMBER;
use crate::layout::page::shared::gap::interrupted;
use crate::layout::page::shared::gap::numbers;
use crate::layout::page::shared::hole;
use crate::layout::page::shared::hole::OVER;
use crate::layout::page::shared::hole::SharedHole;
use crate::layout::page::shared::legend::legend;
use crate::layout::page::shared::legend::own_words;
use crate::layout::page::shared::line::TracedLine;
use crate::layout::page::shared::opening;
use crate::layout::page::template::Template;
use crate::stack::Hole;
use crate::stack::Mark;
use crate::stack::Piece;
use crate::stack::Stack;
use crate::tolerance::FOLD_TOLERANCE_MM;

/// Heights of the letters of FRONT and BACK, the best first, mm.
const FRONTS: [f64; 3] = [4.0, 3.0, SMALLEST_LETTER];

/// A template of lines that go together. What is drawn first has its room first.
pub(super) fn template<'a>(
    group: &[TracedLine],
    listed: &[Listed<'a>],
    stack: &Stack,
) -> Result<Listed<'a>, Error> {
    let half = group.iter().all(|l| l.half);
    let called: Vec<String> = group.iter().map(|l| number(&listed[l.of], stack)).collect();
    let holes = hole::holes(group, listed, &called, half);
    let mut outline = outline(group, &holes, half);
    let ends = bounds(&outline.points).unwrap_or((Point2::origin(), Point2::origin()));
    let mut canvas = Canvas::new(&outline);

    let mut labels = Vec::new();
    for (line, number) in group.iter().zip(&called) {
        let inner = listed[line.of].layer().is_none();
        let piece = &listed[line.of].piece;
        labels.extend(edge_marks(piece, number, (half, inner), &mut canvas));
    }
    for hole in &holes {
        hole::draw(hole, half, &mut canvas);
    }
    let fold = [Point2::new(0.0, ends.0.y), Point2::new(0.0, ends.1.y)];
    if half {
        canvas.stroke(Pen::Mark, fold);
    }
    // Numbers and words in gaps keep off the crosses of holes and the marks of the edge.
    let mut taken: Vec<(Point2, Point2)> = holes.iter().map(SharedHole::reach).collect();
    taken.extend(labels.iter().map(Label::reach));
    let mut labelled = numbered_lines(group, &called, ends, &taken, &mut canvas)?;
    labelled.extend(taken);
    // Its letters tell a hole from the next one; what they stand for has more room further off.
    for hole in holes.iter().filter(|h| !h.name.is_empty()) {
        canvas.place(&hole.name, SMALLEST_LETTER, hole::beside(hole, &holes))?;
    }
    let mut written = canvas.written()?;
    for label in &labels {
        label.draw(group.len() > 1, &mut written, &mut canvas)?;
    }
    // Words in the lines of openings keep off what is written by now.
    labelled.extend(written);
    let mut drawn: Vec<Vec<Point2>> = group.iter().flat_map(|l| l.coarse.clone()).collect();
    drawn.push(fold.to_vec());
    let unsaid = opening::draw(group, &called, (&drawn, &mut labelled), &mut canvas)?;
    if half {
        fold_words(ends, &mut canvas)?;
    }
    let mut above = Vec::new();
    let below = legend(
        group,
        listed,
        stack.layers.len(),
        (&outline, &unsaid),
        &mut canvas,
        &mut above,
    )?;
    if let Some(corners) = below {
        let mut points = outline.points.clone();
        points.extend(corners);
        outline = hull(&points);
    }
    // The list has most words, and under the template it costs paper: it goes before them.
    hole_words(&holes, &mut canvas)?;
    front_and_back(ends, half, &mut canvas)?;
    plate_words(group, listed, (ends, half), &mut canvas)?;
    side_words(ends, half, &mut canvas)?;

    let title = match group {
        [one] => listed[one.of].title.clone(),
        several => {
            let layers = several.iter().filter_map(|l| listed[l.of].layer());
            Title::Layers(layers.collect())
        }
    };
    let round = |h: &SharedHole| Hole::round(h.at, h.diameter);
    Ok(Listed {
        piece: std::borrow::Cow::Owned(Piece {
            id: listed[group[0].of].piece.id,
            area: outline.area(),
            outline,
            holes: holes.iter().map(round).collect(),
            marks: canvas.words.into_iter().map(Mark::Text).collect(),
        }),
        title,
        drawn: Some(Template {
            items: canvas.items,
            pieces: group.iter().map(|l| listed[l.of].piece.id).collect(),
            half,
            above,
        }),
    })
}

/// The outline round all lines.
fn outline(group: &[TracedLine], holes: &[SharedHole], half: bool) -> Outline {
    let mut shape: Vec<Region> = Vec::new();
    for line in group {
        let region = Region::solid(Outline {
            points: line.path.clone(),
        });
        shape = union(&shape, &[region]);
    }
    for hole in holes.iter().filter(|h| half && h.at.x > FOLD_TOLERANCE_MM) {
        // A hole that reaches over the fold is drawn whole.
        if hole.at.x < hole.diameter / 2.0 {
            let round = Outline::circle(hole.at, hole.diameter / 2.0, FOLD_TOLERANCE_MM);
            shape = union(&shape, &[Region::solid(round)]);
        }
    }
    shape
        .into_iter()
        .map(|r| r.outer)
        .max_by(|a, b| a.area().total_cmp(&b.area()))
        .unwrap_or_default()
}

/// Draws the lines with their numbers in gaps, off the boxes in `taken`, and gives the gaps.
fn numbered_lines(
    group: &[TracedLine],
    called: &[String],
    ends: (Point2, Point2),
    taken: &[(Point2, Point2)],
    canvas: &mut Canvas,
) -> Result<Vec<(Point2, Point2)>, Error> {
    let mut breaks: Vec<Vec<(Point2, Point2)>> = Vec::with_capacity(group.len());
    let mut others = vec![taken.to_vec()];
    for (n, number) in called.iter().enumerate() {
        let gaps = numbers(group, n, number, ends, &others, &canvas.free)?;
        others.push(gaps.clone());
        for gap in &gaps {
            canvas.write_in(*gap, NUMBER, number);
        }
        breaks.push(gaps);
    }
    for (n, (line, gaps)) in group.iter().zip(&breaks).enumerate() {
        let pen = PENS[n % PENS.len()];
        let mut path = line.path.clone();
        if !line.half {
            path.push(path[0]);
        }
        canvas.free.take_line(&path);
        if !line.half && gaps.is_empty() {
            let whole = Item::path(pen, line.path.clone(), true);
            canvas.items.push(whole);
        } else {
            let parts = interrupted(&path, gaps).into_iter();
            canvas
                .items
                .extend(parts.map(|p| Item::path(pen, p, false)));
        }
    }
    Ok(breaks.concat())
}

/// Which dowels the holes are for, how wide they are, and for which layers.
fn hole_words(holes: &[SharedHole], canvas: &mut Canvas) -> Result<(), Error> {
    for hole in holes {
        let wanted = hole.at + Vector2::new(hole.diameter / 2.0 + OVER + 10.0, 3.0);
        for said in [&hole.words, &hole.only] {
            if !said.is_empty() && canvas.place(said, SMALLEST_LETTER, wanted)? {
                break;
            }
        }
    }
    Ok(())
}

/// FRONT and BACK: on the wrong half of a crowded template these words would name the other edge.
fn front_and_back(
    (low, high): (Point2, Point2),
    half: bool,
    canvas: &mut Canvas,
) -> Result<(), Error> {
    let middle = f64::midpoint(low.y, high.y);
    for (text, y, front) in [
        ("FRONT", high.y - 12.0, true),
        ("BACK", low.y + 12.0, false),
    ] {
        let wanted = Point2::new(if half { 14.0 } else { 0.0 }, y);
        for size in FRONTS {
            let room = Vector2::new(face::text_width(text, size)? + 2.0, size * 1.8);
            if let Some(at) = canvas.free.place(room, wanted)
                && (at.y > middle) == front
            {
                canvas.write(at, size, text);
                break;
            }
        }
    }
    Ok(())
}

/// Where words are wanted sideways: on a half its middle.
fn side((low, high): (Point2, Point2), half: bool) -> f64 {
    if half { (low.x + high.x) / 2.0 } else { 0.0 }
}

/// What plates and wedges say of themselves.
fn plate_words(
    group: &[TracedLine],
    listed: &[Listed<'_>],
    (ends, half): ((Point2, Point2), bool),
    canvas: &mut Canvas,
) -> Result<(), Error> {
    let wanted = Point2::new(side(ends, half), (ends.0.y + ends.1.y) / 2.0);
    for line in group.iter().filter(|l| listed[l.of].layer().is_none()) {
        for own in own_words(&listed[line.of].piece) {
            for size in FRONTS {
                if canvas.place(own, size, wanted)? {
                    break;
                }
            }
        }
    }
    Ok(())
}

/// Which side is which, and which way up.
fn side_words(ends: (Point2, Point2), half: bool, canvas: &mut Canvas) -> Result<(), Error> {
    let sides: &[(&str, f64)] = if half {
        &[("RIGHT HALF", 0.8), ("THIS SIDE UP FIRST", 0.6)]
    } else {
        &[("RIGHT", 0.8), ("LEFT", -0.8), ("THIS SIDE UP", 0.0)]
    };
    let (side, (low, high)) = (side(ends, half), ends);
    for &(text, share) in sides {
        let wanted = Point2::new(side + (high.x - side) * share, low.y * 0.3 + high.y * 0.7);
        canvas.place(text, 3.0, wanted)?;
    }
    Ok(())
}

/// What the fold is, beside it.
fn fold_words((low, high): (Point2, Point2), canvas: &mut Canvas) -> Result<(), Error> {
    for words in [
        "centre line: lay it on the fold, or trace, turn over along it and trace again",
        "centre line: trace, turn over along it, trace again",
        "centre line: fold",
        "fold",
    ] {
        let long = face::text_width(words, SMALLEST_LETTER)? + 2.0;
        let middle = (low.y + high.y) / 2.0;
        let mut shift = 0.0;
        while shift < (high.y - low.y - long) / 2.0 {
            for y in [middle + shift, middle - shift] {
                // Just beside the line, whose own room is taken.
                let a = Point2::new(1.5, y - long / 2.0);
                let b = Point2::new(2.2 + SMALLEST_LETTER, y + long / 2.0);
                if canvas.free.is_free(a, b) {
                    canvas.free.take(a, b);
                    canvas.items.push(Item::Text {
                        at: Point2::new(1.7 + SMALLEST_LETTER, y),
                        size: SMALLEST_LETTER,
                        turn: std::f64::consts::FRAC_PI_2,
                        anchor: Anchor::Middle,
                        words: words.into(),
                    });
                    return Ok(());
                }
            }
            shift += 2.0;
        }
    }
    Ok(())
}
