//! Hidden places in which something is written before it is moved to where it is wanted: made, cleared
//! up, and those of killed runs cleared away.

use std::ffi::{OsStr, OsString};
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use super::list::{LIST, List};
use super::rescue;

/// Between the name of what is written and the number of the run that writes it.
const PART: &str = ".part-";
/// Most bytes of a name that are taken over: file systems stop at 255 a name.
const LONGEST_NAME: usize = 180;
/// How often a place is looked for before giving up.
const TRIES: usize = 20;

/// How hidden places of runs that write `name` begin.
pub(super) fn stem(name: &OsStr) -> String {
    let name = name.to_string_lossy();
    let end = (0..=name.len().min(LONGEST_NAME))
        .rev()
        .find(|i| name.is_char_boundary(*i))
        .unwrap_or(0);
    // `form` is hidden as `.form`; what stands inside a folder has no name of its own.
    let dot = if name.is_empty() { "" } else { "." };
    format!("{dot}{}{PART}", &name[..end])
}

/// Names for a run to try.
fn numbered(stem: &str) -> impl Iterator<Item = OsString> {
    let id = std::process::id();
    (0..TRIES).map(move |i| match i {
        0 => format!("{stem}{id}").into(),
        i => format!("{stem}{id}{i:02}").into(),
    })
}

/// A hidden folder, which goes when this goes.
pub(super) struct Folder {
    pub(super) path: PathBuf,
    /// Held as long as it is written, so that nobody takes it for left behind.
    locks: Vec<fs::File>,
    kept: bool,
}

impl Folder {
    /// A new one in `parent`, open to nobody to whom `like` is not.
    pub(super) fn new(
        parent: &Path,
        stem: &str,
        like: Option<&fs::Permissions>,
    ) -> io::Result<Self> {
        for name in numbered(stem) {
            let path = parent.join(name);
            match fs::create_dir(&path) {
                Ok(()) => {}
                Err(e) if e.kind() == io::ErrorKind::AlreadyExists => continue,
                Err(e) => return Err(e),
            }
            let mut made = Self {
                path,
                locks: Vec::new(),
                kept: false,
            };
            if let Some(like) = like {
                fs::set_permissions(&made.path, like.clone())?;
            }
            match made.lock(LIST) {
                Ok(()) => {}
                // Another run took it for left behind before it was locked.
                Err(e) if e.kind() == io::ErrorKind::NotFound => continue,
                Err(e) => return Err(e),
            }
            if made.path.join(LIST).exists() {
                return Ok(made);
            }
        }
        Err(io::ErrorKind::AlreadyExists.into())
    }

    /// Makes a file in it and holds its lock.
    fn lock(&mut self, name: &str) -> io::Result<()> {
        let file = fs::File::create(self.path.join(name))?;
        // Where the file system knows no locks, nothing will be taken for left behind either.
        let _ = file.lock();
        self.locks.push(file);
        Ok(())
    }

    /// Writes the list, whole: one that is there says that all its files are.
    pub(super) fn finish(&mut self, list: &List) -> io::Result<()> {
        const NEXT: &str = "files.next";
        self.lock(NEXT)?;
        if let Some(file) = self.locks.last_mut() {
            super::fill(file, list.text().as_bytes())?;
        }
        fs::rename(self.path.join(NEXT), self.path.join(LIST))
    }

    /// It has been moved to where it is wanted, or somebody else will clear it away.
    pub(super) fn keep(mut self) {
        self.kept = true;
    }

    /// Windows moves no folder in which a file is open.
    pub(super) fn let_go_to_move(&mut self) {
        if cfg!(windows) {
            self.locks.clear();
        }
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        self.locks.clear();
        if !self.kept {
            // Only what this run has made.
            let _ = fs::remove_dir_all(&self.path);
        }
    }
}

/// A hidden file, which goes when this goes.
pub(super) struct File {
    pub(super) path: PathBuf,
    pub(super) file: fs::File,
    kept: bool,
}

impl File {
    /// A new one in `parent`.
    pub(super) fn new(parent: &Path, stem: &str) -> io::Result<Self> {
        for name in numbered(stem) {
            let path = parent.join(name);
            match fs::File::create_new(&path) {
                Ok(file) => {
                    let _ = file.lock();
                    return Ok(Self {
                        path,
                        file,
                        kept: false,
                    });
                }
                Err(e) if e.kind() == io::ErrorKind::AlreadyExists => {}
                Err(e) => return Err(e),
            }
        }
        Err(io::ErrorKind::AlreadyExists.into())
    }

    /// It has been moved to where it is wanted.
    pub(super) fn keep(mut self) {
        self.kept = true;
    }
}

impl Drop for File {
    fn drop(&mut self) {
        if !self.kept {
            let _ = fs::remove_file(&self.path);
        }
    }
}

/// Removes what killed runs left in `parent` under hidden names that begin with `stem`, unless a run
/// still holds its lock. Files of somebody's own that went along with a folder when it was taken out of
/// `home` go back there first. What cannot be removed does no harm.
pub(super) fn clear(parent: &Path, stem: &str, home: Option<&Path>) {
    let Ok(entries) = fs::read_dir(parent) else {
        return;
    };
    for entry in entries.flatten() {
        let path = entry.path();
        let Ok(kind) = entry.file_type() else {
            continue;
        };
        if !is_hidden(&entry.file_name(), stem) {
            continue;
        }
        let free = |at: &Path| match fs::OpenOptions::new().write(true).open(at) {
            Ok(file) => file.try_lock().is_ok(),
            // Killed before its list was begun, or while it was cleared away.
            Err(e) => e.kind() == io::ErrorKind::NotFound,
        };
        if kind.is_dir() && free(&path.join(LIST)) {
            let known = List::read(&path).ok().flatten();
            let safe = match (known, home) {
                (Some(list), Some(home)) => rescue(&path, home, &list).is_ok(),
                // Without a list nothing but its own was in it yet.
                _ => true,
            };
            if safe {
                let _ = fs::remove_dir_all(&path);
            }
        } else if kind.is_file() && free(&path) {
            let _ = fs::remove_file(&path);
        }
    }
}

/// Whether a run that writes what `stem` is of would call a hidden place so.
pub(super) fn is_hidden(name: &OsStr, stem: &str) -> bool {
    let name = name.to_string_lossy();
    let number = name.strip_prefix(stem);
    number.is_some_and(|n| !n.is_empty() && n.bytes().all(|b| b.is_ascii_digit()))
}
