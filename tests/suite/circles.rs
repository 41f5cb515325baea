//! Files of one room do not use each other in a circle: what needs what can be read from the bottom up.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use crate::imports::{code, sources, statements};

type Names = Vec<String>;

/// The sources as modules: the path of names, and the text without tests and comments.
struct Modules(BTreeMap<Names, String>);

impl Modules {
    /// Files by their place below `src`. The program in `cli` has a root of its own, which stands here
    /// as a room beside the others. A file `tests.rs` is a module of tests, which use what they like.
    fn of(files: &[(&str, &str)]) -> Self {
        let module = |(path, text): &(&str, &str)| {
            let names = path.trim_end_matches(".rs").split('/');
            let mut names: Names = names.map(Into::into).collect();
            if matches!(
                names.last().map(String::as_str),
                Some("mod" | "lib" | "main")
            ) {
                names.pop();
            }
            let lines: Vec<&str> = statements(code(text)).map(|(_, l)| l).collect();
            (names, lines.join("\n"))
        };
        let own = files
            .iter()
            .filter(|(path, _)| !path.ends_with("/tests.rs"));
        Self(own.map(module).collect())
    }

    fn children(&self, of: &[String]) -> BTreeSet<&str> {
        let below = self.0.keys().filter(|m| m.starts_with(of));
        below
            .filter_map(|m| m.get(of.len()).map(String::as_str))
            .collect()
    }

    /// The modules that a module names: paths that begin with `super`, `self` or `crate`.
    fn named(&self, module: &[String]) -> Vec<Names> {
        let text = &self.0[module];
        let mut found = Vec::new();
        for start in ["super::", "self::", "crate::"] {
            for (at, _) in text.match_indices(start) {
                let before = text[..at].chars().next_back();
                if before.is_some_and(|c| c.is_alphanumeric() || c == '_' || c == ':') {
                    continue;
                }
                let path = &text[at..];
                let end = |c: char| !(c.is_alphanumeric() || c == '_' || c == ':');
                let head = &path[..path.find(end).unwrap_or(path.len())];
                let list = path[head.len()..]
                    .strip_prefix('{')
                    .filter(|_| head.ends_with("::"));
                let inner = list.map_or("", |l| &l[..l.find('}').unwrap_or(l.len())]);
                for last in inner.split(',') {
                    let whole = format!("{head}{}", last.trim());
                    found.push(self.target(module, &whole));
                }
            }
        }
        found
    }

    /// The deepest module on the way that a path goes, names that a room passes on included.
    fn target(&self, from: &[String], path: &str) -> Names {
        let mut at: Names = from.to_vec();
        let mut names = path.split("::").filter(|n| !n.is_empty()).peekable();
        match names.peek() {
            Some(&"crate") if from.first().is_some_and(|f| f == "cli") => at.truncate(1),
            Some(&"crate") => at.clear(),
            _ => {}
        }
        for name in names {
            match name {
                "self" | "crate" => {}
                "super" => {
                    at.pop();
                }
                name => {
                    let below = [at.clone(), vec![name.to_owned()]].concat();
                    if self.0.keys().any(|m| m.starts_with(&below)) {
                        at = below;
                        continue;
                    }
                    while let Some(child) = self.passes_on(&at, name) {
                        at.push(child);
                    }
                    break;
                }
            }
        }
        at
    }

    /// The child of a room from which it passes a name on with `pub use`.
    fn passes_on(&self, room: &[String], name: &str) -> Option<String> {
        let text = self.0.get(room)?;
        let children = self.children(room);
        let uses = text.split(';').filter_map(|statement| {
            let at = statement.find("pub")?;
            let (public, rest) = statement[at..].split_once(" use ")?;
            (!public.contains(['{', '}', '\n'])).then_some(rest)
        });
        for path in uses {
            let path = path.trim_start_matches("self::");
            let Some((child, rest)) = path.split_once("::") else {
                continue;
            };
            let mut words = rest.split(|c: char| !(c.is_alphanumeric() || c == '_'));
            if children.contains(child) && words.any(|w| w == name) {
                return Some(child.to_owned());
            }
        }
        None
    }

