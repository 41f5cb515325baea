//! The tape: hulls, taut paths and every measure on shapes with a closed form.

use std::f64::consts::{FRAC_PI_2, FRAC_PI_3, PI, TAU};

use approx::assert_relative_eq;
use geo::ConvexHull;
use layfigure::geom::{Point2, Point3};
use layfigure::measure::{Landmark, Level, Measure, Side};
use layfigure::mesh::{Grid, Mesh};
use layfigure::sheet::{Origin, Target};
use layfigure::tape::{self, Verdict, taut};
use proptest::prelude::*;

use crate::draws::drawn;

use crate::solid::{ellipse, loft};

fn p(x: f64, y: f64) -> Point2 {
    Point2::new(x, y)
}

fn read(mesh: &Mesh, measure: Measure) -> f64 {
    tape::read(mesh, measure, Side::Both).unwrap()
}

fn side(mesh: &Mesh, measure: Measure, side: Side) -> f64 {
    tape::read(mesh, measure, side).unwrap()
}

/// A rectangle 200 x 100 with a notch of 20 x 20: the outline measures 640, the tape 600.
#[test]
fn a_tape_bridges_a_notch() {
    let corners = [
        (0.0, 0.0),
        (200.0, 0.0),
        (200.0, 100.0),
        (110.0, 100.0),
        (110.0, 80.0),
        (90.0, 80.0),
        (90.0, 100.0),
        (0.0, 100.0),
    ];
    let outline: Vec<Point2> = corners.iter().map(|c| p(c.0, c.1)).collect();
    assert_relative_eq!(taut::perimeter(&outline), 640.0);
    assert_relative_eq!(taut::girth(&outline), 600.0);
    let over = taut::over(&outline[3..7], [p(50.0, 100.0), p(150.0, 100.0)]);
    assert_relative_eq!(over, 100.0);
}

/// Over a half circle of radius 100 between points 200 either side of its centre: two tangents and
/// an arc, 2 sqrt(200² - 100²) + 100 (pi - 2 acos(100/200)), plane geometry.
#[test]
fn a_taut_string_over_a_round() {
    let bump: Vec<Point2> = (0..=20000)
        .map(|i| PI * f64::from(i) / 20000.0)
        .map(|a| p(100.0 * a.cos(), 100.0 * a.sin()))
        .collect();
    let expected = 2.0 * 30000f64.sqrt() + 100.0 * (PI - 2.0 * FRAC_PI_3);
    let found = taut::over(&bump, [p(-200.0, 0.0), p(200.0, 0.0)]);
    assert_relative_eq!(found, expected, max_relative = 1e-7);
}

/// Ends are pinned: what stands above them does not lift them.
#[test]
fn the_ends_of_a_tape_are_pinned() {
    let found = taut::over(
        &[p(0.0, 50.0), p(100.0, 70.0)],
        [p(0.0, 0.0), p(100.0, 0.0)],
    );
    assert_relative_eq!(found, 100.0);
}

/// Perimeter of an ellipse 4 a E(m), m = 1 - b²/a²: complete elliptic integral of the second kind,
/// Abramowitz & Stegun, Handbook of Mathematical Functions, 17.3.3; perimeters worked out from it to
/// 30 digits.
#[test]
fn girths_of_elliptic_cylinders() {
    for (a, b, perimeter) in [
        (100.0, 100.0, 628.318530718),
        (150.0, 100.0, 793.271979465),
        (200.0, 100.0, 968.844822055),
        (140.0, 110.0, 788.228150689),
        (170.0, 113.5, 899.507386403),
        (145.0, 102.0, 781.863964538),
        (120.0, 100.0, 692.579119581),
        (300.0, 100.0, 1336.48932206),
        (100.0, 50.0, 484.422411027),
    ] {
        let mesh = loft((0.0, 60.0), &move |t, _| ellipse(a, b, t), &[25.0]).mesh();
        for round in tape::rounds(&mesh, &[25.0, 31.7]) {
            let round = round.unwrap();
            assert!(
                round.girth < perimeter && perimeter - round.girth < 0.05,
                "{a} {b}: {round:?}"
            );
            assert_relative_eq!(round.breadth, 2.0 * a, max_relative = 1e-12);
            assert_relative_eq!(round.depth, 2.0 * b, max_relative = 1e-12);
        }
    }
}

