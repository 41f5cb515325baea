//! Words and numbers on templates: they meet nothing, are cut by no join, and stand beside what they name.

use layfigure::drawing::{Group, Item, Pen};
use layfigure::geom::{Outline, Point2};
use layfigure::layout::page;
use layfigure::stack::Inscription;
use layfigure::stack::Mark;
use layfigure::stack::proof::Card;
use layfigure::workshop::Workshop;
use std::collections::{BTreeMap, BTreeSet};

use super::templates::{templates, to_pen, workshop};
use crate::forms;
use crate::toy;
use crate::words;

/// No word of a page stands on another, on a line, on a hole or on a join.
#[test]
fn words_of_a_page_meet_nothing() {
    let (stack, _) = forms::contralto_stack();
    for (most, fold) in [(4, true), (4, false), (1, false)] {
        let pages = page::pages(stack, &workshop(most, fold), "contralto").unwrap();
        // The first ones have the list.
        for page in pages.iter().filter(|p| !templates(p).is_empty()) {
            let clipped = |g: &Group, p: Point2| {
                g.clip.is_none_or(|(low, high)| {
                    p.x > low.x && p.y > low.y && p.x < high.x && p.y < high.y
                })
            };
            let items = page.groups.iter().flat_map(|g| &g.items);
            let all = words::of(items);
            assert_eq!(words::meetings(&all), [], "{}", page.title);
            for group in &page.groups {
                for stroke in group.items.iter().flat_map(strokes) {
                    let d = stroke[1] - stroke[0];
                    let steps = (d.norm() / 0.4).ceil().max(1.0);
                    for k in 0..=steps as usize {
                        let p = stroke[0] + d * (k as f64 / steps);
                        let on = all.iter().find(|w| w.distance(p) <= 0.0);
                        let on = on.filter(|_| clipped(group, p)).map(|w| w.text);
                        assert_eq!(on, None, "{}, {most} {fold}: {p}", page.title);
                    }
                }
            }
        }
    }
}

/// The straight strokes of an item.
fn strokes(item: &Item) -> Vec<[Point2; 2]> {
    match item {
        Item::Path { points, closed, .. } => {
            let last = [points[points.len() - 1], points[0]];
            let sides = points.windows(2).map(|s| [s[0], s[1]]);
            sides.chain(closed.then_some(last)).collect()
        }
        Item::Circle { centre, radius, .. } => {
            let ring = Outline::circle(*centre, *radius, 0.05);
            ring.sides().map(|(a, b)| [a, b]).collect()
        }
        Item::Text { .. } => Vec::new(),
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
    let pages = page::cards(&[card], paper, "proof", "68ea83", page::HeightsFrom::Floor).unwrap();
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

/// Which of several holes is which is told beside it: nearer to each than any other's name is, within a hand's
/// breadth (common practice, no source).
#[test]
fn names_stand_beside_the_holes_of_dowels() {
    let (stack, _) = forms::contralto_stack();
    let letters: BTreeSet<&str> = stack.dowels.iter().map(|d| d.name.as_str()).collect();
    let mut holes = 0;
    for page in page::pages(stack, &workshop(4, true), "contralto").unwrap() {
        for group in templates(&page).iter().filter(|g| g.clip.is_none()) {
            let all = words::of(&group.items);
            let named: Vec<_> = all
                .iter()
                .filter(|w| {
                    let first = w.text.split(' ').next().unwrap();
                    letters.contains(first) || first == "pole"
                })
                .collect();
            let rounds = group.items.iter().filter_map(|i| match i {
                Item::Circle { centre, .. } => Some(*centre),
                _ => None,
            });
            let mut taken = BTreeSet::new();
            for centre in rounds {
                let away = |k: &usize| named[*k].distance(centre);
                let nearest = (0..named.len()).min_by(|a, b| away(a).total_cmp(&away(b)));
                let nearest = nearest.unwrap_or_else(|| panic!("no name on {}", group.id));
                assert!(away(&nearest) < 100.0, "{}", group.id);
                assert!(
                    taken.insert(nearest),
                    "{}: {}",
                    group.id,
                    named[nearest].text
                );
                holes += 1;
            }
            marks_end_before_the_next_line(group);
            front_is_in_front(group);
            numbers_keep_off_holes(group);
        }
    }
    assert!(holes > 100, "{holes}");
}

/// Ticks, edge marks and crosses of holes run over no line to cut: what belongs to one layer is trimmed away
/// with it.
fn marks_end_before_the_next_line(group: &Group) {
    for item in &group.items {
        let Item::Path {
            pen: Pen::Mark | Pen::Dashed,
            points,
            ..
        } = item
        else {
            continue;
        };
        let &[a, b] = points.as_slice() else {
            continue;
        };
        let d = b - a;
        // The fold has lines on it.
        if d.norm() > 60.0 {
            continue;
        }
        for k in 3..=20 {
            let p = a + d * (f64::from(k) / 20.0);
            let away = to_pen(&group.items, Pen::Cut, p);
            assert!(
                away > 0.1,
                "{}: a mark at {a} is {away} from a line",
                group.id
            );
        }
    }
}

/// FRONT and BACK stand on their own halves of a template: FRONT further along the way up of the words
/// than BACK, by a good part of the template.
fn front_is_in_front(group: &Group) {
    let place = |said: &str| {
        group.items.iter().find_map(|i| match i {
            Item::Text {
                at, turn, words, ..
            } if words == said => Some((*at, *turn)),
            _ => None,
        })
    };
    let (front, turn) = place("FRONT").unwrap_or_else(|| panic!("no FRONT on {}", group.id));
    let (back, _) = place("BACK").unwrap_or_else(|| panic!("no BACK on {}", group.id));
    let (sin, cos) = turn.sin_cos();
    let d = front - back;
    let up = d.y * cos - d.x * sin;
    assert!(up > 5.0, "{}: FRONT is {up} mm before BACK", group.id);
}

/// No number in a line stands on a hole.
fn numbers_keep_off_holes(group: &Group) {
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
                if w.text.contains(" mm up") || w.text.contains(" of ") {
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
