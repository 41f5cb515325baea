//! Why words are no length, as it is told.

use crate::fact::{AsField, Field};
use crate::facts;
use crate::text;
use crate::text::{Part, Text, quoted, typed};
use crate::units::{Alike, Lookalike, Misread};

/// What a number with its unit looks like.
const EXAMPLE: &str = "write a number and a unit, for example \"96.5 cm\" or \"40 3/4 in\"";

facts! {
    impl Fact for Misread {
        Nothing => "there is no number", EXAMPLE;
        Lookalike { typed, alike, plain } => written_with(typed, *alike),
            text!["type it again: ", quoted(plain)];
        DecimalComma { typed, pointed }
            => text![text::typed(typed.clone()), " has a decimal comma"],
            text!["use a point: ", quoted(pointed)];
        NoNumber { typed } => text![text::typed(typed.clone()), " does not begin with a number"],
            EXAMPLE;
        PowerOfTen { typed } => text![text::typed(typed.clone()), " has a power of ten"],
            "write the number out, as the tape shows it";
        TooLarge { typed }
            => text![text::typed(typed.clone()), " is larger than anything that is measured"],
            "write the number that the tape showed";
        PointBeforeFraction { number, meant } => text![
            typed(number.clone()),
            " has a point between the whole number and the fraction"
        ], text!["write a space there: ", quoted(meant)];
        ZeroBelow { number }
            => text![typed(number.clone()), " has a 0 below the stroke of its fraction"],
            "write the fraction as the tape shows it, for example 43 1/2";
        RunTogether { number, meant } => text![
            typed(number.clone()),
            " has no space between the whole number and the fraction"
        ], text!["write ", Text::joined(meant.iter().map(|m| quoted(m)), " or ")];
        UnknownUnit { unit, same, angle }
            => text![typed(unit.clone()), " is not a unit that this program knows"],
            text![
                "write `cm`, `mm` or `in` after the number",
                same.map(|(mm, unit)| text![": this would be \"", Part::Length(mm, unit), "\""]),
                angle.then_some(", or `deg` for an angle")
            ];
    }
}

/// That words hold a sign which only looks like another.
pub(super) fn written_with(words: &str, alike: Alike) -> Text {
    text![typed(words.to_owned()), " is written with ", alike]
}

impl From<Alike> for Text {
    /// Which sign it is and which it looks like: `` `а` (U+0430), a Cyrillic letter that looks like `a` ``.
    fn from(alike: Alike) -> Self {
        let code = format!("U+{:04X}", u32::from(alike.sign));
        let sign = || text![typed(alike.sign.to_string()), " (", code.clone(), ")"];
        let plain = || typed(alike.plain.unwrap_or(' ').to_string());
        match alike.what {
            Lookalike::Cyrillic => text![sign(), ", a Cyrillic letter that looks like ", plain()],
            Lookalike::Greek => text![sign(), ", a Greek letter that looks like ", plain()],
            Lookalike::FullWidth => {
                text![sign(), ", a full-width sign where ", plain(), " is meant"]
            }
            Lookalike::Digit => {
                text![
                    sign(),
                    ", a digit of another script where ",
                    plain(),
                    " is meant"
                ]
            }
            Lookalike::Space => text!["a space that is not the plain one (", code, ")"],
            Lookalike::Unseen => text!["a sign that cannot be seen (", code, ")"],
            Lookalike::Quote => text![sign(), ", which is not a plain quote"],
        }
    }
}

impl AsField for Alike {
    fn field(&self) -> Field {
        Field::Word(self.sign.to_string())
    }
}

impl AsField for Misread {
    fn field(&self) -> Field {
        use crate::fact::Fact as _;
        Field::Word(self.name().to_owned())
    }
}
