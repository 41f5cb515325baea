//! `Drawing` to DXF text in mm: layers `CUT`, `CUT_INSIDE` and `MARK`.
//!
//! The release is R2000, the oldest with light-weight polylines, which every cutting program
//! reads; smooth lines are polylines of arcs, within
//! [`CURVE_ACCURACY_MM`](crate::tolerance::CURVE_ACCURACY_MM). Dates, identifiers and extents are
//! set, so the same drawing gives the same bytes.

use ::dxf::Color;
use ::dxf::Drawing as File;
use ::dxf::LwPolylineVertex;
use ::dxf::Point;
use ::dxf::entities::Circle;
use ::dxf::entities::Entity;
use ::dxf::entities::EntityType;
use ::dxf::entities::LwPolyline;
use ::dxf::entities::Text;
use ::dxf::enums::AcadVersion;
use ::dxf::enums::HorizontalTextJustification;
use ::dxf::enums::Units;
use ::dxf::tables::Layer;
use ::dxf::tables::LineType;

use crate::drawing::Anchor;
use crate::drawing::Drawing;
use crate::drawing::Item;
use crate::drawing::Pen;
use crate::drawing::curve;
use crate::drawing::rounded;
use crate::error::Error;
use crate::face::printable;
use crate::face::text_width;

/// Name of the dashed line type.
const DASHED: &str = "DASHED";

/// Writes a drawing as DXF text, 1 drawing unit to the millimetre. Rectangles of sight
/// (`Group::clip`) are not applied: boards, which this format is for, have none.
///
/// # Errors
/// [`Error::Format`] when the file cannot be put together.
pub fn write(drawing: &Drawing) -> Result<String, Error> {
    let mut file = File::new();
    head(&mut file, drawing);
    for (name, colour) in [("CUT", 1), ("CUT_INSIDE", 6), ("MARK", 7)] {
        file.add_layer(Layer {
            name: name.into(),
            color: Color::from_index(colour),
            ..Default::default()
        });
    }
    file.add_line_type(LineType {
        name: DASHED.into(),
        description: "dashes of 3 mm, gaps of 1.5 mm".into(),
        element_count: 2,
        total_pattern_length: 4.5,
        dash_dot_space_lengths: vec![3.0, -1.5],
        ..Default::default()
    });
    let items = || drawing.groups.iter().flat_map(|g| &g.items);
    // Openings first: a piece that is cut free before its openings may shift.
    let passes = [
        Some(Pen::CutInside),
        Some(Pen::Cut),
        Some(Pen::Second),
        Some(Pen::Third),
        Some(Pen::Fourth),
        None,
    ];
    for pass in passes {
        for item in items() {
            let pen = match item {
                Item::Path { pen, .. } | Item::Circle { pen, .. } => *pen,
                Item::Text { .. } => Pen::Mark,
            };
            let wanted = match pass {
                Some(wanted) => pen == wanted,
                None => !item.is_cut(),
            };
            if wanted && let Some(shape) = shape(item)? {
                let mut entity = Entity::new(shape);
                entity.common.layer = layer(pen).into();
                if pen == Pen::Dashed {
                    entity.common.line_type_name = DASHED.into();
                }
                file.add_entity(entity);
            }
        }
    }
    let mut bytes = Vec::new();
    file.save(&mut bytes)
        .map_err(|e| Error::Format(format!("the DXF drawing cannot be written: {e}")))?;
    String::from_utf8(bytes)
        .map_err(|e| Error::Format(format!("the DXF drawing is not readable text: {e}")))
}

/// Which layer a pen draws on.
fn layer(pen: Pen) -> &'static str {
    match pen {
        Pen::Cut | Pen::Second | Pen::Third | Pen::Fourth => "CUT",
        Pen::CutInside => "CUT_INSIDE",
        Pen::Mark | Pen::Dashed | Pen::Fine => "MARK",
    }
}

/// Sets units, extents and everything in the header that would differ from run to run.
fn head(file: &mut File, drawing: &Drawing) {
    let header = &mut file.header;
    header.version = AcadVersion::R2000;
    header.default_drawing_units = Units::Millimeters;
    header.drawing_units = ::dxf::enums::DrawingUnits::Metric;
    let corner = Point::new(rounded(drawing.width), rounded(drawing.height), 0.0);
    header.minimum_drawing_extents = Point::origin();
    header.maximum_drawing_extents = corner.clone();
    header.minimum_drawing_limits = Point::origin();
    header.maximum_drawing_limits = corner;
    // The types of the dates come from a crate that is not ours to name: their default is the
    // epoch, the same on every run.
    header.creation_date_universal = Default::default();
    header.update_date_universal = Default::default();
    header.creation_date = header.creation_date_universal.into();
    header.update_date = header.update_date_universal.into();
    header.fingerprint_guid = Default::default();
    header.version_guid = Default::default();
}

