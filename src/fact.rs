//! What is found, as a value: a variant with fields, and the one place where it is put into words.
//!
//! Each room has enums of its own for what it can find; [`facts!`](crate::facts!) writes one with its
//! words beside every variant.

use std::any::Any;
use std::fmt;

use crate::measure::{Level, Measure, Side};
use crate::text::{Reader, Text};
use crate::units::Unit;

/// Something found: it has a name and fields for a program, words for a person.
pub trait Fact: Any + fmt::Debug + Send + Sync {
    /// Its name: `NoRoomForDowels`.
    fn name(&self) -> &'static str;
    /// Its fields by name, in their order. Lengths in mm, angles in radians.
    fn fields(&self) -> Vec<(&'static str, Field)>;
    /// What is the matter, in one sentence without a full stop.
    fn message(&self) -> Text;
    /// What to do next; empty when nothing need be done.
    fn hint(&self) -> Text;
}

/// What is the matter and what to do about it in plain words, with `between` between them.
#[must_use]
pub fn told(fact: &dyn Fact, between: &str) -> String {
    let [message, hint] = [fact.message(), fact.hint()].map(|text| text.plain(Reader::default()));
    format!("{message}{between}{hint}")
}

/// The value of a field.
#[derive(Clone, Debug, PartialEq)]
pub enum Field {
    /// Not known, or not there.
    Nothing,
    /// A length in mm, an angle in radians, a share.
    Number(f64),
    /// A count, or a number on a list.
    Count(usize),
    /// Yes or no.
    Truth(bool),
    /// A name or a word.
    Word(String),
    /// Several.
    List(Vec<Self>),
}

/// What can be the field of a fact.
pub trait AsField {
    /// Its value.
    fn field(&self) -> Field;
}

impl AsField for f64 {
    fn field(&self) -> Field {
        Field::Number(*self)
    }
}

impl AsField for usize {
    fn field(&self) -> Field {
        Field::Count(*self)
    }
}

impl AsField for bool {
    fn field(&self) -> Field {
        Field::Truth(*self)
    }
}

impl AsField for String {
    fn field(&self) -> Field {
        Field::Word(self.clone())
    }
}

impl AsField for &str {
    fn field(&self) -> Field {
        Field::Word((*self).to_owned())
    }
}

impl AsField for Measure {
    fn field(&self) -> Field {
        Field::Word(self.key().to_owned())
    }
}

impl AsField for Level {
    fn field(&self) -> Field {
        Field::Word(self.name().to_owned())
    }
}

impl AsField for Unit {
    fn field(&self) -> Field {
        Field::Word(self.name().to_owned())
    }
}

impl AsField for Side {
    fn field(&self) -> Field {
        match self {
            Self::Both => Field::Nothing,
            Self::Left => Field::Word("left".into()),
            Self::Right => Field::Word("right".into()),
        }
    }
}

impl<T: AsField> AsField for Box<T> {
    fn field(&self) -> Field {
        self.as_ref().field()
    }
}

impl<T: AsField> AsField for Option<T> {
    fn field(&self) -> Field {
        self.as_ref().map_or(Field::Nothing, AsField::field)
    }
}

impl<T: AsField> AsField for Vec<T> {
    fn field(&self) -> Field {
        Field::List(self.iter().map(AsField::field).collect())
    }
}

impl<T: AsField, const N: usize> AsField for [T; N] {
    fn field(&self) -> Field {
        Field::List(self.iter().map(AsField::field).collect())
    }
}

impl<A: AsField, B: AsField> AsField for (A, B) {
    fn field(&self) -> Field {
        Field::List(vec![self.0.field(), self.1.field()])
    }
}

/// An enum of facts: each variant with its fields, then what is the matter and what to do about it.
/// Both may be anything that a [`Text`](crate::text::Text) is made from, and see the fields by
/// reference.
///
/// ```ignore
/// facts! {
///     /// What a stack may be.
///     pub enum StackFact {
///         /// A layer is too narrow for this dowel.
///         NoRoom {
///             /// The layer, counted from 1.
///             layer: usize,
///             /// Diameter of the dowel (mm).
///             dowel: f64,
///         } => text!["layer ", *layer, " has no room for a dowel of ", mm0(*dowel)],
///              "take a thinner dowel";
///     }
/// }
/// ```
///
/// For an enum that stands elsewhere, `impl Fact for Name { Variant { field } => message, hint; }`.
#[macro_export]
macro_rules! facts {
    (
        impl Fact for $name:ident {
            $($variant:ident $({ $($field:ident),* $(,)? })? => $message:expr, $hint:expr;)*
        }
    ) => {
        impl $crate::fact::Fact for $name {
            fn name(&self) -> &'static str {
                match self {
                    $(Self::$variant $({ $($field: _),* })? => stringify!($variant)),*
                }
            }

            fn fields(&self) -> Vec<(&'static str, $crate::fact::Field)> {
                match self {
                    $(Self::$variant $({ $($field),* })? => vec![
                        $($((stringify!($field), $crate::fact::AsField::field($field))),*)?
                    ]),*
                }
            }

            fn message(&self) -> $crate::text::Text {
                #[allow(unused_variables, reason = "not every field is in the message")]
                match self {
                    $(Self::$variant $({ $($field),* })? => ($message).into()),*
                }
            }

            fn hint(&self) -> $crate::text::Text {
                #[allow(unused_variables, reason = "not every field is in the hint")]
                match self {
                    $(Self::$variant $({ $($field),* })? => ($hint).into()),*
                }
            }
        }
    };
    (
        $(#[$about:meta])*
        $vis:vis enum $name:ident {
            $(
                $(#[$doc:meta])*
                $variant:ident $({ $($(#[$field_doc:meta])* $field:ident : $type:ty),* $(,)? })?
                => $message:expr, $hint:expr;
            )*
        }
    ) => {
        $(#[$about])*
        #[derive(Clone, Debug, PartialEq)]
        $vis enum $name {
            $($(#[$doc])* $variant $({ $($(#[$field_doc])* $field: $type),* })?),*
        }

        $crate::facts! {
            impl Fact for $name {
                $($variant $({ $($field),* })? => $message, $hint;)*
            }
        }
    };
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text;
    use crate::text::{Reader, mm0};

    facts! {
        /// Facts to test with.
        enum Odd {
            /// One with fields.
            Narrow { layer: usize, dowel: f64, sides: Vec<Side> }
                => text!["layer ", *layer, " has no room for ", mm0(*dowel)], "take a thinner dowel";
            /// One without.
            Empty => "nothing is there", "";
        }
    }

    #[test]
    fn a_fact_has_a_name_fields_and_words() {
        let fact = Odd::Narrow {
            layer: 3,
            dowel: 8.0,
            sides: vec![Side::Left, Side::Both],
        };
        assert_eq!(fact.name(), "Narrow");
        assert_eq!(
            fact.fields(),
            vec![
                ("layer", Field::Count(3)),
                ("dowel", Field::Number(8.0)),
                (
                    "sides",
                    Field::List(vec![Field::Word("left".into()), Field::Nothing])
                ),
            ]
        );
        let reader = Reader::default();
        assert_eq!(fact.message().plain(reader), "layer 3 has no room for 8 mm");
        assert_eq!(Odd::Empty.message().plain(reader), "nothing is there");
        assert!(Odd::Empty.hint().is_empty() && Odd::Empty.fields().is_empty());
    }
}
