//! A commented blank workshop file: every key with its range, what is taken without it, and what it
//! does.

use std::fmt::Write;

use crate::units::Unit;
use crate::workshop::keys::TABLES;
use crate::workshop::part::RANGES;
use crate::workshop::part::trimmed;

/// What stands behind the `=` of a key.
#[derive(Clone, Copy, Debug)]
enum Shown {
    /// A length that is taken where the file says none, mm.
    Usual(f64),
    /// A length to show how it is written, mm; without it there is none.
    For(f64),
    /// Anything else that is taken where the file does not say it.
    Word(&'static str),
    /// Anything else to show how it is written; without it there is none.
    Like(&'static str),
}

use Shown::{For, Like, Usual, Word};

/// What a table is for, before its keys.
const ABOUT: [(&str, &str); 8] = [
    (
        "layer",
        "What the layers are made of. Several materials: write [[layer]] above each; the first is built \
         with, the others are compared with it by `layfigure plan`, and see form.step.",
    ),
    (
        "stock",
        "What the pieces are cut from: boards or a roll. Write the bed of the machine where that is \
         smaller than the board: what is larger is cut in parts that hook into one another. Several: \
         write [[stock]] above each, first choice first.",
    ),
    ("dowel", "The rods through the layers."),
    (
        "pole",
        "The pole that the form stands on. A file without [pole] makes a form without a pole: take away \
         both # to have one.",
    ),
    ("base", "The board under the form, and its stand."),
    (
        "padding",
        "What goes on the outside, as thick as it is under a stretched cover: layers are drawn so much \
         smaller.",
    ),
    ("paper", "The paper of the templates."),
    ("form", "What is made."),
];

/// Table, key, value, words. In the order of the file.
const KEYS: [(&str, &str, Shown, &str); 44] = [
    (
        "layer",
        "material",
        Word("\"foam sheet\""),
        "Its name. Weight, glue and cautions follow from it: `layfigure plan --materials` lists the names.",
    ),
    (
        "layer",
        "thickness",
        Usual(6.35),
        "Measured thickness of one sheet.",
    ),
    (
        "layer",
        "ten_stacked",
        For(63.5),
        "Instead of it, and surer: height of ten sheets piled up.",
    ),
    (
        "layer",
        "density",
        Like("35"),
        "Weight, kg per cubic metre, 5 to 2500; without it that of the material's name.",
    ),
    (
        "layer",
        "cut",
        Word("\"middle\""),
        "Which outline of a layer is cut: \"middle\", \"inside\" (padding fills the steps) or \
         \"outside\" (sand the steps off).",
    ),
    (
        "layer",
        "hollow",
        For(40.0),
        "Layers are rings with a wall so wide; without it they are solid.",
    ),
    (
        "layer",
        "glue_line",
        Usual(0.0),
        "Thickness of the glue between two layers.",
    ),
    ("stock", "width", Usual(1000.0), "Width of a board or roll."),
    (
        "stock",
        "length",
        Usual(600.0),
        "Length of a board; of a roll the longest piece cut at once.",
    ),
    ("stock", "roll", Word("false"), "true: it comes off a roll."),
    (
        "stock",
        "margin",
        Usual(5.0),
        "Edge all round from which nothing is cut.",
    ),
    (
        "stock",
        "gap",
        Usual(4.0),
        "Least distance of two finished pieces.",
    ),
    (
        "stock",
        "kerf",
        Usual(0.2),
        "Width of the cut, which the cutting files give back: 0 for a knife; for a laser try it on a \
         scrap.",
    ),
    (
        "stock",
        "turn",
        Word("[0, 90, 180, 270]"),
        "By how much pieces may be turned, degrees from 0 to less than 360, at most 36 of them.",
    ),
    (
        "stock",
        "direction",
        Word("\"none\""),
        "\"x\" (along the width) or \"y\" (along the length) where grain or flutes must run the same way in \
         every piece, \"crossed\" where they turn by 90 degrees from layer to layer.",
    ),
    (
        "stock",
        "count",
        Like("3"),
        "How many there are, 1 to 1000, for off-cuts; without it as many as are needed.",
    ),
    (
        "stock",
        "order",
        Word("\"fewest\""),
        "\"fewest\" boards, or \"layers\": neighbouring layers lie on one board.",
    ),
    (
        "stock",
        "layer",
        Like("1"),
        "Of which [[layer]] it is, counted from 1; without it it comes in all of them.",
    ),
    (
        "stock",
        "price",
        Like("12.5"),
        "Of one board, or of one metre off a roll.",
    ),
    (
        "dowel",
        "diameter",
        Usual(8.0),
        "Measured diameter: rods are seldom what they are sold as.",
    ),
    (
        "dowel",
        "clearance",
        Usual(0.3),
        "How much wider the hole is than the rod.",
    ),
    ("dowel", "count", Word("2"), "How many, 1 to 6."),
    (
        "dowel",
        "edge",
        Usual(12.0),
        "Least wall between a hole and the edge of a layer.",
    ),
    ("dowel", "price", Like("2.4"), "Of one metre."),
    (
        "pole",
        "diameter",
        For(25.0),
        "Measured outside diameter of pole, pipe or tube.",
    ),
    (
        "base",
        "thickness",
        Usual(12.0),
        "Thickness of the base board.",
    ),
    (
        "base",
        "tilt",
        Word("10"),
        "By how many degrees the form on its stand may be tilted before it falls, 5 to 30; 15 with \
         children or pets about.",
    ),
    (
        "padding",
        "batting",
        Usual(4.0),
        "Thickness of the batting.",
    ),
    (
        "padding",
        "cover",
        Usual(1.0),
        "Thickness of the cover cloth.",
    ),
    (
        "padding",
        "wrap_bare",
        For(300.0),
        "Instead of `batting`, and surer: what the tape reads round a tin or a pipe, bare ...",
    ),
    (
        "padding",
        "wrap_padded",
        For(332.0),
        "... and with batting and cover stretched over it as on the form.",
    ),
    (
        "padding",
        "price",
        Like("6.9"),
        "Of one square metre of batting.",
    ),
    (
        "paper",
        "size",
        Word("\"A4\""),
        "A name (\"A3\", \"Letter\", \"Arch D\"), two sides (\"300 x 420 mm\") or a roll (\"roll 610 mm\").",
    ),
    (
        "paper",
        "margin",
        Usual(10.0),
        "Edge that the printer leaves blank.",
    ),
    (
        "paper",
        "overlap",
        Usual(15.0),
        "By how much two pages of one piece overlap.",
    ),
    (
        "paper",
        "length",
        For(3000.0),
        "Longest page off a roll of paper.",
    ),
    (
        "paper",
        "outlines",
        Word("4"),
        "Most layers drawn over one another on one template, 1 to 4.",
    ),
    (
        "paper",
        "fold",
        Word("true"),
        "true: what is the same on both sides is drawn by half, on the fold.",
    ),
    (
        "paper",
        "printed",
        Like("\"198.5x99.4\""),
        "What the two check bars of a printed page measured, mm, up the side first: new pages make up for \
         the printer.",
    ),
    (
        "form",
        "scale",
        Word("1"),
        "1, or 0.5 for a half-scale form.",
    ),
    (
        "form",
        "from",
        For(90.0),
        "How far below the hip the form ends; without it about a twentieth of the stature.",
    ),
    (
        "form",
        "to",
        Usual(10.0),
        "How far above the middle of the neck it ends.",
    ),
    (
        "form",
        "step",
        For(10.0),
        "Widest ledge from layer to layer before a thinner [[layer]] is taken; without it the first is \
         taken all through.",
    ),
    (
        "form",
        "wedges",
        For(12.0),
        "Ledges wider than this, at the shoulders above all, are filled with wedges; without it padding \
         fills them.",
    ),
];

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
        "Everything may be left out. To say something take away the # right before its key. What stands \
         there now is taken anyway, unless the words call it an example.",
    );
    say(&format!(
        "A bare number is a length in {}. A length may have a unit of its own, in quotes: \"6.2 cm\", \"3/8 in\".",
        unit.plural()
    ));
    let _ = writeln!(
        out,
        "\nunit = \"{name}\"\n# What prices are counted in, an example.\n#currency = \"EUR\""
    );
    for (table, _) in TABLES {
        let about = ABOUT.iter().find(|(t, _)| *t == table).map_or("", |a| a.1);
        // A table alone gives a form a pole.
        let off = if table == "pole" { "#" } else { "" };
        let _ = writeln!(out);
        for line in wrapped(about) {
            let _ = writeln!(out, "# {line}");
        }
        let _ = writeln!(out, "{off}[{table}]");
        for (_, key, shown, words) in KEYS.iter().filter(|k| k.0 == table) {
            let dotted = format!("{table}.{key}");
            let range = RANGES.iter().find(|(n, ..)| *n == dotted);
            let range = range.map_or_else(String::new, |(_, low, high)| {
                let [low, high] = [low, high].map(|mm| trimmed(unit.from_mm(*mm)));
                format!(" {low} to {high} {name}.")
            });
            let example = matches!(shown, For(_) | Like(_));
            let example = if example { " An example." } else { "" };
            for line in wrapped(&format!("{words}{range}{example}")) {
                let _ = writeln!(out, "# {line}");
            }
            let value = match shown {
                Usual(mm) | For(mm) => trimmed(unit.from_mm(*mm)),
                Word(text) | Like(text) => (*text).to_owned(),
            };
            let _ = writeln!(out, "#{key} = {value}");
        }
    }
    out
}

