//! The step that covers the form: which cloth and how much, the pieces to draft, how they go on.

use svg::node::element::Path;
use svg::node::element::path::Data;

use crate::form::Form;
use crate::form::cloth_cover;
use crate::form::cloth_cover::{Cover, SEAM, SEAM_BACK, SNUG, TURN_UNDER};
use crate::measure::Figure;
use crate::say::amount::{Amount, AmountScale};
use crate::say::page::{Beside, Block};
use crate::say::picture;
use crate::say::picture::At;
use crate::say::table::{Cell, Setting, Table, cells};
use crate::text;
use crate::text::{Part, ShownAs, Text, bench, strong, tape};
use crate::units;
use crate::units::{MM_PER_INCH, Unit};

/// Room for a letter, in heights: that of a wide serif face, since every browser takes another (by eye).
const LETTER: f64 = 0.62;
/// Of the drawing, as parts of its height, so that a small form is drawn as a large one: blank round it,
/// height of letters, width of lines.
const ROUND_IT: f64 = 0.033;
const LETTERS: f64 = 0.036;
const PEN: f64 = 0.003;
/// What is pulled to see how far a knit stretches, mm.
const fn pulled(unit: Unit) -> f64 {
    match unit {
        Unit::Cm | Unit::Mm => 100.0,
        Unit::In => 4.0 * MM_PER_INCH,
    }
}

/// The line of the shopping list.
pub(super) fn to_buy(form: &Form) -> Text {
    let unit = form.checked.unit;
    let thick = bench(form.workshop.padding.cover, 1);
    let Some(cover) = cloth_cover::cover(form) else {
        return text!["Cover cloth, a knit ", thick, " thick"];
    };
    let of_width = |wide: f64| match cover.length_of_cloth(wide) {
        Some(length) => text![
            Part::Shown(length, ShownAs::OffTheBolt),
            " of a cloth ",
            width(unit, wide),
            " wide"
        ],
        None => text![
            "none ",
            width(unit, wide),
            " wide, too narrow for the front"
        ],
    };
    text![
        "Cover cloth, a firm knit ",
        thick,
        " thick that stretches as step 9 says: ",
        Text::joined(cloth_cover::widths(unit).map(of_width), ", or "),
        "; a drawstring, and strong thread or a zip for the back"
    ]
}

/// Widths of cloth are whole numbers.
fn width(unit: Unit, mm: f64) -> Text {
    text::together(match unit {
        Unit::Cm | Unit::Mm => format!("{} cm", units::fixed(Unit::Cm.from_mm(mm), 0)),
        Unit::In => unit.show(mm),
    })
}

/// The whole step.
pub(super) fn cover(form: &Form) -> Vec<Block> {
    let Some(c) = cloth_cover::cover(form) else {
        return vec![Block::Paragraph(
            "This solid lacks the marks that a pattern is drafted from: drape the cover on the padded form, seams at \
             centre back and sides."
                .into(),
        )];
    };
    let unit = form.checked.unit;
    let even = c.even();
    let front = if even {
        " on the fold"
    } else {
        " in one piece, left and right of their own"
    };
    let mut out = vec![Block::Paragraph(text![
        "The cover is a front",
        front,
        ", two backs that meet at the centre back, a neck, an oval for each arm plate and a round for the end of the \
         neck. Take a firm knit: ",
        tape(pulled(unit)),
        " of it, folded and pulled crosswise, must reach ",
        strong(tape(pulled(unit) * c.opening.stretch)),
        " without force. Widths below are ",
        units::fixed(SNUG * 100.0, 0),
        " % less than the form (common practice, no source). Woven cloth does not give and is not drafted here."
    ])];
    out.push(Block::Table(table(&c, unit, even)));
    out.push(Block::Table(above(&c, unit, even)));
    out.push(Block::Paragraph(ends(&c, even)));
    out.push(drawing(&c));
    out.push(Block::Paragraph(drafting(&c, form.stack.figure)));
    out.push(Block::Paragraph(dressing(&c)));
    out
}

/// How the pieces are drafted from the tables.
fn drafting(c: &Cover, figure: Figure) -> Text {
    let (bust, point) = match figure {
        Figure::Woman => ("bust", "bust point"),
        Figure::Man | Figure::Child => ("chest", "fullest part of the chest"),
    };
    let [left, right] = c.side_seams();
    let dart = c.dart().map_or_else(
        || "Ease the longer one in. ".into(),
        |dart| {
            text![
                "Take the difference up in a dart of ",
                strong(tape(dart)),
                " in each front side seam, pointing at the ",
                point,
                ", ending ",
                tape(20.0),
                " before it. "
            ]
        },
    );
    let waist = c.waist_dart().map(|dart| {
        text![
            "Below the ",
            bust,
            " take ",
            strong(tape(dart)),
            " a side in a dart, widest at the waist, from below the ",
            point,
            " to the abdomen, and move the side seam out by as much. "
        ]
    });
    text![
        strong("Draft it."),
        " Mark the levels along the centre line, square out the widths, join their ends: the side seam. It is ",
        tape(left[0].midpoint(right[0])),
        " in front, ",
        tape(left[1].midpoint(right[1])),
        " behind. ",
        dart,
        waist,
        "Allow ",
        tape(SEAM),
        " at every seam, ",
        tape(SEAM_BACK),
        " at the centre back, ",
        tape(TURN_UNDER),
        " below the lower edge. Sew a trial in old jersey."
    ]
}

