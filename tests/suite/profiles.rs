//! Size profiles: against the survey averages, built and read again, between the sizes, and typed.
//!
//! Sources: tests/survey (conditional means of the US Army surveys of 1988 and 2012, medians of
//! Snyder et al. 1977; see there).

use std::fs;
use std::path::Path;

use layfigure::measure::{Kind, Measure};
use layfigure::profile::{self, Profile};
use layfigure::sheet::{self, Origin};
use layfigure::torso::{Ending, fit};
use layfigure::{mesh, tape};
use serde_json::Value;

use crate::program::said;

/// The survey averages behind a system, and the main column there.
const SURVEYS: [(&str, &str, &str); 5] = [
    (
        "women",
        include_str!("../survey/women-1988.csv"),
        "chest_circ",
    ),
    ("men", include_str!("../survey/men-1988.csv"), "chest_circ"),
    (
        "women-plus",
        include_str!("../survey/women-2012.csv"),
        "chest_circ",
    ),
    (
        "men-plus",
        include_str!("../survey/men-2012.csv"),
        "chest_circ",
    ),
    (
        "children",
        include_str!("../survey/children-1977.csv"),
        "stature_band_centre",
    ),
];

/// The tables are rounded to 1 mm, so they may be half of it off, and a hair for the last digit.
const ROUNDED: f64 = 0.501;

fn all() -> Vec<Profile> {
    profile::built_in().unwrap()
}

/// Rows of a table as name and value; gaps left out.
fn rows(csv: &str) -> Vec<Vec<(String, String)>> {
    let mut lines = csv.lines().filter(|l| !l.starts_with('#'));
    let head: Vec<String> = lines
        .next()
        .unwrap()
        .split(',')
        .map(|h| h.trim_end_matches("_mm").to_owned())
        .collect();
    lines
        .map(|l| {
            head.iter()
                .cloned()
                .zip(l.split(',').map(str::to_owned))
                .filter(|(_, v)| !v.is_empty())
                .collect()
        })
        .collect()
}

fn of(row: &[(String, String)], name: &str) -> Option<f64> {
    row.iter()
        .find(|(h, _)| h == name)
        .and_then(|(_, v)| v.parse().ok())
}

/// The size that stands for a row of the survey averages.
fn named(system: &str, row: &[(String, String)], main: &str) -> String {
    let main = (of(row, main).unwrap() / 10.0).round();
    if system == "children" {
        let who = row.iter().find(|(h, _)| h == "sex").unwrap().1.as_str();
        let column = match who {
            "female" => "girl",
            "male" => "boy",
            _ => "both",
        };
        return format!("{system}:{main}-{column}");
    }
    format!("{system}:{main}-{}mm", of(row, "stature").unwrap())
}

#[test]
fn every_number_is_that_of_the_survey_averages() {
    let all = all();
    for (system, csv, main) in SURVEYS {
        let mut compared = 0;
        for row in rows(csv) {
            let name = named(system, &row, main);
            let size = profile::size(&all, &name).unwrap();
            for v in &size.values {
                let Some(survey) = of(&row, &v.from) else {
                    panic!("{name}: the survey has no {}", v.from);
                };
                assert!(
                    (v.value - survey).abs() <= ROUNDED,
                    "{name}: {} {} but the survey has {survey}",
                    v.measure,
                    v.value
                );
                compared += 1;
            }
        }
        // The survey's rows and the sizes are the same ones.
        let p = profile::find(&all, system).unwrap();
        let numbers = p
            .measures
            .iter()
            .flat_map(|c| c.values.iter().flatten())
            .flatten()
            .count();
        assert_eq!(compared, numbers, "{system}");
    }
}

