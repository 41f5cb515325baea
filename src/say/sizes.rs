//! Size profiles for reading: the systems, the sizes of one, the measurements of one size.

use crate::measure::Measure;
use crate::profile::{How, Profile, Size};
use crate::say::amount::{Amount, AmountScale};
use crate::say::page::{Block, PageMark};
use crate::say::table::{Table, cells};
use crate::say::terminal;
use crate::sheet::WaistKind;
use crate::text::{Reader, Text};
use crate::units;
use crate::units::Unit;

/// The columns of a system's table, as far as it has them.
const COLUMNS: [Measure; 6] = [
    Measure::HeightStature,
    Measure::GirthBust,
    Measure::GirthUnderbust,
    Measure::GirthWaist,
    Measure::GirthHip,
    Measure::LengthBackWaist,
];

/// Which waist it is, in words.
#[must_use]
pub const fn waist_words(waist: WaistKind) -> &'static str {
    match waist {
        WaistKind::Natural => "natural waist",
        WaistKind::Iso => "half-way from rib to hip bone",
        WaistKind::Navel => "at the navel",
    }
}

/// First and last size, and the columns, in words.
fn extent(p: &Profile) -> String {
    let first = p.names.first().map_or("", String::as_str);
    let last = p.names.last().map_or("", String::as_str);
    let mut text = format!("{first} to {last}");
    if !p.columns.is_empty() {
        text.push_str(&format!(", {}", p.columns.join(", ")));
    }
    text
}

/// Every system in a table.
#[must_use]
pub fn systems(all: &[Profile]) -> String {
    let rows = all.iter().map(|p| {
        cells![
            &p.system,
            extent(p),
            p.main.info().title.of(p.figure),
            p.waist.name(),
            if p.makes_forms() { "yes" } else { "no" },
        ]
    });
    let heads = ["system", "sizes", "sizes follow", "waist", "forms"];
    let typed = [
        "layfigure profiles women             its sizes, source and cautions",
        "layfigure profiles women:92-tall     what one size measures",
        "layfigure build women:93.5-168       bust and stature between the sizes, in cm",
    ];
    let page = vec![
        vec![Block::Heading(
            "size profiles: measurements of bodies, not of garments".into(),
        )],
        vec![Block::Table(Table::new(&heads, rows))],
        vec![Block::Note(
            "forms: whether you can build a form of a size, or only compare with it".into(),
        )],
        vec![Block::Lines(typed.map(Into::into).into())],
    ];
    terminal::page(&page, Reader::default(), false)
}

/// What the program says of where a profile is from.
fn sources(p: &Profile) -> Vec<Text> {
    let waist = waist_words(p.waist).to_owned();
    let said = [
        ("source", &p.source),
        ("terms", &p.terms),
        ("made", &p.made),
        ("waist", &waist),
        ("caution", &p.caution),
    ];
    let said = said.into_iter().filter(|(_, text)| !text.is_empty());
    said.map(|(word, text)| format!("{word}: {text}").into())
        .collect()
}

/// One system: its sources and its sizes.
#[must_use]
pub fn system(p: &Profile, unit: Unit) -> String {
    let telling: Vec<Measure> = COLUMNS
        .into_iter()
        .filter(|m| p.column(*m).is_some())
        .collect();
    let names: Vec<String> = telling.iter().map(|m| m.short(p.figure)).collect();
    let mut heads = vec!["size"];
    heads.extend(names.iter().map(String::as_str));
    if !p.people.is_empty() {
        heads.push("people");
    }
    let mut rows = Vec::new();
    for column in 0..p.width() {
        for row in 0..p.names.len() {
            let Some(size) = p.tabulated_size(row, column) else {
                continue;
            };
            let mut cells = cells![&size.name];
            let values = telling.iter().map(|m| (m, size.value(*m)));
            cells.extend(values.map(|(m, v)| v.map(|v| Amount::of(*m, v, unit)).into()));
            if !p.people.is_empty() {
                let people = size.people.map(|n| Amount::new(n, AmountScale::Plain(0)));
                cells.push(people.into());
            }
            rows.push(cells);
        }
    }
    let people = if p.people.is_empty() {
        ""
    } else {
        "; people: records behind the size"
    };
    let lengths = format!("girths and lengths in {}{people}", unit.plural());
    let how = [How::Measured, How::Computed, How::Published].map(|how| {
        let names: Vec<&str> = p
            .measures
            .iter()
            .filter(|c| c.how == how)
            .map(|c| c.measure.info().title.of(p.figure))
            .collect();
        (!names.is_empty()).then(|| format!("{}: {}", how.name(), names.join(", ")).into())
    });
    let page = vec![
        vec![
            Block::Heading((&p.system).into()),
            Block::Note((&p.title).into()),
        ],
        vec![Block::List(PageMark::Nothing, sources(p))],
        vec![Block::Table(Table::new(&heads, rows))],
        vec![Block::Note(lengths.into())],
        vec![Block::List(
            PageMark::Nothing,
            how.into_iter().flatten().collect(),
        )],
    ];
    terminal::page(&page, Reader::of(unit).about(p.figure), false)
}

/// One size: what it measures, in centimetres and inches.
#[must_use]
pub fn size(s: &Size) -> String {
    let mut said = vec![format!("source: {}", s.source)];
    if let Some(between) = &s.between {
        said.push(format!(
            "it lies {between}: every value changes evenly from one tabulated size to the next"
        ));
    }
    if let Some(people) = s.people {
        let behind = if s.between.is_some() { "at least " } else { "" };
        said.push(format!(
            "records behind it: {behind}{}",
            units::fixed(people, 0)
        ));
    }
    said.push(format!("waist: {}", waist_words(s.waist)));
    if !s.caution.is_empty() {
        said.push(format!("caution: {}", s.caution));
    }
    let rows = s.values.iter().map(|v| {
        let [cm, inch] = [Unit::Cm, Unit::In].map(|unit| Amount::of(v.measure, v.value, unit));
        cells![
            v.measure.info().title.of(s.figure),
            cm,
            inch,
            v.how.name(),
            if v.note.is_empty() {
                v.from.clone()
            } else {
                format!("{}; {}", v.from, v.note)
            },
        ]
    });
    let heads = ["measurement", "cm", "in", "how", "as the source has it"];
    let said = said.into_iter().map(Text::from).collect();
    let mut page = vec![
        vec![Block::Heading(s.full_name().into())],
        vec![Block::List(PageMark::Nothing, said)],
        vec![Block::Table(Table::new(&heads, rows))],
    ];
    let lacks = s.lacks();
    if !lacks.is_empty() {
        let names: Vec<&str> = lacks.iter().map(|m| m.info().title.of(s.figure)).collect();
        let lacks = format!(
            "not in this table, and needed for a form: {}",
            names.join(", ")
        );
        page.push(vec![Block::Note(lacks.into())]);
    }
    terminal::page(&page, Reader::default(), false)
}
