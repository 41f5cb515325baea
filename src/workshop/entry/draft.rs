//! The text of a workshop file that is being filled in. Whatever else somebody wrote into it, comments
//! included, stays as it is; every answer is read by the code that reads workshop files.

use toml_edit::{DocumentMut, Item, Table, TableLike, Value};

use super::facts::RoomFact;
use super::questions::Asked;
use crate::error::{Error, Finding, Severity};
use crate::source::edit;
use crate::units;
use crate::units::{Unit, inch_fraction, trimmed};
use crate::workshop;
use crate::workshop::Workshop;
use crate::workshop::family::Laser;
use crate::workshop::keys;
use crate::workshop::keys::{Key, Length, layer, padding, paper, pole, stock};
use crate::workshop::material;
use crate::workshop::sold;

/// What stands above a new file.
const HEADING: &str = "\
# A workshop: one room with its materials, machines and paper, for every body. What is not here is as
# usual; `layfigure new --workshop --blank` prints every key. Build in it:
# `layfigure build SHEET --workshop THIS`.

";
/// The widest cut that is a laser's and not a router's, mm. Our choice: a beam is narrower, and no bit is as thin.
const WIDEST_BEAM: f64 = 0.6;

/// Sheets that are thinner than this share of the thinnest sold were perhaps measured one by one. Our choice.
const LEAST_OF_SOLD: f64 = 0.5;

/// A workshop file being filled in.
#[derive(Clone, Debug)]
pub struct RoomDraft {
    document: DocumentMut,
    file: String,
}

impl RoomDraft {
    /// An empty file of this name.
    #[must_use]
    pub fn blank(file: &str) -> Self {
        Self {
            document: DocumentMut::new(),
            file: file.to_owned(),
        }
    }

    /// Goes on with the text of a workshop file.
    ///
    /// # Errors
    /// As for [`workshop::read`].
    pub fn open(text: &str, file: &str) -> Result<Self, Error> {
        workshop::read(text, file)?;
        // What is read as a workshop is TOML.
        Ok(Self {
            document: text.parse().unwrap_or_default(),
            file: file.to_owned(),
        })
    }

    /// The text as it should be kept.
    #[must_use]
    pub fn text(&self) -> String {
        let text = self.document.to_string();
        if text.starts_with('#') || text.starts_with('\u{feff}') {
            text
        } else {
            format!("{HEADING}{text}")
        }
    }

    /// The file's name as the person typed it.
    #[must_use]
    pub fn file(&self) -> &str {
        &self.file
    }

    /// Keeps it under another name of a file.
    pub fn rename(&mut self, file: &str) {
        file.clone_into(&mut self.file);
    }

    /// The unit of a bare number.
    #[must_use]
    pub fn unit(&self) -> Unit {
        let named = self.document.get("unit").and_then(Item::as_str);
        named.and_then(Unit::from_name).unwrap_or(Unit::Mm)
    }

    /// The room that it describes.
    #[must_use]
    pub fn room(&self) -> Workshop {
        match workshop::read(&self.text(), &self.file) {
            Ok(room) => room,
            Err(_) => unreachable!("every answer was read before it was kept"),
        }
    }

    /// Whether anything but the unit was answered.
    #[must_use]
    pub fn is_begun(&self) -> bool {
        self.document.iter().any(|(key, _)| key != "unit")
    }

    /// What stands for a question, as a person reads it; nothing where it is left out.
    #[must_use]
    pub fn given(&self, asked: Asked) -> Option<String> {
        let name = self.unit().name();
        match asked {
            Asked::Unit => self.document.get("unit")?.as_str().map(str::to_owned),
            Asked::Material => self.value(&layer::MATERIAL),
            Asked::Thickness => self
                .value(&layer::TEN_STACKED)
                .or_else(|| Some(format!("one {}", self.value(&layer::THICKNESS)?))),
            Asked::Board => {
                let width = self.value(&stock::WIDTH);
                if self.value(&stock::ROLL).is_some_and(|roll| roll == "true") {
                    return Some(format!("roll {}", width?));
                }
                let length = self.value(&stock::LENGTH);
                (width.is_some() || length.is_some()).then(|| {
                    let usual =
                        |side: &Key<Length>| keys::written(side.shown(self.unit()), self.unit());
                    let width = width.unwrap_or_else(|| usual(&stock::WIDTH));
                    format!(
                        "{width} x {}",
                        length.unwrap_or_else(|| usual(&stock::LENGTH))
                    )
                })
            }
            Asked::Machine => Some(format!("a cut {} {name} wide", self.value(&stock::KERF)?)),
            Asked::Paper => self.value(&paper::SIZE),
            Asked::Padding => self.value(&padding::BATTING).or_else(|| {
                let bare = self.value(&padding::WRAP_BARE)?;
                Some(format!("{bare} and {}", self.value(&padding::WRAP_PADDED)?))
            }),
            Asked::Pole => self.value(&pole::DIAMETER),
        }
    }

