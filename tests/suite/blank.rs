//! `new --print`: the measurement sheet to fill in by pen; `new --blank`: the one for an editor.

use std::fs;

use layfigure::drawing::{Drawing, Item, Pen};
use layfigure::form;
use layfigure::geom::Point2;
use layfigure::say::blank;
use layfigure::sheet;
use layfigure::sheet::Figure;
use layfigure::sheet::entry;
use layfigure::sheet::entry::Depth;
use layfigure::units::Unit;
use layfigure::workshop::Workshop;

use crate::program::program;
use crate::read_pdf::Pdf;
use crate::words;

/// How many boxes there are to write in, none of which any printed word touches.
fn nothing_is_written_in_a_box(page: &Drawing) -> usize {
    let items: Vec<&Item> = page.groups.iter().flat_map(|g| &g.items).collect();
    let boxes: Vec<(Point2, Point2)> = items
        .iter()
        .filter_map(|i| match i {
            Item::Path {
                pen: Pen::Mark,
                points,
                ..
            } if points.len() == 4 => Some((points[0], points[2])),
            _ => None,
        })
        .collect();
    for w in words::of(items) {
        let (l, h) = w.bounds();
        for (low, high) in &boxes {
            let beside = l.x > high.x || h.x < low.x;
            // A quarter of a letter hangs below the line.
            let apart = l.y - w.size / 4.0 > high.y || h.y < low.y;
            assert!(
                w.text.is_empty() || beside || apart,
                "{} is in a box",
                w.text
            );
        }
    }
    boxes.len()
}

#[test]
fn the_blank_on_paper_has_every_measurement_with_its_drawing_on_two_pages() {
    for figure in [Figure::Woman, Figure::Man, Figure::Child] {
        let read = sheet::read(sheet::example(figure), "example").unwrap();
        let body = form::check(read, &Workshop::default(), None).unwrap();
        for unit in Unit::ALL {
            let pages = blank::pages(figure, unit, &body.mesh).unwrap();
            assert!(pages.len() <= 2, "{figure:?} {unit:?}: {}", pages.len());
            let items: Vec<&Item> = pages
                .iter()
                .flat_map(|p| &p.groups)
                .flat_map(|g| &g.items)
                .collect();
            // Words keep off the edge that printers leave blank, and off the boxes.
            for page in &pages {
                for item in page.groups.iter().flat_map(|g| &g.items) {
                    let (low, high) = match item {
                        Item::Path { points, .. } => points.iter().fold(
                            (Point2::new(1e9, 1e9), Point2::new(-1e9, -1e9)),
                            |(l, h), p| {
                                (
                                    Point2::new(l.x.min(p.x), l.y.min(p.y)),
                                    Point2::new(h.x.max(p.x), h.y.max(p.y)),
                                )
                            },
                        ),
                        Item::Circle { centre, .. } => (*centre, *centre),
                        Item::Text { .. } => words::of([item])[0].bounds(),
                    };
                    assert!(low.x >= 7.0 && low.y >= 7.0, "{item:?}");
                    assert!(
                        high.x <= page.width - 7.0 && high.y <= page.height - 7.0,
                        "{item:?}"
                    );
                }
            }
            let words: Vec<&str> = items
                .iter()
                .filter_map(|i| match i {
                    Item::Text { words, .. } => Some(words.as_str()),
                    _ => None,
                })
                .collect();
            let asked = entry::asked(figure, Depth::Usual);
            for (i, (_, m)) in asked.iter().enumerate() {
                let line = format!("{}  {}", i + 1, entry::name(*m, figure));
                assert!(words.contains(&line.as_str()), "{line}");
            }
            let marked = |text: &str| words.iter().filter(|w| w.starts_with(text)).count();
            assert_eq!(marked("NEEDED"), 5, "three girths, and one of two lengths");
            let all = words.join(" ");
            assert!(all.contains("natural (where an elastic settles)"), "{all}");
            for (word, who) in [
                ("pregnant", Figure::Woman),
                ("breast", Figure::Woman),
                ("Adam", Figure::Man),
            ] {
                assert_eq!(all.contains(word), figure == who, "{figure:?}: {word}");
            }
            let mut boxes = 0;
            for page in &pages {
                boxes += nothing_is_written_in_a_box(page);
            }
            assert!(boxes >= 2 * asked.len());
            // A drawing is an outline of many points; a band of tape lies on each.
            let outlines = items.iter().filter(
                |i| matches!(i, Item::Path { pen: Pen::Mark, points, .. } if points.len() > 100),
            );
            assert_eq!(outlines.count(), asked.len(), "{figure:?}");
            let tapes = items
                .iter()
                .filter(|i| matches!(i, Item::Path { pen: Pen::Cut, .. }));
            assert!(tapes.count() >= asked.len(), "{figure:?}");
        }
    }
    let dir = tempfile::tempdir().unwrap();
    let run = program(dir.path())
        .args(["new", "--print", "blank.pdf", "--unit", "in"])
        .run()
        .success();
    assert_eq!(run.stdout(), "");
    let pdf = Pdf::read(&fs::read(dir.path().join("blank.pdf")).unwrap());
    assert_eq!(pdf.pages.len(), 2);
    for args in [
        &["new", "--print", "blank.pdf"][..],
        &["new", "--print", "x.pdf", "--blank"],
    ] {
        program(dir.path()).args(args).run().code(2);
    }
}

#[test]
fn a_blank_is_printed_or_kept_but_never_over_something() {
    let dir = tempfile::tempdir().unwrap();
    let out = program(dir.path())
        .args(["new", "--blank", "--unit", "in", "--figure", "child"])
        .run()
        .success()
        .output()
        .clone();
    let blank = String::from_utf8(out.stdout).unwrap();
    assert!(blank.contains("unit   = \"in\"") && blank.contains("figure = \"child\""));
    program(dir.path())
        .args(["new", "--blank", "c.toml"])
        .run()
        .success();
    assert_eq!(
        fs::read_to_string(dir.path().join("c.toml")).unwrap(),
        sheet::TEMPLATE
    );
    fs::write(dir.path().join("c.toml"), "mine").unwrap();
    program(dir.path())
        .args(["new", "--blank", "c.toml"])
        .run()
        .code(2)
        .says("is there already");
    assert_eq!(
        fs::read_to_string(dir.path().join("c.toml")).unwrap(),
        "mine"
    );
    // What is not a sheet is refused with its reason, and stays.
    program(dir.path())
        .args(["new", "c.toml"])
        .typed("")
        .run()
        .code(1);
    assert_eq!(
        fs::read_to_string(dir.path().join("c.toml")).unwrap(),
        "mine"
    );
}
