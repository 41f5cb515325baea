//! What a measurement is called and how it is taken, in the words that fit the figure before one.

use crate::measure::Measure;
use crate::measure::Measure as M;
use crate::sheet::Figure;
use crate::sheet::WaistKind;
use crate::sheet::check;
use crate::sheet::plausible;
use crate::units::Unit;

use super::order::Round;

/// What this figure calls the measurement: men and children have a chest girth where women have a
/// bust girth.
#[must_use]
pub fn name(measure: Measure, figure: Figure) -> String {
    let title = measure.title();
    if figure == Figure::Woman || title.contains("underbust") {
        title.to_owned()
    } else {
        title
            .replace("bust point", "nipple")
            .replace("bust", "chest")
    }
}

/// What to expect of this figure, in words: `69.0 cm to 127.0 cm, seen in the 1988 and 2012 US Army
/// surveys`.
#[must_use]
pub fn expected(measure: Measure, figure: Figure, unit: Unit) -> String {
    format!(
        "{}, {}",
        check::show_range(measure, plausible::expected(measure, figure), unit),
        measure.info().seen.words(figure == Figure::Child)
    )
}

/// What the measurement is, for this figure and this waist.
#[must_use]
pub fn definition(measure: Measure, figure: Figure, waist: WaistKind) -> String {
    match (measure, figure, waist) {
        (M::GirthBust, Figure::Woman, _) => "level round the trunk at the bust points".to_owned(),
        (M::GirthBust, Figure::Man | Figure::Child, _) => {
            "level round the trunk at the fullest part of the chest".to_owned()
        }
        (M::GirthWaist, _, WaistKind::Natural) => {
            "round the waist where the elastic has settled".to_owned()
        }
        (M::GirthWaist, _, WaistKind::Iso) => {
            "level round the waist, half-way from the lowest rib to the top of the hip bone"
                .to_owned()
        }
        (M::GirthWaist, _, WaistKind::Navel) => "level round the waist at the navel".to_owned(),
        _ => of_figure(measure.info().definition, figure),
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
        _ => of_figure(measure.info().how, figure),
    }
}

/// What to make ready before a round, for this waist.
#[must_use]
pub fn ready(round: &Round, waist: WaistKind) -> String {
    let level = match waist {
        WaistKind::Natural => return round.ready.to_owned(),
        WaistKind::Iso => "half-way from the lowest rib to the top of the hip bone",
        WaistKind::Navel => "at the navel",
    };
    let elastic = "round the waist, bend sideways and let it settle";
    round
        .ready
        .replace(elastic, &format!("round the waist, level, {level}"))
}

/// The usual mistake, for this figure.
#[must_use]
pub fn mistake(measure: Measure, figure: Figure) -> String {
    of_figure(measure.info().mistake, figure)
}

/// Words about measuring, for this figure: men and children have a chest, and the larynx shows on
/// men only.
fn of_figure(text: &str, figure: Figure) -> String {
    let mut text = text.to_owned();
    if figure != Figure::Man {
        text = text.replace(
            "the Adam's apple",
            "the larynx (it moves when one swallows)",
        );
    }
    if figure != Figure::Woman {
        for (woman, other) in [
            (
                ", lying on the skin between the breasts",
                ", lying on the skin",
            ),
            ("pressed in under the breast", "pressed in under the chest"),
            ("under the breasts", "under the muscles of the chest"),
            ("above the breasts", "high on the chest"),
            ("bust points", "nipples"),
            ("bust point", "nipple"),
            ("the bust depth", "the chest depth"),
            ("as the bust", "as the chest"),
        ] {
            text = text.replace(woman, other);
        }
    }
    text
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
