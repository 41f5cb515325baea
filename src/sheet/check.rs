//! What cannot be true of any body, by geometry alone.
//!
//! A section of given breadth `B` and depth `D` has a tape girth (the perimeter of its convex hull)
//! of at least `2·√(B² + D²)`, the tape round two crossed straight lines, and of at most
//! `2·(B + D)`, the tape round the box about it. A taut length is at least the straight distance
//! of its ends. Each limit is opened by the half-widths that the sheet states.

use crate::error::Finding;
use crate::error::Severity;
use crate::measure::Kind;
use crate::measure::Measure;
use crate::measure::Side;
use crate::sheet::Figure;
use crate::sheet::Given;
use crate::sheet::Shape;
use crate::sheet::WaistKind;
use crate::tolerance::LENGTH_READING_TOLERANCE_MM;
use crate::tolerance::LENGTH_REFUSED_TOLERANCE_MM;
use crate::tolerance::LEVEL_OVERLAP_TOLERANCE_MM;
use crate::units;
use crate::units::Unit;

/// What the sheet says, as far as it could be read.
pub(super) struct Facts<'a> {
    pub(super) given: &'a [Given],
    pub(super) unit: Unit,
    pub(super) figure: Figure,
    pub(super) waist: WaistKind,
    pub(super) supported: bool,
    pub(super) shape: Shape,
}

/// One measurement: of the whole body, the mean of left and right where both are given, of an arc
/// their sum; or of one side.
#[derive(Clone, Copy)]
pub(super) struct Reading<'a> {
    pub(super) measure: Measure,
    pub(super) side: Side,
    pub(super) value: f64,
    /// Half-width that the sheet states, or 0.
    pub(super) within: f64,
    pub(super) given: &'a Given,
}

impl<'a> Reading<'a> {
    /// What is read on the side that the sheet names.
    pub(super) fn of(given: &'a Given) -> Self {
        Self {
            measure: given.measure,
            side: given.side,
            value: given.value,
            within: given.within.unwrap_or(0.0),
            given,
        }
    }

    /// Whether it is half of an arc, from the centre front to one side line.
    pub(super) fn is_half_arc(self) -> bool {
        self.measure.kind() == Kind::Arc && self.side != Side::Both
    }
}

impl<'a> Facts<'a> {
    pub(super) fn get(&self, measure: Measure) -> Option<Reading<'a>> {
        let mut all = self.given.iter().filter(|g| g.measure == measure);
        let first = Reading::of(all.next()?);
        let mut sum = first.value;
        let mut within = first.within;
        let mut count = 1.0;
        for g in all {
            sum += g.value;
            within += g.within.unwrap_or(0.0);
            count += 1.0;
        }
        let (value, within) = match measure.kind() {
            // Half of an arc tells nothing of the other.
            Kind::Arc if first.is_half_arc() && count < 1.5 => return None,
            Kind::Arc => (sum, within),
            _ => (sum / count, first.within),
        };
        Some(Reading {
            side: Side::Both,
            value,
            within,
            ..first
        })
    }

    /// A value in the person's unit.
    pub(super) fn show(&self, measure: Measure, value: f64) -> String {
        show(measure, value, self.unit)
    }

    /// `` `girth.bust` (96.5 cm) ``.
    pub(super) fn named(&self, reading: Reading<'_>) -> String {
        format!(
            "`{}{}` ({})",
            key(reading.measure),
            match reading.side {
                Side::Both => "",
                Side::Left => ".left",
                Side::Right => ".right",
            },
            self.show(reading.measure, reading.value)
        )
    }
}

/// The key under which a sheet holds it.
pub(super) fn key(measure: Measure) -> &'static str {
    if measure == Measure::ShoulderDrop {
        Measure::SlopeShoulder.key()
    } else {
        measure.key()
    }
}

/// A value in the person's unit; a slope in degrees.
pub(super) fn show(measure: Measure, value: f64, unit: Unit) -> String {
    if measure.kind() == Kind::Slope && measure != Measure::ShoulderDrop {
        units::show_degrees(value)
    } else {
        unit.show(value)
    }
}

/// Two values in the person's unit.
pub(super) fn show_range(measure: Measure, [low, high]: [f64; 2], unit: Unit) -> String {
    format!(
        "{} to {}",
        show(measure, low, unit),
        show(measure, high, unit)
    )
}

