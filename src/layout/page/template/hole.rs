//! The holes of a template: each once, with what goes through it and the layers that have it.

use crate::geom::Point2;
use crate::geom::Vector2;
use crate::layout::caption::dia;
use crate::stack::Hole;
use crate::stack::Piece;
use crate::stack::Through;
use crate::stack::asymmetry::clear_on_the_fold;
use crate::tolerance::FOLD_TOLERANCE_MM;
use crate::units::Unit;

/// Holes this near to one another are one, mm.
const SAME: f64 = 0.05;

/// Which half of a layer a hole belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::layout::page) enum FoldSide {
    /// Neither alone: it is on a whole template, or on the fold.
    Whole,
    /// The right half alone.
    Right,
    /// The left half alone: it is drawn where it comes when the template is turned over.
    Left,
    /// Both, each with one of its own.
    Both,
}

/// A hole as one line has it.
#[derive(Clone, Debug)]
pub(in crate::layout::page) struct DrawnHole {
    pub(in crate::layout::page) at: Point2,
    pub(in crate::layout::page) diameter: f64,
    pub(super) side: FoldSide,
    /// What goes through it: the letter of a dowel, or of two by half, each with its side, or the pole; nothing of a
    /// plate.
    name: String,
}

impl DrawnHole {
    pub(in crate::layout::page) fn is_same(&self, other: &Self) -> bool {
        self.side == other.side
            && (self.at - other.at).norm() < SAME
            && (self.diameter - other.diameter).abs() < SAME
    }
}

/// A point of the left half where it comes when the template is turned over.
pub(super) fn over(p: Point2) -> Point2 {
    Point2::new(-p.x, p.y)
}

/// Whether the holes of a piece can be told apart on half a template.
pub(super) fn can_be_folded(piece: &Piece) -> bool {
    clear_on_the_fold(&piece.rounds().collect::<Vec<_>>(), &[])
}

/// The holes of a piece as they are drawn, on the fold (`half`) or whole.
pub(super) fn drawn(piece: &Piece, half: bool) -> Vec<DrawnHole> {
    let mut out: Vec<DrawnHole> = Vec::new();
    for hole in &piece.holes {
        let Hole::Round {
            through,
            at,
            diameter,
        } = hole
        else {
            continue;
        };
        let side = match at.x {
            x if !half || x.abs() <= FOLD_TOLERANCE_MM => FoldSide::Whole,
            x if x < 0.0 => FoldSide::Left,
            _ => FoldSide::Right,
        };
        let hole = DrawnHole {
            at: if side == FoldSide::Left {
                over(*at)
            } else {
                *at
            },
            diameter: *diameter,
            side,
            name: match through {
                Some(Through::Dowel(letter)) => letter.clone(),
                Some(Through::Pole) => "pole".to_owned(),
                None => String::new(),
            },
        };
        // Two that lie on one another when the template is turned over are one.
        let twin = out.iter_mut().find(|h| {
            side != FoldSide::Whole
                && h.side != side
                && (h.at - hole.at).norm() <= FOLD_TOLERANCE_MM
                && (h.diameter - hole.diameter).abs() < SAME
        });
        match twin {
            Some(twin) => {
                twin.side = FoldSide::Both;
                let (right, left) = match side {
                    FoldSide::Left => (&twin.name, &hole.name),
                    _ => (&hole.name, &twin.name),
                };
                twin.name = format!("{right} RIGHT, {left} LEFT");
            }
            None => out.push(hole),
        }
    }
    out
}

/// What a hole is called for some of the lines.
#[derive(Clone, Debug)]
pub(super) struct HoleName {
    /// With its diameter in words, with that alone, and without it.
    pub(super) long: String,
    pub(super) middling: String,
    pub(super) short: String,
    /// Which lines have it so; the innermost of them is trimmed to last.
    pub(super) of: Vec<usize>,
}

/// A hole of some of the lines.
#[derive(Clone, Debug)]
pub(super) struct SharedHole {
    pub(super) hole: DrawnHole,
    pub(super) names: Vec<HoleName>,
}

impl SharedHole {
    pub(super) fn at(&self) -> Point2 {
        self.hole.at
    }

    /// The box round it with this much room.
    pub(super) fn reach(&self, room: f64) -> (Point2, Point2) {
        let reach = Vector2::repeat(self.hole.diameter / 2.0 + room);
        (self.hole.at - reach, self.hole.at + reach)
    }
}

/// Names of a hole, each with the lines that have it so.
type Names = Vec<(String, Vec<usize>)>;

