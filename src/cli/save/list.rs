//! The list in a folder on a disk: what a build wrote there.

use std::fs;
use std::io;
use std::path::Path;

use layfigure::Error;
use layfigure::say::list::{LIST, List};

use super::trouble;

/// The list in `dir`, if one of ours is there.
pub(super) fn read(dir: &Path) -> Result<Option<List>, Error> {
    let path = dir.join(LIST);
    match fs::read(&path) {
        Ok(bytes) => Ok(List::read(&String::from_utf8_lossy(&bytes))),
        Err(e) if e.kind() == io::ErrorKind::NotFound => Ok(None),
        Err(e) => Err(trouble(&path)(e)),
    }
}

/// Whether the file at `path` is the one that the list knows as `name`.
pub(super) fn holds(list: &List, name: &str, path: &Path) -> bool {
    list.known.contains_key(name)
        && fs::symlink_metadata(path).is_ok_and(|m| m.is_file())
        && fs::read(path).is_ok_and(|bytes| list.wrote(name, &bytes))
}
