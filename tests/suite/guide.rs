//! The guide in the reader's unit, its pictures, and forms whose folders would be mixed up.

use std::fs;

use layfigure::form::{self, cloth_cover};
use layfigure::measure::{Level, Measure, Side};
use layfigure::say::guide;
use layfigure::{sheet, tape, workshop};

use crate::program::{SHEET, WORKSHOP, bench, build, built, files, program, quick_bench, said};

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
    // Bars are drawn in mm for machines and said in inches beside it; dowels of this room are sold by mm.
    let mut mm = numbers_in(&guide, "mm");
    mm.retain(|l| {
        !l.contains(" in)")
            && !l.to_lowercase().contains("dowels of")
            && !["8 mm", "3 mm"].contains(l)
    });
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
            "--thickness",
            "1 in",
        ],
        0,
    );
    let units = |unit: &str| out.split_whitespace().filter(|w| *w == unit).count();
    assert!(
        units("in") > 1 && units("ft") > 0 && units("lb") > 0,
        "{out}"
    );
    assert_eq!(units("mm") + units("cm") + units("kg"), 0, "{out}");

    // And anyone who measures in centimetres none of it.
    let guide = words(&fs::read_to_string(built().0.join("form/guide.html")).unwrap());
    assert!(!numbers_in(&guide, "mm").is_empty() && !numbers_in(&guide, "kg").is_empty());
    for unit in ["in", "lb", "ft"] {
        let found = numbers_in(&guide, unit);
        assert!(found.is_empty(), "{unit}: {found:?}");
    }
}

/// Every picture is as many of the page's own units wide as it has pixels, so one scale serves all.
#[test]
fn the_pictures_of_the_guide_are_at_one_scale() {
    let page = fs::read_to_string(built().0.join("form/guide.html")).unwrap();
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

/// The pattern of the cover against the tape: parts of a girth add up to it, fronts are the front arcs,
/// the lengths along the surface are a little more than those of a taut tape; and the cloth holds it.
#[test]
fn a_cover_can_be_cut_from_the_numbers_of_the_guide() {
    let sheet = sheet::read(SHEET, "sheet.toml").unwrap();
    let room = workshop::read(WORKSHOP, "room.toml").unwrap();
    let checked = form::check(sheet, &room, None).unwrap();
    let form = form::build(checked, room, 0).unwrap();
    let c = cloth_cover::cover(&form).unwrap();
    let read = |m: Measure| tape::read(&form.solid, m, Side::Both).unwrap();
    let row = |level: Level| {
        c.rows
            .iter()
            .find(|r| r.name.split(" / ").any(|n| n == level.name()))
            .unwrap()
    };
    for (level, girth, front) in [
        (Level::Hip, Measure::GirthHip, Measure::ArcFrontHip),
        (Level::Waist, Measure::GirthWaist, Measure::ArcFrontWaist),
        (Level::Bust, Measure::GirthBust, Measure::ArcFrontBust),
    ] {
        let r = row(level);
        let [f, b] = [r.front, r.back].map(|v| v[0] + v[1]);
        assert!((f + b - read(girth)).abs() < 0.01, "{level:?}");
        assert!((f - read(front)).abs() < 0.01, "{level:?}");
        // An even body has an even cover.
        assert!((r.front[0] - r.front[1]).abs() < 0.5 && c.even());
    }
    let up = c.top.along[0] - row(Level::Waist).along[0];
    let taut = read(Measure::LengthFrontWaist);
    // The tape goes down between the breasts, the cover from the one to the other.
    assert!(up > taut - 1.0 && up < taut * 1.12, "{up} {taut}");
    let up = c.top.along[1] - row(Level::Waist).along[1];
    let taut = read(Measure::LengthBackWaist);
    assert!(up > taut - 1.0 && up < taut * 1.06, "{up} {taut}");
    // The armhole in two parts is the rim itself: what a taut tape round it has, or a little more, since a tape cuts
    // off the corner at the foot of the rim in front.
    let armhole: f64 = c.top.armhole[0].iter().sum();
    let taut = tape::read(&form.solid, Measure::GirthArmscye, Side::Left).unwrap();
    assert!(
        armhole > taut - 0.1 && armhole < taut * 1.05,
        "{armhole} {taut}"
    );
    let dart = c.dart().unwrap();
    assert!((15.0..80.0).contains(&dart), "{dart}");
    if let Some([closed, over]) = c.opening.over {
        assert!(closed * c.opening.stretch >= over - 1e-6);
    }
    let area: f64 = c.pieces().iter().map(|[w, l]| w * l).sum();
    let longest = c.pieces().iter().map(|p| p[1]).fold(0.0, f64::max);
    for wide in [1400.0, 1500.0] {
        let long = c.length_of_cloth(wide).unwrap();
        assert!(
            long * wide >= area && long >= longest && long < 2.2 * longest,
            "{long}"
        );
    }
    assert_eq!(c.length_of_cloth(300.0), None);
    // And the guide says so.
    let page = words(&guide::page(&form, &[], &[]));
    for said in [
        form.checked.unit.show(dart),
        form.checked.unit.show(c.opening.length),
        form.checked
            .unit
            .off_the_bolt(c.length_of_cloth(1400.0).unwrap()),
        form.checked.unit.show_bare(row(Level::Bust).along[0]),
    ] {
        assert!(page.contains(&said), "{said}");
    }
}

/// A command that is read off the page is not broken inside an option.
#[test]
fn options_in_the_guide_are_not_broken() {
    let page = fs::read_to_string(built().0.join("form/guide.html")).unwrap();
    let option = "<span class=\"option\">--restart-at</span> ";
    assert!(
        page.contains(option)
            && page.matches("--restart-at").count() == page.matches(option).count()
    );
}

#[test]
fn forms_are_never_mixed_up_in_one_folder() {
    let dir = quick_bench();
    let at = dir.path();
    fs::write(at.join("other.toml"), SHEET.replace("96.0", "97.0")).unwrap();
    let run = |args: &[&str]| {
        let out = program(at)
            .args(["build", "--workshop", "room.toml"])
            .args(args)
            .run();
        (out.exit(), out.stderr())
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