    /// Keeps an answer; what the reading of the file says of it then. Nothing changes where it is refused.
    ///
    /// # Errors
    /// Every reason against it.
    pub fn put(&mut self, asked: Asked, typed: &str) -> Result<Vec<Finding>, Vec<Finding>> {
        let mut with = self.clone();
        let refused = |fact| vec![Finding::of(Severity::Refusal, fact)];
        let mut said = with.write(asked, typed.trim()).map_err(refused)?;
        let known = |file: &Self| match workshop::read(&file.text(), &file.file) {
            Ok(room) => (room.findings, false),
            Err(Error::Workshop(found)) => (found, true),
            Err(_) => (Vec::new(), true),
        };
        let before = known(self).0;
        let (found, is_refused) = known(&with);
        let news = found
            .into_iter()
            .filter(|f| !before.iter().any(|b| b.says_as(f)));
        said.extend(news);
        if is_refused {
            said.retain(|f| f.severity == Severity::Refusal);
            return Err(said);
        }
        said.extend(
            with.thin(asked)
                .map(|fact| Finding::of(Severity::Warning, fact)),
        );
        *self = with;
        Ok(said)
    }

    /// Whether the height of ten sheets was perhaps that of one.
    fn thin(&self, asked: Asked) -> Option<RoomFact> {
        self.value(&layer::TEN_STACKED)
            .filter(|_| asked == Asked::Thickness)?;
        let layer = self.room().layer;
        let sold = sold::thicknesses(&layer.material, Unit::Mm);
        let thinnest = sold.first().copied()?;
        (layer.thickness < thinnest * LEAST_OF_SOLD).then_some(RoomFact::ThinSheets {
            material: layer.material,
            thickness: layer.thickness,
            sold: thinnest,
        })
    }

    /// Takes an answer away.
    pub fn remove(&mut self, asked: Asked) {
        match asked {
            Asked::Unit => {
                self.document.as_table_mut().remove("unit");
            }
            Asked::Material => self.clear(&layer::MATERIAL),
            Asked::Thickness => {
                self.clear(&layer::TEN_STACKED);
                self.clear(&layer::THICKNESS);
            }
            Asked::Board => {
                self.clear(&stock::WIDTH);
                self.clear(&stock::LENGTH);
                self.clear(&stock::ROLL);
            }
            Asked::Machine => self.clear(&stock::KERF),
            Asked::Paper => self.clear(&paper::SIZE),
            Asked::Padding => {
                self.clear(&padding::BATTING);
                self.clear(&padding::WRAP_BARE);
                self.clear(&padding::WRAP_PADDED);
            }
            // The table alone would give the form a pole.
            Asked::Pole => {
                self.document.as_table_mut().remove(pole::DIAMETER.table);
            }
        }
    }

    /// Writes an answer, unless it is none.
    fn write(&mut self, asked: Asked, typed: &str) -> Result<Vec<Finding>, RoomFact> {
        let unit = self.unit();
        let words = typed.to_lowercase();
        match asked {
            Asked::Unit => self.write_unit(typed)?,
            Asked::Material => {
                self.set(&layer::MATERIAL, typed.into());
                let kerf = self.room_anyway().map_or(0.0, |room| room.stock[0].kerf);
                let by_laser = self.value(&stock::KERF).is_some() && is_beam(kerf);
                if by_laser && material::laser(typed) == Laser::Never {
                    self.remove(Asked::Machine);
                    let material = typed.to_owned();
                    let fact = RoomFact::LaserTakenBack { material };
                    return Ok(vec![Finding::of(Severity::Warning, fact)]);
                }
            }
            Asked::Thickness => {
                self.remove(asked);
                match words.strip_prefix("one ") {
                    Some(one) => self.set(&layer::THICKNESS, length(one, unit)),
                    None => self.set(&layer::TEN_STACKED, length(typed, unit)),
                }
            }
            Asked::Board => self.write_board(typed, unit)?,
            Asked::Machine => self.write_machine(typed, unit)?,
            Asked::Paper => self.set(&paper::SIZE, typed.into()),
            Asked::Padding => {
                self.remove(asked);
                let parts: Vec<&str> = words.split(" and ").flat_map(|w| w.split(';')).collect();
                match parts.as_slice() {
                    [batting] => self.set(&padding::BATTING, length(batting, unit)),
                    [bare, padded] => {
                        self.set(&padding::WRAP_BARE, length(bare, unit));
                        self.set(&padding::WRAP_PADDED, length(padded, unit));
                    }
                    _ => {
                        let typed = units::clip(typed);
                        return Err(RoomFact::NoPadding { typed });
                    }
                }
            }
            Asked::Pole => self.set(&pole::DIAMETER, length(typed, unit)),
        }
        Ok(Vec::new())
    }

    fn write_unit(&mut self, typed: &str) -> Result<(), RoomFact> {
        let named = Unit::from_name(&typed.to_lowercase());
        let unit = named.ok_or_else(|| RoomFact::NoUnit {
            typed: units::clip(typed),
        })?;
        if self.is_begun() && unit != self.unit() {
            return Err(RoomFact::UnitIsKept);
        }
        edit::put(self.document.as_table_mut(), "unit", unit.name().into(), "");
        Ok(())
    }

