//! The step that covers the form: which cloth and how much, the pieces to draft, how they go on.

use maud::{Markup, PreEscaped, html};
use svg::node::element::Path;
use svg::node::element::path::Data;

use crate::form::Form;
use crate::form::cloth_cover;
use crate::form::cloth_cover::{Cover, SEAM, SEAM_BACK, SNUG, TURN_UNDER};
use crate::say::picture;
use crate::say::picture::At;
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
pub(super) fn to_buy(form: &Form) -> Markup {
    let unit = form.checked.unit;
    let thick = unit.bench(form.workshop.padding.cover, 1);
    let Some(cover) = cloth_cover::cover(form) else {
        return html! { "Cover cloth, a knit " (thick) " thick" };
    };
    let all = cloth_cover::widths(unit).map(|wide| (wide, cover.length_of_cloth(wide)));
    html! {
        "Cover cloth, a firm knit " (thick) " thick that stretches as step 9 says: "
        @for (i, (wide, length)) in all.iter().enumerate() {
            @if i > 0 { ", or " }
            @match length {
                Some(length) => { (unit.off_the_bolt(*length)) " of a cloth " (width(unit, *wide)) " wide" }
                None => { "none " (width(unit, *wide)) " wide, too narrow for the front" }
            }
        }
        "; a drawstring, and strong thread or a zip for the back"
    }
}

/// Widths of cloth are whole numbers.
fn width(unit: Unit, mm: f64) -> String {
    match unit {
        Unit::Cm | Unit::Mm => format!("{} cm", units::fixed(Unit::Cm.from_mm(mm), 0)),
        Unit::In => unit.show(mm),
    }
}

/// The whole step.
pub(super) fn cover(form: &Form) -> Markup {
    let Some(c) = cloth_cover::cover(form) else {
        return html! {
            p { "This solid lacks the marks that a pattern is drafted from: drape the cover on the padded \
                 form, seams at centre back and sides." }
        };
    };
    let unit = form.checked.unit;
    let even = c.even();
    let per_cent = units::fixed(SNUG * 100.0, 0);
    html! {
        p {
            "The cover is a front" @if even { " on the fold" } @else { " in one piece, left and right of their own" }
            ", two backs that meet at the centre back, a neck, an oval for each arm plate and a round for the \
             end of the neck. Take a firm knit: " (unit.show(pulled(unit))) " of it, folded and pulled crosswise, must \
             reach " strong { (unit.show(pulled(unit) * c.opening.stretch)) } " without force. Widths below are "
            (per_cent) " % less than the form (common practice, no source). Woven cloth does not give and is not drafted here."
        }
        (table(&c, unit, even))
        (above(&c, unit, even))
        (drawing(&c))
        p {
            strong { "Draft it." } " Mark the levels along the centre line, square out the widths, join their ends: the side seam. "
            @let [left, right] = c.side_seams();
            "It is " (unit.show(left[0].midpoint(right[0]))) " in front, " (unit.show(left[1].midpoint(right[1]))) " behind. "
            @if let Some(dart) = c.dart() {
                "Take that up in a dart of " strong { (unit.show(dart)) } " in each front side seam, pointing at the bust point, ending " (unit.show(20.0)) " before it. "
            } @else {
                "Ease the longer one in. "
            }
            @if let Some(dart) = c.waist_dart() {
                "Below the bust take " strong { (unit.show(dart)) }
                " a side in a dart, widest at the waist, from below the bust point to the abdomen, and move the side seam out by as \
                 much. "
            }
            "Allow " (unit.show(SEAM)) " at every seam, " (unit.show(SEAM_BACK)) " at the centre back, " (unit.show(TURN_UNDER))
            " below the lower edge. Sew a trial in old jersey."
        }
        p {
            strong { "Put it on." } " Sew darts, shoulders, sides, neck and ovals; leave the centre back open from the upper end \
             of the neck down for " strong { (unit.show(c.opening.length)) }
            @if let Some([closed, over]) = c.opening.over {
                ": below it " (unit.show(closed)) " round goes over " (unit.show(over))
            } @else {
                ", the whole length: it goes on like a coat"
            }
            ". Pull it down, seams straight; close the back by hand from the waist, or with the zip; draw the string up under \
             the base board. Mark centres, side lines, waist, bust and hip with thread, at the heights of the check card."
        }
    }
}

