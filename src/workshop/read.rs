//! From the text of a workshop file to a [`Workshop`], or to every reason why not.

use toml::de::DeTable;

use crate::error::Error;
use crate::error::Finding;
use crate::error::Severity;
use crate::source::Source;
use crate::source::Value;
use crate::units::Unit;
use crate::workshop::Cut;
use crate::workshop::LayerStock;
use crate::workshop::Stock;
use crate::workshop::Workshop;
use crate::workshop::keys;
use crate::workshop::material;
use crate::workshop::material::Material;
use crate::workshop::pages;
use crate::workshop::part::Part;
use crate::workshop::part::show;
use crate::workshop::part::trimmed;

/// Longest name of a material or a currency (characters).
const LONGEST_NAME: usize = 60;
/// More boards than this of one stock are a slip of the pen.
pub(super) const MOST_BOARDS: usize = 1000;
/// More turns than this take minutes to look through and save nothing. Our choice, because every 10 degrees
/// finds a place for everything; the time grows with their number.
pub(super) const MOST_TURNS: usize = 36;
/// Longest piece cut off a roll of stock when the file does not say, mm (our choice).
const ROLL_STOCK: f64 = 2000.0;

/// Reads a workshop file. `file` is its name as the person typed it.
///
/// Tables and keys, every one optional: `unit` (what a bare number means: `"mm"` unless said,
/// `"cm"`, `"in"`), `currency`; `[layer]`, or several `[[layer]]`, of which the first is built with
/// and, where `form.step` sets a widest step, the thinner ones too;
/// `[stock]` or `[[stock]]`, the first choice first; `[dowel]`; `[pole]`, without which there is no
/// pole; `[base]`; `[padding]`; `[paper]`; `[form]`.
///
/// # Errors
/// [`Error::Workshop`] with every reason for refusing, and every warning, in the order of the
/// lines.
pub fn read(text: &str, file: &str) -> Result<Workshop, Error> {
    let (mut source, top) = Source::open(text, file);
    let unit = top
        .get("unit")
        .and_then(|v| source.choice("unit", v, &Unit::ALL.map(|u| (u.name(), u))))
        .unwrap_or(Unit::Mm);
    let mut workshop = Workshop {
        pole: None,
        ..Workshop::default()
    };
    if let Some(value) = top.get("currency") {
        workshop.prices.currency = source
            .name("currency", value, LONGEST_NAME)
            .unwrap_or_default();
    }
    keys::unknown_tables(&mut source, &top);
    let part = |name: &'static str| Part { name, unit };
    let mut layers = Vec::new();
    for table in keys::tables(&mut source, &top, "layer") {
        layers.push(read_layer(&mut source, &part("layer"), table));
    }
    if !layers.is_empty() {
        workshop.layer = layers.remove(0);
        workshop.other_layers = layers;
    }
    let stocks = keys::tables(&mut source, &top, "stock");
    if !stocks.is_empty() {
        let part = part("stock");
        workshop.prices.stock = stocks
            .iter()
            .map(|table| part.price(&mut source, table))
            .collect();
        let materials = workshop.other_layers.len() + 1;
        workshop.stock_of = stocks
            .iter()
            .map(|table| {
                part.count(&mut source, table, "layer", 1..=materials)
                    .map(|number| number - 1)
            })
            .collect();
        workshop.stock = stocks
            .into_iter()
            .map(|table| read_stock(&mut source, &part, table))
            .collect();
    }
    if let Some(table) = keys::one(&mut source, &top, "dowel") {
        let part = part("dowel");
        let dowel = &mut workshop.dowel;
        part.length(&mut source, table, "diameter", &mut dowel.diameter);
        part.length(&mut source, table, "clearance", &mut dowel.clearance);
        part.length(&mut source, table, "edge", &mut dowel.edge);
        dowel.inch = unit == Unit::In;
        workshop.prices.dowel = part.price(&mut source, table);
        if let Some(count) = part.count(&mut source, table, "count", 1..=6) {
            dowel.count = count;
            if count == 1 {
                part.warn(
                    &mut source,
                    table,
                    "count",
                    "one dowel does not keep the layers from turning",
                    "use two or more where every layer has room for them",
                );
            }
        }
    }
    swallowed(&mut source, &top, &workshop);
    if let Some(table) = keys::one(&mut source, &top, "pole") {
        let mut diameter = Workshop::default().pole.unwrap_or_default();
        part("pole").length(&mut source, table, "diameter", &mut diameter);
        workshop.pole = Some(diameter);
    }
    if let Some(table) = keys::one(&mut source, &top, "base") {
        let part = part("base");
        part.length(&mut source, table, "thickness", &mut workshop.base);
        let tilt = part.number(&mut source, table, "tilt", [5.0, 30.0], "degrees");
        workshop.tilt = tilt.unwrap_or(workshop.tilt);
    }
    if let Some(table) = keys::one(&mut source, &top, "padding") {
        read_padding(&mut source, &part("padding"), table, &mut workshop);
    }
    if let Some(table) = keys::one(&mut source, &top, "paper") {
        workshop.paper = pages::read(&mut source, &part("paper"), table);
    }
    if let Some(table) = keys::one(&mut source, &top, "form") {
        read_form(&mut source, &part("form"), table, &mut workshop);
    }
    if let Some(value) = top.get("layer")
        && !workshop.other_layers.is_empty()
    {
        let place = source.place(&value.span());
        source.push(several(&workshop).at(place));
    }
    let findings = source.into_findings();
    if findings.iter().any(|f| f.severity == Severity::Refusal) {
        return Err(Error::Workshop(findings));
    }
    workshop.findings = findings;
    Ok(workshop)
}

