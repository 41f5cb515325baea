//! Words that have a width to fit: set smaller, cut short, or broken into lines.

use crate::error::Error;
use crate::face;
use crate::layout::draw_piece::SMALLEST_LETTER;

/// What stands for what is left out.
const DOTS: &str = "...";

/// A list in words, which is cut or broken between its entries alone: `layers 1–9; 12; 14, 15`.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Entries(Vec<Entry>);

#[derive(Clone, Debug, PartialEq, Eq)]
struct Entry {
    words: String,
    /// What parts it from the next one.
    then: &'static str,
}

impl Entries {
    /// A single entry.
    pub(super) fn one(words: impl Into<String>) -> Self {
        Self::joined([words.into()], "")
    }

    /// Entries with the same sign between them.
    pub(super) fn joined(words: impl IntoIterator<Item = String>, then: &'static str) -> Self {
        let entry = |words| Entry { words, then };
        let mut all: Vec<Entry> = words.into_iter().map(entry).collect();
        if let Some(last) = all.last_mut() {
            last.then = "";
        }
        Self(all)
    }

    /// Lists in a row, with a sign between them.
    pub(super) fn in_a_row(lists: impl IntoIterator<Item = Self>, then: &'static str) -> Self {
        let mut all: Vec<Entry> = Vec::new();
        for list in lists {
            if let Some(last) = all.last_mut() {
                last.then = then;
            }
            all.extend(list.0);
        }
        Self(all)
    }

    /// With words right before the first entry.
    pub(super) fn after(mut self, words: &str) -> Self {
        if let Some(first) = self.0.first_mut() {
            first.words.insert_str(0, words);
        }
        self
    }

    /// With words right behind the last entry.
    pub(super) fn before(mut self, words: &str) -> Self {
        if let Some(last) = self.0.last_mut() {
            last.words.push_str(words);
        }
        self
    }

    /// The whole list.
    pub(super) fn words(&self) -> String {
        written(&self.0)
    }

    /// Words and letter height that fit a width: smaller letters first, then fewer entries, whole ones.
    pub(super) fn fitted(&self, size: f64, width: f64) -> Result<(String, f64), Error> {
        let words = self.words();
        let smaller = smaller(&words, size, width)?;
        if face::text_width(&words, smaller)? > width {
            for kept in (1..self.0.len()).rev() {
                let shorter = format!("{}, {DOTS}", written(&self.0[..kept]));
                if face::text_width(&shorter, smaller)? <= width {
                    return Ok((shorter, smaller));
                }
            }
        }
        fitted(&words, size, width)
    }

    /// Lines of whole entries; an entry that is wider than a line is broken between its words.
    pub(super) fn lines(&self, size: f64, width: f64) -> Result<Vec<Self>, Error> {
        let mut lines: Vec<Vec<Entry>> = Vec::new();
        for entry in &self.0 {
            if let Some(line) = lines.last_mut() {
                line.push(entry.clone());
                if face::text_width(&ended(line), size)? <= width {
                    continue;
                }
                line.pop();
            }
            let parts = wrapped(&entry.words, size, width)?;
            let last = parts.len().saturating_sub(1);
            lines.extend(parts.into_iter().enumerate().map(|(k, words)| {
                let then = if k == last { entry.then } else { "" };
                vec![Entry { words, then }]
            }));
        }
        Ok(lines.into_iter().map(Self).collect())
    }

    /// Lines of a list in one again.
    pub(super) fn of_lines(lines: &[Self]) -> Self {
        Self(
            lines
                .iter()
                .flat_map(|line| line.0.iter().cloned())
                .collect(),
        )
    }

    /// The list as the line of a longer one, with the sign that parts it from the next line.
    pub(super) fn line(&self) -> String {
        ended(&self.0)
    }
}

fn written(entries: &[Entry]) -> String {
    let mut words = String::new();
    for (k, entry) in entries.iter().enumerate() {
        words.push_str(&entry.words);
        if k + 1 < entries.len() {
            words.push_str(entry.then);
            words.push(' ');
        }
    }
    words
}

