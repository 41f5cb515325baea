//! Layers, cores, dowels and marks, on solids with a closed form.

use approx::assert_relative_eq;
use layfigure::Error;
use layfigure::geom::Outline;
use layfigure::geom::Point2;
use layfigure::geom::Point3;
use layfigure::geom::offset::Region;
use layfigure::geom::offset::difference;
use layfigure::measure::Level;
use layfigure::mesh::Marks;
use layfigure::mesh::Mesh;
use layfigure::stack;
use layfigure::stack::Mark;
use layfigure::stack::Stack;
use layfigure::stack::core::loft;
use layfigure::stack::slice::ClosedSlicer;
use layfigure::workshop::Cut;
use layfigure::workshop::Workshop;

const PI: f64 = std::f64::consts::PI;

/// A closed solid of revolution about the z axis, `radius` of height.
pub(crate) fn turned(low: f64, high: f64, rings: usize, radius: impl Fn(f64) -> f64) -> Mesh {
    let rings: Vec<_> = (0..=rings)
        .map(|i| {
            let z = low + (high - low) * i as f64 / rings as f64;
            (z, Point2::origin(), vec![radius(z); 720])
        })
        .collect();
    let marks = Marks {
        pole: vec![Point3::new(0.0, 0.0, low), Point3::new(0.0, 0.0, high)],
        ..Marks::default()
    };
    loft(&rings, marks)
}

fn between(keys: &[(f64, f64)], z: f64) -> f64 {
    let k = keys.partition_point(|p| p.0 <= z).clamp(1, keys.len() - 1);
    let (a, b) = (keys[k - 1], keys[k]);
    a.1 + (b.1 - a.1) * ((z - a.0) / (b.0 - a.0)).clamp(0.0, 1.0)
}

/// A body of squarish ovals: hip, waist, chest, shoulders that fall at 28 degrees, leaning neck.
pub(crate) fn body() -> Mesh {
    let a = [
        (-280.0, 170.0),
        (-190.0, 174.0),
        (0.0, 130.0),
        (170.0, 152.0),
        (280.0, 165.0),
        (330.0, 178.0),
        (395.0, 58.0),
        (450.0, 50.0),
        (490.0, 50.0),
    ];
    let b = [
        (-280.0, 104.0),
        (-190.0, 118.0),
        (0.0, 92.0),
        (170.0, 120.0),
        (280.0, 95.0),
        (330.0, 75.0),
        (395.0, 56.0),
        (450.0, 50.0),
        (490.0, 50.0),
    ];
    let c = [
        (-280.0, 0.0),
        (0.0, 0.0),
        (280.0, -15.0),
        (330.0, -25.0),
        (395.0, -20.0),
        (490.0, 2.0),
    ];
    let mut rings = Vec::new();
    let mut pole = Vec::new();
    for i in 0..=256 {
        let z = -280.0 + 770.0 * f64::from(i) / 256.0;
        let (a, b, c) = (between(&a, z), between(&b, z), between(&c, z));
        let radii = (0..360)
            .map(|j| {
                let t = f64::from(j).to_radians();
                let n = 2.4;
                ((t.cos().abs() / a).powf(n) + (t.sin().abs() / b).powf(n)).powf(-1.0 / n)
            })
            .collect();
        rings.push((z, Point2::new(0.0, c), radii));
        pole.push(Point3::new(0.0, c, z));
    }
    let levels = [
        (Level::Hem, -280.0),
        (Level::Hip, -190.0),
        (Level::Waist, 0.0),
        (Level::Bust, 170.0),
        (Level::ShoulderPoint, 330.0),
        (Level::SideNeck, 395.0),
        (Level::NeckTop, 490.0),
    ];
    let marks = Marks {
        levels: levels.into_iter().collect(),
        pole,
        ..Marks::default()
    };
    loft(&rings, marks)
}

fn bare(thickness: f64) -> Workshop {
    let mut w = Workshop::default();
    w.layer.thickness = thickness;
    w.padding.batting = 0.0;
    w.padding.cover = 0.0;
    w
}

