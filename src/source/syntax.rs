//! Why a line is not TOML, in plain words, and how to write it.

use crate::source::facts::SourceFact;
use crate::units;
use crate::units::alike;
use crate::units::alike::Alike;

/// What is the matter with a `line` of which the reader of TOML `said` something.
pub(super) fn explained(line: &str, said: &str) -> SourceFact {
    let code = line.split('#').next().unwrap_or_default();
    let value = code.split_once('=').map_or("", |(_, value)| value.trim());
    let bare = code.split('=').next().unwrap_or_default().trim();
    let key = units::clip(bare);
    if let Some(pointed) = units::decimal_comma(code) {
        SourceFact::CommaInLine {
            key,
            pointed: units::clip(pointed.trim()),
        }
    } else if said.contains("duplicate key") {
        SourceFact::KeyTwice { key }
    } else if let Some(found) = looks_plain(code) {
        found
    } else if !code.contains('=') || code.trim_start().starts_with('[') {
        SourceFact::NoLine {
            said: said.to_owned(),
        }
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
        quotes(key, value, said)
    }
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
fn quotes(key: String, value: &str, said: &str) -> SourceFact {
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
        2 => SourceFact::BesideQuotes {
            key,
            words,
            said: said.to_owned(),
        },
        _ => SourceFact::QuotesWithin { key, words },
    }
}
