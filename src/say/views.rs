//! Line drawings of the form: front and side outlines with their levels, and every level's section.

use crate::drawing::{Anchor, Drawing, Group, Item, Pen};
use crate::form::levels::{Section, merged};
use crate::form::silhouette::{around, extent, silhouette};
use crate::geom::Point2;
use crate::measure::Level;
use crate::mesh::Mesh;
use crate::units::Unit;

/// Millimetres of the body to a millimetre of the drawing.
const SCALE: f64 = 4.0;
/// The same for the drawing of the sections.
const SECTION_SCALE: f64 = 5.0;
/// Sections side by side.
const COLUMNS: usize = 3;
/// Blank edge of the drawings, mm.
const EDGE: f64 = 8.0;
/// Height of capitals, mm.
const LETTER: f64 = 2.8;
/// Least distance between the base lines of two labels, mm.
const LABEL_STEP: f64 = 5.2;
/// Room for the column of labels between the two outlines, mm.
const LABEL_ROOM: f64 = 56.0;
/// Levels worth a line: those that somebody measures at or marks.
fn shown(level: Level) -> bool {
    !matches!(level, Level::MidArmscye | Level::NeckTop)
}

/// The line round an outline, its points where `place` puts them.
fn outline(z: &[f64], width: &[(f64, f64)], place: impl Fn(f64, f64) -> Point2) -> Item {
    let around = around(z, width).into_iter();
    let points: Vec<Point2> = around.map(|(across, z)| place(across, z)).collect();
    Item::path(Pen::Mark, points, true)
}

/// Where the labels of `wanted` base lines (rising) go so that none overlap, staying near.
pub(super) fn spread(wanted: &[f64], step: f64) -> Vec<f64> {
    // Neighbours that would overlap form a block, centred on the mean of what they wanted.
    let mut blocks: Vec<(f64, usize)> = Vec::new();
    for w in wanted {
        blocks.push((*w, 1));
        while let [.., (a, n), (b, m)] = blocks[..] {
            if b - a >= step * (n + m) as f64 / 2.0 {
                break;
            }
            let centre = (a * n as f64 + b * m as f64) / (n + m) as f64;
            blocks.truncate(blocks.len() - 2);
            blocks.push((centre, n + m));
        }
    }
    blocks
        .iter()
        .flat_map(|(centre, n)| {
            (0..*n).map(move |i| centre + step * (i as f64 - (*n as f64 - 1.0) / 2.0))
        })
        .collect()
}

fn line(pen: Pen, a: Point2, b: Point2) -> Item {
    Item::path(pen, vec![a, b], false)
}

/// Front and side outlines, with a line, a name and the height above `zero` at each level.
#[must_use]
pub fn views(mesh: &Mesh, zero: f64, name: &str, unit: Unit) -> Drawing {
    let s = silhouette(mesh);
    let (Some(low), Some(high)) = (s.z.first().copied(), s.z.last().copied()) else {
        return Drawing::default();
    };
    let (x, y) = (extent(&s.x), extent(&s.y));
    let foot = EDGE + 2.0 * LETTER + 8.0;
    // The front is seen by somebody facing it: `x` runs to the left of the drawing.
    let front_left = EDGE + 4.0;
    let front =
        |x_: f64, z: f64| Point2::new(front_left + (x.1 - x_) / SCALE, foot + (z - low) / SCALE);
    let front_right = front_left + (x.1 - x.0) / SCALE;
    let side_left = front_right + LABEL_ROOM;
    let side =
        |y_: f64, z: f64| Point2::new(side_left + (y_ - y.0) / SCALE, foot + (z - low) / SCALE);
    let width = side_left + (y.1 - y.0) / SCALE + 4.0 + EDGE;
    let height = foot + (high - low) / SCALE + 3.0 * LETTER + EDGE;

    let mut outlines = vec![outline(&s.z, &s.x, front), outline(&s.z, &s.y, side)];
    let head = height - EDGE - LETTER;
    outlines.push(Item::words(
        Point2::new((front_left + front_right) / 2.0, head),
        LETTER,
        Anchor::Middle,
        "front",
    ));
    outlines.push(Item::words(
        Point2::new(side(f64::midpoint(y.0, y.1), low).x, head),
        LETTER,
        Anchor::Middle,
        "side, front to the right",
    ));

    let marks = merged(mesh, shown);
    let wanted: Vec<f64> = marks.iter().map(|(z, _)| front(0.0, *z).y).collect();
    let mut levels = Vec::new();
    for ((z, words), label) in marks.iter().zip(spread(&wanted, LABEL_STEP)) {
        let y_ = front(0.0, *z).y;
        let (from, to) = (front_right + 7.0, side_left - 7.0);
        levels.push(line(
            Pen::Fine,
            Point2::new(front_left - 3.0, y_),
            Point2::new(front_right + 2.0, y_),
        ));
        levels.push(line(
            Pen::Fine,
            Point2::new(front_right + 2.0, y_),
            Point2::new(from, label),
        ));
        levels.push(line(
            Pen::Fine,
            Point2::new(to, label),
            Point2::new(side_left - 2.0, y_),
        ));
        levels.push(line(
            Pen::Fine,
            Point2::new(side_left - 2.0, y_),
            Point2::new(width - EDGE, y_),
        ));
        levels.push(Item::words(
            Point2::new((from + to) / 2.0, label - LETTER / 2.0),
            LETTER * 0.85,
            Anchor::Middle,
            format!("{words}  {}", unit.show(z - zero)),
        ));
    }
    let ruler = ruler(Point2::new(front_left, EDGE + LETTER + 3.0), unit, SCALE);
    let mut notes = ruler;
    notes.push(Item::words(
        Point2::new(front_left, EDGE),
        LETTER * 0.85,
        Anchor::Start,
        format!("{name}: heights above the underside of layer 1; drawn at 1 : {SCALE}"),
    ));
    Drawing {
        width,
        height,
        title: format!("{name}: front and side outlines with levels"),
        groups: vec![
            group("levels", levels),
            group("outlines", outlines),
            group("notes", notes),
        ],
    }
}

