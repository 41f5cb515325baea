//! What would be unusual: values and proportions against the surveys, and the slip that would
//! explain them. What is refused here lies far past every body that is known.

use crate::error::{Finding, Place, Severity};
use crate::measure::{Kind, Measure};
use crate::sheet::check::{Facts, OneReading, say};
use crate::sheet::doubts::ReadingFact;
use crate::sheet::fullness;
use crate::sheet::rules;
use crate::sheet::slip::{Mistaken, Slip, swapped_digits};
use crate::sheet::sums;
use crate::sheet::{Averages, Figure, Posture};

/// How far past everything seen in people a value may lie before it is refused: below the smallest
/// range times the first, above the largest times the second. Our choice, wide: the largest waist
/// reported of anybody is near 300 cm, the tallest person 272 cm (from memory).
const BEYOND_GIRTH: [f64; 2] = [0.5, 2.5];
/// As [`BEYOND_GIRTH`], for lengths, breadths and depths.
const BEYOND_LENGTH: [f64; 2] = [0.4, 2.2];
/// As [`BEYOND_GIRTH`], for heights above the floor.
const BEYOND_HEIGHT: [f64; 2] = [0.6, 1.45];
/// As [`BEYOND_GIRTH`], for slopes and gaps to the wall, which may be nothing.
const BEYOND_SLOPE: [f64; 2] = [0.0, 1.6];
/// As [`BEYOND_GIRTH`], for gaps to the wall.
const BEYOND_WALL: [f64; 2] = [0.0, 4.0];
const BEYOND_PLUMB: [f64; 2] = [3.0, 3.0];

/// So many values must lie outside their ranges before the unit of the whole sheet is doubted.
const DOUBT_THE_UNIT: usize = 3;
/// A reading unsure by more than this part of itself says next to nothing (our choice).
const VAGUE: f64 = 0.2;

/// The range to expect: that of every figure with a share.
pub(super) fn expected(measure: Measure, averages: &Averages) -> [f64; 2] {
    let info = measure.info();
    averages.range(|figure| match figure {
        Figure::Woman => info.women,
        Figure::Man => info.men,
        Figure::Child => info.child,
    })
}

/// The range outside which a value is refused, whoever it is.
pub(super) fn believable(measure: Measure) -> [f64; 2] {
    let info = measure.info();
    let low = info.women[0].min(info.men[0]).min(info.child[0]);
    let high = info.women[1].max(info.men[1]).max(info.child[1]);
    let beyond = match measure.kind() {
        Kind::Girth | Kind::Arc => BEYOND_GIRTH,
        Kind::Length | Kind::Breadth | Kind::Depth => BEYOND_LENGTH,
        Kind::Height => BEYOND_HEIGHT,
        Kind::Slope => BEYOND_SLOPE,
        Kind::Wall => BEYOND_WALL,
        Kind::Plumb => BEYOND_PLUMB,
    };
    [low * beyond[0], high * beyond[1]]
}

/// The range outside which this reading is refused, whoever it is of.
fn believable_of(reading: OneReading<'_>, facts: &Facts<'_>) -> [f64; 2] {
    let range = halved(reading, believable(reading.measure));
    if facts.posture == Posture::Seated && reading.measure.kind() == Kind::Height {
        // Above the seat a height may be anything up to what it is above the floor.
        return [0.0, range[1]];
    }
    range
}

/// A range as it is for this reading: of half an arc, half of it.
fn halved(reading: OneReading<'_>, [low, high]: [f64; 2]) -> [f64; 2] {
    let part = if reading.is_half_arc() { 0.5 } else { 1.0 };
    [part * low, part * high]
}

/// The range to expect of this reading.
fn range_of(reading: OneReading<'_>, facts: &Facts<'_>) -> [f64; 2] {
    let range = halved(reading, expected(reading.measure, &facts.averages));
    if facts.posture == Posture::Seated && reading.measure.kind() == Kind::Height {
        above_the_seat(reading.measure, range, &facts.averages)
    } else {
        range
    }
}