/// The entity that stands for an item; nothing for a path without points.
fn shape(item: &Item) -> Result<Option<EntityType>, Error> {
    Ok(match item {
        Item::Path { points, closed, .. } => {
            if points.is_empty() {
                return Ok(None);
            }
            let mut line = LwPolyline {
                vertices: curve::arcs(points, *closed)
                    .iter()
                    .map(|(p, bulge)| LwPolylineVertex {
                        x: rounded(p.x),
                        y: rounded(p.y),
                        // A pure number: at a chord of 1 m it still tells 0.001 mm apart.
                        bulge: rounded(bulge * 1000.0) / 1000.0,
                        ..Default::default()
                    })
                    .collect(),
                ..Default::default()
            };
            line.set_is_closed(*closed);
            Some(EntityType::LwPolyline(line))
        }
        Item::Circle { centre, radius, .. } => Some(EntityType::Circle(Circle {
            center: Point::new(rounded(centre.x), rounded(centre.y), 0.0),
            radius: rounded(*radius),
            ..Default::default()
        })),
        Item::Text {
            at,
            size,
            turn,
            anchor,
            words,
        } => {
            let place = Point::new(rounded(at.x), rounded(at.y), 0.0);
            Some(EntityType::Text(Text {
                location: place.clone(),
                second_alignment_point: place,
                text_height: rounded(*size),
                rotation: rounded(turn.to_degrees()),
                relative_x_scale_factor: narrowed(words, *size)?,
                horizontal_text_justification: match anchor {
                    Anchor::Start => HorizontalTextJustification::Left,
                    Anchor::Middle => HorizontalTextJustification::Center,
                    Anchor::End => HorizontalTextJustification::Right,
                },
                value: printable(words),
                ..Default::default()
            }))
        }
    })
}

/// How much narrower than its face has them a program is to draw letters, so that words keep the
/// length they are laid out with: faces of strokes, which most cutting programs use, give every letter
/// about as much room as it is high (from memory). Faces that are narrower by themselves run shorter.
fn narrowed(words: &str, size: f64) -> Result<f64, Error> {
    let letters = words.chars().count().max(1) as f64;
    let factor = text_width(words, size)? / (letters * size);
    Ok((factor.min(1.0) * 100.0).floor() / 100.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::Group;
    use crate::geom::Point2;

    #[test]
    fn layers_units_and_closing_are_read_back() {
        let drawing = Drawing {
            width: 100.0,
            height: 60.0,
            title: "board".into(),
            groups: vec![Group {
                id: "L001".into(),
                items: vec![
                    Item::path(
                        Pen::Cut,
                        vec![
                            Point2::new(10.0, 10.0),
                            Point2::new(30.0, 10.0),
                            Point2::new(20.0004, 30.0),
                        ],
                        true,
                    ),
                    Item::Circle {
                        pen: Pen::CutInside,
                        centre: Point2::new(20.0, 15.0),
                        radius: 2.0,
                    },
                    Item::words(Point2::new(20.0, 20.0), 3.0, Anchor::Middle, "Żółć"),
                ],
                clip: None,
            }],
        };
        let text = write(&drawing).unwrap();
        assert_eq!(text, write(&drawing).unwrap());
        let file = File::load(&mut text.as_bytes()).unwrap();
        assert_eq!(file.header.default_drawing_units, Units::Millimeters);
        let entities: Vec<_> = file.entities().collect();
        assert_eq!(entities.len(), 3);
        assert_eq!(entities[0].common.layer, "CUT_INSIDE");
        assert_eq!(entities[1].common.layer, "CUT");
        assert_eq!(entities[2].common.layer, "MARK");
        match &entities[2].specific {
            EntityType::Text(words) => {
                // Four letters as wide as they are high would run over: they are drawn narrower.
                let room = text_width("Żółć", 3.0).unwrap();
                let long = 4.0 * words.text_height * words.relative_x_scale_factor;
                assert!(long <= room && long > 0.95 * room, "{long} {room}");
            }
            other => panic!("not words: {other:?}"),
        }
        match &entities[1].specific {
            EntityType::LwPolyline(line) => {
                assert!(line.is_closed());
                assert_eq!(line.vertices.len(), 3);
            }
            other => panic!("not a polyline: {other:?}"),
        }
    }
}
