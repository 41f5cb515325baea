//! The dowels, how far layers can move on them, and how high the pile must be.

use crate::form::Form;
use crate::form::totals;
use crate::form::totals::Totals;
use crate::say::amount::{Amount, AmountScale};
use crate::say::page::Block;
use crate::say::table::{Cell, Table, cells};
use crate::say::words;
use crate::sheet;
use crate::stack::Layer;
use crate::stack::dowel_size;
use crate::stack::mark::PILE_CHECK;
use crate::stack::rods;
use crate::text;
use crate::text::{Text, bench, rule, strong, typed};
use crate::units::Unit;

/// The diameters of all dowels, as they are sold: `8 mm`, `5 mm`.
pub(super) fn diameters(form: &Form) -> Text {
    let mut all: Vec<String> = Vec::new();
    for d in &form.stack.dowels {
        let name = dowel_size::size_name(d.diameter);
        if !all.contains(&name) {
            all.push(name);
        }
    }
    Text::joined(all.into_iter().map(text::together), ", ")
}

/// How many rods to buy, as they are sold: `3 rods of 36 in`, with their diameter where there are several.
pub(super) fn rods(form: &Form) -> Text {
    let all = rods::to_buy(&form.stack.dowels, form.checked.unit);
    let several = all.len() > 1;
    let parts = all.into_iter().map(|of| {
        let thick = several.then(|| text![", ", text::together(of.size), " thick"]);
        text![
            text::many(of.count, "rod"),
            " of ",
            rule(of.length, 0),
            thick
        ]
    });
    Text::joined(parts, "; ")
}

/// Where the dowels stand and how much play they leave.
pub(super) fn dowels(form: &Form) -> Block {
    let stack = &form.stack;
    let one = stack.dowels.windows(2).all(|d| {
        d[0].diameter.total_cmp(&d[1].diameter).is_eq() && d[0].hole.total_cmp(&d[1].hole).is_eq()
    });
    let unit = form.checked.unit;
    let rows = stack.dowels.iter().map(|d| {
        let mut row = cells![&d.name];
        if !one {
            row.extend(cells![
                dowel_size::size_name(d.diameter),
                Amount::new(d.hole, AmountScale::Bench(unit, 1)),
            ]);
        }
        row.extend(cells![
            Amount::new(d.length, AmountScale::Rule(unit, 0)),
            format!("{}–{}", d.first_layer, d.last_layer),
        ]);
        row
    });
    let heads: &[&str] = if one {
        &["Dowel", "Length", "Layers"]
    } else {
        &["Dowel", "Sold as", "Hole", "Length", "Layers"]
    };
    let size = stack.dowels.first().filter(|_| one).map(|d| {
        text![
            " of ",
            dowel_size::size_name(d.diameter),
            " in holes of ",
            bench(d.hole, 1)
        ]
    });
    let cut = stack
        .piled()
        .is_empty()
        .then_some(", each cut to its length");
    Block::Table(Table::new(heads, rows).under(text![
        "Dowels",
        size,
        cut,
        ", in ",
        unit.bench_plural(),
        "; their letters stand at the holes"
    ]))
}

/// How far to cut before the pile is measured: a wrong thickness then costs one run, not all boards.
pub(super) fn first_run(form: &Form) -> Option<Block> {
    let layers = &form.stack.layers;
    let last = super::runs::runs(form)
        .first()
        .and_then(|run| Some(run.layers.last()?.index))
        .filter(|last| form.stack.first_to_cut == 1 && *last < layers.len())?;
    Some(Block::Paragraph(text![
        strong(text!["Cut layers 1 to ", last, " first"]),
        ", pile them dry and measure the pile (step 5): if it is off, the rest can still be made for it. Leave pieces of \
         later layers in their board."
    ]))
}

