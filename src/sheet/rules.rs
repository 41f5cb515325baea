//! The numbers behind [`plausible`](super::plausible): proportions of people in open surveys.
//!
//! The tables are `proportions.csv` and `usual.csv`. The waist of the 2012 survey, and one of the two of
//! 1988, is at the navel.

use std::sync::LazyLock;

use crate::error::{Finding, Severity};
use crate::measure::Measure;
use crate::sheet::check::{Facts, Reading, say};
use crate::sheet::doubt_parts::How;
use crate::sheet::doubts::ReadingFact;
use crate::sheet::slip::{Slip, swapped_digits};
use crate::sheet::{Abdomen, Figure, WaistKind};
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

/// Every proportion that is looked at: `proportions.csv`.
pub(super) static PAIRS: LazyLock<Vec<Pair>> =
    LazyLock::new(|| survey::PROPORTIONS.rows().map(Pair::of_row).collect());

impl Pair {
    fn of_row(row: Row<'_>) -> Self {
        Self {
            a: row.measure("a"),
            how: match row.text("how") {
                "less" => How::Less,
                "over" => How::Over,
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
        let low = navel.of(facts.figure)?[0];
        (girth && value >= low && value < self.of(facts.figure)?[0])
            .then_some(Slip::Waist(WaistKind::Navel))
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
        // A full abdomen, or late pregnancy, is outside the surveys.
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

/// The line of `usual.csv` for a measurement, where it has one for this figure and this waist.
fn usual(measure: Measure, figure: Figure, waist: WaistKind) -> Option<&'static Line> {
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
    READ.iter()
        .find(|(m, f, w, _)| (*m, *f, *w) == (measure, figure.name(), waist))
        .map(|(.., line)| line)
}

/// The bust as waist and hip lead one to expect it; three standard deviations are asked about.
pub(super) fn bust_from_waist_and_hip<'a>(
    facts: &Facts<'_>,
    get: &impl Fn(Measure) -> Option<Reading<'a>>,
    found: &mut Vec<Finding>,
) {
    let Some(line) = usual(Measure::GirthBust, facts.figure, WaistKind::Navel) else {
        return;
    };
    let [Some(bust), Some(waist), Some(hip)] = Measure::MAIN_GIRTHS.map(get) else {
        return;
    };
    if full_abdomen(facts) {
        return;
    }
    let of = |on: On| match on {
        On::Waist => navel_waist(facts, waist.value),
        _ => hip.value,
    };
    let usual = line.value(of);
    if (bust.value - usual).abs() > 3.0 * line.own_sd(of) {
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
    get: &impl Fn(Measure) -> Option<Reading<'a>>,
    found: &mut Vec<Finding>,
) {
    let (Some(back), Some(stature)) = (get(Measure::LengthBackWaist), get(Measure::HeightStature))
    else {
        return;
    };
    let Some(line) = usual(Measure::LengthBackWaist, facts.figure, facts.waist) else {
        return;
    };
    let usual = line.value(|_| stature.value);
    if (back.value - usual).abs() > 3.0 * line.own_sd(|_| stature.value) {
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
