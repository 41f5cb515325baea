//! What plain sums say: the front of a girth and its back, left against right, three readings of which
//! one bridges the other two.

use crate::error::{Finding, Severity};
use crate::measure::{Kind, Measure, Side};
use crate::sheet::check::{Facts, OneReading, say};
use crate::sheet::doubt_parts::{Front, FrontMeant, SideSlip};
use crate::sheet::doubts::ReadingFact;
use crate::sheet::slip::swapped_digits;
use crate::sheet::{Figure, Given};
use crate::tolerance::{
    HALVES_DIFFER_TOLERANCE, SIDES_DIFFER_TOLERANCE_MM, SIDES_DIFFER_TOLERANCE_RAD,
};

use Measure as M;

/// The part of a girth that lies between the side lines in front. Our choice: on the forms of every size
/// profile, of late pregnancy and of a very large cup it is 0.48 to 0.59.
const FRONT: Share = Share {
    possible: [0.2, 0.8],
    usual: [0.4, 0.68],
};
/// The same of one side of it, from the centre front to a side line; sides may differ.
const HALF_FRONT: Share = Share {
    possible: [0.06, 0.44],
    usual: [0.17, 0.37],
};

/// A part of a whole: what some body may have, and what is not asked about.
struct Share {
    possible: [f64; 2],
    usual: [f64; 2],
}

impl Share {
    /// How grave it is that a reading is so much of `whole`, and whether it is too much; nothing where
    /// it is usual.
    fn judge(&self, part: OneReading<'_>, whole: OneReading<'_>) -> Option<(Severity, bool)> {
        let least = (part.value - part.within) / (whole.value + whole.within);
        let most = (part.value + part.within) / (whole.value - whole.within).max(1.0);
        let beyond = |[low, high]: [f64; 2]| (least > high || most < low).then_some(least > high);
        let refused = beyond(self.possible).map(|much| (Severity::Refusal, much));
        refused.or_else(|| beyond(self.usual).map(|much| (Severity::Warning, much)))
    }
}

/// The front part of each girth against the whole: as one arc, or as two halves and their sum.
pub(super) fn front_arcs(facts: &Facts<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    for (arc, girth) in [
        (M::ArcFrontBust, M::GirthBust),
        (M::ArcFrontWaist, M::GirthWaist),
        (M::ArcFrontHip, M::GirthHip),
    ] {
        let Some(girth) = facts.get(girth) else {
            continue;
        };
        let halves: Vec<OneReading<'_>> = facts
            .given
            .iter()
            .filter(|g| g.measure == arc)
            .map(OneReading::of)
            .filter(|r| r.is_half_arc())
            .collect();
        if let Some(whole) = facts.get(arc)
            && let Some(said) = front(facts, whole, &halves, girth)
        {
            found.push(said);
            continue;
        }
        found.extend(
            halves
                .iter()
                .filter_map(|half| half_front(facts, *half, girth)),
        );
    }
    found
}

/// Whether a value is a usual front of a girth as it stands.
fn is_whole_front(value: f64, girth: OneReading<'_>) -> bool {
    let [low, high] = FRONT.usual;
    (low..=high).contains(&(value / girth.value))
}

