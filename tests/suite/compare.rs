//! Comparing bodies: nothing where nothing differs, known differences, noise, inches, sizes, the map
//! on shapes with a closed form, the page, and the tone.

use std::fmt::Write as _;
use std::fs;
use std::path::Path;

use layfigure::compare::{self, Body, Ease, Matched, Standing, Use};
use layfigure::measure::{Level, Measure, Side};
use layfigure::mesh::Mesh;
use layfigure::profile;
use layfigure::say::compare::{self as report, Pair};
use layfigure::sheet::{self, Origin};
use layfigure::units::Unit;
use serde_json::Value;

use crate::program::said;
use crate::toy;

const HEAD: &str = "unit = \"cm\"\nfigure = \"woman\"\n";

fn body(text: &str) -> Body {
    let sheet = sheet::read(text, "chorister.toml").unwrap_or_else(|e| panic!("{e:?}"));
    Body::of_sheet(&sheet).unwrap()
}

/// A body by its main measurements, cm.
fn plain(bust: f64, waist: f64, hip: f64, more: &str) -> Body {
    body(&format!(
        "name = \"chorister\"\n{HEAD}{more}\n[girth]\nbust = {bust}\nwaist = {waist}\nhip = {hip}\n\
         [length]\nback_waist = 37.9\n[height]\nstature = 170\n"
    ))
}

fn pair(a: Body, b: Body) -> Pair {
    Pair::new(a, b, Ease::default(), Unit::Cm, Standing::Waist)
}

fn find(p: &Pair, measure: Measure) -> &compare::Difference {
    p.differences.iter().find(|d| d.measure == measure).unwrap()
}

#[test]
fn a_sheet_differs_from_itself_by_nothing_at_all() {
    for name in ["contralto", "baritone", "chorister"] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("tests/sheets/{name}.toml"));
        let text = fs::read_to_string(path).unwrap();
        let p = pair(body(&text), body(&text));
        assert!(p.differences.len() > 30, "{name}");
        for d in &p.differences {
            assert!(d.apart == 0.0, "{name}: {}", d.measure);
            assert!(d.is_noise());
        }
        assert!(p.is_same() && p.alterations.is_empty());
        assert!(report::bodies(&p, true).contains("no difference at all"));
        assert!(report::page(&p).unwrap().contains("No difference at all"));
        let (a, b) = (p.a.solid.as_ref().unwrap(), p.b.solid.as_ref().unwrap());
        let m = Matched::new(a, b).unwrap();
        let (low, high) = m.range();
        for i in 0..=20 {
            let z = low + (high - low) * f64::from(i) / 20.0;
            for front in [true, false] {
                assert!(m.spots(z, 20.0, front).iter().all(|s| s.apart.abs() < 1e-6));
            }
        }
    }
}

#[test]
fn known_differences_come_out_with_their_sign_and_turn_round() {
    let (a, b) = (plain(92.0, 74.0, 98.0, ""), plain(92.3, 79.5, 97.0, ""));
    let p = pair(a.clone(), b.clone());
    let waist = find(&p, Measure::GirthWaist);
    assert!((waist.apart - 55.0).abs() < 1e-9 && !waist.is_noise());
    assert!((waist.percent().unwrap() - 100.0 * 5.5 / 74.0).abs() < 1e-9);
    assert!(find(&p, Measure::GirthBust).is_noise());
    assert!(find(&p, Measure::GirthHip).is_noise());
    assert_eq!(p.differences[0].measure, Measure::GirthWaist);
    let let_out = p
        .alterations
        .iter()
        .find(|x| x.measure == Measure::GirthWaist)
        .unwrap();
    assert_eq!(let_out.what, "let out at the waist");
    assert!((let_out.by - 55.0).abs() < 1e-9 && (let_out.beyond - 45.0).abs() < 1e-9);
    let back = pair(b, a);
    assert_eq!(back.differences.len(), p.differences.len());
    for d in &p.differences {
        let turned = find(&back, d.measure);
        assert!((turned.apart + d.apart).abs() < 1e-9, "{}", d.measure);
        assert!((turned.limit - d.limit).abs() < 1e-9);
    }
    assert!(
        back.alterations
            .iter()
            .any(|x| x.what == "take in at the waist")
    );
}

