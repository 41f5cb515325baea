//! What cannot be true of any body, by geometry alone.
//!
//! A section of given breadth `B` and depth `D` has a tape girth (the perimeter of its convex hull)
//! of at least `2·√(B² + D²)`, the tape round two crossed straight lines, and of at most
//! `2·(B + D)`, the tape round the box about it. A taut length is at least the straight distance
//! of its ends. Each limit is opened by the half-widths that the sheet states.

use crate::error::{Finding, Severity};
use crate::measure::{Kind, Measure, Side};
use crate::sheet::doubt_parts::Since;
use crate::sheet::doubts::ReadingFact;
use crate::sheet::shown::{Named, Shown};
use crate::sheet::{Averages, Breasts, Given, Posture, Shape, WaistKind, Worn};
use crate::tolerance::{
    LENGTH_READING_TOLERANCE_MM, LENGTH_REFUSED_TOLERANCE_MM, LEVEL_OVERLAP_TOLERANCE_MM,
};
use crate::units::Unit;

/// What the sheet says, as far as it could be read.
pub(super) struct Facts<'a> {
    pub(super) given: &'a [Given],
    pub(super) unit: Unit,
    pub(super) averages: Averages,
    pub(super) waist: WaistKind,
    pub(super) worn: Option<Worn>,
    pub(super) posture: Posture,
    pub(super) shape: Shape,
}

/// One measurement: of the whole body, the mean of left and right where both are given, of an arc
/// their sum; or of one side.
#[derive(Clone, Copy)]
pub(super) struct OneReading<'a> {
    pub(super) measure: Measure,
    pub(super) side: Side,
    pub(super) value: f64,
    /// Half-width that the sheet states, or 0.
    pub(super) within: f64,
    pub(super) given: &'a Given,
}

impl<'a> OneReading<'a> {
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
    /// The breasts of each figure with a share.
    pub(super) fn breasts(&self) -> impl Iterator<Item = Breasts> {
        let parts = self.averages.parts();
        parts.map(|(figure, _)| self.shape.breasts(figure, self.worn))
    }

    /// Whether the bust is another than the surveys lead one to expect.
    pub(super) fn own_bust(&self) -> bool {
        self.shape.own_bust(&self.averages, self.worn)
    }

    pub(super) fn get(&self, measure: Measure) -> Option<OneReading<'a>> {
        let mut all = self.given.iter().filter(|g| g.measure == measure);
        let first = OneReading::of(all.next()?);
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
        Some(OneReading {
            side: Side::Both,
            value,
            within,
            ..first
        })
    }

    /// A value of a measurement, for a fact.
    pub(super) fn shown(&self, measure: Measure, value: f64) -> Shown {
        Shown {
            measure,
            value,
            unit: self.unit,
        }
    }

    /// A reading, for a fact.
    pub(super) fn named(&self, reading: OneReading<'_>) -> Named {
        Named {
            side: reading.side,
            shown: self.shown(reading.measure, reading.value),
        }
    }
}

/// A finding about `reading`, pointing at it.
pub(super) fn say(severity: Severity, reading: OneReading<'_>, fact: ReadingFact) -> Finding {
    Finding::of(severity, fact)
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
                    ReadingFact::OverHalf {
                        extent: facts.named(extent),
                        girth: facts.named(girth),
                    },
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
            Some(least)
        } else if box_round < girth.value - girth.within {
            Some(box_round)
        } else {
            None
        };
        if let Some(limit) = wrong {
            found.push(say(
                Severity::Refusal,
                girth,
                ReadingFact::DoesNotFit {
                    girth: facts.named(girth),
                    breadth: facts.named(b),
                    depth: facts.named(d),
                    limit: facts.shown(girth.measure, limit),
                    flesh: girth.measure == M::GirthBust && box_round < girth.value,
                },
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
    let chain: Vec<OneReading<'_>> = ORDER.into_iter().filter_map(|m| facts.get(m)).collect();
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
            (M::HeightBust, M::HeightUnderbust) => facts.breasts().any(|b| b == Breasts::Hanging),
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
            ReadingFact::NotBelow {
                lower: facts.named(lower),
                upper: facts.named(upper),
            },
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
                ReadingFact::ShorterThanStraight {
                    length: facts.named(length),
                    upper: facts.named(upper),
                    lower: facts.named(lower),
                },
            ));
        }
    }
    // Part, whole, why.
    for (part, whole, since) in [
        (
            M::LengthSideNeckToBust,
            M::LengthSideNeckToWaist,
            Since::OverBustPoint,
        ),
        (
            M::LengthBustPointWidth,
            M::BreadthBust,
            Since::WithinBreadth,
        ),
        (M::ShoulderDrop, M::LengthShoulder, Since::ShoulderFalls),
        (
            M::LengthFrontWaist,
            M::LengthSideNeckToWaist,
            Since::BelowSideNeck,
        ),
        (M::LengthScyeDepth, M::LengthBackWaist, Since::AboveWaist),
        (
            M::LengthBustPointWidth,
            M::ArcFrontBust,
            Since::BothBustPoints,
        ),
        (
            M::LengthAcrossBack,
            M::GirthUpperChest,
            Since::HalfRoundBack,
        ),
        (
            M::LengthAcrossFront,
            M::GirthUpperChest,
            Since::HalfRoundFront,
        ),
    ] {
        if let (Some(part), Some(whole)) = (facts.get(part), facts.get(whole))
            && part.value - part.within >= whole.value + whole.within
        {
            found.push(say(
                Severity::Refusal,
                part,
                ReadingFact::NotLess {
                    part: facts.named(part),
                    whole: facts.named(whole),
                    since,
                },
            ));
        }
    }
}
