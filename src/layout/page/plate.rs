//! The plates at both ends of the stack, which are not layers.

use crate::error::Error;
use crate::face;
use crate::geom::Outline;
use crate::geom::Point2;
use crate::geom::Vector2;
use crate::layout::bounds;
use crate::stack::CutFor;
use crate::stack::Hole;
use crate::stack::Inscription;
use crate::stack::Mark;
use crate::stack::Piece;
use crate::stack::PieceId;
use crate::stack::Pole;
use crate::stack::Stack;
use crate::stack::Tells;
use crate::stack::Through;
use crate::stack::mark;
use crate::tolerance::FOLD_TOLERANCE_MM;
use crate::workshop::Workshop;

/// The circle of a flange's screws is this much wider than its pole, mm: floor flanges for pipes of
/// 3/4 and 1 in have theirs on about 67 and 74 mm (from memory).
const FLANGE: f64 = 40.0;
/// Arm of the crosses at those screws, mm.
const SCREW_ARM: f64 = 3.0;
/// Arm of the cross where a flange or an eye goes, and half the side of the square round it, mm: neither a tick of the
/// edge nor a hole has one.
const PLACE_ARM: f64 = 5.0;
const PLACE_SQUARE: f64 = 3.0;
/// The eye stands at least this far from the edge of the cap, mm. Our choice: room for a washer.
const EYE_INSIDE: f64 = 10.0;
/// Letters of a plate, the best first, mm.
const LETTERS: [f64; 3] = [5.0, 3.5, 2.5];

/// Which plate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Plate {
    /// Under layer 1.
    Base,
    /// On the topmost layer.
    Cap,
}

impl Plate {
    const fn id(self) -> PieceId {
        match self {
            Self::Base => PieceId::new(CutFor::Base, 0),
            Self::Cap => PieceId::new(CutFor::Cap, 0),
        }
    }

    /// What it is called.
    pub(super) const fn name(self) -> &'static str {
        match self {
            Self::Base => "base board",
            Self::Cap => "neck cap plate",
        }
    }

    /// How thick it is, in words: the cap as the guide has it (common practice, no source).
    fn thickness(self, workshop: &Workshop) -> String {
        let unit = workshop.paper.unit;
        match self {
            Self::Base => format!("{} thick", unit.bench(workshop.base, 0)),
            Self::Cap => format!("{} to {} thick", unit.rule_bare(4.0, 0), unit.rule(6.0, 0)),
        }
    }
}

/// Two strokes through a point.
fn cross(at: Point2, arm: f64) -> [Mark; 2] {
    [(arm, 0.0), (0.0, arm)].map(|(dx, dy)| {
        Mark::Line(vec![
            Point2::new(at.x - dx, at.y - dy),
            Point2::new(at.x + dx, at.y + dy),
        ])
    })
}

/// A cross in a square.
fn place(at: Point2) -> Vec<Mark> {
    let corners = [(1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0)]
        .map(|(x, y)| at + Vector2::new(x, y) * PLACE_SQUARE);
    let side = |k: usize| Mark::Line(vec![corners[k], corners[(k + 1) % 4]]);
    cross(at, PLACE_ARM)
        .into_iter()
        .chain((0..4).map(side))
        .collect()
}

/// Ticks of the centre and side lines, as on every piece.
fn ticks(outline: &Outline, axis: Point2) -> Vec<Mark> {
    use std::f64::consts::{FRAC_PI_2, PI};
    let axis = mark::cross(outline, axis);
    if !outline.contains(axis) {
        return Vec::new();
    }
    [FRAC_PI_2, -FRAC_PI_2, 0.0, PI]
        .into_iter()
        .filter_map(|angle| {
            let r = outline.ray(axis, angle)?;
            let e = Vector2::new(libm::cos(angle), libm::sin(angle));
            Some(Mark::Line(vec![
                axis + e * r,
                axis + e * (r - mark::TICK.min(r / 3.0)),
            ]))
        })
        .collect()
}

