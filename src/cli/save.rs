//! Keeping one file: whole or not at all.

use std::fs;
use std::io;
use std::io::Write;
use std::path::{Path, PathBuf};

use layfigure::Error;

fn trouble(path: &Path) -> impl FnOnce(io::Error) -> Error + '_ {
    move |source| Error::Io {
        path: path.to_path_buf(),
        source,
    }
}

/// Writes `bytes` to `path` in one step: whoever reads it, or pulls the plug, finds the old file or
/// the new one, never half of it. A link is followed; the file's permissions stay.
pub(crate) fn whole(path: &Path, bytes: &[u8]) -> Result<(), Error> {
    let known = fs::canonicalize(path);
    let target = known.unwrap_or_else(|_| path.to_path_buf());
    let (Some(folder), Some(name)) = (parent(&target), target.file_name()) else {
        return Err(Error::Request(format!(
            "`{}` is not the name of a file",
            path.display()
        )));
    };
    let mut beside = std::ffi::OsString::from(".");
    beside.push(name);
    beside.push(format!(".part-{}", std::process::id()));
    let beside = folder.join(beside);
    let written = (|| {
        let mut file = fs::File::create(&beside)?;
        if let Ok(old) = fs::metadata(&target) {
            file.set_permissions(old.permissions())?;
        }
        file.write_all(bytes)?;
        file.sync_all()?;
        fs::rename(&beside, &target)
    })();
    if written.is_err() {
        // Only what this call has just made.
        let _ = fs::remove_file(&beside);
    }
    written.map_err(trouble(path))
}

/// The same, but nothing that is already there is replaced.
pub(crate) fn fresh(path: &Path, bytes: &[u8]) -> Result<(), Error> {
    if fs::symlink_metadata(path).is_ok() {
        return Err(Error::Request(format!(
            "`{}` is there already: move it away, or give another name",
            path.display()
        )));
    }
    whole(path, bytes)
}

fn parent(path: &Path) -> Option<PathBuf> {
    let parent = path.parent()?;
    Some(if parent.as_os_str().is_empty() {
        PathBuf::from(".")
    } else {
        parent.to_path_buf()
    })
}
