//! The form that a folder holds already: whose it is, of which body, made by which version.

use std::fs;
use std::path::Path;

use layfigure::Error;
use layfigure::imprint;
use layfigure::say::{NUMBERS, words};
use layfigure::sheet::{self, Sheet};
use layfigure::stack::Dowel;
use layfigure::tolerance::{SAME_DOWEL_TOLERANCE_MM, SAME_LAYER_ACCURACY_MM};
use layfigure::workshop::LayerStock;

use crate::facts::{FolderFact, as_typed};

/// What the numbers in a folder say of themselves.
#[derive(Debug)]
pub(crate) struct Earlier {
    sheet: Option<String>,
    /// Folders of the first versions name none.
    program: Option<String>,
    /// The body's imprint.
    pub(crate) body: Option<String>,
    /// What its layers are cut from, and how high one is with its glue (mm).
    layer: Option<(String, f64)>,
    /// Where its dowels stand, mm.
    dowels: Vec<[f64; 2]>,
}

impl Earlier {
    /// The form in `dir`, if there is one.
    pub(crate) fn read(dir: &Path) -> Option<Self> {
        let bytes = fs::read(dir.join(NUMBERS)).ok()?;
        let numbers: serde_json::Value = serde_json::from_slice(&bytes).ok()?;
        let word = |key: &str| Some(numbers.get(key)?.as_str()?.to_owned());
        // Another program's file of this name is not a form.
        numbers.get("layers")?;
        Some(Self {
            sheet: word("sheet"),
            program: word("program"),
            body: word("body"),
            layer: layer(&numbers),
            dowels: dowels(&numbers),
        })
    }

    /// Refuses a pile whose layers are not those of this workshop: how high they are says which layer is
    /// which. A material may have another name by now, which `--force` says.
    pub(crate) fn is_of_stock(
        &self,
        stock: &LayerStock,
        dir: &Path,
        force: bool,
    ) -> Result<(), Error> {
        let path = as_typed(dir);
        let Some((material, pitch)) = &self.layer else {
            if force {
                return Ok(());
            }
            return Err(Error::request(FolderFact::PileOfEarlierVersion {
                path,
                this: imprint::PROGRAM,
            }));
        };
        if (pitch - stock.pitch()).abs() > SAME_LAYER_ACCURACY_MM {
            return Err(Error::request(FolderFact::PileOfOtherLayers {
                path,
                pile: *pitch,
                workshop: stock.pitch(),
            }));
        }
        if *material != stock.material && !force {
            return Err(Error::request(FolderFact::PileOfAnotherMaterial {
                path,
                pile: material.clone(),
                workshop: stock.material.clone(),
            }));
        }
        Ok(())
    }

    /// Refuses to go on with a pile whose layers below `restart_at` have no dowels where these stand.
    pub(crate) fn has_dowels(
        &self,
        dowels: &[Dowel],
        restart_at: usize,
        dir: &Path,
    ) -> Result<(), Error> {
        let elsewhere = dowels.iter().find(|d| {
            let here = |[x, y]: &[f64; 2]| {
                (d.at.x - x).abs() < SAME_DOWEL_TOLERANCE_MM
                    && (d.at.y - y).abs() < SAME_DOWEL_TOLERANCE_MM
            };
            d.first_layer < restart_at && !self.dowels.iter().any(here)
        });
        match elsewhere {
            None => Ok(()),
            Some(dowel) => Err(Error::request(FolderFact::PileOfOtherDowels {
                path: as_typed(dir),
                dowel: dowel.name.clone(),
                at: dowel.at.into(),
            })),
        }
    }

    /// Refuses the folder, named after the sheet's name, where it holds the form of another sheet of
    /// that name: nobody said that it may be replaced.
    pub(crate) fn is_of(&self, sheet: &Sheet, dir: &Path) -> Result<(), Error> {
        // The example is the same sheet, built in or named.
        let plain = |file: &str| match words::file_name(file) {
            sheet::EXAMPLE_FILE => "contralto.toml".to_owned(),
            other => other.to_owned(),
        };
        let Some(earlier) = self
            .sheet
            .as_deref()
            .filter(|e| plain(e) != plain(&sheet.file))
        else {
            return Ok(());
        };
        Err(Error::request(FolderFact::OfAnotherSheet {
            path: as_typed(dir),
            sheet: words::file_name(earlier).to_owned(),
            form: sheet.name.clone(),
        }))
    }

    /// Refuses the folder where another version made it: the body may have come out a little
    /// different, and pieces of two bodies would lie on one table.
    pub(crate) fn is_of_this_version(&self, dir: &Path) -> Result<(), Error> {
        if self.program.as_deref() == Some(imprint::PROGRAM) {
            return Ok(());
        }
        Err(Error::request(FolderFact::OfAnotherVersion {
            path: as_typed(dir),
            by: self.program.clone(),
            this: imprint::PROGRAM,
        }))
    }
}

/// Where the dowels stand, by the numbers.
fn dowels(numbers: &serde_json::Value) -> Vec<[f64; 2]> {
    let all = numbers.get("dowels").and_then(serde_json::Value::as_array);
    all.into_iter()
        .flatten()
        .filter_map(|d| Some([d.get("x")?.as_f64()?, d.get("y")?.as_f64()?]))
        .collect()
}

/// What the layers are cut from, by the workshop that the numbers name.
fn layer(numbers: &serde_json::Value) -> Option<(String, f64)> {
    let workshop = numbers.get("workshop")?;
    let material = workshop.get("material")?.as_str()?.to_owned();
    Some((material, workshop.get("pitch")?.as_f64()?))
}
