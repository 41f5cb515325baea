//! The proof set: cards that must fit the body at every level.

use std::f64::consts::{PI, TAU};

use approx::assert_relative_eq;
use layfigure::measure::Level;
use layfigure::measure::Measure;
use layfigure::report;
use layfigure::stack::proof;
use layfigure::stack::proof::Card;
use layfigure::workshop::Workshop;

use super::stack::turned;

/// Width of the band of card, mm.
const BAND: f64 = 20.0;

/// Cards of a drum of radius 150 whose waist is at 200 mm, on a small and on a large page.
fn drum(window: (f64, f64)) -> Vec<Card> {
    let mut mesh = turned(0.0, 400.0, 100, |_| 150.0);
    mesh.marks.levels.insert(Level::Waist, 200.0);
    proof::cards(&mesh, window).unwrap()
}

/// A quarter of a ring has the area π (R² − r²) / 4 and edges π r / 2, π R / 2 and twice the width
/// (plane geometry); a half twice that.
#[test]
fn cards_are_parts_of_a_ring() {
    let (r, outer) = (150.0, 150.0 + BAND);
    for (window, count, parts) in [((182.0, 264.0), 2, 4.0), ((400.0, 400.0), 1, 2.0)] {
        let cards = drum(window);
        // The drum is the same on both sides: one card is turned over.
        assert_eq!(cards.len(), count);
        for card in &cards {
            let area = PI * (outer * outer - r * r) / parts;
            assert_relative_eq!(card.piece.area, area, max_relative = 2e-3);
            let rim = TAU * (r + outer) / parts + 2.0 * BAND;
            assert_relative_eq!(card.piece.outline.perimeter(), rim, max_relative = 2e-3);
            let (low, high) = card.piece.outline.bounds().unwrap();
            assert!(high.x - low.x <= window.0.max(window.1));
            assert!(card.what.contains("waist") && card.what.contains("turned over"));
        }
    }
}

/// The inner edges of all cards of a level together are the section of the body: as long as its
/// girth, or longer where the tape bridges a hollow. The cards are life size at half scale too.
#[test]
fn cards_of_a_body_follow_its_girths() {
    let workshop = Workshop {
        scale: 0.5,
        ..Workshop::default()
    };
    let sheet = include_str!("../../examples/baritone.toml");
    let sheet = layfigure::sheet::read(sheet, "sheet.toml").unwrap();
    let checked = report::check(sheet, &workshop, None).unwrap();
    let cards = proof::cards(&checked.mesh, (182.0, 264.0)).unwrap();
    for (level, measure) in [
        (Level::Hip, Measure::GirthHip),
        (Level::Waist, Measure::GirthWaist),
        (Level::Bust, Measure::GirthBust),
    ] {
        let asked = checked
            .readings
            .iter()
            .find(|r| r.target.measure == measure)
            .and_then(|r| r.solid)
            .unwrap();
        let own: Vec<&Card> = cards
            .iter()
            .filter(|c| c.what.starts_with(&format!("{}, ", level.name())))
            .collect();
        assert!(!own.is_empty(), "{level:?}");
        let twice = if own.iter().any(|c| c.what.contains("turned over")) {
            2.0
        } else {
            1.0
        };
        // Of a band of constant width w round an arc that turns by α in all: area = w (inner + α w / 2).
        let share = TAU / twice / own.len() as f64;
        let inner: f64 = own
            .iter()
            .map(|c| (c.piece.area / BAND - share * BAND / 2.0) * twice)
            .sum();
        assert!(
            inner > asked - 3.0 && inner < asked * 1.03,
            "{level:?}: {inner} {asked}"
        );
    }
    for what in [
        "centre back profile",
        "centre front profile",
        "shoulder line",
    ] {
        assert!(cards.iter().any(|c| c.what.starts_with(what)), "{what}");
    }
    for card in &cards {
        assert!(card.piece.outline.is_simple(), "{}", card.what);
    }
    let pages = report::proof(&checked, &workshop).unwrap();
    assert!((6..=20).contains(&pages.len()), "{}", pages.len());
}
