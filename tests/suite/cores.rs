//! Cores of solids: what is left when padding is taken off all round.

use approx::assert_relative_eq;
use layfigure::geom::Point2;
use layfigure::geom::Point3;
use layfigure::geom::offset::offset;
use layfigure::mesh::Marks;
use layfigure::mesh::Mesh;
use layfigure::stack;
use layfigure::stack::core::Eroder;
use layfigure::stack::core::loft;
use layfigure::stack::slice::ClosedSlicer;
use layfigure::workshop::Workshop;

use super::stack::body;
use super::stack::turned;

const PI: f64 = std::f64::consts::PI;

/// A core section of a solid of revolution must be a circle of this radius.
fn core_radius(mesh: &Mesh, t: f64, z: f64) -> f64 {
    let slicer = ClosedSlicer::new(mesh).expect("closed");
    let core = Eroder::new(&slicer, t).core(z);
    assert_eq!(core.len(), 1);
    let area = core[0].area();
    let (lo, hi) = core[0].outer.bounds().expect("not empty");
    assert_relative_eq!(hi.x - lo.x, 2.0 * (area / PI).sqrt(), epsilon = 0.06);
    (area / PI).sqrt()
}

/// Erosion by a ball takes t off along the normal: off a cylinder t, off a cone t / cos(lean)
/// sideways, off a sphere t of its radius (plane geometry).
#[test]
fn cores_of_cylinder_cone_and_sphere() {
    let cylinder = turned(0.0, 300.0, 30, |_| 120.0);
    let cone = turned(0.0, 300.0, 60, |z| 200.0 - 0.5 * z);
    let sphere = turned(-149.999, 149.999, 600, |z| {
        (150.0_f64 * 150.0 - z * z).sqrt()
    });
    for t in [1.0, 5.0, 12.0, 20.0] {
        assert_relative_eq!(core_radius(&cylinder, t, 150.0), 120.0 - t, epsilon = 0.02);
        // At the very end too: flat ends carry no padding.
        assert_relative_eq!(core_radius(&cylinder, t, 0.0), 120.0 - t, epsilon = 0.02);
        assert_relative_eq!(core_radius(&cylinder, t, 300.0), 120.0 - t, epsilon = 0.02);
        let slant = t * (1.0_f64 + 0.25).sqrt();
        assert_relative_eq!(core_radius(&cone, t, 100.0), 150.0 - slant, epsilon = 0.02);
        for z in [0.0, 60.0, -110.0_f64] {
            let want = ((150.0 - t) * (150.0 - t) - z * z).sqrt();
            assert_relative_eq!(core_radius(&sphere, t, z), want, epsilon = 0.03);
        }
    }
    assert_relative_eq!(core_radius(&cone, 0.0, 100.0), 150.0, epsilon = 0.02);
}

/// In a sharp crease (two cones meeting at a waist) the ball is held by both cones at once, and
/// by the rim of the crease itself: at the crease the distance to the ring of radius r is t.
#[test]
fn core_at_a_crease_and_at_an_edge() {
    let t = 10.0;
    let hollow = turned(-100.0, 100.0, 40, |z: f64| 100.0 + 0.8 * z.abs());
    assert_relative_eq!(core_radius(&hollow, t, 0.0), 100.0 - t, epsilon = 0.03);
    // Just above, still nearest to the ring: sqrt((r - R)^2 + z^2) = t.
    let z = 3.0_f64;
    assert_relative_eq!(
        core_radius(&hollow, t, z),
        100.0 - (t * t - z * z).sqrt(),
        epsilon = 0.15
    );
    // An outward edge: both cones, each moved in along its normal.
    let edge = turned(-100.0, 100.0, 40, |z: f64| 180.0 - 0.8 * z.abs());
    let slant = t * (1.0_f64 + 0.64).sqrt();
    assert_relative_eq!(core_radius(&edge, t, 0.0), 180.0 - slant, epsilon = 0.03);
}

