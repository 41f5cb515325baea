//! How far a layer can move on its dowels, because holes are wider than dowels.
//!
//! A layer whose holes have the clearance `c` (hole less dowel) may be shifted by `t` and turned by
//! `θ` as long as every hole still takes its dowel: `|t + θ J pᵢ| ≤ c / 2` for the dowels at `pᵢ`, `J` a
//! quarter turn (angles are small). It turns furthest when the smallest circle round the turned
//! places, of radius `θ ρ`, just fits: `θ = c / (2 ρ)`, `ρ` the radius of the smallest circle round
//! the dowels. Two dowels `s` apart have `ρ = s / 2`, so `θ = c / s`.

use super::{Layer, Stack};
use crate::geom::hull::hull;
use crate::geom::{Outline, Point2, Vector2};
use crate::tolerance::SAME_POINT_EPS_MM;

/// How far a layer can move.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Play {
    /// Largest turn either way from true, radians.
    pub twist: f64,
    /// Largest shift either way from true without a turn, mm.
    pub shift: f64,
    /// How far a point of the edge can come away from true, with the worst turn and shift
    /// together, mm.
    pub edge: f64,
}

/// Layers that hang on the same dowels, and the worst play among them.
#[derive(Clone, Debug, PartialEq)]
pub struct Held {
    /// Lowest of the layers (index).
    pub first: usize,
    /// Highest of the layers.
    pub last: usize,
    /// Names of the dowels through all of them; the pole's is `pole`.
    pub dowels: Vec<String>,
    /// How far they can move.
    pub play: Play,
}

/// Play of every run of layers on the same dowels, from the lowest up. `clearance` is the hole
/// diameter less that of the dowel, mm. Layers on fewer than two dowels, which turn freely, are left
/// out.
#[must_use]
pub fn held(stack: &Stack, clearance: f64) -> Vec<Held> {
    let mut out: Vec<Held> = Vec::new();
    for layer in &stack.layers {
        let (through, at) = through(stack, layer);
        if at.len() < 2 {
            continue;
        }
        let play = play(&at, clearance, &layer.pieces[0].outline);
        match out.last_mut() {
            Some(run) if run.last + 1 == layer.index && run.dowels == through => {
                run.last = layer.index;
                run.play.edge = run.play.edge.max(play.edge);
            }
            _ => out.push(Held {
                first: layer.index,
                last: layer.index,
                dowels: through,
                play,
            }),
        }
    }
    out
}

fn through(stack: &Stack, layer: &Layer) -> (Vec<String>, Vec<Point2>) {
    let through = |first: usize, last: usize| (first..=last).contains(&layer.index);
    let pole = stack
        .pole
        .iter()
        .filter(|p| p.passes(layer.index))
        .map(|p| ("pole".to_owned(), p.at));
    let dowels = stack
        .dowels
        .iter()
        .filter(|d| through(d.first_layer, d.last_layer))
        .map(|d| (d.name.clone(), d.at));
    dowels.chain(pole).unzip()
}

/// Play of a piece of this outline on dowels at these places, with this clearance, mm. With fewer
/// than two dowels apart from each other nothing stops the turn: it is called half a turn.
#[must_use]
pub fn play(dowels: &[Point2], clearance: f64, outline: &Outline) -> Play {
    let half = clearance / 2.0;
    let radius = smallest_circle(dowels).1;
    if dowels.len() < 2 || radius <= SAME_POINT_EPS_MM {
        return Play {
            twist: std::f64::consts::PI,
            shift: half,
            edge: f64::INFINITY,
        };
    }
    let twist = half / radius;
    let rim = hull(&outline.points).points;
    let mut edge = 0.0_f64;
    for k in 0..=TURNS {
        // Turns one way: the other way is the same with every shift reversed.
        let turn = twist * f64::from(k) / f64::from(TURNS);
        let quarter = |p: Point2| Vector2::new(-p.y, p.x) * turn;
        // The shift must lie in every disc of this radius about these centres.
        let centres: Vec<Vector2> = dowels.iter().map(|p| -quarter(*p)).collect();
        for q in &rim {
            edge = edge.max(furthest(&centres, half, -quarter(*q)));
        }
    }
    Play {
        twist,
        shift: half,
        edge,
    }
}

/// Steps of turn from none to the largest.
const TURNS: i32 = 16;

/// Greatest distance from `from` to a point that lies in all the discs: at the far side of one of
/// them, or where two of them cross. 0 when they have nothing in common.
fn furthest(centres: &[Vector2], radius: f64, from: Vector2) -> f64 {
    let slack = 1e-9 * radius.max(1.0);
    let inside = |t: Vector2| centres.iter().all(|c| (t - c).norm() <= radius + slack);
    let mut best = 0.0_f64;
    let mut consider = |t: Vector2| {
        if inside(t) {
            best = best.max((t - from).norm());
        }
    };
    for (i, a) in centres.iter().enumerate() {
        if let Some(away) = (a - from).try_normalize(SAME_POINT_EPS_MM) {
            consider(a + away * radius);
        }
        for b in &centres[i + 1..] {
            let (middle, apart) = ((a + b) / 2.0, b - a);
            let d = apart.norm();
            if d <= SAME_POINT_EPS_MM {
                continue;
            }
            let up = (radius * radius - d * d / 4.0).max(0.0).sqrt();
            let side = Vector2::new(-apart.y, apart.x) * (up / d);
            consider(middle + side);
            consider(middle - side);
        }
    }
    best
}

