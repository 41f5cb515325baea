//! Ctrl-C: answered while the program works, writes and asks; nothing is lost and one form stands.
#![cfg(unix)]

use std::fs;
use std::io::Write;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use crate::folders::{command, hidden, run, stderr, two_bodies, whole};
use crate::program::{self, files};

/// Ctrl-C, while it works and while it writes: said, 130, and one form.
#[test]
fn ctrl_c_is_answered_and_leaves_one_form() {
    let dir = two_bodies();
    let stop = |child: &Child| {
        let id = child.id().to_string();
        assert!(
            Command::new("kill")
                .args(["-INT", &id])
                .status()
                .unwrap()
                .success()
        );
    };
    let child = command(dir.path(), "sheet.toml", "form").spawn().unwrap();
    std::thread::sleep(Duration::from_millis(150));
    stop(&child);
    let out = child.wait_with_output().unwrap();
    assert_eq!(out.status.code(), Some(130), "{}", stderr(&out));
    assert_eq!(stderr(&out), "stopped; nothing was written\n");
    assert!(!dir.path().join("form").exists());

    assert!(run(dir.path(), "sheet.toml", "form").status.success());
    let old = files(&dir.path().join("form"));
    let mut child = command(dir.path(), "other.toml", "form").spawn().unwrap();
    while hidden(dir.path()).is_empty() && child.try_wait().unwrap().is_none() {
        std::thread::sleep(Duration::from_micros(200));
    }
    stop(&child);
    let out = child.wait_with_output().unwrap();
    let said = stderr(&out);
    assert_eq!(out.status.code(), Some(130), "{said}");
    let is_old = files(&dir.path().join("form")) == old;
    let words = if is_old {
        "stopped; the form that was in `form` is whole, as it was\n"
    } else {
        "stopped; the new form is whole in `form`\n"
    };
    assert_eq!(said, words);
    assert!(whole(&dir.path().join("form"), &[]));
    assert_eq!(hidden(dir.path()), [""; 0]);
    // A command that writes nothing does not speak of it.
    let child = Command::new(program::BINARY)
        .args(["plan", "sheet.toml", "--thickness", "3", "4"])
        .current_dir(dir.path())
        .stderr(Stdio::piped())
        .stdout(Stdio::null())
        .spawn()
        .unwrap();
    std::thread::sleep(Duration::from_millis(300));
    stop(&child);
    let out = child.wait_with_output().unwrap();
    assert_eq!(
        (out.status.code(), stderr(&out).as_str()),
        (Some(130), "stopped\n")
    );
}

/// What was answered before Ctrl-C is kept, and the program says how to go on, whatever the terminal can do.
#[test]
fn ctrl_c_between_questions_says_how_to_go_on() {
    let dir = tempfile::tempdir().unwrap();
    let mut child = Command::new(program::BINARY)
        .args(["new", "alto.toml"])
        .env("TERM", "dumb")
        .current_dir(dir.path())
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut typed = child.stdin.take().unwrap();
    typed.write_all(b"woman\n").unwrap();
    let sheet = dir.path().join("alto.toml");
    let kept = || fs::read_to_string(&sheet).is_ok_and(|t| t.contains("\"woman\""));
    for _ in 0..200 {
        if kept() {
            break;
        }
        std::thread::sleep(Duration::from_millis(20));
    }
    assert!(kept());
    std::thread::sleep(Duration::from_millis(100));
    let id = child.id().to_string();
    assert!(
        Command::new("kill")
            .args(["-INT", &id])
            .status()
            .unwrap()
            .success()
    );
    let out = child.wait_with_output().unwrap();
    drop(typed);
    assert_eq!(out.status.code(), Some(130));
    assert_eq!(
        stderr(&out),
        "stopped; every answer is kept. Go on with it:  layfigure new alto.toml\n"
    );
}
