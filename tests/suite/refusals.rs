//! Systems that refuse: full disks, folders that are shut, places that cannot be replaced, what is not a plain
//! file, threads that do not start. The old form stays whole and the message says so. A few in the usual
//! run; twenty, counted, with
//! `cargo test --release --test suite refusals:: -- --ignored --nocapture`.
#![cfg(unix)]

use std::collections::BTreeMap;
use std::fs;
use std::io::{Read, Write};
use std::os::unix::fs::{MetadataExt, PermissionsExt};
use std::path::Path;
use std::process::{Command, Output, Stdio};
use std::time::Duration;

use crate::folders::{command, cramped, hidden, names, run, seen, stderr, two_bodies, whole};
use crate::program::{self, SHEET, files, program};

/// A small disk of its own; nothing where this system does not let us have one.
struct Disk(std::path::PathBuf);

impl Disk {
    fn new(at: &Path, size: &str) -> Option<Self> {
        fs::create_dir_all(at).unwrap();
        let options = format!("size={size},nr_inodes=200");
        let done = Command::new("mount")
            .args(["-t", "tmpfs", "-o", &options, "tmpfs"])
            .arg(at)
            .stderr(Stdio::null())
            .status();
        done.is_ok_and(|s| s.success()).then(|| Self(at.to_owned()))
    }

    fn resize(&self, size: &str) -> bool {
        let done = Command::new("mount")
            .args(["-o", &format!("remount,{size}")])
            .arg(&self.0)
            .stderr(Stdio::null())
            .status();
        done.is_ok_and(|s| s.success())
    }
}

impl Drop for Disk {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg(&self.0).status();
    }
}

/// What stays true after a refusal: the message names a file and the state, the old form is whole,
/// nothing hidden is left.
fn refused(out: &Output, dir: &Path, folder: &str, old: &BTreeMap<String, Vec<u8>>, what: &str) {
    let said = stderr(out);
    assert_eq!(out.status.code(), Some(2), "{what}: {said}");
    assert!(said.contains(&format!("`{folder}")), "{what}: {said}");
    assert!(
        !said.contains(".part-") && !said.contains("os error"),
        "{what}: {said}"
    );
    let state = if old.is_empty() {
        "nothing was written".to_owned()
    } else {
        format!("the form that was in `{folder}` is whole, as it was")
    };
    assert!(said.contains(&state), "{what}: {said}");
    let place = dir.join(folder);
    let now = if place.exists() {
        files(&place)
    } else {
        BTreeMap::new()
    };
    assert!(now == *old, "{what}: the folder is another");
    assert_eq!(hidden(dir), [""; 0], "{what}");
}

#[test]
fn a_refusal_of_the_system_leaves_the_old_form_and_says_so() {
    assert!(injected(&[0, 40]) >= 5);
}

#[test]
#[ignore = "a minute"]
fn twenty_refusals_of_the_system() {
    let tried = injected(&[0, 1, 3, 8, 20, 40, 80, 150]);
    println!("{tried} refusals: {tried} with the old form whole, 0 lost");
    assert!(tried >= 20);
}