#[test]
fn nothing_is_altered_for_noise_or_within_the_ease() {
    let (a, b) = (plain(92.0, 74.0, 98.0, ""), plain(96.0, 79.5, 98.0, ""));
    for girth in [0.0, 10.0, 45.0, 60.0] {
        let ease = Ease { girth, length: 6.0 };
        let p = Pair::new(a.clone(), b.clone(), ease, Unit::Cm, Standing::Waist);
        for x in &p.alterations {
            let d = find(&p, x.measure);
            assert!(!d.is_noise());
            assert!((x.by - d.apart.abs()).abs() < 1e-9 && x.beyond > 0.0);
        }
        let bust = p
            .alterations
            .iter()
            .any(|x| x.measure == Measure::GirthBust);
        assert_eq!(bust, girth < 40.0);
    }
}

/// Two sheets that say how sure they are: the limit is the root of the sum of the squares.
#[test]
fn what_a_sheet_says_of_its_sureness_is_the_noise() {
    let with = |waist: &str| {
        body(&format!(
            "{HEAD}[girth]\nbust = 92\nwaist = {waist}\nhip = 98\n[length]\nback_waist = 37.9\n"
        ))
    };
    let p = pair(
        with("{ value = 74, within = 0.3 }"),
        with("{ value = 74.6, within = 0.4 }"),
    );
    let waist = find(&p, Measure::GirthWaist);
    assert!((waist.limit - 5.0).abs() < 1e-9);
    assert!(!waist.is_noise());
}

#[test]
fn inches_are_the_nearest_eighth_of_the_exact_inch() {
    for k in 0..12 {
        let apart = 11.0 + 3.7 * f64::from(k);
        let p = pair(
            plain(92.0, 74.0, 98.0, ""),
            plain(92.0, 74.0 + apart / 10.0, 98.0, ""),
        );
        let json = report::bodies_json(&p).unwrap();
        let waist = json["differences"]
            .as_array()
            .unwrap()
            .iter()
            .find(|d| d["key"] == "girth.waist")
            .unwrap()
            .clone();
        let text = waist["shown_in"].as_str().unwrap();
        let mut inches = 0.0;
        for part in text.trim_start_matches('+').split(' ') {
            inches += match part.split_once('/') {
                Some((top, bottom)) => {
                    assert!(["2", "4", "8"].contains(&bottom), "{text}");
                    top.parse::<f64>().unwrap() / bottom.parse::<f64>().unwrap()
                }
                None => part.parse::<f64>().unwrap(),
            };
        }
        // An inch is 25.4 mm exactly (international yard and pound agreement, 1959).
        assert!(
            (inches - apart / 25.4).abs() <= 1.0 / 16.0 + 1e-9,
            "{apart} mm as {text}"
        );
        let cm: f64 = waist["shown_cm"].as_str().unwrap().parse().unwrap();
        assert!((cm - apart / 10.0).abs() <= 0.05 + 1e-9);
    }
    for eighths in 0..100 {
        let mm = 25.4 * f64::from(eighths) / 8.0;
        let text = Unit::In.show_bare(mm);
        let back = layfigure::units::parse_length(&format!("{text} in"), Unit::Cm).unwrap();
        assert!((back - mm).abs() < 1e-9, "{text}");
    }
}

#[test]
fn left_and_right_stand_apart_where_one_sheet_has_them() {
    let with = |shoulder: &str| {
        body(&format!(
            "{HEAD}[girth]\nbust = 92\nwaist = 74\nhip = 98\n[length]\nback_waist = 37.9\n\
             shoulder = {shoulder}\n"
        ))
    };
    let p = pair(with("14.0"), with("{ left = 14.0, right = 15.2 }"));
    let of = |side| {
        p.differences
            .iter()
            .find(|d| d.measure == Measure::LengthShoulder && d.side == side)
            .unwrap()
    };
    assert!(of(Side::Left).apart == 0.0);
    assert!((of(Side::Right).apart - 12.0).abs() < 1e-9);
    let text = report::bodies(&p, false);
    assert!(text.contains("shoulder length, right"), "{text}");
    let line: Vec<&str> = text.split_whitespace().collect();
    let said =
        "lengthen the shoulder seam on the right by 0.6 cm (1/4 in); the bodies differ by 1.2 cm";
    assert!(line.join(" ").contains(said), "{text}");
}

#[test]
fn waists_of_two_definitions_are_compared_at_one() {
    let navel = plain(92.0, 80.0, 98.0, "waist = \"navel\"");
    let natural = plain(92.0, 74.0, 98.0, "waist = \"natural\"");
    let p = pair(natural, navel);
    let waist = find(&p, Measure::GirthWaist);
    assert_eq!(waist.a.origin, Origin::Given);
    assert_eq!(waist.b.origin, Origin::Estimated);
    assert!(waist.b.value < 800.0, "{}", waist.b.value);
    assert!(waist.is_noise());
    assert!(report::bodies(&p, false).contains("at the natural waist"));
}