/// The height of a seat that bears the thighs, as a share of stature: of nearly all of the 2012 US Army survey, of
/// children from memory.
const SEAT_SHARE: [f64; 2] = [0.42, 0.54];

/// A range of heights above the floor as one of heights above the seat.
fn above_the_seat(measure: Measure, [low, high]: [f64; 2], averages: &Averages) -> [f64; 2] {
    let stature = expected(Measure::HeightStature, averages);
    if measure == Measure::HeightStature {
        return [low * (1.0 - SEAT_SHARE[1]), high * (1.0 - SEAT_SHARE[0])];
    }
    [
        (low - SEAT_SHARE[1] * stature[1]).max(0.0),
        high - SEAT_SHARE[0] * stature[0],
    ]
}

fn inside(value: f64, [low, high]: [f64; 2]) -> bool {
    (low..=high).contains(&value)
}

/// The misreading that lands nearest the middle of the range.
fn propose(reading: OneReading<'_>, facts: &Facts<'_>) -> Option<Slip> {
    if reading.measure.kind() == Kind::Slope || reading.value <= 0.0 {
        return None;
    }
    let [low, high] = range_of(reading, facts);
    let middle = (low.max(1.0) * high).sqrt();
    let distance = |m: &Mistaken| libm::log(reading.value * m.factor / middle).abs();
    let best = Mistaken::all(facts.unit)
        .into_iter()
        .filter(|m| inside(reading.value * m.factor, [low, high]))
        .min_by(|a, b| distance(a).total_cmp(&distance(b)))?;
    Some(best.slip(facts.shown(reading.measure, reading.value)))
}

/// Two digits that may be swapped: the value nearest the middle of the range.
fn propose_digits(reading: OneReading<'_>, facts: &Facts<'_>) -> Option<Slip> {
    let [low, high] = range_of(reading, facts);
    let middle = (low.max(1.0) * high).sqrt();
    let distance = |v: f64| libm::log(v / middle).abs();
    let value = swapped_digits(reading.value, facts.unit)
        .into_iter()
        .filter(|v| is_length(reading.measure) && inside(*v, [low, high]))
        .min_by(|a, b| distance(*a).total_cmp(&distance(*b)))?;
    Some(Slip::Swapped(facts.shown(reading.measure, value)))
}

/// Each value against what has been seen, and all of them together.
pub(super) fn magnitudes(facts: &Facts<'_>, unit_place: Option<&Place>) -> Vec<Finding> {
    let mut found = Vec::new();
    let readings: Vec<OneReading<'_>> = facts.given.iter().map(OneReading::of).collect();
    let doubt = doubt_the_unit(facts, &readings);
    if let Some(other) = doubt
        && let Some(unit) = other.unit
    {
        let impossible = readings
            .iter()
            .any(|r| !inside(r.value, believable_of(*r, facts)));
        let severity = if impossible {
            Severity::Refusal
        } else {
            Severity::Warning
        };
        let fact = ReadingFact::OtherUnit {
            unit,
            said: facts.unit,
        };
        let mut finding = Finding::of(severity, fact);
        finding.place = unit_place.cloned();
        found.push(finding);
    }
    for reading in readings {
        let range = range_of(reading, facts);
        let vague = reading.within > VAGUE * reading.value;
        if vague
            && !matches!(
                reading.measure.kind(),
                Kind::Wall | Kind::Slope | Kind::Plumb
            )
        {
            found.push(say(
                Severity::Warning,
                reading,
                ReadingFact::Vague {
                    reading: facts.named(reading),
                    within: facts.shown(reading.measure, reading.within),
                },
            ));
        }
        if inside(reading.value, range) || (doubt.is_some() && is_length(reading.measure)) {
            continue;
        }
        let low = reading.value < range[0];
        let usual = range.map(|v| facts.shown(reading.measure, v));
        let averages = facts.averages;
        let slip = propose(reading, facts).or_else(|| propose_digits(reading, facts));
        let far = !inside(reading.value, believable_of(reading, facts));
        let (severity, reading, named) = (
            if far {
                Severity::Refusal
            } else {
                Severity::Warning
            },
            reading,
            facts.named(reading),
        );
        found.push(say(
            severity,
            reading,
            if far {
                ReadingFact::FarFromAnyBody {
                    reading: named,
                    low,
                    averages,
                    usual,
                    slip,
                }
            } else {
                ReadingFact::Unexpected {
                    reading: named,
                    low,
                    averages,
                    usual,
                    slip,
                }
            },
        ));
    }
    let doubted: Vec<Measure> = found.iter().filter_map(|f| f.measure).collect();
    sums::sides(facts, &doubted, &mut found);
    found
}

