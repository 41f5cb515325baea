//! Templates that are trimmed down from layer to layer and half templates on the fold: nothing is lost on them,
//! nothing crosses, joins keep off the holes, and what a printer makes shorter comes out right.

use std::collections::BTreeMap;

use layfigure::drawing::{Drawing, Item, Pen, pdf};
use layfigure::geom::{Outline, Point2};
use layfigure::layout::page;
use layfigure::stack::{Hole, Piece, Stack};
use layfigure::workshop::{Paper, Workshop};

use crate::forms;
use crate::read_pdf::Pdf;
use crate::toy;

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
                pen: of,
                points,
                closed,
            } if *of == pen => Some((points, *closed)),
            _ => None,
        })
        .flat_map(|(points, closed)| {
            let last = [points[points.len() - 1], points[0]];
            let sides = points.windows(2).map(|s| [s[0], s[1]]);
            sides.chain(closed.then_some(last)).collect::<Vec<_>>()
        })
        .map(|s| (layfigure::geom::outline::nearest_on_segment(p, s[0], s[1]) - p).norm())
        .fold(f64::INFINITY, f64::min)
}

/// Every layer stands on one template; its line lies all along its outline, and a half is half of it.
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
            for id in group.id.split('-') {
                let piece = stack.pieces().find(|p| p.id.to_string() == *id).unwrap();
                let points: Vec<Point2> = piece
                    .outline
                    .points
                    .iter()
                    .copied()
                    .filter(|p| !fold || p.x >= 0.0)
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
                let whole = [0.0, 90.0, 180.0, 270.0].iter().any(|&turn| {
                    let at = layfigure::layout::Pose::new(turn, 0.0, 0.0).apply(hole);
                    let (dx, dy) = (centre.x - at.x, centre.y - at.y);
                    let pose = layfigure::layout::Pose::new(turn, dx, dy);
                    let mut points = points.iter();
                    points.all(|&p| to_pen(&group.items, Pen::Cut, pose.apply(p)) < 0.01)
                });
                assert!(whole, "{id} is not whole on {}", group.id);
                seen += 1;
            }
        }
    }
    assert!(seen >= 20, "only {seen} layers are on single pages");
    drawn
}

/// The templates of some pages with the pieces on each, outermost first.
fn chains(pages: &[Drawing], stack: &Stack) -> Vec<Vec<Piece>> {
    let mut all: BTreeMap<String, Vec<Piece>> = BTreeMap::new();
    for group in pages.iter().flat_map(templates) {
        let piece = |id: &str| {
            let mut pieces = stack.pieces();
            pieces.find(|p| p.id.to_string() == *id).unwrap().clone()
        };
        let on = group.id.split('-').map(piece).collect();
        all.insert(group.id.clone(), on);
    }
    all.into_values().collect()
}

/// On one template each line lies inside the one before with 2 mm of room, as README has it, and every hole
/// inside a line is one of its layer.
#[test]
fn lines_of_a_template_lie_one_inside_the_next() {
    let (stack, _) = forms::contralto_stack();
    for (most, fold) in [(4, true), (4, false), (2, true)] {
        let pages = page::pages(stack, &workshop(most, fold), "contralto").unwrap();
        let chains = chains(&pages, stack);
        let mut ids: Vec<_> = chains.iter().flatten().map(|p| p.id).collect();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), stack.layers.len());
        assert_eq!(ids.len(), chains.iter().map(Vec::len).sum::<usize>());
        let mut shared = 0;
        for chain in &chains {
            assert!(chain.len() <= most);
            for (k, inner) in chain.iter().enumerate() {
                for outer in &chain[..k] {
                    let both = format!("{} in {}", inner.id, outer.id);
                    for p in &inner.outline.points {
                        assert!(outer.outline.contains(*p), "{both}");
                        // Along the fold the lines meet it at right angles, and not one another.
                        let room = outer.outline.distance(*p);
                        assert!(room >= 2.0 - 1e-9, "{both}: {room}");
                    }
                    let holes = |p: &Piece| p.rounds().collect::<Vec<_>>();
                    for hole in holes(outer) {
                        let own = holes(inner).contains(&hole);
                        assert!(own || !inner.outline.contains(hole.0), "{both}");
                    }
                    assert!(holes(inner).iter().all(|h| holes(outer).contains(h)));
                }
                shared += usize::from(k > 0);
            }
        }
        assert!(shared >= 20, "{most} {fold}: {shared}");
    }
}

