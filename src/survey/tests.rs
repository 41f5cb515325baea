//! Every row of every table is whole: all its cells, a unit, a source, numbers in their range.

use std::collections::BTreeSet;

use super::*;
use crate::measure::By;

/// What cells are counted in.
const UNITS: [&str; 6] = ["mm", "ratio", "degrees", "exponent", "factor", "ln(mm)"];

#[test]
fn every_row_has_all_its_cells_a_unit_and_a_source() {
    let mut cited = BTreeSet::new();
    for table in all() {
        assert!(table.rows().next().is_some(), "{} is empty", table.name);
        let columns: BTreeSet<_> = table.columns.iter().collect();
        assert_eq!(columns.len(), table.columns.len(), "{}", table.name);
        for row in table.rows() {
            let line = format!("{}: {}", table.name, row.cells.join(","));
            assert_eq!(row.cells.len(), table.columns.len(), "{line}");
            assert!(row.cells.iter().all(|c| c.trim() == *c), "{line}");
            if table.name == "sources.csv" {
                assert!(row.cells.iter().all(|c| !c.is_empty()), "{line}");
                continue;
            }
            assert!(UNITS.contains(&row.text("unit")), "{line}");
            assert!(!row.source().is_empty(), "{line}");
            cited.insert(row.text("source"));
        }
    }
    let keys: BTreeSet<_> = SOURCES.rows().map(|row| row.text("key")).collect();
    assert_eq!(keys.len(), SOURCES.rows().count(), "a source stands twice");
    assert!(cited.is_subset(&keys));
}

#[test]
fn no_table_says_a_thing_twice() {
    for table in all() {
        // What a row is about: its words up to the unit, and for whom another survey says it.
        let unit = table.columns.iter().position(|c| *c == "unit").unwrap_or(1);
        let mut about = BTreeSet::new();
        for row in table.rows() {
            assert!(
                about.insert((&row.cells[..unit], row.cells.last())),
                "{}: {:?}",
                table.name,
                row.cells
            );
        }
    }
}

/// Mean stature, bust, waist, hip, underbust, neck and back length: US Army survey of 1988, full sample
/// (women, men); Snyder et al. 1977, a child of 1.20 m.
const MEANS: [(&str, [f64; 7]); 3] = [
    ("woman", [1629.4, 907.1, 725.5, 966.9, 769.7, 315.7, 367.3]),
    ("man", [1755.8, 991.4, 839.9, 983.7, 926.1, 379.6, 412.0]),
    ("child", [1200.0, 600.0, 530.0, 630.0, 580.0, 270.0, 282.0]),
];

fn mean(figure: &str, on: On, reading: f64) -> f64 {
    let (_, m) = MEANS.iter().find(|(f, _)| *f == figure).unwrap();
    match on {
        On::Stature => m[0],
        On::Bust => m[1],
        On::Waist => m[2],
        On::Hip => m[3],
        On::Underbust => m[4],
        On::Neck => m[5],
        On::Back => m[6],
        On::Reading => reading,
    }
}

/// The range that anybody of this figure may have.
fn range(figure: &str, measure: Measure) -> [f64; 2] {
    let info = measure.info();
    match figure {
        "woman" => info.women,
        "man" => info.men,
        _ => info.child,
    }
}

/// Lines lead an average body to a value that people have, and their spread is between 2 and 60 mm: closer
/// than any tape, or wider than between people, would be a slip.
#[test]
fn lines_lead_to_what_people_have() {
    let mut seen = 0;
    let mut look = |row: Row<'_>, of: Measure, told: Option<Measure>| {
        let figure = row.text("figure");
        let reading = told.map_or(f64::NAN, |m| {
            let [low, high] = range(figure, m);
            f64::midpoint(low, high)
        });
        let line = Line::of(row, None);
        let value = line.value(|on| mean(figure, on, reading));
        let sd = line.own_sd(|on| mean(figure, on, reading));
        let [low, high] = range(figure, of);
        assert!((low..high).contains(&value), "{figure} {of}: {value}");
        assert!((2.0..60.0).contains(&sd), "{figure} {of}: {sd}");
        seen += 1;
    };
    for row in EXPECTATIONS.rows() {
        look(row, row.measure("measure"), None);
    }
    for row in USUAL.rows() {
        look(row, row.measure("measure"), None);
    }
    for row in HINTS.rows() {
        look(row, row.measure("measure"), Some(row.measure("from")));
    }
    for row in FULLNESS.rows() {
        look(row, row.measure("measure"), Some(row.measure("girth")));
        let [low, high] = row.range("low", "high").unwrap();
        assert!(0.9 < low && high < 1.3);
    }
    for row in HEIGHTS.rows().filter(|row| row.text("what") == "stature") {
        look(row, Measure::HeightStature, Some(row.measure("from")));
    }
    for row in HEIGHTS
        .rows()
        .filter(|row| row.text("what") == "natural waist")
    {
        look(row, Measure::HeightWaist, None);
    }
    assert_eq!(seen, 38 + 6 + 14 + 12 + 9 + 3);
}

/// Drops of the waist and heights of levels: parts of the trunk, so between nothing and half of stature.
#[test]
fn levels_lie_within_the_trunk() {
    let drops = HEIGHTS
        .rows()
        .filter(|row| row.text("what").starts_with("drop"));
    let levels = LEVELS.rows().filter(|row| row.text("unit") == "mm");
    for row in drops.chain(levels) {
        let figure = row.text("figure");
        let line = Line::of(row, None);
        let value = line.value(|on| mean(figure, on, f64::NAN));
        let sd = line.own_sd(|on| mean(figure, on, f64::NAN));
        let tall = mean(figure, On::Stature, f64::NAN);
        assert!((0.0..0.5 * tall).contains(&value), "{figure}: {value}");
        assert!(
            (0.0..0.05 * tall).contains(&sd) && sd > 0.0,
            "{figure}: {sd}"
        );
    }
}

