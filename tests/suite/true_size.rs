//! True size: what is written is read back with other libraries (usvg, lopdf) and measured.
//!
//! Outside facts: a point is 1/72 inch (ISO 32000, default user space); an inch is 25.4 mm
//! (definition of 1959); A series of ISO 216; letter and 11 x 17 in are sizes A and B of ASME
//! Y14.1 (paper sizes from memory).

use layfigure::drawing::{Drawing, Item, dxf, missing_glyphs, pdf, svg};
use layfigure::face;
use layfigure::geom::{Outline, Point2};
use layfigure::layout::{board, nest, page};
use layfigure::stack::{Mark, Piece, Stack};
use layfigure::workshop::{Paper, Workshop};

use crate::toy;
use resvg::usvg;

const POINTS_PER_MM: f64 = 72.0 / 25.4;

/// Read back in mm: at 25.4 dots to the inch a user unit is a millimetre.
fn read_svg(text: &str) -> usvg::Tree {
    let mut options = usvg::Options {
        dpi: 25.4,
        ..Default::default()
    };
    options
        .fontdb_mut()
        .load_font_data(notosans::REGULAR_TTF.to_vec());
    usvg::Tree::from_str(text, &options).unwrap()
}

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
        let tree = read_svg(&svg::write(&drawing).unwrap());
        assert!((f64::from(tree.size().width()) - b.width).abs() < 0.01);
        assert!((f64::from(tree.size().height()) - b.length).abs() < 0.01);
        let top: Vec<&str> = tree.root().children().iter().map(usvg::Node::id).collect();
        assert_eq!(top, ["cut", "mark"]);
        for placed in &b.placed {
            let piece = pieces.iter().find(|p| p.id == placed.piece).unwrap();
            let node = tree.node_by_id(&format!("cut-{}", placed.piece)).unwrap();
            let found = node.abs_bounding_box();
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
                (f64::from(found.left()), low.x - kerf / 2.0),
                (f64::from(found.right()), high.x + kerf / 2.0),
                (f64::from(found.top()), b.length - high.y - kerf / 2.0),
                (f64::from(found.bottom()), b.length - low.y + kerf / 2.0),
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
    let tree = read_svg(&svg::write(&drawing).unwrap());
    let text = tree.node_by_id("mark-L001").unwrap();
    let usvg::Node::Group(group) = text else {
        panic!("no group")
    };
    let mut words = Vec::new();
    for node in group.children() {
        if let usvg::Node::Text(text) = node {
            words.extend(text.chunks().iter().map(|c| c.text().to_owned()));
        }
    }
    assert!(words.iter().any(|w| w == "1 of 2"), "{words:?}");
}

/// Straight strokes of a page in points: start and end.
fn strokes(document: &lopdf::Document, page: lopdf::ObjectId) -> Vec<[(f64, f64); 2]> {
    let content = document.get_page_content(page);
    let content = lopdf::content::Content::decode(&content).unwrap();
    let number = |o: &lopdf::Object| f64::from(o.as_float().unwrap());
    let mut scale = 1.0;
    let mut at: Vec<(f64, f64)> = Vec::new();
    let mut found = Vec::new();
    for operation in &content.operations {
        let values = || operation.operands.iter().map(number).collect::<Vec<_>>();
        match operation.operator.as_str() {
            "cm" => {
                let m = values();
                assert_eq!(
                    (m[1].to_bits(), m[2].to_bits()),
                    (0, 0),
                    "turned or sheared"
                );
                assert!((m[0] - m[3]).abs() < 1e-6, "stretched");
                scale *= m[0];
            }
            "m" => at = vec![(values()[0] * scale, values()[1] * scale)],
            "l" => at.push((values()[0] * scale, values()[1] * scale)),
            "S" => {
                if let [a, b] = at.as_slice() {
                    found.push([*a, *b]);
                }
            }
            _ => {}
        }
    }
    found
}

