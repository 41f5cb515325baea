//! The form that a folder holds already: whose it is, of which body, made by which version.

use std::fs;
use std::path::Path;

use layfigure::Error;
use layfigure::form::Form;
use layfigure::imprint;
use layfigure::say::{NUMBERS, words};
use layfigure::sheet::{self, Sheet};
use layfigure::stack::Dowel;
use layfigure::tolerance::{SAME_DOWEL_TOLERANCE_MM, SAME_LAYER_ACCURACY_MM};
use layfigure::workshop::{LayerStock, Workshop};

use crate::facts::{FileSort, FolderFact, as_typed};

/// What the numbers in a folder say of themselves.
#[derive(Debug)]
pub(crate) struct Earlier {
    sheet: Option<String>,
    /// Folders of the first versions name none.
    program: Option<String>,
    /// The body's imprint.
    pub(crate) body: Option<String>,
    /// What its layers were to be.
    cut: Option<Cut>,
    /// Where its dowels stand, mm.
    dowels: Vec<[f64; 2]>,
}

/// What the layers of a form are cut from, and how.
#[derive(Debug)]
struct Cut {
    /// The first material, and how high a layer of it is with its glue (mm).
    material: String,
    pitch: f64,
    /// What each layer is cut from, from the lowest up.
    layers: Vec<FileSort>,
    /// What is taken off for padding and cover (mm).
    padding: f64,
    scale: f64,
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
            cut: cut(&numbers),
            dowels: dowels(&numbers),
        })
    }

    /// Refuses a pile whose layers are not those of this workshop: how high they are says which layer is
    /// which. A material may have another name by now, which `--force` says.
    pub(crate) fn is_of_workshop(
        &self,
        workshop: &Workshop,
        dir: &Path,
        force: bool,
    ) -> Result<(), Error> {
        let path = as_typed(dir);
        let stock = &workshop.layer;
        let Some(cut) = &self.cut else {
            if force {
                return Ok(());
            }
            return Err(Error::request(FolderFact::PileOfEarlierVersion {
                path,
                this: imprint::PROGRAM,
            }));
        };
        if !same(cut.pitch, stock.pitch()) {
            return Err(Error::request(FolderFact::PileOfOtherLayers {
                path,
                pile: cut.pitch,
                workshop: stock.pitch(),
            }));
        }
        if cut.material != stock.material && !force {
            return Err(Error::request(FolderFact::PileOfAnotherMaterial {
                path,
                pile: cut.material.clone(),
                workshop: stock.material.clone(),
            }));
        }
        let used: Vec<FileSort> = workshop
            .materials_used()
            .into_iter()
            .map(|i| FileSort::of(workshop.material(i)))
            .collect();
        let has = |sort: &FileSort| used.iter().any(|own| sort.is(own, force));
        if !cut.layers.iter().all(has) {
            let mut pile: Vec<FileSort> = Vec::new();
            for sort in &cut.layers {
                if !pile.contains(sort) {
                    pile.push(sort.clone());
                }
            }
            return Err(Error::request(FolderFact::PileOfOtherMaterials {
                path,
                pile,
                workshop: used,
            }));
        }
        if !same(cut.scale, workshop.scale) {
            return Err(Error::request(FolderFact::PileAtAnotherScale {
                path,
                pile: cut.scale,
                workshop: workshop.scale,
            }));
        }
        if !same(cut.padding, workshop.padding.thickness()) {
            return Err(Error::request(FolderFact::PileUnderOtherPadding {
                path,
                pile: cut.padding,
                workshop: workshop.padding.thickness(),
            }));
        }
        Ok(())
    }

    /// Refuses a pile in which the layers lie in another order than those below the new ones in this
    /// stack: each is as high as its material.
    pub(crate) fn is_in_order(&self, form: &Form, dir: &Path, force: bool) -> Result<(), Error> {
        let Some(cut) = &self.cut else { return Ok(()) };
        let own = form.stack.piled().iter().map(|layer| {
            let material = form.workshop.material(layer.material);
            (layer.index, FileSort::of(material))
        });
        let differs = own
            .zip(&cut.layers)
            .find(|((_, own), pile)| !pile.is(own, force));
        match differs {
            None => Ok(()),
            Some(((layer, workshop), pile)) => Err(Error::request(FolderFact::PileInOtherOrder {
                path: as_typed(dir),
                layer,
                pile: pile.clone(),
                workshop,
            })),
        }
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

/// Whether two numbers are the same but for the rounding of a file.
fn same(a: f64, b: f64) -> bool {
    (a - b).abs() <= SAME_LAYER_ACCURACY_MM
}

impl FileSort {
    fn of(stock: &LayerStock) -> Self {
        Self {
            material: stock.material.clone(),
            thickness: stock.thickness,
        }
    }

    /// Whether it is the same; with `renamed` it may have another name.
    fn is(&self, other: &Self, renamed: bool) -> bool {
        same(self.thickness, other.thickness) && (renamed || self.material == other.material)
    }
}

/// What the layers are cut from, by the numbers; nothing where an earlier version left some of it out.
fn cut(numbers: &serde_json::Value) -> Option<Cut> {
    let workshop = numbers.get("workshop")?;
    let word = |of: &serde_json::Value| Some(of.get("material")?.as_str()?.to_owned());
    let number = |of: &serde_json::Value, key: &str| of.get(key)?.as_f64();
    let sort = |layer: &serde_json::Value| {
        Some(FileSort {
            material: word(layer)?,
            thickness: number(layer, "thickness")?,
        })
    };
    let layers = numbers.get("layers")?.as_array()?;
    Some(Cut {
        material: word(workshop)?,
        pitch: number(workshop, "pitch")?,
        layers: layers.iter().map(sort).collect::<Option<Vec<FileSort>>>()?,
        padding: number(workshop, "padding")?,
        scale: number(numbers, "scale")?,
    })
}

/// Where the dowels stand, by the numbers.
fn dowels(numbers: &serde_json::Value) -> Vec<[f64; 2]> {
    let all = numbers.get("dowels").and_then(serde_json::Value::as_array);
    all.into_iter()
        .flatten()
        .filter_map(|d| Some([d.get("x")?.as_f64()?, d.get("y")?.as_f64()?]))
        .collect()
}
