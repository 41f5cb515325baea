//! Runs that are killed and systems that refuse: after each, a folder holds one form, whole, and nothing
//! hidden stays. A few of each in the usual run; all of them, counted, with
//! `cargo test --release --test suite kills:: -- --ignored --nocapture`.
#![cfg(unix)]

use std::collections::BTreeMap;
use std::fs;
use std::io::{Read, Write};
use std::os::unix::fs::{MetadataExt, PermissionsExt};
use std::path::Path;
use std::process::{Child, Command, Output, Stdio};
use std::time::{Duration, Instant};

use crate::commands::{SHEET, bench, files, program};

/// Names in a folder, hidden ones too.
fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).unwrap().flatten();
    let mut all: Vec<String> = entries
        .map(|e| e.file_name().to_string_lossy().into_owned())
        .collect();
    all.sort();
    all
}

fn hidden(folder: &Path) -> Vec<String> {
    let mut all = names(folder);
    all.retain(|n| n.contains(".part-"));
    all
}

/// Files below a folder but those in hidden places.
fn seen(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut all = files(folder);
    all.retain(|name, _| !name.contains(".part-"));
    all
}

/// Fingerprint, size and name of a file as the list has them: FNV-1a, 64 bits, from its published
/// constants.
fn line(name: &str, bytes: &[u8]) -> String {
    let print = bytes.iter().fold(0xcbf2_9ce4_8422_2325_u64, |h, b| {
        (h ^ u64::from(*b)).wrapping_mul(0x0000_0100_0000_01b3)
    });
    format!("{print:016x} {} {name}", bytes.len())
}

/// Whether the list knows every file of the folder but `own`, each as it is, and says nothing of being
/// replaced.
fn whole(folder: &Path, own: &[&str]) -> bool {
    let mut all = seen(folder);
    let Some(list) = all.remove("files.txt") else {
        return false;
    };
    all.retain(|name, _| !own.contains(&name.as_str()));
    let list = String::from_utf8(list).unwrap();
    let listed: Vec<&str> = list.lines().filter(|l| !l.starts_with('#')).collect();
    let there: Vec<String> = all.iter().map(|(name, b)| line(name, b)).collect();
    !list.contains("being replaced") && listed == there
}

/// The two sheets of which a folder may hold one, and how many boards tell them apart.
fn two_bodies() -> tempfile::TempDir {
    let dir = bench();
    let other = SHEET.replace("96.0", "104.0").replace("170.0", "176.0");
    assert_ne!(other, SHEET);
    fs::write(dir.path().join("other.toml"), other).unwrap();
    dir
}

fn command(dir: &Path, sheet: &str, folder: &str) -> Command {
    let mut command = Command::new(assert_cmd::cargo::cargo_bin("layfigure"));
    command
        .args(["build", sheet, "--workshop", "room.toml", "--tries", "1"])
        .args(["--quiet", "-o", folder])
        .current_dir(dir)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::piped());
    command
}

fn run(dir: &Path, sheet: &str, folder: &str) -> Output {
    command(dir, sheet, folder).output().unwrap()
}

fn stderr(out: &Output) -> String {
    String::from_utf8_lossy(&out.stderr).into_owned()
}

/// Kills builds of another body into a folder, at moments of which `share` of the tenths lie in the
/// time in which files are written. How many were tried, left the old form, left the new one.
fn killed_rebuilds(times: u32, folder: &str, dir: &Path) -> (u32, u32, u32) {
    let place = dir.join(folder);
    assert!(run(dir, "other.toml", "other").status.success());
    let from = Instant::now();
    assert!(run(dir, "sheet.toml", folder).status.success());
    let took = from.elapsed();
    fs::write(place.join("letter.txt"), "mine").unwrap();
    let form = |name: &str| {
        let mut all = seen(&dir.join(name));
        all.remove("letter.txt");
        all
    };
    let bodies = [("sheet.toml", form(folder)), ("other.toml", form("other"))];
    let mut standing = 0;
    let (mut old, mut new) = (0, 0);
    for i in 0..times {
        let next = 1 - standing;
        let mut child = command(dir, bodies[next].0, folder).spawn().unwrap();
        let share = f64::from(i) / f64::from(times);
        if i % 2 == 0 {
            // Anywhere.
            std::thread::sleep(took.mul_f64(share * 1.05));
        } else {
            // From the moment the hidden folder is there: writing and changing places.
            let here = names(dir).len();
            while names(dir).len() == here && child.try_wait().unwrap().is_none() {
                std::thread::sleep(Duration::from_micros(200));
            }
            std::thread::sleep(Duration::from_micros(u64::from(i) * 2500));
        }
        kill(&mut child);
        let now = form(folder);
        assert!(whole(&place, &["letter.txt"]), "kill {i}: not one form");
        if now == bodies[standing].1 {
            old += 1;
        } else {
            assert!(
                now == bodies[next].1,
                "kill {i}: neither the one nor the other"
            );
            new += 1;
            standing = next;
        }
        assert_eq!(fs::read(place.join("letter.txt")).unwrap(), b"mine");
    }
    assert!(run(dir, "sheet.toml", folder).status.success());
    assert!(form(folder) == bodies[0].1);
    assert_eq!(hidden(dir), [""; 0], "after the next build");
    (times, old, new)
}

