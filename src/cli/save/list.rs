//! The list in a folder: what a build wrote there, with a fingerprint of each file.

use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::path::{Component, Path};

use layfigure::Error;
use layfigure::imprint;

use super::trouble;

/// Name of the list in the folder.
pub(super) const LIST: &str = "files.txt";

const HEAD: &str = "# written by layfigure: fingerprint, size and name of every file of this build;\n\
                    # a later build replaces only files that still match\n";
/// Stands on the list while files are replaced one by one.
const REPLACING: &str =
    "# being replaced: files of two builds may stand side by side here until it is built again";

/// Fingerprints by file; a file may have two while it is being replaced.
pub(super) type Known = BTreeMap<String, Vec<String>>;

/// What a list says.
#[derive(Clone, Debug, Default)]
pub(super) struct List {
    pub(super) known: Known,
    /// Whether files of two builds may stand side by side.
    pub(super) mixed: bool,
}

/// What tells a changed file from an unchanged one.
fn fingerprint(bytes: &[u8]) -> String {
    let hash = imprint::fingerprint(bytes.iter().copied());
    format!("{hash:016x} {}", bytes.len())
}

impl List {
    /// The list of a build that writes `files`.
    pub(super) fn of(files: &[(String, Vec<u8>)]) -> Self {
        Self {
            known: files
                .iter()
                .map(|(name, bytes)| (name.clone(), vec![fingerprint(bytes)]))
                .collect(),
            mixed: false,
        }
    }

    /// The list in `dir`, if one of ours is there.
    pub(super) fn read(dir: &Path) -> Result<Option<Self>, Error> {
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
            if let (Some(hash), Some(size), Some(name)) = (parts.next(), parts.next(), parts.next())
            {
                // A list that somebody edited must not lead out of the folder.
                let inside = Path::new(name)
                    .components()
                    .all(|c| matches!(c, Component::Normal(_)));
                if inside {
                    let print = format!("{hash} {size}");
                    known.entry(name.to_owned()).or_default().push(print);
                }
            }
        }
        // Lists of earlier versions have two fingerprints and no word about it.
        let mixed = text.lines().any(|l| l == REPLACING) || known.values().any(|p| p.len() > 1);
        Ok(Some(Self { known, mixed }))
    }

    /// Both builds, while the files of one take the place of the other's.
    pub(super) fn replaced_by(&self, fresh: &Self) -> Self {
        let mut both = Self {
            known: self.known.clone(),
            mixed: true,
        };
        for (name, prints) in &fresh.known {
            both.known
                .entry(name.clone())
                .or_default()
                .extend(prints.iter().cloned());
        }
        both
    }

    pub(super) fn text(&self) -> String {
        let mut text = HEAD.to_owned();
        if self.mixed {
            text.push_str(REPLACING);
            text.push('\n');
        }
        for (name, prints) in &self.known {
            for print in prints {
                text.push_str(&format!("{print} {name}\n"));
            }
        }
        text
    }

    /// Whether this list knows a file with these bytes by this name.
    pub(super) fn wrote(&self, name: &str, bytes: &[u8]) -> bool {
        self.known
            .get(name)
            .is_some_and(|prints| prints.contains(&fingerprint(bytes)))
    }

    /// Whether the file at `path` is the one that this list knows as `name`.
    pub(super) fn holds(&self, name: &str, path: &Path) -> bool {
        self.known.contains_key(name)
            && fs::symlink_metadata(path).is_ok_and(|m| m.is_file())
            && fs::read(path).is_ok_and(|bytes| self.wrote(name, &bytes))
    }
}
