//! What `check` prints of one sheet on one screen: for somebody who reads from the bottom up.
//!
//! The last lines say whether every reading is met and what to measure next; above them stands what
//! was estimated, level by level, and above that what was asked. [`check_long`] says the
//! same at length, a line for each reading.

use crate::error::{Finding, Severity};
use crate::form::{Checked, FormFact};
use crate::measure::{Figure, Kind, Measure, Side};
use crate::say::amount::Amount;
use crate::say::check_long;
use crate::say::page::{Block, Page, PageMark, Values};
use crate::say::table::{Cell, Table, cells};
use crate::say::terminal;
use crate::say::words;
use crate::sheet::Origin;
use crate::tape::{Reading, Verdict};
use crate::text;
use crate::text::{Part, Reader, Text};
use crate::torso::FitFact;
use crate::units::Unit;

/// The kinds that are taken at a level, so that they share a table with a row for each level.
const AT_LEVELS: [Kind; 5] = [
    Kind::Girth,
    Kind::Arc,
    Kind::Breadth,
    Kind::Depth,
    Kind::Height,
];
/// What stands above its columns.
const HEADS: [&str; 5] = ["girth", "front arc", "breadth", "depth", "height"];
/// One sheet on one screen of 80 columns. With `told` the findings have been printed above, and the
/// last line says so. What deserves the eye is set in bold if `emphasis` says so.
#[must_use]
pub fn check(checked: &Checked, told: bool, emphasis: bool) -> String {
    let page: Page = vec![blocks(checked, told)];
    terminal::page(&page, Reader::default(), emphasis)
}

fn blocks(checked: &Checked, told: bool) -> Vec<Block> {
    let unit = checked.unit;
    let (given, estimated): (Vec<&Reading>, Vec<&Reading>) = checked
        .readings
        .iter()
        .partition(|r| r.target.origin == Origin::Given);
    let (missed, met): (Vec<&Reading>, Vec<&Reading>) = given
        .iter()
        .filter(|r| r.solid.is_some() || r.verdict == Verdict::Missed)
        .partition(|r| r.verdict == Verdict::Missed);
    let line = |words: Text| Block::List(PageMark::Nothing, vec![words]);
    let mut page = vec![
        Block::Heading(
            format!(
                "{} in {}: asked, and how far off the solid is",
                checked.sheet.name,
                unit.plural()
            )
            .into(),
        ),
        rows(met.iter().map(|r| asked(r, unit))),
        Block::List(PageMark::SetIn, check_long::only_judged(&given, unit)),
    ];
    page.push(Block::List(
        PageMark::SetIn,
        missed.iter().map(|r| told_of(r, checked)).collect(),
    ));
    if !missed.is_empty() && !estimated.is_empty() {
        let said = format!(
            ": {}, which depend on the missed readings (`--all` lists them)",
            text::count(estimated.len(), "value")
        );
        page.push(line(text![strong("estimated"), said]));
    } else if !estimated.is_empty() {
        let (levels, mut rest) = by_level(&estimated);
        let all = rest.len();
        rest.retain(|r| tells(r));
        let guesses = guesses(&rest);
        let sides = if guesses.iter().any(|g| g.left.is_some()) {
            "; left | right"
        } else {
            ""
        };
        let more = match all - rest.len() {
            0 => Text::new(),
            n => text!["; ", n, " more with `--all`"],
        };
        let head = "; 19 bodies in 20 lie within the ±";
        page.push(line(text![strong("estimated"), head, sides, more]));
        page.push(grid(&levels, unit));
        page.push(rows(guesses.iter().map(|g| g.cells(unit))));
    }
    if !checked.fit.next.is_empty() {
        page.push(line(next(checked)));
    }
    let gathered = gathered(checked);
    page.extend(check_long::again(checked, &gathered).map(line));
    let above = check_long::said_above(&gathered, &checked.findings);
    let found = if told && !above.is_empty() {
        above
    } else {
        check_long::found(&gathered).into()
    };
    page.push(Block::Verdict(text![
        &checked.sheet.name,
        ": ",
        check_long::met(&given),
        "; ",
        found
    ]));
    page
}

/// Names and their numbers.
fn rows(rows: impl Iterator<Item = Vec<Cell>>) -> Block {
    let rows = rows.collect();
    Block::Values(vec![Values { of: "", rows }])
}

fn strong(words: &'static str) -> Part {
    Part::Strong(words.into())
}

