//! The numbers behind [`plausible`](super::plausible): proportions of people in open surveys.
//!
//! Women and men: 1988 and 2012 US Army surveys (public domain), percentiles 0.5 and 99.5 worked
//! out from the full files (2208 and 1986 women, 1774 and 4082 men); where both surveys took a
//! measurement the wider of the two stands. Children: Snyder et al. 1977 (UM-HSRI-77-17), ages 2
//! to 20. The waist of the 2012 survey, and one of the two of 1988, is at the navel.

use crate::error::Finding;
use crate::error::Severity;
use crate::measure::Measure;
use crate::sheet::Abdomen;
use crate::sheet::Figure;
use crate::sheet::WaistKind;
use crate::sheet::check::Facts;
use crate::sheet::check::Reading;
use crate::sheet::check::say;
use crate::units;

/// The girths that give a figure its outline.
pub(super) const MAIN_GIRTHS: [Measure; 3] =
    [Measure::GirthBust, Measure::GirthWaist, Measure::GirthHip];

/// How two values are set against each other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum How {
    /// Their difference, mm.
    Less,
    /// Their quotient.
    Over,
}

impl How {
    pub(super) fn of(self, a: f64, b: f64) -> f64 {
        match self {
            Self::Less => a - b,
            Self::Over => a / b,
        }
    }
}

/// For which waist a row holds.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Waist {
    Any,
    Natural,
    Navel,
}

const BOTH: &str = "1988 and 2012 US Army surveys";
const Y1988: &str = "1988 US Army survey";

/// Two measurements and the range of their difference or quotient.
pub(super) struct Pair {
    pub(super) a: Measure,
    pub(super) how: How,
    pub(super) b: Measure,
    waist: Waist,
    pub(super) survey: &'static str,
    women: Option<[f64; 2]>,
    men: Option<[f64; 2]>,
    child: Option<[f64; 2]>,
}

const fn over(
    a: Measure,
    b: Measure,
    survey: &'static str,
    women: [f64; 2],
    men: [f64; 2],
) -> Pair {
    Pair {
        a,
        how: How::Over,
        b,
        waist: Waist::Any,
        survey,
        women: Some(women),
        men: Some(men),
        child: None,
    }
}

const fn less(
    a: Measure,
    b: Measure,
    survey: &'static str,
    women: [f64; 2],
    men: [f64; 2],
) -> Pair {
    Pair {
        how: How::Less,
        ..over(a, b, survey, women, men)
    }
}

const fn children(a: Measure, b: Measure, range: [f64; 2]) -> Pair {
    Pair {
        women: None,
        men: None,
        child: Some(range),
        ..over(a, b, "survey of Snyder et al. 1977", range, range)
    }
}

impl Pair {
    const fn natural(self) -> Self {
        Self {
            waist: Waist::Natural,
            ..self
        }
    }

    const fn navel(self) -> Self {
        Self {
            waist: Waist::Navel,
            ..self
        }
    }

    /// What to ask of a waist that is large for a natural one and would be usual at the navel.
    pub(super) fn lower_waist(&self, facts: &Facts<'_>, value: f64) -> Option<String> {
        let girth = self.b == Measure::GirthWaist && facts.waist == WaistKind::Natural;
        let navel = PAIRS
            .iter()
            .find(|p| (p.a, p.b, p.waist) == (self.a, self.b, Waist::Navel))?;
        let low = navel.of(facts.figure)?[0];
        (girth && value >= low && value < self.of(facts.figure)?[0]).then(|| {
            "was the waist taken at the navel? say `waist = \"navel\"`; else read both again, and leave \
             them if they are right"
                .to_owned()
        })
    }

    const fn of(&self, figure: Figure) -> Option<[f64; 2]> {
        match figure {
            Figure::Woman => self.women,
            Figure::Man => self.men,
            Figure::Child => self.child,
        }
    }