fn paper(name: &str, width: f64, height: f64) -> Paper {
    Paper {
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

fn media_box(document: &lopdf::Document, page: lopdf::ObjectId) -> Vec<f64> {
    document
        .get_dictionary(page)
        .unwrap()
        .get(b"MediaBox")
        .unwrap()
        .as_array()
        .unwrap()
        .iter()
        .map(|o| f64::from(o.as_float().unwrap()))
        .collect()
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
        let document = lopdf::Document::load_mem(&bytes).unwrap();
        let found = document.get_pages();
        assert_eq!(found.len(), pages.len());
        for (&number, &id) in &found {
            let media = media_box(&document, id);
            assert!(media[0].abs() < 1e-9 && media[1].abs() < 1e-9);
            assert!((media[2] / POINTS_PER_MM - width).abs() < 0.001, "{name}");
            assert!((media[3] / POINTS_PER_MM - height).abs() < 0.001, "{name}");
            let strokes = strokes(&document, id);
            // Along the page twice as long, where there is room.
            let long = if height > 270.0 { 2.0 } else { 1.0 };
            for bar in [100.0, 4.0 * inch] {
                for upright in [false, true] {
                    let length = if upright { bar * long } else { bar };
                    let bars = strokes
                        .iter()
                        .filter(|[a, b]| {
                            let (dx, dy) = ((b.0 - a.0).abs(), (b.1 - a.1).abs());
                            let (along, across) = if upright { (dy, dx) } else { (dx, dy) };
                            across < 0.001 && (along / POINTS_PER_MM - length).abs() < 0.005
                        })
                        .count();
                    assert!(
                        bars >= 1,
                        "{name} page {number}: no {length} mm, upright {upright}"
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
    let bytes = pdf::write(&pages, "chorister: Łucja").unwrap();
    let document = lopdf::Document::load_mem(&bytes).unwrap();
    let catalog = document.catalog().unwrap();
    let preferences = catalog
        .get(b"ViewerPreferences")
        .unwrap()
        .as_dict()
        .unwrap();
    assert_eq!(
        preferences.get(b"PrintScaling").unwrap().as_name().unwrap(),
        b"None"
    );
    assert!(catalog.has(b"Outlines"));
    let cover = document.extract_text(&[1]).unwrap();
    assert!(cover.contains("chorister"), "{cover}");
    let cover = cover.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(cover.contains("99.5 to 100.5 mm"), "{cover}");
    let text = document.extract_text(&[2]).unwrap();
    assert!(text.contains("page 2 of"), "{text}");
    assert!(missing_glyphs(&pages).unwrap().is_empty());
    for object in document.objects.values() {
        if let Ok(dict) = object.as_dict() {
            assert!(!dict.has(b"CreationDate") && !dict.has(b"ModDate"));
        }
    }
}

/// Where the words of a drawing stand, as boxes turned with them are for layout tests too much:
/// only level and upright words are measured here.
fn boxes(drawing: &Drawing) -> Vec<(String, [f64; 4])> {
    let mut found = Vec::new();
    for item in drawing.groups.iter().flat_map(|g| &g.items) {
        if let Item::Text {
            at,
            size,
            turn,
            anchor,
            words,
        } = item
        {
            assert!(*size >= 2.2 - 1e-9, "{words} is {size} mm high");
            let width = face::text_width(words, *size).unwrap();
            let back = match anchor {
                layfigure::drawing::Anchor::Start => 0.0,
                layfigure::drawing::Anchor::Middle => width / 2.0,
                layfigure::drawing::Anchor::End => width,
            };
            if turn.abs() < 1e-9 {
                let x = at.x - back;
                found.push((words.clone(), [x, at.y, x + width, at.y + size]));
            } else if (turn - std::f64::consts::FRAC_PI_2).abs() < 1e-9 {
                let y = at.y - back;
                found.push((words.clone(), [at.x - size, y, at.x, y + width]));
            }
        }
    }
    found
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
            let all = boxes(&frame);
            assert!(all.len() >= 7);
            for (words, [x0, y0, x1, y1]) in &all {
                assert!(
                    *x0 >= 9.9 && *y0 >= 9.9 && *x1 <= width - 9.9 && *y1 <= height - 9.9,
                    "{name}: `{words}` stands at {x0:.1} {y0:.1} to {x1:.1} {y1:.1}"
                );
            }
            for (k, (words, a)) in all.iter().enumerate() {
                for (other, b) in &all[..k] {
                    let apart = a[0] >= b[2] || b[0] >= a[2] || a[1] >= b[3] || b[1] >= a[3];
                    assert!(apart, "{name}: `{words}` meets `{other}`");
                }
            }
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

/// A polyline of arcs as a fine polygon, by the DXF reference's definition of the bulge: the
/// tangent of a quarter of the included angle (DXF reference, from memory). Written out here, not
/// asked of the program.
fn unbent(line: &[(Point2, f64)]) -> Outline {
    let n = line.len();
    let mut points = Vec::new();
    for k in 0..n {
        let ((a, bulge), (b, _)) = (line[k], line[(k + 1) % n]);
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

/// The polylines on a layer with the bulge of each corner. Group codes of the DXF reference (from
/// memory): 0 begins an entity, 8 is its layer, 10 and 20 a corner, 42 its bulge.
fn polylines(text: &str, layer: &str) -> Vec<Vec<(Point2, f64)>> {
    let lines: Vec<&str> = text.lines().collect();
    let mut all: Vec<Vec<(Point2, f64)>> = Vec::new();
    let (mut line, mut on_layer) = (false, false);
    for pair in lines.chunks(2) {
        match (pair[0].trim(), pair[1]) {
            ("0", kind) => (line, on_layer) = (kind == "LWPOLYLINE", false),
            ("8", name) if line && name == layer => {
                on_layer = true;
                all.push(Vec::new());
            }
            (code @ ("10" | "20" | "42"), value) if on_layer => {
                let value: f64 = value.parse().unwrap();
                let corners = all.last_mut().unwrap();
                match code {
                    "10" => corners.push((Point2::new(value, f64::NAN), 0.0)),
                    "20" => corners.last_mut().unwrap().0.y = value,
                    _ => corners.last_mut().unwrap().1 = value,
                }
            }
            _ => {}
        }
    }
    all
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
        let lines = polylines(&text, "CUT");
        assert!(lines.iter().all(|line| line.len() < 60));
        let lines: Vec<Outline> = lines.iter().map(|line| unbent(line)).collect();
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
