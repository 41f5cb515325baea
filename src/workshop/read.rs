//! From the text of a workshop file to a [`Workshop`], or to every reason why not.

use toml::de::DeTable;

use crate::error::{Error, Severity};
use crate::source::{Source, Value};
use crate::units::Unit;
use crate::workshop::facts::{WorkshopFact, refuse, say};
use crate::workshop::keys::{Key, WholeNumber, base, dowel, form, layer, padding, pole, stock};
use crate::workshop::material;
use crate::workshop::pages;
use crate::workshop::part::TablePart;
use crate::workshop::tables;
use crate::workshop::{Cut, LayerStock, Stock, Workshop};

/// Longest name of a material or a currency (characters).
const LONGEST_NAME: usize = 60;
/// Longest piece cut off a roll of stock when the file does not say, mm (our choice).
const ROLL_STOCK: f64 = 2000.0;

/// Reads a workshop file. `file` is its name as the person typed it.
///
/// Tables and keys, every one optional: `unit` (what a bare number means, and in which world of sizes what is
/// not said is taken: `"mm"` unless said, `"cm"`, `"in"`), `currency`; `[layer]`, or several `[[layer]]`, of which the first is built with
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
        ..Workshop::usual(unit)
    };
    if let Some(value) = top.get("currency") {
        workshop.prices.currency = source
            .name("currency", value, LONGEST_NAME)
            .unwrap_or_default();
    }
    tables::unknown(&mut source, &top);
    let part = |table| TablePart { table, unit };
    let mut layers: Vec<LayerStock> = Vec::new();
    for table in tables::all(&mut source, &top, "layer") {
        layers.push(read_layer(&mut source, &part(table)));
    }
    if !layers.is_empty() {
        workshop.layer = layers.remove(0);
        workshop.other_layers = layers;
    }
    let stocks = tables::all(&mut source, &top, "stock");
    if !stocks.is_empty() {
        let materials = workshop.other_layers.len() + 1;
        workshop.stock = stocks
            .into_iter()
            .map(|table| read_stock(&mut source, &part(table), materials))
            .collect();
    }
    if let Some(table) = tables::one(&mut source, &top, "dowel") {
        read_dowel(&mut source, &part(table), &mut workshop);
    }
    swallowed(&mut source, &top, &workshop);
    if let Some(table) = tables::one(&mut source, &top, "pole") {
        let diameter = part(table).length(&mut source, &pole::DIAMETER);
        workshop.pole = Some(diameter.unwrap_or(pole::DIAMETER.shown(unit)));
    }
    if let Some(table) = tables::one(&mut source, &top, "base") {
        let part = part(table);
        part.length_into(&mut source, &base::THICKNESS, &mut workshop.base);
        let tilt = part.number(&mut source, &base::TILT);
        workshop.tilt = tilt.unwrap_or(workshop.tilt);
    }
    if let Some(table) = tables::one(&mut source, &top, "padding") {
        read_padding(&mut source, &part(table), &mut workshop);
    }
    if let Some(table) = tables::one(&mut source, &top, "paper") {
        workshop.paper = pages::read(&mut source, &part(table));
    }
    if let Some(table) = tables::one(&mut source, &top, "form") {
        read_form(&mut source, &part(table), &mut workshop);
    }
    if let Some(value) = top.get("layer")
        && !workshop.other_layers.is_empty()
    {
        say(
            &mut source,
            Severity::Note,
            value.span(),
            several(&workshop),
        );
    }
    let findings = source.into_findings();
    if findings.iter().any(|f| f.severity == Severity::Refusal) {
        return Err(Error::Workshop(findings));
    }
    workshop.findings = findings;
    Ok(workshop)
}

/// Refuses a cut that is as wide as the hole of a dowel.
fn swallowed(source: &mut Source<'_>, top: &DeTable<'_>, workshop: &Workshop) {
    let hole = workshop.dowel.diameter + workshop.dowel.clearance;
    let kerf = workshop.stock.iter().map(|s| s.kerf).fold(0.0, f64::max);
    if kerf < hole {
        return;
    }
    let at = ["stock", "dowel"].iter().find_map(|name| top.get(*name));
    let fact = WorkshopFact::KerfSwallowsHole { kerf, hole };
    refuse(source, at.map_or(0..0, Value::span), fact);
}

/// What the program says of a file that names several materials.
fn several(workshop: &Workshop) -> WorkshopFact {
    let first = workshop.layer.material.clone();
    let materials = workshop.materials_used().len();
    match workshop.step {
        None => WorkshopFact::FirstIsBuilt {
            named: workshop.other_layers.len() + 1,
            first,
        },
        Some(_) if materials < 2 => WorkshopFact::NoneThinner { first },
        Some(step) => WorkshopFact::Mixed { materials, step },
    }
}

