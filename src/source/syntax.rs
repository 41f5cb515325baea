//! Why a line is not TOML, in plain words, and how to write it.

use crate::source::facts::SourceFact;
use crate::units;
use crate::units::alike;
use crate::units::alike::Alike;

/// What is the matter with a `line` that is not TOML below the lines `above`.
pub(super) fn explained(above: &str, line: &str) -> SourceFact {
    let code = code_of(line);
    let value = code.split_once('=').map_or("", |(_, value)| value.trim());
    let bare = code.split('=').next().unwrap_or_default().trim();
    let key = units::clip(bare);
    if let Some(pointed) = units::decimal_comma(code) {
        SourceFact::CommaInLine {
            key,
            pointed: units::clip(pointed.trim()),
        }
    } else if stands_in(above, code) {
        SourceFact::KeyTwice { key }
    } else if let Some(found) = looks_plain(code) {
        found
    } else if !code.contains('=') || code.trim_start().starts_with('[') {
        SourceFact::NoLine
    } else if value.is_empty() {
        SourceFact::NoValue { key }
    } else if let Some(odd) = bare
        .chars()
        .find(|c| !c.is_ascii() && !bare.contains(['"', '\'']))
    {
        SourceFact::OddSign {
            key,
            sign: odd.to_string(),
        }
    } else if let [whole, rest @ ..] = value.split('.').collect::<Vec<_>>().as_slice()
        && rest.len() > 1
        && value.bytes().all(|c| c.is_ascii_digit() || c == b'.')
    {
        // `14.1.4` may be 14 1/4.
        let number = |words: &str| words.parse::<u32>().ok().filter(|n| *n > 0);
        let fraction = match rest {
            [top, bottom] => number(top).zip(number(bottom)).filter(|(a, b)| a < b),
            _ => None,
        };
        SourceFact::TwoPoints {
            key,
            value: units::clip(value),
            decimal: units::clip(&format!("{whole}.{}", rest.concat())),
            fraction: fraction.map(|(a, b)| format!("{whole} {a}/{b}")),
        }
    } else if value.starts_with(|c: char| c.is_ascii_digit() || "+-.".contains(c)) {
        SourceFact::NoQuotedUnit {
            key,
            value: units::clip(value),
        }
    } else {
        quotes(key, value)
    }
}

/// A line without its comment.
fn code_of(line: &str) -> &str {
    line.split('#').next().unwrap_or_default()
}

/// Whether the key of a line stands in its table already, or the head of a table in the lines above.
fn stands_in(above: &str, code: &str) -> bool {
    let is_head = |code: &str| code.trim_start().starts_with('[');
    let mut lines = above.lines().rev().map(code_of);
    if is_head(code) {
        return lines.any(|other| other.trim() == code.trim());
    }
    let key = |code: &str| code.split_once('=').map(|(key, _)| key.trim().to_owned());
    key(code).is_some_and(|key_here| {
        lines
            .take_while(|other| !is_head(other))
            .any(|other| key(other).as_ref() == Some(&key_here))
    })
}

/// A line that looks right and is not, since signs in it only look like those of a file: which, and the
/// line in plain ones. What stands in quotes may be anything.
fn looks_plain(code: &str) -> Option<SourceFact> {
    let mut plain = String::new();
    let mut first = None;
    let (mut inside, mut in_key) = (None, true);
    for c in code.chars() {
        if let Some(quote) = inside {
            plain.push(c);
            inside = inside.filter(|_| c != quote);
        } else if let Some(alike) = Alike::of(c) {
            first.get_or_insert((alike, in_key));
            // A key needs no quotes.
            plain.extend(if alike.is_quote() && !in_key {
                Some('"')
            } else {
                alike.plain
            });
        } else {
            plain.push(c);
            inside = "\"'".contains(c).then_some(c);
        }
        in_key &= !plain.ends_with('=');
    }
    let (alike, in_key) = first?;
    let (key, value) = plain.split_once('=').unwrap_or((&plain, ""));
    // Words without quotes, and those of another language, are spoken of as such.
    let number =
        |value: &str| value.starts_with(|c: char| c.is_ascii_digit() || "+-.{[".contains(c));
    let read = if in_key {
        key.is_ascii()
    } else {
        value.is_ascii() && number(value.trim_start())
    };
    read.then(|| SourceFact::LookalikeLine {
        line: units::clip(code.trim()),
        alike,
        plain: units::clip(plain.trim()),
    })
}

/// What is the matter with a value that should be words in quotes.
fn quotes(key: String, value: &str) -> SourceFact {
    let curly = alike::is_bent_quote;
    // The words without any quotes round them.
    let words = value.trim_matches(|c: char| curly(c) || "\"'`".contains(c));
    let words = units::clip(words.trim());
    if value.starts_with(curly) {
        return SourceFact::BentQuotes { key, words };
    }
    let Some(quote) = value.chars().next().filter(|c| "\"'".contains(*c)) else {
        return SourceFact::NoQuotes { key, words };
    };
    match value.matches(quote).count() {
        1 => SourceFact::OpenQuote { key, words },
        2 => SourceFact::BesideQuotes { key, words },
        _ => SourceFact::QuotesWithin { key, words },
    }
}
