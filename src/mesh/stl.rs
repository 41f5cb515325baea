//! The STL format (StereoLithography interface, 3D Systems 1988), the common tongue of programs that
//! show or make solids: binary written, binary and text read. It knows no unit; ours is the mm.

use super::Mesh;
use crate::error::Error;
use crate::geom::Point3;

/// Bytes before the first triangle of a binary file: a free text and the number of triangles.
const HEADER: usize = 80;
const COUNTED: usize = HEADER + 4;
/// Bytes of one triangle: its normal, three corners, two bytes that nobody uses.
const FACET: usize = 50;
/// The free text. It must not begin with `solid`, by which readers tell text files.
const TEXT: &[u8] = b"layfigure: closed solid, millimetres, y to the front, z up";

/// More triangles than this are refused when reading: a file of half a gigabyte, and beyond the finest
/// body scan (common practice, no source: a few million).
pub const MOST_TRIANGLES: usize = 10_000_000;

/// The solid as a binary STL file. The same solid gives the same bytes.
#[must_use]
pub fn binary(mesh: &Mesh) -> Vec<u8> {
    let mut out = Vec::with_capacity(COUNTED + mesh.triangles.len() * FACET);
    out.extend(TEXT);
    out.resize(HEADER, b' ');
    out.extend((mesh.triangles.len() as u32).to_le_bytes());
    for t in 0..mesh.triangles.len() {
        let normal = mesh
            .doubled_normal(t)
            .try_normalize(0.0)
            .unwrap_or_default();
        let corners = mesh.corners(t);
        let numbers = normal.iter().chain(corners.iter().flat_map(|c| c.iter()));
        let mut facet = [0; FACET];
        for (four, v) in facet.chunks_exact_mut(4).zip(numbers) {
            // Adding zero turns a negative zero into a plain one.
            four.copy_from_slice(&(*v as f32 + 0.0).to_le_bytes());
        }
        out.extend(facet);
    }
    out
}

/// Reads a binary or text STL file. Corners at the very same place become one; the stored normals
/// are ignored (the order of the corners tells). Whether the solid is closed is for the caller to
/// ask.
///
/// # Errors
/// [`Error::Format`] when the bytes are no STL file, a number is missing or not finite, or there are
/// more than [`MOST_TRIANGLES`] triangles.
pub fn read(bytes: &[u8]) -> Result<Mesh, Error> {
    let corners = match counted(bytes) {
        // Some programs write binary files whose free text begins with `solid`, so the length
        // decides first.
        Some(n) if COUNTED + n * FACET == bytes.len() => read_binary(bytes, n)?,
        _ if bytes.trim_ascii_start().starts_with(b"solid") => read_text(bytes)?,
        Some(n) if bytes.len() > HEADER => {
            return Err(wrong(format!(
                "its header promises {n} triangles, which takes {} bytes, but the file has {}: it is \
                 cut short, or not an STL file",
                COUNTED + n * FACET,
                bytes.len()
            )));
        }
        _ => return Err(wrong("it is neither binary nor text STL")),
    };
    if corners.is_empty() {
        return Err(wrong("it holds no triangles"));
    }
    let vertices = corners
        .iter()
        .map(|p| Point3::from(p.map(f64::from)))
        .collect();
    let triangles = (0..corners.len() as u32 / 3)
        .map(|t| [3 * t, 3 * t + 1, 3 * t + 2])
        .collect();
    let mesh = Mesh {
        vertices,
        triangles,
        ..Mesh::default()
    };
    Ok(mesh.welded())
}

fn wrong(what: impl AsRef<str>) -> Error {
    Error::Format(format!(
        "the solid cannot be read as STL: {}",
        what.as_ref()
    ))
}

/// Number of triangles that a binary header promises.
fn counted(bytes: &[u8]) -> Option<usize> {
    let four = bytes.get(HEADER..COUNTED)?;
    Some(u32::from_le_bytes(four.try_into().ok()?) as usize)
}

fn too_many(n: usize) -> Error {
    wrong(format!(
        "{n} triangles are more than the {MOST_TRIANGLES} that are read; thin the mesh out"
    ))
}

fn read_binary(bytes: &[u8], n: usize) -> Result<Vec<[f32; 3]>, Error> {
    if n > MOST_TRIANGLES {
        return Err(too_many(n));
    }
    let mut corners = Vec::with_capacity(n * 3);
    for (i, facet) in bytes[COUNTED..].chunks_exact(FACET).enumerate() {
        for corner in facet[12..48].chunks_exact(12) {
            let mut p = [0.0; 3];
            for (value, four) in p.iter_mut().zip(corner.chunks_exact(4)) {
                *value = f32::from_le_bytes([four[0], four[1], four[2], four[3]]);
            }
            if p.iter().any(|v| !v.is_finite()) {
                return Err(wrong(format!(
                    "triangle {} has a corner that is not a finite number",
                    i + 1
                )));
            }
            corners.push(p);
        }
    }
    Ok(corners)
}

fn read_text(bytes: &[u8]) -> Result<Vec<[f32; 3]>, Error> {
    let text = String::from_utf8_lossy(bytes);
    let mut corners: Vec<[f32; 3]> = Vec::new();
    let mut ended = false;
    for (i, line) in text.lines().enumerate() {
        let mut words = line.split_whitespace();
        match words.next() {
            Some("vertex") => {
                let mut p = [0.0; 3];
                for value in &mut p {
                    *value = words
                        .next()
                        .and_then(|w| w.parse::<f32>().ok())
                        .filter(|v| v.is_finite())
                        .ok_or_else(|| {
                            wrong(format!("line {}: `vertex` needs three numbers", i + 1))
                        })?;
                }
                corners.push(p);
                if corners.len() > MOST_TRIANGLES * 3 {
                    return Err(too_many(corners.len() / 3));
                }
            }
            Some("endloop") if !corners.len().is_multiple_of(3) => {
                return Err(wrong(format!(
                    "line {}: a loop that does not have three corners",
                    i + 1
                )));
            }
            Some("endsolid") => ended = true,
            _ => {}
        }
    }
    if ended && corners.len().is_multiple_of(3) {
        Ok(corners)
    } else {
        Err(wrong(
            "the text stops before `endsolid`: the file is cut short",
        ))
    }
}