/// Two cylinders as legs: the hull of two circles is 2 sqrt(d² - (r1 - r2)²) + r1 (pi + 2a) +
/// r2 (pi - 2a), sin a = (r1 - r2)/d (plane geometry).
#[test]
fn a_tape_round_two_legs() {
    for (r1, r2, d, expected) in [
        (90.0, 90.0, 180.5, 926.486677646),
        (60.0, 40.0, 150.0, 616.829903882),
    ] {
        let leg = |r: f64, x: f64| {
            let mut mesh = loft((0.0, 50.0), &move |_, _| r, &[20.0]).mesh();
            mesh.vertices.iter_mut().for_each(|v| v.x += x);
            mesh
        };
        let (mut both, other) = (leg(r1, 0.0), leg(r2, d));
        let shift = both.vertices.len() as u32;
        both.vertices.extend(other.vertices);
        both.triangles
            .extend(other.triangles.iter().map(|t| t.map(|v| v + shift)));
        assert!(both.is_watertight());
        let round = tape::rounds(&both, &[20.0])[0].clone().unwrap();
        assert!((round.together - expected).abs() < 0.05, "{round:?}");
        assert_eq!(round.parts.len(), 2);
        assert!((round.girth - TAU * r1).abs() < 0.05);
        assert!((round.parts[1] - TAU * r2).abs() < 0.05);
    }
    assert_eq!(
        tape::rounds(&loft((0.0, 50.0), &|_, _| 10.0, &[]).mesh(), &[-1.0, 51.0]),
        [None, None]
    );
}

/// Marks of a simple body: every level that is asked for, landmarks on the given surface.
fn marked(grid: &Grid, levels: &[(Level, f64)], landmarks: &[(Landmark, f64, f64)]) -> Mesh {
    let mut mesh = grid.mesh();
    mesh.marks.levels = levels.iter().copied().collect();
    mesh.marks.landmarks = landmarks
        .iter()
        .map(|(l, theta, z)| (*l, grid.point(*theta, *z)))
        .collect();
    mesh
}

/// An elliptic cylinder of 150 x 100: whole, front and half girths, extents, and a neck cut aslant.
#[test]
fn levels_of_a_cylinder() {
    let levels = [
        (Level::Hip, -190.0),
        (Level::TopHip, -95.0),
        (Level::WaistTape, 0.0),
        (Level::Underbust, 100.0),
        (Level::Bust, 170.0),
        (Level::Armpit, 215.0),
        (Level::Abdomen, -60.0),
    ];
    let z: Vec<f64> = levels.iter().map(|l| l.1).collect();
    let grid = loft((-200.0, 300.0), &|t, _| ellipse(150.0, 100.0, t), &z);
    let mesh = marked(
        &grid,
        &levels,
        &[
            (Landmark::ShoulderLeft, 0.0, 250.0),
            (Landmark::ShoulderRight, PI, 250.0),
        ],
    );
    let whole = 793.271979465;
    use Measure as M;
    for measure in [
        M::GirthHip,
        M::GirthTopHip,
        M::GirthWaist,
        M::GirthUnderbust,
        M::GirthBust,
        M::GirthUpperChest,
        M::GirthAbdomen,
    ] {
        assert!((read(&mesh, measure) - whole).abs() < 0.05, "{measure}");
        assert_eq!(
            tape::read(&mesh, measure, Side::Left),
            None,
            "{measure} is not paired"
        );
    }
    for measure in [M::ArcFrontBust, M::ArcFrontWaist, M::ArcFrontHip] {
        assert!((read(&mesh, measure) - whole / 2.0).abs() < 0.05);
        assert!((side(&mesh, measure, Side::Left) - whole / 4.0).abs() < 0.05);
        assert!((side(&mesh, measure, Side::Right) - whole / 4.0).abs() < 0.05);
    }
    for (breadth, depth) in [
        (M::BreadthBust, M::DepthBust),
        (M::BreadthUnderbust, M::DepthUnderbust),
        (M::BreadthWaist, M::DepthWaist),
        (M::BreadthTopHip, M::DepthTopHip),
        (M::BreadthHip, M::DepthHip),
    ] {
        assert_relative_eq!(read(&mesh, breadth), 300.0, max_relative = 1e-12);
        assert_relative_eq!(read(&mesh, depth), 200.0, max_relative = 1e-12);
    }
}

