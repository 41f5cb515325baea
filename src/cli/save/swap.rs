//! Moving a finished hidden folder to where it is wanted.
//!
//! Where nothing is there yet, it is renamed. Where a folder is, the two change places in one step, so
//! that a run that is killed leaves the one form or the other: files of somebody's own are linked into
//! the new folder before that, and whatever else turns up in the old one afterwards is brought over. A
//! folder that cannot change places (a mount point, the one a terminal stands in, one on a system that
//! cannot do it) is filled file by file: the list says so meanwhile, and what goes wrong is taken back.

use std::ffi::OsStr;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use layfigure::Error;

use super::hidden;
use super::list::{LIST, List};
use super::{put, rescue, trouble};
use crate::facts::{FileFact, FolderFact, OfFile, as_typed};
use crate::halt;

/// Where, in a hidden folder, the old files wait while new ones take their places.
const OLD: &str = "old";

/// A folder to write.
pub(super) struct Work<'a> {
    /// As somebody named it.
    pub(super) shown: &'a Path,
    /// Where it is.
    pub(super) target: &'a Path,
    pub(super) files: &'a [(String, Vec<u8>)],
    pub(super) fresh: List,
    pub(super) old: List,
}

/// Whether something was done; if not, nothing has changed.
pub(super) enum Tried {
    Done,
    Not,
}

/// Whether this is a hidden folder inside a folder that is filled file by file.
pub(super) fn is_inside(name: &OsStr) -> bool {
    hidden::is_hidden(name, &hidden::stem(OsStr::new("")))
}

impl Work<'_> {
    /// The place of a file as it is named in messages: where it is wanted, not where it waits.
    fn at(&self, name: &str) -> PathBuf {
        self.shown.join(name)
    }

    fn beside(&self) -> Result<(PathBuf, String), Error> {
        let full = std::path::absolute(self.target).map_err(trouble(self.shown))?;
        match (full.parent(), full.file_name()) {
            (Some(parent), Some(name)) => Ok((parent.to_path_buf(), hidden::stem(name))),
            _ => Err(Error::request(FolderFact::NoName {
                path: as_typed(self.shown),
            })),
        }
    }

    /// Writes every file, and then the list, into a hidden folder.
    fn fill(&self, into: &mut hidden::Folder) -> Result<(), Error> {
        let wrote =
            |name: &str, done: io::Result<()>| done.map_err(|e| taken_away(&self.at(name), e));
        for (name, bytes) in self.files {
            if halt::asked() {
                return Err(trouble(&self.at(name))(io::ErrorKind::Interrupted.into()));
            }
            wrote(name, put(&into.path.join(name), bytes))?;
        }
        wrote(LIST, into.finish(&self.fresh))
    }

    /// Writes the folder where there is none.
    pub(super) fn anew(&self) -> Result<(), Error> {
        let (parent, stem) = self.beside()?;
        let made = made_folders(&parent);
        let written = (|| {
            fs::create_dir_all(&parent).map_err(trouble(&parent))?;
            hidden::clear(&parent, &stem, Some(self.target));
            let mut new =
                hidden::Folder::new(&parent, &stem, None).map_err(|e| taken_away(self.shown, e))?;
            self.fill(&mut new)?;
            new.let_go_to_move();
            match fs::rename(&new.path, self.target) {
                Ok(()) => {
                    new.keep();
                    Ok(())
                }
                Err(_) if self.target.exists() => Err(Error::request(FolderFact::MadeMeanwhile {
                    path: as_typed(self.shown),
                })),
                Err(e) => Err(taken_away(self.shown, e)),
            }
        })();
        if written.is_err() {
            // Only what is empty goes.
            for folder in made {
                let _ = fs::remove_dir(folder);
            }
        }
        written
    }

    /// Lets the new folder and the one that is there change places; `again` looks once more whether
    /// it may.
    pub(super) fn at_once(&self, again: &dyn Fn() -> Result<(), Error>) -> Result<Tried, Error> {
        let (parent, stem) = self.beside()?;
        hidden::clear(&parent, &stem, Some(self.target));
        hidden::clear(self.target, &hidden::stem(OsStr::new("")), None);
        let Some(like) = changes_places(self.target, &parent) else {
            return Ok(Tried::Not);
        };
        let mut new = match hidden::Folder::new(&parent, &stem, Some(&like)) {
            Ok(new) => new,
            Err(e) if is_shut(&e) => return Ok(Tried::Not),
            Err(e) => return Err(trouble(self.shown)(e)),
        };
        self.fill(&mut new)?;
        let ready = carry_over(self.target, &new.path, "", &|name, path| {
            name == LIST || self.fresh.known.contains_key(name) || self.old.holds(name, path)
        })
        .and_then(|_| belongs_to_the_same(&new.path, self.target))
        .and_then(|()| fs::set_permissions(&new.path, like));
        if ready.is_err() {
            return Ok(Tried::Not);
        }
        again()?;
        new.let_go_to_move();
        if exchange(&new.path, self.target).is_err() {
            // Somebody may have removed it meanwhile.
            let free = !self.target.exists() && fs::rename(&new.path, self.target).is_ok();
            if free {
                new.keep();
                return Ok(Tried::Done);
            }
            return Ok(Tried::Not);
        }
        // Now it is the old one that is hidden. What cannot be brought over stays there.
        match rescue(&new.path, self.target, &self.old) {
            Ok(()) => drop(new),
            Err(_) => new.keep(),
        }
        Ok(Tried::Done)
    }

    /// Puts every file in the place of the old one; the list says so until the last is there. What goes
    /// wrong comes with whether all could be taken back.
    pub(super) fn one_by_one(&self) -> Result<(), (Error, bool)> {
        let whole = |e| (e, true);
        let stem = hidden::stem(OsStr::new(""));
        hidden::clear(self.target, &stem, None);
        let mut new = hidden::Folder::new(self.target, &stem, None)
            .map_err(trouble(self.shown))
            .map_err(whole)?;
        self.fill(&mut new).map_err(whole)?;
        let old = new.path.join(OLD);
        let mut moves = Moves {
            target: self.target,
            old: &old,
            done: Vec::new(),
            made: Vec::new(),
        };
        let moved = self.replace(&new, &mut moves);
        moved.map_err(|e| (e, moves.take_back()))
    }

    fn replace(&self, new: &hidden::Folder, moves: &mut Moves<'_>) -> Result<(), Error> {
        let step = |name: &str, done: io::Result<()>| done.map_err(trouble(&self.at(name)));
        let both = new.path.join("both.txt");
        let text = self.old.replaced_by(&self.fresh).text();
        step(LIST, put(&both, text.as_bytes()))?;
        step(LIST, moves.put(&both, LIST))?;
        for (name, _) in self.files {
            step(name, moves.put(&new.path.join(name), name))?;
        }
        // What the older build wrote and this one does not; what somebody changed stays.
        for name in self.old.known.keys() {
            let path = self.target.join(name);
            if !self.fresh.known.contains_key(name) && self.old.holds(name, &path) {
                step(name, moves.remove(name))?;
                if let Some(parent) = path.parent().filter(|p| *p != self.target) {
                    // Succeeds only when nothing is left in it.
                    let _ = fs::remove_dir(parent);
                }
            }
        }
        step(
            LIST,
            fs::rename(new.path.join(LIST), self.target.join(LIST)),
        )
    }
}

