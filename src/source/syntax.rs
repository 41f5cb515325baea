//! Why a line is not TOML, in plain words, and how to write it.

use crate::units;
use crate::units::alike;
use crate::units::alike::Alike;

/// What is the matter with a `line` of which the reader of TOML `said` something, and what to write.
pub(super) fn explained(line: &str, said: &str) -> (String, String) {
    let code = line.split('#').next().unwrap_or_default();
    let value = code.split_once('=').map_or("", |(_, value)| value.trim());
    let key = code.split('=').next().unwrap_or_default().trim();
    if let Some(repaired) = units::decimal_comma(code) {
        (
            format!("`{}` has a decimal comma", units::clip(key)),
            format!("use a point: `{}`", units::clip(repaired.trim())),
        )
    } else if said.contains("duplicate key") {
        (
            format!("`{}` is written twice", units::clip(key)),
            "keep the line that is right and delete the other".to_owned(),
        )
    } else if let Some(found) = looks_plain(code) {
        found
    } else if !code.contains('=') || code.trim_start().starts_with('[') {
        (
            format!("this line cannot be read: {said}"),
            "write a table as `[girth]` and a value as `bust = 96.5`, one a line".to_owned(),
        )
    } else if value.is_empty() {
        (
            format!("`{}` has no value", units::clip(key)),
            "write the value after `=`, or put a `#` in front of the line".to_owned(),
        )
    } else if let Some(odd) = key
        .chars()
        .find(|c| !c.is_ascii() && !key.contains(['"', '\'']))
    {
        (
            format!("`{}` holds `{odd}`, which no key has", units::clip(key)),
            "keys are written with the letters a to z and `_`: copy them from the blank that \
             `layfigure new` prints"
                .to_owned(),
        )
    } else if value.starts_with(|c: char| c.is_ascii_digit() || "+-.".contains(c)) {
        (
            format!("the value of `{}` cannot be read", units::clip(key)),
            format!(
                "put a value with a unit or a fraction in quotes: \"{}\"",
                units::clip(value)
            ),
        )
    } else {
        quotes(key, value, said)
    }
}

/// A line that looks right and is not, since signs in it only look like those of a file: which, and the
/// line in plain ones. What stands in quotes may be anything.
fn looks_plain(code: &str) -> Option<(String, String)> {
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
    read.then(|| {
        (
            format!(
                "`{}` is written with {}",
                units::clip(code.trim()),
                alike.said()
            ),
            format!("type the line again: `{}`", units::clip(plain.trim())),
        )
    })
}

/// What is the matter with a value that should be words in quotes, and how to write it.
fn quotes(key: &str, value: &str, said: &str) -> (String, String) {
    let key = units::clip(key);
    let curly = alike::is_bent_quote;
    // The words without any quotes round them; a quote within them is kept apart by the other kind.
    let inside = value.trim_matches(|c: char| curly(c) || "\"'`".contains(c));
    let write = |inside: &str| {
        let inside = units::clip(inside.trim());
        if inside.contains('"') && !inside.contains('\'') {
            format!("`{key} = '{inside}'`")
        } else {
            format!("`{key} = \"{}\"`", inside.replace('"', ""))
        }
    };
    if value.starts_with(curly) {
        return (
            format!("the quotes round `{key}` are not the plain ones that a file is written with"),
            format!(
                "type them as {}; an editor for plain text does not bend them",
                write(inside)
            ),
        );
    }
    let Some(quote) = value.chars().next().filter(|c| "\"'".contains(*c)) else {
        return (
            format!("the words after `{key}` stand without quotes"),
            format!("put them in quotes: {}", write(inside)),
        );
    };
    match value.matches(quote).count() {
        1 => (
            format!("the quote that opens after `{key}` is not closed"),
            format!("close it at the end of the words: {}", write(inside)),
        ),
        2 => (
            format!("the value of `{key}` cannot be read: {said}"),
            format!(
                "write it as {}, and nothing else on the line",
                write(inside)
            ),
        ),
        _ => (
            format!("there are quotes within the quotes of `{key}`"),
            format!("put the other kind round the words: {}", write(inside)),
        ),
    }
}
