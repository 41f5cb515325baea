//! The house rules that a compiler does not know: who may use whom, who may touch the world, and
//! how long a file may be. DEVELOPERS.md gives the reasons.

use std::fs;
use std::path::{Path, PathBuf};

/// What each part of the library may name with `crate::`; itself and its own children always.
const ALLOWED: &[(&str, &[&str])] = &[
    ("lib", &["error"]),
    ("tolerance", &["measure"]),
    ("measure", &[]),
    ("text", &["measure", "units"]),
    ("fact", &["measure", "units", "text"]),
    ("error", &["measure", "fact", "text"]),
    ("imprint", &["geom"]),
    ("survey", &["measure"]),
    ("face", &["error", "fact", "facts", "text"]),
    ("units", &[]),
    ("geom", &["error", "tolerance"]),
    ("lettering", &["error", "face", "geom"]),
    (
        "drawing",
        &[
            "error",
            "fact",
            "facts",
            "text",
            "face",
            "geom",
            "units",
            "tolerance",
        ],
    ),
    (
        "source",
        &["error", "fact", "facts", "text", "units", "tolerance"],
    ),
    (
        "workshop",
        &[
            "error",
            "fact",
            "facts",
            "text",
            "units",
            "tolerance",
            "source",
        ],
    ),
    (
        "sheet",
        &[
            "error",
            "fact",
            "facts",
            "text",
            "units",
            "tolerance",
            "measure",
            "survey",
            "source",
        ],
    ),
    (
        "profile",
        &[
            "error",
            "fact",
            "facts",
            "text",
            "units",
            "tolerance",
            "measure",
            "source",
            "sheet",
        ],
    ),
    (
        "torso",
        &[
            "error",
            "fact",
            "facts",
            "text",
            "tolerance",
            "measure",
            "survey",
            "geom",
            "sheet",
            "units",
        ],
    ),
    (
        "compare",
        &[
            "error",
            "fact",
            "text",
            "units",
            "tolerance",
            "measure",
            "geom",
            "sheet",
            "profile",
            "torso",
            "mesh",
            "tape",
        ],
    ),
    (
        "mesh",
        &[
            "error",
            "fact",
            "text",
            "tolerance",
            "measure",
            "geom",
            "torso",
        ],
    ),
    ("tape", &["tolerance", "measure", "geom", "sheet", "mesh"]),
    (
        "stack",
        &[
            "imprint",
            "error",
            "fact",
            "text",
            "units",
            "face",
            "lettering",
            "tolerance",
            "measure",
            "geom",
            "workshop",
            "mesh",
        ],
    ),
    (
        "asbuilt",
        &[
            "error",
            "tolerance",
            "measure",
            "geom",
            "sheet",
            "workshop",
            "mesh",
            "tape",
            "stack",
        ],
    ),
    (
        "layout",
        &[
            "imprint",
            "error",
            "fact",
            "text",
            "units",
            "face",
            "lettering",
            "tolerance",
            "geom",
            "drawing",
            "workshop",
            "stack",
        ],
    ),
    (
        "render",
        &[
            "error",
            "fact",
            "text",
            "tolerance",
            "geom",
            "measure",
            "mesh",
        ],
    ),
    (
        "form",
        &[
            "imprint",
            "error",
            "fact",
            "text",
            "face",
            "tolerance",
            "measure",
            "units",
            "geom",
            "drawing",
            "workshop",
            "sheet",
            "torso",
            "mesh",
            "tape",
            "stack",
            "asbuilt",
            "layout",
        ],
    ),
    (
        "say",
        &[
            "error",
            "fact",
            "face",
            "text",
            "tolerance",
            "measure",
            "units",
            "geom",
            "drawing",
            "workshop",
            "sheet",
            "torso",
            "mesh",
            "tape",
            "stack",
            "layout",
            "render",
            "imprint",
            "profile",
            "compare",
            "form",
        ],
    ),
];

/// Words that only the program may use: the library takes values and returns values.
const WORLD: &[&str] = &[
    "std::fs",
    "std::env",
    "std::process",
    "std::time",
    "std::net",
    "std::thread",
    "println!",
    "print!",
    "eprintln!",
    "eprint!",
    "dbg!",
    "stdout()",
    "stderr()",
    "rand::",
];

/// Crates that are kept to certain files: name as written in code, and where it may stand.
const KEPT: &[(&str, &[&str])] = &[
    (
        "toml::",
        &["source.rs", "source/", "sheet/", "workshop/", "profile/"],
    ),
    ("serde::", &["sheet/", "workshop/", "say/"]),
    (
        "serde_spanned::",
        &["source.rs", "sheet/", "workshop/", "profile/"],
    ),
    ("serde_json::", &["say/", "cli/"]),
    ("clap::", &["cli/"]),
    ("clap_complete::", &["cli/"]),
    ("clap_mangen::", &["cli/"]),
    ("fs::write(", &["cli/save/"]),
    ("fs::File::create", &["cli/save/"]),
    ("fs::OpenOptions", &["cli/save/"]),
    ("fs::rename(", &["cli/save/"]),
    ("rustix::", &["cli/save/"]),
    ("ctrlc::", &["cli/halt.rs"]),
    ("anstream::", &["cli/"]),
    ("indicatif::", &["cli/"]),
    ("rustyline::", &["cli/new/"]),
    (
        "toml_edit::",
        &["sheet/entry/", "workshop/entry/", "source/edit.rs"],
    ),
    ("pdf_writer::", &["drawing/pdf.rs", "drawing/pdf/"]),
    ("png::", &["render.rs", "render/"]),
    ("maud::", &["say/html.rs"]),
];

