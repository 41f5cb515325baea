//! Templates that several layers share and half templates on the fold: nothing is lost on them, joins
//! keep off the holes, and what a printer makes shorter comes out right.

use std::collections::{BTreeMap, BTreeSet};

use layfigure::drawing::{Drawing, Item, Pen, pdf};
use layfigure::face;
use layfigure::geom::{Outline, Point2};
use layfigure::layout::page;
use layfigure::stack::{Mark, Stack};
use layfigure::workshop::{Paper, Workshop};

use crate::toy;

const PENS: [Pen; 4] = [Pen::Cut, Pen::Second, Pen::Third, Pen::Fourth];

fn workshop(outlines: usize, fold: bool) -> Workshop {
    let mut workshop = Workshop::default();
    workshop.paper.outlines = outlines;
    workshop.paper.fold = fold;
    workshop
}

/// Groups of a page that are templates.
fn templates(page: &Drawing) -> Vec<&layfigure::drawing::Group> {
    page.groups
        .iter()
        .filter(|g| g.id.starts_with('L'))
        .collect()
}

/// Distance from a point to the nearest line of a pen.
fn to_pen(items: &[Item], pen: Pen, p: Point2) -> f64 {
    items
        .iter()
        .filter_map(|i| match i {
            Item::Path {
                pen: of, points, ..
            } if *of == pen => Some(points),
            _ => None,
        })
        .flat_map(|points| points.windows(2))
        .map(|s| (layfigure::geom::outline::nearest_on_segment(p, s[0], s[1]) - p).norm())
        .fold(f64::INFINITY, f64::min)
}

/// Every layer stands on a template with a pen of its own; its line lies where its outline does, but
/// for the gaps of its number, and a half is half of it.
fn every_outline_is_drawn(stack: &Stack, fold: bool) -> usize {
    let pages = page::pages(stack, &workshop(4, fold), "chorister").unwrap();
    let mut seen = 0;
    let mut drawn = 0;
    for page in &pages {
        for group in templates(page) {
            if group.clip.is_some() {
                continue;
            }
            drawn += 1;
            // The fold is the first level or upright stroke that is long: it gives the turn.
            let ids: Vec<&str> = group.id.split('-').collect();
            for (k, id) in ids.iter().enumerate() {
                let piece = stack.pieces().find(|p| p.id == *id).unwrap();
                let points: Vec<Point2> = piece
                    .outline
                    .points
                    .iter()
                    .copied()
                    .filter(|p| !fold || p.x > 1.0)
                    .collect();
                // Turn and shift by the hole of the dowel, which all pieces here have on the left,
                // and try the four right angles.
                let centre = group
                    .items
                    .iter()
                    .find_map(|i| match i {
                        Item::Circle { centre, .. } => Some(*centre),
                        _ => None,
                    })
                    .unwrap();
                let hole = piece.rounds[0].0;
                let hole = if fold {
                    Point2::new(-hole.x, hole.y)
                } else {
                    hole
                };
                let best = [0.0, 90.0, 180.0, 270.0]
                    .map(|turn| {
                        let at = layfigure::layout::Pose::new(turn, 0.0, 0.0).apply(hole);
                        let (dx, dy) = (centre.x - at.x, centre.y - at.y);
                        let pose = layfigure::layout::Pose::new(turn, dx, dy);
                        let far = points
                            .iter()
                            .filter(|&&p| to_pen(&group.items, PENS[k], pose.apply(p)) > 0.01)
                            .count();
                        far as f64 / points.len() as f64
                    })
                    .into_iter()
                    .fold(f64::INFINITY, f64::min);
                // Three gaps of 8 mm in some 450 mm, at most, where three numbers stand.
                assert!(best < 0.12, "{id} on {}: {best} of it is missing", group.id);
                seen += 1;
            }
        }
    }
    assert!(seen >= 20, "only {seen} layers are on single pages");
    drawn
}

/// Pieces with their dowel in one place, so that they can share its cross.
fn one_hole(count: usize) -> Stack {
    let mut stack = toy::stack(count);
    let at = Point2::new(-25.0, 3.0);
    for layer in &mut stack.layers {
        for piece in &mut layer.pieces {
            piece.rounds = vec![(at, 8.3)];
            piece.holes = vec![Outline::circle(at, 4.15, 0.01)];
        }
    }
    stack
}