/// A short name that needs no heading, without the side.
fn plain_name(m: Measure, figure: Figure) -> String {
    use Measure::{HeightStature, LengthBackWaist, LengthFrontWaist, LengthShoulder};
    let short = m.short(figure);
    match (m.kind(), m) {
        (Kind::Wall, _) => format!("wall to {short}"),
        (Kind::Plumb, _) => format!("plumb to {short}"),
        // Without their kind these would be taken for girths.
        (_, HeightStature | LengthShoulder | LengthBackWaist | LengthFrontWaist) => {
            m.info().title.of(figure).to_owned()
        }
        (Kind::Height, _) => format!("{short} height"),
        (Kind::Length, _) => short,
        _ => m.info().title.of(figure).to_owned(),
    }
}

/// The same with the side where one is meant.
fn name(r: &Reading) -> String {
    r.target.side.named(&plain_name(r.target.measure, r.figure))
}

/// What was asked and by how much the solid is more or less.
fn asked(r: &Reading, unit: Unit) -> Vec<Cell> {
    cells![
        name(r),
        words::asked(r, unit),
        words::difference(r, r.solid, unit)
    ]
}

/// A reading that is not met, and what it pulls against.
fn told_of(r: &Reading, checked: &Checked) -> Text {
    let unit = checked.unit;
    let missed = format!(
        "MISSED {}: asked {}{}, solid {}, {}",
        r.title(),
        words::asked(r, unit),
        r.target.within.map_or_else(String::new, |w| format!(
            " {}",
            words::plus_minus(r, w, unit)
        )),
        or_dash(words::value(r, r.solid, unit)),
        or_dash(words::difference(r, r.solid, unit)),
    );
    let against = checked.fit.against(r.target.measure, r.target.side);
    let against = against.map_or_else(Text::new, |it| text!["; ", it.told()]);
    text![Part::Strong(missed.into()), against]
}

/// A number, or a dash where there is none.
fn or_dash(amount: Option<Amount>) -> String {
    amount.map_or_else(|| "–".to_owned(), |a| a.to_string())
}

/// A plus-or-minus where room is scarce.
fn spread(r: &Reading, v: f64, unit: Unit) -> Amount {
    Amount::half_width(r.target.measure, v, unit).marked("±")
}

/// What is estimated: one value, or left and right of one measure in one row.
struct Guess<'a> {
    left: Option<&'a Reading>,
    other: &'a Reading,
}

impl Guess<'_> {
    /// Its name, its value, and its half-width: of two sides the larger one.
    fn cells(&self, unit: Unit) -> Vec<Cell> {
        let of = &self.other.target;
        let value = |r: &Reading| words::asked(r, unit);
        match self.left {
            Some(left) => cells![
                plain_name(of.measure, self.other.figure),
                format!("{} | {}", value(left), value(self.other)),
                spread(self.other, of.plus_minus.max(left.target.plus_minus), unit),
            ],
            None => cells![
                name(self.other),
                value(self.other),
                spread(self.other, of.plus_minus, unit),
            ],
        }
    }
}

/// Estimates in their order, each left one with the right one behind it.
fn guesses<'a>(estimated: &[&'a Reading]) -> Vec<Guess<'a>> {
    let mut all = Vec::new();
    let mut rest = estimated.iter().copied().peekable();
    while let Some(r) = rest.next() {
        let pair =
            rest.next_if(|n| n.target.measure == r.target.measure && r.target.side == Side::Left);
        all.push(Guess {
            left: pair.map(|_| r),
            other: pair.unwrap_or(r),
        });
    }
    all
}

/// Whether an estimate that stands in no table of levels is one for a short screen: what somebody
/// drafts or pads by. Heights say again where the levels are, the gaps to the wall how the body holds
/// itself, and a breadth alone nothing: they stand in the long form.
fn tells(r: &Reading) -> bool {
    let along = matches!(
        r.target.measure,
        Measure::LengthWaistToHip | Measure::LengthScyeDepth
    );
    let kind = r.target.measure.kind();
    matches!(kind, Kind::Girth | Kind::Arc | Kind::Length | Kind::Slope) && !along
}