/// A bar that stands for a round length of the body.
fn ruler(at: Point2, unit: Unit, scale: f64) -> Vec<Item> {
    let length = bar(unit);
    let end = Point2::new(at.x + length / scale, at.y);
    let tick = |p: Point2| line(Pen::Mark, p, Point2::new(p.x, p.y + 2.0));
    vec![
        line(Pen::Mark, at, end),
        tick(at),
        tick(end),
        Item::words(
            Point2::new(end.x + 2.0, at.y),
            LETTER * 0.85,
            Anchor::Start,
            format!("{} of the body", unit.show(length)),
        ),
    ]
}

/// What the tape reads on a section, in words.
#[must_use]
pub fn girth(section: &Section, unit: Unit) -> String {
    format!("girth {}", unit.show(section.round.girth))
}

/// What a straight edge reads, in words.
#[must_use]
pub fn across(section: &Section, unit: Unit) -> [String; 2] {
    let [breadth, depth] = section.size();
    [
        format!("breadth {}", unit.show(breadth)),
        format!("depth {}", unit.show(depth)),
    ]
}

/// The length of the body that a bar stands for, mm.
pub(super) const fn bar(unit: Unit) -> f64 {
    match unit {
        Unit::Cm | Unit::Mm => 100.0,
        Unit::In => 4.0 * crate::units::MM_PER_INCH,
    }
}

/// Every level's section at one scale, front upward, with what a tape and a straight edge read
/// there. Three side by side, from the lowest level up.
#[must_use]
pub fn sections(cells: &[Section], name: &str, unit: Unit) -> Drawing {
    let breadth = cells.iter().map(|c| c.round.breadth).fold(0.0, f64::max) / SECTION_SCALE;
    let depth = cells.iter().map(|c| c.round.depth).fold(0.0, f64::max) / SECTION_SCALE;
    let words = 3.0 * LABEL_STEP + LETTER;
    let (cell_w, cell_h) = (breadth.max(64.0) + 10.0, depth + words + 12.0);
    let rows = cells.len().div_ceil(COLUMNS);
    let foot = EDGE + 2.0 * LETTER + 8.0;
    let width = cell_w * COLUMNS as f64 + 2.0 * EDGE;
    let height = foot + cell_h * rows as f64 + EDGE;

    let mut outlines = Vec::new();
    let mut labels = Vec::new();
    let mut frames = Vec::new();
    for (i, cell) in cells.iter().enumerate() {
        let corner = Point2::new(
            EDGE + cell_w * (i % COLUMNS) as f64,
            height - EDGE - cell_h * (i / COLUMNS + 1) as f64,
        );
        let middle = Point2::new(
            corner.x + cell_w / 2.0,
            corner.y + words + (cell_h - words) / 2.0,
        );
        let place = |p: Point2| middle + p.coords / SECTION_SCALE;
        outlines.push(Item::path(
            Pen::Mark,
            cell.centred().map(place).collect::<Vec<_>>(),
            true,
        ));
        // Centre line, and a line from side to side through the deepest of it.
        let half = (
            cell.round.breadth / SECTION_SCALE / 2.0,
            cell.round.depth / SECTION_SCALE / 2.0,
        );
        frames.push(line(
            Pen::Dashed,
            Point2::new(middle.x, middle.y - half.1),
            Point2::new(middle.x, middle.y + half.1),
        ));
        frames.push(line(
            Pen::Dashed,
            Point2::new(middle.x - half.0, middle.y),
            Point2::new(middle.x + half.0, middle.y),
        ));
        let at = |row: f64| Point2::new(middle.x, corner.y + words - LETTER - row * LABEL_STEP);
        labels.push(Item::words(at(0.0), LETTER, Anchor::Middle, &*cell.level));
        labels.push(Item::words(
            at(1.0),
            LETTER * 0.85,
            Anchor::Middle,
            girth(cell, unit),
        ));
        labels.push(Item::words(
            at(2.0),
            LETTER * 0.85,
            Anchor::Middle,
            across(cell, unit).join(", "),
        ));
    }
    let mut notes = ruler(Point2::new(EDGE, EDGE + LETTER + 3.0), unit, SECTION_SCALE);
    notes.push(Item::words(
        Point2::new(EDGE, EDGE),
        LETTER * 0.85,
        Anchor::Start,
        format!(
            "{name}: sections of the finished surface, front upward; drawn at 1 : {SECTION_SCALE}"
        ),
    ));
    Drawing {
        width,
        height,
        title: format!("{name}: section at every level"),
        groups: vec![
            group("axes", frames),
            group("outlines", outlines),
            group("labels", labels),
            group("notes", notes),
        ],
    }
}

fn group(id: &str, items: Vec<Item>) -> Group {
    Group {
        id: id.into(),
        items,
        clip: None,
    }
}