/// How it is sewn and put on.
fn dressing(c: &Cover) -> Text {
    let over = c.opening.over.map_or_else(
        || ", the whole length: it goes on like a coat".into(),
        |[closed, over]| text![": below it ", tape(closed), " round goes over ", tape(over)],
    );
    let darted = c.dart().is_some() || c.waist_dart().is_some();
    let darts = darted.then_some("darts, ");
    text![
        strong("Put it on."),
        " Sew ",
        darts,
        "shoulders, sides, neck and ovals; leave the centre back open from the upper end of the neck down for ",
        strong(tape(c.opening.length)),
        over,
        ". Pull it down, seams straight; close the back by hand from the waist, or with the zip; draw the string up under \
         the base board. Mark centres, side lines, the levels of the check card with thread, at their heights."
    ]
}

/// Left and right in one cell, one above the other: side by side they are too wide for a telephone.
fn pair(unit: Unit, [left, right]: [f64; 2], even: bool) -> Cell {
    let tape = |mm: f64| Amount::new(mm, AmountScale::Tape(unit));
    if even {
        tape(left.midpoint(right)).into()
    } else {
        Cell::Pair([tape(left), tape(right)])
    }
}

fn table(c: &Cover, unit: Unit, even: bool) -> Table {
    let snug = |v: [f64; 2]| pair(unit, v.map(|w| w * (1.0 - SNUG)), even);
    let tape = |mm: f64| Amount::new(mm, AmountScale::Tape(unit));
    let rows = c.rows.iter().rev().map(|r| {
        cells![
            &r.name,
            snug(r.front),
            tape(r.along[0]),
            snug(r.back),
            tape(r.along[1]),
        ]
    });
    let heads = [
        "Level",
        "Half front, wide",
        "Front, up",
        "Half back, wide",
        "Back, up",
    ];
    let sides = (!even).then_some("; left above, right below");
    Table::new(&heads, rows).set(Setting::Whole).under(text![
        "The pattern up to the armpits, in ",
        unit.plural(),
        "; up: along the centre line from the lower edge",
        sides
    ])
}

fn above(c: &Cover, unit: Unit, even: bool) -> Table {
    let t = &c.top;
    let bare = |mm: f64| Cell::from(Amount::new(mm, AmountScale::Tape(unit)));
    let half = |across: f64| bare(across / 2.0);
    let at = |v: [f64; 2]| pair(unit, v, even);
    let armhole = |i: usize| at(t.armhole.map(|a| a[i]));
    let rows = [
        cells!["neckline, up", bare(t.along[0]), bare(t.along[1])],
        cells!["side neck, up", bare(t.side_neck[0]), bare(t.side_neck[1])],
        cells!["out from the centre", at(t.neck_width), at(t.neck_width)],
        cells!["shoulder seam", at(t.shoulder), at(t.shoulder)],
        cells!["its drop", at(t.drop), at(t.drop)],
        cells![
            "mid armhole, up",
            bare(t.across_at[0]),
            bare(t.across_at[1])
        ],
        cells!["out from the centre", half(t.across[0]), half(t.across[1])],
        cells!["armhole seam, to check", armhole(0), armhole(1)],
    ];
    let sides = (!even).then_some("; left above, right below");
    Table::new(&["What", "Front", "Back"], rows)
        .set(Setting::Whole)
        .under(text![
            "Above the armpits, at the form's own measures",
            sides
        ])
}

/// The pieces that close the neck and the arms.
fn ends(c: &Cover, even: bool) -> Text {
    let t = &c.top;
    let right = (!even).then(|| {
        text![
            " on the left, ",
            tape(t.plate[1][0]),
            " and ",
            tape(t.plate[1][1]),
            " on the right"
        ]
    });
    text![
        "Neck: ",
        tape(t.neck[0] * (1.0 - SNUG)),
        " along its lower edge, ",
        tape(t.neck[1] * (1.0 - SNUG)),
        " along its upper edge; ",
        tape(t.neck_height[0]),
        " high in front, ",
        tape(t.neck_height[2]),
        " at the sides, ",
        tape(t.neck_height[1]),
        " behind. Arm plates: ovals ",
        tape(t.plate[0][0]),
        " high and ",
        tape(t.plate[0][1]),
        " wide",
        right,
        ": draw round the padded plate. End of the neck: draw round its cap."
    ]
}

