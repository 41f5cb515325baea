//! The check card: what to measure on the finished form, where, and how close it must be.

use std::f64::consts::TAU;

use maud::{Markup, html};

use crate::measure::{Kind, Level, Measure, Side};
use crate::report::Form;
use crate::report::totals;
use crate::report::words;
use crate::tape::Reading;
use crate::tolerance::{FINISHED_BROAD_TOLERANCE_MM, finished};

/// What is checked on the finished form, from the bottom up.
const ROWS: [Measure; 13] = [
    Measure::GirthHip,
    Measure::GirthTopHip,
    Measure::GirthAbdomen,
    Measure::GirthWaist,
    Measure::GirthUnderbust,
    Measure::GirthBust,
    Measure::GirthUpperChest,
    Measure::GirthNeck,
    Measure::LengthBackWaist,
    Measure::LengthFrontWaist,
    Measure::LengthAcrossBack,
    Measure::LengthShoulder,
    Measure::LengthBustPointWidth,
];

/// The band of a reading that the card has.
fn band(measure: Measure) -> Option<f64> {
    let on_card = ROWS.contains(&measure);
    finished(measure).filter(|_| on_card)
}

/// Whether the form as it will be built is out of the band that the card gives this reading.
pub(super) fn off_as_built(r: &Reading) -> bool {
    match (band(r.target.measure), r.built) {
        (Some(band), Some(built)) => (built - r.target.value).abs() > band,
        _ => false,
    }
}

/// What stands after the verdict on the solid, where the form as it will be built is another matter:
/// what padding mends, or what the steps of the layers leave.
pub(in crate::report) fn as_built(r: &Reading) -> &'static str {
    let on_card = ROWS.contains(&r.target.measure);
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
pub(in crate::report) fn meaning<'a>(
    readings: impl Iterator<Item = &'a Reading>,
) -> Option<String> {
    let said: Vec<&str> = readings.map(as_built).collect();
    let of = |word: &str, means: &str| said.contains(&word).then(|| means.to_owned());
    let all: Vec<String> = [
        of(
            ", pad",
            "pad: as built it is off the sheet, and padding mends it, as step 7 of the guide says",
        ),
        of(
            ", off",
            "off: as built it is off the sheet by more than a hand would be, from the steps of the layers; \
             thinner ones come nearer",
        ),
    ]
    .into_iter()
    .flatten()
    .collect();
    (!all.is_empty()).then(|| all.join("; "))
}

/// The card as a table with blanks to fill in.
pub(super) fn card(form: &Form) -> Markup {
    let unit = form.checked.unit;
    let scale = form.stack.scale;
    let zero = totals::underside(form);
    let level = |l: Level| {
        let levels = &form.solid.marks.levels;
        let z = levels.get(&l).or_else(|| {
            // Without a waist of its own the sheet means the natural one.
            (l == Level::WaistTape)
                .then(|| levels.get(&Level::Waist))
                .flatten()
        })?;
        Some(z - zero)
    };
    let (cover, on) = (
        form.workshop.padding.cover,
        form.workshop.padding.batting + form.workshop.padding.cover,
    );
    let rows = ROWS.into_iter().flat_map(|measure| {
        let readings = form.checked.readings.iter();
        readings
            .filter(move |r| r.target.measure == measure && r.solid.is_some())
            .filter_map(move |r| Some((r, measure.level(), band(measure)?)))
    });
    let rows: Vec<(&Reading, Option<Level>, f64)> = rows.collect();
    html! {
        p {
            "Measure with the tape that measured the body, at the heights given, which run up from the \
             underside of layer 1 (the top of the base board): once before the form is padded, once \
             before it is covered, once when it is done. The bands are for the covered form and common \
             practice; with thin padding and care half as much can be had. The small figures say about \
             how much a girth must be before padding and cover are on: 6.28 times their thickness less."
        }
        table class="stack" {
            caption {
                (form.checked.sheet.name) ": check card, lengths in " (words::unit_words(unit))
                @if scale < 0.75 { ", HALF SCALE" }
            }
            thead { tr {
                th scope="col" { "Measurement" }
                th scope="col" class="n" { "Height" }
                th scope="col" class="n" { "Target" }
                th scope="col" class="n" { "Right from" }
                th scope="col" class="n" { "to" }
                th scope="col" { "Bare stack" }
                th scope="col" { "Padded" }
                th scope="col" { "Covered" }
            } }
            tbody { @for (r, at, band) in rows {
                @let target = r.target.value * scale;
                tr {
                    th scope="row" {
                        (words::title(r))
                        @if r.target.side == Side::Both
                            && r.target.origin == crate::sheet::Origin::Estimated { " (estimated)" }
                    }
                    td class="n" {
                        (at.and_then(level).map_or_else(|| "–".to_owned(), |z| unit.show_bare(z)))
                    }
                    td class="n" { (unit.show_bare(target)) }
                    td class="n" { (unit.show_bare(target - band * scale)) }
                    td class="n" { (unit.show_bare(target + band * scale)) }
                    @for off in [on, cover] { td class="blank hint" {
                        @if at.is_some() { (unit.show_bare(target - TAU * off)) }
                    } }
                    td class="blank" {}
                }
            } }
        }
        p { "Date ________________   Measured by ________________________" }
    }
}
