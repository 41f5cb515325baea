//! `new --workshop`: a room asked for line by line, in a pipe and on a terminal of its own.

use std::fs;

use layfigure::workshop;

use crate::bless;
use crate::program::{self, SHEET, program};

#[test]
fn a_room_is_asked_for_and_a_form_is_built_in_it() {
    let dir = tempfile::tempdir().unwrap();
    let typed = [
        "mm",
        "help",
        "foam sheet",
        "list",
        "6.4", // ten sheets of 0.64 mm?
        "",
        "one 25",
        "1200 x 2400",
        "saw 3 in",
        "lasser",
        "laser",
        "foolscap",
        "A1",
        "300 and 332",
        "0.2",
        "25",
    ];
    let run = program(dir.path())
        .args(["new", "--workshop", "room"])
        .typed(typed.join("\n") + "\n")
        .run()
        .code(0);
    let said = run.stdout();
    for line in said.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
    bless::same("new/workshop.txt", &said);
    let text = fs::read_to_string(dir.path().join("room.toml")).unwrap();
    let room = workshop::read(&text, "room.toml").unwrap();
    assert!((room.layer.thickness - 25.0).abs() < 1e-9);
    assert_eq!(room.pole, Some(25.0));
    assert_eq!(room.paper.name, "A1");
    fs::write(dir.path().join("sheet.toml"), SHEET).unwrap();
    program(dir.path())
        .args(["build", "sheet.toml", "--workshop", "room.toml"])
        .run()
        .success()
        .prints("layers of foam sheet");

    // Gone on with: what stands is kept, and a blank file is what nobody gets who answers.
    let run = program(dir.path())
        .args(["new", "--workshop", "room.toml", "--unit", "in"])
        .typed("\none 20\ndone\n")
        .run()
        .code(0)
        .prints("room.toml says mm, and that stays");
    assert!(run.stdout().contains("(Enter: one 25, kept)"));
    let text = fs::read_to_string(dir.path().join("room.toml")).unwrap();
    assert!(
        text.contains("thickness = 20\n") && text.contains("size = \"A1\""),
        "{text}"
    );
    // A file that is none is refused as `build` refuses it, and stays.
    fs::write(dir.path().join("no.toml"), "[layer]\nthickness = 0\n").unwrap();
    program(dir.path())
        .args(["new", "--workshop", "no.toml"])
        .typed("\n")
        .run()
        .code(1)
        .says("layer.thickness");
}

/// On a terminal: without a file the room is named, and Ctrl-C keeps what was answered.
#[test]
fn on_a_terminal_a_room_is_kept_when_it_is_broken_off() {
    use rexpect::session::spawn_command;
    let dir = tempfile::tempdir().unwrap();
    let mut command = std::process::Command::new(program::BINARY);
    command
        .current_dir(dir.path())
        .env("TERM", "xterm")
        .env("NO_COLOR", "1")
        .args(["new", "--workshop", "--unit", "in"]);
    let mut p = spawn_command(command, Some(60_000)).unwrap();
    for (prompt, line) in [
        ("Enter: workshop.toml", ""),
        ("material", "PVC board"),
        ("height of ten", "2 1/2"),
        ("two sides", "back"),
        ("2 1/2, kept", ""),
        ("two sides", "96 x 48"),
        ("laser or router", "laser"),
        ("go back to the material", ""),
        ("paper, as", ""),
    ] {
        p.exp_string(prompt).unwrap();
        p.exp_string("> ").unwrap();
        p.send_line(line).unwrap();
    }
    p.exp_string("two readings, in").unwrap();
    p.send("0.2").unwrap();
    p.flush().unwrap();
    p.send_control('c').unwrap();
    p.exp_string("workshop.toml is a workshop file").unwrap();
    p.exp_eof().unwrap();
    let text = fs::read_to_string(dir.path().join("workshop.toml")).unwrap();
    let (_, text) = text.split_once("\n\n").unwrap();
    assert_eq!(
        text,
        "unit = \"in\"\n\n[layer]\nmaterial = \"PVC board\"\nten_stacked = \"2 1/2\"\n\n[stock]\nwidth = 96\n\
         length = 48\n"
    );
}
