//! Reading sheets, workshop files, size profiles and solids off the disk.

use layfigure::units::Unit;
use std::fs;
use std::io;
use std::io::{BufRead, BufReader, Cursor, Read, Seek};
use std::path::Path;

use layfigure::Error;
use layfigure::profile;
use layfigure::profile::Profile;
use layfigure::workshop;
use layfigure::workshop::Workshop;

use crate::facts::{FileFact, FileKind, OfFile, ProgramFact, as_typed};

/// A file's text and the name that messages give it.
pub(crate) struct TextFile {
    pub(crate) name: String,
    pub(crate) text: String,
}

/// No sheet or workshop file is longer than this (bytes); the rest is not even read. The library
/// refuses, with its own words, anything above a smaller size.
const LONGEST_TEXT: u64 = 4 << 20;
/// No solid that can be read is longer than this (bytes): as many triangles as are read, as text.
const LONGEST_SOLID: u64 = 4 << 30;

fn trouble(path: &Path) -> impl Fn(io::Error) -> Error + '_ {
    move |source| Error::Io {
        path: path.to_path_buf(),
        source,
    }
}

/// The bytes of a file; nothing beyond `longest`.
fn bytes(path: &Path, kind: FileKind, longest: u64) -> Result<Vec<u8>, Error> {
    let file = plain(path, kind)?;
    taken(file, path, longest)
}

/// Everything that `from` gives, unless that is more than `longest` or than the memory holds.
fn taken(from: impl Read, path: &Path, longest: u64) -> Result<Vec<u8>, Error> {
    let mut bytes = Vec::new();
    from.take(longest + 1)
        .read_to_end(&mut bytes)
        .map_err(trouble(path))?;
    if bytes.len() as u64 > longest {
        return Err(too_long(path, longest));
    }
    Ok(bytes)
}

/// Opens a plain file. A pipe is read where a shell hands it over open, as `<(...)` and `/dev/stdin`;
/// one with a name of its own may never be filled, and a device never end.
fn plain(path: &Path, kind: FileKind) -> Result<fs::File, Error> {
    let meta = fs::metadata(path).map_err(|e| missing(path, kind, e))?;
    let handed_over = kind != FileKind::Profile && is_handed_over(path);
    if meta.is_file() || handed_over && !meta.is_dir() && !is_endless(&meta) {
        return fs::File::open(path).map_err(|e| missing(path, kind, e));
    }
    let typed = as_typed(path);
    let fact = if meta.is_dir() && kind != FileKind::Profile {
        FileFact::IsFolder { path: typed }
    } else {
        FileFact::NotPlain {
            path: typed,
            kind,
            called: called(&meta),
        }
    };
    Err(OfFile::at(path, io::ErrorKind::InvalidInput, fact))
}

/// The error of a file that cannot be opened.
fn missing(path: &Path, kind: FileKind, e: io::Error) -> Error {
    if e.kind() != io::ErrorKind::NotFound {
        return trouble(path)(e);
    }
    let fact = FileFact::NoneOfKind {
        path: as_typed(path),
        kind,
    };
    OfFile::at(path, e.kind(), fact)
}

/// Whether this is what a shell opened for the program.
fn is_handed_over(path: &Path) -> bool {
    cfg!(unix)
        && (path.starts_with("/dev/fd")
            || path.starts_with("/proc/self/fd")
            || path == Path::new("/dev/stdin"))
}

#[cfg(unix)]
fn called(meta: &fs::Metadata) -> &'static str {
    use std::os::unix::fs::FileTypeExt;
    let kind = meta.file_type();
    if kind.is_dir() {
        "a folder"
    } else if kind.is_fifo() {
        "a named pipe"
    } else if kind.is_socket() {
        "a socket"
    } else {
        "a device"
    }
}

#[cfg(not(unix))]
fn called(meta: &fs::Metadata) -> &'static str {
    if meta.is_dir() {
        "a folder"
    } else {
        "a device"
    }
}

/// Whether this is a device that holds something, not a terminal or a pipe. What is handed over and
/// has no end stops at the longest that is read.
#[cfg(unix)]
fn is_endless(meta: &fs::Metadata) -> bool {
    use std::os::unix::fs::FileTypeExt;
    meta.file_type().is_block_device()
}

#[cfg(not(unix))]
fn is_endless(_: &fs::Metadata) -> bool {
    false
}

