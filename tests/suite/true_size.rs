//! True size: what is written is read back after the standards of its format and measured.
//!
//! Outside facts: a point is 1/72 inch (ISO 32000, default user space); an inch is 25.4 mm
//! (definition of 1959); A series of ISO 216; letter and 11 x 17 in are sizes A and B of ASME
//! Y14.1 (paper sizes from memory).

use layfigure::drawing::{Drawing, Item, dxf, missing_glyphs, pdf, svg};
use layfigure::geom::{Outline, Point2};
use layfigure::layout::{board, nest, page};
use layfigure::stack::{Mark, Piece, Stack};
use layfigure::workshop::{Paper, Workshop};

use crate::read_dxf;
use crate::read_pdf::{Object, Pdf};
use crate::read_svg;
use crate::toy;
use crate::words;

#[test]
fn svg_is_true_to_the_accuracy_of_its_arcs() {
    let pieces = toy::pieces(6);
    let all: Vec<&Piece> = pieces.iter().collect();
    let workshop = Workshop::default();
    let boards = nest::nest(&all, &workshop.stock, 0).unwrap();
    let kerf = workshop.stock[0].kerf;
    let mut seen = 0;
    for b in &boards {
        let drawing = board::board_drawing(b, &all, &workshop).unwrap();
        let text = svg::write(&drawing).unwrap();
        let file = roxmltree::Document::parse(&text).unwrap();
        assert!((read_svg::length(&file, "width") - b.width).abs() < 0.01);
        assert!((read_svg::length(&file, "height") - b.length).abs() < 0.01);
        assert_eq!(read_svg::top_groups(&file), ["cut", "mark"]);
        for placed in &b.placed {
            let piece = pieces.iter().find(|p| p.id == placed.piece).unwrap();
            let (left, right) = read_svg::bounds(&file, &format!("cut-{}", placed.piece));
            let pose = placed.pose();
            let points: Vec<Point2> = piece
                .outline
                .points
                .iter()
                .map(|&p| pose.apply(p))
                .collect();
            let (low, high) = Outline { points }.bounds().unwrap();
            // The drawn line stands half a kerf outside the piece; y points down in the file.
            for (is, should) in [
                (left.x, low.x - kerf / 2.0),
                (right.x, high.x + kerf / 2.0),
                (left.y, b.length - high.y - kerf / 2.0),
                (right.y, b.length - low.y + kerf / 2.0),
            ] {
                assert!(
                    (is - should).abs() < 0.021,
                    "{} {is} {should}",
                    placed.piece
                );
            }
            seen += 1;
        }
    }
    assert_eq!(seen, pieces.len());
}

#[test]
fn svg_texts_survive() {
    let pieces = toy::pieces(2);
    let all: Vec<&Piece> = pieces.iter().collect();
    let workshop = Workshop::default();
    let boards = nest::nest(&all, &workshop.stock, 0).unwrap();
    let drawing = board::board_drawing(&boards[0], &all, &workshop).unwrap();
    let text = svg::write(&drawing).unwrap();
    let file = roxmltree::Document::parse(&text).unwrap();
    let words = read_svg::words(&file, "mark-L001");
    assert!(words.iter().any(|w| w == "1 of 2"), "{words:?}");
}

fn paper(name: &str, width: f64, height: f64) -> Paper {
    Paper {
        unit: layfigure::units::Unit::Mm,
        name: name.into(),
        width,
        height,
        roll: false,
        margin: 10.0,
        overlap: 15.0,
        outlines: 1,
        fold: false,
        printed: None,
    }
}