fn kill(child: &mut Child) {
    child.kill().unwrap();
    child.wait().unwrap();
}

#[test]
fn a_killed_rebuild_leaves_one_body_or_the_other() {
    let dir = two_bodies();
    killed_rebuilds(8, "form", dir.path());
}

#[test]
#[ignore = "two minutes"]
fn fifty_killed_rebuilds() {
    let dir = two_bodies();
    let (tried, old, new) = killed_rebuilds(50, "form", dir.path());
    println!("{tried} kills: {old} left the old form whole, {new} the new one, 0 a mixture");
}

/// What a kill in the middle of changing places can leave, made by hand: whichever step was the last,
/// the next build ends with one form, the letter in it, and nothing hidden.
#[test]
fn whatever_step_was_the_last_the_next_build_clears_up() {
    let dir = two_bodies();
    let at = |name: &str| dir.path().join(name);
    assert!(run(dir.path(), "sheet.toml", "kept").status.success());
    assert!(run(dir.path(), "other.toml", "new").status.success());
    let (kept, other) = (files(&at("kept")), files(&at("new")));
    let lay = |name: &str, all: &BTreeMap<String, Vec<u8>>| {
        for (file, bytes) in all {
            let path = at(name).join(file);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, bytes).unwrap();
        }
    };
    let aside = ".form.part-1234567";
    let letter = |name: &str| {
        fs::create_dir_all(at(name).join("notes")).unwrap();
        fs::write(at(name).join("notes/letter.txt"), "mine").unwrap();
    };
    let without_list = |all: &BTreeMap<String, Vec<u8>>| {
        let mut all = all.clone();
        all.remove("files.txt");
        all
    };
    let steps: [(&str, &dyn Fn()); 6] = [
        ("the hidden folder is made", &|| {
            lay("form", &kept);
            letter("form");
            fs::create_dir(at(aside)).unwrap();
        }),
        ("half of it is filled, without a list", &|| {
            lay("form", &kept);
            letter("form");
            let half = without_list(&other).into_iter().take(4).collect();
            lay(aside, &half);
        }),
        ("its list is begun", &|| {
            lay("form", &kept);
            letter("form");
            lay(aside, &without_list(&other));
            fs::write(at(aside).join("files.txt"), "").unwrap();
        }),
        ("it is whole, with the letter linked", &|| {
            lay("form", &kept);
            letter("form");
            lay(aside, &other);
            fs::create_dir(at(aside).join("notes")).unwrap();
            let to = at(aside).join("notes/letter.txt");
            fs::hard_link(at("form/notes/letter.txt"), to).unwrap();
        }),
        ("they have changed places, a letter came between", &|| {
            lay("form", &other);
            lay(aside, &kept);
            letter(aside);
        }),
        ("half of the old one is removed", &|| {
            lay("form", &other);
            letter("form");
            lay(aside, &without_list(&kept).into_iter().take(3).collect());
        }),
    ];
    for (step, make) in steps {
        fs::remove_dir_all(at("form")).ok();
        make();
        assert!(run(dir.path(), "sheet.toml", "form").status.success());
        assert_eq!(hidden(dir.path()), [""; 0], "{step}");
        let letter = fs::read(at("form/notes/letter.txt"));
        assert_eq!(letter.unwrap(), b"mine", "{step}");
        assert!(whole(&at("form"), &["notes/letter.txt"]), "{step}");
        let mut now = files(&at("form"));
        now.remove("notes/letter.txt");
        assert!(now == kept, "{step}");
    }
}

/// Where files can only be replaced one by one, a kill can leave two forms: the list says so, `tape`
/// and the next build say so, and the build mends it.
#[test]
fn a_half_replaced_folder_says_so_and_is_mended() {
    let dir = two_bodies();
    let at = |name: &str| dir.path().join(name);
    assert!(run(dir.path(), "sheet.toml", "form").status.success());
    assert!(run(dir.path(), "other.toml", "other").status.success());
    let (old, new) = (files(&at("form")), files(&at("other")));
    let mut list = String::from_utf8(old["files.txt"].clone()).unwrap();
    let (head, lines) = list.split_at(list.rfind("match\n").unwrap() + 6);
    let mut both: Vec<&str> = lines.lines().collect();
    let more = String::from_utf8(new["files.txt"].clone()).unwrap();
    both.extend(more.lines().filter(|l| !l.starts_with('#')));
    list = format!(
        "{head}# being replaced: files of two builds may stand side by side here until it is built \
         again\n{}\n",
        both.join("\n")
    );
    fs::write(at("form/files.txt"), list).unwrap();
    fs::write(at("form/solid/outer.stl"), &new["solid/outer.stl"]).unwrap();
    fs::remove_file(at("form/guide.html")).unwrap();
    fs::create_dir_all(at("form/.part-77/old/solid")).unwrap();
    fs::write(at("form/.part-77/files.txt"), &new["files.txt"]).unwrap();
    fs::write(at("form/.part-77/old/solid/outer.stl"), "old").unwrap();

    program(dir.path())
        .args(["tape", "form/solid/outer.stl", "--at", "20"])
        .assert()
        .success()
        .stderr(predicates::str::contains(
            "a build was broken off while it replaced what is in",
        ));
    // A build that is refused says how the folder stands, too.
    let out = cramped(dir.path(), "other.toml", "form", 4);
    assert_eq!(out.status.code(), Some(2));
    assert!(
        stderr(&out).contains("; `form` is half replaced, with files of two forms side by side"),
        "{}",
        stderr(&out)
    );
    program(dir.path())
        .args(["build", "other.toml", "--workshop", "room.toml", "-o"])
        .args(["form", "--tries", "1"])
        .assert()
        .success()
        .stderr(predicates::str::contains(
            "an earlier build was broken off while it replaced what is in `form`",
        ));
    assert!(files(&at("form")) == new);
    program(dir.path())
        .args(["tape", "form/solid/outer.stl", "--at", "20"])
        .assert()
        .success()
        .stderr(predicates::str::contains("broken off").count(0));
}

