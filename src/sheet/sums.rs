//! What plain sums say: the front of a girth and its back, left against right, three readings of which
//! one bridges the other two.

use crate::error::Finding;
use crate::error::Severity;
use crate::measure::Measure;
use crate::measure::Side;
use crate::sheet::Figure;
use crate::sheet::check::Facts;
use crate::sheet::check::Reading;
use crate::sheet::check::key;
use crate::sheet::check::say;
use crate::sheet::rules;
use crate::tolerance::SIDES_DIFFER_TOLERANCE_MM;
use crate::tolerance::SIDES_DIFFER_TOLERANCE_RAD;
use crate::units;

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
    fn judge(&self, part: Reading<'_>, whole: Reading<'_>) -> Option<(Severity, bool)> {
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
        let halves: Vec<Reading<'_>> = facts
            .given
            .iter()
            .filter(|g| g.measure == arc)
            .map(Reading::of)
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
fn is_whole_front(value: f64, girth: Reading<'_>) -> bool {
    let [low, high] = FRONT.usual;
    (low..=high).contains(&(value / girth.value))
}

/// The whole front, from side line to side line, of which the halves may have been given.
fn front(
    facts: &Facts<'_>,
    arc: Reading<'_>,
    halves: &[Reading<'_>],
    girth: Reading<'_>,
) -> Option<Finding> {
    let (severity, much) = FRONT.judge(arc, girth)?;
    let whole = facts.named(girth);
    let subject = match halves {
        [left, right] => format!(
            "`{}`, {} on the left and {} on the right,",
            key(arc.measure),
            facts.show(arc.measure, left.value),
            facts.show(arc.measure, right.value)
        ),
        _ => facts.named(arc),
    };
    let left_over = girth.value - arc.value;
    let message = match (severity, much) {
        (Severity::Refusal, true) if left_over <= 0.0 => {
            format!("{subject} leaves nothing of {whole} for the back")
        }
        (_, true) => format!(
            "{subject} leaves {} of {whole} for the back, {}",
            facts.show(girth.measure, left_over),
            seldom(severity)
        ),
        (_, false) => format!(
            "{subject} is {} of {whole}, {} in front",
            units::fixed(arc.value / girth.value, 2),
            seldom(severity)
        ),
    };
    let each_whole = halves.iter().all(|h| is_whole_front(h.value, girth));
    let (_, name) = arc.measure.table_and_key();
    let hint = match halves {
        [left, _] if each_whole => format!(
            "is each of them the whole front? then give one value, without left and right: `{name} = {}`",
            facts.unit.show_bare(left.value)
        ),
        [_, _] => {
            "left and right run each from the centre front to its side line: together they are \
                   usually a little more than half of the girth"
                .to_owned()
        }
        _ if is_whole_front(2.0 * arc.value, girth) => format!(
            "is it one side of the front? write the whole, from side line to side line, or `{name} = {{ \
             left = {0}, right = {0} }}`",
            facts.unit.show_bare(arc.value)
        ),
        _ => {
            "the arc is the front part of the girth, from side line to side line: usually a little \
              more than half"
                .to_owned()
        }
    };
    Some(say(severity, arc, message, hint))
}

/// One side of the front, from the centre front to a side line.
fn half_front(facts: &Facts<'_>, half: Reading<'_>, girth: Reading<'_>) -> Option<Finding> {
    let (severity, _) = HALF_FRONT.judge(half, girth)?;
    let message = format!(
        "{} is {} of {}, {} on one side of the front",
        facts.named(half),
        units::fixed(half.value / girth.value, 2),
        facts.named(girth),
        seldom(severity)
    );
    let hint = if is_whole_front(half.value, girth) {
        let (_, name) = half.measure.table_and_key();
        format!(
            "is it the whole front? then give it without left and right: `{name} = {}`",
            facts.unit.show_bare(half.value)
        )
    } else {
        "left and right run each from the centre front to its side line: about a quarter of the girth"
            .to_owned()
    };
    Some(say(severity, half, message, hint))
}

const fn seldom(severity: Severity) -> &'static str {
    match severity {
        Severity::Refusal => "which nobody has",
        _ => "which few have",
    }
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
        let limit = if left.measure == Measure::SlopeShoulder {
            SIDES_DIFFER_TOLERANCE_RAD
        } else {
            SIDES_DIFFER_TOLERANCE_MM
        };
        if (left.value - right.value).abs() > limit {
            let show = |value: f64| facts.show(left.measure, value);
            let hint = digits_of_one(facts, left.measure, left.value, right.value, limit)
                .unwrap_or_else(|| {
                    format!(
                        "left and right are the wearer's own, and seldom more than {} apart; read both \
                         again, leave them if they are right",
                        show(limit)
                    )
                });
            let finding = Finding::new(
                Severity::Warning,
                format!(
                    "`{}` is {} on the left and {} on the right",
                    key(left.measure),
                    show(left.value),
                    show(right.value)
                ),
                hint,
            );
            found.push(finding.about(left.measure).at(right.place.clone()));
        }
    }
}

