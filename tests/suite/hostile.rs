//! What may be thrown at the program: bytes of any kind as sheets, workshops and solids, bodies from
//! anywhere in the ranges, names that want to be code, folders that cannot be written, runs that are
//! killed. The fuzzer (`fuzz/`) throws the same things for as long as one likes; what it found to
//! break is kept here.

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

use layfigure::measure::Measure;
use layfigure::mesh::{Mesh, stl};
use layfigure::sheet;
use layfigure::torso::fit;
use proptest::prelude::*;

use crate::anything;
use crate::draws::drawn;
use crate::program::{self, bench, build, files, program, quick_bench};
use crate::read_pdf::Pdf;

proptest! {
    #![proptest_config(drawn(256))]

    #[test]
    fn any_bytes_are_read_or_refused(data in prop::collection::vec(any::<u8>(), 0..600)) {
        anything::stl_bytes(&data);
        anything::obj_text(&data);
        anything::sheet_text(&data);
        anything::workshop_text(&data);
        anything::profile_text(&data);
    }

    /// One byte of a good table of sizes changed, taken away or doubled.
    #[test]
    fn a_damaged_table_of_sizes_is_read_or_refused(at in any::<prop::sample::Index>(), to in any::<u8>(), how in 0..3) {
        for good in [
            include_str!("../../measurement-profiles/women.toml"),
            include_str!("../../measurement-profiles/women-jis.toml"),
        ] {
            let mut data = good.as_bytes().to_vec();
            let at = at.index(data.len());
            match how {
                0 => data[at] = to,
                1 => { data.remove(at); }
                _ => data.insert(at, to),
            }
            anything::profile_text(&data);
        }
    }

    /// As many triangles as the header promises, with corners on a small grid so that they meet,
    /// coincide, cross and leave holes, and now and then a number that is none.
    #[test]
    fn any_triangles_are_a_solid_or_refused(
        corners in prop::collection::vec((0..4_i8, 0..4_i8, 0..4_i8), 0..90),
        odd in prop::option::of((0..1000_usize, any::<f32>())),
    ) {
        let mut data = vec![b' '; 80];
        let mut numbers: Vec<f32> = corners[..corners.len() / 3 * 3]
            .iter()
            .flat_map(|c| [c.0, c.1, c.2].map(f32::from))
            .collect();
        if let (Some((at, value)), false) = (odd, numbers.is_empty()) {
            let at = at % numbers.len();
            numbers[at] = value;
        }
        data.extend((numbers.len() as u32 / 9).to_le_bytes());
        for facet in numbers.chunks_exact(9) {
            data.extend([0; 12]);
            facet.iter().for_each(|v| data.extend(v.to_le_bytes()));
            data.extend([0; 2]);
        }
        anything::stl_bytes(&data);
        let mut text = String::new();
        for p in numbers.chunks_exact(3) {
            text.push_str(&format!("v {} {} {}\n", p[0], p[1], p[2]));
        }
        for t in 0..numbers.len() / 9 {
            text.push_str(&format!("f {} {} {}\n", 3 * t + 1, 3 * t + 2, 3 * t + 3));
        }
        anything::obj_text(text.as_bytes());
    }

    /// One byte of a good file changed, taken away or doubled.
    #[test]
    fn a_damaged_solid_is_read_or_refused(at in any::<prop::sample::Index>(), to in any::<u8>(), how in 0..3) {
        let mut data = stl::binary(&block());
        let at = at.index(data.len());
        match how {
            0 => data[at] = to,
            1 => { data.remove(at); }
            _ => data.insert(at, to),
        }
        anything::stl_bytes(&data);
    }
}

proptest! {
    #![proptest_config(drawn(12))]

    /// Bodies from the smallest child to the largest man, more or less out of proportion: each is
    /// fitted and its solid closed and finite, or refused with reasons.
    #[test]
    fn any_body_is_fitted_or_refused(data in prop::collection::vec(any::<u8>(), 160..220)) {
        anything::whole_check(&data);
    }
}

proptest! {
    #![proptest_config(drawn(4))]

    #[test]
    fn any_body_is_built_or_refused(data in prop::collection::vec(any::<u8>(), 160..220)) {
        anything::whole_build(&data);
    }
}

