//! The proof set: cards that must fit the body at every level.

use std::f64::consts::{PI, TAU};

use approx::assert_relative_eq;
use layfigure::drawing::{Drawing, Item};
use layfigure::form;
use layfigure::geom::Point2;
use layfigure::geom::Vector2;
use layfigure::layout::page;
use layfigure::measure::Level;
use layfigure::measure::Measure;
use layfigure::stack::Mark;
use layfigure::stack::proof;
use layfigure::stack::proof::Card;
use layfigure::units::Unit;
use layfigure::workshop::Workshop;

use super::stack::turned;

/// Width of the band of card, mm.
const BAND: f64 = 20.0;

/// Cards of a drum of radius 150 whose waist is at 200 mm, on a small and on a large page.
fn drum(window: (f64, f64)) -> Vec<Card> {
    let mut mesh = turned(0.0, 400.0, 100, |_| 150.0);
    mesh.marks.levels.insert(Level::Waist, 200.0);
    proof::cards(&mesh, window, Unit::Mm).unwrap()
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
    let sheet = include_str!("../sheets/baritone.toml");
    let sheet = layfigure::sheet::read(sheet, "sheet.toml").unwrap();
    let checked = form::check(sheet, &workshop, None).unwrap();
    let cards = proof::cards(&checked.mesh, (182.0, 264.0), Unit::Mm).unwrap();
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
            .filter(|c| {
                c.what
                    .starts_with(&format!("{}, ", level.called(checked.sheet.figure)))
            })
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
    let pages = form::proof(&checked, &workshop).unwrap();
    // The first page says what the cards are, from where they are placed, and where the others are.
    let first = said(&pages[0]);
    for words in [
        "against the person",
        "above the floor it belongs",
        "hollow side",
        "plumb",
    ] {
        assert!(first.contains(words), "{words}: {first}");
    }
    assert!(first.contains("p. 2") && !first.contains("Tie an elastic"));
    let paper = &workshop.paper;
    let unknown =
        said(&page::cards(&[], paper, "proof", "68ea83", page::HeightsFrom::Waist).unwrap()[0]);
    assert!(unknown.contains("Tie an elastic"), "{unknown}");
    assert!((6..=20).contains(&pages.len()), "{}", pages.len());
}

/// All words of a page, in one line.
fn said(page: &Drawing) -> String {
    let items = page.groups.iter().flat_map(|g| &g.items);
    let words = items.filter_map(|i| match i {
        Item::Text { words, .. } => Some(words.as_str()),
        _ => None,
    });
    words.collect::<Vec<_>>().join(" ")
}

/// Everything written and drawn on the cards can be read: no word on another, on a stroke or off its
/// card, the words of a title one below the other in their order, and the name of a level beside its
/// tick. Letters are at least 2.2 mm tall.
#[test]
fn words_of_cards_stand_in_order_and_clear() {
    for sheet in [
        include_str!("../sheets/contralto.toml"),
        include_str!("../sheets/baritone.toml"),
        include_str!("../sheets/chorister.toml"),
    ] {
        let sheet = layfigure::sheet::read(sheet, "sheet.toml").unwrap();
        let checked = form::check(sheet, &Workshop::default(), None).unwrap();
        for card in proof::cards(&checked.mesh, (182.0, 264.0), Unit::Mm).unwrap() {
            read(&card);
        }
    }
}

/// Words on a card: their middle, half their breadth and height, their direction, and what they say.
struct Said<'a> {
    at: Point2,
    half: Vector2,
    turn: f64,
    words: &'a str,
}

