//! The average figures of two surveys, each fitted from the columns that map to our keys.
//!
//! Sources: `women-1988.csv`, `men-1988.csv`: conditional means at a stated stature and chest girth
//! from the individual records of the 1988 US Army survey (NATICK/TR-89/044). `children-1977.csv`:
//! medians in bands of stature from Snyder et al. 1977 (UM-HSRI-77-17, for the US Consumer Product
//! Safety Commission).
//!
//! The surveys measure some things otherwise than a dressmaker does, so every column carries how
//! closely it can be expected to agree (`within`, mm); the reasons stand beside it.

use std::fmt::Write as _;

use layfigure::measure::{Kind, Measure};
use layfigure::sheet::{self, Origin};
use layfigure::torso::{Ending, fit};
use layfigure::{mesh, tape};

/// Column, key, how closely (0: exactly as read), why.
type Column = (&'static str, &'static str, f64, &'static str);

const ADULTS: &[Column] = &[
    (
        "stature",
        "height.stature",
        0.0,
        "floor to top of head, standing",
    ),
    (
        "chest_circ",
        "girth.bust",
        0.0,
        "level, over the bust points; men at the nipples",
    ),
    (
        "underbust_circ",
        "girth.underbust",
        0.0,
        "directly under the breasts",
    ),
    (
        "waist_circ_natural",
        "girth.waist",
        0.0,
        "at the natural indentation",
    ),
    (
        "buttock_circ",
        "girth.hip",
        0.0,
        "at the greatest prominence of the seat",
    ),
    (
        "neck_circ",
        "girth.neck",
        0.0,
        "below the larynx, square to the neck",
    ),
    (
        "neck_base_circ",
        "girth.neck_base",
        8.0,
        "a chain that sags where our line runs on the crease",
    ),
    (
        "scye_circ",
        "girth.armscye",
        15.0,
        "round a real arm: the form has a flat plate",
    ),
    (
        "shoulder_length",
        "length.shoulder",
        4.0,
        "along the body; ours is taut",
    ),
    (
        "waist_back_length_natural",
        "length.back_waist",
        0.0,
        "nape to natural waist along the back",
    ),
    (
        "waist_front_length_natural",
        "length.front_waist",
        12.0,
        "starts at the hollow of the throat",
    ),
    (
        "neck_to_bustpoint",
        "length.side_neck_to_bust",
        10.0,
        "starts at the side of the neck",
    ),
    (
        "bustpoint_breadth",
        "length.bust_point_width",
        0.0,
        "straight, point to point",
    ),
    (
        "scye_depth",
        "length.scye_depth",
        8.0,
        "to the level of the armpit fold",
    ),
    (
        "interscye_midscye",
        "length.across_back",
        15.0,
        "arm crease to arm crease",
    ),
    (
        "chest_breadth",
        "breadth.bust",
        20.0,
        "touched by calipers, the arms moved out",
    ),
    (
        "chest_depth",
        "depth.bust",
        10.0,
        "at the level of the bust points",
    ),
    (
        "hip_breadth",
        "breadth.hip",
        10.0,
        "at the prominence, not the fullest girth",
    ),
    (
        "buttock_depth",
        "depth.hip",
        12.0,
        "the same, lightly touched",
    ),
    (
        "cervicale_height",
        "height.nape",
        6.0,
        "heights are means of their own",
    ),
    (
        "neck_lateral_height",
        "height.side_neck",
        8.0,
        "at the trapezius",
    ),
    (
        "acromial_height",
        "height.shoulder",
        10.0,
        "on the bone; our point is on the flesh",
    ),
    (
        "axilla_height",
        "height.armpit",
        15.0,
        "the fold; the plate ends a little lower",
    ),
    (
        "chest_height",
        "height.bust",
        8.0,
        "level of the bust points",
    ),
    (
        "waist_height_natural",
        "height.waist",
        6.0,
        "level of the natural waist",
    ),
    (
        "buttock_height",
        "height.hip",
        20.0,
        "the prominence lies above the fullest girth",
    ),
];

const CHILDREN: &[Column] = &[
    (
        "stature",
        "height.stature",
        0.0,
        "floor to top of head, standing",
    ),
    (
        "chest_circ",
        "girth.bust",
        0.0,
        "at the armpits, a little above the nipples",
    ),
    (
        "waist_circ_natural",
        "girth.waist",
        0.0,
        "at the natural indentation",
    ),
    (
        "hip_circ",
        "girth.hip",
        0.0,
        "at the greatest prominence of the seat",
    ),
    ("neck_circ", "girth.neck", 0.0, "below the larynx"),
    (
        "hip_breadth",
        "breadth.hip",
        15.0,
        "over the trochanters, lightly touched",
    ),
    (
        "axilla_height",
        "height.armpit",
        25.0,
        "the fold; the plate ends a little lower",
    ),
];

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
                .collect()
        })
        .collect()
}

