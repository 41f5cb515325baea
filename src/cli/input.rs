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

/// The text at `path`; `-` is standard input.
pub(crate) fn read(path: &Path) -> Result<Text, Error> {
    let (name, bytes) = if path == Path::new("-") {
        let name = "standard input".to_owned();
        let mut bytes = Vec::new();
        io::stdin()
            .lock()
            .read_to_end(&mut bytes)
            .map(|_| bytes)
            .map(|b| (name.clone(), b))
            .map_err(|source| Error::Io {
                path: name.into(),
                source,
            })?
    } else {
        let bytes = fs::read(path).map_err(|source| Error::Io {
            path: path.to_path_buf(),
            source,
        })?;
        (path.display().to_string(), bytes)
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
