//! What `check --all` prints of one sheet: every reading and estimate at length, 80 columns wide.
//! [`check_short`](super::check_short) says it on one screen.

use crate::error::{Finding, Severity};
use crate::form::Checked;
use crate::measure::{Kind, Measure};
use crate::say::page::{Block, Page, PageMark, Values};
use crate::say::table::{Cell, Table, TableRow, cells};
use crate::say::terminal;
use crate::say::words;
use crate::sheet::Origin;
use crate::tape::{Reading, Verdict};
use crate::text;
use crate::text::{Reader, Text};
use crate::units::Unit;

/// The girth check of one sheet: what was asked and what the solid measures; then what nobody
/// measured, with its plus-or-minus; then what to measure next. The findings are counted, not told.
/// What deserves the eye is set in bold if `emphasis` says so, and said in words anyway.
#[must_use]
pub fn check(checked: &Checked, emphasis: bool) -> String {
    terminal::page(&page(checked), checked.reader(), emphasis)
}

fn page(checked: &Checked) -> Page {
    let (given, estimated): (Vec<&Reading>, Vec<&Reading>) = checked
        .readings
        .iter()
        .partition(|r| r.target.origin == Origin::Given);
    let mut page = vec![
        vec![Block::Heading(headline(checked, &given).into())],
        asked(&given, checked.unit),
    ];
    if !estimated.is_empty() {
        page.push(vec![
            Block::Heading(
                "estimated: nobody measured it; 19 bodies in 20 lie within the ±".into(),
            ),
            Block::Values(guesses(&estimated, checked.unit)),
        ]);
    }
    if !checked.fit.next.is_empty() {
        page.push(next(checked));
    }
    if let Some(again) = again(checked, &checked.findings) {
        page.push(vec![
            Block::Heading("measure again".into()),
            Block::Under(again),
        ]);
    }
    page
}

/// What a check without warnings does not see, and what would show it: of ten slips of 5 cm in true sheets of ten
/// readings six pass, of ten of 10 cm two (see the table of slips in tests/README.md).
pub(super) fn again(checked: &Checked, findings: &[Finding]) -> Option<Text> {
    if checked.fit.again.is_empty() || findings.iter().any(|f| f.severity >= Severity::Warning) {
        return None;
    }
    let each = checked.fit.again.iter().map(|m| (*m).into());
    Some(text![
        "a slip of ",
        match checked.unit {
            Unit::In => "2 in",
            Unit::Cm | Unit::Mm => "5 cm",
        },
        " can pass: have ",
        text::listed(each, "and"),
        " read again"
    ])
}

/// What a reader of the last lines must know: how many findings stand above, and which readings they
/// doubt. Nothing when there are none.
#[must_use]
pub fn above(findings: &[Finding]) -> String {
    let said = said_above(findings, findings);
    if said.is_empty() {
        return String::new();
    }
    format!("\n{}", terminal::wrapped(&said, Reader::default(), 0, 2))
}

/// The same as part of a sentence; the readings are those that `all` doubts.
pub(super) fn said_above(findings: &[Finding], all: &[Finding]) -> Text {
    let counted = words::counted(findings);
    if counted.is_empty() {
        return Text::new();
    }
    let mut doubted: Vec<Measure> = Vec::new();
    for f in all.iter().filter(|f| f.severity > Severity::Note) {
        doubted.extend(f.measure.filter(|m| !doubted.contains(m)));
    }
    let again = if doubted.is_empty() {
        Text::new()
    } else {
        let doubted = doubted.into_iter().map(Text::from);
        text!["; look again at ", Text::joined(doubted, ", ")]
    };
    let stand = if findings.len() == 1 {
        "stands"
    } else {
        "stand"
    };
    text![counted, " ", stand, " above the girth check", again]
}

/// `contralto: all 13 readings met; 1 warning; in centimetres`.
fn headline(checked: &Checked, given: &[&Reading]) -> String {
    format!(
        "{}: {}; {}; in {}",
        checked.sheet.name,
        met(given),
        found(&checked.findings),
        checked.unit.plural()
    )
}

