//! Every key of a workshop file, once: what it says, its range, what is taken without it, and the words
//! of the blank file.

use crate::units::{Unit, inch_fraction, is_whole_inch, trimmed};

/// A key, and what kind of value it has.
#[derive(Clone, Copy, Debug)]
pub(super) struct Key<K> {
    pub(super) table: &'static str,
    pub(super) key: &'static str,
    pub(super) kind: K,
}

impl<K> Key<K> {
    /// As messages name it.
    pub(super) fn dotted(&self) -> String {
        format!("{}.{}", self.table, self.key)
    }
}

/// A length: the least and the most (mm), and what the blank shows, in mm and in a room of inches.
#[derive(Clone, Copy, Debug)]
pub(super) struct Length(pub(super) [f64; 2], pub(super) f64, pub(super) f64);
/// A bare number: the least and the most, what it counts, and what the blank shows.
#[derive(Clone, Copy, Debug)]
pub(super) struct Number(pub(super) [f64; 2], pub(super) &'static str, pub(super) f64);
/// A count: the least and the most, and what the blank shows.
#[derive(Clone, Copy, Debug)]
pub(super) struct WholeNumber(pub(super) [usize; 2], pub(super) usize);
/// Words: which the blank shows in millimetres, and in a room of inches.
#[derive(Clone, Copy, Debug)]
pub(super) struct KeyWords(pub(super) &'static str, pub(super) &'static str);
/// True or false, and which of them the blank shows.
#[derive(Clone, Copy, Debug)]
pub(super) struct Truth(pub(super) bool);
/// Turns in degrees: the most of them, and those that the blank shows.
#[derive(Clone, Copy, Debug)]
pub(super) struct Turns(pub(super) usize, pub(super) [f64; 4]);
/// A scale: those that a form may have, the first being what the blank shows.
#[derive(Clone, Copy, Debug)]
pub(super) struct KeyScale(pub(super) [f64; 2]);

macro_rules! shown {
    ($($kind:ident $at:tt $type:ty;)*) => {$(
        impl Key<$kind> {
            /// What the blank file shows: what is taken without the key, or an example.
            pub(super) const fn shown(&self) -> $type {
                self.kind.$at
            }
        }
    )*};
}

shown! {
    Number 2 f64;
    WholeNumber 1 usize;
    Truth 0 bool;
    Turns 1 [f64; 4];
}

impl Key<Length> {
    /// What the blank file of this unit shows, mm: what is taken without the key, or an example.
    pub(super) const fn shown(&self, unit: Unit) -> f64 {
        self.kind.shown(unit)
    }
}

impl Key<KeyWords> {
    /// What the blank file of this unit shows: what is taken without the key, or an example.
    pub(super) const fn shown(&self, unit: Unit) -> &'static str {
        self.kind.shown(unit)
    }
}

impl Length {
    const fn shown(&self, unit: Unit) -> f64 {
        match unit {
            Unit::Cm | Unit::Mm => self.1,
            Unit::In => unit.to_mm(self.2),
        }
    }
}

impl KeyWords {
    const fn shown(&self, unit: Unit) -> &'static str {
        match unit {
            Unit::Cm | Unit::Mm => self.0,
            Unit::In => self.1,
        }
    }
}

/// What kind of value a key has, for the blank file.
pub(super) trait Kind {
    /// The value that the blank shows, as it is typed in this unit.
    fn typed(&self, unit: Unit) -> String;
    /// The least and the most of a length (mm).
    fn lengths(&self) -> Option<[f64; 2]> {
        None
    }
    /// The least and the most of a number that the words name.
    #[cfg(test)]
    fn numbers(&self) -> Option<[f64; 2]> {
        None
    }
}

/// A length (mm) as a person types it in this unit: `1000`, `1/4`.
pub(super) fn written(mm: f64, unit: Unit) -> String {
    let number = unit.from_mm(mm);
    let fraction = inch_fraction(number).filter(|_| unit == Unit::In);
    fraction.unwrap_or_else(|| trimmed(number, 3))
}

impl Kind for Length {
    fn typed(&self, unit: Unit) -> String {
        let number = unit.from_mm(self.shown(unit));
        let words = written(self.shown(unit), unit);
        // A fraction is no number of TOML.
        if unit == Unit::In && inch_fraction(number).is_some() && !is_whole_inch(number) {
            format!("\"{words}\"")
        } else {
            words
        }
    }

