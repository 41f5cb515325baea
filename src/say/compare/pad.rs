//! Padding a form out to a body: for a terminal, in numbers, and as a page to work from.

use maud::html;
use serde_json::{Value, json};

use crate::compare::Body;
use crate::compare::CompareFact;
use crate::compare::PadLayer;
use crate::compare::PadLevel;
use crate::compare::Padding;
use crate::compare::SIDES;
use crate::compare::layers;
use crate::error::Error;
use crate::say::compare::page::frame;
use crate::say::compare::pictures;
use crate::say::compare::pictures::{Middles, Shown};
use crate::say::html;
use crate::say::json;
use crate::say::table::Table;
use crate::say::terminal;
use crate::say::words;
use crate::text;
use crate::units;
use crate::units::Unit;

/// A layer that covers less of a side than this leaves it out of the list: scraps.
const PART_LEAST: f64 = 0.03;
/// A layer that covers more of a side than this covers all of it.
const PART_MOST: f64 = 0.97;

/// How it is done, step by step (common practice, no source).
const STEPS: [&str; 8] = [
    "Put the bare form on its stand at the body's height and tape round it at the levels below. If it differs from its sheet, measure the form again first.",
    "Mark the body's levels on the form with thread, measured down from the nape.",
    "Cut each layer 3 cm larger all round than its spots on the map; tear the edges, and feather them \
     to nothing over those 3 cm.",
    "Lay the smallest pieces first, on the form, and the largest last: then the outer layer shows no edge.",
    "Above the middle of the armhole let the padding run out towards shoulder seam and neck.",
    "Hold each layer with long loose stitches or pins flat to the surface; pull nothing tight.",
    "Tape after every layer with the cover pulled on by hand: batting sinks under a cover.",
    "Stretch the cover over it, and tape at every level against the body's sheet.",
];

/// Which sides a layer covers, in words.
fn covers(layer: &PadLayer) -> String {
    let parts: Vec<String> = SIDES
        .iter()
        .zip(layer.part)
        .filter(|(_, p)| *p >= PART_LEAST)
        .map(|(side, p)| {
            if p > PART_MOST {
                format!("all {side}")
            } else {
                format!("{} % {side}", units::fixed(100.0 * p, 0))
            }
        })
        .collect();
    if parts.is_empty() {
        "scraps".to_owned()
    } else {
        parts.join(", ")
    }
}

fn thickness(mm: f64, unit: Unit) -> String {
    match unit {
        // A millimetre counts here.
        Unit::Cm => units::fixed(unit.from_mm(mm), 1),
        Unit::Mm => units::fixed(mm, 0),
        Unit::In => unit.rule_bare(mm, 0),
    }
}

/// Words for the terminal.
#[must_use]
pub fn padding(form: &Body, body: &Body, p: &Padding, unit: Unit) -> String {
    let mut out = format!("{} padded out to {}\n\n", form.name, body.name);
    let rows = levels(p, unit);
    out.push_str(&terminal::table(
        &Table::new(
            &[
                "level", "below", "form", "body", "evenly", "front", "back", "right", "left",
            ],
            &[1, 2, 3, 4, 5, 6, 7, 8],
            rows,
        ),
        false,
    ));
    out.push('\n');
    out.push_str(&terminal::paragraph(
        &format!(
            "in {}; below: below the nape; form: the tape round the bare form at that height; \
             evenly: the thickness if it were the same all round; the cover is part of every \
             thickness; a layer of batting is {} under it",
            words::unit_words(unit),
            unit.rule(p.batting, 1)
        ),
        0,
    ));
    if let Some(neck) = p.neck.filter(|n| *n > 0.0) {
        out.push_str(&format!("neck: {} all round\n", Unit::show(unit, neck)));
    }
    out.push('\n');
    for (i, l) in p.layers.iter().enumerate() {
        out.push_str(&terminal::paragraph(
            &format!(
                "layer {}: {}; from {} to {} below the nape; {}",
                i + 1,
                unit.cloth(l.area, 2),
                unit.show(l.reach[0]),
                unit.show(l.reach[1]),
                covers(l)
            ),
            2,
        ));
    }
    if p.layers.is_empty() {
        out.push_str("no spot is thick enough for a layer\n");
    }
    out.push_str(&format!(
        "batting to buy: {}, with 15 % for cutting out\n\n",
        unit.cloth(p.area, 2)
    ));
    for (i, step) in STEPS.iter().enumerate() {
        out.push_str(&terminal::paragraph(&format!("{}. {step}", i + 1), 3));
    }
    out
}