#[test]
fn every_page_has_its_paper_and_both_bars_on_both_axes() {
    let stack = toy::stack(5);
    let inch = 25.4;
    for (name, width, height) in [
        ("A5", 148.0, 210.0),
        ("A4", 210.0, 297.0),
        ("A3", 297.0, 420.0),
        ("Letter", 8.5 * inch, 11.0 * inch),
        ("11x17", 11.0 * inch, 17.0 * inch),
    ] {
        let workshop = Workshop {
            paper: paper(name, width, height),
            ..Default::default()
        };
        let pages = page::pages(&stack, &workshop, "contralto").unwrap();
        let bytes = pdf::write(&pages, "contralto").unwrap();
        let file = Pdf::read(&bytes);
        assert_eq!(file.pages.len(), pages.len());
        for page in 0..pages.len() {
            let size = file.size(page);
            assert!((size[0] - width).abs() < 0.001, "{name}");
            assert!((size[1] - height).abs() < 0.001, "{name}");
            let strokes = file.strokes(page);
            // Along the page twice as long, where there is room.
            let long = if height > 270.0 { 2.0 } else { 1.0 };
            for bar in [100.0, 4.0 * inch] {
                for upright in [false, true] {
                    let length = if upright { bar * long } else { bar };
                    let bars = strokes
                        .iter()
                        .filter(|[a, b]| {
                            let (dx, dy) = ((b[0] - a[0]).abs(), (b[1] - a[1]).abs());
                            let (along, across) = if upright { (dy, dx) } else { (dx, dy) };
                            across < 0.001 && (along - length).abs() < 0.005
                        })
                        .count();
                    assert!(
                        bars >= 1,
                        "{name} page {page}: no {length} mm, upright {upright}"
                    );
                }
            }
        }
    }
}

#[test]
fn printers_are_asked_not_to_scale_and_pages_can_be_found() {
    let stack = toy::stack(3);
    let pages = page::pages(&stack, &Workshop::default(), "chorister").unwrap();
    let bytes = pdf::write(&pages, "chorister: głos").unwrap();
    let file = Pdf::read(&bytes);
    assert_eq!(
        file.entry(&file.catalog, &["ViewerPreferences", "PrintScaling"]),
        Object::Name("None".into())
    );
    assert!(file.catalog.contains_key("Outlines"));
    // What is drawn is what is read: every word of every page, letter by letter.
    for (k, page) in pages.iter().enumerate() {
        let mut drawn = words::of(page.groups.iter().flat_map(|g| &g.items));
        drawn.retain(|w| !w.text.is_empty());
        let found = file.words(k);
        let found: Vec<&str> = found.lines().collect();
        for w in drawn {
            assert!(found.contains(&w.text), "`{}` not in {found:?}", w.text);
        }
    }
    assert!(file.words(0).contains("chorister"));
    assert!(missing_glyphs(&pages).unwrap().is_empty());
    assert!(!file.has("CreationDate") && !file.has("ModDate"));
}

#[test]
fn no_words_leave_the_page_and_those_of_the_frame_do_not_meet() {
    let stack = toy::stack(40);
    for (name, width, height) in [("A5", 148.0, 210.0), ("A4", 210.0, 297.0)] {
        let workshop = Workshop {
            paper: paper(name, width, height),
            ..Default::default()
        };
        let long = "the contralto of the lakeside company, second fitting of the season";
        for drawing in page::pages(&stack, &workshop, long).unwrap() {
            let frame = Drawing {
                groups: drawing
                    .groups
                    .iter()
                    .filter(|g| g.id == "page" || g.id == "cover")
                    .cloned()
                    .collect(),
                ..drawing.clone()
            };
            let all = words::of(frame.groups.iter().flat_map(|g| &g.items));
            assert!(all.len() >= 7);
            let (low, high) = (
                Point2::new(9.9, 9.9),
                Point2::new(width - 9.9, height - 9.9),
            );
            for w in &all {
                assert!(w.size >= 2.2 - 1e-9, "{} is {} mm high", w.text, w.size);
                let at = w.bounds();
                assert!(w.within(low, high), "{name}: `{}` at {at:?}", w.text);
            }
            assert_eq!(words::meetings(&all), [], "{name}");
        }
    }
}

