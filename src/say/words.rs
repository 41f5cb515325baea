//! Numbers and findings in the words of the person's own unit, shared by all that is said.

use crate::error::{Finding, Severity};
use crate::form::Form;
use crate::form::totals::Totals;
use crate::layout::nest;
use crate::layout::offcut::worth_keeping;
use crate::measure::Side;
use crate::say::amount::Amount;
use crate::say::table::Weight;
use crate::sheet::Origin;
use crate::stack::Piece;
use crate::tape::{Reading, Verdict};
use crate::text;
use crate::text::{Part, Text};
use crate::tolerance;
use crate::units;
use crate::units::Unit;

/// The name of a reading.
pub(super) fn title(r: &Reading) -> Text {
    Part::Title(r.target.measure, r.target.side).into()
}

/// What was asked or is estimated.
pub(super) const fn asked(r: &Reading, unit: Unit) -> Amount {
    Amount::of(r.target.measure, r.target.value, unit)
}

/// A value of this reading, where there is one, rounded as what was asked is.
pub(super) fn value(r: &Reading, v: Option<f64>, unit: Unit) -> Option<Amount> {
    v.map(|v| Amount::beside(r.target.measure, v, r.target.value, unit))
}

/// How far it is from what was asked.
pub(super) fn difference(r: &Reading, v: Option<f64>, unit: Unit) -> Option<Amount> {
    v.map(|v| Amount::apart(r.target.measure, v - r.target.value, unit))
}

/// A plus-or-minus of this reading.
pub(super) const fn plus_minus(r: &Reading, v: f64, unit: Unit) -> Amount {
    Amount::half_width(r.target.measure, v, unit).marked("± ")
}

/// What the check says of a reading, and within what where the sheet asks for less than the tape
/// could tell.
#[must_use]
pub fn verdict_within(r: &Reading, unit: Unit) -> String {
    let beyond = r
        .solid
        .is_some_and(|v| (v - r.target.value).abs() > tolerance::for_measure(r.target.measure));
    match r.target.within {
        Some(within) if beyond && r.verdict == Verdict::Met => {
            format!("met within {}", plus_minus(r, within, unit))
        }
        _ => verdict(r).to_owned(),
    }
}

/// What the check says of a reading.
#[must_use]
pub fn verdict(r: &Reading) -> &'static str {
    match r.verdict {
        Verdict::Met => "met",
        Verdict::Missed => "MISSED",
        Verdict::Estimated => "estimated",
        Verdict::NotOnForm => "not on the form",
    }
}

/// How much a reading deserves the eye in a table.
pub(super) fn weight(r: &Reading) -> Weight {
    match r.verdict {
        Verdict::Missed => Weight::Missed,
        _ => Weight::Plain,
    }
}

/// How grave a finding is, in one word.
#[must_use]
pub fn severity(f: &Finding) -> &'static str {
    match f.severity {
        Severity::Note => "note",
        Severity::Warning => "warning",
        Severity::Refusal => "refused",
    }
}

/// `2 warnings, 1 note`; nothing when there is nothing.
#[must_use]
pub fn counted(findings: &[Finding]) -> String {
    let kinds = [
        (Severity::Refusal, "refusal"),
        (Severity::Warning, "warning"),
        (Severity::Note, "note"),
    ];
    let parts: Vec<String> = kinds
        .into_iter()
        .map(|(s, word)| (findings.iter().filter(|f| f.severity == s).count(), word))
        .filter(|(n, _)| *n > 0)
        .map(|(n, word)| text::count(n, word))
        .collect();
    parts.join(", ")
}

/// Findings as sentences of a page, each with what to do about it.
pub(super) fn told(findings: &[Finding]) -> Vec<Text> {
    let one = |f: &Finding| text![f.message(), "; ", f.hint(), "."];
    findings.iter().map(one).collect()
}

/// Where something stands in a file: `(contralto.toml, line 6)`.
#[must_use]
pub fn at_line(file: &str, line: usize) -> String {
    format!("({file}, line {line})")
}

/// The last part of a file's name as somebody typed it, without the folders.
#[must_use]
pub fn file_name(path: &str) -> &str {
    path.rsplit(['/', '\\']).next().unwrap_or(path)
}