fn sheet_text(row: &[(String, String)], figure: &str, columns: &[Column]) -> Option<String> {
    let get = |name: &str| {
        row.iter()
            .find(|(h, _)| h == name)
            .map(|(_, v)| v.as_str())
            .filter(|v| !v.is_empty())
    };
    // Without the three girths there is no sheet.
    for need in ["girth.bust", "girth.waist", "girth.hip"] {
        let column = columns.iter().find(|c| c.1 == need).unwrap().0;
        get(column)?;
    }
    let mut text = format!(
        "name = \"{}\"\nunit = \"mm\"\nfigure = \"{figure}\"\n",
        row[0].1
    );
    for table in ["girth", "length", "breadth", "depth", "height"] {
        writeln!(text, "[{table}]").unwrap();
        for (column, key, within, _) in columns {
            let Some(key) = key.strip_prefix(table).and_then(|k| k.strip_prefix('.')) else {
                continue;
            };
            let Some(value) = get(column) else { continue };
            if *within > 0.0 {
                writeln!(text, "{key} = {{ value = {value}, within = {within} }}").unwrap();
            } else {
                writeln!(text, "{key} = {value}").unwrap();
            }
        }
    }
    Some(text)
}

/// Fits every row, reads the solid, and returns the complaints.
fn judge(csv: &str, figure: &str, columns: &[Column]) -> (usize, Vec<String>) {
    let mut fitted = 0;
    let mut complaints = Vec::new();
    for row in rows(csv) {
        let Some(text) = sheet_text(&row, figure, columns) else {
            continue;
        };
        let sheet =
            sheet::read(&text, &row[0].1).unwrap_or_else(|e| panic!("{}: {e:?}\n{text}", row[0].1));
        let fit = fit(&sheet).unwrap_or_else(|e| panic!("{}: {e}", row[0].1));
        fitted += 1;
        if fit.ending != Ending::Converged {
            complaints.push(format!("{}: {}", row[0].1, fit.ending.name()));
        }
        let solid = mesh::build(&fit.torso);
        for r in tape::check(&solid, &fit.targets) {
            let Some(found) = r.solid else { continue };
            if r.target.origin == Origin::Given && (found - r.target.value).abs() > r.tolerance {
                complaints.push(format!(
                    "{}: {} asked {:.1} found {:.1} (within {:.1})",
                    row[0].1, r.target.measure, r.target.value, found, r.tolerance
                ));
            }
        }
    }
    (fitted, complaints)
}

#[test]
fn the_average_women_of_1988() {
    let (n, complaints) = judge(include_str!("../survey/women-1988.csv"), "woman", ADULTS);
    assert_eq!(n, 42);
    assert!(
        complaints.is_empty(),
        "{} complaints:\n{}",
        complaints.len(),
        complaints.join("\n")
    );
}

#[test]
fn the_average_men_of_1988() {
    let (n, complaints) = judge(include_str!("../survey/men-1988.csv"), "man", ADULTS);
    assert_eq!(n, 27);
    assert!(
        complaints.is_empty(),
        "{} complaints:\n{}",
        complaints.len(),
        complaints.join("\n")
    );
}

#[test]
fn the_children_of_1977() {
    let (n, complaints) = judge(
        include_str!("../survey/children-1977.csv"),
        "child",
        CHILDREN,
    );
    assert!(n >= 30, "only {n} bands hold the three girths");
    assert!(
        complaints.is_empty(),
        "{} complaints:\n{}",
        complaints.len(),
        complaints.join("\n")
    );
}

/// The table of columns names real keys, and none twice.
#[test]
fn columns_name_keys() {
    for table in [ADULTS, CHILDREN] {
        for (i, (column, key, _, why)) in table.iter().enumerate() {
            let measure = Measure::from_key(key).unwrap_or_else(|| panic!("{column}: {key}"));
            assert!(measure.kind() != Kind::Wall && !why.is_empty());
            assert!(table[..i].iter().all(|c| c.1 != *key), "{key} twice");
        }
    }
}