/// The heights of the pile every ten layers, with room to write, and what to do when they are off.
pub(super) fn pile(form: &Form) -> [Block; 2] {
    let zero = totals::underside(form);
    let unit = form.checked.unit;
    let checks: Vec<&Layer> = form
        .stack
        .layers
        .iter()
        .filter(|l| l.index.is_multiple_of(PILE_CHECK) && l.index >= form.stack.first_to_cut)
        .collect();
    // An example with numbers of this form, as the command takes them.
    let example = checks.get(checks.len() / 2).map(|l| {
        let height = l.top - zero;
        let height = match unit {
            Unit::Cm | Unit::Mm => unit.fine_bare(height),
            Unit::In => format!("\"{}\"", unit.fine(height)),
        };
        // The example is built where no sheet is named.
        let sheet = match words::file_name(&form.checked.sheet.file) {
            sheet::EXAMPLE_FILE => String::new(),
            name if name.contains(' ') => format!("\"{name}\" "),
            name => format!("{name} "),
        };
        let next = l.index + 1;
        text![
            "After layer ",
            l.index,
            ", for instance: ",
            typed(format!(
                "layfigure build {sheet}--restart-at {next} --height {height}"
            )),
            " (the height you read), "
        ]
    });
    let rows = checks.iter().map(|l| {
        cells![
            Amount::count(l.index),
            Amount::new(l.top - zero, AmountScale::Fine(unit)),
            Cell::Blank
        ]
    });
    let table = Table::new(&["After layer", "Must be", "Read"], rows).under(text![
        "Pile check, in ",
        unit.bench_plural(),
        ", as on the pieces that have room for it: press lightly, measure in the middle and at two edges"
    ]);
    [
        Block::Table(table),
        Block::Paragraph(text![
            "If a height is off and no layer is missing, cut no more, and make the rest for the pile you have. ",
            example,
            "with the same `--workshop`; it goes into a folder of its own."
        ]),
    ]
}

/// What rings save.
pub(super) fn openings(form: &Form, t: &Totals) -> Option<Block> {
    if t.solid_weight <= t.layer_weight * 1.01 {
        return None;
    }
    let nested = (t.in_openings > 0).then(|| {
        text![
            text::many(t.in_openings, "piece"),
            " lie in openings of others on the boards. "
        ]
    });
    let beside = "`layfigure plan` shows rings and full layers side by side.";
    Some(Block::Paragraph(text![
        "The layers are rings: they weigh ",
        text::weight(t.layer_weight, 1),
        ", full layers would weigh ",
        text::weight(t.solid_weight, 1),
        ". ",
        nested,
        form.workshop.layer.hollow.is_some().then_some(beside)
    ]))
}

/// A ledge that is wider than this is more than batting fills well, mm: our choice, three layers of thin
/// batting.
const WIDE_LEDGE: f64 = 15.0;

/// How wedges are set, where there are any; that there could be some, where ledges are wide.
pub(super) fn wedges(form: &Form) -> Option<Block> {
    let wedges = &form.stack.wedges;
    let said = if let (Some(first), Some(last)) = (wedges.first(), wedges.last()) {
        text![
            text::many(wedges.len(), "wedge"),
            " (",
            first.piece.id.to_string(),
            " to ",
            last.piece.id.to_string(),
            ") fill the wide steps. The number is the layer that it lies on, the letter tells wedges of one layer apart, \
             the largest first, and each says which side of the body it is for and which side is up. Glue it on that \
             layer, against the edge of the layer above, and pare it from that edge's top straight down to its outer \
             edge; padding goes over it."
        ]
    } else {
        let layers = form.stack.layers.iter();
        let widest = layers.max_by(|a, b| a.step.total_cmp(&b.step));
        let wide = |layer: &&Layer| layer.step > WIDE_LEDGE && form.workshop.wedges.is_none();
        let layer = widest.filter(wide)?;
        let least = match form.checked.unit {
            Unit::Cm | Unit::Mm => "`wedges = \"12 mm\"`",
            Unit::In => "`wedges = \"1/2 in\"`",
        };
        text![
            "The widest ledge is ",
            rule(layer.step, 0),
            ", on layer ",
            layer.index,
            ": fill it with scraps of batting, or build again with ",
            least,
            " under `[form]` of the workshop file."
        ]
    };
    Some(Block::Paragraph(said))
}
