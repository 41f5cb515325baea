//! The text of a sheet that is being filled in. Whatever else somebody wrote into it, comments
//! included, stays as it is.

use toml_edit::DocumentMut;
use toml_edit::InlineTable;
use toml_edit::Item;
use toml_edit::Table;
use toml_edit::Value;

use super::answer::{Answer, Settled};
use super::written;
use crate::error::{Error, Finding, Severity};
use crate::measure::{Kind, Measure, Side};
use crate::sheet;
use crate::sheet::facts::SheetFact;
use crate::sheet::shown::written_as;
use crate::sheet::{Averages, Figure, Posture, WaistKind};
use crate::source::edit::put;
use crate::units::Unit;

/// Tables of a sheet in the order in which they stand.
const TABLES: [&str; 10] = [
    "girth", "arc", "length", "breadth", "depth", "height", "slope", "wall", "plumb", "shape",
];
/// Room between the positions of two tables, for those that come later; more than [`TABLES`].
const ROOM: isize = 64;

/// What stands above a new sheet.
pub(super) const HEADING: &str = "\
# A measurement sheet: one body, nothing else. A number is in the sheet's unit; words carry their own
# (\"37 7/8 in\"); `within` says how sure a reading is; what is not here is estimated.
# `layfigure new` with this file's name asks on where it stopped, `check` looks at it, `build` makes
# the form.

";

/// A key of the sheet's head.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Head {
    /// `name`
    Name,
    /// `taken`
    Taken,
    /// `taken_by`
    TakenBy,
    /// `unit`
    Unit,
    /// `figure`
    Figure,
    /// `waist`
    Waist,
    /// `worn`
    Worn,
}

impl Head {
    const fn key(self) -> &'static str {
        match self {
            Self::Name => "name",
            Self::Taken => "taken",
            Self::TakenBy => "taken_by",
            Self::Unit => "unit",
            Self::Figure => "figure",
            Self::Waist => "waist",
            Self::Worn => "worn",
        }
    }
}

/// A sheet being filled in.
#[derive(Clone, Debug)]
pub struct Draft {
    document: DocumentMut,
    file: String,
}

impl Draft {
    /// An empty sheet that will be kept in `file`.
    #[must_use]
    pub fn blank(file: &str) -> Self {
        Self {
            document: DocumentMut::new(),
            file: file.to_owned(),
        }
    }

