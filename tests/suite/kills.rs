//! Runs that are killed: after each, a folder holds one form, whole, and nothing hidden stays. A few in
//! the usual run; fifty, counted, with
//! `cargo test --release --test suite kills:: -- --ignored --nocapture`.
#![cfg(unix)]

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::time::{Duration, Instant};

use crate::folders::{command, cramped, hidden, kill, names, run, seen, stderr, two_bodies, whole};
use crate::program::{files, program};

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
        .run()
        .success()
        .says("a build was broken off while it replaced what is in");
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
        .run()
        .success()
        .says("an earlier build was broken off while it replaced what is in `form`");
    assert!(files(&at("form")) == new);
    let run = program(dir.path())
        .args(["tape", "form/solid/outer.stl", "--at", "20"])
        .run()
        .success();
    assert!(!run.stderr().contains("broken off"), "{}", run.stderr());
}
