//! The program end to end, in folders of its own: exit codes, what lands where, what is never
//! touched.

use std::fs;

use serde_json::Value;

use crate::program::{self, SHEET, bench, build, built, files, program, quick_bench};

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

#[test]
fn a_build_leaves_the_whole_folder_and_nothing_else() {
    let dir = bench();
    let out = build(dir.path(), &[]).success().output().clone();
    assert!(text(&out.stdout).contains("open guide.html first"));
    let made = files(&dir.path().join("form"));
    for name in [
        "guide.html",
        "templates.pdf",
        "proof.pdf",
        "form.json",
        "boards/board-01.svg",
        "boards/board-01.dxf",
        "solid/outer.stl",
        "solid/core.stl",
        "pictures/front.png",
        "pictures/side.png",
        "pictures/back.png",
        "pictures/three-quarter.png",
        "pictures/views.svg",
        "pictures/sections.svg",
        "files.txt",
    ] {
        assert!(made.get(name).is_some_and(|b| !b.is_empty()), "{name}");
    }
    let guide = text(&made["guide.html"]);
    assert!(guide.starts_with("<!DOCTYPE html>"));
    for outside in ["http://", "https://", "<script", "<link"] {
        let plain = guide.replace("http://www.w3.org/2000/svg", "");
        assert!(!plain.contains(outside), "the guide needs {outside}");
    }
    let beside: Vec<_> = fs::read_dir(dir.path())
        .unwrap()
        .map(|e| e.unwrap().file_name().into_string().unwrap())
        .collect();
    assert_eq!(beside.len(), 3, "left beside the folder: {beside:?}");
}

#[test]
fn form_json_has_its_fixed_fields() {
    let dir = bench();
    let out = build(dir.path(), &["--json"]).success().output().clone();
    let form: Value = serde_json::from_slice(&out.stdout).unwrap();
    let file = fs::read(dir.path().join("form/form.json")).unwrap();
    assert_eq!(file, out.stdout, "--json prints what lands in form.json");
    assert_eq!(form.as_object().unwrap().keys().next().unwrap(), "format");
    let bust = form["measures"]
        .as_array()
        .unwrap()
        .iter()
        .find(|m| m["key"] == "girth.bust")
        .unwrap();
    for key in [
        "asked",
        "origin",
        "plus_minus",
        "solid",
        "built",
        "difference",
        "built_difference",
        "within_tolerance",
    ] {
        assert!(!bust[key].is_null(), "girth.bust has no {key}");
    }
    assert!((bust["asked"].as_f64().unwrap() - 960.0).abs() < 1e-6, "mm");
    assert!((bust["solid"].as_f64().unwrap() - 960.0).abs() <= 0.5);
    assert_eq!(bust["origin"], "given");
    let first = &form["layers"][0];
    assert_eq!(first["index"], 1);
    assert!(first["bottom"].as_f64().unwrap().abs() < 1e-9);
    for key in ["id", "outline", "holes", "area"] {
        assert!(!first["pieces"][0][key].is_null(), "piece has no {key}");
    }
    for key in ["x", "y", "diameter", "first_layer", "last_layer", "length"] {
        assert!(form["dowels"][0][key].is_number(), "dowel has no {key}");
    }
    for key in ["width", "length", "used_area"] {
        assert!(form["boards"][0][key].is_number(), "board has no {key}");
    }
    for key in ["x", "y", "turn"] {
        assert!(form["boards"][0]["pieces"][0][key].is_number(), "{key}");
    }
    assert_eq!(form["pages"]["paper"], "A1");
    for key in [
        "layers",
        "pieces",
        "boards",
        "board_area",
        "cut_length",
        "weight",
        "batting_area",
        "base_radius",
    ] {
        assert!(form["totals"][key].is_number(), "totals have no {key}");
    }
    for key in ["hem", "hip", "waist", "bust", "armpit", "nape"] {
        assert!(form["levels"][key].is_number(), "levels have no {key}");
    }
    assert_eq!(form["fit"]["ending"], "converged");
    assert!(form["floor_z"]["value"].as_f64().unwrap() < 0.0);
    assert!(form["findings"].is_array());
}

