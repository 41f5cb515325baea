//! Which folder may be built into, and which pile the rest of a form may be cut for.

use std::fs;
use std::path::Path;

use serde_json::{Map, Value};

use crate::program::{Run, build, program, quick_bench};

/// Changes the numbers of the form in `folder`.
fn change(folder: &Path, what: impl FnOnce(&mut Map<String, Value>)) {
    let numbers = folder.join("form/form.json");
    let mut all: Value = serde_json::from_slice(&fs::read(&numbers).unwrap()).unwrap();
    what(all.as_object_mut().unwrap());
    fs::write(&numbers, all.to_string()).unwrap();
}

/// Cuts the layers from number 4 up again for the pile that `built` says the first three make.
fn rest(folder: &Path, built: &Value, pile: &str, more: &[&str]) -> Run {
    let bottom = built["layers"][0]["bottom"].as_f64().unwrap();
    let height = built["layers"][2]["top"].as_f64().unwrap() - bottom;
    program(folder)
        .args(["build", "sheet.toml", "--workshop", "room.toml", "--quiet"])
        .args([
            "-o",
            "rest",
            "--pile",
            pile,
            "--restart-at",
            "4",
            "--height",
        ])
        .arg(format!("{height:.1}"))
        .args(more)
        .run()
}

/// Pieces of two bodies lie on no one table: a folder of another version is not written into, the rest of
/// a form is cut on no pile of another body. What a person may know better, `--force` says.
#[test]
fn pieces_of_two_bodies_are_kept_apart() {
    let dir = quick_bench();
    let built = build(dir.path(), &["--json"]).success().json();
    assert_eq!(
        built["program"],
        concat!("layfigure ", env!("CARGO_PKG_VERSION"))
    );
    let change = |what: &dyn Fn(&mut Map<String, Value>)| change(dir.path(), what);
    build(dir.path(), &[]).success();

    rest(dir.path(), &built, "nowhere", &[])
        .code(2)
        .says("holds no form");
    let rest = |more: &[&str]| rest(dir.path(), &built, "form", more);
    rest(&[]).success();
    // The same body by another version is the same body.
    change(&|all| {
        all["program"] = "layfigure 0.0.1".into();
    });
    rest(&[]).success();
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
    rest(&[]).code(2).says(other);
    rest(&["--force"]).success();
    workshop("material", material);
    let pitch = built["workshop"]["pitch"].as_f64().unwrap();
    workshop("pitch", (pitch + 0.01).into());
    let numbers_apart = "their numbers do not go together";
    rest(&[]).code(2).says(numbers_apart);
    rest(&["--force"]).code(2).says(numbers_apart);
    workshop("pitch", pitch.into());
    // The same body and layers on other dowels.
    let dowels = built["dowels"].clone();
    change(&|all| all["dowels"][0]["x"] = 77.0.into());
    let elsewhere = "the rest would not go on its dowels";
    rest(&[]).code(2).says(elsewhere);
    rest(&["--force"]).success();
    change(&move |all| all["dowels"] = dowels.clone());
    rest(&[]).success();
    let room = built["workshop"].clone();
    change(&|all| {
        all.remove("workshop");
    });
    rest(&[]).code(2).says("an earlier version");
    rest(&["--force"]).success();
    change(&|all| {
        all.insert("workshop".into(), room.clone());
    });
    change(&|all| {
        all["body"] = "000000".into();
    });
    let mixed = "layers of two bodies do not meet";
    rest(&[]).code(2).says(mixed);
    rest(&["--force"]).code(2).says(mixed);
    // The first versions named neither.
    change(&|all| {
        all.remove("body");
        all.remove("program");
    });
    rest(&[]).code(2).says("an earlier version");
    rest(&["--force"]).success();
    build(dir.path(), &[]).code(2).says("an earlier version");
    build(dir.path(), &["--force"]).success();
}