/// Every promise made about any stack.
fn check(stack: &Stack, edge: f64) {
    for (i, layer) in stack.layers.iter().enumerate() {
        assert_eq!(layer.index, i + 1);
        assert!(layer.height() > 0.0);
        if i > 0 {
            assert_relative_eq!(layer.bottom, stack.layers[i - 1].top, epsilon = 1e-9);
        }
        for piece in &layer.pieces {
            assert!(piece.outline.is_simple(), "{} crosses itself", piece.id);
            assert!(piece.outline.area() > 0.0, "{} runs clockwise", piece.id);
            let holes: Vec<_> = piece.holes.iter().map(stack::Hole::ring).collect();
            for (k, hole) in holes.iter().enumerate() {
                assert!(hole.is_simple() && hole.area() > 0.0);
                for p in &hole.points {
                    assert!(piece.outline.contains(*p));
                }
                for other in &holes[k + 1..] {
                    assert!(
                        other.points.iter().all(|p| !hole.contains(*p)),
                        "{}",
                        piece.id
                    );
                }
            }
            for (at, diameter) in piece.rounds() {
                let wall = piece.outline.distance(at) - diameter / 2.0;
                assert!(
                    piece.outline.contains(at) && wall > edge - 0.05,
                    "{} {wall}",
                    piece.id
                );
            }
            words_fit(stack, piece);
        }
        let crossing = stack
            .dowels
            .iter()
            .filter(|d| (d.first_layer..=d.last_layer).contains(&layer.index))
            .count();
        assert!(crossing >= 2, "layer {} has {crossing} dowels", layer.index);
        // Most layers have the holes of the one below.
        let rounds: Vec<(Point2, f64)> = layer.pieces[0].rounds().collect();
        if i == 0
            || !stack.layers[i - 1].pieces[0]
                .rounds()
                .eq(rounds.iter().copied())
        {
            unlike(&rounds);
        }
    }
    for d in &stack.dowels {
        let height = stack.layers[d.last_layer - 1].top - stack.layers[d.first_layer - 1].bottom;
        assert_relative_eq!(d.length, height, epsilon = 1e-9);
    }
    // Neighbouring sets share at least four layers.
    for d in stack.dowels.iter().filter(|d| d.first_layer > 1) {
        assert!(
            stack
                .dowels
                .iter()
                .any(|e| e.first_layer < d.first_layer && e.last_layer + 1 >= d.first_layer + 4)
        );
    }
}

fn words_fit(stack: &Stack, piece: &stack::Piece) {
    let mut boxes: Vec<(Point2, f64, f64)> = Vec::new();
    for mark in &piece.marks {
        if let Mark::Text(words) = mark {
            let (at, h, text) = (words.at, words.size, &words.text);
            assert!(h >= 2.5);
            let w = text.chars().count() as f64 * h * 0.6;
            for (sx, sy) in [
                (-1.0, -1.0),
                (1.0, -1.0),
                (1.0, 1.0),
                (-1.0, 1.0),
                (0.0, 0.0),
            ] {
                let p = Point2::new(at.x + sx * w / 2.0, at.y + sy * h / 2.0);
                assert!(
                    piece.outline.contains(p),
                    "{text} leaves {} of {}",
                    piece.id,
                    stack.layers.len()
                );
                assert!(
                    piece.holes.iter().all(|o| !o.ring().contains(p)),
                    "{text} in a hole of {}",
                    piece.id
                );
            }
            for (c, w2, h2) in &boxes {
                let apart =
                    (c.x - at.x).abs() >= (w + w2) / 2.0 || (c.y - at.y).abs() >= (h + h2) / 2.0;
                assert!(apart, "{text} lies on another word in {}", piece.id);
            }
            boxes.push((at, w, h));
        }
    }
}

