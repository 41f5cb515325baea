//! Where a tape runs: an outline of the body from the side that shows it best, and the tape on it.

use crate::drawing::{Item, Pen};
use crate::form::silhouette::{Silhouette, around, silhouette};
use crate::geom::{Point2, Point3, Vector3};
use crate::measure::{Kind, Landmark, Level, Measure};
use crate::mesh;
use crate::mesh::Mesh;

/// Half the width of the band that stands for the tape, mm of paper.
const TAPE: f64 = 0.4;
/// Radius of the dots at a tape's ends, mm of paper.
const DOT: f64 = 0.55;
/// How round a level tape is drawn: the height of its bow for each mm of half its breadth, as if
/// seen from a little above.
const BOW: f64 = 0.16;
/// Points of a bow.
const BOW_POINTS: usize = 24;
/// Radius of a head, for each mm of stature: an eighth of a person is head (common practice among
/// draughtsmen, no source).
const HEAD: f64 = 1.0 / 16.0;
/// How far a book or a set square held to the body reaches up and down, mm of the body.
const BOOK: f64 = 90.0;

/// From where the body is seen.
#[derive(Clone, Copy)]
enum View {
    Front,
    Back,
    /// From the wearer's right, front to the right.
    Side,
}

impl View {
    fn flat(self, p: Point3) -> Point2 {
        match self {
            Self::Front => Point2::new(-p.x, p.z),
            Self::Back => Point2::new(p.x, p.z),
            Self::Side => Point2::new(p.y, p.z),
        }
    }
}

/// One drawing in mm of the body, before it is brought to its size on the paper.
struct Sketch {
    view: View,
    tapes: Vec<Vec<Point3>>,
    /// Whether the tapes end, or run round.
    ends: bool,
    dashed: Vec<Vec<Point3>>,
    rules: Vec<Vec<Point3>>,
    /// A head and the floor, where the measurement needs them: floor and top of the head.
    person: Option<(f64, f64)>,
}

/// The body that is drawn on, traced once.
pub(super) struct Sketched<'a> {
    mesh: &'a Mesh,
    trace: Silhouette,
}

impl<'a> Sketched<'a> {
    pub(super) fn new(mesh: &'a Mesh) -> Self {
        Self {
            mesh,
            trace: silhouette(mesh),
        }
    }

    fn level(&self, level: Level) -> Option<f64> {
        let levels = &self.mesh.marks.levels;
        levels.get(&level).copied()
    }

    fn landmark(&self, landmark: Landmark) -> Option<Point3> {
        self.mesh.marks.landmarks.get(&landmark).copied()
    }

    /// Least and greatest `x` and `y` at a height.
    fn extent(&self, z: f64) -> Option<[(f64, f64); 2]> {
        let i = self.trace.z.partition_point(|h| *h < z);
        let whole = |w: Option<&(f64, f64)>| w.copied().filter(|w| w.0 <= w.1);
        Some([whole(self.trace.x.get(i))?, whole(self.trace.y.get(i))?])
    }

    /// A level tape, seen from the front: its near half, and its far half dashed.
    fn round(&self, level: Level) -> Option<Sketch> {
        let z = self.level(level)?;
        let [(a, b), _] = self.extent(z)?;
        let (middle, half) = (f64::midpoint(a, b), (b - a) / 2.0);
        let bow = |down: f64| -> Vec<Point3> {
            (0..=BOW_POINTS)
                .map(|i| {
                    let t = std::f64::consts::PI * i as f64 / BOW_POINTS as f64;
                    Point3::new(
                        middle + half * libm::cos(t),
                        0.0,
                        z - down * BOW * half * libm::sin(t),
                    )
                })
                .collect()
        };
        let mut s = Sketch::new(View::Front);
        s.tapes.push(bow(1.0));
        s.ends = false;
        s.dashed.push(bow(-1.0));
        Some(s)
    }

