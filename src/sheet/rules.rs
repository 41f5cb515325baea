//! The numbers behind [`plausible`](super::plausible): proportions of people in open surveys.
//!
//! The tables are `proportions.csv` and `usual.csv`. The waist of the 2012 survey, and one of the two of
//! 1988, is at the navel.

use std::sync::LazyLock;

use crate::error::{Finding, Severity};
use crate::measure::{Kind, Measure};
use crate::sheet::check::{Facts, OneReading, say};
use crate::sheet::doubt_parts::SetAgainst;
use crate::sheet::doubts::ReadingFact;
use crate::sheet::slip::{Slip, swapped_digits};
use crate::sheet::{Abdomen, Averages, Figure, Posture, WaistKind};
use crate::survey;
use crate::survey::{Line, On, Row};

/// For which waist a row holds.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Waist {
    Any,
    Natural,
    Navel,
}

/// Two measurements and the range of their difference or quotient.
pub(super) struct ProportionRule {
    pub(super) a: Measure,
    pub(super) how: SetAgainst,
    pub(super) b: Measure,
    waist: Waist,
    pub(super) survey: &'static str,
    women: Option<[f64; 2]>,
    men: Option<[f64; 2]>,
    child: Option<[f64; 2]>,
}

/// Every proportion that is looked at: `proportions.csv`.
pub(super) static PAIRS: LazyLock<Vec<ProportionRule>> = LazyLock::new(|| {
    survey::PROPORTIONS
        .rows()
        .map(ProportionRule::of_row)
        .collect()
});

impl ProportionRule {
    fn of_row(row: Row<'_>) -> Self {
        Self {
            a: row.measure("a"),
            how: match row.text("how") {
                "less" => SetAgainst::Less,
                "over" => SetAgainst::Over,
                _ => row.wrong("how", "is neither `less` nor `over`"),
            },
            b: row.measure("b"),
            waist: match row.text("waist") {
                "any" => Waist::Any,
                "natural" => Waist::Natural,
                "navel" => Waist::Navel,
                _ => row.wrong("waist", "is no waist"),
            },
            survey: row.source(),
            women: row.range("women_low", "women_high"),
            men: row.range("men_low", "men_high"),
            child: row.range("children_low", "children_high"),
        }
    }

    /// What to ask of a waist that is large for a natural one and would be usual at the navel.
    pub(super) fn lower_waist(&self, facts: &Facts<'_>, value: f64) -> Option<Slip> {
        let girth = self.b == Measure::GirthWaist && facts.waist == WaistKind::Natural;
        let navel = PAIRS
            .iter()
            .find(|p| (p.a, p.b, p.waist) == (self.a, self.b, Waist::Navel))?;
        let low = navel.of(&facts.averages)?[0];
        (girth && value >= low && value < self.of(&facts.averages)?[0])
            .then_some(Slip::Waist(WaistKind::Navel))
    }

    /// The range that holds those of every figure with a share; none where one of them has none.
    fn of(&self, averages: &Averages) -> Option<[f64; 2]> {
        let of = |figure| match figure {
            Figure::Woman => self.women,
            Figure::Man => self.men,
            Figure::Child => self.child,
        };
        let known = averages.parts().all(|(figure, _)| of(figure).is_some());
        known.then(|| averages.range(|figure| of(figure).unwrap_or_default()))
    }

    /// The range for this sheet; none where the row says nothing about it.
    pub(super) fn range(&self, facts: &Facts<'_>) -> Option<[f64; 2]> {
        // A bust that is no figure's usual one is outside the surveys.
        if facts.own_bust() && [self.a, self.b].into_iter().any(of_bust) {
            return None;
        }
        // Of heights above a seat only their differences are those of somebody who stands.
        let heights = [self.a, self.b].map(|m| m.kind() == Kind::Height);
        let of_head = [self.a, self.b].contains(&Measure::HeightStature);
        let apart = self.how == SetAgainst::Less && heights == [true, true] && !of_head;
        if facts.posture == Posture::Seated && heights.contains(&true) && !apart {
            return None;
        }
        // A full abdomen, or late pregnancy, is outside the surveys.
        if full_abdomen(facts) && (self.a == Measure::GirthWaist || self.b == Measure::GirthWaist) {
            return None;
        }
        let range = self.of(&facts.averages)?;
        match (self.waist, facts.waist) {
            (Waist::Any, _)
            | (Waist::Natural, WaistKind::Natural)
            | (Waist::Navel, WaistKind::Navel) => Some(range),
            // The level between the two: only what is outside both can be called unusual.
            (_, WaistKind::Iso) => {
                let other = PAIRS.iter().find(|p| {
                    p.a == self.a && p.b == self.b && p.waist != self.waist && p.waist != Waist::Any
                })?;
                let other = other.of(&facts.averages)?;
                Some([range[0].min(other[0]), range[1].max(other[1])])
            }
            _ => None,
        }
    }
}

/// What changes with the bust.
const fn of_bust(measure: Measure) -> bool {
    use Measure as M;
    matches!(
        measure,
        M::GirthBust
            | M::BreadthBust
            | M::DepthBust
            | M::HeightBust
            | M::LengthBustPointWidth
            | M::LengthSideNeckToBust
            | M::LengthSideNeckToWaist
    )
}