/// When a body was measured and by whom, as far as its sheet says: `on 2026-03-14 by Ada`.
#[must_use]
pub fn taken(on: Option<&str>, by: Option<&str>) -> Option<String> {
    let said = [
        on.map(|day| format!("on {day}")),
        by.map(|who| format!("by {who}")),
    ];
    let said: Vec<String> = said.into_iter().flatten().collect();
    (!said.is_empty()).then(|| said.join(" "))
}

/// How tightly the pieces lie, beside what their area alone would need; nothing when they lie on
/// several stocks, which cannot be compared.
#[must_use]
pub fn tightness(form: &Form) -> Option<Text> {
    let unit = form.checked.unit;
    let first = form.boards.first()?;
    let stock = form.workshop.stock.get(first.stock)?;
    if form.boards.iter().any(|b| b.stock != first.stock) {
        return None;
    }
    let pieces: Vec<&Piece> = form.cut.iter().map(|c| &c.piece).collect();
    let bound = nest::area_bound(&pieces, stock);
    Some(if stock.roll {
        let used: f64 = form.boards.iter().map(|b| b.length).sum();
        text![
            "they take ",
            text::together(unit.run(used, 2)),
            " of the roll; their area alone would need ",
            text::together(unit.run(bound, 2))
        ]
    } else {
        text![
            text::many(form.boards.len(), "board"),
            " of ",
            sides(unit, stock.width, stock.length),
            "; their area alone would need ",
            units::fixed(bound, 0)
        ]
    })
}

/// `137 pieces`, or `77 pieces in 154 parts` where some are larger than the stock: what lies on boards.
#[must_use]
pub fn pieces(t: &Totals) -> String {
    let pieces = text::count(t.laid, "piece");
    if t.cut_outs > t.laid {
        format!("{pieces} in {} parts", t.cut_outs)
    } else {
        pieces
    }
}

/// What is said beside girths as built where there are wedges.
#[must_use]
pub fn wedges_counted(form: &Form) -> Option<String> {
    let wedges = form.stack.wedges.len();
    (wedges > 0).then(|| {
        format!(
            "as built counts the {} as if pared straight from the upper edge of the layer beside them to their own outer edge",
            text::count(wedges, "wedge")
        )
    })
}

/// Which boards leave an off-cut that is worth keeping, and how large; nothing when none does.
#[must_use]
pub fn offcuts(form: &Form) -> Option<Text> {
    let unit = form.checked.unit;
    let kept: Vec<Text> = form
        .offcuts
        .iter()
        .enumerate()
        .filter_map(|(i, left)| Some((i, left.filter(|left| left.is_worth_keeping(unit))?)))
        .map(|(i, left)| {
            let (long, short) = left.sides();
            text![sides(unit, long, short), " of board ", i + 1]
        })
        .collect();
    (!kept.is_empty()).then(|| {
        let (long, short) = worth_keeping(unit);
        let least = sides(unit, long, short);
        let kept = Text::joined(kept, ", ");
        text!["off-cuts worth keeping (", least, " or more): ", kept]
    })
}

/// Two sides as a rule reads them: `300 x 200 mm`.
fn sides(unit: Unit, one: f64, other: f64) -> Text {
    text::together(format!(
        "{} x {}",
        unit.rule_bare(one, 0),
        unit.rule(other, 0)
    ))
}

/// How many pages the templates take, and how many they would take drawn in other ways, with what to
/// type for each.
#[must_use]
pub fn pages(form: &Form) -> Text {
    let paper = &form.workshop.paper;
    // Those that options ask for: none folds what the workshop wants whole.
    let others = form
        .page_counts
        .iter()
        .filter(|c| paper.fold || !c.fold)
        .map(|c| {
            let most = (c.outlines != paper.outlines).then(|| format!("--outlines {}", c.outlines));
            let whole = (c.fold != paper.fold).then(|| "--whole".to_owned());
            let typed: Vec<String> = most.into_iter().chain(whole).collect();
            text![c.pages, " with ", text::together(typed.join(" "))]
        });
    let sided = form
        .checked
        .readings
        .iter()
        .any(|r| r.target.side != Side::Both && r.target.origin == Origin::Given);
    text![
        "the templates take ",
        text::many(form.pages.len(), "page"),
        " of ",
        &paper.name,
        "; ",
        Text::joined(others, ", "),
        if sided && paper.fold {
            "; left and right differ in the sheet, so few can be drawn by half: one value for both \
             sides takes the fewest pages"
        } else {
            ""
        }
    ]
}
