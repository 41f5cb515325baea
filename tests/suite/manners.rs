//! What the program says on the terminal beside its results: help, manual, licences, what to do when
//! something is not there, and where the doubts of `check` stand.

use std::fs;

use crate::bless;
use crate::program::{SHEET, bench, program};

#[test]
fn help_completions_manual_and_licences_print() {
    let dir = bench();
    for (args, word) in [
        (&["--help"][..], "Exit status"),
        (&["build", "--help"], "--workshop"),
        (&["completions", "bash"], "layfigure"),
        (&["man"], "layfigure\\-build(1)"),
        (&["man", "build"], "restart"),
        (&["licences"], "SIL OPEN FONT LICENSE"),
        (&["licences"], "MIT License"),
        (&["licences"], "\nclap v"),
    ] {
        program(dir.path()).args(args).run().success().prints(word);
    }
}

/// What `new --workshop` writes is read as a room in which nothing is said, and is not written over.
#[test]
fn a_blank_workshop_file_is_written_and_read() {
    let dir = bench();
    let at = dir.path().join("room-blank.toml");
    program(dir.path())
        .args(["new", "--workshop", "room-blank.toml"])
        .run()
        .success()
        .says("--workshop room-blank.toml");
    let text = fs::read_to_string(&at).unwrap();
    let room = layfigure::workshop::read(&text, "room-blank.toml").unwrap();
    assert!(room.findings.is_empty());
    assert_eq!(room.layer, layfigure::workshop::Workshop::default().layer);
    program(dir.path())
        .args(["new", "--workshop", "--unit", "in"])
        .run()
        .success()
        .prints("#thickness = \"1/4\"\n");
    program(dir.path())
        .args(["new", "--workshop", "room-blank.toml", "--unit", "in"])
        .run()
        .code(2);
    assert_eq!(fs::read_to_string(&at).unwrap(), text);
}

/// Anyone who writes a file by hand finds its keys in README.
#[test]
fn readme_names_every_key_of_sheet_and_workshop() {
    let readme = include_str!("../../README.md");
    let room = layfigure::workshop::blank(layfigure::units::Unit::Mm);
    let keys = room
        .lines()
        .filter_map(|l| l.strip_prefix('#')?.split_once(" = "))
        .map(|(key, _)| key.trim());
    let mut all: Vec<&str> = keys.filter(|k| !k.contains(' ')).collect();
    let sheet = layfigure::measure::Measure::ALL
        .into_iter()
        .filter(|m| m.is_sheet_key());
    all.extend(sheet.map(|m| m.key().rsplit('.').next().unwrap()));
    assert!(all.len() > 90, "{}", all.len());
    for key in all {
        // `wedges`, `wedges = 12`, `4 to 6 of `count``: in backticks, alone or with a value.
        let said = [format!("`{key}`"), format!("`{key} = ")];
        assert!(said.iter().any(|s| readme.contains(s)), "{key}");
    }
}

/// The list of libraries is that of the lock file: anyone who changes the one is told of the other.
#[test]
fn the_libraries_whose_licences_are_printed_are_those_in_the_program() {
    let lock = include_str!("../../Cargo.lock");
    let listed = include_str!("../../src/cli/libraries.txt");
    assert!(listed.lines().count() > 100);
    for line in listed.lines() {
        let mut words = line.split(' ');
        let (name, version) = (words.next().unwrap(), words.next().unwrap());
        let version = version.strip_prefix('v').unwrap();
        let entry = format!("name = \"{name}\"\nversion = \"{version}\"\n");
        assert!(lock.contains(&entry), "{line} is not in Cargo.lock");
        assert!(words.next().is_some(), "{line} names no licence");
    }
}

/// Each is answered with exit code and whole message, as approved. A command that never writes does not
/// say that it did not.
#[test]
fn what_cannot_be_done_says_what_to_do() {
    let dir = bench();
    let bad = "unit = \"cm\"\nfigure = \"cat\"\n";
    fs::write(dir.path().join("bad.toml"), bad).unwrap();
    let mut all = String::new();
    for (args, code) in [
        (&["check", "nowhere.toml"][..], 2),
        (&["build", "sheet.toml", "--workshop", "nowhere.toml"], 2),
        (&["tape", "nowhere.stl"], 2),
        (&["profiles", "--profiles", "nowhere"], 2),
        (&["profiles", "women:92", "--export", "nowhere/a.toml"], 2),
        (&["build", "."], 2),
        (&["completions"], 2),
        (&["man", "knit"], 2),
        (&["check", "bad.toml"], 1),
        (&["build", "bad.toml"], 1),
    ] {
        let run = program(dir.path()).args(args).run().code(code);
        let said = run.stderr();
        let error = said.find("error: ").expect("it says that it is an error");
        all.push_str(&format!(
            "$ layfigure {}\n{}\n",
            args.join(" "),
            &said[error..]
        ));
    }
    bless::same("requests.txt", &all);
}