#[test]
fn a_size_is_nearest_to_itself_at_every_level() {
    let all = profile::built_in().unwrap();
    let women = profile::find(&all, "women").unwrap();
    for name in ["84-short", "92-regular", "104-tall"] {
        let size = women.size(name).unwrap();
        let n = compare::nearest(&Body::of_size(&size).unwrap(), women);
        for l in &n.levels {
            assert_eq!(l.size, name, "{}", l.measure);
            assert!(l.apart.abs() < 0.06);
        }
        assert!(n.picks.iter().all(|p| p.size == name));
        assert_eq!(n.picks.len(), 2);
    }
    // Half-way between two sizes every level is half-way.
    let n = compare::nearest(
        &Body::of_size(&women.size("93-tall").unwrap()).unwrap(),
        women,
    );
    for l in &n.levels {
        let between = l.between.unwrap();
        assert!((between - 930.0).abs() < 2.0, "{}: {between}", l.measure);
    }
}

#[test]
fn each_level_finds_its_own_size_and_top_and_skirt_theirs() {
    let all = profile::built_in().unwrap();
    let women = profile::find(&all, "women").unwrap();
    // Bust of a 92, waist of a 100 (80.5 at tall), hip of a 96 (101.9).
    let b = plain(92.0, 80.9, 101.9, "");
    let n = compare::nearest(&b, women);
    let of = |m: Measure| n.levels.iter().find(|l| l.measure == m).unwrap();
    assert_eq!(of(Measure::GirthBust).size, "92-tall");
    assert_eq!(of(Measure::GirthWaist).size, "100-tall");
    assert_eq!(of(Measure::GirthHip).size, "96-tall");
    let pick = |u: Use| n.picks.iter().find(|p| p.for_a == u).unwrap();
    assert_eq!(pick(Use::Top).size, "92-tall");
    assert_eq!(pick(Use::Skirt).size, "96-tall");
    // The German rule by hand: bust / 2 - 6 = 40.
    let german = profile::find(&all, "women-german").unwrap();
    let n = compare::nearest(&b, german);
    assert_eq!(n.picks[0].size, "40");
    assert_eq!(n.picks.len(), 1);
    // A bust 5 cm or more above the upper chest: the top goes by the upper chest.
    let full = body(&format!(
        "{HEAD}[girth]\nupper_chest = 89.0\nbust = 98\nwaist = 78\nhip = 100\n\
         [height]\nstature = 170\n"
    ));
    let n = compare::nearest(&full, women);
    assert_eq!(n.picks[0].by, Measure::GirthUpperChest);
    assert_eq!(n.picks[0].size, "90-tall");
    // Another waist is not compared.
    let plus = profile::find(&all, "women-plus").unwrap();
    let n = compare::nearest(&full, plus);
    assert!(n.other_waist);
    assert!(n.levels.iter().all(|l| l.measure != Measure::GirthWaist));
}

/// An upright tube of elliptic sections with levels, `rise` mm high.
fn tube(x: f64, y: f64, rise: f64) -> Mesh {
    let levels = [
        (Level::Hem, 0.0),
        (Level::Waist, 0.4 * rise),
        (Level::NeckTop, rise),
    ];
    toy::tube([x, y], 0.0, rise, 60, &levels)
}

#[test]
fn the_map_of_two_ellipses_is_that_of_the_formula() {
    let (a, b) = (tube(150.0, 100.0, 500.0), tube(165.0, 120.0, 700.0));
    let m = Matched::new(&a, &b).unwrap();
    assert!((m.height_on_a(0.4 * 700.0) - 200.0).abs() < 1e-9);
    assert!((m.height_on_a(490.0) - 350.0).abs() < 1e-9);
    let r = |x: f64, y: f64, t: f64| 1.0 / ((t.cos() / x).powi(2) + (t.sin() / y).powi(2)).sqrt();
    for z in [3.0, 100.0, 333.3, 690.0] {
        let [right, front, left, back] = m.round(z).unwrap();
        for (found, want) in [(right, 15.0), (front, 20.0), (left, 15.0), (back, 20.0)] {
            assert!((found - want).abs() < 0.02, "{found} {want}");
        }
        for front in [true, false] {
            let spots = m.spots(z, 20.0, front);
            assert_eq!(spots.len(), 17);
            for s in spots {
                let y = 120.0 * (1.0 - (s.x / 165.0).powi(2)).sqrt();
                let t = y.atan2(s.x);
                let want = r(165.0, 120.0, t) - r(150.0, 100.0, t);
                assert!((s.apart - want).abs() < 0.05, "{} {want}", s.apart);
            }
        }
    }
}

