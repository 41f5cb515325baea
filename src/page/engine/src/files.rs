//! The folder of a form: made whole, then handed out file by file.

use layfigure::Error;
use layfigure::form;
use layfigure::form::{Form, Stage};
use layfigure::layout::nest::DEFAULT_TRIES;
use layfigure::say::list::{LIST, List};
use layfigure::say::{built, folder, json, words};
use layfigure::sheet;
use layfigure::units::Unit;
use serde_json::{Value, json};

use crate::reply::EngineReply;
use crate::request::PageFile;
use crate::room;

/// The files of the last form.
#[derive(Default)]
pub(crate) struct MadeFolder(Files);

/// Names with `/`, and bytes.
type Files = Vec<(String, Vec<u8>)>;

impl MadeFolder {
    /// Makes the form of a sheet in a room, as the program does: from nothing, so that its files are the program's to
    /// the byte. `progress` hears how far it is.
    pub(crate) fn build(
        &mut self,
        sheet: &PageFile,
        in_room: Option<&PageFile>,
        unit: Option<Unit>,
        progress: &mut dyn FnMut(u32, &str),
    ) -> EngineReply {
        self.0.clear();
        let mut made = || -> Result<(Form, Files), Error> {
            let mut told = |stage: Stage| progress(so_far(stage), words::stage(stage));
            let sheet = sheet::read(&sheet.text, &sheet.file)?;
            let workshop = room::of(in_room, sheet.unit)?;
            told(Stage::Fitting);
            let checked = form::check(sheet, &workshop, unit)?;
            let form = form::rebuild(checked, workshop, DEFAULT_TRIES, None, &mut told)?;
            told(Stage::Drawing);
            let mut files = folder(&form)?;
            // The program leaves the list of its files too: it may build into the same folder later.
            files.push((LIST.to_owned(), List::of(&files).text().into_bytes()));
            files.sort_by(|a, b| a.0.cmp(&b.0));
            Ok((form, files))
        };
        match made() {
            Err(e) => e.into(),
            Ok((form, files)) => {
                self.0 = files;
                progress(WHOLE, "");
                let files = self.0.iter();
                let files = files.map(|(name, bytes)| json!({ "name": name, "size": bytes.len() }));
                EngineReply::of(json!({
                    "name": form.checked.sheet.name,
                    "met": form.checked.is_met(),
                    "told": built::text(&form),
                    "findings": json::findings(&form.checked.findings),
                    "files": files.collect::<Value>(),
                }))
            }
        }
    }

    /// One of the files.
    pub(crate) fn file(&self, name: &str) -> EngineReply {
        match self.0.iter().find(|(own, _)| own == name) {
            Some((name, bytes)) => EngineReply::with(json!({ "name": name }), bytes.clone()),
            None => EngineReply::misasked(&format!("no file {name} was made")),
        }
    }
}

/// All of it, in thousandths.
const WHOLE: u32 = 1000;

/// How much of the work is done as a stage begins, in thousandths: measured on the three sheets of the examples in
/// the usual room, and rounded.
const fn so_far(stage: Stage) -> u32 {
    match stage {
        Stage::Fitting => 0,
        Stage::Cutting => 30,
        Stage::Reading => 100,
        Stage::Laying => 200,
        Stage::Drawing => 800,
    }
}
