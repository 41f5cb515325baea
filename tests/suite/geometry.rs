//! Outlines moved and combined, against closed forms and against clipper2 (an independent engine).

use approx::assert_relative_eq;
use clipper2_rust as clipper;
use layfigure::geom::Outline;
use layfigure::geom::Point2;
use layfigure::geom::hull::hull;
use layfigure::geom::offset::Region;
use layfigure::geom::offset::area;
use layfigure::geom::offset::difference;
use layfigure::geom::offset::intersection;
use layfigure::geom::offset::offset;
use layfigure::geom::offset::union;
use proptest::prelude::*;

use crate::draws::drawn;

const PI: f64 = std::f64::consts::PI;

fn points(xy: &[(f64, f64)]) -> Outline {
    Outline::new(xy.iter().map(|(x, y)| Point2::new(*x, *y)).collect())
}

fn ellipse(a: f64, b: f64, n: usize) -> Outline {
    Outline::new(
        (0..n)
            .map(|i| {
                let t = 2.0 * PI * i as f64 / n as f64;
                Point2::new(a * t.cos(), b * t.sin())
            })
            .collect(),
    )
}

/// Hulls of two circles, of a notched rectangle, and a stadium: closed forms, evaluated with
/// 30-digit arithmetic (`2 pi r + 2 d`; `2 sqrt(d^2-(r1-r2)^2) + r1(pi+2a) + r2(pi-2a)` with
/// `sin a = (r1-r2)/d`; `2L + 2 pi r`).
#[test]
fn hulls_of_known_length() {
    let two = |r1: f64, r2: f64, d: f64| {
        let mut all = Outline::circle(Point2::new(0.0, 0.0), r1, 1e-5).points;
        all.extend(Outline::circle(Point2::new(d, 0.0), r2, 1e-5).points);
        hull(&all).perimeter()
    };
    assert_relative_eq!(two(90.0, 90.0, 180.0), 925.486_677_646, epsilon = 0.01);
    assert_relative_eq!(two(60.0, 40.0, 150.0), 616.829_903_882, epsilon = 0.01);
    assert_relative_eq!(two(50.0, 50.0, 200.0), 714.159_265_359, epsilon = 0.01);
    let notched = points(&[
        (0.0, 0.0),
        (90.0, 0.0),
        (90.0, 20.0),
        (110.0, 20.0),
        (110.0, 0.0),
        (200.0, 0.0),
        (200.0, 100.0),
        (0.0, 100.0),
    ]);
    assert_relative_eq!(hull(&notched.points).perimeter(), 600.0);
    assert_relative_eq!(notched.perimeter(), 640.0);
}

/// Perimeter of the ellipse 150 / 100: 4 a E(1 - b^2/a^2), Abramowitz and Stegun 17.3.3 with
/// Table 17.1; area pi a b. Parallel curves: Steiner's formulas (perimeter + 2 pi t, area + U t +
/// pi t^2).
#[test]
fn parallel_curves_of_an_ellipse() {
    let e = ellipse(150.0, 100.0, 2000);
    let girth = 793.271_979_465;
    assert_relative_eq!(e.perimeter(), girth, epsilon = 2e-3);
    assert_relative_eq!(e.area(), 47_123.889_803_8, epsilon = 0.1);
    for t in [1.0, 5.0, 10.0, 20.0] {
        let out = offset(&[Region::solid(e.clone())], t);
        assert_eq!(out.len(), 1);
        assert_relative_eq!(
            out[0].outer.perimeter(),
            girth + 2.0 * PI * t,
            epsilon = 0.02
        );
        assert_relative_eq!(
            out[0].area(),
            47_123.889_803_8 + girth * t + PI * t * t,
            epsilon = 0.02 * girth
        );
        // Inwards as long as t is below the least radius of curvature, b^2/a = 66.7 mm.
        let inner = offset(&[Region::solid(e.clone())], -t);
        assert_relative_eq!(
            inner[0].outer.perimeter(),
            girth - 2.0 * PI * t,
            epsilon = 0.02
        );
    }
}

/// Lens of two circles of radius r, centres d apart:
/// 2 r^2 acos(d / 2r) - (d / 2) sqrt(4 r^2 - d^2) (plane geometry; handbook formula).
#[test]
fn lens_of_two_circles() {
    let disc = |x: f64| {
        [Region::solid(Outline::circle(
            Point2::new(x, 0.0),
            80.0,
            1e-4,
        ))]
    };
    let lens = 2.0 * 6400.0 * (100.0_f64 / 160.0).acos() - 50.0 * (25_600.0_f64 - 10_000.0).sqrt();
    let (a, b) = (disc(0.0), disc(100.0));
    assert_relative_eq!(area(&intersection(&a, &b)), lens, epsilon = 0.6);
    assert_relative_eq!(
        area(&union(&a, &b)),
        2.0 * 6400.0 * PI - lens,
        epsilon = 0.6
    );
    assert_relative_eq!(area(&difference(&a, &b)), 6400.0 * PI - lens, epsilon = 0.6);
}

fn to_clipper(o: &Outline) -> clipper::PathsD {
    vec![
        o.points
            .iter()
            .map(|p| clipper::PointD { x: p.x, y: p.y })
            .collect(),
    ]
}

