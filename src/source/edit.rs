//! Writing values into a TOML text that a person wrote: comments and order stay.

use toml_edit::{Item, TableLike, Value};

/// Puts a value at a key, with a comment behind it; what stands in front of the key stays.
pub(crate) fn put(table: &mut dyn TableLike, key: &str, mut value: Value, comment: &str) {
    let suffix = if comment.is_empty() {
        String::new()
    } else {
        format!("  # {comment}")
    };
    value.decor_mut().set_suffix(suffix);
    value.decor_mut().set_prefix(" ");
    match table.get_mut(key) {
        Some(item) => *item = Item::Value(value),
        None => {
            table.insert(key, Item::Value(value));
        }
    }
}

/// What was typed, as a number where it is one, and in quotes where it is not.
pub(crate) fn typed(words: &str) -> Value {
    match (words.parse::<f64>(), words.parse::<Value>()) {
        (Ok(plain), Ok(value)) if plain.is_finite() && !value.is_str() => value,
        _ => words.into(),
    }
}

/// A value without the blanks and comments around it; words without their quotes.
pub(crate) fn shown(value: &Value) -> String {
    if let Some(words) = value.as_str() {
        return words.to_owned();
    }
    let mut value = value.clone();
    value.decor_mut().clear();
    value.to_string()
}