/// Files that were put in the places of others, so that it can be taken back.
struct Moves<'a> {
    target: &'a Path,
    old: &'a Path,
    /// Names, and whether an old file of that name waits.
    done: Vec<(String, bool)>,
    /// Folders made on the way.
    made: Vec<PathBuf>,
}

impl Moves<'_> {
    /// Keeps the old file until all is done; it stays in its place too.
    /// Whether there is one.
    fn set_aside(&self, name: &str) -> io::Result<bool> {
        let (from, to) = (self.target.join(name), self.old.join(name));
        let there = fs::symlink_metadata(&from).is_ok();
        if there {
            if let Some(parent) = to.parent() {
                fs::create_dir_all(parent)?;
            }
            if fs::hard_link(&from, &to).is_err() {
                // Some disks know no links.
                fs::copy(&from, &to)?;
            }
        }
        Ok(there)
    }

    fn put(&mut self, from: &Path, name: &str) -> io::Result<()> {
        let to = self.target.join(name);
        if let Some(parent) = to.parent() {
            self.made.extend(made_folders(parent));
            fs::create_dir_all(parent)?;
        }
        let there = self.set_aside(name)?;
        fs::rename(from, &to)?;
        // What was not done need not be taken back.
        self.done.push((name.to_owned(), there));
        Ok(())
    }

    fn remove(&mut self, name: &str) -> io::Result<()> {
        let there = self.set_aside(name)?;
        fs::remove_file(self.target.join(name))?;
        self.done.push((name.to_owned(), there));
        Ok(())
    }

    /// Puts everything back, the list last; whether that could be done.
    fn take_back(&self) -> bool {
        let mut all = true;
        for (name, there) in self.done.iter().rev() {
            let (to, from) = (self.target.join(name), self.old.join(name));
            let back = if *there {
                let parent = to.parent().map_or(Ok(()), fs::create_dir_all);
                parent.and_then(|()| fs::rename(&from, &to))
            } else {
                match fs::remove_file(&to) {
                    Err(e) if e.kind() == io::ErrorKind::NotFound => Ok(()),
                    done => done,
                }
            };
            all &= back.is_ok();
            // Without its list nobody would know that it is mixed.
            if !all && name == LIST {
                return false;
            }
        }
        for folder in self.made.iter().rev() {
            let _ = fs::remove_dir(folder);
        }
        all
    }
}

