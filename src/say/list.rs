//! The list in a folder: what a build wrote there, with a fingerprint of each file.

use std::collections::BTreeMap;
use std::path::{Component, Path};

use crate::imprint;

/// Name of the list in the folder.
pub const LIST: &str = "files.txt";

const HEAD: &str = "# written by layfigure: fingerprint, size and name of every file of this build;\n\
                    # a later build replaces only files that still match\n";
/// Stands on the list while files are replaced one by one.
const REPLACING: &str =
    "# being replaced: files of two builds may stand side by side here until it is built again";

/// Fingerprints by file; a file may have two while it is being replaced.
pub type Known = BTreeMap<String, Vec<String>>;

/// What a list says.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct List {
    /// The files.
    pub known: Known,
    /// Whether files of two builds may stand side by side.
    pub mixed: bool,
}

/// What tells a changed file from an unchanged one.
fn fingerprint(bytes: &[u8]) -> String {
    let hash = imprint::fingerprint(bytes.iter().copied());
    format!("{hash:016x} {}", bytes.len())
}

impl List {
    /// The list of a build that writes `files`.
    #[must_use]
    pub fn of(files: &[(String, Vec<u8>)]) -> Self {
        Self {
            known: files
                .iter()
                .map(|(name, bytes)| (name.clone(), vec![fingerprint(bytes)]))
                .collect(),
            mixed: false,
        }
    }

    /// What this text says, if it is a list of ours.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        if !text.starts_with(HEAD) {
            return None;
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
        Some(Self { known, mixed })
    }

    /// Both builds, while the files of one take the place of the other's.
    #[must_use]
    pub fn replaced_by(&self, fresh: &Self) -> Self {
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

    /// The file.
    #[must_use]
    pub fn text(&self) -> String {
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
    #[must_use]
    pub fn wrote(&self, name: &str, bytes: &[u8]) -> bool {
        self.known
            .get(name)
            .is_some_and(|prints| prints.contains(&fingerprint(bytes)))
    }
}
