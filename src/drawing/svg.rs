//! `Drawing` to SVG text at true size.
//!
//! What is cut stands in the group `cut`, all else in the group `mark`; inside each, the groups of
//! the drawing keep their names (`cut-L012`, `mark-L012`), so that cutting software can take one
//! and leave the other. Openings come before outlines, because a piece that is cut free first may
//! shift. Smooth lines are written as arcs, within
//! [`CURVE_ACCURACY_MM`](crate::tolerance::CURVE_ACCURACY_MM). Line styles differ in width and dashes
//! as well as in colour.
//!
//! # Why do words carry their length in SVG?
//! They are laid out by the widths of one face, and a viewer that lacks it would run them over a
//! cut.

use svg::Document;
use svg::node::element;
use svg::node::element::path::Data;

use crate::drawing::curve;
use crate::drawing::{Anchor, Drawing, Group, Item, Pen, rounded};
use crate::error::Error;
use crate::face::{CAP_HEIGHT, Face, printable};
use crate::geom::Point2;

/// Bulge of an arc of a quarter turn, the tangent of a quarter of that.
const QUARTER: f64 = std::f64::consts::SQRT_2 - 1.0;

/// Writes a drawing at true size: width and height in mm, one user unit to the millimetre. Words say
/// how long they are, so that they keep their room whatever face the reader has.
///
/// # Errors
/// [`Error::Format`] when the face of the words cannot be read.
pub fn write(drawing: &Drawing) -> Result<String, Error> {
    let face = Face::open()?;
    let width = rounded(drawing.width);
    let height = rounded(drawing.height);
    let mut document = Document::new()
        .set("width", format!("{width}mm"))
        .set("height", format!("{height}mm"))
        .set("viewBox", (0, 0, width, height))
        .add(element::Title::new(printable(&drawing.title)));
    let clips: Vec<&Group> = drawing.groups.iter().filter(|g| g.clip.is_some()).collect();
    if !clips.is_empty() {
        let mut definitions = element::Definitions::new();
        for group in clips {
            if let Some((low, high)) = group.clip {
                definitions = definitions.add(
                    element::ClipPath::new()
                        .set("id", format!("clip-{}", group.id))
                        .add(
                            element::Rectangle::new()
                                .set("x", rounded(low.x))
                                .set("y", rounded(drawing.height - high.y))
                                .set("width", rounded(high.x - low.x))
                                .set("height", rounded(high.y - low.y)),
                        ),
                );
            }
        }
        document = document.add(definitions);
    }
    for cut in [true, false] {
        let name = if cut { "cut" } else { "mark" };
        let mut layer = element::Group::new().set("id", name).set("fill", "none");
        let mut holds_any = false;
        for group in &drawing.groups {
            let mut items: Vec<&Item> = group.items.iter().filter(|i| i.is_cut() == cut).collect();
            if items.is_empty() {
                continue;
            }
            if cut {
                items.sort_by_key(|i| !opens(i));
            }
            holds_any = true;
            let mut node = element::Group::new().set("id", format!("{name}-{}", group.id));
            if group.clip.is_some() {
                node = node.set("clip-path", format!("url(#clip-{})", group.id));
            }
            for item in items {
                node = add(node, item, drawing.height, &face);
            }
            layer = layer.add(node);
        }
        if holds_any {
            document = document.add(layer);
        }
    }
    let mut text = document.to_string();
    text.push('\n');
    Ok(text)
}

/// Whether an item is an opening, to be cut first.
fn opens(item: &Item) -> bool {
    matches!(
        item,
        Item::Path {
            pen: Pen::CutInside,
            ..
        } | Item::Circle {
            pen: Pen::CutInside,
            ..
        }
    )
}

/// Colour, width in mm and dashes of each pen.
fn style(pen: Pen) -> (&'static str, f64, Option<&'static str>) {
    match pen {
        Pen::Cut => ("#c00000", 0.3, None),
        Pen::CutInside => ("#b000a0", 0.3, None),
        Pen::Mark => ("#000000", 0.18, None),
        Pen::Dashed => ("#000000", 0.18, Some("3 1.5")),
        Pen::Fine => ("#707070", 0.1, None),
    }
}

