//! Faces of many corners cut up into triangles, dents and all.
//!
//! Every way of cutting keeps every side of the face and every corner of it, so a closed solid stays
//! closed: the neighbours of a face need not know how it was cut. (Libraries that cut polygons up
//! leave out corners on a straight side, which tears the solid there.)

use robust::{Coord, orient2d};

use super::weld::push;
use crate::error::Error;
use crate::geom::{Point3, Vector3};
use crate::tolerance::IN_LINE_EPS;

/// Corners looked at, over all dented faces of a file, after which ears are cut as they come. Our
/// choice: a second or two of work, and some hundred faces of a thousand corners.
const MOST_LOOKS: usize = 400_000_000;

/// Cuts up the faces of one file.
#[derive(Default)]
pub(super) struct Faces {
    looks: usize,
}

impl Faces {
    /// Adds the triangles of a face of three or more corners, which turn as the face does: two fewer
    /// than it has corners.
    ///
    /// # Errors
    /// [`Error::Format`] when there is no memory left.
    pub(super) fn cut_up(
        &mut self,
        face: &[u32],
        place: impl Fn(u32) -> Point3,
        triangles: &mut Vec<[u32; 3]>,
    ) -> Result<(), Error> {
        if face.len() > 3
            && let Some(flat) = flattened(face, place)
            && !fans(&flat)
        {
            let mut ring = Ring::new(flat);
            while ring.left > 2 {
                let ear = ring.cut_ear(&mut self.looks);
                push(triangles, ear.map(|i| face[i]))?;
            }
            return Ok(());
        }
        for pair in face[1..].windows(2) {
            push(triangles, [face[0], pair[0], pair[1]])?;
        }
        Ok(())
    }
}

/// The face as it is seen along the axis that it faces most, counter-clockwise; nothing when it
/// faces nowhere.
fn flattened(face: &[u32], place: impl Fn(u32) -> Point3) -> Option<Vec<Coord<f64>>> {
    // Twice the area as a vector (Newell's method), square to the plane that lies best.
    let first = place(face[0]);
    let normal = face[1..].windows(2).fold(Vector3::zeros(), |sum, pair| {
        sum + (place(pair[0]) - first).cross(&(place(pair[1]) - first))
    });
    if !normal.iter().all(|v| v.is_finite()) || normal.amax() <= 0.0 {
        return None;
    }
    let axis = normal.iamax();
    let (mut u, mut v) = ((axis + 1) % 3, (axis + 2) % 3);
    if normal[axis] < 0.0 {
        (u, v) = (v, u);
    }
    let seen = |i: &u32| {
        let p = place(*i);
        Coord { x: p[u], y: p[v] }
    };
    Some(face.iter().map(seen).collect())
}

/// Whether every triangle of the fan about the first corner turns as the face does: then none lies over
/// another, and none shrinks to a line on a straight side.
fn fans(flat: &[Coord<f64>]) -> bool {
    flat[1..]
        .windows(2)
        .all(|p| orient2d(flat[0], p[0], p[1]) > 0.0)
}

/// How strictly ears are chosen. In a face that does not cross itself there are always strict ones, and
/// clear ones unless it is as narrow as rounding; the others bring faces to an end that do.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Choice {
    /// Strict, even if corners lay a little elsewhere.
    Clear,
    /// A true triangle; no corner lies in it or on its edge.
    Strict,
    /// A true triangle.
    Turned,
    /// Any three corners.
    Any,
}

/// What is left of a face.
struct Ring {
    at: Vec<Coord<f64>>,
    before: Vec<u32>,
    after: Vec<u32>,
    /// Corners in dents and on straight sides: only they can lie in an ear.
    dented: Vec<bool>,
    /// Those that were so at first, along `x`.
    along: Vec<u32>,
    /// Where to look next.
    next: usize,
    left: usize,
    /// Three corners that turn by no more may be in line.
    near: f64,
}

impl Ring {
    fn new(at: Vec<Coord<f64>>) -> Self {
        let n = at.len() as u32;
        let mut ring = Self {
            before: (0..n).map(|i| (i + n - 1) % n).collect(),
            after: (0..n).map(|i| (i + 1) % n).collect(),
            dented: Vec::new(),
            along: Vec::new(),
            next: 1,
            left: at.len(),
            near: 0.0,
            at,
        };
        let first = ring.at[0];
        let far = |p: &Coord<f64>| libm::pow(p.x - first.x, 2.0) + libm::pow(p.y - first.y, 2.0);
        ring.near = IN_LINE_EPS * ring.at.iter().map(far).fold(0.0, f64::max);
        // Corners in line may count as dents: it only makes fewer ears.
        ring.dented = (0..ring.left).map(|i| ring.turn(i) <= ring.near).collect();
        ring.along = (0..n).filter(|i| ring.dented[*i as usize]).collect();
        let x = |i: u32| ring.at[i as usize].x;
        ring.along.sort_by(|a, b| x(*a).total_cmp(&x(*b)));
        ring
    }

    fn around(&self, i: usize) -> [usize; 3] {
        [self.before[i] as usize, i, self.after[i] as usize]
    }

    /// Above zero where the face turns to the left.
    fn turn(&self, i: usize) -> f64 {
        let [a, b, c] = self.around(i).map(|k| self.at[k]);
        orient2d(a, b, c)
    }

    /// Takes an ear off.
    fn cut_ear(&mut self, looks: &mut usize) -> [usize; 3] {
        let mut choice = if *looks > MOST_LOOKS {
            Choice::Any
        } else {
            Choice::Clear
        };
        let mut since = 0;
        while self.left > 3 && !self.is_ear(self.next, choice, looks) {
            self.next = self.after[self.next] as usize;
            since += 1;
            if since >= self.left {
                since = 0;
                choice = match choice {
                    Choice::Clear => Choice::Strict,
                    Choice::Strict => Choice::Turned,
                    Choice::Turned | Choice::Any => Choice::Any,
                };
            }
        }
        let ear = self.around(self.next);
        let [a, _, c] = ear;
        self.after[a] = c as u32;
        self.before[c] = a as u32;
        self.dented[self.next] = false;
        for i in [a, c] {
            self.dented[i] = self.dented[i] && self.turn(i) <= self.near;
        }
        self.left -= 1;
        // One further on: ears in turn all round leave better triangles than a fan.
        self.next = self.after[c] as usize;
        ear
    }

    fn is_ear(&self, i: usize, choice: Choice, looks: &mut usize) -> bool {
        *looks += 1;
        if choice == Choice::Any {
            return true;
        }
        let near = if choice == Choice::Clear {
            self.near
        } else {
            0.0
        };
        if self.turn(i) <= near {
            return false;
        }
        if choice == Choice::Turned {
            return true;
        }
        let [a, b, c] = self.around(i).map(|k| self.at[k]);
        let (low, high) = (a.x.min(b.x).min(c.x), a.x.max(b.x).max(c.x));
        let from = self.along.partition_point(|k| self.at[*k as usize].x < low);
        for k in &self.along[from..] {
            let p = self.at[*k as usize];
            if p.x > high {
                break;
            }
            *looks += 1;
            // A face with a hole runs to it and back: its corners meet there.
            if self.dented[*k as usize]
                && ![a, b, c].contains(&p)
                && orient2d(a, b, p) >= -near
                && orient2d(b, c, p) >= -near
                && orient2d(c, a, p) >= -near
            {
                return false;
            }
        }
        true
    }
}
