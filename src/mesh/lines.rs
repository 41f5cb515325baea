//! The lines of a text file, one at a time, so that a file need not lie in memory beside what is read
//! from it.

use std::io::{BufRead, Read};

use super::facts::{MeshFact, SolidFormat};
use crate::error::Error;

/// Longest line that is read, bytes. Our choice: a face of a million corners; a file without ends of
/// lines is not text.
const LONGEST_LINE: usize = 16 << 20;

pub(super) struct Lines<R> {
    from: R,
    line: Vec<u8>,
    number: usize,
    kind: SolidFormat,
}

impl<R: BufRead> Lines<R> {
    pub(super) const fn new(from: R, kind: SolidFormat) -> Self {
        Self {
            from,
            line: Vec::new(),
            number: 0,
            kind,
        }
    }

    /// The number of the next line, from 1, and the line without its end; nothing after the last one.
    ///
    /// # Errors
    /// [`Error::Format`] when a line is too long or the file cannot be read.
    pub(super) fn next(&mut self) -> Result<Option<(usize, &[u8])>, Error> {
        self.line.clear();
        Ok(if self.more()? {
            Some((self.number, &self.line))
        } else {
            None
        })
    }

    /// The line that was read last and, where a backslash ends it, the lines that it goes on in.
    ///
    /// # Errors
    /// As [`Lines::next`].
    pub(super) fn continued(&mut self) -> Result<&[u8], Error> {
        while self.line.last() == Some(&b'\\') {
            // What stands on either side are two words.
            self.line.pop();
            self.line.push(b' ');
            if !self.more()? {
                break;
            }
        }
        Ok(&self.line)
    }

    /// Reads one more line onto what is there, and says whether there was one.
    fn more(&mut self) -> Result<bool, Error> {
        let left = (LONGEST_LINE + 1).saturating_sub(self.line.len());
        let read = (&mut self.from)
            .take(left as u64)
            .read_until(b'\n', &mut self.line)
            .map_err(|e| {
                Error::format(MeshFact::Unreadable {
                    kind: self.kind,
                    said: e.to_string(),
                })
            })?;
        self.number += usize::from(read > 0);
        if self.line.len() > LONGEST_LINE {
            return Err(Error::format(MeshFact::LongLine {
                kind: self.kind,
                line: self.number,
                mebibytes: LONGEST_LINE >> 20,
            }));
        }
        let end = self.line.trim_ascii_end().len();
        self.line.truncate(end);
        Ok(read > 0)
    }
}

/// The words of a line.
pub(super) fn words(line: &[u8]) -> impl Iterator<Item = &[u8]> {
    line.split(u8::is_ascii_whitespace)
        .filter(|w| !w.is_empty())
}

/// The next three words as finite numbers.
pub(super) fn three<'a, T: std::str::FromStr + Into<f64> + Copy>(
    words: &mut impl Iterator<Item = &'a [u8]>,
) -> Option<[T; 3]> {
    let mut next = || {
        let word = std::str::from_utf8(words.next()?).ok()?;
        let value: T = word.parse().ok()?;
        value.into().is_finite().then_some(value)
    };
    Some([next()?, next()?, next()?])
}