/// Independent of the code under test: every turn and flip that puts one hole on another and
/// points a second one at a third is tried; some hole must miss all others by more than 2 mm.
fn unlike(holes: &[(Point2, f64)]) {
    let n = holes.len();
    assert!(n >= 3, "{n} holes cannot tell a flipped piece");
    for flip in [false, true] {
        let moved: Vec<Point2> = holes
            .iter()
            .map(|(p, _)| if flip { Point2::new(-p.x, p.y) } else { *p })
            .collect();
        for i in 0..n {
            for j in (0..n).filter(|j| *j != i) {
                for k in 0..n {
                    for l in (0..n).filter(|l| *l != k) {
                        if !flip && (i, j) == (k, l) {
                            continue;
                        }
                        let from = moved[j] - moved[i];
                        let to = holes[l].0 - holes[k].0;
                        let angle = to.y.atan2(to.x) - from.y.atan2(from.x);
                        let turn = nalgebra::Rotation2::new(angle);
                        let at = |m: usize| holes[k].0 + turn * (moved[m] - moved[i]);
                        if !flip && (0..n).all(|m| (at(m) - holes[m].0).norm() < 2.0) {
                            continue;
                        }
                        let worst = (0..n)
                            .map(|m| {
                                let q = at(m);
                                holes
                                    .iter()
                                    .filter(|h| (h.1 - holes[m].1).abs() < 0.01)
                                    .map(|h| (h.0 - q).norm())
                                    .fold(f64::INFINITY, f64::min)
                            })
                            .fold(0.0, f64::max);
                        assert!(
                            worst > 2.0,
                            "holes {holes:?} thread again: flip {flip}, {worst}"
                        );
                    }
                }
            }
        }
    }
}

/// Volumes of a frustum (r 150 to 100, height 200) as discs cut at mid height: sum of pi r_mid^2 t;
/// the deficit is n pi s^2 t^3 / 12 with s = dr/dz, the step s t (closed forms, evaluated with
/// 30-digit arithmetic).
#[test]
fn frustum_of_discs() {
    let frustum = turned(0.0, 200.0, 1, |z| 150.0 - 0.25 * z);
    // The 720-gon has less area than the circle, by the factor sin(x) / x, x = 2 pi / 720.
    let x = 2.0 * PI / 720.0;
    let polygon = x.sin() / x;
    for (t, volume, deficit) in [
        (5.0, 9_948_294.924_06, 81.812_308_687_2),
        (10.0, 9_948_049.487_13, 327.249_234_749),
        (20.0, 9_947_067.739_43, 1_308.996_939),
    ] {
        let mut w = bare(t);
        w.pole = None;
        let (stack, _) = stack::build(&frustum, &w, "frustum").unwrap();
        let gross: f64 = stack.pieces().map(|p| p.outline.area()).sum::<f64>() * t;
        // Outlines may be simplified by 0.02 mm: on average a third of that is lost along the edge.
        let lost = 2.0 * PI * 125.0 * 200.0 * 0.02;
        assert!((gross - volume * polygon).abs() < lost, "{gross} {volume}");
        assert_relative_eq!(9_948_376.736_37 - volume, deficit, epsilon = 1e-2);
        for layer in &stack.layers[..stack.layers.len() - 1] {
            assert_relative_eq!(layer.step, 0.25 * t, epsilon = 0.045);
        }
        assert_eq!(stack.layers.len(), (200.0 / t) as usize);
        check(&stack, 12.0);
    }
    // Inside and outside cuts: sums of the smaller and of the larger faces.
    for (cut, shift) in [(Cut::Inside, -1.25), (Cut::Outside, 1.25)] {
        let mut w = bare(10.0);
        w.layer.cut = cut;
        let (stack, _) = stack::build(&frustum, &w, "frustum").unwrap();
        for layer in &stack.layers {
            let r = 150.0 - 0.25 * (layer.bottom + 5.0) + shift;
            let area = layer.pieces[0].outline.area();
            assert_relative_eq!((area / PI / polygon).sqrt(), r, epsilon = 0.02);
        }
    }
}

