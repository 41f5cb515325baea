//! A commented blank workshop file: every key with its range, what is taken without it, and what it
//! does.

use std::fmt::Write;

use crate::units::{Unit, trimmed};
use crate::workshop::keys::{KeyValue, TABLES};

/// Columns of a line, as an editor shows them without moving sideways.
const COLUMNS: usize = 96;

/// A blank file in this unit: every key, commented out.
#[must_use]
pub fn blank(unit: Unit) -> String {
    let name = unit.name();
    let mut out = String::new();
    let mut say = |text: &str| {
        for line in wrapped(text) {
            let _ = writeln!(out, "# {line}");
        }
    };
    say(
        "A workshop: one room with its materials, machines and paper. It serves for every body: \
         `layfigure build SHEET --workshop THIS`.",
    );
    say(
        "You may leave everything out. To set a key, take away the # right before it. The value that stands \
         there now is taken anyway, unless the words call it an example.",
    );
    say(&format!(
        "A bare number is a length in {}. A length may name its own unit, in quotes: \"6.2 cm\", \"3/8 in\".",
        unit.plural()
    ));
    let _ = writeln!(
        out,
        "\nunit = \"{name}\"\n# What prices are counted in, in your own word for it. An example.\n#currency = \"money\""
    );
    for table in TABLES {
        // A table alone gives a form a pole.
        let off = if table.name == "pole" { "#" } else { "" };
        let _ = writeln!(out);
        for line in wrapped(table.about) {
            let _ = writeln!(out, "# {line}");
        }
        let _ = writeln!(out, "{off}[{}]", table.name);
        for row in table.keys {
            let range = row.kind.lengths().map_or_else(String::new, |range| {
                let [low, high] = range.map(|mm| trimmed(unit.from_mm(mm), 3));
                format!(" {low} to {high} {name}.")
            });
            let example = match row.shown {
                KeyValue::Taken => "",
                KeyValue::Example => " An example.",
            };
            for line in wrapped(&format!("{}{range}{example}", row.words)) {
                let _ = writeln!(out, "# {line}");
            }
            let _ = writeln!(out, "#{} = {}", row.key, row.kind.typed(unit));
        }
    }
    out
}

/// Words in lines of this many columns.
fn wrapped(text: &str) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.len() + 1 + word.len() <= COLUMNS => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::workshop::Workshop;
    use crate::workshop::keys;
    use crate::workshop::read;

    /// The lines `key = value` that are commented out, with their table, and the file with them in force.
    fn in_force(text: &str) -> (Vec<(String, String)>, String) {
        let (mut table, mut keys, mut out) = (String::new(), Vec::new(), String::new());
        for line in text.lines() {
            let said = match line.strip_prefix('#') {
                Some(said) if !said.starts_with(' ') => said,
                _ => line,
            };
            if let Some(name) = said.strip_prefix('[') {
                table = name.trim_end_matches(']').to_owned();
            } else if let Some((key, _)) = said.split_once(" = ").filter(|_| !said.starts_with('#'))
            {
                keys.push((table.clone(), key.to_owned()));
                // These two say what their neighbours say.
                if ["ten_stacked", "batting", "length"].contains(&key) && table != "stock" {
                    continue;
                }
            }
            out.push_str(said);
            out.push('\n');
        }
        (keys, out)
    }

    #[test]
    fn the_blank_reads_back_as_nothing_said() {
        for unit in Unit::ALL {
            let read = read(&blank(unit), "room.toml").unwrap();
            let usual = Workshop {
                pole: None,
                ..Workshop::usual(unit)
            };
            assert_eq!(read, usual);
            // What is shown as taken is taken: typed out, it changes nothing.
            let text = blank(unit);
            let said = text.replace("#thickness", "thickness");
            let said = said
                .replace("#size", "size")
                .replace("#edge", "edge")
                .replace("#width", "width");
            let said = crate::workshop::read(&said, "room.toml").unwrap();
            assert_eq!(said.paper, usual.paper);
            assert_eq!(
                (said.layer, said.stock, said.dowel),
                (usual.layer, usual.stock, usual.dowel)
            );
            assert!(blank(unit).lines().all(|l| l.len() <= COLUMNS + 2));
        }
    }

    #[test]
    fn the_words_of_a_key_name_its_range() {
        let mut named = 0;
        for row in TABLES.iter().flat_map(|table| table.keys) {
            // A price is any, and a stock is of as many materials as are named.
            if let Some([low, high]) = row.kind.numbers()
                && !["price", "layer"].contains(&row.key)
            {
                let range = format!("{low} to {high}");
                assert!(row.words.contains(&range), "{}: {range}", row.key);
                named += 1;
            }
        }
        assert_eq!(named, 5);
        let most = format!("at most {} of them", keys::stock::TURN.kind.0);
        let turn = TABLES.iter().flat_map(|table| table.keys);
        assert!(
            turn.filter(|row| row.key == "turn")
                .all(|row| row.words.contains(&most))
        );
    }

    #[test]
    fn every_key_that_a_workshop_has_stands_in_the_blank() {
        let (keys, _) = in_force(&blank(Unit::Mm));
        let mut there: Vec<(&str, &str)> = keys.iter().map(|(t, k)| (&**t, &**k)).collect();
        let tables = TABLES
            .iter()
            .flat_map(|t| t.keys.iter().map(move |row| (t.name, row.key)));
        let mut known: Vec<(&str, &str)> = [("", "unit"), ("", "currency")]
            .into_iter()
            .chain(tables)
            .collect();
        there.sort_unstable();
        known.sort_unstable();
        assert_eq!(there, known);
    }

    /// What is called no example is what is taken anyway, and all of it is within its range.
    #[test]
    fn what_stands_in_the_blank_can_be_said() {
        let (_, text) = in_force(&blank(Unit::Mm));
        let said = read(&text, "room.toml").unwrap();
        let usual = Workshop::default();
        // 32 mm more round a tin are 5.1 mm of batting and cover (2 pi).
        assert!((said.padding.batting - 4.09).abs() < 0.01);
        let wanted = Workshop {
            layer: crate::workshop::LayerStock {
                hollow: Some(40.0),
                ..usual.layer.clone()
            },
            stock: vec![crate::workshop::Stock {
                count: Some(3),
                of: Some(0),
                price: Some(12.5),
                ..usual.stock[0].clone()
            }],
            paper: crate::workshop::Paper {
                printed: Some((198.5, 99.4)),
                ..usual.paper.clone()
            },
            padding: crate::workshop::Padding {
                batting: said.padding.batting,
                ..usual.padding.clone()
            },
            step: Some(10.0),
            wedges: Some(12.0),
            hem_below_hip: Some(90.0),
            prices: crate::workshop::Prices {
                currency: "money".into(),
                dowel: Some(2.4),
                batting: Some(6.9),
            },
            ..usual
        };
        assert_eq!(said, wanted);
    }
}