/// A dented blob: an oval with a few waves on it, always star-shaped.
fn blob() -> impl Strategy<Value = Outline> {
    (
        80.0..200.0_f64,
        50.0..150.0_f64,
        prop::collection::vec((2_u32..9, 0.0..0.09_f64, 0.0..6.3_f64), 1..4),
        40_usize..400,
        -30.0..30.0_f64,
    )
        .prop_map(|(a, b, waves, n, shift)| {
            Outline::new(
                (0..n)
                    .map(|i| {
                        let t = 2.0 * PI * i as f64 / n as f64;
                        let f: f64 = 1.0
                            + waves
                                .iter()
                                .map(|(k, size, phase)| {
                                    2.0 * size * (f64::from(*k) * t + phase).cos()
                                })
                                .sum::<f64>();
                        Point2::new(shift + a * f * t.cos(), b * f * t.sin())
                    })
                    .collect(),
            )
        })
}

proptest! {
    #![proptest_config(drawn(120))]

    /// Both engines must find the same area of an offset, inwards and outwards.
    #[test]
    fn offsets_agree_with_clipper(o in blob(), d in -25.0..25.0_f64) {
        prop_assume!(o.is_simple());
        let ours = area(&offset(&[Region::solid(o.clone())], d));
        let theirs = clipper::inflate_paths_d(
            &to_clipper(&o), d, clipper::JoinType::Round, clipper::EndType::Polygon, 2.0, 5, 0.002,
        );
        let theirs: f64 = theirs.iter().map(clipper::area).sum();
        // The chord error of round joins, along the whole edge, is the most they may differ by.
        let bound = 0.02 * o.perimeter() * 1.5 + 1.0;
        prop_assert!((ours - theirs.abs()).abs() <= bound, "{ours} {theirs}");
    }

    /// Both engines must find the same common area.
    #[test]
    fn intersections_agree_with_clipper(a in blob(), b in blob()) {
        prop_assume!(a.is_simple() && b.is_simple());
        let ours = area(&intersection(&[Region::solid(a.clone())], &[Region::solid(b.clone())]));
        let theirs = clipper::intersect_d(&to_clipper(&a), &to_clipper(&b), clipper::FillRule::NonZero, 5);
        let theirs: f64 = theirs.iter().map(clipper::area).sum();
        prop_assert!((ours - theirs).abs() < 0.1, "{ours} {theirs}");
    }

    /// An inset lies where it should: no point of it nearer than `d` to the edge, and where it was
    /// only just dropped the edge is no further than `d` off.
    #[test]
    fn an_inset_keeps_its_distance(o in blob(), d in 1.0..25.0_f64) {
        prop_assume!(o.is_simple());
        for region in offset(&[Region::solid(o.clone())], -d) {
            prop_assert!(region.outer.is_simple());
            for p in &region.outer.points {
                let gap = o.distance(*p);
                prop_assert!(o.contains(*p) && (gap - d).abs() < 0.011, "{gap} {d}");
            }
        }
    }

    /// Dropping corners keeps within the bound, both ways, and never makes sides cross.
    #[test]
    fn simplifying_keeps_its_bound(o in blob(), accuracy in 0.005..0.5_f64) {
        prop_assume!(o.is_simple());
        let few = o.simplified(accuracy);
        prop_assert!(few.is_simple() && few.points.len() <= o.points.len());
        for p in &o.points {
            prop_assert!(few.distance(*p) <= accuracy + 1e-9);
        }
        for p in &few.densified(2.0).points {
            prop_assert!(o.distance(*p) <= accuracy + 1e-9);
        }
    }

    /// Points inside by our rule are inside by clipper's.
    #[test]
    fn containment_agrees_with_clipper(o in blob(), x in -250.0..250.0_f64, y in -200.0..200.0_f64) {
        let p = Point2::new(x, y);
        prop_assume!(o.distance(p) > 0.01);
        // On their grid of whole numbers, ten to the micrometre.
        let grid = |p: &Point2| clipper::Point64 {
            x: (p.x * 1e4).round() as i64,
            y: (p.y * 1e4).round() as i64,
        };
        let path: clipper::Path64 = o.points.iter().map(grid).collect();
        let theirs = clipper::point_in_polygon(grid(&p), &path);
        prop_assert_eq!(o.contains(p), theirs == clipper::PointInPolygonResult::IsInside);
    }
}

proptest! {
    #![proptest_config(drawn(256))]

    /// The nearest point of a triangle keeps the condition that defines it.
    #[test]
    fn the_nearest_point_of_a_triangle_is_the_projection(
        xyz in proptest::array::uniform12(-50.0_f64..50.0)
    ) {
        use layfigure::geom::Point3;
        use layfigure::geom::triangle::nearest;

        let v: Vec<Point3> = xyz.chunks(3).map(|v| Point3::new(v[0], v[1], v[2])).collect();
        let corners = [v[1], v[2], v[3]];
        let found = nearest(v[0], corners);
        let (outside, beyond) = crate::closeness::misses(v[0], found, corners);
        prop_assert!(outside < 1e-6 && beyond < 1e-6, "{outside} {beyond}");
    }
}

/// A triangle that is a line or a point still has a nearest point.
#[test]
fn the_nearest_point_of_a_flat_triangle() {
    use layfigure::geom::Point3;
    use layfigure::geom::triangle::nearest;

    let at = |x: f64| Point3::new(x, 0.0, 0.0);
    let line = [at(0.0), at(1.0), at(3.0)];
    assert_relative_eq!(nearest(Point3::new(2.0, 4.0, 0.0), line), at(2.0));
    assert_relative_eq!(nearest(Point3::new(9.0, 1.0, 0.0), line), at(3.0));
    assert_relative_eq!(nearest(Point3::new(9.0, 1.0, 0.0), [at(2.0); 3]), at(2.0));
}