    /// Every circle: the room, and the names in it that reach each other.
    fn circles(&self) -> Vec<(String, Vec<String>)> {
        let mut rooms: BTreeSet<Names> = self.0.keys().cloned().collect();
        rooms.insert(Vec::new());
        let mut found = Vec::new();
        for room in rooms {
            let mut uses: BTreeMap<&str, BTreeSet<String>> = BTreeMap::new();
            for module in self.0.keys() {
                if module.len() > room.len() && module.starts_with(&room) {
                    let own = module[room.len()].as_str();
                    for named in self.named(module) {
                        if named.len() > room.len() && named.starts_with(&room) {
                            uses.entry(own)
                                .or_default()
                                .insert(named[room.len()].clone());
                        }
                    }
                }
            }
            let reach = |from: &str| {
                let mut seen = BTreeSet::new();
                let mut waiting = vec![from.to_owned()];
                while let Some(next) = waiting.pop() {
                    for on in uses.get(next.as_str()).into_iter().flatten() {
                        if on != &next && seen.insert(on.clone()) {
                            waiting.push(on.clone());
                        }
                    }
                }
                seen
            };
            let reached: BTreeMap<&str, BTreeSet<String>> =
                uses.keys().map(|k| (*k, reach(k))).collect();
            let mut done = BTreeSet::new();
            for (name, all) in &reached {
                let round: Vec<String> = reached
                    .iter()
                    .filter(|(other, back)| all.contains(**other) && back.contains(*name))
                    .map(|(other, _)| (*other).to_owned())
                    .collect();
                if round.len() > 1 && done.insert(round.clone()) {
                    found.push((room.join("::"), round));
                }
            }
        }
        found
    }
}

fn written(circle: &(String, Vec<String>)) -> String {
    format!("{}: {}", circle.0, circle.1.join(", "))
}

#[test]
fn no_files_use_each_other_in_a_circle() {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut paths = Vec::new();
    sources(&src, &mut paths);
    let texts: Vec<(String, String)> = paths
        .iter()
        .map(|p| {
            let name = p.strip_prefix(&src).unwrap().to_str().unwrap();
            (name.replace('\\', "/"), std::fs::read_to_string(p).unwrap())
        })
        .collect();
    let files: Vec<(&str, &str)> = texts
        .iter()
        .map(|(p, t)| (p.as_str(), t.as_str()))
        .collect();
    let found: Vec<String> = Modules::of(&files).circles().iter().map(written).collect();
    assert!(found.is_empty(), "files that use each other: {found:#?}");
}

#[test]
fn circles_are_found_whatever_way_they_go() {
    let circles = |files: &[(&str, &str)]| -> Vec<String> {
        Modules::of(files).circles().iter().map(written).collect()
    };
    let room = (
        "a/mod.rs",
        "mod one;\nmod two;\npub use two::Two;\npub struct Shared;\n",
    );
    // By name, by a list, by a name that the room passes on, from a file further down.
    for back in [
        "use super::two::Two;",
        "use super::{Shared, two};",
        "use super::Two;",
        "use crate::a::two;",
        "fn f() { super::two::f() }",
    ] {
        let files = [
            room,
            ("a/one.rs", back),
            ("a/two.rs", "use super::one::One;"),
        ];
        assert_eq!(circles(&files), ["a: one, two"], "{back}");
    }
    let deep = [
        room,
        ("a/one/mod.rs", "mod three;"),
        ("a/one/three.rs", "use super::super::two::Two;"),
        ("a/two.rs", "use super::one::One;"),
    ];
    assert_eq!(circles(&deep), ["a: one, two"]);
    let rooms = [
        ("a.rs", "use crate::b::B;"),
        ("b/mod.rs", "mod inner;"),
        ("b/inner.rs", "use crate::a::A;"),
    ];
    assert_eq!(circles(&rooms), [": a, b"]);
    let tests = [
        ("a/one.rs", "use super::two::Two;"),
        ("a/two/mod.rs", "#[cfg(test)]\nmod tests;"),
        ("a/two/tests.rs", "use crate::a::one::One;"),
    ];
    assert_eq!(circles(&tests), [""; 0]);
    // What a room itself holds is shared; tests and comments use what they like.
    for harmless in [
        "use super::Shared;",
        "// use super::two::Two;",
        "#[cfg(test)]\nmod tests { use super::super::two::Two; }",
    ] {
        let files = [
            room,
            ("a/one.rs", harmless),
            ("a/two.rs", "use super::one::One;"),
        ];
        assert_eq!(circles(&files), [""; 0], "{harmless}");
    }
}