/// `all 13 readings met`.
pub(super) fn met(given: &[&Reading]) -> String {
    let read = given.iter().filter(|r| r.solid.is_some()).count();
    let missed = given
        .iter()
        .filter(|r| r.verdict == Verdict::Missed)
        .count();
    if missed == 0 {
        format!("all {} met", text::count(read, "reading"))
    } else {
        format!("{missed} of {} MISSED", text::count(read, "reading"))
    }
}

/// How many findings there are.
pub(super) fn found(findings: &[Finding]) -> String {
    let counted = words::counted(findings);
    if counted.is_empty() {
        "no warnings".to_owned()
    } else {
        counted
    }
}

/// What the sheet asks for, a line each.
fn asked(given: &[&Reading], unit: Unit) -> Vec<Block> {
    let on_form: Vec<&&Reading> = given.iter().filter(|r| r.solid.is_some()).collect();
    let rows = on_form.iter().map(|r| {
        let within = r.target.within.map(|w| words::plus_minus(r, w, unit));
        let cells = cells![
            words::title(r),
            words::asked(r, unit),
            Cell::or(within, ""),
            words::value(r, r.solid, unit),
            words::difference(r, r.solid, unit),
            words::verdict(r),
        ];
        TableRow::new(cells, words::weight(r))
    });
    let heads = ["girth check", "asked", "within", "solid", "diff.", ""];
    // The verdict is said in capitals; bold only helps to find it.
    let mut said = vec![Block::Table(Table::new(&heads, rows))];
    let judged = only_judged(given, unit);
    if !judged.is_empty() {
        said.push(Block::List(PageMark::SetIn, judged));
    }
    if on_form.iter().any(|r| r.verdict == Verdict::Missed) {
        said.push(Block::Under(
            "a miss means that readings pull against each other: the warnings say which".into(),
        ));
    }
    said
}

/// Readings that told what to expect, of parts that the form does not have.
pub(super) fn only_judged(given: &[&Reading], unit: Unit) -> Vec<Text> {
    let judged = given.iter().filter(|r| r.solid.is_none());
    judged
        .filter_map(|r| {
            let value = words::asked(r, unit);
            let used = format!("{} {value} was used to judge the body: ", r.title());
            Some(text![used, r.reason?])
        })
        .collect()
}

/// Estimates by kind, in the words of the sheet's keys.
fn guesses(estimated: &[&Reading], unit: Unit) -> Vec<Values> {
    let mut groups: Vec<(Kind, Vec<Vec<Cell>>)> = Vec::new();
    for r in estimated {
        let kind = r.target.measure.kind();
        let row = cells![
            r.target.side.named(&r.target.measure.short(r.figure)),
            words::asked(r, unit),
            words::plus_minus(r, r.target.plus_minus, unit),
        ];
        match groups.iter_mut().find(|g| g.0 == kind) {
            Some((_, rows)) => rows.push(row),
            None => groups.push((kind, vec![row])),
        }
    }
    let group = |(kind, rows): (Kind, _)| Values {
        of: kind.name(),
        rows,
    };
    groups.into_iter().map(group).collect()
}

/// What would tell most about the shape, and how to take it.
fn next(checked: &Checked) -> Vec<Block> {
    let known = |mm: f64| text::together(checked.unit.show_plus_minus(mm));
    let each = checked.fit.next.iter().map(|advice| {
        let info = advice.measure.info();
        text![
            advice.measure,
            ", then ",
            known(advice.unsure),
            ": ",
            info.how.of(checked.sheet.figure),
            "; ",
            info.who.words()
        ]
    });
    vec![
        Block::Heading("measure next".into()),
        Block::Under(text![
            "The shape is known to ",
            known(checked.fit.unsure),
            " all round. Any of these, added to the sheet, would tell most:"
        ]),
        Block::List(PageMark::SetIn, each.collect()),
    ]
}
