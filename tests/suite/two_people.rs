//! Two people who measure one body: who and when, and their sheets as one.

use std::fs;

use crate::bless;
use crate::program::{SHEET, bench, program};

#[test]
fn two_sheets_of_one_body_become_one() {
    let dir = bench();
    let at = |name: &str| dir.path().join(name);
    let first = SHEET.replace("unit ", "taken_by = \"Ada\"\ntaken = 2026-03-14\nunit ");
    let second = first
        .replace("Ada", "Ben")
        .replace("96.0", "96.6")
        .replace("101.9", "104.9");
    assert_ne!(first, second);
    fs::write(at("ada.toml"), &first).unwrap();
    fs::write(at("ben.toml"), &second).unwrap();
    let run = program(dir.path())
        .args(["new", "both", "--merge", "ada.toml", "ben.toml"])
        .run()
        .code(0)
        .prints("both.toml holds 5 measurements, 5 of them read by both.")
        .says("hip girth: 101.9 cm (Ada) and 104.9 cm (Ben) are 3.0 cm apart")
        .says("take it once more together");
    assert!(!run.stderr().contains("bust"), "{}", run.stderr());
    let text = fs::read_to_string(at("both.toml")).unwrap();
    let sheet = layfigure::sheet::read(&text, "both.toml").unwrap();
    assert_eq!(sheet.taken_by.as_deref(), Some("Ada and Ben"));
    let bust = sheet
        .given
        .iter()
        .find(|g| g.measure == layfigure::measure::Measure::GirthBust);
    let bust = bust.unwrap();
    assert!((bust.value - 963.0).abs() < 1e-6 && (bust.within.unwrap() - 3.0).abs() < 1e-6);
    // Nothing is written over, and other bodies are not merged.
    program(dir.path())
        .args(["new", "both", "--merge", "ada.toml", "ben.toml"])
        .run()
        .code(2);
    fs::write(at("man.toml"), second.replace("woman", "man")).unwrap();
    program(dir.path())
        .args(["new", "third", "--merge", "ada.toml", "man.toml"])
        .run()
        .code(1)
        .says("the first sheet takes its averages from women, and the second from men");
    assert!(!at("third.toml").exists());
    program(dir.path())
        .args([
            "build",
            "both.toml",
            "--workshop",
            "room.toml",
            "-o",
            "form",
        ])
        .run();
    let guide = fs::read_to_string(at("form/guide.html")).unwrap();
    assert!(guide.contains("measured on 2026-03-14 by Ada and Ben"));
}

#[test]
fn new_asks_when_and_by_whom_in_one_line() {
    let dir = tempfile::tempdir().unwrap();
    let run = program(dir.path())
        .args(["new", "a.toml", "--figure", "man", "--unit", "cm"])
        .typed("\n\n14 March 2026 by Ada\nback\nby Ben\nback\n\nlist\ndone\n")
        .run()
        .code(1);
    bless::same("new/two-people.txt", &run.stdout());
    let text = fs::read_to_string(dir.path().join("a.toml")).unwrap();
    assert!(
        text.contains("taken = 2026-03-14\ntaken_by = \"Ben\"\n"),
        "{text}"
    );
}

/// Going back from an odd second reading leaves the first.
#[test]
fn back_from_a_second_reading_keeps_the_first() {
    let dir = tempfile::tempdir().unwrap();
    program(dir.path())
        .args(["new", "a.toml", "--figure", "man", "--unit", "cm"])
        .typed("\n\n\nfew\n38\n48\nback\n\n102\n140\nback\n101\n\ndone\n")
        .run()
        .code(1);
    let text = fs::read_to_string(dir.path().join("a.toml")).unwrap();
    assert!(text.contains("neck = 38\n"), "{text}");
    assert!(
        text.contains("bust = { value = 101.5, within = 0.5 }  # read 102 and 101\n"),
        "{text}"
    );
}