/// Lets the system refuse in the middle of builds; how often.
fn injected(blocks: &[u32]) -> usize {
    let dir = two_bodies();
    let dir = dir.path();
    let mut tried = 0;
    let none = BTreeMap::new();
    for blocks in blocks {
        let out = cramped(dir, "sheet.toml", "none", *blocks);
        refused(&out, dir, "none", &none, &format!("{blocks} blocks, new"));
        tried += 1;
    }
    assert!(run(dir, "sheet.toml", "form").status.success());
    let old = files(&dir.join("form"));
    for blocks in blocks {
        let out = cramped(dir, "other.toml", "form", *blocks);
        refused(&out, dir, "form", &old, &format!("{blocks} blocks"));
        tried += 1;
    }
    // Standard output takes nothing: the form is there all the same.
    if let Ok(full) = fs::OpenOptions::new().write(true).open("/dev/full") {
        let mut to_full = command(dir, "sheet.toml", "form");
        let out = to_full.stdout(full).output().unwrap();
        assert_eq!(out.status.code(), Some(2));
        assert!(stderr(&out).contains("cannot write to standard output"));
        assert!(whole(&dir.join("form"), &[]));
        tried += 1;
    }
    // A folder that somebody shut: refused before the work, for anyone.
    let form = dir.join("form");
    fs::set_permissions(&form, fs::Permissions::from_mode(0o555)).unwrap();
    let out = run(dir, "other.toml", "form");
    fs::set_permissions(&form, fs::Permissions::from_mode(0o755)).unwrap();
    assert!(
        stderr(&out).contains("`form` is not open to you"),
        "{}",
        stderr(&out)
    );
    assert!(files(&form) == old);
    tried += 1;
    // A disk that is full beside the folder, and one that is full in it: a mount point.
    for (place, folder) in [("disk", "disk/form"), ("mounted", "mounted")] {
        let Some(disk) = Disk::new(&dir.join(place), "60m") else {
            continue;
        };
        assert!(run(dir, "sheet.toml", folder).status.success(), "{folder}");
        let stood = files(&dir.join(folder));
        assert!(stood == old, "{folder}");
        for spare in ["size=700k", "size=60m,nr_inodes=30", "ro"] {
            if !disk.resize(spare) {
                continue;
            }
            let out = run(dir, "other.toml", folder);
            refused(&out, dir, folder, &stood, &format!("{folder}, {spare}"));
            assert_eq!(hidden(&dir.join(place)), [""; 0], "{folder}, {spare}");
            assert!(disk.resize("rw,size=60m,nr_inodes=200"));
            tried += 1;
        }
        // A file that cannot be replaced: what was done before it is taken back.
        if folder == "mounted" {
            let bound = dir.join("mounted/pictures/views.svg");
            let on_itself = Command::new("mount")
                .arg("--bind")
                .args([&bound; 2])
                .status();
            if on_itself.is_ok_and(|s| s.success()) {
                let out = run(dir, "other.toml", folder);
                assert!(
                    Command::new("umount")
                        .arg(&bound)
                        .status()
                        .unwrap()
                        .success()
                );
                refused(&out, dir, folder, &stood, "a file that is a mount point");
                assert!(stderr(&out).contains("views.svg"), "{}", stderr(&out));
                tried += 1;
            }
        }
        assert!(run(dir, "other.toml", folder).status.success(), "{folder}");
        assert!(whole(&dir.join(folder), &[]));
        assert_eq!(hidden(&dir.join(place)), [""; 0]);
    }
    // The folder is taken away while it is written: there is nothing to be put in.
    fs::create_dir(dir.join("away")).unwrap();
    let mut child = command(dir, "sheet.toml", "away/form").spawn().unwrap();
    while hidden(&dir.join("away")).is_empty() && child.try_wait().unwrap().is_none() {
        std::thread::sleep(Duration::from_micros(200));
    }
    let moved = fs::rename(dir.join("away"), dir.join("gone")).is_ok();
    let out = child.wait_with_output().unwrap();
    if moved && !out.status.success() {
        assert!(
            stderr(&out).contains("moved or removed"),
            "{}",
            stderr(&out)
        );
        assert!(
            stderr(&out).contains("nothing was written"),
            "{}",
            stderr(&out)
        );
        tried += 1;
    }
    tried
}

/// Places that cannot change places with another folder are filled file by file, and nothing hidden
/// is left in them or beside them.
#[test]
fn a_folder_that_cannot_be_replaced_is_filled() {
    let dir = two_bodies();
    let at = |name: &str| dir.path().join(name);
    assert!(run(dir.path(), "sheet.toml", "form").status.success());
    let form = files(&at("form"));
    // The one that the terminal stands in.
    fs::create_dir(at("here")).unwrap();
    let inode = fs::metadata(at("here")).unwrap().ino();
    for sheet in ["../other.toml", "../sheet.toml"] {
        let mut build = command(&at("here"), sheet, ".");
        build.args(["--workshop", "../room.toml"]);
        let mut here = Command::new(build.get_program());
        let args = ["build", sheet, "--workshop", "../room.toml", "--tries", "1"];
        here.args(args).args(["-o", "."]).current_dir(at("here"));
        let out = here.output().unwrap();
        assert!(out.status.success(), "{}", stderr(&out));
        assert!(whole(&at("here"), &[]));
    }
    assert!(seen(&at("here")) == form);
    assert_eq!(fs::metadata(at("here")).unwrap().ino(), inode);
    // A link to a folder, which stays a link; a link to nowhere is refused.
    fs::create_dir(at("real")).unwrap();
    std::os::unix::fs::symlink("real", at("link")).unwrap();
    assert!(run(dir.path(), "sheet.toml", "link").status.success());
    assert!(fs::symlink_metadata(at("link")).unwrap().is_symlink());
    assert!(files(&at("real")) == form);
    std::os::unix::fs::symlink("nowhere", at("dangling")).unwrap();
    let out = run(dir.path(), "sheet.toml", "dangling");
    assert_eq!(out.status.code(), Some(2));
    assert!(stderr(&out).contains("`dangling` is a link to `nowhere`, which is not there"));
    if let Some(disk) = Disk::new(&at("disk"), "60m") {
        assert!(run(dir.path(), "other.toml", "disk").status.success());
        assert!(run(dir.path(), "sheet.toml", "disk").status.success());
        assert!(files(&at("disk")) == form);
        drop(disk);
    }
    let left = names(dir.path());
    assert!(hidden(dir.path()).is_empty(), "{left:?}");
    assert!(!left.contains(&"nowhere".to_owned()));
}