#[test]
fn every_size_that_makes_a_form_is_built_and_measured_again() {
    let mut built = 0;
    let mut complaints = Vec::new();
    for p in all().iter().filter(|p| p.makes_forms()) {
        for column in 0..p.width() {
            for row in 0..p.names.len() {
                let Some(size) = p.tabulated_size(row, column) else {
                    continue;
                };
                if !size.lacks().is_empty() {
                    complaints.push(format!("{} lacks {:?}", size.full_name(), size.lacks()));
                    continue;
                }
                let name = size.full_name();
                let sheet = sheet::read(&size.sheet(size.unit), &name)
                    .unwrap_or_else(|e| panic!("{name}: {e:?}"));
                assert_eq!(sheet.figure, size.figure);
                assert_eq!(sheet.waist, size.waist);
                let fit = fit(&sheet).unwrap_or_else(|e| panic!("{name}: {e}"));
                built += 1;
                if fit.ending != Ending::Converged {
                    complaints.push(format!("{name}: {}", fit.ending.name()));
                }
                let solid = mesh::build(&fit.torso);
                for r in tape::check(&solid, &fit.targets) {
                    let Some(found) = r.solid else { continue };
                    if r.target.origin == Origin::Given
                        && (found - r.target.value).abs() > r.tolerance
                    {
                        complaints.push(format!(
                            "{name}: {} asked {:.1} found {found:.1} (within {:.1})",
                            r.target.measure, r.target.value, r.tolerance
                        ));
                    }
                }
            }
        }
    }
    assert!(built > 140, "only {built} were built");
    assert!(complaints.is_empty(), "{}", complaints.join("\n"));
}

/// The profile without one of its sizes.
fn without_row(p: &Profile, row: usize) -> Profile {
    let mut p = p.clone();
    p.names.remove(row);
    for list in p
        .measures
        .iter_mut()
        .flat_map(|c| &mut c.values)
        .chain(&mut p.people)
    {
        list.remove(row);
    }
    p
}

/// The profile without one of its columns.
fn without_column(p: &Profile, column: usize) -> Profile {
    let mut p = p.clone();
    p.columns.remove(column);
    p.people.remove(column);
    for c in &mut p.measures {
        c.values.remove(column);
    }
    p.usual = 0;
    p
}

#[test]
fn a_size_left_out_is_found_again_between_its_neighbours() {
    let mut compared = 0;
    for p in all().iter().filter(|p| p.across.is_some()) {
        for row in 1..p.names.len() - 1 {
            let less = without_row(p, row);
            for column in 0..p.width() {
                let held = p.tabulated_size(row, column).unwrap();
                let found = less
                    .size_at(
                        held.value(p.main).unwrap(),
                        held.value(Measure::HeightStature),
                    )
                    .unwrap();
                assert!(found.between.is_some());
                for v in &held.values {
                    let apart = found.value(v.measure).unwrap() - v.value;
                    // The averages are parabolas in the bust: the widest step, 8 cm across the size
                    // left out, leaves the chord 2 mm off at most, and the tables are rounded.
                    assert!(
                        apart.abs() <= 3.0,
                        "{}: {} {apart:+.1} mm off",
                        held.full_name(),
                        v.measure
                    );
                    compared += 1;
                }
            }
        }
        // The averages are linear in the stature: only the rounding of three tables is left.
        let less = without_column(p, 1);
        for row in 0..p.names.len() {
            let held = p.tabulated_size(row, 1).unwrap();
            let found = less
                .size_at(
                    held.value(p.main).unwrap(),
                    held.value(Measure::HeightStature),
                )
                .unwrap();
            for v in &held.values {
                let apart = found.value(v.measure).unwrap() - v.value;
                assert!(
                    apart.abs() <= 1.01,
                    "{}: {} {apart:+.2} mm off",
                    held.full_name(),
                    v.measure
                );
                compared += 1;
            }
        }
    }
    assert!(compared > 1000, "only {compared} compared");
}

#[test]
fn between_sizes_is_the_mean_of_its_corners() {
    let all = all();
    let [a, b, c, d] = [
        "women:92-163",
        "women:94-163",
        "women:92-170",
        "women:94-170",
    ]
    .map(|n| profile::size(&all, n).unwrap());
    let middle = profile::size(&all, "women:93-166.5").unwrap();
    for v in &middle.values {
        let corners = [&a, &b, &c, &d].map(|s| s.value(v.measure).unwrap());
        let mean = corners.iter().sum::<f64>() / 4.0;
        assert!((v.value - mean).abs() < 1e-9, "{}", v.measure);
    }
    // Inches are exact: 25.4 mm.
    let inch = profile::size(&all, "women:36.5in-66in").unwrap();
    let cm = profile::size(&all, "women:92.71-167.64").unwrap();
    for (x, y) in inch.values.iter().zip(&cm.values) {
        assert!((x.value - y.value).abs() < 1e-9, "{}", x.measure);
    }
    // A size by its column is that of its stature.
    assert_eq!(
        profile::size(&all, "women:92-tall").unwrap().values,
        profile::size(&all, "women:92-170").unwrap().values
    );
}