    fn neck(&self) -> Option<Sketch> {
        let marks = &self.mesh.marks;
        let (sin, cos) = (libm::sin(marks.neck_lean), libm::cos(marks.neck_lean));
        let normal = Vector3::new(0.0, sin, cos);
        let near = |l: &[Point3]| {
            let c = l.iter().fold(Vector3::zeros(), |s, p| s + p.coords) / l.len().max(1) as f64;
            (c - marks.neck_centre.coords).norm()
        };
        let mut loops = mesh::section(self.mesh, marks.neck_centre, normal);
        loops.sort_by(|a, b| near(a).total_cmp(&near(b)));
        let ring = loops.into_iter().next()?;
        let left = ring.iter().copied().min_by(|a, b| a.x.total_cmp(&b.x))?;
        let right = ring.iter().copied().max_by(|a, b| a.x.total_cmp(&b.x))?;
        let halfway = f64::midpoint(left.y, right.y);
        let mut front: Vec<Point3> = ring.into_iter().filter(|p| p.y >= halfway).collect();
        front.sort_by(|a, b| a.x.total_cmp(&b.x));
        let mut s = Sketch::new(View::Front);
        s.tapes.push(front);
        s.ends = false;
        Some(s)
    }

    /// A tape straight from point to point.
    fn between(view: View, lines: Vec<Vec<Point3>>) -> Sketch {
        let mut s = Sketch::new(view);
        s.tapes = lines;
        s
    }

    /// Straight down from a landmark to a level.
    fn down(&self, view: View, from: Landmark, to: Level) -> Option<Sketch> {
        let a = self.landmark(from)?;
        let b = Point3::new(a.x, a.y, self.level(to)?);
        Some(Self::between(view, vec![vec![a, b]]))
    }

    fn pairs(&self, from: [Landmark; 2], to: [Landmark; 2]) -> Option<Vec<Vec<Point3>>> {
        (0..2)
            .map(|i| Some(vec![self.landmark(from[i])?, self.landmark(to[i])?]))
            .collect()
    }

    /// Two books held to the body at a level.
    fn through(&self, level: Level) -> Option<Sketch> {
        let z = self.level(level)?;
        let [_, (back, front)] = self.extent(z)?;
        let at = |y: f64, z: f64| Point3::new(0.0, y, z);
        let mut s = Self::between(View::Side, vec![vec![at(back, z), at(front, z)]]);
        for y in [back, front] {
            s.rules.push(vec![at(y, z - BOOK), at(y, z + BOOK)]);
        }
        Some(s)
    }

    /// A wall behind the body, and the gap to it.
    fn wall(&self, to: Point3) -> Sketch {
        let rear = self.trace.y.iter().map(|w| w.0);
        let wall = rear.fold(f64::INFINITY, f64::min);
        let at = |y: f64, z: f64| Point3::new(0.0, y, z);
        let ends = (self.trace.z.first(), self.trace.z.last());
        let (low, high) = (
            ends.0.copied().unwrap_or(to.z),
            ends.1.copied().unwrap_or(to.z),
        );
        let mut s = Self::between(View::Side, vec![vec![at(wall, to.z), at(to.y, to.z)]]);
        s.rules.push(vec![at(wall, low), at(wall, high)]);
        s
    }