fn read_dowel<'a>(source: &mut Source<'a>, part: &TablePart<'_, 'a>, workshop: &mut Workshop) {
    let dowel = &mut workshop.dowel;
    part.length_into(source, &dowel::DIAMETER, &mut dowel.diameter);
    part.length_into(source, &dowel::CLEARANCE, &mut dowel.clearance);
    part.length_into(source, &dowel::EDGE, &mut dowel.edge);
    workshop.prices.dowel = part.number(source, &dowel::PRICE);
    if let Some(count) = part.count(source, &dowel::COUNT) {
        dowel.count = count;
        if count == 1 {
            let at = part.at(&dowel::COUNT);
            say(source, Severity::Warning, at, WorkshopFact::OneDowel);
        }
    }
}

fn read_padding<'a>(source: &mut Source<'a>, part: &TablePart<'_, 'a>, workshop: &mut Workshop) {
    let padding = &mut workshop.padding;
    part.length_into(source, &padding::BATTING, &mut padding.batting);
    part.length_into(source, &padding::COVER, &mut padding.cover);
    workshop.prices.batting = part.number(source, &padding::PRICE);
    let bare = part.length(source, &padding::WRAP_BARE);
    let padded = part.length(source, &padding::WRAP_PADDED);
    let has = [
        part.has(&padding::WRAP_BARE),
        part.has(&padding::WRAP_PADDED),
    ];
    let at = if has[1] {
        part.at(&padding::WRAP_PADDED)
    } else {
        part.at(&padding::WRAP_BARE)
    };
    match has {
        [false, false] => {}
        [true, true] if part.has(&padding::BATTING) => {
            refuse(source, at, WorkshopFact::BattingTwice);
        }
        [true, true] => {
            let (Some(bare), Some(padded)) = (bare, padded) else {
                return;
            };
            // Whatever lies on the outside adds 2 pi of its thickness to a girth.
            let both = (padded - bare) / std::f64::consts::TAU;
            let batting = both - padding.cover;
            if (0.0..=padding::BATTING.kind.0[1]).contains(&batting) {
                padding.batting = batting;
            } else {
                let fact = WorkshopFact::WrapGives {
                    both,
                    cover: padding.cover,
                    unit: part.unit,
                };
                refuse(source, at, fact);
            }
        }
        _ => refuse(source, at, WorkshopFact::WrapNeedsBoth),
    }
}

fn read_layer<'a>(source: &mut Source<'a>, part: &TablePart<'_, 'a>) -> LayerStock {
    let mut layer = Workshop::usual(part.unit).layer;
    if let Some(value) = part.value(&layer::MATERIAL) {
        layer.material = source
            .name(&layer::MATERIAL.dotted(), value, LONGEST_NAME)
            .unwrap_or_default();
    }
    if part.has(&layer::TEN_STACKED) {
        let ten = part.length(source, &layer::TEN_STACKED);
        if part.has(&layer::THICKNESS) {
            let at = part.at(&layer::THICKNESS);
            refuse(source, at, WorkshopFact::ThicknessTwice);
        } else if let Some(ten) = ten {
            layer.thickness = ten / 10.0;
        }
    } else {
        part.length_into(source, &layer::THICKNESS, &mut layer.thickness);
    }
    let known = material::named(&layer.material);
    match (part.number(source, &layer::DENSITY), known) {
        (Some(density), _) => layer.density = density,
        (None, Some(known)) => {
            layer.density = known.density;
            let (name, ours) = (layer.material.to_lowercase(), known.name.to_lowercase());
            // `birch plywood` is plywood and `foam` any of them; `foam board` may be another.
            if !name.contains(&ours) && !ours.contains(&name) {
                let fact = WorkshopFact::TakenFor {
                    material: layer.material.clone(),
                    known: known.name,
                    density: known.density,
                };
                say(source, Severity::Note, part.at(&layer::MATERIAL), fact);
            }
        }
        (None, None) if !part.has(&layer::DENSITY) => {
            let fact = WorkshopFact::NoDensity {
                material: layer.material.clone(),
                taken: layer.density,
            };
            say(source, Severity::Note, part.at(&layer::MATERIAL), fact);
        }
        (None, None) => {}
    }
    let choices = [
        ("middle", Cut::Middle),
        ("inside", Cut::Inside),
        ("outside", Cut::Outside),
    ];
    let cut = part.choice(source, &layer::CUT, &choices);
    layer.cut = cut.unwrap_or(layer.cut);
    layer.hollow = part.length(source, &layer::HOLLOW);
    part.length_into(source, &layer::GLUE_LINE, &mut layer.glue_line);
    layer
}

/// What grain or flutes are to do.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Grain {
    None,
    Along,
    Crossed,
}

