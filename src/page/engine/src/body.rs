//! The body of the sheet on the page: fitted anew with every change, as triangles, and with the tape on it.

use layfigure::Error;
use layfigure::form;
use layfigure::form::Checked;
use layfigure::geom::Point3;
use layfigure::measure::{Measure, Side};
use layfigure::mesh::Mesh;
use layfigure::render;
use layfigure::say::{check_short, json, numbers, words};
use layfigure::sheet;
use layfigure::sheet::entry::Draft;
use layfigure::tape::{Tape, Thread};
use layfigure::text::Reader;
use layfigure::units::Unit;
use serde_json::{Map, Value, json};

use crate::lines;
use crate::reply::EngineReply;
use crate::request::PageFile;
use crate::room;

/// The body as it was last made.
#[derive(Default)]
pub(crate) struct Session {
    checked: Option<Checked>,
}

impl Session {
    /// The body, where there is one.
    pub(crate) const fn checked(&self) -> Option<&Checked> {
        self.checked.as_ref()
    }

    /// Reads the sheet and makes its body, from where the last one ended unless that is to be forgotten. The last
    /// body stays where this sheet makes none.
    pub(crate) fn check(
        &mut self,
        sheet: &PageFile,
        in_room: Option<&PageFile>,
        unit: Option<Unit>,
        fresh: bool,
    ) -> EngineReply {
        let draft = match Draft::open(&sheet.text, &sheet.file) {
            Ok(draft) => draft,
            Err(e) => return e.into(),
        };
        let given = lines::given(&draft);
        let mut reply = self
            .body(sheet, in_room, unit, fresh)
            .unwrap_or_else(|e| e.told(reader(&draft, unit)).into());
        if let Value::Object(all) = &mut reply.value {
            all.insert("given".into(), given);
        }
        reply
    }

    fn body(
        &mut self,
        sheet: &PageFile,
        in_room: Option<&PageFile>,
        unit: Option<Unit>,
        fresh: bool,
    ) -> Result<EngineReply, Error> {
        let sheet = sheet::read(&sheet.text, &sheet.file)?;
        let workshop = room::of(in_room, sheet.unit)?;
        let again = self.checked.as_ref().filter(|_| !fresh);
        let again = again.and_then(|last| form::recheck(last, sheet.clone(), &workshop, unit).ok());
        let was_fresh = again.is_none();
        // Where the last body leads nowhere, one from nothing says what is wrong.
        let checked = match again {
            Some(checked) => checked,
            None => form::check(sheet, &workshop, unit)?,
        };
        let numbers = numbers::check(&checked, &workshop)?;
        let shown = checked.readings.iter().map(|r| {
            let key = r.target.side.key_of(r.target.measure);
            let words = json!(words::reading(r, checked.unit));
            (key, words)
        });
        let reply = EngineReply::of(json!({
            "fresh": was_fresh,
            "unit": checked.unit.name(),
            "figure": checked.sheet.figure.name(),
            "met": checked.is_met(),
            "check": numbers,
            "words": shown.collect::<Map<String, Value>>(),
            "unsure": checked.unit.show_plus_minus(checked.fit.unsure),
            "in_short": json::findings(&check_short::gathered(&checked)),
        }));
        self.checked = Some(checked);
        Ok(reply)
    }

    /// The body as triangles, each corner with how unsure it is.
    pub(crate) fn solid(&self) -> EngineReply {
        let Some(checked) = &self.checked else {
            return no_body();
        };
        let corners = checked.mesh.vertices.iter();
        let unsure = corners.map(|p| checked.fit.unsure_near(p));
        triangles(&checked.mesh, unsure.collect())
    }

    /// Where the tape lies for a measurement; its key may name a side: `length.shoulder.left`.
    pub(crate) fn thread(&self, key: &str) -> EngineReply {
        let Some(checked) = &self.checked else {
            return no_body();
        };
        let sides = [(Side::Left, ".left"), (Side::Right, ".right")];
        let sided = sides
            .into_iter()
            .find_map(|(side, end)| Some((key.strip_suffix(end)?, side)));
        let (key, side) = sided.unwrap_or((key, Side::Both));
        let Some(measure) = Measure::from_key(key) else {
            return EngineReply::misasked(&format!("no measurement {key}"));
        };
        let threads = Tape::new(&checked.mesh).threads(measure, side);
        EngineReply::of(json!({ "threads": threads.iter().map(thread).collect::<Value>() }))
    }
}