    fn write_board(&mut self, typed: &str, unit: Unit) -> Result<(), RoomFact> {
        let words = typed.to_lowercase().replace('×', "x");
        self.remove(Asked::Board);
        if let Some(width) = words.strip_prefix("roll") {
            self.set(&stock::ROLL, true.into());
            self.set(&stock::WIDTH, length(width, unit));
            return Ok(());
        }
        let Some((width, long)) = words.split_once('x') else {
            let typed = units::clip(typed);
            return Err(RoomFact::NoBoard { typed });
        };
        let (width, long) = (width.trim(), long.trim());
        // A unit at the end is that of both sides.
        let bare = |side: &str| !side.contains(char::is_alphabetic) && !side.contains(['"', '\'']);
        let named = long.trim_start_matches(|c: char| !c.is_alphabetic() && !"\"'".contains(c));
        let width = if bare(width) && !named.is_empty() {
            format!("{width} {named}")
        } else {
            width.to_owned()
        };
        self.set(&stock::WIDTH, length(&width, unit));
        self.set(&stock::LENGTH, length(long, unit));
        Ok(())
    }

    fn write_machine(&mut self, typed: &str, unit: Unit) -> Result<(), RoomFact> {
        let words = typed.to_lowercase();
        let (name, width) = words
            .split_once(char::is_whitespace)
            .unwrap_or((&words, ""));
        let is = |tool: &str| !name.is_empty() && tool.starts_with(name);
        let width = width.trim();
        let wide = (!width.is_empty()).then(|| length(width, unit));
        let kerf = if is("hand") || is("knife") || is("saw") || is("cutter") {
            wide.unwrap_or_else(|| 0.into())
        } else if is("laser") {
            let material = self.room_anyway().map(|room| room.layer.material);
            let material = material.unwrap_or_default();
            if material::laser(&material) == Laser::Never {
                return Err(RoomFact::NoLaser { material });
            }
            let usual = || edit::typed(&keys::written(stock::KERF.shown(unit), unit));
            wide.unwrap_or_else(usual)
        } else if is("router") {
            wide.ok_or(RoomFact::NoBit)?
        } else {
            let typed = units::clip(typed);
            return Err(RoomFact::NoMachine { typed });
        };
        self.set(&stock::KERF, kerf);
        Ok(())
    }

    /// The room, where it is one while an answer is being written.
    fn room_anyway(&self) -> Option<Workshop> {
        workshop::read(&self.text(), &self.file).ok()
    }

    /// The table of a key: of several the first, which is the one that is built with.
    fn table(&self, name: &str) -> Option<&dyn TableLike> {
        match self.document.get(name)? {
            Item::ArrayOfTables(all) => all.get(0).map(|t| -> &dyn TableLike { t }),
            item => item.as_table_like(),
        }
    }

    /// What stands at a key, as a person reads it: in inches with fractions.
    fn value<K>(&self, key: &Key<K>) -> Option<String> {
        let value = self.table(key.table)?.get(key.key)?.as_value()?;
        let number = value
            .as_float()
            .or_else(|| value.as_integer().map(|n| n as f64));
        Some(match number {
            Some(n) if self.unit() == Unit::In => inch_fraction(n).unwrap_or_else(|| trimmed(n, 4)),
            Some(n) => trimmed(n, 4),
            None => edit::shown(value),
        })
    }

    fn set<K>(&mut self, key: &Key<K>, value: Value) {
        let root = self.document.as_table_mut();
        if !root.contains_key(key.table) {
            let mut table = Table::new();
            table.decor_mut().set_prefix("\n");
            root.insert(key.table, Item::Table(table));
        }
        let table: Option<&mut dyn TableLike> = match root.get_mut(key.table) {
            Some(Item::ArrayOfTables(all)) => all.get_mut(0).map(|t| -> &mut dyn TableLike { t }),
            Some(item) => item.as_table_like_mut(),
            None => None,
        };
        if let Some(table) = table {
            edit::put(table, key.key, value, "");
        }
    }

    fn clear<K>(&mut self, key: &Key<K>) {
        let table: Option<&mut dyn TableLike> = match self.document.get_mut(key.table) {
            Some(Item::ArrayOfTables(all)) => all.get_mut(0).map(|t| -> &mut dyn TableLike { t }),
            Some(item) => item.as_table_like_mut(),
            None => None,
        };
        if let Some(table) = table {
            table.remove(key.key);
        }
    }
}

/// Whether a cut as wide as this (mm) is that of a laser.
fn is_beam(kerf: f64) -> bool {
    kerf > 0.0 && kerf <= WIDEST_BEAM
}

/// A length as a workshop file has it: a number in its unit, or words. Feet and metres are in its unit, and a
/// decimal comma is a point.
fn length(typed: &str, unit: Unit) -> Value {
    let typed = typed.trim();
    let pointed = units::decimal_comma(typed).unwrap_or_else(|| typed.to_owned());
    let words = match units::in_another_unit(&pointed) {
        Some(mm) => unit.show(mm),
        None => pointed,
    };
    edit::typed(&words)
}
