//! `new`: a sheet asked for line by line, in a pipe and on a terminal of its own.

use std::fs;
use std::path::Path;

use layfigure::drawing::{Anchor, Item, Pen};
use layfigure::face;
use layfigure::geom::Point2;
use layfigure::measure::Measure;
use layfigure::report;
use layfigure::report::blank;
use layfigure::sheet;
use layfigure::sheet::entry;
use layfigure::sheet::entry::Depth;
use layfigure::sheet::{Figure, Sheet};
use layfigure::units::Unit;
use layfigure::workshop::Workshop;

use crate::commands::program;

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

fn kept(folder: &Path, name: &str) -> Sheet {
    let text = fs::read_to_string(folder.join(name)).unwrap();
    sheet::read(&text, name).unwrap_or_else(|e| panic!("{e:?}\n{text}"))
}

/// Types `lines` and gives what was printed, after checking how the program ended.
fn typed(folder: &Path, args: &[&str], lines: &[&str], code: i32) -> String {
    let out = program(folder)
        .arg("new")
        .args(args)
        .write_stdin(lines.join("\n") + "\n")
        .assert()
        .code(code)
        .get_output()
        .clone();
    assert!(!text(&out.stderr).contains("panicked"));
    text(&out.stdout)
}

#[test]
fn a_sheet_is_asked_for_line_by_line() {
    let dir = tempfile::tempdir().unwrap();
    let said = typed(
        dir.path(),
        &[],
        &[
            "Anna, act 2", // the name
            "woman",
            "cm",
            "",           // which waist
            "",           // in a bra
            "2026-03-14", // when
            "few",
            "36,4", // neck: a decimal comma
            "36.4",
            "",                   // once is enough
            "96 and 98 and 97.4", // bust: three readings
            "829",                // underbust in millimetres
            "82.9",
            "82.5", // and once more
            "skip", // waist: not yet
            "back", // yes, now
            "76.8 and 76.8",
            "40 1/8 in", // hip
            "",
            "37.9", // back waist length
            "",
            "", // stature: left out
            "", // nothing more
        ],
        0,
    );
    for words in [
        "[1 of 7] neck girth",
        "use a point: \"36.4\"",
        "alone before a mirror",
        "a helper is needed",
        "This cannot be",
        "The shape is known to ±",
        "Anna-act-2.toml holds 6 measurements",
        "layfigure check Anna-act-2.toml",
    ] {
        assert!(said.contains(words), "{words} in\n{said}");
    }
    for line in said.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
    let sheet = kept(dir.path(), "Anna-act-2.toml");
    assert_eq!(sheet.name, "Anna, act 2");
    let given = |m| {
        let g = sheet.given.iter().find(|g| g.measure == m).unwrap();
        (g.value, g.within)
    };
    let near = |a: f64, b: f64| (a - b).abs() < 1e-6;
    let (bust, within) = given(Measure::GirthBust);
    assert!(
        near(bust, 974.0) && near(within.unwrap(), 6.0),
        "{bust} {within:?}"
    );
    let (under, within) = given(Measure::GirthUnderbust);
    assert!(
        near(under, 827.0) && near(within.unwrap(), 2.0),
        "{under} {within:?}"
    );
    assert_eq!(given(Measure::GirthWaist).1, None);
    assert!(near(given(Measure::GirthHip).0, 40.125 * 25.4));
    let text = fs::read_to_string(dir.path().join("Anna-act-2.toml")).unwrap();
    assert!(text.contains("# read 96 and 98 and 97.4"), "{text}");
}

#[test]
fn what_is_odd_is_asked_about_and_what_cannot_be_is_not_kept() {
    let dir = tempfile::tempdir().unwrap();
    let said = typed(
        dir.path(),
        &["a.toml", "--figure", "woman", "--unit", "cm"],
        &[
            "", "", "", "few", // waist, bra, date
            "36.4", "", // neck
            "96", "", // bust
            "97", "no", // underbust above the bust: typed again
            "82.9", "", // ...
            "76.8", "79.5", "77.2", // three readings, two of them far apart
            "done",
        ],
        1,
    );
    assert!(said.contains("Is that right?"), "{said}");
    assert!(said.contains("are 2.7 cm apart"), "{said}");
    assert!(said.contains("a.toml is not finished: it lacks hip girth, back waist length"));
    // It goes on where it stopped.
    let said = typed(
        dir.path(),
        &["a.toml"],
        &["few", "101.9", "", "37.9", "", "", ""],
        0,
    );
    assert!(
        said.contains("Going on with a.toml: 4 measurements in it"),
        "{said}"
    );
    assert!(
        !said.contains("[1 of 7]") && said.contains("[5 of 7] hip girth"),
        "{said}"
    );
    let sheet = kept(dir.path(), "a.toml");
    assert!((sheet.value(Measure::GirthWaist).unwrap() - 772.0).abs() < 1e-6);
}