/// Left and right in one cell, one above the other: side by side they are too wide for a telephone.
fn pair(unit: Unit, [left, right]: [f64; 2], even: bool) -> Markup {
    html! {
        @if even { (unit.show_bare(left.midpoint(right))) }
        @else { (unit.show_bare(left)) br; (unit.show_bare(right)) }
    }
}

fn table(c: &Cover, unit: Unit, even: bool) -> Markup {
    let snug = |v: [f64; 2]| v.map(|w| w * (1.0 - SNUG));
    html! {
        div class="wide whole" { table {
            caption {
                "The pattern up to the armpits, in " (unit.plural())
                "; up: along the centre line from the lower edge"
                @if !even { "; left above, right below" }
            }
            thead { tr {
                th scope="col" { "Level" }

                th scope="col" class="n" { "Half front, wide" }
                th scope="col" class="n" { "Front, up" }
                th scope="col" class="n" { "Half back, wide" }
                th scope="col" class="n" { "Back, up" }
            } }
            tbody { @for r in c.rows.iter().rev() { tr {
                th scope="row" { (r.name) }

                td class="n" { (pair(unit, snug(r.front), even)) }
                td class="n" { (unit.show_bare(r.along[0])) }
                td class="n" { (pair(unit, snug(r.back), even)) }
                td class="n" { (unit.show_bare(r.along[1])) }
            } } }
        } }
    }
}

fn above(c: &Cover, unit: Unit, even: bool) -> Markup {
    let t = &c.top;
    let bare = |mm: f64| html! { (unit.show_bare(mm)) };
    let half = |across: f64| bare(across / 2.0);
    let at = |v: [f64; 2]| pair(unit, v, even);
    let armhole = |i: usize| pair(unit, t.armhole.map(|a| a[i]), even);
    let rows = [
        ("neckline, up", bare(t.along[0]), bare(t.along[1])),
        ("side neck, up", bare(t.side_neck[0]), bare(t.side_neck[1])),
        ("out from the centre", at(t.neck_width), at(t.neck_width)),
        ("shoulder seam", at(t.shoulder), at(t.shoulder)),
        ("its drop", at(t.drop), at(t.drop)),
        (
            "mid armhole, up",
            bare(t.across_at[0]),
            bare(t.across_at[1]),
        ),
        ("out from the centre", half(t.across[0]), half(t.across[1])),
        ("armhole seam, to check", armhole(0), armhole(1)),
    ];
    html! {
        div class="wide whole" { table {
            caption { "Above the armpits, at the form's own measures" @if !even { "; left above, right below" } }
            thead { tr {
                th scope="col" { "What" }
                th scope="col" class="n" { "Front" }
                th scope="col" class="n" { "Back" }
            } }
            tbody { @for (what, front, back) in rows { tr {
                th scope="row" { (what) }
                td class="n" { (front) }
                td class="n" { (back) }
            } } }
        } }
        p {
            "Neck: " (unit.show(t.neck[0] * (1.0 - SNUG))) " along its lower edge, "
            (unit.show(t.neck[1] * (1.0 - SNUG))) " along its upper edge; " (unit.show(t.neck_height[0])) " high in front, "
            (unit.show(t.neck_height[2])) " at the sides, " (unit.show(t.neck_height[1]))
            " behind. Arm plates: ovals " (unit.show(t.plate[0][0])) " high and " (unit.show(t.plate[0][1])) " wide"
            @if !even { " on the left, " (unit.show(t.plate[1][0])) " and " (unit.show(t.plate[1][1])) " on the right" }
            ": draw round the padded plate. End of the neck: draw round its cap."
        }
    }
}

/// Half front and half back with their levels, drawn from the same numbers.
fn drawing(c: &Cover) -> Markup {
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
    html! {
        figure class="cover" {
            (PreEscaped(drawn.to_string()))
            figcaption { "Without darts and allowances." }
        }
    }
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
