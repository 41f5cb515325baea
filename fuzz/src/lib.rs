//! What is done with bytes from anywhere, for the fuzzer and for the tests that keep what it found.
//!
//! Nothing here may panic, hang, or leave a value that is not finite, whatever the bytes are.

pub mod hard;

use layfigure::error::Finding;
use layfigure::form;
use layfigure::form::any_solid::{self, TapeHeight};
use layfigure::measure::{Kind, Measure};
use layfigure::mesh::{Axis, Mesh, obj, stl};
use layfigure::say::{self, any_solid as said, check_long, json, numbers};
use layfigure::units::Unit;
use layfigure::workshop::Workshop;
use layfigure::{Error, profile, sheet, workshop};

fn look_at(findings: &[Finding]) {
    for f in findings {
        assert!(!f.message().is_empty());
        if let Some(place) = &f.place {
            // A part that cuts a letter in two would panic here, and in every terminal.
            assert!(place.text.get(place.part.clone()).is_some(), "{f:?}");
            assert!(place.line > 0);
        }
    }
}

fn look_at_error(e: &Error) {
    assert!(!e.to_string().is_empty());
    if let Error::Sheet(list) | Error::Fit(list) | Error::Workshop(list) = e {
        assert!(!list.is_empty());
        look_at(list);
    }
}

/// Any text as a measurement sheet.
pub fn sheet_text(data: &[u8]) {
    let text = String::from_utf8_lossy(data);
    match sheet::read(&text, "fuzz.toml") {
        Ok(sheet) => {
            look_at(&sheet.findings);
            assert!(!sheet.name.is_empty());
            for g in &sheet.given {
                assert!(
                    g.value.is_finite() && g.within.is_none_or(f64::is_finite),
                    "{g:?}"
                );
            }
        }
        Err(e) => look_at_error(&e),
    }
}

/// Any text as a workshop file.
pub fn workshop_text(data: &[u8]) {
    let text = String::from_utf8_lossy(data);
    match workshop::read(&text, "fuzz.toml") {
        Ok(room) => {
            look_at(&room.findings);
            assert!(!room.stock.is_empty() && room.layer.thickness > 0.0);
        }
        Err(e) => look_at_error(&e),
    }
}

/// Any text as a table of sizes; what it holds is looked up and written as sheets.
pub fn profile_text(data: &[u8]) {
    let text = String::from_utf8_lossy(data);
    let table = match profile::read(&text, "fuzz.toml") {
        Ok(table) => table,
        Err(e) => return look_at_error(&e),
    };
    let middle = table.names.len() / 2;
    for (row, column) in [(0, 0), (middle, table.usual), (usize::MAX, usize::MAX)] {
        let Some(size) = table.tabulated_size(row, column) else {
            continue;
        };
        for v in &size.values {
            assert!(v.value.is_finite(), "{:?}", size.name);
        }
        let written = size.sheet(Unit::In);
        if size.lacks().is_empty() {
            sheet_text(written.as_bytes());
        }
    }
    for name in [
        "",
        "-",
        "92-",
        "92.5-170",
        "1e9",
        "0",
        "-1",
        "90-tall",
        "35 in-5 ft 7 in",
    ] {
        if let Err(e) = table.size(name) {
            look_at_error(&e);
        }
    }
    for main in [0.0, 850.0, 917.3, f64::MAX] {
        for across in [None, Some(0.0), Some(1655.5)] {
            if let Ok(size) = table.size_at(main, across) {
                assert!(size.values.iter().all(|v| v.value.is_finite()));
            }
        }
    }
}

fn tape(mut mesh: Mesh) {
    for v in &mesh.vertices {
        assert!(v.iter().all(|c| c.is_finite()));
    }
    let corners = mesh.vertices.len();
    assert!(
        mesh.triangles
            .iter()
            .flatten()
            .all(|v| (*v as usize) < corners)
    );
    assert!(mesh.stand(Axis::MinusY, Axis::X, 25.4));
    match any_solid::solid(mesh, Unit::Cm) {
        Err(e) => look_at_error(&e),
        Ok(solid) => {
            look_at(&solid.findings);
            let Some((low, high)) = solid.mesh.bounds() else {
                return;
            };
            let places: Vec<TapeHeight> = (0..8)
                .map(|i| TapeHeight {
                    height: low.z + (high.z - low.z) * f64::from(i) / 7.0,
                    ..TapeHeight::default()
                })
                .collect();
            let rows = any_solid::read(&solid, &places).expect("few heights");
            assert!(!said::table(&solid, &rows, "x", Unit::In).is_empty());
            assert!(said::numbers(&solid, &rows, "x").is_ok());
            let _ = any_solid::every(&solid.mesh, 50.0);
        }
    }
}

/// Any bytes as STL.
pub fn stl_bytes(data: &[u8]) {
    match stl::read(data) {
        Ok(mesh) => tape(mesh),
        Err(e) => look_at_error(&e),
    }
}

/// Any text as OBJ.
pub fn obj_text(data: &[u8]) {
    match obj::read(&String::from_utf8_lossy(data)) {
        Ok(mesh) => tape(mesh),
        Err(e) => look_at_error(&e),
    }
}

/// Bytes one after another; zeros when they have run out.
struct Dice<'a>(std::slice::Iter<'a, u8>);

impl Dice<'_> {
    fn byte(&mut self) -> u8 {
        self.0.next().copied().unwrap_or_default()
    }

    /// 0 to 1.
    fn share(&mut self) -> f64 {
        f64::from(self.byte()) / 255.0
    }

    fn one_of<'t>(&mut self, words: &[&'t str]) -> &'t str {
        words[usize::from(self.byte()) % words.len()]
    }
}