#[test]
fn every_layer_is_on_a_template_whole_or_by_half() {
    let stack = one_hole(40);
    let halves = every_outline_is_drawn(&stack, true);
    assert!(halves <= 15, "{halves} templates");
}

#[test]
fn each_way_takes_the_pages_that_it_says_and_fewer_than_the_one_before() {
    let stack = toy::stack(40);
    let asked = workshop(4, true);
    let counts = page::counts(&stack, &asked).unwrap();
    let of = |outlines, fold| {
        counts
            .iter()
            .find(|c| (c.outlines, c.fold) == (outlines, fold))
            .unwrap()
            .pages
    };
    for (outlines, fold) in [(1, false), (1, true), (4, false)] {
        let pages = page::pages(&stack, &workshop(outlines, fold), "").unwrap();
        assert_eq!(pages.len(), of(outlines, fold));
    }
    let least = page::pages(&stack, &asked, "").unwrap().len();
    assert!(least < of(1, true) && least < of(4, false));
    assert!(of(1, true) < of(1, false) && of(4, false) < of(1, false));
    assert!(least * 4 < of(1, false), "{least} of {}", of(1, false));
}

#[test]
fn words_of_a_template_do_not_meet() {
    let stack = one_hole(40);
    for page in page::pages(&stack, &workshop(4, true), "contralto").unwrap() {
        for group in templates(&page) {
            let level: Vec<(&str, [f64; 4])> = group
                .items
                .iter()
                .filter_map(|i| match i {
                    Item::Text {
                        at,
                        size,
                        turn,
                        anchor,
                        words,
                    } if turn.abs() < 1e-9 => {
                        let width = face::text_width(words, *size).unwrap();
                        let x = match anchor {
                            layfigure::drawing::Anchor::Start => at.x,
                            layfigure::drawing::Anchor::Middle => at.x - width / 2.0,
                            layfigure::drawing::Anchor::End => at.x - width,
                        };
                        Some((words.as_str(), [x, at.y, x + width, at.y + size]))
                    }
                    _ => None,
                })
                .collect();
            for (k, (words, a)) in level.iter().enumerate() {
                for (other, b) in &level[..k] {
                    let apart = a[0] >= b[2] || b[0] >= a[2] || a[1] >= b[3] || b[1] >= a[3];
                    assert!(apart, "{}: `{words}` meets `{other}`", group.id);
                }
            }
        }
    }
}

/// A template says where the layer above each of its own is, and that page has it.
#[test]
fn the_page_of_the_layer_above_is_named() {
    let stack = one_hole(40);
    let pages = page::pages(&stack, &workshop(4, true), "contralto").unwrap();
    let mut named = 0;
    for page in &pages {
        for group in templates(page) {
            for item in &group.items {
                let Item::Text { words, .. } = item else {
                    continue;
                };
                let Some((layer, number)) = words.split_once(" above: p. ") else {
                    continue;
                };
                let (layer, number): (usize, usize) =
                    (layer.parse().unwrap(), number.parse().unwrap());
                let id = format!("L{layer:03}");
                let there = templates(&pages[number - 1]);
                assert!(
                    there.iter().any(|g| g.id.split('-').any(|on| on == id)),
                    "{words}"
                );
                let below = format!("L{:03}", layer - 1);
                assert!(
                    group.id.split('-').any(|on| on == below),
                    "{words} on {}",
                    group.id
                );
                named += 1;
            }
        }
    }
    assert!(named >= 30, "{named}");
}

