//! A reader of DXF that shares nothing with the writer: group codes and values on lines of their own
//! (AutoCAD's published DXF reference, from memory). The outside checks ask the same with ezdxf.

/// A line of arcs: layer, and corners with the bulge of what follows each.
pub(crate) struct Polyline {
    pub(crate) layer: String,
    /// Whether the last corner leads back to the first.
    pub(crate) closed: bool,
    /// x, y, bulge: the tangent of a quarter of the angle of the arc to the next corner.
    pub(crate) corners: Vec<[f64; 3]>,
}

/// The polylines of a file.
pub(crate) fn polylines(text: &str) -> Vec<Polyline> {
    let lines: Vec<&str> = text.lines().map(str::trim).collect();
    assert_eq!(lines.len() % 2, 0, "codes and values come in pairs");
    let mut found: Vec<Polyline> = Vec::new();
    let mut inside = false;
    for pair in lines.chunks(2) {
        let code: i32 = pair[0].parse().unwrap();
        let value = pair[1];
        if code == 0 {
            inside = value == "LWPOLYLINE";
            if inside {
                found.push(Polyline {
                    layer: String::new(),
                    closed: false,
                    corners: Vec::new(),
                });
            }
        } else if inside {
            let line = found.last_mut().unwrap();
            let number = || value.parse::<f64>().unwrap();
            match code {
                8 => value.clone_into(&mut line.layer),
                10 => line.corners.push([number(), 0.0, 0.0]),
                20 => line.corners.last_mut().unwrap()[1] = number(),
                42 => line.corners.last_mut().unwrap()[2] = number(),
                70 => line.closed = value == "1",
                _ => {}
            }
        }
    }
    assert_eq!(lines.last(), Some(&"EOF"));
    found
}
