//! Hard sheets and odd workshops, thrown by the hundred: each is made or refused with reasons, none takes more
//! work than a person waits for. A few are thrown in every run; `LAYFIGURE_THROWN=2000 cargo test --release
//! --test suite thrown:: -- --nocapture` throws as many as one likes, `LAYFIGURE_FIRST` says from which on.

use std::panic::catch_unwind;
use std::time::Instant;

use approx::assert_abs_diff_eq;
use layfigure::measure::Level;
use layfigure::mesh;
use layfigure::sheet;
use layfigure::torso::{Ends, fit_to};
use layfigure::{Error, form, workshop};

use crate::anything::hard::{self, Draw};
use crate::anything::{self, End};

/// What a sheet may cost at most: bodies that are read for the fit and for all questions about it. A body takes
/// a third of a millisecond at most, so this is three seconds of one processor.
const MOST_BODIES: usize = 8_500;

/// What takes longer is named: so that one knows where to look, never to judge by.
const SLOW_S: f64 = 20.0;

fn number(name: &str, usual: u64) -> u64 {
    std::env::var(name).map_or(usual, |text| text.parse().unwrap())
}

/// Throws what `case` makes of every seed; says the counts, and every input that broke something.
/// Usually a few of them are thrown, so far apart.
#[allow(clippy::print_stdout, reason = "it reports what was thrown")]
fn throw(
    what: &str,
    (usual, apart): (u64, u64),
    case: impl Fn(u64) -> (String, Result<(End, usize), String>),
) {
    let first = number("LAYFIGURE_FIRST", 0);
    let many = number("LAYFIGURE_THROWN", usual);
    let apart = if many == usual { apart } else { 1 };
    let mut ends = [0_u64; 4];
    let (mut slowest, mut most) = ((0.0, 0), (0, 0));
    let mut lost = Vec::new();
    for (i, seed) in (first..)
        .step_by(apart as usize)
        .take(many as usize)
        .enumerate()
    {
        if i > 0 && i % 100 == 0 {
            println!("{what}: {i} of {many}, {} lost", lost.len());
        }
        let begun = Instant::now();
        let (text, end) = case(seed);
        let took = begun.elapsed().as_secs_f64();
        if took > SLOW_S {
            println!("{what} {seed} took {took:.1} s");
        }
        if took > slowest.0 {
            slowest = (took, seed);
        }
        match end {
            Ok((end, work)) => {
                ends[end as usize] += 1;
                if work > most.0 {
                    most = (work, seed);
                }
                if work > MOST_BODIES {
                    lost.push(format!("{what} {seed} read {work} bodies:\n{text}"));
                }
            }
            Err(why) => lost.push(format!("{what} {seed}: {why}\n{text}")),
        }
    }
    let [refused, not_made, missed, met] = ends;
    println!(
        "{what}: {many} tried, {refused} refused as they are read, {not_made} not made, {missed} made with \
         misses, {met} made and met, {} lost; the slowest {:.1} s ({}), the most work {} bodies ({})",
        lost.len(),
        slowest.0,
        slowest.1,
        most.0,
        most.1
    );
    assert!(lost.is_empty(), "{}", lost.join("\n"));
}

/// What a panic said.
fn said(panic: &(dyn std::any::Any + Send)) -> String {
    let text = panic.downcast_ref::<String>().cloned();
    text.or_else(|| panic.downcast_ref::<&str>().map(|s| (*s).to_owned()))
        .unwrap_or_default()
}

#[test]
fn hard_sheets_are_fitted_or_refused_in_bounded_work() {
    throw("sheet", (6, 1), |seed| {
        let text = hard::sheet(&mut Draw::new(seed));
        let end = catch_unwind(|| anything::checked(&text)).map_err(|p| said(&*p));
        (text, end)
    });
}

#[test]
fn odd_workshops_are_built_or_refused() {
    throw("workshop", (3, 1), |seed| {
        let mut draw = Draw::new(seed);
        let room = hard::room(&mut draw);
        let body = [
            include_str!("../../examples/chorister.toml"),
            include_str!("../../examples/chorister.toml"),
            include_str!("../../examples/contralto.toml"),
            include_str!("../../examples/chorister.toml"),
            include_str!("../../examples/chorister.toml"),
            include_str!("../../examples/baritone.toml"),
        ][(seed % 6) as usize];
        let end = catch_unwind(|| (anything::built(body, &room), 0)).map_err(|p| said(&*p));
        (room, end)
    });
}

#[test]
fn sheets_at_the_ends_of_their_ranges_are_fitted_or_refused() {
    throw("sheet at an end", (8, 29), |seed| {
        let text = hard::sheet_end(seed);
        let end = catch_unwind(|| anything::checked(&text)).map_err(|p| said(&*p));
        (text, end)
    });
}

#[test]
fn workshops_at_the_ends_of_their_ranges_are_built_or_refused() {
    throw("workshop at an end", (8, 13), |seed| {
        let room = hard::room_end(seed);
        let body = include_str!("../../examples/chorister.toml");
        let end = catch_unwind(|| (anything::built(body, &room), 0)).map_err(|p| said(&*p));
        (room, end)
    });
}

/// A form may end anywhere from the hip down; what is above stays as it is.
#[test]
fn a_form_may_end_at_the_hip_itself() {
    let sheet = sheet::read(sheet::EXAMPLE, sheet::EXAMPLE_FILE).unwrap();
    let ending = |from: Option<f64>| {
        let ends = Ends {
            hem_below_hip: from,
            ..Ends::default()
        };
        fit_to(&sheet, ends).unwrap().torso
    };
    let usual = ending(None);
    for from in [0.0, 0.1, 5.0, 19.0, 60.0, 400.0] {
        let torso = ending(Some(from));
        let hip = torso.level(Level::Hip);
        assert_abs_diff_eq!(torso.level(Level::Hem), hip - from, epsilon = 1e-9);
        let solid = mesh::build(&torso);
        assert!(solid.faults().none(), "{from}");
        for level in [Level::TopHip, Level::Waist, Level::Bust] {
            for theta in [-1.5, -0.8, 0.0, 0.8, 1.5] {
                let off = torso.radius(theta, torso.level(level))
                    - usual.radius(theta, usual.level(level));
                assert!(off.abs() < 4.0, "{from}, {level:?}, {theta}: {off}");
            }
        }
    }
}

/// What cannot be cut is refused before anything is fitted, and what nobody would pile is not piled.
#[test]
fn a_kerf_that_swallows_holes_and_a_thousand_layers_are_refused() {
    let room = "[[stock]]\nkerf = 3\n[dowel]\ndiameter = 2\nclearance = 0\n";
    let Err(Error::Workshop(found)) = workshop::read(room, "room.toml") else {
        panic!("a kerf of 3 mm for holes of 2 mm was taken");
    };
    assert_eq!(
        found[0].message(),
        "`stock.kerf` (3 mm) is as wide as the hole of a dowel (2 mm): the cut would swallow it"
    );
    assert!(
        workshop::read(
            "[[stock]]\nkerf = 1.9\n[dowel]\ndiameter = 2\n",
            "room.toml"
        )
        .is_ok()
    );
    let thin = workshop::read("[layer]\nthickness = 0.3\n", "room.toml").unwrap();
    let sheet = sheet::read(sheet::EXAMPLE, sheet::EXAMPLE_FILE).unwrap();
    let checked = form::check(sheet, &thin, None).unwrap();
    let Err(Error::Stack(why)) = form::build(checked, thin, 1) else {
        panic!("two thousand layers were made");
    };
    let why = why.message();
    assert!(why.contains("the most is 1000"), "{why}");
}
