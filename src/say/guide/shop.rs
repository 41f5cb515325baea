//! What to buy for a form, with its spare, to be ticked off.

use super::cover_step;
use super::dowels;
use super::kinds;
use super::restart;
use super::stand;
use crate::form::Form;
use crate::form::cost;
use crate::form::cost::{CLOTH_SPARE, SPARE};
use crate::form::totals::Totals;
use crate::layout::Board;
use crate::say::materials;
use crate::say::page::{Block, PageMark};
use crate::say::words;
use crate::text;
use crate::text::{Part, ShownAs, Text, bench, run, strong, tape};
use crate::units;
use crate::units::Unit;

/// `1000 x 600 mm`.
fn size(width: f64, length: f64, unit: Unit) -> Text {
    text::together(format!(
        "{} × {}",
        unit.rule_bare(width, 0),
        unit.rule(length, 0)
    ))
}

/// What is bought of every stock and material, with its spare.
fn bought(form: &Form) -> Vec<Text> {
    let w = &form.workshop;
    let unit = form.checked.unit;
    let material = |board: &Board| {
        let first = board.placed.first().map(|p| p.piece);
        let mut cut = form.cut.iter();
        cut.find(|c| first == Some(c.piece.id))
            .map_or(0, |c| c.material)
    };
    let mut kinds: Vec<(usize, usize)> =
        form.boards.iter().map(|b| (material(b), b.stock)).collect();
    kinds.sort_unstable();
    kinds.dedup();
    kinds
        .into_iter()
        .filter_map(|(of, stock)| {
            let s = w.stock.get(stock)?;
            let boards: Vec<&Board> = form
                .boards
                .iter()
                .filter(|b| b.stock == stock && material(b) == of)
                .collect();
            let sheet = w.material(of);
            let traits = materials::traits(&sheet.material);
            let amount = if s.roll {
                let length: f64 = boards.iter().map(|b| b.length).sum();
                text![
                    run(length * SPARE, 1),
                    " off a roll ",
                    tape(s.width),
                    " wide: the layout takes ",
                    run(length, 1)
                ]
            } else {
                text![
                    text::many(cost::bought(boards.len()), "board"),
                    " of ",
                    size(s.width, s.length, unit),
                    ": the layout takes ",
                    boards.len()
                ]
            };
            Some(text![
                &sheet.material,
                ", measured thickness ",
                bench(sheet.thickness, 2),
                traits,
                ": ",
                amount,
                ", the rest is spare"
            ])
        })
        .collect()
}

/// Diameters of all round holes: `8.3 mm, 25.3 mm`.
fn holes(form: &Form) -> Text {
    let mut all: Vec<String> = Vec::new();
    let mut rounds: Vec<f64> = form
        .stack
        .pieces()
        .flat_map(|p| p.rounds().map(|r| r.1))
        .collect();
    rounds.sort_by(f64::total_cmp);
    for diameter in rounds {
        let shown = form.checked.unit.bench(diameter, 1);
        if all.last() != Some(&shown) {
            all.push(shown);
        }
    }
    Text::joined(all.into_iter().map(text::together), ", ")
}

/// A list to tick off.
pub(super) fn shopping(form: &Form, t: &Totals) -> Vec<Block> {
    let glue = kinds::glue(form);
    let stock = bought(form);
    let mut out = if form.stack.piled().is_empty() {
        first_shopping(form, t, stock, glue)
    } else {
        restart::shopping(form, stock, &glue)
    };
    out.extend(offcuts(form));
    out.extend(dowels::openings(form, t));
    out
}

/// What is bought for a form of which nothing is there.
fn first_shopping(form: &Form, t: &Totals, stock: Vec<Text>, glue: String) -> Vec<Block> {
    let w = &form.workshop;
    let unit = form.checked.unit;
    let mut buy = stock;
    let mut sizes = form.stack.dowels.windows(2);
    let spare = if sizes.all(|d| d[0].diameter.total_cmp(&d[1].diameter).is_eq()) {
        ", and one more as spare"
    } else {
        ", and one more of each as spare"
    };
    buy.push(text![
        "Dowels of ",
        dowels::diameters(form),
        ", ",
        run(t.dowel_length, 1),
        " in all: ",
        dowels::rods(form),
        spare
    ]);
    buy.extend(form.stack.pole.map(|pole| {
        text![
            "Pole, ",
            bench(pole.diameter, 1),
            " dia., ",
            tape(t.pole_length.unwrap_or(t.height)),
            " long and what the foot takes of it; measure it, names of pipe sizes are not diameters"
        ]
    }));
    buy.push(text!["Glue: ", glue]);
    buy.push(text![
        "Batting that is ",
        bench(w.padding.batting, 1),
        " thick under the cover: ",
        Part::Shown(t.batting_area * CLOTH_SPARE, ShownAs::Cloth(1))
    ]);
    buy.push(cover_step::to_buy(form));
    buy.push(text![
        "Base board, ",
        bench(w.base, 0),
        " thick, of plywood or the like, by its template"
    ]);
    buy.push(text![
        "Cap plate for the neck, by its template: plywood or hardboard of ",
        text::together(format!("{}–{}", unit.rule_bare(4.0, 0), unit.rule(6.0, 0))),
        "; two glued layers are enough if the form does not hang (common practice, no source)"
    ]);
    let careful = (t.base_radius_careful > t.base_radius)
        .then(|| text![", ", tape(t.base_radius_careful), " with children or pets"]);
    let hook = "a screw eye and a swivel hook to hang it";
    buy.push(if stand::stands_on_its_board(t) {
        text![
            "A foot no smaller than the base board, if it is not to stand on that; or ",
            hook
        ]
    } else {
        text![
            "Stand with a foot reaching ",
            tape(t.base_radius),
            " on every side",
            careful,
            "; or ",
            hook
        ]
    });
    if !form.pages.is_empty() {
        buy.push(text![
            text::many(form.pages.len(), "page"),
            " of ",
            &w.paper.name,
            ", to cut by hand"
        ]);
    }
    if !form.proof.is_empty() {
        buy.push(text![
            "Card and paste for ",
            text::many(form.proof.len(), "page"),
            " of the proof"
        ]);
    }
    buy.push(text![
        "To make round holes: a punch or drill bit for ",
        holes(form),
        "; for a wide one a knife will do; a saw for the dowels"
    ]);
    let collar = "A collar or flange that slides on the pole, screws, a pin";
    buy.extend(form.stack.pole.map(|_| collar.into()));
    buy.push(
        "Blades, cutting mat, steel rule, tape measure, masking tape, pencil, weights, pins, thread, long needle".into(),
    );
    let mut out = vec![Block::List(PageMark::Box, buy)];
    let cost = cost::cost(w, &form.boards, t.dowel_length, t.batting_area);
    out.extend(cost.sum().map(|sum| {
        let (within, without) = cost.counted();
        Block::Paragraph(text![
            "At the prices of the workshop file ",
            within,
            ", with their spare, come to about ",
            strong(format!("{} {}", units::fixed(sum, 0), cost.currency)),
            ". Not in it: ",
            without,
            "."
        ])
    }));
    out
}

/// What the boards leave that is worth keeping.
fn offcuts(form: &Form) -> Option<Block> {
    let left = words::offcuts(form)?;
    Some(Block::Paragraph(text![
        "What the boards leave: ",
        left,
        "; the next form can use it (`[[stock]]` with a `count`)."
    ]))
}
