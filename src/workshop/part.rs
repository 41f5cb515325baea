//! The values of one table of a workshop file, each within its range.

use toml::de::DeTable;

use crate::source::{Source, Value};
use crate::tolerance::{BEYOND_MM, LEAST_READING_MM};
use crate::units::Unit;
use crate::workshop::facts::{WorkshopFact, refuse};
use crate::workshop::keys::{Key, KeyWords, Length, Number, Truth, WholeNumber};

/// One table being read.
pub(super) struct TablePart<'t, 'a> {
    pub(super) table: &'t DeTable<'a>,
    pub(super) unit: Unit,
}

impl<'t, 'a> TablePart<'t, 'a> {
    /// What stands after a key.
    pub(super) fn value<K>(&self, key: &Key<K>) -> Option<&'t Value<'a>> {
        self.table.get(key.key)
    }

    /// Whether the table has this key.
    pub(super) fn has<K>(&self, key: &Key<K>) -> bool {
        self.value(key).is_some()
    }

    /// Where a key's value stands.
    pub(super) fn at<K>(&self, key: &Key<K>) -> std::ops::Range<usize> {
        self.value(key).map_or(0..0, Value::span)
    }

    /// A length within its range; nothing where there is none, or none that can be.
    pub(super) fn length(&self, source: &mut Source<'a>, key: &Key<Length>) -> Option<f64> {
        let value = self.value(key)?;
        let mm = source.length(&key.dotted(), value, self.unit)?;
        let Length(range, ..) = key.kind;
        if (range[0]..=range[1]).contains(&mm) {
            return Some(mm);
        }
        // What would be shown as nothing, or by a row of noughts, is shown as it was typed.
        let is_shown = (LEAST_READING_MM..BEYOND_MM).contains(&mm) || mm <= 0.0;
        let fact = WorkshopFact::OutOfRange {
            key: key.dotted(),
            value: mm,
            typed: (!is_shown).then(|| source.typed(value)),
            range,
            unit: self.unit,
        };
        refuse(source, value.span(), fact);
        None
    }

    /// The same, put in the place of what is taken without it.
    pub(super) fn length_into(&self, source: &mut Source<'a>, key: &Key<Length>, place: &mut f64) {
        if let Some(mm) = self.length(source, key) {
            *place = mm;
        }
    }

    /// A count within its range.
    pub(super) fn count(&self, source: &mut Source<'a>, key: &Key<WholeNumber>) -> Option<usize> {
        let value = self.value(key)?;
        let number = source.number(&key.dotted(), value)?;
        let WholeNumber(range, _) = key.kind;
        let found = (range[0]..=range[1])
            .find(|n| u32::try_from(*n).is_ok_and(|n| (f64::from(n) - number).abs() <= 0.0));
        if found.is_none() {
            let fact = WorkshopFact::NotCount {
                key: key.dotted(),
                typed: source.typed(value),
                range,
            };
            refuse(source, value.span(), fact);
        }
        found
    }

    /// A bare number within its range.
    pub(super) fn number(&self, source: &mut Source<'a>, key: &Key<Number>) -> Option<f64> {
        let value = self.value(key)?;
        let number = source.number(&key.dotted(), value)?;
        let Number(range, of, _) = key.kind;
        if (range[0]..=range[1]).contains(&number) {
            return Some(number);
        }
        let fact = WorkshopFact::NotNumber {
            key: key.dotted(),
            typed: source.typed(value),
            range,
            of,
        };
        refuse(source, value.span(), fact);
        None
    }

    /// True or false.
    pub(super) fn truth(&self, source: &mut Source<'a>, key: &Key<Truth>) -> Option<bool> {
        source.truth(&key.dotted(), self.value(key)?)
    }

    /// One of a few words.
    pub(super) fn choice<T: Copy>(
        &self,
        source: &mut Source<'a>,
        key: &Key<KeyWords>,
        choices: &[(&str, T)],
    ) -> Option<T> {
        source.choice(&key.dotted(), self.value(key)?, choices)
    }
}
