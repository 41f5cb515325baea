//! The pictures of the guide: shaded views with their levels, and the sections.

use svg::node::element::SVG;

use crate::form::Form;
use crate::form::levels::{Section, merged};
use crate::form::totals;
use crate::measure::Level;
use crate::render::View;
use crate::say::page::{Beside, Block};
use crate::say::picture;
use crate::say::views;
use crate::text;
use crate::text::{Part, Text, strong, tape};
use crate::units::Unit;

/// From the front view to the words beside it, px.
const LEAD: f64 = 18.0;
/// Size of the words, px.
const SIZE: f64 = 15.0;
/// Room for a letter, in sizes: that of a wide serif face, since every browser takes another (by eye).
const LETTER: f64 = 0.6;
/// Width of the lines of the levels, px.
const LINE: f64 = 0.9;

/// Levels with a line on the pictures.
fn shown(level: Level) -> bool {
    matches!(
        level,
        Level::Hip
            | Level::TopHip
            | Level::WaistTape
            | Level::Waist
            | Level::Underbust
            | Level::Bust
            | Level::Armpit
            | Level::ShoulderPoint
            | Level::Nape
            | Level::NeckGirth
    )
}

/// The four shaded views, the upright ones with level lines, the first also with their names.
pub(super) fn views(form: &Form, pictures: &[View]) -> Block {
    let (zero, unit) = (totals::underside(form), form.checked.unit);
    let levels: Vec<(f64, String)> = merged(&form.solid, shown)
        .into_iter()
        .map(|(z, name)| (z, format!("{name} {}", unit.show(z - zero))))
        .collect();
    let letters = levels.iter().map(|l| l.1.chars().count()).max();
    let beside = LEAD + LETTER * SIZE * letters.unwrap_or(0) as f64;
    // The page sets one size of a pixel for all of them, so that they can be compared.
    let room = |i: usize| if i == 0 { beside as usize } else { 0 };
    let widths = pictures.iter().enumerate().map(|(i, v)| v.width + room(i));
    let all: usize = widths.clone().sum();
    let most = widths.max().unwrap_or(0);
    let each = pictures.iter().enumerate().map(|(i, view)| {
        let drawn = picture(form, view, &levels, (i == 0).then_some(beside));
        (view.name.into(), drawn)
    });
    Block::Pictures(Beside::OnePixel { all, most }, each.collect())
}

fn picture(form: &Form, view: &View, levels: &[(f64, String)], beside: Option<f64>) -> SVG {
    let alt = format!("{}: {}", form.checked.sheet.name, view.title);
    let (w, h) = (view.width as f64, view.height as f64);
    let room = beside.unwrap_or(0.0);
    let shaded = picture::empty(w + room, h, alt)
        .set("style", format!("--w: {:.0}", w + room))
        .add(picture::shaded(
            &view.png,
            (0.0, 0.0),
            [view.width, view.height],
        ));
    if !view.upright {
        return shaded;
    }
    // Heights rise, rows fall: spread from the top down.
    let mut rows: Vec<f64> = levels.iter().map(|(z, _)| view.row(*z)).collect();
    rows.reverse();
    let mut labels = views::spread(&rows, SIZE * 1.3);
    labels.reverse();
    rows.reverse();
    let mut lines = picture::strokes("#000", LINE).set("stroke-dasharray", "5 3");
    for row in &rows {
        lines = lines.add(picture::path([(0.0, *row), (w, *row)], false));
    }
    let mut drawn = shaded.add(lines);
    if beside.is_some() {
        let mut leads = picture::strokes("#000", LINE);
        let mut letters = picture::lettering(SIZE);
        for (((_, words), row), label) in levels.iter().zip(&rows).zip(&labels) {
            let at = (w + LEAD, label + SIZE * 0.35);
            leads = leads.add(picture::path([(w, *row), (w + 14.0, *label)], false));
            letters = letters.add(picture::words(at, "start", words.as_str()));
        }
        drawn = drawn.add(leads).add(letters);
    }
    drawn
}

/// Blank round a section, mm of the body.
const ROUND_IT: f64 = 12.0;
/// Thickness of its lines, mm of the body.
const PEN: f64 = 2.2;

/// Every level's section at one scale, each with its words below it, so that they flow into whatever
/// width there is; then a bar for the scale.
pub(super) fn sections(cuts: &[Section], unit: Unit) -> [Block; 3] {
    let most = |axis: usize| cuts.iter().map(|c| c.size()[axis]).fold(0.0, f64::max);
    let (w, h) = (most(0) + 2.0 * ROUND_IT, most(1) + 2.0 * ROUND_IT);
    let framed = |shows: String| picture::framed((-w / 2.0, -h / 2.0), (w, h), shows);
    let bar = views::bar(unit);
    let end = bar / 2.0;
    let ticks = [(-end, -12.0), (-end, 0.0), (end, 0.0), (end, -12.0)];
    let ruler = framed("a bar at the scale of the sections".into())
        .add(picture::strokes("#000", PEN).add(picture::path(ticks, false)));
    let mut all: Vec<(Text, SVG)> = cuts
        .iter()
        .map(|cut| {
            let [across, through] = cut.size();
            let name = text![
                strong(&cut.level),
                Part::NextLine,
                tape(cut.round.girth),
                " round",
                Part::NextLine,
                text::together(format!("{}×{}", unit.show_bare(across), unit.show(through)))
            ];
            let shows = format!("{}: its section", cut.level);
            (name, section(framed(shows), cut))
        })
        .collect();
    all.push((text!["The bar is ", tape(bar), " of the body."], ruler));
    [
        Block::Step("Sections".into()),
        Block::Under(
            "Of the finished surface, at one scale, front upward; across × through.".into(),
        ),
        Block::Pictures(Beside::Grid, all),
    ]
}

/// The outline of a section, with its centre line and a line from side to side.
fn section(on: SVG, cut: &Section) -> SVG {
    let [across, through] = cut.size().map(|v| v / 2.0);
    let axes = picture::strokes("#000", PEN / 2.0)
        .set("stroke-dasharray", "8 5")
        .add(picture::path([(0.0, -through), (0.0, through)], false))
        .add(picture::path([(-across, 0.0), (across, 0.0)], false));
    let outline = picture::path(cut.centred().map(|p| (p.x, -p.y)), true);
    on.add(axes).add(picture::strokes("#000", PEN).add(outline))
}
