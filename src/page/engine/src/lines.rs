//! Lines of a sheet: what stands in it, and how one is written without losing anything else.

use layfigure::Finding;
use layfigure::error::Severity;
use layfigure::fact::Fact;
use layfigure::measure::Measure;
use layfigure::say::json;
use layfigure::sheet::entry;
use layfigure::sheet::entry::{Draft, HeadFact, HeadProblem};
use layfigure::text::Reader;
use layfigure::units::Unit;
use serde_json::{Value, json};

use crate::reply::EngineReply;
use crate::request::{LineKey, PageFile};

/// Writes what was typed into a line, or takes the line away; the new text of the sheet.
pub(crate) fn set(sheet: &PageFile, line: &LineKey, words: Option<&str>) -> EngineReply {
    let draft = match Draft::open(&sheet.text, &sheet.file) {
        Ok(draft) => draft,
        Err(e) => return e.into(),
    };
    let words = words.map(str::trim).filter(|w| !w.is_empty());
    match line {
        LineKey::Head(key) => set_head(draft, key, words),
        LineKey::Measure(key) => set_measure(draft, key, words),
        LineKey::Shape(key) => set_shape(draft, key, words),
    }
}

/// What stands in a sheet, as a person reads it.
pub(crate) fn given(draft: &Draft) -> Value {
    let head = entry::head_questions().iter();
    let head = head.filter_map(|q| Some((q.key.key().to_owned(), q.said(draft)?.into())));
    let measures = Measure::ALL.into_iter().filter(|m| m.is_sheet_key());
    let measures =
        measures.filter_map(|m| Some((m.key().to_owned(), Value::from(draft.given(m)?))));
    let shapes = entry::shapes(draft.figure().unwrap_or_default());
    let shapes = shapes.filter_map(|s| Some((s.key.to_owned(), Value::from(draft.shape(s.key)?))));
    let missing = draft.missing();
    json!({
        "head": head.collect::<serde_json::Map<String, Value>>(),
        "measures": measures.collect::<serde_json::Map<String, Value>>(),
        "shapes": shapes.collect::<serde_json::Map<String, Value>>(),
        "missing": missing.iter().map(|m| m.key()).collect::<Value>(),
    })
}

fn kept(draft: &Draft, more: Value) -> EngineReply {
    let mut reply = EngineReply::of(json!({ "text": draft.text(), "given": given(draft) }));
    if let (Value::Object(all), Value::Object(more)) = (&mut reply.value, more) {
        all.extend(more);
    }
    reply
}

fn refused(fact: impl Fact + 'static) -> EngineReply {
    EngineReply::refused(&[Finding::of(Severity::Refusal, fact)])
}

fn set_head(draft: Draft, key: &str, words: Option<&str>) -> EngineReply {
    let Some(q) = entry::head_questions().iter().find(|q| q.key.key() == key) else {
        return EngineReply::misasked(&format!("no line {key} in the head of a sheet"));
    };
    let Some(words) = words else {
        if !q.may_skip() {
            return refused(q.needed());
        }
        let mut draft = draft;
        q.leave_out(&mut draft);
        return kept(&draft, json!({}));
    };
    match q.answered(&draft, words) {
        Ok(with) => kept(&with, json!({})),
        Err(HeadProblem::Answer(fact)) => refused(fact),
        Err(HeadProblem::Date(fact)) => refused(fact),
        Err(HeadProblem::Found(found)) => EngineReply::refused(&[*found]),
    }
}

fn set_measure(mut draft: Draft, key: &str, words: Option<&str>) -> EngineReply {
    let Some(measure) = Measure::from_key(key).filter(|m| m.is_sheet_key()) else {
        return EngineReply::misasked(&format!("no measurement {key}"));
    };
    let Some(words) = words else {
        draft.remove(measure);
        return kept(&draft, json!({}));
    };
    let Some(unit) = draft.unit() else {
        return refused(HeadFact::Needed);
    };
    let answer = match entry::parse(words, measure, unit) {
        Ok(answer) => answer,
        Err(fact) => return refused(fact),
    };
    let reader = Reader::of(unit).about(draft.figure().unwrap_or_default());
    // What two readings far apart come to is nobody's: it need not be judged.
    let slip = answer.slip(measure);
    let (impossible, mut found) = if slip.is_some() {
        (false, Vec::new())
    } else {
        draft.judge(measure, &answer)
    };
    for finding in &mut found {
        finding.reader = reader;
    }
    if impossible {
        return EngineReply::refused(&found);
    }
    draft.put(measure, &answer);
    let more = json!({
        "read_as": answer.shown(unit),
        "doubts": json::findings(&found),
        "apart": answer.apart(measure),
        "slip": slip,
        "may_be_drop": answer.may_be_drop(measure),
    });
    kept(&draft, more)
}

fn set_shape(mut draft: Draft, key: &str, words: Option<&str>) -> EngineReply {
    let figure = draft.figure().unwrap_or_default();
    let Some(shape) = entry::shapes(figure).find(|s| s.key == key) else {
        return EngineReply::misasked(&format!("no word for the shape {key}"));
    };
    if let Some(word) = words.filter(|w| !shape.choice(figure).contains(w)) {
        return EngineReply::misasked(&format!("{word} is no word for {key}"));
    }
    draft.set_shape(key, words);
    kept(&draft, json!({}))
}

/// The unit of a sheet that could not be read; centimetres, where it says none.
pub(crate) fn unit_of(draft: &Draft) -> Unit {
    draft.unit().unwrap_or(Unit::Cm)
}