impl Said<'_> {
    /// Points of the box, 0.5 mm apart or less.
    fn points(&self) -> Vec<Point2> {
        let (sin, cos) = self.turn.sin_cos();
        let mut out = Vec::new();
        for i in -40..=40 {
            for j in -6..=6 {
                let (x, y) = (
                    self.half.x * f64::from(i) / 40.0,
                    self.half.y * f64::from(j) / 6.0,
                );
                out.push(self.at + Vector2::new(cos * x - sin * y, sin * x + cos * y));
            }
        }
        out
    }

    fn holds(&self, p: Point2) -> bool {
        let (sin, cos) = self.turn.sin_cos();
        let d = p - self.at;
        (d.x * cos + d.y * sin).abs() < self.half.x && (d.y * cos - d.x * sin).abs() < self.half.y
    }
}

fn read(card: &Card) {
    let what = &card.what;
    let mut said = Vec::new();
    let mut strokes = Vec::new();
    for mark in &card.piece.marks {
        let (at, height, turn, words) = match mark {
            Mark::Text(words) => (words.at, words.size, words.turn, &words.text),
            Mark::Line(points) => {
                strokes.push((points[0], points[1]));
                continue;
            }
            Mark::Arrow(a, b) => {
                strokes.push((*a, *b));
                continue;
            }
            Mark::Above(_) => panic!("{what} has a layer above"),
        };
        assert!(height >= 2.2, "{what}: {words} is {height} mm tall");
        // Letters of the sans serif faces are about 0.55 of their height wide on the average, capitals
        // 0.65 (from memory): the box is on the small side, so that nothing is found that is not there.
        let half = Vector2::new(words.chars().count() as f64 * height * 0.5, height) / 2.0;
        said.push(Said {
            at,
            half,
            turn,
            words,
        });
    }
    for (k, one) in said.iter().enumerate() {
        for p in one.points() {
            assert!(
                card.piece.outline.contains(p),
                "{what}: {} is off it",
                one.words
            );
            for other in &said[..k] {
                assert!(!other.holds(p), "{what}: {} on {}", one.words, other.words);
            }
        }
        for (a, b) in &strokes {
            for step in 0..=400 {
                let p = a + (b - a) * (f64::from(step) / 400.0);
                assert!(!one.holds(p), "{what}: a stroke through {}", one.words);
            }
        }
    }
    let find = |words: &str| said.iter().find(|s| s.words == words);
    if what.ends_with("profile") {
        let mut title: Vec<String> = what.to_uppercase().split(' ').map(Into::into).collect();
        title.push("hangs plumb".into());
        let stand: Vec<&Said<'_>> = title.iter().map(|w| find(w).unwrap()).collect();
        for pair in stand.windows(2) {
            let (d, room) = (pair[0].at - pair[1].at, pair[0].half.y + pair[1].half.y);
            assert!(
                d.x.abs() < 0.01 && d.y > room && d.y < 2.0 * room,
                "{what}: {d}"
            );
        }
        // Every tick has the name of its level beside it.
        let ticks = strokes.iter().filter(|(a, b)| (a.y - b.y).abs() < 0.01);
        let mut named = 0;
        for (a, _) in ticks {
            assert!(said.iter().any(|s| (s.at.y - a.y).abs() < 0.01), "{what}");
            named += 1;
        }
        assert!(named >= 4, "{what}: {named}");
    } else {
        let first = if what.starts_with("shoulder line") {
            vec![what.to_uppercase(), "seen from behind".into()]
        } else {
            let (name, which) = what.split_once(':').unwrap();
            let (name, half) = name.split_once(',').unwrap_or((name, ""));
            let title = format!("{}{half}", name.to_uppercase());
            vec![title, which.trim().to_owned()]
        };
        let stand: Vec<&Said<'_>> = first.iter().map(|w| find(w).unwrap()).collect();
        let d = stand[0].at - stand[1].at;
        // The second stands right below the first, as one reads them.
        let (sin, cos) = stand[0].turn.sin_cos();
        let (along, up) = (d.x * cos + d.y * sin, d.y * cos - d.x * sin);
        assert!(along.abs() < 0.01 && up > 0.0 && up < 10.0, "{what}: {d}");
    }
}
