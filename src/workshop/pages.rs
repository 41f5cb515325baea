//! The `[paper]` of a workshop file.

use crate::error::{Error, Severity};
use crate::source::Source;
use crate::units;
use crate::units::{Misread, Unit};
use crate::workshop::facts::{WorkshopFact, refuse, say, show};
use crate::workshop::keys::paper;
use crate::workshop::paper::{SIZES, size};
use crate::workshop::part::TablePart;
use crate::workshop::{Paper, Workshop};

/// Longest page cut off a roll when the file does not say, mm (our choice: what two people can
/// still handle on a floor).
const ROLL_PAGE: f64 = 3000.0;

/// A size of paper.
#[derive(Clone, Debug, PartialEq)]
pub struct PaperSize {
    name: String,
    width: f64,
    height: f64,
    roll: bool,
}

/// Why words name no paper.
pub(super) enum NoPaper {
    Fact(WorkshopFact),
    Misread(Misread),
}

impl PaperSize {
    /// The paper that words name, as `paper.size` has them: `A3`, `Letter`, `300 x 420 mm`, `roll 610 mm`;
    /// the bare width of a roll is in `unit`.
    ///
    /// # Errors
    /// Why there is none.
    pub fn of(words: &str, unit: Unit) -> Result<Self, Error> {
        Self::named(words, unit).map_err(|why| match why {
            NoPaper::Fact(fact) => Error::request(fact),
            NoPaper::Misread(_) => Error::request(WorkshopFact::RollWithoutWidth),
        })
    }

    fn named(words: &str, unit: Unit) -> Result<Self, NoPaper> {
        let no = |fact| Err(NoPaper::Fact(fact));
        if let Some(width) = words.trim().to_lowercase().strip_prefix("roll") {
            if width.trim().is_empty() {
                return no(WorkshopFact::RollWithoutWidth);
            }
            let width = units::parse_length(width, unit).map_err(NoPaper::Misread)?;
            if !(100.0..=2000.0).contains(&width) {
                return no(WorkshopFact::NoSuchRoll { width, unit });
            }
            return Ok(Self {
                name: format!("roll {}", show(unit, width)),
                width,
                height: ROLL_PAGE,
                roll: true,
            });
        }
        let Some((name, width, height)) = size(words) else {
            return no(WorkshopFact::NoSuchPaper {
                typed: units::clip(words),
                known: SIZES.iter().map(|(name, ..)| *name).collect(),
            });
        };
        if !(100.0..=2000.0).contains(&width) || height > 5000.0 {
            let size = [width, height];
            return no(WorkshopFact::NoPage { size, unit });
        }
        Ok(Self {
            name,
            width,
            height,
            roll: false,
        })
    }

    /// Takes it for `paper`, whose borders and ways of drawing stay.
    pub fn lay_into(self, paper: &mut Paper) {
        paper.name = self.name;
        paper.width = self.width;
        paper.height = self.height;
        paper.roll = self.roll;
    }
}

/// Reads it; what it does not say is as in the usual workshop.
pub(super) fn read<'a>(source: &mut Source<'a>, part: &TablePart<'_, 'a>) -> Paper {
    let unit = part.unit;
    let mut sheet = Workshop::usual(unit).paper;
    if let Some(value) = part.value(&paper::SIZE)
        && let Some(words) = source.words(&paper::SIZE.dotted(), value)
    {
        match PaperSize::named(words, unit) {
            Ok(size) => size.lay_into(&mut sheet),
            Err(NoPaper::Fact(fact)) => refuse(source, value.span(), fact),
            Err(NoPaper::Misread(why)) => source.misread(&paper::SIZE.dotted(), value, why),
        }
    }
    part.length_into(source, &paper::MARGIN, &mut sheet.margin);
    part.length_into(source, &paper::OVERLAP, &mut sheet.overlap);
    if let Some(length) = part.length(source, &paper::LENGTH) {
        if sheet.roll {
            sheet.height = length;
        } else {
            let at = part.at(&paper::LENGTH);
            say(source, Severity::Warning, at, WorkshopFact::NoRoll);
        }
    }
    if let Some(most) = part.count(source, &paper::OUTLINES) {
        // One is one still, and the usual number is what everybody gets.
        if most > 1 && most != sheet.outlines {
            let at = part.at(&paper::OUTLINES);
            say(source, Severity::Note, at, WorkshopFact::LinesNest { most });
        }
        sheet.outlines = most;
    }
    sheet.fold = part.truth(source, &paper::FOLD).unwrap_or(sheet.fold);
    if let Some(value) = part.value(&paper::PRINTED)
        && let Some(words) = source.words(&paper::PRINTED.dotted(), value)
    {
        match sheet.measured(words) {
            Ok(printed) => sheet.printed = Some(printed),
            Err(why) => {
                let typed = units::clip(words);
                refuse(
                    source,
                    value.span(),
                    WorkshopFact::NotPrinted { typed, why },
                );
            }
        }
    }
    // A page must show more than its own borders.
    if sheet.width - 2.0 * sheet.margin < 2.0 * sheet.overlap.max(20.0) {
        let at = if part.has(&paper::OVERLAP) {
            part.at(&paper::OVERLAP)
        } else {
            part.at(&paper::MARGIN)
        };
        let width = sheet.width;
        refuse(source, at, WorkshopFact::NothingOfPage { width, unit });
    }
    sheet
}