#[test]
fn check_prints_the_same_measures_and_writes_nothing() {
    let (place, form) = built();
    let checked = program(place)
        .args(["check", "sheet.toml", "--workshop", "room.toml", "--json"])
        .run()
        .success()
        .json();
    assert_eq!(checked["levels"], form["levels"]);
    assert_eq!(checked["fit"], form["fit"]);
    let pairs = checked["measures"].as_array().unwrap().iter();
    for (c, f) in pairs.zip(form["measures"].as_array().unwrap()) {
        assert_eq!((&c["key"], &c["solid"]), (&f["key"], &f["solid"]));
        assert!(c.get("built").is_none());
    }
    // A program reads what a finding is made of, a person its sentence.
    let found = form["findings"].as_array().unwrap();
    assert!(!found.is_empty());
    for f in found {
        assert!(f["fact"].as_str().is_some_and(|name| !name.is_empty()));
        assert!(f["fields"].is_object() && f["message"].is_string());
    }

    let empty = bench();
    let two = program(empty.path())
        .args(["check", "sheet.toml", "sheet.toml", "--json"])
        .run()
        .success()
        .json();
    assert_eq!(two.as_array().unwrap().len(), 2);
    assert_eq!(files(empty.path()).len(), 2, "check wrote something");
}

/// Sheets are checked side by side; the answers come in the order of the names, one for each.
#[test]
fn many_sheets_are_answered_in_their_order() {
    let dir = bench();
    let mut args = vec![
        "check".to_owned(),
        "--json".to_owned(),
        "--quiet".to_owned(),
    ];
    for i in 0..20 {
        let name = format!("sheet-{i}.toml");
        let text = match i {
            7 => SHEET.replace("96.0", "-96.0"),
            _ => SHEET.replace("contralto, act 2", &format!("chorister {i}")),
        };
        if i != 12 {
            fs::write(dir.path().join(&name), text).unwrap();
        }
        args.push(name);
    }
    let run = |threads: &str| {
        program(dir.path())
            .env("RAYON_NUM_THREADS", threads)
            .args(&args)
            .run()
            .code(2)
            .output()
            .clone()
    };
    let out = run("2");
    assert!(out == run("1"), "the number of threads shows");
    let said = text(&out.stderr);
    assert!(said.contains("sheet-12.toml"), "{said}");
    let list: Value = serde_json::from_slice(&out.stdout).unwrap();
    let list = list.as_array().unwrap();
    assert_eq!(list.len(), 20);
    for (i, one) in list.iter().enumerate() {
        match i {
            7 | 12 => {
                assert_eq!(one["refused"], true);
                assert_eq!(one["file"], format!("sheet-{i}.toml"));
                assert!(!one["findings"].as_array().unwrap().is_empty());
            }
            _ => assert_eq!(one["name"], format!("chorister {i}")),
        }
    }
}

#[test]
fn check_prints_a_table_in_the_unit_asked_for_within_80_columns() {
    let dir = bench();
    for (unit, bust) in [("cm", "96.0"), ("mm", "960"), ("in", "37 3/4")] {
        let out = program(dir.path())
            .args(["check", "sheet.toml", "--unit", unit])
            .run()
            .success()
            .output()
            .clone();
        let table = text(&out.stdout);
        let line = table.lines().find(|l| l.contains("bust girth")).unwrap();
        assert!(line.contains(bust), "{unit}: {line}");
        for line in table.lines() {
            assert!(line.chars().count() <= 80, "{line}");
        }
        assert!(!table.contains('\u{1b}'), "colours in a pipe");
    }
}

