//! Two bodies beside each other: what differs, what is noise, what it means at the cutting table; on a
//! page with pictures.

use crate::compare::{Body, CompareFact, Difference, Matched, Standing};
use crate::error::Error;
use crate::measure::Level;
use crate::mesh::Mesh;
use crate::say::amount::{Amount, AmountScale};
use crate::say::compare::pictures;
use crate::say::compare::{Pair, alteration, apart_cells, apart_in, ease, limit_in, value};
use crate::say::html;
use crate::say::page::{Beside, Block, Page, PageMark};
use crate::say::table::{Cell, Table, TableRow, Weight, cells};
use crate::say::terminal;
use crate::sheet::Target;
use crate::text;
use crate::text::{Part, Text};

/// Two bodies, for a terminal. With `every` the estimates within noise are listed too.
#[must_use]
pub fn bodies(pair: &Pair, every: bool) -> String {
    let mut page = vec![vec![who(pair)]];
    page.extend(differences(pair, every));
    page.extend(cutting(pair));
    terminal::page(&page, pair.reader(), false)
}

/// The same with every measurement and with pictures, as a page of HTML that needs nothing else. Where
/// one of the two has no solid it has no pictures.
///
/// # Errors
/// [`Error::Format`] when a picture cannot be encoded; [`Error::Request`] when the two should stand
/// on one floor and where the floor is, is not known.
pub fn page(pair: &Pair) -> Result<String, Error> {
    let mut page = vec![vec![who(pair), Block::Heading("differences".into())]];
    page.extend(differences(pair, true));
    page.extend(cutting(pair));
    match (&pair.a.solid, &pair.b.solid) {
        (Some(a), Some(b)) => page.extend(solids(pair, a, b)?),
        _ => page.push(vec![Block::Paragraph(
            "One of the two is a table of girths: no solid can be made of it, so there are no \
             pictures."
                .into(),
        )]),
    }
    page.push(about());
    let heading = format!("{} and {}", pair.a.name, pair.b.name);
    Ok(html::document(&heading, &page, pair.reader()))
}

/// Which is which, with what is to know about it.
fn who(pair: &Pair) -> Block {
    let line = |letter: &'static str, body: &Body| {
        let taken = body.taken.as_ref().map(|t| format!(", measured on {t}"));
        let size = body.is_size.then_some(", a size");
        text![letter, ": ", &body.name, taken, size]
    };
    Block::List(
        PageMark::Nothing,
        vec![line("A", &pair.a), line("B", &pair.b)],
    )
}

/// Some of the differences.
fn table<'a>(pair: &Pair, of: impl IntoIterator<Item = &'a Difference>) -> Table {
    let rows = of.into_iter().map(|d| {
        let side = |t: &Target| value(t.measure, t.value, t.origin, pair.unit);
        let percent = d.percent().map(|p| Amount::new(p, AmountScale::Signed(1)));
        let mut cells = cells![Part::Title(d.measure, d.side), side(&d.a), side(&d.b)];
        cells.extend(apart_cells(d.measure, d.apart, pair.unit));
        cells.extend(cells![
            Cell::or(percent, ""),
            Amount::of(d.measure, d.limit, limit_in(pair.unit)),
        ]);
        let weight = if d.is_noise() {
            Weight::Noise
        } else {
            Weight::Plain
        };
        TableRow::new(cells, weight)
    });
    let mut heads = vec!["measurement", "A", "B"];
    heads.extend(apart_in(pair.unit).iter().map(|unit| unit.name()));
    heads.extend(["%", "noise"]);
    Table::new(&heads, rows)
}

/// What differs, then what is noise; with `every` the estimates within it too.
fn differences(pair: &Pair, every: bool) -> Page {
    let mut page: Page = Vec::new();
    page.extend(pair.waists().map(|w| vec![Block::Note(w.into())]));
    if pair.is_same() {
        page.push(vec![Block::Note("no difference at all".into())]);
        return page;
    }
    let (noise, told): (Vec<&Difference>, Vec<&Difference>) =
        pair.differences.iter().partition(|d| d.is_noise());
    page.push(vec![if told.is_empty() {
        Block::Note("nothing differs by more than measuring twice can account for".into())
    } else {
        Block::Table(table(pair, told).under("B less A, what stands out most first"))
    }]);
    let (guessed, read): (Vec<&Difference>, Vec<&Difference>) =
        noise.into_iter().partition(|d| d.is_estimated());
    let left_out = if every { 0 } else { guessed.len() };
    let mut shown = read;
    shown.extend(guessed.into_iter().filter(|_| every));
    let mut within = Vec::new();
    if !shown.is_empty() {
        within.push(Block::Table(
            table(pair, shown).under("within measuring noise"),
        ));
    }
    if left_out > 0 {
        within.push(Block::Note(text![
            "and ",
            text::many(left_out, "measurement"),
            " that rest on estimates; `--all` lists them"
        ]));
    }
    page.push(within);
    page.push(vec![Block::Note(text![
        "A and B in ",
        pair.unit.plural(),
        "; ~ estimated; noise, in ",
        limit_in(pair.unit).plural(),
        ": what measuring or estimating can account for"
    ])]);
    page
}

