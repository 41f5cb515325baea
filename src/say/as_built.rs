//! What stands after a verdict where the form as it will be built is another matter than its solid.

use crate::form::bands;
use crate::form::bands::off_as_built;
use crate::measure::Kind;
use crate::say::words;
use crate::tape::Reading;
use crate::tolerance::FINISHED_BROAD_TOLERANCE_MM;
use crate::units::Unit;

/// What stands after the verdict on the solid, where the form as it will be built is another matter:
/// what padding mends, or what the steps of the layers leave.
pub(super) fn verdict_suffix(r: &Reading) -> &'static str {
    let on_card = bands::ROWS.contains(&r.target.measure);
    let far = r.built.is_some_and(|built| {
        r.target.measure.kind() != Kind::Slope
            && (built - r.target.value).abs() > FINISHED_BROAD_TOLERANCE_MM
    });
    match (off_as_built(r), !on_card && far) {
        (true, _) => ", pad",
        (_, true) => ", off",
        _ => "",
    }
}

/// What the words after a verdict mean, of those that some reading has.
pub(super) fn meaning<'a>(readings: impl Iterator<Item = &'a Reading>) -> Option<String> {
    let said: Vec<&str> = readings.map(verdict_suffix).collect();
    let of = |word: &str, means: &str| said.contains(&word).then(|| means.to_owned());
    let all: Vec<String> = [
        of(
            ", pad",
            "pad: as built it is off the sheet, and padding mends it, as step 7 of the guide says",
        ),
        of(
            ", off",
            "off: as built it is off the sheet by more than a hand would be; the steps of the layers cause it, and \
             thinner layers come nearer",
        ),
    ]
    .into_iter()
    .flatten()
    .collect();
    (!all.is_empty()).then(|| all.join("; "))
}

/// A reading on the solid and as built beside what was asked, and what is said of it.
pub(super) fn row(r: &Reading, verdict: String, unit: Unit) -> Vec<String> {
    vec![
        r.title(),
        words::value(r, r.target.value, unit),
        words::value_or_dash(r, r.solid, unit),
        words::difference(r, r.solid, unit),
        words::value_or_dash(r, r.built, unit),
        words::difference(r, r.built, unit),
        verdict,
    ]
}