/// Bytes of a solid that are fetched off the disk at a time.
const FETCHED: usize = 1 << 18;

/// A file that can be read from its beginning as often as need be.
pub(crate) trait Again: BufRead + Seek {}
impl<T: BufRead + Seek> Again for T {}

/// The file of a solid: off the disk a piece at a time; what a shell hands over, all of it at once.
pub(crate) fn solid(path: &Path) -> Result<Box<dyn Again>, Error> {
    let file = plain(path, FileKind::Solid)?;
    let meta = file.metadata().map_err(trouble(path))?;
    if !meta.is_file() {
        return Ok(Box::new(Cursor::new(taken(file, path, LONGEST_SOLID)?)));
    }
    if meta.len() > LONGEST_SOLID {
        return Err(too_long(path, LONGEST_SOLID));
    }
    Ok(Box::new(BufReader::with_capacity(FETCHED, file)))
}

fn too_long(path: &Path, longest: u64) -> Error {
    let fact = FileFact::TooLong {
        path: as_typed(path),
        mebibytes: (longest >> 20) as usize,
    };
    OfFile::at(path, io::ErrorKind::Other, fact)
}

/// The text at `path`; `-` is standard input.
pub(crate) fn read(path: &Path, kind: FileKind) -> Result<TextFile, Error> {
    let (name, bytes) = if path == Path::new("-") {
        let name = "standard input".to_owned();
        let bytes = taken(io::stdin().lock(), Path::new(&name), LONGEST_TEXT)?;
        (name, bytes)
    } else {
        let bytes = bytes(path, kind, LONGEST_TEXT)?;
        (path.display().to_string(), bytes)
    };
    let text = String::from_utf8(bytes).map_err(|_| {
        let fact = FileFact::NotText {
            path: as_typed(path),
        };
        OfFile::at(path, io::ErrorKind::InvalidData, fact)
    })?;
    Ok(TextFile { name, text })
}

/// The workshop at `path`, or the usual one of somebody who measures in `unit`.
pub(crate) fn workshop(path: Option<&Path>, unit: Unit) -> Result<Workshop, Error> {
    match path {
        None => Ok(Workshop::usual(unit)),
        Some(path) => {
            let file = read(path, FileKind::Workshop)?;
            workshop::read(&file.text, &file.name)
        }
    }
}

/// The size profiles that come along, and those in the folder `dir`.
pub(crate) fn profiles(dir: Option<&Path>) -> Result<Vec<Profile>, Error> {
    let mut all = profile::built_in()?;
    let Some(dir) = dir else { return Ok(all) };
    let entries = fs::read_dir(dir).map_err(|e| {
        let path = as_typed(dir);
        let fact = match e.kind() {
            io::ErrorKind::NotFound => FileFact::NoFolderOfProfiles { path },
            io::ErrorKind::NotADirectory => FileFact::FileOfProfiles { path },
            _ => return trouble(dir)(e),
        };
        OfFile::at(dir, e.kind(), fact)
    })?;
    let mut paths = Vec::new();
    for entry in entries {
        let path = entry.map_err(trouble(dir))?.path();
        if path.extension().is_some_and(|e| e == "toml") {
            paths.push(path);
        }
    }
    if paths.is_empty() {
        return Err(Error::request(FileFact::NoProfiles {
            path: as_typed(dir),
        }));
    }
    // The order of a folder is that of its disk.
    paths.sort();
    let mut more: Vec<Profile> = Vec::new();
    for path in &paths {
        let file = read(path, FileKind::Profile)?;
        let one = profile::read(&file.text, &file.name)?;
        if profile::find(&more, &one.system).is_some() {
            return Err(Error::request(FileFact::SameProfile {
                path: as_typed(dir),
                system: one.system,
            }));
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
pub(crate) fn sheet(path: &Path, profiles: &[Profile]) -> Result<TextFile, Error> {
    if !is_size(path) {
        return read(path, FileKind::Sheet);
    }
    let name = path.to_string_lossy();
    let size = profile::size(profiles, &name)?;
    let lacks = size.lacks();
    if !lacks.is_empty() {
        let name = name.into_owned();
        return Err(Error::request(ProgramFact::SizeMakesNoForm { name, lacks }));
    }
    Ok(TextFile {
        name: size.full_name(),
        text: size.sheet(size.unit),
    })
}