/// What it means for something cut for A and worn by B.
fn cutting(pair: &Pair) -> Page {
    if pair.is_same() {
        return Vec::new();
    }
    let alterations: Vec<Text> = pair
        .alterations
        .iter()
        .map(|a| alteration(a, pair.unit, "bodies"))
        .collect();
    vec![
        vec![
            Block::Heading("at the cutting table".into()),
            Block::Note(text![
                "for something cut for A and worn by B (the other way round: name B first); ",
                ease(pair.ease, pair.unit)
            ]),
        ],
        vec![if alterations.is_empty() {
            Block::Note("nothing beyond the ease".into())
        } else {
            Block::List(PageMark::Dash, alterations)
        }],
    ]
}

fn solids(pair: &Pair, a: &Mesh, b: &Mesh) -> Result<Page, Error> {
    let outlines = pictures::outlines(a, b, pair.standing, pair.figure())
        .ok_or_else(|| Error::request(CompareFact::NoCommonFloor))?;
    let standing = match pair.standing {
        Standing::Waist => "The natural waists are level and on one plumb line.",
        Standing::Floor => "Both stand on one floor, their waists on one plumb line.",
    };
    let mut page = vec![
        vec![
            Block::Heading("outlines".into()),
            Block::Paragraph(text![
                "A is drawn with a full line, B with a dashed one. ",
                standing
            ]),
            alone(outlines),
        ],
        vec![
            Block::Heading("sections".into()),
            Block::Paragraph(
                "Each level of the one lies on the same level of the other, middle on middle, all at one \
                 scale, front upward."
                    .into(),
            ),
            Block::Pictures(Beside::AtOneScale, pictures::sections(a, b, pair.figure())),
        ],
        vec![
            Block::Heading("side by side".into()),
            Block::Pictures(Beside::AtOneHeight, pictures::shaded(a, b)?),
        ],
    ];
    if let Some(m) = Matched::new(a, b) {
        page.push(vec![
            Block::Heading("where B stands outside A, and where inside".into()),
            Block::Paragraph(
                "Each section of B lies on the same level of A, middle on middle, at whatever height the \
                 two levels are. So how somebody stands does not count here."
                    .into(),
            ),
            alone(pictures::map(&m, b, pair.unit, pair.figure())),
            Block::Table(round(pair, &m, b)),
        ]);
    }
    Ok(page)
}

/// A picture that needs no name.
pub(super) fn alone(picture: svg::node::element::SVG) -> Block {
    Block::Pictures(Beside::Alone, vec![(Text::new(), picture)])
}

/// How far B stands outside A at the named levels, in figures.
fn round(pair: &Pair, matched: &Matched<'_>, b: &Mesh) -> Table {
    let shown = |v: f64| Cell::from(Amount::new(v, AmountScale::Apart(pair.unit)));
    let rows = Level::TRUNK.iter().filter_map(|l| {
        let [right, front, left, back] = matched.round(*b.marks.levels.get(l)?)?;
        let mut cells = cells![Part::Level(*l)];
        cells.extend([front, back, right, left].map(shown));
        Some(cells)
    });
    let heads = ["level", "front", "back", "right side", "left side"];
    Table::new(&heads, rows).under(format!(
        "How far B stands outside A, in {}; minus: inside",
        pair.unit.plural()
    ))
}

fn about() -> Vec<Block> {
    vec![
        Block::Heading("how to read this".into()),
        Block::Paragraph(
            "~ marks an estimate: nobody measured it. Noise is what measuring twice, or estimating, can \
             account for 19 times in 20. For two readings it is 2.8 times the technical error of one (the \
             usual difference of two tries divided by the square root of 2). For a value with a \
             plus-or-minus it is that, and for two values the root of the sum of their squares. A smaller \
             difference says nothing about the bodies."
                .into(),
        ),
        Block::Paragraph(
            "These are measurements of bodies, not of garments. A size is averages or a table, \
             nobody's own. Neither body is a norm for the other."
                .into(),
        ),
    ]
}