/// The waist is narrower than the bust points are apart: straight down from them is not a surface.
#[test]
fn a_waist_narrower_than_the_bust_points_is_reached_by_a_tape() {
    let text = "unit = \"mm\"\nfigure = \"man\"\nwaist = \"navel\"\nshape.shoulders = \"square\"\n\
                girth.bust = 1018.8\ngirth.waist = 752.3\ngirth.hip = 938.7\nlength.bust_point_width = 280.0\n\
                height.stature = 1669.1\nwall.nape = 72.5\n";
    let fit = fit(&sheet::read(text, "narrow").unwrap()).unwrap();
    let expected = |m| fit.targets.iter().find(|t| t.measure == m).unwrap();
    let waist = expected(Measure::BreadthWaist);
    let apart = expected(Measure::LengthBustPointWidth);
    assert!(waist.value < apart.value);
    let [bust, down] = [
        Measure::LengthSideNeckToBust,
        Measure::LengthSideNeckToWaist,
    ]
    .map(expected);
    assert!(
        down.plus_minus > 5.0 && down.value > bust.value + 50.0,
        "{down:?}"
    );
}

/// A box of 10 by 20 by 30 mm.
fn block() -> Mesh {
    let corner = |i: u32| {
        layfigure::geom::Point3::new(
            f64::from(i & 1) * 10.0,
            f64::from(i >> 1 & 1) * 20.0,
            f64::from(i >> 2) * 30.0,
        )
    };
    Mesh {
        vertices: (0..8).map(corner).collect(),
        triangles: vec![
            [0, 2, 1],
            [1, 2, 3],
            [4, 5, 6],
            [5, 7, 6],
            [0, 1, 4],
            [1, 5, 4],
            [2, 6, 3],
            [3, 6, 7],
            [0, 4, 2],
            [2, 4, 6],
            [1, 3, 5],
            [3, 7, 5],
        ],
        ..Mesh::default()
    }
}

#[test]
fn the_damaged_block_was_whole() {
    let mesh = stl::read(&stl::binary(&block())).unwrap();
    assert!(mesh.faults().none());
    assert!((mesh.volume() - 6000.0).abs() < 1e-9);
}

#[test]
fn what_is_too_large_is_refused_before_it_is_held() {
    let mut promised = vec![b' '; 80];
    promised.extend(u32::MAX.to_le_bytes());
    let e = stl::read(&promised).unwrap_err().to_string();
    assert!(e.contains("4294967295 triangles"), "{e}");
    // A text that never ends.
    let dir = bench();
    let out = program(dir.path())
        .args(["check", "-"])
        .typed(vec![b'#'; 5 << 20])
        .run()
        .code(2);
    let said = String::from_utf8_lossy(&out.output().stderr).into_owned();
    assert!(said.contains("longer than the 4 MiB"), "{said}");
}

/// A name that means something to HTML, SVG, XML, PDF, DXF, a file system and a terminal.
const EVIL: &str = r#"</text></title><script>alert(1)</script>&\"']]>-->../../x %%c (\\) {\\U+41}"#;

#[test]
fn a_name_is_never_code() {
    let dir = bench();
    let room = fs::read_to_string(dir.path().join("room.toml")).unwrap();
    let sheet = fs::read_to_string(dir.path().join("sheet.toml")).unwrap();
    let sheet = sheet.replace("contralto, act 2", EVIL);
    let short = r#"\"><script>alert(2)</script>&]]>"#;
    fs::write(dir.path().join("sheet.toml"), sheet).unwrap();
    fs::write(
        dir.path().join("room.toml"),
        room.replace("\"foam\"", &format!("\"{short}\"")),
    )
    .unwrap();
    program(dir.path())
        .args(["build", "sheet.toml", "--workshop", "room.toml"])
        .run()
        .success();
    let made: Vec<_> = fs::read_dir(dir.path().join("out"))
        .unwrap()
        .flatten()
        .collect();
    assert_eq!(
        made.len(),
        1,
        "one folder below `out`, whatever the name says"
    );
    let folder = made[0].path();
    let mut seen = 0;
    for (name, bytes) in files(&folder) {
        let text = String::from_utf8_lossy(&bytes).into_owned();
        if name.ends_with(".html") || name.ends_with(".svg") {
            assert!(!text.contains("<script>alert"), "{name}");
            assert!(
                text.contains("&lt;script&gt;alert"),
                "{name} does not say the name"
            );
            seen += 1;
        }
        if name.ends_with(".svg") {
            roxmltree::Document::parse(&text).unwrap();
        }
        if name.ends_with(".dxf") {
            // Code and value on lines of their own: every other line is a number.
            assert!(
                text.lines()
                    .step_by(2)
                    .all(|l| l.trim().parse::<i32>().is_ok()),
                "{name}"
            );
        }
        if name.ends_with(".pdf") {
            assert!(!Pdf::read(&bytes).pages.is_empty());
            for word in [
                &b"/JavaScript"[..],
                b"/JS",
                b"/Launch",
                b"/URI",
                b"/OpenAction",
            ] {
                assert!(!bytes.windows(word.len()).any(|w| w == word), "{name}");
            }
        }
        if name.ends_with(".json") {
            serde_json::from_str::<serde_json::Value>(&text).unwrap();
        }
    }
    assert!(seen > 2, "{seen}");
}