/// Reads a stock, which may be of one of several materials.
fn read_stock<'a>(source: &mut Source<'a>, part: &TablePart<'_, 'a>, materials: usize) -> Stock {
    let mut stock = Workshop::usual(part.unit).stock.remove(0);
    stock.price = part.number(source, &stock::PRICE);
    let of = Key {
        table: stock::LAYER.table,
        key: stock::LAYER.key,
        kind: WholeNumber([1, materials], stock::LAYER.shown()),
    };
    stock.of = part.count(source, &of).map(|number| number - 1);
    let roll = part.truth(source, &stock::ROLL);
    stock.roll = roll.unwrap_or(stock.roll);
    part.length_into(source, &stock::WIDTH, &mut stock.width);
    if stock.roll && !part.has(&stock::LENGTH) {
        stock.length = ROLL_STOCK;
    }
    part.length_into(source, &stock::LENGTH, &mut stock.length);
    part.length_into(source, &stock::MARGIN, &mut stock.margin);
    part.length_into(source, &stock::GAP, &mut stock.gap);
    part.length_into(source, &stock::KERF, &mut stock.kerf);
    if stock.width.min(stock.length) <= 4.0 * stock.margin {
        let at = if part.has(&stock::MARGIN) {
            part.at(&stock::MARGIN)
        } else {
            part.at(&stock::WIDTH)
        };
        let fact = WorkshopFact::MarginTooWide {
            margin: stock.margin,
            board: [stock.width, stock.length],
            unit: part.unit,
        };
        refuse(source, at, fact);
    }
    let grains = [
        ("none", Grain::None),
        ("x", Grain::Along),
        ("y", Grain::Along),
        ("crossed", Grain::Crossed),
    ];
    let grain = part.choice(source, &stock::DIRECTION, &grains);
    stock.count = part.count(source, &stock::COUNT);
    let order = part.choice(
        source,
        &stock::ORDER,
        &[("fewest", false), ("layers", true)],
    );
    stock.in_order = order.unwrap_or(stock.in_order);
    stock.crossed = grain == Some(Grain::Crossed);
    if let Some(value) = part.value(&stock::TURN) {
        read_turns(source, value, &mut stock.turns);
    }
    // Grain or flutes must run the same way in every piece: half a turn keeps them, a quarter
    // does not.
    if grain == Some(Grain::Along) {
        let before = stock.turns.len();
        stock
            .turns
            .retain(|t| (t - 0.0).abs() <= 0.0 || (t - 180.0).abs() <= 0.0);
        if stock.turns.is_empty() {
            stock.turns = vec![0.0];
        }
        if part.has(&stock::TURN) && stock.turns.len() < before {
            let at = part.at(&stock::TURN);
            say(
                source,
                Severity::Warning,
                at,
                WorkshopFact::TurnsAcrossGrain,
            );
        }
    }
    stock
}

/// A list of degrees.
fn read_turns<'a>(source: &mut Source<'a>, value: &Value<'a>, turns: &mut Vec<f64>) {
    let key = stock::TURN.dotted();
    let Some(list) = value.get_ref().as_array() else {
        source.wrong_type(&key, value, "a list like `[0, 90, 180, 270]`");
        return;
    };
    let mut read = Vec::new();
    for value in list.iter() {
        let Some(turn) = source.number(&key, value) else {
            continue;
        };
        if (0.0..360.0).contains(&turn) {
            read.push(turn);
        } else {
            let fact = WorkshopFact::NotTurn {
                typed: source.typed(value),
                same: turn.rem_euclid(360.0),
            };
            refuse(source, value.span(), fact);
        }
    }
    read.sort_by(f64::total_cmp);
    read.dedup();
    let most = stock::TURN.kind.0;
    if read.len() > most {
        let turns = read.len();
        refuse(
            source,
            value.span(),
            WorkshopFact::TooManyTurns { turns, most },
        );
    } else if list.is_empty() {
        refuse(source, value.span(), WorkshopFact::NoTurn);
    } else if !read.is_empty() {
        *turns = read;
    }
}

fn read_form<'a>(source: &mut Source<'a>, part: &TablePart<'_, 'a>, workshop: &mut Workshop) {
    workshop.hem_below_hip = part.length(source, &form::FROM);
    part.length_into(source, &form::TO, &mut workshop.neck_above_girth);
    workshop.step = part.length(source, &form::STEP);
    workshop.wedges = part.length(source, &form::WEDGES);
    let Some(value) = part.value(&form::SCALE) else {
        return;
    };
    if let Some(scale) = source.number(&form::SCALE.dotted(), value) {
        if form::SCALE.kind.0.iter().any(|s| (scale - s).abs() <= 0.0) {
            workshop.scale = scale;
        } else {
            let typed = source.typed(value);
            refuse(source, value.span(), WorkshopFact::NotScale { typed });
        }
    }
}