/// Rings are folded too: what the left half has alone is dashed, and pages are far fewer.
#[test]
fn rings_are_folded() {
    let mut stack = one_hole(20);
    let square = |low: (f64, f64), high: (f64, f64)| {
        let corners = [low, (high.0, low.1), high, (low.0, high.1)];
        Outline::new(corners.map(|(x, y)| Point2::new(x, y)).to_vec())
    };
    for layer in &mut stack.layers {
        // On the left the opening begins 6 mm further out.
        let left = square((-70.0, 20.0), (-16.0, 50.0));
        layer.pieces[0]
            .holes
            .extend([left, square((10.0, 20.0), (70.0, 50.0))]);
    }
    let whole = page::pages(&stack, &workshop(4, false), "").unwrap().len();
    let pages = page::pages(&stack, &workshop(4, true), "").unwrap();
    assert!(pages.len() * 2 <= whole, "{} of {whole}", pages.len());
    let alone = page::pages(&stack, &workshop(1, true), "").unwrap();
    let mut seen = 0;
    for page in &alone {
        for group in templates(page).iter().filter(|g| g.clip.is_none()) {
            let length = |of: Pen, long: f64| {
                group.items.iter().any(|i| match i {
                    Item::Path { pen, points, .. } if *pen == of => {
                        let all: f64 = points.windows(2).map(|s| (s[1] - s[0]).norm()).sum();
                        (all - long).abs() < 4.0
                    }
                    _ => false,
                })
            };
            // The left upright alone is 30 mm, less what the gap of its words takes from it.
            let says = |side: &str| {
                group
                    .items
                    .iter()
                    .any(|i| matches!(i, Item::Text { words, .. } if words == side))
            };
            assert!(length(Pen::Dashed, 30.0) || says("LEFT"), "{}", group.id);
            assert!(length(Pen::Cut, 42.0) || says("RIGHT"), "{}", group.id);
            seen += 1;
        }
    }
    assert!(seen >= 15, "{seen}");
}

/// A ring that shares its template with whole layers says beside its opening which layer has one.
#[test]
fn an_opening_says_for_which_layer_it_is() {
    for fold in [false, true] {
        let mut stack = one_hole(20);
        let corners = [(-60.0, 20.0), (60.0, 20.0), (60.0, 50.0), (-60.0, 50.0)];
        let opening = Outline::new(corners.map(|(x, y)| Point2::new(x, y)).to_vec());
        for layer in stack.layers.iter_mut().step_by(5) {
            layer.pieces[0].holes.push(opening.clone());
        }
        // A template may lie on several pages: what is said on any of them.
        let mut said: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
        for page in &page::pages(&stack, &workshop(4, fold), "").unwrap() {
            for group in templates(page) {
                let here = said.entry(group.id.clone()).or_default();
                here.extend(group.items.iter().filter_map(|i| match i {
                    Item::Text { words, .. } => {
                        words.strip_prefix("opening: only ").map(Into::into)
                    }
                    _ => None,
                }));
            }
        }
        let mut seen = 0;
        for (id, said) in said {
            let on: Vec<usize> = id.split('-').map(|id| id[1..].parse().unwrap()).collect();
            let rings = on.iter().filter(|&l| l % 5 == 1 && on.len() > 1);
            let wanted: BTreeSet<String> = rings.map(ToString::to_string).collect();
            assert_eq!(said, wanted, "{id}");
            seen += said.len();
        }
        assert!(seen >= 3, "{seen}");
    }
}

