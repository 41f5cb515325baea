//! Signs that look like those a file is written with and are others: what an editor for letters or a
//! keyboard of another language puts in.

use crate::units::clip;

/// Letters of other alphabets that look like one of ours, and that one. From the confusables of Unicode
/// Technical Standard 39, those that a keyboard has (from memory).
const CYRILLIC: [(char, char); 25] = [
    ('а', 'a'),
    ('е', 'e'),
    ('о', 'o'),
    ('р', 'p'),
    ('с', 'c'),
    ('у', 'y'),
    ('х', 'x'),
    ('і', 'i'),
    ('ј', 'j'),
    ('ѕ', 's'),
    ('һ', 'h'),
    ('ԁ', 'd'),
    ('ԛ', 'q'),
    ('ԝ', 'w'),
    ('А', 'A'),
    ('В', 'B'),
    ('Е', 'E'),
    ('К', 'K'),
    ('М', 'M'),
    ('Н', 'H'),
    ('О', 'O'),
    ('Р', 'P'),
    ('С', 'C'),
    ('Т', 'T'),
    ('Х', 'X'),
];
const GREEK: [(char, char); 20] = [
    ('α', 'a'),
    ('ι', 'i'),
    ('κ', 'k'),
    ('ν', 'v'),
    ('ο', 'o'),
    ('ρ', 'p'),
    ('υ', 'u'),
    ('Α', 'A'),
    ('Β', 'B'),
    ('Ε', 'E'),
    ('Ζ', 'Z'),
    ('Η', 'H'),
    ('Ι', 'I'),
    ('Κ', 'K'),
    ('Μ', 'M'),
    ('Ν', 'N'),
    ('Ο', 'O'),
    ('Ρ', 'P'),
    ('Τ', 'T'),
    ('Χ', 'X'),
];
/// Noughts of other scripts that keyboards have; nine more digits follow each (Unicode, general
/// category Nd): Arabic, Persian, Devanagari, Bengali, Thai.
const NOUGHTS: [char; 5] = ['\u{660}', '\u{6f0}', '\u{966}', '\u{9e6}', '\u{e50}'];
/// The full-width forms of `!` to `~` begin here (Unicode block "Halfwidth and Fullwidth Forms").
const FULL_WIDTH: char = '\u{ff01}';

/// What a sign is that is not the one it looks like.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum What {
    Cyrillic,
    Greek,
    FullWidth,
    Digit,
    Space,
    Unseen,
    Quote,
}

/// A sign that is not the one it looks like.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Alike {
    sign: char,
    what: What,
    /// The one that it looks like; nothing for what is not seen, and for quotes.
    pub(crate) plain: Option<char>,
}

impl Alike {
    /// `sign`, if it is such a one.
    pub(crate) fn of(sign: char) -> Option<Self> {
        if sign.is_ascii() {
            return None;
        }
        let of = |list: &[(char, char)]| list.iter().find(|(c, _)| *c == sign).map(|(_, p)| *p);
        let after = |first: char, count: u32| {
            u32::from(sign)
                .checked_sub(u32::from(first))
                .filter(|n| *n < count)
        };
        let (what, plain) = if let Some(plain) = of(&CYRILLIC) {
            (What::Cyrillic, Some(plain))
        } else if let Some(plain) = of(&GREEK) {
            (What::Greek, Some(plain))
        } else if let Some(n) = after(FULL_WIDTH, 94) {
            (What::FullWidth, char::from_u32(u32::from('!') + n))
        } else if let Some(n) = NOUGHTS.iter().find_map(|nought| after(*nought, 10)) {
            (What::Digit, char::from_digit(n, 10))
        } else if sign.is_whitespace() {
            (What::Space, Some(' '))
        } else if is_unseen(sign) {
            (What::Unseen, None)
        } else if is_bent_quote(sign) {
            (What::Quote, None)
        } else {
            return None;
        };
        Some(Self { sign, what, plain })
    }

    /// Whether it is a quote.
    pub(crate) fn is_quote(self) -> bool {
        self.what == What::Quote
    }