/// The same in numbers, mm and square mm.
#[must_use]
pub fn padding_json(form: &Body, body: &Body, p: &Padding) -> Value {
    let around = |v: [f64; 4]| {
        let [front, back, right, left] = v.map(json::number);
        json!({ "front": front, "back": back, "right": right, "left": left })
    };
    let levels = p.levels.iter().map(|l| {
        let [front, back, right, left] = l.around.map(|t| layers(t, p.batting));
        json!({
            "level": json::level_key(l.level),
            "below_nape": json::number(l.below),
            "form": json::number(l.form),
            "body": json::number(l.body),
            "evenly": json::number(l.evenly),
            "thickness": around(l.around),
            "layers": { "front": front, "back": back, "right": right, "left": left },
        })
    });
    let sheets = p.layers.iter().map(|l| {
        json!({
            "area": json::number(l.area),
            "from_below_nape": json::number(l.reach[0]),
            "to_below_nape": json::number(l.reach[1]),
            "covers": around(l.part),
        })
    });
    json!({
        "format": json::FORMAT,
        "form": form.name,
        "body": body.name,
        "batting": json::number(p.batting),
        "neck": p.neck.map(json::number),
        "levels": levels.collect::<Value>(),
        "layers": sheets.collect::<Value>(),
        "batting_area": json::number(p.area),
        "findings": json::findings(&p.findings),
    })
}

/// The same as a page: tables, the number of layers at every spot, sections.
///
/// # Errors
/// [`Error::Request`] when the body has no solid.
pub fn padding_page(form: &Body, body: &Body, p: &Padding, unit: Unit) -> Result<String, Error> {
    let solid = body
        .solid
        .as_ref()
        .ok_or_else(|| Error::request(CompareFact::TableHasNoSurface))?;
    let number = |thickness: f64| layers(thickness, p.batting).to_string();
    let key = format!("layers of {} batting at each spot", unit.rule(p.batting, 1));
    let cells: Vec<_> = p
        .sections
        .iter()
        .map(|(l, s)| (l.name(), s.clone()))
        .collect();
    let inside = html! {
        p { "Full line: the body, " (body.name) ". Dashed line: the bare form, " (form.name)
            ", inside it, napes level." }
        @if !p.findings.is_empty() {
            section { h2 { "What to look at first" }
                ul { @for f in &p.findings { li { (f.message()) "; " (f.hint()) "." } } } }
        }
        section { h2 { "Thickness at every level" } (html::wide(&table(p, unit))) }
        section {
            h2 { "Layers" }
            p { (key) ": " (text::count(p.layers.len(), "layer")) " at most; " (unit.cloth(p.area, 2))
                " of batting with 15 % for cutting out." }
            div class="plain" {
                (pictures::spotted(&p.spots, solid, &key, &Shown::Words(&number, &key)))
            }
            table {
                thead { tr { th class="n" { "layer" } th class="n" { "area" } th { "below the nape" } th { "covers" } } }
                tbody { @for (i, l) in p.layers.iter().enumerate() {
                    tr { td class="n" { (i + 1) } td class="n" { (unit.cloth(l.area, 2)) }
                        td { (unit.show(l.reach[0])) " to " (unit.show(l.reach[1])) } td { (covers(l)) } }
                } }
            }
        }
        section {
            h2 { "Sections" }
            p { "All at one scale, front upward; the gap between the lines is the padding." }
            div class="cells" {
                @for (name, svg) in pictures::overlaid(&cells, Middles::First) {
                    figure { (svg) figcaption { (name) } }
                }
            }
        }
        section {
            h2 { "Step by step" }
            ol { @for step in STEPS { li { (step) } } }
            div class="caution" { p { "Fingers find the pins and needles left in batting: count them. \
                Batting burns fast: keep the form at least 1 m from heaters and lamps. The stand carries \
                more weight than before: see that it does not tip." } }
        }
    };
    Ok(frame(
        &format!("{} padded out to {}", form.name, body.name),
        &inside,
    ))
}

/// A row for each level: where it is, the girths, and the thickness evenly and on every side.
fn levels(p: &Padding, unit: Unit) -> Vec<Vec<String>> {
    let row = |l: &PadLevel| {
        let mut row = vec![
            l.level.name().to_owned(),
            unit.show_bare(l.below),
            unit.show_bare(l.form),
            unit.show_bare(l.body),
            thickness(l.evenly, unit),
        ];
        row.extend(l.around.map(|t| thickness(t, unit)));
        row
    };
    p.levels.iter().map(row).collect()
}

/// The levels as the page shows them, the neck above them.
fn table(p: &Padding, unit: Unit) -> Table {
    let mut rows = levels(p, unit);
    if let Some(neck) = p.neck.filter(|n| *n > 0.0) {
        let mut row = vec![String::new(); 9];
        row[0] = "neck".into();
        row[4] = thickness(neck, unit);
        rows.insert(0, row);
    }
    let heads = [
        "level",
        "below the nape",
        "form there",
        "body",
        "evenly",
        "front",
        "back",
        "right",
        "left",
    ];
    Table::new(&heads, &[1, 2, 3, 4, 5, 6, 7, 8], rows).under(format!(
        "In {}; thickness under the cover, which is part of it",
        words::unit_words(unit)
    ))
}
