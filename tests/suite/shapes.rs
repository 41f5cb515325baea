//! Shapes that a fitter believes: what pictures showed to be wrong before, held by numbers.

use std::f64::consts::{FRAC_PI_2, PI};

use layfigure::measure::{Level, Measure, Side};
use layfigure::sheet;
use layfigure::torso::{self, Torso};

fn body(figure: &str, numbers: &str) -> Torso {
    let text = format!("name = \"x\"\nunit = \"mm\"\nfigure = \"{figure}\"\n[girth]\n{numbers}\n");
    torso::fit(&sheet::read(&text, "x.toml").unwrap())
        .unwrap()
        .torso
}

fn woman(bust: f64, underbust: f64, waist: f64, hip: f64, stature: f64) -> Torso {
    body(
        "woman",
        &format!(
            "bust = {bust}\nunderbust = {underbust}\nwaist = {waist}\nhip = {hip}\n[height]\nstature = {stature}"
        ),
    )
}

/// Heights from the waist up to `below` mm under the armpit.
fn trunk(torso: &Torso, below: f64) -> impl Iterator<Item = f64> {
    let high = torso.level(Level::Armpit) - below;
    (0..=200).map(move |i| high * f64::from(i) / 200.0)
}

/// Half breadth of the section at `z`, in front of the pole and behind it.
fn halves(torso: &Torso, z: f64) -> (f64, f64) {
    let out = |from: f64| {
        (0..=900)
            .map(|i| from + FRAC_PI_2 * f64::from(i) / 900.0)
            .map(|theta| torso.radius(theta, z) * theta.cos())
            .fold(f64::MIN, f64::max)
    };
    (out(0.0), out(-FRAC_PI_2))
}

/// Breasts do not stick out past the sides: in front of the widest place of the trunk nothing is broader
/// than there, at any height from the waist to the armpit, however large the cup. (Common practice, no
/// source: a bodice block has its side seam there.)
#[test]
fn nothing_stands_out_past_the_sides() {
    for torso in [
        woman(960.0, 810.0, 770.0, 1020.0, 1700.0),
        woman(1100.0, 800.0, 760.0, 1010.0, 1680.0),
        woman(1520.0, 1200.0, 1250.0, 1400.0, 1680.0),
    ] {
        for z in trunk(&torso, 0.0) {
            let (front, _) = halves(&torso, z);
            let side = torso.radius(0.0, z);
            assert!(
                front <= side + 0.5,
                "{front} in front, {side} beside, at {z}"
            );
        }
    }
}

/// From the front one smooth line from armpit to waist: nowhere a notch deeper than 3 mm.
#[test]
fn there_is_no_notch_under_the_arm() {
    for torso in [
        woman(880.0, 760.0, 700.0, 950.0, 1660.0),
        woman(960.0, 810.0, 770.0, 1020.0, 1700.0),
        woman(1000.0, 810.0, 790.0, 1040.0, 1660.0),
        body(
            "man",
            "chest = 1000\nwaist = 860\nhip = 1000\n[height]\nstature = 1780",
        ),
    ] {
        let line: Vec<f64> = trunk(&torso, 0.0).map(|z| torso.radius(0.0, z)).collect();
        // A notch is a place that lies in from both what is below and what is above.
        let above = |i: usize| line[i..].iter().copied().fold(f64::MIN, f64::max);
        let below = |i: usize| line[..=i].iter().copied().fold(f64::MIN, f64::max);
        let waist = (0..line.len())
            .min_by(|a, b| line[*a].total_cmp(&line[*b]))
            .unwrap();
        for i in waist..line.len() {
            let notch = above(i).min(line[waist..=i].iter().copied().fold(f64::MIN, f64::max));
            assert!(notch - line[i] < 3.0, "a notch of {} mm", notch - line[i]);
        }
        assert!(below(waist) <= line[0] + 1e-9);
    }
}

