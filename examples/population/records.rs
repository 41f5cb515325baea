//! The records of a survey: people, and sheets of what was measured of them.

use std::collections::BTreeMap;
use std::error::Error;
use std::fmt::Write as _;

use layfigure::measure::Measure;

/// Survey column and the measure it stands for.
pub(crate) const ADULT: &[(&str, Measure)] = &[
    ("stature", Measure::HeightStature),
    ("chest_circ", Measure::GirthBust),
    ("waist_circ_natural", Measure::GirthWaist),
    ("buttock_circ", Measure::GirthHip),
    ("waist_back_length_natural", Measure::LengthBackWaist),
    ("underbust_circ", Measure::GirthUnderbust),
    ("neck_circ", Measure::GirthNeck),
    ("neck_base_circ", Measure::GirthNeckBase),
    ("scye_circ", Measure::GirthArmscye),
    ("chest_circ_scye", Measure::GirthUpperChest),
    ("shoulder_length", Measure::LengthShoulder),
    ("waist_front_length_natural", Measure::LengthFrontWaist),
    ("neck_to_bustpoint", Measure::LengthSideNeckToBust),
    ("bustpoint_breadth", Measure::LengthBustPointWidth),
    ("scye_depth", Measure::LengthScyeDepth),
    ("interscye_midscye", Measure::LengthAcrossBack),
    ("chest_breadth", Measure::BreadthBust),
    ("chest_depth", Measure::DepthBust),
    ("hip_breadth", Measure::BreadthHip),
    ("buttock_depth", Measure::DepthHip),
    ("cervicale_height", Measure::HeightNape),
    ("neck_lateral_height", Measure::HeightSideNeck),
    ("acromial_height", Measure::HeightShoulder),
    ("axilla_height", Measure::HeightArmpit),
    ("chest_height", Measure::HeightBust),
    ("waist_height_natural", Measure::HeightWaist),
    ("buttock_height", Measure::HeightHip),
];

pub(crate) const CHILD: &[(&str, Measure)] = &[
    ("stature", Measure::HeightStature),
    ("chest_circ", Measure::GirthBust),
    ("waist_circ_natural", Measure::GirthWaist),
    ("hip_circ", Measure::GirthHip),
    ("neck_circ", Measure::GirthNeck),
    ("hip_breadth", Measure::BreadthHip),
    ("chest_breadth_axilla", Measure::BreadthBust),
    ("axilla_height", Measure::HeightArmpit),
    ("buttock_height", Measure::HeightHip),
];

/// What the surveys of 1988 and 2012 both have, with the waist at the navel; where they call one thing by two
/// names, the later one second.
pub(crate) const NAVEL: &[(&str, Measure)] = &[
    ("stature", Measure::HeightStature),
    ("chest_circ", Measure::GirthBust),
    ("waist_circ_omphalion", Measure::GirthWaist),
    ("buttock_circ", Measure::GirthHip),
    ("neck_circ", Measure::GirthNeck),
    ("neck_base_circ", Measure::GirthNeckBase),
    ("shoulder_circ", Measure::GirthShoulder),
    ("thigh_circ", Measure::GirthThigh),
    ("cervicale_height", Measure::HeightNape),
    ("acromial_height", Measure::HeightShoulder),
    ("axilla_height", Measure::HeightArmpit),
    ("chest_height", Measure::HeightBust),
    ("waist_height_omphalion", Measure::HeightWaist),
    ("buttock_height", Measure::HeightHip),
    ("crotch_height", Measure::HeightCrotch),
    ("shoulder_length", Measure::LengthShoulder),
    ("waist_back_length_omphalion", Measure::LengthBackWaist),
    ("interscye_midscye", Measure::LengthAcrossBack),
    ("interscye_2", Measure::LengthAcrossBack),
    ("biacromial_breadth", Measure::BreadthBiacromial),
    ("waist_breadth_omphalion", Measure::BreadthWaist),
    ("hip_breadth", Measure::BreadthHip),
    ("chest_depth", Measure::DepthBust),
    ("waist_depth_omphalion", Measure::DepthWaist),
    ("buttock_depth", Measure::DepthHip),
];