/// Joined pages must make one whole: every corner of a piece is on some page, and what two pages
/// show is shifted by the same amount everywhere.
#[test]
fn pages_of_one_piece_together_show_all_of_it() {
    let stack = toy::stack(1);
    let piece = &stack.layers[0].pieces[0];
    let workshop = Workshop {
        paper: paper("A4", 210.0, 297.0),
        ..Default::default()
    };
    let pages = page::pages(&stack, &workshop, "baritone").unwrap();
    let mine: Vec<&Drawing> = pages
        .iter()
        .filter(|p| p.groups.iter().any(|g| g.id == piece.id.to_string()))
        .collect();
    assert_eq!(
        mine.len(),
        2,
        "a piece of 340 x 240 mm lies on two pages of A4"
    );
    let n = piece.outline.points.len();
    let mut seen = vec![false; n];
    let mut labels: Vec<Vec<String>> = Vec::new();
    for page in &mine {
        let group = page
            .groups
            .iter()
            .find(|g| g.id == piece.id.to_string())
            .unwrap();
        let (low, high) = group.clip.unwrap();
        let outline = group
            .items
            .iter()
            .find_map(|i| match i {
                Item::Path {
                    pen: layfigure::drawing::Pen::Cut,
                    points,
                    ..
                } => Some(points),
                _ => None,
            })
            .unwrap();
        assert_eq!(outline.len(), n);
        for (k, p) in outline.iter().enumerate() {
            seen[k] |= p.x >= low.x && p.x <= high.x && p.y >= low.y && p.y <= high.y;
        }
        // True size: the drawn outline has the perimeter of the piece.
        let drawn = Outline {
            points: outline.clone(),
        };
        assert!((drawn.perimeter() - piece.outline.perimeter()).abs() < 1e-6);
        labels.push(
            page.groups
                .iter()
                .filter(|g| g.id == "joins")
                .flat_map(|g| &g.items)
                .filter_map(|i| match i {
                    Item::Text { words, .. } if words.len() == 2 => Some(words.clone()),
                    _ => None,
                })
                .collect(),
        );
    }
    assert!(
        seen.iter().all(|s| *s),
        "a corner of the piece is on no page"
    );
    assert_eq!(labels[0], labels[1]);
    assert_eq!(labels[0], ["A1", "A2"]);
}

#[test]
fn same_input_same_bytes() {
    let make = || {
        let stack: Stack = toy::stack(12);
        let workshop = Workshop::default();
        let pages = page::pages(&stack, &workshop, "contralto").unwrap();
        let mut bytes = pdf::write(&pages, "contralto").unwrap();
        let all: Vec<&Piece> = stack.pieces().collect();
        for b in nest::nest(&all, &workshop.stock, 60).unwrap() {
            let drawing = board::board_drawing(&b, &all, &workshop).unwrap();
            bytes.extend(svg::write(&drawing).unwrap().bytes());
            bytes.extend(dxf::write(&drawing).unwrap().bytes());
        }
        bytes
    };
    let first = make();
    assert!(first == make());
    // Nor may the number of processor cores matter.
    let single = rayon::ThreadPoolBuilder::new()
        .num_threads(1)
        .build()
        .unwrap();
    assert!(first == single.install(make));
}

#[test]
fn a_mark_beyond_the_edge_is_not_drawn_on_a_neighbour() {
    let mut pieces = toy::pieces(4);
    let wide: Vec<Point2> = pieces[0]
        .outline
        .points
        .iter()
        .map(|p| Point2::new(p.x * 1.1, p.y * 1.1))
        .collect();
    pieces[0].marks.push(Mark::Above(Outline { points: wide }));
    let all: Vec<&Piece> = pieces.iter().collect();
    let workshop = Workshop::default();
    let boards = nest::nest(&all, &workshop.stock, 0).unwrap();
    for b in &boards {
        let drawing = board::board_drawing(b, &all, &workshop).unwrap();
        for placed in &b.placed {
            let piece = pieces.iter().find(|p| p.id == placed.piece).unwrap();
            let pose = placed.pose();
            let on: Vec<Point2> = piece
                .outline
                .points
                .iter()
                .map(|&p| pose.apply(p))
                .collect();
            let on = Outline { points: on };
            let group = drawing
                .groups
                .iter()
                .find(|g| g.id == piece.id.to_string())
                .unwrap();
            for item in &group.items {
                if let Item::Path {
                    pen: layfigure::drawing::Pen::Dashed,
                    points,
                    ..
                } = item
                {
                    for &p in points {
                        assert!(on.contains(p) || on.distance(p) < 0.001);
                    }
                }
            }
        }
    }
}

