//! Values as facts about a sheet hold them.

use crate::fact::{AsField, Field};
use crate::measure::{Kind, Measure, Side};
use crate::sheet::{Averages, Figure};
use crate::text;
use crate::text::{Part, Text, listed, typed};
use crate::units;
use crate::units::Unit;

/// A value of a measurement, in the unit of its sheet; a slope in degrees.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Shown {
    pub(crate) measure: Measure,
    /// mm or radians.
    pub(crate) value: f64,
    pub(crate) unit: Unit,
}

impl Shown {
    /// Another value of the same measurement.
    pub(crate) const fn with(self, value: f64) -> Self {
        Self { value, ..self }
    }
}

impl AsField for Shown {
    fn field(&self) -> Field {
        Field::Number(self.value)
    }
}

impl From<Shown> for Text {
    fn from(shown: Shown) -> Self {
        match shown.measure {
            Measure::ShoulderDrop => Part::Length(shown.value, shown.unit),
            m if m.kind() == Kind::Slope => Part::Angle(shown.value),
            _ => Part::Length(shown.value, shown.unit),
        }
        .into()
    }
}

/// `69.0 cm to 127.0 cm`.
pub(crate) fn range([low, high]: [Shown; 2]) -> Text {
    text![low, " to ", high]
}

/// A reading by its key with its value: `` `girth.bust` (96.5 cm) ``.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Named {
    pub(crate) side: Side,
    pub(crate) shown: Shown,
}

impl AsField for Named {
    fn field(&self) -> Field {
        Field::List(vec![
            written_as(self.shown.measure).field(),
            self.side.field(),
            self.shown.field(),
        ])
    }
}

impl From<Named> for Text {
    fn from(named: Named) -> Self {
        let measure = written_as(named.shown.measure);
        let name = Part::Title(measure, Side::Both);
        let key = match named.side {
            Side::Both => measure.into(),
            Side::Left => text![name, " ", typed(format!("{measure}.left"))],
            Side::Right => text![name, " ", typed(format!("{measure}.right"))],
        };
        text![key, " (", named.shown, ")"]
    }
}

/// The measurement under whose key a sheet holds it.
pub(crate) const fn written_as(measure: Measure) -> Measure {
    match measure {
        Measure::ShoulderDrop => Measure::SlopeShoulder,
        other => other,
    }
}

/// What `name = value` is in a sheet, for a length without its unit.
pub(crate) fn bare(mm: f64, unit: Unit) -> String {
    unit.show_bare(mm)
}

/// A value with all its digits and its unit, as it may have been read: `24.5 in`.
pub(crate) fn read_as(value: f64, unit: Unit) -> String {
    format!("{} {}", units::trimmed(value, 2), unit.name())
}

impl AsField for Averages {
    fn field(&self) -> Field {
        if let Some(figure) = self.only() {
            return figure.field();
        }
        let part =
            |(figure, share): (Figure, f64)| Field::List(vec![figure.field(), share.field()]);
        Field::List(self.parts().map(part).collect())
    }
}

impl Averages {
    /// Whose they are, in words: `women`, `women and men`.
    pub(crate) fn told(&self) -> Text {
        listed(
            self.parts().map(|(figure, _)| Text::from(figure.several())),
            "and",
        )
    }
}

impl AsField for Figure {
    fn field(&self) -> Field {
        self.name().field()
    }
}