/// Refuses a cut that is as wide as the hole of a rod.
fn swallowed(source: &mut Source<'_>, top: &DeTable<'_>, workshop: &Workshop) {
    let hole = workshop.dowel.diameter + workshop.dowel.clearance;
    let widest = workshop.stock.iter().map(|s| s.kerf).fold(0.0, f64::max);
    if widest < hole {
        return;
    }
    let at = ["stock", "dowel"].iter().find_map(|name| top.get(*name));
    source.refuse(
        at.map_or(0..0, Value::span),
        format!(
            "`stock.kerf` ({} mm) is as wide as the hole of a dowel ({} mm): the cut would swallow it",
            trimmed(widest),
            trimmed(hole)
        ),
        "the kerf of a knife is 0 to 0.2 mm, of a laser 0.1 to 0.4: enter it as measured, or use thicker \
         dowels",
    );
}

/// What is said of a file that names several materials.
fn several(workshop: &Workshop) -> Finding {
    let named = workshop.other_layers.len() + 1;
    let first = &workshop.layer.material;
    let used = workshop.materials_used();
    let (message, hint) = match workshop.step {
        None => (
            format!("{named} materials are named: `{first}` is built with, being the first"),
            "move the one to build with to the top; the others are only compared by `plan`, unless \
             `form.step` asks for thinner layers where the surface leans"
                .to_owned(),
        ),
        Some(_) if used.len() < 2 => (
            format!("`form.step` asks for thinner layers, but no `[[layer]]` is thinner than `{first}`, the first"),
            "name the thicker material first: it is used where the surface is steep".to_owned(),
        ),
        Some(step) => (
            format!(
                "layers are cut from {} materials: thinner ones where a step would be wider than {} mm",
                used.len(),
                trimmed(step)
            ),
            "leave `form.step` out to build with the first alone".to_owned(),
        ),
    };
    Finding::new(Severity::Note, message, hint)
}

fn read_padding<'a>(
    source: &mut Source<'a>,
    part: &Part,
    table: &DeTable<'a>,
    workshop: &mut Workshop,
) {
    let padding = &mut workshop.padding;
    part.length(source, table, "batting", &mut padding.batting);
    part.length(source, table, "cover", &mut padding.cover);
    workshop.prices.batting = part.price(source, table);
    // The wrap test: whatever lies on the outside adds 2 pi of its thickness to a girth.
    let (mut bare, mut padded) = (0.0, 0.0);
    let has = [
        part.length(source, table, "wrap_bare", &mut bare),
        part.length(source, table, "wrap_padded", &mut padded),
    ];
    let at = table
        .get("wrap_padded")
        .or_else(|| table.get("wrap_bare"))
        .map_or(0..0, Value::span);
    match has {
        [false, false] => {}
        [true, true] if table.contains_key("batting") => source.refuse(
            at,
            "`padding.batting` and the wrap test say the same thing twice",
            "keep `wrap_bare` and `wrap_padded`, which are measured, and leave `batting` out",
        ),
        [true, true] if bare > 0.0 && padded > 0.0 => {
            let both = (padded - bare) / std::f64::consts::TAU;
            let batting = both - padding.cover;
            if (0.0..=60.0).contains(&batting) {
                padding.batting = batting;
            } else {
                source.refuse(
                    at,
                    format!(
                        "the wrap test gives {} of batting and cover together, and the cover alone is {}",
                        show(part.unit, both),
                        show(part.unit, padding.cover)
                    ),
                    "wrap a tin or a pipe: `wrap_bare` is its girth bare, `wrap_padded` with batting and cover stretched as on the form",
                );
            }
        }
        [true, true] => {}
        _ => source.refuse(
            at,
            "the wrap test needs both `padding.wrap_bare` and `padding.wrap_padded`",
            "tape a tin or a pipe bare, then with batting and cover stretched as on the form",
        ),
    }
}