/// The doubts come first and run off the screen: the last line says that they are there.
#[test]
fn the_last_line_of_check_says_what_to_look_at_again() {
    let dir = bench();
    let odd = SHEET.replace("bust  = 96.0", "bust = 78");
    assert_ne!(odd, SHEET);
    fs::write(dir.path().join("odd.toml"), odd).unwrap();
    let last = |args: &[&str]| {
        let out = program(dir.path())
            .arg("check")
            .args(args)
            .run()
            .output()
            .clone();
        let text = String::from_utf8(out.stdout).unwrap();
        let stderr = String::from_utf8(out.stderr).unwrap();
        // The last paragraph, which is broken into lines.
        let last = text.trim_end().rsplit("\n\n").next().unwrap();
        (
            last.split_whitespace().collect::<Vec<_>>().join(" "),
            stderr,
        )
    };
    let (line, _) = last(&["odd.toml"]);
    assert!(line.contains("`girth.bust`"), "{line}");
    let (quiet, _) = last(&["odd.toml", "--quiet"]);
    assert_ne!(quiet, line, "nothing stands above");
    // Beside others a note that points at no line says whose it is.
    let (_, said) = last(&["odd.toml", "sheet.toml"]);
    for name in ["odd.toml", "sheet.toml"] {
        let note = format!("note: {name}: how the body holds itself was not measured");
        assert_eq!(said.matches(&note).count(), 1, "{note}\n{said}");
    }
}

/// One screen, read from the bottom up: a terminal of 24 lines shows all of a short sheet but what its
/// warnings take. Nothing is lost: the long form has a line for every reading, and says how the next
/// are taken.
#[test]
fn check_is_one_screen_and_all_of_it_is_longer() {
    let dir = bench();
    let few = "name = \"few\"\nunit = \"in\"\nfigure = \"woman\"\n[girth]\nbust = \"38 1/4\"\n\
               waist = \"31 1/2\"\nhip = 41\n[length]\nback_waist = \"16 1/8\"\n";
    fs::write(dir.path().join("few.toml"), few).unwrap();
    let said = |args: &[&str]| {
        let out = program(dir.path())
            .arg("check")
            .args(args)
            .run()
            .success()
            .output()
            .clone();
        (
            String::from_utf8(out.stdout).unwrap(),
            String::from_utf8(out.stderr).unwrap(),
        )
    };
    for (file, screen) in [("few.toml", 24), ("sheet.toml", 40)] {
        let (short, note) = said(&[file]);
        let lines: Vec<&str> = short.lines().collect();
        assert!(lines.len() <= screen, "{file}: {} lines", lines.len());
        assert!(note.lines().count() <= 4, "{note}");
        for line in lines.iter().copied().chain(note.lines()) {
            assert!(line.chars().count() <= 80, "{line}");
        }

        let (long, findings) = said(&[file, "--all"]);
        assert!(long.lines().count() > lines.len());
        assert!(findings.lines().count() > note.lines().count());
        let (json, _) = said(&[file, "--json"]);
        let json: serde_json::Value = serde_json::from_str(&json).unwrap();
        // The verdict and what to measure next stand last.
        let tail = lines[lines.len() - 6..].concat();
        let name = json["name"].as_str().unwrap();
        assert!(tail.contains(&format!("{name}: ")), "{tail}");
        let next = json["next"][0]["key"].as_str().unwrap();
        assert!(tail.contains(&format!("`{next}`")), "{tail}");
        for m in json["measures"].as_array().unwrap() {
            let name = m["key"].as_str().unwrap().split_once('.').unwrap().1;
            let words = name.replace('_', " ");
            assert!(long.contains(&words), "{words} is missing: {long}");
        }
    }
    // Numbers stand level by level: the waist's breadth and depth in one line.
    let (short, _) = said(&["few.toml"]);
    let waist = short.lines().find(|l| l.starts_with("  waist  ")).unwrap();
    assert_eq!(waist.matches('±').count(), 3, "{waist}");
}