    /// Which sign it is and which it looks like: `` `а` (U+0430), a Cyrillic letter that looks like `a` ``.
    pub(crate) fn said(self) -> String {
        let code = format!("U+{:04X}", u32::from(self.sign));
        let Self { sign, plain, .. } = self;
        let plain = plain.unwrap_or(' ');
        match self.what {
            What::Cyrillic => {
                format!("`{sign}` ({code}), a Cyrillic letter that looks like `{plain}`")
            }
            What::Greek => format!("`{sign}` ({code}), a Greek letter that looks like `{plain}`"),
            What::FullWidth => {
                format!("`{sign}` ({code}), a full-width sign where `{plain}` is meant")
            }
            What::Digit => {
                format!("`{sign}` ({code}), a digit of another script where `{plain}` is meant")
            }
            What::Space => format!("a space that is not the plain one ({code})"),
            What::Unseen => format!("a sign that cannot be seen ({code})"),
            What::Quote => format!("`{sign}` ({code}), which is no plain quote"),
        }
    }
}

/// Quotes as an editor for letters bends them, and primes.
pub(crate) fn is_bent_quote(c: char) -> bool {
    "“”„‟‘’‚‛«»″′".contains(c)
}

/// Signs without ink that are no space: joiners, marks of direction and of the order of bytes.
fn is_unseen(c: char) -> bool {
    matches!(c, '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{feff}')
}

/// The text in plain signs, and the first sign in it that only looks like one of them. Nothing where
/// there is none, or where other letters are left: those are words of another language.
pub(crate) fn plainly(text: &str) -> Option<(String, Alike)> {
    let first = text.chars().find_map(Alike::of)?;
    let plain: String = text
        .chars()
        .filter_map(|c| match Alike::of(c) {
            Some(alike) => alike.plain,
            None => Some(c),
        })
        .collect();
    plain
        .chars()
        .all(|c| c.is_ascii() || !c.is_alphanumeric())
        .then_some((plain, first))
}

/// What to say of words that look like others; nothing where they do not.
pub(crate) fn looks_like(text: &str) -> Option<(String, String)> {
    let (plain, first) = plainly(text)?;
    Some((
        format!("`{}` is written with {}", clip(text.trim()), first.said()),
        clip(plain.trim()),
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn signs_that_look_like_others_are_named() {
        for (text, plain, said) in [
            (
                "w\u{430}ist",
                "waist",
                "`\u{430}` (U+0430), a Cyrillic letter",
            ),
            ("hi\u{3c1}", "hip", "(U+03C1), a Greek letter"),
            (
                "\u{ff19}\u{ff16} cm",
                "96 cm",
                "(U+FF19), a full-width sign",
            ),
            (
                "\u{669}\u{666}",
                "96",
                "(U+0669), a digit of another script",
            ),
            ("96\u{a0}cm", "96 cm", "a space that is not the plain one"),
            ("bu\u{200b}st", "bust", "cannot be seen (U+200B)"),
            ("“bust”", "bust", "(U+201C), which is no plain quote"),
        ] {
            let (got, alike) = plainly(text).expect(text);
            assert_eq!(got, plain);
            assert!(alike.said().contains(said), "{text}: {}", alike.said());
        }
        // Words of another language are no slips, and fractions are plain enough.
        for text in ["", "waist", "обхват", "büst", "40¾"] {
            assert_eq!(plainly(text), None, "{text}");
        }
    }

    /// Each stands once, is no sign of ours, and stands for one.
    #[test]
    fn the_lists_hold_what_they_say() {
        let all: Vec<char> = CYRILLIC.iter().chain(&GREEK).map(|(c, _)| *c).collect();
        for (i, (c, plain)) in CYRILLIC.iter().chain(&GREEK).enumerate() {
            assert!(!c.is_ascii() && plain.is_ascii_alphabetic(), "{c}");
            assert!(!all[..i].contains(c), "{c}");
            assert_eq!(c.is_uppercase(), plain.is_uppercase(), "{c}");
        }
        let blocks = [(&CYRILLIC[..], 0x400..0x530), (&GREEK[..], 0x370..0x400)];
        for (list, block) in blocks {
            assert!(list.iter().all(|(c, _)| block.contains(&u32::from(*c))));
        }
    }

    proptest! {
        #[test]
        fn what_is_plain_stays(text in "[ -~]*") {
            prop_assert_eq!(plainly(&text), None);
        }

        #[test]
        fn no_words_panic(text in ".*") {
            if let Some((plain, _)) = plainly(&text) {
                prop_assert_eq!(plainly(&plain), None);
            }
        }
    }
}
