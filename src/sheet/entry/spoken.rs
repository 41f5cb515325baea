//! What a measurement is called and how it is taken, in the words that fit the figure before one.

use crate::measure::Measure;
use crate::measure::Measure as M;
use crate::sheet::plausible;
use crate::sheet::shown::{Shown, range};
use crate::sheet::{Figure, WaistKind};
use crate::text;
use crate::text::Reader;
use crate::units::Unit;

use super::order::Round;

/// What this figure calls the measurement: men and children have a chest girth where women have a
/// bust girth.
#[must_use]
pub fn name(measure: Measure, figure: Figure) -> String {
    measure.info().title.of(figure).to_owned()
}

/// What to expect of this figure, in words: `69.0 cm to 127.0 cm, seen in the 1988 and 2012 US Army
/// surveys`.
#[must_use]
pub fn expected(measure: Measure, figure: Figure, unit: Unit) -> String {
    let usual = plausible::expected(measure, &figure.into()).map(|value| Shown {
        measure,
        value,
        unit,
    });
    let seen = measure.info().seen.words(figure == Figure::Child);
    text![range(usual), ", ", seen].plain(Reader::default())
}

/// What the measurement is, for this figure and this waist.
#[must_use]
pub fn definition(measure: Measure, figure: Figure, waist: WaistKind) -> String {
    match (measure, waist) {
        (M::GirthWaist, WaistKind::Natural) => {
            "round the waist where the elastic has settled".to_owned()
        }
        (M::GirthWaist, WaistKind::Iso) => {
            "level round the waist, half-way from the lowest rib to the top of the hip bone"
                .to_owned()
        }
        (M::GirthWaist, WaistKind::Navel) => "level round the waist at the navel".to_owned(),
        _ => measure.info().definition.of(figure).to_owned(),
    }
}

/// How it is taken, for this figure and this waist.
#[must_use]
pub fn how(measure: Measure, figure: Figure, waist: WaistKind) -> String {
    match (measure, waist) {
        (M::GirthWaist, WaistKind::Iso) => {
            "feel for the lowest rib and the top of the hip bone at the side and mark the middle; \
             tape level there, belly at rest"
                .to_owned()
        }
        (M::GirthWaist, WaistKind::Navel) => "tape level over the navel, belly at rest".to_owned(),
        _ => measure.info().how.of(figure).to_owned(),
    }
}

/// What to make ready before a round, for this waist.
#[must_use]
pub fn ready(round: &Round, waist: WaistKind) -> String {
    let level = match waist {
        WaistKind::Natural => round.waist,
        WaistKind::Iso => "level, half-way from the lowest rib to the top of the hip bone",
        WaistKind::Navel => "level, at the navel",
    };
    if round.waist.is_empty() {
        return round.ready.to_owned();
    }
    format!("{}{level}{}", round.ready, round.then)
}

/// The usual mistake, for this figure.
#[must_use]
pub fn mistake(measure: Measure, figure: Figure) -> String {
    measure.info().mistake.of(figure).to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn men_have_a_chest() {
        assert_eq!(name(M::GirthBust, Figure::Man), "chest girth");
        assert_eq!(name(M::GirthBust, Figure::Woman), "bust girth");
        assert_eq!(name(M::GirthUnderbust, Figure::Man), "underbust girth");
        assert_eq!(
            name(M::LengthSideNeckToBust, Figure::Man),
            "side neck to nipple"
        );
    }

    #[test]
    fn nobody_is_asked_for_what_is_not_theirs() {
        for m in M::ALL.into_iter().filter(|m| m.is_sheet_key()) {
            for figure in [Figure::Woman, Figure::Man, Figure::Child] {
                for waist in [WaistKind::Natural, WaistKind::Iso, WaistKind::Navel] {
                    let said = [
                        definition(m, figure, waist),
                        how(m, figure, waist),
                        mistake(m, figure),
                    ];
                    let said = said.join("; ");
                    assert!(!said.contains("in the sheet"), "{m}: {said}");
                    assert!(
                        figure == Figure::Man || !said.contains("Adam"),
                        "{m}: {said}"
                    );
                    assert!(
                        figure == Figure::Woman || !said.contains("breast"),
                        "{m}: {said}"
                    );
                }
            }
        }
        let navel = ready(&super::super::ROUNDS[0], WaistKind::Navel);
        assert!(
            navel.contains("elastic round the waist, level, at the navel;"),
            "{navel}"
        );
        let navel = how(M::GirthWaist, Figure::Man, WaistKind::Navel);
        assert!(!navel.contains("elastic"), "{navel}");
    }
}
