//! A person over time: for a terminal, in numbers, and as a page of small drawings.

use svg::node::element::{Group, SVG};

use crate::compare::{Course, CourseRow};
use crate::measure::Kind;
use crate::say::amount::{Amount, is_angle};
use crate::say::compare::{
    alteration, apart_cells, apart_in, apart_names, apart_words, ease, limit_in, title,
};
use crate::say::html;
use crate::say::page::{Beside, Block, Page, PageMark};
use crate::say::picture;
use crate::say::table::{Cell, Table, TableRow, Weight, cells};
use crate::say::terminal;
use crate::say::words;
use crate::sheet::Target;
use crate::text;
use crate::text::{Part, Reader, Text};
use crate::units::Unit;

/// Steps of the small drawings of a terminal, from low to high.
const STEPS: [char; 8] = ['▁', '▂', '▃', '▄', '▅', '▆', '▇', '█'];
/// Days of the month in which a change is told.
const MONTH_DAYS: f64 = 30.0;

fn read(t: &Target, unit: Unit) -> Amount {
    Amount::of(t.measure, t.value, unit)
}

/// The readings of one row as steps between its lowest and its highest; a middle line where nothing
/// changes, a dot where nothing was read.
fn drawn(row: &CourseRow) -> String {
    let seen: Vec<f64> = row.values.iter().flatten().map(|t| t.value).collect();
    let low = seen.iter().copied().fold(f64::INFINITY, f64::min);
    let high = seen.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    row.values
        .iter()
        .map(|t| {
            let Some(t) = t else { return '·' };
            if high <= low {
                return STEPS[3];
            }
            let part = (t.value - low) / (high - low);
            STEPS[((part * 7.0).round() as usize).min(7)]
        })
        .collect()
}

/// Dates of the first and last reading of a row, as places in the list of dates.
fn ends(row: &CourseRow) -> Option<(usize, usize)> {
    let first = row.values.iter().position(Option::is_some)?;
    let last = row.values.iter().rposition(Option::is_some)?;
    Some((first, last))
}

/// Change in 30 days: mm or radians; nothing for noise, which has no rate.
pub(super) fn rate(c: &Course, row: &CourseRow) -> Option<f64> {
    let (first, last) = ends(row)?;
    let days = c.days[last] - c.days[first];
    (days > 0 && !row.is_noise()).then(|| row.apart * MONTH_DAYS / days as f64)
}

/// Words for the terminal.
#[must_use]
pub fn course(c: &Course, unit: Unit) -> String {
    let rows = c.rows.iter().filter_map(|row| {
        let (first, last) = ends(row)?;
        let mut cells = cells![
            Part::Title(row.measure, row.side),
            read(row.values[first].as_ref()?, unit),
            read(row.values[last].as_ref()?, unit),
        ];
        cells.extend(change(c, row, unit));
        // The drawing stands before the last column.
        cells.insert(cells.len() - 1, drawn(row).into());
        Some(cells)
    });
    let mut heads = vec!["measurement", "first", "last"];
    heads.extend(apart_in(unit).iter().map(|unit| unit.name()));
    heads.extend(["30 days", "drawn", ""]);
    let mut shown = vec![Block::Table(Table::new(&heads, rows))];
    if c.rows.is_empty() {
        shown.push(Block::Note("nothing was read at two dates".into()));
    }
    let what = format!("{}: {}", c.name, c.dates.join(", "));
    let legend = format!(
        "first and last in {}; {}: the last less the first; 30 days: change in 30 days, {}; \
         drawn: from the lowest to the highest reading, date by date, a dot where nothing was \
         read; noise: what measuring twice can account for. Other undergarments change a \
         reading too",
        unit.plural(),
        apart_names(unit),
        limit_in(unit).name()
    );
    let mut page = vec![
        vec![Block::Heading(what.into())],
        shown,
        vec![Block::Note(legend.into())],
    ];
    page.extend(cutting(c, unit));
    terminal::page(&page, Reader::of(unit).about(c.figure), false)
}

/// What to alter when, for something that fitted at the first date.
fn cutting(c: &Course, unit: Unit) -> Page {
    if c.rows.is_empty() {
        return Vec::new();
    }
    let mut page = vec![vec![
        Block::Heading("at the cutting table".into()),
        Block::Note(text![
            "for something that fitted at the first reading and is altered whenever more than measuring and the ease has \
             come together since; ",
            ease(c.ease, unit)
        ]),
    ]];
    for (date, list) in &c.altered {
        let list = list.iter().map(|a| alteration(a, unit, "readings"));
        page.push(vec![
            Block::Note(text!["on ", c.dates[*date].clone()]),
            Block::List(PageMark::Dash, list.collect()),
        ]);
    }
    if c.altered.is_empty() {
        page.push(vec![Block::Note("nothing beyond the ease".into())]);
    }
    page
}

/// Size of a small drawing, px.
const SMALL: [f64; 2] = [220.0, 64.0];
/// Its blank edge, px.
const EDGE: f64 = 8.0;

