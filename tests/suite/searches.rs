//! Nothing that is said is searched: what a room knows it hands on as a value, and words come last.
//! DEVELOPERS.md gives the reason.

use std::fs;
use std::path::Path;

use crate::imports::{code, sources, statements};

/// Ways to look into words. `contains(` and `find(` look into lists too, so those count only with a letter,
/// with words, or with a question about letters between their brackets.
const SEARCHES: [&str; 16] = [
    ".contains(\"",
    ".contains('",
    ".contains(|",
    ".contains(char",
    ".find(\"",
    ".find('",
    ".matches(",
    ".starts_with(",
    ".ends_with(",
    ".split(",
    ".split_once(",
    ".rsplit(",
    ".split_whitespace(",
    ".strip_prefix(",
    ".strip_suffix(",
    ".replace(",
];

/// Searches that stay, each with its reason: the file below `src/say`, and how it is written there.
const STAY: [(&str, &str, &str); 9] = [
    (
        "terminal.rs",
        ".split(|c: char| !whole && c.is_whitespace())",
        "a writer breaks lines at blanks",
    ),
    (
        "blank/mod.rs",
        ".split_whitespace()",
        "a writer breaks lines at blanks",
    ),
    (
        "plan/columns.rs",
        "name.split(' ')",
        "the head of a column is broken at blanks",
    ),
    (
        "html.rs",
        "run.words.split(' ')",
        "what is typed may break at blanks and nowhere else",
    ),
    (
        "html.rs",
        "word.contains('-')",
        "browsers break what is typed after a hyphen",
    ),
    (
        "guide/dowels.rs",
        "name.contains(' ')",
        "a file's name with a blank is typed in quotes",
    ),
    (
        "words.rs",
        "path.rsplit(['/', '\\\\'])",
        "a path as somebody typed it",
    ),
    (
        "json.rs",
        "level.name().replace(' ', \"_\")",
        "the name of a level as a key",
    ),
    (
        "materials.rs",
        "unit.drill_bare(v).replace(' ', \"-\")",
        "sizes in a list that blanks part",
    ),
];

/// The lines of a file that look into words and are not among [`STAY`], and which of those it has.
fn searched(path: &str, text: &str) -> (Vec<String>, Vec<usize>) {
    let (mut found, mut stay) = (Vec::new(), Vec::new());
    for (n, line) in statements(code(text)) {
        if !SEARCHES.iter().any(|s| line.contains(s)) {
            continue;
        }
        let known =
            |(file, written, _): &(&str, &str, &str)| *file == path && line.contains(written);
        match STAY.iter().position(known) {
            Some(i) => stay.push(i),
            None => found.push(format!("{path}:{n}: {}", line.trim())),
        }
    }
    (found, stay)
}

#[test]
fn what_is_said_is_not_searched() {
    let say = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/say");
    let mut files = Vec::new();
    sources(&say, &mut files);
    assert!(files.len() > 10, "the sources were not found");
    let (mut found, mut stay) = (Vec::new(), Vec::new());
    for file in &files {
        let name = file.strip_prefix(&say).unwrap().to_str().unwrap();
        let text = fs::read_to_string(file).unwrap();
        let (more, kept) = searched(&name.replace('\\', "/"), &text);
        found.extend(more);
        stay.extend(kept);
    }
    assert!(
        found.is_empty(),
        "words are searched: hand on what they say as a value\n{}",
        found.join("\n")
    );
    for (i, (file, written, _)) in STAY.iter().enumerate() {
        assert!(
            stay.contains(&i),
            "{file} has no {written}: it needs no exception"
        );
    }
}

#[test]
fn searches_are_found_and_lists_are_not() {
    for line in [
        "if rows.iter().any(|r| r[1].contains(\" | \")) {",
        "let plain = prompt.split(\" (Enter\").next();",
        "if text.starts_with('-') {",
        "text.contains(|c: char| c.is_ascii_digit())",
        "said.replace(\", ±\", \" ±\")",
    ] {
        assert_eq!(searched("check_short.rs", line).0.len(), 1, "{line}");
    }
    for line in [
        "if !kinds.contains(&kind) {",
        "let same = out.iter_mut().find(|(of, _)| of == at);",
        "// prompt.split(\" (Enter\")",
        "#[cfg(test)]\nmod tests { fn f(s: &str) -> bool { s.starts_with('-') } }",
    ] {
        assert!(searched("check_short.rs", line).0.is_empty(), "{line}");
    }
}