/// Half of what one line on a template takes, or little more.
#[test]
fn a_contralto_takes_no_more_than_eighty_pages() {
    let (stack, _) = forms::contralto_stack();
    let pages = page::pages(stack, &workshop(4, true), "contralto").unwrap();
    assert!(pages.len() <= 80, "{}", pages.len());
}

/// On a whole template a hole is a whole circle, of the pole on the centre line too.
#[test]
fn whole_templates_have_whole_holes() {
    let (stack, _) = forms::contralto_stack();
    let pages = page::pages(stack, &workshop(4, false), "contralto").unwrap();
    let mut seen = 0;
    for group in pages.iter().flat_map(templates) {
        let id = group.id.split('-').next().unwrap();
        let piece = stack.pieces().find(|p| p.id.to_string() == id).unwrap();
        let circles = |i: &&Item| matches!(i, Item::Circle { .. });
        let drawn = group.items.iter().filter(circles).count();
        assert_eq!(drawn, piece.rounds().count(), "{}", group.id);
        seen += drawn;
    }
    assert!(seen > 300, "{seen}");
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
    assert!(halves <= 20, "{halves} templates");
}

#[test]
fn each_way_takes_the_pages_that_it_says_and_fewer_than_the_one_before() {
    let stack = one_hole(40);
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
    assert!(least * 3 < of(1, false), "{least} of {}", of(1, false));
}

/// Rings are folded too: what the left half has alone is dashed, and pages are far fewer.
#[test]
fn rings_are_folded_where_both_sides_are_cut_out_alike() {
    let square = |low: (f64, f64), high: (f64, f64)| {
        let corners = [low, (high.0, low.1), high, (low.0, high.1)];
        Outline::new(corners.map(|(x, y)| Point2::new(x, y)).to_vec())
    };
    // On the left the opening begins where it does on the right, or 6 mm further out.
    for (inner, alike) in [(-10.0, true), (-16.0, false)] {
        let mut stack = one_hole(20);
        for layer in &mut stack.layers {
            let left = square((-70.0, 20.0), (inner, 50.0));
            layer.pieces[0]
                .holes
                .extend([left, square((10.0, 20.0), (70.0, 50.0))].map(Hole::Opening));
        }
        let whole = page::pages(&stack, &workshop(4, false), "").unwrap().len();
        let folded = page::pages(&stack, &workshop(4, true), "").unwrap().len();
        assert_eq!(folded * 2 <= whole, alike, "{folded} of {whole}");
        let mut seen = 0;
        for page in &page::pages(&stack, &workshop(1, true), "").unwrap() {
            for group in templates(page) {
                let says = |what: &str| {
                    let is = |i: &Item| matches!(i, Item::Text { words, .. } if words == what);
                    group.items.iter().any(is)
                };
                assert_eq!(says("RIGHT HALF"), alike, "{}", group.id);
                assert!(says("cut out"), "{}", group.id);
                seen += 1;
            }
        }
        assert!(seen >= 15, "{seen}");
    }
}

/// Paper that is cut open shows no other layer true.
#[test]
fn a_ring_has_its_template_alone() {
    for fold in [false, true] {
        let mut stack = one_hole(20);
        let corners = [(-60.0, 20.0), (60.0, 20.0), (60.0, 50.0), (-60.0, 50.0)];
        let opening = Outline::new(corners.map(|(x, y)| Point2::new(x, y)).to_vec());
        for layer in stack.layers.iter_mut().step_by(5) {
            layer.pieces[0].holes.push(Hole::Opening(opening.clone()));
        }
        let pages = page::pages(&stack, &workshop(4, fold), "").unwrap();
        let chains = chains(&pages, &stack);
        for chain in &chains {
            let rings = chain.iter().filter(|p| p.openings().next().is_some());
            assert!(chain.len() == 1 || rings.count() == 0);
        }
        assert!(chains.iter().any(|c| c.len() > 1), "{fold}");
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
        for (id, says, place) in [
            ("base-board", "18 mm thick", "flange of the stand"),
            ("neck-cap-plate", "4 to 6 mm thick", "eye, if it hangs"),
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
            for wanted in [says, "FRONT", place] {
                assert!(
                    words.iter().any(|w| w.contains(wanted)),
                    "{id} {fold}: {wanted} {words:?}"
                );
            }
        }
    }
}
