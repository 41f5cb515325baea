//! Padding a form out to a body, on tubes with a closed form and on people; and a person over time.

use std::f64::consts::{PI, TAU};
use std::fs;

use layfigure::compare::{self, Body};
use layfigure::measure::{Figure, Level, Measure, Side};
use layfigure::sheet::{Origin, Target, WaistKind};
use layfigure::units::Unit;
use layfigure::{Error, Severity};
use serde_json::Value;

use crate::compare::judges_nobody;
use crate::program::said;
use crate::toy;

/// An upright elliptic tube from 0 to 600 mm, its middle at `y`, standing for a body with the girths
/// of an ellipse at every level.
fn tube(a: f64, b: f64, y: f64) -> Body {
    let levels = [
        (Level::Hem, 0.0),
        (Level::Hip, 60.0),
        (Level::Waist, 250.0),
        (Level::Bust, 400.0),
        (Level::Armpit, 450.0),
        (Level::MidArmscye, 500.0),
        (Level::Nape, 600.0),
    ];
    let mesh = toy::tube([a, b], y, 600.0, 121, &levels);
    let given = |measure: Measure, value: f64| Target {
        measure,
        side: Side::Both,
        value,
        origin: Origin::Given,
        plus_minus: 0.0,
        within: None,
    };
    let girth = perimeter(a, b);
    Body {
        name: "tube".into(),
        taken: None,
        unit: Unit::Cm,
        figure: Figure::Woman,
        waist: WaistKind::Natural,
        is_size: false,
        values: vec![
            given(Measure::GirthBust, girth),
            given(Measure::GirthWaist, girth),
            given(Measure::GirthHip, girth),
            given(Measure::LengthShoulder, 140.0),
            given(Measure::LengthBackWaist, 380.0),
        ],
        solid: Some(mesh),
        findings: Vec::new(),
    }
}

/// Perimeter of an ellipse (Ramanujan 1914, second formula: here exact to far below a micrometre).
fn perimeter(a: f64, b: f64) -> f64 {
    let h = ((a - b) / (a + b)).powi(2);
    PI * (a + b) * (1.0 + 3.0 * h / (10.0 + (4.0 - 3.0 * h).sqrt()))
}

#[test]
fn tubes_are_padded_as_the_formula_says() {
    let body = tube(162.0, 112.0, 0.0);
    // Wherever the form stood in its own axes, it is put where the padding is even.
    for y in [0.0, -20.0, 34.0] {
        let p = compare::pad_out(&tube(150.0, 100.0, y), &body, 4.0, Unit::Cm).unwrap();
        assert_eq!(p.levels.len(), 3);
        let evenly = (perimeter(162.0, 112.0) - perimeter(150.0, 100.0)) / TAU;
        for l in &p.levels {
            assert!((l.evenly - evenly).abs() < 0.01, "{} {evenly}", l.evenly);
            for t in l.around {
                assert!((t - 12.0).abs() < 0.05, "{:?}", l.around);
            }
        }
        assert_eq!(p.layers.len(), 3);
        // From the hem to the middle of the armhole in steps of 10 mm, ends half a step inside.
        let area = perimeter(162.0, 112.0) * 490.0;
        for layer in &p.layers {
            assert!(
                (layer.area / area - 1.0).abs() < 0.01,
                "{} {area}",
                layer.area
            );
            assert!(layer.part.iter().all(|q| (q - 1.0).abs() < 1e-9));
        }
        assert!((p.area / (3.0 * 1.15 * area) - 1.0).abs() < 0.01);
        assert!(p.findings.is_empty());
        let r =
            |a: f64, b: f64, t: f64| 1.0 / ((t.cos() / a).powi(2) + (t.sin() / b).powi(2)).sqrt();
        for spot in p.spots.iter().flatten() {
            let t = (112.0 * (1.0 - (spot.x / 162.0).powi(2)).sqrt()).atan2(spot.x);
            let want = r(162.0, 112.0, t) - r(150.0, 100.0, t);
            assert!((spot.apart - want).abs() < 0.05, "{} {want}", spot.apart);
        }
    }
}