#[test]
fn control_characters_stay_out_of_the_terminal() {
    let dir = bench();
    let sheet = fs::read_to_string(dir.path().join("sheet.toml")).unwrap();
    for (name, text) in [
        (
            "name.toml",
            sheet.replace("contralto, act 2", r"a\u001b[2Jb"),
        ),
        ("line.toml", format!("{sheet}\n\u{1b}[2J = 3\n")),
        ("\u{1b}[2J.toml", format!("{sheet}\nwrong = 3\n")),
        ("gone\u{1b}[2J.toml", String::new()),
    ] {
        if !text.is_empty() {
            fs::write(dir.path().join(name), text).unwrap();
        }
        let run = program(dir.path()).args(["check", name]).run();
        let out = run.output();
        for bytes in [&out.stdout, &out.stderr] {
            assert!(
                !bytes.contains(&0x1b),
                "{name:?}: {}",
                String::from_utf8_lossy(bytes)
            );
        }
        assert_ne!(out.status.code(), Some(0), "{name:?}");
    }
}

#[cfg(unix)]
#[test]
fn odd_file_names_are_only_names() {
    use std::ffi::OsStr;
    use std::os::unix::ffi::OsStrExt;

    let dir = quick_bench();
    let sheet = fs::read_to_string(dir.path().join("sheet.toml")).unwrap();
    let sheet: String = sheet
        .lines()
        .filter(|l| !l.starts_with("name"))
        .map(|l| format!("{l}\n"))
        .collect();
    for name in [
        &b"-x.toml"[..],
        b"a b'\"$(touch gone).toml",
        b"od\xffd\n<b>.toml",
        b"\xc3\xa9.toml",
        b".toml",
        b"con.toml",
    ] {
        let name = OsStr::from_bytes(name);
        fs::write(dir.path().join(name), &sheet).unwrap();
        program(dir.path())
            .args(["build", "--quiet", "--workshop", "room.toml", "--"])
            .arg(name)
            .run()
            .success();
        let made: Vec<_> = fs::read_dir(dir.path().join("out"))
            .unwrap()
            .flatten()
            .collect();
        assert_eq!(made.len(), 1, "{name:?}");
        let folder = made[0].file_name().to_string_lossy().into_owned();
        assert!(
            !folder.starts_with(['.', '-']) && !folder.contains(['\n', '/', '<', '$']),
            "{folder}"
        );
        fs::remove_dir_all(dir.path().join("out")).unwrap();
    }
    assert!(!dir.path().join("gone").exists());
}

/// What is in a folder: names only, hidden ones too.
fn names(folder: &Path) -> Vec<String> {
    let mut all: Vec<String> = fs::read_dir(folder)
        .unwrap()
        .flatten()
        .map(|e| e.file_name().to_string_lossy().into_owned())
        .collect();
    all.sort();
    all
}

#[cfg(unix)]
#[test]
fn where_nothing_can_be_written_nothing_is_left() {
    use std::os::unix::fs::PermissionsExt;

    let dir = quick_bench();
    let shut = dir.path().join("shut");
    fs::create_dir(&shut).unwrap();
    fs::set_permissions(&shut, fs::Permissions::from_mode(0o555)).unwrap();
    // Root may write there all the same, but nobody below /proc.
    let root = fs::write(shut.join("probe"), "").is_ok();
    let place = if root { Path::new("/proc") } else { &shut };
    let before = names(dir.path());
    let out = program(dir.path())
        .args(["build", "sheet.toml", "--workshop", "room.toml", "-o"])
        .arg(place.join("form"))
        .run()
        .code(2);
    let said = String::from_utf8_lossy(&out.output().stderr).into_owned();
    assert!(said.contains("form") && !said.contains(".part-"), "{said}");
    assert_eq!(names(dir.path()), before);
}

/// Runs a build whose files may not grow beyond `blocks` of 512 or 1024 bytes. Without `killed` the
/// system answers as a full disk does; with it, it ends the program in the middle of writing.
#[cfg(unix)]
fn cramped(dir: &Path, blocks: u32, killed: bool, more: &[&str]) -> std::process::Output {
    let trap = if killed { "" } else { "trap '' XFSZ; " };
    Command::new("sh")
        .args([
            "-c",
            &format!("{trap}ulimit -c 0; ulimit -f {blocks}; exec \"$@\""),
            "sh",
        ])
        .arg(program::BINARY)
        .args([
            "build",
            "sheet.toml",
            "--workshop",
            "room.toml",
            "-o",
            "form",
        ])
        .args(more)
        .current_dir(dir)
        .output()
        .unwrap()
}

