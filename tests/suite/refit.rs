//! A fit that starts where an earlier one ended, against a fit of the same sheet from nothing.

use std::f64::consts::TAU;

use layfigure::measure::{Kind, Measure, Side};
use layfigure::sheet::{self, Sheet};
use layfigure::tolerance::{SLOPE_TOLERANCE_RAD, TAPE_TOLERANCE_MM, WALL_TOLERANCE_MM};
use layfigure::torso::{Ending, Ends, Fit, fit, refit_to};

const SHEETS: [&str; 3] = ["contralto", "baritone", "chorister"];

fn example(name: &str) -> Sheet {
    let path = format!("{}/tests/sheets/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).unwrap();
    sheet::read(&text, name).unwrap()
}

/// Each sheet with one reading changed by two of a hundred.
fn changed(sheet: &Sheet) -> Vec<(String, Sheet)> {
    (0..sheet.given.len())
        .map(|i| {
            let mut other = sheet.clone();
            let sign = if i % 2 == 0 { 1.0 } else { -1.0 };
            other.given[i].value *= 1.0 + 0.02 * sign;
            (format!("{}", other.given[i].measure), other)
        })
        .collect()
}

/// Largest distance between two surfaces along rays at shares of their heights, mm.
fn apart(a: &Fit, b: &Fit) -> f64 {
    let at = |f: &Fit, i: usize| {
        let (low, high) = f.torso.range();
        low + (high - low) * (i as f64 + 0.5) / 40.0
    };
    let mut most: f64 = 0.0;
    for i in 0..40 {
        for j in 0..36 {
            let theta = TAU * (f64::from(j) + 0.3) / 36.0;
            let (p, q) = (
                a.torso.point(theta, at(a, i)),
                b.torso.point(theta, at(b, i)),
            );
            most = most.max((p.xy() - q.xy()).norm());
        }
    }
    most
}

/// Nothing changed is as good a body; a sheet of another kind is fitted from nothing.
#[test]
fn what_an_earlier_fit_does_not_know_is_fitted_from_nothing() {
    let sheet = example("contralto");
    let earlier = fit(&sheet).unwrap();
    let again = refit_to(&earlier, &sheet, Ends::default()).unwrap();
    // What nothing tells may move by a fifth of what it is unsure of: both are as probable.
    assert!((earlier.sum - again.sum).abs() < 0.05);
    let moved = apart(&earlier, &again);
    assert!(moved < 0.2 * earlier.unsure, "{moved}");
    for other in ["baritone", "chorister"] {
        let sheet = example(other);
        let cold = fit(&sheet).unwrap();
        let warm = refit_to(&earlier, &sheet, Ends::default()).unwrap();
        assert!(warm.sum < cold.sum + 0.2, "{} {}", warm.sum, cold.sum);
    }
    // Sides told apart: other parameters move.
    let mut uneven = sheet;
    let given = uneven
        .given
        .iter_mut()
        .find(|g| g.measure == Measure::LengthShoulder);
    let given = given.unwrap();
    given.side = Side::Left;
    let mut right = given.clone();
    right.side = Side::Right;
    right.value += 8.0;
    uneven.given.push(right);
    let cold = fit(&uneven).unwrap();
    let warm = refit_to(&earlier, &uneven, Ends::default()).unwrap();
    assert_eq!((cold.sum, cold.iterations), (warm.sum, warm.iterations));
}

#[test]
fn a_changed_reading_gives_the_body_of_a_fit_from_nothing() {
    for name in SHEETS {
        let before = example(name);
        let earlier = fit(&before).unwrap();
        for (what, after) in changed(&before) {
            let (Ok(cold), Ok(warm)) = (fit(&after), refit_to(&earlier, &after, Ends::default()))
            else {
                panic!("{name} {what}");
            };
            let why = format!("{name} {what}");
            assert_eq!(warm.ending, Ending::Converged, "{why}");
            // As probable a body (the sum is a chi-square: 0.1 is a twentieth less) that gives the readings as well.
            assert!(
                warm.sum < cold.sum + 0.1,
                "{why}: {} {}",
                cold.sum,
                warm.sum
            );
            let (asked, found) = (cold.worst_misfit, warm.worst_misfit);
            assert!(found < asked + 0.05, "{why}: {asked} {found}");
            // What nothing tells may differ, by a fraction of what it is unsure of.
            let apart = apart(&cold, &warm);
            assert!(apart < 0.2 * cold.unsure, "{why}: {apart} mm apart");
            // Derivatives carried over two of a hundred are right to about a tenth.
            let ratio = warm.unsure / cold.unsure;
            assert!((ratio - 1.0).abs() < 0.1, "{why}: {ratio}");
            for (c, w) in cold.targets.iter().zip(&warm.targets) {
                assert_eq!((c.measure, c.side, c.origin), (w.measure, w.side, w.origin));
                // Which part of a back touches the wall may change on the way: there a gap has no
                // one derivative, and only the gap itself is compared.
                if c.measure.kind() == Kind::Wall {
                    let gap = (c.value - w.value).abs();
                    assert!(gap < WALL_TOLERANCE_MM, "{why}: {} {gap}", c.measure);
                    continue;
                }
                let unsure = c.plus_minus.max(w.plus_minus);
                // What no tape tells is not a difference.
                let slack = if c.measure.kind() == Kind::Slope {
                    SLOPE_TOLERANCE_RAD
                } else {
                    TAPE_TOLERANCE_MM
                };
                assert!(
                    (c.value - w.value).abs() <= 0.2 * unsure,
                    "{why}: {}",
                    c.measure
                );
                assert!(
                    (c.plus_minus - w.plus_minus).abs() <= (0.25 * unsure).max(slack),
                    "{why}: {} ± {} {}",
                    c.measure,
                    c.plus_minus,
                    w.plus_minus
                );
            }
        }
    }
}
