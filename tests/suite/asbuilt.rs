//! The as-built solid: stacks with padding put back on, against closed forms.

use approx::assert_relative_eq;
use layfigure::asbuilt;
use layfigure::form;
use layfigure::geom::Outline;
use layfigure::geom::Point2;
use layfigure::geom::Point3;
use layfigure::measure::Landmark;
use layfigure::measure::Level;
use layfigure::measure::Measure;
use layfigure::mesh::Marks;
use layfigure::mesh::Mesh;
use layfigure::stack;
use layfigure::stack::CutFor;
use layfigure::stack::Hole;
use layfigure::stack::Layer;
use layfigure::stack::Piece;
use layfigure::stack::PieceId;
use layfigure::stack::Stack;
use layfigure::stack::wedge::Wedge;
use layfigure::tape;
use layfigure::workshop::Workshop;

use super::stack::body;
use super::stack::turned;

const PI: f64 = std::f64::consts::PI;

/// A stack of these outlines, `pitch` high each, from z = 0.
fn pile(outlines: &[Outline], pitch: f64, padding: f64) -> Stack {
    let layers = outlines
        .iter()
        .enumerate()
        .map(|(i, o)| Layer {
            index: i + 1,
            bottom: pitch * i as f64,
            top: pitch * (i + 1) as f64,
            pieces: vec![Piece::blank(PieceId::layer(i + 1), o.clone(), vec![])],
            levels: Vec::new(),
            material: 0,
            step: 0.0,
        })
        .collect();
    Stack {
        layers,
        dowels: Vec::new(),
        axis: Point2::origin(),
        wedges: vec![],
        pole: None,
        base: Outline::default(),
        cap: Outline::default(),
        padding,
        scale: 1.0,
        first_to_cut: 1,
        figure: layfigure::measure::Figure::Woman,
        body: String::new(),
    }
}

fn girths(solid: &Mesh, heights: &[f64]) -> Vec<f64> {
    tape::rounds(solid, heights)
        .into_iter()
        .map(|r| r.expect("the solid is met").girth)
        .collect()
}

fn poled(x: f64, y: f64) -> Marks {
    Marks {
        pole: vec![Point3::new(0.0, 0.0, 0.0), Point3::new(x, y, 500.0)],
        ..Marks::default()
    }
}

/// Steiner: an outline of girth U with t round it has the girth U + 2 pi t, wherever the pole is.
/// Circle 2 pi (R + t); ellipse 150 / 100 of girth 793.271979465 (4 a E(m), Abramowitz and Stegun
/// 17.3.3, Table 17.1).
#[test]
fn girth_grows_by_two_pi_t() {
    let disc = Outline::circle(Point2::origin(), 100.0, 1e-4);
    let oval = Outline::new(
        (0..1440)
            .map(|i| {
                let t = 2.0 * PI * f64::from(i) / 1440.0;
                Point2::new(150.0 * t.cos(), 100.0 * t.sin())
            })
            .collect(),
    );
    for (outline, girth) in [(disc, 200.0 * PI), (oval, 793.271_979_465)] {
        for t in [0.0, 0.5, 3.0, 5.0, 12.0, 20.0] {
            let stack = pile(&vec![outline.clone(); 40], 6.35, t);
            for marks in [poled(0.0, 0.0), poled(20.0, -30.0)] {
                let solid = asbuilt::mesh(&stack, &marks);
                assert!(solid.is_watertight() && solid.is_winding_consistent());
                for found in girths(&solid, &[0.5, 100.0, 127.0, 130.1, 253.0]) {
                    assert_relative_eq!(found, girth + 2.0 * PI * t, epsilon = 0.05);
                }
            }
        }
    }
}

/// Discs on one axis: at height z the padded stack has the radius
/// max over layers of R + sqrt(t^2 - d^2), d the distance of z from the layer.
#[test]
fn terraces_of_a_cone() {
    let radius = |i: usize| 140.0 - 2.2 * i as f64;
    let discs: Vec<Outline> = (0..30)
        .map(|i| Outline::circle(Point2::origin(), radius(i), 1e-4))
        .collect();
    for t in [0.4, 5.0, 9.0] {
        let solid = asbuilt::mesh(&pile(&discs, 6.0, t), &poled(0.0, 0.0));
        let heights: Vec<f64> = (1..60).map(|k| 3.0 * f64::from(k) - 0.7).collect();
        for (z, found) in heights.iter().zip(girths(&solid, &heights)) {
            let r = (0..30)
                .filter_map(|i| {
                    let (low, high) = (6.0 * i as f64, 6.0 * (i + 1) as f64);
                    let d = (low - z).max(z - high).max(0.0);
                    (d < t).then(|| radius(i) + (t * t - d * d).sqrt())
                })
                .fold(0.0, f64::max);
            assert!(
                (found / 2.0 / PI - r).abs() < 0.15,
                "t {t} z {z}: {found} {r}"
            );
        }
    }
}