fn read_layer<'a>(source: &mut Source<'a>, part: &Part, table: &DeTable<'a>) -> LayerStock {
    let mut layer = Workshop::default().layer;
    if let Some(value) = table.get("material") {
        layer.material = source
            .name("layer.material", value, LONGEST_NAME)
            .unwrap_or_default();
    }
    let mut ten = 0.0;
    if part.length(source, table, "ten_stacked", &mut ten) {
        if let Some(value) = table.get("thickness") {
            source.refuse(
                value.span(),
                "`layer.thickness` and `layer.ten_stacked` say the same thing twice",
                "keep `ten_stacked`, the height of ten pieces piled up: it is the surer one",
            );
        } else if ten > 0.0 {
            layer.thickness = ten / 10.0;
        }
    } else {
        part.length(source, table, "thickness", &mut layer.thickness);
    }
    let known = material::named(&layer.material);
    match part.number(
        source,
        table,
        "density",
        [5.0, 2500.0],
        "kg per cubic metre",
    ) {
        Some(density) => layer.density = density,
        None => match known {
            Some(known) => {
                layer.density = known.density;
                let (name, ours) = (layer.material.to_lowercase(), known.name.to_lowercase());
                // `birch plywood` is plywood and `foam` any of them; `foam board` may be another.
                if !name.contains(&ours) && !ours.contains(&name) {
                    let at = table.get("material").map_or(0..0, Value::span);
                    let place = source.place(&at);
                    source.push(taken_for(&layer.material, known).at(place));
                }
            }
            None if !table.contains_key("density") => {
                let at = table.get("material").map_or(0..0, Value::span);
                let place = source.place(&at);
                source.push(
                    Finding::new(
                        Severity::Note,
                        format!(
                            "no density is known for \"{}\": {} kg per cubic metre is taken",
                            layer.material,
                            trimmed(layer.density)
                        ),
                        "write `density = ...` below `[layer]` if the weight matters",
                    )
                    .at(place),
                );
            }
            None => {}
        },
    }
    if let Some(value) = table.get("cut") {
        let choices = [
            ("middle", Cut::Middle),
            ("inside", Cut::Inside),
            ("outside", Cut::Outside),
        ];
        layer.cut = source
            .choice("layer.cut", value, &choices)
            .unwrap_or(layer.cut);
    }
    let mut wall = 0.0;
    if part.length(source, table, "hollow", &mut wall) && wall > 0.0 {
        layer.hollow = Some(wall);
    }
    part.length(source, table, "glue_line", &mut layer.glue_line);
    layer
}

/// A name that is not one of ours, of which a word is.
fn taken_for(name: &str, known: &Material) -> Finding {
    Finding::new(
        Severity::Note,
        format!(
            "\"{name}\" is taken for {}, {} kg per cubic metre",
            known.name,
            trimmed(known.density)
        ),
        "if it is another, write its name as `layfigure plan --materials` lists it, or its `density`",
    )
}

/// What grain or flutes are to do.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Grain {
    None,
    Along,
    Crossed,
}

