//! What `build` says of a form on the terminal.

use crate::form::Form;
use crate::form::hours;
use crate::form::totals;
use crate::form::trial;
use crate::form::trial::Carried;
use crate::say::as_built;
use crate::say::page::{Block, Page, PageMark};
use crate::say::plan::columns;
use crate::say::room;
use crate::say::table::Table;
use crate::say::terminal;
use crate::say::words;
use crate::sheet::Origin;
use crate::tape::Reading;
use crate::text;
use crate::text::Text;

/// What `build` says of a form: its girth check in short, and what it takes to make it.
#[must_use]
pub fn text(form: &Form) -> String {
    terminal::page(&page(form), form.checked.reader(), false)
}

fn page(form: &Form) -> Page {
    let unit = form.checked.unit;
    let t = totals::totals(form);
    let first = form.stack.first_to_cut;
    let layers = if first > 1 {
        format!("layers {first} to {}", t.layers)
    } else {
        text::count(t.layers, "layer")
    };
    let made = format!(
        "{}: {layers} of {}, {} on {}, {}",
        form.checked.sheet.name,
        form.workshop.layer.material,
        words::pieces(&t),
        text::count(t.boards, "board"),
        text::count(form.pages.len(), "page"),
    );
    let stands = text![
        "it stands ",
        text::length(t.height, unit),
        " tall without its stand and its layers weigh ",
        text::together(unit.weight(t.layer_weight, 1))
    ];
    let takes = [
        Some(made.into()),
        words::tightness(form),
        words::offcuts(form),
        Some(words::pages(form)),
        Some(stands),
        trial::thicker(form).map(|then| thicker(form, &then)),
    ];
    let given = || {
        let given = |r: &&Reading| r.target.origin == Origin::Given;
        form.checked.readings.iter().filter(given)
    };
    let rows = given().filter(|r| r.solid.is_some()).map(|r| {
        let verdict = as_built::verdict(r, words::verdict_within(r, unit));
        as_built::row(r, verdict, unit)
    });
    let table = Table::new(
        &[
            "measurement",
            "asked",
            "solid",
            "diff.",
            "as built",
            "diff.",
            "verdict",
        ],
        rows,
    );
    let lengths = format!("lengths in {}", unit.plural());
    let said = [
        Some(lengths.into()),
        as_built::meaning(given()).map(Text::from),
        words::wedges_counted(form).map(Text::from),
    ];
    let list = |all: &[Option<Text>]| {
        Block::List(PageMark::Nothing, all.iter().flatten().cloned().collect())
    };
    vec![vec![list(&takes)], vec![Block::Table(table), list(&said)]]
}

/// What thicker sheets would save.
fn thicker(form: &Form, then: &Carried) -> Text {
    let unit = form.checked.unit;
    let own = &form.workshop.layer;
    let size = |mm: f64| {
        text::together(format!(
            "{} {}",
            columns::thickness(mm, unit),
            unit.bench_name()
        ))
    };
    let hours = hours::hours(
        &form.stack.materials_of(&form.workshop),
        trial::amounts(form),
    );
    text![
        own.material.clone(),
        " of ",
        size(then.thickness),
        " instead of ",
        size(own.thickness),
        ": about ",
        text::count(then.layers, "layer"),
        " and ",
        room::span(then.hours.by_hand()),
        " by hand instead of ",
        room::span(hours.by_hand()),
        " (",
        text::typed("layfigure plan"),
        " builds it)"
    ]
}