/// The whole front, from side line to side line, of which the halves may have been given.
fn front(
    facts: &Facts<'_>,
    arc: OneReading<'_>,
    halves: &[OneReading<'_>],
    girth: OneReading<'_>,
) -> Option<Finding> {
    let (severity, much) = FRONT.judge(arc, girth)?;
    let shown = |value: f64| facts.shown(arc.measure, value);
    let subject = match halves {
        [left, right] => Front::Halves(shown(left.value), shown(right.value)),
        _ => Front::Whole(facts.named(arc)),
    };
    let each_whole = halves.iter().all(|h| is_whole_front(h.value, girth));
    let meant = match halves {
        [left, _] if each_whole => FrontMeant::WholeTwice(shown(left.value)),
        [_, _] => FrontMeant::NoHalves,
        _ if is_whole_front(2.0 * arc.value, girth) => FrontMeant::Half(shown(arc.value)),
        _ => FrontMeant::NoWhole,
    };
    let left = girth.value - arc.value;
    let nobody = severity == Severity::Refusal;
    let (front, whole) = (subject, facts.named(girth));
    let fact = if much && nobody && left <= 0.0 {
        ReadingFact::NothingBehind {
            front,
            girth: whole,
            meant,
        }
    } else if much {
        ReadingFact::LittleBehind {
            front,
            left: facts.shown(girth.measure, left),
            girth: whole,
            nobody,
            meant,
        }
    } else {
        ReadingFact::LittleInFront {
            front,
            share: arc.value / girth.value,
            girth: whole,
            nobody,
            meant,
        }
    };
    Some(say(severity, arc, fact))
}

/// One side of the front, from the centre front to a side line.
fn half_front(facts: &Facts<'_>, half: OneReading<'_>, girth: OneReading<'_>) -> Option<Finding> {
    let (severity, _) = HALF_FRONT.judge(half, girth)?;
    let fact = ReadingFact::HalfInFront {
        half: facts.named(half),
        share: half.value / girth.value,
        girth: facts.named(girth),
        nobody: severity == Severity::Refusal,
        whole: is_whole_front(half.value, girth),
    };
    Some(say(severity, half, fact))
}

/// Left against right.
pub(super) fn sides(facts: &Facts<'_>, doubted: &[Measure], found: &mut Vec<Finding>) {
    let left = facts.given.iter().filter(|g| g.side == Side::Left);
    for left in left.filter(|g| !doubted.contains(&g.measure)) {
        let right = facts
            .given
            .iter()
            .find(|g| g.side == Side::Right && g.measure == left.measure);
        let Some(right) = right else { continue };
        let limit = match left.measure.kind() {
            Kind::Slope => SIDES_DIFFER_TOLERANCE_RAD,
            // One breast of two may be flat.
            Kind::Arc => HALVES_DIFFER_TOLERANCE * (left.value + right.value) / 2.0,
            _ => SIDES_DIFFER_TOLERANCE_MM,
        };
        if (left.value - right.value).abs() > limit {
            let shown = |value: f64| facts.shown(left.measure, value);
            let fact = ReadingFact::SidesApart {
                left: shown(left.value),
                right: shown(right.value),
                most: limit,
                slip: digits_of_one(facts, left.measure, left.value, right.value, limit),
            };
            let finding = Finding::of(Severity::Warning, fact);
            found.push(finding.about(left.measure).at(right.place.clone()));
        }
    }
}

/// Left and right that differ by no more than hands do, where nothing else tells the sides apart: one value would
/// make an even form. Values in `doubted` were spoken of already.
pub(super) fn alike(facts: &Facts<'_>) -> Option<Finding> {
    // Who is sure, or has other differences, keeps them.
    let kept = |g: &Given| g.measure.kind() == Kind::Plumb || g.side != Side::Both && g.sure;
    let sided = facts.given.iter().any(kept);
    let mut pairs = Vec::new();
    for left in facts.given.iter().filter(|g| g.side != Side::Both) {
        let other = |g: &&Given| g.measure == left.measure && g.side != left.side;
        let right = facts.given.iter().find(other)?;
        if (left.value - right.value).abs() > left.measure.readings_limit() {
            return None;
        }
        if left.side == Side::Left {
            pairs.push((left, right));
        }
    }
    let (first, _) = pairs.first().filter(|_| !sided)?;
    let shown = |g: &Given| facts.shown(g.measure, g.value);
    let fact = ReadingFact::SidesAlike {
        pairs: pairs.iter().map(|(l, r)| [shown(l), shown(r)]).collect(),
    };
    let finding = Finding::of(Severity::Note, fact);
    Some(finding.about(first.measure).at(first.place.clone()))
}

/// Two digits swapped on one side, which would bring it near to the other.
fn digits_of_one(
    facts: &Facts<'_>,
    measure: Measure,
    left: f64,
    right: f64,
    limit: f64,
) -> Option<SideSlip> {
    if measure == Measure::SlopeShoulder {
        return None;
    }
    let mended = |value: f64, other: f64| {
        swapped_digits(value, facts.unit)
            .into_iter()
            .find(|v| (v - other).abs() <= limit)
    };
    match (mended(left, right), mended(right, left)) {
        (Some(value), None) => Some(SideSlip::Left(value)),
        (None, Some(value)) => Some(SideSlip::Right(value)),
        (Some(_), Some(_)) => Some(SideSlip::Either),
        (None, None) => None,
    }
}

/// A length along the body and the heights of its ends: so much longer than the way straight down it is
/// on nobody. The most of 8,635 people of the 1988 and 2012 US Army surveys, mm, and the limit, wider by
/// our choice: backs that stoop and large cups are rarer among soldiers than elsewhere.
const LONGEST_WAYS: [(Measure, Measure, Measure, f64, f64); 3] = [
    (
        M::LengthBackWaist,
        M::HeightNape,
        M::HeightWaist,
        80.0,
        110.0,
    ),
    (
        M::LengthScyeDepth,
        M::HeightNape,
        M::HeightArmpit,
        55.0,
        90.0,
    ),
    (
        M::LengthSideNeckToBust,
        M::HeightSideNeck,
        M::HeightBust,
        98.0,
        160.0,
    ),
];

/// Both shoulders and half of the neck base reach so much further than the breadth of the shoulder bones
/// on all of 8,635 people of the two surveys, mm.
const BRIDGED_SEEN: [f64; 2] = [34.0, 189.0];
/// The limits are wider by our choice.
const BRIDGED: [f64; 2] = [15.0, 215.0];
/// Less than this is not a body: half the neck base is at least as long as the neck is broad there.
const NOT_BRIDGED_MM: f64 = -30.0;

/// Three readings of which one bridges the other two, where it is too long or too short for them. For
/// adults: no survey of children has all three.
pub(super) fn unusual<'a>(
    facts: &Facts<'_>,
    get: &impl Fn(Measure) -> Option<OneReading<'a>>,
    found: &mut Vec<Finding>,
) {
    if facts
        .averages
        .parts()
        .any(|(figure, _)| figure == Figure::Child)
    {
        return;
    }
    for (length, upper, lower, most, limit) in LONGEST_WAYS {
        let (Some(length), Some(upper), Some(lower)) = (get(length), get(upper), get(lower)) else {
            continue;
        };
        let longer = length.value - (upper.value - lower.value);
        let doubt = length.within + upper.within + lower.within;
        if longer - doubt > limit {
            found.push(say(
                Severity::Warning,
                length,
                ReadingFact::LongWay {
                    length: facts.named(length),
                    longer: facts.shown(length.measure, longer),
                    upper: facts.named(upper),
                    lower: facts.named(lower),
                    most: facts.shown(length.measure, most),
                },
            ));
        }
    }
    if let (Some(shoulder), Some(neck), Some(bones)) = (
        get(M::LengthShoulder),
        get(M::GirthNeckBase),
        get(M::BreadthBiacromial),
    ) {
        shoulders(facts, shoulder, neck, bones, found);
    }
}

/// The shoulders and the neck between them against the breadth of the shoulder bones.
fn shoulders(
    facts: &Facts<'_>,
    shoulder: OneReading<'_>,
    neck: OneReading<'_>,
    bones: OneReading<'_>,
    found: &mut Vec<Finding>,
) {
    let way = 2.0 * shoulder.value + neck.value / 2.0;
    let doubt = 2.0 * shoulder.within + neck.within / 2.0 + bones.within;
    let further = way - bones.value;
    let [low, high] = BRIDGED;
    let short = further + doubt < low;
    if !short && further - doubt <= high {
        return;
    }
    let severity = if further + doubt < NOT_BRIDGED_MM {
        Severity::Refusal
    } else {
        Severity::Warning
    };
    found.push(say(
        severity,
        bones,
        ReadingFact::OddShoulders {
            bones: facts.named(bones),
            wide: short,
            shoulder: facts.named(shoulder),
            neck: facts.named(neck),
            way: facts.shown(bones.measure, way),
            usual: BRIDGED_SEEN.map(|v| facts.shown(bones.measure, v)),
        },
    ));
}
