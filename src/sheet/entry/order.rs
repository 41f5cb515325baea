//! In which order a helper takes the measurements: round the body from the top down, then the back,
//! the front, at the wall, and last with books and set square (common practice, no source).

use crate::measure::Measure;
use crate::measure::Measure as M;
use crate::sheet::Figure;

/// How much is asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Depth {
    /// What no form can be made without, and what tells most besides.
    Few,
    /// What tells most of the shape for the trouble.
    Usual,
    /// Everything that a sheet can hold.
    All,
}

/// Measurements taken one after another without moving.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Round {
    /// What this round is.
    pub title: &'static str,
    /// What to make ready before it: [`ready`](super::ready) puts it together.
    pub(super) ready: &'static str,
    /// Where the elastic round the natural waist goes, if it is tied for this round.
    pub(super) waist: &'static str,
    /// What comes after that.
    pub(super) then: &'static str,
    /// What is taken, in order.
    pub measures: &'static [Measure],
}

/// Every measurement that a sheet can hold, in the order of taking.
pub const ROUNDS: [Round; 5] = [
    Round {
        title: "round the body",
        ready: "stand erect, feet together, shoulders easy, arms hanging, in the underclothes that \
                the form will wear, no shoes; tie a narrow elastic round the waist, ",
        waist: "bend sideways and let it settle",
        then: "; a tape that does not stretch, snug, not denting the flesh, level \
                all round; read it at the end of a breath out",
        measures: &[
            M::GirthNeck,
            M::GirthNeckBase,
            M::GirthShoulder,
            M::GirthUpperChest,
            M::GirthBust,
            M::GirthUnderbust,
            M::GirthWaist,
            M::GirthAbdomen,
            M::GirthTopHip,
            M::GirthHip,
            M::GirthThigh,
            M::GirthArmscye,
            M::GirthUpperArm,
        ],
    },
    Round {
        title: "down the back",
        ready: "leave the elastic at the waist; mark with a washable pencil the bony point of the \
                nape, both shoulder points and where neck and shoulders meet",
        waist: "",
        then: "",
        measures: &[
            M::LengthBackWaist,
            M::LengthScyeDepth,
            M::LengthAcrossBack,
            M::LengthShoulder,
            M::SlopeShoulder,
        ],
    },
    Round {
        title: "down the front and the sides",
        ready: "chalk both side lines from the armpit straight down to the hip if arcs are taken",
        waist: "",
        then: "",
        measures: &[
            M::LengthFrontWaist,
            M::LengthSideNeckToBust,
            M::LengthSideNeckToWaist,
            M::LengthBustPointWidth,
            M::LengthAcrossFront,
            M::LengthWaistToHip,
            M::ArcFrontBust,
            M::ArcFrontWaist,
            M::ArcFrontHip,
        ],
    },
    Round {
        title: "at the wall",
        ready: "heels and seat to a wall without a skirting board, standing easy; a rule that stands \
                on the floor, a set square or a box, and for a body that leans a weight on a thread",
        waist: "",
        then: "",
        measures: &[
            M::HeightStature,
            M::HeightNape,
            M::HeightSideNeck,
            M::HeightShoulder,
            M::HeightArmpit,
            M::HeightBust,
            M::HeightUnderbust,
            M::HeightWaist,
            M::HeightTopHip,
            M::HeightHip,
            M::HeightCrotch,
            M::WallNape,
            M::WallBlade,
            M::WallWaist,
            M::WallSeat,
            M::PlumbWaist,
            M::PlumbSeat,
        ],
    },
    Round {
        title: "straight across and straight through",
        ready: "two hard-backed books held upright and parallel, touching and not pressing; for the \
                depths the wall and the set square",
        waist: "",
        then: "",
        measures: &[
            M::BreadthNeck,
            M::BreadthBiacromial,
            M::BreadthBust,
            M::BreadthUnderbust,
            M::BreadthWaist,
            M::BreadthTopHip,
            M::BreadthHip,
            M::DepthBust,
            M::DepthUnderbust,
            M::DepthWaist,
            M::DepthTopHip,
            M::DepthHip,
        ],
    },
];

/// Asked of everybody.
const FEW: [Measure; 7] = [
    M::GirthNeck,
    M::GirthBust,
    M::GirthUnderbust,
    M::GirthWaist,
    M::GirthHip,
    M::LengthBackWaist,
    M::HeightStature,
];

/// Asked besides, unless few are wanted: what a fit to average bodies gains most from, measured by
/// how sure it makes the surface, and what a garment is cut by (across back, shoulder).
const USUAL: [Measure; 13] = [
    M::GirthUpperChest,
    M::GirthTopHip,
    M::LengthAcrossBack,
    M::LengthShoulder,
    M::SlopeShoulder,
    M::LengthFrontWaist,
    M::LengthSideNeckToBust,
    M::LengthBustPointWidth,
    M::LengthWaistToHip,
    M::WallNape,
    M::WallWaist,
    M::DepthWaist,
    M::DepthHip,
];

/// Not asked of a child, who keeps still for few readings and has no bust point.
const NOT_OF_CHILDREN: [Measure; 5] = [
    M::GirthUnderbust,
    M::LengthBustPointWidth,
    M::LengthSideNeckToBust,
    M::LengthSideNeckToWaist,
    M::ArcFrontBust,
];

/// What is asked about this figure, in order, each with its round.
#[must_use]
pub fn asked(figure: Figure, depth: Depth) -> Vec<(&'static Round, Measure)> {
    let wanted = |m: &Measure| match depth {
        Depth::All => true,
        Depth::Usual => FEW.contains(m) || USUAL.contains(m),
        Depth::Few => FEW.contains(m),
    };
    let of_figure = |m: &Measure| figure != Figure::Child || !NOT_OF_CHILDREN.contains(m);
    ROUNDS
        .iter()
        .flat_map(|round| round.measures.iter().map(move |m| (round, *m)))
        .filter(|(_, m)| wanted(m) && of_figure(m))
        .collect()
}

/// Whether no form can be made without it. A back waist length and a stature stand for each other.
#[must_use]
pub const fn needed(measure: Measure) -> Need {
    match measure {
        M::GirthBust | M::GirthWaist | M::GirthHip => Need::Always,
        M::LengthBackWaist => Need::Unless(M::HeightStature),
        M::HeightStature => Need::Unless(M::LengthBackWaist),
        _ => Need::No,
    }
}

/// How much a form needs a measurement.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// It is estimated where it is left out.
    No,
    /// There is no form without it.
    Always,
    /// There is no form without it or the other one.
    Unless(Measure),
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn everything_that_a_sheet_can_hold_is_asked_once() {
        let mut all: Vec<Measure> = asked(Figure::Woman, Depth::All)
            .into_iter()
            .map(|(_, m)| m)
            .collect();
        all.sort_unstable();
        let mut wanted: Vec<Measure> = M::ALL.into_iter().filter(|m| m.is_sheet_key()).collect();
        wanted.sort_unstable();
        assert_eq!(all, wanted);
    }

    #[test]
    fn what_no_form_can_be_made_without_is_always_asked() {
        for figure in [Figure::Woman, Figure::Man, Figure::Child] {
            let few: Vec<Measure> = asked(figure, Depth::Few).iter().map(|a| a.1).collect();
            for m in [
                M::GirthBust,
                M::GirthWaist,
                M::GirthHip,
                M::LengthBackWaist,
                M::HeightStature,
            ] {
                assert!(few.contains(&m), "{m}");
            }
            let usual = asked(figure, Depth::Usual);
            assert!(usual.len() > few.len() && usual.len() < asked(figure, Depth::All).len());
        }
    }
}
