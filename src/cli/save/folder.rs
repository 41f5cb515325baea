//! Writing the folder of a form: whole or not at all, and never over somebody's own work.
//!
//! A list of what was written, with a fingerprint of each file, stays in the folder. A later build
//! replaces only files that still have the fingerprint on that list; anything else blocks it unless
//! it is forced. Files that the list does not know are never removed.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use layfigure::Error;

use super::list::List;
use super::swap;
use super::swap::Tried;
use super::{at_the_end, trouble};
use crate::facts::{BlockedBy, FolderFact, as_typed};
use crate::halt;
use crate::unwritten::{State, Unwritten};

/// Name of a folder for the form `name`: letters, digits, `-`, `_` and `.`, never hidden or empty.
pub(crate) fn sanitized(name: &str) -> String {
    let mut out = String::new();
    for c in name.trim().chars() {
        let c = if c.is_alphanumeric() || matches!(c, '-' | '_' | '.') {
            c
        } else {
            '-'
        };
        if c != '-' || !out.ends_with('-') {
            out.push(c);
        }
    }
    let out = out.trim_matches(['-', '.']);
    // Most file systems stop at 255 bytes a name.
    let end = out
        .char_indices()
        .map(|(i, c)| i + c.len_utf8())
        .take_while(|end| *end <= 100)
        .last()
        .unwrap_or(0);
    if end == 0 {
        "form".into()
    } else {
        out[..end].to_owned()
    }
}

/// What stands in the way of writing `files` into the existing folder `dir`: what is there and is not
/// ours, and what nothing can take the place of.
fn blocked(
    dir: &Path,
    files: &[(String, Vec<u8>)],
    known: Option<&List>,
) -> Result<(Vec<BlockedBy>, Vec<BlockedBy>), Error> {
    let (mut others, mut solid) = (Vec::new(), Vec::new());
    let nothing = List::default();
    let list = known.unwrap_or(&nothing);
    let wanted = files.iter().map(|(name, _)| name);
    let mut names: Vec<(&String, bool)> = wanted
        .map(|name| (name, true))
        .chain(list.known.keys().map(|name| (name, false)))
        .collect();
    // A name that is wanted comes before the same one on the list.
    names.sort_by_key(|(name, wanted)| (*name, !wanted));
    names.dedup_by_key(|(name, _)| *name);
    for (name, wanted) in names {
        if wanted {
            let folders = name.match_indices('/').map(|(i, _)| &name[..i]);
            for above in folders {
                let is_file = fs::metadata(dir.join(above)).is_ok_and(|m| !m.is_dir());
                let block = BlockedBy::File(above.to_owned());
                if is_file && !solid.contains(&block) {
                    solid.push(block);
                }
            }
        }
        let path = dir.join(name);
        match fs::metadata(&path) {
            Ok(meta) if meta.is_dir() => {
                solid.push(BlockedBy::Folder(name.clone()));
                continue;
            }
            Ok(meta) if !meta.is_file() => {
                others.push(BlockedBy::NotPlain(name.clone()));
                continue;
            }
            Ok(_) => {}
            Err(_) => continue,
        }
        let bytes = match fs::read(&path) {
            Ok(bytes) => bytes,
            Err(e) if e.kind() == io::ErrorKind::NotFound => continue,
            Err(e) => return Err(trouble(&path)(e)),
        };
        if !list.known.contains_key(name) {
            others.push(BlockedBy::Foreign(name.clone()));
        } else if !list.wrote(name, &bytes) {
            others.push(BlockedBy::Changed(name.clone()));
        }
    }
    Ok((others, solid))
}

/// What stands where a folder is to be written.
struct Standing {
    exists: bool,
    known: Option<List>,
}