#[test]
fn a_size_is_exported_checked_and_never_overwritten() {
    let dir = tempfile::tempdir().unwrap();
    let at = dir.path();
    said(
        at,
        &["profiles", "women:93.5-168", "--export", "mine.toml"],
        0,
    );
    let text = fs::read_to_string(at.join("mine.toml")).unwrap();
    assert!(text.contains("bust = 93.5   # measured: chest_circ"));
    assert!(text.contains("waist  = \"natural\""));
    let (_, refused) = said(
        at,
        &["profiles", "women:92-tall", "--export", "mine.toml"],
        2,
    );
    assert!(refused.contains("`mine.toml` is there already"));
    assert_eq!(fs::read_to_string(at.join("mine.toml")).unwrap(), text);
    let (plain, _) = said(at, &["check", "mine.toml", "--json"], 0);
    let (direct, _) = said(at, &["check", "women:93.5-168", "--json"], 0);
    let [plain, direct]: [Value; 2] = [plain, direct].map(|t| serde_json::from_str(&t).unwrap());
    assert_eq!(plain["measures"], direct["measures"]);
    said(
        at,
        &[
            "profiles",
            "women:92-tall",
            "--export",
            "mine.toml",
            "--force",
        ],
        0,
    );
    assert_ne!(fs::read_to_string(at.join("mine.toml")).unwrap(), text);
    // In inches the girths are the same within half an eighth.
    let (inch, _) = said(
        at,
        &["profiles", "women:92-tall", "--export", "-", "--unit", "in"],
        0,
    );
    let inch = sheet::read(&inch, "inch").unwrap();
    let cm = profile::size(&all(), "women:92-tall").unwrap();
    for v in &cm.values {
        let apart = inch.value(v.measure).unwrap() - v.value;
        assert!(apart.abs() < 0.02, "{}: {apart}", v.measure);
    }
}

/// Values of one size as they are printed: each in both units, to a millimetre and an eighth of an inch.
#[test]
fn a_size_is_shown_in_both_units() {
    let size = profile::size(&all(), "women:92-tall").unwrap();
    let (text, _) = said(Path::new("."), &["profiles", "women:92-tall"], 0);
    let mut shown = 0;
    for v in size
        .values
        .iter()
        .filter(|v| v.measure.kind() == Kind::Girth)
    {
        let named = |l: &&str| l.split([' ', ';']).any(|w| w == v.from);
        let line = text.lines().find(named).unwrap();
        let after: Vec<&str> = line.split_whitespace().collect();
        let at = after.iter().position(|w| w.parse::<f64>().is_ok()).unwrap();
        let cm: f64 = after[at].parse().unwrap();
        assert!((cm * 10.0 - v.value).abs() < 0.51, "{line}");
        let whole: f64 = after[at + 1].parse().unwrap();
        let part = after[at + 2].split_once('/').map_or(0.0, |(a, b)| {
            a.parse::<f64>().unwrap() / b.parse::<f64>().unwrap()
        });
        assert!(
            ((whole + part) * 25.4 - v.value).abs() < 25.4 / 16.0 + 0.01,
            "{line}"
        );
        shown += 1;
    }
    assert!(shown > 4, "{shown}");
    // As numbers, a whole system: every tabulated size with every value.
    let (json, _) = said(Path::new("."), &["profiles", "women", "--json"], 0);
    let json: Value = serde_json::from_str(&json).unwrap();
    let p = profile::find(&all(), "women").unwrap().clone();
    let sizes = (0..p.width())
        .flat_map(|c| (0..p.names.len()).map(move |r| (r, c)))
        .filter_map(|(r, c)| p.tabulated_size(r, c))
        .count();
    assert_eq!(json["values"].as_array().unwrap().len(), sizes);
}