/// Files that may be longer than [`LONGEST`], each with its reason.
const LONG: &[(&str, &str)] = &[(
    "measure/table.rs",
    "one record per measurement: a table that splitting would scatter",
)];

/// Lines in a file, its tests included.
const LONGEST: usize = 520;

/// The part of a file in front of its tests.
pub(crate) fn code(text: &str) -> &str {
    text.split("#[cfg(test)]").next().unwrap_or(text)
}

/// Lines without their comments (`//` inside a string is rare enough to be called a comment).
pub(crate) fn statements(text: &str) -> impl Iterator<Item = (usize, &str)> {
    text.lines()
        .enumerate()
        .map(|(i, l)| (i + 1, l.split("//").next().unwrap_or(l)))
}

/// Whether `word` stands in `line`, not as the tail of a longer name.
fn holds(line: &str, word: &str) -> bool {
    line.match_indices(word).any(|(at, _)| {
        !line[..at]
            .chars()
            .next_back()
            .is_some_and(|c| c.is_alphanumeric() || c == '_' || c == ':')
    })
}

/// Every rule that the file at `path` (below `src`, with `/`) breaks.
fn breaches(path: &str, text: &str) -> Vec<String> {
    let mut out = Vec::new();
    let part = path
        .split('/')
        .next()
        .unwrap_or(path)
        .trim_end_matches(".rs");
    if !text.starts_with("//!") {
        out.push(format!(
            "{path}: does not open with a line saying what it holds"
        ));
    }
    let lines = text.lines().count();
    if lines > LONGEST && !LONG.iter().any(|(p, _)| *p == path) {
        out.push(format!("{path}: {lines} lines, {LONGEST} are allowed"));
    }
    for (n, line) in statements(text) {
        if line.contains("crate::{") {
            out.push(format!("{path}:{n}: one module per line, not `crate::{{`"));
        }
    }
    for (n, line) in statements(code(text)) {
        if part != "cli" {
            for word in WORLD.iter().filter(|w| holds(line, w)) {
                out.push(format!("{path}:{n}: `{word}` outside the program"));
            }
            let allowed = ALLOWED.iter().find(|(m, _)| *m == part);
            for (at, _) in line.match_indices("crate::") {
                let name: String = line[at + "crate::".len()..]
                    .chars()
                    .take_while(|c| c.is_alphanumeric() || *c == '_')
                    .collect();
                // The macro `facts!` is a part of `fact`.
                let of = if name == "facts" { "fact" } else { &*name };
                let fine = of == part || allowed.is_some_and(|(_, a)| a.contains(&of));
                if !fine && !name.is_empty() {
                    out.push(format!("{path}:{n}: `{part}` may not use `{name}`"));
                }
            }
        }
        for (word, places) in KEPT {
            if holds(line, word) && !places.iter().any(|p| path.starts_with(p)) {
                out.push(format!(
                    "{path}:{n}: `{word}` belongs to {}",
                    places.join(", ")
                ));
            }
        }
    }
    out
}

pub(crate) fn sources(folder: &Path, into: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, into);
        } else if path.extension().is_some_and(|e| e == "rs") {
            into.push(path);
        }
    }
}

#[test]
fn every_source_file_keeps_the_house_rules() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    sources(&src, &mut files);
    files.sort();
    assert!(files.len() > 10, "the sources were not found");
    let mut broken = Vec::new();
    for file in &files {
        let name = file.strip_prefix(&src).unwrap().to_str().unwrap();
        let name = name.replace('\\', "/");
        broken.extend(breaches(&name, &fs::read_to_string(file).unwrap()));
    }
    for (path, _) in LONG {
        let lines = fs::read_to_string(src.join(path)).map_or(0, |t| t.lines().count());
        if lines <= LONGEST {
            broken.push(format!("{path}: {lines} lines: it needs no exception"));
        }
    }
    assert!(broken.is_empty(), "{}", broken.join("\n"));
}

#[test]
fn the_rules_catch_what_they_forbid() {
    for (path, text) in [
        ("tape/mod.rs", "//! Tape.\nuse crate::torso::Torso;\n"),
        (
            "stack/mod.rs",
            "//! Stack.\nfn f(s: &crate::sheet::Sheet) {}\n",
        ),
        ("geom/mod.rs", "//! Geom.\nuse crate::{error, tolerance};\n"),
        ("mesh/mod.rs", "//! Mesh.\nuse std::fs;\n"),
        ("mesh/mod.rs", "//! Mesh.\nfn f() { println!(\"x\"); }\n"),
        ("layout/mod.rs", "//! Layout.\nuse pdf_writer::Pdf;\n"),
        ("units.rs", "use crate::error::Finding;\n"),
        (
            "newcomer.rs",
            "//! A part that has no row in the list.\nuse crate::mesh::Mesh;\n",
        ),
    ] {
        assert!(!breaches(path, text).is_empty(), "{path}: {text}");
    }
    let long = format!("//! Long.\n{}", "\n".repeat(LONGEST));
    assert!(!breaches("units.rs", &long).is_empty());
    for (path, text) in [
        ("tape/mod.rs", "//! Tape.\nuse crate::mesh::Mesh;\n"),
        (
            "cli/main.rs",
            "//! Program.\nuse std::fs;\nfn f() { println!(\"x\"); }\n",
        ),
        ("mesh/mod.rs", "//! Mesh.\n// std::fs is for the program\n"),
        (
            "mesh/mod.rs",
            "//! Mesh.\n#[cfg(test)]\nmod tests { use std::fs; }\n",
        ),
    ] {
        assert_eq!(breaches(path, text), Vec::<String>::new(), "{path}");
    }
}