/// Words in lines of so many columns.
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
    use crate::workshop::read;
    use crate::workshop::read::{MOST_BOARDS, MOST_TURNS};

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
                // One stock, of no price.
                prices: crate::workshop::Prices {
                    stock: vec![None],
                    ..Default::default()
                },
                dowel: crate::workshop::Dowelling {
                    inch: unit == Unit::In,
                    ..Workshop::default().dowel
                },
                ..Workshop::default()
            };
            assert_eq!(read, usual);
            assert!(blank(unit).lines().all(|l| l.len() <= COLUMNS + 2));
        }
    }

    #[test]
    fn the_blank_names_the_numbers_of_its_lists() {
        let words = |key: &str| KEYS.iter().find(|(_, k, ..)| *k == key).unwrap().3;
        assert!(words("turn").contains(&format!("at most {MOST_TURNS} of them")));
        assert!(
            KEYS.iter()
                .any(|(_, k, _, w)| *k == "count" && w.contains(&format!("1 to {MOST_BOARDS}")))
        );
    }

    #[test]
    fn every_key_that_a_workshop_has_stands_in_the_blank() {
        let (keys, _) = in_force(&blank(Unit::Mm));
        let mut there: Vec<(&str, &str)> = keys.iter().map(|(t, k)| (&**t, &**k)).collect();
        let tables = TABLES
            .iter()
            .flat_map(|(t, keys)| keys.iter().map(move |k| (*t, *k)));
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
                ..usual.stock[0].clone()
            }],
            stock_of: vec![Some(0)],
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
                currency: "EUR".into(),
                stock: vec![Some(12.5)],
                dowel: Some(2.4),
                batting: Some(6.9),
            },
            ..usual
        };
        assert_eq!(said, wanted);
    }
}
