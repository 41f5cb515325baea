//! Reading sheets and workshop files off the disk.

use std::fs;
use std::io;
use std::io::Read;
use std::path::Path;

use layfigure::Error;
use layfigure::workshop;
use layfigure::workshop::Workshop;

/// A file's text and the name that messages give it.
pub(crate) struct Text {
    pub(crate) name: String,
    pub(crate) text: String,
}

/// No sheet or workshop file is longer than this (bytes); the rest is not even read. The library
/// refuses, with its own words, anything above a smaller size.
const LONGEST_TEXT: u64 = 4 << 20;
/// No solid that can be read is longer than this (bytes): as many triangles as are read, as text.
const LONGEST_SOLID: u64 = 4 << 30;

/// The bytes of a file; nothing beyond `longest`.
fn bytes(path: &Path, longest: u64) -> Result<Vec<u8>, Error> {
    let trouble = |source| Error::Io {
        path: path.to_path_buf(),
        source,
    };
    let mut bytes = Vec::new();
    let file = fs::File::open(path).map_err(trouble)?;
    file.take(longest + 1)
        .read_to_end(&mut bytes)
        .map_err(trouble)?;
    if bytes.len() as u64 > longest {
        return Err(trouble(io::Error::new(
            io::ErrorKind::FileTooLarge,
            format!("it is longer than the {} MiB that are read", longest >> 20),
        )));
    }
    Ok(bytes)
}

/// The bytes of a solid.
pub(crate) fn solid(path: &Path) -> Result<Vec<u8>, Error> {
    bytes(path, LONGEST_SOLID)
}

/// The text at `path`; `-` is standard input.
pub(crate) fn read(path: &Path) -> Result<Text, Error> {
    let (name, bytes) = if path == Path::new("-") {
        let name = "standard input".to_owned();
        let mut bytes = Vec::new();
        io::stdin()
            .lock()
            .take(LONGEST_TEXT)
            .read_to_end(&mut bytes)
            .map(|_| bytes)
            .map(|b| (name.clone(), b))
            .map_err(|source| Error::Io {
                path: name.into(),
                source,
            })?
    } else {
        (path.display().to_string(), bytes(path, LONGEST_TEXT)?)
    };
    let text = String::from_utf8(bytes).map_err(|_| Error::Io {
        path: path.to_path_buf(),
        source: io::Error::new(
            io::ErrorKind::InvalidData,
            "this is not text in UTF-8; save it again from a text editor",
        ),
    })?;
    Ok(Text { name, text })
}

/// The workshop at `path`, or the usual one.
pub(crate) fn workshop(path: Option<&Path>) -> Result<Workshop, Error> {
    match path {
        None => Ok(Workshop::default()),
        Some(path) => {
            let file = read(path)?;
            workshop::read(&file.text, &file.name)
        }
    }
}
