//! A date as people type it, for the sheet: year, month, day.

use crate::sheet::entry::facts::DateFact;
use crate::units;

/// The months by their names; a word of three letters or more that begins one of them names it.
const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];
/// A sheet of a year before this, or after [`LAST_YEAR`], is mistyped.
const FIRST_YEAR: u32 = 1900;
const LAST_YEAR: u32 = 2199;

/// Reads `2026-03-14`, `14 March 2026`, `March 14, 2026`, `14.3.2026`, `3/14/2026` and writes it as
/// `2026-03-14`.
///
/// # Errors
/// [`DateFact`] with what to type instead: no date, one that can be read in two ways, or a day that
/// the month does not have.
pub fn parse_date(text: &str) -> Result<String, DateFact> {
    let typed = || units::clip(text.trim());
    let lower = text.trim().to_lowercase();
    if ["today", "now", "yesterday"].contains(&lower.as_str()) {
        return Err(DateFact::NotWrittenOut { typed: typed() });
    }
    let none = || DateFact::NoDate { typed: typed() };
    let parts: Vec<&str> = lower
        .split(|c: char| c.is_whitespace() || ",./-".contains(c))
        .filter(|p| !p.is_empty())
        .collect();
    let [a, b, c] = parts.as_slice() else {
        return Err(none());
    };
    let month = |word: &str| {
        let named = |m: &&str| word.len() >= 3 && m.starts_with(word);
        MONTHS.iter().position(named).map(|i| i + 1)
    };
    let number = |word: &str| -> Option<usize> {
        let digits = ["st", "nd", "rd", "th"]
            .iter()
            .find_map(|end| word.strip_suffix(end))
            .unwrap_or(word);
        (digits.len() <= 4 && digits.bytes().all(|b| b.is_ascii_digit()))
            .then(|| digits.parse().ok())
            .flatten()
    };
    let year = |word: &str| -> Result<u32, DateFact> {
        match word.parse::<u32>() {
            Ok(y) if word.len() == 4 && (FIRST_YEAR..=LAST_YEAR).contains(&y) => Ok(y),
            Ok(_) => Err(DateFact::NoYear {
                typed: units::clip(word),
            }),
            Err(_) => Err(none()),
        }
    };
    let first_is_year = a.len() == 4 && a.bytes().all(|b| b.is_ascii_digit());
    let (y, m, d) = if let (Some(m), Some(d)) = (month(b), number(a)) {
        if first_is_year {
            // The day may stand last: 2026 March 14.
            (year(a)?, m, number(c).ok_or_else(none)?)
        } else {
            (year(c)?, m, d)
        }
    } else if let (Some(m), Some(d)) = (month(a), number(b)) {
        (year(c)?, m, d)
    } else {
        let (Some(first), Some(second), Some(third)) = (number(a), number(b), number(c)) else {
            return Err(none());
        };
        if first_is_year {
            (year(a)?, second, third)
        } else {
            let y = year(c)?;
            // With points the day is first, as wherever dates are written with points; with
            // strokes some begin with the day and some with the month.
            if text.contains('.') || first > 12 || first == second {
                (y, second, first)
            } else if second > 12 {
                (y, first, second)
            } else {
                return Err(DateFact::TwoWays {
                    typed: typed(),
                    year: y as usize,
                    first,
                    second,
                });
            }
        }
    };
    let last = match m {
        1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
        4 | 6 | 9 | 11 => 30,
        2 if (y % 4 == 0 && y % 100 != 0) || y % 400 == 0 => 29,
        2 => 28,
        _ => 0,
    };
    if !(1..=last).contains(&d) {
        return Err(DateFact::NoDay { typed: typed() });
    }
    Ok(format!("{y}-{m:02}-{d:02}"))
}

/// When a body was measured, and by whom, as far as somebody says it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Taken {
    /// The day, as `2026-03-14`.
    pub on: Option<String>,
    /// Who read the tape.
    pub by: Option<String>,
}

/// Reads a date, who measured, or both: `14 March 2026`, `14 March 2026 by Ada`, `by Ada`.
///
/// # Errors
/// As for [`parse_date`].
pub fn parse_taken(text: &str) -> Result<Taken, DateFact> {
    let words: Vec<&str> = text.split_whitespace().collect();
    let at = words.iter().position(|w| w.eq_ignore_ascii_case("by"));
    let (date, by) = words.split_at(at.unwrap_or(words.len()));
    let by = by.get(1..).unwrap_or_default().join(" ");
    let date = date.join(" ");
    let on = if date.is_empty() && !by.is_empty() {
        None
    } else {
        Some(parse_date(&date)?)
    };
    Ok(Taken {
        on,
        by: (!by.is_empty()).then_some(by),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fact::Fact as _;
    use crate::text::Reader;
    use proptest::prelude::*;

    #[test]
    fn dates_are_read_as_people_type_them() {
        for text in [
            "2026-03-14",
            "2026/3/14",
            "14 March 2026",
            "14th mar 2026",
            "March 14, 2026",
            "14.3.2026",
            "14. 3. 2026",
            "3/14/2026",
            "14/3/2026",
            "14-03-2026",
            "2026 March 14",
        ] {
            assert_eq!(parse_date(text).expect(text), "2026-03-14", "{text}");
        }
        assert_eq!(parse_date("29 feb 2028").unwrap(), "2028-02-29");
        assert_eq!(parse_date("3/3/2026").unwrap(), "2026-03-03");
    }

    #[test]
    fn one_line_says_when_and_by_whom() {
        let taken = |on: Option<&str>, by: Option<&str>| Taken {
            on: on.map(str::to_owned),
            by: by.map(str::to_owned),
        };
        let day = Some("2026-03-14");
        for (text, found) in [
            ("14 March 2026", taken(day, None)),
            (
                "14.3.2026 by Ada of the wardrobe",
                taken(day, Some("Ada of the wardrobe")),
            ),
            ("By Ada", taken(None, Some("Ada"))),
            ("2026-03-14 by", taken(day, None)),
        ] {
            assert_eq!(parse_taken(text).expect(text), found, "{text}");
        }
        assert_eq!(parse_taken("Ada").expect_err("no date").name(), "NoDate");
        assert_eq!(parse_taken("by").expect_err("nobody").name(), "NoDate");
    }

    #[test]
    fn what_is_no_date_is_told_what_to_type() {
        let name = |text: &str| parse_date(text).expect_err(text).name();
        for (text, fact) in [
            ("today", "NotWrittenOut"),
            ("14 March", "NoDate"),
            ("14 Mars 2026", "NoDate"),
            ("31 April 2026", "NoDay"),
            ("29.2.2026", "NoDay"),
            ("14/3/26", "NoYear"),
            ("2026-13-01", "NoDay"),
            ("half past nine", "NoDate"),
        ] {
            assert_eq!(name(text), fact, "{text}");
        }
        let why = parse_date("3/4/2026").expect_err("two ways");
        assert_eq!(
            why.hint().plain(Reader::default()),
            "type 2026-04-03 or 2026-03-04: year, month, day"
        );
    }

    proptest! {
        #[test]
        fn no_text_panics(text in ".*") {
            let _ = parse_date(&text);
        }
    }
}