    fn lengths(&self) -> Option<[f64; 2]> {
        Some(self.0)
    }
}

impl Kind for Number {
    fn typed(&self, _: Unit) -> String {
        trimmed(self.2, 3)
    }

    #[cfg(test)]
    fn numbers(&self) -> Option<[f64; 2]> {
        Some(self.0)
    }
}

impl Kind for WholeNumber {
    fn typed(&self, _: Unit) -> String {
        self.1.to_string()
    }

    #[cfg(test)]
    fn numbers(&self) -> Option<[f64; 2]> {
        Some(self.0.map(|n| n as f64))
    }
}

impl Kind for KeyWords {
    fn typed(&self, unit: Unit) -> String {
        format!("\"{}\"", self.shown(unit))
    }
}

impl Kind for Truth {
    fn typed(&self, _: Unit) -> String {
        self.0.to_string()
    }
}

impl Kind for Turns {
    fn typed(&self, _: Unit) -> String {
        format!("[{}]", self.1.map(|turn| trimmed(turn, 3)).join(", "))
    }
}

impl Kind for KeyScale {
    fn typed(&self, _: Unit) -> String {
        trimmed(self.0[0], 3)
    }
}

/// A key as the blank file has it.
pub(super) struct KeyRow {
    pub(super) key: &'static str,
    pub(super) kind: &'static dyn Kind,
    pub(super) shown: KeyValue,
    /// What it does.
    pub(super) words: &'static str,
}

/// What the blank file shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum KeyValue {
    /// What is taken where the file does not say it.
    Taken,
    /// How it is written; without it there is none.
    Example,
}

/// A table of a workshop file.
pub(super) struct KeyTable {
    pub(super) name: &'static str,
    /// How often it may stand.
    pub(super) most: usize,
    /// What it is for.
    pub(super) about: &'static str,
    pub(super) keys: &'static [KeyRow],
}

impl KeyTable {
    /// Whether it has this key.
    pub(super) fn has(&self, key: &str) -> bool {
        self.keys.iter().any(|row| row.key == key)
    }
}

/// Keys above the first table.
pub(super) const TOP_KEYS: [&str; 2] = ["unit", "currency"];

/// The table of this name.
pub(super) fn table(name: &str) -> Option<&'static KeyTable> {
    TABLES.iter().find(|table| table.name == name)
}

/// The table that has this key.
pub(super) fn table_with(key: &str) -> Option<&'static KeyTable> {
    TABLES.iter().find(|table| table.has(key))
}

/// Every length of a workshop by its key, with its table, and the least and the most that it may be
/// (mm): outside them something is mistyped.
#[must_use]
pub fn ranges() -> Vec<(String, f64, f64)> {
    let lengths = |table: &'static KeyTable| {
        table.keys.iter().filter_map(|row| {
            let [low, high] = row.kind.lengths()?;
            Some((format!("{}.{}", table.name, row.key), low, high))
        })
    };
    TABLES.iter().flat_map(lengths).collect()
}

/// Tables with their keys: one name for the key's own constant, and one row of [`TABLES`].
macro_rules! keys {
    ($($table:ident, $most:expr, $about:expr => {
        $($name:ident: $kind:ident $args:tt = $key:literal, $shown:ident, $words:expr;)*
    })*) => {
        $(pub(super) mod $table {
            #[allow(clippy::wildcard_imports, reason = "the kinds of the keys")]
            use super::*;
            $(pub(in crate::workshop) const $name: Key<$kind> = Key {
                table: stringify!($table),
                key: $key,
                kind: $kind $args,
            };)*
        })*

        /// Every table, in the order of the blank file.
        pub(super) const TABLES: &[KeyTable] = &[$(KeyTable {
            name: stringify!($table),
            most: $most,
            about: $about,
            keys: &[$(KeyRow {
                key: $key,
                kind: &$kind $args,
                shown: KeyValue::$shown,
                words: $words,
            }),*],
        }),*];
    };
}