#[test]
fn spreads_are_more_than_nothing() {
    for row in SHAPE.rows() {
        assert!(row.number("sd") > 0.0);
        for figure in ["women", "men", "children"] {
            assert!(row.number(figure).abs() < 50.0);
        }
    }
    for row in SIDES.rows() {
        assert!((0.5..20.0).contains(&row.number("sd")));
    }
    for row in WIDENING.rows() {
        for figure in ["women", "men", "children"] {
            assert!((1.0..=3.0).contains(&row.number(figure)));
        }
    }
    for row in SCATTER.rows() {
        assert!(row.measure("measure").info().repeat > 0.0);
        for figure in ["women", "men", "children"] {
            assert!((0.0..20.0).contains(&row.number(figure)));
        }
    }
    for row in MANNER.rows() {
        assert!(row.measure("measure").info().on_form || row.text("measure") == "height.crotch");
        for figure in ["women", "men"] {
            assert!((0.1..20.0).contains(&row.number(figure)));
        }
    }
}

/// What is rare in people is no narrower than nothing, and holds the quotient or difference of the means of
/// the 1988 survey.
#[test]
fn proportions_hold_the_average() {
    for row in PROPORTIONS.rows() {
        let (a, b) = (row.measure("a"), row.measure("b"));
        let ranges = ["women", "men", "children"]
            .map(|who| row.range(&format!("{who}_low"), &format!("{who}_high")));
        assert!(ranges.iter().any(Option::is_some), "{a} {b}");
        let on = |m: Measure| match m {
            Measure::HeightStature => Some(On::Stature),
            Measure::GirthBust => Some(On::Bust),
            Measure::GirthWaist if row.text("waist") != "navel" => Some(On::Waist),
            Measure::GirthHip => Some(On::Hip),
            Measure::GirthUnderbust => Some(On::Underbust),
            Measure::GirthNeck => Some(On::Neck),
            _ => None,
        };
        let (Some(a), Some(b)) = (on(a), on(b)) else {
            continue;
        };
        for (figure, range) in ["woman", "man", "child"].into_iter().zip(ranges) {
            let Some([low, high]) = range else { continue };
            let (a, b) = (mean(figure, a, 0.0), mean(figure, b, 0.0));
            let value = if row.text("how") == "less" {
                a - b
            } else {
                a / b
            };
            assert!((low..high).contains(&value), "{figure}: {value}");
        }
    }
}

/// A covariance of logarithms: symmetric, and no correlation beyond one.
#[test]
fn main_measures_go_together_as_they_can() {
    let rows: Vec<_> = JOINT.rows().collect();
    for a in &rows {
        for b in rows.iter().filter(|b| b.text("figure") == a.text("figure")) {
            let (ab, ba) = (a.number(b.text("measure")), b.number(a.text("measure")));
            assert!((ab - ba).abs() < 1e-12);
            let (aa, bb) = (a.number(a.text("measure")), b.number(b.text("measure")));
            assert!(aa > 0.0 && ab * ab <= aa * bb);
        }
    }
    assert_eq!(rows.len(), 8 + 8 + 6);
}

/// Ranges that are said to be those of a survey hold its smallest and largest, and pass them by no more than
/// 10 mm; those said to be wider hold them and pass one of them by more.
#[test]
fn ranges_are_what_they_are_said_to_be() {
    const ROUNDING: f64 = 10.0;
    let table = SurveyTable::new("extremes.csv", include_str!("extremes.csv"));
    let mut held = [BTreeSet::new(), BTreeSet::new()];
    for row in table.rows() {
        assert!(!row.source().is_empty());
        let measure = row.measure("measure");
        let info = measure.info();
        let both = row.text("source") == "army-both";
        let (by, children) = match row.text("who") {
            "adults" => (info.seen.adults, false),
            "children" => (info.seen.children, true),
            _ => row.wrong("who", "is neither `adults` nor `children`"),
        };
        held[usize::from(children)].insert(measure);
        let ranges = [
            (info.women, row.range("women_low", "women_high")),
            (info.men, row.range("men_low", "men_high")),
            (info.child, row.range("children_low", "children_high")),
        ];
        let mut passed: f64 = 0.0;
        for ([low, high], seen) in ranges {
            let Some([least, most]) = seen else { continue };
            assert!(low <= least && most <= high, "{measure}: {least} to {most}");
            passed = passed.max(least - low).max(high - most);
        }
        let wider = passed > ROUNDING;
        let right = match by {
            By::Army => both && !wider,
            By::Army1988 => !both && !wider,
            By::ArmyOrWider => both && wider,
            By::Army1988OrWider => !both && wider,
            By::Children => children && !wider,
            By::Practice => false,
        };
        assert!(right, "{measure}: {by:?}, passed by {passed} mm");
    }
    for measure in Measure::ALL {
        let seen = measure.info().seen;
        // Its range is set against two ways of taking it: down to the hip from the navel (77 to 241 mm) and
        // from the natural waist, as a difference of heights (126 to 303 mm).
        if measure == Measure::LengthWaistToHip {
            continue;
        }
        for (by, held) in [seen.adults, seen.children].into_iter().zip(&held) {
            assert_eq!(by != By::Practice, held.contains(&measure), "{measure}");
        }
    }
}