/// The fast choice of sections gives what brute force over 181 of them gives, on shoulders too.
#[test]
fn core_is_the_erosion_by_a_ball() {
    let body = body();
    let slicer = ClosedSlicer::new(&body).unwrap();
    let t = 8.0;
    let eroder = Eroder::new(&slicer, t);
    // Without a pole there are no rays: polygons are moved in and intersected.
    let mut bare = body.clone();
    bare.marks.pole.clear();
    let bare_slicer = ClosedSlicer::new(&bare).unwrap();
    let by_polygons = Eroder::new(&bare_slicer, t);
    for z in [
        -275.0, -190.0, -3.0, 100.0, 277.0, 328.0, 345.0, 370.0, 392.0, 400.0, 486.0,
    ] {
        let mut brute = offset(&slicer.section(z), -t);
        for k in 0..=180 {
            let phi = (f64::from(k) - 90.0).to_radians();
            let section = slicer.section((z + t * phi.sin()).clamp(-280.0, 490.0));
            let inset = offset(&section, -(t * phi.cos()).max(0.0));
            brute = layfigure::geom::offset::intersection(&brute, &inset);
        }
        let core = eroder.core(z);
        assert_eq!((core.len(), brute.len()), (1, 1), "{z}");
        for p in &by_polygons.core(z)[0].outer.points {
            let gap = core[0].outer.distance(*p);
            assert!(gap < 0.035, "{z} {gap}");
        }
        for p in &core[0].outer.densified(2.0).points {
            // On the shoulder a fortieth along the normal is up to three fortieths sideways.
            assert!(
                brute[0].outer.distance(*p) < 0.08,
                "{z} {}",
                brute[0].outer.distance(*p)
            );
        }
        for p in &brute[0].outer.densified(2.0).points {
            assert!(core[0].outer.distance(*p) < 0.08, "{z}");
        }
    }
}

/// The core as a solid: closed, of the volume of the eroded cone frustum.
#[test]
fn core_solid_is_closed() {
    let cone = turned(0.0, 300.0, 60, |z| 200.0 - 0.5 * z);
    let core = stack::core_mesh(&cone, &Workshop::default()).unwrap();
    ClosedSlicer::new(&core).unwrap();
    let volume: f64 = core
        .triangles
        .iter()
        .map(|t| {
            let [a, b, c] = t.map(|v| core.vertices[v as usize].coords);
            a.dot(&b.cross(&c)) / 6.0
        })
        .sum();
    // Straight on at the lower end: there the wall is upright below and the edge is hollow.
    let slant = 5.0 * 1.25_f64.sqrt();
    let (r1, r2) = (200.0 - slant, 50.0 - slant);
    let frustum = PI * 300.0 / 3.0 * (r1 * r1 + r1 * r2 + r2 * r2);
    assert_relative_eq!(volume, frustum, max_relative = 2e-3);
}

/// A solid whose sections have a narrow waist falls into two parts once padding is taken off, and
/// one thinner than the padding vanishes.
#[test]
fn cores_that_fall_apart() {
    let peanut = |narrow: f64| {
        let rings: Vec<_> = (0..=20)
            .map(|i| {
                let radii = (0..720)
                    .map(|j| narrow + 50.0 * (PI * f64::from(j) / 360.0).cos().powi(2))
                    .collect();
                (10.0 * f64::from(i), Point2::origin(), radii)
            })
            .collect();
        let marks = Marks {
            pole: vec![Point3::origin(), Point3::new(0.0, 0.0, 200.0)],
            ..Marks::default()
        };
        loft(&rings, marks)
    };
    let thin = peanut(6.0);
    let slicer = ClosedSlicer::new(&thin).unwrap();
    for (t, parts) in [(5.0, 1), (8.0, 2), (40.0, 0)] {
        let core = Eroder::new(&slicer, t).core(100.0);
        assert_eq!(core.len(), parts, "{t}");
        let section = &slicer.section(100.0)[0];
        for p in core.iter().flat_map(|r| &r.outer.points) {
            assert!(section.contains(*p) && (section.outer.distance(*p) - t).abs() < 0.03);
        }
    }
}