/// The different holes of lines, which are `called` so, outermost first; where not all have one its name says
/// which do.
pub(super) fn shared(lines: &[(&[DrawnHole], &str)], unit: Unit) -> Vec<SharedHole> {
    let mut found: Vec<(DrawnHole, Names)> = Vec::new();
    for (n, (holes, _)) in lines.iter().enumerate() {
        for hole in *holes {
            let k = found.iter().position(|(h, _)| h.is_same(hole));
            let k = k.unwrap_or_else(|| {
                found.push((hole.clone(), Vec::new()));
                found.len() - 1
            });
            let names = &mut found[k].1;
            match names.iter_mut().find(|(name, _)| *name == hole.name) {
                Some((_, of)) => of.push(n),
                None => names.push((hole.name.clone(), vec![n])),
            }
        }
    }
    found
        .into_iter()
        .map(|(hole, names)| {
            let names = names.into_iter().map(|(name, of)| {
                let name = match hole.side {
                    FoldSide::Whole | FoldSide::Both => name,
                    FoldSide::Right => format!("{name} RIGHT"),
                    FoldSide::Left => format!("{name} LEFT"),
                };
                let only = if of.len() < lines.len() {
                    let numbers: Vec<&str> = of.iter().map(|&n| lines[n].1).collect();
                    format!(": {} only", numbers.join(", "))
                } else {
                    String::new()
                };
                let diameter = dia(hole.diameter, unit);
                let bare = unit.drill_bare(hole.diameter);
                HoleName {
                    long: format!("{name} {diameter}{only}").trim().to_owned(),
                    middling: if name.is_empty() {
                        diameter.clone()
                    } else {
                        format!("{name} {bare}{only}")
                    },
                    short: if name.is_empty() {
                        diameter
                    } else {
                        format!("{name}{only}")
                    },
                    of,
                }
            });
            SharedHole {
                names: names.collect(),
                hole,
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geom::Outline;
    use crate::stack::PieceId;

    fn piece(holes: &[(&str, f64, f64)]) -> Piece {
        let holes = holes.iter().map(|&(name, x, y)| Hole::Round {
            through: Some(if name == "pole" {
                Through::Pole
            } else {
                Through::Dowel(name.to_owned())
            }),
            at: Point2::new(x, y),
            diameter: if name == "pole" { 25.3 } else { 8.3 },
        });
        Piece {
            holes: holes.collect(),
            ..Piece::blank(PieceId::layer(1), Outline::default(), vec![])
        }
    }

    #[test]
    fn holes_of_both_sides_are_told_apart_or_drawn_once() {
        let pole = ("pole", 0.0, -10.0);
        for (left, folds) in [
            ((-80.0, 5.0), true),
            ((-80.2, 5.1), true),
            ((-75.0, 5.0), false),
            ((-80.0, 22.0), true),
            ((-6.0, 40.0), false),
        ] {
            let piece = piece(&[pole, ("A", left.0, left.1), ("B", 80.0, 5.0)]);
            assert_eq!(can_be_folded(&piece), folds, "{left:?}");
        }
        let both = drawn(&piece(&[pole, ("A", -80.2, 5.1), ("B", 80.0, 5.0)]), true);
        let sides: Vec<FoldSide> = both.iter().map(|h| h.side).collect();
        assert_eq!(sides, [FoldSide::Whole, FoldSide::Both]);
        let apart = drawn(&piece(&[("A", -80.0, 40.0), ("B", 80.0, 5.0)]), true);
        assert_eq!(apart[0].side, FoldSide::Left);
        assert!(apart[0].at.x > 0.0 && !apart[0].is_same(&apart[1]));
        // On a whole template nothing is turned over.
        let whole = drawn(&piece(&[("A", -80.0, 40.0)]), false);
        assert_eq!((whole[0].side, whole[0].at.x), (FoldSide::Whole, -80.0));
    }

    #[test]
    fn names_say_which_layers_have_a_hole() {
        let outer = drawn(&piece(&[("A", 30.0, 5.0), ("B", 60.0, 5.0)]), false);
        let inner = drawn(&piece(&[("A", 30.0, 5.0), ("F", 0.0, 40.0)]), false);
        let all = shared(&[(&outer, "66"), (&inner, "41")], Unit::Mm);
        let names: Vec<(&str, &str)> = all
            .iter()
            .flat_map(|h| &h.names)
            .map(|n| (n.long.as_str(), n.short.as_str()))
            .collect();
        assert_eq!(
            names,
            [
                ("A dia. 8.3", "A"),
                ("B dia. 8.3: 66 only", "B: 66 only"),
                ("F dia. 8.3: 41 only", "F: 41 only"),
            ]
        );
        // One place, another dowel: the hole is one and has a name for each.
        let other = drawn(&piece(&[("C", 30.0, 5.0)]), false);
        let all = shared(&[(&outer, "66"), (&other, "41")], Unit::Mm);
        let names: Vec<&str> = all[0].names.iter().map(|n| n.short.as_str()).collect();
        assert_eq!(names, ["A: 66 only", "C: 41 only"]);
    }
}