/// Words that judge a body, or a person.
const JUDGING: &[&str] = &[
    "ideal",
    "perfect",
    "flatter",
    "healthy",
    "health",
    "overweight",
    "obese",
    "fat",
    "skinny",
    "thin",
    "slim",
    "chubby",
    "too big",
    "too large",
    "too small",
    "problem",
    "flaw",
    "good figure",
    "bad",
    "well-proportioned",
    "beautiful",
    "normal",
    "abnormal",
    "defect",
    "congratulations",
    "lost",
    "gained",
    "better",
    "worse",
];

pub(crate) fn judges_nobody(text: &str) {
    let words: Vec<String> = text
        .split(|c: char| !c.is_alphabetic() && c != '-')
        .map(str::to_lowercase)
        .collect();
    let whole = format!(" {} ", words.join(" "));
    for word in JUDGING {
        assert!(
            !whole.contains(&format!(" {word} ")),
            "`{word}` in:\n{text}"
        );
    }
}

#[test]
fn the_page_needs_nothing_else_and_every_output_is_neutral() {
    let dir = tempfile::tempdir().unwrap();
    let at = dir.path();
    let (text, _) = said(
        at,
        &[
            "compare",
            "women:78-short",
            "men-plus:128-tall",
            "--page",
            "p.html",
            "--all",
        ],
        0,
    );
    judges_nobody(&text);
    assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
    let page = fs::read_to_string(at.join("p.html")).unwrap();
    let words = page.split("base64,").fold(String::new(), |mut all, part| {
        let rest = part.find('"').map_or(part, |end| &part[end..]);
        write!(all, "{rest}").unwrap();
        all
    });
    // The look of the page is no word about a body.
    let words = words.split_once("</style>").unwrap().1;
    judges_nobody(words);
    assert!(page.starts_with("<!DOCTYPE html>"));
    for outside in ["http://", "https://", "<script", "<link"] {
        let plain = page.replace("http://www.w3.org/2000/svg", "");
        assert!(!plain.contains(outside), "the page needs {outside}");
    }
    for heading in [
        "Outlines",
        "Sections",
        "Side by side",
        "Where B stands outside A",
    ] {
        assert!(words.contains(heading), "{heading}");
    }
    assert_eq!(page.matches("data:image/png").count(), 6);
    let (_, there) = said(
        at,
        &[
            "compare",
            "women:78-short",
            "women:80-short",
            "--page",
            "p.html",
        ],
        2,
    );
    assert!(there.contains("is there already"));
    said(
        at,
        &[
            "compare",
            "women:78-short",
            "women:80-short",
            "--page",
            "p.html",
            "--force",
            "--align",
            "floor",
        ],
        0,
    );
    assert_ne!(fs::read_to_string(at.join("p.html")).unwrap(), page);
    let (text, _) = said(
        at,
        &["compare", "women:92-tall", "women", "women-jis", "men"],
        0,
    );
    judges_nobody(&text);
    assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
}

/// Men and children have a chest; where one of two is a woman, both have a bust.
#[test]
fn two_without_a_bust_are_compared_at_the_chest() {
    let [a, b] = ["man", "woman"].map(|figure| {
        let of = |bust: f64| {
            body(&format!(
                "name = \"chorister\"\nunit = \"cm\"\nfigure = \"{figure}\"\n[girth]\nbust = {bust}\n\
                 waist = 84\nhip = 99\n[length]\nback_waist = 41\nside_neck_to_bust = {}\n[height]\nstature = 176\n",
                bust / 4.0 + 2.0
            ))
        };
        (of(96.0), of(108.0))
    });
    let every = |p: &Pair| {
        let json = report::bodies_json(p).unwrap().to_string();
        format!(
            "{}{}{json}",
            report::bodies(p, true),
            report::page(p).unwrap()
        )
    };
    let men = every(&pair(a.0.clone(), a.1.clone()));
    // Pictures are letters without a meaning.
    let mut plain = String::new();
    for (k, part) in men.split("data:image/png;base64,").enumerate() {
        let words = if k == 0 {
            part
        } else {
            part.split_once('"').map_or("", |p| p.1)
        };
        plain.push_str(words);
    }
    let plain = plain
        .replace("underbust", "")
        .replace(".bust", "")
        .replace("_bust", "");
    assert!(!plain.contains("bust"), "{plain}");
    for said in [
        "chest girth",
        "let out at the chest",
        "Sections of both at the chest",
    ] {
        assert!(men.contains(said), "{said} in {men}");
    }
    let padding = compare::pad_out(&a.0, &a.1, 4.0, Unit::Cm).unwrap();
    let padded = report::padding(&a.0, &a.1, &padding, Unit::Cm);
    assert!(
        padded.contains("\n  chest ") && !padded.contains(" bust "),
        "{padded}"
    );
    let larger = compare::pad_out(&a.1, &a.0, 4.0, Unit::Cm).unwrap_err();
    let layfigure::Error::Comparison(reasons) = larger else {
        panic!("{larger:?}")
    };
    let said = reasons
        .iter()
        .any(|f| f.message().contains("in the chest girth"));
    assert!(said, "{reasons:?}");

    let mixed = every(&pair(a.0, b.1));
    assert!(mixed.contains("bust girth") && mixed.contains("let out at the bust"));
    assert!(!mixed.contains("at the chest"), "{mixed}");
}