/// A workshop may have several materials, and each layer of a pile is as high as its own.
#[test]
fn the_rest_is_cut_from_the_materials_of_the_pile() {
    let dir = quick_bench();
    let room = dir.path().join("room.toml");
    let plain = fs::read_to_string(&room).unwrap();
    let layers = |thin: &str| {
        let both = format!(
            "[[layer]]\nmaterial = \"foam\"\nthickness = 50.0\n[[layer]]\n{thin}\n[[stock]]"
        );
        let (_, after) = plain.split_once("[[stock]]").unwrap();
        format!("{both}{after}step = 12\n")
    };
    let felt = layers("material = \"felt\"\nthickness = 20.0");
    fs::write(&room, &felt).unwrap();
    let built = build(dir.path(), &["--json"]).success().json();
    let of = |layer: &Value| layer["material"].as_str().unwrap().to_owned();
    let lowest: Vec<String> = built["layers"].as_array().unwrap()[..3]
        .iter()
        .map(of)
        .collect();
    assert!(lowest.contains(&"felt".to_owned()), "{lowest:?}");
    let rest = |more: &[&str]| rest(dir.path(), &built, "form", more);
    rest(&[]).success();
    // A workshop without the second material, and one where it is as thick as another.
    let other = "felt of 20 mm and foam of 50 mm";
    fs::write(&room, &plain).unwrap();
    rest(&["--force"]).code(2).says(other);
    fs::write(&room, layers("material = \"felt\"\nthickness = 25.0")).unwrap();
    rest(&["--force"]).code(2).says(other).says("felt of 25 mm");
    // What it is called a person may know better.
    fs::write(&room, layers("material = \"cloth\"\nthickness = 20.0")).unwrap();
    rest(&[]).code(2).says(other).says("cloth of 20 mm");
    rest(&["--force"]).success();
    // A pile in another order.
    fs::write(&room, &felt).unwrap();
    let order = |from: &'static str, to: &'static str, thickness: f64| {
        change(dir.path(), |all| {
            let layers = all["layers"].as_array_mut().unwrap();
            for layer in layers.iter_mut().take(3).filter(|l| l["material"] == from) {
                layer["material"] = to.into();
                layer["thickness"] = thickness.into();
            }
        });
    };
    order("felt", "foam", 50.0);
    let differs = "of the pile was cut from foam of 50 mm";
    rest(&[])
        .code(2)
        .says(differs)
        .says("it would be felt of 20 mm");
    fs::write(dir.path().join("form/form.json"), built.to_string()).unwrap();
    // Another scale, and more taken off for the padding.
    for (key, said) in [
        ("scale = 0.5", "scale 0.5"),
        ("[form]", "smaller than the body by"),
    ] {
        let changed = match key {
            "[form]" => felt.replace(key, "[padding]\nbatting = 9\n[form]"),
            _ => felt.replace(key, "scale = 1"),
        };
        assert_ne!(changed, felt);
        fs::write(&room, changed).unwrap();
        rest(&["--force"]).code(2).says(said);
    }
}

/// A layer that was spoilt is drawn again without the others, and without a folder that looks like a form.
#[test]
fn spoilt_layers_are_drawn_alone() {
    let dir = quick_bench();
    build(dir.path(), &[]).success();
    let some = |which: &str| {
        program(dir.path())
            .args(["build", "sheet.toml", "--workshop", "room.toml", "--quiet"])
            .args(["-o", "some", "--force", "--pile", "form", "--layers", which])
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
    assert!(pages(&few) <= pages(&all));
    let listed = crate::read_pdf::Pdf::read(&few).words(0);
    for (layer, drawn) in [("1", false), ("2", true), ("3", false), ("4", true)] {
        assert_eq!(
            listed.lines().any(|l| l == layer),
            drawn,
            "{layer}: {listed}"
        );
    }
    some("2,400").code(2).says("no template of layer 400");
    some("0").code(2).says("no template of layer 0");
}
