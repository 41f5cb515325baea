//! The blank sheet with what is known filled in.

use toml_edit::DocumentMut;
use toml_edit::Value;

use crate::sheet::{Figure, TEMPLATE};
use crate::units::Unit;

/// [`TEMPLATE`] with the figure and the unit filled in, where they are known.
#[must_use]
pub fn template(figure: Option<Figure>, unit: Option<Unit>) -> String {
    let Ok(mut blank) = TEMPLATE.parse::<DocumentMut>() else {
        unreachable!("the blank sheet that comes along is TOML")
    };
    if let Some(figure) = figure {
        fill_in(&mut blank, "figure", figure.name());
    }
    if let Some(unit) = unit {
        fill_in(&mut blank, "unit", unit.name());
    }
    blank.to_string()
}

/// Writes a word at a key of the head; the comment behind it stays in its column.
fn fill_in(blank: &mut DocumentMut, key: &str, word: &str) {
    let Some(value) = blank.get_mut(key).and_then(|item| item.as_value_mut()) else {
        unreachable!("the blank sheet has `{key}` in its head")
    };
    let shorter = value
        .as_str()
        .map_or(0, str::len)
        .saturating_sub(word.len());
    let decor = value.decor().clone();
    let behind = decor.suffix().and_then(|s| s.as_str()).unwrap_or_default();
    let behind = format!("{}{behind}", " ".repeat(shorter));
    *value = Value::from(word);
    *value.decor_mut() = decor;
    value.decor_mut().set_suffix(behind);
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What is not filled in stands as it stood, and comments stand below one another.
    #[test]
    fn the_blank_is_filled_in_where_it_should_be() {
        assert_eq!(template(None, None), TEMPLATE);
        let filled = template(Some(Figure::Man), Some(Unit::In));
        let mut changed = Vec::new();
        for (was, is) in TEMPLATE.lines().zip(filled.lines()) {
            assert_eq!(was.find('#'), is.find('#'), "{is}");
            if was != is {
                changed.push(is.split('#').next().unwrap_or_default().trim());
            }
        }
        assert_eq!(changed, ["unit   = \"in\"", "figure = \"man\""]);
        assert_eq!(TEMPLATE.lines().count(), filled.lines().count());
    }
}