/// A round column of radius 60 cut by a plane leaning so that sin² = 0.1: an ellipse of semi-axes 60
/// and 60/cos, perimeter 4 (60/cos) E(0.1) with E(0.1) = 1.5307576369 (Abramowitz & Stegun, table
/// 17.1).
#[test]
fn a_neck_is_measured_square_to_its_axis() {
    let lean = 0.1f64.sqrt().asin();
    let mut mesh = loft((0.0, 200.0), &|_, _| 60.0, &[]).mesh();
    mesh.marks.levels.insert(Level::FrontNeck, 50.0);
    mesh.marks.neck_centre = Point3::new(0.0, 0.0, 120.0);
    mesh.marks.neck_lean = lean;
    let expected = 4.0 * 60.0 / lean.cos() * 1.5307576369;
    assert!((read(&mesh, Measure::GirthNeck) - expected).abs() < 0.05);
    assert_relative_eq!(
        read(&mesh, Measure::BreadthNeck),
        120.0,
        max_relative = 1e-4
    );
}

/// On a sphere of radius 200 every plane cut is a circle: lengths are its arcs.
#[test]
fn lengths_on_a_sphere() {
    let (big, top, bust_z, neck_theta) = (200f64, 150f64, 60f64, 0.9f64);
    let levels = [
        (Level::WaistTape, 0.0),
        (Level::Waist, 0.0),
        (Level::Armpit, 40.0),
        (Level::Hip, -120.0),
        (Level::Bust, bust_z),
    ];
    let marks = [
        (Landmark::Nape, -FRAC_PI_2, top),
        (Landmark::FrontNeck, FRAC_PI_2, top),
        (Landmark::SideNeckLeft, neck_theta, top),
        (Landmark::SideNeckRight, PI - neck_theta, top),
        (Landmark::BustLeft, 1.0, bust_z),
        (Landmark::BustRight, PI - 1.0, bust_z),
        (Landmark::ShoulderLeft, 0.0, 100.0),
        (Landmark::ShoulderRight, PI, 100.0),
    ];
    let grid = loft(
        (-180.0, 180.0),
        &|_, z| (big * big - z * z).sqrt(),
        &[-120.0, 0.0, 40.0, bust_z, 100.0, top],
    );
    let mesh = marked(&grid, &levels, &marks);
    let arc = |from: f64, to: f64| big * ((to / big).asin() - (from / big).asin());
    let close =
        |found: f64, expected: f64| assert!((found - expected).abs() < 0.1, "{found} {expected}");
    close(read(&mesh, Measure::LengthBackWaist), arc(0.0, top));
    close(read(&mesh, Measure::LengthFrontWaist), arc(0.0, top));
    close(read(&mesh, Measure::LengthScyeDepth), arc(40.0, top));
    close(read(&mesh, Measure::LengthWaistToHip), arc(-120.0, 0.0));
    // The plane through neck and bust point and along y cuts a circle.
    let at = |l: Landmark| mesh.marks.landmarks[&l];
    let (neck, bust) = (at(Landmark::SideNeckLeft), at(Landmark::BustLeft));
    let (dx, dz) = (bust.x - neck.x, bust.z - neck.z);
    let off = (neck.x * dz - neck.z * dx) / dx.hypot(dz);
    let small = (big * big - off * off).sqrt();
    let expected = small * 2.0 * ((bust - neck).norm() / (2.0 * small)).asin();
    for s in [Side::Left, Side::Right, Side::Both] {
        close(side(&mesh, Measure::LengthSideNeckToBust, s), expected);
    }
    // Then down at the bust point's x: on a sphere the fold between the planes is outward, so nothing
    // is bridged and the second arc simply adds.
    let lower = (big * big - bust.x * bust.x).sqrt();
    let added = lower * (bust_z / lower).asin();
    close(
        read(&mesh, Measure::LengthSideNeckToWaist),
        expected + added,
    );
    close(read(&mesh, Measure::LengthBustPointWidth), 2.0 * bust.x);
    // Chord of the shoulder, its slope and drop.
    let shoulder = at(Landmark::ShoulderLeft) - neck;
    close(read(&mesh, Measure::LengthShoulder), shoulder.norm());
    close(read(&mesh, Measure::ShoulderDrop), 50.0);
    let slope = read(&mesh, Measure::SlopeShoulder);
    assert_relative_eq!(
        slope.tan(),
        50.0 / shoulder.xy().norm(),
        max_relative = 1e-9
    );
}