/// Whom a sheet that could not be read is told to.
fn reader(draft: &Draft, unit: Option<Unit>) -> Reader {
    let unit = unit.unwrap_or_else(|| lines::unit_of(draft));
    Reader::of(unit).about(draft.figure().unwrap_or_default())
}

fn no_body() -> EngineReply {
    EngineReply::misasked("there is no body yet: check a sheet first")
}

fn point(p: &Point3) -> Value {
    json!([p.x as f32, p.y as f32, p.z as f32])
}

fn thread(thread: &Thread) -> Value {
    json!({
        "points": thread.points.iter().map(point).collect::<Value>(),
        "seen_from": [thread.seen_from.x as f32, thread.seen_from.y as f32],
        "through": thread.through,
    })
}

/// A solid for a screen, with a number at every corner; nothing there is not a number. The bytes hold positions and
/// normals (three of 32 bits each), that number, and the corners of the triangles as whole numbers of 32 bits, all
/// with their lowest byte first. Corners at a crease stand there once for each side of it.
pub(crate) fn triangles(mesh: &Mesh, at_corner: Vec<f64>) -> EngineReply {
    let normals = render::corner_normals(mesh);
    let mut corners: Vec<(u32, [f32; 3])> = Vec::with_capacity(mesh.vertices.len());
    // The copies of each corner so far.
    let mut copies: Vec<Vec<u32>> = vec![Vec::new(); mesh.vertices.len()];
    let mut index: Vec<u32> = Vec::with_capacity(3 * mesh.triangles.len());
    for (triangle, normals) in mesh.triangles.iter().zip(&normals) {
        for (&corner, normal) in triangle.iter().zip(normals) {
            let normal = [normal.x, normal.y, normal.z].map(|v| v as f32);
            let own = &mut copies[corner as usize];
            let same =
                |&&i: &&u32| corners[i as usize].1.map(f32::to_bits) == normal.map(f32::to_bits);
            let at = own.iter().find(same).copied();
            let at = at.unwrap_or_else(|| {
                let new = corners.len() as u32;
                corners.push((corner, normal));
                own.push(new);
                new
            });
            index.push(at);
        }
    }
    let mut bytes = Vec::with_capacity(corners.len() * 28 + index.len() * 4);
    let mut put = |values: &mut dyn Iterator<Item = [u8; 4]>| {
        let begins = bytes.len();
        values.for_each(|v| bytes.extend(v));
        begins
    };
    let place = |i: &u32| mesh.vertices[*i as usize];
    let positions = put(&mut corners
        .iter()
        .flat_map(|(i, _)| {
            let p = place(i);
            [p.x, p.y, p.z]
        })
        .map(|v| (v as f32).to_le_bytes()));
    let normals = put(&mut corners
        .iter()
        .flat_map(|(_, normal)| *normal)
        .map(f32::to_le_bytes));
    let values = put(&mut corners
        .iter()
        .map(|(i, _)| (at_corner[*i as usize] as f32).to_le_bytes()));
    let indices = put(&mut index.iter().map(|i| i.to_le_bytes()));
    let marks = &mesh.marks;
    let known = at_corner.iter().copied().filter(|v| v.is_finite());
    let levels = marks.levels.iter();
    let levels = levels.map(|(level, z)| (level.name().to_owned(), json!(*z as f32)));
    let landmarks = marks.landmarks.iter();
    let landmarks = landmarks.map(|(landmark, p)| (landmark.name().to_owned(), point(p)));
    let fields = json!({
        "corners": corners.len(),
        "triangles": mesh.triangles.len(),
        "positions": positions,
        "normals": normals,
        "values": values,
        "indices": indices,
        "least": known.clone().reduce(f64::min),
        "most": known.reduce(f64::max),
        "bounds": mesh.bounds().map(|(low, high)| [point(&low), point(&high)]),
        "levels": levels.collect::<Map<String, Value>>(),
        "landmarks": landmarks.collect::<Map<String, Value>>(),
        "ground": marks.ground().map(|(z, _)| z as f32),
    });
    EngineReply::with(fields, bytes)
}