#[cfg(unix)]
#[test]
fn a_full_disk_leaves_what_was_there() {
    let dir = quick_bench();
    let before = names(dir.path());
    for blocks in [0, 4, 200] {
        let out = cramped(dir.path(), blocks, false, &[]);
        let said = String::from_utf8_lossy(&out.stderr).into_owned();
        assert_eq!(out.status.code(), Some(2), "{blocks}: {said}");
        assert!(
            said.contains("form/") && !said.contains(".part-"),
            "{blocks}: {said}"
        );
        assert_eq!(names(dir.path()), before, "{blocks}");
    }
    build(dir.path(), &[]).success();
    let whole = files(dir.path());
    for blocks in [0, 4, 200] {
        let out = cramped(dir.path(), blocks, false, &["--unit", "in"]);
        assert_eq!(out.status.code(), Some(2), "{blocks}");
        assert_eq!(files(dir.path()), whole, "{blocks}");
    }
    let full = fs::OpenOptions::new().write(true).open("/dev/full");
    if let Ok(full) = full {
        let status = Command::new(program::BINARY)
            .args(["check", "sheet.toml"])
            .current_dir(dir.path())
            .stdout(full)
            .stderr(Stdio::null())
            .status()
            .unwrap();
        assert_eq!(status.code(), Some(2));
    }
}

#[cfg(unix)]
#[test]
fn a_killed_run_leaves_no_partial_folder_and_the_next_one_clears_up() {
    let dir = quick_bench();
    // Killed by the system while it writes a file.
    let out = cramped(dir.path(), 4, true, &[]);
    assert_eq!(out.status.code(), None, "it was to be killed");
    let left = names(dir.path());
    assert!(!left.contains(&"form".to_owned()), "{left:?}");
    assert!(
        left.iter().any(|n| n.starts_with(".form.part-")),
        "{left:?}"
    );
    // Neither ours nor left behind: somebody's own folder, and one that another run still writes.
    fs::create_dir(dir.path().join(".form.part-mine")).unwrap();
    fs::create_dir(dir.path().join(".form.part-7")).unwrap();
    let held = fs::File::create(dir.path().join(".form.part-7/files.txt")).unwrap();
    held.lock().unwrap();
    build(dir.path(), &[]).success();
    let left: Vec<String> = names(dir.path())
        .into_iter()
        .filter(|n| n.contains(".part-"))
        .collect();
    assert_eq!(left, [".form.part-7", ".form.part-mine"]);
    drop(held);
    let whole = files(&dir.path().join("form"));

    // Killed at any moment, over that build and beside it: either the old form or the new one, and
    // in between a folder that the next build takes over without asking.
    for i in 0..8 {
        fs::remove_dir_all(dir.path().join("new")).ok();
        for (folder, tries) in [("form", "1"), ("new", "1")] {
            let mut run = Command::new(program::BINARY)
                .args([
                    "build",
                    "sheet.toml",
                    "--workshop",
                    "room.toml",
                    "--tries",
                    tries,
                    "-o",
                    folder,
                ])
                .current_dir(dir.path())
                .stdout(Stdio::null())
                .stderr(Stdio::null())
                .spawn()
                .unwrap();
            std::thread::sleep(Duration::from_millis(150 * i));
            run.kill().unwrap();
            run.wait().unwrap();
        }
        assert!(files(&dir.path().join("form")).keys().eq(whole.keys()));
        if dir.path().join("new").exists() {
            assert!(files(&dir.path().join("new")).keys().eq(whole.keys()));
        }
    }
    build(dir.path(), &[]).success();
    assert_eq!(files(&dir.path().join("form")), whole);
}

#[test]
fn a_folder_where_a_file_has_to_go_is_left_alone() {
    let dir = quick_bench();
    build(dir.path(), &[]).success();
    let form = dir.path().join("form");
    let whole = files(&form);
    // A folder where a file has to go is nothing that can be replaced, forced or not.
    fs::remove_file(form.join("guide.html")).unwrap();
    fs::create_dir_all(form.join("guide.html/mine")).unwrap();
    let before = files(&form);
    for more in [&["--unit", "in"][..], &["--unit", "in", "--force"]] {
        let out = build(dir.path(), more).code(2).output().clone();
        let said = String::from_utf8_lossy(&out.stderr).into_owned();
        assert!(
            said.contains("`guide.html` is a folder, and a file is to go there; move it away"),
            "{said}"
        );
        assert_eq!(files(&form), before);
        assert!(form.join("guide.html/mine").exists());
    }
    fs::remove_dir_all(form.join("guide.html")).unwrap();
    build(dir.path(), &[]).success();
    assert_eq!(files(&form), whole);
    assert!(names(dir.path()).iter().all(|n| !n.contains(".part-")));
}
