//! The girth check and the findings, as they stand in the guide.

use super::JUDGE;
use crate::error::Severity;
use crate::form::Form;
use crate::form::bands::off_as_built;
use crate::measure::{Kind, Measure};
use crate::say::amount::{Amount, AmountScale};
use crate::say::as_built;
use crate::say::page::{Block, PageMark};
use crate::say::table::{Setting, Table, TableRow, cells};
use crate::say::words;
use crate::sheet::Origin;
use crate::tape::{Reading, Verdict};
use crate::text;
use crate::text::{Part, ShownAs, Text};
use crate::tolerance::CREASE_TOLERANCE_MM;

/// One box: is the shape right?
pub(super) fn verdict(form: &Form) -> Block {
    let given: Vec<&Reading> = form
        .checked
        .readings
        .iter()
        .filter(|r| r.target.origin == Origin::Given && r.solid.is_some())
        .collect();
    let missed = given.iter().filter(|r| r.verdict == Verdict::Missed);
    let missed: Vec<Text> = missed.map(|r| words::title(r)).collect();
    if !missed.is_empty() {
        return Block::Verdict(text![
            text::strong("The shape misses the sheet"),
            " in ",
            text::many(missed.len(), "reading"),
            ": ",
            Text::joined(missed, ", "),
            ". Readings that pull against each other cannot all be met: look at the warnings before anything is cut."
        ]);
    }
    let findings = form.checked.findings.iter();
    let warned = findings.filter(|f| f.severity != Severity::Note).count();
    let warned = (warned > 0).then(|| {
        text![
            " Read the ",
            text::many(warned, "warning"),
            " under ",
            Part::Place(JUDGE),
            " before anything is cut."
        ]
    });
    let off = given.iter().filter(|r| off_as_built(r)).filter_map(|r| {
        let apart = words::difference(r, r.built, form.checked.unit)?;
        Some(text![words::title(r), " (", apart.to_string(), ")"])
    });
    let off: Vec<Text> = off.collect();
    let off = (!off.is_empty()).then(|| {
        text![
            " ",
            text::strong("The stack as built does not:"),
            " with padding of even thickness the ",
            Text::joined(off, ", "),
            " would be out of the band of the check card. Step 8, “Pad”, says what to do there."
        ]
    });
    Block::Verdict(text![
        text::strong("The shape meets the sheet."),
        " All ",
        text::many(given.len(), "reading"),
        " measured on the solid agree with the sheet.",
        warned,
        off
    ])
}

/// Everything that was asked, and everything that was estimated.
pub(super) fn table(form: &Form) -> Vec<Block> {
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
    let asked = Table::new(&heads, asked)
        .under("What the sheet asks for")
        .set(Setting::Checks);
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
    let counted = words::wedges_counted(form);
    let counted = counted.map(|counted| text![" What is called ", counted, "."]);
    let meaning = as_built::meaning(given.iter().copied());
    let meaning = meaning.map(|meaning| {
        text![
            " The verdict is that on the solid; beside it, ",
            meaning,
            "."
        ]
    });
    let mut out = vec![
        Block::Paragraph(text![
            text::strong("Solid"),
            " is read off the finished surface, ",
            text::strong("as built"),
            " off the stack with padding and cover on: a tape rides on the corners of the layers. Lengths are in ",
            unit.plural(),
            ".",
            counted,
            meaning
        ]),
        Block::Table(asked),
    ];
    let elsewhere = given.iter().filter(|r| r.solid.is_none()).map(|r| {
        let reason = r.reason.map(|reason| text![": ", reason]);
        text![
            words::title(r),
            " ",
            words::asked(r, unit).to_string(),
            reason
        ]
    });
    let elsewhere: Vec<Text> = elsewhere.collect();
    if !elsewhere.is_empty() {
        out.push(Block::Paragraph(
            "Used to judge the body, not found on the form:".into(),
        ));
        out.push(Block::List(PageMark::Dash, elsewhere));
    }
    if !estimated.is_empty() {
        out.push(Block::Table(guessed));
    }
    out.extend(next(form));
    out
}

/// How well the shape is known, and what would tell most about it.
fn next(form: &Form) -> Vec<Block> {
    let fit = &form.checked.fit;
    if fit.next.is_empty() {
        return Vec::new();
    }
    let known = |mm: f64| Part::Shown(mm, ShownAs::PlusMinus);
    let all = fit
        .next
        .iter()
        .map(|a| text![a.measure, ", ", known(a.unsure)]);
    vec![
        Block::Step("What to measure next".into()),
        Block::Paragraph(text![
            "The surface is known to ",
            known(fit.unsure),
            " all round. What tells most, and to what it is known then: ",
            Text::joined(all, "; "),
            "."
        ]),
    ]
}

/// Girths that differ by less than this, mm, ask for nothing: a third of a millimetre of batting.
const EVEN: f64 = 2.0;

/// Where the padding must differ from the even thickness, level by level.
pub(super) fn padding(form: &Form) -> Vec<Block> {
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
        let even = "Batting of the same thickness everywhere gives every girth that was asked.";
        return [Block::Paragraph(even.into())]
            .into_iter()
            .chain(lengths)
            .collect();
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
    [Block::Table(table)].into_iter().chain(lengths).collect()
}

/// What padding by level does not mend, and what does.
fn lengths_off(form: &Form) -> Vec<Block> {
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
    let told = all.filter_map(|r| {
        let apart = words::difference(r, r.built, unit)?;
        Some(Block::Paragraph(text![
            "The ",
            words::title(r),
            " is off by ",
            apart.to_string(),
            " on the bare steps. Batting all round does not mend that: feather the steps there with scraps, or \
             leave some batting off, until the tape reads what was asked."
        ]))
    });
    told.collect()
}

/// Warnings first, then notes.
pub(super) fn findings(form: &Form) -> Block {
    let mut list: Vec<_> = form.checked.findings.iter().collect();
    list.sort_by_key(|f| std::cmp::Reverse(f.severity));
    if list.is_empty() {
        return Block::Paragraph("Nothing in the sheet or the stack looks unusual.".into());
    }
    let told = list.into_iter().map(|f| {
        let weight = (f.severity != Severity::Note).then(|| text![text::strong("Warning:"), " "]);
        let at = f.place.as_ref();
        let at = at.map(|p| text![" ", words::at_line(words::file_name(&p.file), p.line)]);
        let hint = f.fact.hint();
        let hint = (!hint.is_empty()).then(|| text![" ", text::sentence(hint)]);
        text![weight, text::sentence(text![f.told(), at]), hint]
    });
    Block::List(PageMark::Dash, told.collect())
}