/// A finding about `reading`, pointing at it.
pub(super) fn say(
    severity: Severity,
    reading: Reading<'_>,
    message: String,
    hint: impl Into<String>,
) -> Finding {
    Finding::new(severity, message, hint)
        .about(reading.measure)
        .at(reading.given.place.clone())
}

/// Everything that contradicts geometry.
pub(super) fn impossible(facts: &Facts<'_>) -> Vec<Finding> {
    let mut found = Vec::new();
    sections(facts, &mut found);
    heights(facts, &mut found);
    lengths(facts, &mut found);
    found
}

/// Girth, breadth and depth of one level.
fn sections(facts: &Facts<'_>, found: &mut Vec<Finding>) {
    use Measure as M;
    for (girth, breadth, depth) in [
        (M::GirthNeck, M::BreadthNeck, None),
        (M::GirthBust, M::BreadthBust, Some(M::DepthBust)),
        (
            M::GirthUnderbust,
            M::BreadthUnderbust,
            Some(M::DepthUnderbust),
        ),
        (M::GirthWaist, M::BreadthWaist, Some(M::DepthWaist)),
        (M::GirthTopHip, M::BreadthTopHip, Some(M::DepthTopHip)),
        (M::GirthHip, M::BreadthHip, Some(M::DepthHip)),
    ] {
        let Some(girth) = facts.get(girth) else {
            continue;
        };
        let breadth = facts.get(breadth);
        let depth = depth.and_then(|m| facts.get(m));
        let most = girth.value + girth.within;
        let mut too_long = false;
        for extent in [breadth, depth].into_iter().flatten() {
            if 2.0 * (extent.value - extent.within) > most {
                too_long = true;
                found.push(say(
                    Severity::Refusal,
                    extent,
                    format!(
                        "{} is more than half of {}",
                        facts.named(extent),
                        facts.named(girth)
                    ),
                    "a tape goes there and back again, so a girth is at least twice the breadth \
                     and twice the depth: read both again",
                ));
            }
        }
        let (Some(b), Some(d)) = (breadth, depth) else {
            continue;
        };
        if too_long {
            continue;
        }
        let least = 2.0 * libm::hypot(b.value - b.within, d.value - d.within);
        let box_round = 2.0 * (b.value + b.within + d.value + d.within);
        let wrong = if least > most {
            Some(("less than the least", least))
        } else if box_round < girth.value - girth.within {
            Some(("more than the most", box_round))
        } else {
            None
        };
        if let Some((how, limit)) = wrong {
            let hint = if girth.measure == M::GirthBust && box_round < girth.value {
                "read the breadth again over the flesh, not on the ribs, and the depth to the \
                 front of the bust; or widen the readings with `within`"
            } else {
                "read the three again at the same level, or widen them with `within`"
            };
            found.push(say(
                Severity::Refusal,
                girth,
                format!(
                    "{} is {how} that fits round {} and {}: {}",
                    facts.named(girth),
                    facts.named(b),
                    facts.named(d),
                    facts.show(girth.measure, limit)
                ),
                hint,
            ));
        }
    }
}

/// The levels in their order, from the top down.
fn heights(facts: &Facts<'_>, found: &mut Vec<Finding>) {
    use Measure as M;
    const ORDER: [Measure; 10] = [
        M::HeightStature,
        M::HeightNape,
        M::HeightShoulder,
        M::HeightArmpit,
        M::HeightBust,
        M::HeightUnderbust,
        M::HeightWaist,
        M::HeightTopHip,
        M::HeightHip,
        M::HeightCrotch,
    ];
    let chain: Vec<Reading<'_>> = ORDER.into_iter().filter_map(|m| facts.get(m)).collect();
    let mut pairs: Vec<_> = chain.windows(2).map(|w| (w[0], w[1])).collect();
    // The side neck point lies near the nape, above or below it, but above the shoulder point.
    if let Some(side_neck) = facts.get(M::HeightSideNeck) {
        let upper = facts.get(M::HeightStature).map(|s| (s, side_neck));
        let lower = [
            M::HeightShoulder,
            M::HeightArmpit,
            M::HeightBust,
            M::HeightWaist,
        ]
        .into_iter()
        .find_map(|m| facts.get(m))
        .map(|l| (side_neck, l));
        pairs.extend(upper.into_iter().chain(lower));
    }
    for (upper, lower) in pairs {
        let overlap = match (upper.measure, lower.measure) {
            (M::HeightArmpit, M::HeightBust) | (M::HeightHip, M::HeightCrotch) => {
                LEVEL_OVERLAP_TOLERANCE_MM
            }
            _ => 0.0,
        };
        if upper.value + upper.within + overlap > lower.value - lower.within {
            continue;
        }
        // An unsupported bust may hang lower than its root; a navel may lie below the top hip; a
        // raised shoulder may reach the nape.
        let happens = match (upper.measure, lower.measure) {
            (M::HeightBust, M::HeightUnderbust) => !facts.supported,
            (M::HeightWaist, M::HeightTopHip) => facts.waist != WaistKind::Natural,
            (M::HeightNape, M::HeightShoulder) => true,
            _ => false,
        };
        let severity = if happens {
            Severity::Warning
        } else {
            Severity::Refusal
        };
        found.push(say(
            severity,
            lower,
            format!("{} is not below {}", facts.named(lower), facts.named(upper)),
            "heights run from the floor up: are the two swapped, or one of them mistyped?",
        ));
    }
}