fn read_stock<'a>(source: &mut Source<'a>, part: &Part, table: &DeTable<'a>) -> Stock {
    let mut stock = Workshop::default().stock.remove(0);
    if let Some(value) = table.get("roll") {
        stock.roll = source.truth("stock.roll", value).unwrap_or(false);
    }
    part.length(source, table, "width", &mut stock.width);
    if !part.length(source, table, "length", &mut stock.length) && stock.roll {
        stock.length = ROLL_STOCK;
    }
    part.length(source, table, "margin", &mut stock.margin);
    part.length(source, table, "gap", &mut stock.gap);
    part.length(source, table, "kerf", &mut stock.kerf);
    if stock.width.min(stock.length) <= 4.0 * stock.margin {
        let at = table
            .get("margin")
            .or_else(|| table.get("width"))
            .map_or(0..0, Value::span);
        source.refuse(
            at,
            format!(
                "`stock.margin` of {} leaves nothing of a board {} by {}",
                show(part.unit, stock.margin),
                show(part.unit, stock.width),
                show(part.unit, stock.length)
            ),
            "the margin is the edge all round that nothing is cut from: 2 to 20 mm is usual",
        );
    }
    let along = table.get("direction").and_then(|value| {
        source.choice(
            "stock.direction",
            value,
            &[
                ("none", Grain::None),
                ("x", Grain::Along),
                ("y", Grain::Along),
                ("crossed", Grain::Crossed),
            ],
        )
    });
    stock.count = part.count(source, table, "count", 1..=MOST_BOARDS);
    stock.in_order = table
        .get("order")
        .and_then(|value| {
            source.choice("stock.order", value, &[("fewest", false), ("layers", true)])
        })
        .unwrap_or(stock.in_order);
    stock.crossed = along == Some(Grain::Crossed);
    if let Some(value) = table.get("turn") {
        read_turns(source, value, &mut stock.turns);
    }
    // Grain or flutes must run the same way in every piece: half a turn keeps them, a quarter
    // does not.
    if along == Some(Grain::Along) {
        let before = stock.turns.len();
        stock
            .turns
            .retain(|t| (t - 0.0).abs() <= 0.0 || (t - 180.0).abs() <= 0.0);
        if stock.turns.is_empty() {
            stock.turns = vec![0.0];
        }
        if table.contains_key("turn") && stock.turns.len() < before {
            part.warn(
                source,
                table,
                "turn",
                "the stock has a direction, so only 0 and 180 are used",
                "write `direction = \"none\"` if grain or flutes do not matter",
            );
        }
    }
    stock
}

/// A list of degrees.
fn read_turns<'a>(source: &mut Source<'a>, value: &Value<'a>, turns: &mut Vec<f64>) {
    let Some(list) = value.get_ref().as_array() else {
        source.wrong_type("stock.turn", value, "a list like `[0, 90, 180, 270]`");
        return;
    };
    let mut read = Vec::new();
    for value in list.iter() {
        let Some(turn) = source.number("stock.turn", value) else {
            continue;
        };
        if (0.0..360.0).contains(&turn) {
            read.push(turn);
        } else {
            source.refuse(
                value.span(),
                format!("`stock.turn` cannot be {} degrees", source.typed(value)),
                format!(
                    "write degrees from 0 to less than 360: this turn is {}",
                    trimmed(turn.rem_euclid(360.0))
                ),
            );
        }
    }
    read.sort_by(f64::total_cmp);
    read.dedup();
    if read.len() > MOST_TURNS {
        source.refuse(
            value.span(),
            format!(
                "`stock.turn` names {} turns: {MOST_TURNS} are possible",
                read.len()
            ),
            "every 10 degrees will do, and every 90 nearly as well: `[0, 90, 180, 270]`",
        );
    } else if list.is_empty() {
        source.refuse(
            value.span(),
            "`stock.turn` is empty",
            "write `[0]` if pieces may not be turned",
        );
    } else if !read.is_empty() {
        *turns = read;
    }
}

fn read_form<'a>(
    source: &mut Source<'a>,
    part: &Part,
    table: &DeTable<'a>,
    workshop: &mut Workshop,
) {
    let mut hem = -1.0;
    if part.length(source, table, "from", &mut hem) && hem >= 0.0 {
        workshop.hem_below_hip = Some(hem);
    }
    part.length(source, table, "to", &mut workshop.neck_above_girth);
    let mut step = 0.0;
    if part.length(source, table, "step", &mut step) && step > 0.0 {
        workshop.step = Some(step);
    }
    let mut wedges = 0.0;
    if part.length(source, table, "wedges", &mut wedges) && wedges > 0.0 {
        workshop.wedges = Some(wedges);
    }
    let Some(value) = table.get("scale") else {
        return;
    };
    if let Some(scale) = source.number("form.scale", value) {
        if [1.0, 0.5].iter().any(|s| (scale - s).abs() <= 0.0) {
            workshop.scale = scale;
        } else {
            source.refuse(
                value.span(),
                format!("`form.scale` cannot be {}", source.typed(value)),
                "write 1 for a full-size form or 0.5 for a half-scale one",
            );
        }
    }
}