/// Without padding the solid is the plain stack: sum of area times height, ledges flat.
#[test]
fn bare_stack_is_its_prisms() {
    let discs: Vec<Outline> = (0..30)
        .map(|i| Outline::circle(Point2::new(0.0, 3.0), 140.0 - 2.2 * f64::from(i), 1e-4))
        .collect();
    let stack = pile(&discs, 6.0, 0.0);
    let solid = asbuilt::mesh(&stack, &poled(0.0, 0.0));
    assert!(solid.is_watertight());
    assert_relative_eq!(solid.volume(), stack.volume(), max_relative = 1e-4);
    // Volume of the padded outside of a stack of equal discs: pi (R + t)^2 h.
    let equal = pile(&vec![discs[0].clone(); 10], 6.0, 5.0);
    let solid = asbuilt::mesh(&equal, &poled(0.0, 0.0));
    assert_relative_eq!(
        solid.volume(),
        PI * 145.0 * 145.0 * 60.0,
        max_relative = 1e-4
    );
}

/// Wedges pared to the slope make a cone of terraces: layers of 10 mm that recede by 12 mm hold the sum
/// of frusta, pi h (R² + R r + r²) / 3, and a ball of radius t rolled over a cone whose radius shrinks
/// by s in height reaches t √(1 + s²) beyond it (plane geometry).
#[test]
fn wedges_make_the_slope_whole() {
    let radius = |i: usize| 160.0 - 12.0 * i as f64;
    let discs: Vec<Outline> = (0..8)
        .map(|i| Outline::circle(Point2::new(0.0, 3.0), radius(i), 1e-4))
        .collect();
    for t in [0.0, 6.0] {
        let mut stack = pile(&discs, 10.0, t);
        let bare = stack.clone();
        for on in 1..8 {
            stack.wedges.push(Wedge {
                on,
                piece: Piece {
                    id: PieceId::new(CutFor::Wedge(on), 0),
                    holes: vec![Hole::Opening(discs[on].clone())],
                    area: discs[on - 1].area() - discs[on].area(),
                    ..stack.layers[on - 1].pieces[0].clone()
                },
            });
        }
        let solid = asbuilt::mesh(&stack, &poled(0.0, 0.0));
        assert!(solid.is_watertight());
        if t <= 0.0 {
            let frusta: f64 = (1..8)
                .map(|i| {
                    let (low, high) = (radius(i - 1), radius(i));
                    PI * 10.0 * (low * low + low * high + high * high) / 3.0
                })
                .sum();
            let foot = PI * radius(0) * radius(0) * 10.0;
            assert_relative_eq!(solid.volume(), frusta + foot, max_relative = 2e-4);
        }
        let heights: Vec<f64> = (6..14).map(|k| 5.0 * f64::from(k) + 0.4).collect();
        for (z, found) in heights.iter().zip(girths(&solid, &heights)) {
            let slope = 160.0 - 1.2 * (z - 10.0) + t * 1.2_f64.hypot(1.0);
            assert!(
                (found / 2.0 / PI - slope).abs() < 0.25,
                "t {t} z {z}: {found} {slope}"
            );
        }
        let stairs = girths(&asbuilt::mesh(&bare, &poled(0.0, 0.0)), &heights);
        let short = stairs.iter().zip(girths(&solid, &heights));
        assert!(short.map(|(bare, whole)| whole - bare).sum::<f64>() > 50.0);
    }
}