/// Two digits swapped on one side, which would bring it near to the other.
fn digits_of_one(
    facts: &Facts<'_>,
    measure: Measure,
    left: f64,
    right: f64,
    limit: f64,
) -> Option<String> {
    if measure == Measure::SlopeShoulder {
        return None;
    }
    let mended = |value: f64, other: f64| {
        rules::swapped_digits(facts.unit.from_mm(value))
            .into_iter()
            .map(|v| facts.unit.to_mm(v))
            .find(|v| (v - other).abs() <= limit)
    };
    let (side, value) = match (mended(left, right), mended(right, left)) {
        (Some(value), None) => ("left", value),
        (None, Some(value)) => ("right", value),
        (Some(_), Some(_)) => {
            return Some("are two digits swapped on one side? read both again".to_owned());
        }
        (None, None) => return None,
    };
    Some(format!(
        "are two digits swapped on the {side}? {} would go with the other side; else read both again",
        facts.unit.show(value)
    ))
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

/// Both shoulders and half of the neck base reach so much further than the breadth of the shoulder
/// bones: 34 to 189 mm on all of 8,635 people of the two surveys; the limits are wider by our choice.
const BRIDGED: [f64; 2] = [15.0, 215.0];
/// Less than this is no body: half the neck base is at least as long as the neck is broad there.
const NOT_BRIDGED_MM: f64 = -30.0;

/// Three readings of which one bridges the other two, where it is too long or too short for them. For
/// adults: no survey of children has all three.
pub(super) fn unusual<'a>(
    facts: &Facts<'_>,
    get: &impl Fn(Measure) -> Option<Reading<'a>>,
    found: &mut Vec<Finding>,
) {
    if facts.figure == Figure::Child {
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
                format!(
                    "{} is {} longer than the way straight down from {} to {}",
                    facts.named(length),
                    facts.show(length.measure, longer),
                    facts.named(upper),
                    facts.named(lower)
                ),
                format!(
                    "it was {} at the most on everybody in the 1988 and 2012 US Army surveys: read the \
                     three again; leave them if they are right",
                    facts.show(length.measure, most)
                ),
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
    shoulder: Reading<'_>,
    neck: Reading<'_>,
    bones: Reading<'_>,
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
        format!(
            "{} is too {} for the shoulders: twice {} and half of {} are {}",
            facts.named(bones),
            if short { "wide" } else { "narrow" },
            facts.named(shoulder),
            facts.named(neck),
            facts.show(bones.measure, way)
        ),
        format!(
            "those are {} to {} more than the bones on everybody in the 1988 and 2012 US Army surveys: \
             read the three again",
            facts.show(bones.measure, 34.0),
            facts.show(bones.measure, 189.0)
        ),
    ));
}