/// What was measured of somebody, mm.
pub(crate) type Person = BTreeMap<Measure, f64>;

/// Columns of the same adults that were measured at the navel instead of the natural waist.
pub(crate) const AT_NAVEL: &[(&str, &str)] = &[
    ("waist_circ_natural", "waist_circ_omphalion"),
    ("waist_back_length_natural", "waist_back_length_omphalion"),
    ("waist_front_length_natural", "waist_front_length_omphalion"),
];

/// Every fifth record, or (`left_out` false) the other four, with the columns of `instead` in place of
/// those that they stand for.
pub(crate) fn people(
    text: &str,
    figure: &str,
    left_out: bool,
    instead: &[(&str, &str)],
) -> Result<Vec<Person>, Box<dyn Error>> {
    let columns = if figure == "child" { CHILD } else { ADULT };
    rows(text, columns, left_out, instead, figure == "child")
        .map(|all| all.into_iter().map(|r| r.0).collect())
}

/// Every fifth record, or the other four, with the waist at the navel, and what each weighs.
pub(crate) fn at_navel(text: &str, left_out: bool) -> Result<Vec<(Person, f64)>, Box<dyn Error>> {
    rows(text, NAVEL, left_out, &[], false)
}

fn rows(
    text: &str,
    columns: &[(&str, Measure)],
    left_out: bool,
    instead: &[(&str, &str)],
    children: bool,
) -> Result<Vec<(Person, f64)>, Box<dyn Error>> {
    let mut lines = text.lines().filter(|l| !l.starts_with('#'));
    let head: Vec<&str> = lines
        .next()
        .ok_or("empty file")?
        .split(',')
        .map(|h| h.trim_end_matches("_mm"))
        .collect();
    let mut all = Vec::new();
    for (i, line) in lines.enumerate() {
        if (i % 5 == 4) != left_out {
            continue;
        }
        let cells: Vec<&str> = line.split(',').collect();
        let mut person = Person::new();
        for (name, measure) in columns {
            let name = instead
                .iter()
                .find(|(of, _)| of == name)
                .map_or(name, |i| &i.1);
            let at = head.iter().position(|h| h == name);
            if let Some(v) = at
                .and_then(|k| cells.get(k))
                .and_then(|v| v.parse::<f64>().ok())
            {
                person.insert(*measure, v);
            }
        }
        let needed = [Measure::GirthBust, Measure::GirthWaist, Measure::GirthHip];
        let tall = person.get(&Measure::HeightStature).copied().unwrap_or(0.0);
        if needed.iter().all(|m| person.contains_key(m)) && (!children || tall < 1700.0) {
            let weight = head.iter().position(|h| *h == "weight_hg");
            let weight = weight.and_then(|k| cells.get(k)?.parse().ok());
            all.push((person, weight.unwrap_or(0.0)));
        }
    }
    Ok(all)
}

/// A measurement sheet of `keys`, of a figure whose waist is taken so.
pub(crate) fn sheet_text(
    person: &Person,
    (figure, waist): (&str, &str),
    keys: &[Measure],
) -> Result<String, Box<dyn Error>> {
    let mut text =
        format!("name = \"record\"\nunit = \"cm\"\nfigure = \"{figure}\"\nwaist = \"{waist}\"\n");
    for table in ["girth", "length", "breadth", "depth", "height"] {
        writeln!(text, "[{table}]")?;
        for m in keys {
            if let (Some(key), Some(v)) = (
                m.key()
                    .strip_prefix(table)
                    .and_then(|k| k.strip_prefix('.')),
                person.get(m),
            ) {
                writeln!(text, "{key} = {:.1}", v / 10.0)?;
            }
        }
    }
    Ok(text)
}
