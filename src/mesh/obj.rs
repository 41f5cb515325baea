//! The OBJ format (Advanced Visualizer, Wavefront Technologies, about 1990), which many programs
//! that scan or model bodies write: read only, and only its corners and faces.

use std::io::BufRead;

use super::Mesh;
use super::faces::Faces;
use super::facts::{MeshFact, SolidFormat};
use super::lines::{Lines, three, words};
use super::stl::MOST_TRIANGLES;
use super::weld::{Corners, push};
use crate::error::Error;

/// Reads the faces of a text OBJ file; as [`read_from`].
///
/// # Errors
/// As [`read_from`].
pub fn read(text: &str) -> Result<Mesh, Error> {
    read_from(text.as_bytes())
}

/// Reads the faces of a text OBJ file, without holding the file in memory. Faces of more than three
/// corners are fanned into triangles about their first corner, or, where the fan would fold over
/// itself in a dent, cut up ear by ear. Everything that is not shape (colours, textures, groups) is
/// passed over; a backslash at the end joins a line of a corner or a face with the next one. Corners
/// at the very same place become one. Whether the solid is closed is for the caller to ask.
///
/// # Errors
/// [`Error::Format`] when a corner or face cannot be understood, a face names a corner that is not
/// there, there are more than [`MOST_TRIANGLES`] triangles, or there is no memory for them.
pub fn read_from(file: impl BufRead) -> Result<Mesh, Error> {
    let mut corners = Corners::default();
    // What has become of the corners of the file.
    let mut joined: Vec<u32> = Vec::new();
    let mut triangles = Vec::new();
    let mut faces = Faces::default();
    let mut face: Vec<u32> = Vec::new();
    let mut lines = Lines::new(file, SolidFormat::Obj);
    while let Some((number, line)) = lines.next()? {
        // Names and remarks may end in a backslash and mean it.
        if !matches!(line.trim_ascii_start(), [b'v' | b'f', after, ..] if after.is_ascii_whitespace() || *after == b'\\')
        {
            continue;
        }
        let no_face = || Error::format(MeshFact::NoFace { line: number });
        let mut words = words(lines.continued()?);
        if words.next() == Some(b"v") {
            let Some(p) = three::<f64>(&mut words) else {
                return Err(Error::format(MeshFact::NotThreeNumbers {
                    kind: SolidFormat::Obj,
                    line: number,
                }));
            };
            if joined.len() == MOST_TRIANGLES * 3 {
                return Err(Error::format(MeshFact::TooManyCorners { line: number }));
            }
            push(&mut joined, corners.number(p.into())?)?;
            continue;
        }
        face.clear();
        for word in words.take_while(|w| !w.starts_with(b"#")) {
            let known = corner(word, joined.len()).ok_or_else(no_face)?;
            push(&mut face, joined[known])?;
        }
        if face.len() < 3 {
            return Err(no_face());
        }
        if triangles.len() + face.len() - 2 > MOST_TRIANGLES {
            return Err(Error::format(MeshFact::TooManyFaces {
                line: number,
                most: MOST_TRIANGLES,
            }));
        }
        faces.cut_up(&face, |v| corners.place(v), &mut triangles)?;
    }
    if triangles.is_empty() {
        return Err(Error::format(MeshFact::NoFaces));
    }
    corners.joined(triangles)
}

/// `7`, `7/1`, `7//3` or `7/1/3`; counted from 1, or backwards from the last one when negative.
fn corner(word: &[u8], known: usize) -> Option<usize> {
    let digits = word.split(|b| *b == b'/').next()?;
    let number: i64 = std::str::from_utf8(digits).ok()?.parse().ok()?;
    let index = if number < 0 {
        number.checked_add(known as i64)?
    } else {
        number - 1
    };
    usize::try_from(index).ok().filter(|i| *i < known)
}
