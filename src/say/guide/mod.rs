//! `guide.html`: one page that takes somebody from a stack of sheet material to a finished form.
//!
//! # Why one page of HTML for the guide?
//! It opens on everything, needs no network and prints.

mod card;
mod cautions;
mod check;
mod cover_step;
mod dowels;
mod judge;
mod kinds;
mod layers;
mod pictures;
mod restart;
mod runs;
mod scenes;
mod stand;
mod steps;
mod time;

use maud::{DOCTYPE, Markup, PreEscaped, html};

use crate::form::Form;
use crate::form::levels::Section;
use crate::form::totals;
use crate::imprint;
use crate::render::View;
use crate::say::words;
use crate::sheet::EXAMPLE_FILE;
use crate::text;
use crate::units::Unit;
use crate::workshop::material;
use crate::workshop::material::Pins;

/// The look of the page, for screen, phone and paper.
const STYLE: &str = include_str!("style.css");

/// Parts of the page: anchor and heading.
const PARTS: [(&str, &str); 8] = [
    ("form", "The form"),
    ("buy", "What to buy"),
    ("time", "How long it takes"),
    ("steps", "Step by step"),
    ("layers", "Layer by layer"),
    ("card", "Check card"),
    ("judge", "Judging the form"),
    ("about", "How far to trust it"),
];

/// The whole page. `pictures` are the shaded views, `sections` those at every level.
#[must_use]
pub fn page(form: &Form, pictures: &[View], sections: &[Section]) -> String {
    let sums = totals::totals(form);
    let name = &form.checked.sheet.name;
    let unit = form.checked.unit;
    let half = form.stack.scale < 0.75;
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (name) ": building the form" }
                style { (PreEscaped(STYLE)) }
            }
            body {
                header {
                    h1 { (name) ": building the form" }
                    @if half { p { strong { "HALF SCALE." } " Every length of the body is halved; \
                        thickness, dowels, padding and cover are not." } }
                    (what(form, &sums))
                    nav aria-label="Contents" {
                        ol { @for (id, title) in PARTS { li { a href={ "#" (id) } { (title) } } } }
                    }
                }
                main {
                    (part(0, html! {
                        (check::verdict(form))
                        (pictures::views(form, pictures))
                        p class="small" { "Heights are above the underside of layer 1." }
                    }))
                    (part(1, steps::shopping(form, &sums)))
                    (part(2, time::time(form, &sums)))
                    (part(3, steps::steps(form, &sums)))
                    (part(4, layers::layers(form)))
                    (part(5, card::card(form)))
                    (part(6, html! {
                        (check::findings(form))
                        (check::table(form))
                        (judge::built(form, &sums))
                        (pictures::sections(sections, unit))
                    }))
                    (part(7, about(form)))
                }
            }
        }
    };
    page.into_string()
}

fn part(i: usize, inside: Markup) -> Markup {
    let (id, title) = PARTS[i];
    html! { section id=(id) { h2 { (title) } (inside) } }
}

fn what(form: &Form, t: &totals::Totals) -> Markup {
    let sheet = &form.checked.sheet;
    let unit = form.checked.unit;
    html! {
        p {
            "A stand-in form"
            @if material::named(&form.workshop.layer.material).is_none_or(|m| m.pins != Pins::No) {
                " to pin into"
            }
            ", made from "
            @if words::file_name(&sheet.file) != EXAMPLE_FILE { "the measurement sheet " }
            em { (words::file_name(&sheet.file)) }
            @if let Some(taken) = words::taken(sheet.taken.as_deref(), sheet.taken_by.as_deref()) { ", measured " (taken) }
            ": " (text::count(t.layers, "flat layer")) " of " (form.workshop.layer.material) ", "
            (unit.bench(form.workshop.layer.thickness, 2)) " thick, stacked on "
            (text::count(form.stack.dowels.len(), "dowel"))
            @if form.stack.pole.is_some() { " and a pole" }
            ", then padded and covered. It stands " (unit.show(t.height))
            " tall without its stand and its layers weigh about "
            (unit.weight(t.layer_weight, 1)) "."
        }
        (restart::intro(form))
        p {
            "Layers are smaller than the body by " (unit.bench(form.stack.padding, 1))
            " all round, which padding and cover give back."
        }
    }
}

fn about(form: &Form) -> Markup {
    let (far, differ) = match form.checked.unit {
        Unit::Cm | Unit::Mm => ("1 m", "1 cm"),
        Unit::In => ("3 ft", "3/8 in"),
    };
    html! {
        p {
            "The check shows that the shape meets the sheet, not that the sheet meets the body: two people \
             measuring it differ by about " (differ) " in a girth (common practice, no source)."
            @if form.checked.readings.iter().any(|r| r.target.origin == crate::sheet::Origin::Estimated) {
                " Each value that you measure replaces an estimate."
            }
        }
        p {
            "Cautions are reminders: the maker's data sheets, local rules and people trained on the machine \
             come first. Foam, batting and board burn fast: keep the form at least " (far)
            " from heaters, put no lamp inside it and do not stand it in a way out."
        }
        p {
            "Made by " (imprint::PROGRAM) " of the body " code { (imprint::of_shape(&form.checked.mesh.vertices)) }
            ": boards and pages of another body do not go with this guide."
        }
    }
}