/// What is found, as a short screen says it: readings that are missed stand there each with what it
/// pulls against, so that one warning is enough for all of them.
#[must_use]
pub fn gathered(checked: &Checked) -> Vec<Finding> {
    let miss = |f: &Finding| {
        let mut missed = checked
            .readings
            .iter()
            .filter(|r| r.verdict == Verdict::Missed)
            .map(|r| (r.target.measure, r.target.side));
        FitFact::missed(f).is_some_and(|it| missed.any(|r| r == it))
    };
    let (misses, mut others): (Vec<Finding>, Vec<Finding>) =
        checked.findings.iter().cloned().partition(miss);
    if misses.len() < 2 {
        return checked.findings.clone();
    }
    let mut measures: Vec<Measure> = Vec::new();
    for measure in misses.iter().filter_map(|f| f.measure) {
        if !measures.contains(&measure) {
            measures.push(measure);
        }
    }
    let worst = misses.iter().map(|f| f.severity).max();
    let fact = FormFact::NotAllMet { measures };
    others.push(Finding::of(worst.unwrap_or(Severity::Warning), fact));
    others
}

/// A level and what is estimated at it, in the order of [`AT_LEVELS`].
type Row<'a> = (String, [Option<&'a Reading>; AT_LEVELS.len()]);

/// Levels of which more than one thing is estimated, and everything else.
fn by_level<'a>(estimated: &[&'a Reading]) -> (Vec<Row<'a>>, Vec<&'a Reading>) {
    let mut levels: Vec<Row<'a>> = Vec::new();
    let place = |r: &Reading| {
        let column = AT_LEVELS.iter().position(|k| *k == r.target.measure.kind());
        column.filter(|_| r.target.side == Side::Both)
    };
    for r in estimated {
        let Some(column) = place(r) else { continue };
        let level = level(r.target.measure, r.figure);
        let at = levels.iter().position(|l| l.0 == level).unwrap_or_else(|| {
            levels.push((level, [None; AT_LEVELS.len()]));
            levels.len() - 1
        });
        levels[at].1[column] = Some(r);
    }
    levels.retain(|(_, cells)| cells.iter().flatten().count() > 1);
    let figure = estimated.first().map_or_else(Figure::default, |r| r.figure);
    // From the neck down: the girths come in that order, and each level has one.
    levels.sort_by_key(|(l, _)| {
        Measure::ALL
            .iter()
            .position(|m| m.kind() == Kind::Girth && *l == level(*m, figure))
    });
    let rest = estimated
        .iter()
        .filter(|r| {
            !levels
                .iter()
                .any(|(l, _)| place(r).is_some() && *l == level(r.target.measure, figure))
        })
        .copied()
        .collect();
    (levels, rest)
}

/// The level that a measurement is taken at, by the name that the girth there has: `top hip`.
fn level(m: Measure, figure: Figure) -> String {
    let round = |g: &Measure| g.kind() == Kind::Girth && g.level() == m.level();
    let arc = m.kind() == Kind::Arc;
    let girth = Measure::ALL.into_iter().find(|g| arc && round(g));
    girth.unwrap_or(m).short(figure)
}

/// A row for each level, a column for each kind that any level has.
fn grid(levels: &[Row<'_>], unit: Unit) -> Block {
    let used: Vec<usize> = (0..AT_LEVELS.len())
        .filter(|k| levels.iter().any(|(_, cells)| cells[*k].is_some()))
        .collect();
    let cell = |r: &Reading| {
        let spread = spread(r, r.target.plus_minus, unit);
        Cell::Within(words::asked(r, unit), spread)
    };
    let rows = levels.iter().map(|(level, cells)| {
        let cells = used
            .iter()
            .map(|k| cells[*k].map_or_else(|| "".into(), cell));
        std::iter::once(level.clone().into())
            .chain(cells)
            .collect::<Vec<Cell>>()
    });
    let heads: Vec<&str> = std::iter::once("")
        .chain(used.iter().map(|k| HEADS[*k]))
        .collect();
    Block::Close(Table::new(&heads, rows))
}

/// What would tell most about the shape; how to take it stands in the long form.
fn next(checked: &Checked) -> Text {
    let unit = checked.unit;
    let each = checked
        .fit
        .next
        .iter()
        .map(|a| Part::Measure(a.measure).into());
    let after = checked.fit.next.last().map_or(0.0, |a| a.unsure);
    let known = |mm: f64| text::together(unit.show_plus_minus(mm));
    text![
        strong("measure next"),
        ": ",
        Text::joined(each, ", "),
        "; the shape is known to ",
        known(checked.fit.unsure),
        " all round, then to ",
        known(after),
        " (`--all` says how)",
    ]
}