fn is_length(measure: Measure) -> bool {
    measure != Measure::SlopeShoulder
}

/// The unit that would bring every value in, where many lie outside.
fn doubt_the_unit(facts: &Facts<'_>, readings: &[OneReading<'_>]) -> Option<Mistaken> {
    // A gap to the wall is small in any unit: it proves nothing.
    let telling: Vec<_> = readings
        .iter()
        .filter(|r| is_length(r.measure) && r.measure.kind() != Kind::Wall)
        .copied()
        .collect();
    let outside = telling
        .iter()
        .filter(|r| !inside(r.value, range_of(**r, facts)))
        .count();
    if outside < DOUBT_THE_UNIT || 2 * outside < telling.len() {
        return None;
    }
    Mistaken::all(facts.unit).into_iter().find(|other| {
        other.unit.is_some()
            && telling
                .iter()
                .all(|r| inside(r.value * other.factor, range_of(*r, facts)))
    })
}

/// Two main girths and the least and the most that the first is of the second on anybody.
///
/// Our choice, well past what is known: hip over waist runs from 0.82 to 1.5 in the US Army surveys of
/// 1988 and 2012; of people outside them a hip of two and a half waists and of two busts is reported, a
/// laced waist of which the bust is two and a half, a bust of one and seven tenths of the hip, and a
/// belly of one and a half hips (from memory).
const TOGETHER: [(Measure, Measure, [f64; 2]); 3] = [
    (Measure::GirthHip, Measure::GirthWaist, [0.6, 2.7]),
    (Measure::GirthHip, Measure::GirthBust, [0.5, 2.4]),
    (Measure::GirthBust, Measure::GirthWaist, [0.55, 2.8]),
];

/// Main girths that no one body has together, each pair at the reading that is at odds with most of the
/// others. The half-widths of the sheet count in favour. Values in `refused` were spoken of already.
pub(super) fn together(facts: &Facts<'_>, refused: &[Measure]) -> Vec<Finding> {
    let get = |m: Measure| facts.get(m).filter(|_| !refused.contains(&m));
    let at_odds: Vec<(OneReading<'_>, OneReading<'_>, [f64; 2])> = TOGETHER
        .into_iter()
        .filter_map(|(a, b, range)| Some((get(a)?, get(b)?, range)))
        .filter(|(a, b, [low, high])| {
            a.value + a.within < low * (b.value - b.within)
                || a.value - a.within > high * (b.value + b.within)
        })
        .collect();
    let odds = |m: Measure| {
        let in_pair =
            |(a, b, _): &&(OneReading<'_>, OneReading<'_>, _)| a.measure == m || b.measure == m;
        at_odds.iter().filter(in_pair).count()
    };
    at_odds
        .iter()
        .map(|(a, b, [low, high])| {
            let (culprit, other) = if odds(b.measure) > odds(a.measure) {
                (*b, *a)
            } else {
                (*a, *b)
            };
            let small = a.value < low * b.value;
            let less = small == (culprit.measure == a.measure);
            // Below the least of the first, or above the most of the second: each the other's inverse.
            let limit = if small { *low } else { *high };
            let times = if culprit.measure == a.measure {
                limit
            } else {
                1.0 / limit
            };
            say(
                Severity::Refusal,
                culprit,
                ReadingFact::NotTogether {
                    reading: facts.named(culprit),
                    less,
                    times,
                    other: facts.named(other),
                    slip: propose(culprit, facts).or_else(|| rules::mend_girths(facts)),
                },
            )
        })
        .collect()
}