/// Words on a card over several pages stand whole on some page, cut on none, and off the joins.
#[test]
fn words_are_not_cut_where_pages_join() {
    let corners = [(0.0, 0.0), (60.0, 0.0), (60.0, 640.0), (0.0, 640.0)];
    let mut piece = toy::pieces(1).remove(0);
    piece.outline = Outline::new(corners.map(|(x, y)| Point2::new(x, y)).to_vec());
    (piece.holes, piece.rounds) = (vec![], vec![]);
    piece.marks = (0..21)
        .map(|k| {
            Mark::Text(
                Point2::new(30.0, 20.0 + 30.0 * f64::from(k)),
                5.0,
                format!("level {k}"),
            )
        })
        .collect();
    let paper = &Workshop::default().paper;
    let pages = page::cards(&[(&piece, "card")], paper, "proof", true).unwrap();
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

/// Joins between the pages of a piece never run through a hole, wherever it is.
#[test]
fn no_join_runs_through_a_hole() {
    for k in 0..12 {
        let mut stack = toy::stack(1);
        let piece = &mut stack.layers[0].pieces[0];
        let at = [
            Point2::new(f64::from(k) * 12.0 - 70.0, 3.0),
            Point2::new(f64::from(k) * 5.0, f64::from(k) * 9.0 - 50.0),
            Point2::new(0.0, 0.0),
        ];
        piece.rounds = vec![(at[0], 8.3), (at[1], 10.3), (at[2], 25.3)];
        piece.holes = piece
            .rounds
            .iter()
            .map(|&(at, d)| Outline::circle(at, d / 2.0, 0.01))
            .collect();
        let mut workshop = workshop(1, false);
        if k % 2 == 1 {
            workshop.paper = Paper {
                width: 148.0,
                height: 210.0,
                ..workshop.paper
            };
        }
        let pages = page::pages(&stack, &workshop, "").unwrap();
        let mut joins = 0;
        for page in &pages {
            let Some(joined) = page.groups.iter().find(|g| g.id == "joins") else {
                continue;
            };
            let template = page.groups.iter().find(|g| g.id == "L001").unwrap();
            let holes = template.items.iter().filter_map(|i| match i {
                Item::Circle { centre, radius, .. } => Some((*centre, *radius)),
                _ => None,
            });
            for (centre, radius) in holes {
                let away = to_pen(&joined.items, Pen::Fine, centre);
                assert!(away > radius, "hole {k}: {away} from a join, {radius} wide");
                joins += 1;
            }
        }
        assert!(joins >= 6);
    }
}

/// A printer that makes 198.5 mm of 200 along the page and 99.4 of 100 across it: its bars come
/// out right when the pages are written for it.
#[test]
fn pages_make_up_for_the_printer() {
    let stack = toy::stack(5);
    let mut workshop = workshop(4, true);
    let measured = workshop.paper.measured("198.5x99.4").unwrap();
    workshop.paper.printed = Some(measured);
    let pages = page::pages(&stack, &workshop, "baritone").unwrap();
    let (along, across) = workshop.paper.printing();
    let bytes = pdf::write_stretched(&pages, "baritone", (1.0 / across, 1.0 / along)).unwrap();
    let document = lopdf::Document::load_mem(&bytes).unwrap();
    let per_mm = 72.0 / 25.4;
    for (_, id) in document.get_pages() {
        let content = document.get_page_content(id);
        let content = lopdf::content::Content::decode(&content).unwrap();
        let number = |o: &lopdf::Object| f64::from(o.as_float().unwrap());
        let mut at = (0.0, 0.0);
        let mut scale = (1.0, 1.0);
        let (mut longest, mut widest) = (false, false);
        for operation in &content.operations {
            let v: Vec<f64> = match operation.operator.as_str() {
                "cm" | "m" | "l" => operation.operands.iter().map(number).collect(),
                _ => continue,
            };
            match operation.operator.as_str() {
                "cm" => scale = (scale.0 * v[0], scale.1 * v[3]),
                "m" => at = (v[0], v[1]),
                _ => {
                    // What the printer makes of it, mm.
                    let dx = (v[0] - at.0).abs() * scale.0 / per_mm * 0.994;
                    let dy = (v[1] - at.1).abs() * scale.1 / per_mm * (198.5 / 200.0);
                    longest |= (dy - 200.0).abs() < 0.005 && dx < 0.001;
                    widest |= (dx - 100.0).abs() < 0.005 && dy < 0.001;
                }
            }
        }
        assert!(longest && widest);
        let media = document.get_dictionary(id).unwrap();
        let media = media.get(b"MediaBox").unwrap().as_array().unwrap();
        let side = |k: usize| number(&media[k]) / per_mm;
        assert!((side(2) - 210.0).abs() < 0.001 && (side(3) - 297.0).abs() < 0.001);
    }
}

/// Which of several holes is which is told beside it: as many letters as rods, each near a hole.
#[test]
fn letters_stand_beside_the_holes_of_rods() {
    let sheet = layfigure::sheet::read(layfigure::sheet::EXAMPLE, "example").unwrap();
    let fit = layfigure::torso::fit(&sheet).unwrap();
    let mesh = layfigure::mesh::build(&fit.torso);
    let (stack, _) = layfigure::stack::build(&mesh, &Workshop::default(), "example").unwrap();
    let (mut letters, mut holes) = (0, 0);
    for page in page::pages(&stack, &workshop(4, true), "contralto").unwrap() {
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
            // Rods that stand alike on both sides share a hole of half a template: `C D`.
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
        assert!(near < 18.0, "{}: {near} mm from {bar}", group.id);
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
    for item in &group.items {
        let Item::Text {
            at,
            size,
            turn,
            words,
            ..
        } = item
        else {
            continue;
        };
        if *size < 2.9 || words.parse::<usize>().is_err() {
            continue;
        }
        // Seen with the words level: their middle is half their height above their foot.
        let (sin, cos) = turn.sin_cos();
        let middle = Point2::new(at.x - sin * size / 2.0, at.y + cos * size / 2.0);
        let half = face::text_width(words, *size).unwrap() / 2.0;
        for hole in &group.items {
            let Item::Circle { centre, radius, .. } = hole else {
                continue;
            };
            let d = centre - middle;
            let across = (d.x * cos + d.y * sin).abs() - half;
            let up = (d.y * cos - d.x * sin).abs() - size / 2.0;
            let away = across.max(0.0).hypot(up.max(0.0));
            assert!(away > *radius, "{}: {words} on a hole", group.id);
        }
    }
}

/// Both plates say what they are, how thick, and where their front is, whole and by half; without a
/// pole the base board shows the middle of its flange.
#[test]
fn plates_have_their_front_and_thickness() {
    let mut stack = toy::stack(4);
    stack.base = toy::section(150.0, 100.0, 0.0);
    stack.cap = toy::section(60.0, 55.0, 0.0);
    for (outlines, fold) in [(1, false), (4, true)] {
        let mut workshop = workshop(outlines, fold);
        workshop.base = 18.0;
        let pages = page::pages(&stack, &workshop, "").unwrap();
        for (id, says) in [
            ("base-board", "18 mm thick"),
            ("neck-cap-plate", "4 to 6 mm thick"),
        ] {
            let groups: Vec<_> = pages
                .iter()
                .flat_map(|p| &p.groups)
                .filter(|g| g.id == id)
                .collect();
            assert!(!groups.is_empty(), "{id}");
            let words: Vec<&str> = groups
                .iter()
                .flat_map(|g| &g.items)
                .filter_map(|i| match i {
                    Item::Text { words, .. } => Some(words.as_str()),
                    _ => None,
                })
                .collect();
            for wanted in [says, "FRONT", "cross: "] {
                assert!(
                    words.iter().any(|w| w.contains(wanted)),
                    "{id} {fold}: {wanted} {words:?}"
                );
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
    let sheet = include_str!("../../examples/baritone.toml");
    let sheet = layfigure::sheet::read(sheet, "sheet.toml").unwrap();
    let mesh = layfigure::mesh::build(&layfigure::torso::fit(&sheet).unwrap().torso);
    let (stack, _) = layfigure::stack::build(&mesh, &workshop, "baritone").unwrap();
    let pages = page::pages(&stack, &workshop, "baritone").unwrap();
    let mut rows: BTreeMap<(String, String), bool> = BTreeMap::new();
    for page in &pages {
        for group in templates(page) {
            let Some((low, high)) = group.clip else {
                continue;
            };
            for item in &group.items {
                let Item::Text {
                    at,
                    size,
                    turn,
                    words,
                    ..
                } = item
                else {
                    continue;
                };
                if !(words.contains(" above: p. ") || words.contains(" mm up")) {
                    continue;
                }
                let width = face::text_width(words, *size).unwrap();
                let (sin, cos) = turn.sin_cos();
                let ends = [(0.0, 0.0), (width, 0.0), (0.0, *size), (width, *size)];
                let inside = ends.iter().all(|(x, y)| {
                    let p =
                        at + layfigure::geom::Vector2::new(x * cos - y * sin, x * sin + y * cos);
                    p.x >= low.x && p.y >= low.y && p.x <= high.x && p.y <= high.y
                });
                *rows.entry((group.id.clone(), words.clone())).or_default() |= inside;
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