/// Half front and half back with their levels, drawn from the same numbers.
fn drawing(c: &Cover) -> Block {
    let t = &c.top;
    let high = t.side_neck[0].max(t.side_neck[1]);
    let widest =
        |of: &dyn Fn(&cloth_cover::PatternLevel) -> f64| c.rows.iter().map(of).fold(0.0, f64::max);
    let snug = 1.0 - SNUG;
    let wide = [
        widest(&|r| r.front[0]) * snug,
        widest(&|r| r.back[0]) * snug,
    ];
    let [round_it, letters, pen] = [ROUND_IT, LETTERS, PEN].map(|part| part * high);
    let longest = c
        .rows
        .iter()
        .map(|r| r.name.chars().count())
        .max()
        .unwrap_or(0);
    let room = (1.0 + LETTER * longest as f64) * letters;
    let left = [round_it, round_it + wide[0] + room];
    let (w, h) = (
        left[1] + wide[1] + room,
        high + 2.0 * round_it + 2.0 * letters,
    );
    let place = |which: usize, x: f64, up: f64| (left[which] + x, round_it + high - up);
    let shows = "half the front and half the back of the cover, with their levels";
    let mut drawn = picture::empty(w, h, shows);
    for which in [0, 1] {
        let row_width =
            |r: &cloth_cover::PatternLevel| if which == 0 { r.front[0] } else { r.back[0] } * snug;
        let mut lines = picture::strokes("#000", pen / 2.0).set(
            "stroke-dasharray",
            (picture::px(4.0 * pen), picture::px(2.7 * pen)),
        );
        for r in &c.rows[1..] {
            let ends = [0.0, row_width(r)].map(|x| place(which, x, r.along[which]));
            lines = lines.add(picture::path(ends, false));
        }
        let edge = Path::new().set("d", outline(c, which, |x, up| place(which, x, up)));
        let mut words = picture::lettering(letters);
        let beside = labels(c, which, letters, |up| place(which, 0.0, up).1);
        for (r, y) in c.rows.iter().zip(beside) {
            let x = place(which, wide[which].max(row_width(r)), 0.0).0;
            words = words.add(picture::words((x + 0.3 * letters, y), "start", &*r.name));
        }
        let (x, y) = place(which, wide[which] / 2.0, 0.0);
        let half = ["half front", "half back"][which];
        let centre = match (which, c.even()) {
            (0, true) => "centre front: fold",
            (0, false) => "centre front",
            _ => "centre back: seam and opening",
        };
        let (up_x, up_y) = place(which, letters * 1.1, high * 0.3);
        let turn = format!(
            "translate({} {}) rotate(-90)",
            picture::px(up_x),
            picture::px(up_y)
        );
        words = words
            .add(picture::words((x, y + 1.9 * letters), "middle", half))
            .add(
                picture::words((0.0, 0.0), "start", centre)
                    .set("stroke", "#fff")
                    .set("stroke-width", picture::px(letters / 4.0))
                    .set("paint-order", "stroke")
                    .set("transform", turn),
            );
        drawn = drawn
            .add(picture::strokes("#000", pen).add(edge))
            .add(lines)
            .add(words);
    }
    Block::Pictures(
        Beside::Drawing,
        vec![("Without darts and allowances.".into(), drawn)],
    )
}

/// Where the words of the levels stand, from the lowest up, so that none overlap.
fn labels(c: &Cover, which: usize, letters: f64, y: impl Fn(f64) -> f64) -> Vec<f64> {
    let mut wanted: Vec<f64> = c.rows.iter().map(|r| y(r.along[which])).collect();
    wanted.reverse();
    let mut out = crate::say::views::spread(&wanted, letters * 1.15);
    out.reverse();
    out.iter().map(|v| v + letters * 0.35).collect()
}

/// From the lower edge at the centre round by the side, armhole, shoulder and neck.
fn outline(c: &Cover, which: usize, place: impl Fn(f64, f64) -> At) -> Data {
    let t = &c.top;
    let snug = 1.0 - SNUG;
    let at = |x: f64, up: f64| {
        let (x, y) = place(x, up);
        (picture::px(x), picture::px(y))
    };
    let bent = |by: At, to: At| (by.0, by.1, to.0, to.1);
    let width =
        |r: &cloth_cover::PatternLevel| if which == 0 { r.front[0] } else { r.back[0] } * snug;
    let mut data = Data::new().move_to(at(0.0, 0.0));
    for r in &c.rows {
        data = data.line_to(at(width(r), r.along[which]));
    }
    let (neck, up) = (t.neck_width[0], t.side_neck[which]);
    let (long, drop) = (t.shoulder[0], t.drop[0]);
    let shoulder = (
        neck + (long * long - drop * drop).max(0.0).sqrt(),
        up - drop,
    );
    let middle = (t.across[which] / 2.0, t.across_at[which]);
    let armpit = c
        .rows
        .last()
        .map_or((0.0, 0.0), |r| (width(r), r.along[which]));
    // The armhole leaves the side seam level and goes straight up at its middle; the neckline comes down
    // beside the neck and crosses the centre square.
    data.quadratic_curve_to(bent(at(middle.0, armpit.1), at(middle.0, middle.1)))
        .line_to(at(shoulder.0, shoulder.1))
        .line_to(at(neck, up))
        .quadratic_curve_to(bent(at(neck, t.along[which]), at(0.0, t.along[which])))
        .close()
}