/// The remainder goes to the hem: levels do not move, and the layer that holds one says so.
#[test]
fn layers_hang_from_the_neck_top() {
    let (stack, _) = stack::build(&body(), &Workshop::default(), "body").unwrap();
    assert_relative_eq!(stack.top(), 490.0, epsilon = 1e-9);
    assert!((stack.bottom() + 280.0).abs() <= 6.35 / 2.0 + 1e-9);
    let holders: Vec<_> = stack
        .layers
        .iter()
        .filter(|l| l.levels.contains(&Level::Waist))
        .collect();
    assert_eq!(holders.len(), 1);
    assert!(holders[0].bottom <= 0.0 && holders[0].top > 0.0);
    assert_eq!(stack.layers.last().unwrap().levels, vec![Level::NeckTop]);
    check(&stack, 12.0);
}

#[test]
fn bodies_of_every_workshop() {
    let body = body();
    for padding in [0.0, 5.0, 12.0] {
        for pole in [None, Some(25.0)] {
            let mut w = Workshop::default();
            w.layer.thickness = 10.0;
            w.padding.batting = padding;
            w.pole = pole;
            let (stack, findings) = stack::build(&body, &w, "body").unwrap();
            let edge = if findings.is_empty() { 12.0 } else { 4.0 };
            check(&stack, edge);
        }
    }
    let mut half = Workshop {
        scale: 0.5,
        pole: Some(12.0),
        ..Workshop::default()
    };
    half.layer.thickness = 3.0;
    half.dowel.diameter = 5.0;
    half.dowel.edge = 6.0;
    let (stack, _) = stack::build(&body, &half, "body").unwrap();
    assert_relative_eq!(stack.top(), 245.0, epsilon = 1e-9);
    check(&stack, 4.0);
    let mut rings = Workshop::default();
    rings.layer.hollow = Some(35.0);
    let (ring, _) = stack::build(&body, &rings, "body").unwrap();
    let (full, _) = stack::build(&body, &Workshop::default(), "body").unwrap();
    check(&ring, 12.0);
    assert!(ring.area() < 0.8 * full.area());
    for piece in ring.pieces() {
        // In one part, whatever was opened.
        let rings = piece.holes.iter().map(|hole| hole.ring().into_owned());
        let holes: Vec<Region> = rings.map(Region::solid).collect();
        let left = difference(&[Region::solid(piece.outline.clone())], &holes);
        assert_eq!(left.len(), 1, "{}", piece.id);
        assert_relative_eq!(left[0].area(), piece.area, epsilon = 0.1);
    }
}

/// Sections at the very height of a ring of corners, and just beside it, are the same loop.
#[test]
fn planes_through_corners() {
    let body = body();
    let slicer = ClosedSlicer::new(&body).unwrap();
    for v in body.vertices.iter().step_by(3600) {
        let at: Vec<Outline> = slicer.loops(v.z.max(-279.9));
        let beside = slicer.loops((v.z + 1e-7).clamp(-279.9, 490.0));
        assert_eq!((at.len(), beside.len()), (1, 1));
        assert!(at[0].area() > 0.0);
        assert_relative_eq!(at[0].area(), beside[0].area(), epsilon = 0.01);
    }
}

#[test]
fn shoulders_are_cut_to_the_smaller_face() {
    let body = body();
    let w = bare(6.35);
    let slicer = ClosedSlicer::new(&body).unwrap();
    let (stack, _) = stack::build(&body, &w, "body").unwrap();
    for layer in &stack.layers {
        let middle = layer.bottom + 3.175;
        let side = |z: f64| between(&[(330.0, 178.0), (395.0, 58.0)], z);
        let (lo, hi) = layer.pieces[0].outline.bounds().unwrap();
        if layer.bottom > 330.0 && layer.top < 394.0 {
            // The side falls by 1.85 mm a mm: the top face is the smaller one.
            assert_relative_eq!(hi.x, side(layer.top), epsilon = 0.05);
            // The front stands steeper and is cut in the middle.
            let mid = slicer.section(middle)[0].outer.bounds().unwrap();
            assert_relative_eq!(hi.y, mid.1.y, epsilon = 0.3);
        } else if layer.top < 320.0 {
            let mid = slicer.section(middle)[0].outer.bounds().unwrap();
            assert_relative_eq!(hi.x, mid.1.x, epsilon = 0.03);
            assert_relative_eq!(lo.y, mid.0.y, epsilon = 0.03);
        }
    }
}