#[test]
fn a_bad_sheet_is_refused_with_every_reason_and_leaves_nothing() {
    let dir = bench();
    let bad = SHEET.replace("96.0", "-96.0").replace("hip ", "hipp");
    fs::write(dir.path().join("sheet.toml"), bad).unwrap();
    let out = build(dir.path(), &[]).code(1).output().clone();
    let said = text(&out.stderr);
    assert!(said.contains("bust") && said.contains("hipp"), "{said}");
    assert!(out.stdout.is_empty());
    assert_eq!(files(dir.path()).len(), 2, "something was written");

    let out = program(dir.path())
        .args(["check", "sheet.toml", "--json"])
        .run()
        .code(1)
        .output()
        .clone();
    let refused: Value = serde_json::from_slice(&out.stdout).unwrap();
    assert_eq!(refused["refused"], true);
    assert!(refused["findings"].as_array().unwrap().len() >= 2);
}

#[test]
fn wrong_usage_and_file_trouble_end_with_2() {
    let dir = bench();
    for args in [
        &["build", "nowhere.toml"][..],
        &["check"],
        &["check", "sheet.toml", "--unit", "ell"],
        &["build", "sheet.toml", "--workshop", "nowhere.toml"],
        &["build", "sheet.toml", "-o", "room.toml"],
        &["build", "sheet.toml", "-o", "room.toml/inside"],
        &["dance"],
    ] {
        let out = program(dir.path()).args(args).run().code(2);
        assert!(!out.output().stderr.is_empty(), "{args:?}");
    }
    fs::write(dir.path().join("latin.toml"), b"name = \"\xe9\"").unwrap();
    program(dir.path())
        .args(["check", "latin.toml"])
        .run()
        .code(2)
        .says("UTF-8");
    assert_eq!(files(dir.path()).len(), 3);
}

#[test]
fn a_second_build_gives_the_same_bytes_over_its_own_files() {
    let dir = quick_bench();
    build(dir.path(), &[]).success();
    let first = files(&dir.path().join("form"));
    build(dir.path(), &[]).success();
    assert!(first == files(&dir.path().join("form")), "bytes differ");
}

#[test]
fn what_somebody_else_wrote_or_changed_is_not_replaced_unasked() {
    let dir = quick_bench();
    let form = dir.path().join("form");
    fs::create_dir(&form).unwrap();
    fs::write(form.join("letter.txt"), "mine").unwrap();
    let out = build(dir.path(), &[]).code(2).output().clone();
    assert!(
        text(&out.stderr).contains("--force"),
        "{}",
        text(&out.stderr)
    );
    assert_eq!(files(&form).len(), 1);
    // Nobody waits for that: it is said before the body is looked at, which here has none.
    fs::write(
        dir.path().join("sheet.toml"),
        SHEET.replace("back_waist = 37.9", "back_waist = 37.9\nscye_depth = 37"),
    )
    .unwrap();
    build(dir.path(), &[]).code(2);
    build(dir.path(), &["--force"]).code(1);
    assert_eq!(files(&form).len(), 1);
    fs::write(dir.path().join("sheet.toml"), SHEET).unwrap();

    // Forced, it writes beside what is there.
    build(dir.path(), &["--force"]).success();
    assert_eq!(fs::read_to_string(form.join("letter.txt")).unwrap(), "mine");

    // A note written into the guide blocks the next build, by name.
    fs::write(form.join("guide.html"), "my notes").unwrap();
    let before = files(&form);
    let out = build(dir.path(), &[]).code(2).output().clone();
    assert!(text(&out.stderr).contains("guide.html"));
    assert!(before == files(&form), "a refused build changed something");
    build(dir.path(), &["--force"]).success();
    assert_ne!(
        fs::read_to_string(form.join("guide.html")).unwrap(),
        "my notes"
    );
    assert_eq!(fs::read_to_string(form.join("letter.txt")).unwrap(), "mine");

    // Files that this build no longer makes go; the letter stays.
    fs::write(form.join("boards/board-77.svg"), "old").unwrap();
    let list = fs::read_to_string(form.join("files.txt")).unwrap();
    // 64-bit FNV-1a of "old", worked out by hand from its published constants.
    let print = b"old".iter().fold(0xcbf2_9ce4_8422_2325_u64, |h, b| {
        (h ^ u64::from(*b)).wrapping_mul(0x0000_0100_0000_01b3)
    });
    fs::write(
        form.join("files.txt"),
        format!("{list}{print:016x} 3 boards/board-77.svg\n{print:016x} 3 ../sheet.toml\n"),
    )
    .unwrap();
    build(dir.path(), &[]).success();
    assert!(!form.join("boards/board-77.svg").exists());
    assert!(form.join("letter.txt").exists());
    assert!(dir.path().join("sheet.toml").exists());
}

