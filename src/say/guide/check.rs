//! The girth check and the findings, as they stand in the guide.

use maud::{Markup, html};

use crate::error::Severity;
use crate::form::Form;
use crate::form::bands::off_as_built;
use crate::measure::{Kind, Measure};
use crate::say::amount::{Amount, AmountScale};
use crate::say::as_built;
use crate::say::html;
use crate::say::table::{Table, TableRow, cells};
use crate::say::words;
use crate::sheet::Origin;
use crate::tape::{Reading, Verdict};
use crate::text;
use crate::tolerance::CREASE_TOLERANCE_MM;

/// One box: is the shape right?
pub(super) fn verdict(form: &Form) -> Markup {
    let given: Vec<&Reading> = form
        .checked
        .readings
        .iter()
        .filter(|r| r.target.origin == Origin::Given && r.solid.is_some())
        .collect();
    let missed = given.iter().filter(|r| r.verdict == Verdict::Missed);
    let missed: Vec<String> = missed.map(|r| r.title()).collect();
    let off: Vec<String> = given
        .iter()
        .filter(|r| off_as_built(r))
        .filter_map(|r| {
            let apart = words::difference(r, r.built, form.checked.unit)?;
            Some(format!("{} ({apart})", r.title()))
        })
        .collect();
    html! {
        p class="verdict" {
            @if missed.is_empty() {
                strong { "The shape meets the sheet." }
                " All " (text::count(given.len(), "reading"))
                " measured on the solid agree with the sheet."
                @let warned = form.checked.findings.iter().filter(|f| f.severity != Severity::Note).count();
                @if warned > 0 {
                    " Read the " (text::count(warned, "warning")) " under " a href="#judge" { "Judging the form" }
                    " before anything is cut."
                }
                @if !off.is_empty() {
                    " " strong { "The stack as built does not: " }
                    "with padding of even thickness the " (off.join(", "))
                    " would be out of the band of the check card. Step 8, “Pad”, says what to do there."
                }
            } @else {
                strong { "The shape misses the sheet" } " in " (text::count(missed.len(), "reading"))
                ": " (missed.join(", "))
                ". Readings that pull against each other cannot all be met: look at the warnings \
                 before anything is cut."
            }
        }
    }
}

/// Everything that was asked, and everything that was estimated.
pub(super) fn table(form: &Form) -> Markup {
    let unit = form.checked.unit;
    let (given, estimated): (Vec<&Reading>, Vec<&Reading>) = form
        .checked
        .readings
        .iter()
        .partition(|r| r.target.origin == Origin::Given);
    let on_form = |r: &&&Reading| r.solid.is_some();
    let asked = given.iter().filter(on_form).map(|r| {
        let verdict = as_built::verdict(r, words::verdict(r).to_owned());
        TableRow::new(as_built::row(r, verdict, unit), words::weight(r))
    });
    let heads = [
        "Measurement",
        "Asked",
        "Solid",
        "Off by",
        "As built",
        "Off by",
        "Verdict",
    ];
    let asked = Table::new(&heads, asked).under("What the sheet asks for");
    let reader = form.checked.reader();
    // What a garment is cut by; the rest is for whoever doubts the shape.
    let worn = |r: &&&Reading| {
        matches!(
            r.target.measure.kind(),
            Kind::Girth | Kind::Arc | Kind::Length
        )
    };
    let guessed = estimated.iter().filter(on_form).filter(worn).map(|r| {
        cells![
            words::title(r),
            words::asked(r, unit),
            words::plus_minus(r, r.target.plus_minus, unit).marked(""),
        ]
    });
    let heads = ["Measurement", "Estimate", "±"];
    let guessed = Table::new(&heads, guessed)
        .under(
        "Estimated: nobody measured it; 19 bodies in 20 lie within the ±. `layfigure check --all` lists breadths, \
         depths and heights",
    );
    html! {
        p {
            strong { "Solid" } " is read off the finished surface, " strong { "as built" }
            " off the stack with padding and cover on: a tape rides on the corners of the layers. Lengths are in "
            (unit.plural()) "."
            @if let Some(counted) = words::wedges_counted(form) { " What is called " (counted) "." }
            @if let Some(meaning) = as_built::meaning(given.iter().copied()) {
                " The verdict is that on the solid; beside it, " (meaning) "."
            }
        }
        (html::table(&asked, Some("stack checks"), reader))
        @if given.iter().any(|r| r.solid.is_none()) {
            p { "Used to judge the body, not found on the form: " }
            ul { @for r in given.iter().filter(|r| r.solid.is_none()) {
                li {
                    (r.title()) " " (words::asked(r, unit).to_string())
                    @if let Some(reason) = r.reason { ": " (reason) }
                }
            } }
        }
        @if !estimated.is_empty() {
            (html::wide(&guessed, reader))
        }
        (next(form))
    }
}