/// A build whose files may not grow beyond `blocks` of 512 or 1024 bytes.
fn cramped(dir: &Path, sheet: &str, folder: &str, blocks: u32) -> Output {
    let inner = command(dir, sheet, folder);
    let limit = format!("trap '' XFSZ; ulimit -c 0; ulimit -f {blocks}; exec \"$@\"");
    let mut outer = Command::new("sh");
    outer.args(["-c", &limit, "sh"]).arg(inner.get_program());
    outer.args(inner.get_args()).current_dir(dir);
    outer.output().unwrap()
}

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
    // A folder that somebody shut: refused before the work, whoever asks.
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
    let child = Command::new(assert_cmd::cargo::cargo_bin("layfigure"))
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

/// A page or a sheet takes the place of an older one whole, and a full disk leaves that one.
#[test]
fn a_page_and_an_exported_sheet_are_written_whole_or_not_at_all() {
    let dir = two_bodies();
    let program = assert_cmd::cargo::cargo_bin("layfigure");
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
            "sheet.toml",
            "other.toml",
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
            .arg(&program)
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
        let out = Command::new(&program)
            .args(args)
            .current_dir(dir.path())
            .output()
            .unwrap();
        assert!(out.status.success(), "{}", stderr(&out));
        assert!(fs::read_to_string(&old).unwrap().len() > 500, "{args:?}");
        assert_eq!(fs::metadata(&old).unwrap().mode() & 0o777, 0o640);
        assert!(hidden(dir.path()).is_empty());
        // Unasked nothing is replaced.
        let out = Command::new(&program)
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
        .assert()
        .success();
    let kind = fs::metadata("/dev/null").unwrap().file_type();
    assert!(std::os::unix::fs::FileTypeExt::is_char_device(&kind));
}

/// What is no plain file is refused at once; what a shell hands over open is read.
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
            .timeout(Duration::from_secs(20))
            .args(args)
            .assert()
            .code(2)
            .stderr(predicates::str::contains(said));
    }
    let mut child = Command::new(assert_cmd::cargo::cargo_bin("layfigure"))
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

/// What was answered before Ctrl-C is kept, and how to go on is said, whatever the terminal can do.
#[test]
fn ctrl_c_between_questions_says_how_to_go_on() {
    let dir = tempfile::tempdir().unwrap();
    let mut child = Command::new(assert_cmd::cargo::cargo_bin("layfigure"))
        .args(["new", "anna.toml"])
        .env("TERM", "dumb")
        .current_dir(dir.path())
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut typed = child.stdin.take().unwrap();
    typed.write_all(b"woman\n").unwrap();
    let sheet = dir.path().join("anna.toml");
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
        "stopped; every answer is kept. Go on with it:  layfigure new anna.toml\n"
    );
}

/// A letter from another keyboard is no reason to lose the conversation.
#[test]
fn what_is_typed_in_no_utf_8_is_asked_for_again() {
    let dir = tempfile::tempdir().unwrap();
    program(dir.path())
        .args(["new", "anna.toml"])
        .write_stdin(&b"wom\xe9n\nwoman\ncm\ndone\n"[..])
        .assert()
        .code(1)
        .stdout(predicates::str::contains(
            "Some of these letters are not text in UTF-8. Please type it again.",
        ));
    let text = fs::read_to_string(dir.path().join("anna.toml")).unwrap();
    assert!(
        text.contains("figure = \"woman\"") && text.contains("unit = \"cm\""),
        "{text}"
    );
}

/// Many threads that the system does not let start are done without.
#[test]
fn where_threads_cannot_start_it_goes_on_with_fewer() {
    let dir = two_bodies();
    let out = Command::new("sh")
        .args(["-c", "ulimit -v 1000000; exec \"$@\"", "sh"])
        .arg(assert_cmd::cargo::cargo_bin("layfigure"))
        .args(["check", "sheet.toml", "--quiet"])
        .env("RAYON_NUM_THREADS", "400")
        .current_dir(dir.path())
        .output()
        .unwrap();
    assert!(out.status.success(), "{}", stderr(&out));
}