    /// Goes on with the text of a sheet.
    ///
    /// # Errors
    /// [`Error::Sheet`] with every reason why `new` cannot go on with the text: it is not TOML, or
    /// holds what is not part of a sheet.
    pub fn open(text: &str, file: &str) -> Result<Self, Error> {
        let found = sheet::look(text, file);
        // Values are the person's to mend while answering; what has no place in a sheet is not.
        let refused = |f: &Finding| f.severity == Severity::Refusal && f.measure.is_none();
        match text.parse::<DocumentMut>() {
            Ok(document) if of_a_workshop(&document) => Err(Error::Sheet(vec![Finding::of(
                Severity::Refusal,
                SheetFact::OfAWorkshop,
            )])),
            Ok(mut document) if !strange(&document) => {
                spread(document.as_table_mut());
                Ok(Self {
                    document,
                    file: file.to_owned(),
                })
            }
            _ if found.iter().any(refused) => {
                Err(Error::Sheet(found.into_iter().filter(refused).collect()))
            }
            _ => Err(Error::Sheet(vec![Finding::of(
                Severity::Refusal,
                SheetFact::NoSheet,
            )])),
        }
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

    /// Keeps the sheet under another name of a file.
    pub fn rename(&mut self, file: &str) {
        file.clone_into(&mut self.file);
    }

    /// The unit of a bare number, where the sheet says one.
    #[must_use]
    pub fn unit(&self) -> Option<Unit> {
        let name = self.document.get("unit")?.as_str()?;
        Unit::ALL.into_iter().find(|u| u.name() == name)
    }

    /// Whose figure it is, where the sheet says so.
    #[must_use]
    pub fn figure(&self) -> Option<Figure> {
        let item = self.document.get("figure")?;
        if let Some(name) = item.as_str() {
            return Figure::of_name(name);
        }
        let shares = item.as_table_like()?;
        let share = |figure: Figure| {
            let item = shares.get(figure.name())?;
            item.as_float()
                .or_else(|| item.as_integer().map(|n| n as f64))
        };
        let averages = Averages::new(|figure| share(figure).unwrap_or(0.0).max(0.0));
        Some(averages.first())
    }

    /// Whether the sheet is of somebody who sits.
    #[must_use]
    pub fn is_seated(&self) -> bool {
        let word = self.document.get("posture").and_then(Item::as_str);
        word.is_some_and(|word| Posture::NAMED.contains(&(word, Posture::Seated)))
    }

    /// Which waist is measured; the natural one, where the sheet names none.
    #[must_use]
    pub fn waist(&self) -> WaistKind {
        let word = self.head(Head::Waist);
        word.and_then(|word| WaistKind::of_name(&word))
            .unwrap_or(WaistKind::Natural)
    }

    /// What stands at a key of the head, as a person reads it.
    #[must_use]
    pub fn head(&self, key: Head) -> Option<String> {
        let held = || self.document.get("supported")?.as_bool();
        let Some(value) = self.document.get(key.key()).and_then(Item::as_value) else {
            // What sheets of earlier versions say of it.
            let worn = (key == Head::Worn).then(held).flatten()?;
            return Some(if worn { "bra" } else { "none" }.to_owned());
        };
        Some(match value.as_str() {
            Some(words) => words.to_owned(),
            None => written::bare(value),
        })
    }

    /// Writes a key of the head: words, a date as `2026-03-14`, or shares of figures as
    /// `{ woman = 0.5, man = 0.5 }`.
    pub fn set_head(&mut self, key: Head, words: &str) {
        let value: Value = match key {
            Head::Taken => match words.parse::<toml_edit::Datetime>() {
                Ok(date) => date.into(),
                Err(_) => words.into(),
            },
            Head::Figure => match words.parse::<Value>() {
                Ok(shares @ Value::InlineTable(_)) => shares,
                _ => words.into(),
            },
            _ => words.into(),
        };
        if key == Head::Worn {
            self.document.as_table_mut().remove("supported");
        }
        put(self.document.as_table_mut(), key.key(), value, "");
    }

    /// Takes a key of the head away.
    pub fn clear_head(&mut self, key: Head) {
        self.document.as_table_mut().remove(key.key());
        if key == Head::Worn {
            self.document.as_table_mut().remove("supported");
        }
    }

    /// What stands at a measurement, as a person reads it: `96.5`, `left 13.0, right 13.4`.
    #[must_use]
    pub fn given(&self, measure: Measure) -> Option<String> {
        let (table, key) = self.place(measure);
        let item = self.document.get(table)?.get(key)?;
        let inches = self.unit() == Some(Unit::In) && measure.kind() != Kind::Slope;
        Some(written::shown(item, inches))
    }

    /// Whether what stands at a measurement carries its own unit.
    #[must_use]
    pub fn names_its_unit(&self, measure: Measure) -> bool {
        let (table, key) = self.place(measure);
        let item = self.document.get(table).and_then(|table| table.get(key));
        item.is_some_and(written::names_its_unit)
    }

    /// How many measurements stand in it.
    #[must_use]
    pub fn count(&self) -> usize {
        let all = Measure::ALL.into_iter().filter(|m| m.is_sheet_key());
        all.filter(|m| self.given(*m).is_some()).count()
    }

    /// Writes an answer. Several readings of one side become their mean, or the middle one of three,
    /// with a half-width that reaches from one to the other; all of them stay as a comment.
    pub fn put(&mut self, measure: Measure, answer: &Answer) {
        let unit = self.unit().unwrap_or(Unit::Mm);
        let sides: Vec<(Side, Value)> = answer
            .sides()
            .filter_map(|(side, tries)| Some((side, written::value(tries, unit)?)))
            .collect();
        let whole = match sides.as_slice() {
            [(Side::Both, one)] => one.clone(),
            _ => {
                let mut table = InlineTable::new();
                for (side, value) in sides {
                    let key = if side == Side::Left { "left" } else { "right" };
                    table.insert(key, value);
                }
                Value::InlineTable(table)
            }
        };
        let (table, key) = self.place(measure);
        put(self.table(table), key, whole, &written::comment(answer));
    }

    /// Writes what readings of each side came to, with a half-width where they differ, and a comment.
    pub(super) fn put_settled(
        &mut self,
        measure: Measure,
        sides: &[(Side, Settled)],
        sure: bool,
        comment: &str,
    ) {
        let unit = self.unit().unwrap_or(Unit::Mm);
        let kind = (
            measure.kind() == Kind::Slope,
            measure == Measure::ShoulderDrop,
        );
        let one = |settled: &Settled| written::settled(*settled, kind.0, kind.1, sure, unit);
        let whole = match sides {
            [(Side::Both, settled)] => one(settled),
            _ => {
                let mut table = InlineTable::new();
                for (side, settled) in sides {
                    let key = if *side == Side::Left { "left" } else { "right" };
                    table.insert(key, one(settled));
                }
                Value::InlineTable(table)
            }
        };
        let (table, key) = self.place(written_as(measure));
        put(self.table(table), key, whole, comment);
    }

    /// Takes a measurement away.
    pub fn remove(&mut self, measure: Measure) {
        let (table, key) = self.place(measure);
        if let Some(table) = self
            .document
            .get_mut(table)
            .and_then(Item::as_table_like_mut)
        {
            table.remove(key);
        }
    }

    /// The word that stands at a key of `[shape]`.
    #[must_use]
    pub fn shape(&self, key: &str) -> Option<String> {
        let value = self.document.get("shape")?.get(key)?.as_value()?;
        value.as_str().map(str::to_owned)
    }

    /// Writes a word below `[shape]`, or takes it away.
    pub fn set_shape(&mut self, key: &str, word: Option<&str>) {
        match word {
            Some(word) => put(self.table("shape"), key, word.into(), ""),
            None => {
                if let Some(t) = self
                    .document
                    .get_mut("shape")
                    .and_then(Item::as_table_like_mut)
                {
                    t.remove(key);
                }
            }
        }
    }

    /// Everything that can be said of what stands in it so far.
    #[must_use]
    pub fn findings(&self) -> Vec<Finding> {
        sheet::look(&self.text(), &self.file)
    }

    /// What can be said of an answer before it is written: whether no body at all could have it,
    /// and every finding that it would bring.
    #[must_use]
    pub fn judge(&self, measure: Measure, answer: &Answer) -> (bool, Vec<Finding>) {
        let mut alone = Self::blank(&self.file);
        for key in [Head::Unit, Head::Figure, Head::Waist, Head::Worn] {
            if let Some(words) = self.head(key) {
                alone.set_head(key, &words);
            }
        }
        alone.put(measure, answer);
        let refused = |f: &Finding| f.severity == Severity::Refusal;
        let impossible = alone.findings().iter().any(refused);
        let before = self.findings();
        let mut with = self.clone();
        with.put(measure, answer);
        let mut found = with.findings();
        // Where two readings are perhaps swapped, neither is set against a third. Once both are
        // kept, each of them must be.
        let own = |f: &Finding| f.fact.message().names(written_as(measure));
        for other in before.iter().filter_map(|f| f.measure) {
            if other != measure {
                let mut less = with.clone();
                less.remove(other);
                let about = less.findings().into_iter();
                found.extend(about.filter(own));
            }
        }
        let said = |f: &Finding| before.iter().any(|b| b.says_as(f));
        found.retain(|f| (refused(f) || !impossible) && !said(f));
        let mut once: Vec<Finding> = Vec::new();
        for f in found {
            if !once.iter().any(|o| o.says_as(&f)) && f.severity > Severity::Note {
                once.push(f);
            }
        }
        (impossible, once)
    }

    /// What no form can be made without and is not there: a back length stands for the stature, and
    /// the other way round.
    #[must_use]
    pub fn missing(&self) -> Vec<Measure> {
        Measure::lacking(|m| self.given(m).is_some())
    }

    /// Table and key of a measurement: men and children may have `chest` for `bust`.
    fn place(&self, measure: Measure) -> (&'static str, &'static str) {
        let (table, key) = measure.table_and_key();
        let chest = self.document.get(table).and_then(|t| t.get("chest"));
        if key == "bust" && chest.is_some() {
            (table, "chest")
        } else {
            (table, key)
        }
    }

    /// The table of this name; a new one stands where a reader looks for it.
    fn table(&mut self, name: &str) -> &mut dyn toml_edit::TableLike {
        let order = |n: &str| TABLES.iter().position(|t| *t == n);
        let own = order(name).unwrap_or(TABLES.len());
        let before = self
            .document
            .iter()
            .filter(|(n, _)| order(n).is_some_and(|i| i < own))
            .filter_map(|(_, item)| item.as_table()?.position())
            .max();
        let position = before.map_or(-ROOM, |p| p.div_euclid(ROOM) * ROOM) + own as isize + 1;
        let root = self.document.as_table_mut();
        // A value of that name in the head has been refused on opening.
        if !root.get(name).is_some_and(Item::is_table_like) {
            let mut table = Table::new();
            table.set_position(Some(position));
            table.decor_mut().set_prefix("\n");
            root.insert(name, Item::Table(table));
        }
        match root.get_mut(name).and_then(Item::as_table_like_mut) {
            Some(table) => table,
            None => unreachable!("a table of this name has just been put in"),
        }
    }
}

/// Whether the tables are those of a workshop file.
fn of_a_workshop(document: &DocumentMut) -> bool {
    const TABLES: [&str; 5] = ["layer", "stock", "dowel", "padding", "paper"];
    TABLES.iter().any(|t| document.contains_key(t))
}

/// Whether something that should be a table is none.
fn strange(document: &DocumentMut) -> bool {
    TABLES
        .iter()
        .any(|t| document.get(t).is_some_and(|item| !item.is_table_like()))
}

/// Makes room between the positions of tables.
fn spread(table: &mut Table) {
    if let Some(p) = table.position() {
        table.set_position(Some(p * ROOM));
    }
    for (_, item) in table.iter_mut() {
        if let Some(inner) = item.as_table_mut() {
            spread(inner);
        }
    }
}
