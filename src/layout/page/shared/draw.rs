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
use crate::layout::free::Free;
use crate::layout::ink::SMALLEST_LETTER;
use crate::layout::page::Listed;
use crate::layout::page::shared::Line;
use crate::layout::page::shared::edge::Label;
use crate::layout::page::shared::edge::edge_marks;
use crate::layout::page::shared::gap::NUMBER;
use crate::layout::page::shared::gap::interrupted;
use crate::layout::page::shared::gap::numbers;
use crate::layout::page::shared::hole;
use crate::layout::page::shared::hole::OVER;
use crate::layout::page::shared::legend::legend;
use crate::layout::page::shared::legend::said;
use crate::layout::page::shared::number;
use crate::layout::page::shared::opening;
use crate::layout::page::template::Template;
use crate::layout::page::title::Title;
use crate::stack::Hole;
use crate::stack::Mark;
use crate::stack::Piece;
use crate::stack::PieceId;
use crate::stack::Stack;
use crate::stack::Words;
use crate::tolerance::FOLD_TOLERANCE_MM;

/// How the lines of a template are drawn, in order.
pub(in crate::layout::page) const PENS: [Pen; 4] = [Pen::Cut, Pen::Second, Pen::Third, Pen::Fourth];

/// Heights of the letters of FRONT and BACK, the best first, mm.
const FRONTS: [f64; 3] = [4.0, 3.0, SMALLEST_LETTER];

/// A template of lines that go together.
pub(super) fn template<'a>(
    group: &[Line],
    listed: &[Listed<'a>],
    stack: &Stack,
) -> Result<Listed<'a>, Error> {
    let half = group.iter().all(|l| l.half);
    let pieces: Vec<&Piece> = group.iter().map(|l| listed[l.of].piece.as_ref()).collect();
    let mut shape: Vec<Region> = Vec::new();
    for line in group {
        let region = Region::solid(Outline {
            points: line.path.clone(),
        });
        shape = union(&shape, &[region]);
    }
    let holes = hole::holes(group, listed, stack, half);
    for hole in holes.iter().filter(|h| half && h.at.x > FOLD_TOLERANCE_MM) {
        // A hole that reaches over the fold is drawn whole.
        if hole.at.x < hole.diameter / 2.0 {
            let round = Outline::circle(hole.at, hole.diameter / 2.0, FOLD_TOLERANCE_MM);
            shape = union(&shape, &[Region::solid(round)]);
        }
    }
    let mut outline = shape
        .into_iter()
        .map(|r| r.outer)
        .max_by(|a, b| a.area().total_cmp(&b.area()))
        .unwrap_or_default();
    let mut free = Free::inside(&outline.points);
    let mut items = Vec::new();
    let mut words: Vec<Mark> = Vec::new();

    let mut labels = Vec::new();
    for (n, piece) in pieces.iter().enumerate() {
        let number = number(&listed[group[n].of], stack);
        let inner = listed[group[n].of].layer().is_none();
        labels.extend(edge_marks(
            piece,
            &number,
            (half, inner),
            &mut items,
            &mut free,
        ));
    }
    for hole in &holes {
        hole::draw(hole, half, &mut items, &mut free);
    }
    // Numbers and words in gaps keep off the crosses of holes and the marks of the edge.
    let mut taken: Vec<(Point2, Point2)> = holes.iter().map(hole::SharedHole::reach).collect();
    taken.extend(labels.iter().map(Label::reach));
    let ends = bounds(&outline.points).unwrap_or((Point2::origin(), Point2::origin()));
    if half {
        let line = [Point2::new(0.0, ends.0.y), Point2::new(0.0, ends.1.y)];
        items.push(Item::path(Pen::Mark, line, false));
        free.take_line(&line);
    }
    let mut breaks: Vec<Vec<(Point2, Point2)>> = Vec::with_capacity(group.len());
    let mut others = vec![taken.clone()];
    for (n, line) in group.iter().enumerate() {
        let number = number(&listed[line.of], stack);
        let gaps = numbers(group, n, &number, ends, &others, &free)?;
        others.push(gaps.clone());
        for (low, high) in &gaps {
            free.take(*low, *high);
            let at = low + (high - low) / 2.0;
            items.push(middle(at, NUMBER, &number));
            words.push(Mark::Text(Words::new(at, NUMBER, number.as_str())));
        }
        breaks.push(gaps);
    }
    for (n, line) in group.iter().enumerate() {
        let mut path = line.path.clone();
        if !line.half {
            path.push(path[0]);
        }
        free.take_line(&path);
        if !line.half && breaks[n].is_empty() {
            items.push(Item::path(PENS[n % PENS.len()], line.path.clone(), true));
        } else {
            for part in interrupted(&path, &breaks[n]) {
                items.push(Item::path(PENS[n % PENS.len()], part, false));
            }
        }
    }
    let mut labelled: Vec<(Point2, Point2)> = breaks.iter().flatten().copied().collect();
    labelled.extend(taken);
    let mut drawn: Vec<Vec<Point2>> = group.iter().flat_map(|l| l.coarse.clone()).collect();
    drawn.push(vec![Point2::new(0.0, ends.0.y), Point2::new(0.0, ends.1.y)]);
    let lines: Vec<(&Line, String)> = group
        .iter()
        .map(|l| (l, number(&listed[l.of], stack)))
        .collect();
    // Its letters tell a hole from the next one; what they stand for has more room further off.
    for hole in holes.iter().filter(|h| !h.name.is_empty()) {
        let wanted = hole::beside(hole, &holes);
        word(
            &hole.name,
            SMALLEST_LETTER,
            wanted,
            (&mut items, &mut words, &mut free),
        )?;
    }
    let mut numbered = written(&words)?;
    for label in &labels {
        label.draw(group.len() > 1, &mut numbered, &mut items, &mut free)?;
    }
    // Words in the lines of openings keep off what is written by now.
    labelled.extend(numbered);
    let unsaid = opening::draw(
        &lines,
        (&drawn, &mut labelled),
        (&mut items, &mut words, &mut free),
    )?;
    if half {
        fold_words(ends, &mut items, &mut free)?;
    }
    let mut above = Vec::new();
    let below = legend(
        group,
        listed,
        stack,
        (&outline, &unsaid),
        (&mut items, &mut words, &mut free),
        &mut above,
    )?;
    if let Some(corners) = below {
        let mut points = outline.points.clone();
        points.extend(corners);
        outline = hull(&points);
    }
    // The list has most words, and under the template it costs paper: it goes before them.
    for hole in &holes {
        let wanted = hole.at + Vector2::new(hole.diameter / 2.0 + OVER + 10.0, 3.0);
        for said in [&hole.words, &hole.only] {
            let put = !said.is_empty()
                && word(
                    said,
                    SMALLEST_LETTER,
                    wanted,
                    (&mut items, &mut words, &mut free),
                )?;
            if put {
                break;
            }
        }
    }
    // On the wrong half of a crowded template these words would name the other edge.
    let middle_y = f64::midpoint(ends.0.y, ends.1.y);
    for (text, y) in [("FRONT", ends.1.y - 12.0), ("BACK", ends.0.y + 12.0)] {
        let wanted = Point2::new(if half { 14.0 } else { 0.0 }, y);
        for size in FRONTS {
            let room = Vector2::new(face::text_width(text, size)? + 2.0, size * 1.8);
            if let Some(at) = free.place(room, wanted)
                && (at.y > middle_y) == (text == "FRONT")
            {
                items.push(middle(at, size, text));
                words.push(Mark::Text(Words::new(at, size, text)));
                break;
            }
        }
    }
    let (low, high) = ends;
    let side = if half { (low.x + high.x) / 2.0 } else { 0.0 };
    for l in group.iter().filter(|l| listed[l.of].layer().is_none()) {
        for own in said(&listed[l.of].piece) {
            let wanted = Point2::new(side, (low.y + high.y) / 2.0);
            for size in FRONTS {
                if word(own, size, wanted, (&mut items, &mut words, &mut free))? {
                    break;
                }
            }
        }
    }
    let sides: &[(&str, f64)] = if half {
        &[("RIGHT HALF", 0.8), ("THIS SIDE UP FIRST", 0.6)]
    } else {
        &[("RIGHT", 0.8), ("LEFT", -0.8), ("THIS SIDE UP", 0.0)]
    };
    for &(text, share) in sides {
        let wanted = Point2::new(side + (high.x - side) * share, low.y * 0.3 + high.y * 0.7);
        word(text, 3.0, wanted, (&mut items, &mut words, &mut free))?;
    }

    let ids: Vec<PieceId> = pieces.iter().map(|p| p.id).collect();
    let title = match group {
        [one] => listed[one.of].title.clone(),
        several => {
            let layers = several.iter().filter_map(|l| listed[l.of].layer());
            Title::Layers(layers.collect())
        }
    };
    Ok(Listed {
        piece: std::borrow::Cow::Owned(Piece {
            id: listed[group[0].of].piece.id,
            area: outline.area(),
            outline,
            holes: holes
                .iter()
                .map(|h| Hole::round(h.at, h.diameter))
                .collect(),
            marks: words,
        }),
        title,
        drawn: Some(Template {
            items,
            pieces: ids,
            half,
            above,
        }),
    })
}