/// Looks whether `files` may be written into `dir`.
fn standing(dir: &Path, files: &[(String, Vec<u8>)], force: bool) -> Result<Standing, Error> {
    let exists = match fs::metadata(dir) {
        Ok(meta) if !meta.is_dir() => {
            return Err(Error::request(FolderFact::IsFile {
                path: as_typed(dir),
            }));
        }
        Ok(meta) if meta.permissions().readonly() => {
            return Err(trouble(dir)(io::ErrorKind::PermissionDenied.into()));
        }
        Ok(_) => true,
        Err(e) if e.kind() == io::ErrorKind::NotFound => {
            // A link to nowhere.
            at_the_end(dir)?;
            false
        }
        Err(e) => return Err(trouble(dir)(e)),
    };
    if !exists {
        return Ok(Standing {
            exists,
            known: None,
        });
    }
    let known = List::read(dir)?;
    let mut entries = fs::read_dir(dir).map_err(trouble(dir))?.flatten();
    let empty = !entries.any(|e| !swap::is_inside(&e.file_name()));
    let (others, solid) = blocked(dir, files, known.as_ref())?;
    if !solid.is_empty() {
        let (path, by) = (as_typed(dir), solid);
        return Err(Error::request(FolderFact::Blocked { path, by }));
    }
    if !empty && !force {
        if known.is_none() {
            let path = as_typed(dir);
            return Err(Error::request(FolderFact::NotEmpty { path }));
        }
        if !others.is_empty() {
            let (path, by) = (as_typed(dir), others);
            return Err(Error::request(FolderFact::InUse { path, by }));
        }
    }
    Ok(Standing { exists, known })
}

impl Standing {
    /// How the folder stands as long as nothing in it is touched.
    fn state(&self, dir: &Path) -> State {
        match &self.known {
            _ if !self.exists => State::Nothing,
            None => State::Untouched(dir.to_path_buf()),
            Some(list) if list.mixed => State::Half(dir.to_path_buf()),
            Some(_) => State::Old(dir.to_path_buf()),
        }
    }
}

/// Looks whether anything in `dir` will stand in the way, as far as that can be told before it is known
/// what will be written: so that nobody waits for a refusal. How the folder stands.
///
/// # Errors
/// As [`write`].
pub(crate) fn ready(dir: &Path, force: bool) -> Result<State, Error> {
    standing(dir, &[], force).map(|s| s.state(dir))
}

/// Whether the file at `path` lies in a folder in which files of two builds stand side by side; that
/// folder.
pub(crate) fn half_replaced(path: &Path) -> Option<PathBuf> {
    let full = std::path::absolute(path).ok()?;
    // `solid/outer.stl` lies one folder below the list.
    let mut above = full.ancestors().skip(1).take(2);
    let of = |dir: &&Path| {
        let inside = full.strip_prefix(dir).ok().and_then(Path::to_str);
        List::read(dir).ok().flatten().is_some_and(|list| {
            let name = inside.map(|n| n.replace('\\', "/"));
            list.mixed && name.is_some_and(|n| list.known.contains_key(&n))
        })
    };
    above.find(of).map(Path::to_path_buf)
}

/// The warning about a folder that an earlier build left half replaced.
pub(crate) fn mended(dir: &Path) -> String {
    format!(
        "an earlier build was broken off while it replaced what is in `{}`: files of two forms stand there \
         side by side until this one is written",
        dir.display()
    )
}

/// Writes `files` (names with `/`) into `dir`, which need not exist.
///
/// # Errors
/// [`Error::Request`] when something there is not ours to replace, [`Error::Io`] when the system
/// refuses; with how the folder stands then.
pub(crate) fn write(dir: &Path, files: &[(String, Vec<u8>)], force: bool) -> Result<(), Unwritten> {
    halt::held(|| {
        let written = written(dir, files, force);
        let state = match &written {
            Ok(()) => State::New(dir.to_path_buf()),
            Err(e) => e.state.clone(),
        };
        halt::say_then(&format!("stopped; {state}"));
        written
    })
}

fn written(dir: &Path, files: &[(String, Vec<u8>)], force: bool) -> Result<(), Unwritten> {
    let unseen = |error| Unwritten {
        error,
        state: State::Nothing,
    };
    let standing = standing(dir, files, force).map_err(unseen)?;
    let state = standing.state(dir);
    let stands = |error| Unwritten {
        error,
        state: state.clone(),
    };
    let target = at_the_end(dir).map_err(stands)?;
    let work = swap::Work {
        shown: dir,
        target: &target,
        files,
        fresh: List::of(files),
        old: standing.known.clone().unwrap_or_default(),
    };
    if !standing.exists {
        return work.anew().map_err(stands);
    }
    // What somebody wrote or changed since the first look is seen here.
    let again = || self::standing(dir, files, force).map(drop);
    match work.at_once(&again).map_err(stands)? {
        Tried::Done => Ok(()),
        Tried::Not => work.one_by_one().map_err(|(error, whole)| Unwritten {
            error,
            state: if whole {
                state.clone()
            } else {
                State::Half(dir.to_path_buf())
            },
        }),
    }
}
