//! A reader of SVG after SVG 1.1, chapters 7 and 8, that shares nothing with the writer: groups by name,
//! the box round what they draw, and their words. The outside checks ask the same of whole folders with
//! svgelements.

use layfigure::geom::{Point2, Vector2};
use roxmltree::{Document, Node};

/// A length of the head in mm.
pub(crate) fn length(document: &Document, name: &str) -> f64 {
    let text = document.root_element().attribute(name).unwrap();
    text.strip_suffix("mm").unwrap().parse().unwrap()
}

/// Names of the groups right below the root.
pub(crate) fn top_groups<'a>(document: &'a Document) -> Vec<&'a str> {
    let all = document.root_element().children();
    all.filter(|n| n.has_tag_name("g"))
        .map(|n| n.attribute("id").unwrap())
        .collect()
}

pub(crate) fn group<'a, 'i>(document: &'a Document<'i>, id: &str) -> Node<'a, 'i> {
    let found = document
        .descendants()
        .find(|n| n.attribute("id") == Some(id));
    found.unwrap_or_else(|| panic!("no {id}"))
}

fn number(node: Node, name: &str) -> f64 {
    node.attribute(name).unwrap().parse().unwrap()
}

/// Lowest and highest coordinates of the paths and circles of a group, without the width of their
/// strokes. A user unit is a millimetre where width and height are those of the view box.
pub(crate) fn bounds(document: &Document, id: &str) -> (Point2, Point2) {
    let root = document.root_element();
    let view = format!(
        "0 0 {} {}",
        length(document, "width"),
        length(document, "height")
    );
    assert_eq!(root.attribute("viewBox"), Some(view.as_str()));
    let mut points = Vec::new();
    for node in group(document, id).descendants() {
        assert!(node.attribute("transform").is_none(), "not looked for here");
        match node.tag_name().name() {
            "path" => points.extend(path(node.attribute("d").unwrap())),
            "circle" => {
                let (x, y, r) = (number(node, "cx"), number(node, "cy"), number(node, "r"));
                points.extend([Point2::new(x - r, y - r), Point2::new(x + r, y + r)]);
            }
            _ => {}
        }
    }
    let low = points.iter().copied().reduce(|a, b| a.inf(&b)).unwrap();
    let high = points.iter().copied().reduce(|a, b| a.sup(&b)).unwrap();
    (low, high)
}

/// Words of a group, one text each, without the white space round them.
pub(crate) fn words(document: &Document, id: &str) -> Vec<String> {
    let texts = group(document, id)
        .descendants()
        .filter(|n| n.has_tag_name("text"));
    let said = texts.map(|t| {
        let parts = t.descendants().filter(Node::is_text);
        let all: String = parts.filter_map(|n| n.text()).collect();
        all.trim().to_owned()
    });
    said.collect()
}

/// Points along a path of the commands M, L, A and Z, arcs in steps of a degree.
fn path(data: &str) -> Vec<Point2> {
    let mut points: Vec<Point2> = Vec::new();
    let commands = data.split_inclusive(|c: char| c.is_ascii_alphabetic());
    // What stands before a letter belongs to the letter before it.
    let mut letter = ' ';
    for part in commands.chain([""]) {
        let (numbers, next) = match part.chars().next_back() {
            Some(c) if c.is_ascii_alphabetic() => (&part[..part.len() - 1], c),
            _ => (part, ' '),
        };
        let v: Vec<f64> = numbers
            .split([' ', ','])
            .filter(|n| !n.is_empty())
            .map(|n| n.parse().unwrap())
            .collect();
        match letter {
            'M' | 'L' => points.extend(v.chunks_exact(2).map(|p| Point2::new(p[0], p[1]))),
            'A' => {
                for a in v.chunks_exact(7) {
                    assert!((a[0] - a[1]).abs() < 1e-9, "an arc of a circle");
                    let from = *points.last().unwrap();
                    let to = Point2::new(a[5], a[6]);
                    points.extend(arc(from, to, a[0], a[3] > 0.5, a[4] > 0.5));
                }
            }
            'Z' | 'z' | ' ' => assert!(v.is_empty()),
            other => panic!("{other} is not read here"),
        }
        letter = next;
    }
    points
}

/// Points of an arc by its ends (SVG 1.1, appendix F.6.5, for a circle): the centre lies on the
/// perpendicular through the middle of the chord, on the side that the two flags say.
fn arc(from: Point2, to: Point2, radius: f64, large: bool, sweep: bool) -> Vec<Point2> {
    let half = (to - from) / 2.0;
    let chord = half.norm();
    // F.6.6: a radius too small is made to reach.
    let radius = radius.max(chord);
    let away = (radius * radius - chord * chord).max(0.0).sqrt();
    let side = if large == sweep { -1.0 } else { 1.0 };
    let centre = from + half + Vector2::new(-half.y, half.x) / chord * (away * side);
    let angle = |p: Point2| (p.y - centre.y).atan2(p.x - centre.x);
    let start = angle(from);
    let mut turn = angle(to) - start;
    // Positive angles run with the sweep flag.
    if sweep && turn < 0.0 {
        turn += std::f64::consts::TAU;
    } else if !sweep && turn > 0.0 {
        turn -= std::f64::consts::TAU;
    }
    let steps = (turn.abs().to_degrees().ceil() as usize).max(1);
    (1..=steps)
        .map(|k| {
            let t = start + turn * k as f64 / steps as f64;
            centre + Vector2::new(t.cos(), t.sin()) * radius
        })
        .collect()
}
