//! Every call, asked as the page asks: words in, words out.

use serde_json::{Value, json};

use crate::Engine;
use crate::EngineReply;

const CONTRALTO: &str = include_str!("../../../../tests/sheets/contralto.toml");
const CHORISTER: &str = include_str!("../../../../tests/sheets/chorister.toml");

fn sheet(text: &str) -> Value {
    json!({ "file": "sheet.toml", "text": text })
}

fn ask(engine: &mut Engine, request: &Value) -> EngineReply {
    engine.answer(request.to_string().as_bytes(), &mut |_, _| {})
}

/// The answer to a request that must not be refused.
fn told(engine: &mut Engine, request: &Value) -> Value {
    let reply = ask(engine, request);
    assert_eq!(reply.value["ok"], true, "{request}: {}", reply.value);
    reply.value
}

fn checked(text: &str) -> Engine {
    let mut engine = Engine::default();
    told(
        &mut engine,
        &json!({ "call": "check", "sheet": sheet(text) }),
    );
    engine
}

#[test]
fn what_is_misasked_is_said_and_nothing_stops() {
    let mut engine = Engine::default();
    for request in [
        "",
        "{",
        "[]",
        "{}",
        r#"{"call":"nothing"}"#,
        r#"{"call":"set"}"#,
        r#"{"call":"questions","figure":"giant"}"#,
        r#"{"call":"solid"}"#,
        r#"{"call":"thread","measure":"girth.bust"}"#,
        r#"{"call":"cost"}"#,
        r#"{"call":"file","name":"guide.html"}"#,
        r#"{"call":"compared_page"}"#,
        "\u{0}",
    ] {
        let reply = engine.answer(request.as_bytes(), &mut |_, _| {});
        assert_eq!(reply.value["ok"], false, "{request}");
        assert!(reply.value["misasked"].is_string(), "{request}");
    }
    assert_eq!(engine.answer(&[0xff], &mut |_, _| {}).value["ok"], false);
    let program = told(&mut engine, &json!({ "call": "version" }));
    assert_eq!(program["program"], layfigure::imprint::PROGRAM);
}

#[test]
fn every_measurement_of_a_sheet_is_asked_in_the_words_for_the_figure() {
    let mut engine = Engine::default();
    let all = told(
        &mut engine,
        &json!({ "call": "questions", "figure": "man", "unit": "in" }),
    );
    let rounds = all["rounds"].as_array().unwrap();
    let measures: Vec<&Value> = rounds
        .iter()
        .flat_map(|r| r["measures"].as_array().unwrap())
        .collect();
    let held = layfigure::measure::Measure::ALL
        .into_iter()
        .filter(|m| m.is_sheet_key());
    assert_eq!(measures.len(), held.count());
    let bust = measures.iter().find(|m| m["key"] == "girth.bust").unwrap();
    assert_eq!(bust["name"], "chest girth");
    assert_eq!(
        (&bust["needed"], &bust["depth"]),
        (&true.into(), &"few".into())
    );
    assert_eq!(all["head"].as_array().unwrap().len(), 6);
    // A man is asked for no bust.
    assert!(
        all["shapes"]
            .as_array()
            .unwrap()
            .iter()
            .all(|s| s["key"] != "bust")
    );
}

