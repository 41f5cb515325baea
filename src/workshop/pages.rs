//! The `[paper]` of a workshop file.

use toml::de::DeTable;

use crate::source;
use crate::source::Source;
use crate::source::Value;
use crate::units;
use crate::workshop::Paper;
use crate::workshop::Workshop;
use crate::workshop::paper;
use crate::workshop::part::Part;
use crate::workshop::part::show;

/// Longest page cut off a roll when the file does not say, mm (our choice: what two people can
/// still handle on a floor).
const ROLL_PAGE: f64 = 3000.0;
/// Reads it; what it does not say is as in the default workshop.
pub(super) fn read<'a>(source: &mut Source<'a>, part: &Part, table: &DeTable<'a>) -> Paper {
    let mut sheet = Workshop::default().paper;
    if let Some(value) = table.get("size")
        && let Some(words) = source.words("paper.size", value)
    {
        if let Some(width) = words.trim().to_lowercase().strip_prefix("roll") {
            match units::parse_length(width, part.unit) {
                _ if width.trim().is_empty() => source.refuse(
                    value.span(),
                    "`paper.size` does not say how wide the roll is",
                    "common rolls are 610, 762, 914 and 1067 mm wide: \"roll 610 mm\"",
                ),
                Ok(width) if (100.0..=2000.0).contains(&width) => {
                    sheet.name = format!("roll {}", show(part.unit, width));
                    sheet.width = width;
                    sheet.height = ROLL_PAGE;
                    sheet.roll = true;
                }
                Ok(width) => source.refuse(
                    value.span(),
                    format!("a paper roll {} wide is not made", show(part.unit, width)),
                    "common rolls are 610, 762, 914 and 1067 mm wide: \"roll 610 mm\"",
                ),
                Err(why) => source.misread("paper.size", value, why),
            }
        } else if let Some((name, width, height)) = paper::size(words) {
            if (100.0..=2000.0).contains(&width) && height <= 5000.0 {
                sheet.name = name;
                sheet.width = width;
                sheet.height = height;
            } else {
                source.refuse(
                    value.span(),
                    format!(
                        "`paper.size` of {} by {} is not a page",
                        show(part.unit, width),
                        show(part.unit, height)
                    ),
                    "100 to 2000 mm by up to 5000 mm is possible",
                );
            }
        } else {
            let names: Vec<&str> = paper::SIZES.iter().map(|(name, ..)| *name).collect();
            source.refuse(
                value.span(),
                format!("`paper.size` \"{}\" is not known", units::clip(words)),
                format!(
                    "write {}, or \"roll 610 mm\", or two sides like \"300 x 420 mm\"",
                    source::list(&names, '"')
                ),
            );
        }
    }
    part.length(source, table, "margin", &mut sheet.margin);
    part.length(source, table, "overlap", &mut sheet.overlap);
    let mut length = 0.0;
    if part.length(source, table, "length", &mut length) && length > 0.0 {
        if sheet.roll {
            sheet.height = length;
        } else {
            part.warn(
                source,
                table,
                "length",
                "only a roll has a longest page: it is not used",
                "delete the line, or write `size = \"roll 610 mm\"`",
            );
        }
    }
    if let Some(most) = part.count(source, table, "outlines", 1..=Paper::MOST_OUTLINES) {
        sheet.outlines = most;
    }
    if let Some(value) = table.get("fold") {
        sheet.fold = source.truth("paper.fold", value).unwrap_or(sheet.fold);
    }
    if let Some(value) = table.get("printed")
        && let Some(words) = source.words("paper.printed", value)
    {
        match sheet.measured(words) {
            Ok(printed) => sheet.printed = Some(printed),
            Err(why) => source.refuse(
                value.span(),
                format!(
                    "`paper.printed` cannot be \"{}\": {why}",
                    units::clip(words)
                ),
                "write what the bars of a test page measured, along the page and across it: \
                 \"198.5x99.4\"",
            ),
        }
    }
    // A page must show more than its own borders.
    if sheet.width - 2.0 * sheet.margin < 2.0 * sheet.overlap.max(20.0) {
        let at = table
            .get("overlap")
            .or_else(|| table.get("margin"))
            .map_or(0..0, Value::span);
        source.refuse(
            at,
            format!(
                "margin and overlap leave nothing of a page {} wide",
                show(part.unit, sheet.width)
            ),
            "a margin of 5 to 15 mm and an overlap of 10 to 20 mm are usual",
        );
    }
    sheet
}