#[test]
fn sides_slopes_inches_and_words_are_understood() {
    let dir = tempfile::tempdir().unwrap();
    typed(
        dir.path(),
        &["b.toml", "--figure", "man", "--unit", "in"],
        &[
            "",
            "",
            "usual", // waist, date
            "go 99",
            "help",
            "list",
            "go 3", // chest
            "41 3/4 and 42",
            "go 10", // shoulder length
            "left 6 1/8 right 6",
            "",
            "22",
            "", // and its slope
            "done",
        ],
        1,
    );
    let text = fs::read_to_string(dir.path().join("b.toml")).unwrap();
    for line in [
        "bust = { value = 41.875, within = 0.125 }  # read 41 3/4 and 42",
        "shoulder = { left = \"6 1/8 in\", right = 6 }",
        "shoulder = 22",
    ] {
        assert!(text.contains(line), "{line} in\n{text}");
    }
}

#[test]
fn a_blank_is_printed_or_kept_but_never_over_something() {
    let dir = tempfile::tempdir().unwrap();
    let out = program(dir.path())
        .args(["new", "--blank", "--unit", "in", "--figure", "child"])
        .assert()
        .success()
        .get_output()
        .clone();
    let blank = text(&out.stdout);
    assert!(blank.contains("unit   = \"in\"") && blank.contains("figure = \"child\""));
    program(dir.path())
        .args(["new", "--blank", "c.toml"])
        .assert()
        .success();
    assert_eq!(
        fs::read_to_string(dir.path().join("c.toml")).unwrap(),
        sheet::TEMPLATE
    );
    fs::write(dir.path().join("c.toml"), "mine").unwrap();
    program(dir.path())
        .args(["new", "--blank", "c.toml"])
        .assert()
        .code(2)
        .stderr(predicates::str::contains("is there already"));
    assert_eq!(
        fs::read_to_string(dir.path().join("c.toml")).unwrap(),
        "mine"
    );
    // What is no sheet is refused with its reason, and stays.
    program(dir.path())
        .args(["new", "c.toml"])
        .write_stdin("")
        .assert()
        .code(1);
    assert_eq!(
        fs::read_to_string(dir.path().join("c.toml")).unwrap(),
        "mine"
    );
}

/// On a terminal: the line editor's keys, and Ctrl-C that loses nothing.
#[cfg(unix)]
#[test]
fn on_a_terminal_nothing_is_lost_when_it_is_broken_off() {
    use rexpect::session::spawn_command;
    let dir = tempfile::tempdir().unwrap();
    let begin = || {
        let mut command = std::process::Command::new(assert_cmd::cargo::cargo_bin("layfigure"));
        command
            .current_dir(dir.path())
            .env("TERM", "xterm")
            .env("NO_COLOR", "1")
            .args(["new", "d.toml", "--figure", "woman", "--unit", "cm"]);
        spawn_command(command, Some(60_000)).unwrap()
    };
    let mut p = begin();
    for (prompt, line) in [
        ("natural, iso or navel", "na\t"),
        ("yes or no", ""),
        ("date as", ""),
        ("few, usual or all", "few"),
        ("neck girth, cm", "36.4"),
        ("once more", ""),
        // A slip, mended with the backspace key.
        ("bust girth, cm", "969\u{7f}\u{7f}6"),
        ("once more", "96.4"),
    ] {
        p.exp_string(prompt).unwrap();
        p.exp_string("> ").unwrap();
        p.send_line(line).unwrap();
    }
    p.exp_string("underbust girth, cm").unwrap();
    p.send("82").unwrap();
    p.flush().unwrap();
    p.send_control('c').unwrap();
    p.exp_string("is not finished").unwrap();
    p.exp_eof().unwrap();
    let text = fs::read_to_string(dir.path().join("d.toml")).unwrap();
    assert!(text.contains("waist = \"natural\""), "{text}");
    assert!(text.contains("neck = 36.4"), "{text}");
    assert!(
        text.contains("bust = { value = 96.2, within = 0.2 }"),
        "{text}"
    );
    assert!(!text.contains("underbust"), "{text}");

    let mut p = begin();
    p.exp_string("Going on with d.toml: 2 measurements")
        .unwrap();
    p.exp_string("few, usual or all").unwrap();
    p.send_line("back").unwrap();
    p.exp_string("top of the sheet").unwrap();
    p.send_line("few").unwrap();
    p.exp_string("[3 of 7] underbust girth").unwrap();
    // What is no reading does not stand in the line again.
    for (line, then) in [
        ("tight", "does not begin with a number"),
        ("81 82", "more than one number"),
        ("\u{15}81", "once more"),
    ] {
        p.send_line(line).unwrap();
        p.exp_string(then).unwrap();
        p.exp_string("> ").unwrap();
    }
    // Broken off before the second reading: the first is kept, and nothing more is asked.
    p.send_control('c').unwrap();
    p.exp_string("is not finished").unwrap();
    p.exp_eof().unwrap();
    let text = fs::read_to_string(dir.path().join("d.toml")).unwrap();
    assert!(text.contains("underbust = 81"), "{text}");

    let mut p = begin();
    p.exp_string("Going on with d.toml: 3 measurements")
        .unwrap();
    p.exp_string("few, usual or all").unwrap();
    p.send_line("few").unwrap();
    p.exp_string("[4 of 7] waist girth").unwrap();
    p.send_line("back").unwrap();
    p.exp_string("Kept: 81").unwrap();
    p.exp_string("underbust girth, cm").unwrap();
    p.send_line("back").unwrap();
    // The reader of the terminal takes bytes one by one: no sign beyond ASCII is looked for.
    p.exp_string("Kept: 96.2").unwrap();
    p.send_control('d').unwrap();
    p.exp_string("is not finished").unwrap();
    p.exp_eof().unwrap();
}