/// The same as a page: a table, and a small drawing for each measurement.
#[must_use]
pub fn course_page(c: &Course, unit: Unit) -> String {
    // One scale for all lengths, so that the drawings can be held beside each other.
    let span = c
        .rows
        .iter()
        .filter(|r| r.measure.kind() != Kind::Slope)
        .map(spread)
        .fold(1.0, f64::max);
    let pictures = c.rows.iter().map(|row| {
        let span = if is_angle(row.measure) {
            spread(row)
        } else {
            span
        };
        let noise = if row.is_noise() { " (noise)" } else { "" };
        let name = text![
            title(row.measure, row.side, c.figure),
            ": ",
            said(row, unit),
            noise
        ];
        (name, small(c, row, span, unit))
    });
    let mut page = vec![vec![Block::Paragraph(
        format!("Measured on {}.", c.dates.join(", ")).into(),
    )]];
    if !c.findings.is_empty() {
        page.push(vec![Block::List(PageMark::Dash, words::told(&c.findings))]);
    }
    page.push(vec![
        Block::Paragraph(
            "Each drawing runs from the first date to the last; all lengths are at one scale. Between \
             the dotted lines, round the first reading, lies what measuring twice can account for. Other \
             undergarments change a reading too."
                .into(),
        ),
        Block::Pictures(Beside::Small, pictures.collect()),
        Block::Table(table(c, unit)),
    ]);
    page.extend(cutting(c, unit));
    html::document(
        &format!("{} over time", c.name),
        &page,
        Reader::of(unit).about(c.figure),
    )
}

/// The change in words.
fn said(row: &CourseRow, unit: Unit) -> Text {
    apart_words(row.measure, row.apart, unit)
}

/// How far the readings and the noise round the first reach from it, mm or radians.
fn spread(row: &CourseRow) -> f64 {
    let Some(first) = row.values.iter().flatten().next() else {
        return 0.0;
    };
    row.values
        .iter()
        .flatten()
        .map(|t| (t.value - first.value).abs())
        .fold(row.limit, f64::max)
}

fn small(c: &Course, row: &CourseRow, span: f64, unit: Unit) -> SVG {
    let [w, h] = SMALL;
    let all = c.days.last().copied().unwrap_or(1).max(1) as f64;
    let first = row.values.iter().flatten().next().map_or(0.0, |t| t.value);
    let x = |days: i64| EDGE + 34.0 + (w - 2.0 * EDGE - 68.0) * days as f64 / all;
    let y = |v: f64| h / 2.0 - (v - first) / span.max(f64::MIN_POSITIVE) * (h / 2.0 - EDGE);
    let points: Vec<(f64, f64, &Target)> = c
        .days
        .iter()
        .zip(&row.values)
        .filter_map(|(d, t)| t.as_ref().map(|t| (x(*d), y(t.value), t)))
        .collect();
    let across = [x(0), x(all as i64)];
    let bounds = [first - row.limit, first + row.limit].map(y);
    let dotted = bounds.into_iter().fold(
        picture::strokes("#000", 0.8).set("stroke-dasharray", "1 3"),
        |group, y| group.add(picture::path(across.map(|x| (x, y)), false)),
    );
    let line = picture::path(points.iter().map(|p| (p.0, p.1)), false);
    let dots = points.iter().fold(Group::new(), |group, p| {
        group.add(picture::dot((p.0, p.1), 2.4))
    });
    let mut letters = picture::lettering(11.0);
    if let Some((a, b)) = points.first().zip(points.last()) {
        letters = letters
            .add(picture::words(
                (a.0 - 5.0, a.1 + 4.0),
                "end",
                read(a.2, unit).to_string(),
            ))
            .add(picture::words(
                (b.0 + 5.0, b.1 + 4.0),
                "start",
                read(b.2, unit).to_string(),
            ));
    }
    let shows = format!("{} over time", title(row.measure, row.side, c.figure));
    picture::empty(w, h, shows)
        .set("width", w)
        .add(dotted)
        .add(picture::strokes("#000", 1.4).add(line))
        .add(dots)
        .add(letters)
}

fn table(c: &Course, unit: Unit) -> Table {
    let mut heads = vec!["measurement"];
    heads.extend(c.dates.iter().map(String::as_str));
    let monthly = format!("in 30 days, {}", limit_in(unit).name());
    heads.extend(apart_in(unit).iter().map(|unit| unit.name()));
    heads.extend([monthly.as_str(), ""]);
    let rows = c.rows.iter().map(|row| {
        let mut cells = cells![Part::Title(row.measure, row.side)];
        let values = row.values.iter();
        cells.extend(values.map(|t| t.as_ref().map(|t| read(t, unit)).into()));
        cells.extend(change(c, row, unit));
        TableRow::new(cells, weight(row))
    });
    Table::new(&heads, rows).under(format!("Every reading, in {}", unit.plural()))
}

fn weight(row: &CourseRow) -> Weight {
    if row.is_noise() {
        Weight::Noise
    } else {
        Weight::Plain
    }
}

/// The change, in 30 days, and whether it is noise.
fn change(c: &Course, row: &CourseRow, unit: Unit) -> Vec<Cell> {
    let monthly = rate(c, row).map(|r| Amount::signed(row.measure, r, limit_in(unit)));
    let noise = if row.is_noise() { "noise" } else { "" };
    let mut cells = apart_cells(row.measure, row.apart, unit);
    cells.extend(cells![Cell::or(monthly, ""), noise]);
    cells
}