/// With the sign behind the last entry too.
fn ended(entries: &[Entry]) -> String {
    let sign = entries.last().map_or("", |e| e.then);
    written(entries) + sign
}

/// The letter height, down to the smallest readable, at which words fit a width.
fn smaller(words: &str, size: f64, width: f64) -> Result<f64, Error> {
    let natural = face::text_width(words, size)?;
    if natural <= width {
        return Ok(size);
    }
    // A hair less than just fits, which the last digits might deny.
    Ok((size * width / natural * 0.999).max(SMALLEST_LETTER.min(size)))
}

/// Words and letter height that fit a width: smaller letters first, down to the smallest readable,
/// then a shorter text that ends in dots.
pub(super) fn fitted(words: &str, size: f64, width: f64) -> Result<(String, f64), Error> {
    let smaller = smaller(words, size, width)?;
    if face::text_width(words, smaller)? <= width {
        return Ok((words.to_owned(), smaller));
    }
    let mut kept: Vec<char> = words.chars().collect();
    while kept.pop().is_some() {
        let shorter: String = kept.iter().collect::<String>().trim_end().to_owned() + DOTS;
        if face::text_width(&shorter, smaller)? <= width {
            return Ok((shorter, smaller));
        }
    }
    Ok((String::new(), smaller))
}

/// Words broken into lines no wider than `width` (a single longer word stands alone).
pub(super) fn wrapped(words: &str, size: f64, width: f64) -> Result<Vec<String>, Error> {
    let mut lines: Vec<String> = Vec::new();
    for word in words.split_whitespace() {
        match lines.last_mut() {
            Some(line) if face::text_width(&format!("{line} {word}"), size)? <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    Ok(lines)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_words_are_shrunk_then_cut() {
        let (same, size) = fitted("waist", 3.0, 100.0).unwrap();
        assert_eq!(
            (same.as_str(), size.to_bits()),
            ("waist", 3.0_f64.to_bits())
        );
        let width = face::text_width("waist", 3.0).unwrap();
        let (same, size) = fitted("waist", 3.0, width * 0.9).unwrap();
        assert_eq!(same, "waist");
        assert!((SMALLEST_LETTER..3.0).contains(&size));
        let (cut, size) = fitted(&"waist ".repeat(40), 3.0, 50.0).unwrap();
        assert!(cut.ends_with("..."));
        assert!(face::text_width(&cut, size).unwrap() <= 50.0);
    }

    /// No number of a list is cut in half, on one line or on several.
    #[test]
    fn lists_are_cut_and_broken_between_entries() {
        let runs = ["101–109", "112"].map(str::to_owned);
        let chain = ["103", "104", "105 (waist)"].map(str::to_owned);
        let lists = [Entries::joined(runs, ";"), Entries::joined(chain, ",")];
        let list = Entries::in_a_row(lists, ";").after("layers ");
        assert_eq!(list.words(), "layers 101–109; 112; 103, 104, 105 (waist)");
        let mut seen = Vec::new();
        for width in 30..70 {
            let width = f64::from(width);
            let (cut, size) = list.fitted(SMALLEST_LETTER, width).unwrap();
            assert!(face::text_width(&cut, size).unwrap() <= width);
            seen.push(cut);
            let lines = list.lines(SMALLEST_LETTER, width).unwrap();
            let lines: Vec<String> = lines.iter().map(Entries::line).collect();
            assert_eq!(lines.join(" "), list.words());
            let wide = |l: &String| face::text_width(l, SMALLEST_LETTER).unwrap() > width;
            assert!(!lines.iter().any(wide));
            assert!(lines.iter().all(|l| !l.starts_with('(')), "{lines:?}");
        }
        seen.dedup();
        assert_eq!(
            seen,
            [
                "layers 101–109, ...",
                "layers 101–109; 112, ...",
                "layers 101–109; 112; 103, ...",
                "layers 101–109; 112; 103, 104, ...",
                "layers 101–109; 112; 103, 104, 105 (waist)"
            ]
        );
    }
}