/// The cover of a pile that leans by its own height: discs of radius R, each shifted by the height h of a
/// layer, are covered by R h ∫ √(1 + cos² θ) dθ a layer, R h times the length of a sine (7.640395578).
#[test]
fn cover_lies_on_the_slope_where_the_slope_is() {
    let discs: Vec<Outline> = (0..11)
        .map(|i| Outline::circle(Point2::new(10.0 * f64::from(i), 3.0), 100.0, 1e-4))
        .collect();
    let stack = pile(&discs, 10.0, 0.0);
    let ends = 2.0 * PI * 100.0 * 10.0;
    let slanted = 10.0 * 100.0 * 10.0 * 7.640_395_578;
    assert_relative_eq!(stack.padded_area(), slanted + ends, max_relative = 0.004);
}

/// Taking padding off, cutting, stacking and putting padding back gives the solid again: exactly on
/// upright walls, within half a step on leaning ones, on average much nearer.
#[test]
fn there_and_back() {
    let drum = turned(-200.0, 200.0, 40, |_| 130.0);
    let (stack, _) = stack::build(&drum, &Workshop::default(), "drum").unwrap();
    let built = asbuilt::mesh(&stack, &drum.marks);
    for found in girths(&built, &[-150.0, 0.0, 77.7, 199.0]) {
        assert_relative_eq!(found, 260.0 * PI, epsilon = 0.1);
    }
    let barrel = turned(-200.0, 200.0, 400, |z: f64| 130.0 - z * z / 800.0);
    let (stack, _) = stack::build(&barrel, &Workshop::default(), "barrel").unwrap();
    let built = asbuilt::mesh(&stack, &barrel.marks);
    let heights: Vec<f64> = (-180..180).map(f64::from).collect();
    let mut sum = 0.0;
    for (z, found) in heights.iter().zip(girths(&built, &heights)) {
        let miss = found / 2.0 / PI - (130.0 - z * z / 800.0);
        // Half a layer at this lean (dr/dz = z / 400), and the padding that bridges steps.
        let bound = 3.2 * (z / 400.0).abs() + 0.1;
        assert!(miss.abs() < bound + 0.7 * (z / 400.0).abs(), "{z} {miss}");
        sum += miss;
    }
    // Layers cut in the middle are drawn in by what the padding that rides on their outer corners
    // adds, so that steps average out.
    let mean = sum / heights.len() as f64;
    assert!(mean.abs() < 0.06, "{mean}");
    // The widest girth, where a tape would be put, is met closely.
    assert_relative_eq!(girths(&built, &[0.0])[0], 260.0 * PI, epsilon = 0.1);
}

/// Names move on to the new surface along their rays, at their heights, and half scale comes back
/// at full size.
#[test]
fn names_lie_on_the_built_surface() {
    let mut body = body();
    let on = |z: f64, k: usize| {
        let ring = ((z + 280.0) / 770.0 * 256.0).round() as usize;
        body.vertices[ring * 360 + k]
    };
    let (nape, bust) = (on(390.0, 270), on(170.0, 60));
    let rim: Vec<Point3> = (0..20)
        .map(|i| on(290.0 + f64::from(i), 355 + i as usize % 5))
        .collect();
    body.marks.landmarks.insert(Landmark::Nape, nape);
    body.marks.landmarks.insert(Landmark::BustLeft, bust);
    body.marks.rim[0] = rim;
    for scale in [1.0, 0.5] {
        let mut w = Workshop {
            scale,
            pole: None,
            ..Workshop::default()
        };
        w.layer.thickness = 4.0;
        w.dowel.edge = 6.0;
        w.dowel.diameter = 6.0;
        let (stack, _) = stack::build(&body, &w, "body").unwrap();
        let built = asbuilt::mesh(&stack, &body.marks);
        assert!(built.is_watertight());
        assert_relative_eq!(built.marks.levels[&Level::Bust], 170.0);
        for (name, was) in [(Landmark::Nape, nape), (Landmark::BustLeft, bust)] {
            let now = built.marks.landmarks[&name];
            assert_relative_eq!(now.z, was.z, epsilon = 1e-9);
            assert!((now - was).norm() < 4.0 / scale, "{name:?} {now} {was}");
            let outline = &tape_outline(&built, now.z);
            assert!(
                outline.distance(now.xy()) < 1e-6,
                "{}",
                outline.distance(now.xy())
            );
        }
        for p in &built.marks.rim[0] {
            assert!(tape_outline(&built, p.z).distance(p.xy()) < 1e-6);
        }
        // Girths of the built form against the body's own.
        let heights = [-190.0, 0.0, 170.0, 450.0];
        for (a, b) in girths(&built, &heights).iter().zip(girths(&body, &heights)) {
            assert!((a - b).abs() < 9.0, "{scale} {a} {b}");
        }
    }
}