#[test]
fn a_form_of_the_same_size_needs_nothing() {
    let p = compare::pad_out(
        &tube(150.0, 100.0, 0.0),
        &tube(150.0, 100.0, 0.0),
        4.0,
        Unit::Cm,
    )
    .unwrap();
    assert!(p.layers.is_empty() && p.area == 0.0 && p.findings.is_empty());
}

fn reasons(form: &Body, body: &Body) -> Vec<String> {
    match compare::pad_out(form, body, 4.0, Unit::Cm) {
        Err(Error::Comparison(list)) => list
            .into_iter()
            .filter(|f| f.severity == Severity::Refusal)
            .map(|f| f.message())
            .collect(),
        Err(e) => panic!("{e}"),
        Ok(_) => Vec::new(),
    }
}

#[test]
fn what_is_larger_or_longer_is_refused_with_every_reason() {
    let body = tube(162.0, 112.0, 0.0);
    let with = |measure: Measure, more: f64| {
        let mut form = tube(150.0, 100.0, 0.0);
        let own = |b: &Body| {
            b.values
                .iter()
                .find(|t| t.measure == measure)
                .unwrap()
                .value
        };
        let wanted = own(&body) + more;
        for t in form.values.iter_mut().filter(|t| t.measure == measure) {
            t.value = wanted;
        }
        form
    };
    assert!(reasons(&with(Measure::LengthShoulder, 0.0), &body).is_empty());
    // A long shoulder is cut back in the room, so it is said and not refused.
    let p = compare::pad_out(&with(Measure::LengthShoulder, 8.0), &body, 4.0, Unit::Cm).unwrap();
    let said = &p.findings[0];
    assert_eq!(
        said.message(),
        "the form is longer than the body in the shoulder length: 14.8 cm and 14.0 cm"
    );
    assert!(
        said.hint().starts_with("cut or shave 0.8 cm off"),
        "{}",
        said.hint()
    );
    let words = reasons(&with(Measure::LengthBackWaist, 15.0), &body);
    assert_eq!(
        words,
        ["the form is longer than the body in the back waist length: 39.5 cm and 38.0 cm"]
    );
    let words = reasons(&with(Measure::GirthWaist, 12.0), &body);
    assert_eq!(words.len(), 1);
    assert!(words[0].starts_with("the form is larger than the body in the waist girth"));
    // An estimate refuses nothing, but is said.
    let mut guessed = with(Measure::GirthWaist, 12.0);
    for t in &mut guessed.values {
        t.origin = Origin::Estimated;
    }
    let p = compare::pad_out(&guessed, &body, 4.0, Unit::Cm).unwrap();
    assert!(
        p.findings
            .iter()
            .any(|f| f.message().contains("waist girth"))
    );
    // Larger all round: the sheets and the solids say so.
    assert!(reasons(&tube(170.0, 120.0, 0.0), &body).len() >= 4);
}

fn stands_alone(page: &str) {
    assert!(page.starts_with("<!DOCTYPE html>"));
    for outside in ["http://", "https://", "<script", "<link"] {
        let plain = page.replace("http://www.w3.org/2000/svg", "");
        assert!(!plain.contains(outside), "the page needs {outside}");
    }
    judges_nobody(page.split_once("</style>").unwrap().1);
}