/// Lengths along the body against the straight distance of their ends.
fn lengths(facts: &Facts<'_>, found: &mut Vec<Finding>) {
    use Measure as M;
    // Length, upper height, lower height: the length is at least their difference.
    for (length, upper, lower) in [
        (M::LengthBackWaist, M::HeightNape, M::HeightWaist),
        (M::LengthScyeDepth, M::HeightNape, M::HeightArmpit),
        (M::LengthSideNeckToBust, M::HeightSideNeck, M::HeightBust),
        (M::LengthSideNeckToWaist, M::HeightSideNeck, M::HeightWaist),
        (M::LengthWaistToHip, M::HeightWaist, M::HeightHip),
        (M::LengthShoulder, M::HeightSideNeck, M::HeightShoulder),
    ] {
        let (Some(length), Some(upper), Some(lower)) =
            (facts.get(length), facts.get(upper), facts.get(lower))
        else {
            continue;
        };
        let least = upper.value - upper.within - lower.value - lower.within;
        let short = least - length.value - length.within;
        if short > LENGTH_READING_TOLERANCE_MM {
            let severity = if short > LENGTH_REFUSED_TOLERANCE_MM {
                Severity::Refusal
            } else {
                Severity::Warning
            };
            found.push(say(
                severity,
                length,
                format!(
                    "{} is shorter than the way straight down from {} to {}",
                    facts.named(length),
                    facts.named(upper),
                    facts.named(lower)
                ),
                "a tape along the body is never shorter than the straight line: read the three \
                 again",
            ));
        }
    }
    // Part, whole, why.
    for (part, whole, why) in [
        (
            M::LengthSideNeckToBust,
            M::LengthSideNeckToWaist,
            "the way to the waist leads over the bust point: are the two swapped?",
        ),
        (
            M::LengthBustPointWidth,
            M::BreadthBust,
            "the bust points lie within the breadth of the bust",
        ),
        (
            M::ShoulderDrop,
            M::LengthShoulder,
            "the shoulder falls less than it is long: read both again",
        ),
        (
            M::LengthFrontWaist,
            M::LengthSideNeckToWaist,
            "the front waist length begins in the hollow of the throat, lower than the side neck, and \
             runs straight down: are the two swapped?",
        ),
        (
            M::LengthScyeDepth,
            M::LengthBackWaist,
            "the armpits lie above the waist: are the two swapped?",
        ),
        (
            M::LengthBustPointWidth,
            M::ArcFrontBust,
            "the front arc runs over both bust points: read both again",
        ),
        (
            M::LengthAcrossBack,
            M::GirthUpperChest,
            "across the back is less than half-way round",
        ),
        (
            M::LengthAcrossFront,
            M::GirthUpperChest,
            "across the front is less than half-way round",
        ),
    ] {
        if let (Some(part), Some(whole)) = (facts.get(part), facts.get(whole))
            && part.value - part.within >= whole.value + whole.within
        {
            found.push(say(
                Severity::Refusal,
                part,
                format!(
                    "{} is not less than {}",
                    facts.named(part),
                    facts.named(whole)
                ),
                why,
            ));
        }
    }
}