    fn sketch(&self, measure: Measure) -> Option<Sketch> {
        use Landmark as L;
        use Measure as M;
        const SIDE_NECK: [L; 2] = [L::SideNeckLeft, L::SideNeckRight];
        const SHOULDER: [L; 2] = [L::ShoulderLeft, L::ShoulderRight];
        const BUST: [L; 2] = [L::BustLeft, L::BustRight];
        // Drawn at the natural waist, wherever this sheet has its own.
        let level = measure.level().map(|level| match level {
            Level::WaistTape => Level::Waist,
            level => level,
        });
        match (measure.kind(), level) {
            (Kind::Girth, Some(level)) if measure != M::GirthNeck => return self.round(level),
            (Kind::Depth, Some(level)) => return self.through(level),
            _ => {}
        }
        match measure {
            M::GirthNeck => self.neck(),
            M::LengthBackWaist => self.down(View::Back, L::Nape, Level::Waist),
            M::LengthScyeDepth => self.down(View::Back, L::Nape, Level::Armpit),
            M::LengthFrontWaist => self.down(View::Front, L::FrontNeck, Level::Waist),
            M::LengthAcrossBack | M::LengthAcrossFront => {
                let z = self.level(Level::MidArmscye)?;
                let ends = [L::ArmpitLeft, L::ArmpitRight].map(|l| self.landmark(l));
                let line = ends.into_iter().map(|p| Some(Point3::new(p?.x, 0.0, z)));
                let view = if measure == M::LengthAcrossBack {
                    View::Back
                } else {
                    View::Front
                };
                Some(Self::between(view, vec![line.collect::<Option<_>>()?]))
            }
            M::LengthShoulder => Some(Self::between(View::Front, self.pairs(SIDE_NECK, SHOULDER)?)),
            M::SlopeShoulder => {
                let lines = self.pairs(SIDE_NECK, SHOULDER)?;
                let level = |l: &Vec<Point3>| vec![l[0], Point3::new(l[1].x, l[1].y, l[0].z)];
                let drop = |l: &Vec<Point3>| vec![l[1], Point3::new(l[1].x, l[1].y, l[0].z)];
                let mut s = Self::between(View::Front, lines.iter().map(drop).collect());
                s.rules = lines.iter().map(level).chain(lines.clone()).collect();
                Some(s)
            }
            M::LengthSideNeckToBust => {
                Some(Self::between(View::Front, self.pairs(SIDE_NECK, BUST)?))
            }
            M::LengthBustPointWidth => {
                let line = BUST.map(|l| self.landmark(l));
                let line = line.into_iter().collect::<Option<Vec<_>>>()?;
                Some(Self::between(View::Front, vec![line]))
            }
            M::LengthWaistToHip => {
                let to = self.landmark(L::HipRight)?;
                let from = Point3::new(to.x, to.y, self.level(Level::Waist)?);
                Some(Self::between(View::Side, vec![vec![from, to]]))
            }
            M::WallNape => Some(self.wall(self.landmark(L::Nape)?)),
            M::WallWaist => {
                let z = self.level(Level::Waist)?;
                let [_, (back, _)] = self.extent(z)?;
                Some(self.wall(Point3::new(0.0, back, z)))
            }
            M::HeightStature => {
                let floor = self.mesh.marks.floor?.0;
                let top = floor + self.mesh.marks.stature;
                let [(_, side), _] = self.extent(self.level(Level::Armpit)?)?;
                let beside = |z: f64| Point3::new(-1.5 * side, 0.0, z);
                let mut s = Self::between(View::Front, vec![vec![beside(floor), beside(top)]]);
                s.person = Some((floor, top));
                Some(s)
            }
            _ => None,
        }
    }

    /// The drawing of a measurement, in the box from `corner` (lower left) of `width` and `height`
    /// mm; nothing where no drawing shows it.
    pub(super) fn draw(
        &self,
        measure: Measure,
        corner: Point2,
        width: f64,
        height: f64,
    ) -> Option<Vec<Item>> {
        let s = self.sketch(measure)?;
        Some(s.draw(&self.trace, corner, width, height))
    }
}

impl Sketch {
    const fn new(view: View) -> Self {
        Self {
            view,
            tapes: Vec::new(),
            ends: true,
            dashed: Vec::new(),
            rules: Vec::new(),
            person: None,
        }
    }

