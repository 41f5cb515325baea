//! The `[paper]` of a workshop file.

use crate::error::Severity;
use crate::source::Source;
use crate::units;
use crate::workshop::facts::{WorkshopFact, refuse, say, show};
use crate::workshop::keys::paper;
use crate::workshop::paper::{SIZES, size};
use crate::workshop::part::Part;
use crate::workshop::{Paper, Workshop};

/// Longest page cut off a roll when the file does not say, mm (our choice: what two people can
/// still handle on a floor).
const ROLL_PAGE: f64 = 3000.0;

/// Reads it; what it does not say is as in the default workshop.
pub(super) fn read<'a>(source: &mut Source<'a>, part: &Part<'_, 'a>) -> Paper {
    let mut sheet = Workshop::default().paper;
    let unit = part.unit;
    if let Some(value) = part.value(&paper::SIZE)
        && let Some(words) = source.words(&paper::SIZE.dotted(), value)
    {
        let at = value.span();
        if let Some(width) = words.trim().to_lowercase().strip_prefix("roll") {
            match units::parse_length(width, unit) {
                _ if width.trim().is_empty() => {
                    refuse(source, at, WorkshopFact::RollWithoutWidth);
                }
                Ok(width) if (100.0..=2000.0).contains(&width) => {
                    sheet.name = format!("roll {}", show(unit, width));
                    sheet.width = width;
                    sheet.height = ROLL_PAGE;
                    sheet.roll = true;
                }
                Ok(width) => refuse(source, at, WorkshopFact::NoSuchRoll { width, unit }),
                Err(why) => source.misread(&paper::SIZE.dotted(), value, why),
            }
        } else if let Some((name, width, height)) = size(words) {
            if (100.0..=2000.0).contains(&width) && height <= 5000.0 {
                sheet.name = name;
                sheet.width = width;
                sheet.height = height;
            } else {
                let size = [width, height];
                refuse(source, at, WorkshopFact::NoPage { size, unit });
            }
        } else {
            let fact = WorkshopFact::NoSuchPaper {
                typed: units::clip(words),
                known: SIZES.iter().map(|(name, ..)| *name).collect(),
            };
            refuse(source, at, fact);
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