fn tape_outline(solid: &Mesh, z: f64) -> Outline {
    layfigure::mesh::Slicer::new(solid).at(z).remove(0)
}

/// In layers an inch thick the outlines are moved until the tape finds every girth again, also where two
/// levels are a layer apart. The tape's readings of the same stack, of cuts made without this, are off
/// by far more.
#[test]
fn thick_layers_are_settled_at_every_level() {
    let text = "[layer]\nmaterial = \"polystyrene foam\"\nthickness = 25\ncut = \"middle\"\n";
    let workshop = layfigure::workshop::read(text, "thick.toml").unwrap();
    for sheet in [
        include_str!("../sheets/contralto.toml"),
        include_str!("../sheets/baritone.toml"),
        include_str!("../sheets/chorister.toml"),
    ] {
        let sheet = layfigure::sheet::read(sheet, "sheet.toml").unwrap();
        let checked = form::check(sheet, &workshop, None).unwrap();
        let marks = &checked.mesh.marks;
        let worst = |stack: &Stack| {
            let mut readings = checked.readings.clone();
            asbuilt::read(stack, marks, &mut readings);
            // Two levels so near each other ride on the corners of one layer: the test below is about such.
            let near = 15.0;
            let at = |level| marks.levels[&level];
            let levels = readings
                .iter()
                .filter_map(|r| asbuilt::level_of(r.target.measure));
            let levels: Vec<f64> = levels.map(at).collect();
            let beside = |z: f64| levels.iter().filter(|l| (**l - z).abs() < near).count();
            let alone = |level| beside(at(level)) == 1;
            readings
                .iter()
                .filter(|r| asbuilt::level_of(r.target.measure).is_some_and(alone))
                .map(|r| (r.built.unwrap() - r.solid.unwrap()).abs())
                .fold(0.0, f64::max)
        };
        let (plain, _) = stack::build(&checked.mesh, &workshop, "").unwrap();
        let (settled, _) = form::stacked(&checked, &workshop, None).unwrap();
        assert!(worst(&plain) > 5.0, "{}", worst(&plain));
        assert!(worst(&settled) < 0.5, "{}", worst(&settled));
        // No outline is drawn in for it so far that neck or shoulders bend: 4 mm for one girth, and
        // what a neighbouring level adds.
        for (layer, was) in settled.layers.iter().zip(&plain.layers) {
            let (outline, was) = (&layer.pieces[0].outline, &was.pieces[0].outline);
            let area = was.area() - outline.area();
            let moved = area / f64::midpoint(was.perimeter(), outline.perimeter());
            assert!(moved.abs() < 5.0, "layer {}: {moved}", layer.index);
        }
    }
}

/// Two levels in one layer are read off one outline: what is left is shared between them, and the form
/// says so.
#[test]
fn two_levels_in_one_layer_share_what_is_left() {
    let text = "[layer]\nmaterial = \"polystyrene foam\"\nthickness = 40\ncut = \"middle\"\n";
    let workshop = layfigure::workshop::read(text, "thick.toml").unwrap();
    let sheet = include_str!("../sheets/chorister.toml");
    let sheet = layfigure::sheet::read(sheet, "sheet.toml").unwrap();
    let checked = form::check(sheet, &workshop, None).unwrap();
    let form = form::build(checked, workshop, 1).unwrap();
    let off = |measure| {
        let reading = |r: &&tape::Reading| r.target.measure == measure;
        let r = form.checked.readings.iter().find(reading).unwrap();
        r.built.unwrap() - r.solid.unwrap()
    };
    let (upper, lower) = (off(Measure::GirthAbdomen), off(Measure::GirthTopHip));
    assert!(
        (upper + lower).abs() < 0.5 && (upper - lower).abs() > 2.0,
        "{upper} {lower}"
    );
    let said: Vec<String> = form.checked.findings.iter().map(|f| f.message()).collect();
    assert!(
        said.iter()
            .any(|f| f.contains("abdomen and top hip share layer")
                || f.contains("top hip and abdomen share layer")),
        "{said:?}"
    );
    // The stairs of such layers carry the tape round the neck base far out, which no outline makes up
    // for.
    assert!(
        said.iter().any(|f| f.contains("the neck base is")),
        "{said:?}"
    );
}