/// The boxes of words.
fn written(words: &[Mark]) -> Result<Vec<(Point2, Point2)>, Error> {
    let mut out = Vec::with_capacity(words.len());
    for mark in words {
        if let Mark::Text(words) = mark {
            let half = Vector2::new(face::text_width(&words.text, words.size)?, words.size) / 2.0;
            out.push((words.at - half, words.at + half));
        }
    }
    Ok(out)
}

/// What the fold is, beside it.
fn fold_words(
    (low, high): (Point2, Point2),
    items: &mut Vec<Item>,
    free: &mut Free,
) -> Result<(), Error> {
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
                if free.is_free(a, b) {
                    free.take(a, b);
                    items.push(Item::Text {
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

/// Words on a level line with their middle at a point.
pub(super) fn middle(at: Point2, size: f64, words: &str) -> Item {
    Item::words(
        Point2::new(at.x, at.y - size / 2.0),
        size,
        Anchor::Middle,
        words,
    )
}

/// Puts words at the free place nearest to where they are wanted, and says whether there is one.
pub(super) fn word(
    words: &str,
    size: f64,
    wanted: Point2,
    (items, marks, free): (&mut Vec<Item>, &mut Vec<Mark>, &mut Free),
) -> Result<bool, Error> {
    let width = face::text_width(words, size)?;
    let place = free.place(Vector2::new(width + 2.0, size * 1.8), wanted);
    if let Some(at) = place {
        items.push(middle(at, size, words));
        marks.push(Mark::Text(Words::new(at, size, words)));
    }
    Ok(place.is_some())
}
