//! A waist that no adult of the surveys comes near to beside both bust and hip. Laced waists exist, so it is not refused,
//! but asked about with all that speaks against it.

use crate::error::{Finding, Severity};
use crate::facts;
use crate::measure::Measure;
use crate::sheet::check::{Facts, OneReading};
use crate::sheet::doubt_parts::SetAgainst;
use crate::sheet::rules;
use crate::sheet::shown::{Named, Shown};
use crate::text;
use crate::text::typed;
use crate::units;

/// A girth less the waist may be this many times what one in a thousand has at most, before it is asked about harder.
/// Our choice: bust and hip both have to be past it, which nobody is by being large at one of them.
const PAST_THE_SURVEYS: f64 = 1.5;

facts! {
    /// What is said of such a waist.
    pub(super) enum WaistFact {
        /// It is far less than bust and hip.
        NarrowWaist { waist: Named, below: [Shown; 2], others: [Named; 2], most: [Shown; 2] } => text![
            *waist, " is ", below[0], " less than ", others[0], " and ", below[1], " less than ", others[1],
            ": of a thousand adults in the surveys hardly one has more than ", most[0], " and ", most[1]
        ], text![
            "read all three again before you build; if they are right, say so: ",
            typed(format!("waist = {{ value = {}, sure = true }}",
                          units::trimmed(waist.shown.unit.from_mm(waist.shown.value), 4)))
        ];
    }
}

/// What to ask about the waist.
pub(super) fn narrow_waist(facts: &Facts<'_>, refused: &[Measure]) -> Option<Finding> {
    let get = |m: Measure| facts.get(m).filter(|_| !refused.contains(&m));
    let waist = get(Measure::GirthWaist)?;
    let beside = |m: Measure| -> Option<(OneReading<'_>, f64, f64)> {
        let other = get(m)?;
        let rules = rules::PAIRS.iter().filter(|rule| {
            (rule.a, rule.b) == (m, Measure::GirthWaist) && matches!(rule.how, SetAgainst::Less)
        });
        let most = rules.filter_map(|rule| rule.range(facts)).next()?[1];
        let less = (other.value - other.within) - (waist.value + waist.within);
        (less > PAST_THE_SURVEYS * most).then_some((other, other.value - waist.value, most))
    };
    let (bust, hip) = (beside(Measure::GirthBust)?, beside(Measure::GirthHip)?);
    let shown = |mm: f64| facts.shown(Measure::GirthWaist, mm);
    let fact = WaistFact::NarrowWaist {
        waist: facts.named(waist),
        below: [shown(bust.1), shown(hip.1)],
        others: [facts.named(bust.0), facts.named(hip.0)],
        most: [shown(bust.2), shown(hip.2)],
    };
    let finding = Finding::of(Severity::Warning, fact).about(Measure::GirthWaist);
    Some(finding.at(waist.given.place.clone()))
}
