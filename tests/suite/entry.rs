//! `new`: a sheet asked for line by line, in a pipe and on a terminal of its own.

use std::fs;
use std::path::Path;

use layfigure::measure::Measure;
use layfigure::sheet;
use layfigure::sheet::Sheet;

use crate::bless;
use crate::program::{self, program};

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

fn kept(folder: &Path, name: &str) -> Sheet {
    let text = fs::read_to_string(folder.join(name)).unwrap();
    sheet::read(&text, name).unwrap_or_else(|e| panic!("{e:?}\n{text}"))
}

/// Types `lines` and checks how the program ended. The conversation as it stands on the screen, what is
/// typed included, is the approved one of this name, in lines of 80 columns.
fn typed(name: &str, folder: &Path, args: &[&str], lines: &[&str], code: i32) {
    let out = program(folder)
        .arg("new")
        .args(args)
        .typed(lines.join("\n") + "\n")
        .run()
        .code(code)
        .output()
        .clone();
    assert!(!text(&out.stderr).contains("panicked"));
    let said = text(&out.stdout);
    for line in said.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
    bless::same(&format!("new/{name}.txt"), &said);
}

#[test]
fn a_sheet_is_asked_for_line_by_line() {
    let dir = tempfile::tempdir().unwrap();
    typed(
        "line-by-line",
        dir.path(),
        &[],
        &[
            "Alto, act 2", // the name
            "woman",
            "cm",
            "",           // which waist
            "bra",        // worn
            "2026-03-14", // when
            "few",
            "36,4",               // neck: a decimal comma
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
    let sheet = kept(dir.path(), "Alto-act-2.toml");
    assert_eq!(sheet.name, "Alto, act 2");
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
    let text = fs::read_to_string(dir.path().join("Alto-act-2.toml")).unwrap();
    assert!(text.contains("# read 96 and 98 and 97.4"), "{text}");
}

#[test]
fn what_is_odd_is_asked_about_and_what_cannot_be_is_not_kept() {
    let dir = tempfile::tempdir().unwrap();
    typed(
        "odd-readings",
        dir.path(),
        &["a.toml", "--figure", "woman", "--unit", "cm"],
        &[
            "", "", "", "few", // waist, bra, date
            "36.4", "", // neck
            "96", "", // bust
            "97", "yes", "no", "", // underbust above the bust: yes and no say nothing
            "82.9", "", // the right number
            "76.8", "79.5", "77.2", // three readings, two of them far apart
            "done",
        ],
        1,
    );
    // It goes on where it stopped.
    typed(
        "odd-readings-gone-on",
        dir.path(),
        &["a.toml"],
        &["few", "101.9", "", "37.9", "", "", ""],
        0,
    );
    let sheet = kept(dir.path(), "a.toml");
    assert!((sheet.value(Measure::GirthWaist).unwrap() - 772.0).abs() < 1e-6);
}

/// The words that the first line of the screen promises hold at every prompt, the first included.
#[test]
fn back_help_list_and_done_are_understood_at_every_prompt() {
    let dir = tempfile::tempdir().unwrap();
    typed(
        "back-help-list-done",
        dir.path(),
        &[],
        &[
            "help",
            "list",
            "back",
            "go 3",
            "Alto", // the name
            "back",
            "Alto, act 2", // once more
            "help",
            "list",
            "woman",
            "back",
            "", // the figure, which is kept
            "help",
            "list",
            "inches", // the unit
            "help",
            "na",
            "navel", // the waist
            "help",
            "nonsense",
            "bi", // worn: a binder
            "help",
            "today",
            "3/4/2026",
            "14 March 2026", // the date
            "help",
            "list",
            "back",
            "",
            "few", // how much
            "back",
            "few", // from the first measurement back to how much
            "help",
            "list",
            "13 1/4",
            "list",
            "help",
            "13 1/8", // neck
            "33",
            "", // bust
            "34 1/2",
            "help",
            "list",
            "33 cm",
            "34 1/2",
            "k", // underbust
            "40 1/8",
            "k", // waist: beside a bust that was kept
            "40",
            "back",
            "done", // hip: the second reading goes back to the first
        ],
        1,
    );
    let text = fs::read_to_string(dir.path().join("Alto-act-2.toml")).unwrap();
    let (_, text) = text.split_once("\n\n").unwrap();
    assert_eq!(
        text,
        "name = \"Alto, act 2\"\nfigure = \"woman\"\nunit = \"in\"\nwaist = \"navel\"\n\
         worn = \"binder\"\ntaken = 2026-03-14\n\n[girth]\n\
         neck = { value = 13.1875, within = 0.0625 }  # read 13 1/4 and 13 1/8\n\
         bust = 33\nunderbust = \"34 1/2 in\"\nwaist = \"40 1/8 in\"\n"
    );
    let files: Vec<_> = fs::read_dir(dir.path()).unwrap().collect();
    assert_eq!(
        files.len(),
        1,
        "a name that was changed at once leaves no file behind"
    );
}

#[test]
fn the_words_of_the_shape_are_numbered_and_explained() {
    let dir = tempfile::tempdir().unwrap();
    typed(
        "words-of-the-shape",
        dir.path(),
        &["c.toml", "--figure", "child", "--unit", "cm"],
        &[
            "", "", "", "usual", // waist, worn, date
            "go 18", "help", "squ", // shoulders
            "list", "e", // back
            "go 21", "pregnant", "fu", // abdomen
            "back", "none", "back", "done",
        ],
        1,
    );
    let text = fs::read_to_string(dir.path().join("c.toml")).unwrap();
    assert!(
        text.ends_with("[shape]\nshoulders = \"square\"\nback = \"erect\"\n"),
        "{text}"
    );
}

#[test]
fn a_girth_of_another_body_cannot_be() {
    let dir = tempfile::tempdir().unwrap();
    typed(
        "another-body",
        dir.path(),
        &["h.toml", "--figure", "woman", "--unit", "in"],
        &[
            "", "", "", "few", "go 2", "36", "", "", "28", "", "109", "38", "", "done",
        ],
        1,
    );
    let text = fs::read_to_string(dir.path().join("h.toml")).unwrap();
    assert!(text.ends_with("waist = 28\nhip = 38\n"), "{text}");
}

/// Readings of two things, other units, a comma, names for numbers: what a hurried person types.
#[test]
fn slips_of_a_hurried_person_are_caught_or_understood() {
    let dir = tempfile::tempdir().unwrap();
    typed(
        "slips",
        dir.path(),
        &["s.toml", "--figure", "woman", "--unit", "in"],
        &[
            "",
            "",
            "",
            "few", // waist, bra, date, how much
            "14 1/2",
            "40 1/2",
            "",
            "14 1/4", // neck: the second is the hip
            "38,5",
            "", // bust
            "97",
            "31",
            "", // underbust: centimetres are no swap
            "go b",
            "go x",
            "go st",
            "5 ft 5 1/2",
            "", // stature
            "go hip",
            "40 1/2 and 14",
            "done", // hip, and broken off
        ],
        1,
    );
    let text = fs::read_to_string(dir.path().join("s.toml")).unwrap();
    assert!(
        text.ends_with(
            "[girth]\n\
             neck = { value = 14.5, within = 0.25 }  # read 14 1/2 and 40 1/2 and 14 1/4\n\
             bust = 38.5\nunderbust = 31\n\
             hip = { value = 27.25, within = 13.25 }  # read 40 1/2 and 14\n\n\
             [height]\nstature = \"65 1/2 in\"\n"
        ),
        "{text}"
    );
}

#[test]
fn a_unit_cannot_change_below_readings_that_are_kept() {
    let dir = tempfile::tempdir().unwrap();
    typed(
        "kept-unit",
        dir.path(),
        &["u.toml", "--figure", "man", "--unit", "cm"],
        &[
            "", "", "", "few", "40", "", // waist, worn, date, how much, neck
            "back", "back", "back", "back", "back", "back", "in", "done", // to the unit
        ],
        1,
    );
    let text = fs::read_to_string(dir.path().join("u.toml")).unwrap();
    assert!(
        text.contains("unit = \"cm\"") && text.contains("neck = 40"),
        "{text}"
    );
}

#[test]
fn sides_slopes_inches_and_words_are_understood() {
    let dir = tempfile::tempdir().unwrap();
    typed(
        "sides-and-slopes",
        dir.path(),
        &["b.toml", "--figure", "man", "--unit", "in"],
        &[
            "",
            "",
            "",
            "usual", // waist, worn, date
            "go 99",
            "help",
            "list",
            "go 3", // chest
            "41 3/4 and 42",
            "go 10", // shoulder length
            "left 6 1/8 right 6",
            "",
            "22",
            "23", // and its slope
            "done",
        ],
        1,
    );
    let text = fs::read_to_string(dir.path().join("b.toml")).unwrap();
    for line in [
        "bust = { value = 41.875, within = 0.125 }  # read 41 3/4 and 42",
        "shoulder = { left = \"6 1/8 in\", right = 6 }",
        "shoulder = { value = 22.5, within = 0.5 }  # read 22 and 23",
    ] {
        assert!(text.contains(line), "{line} in\n{text}");
    }
    // An option does not change what a sheet says, and the program says so.
    typed(
        "sides-and-slopes-gone-on",
        dir.path(),
        &["b.toml", "--unit", "cm"],
        &["done"],
        1,
    );
}

/// A small bare number for a slope may be the drop, and who looks at another answer keeps a doubted one.
#[test]
fn what_a_small_slope_means_is_asked_and_go_keeps_what_is_doubted() {
    let dir = tempfile::tempdir().unwrap();
    typed(
        "small-slope",
        dir.path(),
        &["c", "--figure", "man", "--unit", "in"],
        &[
            "", "", "", "usual", // waist, worn, date
            "go 11", "2", "perhaps", "in", "", // 2 in of drop, read once
            "go 4", "48", "",
            "go 3", // an underbust, and a chest to wonder about, which is kept
            "41", "go 5", "done",
        ],
        1,
    );
    let text = fs::read_to_string(dir.path().join("c.toml")).unwrap();
    for line in ["shoulder = \"2 in\"", "underbust = 48", "bust = 41"] {
        assert!(text.contains(line), "{line} in\n{text}");
    }
}

/// A letter from another keyboard is no reason to lose the conversation.
#[test]
fn what_is_typed_in_no_utf_8_is_asked_for_again() {
    let dir = tempfile::tempdir().unwrap();
    program(dir.path())
        .args(["new", "alto.toml"])
        .typed(&b"wom\xe9n\nwoman\ncm\ndone\n"[..])
        .run()
        .code(1)
        .prints("Some of these letters are not text in UTF-8. Please type it again.");
    let text = fs::read_to_string(dir.path().join("alto.toml")).unwrap();
    assert!(
        text.contains("figure = \"woman\"") && text.contains("unit = \"cm\""),
        "{text}"
    );
}

/// On a terminal: the line editor's keys, and Ctrl-C that loses nothing.
#[cfg(unix)]
#[test]
fn on_a_terminal_nothing_is_lost_when_it_is_broken_off() {
    use rexpect::session::spawn_command;
    let dir = tempfile::tempdir().unwrap();
    let begin = || {
        let mut command = std::process::Command::new(program::BINARY);
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
        ("bra, binder", "bra"),
        ("date and who", ""),
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
    p.exp_string("date and who").unwrap();
    p.exp_string("> ").unwrap();
    p.send_line("").unwrap();
    p.exp_string("few, usual or all").unwrap();
    p.exp_string("> ").unwrap();
    p.send_line("few").unwrap();
    p.exp_string("[3 of 7] underbust girth").unwrap();
    // Whatever was refused or doubted, the line is empty when it is asked for again.
    for (line, then) in [
        ("tight", "does not begin with a number"),
        ("81 82", "more than one number"),
        ("1,016", "use a point"),
        ("810", "This cannot be"),
        ("130", "k keeps 130 cm"),
        ("81", "once more"),
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
    p.exp_string("Kept last: underbust girth: 81. `back` changes it.")
        .unwrap();
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