#[test]
fn lines_are_written_as_they_are_typed_and_comments_stay() {
    let mut engine = Engine::default();
    let mut text = String::new();
    let mut set = |text: &mut String, line: Value, words: &str| {
        let request = json!({ "call": "set", "sheet": sheet(text), "line": line, "words": words });
        let reply = ask(&mut engine, &request).value;
        if reply["ok"] == true {
            *text = reply["text"].as_str().unwrap().to_owned();
        }
        reply
    };
    let bust = json!({ "measure": "girth.bust" });
    assert_eq!(
        set(&mut text, bust.clone(), "38")["ok"],
        false,
        "no unit yet"
    );
    for (key, words) in [("name", "Extra"), ("unit", "in"), ("figure", "woman")] {
        assert_eq!(set(&mut text, json!({ "head": key }), words)["ok"], true);
    }
    text.push_str("# a word of mine\n");
    let kept = set(&mut text, bust, "37 7/8 and 38 1/8");
    assert_eq!(kept["given"]["measures"]["girth.bust"], "38 ± 1/8");
    let stature = set(&mut text, json!({ "measure": "height.stature" }), "5 ft 6");
    assert_eq!(stature["read_as"], "66 in");
    let shoulder = json!({ "measure": "length.shoulder" });
    let sides = set(&mut text, shoulder.clone(), "left 5 right 5 1/8");
    assert_eq!(
        sides["given"]["measures"]["length.shoulder"],
        "left 5, right 5 1/8"
    );
    assert_eq!(
        set(&mut text, shoulder, "")["given"]["measures"]["length.shoulder"],
        Value::Null
    );
    let waist = set(&mut text, json!({ "measure": "girth.waist" }), "thin");
    assert_eq!(waist["findings"][0]["fact"], "NoNumber");
    assert_eq!(
        set(&mut text, json!({ "shape": "seat" }), "full")["ok"],
        true
    );
    assert!(
        text.contains("# a word of mine") && text.contains("read 37 7/8 and 38 1/8"),
        "{text}"
    );
}

#[test]
fn a_body_follows_its_sheet() {
    let mut engine = Engine::default();
    let first = told(
        &mut engine,
        &json!({ "call": "check", "sheet": sheet(CONTRALTO) }),
    );
    assert_eq!(
        (&first["fresh"], &first["met"]),
        (&true.into(), &true.into())
    );
    let measures = first["check"]["measures"].as_array().unwrap();
    assert!(
        measures
            .iter()
            .all(|m| first["words"][m["key"].as_str().unwrap()].is_object())
    );
    let changed = told(
        &mut engine,
        &json!({
            "call": "set", "sheet": sheet(CONTRALTO),
            "line": { "measure": "girth.waist" }, "words": "72",
        }),
    );
    let text = changed["text"].as_str().unwrap();
    let again = told(
        &mut engine,
        &json!({ "call": "check", "sheet": sheet(text) }),
    );
    assert_eq!(again["fresh"], false);
    assert_eq!(again["given"]["measures"]["girth.waist"], "72");

    let broken = ask(
        &mut engine,
        &json!({ "call": "check", "sheet": sheet("girth = [") }),
    )
    .value;
    assert_eq!(
        (&broken["ok"], broken["findings"][0]["line"].is_number()),
        (&false.into(), true)
    );
    // The last body is still there.
    let solid = ask(&mut engine, &json!({ "call": "solid" }));
    let count = |key: &str| solid.value[key].as_u64().unwrap() as usize;
    let (corners, triangles) = (count("corners"), count("triangles"));
    assert_eq!(solid.bytes.len(), corners * 28 + triangles * 12);
    assert_eq!(count("indices"), corners * 28);
    let index = |i: usize| {
        let at = count("indices") + 4 * i;
        u32::from_le_bytes(solid.bytes[at..at + 4].try_into().unwrap()) as usize
    };
    assert!((0..3 * triangles).all(|i| index(i) < corners));
    let value = |i: usize| {
        let at = count("values") + 4 * i;
        f32::from_le_bytes(solid.bytes[at..at + 4].try_into().unwrap())
    };
    assert!((0..corners).all(|i| value(i) > 0.0 && value(i) < 100.0));

    let thread = told(
        &mut engine,
        &json!({ "call": "thread", "measure": "girth.waist" }),
    );
    let points = thread["threads"][0]["points"].as_array().unwrap();
    assert!(points.len() > 20 && points.first() == points.last());
    let sides = told(
        &mut engine,
        &json!({ "call": "thread", "measure": "length.shoulder" }),
    );
    assert_eq!(sides["threads"].as_array().unwrap().len(), 2);
}

