//! Writing the folder: whole or not at all, and never over somebody's own work.
//!
//! A list of what was written, with a fingerprint of each file, stays in the folder. A later build
//! replaces only files that still have the fingerprint on that list; anything else blocks it unless
//! it is forced. Files that the list does not know are never removed.
//!
//! Everything is first written into a hidden folder beside it. A run that is killed leaves that one
//! behind; the next build of the same folder takes it away, once nobody holds the lock on its list.

use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::io::Write;
use std::path::{Component, Path, PathBuf};

use layfigure::Error;

/// Name of the list in the folder.
pub(crate) const LIST: &str = "files.txt";
/// The list of an older and a newer build together waits under this name.
const BOTH: &str = "both.txt";
/// Between the hidden folder's name and the number of the run that writes it.
const STAGING: &str = ".part-";

const HEAD: &str = "# written by layfigure: fingerprint, size and name of every file of this build;\n\
                    # a later build replaces only files that still match\n";

/// 64-bit FNV-1a: it tells a changed file from an unchanged one; it guards against nobody.
fn fingerprint(bytes: &[u8]) -> String {
    let mut hash: u64 = 0xcbf2_9ce4_8422_2325;
    for b in bytes {
        hash = (hash ^ u64::from(*b)).wrapping_mul(0x0000_0100_0000_01b3);
    }
    format!("{hash:016x} {}", bytes.len())
}

fn trouble(path: &Path) -> impl FnOnce(io::Error) -> Error + '_ {
    move |source| Error::Io {
        path: path.to_path_buf(),
        source,
    }
}

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

/// Fingerprints on the list, by file; a file may have two while a build is under way.
type Known = BTreeMap<String, Vec<String>>;

fn read_list(dir: &Path) -> Result<Option<Known>, Error> {
    let path = dir.join(LIST);
    let text = match fs::read(&path) {
        Ok(bytes) => String::from_utf8_lossy(&bytes).into_owned(),
        Err(e) if e.kind() == io::ErrorKind::NotFound => return Ok(None),
        Err(e) => return Err(trouble(&path)(e)),
    };
    if !text.starts_with(HEAD) {
        return Ok(None);
    }
    let mut known = Known::new();
    for line in text.lines().filter(|l| !l.starts_with('#')) {
        let mut parts = line.splitn(3, ' ');
        if let (Some(hash), Some(size), Some(name)) = (parts.next(), parts.next(), parts.next()) {
            // A list that somebody edited must not lead out of the folder.
            let inside = Path::new(name)
                .components()
                .all(|c| matches!(c, Component::Normal(_)));
            if !inside {
                continue;
            }
            let print = format!("{hash} {size}");
            known.entry(name.to_owned()).or_default().push(print);
        }
    }
    Ok(Some(known))
}

fn list_text(known: &Known) -> String {
    let mut text = HEAD.to_owned();
    for (name, prints) in known {
        for print in prints {
            text.push_str(&format!("{print} {name}\n"));
        }
    }
    text
}

/// What stands in the way of writing `files` into the existing folder `dir`.
fn blocked(
    dir: &Path,
    files: &[(String, Vec<u8>)],
    known: Option<&Known>,
) -> Result<Vec<String>, Error> {
    let mut blocks = Vec::new();
    let nothing = Known::new();
    let list = known.unwrap_or(&nothing);
    let wanted = files.iter().map(|(name, _)| name);
    let mut names: Vec<&String> = wanted.chain(list.keys()).collect();
    names.sort();
    names.dedup();
    for name in names {
        let path = dir.join(name);
        let bytes = match fs::read(&path) {
            Ok(bytes) => bytes,
            Err(e) if e.kind() == io::ErrorKind::NotFound => continue,
            Err(e) => return Err(trouble(&path)(e)),
        };
        let print = fingerprint(&bytes);
        match list.get(name) {
            None => blocks.push(format!("`{name}` was not written by this program")),
            Some(prints) if !prints.contains(&print) => {
                blocks.push(format!("`{name}` was changed since it was written"));
            }
            Some(_) => {}
        }
    }
    Ok(blocks)
}

/// What stands where a folder is to be written.
struct Standing {
    exists: bool,
    empty: bool,
    known: Option<Known>,
}

/// Looks whether `files` may be written into `dir`.
fn standing(dir: &Path, files: &[(String, Vec<u8>)], force: bool) -> Result<Standing, Error> {
    let exists = match fs::metadata(dir) {
        Ok(meta) if !meta.is_dir() => {
            return Err(Error::Request(format!(
                "`{}` is a file, not a folder: choose another with `-o`",
                dir.display()
            )));
        }
        Ok(_) => true,
        Err(e) if e.kind() == io::ErrorKind::NotFound => false,
        Err(e) => return Err(trouble(dir)(e)),
    };
    let empty = exists && fs::read_dir(dir).map_err(trouble(dir))?.next().is_none();
    let known = if exists { read_list(dir)? } else { None };
    if exists && !empty && !force {
        let blocks = blocked(dir, files, known.as_ref())?;
        if known.is_none() {
            return Err(Error::Request(format!(
                "the folder `{}` is not empty and holds no earlier build: choose another with `-o`, \
                 or add `--force` to write into it",
                dir.display()
            )));
        }
        if !blocks.is_empty() {
            return Err(Error::Request(format!(
                "the folder `{}` is in use: {}; move it away, choose another folder with `-o`, or \
                 add `--force` to replace it",
                dir.display(),
                blocks.join(", ")
            )));
        }
    }
    Ok(Standing {
        exists,
        empty,
        known,
    })
}