/// Permissions and somebody's own files go along with the folder.
#[test]
fn a_rebuilt_folder_keeps_its_permissions_and_what_is_not_ours() {
    let dir = two_bodies();
    let form = dir.path().join("form");
    assert!(run(dir.path(), "sheet.toml", "form").status.success());
    for (folder, mode) in [(form.clone(), 0o700), (form.join("boards"), 0o750)] {
        fs::set_permissions(folder, fs::Permissions::from_mode(mode)).unwrap();
    }
    fs::create_dir_all(form.join("mine/deep")).unwrap();
    fs::create_dir(form.join("empty")).unwrap();
    fs::set_permissions(form.join("mine"), fs::Permissions::from_mode(0o705)).unwrap();
    fs::write(form.join("mine/deep/letter.txt"), "mine").unwrap();
    std::os::unix::fs::symlink("nowhere", form.join("boards/link")).unwrap();
    let letter = fs::metadata(form.join("mine/deep/letter.txt")).unwrap();
    assert!(run(dir.path(), "other.toml", "form").status.success());
    let mode = |name: &str| fs::metadata(form.join(name)).unwrap().mode() & 0o777;
    assert_eq!(
        [mode(""), mode("boards"), mode("mine")],
        [0o700, 0o750, 0o705]
    );
    assert!(form.join("empty").is_dir());
    let now = fs::metadata(form.join("mine/deep/letter.txt")).unwrap();
    assert_eq!(now.ino(), letter.ino());
    assert_eq!(
        fs::read_link(form.join("boards/link")).unwrap(),
        Path::new("nowhere")
    );
    assert_eq!(
        names(dir.path()),
        ["form", "other.toml", "room.toml", "sheet.toml"]
    );
}

/// A page or a sheet takes the place of an older one whole, and a full disk leaves that one.
#[test]
fn a_page_and_an_exported_sheet_are_written_whole_or_not_at_all() {
    let dir = two_bodies();
    let program = program::BINARY;
    let cases: [&[&str]; 3] = [
        &[
            "compare",
            "sheet.toml",
            "other.toml",
            "--force",
            "--page",
            "old",
        ],
        &["profiles", "women:92", "--force", "--export", "old"],
        &[
            "compare",
            "--pad-out",
            "women:84-tall",
            "women:92-tall",
            "--force",
            "--page",
            "old",
        ],
    ];
    let old = dir.path().join("old");
    for args in cases {
        fs::write(&old, "the old one").unwrap();
        fs::set_permissions(&old, fs::Permissions::from_mode(0o640)).unwrap();
        let out = Command::new("sh")
            .args([
                "-c",
                "trap '' XFSZ; ulimit -c 0; ulimit -f 1; exec \"$@\"",
                "sh",
            ])
            .arg(program)
            .args(args)
            .current_dir(dir.path())
            .output()
            .unwrap();
        assert_eq!(out.status.code(), Some(2), "{}", stderr(&out));
        assert!(
            stderr(&out).contains("`old` cannot be written"),
            "{}",
            stderr(&out)
        );
        assert_eq!(fs::read_to_string(&old).unwrap(), "the old one", "{args:?}");
        assert!(hidden(dir.path()).is_empty());
        // What a killed run left is cleared by the next.
        fs::write(dir.path().join(".old.part-4711"), "half").unwrap();
        let out = Command::new(program)
            .args(args)
            .current_dir(dir.path())
            .output()
            .unwrap();
        assert!(out.status.success(), "{}", stderr(&out));
        assert!(fs::read_to_string(&old).unwrap().len() > 500, "{args:?}");
        assert_eq!(fs::metadata(&old).unwrap().mode() & 0o777, 0o640);
        assert!(hidden(dir.path()).is_empty());
        // Unasked nothing is replaced.
        let out = Command::new(program)
            .args(args.iter().filter(|a| **a != "--force"))
            .current_dir(dir.path())
            .output()
            .unwrap();
        assert_eq!(out.status.code(), Some(2));
        assert!(stderr(&out).contains("`old` is there already: choose another name"));
    }
}

