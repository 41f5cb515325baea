//! The OBJ format (Advanced Visualizer, Wavefront Technologies, about 1990), which many programs
//! that scan or model bodies write: read only, and only its corners and faces.

use super::Mesh;
use super::stl::MOST_TRIANGLES;
use crate::error::Error;
use crate::geom::Point3;

/// Reads the faces of a text OBJ file; faces of more than three corners are fanned into triangles
/// about their first corner. Everything that is not shape (colours, textures, groups) is passed over.
/// Corners at the very same place become one. Whether the solid is closed is for the caller to ask.
///
/// # Errors
/// [`Error::Format`] when a corner or face cannot be understood, a face names a corner that is not
/// there, or there are more than [`MOST_TRIANGLES`] triangles.
pub fn read(text: &str) -> Result<Mesh, Error> {
    let mut mesh = Mesh::default();
    for (i, line) in text.lines().enumerate() {
        let wrong = |what: &str| {
            Error::Format(format!(
                "the solid cannot be read as OBJ: line {}: {what}",
                i + 1
            ))
        };
        let mut words = line.split_whitespace();
        match words.next() {
            Some("v") => {
                let mut p = [0.0; 3];
                for value in &mut p {
                    *value = words
                        .next()
                        .and_then(|w| w.parse::<f64>().ok())
                        .filter(|v| v.is_finite())
                        .ok_or_else(|| wrong("`v` needs three numbers"))?;
                }
                mesh.vertices.push(Point3::from(p));
                if mesh.vertices.len() > MOST_TRIANGLES * 3 {
                    return Err(wrong("more corners than are read; thin the mesh out"));
                }
            }
            Some("f") => {
                let corners = words
                    .map(|w| corner(w, mesh.vertices.len()))
                    .collect::<Option<Vec<u32>>>()
                    .filter(|c| c.len() > 2)
                    .ok_or_else(|| wrong("`f` needs three or more corners that stand above it"))?;
                for pair in corners[1..].windows(2) {
                    mesh.triangles.push([corners[0], pair[0], pair[1]]);
                }
                if mesh.triangles.len() > MOST_TRIANGLES {
                    return Err(wrong(&format!(
                        "more than the {MOST_TRIANGLES} triangles that are read; thin the mesh out"
                    )));
                }
            }
            _ => {}
        }
    }
    if mesh.triangles.is_empty() {
        return Err(Error::Format(
            "the solid cannot be read as OBJ: it holds no faces".into(),
        ));
    }
    Ok(mesh.welded())
}

/// `7`, `7/1`, `7//3` or `7/1/3`; counted from 1, or backwards from the last one when negative.
fn corner(word: &str, known: usize) -> Option<u32> {
    let number: i64 = word.split('/').next()?.parse().ok()?;
    let index = if number < 0 {
        number.checked_add(known as i64)?
    } else {
        number - 1
    };
    u32::try_from(index).ok().filter(|i| (*i as usize) < known)
}