/// How well the shape is known, and what would tell most about it.
fn next(form: &Form) -> Markup {
    let unit = form.checked.unit;
    let fit = &form.checked.fit;
    html! {
        @if !fit.next.is_empty() {
            h3 { "What to measure next" }
            p {
                "The surface is known to " (unit.show_plus_minus(fit.unsure)) " all round. What tells most, and to what it is \
                 known then: "
                @for (i, a) in fit.next.iter().enumerate() {
                    @if i > 0 { "; " }
                    (a.measure.info().title.of(form.checked.sheet.figure)) " (" code { (a.measure) } "), "
                    (unit.show_plus_minus(a.unsure))
                }
                "."
            }
        }
    }
}

/// Girths that differ by less than this, mm, ask for nothing: a third of a millimetre of batting.
const EVEN: f64 = 2.0;

/// Where the padding must differ from the even thickness, level by level.
pub(super) fn padding(form: &Form) -> Markup {
    let unit = form.checked.unit;
    let even = form.workshop.padding.batting;
    let rows: Vec<(&Reading, f64)> = form
        .checked
        .readings
        .iter()
        .filter(|r| r.target.measure.kind() == Kind::Girth)
        // These two follow creases: batting all round would not mend them.
        .filter(|r| {
            !matches!(
                r.target.measure,
                Measure::GirthNeckBase | Measure::GirthArmscye
            )
        })
        .filter_map(|r| Some((r, (r.built? - r.target.value) * form.stack.scale)))
        .collect();
    let lengths = lengths_off(form);
    if rows.iter().all(|(_, apart)| apart.abs() < EVEN) {
        return html! {
            p { "Batting of the same thickness everywhere gives every girth that was asked." }
            (lengths)
        };
    }
    let rows = rows.into_iter().map(|(r, apart)| {
        let drill = |mm: f64| Amount::new(mm, AmountScale::Drill(unit));
        cells![
            words::title(r),
            Amount::new(apart, AmountScale::Apart(unit)),
            drill((even - apart / std::f64::consts::TAU).max(0.0)),
        ]
    });
    let (apart, make) = (
        format!("Girth differs by, {}", unit.name()),
        format!("Make it, {}", unit.bench_name()),
    );
    let [apart, make] = [apart.as_str(), make.as_str()];
    let table = Table::new(&["Level", apart, make], rows).under(format!(
        "Batting by level: {} {} everywhere gives the girth as built, the last column the girth asked",
        unit.drill_bare(even),
        unit.bench_name()
    ));
    html! {
        (html::wide(&table, form.checked.reader()))
        (lengths)
    }
}

/// What padding by level does not mend, and what does.
fn lengths_off(form: &Form) -> Markup {
    let unit = form.checked.unit;
    // Where the tape follows a crease, batting all round does not mend a girth either.
    let crease = |m: Measure| matches!(m, Measure::GirthNeckBase | Measure::GirthArmscye);
    let off = |r: &&Reading| {
        let m = r.target.measure;
        let apart = r.built.map_or(0.0, |built| (built - r.target.value).abs());
        let missed = crease(m) && apart * form.stack.scale > CREASE_TOLERANCE_MM;
        r.target.origin == Origin::Given && (missed || (m.kind() != Kind::Girth && off_as_built(r)))
    };
    let all = form.checked.readings.iter().filter(off);
    html! {
        @for r in all {
            @if let Some(apart) = words::difference(r, r.built, unit) {
                p {
                    "The " (r.title()) " is off by " (apart) " on the bare steps. Batting all round does not mend \
                     that: feather the steps there with scraps, or leave some batting off, until the tape reads what was asked."
                }
            }
        }
    }
}

/// Warnings first, then notes.
pub(super) fn findings(form: &Form) -> Markup {
    let mut list: Vec<_> = form.checked.findings.iter().collect();
    list.sort_by_key(|f| std::cmp::Reverse(f.severity));
    html! {
        @if list.is_empty() {
            p { "Nothing in the sheet or the stack looks unusual." }
        } @else {
            ul { @for f in list { li {
                @if f.severity != Severity::Note { strong { "Warning: " } }
                @let at = f.place.as_ref().map(|p| text![" ", words::at_line(words::file_name(&p.file), p.line)]);
                (html::set(&text::sentence(text![f.told(), at]), f.reader))
                @if !f.fact.hint().is_empty() { " " em { (html::set(&text::sentence(f.fact.hint()), f.reader)) } }
            } } }
        }
    }
}