#[test]
fn every_list_names_every_system() {
    let dir = tempfile::tempdir().unwrap();
    let (text, _) = said(dir.path(), &["profiles"], 0);
    let (json, _) = said(dir.path(), &["profiles", "--json"], 0);
    let json: Value = serde_json::from_str(&json).unwrap();
    let systems = json["systems"].as_array().unwrap();
    for (p, s) in all().iter().zip(systems) {
        assert!(text.contains(&p.system));
        assert_eq!(s["system"], p.system.as_str());
        assert_eq!(s["makes_forms"], p.makes_forms());
        let (one, _) = said(dir.path(), &["profiles", &p.system], 0);
        for row in 0..p.names.len() {
            if p.tabulated_size(row, p.usual).is_some() {
                let name = p.name_of(row, p.usual);
                assert!(
                    one.lines()
                        .any(|l| l.split_whitespace().next() == Some(&name)),
                    "{name} in:\n{one}"
                );
            }
        }
        assert!(one.contains("source: ") && one.contains("caution: "));
        assert!(one.lines().all(|l| l.chars().count() <= 80), "{one}");
    }
}

#[test]
fn a_folder_of_ones_own_is_read_and_its_faults_named() {
    let dir = tempfile::tempdir().unwrap();
    let at = dir.path();
    let own = at.join("own");
    fs::create_dir(&own).unwrap();
    let (_, empty) = said(at, &["profiles", "--profiles", "own"], 2);
    assert!(empty.contains("holds no size profile"), "{empty}");
    let text = r#"
system = "chorus"
figure = "woman"
waist  = "natural"
unit   = "cm"
source = "measured in the wardrobe room, 2026"
[size]
main  = "girth.bust"
names = ["s", "m"]
[girth]
bust  = [88, 96]
waist = [70, 78]
hip   = [95, 103]
[height]
stature = [165, 168]
"#;
    fs::write(own.join("chorus.toml"), text).unwrap();
    let (list, _) = said(at, &["profiles", "--profiles", "own"], 0);
    assert!(list.contains("chorus"));
    let (check, _) = said(at, &["check", "chorus:92", "--profiles", "own"], 0);
    assert!(check.contains("waist girth") && check.contains("74.0"));
    let (_, unknown) = said(at, &["check", "chorus:92"], 2);
    assert!(
        unknown.contains("there is no size profile `chorus`"),
        "{unknown}"
    );
    let (_, small) = said(at, &["check", "chorus:120", "--profiles", "own"], 2);
    assert!(small.contains("goes from 88.0 cm to 96.0 cm"), "{small}");
    for (from, to, words) in [
        ("waist = [70, 78]", "waist = [70]", "`girth.waist`"),
        (
            "waist = [70, 78]",
            "wiast = [70, 78]",
            "`girth.wiast` is not a measurement",
        ),
        (
            "bust  = [88, 96]",
            "bust  = [96, 88]",
            "does not rise from size to size",
        ),
        (
            "source = \"measured in the wardrobe room, 2026\"\n",
            "",
            "where its numbers come from",
        ),
    ] {
        assert!(text.contains(from));
        fs::write(own.join("chorus.toml"), text.replace(from, to)).unwrap();
        let (_, refused) = said(at, &["profiles", "--profiles", "own"], 1);
        assert!(refused.contains(words), "{refused}");
    }
}

#[test]
fn the_example_in_the_readme_is_one() {
    let readme = include_str!("../../measurement-profiles/README.md");
    let (_, rest) = readme.split_once("```toml\n").unwrap();
    let text = rest.split_once("```").unwrap().0;
    let p = profile::read(text, "README.md").unwrap();
    assert_eq!(p.names, ["s", "m", "l"]);
    let l = p.size("l").unwrap();
    assert_eq!(l.value(Measure::GirthHip), None);
    assert_eq!(l.value(Measure::GirthWaist), Some(870.0));
    let more = text.replace("\n#", "\n").replace(
        "[girth]",
        "[height]\nstature = [[160, 160, 160], [170, 170, 170]]\n[girth]",
    );
    let p = profile::read(&more, "README.md").unwrap_or_else(|e| panic!("{e:?}"));
    let between = p.size("s-167").unwrap();
    assert_eq!(between.value(Measure::HeightStature), Some(1670.0));
}

#[test]
fn a_table_of_girths_alone_makes_no_form_and_says_so() {
    let dir = tempfile::tempdir().unwrap();
    let (_, refused) = said(dir.path(), &["build", "women-gost:92"], 2);
    assert!(refused.contains("no form can be made"), "{refused}");
    assert!(refused.contains("waist girth"), "{refused}");
    let (text, _) = said(
        dir.path(),
        &["profiles", "women-gost:92", "--export", "-"],
        0,
    );
    assert!(text.contains("#waist =   # OBLIGATORY, not in this table"));
}