/// A polyline of arcs as a fine polygon. Written out here, not asked of the program.
fn unbent(line: &read_dxf::Polyline) -> Outline {
    let n = line.corners.len();
    let mut points = Vec::new();
    for k in 0..n {
        let ([ax, ay, bulge], [bx, by, _]) = (line.corners[k], line.corners[(k + 1) % n]);
        let (a, b) = (Point2::new(ax, ay), Point2::new(bx, by));
        points.push(a);
        let angle = 4.0 * bulge.atan();
        if angle.abs() < 1e-12 {
            continue;
        }
        let chord = (b - a).norm();
        let radius = chord / (2.0 * (angle / 2.0).sin());
        let middle = a + (b - a) / 2.0;
        let to_centre = (radius * radius - chord * chord / 4.0).max(0.0).sqrt() * angle.signum();
        let left = layfigure::geom::Vector2::new(a.y - b.y, b.x - a.x) / chord;
        let centre = middle + left * to_centre;
        for step in 1..30 {
            let (s, c) = (angle * f64::from(step) / 30.0).sin_cos();
            let d = a - centre;
            points.push(Point2::new(
                centre.x + d.x * c - d.y * s,
                centre.y + d.x * s + d.y * c,
            ));
        }
    }
    Outline { points }
}

#[test]
fn cut_outlines_are_a_few_arcs_close_to_the_polygon() {
    let pieces = toy::pieces(6);
    let all: Vec<&Piece> = pieces.iter().collect();
    let mut workshop = Workshop::default();
    workshop.stock[0].kerf = 0.0;
    let boards = nest::nest(&all, &workshop.stock, 0).unwrap();
    let mut seen = 0;
    for b in &boards {
        let drawing = board::board_drawing(b, &all, &workshop).unwrap();
        let text = dxf::write(&drawing).unwrap();
        let lines: Vec<Outline> = read_dxf::polylines(&text)
            .iter()
            .filter(|line| line.layer == "CUT")
            .map(|line| {
                assert!(line.closed);
                assert!(line.corners.len() < 60, "{}", line.corners.len());
                unbent(line)
            })
            .collect();
        for placed in &b.placed {
            let piece = pieces.iter().find(|p| p.id == placed.piece).unwrap();
            let pose = placed.pose();
            let points = piece.outline.points.iter().map(|&p| pose.apply(p));
            let exact = Outline {
                points: points.collect(),
            };
            let apart = |line: &Outline| {
                let one = |a: &Outline, b: &Outline| {
                    let points = a.densified(0.5).points;
                    points.iter().map(|&p| b.distance(p)).fold(0.0, f64::max)
                };
                one(line, &exact).max(one(&exact, line))
            };
            let nearest = lines.iter().map(apart).fold(f64::INFINITY, f64::min);
            // The fit, and the rounding of what is written.
            assert!(
                nearest <= 0.02 + 0.002,
                "{} is off by {nearest}",
                placed.piece
            );
            seen += 1;
        }
    }
    assert_eq!(seen, pieces.len());
}

/// A bar to prove the scale by is on every board, whatever its margin.
#[test]
fn every_board_has_a_check_bar() {
    let pieces = toy::pieces(6);
    let all: Vec<&Piece> = pieces.iter().collect();
    for margin in [5.0, 1.0] {
        let mut workshop = Workshop::default();
        workshop.stock[0].margin = margin;
        for b in nest::nest(&all, &workshop.stock, 0).unwrap() {
            let drawing = board::board_drawing(&b, &all, &workshop).unwrap();
            let bar = drawing.groups.iter().find(|g| g.id == "check-bar").unwrap();
            let long = bar.items.iter().any(|i| match i {
                Item::Path { points, .. } => ((points[1] - points[0]).norm() - 100.0).abs() < 1e-9,
                _ => false,
            });
            let said = bar
                .items
                .iter()
                .any(|i| matches!(i, Item::Text { words, .. } if words == "100 mm"));
            assert!(long && said, "margin {margin}");
        }
    }
}
