//! What a sheet can hold, as values: the head, the measurements in the order of taking, the words for the shape.

use layfigure::measure::{Figure, Measure};
use layfigure::sheet::WaistKind;
use layfigure::sheet::entry;
use layfigure::sheet::entry::{Depth, HeadQuestion, Need, Round, ShapeWord, Without};
use layfigure::units::Unit;
use serde_json::{Value, json};

use crate::reply::EngineReply;

/// All of them in the words for a figure; of a woman with a natural waist, where nobody says.
pub(crate) fn all(
    figure: Option<Figure>,
    waist: Option<WaistKind>,
    unit: Option<Unit>,
) -> EngineReply {
    let figure = figure.unwrap_or_default();
    let waist = waist.unwrap_or(WaistKind::Natural);
    let unit = unit.unwrap_or(Unit::Cm);
    let asked = entry::asked(figure, Depth::All);
    let of_round = |round: &Round| -> Value {
        let own = asked.iter().filter(|(r, _)| r.title == round.title);
        own.map(|(_, m)| measure(*m, figure, waist, unit)).collect()
    };
    let rounds = entry::ROUNDS.iter().map(|round| {
        json!({
            "title": round.title,
            "ready": entry::ready(round, waist),
            "measures": of_round(round),
        })
    });
    EngineReply::of(json!({
        "head": entry::head_questions().iter().map(head).collect::<Value>(),
        "rounds": rounds.collect::<Value>(),
        "shapes": entry::shapes(figure).map(|s| shape(s, figure)).collect::<Value>(),
    }))
}

fn head(q: &HeadQuestion) -> Value {
    let choices = q.choices().into_iter();
    let (needed, without) = match q.without {
        Without::Needed => (true, None),
        Without::Means(word) => (false, Some(word)),
        Without::NotKnown => (false, None),
    };
    json!({
        "key": q.key.key(),
        "title": q.title,
        "tell": q.tell,
        "help": q.help,
        "prompt": q.prompt(),
        "choices": choices.map(|(word, writes)| json!({ "word": word, "writes": writes })).collect::<Value>(),
        "needed": needed,
        "without": without,
    })
}

fn measure(m: Measure, figure: Figure, waist: WaistKind, unit: Unit) -> Value {
    let info = m.info();
    let depth = [(Depth::Few, "few"), (Depth::Usual, "usual")];
    let depth = depth.iter().find(|(depth, _)| {
        let asked = entry::asked(figure, *depth);
        asked.iter().any(|(_, other)| *other == m)
    });
    let range = match figure {
        Figure::Woman => info.women,
        Figure::Man => info.men,
        Figure::Child => info.child,
    };
    let (needed, or) = match entry::needed(m) {
        Need::No => (false, None),
        Need::Always => (true, None),
        Need::Unless(other) => (true, Some(other.key())),
    };
    json!({
        "key": m.key(),
        "name": entry::name(m, figure),
        "kind": m.kind().name(),
        "depth": depth.map_or("all", |(_, word)| word),
        "needed": needed,
        "or": or,
        "definition": entry::definition(m, figure, waist),
        "how": entry::how(m, figure, waist),
        "mistake": entry::mistake(m, figure),
        "who": info.who.words(),
        "expected": entry::expected(m, figure, unit),
        "range": range,
        "repeat": info.repeat,
        "sides": info.paired,
        "on_form": info.on_form,
    })
}

fn shape(s: &ShapeWord, figure: Figure) -> Value {
    let words = s.words(figure);
    json!({
        "key": s.key,
        "title": s.title,
        "question": s.question,
        "words": words.map(|(word, means)| json!({ "word": word, "means": means })).collect::<Value>(),
    })
}