#[test]
fn padding_is_printed_drawn_and_refused() {
    let dir = tempfile::tempdir().unwrap();
    let at = dir.path();
    let two = ["women:84-tall", "women:92-tall"];
    let (text, _) = said(
        at,
        &["compare", "--pad-out", two[0], two[1], "--page", "pad.html"],
        0,
    );
    judges_nobody(&text);
    assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
    assert!(text.contains("batting to buy"));
    stands_alone(&fs::read_to_string(at.join("pad.html")).unwrap());
    let (json, _) = said(at, &["compare", "--pad-out", two[0], two[1], "--json"], 0);
    let json: Value = serde_json::from_str(&json).unwrap();
    let levels = json["levels"].as_array().unwrap();
    assert!(levels.len() >= 6);
    for l in levels {
        let of = |k: &str| l["thickness"][k].as_f64().unwrap();
        // Round the body the four sides are about the even thickness; at the bust most of it lies between them.
        let mean = (of("front") + of("back") + of("right") + of("left")) / 4.0;
        let evenly = l["evenly"].as_f64().unwrap();
        assert!((mean - evenly).abs() < 5.5, "{l}");
        assert!((of("right") - of("left")).abs() < 0.5, "{l}");
    }
    // The other way round is refused, and nothing is written.
    let (out, refused) = said(
        at,
        &["compare", "--pad-out", two[1], two[0], "--page", "no.html"],
        1,
    );
    assert!(out.is_empty());
    assert!(
        refused.contains("padding only adds: choose a smaller form"),
        "{refused}"
    );
    assert!(!at.join("no.html").exists());
    for (args, words) in [
        (
            &["compare", "--pad-out", two[0], two[1], two[1]][..],
            "takes two",
        ),
        (
            &["compare", "--pad-out", two[0], two[1], "--batting", "0"][..],
            "`--batting`",
        ),
        (
            &["compare", "--pad-out", "women-gost:92", two[1]][..],
            "makes no form",
        ),
        (
            &["compare", two[0], two[1], "--batting", "4mm"][..],
            "--pad-out",
        ),
    ] {
        let (_, refused) = said(at, args, 2);
        assert!(refused.contains(words), "{args:?}: {refused}");
    }
}

fn dated(date: &str, waist: &str, more: &str) -> String {
    format!(
        "name = \"contralto\"\ntaken = {date}\nunit = \"cm\"\nfigure = \"woman\"\n[girth]\n\
         bust = 96.0\nwaist = {waist}\nhip = 101.9\n{more}\n[length]\nback_waist = 37.9\n"
    )
}

