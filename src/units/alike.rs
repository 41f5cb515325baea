//! Signs that look like those a file is written with and are others: what an editor for letters or a
//! keyboard of another language puts in.

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
pub enum Lookalike {
    /// A Cyrillic letter.
    Cyrillic,
    /// A Greek letter.
    Greek,
    /// The full-width form of a sign.
    FullWidth,
    /// A digit of another script.
    Digit,
    /// A space that is not the plain one.
    Space,
    /// A sign without ink.
    Unseen,
    /// A quote that is not the plain one.
    Quote,
}

/// A sign that is not the one it looks like.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Alike {
    /// The sign.
    pub sign: char,
    /// What it is.
    pub what: Lookalike,
    /// The one that it looks like; nothing for what is not seen, and for quotes.
    pub plain: Option<char>,
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
            (Lookalike::Cyrillic, Some(plain))
        } else if let Some(plain) = of(&GREEK) {
            (Lookalike::Greek, Some(plain))
        } else if let Some(n) = after(FULL_WIDTH, 94) {
            (Lookalike::FullWidth, char::from_u32(u32::from('!') + n))
        } else if let Some(n) = NOUGHTS.iter().find_map(|nought| after(*nought, 10)) {
            (Lookalike::Digit, char::from_digit(n, 10))
        } else if sign.is_whitespace() {
            (Lookalike::Space, Some(' '))
        } else if is_unseen(sign) {
            (Lookalike::Unseen, None)
        } else if is_bent_quote(sign) {
            (Lookalike::Quote, None)
        } else {
            return None;
        };
        Some(Self { sign, what, plain })
    }

    /// Whether it is a quote.
    pub(crate) fn is_quote(self) -> bool {
        self.what == Lookalike::Quote
    }
}

/// Quotes as an editor for letters bends them, and primes.
pub(crate) fn is_bent_quote(c: char) -> bool {
    "“”„‟‘’‚‛«»″′".contains(c)
}

/// Signs without ink that are not a space: joiners, marks of direction and of the order of bytes.
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

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn signs_that_look_like_others_are_named() {
        for (text, plain, sign, what) in [
            ("w\u{430}ist", "waist", '\u{430}', Lookalike::Cyrillic),
            ("hi\u{3c1}", "hip", '\u{3c1}', Lookalike::Greek),
            (
                "\u{ff19}\u{ff16} cm",
                "96 cm",
                '\u{ff19}',
                Lookalike::FullWidth,
            ),
            ("\u{669}\u{666}", "96", '\u{669}', Lookalike::Digit),
            ("96\u{a0}cm", "96 cm", '\u{a0}', Lookalike::Space),
            ("bu\u{200b}st", "bust", '\u{200b}', Lookalike::Unseen),
            ("“bust”", "bust", '“', Lookalike::Quote),
        ] {
            let (got, alike) = plainly(text).expect(text);
            assert_eq!(got, plain);
            assert_eq!((alike.sign, alike.what), (sign, what), "{text}");
        }
        // Words of another language are no slips, and fractions are plain enough.
        for text in ["", "waist", "обхват", "büst", "40¾"] {
            assert_eq!(plainly(text), None, "{text}");
        }
    }

    /// Each stands once, is not a sign of ours, and stands for one.
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