/// A box whose front and back stand out at one height: the tape bridges the hollows above and below
/// in straight lines, and wall gaps are differences of the profile.
#[test]
fn lengths_and_walls_of_a_box_with_a_ridge() {
    // Half depth: 80 at the waist, 75 in a hollow at 60, 120 at the bust (150), 90 at 210, 70 at 300.
    let keys = [
        (-200.0, 130.0),
        (-100.0, 110.0),
        (0.0, 80.0),
        (60.0, 75.0),
        (150.0, 120.0),
        (210.0, 90.0),
        (300.0, 70.0),
    ];
    let depth = move |z: f64| {
        let i = keys.partition_point(|k| k.0 <= z).clamp(1, keys.len() - 1);
        let (a, b) = (keys[i - 1], keys[i]);
        a.1 + (b.1 - a.1) * (z - a.0) / (b.0 - a.0)
    };
    let radius = move |t: f64, z: f64| (150.0 / t.cos().abs()).min(depth(z) / t.sin().abs());
    let z: Vec<f64> = keys.iter().map(|k| k.0).collect();
    let grid = loft((-200.0, 300.0), &radius, &z);
    let levels = [
        (Level::Hem, -200.0),
        (Level::Hip, -200.0),
        (Level::WaistTape, 0.0),
        (Level::Waist, 0.0),
        (Level::Bust, 150.0),
        (Level::ShoulderPoint, 300.0),
    ];
    let marks = [
        (Landmark::Nape, -FRAC_PI_2, 300.0),
        (Landmark::FrontNeck, FRAC_PI_2, 300.0),
        (Landmark::SideNeckLeft, (70f64).atan2(40.0), 300.0),
        (Landmark::SideNeckRight, PI - (70f64).atan2(40.0), 300.0),
        (Landmark::BustLeft, (120f64).atan2(90.0), 150.0),
        (Landmark::BustRight, PI - (120f64).atan2(90.0), 150.0),
    ];
    let mut mesh = marked(&grid, &levels, &marks);
    let bridged = 150f64.hypot(40.0) + 150f64.hypot(50.0);
    let close =
        |found: f64, expected: f64| assert!((found - expected).abs() < 0.1, "{found} {expected}");
    close(read(&mesh, Measure::LengthBackWaist), bridged);
    close(read(&mesh, Measure::LengthFrontWaist), bridged);
    let slant = 150f64.hypot(50.0);
    close(
        read(&mesh, Measure::LengthSideNeckToBust),
        slant.hypot(50.0),
    );
    close(
        read(&mesh, Measure::LengthSideNeckToWaist),
        slant.hypot(50.0) + 150f64.hypot(40.0),
    );
    // The wall touches at the hem (130); blades are the bust ridge (120); the seat is the hem itself.
    close(read(&mesh, Measure::WallNape), 60.0);
    close(read(&mesh, Measure::WallWaist), 50.0);
    close(read(&mesh, Measure::WallBlade), 10.0);
    close(read(&mesh, Measure::WallSeat), 0.0);
    // Heights need a floor.
    assert_eq!(tape::read(&mesh, Measure::HeightBust, Side::Both), None);
    mesh.marks.floor = Some((-1000.0, 5.0));
    close(read(&mesh, Measure::HeightBust), 1150.0);
    close(read(&mesh, Measure::HeightNape), 1300.0);
    close(read(&mesh, Measure::HeightWaist), 1000.0);
    close(read(&mesh, Measure::HeightHip), 800.0);
}

/// On a round column of radius 120 with rims 30 degrees either side of the front and 50 of the back:
/// across is the arc from rim to rim. The rim itself, a tilted circle, measures its own perimeter.
#[test]
fn from_rim_to_rim() {
    let grid = loft((0.0, 100.0), &|_, _| 120.0, &[50.0]);
    let mut mesh = marked(&grid, &[(Level::MidArmscye, 50.0)], &[]);
    let rim = |front: f64, back: f64| {
        [
            (front, 50.0),
            (0.5 * (front + back), 80.0),
            (back, 50.0),
            (0.5 * (front + back), 20.0),
        ]
        .map(|(t, z)| Point3::new(120.0 * f64::cos(t), 120.0 * f64::sin(t), z))
        .to_vec()
    };
    let (front, back) = (30f64.to_radians(), 50f64.to_radians());
    mesh.marks.rim = [
        rim(FRAC_PI_2 - front, back - FRAC_PI_2),
        rim(FRAC_PI_2 + front, 1.5 * PI - back),
    ];
    assert!((read(&mesh, Measure::LengthAcrossFront) - 120.0 * 2.0 * front).abs() < 0.05);
    assert!((read(&mesh, Measure::LengthAcrossBack) - 120.0 * 2.0 * back).abs() < 0.05);

    let circle = |tilt: f64| -> Vec<Point3> {
        (0..720)
            .map(|i| TAU * f64::from(i) / 720.0)
            .map(|t| {
                Point3::new(
                    100.0 + 55.0 * t.sin() * tilt.sin(),
                    55.0 * t.cos(),
                    55.0 * t.sin() * tilt.cos(),
                )
            })
            .collect()
    };
    mesh.marks.rim = [circle(0.1), circle(0.3)];
    mesh.marks.neck_base = circle(0.2);
    for (m, s) in [
        (Measure::GirthArmscye, Side::Left),
        (Measure::GirthArmscye, Side::Right),
        (Measure::GirthNeckBase, Side::Both),
    ] {
        assert_relative_eq!(side(&mesh, m, s), TAU * 55.0, max_relative = 1e-5);
    }
}

