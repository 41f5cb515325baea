//! No name of a type stands twice: who searches for it finds the one that is meant.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use crate::imports::{code, sources};

/// The types that a text lets others name.
fn types(text: &str) -> impl Iterator<Item = &str> {
    text.lines().filter_map(|line| {
        let line = line.trim_start();
        let rest = line.strip_prefix("pub")?;
        let rest = match rest.strip_prefix('(') {
            Some(rest) => rest.split_once(')')?.1,
            None => rest,
        };
        let rest = rest.trim_start();
        let rest = rest
            .strip_prefix("struct ")
            .or_else(|| rest.strip_prefix("enum "))?;
        rest.split(|c: char| !c.is_alphanumeric()).next()
    })
}

/// Names that stand in several files, each with them.
fn twice(files: &[(String, String)]) -> Vec<(String, Vec<String>)> {
    let mut all: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for (file, text) in files {
        for name in types(code(text)) {
            all.entry(name.to_owned()).or_default().push(file.clone());
        }
    }
    all.into_iter()
        .filter(|(_, files)| files.len() > 1)
        .collect()
}

#[test]
fn no_type_that_others_can_name_has_the_name_of_another() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut paths = Vec::new();
    sources(&root, &mut paths);
    let files: Vec<(String, String)> = paths
        .iter()
        .map(|p| (p.display().to_string(), fs::read_to_string(p).unwrap()))
        .collect();
    assert!(files.len() > 200);
    assert_eq!(twice(&files), []);
}

#[test]
fn a_name_that_stands_twice_is_found() {
    let file = |name: &str, text: &str| (name.to_owned(), text.to_owned());
    let files = [
        file(
            "a.rs",
            "pub struct Row<'a> {}\nstruct Own;\npub(super) enum Kind {}\n",
        ),
        file(
            "b.rs",
            "pub(in crate::layout) struct Row(f64);\nstruct Own;\n",
        ),
    ];
    let found = twice(&files);
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].0, "Row");
}
