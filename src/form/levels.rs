//! The levels of a solid by height, and its horizontal section at those that are worth a picture.

use crate::geom::{Outline, Point2};
use crate::measure::Level;
use crate::mesh::{Mesh, Slicer};
use crate::tape;
use crate::tape::GirthRound;
use crate::tolerance::LEVEL_ACCURACY_MM;

/// Heights and names of the levels that `shown` picks, rising; levels at one height share a name.
#[must_use]
pub fn merged(mesh: &Mesh, shown: impl Fn(Level) -> bool) -> Vec<(f64, String)> {
    let mut marks: Vec<(f64, String)> = Vec::new();
    let mut levels: Vec<(f64, Level)> = mesh.marks.levels.iter().map(|(l, z)| (*z, *l)).collect();
    levels.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let waist = mesh.marks.levels.get(&Level::Waist);
    for (z, level) in levels.into_iter().filter(|(_, l)| shown(*l)) {
        // The waist that the tape meant is mostly the natural one.
        let twice = waist.is_some_and(|w| (z - w).abs() < LEVEL_ACCURACY_MM);
        if level == Level::WaistTape && twice && shown(Level::Waist) {
            continue;
        }
        match marks.last_mut() {
            Some((at, words)) if z - *at < LEVEL_ACCURACY_MM => {
                words.push_str(" / ");
                words.push_str(level.called(mesh.marks.figure));
            }
            _ => marks.push((z, level.called(mesh.marks.figure).to_owned())),
        }
    }
    marks
}

/// Levels whose horizontal section is worth a picture.
#[must_use]
pub fn cut(level: Level) -> bool {
    matches!(
        level,
        Level::Hem
            | Level::Hip
            | Level::TopHip
            | Level::Abdomen
            | Level::WaistTape
            | Level::Waist
            | Level::Underbust
            | Level::Bust
            | Level::Armpit
    )
}

/// A section of the finished surface, and what a tape and a straight edge read there.
pub struct Section {
    /// Names of the levels.
    pub level: String,
    /// Its outline, mm.
    pub outline: Outline,
    /// What the tape reads.
    pub round: GirthRound,
}

/// The section at every level, from the lowest up.
#[must_use]
pub fn cuts(mesh: &Mesh) -> Vec<Section> {
    let levels = merged(mesh, cut);
    let heights: Vec<f64> = levels.iter().map(|(z, _)| *z).collect();
    let slicer = Slicer::new(mesh);
    levels
        .into_iter()
        .zip(tape::rounds(mesh, &heights))
        .filter_map(|((z, level), round)| {
            Some(Section {
                level,
                outline: slicer.at(z).into_iter().next()?,
                round: round?,
            })
        })
        .collect()
}

impl Section {
    /// Breadth and depth, mm.
    #[must_use]
    pub const fn size(&self) -> [f64; 2] {
        [self.round.breadth, self.round.depth]
    }

    /// Its outline, front upward and the middle of its extent at the origin, mm.
    pub fn centred(&self) -> impl Iterator<Item = Point2> {
        let extent = |axis: usize| {
            let all = self.outline.points.iter().map(move |p| p[axis]);
            all.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| {
                (l.min(v), h.max(v))
            })
        };
        let (x, y) = (extent(0), extent(1));
        let shift = Point2::new(f64::midpoint(x.0, x.1), f64::midpoint(y.0, y.1));
        self.outline
            .points
            .iter()
            .map(move |p| Point2::origin() + (p - shift))
    }
}