    /// The range for this sheet; none where the row says nothing about it.
    pub(super) fn range(&self, facts: &Facts<'_>) -> Option<[f64; 2]> {
        // An abdomen that is said to be full, or late pregnancy, is outside the surveys.
        if full_abdomen(facts) && (self.a == Measure::GirthWaist || self.b == Measure::GirthWaist) {
            return None;
        }
        let range = self.of(facts.figure)?;
        match (self.waist, facts.waist) {
            (Waist::Any, _)
            | (Waist::Natural, WaistKind::Natural)
            | (Waist::Navel, WaistKind::Navel) => Some(range),
            // The level between the two: only what is outside both can be called unusual.
            (_, WaistKind::Iso) => {
                let other = PAIRS.iter().find(|p| {
                    p.a == self.a && p.b == self.b && p.waist != self.waist && p.waist != Waist::Any
                })?;
                let other = other.of(facts.figure)?;
                Some([range[0].min(other[0]), range[1].max(other[1])])
            }
            _ => None,
        }
    }
}

use Measure as M;

/// Every proportion that is looked at, one a line.
#[rustfmt::skip]
pub(super) const PAIRS: &[Pair] = &[
    // Heights as parts of the stature.
    over(M::HeightNape, M::HeightStature, BOTH, [0.8389, 0.8798], [0.8452, 0.8837]),
    over(M::HeightSideNeck, M::HeightStature, Y1988, [0.8416, 0.8721], [0.8437, 0.8761]),
    over(M::HeightShoulder, M::HeightStature, BOTH, [0.7951, 0.8418], [0.7942, 0.8468]),
    over(M::HeightArmpit, M::HeightStature, BOTH, [0.7346, 0.7832], [0.7276, 0.7801]),
    over(M::HeightBust, M::HeightStature, BOTH, [0.6814, 0.7538], [0.7002, 0.7619]),
    over(M::HeightWaist, M::HeightStature, Y1988, [0.6109, 0.6840], [0.6116, 0.6731]).natural(),
    over(M::HeightWaist, M::HeightStature, BOTH, [0.5641, 0.6341], [0.5655, 0.6337]).navel(),
    over(M::HeightHip, M::HeightStature, BOTH, [0.4750, 0.5584], [0.4665, 0.5521]),
    over(M::HeightCrotch, M::HeightStature, BOTH, [0.4357, 0.5202], [0.4411, 0.5224]),
    children(M::HeightArmpit, M::HeightStature, [0.6816, 0.7900]),
    children(M::HeightHip, M::HeightStature, [0.4149, 0.5498]),
    // Levels against each other.
    less(M::HeightArmpit, M::HeightBust, BOTH, [13.9, 127.0], [-6.0, 83.0]),
    less(M::HeightWaist, M::HeightHip, Y1988, [143.1, 280.0], [188.9, 288.1]).natural(),
    less(M::HeightWaist, M::HeightHip, BOTH, [69.0, 207.0], [96.4, 229.0]).navel(),
    less(M::HeightNape, M::HeightWaist, Y1988, [299.0, 416.0], [338.9, 448.0]).natural(),
    less(M::HeightHip, M::HeightCrotch, BOTH, [8.0, 108.0], [-13.0, 99.1]),
    // Girths against each other.
    less(M::GirthBust, M::GirthUnderbust, Y1988, [63.0, 229.0], [26.0, 124.1]),
    less(M::GirthBust, M::GirthWaist, Y1988, [97.0, 270.0], [59.7, 243.1]).natural(),
    less(M::GirthBust, M::GirthWaist, BOTH, [-69.4, 246.0], [-28.0, 250.6]).navel(),
    less(M::GirthHip, M::GirthWaist, Y1988, [114.0, 355.9], [24.9, 240.3]).natural(),
    less(M::GirthHip, M::GirthWaist, BOTH, [-7.2, 308.8], [-76.8, 219.1]).navel(),
    less(M::GirthHip, M::GirthBust, BOTH, [-86.3, 221.2], [-172.0, 98.0]),
    children(M::GirthWaist, M::GirthBust, [0.7357, 1.0287]),
    children(M::GirthWaist, M::GirthHip, [0.6670, 1.0146]),
    children(M::GirthHip, M::GirthBust, [0.9126, 1.2057]),
    over(M::GirthNeckBase, M::GirthNeck, BOTH, [1.0378, 1.2119], [1.0243, 1.1665]),
    over(M::GirthNeck, M::GirthBust, BOTH, [0.301, 0.4067], [0.3302, 0.4307]),
    children(M::GirthNeck, M::GirthBust, [0.3462, 0.5050]),
    // So wide that one in a thousand lies outside; large busts are rarer in the survey than elsewhere.
    over(M::GirthUpperChest, M::GirthBust, Y1988, [0.78, 1.10], [0.90, 1.13]),
    over(M::GirthShoulder, M::GirthBust, BOTH, [0.87, 1.30], [0.94, 1.33]),
    over(M::LengthAcrossBack, M::BreadthBiacromial, BOTH, [0.78, 1.27], [0.76, 1.34]),
    over(M::LengthAcrossBack, M::GirthUpperChest, Y1988, [0.31, 0.50], [0.31, 0.49]),
    over(M::LengthScyeDepth, M::LengthBackWaist, Y1988, [0.37, 0.67], [0.41, 0.63]).natural(),
    over(M::GirthArmscye, M::GirthBust, Y1988, [0.3630, 0.4581], [0.4039, 0.4942]),
    over(M::GirthThigh, M::GirthHip, BOTH, [0.5478, 0.6569], [0.5523, 0.6661]),
    children(M::GirthBust, M::HeightStature, [0.4319, 0.6152]),
    children(M::GirthHip, M::HeightStature, [0.4532, 0.6551]),
    // Depths and breadths. The bust breadth of 2012 was taken on the ribs, hence the wide row.
    over(M::DepthBust, M::BreadthBust, BOTH, [0.7173, 1.1252], [0.6435, 1.0703]),
    over(M::DepthWaist, M::BreadthWaist, BOTH, [0.5881, 0.8962], [0.6103, 0.9008]),
    over(M::DepthHip, M::BreadthHip, BOTH, [0.5516, 0.8162], [0.5846, 0.8399]),
    over(M::LengthBustPointWidth, M::BreadthBust, Y1988, [0.5249, 0.8163], [0.5495, 0.7968]),
    over(M::BreadthBiacromial, M::HeightStature, BOTH, [0.1952, 0.2497], [0.2011, 0.2627]),
    children(M::BreadthBiacromial, M::HeightStature, [0.1947, 0.2484]),
    // Front against back.
    less(M::LengthFrontWaist, M::LengthBackWaist, Y1988, [-99.0, -14.0], [-113.0, -22.0]).natural(),
];

