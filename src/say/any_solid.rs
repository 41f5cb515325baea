//! What the tape reads on a solid of any making, as a table and as JSON.

use serde::Serialize;
use serde_json::Value;

use crate::error::Error;
use crate::form::any_solid::{AtHeight, Solid};
use crate::measure::Level;
use crate::say::amount::{Amount, AmountScale};
use crate::say::json;
use crate::say::json::Rounded;
use crate::say::page::{Block, Page, PageMark};
use crate::say::table::{Cell, Table, cells};
use crate::say::terminal;
use crate::say::words;
use crate::sheet::Origin;
use crate::tape::GirthRound;
use crate::text;
use crate::text::{Reader, Text};
use crate::units::Unit;

/// The rows as a table, 80 columns wide. `file` is the solid's name.
#[must_use]
pub fn table(solid: &Solid, rows: &[AtHeight], file: &str, unit: Unit) -> String {
    terminal::page(&page(solid, rows, file, unit), Reader::of(unit), false)
}

fn page(solid: &Solid, rows: &[AtHeight], file: &str, unit: Unit) -> Page {
    let (low, high) = solid.mesh.bounds().map_or((0.0, 0.0), |(l, h)| (l.z, h.z));
    let what = format!(
        "{}: {}, closed, from {} to {} high; in {}",
        words::file_name(file),
        text::count(solid.mesh.triangles.len(), "triangle"),
        unit.show_bare(low),
        unit.show_bare(high),
        unit.plural()
    );
    let levels = rows.iter().any(|r| r.place.level.is_some());
    let parts = rows
        .iter()
        .any(|r| r.round.as_ref().is_some_and(|r| r.parts.len() > 1));
    let mut heads = vec!["height", "girth", "breadth", "depth"];
    if levels {
        heads.insert(0, "level");
        heads.splice(3..3, ["asked", "difference"]);
    }
    if parts {
        heads.extend(["parts", "all round"]);
    }
    let tape = |v: f64| Amount::new(v, AmountScale::Tape(unit));
    let cells = rows.iter().map(|row| {
        let round = row.round.as_ref();
        let show = |v: &dyn Fn(&GirthRound) -> f64| Cell::from(round.map(|r| tape(v(r))));
        let mut cells = cells![
            tape(row.place.height),
            show(&|r| r.girth),
            show(&|r| r.breadth),
            show(&|r| r.depth),
        ];
        if levels {
            let asked = row.place.asked.map(|(v, origin)| match origin {
                Origin::Estimated => tape(v).marked("≈ "),
                Origin::Given => tape(v),
            });
            let apart = row
                .difference()
                .map(|d| Amount::new(d, AmountScale::Apart(unit)));
            cells.insert(0, row.place.level.map_or("–", Level::name).into());
            cells.splice(3..3, cells![asked, apart]);
        }
        if parts {
            cells.push(round.map(|r| Amount::count(r.parts.len())).into());
            cells.push(show(&|r| r.together));
        }
        cells
    });
    let table = Table::new(&heads, cells);
    let mut reasons: Vec<&str> = Vec::new();
    for row in rows {
        reasons.extend(row.reason.filter(|r| !reasons.contains(r)));
    }
    let mut said: Vec<Text> = Vec::new();
    for reason in reasons {
        let heights: Vec<String> = rows
            .iter()
            .filter(|r| r.reason == Some(reason))
            .map(|r| unit.show_bare(r.place.height))
            .collect();
        said.push(format!("– {reason}: {}", heights.join(", ")).into());
    }
    if parts {
        said.push("girth, breadth and depth belong to the largest part".into());
    }
    if rows
        .iter()
        .any(|r| matches!(r.place.asked, Some((_, Origin::Estimated))))
    {
        said.push("≈ nobody measured it: estimated from the rest of the sheet".into());
    }
    let mut read = vec![Block::Table(table)];
    if !said.is_empty() {
        read.push(Block::List(PageMark::Nothing, said));
    }
    vec![vec![Block::Heading(what.into())], read]
}

/// The same as JSON: mm, mm² and mm³, three decimals.
///
/// # Errors
/// [`Error::Format`] if the values cannot be written as JSON.
pub fn numbers(solid: &Solid, rows: &[AtHeight], file: &str) -> Result<Value, Error> {
    let (low, high) = solid
        .mesh
        .bounds()
        .map_or((None, None), |(l, h)| (Some(l.z), Some(h.z)));
    let all = Numbers {
        format: json::FORMAT,
        solid: words::file_name(file),
        axes: "mm; z up, heights as the solid has them",
        triangles: solid.mesh.triangles.len(),
        low: low.map(json::number),
        high: high.map(json::number),
        volume: json::number(solid.mesh.volume()),
        area: json::number(solid.mesh.area()),
        crossings: solid.crossings.pairs.count,
        findings: json::findings(&solid.findings),
        rounds: rows.iter().map(Line::new).collect(),
    };
    json::value(&all)
}

/// The object that `tape --json` prints: the names of its fields are promised.
#[derive(Serialize)]
struct Numbers<'a> {
    format: u32,
    solid: &'a str,
    axes: &'static str,
    triangles: usize,
    low: Option<Rounded>,
    high: Option<Rounded>,
    volume: Rounded,
    area: Rounded,
    crossings: usize,
    findings: Value,
    rounds: Vec<Line>,
}

/// What is read at one height.
#[derive(Serialize)]
struct Line {
    height: Rounded,
    level: Option<String>,
    girth: Option<Rounded>,
    breadth: Option<Rounded>,
    depth: Option<Rounded>,
    parts: Vec<Rounded>,
    all_round: Option<Rounded>,
    asked: Option<Rounded>,
    origin: Option<&'static str>,
    difference: Option<Rounded>,
    reason: Option<&'static str>,
}

impl Line {
    fn new(row: &AtHeight) -> Self {
        let of = |v: &dyn Fn(&GirthRound) -> f64| row.round.as_ref().map(v).map(json::number);
        let parts = row.round.iter().flat_map(|r| &r.parts);
        Self {
            height: json::number(row.place.height),
            level: row.place.level.map(json::level_key),
            girth: of(&|r| r.girth),
            breadth: of(&|r| r.breadth),
            depth: of(&|r| r.depth),
            parts: parts.map(|g| json::number(*g)).collect(),
            all_round: of(&|r| r.together),
            asked: row.place.asked.map(|a| a.0).map(json::number),
            origin: row.place.asked.map(|a| json::origin(a.1)),
            difference: row.difference().map(json::number),
            reason: row.reason,
        }
    }
}