#[test]
fn json_says_the_same_and_requests_that_cannot_be_met_are_refused() {
    let dir = tempfile::tempdir().unwrap();
    let at = dir.path();
    let (json, _) = said(
        at,
        &["compare", "women:92-tall", "women:100-tall", "--json"],
        0,
    );
    let json: Value = serde_json::from_str(&json).unwrap();
    let bust = json["differences"]
        .as_array()
        .unwrap()
        .iter()
        .find(|d| d["key"] == "girth.bust")
        .unwrap();
    assert_eq!(bust["difference"], 80.0);
    assert_eq!(bust["shown_cm"], "+8.0");
    assert_eq!(bust["shown_in"], "+3 1/8");
    assert_eq!(bust["is_noise"], false);
    assert_eq!(json["b"]["is_size"], true);
    let (json, _) = said(
        at,
        &["compare", "women:92-tall", "women", "men", "--json"],
        0,
    );
    let json: Value = serde_json::from_str(&json).unwrap();
    assert_eq!(json["systems"].as_array().unwrap().len(), 2);
    // A table of girths has no solid but can be compared with.
    let (text, _) = said(at, &["compare", "women:92-tall", "women-gost:96"], 0);
    assert!(text.contains("bust girth"));
    for (args, words) in [
        (&["compare", "women", "women:92"][..], "whole system"),
        (
            &["compare", "women:92", "women", "women:94"][..],
            "some of these are systems",
        ),
        (
            &["compare", "women:92", "women:94", "women:96"][..],
            "one other body",
        ),
        (
            &["compare", "women:92", "women:94", "--ease", "much"][..],
            "`--ease` needs a length",
        ),
        (
            &["compare", "women:92", "women", "--page", "x.html"][..],
            "`--page` draws two bodies",
        ),
        (&["compare", "women:92", "nobody.toml"][..], "nobody.toml"),
    ] {
        let (_, refused) = said(at, args, 2);
        assert!(refused.contains(words), "{args:?}: {refused}");
    }
    assert!(!at.join("x.html").exists());
}

/// Somebody who has outgrown a table is told of the one that goes on, with what it has; nobody inside a table is sent
/// away, and a table that was named already is not named again.
#[test]
fn another_table_is_named_where_it_is_nearer() {
    let dir = tempfile::tempdir().unwrap();
    let sheet = |bust: f64, hip: f64| {
        format!(
            "unit = \"cm\"\nfigure = \"woman\"\n[girth]\nbust = {bust}\nwaist = {}\nhip = {hip}\n[height]\nstature = 166\n",
            bust - 16.0
        )
    };
    fs::write(dir.path().join("large.toml"), sheet(116.0, 124.0)).unwrap();
    fs::write(dir.path().join("small.toml"), sheet(99.0, 104.0)).unwrap();
    let (text, _) = said(dir.path(), &["compare", "large.toml", "women"], 0);
    assert!(
        text.contains("nearer than any size of women: at the bust girth `women-plus:116-regular`"),
        "{text}"
    );
    let (json, _) = said(dir.path(), &["compare", "large.toml", "women", "--json"], 0);
    let json: Value = serde_json::from_str(&json).unwrap();
    let levels = json["systems"][0]["nearer"][0]["levels"]
        .as_array()
        .unwrap();
    // The table of women ends at 108; its own size of 116 has a bust of 116.
    assert_eq!(levels[0]["key"], "girth.bust");
    assert_eq!(levels[0]["instead_of"], 80.0);
    assert_eq!(levels[0]["difference"], 0.0);
    assert!(
        levels.iter().all(|l| l["key"] != "girth.waist"),
        "the waist of women-plus is another"
    );
    for args in [
        ["compare", "small.toml", "women", "women-german"],
        ["compare", "large.toml", "women", "women-plus"],
    ] {
        let (text, _) = said(dir.path(), &args, 0);
        assert!(!text.contains("nearer than any size of women:"), "{text}");
    }
}