/// A device or a pipe takes what is written, and is not replaced by a file.
#[test]
fn a_device_stays_a_device() {
    let dir = two_bodies();
    std::os::unix::fs::symlink("/dev/null", dir.path().join("null")).unwrap();
    program(dir.path())
        .args(["profiles", "women:92", "--force", "--export", "null"])
        .run()
        .success();
    let kind = fs::metadata("/dev/null").unwrap().file_type();
    assert!(std::os::unix::fs::FileTypeExt::is_char_device(&kind));
}

/// What is not a plain file is refused at once; what a shell hands over open is read.
#[test]
fn what_is_no_plain_file_is_refused_with_a_sentence() {
    let dir = two_bodies();
    fs::create_dir(dir.path().join("sizes")).unwrap();
    for pipe in ["pipe.toml", "sizes/pipe.toml", "pipe.stl"] {
        let made = Command::new("mkfifo").arg(dir.path().join(pipe)).status();
        assert!(made.unwrap().success());
    }
    fs::create_dir(dir.path().join("folder.toml")).unwrap();
    let _socket = std::os::unix::net::UnixListener::bind(dir.path().join("socket.toml")).unwrap();
    for (args, said) in [
        (
            &["check", "pipe.toml"][..],
            "`pipe.toml` is a named pipe, not a plain file: name the sheet, or `-`",
        ),
        (
            &["check", "/dev/zero"],
            "`/dev/zero` is a device, not a plain file",
        ),
        (
            &["build", "socket.toml"],
            "`socket.toml` is a socket, not a plain file",
        ),
        (
            &["build", "sheet.toml", "--workshop", "pipe.toml"],
            "`pipe.toml` is a named pipe, not a plain file: name the workshop file",
        ),
        (
            &["check", "folder.toml"],
            "`folder.toml` is a folder: name a file in it",
        ),
        (
            &["tape", "/dev/zero"],
            "`/dev/zero` is a device, not a plain file: name the solid itself",
        ),
        (
            &["tape", "pipe.stl"],
            "`pipe.stl` is a named pipe, not a plain file: name the solid itself",
        ),
        (
            &["compare", "sheet.toml", "pipe.toml"],
            "`pipe.toml` is a named pipe",
        ),
        (&["new", "pipe.toml"], "`pipe.toml` is a named pipe"),
        (
            &["profiles", "--profiles", "sizes"],
            "`sizes/pipe.toml` is a named pipe, not a plain file: take it out of the folder of size profiles",
        ),
        (
            &["profiles", "--profiles", "room.toml"],
            "`room.toml` is a file: `--profiles` takes the folder that it is in",
        ),
    ] {
        program(dir.path())
            .within(Duration::from_secs(20))
            .args(args)
            .run()
            .code(2)
            .says(said);
    }
    let mut child = Command::new(program::BINARY)
        .args(["check", "/dev/stdin", "--quiet"])
        .current_dir(dir.path())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    child
        .stdin
        .take()
        .unwrap()
        .write_all(SHEET.as_bytes())
        .unwrap();
    let mut read = String::new();
    child
        .stdout
        .take()
        .unwrap()
        .read_to_string(&mut read)
        .unwrap();
    assert!(child.wait().unwrap().success());
    assert!(read.contains("all 4 readings met"), "{read}");
}

/// Many threads that the system does not let start are done without.
#[test]
fn where_threads_cannot_start_it_goes_on_with_fewer() {
    let dir = two_bodies();
    let out = Command::new("sh")
        .args(["-c", "ulimit -v 1000000; exec \"$@\"", "sh"])
        .arg(program::BINARY)
        .args(["check", "sheet.toml", "--quiet"])
        .env("RAYON_NUM_THREADS", "400")
        .current_dir(dir.path())
        .output()
        .unwrap();
    assert!(out.status.success(), "{}", stderr(&out));
}