/// Centre and radius of the smallest circle round points: through two of them, or through three
/// (Elzinga and Hearn 1972); few points, so all are tried.
fn smallest_circle(points: &[Point2]) -> (Point2, f64) {
    let Some(first) = points.first() else {
        return (Point2::origin(), 0.0);
    };
    let mut best: Option<(Point2, f64)> = None;
    let mut consider = |centre: Point2, radius: f64| {
        let holds = points
            .iter()
            .all(|p| (p - centre).norm() <= radius * (1.0 + 1e-12) + SAME_POINT_EPS_MM);
        if holds && best.is_none_or(|(_, least)| radius < least) {
            best = Some((centre, radius));
        }
    };
    consider(*first, 0.0);
    for (i, a) in points.iter().enumerate() {
        for (j, b) in points.iter().enumerate().skip(i + 1) {
            let middle = nalgebra::center(a, b);
            consider(middle, (a - b).norm() / 2.0);
            for c in &points[j + 1..] {
                if let Some(centre) = centre_of_circle(*a, *b, *c) {
                    consider(centre, (a - centre).norm());
                }
            }
        }
    }
    best.unwrap_or((*first, 0.0))
}

/// Centre of the circle through three points; nothing when they lie in a line.
fn centre_of_circle(a: Point2, b: Point2, c: Point2) -> Option<Point2> {
    let (u, v) = (b - a, c - a);
    let cross = 2.0 * u.perp(&v);
    if cross.abs() <= SAME_POINT_EPS_MM {
        return None;
    }
    let (uu, vv) = (u.norm_squared(), v.norm_squared());
    Some(a + Vector2::new(v.y * uu - u.y * vv, u.x * vv - v.x * uu) / cross)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    fn disc(radius: f64) -> Outline {
        Outline::circle(Point2::origin(), radius, 1e-4)
    }

    /// Two pins s apart twist by c / s; 0.5 mm over 100 mm is 0.29 degrees, 1 mm at a hip edge
    /// 190 mm away (common practice, no source).
    #[test]
    fn two_pins_twist_by_clearance_over_distance() {
        let pins = [Point2::new(-50.0, 0.0), Point2::new(50.0, 0.0)];
        let p = play(&pins, 0.5, &disc(190.0));
        assert_relative_eq!(p.twist, 0.005, max_relative = 1e-12);
        assert_relative_eq!(p.shift, 0.25, max_relative = 1e-12);
        assert!((0.95..1.05).contains(&p.edge), "{}", p.edge);
        // Nearer pins twist more, and so does more clearance.
        let near = [Point2::new(-10.0, 0.0), Point2::new(10.0, 0.0)];
        assert_relative_eq!(
            play(&near, 0.5, &disc(60.0)).twist,
            0.025,
            max_relative = 1e-12
        );
    }

    /// Three pins on a circle of radius R twist by c / (2 R), whatever lies inside it; a long
    /// triangle is held by its longest side alone.
    #[test]
    fn three_pins_twist_by_their_circle() {
        let at = |deg: f64| {
            Point2::new(
                80.0 * libm::cos(deg.to_radians()),
                80.0 * libm::sin(deg.to_radians()),
            )
        };
        let even = [at(10.0), at(130.0), at(250.0), Point2::new(3.0, 4.0)];
        assert_relative_eq!(
            play(&even, 0.4, &disc(100.0)).twist,
            0.2 / 80.0,
            max_relative = 1e-9
        );
        let long = [
            Point2::new(-90.0, 0.0),
            Point2::new(90.0, 0.0),
            Point2::new(0.0, 20.0),
        ];
        assert_relative_eq!(
            play(&long, 0.4, &disc(100.0)).twist,
            0.2 / 90.0,
            max_relative = 1e-9
        );
        assert!(play(&even[..1], 0.4, &disc(100.0)).twist > 3.0);
    }

    /// Against a search over a fine grid of turns and shifts.
    #[test]
    fn the_edge_moves_as_far_as_a_search_finds() {
        let dowels = [
            Point2::new(-117.0, -12.0),
            Point2::new(105.0, -40.0),
            Point2::new(0.0, -6.0),
        ];
        let outline = Outline::new(
            (0..360)
                .map(|i| {
                    let t = f64::from(i).to_radians();
                    Point2::new(150.0 * libm::cos(t), 5.0 + 110.0 * libm::sin(t))
                })
                .collect(),
        );
        let c = 0.3;
        let p = play(&dowels, c, &outline);
        let mut found = 0.0_f64;
        for k in -40..=40 {
            let turn = p.twist * f64::from(k) / 40.0;
            for i in -60..=60 {
                for j in -60..=60 {
                    let t = Vector2::new(f64::from(i), f64::from(j)) * (c / 2.0 / 60.0);
                    let moved = |q: &Point2| (t + Vector2::new(-q.y, q.x) * turn).norm();
                    if dowels.iter().all(|q| moved(q) <= c / 2.0) {
                        for q in outline.points.iter().step_by(6) {
                            found = found.max(moved(q));
                        }
                    }
                }
            }
        }
        assert!(
            found <= p.edge + 1e-9 && p.edge < found * 1.05 + 0.005,
            "{found} {}",
            p.edge
        );
    }
}