/// Values against each other. Values in `doubted` were spoken of already.
pub(super) fn proportions(facts: &Facts<'_>, doubted: &[Measure]) -> Vec<Finding> {
    let mut found = Vec::new();
    let get = |m: Measure| facts.get(m).filter(|_| !doubted.contains(&m));
    let mut unusual_girths = false;
    for rule in rules::PAIRS.iter() {
        let (Some(a), Some(b)) = (get(rule.a), get(rule.b)) else {
            continue;
        };
        let Some(range) = rule.range(facts) else {
            continue;
        };
        let value = rule.how.of(a.value, b.value);
        if inside(value, range) {
            continue;
        }
        let main = |m: Measure| Measure::MAIN_GIRTHS.contains(&m);
        let slip = if main(rule.a) && main(rule.b) {
            if unusual_girths {
                continue;
            }
            unusual_girths = true;
            rules::mend_girths(facts)
        } else {
            None
        };
        found.push(say(
            Severity::Warning,
            a,
            ReadingFact::Proportion {
                a: facts.named(a),
                how: rule.how,
                b: facts.named(b),
                value,
                usual: range,
                averages: facts.averages,
                survey: rule.survey,
                slip: slip.or_else(|| rule.lower_waist(facts, value)),
            },
        ));
    }
    if !unusual_girths {
        rules::bust_from_waist_and_hip(facts, &get, &mut found);
    }
    rules::back_length(facts, &get, &mut found);
    sums::unusual(facts, &get, &mut found);
    fullness::fullness(facts, &get, &mut found);
    found
}

/// Whether one of the two values is out of its range, and exchanging them does not bring both in: then
/// that value is spoken of.
fn out_of_range(larger: OneReading<'_>, smaller: OneReading<'_>, facts: &Facts<'_>) -> bool {
    let range = |m: Measure| expected(m, &facts.averages);
    let exchanged = inside(larger.value, range(smaller.measure))
        && inside(smaller.value, range(larger.measure));
    let out = |r: OneReading<'_>| !inside(r.value, range(r.measure));
    !exchanged && (out(larger) || out(smaller))
}

/// Pairs of which the first is the larger on everybody, where it is not: the fields may be swapped.
/// Which measurements those are, and what to say. Values in `refused` were spoken of already.
pub(super) fn swaps(facts: &Facts<'_>, refused: &[Measure]) -> (Vec<Measure>, Vec<Finding>) {
    use Measure as M;
    let mut swapped = Vec::new();
    let mut said = Vec::new();
    let get = |m: Measure| facts.get(m).filter(|_| !refused.contains(&m));
    for (larger, smaller) in [
        (M::GirthBust, M::GirthUnderbust),
        (M::GirthNeckBase, M::GirthNeck),
        (M::BreadthWaist, M::DepthWaist),
        (M::BreadthTopHip, M::DepthTopHip),
        (M::BreadthHip, M::DepthHip),
        (M::GirthHip, M::GirthThigh),
        (M::GirthThigh, M::GirthUpperArm),
        (M::GirthShoulder, M::GirthUpperChest),
    ] {
        // Somebody with a full abdomen may be deeper than broad there.
        let full = matches!(smaller, M::DepthWaist | M::DepthTopHip) && rules::full_abdomen(facts);
        if let (Some(a), Some(b)) = (get(larger), get(smaller))
            && a.value <= b.value
            && !full
            && !out_of_range(a, b, facts)
        {
            swapped.extend([larger, smaller]);
            said.push(say(
                Severity::Warning,
                b,
                ReadingFact::Swapped {
                    smaller: facts.named(b),
                    larger: facts.named(a),
                },
            ));
        }
    }
    (swapped, said)
}