    fn draw(&self, trace: &Silhouette, corner: Point2, width: f64, height: f64) -> Vec<Item> {
        let sides = match self.view {
            View::Front | View::Back => &trace.x,
            View::Side => &trace.y,
        };
        let flat = |across: f64, z: f64| match self.view {
            View::Front => Point2::new(-across, z),
            View::Back | View::Side => Point2::new(across, z),
        };
        let outline: Vec<Point2> = around(&trace.z, sides)
            .into_iter()
            .map(|(across, z)| flat(across, z))
            .collect();
        let mut rows = trace.z.iter().zip(sides).filter(|(_, w)| w.0 <= w.1);

        let lines = |l: &[Vec<Point3>]| -> Vec<Vec<Point2>> {
            let flat = |l: &Vec<Point3>| l.iter().map(|p| self.view.flat(*p)).collect();
            l.iter().map(flat).collect()
        };
        let (tapes, dashed, mut rules) =
            (lines(&self.tapes), lines(&self.dashed), lines(&self.rules));
        let mut head = None;
        if let (Some((floor, top)), Some((hem, (a, b)))) = (self.person, rows.next()) {
            let radius = (top - floor) * HEAD;
            head = Some((Point2::new(0.0, top - radius), radius));
            for x in [*a, *b, a / 8.0, b / 8.0] {
                rules.push(vec![Point2::new(x, *hem), Point2::new(x * 0.6, floor)]);
            }
            rules.push(vec![
                Point2::new(2.0 * a, floor),
                Point2::new(2.0 * b, floor),
            ]);
        }

        let mut all: Vec<Point2> = outline.clone();
        all.extend(tapes.iter().chain(&dashed).chain(&rules).flatten());
        if let Some((c, r)) = head {
            all.push(Point2::new(c.x, c.y + r));
        }
        let low = all
            .iter()
            .fold(Point2::new(f64::INFINITY, f64::INFINITY), |m, p| {
                Point2::new(m.x.min(p.x), m.y.min(p.y))
            });
        let high = all
            .iter()
            .fold(Point2::new(f64::NEG_INFINITY, f64::NEG_INFINITY), |m, p| {
                Point2::new(m.x.max(p.x), m.y.max(p.y))
            });
        let scale = (width / (high.x - low.x)).min(height / (high.y - low.y));
        let middle = corner.x + width / 2.0;
        let place = |p: &Point2| {
            Point2::new(
                middle + (p.x - f64::midpoint(low.x, high.x)) * scale,
                corner.y + (p.y - low.y) * scale,
            )
        };
        let placed = |l: &[Point2]| -> Vec<Point2> { l.iter().map(place).collect() };

        let mut items = vec![Item::path(Pen::Mark, placed(&outline), true)];
        if let Some((centre, radius)) = head {
            items.push(Item::Circle {
                pen: Pen::Mark,
                centre: place(&centre),
                radius: radius * scale,
            });
        }
        items.extend(
            rules
                .iter()
                .map(|l| Item::path(Pen::Mark, placed(l), false)),
        );
        items.extend(
            dashed
                .iter()
                .map(|l| Item::path(Pen::Fine, placed(l), false)),
        );
        for tape in &tapes {
            let path = placed(tape);
            items.push(Item::path(Pen::Cut, band(&path), true));
            if let (true, [first, .., last]) = (self.ends, path.as_slice()) {
                for centre in [*first, *last] {
                    items.push(Item::Circle {
                        pen: Pen::Cut,
                        centre,
                        radius: DOT,
                    });
                }
            }
        }
        items
    }
}

/// The edge of a band of tape along a line.
fn band(path: &[Point2]) -> Vec<Point2> {
    let across = |i: usize| {
        let (a, b) = (path[i.saturating_sub(1)], path[(i + 1).min(path.len() - 1)]);
        let along = b - a;
        let length = along.norm().max(f64::MIN_POSITIVE);
        crate::geom::Vector2::new(-along.y, along.x) * (TAPE / length)
    };
    let edge = |sign: f64| (0..path.len()).map(move |i| path[i] + across(i) * sign);
    let mut out: Vec<Point2> = edge(1.0).collect();
    out.extend(edge(-1.0).rev());
    out
}
