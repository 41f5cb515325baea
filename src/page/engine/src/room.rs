//! The room on the page: its questions, what its choices cost, and what a form takes in it.

use layfigure::Error;
use layfigure::form;
use layfigure::form::Checked;
use layfigure::form::plan::{Choice, Estimate};
use layfigure::form::trial::Trial;
use layfigure::imprint;
use layfigure::say;
use layfigure::say::json;
use layfigure::units::Unit;
use layfigure::workshop;
use layfigure::workshop::Workshop;
use layfigure::workshop::entry::{Question, RoomDraft, questions};
use serde_json::{Value, json};

use crate::reply::EngineReply;
use crate::request::PageFile;

/// The room of a file, or the usual one of somebody who measures so.
pub(crate) fn of(room: Option<&PageFile>, unit: Unit) -> Result<Workshop, Error> {
    match room {
        Some(file) => workshop::read(&file.text, &file.file),
        None => Ok(Workshop::usual(unit)),
    }
}

/// The questions, and what stands in a room for each.
pub(crate) fn look(room: &PageFile) -> EngineReply {
    match RoomDraft::open(&room.text, &room.file) {
        Ok(draft) => EngineReply::of(standing(&draft)),
        Err(e) => e.into(),
    }
}

/// Writes an answer, or takes it away; the new text of the room.
pub(crate) fn set(room: &PageFile, asked: &str, words: Option<&str>) -> EngineReply {
    let mut draft = match RoomDraft::open(&room.text, &room.file) {
        Ok(draft) => draft,
        Err(e) => return e.into(),
    };
    let Some(question) = question(asked) else {
        return EngineReply::misasked(&format!("no question {asked} about a room"));
    };
    let words = words.map(str::trim).filter(|w| !w.is_empty());
    let found = match words {
        None => {
            draft.remove(question.asked);
            Vec::new()
        }
        Some(words) => match draft.put(question.asked, words) {
            Ok(found) => found,
            Err(found) => return EngineReply::refused(&found),
        },
    };
    let mut fields = standing(&draft);
    fields["text"] = draft.text().into();
    fields["findings"] = json::findings(&found);
    EngineReply::of(fields)
}

fn standing(draft: &RoomDraft) -> Value {
    let unit = draft.unit();
    let all = questions().iter().map(|q| {
        json!({
            "asked": q.title,
            "tell": q.tell,
            "help": q.help,
            "prompt": q.prompt(unit),
            "choices": q.choice,
            "without": q.without(unit),
            "given": draft.given(q.asked),
        })
    });
    json!({ "unit": unit.name(), "questions": all.collect::<Value>() })
}

/// The question that is called so.
fn question(title: &str) -> Option<&'static Question> {
    questions().iter().find(|q| q.title == title)
}

/// A body that was tried in a room.
#[derive(Default)]
pub(crate) struct TriedRoom(Option<(String, Workshop, Trial)>);

impl TriedRoom {
    /// What the choices of a question cost for the body.
    pub(crate) fn choices(
        &mut self,
        checked: Option<&Checked>,
        room: Option<&PageFile>,
        asked: &str,
    ) -> EngineReply {
        let Some(checked) = checked else {
            return no_body();
        };
        let Some(Question { asked, .. }) = question(asked) else {
            return EngineReply::misasked(&format!("no question {asked} about a room"));
        };
        let tried = self
            .of(checked, room)
            .map_err(|e| e.told(checked.reader()).into());
        tried.map_or_else(
            |refused| refused,
            |(trial, unit)| EngineReply::of(say::room::costs_json(*asked, trial, unit)),
        )
    }

    /// What a form comes to, found before its boards are laid with care.
    pub(crate) fn sum(
        &mut self,
        checked: Option<&Checked>,
        room: Option<&PageFile>,
    ) -> EngineReply {
        let Some(checked) = checked else {
            return no_body();
        };
        let tried = self.of(checked, room);
        tried.map_or_else(
            |e| e.told(checked.reader()).into(),
            |(trial, unit)| EngineReply::of(say::room::sum_json(trial, unit)),
        )
    }

    /// The body tried in the room, and the unit of the room.
    fn of(&mut self, checked: &Checked, room: Option<&PageFile>) -> Result<(&Trial, Unit), Error> {
        let workshop = of(room, checked.sheet.unit)?;
        let unit = match room {
            Some(room) => RoomDraft::open(&room.text, &room.file)?.unit(),
            None => workshop.paper.unit,
        };
        let body = imprint::of_shape(&checked.mesh.vertices);
        let tried = self.0.take();
        let same = tried.filter(|(b, room, _)| *b == body && *room == workshop);
        let tried = match same {
            Some(tried) => tried,
            None => {
                let trial = Trial::new(checked.clone(), &workshop)?;
                (body, workshop, trial)
            }
        };
        Ok((&self.0.insert(tried).2, unit))
    }
}

fn no_body() -> EngineReply {
    EngineReply::misasked("there is no body yet: check a sheet first")
}

/// What a form of the body takes in a room.
pub(crate) fn cost(checked: Option<&Checked>, room: Option<&PageFile>) -> EngineReply {
    let Some(checked) = checked else {
        return no_body();
    };
    let of_room = || -> Result<EngineReply, Error> {
        let workshop = of(room, checked.sheet.unit)?;
        let choice = Choice {
            material: workshop.layer.material.clone(),
            rings: workshop.layer.hollow.is_some(),
            workshop,
        };
        let made = form::plan::plan(checked, std::slice::from_ref(&choice), 0, &|| {});
        let made = made.into_iter().map(|m| Ok(Ok(m?)));
        let made: Vec<Result<Estimate, Error>> = made.collect::<Result<_, Error>>()?;
        let all = say::plan::json(checked, std::slice::from_ref(&choice), &made)?;
        Ok(EngineReply::of(all["choices"][0].clone()))
    };
    of_room().unwrap_or_else(|e| e.told(checked.reader()).into())
}

/// What other thicknesses (mm) or materials would take; those that go with the room, where none are named.
pub(crate) fn plan(
    checked: Option<&Checked>,
    room: Option<&PageFile>,
    thicknesses: &[f64],
    materials: &[String],
) -> EngineReply {
    let Some(checked) = checked else {
        return no_body();
    };
    let of_room = || -> Result<EngineReply, Error> {
        let workshop = of(room, checked.sheet.unit)?;
        let choices = form::plan::choices(&workshop, thicknesses, materials)?;
        let made = form::plan::plan(checked, &choices, 0, &|| {});
        Ok(EngineReply::of(say::plan::json(checked, &choices, &made)?))
    };
    of_room().unwrap_or_else(|e| e.told(checked.reader()).into())
}
