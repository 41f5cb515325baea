//! The engine: what it keeps between calls, and who answers which.

use layfigure::imprint;
use layfigure::sheet;
use serde_json::json;

use crate::body::Session;
use crate::files::MadeFolder;
use crate::lines;
use crate::pair::Compared;
use crate::questions;
use crate::reply::EngineReply;
use crate::request::Request;
use crate::room;
use crate::room::TriedRoom;

/// The engine of one page. What it keeps makes later calls faster, and is what some of them speak of; the sheet
/// and the room themselves are the page's, which sends them along.
#[derive(Default)]
pub struct Engine {
    session: Session,
    tried: TriedRoom,
    folder: MadeFolder,
    beside: Compared,
}

impl Engine {
    /// Answers one request, which is an object of JSON. `progress` hears how far a long call has come, in
    /// thousandths, and what is being done.
    pub fn answer(&mut self, request: &[u8], progress: &mut dyn FnMut(u32, &str)) -> EngineReply {
        let request: Request = match serde_json::from_slice(request) {
            Ok(request) => request,
            Err(e) => return EngineReply::misasked(&e.to_string()),
        };
        match request {
            Request::Version => EngineReply::of(json!({ "program": imprint::PROGRAM })),
            Request::Questions {
                figure,
                waist,
                unit,
            } => questions::all(figure, waist, unit),
            Request::Example { figure } => EngineReply::of(json!({
                "text": sheet::example(figure.unwrap_or_default()),
            })),
            Request::Set { sheet, line, words } => lines::set(&sheet, &line, words.as_deref()),
            Request::Check {
                sheet,
                room,
                unit,
                fresh,
            } => self.session.check(&sheet, room.as_ref(), unit, fresh),
            Request::Solid => self.session.solid(),
            Request::Thread { measure } => self.session.thread(&measure),
            Request::Room { room } => room::look(&room),
            Request::SetRoom { room, asked, words } => room::set(&room, &asked, words.as_deref()),
            Request::Choices { room, asked } => {
                self.tried
                    .choices(self.session.checked(), room.as_ref(), &asked)
            }
            Request::Sum { room } => self.tried.sum(self.session.checked(), room.as_ref()),
            Request::Cost { room } => room::cost(self.session.checked(), room.as_ref()),
            Request::Plan {
                room,
                thicknesses,
                materials,
            } => room::plan(
                self.session.checked(),
                room.as_ref(),
                &thicknesses,
                &materials,
            ),
            Request::Build { sheet, room, unit } => {
                self.folder.build(&sheet, room.as_ref(), unit, progress)
            }
            Request::File { name } => self.folder.file(&name),
            Request::Forget => {
                self.folder = MadeFolder::default();
                EngineReply::of(json!({}))
            }
            Request::Systems => self.beside.systems(),
            Request::System { name } => self.beside.system(&name),
            Request::Size { name, unit } => self.beside.size(&name, unit),
            Request::Nearest { of, systems } => self.beside.nearest(&of, &systems),
            Request::Compare { a, b, unit } => self.beside.compare(&a, &b, unit),
            Request::ComparedSolid { which } => self.beside.solid(which),
            Request::ComparedPage => self.beside.page(),
        }
    }
}
