//! Writing files: the only room of the program that does. Whatever is written is written in a hidden
//! place first and moved to where it is wanted in one step: whole or not at all.
//!
//! # Why is a list of files kept in the folder?
//! So that a second build may replace its own files and nothing else, without asking and without
//! risk.

mod folder;
mod hidden;
mod list;
mod swap;

use std::ffi::OsStr;
use std::fs;
use std::io;
use std::io::Write;
use std::path::{Path, PathBuf};

use layfigure::Error;

pub(crate) use folder::{half_replaced, mended, ready, sanitized, write};
use list::{LIST, List};

use crate::facts::{FileFact, OfFile, as_typed};
use crate::halt;

fn trouble(path: &Path) -> impl FnOnce(io::Error) -> Error + '_ {
    move |source| Error::Io {
        path: path.to_path_buf(),
        source,
    }
}

/// Writes `bytes` to `path` in one step: anyone who reads it, or pulls the plug, finds the old file or
/// the new one, never half of it. A link is followed; the file's permissions stay. A device or a pipe
/// takes the bytes as they come: nothing can stand in its place.
pub(crate) fn whole(path: &Path, bytes: &[u8]) -> Result<(), Error> {
    halt::held(|| one(path, bytes, None))
}

/// The same, but nothing that is already there is replaced.
pub(crate) fn fresh(path: &Path, bytes: &[u8]) -> Result<(), Error> {
    made(path, bytes, false)
}

/// Makes a file where none is; `forceable` says whether `--force` would replace one.
fn made(path: &Path, bytes: &[u8], forceable: bool) -> Result<(), Error> {
    if fs::symlink_metadata(path).is_ok() {
        return Err(there_already(path, forceable));
    }
    halt::held(|| one(path, bytes, Some(forceable)))
}

/// The same, unless the person who asks is content to have it replaced.
pub(crate) fn fresh_unless(force: bool, path: &Path, bytes: &[u8]) -> Result<(), Error> {
    if force {
        return whole(path, bytes);
    }
    made(path, bytes, true)
}

fn there_already(path: &Path, forceable: bool) -> Error {
    let path = as_typed(path);
    Error::request(FileFact::ThereAlready { path, forceable })
}

/// Writes one file; `anew` is nothing where it may replace another, and else whether `--force` would.
fn one(path: &Path, bytes: &[u8], anew: Option<bool>) -> Result<(), Error> {
    let target = at_the_end(path)?;
    let old = fs::metadata(&target).ok();
    if old.as_ref().is_some_and(fs::Metadata::is_dir) {
        return Err(trouble(path)(io::ErrorKind::IsADirectory.into()));
    }
    if old.as_ref().is_some_and(|m| !m.is_file()) {
        let device = fs::OpenOptions::new().write(true).open(&target);
        return device
            .and_then(|mut device| device.write_all(bytes))
            .map_err(trouble(path));
    }
    let (Some(folder), Some(name)) = (parent(&target), target.file_name()) else {
        return Err(Error::request(FileFact::NoName {
            path: as_typed(path),
        }));
    };
    let stem = hidden::stem(name);
    hidden::clear(&folder, &stem, None);
    let written = (|| {
        let mut beside = hidden::File::new(&folder, &stem)?;
        if let Some(old) = old {
            beside.file.set_permissions(old.permissions())?;
        }
        fill(&mut beside.file, bytes)?;
        if anew.is_none() {
            fs::rename(&beside.path, &target)?;
        } else {
            // A link takes no name that somebody has taken meanwhile.
            match fs::hard_link(&beside.path, &target) {
                Ok(()) => return Ok(()),
                Err(e) if e.kind() == io::ErrorKind::AlreadyExists => return Err(e),
                Err(_) => fs::rename(&beside.path, &target)?,
            }
        }
        beside.keep();
        Ok(())
    })();
    written.map_err(|e: io::Error| match e.kind() {
        io::ErrorKind::AlreadyExists => there_already(path, anew.unwrap_or(true)),
        io::ErrorKind::NotFound => {
            let fact = FileFact::NoFolderFor {
                path: as_typed(path),
                folder: as_typed(&folder),
            };
            OfFile::at(path, e.kind(), fact)
        }
        _ => trouble(path)(e),
    })
}

/// Fills a file and waits until the disk has it: what is moved to its name afterwards is whole even
/// when the plug is pulled.
fn fill(file: &mut fs::File, bytes: &[u8]) -> io::Result<()> {
    file.write_all(bytes)?;
    file.sync_all()
}

/// Makes the file `path`, and the folders it is in.
fn put(path: &Path, bytes: &[u8]) -> io::Result<()> {
    if let Some(parent) = path.parent() {
        fs::create_dir_all(parent)?;
    }
    fill(&mut fs::File::create(path)?, bytes)
}

/// Where a link leads; what is not a link, or not there yet, is itself.
fn at_the_end(path: &Path) -> Result<PathBuf, Error> {
    match fs::canonicalize(path) {
        Ok(end) => Ok(end),
        Err(_) if fs::symlink_metadata(path).is_ok_and(|m| m.is_symlink()) => {
            let to = fs::read_link(path).unwrap_or_default();
            Err(Error::request(FileFact::LinkToNothing {
                path: as_typed(path),
                to: as_typed(&to),
            }))
        }
        Err(_) => Ok(path.to_path_buf()),
    }
}

fn parent(path: &Path) -> Option<PathBuf> {
    let parent = path.parent()?;
    Some(if parent.as_os_str().is_empty() {
        PathBuf::from(".")
    } else {
        parent.to_path_buf()
    })
}

/// Every entry below `folder` that is not a folder: its name from there, with `/`, and its path. Names
/// that are not text are no file of ours, and come as nothing.
fn below(folder: &Path) -> io::Result<Vec<(Option<String>, PathBuf)>> {
    fn walk(
        folder: &Path,
        before: Option<&str>,
        into: &mut Vec<(Option<String>, PathBuf)>,
    ) -> io::Result<()> {
        for entry in fs::read_dir(folder)? {
            let entry = entry?;
            let name = entry.file_name();
            let name = before.zip(name.to_str()).map(|(b, n)| format!("{b}{n}"));
            if entry.file_type()?.is_dir() {
                let inside = name.map(|n| format!("{n}/"));
                walk(&entry.path(), inside.as_deref(), into)?;
            } else {
                into.push((name, entry.path()));
            }
        }
        Ok(())
    }
    let mut all = Vec::new();
    walk(folder, Some(""), &mut all)?;
    Ok(all)
}

/// Brings what `list` did not write, and stands in the folder `away` alone, back to `home`.
fn rescue(away: &Path, home: &Path, list: &List) -> io::Result<()> {
    for (name, path) in below(away)? {
        let ours = name
            .as_deref()
            .is_some_and(|n| n == LIST || list.holds(n, &path));
        let to = home.join(path.strip_prefix(away).unwrap_or(OsStr::new("").as_ref()));
        if ours || fs::symlink_metadata(&to).is_ok() {
            continue;
        }
        if let Some(parent) = to.parent() {
            fs::create_dir_all(parent)?;
        }
        fs::rename(&path, &to)?;
    }
    Ok(())
}