#[test]
fn without_a_sheet_the_example_is_built_and_that_is_said() {
    let dir = quick_bench();
    program(dir.path())
        .args(["build", "--workshop", "room.toml"])
        .run()
        .success()
        .says("contralto");
    assert!(dir.path().join("out/contralto/guide.html").exists());
}

#[test]
fn a_sheet_may_come_through_standard_input_and_names_make_safe_folders() {
    let dir = quick_bench();
    program(dir.path())
        .args(["build", "-", "--workshop", "room.toml", "--quiet"])
        .typed(SHEET.replace("contralto, act 2", "../Ąlto / 2"))
        .run()
        .success();
    assert!(dir.path().join("out/Ąlto-2/guide.html").exists());
}

#[test]
fn letters_that_the_templates_lack_are_said() {
    let dir = quick_bench();
    program(dir.path())
        .args(["build", "-", "--workshop", "room.toml"])
        .typed(SHEET.replace("contralto, act 2", "歌手"))
        .run()
        .success()
        .says("cannot print `手歌`");
}

#[cfg(unix)]
#[test]
fn a_reader_that_has_had_enough_is_no_trouble() {
    use std::process::{Command, Stdio};
    let dir = bench();
    let mut child = Command::new(program::BINARY)
        .current_dir(dir.path())
        .args(["check", "sheet.toml"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let out = child.wait_with_output().unwrap();
    assert_eq!(out.status.code(), Some(0));
    assert!(!text(&out.stderr).contains("panicked"));
}

/// A command that only prints is there before a finger has left the key.
#[test]
fn it_starts_within_20_ms() {
    let program = program::BINARY;
    let quickest = (0..40)
        .map(|_| {
            let from = std::time::Instant::now();
            let out = std::process::Command::new(program)
                .arg("--version")
                .output()
                .unwrap();
            assert!(out.status.success());
            from.elapsed()
        })
        .min()
        .unwrap();
    assert!(quickest.as_millis() < 20, "{quickest:?}");
}

/// A layer that was spoilt is drawn again without the others, and without a folder that looks like a form.
#[test]
fn spoilt_layers_are_drawn_alone() {
    let dir = quick_bench();
    build(dir.path(), &[]).success();
    let some = |which: &str| {
        program(dir.path())
            .args(["build", "sheet.toml", "--workshop", "room.toml", "--quiet"])
            .args(["-o", "some", "--force", "--layers", which])
            .run()
    };
    some("2,4").success();
    let mut files: Vec<String> = fs::read_dir(dir.path().join("some"))
        .unwrap()
        .map(|f| f.unwrap().file_name().into_string().unwrap())
        .filter(|name| !name.starts_with('.'))
        .collect();
    files.sort();
    assert_eq!(files, ["files.txt", "templates.pdf"]);
    let all = fs::read(dir.path().join("form/templates.pdf")).unwrap();
    let few = fs::read(dir.path().join("some/templates.pdf")).unwrap();
    let pages = |bytes: &[u8]| crate::read_pdf::Pdf::read(bytes).pages.len();
    assert!(pages(&few) < pages(&all) && pages(&few) >= 2);
    some("2,400").code(2).says("no template of layer 400");
    some("0").code(2).says("no template of layer 0");
}

/// Pieces of two bodies lie on no one table: a folder of another version is not written into, the rest of
/// a form is cut on no pile of another body. What a person may know better, `--force` says.
#[test]
fn pieces_of_two_bodies_are_kept_apart() {
    let dir = quick_bench();
    let at = |name: &str| dir.path().join(name);
    let numbers = at("form/form.json");
    let built = build(dir.path(), &["--json"]).success().json();
    assert_eq!(
        built["program"],
        concat!("layfigure ", env!("CARGO_PKG_VERSION"))
    );
    let change = |what: &dyn Fn(&mut serde_json::Map<String, Value>)| {
        let mut all: Value = serde_json::from_slice(&fs::read(&numbers).unwrap()).unwrap();
        what(all.as_object_mut().unwrap());
        fs::write(&numbers, all.to_string()).unwrap();
    };
    build(dir.path(), &[]).success();

    let bottom = built["layers"][0]["bottom"].as_f64().unwrap();
    let height = built["layers"][2]["top"].as_f64().unwrap() - bottom;
    let rest = |more: &[&str]| {
        program(dir.path())
            .args(["build", "sheet.toml", "--workshop", "room.toml", "--quiet"])
            .args(["-o", "rest", "--restart-at", "4", "--height"])
            .arg(format!("{height:.1}"))
            .args(more)
            .run()
    };
    rest(&["--pile", "form"]).success();
    rest(&["--pile", "nowhere"]).code(2).says("holds no form");
    // The same body by another version is the same body.
    change(&|all| {
        all["program"] = "layfigure 0.0.1".into();
    });
    rest(&["--pile", "form"]).success();
    build(dir.path(), &[]).code(2).says("layfigure 0.0.1 made");
    // The same body in other layers is another pile; what a material is called a person may know better.
    let workshop = |key: &str, value: Value| {
        let key = key.to_owned();
        change(&move |all| {
            all["workshop"][&key] = value.clone();
        });
    };
    let material = built["workshop"]["material"].clone();
    workshop("material", "felt".into());
    let other = "the pile was cut from felt";
    rest(&["--pile", "form"]).code(2).says(other);
    rest(&["--pile", "form", "--force"]).success();
    workshop("material", material);
    let pitch = built["workshop"]["pitch"].as_f64().unwrap();
    workshop("pitch", (pitch + 0.01).into());
    let numbers_apart = "their numbers do not go together";
    rest(&["--pile", "form"]).code(2).says(numbers_apart);
    rest(&["--pile", "form", "--force"])
        .code(2)
        .says(numbers_apart);
    workshop("pitch", pitch.into());
    rest(&["--pile", "form"]).success();
    // The same body and layers on other dowels.
    let dowels = built["dowels"].clone();
    change(&|all| all["dowels"][0]["x"] = 77.0.into());
    let elsewhere = "the rest would not go on its dowels";
    rest(&["--pile", "form"]).code(2).says(elsewhere);
    rest(&["--pile", "form", "--force"]).success();
    change(&move |all| all["dowels"] = dowels.clone());
    rest(&["--pile", "form"]).success();
    let room = built["workshop"].clone();
    change(&|all| {
        all.remove("workshop");
    });
    rest(&["--pile", "form"]).code(2).says("an earlier version");
    rest(&["--pile", "form", "--force"]).success();
    change(&|all| {
        all.insert("workshop".into(), room.clone());
    });
    change(&|all| {
        all["body"] = "000000".into();
    });
    let mixed = "layers of two bodies do not meet";
    rest(&["--pile", "form"]).code(2).says(mixed);
    rest(&["--pile", "form", "--force"]).code(2).says(mixed);
    // The first versions named neither.
    change(&|all| {
        all.remove("body");
        all.remove("program");
    });
    rest(&["--pile", "form"]).code(2).says("an earlier version");
    rest(&["--pile", "form", "--force"]).success();
    build(dir.path(), &[]).code(2).says("an earlier version");
    build(dir.path(), &["--force"]).success();
}