/// The folders that making `folder` would make, the innermost first.
fn made_folders(folder: &Path) -> Vec<PathBuf> {
    folder
        .ancestors()
        .take_while(|f| !f.as_os_str().is_empty() && !f.exists())
        .map(Path::to_path_buf)
        .collect()
}

/// Whether making something failed because the folder is not open to us.
fn is_shut(e: &io::Error) -> bool {
    matches!(
        e.kind(),
        io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem
    )
}

/// Links everything in `from` that is not `ours` into `to`, folders made again with their permissions.
/// Whether anything in it is somebody's own.
fn carry_over(
    from: &Path,
    to: &Path,
    before: &str,
    ours: &dyn Fn(&str, &Path) -> bool,
) -> io::Result<bool> {
    let (mut own, mut any) = (false, false);
    for entry in fs::read_dir(from)? {
        let entry = entry?;
        any = true;
        let (name, path) = (entry.file_name(), entry.path());
        let text = name.to_str().map(|n| format!("{before}{n}"));
        let to = to.join(&name);
        if entry.file_type()?.is_dir() {
            let like = entry.metadata()?.permissions();
            if like.readonly() || !carries_nothing_more(&path) {
                // Nothing could be put in it, or removed from it.
                return Err(io::ErrorKind::PermissionDenied.into());
            }
            // A name that is not text is nobody's but theirs.
            let inside = text.map_or_else(|| "/".to_owned(), |t| format!("{t}/"));
            let theirs = carry_over(&path, &to, &inside, ours)?;
            if theirs {
                fs::create_dir_all(&to)?;
            }
            if to.is_dir() {
                belongs_to_the_same(&to, &path)?;
                fs::set_permissions(&to, like)?;
            }
            own |= theirs;
        } else if !text.is_some_and(|t| ours(&t, &path)) {
            fs::create_dir_all(to.parent().unwrap_or(&to))?;
            fs::hard_link(&path, &to)?;
            own = true;
        }
    }
    Ok(own || !any)
}

/// Whether the folder may change places with another in `parent`; its permissions.
fn changes_places(target: &Path, parent: &Path) -> Option<fs::Permissions> {
    let meta = fs::metadata(target).ok()?;
    // A terminal that stands in it would stand in the old one.
    let here = std::env::current_dir().and_then(fs::canonicalize).ok()?;
    let outside = !here.starts_with(target);
    (outside && one_disk(target, parent) && carries_nothing_more(target))
        .then(|| meta.permissions())
}

#[cfg(unix)]
fn one_disk(a: &Path, b: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let disk = |p| fs::metadata(p).map(|m| m.dev()).ok();
    disk(a) == disk(b)
}

#[cfg(not(unix))]
fn one_disk(_: &Path, _: &Path) -> bool {
    true
}

/// Gives `new` the owner and the group of `old`.
#[cfg(unix)]
fn belongs_to_the_same(new: &Path, old: &Path) -> io::Result<()> {
    use std::os::unix::fs::MetadataExt;
    let (is, was) = (fs::metadata(new)?, fs::metadata(old)?);
    if (is.uid(), is.gid()) == (was.uid(), was.gid()) {
        return Ok(());
    }
    std::os::unix::fs::chown(new, Some(was.uid()), Some(was.gid()))
}

#[cfg(not(unix))]
fn belongs_to_the_same(_: &Path, _: &Path) -> io::Result<()> {
    Ok(())
}

/// Whether a folder has no lists of who may enter and no notes of its own that another would lack. What
/// the system's security writes, it writes on every folder.
#[cfg(target_os = "linux")]
fn carries_nothing_more(folder: &Path) -> bool {
    // Longer than the names of a dozen notes.
    const ROOM: usize = 4096;
    let mut names = [0_u8; ROOM];
    match rustix::fs::llistxattr(folder, &mut names[..]) {
        Ok(len) => names[..len]
            .split(|b| *b == 0)
            .all(|name| name.is_empty() || name.starts_with(b"security.")),
        Err(e) => e == rustix::io::Errno::NOTSUP,
    }
}

#[cfg(not(target_os = "linux"))]
fn carries_nothing_more(_: &Path) -> bool {
    true
}

/// Lets two folders change places in one step.
#[cfg(any(target_os = "linux", target_vendor = "apple"))]
fn exchange(a: &Path, b: &Path) -> io::Result<()> {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    Ok(renameat_with(CWD, a, CWD, b, RenameFlags::EXCHANGE)?)
}

#[cfg(not(any(target_os = "linux", target_vendor = "apple")))]
fn exchange(_: &Path, _: &Path) -> io::Result<()> {
    Err(io::ErrorKind::Unsupported.into())
}

/// What went wrong where a folder was there a moment ago.
fn taken_away(at: &Path, e: io::Error) -> Error {
    match e.kind() {
        io::ErrorKind::NotFound => {
            let path = as_typed(at);
            OfFile::at(at, e.kind(), FileFact::TakenMeanwhile { path })
        }
        _ => trouble(at)(e),
    }
}
