//! Templates that several layers share and half templates on the fold: nothing is lost on them, joins
//! keep off the holes, and what a printer makes shorter comes out right.

use std::collections::{BTreeMap, BTreeSet};

use layfigure::drawing::{Drawing, Item, Pen, pdf};
use layfigure::geom::{Outline, Point2};
use layfigure::layout::page;
use layfigure::stack::Hole;
use layfigure::stack::Stack;
use layfigure::workshop::{Paper, Workshop};

use crate::read_pdf::Pdf;
use crate::toy;

const PENS: [Pen; 4] = [Pen::Cut, Pen::Second, Pen::Third, Pen::Fourth];

pub(crate) fn workshop(outlines: usize, fold: bool) -> Workshop {
    let mut workshop = Workshop::default();
    workshop.paper.outlines = outlines;
    workshop.paper.fold = fold;
    workshop
}

/// Groups of a page that are templates.
pub(crate) fn templates(page: &Drawing) -> Vec<&layfigure::drawing::Group> {
    page.groups
        .iter()
        .filter(|g| g.id.starts_with('L'))
        .collect()
}

/// Distance from a point to the nearest line of a pen.
pub(crate) fn to_pen(items: &[Item], pen: Pen, p: Point2) -> f64 {
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
                let piece = stack.pieces().find(|p| p.id.to_string() == *id).unwrap();
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
                let (hole, _) = piece.rounds().next().unwrap();
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
pub(crate) fn one_hole(count: usize) -> Stack {
    let mut stack = toy::stack(count);
    let at = Point2::new(-25.0, 3.0);
    for layer in &mut stack.layers {
        for piece in &mut layer.pieces {
            piece.holes = vec![Hole::round(at, 8.3)];
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
            .extend([left, square((10.0, 20.0), (70.0, 50.0))].map(Hole::Opening));
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
            layer.pieces[0].holes.push(Hole::Opening(opening.clone()));
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
        let rounds = [(at[0], 8.3), (at[1], 10.3), (at[2], 25.3)];
        piece.holes = rounds.map(|(at, d)| Hole::round(at, d)).to_vec();
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
    let file = Pdf::read(&bytes);
    for page in 0..pages.len() {
        // What the printer makes of a stroke, mm: along the page it is shorter than across.
        let printed = |[a, b]: &[[f64; 2]; 2]| {
            let [dx, dy] = [(b[0] - a[0]).abs(), (b[1] - a[1]).abs()];
            (dx * 0.994, dy * (198.5 / 200.0))
        };
        let strokes: Vec<(f64, f64)> = file.strokes(page).iter().map(printed).collect();
        let has = |dx: f64, dy: f64| {
            let mut all = strokes.iter();
            all.any(|s| (s.0 - dx).abs() < 0.005 && (s.1 - dy).abs() < 0.005)
        };
        assert!(has(0.0, 200.0) && has(100.0, 0.0));
        let [width, height] = file.size(page);
        assert!((width - 210.0).abs() < 0.001 && (height - 297.0).abs() < 0.001);
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