/// The slanting mark goes one pitch sideways from layer to layer, everywhere.
#[test]
fn slanting_mark_never_breaks() {
    let (stack, _) = stack::build(&body(), &Workshop::default(), "body").unwrap();
    let ticks: Vec<Point2> = stack
        .layers
        .iter()
        .map(|l| {
            l.pieces[0]
                .marks
                .iter()
                .find_map(|m| match m {
                    Mark::Line(p)
                        if p.len() == 2
                            && (p[0] - p[1]).norm() < 8.01
                            && l.pieces[0].outline.distance(p[0]) < 1e-6 =>
                    {
                        Some(p[0])
                    }
                    _ => None,
                })
                .expect("every layer has its tick")
        })
        .collect();
    for (i, pair) in ticks.windows(2).enumerate() {
        let next = &stack.layers[i + 1].pieces[0].outline;
        let (foot, _) = next.nearest(pair[0]).unwrap();
        assert_relative_eq!((pair[1] - foot).norm(), 6.35, epsilon = 0.2);
    }
}

#[test]
fn refusals_say_what_is_wrong() {
    let says = |mesh: &Mesh, w: &Workshop| match stack::build(mesh, w, "x") {
        Err(Error::Stack(m)) => m.message(),
        other => panic!("{other:?}"),
    };
    let mut open = body();
    open.triangles.pop();
    assert!(says(&open, &Workshop::default()).contains("not closed"));
    let mut thick = Workshop::default();
    thick.layer.thickness = 300.0;
    assert!(says(&body(), &thick).contains("thinner stock"));
    let mut quilt = Workshop::default();
    quilt.padding.batting = 60.0;
    assert!(says(&body(), &quilt).contains("padding"));
    let mut thin = Workshop::default();
    thin.layer.thickness = 1e-4;
    assert!(says(&body(), &thin).contains("layer.thickness"));
}

#[test]
fn the_same_again() {
    let first = stack::build(&body(), &Workshop::default(), "body").unwrap();
    let second = stack::build(&body(), &Workshop::default(), "body").unwrap();
    assert_eq!(format!("{first:?}"), format!("{second:?}"));
}

/// An adult form from below the hip to the neck has 110 to 140 layers of a quarter inch (common
/// practice, no source), and all the promises hold on a real body too.
#[test]
fn a_whole_figure() {
    let body = crate::forms::contralto();
    let (stack, said) = crate::forms::contralto_stack();
    assert!(
        (110..=140).contains(&stack.layers.len()),
        "{}",
        stack.layers.len()
    );
    check(stack, if *said { 4.0 } else { 12.0 });
    // 35 to 50 litres of torso to below the seat (plain geometry of adult girths), less padding.
    assert!(
        (25.0..50.0).contains(&(stack.volume() / 1e6)),
        "{}",
        stack.volume()
    );
    let mut readings = layfigure::tape::check(&body.mesh, &body.fit.targets);
    layfigure::asbuilt::read(stack, &body.mesh.marks, &mut readings);
    for r in &readings {
        use layfigure::measure::Measure as M;
        let (Some(solid), Some(built)) = (r.solid, r.built) else {
            continue;
        };
        // Girths where the body is level there; everything else within a step or two.
        let bound = match r.target.measure {
            M::GirthHip | M::GirthWaist => 1.5,
            M::GirthNeckBase => 6.0,
            // Its end at the neck lies on a fillet: it is found to less than a layer.
            M::LengthShoulder => 3.5,
            _ => 3.0,
        };
        assert!(
            (built - solid).abs() < bound,
            "{} {solid} {built}",
            r.target.measure
        );
    }
}
