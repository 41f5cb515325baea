//! A comparison as one page of HTML that needs nothing else.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use crate::compare::Body;
use crate::compare::CompareFact;
use crate::compare::Matched;
use crate::compare::Standing;
use crate::error::Error;
use crate::measure::Level;
use crate::mesh::Mesh;
use crate::say::compare::Pair;
use crate::say::compare::alteration;
use crate::say::compare::ease;
use crate::say::compare::pictures;
use crate::say::compare::text::differences;
use crate::say::html;
use crate::say::table::Table;
use crate::say::words;

/// The look that the guide has.
const STYLE: &str = include_str!("../guide/style.css");
/// What only comparisons need.
const MORE: &str = ".cells { display: flex; flex-wrap: wrap; gap: .6rem 1rem; }
.cells figure { margin: 0; }
.cells svg { display: block; max-width: 100%; height: auto; }
.plain svg { display: block; width: 100%; height: auto; }
.side svg { display: block; height: 20rem; width: auto; max-width: 100%; }
tr.noise th, tr.noise td { font-style: italic; }
@media print { .side svg { height: 70mm; } .plain svg { width: auto; max-height: 170mm; margin: 0 auto; }
  section > p { break-after: avoid; } .plain, table { break-inside: avoid; } .wide table { break-inside: auto; } }";

/// The frame of every page of a comparison.
pub(super) fn frame(heading: &str, inside: &Markup) -> String {
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (heading) }
                style { (PreEscaped(STYLE)) (PreEscaped(MORE)) }
            }
            body {
                header { h1 { (heading) } }
                main { (inside) }
            }
        }
    }
    .into_string()
}

/// Name of a body with what is to know about it.
fn who(body: &Body) -> String {
    let mut text = body.name.clone();
    if let Some(taken) = &body.taken {
        text.push_str(&format!(", measured on {taken}"));
    }
    if body.is_size {
        text.push_str(" (a size: averages or a table, nobody's own)");
    }
    text
}

/// The page of two bodies. Where one has no solid, only the tables are on it.
///
/// # Errors
/// [`Error::Format`] when a picture cannot be encoded; [`Error::Request`] when the two should stand
/// on one floor and where the floor is, is not known.
pub fn page(pair: &Pair) -> Result<String, Error> {
    let drawn = match (&pair.a.solid, &pair.b.solid) {
        (Some(a), Some(b)) => Some(solids(pair, a, b)?),
        _ => None,
    };
    let heading = format!("{} and {}", pair.a.name, pair.b.name);
    let inside = html! {
        p { strong { "A" } ", full line: " (who(&pair.a)) br; strong { "B" } ", dashed line: " (who(&pair.b)) }
        @if let Some(waists) = pair.waists() { p { (waists) "." } }
        section { h2 { "Differences" } (table(pair)) }
        section { h2 { "At the cutting table" } (cutting(pair)) }
        @match drawn {
            Some(markup) => (markup),
            None => p { "One of the two is a table of girths: no solid can be made of it, so there are no pictures." },
        }
        section { h2 { "How to read this" } (about()) }
    };
    Ok(frame(&heading, &inside))
}

fn table(pair: &Pair) -> Markup {
    if pair.is_same() {
        return html! { p { "No difference at all." } };
    }
    let heads = ["measurement", "A", "B", "cm", "in", "%", "noise, cm", ""];
    let table = differences(pair, &pair.differences, &heads).under(format!(
        "B less A, what stands out most first; A and B in {}",
        words::unit_words(pair.unit)
    ));
    html::wide(&table)
}

fn cutting(pair: &Pair) -> Markup {
    html! {
        p { "For something cut for A and worn by B (the other way round: name B first); " (ease(pair.ease)) "." }
        @if pair.alterations.is_empty() {
            p { "Nothing beyond the ease." }
        } @else {
            ul { @for a in &pair.alterations { li { (alteration(a)) } } }
        }
    }
}

fn solids(pair: &Pair, a: &Mesh, b: &Mesh) -> Result<Markup, Error> {
    let outlines = pictures::outlines(a, b, pair.standing)
        .ok_or_else(|| Error::request(CompareFact::NoCommonFloor))?;
    let matched = Matched::new(a, b);
    let shaded = pictures::shaded(a, b)?;
    Ok(html! {
        section {
            h2 { "Outlines" }
            p { @match pair.standing {
                Standing::Waist => "The natural waists are level and on one plumb line.",
                Standing::Floor => "Both stand on one floor, their waists on one plumb line.",
            } }
            div class="plain" { (outlines) }
        }
        section {
            h2 { "Sections" }
            p { "Each level of the one lies on the same level of the other, middle on middle, all at one \
                scale, front upward." }
            div class="cells" {
                @for (name, svg) in pictures::sections(a, b) {
                    figure { (svg) figcaption { (name) } }
                }
            }
        }
        section {
            h2 { "Side by side" }
            div class="cells side" {
                @for (name, svg) in shaded { figure { (svg) figcaption { (name) } } }
            }
        }
        @if let Some(m) = matched {
            section {
                h2 { "Where B stands outside A, and where inside" }
                p { "Each section of B lies on the same level of A, middle on middle, at whatever height the two \
                    levels are. So how somebody stands does not count here." }
                div class="plain" { (pictures::map(&m, b, pair.unit)) }
                (round(pair, &m, b))
            }
        }
    })
}

/// How far B stands outside A at the named levels, in figures.
fn round(pair: &Pair, matched: &Matched<'_>, b: &Mesh) -> Markup {
    let shown = |v: f64| words::bare_difference(v, pair.unit);
    let rows = Level::TRUNK.iter().filter_map(|l| {
        let [right, front, left, back] = matched.round(*b.marks.levels.get(l)?)?;
        let mut cells = vec![l.name().to_owned()];
        cells.extend([front, back, right, left].map(shown));
        Some(cells)
    });
    let heads = ["level", "front", "back", "right side", "left side"];
    let table = Table::new(&heads, &[1, 2, 3, 4], rows).under(format!(
        "How far B stands outside A, in {}; minus: inside",
        words::unit_words(pair.unit)
    ));
    html::table(&table, None)
}

fn about() -> Markup {
    html! {
        p { "~ marks an estimate: nobody measured it. Noise is what measuring twice, or estimating, can \
            account for 19 times in 20. For two readings it is 2.8 times the technical error of one (the usual \
            difference of two tries divided by the square root of 2). For a value with a plus-or-minus it is that, \
            and for two values the root of the sum of their squares. A smaller difference says nothing about the bodies." }
        p { "These are measurements of bodies, not of garments. Neither body is a norm for the other." }
    }
}