#[test]
fn a_room_is_asked_and_priced() {
    let mut engine = checked(CONTRALTO);
    let room = |text: &str| json!({ "file": "room.toml", "text": text });
    let blank = told(&mut engine, &json!({ "call": "room", "room": room("") }));
    let asked = blank["questions"].as_array().unwrap();
    assert_eq!(asked.len(), layfigure::workshop::entry::questions().len());
    let set = told(
        &mut engine,
        &json!({ "call": "set_room", "room": room(""), "asked": "ten sheets", "words": "one 20" }),
    );
    let own = room(set["text"].as_str().unwrap());
    let thick = told(&mut engine, &json!({ "call": "cost", "room": own }));
    let usual = told(&mut engine, &json!({ "call": "cost" }));
    let layers = |of: &Value| of["layers"].as_u64().unwrap();
    assert!(layers(&thick) < layers(&usual), "{thick} {usual}");
    let sum = told(&mut engine, &json!({ "call": "sum", "room": own }));
    assert_eq!(layers(&sum), layers(&thick));
    assert!(sum["words"].as_str().unwrap().contains("by hand"));
    let choices = told(
        &mut engine,
        &json!({ "call": "choices", "room": own, "asked": "board" }),
    );
    assert!(choices["rows"].as_array().unwrap().len() > 1);
    let wrong =
        json!({ "call": "set_room", "room": room(""), "asked": "machine", "words": "laser beam" });
    assert_eq!(ask(&mut engine, &wrong).value["ok"], false);
}

#[test]
fn sizes_and_bodies_lie_beside_each_other() {
    let mut engine = Engine::default();
    let systems = told(&mut engine, &json!({ "call": "systems" }));
    assert!(systems["systems"].as_array().unwrap().len() > 5);
    let size = told(
        &mut engine,
        &json!({ "call": "size", "name": "women:92", "unit": "cm" }),
    );
    let text = size["text"].as_str().unwrap();
    told(
        &mut engine,
        &json!({ "call": "check", "sheet": sheet(text) }),
    );
    let pair = told(
        &mut engine,
        &json!({ "call": "compare", "a": { "size": "women:92" }, "b": { "sheet": sheet(CONTRALTO) } }),
    );
    assert!(pair["differences"].as_array().unwrap().len() > 10);
    let solid = ask(
        &mut engine,
        &json!({ "call": "compared_solid", "which": "b" }),
    );
    assert!(solid.value["most"].as_f64().unwrap() > solid.value["least"].as_f64().unwrap());
    let page = ask(&mut engine, &json!({ "call": "compared_page" }));
    assert!(page.bytes.starts_with(b"<!DOCTYPE html>"));
    let near = told(
        &mut engine,
        &json!({ "call": "nearest", "of": { "sheet": sheet(CONTRALTO) }, "systems": ["women"] }),
    );
    assert_eq!(near["systems"].as_array().unwrap().len(), 1);
    let none = json!({ "call": "size", "name": "women:nobody" });
    assert_eq!(ask(&mut engine, &none).value["ok"], false);
}

#[test]
fn a_folder_is_made_and_handed_out() {
    let mut engine = Engine::default();
    let mut heard = Vec::new();
    let room = json!({ "file": "room.toml", "text": "[layer]\nthickness = 25\n" });
    let request = json!({ "call": "build", "sheet": sheet(CHORISTER), "room": room });
    let made = engine.answer(request.to_string().as_bytes(), &mut |at, _| heard.push(at));
    assert_eq!(made.value["ok"], true, "{}", made.value);
    assert!(
        heard.is_sorted() && heard.last() == Some(&1000),
        "{heard:?}"
    );
    let files = made.value["files"].as_array().unwrap();
    for file in files {
        let reply = ask(
            &mut engine,
            &json!({ "call": "file", "name": file["name"] }),
        );
        assert_eq!(reply.bytes.len() as u64, file["size"].as_u64().unwrap());
    }
    assert!(files.iter().any(|f| f["name"] == "guide.html"));
    told(&mut engine, &json!({ "call": "forget" }));
    let gone = ask(
        &mut engine,
        &json!({ "call": "file", "name": "guide.html" }),
    );
    assert_eq!(gone.value["ok"], false);
}
