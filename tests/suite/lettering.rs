//! Words and numbers on templates: they meet nothing, are cut by no join, and stand beside what they name.

use layfigure::drawing::{Item, Pen};
use layfigure::geom::{Outline, Point2};
use layfigure::layout::page;
use layfigure::stack::Inscription;
use layfigure::stack::Mark;
use layfigure::stack::proof::Card;
use layfigure::workshop::Workshop;
use std::collections::{BTreeMap, BTreeSet};

use super::templates::{one_hole, templates, to_pen, workshop};
use crate::forms;
use crate::toy;
use crate::words;

#[test]
fn words_of_a_template_do_not_meet() {
    let stack = one_hole(40);
    for page in page::pages(&stack, &workshop(4, true), "contralto").unwrap() {
        for group in templates(&page) {
            let all = words::of(&group.items);
            assert_eq!(words::meetings(&all), [], "{}", group.id);
        }
    }
}

/// Words on a card over several pages stand whole on some page, cut on none, and off the joins.
#[test]
fn words_are_not_cut_where_pages_join() {
    let corners = [(0.0, 0.0), (60.0, 0.0), (60.0, 640.0), (0.0, 640.0)];
    let mut piece = toy::pieces(1).remove(0);
    piece.outline = Outline::new(corners.map(|(x, y)| Point2::new(x, y)).to_vec());
    piece.holes = vec![];
    piece.marks = (0..21)
        .map(|k| {
            Mark::Text(Inscription::new(
                Point2::new(30.0, 20.0 + 30.0 * f64::from(k)),
                5.0,
                format!("level {k}"),
            ))
        })
        .collect();
    let card = Card {
        piece: piece.clone(),
        what: "card".into(),
        brief: "card".into(),
    };
    let paper = &Workshop::default().paper;
    let pages = page::cards(&[card], paper, "proof", "68ea83", true).unwrap();
    // The first one says how to use them.
    let pages = &pages[1..];
    assert!(pages.len() >= 3, "{}", pages.len());
    let mut whole: BTreeSet<String> = BTreeSet::new();
    for page in pages {
        let group = &templates(page)[0];
        let (low, high) = group.clip.unwrap();
        let joins = page.groups.iter().find(|g| g.id == "joins").unwrap();
        for item in &group.items {
            let Item::Text {
                at, size, words, ..
            } = item
            else {
                continue;
            };
            if at.y >= low.y && at.y + size <= high.y {
                whole.insert(words.clone());
            } else {
                assert!(at.y >= high.y || at.y + size <= low.y, "{words} is cut");
            }
            let middle = Point2::new(at.x, at.y + size / 2.0);
            let away = to_pen(&joins.items, Pen::Fine, middle);
            assert!(away > size / 2.0 + 2.0, "{words} is {away} from a join");
        }
    }
    assert_eq!(whole.len(), 21);
}

/// Which of several holes is which is told beside it: as many letters as dowels, each near a hole.
#[test]
fn letters_stand_beside_the_holes_of_dowels() {
    let (stack, _) = forms::contralto_stack();
    let (mut letters, mut holes) = (0, 0);
    for page in page::pages(stack, &workshop(4, true), "contralto").unwrap() {
        for group in templates(&page) {
            let rounds: Vec<Point2> = group
                .items
                .iter()
                .filter_map(|i| match i {
                    Item::Circle { centre, radius, .. } if *radius < 10.0 => Some(*centre),
                    _ => None,
                })
                .collect();
            let upright = group.items.iter().filter_map(|i| match i {
                Item::Text { at, words, .. } => Some((*at, words)),
                _ => None,
            });
            // Dowels that stand alike on both sides share a hole of half a template: `C D`.
            let lone = |w: &str| w.len() == 1 && w.chars().all(|c| c.is_ascii_uppercase());
            let named: Vec<_> = upright.filter(|(_, w)| w.split(' ').all(lone)).collect();
            for (at, name) in &named {
                let near = rounds.iter().map(|c| (c - at).norm());
                let near = near.fold(f64::INFINITY, f64::min);
                assert!(near < 20.0, "{name} is {near} mm from any hole");
            }
            letters += named.len();
            holes += rounds.len();
            marks_are_numbered(group);
            front_is_in_front(group);
            numbers_keep_off_holes(group);
        }
    }
    assert!(
        holes > 30 && letters * 10 > holes * 8,
        "{letters} of {holes}"
    );
}