/// A point that lies nearly on the centre line, on it: then a half template has it.
fn on_centre(p: Point2) -> Point2 {
    if p.x.abs() <= FOLD_TOLERANCE_MM {
        Point2::new(0.0, p.y)
    } else {
        p
    }
}

/// A plate outside the layer count; nothing when the stack has none.
///
/// # Errors
/// [`Error::Format`] when the face of the words cannot be read.
pub(super) fn plate(
    which: Plate,
    stack: &Stack,
    workshop: &Workshop,
) -> Result<Option<Piece>, Error> {
    let outline = match which {
        Plate::Base => &stack.base,
        Plate::Cap => &stack.cap,
    };
    let Some((low, high)) = bounds(&outline.points).filter(|_| outline.points.len() >= 3) else {
        return Ok(None);
    };
    let what = which.name();
    let mut marks = ticks(outline, stack.axis);
    let mut hole = None;
    let mut words = vec![
        (Tells::Way, None, "FRONT".to_owned()),
        (Tells::Which, None, what.to_owned()),
        (Tells::Own, None, which.thickness(workshop)),
    ];
    match (which, stack.pole) {
        (Plate::Base, Some(Pole { at, diameter, .. })) => {
            let out = (diameter + FLANGE) / 2.0 * std::f64::consts::FRAC_1_SQRT_2;
            // The pole goes down to the foot, so it passes the board.
            let lowest = stack.layers.first().map(|l| &l.pieces[0]);
            let drilled = lowest.and_then(|piece| piece.rounds().find(|(c, _)| *c == at));
            hole = Some(Hole::Round {
                through: Some(Through::Pole),
                at,
                diameter: drilled.map_or(diameter, |(_, d)| d),
            });
            for (x, y) in [(out, out), (-out, out), (-out, -out), (out, -out)] {
                marks.extend(cross(Point2::new(at.x + x, at.y + y), SCREW_ARM));
            }
            let screw = Point2::new(at.x + out, at.y + out);
            let said = "screws of the collar under it";
            words.push((Tells::Own, Some(screw), said.to_owned()));
            marks.extend(cross(at, diameter / 2.0 + PLACE_ARM));
        }
        (Plate::Base, None) => {
            let middle = on_centre(outline.centroid());
            marks.extend(place(middle));
            let said = "flange of the stand: its middle";
            words.push((Tells::Own, Some(middle), said.to_owned()));
            let said = "recess layer 1 for its bolt heads";
            words.push((Tells::Own, None, said.to_owned()));
        }
        (Plate::Cap, _) => {
            // Above the middle of the layers' weight it hangs plumb.
            let eye = on_centre(stack.centre_of_weight(workshop).0);
            if outline.contains(eye) && outline.distance(eye) >= EYE_INSIDE {
                marks.extend(place(eye));
                let said = "eye, if it hangs";
                words.push((Tells::Own, Some(eye), said.to_owned()));
            }
        }
    }
    let mut piece = Piece {
        id: which.id(),
        outline: outline.clone(),
        holes: hole.into_iter().collect(),
        marks,
        area: 0.0,
    };
    let mut free = piece.free_room();
    for mark in &piece.marks {
        if let Mark::Line(points) = mark {
            free.take_line(points);
        }
    }
    let centre = outline.centroid();
    let mut y = f64::INFINITY;
    for (k, (tells, about, text)) in words.into_iter().enumerate() {
        let wanted = if k == 0 {
            Point2::new(centre.x, high.y - (high.y - low.y) * 0.15)
        } else {
            Point2::new(centre.x, y.min(centre.y))
        };
        for size in LETTERS {
            let width = face::text_width(&text, size)?;
            if let Some(at) = free.place(Vector2::new(width + 2.0, size * 1.6), wanted) {
                if k > 0 {
                    y = at.y - size * 1.8;
                }
                piece.marks.push(Mark::Text(Inscription {
                    tells,
                    about,
                    ..Inscription::new(at, size, text)
                }));
                break;
            }
        }
    }
    Ok(Some(piece))
}
