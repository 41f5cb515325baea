//! The guide in the unit of whoever reads it, its pictures, and forms whose folders would be mixed up.

use std::fs;

use crate::commands::{SHEET, bench, build, files, program, said};

/// What somebody reads of a page: no tags, no pictures, no style.
fn words(page: &str) -> String {
    let mut out = page.to_owned();
    // Drawings have their own words, and the style is none.
    for (open, close) in [("<style", "</style>"), ("<svg", "</svg>")] {
        while let Some(at) = out.find(open) {
            let end = at + out[at..].find(close).unwrap() + close.len();
            out.replace_range(at..end, "");
        }
    }
    let mut plain = String::new();
    let mut inside = false;
    for c in out.chars() {
        match c {
            '<' => inside = true,
            '>' => {
                inside = false;
                plain.push('\n');
            }
            c if !inside => plain.push(c),
            _ => {}
        }
    }
    plain
}

/// Lines in which a number stands before `unit`.
fn numbers_in<'a>(text: &'a str, unit: &str) -> Vec<&'a str> {
    let ends = |line: &str| {
        let words: Vec<&str> = line.split_whitespace().collect();
        words.windows(2).any(|w| {
            let number = w[0].trim_start_matches('(').parse::<f64>().is_ok();
            let after = w[1].trim_end_matches(['.', ',', ';', ':', ')']);
            number && after == unit
        })
    };
    text.lines().filter(|l| ends(l)).collect()
}

#[test]
fn whoever_measures_in_inches_reads_inches_and_pounds() {
    let dir = bench();
    let at = dir.path();
    build(at, &["--unit", "in"]).success();
    let guide = words(&fs::read_to_string(at.join("form/guide.html")).unwrap());
    // Bars are drawn in mm for machines and said in inches beside it; rods of this room are sold by mm.
    let mut mm = numbers_in(&guide, "mm");
    mm.retain(|l| !l.contains(" in)") && !l.contains("rods of") && !["8 mm", "3 mm"].contains(l));
    assert!(mm.is_empty(), "{mm:?}");
    for unit in ["cm", "kg", "m", "m²"] {
        let found = numbers_in(&guide, unit);
        assert!(found.is_empty(), "{unit}: {found:?}");
    }
    for unit in ["lb", "ft", "in"] {
        assert!(!numbers_in(&guide, unit).is_empty(), "nothing is in {unit}");
    }
    let (out, _) = said(
        at,
        &[
            "plan",
            "sheet.toml",
            "--workshop",
            "room.toml",
            "--unit",
            "in",
        ],
        0,
    );
    for head in [
        "layer, in",
        "widest step, in",
        "cut, ft",
        "layers weigh, lb",
    ] {
        assert!(out.contains(head), "{head}: {out}");
    }
    assert!(!out.contains("mm") && !out.contains("kg"), "{out}");

    // And whoever measures in centimetres none of it.
    build(at, &["--force"]).success();
    let guide = words(&fs::read_to_string(at.join("form/guide.html")).unwrap());
    assert!(!numbers_in(&guide, "mm").is_empty() && !numbers_in(&guide, "kg").is_empty());
    for unit in ["in", "lb", "ft"] {
        let found = numbers_in(&guide, unit);
        assert!(found.is_empty(), "{unit}: {found:?}");
    }
}

/// Every picture is as many of the page's own units wide as it has pixels, so one scale serves all.
#[test]
fn the_pictures_of_the_guide_are_at_one_scale() {
    let dir = bench();
    build(dir.path(), &[]).success();
    let page = fs::read_to_string(dir.path().join("form/guide.html")).unwrap();
    assert!(page.contains("width: calc(var(--w) * var(--k)); height: auto;"));
    let from = page.find("<div class=\"pictures\"").unwrap();
    let part = &page[from..from + page[from..].find("</div>").unwrap()];
    let number = |text: &str, after: &str| -> f64 {
        let rest = &text[text.find(after).unwrap() + after.len()..];
        let end = rest
            .find(|c: char| !(c.is_ascii_digit() || c == '.'))
            .unwrap();
        rest[..end].parse().unwrap()
    };
    let mut sum = 0.0;
    let mut pictures = 0;
    for figure in part.split("<figure>").skip(1) {
        let shown = number(figure, "--w: ");
        let own = if figure.contains("viewBox") {
            number(figure, "viewBox=\"0 0 ")
        } else {
            number(figure, " width=\"")
        };
        assert!((shown - own).abs() < 1e-9, "{shown} for {own}");
        sum += shown;
        pictures += 1;
    }
    assert_eq!(pictures, 4);
    assert!((number(part, "--all: ") - sum).abs() < 1e-9);
}

/// A second run stands on the first, and the neck's cap is of something.
#[test]
fn the_guide_says_how_runs_are_lined_up_and_what_the_cap_is_made_of() {
    let dir = bench();
    build(dir.path(), &[]).success();
    let page = fs::read_to_string(dir.path().join("form/guide.html")).unwrap();
    assert!(page.contains("Build every further run on the run below it, on the same dowels"));
    assert!(page.contains("plywood or hardboard of 4 mm to 6 mm, not of the layers' foam"));
}

#[test]
fn forms_are_never_mixed_up_in_one_folder() {
    let dir = bench();
    let at = dir.path();
    fs::write(at.join("other.toml"), SHEET.replace("96.0", "97.0")).unwrap();
    let run = |args: &[&str]| {
        let out = program(at)
            .args(["build", "--workshop", "room.toml"])
            .args(args)
            .output()
            .unwrap();
        let said = String::from_utf8(out.stderr).unwrap();
        (out.status.code(), said)
    };
    let (code, said) = run(&["sheet.toml", "other.toml"]);
    assert_eq!(code, Some(2));
    assert!(said.contains("one form at a time"), "{said}");
    assert!(!at.join("out").exists());

    assert_eq!(run(&["sheet.toml"]).0, Some(0));
    let before = files(&at.join("out"));
    let (code, said) = run(&["other.toml"]);
    assert_eq!(code, Some(2));
    assert!(
        said.contains("holds the form of another sheet, `sheet.toml`, which has the same `name`"),
        "{said}"
    );
    assert!(before == files(&at.join("out")), "something was written");
    // The same sheet again, or the other when asked to.
    assert_eq!(run(&["sheet.toml"]).0, Some(0));
    assert_eq!(run(&["other.toml", "--force"]).0, Some(0));
    assert!(before != files(&at.join("out")));
}