#[test]
fn the_blank_on_paper_has_every_measurement_with_its_drawing_on_two_pages() {
    for figure in [Figure::Woman, Figure::Man, Figure::Child] {
        let read = sheet::read(sheet::example(figure), "example").unwrap();
        let body = report::check(read, &Workshop::default(), None).unwrap();
        for unit in Unit::ALL {
            let pages = blank::pages(figure, unit, &body.mesh).unwrap();
            assert!(pages.len() <= 2, "{figure:?} {unit:?}: {}", pages.len());
            let items: Vec<&Item> = pages
                .iter()
                .flat_map(|p| &p.groups)
                .flat_map(|g| &g.items)
                .collect();
            // Words keep off the edge that printers leave blank, and off the boxes.
            for page in &pages {
                for item in page.groups.iter().flat_map(|g| &g.items) {
                    let (low, high) = match item {
                        Item::Path { points, .. } => points.iter().fold(
                            (Point2::new(1e9, 1e9), Point2::new(-1e9, -1e9)),
                            |(l, h), p| {
                                (
                                    Point2::new(l.x.min(p.x), l.y.min(p.y)),
                                    Point2::new(h.x.max(p.x), h.y.max(p.y)),
                                )
                            },
                        ),
                        Item::Circle { centre, .. } => (*centre, *centre),
                        Item::Text {
                            at,
                            size,
                            anchor,
                            words,
                            ..
                        } => {
                            let wide = face::text_width(words, *size).unwrap();
                            let left = at.x - if *anchor == Anchor::End { wide } else { 0.0 };
                            (
                                Point2::new(left, at.y),
                                Point2::new(left + wide, at.y + size),
                            )
                        }
                    };
                    assert!(low.x >= 7.0 && low.y >= 7.0, "{item:?}");
                    assert!(
                        high.x <= page.width - 7.0 && high.y <= page.height - 7.0,
                        "{item:?}"
                    );
                }
            }
            let words: Vec<&str> = items
                .iter()
                .filter_map(|i| match i {
                    Item::Text { words, .. } => Some(words.as_str()),
                    _ => None,
                })
                .collect();
            let asked = entry::asked(figure, Depth::Usual);
            for (i, (_, m)) in asked.iter().enumerate() {
                let line = format!("{}  {}", i + 1, entry::name(*m, figure));
                assert!(words.contains(&line.as_str()), "{line}");
            }
            // A drawing is an outline of many points; a band of tape lies on each.
            let outlines = items.iter().filter(
                |i| matches!(i, Item::Path { pen: Pen::Mark, points, .. } if points.len() > 100),
            );
            assert_eq!(outlines.count(), asked.len(), "{figure:?}");
            let tapes = items
                .iter()
                .filter(|i| matches!(i, Item::Path { pen: Pen::Cut, .. }));
            assert!(tapes.count() >= asked.len(), "{figure:?}");
        }
    }
    let dir = tempfile::tempdir().unwrap();
    program(dir.path())
        .args(["new", "--print", "blank.pdf", "--unit", "in"])
        .assert()
        .success()
        .stdout("");
    let pdf = lopdf::Document::load(dir.path().join("blank.pdf")).unwrap();
    assert_eq!(pdf.get_pages().len(), 2);
    for args in [
        &["new", "--print", "blank.pdf"][..],
        &["new", "--print", "x.pdf", "--blank"],
    ] {
        program(dir.path()).args(args).assert().code(2);
    }
}
