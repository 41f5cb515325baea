//! The STL format (StereoLithography interface, 3D Systems 1988), the common tongue of programs that
//! show or make solids: binary written, binary and text read. It knows no unit; ours is the mm.

use std::io;
use std::io::{BufRead, Cursor, Read, Seek, SeekFrom};

use super::Mesh;
use super::facts::{MeshFact, SolidFormat};
use super::lines::{Lines, three, words};
use super::weld::{Corners, push, room};
use crate::error::Error;

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

/// Reads a binary or text STL file; as [`read_from`].
///
/// # Errors
/// As [`read_from`].
pub fn read(bytes: &[u8]) -> Result<Mesh, Error> {
    read_from(Cursor::new(bytes))
}

/// Reads a binary or text STL file from its beginning, without holding the file in memory. Corners at
/// the very same place become one; the stored normals are ignored (the order of the corners tells).
/// Whether the solid is closed is for the caller to ask.
///
/// # Errors
/// [`Error::Format`] when this is no STL file, a number is missing or not finite, there are more than
/// [`MOST_TRIANGLES`] triangles, or there is no memory for them.
pub fn read_from(mut file: impl BufRead + Seek) -> Result<Mesh, Error> {
    let length = file.seek(SeekFrom::End(0)).map_err(unread)?;
    file.rewind().map_err(unread)?;
    let mut header = [0; COUNTED];
    let promised = if length < COUNTED as u64 {
        None
    } else {
        file.read_exact(&mut header).map_err(unread)?;
        let [.., a, b, c, d] = header;
        Some(u32::from_le_bytes([a, b, c, d]) as usize)
    };
    let bytes = |n: usize| (COUNTED + n * FACET) as u64;
    let mesh = match promised {
        // Some programs write binary files whose free text begins with `solid`, so the length
        // decides first.
        Some(n) if bytes(n) == length => read_binary(file, n)?,
        _ if begins_as_text(&mut file)? => read_text(file)?,
        Some(n) => {
            return Err(Error::format(MeshFact::CutShort {
                triangles: n,
                needed: bytes(n) as usize,
                length: length as usize,
            }));
        }
        None => return Err(Error::format(MeshFact::NoStl)),
    };
    mesh.ok_or_else(|| Error::format(MeshFact::NoTriangles))
}

fn unread(e: io::Error) -> Error {
    Error::format(MeshFact::Unreadable {
        kind: SolidFormat::Stl,
        said: e.to_string(),
    })
}

/// Whether the first word begins with `solid`; the file then stands at its beginning again.
fn begins_as_text(file: &mut (impl BufRead + Seek)) -> Result<bool, Error> {
    const WORD: &[u8] = b"solid";
    file.rewind().map_err(unread)?;
    let mut begins = Vec::new();
    for byte in file.by_ref().bytes() {
        let byte = byte.map_err(unread)?;
        if begins.is_empty() && byte.is_ascii_whitespace() {
            continue;
        }
        begins.push(byte);
        if !WORD.starts_with(&begins) || begins.len() == WORD.len() {
            break;
        }
    }
    file.rewind().map_err(unread)?;
    Ok(begins == WORD)
}

fn too_many(n: usize) -> Error {
    Error::format(MeshFact::TooManyTriangles {
        triangles: n,
        most: MOST_TRIANGLES,
    })
}

/// The triangles after the header; nothing if there are none.
fn read_binary(mut file: impl Read, n: usize) -> Result<Option<Mesh>, Error> {
    if n > MOST_TRIANGLES {
        return Err(too_many(n));
    }
    let mut corners = Corners::default();
    let mut triangles = room(n)?;
    let mut facet = [0; FACET];
    for i in 0..n {
        file.read_exact(&mut facet).map_err(unread)?;
        let mut triangle = [0; 3];
        for (number, corner) in triangle.iter_mut().zip(facet[12..48].chunks_exact(12)) {
            let mut p = [0.0; 3];
            for (value, four) in p.iter_mut().zip(corner.chunks_exact(4)) {
                *value = f32::from_le_bytes([four[0], four[1], four[2], four[3]]);
            }
            if p.iter().any(|v| !v.is_finite()) {
                return Err(Error::format(MeshFact::NotFinite { triangle: i + 1 }));
            }
            *number = corners.number(p.map(f64::from).into())?;
        }
        triangles.push(triangle);
    }
    (n > 0).then(|| corners.joined(triangles)).transpose()
}

fn read_text(file: impl BufRead) -> Result<Option<Mesh>, Error> {
    let mut corners = Corners::default();
    let mut triangles = Vec::new();
    // Corners of the triangle that is being read.
    let mut triangle = [0; 3];
    let mut have = 0;
    let mut ended = false;
    let mut lines = Lines::new(file, SolidFormat::Stl);
    while let Some((number, line)) = lines.next()? {
        let mut words = words(line);
        match words.next() {
            Some(b"vertex") => {
                let Some(p) = three::<f32>(&mut words) else {
                    return Err(Error::format(MeshFact::NotThreeNumbers {
                        kind: SolidFormat::Stl,
                        line: number,
                    }));
                };
                if triangles.len() == MOST_TRIANGLES {
                    return Err(too_many(MOST_TRIANGLES + 1));
                }
                triangle[have] = corners.number(p.map(f64::from).into())?;
                have += 1;
                if have == 3 {
                    push(&mut triangles, triangle)?;
                    have = 0;
                }
            }
            Some(b"endloop") if have != 0 => {
                return Err(Error::format(MeshFact::NotThreeCorners { line: number }));
            }
            Some(b"endsolid") => ended = true,
            _ => {}
        }
    }
    if !ended || have != 0 {
        return Err(Error::format(MeshFact::NoEnd));
    }
    (!triangles.is_empty())
        .then(|| corners.joined(triangles))
        .transpose()
}