/// Breadth, depth and fullness at the bust are those of women of that girth: 1988 US Army survey
/// (NATICK/TR-89/044), lines through 2208 women (breadth 42.34 + 0.26162 girth, depth -32.71 + 0.3001 girth, mm;
/// spread 10.7 and 9.1), girth over that of the ellipse 1.111 on average.
#[test]
fn the_bust_is_as_broad_and_as_full_as_in_the_survey() {
    for (bust, underbust, waist, hip) in [
        (860.0, 745.0, 690.0, 930.0),
        (910.0, 780.0, 740.0, 970.0),
        (960.0, 810.0, 790.0, 1010.0),
        (1010.0, 850.0, 840.0, 1050.0),
    ] {
        let torso = woman(bust, underbust, waist, hip, 1630.0);
        let read = |m| torso.own_reading(m, Side::Both).unwrap();
        let (breadth, depth) = (read(Measure::BreadthBust), read(Measure::DepthBust));
        let (line_b, line_d) = (42.34 + 0.26162 * bust, -32.71 + 0.3001 * bust);
        assert!(
            (breadth - line_b).abs() < 6.0,
            "{bust}: {breadth} broad, {line_b}"
        );
        assert!(
            (depth - line_d).abs() < 6.0,
            "{bust}: {depth} deep, {line_d}"
        );
        // Ramanujan's second approximation of the girth of an ellipse (1914).
        let (a, b) = (0.5 * breadth, 0.5 * depth);
        let h = ((a - b) / (a + b)).powi(2);
        let ellipse = PI * (a + b) * (1.0 + 3.0 * h / (10.0 + (4.0 - 3.0 * h).sqrt()));
        let full = read(Measure::GirthBust) / ellipse;
        assert!((full - 1.111).abs() < 0.02, "{bust}: {full}");
    }
}

/// From behind nothing of the breasts shows: the back of a body does not know how large they are, but for
/// the breadth of the ribs.
#[test]
fn the_back_has_no_knobs() {
    let torso = woman(1100.0, 800.0, 760.0, 1010.0, 1680.0);
    // The back edge of the arm plate stands further out.
    for z in trunk(&torso, 30.0) {
        let (_, back) = halves(&torso, z);
        assert!((back - torso.radius(0.0, z)).abs() < 0.5, "at {z}");
    }
}

/// A waist taken at the navel: its height, the lengths to it and the section there of the average woman and
/// man of the 1988 US Army survey (NATICK/TR-89/044, means of 2108 women and 1674 men, mm), from four readings.
#[test]
fn a_waist_at_the_navel_lies_where_the_survey_has_it() {
    use Measure as M;
    let people = [
        (
            "woman",
            [907.5, 792.1, 967.0, 1628.7],
            [981.9, 442.3, 389.6, 289.7, 204.0],
        ),
        (
            "man",
            [992.0, 863.1, 984.4, 1755.8],
            [1058.7, 478.7, 414.6, 309.5, 226.3],
        ),
    ];
    let measures = [
        (M::HeightWaist, 8.0),
        (M::LengthBackWaist, 14.0),
        (M::LengthFrontWaist, 10.0),
        (M::BreadthWaist, 8.0),
        (M::DepthWaist, 8.0),
    ];
    for (figure, [bust, waist, hip, stature], means) in people {
        let text = format!(
            "unit = \"mm\"\nfigure = \"{figure}\"\nwaist = \"navel\"\ngirth.bust = {bust}\n\
             girth.waist = {waist}\ngirth.hip = {hip}\nheight.stature = {stature}\n"
        );
        let torso = torso::fit(&sheet::read(&text, "navel").unwrap())
            .unwrap()
            .torso;
        for ((measure, within), mean) in measures.into_iter().zip(means) {
            let read = torso.own_reading(measure, Side::Both).unwrap();
            assert!(
                (read - mean).abs() < within,
                "{figure} {measure}: {read}, the survey has {mean}"
            );
        }
    }
}