/// Looks whether anything in `dir` will stand in the way, as far as that can be told before it is known
/// what will be written: so that nobody waits for a refusal.
///
/// # Errors
/// As [`write`].
pub(crate) fn ready(dir: &Path, force: bool) -> Result<(), Error> {
    standing(dir, &[], force).map(drop)
}

/// Writes `files` (names with `/`) into `dir`, which need not exist.
///
/// # Errors
/// [`Error::Request`] when something there is not ours to replace, [`Error::Io`] when the system
/// refuses; in both cases nothing has changed, except if the system fails half-way through
/// replacing an older build, which then stays marked as ours and can be built again.
pub(crate) fn write(dir: &Path, files: &[(String, Vec<u8>)], force: bool) -> Result<(), Error> {
    let Standing {
        exists,
        empty,
        known,
    } = standing(dir, files, force)?;
    let fresh: Known = files
        .iter()
        .map(|(name, bytes)| (name.clone(), vec![fingerprint(bytes)]))
        .collect();
    let staging = stage(dir, files, &list_text(&fresh))?;
    let moved = if exists && !empty {
        replace(dir, &staging, &fresh, known.unwrap_or_default())
    } else {
        if exists {
            fs::remove_dir(dir).map_err(trouble(dir))?;
        }
        fs::rename(&staging, dir).map_err(trouble(dir))
    };
    if moved.is_err() || staging.exists() {
        // Only what this call has just made.
        let _ = fs::remove_dir_all(&staging);
    }
    moved
}

/// Writes everything into a new folder beside `dir` and returns it.
fn stage(dir: &Path, files: &[(String, Vec<u8>)], list: &str) -> Result<PathBuf, Error> {
    let full = std::path::absolute(dir).map_err(trouble(dir))?;
    let (Some(parent), Some(name)) = (full.parent(), full.file_name()) else {
        return Err(Error::Request(format!(
            "`{}` cannot be written as a folder: choose another with `-o`",
            dir.display()
        )));
    };
    fs::create_dir_all(parent).map_err(trouble(parent))?;
    let mut hidden = std::ffi::OsString::from(".");
    hidden.push(name);
    hidden.push(STAGING);
    clear_left_behind(parent, &hidden);
    hidden.push(std::process::id().to_string());
    let staging = parent.join(hidden);
    fs::create_dir(&staging).map_err(trouble(dir))?;
    let fill = || {
        // A message names the file where it is wanted, not where it waits.
        let at = |name: &str| dir.join(name);
        let mut tally = fs::File::create(staging.join(LIST)).map_err(trouble(&at(LIST)))?;
        // Where the file system knows no locks, nothing will be taken for left behind either.
        let _ = tally.lock();
        for (name, bytes) in files {
            put(&staging.join(name), bytes).map_err(trouble(&at(name)))?;
        }
        tally.write_all(list.as_bytes()).map_err(trouble(&at(LIST)))
    };
    if let Err(e) = fill() {
        let _ = fs::remove_dir_all(&staging);
        return Err(e);
    }
    Ok(staging)
}

fn put(path: &Path, bytes: &[u8]) -> io::Result<()> {
    if let Some(parent) = path.parent() {
        fs::create_dir_all(parent)?;
    }
    fs::write(path, bytes)
}

/// Removes hidden folders of killed runs: named as `stage` names them, with a list whose lock is
/// free. Those of runs that still write are held; what cannot be removed does no harm.
fn clear_left_behind(parent: &Path, hidden: &std::ffi::OsStr) {
    let hidden = hidden.to_string_lossy();
    let Ok(entries) = fs::read_dir(parent) else {
        return;
    };
    for entry in entries.flatten() {
        let name = entry.file_name();
        let name = name.to_string_lossy();
        let number = name.strip_prefix(&*hidden);
        let ours = number.is_some_and(|n| !n.is_empty() && n.bytes().all(|b| b.is_ascii_digit()));
        if !ours || !entry.file_type().is_ok_and(|t| t.is_dir()) {
            continue;
        }
        let list = fs::OpenOptions::new()
            .write(true)
            .open(entry.path().join(LIST));
        if list.is_ok_and(|file| file.try_lock().is_ok()) {
            let _ = fs::remove_dir_all(entry.path());
        }
    }
}

/// Moves the staged files over those of an older build, and removes what that build wrote and this
/// one does not. Both builds are on the list until the last file is in place.
fn replace(dir: &Path, staging: &Path, fresh: &Known, old: Known) -> Result<(), Error> {
    let mut both = old.clone();
    for (name, prints) in fresh {
        both.entry(name.clone()).or_default().extend(prints.clone());
    }
    // Never written in place: a disk that is full would leave half a list.
    let (list, ready) = (dir.join(LIST), staging.join(BOTH));
    put(&ready, list_text(&both).as_bytes()).map_err(trouble(&list))?;
    fs::rename(&ready, &list).map_err(trouble(&list))?;
    for name in fresh.keys() {
        let to = dir.join(name);
        if let Some(parent) = to.parent() {
            fs::create_dir_all(parent).map_err(trouble(parent))?;
        }
        fs::rename(staging.join(name), &to).map_err(trouble(&to))?;
    }
    for (name, prints) in old.iter().filter(|(name, _)| !fresh.contains_key(*name)) {
        let path = dir.join(name);
        // What somebody changed stays, even when forced.
        match fs::read(&path) {
            Ok(bytes) if prints.contains(&fingerprint(&bytes)) => {
                fs::remove_file(&path).map_err(trouble(&path))?;
            }
            _ => continue,
        }
        if let Some(parent) = path.parent().filter(|p| *p != dir) {
            // Succeeds only when nothing is left in it.
            let _ = fs::remove_dir(parent);
        }
    }
    fs::rename(staging.join(LIST), dir.join(LIST)).map_err(trouble(dir))
}
