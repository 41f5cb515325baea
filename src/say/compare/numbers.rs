//! Comparisons in numbers: mm and degrees.

use serde_json::{Value, json};

use crate::compare::{Alteration, Body, Nearer, Nearest};
use crate::say::amount::Amount;
use crate::say::compare::Pair;
use crate::say::json;
use crate::units::Unit;

fn body(b: &Body) -> Value {
    json!({
        "name": b.name,
        "taken": b.taken,
        "is_size": b.is_size,
        "has_solid": b.solid.is_some(),
    })
}

/// One thing to alter.
pub(super) fn alteration(a: &Alteration) -> Value {
    json!({
        "key": a.side.key_of(a.measure),
        "what": a.what,
        "by": json::value_of(a.measure, a.by),
        "beyond_ease": json::value_of(a.measure, a.beyond),
        "in_front": a.front.map(json::number),
        "estimated": a.is_estimated,
    })
}

/// Two bodies.
#[must_use]
pub fn bodies_json(pair: &Pair) -> Value {
    let differences = pair.differences.iter().map(|d| {
        let shown = |unit| Amount::signed(d.measure, d.apart, unit).to_string();
        json!({
            "key": d.side.key_of(d.measure),
            "name": d.measure.info().title.of(pair.figure()),
            "unit": json::unit(d.measure),
            "a": json::value_of(d.measure, d.a.value),
            "a_origin": json::origin(d.a.origin),
            "b": json::value_of(d.measure, d.b.value),
            "b_origin": json::origin(d.b.origin),
            "difference": json::value_of(d.measure, d.apart),
            "shown_cm": shown(Unit::Cm),
            "shown_in": shown(Unit::In),
            "percent": d.percent().map(json::number),
            "noise_limit": json::value_of(d.measure, d.limit),
            "is_noise": d.is_noise(),
        })
    });
    let alterations = pair.alterations.iter().map(alteration);
    json!({
        "format": json::FORMAT,
        "a": body(&pair.a),
        "b": body(&pair.b),
        "waists": pair.waists(),
        "same": pair.is_same(),
        "differences": differences.collect::<Value>(),
        "ease": { "girth": json::number(pair.ease.girth), "length": json::number(pair.ease.length) },
        "alterations": alterations.collect::<Value>(),
    })
}

/// A body beside systems of sizes.
#[must_use]
pub fn sizes_json(b: &Body, nearest: &[Nearest], nearer: &[Vec<Nearer>]) -> Value {
    let systems = nearest.iter().enumerate().map(|(i, n)| {
        let others = nearer.get(i).into_iter().flatten().map(|other| {
            let levels = other.levels.iter().map(|(measure, size, [apart, than])| {
                json!({
                    "key": measure.key(),
                    "size": size,
                    "difference": json::number(*apart),
                    "instead_of": json::number(*than),
                })
            });
            json!({ "system": other.system, "levels": levels.collect::<Value>() })
        });
        let levels = n.levels.iter().map(|l| {
            json!({
                "key": l.measure.key(),
                "value": json::number(l.value),
                "origin": json::origin(l.origin),
                "size": l.size,
                "difference": json::number(l.apart),
                "between": l.between.map(json::number),
            })
        });
        let picks = n.picks.iter().map(|p| {
            let apart = p
                .apart
                .iter()
                .map(|(m, mm)| (m.key().to_owned(), json!(json::number(*mm))));
            json!({
                "for": p.for_a.name(),
                "by": p.by.key(),
                "size": p.size,
                "difference": Value::Object(apart.collect()),
            })
        });
        json!({
            "system": n.system,
            "column": n.column.as_ref().map(|c| &c.0),
            "column_difference": n.column.as_ref().and_then(|c| c.1).map(json::number),
            "other_waist": n.other_waist,
            "levels": levels.collect::<Value>(),
            "picks": picks.collect::<Value>(),
            "nearer": others.collect::<Value>(),
        })
    });
    json!({
        "format": json::FORMAT,
        "body": body(b),
        "systems": systems.collect::<Value>(),
    })
}