/// Whether the sheet says that the abdomen is outside what the surveys show.
pub(super) fn full_abdomen(facts: &Facts<'_>) -> bool {
    matches!(facts.shape.abdomen, Some(Abdomen::Full | Abdomen::Pregnant))
}

/// Whether three main girths go together.
fn girths_fit(facts: &Facts<'_>, girths: [f64; 3]) -> bool {
    let value = |m: Measure| MAIN_GIRTHS.iter().position(|g| *g == m).map(|i| girths[i]);
    PAIRS.iter().all(|rule| {
        let (Some(a), Some(b)) = (value(rule.a), value(rule.b)) else {
            return true;
        };
        rule.range(facts)
            .is_none_or(|[low, high]| (low..=high).contains(&rule.how.of(a, b)))
    })
}

/// Looks for one slip that would make the three main girths usual: two fields swapped, two digits
/// swapped.
pub(super) fn mend_girths(facts: &Facts<'_>) -> Option<String> {
    let read = MAIN_GIRTHS.map(|m| facts.get(m));
    let [Some(a), Some(b), Some(c)] = read else {
        return None;
    };
    let girths = [a.value, b.value, c.value];
    for (i, j) in [(0, 1), (1, 2), (0, 2)] {
        let mut tried = girths;
        tried.swap(i, j);
        if girths_fit(facts, tried) {
            return Some(format!(
                "are `{}` and `{}` swapped?",
                MAIN_GIRTHS[i], MAIN_GIRTHS[j]
            ));
        }
    }
    for (i, measure) in MAIN_GIRTHS.into_iter().enumerate() {
        for value in swapped_digits(facts.unit.from_mm(girths[i])) {
            let mut tried = girths;
            tried[i] = facts.unit.to_mm(value);
            if girths_fit(facts, tried) {
                return Some(format!(
                    "are two digits swapped? `{measure}` = {} would fit",
                    facts.unit.show(tried[i])
                ));
            }
        }
    }
    None
}

