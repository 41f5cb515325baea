//! Reading sheets and workshop files off the disk.

use std::fs;
use std::io;
use std::io::{BufRead, BufReader, Cursor, Read, Seek};
use std::path::Path;

use layfigure::Error;
use layfigure::profile;
use layfigure::profile::Profile;
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
        return Err(trouble(too_long(longest)));
    }
    Ok(bytes)
}

/// Bytes of a solid that are fetched off the disk at a time.
const FETCHED: usize = 1 << 18;

/// A file that can be read from its beginning as often as need be.
pub(crate) trait Again: BufRead + Seek {}
impl<T: BufRead + Seek> Again for T {}

/// The file of a solid: off the disk a piece at a time; whatever else it is (a pipe), all of it at
/// once.
pub(crate) fn solid(path: &Path) -> Result<Box<dyn Again>, Error> {
    let trouble = |source| Error::Io {
        path: path.to_path_buf(),
        source,
    };
    let on_disk = fs::metadata(path).map_err(trouble)?;
    if !on_disk.is_file() {
        return Ok(Box::new(Cursor::new(bytes(path, LONGEST_SOLID)?)));
    }
    if on_disk.len() > LONGEST_SOLID {
        return Err(trouble(too_long(LONGEST_SOLID)));
    }
    let file = fs::File::open(path).map_err(trouble)?;
    Ok(Box::new(BufReader::with_capacity(FETCHED, file)))
}

fn too_long(longest: u64) -> io::Error {
    io::Error::new(
        io::ErrorKind::FileTooLarge,
        format!("it is longer than the {} MiB that are read", longest >> 20),
    )
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

/// The size profiles that come along, and those in the folder `dir`.
pub(crate) fn profiles(dir: Option<&Path>) -> Result<Vec<Profile>, Error> {
    let mut all = profile::built_in()?;
    let Some(dir) = dir else { return Ok(all) };
    let trouble = |source| Error::Io {
        path: dir.to_path_buf(),
        source,
    };
    let mut paths = Vec::new();
    for entry in fs::read_dir(dir).map_err(trouble)? {
        let path = entry.map_err(trouble)?.path();
        if path.extension().is_some_and(|e| e == "toml") {
            paths.push(path);
        }
    }
    if paths.is_empty() {
        return Err(Error::Request(format!(
            "the folder `{}` holds no size profile (no file that ends in `.toml`)",
            dir.display()
        )));
    }
    // The order of a folder is that of its disk.
    paths.sort();
    let mut more: Vec<Profile> = Vec::new();
    for path in &paths {
        let file = read(path)?;
        let one = profile::read(&file.text, &file.name)?;
        if profile::find(&more, &one.system).is_some() {
            return Err(Error::Request(format!(
                "two files of `{}` are called `{}`: give each size profile a name of its own",
                dir.display(),
                one.system
            )));
        }
        more.push(one);
    }
    profile::add(&mut all, more);
    Ok(all)
}

/// Whether this names a size or a system, and no file: `women:92-tall`.
pub(crate) fn is_size(path: &Path) -> bool {
    let Some(text) = path.to_str() else {
        return false;
    };
    // A drive of Windows has one letter.
    text.split_once(':').is_some_and(|(system, _)| {
        system.len() > 1
            && system
                .chars()
                .all(|c| c.is_ascii_alphanumeric() || c == '-' || c == '_')
    }) && !path.exists()
}

/// The sheet at `path`, or that of the size that it names.
pub(crate) fn sheet(path: &Path, profiles: &[Profile]) -> Result<Text, Error> {
    if !is_size(path) {
        return read(path);
    }
    let name = path.to_string_lossy();
    let size = profile::size(profiles, &name)?;
    let lacks = size.lacks();
    if !lacks.is_empty() {
        let lacks: Vec<&str> = lacks.iter().map(|m| m.title()).collect();
        return Err(Error::Request(format!(
            "no form can be made of `{name}`: the table has no {}; write it as a sheet with \
             `layfigure profiles {name} --export sheet.toml` and fill that in, or only compare with \
             it",
            lacks.join(" and no ")
        )));
    }
    Ok(Text {
        name: size.full_name(),
        text: size.sheet(size.unit),
    })
}