/// A sheet out of bytes: a body somewhere between the smallest and the largest people, each reading
/// off by its own share of that range.
#[must_use]
pub fn body(data: &[u8]) -> String {
    let mut dice = Dice(data.iter());
    let figure = dice.one_of(&["woman", "man", "child"]);
    let waist = dice.one_of(&["natural", "iso", "navel"]);
    let supported = dice.one_of(&["true", "false"]);
    let (girth, tall, spread, often) = (
        dice.share(),
        dice.share(),
        dice.share().powi(2) * 0.6,
        dice.share(),
    );
    let mut text = format!(
        "unit = \"mm\"\nfigure = \"{figure}\"\nwaist = \"{waist}\"\nsupported = {supported}\n"
    );
    for (key, words) in [
        ("abdomen", &["flat", "average", "full", "pregnant"][..]),
        ("seat", &["flat", "average", "full"]),
        ("shoulders", &["square", "average", "sloping"]),
        ("back", &["erect", "average", "rounded"]),
    ] {
        let word = dice.one_of(words);
        if dice.byte() % 4 == 0 {
            text.push_str(&format!("shape.{key} = \"{word}\"\n"));
        }
    }
    for measure in Measure::ALL.into_iter().filter(|m| m.is_sheet_key()) {
        let always = matches!(
            measure,
            Measure::GirthBust | Measure::GirthWaist | Measure::GirthHip | Measure::HeightStature
        );
        let (asked, off) = (dice.share(), dice.share() - 0.5);
        if !always && asked >= often * 0.5 {
            continue;
        }
        let info = measure.info();
        let [low, high] = match figure {
            "woman" => info.women,
            "man" => info.men,
            _ => info.child,
        };
        let base = match measure.kind() {
            Kind::Height | Kind::Length => tall,
            Kind::Slope | Kind::Wall => 0.5,
            _ => girth,
        };
        let value = low + (high - low) * (base + off * spread).clamp(-0.05, 1.05);
        let value = if measure.kind() == Kind::Slope {
            format!("\"{:.1} deg\"", value.to_degrees())
        } else {
            format!("{value:.1}")
        };
        text.push_str(&format!("{} = {value}\n", measure.key()));
    }
    text
}

/// How an input ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// The sheet or the workshop file is refused.
    Refused,
    /// No body, stack or layout is made of it.
    NotMade,
    /// Made, with readings missed.
    Missed,
    /// Made, and every reading is met.
    Met,
}

/// A body out of bytes, through fit, solid and tape.
pub fn whole_check(data: &[u8]) {
    checked(&body(data));
}

/// A sheet through fit, solid and tape: how it ended, and how many bodies were read for it.
pub fn checked(text: &str) -> (End, usize) {
    let sheet = match sheet::read(text, "fuzz.toml") {
        Ok(sheet) => sheet,
        Err(e) => {
            look_at_error(&e);
            return (End::Refused, 0);
        }
    };
    let room = Workshop::default();
    let checked = match form::check(sheet, &room, None) {
        Ok(checked) => checked,
        Err(e) => {
            look_at_error(&e);
            return (End::NotMade, 0);
        }
    };
    look_at(&checked.findings);
    let mesh = &checked.mesh;
    assert!(
        mesh.vertices
            .iter()
            .flat_map(|v| v.iter())
            .all(|c| c.is_finite()),
        "{text}"
    );
    assert!(mesh.faults().none() && mesh.volume() > 0.0, "{text}");
    for r in &checked.readings {
        assert!(
            r.solid.is_none_or(f64::is_finite),
            "{:?}\n{text}",
            r.target.measure
        );
        assert!(
            r.target.value.is_finite() && r.target.plus_minus.is_finite(),
            "{text}"
        );
    }
    assert!(!check_long::check(&checked, false).is_empty());
    match numbers::check(&checked, &room) {
        Ok(value) => assert!(json::text(&value).is_ok()),
        Err(e) => look_at_error(&e),
    }
    let end = if checked.is_met() {
        End::Met
    } else {
        End::Missed
    };
    (end, checked.fit.bodies)
}

/// A sheet and a workshop through everything.
pub fn built(text: &str, room: &str) -> End {
    let (sheet, room) = match (
        sheet::read(text, "fuzz.toml"),
        workshop::read(room, "fuzz.toml"),
    ) {
        (Ok(sheet), Ok(room)) => (sheet, room),
        (Err(e), _) | (_, Err(e)) => {
            look_at_error(&e);
            return End::Refused;
        }
    };
    match form::check(sheet, &room, None).and_then(|c| form::build(c, room, 1)) {
        Err(e) => {
            look_at_error(&e);
            End::NotMade
        }
        Ok(form) => {
            match say::folder(&form) {
                Ok(files) => assert!(files.iter().all(|(_, bytes)| !bytes.is_empty())),
                Err(e) => {
                    look_at_error(&e);
                    return End::NotMade;
                }
            }
            if form.checked.is_met() {
                End::Met
            } else {
                End::Missed
            }
        }
    }
}

/// A body out of bytes, through everything, on thick layers so that it is quick.
pub fn whole_build(data: &[u8]) {
    let backwards: Vec<u8> = data.iter().rev().copied().collect();
    let mut dice = Dice(backwards.iter());
    let room = format!(
        "[layer]\nthickness = {:.1}\n[[stock]]\nwidth = 1300\nlength = 2500\n[paper]\nsize = \"A0\"\n\
         [padding]\nbatting = {:.1}\n",
        12.0 + 40.0 * dice.share(),
        12.0 * dice.share()
    );
    built(&body(data), &room);
}