/// A number with each two neighbouring digits exchanged.
pub(super) fn swapped_digits(value: f64) -> Vec<f64> {
    let text = units::fixed(value, 1);
    let digits: Vec<char> = text.chars().collect();
    (1..digits.len())
        .filter(|&i| digits[i - 1].is_ascii_digit() && digits[i].is_ascii_digit())
        .filter(|&i| digits[i - 1] != digits[i])
        .filter_map(|i| {
            let mut tried = digits.clone();
            tried.swap(i - 1, i);
            tried.iter().collect::<String>().parse().ok()
        })
        .collect()
}

/// The waist as the 2012 survey took it, at the navel: larger than the natural one by the mean of
/// the 1988 survey.
fn navel_waist(facts: &Facts<'_>, waist: f64) -> f64 {
    let grow = match facts.figure {
        Figure::Man => 22.5,
        Figure::Woman | Figure::Child => 66.4,
    };
    match facts.waist {
        WaistKind::Natural => waist + grow,
        WaistKind::Iso => waist + grow / 2.0,
        WaistKind::Navel => waist,
    }
}

/// The bust as waist and hip lead one to expect it: regressions of the 2012 US Army survey
/// (residual sd 43 mm women, 39 mm men); three of those are asked about.
pub(super) fn bust_from_waist_and_hip<'a>(
    facts: &Facts<'_>,
    get: &impl Fn(Measure) -> Option<Reading<'a>>,
    found: &mut Vec<Finding>,
) {
    let [base, by_waist, by_hip, sd] = match facts.figure {
        Figure::Woman => [246.0, 0.576, 0.201, 43.0],
        Figure::Man => [272.0, 0.516, 0.296, 39.0],
        Figure::Child => return,
    };
    let [Some(bust), Some(waist), Some(hip)] = MAIN_GIRTHS.map(get) else {
        return;
    };
    if full_abdomen(facts) {
        return;
    }
    let usual = base + by_waist * navel_waist(facts, waist.value) + by_hip * hip.value;
    if (bust.value - usual).abs() > 3.0 * sd {
        found.push(say(
            Severity::Warning,
            bust,
            format!(
                "{} goes oddly with {} and {}: from these the 2012 US Army survey leads to about \
                 {}",
                facts.named(bust),
                facts.named(waist),
                facts.named(hip),
                facts.unit.show(usual)
            ),
            mend_girths(facts)
                .unwrap_or_else(|| "read the three again; leave them if they are right".into()),
        ));
    }
}

/// The back waist length as stature leads one to expect it: regressions of the 1988 survey
/// (natural waist: residual sd 22 mm women, 19 mm men) and the 2012 survey (navel: 23 mm); three of
/// those are asked about.
pub(super) fn back_length<'a>(
    facts: &Facts<'_>,
    get: &impl Fn(Measure) -> Option<Reading<'a>>,
    found: &mut Vec<Finding>,
) {
    let (Some(back), Some(stature)) = (get(M::LengthBackWaist), get(M::HeightStature)) else {
        return;
    };
    let (base, slope, sd) = match (facts.figure, facts.waist) {
        (Figure::Woman, WaistKind::Natural) => (57.79, 0.189_59, 22.1),
        (Figure::Man, WaistKind::Natural) => (49.26, 0.206_73, 18.7),
        (Figure::Woman, WaistKind::Navel) => (88.0, 0.207, 23.0),
        (Figure::Man, WaistKind::Navel) => (97.0, 0.216, 23.0),
        _ => return,
    };
    let usual = base + slope * stature.value;
    if (back.value - usual).abs() > 3.0 * sd {
        let level = match facts.waist {
            WaistKind::Navel => "the navel",
            _ => "the natural waist, where an elastic settles",
        };
        found.push(say(
            Severity::Warning,
            back,
            format!(
                "{} is unusual for {}: about {} is expected to {level}",
                facts.named(back),
                facts.named(stature),
                facts.unit.show(usual)
            ),
            "read it again from the bony point of the nape, and check which waist the sheet names",
        ));
    }
}