#[test]
fn a_person_over_time_in_the_order_of_the_dates() {
    let dir = tempfile::tempdir().unwrap();
    let at = dir.path();
    fs::write(
        at.join("b.toml"),
        dated("2026-03-02", "78.0", "neck = 32.6"),
    )
    .unwrap();
    fs::write(at.join("a.toml"), dated("2026-01-31", "76.8", "")).unwrap();
    fs::write(
        at.join("c.toml"),
        dated("2026-04-01", "80.8", "neck = 32.7"),
    )
    .unwrap();
    let args = ["compare", "--over-time", "b.toml", "a.toml", "c.toml"];
    let (json, _) = said(at, &[&args[..], &["--json"]].concat(), 0);
    let json: Value = serde_json::from_str(&json).unwrap();
    assert_eq!(
        json["dates"],
        serde_json::json!(["2026-01-31", "2026-03-02", "2026-04-01"])
    );
    assert_eq!(json["days"], serde_json::json!([0, 30, 60]));
    let of = |key: &str| {
        json["measures"]
            .as_array()
            .unwrap()
            .iter()
            .find(|m| m["key"] == key)
            .unwrap()
    };
    let waist = of("girth.waist");
    assert_eq!(waist["values"], serde_json::json!([768.0, 780.0, 808.0]));
    assert_eq!(waist["difference"], 40.0);
    assert_eq!(waist["in_30_days"], 20.0);
    assert_eq!(waist["is_noise"], false);
    let neck = of("girth.neck");
    assert!(neck["values"][0].is_null());
    assert_eq!(neck["difference"], 1.0);
    assert_eq!(neck["is_noise"], true);
    assert!(neck["in_30_days"].is_null());
    let (text, _) = said(at, &[&args[..], &["--page", "t.html"]].concat(), 0);
    judges_nobody(&text);
    assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
    assert!(text.contains("▁▃█") && text.contains("·▁█"), "{text}");
    let page = fs::read_to_string(at.join("t.html")).unwrap();
    stands_alone(&page);
    // Each number stays with its unit.
    let change = ["+4.0 cm", "(+1 5/8 in)"].map(|t| format!("<span class=\"option\">{t}</span>"));
    assert!(page.contains(&format!("waist girth: {}", change.join(" "))));
    // What to alter: 12 mm are within what two readings differ by, 40 mm since the first date are not; a week later 10 mm
    // more are nothing again, since the seams are at the third date's.
    fs::write(at.join("e.toml"), dated("2026-04-08", "81.8", "")).unwrap();
    let (json, _) = said(at, &[&args[..], &["e.toml", "--json"]].concat(), 0);
    let json: Value = serde_json::from_str(&json).unwrap();
    let altered = json["altered"].as_array().unwrap();
    assert_eq!(altered.len(), 1, "{altered:?}");
    assert_eq!(altered[0]["date"], "2026-04-01");
    assert_eq!(altered[0]["alterations"][0]["key"], "girth.waist");
    assert_eq!(altered[0]["alterations"][0]["by"], 40.0);
    assert_eq!(altered[0]["alterations"][0]["beyond_ease"], 30.0);
    assert!(
        text.contains("on 2026-04-01\n- let out at the waist by 3.0 cm"),
        "{text}"
    );
    let (text, _) = said(at, &[&args[..], &["--ease", "5"]].concat(), 0);
    assert!(text.ends_with("nothing beyond the ease\n"), "{text}");
    // Without dates, or with one date twice, there is no course.
    fs::write(at.join("d.toml"), dated("2026-04-01", "80.8", "")).unwrap();
    let (_, twice) = said(at, &["compare", "--over-time", "c.toml", "d.toml"], 2);
    assert!(
        twice.contains("two sheets were measured on 2026-04-01"),
        "{twice}"
    );
    let (_, none) = said(at, &["compare", "--over-time", "c.toml", "women:92"], 2);
    assert!(none.contains("does not say when it was measured"), "{none}");
}

/// Sheet for sheet of a long course is let go again once its readings are taken; and there is an end.
#[test]
fn courses_may_be_long() {
    let dir = tempfile::tempdir().unwrap();
    let names: Vec<String> = (0..21).map(|i| format!("{i}.toml")).collect();
    for (i, name) in names.iter().enumerate() {
        let date = format!("2026-01-{:02}", 31 - i);
        let waist = format!("{:.1}", 76.0 + i as f64 / 10.0);
        fs::write(dir.path().join(name), dated(&date, &waist, "")).unwrap();
    }
    let mut args = vec!["compare", "--over-time", "--json"];
    args.extend(names.iter().map(String::as_str));
    let (json, _) = said(dir.path(), &args, 0);
    let json: Value = serde_json::from_str(&json).unwrap();
    let all = json["measures"].as_array().unwrap();
    let waist = all.iter().find(|m| m["key"] == "girth.waist").unwrap();
    let values: Vec<f64> = waist["values"]
        .as_array()
        .unwrap()
        .iter()
        .map(|v| v.as_f64().unwrap())
        .collect();
    let wanted: Vec<f64> = (0..21).rev().map(|i| 760.0 + f64::from(i)).collect();
    assert_eq!(values, wanted);
    // Of two that cannot be read, the one that was named first is told.
    args[5] = "missing-one.toml";
    args[21] = "missing-two.toml";
    let (_, said_of) = said(dir.path(), &args, 2);
    assert!(
        said_of.contains("missing-one") && !said_of.contains("missing-two"),
        "{said_of}"
    );
    let mut args = vec!["compare", "--over-time"];
    args.resize(523, "nowhere.toml");
    let (_, many) = said(dir.path(), &args, 2);
    assert!(
        many.contains("521 sheets are more than the 520") && many.contains("leave some dates out"),
        "{many}"
    );
}