// Ranges and what is taken: common practice, no source, the ranges wide. Beside the millimetres stands what is
// usual where things are sold by the inch: sheets of 24 x 48 in, dowels of 3/8 and (in narrow necks) 1/4 in. Tables that may stand several
// times: our choice, because nobody compares more materials at once, and so many kinds of off-cuts are
// sorted before they are measured. More boards of one stock are a slip of the pen; more turns take
// minutes to look through and save nothing, because every 10 degrees finds a place for everything.
keys! {
    layer, 20, "What the layers are made of. Several materials: write [[layer]] above each; the first is built \
         with, the others are compared with it by `layfigure plan`, and see form.step." => {
        MATERIAL: KeyWords("foam sheet", "foam sheet") = "material", Taken,
            "Its name. Weight, glue and cautions follow from it: `layfigure plan --materials` lists the names.";
        THICKNESS: Length([0.3, 100.0], 6.35, 1.0 / 4.0) = "thickness", Taken,
            "Measured thickness of one sheet.";
        TEN_STACKED: Length([3.0, 1000.0], 63.5, 2.5) = "ten_stacked", Example,
            "Instead of it, and surer: height of ten sheets piled up.";
        DENSITY: Number([5.0, 2500.0], "kg per cubic metre", 35.0) = "density", Example,
            "Weight, kg per cubic metre, 5 to 2500; without it the usual one of the material.";
        CUT: KeyWords("middle", "middle") = "cut", Taken,
            "Which outline of a layer is cut: \"middle\", \"inside\" (padding fills the steps) or \
         \"outside\" (sand the steps off).";
        HOLLOW: Length([5.0, 200.0], 40.0, 1.5) = "hollow", Example,
            "Layers become rings with a wall this wide; without it they are solid.";
        GLUE_LINE: Length([0.0, 2.0], 0.0, 0.0) = "glue_line", Taken,
            "Thickness of the glue between two layers.";
    }
    stock, 100, "What the pieces are cut from: boards or a roll. Write the bed of the machine where that is \
         smaller than the board: what is larger is cut in parts that hook into one another. Several: \
         write [[stock]] above each, first choice first." => {
        WIDTH: Length([50.0, 5000.0], 1000.0, 48.0) = "width", Taken,
            "Width of a board or roll.";
        LENGTH: Length([50.0, 50_000.0], 600.0, 24.0) = "length", Taken,
            "Length of a board; of a roll the longest piece cut at once.";
        ROLL: Truth(false) = "roll", Taken,
            "true: it comes off a roll.";
        MARGIN: Length([0.0, 100.0], 5.0, 1.0 / 4.0) = "margin", Taken,
            "Edge all round that you cut nothing from.";
        GAP: Length([0.0, 50.0], 4.0, 1.0 / 8.0) = "gap", Taken,
            "Least distance of two finished pieces.";
        KERF: Length([0.0, 5.0], 0.2, 0.008) = "kerf", Taken,
            "Width of the cut, which the cutting files give back: 0 for a knife; for a laser try it on a \
         scrap.";
        TURN: Turns(36, [0.0, 90.0, 180.0, 270.0]) = "turn", Taken,
            "How far pieces may be turned, degrees from 0 to less than 360, at most 36 of them.";
        DIRECTION: KeyWords("none", "none") = "direction", Taken,
            "\"x\" (along the width) or \"y\" (along the length) where grain or flutes must run the same way in every piece; \"crossed\" where they turn by 90 degrees from layer to layer.";
        COUNT: WholeNumber([1, 1000], 3) = "count", Example,
            "How many you have, 1 to 1000, for off-cuts; without it as many as the form needs.";
        ORDER: KeyWords("fewest", "fewest") = "order", Taken,
            "\"fewest\" boards, or \"layers\": neighbouring layers lie on one board.";
        LAYER: WholeNumber([1, 20], 1) = "layer", Example,
            "Which [[layer]] this stock is for, counted from 1; without it, it comes in all of them.";
        PRICE: Number([0.0, 1e6], "in your currency", 12.5) = "price", Example,
            "Of one board, or of one metre off a roll.";
    }
    dowel, 1, "The dowels through the layers." => {
        DIAMETER: Length([2.0, 60.0], 8.0, 3.0 / 8.0) = "diameter", Taken,
            "Measured diameter: a dowel seldom has the size that it is sold by.";
        CLEARANCE: Length([0.0, 3.0], 0.3, 1.0 / 64.0) = "clearance", Taken,
            "How much wider the hole is than the dowel.";
        COUNT: WholeNumber([1, 6], 2) = "count", Taken,
            "How many, 1 to 6.";
        EDGE: Length([1.0, 60.0], 12.0, 1.0 / 2.0) = "edge", Taken,
            "Least wall between a hole and the edge of a layer.";
        PRICE: Number([0.0, 1e6], "in your currency", 2.4) = "price", Example,
            "Of one metre.";
    }
    pole, 1, "The pole that the form stands on. A file without [pole] makes a form without a pole: take away \
         both # to have one." => {
        DIAMETER: Length([5.0, 120.0], 25.0, 1.0) = "diameter", Example,
            "Measured outside diameter of pole, pipe or tube.";
    }
    base, 1, "The board under the form, and its stand." => {
        THICKNESS: Length([1.0, 80.0], 12.0, 1.0 / 2.0) = "thickness", Taken,
            "Thickness of the base board.";
        TILT: Number([5.0, 30.0], "degrees", 10.0) = "tilt", Taken,
            "By how many degrees the form on its stand may be tilted before it falls, 5 to 30; 15 with \
         children or pets about.";
    }
    padding, 1, "What goes on the outside, as thick as it is under a stretched cover: layers are drawn smaller by that much." => {
        BATTING: Length([0.0, 60.0], 4.0, 3.0 / 16.0) = "batting", Taken,
            "Thickness of the batting.";
        COVER: Length([0.0, 10.0], 1.0, 1.0 / 32.0) = "cover", Taken,
            "Thickness of the cover cloth.";
        WRAP_BARE: Length([50.0, 3000.0], 300.0, 12.0) = "wrap_bare", Example,
            "Instead of `batting`, and surer: what the tape reads round a tin or a pipe, bare ...";
        WRAP_PADDED: Length([50.0, 3500.0], 332.0, 13.375) = "wrap_padded", Example,
            "... and with batting and cover stretched over it as on the form.";
        PRICE: Number([0.0, 1e6], "in your currency", 6.9) = "price", Example,
            "Of one square metre of batting.";
    }
    paper, 1, "The paper of the templates." => {
        SIZE: KeyWords("A4", "Letter") = "size", Taken,
            "A name (\"A3\", \"Letter\", \"Arch D\"), two sides (\"300 x 420 mm\") or a roll (\"roll 610 mm\").";
        MARGIN: Length([0.0, 50.0], 10.0, 3.0 / 8.0) = "margin", Taken,
            "Edge that the printer leaves blank.";
        OVERLAP: Length([0.0, 80.0], 15.0, 5.0 / 8.0) = "overlap", Taken,
            "By how much two pages of one piece overlap.";
        LENGTH: Length([200.0, 5000.0], 3000.0, 120.0) = "length", Example,
            "Longest page off a roll of paper.";
        OUTLINES: WholeNumber([1, 4], 4) = "outlines", Taken,
            "Most layers on one template, each line inside the one before, 1 to 4.";
        FOLD: Truth(true) = "fold", Taken,
            "true: what is the same on both sides is drawn by half, on the fold.";
        PRINTED: KeyWords("198.5x99.4", "7 15/16 x 3 31/32 in") = "printed", Example,
            "What the two check bars of a printed page measured, up the side first, in mm unless it ends in \"in\": \
         new pages make up for the printer.";
    }
    form, 1, "What is made." => {
        SCALE: KeyScale([1.0, 0.5]) = "scale", Taken,
            "1, or 0.5 for a half-scale form.";
        FROM: Length([0.0, 400.0], 90.0, 3.5) = "from", Example,
            "How far below the hip the form ends; without it about a twentieth of the stature.";
        TO: Length([0.0, 80.0], 10.0, 3.0 / 8.0) = "to", Taken,
            "How far above the middle of the neck it ends.";
        STEP: Length([0.5, 60.0], 10.0, 3.0 / 8.0) = "step", Example,
            "Widest ledge from layer to layer before a thinner [[layer]] is taken; without it the first is \
         taken all through.";
        WEDGES: Length([4.0, 60.0], 12.0, 1.0 / 2.0) = "wedges", Example,
            "Ledges wider than this, at the shoulders above all, are filled with wedges; without it padding \
         fills them.";
    }
}