/// The edge marks of a template that layers share: a stem of 8 mm with a bar of 5 mm at its end. Each
/// has the number of its layer beside it, or at the end of a leader.
fn marks_are_numbered(group: &layfigure::drawing::Group) {
    let strokes: Vec<[Point2; 2]> = group
        .items
        .iter()
        .filter_map(|i| match i {
            Item::Path { points, .. } => <[Point2; 2]>::try_from(points.clone()).ok(),
            _ => None,
        })
        .collect();
    let long = |s: &[Point2; 2]| (s[1] - s[0]).norm();
    let stems: Vec<&[Point2; 2]> = strokes
        .iter()
        .filter(|s| (long(s) - 8.0).abs() < 0.01)
        .collect();
    let bars: Vec<Point2> = strokes
        .iter()
        .filter(|s| (long(s) - 5.0).abs() < 0.01)
        .map(|s| s[0] + (s[1] - s[0]) / 2.0)
        .filter(|m| stems.iter().any(|s| (s[1] - m).norm() < 0.05))
        .collect();
    // On several pages a mark and its number may stand whole on different ones.
    if group.clip.is_some() || group.id.matches('L').count() < 2 {
        return;
    }
    // Numbers in the lines are larger.
    let numbers: Vec<Point2> = group
        .items
        .iter()
        .filter_map(|i| match i {
            Item::Text {
                at, size, words, ..
            } if *size < 2.5 => {
                let layer = words.trim_end_matches(" LEFT");
                layer.parse::<usize>().is_ok().then_some(*at)
            }
            _ => None,
        })
        .collect();
    assert_eq!(bars.len(), numbers.len(), "{}", group.id);
    for bar in bars {
        let leader = strokes
            .iter()
            .find(|s| (s[0] - bar).norm() < 0.05 && (s[1] - bar).norm() > 5.01);
        let from = leader.map_or(bar, |s| s[1]);
        let near = numbers.iter().map(|at| (at - from).norm());
        let near = near.fold(f64::INFINITY, f64::min);
        // The stem, half of the longest number, and the furthest that it is looked for without a leader.
        assert!(near < 22.0, "{}: {near} mm from {bar}", group.id);
    }
}

/// FRONT and BACK stand on their own halves of a template: FRONT further along the way up of the words
/// than BACK, by a good part of the template or not at all.
fn front_is_in_front(group: &layfigure::drawing::Group) {
    let place = |said: &str| {
        group.items.iter().find_map(|i| match i {
            Item::Text {
                at, turn, words, ..
            } if words == said => Some((*at, *turn)),
            _ => None,
        })
    };
    if let (Some((front, turn)), Some((back, _))) = (place("FRONT"), place("BACK")) {
        let (sin, cos) = turn.sin_cos();
        let d = front - back;
        let up = d.y * cos - d.x * sin;
        assert!(up > 5.0, "{}: FRONT is {up} mm before BACK", group.id);
    }
}

/// No number in a line stands on a hole.
fn numbers_keep_off_holes(group: &layfigure::drawing::Group) {
    for w in words::of(&group.items) {
        if w.size < 2.9 || w.text.parse::<usize>().is_err() {
            continue;
        }
        for item in &group.items {
            if let Item::Circle { centre, radius, .. } = item {
                let away = w.distance(*centre);
                assert!(away > *radius, "{}: {} on a hole", group.id, w.text);
            }
        }
    }
}

/// The list of lines of a template on several pages stands whole on one of them, with all it says, and
/// no join runs through it.
#[test]
fn lists_of_lines_are_not_cut_where_pages_join() {
    let text = "[layer]\nmaterial = \"EVA\"\nthickness = 12\ncut = \"middle\"\n";
    let workshop = layfigure::workshop::read(text, "room.toml").unwrap();
    let mesh = &forms::baritone().mesh;
    let (stack, _) = layfigure::stack::build(mesh, &workshop, "baritone").unwrap();
    let pages = page::pages(&stack, &workshop, "baritone").unwrap();
    let mut rows: BTreeMap<(String, String), bool> = BTreeMap::new();
    for page in &pages {
        for group in templates(page) {
            let Some((low, high)) = group.clip else {
                continue;
            };
            for w in words::of(&group.items) {
                if w.text.contains(" above: p. ") || w.text.contains(" mm up") {
                    let row = (group.id.clone(), w.text.to_owned());
                    *rows.entry(row).or_default() |= w.within(low, high);
                }
            }
        }
    }
    assert!(rows.len() > 5, "{}", rows.len());
    let cut: Vec<_> = rows
        .iter()
        .filter(|(_, whole)| !**whole)
        .map(|(row, _)| row)
        .collect();
    assert!(cut.is_empty(), "{cut:?}");
}