/// The group with one more item, `y` turned to point down from `height`.
fn add(group: element::Group, item: &Item, height: f64, face: &Face) -> element::Group {
    let flip = |p: &Point2| (rounded(p.x), rounded(height - p.y));
    match item {
        Item::Path {
            pen,
            points,
            closed,
        } => {
            let arcs = curve::arcs(points, *closed);
            let Some((first, _)) = arcs.first() else {
                return group;
            };
            let mut data = Data::new().move_to(flip(first));
            // The last line of a closed path is drawn by closing it, the last arc is not.
            let n = arcs.len();
            for (k, (from, bulge)) in arcs.iter().enumerate() {
                let Some((to, _)) = arcs.get(k + 1).or(arcs.first().filter(|_| *closed)) else {
                    break;
                };
                if *bulge != 0.0 {
                    data = arc_to(data, *from, *to, *bulge, height);
                } else if k + 1 < n {
                    data = data.line_to(flip(to));
                }
            }
            if *closed {
                data = data.close();
            }
            let (colour, width, dashes) = style(*pen);
            let mut node = element::Path::new()
                .set("d", data)
                .set("stroke", colour)
                .set("stroke-width", width)
                .set("stroke-linejoin", "round");
            if let Some(dashes) = dashes {
                node = node.set("stroke-dasharray", dashes);
            }
            group.add(node)
        }
        Item::Circle {
            pen,
            centre,
            radius,
        } => {
            let (x, y) = flip(centre);
            let (colour, width, dashes) = style(*pen);
            let mut node = element::Circle::new()
                .set("cx", x)
                .set("cy", y)
                .set("r", rounded(*radius))
                .set("stroke", colour)
                .set("stroke-width", width);
            if let Some(dashes) = dashes {
                node = node.set("stroke-dasharray", dashes);
            }
            group.add(node)
        }
        Item::Text {
            at,
            size,
            turn,
            anchor,
            words,
        } => {
            let (x, y) = flip(at);
            let anchor = match anchor {
                Anchor::Start => "start",
                Anchor::Middle => "middle",
                Anchor::End => "end",
            };
            let mut node = element::Text::new(printable(words))
                .set("x", x)
                .set("y", y)
                .set("font-family", "'Noto Sans', 'DejaVu Sans', sans-serif")
                .set("font-size", rounded(size / CAP_HEIGHT))
                .set("text-anchor", anchor)
                .set("fill", "#000000");
            let long = rounded(face.width(words, *size));
            if long > 0.0 {
                node = node
                    .set("textLength", long)
                    .set("lengthAdjust", "spacingAndGlyphs");
            }
            let degrees = rounded(-turn.to_degrees());
            if degrees != 0.0 {
                node = node.set("transform", format!("rotate({degrees} {x} {y})"));
            }
            group.add(node)
        }
    }
}

/// The path with an arc. SVG tells arcs by their radius, and a rounded radius says little of how far
/// an arc of nearly half a turn stands out: what turns by more than a quarter is written in halves.
fn arc_to(data: Data, from: Point2, to: Point2, bulge: f64, height: f64) -> Data {
    if bulge.abs() > QUARTER {
        let (middle, half) = curve::halved(from, to, bulge);
        let first = arc_to(data, from, middle, half, height);
        return arc_to(first, middle, to, half, height);
    }
    let r = rounded(curve::radius(from, to, bulge));
    // Turning left is against the clock, which SVG calls negative.
    let sweep = u8::from(bulge < 0.0);
    data.elliptical_arc_to((r, r, 0, 0, sweep, rounded(to.x), rounded(height - to.y)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_escaped_and_openings_come_first() {
        let square = vec![
            Point2::new(10.0, 10.0),
            Point2::new(30.0, 10.0),
            Point2::new(30.0, 30.0),
        ];
        let drawing = Drawing {
            width: 50.0,
            height: 40.0,
            title: "alto & \"bass\" <1>".into(),
            groups: vec![Group {
                id: "L001".into(),
                items: vec![
                    Item::path(Pen::Cut, square, true),
                    Item::Circle {
                        pen: Pen::CutInside,
                        centre: Point2::new(25.0, 15.0),
                        radius: 2.0,
                    },
                    Item::words(Point2::new(20.0, 20.0), 3.0, Anchor::Middle, "a<b\u{7}"),
                ],
                clip: None,
            }],
        };
        let text = write(&drawing).unwrap();
        assert!(text.contains("alto &amp; "));
        assert!(text.contains("a&lt;b "));
        assert!(text.contains(r#"width="50mm""#));
        assert!(text.contains(r#"viewBox="0 0 50 40""#));
        let opening = text.find("<circle").unwrap();
        let outline = text.find("<path").unwrap();
        assert!(opening < outline, "{text}");
        assert_eq!(text, write(&drawing).unwrap());
    }
}