/// Whether the sheet says that the abdomen is outside what the surveys show.
pub(super) fn full_abdomen(facts: &Facts<'_>) -> bool {
    matches!(facts.shape.abdomen, Some(Abdomen::Full | Abdomen::Pregnant))
}

/// Whether three main girths go together.
fn girths_fit(facts: &Facts<'_>, girths: [f64; 3]) -> bool {
    let value = |m: Measure| {
        Measure::MAIN_GIRTHS
            .iter()
            .position(|g| *g == m)
            .map(|i| girths[i])
    };
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
pub(super) fn mend_girths(facts: &Facts<'_>) -> Option<Slip> {
    let read = Measure::MAIN_GIRTHS.map(|m| facts.get(m));
    let [Some(a), Some(b), Some(c)] = read else {
        return None;
    };
    let girths = [a.value, b.value, c.value];
    for (i, j) in [(0, 1), (1, 2), (0, 2)] {
        let mut tried = girths;
        tried.swap(i, j);
        if girths_fit(facts, tried) {
            return Some(Slip::Exchanged(
                Measure::MAIN_GIRTHS[i],
                Measure::MAIN_GIRTHS[j],
            ));
        }
    }
    for (i, measure) in Measure::MAIN_GIRTHS.into_iter().enumerate() {
        for value in swapped_digits(girths[i], facts.unit) {
            let mut tried = girths;
            tried[i] = value;
            if girths_fit(facts, tried) {
                return Some(Slip::Swapped(facts.shown(measure, tried[i])));
            }
        }
    }
    None
}

/// The waist as the 2012 survey took it, at the navel: larger than the natural one by the mean of
/// the 1988 survey.
fn navel_waist(facts: &Facts<'_>, waist: f64) -> f64 {
    let grow = facts.averages.number(|figure| match figure {
        Figure::Man => 22.5,
        Figure::Woman | Figure::Child => 66.4,
    });
    match facts.waist {
        WaistKind::Natural => waist + grow,
        WaistKind::Iso => waist + grow / 2.0,
        WaistKind::Navel => waist,
    }
}

/// What the lines of `usual.csv` for a measurement lead to, with its standard deviation, where every figure with
/// a share has one for this waist.
fn usual(
    measure: Measure,
    averages: &Averages,
    waist: WaistKind,
    of: &dyn Fn(On) -> f64,
) -> Option<(f64, f64)> {
    static READ: LazyLock<Vec<(Measure, &str, &str, Line)>> = LazyLock::new(|| {
        let line = |row: Row<'static>| {
            let (figure, waist) = (row.text("figure"), row.text("waist"));
            (row.measure("measure"), figure, waist, Line::of(row, None))
        };
        survey::USUAL.rows().map(line).collect()
    });
    let waist = match waist {
        WaistKind::Natural => "natural",
        WaistKind::Navel => "navel",
        WaistKind::Iso => return None,
    };
    let line = |figure: Figure| {
        let here = |row: &&(Measure, &str, &str, Line)| {
            (row.0, row.1, row.2) == (measure, figure.name(), waist)
        };
        READ.iter().find(here).map(|(.., line)| line)
    };
    let known = averages.parts().all(|(figure, _)| line(figure).is_some());
    let told = |figure| line(figure).map(|line| (line.value(of), line.own_sd(of)));
    known.then(|| averages.spread(|figure| told(figure).unwrap_or_default()))
}

/// The bust as waist and hip lead one to expect it; three standard deviations are asked about.
pub(super) fn bust_from_waist_and_hip<'a>(
    facts: &Facts<'_>,
    get: &impl Fn(Measure) -> Option<OneReading<'a>>,
    found: &mut Vec<Finding>,
) {
    let [Some(bust), Some(waist), Some(hip)] = Measure::MAIN_GIRTHS.map(get) else {
        return;
    };
    if full_abdomen(facts) || facts.own_bust() {
        return;
    }
    let of = |on: On| match on {
        On::Waist => navel_waist(facts, waist.value),
        _ => hip.value,
    };
    let Some((usual, sd)) = usual(Measure::GirthBust, &facts.averages, WaistKind::Navel, &of)
    else {
        return;
    };
    if (bust.value - usual).abs() > 3.0 * sd {
        found.push(say(
            Severity::Warning,
            bust,
            ReadingFact::OddBust {
                bust: facts.named(bust),
                waist: facts.named(waist),
                hip: facts.named(hip),
                usual: facts.shown(bust.measure, usual),
                slip: mend_girths(facts),
            },
        ));
    }
}

/// The back waist length as stature leads one to expect it; three standard deviations are asked about.
pub(super) fn back_length<'a>(
    facts: &Facts<'_>,
    get: &impl Fn(Measure) -> Option<OneReading<'a>>,
    found: &mut Vec<Finding>,
) {
    let (Some(back), Some(stature)) = (get(Measure::LengthBackWaist), get(Measure::HeightStature))
    else {
        return;
    };
    if facts.posture == Posture::Seated {
        return;
    }
    let of = |_| stature.value;
    let Some((usual, sd)) = usual(Measure::LengthBackWaist, &facts.averages, facts.waist, &of)
    else {
        return;
    };
    if (back.value - usual).abs() > 3.0 * sd {
        found.push(say(
            Severity::Warning,
            back,
            ReadingFact::OddBack {
                back: facts.named(back),
                stature: facts.named(stature),
                usual: facts.shown(back.measure, usual),
                navel: facts.waist == WaistKind::Navel,
            },
        ));
    }
}