/// Every measure gets a line: met, missed, estimated, or not on the form with a reason.
#[test]
fn verdicts() {
    let grid = loft((-50.0, 50.0), &|_, _| 100.0, &[0.0]);
    let mesh = marked(&grid, &[(Level::WaistTape, 0.0)], &[]);
    let target = |measure, value, origin, within| Target {
        measure,
        side: Side::Both,
        value,
        origin,
        plus_minus: 1.0,
        within,
    };
    let girth = TAU * 100.0;
    let readings = tape::check(
        &mesh,
        &[
            target(Measure::GirthWaist, girth + 0.4, Origin::Given, None),
            target(Measure::GirthWaist, girth + 0.6, Origin::Given, None),
            target(Measure::GirthWaist, girth + 0.6, Origin::Given, Some(2.0)),
            target(Measure::GirthWaist, girth + 50.0, Origin::Estimated, None),
            target(Measure::GirthThigh, 500.0, Origin::Given, None),
            target(Measure::HeightWaist, 1000.0, Origin::Estimated, None),
            target(Measure::GirthHip, 1000.0, Origin::Given, None),
        ],
    );
    let verdicts: Vec<Verdict> = readings.iter().map(|r| r.verdict).collect();
    use Verdict as V;
    assert_eq!(
        verdicts,
        [
            V::Met,
            V::Missed,
            V::Met,
            V::Estimated,
            V::NotOnForm,
            V::Estimated,
            V::Missed
        ]
    );
    assert!(
        readings[..4]
            .iter()
            .all(|r| r.reason.is_none() && r.solid.is_some())
    );
    assert!(
        readings[4..]
            .iter()
            .all(|r| r.reason.is_some() && r.solid.is_none())
    );
    assert_relative_eq!(readings[2].tolerance, 2.0);
    for measure in Measure::ALL {
        let reading = &tape::check(&mesh, &[target(measure, 1.0, Origin::Given, None)])[0];
        assert_eq!(
            reading.solid.is_none(),
            reading.reason.is_some(),
            "{measure}"
        );
    }
}

proptest! {
    #![proptest_config(drawn(256))]

    /// The hull against geo (quickhull): the same girth, and every point inside.
    #[test]
    fn hulls_agree_with_another_library(points in prop::collection::vec((-300.0..300.0f64, -200.0..200.0f64), 3..200)) {
        let ours: Vec<Point2> = points.iter().map(|q| p(q.0, q.1)).collect();
        let theirs = geo::MultiPoint::from(points.clone()).convex_hull();
        let ring: Vec<Point2> = theirs.exterior().0.iter().skip(1).map(|c| p(c.x, c.y)).collect();
        prop_assert!((taut::girth(&ours) - taut::perimeter(&ring)).abs() < 1e-6);
        let hull = taut::hull(&ours);
        for q in &ours {
            for (a, b) in hull.iter().zip(hull.iter().cycle().skip(1)) {
                prop_assert!((b - a).perp(&(q - a)) > -1e-6);
            }
        }
    }

    /// A taut path is never shorter than straight, never longer than the path it lies on.
    #[test]
    fn taut_paths_lie_between(heights in prop::collection::vec(-50.0..50.0f64, 3..100)) {
        let path: Vec<Point2> = (0..).zip(&heights).map(|(i, h)| p(f64::from(i) * 3.0, *h)).collect();
        let (a, b) = (path[0], path[path.len() - 1]);
        let found = taut::over(&path, [a, b]);
        prop_assert!(found >= (b - a).norm() - 1e-9);
        prop_assert!(found <= taut::length(&path) + 1e-9);
    }
}
